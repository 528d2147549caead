/*
 * spray.c - a foliar spray: how strong, how much of it, what it brings.
 *
 * Three numbers are kept apart that are easily merged: the strength (g/L), the
 * volume these leaves need (L), and the salt to weigh (g).
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "guard/judge.h"
#include "job/bags.h"
#include "job/delivers.h"
#include "job/dissolved.h"
#include "job/group_list.h"
#include "job/job.h"
#include "job/measuring.h"
#include "job/record.h"
#include "job/riders.h"
#include "job/strength.h"
#include "job/tank_mix.h"
#include "job/trial.h"
#include "nutrients/cite.h"

static const double default_tank_l = 1.0; /* per litre is the form that scales by hand       */
static const double rounding = 1e-9;      /* of a number of tanks */

typedef struct spray {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_request *all; /* of bags of all kinds, which share the tank; NULL: of one kind */
    bd_card *card;
    bd_error *err;
    bd_offers offers;
    bd_planting planting;
    bd_bags bags;
    double leaf_m2, all_bags;                   /* of all kinds that share the tank */
    double tank_l, wetting_l_per_m2, canopy_m2; /* canopy 0: not known */
    double needed_l;                            /* 0: not known        */
    double mixed_l;                             /* needed_l and the usual spare */
    bool is_spare_cut;                          /* to what the tank holds besides */
    bd_range g_per_l[BD_PRODUCTS_MAX];
    double permitted[BD_PRODUCTS_MAX]; /* g/L, HUGE_VAL when nothing stops */
    double usual[BD_PRODUCTS_MAX];     /* of that, what the trade gives at most; 0: not less */
    bool is_thinned;                   /* permitted is of the same mix, made thinner */
    bool is_apart;                     /* no strength of the mix will do             */
    bd_bath bath;
} spray;

/* Leaf over a bag as one kind's request says it; 0: not known. */
static double canopy_of(const bd_request *request)
{
    const bd_value *size = bd_request_get(request, BD_OPT_BAG_SIZE);

    return bd_request_number(request, BD_OPT_CANOPY, size == NULL ? 0.0 : size->bag.area_m2);
}

/* One tank for all kinds: its need is theirs, and not known as long as one is not. */
static void add_up_leaves(spray *s)
{
    size_t kinds = s->all == NULL ? 1 : bd_groups_count(s->all);
    bool is_known = true;

    s->all_bags = s->bags.count;
    s->leaf_m2 = s->canopy_m2 * s->bags.count;
    if (kinds == 1)
        return;
    s->all_bags = s->leaf_m2 = 0.0;
    for (size_t i = 0; i < kinds; i++) {
        bd_request one;
        double bags;

        bd_groups_one(s->all, i, &one);
        bags = bd_request_number(&one, BD_OPT_BAGS, 1.0);
        is_known &= canopy_of(&one) > 0.0;
        s->all_bags += bags;
        s->leaf_m2 += canopy_of(&one) * bags;
    }
    if (!is_known)
        s->leaf_m2 = 0.0;
}

static bd_status read_canopy(spray *s)
{
    const bd_value *canopy = bd_request_get(s->request, BD_OPT_CANOPY);
    const bd_value *wetting = bd_request_get(s->request, BD_OPT_WETTING);
    const bd_fact *usual = bd_catalogue_practice(s->know->catalogue, "wetting");
    char source[BD_CITE_SIZE];

    s->wetting_l_per_m2 = wetting != NULL ? wetting->number.typical : usual->value.typical;
    if (wetting == NULL)
        bd_card_assume(s->card, "wetting", W("assume.wetting"),
                       BD_ARGS(bd_amount(1000 * s->wetting_l_per_m2, "mL/m2")),
                       &(bd_range){s->wetting_l_per_m2, s->wetting_l_per_m2, s->wetting_l_per_m2},
                       "L/m2", bd_cite_fact(usual, source));
    if (canopy != NULL) {
        s->canopy_m2 = canopy->number.typical;
    } else if (s->bags.size != NULL) {
        s->canopy_m2 = s->bags.bag.area_m2;
        bd_card_assume(s->card, "canopy", W("assume.canopy_is_bag"),
                       BD_ARGS(bd_amount(s->canopy_m2, "m2")),
                       &(bd_range){s->canopy_m2, s->canopy_m2, s->canopy_m2}, "m2",
                       "common practice, no source");
    }
    add_up_leaves(s);
    s->needed_l = s->leaf_m2 * s->wetting_l_per_m2;
    return BD_OK;
}

/* No more to spare than the tank holds, filled as often as the leaves need it. */
static void add_spare(spray *s, bool is_tank_said)
{
    double spare = bd_catalogue_practice(s->know->catalogue, "tank-spare")->value.typical,
           held_l = s->tank_l * ceil(s->needed_l / s->tank_l - rounding);

    s->mixed_l = s->needed_l * (1.0 + spare);
    s->is_spare_cut = is_tank_said && bd_is_over(s->mixed_l, held_l);
    if (s->is_spare_cut)
        s->mixed_l = held_l;
}

