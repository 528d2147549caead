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
    const char *name;       /* the guide's or source's key; "" for the grower's own  */
    const char *soil_class; /* of the guide; "" when it has none                     */
    const char *part;       /* of the removal: "root"; else ""                       */
    bd_trust trust;         /* the weakest of the figures used                       */
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
    const char *method;                   /* "olsen", "mehlich-1"...; NULL: none          */
    const char *soil_class[BD_NPK_COUNT]; /* "low", "index 1"; NULL: not tested         */
} bd_soil_test;

enum { BD_NEEDS_MAX = 96 };

/*
 * Every way that can be worked out, the preferred first: the grower's own;
 * published guides that fit the test; published blanket rates; removal of the
 * whole crop; then the same from weaker figures.  Within a way area, plant,
 * volume in this order.
 *
 *   crop     its rates and removals; NULL: only `own` counts
 *   parts    for the methods of the guides
 *   test     NULL: guides that ask for a test give their rate for a middling soil
 *            ("medium", "optimum", "index 2-") and nothing else
 *   own      the grower's numbers in g a bag; NULL when there are none
 *   out      room for BD_NEEDS_MAX
 *   count    how many were written; may be 0
 *
 * Returns BD_OK; BD_CONFLICT when a class is named for a method by which no guide
 * of this crop goes, naming the methods that would fit: a test by another method
 * is not converted; BD_UNKNOWN for a class no fitting guide has; BD_RANGE.
 */
bd_status bd_need_all(const bd_crop *crop, const bd_parts *parts, const bd_soil_test *test,
                      const bd_npk *own, const bd_need_site *site, bd_need out[BD_NEEDS_MAX],
                      size_t *count, bd_error *err) BD_MUST_CHECK;

/* How far the ways lie apart for one nutrient: highest over lowest typical; 1 when fewer than two
 * are above zero. */
double bd_need_spread(const bd_need *needs, size_t count, int nutrient);

/*
 * The one to use: the first that knows the nutrient, of `basis` if it is not
 * BD_BASIS_NONE and the way has bases.  NULL when there is none.
 */
const bd_need *bd_need_pick(const bd_need *needs, size_t count, int nutrient, bd_need_basis basis);

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
