/*
 * groups.h - bags of several kinds in one request: options that are repeated, once
 * for each kind.
 *
 *     --bag-size "round 45cm x 50L" --bags 12 --bag-size "20L x 30cm" --bags 30
 *
 * The first values are those of the request itself, so that a job that knows one
 * kind of bag only never sees the others.
 *
 * May include: base/, quantity/, request/request.h.
 */
#ifndef BD_REQUEST_GROUPS_H
#define BD_REQUEST_GROUPS_H

#include "request/request.h"

/*
 * Where the next value of an option that was given already goes, or NULL when the
 * job takes it once only or BD_GROUPS_MAX values are there.
 */
bd_value *bd_groups_more(bd_request *r, bd_option option);

/* True when the job takes the option once for each kind of bag. */
bool bd_groups_repeats(bd_job job, bd_option option);

/*
 * Do the repeated options fit together?  Every kind has its own --bags, and its own
 * of what makes a bag (--bag-size, --plants-per-bag) or all go without; of what is
 * given to it one value may stand for all.
 *
 * Returns BD_OK, or BD_CONFLICT with both options and their counts.
 */
bd_status bd_groups_check(const bd_request *r, bd_error *err) BD_MUST_CHECK;

/* How many kinds of bags are asked about; 1 or more. */
size_t bd_groups_count(const bd_request *r);

/* True when each kind has its own value of the option. */
bool bd_groups_has_own(const bd_request *r, bd_option option);

/* The request of one kind alone, as if nothing had been repeated. */
void bd_groups_one(const bd_request *r, size_t group, bd_request *out);

#endif
