/*
 * names.h - the names of materials and crops as people type them.  Private to
 * nutrients/.
 *
 * May include: base/, quantity/.
 */
#ifndef BD_NUTRIENTS_NAMES_H
#define BD_NUTRIENTS_NAMES_H

#include <stdbool.h>
#include <stddef.h>

enum { BD_NAME_SIZE = 64, BD_NEAREST_SHOWN = 4 };

/*
 * Copies a typed name in the spelling of the data: small letters, hyphens for
 * blanks and underscores, "sulf" for "sulph".  Longer names are cut off, which
 * no known name is.
 * Example: "Potassium Sulphate" -> "potassium-sulfate"
 */
void bd_name_plain(const char *typed, char plain[BD_NAME_SIZE]);

/* True when `plain` is the name or one of the synonyms (NULL at their end). */
bool bd_name_is(const char *plain, const char *name, const char *const *synonyms);

/* The known names that are most like a misspelt one, nearest first. */
typedef struct bd_nearest {
    const char *plain;
    const char *names[BD_NEAREST_SHOWN];
    size_t distances[BD_NEAREST_SHOWN];
    size_t count;
} bd_nearest;

/* Takes the name in if it, or a synonym of it, is near enough. */
void bd_nearest_offer(bd_nearest *nearest, const char *name, const char *const *synonyms);

/* "carrot, parrot", cut to size; "" when nothing is near. */
void bd_nearest_show(const bd_nearest *nearest, char *buffer, size_t size);

#endif