static void read_tank(spray *s)
{
    const bd_value *tank = bd_request_get(s->request, BD_OPT_TANK);

    s->tank_l = tank != NULL ? tank->number.typical : default_tank_l;
    if (tank == NULL)
        bd_card_assume(s->card, "tank", W("assume.tank"), BD_NO_ARGS,
                       &(bd_range){s->tank_l, s->tank_l, s->tank_l}, "L",
                       "common practice, no source");
    add_spare(s, tank != NULL);
}

/* Litres of spray that a target's unit is counted over: 1 for a strength. */
static bd_status litres_per_unit(const spray *s, bd_kind kind, double *litres)
{
    *litres = 0.0;
    if (kind == BD_KIND_STRENGTH)
        *litres = 1.0;
    else if (kind == BD_KIND_MASS_PER_AREA)
        *litres = s->wetting_l_per_m2;
    else if (kind == BD_KIND_MASS_PER_BAG)
        *litres = s->wetting_l_per_m2 * s->canopy_m2;
    else if (kind == BD_KIND_MASS)
        *litres = s->tank_l;
    if (*litres > 0.0)
        return BD_OK;
    if (kind == BD_KIND_MASS_PER_BAG) {
        (void)bd_fail(s->err, BD_MISSING, "--canopy", "is needed for a target per bag");
        return bd_accepts(s->err, "--canopy 0.12m2, the leaf area to wet over one bag");
    }
    (void)bd_fail(s->err, BD_DIMENSION, "--target", "%s is no target for a spray",
                  bd_kind_words(kind));
    return bd_accepts(s->err, "\"K 2.5 g/L\", \"K2O 0.3 %%\", \"product 150 g/15L\"");
}

/* Without a target: the usual published strength of the product for this crop. */
static bd_status usual_strength(spray *s, size_t i)
{
    const bd_offer *o = &s->offers.items[i];
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(s->know->catalogue, &count);
    bd_ceiling_query query = {.material = o->material == NULL ? "" : o->material->name,
                              .use =
                                  s->planting.is_seedling ? BD_USE_SEEDLING_FOLIAR : BD_USE_FOLIAR,
                              .of = BD_LIMIT_PRODUCT_STRENGTH,
                              .groups = s->planting.groups};
    bd_ceiling ceiling = bd_ceiling_find(limits, count, &query);
    char source[BD_CITE_SIZE];

    if (ceiling.limit == NULL || ceiling.is_never) {
        (void)bd_fail(s->err, BD_MISSING, "--target", "says how strong %s is to be", o->title);
        return bd_accepts(s->err, "\"K 2.5 g/L\" or \"product 5 g/L\"; no usual strength is known");
    }
    s->g_per_l[i] = bd_exactly(ceiling.usual);
    bd_card_assume(
        s->card, "target", W("assume.usual_strength"),
        BD_ARGS(bd_name(o->title), bd_amount(ceiling.usual, "g/L"),
                bd_name(ceiling.limit->crop_title)),
        &s->g_per_l[i], "g/L",
        bd_cite(ceiling.limit->value.source, ceiling.limit->value.trust_typical, source));
    return BD_OK;
}

/* One tank has one strength. */
static bd_status check_one_tank(const spray *s, const bd_offer *o)
{
    if (s->all == NULL || o->target->target.kind != BD_KIND_MASS_PER_BAG)
        return BD_OK;
    (void)bd_fail(s->err, BD_CONFLICT, "--target",
                  "'%.60s' is another strength for each kind of bag, and there is one tank",
                  o->target->text);
    return bd_accepts(s->err, "a strength, such as \"K 2.5 g/L\"");
}

static bd_status read_strength(spray *s, size_t i)
{
    const bd_offer *o = &s->offers.items[i];
    bd_range amount = {0, 0, 0};
    double litres = 1.0;
    bd_status status;

    if (o->target == NULL)
        return usual_strength(s, i);
    status = check_one_tank(s, o);
    if (status == BD_OK)
        status = bd_offer_amount(o, &o->target->target, s->card, &amount, s->err);
    if (status == BD_OK)
        status = litres_per_unit(s, o->target->target.kind, &litres);
    if (status != BD_OK)
        return status;
    s->g_per_l[i] = bd_range_scale(amount, 1.0 / litres);
    if (s->g_per_l[i].high > 0.0)
        return BD_OK;
    (void)bd_fail(s->err, BD_RANGE, "--target", "'%.60s' is nothing to spray", o->target->text);
    return bd_accepts(s->err, "an amount above zero");
}

/* What the label allows as a strength; 0 without a label or where it counts something else. */
static double label_in_g_per_l(const spray *s, const bd_offer *o)
{
    const bd_value *label = o->label_max;

    if (label == NULL)
        return 0.0;
    if (label->kind == BD_KIND_STRENGTH)
        return label->number.typical;
    if (label->kind == BD_KIND_MASS_PER_AREA)
        return label->number.typical / s->wetting_l_per_m2;
    if (label->kind == BD_KIND_MASS_PER_BAG && s->canopy_m2 > 0.0)
        return label->number.typical / (s->wetting_l_per_m2 * s->canopy_m2);
    return 0.0;
}

