/*
 * medium.c - what goes into the bags: litres, buckets and kilograms of each part,
 * and what the mix is and brings.
 */
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "guard/judge.h"
#include "job/job.h"
#include "job/offers.h"
#include "model/ceiling.h"
#include "model/fill.h"
#include "model/oxide.h"
#include "nutrients/cite.h"

#define PERCENT  100.0
#define G_PER_KG 1000.0

enum { ID_SIZE = 32 };

static const char trade[] = "common practice, no source";
static const double percent_slack = 0.5;
static const double most_loss = 0.5;

typedef struct bd_filling {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
    bd_planting planting;
    bd_fill_share shares[BD_FILL_PARTS_MAX];
    bd_fill_order order;
    bd_fill fill;
    bool in_percent; /* shares were written with '%' */
} bd_filling;

static const bd_fact *figure(const bd_filling *f, const char *name)
{
    return bd_parts_figure(f->know->parts, name);
}

/* ---- reading "soil 60, compost 20, sand 20" ------------------------------- */

static const char *skip_blanks(const char *s)
{
    return s + strspn(s, " \t");
}

static bd_status refuse_parts(const bd_filling *f, const char *at)
{
    (void)bd_fail(f->err, BD_SYNTAX, "--parts", "'%.40s' is not a part with its share", at);
    return bd_accepts(f->err, "parts by volume, such as \"soil 60, compost 20, sand 20\"");
}

static bd_status take_medium(bd_filling *f, bd_fill_share *share)
{
    bd_status status = bd_media_medium(f->know->media, share->part->medium, &share->medium, f->err);

    bd_error_at(f->err, share->part->name);
    return status;
}

static bd_status check_new(const bd_filling *f, const bd_part *part)
{
    if (f->order.count == BD_FILL_PARTS_MAX)
        return bd_fail(f->err, BD_RANGE, "--parts", "more than %d parts", BD_FILL_PARTS_MAX);
    for (size_t i = 0; i < f->order.count; i++)
        if (f->shares[i].part == part)
            return bd_fail(f->err, BD_CONFLICT, "--parts", "'%s' is named twice", part->name);
    return BD_OK;
}

/* A part's name, its share, perhaps a '%'; *s is set behind it. */
static bd_status read_part(bd_filling *f, const char **s)
{
    const char *name = skip_blanks(*s);
    size_t length = strcspn(name, " \t:,");
    const char *number = name + length + strspn(name + length, " \t:");
    bd_fill_share share = {.share = 0.0};
    bd_status status;

    if (length == 0 || strchr("0123456789.", number[0]) == NULL || number[0] == '\0')
        return refuse_parts(f, name);
    status = bd_number_read(number, s, &share.share, f->err);
    bd_error_at(f->err, "--parts");
    if (status != BD_OK || !(share.share > 0.0))
        return status != BD_OK ? status : refuse_parts(f, name);
    status = bd_parts_part(f->know->parts, name, length, &share.part, f->err);
    bd_error_at(f->err, "--parts");
    if (status == BD_OK)
        status = check_new(f, share.part);
    if (status == BD_OK)
        status = take_medium(f, &share);
    if (status != BD_OK)
        return status;
    *s = skip_blanks(*s);
    if (**s == '%') {
        f->in_percent = true;
        *s = skip_blanks(*s + 1);
    }
    f->shares[f->order.count++] = share;
    return BD_OK;
}

static bd_status check_percent(const bd_filling *f)
{
    double sum = 0.0;

    for (size_t i = 0; i < f->order.count; i++)
        sum += f->shares[i].share;
    if (sum >= PERCENT - percent_slack && sum <= PERCENT + percent_slack)
        return BD_OK;
    if (!f->in_percent) {
        bd_card_assume(f->card, "parts", W("assume.parts_as_shares"), BD_ARGS(bd_exact(sum, "")),
                       NULL, "", "arithmetic");
        return BD_OK;
    }
    (void)bd_fail(f->err, BD_CONFLICT, "--parts", "the parts come to '%g' %%", sum);
    return bd_accepts(f->err, "100 %% in all, or shares without the %% sign");
}

