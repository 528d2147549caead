#include "model/rounds.h"

#include <math.h>
#include <string.h>

#include "model/inputs.h"

static const double most_season_days = 1000.0;
/* Grams a bag that are lost in rounding, not held back by a ceiling. */
static const double nothing_g = 1e-9;
/* More rounds have to bring that share of the choice more. */
static const double kept_step = 0.002;
enum { HALVINGS = 12 };

double bd_uptake_at(const bd_uptake_point *points, size_t count, double season_share)
{
    bd_uptake_point before = {0.0, 0.0};

    if (points == NULL || count == 0)
        return fmin(fmax(season_share, 0.0), 1.0);
    for (size_t i = 0; i < count; i++) {
        if (season_share <= points[i].season_share) {
            double along = (season_share - before.season_share) /
                           (points[i].season_share - before.season_share);

            return before.taken_share +
                   fmax(along, 0.0) * (points[i].taken_share - before.taken_share);
        }
        before = points[i];
    }
    return before.taken_share;
}

/* ---- what is asked for ---- */

static bool is_day(int day, int low, int high, const char *what, bd_error *err)
{
    return bd_input_is_between(day, low, high, what, "d", err);
}

static bool is_ceiling(double x, const char *what, bd_error *err)
{
    return bd_input_is_between(x, 0.0, HUGE_VAL, what, "", err);
}

static bool are_fine_days(const bd_rounds_order *o, bd_error *err)
{
    return is_day(o->season_days, 2, (int)most_season_days, "season", err) &&
           is_day(o->from_day, 0, o->season_days - 1, "day of today", err) &&
           is_day(o->last_day, 0, o->season_days - 1, "day of the last dressing", err) &&
           is_day(o->first_day, 0, o->season_days - 1, "day of the first dressing", err) &&
           is_day(o->last_nitrogen_day, 0, o->season_days, "day of the last nitrogen", err) &&
           is_day(o->interval_days, 1, o->season_days, "interval", err) &&
           is_day(o->most_rounds, 1, BD_ROUNDS_MAX - 1, "highest number of rounds", err) &&
           is_day(o->wanted_rounds, 1, o->most_rounds, "number of rounds", err);
}

static bool are_fine_ceilings(const bd_rounds_order *o, bd_error *err)
{
    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (!is_ceiling(o->most_nutrient_g[n], "most of a nutrient", err) ||
            !is_ceiling(o->most_base_g[n], "most of a nutrient", err) ||
            !is_ceiling(o->most_season_g[n], "most of a nutrient in a season", err) ||
            !bd_input_is_between(o->base_share[n], 0.0, 1.0, "share before sowing", "", err))
            return false;
    return is_ceiling(o->most_load_ds_l_per_m, "most salt", err) &&
           is_ceiling(o->most_season_boron_g, "most boron in a season", err);
}

static bool are_fine_items(const bd_shelf_item *items, size_t count, const bd_shelf_choice *choice,
                           bd_error *err)
{
    if (!bd_input_is_between((double)count, 1.0, BD_SHELF_MAX, "number of products", "", err))
        return false;
    for (size_t i = 0; i < count; i++)
        if (!is_ceiling(items[i].most_g_per_round, "most of a product", err) ||
            !bd_input_is_between(items[i].load_ds_l_per_m_per_g, 0.0, BD_AMOUNT_MOST,
                                 "salt of a gram", "dS/m * L", err) ||
            !bd_input_is_between(items[i].boron_share, 0.0, 1.0, "boron of a product", "", err) ||
            !bd_input_is_between(choice->g[i], 0.0, BD_AMOUNT_MOST, "product", "g", err))
            return false;
    return true;
}

/* ---- days ---- */

typedef struct bd_plan {
    const bd_rounds_order *order;
    const bd_shelf_item *items;
    size_t count;
    const bd_shelf_choice *choice;
    bd_rounds rounds;
    double left_g[BD_SHELF_MAX];
    double given_g[BD_NPK_COUNT], given_boron_g; /* in all rounds so far */
} bd_plan;

static int start_day(const bd_rounds_order *o)
{
    return o->first_day > o->from_day ? o->first_day : o->from_day;
}