static bool is_strength(const bd_value *label)
{
    return label != NULL && label->kind == BD_KIND_STRENGTH;
}

/* The same on a square metre of ground. */
static double label_on_ground(const spray *s, const bd_offer *o, double l_per_m2)
{
    const bd_value *label = o->label_max;

    if (is_strength(label))
        return label->number.typical * l_per_m2;
    if (label != NULL && label->kind == BD_KIND_MASS_PER_AREA)
        return label->number.typical;
    if (label != NULL && label->kind == BD_KIND_MASS_PER_BAG && s->bags.size != NULL)
        return label->number.typical / s->bags.bag.area_m2;
    return 0.0;
}

/* A label that counts by area or bag bounds the spray; of its strength it says nothing, and lifts
 * no ceiling of one. */
static double judge_label_amount(const spray *s, size_t i)
{
    const bd_offer *o = &s->offers.items[i];
    bd_judged judged = {.id = "limit.label",
                        .name = o->title,
                        .value = s->g_per_l[i].high,
                        .unit = "g/L",
                        .label_max = label_in_g_per_l(s, o),
                        .is_silent_when_unknown = true};

    if (o->label_max == NULL || is_strength(o->label_max))
        return HUGE_VAL;
    if (judged.label_max > 0.0)
        return bd_judge(s->card, &judged);
    bd_label_not_judged(o, s->card);
    return HUGE_VAL;
}

/* Grams on a square metre of GROUND at one spraying, as field trials count: what lands on a bag
 * over its open top.  Where either is not known no such ceiling is known either; the figure is
 * then told as if leaf and ground had the same area, and asks for care. */
static double judge_per_area(spray *s, size_t i)
{
    const bd_offer *o = &s->offers.items[i];
    bool is_known = s->canopy_m2 > 0.0 && s->bags.size != NULL;
    double on_ground_l_per_m2 =
        s->wetting_l_per_m2 * (is_known ? s->canopy_m2 / s->bags.bag.area_m2 : 1.0);
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(s->know->catalogue, &count);
    bd_ceiling_query query = {.material = o->material == NULL ? "" : o->material->name,
                              .use = BD_USE_FOLIAR,
                              .of = BD_LIMIT_PRODUCT_PER_AREA,
                              .groups = s->planting.groups};
    bd_judged judged = {.id = "limit.foliar.area",
                        .name = o->title,
                        .value = s->g_per_l[i].high * on_ground_l_per_m2,
                        .unit = "g/m2",
                        .label_max = label_on_ground(s, o, on_ground_l_per_m2),
                        .is_label_told = true,
                        .ceiling = bd_ceiling_find(limits, count, &query),
                        .other_use_key = is_known ? NULL : W("guard.over_ground_area"),
                        .is_silent_when_unknown = true};

    return bd_judge(s->card, &judged) / on_ground_l_per_m2;
}

static void judge_products(spray *s)
{
    bd_use use = s->planting.is_seedling ? BD_USE_SEEDLING_FOLIAR : BD_USE_FOLIAR;

    for (size_t i = 0; i < s->offers.count; i++) {
        double by_area, by_label = judge_label_amount(s, i);

        s->permitted[i] = bd_strength_judge(s->know, &s->planting, &s->bath.doses[i], use,
                                            "limit.foliar", s->card);
        by_area = judge_per_area(s, i);
        s->permitted[i] = fmin(s->permitted[i], fmin(by_area, by_label));
    }
}

/* All salts of the tank together; urea and sugar count as salts here, a leaf feels them alike. */
static void judge_sum(spray *s)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(s->know->catalogue, &count);
    bd_ceiling_query query = {.material = "any",
                              .use = BD_USE_FOLIAR,
                              .of = BD_LIMIT_SALTS_STRENGTH,
                              .groups = s->planting.groups};
    bd_judged judged = {.id = "limit.salts",
                        .name = "all salts together",
                        .unit = "g/L",
                        .label_max = s->bath.count == 1 ? s->bath.doses[0].label_max_g_per_l : 0.0,
                        .is_label_told = true,
                        .ceiling = bd_ceiling_find(limits, count, &query),
                        .is_silent_when_unknown = true};

    for (size_t i = 0; i < s->offers.count; i++)
        judged.value += s->g_per_l[i].high;
    judged.value += s->bath.titrant.pure_g_per_l;
    if (s->bath.titrant.material != NULL) /* of which the product's label knows nothing */
        judged.label_max = 0.0;
    (void)bd_judge(s->card, &judged);
    if (s->offers.count > 1 || s->bath.titrant.material != NULL)
        bd_card_figure(s->card, "solution.salts", W("figure.salts"), BD_NO_ARGS,
                       bd_exactly(judged.value), "g/L");
}

