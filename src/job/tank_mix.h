/*
 * tank_mix.h - what else a person with a sprayer in hand must know: in which order
 * to fill it, whether the water and the sprayer are fit, what to do with the rest.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_TANK_MIX_H
#define BD_JOB_TANK_MIX_H

#include "job/bags.h"
#include "job/titrant.h"

typedef struct bd_tank_mix {
    const bd_offers *offers;
    const bd_range *g_per_l; /* one for each offer                            */
    const double *stock_ml;  /* one for each offer: of its strong solution where it goes in that
                                way, together no more than the last half of the water; else 0 */
    double tank_l;           /* what is filled                                */
    double needed_l;         /* what the plants take; 0: not known            */
    double mixed_l;          /* the same with the usual spare; 0: not known   */
    const bd_planting *planting;
    const bd_bags *bags;
    const bd_titrant *titrant; /* what --ph takes                              */
} bd_tank_mix;

/* Stops the card of a sprayer that has held weed-killer (--had-weed-killer). */
void bd_tank_mix_judge(const bd_request *request, bd_card *card);

/*
 * Adds
 *   table     "order": water, salts one at a time, liquids, chelates, the wetter,
 *             each with the reason; not on a card that says stop.  Acid for a pH goes
 *             in first where it is the water that is to be brought down; after the last
 *             product where those set the pH themselves, and lye always
 *   figures   spray.wetter [mL/L], spray.left_over [L], spray.left_over_salt [g],
 *             spray.left_over_bags (on how many bags' mix the rest may go)
 *   findings  what plain questions tell of the water when --water is not given, the
 *             rest of the tank, no second spray after rain
 */
void bd_tank_mix_show(const bd_knowledge *know, const bd_request *request, const bd_tank_mix *mix,
                      bd_card *card);

#endif
