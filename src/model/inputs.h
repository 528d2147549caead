/*
 * inputs.h - the checks that the calculations of model/ make on their numbers.
 *
 * May include: base/.  No stdio, no JSON, no globals that change.
 *
 * Each check returns true, or records BD_RANGE in `err` (which may be NULL) and
 * returns false, so that a function can chain them and give up once:
 *
 *     if (!bd_input_is_amount(used_l, "water used", "L", err) ||
 *         !bd_input_is_amount(area_m2, "area", "m2", err))
 *         return BD_RANGE;
 *
 *   x      the number; not-a-number fails every check
 *   what   what it is, for the message: "water used"
 *   unit   its unit, "" for a count or a ratio
 */
#ifndef BD_MODEL_INPUTS_H
#define BD_MODEL_INPUTS_H

#include <stdbool.h>

#include "base/error.h"

/*
 * Amounts are kept between these, so that no product or quotient of a few of
 * them leaves the range of a double.  In g, L, m, s or kPa nothing a grower
 * measures comes near either end.
 */
#define BD_AMOUNT_LEAST 1e-9
#define BD_AMOUNT_MOST  1e9

/* A size, an amount, a count: above zero. */
bool bd_input_is_amount(double x, const char *what, const char *unit, bd_error *err);

/* The same, and nothing at all (exactly 0) will do: an unset option, a price. */
bool bd_input_is_amount_or_none(double x, const char *what, const char *unit, bd_error *err);

/* low <= x <= high. */
bool bd_input_is_between(double x, double low, double high, const char *what, const char *unit,
                         bd_error *err);

#endif
