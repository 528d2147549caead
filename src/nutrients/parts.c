#include "nutrients/parts.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "nutrients/bundle.h"
#include "nutrients/reader.h"
#include "nutrients/store.h"

enum { NAMES_SHOWN = 400, FORMS = 3 };
static const char *const form_keys[FORMS] = {"N", "P2O5", "K2O"};
static const char any_crop[] = "any";

static const struct {
    const char *name;
    bd_kind kind;
} figure_kinds[] = {
    {"bucket", BD_KIND_VOLUME},
    {"settling", BD_KIND_SHARE},
    {"mixing-loss", BD_KIND_SHARE},
    {"microbe-carbon-to-nitrogen", BD_KIND_SHARE},
    {"microbe-efficiency", BD_KIND_SHARE},
    {"base-share", BD_KIND_SHARE},
    {"base-phosphate-share", BD_KIND_SHARE},
    {"first-feed", BD_KIND_TIME},
    {"feed-interval", BD_KIND_TIME},
    {"last-nitrogen", BD_KIND_TIME},
    {"last-feed", BD_KIND_TIME},
    {"foliar-nitrogen-note", BD_KIND_SHARE},
    {"ease-off", BD_KIND_TIME},
    {"ease-off-share", BD_KIND_SHARE},
    {"ece-rise", BD_KIND_CONDUCTIVITY},
    {"carry-nitrogen", BD_KIND_SHARE},
    {"carry-phosphate", BD_KIND_SHARE},
    {"carry-potash", BD_KIND_SHARE},
    {"flush-volumes", BD_KIND_SHARE},
    {"flush-portions", BD_KIND_SHARE},
    {"air-space", BD_KIND_SHARE},
    {"drain-nitrogen", BD_KIND_SHARE},
    {"drain-phosphate", BD_KIND_SHARE},
    {"drain-potash", BD_KIND_SHARE},
};
enum { FIGURE_COUNT = sizeof figure_kinds / sizeof figure_kinds[0] };

struct bd_parts {
    bd_bundle bundle; /* what the texts are borrowed from */
    const bd_part *parts;
    size_t part_count;
    const bd_guide *guides;
    size_t guide_count;
    const bd_crop_uptake *uptakes;
    size_t uptake_count;
    bd_fact figures[FIGURE_COUNT];
};

/* ---- reading ---- */

static void require(bd_node *at, const char *key, const bd_fact *fact)
{
    if (!fact->is_known)
        (void)bd_node_fail(at, NULL, BD_MISSING, "'%s' is missing", key);
}

static bd_fact read_share(bd_node *at, const char *key)
{
    bd_fact fact = bd_node_fact(at, key, BD_KIND_SHARE);

    if (fact.is_known)
        bd_node_check_to(at, key, fact.value.high, 1.0);
    return fact;
}

static void read_forms(bd_node *part, const char *key, bd_kind kind, bd_fact out[FORMS])
{
    bd_node forms;

    if (!bd_node_get(part, key, &forms))
        return;
    for (size_t i = 0; i < FORMS; i++) {
        out[i] = bd_node_fact(&forms, form_keys[i], kind);
        if (out[i].is_known)
            bd_node_check_to(&forms, form_keys[i], out[i].value.high, 1.0);
    }
    bd_node_end(&forms);
}

static void check_forms(bd_node *at, const bd_part *p)
{
    for (size_t i = 0; i < FORMS; i++)
        if (p->content[i].is_known != p->first_year[i].is_known)
            (void)bd_node_fail(at, NULL, BD_MISSING,
                               "content and first year of '%s' are not both given", form_keys[i]);
}

static void check_rot(bd_node *at, const bd_part *p)
{
    if (p->carbon_to_nitrogen.is_known == p->rots.is_known &&
        p->carbon_to_nitrogen.is_known == p->carbon.is_known)
        return;
    (void)bd_node_fail(at, NULL, BD_MISSING,
                       "'carbon_to_nitrogen', 'carbon' and 'rots' are not all given");
}

static void read_part(bd_node *at, void *record)
{
    bd_part *p = record;

    p->name = bd_node_name(at, "name");
    p->title = bd_node_text(at, "title");
    p->synonyms = bd_node_names(at, "synonyms");
    p->medium = bd_node_name(at, "medium");
    p->moist_density_kg_per_l = bd_node_fact(at, "moist_density", BD_KIND_DENSITY);
    read_forms(at, "content", BD_KIND_MASS_FRACTION, p->content);
    read_forms(at, "first_year", BD_KIND_SHARE, p->first_year);
    p->ece_ds_per_m = bd_node_fact(at, "ece", BD_KIND_CONDUCTIVITY);
    p->carbon_to_nitrogen = bd_node_fact(at, "carbon_to_nitrogen", BD_KIND_SHARE);
    p->carbon = read_share(at, "carbon");
    p->rots = read_share(at, "rots");
    p->lime_value = read_share(at, "lime_value");
    p->highest_share = read_share(at, "highest_share");
    p->limited_as = bd_node_text_or(at, "limited_as", "");
    p->is_raw_manure = bd_node_flag(at, "is_raw_manure");
    p->brings_unknown = bd_node_flag(at, "brings_unknown");
    p->note = bd_node_text_or(at, "note", "");
    require(at, "moist_density", &p->moist_density_kg_per_l);
    check_forms(at, p);
    check_rot(at, p);
}

