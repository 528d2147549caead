/*
 * Sprayer calibration as worked in print.  Sources are in US units and are put
 * into ours here with the exact factors, so that the answer printed is the check.
 * Tolerance: half the last digit printed, unless the row says why not.
 */
#include "support/cmocka_all.h"

#include <stddef.h>

#include "model/sprayer.h"
#include "support/close.h"

#define N(rows) (sizeof(rows) / sizeof(rows)[0])

/* International foot and acre, US gallon of 231 cubic inches. */
#define FT                      0.3048
#define IN                      0.0254
#define FT2                     (FT * FT)
#define ACRE                    (43560 * FT2)
#define GAL                     3.785411784
#define FL_OZ                   (GAL / 128)
#define MPH                     (1609.344 / 3600)
#define PER_ACRE(rate_l_per_m2) ((rate_l_per_m2)*ACRE / GAL)

/* Water used over an area gives gallons an acre or litres a hectare. */
static const struct {
    const char *name;
    double used_l, area_m2, gal_per_acre, l_per_ha, tolerance;
    const char *source;
} runs[] = {
    {"40_fl_oz_on_1_128_acre", 40 * FL_OZ, BD_OUNCE_PLOT_M2, 40, 0, 1e-9,
     "1/128 method, extension slides, slidegur.com/doc/5284 (WE-040)"},
    {"7.5_fl_oz_on_1_128_acre", 7.5 * FL_OZ, BD_OUNCE_PLOT_M2, 7.5, 0, 1e-9,
     "North Carolina State University Extension, backpack worksheet (WE-041)"},
    {"7.5_fl_oz_in_l_per_ha", 7.5 * FL_OZ, BD_OUNCE_PLOT_M2, 0, 70, 0.5, "same"},
    {"200_m2", 2, 200, 0, 100, 0.5,
     "International Rice Research Institute, Rice Knowledge Bank (WE-042)"},
    {"1000_ft2", 1.5 * GAL, 1000 * FT2, 65, 0, 0.5,
     "reply on hand sprayers, NAFEX list, March 2009, after Virginia Tech 456-502 (WE-043)"},
    {"tenth_of_an_acre", 4 * GAL, 436 * FT * 10 * FT, 40, 0, 0.5,
     "Good Fruit Grower, Calibration steps (WE-045)"},
    {"660_ft", 12 * GAL, 660 * FT * 10 * FT, 79.2, 0, 0.05,
     "Florida Pest Control Examinations, p. 213 (WE-046)"},
    {"hand_plot_3_by_3_m", 0.54, 9, 0, 0.54 / 0.9 * 1000, 1e-9,
     "hand-sprayer worksheet in metric, L/ha = mL / 0.9"},
};

static void check_runs(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(runs); i++) {
        double rate = 0.0;

        print_message("  run/%s\n", runs[i].name);
        assert_int_equal(bd_sprayer_rate_by_run(runs[i].used_l, runs[i].area_m2, &rate, NULL),
                         BD_OK);
        if (runs[i].gal_per_acre > 0.0)
            assert_close(PER_ACRE(rate), runs[i].gal_per_acre, runs[i].tolerance);
        else
            assert_close(bd_l_per_ha(rate), runs[i].l_per_ha, runs[i].tolerance);
    }
}

/* Course for 1/128 acre by swath.  WE-039 rounds to whole feet, from a plot of 340 ft2. */
static const struct {
    double swath_in, course_ft;
} courses[] = {{30, 136}, {28, 146}, {26, 157}, {24, 170}, {22, 185}, {20, 204},
               {18, 227}, {16, 255}, {14, 291}, {12, 340}, {10, 408}, {72, 57}};

static void check_courses(void **state)
{
    double exact = 0.0;

    (void)state;
    for (size_t i = 0; i < N(courses); i++) {
        double course = 0.0;

        assert_int_equal(bd_sprayer_course(340 * FT2, courses[i].swath_in * IN, &course, NULL),
                         BD_OK);
        assert_close(course / FT, courses[i].course_ft, 0.5);
        assert_int_equal(
            bd_sprayer_course(BD_OUNCE_PLOT_M2, courses[i].swath_in * IN, &exact, NULL), BD_OK);
        assert_close(exact / FT, courses[i].course_ft, 1.0);
    }
}

