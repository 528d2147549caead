/*
 * mix_feed.h - a bought mix that feeds by itself for some time: wait with the first feed.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_MIX_FEED_H
#define BD_JOB_MIX_FEED_H

#include "job/job.h"

/*
 * Tells how long to wait, from --mix-feeds and --mix-age: finding mix.feeds (care, or
 * a note once the time is over).  Gives back the days still to wait, rounded up; 0 when
 * there is no such mix or its time is over.
 *
 * Method   what the sack says less what has passed; the sack's "up to" is taken in full
 *          (common practice: halve or delay a feed on a mix that still feeds).
 * Example  3 months, filled 5 weeks ago: 57 days, about 8 weeks
 */
double bd_mix_feed_tell(const bd_request *request, bd_card *card);

#endif
