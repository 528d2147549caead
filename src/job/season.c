/*
 * `bagdose season FILE`: the season of a garden on one card, group after group.
 *
 * Tables (a row names its group, all amounts of one bag unless they say total):
 *   rounds    group, round, date, do, per_bag, total [g], per_bag_ml of a liquid, pour
 *             [L], ece at the end of the day [dS/m]; one row a product, so that a round of two
 * products is two rows account   group, nutrient, need, surplus, credits, rounds, short, by_ceiling
 * [g]: need + surplus = credits + rounds + short; none of groups harvested; by_ceiling is what of
 * the short the ceiling of the season makes credits   group, from, and low and high of N, P2O5 and
 * K2O [g] supply    group, round, day, and for N, P2O5 and K2O the share of the plan that is given
 * and the share of the uptake that is behind it needs     group, way, basis, N, P2O5, K2O [g], use
 *   shelf     product, need, stock [g], packs, cost; where there are prices per_kg and of:
 *             the price of a kilogram of the nutrient it is bought for
 *   water     group, stage, from, to, day_low, day_high [L], every [d]
 *   days      group, date, do
 *   cans      group, round, product, cans, can_g, last_l, last_g, total_g; where cans are
 *             too coarse stock_g, into a bottle, and stock_ml of it for a bag, too
 *   together  day, product, groups, bags, by_bag [g], feed [L], cans, can_g, last_l,
 *             last_g, total_g; one row a day and product that several groups get
 *   rescue, settle   where something was overdosed or harvested
 *
 * Figures
 *   next.<group>.<material>.per_bag, .total        of the next day with a round [g]; of a
 *                                                  liquid .per_bag_ml, .total_ml, too
 *   season.<group>.<material>.per_bag, .total      of all rounds [g]
 *   cost.total                                     to buy, in whole packs
 *   and for a garden of one group
 *   product.per_bag, product.total                 of the season, one product [g]
 *   nutrient.K.per_bag, nutrient.K2O.per_bag, ...  of the season [g]
 *   bag.*, soil.ece_before, .ece_peak, .ece_mean, .ecsw_peak, yield.relative
 */
#include "job/season.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "job/record.h"

bd_status bd_season_fail(const bd_season *s, const bd_season_group *g, const char *key,
                         const bd_error *e)
{
    char where[sizeof e->where];

    (void)snprintf(where, sizeof where, "%.110s%s%.40s", g->place, key == NULL ? "" : "/",
                   key == NULL ? "" : key);
    (void)bd_fail(s->err, e->status, where, "%s", e->text);
    if (e->accepts[0] != '\0')
        (void)bd_accepts(s->err, "%s", e->accepts);
    return e->status;
}

static bd_status begin_groups(bd_season *s)
{
    s->group_count = s->garden->group_count;
    s->groups = calloc(s->group_count, sizeof *s->groups);
    s->shelf_ask = calloc(1, sizeof *s->shelf_ask);
    if (s->groups == NULL || s->shelf_ask == NULL)
        return bd_fail(s->err, BD_MEMORY, NULL, "no memory left");
    s->shelf_ask->job = BD_JOB_SEASON;
    s->shelf_ask->measures = s->garden->measures;
    for (size_t i = 0; i < s->group_count; i++) {
        s->groups[i].garden = &s->garden->groups[i];
        (void)snprintf(s->groups[i].place, sizeof s->groups[i].place, "%.90s#/groups/%zu", s->path,
                       i);
    }
    return BD_OK;
}

typedef bd_status step(bd_season *s, bd_season_group *g);

static bd_status for_each(bd_season *s, step *do_it)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < s->group_count && status == BD_OK; i++)
        status = do_it(s, &s->groups[i]);
    return status;
}

static bd_status plan(bd_season *s)
{
    bd_status status = begin_groups(s);

    if (status == BD_OK)
        status = bd_season_water(s);
    if (status == BD_OK)
        status = for_each(s, bd_season_site);
    if (status == BD_OK)
        status = bd_season_shelf(s);
    if (status == BD_OK)
        status = bd_season_dissolve(s);
    if (status == BD_OK)
        status = for_each(s, bd_season_ceilings);
    if (status == BD_OK)
        status = for_each(s, bd_season_account);
    if (status == BD_OK)
        status = for_each(s, bd_season_limits);
    if (status == BD_OK)
        status = bd_season_plan_rounds(s);
    if (status == BD_OK)
        status = for_each(s, bd_season_settle);
    return status;
}

bd_status bd_season_card(const bd_knowledge *know, const bd_request *request,
                         const bd_garden *garden, const char *path, const bd_records *records,
                         bd_card *card, bd_error *err)
{
    bd_season s = {.know = know,
                   .request = request,
                   .garden = garden,
                   .path = path,
                   .records = records,
                   .card = card,
                   .err = err};
    bd_status status = plan(&s);

    if (status == BD_OK)
        status = bd_season_show(&s);
    free(s.shelf_ask);
    free(s.groups);
    return status;
}

/* ---- the job ------------------------------------------------------------------- */

/* The first name on record that the garden does not have: one slip is enough to look for more. */
static void tell_strangers(const bd_garden *garden, const bd_records *records, bd_card *card)
{
    size_t before = card->finding_count;

    for (size_t i = 0; i < records->count && card->finding_count == before; i++)
        if (bd_entry_stands(&records->items[i]))
            bd_record_tell_garden(garden, records->items[i].group, card);
}

/* --record FILE, else the file beside the garden's; that one need not be there. */
static bd_status load_records(const bd_request *request, const char *garden, bd_records *out,
                              bd_card *card, bd_error *err)
{
    const bd_value *given = bd_request_get(request, BD_OPT_RECORD);
    char path[BD_RECORD_PATH_SIZE];
    bd_status status = given != NULL ? bd_record_named(given->text, path, err)
                                     : bd_record_beside(garden, path, sizeof path, err);

    if (status == BD_OK)
        status = bd_record_load(path, out, err);
    if (status == BD_OK && (given != NULL || !out->is_absent))
        bd_record_tell_state(out, path, card);
    return status;
}

/* The day the plan is made on: --date, else today. */
static bd_status read_day(const bd_request *request, bd_request *own, bd_error *err)
{
    const bd_value *date = bd_request_get(request, BD_OPT_DATE);
    bd_status status;

    *own = *request;
    if (date == NULL)
        return BD_OK;
    status = bd_date_read(date->text, &own->today, err);
    bd_error_at(err, "--date");
    return status;
}

static bd_status plan_file(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_error *err)
{
    const char *path = request->positionals[0];
    bd_records records = {.items = NULL};
    bd_garden *garden = NULL;
    bd_status status = bd_garden_load(path, request->measures, &garden, err);

    if (status == BD_OK)
        status = load_records(request, path, &records, card, err);
    if (status == BD_OK)
        tell_strangers(garden, &records, card);
    if (status == BD_OK)
        status = bd_season_card(know, request, garden, path, &records, card, err);
    bd_records_clear(&records);
    bd_garden_free(garden);
    return status;
}

bd_status bd_job_season(const bd_knowledge *know, const bd_request *request, bd_card *card,
                        bd_error *err)
{
    bd_request *own = malloc(sizeof *own);
    bd_status status;

    if (own == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left");
    status = read_day(request, own, err);
    if (status == BD_OK)
        status = plan_file(know, own, card, err);
    free(own);
    return status;
}
