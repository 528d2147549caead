/*
 * riders.h - a dose beside what guides give: what comes along with it that nobody
 * asked for (chloride, more of a nutrient than any guide for the crop gives), and
 * a target that no guide comes near.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_RIDERS_H
#define BD_JOB_RIDERS_H

#include <stdbool.h>

#include "job/bags.h"
#include "job/offers.h"

/* Chloride among the products: a note, or care for a crop that is said to mind it. */
void bd_riders_tell_chloride(const bd_planting *planting, const bd_offers *offers, bd_card *card);

/*
 * The highest rate in print for the crop; for any crop where it has none.  NULL
 * when no published guide names the nutrient.
 *
 *   nutrient  0 N, 1 P2O5, 2 K2O: a place in bd_guide_rate.g_per_m2
 */
const bd_guide_rate *bd_riders_richest(const bd_catalogue *catalogue, const bd_crop *crop,
                                       size_t nutrient);

/*
 * A target many times what any guide gives is a slip of the hand: per 100 read as
 * per 1, kilograms as grams.  Finding limit.target, which stops; nothing otherwise.
 *
 *   g_per_m2  of the product in the whole season, as it was entered
 *
 * Compared is the nutrient asked for, of a rate of product N, P2O5 and K2O: with
 * the highest rate in print for the crop, or for any crop where it has none,
 * times target-absurd.  Gives back whether it stopped.
 * Example: 1200 kg K2O/ha for beetroot, whose guides end at 336.
 */
bool bd_riders_judge_target(const bd_knowledge *know, const bd_planting *planting,
                            const bd_offer *offer, double g_per_m2, bd_card *card);

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

/* Grams of a product on one bag in the whole season, the high end. */
typedef struct bd_season_dose {
    const bd_offer *offer;
    double g, label_g; /* what is given, what the label allows; 0 where no label is entered */
    bool is_unshared;  /* nobody said what a bag gets: g is all there is, and no rate */
} bd_season_dose;

/*
 * Boron of a season, however it is given: little is too much.  Finding limit.season.B: over the
 * ceiling by its status, care where a crop that never gets any has it brought along by something
 * that is not given for it.  Where the size of the bag is not known only what is too much for the
 * largest there is shows, of an unshared dose only what is never given.
 *
 * Gives back the most of the product that does not stop [g on one bag in the season], HUGE_VAL when
 * nothing stops it.
 */
double bd_riders_judge_boron(const bd_knowledge *know, const bd_planting *planting,
                             const bd_bags *bags, const bd_season_dose *dose, bd_card *card);

/*
 * The same where the bags' size is not known: N and P2O5 for each gram of the nutrient
 * asked for, against what the crop takes away of both.  More than twice that asks for
 * care and names a straight product.
 *
 * Example: 2:3:2 (22) for beetroot: 2.9 g P2O5 to a gram of K2O, and the crop takes
 * 0.2 g.
 */
void bd_riders_tell_removal(const bd_planting *planting, const bd_offer *offer, bd_card *card);

#endif
