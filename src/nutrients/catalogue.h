/*
 * catalogue.h - what the program knows of materials, limits and crops, read from
 * JSON once and then never changed.
 *
 * May include: base/, quantity/.  Headers of nutrients/ show structs, never JSON.
 *
 * Everything a catalogue hands out is borrowed from it and good until
 * bd_catalogue_free.  Arrays are in file order, the built-in files first.
 */
#ifndef BD_NUTRIENTS_CATALOGUE_H
#define BD_NUTRIENTS_CATALOGUE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/range.h"
#include "quantity/nutrient.h"

/* How far a figure can be trusted, best first. */
typedef enum bd_trust {
    BD_TRUST_PUBLISHED,  /* seen in the source named                         */
    BD_TRUST_WORKED_OUT, /* arithmetic on published figures                  */
    BD_TRUST_PRACTICE,   /* common practice of the trade, no source          */
    BD_TRUST_MEMORY      /* a source is named, the figure was not seen in it */
} bd_trust;

/* "published", "worked out", "common practice", "from memory": as files spell it. */
const char *bd_trust_words(bd_trust trust);

/* A figure of a file.  Ends a file leaves out repeat the typical value. */
typedef struct bd_fact {
    bool is_known;  /* false: the record does not give this figure */
    bd_range value; /* in the unit its owner's comment names       */
    bd_trust trust_low, trust_typical, trust_high;
    const char *source;    /* key in sources.json; "" for common practice */
    const char *condition; /* when it holds; "" if unconditional          */
} bd_fact;

typedef struct bd_source {
    const char *key;   /* "CRC-SOL"                                   */
    const char *title; /* author, title, year, publisher              */
    const char *seen;  /* where a copy was read; "" if it was not     */
} bd_source;

typedef enum bd_material_kind {
    BD_SALT,       /* one compound, with a formula: may be dissolved and modelled  */
    BD_FERTILISER, /* a mixture without one formula (superphosphate, a granule)    */
    BD_HOMEMADE    /* plant, ash, manure, urine...: ranges only                    */
} bd_material_kind;

typedef enum bd_form { BD_SOLID, BD_LIQUID } bd_form;

/* How a homemade feed is made ready, in the order of bd_material.extraction. */
typedef enum bd_preparation {
    BD_SOAK,    /* cold water                                 */
    BD_BOIL,    /* simmered in water                          */
    BD_FERMENT, /* left in water for a week or longer         */
    BD_POWDER,  /* dried, ground, stirred into water          */
    BD_DRY,     /* given to the soil as it is, no water       */
    BD_PREPARATION_COUNT
} bd_preparation;

/* What else must be known of a material; spelt in files as the comment says. */
typedef enum bd_trait {
    BD_TRAIT_NITRATE,     /* "nitrate": oxidiser, feeds fire                    */
    BD_TRAIT_AMMONIUM,    /* "ammonium": gives ammonia with alkalis             */
    BD_TRAIT_UREA,        /* "urea"                                             */
    BD_TRAIT_CALCIUM,     /* "calcium": soluble calcium                         */
    BD_TRAIT_SULFATE,     /* "sulfate"                                          */
    BD_TRAIT_PHOSPHATE,   /* "phosphate"                                        */
    BD_TRAIT_CHLORIDE,    /* "chloride"                                         */
    BD_TRAIT_ALKALINE,    /* "alkaline": raises pH, never on leaves             */
    BD_TRAIT_ACID,        /* "acid"                                             */
    BD_TRAIT_CAUSTIC,     /* "caustic"                                          */
    BD_TRAIT_BORON,       /* "boron": narrow between too little and too much    */
    BD_TRAIT_METAL,       /* "metal": zinc, copper, manganese, iron salt        */
    BD_TRAIT_RAW_MANURE,  /* "raw-manure": interval before harvest              */
    BD_TRAIT_URINE,       /* "urine"                                            */
    BD_TRAIT_ASH,         /* "ash"                                              */
    BD_TRAIT_CARBON_RICH, /* "carbon-rich": ties up nitrogen while it rots      */
    BD_TRAIT_SALTY,       /* "salty": brings sodium and chloride                */
    BD_TRAIT_ATTRACTS,    /* "attracts-animals"                                 */
    BD_TRAIT_FERMENTS,    /* "ferments": gas, smell, sour liquid                */
    BD_TRAIT_SLOW,        /* "slow": not for solutions                          */
    BD_TRAIT_COUNT
} bd_trait;

