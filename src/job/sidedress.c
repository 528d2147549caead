/*
 * sidedress.c - grams of a product per bag, dry or dissolved.
 *
 * A rate made for a field is carried into the bag on one basis, the one asked
 * for, and shown beside the others: they differ several-fold and no source
 * settles which is right.
 */
#include <math.h>
#include <string.h>

#include "guard/feed_rules.h"
#include "guard/judge.h"
#include "job/bags.h"
#include "job/delivers.h"
#include "job/dissolved.h"
#include "job/ground.h"
#include "job/groups.h"
#include "job/habits.h"
#include "job/job.h"
#include "job/measuring.h"
#include "job/mix_feed.h"
#include "job/record.h"
#include "job/riders.h"
#include "job/roots.h"
#include "job/split.h"
#include "job/strength.h"
#include "job/trial.h"
#include "model/oxide.h"
#include "nutrients/cite.h"

typedef enum basis { BASIS_AREA, BASIS_PLANT, BASIS_VOLUME, BASIS_BAG } basis;

typedef struct dressing {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
    bd_offers offers;
    const bd_offer *offer;
    bd_planting planting;
    bd_bags bags;
    double rounds;
    double wait_d;                  /* the mix feeds by itself until then */
    const bd_value *per_bag_volume; /* NULL: dry */
    basis basis;
    bd_bases bases; /* g of product, whole target, per bag        */
    bool has_bases;
    double stands_for_m2; /* ground whose rate a bag gets: of the field, on the basis used */
    bd_range per_bag;     /* g of product on one bag at one dressing    */
    double permitted;     /* g on one bag at one dressing, HUGE_VAL none */
    double usual;         /* of that, what the trade gives at most; HUGE_VAL: all of it */
    bool is_for_no_bag;   /* far too much whatever the bag: what it may be is not known */
    bd_bath bath;         /* when it is dissolved                        */
} dressing;

static bd_status read_basis(dressing *d, basis natural)
{
    static const struct {
        const char *word;
        basis basis;
    } words[] = {{"area", BASIS_AREA}, {"plant", BASIS_PLANT}, {"volume", BASIS_VOLUME}};
    const bd_value *given = bd_request_get(d->request, BD_OPT_BASIS);

    d->basis = natural;
    if (given == NULL)
        return BD_OK;
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i].word, given->text) == 0) {
            d->basis = words[i].basis;
            return BD_OK;
        }
    }
    (void)bd_fail(d->err, BD_UNKNOWN, "--basis", "'%.40s' is not a basis", given->text);
    return bd_accepts(d->err, "area, plant or volume");
}

static bd_field field_of(const dressing *d)
{
    const bd_value *stand = bd_request_get(d->request, BD_OPT_FIELD_PLANTS);
    const bd_fact *layer = bd_catalogue_practice(d->know->catalogue, "plough-layer");

    return (bd_field){.plough_depth_m = layer->value.typical,
                      .bulk_density_kg_per_l =
                          bd_media_figure(d->know->media, "field-bulk-density")->value.typical,
                      .plants_per_m2 = stand == NULL ? 0.0 : stand->number.typical};
}

static bd_status need_bag_size(const dressing *d, const char *why)
{
    (void)bd_fail(d->err, BD_MISSING, "--bag-size", "is needed to turn %s into grams per bag", why);
    return bd_accepts(d->err,
                      "--bag-size \"round 30cm x 35cm\"; how many litres of mix fill it will "
                      "do: \"20L x 30cm\"");
}

/* The bases of a field rate in g of product per m2. */
static bd_status find_bases(dressing *d, double g_per_m2)
{
    bd_field field = field_of(d);
    double soil_kg = 0.0;
    bd_status status;

    if (d->bags.size == NULL)
        return need_bag_size(d, "a rate per area");
    status = bd_bag_soil_mass(&d->bags.bag, d->bags.medium->bulk_density_kg_per_l.value.typical,
                              &soil_kg, d->err);
    if (status == BD_OK)
        status = bd_bag_bases(&d->bags.bag, d->bags.plants, soil_kg, g_per_m2, &field, &d->bases,
                              d->err);
    d->has_bases = status == BD_OK;
    return status;
}

static bd_status choose_basis(dressing *d, double *g_per_bag)
{
    switch (d->basis) {
    case BASIS_PLANT:
        if (!d->bases.has_plant) {
            (void)bd_fail(d->err, BD_MISSING, "--field-plants",
                          "the plant basis needs the stand of the field and the plants of a bag");
            return bd_accepts(d->err, "--field-plants \"33000 plant/ha\" and --plants-per-bag 2");
        }
        *g_per_bag = d->bases.plant;
        return BD_OK;
    case BASIS_VOLUME:
        *g_per_bag = d->bases.volume;
        return BD_OK;
    case BASIS_AREA:
    case BASIS_BAG:
        *g_per_bag = d->bases.area;
        return BD_OK;
    }
    return BD_OK;
}

