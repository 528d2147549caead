/*
 * reading.h - the numbers in front of a unit.
 *
 * May include: base/.  For the readers of quantity/.
 */
#ifndef BD_QUANTITY_READING_H
#define BD_QUANTITY_READING_H

#include "base/error.h"
#include "quantity/spelling.h"

/* Amounts are read up to here, in their own and in the canonical unit, so that no later product
 * overflows. */
#define BD_READING_LARGEST 1e15

typedef struct bd_reading {
    double low, high;            /* low <= high; equal unless a range was written */
    char unit[BD_SPELLING_SIZE]; /* what stands behind the numbers, not empty */
} bd_reading;

/*
 * Splits "0.3..0.8 %", "2.5 g/L" or "1 1/2 UScup" into numbers and unit.
 *
 * A fraction is less than 1, in halves, thirds, quarters, eighths or sixteenths, alone or
 * behind a whole number.
 *
 * Returns BD_OK, BD_SYNTAX (no number, no unit, a decimal comma, any other fraction, a
 * dash for a range), BD_RANGE (too large, ends in the wrong order).
 */
bd_status bd_reading_split(const char *text, bd_reading *out, bd_error *err) BD_MUST_CHECK;

#endif
