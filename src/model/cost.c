#include "model/cost.h"

#include <math.h>

#include "model/inputs.h"

/* A need that fills its packs but for this share of one does not open another. */
#define PACK_NOISE 1e-9

static bool is_pack(double price, double pack_kg, double nutrient, bd_error *err)
{
    return bd_input_is_amount_or_none(price, "price", "", err) &&
           bd_input_is_amount(pack_kg, "pack", "kg", err) &&
           bd_input_is_between(nutrient, BD_AMOUNT_LEAST, 1.0, "share of the nutrient", "", err);
}

bd_status bd_cost_per_kg(double price, double pack_kg, double nutrient, double *out, bd_error *err)
{
    if (!is_pack(price, pack_kg, nutrient, err))
        return BD_RANGE;
    *out = price / (pack_kg * nutrient);
    return BD_OK;
}

bd_status bd_cost_packs(double need_kg, double price, double pack_kg, double nutrient,
                        bd_purchase *out, bd_error *err)
{
    if (!is_pack(price, pack_kg, nutrient, err) || !bd_input_is_amount(need_kg, "need", "kg", err))
        return BD_RANGE;
    out->product_kg = need_kg / nutrient;
    out->packs = ceil(out->product_kg / pack_kg - PACK_NOISE);
    /* a need too small to notice beside a pack still takes one */
    out->packs = fmax(out->packs, 1.0);
    out->price = out->packs * price;
    out->left_kg = fmax(out->packs * pack_kg - out->product_kg, 0.0);
    return BD_OK;
}
