/*
 * group_list.h - bags of several kinds as one list: a row a kind, what it is called,
 * how many, what each gets and what all of them get, and the sum.
 *
 * Shared by the jobs that dose; not for the command.
 */
#ifndef BD_JOB_GROUP_LIST_H
#define BD_JOB_GROUP_LIST_H

#include "job/groups.h"
#include "model/measure.h"

/* How the list is measured out. */
typedef struct bd_group_list {
    const bd_groups *groups;
    const bd_measure_plan *plans; /* one a kind, of bd_measure_list; NULL: nothing is weighed
                                     for a bag */
    double scale_step_g;
    double can_l;            /* a full can, when one feed is poured for all; else 0 */
    double density_kg_per_l; /* of a liquid, else 0                                */
} bd_group_list;

/*
 * Adds table "groups" (columns bags_of, bags, product_per_bag, and as they apply
 * weigh_per_bag, weigh_total or product_total, product_volume_per_bag, stock_per_bag,
 * stock_total, scoops_per_bag, scoops_total, pour_per_bag, pour_total, canopy_per_bag,
 * spray_per_bag, spray_total, bags_a_can) and finding
 * groups.sum, which says how the list was rounded.
 *
 * Every column re-adds on paper: grams are rounded for one bag, to the step of the
 * scale where each bag is weighed and to three digits of the smallest dose where not,
 * before they are multiplied and added.
 *
 * Returns BD_OK or BD_RANGE.
 */
bd_status bd_group_list_show(const bd_group_list *list, bd_card *card, bd_error *err) BD_MUST_CHECK;

#endif
