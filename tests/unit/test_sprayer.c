/* Sprayer: header examples, inverses, refusals.  Printed cases are in tests/published. */
#include "support/cmocka_all.h"

#include <math.h>

#include "model/sprayer.h"
#include "support/close.h"

#define N(rows)   (sizeof(rows) / sizeof(rows)[0])
#define UNTOUCHED (-99.0)

typedef bd_status two_numbers(double, double, double *, bd_error *);
typedef bd_status three_numbers(double, double, double, double *, bd_error *);

static const struct {
    const char *name;
    two_numbers *function;
    double a, b, want, tolerance;
} by_two[] = {
    {"rate_by_run", bd_sprayer_rate_by_run, 2, 200, 0.01, 1e-12},
    {"rate_by_run/hand_3_by_3_m", bd_sprayer_rate_by_run, 0.54, 9, 0.06, 1e-12},
    {"per_bag", bd_sprayer_per_bag, 0.380, 10, 0.038, 1e-12},
    {"flow_by_catch", bd_sprayer_flow_by_catch, 0.5, 50, 0.6, 1e-12},
    {"speed", bd_sprayer_speed, 100, 90, 1.11, 0.005},
    {"course", bd_sprayer_course, 25, 0.75, 33.3, 0.05},
    {"strength", bd_sprayer_strength, 1, 0.05, 20, 1e-12},
};

static void check_two(void **state)
{
    static const double bad[] = {0.0, -1.0, (double)NAN, (double)INFINITY, 1e10, 1e-300};

    (void)state;
    for (size_t i = 0; i < N(by_two); i++) {
        double got = UNTOUCHED;

        print_message("  %s\n", by_two[i].name);
        assert_int_equal(by_two[i].function(by_two[i].a, by_two[i].b, &got, NULL), BD_OK);
        assert_close(got, by_two[i].want, by_two[i].tolerance);
        for (size_t k = 0; k < N(bad); k++) {
            bd_error err = {0};

            got = UNTOUCHED;
            assert_int_equal(by_two[i].function(bad[k], by_two[i].b, &got, &err), BD_RANGE);
            assert_int_equal(err.status, BD_RANGE);
            assert_true(err.accepts[0] != '\0');
            assert_int_equal(by_two[i].function(by_two[i].a, bad[k], &got, NULL), BD_RANGE);
            assert_close(got, UNTOUCHED, 0.0);
        }
    }
}

static const struct {
    const char *name;
    three_numbers *function;
    double a, b, c, want, tolerance;
} by_three[] = {
    {"rate_by_flow", bd_sprayer_rate_by_flow, 1.01, 46.0 / 60.0, 0.51, 0.04305, 5e-6},
    {"flow_at/300_to_200_kpa", bd_sprayer_flow_at, 0.80, 300, 200, 0.65, 0.005},
    {"flow_at/300_to_150_kpa", bd_sprayer_flow_at, 0.80, 300, 150, 0.57, 0.005},
    {"flow_at/four_times_the_pressure", bd_sprayer_flow_at, 0.80, 100, 400, 1.60, 1e-12},
    {"pressure_for/twice_the_flow", bd_sprayer_pressure_for, 0.80, 300, 1.60, 1200, 1e-9},
};

static void check_three(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(by_three); i++) {
        double got = UNTOUCHED;

        print_message("  %s\n", by_three[i].name);
        assert_int_equal(
            by_three[i].function(by_three[i].a, by_three[i].b, by_three[i].c, &got, NULL), BD_OK);
        assert_close(got, by_three[i].want, by_three[i].tolerance);
        got = UNTOUCHED;
        assert_int_equal(by_three[i].function(0, by_three[i].b, by_three[i].c, &got, NULL),
                         BD_RANGE);
        assert_int_equal(by_three[i].function(by_three[i].a, -1, by_three[i].c, &got, NULL),
                         BD_RANGE);
        assert_int_equal(
            by_three[i].function(by_three[i].a, by_three[i].b, (double)NAN, &got, NULL), BD_RANGE);
        assert_close(got, UNTOUCHED, 0.0);
    }
}

static void check_hectares(void **state)
{
    (void)state;
    assert_close(bd_l_per_ha(0.06), 600, 1e-9);
    /* 1/128 acre in m2, from 4046.8564224 m2 to the acre */
    assert_close(BD_OUNCE_PLOT_M2, 4046.8564224 / 128, 1e-9);
}

/* The flow that a pressure gives needs that pressure back. */
static void check_pressure_there_and_back(void **state)
{
    double flow = 0.0, kpa = 0.0;

    (void)state;
    assert_int_equal(bd_sprayer_flow_at(0.8, 300, 170, &flow, NULL), BD_OK);
    assert_int_equal(bd_sprayer_pressure_for(0.8, 300, flow, &kpa, NULL), BD_OK);
    assert_close(kpa, 170, 1e-9);
}

static const struct {
    const char *name;
    double need_l, tank_l;
    bd_status status;
    double full, last_l;
} tanks[] = {
    {"three_and_a_part", 36, 10, BD_OK, 3, 6},
    {"exactly_full", 30, 10, BD_OK, 3, 0},
    {"decimals_that_do_not_divide", 0.3, 0.1, BD_OK, 3, 0},
    {"less_than_one", 0.5, 15, BD_OK, 0, 0.5},
    {"a_million", 1e6, 1, BD_OK, 1e6, 0},
    {"more_than_a_million", 1.1e6, 1, BD_RANGE, 0, 0},
    {"no_tank", 36, 0, BD_RANGE, 0, 0},
    {"nothing_needed", 0, 10, BD_RANGE, 0, 0},
    {"nan", (double)NAN, 10, BD_RANGE, 0, 0},
};

static void check_tanks(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(tanks); i++) {
        bd_tanks got = {UNTOUCHED, UNTOUCHED};

        print_message("  tanks/%s\n", tanks[i].name);
        assert_int_equal(bd_sprayer_tanks(tanks[i].need_l, tanks[i].tank_l, &got, NULL),
                         tanks[i].status);
        if (tanks[i].status != BD_OK) {
            assert_close(got.full, UNTOUCHED, 0.0);
            continue;
        }
        assert_close(got.full, tanks[i].full, 0.0);
        assert_close(got.last_l, tanks[i].last_l, 1e-9);
    }
}

static void check_trials(void **state)
{
    const double runs[] = {16, 18}, bad[] = {16, 0}, nozzles[] = {0.80, 0.82, 0.60, 0.78};
    bd_trials got = {UNTOUCHED, UNTOUCHED};

    (void)state;
    assert_int_equal(bd_sprayer_trials(bad, N(bad), &got, NULL), BD_RANGE);
    assert_int_equal(bd_sprayer_trials(runs, 0, &got, NULL), BD_MISSING);
    assert_close(got.mean, UNTOUCHED, 0.0);
    assert_int_equal(bd_sprayer_trials(runs, N(runs), &got, NULL), BD_OK);
    assert_close(got.mean, 17, 1e-12);
    assert_close(got.spread, 1.0 / 17, 1e-12);
    assert_int_equal(bd_sprayer_trials(nozzles, N(nozzles), &got, NULL), BD_OK);
    assert_close(got.mean, 0.75, 1e-12);
    assert_close(got.spread, 0.2, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_two),      cmocka_unit_test(check_three),
        cmocka_unit_test(check_hectares), cmocka_unit_test(check_pressure_there_and_back),
        cmocka_unit_test(check_tanks),    cmocka_unit_test(check_trials),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
