/*
 * stock.h - strong solutions kept to be thinned: the injector's ratio, the salt
 * in the bottle, the millilitres in the can, and whether it stays dissolved.
 *
 * May include: base/.  No stdio, no JSON, no globals that change.
 *
 * A stock is made up TO its volume: salt in, water until the mark.  Functions
 * return BD_OK or what their comment says, and write only on BD_OK.
 */
#ifndef BD_MODEL_STOCK_H
#define BD_MODEL_STOCK_H

#include <stdbool.h>

#include "base/error.h"

/* "1:100" is read in two ways, and labels use both. */
typedef enum bd_ratio_reading {
    BD_RATIO_IN_TOTAL, /* 1 part in 100 parts of finished feed             */
    BD_RATIO_TO_WATER  /* 1 part and 100 parts of water make 101 parts     */
} bd_ratio_reading;

/*
 * Share of the finished feed that is stock, from "1:parts".
 *
 *   parts    [1..1e6]
 *   reading  which of the two
 *   out      [0..1]
 *
 * Returns BD_OK or BD_RANGE.
 * Example  1:100 -> 0.01 in total, 0.00990 to water
 */
bd_status bd_ratio_share(double parts, bd_ratio_reading reading, double *out,
                         bd_error *err) BD_MUST_CHECK;

/*
 * Percent on the dial of an injector for "1:parts", and back: percent = 100 / parts.
 *
 *   parts    [1..1e6]
 *   percent  [1e-4..100]
 *
 * Returns BD_OK or BD_RANGE.
 *
 * Source   B. Pennisi and P. Thomas, University of Georgia Cooperative Extension,
 *          Bucket Chemistry 101, which calls it 1 part of stock to x parts.  A
 *          dial that counts stock into the water passing reads BD_RATIO_TO_WATER.
 * Example  1:50 -> 2 %
 */
bd_status bd_ratio_percent(double parts, double *percent, bd_error *err) BD_MUST_CHECK;
bd_status bd_ratio_parts(double percent, double *parts, bd_error *err) BD_MUST_CHECK;

/* What a stock is wanted for. */
typedef struct bd_stock_wish {
    double feed_g_per_l;      /* salt in the feed a plant gets              [g/L]            */
    double share;             /* of that feed which is stock                [0..1, above 0]  */
    double stock_l;           /* to be made                                 [L]              */
    double can_l;             /* the stock is measured into                 [L]              */
    double dissolves_g_per_l; /* per litre of solution, at the coldest the
                                 bottle will get; 0: not known              [g/L]            */
    double working_share;     /* of it that is trusted not to drop out      [0..1, above 0]  */
    double salt_l_per_kg;     /* volume the dissolved salt adds; 0: unknown [L/kg]           */
} bd_stock_wish;

/* How to make and use it. */
typedef struct bd_stock {
    double stock_g_per_l;   /* strength of the stock                         [g/L] */
    double salt_g;          /* into the bottle                               [g]   */
    double feed_l;          /* feed the bottle makes                         [L]   */
    double stock_l_per_can; /* [L]                                                 */
    double water_l_per_can; /* the rest of the can                           [L]   */
    bool solubility_is_known;
    double saturation;        /* stock / dissolves; meaningful if known              */
    bool stays_dissolved;     /* known, and saturation <= working share              */
    double least_share;       /* weakest thinning, largest ratio, that stays
                                 dissolved; meaningful if known, over 1: none  [-]   */
    bool volume_is_known;     /* salt_l_per_kg was given                             */
    double water_l;           /* that goes into the bottle, about              [L]   */
    double poured_on_g_per_l; /* strength if stock_l of water were poured on the
                               salt instead of filling up to stock_l         [g/L] */
} bd_stock;

/*
 * The stock for a feed.
 *
 *   wish  see the struct
 *   out   written only on BD_OK
 *
 * Returns BD_OK; BD_RANGE for a number outside its range; BD_CONFLICT if the
 * salt alone would fill the bottle.
 *
 * Holds    for one salt; several in one bottle lower one another's solubility.
 *          The volume a salt adds is taken as the same at any strength.
 * Example  1 g/L at a share of 0.01, 5 L, 10 L cans, 209 g/L, 0.8 -> 100 g/L,
 *          500 g, 500 L of feed, 0.1 L a can, saturation 0.48, stays dissolved
 */
bd_status bd_stock_plan(const bd_stock_wish *wish, bd_stock *out, bd_error *err) BD_MUST_CHECK;

/*
 * Part of a strong solution (or powder) in a weaker one.
 *
 *   strong, weak  in the same unit, per the same measure as `total`
 *   total         volume or mass wanted of the weak one
 *   out           volume or mass to take of the strong one; the rest is water
 *
 * Returns BD_OK; BD_RANGE; BD_CONFLICT if the strong one is the weaker.
 * Example  80 %, 5 %, 10 lb -> 0.625 lb
 */
bd_status bd_stock_dilute(double strong, double weak, double total, double *out,
                          bd_error *err) BD_MUST_CHECK;

/*
 * What an injector really does, from a conductivity meter.
 *
 *   feed_ds_per_m      of the feed as it leaves the hose  [dS/m]
 *   water_ds_per_m     of the plain water, 0 or more      [dS/m]
 *   expected_ds_per_m  that the salt should add           [dS/m]
 *   out                share of the expected that was found
 *
 * Returns BD_OK; BD_RANGE; BD_CONFLICT if the feed conducts no better than water.
 *
 * Method   (feed - water) / expected.  Conductivity grows a little less than in
 *          proportion, so it holds near 1.
 * Example  1.74, 0.25, 1.52 -> 0.980
 */
bd_status bd_injector_check(double feed_ds_per_m, double water_ds_per_m, double expected_ds_per_m,
                            double *out, bd_error *err) BD_MUST_CHECK;

/*
 * Nutrient in a litre of a liquid sold by weight per cent.
 *
 *   nutrient          share by mass                 [kg/kg, above 0, up to 1]
 *   density_kg_per_l                                [kg/L, 0.5..3]
 *   out                                             [g/L]
 *
 * Returns BD_OK or BD_RANGE.
 * Example  0.08 of 1.15 kg/L -> 92 g/L
 */
bd_status bd_liquid_strength(double nutrient, double density_kg_per_l, double *out,
                             bd_error *err) BD_MUST_CHECK;

/*
 * Volume of such a liquid that holds a mass of the nutrient.
 *
 *   need_g  of the nutrient [g]
 *   out                     [L]
 *
 * Returns BD_OK or BD_RANGE.
 * Example  92 g of it -> 1 L
 */
bd_status bd_liquid_volume(double need_g, double nutrient, double density_kg_per_l, double *out,
                           bd_error *err) BD_MUST_CHECK;

#endif
