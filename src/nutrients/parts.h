/*
 * parts.h - what bags are filled with, part by part, and the plain figures of a
 * season when nobody gave them.
 *
 * May include: base/, quantity/.  Headers of nutrients/ show structs, never JSON.
 *
 * Everything is borrowed from a bd_parts and good until bd_parts_free.
 */
#ifndef BD_NUTRIENTS_PARTS_H
#define BD_NUTRIENTS_PARTS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "nutrients/catalogue.h"
#include "nutrients/media.h"

/* One part of a mix: soil, compost, sand, coir, manure...  How dense it lies and what water it
 * holds are those of its medium (media.h); contents are of the part as it comes, moist. */
typedef struct bd_part {
    const char *name, *title;
    const char *const *synonyms;    /* NULL ends                                              */
    const char *medium;             /* a name of media.json                                   */
    bd_fact moist_density_kg_per_l; /* as it comes out of the heap or sack, settled        */
    bd_fact content[3];             /* total N, P2O5, K2O, kg/kg; not known: not counted       */
    bd_fact first_year[3];          /* share of that a crop can have in its first season       */
    bd_fact ece_ds_per_m;           /* salt, saturated extract                                 */
    bd_fact carbon_to_nitrogen;     /* kg/kg; not known: takes no nitrogen                     */
    bd_fact carbon;                 /* kg/kg of dry matter                                     */
    bd_fact rots;                   /* share of its carbon lost in a season                    */
    bd_fact lime_value;             /* CaCO3 equivalent, kg/kg of it as it comes               */
    bd_fact highest_share;          /* of a mix, by volume; low: gentle, high: the most        */
    const char *limited_as;         /* the material of limits.json it is limited as; "" for none */
    bool is_raw_manure;
    bool brings_unknown; /* feeds, but how much only a test or its sack can tell: a soil */
    const char *note;
} bd_part;

/* By which laboratory method a guide's soil classes are set. */
typedef struct bd_guide {
    const char *name;   /* as bd_guide_rate.guide                                             */
    const char *title;  /* "Florida, Mehlich-3"                                               */
    const char *method; /* "mehlich-3", "mehlich-1", "olsen", "resin", "al", "nmin", "not-named" */
    const char *middle; /* its class for a middling soil; "" when there is none               */
    const char *middle_nitrogen; /* the same for rows of nitrogen alone; ""                   */
    bool is_gross; /* nitrogen found in the soil still comes off                         */
    const char *note;
} bd_guide;

/* How uptake is spread over the season, by nutrient; both shares rise to 1. */
typedef struct bd_crop_uptake {
    const char *const *crops;         /* names, NULL ends; "any" for all without one of their own */
    const bd_uptake_point *points[3]; /* N, P2O5, K2O                */
    size_t count[3];
    bd_trust trust;
    const char *source;
    const char *note;
} bd_crop_uptake;

typedef struct bd_parts bd_parts;

/*
 * Reads the built-in parts.json; sources are checked against the built-in
 * sources*.json.
 *
 *   out  owned by the caller, freed with bd_parts_free; set only on BD_OK
 *
 * Returns BD_OK, BD_SYNTAX, BD_RANGE, BD_UNKNOWN, BD_CONFLICT with a place in the
 * file, BD_MEMORY.
 */
bd_status bd_parts_load(bd_parts **out, bd_error *err) BD_MUST_CHECK;
void bd_parts_free(bd_parts *parts);

/* A part by the first `length` bytes of a name or synonym; BD_UNKNOWN lists what there is. */
bd_status bd_parts_part(const bd_parts *parts, const char *name, size_t length, const bd_part **out,
                        bd_error *err) BD_MUST_CHECK;
const bd_part *bd_parts_list(const bd_parts *parts, size_t *count);

/* A guide that asks for a soil test, by name; NULL for any other. */
const bd_guide *bd_parts_guide(const bd_parts *parts, const char *name);
/* The curve of a crop by its name; the general one when it has none of its own; never NULL. */
const bd_crop_uptake *bd_parts_uptake(const bd_parts *parts, const char *crop);

/*
 * A plain figure by name, in the unit said here; never NULL for these names:
 *   "bucket"                10 L
 *   "settling"              share of the loose volume lost when watered in
 *   "mixing-loss"           share lost because fine parts fill the gaps of coarse ones
 *   "microbe-carbon-to-nitrogen", "microbe-efficiency"   of what rots wood and straw
 *   "base-share"            of N and K2O that may go in before sowing
 *   "base-phosphate-share"  of P2O5
 *   "first-feed"            d after sowing
 *   "feed-interval"         d between dressings (low: the shortest)
 *   "last-nitrogen"         d before harvest
 *   "last-feed"             d before harvest, of anything
 *   "foliar-nitrogen-note"  share of the season's N below which a spray does not count
 *   "ease-off"              d before harvest from which watering is cut
 *   "ease-off-share"        of the usual water then
 *   "ece-rise"              dS/m, of one dressing, for crops that mind salt
 *   "carry-nitrogen", "carry-phosphate", "carry-potash"  share of what was left unspent
 *                           that the next crop is credited with
 *   "flush-volumes"         bag volumes of water of a deliberate flush
 *   "flush-portions"        into how many portions it is parted
 *   "air-space"             share of the volume that is air after draining
 *   "drain-nitrogen", "drain-phosphate", "drain-potash"  share lost in a season with the
 *                           water that drains
 */
const bd_fact *bd_parts_figure(const bd_parts *parts, const char *name);

#endif
