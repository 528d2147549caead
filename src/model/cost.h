/*
 * cost.h - what a nutrient costs in a product, and what must be bought.
 *
 * May include: base/.  No stdio, no JSON, no globals that change.
 *
 * Money is a plain number in whatever currency was entered; nothing here adds
 * two currencies.  A price may be 0 (a gift), all else is above 0.
 */
#ifndef BD_MODEL_COST_H
#define BD_MODEL_COST_H

#include "base/error.h"

/*
 * Price of one kilogram of the nutrient itself.
 *
 *   price     of the pack                              [currency, 0 or more]
 *   pack_kg   mass of its content                      [kg]
 *   nutrient  share of the nutrient, oxide or element,
 *             as the reader wants the answer           [kg/kg, above 0, up to 1]
 *   out       written only on BD_OK                    [currency/kg]
 *
 * Returns BD_OK or BD_RANGE.
 * Example  2.5 kg of 0-0-50 at 12.50 -> 10.00 a kg of K2O
 */
bd_status bd_cost_per_kg(double price, double pack_kg, double nutrient, double *out,
                         bd_error *err) BD_MUST_CHECK;

/* Whole packs for a need. */
typedef struct bd_purchase {
    double packs;      /* whole number                                        */
    double price;      /* of all of them                       [currency]     */
    double product_kg; /* that the need takes                  [kg]           */
    double left_kg;    /* product over                         [kg]           */
} bd_purchase;

/*
 * What must be bought to give `need_kg` of the nutrient.
 *
 *   need_kg   of the nutrient                          [kg]
 *   out       written only on BD_OK
 *
 * Returns BD_OK or BD_RANGE.
 * Example  1.2 kg K2O from 1 kg packs of 13-0-46 at 9.00 -> 3 packs, 27.00,
 *          0.39 kg left
 */
bd_status bd_cost_packs(double need_kg, double price, double pack_kg, double nutrient,
                        bd_purchase *out, bd_error *err) BD_MUST_CHECK;

#endif
