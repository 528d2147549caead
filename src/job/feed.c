/*
 * feed.c - a homemade feed: how strong it may be, how far to dilute it.
 *
 * Every figure is a range.  "Enough?" is judged on the low end, with only what
 * comes out of the material; "too much?" on the high end, as if all of it came
 * out.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "guard/feed_rules.h"
#include "guard/judge.h"
#include "job/bags.h"
#include "job/delivers.h"
#include "job/dissolved.h"
#include "job/group_list.h"
#include "job/job.h"
#include "job/measuring.h"
#include "job/mix_feed.h"
#include "job/record.h"
#include "job/riders.h"
#include "job/roots.h"
#include "job/salt_load.h"
#include "job/strength.h"
#include "job/trial.h"
#include "model/extraction.h"
#include "model/oxide.h"
#include "nutrients/cite.h"
#include "request/label_text.h"

static const double wide_range =
    3.0; /* high over low above which a meter is worth more than a table */
static const bd_nutrient_form k2o_form = {BD_K, true};

/* The most of the poured feed that one bag may get, and what sets it. */
typedef struct bound {
    double litres;  /* HUGE_VAL: the size of the bag is not known */
    const char *by; /* the key of a phrase */
    char source[BD_CITE_SIZE];
} bound;

/* What is left of a dry dose or of the undiluted brew: for good, and of that what the trade gives.
 */
typedef struct leave {
    double permitted, usual; /* shares of it; usual not below: HUGE_VAL */
} leave;

typedef struct feed {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
    bd_offers offers;
    bd_planting planting;
    bd_bags bags;
    bd_range mass_g[BD_PRODUCTS_MAX];
    bd_preparation preparation[BD_PRODUCTS_MAX];
    bool is_dry;      /* everything goes onto the soil as it is */
    double brew_l;    /* made-up volume; 0 when dry             */
    double dilution;  /* 1: undiluted                           */
    double share;     /* of what was asked that is given: 1 but on trial */
    double per_bag_l; /* 0: not given                           */
    bool is_one_of;   /* bags of several kinds get of this brew: it is compared with all */
    double rounds;
    bd_delivery comes;              /* in the whole brew: what comes out [g]  */
    bd_delivery all;                /* ... as if all came out                 */
    bd_salts salts;                 /* of the whole brew                      */
    bool has_meter;                 /* the brew was read, and its salt is what the meter says */
    double by_strength;             /* dilution that the strength asks for; 1: none           */
    leave left;                     /* by the guard; of a brew, or of a dry dose that stops   */
    bound most;                     /* on one bag at one feeding              */
    double left_g[BD_PRODUCTS_MAX]; /* of each on one bag each time, by the record; HUGE_VAL */
} feed;

static bd_status read_preparation(feed *f, size_t i, bool has_brew)
{
    static const char *const words[BD_PREPARATION_COUNT] = {"soak", "boil", "ferment", "powder",
                                                            "dry"};
    const bd_value *given = bd_product_get(f->request, i, BD_OPT_PREPARATION);

    f->preparation[i] = has_brew || f->offers.items[i].product.is_liquid ? BD_SOAK : BD_DRY;
    if (given == NULL)
        return BD_OK;
    for (int p = 0; p < BD_PREPARATION_COUNT; p++) {
        if (strcmp(words[p], given->text) == 0) {
            f->preparation[i] = (bd_preparation)p;
            return BD_OK;
        }
    }
    (void)bd_fail(f->err, BD_UNKNOWN, "--preparation", "'%.40s' is not a preparation", given->text);
    return bd_accepts(f->err, "soak, boil, ferment, powder or dry");
}

static bd_status read_mass(feed *f, size_t i)
{
    const bd_value *mass = bd_product_get(f->request, i, BD_OPT_MASS);
    const bd_offer *o = &f->offers.items[i];
    const bd_fact *bulk = o->material == NULL ? NULL : &o->material->bulk_density_kg_per_l;

    if (mass == NULL) {
        (void)bd_fail(f->err, BD_MISSING, "--mass", "how much %s goes in is not said", o->title);
        return bd_accepts(f->err, "--mass 1kg, or --mass 2L of a liquid");
    }
    f->mass_g[i] = mass->number;
    if (mass->kind == BD_KIND_MASS)
        return BD_OK;
    if (o->product.is_liquid) {
        f->mass_g[i] = bd_range_scale(mass->number, 1000.0 * o->product.density_kg_per_l);
        return BD_OK;
    }
    if (bulk == NULL || !bulk->is_known) {
        (void)bd_fail(f->err, BD_CONFLICT, "--mass", "%s is a solid and '%.40s' a volume", o->title,
                      mass->text);
        return bd_accepts(f->err, "its weight; how heavy a litre of it is, is not known here");
    }
    f->mass_g[i] = bd_range_scale(bd_range_times(mass->number, bulk->value), 1000.0);
    bd_card_find(f->card, "feed.by_volume", BD_CARE, W("feed.by_volume"),
                 BD_ARGS(bd_name(o->title), bd_amount_range(f->mass_g[i], "g")), bulk->source);
    return BD_OK;
}

static double bag_share(const feed *f);

/* Water of the bags that this feed goes to at saturation; 0 where that is not known. */
static double salted_l(const feed *f)
{
    if (f->bags.size == NULL || !(bag_share(f) > 0.0))
        return 0.0;
    return bd_medium_saturation(f->bags.medium).typical * f->bags.bag.volume_l / bag_share(f);
}

/* What comes out of one material and what is in it. */
static bd_status add_material(feed *f, size_t i)
{
    const bd_offer *o = &f->offers.items[i];
    const bd_value *days = bd_request_get(f->request, BD_OPT_DAYS);
    bd_extraction out =
        bd_extraction_of(o->material, f->preparation[i], days == NULL ? 0.0 : days->number.typical);
    char source[BD_CITE_SIZE];

    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        bd_range all = bd_range_times(o->product.share[n], f->mass_g[i]);
        bd_range share = bd_extraction_share(&out, (bd_nutrient)n);
        double most = bd_extraction_most(&out, (bd_nutrient)n);

        f->all.amount[n] = bd_range_add(f->all.amount[n], bd_range_scale(all, most));
        f->comes.amount[n] = bd_range_add(f->comes.amount[n], bd_range_times(all, share));
    }
    if (out.is_lye)
        bd_card_find(f->card, "feed.lye", BD_NOTE, W("feed.lye"), BD_ARGS(bd_name(o->title)),
                     "what dissolves at pH 12 to 13, from memory");
    if (out.source != NULL)
        bd_card_assume(
            f->card, "feed.extraction", W("assume.extraction"),
            BD_ARGS(bd_name(o->title), bd_amount_range(bd_range_scale(out.potassium, 100.0), "%")),
            &out.potassium, "", bd_cite(out.source, out.trust, source));
    bd_card_work(f->card, W("work.feed_k"),
                 BD_ARGS(bd_name(o->title), bd_amount_range(f->mass_g[i], "g"),
                         bd_amount_range(bd_range_scale(o->product.share[BD_K], 100.0), "%"),
                         bd_amount_range(bd_range_scale(out.potassium, 100.0), "%"),
                         bd_amount_range(f->comes.amount[BD_K], "g")),
                 out.source == NULL ? "" : out.source);
    return bd_salts_add(f->know, o, f->mass_g[i], &out, !f->is_dry, salted_l(f), &f->salts, f->err);
}

