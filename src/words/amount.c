#include "words/amount.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "base/number.h"
#include "words/utf8.h"

#define DEGREE "\xc2\xb0"

/* A row holds from `from` up to below `to`.  Other units of the card are shown as they are. */
static const struct {
    const char *unit;
    double from, to;
    bd_amount_view view;
} views[] = {
    {"g", 0.0, 0.01, {"mg", 1e3, NULL, 0}},        /* leading zeros are lost in copying      */
    {"g", 1000.0, HUGE_VAL, {"g", 1, "kg", 1e-3}}, /* scales show g, sacks and shops kg      */
    {"L", 0.0, 0.1, {"mL", 1e3, NULL, 0}},         /* less than a jug: a syringe, in mL      */
    {"mL", 1000.0, HUGE_VAL, {"mL", 1, "L", 1e-3}},
    {"g/L", 0.0, 0.01, {"mg/L", 1e3, NULL, 0}},    /* trace elements                         */
    {"mol/L", 0.0, 0.1, {"mmol/L", 1e3, NULL, 0}}, /* as water reports state it              */
    {"m", 0.0, 1.0, {"cm", 100, NULL, 0}},         /* bags are measured with a tape          */
    {"share", 0.0, HUGE_VAL, {"%", 100, NULL, 0}}, /* 0.12 of the need is easily read as 12  */
    {"degC", 0.0, HUGE_VAL, {DEGREE "C", 1, NULL, 0}},
    {"1", 0.0, HUGE_VAL, {"", 1, NULL, 0}},
    {"log10(IAP/K)", 0.0, HUGE_VAL, {"", 1, NULL, 0}}, /* a grower reads an index as a number */
    {"ratio", 0.0, HUGE_VAL, {"", 1, NULL, 0}},
};

bd_amount_view bd_amount_view_of(const char *unit, double largest)
{
    double size = fabs(largest);

    for (size_t i = 0; i < sizeof views / sizeof views[0]; i++) {
        bool is_all = views[i].from <= 0.0 && !(views[i].to < HUGE_VAL);

        if (strcmp(views[i].unit, unit) != 0)
            continue;
        if (is_all || (size > 0.0 && size >= views[i].from && size < views[i].to))
            return views[i].view;
    }
    return (bd_amount_view){unit, 1.0, NULL, 0.0};
}

double bd_amount_largest(bd_range value)
{
    return fabs(value.low) > fabs(value.high) ? value.low : value.high;
}

static char *print_number(double x, int digits, char buffer[BD_NUMBER_SIZE])
{
    return bd_number_print_plain(x + 0.0, digits, buffer); /* + 0.0 makes a zero of minus zero */
}

/* Both ends as they are shown; gives back whether they differ.  A low end that is next to nothing
 * beside the high one is shown as nothing: its digits say more than anybody knows. */
static bool print_ends(bd_range value, double factor, int digits, char low[BD_NUMBER_SIZE],
                       char high[BD_NUMBER_SIZE])
{
    const double next_to_nothing = 1e-3;
    bool is_nothing = value.low > 0.0 && value.low < next_to_nothing * value.high;

    print_number(is_nothing ? 0.0 : value.low * factor, digits, low);
    print_number(value.high * factor, digits, high);
    return !bd_range_is_exact(value) && strcmp(low, high) != 0;
}

static bool is_known(bd_range value)
{
    return isfinite(value.low) && isfinite(value.typical) && isfinite(value.high);
}

static void add_filled(bd_language language, const char *key, const char *first, const char *second,
                       bd_text *out)
{
    bd_line line = {.key = key, .args = {bd_name(first), bd_name(second)}, .arg_count = 2};

    bd_words_line(language, &line, out);
}

void bd_amount_add_number(bd_language language, bd_range value, bd_amount_view view, int digits,
                          bd_text *out)
{
    char low[BD_NUMBER_SIZE], high[BD_NUMBER_SIZE];

    if (!is_known(value))
        bd_words_key(language, W("amount.unknown"), out);
    else if (print_ends(value, view.factor, digits, low, high))
        add_filled(language, W("amount.range"), low, high, out);
    else
        bd_text_add(out, print_number(value.typical * view.factor, digits, low));
}

void bd_amount_add_extra(bd_language language, bd_range value, bd_amount_view view, bd_text *out)
{
    char low[BD_NUMBER_SIZE], high[BD_NUMBER_SIZE], typical[BD_NUMBER_SIZE];

    if (!is_known(value))
        return;
    if (print_ends(value, view.factor, BD_AMOUNT_DIGITS, low, high)) {
        print_number(value.typical * view.factor, BD_AMOUNT_DIGITS, typical);
        add_filled(language, W("amount.about"), typical, "", out);
    } else if (view.also != NULL) {
        print_number(value.typical * view.also_factor, BD_AMOUNT_DIGITS, typical);
        add_filled(language, W("amount.also"), typical, view.also, out);
    }
}

void bd_words_amount(bd_language language, bd_range value, const char *unit, bd_text *out)
{
    bd_amount_view view =
        bd_amount_view_of(unit == NULL ? "" : unit, is_known(value) ? bd_amount_largest(value) : 0);

    bd_amount_add_number(language, value, view, BD_AMOUNT_DIGITS, out);
    if (view.unit[0] != '\0' && is_known(value)) {
        bd_text_add(out, " ");
        bd_utf8_add_harmless(out, view.unit);
    }
    bd_amount_add_extra(language, value, view, out);
}

int bd_amount_digits_apart(double a, double b, bd_amount_view view)
{
    enum { MOST = 12 };
    const double rounding = 1e-9; /* relative: one number, computed in two ways */
    char first[BD_NUMBER_SIZE], second[BD_NUMBER_SIZE];

    if (fabs(a - b) <= rounding * fabs(b))
        return BD_AMOUNT_DIGITS;

    for (int digits = BD_AMOUNT_DIGITS; digits < MOST; digits++) {
        print_number(a * view.factor, digits, first);
        print_number(b * view.factor, digits, second);
        if (strcmp(first, second) != 0)
            return digits;
    }
    return BD_AMOUNT_DIGITS;
}

double bd_amount_cut(double x, bd_amount_view view)
{
    const double slack = 1e-6; /* of the last digit: 2.5 may be stored a hair below */
    double shown = x * view.factor, step;

    if (!(shown > 0.0 && shown < HUGE_VAL))
        return x;
    step = pow(10.0, floor(log10(shown)) + 1.0 - BD_AMOUNT_DIGITS);
    if (step > 1.0)
        step = 1.0;
    return floor(shown / step + slack) * step / view.factor;
}
