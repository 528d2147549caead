#include "job/measuring.h"

#include <math.h>
#include <stdio.h>

#include "job/dissolved.h"
#include "job/group_list.h"
#include "job/scoop.h"
#include "model/measure.h"
#include "nutrients/cite.h"

#define ML_PER_L 1000.0
#define PERCENT  100.0

enum { LONGEST_ID = 128 };

/* What all products of a request share. */
typedef struct bench {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_measuring *what;
    bd_card *card;
    bd_error *err;
    double scale_step_g, jug_step_l;
    bd_measure_rules rules;
    bool has_told_stock_tools;
} bench;

/* One product on it. */
typedef struct task {
    const bd_offer *offer;
    bd_portion portion; /* of all bags when they are alike; else the smallest dose, all bags */
    bd_tools tools;
    bd_scoop scoop;
    bd_measure_plan plan; /* errors are those of the kind that errs most */
    bd_portion kinds[BD_GROUPS_MAX];
    bd_measure_plan plans[BD_GROUPS_MAX];
    size_t kind_count;
} task;

static const char *const way_words[BD_WAY_COUNT] = {
    [BD_WEIGH_EACH] = W("way.weigh_each"),
    [BD_WEIGH_ALL] = W("way.weigh_all"),
    [BD_STOCK_ML] = W("way.stock"),
    [BD_SCOOPS] = W("way.scoops"),
};

static const bd_fact *practice(const bench *b, const char *name)
{
    return bd_catalogue_practice(b->know->catalogue, name);
}

/* ---- tools -------------------------------------------------------------- */

/* The step of a tool as given, or the trade's with an assumption that says so. */
static double step_of(const bench *b, bd_option option, const char *name, const char *id,
                      const char *key, const char *unit)
{
    const bd_value *given = bd_request_get(b->request, option);
    const bd_fact *usual = practice(b, name);
    char source[BD_CITE_SIZE];

    if (given != NULL)
        return given->number.typical;
    bd_card_assume(b->card, id, key, BD_NO_ARGS, &usual->value, unit, bd_cite_fact(usual, source));
    return usual->value.typical;
}

static bool is_poured(const bd_measuring *what)
{
    return (what->groups == NULL ? what->pour_l : what->groups->items[0].dose.pour_l) > 0.0;
}

static void read_bench(bench *b)
{
    b->scale_step_g =
        step_of(b, BD_OPT_SCALE_STEP, "scale-step", "measure.scale", W("assume.scale_step"), "g");
    if (is_poured(b->what))
        b->jug_step_l =
            step_of(b, BD_OPT_JUG_STEP, "jug-step", "measure.jug", W("assume.jug_step"), "L");
    b->rules = (bd_measure_rules){.good_error = practice(b, "scale-error")->value.typical,
                                  .most_error = practice(b, "measuring-error")->value.typical,
                                  .least_steps = practice(b, "scale-steps")->value.typical,
                                  .bottle_error = practice(b, "bottle-error")->value.typical};
}

/* Most of a salt that may stand in a bottle [g/L]; 0 where nothing is known, and then no bottle is
 * offered. */
static double dissolves_g_per_l(const bench *b, const bd_offer *o)
{
    bd_bath bath = {.count = 1, .doses = {{o, {1.0, 1.0, 1.0}, 0.0, false}}};
    bd_card aside;
    bool is_known;

    if (o->material == NULL || o->material->kind != BD_SALT ||
        bd_material_has(o->material, BD_TRAIT_SLOW))
        return 0.0;
    bd_card_init(&aside, "");
    is_known = bd_bath_solve(&bath, b->know, b->request, &aside, NULL) == BD_OK &&
               bath.most_soluble < HUGE_VAL;
    bd_card_clear(&aside);
    return is_known ? bath.most_soluble * practice(b, "solubility-working-share")->value.typical
                    : 0.0;
}

