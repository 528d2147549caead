/*
 * dilution.h - "1 part + 10 parts water": by how much a feed is made weaker.
 *
 * May include: base/, quantity/quantity.h.
 */
#ifndef BD_QUANTITY_DILUTION_H
#define BD_QUANTITY_DILUTION_H

#include "base/error.h"
#include "quantity/quantity.h"

/*
 * Reads a dilution into the number every concentration is divided by.
 *
 *     1 part + 10 parts water      11
 *     1 part to 10 parts water     11
 *     100 mL + 1 L water           11
 *     1 in 11                      11   (one part of eleven)
 *     1 L made up to 11 L          11
 *     undiluted, none               1
 *
 *   out   times as much volume as before, 1 or more
 *
 * Returns BD_OK; BD_AMBIGUOUS for "1:10" and "1/10", which people use for both
 * 10 and 11; BD_SYNTAX; BD_RANGE when a number is negative, nothing of the feed
 * is left in it, the end is less than the beginning, or the factor is over 1e5;
 * for volumes also what bd_quantity_read returns.
 */
bd_status bd_dilution_read(const char *text, bd_measures measures, double *out,
                           bd_error *err) BD_MUST_CHECK;

#endif
