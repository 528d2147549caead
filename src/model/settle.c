#include "model/settle.h"

#include <math.h>

#include "model/inputs.h"

static const double most_recovered = 0.95;
enum { MOST_PORTIONS = 100 };

/* ---- the balance after harvest ---- */

static bool are_fine(const bd_npk *npk, const char *what, bd_error *err)
{
    for (int i = 0; i < BD_NPK_COUNT; i++)
        if (!bd_input_is_between(npk->of[i].low, 0.0, BD_AMOUNT_MOST, what, "g", err) ||
            !bd_input_is_between(npk->of[i].high, npk->of[i].low, BD_AMOUNT_MOST, what, "g", err))
            return false;
    return true;
}

static bool are_shares(const double share[BD_NPK_COUNT], const char *what, bd_error *err)
{
    for (int i = 0; i < BD_NPK_COUNT; i++)
        if (!bd_input_is_between(share[i], 0.0, 1.0, what, "", err))
            return false;
    return true;
}

static bd_settle_line settle_line(bd_range came, bd_range removed, double drained, double carry)
{
    bd_settle_line line = {.came = came, .removed = removed};
    double kept = 1.0 - drained;
    double left = came.typical * kept - removed.typical;

    line.drained = bd_range_scale(came, drained);
    line.left = bd_range_of(fmax(0.0, came.low * kept - removed.high), fmax(0.0, left),
                            fmax(0.0, came.high * kept - removed.low));
    line.overdrawn = fmax(0.0, -left);
    line.carry = bd_range_scale(line.left, carry);
    return line;
}

bd_status bd_settle_bag(const bd_npk *came, const bd_npk *removed,
                        const double drained_share[BD_NPK_COUNT],
                        const double carry_share[BD_NPK_COUNT], bd_settlement *out, bd_error *err)
{
    if (!are_fine(came, "amount that came", err) ||
        !are_fine(removed, "amount the harvest took", err) ||
        !are_shares(drained_share, "share that drained", err) ||
        !are_shares(carry_share, "share carried over", err))
        return BD_RANGE;
    for (int i = 0; i < BD_NPK_COUNT; i++)
        out->of[i] = settle_line(came->of[i], removed->of[i], drained_share[i], carry_share[i]);
    return BD_OK;
}

/* ---- washing out ---- */

static bool is_fine_flush(const bd_flush_order *o, bd_error *err)
{
    return bd_input_is_amount(o->water_l, "water of the bag", "L", err) &&
           bd_input_is_amount(o->saturation_l, "water at saturation", "L", err) &&
           bd_input_is_between(o->saturation_l, o->water_l, BD_AMOUNT_MOST, "water at saturation",
                               "L", err) &&
           bd_input_is_between(o->load_ds_l_per_m, 0.0, BD_AMOUNT_MOST, "salt", "dS/m * L", err) &&
           bd_input_is_between(o->rinse_ds_per_m, 0.0, BD_AMOUNT_MOST, "rinsing water", "dS/m",
                               err) &&
           bd_input_is_amount(o->target_ece_ds_per_m, "ECe to come down to", "dS/m", err) &&
           bd_input_is_amount(o->portion_l, "portion", "L", err) &&
           bd_input_is_between(o->most_portions, 1.0, MOST_PORTIONS, "number of portions", "", err);
}

/* The conductivity of the bag's water after one portion, which is also that of what ran out. */
static double after_portion(const bd_flush_order *o, double ds_per_m)
{
    return (ds_per_m * o->water_l + o->rinse_ds_per_m * o->portion_l) / (o->water_l + o->portion_l);
}

bd_status bd_flush_plan(const bd_flush_order *order, bd_flush *out, bd_error *err)
{
    bd_flush flush = {0};
    double at_capacity, now, per_ece;

    if (!is_fine_flush(order, err))
        return BD_RANGE;
    per_ece = order->water_l / order->saturation_l;
    at_capacity = order->load_ds_l_per_m / order->water_l;
    flush.ece_before_ds_per_m = at_capacity * per_ece;
    flush.drain_ds_per_m = after_portion(order, at_capacity);
    now = at_capacity;
    while (now * per_ece > order->target_ece_ds_per_m && flush.portions < order->most_portions) {
        now = after_portion(order, now);
        flush.portions++;
    }
    flush.litres = flush.portions * order->portion_l;
    flush.ece_after_ds_per_m = now * per_ece;
    flush.washed_share = at_capacity > 0.0 ? fmax(0.0, 1.0 - now / at_capacity) : 0.0;
    flush.is_enough = flush.ece_after_ds_per_m <= order->target_ece_ds_per_m;
    flush.water_is_too_salty = order->rinse_ds_per_m * per_ece >= order->target_ece_ds_per_m;
    *out = flush;
    return BD_OK;
}

bd_reuse bd_reuse_judge(double ece_ds_per_m, double bears_ds_per_m, const bd_flush *flush,
                        bool is_sick)
{
    if (is_sick)
        return BD_REUSE_RETIRE;
    if (ece_ds_per_m <= bears_ds_per_m)
        return BD_REUSE_AS_IS;
    return flush->is_enough ? BD_REUSE_FLUSH : BD_REUSE_RETIRE;
}

/* ---- after an overdose ---- */

static bool is_fine_rescue(const bd_rescue_order *o, bd_error *err)
{
    return bd_input_is_amount(o->given_g, "product given", "g", err) &&
           bd_input_is_between(o->planned_g, 0.0, BD_AMOUNT_MOST, "product planned", "g", err) &&
           bd_input_is_between(o->recovered_share, 0.0, most_recovered, "share lifted off", "",
                               err) &&
           are_shares(o->share, "content of the product", err) &&
           bd_input_is_between(o->load_ds_l_per_m_per_g, 0.0, BD_AMOUNT_MOST, "salt of a gram",
                               "dS/m * L", err) &&
           bd_input_is_between(o->dose_interval_days, 0.0, BD_AMOUNT_MOST, "interval", "d", err);
}

static double days_to_wait(const bd_rescue_order *o, double stays_g, double washed_share)
{
    double left_g = stays_g * (1.0 - washed_share);

    if (!(o->planned_g > 0.0))
        return o->dose_interval_days;
    return o->dose_interval_days * fmax(1.0, left_g / o->planned_g);
}

bd_status bd_rescue_plan(const bd_rescue_order *order, bd_rescue *out, bd_error *err)
{
    bd_rescue rescue = {0};
    bd_flush_order flush = order->flush;
    bd_status status;

    if (!is_fine_rescue(order, err))
        return BD_RANGE;
    rescue.over_g = fmax(0.0, order->given_g - order->planned_g);
    rescue.lift_g = fmin(rescue.over_g, order->given_g * order->recovered_share);
    rescue.stays_g = order->given_g - rescue.lift_g;
    flush.load_ds_l_per_m += rescue.stays_g * order->load_ds_l_per_m_per_g;
    status = bd_flush_plan(&flush, &rescue.flush, err);
    if (status != BD_OK)
        return status;
    rescue.ece_with_ds_per_m = rescue.flush.ece_before_ds_per_m;
    for (int i = 0; i < BD_NPK_COUNT; i++)
        rescue.washed_g[i] = rescue.stays_g * order->share[i] * rescue.flush.washed_share;
    rescue.wait_days = days_to_wait(order, rescue.stays_g, rescue.flush.washed_share);
    *out = rescue;
    return BD_OK;
}
