#include "model/rootzone.h"

#include <math.h>
#include <stdlib.h>

#include "support/cmocka_all.h"
#include "support/close.h"

static const double conserved = 1e-9; /* of what came */

static const bd_kc_curve carrot_kc = {0.7, 1.05, 0.95, {20, 30, 30, 20}};

/* A bag of 20 L with round numbers: 8 L at capacity, 10 L at saturation. */
static bd_rootzone plain_bag(void)
{
    return (bd_rootzone){
        .days = 40,
        .age_days = 60,
        .area_m2 = 0.1,
        .capacity_l = 8.0,
        .wilting_l = 2.0,
        .saturation_l = bd_exactly(10.0),
        .existing_ece_ds_per_m = bd_exactly(0.8),
        .water_ds_per_m = bd_exactly(0.0),
        .leaching_share = 0.0,
        .watering_every_days = 1,
        .eto_mm_per_d = 5.0,
        .kc = {1.0, 1.0, 1.0, {20, 30, 30, 20}},
        .uptake_share = bd_exactly(0.0),
    };
}

static bd_course follow(const bd_rootzone *zone)
{
    bd_course c = {.ece_before_ds_per_m = -1.0};
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_rootzone_follow(zone, BD_END_TYPICAL, NULL, NULL, &c, &err), BD_OK);
    assert_int_equal(err.status, BD_OK);
    assert_true(c.balance.water_residual <= conserved);
    assert_true(c.balance.load_residual <= conserved);
    return c;
}

static const struct kc_row {
    const char *name;
    double day, want;
} kc_rows[] = {
    {"kc/first_day", 1, 0.7},
    {"kc/end_of_the_first_stage", 20, 0.7},
    {"kc/middle_of_development", 35, 0.875}, /* by hand, 0.7 + 15/30 * 0.35 */
    {"kc/end_of_development", 50, 1.05},
    {"kc/mid_season", 65, 1.05},
    {"kc/middle_of_the_late_stage", 90, 1.00}, /* by hand, 1.05 - 10/20 * 0.10 */
    {"kc/last_day", 100, 0.95},
    {"kc/left_standing", 140, 0.95},
};

static void test_kc(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof kc_rows / sizeof kc_rows[0]; i++) {
        print_message("%s\n", kc_rows[i].name);
        assert_close(bd_kc_on_day(&carrot_kc, kc_rows[i].day), kc_rows[i].want, 1e-12);
    }
}

/* What a season followed from its first day shows at its end, it shows from any later day on with
 * the days before it as past: salt drains and is taken up in them just so. */
static void test_a_past_day_is_a_day(void **state)
{
    bd_dressing given[] = {
        {-50, 1.0, bd_exactly(3.0)}, {-8, 0.0, bd_exactly(4.0)}, {12, 1.0, bd_exactly(2.0)}};
    bd_rootzone later = plain_bag(), whole;
    bd_course of_later, of_whole;

    (void)state;
    later.water_ds_per_m = bd_exactly(0.6);
    later.leaching_share = 0.15;
    later.uptake_share = bd_exactly(0.5);
    later.past_days = later.age_days;
    later.dressings = given;
    later.dressing_count = 3;
    of_later = follow(&later);
    whole = later;
    whole.days += whole.age_days;
    whole.age_days = whole.past_days = 0;
    for (size_t i = 0; i < 3; i++)
        given[i].day += 60;
    of_whole = follow(&whole);
    assert_close(of_later.ece_after_ds_per_m, of_whole.ece_after_ds_per_m, 1e-12);
    assert_true(of_later.ece_before_ds_per_m > of_whole.ece_before_ds_per_m + 0.1);
    assert_close(of_later.balance.load_dressings, 2.0, 1e-12); /* from today on */
}

static void test_kc_without_stages_is_that_of_the_end(void **state)
{
    const bd_kc_curve flat = {0.4, 0.5, 1.0, {0, 0, 0, 0}};

    (void)state;
    assert_close(bd_kc_on_day(&flat, 1), 1.0, 0.0);
    assert_close(bd_kc_on_day(&flat, 300), 1.0, 0.0);
}

