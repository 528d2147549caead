/*
 * chemistry_read.h - what the readers of species.json, minerals.json and waters.json
 * share.  Private to nutrients/chemistry*.
 *
 * May include: base/, quantity/.
 */
#ifndef BD_NUTRIENTS_CHEMISTRY_READ_H
#define BD_NUTRIENTS_CHEMISTRY_READ_H

#include <stddef.h>

#include "nutrients/chemistry.h"
#include "nutrients/reader.h"

/* What a record is read into, and the chemistry it belongs to. */
typedef struct bd_chemistry_reading {
    bd_chemistry *chemistry;
    void *record;
} bd_chemistry_reading;

/* {"value": 2.3, "unit": "log10", "source": "KEY", "status": "published"}, of either sign. */
typedef struct bd_chemistry_figure {
    double value;
    const char *source;
    bd_trust trust;
} bd_chemistry_figure;

/* An optional figure in this very unit; 0 when it is absent. */
bd_chemistry_figure bd_chemistry_read_figure(bd_node *at, const char *key, const char *unit);

/* "log_k", required, with "enthalpy" or "analytic". */
bd_log_k bd_chemistry_read_log_k(bd_node *at);

/* "made_of": {"Ca": 1, "SO4": 1} into at most `room` parts; gives back how many. */
size_t bd_chemistry_read_parts(bd_node *at, bd_species_part *parts, size_t room);

/* Place of a species by name; species_count, and for the second a failure, when there is none. */
size_t bd_chemistry_find_species(const bd_chemistry *chemistry, const char *name);
size_t bd_chemistry_need_species(const bd_node *at, const bd_chemistry *chemistry,
                                 const char *name);

/* Charge of what is made of these parts and so many protons. */
int bd_chemistry_charge_of_parts(const bd_chemistry *chemistry, const bd_species_part *parts,
                                 size_t count, double protons);

/*
 * The records of a list, each read into zeroed memory of the pool by way of a
 * bd_chemistry_reading; NULL when the list is empty or failed.
 */
void *bd_chemistry_read_list(bd_node *root, const char *key, bd_chemistry *chemistry, size_t size,
                             void (*read)(bd_node *at, void *reading), size_t *count);

/* A record of waters.json, for bd_node_record, into a bd_water. */
void bd_chemistry_read_water_record(bd_node *at, void *reading);

/* A user's water that is the whole file, without a list around it; NULL when it failed. */
bd_water *bd_chemistry_read_lone_water(bd_node *root, bd_chemistry *chemistry, size_t *count);

/* The three files into a bd_chemistry; each is a bd_bundle_reader. */
void bd_chemistry_read_species_file(bd_node *root, void *chemistry);
void bd_chemistry_read_minerals_file(bd_node *root, void *chemistry);
void bd_chemistry_read_waters_file(bd_node *root, void *chemistry);

#endif