/* A label or a tale about a homemade material, against the most it can hold. */
static bd_status check_entry(feed *f, size_t i, double k_share)
{
    const bd_material *m = f->offers.items[i].material;
    const bd_fact *most;
    char source[BD_CITE_SIZE];
    bool is_near = false;
    double most_k;

    if (m == NULL || m->kind != BD_HOMEMADE || !(k_share > 0.0))
        return BD_OK;
    most = m->highest_k.is_known ? &m->highest_k : &m->analysis[BD_K];
    most_k = most->value.high;
    if (!most->is_known || !bd_is_over(k_share, most_k))
        return BD_OK;
    bd_card_find_limit(f->card, "feed.claim", BD_CARE, W("feed.claim_impossible"),
                       BD_ARGS(bd_name(m->title), bd_amount(100.0 * k_share, "%"),
                               bd_amount(100.0 * most_k, "%"), bd_amount(k_share / most_k, "")),
                       100.0 * k_share, 100.0 * most_k, "%",
                       bd_cite(most->source, most->trust_high, source));
    return bd_product_make(m, NULL, false, 0.0, &f->offers.items[i].product, &is_near, f->err);
}

/* "K 42 %": the first product's claim is read like a label. */
static bd_status check_claim(feed *f, size_t i)
{
    const bd_value *claim = bd_product_get(f->request, i, BD_OPT_CLAIM);
    bd_label label = {0};
    bd_target target;
    bd_status status;

    if (bd_product_get(f->request, i, BD_OPT_ANALYSIS) != NULL)
        return check_entry(f, i, f->offers.items[i].product.share[BD_K].high);
    if (claim == NULL)
        return BD_OK;
    if (bd_label_read(claim->text, BD_CONVENTION_NONE, &label, NULL) == BD_OK)
        return check_entry(f, i, label.share[BD_K]);
    status = bd_target_read(claim->text, f->request->measures, &target, f->err);
    bd_error_at(f->err, "--claim");
    if (status == BD_OK && !target.is_product && target.kind == BD_KIND_STRENGTH &&
        f->brew_l > 0.0 && target.form.nutrient == BD_K) {
        double most = f->mass_g[i].high * f->offers.items[i].product.share[BD_K].high / f->brew_l;
        double told = bd_as_element(target.form, target.value.typical);

        if (bd_is_over(told, most))
            bd_card_find_limit(f->card, "feed.claim", BD_CARE, W("feed.claim_too_strong"),
                               BD_ARGS(bd_amount(told, "g/L"), bd_amount(most, "g/L")), told, most,
                               "g/L", "");
    }
    return status;
}

/* The least litres that a solid can be made up to: what it fills as densely as it lies, else the
 * water that is in it already; 0 where neither is known. */
static double least_brew_l(const bd_material *m, double mass_g, const char **source)
{
    *source = m->bulk_density_kg_per_l.source;
    if (m->bulk_density_kg_per_l.is_known)
        return mass_g / (1000.0 * m->bulk_density_kg_per_l.value.high);
    *source = m->moisture.source;
    return m->moisture.is_known ? mass_g * m->moisture.value.low / 1000.0 : 0.0;
}

static void tell_uncovered(const feed *f)
{
    for (size_t i = 0; i < f->offers.count; i++) {
        const bd_offer *o = &f->offers.items[i];
        const char *source = NULL;
        double litres;

        if (o->material == NULL || o->product.is_liquid || f->preparation[i] == BD_DRY)
            continue;
        litres = least_brew_l(o->material, f->mass_g[i].typical, &source);
        if (bd_is_over(litres, f->brew_l))
            bd_card_find_limit(f->card, "feed.uncovered", BD_CARE, W("feed.uncovered"),
                               BD_ARGS(bd_name(o->title)), litres, f->brew_l, "L",
                               source == NULL ? "" : source);
    }
}

static bd_status read_materials(feed *f)
{
    bool has_brew = bd_request_get(f->request, BD_OPT_BREW) != NULL;
    bd_status status = BD_OK;
    double liquid_l = 0.0;

    f->is_dry = true;
    for (size_t i = 0; i < f->offers.count && status == BD_OK; i++) {
        status = read_preparation(f, i, has_brew);
        if (status == BD_OK)
            status = read_mass(f, i);
        if (f->preparation[i] != BD_DRY)
            f->is_dry = false;
        if (f->offers.items[i].product.is_liquid)
            liquid_l +=
                f->mass_g[i].typical / (1000.0 * f->offers.items[i].product.density_kg_per_l);
    }
    if (status != BD_OK || f->is_dry)
        return status;
    f->brew_l = bd_request_number(f->request, BD_OPT_BREW, liquid_l);
    tell_uncovered(f);
    if (f->brew_l > 0.0 && f->brew_l >= liquid_l * (1.0 - 1e-9))
        return BD_OK;
    (void)bd_fail(f->err, BD_MISSING, "--brew",
                  "how many litres the brew is made up to is not said%s",
                  f->brew_l > 0.0 ? " rightly: it is less than the liquids in it" : "");
    return bd_accepts(f->err, "--brew 10L");
}

static void read_pouring(feed *f)
{
    f->dilution = bd_request_number(f->request, BD_OPT_DILUTE, 1.0);
    f->per_bag_l = bd_request_number(f->request, BD_OPT_PER_BAG, 0.0);
    f->rounds = bd_request_number(f->request, BD_OPT_ROUNDS, 1.0);
    if (f->is_dry)
        return;
    if (bd_request_get(f->request, BD_OPT_DILUTE) == NULL)
        bd_card_assume(f->card, "feed.dilution", W("assume.undiluted"), BD_NO_ARGS,
                       &(bd_range){1, 1, 1}, "", "common practice, no source");
    if (f->per_bag_l <= 0.0)
        bd_card_find(f->card, "feed.per_bag_unknown", BD_NOTE, W("feed.per_bag_unknown"),
                     BD_NO_ARGS, "");
}

