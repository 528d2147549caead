/*
 * credit.h - what the bag has already, and what is left to give.
 *
 * May include: base/.  No stdio, no clock, no files.
 *
 * Credits are ranges.  Against a need only the low end counts, so that a crop is
 * not left short; against a ceiling the high end counts, so that nothing is given
 * twice.  All amounts are g in one bag over the season.
 */
#ifndef BD_MODEL_CREDIT_H
#define BD_MODEL_CREDIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "model/npk.h"

typedef enum bd_credit_from {
    BD_CREDIT_MIX,        /* compost, manure and soil of the mix   */
    BD_CREDIT_BOUGHT_MIX, /* feed that came in a bought mix        */
    BD_CREDIT_CARRY_OVER, /* left by the crop before               */
    BD_CREDIT_WATER,      /* irrigation water                      */
    BD_CREDIT_HOMEMADE,   /* homemade feeds given or planned       */
    BD_CREDIT_GIVEN,      /* fertiliser given already              */
    BD_CREDIT_COUNT
} bd_credit_from;

typedef struct bd_credit {
    bd_credit_from from;
    const char *name; /* "compost", "peel water 3 March"; borrowed */
    bd_npk g_per_bag;
} bd_credit;

/* Sum of all. */
bd_npk bd_credit_total(const bd_credit *credits, size_t count);

/* The account of one nutrient [g/bag].  need + surplus = credited + to_give. */
typedef struct bd_account_line {
    double need;
    double credited; /* the low end of all credits                 */
    double at_most;  /* their high end: what ceilings must count   */
    double to_give;  /* need - credited, not below zero            */
    double surplus;  /* credited - need, not below zero            */
} bd_account_line;

typedef struct bd_account {
    bd_account_line of[BD_NPK_COUNT];
    bool gives_nothing; /* no nutrient is left to give: say so first */
} bd_account;

/*
 * Opens the account of a bag.
 *
 *   need  g/bag, typical, each 0 or more
 *   out   written only on BD_OK
 *
 * Returns BD_OK or BD_RANGE.
 * Example  need 6 g K2O, compost 3.5..8 g -> to give 2.5 g
 */
bd_status bd_account_open(const double need[BD_NPK_COUNT], const bd_credit *credits, size_t count,
                          bd_account *out, bd_error *err) BD_MUST_CHECK;

/*
 * The account when it is closed: what the rounds gave, what stays short.
 *
 *   given        by rounds, g/bag, each 0 or more
 *   shortfall    what is short of to_give     [g/bag]
 *   surplus      what is over the need in all [g/bag]
 *
 * need + surplus = credited + given + shortfall, for every nutrient, to rounding.
 */
bd_status bd_account_close(const bd_account *account, const double given[BD_NPK_COUNT],
                           double shortfall[BD_NPK_COUNT], double surplus[BD_NPK_COUNT],
                           bd_error *err) BD_MUST_CHECK;

/*
 * Organic material mixed in [g].
 *
 *   mass_kg     of it, as it comes, 0 or more
 *   content     kg/kg, each 0..1
 *   available   share of that in the first season, each 0..1
 *
 * Example  13 lb organic N per ton, a quarter available: 3.25 lb per ton
 */
bd_status bd_credit_organic(bd_range mass_kg, const bd_npk *content, const bd_npk *available,
                            bd_npk *g, bd_error *err) BD_MUST_CHECK;

/*
 * Water given over the season [g].
 *
 *   water_l    0 or more
 *   mg_per_l   of the nutrients as N, P2O5, K2O, 0 or more
 *
 * Example  24 acre-inches at 20 mg N/L: 109 lb N per acre
 */
bd_status bd_credit_water(bd_range water_l, const bd_npk *mg_per_l, bd_npk *g,
                          bd_error *err) BD_MUST_CHECK;

/*
 * Feed still to come from a mix that "feeds up to n months" [g].
 *
 *   in_it      what was in it when the bag was filled; g
 *   lasts_days on its sack, above 0
 *   gone_days  since filling, 0 or more
 *
 * Method   taken as spread evenly over its time; nothing after it.
 * Example  90 days, 35 gone: 61 % is still to come
 */
bd_status bd_credit_slow_feed(const bd_npk *in_it, double lasts_days, double gone_days, bd_npk *g,
                              bd_error *err) BD_MUST_CHECK;

#endif
