#include "quantity/dilution.h"

#include <stdbool.h>
#include <string.h>

#include "base/number.h"
#include "quantity/spelling.h"

static bd_status fail_form(const char *text, bd_error *err)
{
    (void)bd_fail(err, BD_SYNTAX, NULL, "'%.60s' does not say how much water", text);
    (void)bd_accepts(err, "'1 part + 10 parts water', '1 in 11', '1 L made up to 11 L' (all divide "
                          "by 11) or 'undiluted'");
    return BD_SYNTAX;
}

/* Splits s at the first separator; both sides trimmed. */
static bool split_at(char *s, const char *separator, char **left, char **right)
{
    char *at = strstr(s, separator);

    if (at == NULL)
        return false;
    *at = '\0';
    *left = bd_spelling_trim(s);
    *right = bd_spelling_trim(at + strlen(separator));
    return true;
}

/* Drops a word from the end of s, where it stands behind a blank. */
static bool drop_last_word(char *s, const char *word)
{
    size_t n = strlen(s), length = strlen(word);

    if (n <= length || s[n - length - 1] != ' ' || strcmp(s + n - length, word) != 0)
        return false;
    s[n - length] = '\0';
    (void)bd_spelling_trim(s);
    return true;
}

static bool drop_parts(char *s)
{
    return drop_last_word(s, "parts") || drop_last_word(s, "part");
}

static bd_status read_plain_number(const char *s, double *out, bd_error *err)
{
    return bd_number_read(s, NULL, out, err);
}

static bd_status read_volume(const char *s, bd_measures measures, double *out, bd_error *err)
{
    bd_range volume_l;
    bd_status status = bd_quantity_read(s, BD_KIND_VOLUME, measures, &volume_l, err);

    if (status != BD_OK)
        return status;
    if (!bd_range_is_exact(volume_l))
        return bd_fail(err, BD_SYNTAX, NULL, "'%.40s' is a range; a dilution is one number", s);
    *out = volume_l.typical;
    return BD_OK;
}

static bd_status divide(const char *text, double end, double beginning, double *out, bd_error *err)
{
    const double most = 1e5;

    if (!(beginning > 0.0 && end >= beginning && end / beginning <= most)) {
        (void)bd_fail(err, BD_RANGE, NULL, "'%.60s' is no dilution", text);
        (void)bd_accepts(err,
                         "something above zero, made up to no less than itself and no more "
                         "than %g times it",
                         most);
        return BD_RANGE;
    }
    *out = end / beginning;
    return BD_OK;
}

static bd_status read_made_up(const char *text, const char *left, const char *right,
                              bd_measures measures, double *out, bd_error *err)
{
    double beginning_l = 0.0, end_l = 0.0;
    bd_status status = read_volume(left, measures, &beginning_l, err);

    if (status == BD_OK)
        status = read_volume(right, measures, &end_l, err);
    return status == BD_OK ? divide(text, end_l, beginning_l, out, err) : status;
}

static bd_status read_added(const char *text, char *left, char *right, bd_measures measures,
                            double *out, bd_error *err)
{
    double feed = 0.0, water = 0.0;
    bool has_parts;
    bd_status status;

    if (!drop_last_word(right, "water"))
        return fail_form(text, err);
    has_parts = drop_parts(left);
    if (drop_parts(right) != has_parts)
        return fail_form(text, err);
    status =
        has_parts ? read_plain_number(left, &feed, err) : read_volume(left, measures, &feed, err);
    if (status == BD_OK)
        status = has_parts ? read_plain_number(right, &water, err)
                           : read_volume(right, measures, &water, err);
    return status == BD_OK ? divide(text, feed + water, feed, out, err) : status;
}

static bd_status read_one_in(const char *text, char *left, char *right, double *out, bd_error *err)
{
    double feed, whole;
    bd_status status;

    (void)drop_parts(left);
    if (drop_last_word(right, "water"))
        return fail_form(text, err);
    status = read_plain_number(left, &feed, err);
    if (status == BD_OK)
        status = read_plain_number(right, &whole, err);
    return status == BD_OK ? divide(text, whole, feed, out, err) : status;
}

/* "1:10" or "1/10", and both things people mean by it. */
static bd_status fail_ratio(const char *text, char *left, char *right, bd_error *err)
{
    enum { SHOWN_DIGITS = 6 };
    char whole[BD_NUMBER_SIZE], sum[BD_NUMBER_SIZE];
    double feed, water, factor;

    if (bd_number_read(left, NULL, &feed, NULL) != BD_OK ||
        bd_number_read(right, NULL, &water, NULL) != BD_OK ||
        divide(text, feed + water, feed, &factor, NULL) != BD_OK || !(water >= feed))
        return fail_form(text, err);
    (void)bd_number_print_plain(water / feed, SHOWN_DIGITS, whole);
    (void)bd_number_print_plain(factor, SHOWN_DIGITS, sum);
    (void)bd_fail(err, BD_AMBIGUOUS, NULL, "'%.40s' may divide the strength by %s or by %s", text,
                  whole, sum);
    (void)bd_accepts(err,
                     "'%s in %s' (divides by %s) or '%s part%s + %s parts water' (divides by %s)",
                     left, right, whole, left, strcmp(left, "1") == 0 ? "" : "s", right, sum);
    return BD_AMBIGUOUS;
}

static bool is_undiluted(const char *s)
{
    return strcmp(s, "undiluted") == 0 || strcmp(s, "none") == 0;
}

bd_status bd_dilution_read(const char *text, bd_measures measures, double *out, bd_error *err)
{
    char plain[BD_SPELLING_SIZE], *left, *right;

    if (bd_spelling_plain(text, plain, NULL) != BD_OK)
        return fail_form(text, err);
    if (is_undiluted(plain)) {
        *out = 1.0;
        return BD_OK;
    }
    if (split_at(plain, " made up to ", &left, &right))
        return read_made_up(text, left, right, measures, out, err);
    if (split_at(plain, "+", &left, &right) || split_at(plain, " to ", &left, &right))
        return read_added(text, left, right, measures, out, err);
    if (split_at(plain, " in ", &left, &right))
        return read_one_in(text, left, right, out, err);
    if (split_at(plain, ":", &left, &right) || split_at(plain, "/", &left, &right))
        return fail_ratio(text, left, right, err);
    return fail_form(text, err);
}