static bd_status read_parts(bd_filling *f)
{
    const bd_value *parts = bd_request_get(f->request, BD_OPT_PARTS);
    const char *s;

    if (parts == NULL) {
        (void)bd_fail(f->err, BD_MISSING, "--parts", "what the bags are filled with is not said");
        return bd_accepts(f->err, "parts by volume, such as \"soil 60, compost 20, sand 20\"");
    }
    for (s = parts->text;; s++) {
        bd_status status = read_part(f, &s);

        if (status != BD_OK)
            return status;
        if (*s != ',')
            break;
    }
    return *s == '\0' ? check_percent(f) : refuse_parts(f, s);
}

/* ---- reading the bags and how they are filled ------------------------------- */

static double count_bags(const bd_filling *f)
{
    const bd_value *bags = bd_request_get(f->request, BD_OPT_BAGS);

    if (bags != NULL)
        return bags->number.typical;
    bd_card_assume(f->card, "bags", W("assume.one_bag"), BD_NO_ARGS, &(bd_range){1, 1, 1}, "",
                   trade);
    return 1.0;
}

/* An option, or the figure of the data with its source, said as an assumption in percent or litres.
 */
static double option_or(const bd_filling *f, bd_option option, const char *name, const char *key,
                        double scale, const char *unit)
{
    const bd_value *given = bd_request_get(f->request, option);
    const bd_fact *fact = figure(f, name);
    bd_range shown = bd_range_scale(fact->value, scale);
    char source[BD_CITE_SIZE];

    if (given != NULL)
        return given->number.typical;
    bd_card_assume(f->card, name, key, BD_NO_ARGS, &shown, unit, bd_cite_fact(fact, source));
    return fact->value.typical;
}

static bd_status check_loss(const bd_filling *f, bd_option option)
{
    const bd_value *given = bd_request_get(f->request, option);
    char where[ID_SIZE];

    if (given == NULL || given->number.typical <= most_loss)
        return BD_OK;
    (void)snprintf(where, sizeof where, "--%s", bd_option_about(option)->name);
    (void)bd_fail(f->err, BD_RANGE, where, "'%.40s' is no loss of volume", given->text);
    return bd_accepts(f->err, "0 %% to 50 %%");
}

static bd_status check_losses(const bd_filling *f)
{
    bd_status status = check_loss(f, BD_OPT_SETTLING);

    return status == BD_OK ? check_loss(f, BD_OPT_MIXING_LOSS) : status;
}

static bd_status read_bags(bd_filling *f)
{
    const bd_value *size = bd_request_get(f->request, BD_OPT_BAG_SIZE);

    if (size == NULL) {
        (void)bd_fail(f->err, BD_MISSING, "--bag-size", "the size of a bag is not said");
        return bd_accepts(f->err, "such as \"round 30cm x 35cm\" or \"20L x 30cm\"");
    }
    f->order.shares = f->shares;
    f->order.bag_l = size->bag.volume_l;
    f->order.bags = count_bags(f);
    f->order.bucket_l = option_or(f, BD_OPT_BUCKET, "bucket", W("assume.bucket"), 1.0, "L");
    f->order.settling =
        option_or(f, BD_OPT_SETTLING, "settling", W("assume.settling"), PERCENT, "%");
    if (f->order.count > 1)
        f->order.mixing_loss =
            option_or(f, BD_OPT_MIXING_LOSS, "mixing-loss", W("assume.mixing_loss"), PERCENT, "%");
    return BD_OK;
}

/* ---- what is measured out ------------------------------------------------------ */

