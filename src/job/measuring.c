#include "job/measuring.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "job/dissolved.h"
#include "job/group_list.h"
#include "job/scoop.h"
#include "model/measure.h"
#include "nutrients/cite.h"

#define ML_PER_L 1000.0
#define PERCENT  100.0

enum { LONGEST_ID = 128 };

/* Of a step of the scale; what differs by less comes from dividing doubles. */
static const double seen_of_a_step = 0.01;

/* What all products of a request share. */
typedef struct bench {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_measuring *what;
    bd_card *card;
    bd_error *err;
    double scale_step_g, jug_step_l;
    bd_measure_rules rules;
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
    bd_group_share shares[BD_GROUPS_MAX]; /* over cans, meaningful if has_cans */
    bd_group_sum sum;
    bool has_cans, is_below_step; /* cans were asked for; and take less than the scale shows */
    bool is_by_cans;              /* they are the way, and no other is said beside them      */
    double can_error;             /* of the can that errs most [0..)                         */
    double cans_error;            /* of a bag that is poured from it [0..)                   */
} task;

static const char *const way_words[BD_WAY_COUNT] = {
    [BD_ML_EACH] = W("way.syringe"),     [BD_WEIGH_EACH] = W("way.weigh_each"),
    [BD_WEIGH_ALL] = W("way.weigh_all"), [BD_STOCK_ML] = W("way.stock"),
    [BD_STOCK_CAN] = W("way.stock_can"), [BD_SCOOPS] = W("way.scoops"),
};

static const bd_fact *practice(const bench *b, const char *name)
{
    return bd_catalogue_practice(b->know->catalogue, name);
}

/* ---- tools -------------------------------------------------------------- */

static const struct {
    bd_option option;
    const char *name, *id, *key, *unit;
} tool_steps[BD_TOOL_COUNT] = {
    [BD_TOOL_SCALE] = {BD_OPT_SCALE_STEP, "scale-step", "measure.scale", W("assume.scale_step"),
                       "g"},
    [BD_TOOL_JUG] = {BD_OPT_JUG_STEP, "jug-step", "measure.jug", W("assume.jug_step"), "L"},
    [BD_TOOL_BOTTLE] = {BD_OPT_BOTTLE, "stock-bottle", "measure.bottle", W("assume.stock_bottle"),
                        "L"},
    [BD_TOOL_SYRINGE] = {BD_OPT_SYRINGE_STEP, "syringe-step", "measure.syringe",
                         W("assume.syringe_step"), "L"},
};

static bool is_assumed(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->assumption_count; i++)
        if (strcmp(card->assumptions[i].id, id) == 0)
            return true;
    return false;
}

double bd_tool_step(const bd_knowledge *know, const bd_request *request, bd_tool tool,
                    bd_card *card)
{
    const bd_value *given = bd_request_get(request, tool_steps[tool].option);
    const bd_fact *usual = bd_catalogue_practice(know->catalogue, tool_steps[tool].name);
    char source[BD_CITE_SIZE];

    if (given != NULL)
        return given->number.typical;
    if (!is_assumed(card, tool_steps[tool].id))
        bd_card_assume(card, tool_steps[tool].id, tool_steps[tool].key, BD_NO_ARGS, &usual->value,
                       tool_steps[tool].unit, bd_cite_fact(usual, source));
    return usual->value.typical;
}

static double step_of(const bench *b, bd_tool tool)
{
    return bd_tool_step(b->know, b->request, tool, b->card);
}

static bool is_poured(const bd_measuring *what)
{
    return (what->groups == NULL ? what->pour_l : what->groups->items[0].dose.pour_l) > 0.0;
}

static void read_bench(bench *b)
{
    b->scale_step_g = step_of(b, BD_TOOL_SCALE);
    if (is_poured(b->what))
        b->jug_step_l = step_of(b, BD_TOOL_JUG);
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
    double share = practice(b, "solubility-working-share")->value.typical;
    bool is_known;

    /* a liquid label is water already: thinned, it stays what it is */
    if (o->material == NULL && o->product.is_liquid)
        return share * ML_PER_L * o->product.density_kg_per_l;
    if (o->material == NULL || o->material->kind != BD_SALT ||
        bd_material_has(o->material, BD_TRAIT_SLOW))
        return 0.0;
    bd_card_init(&aside, "");
    is_known = bd_bath_solve(&bath, b->know, b->request, &aside, NULL) == BD_OK &&
               bath.most_soluble < HUGE_VAL;
    bd_card_clear(&aside);
    return is_known ? bath.most_soluble * share : 0.0;
}

