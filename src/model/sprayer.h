/*
 * sprayer.h - how much a sprayer puts out, found by running plain water through
 * it, and how many tanks a job takes.
 *
 * May include: base/.  No stdio, no JSON, no globals that change.
 *
 * Rates are litres per square metre of ground or canopy, whichever was measured.
 * All of it is exact arithmetic on what was measured: the error is that of the
 * cup, the tape and the watch.  Every function returns BD_OK, or BD_RANGE for a
 * number not above 0 (or above 1e9, or not a number), and writes only on BD_OK.
 */
#ifndef BD_MODEL_SPRAYER_H
#define BD_MODEL_SPRAYER_H

#include <stddef.h>

#include "base/error.h"

/* Square metres in a hectare, and in the plot of 1/128 acre (43 560 ft2 to the acre, 0.3048 m to
 * the foot): on it, US fluid ounces used are US gallons an acre. */
#define BD_HECTARE_M2    10000.0
#define BD_OUNCE_PLOT_M2 (43560.0 / 128.0 * 0.3048 * 0.3048)

/* 0.06 L/m2 -> 600 L/ha */
static inline double bd_l_per_ha(double rate_l_per_m2)
{
    return rate_l_per_m2 * BD_HECTARE_M2;
}

/*
 * Rate from a test run: refill after spraying a known area.
 *
 *   used_l         water used                       [L]
 *   area_m2        area it covered                  [m2]
 *   rate_l_per_m2                                   [L/m2]
 *
 * With BD_OUNCE_PLOT_M2 for the area this is the ounces-are-gallons method.
 * Example  2 L on 200 m2 -> 0.01 L/m2 = 100 L/ha
 */
bd_status bd_sprayer_rate_by_run(double used_l, double area_m2, double *rate_l_per_m2,
                                 bd_error *err) BD_MUST_CHECK;

/*
 * Water one bag or plant takes, from a run over several.
 * Example  380 mL over 10 plants -> 0.038 L
 */
bd_status bd_sprayer_per_bag(double used_l, double bags, double *per_bag_l,
                             bd_error *err) BD_MUST_CHECK;

/*
 * Rate from flow, walking speed and the width sprayed in one pass.
 *
 *   flow_l_per_min                                  [L/min]
 *   speed_m_per_s                                   [m/s]
 *   swath_m                                         [m]
 *   rate_l_per_m2                                   [L/m2]
 *
 * Method   rate = (flow / 60) / (speed swath)
 * Example  1.01 L/min, 46 m in 60 s, 0.51 m -> 0.04305 L/m2 = 430.5 L/ha
 */
bd_status bd_sprayer_rate_by_flow(double flow_l_per_min, double speed_m_per_s, double swath_m,
                                  double *rate_l_per_m2, bd_error *err) BD_MUST_CHECK;

/* Flow from what a vessel caught: 0.5 L in 50 s -> 0.6 L/min. */
bd_status bd_sprayer_flow_by_catch(double caught_l, double time_s, double *flow_l_per_min,
                                   bd_error *err) BD_MUST_CHECK;

/* Walking speed: 100 m in 90 s -> 1.11 m/s (4 km/h). */
bd_status bd_sprayer_speed(double distance_m, double time_s, double *speed_m_per_s,
                           bd_error *err) BD_MUST_CHECK;

/* Length to walk so that a swath covers the plot: 340 ft2 (31.6 m2), 6 ft (1.83 m) -> 57 ft. */
bd_status bd_sprayer_course(double plot_m2, double swath_m, double *course_m,
                            bd_error *err) BD_MUST_CHECK;

/*
 * Flow of the same nozzle at another pressure.
 *
 *   flow_l_per_min      at from_kpa                 [L/min]
 *   from_kpa, to_kpa    above that of the air       [kPa]
 *   out_l_per_min                                   [L/min]
 *
 * Method   q2 = q1 sqrt(p2 / p1), flow through an orifice.
 * Source   textbook hydraulics; G. A. Matthews and others, Pesticide Application
 *          Methods (from memory).
 * Holds    while the spray still forms; a pattern collapses well below the
 *          pressure the nozzle is rated for.
 * Example  0.80 L/min at 300 kPa -> 0.65 L/min at 200 kPa
 */
bd_status bd_sprayer_flow_at(double flow_l_per_min, double from_kpa, double to_kpa,
                             double *out_l_per_min, bd_error *err) BD_MUST_CHECK;

/*
 * Pressure that gives a wanted flow; the inverse of the above.
 * Example  0.80 L/min at 300 kPa, 1.60 L/min wanted -> 1200 kPa
 */
bd_status bd_sprayer_pressure_for(double flow_l_per_min, double at_kpa, double wanted_l_per_min,
                                  double *out_kpa, bd_error *err) BD_MUST_CHECK;

/*
 * Strength that brings a rate of product with the water the sprayer puts out.
 * Example  1 g/m2 with 0.05 L/m2 -> 20 g/L
 */
bd_status bd_sprayer_strength(double product_g_per_m2, double rate_l_per_m2,
                              double *strength_g_per_l, bd_error *err) BD_MUST_CHECK;

/* Repeated runs, or the nozzles of a boom. */
typedef struct bd_trials {
    double mean;   /* unit of the runs                                    */
    double spread; /* largest distance of one from the mean / mean [0..)  */
} bd_trials;

/*
 * Mean of runs and how far the odd one is from it.
 * Example  16 s and 18 s -> mean 17, spread 0.059
 */
bd_status bd_sprayer_trials(const double *runs, size_t count, bd_trials *out,
                            bd_error *err) BD_MUST_CHECK;

/* A volume in tanks: so many full ones, then one with less in it. */
typedef struct bd_tanks {
    double full;   /* whole number                 */
    double last_l; /* in the partial one, 0: none  */
} bd_tanks;

/*
 * Tanks for a volume, at most a million of them (BD_RANGE).
 * Example  36 L by 10 L -> 3 full and 6 L
 */
bd_status bd_sprayer_tanks(double need_l, double tank_l, bd_tanks *out,
                           bd_error *err) BD_MUST_CHECK;

#endif
