#include "guard/feed_rules.h"

#include <string.h>

#include "guard/cautions.h"
#include "guard/judge.h"
#include "model/ceiling.h"
#include "nutrients/cite.h"

static bool any_has(const bd_feed_facts *f, bd_trait trait)
{
    for (size_t i = 0; i < f->count; i++)
        if (f->materials[i] != NULL && bd_material_has(f->materials[i], trait))
            return true;
    return false;
}

/* A finding whose source is its record in cautions.json; {0} is the number of feedings. */
static void say(bd_card *card, const bd_feed_facts *f, const char *id, bd_level level,
                const char *key)
{
    char source[BD_CITE_SIZE];

    bd_card_find(card, id, level, key, BD_ARGS(bd_count(f->rounds)),
                 bd_rule_source(f->catalogue, key, source));
}

static const bd_fact *practice(const bd_feed_facts *f, const char *name)
{
    return bd_catalogue_practice(f->catalogue, name);
}

/* A waiting time before harvest: broken stops, unknown asks for care. */
static void judge_interval(bd_card *card, const bd_feed_facts *f, const char *id,
                           const bd_fact *days, const char *broken, const char *unknown,
                           const char *kept)
{
    char source[BD_CITE_SIZE];
    double wait = days->value.high;
    bool is_broken = f->has_days_left && !(f->days_left >= wait);
    const bd_arg *args = BD_ARGS(bd_amount(wait, "d"), bd_amount(f->days_left, "d"));

    (void)bd_cite_fact(days, source);
    if (!f->has_days_left) {
        bd_card_find(card, id, BD_CARE, unknown, args, source);
        return;
    }
    bd_card_find_limit(card, id, is_broken ? BD_STOP : BD_NOTE, is_broken ? broken : kept, args,
                       f->days_left, wait, "d", source);
    bd_card_limit_is_least(card);
}

/* The longest published interval where the crop is not known to be off the soil. */
static void judge_manure(bd_card *card, const bd_feed_facts *f)
{
    bool is_clear = f->crop != NULL && !f->crop->touches_soil;

    if (any_has(f, BD_TRAIT_RAW_MANURE))
        judge_interval(card, f, "limit.manure.interval",
                       practice(f, is_clear ? "raw-manure-clear" : "raw-manure-touching"),
                       W("rule.manure_too_late"), W("rule.manure_interval"),
                       W("rule.manure_interval_kept"));
}

static void judge_urine_storage(bd_card *card, const bd_feed_facts *f)
{
    const bd_fact *own = practice(f, "urine-storage-own"),
                  *others = practice(f, "urine-storage-others");
    char source[BD_CITE_SIZE];
    const bd_arg *args = BD_ARGS(
        bd_amount(own->value.typical, "d"), bd_amount(others->value.typical, "d"),
        bd_amount(f->stored_days, "d"), bd_amount(own->value.typical - f->stored_days, "d"));

    (void)bd_cite_fact(own, source);
    if (!f->has_stored)
        bd_card_find(card, "limit.urine.storage", BD_CARE, W("rule.urine_storage"), args, source);
    else if (f->stored_days < own->value.typical)
        bd_card_find_limit(card, "limit.urine.storage", BD_STOP, W("rule.urine_unstored"), args,
                           f->stored_days, own->value.typical, "d", source);
    else if (f->stored_days < others->value.typical)
        bd_card_find_limit(card, "limit.urine.storage", BD_CARE, W("rule.urine_own_household"),
                           args, f->stored_days, others->value.typical, "d", source);
}

static double rate_limit(const bd_feed_facts *f, const char *material, bd_limit_of of,
                         bd_ceiling *found)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(f->catalogue, &count);
    bd_ceiling_query query = {.material = material,
                              .use = BD_USE_SIDEDRESS,
                              .of = of,
                              .groups = f->crop == NULL ? NULL : f->crop->groups};

    *found = bd_ceiling_find(limits, count, &query);
    return found->limit == NULL ? 0.0 : found->most;
}