/* A rate per area, on the basis asked for. */
static bd_status from_area(dressing *d, bd_range amount, bd_range *out)
{
    double typical = 0.0;
    bd_status status = read_basis(d, BASIS_AREA);

    if (status == BD_OK)
        status = find_bases(d, amount.typical);
    if (status == BD_OK)
        status = choose_basis(d, &typical);
    if (status != BD_OK)
        return status;
    d->stands_for_m2 = typical / amount.typical;
    *out = bd_range_scale(amount, d->stands_for_m2);
    return BD_OK;
}

static bd_status from_plant(dressing *d, bd_range amount, bd_range *out)
{
    d->basis = BASIS_PLANT;
    *out = bd_range_scale(amount, d->bags.plants);
    if (d->bags.plants > 0.0)
        return BD_OK;
    (void)bd_fail(d->err, BD_MISSING, "--plants-per-bag", "is needed for a rate per plant");
    return bd_accepts(d->err, "--plants-per-bag N, or --spacing with --bag-size");
}

/* So much product to the litre of a feed that is poured: labels mean a litre of water. */
static bool is_of_water(const dressing *d, const bd_target *t)
{
    return d->per_bag_volume != NULL && t->is_product;
}

/* A nutrient by the litre is of the mix; beside a pour that may be misread. */
static void tell_of_mix(const dressing *d)
{
    if (d->per_bag_volume != NULL)
        bd_card_find(d->card, "target.of_mix", BD_CARE, W("assume.target_of_mix"), BD_NO_ARGS, "");
    else
        bd_card_assume(d->card, "target.of_mix", W("assume.target_of_mix"), BD_NO_ARGS, NULL, "",
                       "common practice, no source");
}

/* Product per bag for the whole target; `amount` is in the target's own unit. */
static bd_status per_bag_of(dressing *d, const bd_target *t, bd_range amount, bd_range *out)
{
    d->basis = BASIS_BAG;
    if (t->kind == BD_KIND_MASS_PER_AREA)
        return from_area(d, amount, out);
    if (t->kind == BD_KIND_MASS_PER_PLANT)
        return from_plant(d, amount, out);
    if (t->kind == BD_KIND_STRENGTH && is_of_water(d, t)) {
        *out = bd_range_scale(amount, d->per_bag_volume->number.typical * d->rounds);
        return BD_OK;
    }
    if (t->kind == BD_KIND_STRENGTH) {
        d->basis = BASIS_VOLUME;
        tell_of_mix(d);
        *out = bd_range_scale(amount, d->bags.bag.volume_l);
        return d->bags.size == NULL ? need_bag_size(d, "a rate per litre of mix") : BD_OK;
    }
    if (t->kind == BD_KIND_MASS_PER_BAG) {
        *out = amount;
        return BD_OK;
    }
    if (t->kind == BD_KIND_MASS) {
        *out = bd_range_scale(amount, 1.0 / d->bags.count);
        bd_card_assume(d->card, "target.mass", W("assume.target_for_all_bags"),
                       BD_ARGS(bd_count(d->bags.count)), NULL, "", "common practice, no source");
        return BD_OK;
    }
    (void)bd_fail(d->err, BD_DIMENSION, "--target", "%s is no rate for bags",
                  bd_kind_words(t->kind));
    return bd_accepts(d->err, "\"K2O 120 kg/ha\", \"K2O 0.5 g/plant\", \"K2O 6 g/bag\" or "
                              "\"K2O 0.4 g/L\" of mix");
}

static const char *basis_words(basis b)
{
    static const char *const words[] = {W("basis.area"), W("basis.plant"), W("basis.volume"),
                                        W("basis.bag")};

    return words[b];
}

static void basis_row(const dressing *d, bd_table *t, const char *key, bool has, double g_per_bag)
{
    if (!has)
        return;
    bd_table_line(d->card, t, key, BD_NO_ARGS);
    bd_table_number(d->card, t, g_per_bag);
    bd_table_number(d->card, t, g_per_bag / d->rounds);
    bd_table_number(d->card, t, g_per_bag * d->bags.count);
}

/* Each basis redone: g of product per m2 of field, carried into one bag. */
static void work_bases(const dressing *d)
{
    static const char source[] = "bag and field, as assumed or given";
    const bd_bag *bag = &d->bags.bag;
    bd_field field = field_of(d);
    double g_per_m2 = d->bases.area / bag->area_m2;
    double layer_l_per_m2 = 1000.0 * field.plough_depth_m;

    bd_card_work(d->card, W("work.basis_area"),
                 BD_ARGS(bd_exact(g_per_m2, "g/m2"), bd_exact(bag->area_m2, "m2"),
                         bd_exact(d->bases.area, "g")),
                 source);
    if (d->bases.has_plant)
        bd_card_work(d->card, W("work.basis_plant"),
                     BD_ARGS(bd_exact(g_per_m2, "g/m2"), bd_exact(field.plants_per_m2, ""),
                             bd_count(d->bags.plants), bd_exact(d->bases.plant, "g")),
                     source);
    if (d->bases.has_volume)
        bd_card_work(d->card, W("work.basis_volume"),
                     BD_ARGS(bd_exact(g_per_m2, "g/m2"), bd_exact(layer_l_per_m2, "L"),
                             bd_exact(bag->volume_l, "L"), bd_exact(d->bases.volume, "g")),
                     source);
}

