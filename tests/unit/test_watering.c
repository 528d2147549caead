/* Litres of water a day, stage by stage. */
#include <math.h>

#include "model/watering.h"
#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static bd_watering_order carrot(void)
{
    return (bd_watering_order){.kc = {0.7, 1.05, 0.95, {20, 30, 30, 20}},
                               .eto_mm_per_d = {5.0, 5.0, 5.0},
                               .area_m2 = 0.071,
                               .store_l = 6.6,
                               .usable_share = 0.35,
                               .young_share = 10.0 / 35.0,
                               .drain_share = 0.15,
                               .ease_off_days = 10.0,
                               .ease_off_share = 0.5};
}

static void test_stages_of_carrot(void **state)
{
    const bd_watering_order o = carrot();
    bd_watering w;

    (void)state;
    assert_int_equal(bd_watering_table(&o, &w, NULL), BD_OK);
    assert_int_equal(w.stages[0].first_day, 1);
    assert_int_equal(w.stages[0].last_day, 20);
    assert_int_equal(w.stages[2].first_day, 51);
    assert_int_equal(w.stages[2].last_day, 80);
    assert_int_equal(w.stages[3].last_day, 90);
    assert_int_equal(w.stages[4].first_day, 91);
    assert_int_equal(w.stages[4].last_day, 100);
    assert_close(w.stages[0].kc, 0.7, 1e-12);
    assert_close(w.stages[2].use_l_per_d.typical, 0.37, 0.005); /* 5 mm * 1.05 * 0.071 m2 */
    assert_close(w.stages[2].give_l_per_d.typical, w.stages[2].use_l_per_d.typical / 0.85, 1e-12);
    assert_close(w.stages[4].give_l_per_d.typical, 0.5 * w.stages[4].use_l_per_d.typical, 1e-12);
    assert_close(w.stages[2].every_days.typical, 6.6 * 0.35 / w.stages[2].use_l_per_d.typical,
                 1e-12);
}

/* 5 mm * 0.7 * 0.071 m2 is 0.2485 L a day; 6.6 L * 0.35 * 10 / 35 is 0.66 L in reach of a
 * seedling: 2.66 days, and 9.3 days had it the whole bag. */
static void test_seedlings_reach_the_top_alone(void **state)
{
    bd_watering_order o = carrot();
    bd_watering w;

    (void)state;
    assert_int_equal(bd_watering_table(&o, &w, NULL), BD_OK);
    assert_close(w.stages[0].every_days.typical, 2.656, 0.001);
    o.young_share = 1.0;
    assert_int_equal(bd_watering_table(&o, &w, NULL), BD_OK);
    assert_close(w.stages[0].every_days.typical, 9.296, 0.001);
    assert_close(w.stages[1].every_days.typical, 6.6 * 0.35 / w.stages[1].use_l_per_d.typical,
                 1e-12);
}

static void check_table(const bd_watering_order *o, const bd_watering *w)
{
    double season = 0.0;
    int days = 0;

    for (int i = 0; i < BD_WATERING_STAGES; i++) {
        const bd_watering_stage *s = &w->stages[i];
        int n = s->last_day - s->first_day + 1;

        if (n <= 0)
            continue;
        days += n;
        season += s->total_l.typical;
        assert_true(s->use_l_per_d.low <= s->use_l_per_d.high);
        assert_true(s->every_days.low >= 1.0 && s->every_days.high <= n);
        if (i < BD_STAGES)
            assert_true(s->give_l_per_d.typical >= s->use_l_per_d.typical);
    }
    assert_int_equal(days, (int)floor(o->kc.stage_days[0] + o->kc.stage_days[1] +
                                      o->kc.stage_days[2] + o->kc.stage_days[3] + 0.5));
    assert_close(season, w->season_l.typical, 1e-9 * (1.0 + season));
}

static void test_every_day_is_watered_once(void **state)
{
    bd_watering_order o = carrot();
    bd_watering w;

    (void)state;
    for (int ease = 0; ease <= 120; ease += 7) {
        o.ease_off_days = ease;
        assert_int_equal(bd_watering_table(&o, &w, NULL), BD_OK);
        check_table(&o, &w);
    }
    o = carrot();
    o.kc.stage_days[3] = 0.0;
    o.eto_mm_per_d = bd_range_of(0.0, 4.0, 7.0);
    assert_int_equal(bd_watering_table(&o, &w, NULL), BD_OK);
    check_table(&o, &w);
}

static void test_bad_orders_are_refused(void **state)
{
    bd_watering_order o[10];
    bd_watering w = {.season_l = {77.0, 77.0, 77.0}};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(o); i++)
        o[i] = carrot();
    o[0].area_m2 = 0.0;
    o[1].eto_mm_per_d.high = 21.0;
    o[2].drain_share = 0.95;
    o[3].kc.mid = (double)NAN;
    o[4].kc.stage_days[1] = -1.0;
    o[5].usable_share = 1.5;
    o[6].ease_off_share = 1.1;
    o[7].store_l = 0.0;
    o[8].young_share = 0.0;
    o[9].young_share = 1.1;
    for (size_t i = 0; i < COUNT_OF(o); i++)
        assert_int_equal(bd_watering_table(&o[i], &w, NULL), BD_RANGE);
    assert_close(w.season_l.low, 77.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_stages_of_carrot),
        cmocka_unit_test(test_seedlings_reach_the_top_alone),
        cmocka_unit_test(test_every_day_is_watered_once),
        cmocka_unit_test(test_bad_orders_are_refused),
    };

    return cmocka_run_group_tests_name("watering", tests, NULL, NULL);
}