/* No salt comes and none goes: the ECe stands still, soil water peaks when it is least. */
static void test_closed_bag_stands_still(void **state)
{
    bd_rootzone zone = plain_bag();
    bd_course c = follow(&zone);

    (void)state;
    assert_close(c.ece_before_ds_per_m, 0.8, 1e-12);
    assert_close(c.ece_peak_ds_per_m, 0.8, 1e-12);
    assert_close(c.ece_mean_ds_per_m, 0.8, 1e-12);
    assert_close(c.ece_after_ds_per_m, 0.8, 1e-12);
    assert_zero(c.rise_ds_per_m);
    assert_zero(c.balance.drained_l);
    /* by hand: 8 dS/m * L of salt in 8 L - 5 mm * 0.1 m2 = 7.5 L */
    assert_close(c.ecsw_peak_ds_per_m, 8.0 / 7.5, 1e-12);
    assert_close(c.balance.used_l, 40 * 0.5, 1e-9);
    /* by hand: the last day's use is not watered back */
    assert_close(c.balance.irrigation_l, 39 * 0.5, 1e-9);
}

/* ECsw = ECe * SP / W in volume terms: 10 L of saturation over 5 L that are there. */
static void test_soil_water_follows_the_water_there(void **state)
{
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.days = 1;
    zone.eto_mm_per_d = 20.0;
    zone.area_m2 = 0.15;
    c = follow(&zone);
    assert_close(c.ecsw_peak_ds_per_m, 0.8 * 10.0 / 5.0, 1e-12);
}

static void test_dry_dressing_is_a_jump(void **state)
{
    const bd_dressing given[] = {{10, 0.0, bd_exactly(3.0)}, {10, 0.0, bd_exactly(1.0)}};
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.dressings = given;
    zone.dressing_count = 2;
    c = follow(&zone);
    assert_close(c.rise_ds_per_m, 0.4, 1e-12);
    assert_close(c.ece_peak_ds_per_m, 1.2, 1e-12);
    assert_close(c.ece_mean_ds_per_m, 0.8 + 0.4 * 30 / 40, 1e-12); /* by hand, 30 of 40 days */
    assert_close(c.balance.load_dressings, 4.0, 1e-12);
}

/*
 * By hand, layer by layer, 2 L at 1 dS/m each: 2 L with 12 come, and half of 14, of 9,
 * of 6.5 and of 5.25 goes down.
 */
static void test_dissolved_dressing_pushes_water_out(void **state)
{
    const bd_dressing given = {0, 2.0, bd_exactly(12.0)};
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.dressings = &given;
    zone.dressing_count = 1;
    zone.days = 1;
    c = follow(&zone);
    assert_close(c.ece_peak_ds_per_m, 2.0, 1e-12);
    assert_close(c.balance.drained_l, 2.0, 1e-12);
    assert_close(c.balance.load_drained, 2.625, 1e-12);
    assert_close(c.ece_after_ds_per_m, 1.7375, 1e-12);
    assert_close(c.ece_top_peak_ds_per_m, 14.0 / 2.5, 1e-12);
}

/* By hand: half of a dressing is taken up evenly over the rest of the season. */
static void test_uptake_takes_its_share(void **state)
{
    const bd_dressing given = {0, 0.0, bd_exactly(4.0)};
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.dressings = &given;
    zone.dressing_count = 1;
    zone.uptake_share = bd_exactly(0.5);
    c = follow(&zone);
    assert_close(c.balance.load_taken_up, 2.0, 1e-9);
    assert_close(c.ece_after_ds_per_m, 1.0, 1e-9);
    assert_close(c.ece_mean_ds_per_m, 1.1, 1e-9); /* from 1.2 to 1.0 in a straight line */
}

static void test_uptake_follows_its_curve(void **state)
{
    const bd_uptake_point late[] = {{0.5, 0.0}, {1.0, 1.0}};
    const bd_dressing given = {0, 0.0, bd_exactly(4.0)};
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.age_days = 0;
    zone.days = 100;
    zone.dressings = &given;
    zone.dressing_count = 1;
    zone.uptake_share = bd_exactly(1.0);
    zone.uptake = late;
    zone.uptake_count = 2;
    c = follow(&zone);
    assert_close(c.balance.load_taken_up, 4.0, 1e-9);
    /* by hand: 1.2 for 50 days, then down to 0.8 in a straight line */
    assert_close(c.ece_mean_ds_per_m, 0.5 * 1.2 + 0.5 * 1.0, 1e-9);
}

/*
 * By hand: of the water that comes, 1 - 0.4 * 0.85 = 0.66 leaves the first layer, then 0.405,
 * 0.235 and 0.15; each layer ends at 0.3 dS/m over its share, in 8 of 10 L.
 */
static void test_long_run_is_water_over_what_passes(void **state)
{
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.days = 1000;
    zone.water_ds_per_m = bd_exactly(0.3);
    zone.leaching_share = 0.15;
    c = follow(&zone);
    assert_close(c.ece_after_ds_per_m,
                 0.3 * (1 / 0.66 + 1 / 0.405 + 1 / 0.235 + 1 / 0.15) / 4 * 0.8, 1e-4);
}

