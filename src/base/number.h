/*
 * number.h - numbers read and printed the same in every locale.
 *
 * Lowest layer.  The decimal mark is a point, always.
 */
#ifndef BD_BASE_NUMBER_H
#define BD_BASE_NUMBER_H

#include <stddef.h>

#include "base/error.h"

enum { BD_NUMBER_SIZE = 64 };

/*
 * Reads a plain decimal number ("2", "0.5", "1.2e3") at the start of `s`.
 * Hexadecimal, "nan", "inf" and a leading blank are not numbers here.
 *
 *   s    text, need not end after the number
 *   end  set behind the number on BD_OK; may be NULL, then nothing may follow
 *   out  the number; written only on BD_OK
 *
 * Returns BD_OK, BD_SYNTAX when there is no number (a comma or an apostrophe between
 * digits is refused with a hint), BD_RANGE when it is over 1e300.
 */
bd_status bd_number_read(const char *s, const char **end, double *out, bd_error *err) BD_MUST_CHECK;

/* Writes x with `digits` significant digits ("%.*g") and a point; gives back `buffer`. */
char *bd_number_print(double x, int digits, char buffer[BD_NUMBER_SIZE]);

/*
 * Writes x as a person reads it: `digits` significant digits, but never fewer
 * than its whole part has, no exponent, trailing zeros dropped.
 * Example: (1234.4, 3) -> "1234"; (0.047312, 3) -> "0.0473"; (2.50, 3) -> "2.5".
 */
char *bd_number_print_plain(double x, int digits, char buffer[BD_NUMBER_SIZE]);

#endif
