/*
 * salt_reading.h - the salt of the mix as it stands, whatever way it was read.
 *
 * Shared by the jobs; not for the command.
 *
 * A reading says nothing without its method: the same mix shows 0.3 dS/m in one
 * cup and 3 in another.  --ece is taken as a saturated extract, and that is said
 * on the card, unless --ece-method names another way.
 */
#ifndef BD_JOB_SALT_READING_H
#define BD_JOB_SALT_READING_H

#include "job/offers.h"

/*
 * ECe of the mix before anything is given [dS/m].
 *
 *   medium  what was read; its texture chooses the relations
 *   out     written only on BD_OK; as wide as the relations in print lie apart, and
 *           never below the reading of a thinner extract (1:1, 1:2, 1:5)
 *
 * Puts on the card: the usual salt of a fresh mix as assumption soil.ece when
 * nothing was read; assumption soil.ece_method when no method was named; figure
 * soil.reading, finding soil.ece_method and a step for the lowest, middle and
 * highest relation when another method was; assumption soil.ece_least where a
 * relation had to be raised to the reading.
 *
 * Returns BD_OK; BD_UNKNOWN for a method that is none; BD_MISSING for a method
 * without a reading; BD_OUTSIDE where no relation is known for method and medium.
 *
 * Example  1:5, loam, 0.20 dS/m -> 0.28..1.28..1.90
 */
bd_status bd_salt_reading(const bd_knowledge *know, const bd_request *request,
                          const bd_medium *medium, bd_card *card, bd_range *out,
                          bd_error *err) BD_MUST_CHECK;

/* The method alone, for a request that needs no ECe: an error is an error there too. */
bd_status bd_salt_reading_check(const bd_request *request, bd_error *err) BD_MUST_CHECK;

#endif
