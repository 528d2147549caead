#include "support/cmocka_all.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "model/solubility.h"
#include "support/close.h"

/* Potassium nitrate, g/100 g of water: CRC Handbook, 98th edition. */
static const bd_solubility_point nitrate_points[] = {{0, 13.64},  {10, 21.36}, {20, 31.93},
                                                     {30, 45.56}, {40, 62.87}, {60, 109.2}};
/* The general table, for the same salt. */
static const bd_solubility_point general_points[] = {{0, 13.3},  {10, 20.9}, {20, 31.6}, {30, 45.8},
                                                     {40, 63.9}, {50, 85.5}, {60, 110}};
/* Gypsum rises and falls again: CRC Handbook. */
static const bd_solubility_point gypsum_points[] = {
    {0, 0.221}, {20, 0.256}, {40, 0.266}, {60, 0.255}};
/* Manganese sulfate falls above 30 degC: CRC Handbook. */
static const bd_solubility_point falling_points[] = {{30, 77.1}, {60, 63.2}};

static const bd_solubility curves[] = {
    {.material = "potassium-nitrate", .points = nitrate_points, .point_count = 6},
    {.material = "potassium-nitrate", .points = general_points, .point_count = 7},
    {.material = "gypsum", .points = gypsum_points, .point_count = 4},
    {.material = "manganese-sulfate-monohydrate", .points = falling_points, .point_count = 2},
};
enum { CURVES = sizeof curves / sizeof curves[0] };

static const struct row {
    const char *name;
    int curve;
    double temperature_c, want, tolerance;
    bd_status status;
    const char *source;
} rows[] = {
    {"solubility/at_a_point_is_the_point", 0, 20, 31.93, 1e-9, BD_OK, "the curve"},
    {"solubility/first_point", 0, 0, 13.64, 1e-9, BD_OK, "the curve"},
    {"solubility/last_point", 0, 60, 109.2, 1e-9, BD_OK, "the curve"},
    {"solubility/a_point_left_out_25", 0, 25, 38.31, 0.15, BD_OK,
     "CRC row of 25 degC, left out above"},
    {"solubility/a_point_left_out_50", 0, 50, 84.16, 1.0, BD_OK,
     "CRC row of 50 degC, left out above"},
    {"solubility/below_the_curve_is_refused", 0, -0.1, 0, 0, BD_OUTSIDE, "header"},
    {"solubility/above_the_curve_is_refused", 0, 60.1, 0, 0, BD_OUTSIDE, "header"},
    {"solubility/nan_is_refused", 0, (double)NAN, 0, 0, BD_RANGE, "header"},
};

static void check(void **state)
{
    const struct row *r = *state;
    double got = -1.0;
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_solubility_at(&curves[r->curve], r->temperature_c, &got, &err), r->status);
    assert_close(got, r->status == BD_OK ? r->want : -1.0, r->tolerance);
    if (r->status == BD_OUTSIDE)
        assert_string_equal(err.accepts, "0 to 60 degC");
}

static const struct warm_row {
    const char *name;
    int curve;
    double g_per_100g, want, tolerance;
    bd_status status;
} warm_rows[] = {
    {"warmth/there_and_back", 0, 31.93, 20.0, 1e-9, BD_OK},
    {"warmth/between_points", 0, 38.31, 25.0, 0.2, BD_OK}, /* CRC row of 25 degC */
    {"warmth/little_dissolves_at_once", 0, 5.0, 0.0, 0.0, BD_OK},
    {"warmth/too_much_never", 0, 120.0, 0.0, 0.0, BD_OUTSIDE},
    {"warmth/lowest_of_two_is_given", 2, 0.256, 20.0, 1e-9, BD_OK},
    {"warmth/more_than_the_top_never", 2, 0.27, 0.0, 0.0, BD_OUTSIDE},
    {"warmth/falling_curve_gives_its_start", 3, 70.0, 30.0, 0.0, BD_OK},
    {"warmth/nothing_is_refused", 0, 0.0, 0.0, 0.0, BD_RANGE},
    {"warmth/nan_is_refused", 0, (double)NAN, 0.0, 0.0, BD_RANGE},
};

