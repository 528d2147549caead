#include "job/season.h"

#include <math.h>
#include <string.h>

#include "base/date.h"

static double figure(const bd_season *s, const char *name)
{
    return bd_parts_figure(s->know->parts, name)->value.typical;
}

/* ---- washing out ------------------------------------------------------------------ */

/* The ECe to come down to: the crop's threshold, or what a fresh mix holds where none is known. */
static double target_ece(const bd_season *s, const bd_season_group *g)
{
    const bd_tolerance *t = bd_crop_tolerance(g->planting.crop);

    if (t != NULL)
        return t->threshold_ds_per_m;
    return bd_media_figure(s->know->media, "existing-ece")->value.typical;
}

static bd_flush_order flush_order(const bd_season *s, const bd_season_group *g, double ece_ds_per_m)
{
    enum { MOST_PORTIONS = 40 };
    bd_rootzone zone = bd_season_zone(s, g);
    double litres = g->bags.bag.volume_l * figure(s, "flush-volumes");

    return (bd_flush_order){.water_l = zone.capacity_l,
                            .saturation_l = fmax(zone.saturation_l.typical, zone.capacity_l),
                            .load_ds_l_per_m = ece_ds_per_m * zone.saturation_l.typical,
                            .rinse_ds_per_m = s->water_ec_ds_per_m,
                            .target_ece_ds_per_m = target_ece(s, g),
                            .portion_l = litres / figure(s, "flush-portions"),
                            .most_portions = MOST_PORTIONS};
}

/* ---- an overdose -------------------------------------------------------------------- */

static bool find_product(const bd_season *s, const char *material, size_t *out)
{
    for (size_t i = 0; i < s->shelf.count; i++) {
        const bd_material *m = s->shelf.items[i].material;

        if (m != NULL && strcmp(m->name, material) == 0) {
            *out = i;
            return true;
        }
    }
    return false;
}

/* It happened in this season, and not tomorrow. */
static bd_status check_day(const bd_season *s, const bd_season_group *g)
{
    char sown[BD_DATE_SIZE], today[BD_DATE_SIZE];
    int day = g->garden->overdose.day;
    bd_error e = {.status = BD_OK};

    if (day >= g->garden->sown && day <= s->request->today)
        return BD_OK;
    (void)bd_fail(&e, BD_RANGE, NULL, "the overdose is %s",
                  day < g->garden->sown ? "before the sowing" : "still to come");
    (void)bd_accepts(&e, "a day from the sowing, %s, to today, %s",
                     bd_date_print(g->garden->sown, sown), bd_date_print(s->request->today, today));
    return bd_season_fail(s, g, "overdose/date", &e);
}

static bd_status fail_rescue(const bd_season *s, const bd_season_group *g)
{
    bd_error e = {.status = BD_OK};

    (void)bd_fail(&e, BD_UNKNOWN, NULL, "'%.60s' is not on the shelf",
                  g->garden->overdose.material);
    (void)bd_accepts(&e, "the name of a material of \"shelf\"");
    return bd_season_fail(s, g, "overdose", &e);
}

/* Plain water on a bag since the overdose, by the record. */
static double rinsed_l(const bd_season *s, const bd_season_group *g)
{
    bd_record_query query = {
        .group = g->garden->name, .from_day = g->garden->overdose.day, .to_day = s->request->today};
    bd_record_sum since;

    bd_record_sum_of(s->records, &query, &since);
    return since.water_l_per_bag;
}

/* Share of the salt that such water leaves, portion by portion as a flush is reckoned. */
static double share_after(const bd_flush_order *o, double load, double litres)
{
    double now = load, rest = litres;

    while (rest > 0.0 && load > 0.0) {
        double portion = fmin(rest, o->portion_l);

        now = (now + o->rinse_ds_per_m * portion) * o->water_l / (o->water_l + portion);
        rest -= portion;
    }
    return load > 0.0 ? fmin(now / load, 1.0) : 1.0;
}