/* The mix as it stands in the tank: every limit that its strength can break. */
static bd_status judge_mix(spray *s)
{
    bd_status status;

    s->bath.count = s->offers.count;
    for (size_t i = 0; i < s->offers.count; i++)
        s->bath.doses[i] = (bd_bath_dose){&s->offers.items[i], s->g_per_l[i],
                                          is_strength(s->offers.items[i].label_max)
                                              ? s->offers.items[i].label_max->number.typical
                                              : 0.0,
                                          false};
    judge_products(s);
    status = bd_bath_titrate(&s->bath, s->know, s->request, s->err);
    if (status != BD_OK)
        return status;
    judge_sum(s);
    status = bd_bath_solve(&s->bath, s->know, s->request, s->card, s->err);
    if (status != BD_OK)
        return status;
    if (s->offers.count == 1 && s->bath.most_soluble < s->permitted[0])
        s->permitted[0] = s->bath.most_soluble;
    bd_bath_judge_nutrients(&s->bath, s->know, &s->planting, BD_USE_FOLIAR, s->card);
    return BD_OK;
}

/* The sprays these leaves have had.  Of unknown leaves only their number is judged. */
static bd_status judge_record(spray *s)
{
    bd_record_bags bags = {s->bags.size == NULL ? 0.0 : s->bags.bag.area_m2, s->planting.groups};
    bd_record_dose doses[BD_PRODUCTS_MAX];
    double l_per_bag = s->canopy_m2 * s->wetting_l_per_m2;
    bd_status status;

    for (size_t i = 0; i < s->offers.count; i++)
        doses[i] = bd_record_dose_of(&s->offers.items[i], BD_RECORD_FOLIAR,
                                     bd_range_scale(s->g_per_l[i], l_per_bag), 1.0);
    status = bd_record_judge(s->know, s->request, &bags, doses, s->offers.count, s->card, s->err);
    for (size_t i = 0; i < s->offers.count; i++) {
        double left = doses[i].permitted_g_per_bag;

        s->permitted[i] =
            fmin(s->permitted[i], left > 0.0 && l_per_bag > 0.0 ? left / l_per_bag : left);
    }
    return status;
}

static bd_status try_strength(const void *what, double share, bd_card *card)
{
    spray weaker = *(const spray *)what;

    weaker.card = card;
    weaker.err = NULL;
    memset(&weaker.bath, 0, sizeof weaker.bath);
    for (size_t i = 0; i < weaker.offers.count; i++)
        weaker.g_per_l[i] = bd_range_scale(weaker.g_per_l[i], share);
    return judge_mix(&weaker);
}

/* Stopped because of what comes together: it falls out, or gives off gas. */
static bool is_unfit_together(const bd_card *card)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (card->findings[i].level == BD_STOP &&
            (strncmp(card->findings[i].id, "tank.", 5) == 0 ||
             strcmp(card->findings[i].id, "mix.ammonia") == 0))
            return true;
    return false;
}

static bool says(const bd_card *card, const char *key)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].line.key, key) == 0)
            return true;
    return false;
}

/* What the findings of the mix call hopeless, no trial makes good. */
static bool is_never_clear(const bd_card *card)
{
    return says(card, W("tank.never")) || says(card, W("tank.never_in_this_water"));
}

/* The share of the mix at which its products are within their own limits and what was given. */
static double share_by_limits(const spray *s)
{
    double share = HUGE_VAL;

    for (size_t i = 0; i < s->offers.count; i++)
        share = fmin(share, s->permitted[i] / s->g_per_l[i].high);
    return share;
}

/* The mix as the card prints it, each product cut down by itself. */
static bool stops_as_printed(const spray *s, double share)
{
    spray printed = *s;
    bd_card aside;
    bool does_stop;

    for (size_t i = 0; i < s->offers.count; i++)
        printed.g_per_l[i] = bd_exactly(bd_cut_down(share * s->g_per_l[i].high));
    bd_card_init(&aside, "");
    does_stop = try_strength(&printed, 1.0, &aside) != BD_OK || bd_card_verdict(&aside) == BD_STOP;
    bd_card_clear(&aside);
    return does_stop;
}

/* Where no strength will do for what stops it: nothing of this mix. */
static void keep_apart(spray *s)
{
    s->is_apart = true;
    for (size_t i = 0; i < s->offers.count; i++)
        s->permitted[i] = s->usual[i] = 0.0;
}

/* How thin the mix must be, all its salts alike; where no strength will do, each keeps its own
 * ceiling, or none of it goes with the others. */
static void find_permitted_mix(spray *s)
{
    enum { MOST_CUTS = 10 };
    static const double a_little_less = 0.99;
    double by_limits = share_by_limits(s);
    bd_most most = bd_trial_most(try_strength, s, 1.0, by_limits);

    for (int i = 0; i < MOST_CUTS && most.amount > 0.0 && stops_as_printed(s, most.amount); i++)
        most.amount *= a_little_less;
    if (is_unfit_together(s->card) && by_limits > 0.0 &&
        (!(most.amount > 0.0) || is_never_clear(s->card))) {
        keep_apart(s);
        return;
    }
    s->is_thinned = most.amount > 0.0 && bd_is_over(1.0, most.amount);
    for (size_t i = 0; s->is_thinned && i < s->offers.count; i++) {
        s->permitted[i] = bd_cut_down(most.amount * s->g_per_l[i].high);
        s->usual[i] = most.usual < most.amount ? bd_cut_down(most.usual * s->g_per_l[i].high) : 0.0;
    }
}

