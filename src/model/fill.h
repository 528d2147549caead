/*
 * fill.h - parts by volume into bags: litres, buckets and kilograms, and what the
 * mix is and brings.
 *
 * May include: base/, nutrients/.  No stdio, no clock, no files.
 *
 * Three volumes are kept apart.  `settled` is the mix in the bag after the first
 * waterings, what every dose is counted on.  `parts` is the sum of the parts, each
 * as dense as it lies by itself: more than settled, because fine parts slip into
 * the gaps of coarse ones.  `loose` is what is measured out with a bucket: more
 * again, because a bucket is filled loosely.  Kilograms do not change with any of it.
 */
#ifndef BD_MODEL_FILL_H
#define BD_MODEL_FILL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "model/npk.h"
#include "nutrients/parts.h"

enum { BD_FILL_PARTS_MAX = 12 };

typedef struct bd_fill_share {
    const bd_part *part;
    const bd_medium *medium; /* of the part                            */
    double share;            /* by volume, above 0; any scale: 60, 20, 20 */
} bd_fill_share;

typedef struct bd_fill_order {
    const bd_fill_share *shares;
    size_t count;       /* 1..BD_FILL_PARTS_MAX                              */
    double bag_l;       /* settled mix in one bag, above 0                   */
    double bags;        /* above 0                                           */
    double bucket_l;    /* above 0                                           */
    double settling;    /* 0..0.5, of the loose volume                       */
    double mixing_loss; /* 0..0.5, of the sum of the parts; taken as 0 for one part alone */
} bd_fill_order;

/* One part, for all bags. */
typedef struct bd_fill_line {
    double share;       /* of the sum of all, 0..1                 */
    double loose_l;     /* to measure out                          */
    double buckets;     /* loose_l / bucket_l                      */
    bd_range mass_kg;   /* as it comes, moist                     */
    bd_npk total_g;     /* it holds, for all bags               */
    bd_npk available_g; /* of that, to the first crop           */
} bd_fill_line;

typedef struct bd_fill {
    bd_fill_line lines[BD_FILL_PARTS_MAX]; /* in the order of the shares */
    size_t count;
    double loose_l, buckets; /* of all parts, all bags; sums of the lines */
    double bag_loose_l;      /* loose_l / bags                            */
    bd_range mass_kg;        /* moist, all bags                           */

    bd_range bulk_density_kg_per_l; /* dry, settled                               */
    bd_range container_capacity;    /* share of the settled volume                */
    bd_range total_pores, wilting_point;
    bd_range bag_soil_kg; /* dry, in one bag                            */
    bd_range bag_water_l; /* at container capacity, in one bag          */

    bd_npk total_g_per_bag;         /* all it holds                                */
    bd_npk available_g_per_bag;     /* to the first crop, before what rot takes    */
    bd_range draw_down_n_g_per_bag; /* N that rotting wood or straw takes away   */
    bd_range ece_ds_per_m;          /* parts without a figure count as free of salt */
    double ece_known_share;         /* of the mix by volume whose salt is known     */
    bd_range lime_g_per_bag;        /* as CaCO3                                    */
} bd_fill;

/*
 * Works out the filling.
 *
 *   order      see above
 *   microbes   C:N of what rots wood and straw, above 0 [kg/kg]
 *   efficiency share of the carbon they use that they build in, 0..1
 *   out        written only on BD_OK
 *
 * Returns BD_OK, or BD_RANGE for a number outside its range.
 *
 * Method   parts = settled / (1 - mixing loss); loose = parts / (1 - settling);
 *          dry mass = parts * share * dry density, and so on.  Pores are what the
 *          solids leave: 1 - solids of all parts / settled; the water held is the
 *          water of the parts, at most the pores.  Salt: loads in the water of
 *          saturation, divided by all of it.  Draw-down: carbon that rots in a season
 *          * (efficiency / C:N of microbes - 1 / C:N of the part), never below zero:
 *          what releases nitrogen has it counted in its first year's share.
 * Holds    for parts that drain.  A heap may be a third heavier or lighter: weigh a
 *          bucket.
 * Example  soil 60, compost 20, sand 20 in one 24.7 L bag, losses 10 % and 15 %:
 *          27.4 L of parts, 32.3 L loose, 1.28 kg/L dry, 39 % water, 47 % pores
 */
bd_status bd_fill_bags(const bd_fill_order *order, bd_range microbes, bd_range efficiency,
                       bd_fill *out, bd_error *err) BD_MUST_CHECK;

/*
 * Share of a soil's acidity, as its laboratory measured it, that lime has to take up to
 * bring the soil from one pH to another [0..1].
 *
 *   ph       of the soil
 *   target   wanted, from `ph` to `free`
 *   free     pH at which the laboratory's method finds no acidity left, above `ph`
 *   out      written only on BD_OK
 *
 * Returns BD_OK, or BD_RANGE.
 *
 * Method   (target - ph) / (free - ph): acidity falls in a straight line with pH.
 * Source   North Carolina Department of Agriculture & Consumer Services, buffer-acidity
 *          table, where `free` is 6.6
 * Example  5.0 to 6.0: 0.625 of 1.2 meq in 100 cm3
 */
bd_status bd_lime_share(double ph, double target, double free, double *out,
                        bd_error *err) BD_MUST_CHECK;

#endif
