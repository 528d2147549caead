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

/* What has marks or a last digit. */
typedef enum bd_tool {
    BD_TOOL_SCALE,   /* [g]                                       */
    BD_TOOL_JUG,     /* [L]                                       */
    BD_TOOL_BOTTLE,  /* the mark a stock is made up to [L]        */
    BD_TOOL_SYRINGE, /* [L]                                       */
    BD_TOOL_COUNT
} bd_tool;

/* The step of a tool as the request gives it, else the trade's, and the card says once that it was
 * assumed. */
double bd_tool_step(const bd_knowledge *know, const bd_request *request, bd_tool tool,
                    bd_card *card);

/* A homemade feed that was brewed, to be thinned and poured. */
typedef struct bd_pouring {
    const char *title; /* of what was brewed                                        */
    double dilution;   /* times as much in all as there was brew; 1: poured as it is */
    double bags;       /* [1.., whole]                                              */
    double per_bag_l;  /* of bags of several kinds the least, above 0        [L]    */
    double needed_l;   /* by all bags                                        [L]    */
    bool is_one_kind;  /* else what a bag gets stands in a list                     */
} bd_pouring;

/*
 * Puts on the card
 *   figures  measure.can_volume and measure.last_can_volume [mL] of the brew into each can with
 *            --can, else measure.all_volume [mL] for all bags at once; where it is poured as it is
 *            measure.all [L]; measure.pour [L] for a bag; measure.error [%]
 *   finding  where a bag may be farther off than the trade likes
 * and what was assumed of jug and syringe.  The brew is measured by the jug where that is good
 * enough, else by the syringe; cans are filled TO their litres.  Nothing on a card that says stop.
 *
 * Method  model/measure.h, millilitres of brew in place of grams.
 * Returns BD_OK, or the trouble with --can.
 */
bd_status bd_pouring_show(const bd_knowledge *know, const bd_request *request,
                          const bd_pouring *pouring, bd_card *card, bd_error *err) BD_MUST_CHECK;

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
 *             measure.stock [mL], measure.can_stock and measure.last_can_stock [mL] of a
 *             strong solution into the can, measure.scoops, measure.scoop [g] and measure.error [%]
 *             of the best way; with several products measure.<material>.weigh and so on
 *   table     "ways", every way that can be taken, with how far off it may be
 *   figures   of a liquid in place of measure.weigh, measure.all_volume or
 *             measure.bottle_volume [mL]
 *   table     "cans", grams into each can, with --can and water to pour, and figures
 *             measure.can, measure.last_can [g], of a liquid measure.can_volume,
 *             measure.last_can_volume [mL]: the way itself where it is good enough or
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
