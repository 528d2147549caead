#include "job/group_list.h"

#include <math.h>

enum { DIGITS = 3, DIGITS_SHOWN = 6 };

/* What a kind's row holds and what it is multiplied by for the next column. */
typedef struct row {
    const bd_group *group;
    const bd_way_plan *way; /* NULL where no way is good for all */
    double bag_g;
} row;

typedef struct sheet {
    const bd_group_list *list;
    bd_card *card;
    bd_table *table;
    row rows[BD_GROUPS_MAX];
    bd_group_sum sum;
    double step_g;
} sheet;

/* ---- the grams, rounded --------------------------------------------------------- */

static const bd_way_plan *best_of(const bd_measure_plan *plan)
{
    return plan->has_best ? &plan->ways[plan->best] : NULL;
}

static bool is_weighed_each(const sheet *s)
{
    const bd_measure_plan *plan = s->list->plans;

    return plan != NULL && plan->has_best && plan->best == BD_WEIGH_EACH;
}

/* A power of ten: three digits of the smallest dose, and no more than can be shown of the sum. */
static double paper_step(const bd_groups *groups)
{
    double least = HUGE_VAL, sum = 0.0;

    for (size_t i = 0; i < groups->count; i++) {
        const bd_group_dose *dose = &groups->items[i].dose;

        least = fmin(least, dose->per_bag_g.typical);
        sum += dose->per_bag_g.typical * dose->bags;
    }
    return pow(10.0, fmax(floor(log10(least)) + 1 - DIGITS,
                          floor(log10(fmax(sum, least))) + 2 - DIGITS_SHOWN));
}

static bd_status round_grams(sheet *s, bd_error *err)
{
    const bd_groups *groups = s->list->groups;
    bd_feed_group kinds[BD_GROUPS_MAX];
    bd_group_share shares[BD_GROUPS_MAX];
    bd_status status;

    for (size_t i = 0; i < groups->count; i++)
        s->rows[i] = (row){.group = &groups->items[i]};
    if (s->list->plans == NULL)
        return BD_OK;
    s->step_g = is_weighed_each(s) ? s->list->scale_step_g : paper_step(groups);
    for (size_t i = 0; i < groups->count; i++)
        kinds[i] = (bd_feed_group){groups->items[i].dose.bags,
                                   groups->items[i].dose.per_bag_g.typical, 0.0};
    status = bd_groups_measure(kinds, groups->count, 0.0, s->step_g, shares, &s->sum, err);
    for (size_t i = 0; i < groups->count && status == BD_OK; i++)
        s->rows[i] = (row){&groups->items[i], best_of(&s->list->plans[i]), shares[i].bag_g};
    return status;
}

/* ---- the columns ------------------------------------------------------------------ */

/* What the scale cannot show is told beside what it shows. */
static double dose(const sheet *s, const row *r)
{
    return is_weighed_each(s) ? r->group->dose.per_bag_g.typical : 0.0;
}

static double weighed(const sheet *s, const row *r)
{
    return is_weighed_each(s) ? r->bag_g : 0.0;
}

static double grams(const sheet *s, const row *r)
{
    return is_weighed_each(s) ? 0.0 : r->bag_g;
}

/* As the syringe shows them where it is the way. */
static double millilitres(const sheet *s, const row *r)
{
    if (r->way != NULL && r->way->liquid_ml > 0.0)
        return r->way->liquid_ml;
    return s->list->density_kg_per_l > 0.0
               ? r->group->dose.per_bag_g.typical / s->list->density_kg_per_l
               : 0.0;
}

static double canopy(const sheet *s, const row *r)
{
    (void)s;
    return r->group->dose.canopy_m2;
}

static double sprayed(const sheet *s, const row *r)
{
    return canopy(s, r) > 0.0 ? r->group->dose.pour_l : 0.0;
}

/* As the jug shows it where it shares the dose out. */
static double pour(const sheet *s, const row *r)
{
    if (canopy(s, r) > 0.0)
        return 0.0;
    return r->way != NULL && r->way->pour_l > 0.0 ? r->way->pour_l : r->group->dose.pour_l;
}

static double stock(const sheet *s, const row *r)
{
    (void)s;
    return r->way == NULL ? 0.0 : r->way->stock_ml;
}

static double scoops(const sheet *s, const row *r)
{
    (void)s;
    return r->way == NULL ? 0.0 : r->way->scoops;
}

static double bags_a_can(const sheet *s, const row *r)
{
    const double noise = 1e-9;

    return s->list->can_l > 0.0 ? floor(s->list->can_l / pour(s, r) + noise) : 0.0;
}

