/*
 * measure.h - how to measure a dose with the tools in the house, and how far
 * off it may be.
 *
 * May include: base/.  No stdio, no JSON, no globals that change.
 *
 * A tool shows whole steps.  Nothing here asks for an amount between two steps
 * or below one, and every amount is rounded before it is multiplied or added, so
 * that a copied sheet adds up again on paper.
 *
 * The error of a way is the farthest a bag can be from the dose asked for, over
 * that dose: rounding to the step, half a step of reading on each tool, and the
 * spread of the scoop.  On a scale alone it is at most one step over the dose,
 * which is the usual rule "20 steps for 5 %".  Sharing a solution by volume
 * supposes that it is well stirred.
 */
#ifndef BD_MODEL_MEASURE_H
#define BD_MODEL_MEASURE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/range.h"

/* Ways to measure, easiest to do right first. */
typedef enum bd_way {
    BD_ML_EACH,    /* a liquid by the syringe for every bag                      */
    BD_WEIGH_EACH, /* weigh for every bag                                        */
    BD_WEIGH_ALL,  /* weigh once, dissolve for all, share by the jug             */
    BD_STOCK_ML,   /* weigh once, make a stock up to a bottle, mL to each bag    */
    BD_STOCK_CAN,  /* ... or mL into each can, shared by the jug: where a bag's mL are too few */
    BD_SCOOPS,     /* count level scoops                                         */
    BD_WAY_COUNT
} bd_way;

/* Why a way cannot be taken. */
typedef enum bd_obstacle {
    BD_OBSTACLE_NONE,
    BD_OBSTACLE_NO_TOOL,   /* scale, jug, bottle, syringe or scoop is lacking       */
    BD_OBSTACLE_TOO_SMALL, /* less than the tool shows                              */
    BD_OBSTACLE_TOO_STRONG /* the stock would not stay dissolved                    */
} bd_obstacle;

/* What is in the house; 0 where a tool is lacking. */
typedef struct bd_tools {
    double scale_step_g;    /* last digit of the scale                         [g]   */
    double jug_step_l;      /* marks of the vessel that waters a bag           [L]   */
    double bottle_l;        /* mark a stock can be made up to                  [L]   */
    double syringe_step_ml; /* marks of the syringe                            [mL]  */
    bd_range scoop_g;       /* material in one LEVEL scoop; typical 0: no scoop [g]  */
    double scoop_step;      /* 1 for whole scoops, 0.5 if half is marked       [0.01..1] */
    double scoop_ml;        /* volume of it; 0: not known                      [mL]  */
    double level_error;     /* how unevenly it is struck off                 [0..0.5] */
} bd_tools;

/* What is to be measured. */
typedef struct bd_portion {
    double dose_g;            /* of the material, for one bag                  [g]   */
    double bags;              /* alike                                         [1..1e6, whole] */
    double pour_l;            /* of water given with it to a bag; 0: given dry [L]   */
    double dissolves_g_per_l; /* most a stock may hold; 0: not known           [g/L] */
    double room_l;            /* most of a stock that finds room in the finished liquid
                                 this portion is for; 0: no bound             [L]   */
    double liquid_kg_per_l;   /* of a liquid; 0: a solid                       [kg/L] */
    double can_l;             /* what is filled for several bags; 0: all of it at once [L] */
    double dose_ml;           /* of a solid whose rate counts it by volume; 0: by mass [mL] */
    double dose_low_g;        /* such a dose where the material lies loosest, and     */
    double dose_high_g;       /* densest; meaningful if dose_ml is above 0     [g]   */
} bd_portion;

/* Habits of the trade, from data. */
typedef struct bd_measure_rules {
    double good_error;   /* an error nobody need improve on    [0..1], about 0.05     */
    double most_error;   /* above it the card must say so      [0..1], about 0.10     */
    double least_steps;  /* of the scale for one weighing      [1..1e6], about 20     */
    double bottle_error; /* how far off a bottle's mark is    [0..0.5], about 0.01   */
} bd_measure_rules;

