#include "request/garden.h"

#include <ctype.h>
#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "base/number.h"
#include "base/text.h"
#include "nutrients/reader.h"

#define SCHEMA "bagdose.garden/"

enum { LARGEST_FILE = 1 << 20, FEEDS_MAX = 16, DIGITS = 15, NEWEST_SCHEMA = 1 };

static const double most_times = 200.0; /* a feed given more often is a slip of the keyboard */
static const double g_per_kg = 1000.0;
static const double least_percent = 0.01, whole = 1.0, rounding = 1e-6;

struct bd_garden_hold {
    bd_garden garden;
    bd_pool pool;
    json_t *json;
};

/* A record being read, with what is not in it. */
typedef struct product_record {
    bd_garden_product *product;
    bd_measures measures;
} product_record;

/* ---- texts and options ---------------------------------------------------- */

static const char *keep(const bd_node *at, const char *s)
{
    const char *copy = bd_node_ok(at) ? bd_pool_copy(at->load->pool, s) : NULL;

    if (copy == NULL)
        (void)bd_node_fail(at, NULL, BD_MEMORY, "no memory left for this record");
    return copy == NULL ? "" : copy;
}

/* A value as a person would type it behind an option: 18 and "18" are the same. */
static const char *as_typed(bd_node *at, const char *key, const bd_node *node)
{
    char number[BD_NUMBER_SIZE];

    if (!json_is_number(node->json))
        return bd_node_text(at, key);
    return keep(node, bd_number_print(json_number_value(node->json), DIGITS, number));
}

/* The failure of a reader that knows no place, at its place. */
static void refuse_as(const bd_node *at, const bd_error *e)
{
    bd_node_refuse(at, NULL, e->status, e->accepts, "%s", e->text);
}

static void read_value(bd_node *at, const char *key, bd_option option, bd_measures measures,
                       bd_value *out)
{
    bd_error e = {.status = BD_OK};
    bd_node node;

    if (!bd_node_get(at, key, &node))
        return;
    out->text = as_typed(at, key, &node);
    if (!bd_node_ok(at))
        return;
    out->is_given = bd_value_read(option, measures, out, &e) == BD_OK;
    if (!out->is_given)
        refuse_as(&node, &e);
}

typedef struct option_key {
    const char *key;
    bd_option option;
    bool is_required;
} option_key;

/* Options of one product go to its slot, all others to the request's. */
static void read_options(bd_node *at, const option_key *keys, size_t count, bd_request *ask)
{
    for (size_t i = 0; i < count; i++) {
        bd_option option = keys[i].option;
        bd_value *slot = (int)option <= (int)BD_OPT_LAST_OF_PRODUCT ? &ask->products[0][option]
                                                                    : &ask->values[option];

        read_value(at, keys[i].key, option, ask->measures, slot);
        if (keys[i].is_required && !bd_node_has(at, keys[i].key))
            (void)bd_node_fail(at, NULL, BD_MISSING, "'%s' is missing", keys[i].key);
    }
}

/* An amount above zero that is no option; 0 when it is absent. */
static double read_amount(bd_node *at, const char *key, bd_kind kind, bd_measures measures)
{
    bd_error e = {.status = BD_OK};
    bd_range amount = {0, 0, 0};
    bd_node node;
    const char *text;

    if (!bd_node_get(at, key, &node))
        return 0.0;
    text = as_typed(at, key, &node);
    if (bd_node_ok(at) && bd_quantity_read_positive(text, kind, measures, &amount, &e) != BD_OK)
        refuse_as(&node, &e);
    return amount.typical;
}

static bool read_day(bd_node *at, const char *key, int *out)
{
    bd_error e = {.status = BD_OK};
    bd_node node;
    const char *text;

    if (!bd_node_get(at, key, &node))
        return false;
    text = bd_node_text(at, key);
    if (bd_node_ok(at) && bd_date_read(text, out, &e) != BD_OK)
        refuse_as(&node, &e);
    return bd_node_ok(at);
}

