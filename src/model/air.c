#include "model/air.h"

#include <math.h>

#include "base/number.h"
#include "model/inputs.h"

#define COLDEST_DEGC       (-20.0)
#define HOTTEST_DEGC       50.0
#define LEAST_PRESSURE_KPA 50.0
#define MOST_PRESSURE_KPA  110.0
#define LOWEST_M           (-500.0)
#define HIGHEST_M          5500.0
#define COLDEST_DEW_DEGC   (-45.0)
#define FREEZING_K         273.15

#define PSYCHROMETER_PER_DEGC 0.000662
#define ES_AT_0_KPA           0.6112
#define ES_SLOPE              17.62
#define ES_OFFSET_DEGC        243.12

/* The error Stull states for the regression. */
#define REGRESSION_ERROR_LOW_DEGC  (-1.0)
#define REGRESSION_ERROR_HIGH_DEGC 0.65

enum { HALVINGS = 60, PERCENT = 100, SHOWN_DIGITS = 6 };

static double saturation_kpa(double degc)
{
    return ES_AT_0_KPA * exp(ES_SLOPE * degc / (ES_OFFSET_DEGC + degc));
}

static double dew_point_degc(double vapour_kpa)
{
    double x = log(vapour_kpa / ES_AT_0_KPA);

    return ES_OFFSET_DEGC * x / (ES_SLOPE - x);
}

static double vapour_of_pair_kpa(double dry_degc, double wet_degc, double pressure_kpa)
{
    return saturation_kpa(wet_degc) - PSYCHROMETER_PER_DEGC * pressure_kpa * (dry_degc - wet_degc);
}

/* The vapour of a pair rises with the wet bulb, and is too low at the dew point, so one root lies
 * between dew point and dry bulb. */
static double wet_bulb_degc(double dry_degc, double vapour_kpa, double pressure_kpa)
{
    double low = fmin(dew_point_degc(vapour_kpa), dry_degc), high = dry_degc;

    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (low + high);

        if (vapour_of_pair_kpa(dry_degc, middle, pressure_kpa) > vapour_kpa)
            high = middle;
        else
            low = middle;
    }
    return high;
}

static bd_status outside(double x, const char *what, const char *unit, bd_error *err)
{
    char shown[BD_NUMBER_SIZE];

    return bd_fail(err, BD_OUTSIDE, NULL, "'%s%s' is outside the %s the method holds for",
                   bd_number_print(x, SHOWN_DIGITS, shown), unit, what);
}

static bd_status check_within(double x, double low, double high, const char *what, const char *unit,
                              bd_error *err)
{
    char from[BD_NUMBER_SIZE], to[BD_NUMBER_SIZE];

    if (x >= low && x <= high)
        return BD_OK;
    if (isnan(x))
        (void)bd_fail(err, BD_RANGE, NULL, "the %s is not a number", what);
    else
        (void)outside(x, what, unit, err);
    (void)bd_accepts(err, "%s to %s%s", bd_number_print(low, SHOWN_DIGITS, from),
                     bd_number_print(high, SHOWN_DIGITS, to), unit);
    return isnan(x) ? BD_RANGE : BD_OUTSIDE;
}

static bd_status check_temperature(double degc, bd_error *err)
{
    return check_within(degc, COLDEST_DEGC, HOTTEST_DEGC, "temperatures", " degC", err);
}

static bool is_humidity(double humidity, bd_error *err)
{
    char shown[BD_NUMBER_SIZE];

    if (humidity > 0.0 && humidity <= 1.0)
        return true;
    (void)bd_fail(err, BD_RANGE, NULL, "'%s %%' is not a relative humidity",
                  bd_number_print(PERCENT * humidity, SHOWN_DIGITS, shown));
    (void)bd_accepts(err, "above 0, up to 100 %%");
    return false;
}

static bool is_pressure(double pressure_kpa, bd_error *err)
{
    return bd_input_is_between(pressure_kpa, LEAST_PRESSURE_KPA, MOST_PRESSURE_KPA, "air pressure",
                               "kPa", err);
}

bd_status bd_air_pressure(double altitude_m, double *out, bd_error *err)
{
    const double per_m = 2.25577e-5, power = 5.25588;
    bd_status status = check_within(altitude_m, LOWEST_M, HIGHEST_M, "heights", " m", err);

    if (status == BD_OK)
        *out = BD_AIR_SEA_LEVEL_KPA * pow(1.0 - per_m * altitude_m, power);
    return status;
}

static double regression_degc(double t, double percent)
{
    return t * atan(0.151977 * sqrt(percent + 8.313659)) + atan(t + percent) -
           atan(percent - 1.676331) + 0.00391838 * pow(percent, 1.5) * atan(0.023101 * percent) -
           4.686035;
}

