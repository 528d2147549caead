/*
 * bags.h - the bags of a request: how many, how big, how many plants.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_BAGS_H
#define BD_JOB_BAGS_H

#include "job/offers.h"
#include "model/bag.h"

typedef struct bd_bags {
    double count;            /* 1 when not given                        */
    const bd_bag_size *size; /* NULL when not given                     */
    bd_bag bag;              /* of `size`                               */
    double plants;           /* per bag; 0 when not known               */
    const bd_medium *medium; /* the default when not given              */
} bd_bags;

/*
 * Reads them and puts on the card: figures bag.area, bag.volume, bag.depth,
 * bag.plants, bag.soil_mass, bag.water (as far as known), what was assumed, and
 * whether the bag is deep enough for the crop, by its own published depth and by
 * the trade's rule for root crops, both shown where they differ.
 */
bd_status bd_bags_read(const bd_knowledge *know, const bd_request *request,
                       const bd_planting *planting, bd_card *card, bd_bags *out,
                       bd_error *err) BD_MUST_CHECK;

#endif
