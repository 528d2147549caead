#include "job/season.h"

#include <stdio.h>
#include <string.h>

#include "base/date.h"
#include "model/extraction.h"
#include "model/oxide.h"

static const bd_nutrient_form forms[BD_NPK_COUNT] = {{BD_N, false}, {BD_P, true}, {BD_K, true}};

/* The place of a nutrient among N, P2O5 and K2O; BD_NPK_COUNT for any other. */
static int place_of(bd_nutrient n)
{
    int i = 0;

    while (i < BD_NPK_COUNT && forms[i].nutrient != n)
        i++;
    return i;
}

/* Amounts of elements as N, P2O5 and K2O. */
static bd_npk npk_of(const bd_range elements[BD_NUTRIENT_COUNT])
{
    bd_npk npk;

    for (int i = 0; i < BD_NPK_COUNT; i++)
        npk.of[i] = bd_range_scale(elements[forms[i].nutrient], bd_as_form(forms[i], 1.0));
    return npk;
}

/* ---- what a person entered, per bag ------------------------------------------- */

static bd_status fail_amount(const bd_season *s, const bd_season_group *g, const char *key,
                             bd_status status, const char *text, const char *accepts)
{
    bd_error e = {.status = BD_OK};

    (void)bd_fail(&e, status, NULL, "%s", text);
    (void)bd_accepts(&e, "%s", accepts);
    return bd_season_fail(s, g, key, &e);
}

bd_field bd_season_field(const bd_season *s, const bd_season_group *g)
{
    const bd_value *stand = bd_request_get(&g->garden->ask, BD_OPT_FIELD_PLANTS);

    return (bd_field){.plough_depth_m =
                          bd_catalogue_practice(s->know->catalogue, "plough-layer")->value.typical,
                      .bulk_density_kg_per_l =
                          bd_media_figure(s->know->media, "field-bulk-density")->value.typical,
                      .plants_per_m2 = stand == NULL ? 0.0 : stand->number.typical};
}

/* Which basis the file asks for; BD_BASIS_NONE when it does not. */
static bd_status read_basis(const bd_season *s, const bd_season_group *g, bd_need_basis *out)
{
    static const char *const words[] = {
        [BD_BASIS_AREA] = "area", [BD_BASIS_PLANT] = "plant", [BD_BASIS_VOLUME] = "volume"};
    const bd_value *given = bd_request_get(&g->garden->ask, BD_OPT_BASIS);

    *out = BD_BASIS_NONE;
    if (given == NULL)
        return BD_OK;
    for (int i = 0; i < BD_BASIS_NONE; i++)
        if (strcmp(words[i], given->text) == 0) {
            *out = (bd_need_basis)i;
            return BD_OK;
        }
    return fail_amount(s, g, "basis", BD_UNKNOWN, "not a basis", "area, plant or volume");
}

static void keep_basis(bd_season_group *g, int nutrient, bd_need_basis basis, bool has,
                       double g_per_bag, bd_need_basis used)
{
    if (has && g->own_count < BD_SEASON_OWN_MAX)
        g->own[g->own_count++] = (bd_season_own){nutrient, basis, g_per_bag, basis == used};
}