static void show_bases(const dressing *d)
{
    bd_table *t;

    if (!d->has_bases)
        return;
    work_bases(d);
    t = bd_card_table(d->card, "bases", W("table.bases"),
                      BD_ARGS(bd_words_arg(basis_words(d->basis))));
    bd_table_column(d->card, t, "basis", W("column.basis"), "");
    bd_table_column(d->card, t, "product_per_bag", W("column.season_per_bag"), "g");
    bd_table_column(d->card, t, "product_per_bag_round", W("column.per_bag"), "g");
    bd_table_column(d->card, t, "product_total", W("column.season_total"), "g");
    basis_row(d, t, W("basis.area"), d->bases.has_area, d->bases.area);
    basis_row(d, t, W("basis.plant"), d->bases.has_plant, d->bases.plant);
    basis_row(d, t, W("basis.volume"), d->bases.has_volume, d->bases.volume);
    basis_row(d, t, W("basis.mass"), d->bases.has_mass, d->bases.mass);
    bd_card_find(d->card, "basis.spread", d->bases.spread > 2.0 ? BD_CARE : BD_NOTE,
                 W("basis.spread"),
                 BD_ARGS(bd_amount(d->bases.spread, ""), bd_words_arg(basis_words(d->basis))),
                 "common practice, no source");
}

/* How much of a bag's dose is one unit of a label's rate: 1 for a rate per bag, 0 where the two
 * cannot be compared. */
static double units_per_bag(const dressing *d, bd_kind kind)
{
    if (kind == BD_KIND_MASS_PER_BAG)
        return 1.0;
    if (kind == BD_KIND_MASS_PER_AREA && d->bags.size != NULL)
        return d->bags.bag.area_m2;
    if (kind == BD_KIND_MASS_PER_PLANT)
        return d->bags.plants;
    if (kind == BD_KIND_STRENGTH && d->per_bag_volume != NULL)
        return d->per_bag_volume->number.typical;
    return 0.0;
}

/* What the label allows on one bag at one dressing [g]; 0 where it does not say. */
static double label_g_per_bag(const dressing *d)
{
    const bd_value *label = d->offer->label_max;

    return label == NULL ? 0.0 : label->number.typical * units_per_bag(d, label->kind);
}

/* The product's dose, counted as `unit`, of which a bag holds `per_bag`, against its ceiling; gives
 * back the most that does not stop [g per bag]. */
static double judge(dressing *d, const char *id, double per_bag, const char *unit,
                    const bd_ceiling_query *query, bool is_silent)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(d->know->catalogue, &count);
    bd_judged judged = {.id = id,
                        .name = d->offer->title,
                        .value = d->per_bag.high / per_bag,
                        .unit = unit,
                        .label_max = label_g_per_bag(d) / per_bag,
                        .is_label_told = true,
                        .ceiling = bd_ceiling_find(limits, count, query),
                        .is_silent_when_unknown = is_silent};

    return per_bag * bd_judge(d->card, &judged);
}

/* What lye or acid brings of a nutrient to a bag, besides [g]. */
static double by_titrant(const dressing *d, bd_nutrient_form form)
{
    double g_per_l = bd_titrant_brings(&d->bath.titrant, form.nutrient);

    return d->per_bag_volume == NULL
               ? 0.0
               : bd_as_form(form, g_per_l) * d->per_bag_volume->number.typical;
}

/* A nutrient of the dose over an area against a ceiling on it. */
static void judge_nutrient(dressing *d, const char *id, const bd_ceiling *ceiling, double area_m2)
{
    bd_nutrient_form form = ceiling->limit->nutrient;
    double share = bd_product_share(&d->offer->product, form).high;
    double own = d->per_bag.high * share, beside = by_titrant(d, form);
    bd_judged judged = {.id = id,
                        .name = bd_nutrient_form_name(form),
                        .value = (own + beside) / area_m2,
                        .unit = "g/m2",
                        .label_max = beside > 0.0 ? 0.0 : label_g_per_bag(d) * share / area_m2,
                        .is_label_told = true,
                        .other_use_key =
                            bd_offer_feeds_slowly(d->offer) ? W("guard.over_if_mineral") : NULL,
                        .ceiling = *ceiling};

    d->permitted =
        fmin(d->permitted, bd_judge(d->card, &judged) * area_m2 / share * own / (own + beside));
}

