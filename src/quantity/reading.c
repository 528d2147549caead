#include "quantity/reading.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/number.h"

static bd_status refuse(bd_error *err, bd_status status, const char *what, const char *text,
                        const char *accepts)
{
    (void)bd_fail(err, status, NULL, "'%.60s' %s", text, what);
    (void)bd_accepts(err, "%s", accepts);
    return status;
}

static bool starts_second_number(const char *s)
{
    return isdigit((unsigned char)s[0]) || s[0] == '.';
}

/* What commonly stands behind a number and is no unit. */
static bd_status check_rest(const char *rest, const char *text, bd_error *err)
{
    static const char en_dash[] = "\xE2\x80\x93";

    if (*rest == '\0')
        return bd_fail(err, BD_SYNTAX, NULL, "'%.60s' has no unit", bd_spelling_skip(text));
    if (*rest == ',')
        return refuse(err, BD_SYNTAX, "has a ',' behind a number", text,
                      "a decimal point, such as 2.5");
    if (*rest == '-' || strncmp(rest, en_dash, strlen(en_dash)) == 0)
        return refuse(err, BD_SYNTAX, "has a dash behind a number", text,
                      "two points in a range, such as 0.3..0.8 %");
    if (*rest == '/')
        return refuse(err, BD_SYNTAX,
                      isdigit((unsigned char)rest[1]) ? "has a fraction" : "counts nothing", text,
                      isdigit((unsigned char)rest[1])
                          ? "halves, thirds, quarters, eighths or a decimal number, such "
                            "as 1 1/2 or 0.5"
                          : "what is counted, such as 33000 plant/ha");
    if (starts_second_number(rest))
        return refuse(err, BD_SYNTAX, "has a second number", text,
                      "one number without blanks or thousands marks, such as 1500");
    return BD_OK;
}

static size_t count_digits(const char *s)
{
    size_t n = 0;

    while (isdigit((unsigned char)s[n]))
        n++;
    return n;
}

/* "1/2" and what else stands on spoons and cups: any other slash is a slip or counts something. */
static bool read_part(const char *s, const char **rest, double *out)
{
    static const struct {
        const char *text;
        double count;
    } parts[] = {{"2", 2}, {"3", 3}, {"4", 4}, {"8", 8}, {"16", 16}};
    size_t over = count_digits(s), under;

    if (over == 0 || over > 2 || s[over] != '/')
        return false;
    under = count_digits(s + over + 1);
    *rest = s + over + 1 + under;
    if (**rest == '.' || **rest == ',' || **rest == '/')
        return false;
    *out = 0.0;
    for (size_t i = 0; i < over; i++)
        *out = 10.0 * *out + (s[i] - '0');
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        if (strlen(parts[i].text) == under && strncmp(parts[i].text, s + over + 1, under) == 0) {
            *out /= parts[i].count;
            return *out > 0.0 && *out < 1.0;
        }
    return false;
}

/* "1 1/2": only behind a whole number. */
static void add_part(const char *s, const char **rest, double *out)
{
    const char *behind;
    double part;

    if (s + count_digits(s) != *rest || **rest != ' ' ||
        !read_part(bd_spelling_skip(*rest), &behind, &part))
        return;
    *out += part;
    *rest = behind;
}

static bd_status read_number(const char *text, const char **rest, double *out, bd_error *err)
{
    const char *s = bd_spelling_skip(text);
    bd_status status;

    if (read_part(s, rest, out))
        return BD_OK;
    status = bd_number_read(s, rest, out, err);
    if (status == BD_OK)
        add_part(s, rest, out);
    if (status == BD_OK && !(fabs(*out) <= BD_READING_LARGEST))
        return bd_fail(err, BD_RANGE, NULL, "'%.40s' is too large a number", s);
    return status;
}

/* The number before the two points: nothing else may stand there. */
static bd_status read_low_end(char *s, const char *text, double *out, bd_error *err)
{
    const char *rest;
    bd_status status = read_number(bd_spelling_trim(s), &rest, out, err);

    if (status != BD_OK)
        return status;
    if (*bd_spelling_skip(rest) != '\0')
        return refuse(err, BD_SYNTAX, "has something between the number and '..'", text,
                      "the unit once, at the end, such as 0.3..0.8 %");
    return BD_OK;
}

static bd_status read_ends(char *plain, const char *text, bd_reading *out, const char **rest,
                           bd_error *err)
{
    char *dots = strstr(plain, "..");
    bd_status status;

    if (dots == NULL) {
        status = read_number(plain, rest, &out->low, err);
        out->high = out->low;
        return status;
    }
    if (dots[2] == '.')
        return refuse(err, BD_SYNTAX, "has three points", text,
                      "two points in a range, such as 0.3..0.8 %");
    *dots = '\0';
    status = read_low_end(plain, text, &out->low, err);
    if (status != BD_OK)
        return status;
    return read_number(dots + 2, rest, &out->high, err);
}

bd_status bd_reading_split(const char *text, bd_reading *out, bd_error *err)
{
    char plain[BD_SPELLING_SIZE];
    const char *rest = NULL;
    bd_reading reading;
    bd_status status = bd_spelling_plain(text, plain, err);

    if (status != BD_OK)
        return status;
    status = read_ends(plain, text, &reading, &rest, err);
    if (status != BD_OK)
        return status;
    rest = bd_spelling_skip(rest);
    status = check_rest(rest, text, err);
    if (status != BD_OK)
        return status;
    if (!(reading.low <= reading.high))
        return refuse(err, BD_RANGE, "runs downwards", text, "the smaller number first");
    memcpy(reading.unit, rest, strlen(rest) + 1);
    *out = reading;
    return BD_OK;
}
