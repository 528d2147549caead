#include "quantity/nutrient.h"

#include <string.h>

#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { ALL = -1 };

static const struct find_row {
    const char *name, *text;
    int length; /* ALL: the whole text */
    bool is_found;
    bd_nutrient nutrient;
    bool is_oxide;
} finds[] = {
    {"find/element", "K", ALL, true, BD_K, false},
    {"find/oxide", "K2O", ALL, true, BD_K, true},
    {"find/first_letter_only", "K2O", 1, true, BD_K, false},
    {"find/part_of_an_oxide", "K2O", 2, false, BD_N, false},
    {"find/phosphate", "P2O5", ALL, true, BD_P, true},
    {"find/nitrogen", "N", ALL, true, BD_N, false},
    {"find/sodium_is_not_nitrogen", "Na", ALL, true, BD_NA, false},
    {"find/sulfur_trioxide", "SO3", ALL, true, BD_S, true},
    {"find/silica", "SiO2", ALL, true, BD_SI, true},
    {"find/magnesia", "MgO", ALL, true, BD_MG, true},
    {"find/chlorine_has_no_oxide", "Cl", ALL, true, BD_CL, false},
    {"find/copper", "Cu", ALL, true, BD_CU, false},
    {"find/letter_case_counts", "k2o", ALL, false, BD_N, false},
    {"find/capitals_are_no_symbol", "CA", ALL, false, BD_N, false},
    {"find/words_are_no_symbol", "potash", ALL, false, BD_N, false},
    {"find/nothing", "", 0, false, BD_N, false},
    {"find/no_length", "K", 0, false, BD_N, false},
    {"find/behind_the_name", "K2O ", ALL, false, BD_N, false},
    {"find/oxide_of_another_kind", "P2O3", ALL, false, BD_N, false},
};

static void check_find(void **state)
{
    const struct find_row *r = *state;
    size_t length = r->length == ALL ? strlen(r->text) : (size_t)r->length;
    bd_nutrient_form form = {BD_ZN, true};

    assert_int_equal(bd_nutrient_find(r->text, length, &form), r->is_found);
    assert_int_equal(form.nutrient, r->is_found ? r->nutrient : BD_ZN);
    assert_int_equal(form.is_oxide, r->is_found ? r->is_oxide : true);
}

static void every_name_finds_itself(void **state)
{
    (void)state;
    for (int i = 0; i < 2 * BD_NUTRIENT_COUNT; i++) {
        bd_nutrient_form form = {(bd_nutrient)(i / 2), i % 2 == 1}, found;
        const char *name = bd_nutrient_form_name(form);

        if (name[0] == '\0') {
            assert_true(form.is_oxide);
            continue;
        }
        assert_true(bd_nutrient_find(name, strlen(name), &found));
        assert_int_equal(found.nutrient, form.nutrient);
        assert_int_equal(found.is_oxide, form.is_oxide);
        assert_string_equal(name, form.is_oxide ? bd_nutrient_oxide(form.nutrient)
                                                : bd_nutrient_symbol(form.nutrient));
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(finds) + 1];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(finds); i++)
        tests[n++] = (struct CMUnitTest){finds[i].name, check_find, NULL, NULL, (void *)&finds[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_name_finds_itself);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