static bool has_stock_tools(const bench *b)
{
    return bd_request_get(b->request, BD_OPT_SYRINGE_STEP) != NULL ||
           bd_request_get(b->request, BD_OPT_BOTTLE) != NULL;
}

static void add_stock_tools(bench *b, task *t)
{
    const bd_value *bottle = bd_request_get(b->request, BD_OPT_BOTTLE);
    const bd_value *syringe = bd_request_get(b->request, BD_OPT_SYRINGE_STEP);

    if (b->has_told_stock_tools) {
        t->tools.bottle_l =
            bottle != NULL ? bottle->number.typical : practice(b, "stock-bottle")->value.typical;
        t->tools.syringe_step_ml =
            ML_PER_L * (syringe != NULL ? syringe->number.typical
                                        : practice(b, "syringe-step")->value.typical);
        return;
    }
    t->tools.bottle_l =
        step_of(b, BD_OPT_BOTTLE, "stock-bottle", "measure.bottle", W("assume.stock_bottle"), "L");
    t->tools.syringe_step_ml = ML_PER_L * step_of(b, BD_OPT_SYRINGE_STEP, "syringe-step",
                                                  "measure.syringe", W("assume.syringe_step"), "L");
    b->has_told_stock_tools = true;
}

/* ---- working out --------------------------------------------------------- */

static bd_status work_out(const bench *b, task *t)
{
    bd_status status;

    for (size_t i = 0; i < t->kind_count; i++)
        t->kinds[i].dissolves_g_per_l = t->portion.dissolves_g_per_l;
    status = bd_measure_list(t->kinds, t->kind_count, &t->tools, &b->rules, t->plans, b->err);
    bd_error_at(b->err, "--target");
    if (status != BD_OK)
        return status;
    t->plan = t->plans[0];
    for (int w = 0; w < BD_WAY_COUNT; w++)
        t->plan.ways[w].error = bd_measure_worst(t->plans, t->kind_count, (bd_way)w);
    for (size_t i = 1; i < t->kind_count; i++)
        t->plan.is_below_scale |= t->plans[i].is_below_scale;
    return BD_OK;
}

/* A stock takes a bottle and a syringe: it is looked at only when asked for or when the easy ways
 * are coarse. */
static bd_status plan_task(bench *b, task *t)
{
    bd_status status = work_out(b, t);
    bool is_coarse = status == BD_OK &&
                     (!t->plan.has_best || t->plan.ways[t->plan.best].error > b->rules.good_error);

    if (status != BD_OK || !(is_coarse || has_stock_tools(b)))
        return status;
    t->portion.dissolves_g_per_l = dissolves_g_per_l(b, t->offer);
    if (!(t->portion.dissolves_g_per_l > 0.0))
        return BD_OK;
    add_stock_tools(b, t);
    return work_out(b, t);
}

static void take_kinds(const bench *b, task *t)
{
    const bd_groups *groups = b->what->groups;

    t->kind_count = 1;
    t->kinds[0] = t->portion;
    if (groups == NULL)
        return;
    t->kind_count = groups->count;
    t->portion.bags = bd_groups_bags(groups);
    t->portion.dose_g = HUGE_VAL;
    for (size_t i = 0; i < groups->count; i++) {
        const bd_group_dose *dose = &groups->items[i].dose;

        t->kinds[i] = (bd_portion){
            .dose_g = dose->per_bag_g.typical, .bags = dose->bags, .pour_l = dose->pour_l};
        t->portion.dose_g = fmin(t->portion.dose_g, t->kinds[i].dose_g);
        t->portion.pour_l = t->kinds[i].pour_l;
    }
}

