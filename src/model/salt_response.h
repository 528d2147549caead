/*
 * salt_response.h - what salt in the root zone costs in yield, and how much
 * water must drain to hold it down.
 *
 * May include: base/.  No stdio, no clock, no files.
 *
 * ECe is the conductivity at 25 degC of the water drawn from a saturated paste,
 * averaged over the root zone and over time.  Thresholds and slopes were fitted
 * on mineral field soils; in peat-like media they are a guide and the card says
 * so.  Climate, soil and care move them: the curve ranks crops better than it
 * foretells a harvest.
 */
#ifndef BD_MODEL_SALT_RESPONSE_H
#define BD_MODEL_SALT_RESPONSE_H

#include "base/error.h"
#include "base/range.h"

/* Full yield up to the threshold, then a straight line down to nothing (Maas and Hoffman 1977). */
typedef struct bd_salt_line {
    double threshold_ds_per_m; /* ECe, 0 or more                               */
    double slope_per_ds_per_m; /* share of yield lost per dS/m, above 0 up to 1 */
} bd_salt_line;

/*
 * The line through the threshold and the ECe at which nothing grows.
 *
 *   threshold_ds_per_m  0 or more
 *   zero_ds_per_m       above the threshold by at least 1 dS/m
 *   out                 written only on BD_OK
 *
 * Returns BD_OK or BD_RANGE.
 * Example  4 and 22 dS/m -> slope 0.0556 per dS/m
 */
bd_status bd_salt_line_between(double threshold_ds_per_m, double zero_ds_per_m, bd_salt_line *out,
                               bd_error *err) BD_MUST_CHECK;

/*
 * Relative yield, 1 for full and 0 for nothing.
 *
 *   line   of the crop
 *   ece    mean ECe of the root zone [dS/m at 25 degC, 0 or more]
 *   yield  [0..1], written only on BD_OK
 *
 * Returns BD_OK or BD_RANGE (ece, threshold or slope outside its range).
 *
 * Method   1 - slope * (ECe - threshold), never above 1 nor below 0.
 * Source   FAO Irrigation and Drainage Paper 61, Annex 1, after Maas and Hoffman.
 * Example  carrot, threshold 1.0, slope 0.14, ECe 1.6 -> 0.916
 */
bd_status bd_salt_yield(const bd_salt_line *line, double ece_ds_per_m, double *yield,
                        bd_error *err) BD_MUST_CHECK;

/*
 * The same for an uncertain ECe: the low yield belongs to the high ECe.
 * Example  carrot, ECe 1.2..1.6..2.0 -> 0.86..0.916..0.972
 */
bd_status bd_salt_yield_range(const bd_salt_line *line, bd_range ece_ds_per_m, bd_range *yield,
                              bd_error *err) BD_MUST_CHECK;

/*
 * The ECe at which `yield` [0..1] is left; for 1 the threshold.
 * Example  tomato, threshold 2.5, slope 0.099, half the yield -> 7.55 dS/m (C50)
 */
bd_status bd_salt_ece_at_yield(const bd_salt_line *line, double yield, double *ece_ds_per_m,
                               bd_error *err) BD_MUST_CHECK;

/*
 * The share of the water applied that must drain to hold a root zone at an ECe.
 *
 *   ecw     of the irrigation water            [dS/m at 25 degC, 0 or more]
 *   ece     the mean the crop is to be kept at [dS/m, above 0]
 *   share   [0..1), written only on BD_OK
 *
 * Returns BD_OK, BD_RANGE, or BD_OUTSIDE when the water is so salty (ECw of 2.5
 * ECe and more) that no draining holds that ECe.
 *
 * Method   ECw / (5 ECe - ECw)
 * Source   FAO Irrigation and Drainage Paper 29 Rev. 1.
 * Holds    in the long run under ordinary surface irrigation, rain left out; not
 *          for a single dressing of fertiliser.
 * Example  1.5 and 6.0 dS/m -> 0.0526
 */
bd_status bd_leaching_requirement(double ecw_ds_per_m, double ece_ds_per_m, double *share,
                                  bd_error *err) BD_MUST_CHECK;

/*
 * Water to apply so that the crop gets `use` and `share` of all of it drains;
 * any unit, the same as of `use` [0 or more]; share in 0..1, below 1.
 * Example  76 cm at 0.0526 -> 80.2 cm
 */
bd_status bd_leaching_applied(double use, double share, double *applied,
                              bd_error *err) BD_MUST_CHECK;

/*
 * The ECe a field profile settles at under a water, long run, 15..20 % draining.
 *
 *   ecw     [dS/m, 0 or more]
 *   factor  ECe over ECw, about 1.5; its range comes from nutrients/media.json
 *
 * Source   FAO Irrigation and Drainage Paper 29 Rev. 1.
 * Example  1.0 dS/m, 1.5 -> 1.5 dS/m
 */
bd_status bd_salt_ece_under_water(double ecw_ds_per_m, bd_range factor, bd_range *ece_ds_per_m,
                                  bd_error *err) BD_MUST_CHECK;

/*
 * Dissolved salts of a water, roughly, from its conductivity.
 *
 *   ec              [dS/m at 25 degC, 0 or more]
 *   mg_per_l_per_ds about 640, in truth 550..900 and outside that for a single salt
 *
 * Holds    for the usual mixture of salts in natural waters; never for one
 *          fertiliser, whose own conductivity the solution model works out.
 * Example  1.6 dS/m, 640 -> 1024 mg/L
 */
bd_status bd_salts_of_conductivity(double ec_ds_per_m, bd_range mg_per_l_per_ds, bd_range *mg_per_l,
                                   bd_error *err) BD_MUST_CHECK;

#endif