/* What the meter says bounds what can be there: no potassium without its share of conductivity. */
static bd_status narrow_by_meter(feed *f)
{
    const bd_value *ec = bd_request_get(f->request, BD_OPT_EC);
    double from_water = bd_request_number(f->request, BD_OPT_WATER_EC, 0.0), most_g_per_l = 0.0,
           most_g;
    bd_range *comes = &f->comes.amount[BD_K], *all = &f->all.amount[BD_K];
    bd_status status;

    f->has_meter = ec != NULL && !f->is_dry;
    if (!f->has_meter)
        return BD_OK;
    if (bd_is_over(from_water, ec->number.high)) {
        (void)bd_fail(f->err, BD_CONFLICT, "--water-ec", "the water conducts more than the brew");
        return bd_accepts(f->err, "both readings at 25 C, the brew undiluted");
    }
    status = bd_most_potassium(f->know, ec->number.high - from_water, &most_g_per_l, f->err);
    if (status != BD_OK)
        return status;
    most_g = most_g_per_l * f->brew_l;
    bd_card_find(f->card, "feed.meter", BD_NOTE,
                 comes->low > most_g ? W("feed.meter_below_table") : W("feed.meter_narrows"),
                 BD_ARGS(bd_amount(ec->number.high, "dS/m"), bd_amount(most_g_per_l, "g/L"),
                         bd_amount_range(bd_range_scale(*comes, 1.0 / f->brew_l), "g/L")),
                 "conductivity of KH2PO4, the least conducting potassium salt, worked out");
    *comes = bd_range_least(*comes, bd_exactly(most_g));
    *all = bd_range_least(*all, bd_exactly(most_g));
    return BD_OK;
}

/* Litres as they are poured. */
static double poured_l(const feed *f)
{
    return f->brew_l * f->dilution;
}

static bd_use use_of(const feed *f)
{
    return f->planting.is_seedling ? BD_USE_SEEDLING : BD_USE_DRENCH;
}

/* The strength of a nutrient, as if all of it came out, against its ceiling; false where none is
 * known. */
static bool judge_nutrient_strength(feed *f, bd_nutrient n, const char *id, const char *name)
{
    double high = f->all.amount[n].high / poured_l(f);
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(f->know->catalogue, &count);
    bd_ceiling_query query = {.material = "any",
                              .use = use_of(f),
                              .of = BD_LIMIT_NUTRIENT_STRENGTH,
                              .nutrient = &n,
                              .groups = f->planting.groups};
    bd_judged judged = {
        .id = id, .name = name, .value = high, .unit = "g/L", .is_silent_when_unknown = true};

    judged.ceiling = bd_rhythm_ceiling(limits, count, &query, &judged.other_use_key);
    (void)bd_judge(f->card, &judged);
    if (judged.ceiling.limit == NULL)
        return false;
    if (judged.ceiling.most > 0.0)
        f->by_strength = fmax(f->by_strength, f->dilution * high / judged.ceiling.most);
    return true;
}

static double area_m2(const feed *f)
{
    return f->bags.size == NULL ? 0.0 : f->bags.bag.area_m2;
}

/* The strength of each material against a row of its own.  Where there is none and no rate by area
 * either, the card says that nothing is known. */
static void judge_materials(const feed *f)
{
    for (size_t i = 0; i < f->offers.count; i++) {
        const bd_offer *o = &f->offers.items[i];
        bd_bath_dose dose = {.offer = o,
                             .g_per_l = bd_range_scale(f->mass_g[i], 1.0 / poured_l(f))};

        if (!bd_feed_has_own_rate(o->material, area_m2(f)))
            (void)bd_strength_judge(f->know, &f->planting, &dose, use_of(f), "limit.drench",
                                    f->card);
    }
}

static void judge_strength(feed *f)
{
    (void)judge_nutrient_strength(f, BD_K, "limit.drench.K", "potassium (K), as if all came out");
    if (f->all.amount[BD_N].high > 0.0 &&
        !judge_nutrient_strength(f, BD_N, "limit.drench.N", "nitrogen (N), as if all came out"))
        bd_card_find(f->card, "limit.drench.N", f->bags.size == NULL ? BD_CARE : BD_NOTE,
                     f->bags.size == NULL ? W("feed.nitrogen_unknown") : W("feed.nitrogen_by_area"),
                     BD_NO_ARGS, "");
    judge_materials(f);
}

/* Up to three digits, so that nothing is thinned less by being printed. */
static double round_up(double x)
{
    double step = pow(10.0, floor(log10(x)) - 2.0);

    return ceil(x / step - 1e-9) * step;
}

/* How far a brew must be thinned for the trade; 0 where no water helps. */
static double least_dilution(const leave *left)
{
    double share = fmin(left->permitted, left->usual);

    return share > 0.0 ? fmax(round_up(1.0 / share), 1.0) : 0.0;
}

static void show_least_dilution(const feed *f, double least)
{
    bd_card_figure(f->card, "feed.dilution.least", W("figure.dilution_least"),
                   BD_ARGS(bd_amount(least - 1.0, "")), bd_exactly(least), "");
}

static void show_dilution(const feed *f)
{
    if (bd_card_verdict(f->card) != BD_STOP && least_dilution(&f->left) > 0.0)
        show_least_dilution(f, least_dilution(&f->left));
    if (bd_request_get(f->request, BD_OPT_DILUTE) != NULL)
        bd_card_figure(f->card, "feed.dilution.given", W("figure.dilution_given"),
                       BD_ARGS(bd_amount(f->dilution - 1.0, "")), bd_exactly(f->dilution), "");
}

static void tighten(bound *b, double litres, const char *by, const char *source, bd_trust trust)
{
    if (!(litres < b->litres))
        return;
    b->litres = litres;
    b->by = by;
    (void)bd_cite(source, trust, b->source);
}

/* A nutrient's ceiling for one dressing, as if all of it came out. */
static void bound_by_nutrient(const feed *f, bd_nutrient n, const char *by, bound *b)
{
    bd_ceiling c = bd_ceiling_per_area(f->know->catalogue, BD_USE_SIDEDRESS, n, f->planting.groups);
    double g_per_l = f->all.amount[n].high / poured_l(f);

    if (c.limit != NULL && g_per_l > 0.0)
        tighten(b, bd_ceiling_as_element(&c, c.most) * f->bags.bag.area_m2 / g_per_l, by,
                c.limit->value.source, c.trust);
}

