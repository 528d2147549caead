/*
 * groups.h - bags of several kinds in one job: each kind is judged by itself, as if
 * it alone had been asked about, and their cards become one.
 *
 * Shared by the jobs that dose; not for the command.
 */
#ifndef BD_JOB_GROUPS_H
#define BD_JOB_GROUPS_H

#include "job/job.h"
#include "request/groups.h"

/* What a job says of one kind of bag. */
typedef struct bd_group_dose {
    double bags;
    bd_range per_bag_g; /* of the product, at one giving; 0: nobody weighs for a bag */
    double pour_l;      /* given with it, or sprayed, on one bag; 0: dry             */
    double canopy_m2;   /* leaf over one bag; 0: not sprayed                         */
    double rounds;
} bd_group_dose;

typedef struct bd_group {
    char mark[2];     /* "A", "B", ...                                          */
    const char *what; /* --group, where each has its own, else --bag-size, else "" */
    bd_card card;
    bd_group_dose dose;
} bd_group;

typedef struct bd_groups {
    bd_group items[BD_GROUPS_MAX];
    size_t count;
} bd_groups;

/*
 * One kind on a card of its own.
 *
 *   all      the whole request, for what all kinds share, such as a tank
 *   request  of this kind alone
 *   card     with a stop on it when another kind stops the whole: then nothing is
 *            shown as an instruction, and what is permitted is shown instead
 */
typedef bd_status (*bd_group_job)(const bd_knowledge *know, const bd_request *all,
                                  const bd_request *request, bd_card *card, bd_group_dose *dose,
                                  bd_error *err);

/*
 * Runs the job on every kind of a request and puts the cards into one (card/gather.h).
 * A stop for one kind is a stop for all: the others are then run again as stopped.
 * Sums of one kind (product.total, product.season_total, feed.volume_total) are added
 * up; product.per_bag and what else table "groups" lists stand as figures only where
 * all kinds agree.
 *
 *   is_one_mix  all kinds get of one tank: what is permitted of it is the least that
 *               any kind permits
 *   out         cleared with bd_groups_clear in every case
 *
 * Returns BD_OK; BD_CONFLICT for a --need, or a --target of no mix, that is a mass for
 * all bags, which cannot be shared over kinds; or the job's own trouble.
 */
bd_status bd_groups_run(const bd_knowledge *know, const bd_request *request, bd_group_job job,
                        bool is_one_mix, bd_card *card, bd_groups *out,
                        bd_error *err) BD_MUST_CHECK;

/* Bags of all kinds. */
double bd_groups_bags(const bd_groups *groups);

void bd_groups_clear(bd_groups *groups);

#endif
