#include "job/season.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "job/dissolved.h"
#include "job/salt_load.h"
#include "model/oxide.h"

static const bd_nutrient_form forms[BD_NPK_COUNT] = {{BD_N, false}, {BD_P, true}, {BD_K, true}};

/* ---- the shelf ------------------------------------------------------------------ */

static bd_status fail_shelf(const bd_season *s, size_t product, const bd_error *e)
{
    char where[sizeof e->where];

    (void)snprintf(where, sizeof where, "%.100s#/shelf/%zu", s->path, product);
    (void)bd_fail(s->err, e->status, where, "%s", e->text);
    return bd_accepts(s->err, "%s", e->accepts);
}

/* A homemade thing has no label, so no dose of it is chosen; it is counted as a feed. */
static bd_status check_product(const bd_season *s, size_t i)
{
    const bd_material *m = s->shelf.items[i].material;
    bd_error e = {.status = BD_OK};

    if (m == NULL || m->kind != BD_HOMEMADE)
        return BD_OK;
    (void)bd_fail(&e, BD_CONFLICT, NULL, "%s is homemade and has no label", m->title);
    (void)bd_accepts(&e, "it among \"feeds\"; the shelf is for products with a label");
    return fail_shelf(s, i, &e);
}

/* One product at a time, so that trouble with a label names its place. */
static bd_status read_product(bd_season *s, size_t i)
{
    bd_error e = {.status = BD_OK};
    bd_offers one;
    bd_card own;
    bd_status status;

    memcpy(s->shelf_ask->products[0], s->garden->shelf[i].product,
           sizeof s->garden->shelf[i].product);
    s->shelf_ask->product_count = 1;
    bd_card_init(&own, "season");
    status = bd_offers_read(s->know, s->shelf_ask, &own, &one, &e);
    if (status == BD_OK) {
        bd_season_take(s, &own);
        s->shelf.items[i] = one.items[0];
        if (one.items[0].label_max != NULL) /* by mass, however the label counts */
            s->shelf.items[i].label_max = &s->shelf.items[i].own_label_max;
        s->shelf.count = i + 1;
    }
    bd_card_clear(&own);
    return status == BD_OK ? check_product(s, i) : fail_shelf(s, i, &e);
}

bd_status bd_season_shelf(bd_season *s)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < s->garden->shelf_count && status == BD_OK; i++) {
        s->has_prices |= s->garden->shelf[i].has_price;
        status = read_product(s, i);
    }
    return status;
}

/* ---- ceilings of one round ---------------------------------------------------------- */

static bd_ceiling find(const bd_season *s, const bd_season_group *g, const char *material,
                       bd_use use, bd_limit_of of, const bd_nutrient *nutrient, const char *per)
{
    size_t limit_count, crop_count;
    const bd_limit *limits = bd_catalogue_limits(s->know->catalogue, &limit_count);
    bd_ceiling_query query = {.material = material,
                              .use = use,
                              .of = of,
                              .nutrient = nutrient,
                              .per = per,
                              .groups = g->planting.groups};

    query.crops = bd_catalogue_crops(s->know->catalogue, &crop_count);
    query.crop_count = crop_count;
    return bd_ceiling_find(limits, limit_count, &query);
}

/* The ceiling in g a bag. */
static bd_ceiling per_bag(bd_ceiling c, double by)
{
    c.low *= by;
    c.usual *= by;
    c.most *= by;
    return c;
}

static bd_ceiling stricter(bd_ceiling a, bd_ceiling b)
{
    if (a.limit == NULL || (b.limit != NULL && b.most < a.most))
        return b;
    return a;
}

static bd_ceiling product_ceiling(const bd_season *s, const bd_season_group *g, const char *name)
{
    bd_ceiling c;

    if (g->is_dissolved) {
        c = find(s, g, name, BD_USE_DRENCH, BD_LIMIT_PRODUCT_STRENGTH, NULL, "once a week");
        if (c.limit == NULL)
            c = find(s, g, name, BD_USE_DRENCH, BD_LIMIT_PRODUCT_STRENGTH, NULL, NULL);
        return per_bag(c, g->pour_l);
    }
    c = per_bag(find(s, g, name, BD_USE_SIDEDRESS, BD_LIMIT_PRODUCT_PER_AREA, NULL, NULL),
                g->bags.bag.area_m2);
    if (g->bags.plants > 0.0)
        c = stricter(
            c, per_bag(find(s, g, name, BD_USE_SIDEDRESS, BD_LIMIT_PRODUCT_PER_PLANT, NULL, NULL),
                       g->bags.plants));
    return c;
}

