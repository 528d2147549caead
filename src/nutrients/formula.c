#include "nutrients/formula.h"

#include <ctype.h>
#include <string.h>

enum { DEEPEST_BRACKETS = 4, LARGEST_COUNT = 1000 };

static const struct {
    const char *symbol;
    double g_per_mol;
} elements[BD_ELEMENT_COUNT] = {
#define BD_ELEMENT(symbol, weight) {#symbol, weight},
#include "nutrients/element.def"
#undef BD_ELEMENT
};

static const char *read_group(const char *s, double times, int depth, bd_formula *out);

/* A count of at least 1; 1 when none is written, -1 when it is absurd. */
static const char *read_count(const char *s, double *count)
{
    int n = 0;

    *count = 1.0;
    if (!isdigit((unsigned char)*s))
        return s;
    for (; isdigit((unsigned char)*s) && n <= LARGEST_COUNT; s++)
        n = n * 10 + (*s - '0');
    if (n < 1 || n > LARGEST_COUNT)
        return NULL;
    *count = n;
    return s;
}

static size_t symbol_length(const char *s)
{
    if (!isupper((unsigned char)*s))
        return 0;
    return islower((unsigned char)s[1]) ? 2 : 1;
}

static const char *read_atom(const char *s, double times, bd_formula *out)
{
    size_t length = symbol_length(s);
    double count;

    for (int i = 0; length > 0 && i < BD_ELEMENT_COUNT; i++) {
        if (strlen(elements[i].symbol) != length || strncmp(elements[i].symbol, s, length) != 0)
            continue;
        s = read_count(s + length, &count);
        out->count[i] += times * count;
        return s;
    }
    return NULL;
}

/* The bracket that closes the one at s. */
static const char *find_close(const char *s)
{
    int depth = 0;

    for (; *s != '\0'; s++) {
        depth += (*s == '(') - (*s == ')');
        if (depth == 0)
            return s;
    }
    return NULL;
}

static const char *read_bracket(const char *s, double times, int depth, bd_formula *out)
{
    const char *close = find_close(s), *behind;
    double count;

    if (close == NULL || depth >= DEEPEST_BRACKETS)
        return NULL;
    behind = read_count(close + 1, &count);
    if (behind == NULL || read_group(s + 1, times * count, depth + 1, out) != close)
        return NULL;
    return behind;
}

/* Atoms and brackets up to the end, a point or a closing bracket; at least one. */
static const char *read_group(const char *s, double times, int depth, bd_formula *out)
{
    const char *start = s;

    while (s != NULL && *s != '\0' && *s != '.' && *s != ')')
        s = *s == '(' ? read_bracket(s, times, depth, out) : read_atom(s, times, out);
    return s == start ? NULL : s;
}

/* One part, "10H2O", with its number in front. */
static const char *read_part(const char *s, bd_formula *out)
{
    double times;

    s = read_count(s, &times);
    return s == NULL ? NULL : read_group(s, times, 0, out);
}

static double weigh(const bd_formula *formula)
{
    double sum = 0.0;

    for (int i = 0; i < BD_ELEMENT_COUNT; i++)
        sum += formula->count[i] * elements[i].g_per_mol;
    return sum;
}

bd_status bd_formula_read(const char *text, bd_formula *out, bd_error *err)
{
    bd_formula formula = {.g_per_mol = 0.0};
    const char *s = read_part(text, &formula);

    while (s != NULL && *s == '.')
        s = read_part(s + 1, &formula);
    if (s == NULL || *s != '\0') {
        (void)bd_fail(err, BD_SYNTAX, NULL, "'%.40s' is not a formula", text);
        return bd_accepts(err, "a formula such as KNO3 or MgSO4.7H2O");
    }
    formula.g_per_mol = weigh(&formula);
    *out = formula;
    return BD_OK;
}

static bd_element element_of(bd_nutrient nutrient)
{
    const char *symbol = bd_nutrient_symbol(nutrient);
    int i = 0;

    while (i < BD_ELEMENT_COUNT - 1 && strcmp(elements[i].symbol, symbol) != 0)
        i++;
    return (bd_element)i;
}

double bd_formula_share(const bd_formula *formula, bd_nutrient nutrient)
{
    bd_element element = element_of(nutrient);

    return formula->count[element] * elements[element].g_per_mol / formula->g_per_mol;
}

double bd_oxide_element_share(bd_nutrient nutrient)
{
    const char *oxide = bd_nutrient_oxide(nutrient);
    bd_formula formula = {.g_per_mol = 1.0};

    if (*oxide == '\0' || bd_formula_read(oxide, &formula, NULL) != BD_OK)
        return 1.0;
    return bd_formula_share(&formula, nutrient);
}