static bd_status read_task(bench *b, size_t i, task *t)
{
    const bd_measuring *what = b->what;
    bd_status status;

    *t = (task){
        .offer = &what->offers->items[i],
        .portion = {.dose_g =
                        what->groups != NULL ? 0.0 : what->amount[i].typical * what->g_per_amount,
                    .bags = what->portions,
                    .pour_l = what->pour_l},
        .tools = {.scale_step_g = b->scale_step_g, .jug_step_l = b->jug_step_l, .scoop_step = 1.0}};
    take_kinds(b, t);
    status = bd_scoop_of(b->know, b->request, t->offer, what->is_sprayed || what->is_seedling,
                         b->scale_step_g, b->card, &t->scoop, b->err);
    if (status != BD_OK)
        return status;
    if (t->scoop.kind == BD_SCOOP_WEIGHED || t->scoop.kind == BD_SCOOP_BY_VOLUME) {
        t->tools.scoop_g = t->scoop.content_g;
        t->tools.scoop_step = t->scoop.step;
    }
    return plan_task(b, t);
}

/* ---- the ways as a table --------------------------------------------------- */

/* Which columns the ways need: a table is not wider than what it says. */
typedef struct columns {
    bool product, made_up, each, scoops;
} columns;

static bool can_do(const task *t, bd_way w)
{
    return t->plan.ways[w].obstacle == BD_OBSTACLE_NONE;
}

/* What is for one bag stands in the list of the bags where they are of several kinds. */
static columns columns_for(const bench *b, const task *tasks, size_t count)
{
    bool is_alike = b->what->groups == NULL;
    columns c = {.product = count > 1};

    for (size_t i = 0; i < count; i++) {
        c.made_up = c.made_up || can_do(&tasks[i], BD_WEIGH_ALL) || can_do(&tasks[i], BD_STOCK_ML);
        c.scoops = c.scoops || (is_alike && can_do(&tasks[i], BD_SCOOPS));
    }
    c.each = c.made_up && is_alike;
    return c;
}

static void number_or_empty(const bench *b, bd_table *table, bool is_wanted, double x)
{
    if (!is_wanted)
        return;
    if (x > 0.0)
        bd_table_number(b->card, table, x);
    else
        bd_table_empty(b->card, table);
}

/* A way that a tool is there for may still be too coarse for the dose, or not stay dissolved. */
static const char *way_line(const task *t, bd_way w)
{
    if (t->plan.ways[w].obstacle == BD_OBSTACLE_TOO_SMALL)
        return W("way.too_small");
    if (t->plan.ways[w].obstacle == BD_OBSTACLE_TOO_STRONG)
        return W("way.too_strong");
    return t->plan.has_best && t->plan.best == w ? W("way.best") : W("way.other");
}

static void row_of_way(const bench *b, bd_table *table, columns c, const task *t, bd_way w)
{
    const bd_way_plan *way = &t->plan.ways[w];
    bool is_stock = w == BD_STOCK_ML && can_do(t, w);
    double made_up_l = is_stock ? t->tools.bottle_l : way->all_l;
    double each_l = is_stock ? way->stock_ml / ML_PER_L : way->pour_l;
    bool is_each_list = b->what->groups != NULL && w == BD_WEIGH_EACH;

    if (c.product)
        bd_table_line(b->card, table, W("plain"), BD_ARGS(bd_name(t->offer->title)));
    bd_table_line(b->card, table, way_line(t, w), BD_ARGS(bd_words_arg(way_words[w])));
    number_or_empty(b, table, true, is_each_list ? 0.0 : way->weigh_g);
    number_or_empty(b, table, c.made_up, made_up_l);
    number_or_empty(b, table, c.each, each_l);
    number_or_empty(b, table, c.scoops, way->scoops);
    number_or_empty(b, table, true, can_do(t, w) ? PERCENT * way->error : 0.0);
}

static void add_columns(const bench *b, bd_table *table, columns c)
{
    if (c.product)
        bd_table_column(b->card, table, "product", W("column.product"), "");
    bd_table_column(b->card, table, "way", W("column.way"), "");
    bd_table_column(b->card, table, "weigh", W("column.weigh"), "g");
    if (c.made_up)
        bd_table_column(b->card, table, "made_up_to", W("column.made_up_to"), "L");
    if (c.each)
        bd_table_column(b->card, table, "each", W("column.each"), "L");
    if (c.scoops)
        bd_table_column(b->card, table, "scoops", W("column.scoops"), "");
    bd_table_column(b->card, table, "error", W("column.error"), "%");
}