static void show_table(const bd_filling *f)
{
    bd_card *card = f->card;
    bd_table *t =
        bd_card_table(card, "parts", W("medium.parts"), BD_ARGS(bd_amount(f->order.bucket_l, "L")));

    bd_table_column(card, t, "part", W("medium.part"), "");
    bd_table_column(card, t, "share", W("medium.share"), "%");
    bd_table_column(card, t, "litres", W("medium.litres"), "L");
    bd_table_column(card, t, "buckets", W("medium.buckets"), "");
    bd_table_column(card, t, "kg", W("medium.kg"), "kg");
    for (size_t i = 0; i < f->fill.count; i++) {
        const bd_fill_line *line = &f->fill.lines[i];

        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(f->shares[i].part->title)));
        bd_table_number(card, t, PERCENT * line->share);
        bd_table_number(card, t, line->loose_l);
        bd_table_number(card, t, line->buckets);
        bd_table_number(card, t, line->mass_kg.typical);
    }
}

static void show_brings(const bd_filling *f)
{
    static const char *const keys[BD_NPK_COUNT] = {W("medium.n"), W("medium.p2o5"),
                                                   W("medium.k2o")};
    bd_card *card = f->card;
    bd_table *t = bd_card_table(card, "brings", W("medium.brings"), BD_NO_ARGS);

    bd_table_column(card, t, "part", W("medium.part"), "");
    for (int n = 0; n < BD_NPK_COUNT; n++)
        bd_table_column(card, t, bd_npk_name(n), keys[n], "g");
    for (size_t i = 0; i < f->fill.count; i++) {
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(f->shares[i].part->title)));
        for (int n = 0; n < BD_NPK_COUNT; n++) {
            if (f->shares[i].part->content[n].is_known)
                bd_table_number(card, t,
                                f->fill.lines[i].available_g.of[n].typical / f->order.bags);
            else
                bd_table_empty(card, t);
        }
    }
}

static void show_bag(const bd_filling *f)
{
    const bd_bag_size *size = &bd_request_get(f->request, BD_OPT_BAG_SIZE)->bag;
    bd_card *card = f->card;

    bd_card_figure(card, "bag.area", W("figure.bag_area"), BD_NO_ARGS, bd_exactly(size->area_m2),
                   "m2");
    bd_card_figure(card, "bag.volume", W("figure.bag_volume"), BD_NO_ARGS,
                   bd_exactly(size->volume_l), "L");
    bd_card_figure(card, "bag.depth", W("figure.bag_depth"), BD_NO_ARGS, bd_exactly(size->depth_m),
                   "m");
    bd_card_figure(card, "bag.soil_mass", W("figure.bag_soil_mass"), BD_NO_ARGS,
                   f->fill.bag_soil_kg, "kg");
    bd_card_figure(card, "bag.water", W("figure.bag_water"), BD_NO_ARGS, f->fill.bag_water_l, "L");
}

static bd_range air_of(const bd_fill *fill)
{
    double air = fill->total_pores.typical - fill->container_capacity.typical;

    return bd_exactly(PERCENT * air);
}

static void show_mix(const bd_filling *f)
{
    bd_card *card = f->card;

    bd_card_figure(card, "mix.loose_per_bag", W("figure.mix_loose_per_bag"), BD_NO_ARGS,
                   bd_exactly(f->fill.bag_loose_l), "L");
    bd_card_figure(card, "mix.loose", W("figure.mix_loose"), BD_NO_ARGS,
                   bd_exactly(f->fill.loose_l), "L");
    bd_card_figure(card, "mix.buckets", W("figure.mix_buckets"),
                   BD_ARGS(bd_amount(f->order.bucket_l, "L")), bd_exactly(f->fill.buckets), "");
    bd_card_figure(card, "mix.mass", W("figure.mix_mass"), BD_NO_ARGS, f->fill.mass_kg, "kg");
    bd_card_figure(card, "mix.bulk_density", W("figure.mix_bulk_density"), BD_NO_ARGS,
                   f->fill.bulk_density_kg_per_l, "kg/L");
    bd_card_figure(card, "mix.container_capacity", W("figure.mix_capacity"), BD_NO_ARGS,
                   bd_range_scale(f->fill.container_capacity, PERCENT), "%");
    bd_card_figure(card, "mix.air", W("figure.mix_air"), BD_NO_ARGS, air_of(&f->fill), "%");
    bd_card_figure(card, "mix.ece", W("figure.mix_ece"), BD_NO_ARGS, f->fill.ece_ds_per_m, "dS/m");
}

