/*
 * unit.h - "lb/100USgal": a unit read into what it measures and how much it is.
 *
 * May include: base/, quantity/quantity.h.  For the readers of quantity/; others
 * read whole quantities.
 *
 * The value of a reading x in the unit is  (x - zero) * numerator / denominator
 * in the base units g, m, m2, m3, s, degC, Pa, mol, S, plants and bags.
 * Numerator and denominator are kept apart, so that 120 kg/ha is 12 g/m2 and not
 * 12.000000000000002.
 *
 * A dimension here is a pair, "mass per area", compared as written: 60 mL/m2 is
 * never taken for a length and 5 mL/L never for a share by mass, though powers of
 * the metre alone would say so.
 */
#ifndef BD_QUANTITY_UNIT_H
#define BD_QUANTITY_UNIT_H

#include <stdbool.h>

#include "base/error.h"
#include "quantity/quantity.h"

typedef enum bd_dimension {
    BD_DIM_NONE,
    BD_DIM_MASS,
    BD_DIM_VOLUME,
    BD_DIM_LENGTH,
    BD_DIM_AREA,
    BD_DIM_TIME,
    BD_DIM_TEMPERATURE,
    BD_DIM_PRESSURE,
    BD_DIM_AMOUNT,
    BD_DIM_CONDUCTANCE,
    BD_DIM_PLANT,
    BD_DIM_BAG,
    BD_DIM_COUNT
} bd_dimension;

/* '%' and 'ppm' have no dimension until it is known of what they are a share. */
typedef enum bd_relative { BD_RELATIVE_NOT, BD_RELATIVE_PERCENT, BD_RELATIVE_PPM } bd_relative;

typedef struct bd_unit {
    bd_dimension of, per; /* per is BD_DIM_NONE in a plain unit */
    bd_relative relative; /* if not BD_RELATIVE_NOT, of and per are BD_DIM_NONE */
    double numerator, denominator;
    double zero;
} bd_unit;

/* What a bare "oz" in the numerator is, where the kind of quantity tells. */
typedef enum bd_ounce {
    BD_OUNCE_UNSETTLED, /* weight or fluid ounce: refused, unless US or imperial measures
                           are chosen; then the weight */
    BD_OUNCE_MASS,      /* the avoirdupois ounce, the same everywhere */
    BD_OUNCE_VOLUME     /* a fluid ounce, refused until it is known whose */
} bd_ounce;

/*
 * Reads "g", "lb/1000ft2", "g / 15 L", "%", "% w/v".  A bare "oz" in a
 * denominator is a fluid ounce.
 *
 * Returns BD_OK, BD_SYNTAX, BD_UNKNOWN (with the nearest names, or no such
 * measure in that country), BD_AMBIGUOUS (with the sizes it may mean), BD_RANGE
 * (the number below the slash).
 */
bd_status bd_unit_read(const char *text, bd_measures measures, bd_ounce ounce, bd_unit *out,
                       bd_error *err) BD_MUST_CHECK;

/* True when both measure the same pair, such as a mass per area. */
bool bd_unit_is_alike(const bd_unit *a, const bd_unit *b);

/*
 * True when both are powers of a length with the same power in the end: 1 mm of
 * water is 1 L/m2.  False for ratios such as mL/L, which may be of anything.
 */
bool bd_unit_is_same_depth(const bd_unit *a, const bd_unit *b);

/* Gives '%' and 'ppm' the meaning they have beside a unit; others stay as they are. */
void bd_unit_settle(bd_unit *unit, const bd_unit *beside);

/* x in one unit, in another of the same dimension. */
double bd_unit_convert(double x, const bd_unit *from, const bd_unit *to);

/* "a mass" and "mass", for messages. */
const char *bd_dimension_words(bd_dimension d);
const char *bd_dimension_noun(bd_dimension d);

#endif
