#include "job/offers.h"

#include <stdio.h>
#include <string.h>

#include "job/by_volume.h"
#include "model/oxide.h"
#include "nutrients/cite.h"
#include "request/label_text.h"

static const double most_k2o_of_a_salt = 0.64; /* pure potassium chloride holds 0.632 */

/* Who asks, and where it is answered. */
typedef struct asking {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
} asking;

static bd_status read_label(const bd_value *options, bd_label *label, bd_error *err)
{
    bd_convention convention = BD_CONVENTION_NONE;
    bd_status status = BD_OK;

    if (options[BD_OPT_CONVENTION].is_given)
        status = bd_convention_read(options[BD_OPT_CONVENTION].text, &convention, err);
    if (status == BD_OK)
        status = bd_label_read(options[BD_OPT_ANALYSIS].text, convention, label, err);
    bd_error_at(err, "--analysis");
    return status;
}

static void name_offer(const bd_value *options, bd_offer *o)
{
    const char *grade = "";

    if (options[BD_OPT_ANALYSIS].is_given)
        grade = options[BD_OPT_ANALYSIS].text;
    else if (o->material != NULL && !options[BD_OPT_PURE].is_given &&
             strchr(o->material->grade, '-') != NULL)
        grade = o->material->grade;
    (void)snprintf(o->title, sizeof o->title, "%.60s%s%.30s",
                   o->material == NULL ? "own product" : o->material->title,
                   grade[0] == '\0' ? "" : " ", grade);
}

/* A share of potassium no salt sold as feed can have is a misread label or another substance. */
static bd_status check_own_label(const bd_label *label, bd_error *err)
{
    static const bd_nutrient_form k2o = {BD_K, true};
    double share = bd_as_form(k2o, label->share[BD_K]);

    if (share <= most_k2o_of_a_salt)
        return BD_OK;
    (void)bd_fail(err, BD_RANGE, "--analysis", "no potassium feed salt holds %.3g %% K2O",
                  100.0 * share);
    return bd_accepts(err,
                      "the label as printed; with the salt named by --material when it is known");
}

static void tell_label(bd_card *card, const bd_offer *o, const bd_label *label, bool is_near)
{
    const char *key = label->convention == BD_CONVENTION_OXIDE   ? W("assume.label_oxide")
                      : label->convention == BD_CONVENTION_RATIO ? W("assume.label_ratio")
                                                                 : W("assume.label_element");
    static const bd_nutrient_form p2o5 = {BD_P, true}, k2o = {BD_K, true};

    if (label->convention != BD_CONVENTION_NAMED)
        bd_card_assume(card, "label.reading", key,
                       BD_ARGS(bd_name(o->title), bd_exact(100 * label->share[BD_N], "%"),
                               bd_exact(100 * bd_as_form(p2o5, label->share[BD_P]), "%"),
                               bd_exact(100 * label->share[BD_P], "%"),
                               bd_exact(100 * bd_as_form(k2o, label->share[BD_K]), "%"),
                               bd_exact(100 * label->share[BD_K], "%")),
                       NULL, "", label->is_assumed ? "common practice, no source" : "--convention");
    if (is_near)
        bd_card_find(card, "label.near_pure", BD_NOTE, W("label.near_pure"),
                     BD_ARGS(bd_name(o->title)), "atomic weights");
}

static void tell_catalogue(bd_card *card, const bd_offer *o, bool is_pure)
{
    char source[BD_CITE_SIZE] = "atomic weights";
    bd_nutrient main_nutrient = o->material->main_nutrient;

    if (is_pure) {
        bd_card_assume(card, "label.pure", W("assume.pure"), BD_ARGS(bd_name(o->title)), NULL, "",
                       source);
        return;
    }
    if (o->material->main_nutrient_known && o->material->analysis[main_nutrient].is_known)
        (void)bd_cite_fact(&o->material->analysis[main_nutrient], source);
    bd_card_assume(card, "label.usual",
                   o->material->kind == BD_HOMEMADE ? W("assume.homemade_range")
                                                    : W("assume.usual_grade"),
                   BD_ARGS(bd_name(o->title)), NULL, "", source);
}

