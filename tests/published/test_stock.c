/*
 * Stock solutions, injectors, dilutions, liquids by weight and what nutrients
 * cost, as worked in print.  Tolerance: half the last digit printed, unless the
 * row says why not.  WE numbers are those of the collection the cases came from.
 */
#include "support/cmocka_all.h"

#include "model/cost.h"
#include "model/stock.h"
#include "support/close.h"

#define N(rows)    (sizeof(rows) / sizeof(rows)[0])
#define GAL_L      3.785411784
#define LB_KG      0.45359237
#define LB_PER_GAL (LB_KG / GAL_L)
#define TON_LB     2000

/* Pennisi and Thomas, University of Georgia Cooperative Extension, Bucket Chemistry 101. */
static const struct {
    const char *name;
    double parts, percent;
} dials[] = {{"WE-030", 50, 2}, {"WE-030", 100, 1}, {"WE-030", 200, 0.5}, {"WE-031", 50, 2}};

static void check_dials(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(dials); i++) {
        double percent = 0.0, parts = 0.0;

        assert_int_equal(bd_ratio_percent(dials[i].parts, &percent, NULL), BD_OK);
        assert_close(percent, dials[i].percent, 1e-12);
        assert_int_equal(bd_ratio_parts(dials[i].percent, &parts, NULL), BD_OK);
        assert_close(parts, dials[i].parts, 1e-9);
    }
}

/* Greenhouse injector training video, WE-032: 1.74 less 0.25 is 1.49; the label says 1.52. */
static void check_injector(void **state)
{
    double share = 0.0;

    (void)state;
    assert_int_equal(bd_injector_check(1.74, 0.25, 1.52, &share, NULL), BD_OK);
    assert_close(share * 1.52, 1.49, 0.005);
}

/* A spray is a stock used as it is: grams = strength x volume. */
static const struct {
    const char *name;
    double strength, volume, want, tolerance;
    const char *source;
} batches[] = {
    {"WE-033", 20, 250, 5000, 0.5, "Krishak Jagat 2021: 2 % urea in 250 L takes 5 kg"},
    {"WE-038_300_gal", 2.0 / 100, 300, 6, 1e-9, "pesticidesafety.org, lb"},
    {"WE-038_20_gal", 32.0 / 100, 20, 6.4, 1e-9, "same, oz"},
    {"WE-038_10_gal", 32.0 / 100, 10, 3.2, 1e-9, "same, oz"},
};

static void check_batches(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(batches); i++) {
        bd_stock_wish wish = {.feed_g_per_l = batches[i].strength,
                              .share = 1,
                              .stock_l = batches[i].volume,
                              .can_l = 1,
                              .working_share = 1};
        bd_stock got;

        print_message("  batch/%s\n", batches[i].name);
        assert_int_equal(bd_stock_plan(&wish, &got, NULL), BD_OK);
        assert_close(got.salt_g, batches[i].want, batches[i].tolerance);
    }
}

/* US Army subcourse MD0173, Pesticides in the Military. */
static const struct {
    const char *name;
    double strong, weak, total, want, tolerance;
} dilutions[] = {
    {"WE-034_gal_of_48_percent", 48, 1, 55, 1.146, 0.0005},
    {"WE-035_lb_of_80_percent", 80, 5, 10, 0.625, 1e-9},
    {"WE-035_oz_of_80_percent", 80, 5, 160, 10, 1e-9},
    {"WE-036_lb_of_powder_by_weight", 80, 2, 5 * 8.34, 1.04, 0.005},
};

static void check_dilutions(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(dilutions); i++) {
        double take = 0.0;

        print_message("  dilution/%s\n", dilutions[i].name);
        assert_int_equal(bd_stock_dilute(dilutions[i].strong, dilutions[i].weak, dilutions[i].total,
                                         &take, NULL),
                         BD_OK);
        assert_close(take, dilutions[i].want, dilutions[i].tolerance);
    }
}

/* Liquids sold by weight per cent. */
static const struct {
    const char *name;
    double percent, lb_per_gal, n_lb_per_gal, tolerance;
    const char *source;
} liquids[] = {
    {"WE-078", 10, 10.69, 1.069, 0.0005, "Vineyard Team, Liquid Fertilizer Calculations"},
    {"WE-079", 28, 10.6, 2.97, 0.005, "J. Camberato in Indiana Prairie Farmer, January 2023"},
    {"WE-080", 30, 10.86, 3.26, 0.005, "Garden Guides article 125745"},
};

