#include "model/analysis.h"

#include <math.h>
#include <string.h>

#include "model/oxide.h"
#include "request/label_text.h"
#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static bd_catalogue *catalogue;

static int load(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    if (bd_catalogue_load(NULL, &catalogue, &err) == BD_OK)
        return 0;
    print_error("%s: %s\n", err.where, err.text);
    return -1;
}

static int unload(void **state)
{
    (void)state;
    bd_catalogue_free(catalogue);
    return 0;
}

static const bd_material *material_of(const char *name)
{
    const bd_material *m = NULL;

    if (name == NULL)
        return NULL;
    assert_int_equal(bd_catalogue_material(catalogue, name, &m, NULL), BD_OK);
    return m;
}

static bd_label label_of(const char *text, bd_convention convention)
{
    bd_label label;
    bd_error err = {.status = BD_OK};

    if (bd_label_read(text, convention, &label, &err) != BD_OK)
        fail_msg("%s: %s", text, err.text);
    return label;
}

/* Can the label be true?  Pure salts: KNO3 13.85 N, 46.58 K2O; KCl 63.18 K2O; MKP 52.15-34.61. */
static const struct check_row {
    const char *name, *material, *label;
    bd_convention convention;
    bd_status status;
    bool is_near;
    const char *says;
} checks[] = {
    {"check/usual_label", "potassium-nitrate", "13-0-46", BD_CONVENTION_NONE, BD_OK, false, ""},
    {"check/weaker_label", "potassium-nitrate", "12-0-43", BD_CONVENTION_NONE, BD_OK, false, ""},
    {"check/rounded_up_is_a_note", "potassium-nitrate", "13-0-47", BD_CONVENTION_NONE, BD_OK, true,
     ""},
    {"check/nitrogen_rounded_up_is_a_note", "potassium-nitrate", "14-0-46", BD_CONVENTION_NONE,
     BD_OK, true, ""},
    {"check/over_half_digit_and_2_percent", "potassium-nitrate", "13-0-49", BD_CONVENTION_NONE,
     BD_RANGE, false, "49 % K2O"},
    {"check/a_decimal_leaves_less_room", "potassium-nitrate", "13-0-47.6", BD_CONVENTION_NONE,
     BD_RANGE, false, "47.6 % K2O"},
    {"check/within_2_percent_with_a_decimal", "potassium-nitrate", "13-0-47.4", BD_CONVENTION_NONE,
     BD_OK, true, ""},
    {"check/nitrogen_of_another_salt", "potassium-nitrate", "33-0-0", BD_CONVENTION_NONE, BD_RANGE,
     false, "33 % N"},
    {"check/phosphate_in_potassium_nitrate", "potassium-nitrate", "13-2-44", BD_CONVENTION_NONE,
     BD_RANGE, false, "2 % P2O5"},
    {"check/oxide_figure_said_to_be_the_element", "potassium-nitrate", "13-0-46",
     BD_CONVENTION_ELEMENT, BD_RANGE, false, "46 % K "},
    {"check/element_figure_said_to_be_one", "potassium-nitrate", "13-0-38", BD_CONVENTION_ELEMENT,
     BD_OK, false, ""},
    {"check/muriate_60", "potassium-chloride", "0-0-60", BD_CONVENTION_NONE, BD_OK, false, ""},
    {"check/muriate_63_rounded", "potassium-chloride", "0-0-63", BD_CONVENTION_NONE, BD_OK, false,
     ""},
    {"check/muriate_66", "potassium-chloride", "0-0-66", BD_CONVENTION_NONE, BD_RANGE, false, "66"},
    {"check/mkp", "monopotassium-phosphate", "0-52-34", BD_CONVENTION_NONE, BD_OK, false, ""},
    {"check/epsom_salt_33_sulfur_trioxide", "magnesium-sulfate-heptahydrate", "16 MgO, 33 SO3",
     BD_CONVENTION_NONE, BD_OK, true, ""},
    {"check/soluble_map", "monoammonium-phosphate", "12-61-0", BD_CONVENTION_NONE, BD_OK, false,
     ""},
    {"check/own_label", NULL, "12-12-17", BD_CONVENTION_NONE, BD_OK, false, ""},
    {"check/own_label_of_100", NULL, "0-60-40", BD_CONVENTION_NONE, BD_OK, false, ""},
    {"check/grade_118", NULL, "12-61-45", BD_CONVENTION_NONE, BD_RANGE, false, "add up to 118 %"},
    {"check/grade_101", NULL, "40-30-31", BD_CONVENTION_NONE, BD_RANGE, false, "add up to 101 %"},
    {"check/grade_100_and_a_half", NULL, "20-40-40.5", BD_CONVENTION_NONE, BD_RANGE, false,
     "add up to 100.5 %"},
    {"check/elements_that_make_an_impossible_grade", NULL, "10-30-30", BD_CONVENTION_ELEMENT,
     BD_RANGE, false, "add up to 114.9 %"},
    {"check/elements_over_100", NULL, "46-0-0 + 30 Ca + 30 S", BD_CONVENTION_NONE, BD_RANGE, false,
     "the elements add up to 106 %"},
    {"check/potassium_chloride_as_elements", NULL, "K 52.4, Cl 47.6", BD_CONVENTION_NONE, BD_OK,
     false, ""},
    {"check/ratio_by_its_total", NULL, "2:3:2 (22)", BD_CONVENTION_NONE, BD_OK, false, ""},
    {"check/ratio_of_the_salt", "potassium-nitrate", "1:0:3 (52)", BD_CONVENTION_NONE, BD_OK, true,
     ""},
};

