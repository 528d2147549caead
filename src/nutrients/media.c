#include "nutrients/media.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "nutrients/bundle.h"
#include "nutrients/reader.h"
#include "nutrients/store.h"

enum { NAMES_SHOWN = 200 };

static const char *const texture_words[BD_TEXTURE_COUNT] = {"sand",      "sandy-loam", "loam",
                                                            "clay-loam", "clay",       "peat-like"};
static const char *const extract_words[BD_EXTRACT_COUNT] = {"saturated", "1:1", "1:2", "1:5",
                                                            "pour-through"};

static const struct {
    const char *name;
    bool has_kind;
    bd_kind kind;
    const char *unit; /* where no kind has it */
} figure_kinds[] = {
    {"existing-ece", true, BD_KIND_CONDUCTIVITY, ""},
    {"reference-evapotranspiration", true, BD_KIND_WATER_DEPTH_RATE, ""},
    {"crop-coefficient", true, BD_KIND_SHARE, ""},
    {"bag-exposure", true, BD_KIND_SHARE, ""},
    {"leaching-fraction", true, BD_KIND_SHARE, ""},
    {"water-conductivity", true, BD_KIND_CONDUCTIVITY, ""},
    {"uptake-share", true, BD_KIND_SHARE, ""},
    {"ece-per-ecw", true, BD_KIND_SHARE, ""},
    {"salts-per-conductivity", false, BD_KIND_COUNT, "mg/L per dS/m"},
    {"salt-per-equivalent", false, BD_KIND_COUNT, "dS/m per meq/L"},
    {"gypsum-water", true, BD_KIND_CONDUCTIVITY, ""},
    {"lime-water", true, BD_KIND_CONDUCTIVITY, ""},
    {"phosphate-water", true, BD_KIND_CONDUCTIVITY, ""},
    {"salt-of-urea", true, BD_KIND_SHARE, ""},
    {"salt-of-rotting", true, BD_KIND_SHARE, ""},
    {"mineral-in-season", true, BD_KIND_SHARE, ""},
    {"field-bulk-density", true, BD_KIND_DENSITY, ""},
};
enum { FIGURE_COUNT = sizeof figure_kinds / sizeof figure_kinds[0] };

struct bd_media {
    bd_bundle bundle; /* what the texts are borrowed from */
    const char *default_name;
    const bd_medium *media;
    size_t medium_count;
    const bd_extract_line *lines;
    size_t line_count;
    const bd_uptake_point *uptake;
    size_t uptake_count;
    bd_fact figures[FIGURE_COUNT];
};

const char *bd_texture_words(bd_texture texture)
{
    assert(texture < BD_TEXTURE_COUNT);
    return texture_words[texture];
}

const char *bd_extract_words(bd_extract extract)
{
    assert(extract < BD_EXTRACT_COUNT);
    return extract_words[extract];
}

bd_status bd_extract_read(const char *text, bd_extract *out, bd_error *err)
{
    for (unsigned i = 0; i < BD_EXTRACT_COUNT; i++) {
        if (strcmp(text, extract_words[i]) == 0) {
            *out = (bd_extract)i;
            return BD_OK;
        }
    }
    bd_fail(err, BD_UNKNOWN, NULL, "'%.60s' is not a method of extraction", text);
    bd_accepts(err, "saturated, 1:1, 1:2, 1:5 or pour-through");
    return BD_UNKNOWN;
}

bd_range bd_medium_saturation(const bd_medium *m)
{
    if (bd_medium_is_peat_like(m) || !m->saturation_by_mass.is_known)
        return m->total_pores.value;
    return bd_range_scale(m->saturation_by_mass.value, m->bulk_density_kg_per_l.value.typical);
}

/* ---- reading ---- */

static bd_fact read_share(bd_node *at, const char *key)
{
    bd_fact fact = bd_node_fact(at, key, BD_KIND_SHARE);

    if (fact.is_known && !(fact.value.low > 0.0 && fact.value.high < 1.0))
        (void)bd_node_fail(at, key, BD_RANGE, "not a share of the volume between 0 and 100 %%");
    return fact;
}

static void require(bd_node *at, const char *key, const bd_fact *fact)
{
    if (!fact->is_known)
        (void)bd_node_fail(at, NULL, BD_MISSING, "'%s' is missing", key);
}

/* A root zone needs wilting, capacity and saturation in this order. */
static void check_waters(const bd_node *at, const bd_medium *m)
{
    if (!bd_node_ok(at))
        return;
    if (m->wilting_point.value.typical < m->container_capacity.value.typical &&
        m->container_capacity.value.typical <= bd_medium_saturation(m).low)
        return;
    (void)bd_node_fail(at, "container_capacity", BD_CONFLICT,
                       "wilting point, container capacity and saturation do not rise");
}