/* Half of what is finished is water to begin with, whatever comes in by the bottle: so the rest is
 * all the room there is, and products in one tank share it. */
static double room_l(const bench *b, double pour_l)
{
    double first = practice(b, "tank-fill-first")->value.typical;
    double finished_l =
        b->what->tank_l > 0.0 ? b->what->tank_l / (double)b->what->offers->count : pour_l;

    return (1.0 - first) * finished_l;
}

static bool has_stock_tools(const bench *b)
{
    return bd_request_get(b->request, BD_OPT_SYRINGE_STEP) != NULL ||
           bd_request_get(b->request, BD_OPT_BOTTLE) != NULL;
}

static void add_syringe(const bench *b, task *t)
{
    t->tools.syringe_step_ml = ML_PER_L * step_of(b, BD_TOOL_SYRINGE);
}

static void add_stock_tools(const bench *b, task *t)
{
    t->tools.bottle_l = step_of(b, BD_TOOL_BOTTLE);
    add_syringe(b, t);
}

/* ---- working out --------------------------------------------------------- */

static bd_status work_out(const bench *b, task *t)
{
    bd_status status;

    for (size_t i = 0; i < t->kind_count; i++) {
        t->kinds[i].dissolves_g_per_l = t->portion.dissolves_g_per_l;
        t->kinds[i].room_l = room_l(b, t->kinds[i].pour_l);
        t->kinds[i].can_l = bd_request_number(b->request, BD_OPT_CAN, 0.0);
    }
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
static bd_status plan_task(const bench *b, task *t)
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

/* A can takes what the scale shows of its grams, and a bag what the jug shows of its litres. */
static void rate_cans(const bench *b, task *t)
{
    bool is_one = t->kind_count == 1 || t->sum.is_one_feed;

    for (size_t i = 0; i < t->kind_count; i++) {
        const bd_cans *cans = t->kind_count > 1 && is_one ? &t->sum.together : &t->shares[i].cans;

        t->is_below_step = t->is_below_step || cans->is_below_step;
        t->can_error = fmax(t->can_error, cans->error);
        t->cans_error = fmax(t->cans_error,
                             bd_cans_error_of_bag(cans->error, t->kinds[i].pour_l, b->jug_step_l));
    }
}

/* Who names a can means to use it: unless it errs more than is usual and more than another way. */
static bool are_cans_the_way(const bench *b, const task *t)
{
    return !t->is_below_step && (t->cans_error <= b->rules.most_error || !t->plan.has_best ||
                                 t->cans_error < t->plan.ways[t->plan.best].error);
}

/* Cans of a liquid are counted in millilitres, by the syringe. */
static const char *can_unit(const task *t)
{
    return t->offer->product.is_liquid ? "mL" : "g";
}

static double can_step(const bench *b, const task *t)
{
    return t->offer->product.is_liquid ? t->tools.syringe_step_ml : b->scale_step_g;
}

static double in_can_unit(const task *t, double grams)
{
    const bd_product *p = &t->offer->product;

    return p->is_liquid ? grams / p->density_kg_per_l : grams; /* kg/L is g/mL */
}

static bd_status plan_cans(const bench *b, task *t)
{
    const bd_value *can = bd_request_get(b->request, BD_OPT_CAN);
    bd_feed_group kinds[BD_GROUPS_MAX];
    bd_status status;

    if (can == NULL || !(t->portion.pour_l > 0.0))
        return BD_OK;
    for (size_t i = 0; i < t->kind_count; i++)
        kinds[i] = (bd_feed_group){t->kinds[i].bags, in_can_unit(t, t->kinds[i].dose_g),
                                   t->kinds[i].pour_l};
    status = bd_groups_measure(kinds, t->kind_count, can->number.typical, can_step(b, t), t->shares,
                               &t->sum, b->err);
    bd_error_at(b->err, "--can");
    if (status != BD_OK)
        return status;
    t->has_cans = true;
    rate_cans(b, t);
    t->is_by_cans = are_cans_the_way(b, t);
    /* poured by the jug from a feed of one strength, as a list of bags has it */
    for (size_t i = 0; i < t->kind_count && t->is_by_cans; i++) {
        t->plans[i].has_best = t->plans[i].ways[BD_WEIGH_ALL].obstacle == BD_OBSTACLE_NONE;
        t->plans[i].best = BD_WEIGH_ALL;
    }
    return BD_OK;
}

static void take_liquid(const bench *b, task *t)
{
    const bd_product *p = &t->offer->product;

    if (!p->is_liquid)
        return;
    add_syringe(b, t);
    for (size_t i = 0; i < t->kind_count; i++)
        t->kinds[i].liquid_kg_per_l = p->density_kg_per_l;
}

/* What a rate in cups or spoons asks for is a volume; the grams are a guess by loose weight. */
static bd_status take_volume(const bench *b, task *t)
{
    bd_loose loose;
    bd_status status;

    if (!t->offer->is_by_volume)
        return BD_OK;
    status = bd_loose_of(b->know, b->request, t->offer, &loose, b->err);
    for (size_t i = 0; i < t->kind_count && status == BD_OK && loose.is_known; i++) {
        bd_portion *p = &t->kinds[i];

        p->dose_ml = p->dose_g / loose.kg_per_l.typical; /* kg/L is g/mL */
        p->dose_low_g = p->dose_ml * loose.kg_per_l.low;
        p->dose_high_g = p->dose_ml * loose.kg_per_l.high;
    }
    return status;
}

static bd_status read_task(const bench *b, size_t i, task *t)
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
    take_liquid(b, t);
    status = take_volume(b, t);
    if (status != BD_OK)
        return status;
    status = bd_scoop_of(b->know, b->request, t->offer, what->is_sprayed || what->is_seedling,
                         b->scale_step_g, b->card, &t->scoop, b->err);
    if (status != BD_OK)
        return status;
    if (t->scoop.kind == BD_SCOOP_WEIGHED || t->scoop.kind == BD_SCOOP_BY_VOLUME) {
        t->tools.scoop_g = t->scoop.content_g;
        t->tools.scoop_step = t->scoop.step;
        t->tools.scoop_ml = t->scoop.volume_ml;
        t->tools.level_error = practice(b, "level-error")->value.typical;
    }
    status = plan_task(b, t);
    return status == BD_OK && what->offers->count == 1 ? plan_cans(b, t) : status;
}

