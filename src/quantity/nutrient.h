/*
 * nutrient.h - which nutrient, and in which form it is counted.
 *
 * May include: base/.
 */
#ifndef BD_QUANTITY_NUTRIENT_H
#define BD_QUANTITY_NUTRIENT_H

#include <stdbool.h>
#include <stddef.h>

typedef enum bd_nutrient {
#define BD_NUTRIENT(name, symbol, oxide) BD_##name,
#include "quantity/nutrient.def"
#undef BD_NUTRIENT
    BD_NUTRIENT_COUNT
} bd_nutrient;

/* A nutrient as it is named: K, or K2O. */
typedef struct bd_nutrient_form {
    bd_nutrient nutrient;
    bool is_oxide;
} bd_nutrient_form;

/* "K" */
const char *bd_nutrient_symbol(bd_nutrient n);
/* "K2O", or "" where labels use the element. */
const char *bd_nutrient_oxide(bd_nutrient n);
/* "K" or "K2O" */
const char *bd_nutrient_form_name(bd_nutrient_form form);

/*
 * Finds the nutrient named by the first `length` bytes of `name`, exactly as
 * spelt on labels ("K2O"; letter case counts, for CO is not Co).
 * Returns false when there is none.
 */
bool bd_nutrient_find(const char *name, size_t length, bd_nutrient_form *out);

#endif
