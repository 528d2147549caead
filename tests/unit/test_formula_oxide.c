#include "model/oxide.h"

#include <math.h>

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* One of the form counted, in the element; half the last printed digit as tolerance. */
static const struct factor_row {
    const char *name;
    bd_nutrient_form form;
    double amount, element, tolerance;
    const char *source;
} factors[] = {
    {"element/header_example", {BD_K, true}, 0.46, 0.3819, 5e-5, "by hand, 0.46 x 0.83015"},
    {"element/p2o5_of_a_label",
     {BD_P, true},
     12,
     5.24,
     0.005,
     "N. Mattson, e-GRO Edible Alert 2018"},
    {"element/p2o5_of_a_plot", {BD_P, true}, 46, 20.08, 0.005, "Nutrient Network, 10/0.498 g/m2"},
    {"element/p2o5", {BD_P, true}, 1, 0.436, 5e-4, "Regulation (EU) 2019/1009, Annex III"},
    {"element/k2o", {BD_K, true}, 1, 0.830, 5e-4, "Regulation (EU) 2019/1009, Annex III"},
    {"element/cao", {BD_CA, true}, 1, 0.715, 5e-4, "Regulation (EU) 2019/1009, Annex III"},
    {"element/mgo", {BD_MG, true}, 1, 0.603, 5e-4, "Regulation (EU) 2019/1009, Annex III"},
    {"element/na2o", {BD_NA, true}, 1, 0.742, 5e-4, "Regulation (EU) 2019/1009, Annex III"},
    {"element/so3", {BD_S, true}, 1, 0.400, 5e-4, "Regulation (EU) 2019/1009, Annex III"},
    {"oxide/k_to_k2o", {BD_K, true}, 1.2046, 1, 5e-5, "extension conversions, K x 1.2046"},
    {"oxide/p_to_p2o5", {BD_P, true}, 2.2914, 1, 5e-5, "extension conversions, P x 2.2914"},
    {"element/silica", {BD_SI, true}, 60.084, 28.085, 5e-4, "textbook molar mass of SiO2"},
    {"element/of_an_element_form", {BD_K, false}, 3, 3, 0, "definition"},
    {"element/nitrogen_as_oxide_is_itself", {BD_N, true}, 3, 3, 0, "header: 1 without an oxide"},
    {"element/chlorine_as_oxide_is_itself", {BD_CL, true}, 3, 3, 0, "header: 1 without an oxide"},
    {"element/nothing", {BD_P, true}, 0, 0, 0, "definition"},
    {"element/negative_is_any_sign", {BD_P, true}, -12, -5.24, 0.005, "mirror of the first"},
};

static void check_factor(void **state)
{
    const struct factor_row *r = *state;
    double element = bd_as_element(r->form, r->amount);

    assert_close(element, r->element, r->tolerance);
    assert_close(bd_as_form(r->form, element), r->amount, 1e-12 * fabs(r->amount));
}

/* The factor is not the one rounded by label law: 120 kg of K2O are 99.62 kg of K, not 99.6. */
static void factors_are_not_rounded(void **state)
{
    (void)state;
    assert_close(bd_as_element((bd_nutrient_form){BD_K, true}, 120000.0), 99617.7, 0.5);
    assert_true(isnan(bd_as_element((bd_nutrient_form){BD_K, true}, (double)NAN)));
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(factors) + 1];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(factors); i++)
        tests[n++] =
            (struct CMUnitTest){factors[i].name, check_factor, NULL, NULL, (void *)&factors[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(factors_are_not_rounded);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