/* What the label lets through at a time [g a bag]; HUGE_VAL when it says nothing of this use. */
static double label_most(const bd_season_group *g, const bd_value *label)
{
    if (label == NULL)
        return HUGE_VAL;
    if (label->kind == BD_KIND_STRENGTH)
        return g->is_dissolved ? label->number.typical * g->pour_l : HUGE_VAL;
    if (label->kind == BD_KIND_MASS_PER_AREA)
        return label->number.typical * g->bags.bag.area_m2;
    if (label->kind == BD_KIND_MASS_PER_PLANT)
        return g->bags.plants > 0.0 ? label->number.typical * g->bags.plants : HUGE_VAL;
    return label->number.typical;
}

static double saturation_l(const bd_season_group *g)
{
    return bd_medium_saturation(g->bags.medium).typical * g->bags.bag.volume_l;
}

static bd_status set_item(bd_season *s, bd_season_group *g, size_t i)
{
    const bd_garden_product *product = &s->garden->shelf[i];
    const bd_offer *offer = &s->shelf.items[i];
    bd_shelf_item *item = &g->items[i];
    bd_error e = {.status = BD_OK};
    bd_salts salts;
    bd_range load;
    bd_status status;

    item->name = offer->title;
    for (int n = 0; n < BD_NPK_COUNT; n++)
        item->share[n] = bd_product_share(&offer->product, forms[n]).typical;
    item->boron_share = offer->product.share[BD_B].high;
    item->price_per_g = product->has_price ? product->price / product->pack_g : 0.0;
    if (offer->material != NULL)
        g->ceilings[i] = product_ceiling(s, g, offer->material->name);
    item->most_g_per_round = label_most(g, offer->label_max);
    if (g->ceilings[i].limit != NULL)
        item->most_g_per_round = fmin(item->most_g_per_round, g->ceilings[i].most);
    status = bd_salts_of(s->know, offer, bd_exactly(1.0), saturation_l(g), &salts, &load, &e);
    if (status != BD_OK)
        return fail_shelf(s, i, &e);
    item->load_ds_l_per_m_per_g = load.high; /* ceilings judge what it can bring at most */
    bd_salts_tell(&salts, offer, s->card);
    return BD_OK;
}

/* The ceiling of a nutrient as N, P2O5 or K2O, whatever form its row counts. */
static double as_form(int nutrient, const bd_ceiling *c)
{
    return bd_as_form(forms[nutrient], bd_ceiling_as_element(c, c->most));
}

/* Of each nutrient at a time [g a bag]. */
static void set_nutrient_ceilings(const bd_season *s, bd_season_group *g)
{
    const bd_nutrient n = BD_N, k = BD_K;
    double *most = g->order.most_nutrient_g;
    bd_ceiling c;

    for (int i = 0; i < BD_NPK_COUNT; i++)
        most[i] = HUGE_VAL;
    if (g->is_dissolved) {
        c = find(s, g, "any", BD_USE_DRENCH, BD_LIMIT_NUTRIENT_STRENGTH, &k, NULL);
        if (c.limit != NULL)
            most[BD_NPK_K2O] = as_form(BD_NPK_K2O, &c) * g->pour_l;
        return;
    }
    c = find(s, g, "any", BD_USE_SIDEDRESS, BD_LIMIT_NUTRIENT_PER_AREA, &n, NULL);
    if (c.limit != NULL)
        most[BD_NPK_N] = as_form(BD_NPK_N, &c) * g->bags.bag.area_m2;
    c = find(s, g, "any", BD_USE_SIDEDRESS, BD_LIMIT_NUTRIENT_PER_AREA, &k, NULL);
    if (c.limit != NULL)
        most[BD_NPK_K2O] = as_form(BD_NPK_K2O, &c) * g->bags.bag.area_m2;
}

/* Salt of one round: what raises the mix, and what the water it is poured in may hold. */
static void set_load_ceiling(const bd_season *s, bd_season_group *g)
{
    double rise = bd_parts_figure(s->know->parts, "ece-rise")->value.high;
    bd_ceiling c;

    g->order.most_load_ds_l_per_m = rise * saturation_l(g);
    g->most_pour_load_ds_l_per_m = HUGE_VAL;
    if (!g->is_dissolved)
        return;
    c = find(s, g, "any", BD_USE_DRENCH, BD_LIMIT_EC, NULL, NULL);
    if (c.limit != NULL)
        g->most_pour_load_ds_l_per_m = c.most * g->pour_l;
}

static double figure(const bd_season *s, const char *name)
{
    return bd_parts_figure(s->know->parts, name)->value.typical;
}

static int clamp(double x, int low, int high)
{
    if (high < low)
        high = low;
    return x < low ? low : x > high ? high : (int)x;
}