static void judge_urine(bd_card *card, const bd_feed_facts *f)
{
    if (!any_has(f, BD_TRAIT_URINE))
        return;
    judge_interval(card, f, "limit.urine.interval", practice(f, "urine-before-harvest"),
                   W("rule.urine_too_late"), W("rule.urine_interval"),
                   W("rule.urine_interval_kept"));
    judge_urine_storage(card, f);
    for (size_t i = 0; i < f->count && f->area_m2 > 0.0; i++) {
        bd_ceiling ceiling;

        if (f->materials[i] == NULL || !bd_material_has(f->materials[i], BD_TRAIT_URINE))
            continue;
        (void)rate_limit(f, f->materials[i]->name, BD_LIMIT_VOLUME_PER_AREA, &ceiling);
        (void)bd_judge(card, &(bd_judged){.id = "limit.urine.rate",
                                          .name = f->materials[i]->title,
                                          .value = f->given_l[i] * f->rounds / f->area_m2,
                                          .unit = "L/m2",
                                          .ceiling = ceiling});
    }
}

static void judge_ash_rate(bd_card *card, const bd_feed_facts *f, size_t i)
{
    bd_ceiling ceiling;
    char source[BD_CITE_SIZE];
    double most = rate_limit(f, f->materials[i]->name, BD_LIMIT_PRODUCT_PER_AREA_YEAR, &ceiling);
    double asked;

    if (!(f->area_m2 > 0.0)) {
        bd_card_find(card, "limit.ash.rate", BD_CARE, W("rule.ash_no_area"),
                     BD_ARGS(bd_amount(most, "g/m2")),
                     ceiling.limit == NULL
                         ? ""
                         : bd_cite(ceiling.limit->value.source, ceiling.trust, source));
        return;
    }
    asked = f->given_g[i] * f->rounds / f->area_m2;
    if (ceiling.limit == NULL)
        return;
    if (bd_is_over(asked, most) && !bd_is_over(asked, f->label_g_per_m2[i])) {
        (void)bd_judge(card, &(bd_judged){.id = "limit.ash.rate",
                                          .name = f->materials[i]->title,
                                          .value = asked,
                                          .unit = "g/m2 a year",
                                          .label_max = f->label_g_per_m2[i],
                                          .is_label_told = true,
                                          .ceiling = ceiling});
        return;
    }
    (void)bd_cite(ceiling.limit->value.source, ceiling.trust, source);
    bd_card_find_limit(card, "limit.ash.rate",
                       !bd_is_over(asked, most)           ? BD_NOTE
                       : bd_trust_can_stop(ceiling.trust) ? BD_STOP
                                                          : BD_CARE,
                       bd_is_over(asked, most) ? W("rule.ash_over") : W("rule.ash_within"),
                       BD_ARGS(bd_amount(asked, "g/m2"), bd_amount(most, "g/m2"),
                               bd_amount(asked / most, ""), bd_amount(ceiling.low, "g/m2"),
                               bd_count(f->rounds)),
                       asked, most, "g/m2 a year", source);
}

static void judge_ash(bd_card *card, const bd_feed_facts *f)
{
    const bd_fact *stop_ph = practice(f, "ash-ph-stop");
    char source[BD_CITE_SIZE];

    if (!any_has(f, BD_TRAIT_ASH))
        return;
    for (size_t i = 0; i < f->count; i++)
        if (f->materials[i] != NULL && bd_material_has(f->materials[i], BD_TRAIT_ASH))
            judge_ash_rate(card, f, i);
    (void)bd_cite_fact(stop_ph, source);
    if (f->has_medium_ph && f->medium_ph >= stop_ph->value.low)
        bd_card_find_limit(card, "limit.ash.ph", BD_STOP, W("rule.ash_ph"),
                           BD_ARGS(bd_amount(f->medium_ph, ""), bd_amount(stop_ph->value.low, "")),
                           f->medium_ph, stop_ph->value.low, "pH", source);
    else if (!f->has_medium_ph)
        bd_card_find(card, "limit.ash.ph", BD_CARE, W("rule.ash_ph_unknown"),
                     BD_ARGS(bd_amount(stop_ph->value.low, "")), source);
    if (f->is_hard_water)
        say(card, f, "limit.ash.water", BD_CARE, W("rule.ash_hard_water"));
    if (f->rounds > 1.0)
        say(card, f, "limit.ash.times", BD_CARE, W("rule.ash_twice"));
}