/* Rounds the days have room for, beside the base dressing. */
static int rounds_that_fit(const bd_rounds_order *o)
{
    int room = o->last_day - start_day(o);
    int fit = room < 0 ? 0 : 1 + room / o->interval_days;

    return fit < o->most_rounds ? fit : o->most_rounds;
}

static bool has_base(const bd_rounds_order *o)
{
    double sum = 0.0;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        sum += o->base_share[n];
    return o->from_day == 0 && sum > 0.0;
}

static void set_days(bd_plan *p, int wanted)
{
    const bd_rounds_order *o = p->order;
    int from = start_day(o);

    p->rounds.count = 0;
    if (has_base(o))
        p->rounds.rounds[p->rounds.count++] = (bd_round){.day = 0, .is_base = true};
    for (int k = 0; k < wanted; k++) {
        int day = wanted == 1 ? from : from + k * (o->last_day - from) / (wanted - 1);

        p->rounds.rounds[p->rounds.count++] = (bd_round){.day = day};
    }
}

/* ---- amounts ---- */

static int main_nutrient(const bd_shelf_item *item)
{
    int most = BD_NPK_K2O;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (item->share[n] > item->share[most])
            most = n;
    return most;
}

static bool is_open_to(const bd_plan *p, const bd_round *round, const bd_shelf_item *item)
{
    return !(item->share[BD_NPK_N] > 0.0) || round->day <= p->order->last_nitrogen_day;
}

static double taken_by(const bd_rounds_order *o, int nutrient, double day)
{
    return bd_uptake_at(o->uptake[nutrient], o->uptake_count[nutrient], day / o->season_days);
}

/* The day up to which a round feeds: that of the next, or the harvest. */
static int day_after(const bd_plan *p, size_t k)
{
    return k + 1 < p->rounds.count ? p->rounds.rounds[k + 1].day : p->order->season_days;
}

/* Share of uptake that a round is for; the first after sowing makes up for what came before it,
 * unless the mix or the bag was fed for that. */
static double weight_of(const bd_plan *p, size_t k, int nutrient)
{
    const bd_round *round = &p->rounds.rounds[k];
    double from = k == 0 && !p->order->was_fed ? p->order->from_day : round->day;

    if (round->is_base)
        return 0.0;
    return fmax(0.0,
                taken_by(p->order, nutrient, day_after(p, k)) - taken_by(p->order, nutrient, from));
}

static double sum_of_weights(const bd_plan *p, const bd_shelf_item *item, int nutrient)
{
    double sum = 0.0;

    for (size_t k = 0; k < p->rounds.count; k++)
        if (is_open_to(p, &p->rounds.rounds[k], item))
            sum += weight_of(p, k, nutrient);
    return sum;
}

/* ---- ceilings ---- */

/* How much more of an item a round bears, and what bounds it. */
typedef struct bd_room {
    double g;
    const char *by;
} bd_room;

static void narrow(bd_room *room, double g, const char *by)
{
    if (g < room->g)
        *room = (bd_room){fmax(g, 0.0), by};
}

/* What the ceilings of the season leave of an item, whatever the round. */
static double season_room_g(const bd_plan *p, size_t item)
{
    const bd_shelf_item *it = &p->items[item];
    const bd_rounds_order *o = p->order;
    double room = HUGE_VAL;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (it->share[n] > 0.0)
            room = fmin(room, (o->most_season_g[n] - p->given_g[n]) / it->share[n]);
    if (it->boron_share > 0.0)
        room = fmin(room, (o->most_season_boron_g - p->given_boron_g) / it->boron_share);
    return fmax(room, 0.0);
}

static bd_room room_in(const bd_plan *p, const bd_round *round, size_t item)
{
    const bd_shelf_item *it = &p->items[item];
    const double *most = round->is_base ? p->order->most_base_g : p->order->most_nutrient_g;
    bd_room room = {HUGE_VAL, ""};

    if (!is_open_to(p, round, it))
        return (bd_room){0.0, "days"};
    if (!round->is_base)
        narrow(&room, it->most_g_per_round - round->g[item], "product");
    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (it->share[n] > 0.0)
            narrow(&room, (most[n] - round->gives[n]) / it->share[n], bd_npk_name(n));
    if (it->load_ds_l_per_m_per_g > 0.0)
        narrow(&room,
               (p->order->most_load_ds_l_per_m - round->load_ds_l_per_m) /
                   it->load_ds_l_per_m_per_g,
               "salt");
    narrow(&room, season_room_g(p, item), "season");
    return room;
}

