/*
 * split.h - a feed that is too strong, as more and weaker feeds.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_SPLIT_H
#define BD_JOB_SPLIT_H

#include "job/offers.h"

typedef struct bd_splitting {
    const bd_offer *offer;
    const bd_planting *planting;
    double season_g;         /* of product, for one bag, in all feeds */
    double strength_g_per_l; /* of the feed as it was asked           */
    double per_bag_l;        /* poured on a bag each time             */
} bd_splitting;

/*
 * Adds table "split" when the feed is over a ceiling of the product or of one of
 * its nutrients: for the usual and the highest strength of each such ceiling the
 * litres a bag takes in all, how many feeds that is, how many days apart, and
 * whether they are over before harvest (--days-left).  Strength and interval
 * stand in one row, for neither is safe without the other.
 *
 * Method   litres = season's grams / strength; feeds = litres / litres each time,
 *          rounded up.  The days between are the usual ones, fewer where harvest
 *          is near, never fewer than the ceiling's own rhythm allows.
 * Example  12 g of 0-0-50 a bag, 1.5 L each time: at 200 mg K/L (0.48 g/L) 24.9 L,
 *          17 feeds.
 */
void bd_split_show(const bd_knowledge *know, const bd_request *request,
                   const bd_splitting *splitting, bd_card *card);

#endif
