/* Air: worked values of the header, edges, and what must be refused. */
#include "support/cmocka_all.h"

#include <math.h>

#include "model/air.h"
#include "support/close.h"

#define N(rows)   (sizeof(rows) / sizeof(rows)[0])
#define UNTOUCHED (-99.0)

static const struct {
    const char *name;
    bd_air air;
    bd_status status;
    double wet_bulb, delta_t, dew_point, vpd, tolerance;
    const char *source;
} observed[] = {
    {"header_example", {20, 0.38, 101.325}, BD_OK, 12.1, 7.9, 5.2, 1.45, 0.05, "by hand"},
    {"saturated", {17, 1.0, 101.325}, BD_OK, 17, 0, 17, 0, 1e-9, "definition"},
    {"saturated_and_cold", {-20, 1.0, 80}, BD_OK, -20, 0, -20, 0, 1e-9, "definition"},
    {"zero_humidity", {20, 0, 101.325}, BD_RANGE, 0, 0, 0, 0, 0, "header"},
    {"percent_for_share", {20, 50, 101.325}, BD_RANGE, 0, 0, 0, 0, 0, "header"},
    {"negative_humidity", {20, -0.1, 101.325}, BD_RANGE, 0, 0, 0, 0, 0, "header"},
    {"humidity_nan", {20, (double)NAN, 101.325}, BD_RANGE, 0, 0, 0, 0, 0, "header"},
    {"temperature_nan", {(double)NAN, 0.5, 101.325}, BD_RANGE, 0, 0, 0, 0, 0, "header"},
    {"pressure_nan", {20, 0.5, (double)NAN}, BD_RANGE, 0, 0, 0, 0, 0, "header"},
    {"pressure_in_hpa", {20, 0.5, 1013.25}, BD_RANGE, 0, 0, 0, 0, 0, "header"},
    {"too_hot", {50.1, 0.5, 101.325}, BD_OUTSIDE, 0, 0, 0, 0, 0, "header"},
    {"too_cold", {-20.1, 0.5, 101.325}, BD_OUTSIDE, 0, 0, 0, 0, 0, "header"},
    {"dew_point_beyond_formula", {0, 0.01, 101.325}, BD_OUTSIDE, 0, 0, 0, 0, 0, "header"},
};

static void check_observed(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(observed); i++) {
        bd_air_state got = {.wet_bulb_degc = UNTOUCHED};
        bd_error err = {0};

        print_message("  air/%s\n", observed[i].name);
        assert_int_equal(bd_air_observe(&observed[i].air, &got, &err), observed[i].status);
        assert_int_equal(err.status, observed[i].status);
        if (observed[i].status != BD_OK) {
            assert_close(got.wet_bulb_degc, UNTOUCHED, 0.0);
            continue;
        }
        assert_close(got.wet_bulb_degc, observed[i].wet_bulb, observed[i].tolerance);
        assert_close(got.delta_t_degc, observed[i].delta_t, observed[i].tolerance);
        assert_close(got.dew_point_degc, observed[i].dew_point, observed[i].tolerance);
        assert_close(got.vpd_kpa, observed[i].vpd, observed[i].tolerance);
    }
}

/* Dew point <= wet bulb <= dry bulb, and the pair of thermometers gives the humidity back. */
static void check_order_and_return(void **state)
{
    (void)state;
    for (double kpa = 50; kpa <= 110; kpa += 20) {
        for (double t = -20; t <= 50; t += 2.5) {
            for (double h = 0.05; h <= 1.0; h += 0.05) {
                bd_air air = {t, h, kpa};
                bd_air_state got;
                double back = UNTOUCHED;

                if (bd_air_observe(&air, &got, NULL) != BD_OK)
                    continue;
                assert_true(got.dew_point_degc <= got.wet_bulb_degc + 1e-9);
                assert_true(got.wet_bulb_degc <= t);
                assert_true(got.delta_t_degc >= 0.0);
                if (got.wet_bulb_degc < -20.0)
                    continue;
                assert_int_equal(
                    bd_air_humidity_from_wet_bulb(t, got.wet_bulb_degc, kpa, &back, NULL), BD_OK);
                assert_close(back, h, 1e-9);
            }
        }
    }
}

/* Thin air evaporates more: the wet bulb falls with pressure. */
static void check_height_lowers_wet_bulb(void **state)
{
    bd_air low = {30, 0.3, 101.325}, high = {30, 0.3, 80};
    bd_air_state at_sea, on_hill;

    (void)state;
    assert_int_equal(bd_air_observe(&low, &at_sea, NULL), BD_OK);
    assert_int_equal(bd_air_observe(&high, &on_hill, NULL), BD_OK);
    assert_true(on_hill.wet_bulb_degc < at_sea.wet_bulb_degc - 0.3);
    assert_close(on_hill.check_degc, at_sea.check_degc, 1e-9);
}

static const struct {
    const char *name;
    double temperature_degc, humidity;
    bd_status status;
    double want, tolerance;
    const char *source;
} regression[] = {
    {"worked_value", 20, 0.50, BD_OK, 13.70, 0.005, "R. Stull 2011"},
    {"driest", 30, 0.05, BD_OK, 10.772, 0.0005, "by hand from the printed equation"},
    {"below_driest", 30, 0.049, BD_OUTSIDE, 0, 0, "stated range"},
    {"wettest", 30, 0.99, BD_OK, 29.936, 0.0005, "by hand from the printed equation"},
    {"above_wettest", 30, 0.991, BD_OUTSIDE, 0, 0, "stated range"},
    {"cold_and_dry", 0, 0.20, BD_OUTSIDE, 0, 0, "stated range"},
    {"edge_of_cold_and_dry", -10, 0.50, BD_OUTSIDE, 0, 0, "0.277 + 0.227 = 0.504"},
    {"off_the_edge", -10, 0.51, BD_OK, -11.59, 1.0, "psychrometer, stated error of the regression"},
    {"cold_not_dry", 0, 0.30, BD_OK, -4.03, 1.0, "psychrometer, stated error of the regression"},
    {"too_hot", 51, 0.5, BD_OUTSIDE, 0, 0, "stated range"},
    {"percent_for_share", 20, 50, BD_RANGE, 0, 0, "header"},
    {"humidity_nan", 20, (double)NAN, BD_RANGE, 0, 0, "header"},
};