/* ---- the ways as a table --------------------------------------------------- */

/* Which columns the ways need: a table is not wider than what it says. */
typedef struct columns {
    bool product, drawn, made_up, each, scoops;
} columns;

static bool can_do(const task *t, bd_way w)
{
    return t->plan.ways[w].obstacle == BD_OBSTACLE_NONE;
}

/* What is taken once of a liquid, for all or into a bottle, is drawn up and not weighed [mL]. */
static double drawn_ml(const task *t, bd_way w)
{
    const bd_product *p = &t->offer->product;

    if (!p->is_liquid || !can_do(t, w) ||
        (w != BD_WEIGH_ALL && w != BD_STOCK_ML && w != BD_STOCK_CAN))
        return 0.0;
    return t->plan.ways[w].weigh_g / p->density_kg_per_l; /* kg/L is g/mL */
}

/* What is for one bag stands in the list of the bags where they are of several kinds. */
static columns columns_for(const bench *b, const task *tasks, size_t count)
{
    bool is_alike = b->what->groups == NULL;
    columns c = {.product = count > 1};

    for (size_t i = 0; i < count; i++) {
        c.drawn = c.drawn || drawn_ml(&tasks[i], BD_WEIGH_ALL) > 0.0 ||
                  drawn_ml(&tasks[i], BD_STOCK_ML) > 0.0 || drawn_ml(&tasks[i], BD_STOCK_CAN) > 0.0;
        c.made_up = c.made_up || can_do(&tasks[i], BD_WEIGH_ALL) ||
                    can_do(&tasks[i], BD_STOCK_ML) || can_do(&tasks[i], BD_STOCK_CAN);
        c.scoops = c.scoops || (is_alike && can_do(&tasks[i], BD_SCOOPS));
        c.each = c.each || (is_alike && can_do(&tasks[i], BD_ML_EACH));
    }
    c.each = c.each || (c.made_up && is_alike);
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
    return t->plan.has_best && t->plan.best == w && !t->is_by_cans ? W("way.best") : W("way.other");
}