static void check_liquids(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(liquids); i++) {
        double g_per_l = 0.0;

        print_message("  liquid/%s\n", liquids[i].name);
        assert_int_equal(bd_liquid_strength(liquids[i].percent / 100,
                                            liquids[i].lb_per_gal * LB_PER_GAL, &g_per_l, NULL),
                         BD_OK);
        assert_close(g_per_l / 1000 / LB_PER_GAL, liquids[i].n_lb_per_gal, liquids[i].tolerance);
    }
}

static const struct {
    const char *name;
    double need_lb, percent, lb_per_gal, want_gal, tolerance;
} volumes[] = {
    {"WE-078_15_lb_n_an_acre", 15, 10, 10.69, 14.03, 0.005},
    {"WE-078_20_acres", 15 * 20, 10, 10.69, 280.6, 0.05},
    {"WE-079_59.4_lb_n", 59.4, 28, 10.6, 20, 0.05},
    {"WE-037_active_in_6_percent_spray", 0.3, 6, 8.34, 0.6, 0.05},
};

static void check_volumes(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(volumes); i++) {
        double litres = 0.0;

        print_message("  volume/%s\n", volumes[i].name);
        assert_int_equal(bd_liquid_volume(volumes[i].need_lb * LB_KG * 1000,
                                          volumes[i].percent / 100,
                                          volumes[i].lb_per_gal * LB_PER_GAL, &litres, NULL),
                         BD_OK);
        assert_close(litres / GAL_L, volumes[i].want_gal, volumes[i].tolerance);
    }
}

/* Price of a pound of nitrogen from the price of a short ton. */
static const struct {
    const char *name;
    double price, percent, per_lb, tolerance;
    const char *source;
} prices[] = {
    {"WE-081_urea", 412, 46, 0.45, 0.005, "Noble Research Institute, June 2007"},
    {"WE-081_ammonium_nitrate", 370, 34, 0.54, 0.005, "same; 0.5441 is printed 54 cents"},
    {"WE-083_urea", 567, 46, 0.62, 0.005, "R. Flynn, New Mexico State University, A-133"},
    {"WE-084_urea", 700, 46, 0.76, 0.005, "M. Rankin, University of Wisconsin-Extension"},
    {"WE-084_solution", 600, 28, 1.07, 0.005, "same"},
};

static void check_prices(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(prices); i++) {
        double per_kg = 0.0;

        print_message("  price/%s\n", prices[i].name);
        assert_int_equal(
            bd_cost_per_kg(prices[i].price, TON_LB * LB_KG, prices[i].percent / 100, &per_kg, NULL),
            BD_OK);
        assert_close(per_kg * LB_KG, prices[i].per_lb, prices[i].tolerance);
    }
}

/* Nitrogen in a ton, WE-081 and WE-082: the ton that a need of so many pounds takes. */
static const struct {
    double percent, n_lb;
} tons[] = {{46, 920}, {34, 680}, {27, 540}, {28, 560}};

static void check_tons(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(tons); i++) {
        bd_purchase got = {0};

        assert_int_equal(bd_cost_packs(tons[i].n_lb * LB_KG, 1, TON_LB * LB_KG,
                                       tons[i].percent / 100, &got, NULL),
                         BD_OK);
        assert_close(got.product_kg / LB_KG, TON_LB, 0.5);
        assert_close(got.packs, 1, 0.0);
    }
}

/* Dairy Soils and Fertiliser Manual 14.3, WE-085: 364 + 40 a tonne spread, 281 kg/ha -> 113.52. */
static void check_spread_price(void **state)
{
    double per_kg = 0.0;

    (void)state;
    assert_int_equal(bd_cost_per_kg(364 + 40, 1000, 1, &per_kg, NULL), BD_OK);
    assert_close(per_kg * 281, 113.52, 0.005);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_dials),        cmocka_unit_test(check_injector),
        cmocka_unit_test(check_batches),      cmocka_unit_test(check_dilutions),
        cmocka_unit_test(check_liquids),      cmocka_unit_test(check_volumes),
        cmocka_unit_test(check_prices),       cmocka_unit_test(check_tons),
        cmocka_unit_test(check_spread_price),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