/* A field rate on the basis asked for; with `keeps` all of its bases are kept for the table. */
static bd_status from_area(const bd_season *s, bd_season_group *g, const char *key,
                           const bd_target *t, int nutrient, bool keeps, double *per_unit)
{
    double soil_kg = g->bags.bag.volume_l * g->bags.medium->bulk_density_kg_per_l.value.typical;
    double rate = bd_as_form(forms[nutrient], bd_as_element(t->form, t->value.typical));
    bd_field field = bd_season_field(s, g);
    bd_error e = {.status = BD_OK};
    bd_need_basis basis;
    bd_bases bases;
    bd_status status = read_basis(s, g, &basis);

    if (status != BD_OK)
        return status;
    if (bd_bag_bases(&g->bags.bag, g->bags.plants, soil_kg, rate, &field, &bases, &e) != BD_OK)
        return bd_season_fail(s, g, key, &e);
    if (basis == BD_BASIS_NONE)
        basis = BD_BASIS_AREA;
    if (basis == BD_BASIS_PLANT && !bases.has_plant)
        return fail_amount(s, g, "field_plants", BD_MISSING,
                           "the plant basis needs the stand of the field",
                           "\"field_plants\": \"33000 plant/ha\" and \"plants_per_bag\": 2");
    if (keeps) {
        keep_basis(g, nutrient, BD_BASIS_AREA, bases.has_area, bases.area, basis);
        keep_basis(g, nutrient, BD_BASIS_PLANT, bases.has_plant, bases.plant, basis);
        keep_basis(g, nutrient, BD_BASIS_VOLUME, bases.has_volume, bases.volume, basis);
    }
    *per_unit = !(rate > 0.0)             ? 0.0
                : basis == BD_BASIS_AREA  ? bases.area / rate
                : basis == BD_BASIS_PLANT ? bases.plant / rate
                                          : bases.volume / rate;
    return BD_OK;
}

/* So much a litre of mix is on the basis of volume, unless the file names another for its ceiling.
 */
static bd_status from_strength(const bd_season *s, bd_season_group *g, const bd_target *t,
                               int nutrient, double *per_unit)
{
    double strength = bd_as_form(forms[nutrient], bd_as_element(t->form, t->value.typical));
    bd_need_basis basis;
    bd_status status = read_basis(s, g, &basis);

    *per_unit = g->bags.bag.volume_l;
    if (status == BD_OK && (basis == BD_BASIS_NONE || basis == BD_BASIS_VOLUME))
        keep_basis(g, nutrient, BD_BASIS_VOLUME, true, strength * *per_unit, BD_BASIS_VOLUME);
    return status;
}

/* Bags' worth of one unit of a target's kind: m2, plants, litres in a bag. */
static bd_status per_unit_of(const bd_season *s, bd_season_group *g, const char *key,
                             const bd_target *t, int nutrient, bool keeps, double *out)
{
    *out = 1.0;
    if (t->kind == BD_KIND_MASS_PER_AREA)
        return from_area(s, g, key, t, nutrient, keeps, out);
    if (t->kind == BD_KIND_STRENGTH && keeps)
        return from_strength(s, g, t, nutrient, out);
    if (t->kind == BD_KIND_MASS)
        *out = 1.0 / g->bags.count;
    else if (t->kind == BD_KIND_STRENGTH)
        *out = g->bags.bag.volume_l;
    else if (t->kind == BD_KIND_MASS_PER_PLANT)
        *out = g->bags.plants;
    if (*out > 0.0)
        return BD_OK;
    return fail_amount(s, g, key, BD_MISSING, "an amount per plant needs the plants of a bag",
                       "\"plants_per_bag\": 6");
}

static bd_status per_bag(const bd_season *s, bd_season_group *g, const char *key,
                         const bd_garden_amounts *amounts, bool keeps, bd_npk *out,
                         bool is_given[BD_NPK_COUNT])
{
    *out = bd_npk_exactly(0, 0, 0);
    for (size_t i = 0; i < amounts->count; i++) {
        const bd_target *t = &amounts->items[i].target;
        int nutrient = place_of(t->form.nutrient);
        double per_unit = 0.0, as_form;
        bd_status status;

        if (nutrient == BD_NPK_COUNT)
            return fail_amount(s, g, key, BD_CONFLICT, "a season is planned for N, P2O5 and K2O",
                               "N, P, P2O5, K or K2O, such as \"K2O 6 g/bag\"");
        status = per_unit_of(s, g, key, t, nutrient, keeps, &per_unit);
        if (status != BD_OK)
            return status;
        as_form = bd_as_form(forms[nutrient], bd_as_element(t->form, 1.0));
        out->of[nutrient] =
            bd_range_add(out->of[nutrient], bd_range_scale(t->value, per_unit * as_form));
        is_given[nutrient] = true;
    }
    return BD_OK;
}

