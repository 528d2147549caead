/*
 * offers.h - the products of a request, read against the catalogue.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_OFFERS_H
#define BD_JOB_OFFERS_H

#include "guard/cautions.h"
#include "job/job.h"
#include "model/analysis.h"

enum { BD_TITLE_SIZE = 96 };

/* One product with what is asked of it. */
typedef struct bd_offer {
    bd_product product;
    const bd_material *material; /* NULL for an own label    */
    char title[BD_TITLE_SIZE];   /* "potassium nitrate 13-0-46" */
    bool has_label;
    bd_label label;                     /* as it was given */
    const bd_value *target, *label_max; /* NULL when not given; by mass, however they count    */
    bd_value own_target, own_label_max; /* what they point at: an offer is never copied        */
    bool is_by_volume;   /* the target counts a solid by volume, whatever it weighs */
    double label_surely; /* of label_max, the part that is within the label however densely the
                            product lies: 1 but where both rates count a solid by volume */
} bd_offer;

typedef struct bd_offers {
    bd_offer items[BD_PRODUCTS_MAX];
    size_t count;
} bd_offers;

/*
 * Reads the products and puts on the card how each label was read, what was
 * assumed, and the care that an own label without a known salt needs.
 *
 * Returns BD_OK, BD_MISSING without any product, or a label's trouble.
 */
bd_status bd_offers_read(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_offers *out, bd_error *err) BD_MUST_CHECK;

/* A finding of care: the label's rate counts something that this dose cannot be compared with. */
void bd_label_not_judged(const bd_offer *offer, bd_card *card);

/* True of what rots or weathers before it feeds: most of its nitrogen is organic, or it is said to
 * be slow.  Rates of soluble dressings are not made for it. */
bool bd_offer_feeds_slowly(const bd_offer *offer);

/* Fills the materials of a handling from the offers. */
void bd_offers_handling(const bd_offers *offers, bd_handling *handling);

/* Crop, stage and groups of a request; an unknown crop is an error. */
typedef struct bd_planting {
    const bd_crop *crop; /* NULL when not given */
    bool is_seedling;
    const char *const *groups; /* of the crop; NULL */
} bd_planting;

/* Reads them, and says on the card what was assumed of crop and stage. */
bd_status bd_planting_read(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_planting *out, bd_error *err) BD_MUST_CHECK;

/*
 * Grams of a product that bring a target's amount: for "product 10 g/L" the
 * amount itself, for a nutrient the amount over its share.  Unit of the target.
 *
 * Returns BD_OK, or BD_CONFLICT when the product does not hold the nutrient.
 */
bd_status bd_offer_amount(const bd_offer *offer, const bd_target *target, bd_card *card,
                          bd_range *out, bd_error *err) BD_MUST_CHECK;

#endif