/* One way, worked out. */
typedef struct bd_way_plan {
    bd_obstacle obstacle;   /* unless NONE nothing below is meaningful                    */
    double weigh_g;         /* for a bag, for all, or into the bottle; else 0        [g];
                               of a liquid for all or into the bottle whole marks of the syringe,
                               where there is one: over liquid_kg_per_l it is the mL   */
    double liquid_ml;       /* to a bag; BD_ML_EACH only                             [mL] */
    double pour_l;          /* to a bag, as the jug shows it; BD_WEIGH_ALL, _STOCK_CAN [L] */
    double all_l;           /* made up to this for all the bags; the same ways       [L]  */
    double can_ml, can_l;   /* of a stock into each full can, and its litres; BD_STOCK_CAN only */
    double last_ml, last_l; /* into the partial can; 0: there is none         [mL, L]   */
    double stock_ml;        /* to a bag; BD_STOCK_ML only                            [mL] */
    double scoops;          /* to a bag; BD_SCOOPS only                                   */
    bd_range given_g;       /* what a bag may really get                             [g]  */
    double error;           /* farthest end of it from the dose / dose               [0..) */
} bd_way_plan;

typedef struct bd_measure_plan {
    bd_way_plan ways[BD_WAY_COUNT];
    bool has_best;
    bd_way best;         /* meaningful if has_best                                   */
    bool is_too_coarse;  /* even the best errs more than most_error, or there is none */
    bool is_below_scale; /* a scale is there, and the dose is under least_steps steps */
} bd_measure_plan;

/*
 * Every way to measure a dose, and the best.
 *
 *   portion, tools, rules  see the structs
 *   out                    written only on BD_OK
 *
 * Best is the first way, in the order of bd_way, within good_error; if none is,
 * the one with the smallest error, and of two alike the earlier.
 *
 * For a stock, the millilitres come first: as many as let the bottle last for all
 * the bags, let at least least_steps steps be weighed and find room in the finished
 * liquid: a stock is never as weak as what it is thinned to.  The weight follows
 * from them; what is left over in the bottle is no bag's.
 *
 * Where not even the least mark of the syringe is little enough for a bag, a stock is
 * measured into the can for several bags, and poured by the jug; the millilitres of a full
 * can come first, as above; a partial can that the syringe measures worse than most_error is
 * spared, and all cans are filled alike.
 *
 * A dose by volume (dose_ml) is a volume however densely the material lies: a level
 * scoop of known volume errs by its count and by levelling alone, a weighing by the
 * farthest it may be from the dose at the loosest and at the densest, over that.
 *
 * Returns BD_OK (also when no way is possible), BD_RANGE for a number outside
 * its range, BD_CONFLICT for a scoop whose range is upside down.
 *
 * Example  4 g to each of 24 bags, 1 g scale, 1.5 L a bag by a 0.1 L jug: each
 *          4 g within 12.5 %; all 96 g in 36 L within 3.9 %, which is best.
 *          3.60 mL of a 0.72..1.2 kg/L material, 1 g scale, 4.93 mL spoon marked in
 *          quarters: 3 g within 42 %, 3/4 of the level spoon within 7.8 %.
 */
bd_status bd_measure_ways(const bd_portion *portion, const bd_tools *tools,
                          const bd_measure_rules *rules, bd_measure_plan *out,
                          bd_error *err) BD_MUST_CHECK;

