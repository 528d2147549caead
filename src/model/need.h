/*
 * need.h - what a crop needs in one bag over the season, by every way it can be
 * worked out, side by side.
 *
 * May include: base/, nutrients/.  No stdio, no clock, no files.
 *
 * Ways: a published guide by crop and soil-test class, what the expected harvest
 * will take away, the grower's own number.  A guide's rate is for a field, and a
 * field rate comes to a bag by area, by plant or by volume of mix: up to twenty-fold
 * apart.  All are kept; the caller names the one it uses and shows the spread.
 */
#ifndef BD_MODEL_NEED_H
#define BD_MODEL_NEED_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "model/bag.h"
#include "model/npk.h"
#include "nutrients/catalogue.h"
#include "nutrients/parts.h"

typedef enum bd_need_way {
    BD_NEED_OWN,     /* the grower's number                  */
    BD_NEED_GUIDE,   /* a published guide                    */
    BD_NEED_REMOVAL, /* removal per tonne * expected harvest */
    BD_NEED_WAY_COUNT
} bd_need_way;

typedef enum bd_need_basis {
    BD_BASIS_AREA,
    BD_BASIS_PLANT,
    BD_BASIS_VOLUME,
    BD_BASIS_NONE, /* the way has none: a harvest, an amount for a bag */
    BD_BASIS_COUNT
} bd_need_basis;

/* One way on one basis: a column of the need table. */
typedef struct bd_need {
    bd_need_way way;
    bd_need_basis basis;
    const char *name;              /* the guide's or source's key; "" for the grower's own  */
    const char *soil_class;        /* of the guide; "" when it has none                     */
    const char *part;              /* of the removal: "root"; else ""                       */
    bd_trust trust;                /* the weakest of the figures used                       */
    bool is_gross;                 /* nitrogen found in the soil still comes off            */
    bool is_by_test[BD_NPK_COUNT]; /* by the test's method, of the class it found     */
    bool is_known[BD_NPK_COUNT];
    bd_npk g_per_bag; /* where known                                           */
} bd_need;

/* The bag the need is for. */
typedef struct bd_need_site {
    bd_bag bag;
    double plants;       /* in it; 0 when not known                               */
    bd_field field;      /* where guides' rates come from; see bag.h              */
    bd_range harvest_kg; /* expected from one bag; 0: not known                   */
} bd_need_site;

/* The soil test at hand. */
typedef struct bd_soil_test {
    const char *method;                   /* "olsen", "mehlich-1", ...; NULL: none */
    const char *soil_class[BD_NPK_COUNT]; /* "low", "index 1"; NULL: not tested         */
} bd_soil_test;

enum { BD_NEEDS_MAX = 96 };

/*
 * Every way that can be worked out, best first: the grower's own; guides, then
 * removals, each by trust, in the order of the crop's record.  A way on several
 * bases takes several places: area, plant, volume.
 *
 *   crop     its rates and removals; NULL: only `own` counts
 *   parts    for the methods of the guides
 *   test     NULL, or no class in it: guides that ask for a test give their rate for
 *            a middling soil (bd_guide.middle)
 *   own      the grower's numbers in g a bag; NULL when there are none
 *   out      room for BD_NEEDS_MAX; the last ways are left out when there are more
 *   count    how many were written; may be 0
 *
 * Returns BD_OK; BD_CONFLICT when `test->method` is one by which no guide of this
 * crop goes, naming those that would do: a test by another method is refused, not
 * converted; BD_MISSING when a class is given without a method; BD_UNKNOWN for a
 * class that no guide of that method has for this crop, naming those there are; BD_RANGE.
 *
 * Method   With a test only guides of its method and blanket guides count.  A class
 *          matches a row whose class is that word, or begins with it and goes on with
 *          a blank or colon ("optimum" is "optimum: storage").  Without a class of its
 *          own nitrogen is that of the row of potash; where it has rows of its own (an
 *          index of soil nitrogen supply), their middling one.  Bases as in bag.h; removal: kg/t is
 *          g/kg.
 * Example  carrot, 120 kg K2O/ha, 0.0707 m2 and 24.7 L, 20 cm: area 0.85 g, volume 1.48 g
 */
bd_status bd_need_all(const bd_crop *crop, const bd_parts *parts, const bd_soil_test *test,
                      const bd_npk *own, const bd_need_site *site, bd_need out[BD_NEEDS_MAX],
                      size_t *count, bd_error *err) BD_MUST_CHECK;

/* How far the ways lie apart for one nutrient: highest over lowest typical; 1 when fewer than two
 * are above zero. */
double bd_need_spread(const bd_need *needs, size_t count, int nutrient);

/*
 * The one to use, of `basis` if it is not BD_BASIS_NONE and the way has bases; NULL
 * when there is none.  The grower's own comes first; then, for a nutrient whose class
 * a soil test says, a guide by the test's method, however well another is trusted: it
 * alone knows this soil.  Then the first that knows the nutrient.
 */
const bd_need *bd_need_pick(const bd_need *needs, size_t count, int nutrient, bd_need_basis basis);

/* The same among those of one way; NULL when none of that way knows the nutrient. */
const bd_need *bd_need_pick_way(const bd_need *needs, size_t count, int nutrient,
                                bd_need_basis basis, bd_need_way way);

/*
 * What a harvest takes away [g].
 *
 *   kg        harvested, fresh, 0 or more
 *   removal   per tonne; nutrients it does not know come out as 0
 *
 * Example  carrot roots 4 kg K2O/t: 1.5 kg -> 6 g
 */
bd_npk bd_need_removed(bd_range kg, const bd_removal *removal);

#endif
