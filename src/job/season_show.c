#include "job/season.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/date.h"
#include "guard/cautions.h"
#include "guard/judge.h"
#include "job/delivers.h"
#include "job/dissolved.h"
#include "job/roots.h"
#include "job/season_tables.h"
#include "model/oxide.h"
#include "model/salt_response.h"
#include "nutrients/cite.h"

static const double nothing_g = 1e-6; /* rounding, not an amount */

static const char *group_name(const bd_season_group *g)
{
    return g->garden->name;
}

static bool gives_nothing(const bd_season *s)
{
    double sum = 0.0;

    for (size_t i = 0; i < s->shelf.count; i++)
        sum += bd_season_total(s, i);
    return !(sum > nothing_g);
}

/* ---- title and what the account says --------------------------------------------------- */

/* The first group that needs a rescue still; NULL where none does. */
static const bd_season_group *first_rescue(const bd_season *s)
{
    for (size_t i = 0; i < s->group_count; i++)
        if (s->groups[i].is_rescued && !s->groups[i].is_over &&
            !bd_season_is_rescue_done(s, &s->groups[i]))
            return &s->groups[i];
    return NULL;
}

/* What is done first stands in the title; the rest and its reasons among the limits. */
static const char *rescue_key(const bd_season_group *g)
{
    if (bd_season_lifts(g))
        return W("season.title_lift");
    return g->rescue.flush.portions > 0 ? W("season.title_flush") : W("season.title_rescue");
}

static void show_title(const bd_season *s)
{
    const bd_season_group *g = first_rescue(s);
    double bags = 0.0;

    for (size_t i = 0; i < s->group_count; i++)
        bags += s->groups[i].bags.count;
    if (g == NULL)
        bd_card_title(
            s->card, gives_nothing(s) ? W("season.title_nothing") : W("season.title"),
            BD_ARGS(bd_name(s->garden->name), bd_count((double)s->group_count), bd_count(bags)));
    else
        bd_card_title(s->card, rescue_key(g),
                      BD_ARGS(bd_name(s->garden->name), bd_count((double)s->group_count),
                              bd_count(bags), bd_name(group_name(g)),
                              bd_amount(g->rescue.lift_g, "g"),
                              bd_amount(g->rescue.flush.litres, "L")));
}

static void tell_surplus(const bd_season *s, const bd_season_group *g)
{
    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (g->surplus[n] > nothing_g && g->used[n] != NULL)
            bd_card_find(s->card, "season.surplus", BD_NOTE, W("season.surplus"),
                         BD_ARGS(bd_name(group_name(g)), bd_amount(g->surplus[n], "g"),
                                 bd_name(bd_npk_name(n))),
                         "");
}

/* A season under way of which nothing was written down. */
static void tell_no_record(const bd_season *s, const bd_season_group *g)
{
    const bd_record_sum *r = &g->given;
    bool is_on_record = r->givings > 0 || r->water_l_per_bag > 0.0 || r->harvest_g > 0.0;

    if (g->today > 0 && !g->is_over && !is_on_record && !g->garden->overdose.is_given)
        bd_card_find(s->card, "season.no_record", BD_CARE, W("season.no_record"),
                     BD_ARGS(bd_name(group_name(g))), "");
}

/* Compost in a mix of which no parts are said feeds all the same. */
static void tell_compost(const bd_season *s, const bd_season_group *g)
{
    bool has_compost = strstr(g->bags.medium->name, "compost") != NULL;

    if (has_compost && !g->has_fill && !g->is_over && g->garden->already.count == 0 &&
        g->garden->mix_feed.count == 0)
        bd_card_find(s->card, "season.compost", BD_CARE, W("season.compost"),
                     BD_ARGS(bd_name(group_name(g)), bd_name(g->bags.medium->title)), "");
}