/* ---- need ----------------------------------------------------------------------- */

static bd_status find_needs(const bd_season *s, bd_season_group *g, const bd_npk *own)
{
    const bd_garden_group *garden = g->garden;
    bd_soil_test test = {
        .method = garden->soil_method,
        .soil_class = {garden->soil_class[0], garden->soil_class[1], garden->soil_class[2]}};
    bd_need_site site = {.bag = g->bags.bag,
                         .plants = g->bags.plants,
                         .field = bd_season_field(s, g),
                         .harvest_kg = bd_exactly(garden->yield_g_per_bag / 1000.0)};
    bd_error e = {.status = BD_OK};

    if (bd_need_all(g->planting.crop, s->know->parts, garden->soil_method == NULL ? NULL : &test,
                    own, &site, g->needs, &g->need_count, &e) != BD_OK)
        return bd_season_fail(s, g, garden->soil_method == NULL ? "need" : "soil_test", &e);
    return BD_OK;
}

/* Which way the file asks for.  A harvest that is said, with neither a number nor a test, is what
 * the grower knows of these bags, and a guide is for a field. */
static bd_need_way way_asked(const bd_garden_group *garden)
{
    if (garden->need_from != BD_NEED_FROM_EITHER)
        return garden->need_from == BD_NEED_FROM_GUIDE ? BD_NEED_GUIDE : BD_NEED_REMOVAL;
    return garden->soil_method == NULL && garden->yield_g_per_bag > 0.0 ? BD_NEED_REMOVAL
                                                                        : BD_NEED_GUIDE;
}

static const bd_need *pick(const bd_season_group *g, int nutrient)
{
    const bd_need *need =
        bd_need_pick_way(g->needs, g->need_count, nutrient, g->asked_basis, way_asked(g->garden));

    if (need == NULL || g->garden->need.count > 0)
        need = bd_need_pick(g->needs, g->need_count, nutrient, g->asked_basis);
    return need;
}

static bd_status choose_needs(const bd_season *s, bd_season_group *g,
                              const bool is_given[BD_NPK_COUNT])
{
    bool has_own = g->garden->need.count > 0, has_any = has_own;
    bd_status status = read_basis(s, g, &g->asked_basis);

    if (status != BD_OK)
        return status;
    for (int i = 0; i < BD_NPK_COUNT; i++) {
        g->used[i] = has_own && !is_given[i] ? NULL : pick(g, i);
        g->need_g[i] = g->used[i] == NULL ? 0.0 : g->used[i]->g_per_bag.of[i].typical;
        has_any |= g->used[i] != NULL;
    }
    if (has_any)
        return BD_OK;
    return fail_amount(s, g, NULL, BD_MISSING, "what this crop needs is not known here",
                       "\"need\": [\"K2O 6 g/bag\"], or \"yield_per_bag\": \"2 kg\"");
}

static bd_status read_need(const bd_season *s, bd_season_group *g)
{
    bool is_given[BD_NPK_COUNT] = {false};
    bd_npk own;
    bd_status status = per_bag(s, g, "need", &g->garden->need, true, &own, is_given);

    if (status == BD_OK)
        status = find_needs(s, g, g->garden->need.count == 0 ? NULL : &own);
    return status == BD_OK ? choose_needs(s, g, is_given) : status;
}

/* ---- credits --------------------------------------------------------------------- */

static void add_credit(bd_season_group *g, bd_credit_from from, const char *name,
                       const bd_npk *amount)
{
    bool is_nothing = true;

    for (int i = 0; i < BD_NPK_COUNT; i++)
        is_nothing &= !(amount->of[i].high > 0.0);
    if (!is_nothing && g->credit_count < BD_SEASON_CREDITS_MAX)
        g->credits[g->credit_count++] = (bd_credit){from, name, *amount};
}