static void test_short_of_water_counts_dry_days(void **state)
{
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.watering_every_days = 20;
    c = follow(&zone);
    /* by hand: 6 L last 12 days of 0.5 L; 8 dry days in each of two rounds */
    assert_int_equal(c.dry_days, 16);
    assert_close(c.ecsw_peak_ds_per_m, 8.0 / 2.0, 1e-9);
    assert_close(c.balance.used_l, 12.0, 1e-9);
}

static void test_rain_leaches(void **state)
{
    bd_rootzone zone = plain_bag();
    bd_course c;

    (void)state;
    zone.rain_mm_per_d = 10.0;
    c = follow(&zone);
    assert_close(c.balance.rain_l, 40.0, 1e-9);
    assert_zero(c.balance.irrigation_l);
    assert_true(c.ece_after_ds_per_m < 0.8 && c.balance.load_drained > 0.0);
}

static double between(double low, double high)
{
    return low + (high - low) * ((double)rand() / RAND_MAX);
}

static bd_range range_between(double low, double high)
{
    double a = between(low, high), b = between(a, high), c = between(b, high);

    return bd_range_of(a, b, c);
}

enum { MOST_DRESSINGS = 8, BAGS = 2000 };

static bd_rootzone any_bag(bd_dressing dressings[MOST_DRESSINGS])
{
    static const bd_uptake_point curve[] = {{0.3, 0.05}, {0.7, 0.6}, {1.0, 1.0}};
    double capacity_l = between(0.2, 60.0);
    bd_rootzone zone = {
        .days = 1 + rand() % 200,
        .age_days = rand() % 120,
        .area_m2 = between(0.005, 0.5),
        .capacity_l = capacity_l,
        .wilting_l = capacity_l * between(0.05, 0.9),
        .saturation_l = range_between(capacity_l, 2.0 * capacity_l),
        .existing_ece_ds_per_m = range_between(0.0, 6.0),
        .water_ds_per_m = range_between(0.0, 4.0),
        .leaching_share = between(0.0, 0.6),
        .watering_every_days = 1 + rand() % 7,
        .eto_mm_per_d = between(0.0, 12.0),
        .rain_mm_per_d = rand() % 3 == 0 ? between(0.0, 20.0) : 0.0,
        .kc = {between(0.1, 1.0), between(0.5, 1.2), between(0.3, 1.1), {20, 30, 30, 20}},
        .uptake_share = range_between(0.0, 1.0),
        .uptake = rand() % 2 == 0 ? curve : NULL,
        .dressings = dressings,
        .dressing_count = (size_t)(rand() % (MOST_DRESSINGS + 1)),
    };

    zone.uptake_count = zone.uptake != NULL ? 3 : 0;
    for (size_t i = 0; i < zone.dressing_count; i++)
        dressings[i] = (bd_dressing){rand() % zone.days, rand() % 2 == 0 ? 0.0 : between(0.0, 5.0),
                                     range_between(0.0, 40.0)};
    return zone;
}

static void check_rises(bd_range r)
{
    assert_true(r.low <= r.typical * (1.0 + 1e-12) + 1e-12);
    assert_true(r.typical <= r.high * (1.0 + 1e-12) + 1e-12);
}

static void check_course(const bd_course *c)
{
    assert_true(c->balance.water_residual <= conserved);
    assert_true(c->balance.load_residual <= conserved);
    assert_true(c->balance.water_after_l > 0.0);
    assert_true(c->balance.load_after >= 0.0 && c->balance.load_taken_up >= 0.0);
    assert_true(c->ece_peak_ds_per_m >= c->ece_before_ds_per_m);
    assert_true(c->ece_peak_ds_per_m >= c->ece_mean_ds_per_m - 1e-12);
    assert_true(c->ece_peak_ds_per_m >= c->ece_after_ds_per_m - 1e-12);
    assert_true(c->ece_top_peak_ds_per_m >= c->ece_before_ds_per_m - 1e-12);
}

/* Salt and water are conserved, and ranges stay in order, in bags of all sorts. */
static void test_conserves_in_any_bag(void **state)
{
    bd_dressing dressings[MOST_DRESSINGS];

    (void)state;
    srand(20240229);
    for (int i = 0; i < BAGS; i++) {
        bd_rootzone zone = any_bag(dressings);
        bd_outlook o;
        bd_course c;

        for (int end = BD_END_LOW; end <= (int)BD_END_HIGH; end++) {
            assert_int_equal(bd_rootzone_follow(&zone, (bd_end)end, NULL, NULL, &c, NULL), BD_OK);
            check_course(&c);
        }
        assert_int_equal(bd_rootzone_outlook(&zone, &o, NULL), BD_OK);
        check_rises(o.ece_before_ds_per_m);
        check_rises(o.ece_peak_ds_per_m);
        check_rises(o.ece_mean_ds_per_m);
        check_rises(o.ece_after_ds_per_m);
        check_rises(o.ece_top_peak_ds_per_m);
        check_rises(o.ecsw_peak_ds_per_m);
        check_rises(o.rise_ds_per_m);
    }
}

