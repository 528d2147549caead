#include "nutrients/formula.h"

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Molar masses as printed, half the last digit as tolerance. */
static const struct weight_row {
    const char *formula;
    double g_per_mol, tolerance;
    const char *source;
} weights[] = {
    {"KNO3", 101.10, 0.005, "textbook molar mass"},
    {"K2SO4", 174.26, 0.01, "textbook molar mass; 174.25 with sulfur at 32.06"},
    {"CO(NH2)2", 60.06, 0.005, "textbook molar mass"},
    {"MgSO4.7H2O", 246.47, 0.005, "textbook molar mass"},
    {"CuSO4.5H2O", 249.68, 0.005, "textbook molar mass"},
    {"Na2B4O7.10H2O", 381.37, 0.015, "textbook molar mass; boron 10.81 or 10.811"},
    {"5Ca(NO3)2.NH4NO3.10H2O", 1080.7, 0.1, "textbook molar mass of the double salt"},
    {"(NH4)2HPO4", 132.06, 0.005, "textbook molar mass"},
};

static void weigh(void **state)
{
    const struct weight_row *r = *state;
    bd_formula formula = {.g_per_mol = -1.0};
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_formula_read(r->formula, &formula, &err), BD_OK);
    assert_close(formula.g_per_mol, r->g_per_mol, r->tolerance);
}

/* Oxide factors of the EU labelling rules, three digits. */
static const struct factor_row {
    const char *name;
    bd_nutrient nutrient;
    double share, tolerance;
    const char *source;
} factors[] = {
    {"oxide/P", BD_P, 0.436, 0.0005, "EC fertilisers, national authority's page"},
    {"oxide/K", BD_K, 0.830, 0.0005, "EC fertilisers, national authority's page"},
    {"oxide/Ca", BD_CA, 0.715, 0.0005, "EC fertilisers, national authority's page"},
    {"oxide/Mg", BD_MG, 0.603, 0.0005, "EC fertilisers, national authority's page"},
    {"oxide/S", BD_S, 0.400, 0.0005, "EC fertilisers, national authority's page"},
    {"oxide/Na", BD_NA, 0.742, 0.0005, "EU 2019/1009"},
    {"oxide/N_is_the_element", BD_N, 1.0, 0.0, "labels give N"},
};

static void convert(void **state)
{
    const struct factor_row *r = *state;

    assert_close(bd_oxide_element_share(r->nutrient), r->share, r->tolerance);
}

static const char *const not_formulas[] = {
    "",       "kNO3",       "kno3",    "KNO3 ", "Xx2",           "K0",
    "K2000",  "(K",         "K)",      "()",    "K()2",          ".H2O",
    "MgSO4.", "MgSO4..H2O", "K+",      "2",     "((((((K))))))", "K(NO3",
    "K-1",    "KNO3x",      "(NO3)0K",
};

static void refuse(void **state)
{
    const char *text = *state;
    bd_formula formula = {.g_per_mol = -1.0};
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_formula_read(text, &formula, &err), BD_SYNTAX);
    assert_int_equal(err.status, BD_SYNTAX);
    assert_close(formula.g_per_mol, -1.0, 0.0);
}

/* Shares of all elements of a formula that holds only label elements add up to one. */
static void shares_of_a_chloride_make_one(void **state)
{
    bd_formula formula;

    (void)state;
    assert_int_equal(bd_formula_read("KCl", &formula, NULL), BD_OK);
    assert_close(bd_formula_share(&formula, BD_K) + bd_formula_share(&formula, BD_CL), 1.0, 1e-12);
    assert_close(bd_formula_share(&formula, BD_N), 0.0, 0.0);
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(weights) + COUNT_OF(factors) + COUNT_OF(not_formulas) + 1];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(weights); i++)
        tests[n++] =
            (struct CMUnitTest){weights[i].formula, weigh, NULL, NULL, (void *)&weights[i]};
    for (size_t i = 0; i < COUNT_OF(factors); i++)
        tests[n++] = (struct CMUnitTest){factors[i].name, convert, NULL, NULL, (void *)&factors[i]};
    for (size_t i = 0; i < COUNT_OF(not_formulas); i++)
        tests[n++] = (struct CMUnitTest){*not_formulas[i] ? not_formulas[i] : "(empty)", refuse,
                                         NULL, NULL, (void *)(uintptr_t)not_formulas[i]};
    tests[n++] = (struct CMUnitTest){"formula/shares_of_a_chloride_make_one",
                                     shares_of_a_chloride_make_one, NULL, NULL, NULL};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