static void read_medium(bd_node *at, void *medium)
{
    bd_medium *m = medium;

    m->name = bd_node_name(at, "name");
    m->title = bd_node_text(at, "title");
    m->texture = (bd_texture)bd_node_word(at, "texture", texture_words, BD_TEXTURE_COUNT, -1);
    m->bulk_density_kg_per_l = bd_node_fact(at, "bulk_density", BD_KIND_DENSITY);
    m->container_capacity = read_share(at, "container_capacity");
    m->total_pores = read_share(at, "total_pores");
    m->wilting_point = read_share(at, "wilting_point");
    m->saturation_by_mass = bd_node_fact(at, "saturation_by_mass", BD_KIND_MASS_FRACTION);
    m->note = bd_node_text_or(at, "note", "");
    require(at, "bulk_density", &m->bulk_density_kg_per_l);
    require(at, "container_capacity", &m->container_capacity);
    require(at, "total_pores", &m->total_pores);
    require(at, "wilting_point", &m->wilting_point);
    check_waters(at, m);
}

static unsigned read_textures(bd_node *at)
{
    unsigned bits = 0;
    bd_node list;

    if (!bd_node_get(at, "textures", &list))
        return 0;
    for (size_t i = 0; i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        bits |= 1u << bd_node_as_word(&item, texture_words, BD_TEXTURE_COUNT);
    }
    return bits;
}

static void read_line(bd_node *at, void *line)
{
    bd_extract_line *l = line;

    l->method = (bd_extract)bd_node_word(at, "method", extract_words, BD_EXTRACT_COUNT, -1);
    l->textures = read_textures(at);
    l->slope = bd_node_number(at, "slope");
    l->intercept_ds_per_m = bd_node_number(at, "intercept");
    l->trust = bd_node_trust(at, "status");
    l->source = bd_node_source(at, "source", false);
    l->note = bd_node_text_or(at, "note", "");
    if (l->textures == 0)
        (void)bd_node_fail(at, "textures", BD_MISSING, "no texture is named");
    if (!(l->slope > 0.0))
        (void)bd_node_fail(at, "slope", BD_RANGE, "a slope of '%g' is not above zero", l->slope);
}

static bd_uptake_point read_point(const bd_node *at)
{
    bd_node season, taken;
    bd_uptake_point point;

    if (bd_node_count(at) != 2) {
        (void)bd_node_fail(at, NULL, BD_SYNTAX, "not a pair of shares");
        return (bd_uptake_point){0.0, 0.0};
    }
    season = bd_node_item(at, 0);
    taken = bd_node_item(at, 1);
    point = (bd_uptake_point){bd_node_as_number(&season), bd_node_as_number(&taken)};
    return point;
}

static void read_points(bd_node *points, bd_media *media)
{
    size_t n = bd_node_count(points);
    bd_uptake_point *curve = bd_node_memory(points, (n + 1) * sizeof *curve);
    bd_uptake_point before = {0.0, 0.0};

    for (size_t i = 0; curve != NULL && i < n; i++) {
        bd_node item = bd_node_item(points, i);

        curve[i] = read_point(&item);
        if (!(curve[i].season_share > before.season_share &&
              curve[i].taken_share >= before.taken_share && curve[i].season_share <= 1.0 &&
              curve[i].taken_share <= 1.0))
            (void)bd_node_fail(&item, NULL, BD_RANGE, "the curve does not rise from 0 to 1");
        before = curve[i];
    }
    media->uptake = curve;
    media->uptake_count = n;
}

static void read_uptake(bd_node *file, bd_media *media)
{
    bd_node uptake, points;
    bd_trust trust;

    if (!bd_node_get(file, "uptake", &uptake) || !bd_node_get(&uptake, "points", &points)) {
        (void)bd_node_fail(file, "uptake", BD_MISSING, "'uptake' with its points is missing");
        return;
    }
    read_points(&points, media);
    trust = bd_node_trust(&uptake, "status");
    (void)bd_node_source(&uptake, "source", trust == BD_TRUST_PRACTICE);
    (void)bd_node_text_or(&uptake, "note", "");
    bd_node_end(&uptake);
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

    f->place = place_of_figure(name);
    if (f->place == FIGURE_COUNT) {
        (void)bd_node_fail(at, "name", BD_UNKNOWN, "'%.60s' is not a figure of a root zone", name);
        return;
    }
    f->fact = figure_kinds[f->place].has_kind
                  ? bd_node_fact(at, "value", figure_kinds[f->place].kind)
                  : bd_node_fact_in(at, "value", figure_kinds[f->place].unit);
    require(at, "value", &f->fact);
}