/* To a bag, as the jug shows it [L]. */
static double poured_l(const bench *b, const task *t)
{
    return fmax(round(t->portion.pour_l / b->jug_step_l), 1.0) * b->jug_step_l;
}

static void row_of_way(const bench *b, bd_table *table, columns c, const task *t, bd_way w)
{
    const bd_way_plan *way = &t->plan.ways[w];
    bool is_stock = (w == BD_STOCK_ML || w == BD_STOCK_CAN) && can_do(t, w);
    double made_up_l = is_stock ? t->tools.bottle_l : way->all_l;
    double each_l = way->pour_l + (way->stock_ml + way->liquid_ml) / ML_PER_L; /* one of them */
    bool is_each_list = b->what->groups != NULL && w == BD_WEIGH_EACH;

    if (c.product)
        bd_table_line(b->card, table, W("plain"), BD_ARGS(bd_name(t->offer->title)));
    bd_table_line(
        b->card, table, way_line(t, w),
        BD_ARGS(bd_words_arg(w == BD_WEIGH_ALL && t->offer->product.is_liquid ? W("way.draw_all")
                                                                              : way_words[w])));
    number_or_empty(b, table, true, is_each_list || drawn_ml(t, w) > 0.0 ? 0.0 : way->weigh_g);
    number_or_empty(b, table, c.drawn, drawn_ml(t, w));
    number_or_empty(b, table, c.made_up, made_up_l);
    number_or_empty(b, table, c.each, each_l);
    number_or_empty(b, table, c.scoops, way->scoops);
    number_or_empty(b, table, true, can_do(t, w) ? PERCENT * way->error : 0.0);
}

/* Grams and litres of each can have a table of their own. */
static void row_of_cans_way(const bench *b, bd_table *table, columns c, const task *t)
{
    if (!t->has_cans || t->is_below_step)
        return;
    bd_table_line(b->card, table, t->is_by_cans ? W("way.best") : W("way.other"),
                  BD_ARGS(bd_words_arg(W("way.cans"))));
    number_or_empty(b, table, true, 0.0);
    number_or_empty(b, table, c.drawn, 0.0);
    number_or_empty(b, table, c.made_up, 0.0);
    number_or_empty(b, table, c.each, poured_l(b, t));
    number_or_empty(b, table, c.scoops, 0.0);
    number_or_empty(b, table, true, PERCENT * t->cans_error);
}

static void add_columns(const bench *b, bd_table *table, columns c)
{
    if (c.product)
        bd_table_column(b->card, table, "product", W("column.product"), "");
    bd_table_column(b->card, table, "way", W("column.way"), "");
    bd_table_column(b->card, table, "weigh", W("column.weigh"), "g");
    if (c.drawn)
        bd_table_column(b->card, table, "drawn", W("column.drawn"), "mL");
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
    for (size_t i = 0; i < count; i++) {
        for (int w = 0; w < BD_WAY_COUNT; w++)
            if (tasks[i].plan.ways[w].obstacle != BD_OBSTACLE_NO_TOOL)
                row_of_way(b, table, c, &tasks[i], (bd_way)w);
        row_of_cans_way(b, table, c, &tasks[i]);
    }
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
    bd_table_exact(b->card, table, grams);
    bd_table_number(b->card, table, count * litres);
    bd_table_exact(b->card, table, count * grams);
}