static void check_label(void **state)
{
    const struct check_row *r = *state;
    bd_label label = label_of(r->label, r->convention);
    bd_product product = {.purity = -77.0};
    bd_error err = {.status = BD_OK};
    bool is_near = true;
    bd_status status =
        bd_product_make(material_of(r->material), &label, false, 0.0, &product, &is_near, &err);

    if (status != r->status)
        fail_msg("%s: status %d, wanted %d: %s", r->label, (int)status, (int)r->status, err.text);
    assert_non_null(strstr(err.text, r->says));
    if (status == BD_OK) {
        assert_int_equal(is_near, r->is_near);
    } else {
        assert_string_equal(err.where, "--analysis");
        assert_close(product.purity, -77.0, 0.0);
    }
}

enum { HOLDS_MAX = 4 };

typedef struct holds {
    const char *form; /* NULL ends */
    double percent;
    bd_origin origin;
} holds;

static const struct make_row {
    const char *name, *material, *label; /* no label: the catalogue's */
    bool is_pure;
    double density_kg_per_l;
    holds wants[HOLDS_MAX];
    double tolerance, purity;
    const char *source;
} makes[] = {
    {"make/label_of_a_salt",
     "potassium-nitrate",
     "13-0-46",
     false,
     0,
     {{"N", 13, BD_ORIGIN_LABEL}, {"K2O", 46, BD_ORIGIN_LABEL}, {"K", 38.19, BD_ORIGIN_LABEL}},
     0.005,
     0.9875,
     "46 / 46.58"},
    {"make/what_the_label_leaves_out",
     "potassium-chloride",
     "0-0-60",
     false,
     0,
     {{"K2O", 60, BD_ORIGIN_LABEL}, {"Cl", 45.2, BD_ORIGIN_FORMULA}},
     0.05,
     0.9497,
     "60 % K2O as KCl is 45.2 % Cl"},
    {"make/catalogue",
     "potassium-nitrate",
     NULL,
     false,
     0,
     {{"N", 13, BD_ORIGIN_CATALOGUE}, {"K2O", 46, BD_ORIGIN_CATALOGUE}},
     0.005,
     0.9875,
     "usual bags"},
    {"make/pure",
     "potassium-nitrate",
     NULL,
     true,
     0,
     {{"N", 13.85, BD_ORIGIN_FORMULA}, {"K", 38.67, BD_ORIGIN_FORMULA}},
     0.005,
     1,
     "14.007 and 39.098 of 101.10 g/mol"},
    {"make/pure_double_salt",
     "calcium-nitrate",
     NULL,
     true,
     0,
     {{"N", 15.55, BD_ORIGIN_FORMULA}, {"Ca", 18.54, BD_ORIGIN_FORMULA}},
     0.005,
     1,
     "12 N and 5 Ca of 1080.7 g/mol"},
    {"make/stronger_label_is_no_purer_than_pure",
     "potassium-nitrate",
     "13-0-47",
     false,
     0,
     {{"K2O", 47, BD_ORIGIN_LABEL}},
     1e-9,
     1,
     "header: at most 1"},
    {"make/own_label",
     NULL,
     "5-10-20 + 2 MgO",
     false,
     0,
     {{"P", 4.364, BD_ORIGIN_LABEL}, {"Mg", 1.206, BD_ORIGIN_LABEL}, {"Cl", 0, BD_ORIGIN_NONE}},
     5e-4,
     0,
     "10 x 0.43643, 2 x 0.60304"},
    {"make/by_volume_with_density",
     NULL,
     "4-3-8 w/v",
     false,
     1.25,
     {{"N", 3.2, BD_ORIGIN_LABEL}, {"K2O", 6.4, BD_ORIGIN_LABEL}},
     1e-9,
     0,
     "4 / 1.25, 8 / 1.25"},
    {"make/by_volume_taken_as_water",
     NULL,
     "4-3-8 w/v",
     false,
     0,
     {{"N", 4, BD_ORIGIN_LABEL}},
     1e-9,
     0,
     "header: 1.0 kg/L"},
    {"make/liquid_by_weight",
     NULL,
     "28-0-0",
     false,
     1.27,
     {{"N", 28, BD_ORIGIN_LABEL}},
     1e-9,
     0,
     "by weight stays"},
};

