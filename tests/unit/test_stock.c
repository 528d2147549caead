/* Stock solutions: header examples, what closes, refusals. */
#include "support/cmocka_all.h"

#include <math.h>

#include "model/stock.h"
#include "support/close.h"

#define N(rows)   (sizeof(rows) / sizeof(rows)[0])
#define UNTOUCHED (-99.0)

static const struct {
    const char *name;
    double parts;
    bd_ratio_reading reading;
    bd_status status;
    double want, tolerance;
} ratios[] = {
    {"1_in_100", 100, BD_RATIO_IN_TOTAL, BD_OK, 0.01, 1e-15},
    {"1_to_100", 100, BD_RATIO_TO_WATER, BD_OK, 0.00990, 5e-6},
    {"1_to_10_makes_11", 10, BD_RATIO_TO_WATER, BD_OK, 1.0 / 11.0, 1e-15},
    {"undiluted", 1, BD_RATIO_IN_TOTAL, BD_OK, 1, 0},
    {"half_and_half", 1, BD_RATIO_TO_WATER, BD_OK, 0.5, 0},
    {"less_than_one", 0.5, BD_RATIO_IN_TOTAL, BD_RANGE, 0, 0},
    {"nan", (double)NAN, BD_RATIO_IN_TOTAL, BD_RANGE, 0, 0},
    {"too_many", 2e6, BD_RATIO_TO_WATER, BD_RANGE, 0, 0},
};

static void check_ratios(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(ratios); i++) {
        double got = UNTOUCHED;

        print_message("  ratio/%s\n", ratios[i].name);
        assert_int_equal(bd_ratio_share(ratios[i].parts, ratios[i].reading, &got, NULL),
                         ratios[i].status);
        assert_close(got, ratios[i].status == BD_OK ? ratios[i].want : UNTOUCHED,
                     ratios[i].tolerance);
    }
}

static void check_percent_there_and_back(void **state)
{
    double percent = UNTOUCHED, parts = UNTOUCHED;

    (void)state;
    assert_int_equal(bd_ratio_percent(128, &percent, NULL), BD_OK);
    assert_close(percent, 0.78125, 1e-12);
    assert_int_equal(bd_ratio_parts(percent, &parts, NULL), BD_OK);
    assert_close(parts, 128, 1e-9);
    assert_int_equal(bd_ratio_parts(101, &parts, NULL), BD_RANGE);
    assert_int_equal(bd_ratio_parts(0, &parts, NULL), BD_RANGE);
    assert_int_equal(bd_ratio_percent((double)NAN, &percent, NULL), BD_RANGE);
    assert_close(parts, 128, 1e-9);
}

static const bd_stock_wish usual = {.feed_g_per_l = 1,
                                    .share = 0.01,
                                    .stock_l = 5,
                                    .can_l = 10,
                                    .dissolves_g_per_l = 209,
                                    .working_share = 0.8,
                                    .salt_l_per_kg = 0};

static void check_header_example(void **state)
{
    bd_stock got;

    (void)state;
    assert_int_equal(bd_stock_plan(&usual, &got, NULL), BD_OK);
    assert_close(got.stock_g_per_l, 100, 1e-9);
    assert_close(got.salt_g, 500, 1e-9);
    assert_close(got.feed_l, 500, 1e-9);
    assert_close(got.stock_l_per_can, 0.1, 1e-12);
    assert_close(got.stock_l_per_can + got.water_l_per_can, 10, 1e-12);
    assert_close(got.saturation, 0.478, 0.0005);
    assert_true(got.solubility_is_known && got.stays_dissolved);
    assert_false(got.volume_is_known);
    /* what the cans get is what went into the bottle */
    assert_close(got.stock_g_per_l * got.stock_l_per_can / usual.can_l, usual.feed_g_per_l, 1e-12);
}

/* At the thinnest share that is promised to stay dissolved it does, and just past it not. */
static void check_least_share(void **state)
{
    bd_stock_wish wish = usual;
    bd_stock got;

    (void)state;
    assert_int_equal(bd_stock_plan(&wish, &got, NULL), BD_OK);
    wish.share = got.least_share * 1.001;
    assert_int_equal(bd_stock_plan(&wish, &got, NULL), BD_OK);
    assert_true(got.stays_dissolved);
    wish.share = got.least_share * 0.999;
    assert_int_equal(bd_stock_plan(&wish, &got, NULL), BD_OK);
    assert_false(got.stays_dissolved);
    wish.dissolves_g_per_l = 0;
    assert_int_equal(bd_stock_plan(&wish, &got, NULL), BD_OK);
    assert_false(got.solubility_is_known);
    assert_false(got.stays_dissolved);
}

