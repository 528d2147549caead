/*
 * measuring.h - how to measure a dose out with what is in the house: scale, jug,
 * syringe, scoop and cans.
 *
 * Shared by the jobs that dose; not for the command.
 */
#ifndef BD_JOB_MEASURING_H
#define BD_JOB_MEASURING_H

#include "job/groups.h"
#include "job/offers.h"

/* What is to be measured out, alike, so many times. */
typedef struct bd_measuring {
    const bd_offers *offers;
    const bd_range *amount; /* one for each offer, in any unit        */
    double g_per_amount;    /* amount times this is g for one portion */
    double portions;        /* bags, or 1 for a tank                  */
    double pour_l;          /* water given with it to a bag; 0: none  */
    bool is_sprayed;        /* onto leaves: no spoon is good enough   */
    bool is_seedling;
    double tank_l;    /* of the mix that all products go into together; 0: no tank */
    double *stock_ml; /* written, one for each offer: mL of its strong solution for one portion
                         where that is the way, else 0; NULL: not asked         */
    const bd_groups *groups; /* bags of several kinds, of one product: amount, portions and
                                pour_l are then not asked; NULL: all alike */
} bd_measuring;

/*
 * Puts on the card, for each product,
 *   figures   measure.weigh [g], measure.volume [mL] of a liquid, measure.pour [L],
 *             measure.stock [mL], measure.scoops, measure.scoop [g] and measure.error [%]
 *             of the best way; with several products measure.<material>.weigh and so on
 *   table     "ways", every way that can be taken, with how far off it may be
 *   table     "cans", grams into each can, with --can and water to pour, and figures
 *             measure.can, measure.last_can [g]: the way itself where it is good enough or
 *             better than the others, since a can was asked for; else said to be instead
 *   findings  where even the best way is coarse, where a spoon is no tool
 * and what was assumed of the tools.  Nothing is added to a card that says stop.
 *
 * Bags of several kinds are measured out in one way, from one bottle, and from the
 * same cans where all get one feed; what each gets stands in table "groups"
 * (group_list.h), and table "cans" names the kind where feeds differ.
 *
 * Method  model/measure.h.
 * Returns BD_OK, or the trouble with an option: a heaped scoop, a weighing of
 * scoops that cannot be read.
 */
bd_status bd_measuring_show(const bd_knowledge *know, const bd_request *request,
                            const bd_measuring *measuring, bd_card *card,
                            bd_error *err) BD_MUST_CHECK;

#endif