/* What was poured on already, the rescue need not ask for again. */
static bd_status plan_rescue(const bd_season *s, bd_season_group *g, bd_rescue_order *order)
{
    bd_error e = {.status = BD_OK};
    double load = order->flush.load_ds_l_per_m, left;

    if (bd_rescue_plan(order, &g->rescue, &e) != BD_OK)
        return bd_season_fail(s, g, "overdose", &e);
    load += g->rescue.stays_g * order->load_ds_l_per_m_per_g;
    g->rescue_rinsed_l = rinsed_l(s, g);
    left = share_after(&order->flush, load, g->rescue_rinsed_l);
    order->flush.load_ds_l_per_m *= left;
    order->load_ds_l_per_m_per_g *= left;
    g->rescue_ece_before = bd_range_scale(g->rescue_ece_before, left);
    if (bd_rescue_plan(order, &g->rescue, &e) != BD_OK)
        return bd_season_fail(s, g, "overdose", &e);
    for (int i = 0; i < BD_NPK_COUNT; i++)
        g->rescue.washed_g[i] +=
            (1.0 - left) * (g->rescue.stays_g * g->rescue_share[i] - g->rescue.washed_g[i]);
    return BD_OK;
}

bd_status bd_season_rescue(bd_season *s, bd_season_group *g)
{
    const bd_garden_overdose *dose = &g->garden->overdose;
    bd_rescue_order order = {.given_g = dose->g_per_bag};
    size_t product;

    if (!dose->is_given)
        return BD_OK;
    if (!find_product(s, dose->material, &product))
        return fail_rescue(s, g);
    if (check_day(s, g) != BD_OK)
        return s->err->status;
    if (!g->is_dissolved)
        order.recovered_share =
            bd_catalogue_practice(s->know->catalogue, "crystals-lifted")->value.typical;
    order.planned_g = fmin(g->items[product].most_g_per_round, dose->g_per_bag);
    order.load_ds_l_per_m_per_g = g->items[product].load_ds_l_per_m_per_g;
    order.dose_interval_days = g->order.interval_days;
    for (int i = 0; i < BD_NPK_COUNT; i++)
        order.share[i] = g->rescue_share[i] = g->items[product].share[i];
    if (bd_season_ece_now(s, g, &g->rescue_ece_before) != BD_OK)
        return s->err->status;
    order.flush = flush_order(s, g, g->rescue_ece_before.typical);
    if (plan_rescue(s, g, &order) != BD_OK)
        return s->err->status;
    g->rescue_load_ds_l_per_m = g->rescue.stays_g * order.load_ds_l_per_m_per_g;
    g->rescue_portion_l = order.flush.portion_l;
    g->rescue_target_ds_per_m = order.flush.target_ece_ds_per_m;
    g->rescue_material = s->shelf.items[product].material;
    g->is_rescued = true;
    return BD_OK;
}

/* ---- sprays and late nitrogen ----------------------------------------------------------- */

static void tell_spray_count(const bd_season *s, const bd_season_group *g)
{
    size_t limit_count, crop_count;
    const bd_limit *limits = bd_catalogue_limits(s->know->catalogue, &limit_count);
    bd_ceiling_query query = {
        .use = BD_USE_FOLIAR, .of = BD_LIMIT_SPRAYS_PER_SEASON, .groups = g->planting.groups};
    const bd_entry *last = g->given.last_spray;
    bd_ceiling most;

    if (last == NULL)
        return;
    query.material = last->material;
    query.crops = bd_catalogue_crops(s->know->catalogue, &crop_count);
    query.crop_count = crop_count;
    most = bd_ceiling_find(limits, limit_count, &query);
    if (most.limit == NULL)
        return;
    bd_card_find_limit(
        s->card, "season.sprays", (double)g->given.sprays >= most.most ? BD_CARE : BD_NOTE,
        (double)g->given.sprays >= most.most ? W("season.no_more_sprays") : W("season.sprays"),
        BD_ARGS(bd_name(g->garden->name)), (double)g->given.sprays, most.most, "",
        most.limit->value.source);
}

