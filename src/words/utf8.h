/*
 * utf8.h - text of unknown origin, made safe to show and measured in columns.
 *
 * May include: base/.  For words/, record/ and report/ only.
 */
#ifndef BD_WORDS_UTF8_H
#define BD_WORDS_UTF8_H

#include <stddef.h>

#include "base/text.h"

/*
 * The code point at the start of `s`, which is not empty.
 *
 *   point  set to the code point, or to -1 for a byte that is no valid UTF-8
 *          (overlong, half of a pair, beyond U+10FFFF, cut short)
 *
 * Returns how many bytes it takes, 1 to 4; 1 for an invalid byte.
 */
size_t bd_utf8_next(const char *s, long *point);

/* Columns of the first n bytes of s on a page, one a code point or invalid byte. */
size_t bd_utf8_columns(const char *s, size_t n);

/*
 * Adds s with '?' for what could move a cursor or turn the reading direction:
 * C0 and C1 control characters, DEL, line separators, bidirectional marks and
 * bytes that are no UTF-8.  All else passes.
 */
void bd_utf8_add_harmless(bd_text *out, const char *s);

#endif