/* A limit on a nutrient per area of the bag's mouth at one dressing, whatever the product. */
static void judge_nutrient_per_area(dressing *d, bd_nutrient n, const char *id)
{
    bd_ceiling ceiling =
        bd_ceiling_per_area(d->know->catalogue, BD_USE_SIDEDRESS, n, d->planting.groups);

    if (ceiling.limit != NULL && bd_product_holds(&d->offer->product, n))
        judge_nutrient(d, id, &ceiling, d->bags.bag.area_m2);
}

/* Boron of all dressings.  Without a size only what is too much for the largest bag shows. */
static void judge_boron(dressing *d)
{
    double most =
        bd_riders_judge_boron(d->know, &d->planting, &d->bags,
                              &(bd_season_dose){.offer = d->offer,
                                                .g = d->per_bag.high * d->rounds,
                                                .label_g = label_g_per_bag(d) * d->rounds},
                              d->card);

    if (!(most < HUGE_VAL))
        return;
    d->permitted = fmin(d->permitted, most / d->rounds);
    d->is_for_no_bag |= d->bags.size == NULL;
}

static void judge_dry(dressing *d)
{
    const char *material = d->offer->material == NULL ? "" : d->offer->material->name;
    bd_ceiling_query query = {.material = material,
                              .use = BD_USE_SIDEDRESS,
                              .of = BD_LIMIT_PRODUCT_PER_AREA,
                              .groups = d->planting.groups};
    double area = d->bags.size == NULL ? 0.0 : d->bags.bag.area_m2, plants = d->bags.plants;
    bool has_own = bd_feed_has_own_rate(d->offer->material, area);

    if (area > 0.0)
        d->permitted =
            fmin(d->permitted, judge(d, "limit.sidedress", area, "g/m2", &query, has_own));
    query.of = BD_LIMIT_PRODUCT_PER_PLANT;
    if (plants > 0.0)
        d->permitted = fmin(d->permitted, judge(d, "limit.sidedress.plant", plants, "g/plant",
                                                &query, has_own || area > 0.0));
    if (!(area > 0.0) && !(plants > 0.0))
        bd_card_find(d->card, "limit.sidedress", BD_CARE, W("sidedress.no_size"), BD_NO_ARGS, "");
}

/* Ash, urine and the like have rules of their own, however they are given. */
static void judge_homemade(dressing *d)
{
    const bd_material *m = d->offer->material;
    double area = d->bags.size == NULL ? 0.0 : d->bags.bag.area_m2 * d->bags.count;
    const bd_value *left = bd_request_get(d->request, BD_OPT_DAYS_LEFT);
    const bd_value *ph = bd_request_get(d->request, BD_OPT_MEDIUM_PH);
    const bd_value *stored = bd_request_get(d->request, BD_OPT_STORED);
    bd_feed_facts facts = {.catalogue = d->know->catalogue,
                           .materials = {m},
                           .given_g = {d->per_bag.high * d->bags.count},
                           .count = 1,
                           .crop = d->planting.crop,
                           .is_dry = d->per_bag_volume == NULL,
                           .has_days_left = left != NULL,
                           .days_left = left == NULL ? 0.0 : left->number.low,
                           .has_medium_ph = ph != NULL,
                           .medium_ph = ph == NULL ? 0.0 : ph->number.typical,
                           .has_stored = stored != NULL,
                           .stored_days = stored == NULL ? 0.0 : stored->number.typical,
                           .area_m2 = area,
                           .rounds = d->rounds};

    if (m == NULL || m->kind != BD_HOMEMADE)
        return;
    if (d->offer->product.is_liquid)
        facts.given_l[0] = facts.given_g[0] / (1000.0 * d->offer->product.density_kg_per_l);
    if (area > 0.0)
        facts.label_g_per_m2[0] = label_g_per_bag(d) * d->rounds * d->bags.count / area;
    bd_feed_rules_apply(d->card, &facts);
}

/* The label holds however the dose is given; what cannot be compared with it is said. */
static void judge_label(dressing *d)
{
    const bd_value *label = d->offer->label_max;
    double per_bag = label == NULL ? 0.0 : units_per_bag(d, label->kind);
    bd_judged judged = {.id = "limit.label",
                        .name = d->offer->title,
                        .unit = label == NULL ? "" : bd_kind_unit(label->kind),
                        .is_silent_when_unknown = true};

    if (label == NULL)
        return;
    if (!(per_bag > 0.0)) {
        bd_label_not_judged(d->offer, d->card);
        return;
    }
    judged.value = d->per_bag.high / per_bag;
    judged.label_max = label->number.typical;
    d->permitted = fmin(d->permitted, bd_judge(d->card, &judged) * per_bag);
}