static void tell_account(const bd_season *s, const bd_season_group *g)
{
    if (g->is_over)
        bd_card_find(s->card, "season.over", BD_NOTE, W("season.over"),
                     BD_ARGS(bd_name(group_name(g))), "");
    else if (g->account.gives_nothing)
        bd_card_find(s->card, "season.nothing", BD_NOTE, W("season.nothing"),
                     BD_ARGS(bd_name(group_name(g))), "");
    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (g->used[n] == NULL)
            bd_card_assume(s->card, "season.not_planned", W("assume.season_not_planned"),
                           BD_ARGS(bd_name(group_name(g)), bd_name(bd_npk_name(n))), NULL, "",
                           g->garden->need.count > 0 ? "" : "common practice, no source");
    bd_season_tell_short(s, g);
    tell_surplus(s, g);
}

/* The arithmetic, to be redone on paper. */
static void work_account(const bd_season *s, const bd_season_group *g)
{
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        const bd_account_line *line = &g->account.of[n];

        if (g->used[n] == NULL || g->is_over)
            continue;
        bd_card_work(s->card, W("work.season_account"),
                     BD_ARGS(bd_name(group_name(g)), bd_name(bd_npk_name(n)),
                             bd_exact(line->need, "g"), bd_exact(line->credited, "g"),
                             bd_exact(line->to_give, "g"), bd_exact(g->rounds.gives[n], "g"),
                             bd_exact(g->shortfall[n], "g")),
                     "");
    }
}

static void work_products(const bd_season *s, const bd_season_group *g)
{
    for (size_t i = 0; i < s->shelf.count; i++) {
        const bd_shelf_item *item = &g->items[i];

        if (g->rounds.g[i] > nothing_g)
            bd_card_work(s->card, W("work.season_product"),
                         BD_ARGS(bd_name(group_name(g)), bd_name(item->name),
                                 bd_exact(g->rounds.g[i], "g"), bd_count(g->bags.count),
                                 bd_exact(g->rounds.g[i] * g->bags.count, "g"),
                                 bd_exact(100.0 * item->share[BD_NPK_N], "%"),
                                 bd_exact(100.0 * item->share[BD_NPK_P2O5], "%"),
                                 bd_exact(100.0 * item->share[BD_NPK_K2O], "%")),
                         "label");
    }
}

/* How far the ways of carrying the grower's own field rate into the bag lie apart; 1 for none. */
static double own_spread(const bd_season_group *g, int nutrient)
{
    double least = HUGE_VAL, most = 0.0;

    for (size_t i = 0; i < g->own_count; i++)
        if (g->own[i].nutrient == nutrient) {
            least = fmin(least, g->own[i].g_per_bag);
            most = fmax(most, g->own[i].g_per_bag);
        }
    return most > 0.0 && least > 0.0 ? most / least : 1.0;
}

static const char *why_words(const bd_need *used, int nutrient)
{
    if (used->way == BD_NEED_OWN)
        return W("season.by_own");
    if (used->way == BD_NEED_REMOVAL)
        return W("season.by_removal");
    return used->is_by_test[nutrient] ? W("season.by_test") : W("season.by_guide");
}

/* Ways of working the need out that lie far apart are said, and which one was used. */
static void tell_spread(const bd_season *s, const bd_season_group *g)
{
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        bool is_all_shown = g->need_count <= BD_SEASON_WAYS_SHOWN;
        double own = own_spread(g, n);
        double spread = own > 1.0 ? own : bd_need_spread(g->needs, g->need_count, n);
        char cite[BD_CITE_SIZE] = "";

        if (g->used[n] == NULL)
            continue;
        if (g->used[n]->way != BD_NEED_OWN)
            (void)bd_cite(g->used[n]->name, g->used[n]->trust, cite);
        bd_card_find(s->card, "season.spread", BD_NOTE,
                     is_all_shown ? W("season.spread") : W("season.spread_all"),
                     BD_ARGS(bd_name(group_name(g)), bd_name(bd_npk_name(n)),
                             bd_amount(g->need_g[n], "g"), bd_amount(spread, ""),
                             bd_words_arg(why_words(g->used[n], n))),
                     cite);
    }
}

/* ---- limits ------------------------------------------------------------------------------ */

static double most_in_a_round(const bd_season_group *g, size_t product)
{
    double most = 0.0;

    for (size_t k = 0; k < g->rounds.count; k++)
        if (!g->rounds.rounds[k].is_base)
            most = fmax(most, g->rounds.rounds[k].g[product]);
    return most;
}

