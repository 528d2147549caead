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
#define NOISE 1e-9
/* Relative: half of the third digit, for litres are said to three digits at best. */
#define SAME_STRENGTH 0.005
/* Stocks tried: one step less of the smallest dose spares more than rounding may take. */
#define MOST_TRIES 8

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

/* A dose by volume is any of the weights its volume may have: the farthest counts. */
static double farthest_of_portion(bd_range given_g, const bd_portion *p)
{
    if (!(p->dose_ml > 0.0))
        return farthest(given_g, p->dose_g);
    return fmax(farthest(given_g, p->dose_low_g), farthest(given_g, p->dose_high_g));
}

/* What is to be measured out, the means, and where each kind's plan goes. */
typedef struct list {
    const bd_portion *portions;
    size_t count;
    const bd_tools *tools;
    const bd_measure_rules *rules;
    bd_measure_plan *plans;
} list;

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

/* kg/L is g/mL */
static bd_way_plan by_syringe(const bd_portion *p, const bd_tools *t)
{
    bd_way_plan way = {0};

    if (!(p->liquid_kg_per_l > 0.0 && t->syringe_step_ml > 0.0))
        return hindered(BD_OBSTACLE_NO_TOOL);
    way.liquid_ml = to_step(p->dose_g / p->liquid_kg_per_l, t->syringe_step_ml);
    if (!(way.liquid_ml > 0.0))
        return hindered(BD_OBSTACLE_TOO_SMALL);
    way.given_g = bd_range_scale(reading(way.liquid_ml, t->syringe_step_ml), p->liquid_kg_per_l);
    return way;
}

static double grams_of_all(const list *l)
{
    double grams = 0.0;

    for (size_t i = 0; i < l->count; i++)
        grams += l->portions[i].dose_g * l->portions[i].bags;
    return grams;
}

/* Cross-multiplied, so that a kind given dry (no litres) needs no case of its own. */
static bool is_same_strength(double a_g, double a_l, double b_g, double b_l)
{
    return fabs(a_g * b_l - b_g * a_l) <= SAME_STRENGTH * b_g * a_l;
}

static bool is_one_drink(const list *l)
{
    const bd_portion *first = &l->portions[0];

    for (size_t i = 0; i < l->count; i++) {
        const bd_portion *p = &l->portions[i];

        if (!(p->pour_l > 0.0 &&
              is_same_strength(p->dose_g, p->pour_l, first->dose_g, first->pour_l)))
            return false;
    }
    return true;
}

/* What is taken once, for all bags or into a bottle, goes by this step [g]: the scale's, or of a
 * liquid a mark of the syringe; 0 where the tool is lacking. */
static double step_of_lot(const list *l)
{
    double by_syringe_g = l->portions[0].liquid_kg_per_l * l->tools->syringe_step_ml;

    return by_syringe_g > 0.0 ? by_syringe_g : l->tools->scale_step_g;
}

/* Fills one can for all kinds; each is poured its own litres. */
static void weigh_all(const list *l)
{
    const bd_tools *t = l->tools;
    double step_g = step_of_lot(l), all_l = 0.0;
    bool has_tools = step_g > 0.0 && t->jug_step_l > 0.0 && is_one_drink(l);
    double weigh_g = has_tools ? to_step(grams_of_all(l), step_g) : 0.0;
    bd_obstacle obstacle = !has_tools      ? BD_OBSTACLE_NO_TOOL
                           : weigh_g > 0.0 ? BD_OBSTACLE_NONE
                                           : BD_OBSTACLE_TOO_SMALL;

    for (size_t i = 0; i < l->count && has_tools; i++) {
        double pour_l = to_step(l->portions[i].pour_l, t->jug_step_l);

        if (!(pour_l > 0.0))
            obstacle = BD_OBSTACLE_TOO_SMALL;
        all_l += pour_l * l->portions[i].bags;
    }
    for (size_t i = 0; i < l->count; i++) {
        bd_way_plan *way = &l->plans[i].ways[BD_WEIGH_ALL];

        *way = hindered(obstacle);
        if (obstacle != BD_OBSTACLE_NONE)
            continue;
        way->weigh_g = weigh_g;
        way->all_l = all_l;
        way->pour_l = to_step(l->portions[i].pour_l, t->jug_step_l);
        way->given_g = bd_range_scale(
            bd_range_times(reading(weigh_g, step_g), reading(way->pour_l, t->jug_step_l)),
            1.0 / all_l);
    }
}