/* More fertiliser never means less salt. */
static void test_more_salt_is_never_less(void **state)
{
    bd_dressing dressings[MOST_DRESSINGS];

    (void)state;
    srand(7);
    for (int i = 0; i < BAGS / 4; i++) {
        bd_rootzone zone = any_bag(dressings);
        bd_course before = follow(&zone), after;

        if (zone.dressing_count == 0)
            continue;
        dressings[0].load_ds_l_per_m = bd_range_scale(dressings[0].load_ds_l_per_m, 1.5);
        after = follow(&zone);
        assert_true(after.ece_peak_ds_per_m >= before.ece_peak_ds_per_m - 1e-12);
        assert_true(after.ece_mean_ds_per_m >= before.ece_mean_ds_per_m - 1e-12);
    }
}

static void test_order_of_dressings_does_not_matter(void **state)
{
    bd_dressing one[] = {{3, 0.5, bd_exactly(2.0)}, {9, 0.0, bd_exactly(5.0)}};
    bd_dressing other[] = {one[1], one[0]};
    bd_rootzone zone = plain_bag();
    bd_course a, b;

    (void)state;
    zone.dressing_count = 2;
    zone.dressings = one;
    a = follow(&zone);
    zone.dressings = other;
    b = follow(&zone);
    assert_close(a.ece_mean_ds_per_m, b.ece_mean_ds_per_m, 1e-12);
    assert_close(a.balance.drained_l, b.balance.drained_l, 1e-12);
}

typedef struct watched {
    int days;
    double used_l, drained_l, irrigation_l;
} watched;

static void watch(const bd_rootzone_day *day, void *to)
{
    watched *w = to;

    assert_int_equal(day->day, w->days);
    w->days++;
    w->used_l += day->used_l;
    w->drained_l += day->drained_l;
    w->irrigation_l += day->irrigation_l;
}

static void test_days_add_up_to_the_course(void **state)
{
    bd_rootzone zone = plain_bag();
    watched w = {0, 0.0, 0.0, 0.0};
    bd_course c;

    (void)state;
    zone.leaching_share = 0.2;
    assert_int_equal(bd_rootzone_follow(&zone, BD_END_TYPICAL, watch, &w, &c, NULL), BD_OK);
    assert_int_equal(w.days, zone.days);
    assert_close(w.used_l, c.balance.used_l, 1e-9);
    assert_close(w.drained_l, c.balance.drained_l, 1e-9);
    assert_close(w.irrigation_l, c.balance.irrigation_l, 1e-9);
    assert_close(w.drained_l, 0.2 * w.irrigation_l, 1e-9); /* definition of the share */
}

typedef void spoil(bd_rootzone *zone);

static void no_days(bd_rootzone *z)
{
    z->days = 0;
}
static void too_many_days(bd_rootzone *z)
{
    z->days = 100000;
}
static void unborn(bd_rootzone *z)
{
    z->age_days = -1;
}
static void no_area(bd_rootzone *z)
{
    z->area_m2 = 0.0;
}
static void nan_area(bd_rootzone *z)
{
    z->area_m2 = (double)NAN;
}
static void wilting_above_capacity(bd_rootzone *z)
{
    z->wilting_l = 9.0;
}
static void no_wilting(bd_rootzone *z)
{
    z->wilting_l = 0.0;
}
static void capacity_above_saturation(bd_rootzone *z)
{
    z->capacity_l = 11.0;
}
static void nan_capacity(bd_rootzone *z)
{
    z->capacity_l = (double)NAN;
}
static void all_drains(bd_rootzone *z)
{
    z->leaching_share = 1.0;
}
static void never_watered(bd_rootzone *z)
{
    z->watering_every_days = 0;
}
static void furnace(bd_rootzone *z)
{
    z->eto_mm_per_d = 50.0;
}
static void negative_rain(bd_rootzone *z)
{
    z->rain_mm_per_d = -1.0;
}
static void nan_kc(bd_rootzone *z)
{
    z->kc.mid = (double)NAN;
}
static void negative_stage(bd_rootzone *z)
{
    z->kc.stage_days[2] = -5.0;
}
static void falling_range(bd_rootzone *z)
{
    z->existing_ece_ds_per_m = bd_range_of(2.0, 1.0, 3.0);
}
static void negative_water(bd_rootzone *z)
{
    z->water_ds_per_m = bd_range_of(-1.0, 0.0, 0.0);
}
static void takes_more_than_all(bd_rootzone *z)
{
    z->uptake_share = bd_exactly(1.5);
}
static void falling_curve(bd_rootzone *z)
{
    static const bd_uptake_point curve[] = {{0.5, 0.6}, {0.8, 0.5}};

    z->uptake = curve;
    z->uptake_count = 2;
}
static void dressing_after_harvest(bd_rootzone *z)
{
    static const bd_dressing late = {40, 0.0, {1.0, 1.0, 1.0}};

    z->dressings = &late;
    z->dressing_count = 1;
}
static void negative_dressing(bd_rootzone *z)
{
    static const bd_dressing odd = {0, 0.0, {-1.0, 1.0, 1.0}};

    z->dressings = &odd;
    z->dressing_count = 1;
}
static void nan_dressing_water(bd_rootzone *z)
{
    static const bd_dressing odd = {0, (double)NAN, {1.0, 1.0, 1.0}};

    z->dressings = &odd;
    z->dressing_count = 1;
}