/* Dissolved: strength against the drench ceilings of the product and of its nutrients. */
static bd_status judge_dissolved(dressing *d)
{
    bd_use use = d->planting.is_seedling ? BD_USE_SEEDLING : BD_USE_DRENCH;
    double volume_l = d->per_bag_volume->number.typical, most;
    bd_status status;

    d->bath.doses[0] = (bd_bath_dose){d->offer, bd_range_scale(d->per_bag, 1.0 / volume_l),
                                      label_g_per_bag(d) / volume_l, true};
    d->bath.count = 1;
    status = bd_bath_solve(&d->bath, d->know, d->request, d->card, d->err);
    if (status != BD_OK)
        return status;
    most = d->bath.most_soluble;
    if (!bd_feed_has_own_rate(d->offer->material, d->bags.size == NULL ? 0.0 : d->bags.bag.area_m2))
        most = fmin(most, bd_strength_judge(d->know, &d->planting, &d->bath.doses[0], use,
                                            "limit.drench", d->card));
    bd_bath_judge_nutrients(&d->bath, d->know, &d->planting, use, d->card);
    d->permitted = fmin(d->permitted, most * volume_l);
    return BD_OK;
}

/* A slip of the hand, against the richest guide. */
static void judge_target(dressing *d)
{
    double season_g = d->per_bag.typical * d->rounds;

    if (bd_riders_judge_target(d->know, &d->planting, d->offer, season_g / d->stands_for_m2,
                               d->card))
        d->is_for_no_bag |= d->bags.size == NULL;
}

/* Every limit that the dose can break: the label's, the product's, the salt's in the bag. */
static bd_status judge_dose(dressing *d)
{
    bd_status status = BD_OK;

    judge_target(d);
    judge_label(d);
    if (d->per_bag_volume != NULL)
        status = judge_dissolved(d);
    else
        judge_dry(d);
    if (d->bags.size != NULL) {
        judge_nutrient_per_area(d, BD_N, "limit.sidedress.N");
        judge_nutrient_per_area(d, BD_K, "limit.sidedress.K2O");
    }
    judge_boron(d);
    judge_homemade(d);
    if (status != BD_OK)
        return status;
    return bd_roots_show(
        d->know, d->request, &d->planting, &d->bags, d->offer, d->per_bag, d->rounds,
        d->per_bag_volume == NULL ? 0.0 : d->per_bag_volume->number.typical,
        d->per_bag_volume == NULL ? 0.0 : d->bath.titrant.mol_per_l, d->card, d->err);
}

/* What the bags have had already bounds what they may still get. */
static bd_status judge_record(dressing *d)
{
    bd_record_bags bags = {d->bags.size == NULL ? 0.0 : d->bags.bag.area_m2, d->planting.groups};
    bd_record_dose dose = bd_record_dose_of(
        d->offer, d->per_bag_volume == NULL ? BD_RECORD_SIDEDRESS : BD_RECORD_DRENCH, d->per_bag,
        d->rounds);
    bd_status status = bd_record_judge(d->know, d->request, &bags, &dose, 1, d->card, d->err);

    d->permitted = fmin(d->permitted, dose.permitted_g_per_bag);
    return status;
}

static bd_status try_dose(const void *what, double share, bd_card *card)
{
    dressing less = *(const dressing *)what;

    less.card = card;
    less.err = NULL;
    memset(&less.bath, 0, sizeof less.bath);
    less.per_bag = bd_range_scale(less.per_bag, share);
    return judge_dose(&less);
}

/* All that the season is to bring, in feeds weaker by a share. */
static bd_status try_season(const void *what, double share, bd_card *card)
{
    dressing split = *(const dressing *)what;
    bd_status status;

    split.card = card;
    split.err = NULL;
    memset(&split.bath, 0, sizeof split.bath);
    split.per_bag = bd_range_scale(split.per_bag, share);
    split.rounds /= share;
    status = judge_dose(&split);
    return status == BD_OK ? judge_record(&split) : status;
}

static bd_splitting splitting_of(const dressing *d)
{
    double pour_l = d->per_bag_volume == NULL ? 0.0 : d->per_bag_volume->number.typical;

    return (bd_splitting){
        .know = d->know,
        .request = d->request,
        .planting = &d->planting,
        .bath = &d->bath,
        .season_g = d->per_bag.high * d->rounds,
        .per_bag_l = pour_l,
        .label_g_per_l = pour_l > 0.0 ? label_g_per_bag(d) * d->offer->label_surely / pour_l : 0.0,
        .is_over_label = bd_is_over(d->per_bag.high, label_g_per_bag(d)),
        .judge_season = try_season,
        .judged = d};
}

static void find_permitted(dressing *d)
{
    bd_most most = bd_trial_most(try_dose, d, d->per_bag.high, d->permitted);

    d->permitted = most.amount;
    d->usual = most.usual;
    if (label_g_per_bag(d) > 0.0) /* however loosely the product lies */
        d->permitted = fmin(d->permitted, label_g_per_bag(d) * d->offer->label_surely);
}