static double not_below_zero(double x)
{
    return x > 0.0 ? x : 0.0;
}

/* What the mix brings, less the nitrogen that rotting wood or straw takes away. */
static void credit_mix(bd_season_group *g)
{
    bd_npk brings;
    bd_range *n = &brings.of[BD_NPK_N], lost;

    if (!g->has_fill)
        return;
    brings = g->fill.available_g_per_bag;
    lost = g->fill.draw_down_n_g_per_bag;
    *n = bd_range_of(not_below_zero(n->low - lost.high), not_below_zero(n->typical - lost.typical),
                     not_below_zero(n->high - lost.low));
    add_credit(g, BD_CREDIT_MIX, "mix", &brings);
}

static bd_status credit_bought_mix(const bd_season *s, bd_season_group *g)
{
    const bd_garden_group *garden = g->garden;
    bool is_given[BD_NPK_COUNT];
    double gone_days = not_below_zero(garden->sown - garden->mix_filled);
    bd_error e = {.status = BD_OK};
    bd_npk in_it, left;
    bd_status status;

    if (garden->mix_feed.count == 0)
        return BD_OK;
    status = per_bag(s, g, "mix_feed", &garden->mix_feed, false, &in_it, is_given);
    if (status != BD_OK)
        return status;
    if (bd_credit_slow_feed(&in_it, garden->mix_feeds_days, gone_days, &left, &e) != BD_OK)
        return bd_season_fail(s, g, "mix_feed", &e);
    add_credit(g, BD_CREDIT_BOUGHT_MIX, "feed in the mix", &left);
    return BD_OK;
}

static bd_status credit_already(const bd_season *s, bd_season_group *g)
{
    bool is_given[BD_NPK_COUNT];
    bd_npk amount;
    bd_status status = per_bag(s, g, "already", &g->garden->already, false, &amount, is_given);

    if (status == BD_OK)
        add_credit(g, BD_CREDIT_CARRY_OVER, "left from before", &amount);
    return status;
}

static bd_status credit_water(const bd_season *s, bd_season_group *g)
{
    bd_error e = {.status = BD_OK};
    bd_npk strength, amount;

    if (s->water == NULL)
        return BD_OK;
    strength = bd_season_water_npk(s);
    if (bd_credit_water(g->watering.season_l, &strength, &amount, &e) != BD_OK)
        return bd_season_fail(s, g, "water", &e);
    add_credit(g, BD_CREDIT_WATER, s->water->title, &amount);
    return BD_OK;
}

/* ---- homemade feeds ---------------------------------------------------------------- */

static bool is_for(const bd_garden_feed *feed, const char *group)
{
    for (size_t i = 0; feed->groups[i] != NULL; i++)
        if (strcmp(feed->groups[i], group) == 0)
            return true;
    return false;
}

/* Recorded givings of this feed: they are among what was given, not among what is to come. */
static double count_given(const bd_season *s, const bd_season_group *g, const char *material)
{
    double count = 0.0;

    for (size_t i = 0; i < s->records->count; i++) {
        const bd_entry *e = &s->records->items[i];

        if (bd_entry_stands(e) && e->use == BD_RECORD_FEED && e->day >= g->garden->sown &&
            strcmp(e->group, g->garden->name) == 0 && strcmp(e->material, material) == 0)
            count++;
    }
    return count;
}

static bd_status fail_feed(const bd_season *s, const bd_garden_feed *feed, const char *key,
                           const bd_error *e)
{
    char where[sizeof e->where];

    (void)snprintf(where, sizeof where, "%.60s#/feeds/%d/%s", s->path,
                   (int)(feed - s->garden->feeds), key);
    (void)bd_fail(s->err, e->status, where, "%s", e->text);
    return bd_accepts(s->err, "%s", e->accepts);
}

