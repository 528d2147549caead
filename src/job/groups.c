#include "job/groups.h"

#include <string.h>

#include "card/gather.h"

/* ---- what cannot be asked of several kinds ------------------------------------- */

static bd_status refuse_mass(const bd_value *v, const char *option, bd_error *err)
{
    if (v == NULL || v->target.kind != BD_KIND_MASS)
        return BD_OK;
    (void)bd_fail(err, BD_CONFLICT, option,
                  "'%.60s' is for all bags and bags of several kinds "
                  "do not share alike",
                  v->text);
    return bd_accepts(err, "an amount per area, plant or bag, such as \"K2O 6 g/bag\"");
}

/* A mass in the one tank of a mix is shared by the litre. */
static bd_status check_request(const bd_request *request, bool is_one_mix, bd_error *err)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < request->product_count && status == BD_OK && !is_one_mix; i++)
        status = refuse_mass(bd_product_get(request, i, BD_OPT_TARGET), "--target", err);
    return status == BD_OK ? refuse_mass(bd_request_get(request, BD_OPT_NEED), "--need", err)
                           : status;
}

/* ---- one kind after the other --------------------------------------------------- */

static const char *name_what(const bd_request *all, const bd_request *one)
{
    const bd_value *group = bd_request_get(one, BD_OPT_GROUP);
    const bd_value *size = bd_request_get(one, BD_OPT_BAG_SIZE);

    if (group != NULL && bd_groups_has_own(all, BD_OPT_GROUP))
        return group->text;
    return size == NULL ? "" : size->text;
}

/* Stands for the stop of another kind; never shown. */
static const char stopped[] = "groups.stopped";

static bd_status run_one(const bd_knowledge *know, const bd_request *request, bd_group_job job,
                         size_t at, bool is_stopped, bd_group *g, bd_error *err)
{
    bd_request one;

    bd_groups_one(request, at, &one);
    g->mark[0] = (char)('A' + at);
    g->what = name_what(request, &one);
    bd_card_clear(&g->card);
    if (is_stopped)
        bd_card_find(&g->card, stopped, BD_STOP, W("plain"), BD_ARGS(bd_name(g->mark)), "");
    return job(know, request, &one, &g->card, &g->dose, err);
}

static bool is_stop(const bd_group *g)
{
    return bd_card_verdict(&g->card) == BD_STOP;
}

static bd_status run_all(const bd_knowledge *know, const bd_request *request, bd_group_job job,
                         bd_groups *out, bd_error *err)
{
    bd_status status = BD_OK;
    bool has_stop = false;

    for (size_t i = 0; i < out->count && status == BD_OK; i++) {
        status = run_one(know, request, job, i, false, &out->items[i], err);
        has_stop |= is_stop(&out->items[i]);
    }
    for (size_t i = 0; i < out->count && status == BD_OK && has_stop; i++)
        if (!is_stop(&out->items[i]))
            status = run_one(know, request, job, i, true, &out->items[i], err);
    return status;
}

/* ---- one card ---------------------------------------------------------------------- */

static bd_line name_of(const bd_group *g)
{
    return (bd_line){.key = g->what[0] == '\0' ? W("groups.name") : W("groups.name_of"),
                     .args = {bd_name(g->mark), bd_count(g->dose.bags), bd_name(g->what)},
                     .arg_count = 3};
}

static void show_counts(const bd_groups *groups, bd_card *card)
{
    char id[] = "bag.count.?";

    for (size_t i = 0; i < groups->count; i++) {
        const bd_group *g = &groups->items[i];
        bd_line mark = {.key = W("plain"), .args = {bd_name(g->mark)}, .arg_count = 1};

        id[sizeof id - 2] = g->mark[0];
        bd_card_speak_of(card, &mark);
        bd_card_figure(card, id,
                       g->what[0] == '\0' ? W("figure.bag_count_unsized") : W("figure.bag_count"),
                       BD_ARGS(bd_name(g->what)), bd_exactly(g->dose.bags), "");
    }
    bd_card_speak_of(card, NULL);
}

/* Sums stand before what is told of each. */
static void show_sums(const bd_groups *groups, bd_card *card)
{
    static const char *const ids[] = {"product.total", "product.season_total", "feed.volume_total"};
    static const char *const keys[] = {W("figure.product_total"), W("figure.product_season_total"),
                                       W("figure.feed_volume_total")};
    double bags = bd_groups_bags(groups);
    bd_arg count = bd_count(bags), rounds = bd_count(groups->items[0].dose.rounds);

    for (size_t k = 0; k < sizeof ids / sizeof ids[0]; k++) {
        bd_range sum = {0, 0, 0};
        const bd_figure *one = NULL;
        bool is_season = k == 1;

        for (size_t i = 0; i < groups->count; i++) {
            one = bd_card_get(&groups->items[i].card, ids[k]);
            if (one == NULL)
                break;
            sum = bd_range_add(sum, one->value);
        }
        if (one != NULL)
            bd_card_figure(card, ids[k], keys[k], BD_ARGS(is_season ? rounds : count, count), sum,
                           one->unit);
    }
}

static void put_together(const bd_groups *groups, bool is_one_mix, bd_card *card)
{
    static const char *const never[] = {"product.total", "product.season_total",
                                        "feed.volume_total", stopped, NULL};
    static const char *const listed[] = {"product.per_bag", "product.volume_per_bag", NULL};
    const bd_gather_rules rules = {never, listed, is_one_mix};
    bd_card_part parts[BD_GROUPS_MAX];

    for (size_t i = 0; i < groups->count; i++) {
        const bd_group *g = &groups->items[i];

        parts[i] = (bd_card_part){&g->card, g->mark, name_of(g)};
    }
    show_sums(groups, card);
    show_counts(groups, card);
    bd_card_gather(card, parts, groups->count, &rules);
}

bd_status bd_groups_run(const bd_knowledge *know, const bd_request *request, bd_group_job job,
                        bool is_one_mix, bd_card *card, bd_groups *out, bd_error *err)
{
    bd_status status = check_request(request, is_one_mix, err);

    memset(out, 0, sizeof *out);
    out->count = bd_groups_count(request);
    if (status == BD_OK)
        status = run_all(know, request, job, out, err);
    if (status == BD_OK)
        put_together(out, is_one_mix, card);
    return status;
}

double bd_groups_bags(const bd_groups *groups)
{
    double bags = 0.0;

    for (size_t i = 0; i < groups->count; i++)
        bags += groups->items[i].dose.bags;
    return bags;
}

void bd_groups_clear(bd_groups *groups)
{
    for (size_t i = 0; i < groups->count; i++)
        bd_card_clear(&groups->items[i].card);
}