static void read_amounts(bd_node *at, const char *key, bd_measures measures, bd_garden_amounts *out)
{
    bd_node list;

    if (!bd_node_get(at, key, &list) || !bd_node_array(&list))
        return;
    if (bd_node_count(&list) > BD_GARDEN_TARGETS_MAX) {
        (void)bd_node_fail(&list, NULL, BD_RANGE, "more than %d amounts", BD_GARDEN_TARGETS_MAX);
        return;
    }
    for (size_t i = 0; i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);
        bd_value *v = &out->items[out->count];
        bd_error e = {.status = BD_OK};

        v->text = json_string_value(item.json);
        if (v->text == NULL)
            bd_node_refuse(&item, NULL, BD_SYNTAX, "\"K2O 6 g/bag\"", "not a text");
        else if (bd_value_read(BD_OPT_NEED, measures, v, &e) != BD_OK)
            refuse_as(&item, &e);
        else if (v->target.is_product)
            bd_node_refuse(&item, NULL, BD_CONFLICT, "a nutrient, such as \"K2O 6 g/bag\"",
                           "'%.60s' is a product", v->text);
        v->is_given = true;
        out->count++;
    }
}

/* ---- the shelf and homemade feeds ------------------------------------------- */

static void read_scoop(bd_node *at, const product_record *r)
{
    r->product->scoop = bd_node_text_or(at, "scoop", NULL);
    r->product->scoop_g = read_amount(at, "scoop_holds", BD_KIND_MASS, r->measures);
    if ((r->product->scoop == NULL) == bd_node_has(at, "scoop_holds"))
        bd_node_refuse(at, NULL, BD_MISSING, "both or neither",
                       "\"scoop\" and \"scoop_holds\" belong together");
}

/* A mass, or a volume of a liquid whose density is said, in g; 0 when it is absent. */
static double read_content(bd_node *at, const char *key, const product_record *r)
{
    const bd_value *density = &r->product->product[BD_OPT_DENSITY];
    bd_range litres = {0, 0, 0};
    bd_node node;
    const char *text;

    if (!bd_node_get(at, key, &node))
        return 0.0;
    text = as_typed(at, key, &node);
    if (!bd_node_ok(at) ||
        bd_quantity_read_positive(text, BD_KIND_VOLUME, r->measures, &litres, NULL) != BD_OK)
        return read_amount(at, key, BD_KIND_MASS, r->measures);
    if (!density->is_given)
        bd_node_refuse(at, key, BD_MISSING, "a mass, or \"density\": \"1.15 kg/L\" of the product",
                       "a volume needs the density of the liquid");
    return litres.typical * density->number.typical * g_per_kg;
}

static void read_product(bd_node *at, void *record)
{
    static const option_key keys[] = {{"material", BD_OPT_MATERIAL, false},
                                      {"analysis", BD_OPT_ANALYSIS, false},
                                      {"convention", BD_OPT_CONVENTION, false},
                                      {"density", BD_OPT_DENSITY, false},
                                      {"label_max", BD_OPT_LABEL_MAX, false}};
    product_record *r = record;
    bd_garden_product *p = r->product;

    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
        read_value(at, keys[i].key, keys[i].option, r->measures, &p->product[keys[i].option]);
    if (!p->product[BD_OPT_MATERIAL].is_given && !p->product[BD_OPT_ANALYSIS].is_given)
        bd_node_refuse(at, NULL, BD_MISSING, "\"material\", \"analysis\", or both",
                       "no product is named");
    p->has_stock = bd_node_has(at, "in_stock");
    p->stock_g = read_content(at, "in_stock", r);
    p->pack_g = read_content(at, "pack", r);
    p->has_price = bd_node_has(at, "price");
    if (p->has_price) {
        p->price = bd_node_number(at, "price");
        bd_node_check_from(at, "price", p->price, 0.0);
    }
    if (p->has_price && !(p->pack_g > 0.0))
        bd_node_refuse(at, NULL, BD_MISSING, "\"pack\": \"2.5 kg\"",
                       "a price needs the pack it is for");
    read_scoop(at, r);
}

