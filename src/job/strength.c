#include "job/strength.h"

#include <math.h>
#include <stdio.h>

#include "guard/judge.h"
#include "nutrients/cite.h"

bd_ceiling bd_rhythm_ceiling(const bd_limit *limits, size_t count, bd_ceiling_query *query,
                             const char **other_use_key)
{
    bd_ceiling found;

    *other_use_key = NULL;
    if (query->use != BD_USE_DRENCH && query->use != BD_USE_SEEDLING)
        return bd_ceiling_find(limits, count, query);
    query->per = "once a week";
    found = bd_ceiling_find(limits, count, query);
    if (found.limit != NULL)
        return found;
    query->per = NULL;
    *other_use_key = W("guard.over_each_watering");
    return bd_ceiling_find(limits, count, query);
}

/* Seedlings without a row of their own: a share of the strictest strength for leaves. */
static void borrow_for_seedlings(const bd_knowledge *know, const bd_limit *limits, size_t count,
                                 bd_ceiling_query *query, bd_judged *judged)
{
    double share = bd_catalogue_practice(know->catalogue, "seedling-spray-share")->value.typical;

    query->use = BD_USE_FOLIAR;
    query->groups = NULL;
    judged->ceiling = bd_ceiling_find(limits, count, query);
    if (judged->ceiling.limit == NULL)
        return;
    judged->ceiling.is_borrowed = true;
    judged->ceiling.trust = BD_TRUST_PRACTICE;
    judged->ceiling_scale = share;
    judged->ceiling.firm_most /= share; /* what is in print for grown plants is no less for them */
}

double bd_strength_judge(const bd_knowledge *know, const bd_planting *planting,
                         const bd_bath_dose *dose, bd_use use, const char *id, bd_card *card)
{
    const bd_offer *offer = dose->offer;
    size_t count, crop_count;
    const bd_limit *limits = bd_catalogue_limits(know->catalogue, &count);
    const bd_crop *crops = bd_catalogue_crops(know->catalogue, &crop_count);
    bd_ceiling_query query = {.material = offer->material == NULL ? "" : offer->material->name,
                              .use = use,
                              .of = BD_LIMIT_PRODUCT_STRENGTH,
                              .groups = planting->groups,
                              .crops = crops,
                              .crop_count = crop_count};
    bd_judged judged = {.id = id,
                        .name = offer->title,
                        .value = dose->g_per_l.high,
                        .unit = "g/L",
                        .label_max = dose->label_max_g_per_l,
                        .is_label_told = dose->is_label_told};

    judged.ceiling = bd_rhythm_ceiling(limits, count, &query, &judged.other_use_key);
    if (use == BD_USE_SEEDLING_FOLIAR && judged.ceiling.limit == NULL)
        borrow_for_seedlings(know, limits, count, &query, &judged);
    if (judged.ceiling.is_borrowed)
        bd_card_assume(card, "limit.borrowed",
                       planting->crop == NULL ? W("assume.ceiling_no_crop")
                                              : W("assume.ceiling_borrowed"),
                       BD_ARGS(bd_name(offer->title), bd_name(judged.ceiling.limit->crop_title),
                               bd_name(planting->crop == NULL ? "" : planting->crop->title)),
                       NULL, "", "common practice, no source");
    return bd_judge(card, &judged);
}

static void judge_ec(const bd_bath *bath, const bd_limit *limits, size_t count,
                     bd_ceiling_query query, bd_card *card)
{
    bd_judged judged = {.id = "limit.ec",
                        .name = "conductivity above the water's",
                        .value = bath->ec_25c_ds_per_m - bath->water_ec_25c_ds_per_m,
                        .unit = "dS/m",
                        .is_silent_when_unknown = true};

    query.of = BD_LIMIT_EC;
    query.nutrient = NULL;
    judged.ceiling = bd_rhythm_ceiling(limits, count, &query, &judged.other_use_key);
    (void)bd_judge(card, &judged);
}

/* Leaves mind the pH of what is sprayed; the usual band is the trade's. */
static void judge_spray_ph(const bd_bath *bath, const bd_knowledge *know, bd_card *card)
{
    const bd_fact *band = bd_catalogue_practice(know->catalogue, "spray-ph-limits");
    double ph = bath->solution.ph;
    char source[BD_CITE_SIZE];
    bool is_low = ph < band->value.low;

    if (!is_low && ph <= band->value.high)
        return;
    bd_card_find_limit(
        card, "limit.spray.ph", BD_CARE, is_low ? W("spray.ph_low") : W("spray.ph_high"),
        BD_ARGS(bd_amount(ph, ""), bd_amount(band->value.low, ""), bd_amount(band->value.high, "")),
        ph, is_low ? band->value.low : band->value.high, "pH", bd_cite_fact(band, source));
}

/* What the labels of all that bring a nutrient allow of it together [g/L]; 0 where one of them says
 * nothing of it. */
static double nutrient_by_labels(const bd_bath *bath, bd_nutrient n)
{
    double sum = 0.0;

    if (bd_titrant_brings(&bath->titrant, n) > 0.0)
        return 0.0;
    for (size_t k = 0; k < bath->count; k++) {
        double share = bath->doses[k].offer->product.share[n].high;

        if (share > 0.0 && !(bath->doses[k].label_max_g_per_l > 0.0))
            return 0.0;
        sum += share * bath->doses[k].label_max_g_per_l;
    }
    return sum;
}

/* In grams of a litre, what is poured and what brings the pH. */
static double nutrient_g_per_l(const bd_bath *bath, bd_nutrient n)
{
    double sum = bd_titrant_brings(&bath->titrant, n);

    for (size_t k = 0; k < bath->count; k++)
        sum += bath->doses[k].g_per_l.high * bath->doses[k].offer->product.share[n].high;
    return sum;
}

void bd_bath_judge_nutrients(const bd_bath *bath, const bd_knowledge *know,
                             const bd_planting *planting, bd_use use, bd_card *card)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(know->catalogue, &count);
    char id[48];

    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        bd_nutrient n = (bd_nutrient)i;
        bd_ceiling_query query = {.material = "any",
                                  .use = use,
                                  .of = BD_LIMIT_NUTRIENT_STRENGTH,
                                  .nutrient = &n,
                                  .groups = planting->groups};
        bd_judged judged = {.id = id,
                            .name = bd_nutrient_symbol(n),
                            .value = nutrient_g_per_l(bath, n),
                            .unit = "g/L",
                            .label_max = nutrient_by_labels(bath, n),
                            .is_label_told = true,
                            .is_silent_when_unknown = true};

        if (!(judged.value > 0.0))
            continue;
        (void)snprintf(id, sizeof id, "limit.%s.%s", use == BD_USE_FOLIAR ? "foliar" : "drench",
                       bd_nutrient_symbol(n));
        judged.ceiling = bd_rhythm_ceiling(limits, count, &query, &judged.other_use_key);
        (void)bd_judge(card, &judged);
    }
    if (bath->is_modelled && !bath->is_outside && use != BD_USE_FOLIAR)
        judge_ec(bath, limits, count,
                 (bd_ceiling_query){.material = "any", .use = use, .groups = planting->groups},
                 card);
    if (bath->is_modelled && !bath->is_outside && use == BD_USE_FOLIAR)
        judge_spray_ph(bath, know, card);
}