/* Litres of a square metre for each crop, shared by the feedings. */
static void bound_by_volume(const feed *f, size_t i, bound *b)
{
    const bd_offer *o = &f->offers.items[i];
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(f->know->catalogue, &count);
    bd_ceiling c;
    double share;

    if (o->material == NULL || !o->product.is_liquid)
        return;
    c = bd_ceiling_find(limits, count,
                        &(bd_ceiling_query){.material = o->material->name,
                                            .use = BD_USE_SIDEDRESS,
                                            .of = BD_LIMIT_VOLUME_PER_AREA,
                                            .groups = f->planting.groups});
    share = f->mass_g[i].high / (1000.0 * o->product.density_kg_per_l) / poured_l(f);
    if (c.limit != NULL && share > 0.0)
        tighten(b, c.most * f->bags.bag.area_m2 / f->rounds / share, W("feed.bound_volume"),
                c.limit->value.source, c.trust);
}

static bound bound_of(const feed *f)
{
    bound b = {.litres = HUGE_VAL};
    const bd_fact *holds;

    if (f->bags.size == NULL)
        return b;
    holds = &f->bags.medium->container_capacity;
    bound_by_nutrient(f, BD_K, W("feed.bound_k"), &b);
    bound_by_nutrient(f, BD_N, W("feed.bound_n"), &b);
    for (size_t i = 0; i < f->offers.count; i++)
        bound_by_volume(f, i, &b);
    tighten(&b, f->bags.bag.volume_l * holds->value.typical, W("feed.bound_water"), holds->source,
            holds->trust_typical);
    return b;
}

static void judge_per_bag(feed *f)
{
    const bound *b = &f->most;

    f->most = bound_of(f);
    if (f->per_bag_l > 0.0 && bd_is_over(f->per_bag_l, b->litres))
        bd_card_find_limit(
            f->card, "limit.feed.per_bag", BD_CARE, W("feed.too_much_per_bag"),
            BD_ARGS(bd_amount(f->per_bag_l, "L"), bd_amount(b->litres, "L"), bd_words_arg(b->by)),
            f->per_bag_l, b->litres, "L", b->source);
}

static bool all_feed_slowly(const feed *f)
{
    for (size_t i = 0; i < f->offers.count; i++)
        if (!bd_offer_feeds_slowly(&f->offers.items[i]))
            return false;
    return true;
}

/* A nutrient given dry, as if all of it came out, per area of the bag's mouth. */
static void judge_dry_nutrient(const feed *f, bd_nutrient n, const char *id)
{
    bd_judged judged = {
        .id = id,
        .unit = "g/m2",
        .ceiling = bd_ceiling_per_area(f->know->catalogue, BD_USE_SIDEDRESS, n, f->planting.groups),
        .other_use_key = all_feed_slowly(f) ? W("guard.over_if_mineral") : NULL,
        .is_silent_when_unknown = true};

    if (judged.ceiling.limit == NULL || !(f->all.amount[n].high > 0.0))
        return;
    judged.name = bd_nutrient_form_name(judged.ceiling.limit->nutrient);
    judged.value = f->share * bd_as_form(judged.ceiling.limit->nutrient, f->all.amount[n].high) /
                   (f->bags.bag.area_m2 * f->bags.count);
    (void)bd_judge(f->card, &judged);
}

/* Given dry: what is known of the material's own rate, and its nutrients per area. */
static void judge_dry(const feed *f)
{
    for (size_t i = 0; i < f->offers.count; i++)
        if (!bd_feed_has_own_rate(f->offers.items[i].material, area_m2(f)))
            bd_card_find(f->card, "limit.sidedress", BD_CARE, W("guard.no_ceiling"),
                         BD_ARGS(bd_name(f->offers.items[i].title)), "");
    if (f->bags.size == NULL) {
        bd_card_find(f->card, "limit.sidedress.size", BD_CARE, W("sidedress.no_size"), BD_NO_ARGS,
                     "");
        return;
    }
    judge_dry_nutrient(f, BD_N, "limit.sidedress.N");
    judge_dry_nutrient(f, BD_K, "limit.sidedress.K2O");
}

/* What `bags` take against what there is, as it is poured and when it is thinned as it must be. */
static void judge_volume(bd_card *card, double bags, double needed, double poured, double thinned)
{
    bool is_enough_thinned = !bd_is_over(needed, thinned);

    if (!(needed > 0.0))
        return;
    bd_card_figure(card, "feed.volume_needed", W("figure.feed_volume_needed"),
                   BD_ARGS(bd_count(bags)), bd_exactly(needed), "L");
    if (bd_is_over(needed, poured))
        bd_card_find_limit(
            card, "feed.volume", is_enough_thinned ? BD_NOTE : BD_CARE,
            is_enough_thinned ? W("feed.enough_when_thinned") : W("feed.not_enough"),
            BD_ARGS(bd_amount(needed, "L"), bd_amount(poured, "L"), bd_amount(thinned, "L")),
            needed, is_enough_thinned ? thinned : poured, "L", "");
}

static void tell_spread(const feed *f)
{
    bd_range k = f->comes.amount[BD_K];

    if (k.low > 0.0 && k.high / k.low > wide_range)
        bd_card_find(f->card, "feed.wide", BD_NOTE, W("feed.wide"),
                     BD_ARGS(bd_amount(k.high / k.low, "")), "");
}

/* The share of the brew that one bag gets at one feeding. */
static double bag_share(const feed *f)
{
    if (f->is_dry)
        return f->share / f->bags.count;
    return f->per_bag_l / poured_l(f);
}

static void show_most(const feed *f, const char *id, const char *key, double scale,
                      const char *unit)
{
    bd_card_figure(f->card, id, key, BD_NO_ARGS, bd_exactly(f->all.amount[BD_K].high * scale),
                   unit);
}

