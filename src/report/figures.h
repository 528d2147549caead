/*
 * figures.h - the amounts of a card as columns of the text report.
 *
 * May include: base/, card/, words/, report/page.h.
 *
 * Which section a figure belongs to follows from its id: all that end in
 * ".permitted" or ".most" are one, the others go by their first part.  An id of a kind not
 * known here lands in the last section, so that nothing is lost.
 */
#ifndef BD_REPORT_FIGURES_H
#define BD_REPORT_FIGURES_H

#include <stdbool.h>

#include "report/page.h"

typedef enum bd_section {
    BD_SECTION_PERMITTED,
    BD_SECTION_PRODUCT,
    BD_SECTION_FEED,
    BD_SECTION_MEASURE,
    BD_SECTION_CONVERTED,
    BD_SECTION_LABEL,
    BD_SECTION_SPRAYER,
    BD_SECTION_AIR,
    BD_SECTION_NUTRIENT,
    BD_SECTION_SPRAY,
    BD_SECTION_BAG,
    BD_SECTION_MIX,
    BD_SECTION_SOLUTION,
    BD_SECTION_SOIL,
    BD_SECTION_COST,
    BD_SECTION_OTHER,
    BD_SECTION_COUNT
} bd_section;

/* True when a card has a figure of that section. */
bool bd_page_has_section(const bd_card *card, bd_section s);

/* True when an id begins with `part` and ends there or goes on with a point. */
bool bd_id_has_part(const char *id, const char *part);

/*
 * Adds the figures of a section under its heading, or nothing when there are none.
 *
 *   heading  key of another heading, or NULL for the section's own
 *
 * An element and its oxide stand in one row: "K 2.5 g/L = K2O 3.01 g/L".
 */
void bd_page_section(bd_page *page, const bd_card *card, bd_section s, const char *heading);

/* Adds the figures alone, without a heading. */
void bd_page_section_rows(bd_page *page, const bd_card *card, bd_section s);

#endif
