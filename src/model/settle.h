/*
 * settle.h - what a season leaves in the bag, and what washing it out takes.
 *
 * May include: base/, model/.  No stdio, no clock, no files.
 *
 * All amounts are of one bag.  Salt is a load, dS/m * L, as in rootzone.h.
 */
#ifndef BD_MODEL_SETTLE_H
#define BD_MODEL_SETTLE_H

#include <stdbool.h>

#include "base/error.h"
#include "model/npk.h"

/* The balance of one nutrient [g]: came = removed + drained + left. */
typedef struct bd_settle_line {
    bd_range came;    /* credits and rounds                                   */
    bd_range removed; /* in the harvest, and in the tops when they are taken  */
    bd_range drained; /* with the water that ran out                          */
    bd_range left;    /* not below zero                                       */
    bd_range carry;   /* of that, what the next crop may be credited with     */
    double overdrawn; /* typical: the crop took more than came, from the mix's own store */
} bd_settle_line;

typedef struct bd_settlement {
    bd_settle_line of[BD_NPK_COUNT];
} bd_settlement;

/*
 * Settles a bag after harvest.
 *
 *   came     given and credited over the season      [g]
 *   removed  by the harvest                          [g]
 *   drained_share  of what came, each 0..1
 *   carry_share    of what is left, each 0..1
 *
 * Returns BD_OK or BD_RANGE.
 * Method   low end of what is left: little came, much was taken; high end the other
 *          way round.
 * Example  8 g K2O came, 5 g in the crop, half carried: 1.5 g to the next crop
 */
bd_status bd_settle_bag(const bd_npk *came, const bd_npk *removed,
                        const double drained_share[BD_NPK_COUNT],
                        const double carry_share[BD_NPK_COUNT], bd_settlement *out,
                        bd_error *err) BD_MUST_CHECK;

typedef struct bd_flush_order {
    double water_l;             /* the bag holds at container capacity, above 0       */
    double saturation_l;        /* at saturation, not below water_l                   */
    double load_ds_l_per_m;     /* salt in it, 0 or more                              */
    double rinse_ds_per_m;      /* conductivity of the water poured, 0 or more        */
    double target_ece_ds_per_m; /* ECe to come down to, above 0                    */
    double portion_l;           /* poured at a time, above 0                          */
    int most_portions;          /* 1..100                                             */
} bd_flush_order;

typedef struct bd_flush {
    int portions;  /* 0: not needed                                      */
    double litres; /* portions * portion_l                               */
    double ece_before_ds_per_m, ece_after_ds_per_m;
    double drain_ds_per_m;   /* of the first water that runs out                   */
    double washed_share;     /* of the salt that was there, net, 0..1              */
    bool is_enough;          /* false: the target is not reached in most_portions  */
    bool water_is_too_salty; /* the target lies below what this water leaves       */
} bd_flush;

/*
 * A plan to wash a bag out.
 *
 * Returns BD_OK or BD_RANGE.
 *
 * Method   each portion mixes with the water the bag holds and as much runs out:
 *          the part of the conductivity above that of the rinse falls by
 *          water / (water + portion).  ECe = load / saturation.  What goes through
 *          layers without mixing washes more; cracks and channels wash less: taken
 *          together a middling estimate, to be checked with a meter on the drain.
 * Example  9.6 L of water at ECe 4 and saturation 11.6 L, pure rinse in 6 L portions,
 *          down to 1.2: 3 portions
 */
bd_status bd_flush_plan(const bd_flush_order *order, bd_flush *out, bd_error *err) BD_MUST_CHECK;

/* What to do with a used mix. */
typedef enum bd_reuse {
    BD_REUSE_AS_IS, /* refill what was lost                       */
    BD_REUSE_FLUSH, /* wash salt out first                        */
    BD_REUSE_RETIRE /* onto beds or compost: too salty, tired     */
} bd_reuse;

/*
 * Whether a used mix may carry the next crop.
 *
 *   ece_ds_per_m   of it, the high end
 *   bears_ds_per_m what the next crop bears without loss
 *   flush          the plan to get there
 *   is_sick        the last crop was diseased, or the mix no longer drains
 *
 * Method   a sick mix is retired whatever its salt; one within what the crop bears is
 *          refilled; one that a flush brings there is flushed; any other is retired.
 */
bd_reuse bd_reuse_judge(double ece_ds_per_m, double bears_ds_per_m, const bd_flush *flush,
                        bool is_sick);

/* An overdose that happened. */
typedef struct bd_rescue_order {
    double given_g;               /* of the product, above 0                            */
    double planned_g;             /* that should have been given, 0 or more             */
    double recovered_share;       /* of the crystals lifted off dry, 0..0.95            */
    double share[BD_NPK_COUNT];   /* of the product, kg/kg                          */
    double load_ds_l_per_m_per_g; /* salt by one gram                               */
    double dose_interval_days;    /* for which planned_g would have served, 0 or more */
    bd_flush_order flush;         /* load_ds_l_per_m: before the overdose               */
} bd_rescue_order;

typedef struct bd_rescue {
    double over_g;            /* above plan                                         */
    double lift_g;            /* lifted off dry: recovered_share of given, at most what is over */
    double stays_g;           /* still in the bag                                   */
    double ece_with_ds_per_m; /* with what stays                                   */
    bd_flush flush;
    double washed_g[BD_NPK_COUNT]; /* that run out: where may that water go?       */
    double wait_days;              /* before the next feed: what is over, at the planned rate;
                                      no shorter than one interval                       */
} bd_rescue;

/*
 * What to do after too much was given.
 *
 * Returns BD_OK or BD_RANGE.
 *
 * Method   lift what lies dry, dissolve the rest into the salt balance, flush to the
 *          target.  Nutrients wash out with the same share as the salt: true of
 *          nitrate and chloride, too much for potassium, ammonium and phosphate,
 *          which the mix holds back; so washed_g is a high end.
 */
bd_status bd_rescue_plan(const bd_rescue_order *order, bd_rescue *out, bd_error *err) BD_MUST_CHECK;

#endif
