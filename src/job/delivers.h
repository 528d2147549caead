/*
 * delivers.h - what a dose brings of each nutrient, as figures of the card.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_DELIVERS_H
#define BD_JOB_DELIVERS_H

#include "job/offers.h"

/* Amounts of each element, in one unit. */
typedef struct bd_delivery {
    bd_range amount[BD_NUTRIENT_COUNT];
} bd_delivery;

/* Adds what `product_amount` of a product brings. */
void bd_delivery_add(bd_delivery *delivery, const bd_product *product, bd_range product_amount);

/* The whole of it times a factor. */
void bd_delivery_scale(bd_delivery *delivery, double by);

/*
 * Figures nutrient.<form>.<per> ("nutrient.K.per_litre", "nutrient.K2O.per_litre")
 * for every nutrient that is there, as element and as oxide.
 */
void bd_delivery_show(bd_card *card, const bd_delivery *delivery, const char *per, const char *key,
                      const char *unit);

/*
 * Steps of the working: what `product_amount` [unit] of a product brings of each
 * nutrient, as element and as oxide, with the share it holds and the factor.
 */
void bd_delivery_work(bd_card *card, const bd_product *product, double product_amount,
                      const char *unit);

/*
 * A season's need of one bag, in g of the ELEMENT, whatever it was entered per.
 *
 *   text    as the user wrote it, for the message
 *   bag     NULL when the size is not known; needs per area or litre are then refused
 *   plants  per bag; 0 when not known
 *   bags    for a need entered as a mass for all bags; 0 refuses that
 *
 * Returns BD_OK, BD_CONFLICT for a product, BD_MISSING where the unit cannot be carried
 * into a bag, BD_RANGE for a need of nothing.
 * Example: K2O 6 g/bag -> K 4.98 g.
 */
bd_status bd_need_per_bag(const char *text, const bd_target *need, const bd_bag_size *bag,
                          double plants, double bags, bd_range *out, bd_error *err) BD_MUST_CHECK;

/*
 * Figure need.share and its sentence: what one application meets of the
 * season's need the user entered, in the need's own nutrient.
 *
 *   per_bag    the delivery to one bag [g]
 *   bag        NULL when the size is not known; area needs are then refused
 *   plants     per bag; 0 when not known
 *   bags       for a need entered as a mass for all bags
 */
bd_status bd_need_show(bd_card *card, const bd_value *need, const bd_delivery *per_bag,
                       const bd_bag_size *bag, double plants, double bags,
                       bd_error *err) BD_MUST_CHECK;

#endif