static void judge_product(const bd_season *s, const bd_season_group *g, size_t i)
{
    double most = most_in_a_round(g, i);
    char name[BD_TITLE_SIZE + 80];
    bd_judged judged = {.id = g->is_dissolved ? "limit.drench" : "limit.sidedress",
                        .name = name,
                        .value = most,
                        .unit = "g/bag",
                        .ceiling = g->ceilings[i]};

    if (!(most > nothing_g))
        return;
    (void)snprintf(name, sizeof name, "%s, %s", group_name(g), s->shelf.items[i].title);
    (void)bd_judge(s->card, &judged);
}

static size_t products_in(const bd_season *s, const bd_round *round)
{
    size_t count = 0;

    for (size_t i = 0; i < s->shelf.count; i++)
        count += round->g[i] > nothing_g ? 1 : 0;
    return count;
}

/* Two products in one can: what falls out, or gives gas, is poured apart. */
static bd_status judge_can(const bd_season *s, const bd_season_group *g, const bd_round *round,
                           bool *is_apart)
{
    bd_bath bath = {.count = 0};
    bd_error e = {.status = BD_OK};
    bd_card own;
    bd_status status;

    for (size_t i = 0; i < s->shelf.count; i++)
        if (round->g[i] > nothing_g)
            bath.doses[bath.count++] =
                (bd_bath_dose){&s->shelf.items[i], bd_exactly(round->g[i] / g->pour_l), 0.0, false};
    bd_card_init(&own, "season");
    status = bd_bath_solve(&bath, s->know, &g->garden->ask, &own, &e);
    *is_apart = status == BD_OK && bd_card_verdict(&own) == BD_STOP;
    bd_card_clear(&own);
    return status == BD_OK ? BD_OK : bd_season_fail(s, g, "water", &e);
}

static bd_status judge_cans(const bd_season *s, const bd_season_group *g)
{
    bd_status status = BD_OK;
    bool is_apart = false;

    for (size_t k = 0; k < g->rounds.count && status == BD_OK && !is_apart; k++)
        if (g->is_dissolved && !g->rounds.rounds[k].is_base &&
            products_in(s, &g->rounds.rounds[k]) > 1)
            status = judge_can(s, g, &g->rounds.rounds[k], &is_apart);
    if (is_apart)
        bd_card_find(s->card, "season.apart", BD_CARE, W("season.apart"),
                     BD_ARGS(bd_name(group_name(g))), "");
    return status;
}

static void tell_chloride(const bd_season *s, const bd_season_group *g)
{
    for (size_t i = 0; i < s->shelf.count; i++) {
        const bd_material *m = s->shelf.items[i].material;

        if (m != NULL && bd_material_has(m, BD_TRAIT_CHLORIDE) && g->rounds.g[i] > nothing_g)
            bd_card_find(s->card, "season.chloride",
                         g->planting.crop->minds_chloride ? BD_CARE : BD_NOTE, W("season.chloride"),
                         BD_ARGS(bd_name(group_name(g)), bd_name(s->shelf.items[i].title)), "");
    }
}

/* Nothing the plan gives alone would do it; the mix may be as salty as its parts can be. */
static void tell_heavy_loss(const bd_season *s, const bd_season_group *g, double loss)
{
    const bd_fact *heavy = bd_catalogue_practice(s->know->catalogue, "yield-loss-stop");
    char source[BD_CITE_SIZE];

    if (bd_is_over(loss, heavy->value.typical))
        bd_card_find_limit(s->card, "season.heavy_loss", BD_CARE, W("season.heavy_loss"),
                           BD_ARGS(bd_name(group_name(g)), bd_amount(bd_whole_percent(loss), "%")),
                           loss, heavy->value.typical, "share", bd_cite_fact(heavy, source));
}

