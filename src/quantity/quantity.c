#include "quantity/quantity.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "quantity/reading.h"
#include "quantity/unit.h"

static const struct {
    const char *words, *unit, *example;
} kinds[BD_KIND_COUNT] = {
#define BD_KIND(name, words, unit, example) {words, unit, example},
#include "quantity/kind.def"
#undef BD_KIND
};

static const struct {
    const char *name;
    bd_measures measures;
} measures_names[] = {
    {"metric", BD_MEASURES_METRIC},
    {"us", BD_MEASURES_US},
    {"imperial", BD_MEASURES_IMPERIAL},
    {"australian", BD_MEASURES_AUSTRALIAN},
};

const char *bd_kind_unit(bd_kind kind)
{
    return kinds[kind].unit;
}

const char *bd_kind_words(bd_kind kind)
{
    return kinds[kind].words;
}

const char *bd_kind_example(bd_kind kind)
{
    return kinds[kind].example;
}

bd_status bd_measures_read(const char *text, bd_measures *out, bd_error *err)
{
    for (size_t i = 0; i < sizeof measures_names / sizeof measures_names[0]; i++) {
        if (strcmp(text, measures_names[i].name) == 0) {
            *out = measures_names[i].measures;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.40s' names no measures", text);
    (void)bd_accepts(err, "metric, us, imperial or australian");
    return BD_UNKNOWN;
}

/* ---- a kind and its unit -------------------------------------------------- */

static bd_status read_canonical(bd_kind kind, bd_unit *out, bd_error *err)
{
    static const bd_unit share = {
        .relative = BD_RELATIVE_PERCENT, .numerator = 1, .denominator = 1};

    if (kind == BD_KIND_SHARE || kind == BD_KIND_HUMIDITY) {
        *out = share;
        return BD_OK;
    }
    return bd_unit_read(kinds[kind].unit, BD_MEASURES_NONE, BD_OUNCE_MASS, out, err);
}

static bd_ounce ounce_beside(const bd_unit *unit)
{
    return unit->of == BD_DIM_VOLUME ? BD_OUNCE_VOLUME : BD_OUNCE_MASS;
}

/* A share of a solution is not a density, though both are g/L. */
static void settle_for(bd_kind kind, bd_unit *unit, const bd_unit *canonical)
{
    if (kind != BD_KIND_DENSITY)
        bd_unit_settle(unit, canonical);
}

enum { WORDS_SIZE = 80 };

/* "a mass per area", in the words of kind.def where it has any for it. */
static const char *unit_words(const bd_unit *unit, char buffer[WORDS_SIZE])
{
    bd_unit canonical;

    if (unit->relative != BD_RELATIVE_NOT)
        return unit->relative == BD_RELATIVE_PERCENT ? "a share" : "a number of parts per million";
    for (int i = 0; i < BD_KIND_COUNT; i++)
        if (read_canonical((bd_kind)i, &canonical, NULL) == BD_OK && unit->of != unit->per &&
            bd_unit_is_alike(unit, &canonical))
            return kinds[i].words;
    if (unit->per == BD_DIM_NONE)
        return bd_dimension_words(unit->of);
    (void)snprintf(buffer, WORDS_SIZE, "%s per %s", bd_dimension_words(unit->of),
                   bd_dimension_noun(unit->per));
    return buffer;
}

static bd_status fail_dimension(const char *text, const bd_unit *unit, bd_kind wanted,
                                bd_error *err)
{
    char buffer[WORDS_SIZE];

    (void)bd_fail(err, BD_DIMENSION, NULL, "'%.60s' is %s, not %s", text, unit_words(unit, buffer),
                  kinds[wanted].words);
    (void)bd_accepts(err, "%s, such as '%s'", kinds[wanted].words, kinds[wanted].example);
    return BD_DIMENSION;
}

/* ---- reading -------------------------------------------------------------- */

/* -0 becomes 0 by the addition. */
static bd_range range_in(const bd_reading *reading, const bd_unit *unit, const bd_unit *to)
{
    double low = bd_unit_convert(reading->low, unit, to) + 0.0;
    double high = bd_unit_convert(reading->high, unit, to) + 0.0;

    return bd_range_of(low, low < high ? low + (high - low) / 2 : low, high);
}

static bd_status check_sign(const char *text, const bd_reading *reading, const bd_unit *unit,
                            bd_error *err)
{
    static const bd_unit celsius = {.of = BD_DIM_TEMPERATURE, .numerator = 1, .denominator = 1};
    const double absolute_zero_c = -273.15, rounding_c = 1e-9;

    if (unit->of == BD_DIM_TEMPERATURE) {
        if (bd_unit_convert(reading->low, unit, &celsius) >= absolute_zero_c - rounding_c)
            return BD_OK;
        return bd_fail(err, BD_RANGE, NULL, "'%.60s' is below absolute zero", text);
    }
    if (reading->low >= 0.0)
        return BD_OK;
    (void)bd_fail(err, BD_RANGE, NULL, "'%.60s' is negative", text);
    (void)bd_accepts(err, "zero or more");
    return BD_RANGE;
}

static bd_status check_size(const char *text, bd_range value, bd_error *err)
{
    if (fabs(value.low) <= BD_READING_LARGEST && fabs(value.high) <= BD_READING_LARGEST)
        return BD_OK;
    return bd_fail(err, BD_RANGE, NULL, "'%.60s' is too large", text);
}

/* Nothing is more than all of itself, and no air holds more than all it can. */
static bd_status check_share(const char *text, bd_kind kind, bd_range value, bd_error *err)
{
    if ((kind != BD_KIND_MASS_FRACTION && kind != BD_KIND_HUMIDITY) || value.high <= 1.0)
        return BD_OK;
    (void)bd_fail(err, BD_RANGE, NULL, "'%.60s' is more than the whole", text);
    (void)bd_accepts(err, "0 to 100 %%");
    return BD_RANGE;
}

static bd_status read_as(const char *text, bd_kind kind, bd_measures measures, bd_range *out,
                         bd_error *err)
{
    bd_reading reading;
    bd_unit unit, canonical;
    bd_range value;
    bd_status status = read_canonical(kind, &canonical, err);

    if (status == BD_OK)
        status = bd_reading_split(text, &reading, err);
    if (status == BD_OK)
        status = bd_unit_read(
            reading.unit, measures,
            kind == BD_KIND_STRENGTH ? BD_OUNCE_UNSETTLED : ounce_beside(&canonical), &unit, err);
    if (status != BD_OK)
        return status;
    settle_for(kind, &unit, &canonical);
    if (!bd_unit_is_alike(&unit, &canonical))
        return fail_dimension(text, &unit, kind, err);
    value = range_in(&reading, &unit, &canonical);
    status = check_sign(text, &reading, &unit, err);
    if (status == BD_OK)
        status = check_size(text, value, err);
    if (status == BD_OK)
        status = check_share(text, kind, value, err);
    if (status == BD_OK)
        *out = value;
    return status;
}

/* A failure that says nothing of what would do is completed with an example. */
static void add_example(bd_error *err, bd_kind kind)
{
    if (err != NULL && err->status != BD_OK)
        (void)bd_accepts(err, "%s, such as '%s'", kinds[kind].words, kinds[kind].example);
}

bd_status bd_quantity_read(const char *text, bd_kind kind, bd_measures measures, bd_range *out,
                           bd_error *err)
{
    bd_status status = read_as(text, kind, measures, out, err);

    if (status != BD_OK)
        add_example(err, kind);
    return status;
}

bd_status bd_quantity_read_positive(const char *text, bd_kind kind, bd_measures measures,
                                    bd_range *out, bd_error *err)
{
    bd_range value;
    bd_status status = bd_quantity_read(text, kind, measures, &value, err);

    if (status != BD_OK)
        return status;
    if (!(value.low > 0.0)) {
        status = bd_fail(err, BD_RANGE, NULL, "'%.60s' is not above zero", text);
        add_example(err, kind);
        return status;
    }
    *out = value;
    return BD_OK;
}

/* ---- converting ----------------------------------------------------------- */

/* Reads both units; each may settle what an ounce, '%' or 'ppm' of the other means. */
static bd_status read_two_units(const char *from_text, const char *to_text, bd_measures measures,
                                bd_unit *from, bd_unit *to, bd_error *err)
{
    bd_ounce ounce = BD_OUNCE_UNSETTLED;
    bd_status status;

    if (bd_unit_read(to_text, measures, BD_OUNCE_UNSETTLED, to, NULL) == BD_OK)
        ounce = ounce_beside(to);
    status = bd_unit_read(from_text, measures, ounce, from, err);
    if (status == BD_OK)
        status = bd_unit_read(to_text, measures, ounce_beside(from), to, err);
    if (status != BD_OK)
        return status;
    bd_unit_settle(from, to);
    bd_unit_settle(to, from);
    return BD_OK;
}

static bd_status check_two_units(const char *text, const bd_unit *from, const char *unit,
                                 const bd_unit *to, bd_error *err)
{
    char from_words[WORDS_SIZE], to_words[WORDS_SIZE];

    if (from->relative != BD_RELATIVE_NOT && to->relative != BD_RELATIVE_NOT) {
        (void)bd_fail(err, BD_AMBIGUOUS, NULL, "'%.40s' in '%.40s' does not say: a share of what",
                      text, unit);
        (void)bd_accepts(err, "g/L for a solution, g/kg for a material");
        return BD_AMBIGUOUS;
    }
    if (bd_unit_is_alike(from, to) || bd_unit_is_same_depth(from, to))
        return BD_OK;
    (void)bd_fail(err, BD_DIMENSION, NULL, "'%.40s' is %s, '%.40s' is of %s", text,
                  unit_words(from, from_words), unit, unit_words(to, to_words));
    (void)bd_accepts(err, "two units of the same dimension, such as 30 lb/100USgal and g/L");
    return BD_DIMENSION;
}

bd_status bd_quantity_convert(const char *text, const char *unit, bd_measures measures,
                              bd_range *out, bd_error *err)
{
    char plain[BD_SPELLING_SIZE];
    bd_reading reading;
    bd_unit from, to;
    bd_range value;
    bd_status status = bd_reading_split(text, &reading, err);

    if (status == BD_OK)
        status = bd_spelling_plain(unit, plain, err);
    if (status == BD_OK)
        status = read_two_units(reading.unit, plain, measures, &from, &to, err);
    if (status == BD_OK)
        status = check_two_units(text, &from, unit, &to, err);
    if (status == BD_OK)
        status = check_sign(text, &reading, &from, err);
    if (status != BD_OK)
        return status;
    value = range_in(&reading, &from, &to);
    status = check_size(text, value, err);
    if (status == BD_OK)
        *out = value;
    return status;
}