static bool gives_ammonia(const bd_material *m)
{
    return bd_material_has(m, BD_TRAIT_AMMONIUM) || bd_material_has(m, BD_TRAIT_UREA) ||
           bd_material_has(m, BD_TRAIT_URINE) || bd_material_has(m, BD_TRAIT_RAW_MANURE);
}

/* Alkali sets ammonia free from ammonium, urea, urine and fresh manure: of another thing, for what
 * is sold or dropped as one has done that already. */
static void judge_gas(bd_card *card, const bd_feed_facts *f)
{
    for (size_t i = 0; i < f->count; i++)
        for (size_t k = 0; k < f->count; k++) {
            const bd_material *a = f->materials[i], *b = f->materials[k];

            if (a == NULL || b == NULL || a == b || !bd_material_is_alkali(a) || !gives_ammonia(b))
                continue;
            say(card, f, "mix.ammonia", BD_STOP, W("rule.ammonia"));
            return;
        }
}

static void judge_leaves(bd_card *card, const bd_feed_facts *f)
{
    bool is_alkaline = any_has(f, BD_TRAIT_ASH) || any_has(f, BD_TRAIT_ALKALINE);
    bool is_unclean = any_has(f, BD_TRAIT_RAW_MANURE) || any_has(f, BD_TRAIT_URINE) ||
                      any_has(f, BD_TRAIT_FERMENTS);

    if (!f->is_on_leaves)
        return;
    if (is_alkaline)
        say(card, f, "limit.leaves.alkaline", BD_STOP, W("rule.alkaline_on_leaves"));
    if (is_unclean)
        say(card, f, "limit.leaves.unclean", BD_STOP, W("rule.unclean_on_leaves"));
    if (!is_alkaline && !is_unclean)
        say(card, f, "limit.leaves", BD_CARE, W("rule.homemade_on_leaves"));
}

static void tell_side_effects(bd_card *card, const bd_feed_facts *f)
{
    static const struct {
        bd_trait trait;
        const char *id, *key;
    } rows[] = {
        {BD_TRAIT_CARBON_RICH, "feed.draw_down", W("rule.draw_down")},
        {BD_TRAIT_SALTY, "feed.salty", W("rule.salty")},
        {BD_TRAIT_ATTRACTS, "feed.animals", W("rule.animals")},
        {BD_TRAIT_FERMENTS, "feed.ferments", W("rule.ferments")},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (any_has(f, rows[i].trait) && !(f->is_dry && rows[i].trait == BD_TRAIT_FERMENTS))
            say(card, f, rows[i].id,
                rows[i].trait == BD_TRAIT_CARBON_RICH && f->is_dry ? BD_CARE : BD_NOTE,
                rows[i].key);
}

void bd_feed_rules_apply(bd_card *card, const bd_feed_facts *f)
{
    judge_manure(card, f);
    judge_urine(card, f);
    judge_ash(card, f);
    judge_gas(card, f);
    judge_leaves(card, f);
    tell_side_effects(card, f);
}

bool bd_feed_has_own_rate(const bd_material *m, double area_m2)
{
    if (m == NULL)
        return false;
    return bd_material_has(m, BD_TRAIT_ASH) ||
           (area_m2 > 0.0 && bd_material_has(m, BD_TRAIT_URINE));
}
