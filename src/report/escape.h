/*
 * escape.h - one function a format that makes any text a value of that format.
 *
 * May include: base/, words/utf8.h.
 */
#ifndef BD_REPORT_ESCAPE_H
#define BD_REPORT_ESCAPE_H

#include "base/text.h"

/*
 * Adds s as a JSON string (RFC 8259) with its quotes.  Quotes, backslashes and
 * control characters are escaped; bytes that are no UTF-8 become U+FFFD, since
 * JSON must be UTF-8; everything else stands as it is.
 */
void bd_escape_json(bd_text *out, const char *s);

/*
 * Adds s as a field of CSV (RFC 4180), in quotes where it holds a comma, quote
 * or line end.
 *
 * A field that begins with = + - @, a tab or a carriage return gets an
 * apostrophe in front, because spreadsheets run such a field as a formula and
 * the text may come from a file somebody sent.  The RFC knows no such mark: a
 * program that reads the table takes one leading apostrophe off.  Columns of
 * numbers are written without this function and stay numbers.
 */
void bd_escape_csv(bd_text *out, const char *s);

/*
 * Adds s as a TEXT value of iCalendar (RFC 5545, 3.3.11): backslash, semicolon and
 * comma get a backslash, a line end becomes \n; other control characters and bytes
 * that are no UTF-8 become '?'.  Lines are folded elsewhere.
 */
void bd_escape_ics(bd_text *out, const char *s);

#endif