/* Puts as much of `g` into a round as there is room for. */
static void put(bd_plan *p, size_t k, size_t item, double g)
{
    bd_round *round = &p->rounds.rounds[k];
    double fits = fmin(fmin(g, p->left_g[item]), room_in(p, round, item).g);

    if (!(fits > 0.0))
        return;
    round->g[item] += fits;
    p->left_g[item] -= fits;
    round->load_ds_l_per_m += fits * p->items[item].load_ds_l_per_m_per_g;
    p->given_boron_g += fits * p->items[item].boron_share;
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        round->gives[n] += fits * p->items[item].share[n];
        p->given_g[n] += fits * p->items[item].share[n];
    }
}

/* The first share-out, by uptake. */
static void share_out(bd_plan *p, size_t item)
{
    int nutrient = main_nutrient(&p->items[item]);
    double whole_g = p->choice->g[item];
    bool is_before_sowing = has_base(p->order);
    double sum = sum_of_weights(p, &p->items[item], nutrient);
    double rest_g;

    if (is_before_sowing)
        put(p, 0, item, whole_g * p->order->base_share[nutrient]);
    rest_g = p->left_g[item];
    for (size_t k = is_before_sowing ? 1 : 0; sum > 0.0 && k < p->rounds.count; k++)
        put(p, k, item, rest_g * weight_of(p, k, nutrient) / sum);
}

/* What a ceiling cut goes where there is room, the earliest round first; the mix takes no more. */
static void share_cuts(bd_plan *p, size_t item)
{
    for (size_t k = has_base(p->order) ? 1 : 0; k < p->rounds.count; k++)
        put(p, k, item, p->left_g[item]);
}

/* Something is left that one round more could take: not what the season has no room for. */
static bool has_left(const bd_plan *p)
{
    double sum = 0.0;

    for (size_t i = 0; i < p->count; i++)
        sum += fmin(p->left_g[i], season_room_g(p, i));
    return sum > nothing_g;
}

typedef void put_item(bd_plan *p, size_t item);

/* What holds nitrogen comes first, for it may be given on fewer days. */
static void for_each_item(bd_plan *p, put_item *put_it)
{
    for (size_t i = 0; i < p->count; i++)
        if (p->items[i].share[BD_NPK_N] > 0.0)
            put_it(p, i);
    for (size_t i = 0; i < p->count; i++)
        if (!(p->items[i].share[BD_NPK_N] > 0.0))
            put_it(p, i);
}

static void plan_with(bd_plan *p, int wanted)
{
    for (size_t i = 0; i < p->count; i++)
        p->left_g[i] = p->choice->g[i];
    memset(p->given_g, 0, sizeof p->given_g);
    p->given_boron_g = 0.0;
    set_days(p, wanted);
    for_each_item(p, share_out);
    for_each_item(p, share_cuts);
}

/* ---- the sums ---- */

static const char *what_held(const bd_plan *p)
{
    for (size_t i = 0; i < p->count; i++) {
        bd_room room = {0.0, "days"};

        if (!(p->left_g[i] > nothing_g))
            continue;
        for (size_t k = has_base(p->order) ? 1 : 0; k < p->rounds.count; k++)
            if (is_open_to(p, &p->rounds.rounds[k], &p->items[i]))
                room = room_in(p, &p->rounds.rounds[k], i);
        return room.by;
    }
    return "";
}

static bool is_empty(const bd_plan *p, const bd_round *round)
{
    double sum = 0.0;

    for (size_t i = 0; i < p->count; i++)
        sum += round->g[i];
    return !(sum > nothing_g);
}

/* Rounds without anything in them are none: at the ends, and where nothing was allowed. */
static void drop_empty(bd_plan *p)
{
    size_t kept = 0;

    for (size_t k = 0; k < p->rounds.count; k++)
        if (!is_empty(p, &p->rounds.rounds[k]))
            p->rounds.rounds[kept++] = p->rounds.rounds[k];
    p->rounds.count = kept;
}