/* A column of each bag and, where bags times it is something to hold, one of all of them. */
static const struct column {
    double (*each)(const sheet *s, const row *r); /* 0: not in this list */
    const char *id, *key, *total_id, *total_key;
    const char *unit;
} columns[] = {
    {dose, "product_per_bag", W("column.grams_bag"), NULL, NULL, "g"},
    {weighed, "weigh_per_bag", W("column.weigh_bag"), "weigh_total", W("column.weigh_kind"), "g"},
    {grams, "product_per_bag", W("column.grams_bag"), "product_total", W("column.grams_kind"), "g"},
    {millilitres, "product_volume_per_bag", W("column.millilitres_bag"), NULL, NULL, "mL"},
    {stock, "stock_per_bag", W("column.stock_bag"), "stock_total", W("column.stock_kind"), "mL"},
    {scoops, "scoops_per_bag", W("column.scoops_bag"), "scoops_total", W("column.scoops_kind"), ""},
    {pour, "pour_per_bag", W("column.pour_bag"), "pour_total", W("column.pour_kind"), "L"},
    {canopy, "canopy_per_bag", W("column.canopy_bag"), NULL, NULL, "m2"},
    {sprayed, "spray_per_bag", W("column.spray_bag"), "spray_total", W("column.spray_kind"), "L"},
    {bags_a_can, "bags_a_can", W("column.bags_a_can"), NULL, NULL, ""},
};
enum { COLUMN_COUNT = sizeof columns / sizeof columns[0] };

static bool is_in_list(const sheet *s, const struct column *c)
{
    for (size_t i = 0; i < s->list->groups->count; i++)
        if (c->each(s, &s->rows[i]) > 0.0)
            return true;
    return false;
}

static void add_columns(sheet *s)
{
    bd_table_column(s->card, s->table, "bags_of", W("column.bags_of"), "");
    bd_table_column(s->card, s->table, "bags", W("column.bags"), "");
    for (size_t k = 0; k < COLUMN_COUNT; k++) {
        const struct column *c = &columns[k];

        if (!is_in_list(s, c))
            continue;
        bd_table_column(s->card, s->table, c->id, c->key, c->unit);
        if (c->total_id != NULL)
            bd_table_column(s->card, s->table, c->total_id, c->total_key, c->unit);
    }
}

static void add_row(sheet *s, const row *r)
{
    const bd_group *g = r->group;

    bd_table_line(s->card, s->table, g->what[0] == '\0' ? W("plain") : W("groups.row"),
                  BD_ARGS(bd_name(g->mark), bd_name(g->what)));
    bd_table_exact(s->card, s->table, g->dose.bags);
    for (size_t k = 0; k < COLUMN_COUNT; k++) {
        const struct column *c = &columns[k];
        double each = c->each(s, r);

        if (!is_in_list(s, c))
            continue;
        if (c->total_id == NULL) {
            bd_table_number(s->card, s->table, each);
            continue;
        }
        bd_table_exact(s->card, s->table, each);
        bd_table_exact(s->card, s->table, each * g->dose.bags);
    }
}

static void add_sum(sheet *s, double bags)
{
    bd_table_line(s->card, s->table, W("groups.sum"), BD_NO_ARGS);
    bd_table_exact(s->card, s->table, bags);
    for (size_t k = 0; k < COLUMN_COUNT; k++) {
        const struct column *c = &columns[k];
        double sum = 0.0;

        if (!is_in_list(s, c))
            continue;
        bd_table_empty(s->card, s->table);
        if (c->total_id == NULL)
            continue;
        for (size_t i = 0; i < s->list->groups->count; i++)
            sum += c->each(s, &s->rows[i]) * s->rows[i].group->dose.bags;
        bd_table_exact(s->card, s->table, sum);
    }
}

bd_status bd_group_list_show(const bd_group_list *list, bd_card *card, bd_error *err)
{
    sheet s = {.list = list, .card = card};
    bd_status status = round_grams(&s, err);

    if (status != BD_OK)
        return status;
    s.table = bd_card_table(card, "groups", W("table.groups"), BD_NO_ARGS);
    add_columns(&s);
    for (size_t i = 0; i < list->groups->count; i++)
        add_row(&s, &s.rows[i]);
    add_sum(&s, bd_groups_bags(list->groups));
    if (list->plans == NULL)
        return BD_OK;
    bd_card_find(
        card, "groups.sum", BD_NOTE,
        is_weighed_each(&s) ? W("groups.add_up_scale") : W("groups.add_up"),
        BD_ARGS(bd_exact(s.sum.bags_g, "g"), bd_exact(s.sum.exact_g, "g"), bd_exact(s.step_g, "g")),
        "arithmetic");
    return BD_OK;
}