static bd_table *begin_cans(const bench *b, const task *t, bool has_kinds)
{
    bd_table *table = bd_card_table(
        b->card, "cans", t->is_by_cans ? W("table.cans") : W("table.cans_instead"), BD_NO_ARGS);
    bool is_liquid = t->offer->product.is_liquid;

    if (has_kinds)
        bd_table_column(b->card, table, "bags_of", W("column.bags_of"), "");
    bd_table_column(b->card, table, "can", W("column.can"), "");
    bd_table_column(b->card, table, "count", W("column.cans"), "");
    bd_table_column(b->card, table, "litres", W("column.litres_each"), "L");
    if (is_liquid)
        bd_table_column(b->card, table, "volume", W("column.grams_each"), "mL");
    else
        bd_table_column(b->card, table, "grams", W("column.grams_each"), "g");
    bd_table_column(b->card, table, "litres_total", W("column.litres_total"), "L");
    if (is_liquid)
        bd_table_column(b->card, table, "volume_total", W("column.volume_total"), "mL");
    else
        bd_table_column(b->card, table, "grams_total", W("column.grams_total"), "g");
    return table;
}

static void put_cans(const bench *b, bd_table *table, const bd_group *of, const bd_cans *cans)
{
    row_of_cans(b, table, of, cans->is_even ? W("cans.even") : W("cans.full"), cans->full,
                cans->full_l, cans->full_g);
    row_of_cans(b, table, of, cans->full > 0.0 ? W("cans.last") : W("cans.lone"), 1.0, cans->last_l,
                cans->last_g);
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
    bd_table_exact(b->card, table, grams);
}

static void show_can_table(const bench *b, const task *t, const bd_cans *cans)
{
    bd_table *table = begin_cans(b, t, false);

    put_cans(b, table, NULL, cans);
    put_sum_of_cans(b, table, number_of_cans(cans), cans->sum_l, cans->sum_g);
}

/* Only what a person who adds up by hand would see. */
static void tell_sum_of_cans(const bench *b, const task *t, double sum, double exact)
{
    double step = can_step(b, t);
    const char *unit = can_unit(t);

    if (fabs(sum - exact) < seen_of_a_step * step)
        return;
    bd_card_find(b->card, "measure.cans", BD_NOTE, W("measure.cans_add_up"),
                 BD_ARGS(bd_exact(sum, unit), bd_exact(exact, unit), bd_amount(step, unit)),
                 "arithmetic");
}

/* The cans of all the bags, where all get one feed; NULL where feeds differ. */
static const bd_cans *one_feed(const task *t)
{
    if (t->kind_count == 1)
        return &t->shares[0].cans;
    return t->sum.is_one_feed ? &t->sum.together : NULL;
}

static const char *key_of_last_can(const task *t, const bd_cans *cans)
{
    if (cans->full > 0.0)
        return t->is_by_cans ? W("figure.measure_last_can") : W("figure.measure_last_can_instead");
    return t->is_by_cans ? W("figure.measure_lone_can") : W("figure.measure_lone_can_instead");
}

static const char *key_of_cans(const task *t, const bd_cans *cans)
{
    if (cans->is_even)
        return t->is_by_cans ? W("figure.measure_even_can") : W("figure.measure_even_can_instead");
    return t->is_by_cans ? W("figure.measure_can") : W("figure.measure_can_instead");
}

static void show_can_figures(const bench *b, const task *t)
{
    const bd_cans *cans = one_feed(t);
    bd_arg error = bd_amount(PERCENT * t->cans_error, "%");
    bool is_liquid = t->offer->product.is_liquid;

    if (cans == NULL)
        return;
    if (cans->full > 0.0)
        bd_card_figure(b->card, is_liquid ? "measure.can_volume" : "measure.can",
                       key_of_cans(t, cans),
                       BD_ARGS(bd_count(cans->full), bd_amount(cans->full_l, "L"), error),
                       bd_exactly(cans->full_g), can_unit(t));
    if (cans->last_l > 0.0)
        bd_card_figure(b->card, is_liquid ? "measure.last_can_volume" : "measure.last_can",
                       key_of_last_can(t, cans), BD_ARGS(bd_amount(cans->last_l, "L"), error),
                       bd_exactly(cans->last_g), can_unit(t));
}

/* Feeds that differ stand in their table alone. */
static void show_cans_as_way(const bench *b, const task *t)
{
    show_can_figures(b, t);
    if (b->what->groups == NULL)
        figure(b, t, "pour", W("figure.measure_pour"), BD_NO_ARGS, bd_exactly(poured_l(b, t)), "L");
    figure(b, t, "error", W("figure.measure_error_cans"), BD_NO_ARGS,
           bd_exactly(PERCENT * t->cans_error), "%");
}

