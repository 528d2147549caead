/*
 * cautions.h - which cautions stand on a dosing card.
 *
 * May include: base/, quantity/, nutrients/, model/, card/.
 *
 * Printed by default and never switched off.  The list is
 * nutrients/cautions.json.
 */
#ifndef BD_GUARD_CAUTIONS_H
#define BD_GUARD_CAUTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "card/card.h"
#include "nutrients/catalogue.h"
#include "nutrients/cite.h"

/* What the dose is and where it goes. */
typedef struct bd_handling {
    const bd_material
        *materials[9]; /* NULL for an own label without a known salt; a titrant last */
    size_t material_count;
    bool is_foliar, is_soil, is_dissolved, is_homemade;
    bool is_seedling;
    const bd_crop *crop; /* NULL when not said */
} bd_handling;

/* Adds the GHS codes of each material and every caution whose trigger is met. */
void bd_cautions_add(bd_card *card, const bd_catalogue *catalogue, const bd_handling *handling);

/* Whence the rule of a sentence is known, as cards show it; "" for a sentence without a record. */
char *bd_rule_source(const bd_catalogue *catalogue, const char *sentence,
                     char buffer[BD_CITE_SIZE]);

/* True when the crop belongs to a group ("leafy"). */
bool bd_crop_is_in(const bd_crop *crop, const char *group);

#endif