/* The kind with the smallest dose: a rounded millilitre is the most to it. */
static size_t smallest(const list *l)
{
    size_t at = 0;

    for (size_t i = 1; i < l->count; i++)
        if (l->portions[i].dose_g < l->portions[at].dose_g)
            at = i;
    return at;
}

static bool finds_room(const bd_portion *p, double ml)
{
    return !(p->room_l > 0.0) || ml <= p->room_l * ML_PER_L * (1.0 + NOISE);
}

/* The millilitres of each kind when so much is in the bottle and the smallest dose is `least_ml`;
 * false when the bottle does not last or a kind's share finds no room. */
static bool share_stock(const list *l, double weigh_g, double least_g, double least_ml)
{
    const double bottle_ml = l->tools->bottle_l * ML_PER_L;
    double all_ml = 0.0;
    bool have_room = true;

    for (size_t i = 0; i < l->count; i++) {
        const bd_portion *p = &l->portions[i];
        double ml = p->dose_g > least_g
                        ? to_step(p->dose_g * bottle_ml / weigh_g, l->tools->syringe_step_ml)
                        : least_ml;

        l->plans[i].ways[BD_STOCK_ML].stock_ml = ml;
        l->plans[i].ways[BD_STOCK_ML].weigh_g = weigh_g;
        all_ml += ml * p->bags;
        have_room = have_room && finds_room(p, ml);
    }
    return have_room && (l->count == 1 || all_ml <= bottle_ml * (1.0 + NOISE));
}

/* The most of the smallest dose that leaves every kind's share its room [mL]. */
static double room_for_least(const list *l, double least_g)
{
    double ml = HUGE_VAL;

    for (size_t i = 0; i < l->count; i++)
        if (l->portions[i].room_l > 0.0)
            ml = fmin(ml, l->portions[i].room_l * ML_PER_L * least_g / l->portions[i].dose_g);
    return ml;
}

/* Millilitres of the smallest dose first, rounded down so that the bottle lasts; the weight, the
 * finer of the two readings, then makes good what that rounding took.  Rounding up the others may
 * still empty the bottle: then a step less, and a stronger stock. */
static bool set_stock(const list *l)
{
    const bd_tools *t = l->tools;
    double least_g = l->portions[smallest(l)].dose_g, step_g = step_of_lot(l);
    double bottle_g = fmax(grams_of_all(l), l->rules->least_steps * step_g);
    double dose_ml_g = least_g * t->bottle_l * ML_PER_L;
    double ml =
        down_to_step(fmin(dose_ml_g / bottle_g, room_for_least(l, least_g)), t->syringe_step_ml);

    for (int tries = 0; tries < MOST_TRIES && ml > 0.0; tries++) {
        if (share_stock(l, to_step(dose_ml_g / ml, step_g), least_g, ml))
            return true;
        ml = down_to_step(ml - t->syringe_step_ml, t->syringe_step_ml);
    }
    return false;
}

static bd_obstacle obstacle_of_stock(const list *l)
{
    const bd_tools *t = l->tools;

    if (!(step_of_lot(l) > 0.0 && t->bottle_l > 0.0 && t->syringe_step_ml > 0.0))
        return BD_OBSTACLE_NO_TOOL;
    if (!set_stock(l))
        return BD_OBSTACLE_TOO_SMALL;
    for (size_t i = 0; i < l->count; i++) {
        double most = l->portions[i].dissolves_g_per_l;

        if (most > 0.0 && l->plans[i].ways[BD_STOCK_ML].weigh_g / t->bottle_l > most)
            return BD_OBSTACLE_TOO_STRONG;
    }
    return BD_OBSTACLE_NONE;
}