/* An ion of a dissolved salt: name as in species.json ("K+", "SO4-2"), count per formula unit. */
typedef struct bd_ion {
    const char *name;
    double count;
} bd_ion;

typedef struct bd_hazard {
    const char *code; /* GHS code, "H272" */
    const char *source;
    bd_trust trust;
    const char *note; /* where classifications disagree; may be "" */
} bd_hazard;

enum { BD_NITROGEN_FORMS = 4 };
/* Order of bd_material.nitrogen_share. */
typedef enum bd_nitrogen {
    BD_NITROGEN_NITRATE,
    BD_NITROGEN_AMMONIUM,
    BD_NITROGEN_UREA,
    BD_NITROGEN_ORGANIC
} bd_nitrogen;

typedef struct bd_material {
    const char *name;            /* "potassium-nitrate" */
    const char *title;           /* "potassium nitrate" */
    const char *const *synonyms; /* NULL ends */
    bd_material_kind kind;
    bd_form form;
    const char *formula; /* "KNO3"; "" when there is none      */
    const char *grade;   /* usual label, oxide: "13-0-46"; ""  */
    bd_fact
        analysis[BD_NUTRIENT_COUNT]; /* ELEMENT: kg/kg of the material, or g/L when is_per_litre */
    bool is_per_litre;               /* analysis and homemade liquids in g/L */
    double nitrogen_share[BD_NITROGEN_FORMS]; /* of total N; sums to 1 when N is given */
    bool main_nutrient_known;
    bd_nutrient main_nutrient; /* what it is bought for              */
    const bd_ion *ions;        /* per formula unit when dissolved    */
    size_t ion_count;
    bd_fact density_kg_per_l;      /* liquids                            */
    bd_fact bulk_density_kg_per_l; /* loose, level spoon                 */
    bd_fact moisture;              /* kg/kg                              */
    bd_fact ph;
    bd_fact ec_ds_per_m;                      /* of a liquid as it is               */
    bd_fact lime_value;                       /* CaCO3 equivalent, kg/kg            */
    bd_fact extraction[BD_PREPARATION_COUNT]; /* share of K that comes out, 0..1 */
    bd_fact highest_k; /* highest believable K, kg/kg; is_known only where published */
    unsigned traits;   /* bits 1u << bd_trait                */
    const bd_hazard *hazards;
    size_t hazard_count;
    const char *note;
} bd_material;

static inline bool bd_material_has(const bd_material *m, bd_trait trait)
{
    return (m->traits & (1u << trait)) != 0;
}

/* Ash, lime, carbonate, hydroxide: they drive ammonia out of ammonium and urea.  Phosphates and
 * borates are salts of weak acids that only lean to the alkaline. */
static inline bool bd_material_is_alkali(const bd_material *m)
{
    return bd_material_has(m, BD_TRAIT_ASH) ||
           (bd_material_has(m, BD_TRAIT_ALKALINE) && !bd_material_has(m, BD_TRAIT_PHOSPHATE) &&
            !bd_material_has(m, BD_TRAIT_BORON));
}

typedef enum bd_use {
    BD_USE_FOLIAR,          /* "foliar"                                     */
    BD_USE_LOW_VOLUME,      /* "foliar-low-volume": machine sprays only     */
    BD_USE_DRENCH,          /* "drench": a solution given to the root zone  */
    BD_USE_SEEDLING,        /* "seedling-drench"                            */
    BD_USE_SEEDLING_FOLIAR, /* "seedling-foliar"                       */
    BD_USE_SIDEDRESS,       /* "sidedress": dry, on the surface             */
    BD_USE_BAND,            /* "band": beside and below the seed            */
    BD_USE_BAND_WITH_SEED,  /* "band-with-seed": touching it            */
    BD_USE_SEASON,          /* "season"                                     */
    BD_USE_COUNT
} bd_use;