/* What a hand weighs: into the brew, or onto each bag. */
static void show_weights(const feed *f)
{
    char id[96];

    for (size_t i = 0; i < f->offers.count; i++) {
        const bd_offer *o = &f->offers.items[i];
        const char *name = o->material == NULL ? "own" : o->material->name;
        bd_range each = bd_range_scale(f->mass_g[i], f->is_dry ? 1.0 / f->bags.count : 1.0);

        if (f->offers.count == 1)
            (void)snprintf(id, sizeof id, "product.%s", f->is_dry ? "per_bag" : "per_brew");
        else
            (void)snprintf(id, sizeof id, "product.%.60s.%s", name,
                           f->is_dry ? "per_bag" : "per_brew");
        if (bd_card_get(f->card, id) == NULL)
            bd_card_figure(f->card, id,
                           f->is_dry ? W("figure.feed_per_bag") : W("figure.feed_per_brew"),
                           BD_ARGS(bd_name(o->title), bd_amount(f->brew_l, "L")), each, "g");
    }
    if (f->is_dry && f->offers.count == 1)
        bd_card_figure(f->card, "product.total", W("figure.product_total"),
                       BD_ARGS(bd_count(f->bags.count)), f->mass_g[0], "g");
}

/* What the bags have had of it already. */
static bd_status judge_record(feed *f)
{
    bd_record_bags bags = {f->bags.size == NULL ? 0.0 : f->bags.bag.area_m2, f->planting.groups};
    bd_record_dose doses[BD_PRODUCTS_MAX];
    bd_status status;

    for (size_t i = 0; i < f->offers.count; i++)
        doses[i] = bd_record_dose_of(&f->offers.items[i], BD_RECORD_FEED,
                                     bd_range_scale(f->mass_g[i], bag_share(f)), f->rounds);
    status = bd_record_judge(f->know, f->request, &bags, doses, f->offers.count, f->card, f->err);
    for (size_t i = 0; i < f->offers.count; i++)
        f->left_g[i] = doses[i].permitted_g_per_bag;
    return status;
}

/* Potassium from the brew to the bag, low to high. */
static void work_potassium(const feed *f)
{
    bd_range k = f->comes.amount[BD_K];
    double factor = bd_as_element(k2o_form, 1.0);

    if (!f->is_dry) {
        bd_card_work(f->card, W("work.feed_strength"),
                     BD_ARGS(bd_amount_range(k, "g"), bd_exact(f->brew_l, "L"),
                             bd_exact(f->dilution, ""),
                             bd_amount_range(bd_range_scale(k, 1.0 / poured_l(f)), "g/L")),
                     "--brew; --dilute");
        k = bd_range_scale(k, 1.0 / poured_l(f));
        if (f->per_bag_l > 0.0)
            bd_card_work(f->card, W("work.feed_on_bag"),
                         BD_ARGS(bd_amount_range(k, "g/L"), bd_exact(f->per_bag_l, "L"),
                                 bd_amount_range(bd_range_scale(k, f->per_bag_l), "g")),
                         "--per-bag");
        k = bd_range_scale(k, f->per_bag_l);
    } else {
        bd_card_work(f->card, W("work.feed_dry"),
                     BD_ARGS(bd_amount_range(k, "g"), bd_count(f->bags.count),
                             bd_amount_range(bd_range_scale(k, bag_share(f)), "g")),
                     "--bags");
        k = bd_range_scale(k, bag_share(f));
    }
    if (k.high > 0.0)
        bd_card_work(f->card, W("work.as_oxide_range"),
                     BD_ARGS(bd_name(bd_nutrient_oxide(BD_K)), bd_amount_range(k, "g"),
                             bd_exact(factor, ""),
                             bd_amount_range(bd_range_scale(k, 1.0 / factor), "g")),
                     "IUPAC-2016, published");
}

/* What a meter would show in the poured feed: the brew's own salt thinned, the water's kept. */
static void show_conductivity(const feed *f)
{
    const bd_value *ec = bd_request_get(f->request, BD_OPT_EC);
    double water = bd_request_number(f->request, BD_OPT_WATER_EC, 0.0);

    if (ec == NULL || f->is_dry)
        return;
    bd_card_figure(f->card, "solution.ec", W("figure.ec"), BD_NO_ARGS,
                   bd_range_of(water + (ec->number.low - water) / f->dilution,
                               water + (ec->number.typical - water) / f->dilution,
                               water + (ec->number.high - water) / f->dilution),
                   "dS/m");
}

static bd_status show_need(const feed *f)
{
    const bd_value *need = bd_request_get(f->request, BD_OPT_NEED);
    bd_delivery d = f->comes;
    const bd_figure *share;
    bd_status status;

    if (need == NULL)
        return BD_OK;
    if (!(bag_share(f) > 0.0)) {
        (void)bd_fail(f->err, BD_MISSING, "--per-bag", "is needed to compare a feed with --need");
        return bd_accepts(f->err, "--per-bag 0.5L");
    }
    bd_delivery_scale(&d, bag_share(f));
    status = bd_need_show(f->card, need, &d, f->bags.size, f->bags.plants, f->bags.count, f->err);
    share = status == BD_OK ? bd_card_get(f->card, "need.share") : NULL;
    if (share != NULL)
        bd_card_find(f->card, "feed.enough", BD_NOTE, W("feed.share_of_need"),
                     BD_ARGS(bd_amount(100.0 * share->value.low, "%"),
                             bd_amount(100.0 * share->value.high, "%")),
                     "");
    return status;
}

static bd_range salt_of_all(const feed *f)
{
    if (f->salts.is_counted)
        bd_card_assume(f->card, "soil.load", W("assume.load_from_ions"), BD_NO_ARGS, NULL, "",
                       "conductivity of single salts, worked out");
    if (f->salts.is_read)
        bd_card_assume(f->card, "soil.load_read", W("assume.load_from_ec"), BD_NO_ARGS, NULL, "",
                       "the material's ec in homemade.json");
    bd_salts_tell_named(&f->salts, f->card);
    bd_salts_tell_urea(&f->salts, f->card);
    return bd_salts_load(f->know, &f->salts);
}

static bd_range without(bd_range r, double less)
{
    return bd_range_of(fmax(r.low - less, 0.0), fmax(r.typical - less, 0.0),
                       fmax(r.high - less, 0.0));
}

/* Salt of one feeding in one bag, from the meter if there is one, else from what is in it. */
static bd_status show_roots(const feed *f)
{
    const bd_value *ec = bd_request_get(f->request, BD_OPT_EC);
    bd_range load, water;
    bool is_said;
    bd_status status;

    if (!(bag_share(f) > 0.0) || f->bags.size == NULL)
        return BD_OK;
    status = bd_roots_water(f->know, f->request, &water, &is_said, f->err);
    if (status != BD_OK)
        return status;
    if (ec != NULL && !f->is_dry) { /* the meter saw the brew's own water too */
        load = bd_range_scale(without(ec->number, water.typical), f->per_bag_l / f->dilution);
    } else {
        load = bd_range_scale(salt_of_all(f), bag_share(f));
    }
    return bd_roots_show_load(f->know, f->request, &f->planting, &f->bags, load, f->rounds,
                              f->is_dry ? 0.0 : f->per_bag_l, f->card, f->err);
}

