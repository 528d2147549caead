#include "model/measure.h"

#include <math.h>

#include "model/inputs.h"

#define MOST_COUNT          1e6
#define MOST_SCOOPS_WEIGHED 1000.0
#define LIGHTEST_KG_PER_L   0.05
#define HEAVIEST_KG_PER_L   5.0
#define WORST_LEVEL_ERROR   0.5
#define LEAST_SCOOP_STEP    0.01
#define ML_PER_L            1000.0
/* Relative; what is smaller comes from dividing doubles, not from a person. */
#define NOISE         1e-9
#define SAME_STRENGTH 1e-6

/* ---- steps and readings ----------------------------------------------------- */

static double to_step(double x, double step)
{
    return round(x / step) * step;
}

static double down_to_step(double x, double step)
{
    return floor(x / step + NOISE) * step;
}

/* What may really be there when a tool shows x: half a step either way. */
static bd_range reading(double x, double step)
{
    return bd_range_of(x - 0.5 * step, x, x + 0.5 * step);
}

static bool is_count_of_bags(double bags, bd_error *err)
{
    if (!bd_input_is_between(bags, 1.0, MOST_COUNT, "number of bags", "", err))
        return false;
    if (fabs(bags - round(bags)) <= 0.0)
        return true;
    (void)bd_fail(err, BD_RANGE, NULL, "the number of bags is not whole");
    return false;
}

static bool is_ordered(bd_range r, const char *what, bd_error *err)
{
    if (r.low <= r.typical && r.typical <= r.high)
        return true;
    (void)bd_fail(err, BD_CONFLICT, NULL, "the range of the %s is upside down", what);
    return false;
}

/* ---- the ways ----------------------------------------------------------------- */

static bd_way_plan hindered(bd_obstacle obstacle)
{
    return (bd_way_plan){.obstacle = obstacle};
}

static double farthest(bd_range given_g, double dose_g)
{
    return fmax(given_g.high - dose_g, dose_g - given_g.low) / dose_g;
}

static bd_way_plan weigh_each(const bd_portion *p, const bd_tools *t)
{
    bd_way_plan way = {0};

    if (!(t->scale_step_g > 0.0))
        return hindered(BD_OBSTACLE_NO_TOOL);
    way.weigh_g = to_step(p->dose_g, t->scale_step_g);
    if (!(way.weigh_g > 0.0))
        return hindered(BD_OBSTACLE_TOO_SMALL);
    way.given_g = reading(way.weigh_g, t->scale_step_g);
    return way;
}

static bd_way_plan weigh_all(const bd_portion *p, const bd_tools *t)
{
    bd_way_plan way = {0};

    if (!(t->scale_step_g > 0.0 && t->jug_step_l > 0.0 && p->pour_l > 0.0))
        return hindered(BD_OBSTACLE_NO_TOOL);
    way.weigh_g = to_step(p->dose_g * p->bags, t->scale_step_g);
    way.pour_l = to_step(p->pour_l, t->jug_step_l);
    if (!(way.weigh_g > 0.0 && way.pour_l > 0.0))
        return hindered(BD_OBSTACLE_TOO_SMALL);
    way.all_l = way.pour_l * p->bags;
    way.given_g = bd_range_scale(
        bd_range_times(reading(way.weigh_g, t->scale_step_g), reading(way.pour_l, t->jug_step_l)),
        1.0 / way.all_l);
    return way;
}

/* Millilitres first, rounded down so that the bottle lasts; the weight, the finer of the two
 * readings, then makes good what that rounding took. */
static void set_stock(const bd_portion *p, const bd_tools *t, double least_steps, bd_way_plan *way)
{
    double least_g = fmax(p->dose_g * p->bags, least_steps * t->scale_step_g);
    double dose_ml_g = p->dose_g * t->bottle_l * ML_PER_L;

    way->stock_ml = down_to_step(dose_ml_g / least_g, t->syringe_step_ml);
    if (way->stock_ml > 0.0)
        way->weigh_g = to_step(dose_ml_g / way->stock_ml, t->scale_step_g);
}

static bd_way_plan by_stock(const bd_portion *p, const bd_tools *t, const bd_measure_rules *rules)
{
    bd_way_plan way = {0};
    bd_range bottle_ml;

    if (!(t->scale_step_g > 0.0 && t->bottle_l > 0.0 && t->syringe_step_ml > 0.0))
        return hindered(BD_OBSTACLE_NO_TOOL);
    set_stock(p, t, rules->least_steps, &way);
    if (!(way.stock_ml > 0.0))
        return hindered(BD_OBSTACLE_TOO_SMALL);
    if (p->dissolves_g_per_l > 0.0 && way.weigh_g / t->bottle_l > p->dissolves_g_per_l)
        return hindered(BD_OBSTACLE_TOO_STRONG);
    bottle_ml =
        bd_range_scale(bd_range_of(1.0 - rules->bottle_error, 1.0, 1.0 + rules->bottle_error),
                       t->bottle_l * ML_PER_L);
    way.given_g = bd_range_over(bd_range_times(reading(way.weigh_g, t->scale_step_g),
                                               reading(way.stock_ml, t->syringe_step_ml)),
                                bottle_ml);
    return way;
}