static void read_figures(bd_node *file, bd_media *media)
{
    size_t count = 0;
    const bd_named_fact *read = bd_node_list(file, "defaults", sizeof *read, read_figure, &count);

    for (size_t i = 0; i < count; i++) {
        if (media->figures[read[i].place].is_known)
            (void)bd_node_fail(file, "defaults", BD_CONFLICT, "figure '%s' is given twice",
                               figure_kinds[read[i].place].name);
        media->figures[read[i].place] = read[i].fact;
    }
    for (size_t i = 0; i < FIGURE_COUNT; i++)
        if (!media->figures[i].is_known)
            (void)bd_node_fail(file, "defaults", BD_MISSING, "figure '%s' is missing",
                               figure_kinds[i].name);
}

static const bd_medium *find_medium(const bd_media *media, const char *name)
{
    for (size_t i = 0; i < media->medium_count; i++)
        if (strcmp(media->media[i].name, name) == 0)
            return &media->media[i];
    return NULL;
}

static void check_names(const bd_node *file, const bd_media *media)
{
    for (size_t i = 0; i < media->medium_count; i++)
        if (find_medium(media, media->media[i].name) != &media->media[i])
            (void)bd_node_fail(file, "media", BD_CONFLICT, "medium '%.60s' is given twice",
                               media->media[i].name);
    if (bd_node_ok(file) && find_medium(media, media->default_name) == NULL)
        (void)bd_node_fail(file, "default_medium", BD_UNKNOWN, "'%.60s' is not a medium",
                           media->default_name);
}

static void read_media_file(bd_node *file, void *whole)
{
    bd_media *media = whole;

    media->default_name = bd_node_name(file, "default_medium");
    media->media =
        bd_node_list(file, "media", sizeof *media->media, read_medium, &media->medium_count);
    media->lines =
        bd_node_list(file, "extracts", sizeof *media->lines, read_line, &media->line_count);
    read_uptake(file, media);
    read_figures(file, media);
    check_names(file, media);
}

/* ---- loading ---- */

bd_status bd_media_load(bd_media **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_media *media = calloc(1, sizeof *media);
    bd_load load;

    if (media == NULL)
        return bd_fail(err, BD_MEMORY, "media.json", "no memory left for this file");
    load = bd_bundle_start(&media->bundle, err != NULL ? err : &own);
    bd_bundle_read_sources(&media->bundle, &load);
    bd_bundle_read(&media->bundle, &load, "media.json", read_media_file, media);
    if (load.status == BD_OK && media->medium_count == 0)
        load.status = bd_fail(load.err, BD_MISSING, "media.json", "no medium is there");
    if (load.status != BD_OK) {
        bd_media_free(media);
        return load.status;
    }
    *out = media;
    return BD_OK;
}

void bd_media_free(bd_media *media)
{
    if (media == NULL)
        return;
    bd_bundle_clear(&media->bundle);
    free(media);
}

/* ---- asking ---- */

static bd_status refuse_name(const bd_media *media, const char *name, bd_error *err)
{
    bd_text names;

    bd_text_init(&names, NAMES_SHOWN);
    for (size_t i = 0; i < media->medium_count; i++)
        bd_text_addf(&names, "%s%s", i == 0 ? "" : ", ", media->media[i].name);
    bd_fail(err, BD_UNKNOWN, NULL, "'%.60s' is not a medium", name);
    bd_accepts(err, "%s", names.s);
    bd_text_clear(&names);
    return BD_UNKNOWN;
}

bd_status bd_media_medium(const bd_media *media, const char *name, const bd_medium **out,
                          bd_error *err)
{
    const bd_medium *found = find_medium(media, name != NULL ? name : media->default_name);

    if (found == NULL)
        return refuse_name(media, name, err);
    *out = found;
    return BD_OK;
}

const bd_medium *bd_media_list(const bd_media *media, size_t *count)
{
    *count = media->medium_count;
    return media->media;
}

const bd_extract_line *bd_media_extract_lines(const bd_media *media, size_t *count)
{
    *count = media->line_count;
    return media->lines;
}

const bd_uptake_point *bd_media_uptake(const bd_media *media, size_t *count)
{
    *count = media->uptake_count;
    return media->uptake;
}

const bd_fact *bd_media_figure(const bd_media *media, const char *name)
{
    size_t place = place_of_figure(name);

    assert(place < FIGURE_COUNT);
    return &media->figures[place];
}