/* The share of the brew that all bags get at one feeding: all of it where nobody said how much each
 * gets. */
static double brew_share(const feed *f)
{
    double share = bag_share(f) * f->bags.count;

    return share > 0.0 ? share : f->share;
}

/* Boron of a season, of each material. */
static void judge_boron(const feed *f)
{
    for (size_t i = 0; i < f->offers.count; i++)
        (void)bd_riders_judge_boron(
            f->know, &f->planting, &f->bags,
            &(bd_season_dose){.offer = &f->offers.items[i],
                              .is_unshared = !(bag_share(f) > 0.0),
                              .g = f->mass_g[i].high * brew_share(f) / f->bags.count * f->rounds},
            f->card);
}

static void apply_rules(const feed *f)
{
    const bd_value *left = bd_request_get(f->request, BD_OPT_DAYS_LEFT);
    const bd_value *ph = bd_request_get(f->request, BD_OPT_MEDIUM_PH);
    const bd_value *stored = bd_request_get(f->request, BD_OPT_STORED);
    const bd_value *water = bd_request_get(f->request, BD_OPT_WATER);
    bd_feed_facts facts = {.catalogue = f->know->catalogue,
                           .crop = f->planting.crop,
                           .count = f->offers.count,
                           .is_dry = f->is_dry,
                           .is_on_leaves = bd_request_get(f->request, BD_OPT_ON_LEAVES) != NULL,
                           .has_days_left = left != NULL,
                           .days_left = left == NULL ? 0.0 : left->number.low,
                           .has_medium_ph = ph != NULL,
                           .medium_ph = ph == NULL ? 0.0 : ph->number.typical,
                           .has_stored = stored != NULL,
                           .stored_days = stored == NULL ? 0.0 : stored->number.typical,
                           .is_hard_water = water != NULL && strcmp(water->text, "hard") == 0,
                           .area_m2 =
                               f->bags.size == NULL ? 0.0 : f->bags.bag.area_m2 * f->bags.count,
                           .rounds = f->rounds};

    for (size_t i = 0; i < f->offers.count; i++) {
        double share = brew_share(f);

        facts.materials[i] = f->offers.items[i].material;
        facts.given_g[i] = f->mass_g[i].high * share;
        facts.given_l[i] =
            f->offers.items[i].product.is_liquid
                ? facts.given_g[i] / (1000.0 * f->offers.items[i].product.density_kg_per_l)
                : 0.0;
    }
    bd_feed_rules_apply(f->card, &facts);
    judge_boron(f);
}

/* ---- what may be given of a feed that is stopped ---------------------------------------- */

/* Every limit that a feed can break, on the card of a trial. */
static bd_status judge_dose(feed *f)
{
    if (f->is_dry)
        judge_dry(f);
    else
        judge_strength(f);
    apply_rules(f);
    return show_roots(f);
}

/* The same feed with less in it: the brew thinned, its litres kept; the dry dose made smaller. */
static feed with_less(const feed *f, double share)
{
    feed less = *f;

    less.share *= share;
    if (!f->is_dry)
        less.dilution /= share;
    return less;
}

static bd_status try_less(const void *what, double share, bd_card *card)
{
    feed less = with_less(what, share);

    less.card = card;
    less.err = NULL;
    return judge_dose(&less);
}

static bd_status try_pouring(const void *what, double share, bd_card *card)
{
    feed less = *(const feed *)what;

    less.card = card;
    less.err = NULL;
    less.per_bag_l *= share;
    return judge_dose(&less);
}

/* The share that the limits which follow the dose in step allow, and the record. */
static double share_by_limits(const feed *f)
{
    static const char *const ids[] = {"limit.drench.K", "limit.drench.N", "limit.drench",
                                      "limit.ash.rate", "limit.urine.rate"};
    double share = HUGE_VAL;

    for (size_t i = 0; i < f->card->finding_count; i++) {
        const bd_finding *found = &f->card->findings[i];

        for (size_t k = 0; k < sizeof ids / sizeof ids[0] && found->level == BD_STOP; k++)
            if (strcmp(found->id, ids[k]) == 0 && found->has_limit)
                share = fmin(share, found->limit / found->value);
    }
    for (size_t i = 0; i < f->offers.count && bag_share(f) > 0.0; i++)
        share = fmin(share, f->left_g[i] / (f->mass_g[i].high * bag_share(f)));
    return share;
}

static bool has_yearly_limit(const feed *f)
{
    for (size_t i = 0; i < f->card->finding_count; i++)
        if (strcmp(f->card->findings[i].id, "limit.ash.rate") == 0 ||
            strcmp(f->card->findings[i].id, "record.year") == 0)
            return true;
    return false;
}

static const char *permitted_key(const feed *f, const leave *left)
{
    bool is_usual_less = left->usual < left->permitted;

    if (!(left->permitted > 0.0))
        return W("figure.feed_none");
    if (!f->is_dry)
        return is_usual_less ? W("figure.product_per_litre_refused")
                             : W("figure.product_per_litre_permitted");
    if (is_usual_less)
        return W("figure.product_per_bag_refused");
    if (!has_yearly_limit(f))
        return W("figure.product_per_bag_permitted");
    return f->rounds > 1.0 ? W("figure.product_per_bag_of_a_year")
                           : W("figure.product_per_bag_in_a_year");
}

static void show_share(const feed *f, size_t i, const char *ending, const char *key, double share)
{
    const bd_offer *o = &f->offers.items[i];
    const char *what = f->is_dry ? "per_bag" : "per_litre";
    double most_g = f->mass_g[i].high * share / (f->is_dry ? f->bags.count : f->brew_l);
    char id[96];

    if (f->has_meter && share > 0.0) /* less of it in the brew would be another reading */
        return;
    if (f->offers.count == 1)
        (void)snprintf(id, sizeof id, "product.%s.%s", what, ending);
    else
        (void)snprintf(id, sizeof id, "product.%.60s.%s.%s",
                       o->material == NULL ? "own" : o->material->name, what, ending);
    if (bd_card_get(f->card, id) == NULL)
        bd_card_figure(f->card, id, key, BD_ARGS(bd_name(o->title), bd_count(f->rounds)),
                       bd_exactly(most_g), f->is_dry ? "g" : "g/L");
}

