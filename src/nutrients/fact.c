#include "nutrients/reader.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"

enum { LONGEST_UNIT = 24, LONGEST_KEY = 48, DIGITS = 6 };

/* ---- sources and trust ---- */

static bd_trust as_trust(const bd_node *at)
{
    const char *words[BD_TRUST_MEMORY + 1];

    for (int i = 0; i <= BD_TRUST_MEMORY; i++)
        words[i] = bd_trust_words((bd_trust)i);
    return (bd_trust)bd_node_as_word(at, words, sizeof words / sizeof words[0]);
}

bd_trust bd_node_trust(bd_node *at, const char *key)
{
    bd_node text;

    return bd_node_need(at, key, &text) ? as_trust(&text) : BD_TRUST_PUBLISHED;
}

static bool is_source(const bd_load *load, const char *key, size_t length)
{
    for (size_t i = 0; i < load->source_count; i++)
        if (strncmp(load->sources[i].key, key, length) == 0 && load->sources[i].key[length] == '\0')
            return true;
    return false;
}

static void check_sources(const bd_node *at, const char *keys)
{
    while (*keys != '\0') {
        size_t length = strcspn(keys, ";");

        if (!is_source(at->load, keys, length)) {
            bd_node_refuse(at, NULL, BD_UNKNOWN, "keys of sources.json, several as 'A; B'",
                           "unknown source '%.*s'",
                           (int)(length < LONGEST_KEY ? length : LONGEST_KEY), keys);
            return;
        }
        keys += length;
        keys += strspn(keys, "; ");
    }
}

const char *bd_node_source(bd_node *at, const char *key, bool may_be_absent)
{
    bd_node text;
    const char *keys;

    if (!bd_node_get(at, key, &text)) {
        if (!may_be_absent)
            bd_node_refuse(at, NULL, BD_MISSING,
                           "a key of sources.json; common practice needs none", "'%s' is missing",
                           key);
        return "";
    }
    keys = bd_node_text(at, key);
    check_sources(&text, keys);
    return keys;
}

/* ---- facts ---- */

/* What the unit of a fact is measured against. */
typedef struct wanted_unit {
    bool has_kind;
    bd_kind kind;
    const char *spelling; /* when it has no kind */
} wanted_unit;

static double factor_of_kind(const bd_node *at, const char *unit, bd_kind kind)
{
    char text[LONGEST_UNIT + 3];
    bd_range one = bd_exactly(0.0);
    bd_error err = {0};

    if (kind == BD_KIND_SHARE && strcmp(unit, "1") == 0)
        return 1.0;
    if (kind == BD_KIND_TEMPERATURE && strcmp(unit, "degC") == 0)
        return 1.0;
    (void)snprintf(text, sizeof text, "1 %s", unit);
    if (strlen(unit) <= LONGEST_UNIT && kind != BD_KIND_TEMPERATURE &&
        bd_quantity_read(text, kind, BD_MEASURES_NONE, &one, &err) == BD_OK)
        return one.typical;
    bd_node_refuse(at, "unit", BD_DIMENSION, bd_kind_unit(kind), "'%.24s' is not a unit of %s here",
                   unit, bd_kind_words(kind));
    return 0.0;
}

static double unit_factor(bd_node *at, wanted_unit wanted)
{
    const char *unit = bd_node_text(at, "unit");

    if (!bd_node_ok(at))
        return 0.0;
    if (wanted.has_kind)
        return factor_of_kind(at, unit, wanted.kind);
    if (strcmp(unit, wanted.spelling) != 0)
        bd_node_refuse(at, "unit", BD_DIMENSION, wanted.spelling, "'%.24s' is not the unit of this",
                       unit);
    return 1.0;
}

static double number_or(bd_node *at, const char *key, double otherwise)
{
    return bd_node_has(at, key) ? bd_node_number(at, key) : otherwise;
}

static void refuse_order(const bd_node *at, bd_range r)
{
    char low[BD_NUMBER_SIZE], typical[BD_NUMBER_SIZE], high[BD_NUMBER_SIZE];

    bd_node_refuse(at, NULL, BD_RANGE, "low <= typical <= high",
                   "'%s', '%s', '%s' are not in order", bd_number_print(r.low, DIGITS, low),
                   bd_number_print(r.typical, DIGITS, typical),
                   bd_number_print(r.high, DIGITS, high));
}