static bool is_cold_and_dry(double degc, double humidity)
{
    return humidity < 0.277 - 0.0227 * degc;
}

bd_status bd_air_wet_bulb_by_regression(double temperature_degc, double humidity, double *out,
                                        bd_error *err)
{
    const double driest = 0.05, wettest = 0.99;
    bd_status status;

    if (!is_humidity(humidity, err))
        return BD_RANGE;
    status = check_temperature(temperature_degc, err);
    if (status != BD_OK)
        return status;
    if (!(humidity >= driest && humidity <= wettest)) {
        (void)outside(PERCENT * humidity, "humidities", " %", err);
        (void)bd_accepts(err, "5 to 99 %%");
        return BD_OUTSIDE;
    }
    if (is_cold_and_dry(temperature_degc, humidity))
        return bd_fail(err, BD_OUTSIDE, NULL,
                       "the wet-bulb regression does not hold in cold dry air");
    *out = regression_degc(temperature_degc, PERCENT * humidity);
    return BD_OK;
}

static void compare_with_regression(const bd_air *air, bd_air_state *state)
{
    double regression = 0.0;

    state->is_checked = bd_air_wet_bulb_by_regression(air->temperature_degc, air->humidity,
                                                      &regression, NULL) == BD_OK;
    if (!state->is_checked)
        return;
    state->check_degc =
        regression - wet_bulb_degc(air->temperature_degc, state->vapour_kpa, BD_AIR_SEA_LEVEL_KPA);
    state->is_agreed = state->check_degc >= REGRESSION_ERROR_LOW_DEGC &&
                       state->check_degc <= REGRESSION_ERROR_HIGH_DEGC;
}

bd_status bd_air_observe(const bd_air *air, bd_air_state *out, bd_error *err)
{
    bd_air_state state = {0};
    bd_status status;

    if (!is_humidity(air->humidity, err) || !is_pressure(air->pressure_kpa, err))
        return BD_RANGE;
    status = check_temperature(air->temperature_degc, err);
    if (status != BD_OK)
        return status;
    state.vapour_kpa = air->humidity * saturation_kpa(air->temperature_degc);
    if (!(state.vapour_kpa >= saturation_kpa(COLDEST_DEW_DEGC)))
        return outside(PERCENT * air->humidity, "humidities", " %", err);
    state.vpd_kpa = saturation_kpa(air->temperature_degc) - state.vapour_kpa;
    state.dew_point_degc = fmin(dew_point_degc(state.vapour_kpa), air->temperature_degc);
    state.wet_bulb_degc = wet_bulb_degc(air->temperature_degc, state.vapour_kpa, air->pressure_kpa);
    state.delta_t_degc = air->temperature_degc - state.wet_bulb_degc;
    compare_with_regression(air, &state);
    *out = state;
    return BD_OK;
}

bd_status bd_air_humidity_from_wet_bulb(double dry_degc, double wet_degc, double pressure_kpa,
                                        double *out, bd_error *err)
{
    bd_status status;
    double vapour_kpa;

    if (!is_pressure(pressure_kpa, err))
        return BD_RANGE;
    status = check_temperature(dry_degc, err);
    if (status == BD_OK)
        status = check_temperature(wet_degc, err);
    if (status != BD_OK)
        return status;
    if (wet_degc > dry_degc)
        return bd_fail(err, BD_CONFLICT, NULL, "the wet bulb reads higher than the dry one");
    vapour_kpa = vapour_of_pair_kpa(dry_degc, wet_degc, pressure_kpa);
    if (!(vapour_kpa >= saturation_kpa(COLDEST_DEW_DEGC)))
        return bd_fail(err, BD_OUTSIDE, NULL, "the wet bulb is lower than dry air can make it");
    *out = vapour_kpa / saturation_kpa(dry_degc);
    return BD_OK;
}

bd_status bd_deliquescence_humidity(const bd_deliquescence *salt, double temperature_degc,
                                    double *out, bd_error *err)
{
    bd_status status = check_within(temperature_degc, salt->from_degc, salt->to_degc,
                                    "temperatures", " degC", err);
    double humidity;

    if (status != BD_OK)
        return status;
    humidity = salt->a_percent * exp(salt->b_kelvin / (FREEZING_K + temperature_degc)) / PERCENT;
    if (!(humidity > 0.0 && humidity <= 1.0)) {
        (void)outside(PERCENT * humidity, "humidities", " %", err);
        return BD_OUTSIDE;
    }
    *out = humidity;
    return BD_OK;
}