/* What a lone product may be: its ceilings, and nothing falling out of this water. */
static void find_permitted(spray *s)
{
    bd_most most = bd_trial_most(try_strength, s, s->g_per_l[0].high, s->permitted[0]);

    if (bd_is_over(s->g_per_l[0].high, most.amount) || !(s->permitted[0] < HUGE_VAL))
        s->permitted[0] = most.amount;
    s->usual[0] = most.usual < s->permitted[0] ? most.usual : 0.0;
    if (label_in_g_per_l(s, &s->offers.items[0]) > 0.0)
        s->permitted[0] = fmin(s->permitted[0], label_in_g_per_l(s, &s->offers.items[0]) *
                                                    s->offers.items[0].label_surely);
}

static void tell_schedule(spray *s)
{
    static const struct {
        bd_limit_of of;
        const char *id, *key;
    } rows[] = {{BD_LIMIT_SPRAYS_PER_SEASON, "spray.times", W("spray.times")},
                {BD_LIMIT_DAYS_BETWEEN, "spray.interval", W("spray.interval")}};
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(s->know->catalogue, &count);
    char source[BD_CITE_SIZE];

    for (size_t k = 0; k < sizeof rows / sizeof rows[0]; k++) {
        const bd_material *m = s->offers.items[0].material;
        bd_ceiling_query query = {.material = m == NULL ? "" : m->name,
                                  .use = BD_USE_FOLIAR,
                                  .of = rows[k].of,
                                  .groups = s->planting.groups};
        bd_ceiling c = bd_ceiling_find(limits, count, &query);

        if (c.limit != NULL)
            bd_card_find(s->card, rows[k].id, BD_NOTE, rows[k].key,
                         BD_ARGS(bd_count(c.low), bd_count(c.usual), bd_count(c.most)),
                         bd_cite(c.limit->value.source, c.trust, source));
    }
}

static void judge_volume(spray *s)
{
    const bd_fact *most = bd_catalogue_practice(s->know->catalogue, "wetting-ceiling");
    const bd_fact *factor = bd_catalogue_practice(s->know->catalogue, "tank-over-need");
    char source[BD_CITE_SIZE];
    double over;

    if (bd_is_over(s->wetting_l_per_m2, most->value.high))
        bd_card_find_limit(s->card, "limit.wetting", BD_CARE, W("spray.wets_too_much"),
                           BD_ARGS(bd_amount(1000 * s->wetting_l_per_m2, "mL/m2"),
                                   bd_amount(1000 * most->value.high, "mL/m2")),
                           s->wetting_l_per_m2, most->value.high, "L/m2",
                           bd_cite_fact(most, source));
    if (!(s->needed_l > 0.0)) {
        bd_card_find(s->card, "spray.volume_unknown", BD_NOTE, W("spray.volume_unknown"),
                     BD_NO_ARGS, "");
        return;
    }
    over = s->tank_l / s->needed_l;
    bd_card_figure(
        s->card, "spray.volume_needed",
        s->all == NULL ? W("figure.volume_needed") : W("figure.volume_needed_of_all"),
        BD_ARGS(bd_count(s->all_bags), bd_amount(s->all == NULL ? s->canopy_m2 : s->leaf_m2, "m2")),
        bd_exactly(s->needed_l), "L");
    bd_card_figure(s->card, "spray.tank_over_need", W("figure.tank_over_need"), BD_NO_ARGS,
                   bd_exactly(over), "");
    if (over > factor->value.typical)
        bd_card_find_limit(
            s->card, "spray.tank_over_need", BD_CARE,
            bd_card_verdict(s->card) == BD_STOP ? W("spray.tank_over_need_stopped")
                                                : W("spray.tank_over_need"),
            BD_ARGS(bd_amount(over, ""), bd_amount(s->needed_l, "L"), bd_amount(s->mixed_l, "L")),
            over, factor->value.typical, "", bd_cite_fact(factor, source));
    else if (over < 1.0)
        bd_card_find(s->card, "spray.tanks", BD_NOTE, W("spray.more_tanks"),
                     BD_ARGS(bd_count(ceil(1.0 / over)), bd_amount(s->needed_l, "L")), "");
}

static void figure_of(const spray *s, size_t i, const char *what, const char *key, bd_range value,
                      const char *unit)
{
    const bd_offer *o = &s->offers.items[i];
    char id[128];

    if (s->offers.count == 1)
        (void)snprintf(id, sizeof id, "product.%s", what);
    else
        (void)snprintf(id, sizeof id, "product.%s.%s",
                       o->material == NULL ? "own" : o->material->name, what);
    if (bd_card_get(s->card, id) == NULL)
        bd_card_figure(
            s->card, id, key,
            BD_ARGS(bd_name(o->title), bd_amount(s->tank_l, "L"), bd_amount(s->mixed_l, "L")),
            value, unit);
}

