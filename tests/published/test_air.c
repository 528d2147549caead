/*
 * Air against printed humidity tables, a textbook exercise, and another program.
 *
 * RHTAB  relative humidity table of the school science unit "Weather and Water"
 *        (whole degrees, whole percent; its column of depression 10 is shifted by
 *        a row in the copy seen and is left out).
 * CRC    CRC Handbook of Chemistry and Physics, constant humidity solutions.
 * CRH30  critical relative humidity of fertiliser salts at 30 degC, trade table.
 */
#include "support/cmocka_all.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>

#include "model/air.h"
#include "support/close.h"

#define N(rows)   (sizeof(rows) / sizeof(rows)[0])
#define LINE_SIZE 1024

/* ---- RHTAB ------------------------------------------------------------------- */

/* A whole percent is worth up to 0.2 degC here; the rest is the thermometer of the table. */
#define PSYCHROMETER_TOLERANCE 0.3
#define REGRESSION_TOLERANCE   0.5
/* The worst cell of the table, 34 degC dry and 25 wet: the regression is 0.54 degC off. */
#define WORST_DRY_DEGC       34
#define WORST_WET_DEGC       25
#define WORST_CELL_TOLERANCE 0.55
#define HUMIDITY_TOLERANCE   0.025

static const struct {
    double dry_degc, wet_degc, percent;
} rhtab[] = {
    {10, 8, 77},  {10, 6, 56},  {12, 9, 68},  {15, 12, 71}, {15, 10, 54},
    {18, 14, 65}, {18, 11, 42}, {20, 18, 83}, {20, 16, 67}, {20, 14, 52},
    {20, 12, 38}, {22, 17, 61}, {24, 21, 77}, {25, 22, 77}, {25, 20, 64},
    {25, 17, 45}, {26, 17, 41}, {28, 24, 72}, {28, 22, 60}, {30, 28, 86},
    {30, 25, 67}, {30, 22, 50}, {32, 25, 57}, {34, 30, 75}, {34, 25, 49},
};

static double regression_tolerance(double dry_degc, double wet_degc)
{
    return dry_degc >= WORST_DRY_DEGC && wet_degc <= WORST_WET_DEGC ? WORST_CELL_TOLERANCE
                                                                    : REGRESSION_TOLERANCE;
}

static void check_rhtab(void **state)
{
    double worst_psychrometer = 0.0, worst_regression = 0.0;

    (void)state;
    for (size_t i = 0; i < N(rhtab); i++) {
        bd_air air = {rhtab[i].dry_degc, rhtab[i].percent / 100, BD_AIR_SEA_LEVEL_KPA};
        bd_air_state got;
        double by_regression = 0.0, humidity = 0.0;

        assert_int_equal(bd_air_observe(&air, &got, NULL), BD_OK);
        assert_close(got.delta_t_degc, rhtab[i].dry_degc - rhtab[i].wet_degc,
                     PSYCHROMETER_TOLERANCE);
        assert_int_equal(
            bd_air_wet_bulb_by_regression(air.temperature_degc, air.humidity, &by_regression, NULL),
            BD_OK);
        assert_close(by_regression, rhtab[i].wet_degc,
                     regression_tolerance(rhtab[i].dry_degc, rhtab[i].wet_degc));
        assert_true(got.is_checked && got.is_agreed);
        assert_int_equal(bd_air_humidity_from_wet_bulb(rhtab[i].dry_degc, rhtab[i].wet_degc,
                                                       air.pressure_kpa, &humidity, NULL),
                         BD_OK);
        assert_close(humidity, air.humidity, HUMIDITY_TOLERANCE);
        worst_psychrometer = fmax(worst_psychrometer, fabs(got.wet_bulb_degc - rhtab[i].wet_degc));
        worst_regression = fmax(worst_regression, fabs(by_regression - rhtab[i].wet_degc));
    }
    print_message("  worst cell: psychrometer %.2f, regression %.2f degC\n", worst_psychrometer,
                  worst_regression);
}

/* ---- printed single cases -------------------------------------------------------- */