static void read_guide(bd_node *at, void *record)
{
    bd_guide *g = record;

    g->name = bd_node_source(at, "guide", false);
    g->title = bd_node_text(at, "title");
    g->method = bd_node_name(at, "method");
    g->middle = bd_node_text_or(at, "middle", "");
    g->middle_nitrogen = bd_node_text_or(at, "middle_nitrogen", "");
    g->is_gross = bd_node_flag(at, "is_gross");
    g->note = bd_node_text_or(at, "note", "");
}

static bd_uptake_point read_point(const bd_node *at)
{
    bd_node season, taken;

    if (bd_node_count(at) != 2) {
        (void)bd_node_fail(at, NULL, BD_SYNTAX, "not a pair of shares");
        return (bd_uptake_point){0.0, 0.0};
    }
    season = bd_node_item(at, 0);
    taken = bd_node_item(at, 1);
    return (bd_uptake_point){bd_node_as_number(&season), bd_node_as_number(&taken)};
}

/* A curve rises from (0, 0) and ends at (1, 1). */
static void check_curve(const bd_node *at, const bd_uptake_point *curve, size_t n)
{
    bd_uptake_point before = {0.0, 0.0};

    for (size_t i = 0; curve != NULL && i < n; i++) {
        if (!(curve[i].season_share > before.season_share &&
              curve[i].taken_share >= before.taken_share))
            (void)bd_node_fail(at, NULL, BD_RANGE, "the curve does not rise");
        before = curve[i];
    }
    if (!(before.season_share >= 1.0 && before.taken_share >= 1.0 && before.season_share <= 1.0 &&
          before.taken_share <= 1.0))
        (void)bd_node_fail(at, NULL, BD_RANGE, "the curve does not end at 1, 1");
}

static void read_curve(bd_node *at, size_t form, bd_crop_uptake *u)
{
    bd_node points;
    bd_uptake_point *curve;

    if (!bd_node_need(at, form_keys[form], &points) || !bd_node_array(&points))
        return;
    u->count[form] = bd_node_count(&points);
    curve = bd_node_memory(&points, (u->count[form] + 1) * sizeof *curve);
    for (size_t i = 0; curve != NULL && i < u->count[form]; i++) {
        bd_node item = bd_node_item(&points, i);

        curve[i] = read_point(&item);
    }
    check_curve(&points, curve, u->count[form]);
    u->points[form] = curve;
}

static void read_uptake(bd_node *at, void *record)
{
    bd_crop_uptake *u = record;

    u->crops = bd_node_names(at, "crops");
    for (size_t i = 0; i < FORMS; i++)
        read_curve(at, i, u);
    u->trust = bd_node_trust(at, "status");
    u->source = bd_node_source(at, "source", u->trust == BD_TRUST_PRACTICE);
    u->note = bd_node_text_or(at, "note", "");
}

/* A figure as it stands in the file; which one it is settles its kind. */
typedef struct bd_named_fact {
    size_t place;
    bd_fact fact;
} bd_named_fact;

static size_t place_of_figure(const char *name)
{
    size_t i = 0;

    while (i < FIGURE_COUNT && strcmp(figure_kinds[i].name, name) != 0)
        i++;
    return i;
}

static void read_figure(bd_node *at, void *figure)
{
    bd_named_fact *f = figure;
    const char *name = bd_node_name(at, "name");

    (void)bd_node_text_or(at, "note", "");
    f->place = place_of_figure(name);
    if (f->place == FIGURE_COUNT) {
        (void)bd_node_fail(at, "name", BD_UNKNOWN, "'%.60s' is not a figure of a season", name);
        return;
    }
    f->fact = bd_node_fact(at, "value", figure_kinds[f->place].kind);
    require(at, "value", &f->fact);
}

static void read_figures(bd_node *file, bd_parts *parts)
{
    size_t count = 0;
    const bd_named_fact *read = bd_node_list(file, "figures", sizeof *read, read_figure, &count);

    for (size_t i = 0; i < count; i++) {
        if (parts->figures[read[i].place].is_known)
            (void)bd_node_fail(file, "figures", BD_CONFLICT, "figure '%s' is given twice",
                               figure_kinds[read[i].place].name);
        parts->figures[read[i].place] = read[i].fact;
    }
    for (size_t i = 0; i < FIGURE_COUNT; i++)
        if (!parts->figures[i].is_known)
            (void)bd_node_fail(file, "figures", BD_MISSING, "figure '%s' is missing",
                               figure_kinds[i].name);
}