static void check_regression(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(regression); i++) {
        double got = UNTOUCHED;

        print_message("  regression/%s\n", regression[i].name);
        assert_int_equal(bd_air_wet_bulb_by_regression(regression[i].temperature_degc,
                                                       regression[i].humidity, &got, NULL),
                         regression[i].status);
        assert_close(got, regression[i].status == BD_OK ? regression[i].want : UNTOUCHED,
                     regression[i].tolerance);
    }
}

/* The two methods are told apart where they part, and only there. */
static void check_cross_check(void **state)
{
    bd_air usual = {22, 0.6, 101.325}, desert = {28, 0.05, 101.325}, fog = {10, 1.0, 101.325};
    bd_air_state got;

    (void)state;
    assert_int_equal(bd_air_observe(&usual, &got, NULL), BD_OK);
    assert_true(got.is_checked && got.is_agreed);
    assert_int_equal(bd_air_observe(&desert, &got, NULL), BD_OK);
    assert_true(got.is_checked && !got.is_agreed);
    assert_true(got.check_degc < -1.0);
    assert_int_equal(bd_air_observe(&fog, &got, NULL), BD_OK);
    assert_false(got.is_checked);
    assert_false(got.is_agreed);
}

static const struct {
    const char *name;
    double dry, wet, kpa;
    bd_status status;
    double want, tolerance;
} pairs[] = {
    {"header_example", 20, 12, 101.325, BD_OK, 0.370, 0.0005},
    {"equal_is_saturated", 20, 20, 101.325, BD_OK, 1.0, 1e-12},
    {"wet_above_dry", 20, 20.1, 101.325, BD_CONFLICT, 0, 0},
    {"lower_than_air_can_be", 30, 5, 101.325, BD_OUTSIDE, 0, 0},
    {"wet_nan", 20, (double)NAN, 101.325, BD_RANGE, 0, 0},
    {"pressure_nan", 20, 12, (double)NAN, BD_RANGE, 0, 0},
};

static void check_pairs(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(pairs); i++) {
        double got = UNTOUCHED;
        bd_error err = {0};

        print_message("  pair/%s\n", pairs[i].name);
        assert_int_equal(
            bd_air_humidity_from_wet_bulb(pairs[i].dry, pairs[i].wet, pairs[i].kpa, &got, &err),
            pairs[i].status);
        assert_int_equal(err.status, pairs[i].status);
        assert_close(got, pairs[i].status == BD_OK ? pairs[i].want : UNTOUCHED, pairs[i].tolerance);
    }
}

static const struct {
    const char *name;
    double altitude_m;
    bd_status status;
    double want, tolerance;
    const char *source;
} heights[] = {
    {"sea_level", 0, BD_OK, 101.325, 1e-9, "definition"},
    {"1000_m", 1000, BD_OK, 89.875, 0.005, "International Standard Atmosphere, table"},
    {"3000_m", 3000, BD_OK, 70.11, 0.01, "International Standard Atmosphere, table"},
    {"dead_sea", -430, BD_OK, 106.6, 0.1, "the formula by hand"},
    {"too_high", 5501, BD_OUTSIDE, 0, 0, "header"},
    {"nan", (double)NAN, BD_RANGE, 0, 0, "header"},
};

static void check_heights(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(heights); i++) {
        double got = UNTOUCHED;

        print_message("  height/%s\n", heights[i].name);
        assert_int_equal(bd_air_pressure(heights[i].altitude_m, &got, NULL), heights[i].status);
        assert_close(got, heights[i].status == BD_OK ? heights[i].want : UNTOUCHED,
                     heights[i].tolerance);
    }
}

static const struct {
    const char *name;
    bd_deliquescence salt;
    double degc;
    bd_status status;
} bad_salts[] = {
    {"colder_than_constants", {43.22, 225, 10, 40}, 9.9, BD_OUTSIDE},
    {"warmer_than_constants", {43.22, 225, 10, 40}, 40.1, BD_OUTSIDE},
    {"temperature_nan", {43.22, 225, 10, 40}, (double)NAN, BD_RANGE},
    {"over_saturation", {100, 225, 10, 40}, 25, BD_OUTSIDE},
    {"negative", {-1, 225, 10, 40}, 25, BD_OUTSIDE},
    {"constant_nan", {(double)NAN, 225, 10, 40}, 25, BD_OUTSIDE},
};

static void check_bad_salts(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(bad_salts); i++) {
        double got = UNTOUCHED;

        print_message("  salt/%s\n", bad_salts[i].name);
        assert_int_equal(
            bd_deliquescence_humidity(&bad_salts[i].salt, bad_salts[i].degc, &got, NULL),
            bad_salts[i].status);
        assert_close(got, UNTOUCHED, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_observed),
        cmocka_unit_test(check_order_and_return),
        cmocka_unit_test(check_height_lowers_wet_bulb),
        cmocka_unit_test(check_regression),
        cmocka_unit_test(check_cross_check),
        cmocka_unit_test(check_pairs),
        cmocka_unit_test(check_heights),
        cmocka_unit_test(check_bad_salts),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
