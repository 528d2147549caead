/*
 * The choice of products for all groups, and the rounds.
 *
 * Chosen is what leaves least short and costs least in whole packs beyond the stock.
 * The rounds may not take all of it, and another product then fills up what is left.
 * So, once the rounds stand, each product that has to be bought is tried left out: it
 * stays out when the whole is cheaper and no bag goes short of any nutrient by more
 * than a small share of its need (pack-earns) than before.
 */
#include "job/season.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "model/salt_response.h"

static const double nothing = 1e-6;     /* grams and money that are rounding, not amounts */
static const double last_bits_g = 1e-9; /* what a sum of doubles leaves over */
/* For crops without a published threshold: no bag comes near it. */
static const double any_ece_ds_per_m = 1e3;

/* ---- the choice ------------------------------------------------------------------------ */

/* What one set of products comes to for all groups. */
typedef struct outcome {
    double short_g, price, by_weight, load;
} outcome;

/* The most of each nutrient that may come along: a little over what is asked, or anything where
 * nothing was said of it; within the ceiling of the season either way. */
static void set_most(const bd_season *s, const bd_season_group *g, double most[BD_NPK_COUNT])
{
    static const char *const names[BD_NPK_COUNT] = {"surplus-nitrogen", "surplus-phosphate",
                                                    "surplus-potash"};

    for (int i = 0; i < BD_NPK_COUNT; i++) {
        const bd_fact *over = bd_catalogue_practice(s->know->catalogue, names[i]);
        const bd_account_line *line = &g->account.of[i];
        double room = line->need * (1.0 + over->value.typical) - line->at_most;

        most[i] = g->used[i] == NULL ? HUGE_VAL : fmax(line->to_give, room);
        most[i] = fmin(most[i], g->limits[i].room_g);
    }
}

static void to_give(const bd_season_group *g, double out[BD_NPK_COUNT])
{
    for (int i = 0; i < BD_NPK_COUNT; i++)
        out[i] = bd_season_to_give(g, i);
}

/* Boron that may not be given keeps a product out; the choice asks of N, P2O5 and K2O only.  What
 * is not worth its pack is out, too. */
static bool is_barred(const bd_season *s, const bd_season_group *g, size_t product)
{
    if ((s->dropped & (1u << product)) != 0)
        return true;
    return g->items[product].boron_share > 0.0 && !(g->limits[BD_SEASON_BORON].room_g > 0.0);
}