/* Quantity a limit is put on; the unit of its value. */
typedef enum bd_limit_of {
    BD_LIMIT_PRODUCT_STRENGTH,      /* "product-strength": g/L of the product        */
    BD_LIMIT_NUTRIENT_STRENGTH,     /* "nutrient-strength": g/L of `nutrient`        */
    BD_LIMIT_SALTS_STRENGTH,        /* "salts-strength": g/L, all salts together     */
    BD_LIMIT_EC,                    /* "ec-above-water": dS/m at 25 degC             */
    BD_LIMIT_PRODUCT_PER_AREA,      /* "product-per-area": g/m2 each time            */
    BD_LIMIT_NUTRIENT_PER_AREA,     /* "nutrient-per-area": g/m2 of `nutrient`       */
    BD_LIMIT_PRODUCT_PER_PLANT,     /* "product-per-plant": g/plant each time        */
    BD_LIMIT_PRODUCT_PER_ROW,       /* "product-per-row": g/m of row each time       */
    BD_LIMIT_NUTRIENT_PER_ROW,      /* "nutrient-per-row": g/m of row                */
    BD_LIMIT_N_PLUS_K2O_PER_ROW,    /* "n-plus-k2o-per-row": g/m of row, both added  */
    BD_LIMIT_PRODUCT_PER_AREA_YEAR, /* "product-per-area-year": g/m2 a year       */
    BD_LIMIT_SPRAYS_PER_SEASON,     /* "sprays-per-season": a count                  */
    BD_LIMIT_DAYS_BETWEEN,          /* "days-between": low is the shortest gap       */
    BD_LIMIT_SPRAY_VOLUME,          /* "spray-volume": L/m2                          */
    BD_LIMIT_VOLUME_PER_AREA,       /* "volume-per-area": L/m2 each crop (urine)     */
    BD_LIMIT_OF_COUNT
} bd_limit_of;

/* As files spell them. */
const char *bd_use_words(bd_use use);

typedef struct bd_limit {
    const char *material; /* a material name, or "any" (any-potassium-salt: nutrient K set) */
    bd_use use;
    bd_limit_of of;
    bool has_nutrient;
    bd_nutrient_form nutrient; /* for NUTRIENT limits; element or oxide, as the file says */
    const char *per;           /* "each watering", "once a week", "each spray", "each dressing",
                                  "each crop", "year", "season", "" */
    const char *crop_group;    /* "tomato", "fruiting", "leafy", "any", ... see crops.json groups */
    const char *crop_title;    /* the same in words: "leafy vegetables" */
    bd_fact value;             /* low = gentle, typical = usual, high = the ceiling */
    const char *note;
    bool is_own; /* from a file of the user */
} bd_limit;

typedef struct bd_solubility_point {
    double temperature_c, g_per_100g_water;
} bd_solubility_point;

/* One published curve of one salt form. */
typedef struct bd_solubility {
    const char *material;
    const bd_solubility_point *points; /* rising temperature */
    size_t point_count;
    const char *source;
    bd_trust trust;
    const char *note;
} bd_solubility;

/* Salt tolerance after Maas and Hoffman: one published set. */
typedef struct bd_tolerance {
    bool has_threshold;
    double threshold_ds_per_m; /* ECe of the saturated extract at 25 degC */
    double slope_per_ds_per_m; /* share of yield lost per dS/m, 0..1      */
    const char *rating;        /* S, MS, MT, T, with * where estimated    */
    const char *source;
    bd_trust trust;
} bd_tolerance;

/* A row of a published guide: what to give per area by soil-test class. */
typedef struct bd_guide_rate {
    const char *guide, *soil_class, *class_limits;
    bd_fact g_per_m2[3]; /* N, P2O5, K2O */
    const char *where;   /* page or table */
} bd_guide_rate;