static bd_way_plan by_scoops(const bd_portion *p, const bd_tools *t)
{
    bd_way_plan way = {0};

    if (!(t->scoop_g.typical > 0.0))
        return hindered(BD_OBSTACLE_NO_TOOL);
    way.scoops = to_step(p->dose_g / t->scoop_g.typical, t->scoop_step);
    if (!(way.scoops > 0.0))
        return hindered(BD_OBSTACLE_TOO_SMALL);
    way.given_g = bd_range_scale(t->scoop_g, way.scoops);
    return way;
}

static void choose(bd_measure_plan *plan, const bd_measure_rules *rules)
{
    for (int i = 0; i < BD_WAY_COUNT; i++) {
        const bd_way_plan *way = &plan->ways[i];

        if (way->obstacle != BD_OBSTACLE_NONE)
            continue;
        if (!plan->has_best || way->error < plan->ways[plan->best].error) {
            plan->has_best = true;
            plan->best = (bd_way)i;
        }
        if (way->error <= rules->good_error)
            break;
    }
    plan->is_too_coarse = !plan->has_best || plan->ways[plan->best].error > rules->most_error;
}

static bool is_portion(const bd_portion *p, bd_error *err)
{
    return bd_input_is_amount(p->dose_g, "dose", "g", err) && is_count_of_bags(p->bags, err) &&
           bd_input_is_amount_or_none(p->pour_l, "water for a bag", "L", err) &&
           bd_input_is_amount_or_none(p->dissolves_g_per_l, "solubility", "g/L", err);
}

static bool are_tools(const bd_tools *t, bd_error *err)
{
    return bd_input_is_amount_or_none(t->scale_step_g, "step of the scale", "g", err) &&
           bd_input_is_amount_or_none(t->jug_step_l, "step of the jug", "L", err) &&
           bd_input_is_amount_or_none(t->bottle_l, "bottle", "L", err) &&
           bd_input_is_amount_or_none(t->syringe_step_ml, "step of the syringe", "mL", err) &&
           bd_input_is_amount_or_none(t->scoop_g.low, "content of a scoop", "g", err) &&
           bd_input_is_amount_or_none(t->scoop_g.typical, "content of a scoop", "g", err) &&
           bd_input_is_amount_or_none(t->scoop_g.high, "content of a scoop", "g", err) &&
           (!(t->scoop_g.typical > 0.0) || bd_input_is_between(t->scoop_step, LEAST_SCOOP_STEP, 1.0,
                                                               "step of the scoop", "", err));
}

static bool are_rules(const bd_measure_rules *r, bd_error *err)
{
    return bd_input_is_between(r->good_error, 0.0, 1.0, "good error", "", err) &&
           bd_input_is_between(r->most_error, r->good_error, 1.0, "largest error", "", err) &&
           bd_input_is_between(r->least_steps, 1.0, MOST_COUNT, "steps of a weighing", "", err) &&
           bd_input_is_between(r->bottle_error, 0.0, WORST_LEVEL_ERROR, "error of a bottle", "",
                               err);
}

bd_status bd_measure_ways(const bd_portion *portion, const bd_tools *tools,
                          const bd_measure_rules *rules, bd_measure_plan *out, bd_error *err)
{
    bd_measure_plan plan = {0};

    if (!is_portion(portion, err) || !are_tools(tools, err) || !are_rules(rules, err))
        return BD_RANGE;
    if (!is_ordered(tools->scoop_g, "scoop", err))
        return BD_CONFLICT;
    plan.ways[BD_WEIGH_EACH] = weigh_each(portion, tools);
    plan.ways[BD_WEIGH_ALL] = weigh_all(portion, tools);
    plan.ways[BD_STOCK_ML] = by_stock(portion, tools, rules);
    plan.ways[BD_SCOOPS] = by_scoops(portion, tools);
    for (int i = 0; i < BD_WAY_COUNT; i++)
        plan.ways[i].error = farthest(plan.ways[i].given_g, portion->dose_g);
    choose(&plan, rules);
    plan.is_below_scale =
        tools->scale_step_g > 0.0 &&
        portion->dose_g < rules->least_steps * tools->scale_step_g * (1.0 - NOISE);
    *out = plan;
    return BD_OK;
}

/* ---- scoops --------------------------------------------------------------------- */