/*
 * The same for bags of several kinds in one list: one way for all of them, one can
 * or one bottle where the way has any.
 *
 *   portions, count  the kinds, at least one
 *   out              `count` plans, written only on BD_OK; ways, best and the
 *                    verdict on it are those of the list in each, the amounts and
 *                    errors those of the kind
 *
 * A way that one kind cannot be measured in is no way for the list, and a way is
 * as far off as the kind that errs most.  BD_WEIGH_ALL wants the same strength
 * for all kinds, within 0.5 %.  In a stock the smallest dose sets the millilitres, the others
 * follow to the nearest step as long as the bottle lasts.
 *
 * Returns as bd_measure_ways, BD_MISSING for an empty list.
 *
 * Example  12 bags of 6 g and 30 of 3 g, 1 g scale, 1 L bottle, 1 mL syringe: 167 g
 *          in the bottle, 36 mL and 18 mL a bag, 972 mL in all.
 */
bd_status bd_measure_list(const bd_portion *portions, size_t count, const bd_tools *tools,
                          const bd_measure_rules *rules, bd_measure_plan *out,
                          bd_error *err) BD_MUST_CHECK;

/* How far off a way is for the kind that errs most [0..); of plans from bd_measure_list. */
double bd_measure_worst(const bd_measure_plan *plans, size_t count, bd_way way);

/*
 * A level scoop by its volume and how densely the material lies.
 *
 *   volume_ml    of the scoop                          [mL]
 *   bulk_kg_per_l  loose, poured                       [kg/L, 0.05..5]
 *   level_error  how unevenly scoops are struck off    [0..0.5]
 *   scoop_g      material in a scoop                   [g]
 *
 * Returns BD_OK, BD_RANGE, or BD_CONFLICT for a range upside down.
 * Example  5 mL, 0.90..1.30 (typical 1.10), 0.05 -> 4.28..6.83 g, typical 5.50
 */
bd_status bd_scoop_by_density(double volume_ml, bd_range bulk_kg_per_l, double level_error,
                              bd_range *scoop_g, bd_error *err) BD_MUST_CHECK;

/*
 * A level scoop by weighing some: far better than by density.
 *
 *   scoops        level ones weighed together          [1..1000]
 *   total_g       what the scale showed                [g, a step at least]
 *   scale_step_g                                       [g]
 *   level_error   as above
 *   scoop_g       material in a scoop                  [g]
 *
 * Returns BD_OK or BD_RANGE.
 * Example  10 scoops, 57 g, 1 g steps, 0 -> 5.65..5.75 g, typical 5.70
 */
bd_status bd_scoop_by_weighing(double scoops, double total_g, double scale_step_g,
                               double level_error, bd_range *scoop_g, bd_error *err) BD_MUST_CHECK;

/*
 * How densely a material lies, by weighing level scoops of a known volume.
 *
 *   scoops, total_g, scale_step_g, level_error   as above
 *   volume_ml      of one scoop                        [mL]
 *   bulk_kg_per_l  loose, poured                       [kg/L, 0.05..5]
 *
 * Returns BD_OK, or BD_RANGE, also when no material lies so loosely or so densely:
 * then the volume is another scoop's.
 * Example  10 scoops of 5 mL, 57 g, 1 g steps, 0 -> 1.13..1.15 kg/L, typical 1.14
 */
bd_status bd_bulk_by_weighing(double scoops, double total_g, double scale_step_g,
                              double level_error, double volume_ml, bd_range *bulk_kg_per_l,
                              bd_error *err) BD_MUST_CHECK;

/* A volume of feed in cans, with the material for each. */
typedef struct bd_cans {
    double full;        /* cans filled alike; whole number                             */
    double full_l;      /* in each of them                                        [L]  */
    double full_g;      /* into each of them, as the scale shows it               [g]  */
    double last_l;      /* in the partial can; 0: there is none                   [L]  */
    double last_g;      /*                                                        [g]  */
    double sum_l;       /* of all cans                                            [L]  */
    double sum_g;       /* full x full_g + last_g: what the sheet adds up to      [g]  */
    double exact_g;     /* before any rounding                                    [g]  */
    double error;       /* of the can that errs most, half a step of reading included  */
    bool is_even;       /* the last can would have taken less than a step, so all
                           cans are filled alike and less than full                    */
    bool is_below_step; /* a can takes less than a step: nothing can be weighed,
                       full_g and last_g are 0 and error is 1                      */
} bd_cans;