static void check_warmth(void **state)
{
    const struct warm_row *r = *state;
    double got = -1.0;

    assert_int_equal(bd_solubility_temperature_for(&curves[r->curve], r->g_per_100g, &got, NULL),
                     r->status);
    assert_close(got, r->status == BD_OK ? r->want : -1.0, r->tolerance);
}

static void inverse_is_inverse(void **state)
{
    (void)state;
    for (double t = 0.0; t <= 60.0; t += 0.7) {
        double s, back;

        assert_int_equal(bd_solubility_at(&curves[0], t, &s, NULL), BD_OK);
        assert_int_equal(bd_solubility_temperature_for(&curves[0], s, &back, NULL), BD_OK);
        assert_close(back, t, 1e-9);
    }
}

static void strictest_wins(void **state)
{
    const bd_solubility *which = NULL;
    bd_error err = {.status = BD_OK};
    double s;

    (void)state;
    assert_int_equal(
        bd_solubility_strictest(curves, CURVES, "potassium-nitrate", 20.0, &s, &which, &err),
        BD_OK);
    assert_close(s, 31.6, 1e-9);
    assert_ptr_equal(which, &curves[1]);
    assert_int_equal(
        bd_solubility_strictest(curves, CURVES, "potassium-nitrate", 40.0, &s, &which, &err),
        BD_OK);
    assert_close(s, 62.87, 1e-9);
    assert_int_equal(bd_solubility_strictest(curves, CURVES, "chalk", 20.0, &s, NULL, &err),
                     BD_MISSING);
    assert_int_equal(bd_solubility_strictest(curves, CURVES, "manganese-sulfate-monohydrate", 20.0,
                                             &s, NULL, NULL),
                     BD_OUTSIDE);
}

static void measure_of_a_litre(void **state)
{
    (void)state;
    /* By hand: 100 / (10 * 1.005 - 100 * 0.51 / 100) = 10.48 */
    assert_close(bd_solubility_g_per_100g(100.0, 1.005, 0.51), 10.482, 5e-4);
    assert_close(bd_solubility_g_per_100g(10.0, 1.0, 0.0), 1.0, 1e-12);
    assert_true(bd_solubility_g_per_100g(3000.0, 1.0, 0.5) > 1e300);
}

static void common_ion_counts(void **state)
{
    static const double alone[] = {1.268, 0.634}, mixed[] = {2.0, 0.5}, counts[] = {2.0, 1.0};
    static const double none[] = {2.0, 0.0};

    (void)state;
    assert_close(bd_solubility_in_mix(alone, counts, 2, 0.634), 1.0, 1e-12);
    assert_close(bd_solubility_in_mix(mixed, counts, 2, 0.634), 1.2519, 5e-5); /* by hand */
    assert_zero(bd_solubility_in_mix(none, counts, 2, 0.634));
}

int main(void)
{
    enum { ROWS = sizeof rows / sizeof rows[0], WARM = sizeof warm_rows / sizeof warm_rows[0] };
    struct CMUnitTest tests[ROWS + WARM];
    static const struct CMUnitTest others[] = {
        cmocka_unit_test(inverse_is_inverse),
        cmocka_unit_test(strictest_wins),
        cmocka_unit_test(measure_of_a_litre),
        cmocka_unit_test(common_ion_counts),
    };
    int failed;

    for (size_t i = 0; i < ROWS; i++)
        tests[i] =
            (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)(uintptr_t)&rows[i]};
    for (size_t i = 0; i < WARM; i++)
        tests[ROWS + i] = (struct CMUnitTest){warm_rows[i].name, check_warmth, NULL, NULL,
                                              (void *)(uintptr_t)&warm_rows[i]};
    failed = cmocka_run_group_tests(tests, NULL, NULL);
    return failed + cmocka_run_group_tests(others, NULL, NULL);
}