static double celsius(double fahrenheit)
{
    return (fahrenheit - 32) / 1.8;
}

static bd_air_state state_of_pair(double dry_degc, double wet_degc, double *humidity)
{
    bd_air air = {dry_degc, 0, BD_AIR_SEA_LEVEL_KPA};
    bd_air_state got = {0};

    assert_int_equal(
        bd_air_humidity_from_wet_bulb(dry_degc, wet_degc, air.pressure_kpa, humidity, NULL), BD_OK);
    air.humidity = *humidity;
    assert_int_equal(bd_air_observe(&air, &got, NULL), BD_OK);
    assert_close(got.wet_bulb_degc, wet_degc, 1e-6);
    return got;
}

/* Laboratory exercise of a meteorology course (ATSC 110L, Lab 5), WE-086: read from a chart, so
 * that the vapour pressures, printed 23.2 and 8.7 mb, are 0.2 off and the dew point half a degree.
 */
static void check_exercise(void **state)
{
    double humidity = 0.0;
    bd_air_state got = state_of_pair(20, 12, &humidity);

    (void)state;
    assert_close(got.delta_t_degc, 8, 1e-6);
    assert_close(10 * got.vapour_kpa, 8.7, 0.2);
    assert_close(10 * (got.vapour_kpa + got.vpd_kpa), 23.2, 0.2);
    assert_close(got.dew_point_degc, 5, 0.5);
    assert_close(100 * humidity, 37.5, 1);
}

/* US Army TM 5-3610-285-14, WE-087: 68 F dry, 62 F wet, 71 %.  Ours is 71.6: the table cuts. */
static void check_manual(void **state)
{
    double humidity = 0.0;
    bd_air_state got = state_of_pair(celsius(68), celsius(62), &humidity);

    (void)state;
    assert_close(100 * humidity, 71, 1);
    assert_close(got.delta_t_degc, 3.3, 0.05);
}

/* R. DeC. Ward, Practical Exercises in Elementary Meteorology (1899), Table I, in degF; the first
 * is WE-088.  Whole degrees, and the 1899 vapour table is worth another tenth. */
static const struct {
    double dry_f, depression_f, dew_point_f;
} ward[] = {{47, 3, 41}, {61, 6, 50}, {62, 6, 52}};

static void check_ward(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(ward); i++) {
        double humidity = 0.0;
        bd_air_state got = state_of_pair(celsius(ward[i].dry_f),
                                         celsius(ward[i].dry_f - ward[i].depression_f), &humidity);

        assert_close(32 + 1.8 * got.dew_point_degc, ward[i].dew_point_f, 0.6);
    }
}

/* ---- deliquescence ------------------------------------------------------------------ */

/* The constants and the value at 25 degC are printed apart; tolerance half a percent, except where
 * a constant of two digits is worth more, or the printed pair differs by itself. */
static const struct {
    const char *salt;
    double a, b, percent_25, tolerance;
    double percent_30; /* of CRH30, another source; 0: not in it */
} salts[] = {
    {"potassium hydroxide", 0.014, 1924, 9, 0.5, 0},
    {"calcium chloride", 0.11, 1653, 29, 1.5, 0},
    {"magnesium chloride", 29.26, 34, 33, 0.5, 0},
    {"calcium nitrate", 1.89, 981, 51, 0.5, 46.7},
    {"magnesium nitrate", 25.28, 220, 53, 0.5, 0},
    {"ammonium nitrate", 3.54, 853, 62, 0.5, 59.4},
    {"sodium nitrate", 26.94, 302, 74, 0.5, 72.4},
    {"ammonium chloride", 35.67, 235, 79, 1.0, 77.2},
    {"ammonium sulfate", 62.06, 79, 81, 0.5, 79.2},
    {"potassium chloride", 49.38, 159, 84, 0.5, 84.0},
    {"potassium nitrate", 43.22, 225, 92, 0.5, 90.5},
    {"potassium sulfate", 86.75, 34, 97, 0.5, 96.3},
};

