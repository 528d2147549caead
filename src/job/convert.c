/*
 * convert.c - any quantity in any unit of its dimension.
 */
#include "job/job.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { UNIT_SIZE = 64 };

static const char exact[] = "NIST SP 811 and UK Weights and Measures Act 1985; exact definitions";

/* How much one (or none) of a unit is in another; false when that has no meaning. */
static bool amount_in(const char *number, const char *from, const char *to, bd_measures measures,
                      double *out)
{
    char text[UNIT_SIZE + 8];
    bd_range value;

    (void)snprintf(text, sizeof text, "%s %s", number, from);
    if (bd_quantity_convert(text, to, measures, &value, NULL) != BD_OK)
        return false;
    *out = value.typical;
    return true;
}

/* The parts of "lb/1000ft2" and "kg/ha" one by one: 1 lb = 0.453592 kg. */
static void work_part(bd_card *card, const char *from, const char *to, bd_measures measures)
{
    double one = 0.0;

    if (strcmp(from, to) != 0 && amount_in("1", from, to, measures, &one))
        bd_card_work(card, W("work.factor"), BD_ARGS(bd_name(from), bd_exact(one, to)), exact);
}

static bool split(const char *unit, char above[UNIT_SIZE], char below[UNIT_SIZE])
{
    const char *slash = strchr(unit, '/');

    if (slash == NULL || strlen(unit) >= UNIT_SIZE)
        return false;
    (void)snprintf(above, UNIT_SIZE, "%.*s", (int)(slash - unit), unit);
    (void)snprintf(below, UNIT_SIZE, "%s", slash + 1 + strspn(slash + 1, "0123456789. "));
    return true;
}

static void work_parts(bd_card *card, const char *from, const char *to, bd_measures measures)
{
    char from_above[UNIT_SIZE], from_below[UNIT_SIZE], to_above[UNIT_SIZE], to_below[UNIT_SIZE];

    if (!split(from, from_above, from_below) || !split(to, to_above, to_below))
        return;
    work_part(card, from_above, to_above, measures);
    work_part(card, from_below, to_below, measures);
}

/* Every factor on the way, so that it can be redone on paper. */
static void work(bd_card *card, const char *quantity, const char *to, bd_measures measures,
                 double result)
{
    const char *from = quantity + strspn(quantity, "0123456789. ");
    double none = 0.0, one = 0.0, read;

    if (strlen(from) >= UNIT_SIZE || !amount_in("1", from, to, measures, &one))
        return;
    if (!amount_in("0", from, to, measures, &none))
        none = 0.0;
    read = (result - none) / (one - none);
    if (fabs(none) > 0.0) {
        bd_card_work(card, W("work.affine"),
                     BD_ARGS(bd_name(from), bd_exact(none, to), bd_exact(one - none, to),
                             bd_exact(read, ""), bd_exact(result, to)),
                     exact);
        return;
    }
    work_parts(card, from, to, measures);
    if (fabs(read - 1.0) <= 0.0)
        return;
    bd_card_work(card, W("work.factor"), BD_ARGS(bd_name(from), bd_exact(one, to)), exact);
    bd_card_work(card, W("work.factor_times"),
                 BD_ARGS(bd_exact(read, ""), bd_exact(one, to), bd_exact(result, to)), exact);
}

/* Per cent of a solution is weight in volume, and says so: of a material it is by weight. */
static bool is_weight_in_volume(const bd_request *request)
{
    const char *text = request->positionals[0];
    double g_per_l;

    return strcmp(request->positionals[1], "%") == 0 &&
           amount_in("1", text + strspn(text, "0123456789. "), "g/L", request->measures, &g_per_l);
}

bd_status bd_job_convert(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_error *err)
{
    bd_range value;
    bd_status status = bd_quantity_convert(request->positionals[0], request->positionals[1],
                                           request->measures, &value, err);

    (void)know;
    bd_error_at(err, request->positionals[0]);
    if (status != BD_OK)
        return status;
    bd_card_title(card, W("convert.title"),
                  BD_ARGS(bd_name(request->positionals[0]), bd_name(request->positionals[1])));
    bd_card_figure(card, "converted",
                   is_weight_in_volume(request) ? W("figure.converted_w_v") : W("figure.converted"),
                   BD_ARGS(bd_name(request->positionals[0])), value, request->positionals[1]);
    bd_card_work(card, W("work.converted"),
                 BD_ARGS(bd_name(request->positionals[0]),
                         value.high > value.low ? bd_amount_range(value, request->positionals[1])
                                                : bd_exact(value.typical, request->positionals[1])),
                 exact);
    work(card, request->positionals[0], request->positionals[1], request->measures, value.typical);
    return BD_OK;
}
