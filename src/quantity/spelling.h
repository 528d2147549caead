/*
 * spelling.h - one plain spelling for what people type.
 *
 * May include: base/.
 */
#ifndef BD_QUANTITY_SPELLING_H
#define BD_QUANTITY_SPELLING_H

#include "base/error.h"

enum { BD_SPELLING_SIZE = 128 };

/*
 * Copies text in ASCII spelling: micro sign -> u, degree sign -> deg, raised 2
 * and 3 behind a letter -> 2 and 3, multiplication sign -> x, minus sign -> -,
 * tabs and no-break spaces -> blanks, the word "per" -> /; blanks at both ends are dropped.  Other
 * bytes stay, for the reader to refuse.
 *
 * Returns BD_OK, or BD_SYNTAX when nothing is left or it is too long to be a
 * quantity.
 */
bd_status bd_spelling_plain(const char *text, char plain[BD_SPELLING_SIZE],
                            bd_error *err) BD_MUST_CHECK;

/* Skips blanks. */
const char *bd_spelling_skip(const char *s);

/* Drops the blanks at the end of s, and gives back s without those at its start. */
char *bd_spelling_trim(char *s);

#endif