static void work_dose(const dressing *d)
{
    double each = d->per_bag.typical;

    if (d->rounds > 1.0)
        bd_card_work(
            d->card, W("work.rounds"),
            BD_ARGS(bd_exact(each * d->rounds, "g"), bd_count(d->rounds), bd_exact(each, "g")),
            "--rounds");
    bd_card_work(
        d->card, W("work.all_bags"),
        BD_ARGS(bd_exact(each, "g"), bd_count(d->bags.count), bd_exact(each * d->bags.count, "g")),
        "--bags");
    bd_delivery_work(d->card, &d->offer->product, each, "g");
    if (d->bags.size != NULL)
        bd_card_work(d->card, W("work.per_area"),
                     BD_ARGS(bd_exact(each, "g"), bd_exact(d->bags.bag.area_m2, "m2"),
                             bd_exact(each / d->bags.bag.area_m2, "g/m2")),
                     "");
    if (d->per_bag_volume != NULL)
        bd_card_work(d->card, W("work.strength"),
                     BD_ARGS(bd_exact(each, "g"), bd_exact(d->per_bag_volume->number.typical, "L"),
                             bd_exact(each / d->per_bag_volume->number.typical, "g/L")),
                     "--per-bag");
}

/* A feed's strength and the days to the next are told together; 0 where it is none. */
static double days_apart(const dressing *d, double g_per_bag)
{
    bd_splitting splitting;

    if (d->per_bag_volume == NULL)
        return 0.0;
    splitting = splitting_of(d);
    return bd_split_days_apart(&splitting, g_per_bag / splitting.per_bag_l);
}

static const char *permitted_words(const dressing *d, double apart_d)
{
    if (apart_d > 0.0)
        return W("figure.product_per_bag_permitted_apart");
    if (d->per_bag_volume == NULL || !(d->permitted > 0.0))
        return W("figure.product_per_bag_permitted");
    return d->rounds > 1.0 ? W("figure.product_per_bag_permitted_times")
                           : W("figure.product_per_bag_permitted_once");
}

static void show_permitted(const dressing *d)
{
    bool has_usual = d->usual < d->permitted;
    double apart_d = days_apart(d, has_usual ? d->usual : d->permitted);

    if (d->is_for_no_bag)
        return;
    if (has_usual)
        bd_card_figure(d->card, "product.per_bag.usual",
                       apart_d > 0.0 ? W("figure.product_per_bag_usual_apart")
                                     : W("figure.product_per_bag_usual"),
                       BD_ARGS(bd_name(d->offer->title), bd_count(apart_d)), bd_exactly(d->usual),
                       "g");
    bd_card_figure(d->card, "product.per_bag.permitted",
                   has_usual ? W("figure.product_per_bag_refused") : permitted_words(d, apart_d),
                   BD_ARGS(bd_name(d->offer->title), bd_count(apart_d), bd_count(d->rounds)),
                   bd_exactly(d->permitted), "g");
    if (d->offer->product.is_liquid)
        bd_card_figure(d->card, "product.volume_per_bag.permitted",
                       W("figure.product_volume_per_bag"), BD_NO_ARGS,
                       bd_exactly(d->permitted / d->offer->product.density_kg_per_l), "mL");
}

static void show_amounts(const dressing *d)
{
    bd_delivery gives = {{{0, 0, 0}}};
    bool is_stop = bd_card_verdict(d->card) == BD_STOP;
    double bags = d->bags.count;

    work_dose(d);
    if (!is_stop) {
        bd_card_figure(d->card, "product.per_bag", W("figure.product_per_bag"),
                       BD_ARGS(bd_name(d->offer->title)), d->per_bag, "g");
        bd_card_figure(d->card, "product.total", W("figure.product_total"), BD_ARGS(bd_count(bags)),
                       bd_range_scale(d->per_bag, bags), "g");
        if (d->rounds > 1.0) {
            bd_card_figure(d->card, "product.season_per_bag", W("figure.product_season_per_bag"),
                           BD_ARGS(bd_count(d->rounds)), bd_range_scale(d->per_bag, d->rounds),
                           "g");
            bd_card_figure(d->card, "product.season_total", W("figure.product_season_total"),
                           BD_ARGS(bd_count(d->rounds), bd_count(bags)),
                           bd_range_scale(d->per_bag, d->rounds * bags), "g");
        }
        if (d->offer->product.is_liquid)
            bd_card_figure(
                d->card, "product.volume_per_bag", W("figure.product_volume_per_bag"), BD_NO_ARGS,
                bd_range_scale(d->per_bag, 1.0 / d->offer->product.density_kg_per_l), "mL");
    } else {
        bd_card_work(d->card, W("work.asked_per_bag"),
                     BD_ARGS(bd_name(d->offer->title), bd_exact(d->per_bag.typical, "g")),
                     "--target");
        show_permitted(d);
    }
    bd_delivery_add(&gives, &d->offer->product, d->per_bag);
    if (d->per_bag_volume != NULL)
        bd_titrant_deliver(&d->bath.titrant, d->per_bag_volume->number.typical, &gives);
    bd_delivery_show(d->card, &gives, "per_bag", W("figure.nutrient_per_bag"), "g");
}