/* The target by mass, whatever it counts. */
static bd_status take_target(const asking *a, const bd_value *given, bd_offer *o,
                             bool *is_by_volume)
{
    bd_target *t = &o->own_target.target;
    bd_kind kind = given->target.kind;
    bd_range factor = {1, 1, 1};
    bd_status status;

    o->own_target = *given;
    o->target = &o->own_target;
    status = bd_rate_by_mass(a->know, a->request, o, "--target", given->text, &t->kind,
                             t->value.typical, &factor, a->card, a->err);
    t->value = bd_range_times(t->value, factor);
    *is_by_volume = t->kind != kind;
    o->is_by_volume = *is_by_volume && !o->product.is_liquid;
    return status;
}

/* What a label by volume allows in grams hangs on how densely the product lies.  A target by volume
 * lies as densely as its label, so that both are compared at the heavy end; a target in grams was
 * weighed out or worked out by the usual weight, and is compared with that. */
static bd_status take_label_max(const asking *a, const bd_value *given, bd_offer *o,
                                bool is_target_by_volume)
{
    bd_range factor = {1, 1, 1};
    double typical = given->number.typical;
    bd_status status;

    o->own_label_max = *given;
    o->label_max = &o->own_label_max;
    status = bd_rate_by_mass(a->know, a->request, o, "--label-max", given->text,
                             &o->own_label_max.kind, typical, &factor, a->card, a->err);
    if (status != BD_OK || o->own_label_max.kind == given->kind)
        return status;
    o->own_label_max.number =
        bd_exactly(typical * (is_target_by_volume ? factor.high : factor.typical));
    o->label_surely = is_target_by_volume ? factor.low / factor.high : 1.0;
    return BD_OK;
}

static bd_status take_rates(const asking *a, const bd_value *options, bd_offer *o)
{
    bool is_by_volume = false;
    bd_status status = BD_OK;

    o->label_surely = 1.0;
    if (options[BD_OPT_TARGET].is_given)
        status = take_target(a, &options[BD_OPT_TARGET], o, &is_by_volume);
    if (options[BD_OPT_LABEL_MAX].is_given && status == BD_OK)
        status = take_label_max(a, &options[BD_OPT_LABEL_MAX], o, is_by_volume);
    return status;
}

static bd_status read_offer(const asking *a, const bd_value *options, bd_offer *o)
{
    bd_card *card = a->card;
    bd_error *err = a->err;
    bool has_label = options[BD_OPT_ANALYSIS].is_given, is_pure = options[BD_OPT_PURE].is_given;
    bool is_near = false;
    bd_label label = {0};
    bd_status status = BD_OK;
    double density =
        options[BD_OPT_DENSITY].is_given ? options[BD_OPT_DENSITY].number.typical : 0.0;

    if (options[BD_OPT_MATERIAL].is_given) {
        status = bd_catalogue_material(a->know->catalogue, options[BD_OPT_MATERIAL].text,
                                       &o->material, err);
        bd_error_at(err, "--material");
    } else if (!has_label) {
        (void)bd_fail(err, BD_MISSING, "--material", "no product is named");
        return bd_accepts(err, "--material NAME, --analysis GRADE, or both");
    }
    if (status == BD_OK && has_label)
        status = read_label(options, &label, err);
    if (status == BD_OK && has_label && o->material == NULL)
        status = check_own_label(&label, err);
    if (status == BD_OK)
        status = bd_product_make(o->material, has_label ? &label : NULL, is_pure, density,
                                 &o->product, &is_near, err);
    if (status != BD_OK)
        return status;
    name_offer(options, o);
    o->has_label = has_label;
    o->label = label;
    status = take_rates(a, options, o);
    if (status != BD_OK)
        return status;
    if (has_label)
        tell_label(card, o, &label, is_near);
    else
        tell_catalogue(card, o, is_pure);
    if (has_label && label.is_w_v && !(density > 0.0))
        bd_card_assume(card, "label.density", W("assume.density_one"), BD_ARGS(bd_name(o->title)),
                       &(bd_range){1, 1, 1}, "kg/L", "common practice, no source");
    if (o->material == NULL)
        bd_card_find(card, "label.no_identity", BD_CARE, W("label.no_identity"),
                     BD_ARGS(bd_name(o->title)), "");
    return BD_OK;
}

