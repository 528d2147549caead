#include "job/delivers.h"

#include <stdio.h>

#include "model/oxide.h"

void bd_delivery_add(bd_delivery *delivery, const bd_product *product, bd_range product_amount)
{
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        delivery->amount[n] =
            bd_range_add(delivery->amount[n], bd_range_times(product->share[n], product_amount));
}

void bd_delivery_scale(bd_delivery *delivery, double by)
{
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        delivery->amount[n] = bd_range_scale(delivery->amount[n], by);
}

static void show_form(bd_card *card, bd_nutrient_form form, bd_range amount, const char *per,
                      const char *key, const char *unit)
{
    char id[64];

    (void)snprintf(id, sizeof id, "nutrient.%s.%s", bd_nutrient_form_name(form), per);
    bd_card_figure(card, id, key, BD_ARGS(bd_name(bd_nutrient_form_name(form))),
                   bd_range_scale(amount, bd_as_form(form, 1.0)), unit);
}

void bd_delivery_show(bd_card *card, const bd_delivery *delivery, const char *per, const char *key,
                      const char *unit)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        bd_nutrient n = (bd_nutrient)i;

        if (!(delivery->amount[n].high > 0.0))
            continue;
        show_form(card, (bd_nutrient_form){n, false}, delivery->amount[n], per, key, unit);
        if (bd_nutrient_oxide(n)[0] != '\0')
            show_form(card, (bd_nutrient_form){n, true}, delivery->amount[n], per, key, unit);
    }
}

void bd_delivery_work(bd_card *card, const bd_product *product, double product_amount,
                      const char *unit)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        bd_nutrient n = (bd_nutrient)i;
        double share = product->share[n].typical, element = product_amount * share;
        double factor = bd_as_element((bd_nutrient_form){n, true}, 1.0);

        if (!(share > 0.0))
            continue;
        bd_card_work(card, W("work.delivers"),
                     BD_ARGS(bd_name(bd_nutrient_symbol(n)), bd_exact(product_amount, unit),
                             bd_exact(100.0 * share, "%"), bd_exact(element, unit)),
                     "label or analysis of the material");
        if (bd_nutrient_oxide(n)[0] != '\0')
            bd_card_work(card, W("work.as_oxide"),
                         BD_ARGS(bd_name(bd_nutrient_oxide(n)), bd_exact(element, unit),
                                 bd_exact(factor, ""), bd_exact(element / factor, unit)),
                         "IUPAC-2016, published");
    }
}

bd_status bd_need_per_bag(const char *text, const bd_target *need, const bd_bag_size *bag,
                          double plants, double bags, bd_range *out, bd_error *err)
{
    double per_bag = 0.0;

    if (need->is_product) {
        (void)bd_fail(err, BD_CONFLICT, "--need", "'%.60s' is a product, not a nutrient", text);
        return bd_accepts(err, "a nutrient, such as \"K2O 6 g/bag\"");
    }
    if (need->kind == BD_KIND_MASS_PER_BAG)
        per_bag = 1.0;
    else if (need->kind == BD_KIND_MASS_PER_AREA && bag != NULL)
        per_bag = bag->area_m2;
    else if (need->kind == BD_KIND_MASS_PER_PLANT)
        per_bag = plants;
    else if (need->kind == BD_KIND_STRENGTH && bag != NULL)
        per_bag = bag->volume_l;
    else if (need->kind == BD_KIND_MASS && bags > 0.0)
        per_bag = 1.0 / bags;
    if (!(per_bag > 0.0)) {
        (void)bd_fail(err, BD_MISSING, "--need", "'%.60s' cannot be turned into a need per bag",
                      text);
        return bd_accepts(err, "a need per bag, such as \"K2O 6 g/bag\", or --bag-size or "
                               "--plants-per-bag beside it");
    }
    *out = bd_range_scale(need->value, per_bag * bd_as_element(need->form, 1.0));
    if (out->low > 0.0)
        return BD_OK;
    (void)bd_fail(err, BD_RANGE, "--need", "'%.60s': a need of nothing has no share", text);
    return bd_accepts(err, "a need above zero");
}

bd_status bd_need_show(bd_card *card, const bd_value *need, const bd_delivery *per_bag,
                       const bd_bag_size *bag, double plants, double bags, bd_error *err)
{
    bd_range need_g = {0, 0, 0}, share;
    bd_status status = bd_need_per_bag(need->text, &need->target, bag, plants, bags, &need_g, err);

    if (status != BD_OK)
        return status;
    share = bd_range_over(per_bag->amount[need->target.form.nutrient], need_g);
    bd_card_figure(card, "need.share", W("figure.need_share"),
                   BD_ARGS(bd_name(bd_nutrient_form_name(need->target.form))), share, "");
    bd_card_work(card, W("work.need_share"),
                 BD_ARGS(bd_name(bd_nutrient_symbol(need->target.form.nutrient)),
                         bd_exact(per_bag->amount[need->target.form.nutrient].typical, "g"),
                         bd_exact(need_g.typical, "g"), bd_exact(share.typical, "")),
                 "--need");
    return BD_OK;
}