static bd_range struck_off(bd_range scoop_g, double level_error)
{
    return bd_range_times(scoop_g, bd_range_of(1.0 - level_error, 1.0, 1.0 + level_error));
}

static bool is_bulk(double kg_per_l, bd_error *err)
{
    return bd_input_is_between(kg_per_l, LIGHTEST_KG_PER_L, HEAVIEST_KG_PER_L, "bulk density",
                               "kg/L", err);
}

bd_status bd_scoop_by_density(double volume_ml, bd_range bulk_kg_per_l, double level_error,
                              bd_range *scoop_g, bd_error *err)
{
    if (!bd_input_is_amount(volume_ml, "scoop", "mL", err) || !is_bulk(bulk_kg_per_l.low, err) ||
        !is_bulk(bulk_kg_per_l.typical, err) || !is_bulk(bulk_kg_per_l.high, err) ||
        !bd_input_is_between(level_error, 0.0, WORST_LEVEL_ERROR, "error of levelling", "", err))
        return BD_RANGE;
    if (!is_ordered(bulk_kg_per_l, "bulk density", err))
        return BD_CONFLICT;
    /* kg/L is g/mL */
    *scoop_g = struck_off(bd_range_scale(bulk_kg_per_l, volume_ml), level_error);
    return BD_OK;
}

bd_status bd_scoop_by_weighing(double scoops, double total_g, double scale_step_g,
                               double level_error, bd_range *scoop_g, bd_error *err)
{
    if (!bd_input_is_between(scoops, 1.0, MOST_SCOOPS_WEIGHED, "number of scoops", "", err) ||
        !bd_input_is_amount(scale_step_g, "step of the scale", "g", err) ||
        !bd_input_is_between(total_g, scale_step_g, BD_AMOUNT_MOST, "weight of the scoops", "g",
                             err) ||
        !bd_input_is_between(level_error, 0.0, WORST_LEVEL_ERROR, "error of levelling", "", err))
        return BD_RANGE;
    *scoop_g =
        struck_off(bd_range_scale(reading(total_g, scale_step_g), 1.0 / scoops), level_error);
    return BD_OK;
}

bd_status bd_bulk_by_weighing(double scoops, double total_g, double scale_step_g,
                              double level_error, double volume_ml, bd_range *bulk_kg_per_l,
                              bd_error *err)
{
    bd_range scoop_g = {0, 0, 0}, kg_per_l;
    bd_status status =
        bd_scoop_by_weighing(scoops, total_g, scale_step_g, level_error, &scoop_g, err);

    if (status != BD_OK)
        return status;
    if (!bd_input_is_amount(volume_ml, "scoop", "mL", err))
        return BD_RANGE;
    kg_per_l = bd_range_scale(scoop_g, 1.0 / volume_ml); /* g/mL is kg/L */
    if (!is_bulk(kg_per_l.low, err) || !is_bulk(kg_per_l.high, err))
        return BD_RANGE;
    *bulk_kg_per_l = kg_per_l;
    return BD_OK;
}

/* ---- cans ------------------------------------------------------------------------- */

static bool are_cans(double total_l, double can_l, bd_error *err)
{
    return bd_input_is_amount(total_l, "feed wanted", "L", err) &&
           bd_input_is_amount(can_l, "can", "L", err) &&
           bd_input_is_between(total_l / can_l, 0.0, MOST_COUNT, "number of cans", "", err);
}

static double can_error(double strength_g_per_l, double litres, double grams, double step_g)
{
    double exact_g = strength_g_per_l * litres;

    return litres > 0.0 ? (fabs(grams - exact_g) + 0.5 * step_g) / exact_g : 0.0;
}

static void split(double total_l, double can_l, bd_cans *cans)
{
    double in_cans = total_l / can_l;

    cans->full = floor(in_cans + NOISE);
    cans->full_l = cans->full > 0.0 ? can_l : 0.0;
    cans->last_l = in_cans - cans->full > NOISE ? total_l - cans->full * can_l : 0.0;
}

static void split_evenly(double total_l, bd_cans *cans)
{
    cans->full += 1.0;
    cans->full_l = total_l / cans->full;
    cans->last_l = 0.0;
    cans->is_even = true;
}

static void weigh(double strength_g_per_l, double step_g, bd_cans *cans)
{
    cans->full_g = to_step(strength_g_per_l * cans->full_l, step_g);
    cans->last_g = to_step(strength_g_per_l * cans->last_l, step_g);
}

static bool lacks_material(double litres, double grams)
{
    return litres > 0.0 && !(grams > 0.0);
}

