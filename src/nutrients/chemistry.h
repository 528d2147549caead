/*
 * chemistry.h - the constants of solution chemistry, read from species.json,
 * minerals.json and waters.json once and then never changed.
 *
 * May include: base/, quantity/.  Headers of nutrients/ show structs, never JSON.
 *
 * One consistent set: ion pairs, acid constants and solids are those of the
 * geochemical database family named in the files, made for the Davies equation (where
 * a species has `attraction`, its log K goes with that instead);
 * every figure there has its own source and status.
 *
 * Texts and arrays are borrowed from the chemistry and good until
 * bd_chemistry_free.
 */
#ifndef BD_NUTRIENTS_CHEMISTRY_H
#define BD_NUTRIENTS_CHEMISTRY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "nutrients/catalogue.h"

typedef enum bd_component {
#define BD_COMPONENT(id, name, words) BD_COMPONENT_##id,
#include "nutrients/component.def"
#undef BD_COMPONENT
    BD_COMPONENT_COUNT
} bd_component;

enum { BD_SPECIES_MAX = 96, BD_PARTS_MAX = 2, BD_MINERALS_MAX = 8, BD_ANALYTIC_TERMS = 6 };

/* log10 K of a reaction and how it moves with temperature. */
typedef struct bd_log_k {
    double at_25c;
    double enthalpy_kj_per_mol; /* of the reaction; used when there are no terms  */
    bool has_terms;
    double terms[BD_ANALYTIC_TERMS]; /* a + b T + c/T + d log10 T + e/T^2 + f T^2, T in K */
    const char *source;
    bd_trust trust;
} bd_log_k;

/* So many of a component in a species or a solid. */
typedef struct bd_species_part {
    bd_component component;
    double count;
} bd_species_part;

/* A dissolved particle, as formed from the master particle of each component and H+. */
typedef struct bd_species {
    const char *name; /* "SO4-2" */
    int charge;
    bool is_master; /* stands for its component; its log K is 0         */
    bd_species_part parts[BD_PARTS_MAX];
    size_t part_count; /* 0 for H+ and OH-                                 */
    double protons;    /* H+ taken up on forming; negative: given off      */
    bd_log_k log_k;
    double attraction; /* b of formation's own law of ionic strength [sqrt(kg/mol)]; 0: Davies */
    double conductivity_s_cm2_per_mol; /* of the ion, 25 degC, endless dilution; 0: none */
    double mobility_k;                 /* d in exp(d/T - d/298.15), beside the viscosity of water */
    double size_angstrom;              /* for the attenuation of conductivity              */
    double viscosity_l_per_mol;        /* B of Jones and Dole at 25 degC         */
    double viscosity_slope_l_per_mol_k; /* dB/dT near 25 degC                     */
    bool counts_as_free_ions;           /* a loose pair: conducts as the ions it is made of */
    size_t free_ions[BD_PARTS_MAX];     /* those ions, places in species; of two parts only */
} bd_species;

/* Of a component in its usual form (H2PO4-, HCO3-, ...). */
typedef struct bd_component_size {
    double volume_cm3_per_mol; /* apparent, in dilute solution */
    double g_per_mol;
} bd_component_size;

/* What a mole of a neutral pair still seems to conduct, by the ionic strength around it. */
typedef struct bd_pair_point {
    size_t species;
    double temperature_c, ionic_strength_mol_per_l;
    double s_cm2_per_mol;
} bd_pair_point;

/* Pitzer's parameters of one salt at 25 degC [kg/mol and its square]. */
typedef struct bd_pitzer {
    size_t cation, anion; /* places in species */
    double beta0, beta1, beta2, c_phi;
} bd_pitzer;

typedef struct bd_mineral {
    const char *name, *title;
    const char *formula;
    double g_per_mol;
    bd_species_part parts[BD_PARTS_MAX + 1];
    size_t part_count;
    double protons; /* H+ set free on dissolving; negative: taken up */
    double waters;
    bd_log_k log_k;
    bool is_information; /* so slow to appear that its index warns of nothing */
    bd_fact warn_above;  /* saturation index; is_known false for information  */
    bd_fact certain_above;
} bd_mineral;