/* One bottle for all kinds. */
static void by_stock(const list *l)
{
    const bd_tools *t = l->tools;
    bd_obstacle obstacle = obstacle_of_stock(l);
    double off = l->rules->bottle_error;
    bd_range bottle_ml =
        bd_range_scale(bd_range_of(1.0 - off, 1.0, 1.0 + off), t->bottle_l * ML_PER_L);

    for (size_t i = 0; i < l->count; i++) {
        bd_way_plan *way = &l->plans[i].ways[BD_STOCK_ML];

        if (obstacle != BD_OBSTACLE_NONE)
            *way = hindered(obstacle);
        else
            way->given_g = bd_range_over(bd_range_times(reading(way->weigh_g, step_of_lot(l)),
                                                        reading(way->stock_ml, t->syringe_step_ml)),
                                         bottle_ml);
    }
}

static double strength_g_per_l(const list *l)
{
    return l->portions[0].dose_g / l->portions[0].pour_l;
}

/* Millilitres of a full can first, rounded down, then the weight that makes it good, then the
 * partial can.  False where a can takes less than the syringe shows or finds no room. */
static bool fill_stock_cans(const list *l, double can_l, bd_way_plan *way)
{
    const bd_tools *t = l->tools;
    const bd_portion *p = &l->portions[0];
    double step_g = step_of_lot(l), full = floor(way->all_l / can_l + NOISE);
    double bottle_g = fmax(grams_of_all(l), l->rules->least_steps * step_g);
    double can_ml_g = strength_g_per_l(l) * can_l * t->bottle_l * ML_PER_L;
    double room_ml = (p->room_l > 0.0 ? p->room_l / p->pour_l : 1.0) * can_l * ML_PER_L;

    way->can_l = can_l;
    way->can_ml = down_to_step(fmin(can_ml_g / bottle_g, room_ml), t->syringe_step_ml);
    if (!(way->can_ml > 0.0))
        return false;
    way->weigh_g = to_step(can_ml_g / way->can_ml, step_g);
    way->last_l = way->all_l / can_l - full > NOISE ? way->all_l - full * can_l : 0.0;
    way->last_ml = to_step(way->can_ml * way->last_l / can_l, t->syringe_step_ml);
    return true;
}

/* A partial can whose millilitres the syringe reads badly is spared: all are filled alike. */
static bool set_stock_of_cans(const list *l, double all_l, bd_way_plan *way)
{
    double can_l = l->portions[0].can_l > 0.0 ? fmin(l->portions[0].can_l, all_l) : all_l;

    way->all_l = all_l;
    if (!fill_stock_cans(l, can_l, way))
        return false;
    if (way->last_l > 0.0 && 0.5 * l->tools->syringe_step_ml > l->rules->most_error * way->last_ml)
        return fill_stock_cans(l, all_l / (floor(all_l / can_l) + 1.0), way);
    return true;
}

/* What a litre of a can may hold, over all cans [g/L]. */
static bd_range strength_of_cans(const list *l, const bd_way_plan *way)
{
    const bd_tools *t = l->tools;
    double off = l->rules->bottle_error, bottle_ml = t->bottle_l * ML_PER_L;
    bd_range stock =
        bd_range_over(reading(way->weigh_g, step_of_lot(l)),
                      bd_range_scale(bd_range_of(1.0 - off, 1.0, 1.0 + off), bottle_ml)); /* g/mL */
    bd_range full = bd_range_scale(reading(way->can_ml, t->syringe_step_ml), 1.0 / way->can_l);

    if (way->last_l > 0.0) {
        bd_range last =
            bd_range_scale(reading(way->last_ml, t->syringe_step_ml), 1.0 / way->last_l);

        full.low = fmin(full.low, last.low);
        full.high = fmax(full.high, last.high);
    }
    return bd_range_times(stock, full);
}