/* ---- what it brings --------------------------------------------------------------- */

static void show_form(const bd_filling *f, const char *form, bd_range g, const char *end,
                      const char *key)
{
    char id[ID_SIZE];

    (void)snprintf(id, sizeof id, "mix.%s.%s", form, end);
    bd_card_figure(f->card, id, key, BD_ARGS(bd_name(form)), g, "g");
}

static bd_range element_of(bd_nutrient_form form, bd_range g)
{
    return bd_range_of(bd_as_element(form, g.low), bd_as_element(form, g.typical),
                       bd_as_element(form, g.high));
}

/* A nutrient as the oxide of labels and as the element, in the whole mix or for the first crop. */
static void show_nutrient(const bd_filling *f, int n, bd_range g, const char *end, const char *key)
{
    const char *name = bd_npk_name(n);
    bd_nutrient_form form;

    show_form(f, name, g, end, key);
    if (bd_nutrient_find(name, strlen(name), &form) && form.is_oxide)
        show_form(f, bd_nutrient_symbol(form.nutrient), element_of(form, g), end, key);
}

static void show_nutrients(const bd_filling *f)
{
    for (int n = 0; n < BD_NPK_COUNT; n++)
        show_nutrient(f, n, f->fill.available_g_per_bag.of[n], "first_season",
                      W("figure.mix_first_season"));
    for (int n = 0; n < BD_NPK_COUNT; n++)
        show_nutrient(f, n, f->fill.total_g_per_bag.of[n], "total", W("figure.mix_total"));
    if (f->fill.draw_down_n_g_per_bag.typical > 0.0)
        bd_card_figure(f->card, "mix.draw_down", W("figure.mix_draw_down"), BD_NO_ARGS,
                       f->fill.draw_down_n_g_per_bag, "g");
    if (f->fill.lime_g_per_bag.high > 0.0)
        bd_card_figure(f->card, "mix.lime", W("figure.mix_lime"), BD_NO_ARGS,
                       f->fill.lime_g_per_bag, "g");
}

/* ---- what to mind -------------------------------------------------------------------- */

static void mind_manure(const bd_filling *f)
{
    const bd_crop *crop = f->planting.crop;
    const bd_fact *wait = bd_catalogue_practice(f->know->catalogue, "raw-manure-touching");
    bool touches = crop != NULL && (crop->touches_soil || crop->is_root);
    bool is_too_soon = touches && crop->days_to_harvest.is_known &&
                       crop->days_to_harvest.value.low < wait->value.typical;
    char source[BD_CITE_SIZE];

    for (size_t i = 0; i < f->order.count; i++) {
        if (!f->shares[i].part->is_raw_manure)
            continue;
        if (is_too_soon)
            bd_card_find_limit(f->card, "medium.raw_manure", BD_STOP,
                               W("medium.raw_manure_too_soon"), BD_ARGS(bd_name(crop->title)),
                               crop->days_to_harvest.value.low, wait->value.typical, "d",
                               bd_cite_fact(wait, source));
        else
            bd_card_find(f->card, "medium.raw_manure", BD_CARE, W("medium.raw_manure"), BD_NO_ARGS,
                         bd_cite_fact(wait, source));
        bd_card_caution(f->card, "C26R", W("caution.raw_manure"), BD_NO_ARGS,
                        bd_rule_source(f->know->catalogue, "caution.raw_manure", source));
        return;
    }
}

static void mind_shares(const bd_filling *f)
{
    for (size_t i = 0; i < f->order.count; i++) {
        const bd_part *part = f->shares[i].part;
        const bd_fact *most = &part->highest_share;
        double share = f->fill.lines[i].share;
        char source[BD_CITE_SIZE];

        if (most->is_known && !part->is_raw_manure && bd_is_over(share, most->value.high))
            bd_card_find_limit(f->card, "medium.share", BD_CARE, W("medium.too_much"),
                               BD_ARGS(bd_name(part->title)), PERCENT * share,
                               PERCENT * most->value.high, "%", bd_cite_fact(most, source));
    }
}

