/*
 * Fertiliser sums that others have worked and printed: extension leaflets,
 * course notes, school papers.  worked_examples.json holds the cases, each with
 * its inputs, the figures as printed and the source; the table below says how
 * this library is asked for each figure.
 *
 * Tolerance: half the last printed digit, more only where the row says why.
 * Where a source errs or rounds on the way, `right` is the figure that follows
 * from its inputs; the printed one stays in the file and must differ from ours.
 *
 * Sums about dilution, liquids, cost, sprayers, salinity, weather and units are
 * checked beside this file (test_stock.c, test_sprayer.c, test_salinity.c,
 * test_air.c, test_units.c).
 */
#include "support/cmocka_all.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include <jansson.h>

#include "model/analysis.h"
#include "model/bag.h"
#include "model/oxide.h"
#include "model/stock.h"
#include "quantity/quantity.h"
#include "request/label_text.h"
#include "support/close.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

typedef enum how {
    TAKES,   /* product that a target takes: target, label, unit                     */
    BRINGS,  /* nutrient in an amount of product: form and amount, label, unit        */
    GRADE,   /* N + P2O5 + K2O in it: amount as "product ...", label, unit            */
    AS_FORM, /* the element of the target as its oxide, or back: the form in `label`  */
    ON_AREA, /* TAKES, spread on `area_m2`: per plot                                  */
    A_PLANT, /* a rate per area shared over `area_m2` a plant [g]                     */
    BY_MASS, /* a rate per area by the mass of soil: `area_m2` is kg of mix [g]       */
    MIX_IN   /* strong into weak: "weak strong total", per cent and mass              */
} how;

enum { WHOLE = -1 }; /* the printed figure is no list */