static void read_feed(bd_node *at, void *record)
{
    static const option_key keys[] = {{"material", BD_OPT_MATERIAL, true},
                                      {"mass", BD_OPT_MASS, true},
                                      {"preparation", BD_OPT_PREPARATION, true},
                                      {"brew", BD_OPT_BREW, true},
                                      {"days", BD_OPT_DAYS, false},
                                      {"dilute", BD_OPT_DILUTE, false},
                                      {"per_bag", BD_OPT_PER_BAG, true}};
    bd_garden_feed *f = record;

    f->name = bd_node_text(at, "name");
    f->ask.product_count = 1;
    read_options(at, keys, sizeof keys / sizeof keys[0], &f->ask);
    f->times = bd_node_number(at, "times");
    bd_node_check_from(at, "times", f->times, 1.0);
    bd_node_check_to(at, "times", f->times, most_times);
    f->groups = bd_node_names(at, "groups");
}

/* ---- groups ------------------------------------------------------------------ */

static void read_part(bd_node *at, bd_garden_group *g)
{
    bd_garden_part *part = &g->parts[g->part_count];
    double percent;

    part->name = bd_node_name(at, "part");
    percent = bd_node_number(at, "percent");
    bd_node_check_from(at, "percent", percent, least_percent);
    bd_node_check_to(at, "percent", percent, 100.0);
    part->share = percent / 100.0;
    bd_node_end(at);
    g->part_count++;
}

static void read_mix(bd_node *at, bd_garden_group *g)
{
    bd_node list;
    double sum = 0.0;

    if (!bd_node_get(at, "mix", &list) || !bd_node_array(&list))
        return;
    if (bd_node_count(&list) > BD_GARDEN_PARTS_MAX) {
        (void)bd_node_fail(&list, NULL, BD_RANGE, "more than %d parts", BD_GARDEN_PARTS_MAX);
        return;
    }
    for (size_t i = 0; i < bd_node_count(&list) && bd_node_ok(at); i++) {
        bd_node item = bd_node_item(&list, i);

        if (bd_node_object(&item))
            read_part(&item, g);
        sum += g->parts[i].share;
    }
    if (bd_node_ok(at) && !(sum >= whole - rounding && sum <= whole + rounding))
        bd_node_refuse(&list, NULL, BD_CONFLICT, "parts that add up to 100 %",
                       "the parts add up to %.6g %%", 100.0 * sum);
}

static void read_mix_feed(bd_node *at, bd_garden_group *g)
{
    bd_value lasts = {.is_given = false};
    bd_node feed;

    if (!bd_node_get(at, "mix_feed", &feed) || !bd_node_object(&feed))
        return;
    read_amounts(&feed, "gives", g->ask.measures, &g->mix_feed);
    if (g->mix_feed.count == 0)
        (void)bd_node_fail(&feed, NULL, BD_MISSING, "'gives' is missing");
    if (!read_day(&feed, "filled", &g->mix_filled))
        (void)bd_node_fail(&feed, NULL, BD_MISSING, "'filled' is missing");
    read_value(&feed, "lasts", BD_OPT_DAYS, g->ask.measures, &lasts);
    if (!lasts.is_given)
        (void)bd_node_fail(&feed, NULL, BD_MISSING, "'lasts' is missing");
    g->mix_feeds_days = lasts.number.typical;
    bd_node_end(&feed);
}

static void read_soil_test(bd_node *at, bd_garden_group *g)
{
    static const char *const keys[] = {"N", "P", "K"};
    bd_node test;
    bool has_class = false;

    if (!bd_node_get(at, "soil_test", &test) || !bd_node_object(&test))
        return;
    g->soil_method = bd_node_text(&test, "method");
    for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++) {
        g->soil_class[i] = bd_node_text_or(&test, keys[i], NULL);
        has_class |= g->soil_class[i] != NULL;
    }
    if (!has_class)
        bd_node_refuse(&test, NULL, BD_MISSING, "\"P\": \"low\", \"K\": \"medium\"",
                       "a test without a class");
    bd_node_end(&test);
}