static bd_preparation preparation_of(const char *text)
{
    static const char *const words[] = {"soak", "boil", "ferment", "powder", "dry"};

    for (int i = 0; i < BD_PREPARATION_COUNT; i++)
        if (strcmp(words[i], text) == 0)
            return (bd_preparation)i;
    return BD_PREPARATION_COUNT;
}

/* Elements in one litre of what is poured [g/L]. */
static bd_status feed_strength(const bd_season *s, const bd_garden_feed *feed,
                               const bd_material **material, bd_range out[BD_NUTRIENT_COUNT])
{
    const bd_value *p = feed->ask.products[0];
    const bd_value *days = bd_request_get(&feed->ask, BD_OPT_DAYS);
    const bd_value *dilute = bd_request_get(&feed->ask, BD_OPT_DILUTE);
    double litres = bd_request_get(&feed->ask, BD_OPT_BREW)->number.typical *
                    (dilute == NULL ? 1.0 : dilute->number.typical);
    bd_preparation preparation = preparation_of(p[BD_OPT_PREPARATION].text);
    bd_error e = {.status = BD_OK};
    bd_product product;
    bd_extraction comes;
    bool is_near;

    if (bd_catalogue_material(s->know->catalogue, p[BD_OPT_MATERIAL].text, material, &e) != BD_OK ||
        bd_product_make(*material, NULL, false, 0.0, &product, &is_near, &e) != BD_OK)
        return fail_feed(s, feed, "material", &e);
    if (preparation == BD_PREPARATION_COUNT || p[BD_OPT_MASS].kind != BD_KIND_MASS) {
        bool is_mass = preparation == BD_PREPARATION_COUNT;

        (void)bd_fail(&e, BD_UNKNOWN, NULL, "'%.40s' will not do here",
                      is_mass ? p[BD_OPT_PREPARATION].text : p[BD_OPT_MASS].text);
        (void)bd_accepts(&e, is_mass ? "soak, boil, ferment or powder" : "a mass, such as 3 kg");
        return fail_feed(s, feed, is_mass ? "preparation" : "mass", &e);
    }
    comes = bd_extraction_of(*material, preparation, days == NULL ? 0.0 : days->number.typical);
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        out[n] =
            bd_range_scale(bd_range_times(bd_range_times(product.share[n], p[BD_OPT_MASS].number),
                                          n == BD_N || n == BD_P ? comes.slow : comes.potassium),
                           1.0 / litres);
    return BD_OK;
}

static bd_status credit_feed(const bd_season *s, bd_season_group *g, const bd_garden_feed *feed)
{
    bd_range strength[BD_NUTRIENT_COUNT];
    double litres = bd_request_get(&feed->ask, BD_OPT_PER_BAG)->number.typical, times;
    const bd_material *material = NULL;
    bd_npk amount;
    bd_status status = feed_strength(s, feed, &material, strength);

    if (status != BD_OK)
        return status;
    times = not_below_zero(feed->times - count_given(s, g, material->name));
    amount = bd_npk_scale(npk_of(strength), litres * times);
    add_credit(g, BD_CREDIT_HOMEMADE, feed->name, &amount);
    return BD_OK;
}

static bd_status credit_feeds(const bd_season *s, bd_season_group *g)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < s->garden->feed_count && status == BD_OK; i++)
        if (is_for(&s->garden->feeds[i], g->garden->name))
            status = credit_feed(s, g, &s->garden->feeds[i]);
    return status;
}

/* ---- the record ---------------------------------------------------------------------- */

static void credit_given(const bd_season *s, bd_season_group *g)
{
    bd_npk amount = npk_of(g->fed.gives_g_per_bag);

    add_credit(g, BD_CREDIT_GIVEN, "record", &amount);
    if (g->given.unknown > 0)
        bd_card_find(s->card, "season.unknown_given", BD_CARE, W("season.unknown_given"),
                     BD_ARGS(bd_name(g->garden->name), bd_count((double)g->given.unknown)),
                     "--record");
}

