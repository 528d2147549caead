#include "model/credit.h"

#include <math.h>

#include "model/inputs.h"

static const double g_per_kg = 1000.0;
static const double mg_per_g = 1000.0;

static bool is_fine_range(bd_range r, double most, const char *what, const char *unit,
                          bd_error *err)
{
    return bd_input_is_between(r.low, 0.0, most, what, unit, err) &&
           bd_input_is_between(r.typical, r.low, most, what, unit, err) &&
           bd_input_is_between(r.high, r.typical, most, what, unit, err);
}

static bool are_fine(const bd_npk *npk, double most, const char *what, const char *unit,
                     bd_error *err)
{
    for (int i = 0; i < BD_NPK_COUNT; i++)
        if (!is_fine_range(npk->of[i], most, what, unit, err))
            return false;
    return true;
}

static bool are_amounts(const double g[BD_NPK_COUNT], const char *what, bd_error *err)
{
    for (int i = 0; i < BD_NPK_COUNT; i++)
        if (!bd_input_is_between(g[i], 0.0, BD_AMOUNT_MOST, what, "g", err))
            return false;
    return true;
}

bd_npk bd_credit_total(const bd_credit *credits, size_t count)
{
    bd_npk total = bd_npk_exactly(0.0, 0.0, 0.0);

    for (size_t i = 0; i < count; i++)
        total = bd_npk_add(total, credits[i].g_per_bag);
    return total;
}

static bd_account_line open_line(double need, bd_range credited)
{
    double left = need - credited.low;

    return (bd_account_line){.need = need,
                             .credited = credited.low,
                             .at_most = credited.high,
                             .to_give = fmax(left, 0.0),
                             .surplus = fmax(-left, 0.0)};
}

bd_status bd_account_open(const double need[BD_NPK_COUNT], const bd_credit *credits, size_t count,
                          bd_account *out, bd_error *err)
{
    bd_npk total = bd_credit_total(credits, count);
    bd_account account = {.gives_nothing = true};

    if (!are_amounts(need, "need", err) || !are_fine(&total, BD_AMOUNT_MOST, "credit", "g", err))
        return BD_RANGE;
    for (int i = 0; i < BD_NPK_COUNT; i++) {
        account.of[i] = open_line(need[i], total.of[i]);
        account.gives_nothing = account.gives_nothing && !(account.of[i].to_give > 0.0);
    }
    *out = account;
    return BD_OK;
}

bd_status bd_account_close(const bd_account *account, const double given[BD_NPK_COUNT],
                           double shortfall[BD_NPK_COUNT], double surplus[BD_NPK_COUNT],
                           bd_error *err)
{
    if (!are_amounts(given, "amount given", err))
        return BD_RANGE;
    for (int i = 0; i < BD_NPK_COUNT; i++) {
        double left = account->of[i].to_give - given[i];

        shortfall[i] = fmax(left, 0.0);
        surplus[i] = account->of[i].surplus + fmax(-left, 0.0);
    }
    return BD_OK;
}

bd_status bd_credit_organic(bd_range mass_kg, const bd_npk *content, const bd_npk *available,
                            bd_npk *g, bd_error *err)
{
    if (!is_fine_range(mass_kg, BD_AMOUNT_MOST, "mass", "kg", err) ||
        !are_fine(content, 1.0, "content", "", err) ||
        !are_fine(available, 1.0, "available share", "", err))
        return BD_RANGE;
    for (int i = 0; i < BD_NPK_COUNT; i++)
        g->of[i] = bd_range_scale(
            bd_range_times(mass_kg, bd_range_times(content->of[i], available->of[i])), g_per_kg);
    return BD_OK;
}

bd_status bd_credit_water(bd_range water_l, const bd_npk *mg_per_l, bd_npk *g, bd_error *err)
{
    if (!is_fine_range(water_l, BD_AMOUNT_MOST, "water", "L", err) ||
        !are_fine(mg_per_l, BD_AMOUNT_MOST, "content of the water", "mg/L", err))
        return BD_RANGE;
    for (int i = 0; i < BD_NPK_COUNT; i++)
        g->of[i] = bd_range_scale(bd_range_times(water_l, mg_per_l->of[i]), 1.0 / mg_per_g);
    return BD_OK;
}

bd_status bd_credit_slow_feed(const bd_npk *in_it, double lasts_days, double gone_days, bd_npk *g,
                              bd_error *err)
{
    if (!are_fine(in_it, BD_AMOUNT_MOST, "feed in the mix", "g", err) ||
        !bd_input_is_amount(lasts_days, "time the feed lasts", "d", err) ||
        !bd_input_is_between(gone_days, 0.0, BD_AMOUNT_MOST, "time since filling", "d", err))
        return BD_RANGE;
    *g = bd_npk_scale(*in_it, fmax(0.0, 1.0 - gone_days / lasts_days));
    return BD_OK;
}