/* Whether a guide or the harvest says the need; a number of one's own leaves nothing to choose. */
static void read_need_from(bd_node *at, bd_garden_group *g)
{
    static const char *const ways[] = {[BD_NEED_FROM_EITHER] = "either",
                                       [BD_NEED_FROM_GUIDE] = "guide",
                                       [BD_NEED_FROM_REMOVAL] = "removal"};

    g->need_from = (bd_garden_need_from)bd_node_word(
        at, "need_from", ways, sizeof ways / sizeof ways[0], BD_NEED_FROM_EITHER);
    if (g->need_from != BD_NEED_FROM_EITHER && g->need.count > 0)
        bd_node_refuse(at, "need_from", BD_CONFLICT, "\"need\" or \"need_from\", not both",
                       "the need is a number of your own");
    if (g->need_from == BD_NEED_FROM_REMOVAL && !(g->yield_g_per_bag > 0.0))
        bd_node_refuse(at, "need_from", BD_MISSING, "\"yield_per_bag\": \"2 kg\"",
                       "what is removed asks for the harvest expected");
}

static void read_overdose(bd_node *at, bd_garden_group *g)
{
    bd_node dose;

    if (!bd_node_get(at, "overdose", &dose) || !bd_node_object(&dose))
        return;
    g->overdose.is_given = true;
    g->overdose.material = bd_node_name(&dose, "material");
    g->overdose.g_per_bag = read_amount(&dose, "per_bag", BD_KIND_MASS, g->ask.measures);
    if (!bd_node_has(&dose, "per_bag"))
        (void)bd_node_fail(&dose, NULL, BD_MISSING, "'per_bag' is missing");
    if (!read_day(&dose, "date", &g->overdose.day))
        (void)bd_node_fail(&dose, NULL, BD_MISSING, "'date' is missing");
    bd_node_end(&dose);
}

static void read_days(bd_node *at, bd_garden_group *g)
{
    if (!read_day(at, "sown", &g->sown))
        (void)bd_node_fail(at, NULL, BD_MISSING, "'sown' is missing");
    g->has_harvest = read_day(at, "harvest", &g->harvest);
    if (bd_node_ok(at) && g->has_harvest && g->harvest <= g->sown)
        bd_node_refuse(at, "harvest", BD_CONFLICT, "a day after the sowing",
                       "the harvest is not after the sowing");
}

static void read_group(bd_node *at, void *record)
{
    static const option_key keys[] = {
        {"bags", BD_OPT_BAGS, true},        {"bag_size", BD_OPT_BAG_SIZE, true},
        {"crop", BD_OPT_CROP, true},        {"plants_per_bag", BD_OPT_PLANTS, false},
        {"spacing", BD_OPT_SPACING, false}, {"field_plants", BD_OPT_FIELD_PLANTS, false},
        {"basis", BD_OPT_BASIS, false},     {"medium", BD_OPT_MEDIUM, false},
        {"ece", BD_OPT_ECE, false},         {"ece_method", BD_OPT_ECE_METHOD, false},
        {"rounds", BD_OPT_ROUNDS, false},   {"per_bag", BD_OPT_PER_BAG, false},
    };
    static const char *const ways[] = {
        [BD_GIVE_EITHER] = "either", [BD_GIVE_DISSOLVED] = "dissolved", [BD_GIVE_DRY] = "dry"};
    bd_garden_group *g = record;

    g->name = bd_node_name(at, "name");
    read_options(at, keys, sizeof keys / sizeof keys[0], &g->ask);
    read_days(at, g);
    read_amounts(at, "need", g->ask.measures, &g->need);
    read_amounts(at, "already", g->ask.measures, &g->already);
    read_soil_test(at, g);
    g->yield_g_per_bag = read_amount(at, "yield_per_bag", BD_KIND_MASS, g->ask.measures);
    read_need_from(at, g);
    g->harvested_g = read_amount(at, "harvested", BD_KIND_MASS, g->ask.measures);
    read_mix(at, g);
    read_mix_feed(at, g);
    g->way =
        (bd_garden_way)bd_node_word(at, "give", ways, sizeof ways / sizeof ways[0], BD_GIVE_EITHER);
    if (g->way == BD_GIVE_DRY && bd_node_has(at, "per_bag"))
        bd_node_refuse(at, "give", BD_CONFLICT, "\"dissolved\", or no \"per_bag\"",
                       "'dry' and a volume to pour");
    read_overdose(at, g);
}

static void check_names(const bd_node *list, const bd_garden_group *groups, size_t count)
{
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < i; k++)
            if (bd_node_ok(list) && strcmp(groups[i].name, groups[k].name) == 0) {
                bd_node item = bd_node_item(list, i);

                bd_node_refuse(&item, "name", BD_CONFLICT, "a name of its own for each group",
                               "'%.60s' is the name of another group", groups[i].name);
            }
}

