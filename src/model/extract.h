/*
 * extract.h - from a conductivity read by one method to what another would read.
 *
 * May include: base/, nutrients/.  No stdio, no clock, no files.
 *
 * The same soil reads 0.3 dS/m in one cup and 3 in another, so a reading without
 * its method says nothing.  Several relations are in print for each pair of
 * methods and they disagree by a factor of two and more.  Every one that fits
 * the texture is used and the spread is the answer; none is chosen in silence.
 * In peat-like media 1:2 is by volume, in soils by mass: the relations of the
 * one never serve the other.
 */
#ifndef BD_MODEL_EXTRACT_H
#define BD_MODEL_EXTRACT_H

#include <stddef.h>

#include "base/error.h"
#include "base/range.h"
#include "nutrients/media.h"

typedef struct bd_extracted {
    bd_range ds_per_m; /* lowest, middle (the upper of two middles) and highest relation */
    size_t line_count; /* relations that were used; 0 when nothing had to be converted  */
    const bd_extract_line *lowest, *middle, *highest; /* NULL when line_count is 0 */
} bd_extracted;

/*
 * ECe from a reading.
 *
 *   lines    of nutrients/media.json
 *   method   of the reading
 *   texture  of what was read
 *   reading  [dS/m at 25 degC, 0 or more]
 *   out      written only on BD_OK
 *
 * Returns BD_OK, BD_RANGE, or BD_OUTSIDE when no relation is known for this
 * method and texture or none holds at so low a reading.
 *
 * Method   each relation that fits, ECe = slope * reading + intercept; one that
 *          falls below zero does not hold there and is left out.
 * Holds    as a range only; the middle is not a measurement.
 * Example  loam, 1:5, 0.20 dS/m -> 0.28..1.28..1.90
 */
bd_status bd_extract_to_ece(const bd_extract_line *lines, size_t count, bd_extract method,
                            bd_texture texture, double reading_ds_per_m, bd_extracted *out,
                            bd_error *err) BD_MUST_CHECK;

/* What the method would read at an ECe: the same relations turned round. */
bd_status bd_extract_from_ece(const bd_extract_line *lines, size_t count, bd_extract method,
                              bd_texture texture, double ece_ds_per_m, bd_extracted *out,
                              bd_error *err) BD_MUST_CHECK;

/*
 * From one method to another through ECe: low with low and high with high, so
 * the spread of both steps adds up.  The same method twice gives the reading.
 * Example  peat-like, pour-through 2.6 dS/m -> 1:2 of 0.71..0.75..0.83
 */
bd_status bd_extract_convert(const bd_extract_line *lines, size_t count, bd_extract from,
                             bd_extract to, bd_texture texture, double reading_ds_per_m,
                             bd_range *out, bd_error *err) BD_MUST_CHECK;

#endif
