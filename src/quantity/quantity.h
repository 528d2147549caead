/*
 * quantity.h - "2.5 g/L", "120 kg/ha", "30 lb/100USgal", "0.3..0.8 %": numbers
 * with units, read strictly.
 *
 * May include: base/.
 *
 * A reader says which kind of quantity it wants; the unit must be of that
 * dimension and the result is in the kind's canonical unit (quantity/kind.def).
 * Units, their exact factors and where those are defined are in
 * quantity/unit.def, the one unit table.
 *
 * Dimensions are compared as they are written, "a mass per area"; a unit is one
 * unit or two with a '/' or the word "per" between, and a number may stand behind it.  Blanks
 * may stand before the unit and around the '/'.  The micro and degree signs and
 * raised 2 and 3 are read as u, deg, 2 and 3.  A gallon, quart, pint, cup, spoon,
 * fluid ounce or ton needs a prefix ("USgal", "imp pint") or measures; "oz" is
 * the weight where only a mass can be meant, otherwise "ozwt" or "USfloz" is asked for.
 * A number and its value in the canonical unit are at most 1e15.
 */
#ifndef BD_QUANTITY_QUANTITY_H
#define BD_QUANTITY_QUANTITY_H

#include "base/error.h"
#include "base/range.h"
#include "quantity/nutrient.h"

typedef enum bd_kind {
#define BD_KIND(name, words, unit, example) BD_KIND_##name,
#include "quantity/kind.def"
#undef BD_KIND
    BD_KIND_COUNT
} bd_kind;

/* Whose gallons, cups and spoons a bare word means; by default none, and it is refused. */
typedef enum bd_measures {
    BD_MEASURES_NONE,
    BD_MEASURES_METRIC,
    BD_MEASURES_US,
    BD_MEASURES_IMPERIAL,
    BD_MEASURES_AUSTRALIAN
} bd_measures;

const char *bd_kind_unit(bd_kind kind);    /* "g/L" */
const char *bd_kind_words(bd_kind kind);   /* "a strength of a solution" */
const char *bd_kind_example(bd_kind kind); /* "2.5 g/L" */

/* "metric", "us", "imperial", "australian" */
bd_status bd_measures_read(const char *text, bd_measures *out, bd_error *err) BD_MUST_CHECK;

/*
 * Reads a quantity, exact ("2.5 g/L", "1 1/2 UScup", see reading.h) or a range ("0.3..0.8 %", whose
 * typical value is the middle), in the canonical unit of `kind`.
 *
 * '%' means g per 100 mL in a strength, g per 100 g in a mass fraction,
 * relative humidity in a humidity and a plain share in a share; 'ppm' is mg/L
 * in a strength and mg/kg in a mass fraction.
 *
 * Returns BD_OK and writes `out`, or BD_SYNTAX (also for "nan" and a decimal
 * comma), BD_DIMENSION (naming both dimensions), BD_UNKNOWN (no such unit, with
 * the nearest; no such measure in that country), BD_AMBIGUOUS (whose gallon?),
 * BD_RANGE (negative, too large, a mass fraction or humidity over 100 %, a range
 * that runs downwards; a temperature may be negative down to absolute zero).
 */
bd_status bd_quantity_read(const char *text, bd_kind kind, bd_measures measures, bd_range *out,
                           bd_error *err) BD_MUST_CHECK;

/* The same, and zero is refused (a tank, an area, a size). */
bd_status bd_quantity_read_positive(const char *text, bd_kind kind, bd_measures measures,
                                    bd_range *out, bd_error *err) BD_MUST_CHECK;

/*
 * Converts any quantity into any unit of the same dimension:
 * ("30 lb/100USgal", "g/L") -> 35.95.  '%' and 'ppm' are refused on either side
 * unless the other side settles what they mean ("% w/v" and "% w/w" always say).
 * A depth of water is also a volume per area: ("5 mm", "L/m2") -> 5.
 */
bd_status bd_quantity_convert(const char *text, const char *unit, bd_measures measures,
                              bd_range *out, bd_error *err) BD_MUST_CHECK;

/* What a target is a target of. */
typedef struct bd_target {
    bool is_product;       /* "product 10 g/L": the product itself           */
    bd_nutrient_form form; /* else the nutrient, as it was named             */
    bd_kind kind;   /* strength, per area, per plant, per bag or mass; of a product also a volume,
                       alone or per volume, area, plant or bag */
    bd_range value; /* canonical unit of kind                         */
} bd_target;

/*
 * Reads "K 2.5 g/L", "K2O 120 kg/ha", "N 0.4 g/bag", "product 10 g/L",
 * "product 2 UScup/100ft2", "K2O 3 g" (a mass).  '%' and 'ppm' are of a solution.  A bare "oz" of a
 * product is refused without measures, for a product may be a liquid.
 *
 * Returns what bd_quantity_read returns; BD_UNKNOWN also for a name that is no
 * nutrient, BD_SYNTAX also when the name or the amount is missing.
 */
bd_status bd_target_read(const char *text, bd_measures measures, bd_target *out,
                         bd_error *err) BD_MUST_CHECK;

#endif
