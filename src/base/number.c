#include "base/number.h"

#include <ctype.h>
#include <errno.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST_NUMBER = 48 };

/* strtod and printf use the mark of the locale the host program chose; ours is always a point. */
static char decimal_mark(void)
{
    return localeconv()->decimal_point[0];
}

static size_t span_digits(const char *s)
{
    size_t n = 0;

    while (isdigit((unsigned char)s[n]))
        n++;
    return n;
}

/* Length of "[+-]digits[.digits][e[+-]digits]" at s, 0 if there is none. */
static size_t span_number(const char *s)
{
    size_t n = (*s == '+' || *s == '-') ? 1 : 0;
    size_t whole = span_digits(s + n), part = 0;

    n += whole;
    if (s[n] == '.') {
        part = span_digits(s + n + 1);
        n += 1 + part;
    }
    if (whole + part == 0)
        return 0;
    if (s[n] == 'e' || s[n] == 'E') {
        size_t sign = (s[n + 1] == '+' || s[n + 1] == '-') ? 1 : 0;
        size_t exponent = span_digits(s + n + 1 + sign);

        if (exponent > 0)
            n += 1 + sign + exponent;
    }
    return n;
}

bd_status bd_number_read(const char *s, const char **end, double *out, bd_error *err)
{
    char copy[LONGEST_NUMBER + 1], *point;
    size_t n = span_number(s);
    double x;

    if (n == 0 || n > LONGEST_NUMBER) {
        (void)bd_fail(err, BD_SYNTAX, NULL, "'%.40s' is not a number", s);
        (void)bd_accepts(err, "digits with a decimal point, such as 2.5");
        return BD_SYNTAX;
    }
    if ((s[n] == ',' || s[n] == '\'') && isdigit((unsigned char)s[n + 1])) {
        (void)bd_fail(err, BD_SYNTAX, NULL, "'%.40s' has a '%c' inside a number", s, s[n]);
        (void)bd_accepts(err, "a decimal point and no thousands mark, such as 2.5 or 1500");
        return BD_SYNTAX;
    }
    if (end == NULL && s[n] != '\0')
        return bd_fail(err, BD_SYNTAX, NULL, "'%.40s' has something behind the number", s);
    memcpy(copy, s, n);
    copy[n] = '\0';
    point = strchr(copy, '.');
    if (point != NULL)
        *point = decimal_mark();
    errno = 0;
    x = strtod(copy, NULL);
    if (!(fabs(x) <= 1e300))
        return bd_fail(err, BD_RANGE, NULL, "'%.40s' is too large a number", s);
    *out = x;
    if (end != NULL)
        *end = s + n;
    return BD_OK;
}

char *bd_number_print(double x, int digits, char buffer[BD_NUMBER_SIZE])
{
    char *mark;

    (void)snprintf(buffer, BD_NUMBER_SIZE, "%.*g", digits, x);
    mark = strchr(buffer, decimal_mark());
    if (mark != NULL)
        *mark = '.';
    return buffer;
}

char *bd_number_print_plain(double x, int digits, char buffer[BD_NUMBER_SIZE])
{
    int whole, decimals;
    char *mark, *last;

    if (!(fabs(x) < 1e15 && fabs(x) >= 1e-9))
        return bd_number_print(x, digits, buffer);
    whole = (int)floor(log10(fabs(x))) + 1; /* digits before the point; 0 or less below 1 */
    decimals = digits - whole;
    if (decimals < 0)
        decimals = 0;
    (void)snprintf(buffer, BD_NUMBER_SIZE, "%.*f", decimals, x);
    mark = strchr(buffer, decimal_mark());
    if (mark == NULL)
        return buffer;
    *mark = '.';
    last = buffer + strlen(buffer) - 1;
    while (*last == '0')
        *last-- = '\0';
    if (*last == '.')
        *last = '\0';
    return buffer;
}
