/*
 * riders.h - what comes along with a dose that nobody asked for: chloride, and
 * more of a nutrient than any guide for the crop gives.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_RIDERS_H
#define BD_JOB_RIDERS_H

#include "job/offers.h"

/* Chloride among the products: a note, or care for a crop that is said to mind it. */
void bd_riders_tell_chloride(const bd_planting *planting, const bd_offers *offers, bd_card *card);

/*
 * N, P2O5 and K2O of the whole target against the highest rate of the crop's
 * published guides, whatever the soil test: above it a note for the nutrient asked
 * for, care for one that rides along.  A guide is advice for a field and no
 * ceiling, so nothing stops here.
 *
 *   season_g  of the product on one bag in all dressings
 *   area_m2   open top of the bag, above 0
 *
 * Example: beetroot, 47.7 g of 6.3-21.6-7.6 on 0.126 m2 brings 82 g P2O5 a square
 * metre; the most in print is 36.
 */
void bd_riders_tell_guides(const bd_planting *planting, const bd_offer *offer, bd_range season_g,
                           double area_m2, bd_card *card);

#endif
