#include "nutrients/crops.h"

#include <stdio.h>
#include <string.h>

/* Beyond these a figure is a slip of its unit, not a crop. */
static const double highest_rate_g_per_m2 = 200.0;
static const double highest_removal_kg_per_t = 100.0;
static const double highest_threshold_ds_per_m = 20.0;
static const double highest_length_m = 5.0;
static const double highest_plants_per_m2 = 1000.0;
static const double highest_days = 1000.0;
static const double highest_kc = 2.0;
static const double highest_yield_kg_per_m2 = 60.0;

enum { FORMS = 3, UNIT_SIZE = 16 };
static const char *const form_keys[FORMS] = {"N", "P2O5", "K2O"};
static const char *const kc_keys[] = {"initial", "mid", "end"};
static const char *const stage_keys[] = {"initial", "development", "mid", "late"};

/* ---- figures written short: 50, [50, 150] or [50, 80, 150] ---- */

/* What the short figures of a record have in common. */
typedef struct common {
    double factor; /* from the unit of the file */
    double highest;
    const char *source, *condition;
    bd_trust trust;
} common;

static bd_range as_range(const bd_node *at)
{
    size_t n = bd_node_count(at);
    double x[3] = {0.0, 0.0, 0.0};

    if (n == 0)
        return bd_exactly(bd_node_as_number(at));
    if (n > 3)
        (void)bd_node_fail(at, NULL, BD_SYNTAX, "%zu numbers; [low, high] or [low, typical, high]",
                           n);
    for (size_t i = 0; i < n && i < 3; i++) {
        bd_node item = bd_node_item(at, i);

        x[i] = bd_node_as_number(&item);
    }
    if (n == 1)
        return bd_exactly(x[0]);
    return n == 2 ? bd_range_of(x[0], (x[0] + x[1]) / 2.0, x[1]) : bd_range_of(x[0], x[1], x[2]);
}

static void check_range(const bd_node *at, bd_range r, double highest)
{
    if (!(r.low >= 0.0 && r.low <= r.typical && r.typical <= r.high))
        (void)bd_node_fail(at, NULL, BD_RANGE, "numbers not in order, or below zero");
    else if (!(r.high <= highest))
        (void)bd_node_fail(at, NULL, BD_RANGE, "%g is beyond %g, the highest believed", r.high,
                           highest);
}

static bd_fact as_figure(const bd_node *at, common of)
{
    bd_fact fact = {.source = of.source,
                    .condition = of.condition,
                    .trust_low = of.trust,
                    .trust_typical = of.trust,
                    .trust_high = of.trust};

    fact.value = bd_range_scale(as_range(at), of.factor);
    check_range(at, fact.value, of.highest);
    /* The middle of a published range is no longer what was published. */
    if (bd_node_count(at) == 2 && of.trust == BD_TRUST_PUBLISHED)
        fact.trust_typical = BD_TRUST_WORKED_OUT;
    fact.is_known = bd_node_ok(at);
    return fact;
}

/* Figures under the given keys, each optional, but not all of them. */
static void read_figures(bd_node *at, const char *const keys[], size_t count, common of,
                         bd_fact *out)
{
    size_t known = 0;

    for (size_t i = 0; i < count; i++) {
        bd_node figure;

        out[i] = (bd_fact){.source = "", .condition = ""};
        if (!bd_node_get(at, keys[i], &figure))
            continue;
        out[i] = as_figure(&figure, of);
        known++;
    }
    if (known == 0)
        (void)bd_node_fail(at, NULL, BD_MISSING, "no figure under '%s', '%s' or the like", keys[0],
                           keys[1]);
}

/* Source, status and condition of a record; the unit must be spelt so. */
static common read_common(bd_node *at, const char *unit, double highest)
{
    common of = {.factor = 1.0, .highest = highest};

    (void)bd_node_word(at, "unit", &unit, 1, -1);
    of.trust = bd_node_trust(at, "status");
    of.source = bd_node_source(at, "source", of.trust == BD_TRUST_PRACTICE);
    of.condition = bd_node_text_or(at, "condition", "");
    return of;
}

/* ---- the lists of a crop ---- */

static void read_tolerance(bd_node *at, void *record)
{
    static const char *const ratings[] = {"S", "MS", "MT", "T", "S*", "MS*", "MT*", "T*"};
    bd_tolerance *t = record;

    t->rating =
        ratings[bd_node_word(at, "rating", ratings, sizeof ratings / sizeof ratings[0], -1)];
    t->trust = bd_node_trust(at, "status");
    t->source = bd_node_source(at, "source", false);
    t->has_threshold = bd_node_has(at, "threshold_ds_per_m");
    if (!t->has_threshold)
        return;
    t->threshold_ds_per_m = bd_node_number(at, "threshold_ds_per_m");
    t->slope_per_ds_per_m = bd_node_number(at, "slope_percent_per_ds_per_m") / 100.0;
    if (!(t->threshold_ds_per_m > 0.0 && t->threshold_ds_per_m <= highest_threshold_ds_per_m))
        (void)bd_node_fail(at, "threshold_ds_per_m", BD_RANGE, "not above 0 and up to %g dS/m",
                           highest_threshold_ds_per_m);
    if (!(t->slope_per_ds_per_m > 0.0 && t->slope_per_ds_per_m <= 1.0))
        (void)bd_node_fail(at, "slope_percent_per_ds_per_m", BD_RANGE, "not above 0 and up to 100");
}