/* An ion of a water, by its name in species.json. */
typedef struct bd_water_ion {
    const char *name;
    double mol_per_l;
} bd_water_ion;

typedef struct bd_water {
    const char *name, *title;
    bool is_open; /* to the carbon dioxide of the air, unless the user says otherwise */
    const bd_water_ion *ions;
    size_t ion_count;
    const char *source;
    bd_trust trust;
    const char *note;
} bd_water;

typedef struct bd_chemistry {
    bd_species species[BD_SPECIES_MAX];
    size_t species_count;
    size_t master[BD_COMPONENT_COUNT]; /* place in species */
    bd_component_size size[BD_COMPONENT_COUNT];
    size_t hydrogen, hydroxide, carbon_dioxide; /* places in species */
    bd_log_k henry;                             /* CO2(g) = CO2 */
    double log_pco2_atm;                        /* of the open air */
    const bd_pair_point *pair_points;           /* grouped by species, then temperature, rising */
    size_t pair_point_count;
    const bd_pitzer *pitzer;
    size_t pitzer_count;
    const bd_mineral *minerals; /* at most BD_MINERALS_MAX */
    size_t mineral_count;
    const bd_water *waters;
    size_t water_count;
    struct bd_bundle *bundle; /* what the texts are borrowed from */
} bd_chemistry;

/* "K", "SO4", ...: the name of a component in the data files. */
const char *bd_component_name(bd_component component);

/*
 * Reads the built-in files and checks every record: unknown keys, missing unit,
 * source or status, species made of nothing known, charges that do not add up.
 *
 *   out  *kept* by the caller, freed with bd_chemistry_free; set only on BD_OK
 *
 * Returns BD_OK, BD_SYNTAX/BD_RANGE/BD_UNKNOWN/BD_MISSING with `where` as
 * "species.json#/species/3/size", BD_MEMORY.
 */
bd_status bd_chemistry_load(bd_chemistry **out, bd_error *err) BD_MUST_CHECK;

/* Frees it and all it handed out; NULL is allowed. */
void bd_chemistry_free(bd_chemistry *chemistry);

/* Place of a species in chemistry->species by name ("HPO4-2", "CO(NH2)2"); BD_UNKNOWN otherwise. */
bd_status bd_chemistry_species(const bd_chemistry *chemistry, const char *name, size_t *out,
                               bd_error *err) BD_MUST_CHECK;

/* A mineral by name ("gypsum"), or NULL. */
const bd_mineral *bd_chemistry_mineral(const bd_chemistry *chemistry, const char *name);

/* A preset water by name; BD_UNKNOWN lists the names there are. */
bd_status bd_chemistry_water(const bd_chemistry *chemistry, const char *name, const bd_water **out,
                             bd_error *err) BD_MUST_CHECK;

/*
 * Reads one water of the user, in the form of waters.json (one record in the list) or that
 * record alone ("name" may then be left out,
 * "unit" mmol/L or mg/L of the ions as they are named or meq/L of their charges,
 * "source" and "status" may be left out).
 *
 *   name   of the file, for messages; kept by the pool of `chemistry`
 *   bytes  the file
 *   out    good until bd_chemistry_free; set only on BD_OK
 *
 * Ions whose charges differ by more than a tenth of their sum are refused: the
 * analysis lacks an ion (often bicarbonate).
 *
 * Returns BD_OK, BD_SYNTAX, BD_RANGE, BD_UNKNOWN, BD_CONFLICT, BD_MEMORY.
 */
bd_status bd_chemistry_read_water(bd_chemistry *chemistry, const char *name, const void *bytes,
                                  size_t size, const bd_water **out, bd_error *err) BD_MUST_CHECK;

#endif