static bool has_ends(bd_node *at)
{
    bool has_low = bd_node_has(at, "low"), has_high = bd_node_has(at, "high");

    return has_low || has_high;
}

static bd_range read_range(bd_node *at)
{
    bool is_single = bd_node_has(at, "value"), is_range = bd_node_has(at, "typical");
    double typical;
    bd_range r;

    if (is_single == is_range || (is_single && has_ends(at)))
        bd_node_refuse(at, NULL, is_single ? BD_CONFLICT : BD_MISSING,
                       "'value' alone, or 'typical' with 'low' and 'high'",
                       is_single ? "'value' stands beside low, typical or high"
                                 : "neither 'value' nor 'typical' is given");
    typical = bd_node_number(at, is_single ? "value" : "typical");
    r = bd_range_of(number_or(at, "low", typical), typical, number_or(at, "high", typical));
    if (!(r.low <= r.typical && r.typical <= r.high))
        refuse_order(at, r);
    return r;
}

static bd_trust trust_or(bd_node *at, const char *key, bd_trust otherwise)
{
    return bd_node_has(at, key) ? bd_node_trust(at, key) : otherwise;
}

static void read_trust(bd_node *at, bd_fact *fact)
{
    bd_node status;

    if (!bd_node_need(at, "status", &status))
        return;
    if (!json_is_object(status.json)) {
        fact->trust_low = fact->trust_typical = fact->trust_high = as_trust(&status);
        return;
    }
    fact->trust_typical = bd_node_trust(&status, "typical");
    fact->trust_low = trust_or(&status, "low", fact->trust_typical);
    fact->trust_high = trust_or(&status, "high", fact->trust_typical);
    bd_node_end(&status);
}

static bool is_practice(const bd_fact *fact)
{
    return fact->trust_low == BD_TRUST_PRACTICE && fact->trust_typical == BD_TRUST_PRACTICE &&
           fact->trust_high == BD_TRUST_PRACTICE;
}

static bool may_be_negative(wanted_unit wanted)
{
    return wanted.has_kind && wanted.kind == BD_KIND_TEMPERATURE;
}

static bd_fact as_fact(bd_node *at, wanted_unit wanted)
{
    bd_fact fact = {.source = "", .condition = ""};

    if (!bd_node_object(at))
        return fact;
    fact.value = read_range(at);
    fact.value = bd_range_scale(fact.value, unit_factor(at, wanted));
    read_trust(at, &fact);
    fact.source = bd_node_source(at, "source", is_practice(&fact));
    fact.condition = bd_node_text_or(at, "condition", "");
    (void)bd_node_text_or(at, "note", "");
    if (!may_be_negative(wanted))
        bd_node_check_from(at, NULL, fact.value.low, 0.0);
    bd_node_end(at);
    fact.is_known = bd_node_ok(at);
    return fact;
}

double bd_node_own_figure(bd_node *at, const char *key, bd_kind kind)
{
    static const char *const statuses[] = {"own weighing"};
    bd_node figure;
    double x;

    if (!bd_node_get(at, key, &figure) || !bd_node_object(&figure))
        return 0.0;
    x = bd_node_number(&figure, "value");
    x *= unit_factor(&figure, (wanted_unit){true, kind, ""});
    (void)bd_node_word(&figure, "status", statuses, 1, 0);
    (void)bd_node_text_or(&figure, "note", "");
    bd_node_end(&figure);
    if (bd_node_ok(&figure) && !(x > 0.0))
        bd_node_refuse(&figure, "value", BD_RANGE, "a number above zero", "not above zero");
    return bd_node_ok(&figure) ? x : 0.0;
}

bd_fact bd_node_as_fact(bd_node *at, bd_kind kind)
{
    return as_fact(at, (wanted_unit){true, kind, ""});
}

bd_fact bd_node_as_fact_in(bd_node *at, const char *unit)
{
    return as_fact(at, (wanted_unit){false, BD_KIND_COUNT, unit});
}

bd_fact bd_node_fact(bd_node *at, const char *key, bd_kind kind)
{
    bd_node fact;

    return bd_node_get(at, key, &fact) ? bd_node_as_fact(&fact, kind)
                                       : (bd_fact){.source = "", .condition = ""};
}

bd_fact bd_node_fact_in(bd_node *at, const char *key, const char *unit)
{
    bd_node fact;

    return bd_node_get(at, key, &fact) ? bd_node_as_fact_in(&fact, unit)
                                       : (bd_fact){.source = "", .condition = ""};
}