static const struct row {
    const char *id, *key;
    int place;
    how method;
    const char *target, *label, *unit;
    double area_m2;
    double tolerance;
    double right; /* 0: what is printed */
} rows[] = {
    {"WE-001", "N_lb", WHOLE, BRINGS, "N 1250 lb", "5-10-20", "lb", 0, 0.05, 0},
    {"WE-001", "P2O5_lb", WHOLE, BRINGS, "P2O5 1250 lb", "5-10-20", "lb", 0, 0.5, 0},
    {"WE-001", "K2O_lb", WHOLE, BRINGS, "K2O 1250 lb", "5-10-20", "lb", 0, 0.5, 0},
    {"WE-001", "P_lb", WHOLE, BRINGS, "P 1250 lb", "5-10-20", "lb", 0, 0.5, 0},
    {"WE-002", "P2O5_lb", WHOLE, AS_FORM, "P 55 lb", "P2O5", "lb", 0, 0.5, 126.02},
    {"WE-003", "P_pct", WHOLE, AS_FORM, "P2O5 12 kg", "P", "kg", 0, 0.005, 0},
    {"WE-004", "K_pct", WHOLE, AS_FORM, "K2O 45 kg", "K", "kg", 0, 0.005, 37.36},
    {"WE-005", "product_kg_per_ha", WHOLE, TAKES, "P 20 kg/ha", "P 8.8", "kg/ha", 0, 0.5, 0},
    {"WE-006", "product_kg_per_ha", WHOLE, TAKES, "P 25 kg/ha", "P 8.9", "kg/ha", 0, 0.5, 0},
    {"WE-007", "product_kg_per_ha", WHOLE, TAKES, "N 100 kg/ha", "46-0-0", "kg/ha", 0, 0.005, 0},
    {"WE-008", "N_kg", WHOLE, BRINGS, "N 50 kg", "45-0-0", "kg", 0, 0.05, 0},
    {"WE-008", "P2O5_kg", WHOLE, BRINGS, "P2O5 250 kg", "0-18-0", "kg", 0, 0.5, 0},
    {"WE-008", "K2O_kg", WHOLE, BRINGS, "K2O 25 kg", "0-0-60", "kg", 0, 0.5, 0},
    {"WE-009", "N_kg", WHOLE, BRINGS, "N 500 kg", "21-0-0", "kg", 0, 0.5, 0},
    {"WE-010", "product_kg_per_ha", WHOLE, TAKES, "N 60 kg/ha", "20-0-0", "kg/ha", 0, 0.5, 0},
    {"WE-011", "P2O5_kg_per_ha", WHOLE, BRINGS, "P2O5 200 kg/ha", "0-40-0", "kg/ha", 0, 0.5, 0},
    {"WE-011", "K2O_kg_per_ha", WHOLE, BRINGS, "K2O 150 kg/ha", "0-0-60", "kg/ha", 0, 0.5, 0},
    {"WE-011", "N_kg_per_ha", WHOLE, BRINGS, "N 150 kg/ha", "20-0-0", "kg/ha", 0, 0.5, 0},
    {"WE-012", "product_lb", 0, TAKES, "N 0.1 lb/100ft2", "18-0-0", "lb/100ft2", 0, 0.05, 0},
    {"WE-012", "product_lb", 1, TAKES, "N 1 lb/1000ft2", "45-0-0", "lb/1000ft2", 0, 0.05, 0},
    {"WE-012", "product_lb", 2, TAKES, "N 1 lb/1000ft2", "21-0-0", "lb/1000ft2", 0, 0.05, 0},
    {"WE-012", "product_lb", 3, TAKES, "N 1 lb/1000ft2", "16-0-0", "lb/1000ft2", 0, 0.0500001, 0},
    {"WE-012", "product_lb", 4, TAKES, "N 1 lb/1000ft2", "27-0-0", "lb/1000ft2", 0, 0.05, 0},
    {"WE-012", "product_lb", 5, TAKES, "N 1 lb/1000ft2", "6-0-0", "lb/1000ft2", 0, 0.05, 0},
    {"WE-013", "grade1_lb_per_1000sqft", WHOLE, TAKES, "N 1 lb/1000ft2", "15-0-0", "lb/1000ft2", 0,
     0.05, 0},
    {"WE-013", "grade2_lb_per_1000sqft", WHOLE, TAKES, "N 1 lb/1000ft2", "6-0-0", "lb/1000ft2", 0,
     0.05, 0},
    {"WE-013", "grade2_lb_for_lawn", WHOLE, TAKES, "N 1 lb/1000ft2", "6-0-0", "lb/2500ft2", 0,
     0.005, 41.67},
    {"WE-014", "N_kg_per_ha", WHOLE, BRINGS, "N 1000 kg/ha", "20-10-10", "kg/ha", 0, 0.5, 0},
    {"WE-014", "P2O5_kg_per_ha", WHOLE, BRINGS, "P2O5 1000 kg/ha", "20-10-10", "kg/ha", 0, 0.5, 0},
    {"WE-014", "K2O_kg_per_ha", WHOLE, BRINGS, "K2O 1000 kg/ha", "20-10-10", "kg/ha", 0, 0.5, 0},
    {"WE-015", "N_lb", WHOLE, BRINGS, "N 1000 lb", "8-10-4", "lb", 0, 0.5, 0},
    {"WE-015", "P2O5_lb", WHOLE, BRINGS, "P2O5 1000 lb", "8-10-4", "lb", 0, 0.5, 0},
    {"WE-015", "K2O_lb", WHOLE, BRINGS, "K2O 1000 lb", "8-10-4", "lb", 0, 0.5, 0},
    {"WE-016", "total_nutrients_lb", WHOLE, GRADE, "product 2000 lb", "15-12-4", "lb", 0, 0.5, 0},
    {"WE-017", "K2O_kg", WHOLE, BRINGS, "K2O 40 kg", "0-0-60", "kg", 0, 0.5, 0},
    {"WE-018", "product_kg", WHOLE, MIX_IN, "10 45 800", "", "kg", 0, 0.005, 0},
    {"WE-019", "urea_kg_per_ha", WHOLE, TAKES, "N 120 kg/ha", "46-0-0", "kg/ha", 0, 0.05, 260.87},
    {"WE-019", "superphosphate_kg_per_ha", WHOLE, TAKES, "P2O5 60 kg/ha", "0-16-0", "kg/ha", 0, 0.5,
     0},
    {"WE-019", "muriate_kg_per_ha", WHOLE, TAKES, "K2O 40 kg/ha", "0-0-60", "kg/ha", 0, 0.005, 0},
    /* 60 cm x 91 cm a stand is 0.546 m2; a third of 50 kg/ha */
    {"WE-020", "g_per_stand", WHOLE, A_PLANT, "product 16.6667 kg/ha", "", "", 0.546, 0.05, 0},
    /* 2,200,000 kg/ha of plough layer is 20 cm of 1.1 kg/L */
    {"WE-021", "g_per_pot", WHOLE, BY_MASS, "product 300 kg/ha", "", "", 10, 0.005, 0},
    {"WE-022", "product_lb_per_yd3", WHOLE, TAKES, "N 1.98 lb/yd3", "19-0-0", "lb/yd3", 0, 0.005,
     0},
    {"WE-023", "product_g_per_m2", WHOLE, TAKES, "N 10 g/m2", "44-0-0", "g/m2", 0, 0.05, 0},
    {"WE-023", "product_g_per_plot", WHOLE, ON_AREA, "N 10 g/m2", "44-0-0", "", 25, 0.5, 0},
    {"WE-024", "product_g_per_m2", WHOLE, TAKES, "P 10 g/m2", "0-46-0", "g/m2", 0, 0.05, 0},
    {"WE-024", "product_g_per_plot", WHOLE, ON_AREA, "P 10 g/m2", "0-46-0", "", 25, 0.5, 0},
    {"WE-025", "product_oz", WHOLE, TAKES, "N 200 ppm", "20-0-0", "ozwt/100USgal", 0, 0.005, 13.35},
    {"WE-026", "ppm_N", WHOLE, BRINGS, "N 1 ozwt/100USgal", "15-0-0", "mg/L", 0, 0.005, 11.23},
    {"WE-027", "ammonium_nitrate_oz", WHOLE, TAKES, "N 150 ppm", "33-0-0", "ozwt/100USgal", 0, 0.05,
     6.07},
    {"WE-027", "calcium_nitrate_oz", WHOLE, TAKES, "N 150 ppm", "15-0-0", "ozwt/100USgal", 0, 0.5,
     0},
    {"WE-028", "product_mg_per_L", WHOLE, TAKES, "Mg 40 ppm", "Mg 9.7, S 13", "mg/L", 0, 0.5, 0},
    {"WE-028", "ppm_S", WHOLE, BRINGS, "S 412 mg/L", "Mg 9.7, S 13", "mg/L", 0, 0.005, 0},
    {"WE-029", "product_mg_per_L", WHOLE, TAKES, "Ca 200 ppm", "Ca 18.8", "mg/L", 0, 0.05, 0},
    {"WE-048", "DAP_kg_per_ha", WHOLE, TAKES, "P2O5 60 kg/ha", "18-46-0", "kg/ha", 0, 0.005, 0},
    {"WE-048", "N_from_DAP_kg", WHOLE, BRINGS, "N 130.43 kg/ha", "18-46-0", "kg/ha", 0, 0.005, 0},
    {"WE-048", "urea_kg_per_ha", WHOLE, TAKES, "N 96.52 kg/ha", "46-0-0", "kg/ha", 0, 0.05, 209.8},
    {"WE-048", "muriate_kg_per_ha", WHOLE, TAKES, "K2O 40 kg/ha", "0-0-60", "kg/ha", 0, 0.005, 0},
    {"WE-049", "DAP_for_N_kg", WHOLE, TAKES, "N 33 kg", "18-46-0", "kg", 0, 0.5, 0},
    {"WE-049", "DAP_for_P_kg", WHOLE, TAKES, "P2O5 85 kg", "18-46-0", "kg", 0, 0.5, 0},
    {"WE-050", "MAP_lb", WHOLE, TAKES, "P2O5 1 lb", "11-55-0", "lb", 0, 0.05, 0},
    {"WE-050", "N_from_MAP_lb", WHOLE, BRINGS, "N 1.8 lb", "11-55-0", "lb", 0, 0.05, 0},
    {"WE-050", "ammonium_sulphate_lb", WHOLE, TAKES, "N 2.8 lb", "21-0-0", "lb", 0, 0.05, 0},
};