static void show_ways(const bench *b, const task *tasks, size_t count)
{
    bd_table *table = bd_card_table(b->card, "ways", W("table.ways"), BD_NO_ARGS);
    columns c = columns_for(b, tasks, count);

    add_columns(b, table, c);
    for (size_t i = 0; i < count; i++)
        for (int w = 0; w < BD_WAY_COUNT; w++)
            if (tasks[i].plan.ways[w].obstacle != BD_OBSTACLE_NO_TOOL)
                row_of_way(b, table, c, &tasks[i], (bd_way)w);
}

/* ---- the best way as figures ------------------------------------------------ */

static void figure(const bench *b, const task *t, const char *what, const char *key,
                   const bd_arg *args, bd_range value, const char *unit)
{
    char id[LONGEST_ID];

    if (b->what->offers->count == 1)
        (void)snprintf(id, sizeof id, "measure.%s", what);
    else
        (void)snprintf(id, sizeof id, "measure.%.60s.%s",
                       t->offer->material == NULL ? "own" : t->offer->material->name, what);
    if (bd_card_get(b->card, id) == NULL)
        bd_card_figure(b->card, id, key, args, value, unit);
}

/* Left in the bottle when every bag has had its share [mL]. */
static double left_of_stock(const task *t)
{
    double left_ml = ML_PER_L * t->tools.bottle_l;

    for (size_t i = 0; i < t->kind_count; i++)
        left_ml -= t->plans[i].ways[BD_STOCK_ML].stock_ml * t->kinds[i].bags;
    return left_ml;
}

static void show_weighing(const bench *b, const task *t, const bd_way_plan *best)
{
    const bd_arg *args = BD_ARGS(bd_name(t->offer->title), bd_count(t->portion.bags),
                                 bd_amount(best->all_l, "L"), bd_amount(t->tools.bottle_l, "L"));
    double left_ml = best->stock_ml > 0.0 ? left_of_stock(t) : 0.0;
    bool is_alike = b->what->groups == NULL;
    const char *key =
        b->what->is_sprayed ? W("figure.measure_weigh_tank") : W("figure.measure_weigh_each");

    if (t->plan.best == BD_WEIGH_ALL)
        key = W("figure.measure_weigh_all");
    else if (t->plan.best == BD_STOCK_ML)
        key = W("figure.measure_weigh_stock");
    if (best->weigh_g > 0.0 && (is_alike || t->plan.best != BD_WEIGH_EACH))
        figure(b, t, "weigh", key, args, bd_exactly(best->weigh_g), "g");
    if (best->pour_l > 0.0 && is_alike)
        figure(b, t, "pour", W("figure.measure_pour"), args, bd_exactly(best->pour_l), "L");
    if (best->stock_ml > 0.0 && is_alike)
        figure(b, t, "stock",
               b->what->is_sprayed ? W("figure.measure_stock_tank") : W("figure.measure_stock"),
               args, bd_exactly(best->stock_ml), "mL");
    if (left_ml > t->tools.syringe_step_ml)
        figure(b, t, "stock_left", W("figure.measure_stock_left"), args, bd_exactly(left_ml), "mL");
    if (best->scoops > 0.0 && is_alike)
        figure(b, t, "scoops", W("figure.measure_scoops"), args, bd_exactly(best->scoops), "");
}

/* What is counted or weighed for each bag stands in the list of the bags alone: say which way. */
static const char *error_key(const bench *b, const task *t)
{
    if (b->what->groups != NULL && t->plan.best == BD_WEIGH_EACH)
        return W("figure.measure_error_each");
    if (b->what->groups != NULL && t->plan.best == BD_SCOOPS)
        return W("figure.measure_error_scoops");
    return W("figure.measure_error");
}