/* g/m2 in one unit of the guide. */
static double read_area_factor(bd_node *at)
{
    static const char *const units[] = {"g/m2", "kg/ha", "lb/acre"};
    int unit = bd_node_word(at, "unit", units, sizeof units / sizeof units[0], -1);
    bd_range one = bd_exactly(0.0);
    char text[UNIT_SIZE];
    bd_error err = {0};

    (void)snprintf(text, sizeof text, "1 %s", units[unit]);
    if (bd_quantity_read(text, BD_KIND_MASS_PER_AREA, BD_MEASURES_NONE, &one, &err) != BD_OK)
        (void)bd_node_fail(at, "unit", err.status, "%s", err.text);
    return one.typical;
}

static void read_rate(bd_node *at, void *record)
{
    bd_guide_rate *r = record;
    common of = {.highest = highest_rate_g_per_m2, .condition = ""};

    of.trust = bd_node_trust(at, "status");
    of.source = bd_node_source(at, "guide", false);
    of.factor = read_area_factor(at);
    r->guide = of.source;
    r->soil_class = bd_node_text(at, "soil_class");
    r->class_limits = bd_node_text_or(at, "class_limits", "");
    r->where = bd_node_text(at, "where");
    read_figures(at, form_keys, FORMS, of, r->g_per_m2);
}

static void read_removal(bd_node *at, void *record)
{
    bd_removal *r = record;
    common of = read_common(at, "kg/t", highest_removal_kg_per_t);

    r->part = bd_node_text(at, "part");
    read_figures(at, form_keys, FORMS, of, r->kg_per_t);
}

/* ---- single figures of a crop ---- */

static void read_kc(bd_node *at, void *kc)
{
    read_figures(at, kc_keys, sizeof kc_keys / sizeof kc_keys[0], read_common(at, "1", highest_kc),
                 kc);
}

static void read_stage_days(bd_node *at, void *stage_days)
{
    read_figures(at, stage_keys, BD_STAGES, read_common(at, "d", highest_days), stage_days);
}

static void read_minds_chloride(bd_node *at, void *minds)
{
    *(bool *)minds = bd_node_flag(at, "value");
    (void)bd_node_source(at, "source", bd_node_trust(at, "status") == BD_TRUST_PRACTICE);
    (void)bd_node_text(at, "note");
}

static void read_part(bd_node *at, const char *key, void (*read)(bd_node *at, void *record),
                      void *record)
{
    bd_node part;

    if (bd_node_get(at, key, &part))
        bd_node_record(&part, read, record);
}

static bd_fact below(bd_node *at, const char *key, bd_fact fact, double highest)
{
    if (fact.is_known && !(fact.value.high <= highest))
        (void)bd_node_fail(at, key, BD_RANGE, "%g is beyond %g, the highest believed",
                           fact.value.high, highest);
    return fact;
}

static bd_fact read_length(bd_node *at, const char *key)
{
    return below(at, key, bd_node_fact(at, key, BD_KIND_LENGTH), highest_length_m);
}

/* The strictest limit of a material is found by walking the groups to the last, "any". */
static void check_groups(bd_node *at, const char *const *groups)
{
    size_t n = 0;

    while (groups[n] != NULL)
        n++;
    if (n == 0 || strcmp(groups[n - 1], "any") != 0)
        (void)bd_node_fail(at, "groups", BD_SYNTAX, "the last group of a crop is not 'any'");
}

static void read_lists(bd_node *at, bd_crop *c)
{
    c->tolerances =
        bd_node_list(at, "tolerances", sizeof *c->tolerances, read_tolerance, &c->tolerance_count);
    c->rates = bd_node_list(at, "rates", sizeof *c->rates, read_rate, &c->rate_count);
    c->removals =
        bd_node_list(at, "removals", sizeof *c->removals, read_removal, &c->removal_count);
}

static void read_facts(bd_node *at, bd_crop *c)
{
    c->spacing_m = read_length(at, "spacing");
    c->field_plants_per_m2 =
        below(at, "field_stand", bd_node_fact(at, "field_stand", BD_KIND_PLANT_DENSITY),
              highest_plants_per_m2);
    c->sowing_depth_m = read_length(at, "sowing_depth");
    c->bag_depth_m = read_length(at, "bag_depth");
    c->days_to_harvest = below(at, "days_to_harvest",
                               bd_node_fact(at, "days_to_harvest", BD_KIND_TIME), highest_days);
    c->yield_kg_per_m2 =
        below(at, "yield", bd_node_fact_in(at, "yield", "kg/m2"), highest_yield_kg_per_m2);
    read_part(at, "kc", read_kc, c->kc);
    read_part(at, "stage_days", read_stage_days, c->stage_days);
}

void bd_crop_read(bd_node *at, void *crop)
{
    bd_crop *c = crop;

    c->name = bd_node_name(at, "name");
    c->title = bd_node_text(at, "title");
    c->synonyms = bd_node_names(at, "synonyms");
    c->groups = bd_node_names(at, "groups");
    c->is_root = bd_node_flag(at, "is_root");
    c->touches_soil = bd_node_flag(at, "touches_soil");
    c->note = bd_node_text_or(at, "note", "");
    read_part(at, "minds_chloride", read_minds_chloride, &c->minds_chloride);
    check_groups(at, c->groups);
    read_facts(at, c);
    read_lists(at, c);
}
