/*
 * by_volume.h - a rate that counts a product by volume, "2 UScup/100ft2", as one
 * by mass: a liquid by its density, a solid by how densely it lies.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_BY_VOLUME_H
#define BD_JOB_BY_VOLUME_H

#include "job/offers.h"

/*
 * What a rate of an offer is to be multiplied by, and the kind it then is of.
 *
 *   option     the rate's: "--target"
 *   text       the rate as written
 *   kind       of the rate; a mass afterwards
 *   typical    of the rate, in the unit of its kind
 *   factor     exactly 1 for what is a mass already; else low, typical and high by
 *              the density: exact for a liquid, a range for a solid
 *
 * Says on the card how it was worked out, what was assumed, and how one weighing
 * ends that.
 *
 * Returns BD_OK; BD_CONFLICT for trace elements, which no volume measures well
 * enough; BD_MISSING where nobody weighed the product's loose weight: a material
 * whose weight is not known, and any for leaves or seedlings; or the trouble with
 * the scoop options.
 */
bd_status bd_rate_by_mass(const bd_knowledge *know, const bd_request *request,
                          const bd_offer *offer, const char *option, const char *text,
                          bd_kind *kind, double typical, bd_range *factor, bd_card *card,
                          bd_error *err) BD_MUST_CHECK;

#endif