/* Flow, speed and swath. */
static void check_flow(void **state)
{
    double speed = 0.0, rate = 0.0, flow = 0.0;

    (void)state;
    /* horticulture course log, 2009: 1.01 L/min, 46 m in a minute, 0.51 m -> 430.5 L/ha */
    assert_int_equal(bd_sprayer_speed(46, 60, &speed, NULL), BD_OK);
    assert_int_equal(bd_sprayer_rate_by_flow(1.01, speed, 0.51, &rate, NULL), BD_OK);
    assert_close(bd_l_per_ha(rate), 430.5, 0.05);
    /* Albany County weed and pest district: 3.75 gal/min, 5 mph, 222 in -> 20 gal/acre */
    assert_int_equal(bd_sprayer_rate_by_flow(3.75 * GAL, 5 * MPH, 222 * IN, &rate, NULL), BD_OK);
    assert_close(PER_ACRE(rate), 20, 0.5);
    /* knapsack training page: 25 m2 as 0.75 m x 33.3 m in 50 s at 200 L/ha takes 0.5 L */
    assert_int_equal(bd_sprayer_speed(33.3, 50, &speed, NULL), BD_OK);
    assert_int_equal(bd_sprayer_flow_by_catch(0.5, 50, &flow, NULL), BD_OK);
    assert_int_equal(bd_sprayer_rate_by_flow(flow, speed, 0.75, &rate, NULL), BD_OK);
    assert_close(bd_l_per_ha(rate), 200, 0.5);
}

/* Dose per tank from a rate per acre. */
static void check_strength(void **state)
{
    double dose = 0.0, tank = 0.0;

    (void)state;
    /* WE-040: 1 quart an acre at 40 gal/acre -> 0.8 fl oz in a gallon, 24 mL at 30 mL an ounce */
    assert_int_equal(bd_sprayer_strength(32, 40, &dose, NULL), BD_OK);
    assert_close(dose, 0.8, 0.05);
    assert_close(dose * 30, 24, 0.5);
    /* WE-043: 3 pints an acre on the printed 65 gal/acre -> 0.046 pint, 0.74 fl oz, 1.5 tbsp */
    assert_int_equal(bd_sprayer_strength(3, 65, &dose, NULL), BD_OK);
    assert_close(dose, 0.046, 0.0005);
    assert_close(dose * 16, 0.74, 0.005);
    assert_close(dose * 16 * 2, 1.5, 0.05);
    /* WE-044: 6 plants at 2 quarts -> 3 gallons, and back */
    assert_int_equal(bd_sprayer_per_bag(3 * GAL, 6, &tank, NULL), BD_OK);
    assert_close(tank, 2 * GAL / 4, 1e-9);
    /* WE-047: 300 ft x 150 ft at 1 gal on 1000 ft2 -> 45 gal */
    assert_int_equal(bd_sprayer_rate_by_run(1 * GAL, 1000 * FT2, &dose, NULL), BD_OK);
    assert_close(dose * 300 * FT * 150 * FT / GAL, 45, 1e-9);
}

/* WE-041: trials of 16 and 18 s -> 17 s; trees at 5 ft on the 57 ft course -> 11 to count. */
static void check_trials(void **state)
{
    const double seconds[] = {16, 18};
    bd_trials got = {0};
    double course = 0.0;

    (void)state;
    assert_int_equal(bd_sprayer_trials(seconds, N(seconds), &got, NULL), BD_OK);
    assert_close(got.mean, 17, 0.5);
    assert_int_equal(bd_sprayer_course(BD_OUNCE_PLOT_M2, 6 * FT, &course, NULL), BD_OK);
    assert_close(course / (5 * FT), 11, 0.5);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_runs),   cmocka_unit_test(check_courses),
        cmocka_unit_test(check_flow),   cmocka_unit_test(check_strength),
        cmocka_unit_test(check_trials),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