static void check_make(void **state)
{
    const struct make_row *r = *state;
    bd_label label;
    bd_product p;
    bd_error err = {.status = BD_OK};
    bool is_near;

    if (r->label != NULL)
        label = label_of(r->label, BD_CONVENTION_NONE);
    if (bd_product_make(material_of(r->material), r->label == NULL ? NULL : &label, r->is_pure,
                        r->density_kg_per_l, &p, &is_near, &err) != BD_OK)
        fail_msg("%s", err.text);
    for (size_t i = 0; i < HOLDS_MAX && r->wants[i].form != NULL; i++) {
        bd_nutrient_form form;

        assert_true(bd_nutrient_find(r->wants[i].form, strlen(r->wants[i].form), &form));
        assert_close(100.0 * bd_product_share(&p, form).typical, r->wants[i].percent, r->tolerance);
        assert_int_equal(p.origin[form.nutrient], r->wants[i].origin);
        assert_int_equal(bd_product_holds(&p, form.nutrient), r->wants[i].percent > 0.0);
    }
    assert_close(p.purity, r->purity, 5e-5);
    assert_int_equal(p.is_liquid, r->density_kg_per_l > 0.0 || (r->label != NULL && label.is_w_v));
}

static const struct refuse_row {
    const char *name, *material, *label;
    bd_status status;
} refusals[] = {
    {"refuse/pure_and_a_label", "potassium-nitrate", "13-0-46", BD_CONFLICT},
    {"refuse/pure_without_formula", "triple-superphosphate", NULL, BD_MISSING},
    {"refuse/pure_of_a_homemade_feed", "banana-peel-fresh", NULL, BD_MISSING},
    {"refuse/pure_of_nothing", NULL, NULL, BD_MISSING},
};

static void check_refusal(void **state)
{
    const struct refuse_row *r = *state;
    bd_label label = label_of(r->label == NULL ? "1-1-1" : r->label, BD_CONVENTION_NONE);
    bd_product p = {.purity = -77.0};
    bd_error err = {.status = BD_OK};
    bool is_near;

    assert_int_equal(bd_product_make(material_of(r->material), r->label == NULL ? NULL : &label,
                                     true, 0.0, &p, &is_near, &err),
                     r->status);
    assert_string_equal(err.where, "--pure");
    assert_close(p.purity, -77.0, 0.0);
}

/* A label that is not a number cannot be true. */
static void not_a_number_is_refused(void **state)
{
    bd_label label = {.share = {[BD_N] = (double)NAN}, .declares = {[BD_N] = true}};
    double pure[BD_NUTRIENT_COUNT] = {0};
    bd_error err = {.status = BD_OK}, again = {.status = BD_OK};
    bool is_near;

    (void)state;
    assert_int_equal(bd_label_check(&label, NULL, &is_near, &err), BD_RANGE);
    assert_int_equal(bd_label_check(&label, pure, &is_near, &again), BD_RANGE);
}

/* Whatever the catalogue holds makes a product whose parts stay within the whole. */
static void every_material_makes_a_product(void **state)
{
    size_t count;
    const bd_material *m = bd_catalogue_materials(catalogue, &count);

    (void)state;
    assert_true(count > 50);
    for (size_t i = 0; i < count; i++) {
        bd_product p;
        bool is_near;
        double sum = 0.0;
        bd_error err = {.status = BD_OK};
        bool is_of_an_extract = m[i].is_per_litre && m[i].form == BD_SOLID;
        bd_status status = bd_product_make(&m[i], NULL, false, 0.0, &p, &is_near, &err);

        assert_int_equal(status, is_of_an_extract ? BD_MISSING : BD_OK);
        if (is_of_an_extract)
            continue;
        for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
            assert_true(p.share[n].low <= p.share[n].typical &&
                        p.share[n].typical <= p.share[n].high);
            sum += p.share[n].typical;
        }
        if (!(sum <= 1.0 && p.purity >= 0.0 && p.purity <= 1.0))
            fail_msg("%s: elements %g, purity %g", m[i].name, sum, p.purity);
        assert_int_equal(p.salt_molar_mass_g_per_mol > 0.0, m[i].formula[0] != '\0');
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(checks) + COUNT_OF(makes) + COUNT_OF(refusals) + 2];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(checks); i++)
        tests[n++] =
            (struct CMUnitTest){checks[i].name, check_label, NULL, NULL, (void *)&checks[i]};
    for (size_t i = 0; i < COUNT_OF(makes); i++)
        tests[n++] = (struct CMUnitTest){makes[i].name, check_make, NULL, NULL, (void *)&makes[i]};
    for (size_t i = 0; i < COUNT_OF(refusals); i++)
        tests[n++] =
            (struct CMUnitTest){refusals[i].name, check_refusal, NULL, NULL, (void *)&refusals[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(not_a_number_is_refused);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_material_makes_a_product);
    return cmocka_run_group_tests(tests, load, unload);
}