static json_t *cases;

static const json_t *case_of(const char *id)
{
    for (size_t i = 0; i < json_array_size(cases); i++)
        if (strcmp(json_string_value(json_object_get(json_array_get(cases, i), "id")), id) == 0)
            return json_array_get(cases, i);
    fail_msg("%s is not in worked_examples.json", id);
    return NULL;
}

static double printed_of(const struct row *r)
{
    const json_t *expected = json_object_get(case_of(r->id), "expected");
    const json_t *figure = json_object_get(expected, r->key);

    if (r->place != WHOLE)
        figure = json_array_get(figure, (size_t)r->place);
    if (!json_is_number(figure))
        fail_msg("%s has no figure %s", r->id, r->key);
    return json_number_value(figure);
}

static bd_target target_of(const char *text)
{
    bd_target target;
    bd_error err = {.status = BD_OK};

    if (bd_target_read(text, BD_MEASURES_NONE, &target, &err) != BD_OK)
        fail_msg("%s: %s", text, err.text);
    return target;
}

static bd_product product_of(const char *text)
{
    bd_label label;
    bd_product product = {.purity = 0.0};
    bd_error err = {.status = BD_OK};
    bool is_near;

    if (bd_label_read(text, BD_CONVENTION_NONE, &label, &err) != BD_OK ||
        bd_product_make(NULL, &label, false, 0.0, &product, &is_near, &err) != BD_OK)
        fail_msg("%s: %s", text, err.text);
    return product;
}

