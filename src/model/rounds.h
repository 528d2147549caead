/*
 * rounds.h - which products, how much, on which days: a season's feed in rounds.
 *
 * May include: base/, nutrients/, model/.  No stdio, no clock, no files.
 *
 * Days are counted from sowing; amounts are g in one bag.  Two steps that may be
 * used apart: bd_shelf_choose finds the cheapest products that meet what is to
 * give, bd_rounds_plan spreads them over the season under every ceiling.  What no
 * ceiling lets through is left out and stated as a shortfall, never squeezed in.
 */
#ifndef BD_MODEL_ROUNDS_H
#define BD_MODEL_ROUNDS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "model/npk.h"
#include "model/rootzone.h"
#include "nutrients/media.h"

enum { BD_SHELF_MAX = 12, BD_ROUNDS_MAX = 32 };

/* A product the grower has or can buy. */
typedef struct bd_shelf_item {
    const char *name;             /* borrowed                                          */
    double share[BD_NPK_COUNT];   /* kg/kg, each 0..1                                  */
    double boron_share;           /* kg/kg, 0..1: little of it is too much in a season */
    double price_per_g;           /* 0 or more; 0 for all: the least salt is chosen    */
    double load_ds_l_per_m_per_g; /* salt: dS/m * L by one gram, 0 or more             */
    double most_g_per_round;      /* per bag; HUGE_VAL when nothing says               */
} bd_shelf_item;

/* How many grams of each. */
typedef struct bd_shelf_choice {
    double g[BD_SHELF_MAX];        /* per bag, in the order of the shelf                  */
    double gives[BD_NPK_COUNT];    /* g per bag                                           */
    double short_of[BD_NPK_COUNT]; /* to_give not met: nothing on the shelf holds it, or
                                      only together with too much of another             */
    double price;                  /* per bag                                             */
    double load_ds_l_per_m;
} bd_shelf_choice;

/*
 * The cheapest amounts that give at least `to_give` and at most `most` of each
 * nutrient, or as near to that as the shelf can come.
 *
 *   items    the shelf
 *   count    1..BD_SHELF_MAX
 *   to_give  g per bag, 0 or more
 *   most     g per bag, not below to_give; HUGE_VAL for no bound
 *   out      written only on BD_OK
 *
 * Returns BD_OK (perhaps with short_of), BD_RANGE.
 *
 * Method   a linear programme with three pairs of bounds: its optimum lies on a
 *          corner, where as many bounds are tight as products are used, at most
 *          three, so every corner is tried.  Not meeting `to_give` is allowed and
 *          comes before price: least of K2O, then of N, then of P2O5.  Equal prices
 *          are settled by less salt, then by less nutrient in all, then by fewer products.
 * Holds    exactly, for any shelf of this size.
 * Example  120 N, 60 P2O5, 40 K2O from 18-46-0, 46-0-0 and 0-0-60:
 *          130.4, 209.8 and 66.7
 */
bd_status bd_shelf_choose(const bd_shelf_item *items, size_t count,
                          const double to_give[BD_NPK_COUNT], const double most[BD_NPK_COUNT],
                          bd_shelf_choice *out, bd_error *err) BD_MUST_CHECK;

/* The season and what holds for every round. */
typedef struct bd_rounds_order {
    int season_days;       /* sowing to harvest, 2..1000                                 */
    int from_day;          /* today: no round before it; 0: not sown yet                 */
    int first_day;         /* of the first dressing, 0 or more                           */
    int last_day;          /* of the last dressing of anything, before season_days       */
    int last_nitrogen_day; /* none of a product that holds N after it                    */
    int interval_days;     /* least between two, 1 or more                               */
    bool was_fed;          /* in this season: what came before the first round was fed for  */
    int wanted_rounds;     /* beside the base dressing, 1..most_rounds; more are made when
                              the ceilings ask for it                                    */
    int most_rounds;       /* 1..BD_ROUNDS_MAX - 1                                       */
    double base_share[BD_NPK_COUNT]; /* of each that goes into the mix before sowing, 0..1;
                                        nothing does when from_day is above 0           */
    const bd_uptake_point *uptake[BD_NPK_COUNT]; /* NULL: evenly                         */
    size_t uptake_count[BD_NPK_COUNT];
    double most_nutrient_g[BD_NPK_COUNT]; /* per bag and round; HUGE_VAL                 */
    double most_base_g[BD_NPK_COUNT];     /* the same for what is mixed in before sowing */
    double most_load_ds_l_per_m;          /* per bag and round: rise of ECe * water at saturation */
    double most_season_g[BD_NPK_COUNT];   /* per bag, all rounds together: what a ceiling of the
                                             season leaves; HUGE_VAL                          */
    double most_season_boron_g;           /* the same of boron                                */
} bd_rounds_order;

typedef struct bd_round {
    int day;                    /* from sowing; the base dressing is at 0          */
    bool is_base;               /* mixed through the whole depth before sowing     */
    double g[BD_SHELF_MAX];     /* per bag                                         */
    double gives[BD_NPK_COUNT]; /* g per bag                                       */
    double load_ds_l_per_m;
    double supplied[BD_NPK_COUNT]; /* share of the plan given up to and with it, 0..1 */
    double taken[BD_NPK_COUNT];    /* share of the season's uptake up to the next round */
} bd_round;

