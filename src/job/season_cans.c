/*
 * Cans of feed for each round, and the strong solution where a can takes too little
 * for the scale.
 *
 * Where a can may be further off than the trade bears (measuring-error), it is said,
 * and beside the cans stands the better way: the round is weighed once, made up to
 * a bottle and shared by the millilitre, as the dosing jobs do (model/measure.h).
 */
#include "job/season_tables.h"

#include <math.h>

#include "job/dissolved.h"
#include "model/measure.h"
#include "nutrients/cite.h"

static const double nothing_g = 1e-6; /* rounding, not an amount */
static const double percent = 100.0, ml_per_l = 1000.0;

/* One product in one round of one group. */
typedef struct filling {
    const bd_season_group *g;
    size_t round, product;
    bd_cans cans;
    bool is_coarse;
    bool has_stock;
    double stock_g, stock_ml; /* into the bottle; to each bag */
} filling;

static double practice(const bd_season *s, const char *name)
{
    return bd_catalogue_practice(s->know->catalogue, name)->value.typical;
}

double bd_season_scale_step(const bd_season *s)
{
    if (s->garden->tools.scale_step_g > 0.0)
        return s->garden->tools.scale_step_g;
    return practice(s, "scale-step");
}

bool bd_season_is_coarse(const bd_season *s, const bd_cans *cans)
{
    return cans->is_below_step || cans->error > practice(s, "measuring-error");
}

/* 0 where nothing is known, and then no bottle is made. */
static bd_status dissolves(const bd_season *s, size_t product, double *g_per_l)
{
    const bd_offer *o = &s->shelf.items[product];
    bd_bath bath = {.count = 1, .doses = {{o, {1.0, 1.0, 1.0}, 0.0, false}}};
    bd_error e = {.status = BD_OK};
    bd_card aside;
    bd_status status;

    *g_per_l = 0.0;
    if (o->material == NULL || o->material->kind != BD_SALT ||
        bd_material_has(o->material, BD_TRAIT_SLOW))
        return BD_OK;
    bd_card_init(&aside, "season");
    status = bd_bath_solve(&bath, s->know, &s->garden->groups[0].ask, &aside, &e);
    if (status == BD_OK)
        status = bd_card_status(&aside, &e);
    bd_card_clear(&aside);
    if (status == BD_OK && bath.most_soluble < HUGE_VAL)
        *g_per_l = bath.most_soluble * practice(s, "solubility-working-share");
    return status == BD_MEMORY ? bd_fail(s->err, BD_MEMORY, NULL, "no memory left") : BD_OK;
}

bd_status bd_season_dissolve(bd_season *s)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < s->shelf.count && s->garden->tools.can_l > 0.0 && status == BD_OK; i++)
        status = dissolves(s, i, &s->dissolves_g_per_l[i]);
    return status;
}

/* False where no bottle of it can be made. */
static bool stock_way(const bd_season *s, const bd_season_group *g, size_t product, double grams,
                      bd_way_plan *out)
{
    bd_portion portion = {.dose_g = grams,
                          .bags = g->bags.count,
                          .pour_l = g->pour_l,
                          .dissolves_g_per_l = s->dissolves_g_per_l[product]};
    bd_tools tools = {.scale_step_g = bd_season_scale_step(s),
                      .bottle_l = practice(s, "stock-bottle"),
                      .syringe_step_ml = ml_per_l * practice(s, "syringe-step")};
    bd_measure_rules rules = {.good_error = practice(s, "scale-error"),
                              .most_error = practice(s, "measuring-error"),
                              .least_steps = practice(s, "scale-steps"),
                              .bottle_error = practice(s, "bottle-error")};
    bd_measure_plan plan = {.has_best = false};

    if (!(portion.dissolves_g_per_l > 0.0) ||
        bd_measure_ways(&portion, &tools, &rules, &plan, NULL) != BD_OK)
        return false;
    *out = plan.ways[BD_STOCK_ML];
    return out->obstacle == BD_OBSTACLE_NONE;
}

static void find_stock(const bd_season *s, filling *f)
{
    double grams = f->g->rounds.rounds[f->round].g[f->product];
    bd_way_plan way;

    if (!stock_way(s, f->g, f->product, grams, &way))
        return;
    f->has_stock = way.error < f->cans.error;
    f->stock_g = way.weigh_g;
    f->stock_ml = way.stock_ml;
}

bool bd_season_is_measurable(const bd_season *s, const bd_season_group *g, size_t product,
                             double grams)
{
    double least_g = practice(s, "scale-steps") * bd_season_scale_step(s);
    bd_way_plan way;

    if (grams * g->bags.count >= least_g)
        return true;
    return g->is_dissolved && stock_way(s, g, product, grams, &way) &&
           way.error <= practice(s, "measuring-error");
}

/* False where nothing of the product is poured in the round. */
static bool fill(const bd_season *s, const bd_season_group *g, size_t k, size_t i, filling *out)
{
    const bd_round *round = &g->rounds.rounds[k];

    *out = (filling){.g = g, .round = k, .product = i};
    if (!g->is_dissolved || round->is_base || !(round->g[i] > nothing_g) ||
        bd_cans_fill(round->g[i] / g->pour_l, g->pour_l * g->bags.count, s->garden->tools.can_l,
                     bd_season_scale_step(s), &out->cans, NULL) != BD_OK)
        return false;
    out->is_coarse = bd_season_is_coarse(s, &out->cans);
    if (out->is_coarse)
        find_stock(s, out);
    return true;
}

