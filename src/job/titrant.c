#include "job/titrant.h"

#include <stdio.h>

#include "guard/judge.h"
#include "nutrients/cite.h"

#define ML_PER_L 1000.0

static const char lye[] = "potassium-hydroxide", acid[] = "nitric-acid";

/* Pure substance in what is sold, by the nutrient that both declare. */
static bd_range strength_of(const bd_product *sold, const bd_product *pure, bd_nutrient n)
{
    return bd_range_scale(sold->share[n], 1.0 / pure->share[n].typical);
}

/* Grams of the scale's last digit for what is dry, millilitres of a mark for what is liquid. */
static double step_for(const bd_knowledge *know, const bd_request *request, bool is_liquid)
{
    const bd_value *given =
        bd_request_get(request, is_liquid ? BD_OPT_SYRINGE_STEP : BD_OPT_SCALE_STEP);
    const bd_fact *usual =
        bd_catalogue_practice(know->catalogue, is_liquid ? "syringe-step" : "scale-step");
    double step = given != NULL ? given->number.typical : usual->value.typical;

    return is_liquid ? ML_PER_L * step : step;
}

bd_status bd_titrant_of(const bd_knowledge *know, const bd_request *request,
                        const bd_solution *solution, bd_titrant *out, bd_error *err)
{
    bool is_lye = solution->koh_mol_per_l > 0.0, is_near = false;
    bd_product pure;
    bd_status status;

    *out = (bd_titrant){.material = NULL};
    if (!is_lye && !(solution->hno3_mol_per_l > 0.0))
        return BD_OK;
    out->mol_per_l = is_lye ? solution->koh_mol_per_l : solution->hno3_mol_per_l;
    status = bd_catalogue_material(know->catalogue, is_lye ? lye : acid, &out->material, err);
    if (status == BD_OK)
        status = bd_product_make(out->material, NULL, true, 0.0, &pure, &is_near, err);
    if (status == BD_OK)
        status = bd_product_make(out->material, NULL, false, 0.0, &out->product, &is_near, err);
    if (status != BD_OK)
        return status;
    out->strength = strength_of(&out->product, &pure, out->material->main_nutrient);
    out->pure_g_per_l = out->mol_per_l * pure.salt_molar_mass_g_per_mol;
    out->g_per_l = bd_range_over(bd_exactly(out->pure_g_per_l), out->strength);
    out->step = step_for(know, request, out->product.is_liquid);
    return BD_OK;
}

/* In the unit of its tool. */
static bd_range to_measure(const bd_titrant *t, double litres)
{
    return bd_range_scale(t->g_per_l,
                          t->product.is_liquid ? litres / t->product.density_kg_per_l : litres);
}

bool bd_titrant_can_be_measured(const bd_titrant *titrant, double litres)
{
    return titrant->material != NULL &&
           !bd_is_over(titrant->step, to_measure(titrant, litres).typical);
}

/* All of a nutrient is in the pure substance, however strong what is sold may be. */
static double brings(const bd_titrant *t, bd_nutrient n)
{
    return t->product.share[n].typical * t->pure_g_per_l / t->strength.typical;
}

double bd_titrant_brings(const bd_titrant *titrant, bd_nutrient nutrient)
{
    return titrant->material == NULL ? 0.0 : brings(titrant, nutrient);
}

void bd_titrant_deliver(const bd_titrant *titrant, double litres, bd_delivery *delivery)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT && titrant->material != NULL; i++)
        delivery->amount[i] =
            bd_range_add(delivery->amount[i], bd_exactly(litres * brings(titrant, (bd_nutrient)i)));
}

/* Of so many litres; of one where that is 0. */
static void figure_of(const bd_titrant *t, double litres, const char *what, bd_range value,
                      const char *unit, bd_card *card)
{
    char id[96];

    (void)snprintf(id, sizeof id, "product.%s.%s", t->material->name, what);
    bd_card_figure(
        card, id, litres > 0.0 ? W("figure.titrant_whole") : W("figure.titrant_per_litre"),
        BD_ARGS(bd_name(t->material->title),
                bd_amount_range(bd_range_scale(t->strength, 100.0), "%"), bd_amount(litres, "L")),
        value, unit);
}

static void show_amounts(const bd_titrant *t, double litres, const char *whole, bd_card *card)
{
    double density = t->product.density_kg_per_l;
    char what[32];

    figure_of(t, 0.0, "per_litre", t->g_per_l, "g/L", card);
    figure_of(t, litres, whole, bd_range_scale(t->g_per_l, litres), "g", card);
    if (!t->product.is_liquid)
        return;
    (void)snprintf(what, sizeof what, "volume_%.20s", whole);
    figure_of(t, 0.0, "volume_per_litre", bd_range_scale(t->g_per_l, 1.0 / density), "mL/L", card);
    figure_of(t, litres, what, bd_range_scale(t->g_per_l, litres / density), "mL", card);
}

static void tell_too_little(const bd_titrant *t, double litres, bd_card *card)
{
    const char *unit = t->product.is_liquid ? "mL" : "g";

    bd_card_find(card, "solution.titrant", BD_CARE, W("titrant.too_little"),
                 BD_ARGS(bd_name(t->material->title), bd_amount(litres, "L"),
                         bd_amount(to_measure(t, litres).typical, unit), bd_amount(t->step, unit)),
                 "common practice, no source");
}

void bd_titrant_show(const bd_titrant *titrant, double litres, const char *whole, bd_card *card)
{
    const bd_material *m = titrant->material;
    bool is_acid;
    char source[BD_CITE_SIZE];

    if (m == NULL)
        return;
    is_acid = titrant->product.is_liquid;
    bd_card_figure(card, is_acid ? "solution.hno3" : "solution.koh",
                   is_acid ? W("figure.hno3") : W("figure.koh"), BD_NO_ARGS,
                   bd_exactly(titrant->pure_g_per_l), "g/L");
    bd_card_work(card, W("work.titrant"),
                 BD_ARGS(bd_name(m->title), bd_exact(titrant->pure_g_per_l, "g/L"),
                         bd_amount_range(bd_range_scale(titrant->strength, 100.0), "%"),
                         bd_amount_range(titrant->g_per_l, "g/L")),
                 bd_cite_fact(&m->analysis[m->main_nutrient], source));
    if (bd_card_verdict(card) == BD_STOP)
        return;
    if (!bd_titrant_can_be_measured(titrant, litres)) {
        tell_too_little(titrant, litres, card);
        return;
    }
    show_amounts(titrant, litres, whole, card);
    bd_card_find(card, "solution.titrant", BD_CARE, is_acid ? W("titrant.acid") : W("titrant.lye"),
                 BD_ARGS(bd_name(m->title)), "common practice, no source");
}

void bd_titrant_handling(const bd_titrant *titrant, bd_handling *handling)
{
    if (titrant->material != NULL)
        handling->materials[handling->material_count++] = titrant->material;
}