/* Nitrogen that was given after the last day for it, by the record. */
static void tell_late_nitrogen(const bd_season *s, const bd_season_group *g)
{
    double note_share = figure(s, "foliar-nitrogen-note"), need_g = g->need_g[BD_NPK_N], share;
    bd_record_query query = {.group = g->garden->name,
                             .from_day = g->garden->sown + g->order.last_nitrogen_day + 1,
                             .to_day = s->request->today};
    bd_record_sum late;
    bool is_note;

    bd_record_sum_of(s->records, &query, &late);
    if (!g->planting.crop->is_root || !(late.gives_g_per_bag[BD_N].typical > 0.0) ||
        !(need_g > 0.0))
        return;
    share = late.gives_g_per_bag[BD_N].typical / need_g;
    is_note = share < note_share;
    bd_card_find_limit(
        s->card, "season.late_nitrogen", is_note ? BD_NOTE : BD_CARE,
        is_note ? W("season.late_nitrogen_little") : W("season.late_nitrogen"),
        BD_ARGS(bd_name(g->garden->name), bd_count(g->season_days - g->order.last_nitrogen_day)),
        share, note_share, "share", "common practice, no source");
}

void bd_season_tell_sprays(const bd_season *s, const bd_season_group *g)
{
    tell_spray_count(s, g);
    tell_late_nitrogen(s, g);
}

/* ---- the harvest ---------------------------------------------------------------------------- */

/* Of one bag, on average over all of the group; 0 while nothing is harvested. */
static double harvested_kg(const bd_season_group *g)
{
    if (g->garden->harvested_g > 0.0)
        return g->garden->harvested_g / g->bags.count / 1000.0;
    return g->given.harvest_g / g->bags.count / 1000.0;
}

/* Each nutrient by the first removal that knows it: the file puts published ones first. */
static bd_npk removed(const bd_season_group *g, double kg)
{
    bd_npk out = bd_npk_exactly(0, 0, 0);
    const bd_crop *crop = g->planting.crop;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        for (size_t i = 0; i < crop->removal_count && !(out.of[n].high > 0.0); i++)
            out.of[n] = bd_need_removed(bd_exactly(kg), &crop->removals[i]).of[n];
    return out;
}

/* All that came: credits, of which the record is one. */
static bd_npk came(const bd_season_group *g)
{
    return bd_credit_total(g->credits, g->credit_count);
}

static bd_status plan_reuse(const bd_season *s, bd_season_group *g)
{
    bd_flush_order order;
    bd_error e = {.status = BD_OK};
    bd_range ece;

    if (bd_season_ece_now(s, g, &ece) != BD_OK)
        return s->err->status;
    order = flush_order(s, g, ece.typical);
    if (bd_flush_plan(&order, &g->flush, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    g->flush_portion_l = order.portion_l;
    g->reuse = g->flush.portions == 0 ? BD_REUSE_AS_IS
               : g->flush.is_enough   ? BD_REUSE_FLUSH
                                      : BD_REUSE_RETIRE;
    return BD_OK;
}

bd_status bd_season_balance(const bd_season *s, const bd_season_group *g, const bd_npk *in,
                            double harvest_kg, bd_settlement *out, bd_error *err)
{
    const double carried[BD_NPK_COUNT] = {figure(s, "carry-nitrogen"), figure(s, "carry-phosphate"),
                                          figure(s, "carry-potash")};
    const double drained[BD_NPK_COUNT] = {figure(s, "drain-nitrogen"), figure(s, "drain-phosphate"),
                                          figure(s, "drain-potash")};
    bd_npk taken = removed(g, harvest_kg);

    return bd_settle_bag(in, &taken, drained, carried, out, err);
}

bd_status bd_season_settle(bd_season *s, bd_season_group *g)
{
    double kg = harvested_kg(g);
    bd_npk in = came(g);
    bd_error e = {.status = BD_OK};

    if (!(kg > 0.0))
        return BD_OK;
    if (bd_season_balance(s, g, &in, kg, &g->settlement, &e) != BD_OK)
        return bd_season_fail(s, g, "harvested", &e);
    g->is_settled = true;
    return plan_reuse(s, g);
}
