#include <string.h>

#include "nutrients/formula.h"
#include "nutrients/store.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const char *const uses[] = {
    "foliar", "foliar-low-volume", "drench", "seedling-drench", "seedling-foliar", "sidedress",
    "band",   "band-with-seed",    "season",
};
_Static_assert(COUNT_OF(uses) == BD_USE_COUNT, "a word for each use");

/* What each limit is put on, the kind its unit must be of, and whether it names a nutrient. */
static const struct limit_of {
    bool has_kind;
    bd_kind kind;
    const char *spelling; /* unit of what has no kind */
    bool needs_nutrient;
} ofs[BD_LIMIT_OF_COUNT] = {
    [BD_LIMIT_PRODUCT_STRENGTH] = {true, BD_KIND_STRENGTH, "", false},
    [BD_LIMIT_NUTRIENT_STRENGTH] = {true, BD_KIND_STRENGTH, "", true},
    [BD_LIMIT_SALTS_STRENGTH] = {true, BD_KIND_STRENGTH, "", false},
    [BD_LIMIT_EC] = {true, BD_KIND_CONDUCTIVITY, "", false},
    [BD_LIMIT_PRODUCT_PER_AREA] = {true, BD_KIND_MASS_PER_AREA, "", false},
    [BD_LIMIT_NUTRIENT_PER_AREA] = {true, BD_KIND_MASS_PER_AREA, "", true},
    [BD_LIMIT_PRODUCT_PER_PLANT] = {true, BD_KIND_MASS_PER_PLANT, "", false},
    [BD_LIMIT_PRODUCT_PER_ROW] = {true, BD_KIND_MASS_PER_LENGTH, "", false},
    [BD_LIMIT_NUTRIENT_PER_ROW] = {true, BD_KIND_MASS_PER_LENGTH, "", true},
    [BD_LIMIT_N_PLUS_K2O_PER_ROW] = {true, BD_KIND_MASS_PER_LENGTH, "", false},
    [BD_LIMIT_PRODUCT_PER_AREA_YEAR] = {true, BD_KIND_MASS_PER_AREA, "", false},
    [BD_LIMIT_SPRAYS_PER_SEASON] = {false, BD_KIND_COUNT, "count", false},
    [BD_LIMIT_DAYS_BETWEEN] = {true, BD_KIND_TIME, "", false},
    [BD_LIMIT_SPRAY_VOLUME] = {true, BD_KIND_VOLUME_PER_AREA, "", false},
    [BD_LIMIT_VOLUME_PER_AREA] = {true, BD_KIND_VOLUME_PER_AREA, "", false},
};

static const char *const of_words[] = {
    "product-strength", "nutrient-strength",  "salts-strength",        "ec-above-water",
    "product-per-area", "nutrient-per-area",  "product-per-plant",     "product-per-row",
    "nutrient-per-row", "n-plus-k2o-per-row", "product-per-area-year", "sprays-per-season",
    "days-between",     "spray-volume",       "volume-per-area",
};
_Static_assert(COUNT_OF(of_words) == BD_LIMIT_OF_COUNT, "a word for each quantity");

static const char *const pers[] = {"each watering", "once a week", "each spray", "each dressing",
                                   "each crop",     "year",        "season",     ""};
static const int per_nothing = COUNT_OF(pers) - 1;

const char *bd_use_words(bd_use use)
{
    return uses[use];
}

static void read_nutrient(bd_node *at, bd_limit *limit)
{
    bool is_needed = ofs[limit->of].needs_nutrient;
    const char *name = bd_node_text_or(at, "nutrient", "");

    if (is_needed != (*name != '\0')) {
        (void)bd_node_fail(at, NULL, is_needed ? BD_MISSING : BD_CONFLICT,
                           is_needed ? "'nutrient' is missing"
                                     : "'nutrient' beside a limit of the product");
        return;
    }
    if (!is_needed)
        return;
    limit->has_nutrient = bd_nutrient_find(name, strlen(name), &limit->nutrient);
    if (!limit->has_nutrient)
        bd_node_refuse(at, "nutrient", BD_UNKNOWN,
                       "an element or oxide of labels, such as K or K2O",
                       "'%.20s' is no nutrient of a label", name);
}

static void read_value(bd_node *at, bd_limit *limit)
{
    const struct limit_of *of = &ofs[limit->of];

    limit->value = of->has_kind ? bd_node_fact(at, "value", of->kind)
                                : bd_node_fact_in(at, "value", of->spelling);
    if (!limit->value.is_known)
        (void)bd_node_fail(at, NULL, BD_MISSING, "'value' is missing");
}