static void add_up(bd_plan *p)
{
    bd_rounds *r = &p->rounds;

    for (size_t k = 0; k < r->count; k++) {
        for (size_t i = 0; i < p->count; i++)
            r->g[i] += r->rounds[k].g[i];
        for (int n = 0; n < BD_NPK_COUNT; n++)
            r->gives[n] += r->rounds[k].gives[n];
    }
    for (size_t i = 0; i < p->count; i++)
        r->left_out_g[i] = p->left_g[i];
    r->held_by = what_held(p);
}

static void compare_with_uptake(bd_plan *p)
{
    bd_rounds *r = &p->rounds;
    double so_far[BD_NPK_COUNT] = {0.0};

    for (size_t k = 0; k < r->count; k++) {
        for (int n = 0; n < BD_NPK_COUNT; n++) {
            so_far[n] += r->rounds[k].gives[n];
            r->rounds[k].supplied[n] = r->gives[n] > 0.0 ? fmin(1.0, so_far[n] / r->gives[n]) : 0.0;
            r->rounds[k].taken[n] = taken_by(p->order, n, day_after(p, k));
        }
    }
}

bd_status bd_rounds_plan(const bd_rounds_order *order, const bd_shelf_item *items, size_t count,
                         const bd_shelf_choice *choice, bd_rounds *out, bd_error *err)
{
    bd_plan plan = {.order = order, .items = items, .count = count, .choice = choice};
    int fit, wanted;

    if (!are_fine_days(order, err) || !are_fine_ceilings(order, err) ||
        !are_fine_items(items, count, choice, err))
        return BD_RANGE;
    fit = rounds_that_fit(order);
    wanted = order->wanted_rounds < fit ? order->wanted_rounds : fit;
    plan_with(&plan, wanted);
    while (has_left(&plan) && wanted < fit)
        plan_with(&plan, ++wanted);
    drop_empty(&plan);
    add_up(&plan);
    compare_with_uptake(&plan);
    *out = plan.rounds;
    return BD_OK;
}

/* ---- the root zone ---- */

size_t bd_rounds_dressings(const bd_rounds *rounds, int from_day, double water_l,
                           double water_ds_per_m, bd_range spread, bd_dressing out[BD_ROUNDS_MAX])
{
    size_t n = 0;

    for (size_t k = 0; k < rounds->count; k++) {
        const bd_round *round = &rounds->rounds[k];
        double litres = round->is_base ? 0.0 : water_l;

        if (round->day < from_day)
            continue;
        out[n++] = (bd_dressing){.day = round->day - from_day,
                                 .water_l = litres,
                                 .load_ds_l_per_m =
                                     bd_range_add(bd_range_scale(spread, round->load_ds_l_per_m),
                                                  bd_exactly(litres * water_ds_per_m))};
    }
    return n;
}

/* One try of bd_rounds_within. */
typedef struct bd_trial {
    const bd_rounds_order *order;
    const bd_shelf_item *items;
    size_t count;
    const bd_shelf_choice *choice;
    const bd_rootzone *zone;
    double water_l, water_ds_per_m;
    bd_error *err;
} bd_trial;

static bd_status try_share(const bd_trial *t, double kept, bd_rounds_fit *fit)
{
    bd_shelf_choice part = *t->choice;
    bd_rootzone zone = *t->zone;
    bd_dressing dressings[BD_DRESSINGS_MAX];
    size_t before = zone.dressing_count;
    bd_status status;

    for (size_t i = 0; i < t->count; i++)
        part.g[i] *= kept;
    fit->kept = kept;
    status = bd_rounds_plan(t->order, t->items, t->count, &part, &fit->rounds, t->err);
    if (status != BD_OK)
        return status;
    for (size_t i = 0; i < t->count; i++)
        fit->rounds.left_out_g[i] = t->choice->g[i] - fit->rounds.g[i];
    if (kept < 1.0)
        fit->rounds.held_by = "mix";
    for (size_t i = 0; i < before; i++)
        dressings[i] = zone.dressings[i];
    zone.dressings = dressings;
    zone.dressing_count +=
        bd_rounds_dressings(&fit->rounds, t->order->from_day, t->water_l, t->water_ds_per_m,
                            bd_exactly(1.0), dressings + before);
    return bd_rootzone_outlook(&zone, &fit->outlook, t->err);
}

