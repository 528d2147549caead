/*
 * rootzone.h - water and salt in one bag, day by day until harvest.
 *
 * May include: base/, nutrients/.  No stdio, no clock, no files.
 *
 * Salt is carried as a load: conductivity times litres [dS/m * L].  Loads add
 * up, so a dressing, the salt of the water and what was there before become one
 * number, and divided by litres it is a conductivity again.  That is a
 * first-order model: conductivity rises a little less than in proportion, so
 * the sum of two loads lies a few per cent above the conductivity of the two
 * dissolved together at the strengths a root zone sees.  It errs to the side
 * of care.  Sorption and precipitation are left out, which errs the same way.
 *
 * The load of a dressing comes from the caller: the solution model works out the
 * conductivity at 25 degC of that dose dissolved in the bag's water at
 * saturation, and the load is that conductivity times those litres.  A dressing
 * given in water brings its litres along, and the load then includes what the
 * water itself held.
 *
 * ECe is the load in the water of saturation; ECsw is the load in the water that
 * is there.  Media are taken by volume, mineral and organic alike, so no
 * percentage by mass of a light mix ever enters.
 *
 * The bag is four equal layers, each mixed by itself, that give 40, 30, 20 and
 * 10 % of the water used from the top down (FAO 29).  What one cannot hold flows
 * into the next, and out of the last; so the bottom is the saltiest, as in a
 * field, and the mean ECe is the plain mean of the layers.  A dressing that
 * still lies on the surface, and salt that creeps to a drying surface, are
 * stronger than any of them and not seen here.
 */
#ifndef BD_MODEL_ROOTZONE_H
#define BD_MODEL_ROOTZONE_H

#include <stddef.h>

#include "base/error.h"
#include "base/range.h"
#include "nutrients/catalogue.h"
#include "nutrients/media.h"

/* How thirsty a crop is over its life: FAO Irrigation and Drainage Paper 56, chapter 6. */
typedef struct bd_kc_curve {
    double initial, mid, end;     /* Kc, 0 or more                        */
    double stage_days[BD_STAGES]; /* initial, development, mid-season, late */
} bd_kc_curve;

/*
 * Kc on a day of the crop, the first being day 1; after the last stage as at its end.
 *
 * Method   level in the first and third stage, a straight line in the second and
 *          fourth (FAO-56, equation 66).
 * Example  carrot 0.7/1.05/0.95, 20-30-30-20 days: day 35 -> 0.875
 */
double bd_kc_on_day(const bd_kc_curve *curve, double day);

/*
 * The published curve of a crop.  Where its coefficients or its first stage are not known (or
 * `crop` is NULL) `plain` all season, in four equal stages; a stage without a length counts a day.
 */
bd_kc_curve bd_kc_of_crop(const bd_crop *crop, double plain);

enum { BD_DRESSINGS_MAX = 128 };

/* Salt given to the bag on one day. */
typedef struct bd_dressing {
    int day;        /* days after now, from -past_days to before the last */
    double water_l; /* it was dissolved in; 0 when dry                 */
    bd_range load_ds_l_per_m;
} bd_dressing;

/* One bag and what happens to it. */
typedef struct bd_rootzone {
    int days;       /* from now to harvest, 1..1000                    */
    int age_days;   /* of the crop now: days since sowing, 0 or more   */
    int past_days;  /* lived before now, 0..age_days; what a course tells begins after them */
    double area_m2; /* that loses water: mouth or foliage, times exposure; above 0 */

    double capacity_l;     /* water at container capacity, above wilting_l   */
    double wilting_l;      /* water no root can draw, above 0                */
    bd_range saturation_l; /* water at saturation, not below capacity_l      */

    bd_range existing_ece_ds_per_m; /* before the past days and all dressings */
    bd_range water_ds_per_m;        /* conductivity of the irrigation water   */
    double leaching_share;          /* of each watering that drains, 0..0.9   */
    int watering_every_days;        /* 1 or more                              */
    double eto_mm_per_d;            /* reference evapotranspiration, 0..20    */
    double rain_mm_per_d;           /* mean, free of salt, 0..200             */
    bd_kc_curve kc;

    bd_range uptake_share; /* of a dressing the crop takes by harvest if none drains, 0..1 */
    const bd_uptake_point *uptake; /* how it is spread over the season, both shares rising
                                      to 1; NULL for evenly */
    size_t uptake_count;

    const bd_dressing *dressings; /* in any order; NULL when none */
    size_t dressing_count;
} bd_rootzone;