static void mind_salt(const bd_filling *f)
{
    const bd_crop *crop = f->planting.crop;
    const bd_tolerance *line = crop != NULL && crop->tolerance_count > 0 ? crop->tolerances : NULL;
    char source[BD_CITE_SIZE];

    if (line == NULL || !line->has_threshold)
        return;
    (void)bd_cite(line->source, line->trust, source);
    if (bd_is_over(f->fill.ece_ds_per_m.high, line->threshold_ds_per_m))
        bd_card_find_limit(f->card, "medium.salt", BD_CARE, W("medium.salty"),
                           BD_ARGS(bd_name(crop->title)), f->fill.ece_ds_per_m.high,
                           line->threshold_ds_per_m, "dS/m", source);
    else
        bd_card_find_limit(f->card, "medium.salt", BD_NOTE, W("medium.salt_fine"),
                           BD_ARGS(bd_name(crop->title)), f->fill.ece_ds_per_m.high,
                           line->threshold_ds_per_m, "dS/m", source);
}

static void mind_rot(const bd_filling *f)
{
    double takes = f->fill.draw_down_n_g_per_bag.typical;
    double gives = f->fill.available_g_per_bag.of[BD_NPK_N].typical;

    if (takes > gives)
        bd_card_find_limit(f->card, "medium.draw_down", BD_CARE, W("medium.takes_nitrogen"),
                           BD_NO_ARGS, takes, gives, "g", trade);
}

static bd_ceiling ceiling_of_year(const bd_filling *f, const bd_part *part)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(f->know->catalogue, &count);
    bd_ceiling_query query = {.material = part->limited_as,
                              .use = BD_USE_SIDEDRESS,
                              .of = BD_LIMIT_PRODUCT_PER_AREA_YEAR,
                              .groups = f->planting.groups};

    return bd_ceiling_find(limits, count, &query);
}

/* A part that is limited by the year and the ground (ash) is so in the mix as on top of it: what
 * goes into a bag, over the bag's top. */
static void mind_year(const bd_filling *f, const bd_part *part, const bd_fill_line *line)
{
    double area_m2 = bd_request_get(f->request, BD_OPT_BAG_SIZE)->bag.area_m2;
    double g_per_bag = G_PER_KG * line->mass_kg.high / f->order.bags, most_g;
    bd_judged judged = {.id = "limit.ash.rate",
                        .name = part->title,
                        .value = g_per_bag / area_m2,
                        .unit = "g/m2",
                        .ceiling = ceiling_of_year(f, part)};

    most_g = bd_judge(f->card, &judged) * area_m2;
    if (judged.ceiling.limit == NULL)
        return;
    bd_card_work(f->card, W("medium.work_year"),
                 BD_ARGS(bd_name(part->title), bd_exact(g_per_bag, "g"), bd_exact(area_m2, "m2"),
                         bd_exact(judged.value, "g/m2"), bd_exact(judged.ceiling.most, "g/m2")),
                 "");
    if (bd_is_over(g_per_bag, most_g))
        bd_card_figure(f->card, "product.per_bag.permitted", W("figure.medium_permitted"),
                       BD_ARGS(bd_name(part->title)), bd_exactly(most_g), "g");
}

static void mind_years(const bd_filling *f)
{
    for (size_t i = 0; i < f->order.count; i++)
        if (f->shares[i].part->limited_as[0] != '\0')
            mind_year(f, f->shares[i].part, &f->fill.lines[i]);
}

static void mind_lime(const bd_filling *f)
{
    char source[BD_CITE_SIZE];

    if (!(f->fill.lime_g_per_bag.high > 0.0))
        return;
    bd_card_find(f->card, "medium.lime", BD_CARE, W("medium.raises_ph"), BD_NO_ARGS, trade);
    for (size_t i = 0; i < f->order.count; i++)
        if (f->shares[i].part->lime_value.is_known &&
            f->shares[i].part->content[BD_NPK_K2O].is_known)
            bd_card_caution(f->card, "C20", W("caution.ash"), BD_NO_ARGS,
                            bd_rule_source(f->know->catalogue, "caution.ash", source));
}

