/*
 * nearest.h - "did you mean": how far a misspelt name is from a known one.
 *
 * Includes nothing of the project.
 */
#ifndef BD_QUANTITY_NEAREST_H
#define BD_QUANTITY_NEAREST_H

#include <stddef.h>

enum { BD_NEAREST_FAR = 1000 };

/*
 * Letters to insert, drop or change to get from one name to the other, letter
 * case aside (Levenshtein's distance); BD_NEAREST_FAR if either is longer than
 * 32 bytes.  Neither need end in a zero byte.
 * Example: ("litr", 4, "Litre", 5) -> 1
 */
size_t bd_nearest_distance(const char *a, size_t a_length, const char *b, size_t b_length);

#endif