/* What a harvest on record left of the year before, as its settlement says it.  The record does not
 * say of what crop it was: it is taken for one of the crop that is grown now. */
static bool settle_year_before(const bd_season *s, const bd_season_group *g,
                               const bd_record_sum *before, bd_npk *amount)
{
    double kg = before->harvest_g / g->bags.count / 1000.0;
    bd_settlement settled;

    if (!(kg > 0.0) || bd_season_balance(s, g, amount, kg, &settled, NULL) != BD_OK)
        return false;
    for (int i = 0; i < BD_NPK_COUNT; i++)
        amount->of[i] = settled.of[i].carry;
    bd_card_assume(s->card, "season.harvest_before", W("assume.harvest_before"),
                   BD_ARGS(bd_name(g->garden->name), bd_name(g->planting.crop->title)),
                   &(bd_range){kg, kg, kg}, "kg", "--record");
    return true;
}

/* What the year before may have left.  Where no harvest is on record nothing of it counts towards
 * the need. */
static void credit_year_before(const bd_season *s, bd_season_group *g)
{
    enum { DAYS_OF_A_YEAR = 365 };
    static const char *const names[BD_NPK_COUNT] = {"carry-nitrogen", "carry-phosphate",
                                                    "carry-potash"};
    bd_record_query query = {.group = g->garden->name,
                             .from_day = g->garden->sown - DAYS_OF_A_YEAR,
                             .to_day = g->garden->sown - 1,
                             .without_sprays = true};
    bd_record_sum before;
    bool is_settled;
    bd_npk amount;

    bd_record_sum_of(s->records, &query, &before);
    amount = npk_of(before.gives_g_per_bag);
    is_settled = settle_year_before(s, g, &before, &amount);
    for (int i = 0; i < BD_NPK_COUNT && !is_settled; i++) {
        double carried = bd_parts_figure(s->know->parts, names[i])->value.typical;

        amount.of[i] = bd_range_of(0.0, 0.0, amount.of[i].high * carried);
    }
    add_credit(g, BD_CREDIT_CARRY_OVER, "record, year before", &amount);
}

static bool is_recorded(const bd_season *s, const bd_season_group *g)
{
    const bd_garden_overdose *dose = &g->garden->overdose;
    bd_record_query query = {.group = g->garden->name,
                             .material = dose->material,
                             .from_day = dose->day,
                             .to_day = dose->day};
    bd_record_sum that_day;

    bd_record_sum_of(s->records, &query, &that_day);
    return that_day.givings > 0;
}

/* An overdose feeds, too: at least what neither lifting nor washing takes away, at most all. */
static void credit_overdose(const bd_season *s, bd_season_group *g)
{
    const bd_rescue *r = &g->rescue;
    bd_npk amount;

    if (!g->is_rescued || is_recorded(s, g))
        return;
    for (int i = 0; i < BD_NPK_COUNT; i++) {
        double all = g->garden->overdose.g_per_bag * g->rescue_share[i];
        double least = not_below_zero(r->stays_g * g->rescue_share[i] - r->washed_g[i]);

        amount.of[i] = bd_range_of(least, least, all);
    }
    add_credit(g, BD_CREDIT_GIVEN, "overdose", &amount);
}

bd_status bd_season_account(bd_season *s, bd_season_group *g)
{
    bd_error e = {.status = BD_OK};
    bd_status status = read_need(s, g);

    credit_mix(g);
    if (status == BD_OK)
        status = credit_bought_mix(s, g);
    if (status == BD_OK)
        status = credit_already(s, g);
    if (status == BD_OK)
        status = credit_water(s, g);
    if (status == BD_OK)
        status = credit_feeds(s, g);
    if (status != BD_OK)
        return status;
    credit_given(s, g);
    credit_year_before(s, g);
    credit_overdose(s, g);
    if (bd_account_open(g->need_g, g->credits, g->credit_count, &g->account, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    return BD_OK;
}