static bd_status judge_salt(const bd_season *s, const bd_season_group *g)
{
    const bd_tolerance *t = bd_crop_tolerance(g->planting.crop);
    const bd_outlook *o = &g->outlook;
    char name[120];
    bd_error e = {.status = BD_OK};
    bd_salt_line line;
    bd_range yield;

    if (t == NULL || !g->has_outlook || g->is_over)
        return BD_OK;
    line = (bd_salt_line){t->threshold_ds_per_m, t->slope_per_ds_per_m};
    if (bd_salt_yield_range(&line, o->ece_mean_ds_per_m, &yield, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    (void)snprintf(name, sizeof name, "%.70s, %.40s", group_name(g), g->planting.crop->title);
    bd_outlook_judge(s->card, name, t, o, yield);
    tell_heavy_loss(s, g, 1.0 - yield.low);
    if (s->group_count == 1)
        bd_card_figure(s->card, "yield.relative", W("figure.yield"),
                       BD_ARGS(bd_name(g->planting.crop->title)), yield, "");
    return BD_OK;
}

/* ---- figures ----------------------------------------------------------------------------------
 */

static const char *material_id(const bd_season *s, size_t i, char id[64])
{
    const bd_material *m = s->shelf.items[i].material;

    if (m != NULL)
        (void)snprintf(id, 64, "%.60s", m->name);
    else
        (void)snprintf(id, 64, "product-%zu", i + 1);
    return id;
}

/* The same material twice on the shelf (two labels) is told apart by its place. */
static bool is_namesake(const bd_season *s, size_t i)
{
    char a[64], b[64];

    for (size_t k = 0; k < i; k++)
        if (strcmp(material_id(s, i, a), material_id(s, k, b)) == 0)
            return true;
    return false;
}

/* The same as millilitres, of a liquid; `id` is that of the grams. */
static void show_volume(const bd_season *s, size_t i, const char *id, const char *key,
                        const bd_arg *args, double grams)
{
    char volume[176];
    double ml = bd_season_millilitres(s, i, grams);

    if (!(ml > 0.0))
        return;
    (void)snprintf(volume, sizeof volume, "%s_ml", id);
    bd_card_figure(s->card, volume, key, args, bd_exactly(ml), "mL");
}

static void show_product(const bd_season *s, const bd_season_group *g, size_t i)
{
    char id[160], material[64];
    size_t n;

    if (!(g->rounds.g[i] > nothing_g))
        return;
    n = (size_t)snprintf(id, sizeof id, "season.%.60s.%s", group_name(g),
                         material_id(s, i, material));
    if (is_namesake(s, i))
        n += (size_t)snprintf(id + n, sizeof id - n, "-%zu", i + 1);
    (void)snprintf(id + n, sizeof id - n, ".per_bag");
    bd_card_figure(s->card, id, W("figure.season_per_bag"),
                   BD_ARGS(bd_name(s->shelf.items[i].title), bd_name(group_name(g))),
                   bd_exactly(g->rounds.g[i]), "g");
    (void)snprintf(id + n, sizeof id - n, ".total");
    show_volume(
        s, i, id, W("figure.season_total"),
        BD_ARGS(bd_name(s->shelf.items[i].title), bd_name(group_name(g)), bd_count(g->bags.count)),
        g->rounds.g[i] * g->bags.count);
    bd_card_figure(
        s->card, id, W("figure.season_total"),
        BD_ARGS(bd_name(s->shelf.items[i].title), bd_name(group_name(g)), bd_count(g->bags.count)),
        bd_exactly(g->rounds.g[i] * g->bags.count), "g");
}

/* The first day on which something is to give; false when nothing is. */
static bool next_day(const bd_season *s, int *day)
{
    bool has = false;

    for (size_t k = 0; k < s->group_count; k++) {
        const bd_season_group *g = &s->groups[k];
        int first = g->rounds.count > 0 ? g->garden->sown + g->rounds.rounds[0].day : 0;

        if (g->rounds.count == 0 || (has && first >= *day))
            continue;
        *day = first;
        has = true;
    }
    return has;
}

static void show_next_product(const bd_season *s, const bd_season_group *g, int day, size_t i)
{
    double grams = g->rounds.rounds[0].g[i];
    char id[160], material[64], date[BD_DATE_SIZE];
    bd_arg title = bd_name(s->shelf.items[i].title), name = bd_name(group_name(g));
    int n;

    if (!(grams > nothing_g))
        return;
    n = snprintf(id, sizeof id, "next.%.60s.%s", group_name(g), material_id(s, i, material));
    if (is_namesake(s, i))
        n += snprintf(id + n, sizeof id - (size_t)n, "-%zu", i + 1);
    (void)snprintf(id + n, sizeof id - (size_t)n, ".per_bag");
    show_volume(s, i, id, W("figure.season_next_per_bag"),
                BD_ARGS(title, name, bd_name(bd_date_print(day, date))), grams);
    bd_card_figure(s->card, id, W("figure.season_next_per_bag"),
                   BD_ARGS(title, name, bd_name(bd_date_print(day, date))), bd_exactly(grams), "g");
    (void)snprintf(id + n, sizeof id - (size_t)n, ".total");
    show_volume(s, i, id, W("figure.season_next_total"),
                BD_ARGS(title, name, bd_count(g->bags.count)), grams * g->bags.count);
    bd_card_figure(s->card, id, W("figure.season_next_total"),
                   BD_ARGS(title, name, bd_count(g->bags.count)), bd_exactly(grams * g->bags.count),
                   "g");
}

/* What to do next comes before what the season adds up to. */
static void show_next(const bd_season *s)
{
    int day = 0;

    if (!next_day(s, &day))
        return;
    for (size_t k = 0; k < s->group_count; k++) {
        const bd_season_group *g = &s->groups[k];
        bool is_on_it = g->rounds.count > 0 && g->garden->sown + g->rounds.rounds[0].day == day;

        for (size_t i = 0; is_on_it && i < s->shelf.count; i++)
            show_next_product(s, g, day, i);
    }
}

/* The one product of the one group: the ids every dosing job shares. */
static void show_single(const bd_season *s, const bd_season_group *g)
{
    size_t used = 0, which = 0;

    for (size_t i = 0; i < s->shelf.count; i++)
        if (g->rounds.g[i] > nothing_g) {
            used++;
            which = i;
        }
    if (used != 1)
        return;
    bd_card_figure(s->card, "product.per_bag", W("figure.season_product_per_bag"),
                   BD_ARGS(bd_name(s->shelf.items[which].title)), bd_exactly(g->rounds.g[which]),
                   "g");
    bd_card_figure(s->card, "product.total", W("figure.season_product_total"),
                   BD_ARGS(bd_count(g->bags.count)), bd_exactly(g->rounds.g[which] * g->bags.count),
                   "g");
}

static void show_one_group(const bd_season *s, const bd_season_group *g)
{
    bd_delivery gives = {{{0, 0, 0}}};
    const bd_outlook *o = &g->outlook;

    if (s->group_count != 1)
        return;
    show_single(s, g);
    for (size_t i = 0; i < s->shelf.count; i++)
        bd_delivery_add(&gives, &s->shelf.items[i].product, bd_exactly(g->rounds.g[i]));
    bd_delivery_show(s->card, &gives, "per_bag", W("figure.season_nutrient_per_bag"), "g");
    if (!g->has_outlook)
        return;
    bd_outlook_show(s->card, o);
}

static void show_bag(const bd_season *s, const bd_season_group *g)
{
    const bd_bag *bag = &g->bags.bag;

    if (s->group_count != 1)
        return;
    bd_card_figure(s->card, "bag.area", W("figure.bag_area"), BD_NO_ARGS, bd_exactly(bag->area_m2),
                   "m2");
    bd_card_figure(s->card, "bag.volume", W("figure.bag_volume"), BD_NO_ARGS,
                   bd_exactly(bag->volume_l), "L");
    bd_card_figure(s->card, "bag.depth", W("figure.bag_depth"), BD_NO_ARGS,
                   bd_exactly(bag->depth_m), "m");
    if (g->bags.plants > 0.0)
        bd_card_figure(s->card, "bag.plants", W("figure.bag_plants"), BD_NO_ARGS,
                       bd_exactly(g->bags.plants), "");
}

static void show_cost(const bd_season *s)
{
    double price = 0.0;

    if (!s->has_prices)
        return;
    for (size_t i = 0; i < s->shelf.count; i++)
        price += bd_season_price(&s->garden->shelf[i], bd_season_total(s, i));
    bd_card_figure(s->card, "cost.total", W("figure.season_cost"), BD_NO_ARGS, bd_exactly(price),
                   s->garden->currency);
}

/* ---- cautions ---------------------------------------------------------------------------------
 */

static void show_cautions(const bd_season *s, const bd_season_group *g)
{
    bd_handling handling = {
        .is_soil = true, .is_dissolved = g->is_dissolved, .crop = g->planting.crop};

    for (size_t i = 0; i < s->shelf.count; i++)
        if (g->rounds.g[i] > nothing_g)
            handling.materials[handling.material_count++] = s->shelf.items[i].material;
    if (handling.material_count > 0)
        bd_cautions_add(s->card, s->know->catalogue, &handling);
}

static void show_feed_cautions(const bd_season *s)
{
    for (size_t i = 0; i < s->garden->feed_count; i++) {
        bd_handling handling = {.is_soil = true, .is_dissolved = true, .is_homemade = true};
        const char *name = s->garden->feeds[i].ask.products[0][BD_OPT_MATERIAL].text;

        if (bd_catalogue_material(s->know->catalogue, name, &handling.materials[0], NULL) != BD_OK)
            continue;
        handling.material_count = 1;
        bd_cautions_add(s->card, s->know->catalogue, &handling);
    }
}

/* ---- the whole ---------------------------------------------------------------------------------
 */

static bd_status tell_group(bd_season *s, const bd_season_group *g)
{
    bd_status status;

    tell_no_record(s, g);
    tell_compost(s, g);
    tell_account(s, g);
    tell_spread(s, g);
    work_account(s, g);
    for (size_t i = 0; i < s->shelf.count; i++)
        judge_product(s, g, i);
    bd_season_tell_limits(s, g);
    tell_chloride(s, g);
    status = judge_salt(s, g);
    if (status == BD_OK)
        status = judge_cans(s, g);
    bd_season_tell_cans(s, g);
    bd_season_tell_sprays(s, g);
    bd_season_tell_reuse(s, g);
    return status;
}

static void show_doses(const bd_season *s)
{
    show_next(s);
    for (size_t k = 0; k < s->group_count; k++) {
        for (size_t i = 0; i < s->shelf.count; i++)
            show_product(s, &s->groups[k], i);
        work_products(s, &s->groups[k]);
        show_one_group(s, &s->groups[k]);
    }
    show_cost(s);
    bd_season_table_rounds(s);
    bd_season_table_cans(s);
    bd_season_table_together(s);
    bd_season_table_supply(s);
    bd_season_table_shelf(s);
}

bd_status bd_season_show(bd_season *s)
{
    bd_status status = BD_OK;
    bool is_slip; /* of what is planned for such a need nothing is worth telling */

    show_title(s);
    for (size_t i = 0; i < s->group_count; i++)
        bd_season_tell_rescue(s, &s->groups[i]);
    for (size_t i = 0; i < s->group_count && status == BD_OK; i++)
        status = bd_season_judge_needs(s, &s->groups[i]);
    is_slip = bd_card_verdict(s->card) == BD_STOP;
    for (size_t i = 0; i < s->group_count && status == BD_OK && !is_slip; i++)
        status = tell_group(s, &s->groups[i]);
    if (status != BD_OK)
        return status;
    if (!is_slip)
        bd_season_tell_no_limit(s);
    if (bd_card_verdict(s->card) != BD_STOP)
        show_doses(s);
    for (size_t i = 0; i < s->group_count; i++) {
        show_bag(s, &s->groups[i]);
        show_cautions(s, &s->groups[i]);
    }
    show_feed_cautions(s);
    if (!is_slip)
        bd_season_table_account(s);
    bd_season_table_credits(s);
    bd_season_table_needs(s);
    bd_season_table_days(s);
    bd_season_table_water(s);
    bd_season_table_after(s);
    return BD_OK;
}