static void set_days(const bd_season *s, bd_season_group *g)
{
    bd_rounds_order *o = &g->order;
    const bd_fact *first = bd_parts_figure(s->know->parts, "first-feed");
    int last_possible = g->season_days - 1;

    o->season_days = g->season_days;
    o->from_day = clamp(g->from_day, 0, last_possible);
    o->last_day = clamp(g->season_days - figure(s, "last-feed"), 0, last_possible);
    o->first_day = clamp(g->is_dissolved ? first->value.low : first->value.typical, 0, o->last_day);
    /* A root keeps badly after late nitrogen; leaf and fruit may have it as long as any feed. */
    o->last_nitrogen_day =
        g->planting.crop->is_root
            ? clamp(g->season_days - figure(s, "last-nitrogen"), 0, g->season_days)
            : o->last_day;
}

/* Days between rounds, counted from the last feed in the record, too. */
static void set_interval(const bd_season *s, bd_season_group *g)
{
    double days = g->is_dissolved
                      ? bd_catalogue_practice(s->know->catalogue, "weekly-feed-gap")->value.typical
                      : figure(s, "feed-interval");
    const bd_entry *last = g->fed.last;

    g->order.was_fed = g->rounds_given > 0;
    g->order.interval_days = clamp(days, 1, g->season_days);
    if (last != NULL)
        g->order.first_day = clamp(last->day - g->garden->sown + g->order.interval_days,
                                   g->order.first_day, g->season_days - 1);
}

/* No feed before what was too much would have been used up, in the mix neither. */
static void wait_after_rescue(bd_season_group *g)
{
    for (int n = 0; n < BD_NPK_COUNT && g->is_rescued; n++)
        g->order.base_share[n] = 0.0;
    if (g->is_rescued)
        g->order.first_day =
            clamp(ceil(g->garden->overdose.day - g->garden->sown + g->rescue.wait_days),
                  g->order.first_day, g->season_days - 1);
}

/* What dissolves only so far makes no salt in proportion. */
static double load_of(const bd_season *s, const bd_season_group *g, size_t i, double grams)
{
    const bd_offer *offer = &s->shelf.items[i];
    bd_salts salts;
    bd_range load;

    if (bd_offer_has_ions(offer) || bd_salts_of(s->know, offer, bd_exactly(grams), saturation_l(g),
                                                &salts, &load, NULL) != BD_OK)
        return grams * g->items[i].load_ds_l_per_m_per_g;
    return load.high;
}

/* The product of the shelf that an entry names; the count of the shelf where it names none. */
static size_t product_of(const bd_season *s, const bd_entry *e)
{
    for (size_t i = 0; i < s->shelf.count; i++)
        if (s->shelf.items[i].material != NULL &&
            strcmp(s->shelf.items[i].material->name, e->material) == 0)
            return i;
    return s->shelf.count;
}

/* Something of this season that may stand in the bag as salt. */
static bool is_given(const bd_season *s, const bd_season_group *g, const bd_entry *e)
{
    return bd_entry_stands(e) && bd_record_use_feeds(e->use) &&
           strcmp(e->group, g->garden->name) == 0 && e->day >= g->garden->sown &&
           e->day <= s->request->today && e->material[0] != '\0';
}

/* Grams of an entry but for those that the file tells as an overdose, which is reckoned apart;
 * `overdose_g` is what of that no entry was found for yet. */
static double grams_of(const bd_season_group *g, const bd_entry *e, double *overdose_g)
{
    const bd_garden_overdose *dose = &g->garden->overdose;
    double twice_g = 0.0;

    if (dose->is_given && e->day == dose->day && strcmp(e->material, dose->material) == 0)
        twice_g = fmin(e->g_per_bag, *overdose_g);
    *overdose_g -= twice_g;
    return e->g_per_bag - twice_g;
}

/* A bottle that is poured brings its water along, and the salt of that; what is poured without a
 * number in the record was as much as the plan says. */
static double poured_l(const bd_season_group *g, const bd_entry *e)
{
    if (e->use == BD_RECORD_FOLIAR)
        return 0.0;
    return e->use == BD_RECORD_DRENCH && !(e->l_per_bag > 0.0) ? g->pour_l : e->l_per_bag;
}

/* Joins what falls on one day; where a record has more days than the zone follows, a few of them,
 * on the last of them: too late errs to more salt. */
static void add_past(bd_season_group *g, int day, double water_l, double load)
{
    int width = 1 + bd_season_age(g) / BD_SEASON_PAST_MAX;
    int joined = day - bd_season_age(g);

    joined = joined < 0 ? -((-joined - 1) / width * width + 1) : 0;
    for (size_t i = 0; i < g->past_count; i++)
        if (g->past[i].day == joined) {
            g->past[i].water_l += water_l;
            g->past[i].load_ds_l_per_m = bd_range_add(g->past[i].load_ds_l_per_m, bd_exactly(load));
            return;
        }
    if (g->past_count < BD_SEASON_PAST_MAX)
        g->past[g->past_count++] =
            (bd_dressing){.day = joined, .water_l = water_l, .load_ds_l_per_m = bd_exactly(load)};
}

