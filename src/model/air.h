/*
 * air.h - wet bulb, dew point and drying power of the air, and when a dried
 * film of salt draws water from it.
 *
 * May include: base/.  No stdio, no JSON, no globals that change.
 *
 * Relative humidity is a share 0..1 throughout, over liquid water.  The wet bulb
 * is worked out by two methods that share nothing but the inputs:
 *
 *   psychrometer  e = es(Tw) - A p (T - Tw), solved for Tw by bisection, with
 *                 A = 0.000662 per degC of a ventilated wet bulb (FAO Irrigation
 *                 and Drainage Paper 56; from memory) and the saturation vapour
 *                 pressure es(t) = 0.6112 exp(17.62 t / (243.12 + t)) kPa in the
 *                 form of the WMO guide to instruments (from memory), which
 *                 holds from -45 to 60 degC.  It reproduces a published humidity
 *                 table to 0.3 degC (tests/published/test_air.c).
 *   regression    R. Stull, Wet-bulb temperature from relative humidity and air
 *                 temperature, J. Appl. Meteor. Climatol. 50 (2011) 2267-2269:
 *                 sea-level pressure only, stated error -1.0 to +0.65 degC.
 *
 * Asked for air that a method was not made for, it says BD_OUTSIDE and gives no
 * number.  An impossible input (humidity above 1, not a number) is BD_RANGE.
 */
#ifndef BD_MODEL_AIR_H
#define BD_MODEL_AIR_H

#include <stdbool.h>

#include "base/error.h"

/* Standard atmosphere at sea level [kPa]. */
#define BD_AIR_SEA_LEVEL_KPA 101.325

/* Air as measured in the shade where one sprays. */
typedef struct bd_air {
    double temperature_degc; /* dry bulb                               [degC, -20..50]     */
    double humidity;         /* relative                               [0..1, above 0]     */
    double pressure_kpa;     /* at the place, NOT reduced to sea level [kPa, 50..110]      */
} bd_air;

/* What follows from it. */
typedef struct bd_air_state {
    double vapour_kpa; /* pressure of the water vapour                     [kPa]  */
    double vpd_kpa;    /* what is missing to saturation                    [kPa]  */
    double dew_point_degc;
    double wet_bulb_degc; /* psychrometer, at the pressure given              [degC] */
    double delta_t_degc;  /* dry bulb less wet bulb, not negative             [degC] */
    bool is_checked;      /* the regression holds for this air                       */
    double check_degc;    /* regression less psychrometer, both at sea level, [degC]
                             meaningful only if is_checked                           */
    bool is_agreed;       /* is_checked, and check_degc within the stated error      */
} bd_air_state;

/*
 * Pressure of the standard atmosphere at a height.
 *
 *   altitude_m  above sea level [m, -500..5500]
 *   out         written only on BD_OK [kPa]
 *
 * Returns BD_OK, BD_OUTSIDE beyond those heights, BD_RANGE if not a number.
 *
 * Method   p = 101.325 (1 - 2.25577e-5 z)^5.25588
 * Source   International Standard Atmosphere, troposphere.
 * Holds    within about 3 kPa of what weather does to it.
 * Example  1000 m -> 89.87 kPa
 */
bd_status bd_air_pressure(double altitude_m, double *out, bd_error *err) BD_MUST_CHECK;

/*
 * Everything at once, the two wet bulbs checked against each other.
 *
 *   air   see the struct
 *   out   written only on BD_OK
 *
 * Returns BD_OK; BD_RANGE for a humidity not above 0 and up to 1, a pressure
 * outside 50..110 kPa or not a number; BD_OUTSIDE for a temperature outside
 * -20..50 degC or air so dry that its dew point is below -45 degC.
 *
 * Holds    below freezing the wet bulb is that of water not yet frozen.
 * Example  20 degC, 0.38, 101.325 kPa -> wet bulb 12.1, Delta T 7.9, dew point
 *          5.2 degC, deficit 1.45 kPa
 */
bd_status bd_air_observe(const bd_air *air, bd_air_state *out, bd_error *err) BD_MUST_CHECK;

/*
 * Wet bulb by Stull's regression.
 *
 *   temperature_degc  [degC, -20..50]
 *   humidity          [0..1; holds for 0.05..0.99]
 *   out               written only on BD_OK [degC]
 *
 * Returns BD_OK, BD_RANGE (not a humidity), or BD_OUTSIDE: beyond those ranges,
 * and where it is both cold and dry, humidity < 0.277 - 0.0227 T (T in degC).
 *
 * Source   the article named above; the cold and dry corner is the straight
 *          edge of its figure (from memory), and inside it the regression leaves
 *          the psychrometer by up to 4 degC.
 * Example  20 degC, 0.50 -> 13.70 degC
 */
bd_status bd_air_wet_bulb_by_regression(double temperature_degc, double humidity, double *out,
                                        bd_error *err) BD_MUST_CHECK;

/*
 * Relative humidity from a pair of thermometers, one with a wet sleeve.
 *
 *   dry_degc, wet_degc  [degC, -20..50]
 *   pressure_kpa        [kPa, 50..110]
 *   out                 written only on BD_OK [0..1]
 *
 * Returns BD_OK; BD_CONFLICT if the wet one reads higher; BD_OUTSIDE if the pair
 * is beyond what any air can show, or the temperatures; BD_RANGE (pressure).
 *
 * Example  20 and 12 degC at 101.325 kPa -> 0.370
 */
bd_status bd_air_humidity_from_wet_bulb(double dry_degc, double wet_degc, double pressure_kpa,
                                        double *out, bd_error *err) BD_MUST_CHECK;

/* How the humidity over a saturated solution of a salt moves with temperature. */
typedef struct bd_deliquescence {
    double a_percent, b_kelvin; /* RH in percent = a exp(b / T), T in kelvin   */
    double from_degc, to_degc;  /* where the two constants hold                */
} bd_deliquescence;

/*
 * Humidity above which a dried film of the salt takes up water and stays wet,
 * so that the leaf goes on taking it in; below it the film is a crust.
 *
 *   salt              constants from data
 *   temperature_degc  of the leaf, about that of the air [degC]
 *   out               written only on BD_OK [0..1]
 *
 * Returns BD_OK; BD_OUTSIDE if the temperature is outside the salt's range or
 * the constants give no humidity there; BD_RANGE if not a number.
 *
 * Holds    for one pure salt; a mixture draws water from drier air than either.
 * Example  potassium nitrate, a 43.22, b 225, 25 degC -> 0.919
 */
bd_status bd_deliquescence_humidity(const bd_deliquescence *salt, double temperature_degc,
                                    double *out, bd_error *err) BD_MUST_CHECK;

#endif