static void show_dissolved(const dressing *d)
{
    double volume_l = d->per_bag_volume->number.typical;
    bd_delivery gives = {{{0, 0, 0}}};

    bd_delivery_add(&gives, &d->offer->product, bd_range_scale(d->per_bag, 1.0 / volume_l));
    bd_titrant_deliver(&d->bath.titrant, 1.0, &gives);
    bd_delivery_show(d->card, &gives, "per_litre", W("figure.nutrient_per_litre"), "g/L");
    bd_titrant_show(&d->bath.titrant, volume_l * d->bags.count, "total", d->card);
    if (bd_card_verdict(d->card) == BD_STOP)
        return;
    bd_card_figure(d->card, "product.per_litre", W("figure.product_per_litre"),
                   BD_ARGS(bd_name(d->offer->title)), bd_range_scale(d->per_bag, 1.0 / volume_l),
                   "g/L");
    bd_card_figure(d->card, "feed.volume_total", W("figure.feed_volume_total"),
                   BD_ARGS(bd_count(d->bags.count)), bd_exactly(volume_l * d->bags.count), "L");
}

static bd_status show_need(const dressing *d)
{
    const bd_value *need = bd_request_get(d->request, BD_OPT_NEED);
    bd_delivery gives = {{{0, 0, 0}}};

    if (need == NULL)
        return BD_OK;
    bd_delivery_add(&gives, &d->offer->product, d->per_bag);
    if (d->per_bag_volume != NULL)
        bd_titrant_deliver(&d->bath.titrant, d->per_bag_volume->number.typical, &gives);
    return bd_need_show(d->card, need, &gives, d->bags.size, d->bags.plants, d->bags.count, d->err);
}

/* Ground that a bag counts as, on the basis that lets most through: a number for a bag or a plant
 * came by none, and only what no basis explains is a slip.  Of a bag whose size nobody said, the
 * widest top there is. */
static double most_ground_m2(const dressing *d)
{
    bd_field field = field_of(d);
    bd_stand stand = {.crop = d->planting.crop,
                      .plants = d->bags.plants,
                      .field_per_m2 = field.plants_per_m2,
                      .basis = BD_BASIS_NONE};
    bd_ground by_plants = bd_ground_of(&stand, BD_K);
    double m2;

    if (d->bags.size == NULL)
        return bd_catalogue_practice(d->know->catalogue, "largest-bag-top")->value.typical;
    m2 = fmax(d->bags.bag.area_m2, d->bags.bag.volume_l / (1000.0 * field.plough_depth_m));
    return fmax(m2, bd_ground_m2(&by_plants, d->bags.bag.area_m2, d->bags.plants));
}

static bd_status read_dressing(dressing *d)
{
    bd_status status = bd_planting_read(d->know, d->request, d->card, &d->planting, d->err);
    const bd_value *rounds = bd_request_get(d->request, BD_OPT_ROUNDS);
    bd_range amount = {0, 0, 0};

    if (status == BD_OK)
        status = bd_offers_read(d->know, d->request, d->card, &d->offers, d->err);
    if (status == BD_OK && d->offers.count > 1) {
        (void)bd_fail(d->err, BD_CONFLICT, "--material", "a side-dressing is of one product");
        status = bd_accepts(d->err, "one product here; a tank mix belongs to spray");
    }
    if (status == BD_OK)
        status = bd_bags_read(d->know, d->request, &d->planting, d->card, &d->bags, d->err);
    if (status != BD_OK)
        return status;
    d->offer = &d->offers.items[0];
    d->rounds = rounds == NULL ? 1.0 : rounds->number.typical;
    d->per_bag_volume = bd_request_get(d->request, BD_OPT_PER_BAG);
    if (d->offer->target == NULL) {
        (void)bd_fail(d->err, BD_MISSING, "--target", "says how much to give");
        return bd_accepts(d->err, "\"K2O 120 kg/ha\", \"K2O 0.5 g/plant\", \"K2O 6 g/bag\"");
    }
    status = bd_offer_amount(d->offer, &d->offer->target->target, d->card, &amount, d->err);
    if (status == BD_OK && !(amount.high > 0.0)) {
        (void)bd_fail(d->err, BD_RANGE, "--target", "'%.60s' is nothing to give",
                      d->offer->target->text);
        status = bd_accepts(d->err, "an amount above zero");
    }
    d->stands_for_m2 = most_ground_m2(d);
    if (status == BD_OK)
        status = per_bag_of(d, &d->offer->target->target, amount, &d->per_bag);
    d->per_bag = bd_range_scale(d->per_bag, 1.0 / d->rounds);
    return status;
}

static void show_split(const dressing *d)
{
    bd_splitting splitting = splitting_of(d);

    if (d->per_bag_volume != NULL)
        bd_split_show(&splitting, d->card);
}