/* Only where a bag's own share of a stock is too small, and all bags get one drink. */
static void by_stock_of_cans(const list *l)
{
    const bd_tools *t = l->tools;
    bool is_wanted = l->plans[0].ways[BD_STOCK_ML].obstacle == BD_OBSTACLE_TOO_SMALL &&
                     t->jug_step_l > 0.0 && is_one_drink(l);
    bd_way_plan way = {0};
    double all_l = 0.0, most = l->portions[0].dissolves_g_per_l;

    for (size_t i = 0; i < l->count; i++)
        all_l += l->portions[i].pour_l * l->portions[i].bags;
    if (!is_wanted)
        way = hindered(BD_OBSTACLE_NO_TOOL);
    else if (!set_stock_of_cans(l, all_l, &way))
        way = hindered(BD_OBSTACLE_TOO_SMALL);
    else if (most > 0.0 && way.weigh_g / t->bottle_l > most)
        way = hindered(BD_OBSTACLE_TOO_STRONG);
    for (size_t i = 0; i < l->count; i++) {
        bd_way_plan *out = &l->plans[i].ways[BD_STOCK_CAN];

        *out = way;
        if (way.obstacle != BD_OBSTACLE_NONE)
            continue;
        out->pour_l = fmax(to_step(l->portions[i].pour_l, t->jug_step_l), t->jug_step_l);
        out->given_g =
            bd_range_times(strength_of_cans(l, out), reading(out->pour_l, t->jug_step_l));
    }
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
    way.error = farthest_of_portion(way.given_g, p);
    return way;
}

/* A spoon keeps to a volume whatever it weighs. */
static bd_way_plan by_scoops_of_volume(const bd_portion *p, const bd_tools *t)
{
    bd_way_plan way = {0};
    double ml;

    way.scoops = to_step(p->dose_ml / t->scoop_ml, t->scoop_step);
    if (!(way.scoops > 0.0))
        return hindered(BD_OBSTACLE_TOO_SMALL);
    ml = way.scoops * t->scoop_ml;
    way.given_g = bd_range_scale(t->scoop_g, way.scoops);
    way.error = farthest(bd_range_of(ml * (1.0 - t->level_error), ml, ml * (1.0 + t->level_error)),
                         p->dose_ml);
    return way;
}

static bd_way_plan count_scoops(const bd_portion *p, const bd_tools *t)
{
    bool is_known = t->scoop_g.typical > 0.0;

    return is_known && p->dose_ml > 0.0 && t->scoop_ml > 0.0 ? by_scoops_of_volume(p, t)
                                                             : by_scoops(p, t);
}

/* A way that one kind cannot be measured in is no way for the list. */
static void hinder_together(const list *l, bd_way w)
{
    bd_obstacle worst = BD_OBSTACLE_NONE;

    for (size_t i = 0; i < l->count && worst == BD_OBSTACLE_NONE; i++)
        worst = l->plans[i].ways[w].obstacle;
    for (size_t i = 0; i < l->count && worst != BD_OBSTACLE_NONE; i++)
        l->plans[i].ways[w] = hindered(worst);
}

static void work_out(const list *l)
{
    for (size_t i = 0; i < l->count; i++) {
        l->plans[i] = (bd_measure_plan){0};
        l->plans[i].ways[BD_WEIGH_EACH] = weigh_each(&l->portions[i], l->tools);
        l->plans[i].ways[BD_ML_EACH] = by_syringe(&l->portions[i], l->tools);
        l->plans[i].ways[BD_SCOOPS] = count_scoops(&l->portions[i], l->tools);
    }
    hinder_together(l, BD_ML_EACH);
    hinder_together(l, BD_WEIGH_EACH);
    hinder_together(l, BD_SCOOPS);
    weigh_all(l);
    by_stock(l);
    by_stock_of_cans(l);
    for (size_t i = 0; i < l->count; i++)
        for (int w = 0; w < BD_WAY_COUNT; w++)
            if (w != BD_SCOOPS) /* which may be counted by volume */
                l->plans[i].ways[w].error =
                    farthest_of_portion(l->plans[i].ways[w].given_g, &l->portions[i]);
}

double bd_measure_worst(const bd_measure_plan *plans, size_t count, bd_way way)
{
    double worst = plans[0].ways[way].error;

    for (size_t i = 1; i < count; i++)
        worst = fmax(worst, plans[i].ways[way].error);
    return worst;
}