static void show_amounts(const spray *s, size_t i)
{
    const bd_product *p = &s->offers.items[i].product;

    if (s->needed_l > 0.0)
        figure_of(s, i, "for_need",
                  s->is_spare_cut ? W("figure.product_for_need_full")
                                  : W("figure.product_for_need"),
                  bd_range_scale(s->g_per_l[i], s->mixed_l), "g");
    figure_of(s, i, "per_litre", W("figure.product_per_litre"), s->g_per_l[i], "g/L");
    figure_of(s, i, "per_tank", W("figure.product_per_tank"),
              bd_range_scale(s->g_per_l[i], s->tank_l), "g");
    if (p->is_liquid) {
        double ml_per_g = 1.0 / p->density_kg_per_l;

        if (s->needed_l > 0.0)
            figure_of(s, i, "volume_for_need",
                      s->is_spare_cut ? W("figure.product_volume_for_need_full")
                                      : W("figure.product_volume_for_need"),
                      bd_range_scale(s->g_per_l[i], ml_per_g * s->mixed_l), "mL");
        figure_of(s, i, "volume_per_litre", W("figure.product_volume_per_litre"),
                  bd_range_scale(s->g_per_l[i], ml_per_g), "mL/L");
        figure_of(s, i, "volume_per_tank", W("figure.product_volume_per_tank"),
                  bd_range_scale(s->g_per_l[i], ml_per_g * s->tank_l), "mL");
    }
    figure_of(s, i, "w_v", W("figure.product_w_v"), bd_range_scale(s->g_per_l[i], 0.1), "% w/v");
}

/* How much of the tank these leaves need, and what of it lands on one bag. */
static void work_volume(const spray *s)
{
    const bd_value *wetting = bd_request_get(s->request, BD_OPT_WETTING);
    char source[BD_CITE_SIZE];

    if (!(s->needed_l > 0.0))
        return;
    bd_card_work(s->card, s->all == NULL ? W("work.spray_need") : W("work.spray_need_of_all"),
                 BD_ARGS(bd_count(s->all_bags),
                         bd_exact(s->all == NULL ? s->canopy_m2 : s->leaf_m2, "m2"),
                         bd_exact(s->wetting_l_per_m2, "L/m2"), bd_exact(s->needed_l, "L")),
                 wetting != NULL
                     ? "--wetting"
                     : bd_cite_fact(bd_catalogue_practice(s->know->catalogue, "wetting"), source));
    bd_card_work(s->card, W("work.tank_over"),
                 BD_ARGS(bd_exact(s->tank_l, "L"), bd_exact(s->needed_l, "L"),
                         bd_exact(s->tank_l / s->needed_l, "")),
                 "");
    bd_card_work(s->card, s->is_spare_cut ? W("work.spray_spare_cut") : W("work.spray_spare"),
                 BD_ARGS(bd_exact(s->needed_l, "L"), bd_exact(s->mixed_l / s->needed_l, ""),
                         bd_exact(s->mixed_l, "L")),
                 bd_cite_fact(bd_catalogue_practice(s->know->catalogue, "tank-spare"), source));
}

static void work_product(const spray *s, size_t i)
{
    const bd_offer *o = &s->offers.items[i];
    double strength = s->g_per_l[i].typical, on_bag_l = s->canopy_m2 * s->wetting_l_per_m2;

    bd_card_work(s->card, W("work.per_tank"),
                 BD_ARGS(bd_name(o->title), bd_exact(strength, "g/L"), bd_exact(s->tank_l, "L"),
                         bd_exact(strength * s->tank_l, "g")),
                 "");
    if (s->needed_l > 0.0)
        bd_card_work(s->card, W("work.per_tank"),
                     BD_ARGS(bd_name(o->title), bd_exact(strength, "g/L"),
                             bd_exact(s->mixed_l, "L"), bd_exact(strength * s->mixed_l, "g")),
                     "");
    bd_card_work(s->card, W("work.w_v"),
                 BD_ARGS(bd_exact(strength, "g/L"), bd_exact(strength / 10.0, "% w/v")),
                 "1 % w/v is 10 g/L");
    bd_delivery_work(s->card, &o->product, strength, "g/L");
    if (on_bag_l > 0.0)
        bd_card_work(s->card, W("work.spray_on_bag"),
                     BD_ARGS(bd_exact(s->canopy_m2, "m2"), bd_exact(s->wetting_l_per_m2, "L/m2"),
                             bd_exact(strength, "g/L"), bd_exact(strength * on_bag_l, "g")),
                     "");
}

/* Of a thinned mix no print may be above what it is of, for it is typed in again. */
static double as_printed(const spray *s, double amount)
{
    return s->is_thinned ? bd_cut_down(amount) : amount;
}

static void show_permitted_volume(const spray *s, size_t i)
{
    const bd_product *p = &s->offers.items[i].product;
    double ml_per_l;

    if (!p->is_liquid)
        return;
    ml_per_l = s->permitted[i] / p->density_kg_per_l;
    figure_of(s, i, "volume_per_litre.permitted", W("figure.product_volume_per_litre"),
              bd_exactly(as_printed(s, ml_per_l)), "mL/L");
    figure_of(s, i, "volume_per_tank.permitted", W("figure.product_volume_per_tank"),
              bd_exactly(as_printed(s, ml_per_l * s->tank_l)), "mL");
}

