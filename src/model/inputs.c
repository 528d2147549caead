#include "model/inputs.h"

#include "base/number.h"

enum { SHOWN_DIGITS = 6 };

static bool refuse(double x, const char *what, const char *unit, bd_error *err)
{
    char shown[BD_NUMBER_SIZE];

    (void)bd_fail(err, BD_RANGE, NULL, "'%s%s%s' will not do for the %s",
                  bd_number_print(x, SHOWN_DIGITS, shown), unit[0] == '\0' ? "" : " ", unit, what);
    return false;
}

bool bd_input_is_amount(double x, const char *what, const char *unit, bd_error *err)
{
    if (x >= BD_AMOUNT_LEAST && x <= BD_AMOUNT_MOST)
        return true;
    (void)refuse(x, what, unit, err);
    (void)bd_accepts(err, "a number above 0, at most 1e9 %s", unit);
    return false;
}

bool bd_input_is_amount_or_none(double x, const char *what, const char *unit, bd_error *err)
{
    if ((x >= 0.0 && x <= 0.0) || (x >= BD_AMOUNT_LEAST && x <= BD_AMOUNT_MOST))
        return true;
    (void)refuse(x, what, unit, err);
    (void)bd_accepts(err, "0, or a number above 0 and at most 1e9 %s", unit);
    return false;
}

bool bd_input_is_between(double x, double low, double high, const char *what, const char *unit,
                         bd_error *err)
{
    char from[BD_NUMBER_SIZE], to[BD_NUMBER_SIZE];

    if (x >= low && x <= high)
        return true;
    (void)refuse(x, what, unit, err);
    (void)bd_accepts(err, "%s to %s %s", bd_number_print(low, SHOWN_DIGITS, from),
                     bd_number_print(high, SHOWN_DIGITS, to), unit);
    return false;
}