static void choose(const list *l)
{
    bd_measure_plan *plan = &l->plans[0];
    double best = 0.0;

    for (int i = 0; i < BD_WAY_COUNT; i++) {
        double error = bd_measure_worst(l->plans, l->count, (bd_way)i);

        if (plan->ways[i].obstacle != BD_OBSTACLE_NONE)
            continue;
        if (!plan->has_best || error < best) {
            plan->has_best = true;
            plan->best = (bd_way)i;
            best = error;
        }
        if (error <= l->rules->good_error)
            break;
    }
    plan->is_too_coarse = !plan->has_best || best > l->rules->most_error;
    for (size_t i = 1; i < l->count; i++) {
        l->plans[i].has_best = plan->has_best;
        l->plans[i].best = plan->best;
        l->plans[i].is_too_coarse = plan->is_too_coarse;
    }
}

static bool is_portion(const bd_portion *p, bd_error *err)
{
    return bd_input_is_amount(p->dose_g, "dose", "g", err) && is_count_of_bags(p->bags, err) &&
           bd_input_is_amount_or_none(p->pour_l, "water for a bag", "L", err) &&
           bd_input_is_amount_or_none(p->dissolves_g_per_l, "solubility", "g/L", err) &&
           bd_input_is_amount_or_none(p->room_l, "room for a stock", "L", err) &&
           bd_input_is_amount_or_none(p->can_l, "can", "L", err) &&
           bd_input_is_amount_or_none(p->liquid_kg_per_l, "density", "kg/L", err) &&
           bd_input_is_amount_or_none(p->dose_ml, "volume of the dose", "mL", err) &&
           (!(p->dose_ml > 0.0) ||
            (bd_input_is_amount(p->dose_low_g, "dose at the loosest", "g", err) &&
             bd_input_is_between(p->dose_high_g, p->dose_low_g, BD_AMOUNT_MOST,
                                 "dose at the densest", "g", err)));
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
           bd_input_is_amount_or_none(t->scoop_ml, "volume of a scoop", "mL", err) &&
           bd_input_is_between(t->level_error, 0.0, WORST_LEVEL_ERROR, "error of levelling", "",
                               err) &&
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

static bool are_portions(const bd_portion *portions, size_t count, bd_error *err)
{
    for (size_t i = 0; i < count; i++)
        if (!is_portion(&portions[i], err))
            return false;
    return true;
}

bd_status bd_measure_list(const bd_portion *portions, size_t count, const bd_tools *tools,
                          const bd_measure_rules *rules, bd_measure_plan *out, bd_error *err)
{
    list l = {portions, count, tools, rules, out};

    if (count == 0)
        return bd_fail(err, BD_MISSING, NULL, "the list of bags is empty");
    if (!are_portions(portions, count, err) || !are_tools(tools, err) || !are_rules(rules, err))
        return BD_RANGE;
    if (!is_ordered(tools->scoop_g, "scoop", err))
        return BD_CONFLICT;
    work_out(&l);
    choose(&l);
    for (size_t i = 0; i < count; i++)
        out[i].is_below_scale =
            tools->scale_step_g > 0.0 &&
            portions[i].dose_g < rules->least_steps * tools->scale_step_g * (1.0 - NOISE);
    return BD_OK;
}

bd_status bd_measure_ways(const bd_portion *portion, const bd_tools *tools,
                          const bd_measure_rules *rules, bd_measure_plan *out, bd_error *err)
{
    return bd_measure_list(portion, 1, tools, rules, out, err);
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

double bd_cans_error_of_bag(double cans_error, double pour_l, double jug_step_l)
{
    double off_l = fabs(to_step(pour_l, jug_step_l) - pour_l) + 0.5 * jug_step_l;

    return (1.0 + cans_error) * (1.0 + off_l / pour_l) - 1.0;
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
    for (size_t i = 0; i < count; i++)
        if (!(groups[i].pour_l > 0.0 && is_same_strength(groups[i].dose_g, groups[i].pour_l,
                                                         groups[0].dose_g, groups[0].pour_l)))
            return false;
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