/* Nothing at all may leave such a sprayer. */
static bool is_sprayer_unfit(const bd_card *card)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, "sprayer.weed_killer") == 0)
            return card->findings[i].level == BD_STOP;
    return false;
}

static void show_permitted(const spray *s, size_t i)
{
    bd_card_work(s->card, W("work.asked_per_litre"),
                 BD_ARGS(bd_name(s->offers.items[i].title), bd_exact(s->g_per_l[i].typical, "g/L"),
                         bd_exact(s->g_per_l[i].typical * s->tank_l, "g"),
                         bd_amount(s->tank_l, "L")),
                 "--target");
    /* In a mix that stops for its company, what each product alone may be would read as leave. */
    if (is_sprayer_unfit(s->card) || !(s->permitted[i] < HUGE_VAL) ||
        (s->offers.count > 1 && !s->is_thinned && !bd_is_over(s->g_per_l[i].high, s->permitted[i])))
        return;
    if (s->is_apart) {
        figure_of(s, i, "per_litre.permitted",
                  says(s->card, W("tank.falls_out_with_water"))
                      ? W("figure.product_per_litre_in_rain_water")
                      : W("figure.product_per_litre_apart"),
                  bd_exactly(0.0), "g/L");
        return;
    }
    if (s->usual[i] > 0.0) {
        figure_of(s, i, "per_litre.usual", W("figure.product_per_litre_usual"),
                  bd_exactly(s->usual[i]), "g/L");
        figure_of(s, i, "per_tank.usual", W("figure.product_per_tank_usual"),
                  bd_exactly(as_printed(s, s->usual[i] * s->tank_l)), "g");
    }
    figure_of(s, i, "per_litre.permitted",
              s->usual[i] > 0.0 ? W("figure.product_per_litre_refused")
              : s->is_thinned   ? W("figure.product_per_litre_thinned")
                                : W("figure.product_per_litre_permitted"),
              bd_exactly(s->permitted[i]), "g/L");
    figure_of(s, i, "per_tank.permitted",
              s->usual[i] > 0.0 ? W("figure.product_per_tank_refused")
              : s->is_thinned   ? W("figure.product_per_tank_thinned")
                                : W("figure.product_per_tank_permitted"),
              bd_exactly(as_printed(s, s->permitted[i] * s->tank_l)), "g");
    show_permitted_volume(s, i);
}

static bd_status show_per_bag(const spray *s, const bd_delivery *per_litre)
{
    const bd_value *need = bd_request_get(s->request, BD_OPT_NEED);
    bd_delivery per_bag = *per_litre;
    char source[BD_CITE_SIZE];
    bd_status status = BD_OK;

    if (!(s->canopy_m2 > 0.0)) {
        if (need != NULL) {
            (void)bd_fail(s->err, BD_MISSING, "--canopy",
                          "is needed to compare a spray with --need");
            status = bd_accepts(s->err, "--canopy 0.12m2, the leaf area to wet over one bag");
        }
        return status;
    }
    bd_delivery_scale(&per_bag, s->canopy_m2 * s->wetting_l_per_m2);
    bd_delivery_show(s->card, &per_bag, "per_bag", W("figure.nutrient_per_bag"), "g");
    if (need == NULL)
        return BD_OK;
    status =
        bd_need_show(s->card, need, &per_bag, s->bags.size, s->bags.plants, s->bags.count, s->err);
    if (status == BD_OK) {
        const bd_figure *share = bd_card_get(s->card, "need.share");

        if (share != NULL)
            bd_card_find(s->card, "spray.supplements", BD_NOTE, W("spray.supplements"),
                         BD_ARGS(bd_amount_range(bd_range_scale(share->value, 100.0), "%")),
                         bd_rule_source(s->know->catalogue, "spray.supplements", source));
    }
    return status;
}

/* Less than the tank is made up, for the leaves need no more. */
static bool is_small(const spray *s)
{
    return s->mixed_l > 0.0 && s->mixed_l < s->tank_l;
}

static double made_up_l(const spray *s)
{
    return is_small(s) ? s->mixed_l : s->tank_l;
}

static bd_status show(spray *s)
{
    bd_delivery per_litre = {{{0, 0, 0}}};
    bool is_stop = bd_card_verdict(s->card) == BD_STOP;

    work_volume(s);
    for (size_t i = 0; i < s->offers.count; i++) {
        work_product(s, i);
        if (is_stop)
            show_permitted(s, i);
        else
            show_amounts(s, i);
        bd_delivery_add(&per_litre, &s->offers.items[i].product, s->g_per_l[i]);
    }
    bd_titrant_show(&s->bath.titrant, made_up_l(s), is_small(s) ? "for_need" : "per_tank", s->card);
    bd_titrant_deliver(&s->bath.titrant, 1.0, &per_litre);
    bd_delivery_show(s->card, &per_litre, "per_litre", W("figure.nutrient_per_litre"), "g/L");
    bd_bath_show(&s->bath, s->know, s->card);
    return show_per_bag(s, &per_litre);
}