static void show_best(const bench *b, const task *t)
{
    const bd_way_plan *best = &t->plan.ways[t->plan.best];
    bool is_alike = b->what->groups == NULL;

    if (t->scoop.kind == BD_SCOOP_WEIGHED || t->scoop.kind == BD_SCOOP_BY_VOLUME)
        figure(b, t, "scoop", W("figure.measure_scoop"), BD_ARGS(bd_name(t->offer->title)),
               t->scoop.content_g, "g");
    if (!t->plan.has_best)
        return;
    show_weighing(b, t, best);
    if (t->plan.best != BD_SCOOPS && can_do(t, BD_SCOOPS) && is_alike)
        figure(b, t, "scoops", W("figure.measure_scoops_instead"),
               BD_ARGS(bd_amount(PERCENT * t->plan.ways[BD_SCOOPS].error, "%")),
               bd_exactly(t->plan.ways[BD_SCOOPS].scoops), "");
    if (is_alike)
        figure(b, t, "given", W("figure.measure_given"), BD_NO_ARGS, best->given_g, "g");
    figure(b, t, "error", error_key(b, t), BD_NO_ARGS, bd_exactly(PERCENT * best->error), "%");
}

static void judge_best(const bench *b, const task *t)
{
    const bd_fact *most = practice(b, "measuring-error"), *steps = practice(b, "scale-steps");
    double least_g = b->rules.least_steps * b->scale_step_g;
    char source[BD_CITE_SIZE];

    if (!t->plan.has_best)
        bd_card_find(b->card, "measure.error", BD_CARE, W("measure.no_way"),
                     BD_ARGS(bd_name(t->offer->title)), bd_cite_fact(most, source));
    else if (t->plan.is_too_coarse)
        bd_card_find_limit(b->card, "measure.error", BD_CARE, W("measure.too_coarse"),
                           BD_ARGS(bd_name(t->offer->title)),
                           PERCENT * t->plan.ways[t->plan.best].error,
                           PERCENT * b->rules.most_error, "%", bd_cite_fact(most, source));
    if (!t->plan.is_below_scale)
        return;
    bd_card_find_limit(b->card, "measure.scale", BD_NOTE, W("measure.below_scale"),
                       BD_ARGS(bd_name(t->offer->title), bd_count(b->rules.least_steps)),
                       t->portion.dose_g, least_g, "g", bd_cite_fact(steps, source));
    bd_card_limit_is_least(b->card);
}

/* ---- cans ------------------------------------------------------------------- */

/* `of` is the kind of bags the cans are for; NULL where they are for all. */
static void row_of_cans(const bench *b, bd_table *table, const bd_group *of, const char *key,
                        double count, double litres, double grams)
{
    if (!(count > 0.0 && litres > 0.0))
        return;
    if (of != NULL)
        bd_table_line(b->card, table, W("plain"), BD_ARGS(bd_name(of->mark)));
    bd_table_line(b->card, table, key, BD_NO_ARGS);
    bd_table_number(b->card, table, count);
    bd_table_number(b->card, table, litres);
    bd_table_number(b->card, table, grams);
    bd_table_number(b->card, table, count * litres);
    bd_table_number(b->card, table, count * grams);
}

static bd_table *begin_cans(const bench *b, bool has_kinds)
{
    bd_table *table = bd_card_table(b->card, "cans", W("table.cans"), BD_NO_ARGS);

    if (has_kinds)
        bd_table_column(b->card, table, "bags_of", W("column.bags_of"), "");
    bd_table_column(b->card, table, "can", W("column.can"), "");
    bd_table_column(b->card, table, "count", W("column.cans"), "");
    bd_table_column(b->card, table, "litres", W("column.litres_each"), "L");
    bd_table_column(b->card, table, "grams", W("column.grams_each"), "g");
    bd_table_column(b->card, table, "litres_total", W("column.litres_total"), "L");
    bd_table_column(b->card, table, "grams_total", W("column.grams_total"), "g");
    return table;
}

