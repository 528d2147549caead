/*
 * roots.h - what a dressing does to the salt in the bag, and that to the yield.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_ROOTS_H
#define BD_JOB_ROOTS_H

#include "job/bags.h"
#include "model/rootzone.h"

/* Puts the figures soil.ece_before, .ece_peak, .ece_mean and .ecsw_peak on the card. */
void bd_outlook_show(bd_card *card, const bd_outlook *seen);

/* A loss [share] in per cent.  A straight line fitted to field trials does not know tenths of a per
 * cent, and what is lost is never made less by rounding: 0.154 -> 16. */
double bd_whole_percent(double loss);

/* Finding limit.soil.ece: the peak against what the crop bears, and beside the mean that it comes
 * from the loss of yield expected. */
void bd_outlook_judge(bd_card *card, const char *name, const bd_tolerance *t,
                      const bd_outlook *seen, bd_range yield);

/*
 * The water that the bags get, at 25 degC: the one a request names (bd_water_conductivity), else
 * the usual one; `is_said` tells which.
 */
bd_status bd_roots_water(const bd_knowledge *know, const bd_request *request, bd_range *ds_per_m,
                         bool *is_said, bd_error *err) BD_MUST_CHECK;

/*
 * Follows the bag to harvest with the dressings given from today on, and adds
 * figures soil.ece_before, .ece_peak, .ece_mean, .ecsw_peak and yield.relative,
 * the findings on them, and what was assumed, with how far the loss hangs on it.  Nothing is added
 * when the size of the bag is not known.
 *
 *   per_bag    product at one dressing [g]
 *   rounds     how many dressings, spread over the time left
 *   in_water_l litres it is given in; 0 when dry
 *   titrant_mol_per_l  lye or acid in those, to reach a pH
 */
bd_status bd_roots_show(const bd_knowledge *know, const bd_request *request,
                        const bd_planting *planting, const bd_bags *bags, const bd_offer *offer,
                        bd_range per_bag, double rounds, double in_water_l,
                        double titrant_mol_per_l, bd_card *card, bd_error *err) BD_MUST_CHECK;

/*
 * The same for a load that is known: conductivity times litres of one dressing
 * [dS/m * L], without what the water it is given in held.
 */
bd_status bd_roots_show_load(const bd_knowledge *know, const bd_request *request,
                             const bd_planting *planting, const bd_bags *bags, bd_range load,
                             double rounds, double in_water_l, bd_card *card,
                             bd_error *err) BD_MUST_CHECK;

#endif