/* Of each material the grams of a bag when dry, of a litre as it is poured when wet. */
static void show_permitted_product(const feed *f, size_t i, const leave *left)
{
    if (left->usual < left->permitted)
        show_share(f, i, "usual",
                   f->is_dry ? W("figure.product_per_bag_usual")
                             : W("figure.product_per_litre_usual"),
                   left->usual);
    show_share(f, i, "permitted", permitted_key(f, left), left->permitted);
}

/* The most of the feed as it is that the guard lets one bag have [L], up to `litres`. */
static bd_most most_to_pour(const feed *f, double litres)
{
    feed asked = *f;

    asked.per_bag_l = litres;
    return bd_trial_most(try_pouring, &asked, litres, HUGE_VAL);
}

/* A brew is thinned for what one bag was to get, and a bag then gets no more than it may. */
static void show_permitted_pouring(const feed *thin)
{
    double litres = bound_of(thin).litres;
    bd_most most;

    show_least_dilution(thin, thin->dilution);
    if (thin->per_bag_l > 0.0)
        litres = fmin(litres, thin->per_bag_l);
    if (!(litres < HUGE_VAL))
        return;
    most = most_to_pour(thin, litres);
    bd_card_figure(thin->card, "feed.per_bag.permitted", W("figure.feed_per_bag_permitted"),
                   BD_ARGS(bd_amount(thin->dilution - 1.0, "")),
                   bd_exactly(fmin(most.amount, most.usual)), "L");
}

/* Found by asking the guard about less and less, from the undiluted brew on: so it is the same
 * however far the brew was to be thinned.  A strength that no row stops counts as usual too. */
static leave left_of_brew(const feed *f)
{
    feed brew = *f;
    leave left = {0.0, HUGE_VAL};
    bd_card card;

    bd_card_init(&card, "");
    brew.card = &card;
    brew.err = NULL;
    brew.dilution = 1.0;
    if (judge_dose(&brew) == BD_OK) {
        bd_most most = bd_trial_most(try_less, &brew, 1.0, share_by_limits(&brew));

        left = (leave){most.amount, most.usual};
        if (bd_is_over(left.permitted, 1.0 / brew.by_strength))
            left.usual = fmin(left.usual, 1.0 / brew.by_strength);
    }
    bd_card_clear(&card);
    return left;
}

static leave left_of(const feed *f)
{
    bd_most most;

    if (!f->is_dry)
        return left_of_brew(f);
    most = bd_trial_most(try_less, f, 1.0, share_by_limits(f));
    return (leave){most.amount, most.usual};
}

/*
 * How much a stop leaves.  What no thinning helps (a waiting time, storage, gas, leaves) leaves
 * nothing, and its finding says what would.
 */
static void show_permitted(const feed *f)
{
    leave left = f->left;
    double least = f->is_dry ? 0.0 : least_dilution(&left);

    if (least > 0.0) { /* thinned as the trade would */
        feed thin = with_less(f, f->dilution / least);

        if (!(left.usual < left.permitted))
            left.permitted = 1.0 / least;
        thin.dilution = least;
        show_permitted_pouring(&thin);
    }
    for (size_t i = 0; i < f->offers.count; i++)
        show_permitted_product(f, i, &left);
    for (size_t i = 0; i < f->offers.count; i++)
        bd_card_work(f->card, W("work.asked_mass"),
                     BD_ARGS(bd_name(f->offers.items[i].title), bd_amount_range(f->mass_g[i], "g")),
                     "--mass");
}

/* The most of a feed that is not stopped: no more than the guard would let pass either. */
static void show_most_per_bag(const feed *f)
{
    double litres = f->most.litres;
    const char *by = f->most.by;
    bd_most most;

    if (!(litres < HUGE_VAL))
        return;
    most = most_to_pour(f, litres);
    if (bd_is_over(litres, most.amount)) {
        litres = most.amount;
        by = W("feed.bound_stop");
    }
    bd_card_figure(f->card, "feed.per_bag.most", W("figure.feed_most_per_bag"),
                   BD_ARGS(bd_words_arg(by)), bd_exactly(litres), "L");
}

static void show_amounts(const feed *f)
{
    bd_delivery d = f->comes;

    work_potassium(f);
    if (bd_card_verdict(f->card) == BD_STOP)
        show_permitted(f);
    else
        show_weights(f);

    if (!f->is_dry) {
        show_dilution(f);
        if (bd_card_verdict(f->card) != BD_STOP)
            show_most_per_bag(f);
        if (!f->is_one_of)
            judge_volume(f->card, f->bags.count, f->per_bag_l * f->bags.count, poured_l(f),
                         f->brew_l * fmax(least_dilution(&f->left), 1.0));
        bd_card_figure(f->card, "feed.volume", W("figure.feed_volume"), BD_NO_ARGS,
                       bd_exactly(poured_l(f)), "L");
        if (f->dilution > 1.0) {
            bd_delivery brew = f->comes;

            bd_delivery_scale(&brew, 1.0 / f->brew_l);
            bd_card_figure(f->card, "feed.brew.K", W("figure.feed_brew_k"), BD_NO_ARGS,
                           brew.amount[BD_K], "g/L");
        }
        bd_delivery_scale(&d, 1.0 / poured_l(f));
        bd_delivery_show(f->card, &d, "per_litre", W("figure.nutrient_per_litre"), "g/L");
        show_most(f, "feed.most.K.per_litre", W("figure.feed_most_k_per_litre"), 1.0 / poured_l(f),
                  "g/L");
    }
    if (!(bag_share(f) > 0.0))
        return;
    d = f->comes;
    bd_delivery_scale(&d, bag_share(f));
    bd_delivery_show(f->card, &d, "per_bag", W("figure.nutrient_per_bag"), "g");
    show_most(f, "feed.most.K.per_bag", W("figure.feed_most_k_per_bag"), bag_share(f), "g");
}

static bd_status read_feed(feed *f)
{
    bd_status status = bd_planting_read(f->know, f->request, f->card, &f->planting, f->err);

    if (status == BD_OK)
        status = bd_offers_read(f->know, f->request, f->card, &f->offers, f->err);
    if (status == BD_OK)
        status = bd_bags_read(f->know, f->request, &f->planting, f->card, &f->bags, f->err);
    if (status == BD_OK)
        status = read_materials(f);
    for (size_t i = 0; i < f->offers.count && status == BD_OK; i++)
        status = check_claim(f, i);
    if (status != BD_OK)
        return status;
    read_pouring(f);
    for (size_t i = 0; i < f->offers.count && status == BD_OK; i++)
        status = add_material(f, i);
    return status == BD_OK ? narrow_by_meter(f) : status;
}