/* The cheapest of the products whose bits are set that give what is wanted. */
static bd_status choose_from(const bd_season *s, const bd_season_group *g, unsigned set,
                             const double wanted[BD_NPK_COUNT], const double most[BD_NPK_COUNT],
                             bd_shelf_choice *out)
{
    bd_shelf_item items[BD_SHELF_MAX] = {{.name = NULL}};
    bd_shelf_choice found;
    size_t place[BD_SHELF_MAX], count = 0;
    bd_error e = {.status = BD_OK};

    for (size_t i = 0; i < s->shelf.count; i++)
        if ((set & (1u << i)) != 0 && !is_barred(s, g, i)) {
            items[count] = g->items[i];
            place[count++] = i;
        }
    if (count == 0) {
        *out = (bd_shelf_choice){.price = 0.0};
        memcpy(out->short_of, wanted, sizeof out->short_of);
        return BD_OK;
    }
    if (bd_shelf_choose(items, count, wanted, most, &found, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    *out = found;
    memset(out->g, 0, sizeof out->g);
    for (size_t i = 0; i < count; i++)
        out->g[place[i]] = found.g[i];
    return BD_OK;
}

/* The choice of one group for the season. */
static bd_status choose(const bd_season *s, const bd_season_group *g, unsigned set,
                        bd_shelf_choice *out)
{
    double wanted[BD_NPK_COUNT], most[BD_NPK_COUNT];

    to_give(g, wanted);
    set_most(s, g, most);
    return choose_from(s, g, set, wanted, most, out);
}

/* Whole packs of a product beyond what is in stock. */
double bd_season_price(const bd_garden_product *p, double grams)
{
    double missing = grams - (p->has_stock ? p->stock_g : 0.0);

    if (!(missing > nothing) || !p->has_price)
        return 0.0;
    return p->price * ceil(missing / p->pack_g - nothing);
}

static bd_status try_set(const bd_season *s, unsigned set, outcome *out)
{
    double grams[BD_SHELF_MAX] = {0.0};

    *out = (outcome){0, 0, 0, 0};
    for (size_t k = 0; k < s->group_count; k++) {
        const bd_season_group *g = &s->groups[k];
        bd_shelf_choice choice = {.price = 0.0};
        bd_status status = choose(s, g, set, &choice);

        if (status != BD_OK)
            return status;
        for (int n = 0; n < BD_NPK_COUNT; n++)
            out->short_g += choice.short_of[n] * g->bags.count;
        for (size_t i = 0; i < s->shelf.count; i++)
            grams[i] += choice.g[i] * g->bags.count;
        out->by_weight += choice.price * g->bags.count;
        out->load += choice.load_ds_l_per_m * g->bags.count;
    }
    for (size_t i = 0; i < s->shelf.count; i++)
        out->price += bd_season_price(&s->garden->shelf[i], grams[i]);
    return BD_OK;
}

/* Less short, then cheaper to buy in whole packs, then by weight, then less salt. */
static bool is_better(const outcome *a, const outcome *b)
{
    const double left[] = {a->short_g, a->price, a->by_weight, a->load};
    const double right[] = {b->short_g, b->price, b->by_weight, b->load};

    for (size_t i = 0; i < sizeof left / sizeof left[0]; i++) {
        if (left[i] < right[i] - nothing)
            return true;
        if (left[i] > right[i] + nothing)
            return false;
    }
    return false;
}

/* Whole packs make every set of products its own price, so each is tried. */
static bd_status choose_for_all(bd_season *s)
{
    unsigned sets = 1u << s->shelf.count, best_set = sets - 1;
    outcome best, seen;
    bd_status status;

    if (s->shelf.count == 0)
        return BD_OK;
    status = try_set(s, best_set, &best);
    for (unsigned set = 1; s->has_prices && set < sets - 1 && status == BD_OK; set++) {
        status = try_set(s, set, &seen);
        if (status == BD_OK && is_better(&seen, &best)) {
            best = seen;
            best_set = set;
        }
    }
    for (size_t k = 0; k < s->group_count && status == BD_OK; k++)
        status = choose(s, &s->groups[k], best_set, &s->groups[k].choice);
    return status;
}

double bd_season_total(const bd_season *s, size_t product)
{
    double sum = 0.0;

    for (size_t k = 0; k < s->group_count; k++)
        sum += s->groups[k].rounds.g[product] * s->groups[k].bags.count;
    return sum;
}

/* ---- rounds -------------------------------------------------------------------------------- */

/* The ECe the plan keeps below: where salt costs a tenth of the yield or so. */
static bd_status set_most_ece(const bd_season *s, bd_season_group *g)
{
    const bd_tolerance *t = bd_crop_tolerance(g->planting.crop);
    double loss = bd_catalogue_practice(s->know->catalogue, "season-salt-loss")->value.typical;
    bd_error e = {.status = BD_OK};
    bd_salt_line line;

    g->most_ece_ds_per_m = HUGE_VAL;
    if (t == NULL)
        return BD_OK;
    line = (bd_salt_line){t->threshold_ds_per_m, t->slope_per_ds_per_m};
    if (bd_salt_ece_at_yield(&line, 1.0 - loss, &g->most_ece_ds_per_m, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    return BD_OK;
}

static void watch_ece(const bd_rootzone_day *day, void *to)
{
    bd_season_group *g = to;

    if (day->day >= 0 && day->day <= BD_SEASON_DAYS_MAX)
        g->ece_of_day[day->day] = day->ece_ds_per_m;
}

/* The typical course once more, for the days of the table. */
static bd_status follow(const bd_season *s, bd_season_group *g)
{
    bd_dressing dressings[BD_DRESSINGS_MAX];
    bd_rootzone zone = bd_season_zone(s, g);
    size_t before = zone.dressing_count;
    bd_error e = {.status = BD_OK};
    bd_course course;

    for (size_t i = 0; i < before; i++)
        dressings[i] = zone.dressings[i];
    zone.dressing_count +=
        bd_rounds_dressings(&g->rounds, g->order.from_day, g->pour_l, s->water_ec_ds_per_m,
                            bd_exactly(1.0), dressings + before);
    zone.dressings = dressings;
    if (bd_rootzone_follow(&zone, BD_END_TYPICAL, watch_ece, g, &course, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    return BD_OK;
}

static bd_status close_account(const bd_season *s, bd_season_group *g)
{
    bd_error e = {.status = BD_OK};

    if (bd_account_close(&g->account, g->rounds.gives, g->shortfall, g->surplus, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        g->shortfall[n] = g->shortfall[n] < last_bits_g ? 0.0 : g->shortfall[n];
        g->surplus[n] = g->surplus[n] < last_bits_g ? 0.0 : g->surplus[n];
    }
    return BD_OK;
}

static bool pours_too_salty(const bd_season_group *g)
{
    for (size_t k = 0; k < g->rounds.count; k++)
        if (!g->rounds.rounds[k].is_base &&
            g->rounds.rounds[k].load_ds_l_per_m > g->most_pour_load_ds_l_per_m)
            return true;
    return false;
}

static bd_status fit_rounds(const bd_season *s, bd_season_group *g)
{
    bd_rootzone zone = bd_season_zone(s, g);
    bd_error e = {.status = BD_OK};
    bd_rounds_fit fit;

    if (bd_rounds_within(&g->order, g->items, s->shelf.count, &g->choice, &zone, g->pour_l,
                         s->water_ec_ds_per_m, fmin(g->most_ece_ds_per_m, any_ece_ds_per_m), &fit,
                         &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    g->rounds = fit.rounds;
    g->outlook = fit.outlook;
    g->has_outlook = true;
    return BD_OK;
}

/* The ceiling on what is poured is no ceiling on what is mixed in, so it is asked for only when a
 * plan without it breaks it. */
static bd_status fit_within_water(const bd_season *s, bd_season_group *g)
{
    bd_status status = fit_rounds(s, g);

    if (status != BD_OK || !pours_too_salty(g))
        return status;
    g->order.most_load_ds_l_per_m =
        fmin(g->order.most_load_ds_l_per_m, g->most_pour_load_ds_l_per_m);
    return fit_rounds(s, g);
}

/* What the rounds leave short of each nutrient [g a bag]; returns the sum. */
static double still_short(const bd_season_group *g, double out[BD_NPK_COUNT])
{
    double wanted[BD_NPK_COUNT], sum = 0.0;

    to_give(g, wanted);
    for (int i = 0; i < BD_NPK_COUNT; i++) {
        out[i] = fmax(0.0, wanted[i] - g->rounds.gives[i]);
        sum += out[i];
    }
    return sum;
}

/* Products without nitrogen; 0 when the shelf has none. */
static unsigned without_nitrogen(const bd_season *s, const bd_season_group *g)
{
    unsigned set = 0;

    for (size_t i = 0; i < s->shelf.count; i++)
        if (!(g->items[i].share[BD_NPK_N] > 0.0))
            set |= 1u << i;
    return set;
}

/* Adds products without nitrogen to the choice, for what the rounds left short. */
static bd_status choose_more(const bd_season *s, bd_season_group *g, unsigned set,
                             const double wanted[BD_NPK_COUNT])
{
    double most[BD_NPK_COUNT];
    bd_shelf_choice more = {.g = {0.0}};
    bd_status status;

    set_most(s, g, most);
    for (int i = 0; i < BD_NPK_COUNT; i++)
        most[i] = fmax(wanted[i], most[i] - g->rounds.gives[i]);
    status = choose_from(s, g, set, wanted, most, &more);
    if (status != BD_OK)
        return status;
    for (size_t i = 0; i < s->shelf.count; i++)
        if ((set & (1u << i)) != 0)
            g->choice.g[i] = fmax(g->choice.g[i], g->rounds.g[i] + more.g[i]);
    return BD_OK;
}

/* Where the cheapest choice does not go in, for its rounds end early or bear no more of it, other
 * products may; the first plan stays when the second is not better. */
static bd_status fill_up(const bd_season *s, bd_season_group *g)
{
    unsigned set = without_nitrogen(s, g);
    bd_season_group first = *g;
    double before[BD_NPK_COUNT], after[BD_NPK_COUNT], sum = still_short(g, before);
    double wanted[BD_NPK_COUNT];
    bool is_worse = false;
    bd_status status;

    memcpy(wanted, before, sizeof wanted);
    wanted[BD_NPK_N] = 0.0;
    if (set == 0 || !(wanted[BD_NPK_P2O5] + wanted[BD_NPK_K2O] > nothing))
        return BD_OK;
    status = choose_more(s, g, set, wanted);
    if (status == BD_OK)
        status = fit_within_water(s, g);
    if (status != BD_OK)
        return status;
    is_worse = !(still_short(g, after) < sum - nothing);
    for (int i = 0; i < BD_NPK_COUNT; i++)
        is_worse |= after[i] > before[i] + nothing;
    if (is_worse)
        *g = first;
    return BD_OK;
}

/* ---- what is too little to measure ------------------------------------------------------- */

static bool is_small(const bd_season *s, const bd_season_group *g, const bd_round *round)
{
    for (size_t i = 0; i < s->shelf.count; i++)
        if (round->g[i] > nothing && !bd_season_is_measurable(s, g, i, round->g[i]))
            return true;
    return false;
}

static bool has_small(const bd_season *s, const bd_season_group *g)
{
    for (size_t k = 0; k < g->rounds.count; k++)
        if (is_small(s, g, &g->rounds.rounds[k]))
            return true;
    return false;
}

/* The rest of a season in one round fewer; `is_done` where that left more short. */
static bd_status join_once(const bd_season *s, bd_season_group *g, bool *is_done)
{
    bd_season_group before = *g;
    double left[BD_NPK_COUNT], sum = still_short(g, left);
    bd_status status;

    g->order.wanted_rounds = g->order.most_rounds = (int)g->rounds.count - 1;
    status = fit_within_water(s, g);
    *is_done = status != BD_OK || still_short(g, left) > sum + nothing ||
               g->rounds.count >= before.rounds.count;
    if (status == BD_OK && *is_done)
        *g = before;
    return status;
}

/* All that is left is within the error of a good weighing of the need. */
static bool is_met(const bd_season *s, const bd_season_group *g)
{
    double share = bd_catalogue_practice(s->know->catalogue, "scale-error")->value.typical;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (g->rounds.gives[n] > share * g->need_g[n])
            return false;
    return true;
}

static bd_status leave_out_rest(const bd_season *s, bd_season_group *g)
{
    memcpy(g->unmeasured_g, g->rounds.gives, sizeof g->unmeasured_g);
    memset(g->choice.g, 0, sizeof g->choice.g);
    return fit_within_water(s, g);
}

/* Under way, what is left may be so little that a scale does not show a share of it. */
static bd_status join_small(const bd_season *s, bd_season_group *g)
{
    bd_status status = BD_OK;
    bool is_done = g->rounds_given == 0;

    while (status == BD_OK && !is_done && g->rounds.count > 1 && has_small(s, g))
        status = join_once(s, g, &is_done);
    if (status == BD_OK && g->rounds_given > 0 && g->rounds.count > 0 && has_small(s, g) &&
        is_met(s, g))
        status = leave_out_rest(s, g);
    return status;
}

static bd_status look_ahead(const bd_season *s, bd_season_group *g)
{
    bd_rootzone zone = bd_season_zone(s, g);
    bd_error e = {.status = BD_OK};

    if (bd_rootzone_outlook(&zone, &g->outlook, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    g->has_outlook = true;
    return BD_OK;
}

static bd_status plan_rounds(bd_season *s, bd_season_group *g)
{
    bd_status status = set_most_ece(s, g);

    if (status == BD_OK && s->shelf.count > 0 && !g->is_over && g->season_days > 1)
        status = fit_within_water(s, g);
    else if (status == BD_OK)
        status = look_ahead(s, g);
    if (status == BD_OK && g->rounds.count > 0)
        status = fill_up(s, g);
    if (status == BD_OK && g->rounds.count > 0)
        status = join_small(s, g);
    if (status == BD_OK)
        status = follow(s, g);
    return status == BD_OK ? close_account(s, g) : status;
}

/* ---- what does not earn its pack --------------------------------------------------------- */

static double price_of_all(const bd_season *s)
{
    double price = 0.0;

    for (size_t i = 0; i < s->shelf.count; i++)
        price += bd_season_price(&s->garden->shelf[i], bd_season_total(s, i));
    return price;
}

static double pack_share(const bd_season *s)
{
    return bd_catalogue_practice(s->know->catalogue, "pack-earns")->value.typical;
}

/* No bag goes short by more than the share of its need than it did. */
static bool is_as_good(const bd_season *s, const bd_season_group *before)
{
    double share = pack_share(s);

    for (size_t k = 0; k < s->group_count; k++)
        for (int n = 0; n < BD_NPK_COUNT; n++)
            if (s->groups[k].shortfall[n] >
                before[k].shortfall[n] + share * before[k].need_g[n] + last_bits_g)
                return false;
    return true;
}

static bd_status plan_again(bd_season *s, const bd_season_group *fresh)
{
    bd_status status;

    memcpy(s->groups, fresh, s->group_count * sizeof *fresh);
    status = choose_for_all(s);
    for (size_t k = 0; k < s->group_count && status == BD_OK; k++)
        status = plan_rounds(s, &s->groups[k]);
    return status;
}

/* Plans of all groups: what a plan begins from, the first of all, the best so far. */
typedef struct plans {
    bd_season_group *fresh, *first, *best;
} plans;

static bd_status try_without(bd_season *s, size_t product, const plans *p)
{
    size_t size = s->group_count * sizeof *p->best;
    double before = price_of_all(s);
    bd_status status;

    memcpy(p->best, s->groups, size);
    s->dropped |= 1u << product;
    status = plan_again(s, p->fresh);
    if (status == BD_OK && price_of_all(s) < before - nothing && is_as_good(s, p->first)) {
        bd_card_find(s->card, "season.not_bought", BD_NOTE, W("season.not_bought"),
                     BD_ARGS(bd_name(s->shelf.items[product].title),
                             bd_amount(before - price_of_all(s), s->garden->currency),
                             bd_amount(100.0 * pack_share(s), "%")),
                     "");
        return BD_OK;
    }
    s->dropped &= ~(1u << product);
    memcpy(s->groups, p->best, size);
    return status;
}

bd_status bd_season_plan_rounds(bd_season *s)
{
    size_t count = s->group_count;
    bd_season_group *room = calloc(3 * count, sizeof *room);
    plans p;
    bd_status status;

    if (room == NULL)
        return bd_fail(s->err, BD_MEMORY, NULL, "no memory left");
    p = (plans){.fresh = room, .first = room + count, .best = room + 2 * count};
    memcpy(p.fresh, s->groups, count * sizeof *room);
    status = plan_again(s, p.fresh);
    memcpy(p.first, s->groups, count * sizeof *room);
    for (size_t i = 0; i < s->shelf.count && status == BD_OK; i++)
        if (bd_season_price(&s->garden->shelf[i], bd_season_total(s, i)) > nothing)
            status = try_without(s, i, &p);
    free(room);
    return status;
}