static const struct refusal {
    const char *name;
    spoil *by;
    bd_status status;
} refusals[] = {
    {"no_days", no_days, BD_RANGE},
    {"too_many_days", too_many_days, BD_RANGE},
    {"unborn", unborn, BD_RANGE},
    {"no_area", no_area, BD_CONFLICT},
    {"nan_area", nan_area, BD_RANGE},
    {"wilting_above_capacity", wilting_above_capacity, BD_CONFLICT},
    {"no_wilting", no_wilting, BD_CONFLICT},
    {"capacity_above_saturation", capacity_above_saturation, BD_CONFLICT},
    {"nan_capacity", nan_capacity, BD_CONFLICT},
    {"all_drains", all_drains, BD_RANGE},
    {"never_watered", never_watered, BD_RANGE},
    {"furnace", furnace, BD_RANGE},
    {"negative_rain", negative_rain, BD_RANGE},
    {"nan_kc", nan_kc, BD_RANGE},
    {"negative_stage", negative_stage, BD_RANGE},
    {"falling_range", falling_range, BD_RANGE},
    {"negative_water", negative_water, BD_RANGE},
    {"takes_more_than_all", takes_more_than_all, BD_RANGE},
    {"falling_curve", falling_curve, BD_RANGE},
    {"dressing_after_harvest", dressing_after_harvest, BD_RANGE},
    {"negative_dressing", negative_dressing, BD_RANGE},
    {"nan_dressing_water", nan_dressing_water, BD_RANGE},
};

static void test_refusals(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        bd_rootzone zone = plain_bag();
        bd_outlook o = {.rise_ds_per_m = {-1.0, -1.0, -1.0}};
        bd_error err = {.status = BD_OK};

        print_message("refuses/%s\n", refusals[i].name);
        refusals[i].by(&zone);
        assert_int_equal(bd_rootzone_outlook(&zone, &o, &err), refusals[i].status);
        assert_int_equal(err.status, refusals[i].status);
        assert_true(err.accepts[0] != '\0');
        assert_close(o.rise_ds_per_m.typical, -1.0, 0.0);
        assert_int_equal(bd_rootzone_outlook(&zone, &o, NULL), refusals[i].status);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_kc),
        cmocka_unit_test(test_a_past_day_is_a_day),
        cmocka_unit_test(test_kc_without_stages_is_that_of_the_end),
        cmocka_unit_test(test_closed_bag_stands_still),
        cmocka_unit_test(test_soil_water_follows_the_water_there),
        cmocka_unit_test(test_dry_dressing_is_a_jump),
        cmocka_unit_test(test_dissolved_dressing_pushes_water_out),
        cmocka_unit_test(test_uptake_takes_its_share),
        cmocka_unit_test(test_uptake_follows_its_curve),
        cmocka_unit_test(test_long_run_is_water_over_what_passes),
        cmocka_unit_test(test_short_of_water_counts_dry_days),
        cmocka_unit_test(test_rain_leaches),
        cmocka_unit_test(test_conserves_in_any_bag),
        cmocka_unit_test(test_more_salt_is_never_less),
        cmocka_unit_test(test_order_of_dressings_does_not_matter),
        cmocka_unit_test(test_days_add_up_to_the_course),
        cmocka_unit_test(test_refusals),
    };

    return cmocka_run_group_tests_name("rootzone", tests, NULL, NULL);
}