/* Its ceilings are for all of it, and its figures go by its name. */
static bd_status check_once(const bd_offers *offers, bd_error *err)
{
    const bd_offer *last = &offers->items[offers->count - 1];

    for (size_t i = 0; i + 1 < offers->count; i++) {
        const bd_offer *o = &offers->items[i];

        if (last->material != NULL ? o->material != last->material
                                   : strcmp(o->title, last->title) != 0)
            continue;
        (void)bd_fail(err, BD_CONFLICT, last->material == NULL ? "--analysis" : "--material",
                      "%s is given twice", last->title);
        return bd_accepts(err, "each product once, with its amounts added up");
    }
    return BD_OK;
}

bd_status bd_offers_read(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_offers *out, bd_error *err)
{
    asking a = {know, request, card, err};

    memset(out, 0, sizeof *out);
    if (request->product_count == 0) {
        (void)bd_fail(err, BD_MISSING, "--material", "no product is named");
        return bd_accepts(err, "--material NAME, --analysis GRADE, or both");
    }
    for (size_t i = 0; i < request->product_count; i++) {
        bd_status status = read_offer(&a, request->products[i], &out->items[i]);

        if (status != BD_OK)
            return status;
        out->count++;
        status = check_once(out, err);
        if (status != BD_OK)
            return status;
    }
    return BD_OK;
}

void bd_label_not_judged(const bd_offer *offer, bd_card *card)
{
    bd_card_find(card, "label.not_judged", BD_CARE, W("label.not_judged"),
                 BD_ARGS(bd_name(offer->title), bd_name(offer->label_max->text)), "--label-max");
}

bool bd_offer_feeds_slowly(const bd_offer *offer)
{
    const double most = 0.5;

    return (offer->material != NULL && bd_material_has(offer->material, BD_TRAIT_SLOW)) ||
           offer->product.nitrogen_share[BD_NITROGEN_ORGANIC] > most;
}

void bd_offers_handling(const bd_offers *offers, bd_handling *handling)
{
    for (size_t i = 0; i < offers->count; i++)
        handling->materials[i] = offers->items[i].material;
    handling->material_count = offers->count;
}