static void put_cans(const bench *b, bd_table *table, const bd_group *of, const bd_cans *cans)
{
    row_of_cans(b, table, of, cans->is_even ? W("cans.even") : W("cans.full"), cans->full,
                cans->full_l, cans->full_g);
    row_of_cans(b, table, of, W("cans.last"), 1.0, cans->last_l, cans->last_g);
}

static double number_of_cans(const bd_cans *cans)
{
    return cans->full + (cans->last_l > 0.0 ? 1.0 : 0.0);
}

static void put_sum_of_cans(const bench *b, bd_table *table, double count, double litres,
                            double grams)
{
    bd_table_line(b->card, table, W("cans.sum"), BD_NO_ARGS);
    bd_table_number(b->card, table, count);
    bd_table_empty(b->card, table);
    bd_table_empty(b->card, table);
    bd_table_number(b->card, table, litres);
    bd_table_number(b->card, table, grams);
}

static void show_can_table(const bench *b, const bd_cans *cans)
{
    bd_table *table = begin_cans(b, false);

    put_cans(b, table, NULL, cans);
    put_sum_of_cans(b, table, number_of_cans(cans), cans->sum_l, cans->sum_g);
}

static void tell_sum_of_cans(const bench *b, double sum_g, double exact_g)
{
    bd_card_find(
        b->card, "measure.cans", BD_NOTE, W("measure.cans_add_up"),
        BD_ARGS(bd_amount(sum_g, "g"), bd_amount(exact_g, "g"), bd_amount(b->scale_step_g, "g")),
        "arithmetic");
}

static void show_can_figures(const bench *b, const bd_cans *cans)
{
    if (cans->full > 0.0)
        bd_card_figure(b->card, "measure.can", W("figure.measure_can"),
                       BD_ARGS(bd_count(cans->full), bd_amount(cans->full_l, "L")),
                       bd_exactly(cans->full_g), "g");
    if (cans->last_l > 0.0)
        bd_card_figure(b->card, "measure.last_can", W("figure.measure_last_can"),
                       BD_ARGS(bd_amount(cans->last_l, "L")), bd_exactly(cans->last_g), "g");
    tell_sum_of_cans(b, cans->sum_g, cans->exact_g);
}

/* A can that asks for less than the scale shows is no instruction. */
static bool tell_below_step(const bench *b, const bd_cans *cans)
{
    if (cans->is_below_step)
        bd_card_find(b->card, "measure.cans", BD_CARE, W("measure.can_below_step"), BD_NO_ARGS,
                     "arithmetic");
    return cans->is_below_step;
}

static void judge_cans(const bench *b, double error)
{
    if (error > b->rules.most_error)
        bd_card_find_limit(b->card, "measure.can_error", BD_CARE, W("measure.can_too_coarse"),
                           BD_NO_ARGS, PERCENT * error, PERCENT * b->rules.most_error, "%",
                           "common practice, no source");
}

static void show_one_feed(const bench *b, const bd_cans *cans)
{
    if (tell_below_step(b, cans))
        return;
    show_can_table(b, cans);
    show_can_figures(b, cans);
    judge_cans(b, cans->error);
}

/* What each kind would have to be poured for one feed to do for all. */
static void tell_other_feeds(const bench *b)
{
    const bd_groups *groups = b->what->groups;
    const bd_group_dose *first = &groups->items[0].dose;

    for (size_t i = 1; i < groups->count; i++) {
        const bd_group_dose *dose = &groups->items[i].dose;
        double same_l = first->pour_l * dose->per_bag_g.typical / first->per_bag_g.typical;

        if (fabs(same_l - dose->pour_l) > 0.5 * b->jug_step_l)
            bd_card_find(b->card, "groups.feeds", BD_CARE, W("groups.two_feeds"),
                         BD_ARGS(bd_name(groups->items[i].mark), bd_amount(same_l, "L"),
                                 bd_name(groups->items[0].mark)),
                         "arithmetic");
    }
}

