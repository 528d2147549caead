#include "job/riders.h"

#include <math.h>
#include <stdio.h>

#include "guard/judge.h"
#include "nutrients/cite.h"

enum { GUIDED = 3 };

static const double well_over = 2.0; /* of what a crop takes: years differ by less */

static const bd_nutrient_form guided[GUIDED] = {{BD_N, false}, {BD_P, true}, {BD_K, true}};

void bd_riders_tell_chloride(const bd_planting *planting, const bd_offers *offers, bd_card *card)
{
    bool is_minded = planting->crop != NULL && planting->crop->minds_chloride;

    for (size_t i = 0; i < offers->count; i++) {
        const bd_offer *o = &offers->items[i];

        if (!(o->product.share[BD_CL].high > 0.0) && !(o->product.share[BD_CL].typical > 0.0))
            continue;
        bd_card_find(card, "riders.chloride", is_minded ? BD_CARE : BD_NOTE,
                     is_minded ? W("riders.chloride_minded") : W("riders.chloride"),
                     BD_ARGS(bd_name(o->title), bd_name(is_minded ? planting->crop->title : "")),
                     "common practice, no source");
        return;
    }
}

/* The highest rate in print for the crop; NULL when no published guide names the nutrient. */
static const bd_guide_rate *highest(const bd_crop *crop, size_t nutrient)
{
    const bd_guide_rate *found = NULL;

    for (size_t i = 0; i < crop->rate_count; i++) {
        const bd_guide_rate *rate = &crop->rates[i];
        const bd_fact *fact = &rate->g_per_m2[nutrient];

        if (!fact->is_known || !bd_trust_can_stop(fact->trust_high))
            continue;
        if (found == NULL || fact->value.high > found->g_per_m2[nutrient].value.high)
            found = rate;
    }
    return found;
}

const bd_guide_rate *bd_riders_richest(const bd_catalogue *catalogue, const bd_crop *crop,
                                       size_t nutrient)
{
    const bd_guide_rate *found = crop == NULL ? NULL : highest(crop, nutrient);
    size_t count;
    const bd_crop *crops = bd_catalogue_crops(catalogue, &count);

    if (found != NULL)
        return found;
    for (size_t i = 0; i < count; i++) {
        const bd_guide_rate *rate = highest(&crops[i], nutrient);

        if (rate != NULL && (found == NULL || rate->g_per_m2[nutrient].value.high >
                                                  found->g_per_m2[nutrient].value.high))
            found = rate;
    }
    return found;
}

static bool is_asked(const bd_offer *offer, bd_nutrient n)
{
    const bd_target *t = &offer->target->target;

    return t->is_product || t->form.nutrient == n;
}

bool bd_riders_judge_target(const bd_knowledge *know, const bd_planting *planting,
                            const bd_offer *offer, double g_per_m2, bd_card *card)
{
    const bd_fact *times = bd_catalogue_practice(know->catalogue, "target-absurd");

    for (size_t i = 0; i < GUIDED; i++) {
        const bd_guide_rate *guide = bd_riders_richest(know->catalogue, planting->crop, i);
        double given = g_per_m2 * bd_product_share(&offer->product, guided[i]).typical, most;
        char source[BD_CITE_SIZE];

        if (guide == NULL || !is_asked(offer, guided[i].nutrient))
            continue;
        most = times->value.typical * guide->g_per_m2[i].value.high;
        if (!bd_is_over(given, most))
            continue;
        bd_card_find_limit(card, "limit.target", BD_STOP, W("riders.target_absurd"),
                           BD_ARGS(bd_name(bd_nutrient_form_name(guided[i])),
                                   bd_amount(times->value.typical, ""),
                                   bd_amount(guide->g_per_m2[i].value.high, "g/m2")),
                           given, most, "g/m2", bd_cite(guide->guide, times->trust_high, source));
        return true;
    }
    return false;
}

/* More of what was asked for is the grower's choice, more of the rest is the product's. */
static bd_level level_of(const bd_offer *offer, bd_nutrient n)
{
    bool is_asked = offer->target != NULL && !offer->target->target.is_product &&
                    offer->target->target.form.nutrient == n;

    return is_asked ? BD_NOTE : BD_CARE;
}

/* The first removal of the crop that names both; NULL where none does. */
static const bd_removal *removal_of(const bd_crop *crop, size_t a, size_t b)
{
    for (size_t i = 0; i < crop->removal_count; i++)
        if (crop->removals[i].kg_per_t[a].is_known && crop->removals[i].kg_per_t[b].is_known)
            return &crop->removals[i];
    return NULL;
}