static bd_status read_stage(const bd_value *stage, bool *is_seedling, bd_error *err)
{
    static const char *const stages[] = {"seedling", "growing", "flowering", "bulking"};

    for (size_t i = 0; i < sizeof stages / sizeof stages[0]; i++) {
        if (strcmp(stages[i], stage->text) == 0) {
            *is_seedling = i == 0;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_UNKNOWN, "--stage", "'%.40s' is not a stage", stage->text);
    return bd_accepts(err, "seedling, growing, flowering or bulking");
}

bd_status bd_planting_read(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_planting *out, bd_error *err)
{
    const bd_value *crop = bd_request_get(request, BD_OPT_CROP);
    const bd_value *stage = bd_request_get(request, BD_OPT_STAGE);
    bd_status status = BD_OK;

    memset(out, 0, sizeof *out);
    if (crop != NULL) {
        status = bd_catalogue_crop(know->catalogue, crop->text, &out->crop, err);
        bd_error_at(err, "--crop");
    } else {
        bd_card_assume(card, "crop", W("assume.no_crop"), BD_NO_ARGS, NULL, "",
                       "common practice, no source");
    }
    if (status == BD_OK && stage != NULL)
        status = read_stage(stage, &out->is_seedling, err);
    else if (status == BD_OK)
        bd_card_assume(card, "stage", W("assume.stage_growing"), BD_NO_ARGS, NULL, "",
                       "common practice, no source");
    if (status == BD_OK && out->crop != NULL)
        out->groups = out->crop->groups;
    return status;
}

/* Redone on paper: what it would be if the label's number were taken the wrong way round. */
static void work_nutrient(bd_card *card, const bd_offer *o, const bd_target *t, bd_range amount)
{
    bd_nutrient_form other = {t->form.nutrient, !t->form.is_oxide};
    const char *unit = bd_kind_unit(t->kind);
    bd_range share = bd_product_share(&o->product, t->form);

    bd_card_work(card, W("work.amount_from_target"),
                 BD_ARGS(bd_name(o->title), bd_name(bd_nutrient_form_name(t->form)),
                         bd_exact(t->value.typical, unit), bd_exact(100 * share.typical, "%"),
                         bd_exact(amount.typical, unit)),
                 "atomic weights; label");
    if (bd_nutrient_oxide(t->form.nutrient)[0] == '\0')
        return;
    bd_card_work(
        card, W("work.oxide_factor"),
        BD_ARGS(bd_name(bd_nutrient_symbol(t->form.nutrient)),
                bd_name(bd_nutrient_oxide(t->form.nutrient)),
                bd_exact(bd_as_element((bd_nutrient_form){t->form.nutrient, true}, 1.0), "")),
        "IUPAC-2016, published");
    bd_card_work(
        card, W("work.wrong_way"),
        BD_ARGS(bd_name(bd_nutrient_form_name(t->form)), bd_name(bd_nutrient_form_name(other)),
                bd_exact(t->value.typical / bd_product_share(&o->product, other).typical, unit),
                bd_exact(amount.typical, unit)),
        "atomic weights; label");
}

/* A label that counts elements, taken for one that counts oxides, or a ratio for per cents. */
static void work_label(bd_card *card, const bd_offer *o, const bd_target *t, bd_range amount)
{
    bd_nutrient_form oxide = {t->form.nutrient, true};
    const char *unit = bd_kind_unit(t->kind);

    if (!o->has_label || !o->label.declares[t->form.nutrient] ||
        o->label.convention == BD_CONVENTION_OXIDE)
        return;
    if (bd_nutrient_oxide(t->form.nutrient)[0] != '\0')
        bd_card_work(card, W("work.label_as_oxides"),
                     BD_ARGS(bd_exact(amount.typical / bd_as_element(oxide, 1.0), unit),
                             bd_exact(amount.typical, unit)),
                     "atomic weights; label");
    if (o->label.ratio_sum_over_total > 0.0)
        bd_card_work(card, W("work.ratio_as_percent"),
                     BD_ARGS(bd_exact(amount.typical / o->label.ratio_sum_over_total, unit),
                             bd_exact(amount.typical, unit),
                             bd_amount(1.0 / o->label.ratio_sum_over_total, "")),
                     "label");
}

bd_status bd_offer_amount(const bd_offer *o, const bd_target *t, bd_card *card, bd_range *out,
                          bd_error *err)
{
    if (o->target != NULL)
        bd_card_work(
            card, W("work.converted"),
            BD_ARGS(bd_name(o->target->text), bd_exact(t->value.typical, bd_kind_unit(t->kind))),
            "--target");
    if (t->is_product) {
        *out = t->value;
        return BD_OK;
    }
    if (!bd_product_holds(&o->product, t->form.nutrient)) {
        (void)bd_fail(err, BD_CONFLICT, "--target", "%s holds no %s", o->title,
                      bd_nutrient_form_name(t->form));
        return bd_accepts(err,
                          "a nutrient of the product, or 'product 10 g/L' for the product itself");
    }
    *out = bd_range_over(t->value, bd_product_share(&o->product, t->form));
    work_nutrient(card, o, t, *out);
    work_label(card, o, t, *out);
    return BD_OK;
}