/* ---- the table ---------------------------------------------------------------------- */

static void put_name(const bd_season *s, bd_table *t, const char *name)
{
    bd_table_line(s->card, t, W("plain"), BD_ARGS(bd_name(name)));
}

static void put(const bd_season *s, bd_table *t, bool has, double x)
{
    if (has)
        bd_table_number(s->card, t, x);
    else
        bd_table_empty(s->card, t);
}

static void put_filling(const bd_season *s, bd_table *t, const filling *f, bool has_stocks)
{
    const bd_cans *cans = &f->cans;
    bool has_cans = !cans->is_below_step, has_last = has_cans && cans->last_l > 0.0;

    put_name(s, t, f->g->garden->name);
    bd_table_number(s->card, t, bd_season_round_number(f->g, f->round));
    put_name(s, t, s->shelf.items[f->product].title);
    put(s, t, has_cans, cans->full);
    put(s, t, has_cans, cans->full_g);
    put(s, t, has_last, cans->last_l);
    put(s, t, has_last, cans->last_g);
    put(s, t, has_cans, cans->sum_g);
    if (!has_stocks)
        return;
    put(s, t, f->has_stock, f->stock_g);
    put(s, t, f->has_stock, f->stock_ml);
}

static bd_table *begin(const bd_season *s, bool has_stocks)
{
    bd_table *t = bd_card_table(s->card, "cans", W("table.season_cans"), BD_NO_ARGS);

    bd_table_column(s->card, t, "group", W("column.bags_of"), "");
    bd_table_column(s->card, t, "round", W("column.round"), "");
    bd_table_column(s->card, t, "product", W("column.product"), "");
    bd_table_column(s->card, t, "cans", W("column.full_cans"), "");
    bd_table_column(s->card, t, "can_g", W("column.each_can"), "g");
    bd_table_column(s->card, t, "last_l", W("column.last_can"), "L");
    bd_table_column(s->card, t, "last_g", W("column.last_can"), "g");
    bd_table_column(s->card, t, "total_g", W("column.all_cans"), "g");
    if (has_stocks) {
        bd_table_column(s->card, t, "stock_g", W("column.stock_bottle"), "g");
        bd_table_column(s->card, t, "stock_ml", W("column.stock_each"), "mL");
    }
    return t;
}

typedef void with_filling(const bd_season *s, const filling *f, void *to);

static void for_each_of(const bd_season *s, const bd_season_group *g, with_filling *do_it, void *to)
{
    filling f;

    for (size_t k = 0; k < g->rounds.count && s->garden->tools.can_l > 0.0; k++)
        for (size_t i = 0; i < s->shelf.count; i++)
            if (fill(s, g, k, i, &f))
                do_it(s, &f, to);
}

static void for_each(const bd_season *s, with_filling *do_it, void *to)
{
    for (size_t n = 0; n < s->group_count; n++)
        for_each_of(s, &s->groups[n], do_it, to);
}

/* What the table needs to know beforehand. */
typedef struct extent {
    size_t rows;
    bool has_stocks;
    bd_table *table;
} extent;

static void measure(const bd_season *s, const filling *f, void *to)
{
    extent *e = to;

    (void)s;
    e->rows++;
    e->has_stocks |= f->has_stock;
}

static void list(const bd_season *s, const filling *f, void *to)
{
    const extent *e = to;

    put_filling(s, e->table, f, e->has_stocks);
}

void bd_season_table_cans(const bd_season *s)
{
    extent e = {.rows = 0};

    for_each(s, measure, &e);
    if (e.rows == 0)
        return;
    e.table = begin(s, e.has_stocks);
    for_each(s, list, &e);
}

/* ---- what is said ------------------------------------------------------------------- */

/* The worst of a product's rounds in one group. */
typedef struct worst {
    const bd_season_group *g;
    size_t product;
    double error;
    bool has_stock, is_coarse;
} worst;

static void look(const bd_season *s, const filling *f, void *to)
{
    worst *w = to;

    (void)s;
    if (f->product != w->product || !f->is_coarse)
        return;
    w->is_coarse = true;
    w->has_stock |= f->has_stock;
    w->error = fmax(w->error, f->cans.error);
}

static void tell(const bd_season *s, const worst *w)
{
    const bd_fact *most = bd_catalogue_practice(s->know->catalogue, "measuring-error");
    char source[BD_CITE_SIZE];

    if (w->is_coarse)
        bd_card_find_limit(
            s->card, "measure.can_error", BD_CARE,
            w->has_stock ? W("season.cans_stock") : W("season.cans_coarse"),
            BD_ARGS(bd_name(w->g->garden->name), bd_name(s->shelf.items[w->product].title),
                    bd_amount(practice(s, "stock-bottle"), "L")),
            percent * w->error, percent * most->value.typical, "%", bd_cite_fact(most, source));
}

void bd_season_tell_cans(const bd_season *s, const bd_season_group *g)
{
    for (size_t i = 0; i < s->shelf.count; i++) {
        worst w = {.g = g, .product = i};

        for_each_of(s, g, look, &w);
        tell(s, &w);
    }
}