static void tell_ratio(const bd_planting *planting, const bd_offer *offer, size_t asked,
                       size_t other, bd_card *card)
{
    const bd_removal *takes = removal_of(planting->crop, asked, other);
    double brings = bd_product_share(&offer->product, guided[other]).typical /
                    bd_product_share(&offer->product, guided[asked]).typical,
           taken;
    char id[24], source[BD_CITE_SIZE];

    if (takes == NULL || !(takes->kg_per_t[asked].value.typical > 0.0))
        return;
    taken = takes->kg_per_t[other].value.typical / takes->kg_per_t[asked].value.typical;
    if (!bd_is_over(brings, well_over * taken))
        return;
    (void)snprintf(id, sizeof id, "riders.%s", bd_nutrient_form_name(guided[other]));
    bd_card_find_limit(card, id, BD_CARE, W("riders.over_removal"),
                       BD_ARGS(bd_name(bd_nutrient_form_name(guided[other])), bd_name(offer->title),
                               bd_name(planting->crop->title),
                               bd_name(bd_nutrient_form_name(guided[asked])), bd_amount(brings, ""),
                               bd_amount(taken, "")),
                       brings, taken, "g/g", bd_cite_fact(&takes->kg_per_t[other], source));
}

void bd_riders_tell_removal(const bd_planting *planting, const bd_offer *offer, bd_card *card)
{
    if (planting->crop == NULL || offer->target == NULL || offer->target->target.is_product)
        return;
    for (size_t asked = 0; asked < GUIDED; asked++)
        for (size_t other = 0; other < GUIDED; other++)
            if (guided[asked].nutrient == offer->target->target.form.nutrient && other != asked)
                tell_ratio(planting, offer, asked, other, card);
}

void bd_riders_tell_guides(const bd_planting *planting, const bd_offer *offer, bd_range season_g,
                           double area_m2, bd_card *card)
{
    char id[24], source[BD_CITE_SIZE];

    if (planting->crop == NULL)
        return;
    for (size_t i = 0; i < GUIDED; i++) {
        const bd_guide_rate *guide = highest(planting->crop, i);
        double share = bd_product_share(&offer->product, guided[i]).high;
        double given = season_g.high * share / area_m2, most;

        if (guide == NULL)
            continue;
        most = guide->g_per_m2[i].value.high;
        if (!bd_is_over(given, most))
            continue;
        (void)snprintf(id, sizeof id, "riders.%s", bd_nutrient_form_name(guided[i]));
        bd_card_find_limit(card, id, level_of(offer, guided[i].nutrient), W("riders.over_guides"),
                           BD_ARGS(bd_name(bd_nutrient_form_name(guided[i])), bd_name(offer->title),
                                   bd_name(planting->crop->title), bd_amount(given / most, "")),
                           given, most, "g/m2",
                           bd_cite(guide->guide, guide->g_per_m2[i].trust_high, source));
    }
}

static bool is_given_for_boron(const bd_offer *offer)
{
    const double trace = 0.05; /* of a compound; a boron salt holds more */

    if (offer->material != NULL)
        return bd_material_has(offer->material, BD_TRAIT_BORON);
    return offer->product.share[BD_B].high > trace;
}

/* The open top of a bag, of the widest there is where it is not known. */
static double mouth_m2(const bd_knowledge *know, const bd_bags *bags)
{
    return bags->size != NULL
               ? bags->bag.area_m2
               : bd_catalogue_practice(know->catalogue, "largest-bag-top")->value.typical;
}

double bd_riders_judge_boron(const bd_knowledge *know, const bd_planting *planting,
                             const bd_bags *bags, const bd_season_dose *dose, bd_card *card)
{
    bd_ceiling ceiling =
        bd_ceiling_per_area(know->catalogue, BD_USE_SEASON, BD_B, planting->groups);
    double share = dose->offer->product.share[BD_B].high, area = mouth_m2(know, bags);
    bd_judged judged = {.id = "limit.season.B",
                        .value = dose->g * share / area,
                        .unit = "g/m2",
                        .label_max = dose->label_g * share / area,
                        .is_label_told = true,
                        .ceiling = ceiling};
    char source[BD_CITE_SIZE];

    if (ceiling.limit == NULL || !(judged.value > 0.0))
        return HUGE_VAL;
    judged.name = bd_nutrient_form_name(ceiling.limit->nutrient);
    if (ceiling.is_never && !is_given_for_boron(dose->offer)) {
        bd_card_find(card, "limit.season.B", BD_CARE, W("sidedress.brings_boron"),
                     BD_ARGS(bd_name(dose->offer->title), bd_name(ceiling.limit->crop_title)),
                     bd_cite(ceiling.limit->value.source, ceiling.trust, source));
        return HUGE_VAL;
    }
    if (!ceiling.is_never &&
        (dose->is_unshared || (bags->size == NULL && !bd_is_over(judged.value, ceiling.most))))
        return HUGE_VAL;
    return bd_judge(card, &judged) * area / share;
}
