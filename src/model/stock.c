#include "model/stock.h"

#include <math.h>
#include <stddef.h>

#include "model/inputs.h"

#define LEAST_PARTS       1.0
#define MOST_PARTS        1e6
#define PERCENT           100.0
#define G_PER_KG          1000.0
#define LIGHTEST_KG_PER_L 0.5
#define HEAVIEST_KG_PER_L 3.0
/* Volume one kilogram of salt can add to a solution, far above any [L/kg]. */
#define MOST_SALT_L_PER_KG 2.0

static bool is_share(double share, const char *what, bd_error *err)
{
    return bd_input_is_between(share, BD_AMOUNT_LEAST, 1.0, what, "", err);
}

bd_status bd_ratio_share(double parts, bd_ratio_reading reading, double *out, bd_error *err)
{
    if (!bd_input_is_between(parts, LEAST_PARTS, MOST_PARTS, "ratio", "", err))
        return BD_RANGE;
    *out = 1.0 / (reading == BD_RATIO_TO_WATER ? parts + 1.0 : parts);
    return BD_OK;
}

bd_status bd_ratio_percent(double parts, double *percent, bd_error *err)
{
    if (!bd_input_is_between(parts, LEAST_PARTS, MOST_PARTS, "ratio", "", err))
        return BD_RANGE;
    *percent = PERCENT / parts;
    return BD_OK;
}

bd_status bd_ratio_parts(double percent, double *parts, bd_error *err)
{
    if (!bd_input_is_between(percent, PERCENT / MOST_PARTS, PERCENT, "injection", "%", err))
        return BD_RANGE;
    *parts = PERCENT / percent;
    return BD_OK;
}

static bool is_wish(const bd_stock_wish *w, bd_error *err)
{
    return bd_input_is_amount(w->feed_g_per_l, "strength of the feed", "g/L", err) &&
           is_share(w->share, "share of stock in the feed", err) &&
           bd_input_is_amount(w->stock_l, "volume of stock", "L", err) &&
           bd_input_is_amount(w->can_l, "can", "L", err) &&
           bd_input_is_amount_or_none(w->dissolves_g_per_l, "solubility", "g/L", err) &&
           is_share(w->working_share, "share of the solubility to work at", err) &&
           bd_input_is_between(w->salt_l_per_kg, 0.0, MOST_SALT_L_PER_KG,
                               "volume of the dissolved salt", "L/kg", err);
}

static void judge_solubility(const bd_stock_wish *w, bd_stock *stock)
{
    double safe_g_per_l = w->dissolves_g_per_l * w->working_share;

    stock->solubility_is_known = w->dissolves_g_per_l > 0.0;
    if (!stock->solubility_is_known)
        return;
    stock->saturation = stock->stock_g_per_l / w->dissolves_g_per_l;
    stock->stays_dissolved = stock->stock_g_per_l <= safe_g_per_l;
    stock->least_share = w->feed_g_per_l / safe_g_per_l;
}

/* False when there is no room left for water. */
static bool fill_up(const bd_stock_wish *w, bd_stock *stock)
{
    double salt_l = stock->salt_g / G_PER_KG * w->salt_l_per_kg;

    stock->volume_is_known = w->salt_l_per_kg > 0.0;
    stock->water_l = w->stock_l - salt_l;
    stock->poured_on_g_per_l = stock->salt_g / (w->stock_l + salt_l);
    return stock->water_l > 0.0;
}

bd_status bd_stock_plan(const bd_stock_wish *wish, bd_stock *out, bd_error *err)
{
    bd_stock stock = {0};

    if (!is_wish(wish, err))
        return BD_RANGE;
    stock.stock_g_per_l = wish->feed_g_per_l / wish->share;
    stock.salt_g = stock.stock_g_per_l * wish->stock_l;
    stock.feed_l = wish->stock_l / wish->share;
    stock.stock_l_per_can = wish->can_l * wish->share;
    stock.water_l_per_can = wish->can_l - stock.stock_l_per_can;
    judge_solubility(wish, &stock);
    if (!fill_up(wish, &stock))
        return bd_fail(err, BD_CONFLICT, NULL, "the salt alone would fill the bottle of the stock");
    *out = stock;
    return BD_OK;
}

bd_status bd_stock_dilute(double strong, double weak, double total, double *out, bd_error *err)
{
    if (!bd_input_is_amount(strong, "strength of the concentrate", "", err) ||
        !bd_input_is_amount(weak, "strength wanted", "", err) ||
        !bd_input_is_amount(total, "amount wanted", "", err))
        return BD_RANGE;
    if (weak > strong)
        return bd_fail(err, BD_CONFLICT, NULL,
                       "the concentrate is weaker than the solution wanted of it");
    *out = total * (weak / strong);
    return BD_OK;
}

bd_status bd_injector_check(double feed_ds_per_m, double water_ds_per_m, double expected_ds_per_m,
                            double *out, bd_error *err)
{
    if (!bd_input_is_amount(feed_ds_per_m, "conductivity of the feed", "dS/m", err) ||
        !bd_input_is_amount_or_none(water_ds_per_m, "conductivity of the water", "dS/m", err) ||
        !bd_input_is_amount(expected_ds_per_m, "conductivity expected of the salt", "dS/m", err))
        return BD_RANGE;
    if (!(feed_ds_per_m > water_ds_per_m))
        return bd_fail(err, BD_CONFLICT, NULL, "the feed conducts no better than the plain water");
    *out = (feed_ds_per_m - water_ds_per_m) / expected_ds_per_m;
    return BD_OK;
}

static bool is_liquid(double nutrient, double density_kg_per_l, bd_error *err)
{
    return is_share(nutrient, "share of the nutrient", err) &&
           bd_input_is_between(density_kg_per_l, LIGHTEST_KG_PER_L, HEAVIEST_KG_PER_L, "density",
                               "kg/L", err);
}

bd_status bd_liquid_strength(double nutrient, double density_kg_per_l, double *out, bd_error *err)
{
    if (!is_liquid(nutrient, density_kg_per_l, err))
        return BD_RANGE;
    *out = nutrient * density_kg_per_l * G_PER_KG;
    return BD_OK;
}

bd_status bd_liquid_volume(double need_g, double nutrient, double density_kg_per_l, double *out,
                           bd_error *err)
{
    if (!bd_input_is_amount(need_g, "need", "g", err) ||
        !is_liquid(nutrient, density_kg_per_l, err))
        return BD_RANGE;
    *out = need_g / (nutrient * density_kg_per_l * G_PER_KG);
    return BD_OK;
}