static void mind_air(const bd_filling *f)
{
    const bd_fact *wanted = figure(f, "air-space");
    double air = air_of(&f->fill).typical;
    char source[BD_CITE_SIZE];

    if (air >= PERCENT * wanted->value.low)
        return;
    bd_card_find_limit(f->card, "medium.air",
                       air < PERCENT * wanted->value.low / 2.0 ? BD_CARE : BD_NOTE,
                       W("medium.little_air"), BD_NO_ARGS, air, PERCENT * wanted->value.low, "%",
                       bd_cite_fact(wanted, source));
    bd_card_limit_is_least(f->card);
}

static void mind_uncounted(const bd_filling *f)
{
    for (size_t i = 0; i < f->order.count; i++)
        if (f->shares[i].part->brings_unknown)
            bd_card_find(f->card, "medium.not_counted", BD_NOTE, W("medium.not_counted"),
                         BD_ARGS(bd_name(f->shares[i].part->title)), trade);
}

/* ---- working ---------------------------------------------------------------------------- */

static void explain(const bd_filling *f)
{
    const bd_fill_order *o = &f->order;
    double parts_l = o->bag_l * o->bags / (1.0 - o->mixing_loss);

    bd_card_work(f->card, W("medium.work_parts"),
                 BD_ARGS(bd_exact(o->bags, ""), bd_exact(o->bag_l, "L"),
                         bd_exact(1.0 - o->mixing_loss, ""), bd_exact(parts_l, "L")),
                 "");
    bd_card_work(f->card, W("medium.work_loose"),
                 BD_ARGS(bd_exact(parts_l, "L"), bd_exact(1.0 - o->settling, ""),
                         bd_exact(f->fill.loose_l, "L")),
                 "");
    for (size_t i = 0; i < o->count; i++)
        bd_card_work(
            f->card, W("medium.work_part"),
            BD_ARGS(bd_name(f->shares[i].part->title), bd_exact(f->fill.lines[i].share, ""),
                    bd_exact(f->fill.lines[i].loose_l, "L"),
                    bd_exact(f->shares[i].part->moist_density_kg_per_l.value.typical, "kg/L"),
                    bd_exact(f->fill.lines[i].mass_kg.typical, "kg")),
            "");
}

static void mind(const bd_filling *f)
{
    mind_manure(f);
    mind_shares(f);
    mind_years(f);
    mind_salt(f);
    mind_rot(f);
    mind_lime(f);
    mind_air(f);
    mind_uncounted(f);
    bd_card_find(f->card, "medium.weigh", BD_NOTE, W("medium.weigh"), BD_NO_ARGS, trade);
}

bd_status bd_job_medium(const bd_knowledge *know, const bd_request *request, bd_card *card,
                        bd_error *err)
{
    bd_filling f = {.know = know, .request = request, .card = card, .err = err};
    bd_status status = read_parts(&f);

    if (status == BD_OK)
        status = bd_planting_read(know, request, card, &f.planting, err);
    if (status == BD_OK)
        status = check_losses(&f);
    if (status == BD_OK)
        status = read_bags(&f);
    if (status == BD_OK)
        status = bd_fill_bags(&f.order, figure(&f, "microbe-carbon-to-nitrogen")->value,
                              figure(&f, "microbe-efficiency")->value, &f.fill, err);
    if (status != BD_OK)
        return status;
    bd_card_title(card, W("medium.title"),
                  BD_ARGS(bd_count(f.order.bags), bd_amount(f.order.bag_l, "L")));
    show_mix(&f);
    show_nutrients(&f);
    show_bag(&f);
    mind(&f);
    if (bd_card_verdict(card) != BD_STOP) /* litres and buckets would be an instruction */
        show_table(&f);
    show_brings(&f);
    explain(&f);
    return BD_OK;
}