/* From the canonical unit of a kind into the one the source prints. */
static double in_unit(double x, bd_kind kind, const char *unit)
{
    char one[32];
    bd_range factor;
    bd_error err = {.status = BD_OK};

    (void)snprintf(one, sizeof one, "1 %s", bd_kind_unit(kind));
    if (bd_quantity_convert(one, unit, BD_MEASURES_NONE, &factor, &err) != BD_OK)
        fail_msg("%s: %s", unit, err.text);
    return x * factor.typical;
}

static double grade_share(const bd_product *p)
{
    return bd_product_share(p, (bd_nutrient_form){BD_N, false}).typical +
           bd_product_share(p, (bd_nutrient_form){BD_P, true}).typical +
           bd_product_share(p, (bd_nutrient_form){BD_K, true}).typical;
}

static bd_bases bases_of(double g_per_m2, double area_m2, double plants_per_m2, double soil_kg)
{
    const bd_bag bag = {.area_m2 = area_m2, .volume_l = 1.0, .depth_m = 1.0};
    const bd_field field = {
        .plough_depth_m = 0.20, .bulk_density_kg_per_l = 1.1, .plants_per_m2 = plants_per_m2};
    bd_bases bases;

    assert_int_equal(bd_bag_bases(&bag, 1.0, soil_kg, g_per_m2, &field, &bases, NULL), BD_OK);
    return bases;
}

static double mixed_in(const char *text)
{
    double weak = 0.0, strong = 0.0, total = 0.0, out = 0.0;

    assert_int_equal(sscanf(text, "%lf %lf %lf", &weak, &strong, &total), 3);
    assert_int_equal(bd_stock_dilute(strong, weak, total, &out, NULL), BD_OK);
    return out;
}

static double as_form(const bd_target *target, const char *name)
{
    bd_nutrient_form form;

    assert_true(bd_nutrient_find(name, strlen(name), &form));
    return bd_as_form(form, bd_as_element(target->form, target->value.typical));
}

static double worked_out(const struct row *r)
{
    bd_target t = {.is_product = true};
    bd_product p = {.purity = 0.0};
    double share = 1.0;

    if (r->method == MIX_IN)
        return mixed_in(r->target);
    t = target_of(r->target);
    if (r->method == AS_FORM)
        return in_unit(as_form(&t, r->label), t.kind, r->unit);
    if (r->method == A_PLANT)
        return bases_of(t.value.typical, 1.0, 1.0 / r->area_m2, 0.0).plant;
    if (r->method == BY_MASS)
        return bases_of(t.value.typical, 1.0, 0.0, r->area_m2).mass;
    p = product_of(r->label);
    share = r->method == GRADE ? grade_share(&p) : bd_product_share(&p, t.form).typical;
    assert_true(share > 0.0);
    if (r->method == ON_AREA)
        return bases_of(t.value.typical / share, r->area_m2, 0.0, 0.0).area;
    return in_unit(r->method == TAKES ? t.value.typical / share : t.value.typical * share, t.kind,
                   r->unit);
}

static void check(void **state)
{
    const struct row *r = *state;
    double printed = printed_of(r), got = worked_out(r);

    if (!(r->right > 0.0)) {
        assert_close(got, printed, r->tolerance);
        return;
    }
    assert_close(got, r->right, r->tolerance);
    if (fabs(got - printed) <= r->tolerance)
        fail_msg("%s %s: the printed %g is right after all", r->id, r->key, printed);
    print_message("%s %s: printed %g, right %g\n", r->id, r->key, printed, r->right);
}

static void every_case_is_used_and_has_a_source(void **state)
{
    (void)state;
    for (size_t i = 0; i < json_array_size(cases); i++) {
        const json_t *one = json_array_get(cases, i);
        const char *id = json_string_value(json_object_get(one, "id"));
        const char *source = json_string_value(json_object_get(one, "source"));
        size_t k = 0;

        assert_non_null(source);
        while (k < COUNT_OF(rows) && strcmp(rows[k].id, id) != 0)
            k++;
        if (k == COUNT_OF(rows))
            fail_msg("%s is not checked", id);
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(rows) + 1];
    json_error_t trouble;
    size_t n = 0;
    int failed;

    cases =
        json_load_file("tests/published/worked_examples.json", JSON_REJECT_DUPLICATES, &trouble);
    if (cases == NULL) {
        print_error("worked_examples.json:%d: %s; run from the top of the tree\n", trouble.line,
                    trouble.text);
        return 1;
    }
    for (size_t i = 0; i < COUNT_OF(rows); i++)
        tests[n++] = (struct CMUnitTest){rows[i].id, check, NULL, NULL, (void *)&rows[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_case_is_used_and_has_a_source);
    failed = cmocka_run_group_tests_name("worked examples", tests, NULL, NULL);
    json_decref(cases);
    return failed;
}