/* ---- the lists ---------------------------------------------------------------- */

/* Zeroed records for a list, or NULL; `most` bounds what a hostile file can ask for. */
static void *begin_list(bd_node *at, const char *key, size_t size, size_t most, bd_node *list,
                        size_t *count)
{
    *count = 0;
    if (!bd_node_get(at, key, list) || !bd_node_array(list) || bd_node_count(list) == 0)
        return NULL;
    if (bd_node_count(list) > most) {
        (void)bd_node_fail(list, NULL, BD_RANGE, "more than %zu", most);
        return NULL;
    }
    *count = bd_node_count(list);
    return bd_node_memory(list, *count * size);
}

static void read_shelf(bd_node *at, bd_garden *garden)
{
    bd_node list;
    size_t count;
    bd_garden_product *shelf =
        begin_list(at, "shelf", sizeof *shelf, BD_PRODUCTS_MAX, &list, &count);

    for (size_t i = 0; shelf != NULL && i < count && bd_node_ok(at); i++) {
        bd_node item = bd_node_item(&list, i);
        product_record record = {&shelf[i], garden->measures};

        bd_node_record(&item, read_product, &record);
    }
    garden->shelf = shelf;
    garden->shelf_count = shelf == NULL ? 0 : count;
}

static void read_groups(bd_node *at, const bd_request *base, bd_garden *garden)
{
    bd_node list;
    size_t count;
    bd_garden_group *groups =
        begin_list(at, "groups", sizeof *groups, BD_GARDEN_GROUPS_MAX, &list, &count);

    for (size_t i = 0; groups != NULL && i < count && bd_node_ok(at); i++) {
        bd_node item = bd_node_item(&list, i);

        groups[i].ask = *base;
        bd_node_record(&item, read_group, &groups[i]);
    }
    if (bd_node_ok(at) && groups == NULL)
        bd_node_refuse(at, NULL, BD_MISSING, "\"groups\": [ { ... } ]",
                       "there are no groups of bags");
    if (groups != NULL)
        check_names(&list, groups, count);
    garden->groups = groups;
    garden->group_count = groups == NULL ? 0 : count;
}

static bool has_group(const bd_garden *garden, const char *name)
{
    for (size_t i = 0; i < garden->group_count; i++)
        if (strcmp(garden->groups[i].name, name) == 0)
            return true;
    return false;
}

static void check_feed_groups(const bd_node *item, const bd_garden *garden,
                              const bd_garden_feed *feed)
{
    for (size_t i = 0; bd_node_ok(item) && feed->groups[i] != NULL; i++)
        if (!has_group(garden, feed->groups[i]))
            bd_node_refuse(item, "groups", BD_UNKNOWN, "the name of a group of this file",
                           "'%.60s' is no group", feed->groups[i]);
    if (bd_node_ok(item) && feed->groups[0] == NULL)
        bd_node_refuse(item, NULL, BD_MISSING, "\"groups\": [\"name\"]", "no group gets this feed");
}

static void read_feeds(bd_node *at, const bd_request *base, bd_garden *garden)
{
    bd_node list;
    size_t count;
    bd_garden_feed *feeds = begin_list(at, "feeds", sizeof *feeds, FEEDS_MAX, &list, &count);

    for (size_t i = 0; feeds != NULL && i < count && bd_node_ok(at); i++) {
        bd_node item = bd_node_item(&list, i);

        feeds[i].ask = *base;
        bd_node_record(&item, read_feed, &feeds[i]);
        if (bd_node_ok(at))
            check_feed_groups(&item, garden, &feeds[i]);
    }
    garden->feeds = feeds;
    garden->feed_count = feeds == NULL ? 0 : count;
}

/* ---- the whole file ------------------------------------------------------------ */