static void judge(double strength_g_per_l, double step_g, bd_cans *cans)
{
    cans->is_below_step =
        lacks_material(cans->full_l, cans->full_g) || lacks_material(cans->last_l, cans->last_g);
    if (cans->is_below_step) {
        cans->full_g = cans->last_g = 0.0;
        cans->error = 1.0;
        return;
    }
    cans->error = fmax(can_error(strength_g_per_l, cans->full_l, cans->full_g, step_g),
                       can_error(strength_g_per_l, cans->last_l, cans->last_g, step_g));
}

static bd_cans fill(double strength_g_per_l, double total_l, double can_l, double step_g)
{
    bd_cans cans = {.exact_g = strength_g_per_l * total_l};

    split(total_l, can_l, &cans);
    weigh(strength_g_per_l, step_g, &cans);
    if (cans.full > 0.0 && lacks_material(cans.last_l, cans.last_g)) {
        split_evenly(total_l, &cans);
        weigh(strength_g_per_l, step_g, &cans);
    }
    judge(strength_g_per_l, step_g, &cans);
    cans.sum_l = cans.full * cans.full_l + cans.last_l;
    cans.sum_g = cans.full * cans.full_g + cans.last_g;
    return cans;
}

bd_status bd_cans_fill(double strength_g_per_l, double total_l, double can_l, double step_g,
                       bd_cans *out, bd_error *err)
{
    if (!bd_input_is_amount(strength_g_per_l, "strength", "g/L", err) ||
        !bd_input_is_amount(step_g, "step of the scale", "g", err) ||
        !are_cans(total_l, can_l, err))
        return BD_RANGE;
    *out = fill(strength_g_per_l, total_l, can_l, step_g);
    return BD_OK;
}

/* ---- bags of several kinds ---------------------------------------------------------- */

static bd_status check_group(const bd_feed_group *g, double can_l, bd_error *err)
{
    if (!is_count_of_bags(g->bags, err) || !bd_input_is_amount(g->dose_g, "dose", "g", err) ||
        !bd_input_is_amount_or_none(g->pour_l, "feed for a bag", "L", err))
        return BD_RANGE;
    if (!(g->pour_l > 0.0))
        return BD_OK;
    if (!(can_l > 0.0))
        return bd_fail(err, BD_MISSING, NULL, "bags are given feed in water, but there is no can");
    return are_cans(g->bags * g->pour_l, can_l, err) ? BD_OK : BD_RANGE;
}

static bd_status check_groups(const bd_feed_group *groups, size_t count, double can_l,
                              double step_g, bd_error *err)
{
    bd_status status = BD_OK;

    if (count == 0)
        return bd_fail(err, BD_MISSING, NULL, "the list of bags is empty");
    if (!bd_input_is_amount(step_g, "step of the scale", "g", err) ||
        !bd_input_is_amount_or_none(can_l, "can", "L", err))
        return BD_RANGE;
    for (size_t i = 0; i < count && status == BD_OK; i++)
        status = check_group(&groups[i], can_l, err);
    return status;
}

static bool is_one_feed(const bd_feed_group *groups, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        /* cross-multiplied, so that a kind given dry (no litres) needs no case of its own */
        double here = groups[i].dose_g * groups[0].pour_l;
        double first = groups[0].dose_g * groups[i].pour_l;

        if (!(groups[i].pour_l > 0.0 && fabs(here - first) <= SAME_STRENGTH * first))
            return false;
    }
    return true;
}

static bd_group_share share_of(const bd_feed_group *g, double can_l, double step_g)
{
    bd_group_share share = {.bag_g = to_step(g->dose_g, step_g),
                            .exact_g = g->bags * g->dose_g,
                            .has_cans = g->pour_l > 0.0};

    share.sum_g = g->bags * share.bag_g;
    if (share.has_cans)
        share.cans = fill(g->dose_g / g->pour_l, g->bags * g->pour_l, can_l, step_g);
    return share;
}

static void add_share(bd_group_sum *sum, double bags, const bd_group_share *share)
{
    sum->bags += bags;
    sum->bags_g += share->sum_g;
    sum->exact_g += share->exact_g;
    if (share->has_cans) {
        sum->cans_l += share->cans.sum_l;
        sum->cans_g += share->cans.sum_g;
    }
}

bd_status bd_groups_measure(const bd_feed_group *groups, size_t count, double can_l, double step_g,
                            bd_group_share *shares, bd_group_sum *sum, bd_error *err)
{
    bd_group_sum total = {0};
    bd_status status = check_groups(groups, count, can_l, step_g, err);

    if (status != BD_OK)
        return status;
    for (size_t i = 0; i < count; i++) {
        shares[i] = share_of(&groups[i], can_l, step_g);
        add_share(&total, groups[i].bags, &shares[i]);
    }
    total.is_one_feed = is_one_feed(groups, count);
    if (total.is_one_feed)
        total.together = fill(total.exact_g / total.cans_l, total.cans_l, can_l, step_g);
    *sum = total;
    return BD_OK;
}
