#include "nutrients/catalogue.h"

#include <stdlib.h>
#include <string.h>

#include "nutrients/names.h"
#include "nutrients/store.h"

static const char *const trusts[] = {
    [BD_TRUST_PUBLISHED] = "published",
    [BD_TRUST_WORKED_OUT] = "worked out",
    [BD_TRUST_PRACTICE] = "common practice",
    [BD_TRUST_MEMORY] = "from memory",
};

const char *bd_trust_words(bd_trust trust)
{
    return trusts[trust];
}

void bd_catalogue_free(bd_catalogue *catalogue)
{
    bd_data_file *files;

    if (catalogue == NULL)
        return;
    files = catalogue->files.items;
    for (size_t i = 0; i < catalogue->files.count; i++)
        bd_node_release(files[i].json);
    free(files);
    for (int i = 0; i < BD_LIST_COUNT; i++)
        free(catalogue->lists[i].items);
    bd_pool_clear(&catalogue->pool);
    free(catalogue);
}

/* ---- by name ---- */

/* A nitrite must never be answered with the nitrate whose name is one letter away. */
static bd_status refuse_nitrite(const char *name, bd_error *err)
{
    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.60s': a nitrite is a poison and no fertiliser", name);
    return bd_accepts(err, "the name on the label; do not use anything labelled nitrite");
}

static bd_status fail_unknown(const char *what, const char *name, const bd_nearest *nearest,
                              bd_error *err)
{
    char names[BD_NEAREST_SHOWN * BD_NAME_SIZE];

    bd_nearest_show(nearest, names, sizeof names);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "unknown %s '%.60s'", what, name);
    if (*names != '\0')
        return bd_accepts(err, "%s", names);
    return bd_accepts(err, "a name from the list of %ss", what);
}

bd_status bd_catalogue_material(const bd_catalogue *c, const char *name, const bd_material **out,
                                bd_error *err)
{
    const bd_material *materials = c->lists[BD_LIST_MATERIALS].items;
    char plain[BD_NAME_SIZE];
    bd_nearest nearest = {.plain = plain};

    bd_name_plain(name, plain);
    if (strstr(plain, "nitrit") != NULL || strstr(plain, "no2") != NULL)
        return refuse_nitrite(name, err);
    for (size_t i = 0; i < c->lists[BD_LIST_MATERIALS].count; i++) {
        if (bd_name_is(plain, materials[i].name, materials[i].synonyms)) {
            *out = &materials[i];
            return BD_OK;
        }
        bd_nearest_offer(&nearest, materials[i].name, materials[i].synonyms);
    }
    return fail_unknown("material", name, &nearest, err);
}

bd_status bd_catalogue_crop(const bd_catalogue *c, const char *name, const bd_crop **out,
                            bd_error *err)
{
    const bd_crop *crops = c->lists[BD_LIST_CROPS].items;
    char plain[BD_NAME_SIZE];
    bd_nearest nearest = {.plain = plain};

    bd_name_plain(name, plain);
    for (size_t i = 0; i < c->lists[BD_LIST_CROPS].count; i++) {
        if (bd_name_is(plain, crops[i].name, crops[i].synonyms)) {
            *out = &crops[i];
            return BD_OK;
        }
        bd_nearest_offer(&nearest, crops[i].name, crops[i].synonyms);
    }
    return fail_unknown("crop", name, &nearest, err);
}

const bd_source *bd_catalogue_source(const bd_catalogue *c, const char *key)
{
    const bd_source *sources = c->lists[BD_LIST_SOURCES].items;

    for (size_t i = 0; i < c->lists[BD_LIST_SOURCES].count; i++)
        if (strcmp(sources[i].key, key) == 0)
            return &sources[i];
    return NULL;
}

const bd_fact *bd_catalogue_practice(const bd_catalogue *c, const char *name)
{
    const bd_practice *figures = c->lists[BD_LIST_FIGURES].items;

    for (size_t i = 0; i < c->lists[BD_LIST_FIGURES].count; i++)
        if (strcmp(figures[i].name, name) == 0)
            return &figures[i].value;
    return NULL;
}

/* ---- all of a kind ---- */

static const void *list_of(const bd_catalogue *c, bd_list_id id, size_t *count)
{
    *count = c->lists[id].count;
    return c->lists[id].items;
}

const bd_material *bd_catalogue_materials(const bd_catalogue *c, size_t *count)
{
    return list_of(c, BD_LIST_MATERIALS, count);
}

const bd_limit *bd_catalogue_limits(const bd_catalogue *c, size_t *count)
{
    return list_of(c, BD_LIST_LIMITS, count);
}

const bd_limit *bd_catalogue_ignored_limits(const bd_catalogue *c, size_t *count)
{
    return list_of(c, BD_LIST_IGNORED, count);
}

const bd_solubility *bd_catalogue_solubilities(const bd_catalogue *c, size_t *count)
{
    return list_of(c, BD_LIST_CURVES, count);
}

const bd_crop *bd_catalogue_crops(const bd_catalogue *c, size_t *count)
{
    return list_of(c, BD_LIST_CROPS, count);
}

const bd_caution_rule *bd_catalogue_cautions(const bd_catalogue *c, size_t *count)
{
    return list_of(c, BD_LIST_CAUTIONS, count);
}

const bd_own_scoop *bd_catalogue_scoops(const bd_catalogue *c, size_t *count)
{
    return list_of(c, BD_LIST_SCOOPS, count);
}

const bd_caution_rule *bd_catalogue_rule(const bd_catalogue *c, const char *sentence)
{
    size_t count;
    const bd_caution_rule *rules = bd_catalogue_cautions(c, &count);

    for (size_t i = 0; i < count; i++)
        if (strcmp(rules[i].sentence, sentence) == 0)
            return &rules[i];
    return NULL;
}

const bd_tolerance *bd_crop_tolerance(const bd_crop *crop)
{
    for (size_t i = 0; crop != NULL && i < crop->tolerance_count; i++)
        if (crop->tolerances[i].has_threshold)
            return &crop->tolerances[i];
    return NULL;
}
