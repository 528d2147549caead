/*
 * ahead.h - how old a crop is and how long it still has, one reading for all that
 * look ahead to harvest.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_AHEAD_H
#define BD_JOB_AHEAD_H

#include "job/job.h"

typedef struct bd_ahead {
    int age_days, left_days;
    bool is_assumed; /* nobody said how many are left */
} bd_ahead;

/*
 * Days from sowing until now and from now until harvest.
 *
 *   crop  NULL when not said: a crop of 90 days
 *
 * Method   --days-left, rounded up, no more than 1000; else the crop is at the age of
 *          its first usual dressing, half its cycle at most, and has a week at least.
 * Example  tomato of 135 days, nothing said -> 30 and 105, assumed
 */
bd_ahead bd_ahead_of(const bd_knowledge *know, const bd_request *request, const bd_crop *crop);

/* Says what was assumed, as "days_left", unless the card has it already or the days were given. */
void bd_ahead_tell(const bd_knowledge *know, const bd_ahead *ahead, bd_card *card);

#endif
