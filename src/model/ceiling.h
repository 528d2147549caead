/*
 * ceiling.h - which published limit fits a product, a use, a crop and a stage.
 *
 * May include: base/, quantity/, nutrients/.  No stdio, no JSON.
 *
 * A job resolves its ceilings once and hands the same structs to the model (to
 * split a dose) and to the guard (to judge it).
 */
#ifndef BD_MODEL_CEILING_H
#define BD_MODEL_CEILING_H

#include <stdbool.h>
#include <stddef.h>

#include "nutrients/catalogue.h"

typedef struct bd_ceiling {
    const bd_limit *limit;   /* NULL: nothing is known                                     */
    double low, usual, most; /* in the unit of limit->of; `most` is the ceiling            */
    bd_trust trust;          /* of `most`                                                  */
    bool is_borrowed;        /* the crop has no row of its own: the strictest of the others */
    bool is_never;           /* ceiling 0                                                  */
    const bd_limit *firm;    /* a looser row that is published or worked out, where `limit` is
                                neither; NULL: there is none                               */
    double firm_most;        /* its ceiling, counted as `most` is                          */
} bd_ceiling;

typedef struct bd_ceiling_query {
    const char *material; /* a material name, or "any"                      */
    bd_use use;
    bd_limit_of of;
    const bd_nutrient *nutrient; /* for NUTRIENT limits, else NULL            */
    const char *per;             /* "each watering"...; NULL takes any        */
    const char *const *groups;   /* of the crop, nearest first, NULL ends; NULL: crop not said */
    const bd_crop *crops;        /* all crops the program knows: rows for groups that none of   */
    size_t crop_count;           /* them belongs to (trees, machines) are not borrowed          */
} bd_ceiling_query;

/*
 * Finds the ceiling.
 *
 * The nearest group of the crop that has a row wins; of several rows in one
 * group, the strictest.  Rows for "any" fit every crop.  A crop without a row
 * takes the strictest row of all, ceilings of 0 included only where they are
 * for any crop, and says so (is_borrowed).
 *
 * A row of common practice does not hide a looser one in print: `firm` is the
 * strictest such row of the crop's groups, of a borrowed ceiling the highest in
 * print for any crop.
 *
 * Never fails: without a row `limit` is NULL.
 */
bd_ceiling bd_ceiling_find(const bd_limit *limits, size_t count, const bd_ceiling_query *query);

/*
 * The limit on a nutrient per area of the bag's mouth, whatever the product: as bd_ceiling_find for
 * the crop groups `groups`.
 */
bd_ceiling bd_ceiling_per_area(const bd_catalogue *catalogue, bd_use use, bd_nutrient nutrient,
                               const char *const *groups);

/* A value of a limit in the form the query counts: K rows of a K2O question and back. */
double bd_ceiling_as_element(const bd_ceiling *ceiling, double value);

#endif
