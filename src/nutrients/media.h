/*
 * media.h - growing media, how conductivities by different methods compare, and
 * the plain figures a root zone needs when nobody gave them.
 *
 * May include: base/, quantity/.  Headers of nutrients/ show structs, never JSON.
 *
 * Everything is borrowed from a bd_media and good until bd_media_free.
 */
#ifndef BD_NUTRIENTS_MEDIA_H
#define BD_NUTRIENTS_MEDIA_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "nutrients/catalogue.h"

/* What a medium is to those who convert conductivities; spelt in files as the comment says. */
typedef enum bd_texture {
    BD_TEXTURE_SAND,       /* "sand": sand and loamy sand       */
    BD_TEXTURE_SANDY_LOAM, /* "sandy-loam"                      */
    BD_TEXTURE_LOAM,       /* "loam": loam and silt loam        */
    BD_TEXTURE_CLAY_LOAM,  /* "clay-loam"                       */
    BD_TEXTURE_CLAY,       /* "clay"                            */
    BD_TEXTURE_PEAT_LIKE,  /* "peat-like": light, mostly organic, or perlite and vermiculite */
    BD_TEXTURE_COUNT
} bd_texture;

/* How water was brought to a sample before its conductivity was read. */
typedef enum bd_extract {
    BD_EXTRACT_SATURATED,    /* "saturated": extract of a saturated paste, ECe           */
    BD_EXTRACT_1_1,          /* "1:1": one part soil, one part water, by mass            */
    BD_EXTRACT_1_2,          /* "1:2": by mass in soils, by volume in peat-like media    */
    BD_EXTRACT_1_5,          /* "1:5": by mass                                           */
    BD_EXTRACT_POUR_THROUGH, /* "pour-through": water pushed out of a pot at capacity    */
    BD_EXTRACT_COUNT
} bd_extract;

/* "sandy-loam"; "1:2" */
const char *bd_texture_words(bd_texture texture);
const char *bd_extract_words(bd_extract extract);
/* The other way round; BD_UNKNOWN lists what there is. */
bd_status bd_extract_read(const char *text, bd_extract *out, bd_error *err) BD_MUST_CHECK;

/* One published relation: ECe = slope * reading + intercept. */
typedef struct bd_extract_line {
    bd_extract method;
    unsigned textures; /* it was found on: bits 1u << bd_texture */
    double slope, intercept_ds_per_m;
    const char *source;
    bd_trust trust;
    const char *note;
} bd_extract_line;

typedef struct bd_medium {
    const char *name, *title; /* "soil-compost-sand" */
    bd_texture texture;
    bd_fact bulk_density_kg_per_l; /* dry, settled                                      */
    bd_fact container_capacity;    /* water after draining, share of the volume         */
    bd_fact total_pores;           /* share of the volume                               */
    bd_fact wilting_point;         /* water no root can draw, share of the volume       */
    bd_fact saturation_by_mass;    /* water of a saturated paste, kg/kg; mineral only   */
    const char *note;
} bd_medium;

static inline bool bd_medium_is_peat_like(const bd_medium *m)
{
    return m->texture == BD_TEXTURE_PEAT_LIKE;
}

/*
 * Litres of water in a litre of medium at saturation, where ECe is defined.
 *
 * Method   a mineral soil with a known saturation percentage: that percentage
 *          times its usual bulk density; any other medium: its total pores,
 *          since a percentage by mass means little in a light mix.
 * Example  loam, 40 % and 1.25 kg/L -> 0.50
 */
bd_range bd_medium_saturation(const bd_medium *m);

/* A point of the default curve of uptake: shares of the season and of all that is taken up. */
typedef struct bd_uptake_point {
    double season_share, taken_share;
} bd_uptake_point;

typedef struct bd_media bd_media;

/*
 * Reads the built-in media.json; sources are checked against the built-in
 * sources*.json.
 *
 *   out  owned by the caller, freed with bd_media_free; set only on BD_OK
 *
 * Returns BD_OK, BD_SYNTAX, BD_RANGE, BD_UNKNOWN, BD_CONFLICT with a place in the
 * file, BD_MEMORY.
 */
bd_status bd_media_load(bd_media **out, bd_error *err) BD_MUST_CHECK;
void bd_media_free(bd_media *media);

/* A medium by name; BD_UNKNOWN lists what there is.  NULL stands for the default medium. */
bd_status bd_media_medium(const bd_media *media, const char *name, const bd_medium **out,
                          bd_error *err) BD_MUST_CHECK;

/* All of a kind, in file order; the count is written to *count.  The curve of uptake rises to 1
 * in both shares. */
const bd_medium *bd_media_list(const bd_media *media, size_t *count);
const bd_extract_line *bd_media_extract_lines(const bd_media *media, size_t *count);
const bd_uptake_point *bd_media_uptake(const bd_media *media, size_t *count);

/*
 * A plain figure by name, in the unit said here; never NULL for these names:
 *   "existing-ece"               dS/m    salt a fresh mix already holds
 *   "reference-evapotranspiration" mm/d  ETo
 *   "crop-coefficient"           1       Kc where the crop has none
 *   "bag-exposure"               1       water use of a free bag over that of a field
 *   "leaching-fraction"          1       of each watering that drains
 *   "water-conductivity"         dS/m    of the irrigation water
 *   "uptake-share"               1       of a dressing's salt the crop takes by harvest
 *   "ece-per-ecw"                1       in the long run, 15..20 % draining
 *   "salts-per-conductivity"     mg/L per dS/m
 *   "salt-per-equivalent"        dS/m per meq/L   of mixed salts at 10 to 25 meq/L
 *   "gypsum-water"               dS/m    water that holds all the gypsum it can
 *   "lime-water"                 dS/m    the same of lime, with the carbon dioxide of a mix
 *   "phosphate-water"            dS/m    the same of calcium phosphate
 *   "salt-of-urea"               1       of nitrogen as urea, or of an unknown kind, that is salt
 *   "salt-of-rotting"            1       of nitrogen that turns mineral over a season
 *   "mineral-in-season"          1       of organic nitrogen, where the material has no figure
 *   "field-bulk-density"         kg/L    of a plough layer
 */
const bd_fact *bd_media_figure(const bd_media *media, const char *name);

#endif