static void check_schema(bd_node *at)
{
    const char *schema = bd_node_text(at, "schema");
    size_t n = strlen(SCHEMA);
    double version = 0.0;

    if (!bd_node_ok(at))
        return;
    if (strncmp(schema, SCHEMA, n) != 0 ||
        bd_number_read(schema + n, NULL, &version, NULL) != BD_OK || !(version >= 1.0))
        bd_node_refuse(at, "schema", BD_UNKNOWN, "\"bagdose.garden/1\"",
                       "'%.60s' is no garden file", schema);
    else if (version > NEWEST_SCHEMA)
        bd_node_refuse(at, "schema", BD_UNKNOWN, "\"bagdose.garden/1\"",
                       "'%.60s' is newer than this program", schema);
}

static void read_tools(bd_node *at, bd_garden *garden)
{
    bd_garden_tools *tools = &garden->tools;
    bd_node node;

    if (!bd_node_get(at, "tools", &node) || !bd_node_object(&node))
        return;
    tools->scale_step_g = read_amount(&node, "scale_step", BD_KIND_MASS, garden->measures);
    tools->can_l = read_amount(&node, "can", BD_KIND_VOLUME, garden->measures);
    bd_node_end(&node);
}

static void read_measures(bd_node *at, bd_measures otherwise, bd_garden *garden)
{
    bd_error e = {.status = BD_OK};
    bd_node node;
    const char *text;

    garden->measures = otherwise;
    if (!bd_node_get(at, "measures", &node))
        return;
    text = bd_node_text(at, "measures");
    if (bd_node_ok(at) && bd_measures_read(text, &garden->measures, &e) != BD_OK)
        refuse_as(&node, &e);
}

/* An analysis as a file of one water says it: {"waters": [it]}; a name may be left out. */
static char *as_water_file(const json_t *analysis)
{
    json_t *one = json_copy((json_t *)analysis); /* jansson takes no const here; it is only read */
    json_t *file = json_pack("{s:[o]}", "waters", one);
    char *bytes = NULL;

    if (file != NULL && (json_object_get(one, "name") != NULL ||
                         json_object_set_new(one, "name", json_string(BD_GARDEN_WATER)) == 0))
        bytes = json_dumps(file, JSON_COMPACT);
    json_decref(file);
    return bytes;
}

/* A name or a file, as --water; or the analysis itself. */
static void read_water(bd_node *at, bd_garden *garden, bd_request *base)
{
    bd_value *v = &base->values[BD_OPT_WATER];
    bd_node node;
    char *bytes;

    if (!bd_node_get(at, "water", &node))
        return;
    if (json_is_string(node.json)) {
        read_value(at, "water", BD_OPT_WATER, garden->measures, v);
        return;
    }
    if (!json_is_object(node.json)) {
        bd_node_refuse(
            &node, NULL, BD_SYNTAX,
            "\"soft\", a file with an analysis, or {\"unit\": \"mg/L\", \"ions\": {...}}",
            "neither a text nor an analysis");
        return;
    }
    bytes = as_water_file(node.json);
    garden->water_analysis = keep(&node, bytes == NULL ? "" : bytes);
    if (bytes == NULL)
        (void)bd_node_fail(&node, NULL, BD_MEMORY, "no memory left for this water");
    free(bytes);
    v->text = BD_GARDEN_WATER;
    v->is_given = true;
}

static void read_garden(bd_node *at, bd_measures measures, bd_garden *garden, bd_request *base)
{
    static const option_key keys[] = {{"water_ec", BD_OPT_WATER_EC, false},
                                      {"water_temperature", BD_OPT_WATER_TEMPERATURE, false}};

    (void)bd_node_text_or(at, "$schema", "");
    check_schema(at);
    garden->name = bd_node_text(at, "name");
    garden->currency = bd_node_text_or(at, "currency", "");
    read_measures(at, measures, garden);
    base->measures = garden->measures;
    read_water(at, garden, base);
    read_options(at, keys, sizeof keys / sizeof keys[0], base);
    read_tools(at, garden);
    read_shelf(at, garden);
    read_groups(at, base, garden);
    read_feeds(at, base, garden);
    bd_node_end(at);
}

/* A comma between two digits outside a text: the usual reason why a file does not parse. */
static bool has_decimal_comma(const char *s, size_t n)
{
    bool is_in_text = false;

    for (size_t i = 1; i + 1 < n; i++) {
        if (s[i] == '"' && s[i - 1] != '\\')
            is_in_text = !is_in_text;
        if (!is_in_text && s[i] == ',' && isdigit((unsigned char)s[i - 1]) &&
            isdigit((unsigned char)s[i + 1]))
            return true;
    }
    return false;
}