typedef struct bd_rounds {
    bd_round rounds[BD_ROUNDS_MAX];
    size_t count;                    /* 0 when nothing is given                         */
    double g[BD_SHELF_MAX];          /* of all rounds, per bag                          */
    double gives[BD_NPK_COUNT];      /* of all rounds                                   */
    double left_out_g[BD_SHELF_MAX]; /* of the choice, what no ceiling let through      */
    const char *held_by;             /* "product", "N", "P2O5", "K2O", "salt" of a round, "mix"
                                        (salt of the root zone), "days", "season" (ceiling of
                                        all rounds); "" when all went in: what bound most */
} bd_rounds;

/*
 * Spreads a choice over the season.
 *
 *   order   see above
 *   items   the shelf, `count` of them, as for the choice
 *   choice  grams of each
 *   out     written only on BD_OK
 *
 * Returns BD_OK or BD_RANGE.
 *
 * Method   days: evenly from the first, or today, to the last, no nearer than the
 *          interval.  Amounts: the base share of a product by the nutrient it holds
 *          most of; the rest by the share of that nutrient's uptake from the round to
 *          the next (the first: from sowing or today, unless the mix or the bag was fed;
 *          the last: to harvest).  A product that holds nitrogen skips rounds after
 *          last_nitrogen_day, and so has the first place in those before.  Where a
 *          ceiling is met the round is cut, and what was cut goes to the rounds that
 *          have room, the earliest first; if some finds none, one round more is tried,
 *          up to most_rounds and the interval, unless a ceiling of the season bounds it,
 *          which more rounds do not lift.  What is over then is left out.
 * Holds    no round is over a ceiling, nor are all rounds together over one of the
 *          season; every amount is 0 or more; rounds and left_out_g add up to the choice.
 */
bd_status bd_rounds_plan(const bd_rounds_order *order, const bd_shelf_item *items, size_t count,
                         const bd_shelf_choice *choice, bd_rounds *out,
                         bd_error *err) BD_MUST_CHECK;

/*
 * The rounds as dressings of a root zone.
 *
 *   from_day     day of the season that is day 0 of the zone; rounds before are left out
 *   water_l      they are dissolved in, per bag; 0 for dry
 *   water_ds_per_m  conductivity of that water
 *   spread       factors on the load, low..high, for what is not known of it; 1 for none
 *
 * Returns how many were written, at most BD_ROUNDS_MAX.
 */
size_t bd_rounds_dressings(const bd_rounds *rounds, int from_day, double water_l,
                           double water_ds_per_m, bd_range spread, bd_dressing out[BD_ROUNDS_MAX]);

/* A plan that a root zone bears. */
typedef struct bd_rounds_fit {
    bd_rounds rounds;
    bd_outlook outlook;
    double kept; /* share of the choice that was let through, 0..1 */
} bd_rounds_fit;

/*
 * Plans, follows the root zone, and gives less until the high end of its peak ECe
 * is at most `most_ece_ds_per_m`.
 *
 *   zone   as for bd_rootzone_outlook; day 0 is order->from_day; its dressings, of the
 *          past and of today, stay, at most BD_DRESSINGS_MAX - BD_ROUNDS_MAX of them
 *   out    written only on BD_OK
 *
 * Returns BD_OK (kept may be 0: the bag is salty enough already), BD_RANGE, BD_CONFLICT.
 *
 * Method   halving on the share of the choice that is given, to one part in a thousand; where
 *          less than all goes in, as many rounds as the days bear are tried, and the number
 *          midway, and taken where they let more in.
 */
bd_status bd_rounds_within(const bd_rounds_order *order, const bd_shelf_item *items, size_t count,
                           const bd_shelf_choice *choice, const bd_rootzone *zone, double water_l,
                           double water_ds_per_m, double most_ece_ds_per_m, bd_rounds_fit *out,
                           bd_error *err) BD_MUST_CHECK;

/* Share of a season's uptake reached at a share of the season, both 0..1; points may be NULL for
 * evenly.  Straight lines between the points. */
double bd_uptake_at(const bd_uptake_point *points, size_t count, double season_share);

/* Sprays, counted beside the rounds. */
typedef struct bd_spray_share {
    double share[BD_NPK_COUNT]; /* of the season's need, all sprays together */
    bool is_note;               /* nitrogen below the bound: no feed, only a note */
} bd_spray_share;

/*
 * What leaf sprays give, against the need.
 *
 *   g_per_spray  per bag;  sprays: number;  need: g per bag, 0 or more
 *   note_share   nitrogen share below which it does not count as a feed, 0..1
 */
bd_status bd_spray_counts(const double g_per_spray[BD_NPK_COUNT], double sprays,
                          const double need[BD_NPK_COUNT], double note_share, bd_spray_share *out,
                          bd_error *err) BD_MUST_CHECK;

#endif