/* What a tonne of fresh yield takes away. */
typedef struct bd_removal {
    const char *part;
    bd_fact kg_per_t[3]; /* N, P2O5, K2O */
} bd_removal;

enum { BD_STAGES = 4 }; /* initial, development, mid-season, late: FAO-56 */

typedef struct bd_crop {
    const char *name, *title;       /* "sweet-potato", "sweet potato" */
    const char *const *synonyms;    /* NULL ends */
    const char *const *groups;      /* groups whose limits fit, nearest first; NULL ends */
    bool is_root;                   /* the eaten part grows in the mix */
    bool touches_soil;              /* the eaten part touches soil or is splashed */
    bool minds_chloride;            /* published or usual advice to keep chloride low */
    const bd_tolerance *tolerances; /* preferred (published) first */
    size_t tolerance_count;
    const bd_guide_rate *rates;
    size_t rate_count;
    const bd_removal *removals;
    size_t removal_count;
    bd_fact spacing_m;           /* between plants in a block          */
    bd_fact field_plants_per_m2; /* the usual stand, rows and paths counted in */
    bd_fact sowing_depth_m;
    bd_fact bag_depth_m; /* least depth of mix                 */
    bd_fact days_to_harvest;
    bd_fact kc[3];                 /* FAO-56: initial, mid, end          */
    bd_fact stage_days[BD_STAGES]; /* FAO-56 stage lengths               */
    bd_fact yield_kg_per_m2;
    const char *note;
} bd_crop;

/* The first of the crop's tolerances that has a threshold; NULL where none has, and for NULL. */
const bd_tolerance *bd_crop_tolerance(const bd_crop *crop);

/* When a caution is printed; spelt in files as the comment says. */
typedef enum bd_trigger {
    BD_WHEN_ALWAYS,          /* "always"                                      */
    BD_WHEN_FOLIAR,          /* "foliar": any leaf spray                      */
    BD_WHEN_KNO3_FOLIAR,     /* "kno3-foliar"                                 */
    BD_WHEN_SEEDLING_FOLIAR, /* "seedling-foliar"                             */
    BD_WHEN_UREA_FOLIAR,     /* "urea-foliar"                                 */
    BD_WHEN_SIDEDRESS,       /* "sidedress": bagged fertiliser on the soil    */
    BD_WHEN_MIXING,          /* "mixing": bagged fertilisers                  */
    BD_WHEN_STORED_MIX,      /* "stored-mix": anything dissolved              */
    BD_WHEN_TANK_MIX,        /* "tank-mix": several products in one water     */
    BD_WHEN_NITRATE,         /* "nitrate"                                     */
    BD_WHEN_EYE_DANGER,      /* "eye-danger": materials with H318 or H314     */
    BD_WHEN_BORON,           /* "boron"                                       */
    BD_WHEN_METAL,           /* "metal"                                       */
    BD_WHEN_AMMONIA,         /* "ammonia": ammonium, urea, urine              */
    BD_WHEN_ASH,             /* "ash"                                         */
    BD_WHEN_CAUSTIC,         /* "caustic"                                     */
    BD_WHEN_HOMEMADE,        /* "homemade"                                    */
    BD_WHEN_RAW_MANURE,      /* "raw-manure"                                  */
    BD_WHEN_URINE,           /* "urine"                                       */
    BD_WHEN_LEAFY_NITRATE,   /* "leafy-nitrate": nitrates on leaf crops       */
    BD_WHEN_RULE,            /* "rule": said by a rule of the guard, not here */
    BD_WHEN_COUNT
} bd_trigger;

/* A caution or rule: which sentence is said when, and whence it is known. */
typedef struct bd_caution_rule {
    const char *code; /* "C12" */
    bd_trigger when;
    const char *sentence; /* key in words/ */
    const char *source;
    bd_trust trust;
} bd_caution_rule;