/*
 * Shares a volume of feed over cans.
 *
 *   strength_g_per_l  of the feed                      [g/L]
 *   total_l           feed wanted                      [L]
 *   can_l             a full can                       [L]
 *   step_g            of the scale                     [g]
 *   out               written only on BD_OK
 *
 * A liquid may be shared by volume as well: strength in mL/L, step of the syringe or jug and
 * all that is said in grams in mL.
 *
 * Returns BD_OK; BD_RANGE for a number outside its range or over 1e6 cans.
 *
 * Example  8/3 g/L, 36 L by 10 L, 1 g: three cans of 27 g, one of 16 g in 6 L;
 *          the sheet adds up to 97 g, 1 g over the exact 96 g.
 */
bd_status bd_cans_fill(double strength_g_per_l, double total_l, double can_l, double step_g,
                       bd_cans *out, bd_error *err) BD_MUST_CHECK;

/*
 * How far a bag may be from its dose when cans are shared out by the jug.
 *
 *   cans_error  of the can that errs most              [0..)
 *   pour_l      of feed meant for a bag                [L, above 0]
 *   jug_step_l  marks of the jug                       [L, above 0]
 *
 * Returns [0..).  The strength of a can is what it is, so a bag also errs by what the
 * jug rounds and by half a mark.
 * Example  0.031 of a can, 1.5 L by 0.1 L -> 0.065
 */
double bd_cans_error_of_bag(double cans_error, double pour_l, double jug_step_l);

/* Bags of one kind in a list of kinds. */
typedef struct bd_feed_group {
    double bags;   /* [1..1e6, whole]                          */
    double dose_g; /* for one bag                         [g]  */
    double pour_l; /* feed for one bag; 0: given dry      [L]  */
} bd_feed_group;

typedef struct bd_group_share {
    double bag_g;   /* as the scale shows it; 0: under a step                   [g] */
    double sum_g;   /* bags x bag_g                                             [g] */
    double exact_g; /* bags x dose                                              [g] */
    bool has_cans;  /* given in water                                               */
    bd_cans cans;   /* of this kind alone; meaningful if has_cans                   */
} bd_group_share;

/* Foot of the list: sums of the rounded figures above it. */
typedef struct bd_group_sum {
    double bags, bags_g;   /* number of bags; sum of sum_g, weighed bag by bag    [g] */
    double exact_g;        /*                                                     [g] */
    double cans_l, cans_g; /* feed; sum over the cans of all kinds       [L]    [g] */
    bool is_one_feed;      /* all kinds get the same strength within 0.5 %, so it may be
                              mixed together and shared by the litre                  */
    bd_cans together;      /* the cans then; meaningful if is_one_feed                */
} bd_group_sum;

/*
 * Different bags in one list.
 *
 *   groups, count  the kinds, at least one
 *   can_l          a full can; 0 if all is given dry   [L]
 *   step_g         of the scale                        [g]
 *   shares         `count` of them, written only on BD_OK
 *   sum            written only on BD_OK
 *
 * Returns BD_OK; BD_RANGE as bd_cans_fill; BD_MISSING for an empty list, or a
 * kind given in water when there is no can.
 *
 * Example  12 bags of 6 g in 1.5 L and 30 of 4 g in 1 L, 10 L cans, 1 g: 4 g/L
 *          throughout; 72 g and 120 g bag by bag; together 48 L, four cans of
 *          40 g and one of 32 g in 8 L.
 */
bd_status bd_groups_measure(const bd_feed_group *groups, size_t count, double can_l, double step_g,
                            bd_group_share *shares, bd_group_sum *sum, bd_error *err) BD_MUST_CHECK;

#endif
