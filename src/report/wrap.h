/*
 * wrap.h - text folded to the width of a page.
 *
 * May include: base/, words/utf8.h.
 *
 * Lines break at blanks only, and never between a number and what it counts
 * ("2.5 g/L"), for half an amount is a wrong amount.  A word longer than the
 * width stands alone on its line, whole.  One code point is one column.
 */
#ifndef BD_REPORT_WRAP_H
#define BD_REPORT_WRAP_H

#include "base/text.h"

enum { BD_PAGE_COLUMNS = 80 };

/*
 * The first line of `s` (which starts with no blank) that fits into `columns`.
 *
 *   next  set to where the following line starts, behind the blanks
 *
 * Returns its length in bytes, 0 only for an empty s.
 */
size_t bd_wrap_line(const char *s, size_t columns, size_t *next);

/*
 * Adds s to a page whose cursor stands at column `at`; further lines start at
 * column `indent`.  Ends the last line.
 */
void bd_wrap_add(bd_text *out, const char *s, size_t at, size_t indent);

/* Adds blanks from column `at` to column `to`; none when the cursor is past it already. */
void bd_wrap_pad(bd_text *out, size_t at, size_t to);

/* Columns of the longest piece of s that never breaks. */
size_t bd_wrap_longest(const char *s);

#endif