/* A scoop of the user's, weighed by the user with one product in it: an own weighing is its source
 * and its trust. */
typedef struct bd_own_scoop {
    const char *material; /* as the file names it; "" for a product known by its label alone */
    const char *analysis; /* that label, "10-10-10"; "" beside a material                    */
    const char *name;     /* "blue cap"                                                      */
    double level_scoops;  /* put on the scale together; whole                                */
    double total_g;       /* what they weighed                                               */
    double volume_l;      /* of one; 0 when not said                                         */
    const char *place;    /* in its file: "scoops.json#/scoops/0"                            */
} bd_own_scoop;

typedef struct bd_catalogue bd_catalogue;

/*
 * Reads the built-in files, then every *.json of `user_dir` (may be NULL).
 * Each record is checked: unknown keys, missing unit, source or status, wrong
 * order of low/typical/high, duplicates, numbers out of range.  A user's limit
 * that is tighter than the built-in ones, or the only one, is added with is_own
 * set; the built-in one stays beside it and both hold, so that going over the
 * published one is still known as such.  A looser one is kept out and listed.
 *
 *   out  *kept* by the caller, freed with bd_catalogue_free; set only on BD_OK
 *
 * Returns BD_OK, BD_SYNTAX/BD_RANGE/BD_UNKNOWN/BD_CONFLICT with `where` as
 * "limits.json#/limits/3/value", BD_FILE, BD_MEMORY.
 */
bd_status bd_catalogue_load(const char *user_dir, bd_catalogue **out, bd_error *err) BD_MUST_CHECK;

/* Frees it and all it handed out; NULL is allowed. */
void bd_catalogue_free(bd_catalogue *catalogue);

/* A material by name or synonym; BD_UNKNOWN names the nearest ones. */
bd_status bd_catalogue_material(const bd_catalogue *c, const char *name, const bd_material **out,
                                bd_error *err) BD_MUST_CHECK;
/* A crop by name or synonym. */
bd_status bd_catalogue_crop(const bd_catalogue *c, const char *name, const bd_crop **out,
                            bd_error *err) BD_MUST_CHECK;
/* A source by key, or NULL. */
const bd_source *bd_catalogue_source(const bd_catalogue *c, const char *key);

/* All of a kind; the count is written to *count. */
const bd_material *bd_catalogue_materials(const bd_catalogue *c, size_t *count);
const bd_limit *bd_catalogue_limits(const bd_catalogue *c, size_t *count);
const bd_solubility *bd_catalogue_solubilities(const bd_catalogue *c, size_t *count);
const bd_crop *bd_catalogue_crops(const bd_catalogue *c, size_t *count);

/* The user's own scoops; a product has at most one. */
const bd_own_scoop *bd_catalogue_scoops(const bd_catalogue *c, size_t *count);

/* Cautions in the order they are printed. */
const bd_caution_rule *bd_catalogue_cautions(const bd_catalogue *c, size_t *count);
/* The caution or rule of a sentence, or NULL. */
const bd_caution_rule *bd_catalogue_rule(const bd_catalogue *c, const char *sentence);

/* Limits of the user's files that were looser than a built-in one and are not used. */
const bd_limit *bd_catalogue_ignored_limits(const bd_catalogue *c, size_t *count);

/*
 * A plain constant of practice.json by name ("wetting"), in the canonical unit of
 * its kind (quantity/kind.def: L/m2, m, d, m/s, a share of 1 for '%'); NULL for a
 * name that is not there, which for the names the program uses is never.
 */
const bd_fact *bd_catalogue_practice(const bd_catalogue *c, const char *name);

/*
 * What the tests ask of the built-in files beyond what every load does:
 * each source is cited somewhere, in files of other readers too, each key cited
 * there is known.
 *
 * Returns BD_OK, BD_UNKNOWN (a key that is no source), BD_CONFLICT (a source
 * that nobody cites), BD_MEMORY.
 */
bd_status bd_catalogue_check(const bd_catalogue *c, bd_error *err) BD_MUST_CHECK;

#endif