static bd_status read_all(struct bd_garden_hold *hold, const char *name, const void *bytes,
                          size_t size, bd_measures measures, bd_error *err)
{
    bd_load load = {.pool = &hold->pool, .err = err, .status = BD_OK};
    bd_node file;
    bd_request *base;
    bd_status status = bd_node_parse(&load, name, bytes, size, &file);

    if (status == BD_SYNTAX && has_decimal_comma(bytes, size))
        (void)bd_accepts(err, "a point as the decimal mark, 2.5 and not 2,5");
    if (status != BD_OK)
        return status;
    hold->json = file.json;
    base = bd_node_memory(&file, sizeof *base);
    if (base != NULL)
        read_garden(&file, measures, &hold->garden, base);
    return load.status;
}

bd_status bd_garden_read(const char *name, const void *bytes, size_t size, bd_measures measures,
                         bd_garden **out, bd_error *err)
{
    struct bd_garden_hold *hold = calloc(1, sizeof *hold);
    bd_error own = {.status = BD_OK};
    bd_status status;

    if (hold == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left");
    hold->garden.hold = hold;
    status = read_all(hold, name, bytes, size, measures, err == NULL ? &own : err);
    if (status == BD_OK)
        *out = &hold->garden;
    else
        bd_garden_free(&hold->garden);
    return status;
}

static bd_status read_file(FILE *file, const char *path, bd_text *bytes, bd_error *err)
{
    char block[4096];
    size_t n;

    while (bd_text_ok(bytes) && (n = fread(block, 1, sizeof block, file)) > 0)
        bd_text_add_bytes(bytes, block, n);
    if (ferror(file) != 0)
        return bd_fail(err, BD_FILE, path, "cannot be read");
    if (!bd_text_ok(bytes))
        return bd_fail(err, BD_RANGE, path, "is larger than 1 MiB, or memory ran out");
    return BD_OK;
}

bd_status bd_garden_load(const char *path, bd_measures measures, bd_garden **out, bd_error *err)
{
    FILE *file = fopen(path, "rb");
    bd_text bytes;
    bd_status status;

    if (file == NULL) {
        (void)bd_fail(err, BD_FILE, path, "the garden file cannot be opened");
        (void)bd_accepts(err, "a garden file, such as terrace.garden.json");
        return BD_FILE;
    }
    bd_text_init(&bytes, LARGEST_FILE);
    status = read_file(file, path, &bytes, err);
    (void)fclose(file);
    if (status == BD_OK)
        status = bd_garden_read(path, bytes.s, bytes.length, measures, out, err);
    bd_text_clear(&bytes);
    return status;
}

/* "folder/terrace.garden.json" and "well.json" -> "folder/well.json" */
static void put_beside(const char *garden, const char *name, bd_text *path)
{
    const char *slash = strrchr(garden, '/');

    if (name[0] != '/' && slash != NULL)
        bd_text_add_bytes(path, garden, (size_t)(slash - garden) + 1);
    bd_text_add(path, name);
}

bd_status bd_garden_load_water(const char *garden, const char *name, bd_text *path, bd_text *out,
                               bd_error *err)
{
    FILE *file;
    bd_status status;

    put_beside(garden, name, path);
    if (!bd_text_ok(path))
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for a name, or it is too long");
    file = fopen(path->s, "rb");
    if (file == NULL) {
        (void)bd_fail(err, BD_FILE, NULL,
                      "'%.100s' is neither a water known here nor a file that opens", name);
        return bd_accepts(err,
                          "pure, soft, hard, or a file with an analysis beside the garden file");
    }
    status = read_file(file, path->s, out, err);
    (void)fclose(file);
    return status;
}

void bd_garden_free(bd_garden *garden)
{
    struct bd_garden_hold *hold = garden == NULL ? NULL : garden->hold;

    if (hold == NULL)
        return;
    if (hold->json != NULL)
        json_decref(hold->json);
    bd_pool_clear(&hold->pool);
    free(hold);
}