void bd_limit_read(bd_node *at, void *limit)
{
    bd_limit *l = limit;

    l->material = bd_node_name(at, "material");
    l->use = (bd_use)bd_node_word(at, "use", uses, COUNT_OF(uses), -1);
    l->of = (bd_limit_of)bd_node_word(at, "of", of_words, COUNT_OF(of_words), -1);
    read_nutrient(at, l);
    l->per = pers[bd_node_word(at, "per", pers, COUNT_OF(pers) - 1, per_nothing)];
    l->crop_group = bd_node_name(at, "crop_group");
    read_value(at, l);
    l->note = bd_node_text_or(at, "note", "");
    l->is_own = at->load->is_own;
}

static bool is_same_nutrient(const bd_limit *a, const bd_limit *b)
{
    return a->has_nutrient == b->has_nutrient &&
           (!a->has_nutrient || a->nutrient.nutrient == b->nutrient.nutrient);
}

/* The same quantity of the same material in the same use; only the crop may differ. */
static bool is_same_quantity(const bd_limit *a, const bd_limit *b)
{
    return strcmp(a->material, b->material) == 0 && a->use == b->use && a->of == b->of &&
           is_same_nutrient(a, b) && strcmp(a->per, b->per) == 0;
}

void bd_limit_check(const bd_node *at, const bd_catalogue *c, const void *limit)
{
    const bd_limit *l = limit, *others = c->lists[BD_LIST_LIMITS].items;

    if (strcmp(l->material, "any") != 0 && !bd_store_has_material(c, l->material))
        bd_node_refuse(at, "material", BD_UNKNOWN, "a name of materials.json, no synonym, or 'any'",
                       "unknown material '%.60s'", l->material);
    if (!bd_store_has_group(c, l->crop_group))
        bd_node_refuse(at, "crop_group", BD_UNKNOWN, "a group of crops.json, or 'any'",
                       "unknown group '%.60s'", l->crop_group);
    for (size_t i = 0; i < c->lists[BD_LIST_LIMITS].count; i++)
        if (others[i].is_own == l->is_own && is_same_quantity(&others[i], l) &&
            others[i].nutrient.is_oxide == l->nutrient.is_oxide &&
            strcmp(others[i].crop_group, l->crop_group) == 0 &&
            strcmp(others[i].value.source, l->value.source) == 0)
            (void)bd_node_fail(at, NULL, BD_CONFLICT, "the same limit from the same source twice");
}

/* The most a limit allows, of the element where it is one of an oxide. */
static double ceiling(const bd_limit *l)
{
    bool is_oxide = l->has_nutrient && l->nutrient.is_oxide;

    return l->value.value.high * (is_oxide ? bd_oxide_element_share(l->nutrient.nutrient) : 1.0);
}

/* Of days between sprays more is stricter; of everything else, less. */
static bool allows_more(const bd_limit *a, const bd_limit *b)
{
    if (a->of == BD_LIMIT_DAYS_BETWEEN)
        return a->value.value.low < b->value.value.low;
    return ceiling(a) > ceiling(b);
}

/* The strictest built-in row of a group, of all where that is NULL; NULL when there is none. */
static const bd_limit *strictest(const bd_catalogue *c, const bd_limit *like, const char *group)
{
    const bd_limit *limits = c->lists[BD_LIST_LIMITS].items, *found = NULL;

    for (size_t i = 0; i < c->lists[BD_LIST_LIMITS].count; i++) {
        const bd_limit *l = &limits[i];

        if (l->is_own || !is_same_quantity(l, like))
            continue;
        if (group != NULL && strcmp(l->crop_group, group) != 0)
            continue;
        if (found == NULL || allows_more(found, l))
            found = l;
    }
    return found;
}

bool bd_limit_is_looser(const bd_catalogue *c, const bd_limit *limit)
{
    const bd_limit *built_in = strictest(c, limit, limit->crop_group);

    if (built_in == NULL)
        built_in = strictest(c, limit, "any");
    if (built_in == NULL) /* a crop without a row takes the strictest of all */
        built_in = strictest(c, limit, NULL);
    return limit->is_own && built_in != NULL && allows_more(limit, built_in);
}

void bd_limit_settle(const bd_catalogue *c, bd_limit *limit)
{
    const bd_group *groups = c->lists[BD_LIST_GROUPS].items;

    limit->crop_title = strcmp(limit->crop_group, "any") == 0 ? "any crop" : limit->crop_group;
    for (size_t i = 0; i < c->lists[BD_LIST_GROUPS].count; i++)
        if (strcmp(groups[i].name, limit->crop_group) == 0)
            limit->crop_title = groups[i].title;
    /* A ceiling of seedlings read as one "for any crop" would be a wrong figure for grown ones. */
    if (limit->use == BD_USE_SEEDLING || limit->use == BD_USE_SEEDLING_FOLIAR)
        limit->crop_title = "seedlings";
}
