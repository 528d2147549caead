/* Reasons not to spray: each alone, the edges of the bands, and bands out of order. */
#include "support/cmocka_all.h"

#include <math.h>

#include "model/spray_day.h"

#define N(rows)     (sizeof(rows) / sizeof(rows)[0])
#define BIT(reason) (1u << BD_REASON_##reason)

/* Example bands; the real ones are data. */
static const bd_spray_bands bands = {.delta_t_low_degc = 2,
                                     .delta_t_good_degc = 8,
                                     .delta_t_high_degc = 10,
                                     .warm_degc = 28,
                                     .hot_degc = 30,
                                     .hot_dry_degc = 25,
                                     .hot_dry_humidity = 0.40,
                                     .wind_low_m_per_s = 1,
                                     .wind_good_m_per_s = 4,
                                     .wind_high_m_per_s = 5.5,
                                     .dry_hours_h = 24};

static const struct row {
    const char *name;
    double degc, humidity, wet_bulb_degc; /* Delta T is the difference */
    double wind_m_per_s, rain_in_h;       /* below 0: not known        */
    bool leaf_wet, wilted, dull, inversion;
    bd_status status;
    unsigned want;
} rows[] = {
    {"good_evening", 20, 0.6, 15, 2, 48, 0, 0, 0, 0, BD_OK, 0},
    {"low_edge_is_good", 20, 0.8, 18, 2, 48, 0, 0, 0, 0, BD_OK, 0},
    {"too_humid", 20, 0.9, 18.5, 2, 48, 0, 0, 0, 0, BD_OK, BIT(TOO_HUMID)},
    {"good_edge_is_good", 22, 0.4, 14, 2, 48, 0, 0, 0, 0, BD_OK, 0},
    {"marginal", 22, 0.35, 13, 2, 48, 0, 0, 0, 0, BD_OK, BIT(MARGINAL)},
    {"high_edge_is_marginal", 22, 0.3, 12, 2, 48, 0, 0, 0, 0, BD_OK, BIT(MARGINAL)},
    {"too_dry", 24, 0.2, 12, 2, 48, 0, 0, 0, 0, BD_OK, BIT(TOO_DRY)},
    {"warm", 29, 0.6, 23, 2, 48, 0, 0, 0, 0, BD_OK, BIT(WARM)},
    {"hot", 31, 0.6, 25, 2, 48, 0, 0, 0, 0, BD_OK, BIT(HOT)},
    {"hot_and_dry", 26, 0.39, 18, 2, 48, 0, 0, 0, 0, BD_OK, BIT(HOT_AND_DRY)},
    {"hot_dry_edge_is_neither", 25, 0.39, 18, 2, 48, 0, 0, 0, 0, BD_OK, 0},
    {"freezing", 3, 0.4, -0.5, 2, 48, 0, 0, 0, 0, BD_OK, BIT(FREEZING)},
    {"calm", 20, 0.6, 15, 0.5, 48, 0, 0, 0, 0, BD_OK, BIT(CALM)},
    {"breezy", 20, 0.6, 15, 5, 48, 0, 0, 0, 0, BD_OK, BIT(BREEZY)},
    {"windy", 20, 0.6, 15, 6, 48, 0, 0, 0, 0, BD_OK, BIT(WINDY)},
    {"wind_unknown", 20, 0.6, 15, -1, 48, 0, 0, 0, 0, BD_OK, BIT(WIND_UNKNOWN)},
    {"rain_in_just_enough", 20, 0.6, 15, 2, 24, 0, 0, 0, 0, BD_OK, 0},
    {"rain_soon", 20, 0.6, 15, 2, 23.9, 0, 0, 0, 0, BD_OK, BIT(RAIN_SOON)},
    {"rain_unknown", 20, 0.6, 15, 2, -1, 0, 0, 0, 0, BD_OK, BIT(RAIN_UNKNOWN)},
    {"dew", 20, 0.6, 15, 2, 48, 1, 0, 0, 0, BD_OK, BIT(LEAF_WET)},
    {"thirsty", 20, 0.6, 15, 2, 48, 0, 1, 0, 0, BD_OK, BIT(WILTED)},
    {"after_clouds", 20, 0.6, 15, 2, 48, 0, 0, 1, 0, BD_OK, BIT(DULL_SPELL)},
    {"inversion", 20, 0.6, 15, 2, 48, 0, 0, 0, 1, BD_OK, BIT(INVERSION)},
    {"borrowed_knapsack_day", 34, 0.3, 21, -1, 3, 0, 0, 1, 0, BD_OK,
     BIT(TOO_DRY) | BIT(HOT) | BIT(HOT_AND_DRY) | BIT(WIND_UNKNOWN) | BIT(RAIN_SOON) |
         BIT(DULL_SPELL)},
    {"wind_nan", 20, 0.6, 15, (double)NAN, 48, 0, 0, 0, 0, BD_RANGE, 0},
    {"wind_of_a_hurricane", 20, 0.6, 15, 61, 48, 0, 0, 0, 0, BD_RANGE, 0},
    {"rain_nan", 20, 0.6, 15, 2, (double)NAN, 0, 0, 0, 0, BD_RANGE, 0},
};