/* Kinds whose feeds differ: cans of their own in one table. */
static void show_feeds(const bench *b, const bd_group_share *shares, const bd_group_sum *sum)
{
    const bd_groups *groups = b->what->groups;
    double count = 0.0, error = 0.0;
    bd_table *table;

    for (size_t i = 0; i < groups->count; i++) {
        if (tell_below_step(b, &shares[i].cans))
            return;
        count += number_of_cans(&shares[i].cans);
        error = fmax(error, shares[i].cans.error);
    }
    table = begin_cans(b, true);
    for (size_t i = 0; i < groups->count; i++)
        put_cans(b, table, &groups->items[i], &shares[i].cans);
    bd_table_empty(b->card, table);
    put_sum_of_cans(b, table, count, sum->cans_l, sum->cans_g);
    tell_sum_of_cans(b, sum->cans_g, sum->exact_g);
    tell_other_feeds(b);
    judge_cans(b, error);
}

static bd_status show_cans(const bench *b, const task *t)
{
    const bd_value *can = bd_request_get(b->request, BD_OPT_CAN);
    bd_feed_group kinds[BD_GROUPS_MAX];
    bd_group_share shares[BD_GROUPS_MAX];
    bd_group_sum sum;
    bd_status status;

    if (can == NULL)
        return BD_OK;
    if (!(t->portion.pour_l > 0.0)) {
        bd_card_find(b->card, "measure.cans", BD_NOTE, W("measure.cans_need_water"), BD_NO_ARGS,
                     "");
        return BD_OK;
    }
    for (size_t i = 0; i < t->kind_count; i++)
        kinds[i] = (bd_feed_group){t->kinds[i].bags, t->kinds[i].dose_g, t->kinds[i].pour_l};
    status = bd_groups_measure(kinds, t->kind_count, can->number.typical, b->scale_step_g, shares,
                               &sum, b->err);
    bd_error_at(b->err, "--can");
    if (status != BD_OK)
        return status;
    if (t->kind_count > 1 && !sum.is_one_feed)
        show_feeds(b, shares, &sum);
    else
        show_one_feed(b, t->kind_count > 1 ? &sum.together : &shares[0].cans);
    return BD_OK;
}

static bd_status show_list(const bench *b, const task *t)
{
    const bd_product *p = &t->offer->product;
    bd_group_list list = {
        .groups = b->what->groups,
        .plans = t->plans,
        .scale_step_g = b->scale_step_g,
        .can_l = is_poured(b->what) ? bd_request_number(b->request, BD_OPT_CAN, 0.0) : 0.0,
        .density_kg_per_l = p->is_liquid ? p->density_kg_per_l : 0.0};

    return bd_group_list_show(&list, b->card, b->err);
}

bd_status bd_measuring_show(const bd_knowledge *know, const bd_request *request,
                            const bd_measuring *measuring, bd_card *card, bd_error *err)
{
    bench b = {.know = know, .request = request, .what = measuring, .card = card, .err = err};
    task tasks[BD_PRODUCTS_MAX];
    size_t count = measuring->offers->count;
    bd_status status = bd_scoop_check(know, request, err);

    if (status != BD_OK || bd_card_verdict(card) == BD_STOP)
        return status;
    read_bench(&b);
    for (size_t i = 0; i < count && status == BD_OK; i++)
        status = read_task(&b, i, &tasks[i]);
    if (status != BD_OK)
        return status;
    for (size_t i = 0; i < count; i++) {
        show_best(&b, &tasks[i]);
        judge_best(&b, &tasks[i]);
    }
    show_ways(&b, tasks, count);
    if (count != 1)
        return BD_OK;
    if (measuring->groups != NULL)
        status = show_list(&b, &tasks[0]);
    return status == BD_OK ? show_cans(&b, &tasks[0]) : status;
}