/* A can that asks for less than the scale shows is no instruction. */
static void tell_below_step(const bench *b, const task *t)
{
    bd_card_find(b->card, "measure.cans", BD_CARE,
                 t->offer->product.is_liquid ? W("measure.can_below_mark")
                                             : W("measure.can_below_step"),
                 BD_NO_ARGS, "arithmetic");
}

static void judge_cans(const bench *b, const task *t)
{
    if (t->can_error > b->rules.most_error)
        bd_card_find_limit(b->card, "measure.can_error", t->is_by_cans ? BD_CARE : BD_NOTE,
                           W("measure.can_too_coarse"), BD_NO_ARGS, PERCENT * t->can_error,
                           PERCENT * b->rules.most_error, "%", "common practice, no source");
}

static void show_one_feed(const bench *b, const task *t, const bd_cans *cans)
{
    show_can_table(b, t, cans);
    tell_sum_of_cans(b, t, cans->sum_g, cans->exact_g);
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
static void show_feeds(const bench *b, const task *t)
{
    const bd_groups *groups = b->what->groups;
    bd_table *table = begin_cans(b, t, true);
    double count = 0.0;

    for (size_t i = 0; i < groups->count; i++) {
        put_cans(b, table, &groups->items[i], &t->shares[i].cans);
        count += number_of_cans(&t->shares[i].cans);
    }
    bd_table_empty(b->card, table);
    put_sum_of_cans(b, table, count, t->sum.cans_l, t->sum.cans_g);
    tell_sum_of_cans(b, t, t->sum.cans_g, t->sum.exact_g);
    tell_other_feeds(b);
}

static void show_cans(const bench *b, const task *t)
{
    const bd_cans *cans = one_feed(t);

    if (bd_request_get(b->request, BD_OPT_CAN) == NULL)
        return;
    if (!t->has_cans) {
        bd_card_find(b->card, "measure.cans", BD_NOTE, W("measure.cans_need_water"), BD_NO_ARGS,
                     "");
        return;
    }
    if (t->is_below_step) {
        if (!t->plan.has_best || t->plan.best != BD_STOCK_CAN)
            tell_below_step(b, t);
        return;
    }
    if (!t->is_by_cans)
        show_can_figures(b, t);
    if (cans != NULL)
        show_one_feed(b, t, cans);
    else
        show_feeds(b, t);
    judge_cans(b, t);
}

/* ---- the best way ------------------------------------------------------------- */

/* Left in the bottle when every bag has had its share [mL]. */
static double left_of_stock(const task *t)
{
    double left_ml = ML_PER_L * t->tools.bottle_l;

    const bd_way_plan *cans = &t->plan.ways[BD_STOCK_CAN];

    if (t->plan.best == BD_STOCK_CAN)
        return left_ml - cans->last_ml -
               cans->can_ml * round((cans->all_l - cans->last_l) / cans->can_l);
    for (size_t i = 0; i < t->kind_count; i++)
        left_ml -= t->plans[i].ways[BD_STOCK_ML].stock_ml * t->kinds[i].bags;
    return left_ml;
}

static const char *stock_key(const bench *b, const task *t)
{
    if (b->what->is_sprayed)
        return W("figure.measure_stock_tank");
    return t->portion.pour_l > 0.0 ? W("figure.measure_stock_pour") : W("figure.measure_stock");
}

/* Of a strong solution into the can or cans. */
static void show_stock_cans(const bench *b, const task *t, const bd_way_plan *best)
{
    double full = best->can_ml > 0.0 ? round((best->all_l - best->last_l) / best->can_l) : 0.0;
    bool is_lone = full <= 1.0 && !(best->last_l > 0.0);

    if (best->can_ml > 0.0)
        figure(b, t, "can_stock",
               is_lone ? W("figure.measure_stock_lone_can") : W("figure.measure_stock_can"),
               BD_ARGS(bd_count(full), bd_amount(best->can_l, "L")), bd_exactly(best->can_ml),
               "mL");
    if (best->last_ml > 0.0)
        figure(b, t, "last_can_stock", W("figure.measure_stock_last_can"),
               BD_ARGS(bd_amount(best->last_l, "L")), bd_exactly(best->last_ml), "mL");
}

static void show_weighing(const bench *b, const task *t, const bd_way_plan *best)
{
    const bd_arg *args =
        BD_ARGS(bd_name(t->offer->title), bd_count(t->portion.bags), bd_amount(best->all_l, "L"),
                bd_amount(t->tools.bottle_l, "L"), bd_amount(t->portion.pour_l, "L"));
    double left_ml = best->stock_ml > 0.0 || best->can_ml > 0.0 ? left_of_stock(t) : 0.0;
    bool is_alike = b->what->groups == NULL;
    const char *key =
        b->what->is_sprayed ? W("figure.measure_weigh_tank") : W("figure.measure_weigh_each");

    if (t->plan.best == BD_WEIGH_ALL)
        key = W("figure.measure_weigh_all");
    else if (t->plan.best == BD_STOCK_ML || t->plan.best == BD_STOCK_CAN)
        key = W("figure.measure_weigh_stock");
    if (drawn_ml(t, t->plan.best) > 0.0)
        figure(b, t, t->plan.best == BD_WEIGH_ALL ? "all_volume" : "bottle_volume",
               t->plan.best == BD_WEIGH_ALL ? W("figure.measure_volume_all")
                                            : W("figure.measure_volume_thinned"),
               args, bd_exactly(drawn_ml(t, t->plan.best)), "mL");
    else if (best->weigh_g > 0.0 && (is_alike || t->plan.best != BD_WEIGH_EACH))
        figure(b, t, "weigh", key, args, bd_exactly(best->weigh_g), "g");
    show_stock_cans(b, t, best);
    if (best->pour_l > 0.0 && is_alike)
        figure(b, t, "pour", W("figure.measure_pour"), args, bd_exactly(best->pour_l), "L");
    if (best->liquid_ml > 0.0 && is_alike)
        figure(b, t, "volume",
               b->what->is_sprayed ? W("figure.measure_volume_tank") : W("figure.measure_volume"),
               args, bd_exactly(best->liquid_ml), "mL");
    if (best->stock_ml > 0.0 && is_alike)
        figure(b, t, "stock", stock_key(b, t), args, bd_exactly(best->stock_ml), "mL");
    if (left_ml > t->tools.syringe_step_ml)
        figure(b, t, "stock_left",
               t->offer->product.is_liquid ? W("figure.measure_thinned_left")
                                           : W("figure.measure_stock_left"),
               args, bd_exactly(left_ml), "mL");
}

/* Into what the scoops go: the tank or each bag. */
static const char *scoops_key(const bench *b, bool is_named)
{
    if (b->what->is_sprayed)
        return is_named ? W("figure.measure_scoops_tank_of") : W("figure.measure_scoops_tank");
    return is_named ? W("figure.measure_scoops_of") : W("figure.measure_scoops");
}

/* The spoon by its own name where it has one. */
static void show_scoops(const bench *b, const task *t, const bd_way_plan *best)
{
    const bd_value *scoop = bd_request_get(b->request, BD_OPT_SCOOP);

    if (best->scoops > 0.0 && b->what->groups == NULL)
        figure(b, t, "scoops", scoops_key(b, scoop != NULL),
               BD_ARGS(bd_name(t->offer->title), bd_name(scoop == NULL ? "" : scoop->text)),
               bd_exactly(best->scoops), "");
}

/* What is counted or weighed for each bag stands in the list of the bags alone: say which way. */
static const char *error_key(const bench *b, const task *t)
{
    if (b->what->groups != NULL && t->plan.best == BD_WEIGH_EACH)
        return W("figure.measure_error_each");
    if (b->what->groups != NULL && t->plan.best == BD_SCOOPS)
        return W("figure.measure_error_scoops");
    if (t->plan.best == BD_SCOOPS && t->kinds[0].dose_ml > 0.0 && t->tools.scoop_ml > 0.0)
        return W("figure.measure_error_volume");
    return W("figure.measure_error");
}

/* Of the one way that is taken. */
static double error_of(const task *t)
{
    return t->is_by_cans ? t->cans_error : t->plan.ways[t->plan.best].error;
}

static void show_way(const bench *b, const task *t)
{
    const bd_way_plan *best = &t->plan.ways[t->plan.best];

    show_scoops(b, t, best);
    show_weighing(b, t, best);
    if (b->what->groups == NULL)
        figure(b, t, "given",
               b->what->is_sprayed ? W("figure.measure_given_tank") : W("figure.measure_given"),
               BD_NO_ARGS, best->given_g, "g");
    figure(b, t, "error", error_key(b, t), BD_NO_ARGS, bd_exactly(PERCENT * best->error), "%");
}

/* What is done first stands first; what else would do comes behind, with its own error. */
static void show_best(const bench *b, const task *t)
{
    bool is_alike = b->what->groups == NULL;

    if (t->is_by_cans)
        show_cans_as_way(b, t);
    else if (t->plan.has_best)
        show_way(b, t);
    if ((t->is_by_cans || (t->plan.has_best && t->plan.best != BD_SCOOPS)) &&
        can_do(t, BD_SCOOPS) && is_alike)
        figure(b, t, "scoops",
               b->what->is_sprayed ? W("figure.measure_scoops_tank_instead")
                                   : W("figure.measure_scoops_instead"),
               BD_ARGS(bd_amount(PERCENT * t->plan.ways[BD_SCOOPS].error, "%")),
               bd_exactly(t->plan.ways[BD_SCOOPS].scoops), "");
    if (t->scoop.kind == BD_SCOOP_WEIGHED || t->scoop.kind == BD_SCOOP_BY_VOLUME)
        figure(b, t, "scoop", W("figure.measure_scoop"), BD_ARGS(bd_name(t->offer->title)),
               t->scoop.content_g, "g");
}

static void judge_best(const bench *b, const task *t)
{
    const bd_fact *most = practice(b, "measuring-error"), *steps = practice(b, "scale-steps");
    double least_g = b->rules.least_steps * b->scale_step_g;
    char source[BD_CITE_SIZE];

    if (!t->plan.has_best && !t->is_by_cans)
        bd_card_find(b->card, "measure.error", BD_CARE, W("measure.no_way"),
                     BD_ARGS(bd_name(t->offer->title)), bd_cite_fact(most, source));
    else if (error_of(t) > b->rules.most_error)
        bd_card_find_limit(b->card, "measure.error", BD_CARE, W("measure.too_coarse"),
                           BD_ARGS(bd_name(t->offer->title)), PERCENT * error_of(t),
                           PERCENT * b->rules.most_error, "%", bd_cite_fact(most, source));
    if (!t->plan.is_below_scale)
        return;
    bd_card_find_limit(b->card, "measure.scale", BD_NOTE, W("measure.below_scale"),
                       BD_ARGS(bd_name(t->offer->title), bd_count(b->rules.least_steps)),
                       t->portion.dose_g, least_g, "g", bd_cite_fact(steps, source));
    bd_card_limit_is_least(b->card);
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

static double stock_of(const task *t)
{
    return t->plan.has_best && !t->is_by_cans ? t->plan.ways[t->plan.best].stock_ml : 0.0;
}

bd_status bd_measuring_show(const bd_knowledge *know, const bd_request *request,
                            const bd_measuring *measuring, bd_card *card, bd_error *err)
{
    bench b = {.know = know, .request = request, .what = measuring, .card = card, .err = err};
    task tasks[BD_PRODUCTS_MAX];
    size_t count = measuring->offers->count;
    bd_status status = bd_scoop_check(know, request, err);

    for (size_t i = 0; i < count && measuring->stock_ml != NULL; i++)
        measuring->stock_ml[i] = 0.0;
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
        if (measuring->stock_ml != NULL)
            measuring->stock_ml[i] = stock_of(&tasks[i]);
    }
    show_ways(&b, tasks, count);
    if (count != 1)
        return BD_OK;
    if (measuring->groups != NULL)
        status = show_list(&b, &tasks[0]);
    if (status == BD_OK)
        show_cans(&b, &tasks[0]);
    return status;
}