static bool has_name(const bd_part *p, const char *name, size_t length)
{
    if (strncmp(p->name, name, length) == 0 && p->name[length] == '\0')
        return true;
    for (const char *const *s = p->synonyms; *s != NULL; s++)
        if (strncmp(*s, name, length) == 0 && (*s)[length] == '\0')
            return true;
    return false;
}

static const bd_part *find_part(const bd_parts *parts, const char *name, size_t length)
{
    for (size_t i = 0; i < parts->part_count; i++)
        if (has_name(&parts->parts[i], name, length))
            return &parts->parts[i];
    return NULL;
}

static void check_name(const bd_node *file, const bd_parts *parts, const bd_part *p,
                       const char *name)
{
    if (find_part(parts, name, strlen(name)) != p)
        (void)bd_node_fail(file, "parts", BD_CONFLICT, "part '%.60s' is given twice", name);
}

static void check_names(const bd_node *file, const bd_parts *parts)
{
    for (size_t i = 0; i < parts->part_count; i++) {
        const bd_part *p = &parts->parts[i];

        check_name(file, parts, p, p->name);
        for (const char *const *s = p->synonyms; *s != NULL; s++)
            check_name(file, parts, p, *s);
    }
}

static const bd_crop_uptake *find_uptake(const bd_parts *parts, const char *crop)
{
    for (size_t i = 0; i < parts->uptake_count; i++)
        for (const char *const *c = parts->uptakes[i].crops; *c != NULL; c++)
            if (strcmp(*c, crop) == 0)
                return &parts->uptakes[i];
    return NULL;
}

static void read_parts_file(bd_node *file, void *whole)
{
    bd_parts *parts = whole;

    parts->parts = bd_node_list(file, "parts", sizeof *parts->parts, read_part, &parts->part_count);
    read_figures(file, parts);
    parts->guides =
        bd_node_list(file, "guides", sizeof *parts->guides, read_guide, &parts->guide_count);
    parts->uptakes =
        bd_node_list(file, "uptake", sizeof *parts->uptakes, read_uptake, &parts->uptake_count);
    if (bd_node_ok(file)) {
        check_names(file, parts);
        if (find_uptake(parts, any_crop) == NULL)
            (void)bd_node_fail(file, "uptake", BD_MISSING, "no curve is for 'any' crop");
    }
}

/* ---- loading ---- */

bd_status bd_parts_load(bd_parts **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_parts *parts = calloc(1, sizeof *parts);
    bd_load load;

    if (parts == NULL)
        return bd_fail(err, BD_MEMORY, "parts.json", "no memory left for this file");
    load = bd_bundle_start(&parts->bundle, err != NULL ? err : &own);
    bd_bundle_read_sources(&parts->bundle, &load);
    bd_bundle_read(&parts->bundle, &load, "parts.json", read_parts_file, parts);
    if (load.status == BD_OK && parts->part_count == 0)
        load.status = bd_fail(load.err, BD_MISSING, "parts.json", "no part is there");
    if (load.status != BD_OK) {
        bd_parts_free(parts);
        return load.status;
    }
    *out = parts;
    return BD_OK;
}

void bd_parts_free(bd_parts *parts)
{
    if (parts == NULL)
        return;
    bd_bundle_clear(&parts->bundle);
    free(parts);
}

/* ---- asking ---- */

static bd_status refuse_name(const bd_parts *parts, const char *name, size_t length, bd_error *err)
{
    bd_text names;

    bd_text_init(&names, NAMES_SHOWN);
    for (const bd_part *p = parts->parts; p != NULL && p < parts->parts + parts->part_count; p++)
        bd_text_addf(&names, "%s%s", p == parts->parts ? "" : ", ", p->name);
    bd_fail(err, BD_UNKNOWN, NULL, "'%.*s' is not a part of a mix", (int)length, name);
    bd_accepts(err, "%s", names.s);
    bd_text_clear(&names);
    return BD_UNKNOWN;
}

bd_status bd_parts_part(const bd_parts *parts, const char *name, size_t length, const bd_part **out,
                        bd_error *err)
{
    const bd_part *found = find_part(parts, name, length);

    if (found == NULL)
        return refuse_name(parts, name, length, err);
    *out = found;
    return BD_OK;
}

const bd_part *bd_parts_list(const bd_parts *parts, size_t *count)
{
    *count = parts->part_count;
    return parts->parts;
}

const bd_guide *bd_parts_guide(const bd_parts *parts, const char *name)
{
    for (size_t i = 0; i < parts->guide_count; i++)
        if (strcmp(parts->guides[i].name, name) == 0)
            return &parts->guides[i];
    return NULL;
}

const bd_crop_uptake *bd_parts_uptake(const bd_parts *parts, const char *crop)
{
    const bd_crop_uptake *own = find_uptake(parts, crop);

    return own != NULL ? own : find_uptake(parts, any_crop);
}

const bd_fact *bd_parts_figure(const bd_parts *parts, const char *name)
{
    size_t place = place_of_figure(name);

    assert(place < FIGURE_COUNT);
    return &parts->figures[place];
}