/* Which end of the uncertain inputs: the high end is the salty one. */
typedef enum bd_end { BD_END_LOW, BD_END_TYPICAL, BD_END_HIGH } bd_end;

/* Where water and salt went; each side of each line sums up to rounding. */
typedef struct bd_balance {
    double water_before_l, irrigation_l, rain_l, dressing_l; /* came */
    double used_l, drained_l, water_after_l;                 /* went */
    double load_before, load_irrigation, load_dressings;     /* came [dS/m * L] */
    double load_taken_up, load_drained, load_after;          /* went            */
    double water_residual;                                   /* |came - went| / came */
    double load_residual;
} bd_balance;

/* One course to harvest. */
typedef struct bd_course {
    double ece_before_ds_per_m;   /* now: after the past days                              */
    double ece_peak_ds_per_m;     /* the highest at any moment                             */
    double ece_top_peak_ds_per_m; /* the highest in the top quarter, where seedlings root */
    double ece_mean_ds_per_m;     /* over time, from now to harvest                        */
    double ece_after_ds_per_m;    /* at harvest                                            */
    double ecsw_peak_ds_per_m;    /* soil water, after watering or at the end of a day     */
    double rise_ds_per_m;         /* the largest jump of ECe by the dressings of one day   */
    int dry_days;                 /* on which the bag held less than the crop would use    */
    bd_balance balance;
} bd_course;

/* A day of a course, for tables and checks. */
typedef struct bd_rootzone_day {
    int day; /* after now; past days are not shown */
    double kc, used_l, drained_l, irrigation_l;
    double water_l;                     /* at its end                       */
    double ece_ds_per_m, ecsw_ds_per_m; /* at its end       */
} bd_rootzone_day;

typedef void bd_rootzone_watch(const bd_rootzone_day *day, void *to);

/*
 * Follows a bag from now to harvest at one end of what is uncertain.
 *
 *   zone   see above; the bag starts at container capacity, past_days before now
 *   end    BD_END_HIGH: much salt there and given, salty water, little uptake and
 *          few litres at saturation; BD_END_LOW the other way round
 *   watch  called after each day with `to`; may be NULL
 *   out    written only on BD_OK
 *
 * Returns BD_OK, BD_RANGE for a number outside the ranges above, BD_CONFLICT when
 * wilting, capacity and saturation are not in rising order.
 *
 * Method   each day in this order: dressings; rain; on watering days water to
 *          container capacity and as much more as makes leaching_share of it
 *          drain; use, Kc * ETo * area, as far as there is water above wilting;
 *          uptake.  Whatever is above capacity goes down.  The mean takes
 *          the mean of each day's ECe after watering and at its end.  Past days are
 *          lived the same way, so that a dressing of last month has drained and been
 *          taken up as far as a plan that held it said; peaks, sums and the balance
 *          begin now, when the bag holds what the past left.
 * Source   Kc and ETo: FAO Irrigation and Drainage Paper 56; layers: Paper 29.
 * Holds    for bags watered by hand that drain freely; salt and water are
 *          conserved to 1e-9 of what came.
 */
bd_status bd_rootzone_follow(const bd_rootzone *zone, bd_end end, bd_rootzone_watch *watch,
                             void *to, bd_course *out, bd_error *err) BD_MUST_CHECK;

/* All ends together. */
typedef struct bd_outlook {
    bd_range ece_before_ds_per_m, ece_peak_ds_per_m, ece_mean_ds_per_m, ece_after_ds_per_m;
    bd_range ece_top_peak_ds_per_m, ecsw_peak_ds_per_m, rise_ds_per_m;
    bd_course typical;
} bd_outlook;

/*
 * The three courses as ranges.
 * Example  24.7 L of a soil mix with 11.6 L at saturation, ECe 0.8, 3 g of a salt
 *          of 1.35 dS/m per g/L: load 4.05 dS/m * L, rise 0.35 dS/m
 */
bd_status bd_rootzone_outlook(const bd_rootzone *zone, bd_outlook *out,
                              bd_error *err) BD_MUST_CHECK;

#endif