/* Bags of one kind, from the request to all but measuring out. */
static bd_status give(feed *f)
{
    bd_handling handling = {.is_soil = true, .is_homemade = true};
    bd_status status = read_feed(f);

    if (status != BD_OK)
        return status;
    (void)bd_mix_feed_tell(f->request, f->card);
    if (!f->is_dry) {
        judge_strength(f);
        judge_per_bag(f);
    } else {
        judge_dry(f);
    }
    tell_spread(f);
    apply_rules(f);
    status = judge_record(f);
    if (status == BD_OK)
        status = show_roots(f);
    if (status != BD_OK)
        return status;
    if (!f->is_dry || bd_card_verdict(f->card) == BD_STOP)
        f->left = left_of(f);
    show_amounts(f);
    show_conductivity(f);
    status = show_need(f);
    bd_offers_handling(&f->offers, &handling);
    handling.is_dissolved = !f->is_dry;
    handling.crop = f->planting.crop;
    bd_cautions_add(f->card, f->know->catalogue, &handling);
    return status;
}

static void set_title(const feed *f, double bags, bd_card *card)
{
    bd_card_title(
        card, f->is_dry ? W("feed.title_dry") : W("feed.title"),
        BD_ARGS(bd_name(f->offers.items[0].title), bd_amount(f->brew_l, "L"), bd_count(bags)));
}

static bd_status give_kind(const bd_knowledge *know, const bd_request *all,
                           const bd_request *request, bd_card *card, bd_group_dose *dose,
                           bd_error *err)
{
    feed f = {.know = know,
              .request = request,
              .card = card,
              .err = err,
              .is_one_of = true,
              .share = 1.0,
              .by_strength = 1.0};
    bd_status status = give(&f);

    (void)all;
    if (status == BD_OK && f.is_dry) {
        (void)bd_fail(err, BD_CONFLICT, "--mass",
                      "is for all bags, and bags of several kinds do not share it alike");
        status = bd_accepts(err, "one kind of bag at a time, or a brew with --per-bag for each");
    }
    if (status != BD_OK)
        return status;
    set_title(&f, f.bags.count, card);
    *dose = (bd_group_dose){.bags = f.bags.count, .pour_l = f.per_bag_l, .rounds = f.rounds};
    return BD_OK;
}

/* One brew against the bags of all kinds. */
static void judge_brew(const bd_groups *groups, const bd_request *request, bd_card *card)
{
    const bd_figure *poured = bd_card_get(card, "feed.volume");
    double needed = 0.0, litres = poured == NULL ? 0.0 : poured->value.typical;
    double dilution = bd_request_number(request, BD_OPT_DILUTE, 1.0);
    double thinned = 1.0; /* as far as the bags that want it weakest say */

    for (size_t i = 0; i < groups->count; i++) {
        const bd_figure *least = bd_card_get(&groups->items[i].card, "feed.dilution.least");

        if (least != NULL)
            thinned = fmax(thinned, least->value.typical);
        needed += groups->items[i].dose.pour_l * groups->items[i].dose.bags;
    }
    judge_volume(card, bd_groups_bags(groups), needed, litres, litres / dilution * thinned);
}

/* The title of a kind's card, with the bags of all. */
static void title_of_all(const bd_groups *groups, bd_card *card)
{
    const bd_line *one = &groups->items[0].card.title;
    bd_arg args[BD_ARGS_MAX + 1];

    (void)bd_line_args(one, args);
    args[2] = bd_count(bd_groups_bags(groups));
    bd_card_title(card, one->key, args);
}

/* One strength for all kinds, poured to each as the list says. */
static bd_status pour_kinds(const bd_knowledge *know, const bd_request *request,
                            const bd_groups *groups, bd_card *card, bd_error *err)
{
    bd_pouring pouring = {.title = groups->items[0].card.title.args[0].text,
                          .dilution = bd_request_number(request, BD_OPT_DILUTE, 1.0),
                          .bags = bd_groups_bags(groups),
                          .per_bag_l = HUGE_VAL};

    for (size_t i = 0; i < groups->count; i++) {
        pouring.per_bag_l = fmin(pouring.per_bag_l, groups->items[i].dose.pour_l);
        pouring.needed_l += groups->items[i].dose.pour_l * groups->items[i].dose.bags;
    }
    return bd_pouring_show(know, request, &pouring, card, err);
}

static bd_status give_kinds(const bd_knowledge *know, const bd_request *request, bd_card *card,
                            bd_error *err)
{
    bd_groups groups;
    bd_group_list list = {.groups = &groups};
    bd_status status = bd_groups_run(know, request, give_kind, false, card, &groups, err);

    if (status == BD_OK) {
        title_of_all(&groups, card);
        judge_brew(&groups, request, card);
        if (bd_card_verdict(card) != BD_STOP && groups.items[0].dose.pour_l > 0.0)
            status = bd_group_list_show(&list, card, err);
        if (status == BD_OK)
            status = pour_kinds(know, request, &groups, card, err);
    }
    bd_groups_clear(&groups);
    return status;
}

bd_status bd_job_feed(const bd_knowledge *know, const bd_request *request, bd_card *card,
                      bd_error *err)
{
    feed f = {.know = know,
              .request = request,
              .card = card,
              .err = err,
              .share = 1.0,
              .by_strength = 1.0};
    bd_status status;

    if (bd_groups_count(request) > 1)
        return give_kinds(know, request, card, err);
    status = give(&f);
    if (status != BD_OK)
        return status;
    set_title(&f, f.bags.count, card);
    if (!f.is_dry)
        return bd_pouring_show(know, request,
                               &(bd_pouring){.title = f.offers.items[0].title,
                                             .dilution = f.dilution,
                                             .bags = f.bags.count,
                                             .per_bag_l = f.per_bag_l,
                                             .needed_l = f.per_bag_l * f.bags.count,
                                             .is_one_kind = true},
                               card, err);
    return bd_measuring_show(know, request,
                             &(bd_measuring){.offers = &f.offers,
                                             .amount = f.mass_g,
                                             .g_per_amount = 1.0 / f.bags.count,
                                             .portions = f.bags.count},
                             card, err);
}
