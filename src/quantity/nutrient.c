#include "quantity/nutrient.h"

#include <string.h>

static const struct {
    const char *symbol, *oxide;
} nutrients[BD_NUTRIENT_COUNT] = {
#define BD_NUTRIENT(name, symbol, oxide) {symbol, oxide},
#include "quantity/nutrient.def"
#undef BD_NUTRIENT
};

const char *bd_nutrient_symbol(bd_nutrient n)
{
    return nutrients[n].symbol;
}

const char *bd_nutrient_oxide(bd_nutrient n)
{
    return nutrients[n].oxide;
}

const char *bd_nutrient_form_name(bd_nutrient_form form)
{
    return form.is_oxide ? nutrients[form.nutrient].oxide : nutrients[form.nutrient].symbol;
}

static bool is_word(const char *word, const char *name, size_t length)
{
    return length > 0 && strlen(word) == length && strncmp(word, name, length) == 0;
}

bool bd_nutrient_find(const char *name, size_t length, bd_nutrient_form *out)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        bool is_oxide = is_word(nutrients[i].oxide, name, length);

        if (is_oxide || is_word(nutrients[i].symbol, name, length)) {
            *out = (bd_nutrient_form){(bd_nutrient)i, is_oxide};
            return true;
        }
    }
    return false;
}