/* What the record says was given, on its days, as far as the shelf knows the material. */
static void set_past(const bd_season *s, bd_season_group *g)
{
    double overdose_g = g->garden->overdose.g_per_bag;

    g->past_count = 0;
    for (size_t i = 0; i < s->records->count; i++) {
        const bd_entry *e = &s->records->items[i];
        size_t product = product_of(s, e);
        double litres = poured_l(g, e), grams;

        if (!is_given(s, g, e) || product == s->shelf.count)
            continue;
        grams = grams_of(g, e, &overdose_g);
        if (grams > 0.0)
            add_past(g, e->day - g->garden->sown, litres,
                     load_of(s, g, product, grams) + litres * s->water_ec_ds_per_m);
    }
}

/* What was given on top counts among the rounds that are usual. */
static void set_counts(bd_season_group *g)
{
    enum { USUAL_DRY = 2, USUAL_POURED = 3 };
    const bd_value *rounds = bd_request_get(&g->garden->ask, BD_OPT_ROUNDS);
    double wanted = g->is_dissolved ? USUAL_POURED : USUAL_DRY;

    g->order.most_rounds = BD_ROUNDS_MAX - 1;
    if (rounds != NULL) {
        g->order.most_rounds = clamp(rounds->number.typical, 1, BD_ROUNDS_MAX - 1);
        wanted = g->order.most_rounds;
    }
    g->order.wanted_rounds = clamp(wanted - (double)g->fed_on_top, 1, BD_ROUNDS_MAX - 1);
}

/* What goes into the mix before sowing; nothing where all is to be poured, or the bag is sown or
 * was fed. */
static void set_base(const bd_season *s, bd_season_group *g)
{
    bd_rounds_order *o = &g->order;
    bool has_base = g->from_day == 0 && g->garden->way != BD_GIVE_DISSOLVED && g->today <= 0 &&
                    g->rounds_given == 0;
    const bd_fact *seedbed = bd_catalogue_practice(s->know->catalogue, "seedbed-nitrogen");

    o->base_share[BD_NPK_N] = has_base ? figure(s, "base-share") : 0.0;
    o->base_share[BD_NPK_K2O] = o->base_share[BD_NPK_N];
    o->base_share[BD_NPK_P2O5] = has_base ? figure(s, "base-phosphate-share") : 0.0;
    o->most_base_g[BD_NPK_N] = seedbed->value.typical * g->bags.bag.area_m2;
    o->most_base_g[BD_NPK_P2O5] = HUGE_VAL;
    o->most_base_g[BD_NPK_K2O] = HUGE_VAL;
}

static void set_uptake(const bd_season *s, bd_season_group *g)
{
    const bd_crop_uptake *curve = bd_parts_uptake(s->know->parts, g->planting.crop->name);

    for (int i = 0; i < BD_NPK_COUNT; i++) {
        g->order.uptake[i] = curve->points[i];
        g->order.uptake_count[i] = curve->count[i];
    }
}

bd_status bd_season_ceilings(bd_season *s, bd_season_group *g)
{
    const bd_value *pour = bd_request_get(&g->garden->ask, BD_OPT_PER_BAG);
    const bd_fact *usual_share = bd_catalogue_practice(s->know->catalogue, "pour-share");
    bd_status status = BD_OK;

    g->is_dissolved = g->garden->way == BD_GIVE_DISSOLVED || pour != NULL;
    g->pour_l = !g->is_dissolved ? 0.0
                : pour != NULL   ? pour->number.typical
                                 : g->bags.bag.volume_l * usual_share->value.typical;
    if (g->is_dissolved && pour == NULL)
        bd_card_assume(
            s->card, "season.pour", W("assume.season_pour"), BD_ARGS(bd_name(g->garden->name)),
            &(bd_range){g->pour_l, g->pour_l, g->pour_l}, "L", "common practice, no source");
    for (size_t i = 0; i < s->shelf.count && status == BD_OK; i++)
        status = set_item(s, g, i);
    set_nutrient_ceilings(s, g);
    set_load_ceiling(s, g);
    set_days(s, g);
    set_interval(s, g);
    set_counts(g);
    set_base(s, g);
    set_uptake(s, g);
    set_past(s, g);
    if (status == BD_OK)
        status = bd_season_rescue(s, g);
    wait_after_rescue(g);
    return status;
}