static void check(void **state)
{
    const struct row *r = *state;
    bd_air air = {r->degc, r->humidity, BD_AIR_SEA_LEVEL_KPA};
    bd_air_state seen = {.wet_bulb_degc = r->wet_bulb_degc,
                         .delta_t_degc = r->degc - r->wet_bulb_degc};
    bd_spray_day day = {.wind_is_known = !(r->wind_m_per_s < 0.0),
                        .wind_m_per_s = r->wind_m_per_s,
                        .rain_is_known = !(r->rain_in_h < 0.0),
                        .rain_in_h = r->rain_in_h,
                        .is_leaf_wet = r->leaf_wet,
                        .is_wilted = r->wilted,
                        .is_after_dull_spell = r->dull,
                        .is_inversion = r->inversion};
    unsigned got = ~0u;
    bd_error err = {0};

    assert_int_equal(bd_spray_day_reasons(&air, &seen, &day, &bands, &got, &err), r->status);
    assert_int_equal(err.status, r->status);
    assert_int_equal(got, r->status == BD_OK ? r->want : ~0u);
}

/* Each pair of neighbouring bands turned round, or made not a number, is a fault of the data. */
static void check_bands(void **state)
{
    const double nan = (double)NAN;
    bd_spray_bands bad[7];
    bd_air air = {20, 0.6, BD_AIR_SEA_LEVEL_KPA};
    bd_air_state seen = {.wet_bulb_degc = 15, .delta_t_degc = 5};
    bd_spray_day day = {0};

    (void)state;
    for (size_t i = 0; i < N(bad); i++)
        bad[i] = bands;
    bad[0].delta_t_low_degc = 9;
    bad[1].delta_t_high_degc = 7;
    bad[2].hot_degc = 27;
    bad[3].wind_good_m_per_s = 0.5;
    bad[4].wind_high_m_per_s = nan;
    bad[5].hot_dry_humidity = 40;
    bad[6].dry_hours_h = nan;
    for (size_t i = 0; i < N(bad); i++) {
        unsigned got = ~0u;

        assert_int_equal(bd_spray_day_reasons(&air, &seen, &day, &bad[i], &got, NULL), BD_CONFLICT);
        assert_int_equal(got, ~0u);
    }
}

static void check_membership(void **state)
{
    (void)state;
    assert_true(bd_reasons_have(BIT(HOT) | BIT(CALM), BD_REASON_CALM));
    assert_false(bd_reasons_have(BIT(HOT) | BIT(CALM), BD_REASON_WINDY));
    assert_true(BD_REASON_COUNT <= 32);
}

int main(void)
{
    struct CMUnitTest tests[N(rows) + 2];

    for (size_t i = 0; i < N(rows); i++)
        tests[i] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    tests[N(rows)] = (struct CMUnitTest)cmocka_unit_test(check_bands);
    tests[N(rows) + 1] = (struct CMUnitTest)cmocka_unit_test(check_membership);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