/* The most of the choice that stays within, at the rounds the order wants. */
static bd_status halve(const bd_trial *t, double most_ece_ds_per_m, bd_rounds_fit *best)
{
    bd_rounds_fit fit;
    double low = 0.0, high = 1.0;
    bd_status status = try_share(t, 1.0, best);

    if (status != BD_OK || best->outlook.ece_peak_ds_per_m.high <= most_ece_ds_per_m)
        return status;
    status = try_share(t, 0.0, best);
    for (int i = 0; status == BD_OK && i < HALVINGS; i++) {
        status = try_share(t, (low + high) / 2.0, &fit);
        if (status == BD_OK && fit.outlook.ece_peak_ds_per_m.high <= most_ece_ds_per_m) {
            low = fit.kept;
            *best = fit;
        } else {
            high = fit.kept;
        }
    }
    return status;
}

bd_status bd_rounds_within(const bd_rounds_order *order, const bd_shelf_item *items, size_t count,
                           const bd_shelf_choice *choice, const bd_rootzone *zone, double water_l,
                           double water_ds_per_m, double most_ece_ds_per_m, bd_rounds_fit *out,
                           bd_error *err)
{
    bd_rounds_order tried = *order;
    bd_trial trial = {&tried, items, count, choice, zone, water_l, water_ds_per_m, err};
    bd_rounds_fit best, fit;
    int room = 0;
    bd_status status;

    if (!bd_input_is_between(water_l, 0.0, BD_AMOUNT_MOST, "water of a dressing", "L", err) ||
        !bd_input_is_between(water_ds_per_m, 0.0, BD_AMOUNT_MOST, "water", "dS/m", err) ||
        !bd_input_is_between(most_ece_ds_per_m, 0.0, BD_AMOUNT_MOST, "most ECe", "dS/m", err) ||
        !bd_input_is_between((double)zone->dressing_count, 0.0, BD_DRESSINGS_MAX - BD_ROUNDS_MAX,
                             "number of dressings before", "", err))
        return BD_RANGE;
    status = halve(&trial, most_ece_ds_per_m, &best);
    if (status == BD_OK && rounds_that_fit(order) > order->wanted_rounds)
        room = rounds_that_fit(order) - order->wanted_rounds;
    /* What came in fewer, larger rounds may go in in more, for some drains and is used between. */
    for (int half = 1; status == BD_OK && best.kept < 1.0 && half <= 2; half++) {
        tried.wanted_rounds = order->wanted_rounds + room * half / 2;
        if (tried.wanted_rounds == order->wanted_rounds)
            continue;
        status = halve(&trial, most_ece_ds_per_m, &fit);
        if (status == BD_OK && fit.kept > best.kept + kept_step)
            best = fit;
    }
    if (status == BD_OK)
        *out = best;
    return status;
}

/* ---- sprays ---- */

bd_status bd_spray_counts(const double g_per_spray[BD_NPK_COUNT], double sprays,
                          const double need[BD_NPK_COUNT], double note_share, bd_spray_share *out,
                          bd_error *err)
{
    bd_spray_share share = {.is_note = true};

    if (!bd_input_is_between(sprays, 0.0, BD_AMOUNT_MOST, "number of sprays", "", err) ||
        !bd_input_is_between(note_share, 0.0, 1.0, "share that is a note", "", err))
        return BD_RANGE;
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        if (!bd_input_is_between(g_per_spray[n], 0.0, BD_AMOUNT_MOST, "amount of a spray", "g",
                                 err) ||
            !bd_input_is_between(need[n], 0.0, BD_AMOUNT_MOST, "need", "g", err))
            return BD_RANGE;
        share.share[n] = need[n] > 0.0 ? g_per_spray[n] * sprays / need[n] : 0.0;
    }
    share.is_note = g_per_spray[BD_NPK_N] * sprays < note_share * need[BD_NPK_N] ||
                    !(g_per_spray[BD_NPK_N] * sprays > 0.0);
    *out = share;
    return BD_OK;
}