static void check_deliquescence(void **state)
{
    const double between_sources = 1.5;
    double before = 0.0;

    (void)state;
    for (size_t i = 0; i < N(salts); i++) {
        bd_deliquescence salt = {salts[i].a, salts[i].b, 20, 30};
        double at_25 = 0.0, at_30 = 0.0;

        print_message("  %s\n", salts[i].salt);
        assert_int_equal(bd_deliquescence_humidity(&salt, 25, &at_25, NULL), BD_OK);
        assert_close(100 * at_25, salts[i].percent_25, salts[i].tolerance);
        assert_true(at_25 > before);
        before = at_25;
        assert_int_equal(bd_deliquescence_humidity(&salt, 30, &at_30, NULL), BD_OK);
        if (salts[i].percent_30 > 0.0)
            assert_close(100 * at_30, salts[i].percent_30, between_sources);
    }
}

/* ---- another program ---------------------------------------------------------------- */

/* The vapour pressure formulas differ by 0.3 %, which moves a dew point by 0.04 degC.  Below
 * freezing that program gives the frost point, another quantity. */
#define DEW_POINT_TOLERANCE 0.05
#define VPD_SHARE_TOLERANCE 0.003
#define VPD_LAST_DIGIT_KPA  5e-5
/* The stated error of the regression is met up to here; it is 1.0 degC high at 45 degC and 30 %. */
#define REGRESSION_HOTTEST_DEGC 35

typedef struct reference {
    double kpa, degc, percent, wet_bulb, dew_point, vpd;
} reference;

static bool read_reference(const char *line, reference *r)
{
    return sscanf(line, "%lf,%lf,%lf,%lf,%lf,%lf", &r->kpa, &r->degc, &r->percent, &r->wet_bulb,
                  &r->dew_point, &r->vpd) == 6;
}

/* Error of the regression, 0 where it is not asked; it is made for sea level. */
static double regression_error(const reference *r)
{
    double got = 0.0;

    if (r->kpa < BD_AIR_SEA_LEVEL_KPA || r->degc > REGRESSION_HOTTEST_DEGC ||
        bd_air_wet_bulb_by_regression(r->degc, r->percent / 100, &got, NULL) != BD_OK)
        return 0.0;
    return got - r->wet_bulb;
}

static double check_reference(const reference *r)
{
    bd_air air = {r->degc, r->percent / 100, r->kpa};
    bd_air_state got;

    assert_int_equal(bd_air_observe(&air, &got, NULL), BD_OK);
    assert_close(got.wet_bulb_degc, r->wet_bulb, PSYCHROMETER_TOLERANCE);
    if (r->dew_point > 0.0)
        assert_close(got.dew_point_degc, r->dew_point, DEW_POINT_TOLERANCE);
    assert_close(got.vpd_kpa, r->vpd, VPD_SHARE_TOLERANCE * r->vpd + VPD_LAST_DIGIT_KPA);
    return got.wet_bulb_degc - r->wet_bulb;
}

static void check_other_program(void **state)
{
    FILE *file = fopen("tests/published/psychrometrics.csv", "r");
    char line[LINE_SIZE];
    double worst = 0.0, low = 0.0, high = 0.0;
    int count = 0;

    (void)state;
    assert_non_null(file);
    while (fgets(line, sizeof line, file) != NULL) {
        reference r;

        if (!read_reference(line, &r))
            continue;
        worst = fmax(worst, fabs(check_reference(&r)));
        low = fmin(low, regression_error(&r));
        high = fmax(high, regression_error(&r));
        count++;
    }
    assert_int_equal(fclose(file), 0);
    assert_int_equal(count, 259);
    print_message("  worst: psychrometer %.3f, regression %.2f to +%.2f degC\n", worst, low, high);
    assert_true(low >= -1.0);
    assert_true(high <= 0.65);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_rhtab),         cmocka_unit_test(check_exercise),
        cmocka_unit_test(check_manual),        cmocka_unit_test(check_ward),
        cmocka_unit_test(check_deliquescence), cmocka_unit_test(check_other_program),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