/* Water poured ON instead of filled up TO: 1 L + 200 g that add 0.08 L make 1.08 L. */
static void check_filling_up(void **state)
{
    bd_stock_wish wish = {.feed_g_per_l = 200,
                          .share = 1,
                          .stock_l = 1,
                          .can_l = 1,
                          .working_share = 1,
                          .salt_l_per_kg = 0.4};
    bd_stock got;

    (void)state;
    assert_int_equal(bd_stock_plan(&wish, &got, NULL), BD_OK);
    assert_true(got.volume_is_known);
    assert_close(got.water_l, 0.92, 1e-12);
    assert_close(got.poured_on_g_per_l, 185.2, 0.05);
    wish.feed_g_per_l = 2500;
    assert_int_equal(bd_stock_plan(&wish, &got, NULL), BD_CONFLICT);
}

static void check_bad_wishes(void **state)
{
    const double nan = (double)NAN;
    bd_stock_wish bad[9];
    bd_stock got = {.salt_g = UNTOUCHED};

    (void)state;
    for (size_t i = 0; i < N(bad); i++)
        bad[i] = usual;
    bad[0].feed_g_per_l = 0;
    bad[1].share = 0;
    bad[2].share = 1.1;
    bad[3].stock_l = -5;
    bad[4].can_l = nan;
    bad[5].dissolves_g_per_l = -1;
    bad[6].working_share = nan;
    bad[7].salt_l_per_kg = 3;
    bad[8].feed_g_per_l = (double)INFINITY;
    for (size_t i = 0; i < N(bad); i++) {
        bd_error err = {0};

        assert_int_equal(bd_stock_plan(&bad[i], &got, &err), BD_RANGE);
        assert_int_equal(err.status, BD_RANGE);
    }
    assert_close(got.salt_g, UNTOUCHED, 0.0);
}

static void check_dilution(void **state)
{
    double got = UNTOUCHED;
    bd_error err = {0};

    (void)state;
    assert_int_equal(bd_stock_dilute(5, 80, 10, &got, &err), BD_CONFLICT);
    assert_int_equal(err.status, BD_CONFLICT);
    assert_int_equal(bd_stock_dilute(80, 0, 10, &got, NULL), BD_RANGE);
    assert_int_equal(bd_stock_dilute(80, 5, (double)NAN, &got, NULL), BD_RANGE);
    assert_close(got, UNTOUCHED, 0.0);
    assert_int_equal(bd_stock_dilute(7, 7, 10, &got, NULL), BD_OK);
    assert_close(got, 10, 0.0);
}

static void check_injector(void **state)
{
    double got = UNTOUCHED;

    (void)state;
    assert_int_equal(bd_injector_check(0.25, 0.25, 1.5, &got, NULL), BD_CONFLICT);
    assert_int_equal(bd_injector_check(1.7, -0.1, 1.5, &got, NULL), BD_RANGE);
    assert_int_equal(bd_injector_check(1.7, 0.2, 0, &got, NULL), BD_RANGE);
    assert_close(got, UNTOUCHED, 0.0);
    assert_int_equal(bd_injector_check(1.5, 0, 1.5, &got, NULL), BD_OK);
    assert_close(got, 1, 1e-12);
}

static void check_liquids(void **state)
{
    double got = UNTOUCHED;

    (void)state;
    assert_int_equal(bd_liquid_strength(0.08, 1150, &got, NULL), BD_RANGE);
    assert_int_equal(bd_liquid_strength(8, 1.15, &got, NULL), BD_RANGE);
    assert_int_equal(bd_liquid_strength((double)NAN, 1.15, &got, NULL), BD_RANGE);
    assert_int_equal(bd_liquid_volume(0, 0.08, 1.15, &got, NULL), BD_RANGE);
    assert_close(got, UNTOUCHED, 0.0);
    assert_int_equal(bd_liquid_strength(0.08, 1.15, &got, NULL), BD_OK);
    assert_close(got, 92, 1e-9);
    assert_int_equal(bd_liquid_volume(got, 0.08, 1.15, &got, NULL), BD_OK);
    assert_close(got, 1, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_ratios),         cmocka_unit_test(check_percent_there_and_back),
        cmocka_unit_test(check_header_example), cmocka_unit_test(check_least_share),
        cmocka_unit_test(check_filling_up),     cmocka_unit_test(check_bad_wishes),
        cmocka_unit_test(check_dilution),       cmocka_unit_test(check_injector),
        cmocka_unit_test(check_liquids),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