/* Bags of one kind, from the request to all but measuring out. */
static bd_status dress(dressing *d)
{
    bd_handling handling = {.is_soil = true};
    bd_status status = read_dressing(d);

    if (status != BD_OK)
        return status;
    d->wait_d = bd_mix_feed_tell(d->request, d->card);
    show_bases(d);
    bd_habits_tell_growing(d->know, &d->planting, d->card);
    bd_habits_tell_dressing(d->know, &d->planting, d->card);
    status = judge_dose(d);
    if (status == BD_OK)
        status = judge_record(d);
    if (status != BD_OK)
        return status;
    bd_riders_tell_chloride(&d->planting, &d->offers, d->card);
    if (d->bags.size != NULL)
        bd_riders_tell_guides(&d->planting, d->offer, bd_range_scale(d->per_bag, d->rounds),
                              d->bags.bag.area_m2, d->card);
    else
        bd_riders_tell_removal(&d->planting, d->offer, d->card);
    if (bd_card_verdict(d->card) == BD_STOP)
        find_permitted(d);
    show_amounts(d);
    if (d->per_bag_volume != NULL) {
        show_dissolved(d);
        bd_bath_show(&d->bath, d->know, d->card);
    }
    status = show_need(d);
    if (status == BD_OK)
        show_split(d);
    bd_offers_handling(&d->offers, &handling);
    if (d->per_bag_volume != NULL &&
        bd_titrant_can_be_measured(&d->bath.titrant,
                                   d->per_bag_volume->number.typical * d->bags.count))
        bd_titrant_handling(&d->bath.titrant, &handling);
    handling.is_dissolved = d->per_bag_volume != NULL;
    handling.is_seedling = d->planting.is_seedling;
    handling.crop = d->planting.crop;
    bd_cautions_add(d->card, d->know->catalogue, &handling);
    return status;
}

static bd_status dress_kind(const bd_knowledge *know, const bd_request *all,
                            const bd_request *request, bd_card *card, bd_group_dose *dose,
                            bd_error *err)
{
    dressing d = {.know = know,
                  .request = request,
                  .card = card,
                  .err = err,
                  .permitted = HUGE_VAL,
                  .usual = HUGE_VAL};
    bd_status status = dress(&d);

    (void)all;
    if (status == BD_OK)
        *dose = (bd_group_dose){
            .bags = d.bags.count,
            .per_bag_g = d.per_bag,
            .pour_l = d.per_bag_volume == NULL ? 0.0 : d.per_bag_volume->number.typical,
            .rounds = d.rounds};
    return status;
}

/* Offers are read again: each kind's stood on a card of its own. */
static bd_status measure_kinds(const bd_knowledge *know, const bd_request *request,
                               const bd_groups *groups, bd_card *card, bd_error *err)
{
    const bd_value *stage = bd_request_get(request, BD_OPT_STAGE);
    bd_measuring measuring = {.groups = groups,
                              .is_seedling = stage != NULL && strcmp(stage->text, "seedling") == 0};
    bd_offers offers;
    bd_card aside;
    bd_status status;

    bd_card_init(&aside, "");
    status = bd_offers_read(know, request, &aside, &offers, err);
    bd_card_clear(&aside);
    if (status != BD_OK)
        return status;
    bd_card_title(card, W("groups.title"),
                  BD_ARGS(bd_name(offers.items[0].title), bd_count((double)groups->count),
                          bd_count(bd_groups_bags(groups)),
                          bd_count(groups->items[0].dose.rounds)));
    measuring.offers = &offers;
    return bd_measuring_show(know, request, &measuring, card, err);
}

static bd_status dress_kinds(const bd_knowledge *know, const bd_request *request, bd_card *card,
                             bd_error *err)
{
    bd_groups groups;
    bd_status status = bd_groups_run(know, request, dress_kind, false, card, &groups, err);

    if (status == BD_OK)
        status = measure_kinds(know, request, &groups, card, err);
    bd_groups_clear(&groups);
    return status;
}

static bd_status measure_out(const dressing *d)
{
    bd_measuring measuring = {
        .offers = &d->offers,
        .amount = &d->per_bag,
        .g_per_amount = 1.0,
        .portions = d->bags.count,
        .pour_l = d->per_bag_volume == NULL ? 0.0 : d->per_bag_volume->number.typical,
        .is_seedling = d->planting.is_seedling};

    return bd_measuring_show(d->know, d->request, &measuring, d->card, d->err);
}

bd_status bd_job_sidedress(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_error *err)
{
    dressing d = {.know = know,
                  .request = request,
                  .card = card,
                  .err = err,
                  .permitted = HUGE_VAL,
                  .usual = HUGE_VAL};
    bd_status status;

    if (bd_groups_count(request) > 1)
        return dress_kinds(know, request, card, err);
    status = dress(&d);
    if (status != BD_OK)
        return status;
    bd_card_title(card, d.wait_d > 0.0 ? W("sidedress.title_wait") : W("sidedress.title"),
                  BD_ARGS(bd_name(d.offer->title), bd_count(d.bags.count), bd_count(d.rounds),
                          bd_amount(d.wait_d, "d")));
    return measure_out(&d);
}