/* Carried in by the whole day's rules of the trade, beside the cautions. */
static void tell_practice(const spray *s)
{
    const bd_fact *day = bd_catalogue_practice(s->know->catalogue, "foliar-day");
    char source[BD_CITE_SIZE];

    if (day != NULL && day->is_known && bd_crop_is_in(s->planting.crop, "root"))
        bd_card_find(s->card, "spray.day", BD_NOTE, W("spray.usual_day"),
                     BD_ARGS(bd_count(day->value.typical)), bd_cite_fact(day, source));
}

static bd_status read_spray(spray *s)
{
    bd_status status = bd_planting_read(s->know, s->request, s->card, &s->planting, s->err);

    if (status == BD_OK)
        status = bd_offers_read(s->know, s->request, s->card, &s->offers, s->err);
    if (status == BD_OK)
        status = bd_bags_read(s->know, s->request, &s->planting, s->card, &s->bags, s->err);
    if (status == BD_OK)
        status = read_canopy(s);
    if (status != BD_OK)
        return status;
    read_tank(s);
    for (size_t i = 0; i < s->offers.count && status == BD_OK; i++)
        status = read_strength(s, i);
    return status;
}

static bd_status measure_out(const spray *s)
{
    double stock_ml[BD_PRODUCTS_MAX];
    bd_tank_mix mix = {&s->offers, s->g_per_l,   stock_ml, s->tank_l,       s->needed_l,
                       s->mixed_l, &s->planting, &s->bags, &s->bath.titrant};
    bd_measuring measuring = {.offers = &s->offers,
                              .amount = s->g_per_l,
                              .g_per_amount = made_up_l(s),
                              .portions = 1.0,
                              .tank_l = made_up_l(s),
                              .stock_ml = stock_ml,
                              .is_sprayed = true,
                              .is_seedling = s->planting.is_seedling};
    bd_status status = bd_measuring_show(s->know, s->request, &measuring, s->card, s->err);

    if (status == BD_OK)
        bd_tank_mix_show(s->know, s->request, &mix, s->card);
    return status;
}

/* Bags of one kind, from the request to measuring out. */
static bd_status prepare(spray *s)
{
    bd_handling handling = {.is_foliar = true, .is_dissolved = true};
    bd_status status = read_spray(s);

    if (status != BD_OK)
        return status;
    bd_card_title(s->card, s->offers.count == 1 ? W("spray.title") : W("spray.title_mix"),
                  BD_ARGS(bd_name(s->offers.items[0].title), bd_amount(s->tank_l, "L"),
                          bd_count((double)s->offers.count)));
    status = judge_mix(s);
    if (status == BD_OK)
        status = judge_record(s);
    if (status != BD_OK)
        return status;
    bd_riders_tell_chloride(&s->planting, &s->offers, s->card);
    bd_tank_mix_judge(s->request, s->card);
    judge_volume(s);
    tell_schedule(s);
    tell_practice(s);
    if (bd_card_verdict(s->card) == BD_STOP) {
        if (s->offers.count > 1)
            find_permitted_mix(s);
        else
            find_permitted(s);
    }
    status = show(s);
    if (status == BD_OK)
        status = measure_out(s);
    bd_offers_handling(&s->offers, &handling);
    if (bd_titrant_can_be_measured(&s->bath.titrant, made_up_l(s)))
        bd_titrant_handling(&s->bath.titrant, &handling);
    handling.is_seedling = s->planting.is_seedling;
    handling.crop = s->planting.crop;
    bd_cautions_add(s->card, s->know->catalogue, &handling);
    return status;
}

static bd_status mix_kind(const bd_knowledge *know, const bd_request *all,
                          const bd_request *request, bd_card *card, bd_group_dose *dose,
                          bd_error *err)
{
    spray s = {.know = know, .request = request, .all = all, .card = card, .err = err};
    bd_status status = prepare(&s);

    if (status == BD_OK)
        *dose = (bd_group_dose){.bags = s.bags.count,
                                .pour_l = s.canopy_m2 * s.wetting_l_per_m2,
                                .canopy_m2 = s.canopy_m2,
                                .rounds = 1.0};
    return status;
}

static bd_status mix_kinds(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_error *err)
{
    bd_groups groups;
    bd_group_list list = {.groups = &groups};
    bd_status status = bd_groups_run(know, request, mix_kind, true, card, &groups, err);
    bd_arg args[BD_ARGS_MAX + 1];

    if (status == BD_OK) {
        const bd_line *title = &groups.items[0].card.title; /* of the tank, so of all */

        bd_card_title(card, title->key, bd_line_args(title, args));
        if (bd_card_verdict(card) != BD_STOP && groups.items[0].dose.canopy_m2 > 0.0)
            status = bd_group_list_show(&list, card, err);
    }
    bd_groups_clear(&groups);
    return status;
}

bd_status bd_job_spray(const bd_knowledge *know, const bd_request *request, bd_card *card,
                       bd_error *err)
{
    spray s = {.know = know, .request = request, .card = card, .err = err};

    return bd_groups_count(request) > 1 ? mix_kinds(know, request, card, err) : prepare(&s);
}
