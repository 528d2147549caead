/*
 * stock.c - strong solutions that are thinned for use: the salt in the bottle, the
 * millilitres in the can, whether it stays dissolved, what stands on its label.
 *
 * A recipe with calcium beside sulfate or phosphate makes two bottles of the same
 * size, each thinned by the same ratio into the same can.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "guard/judge.h"
#include "job/delivers.h"
#include "job/dissolved.h"
#include "job/job.h"
#include "job/split.h"
#include "job/strength.h"
#include "model/stock.h"
#include "nutrients/cite.h"
#include "quantity/dilution.h"

#define PERCENT 100.0

enum {
    MOST_SALTS = 6,
    MOST_BOTTLES = 2,
    LONGEST_ID = 96
}; /* more do not fit on a bottle's label */

static const double coldest_c = 0.0, warmest_c = 60.0; /* water */
static const double apart_matters =
    0.05; /* the two readings of a ratio, further apart than a jug errs */

/* Of a pair; a lone bottle is the first, whatever is in it. */
enum { CALCIUM_BOTTLE, OTHER_BOTTLE };

typedef struct bottle {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
    bd_offers offers;
    bd_planting planting;
    bd_range g_per_l[MOST_SALTS]; /* of the feed */
    double share;                 /* of the feed that is stock */
    double stock_l, can_l, coldest_degc;
    size_t bottles;
    size_t bottle_of[MOST_SALTS];
    bd_stock plans[MOST_SALTS];
    bd_bath cold[MOST_BOTTLES]; /* each stock at its coldest */
    bd_bath feed;               /* what is poured */
} bottle;

static const bd_fact *practice(const bottle *b, const char *name)
{
    return bd_catalogue_practice(b->know->catalogue, name);
}

static bool any_has(const bottle *b, bd_trait trait)
{
    for (size_t i = 0; i < b->offers.count; i++)
        if (b->offers.items[i].material != NULL &&
            bd_material_has(b->offers.items[i].material, trait))
            return true;
    return false;
}

static bool has_calcium(const bottle *b)
{
    return any_has(b, BD_TRAIT_CALCIUM);
}

static bool has_its_enemies(const bottle *b)
{
    return any_has(b, BD_TRAIT_SULFATE) || any_has(b, BD_TRAIT_PHOSPHATE);
}

/* What may stand with calcium for months: nitrates, chlorides, urea. */
static bool suits_calcium(const bd_material *m)
{
    static const bd_trait enemies[] = {BD_TRAIT_SULFATE, BD_TRAIT_PHOSPHATE, BD_TRAIT_ALKALINE,
                                       BD_TRAIT_BORON, BD_TRAIT_METAL};

    for (size_t i = 0; m != NULL && i < sizeof enemies / sizeof enemies[0]; i++)
        if (bd_material_has(m, enemies[i]))
            return false;
    return m != NULL;
}

static void sort_into_bottles(bottle *b)
{
    b->bottles = has_calcium(b) && has_its_enemies(b) ? 2 : 1;
    for (size_t i = 0; i < b->offers.count; i++)
        b->bottle_of[i] = b->bottles == 1 || suits_calcium(b->offers.items[i].material)
                              ? CALCIUM_BOTTLE
                              : OTHER_BOTTLE;
}

/* ---- reading ------------------------------------------------------------ */

/* "1:100" is written for 1 in 100 and for 1 to 100; dials of injectors mean the first. */
static bd_status read_colon(bottle *b, const char *text, const char *colon)
{
    double one = 0.0, parts = 0.0, to_water = 0.0;
    const char *end = NULL;
    bd_status status;

    if (bd_number_read(text, &end, &one, NULL) != BD_OK || end + strspn(end, " ") != colon ||
        !(one > 0.0) ||
        bd_number_read(colon + 1 + strspn(colon + 1, " "), NULL, &parts, NULL) != BD_OK) {
        (void)bd_fail(b->err, BD_SYNTAX, "--ratio", "'%.40s' is not a ratio", text);
        return bd_accepts(b->err, "\"1 in 100\", \"1 part + 99 parts water\" or 1:100");
    }
    if (!(parts >= one)) {
        (void)bd_fail(b->err, BD_CONFLICT, "--ratio", "'%.40s' would be more stock than feed",
                      text);
        return bd_accepts(b->err, "the other way round: one part of stock in so many, 1:100");
    }
    status = bd_ratio_share(parts / one, BD_RATIO_IN_TOTAL, &b->share, b->err);
    if (status == BD_OK)
        status = bd_ratio_share(parts / one, BD_RATIO_TO_WATER, &to_water, b->err);
    bd_error_at(b->err, "--ratio");
    if (status != BD_OK)
        return status;
    bd_card_assume(b->card, "stock.ratio", W("assume.ratio_in_total"), BD_ARGS(bd_name(text)),
                   &(bd_range){b->share, b->share, b->share}, "share",
                   "common practice, no source");
    bd_card_find(b->card, "stock.ratio",
                 b->share / to_water - 1.0 > apart_matters ? BD_CARE : BD_NOTE,
                 W("stock.two_readings"),
                 BD_ARGS(bd_name(text), bd_exact(PERCENT * b->share, "%"),
                         bd_exact(PERCENT * to_water, "%")),
                 "common practice, no source");
    return BD_OK;
}

static bd_status read_ratio(bottle *b)
{
    const bd_value *ratio = bd_request_get(b->request, BD_OPT_RATIO);
    const char *colon;
    double factor = 1.0;
    bd_status status;

    if (ratio == NULL) {
        (void)bd_fail(b->err, BD_MISSING, "--ratio", "how far the stock is thinned is not said");
        return bd_accepts(b->err, "\"1 in 100\", \"1 part + 99 parts water\" or 1:100");
    }
    colon = strchr(ratio->text, ':');
    if (colon != NULL)
        return read_colon(b, ratio->text, colon);
    status = bd_dilution_read(ratio->text, b->request->measures, &factor, b->err);
    bd_error_at(b->err, "--ratio");
    b->share = 1.0 / factor;
    return status;
}

static bd_status check_soluble(const bottle *b, const bd_offer *o)
{
    const bd_material *m = o->material;

    if (m == NULL || (m->kind != BD_HOMEMADE && !bd_material_has(m, BD_TRAIT_SLOW)))
        return BD_OK;
    (void)bd_fail(b->err, BD_CONFLICT, "--material", "no stock can be made of '%.60s'", m->name);
    return bd_accepts(b->err, "a salt that dissolves clear");
}

static bd_status read_strength(bottle *b, size_t i)
{
    const bd_offer *o = &b->offers.items[i];
    bd_status status;

    if (o->target == NULL || o->target->target.kind != BD_KIND_STRENGTH) {
        (void)bd_fail(b->err, o->target == NULL ? BD_MISSING : BD_DIMENSION, "--target",
                      "the strength of the thinned feed is wanted of %s", o->title);
        return bd_accepts(b->err, "\"K 0.2 g/L\" or \"product 0.5 g/L\"");
    }
    status = bd_offer_amount(o, &o->target->target, b->card, &b->g_per_l[i], b->err);
    if (status != BD_OK || b->g_per_l[i].typical > 0.0)
        return status;
    (void)bd_fail(b->err, BD_RANGE, "--target", "'%.60s' is nothing to feed", o->target->text);
    return bd_accepts(b->err, "an amount above zero");
}

static double volume_or(const bottle *b, bd_option option, const char *name, const char *id,
                        const char *key)
{
    const bd_value *given = bd_request_get(b->request, option);
    const bd_fact *usual = practice(b, name);
    char source[BD_CITE_SIZE];

    if (given != NULL)
        return given->number.typical;
    bd_card_assume(b->card, id, key, BD_NO_ARGS, &usual->value, "L", bd_cite_fact(usual, source));
    return usual->value.typical;
}

static bd_status read_coldest(bottle *b)
{
    const bd_value *given = bd_request_get(b->request, BD_OPT_COLDEST);
    const bd_fact *usual = practice(b, "stock-coldest");
    char source[BD_CITE_SIZE];

    b->coldest_degc = given != NULL ? given->number.low : usual->value.typical;
    if (given == NULL)
        bd_card_assume(b->card, "stock.coldest", W("assume.stock_coldest"), BD_NO_ARGS,
                       &usual->value, "degC", bd_cite_fact(usual, source));
    if (b->coldest_degc >= coldest_c && b->coldest_degc <= warmest_c)
        return BD_OK;
    (void)bd_fail(b->err, BD_RANGE, "--coldest", "'%.40s' is no temperature to keep a stock at",
                  given->text);
    return bd_accepts(b->err, "0 C to 60 C");
}

static bd_status read_bottle(bottle *b)
{
    bd_status status = bd_planting_read(b->know, b->request, b->card, &b->planting, b->err);

    if (status == BD_OK)
        status = bd_offers_read(b->know, b->request, b->card, &b->offers, b->err);
    if (status == BD_OK && b->offers.count > MOST_SALTS) {
        (void)bd_fail(b->err, BD_CONFLICT, "--material", "more than %d salts in one recipe",
                      MOST_SALTS);
        status = bd_accepts(b->err, "up to %d; make two stocks", MOST_SALTS);
    }
    for (size_t i = 0; i < b->offers.count && status == BD_OK; i++) {
        status = check_soluble(b, &b->offers.items[i]);
        if (status == BD_OK)
            status = read_strength(b, i);
    }
    if (status == BD_OK)
        status = read_ratio(b);
    if (status == BD_OK)
        status = read_coldest(b);
    if (status != BD_OK)
        return status;
    sort_into_bottles(b);
    if ((double)b->bottles * b->share > 1.0) {
        (void)bd_fail(b->err, BD_RANGE, "--ratio",
                      "two stocks of that ratio do not fit into one can");
        return bd_accepts(b->err, "\"1 in 10\" or thinner");
    }
    b->stock_l =
        volume_or(b, BD_OPT_STOCK, "stock-bottle", "stock.bottle", W("assume.stock_bottle"));
    b->can_l = volume_or(b, BD_OPT_CAN, "can", "stock.can", W("assume.can"));
    return BD_OK;
}

/* ---- the stock ----------------------------------------------------------- */

static bool is_solved(const bd_bath *bath)
{
    return bath->is_modelled && !bath->is_outside;
}

/* A second bottle: what the first one's card said of the water is not said again. */
static bd_status solve_second(bottle *b, const bd_request *cold)
{
    bd_bath *bath = &b->cold[OTHER_BOTTLE];
    bd_card aside;
    bd_status status;

    bd_card_init(&aside, "");
    status = bd_bath_solve(bath, b->know, cold, &aside, b->err);
    bd_card_clear(&aside);
    if (status != BD_OK)
        return status;
    bd_bath_judge_solubility(bath, b->know, b->card);
    if (is_solved(bath))
        bd_bath_judge_minerals(bath, b->know, b->card);
    return BD_OK;
}

/* The bottles' contents at their coldest: what would drop out is found as in any water. */
static bd_status solve_cold(bottle *b)
{
    bd_request cold = *b->request;
    bd_status status;

    cold.values[BD_OPT_WATER_TEMPERATURE] =
        (bd_value){.is_given = true, .text = "--coldest", .number = bd_exactly(b->coldest_degc)};
    for (size_t i = 0; i < b->offers.count; i++) {
        bd_bath *bath = &b->cold[b->bottle_of[i]];

        bath->doses[bath->count++] = (bd_bath_dose){
            &b->offers.items[i], bd_range_scale(b->g_per_l[i], 1.0 / b->share), 0.0, false};
    }
    status = bd_bath_solve(&b->cold[CALCIUM_BOTTLE], b->know, &cold, b->card, b->err);
    if (status == BD_OK && b->bottles > 1)
        status = solve_second(b, &cold);
    bd_error_at(b->err, "--target, --ratio");
    return status;
}

/* Strength at which the one salt of a lone bottle is saturated, as its solubility was judged [g/L];
 * 0 where that is not known. */
static double saturated_g_per_l(const bottle *b)
{
    const bd_bath *bath = &b->cold[CALCIUM_BOTTLE];

    if (b->offers.count > 1 || !bath->has_saturation || !(bath->saturation > 0.0))
        return 0.0;
    return bath->doses[0].g_per_l.high / bath->saturation;
}

static bd_status plan(bottle *b)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < b->offers.count && status == BD_OK; i++) {
        bd_stock_wish wish = {.feed_g_per_l = b->g_per_l[i].typical,
                              .share = b->share,
                              .stock_l = b->stock_l,
                              .can_l = b->can_l,
                              .dissolves_g_per_l = saturated_g_per_l(b),
                              .working_share =
                                  practice(b, "solubility-working-share")->value.typical};

        status = bd_stock_plan(&wish, &b->plans[i], b->err);
    }
    bd_error_at(b->err, "--stock, --can");
    return status;
}

static double label_in_g_per_l(const bd_offer *o)
{
    return o->label_max != NULL && o->label_max->kind == BD_KIND_STRENGTH
               ? o->label_max->number.typical
               : 0.0;
}

/* The thinned feed in the same water.  Its card is set aside: of what that would say only the
 * precipitates are news beside the stock's own. */
static void solve_feed(bottle *b)
{
    bd_card aside;

    b->feed.count = b->offers.count;
    for (size_t i = 0; i < b->offers.count; i++)
        b->feed.doses[i] = (bd_bath_dose){&b->offers.items[i], b->g_per_l[i],
                                          label_in_g_per_l(&b->offers.items[i]), false};
    bd_card_init(&aside, "");
    if (bd_bath_solve(&b->feed, b->know, b->request, &aside, NULL) != BD_OK)
        b->feed.is_modelled = false;
    bd_card_clear(&aside);
    b->feed.has_saturation = false;
    if (is_solved(&b->feed) && bd_card_verdict(b->card) != BD_STOP)
        bd_bath_judge_minerals(&b->feed, b->know, b->card);
}

/* What a plant gets in the end, against what roots bear; a bottle that is no good is no better
 * thinned. */
static void judge_feed(bottle *b)
{
    bd_use use = b->planting.is_seedling ? BD_USE_SEEDLING : BD_USE_DRENCH;
    bool is_good = bd_card_verdict(b->card) != BD_STOP;

    for (size_t i = 0; i < b->offers.count; i++)
        (void)bd_strength_judge(b->know, &b->planting, &b->feed.doses[i], use, "limit.drench",
                                b->card);
    bd_bath_judge_nutrients(&b->feed, b->know, &b->planting, use, b->card);
    if (is_good)
        bd_split_tell_stock(b->know, b->request, &b->planting, &b->feed, 1.0 / b->share, b->card);
}

/* ---- calcium and the rest -------------------------------------------------- */

static void show_bottles(const bottle *b)
{
    bd_table *t = bd_card_table(b->card, "bottles", W("table.bottles"), BD_NO_ARGS);

    bd_table_column(b->card, t, "product", W("column.product"), "");
    bd_table_column(b->card, t, "bottle", W("column.bottle"), "");
    for (size_t i = 0; i < b->offers.count; i++) {
        bd_table_line(b->card, t, W("plain"), BD_ARGS(bd_name(b->offers.items[i].title)));
        bd_table_line(b->card, t,
                      b->bottle_of[i] == CALCIUM_BOTTLE ? W("bottle.calcium") : W("bottle.other"),
                      BD_NO_ARGS);
    }
}

static void judge_pair(const bottle *b)
{
    char source[BD_CITE_SIZE];

    (void)bd_rule_source(b->know->catalogue, "stock.calcium", source);
    if (b->bottles > 1) {
        bd_card_find(b->card, "stock.calcium", BD_CARE, W("stock.calcium"), BD_NO_ARGS, source);
        show_bottles(b);
    } else if (has_calcium(b)) {
        bd_card_find(b->card, "stock.calcium", BD_NOTE, W("stock.is_calcium"), BD_NO_ARGS, source);
    } else if (has_its_enemies(b)) {
        bd_card_find(b->card, "stock.calcium", BD_NOTE, W("stock.is_other"), BD_NO_ARGS, source);
    }
}

/* ---- showing ---------------------------------------------------------------- */

static void figure_of(const bottle *b, size_t i, const char *group, const char *what,
                      const char *key, double value, const char *unit)
{
    const bd_offer *o = &b->offers.items[i];
    char id[LONGEST_ID];

    if (b->offers.count == 1)
        (void)snprintf(id, sizeof id, "%s.%s", group, what);
    else
        (void)snprintf(id, sizeof id, "%s.%.48s.%s", group,
                       o->material == NULL ? "own" : o->material->name, what);
    if (bd_card_get(b->card, id) == NULL)
        bd_card_figure(b->card, id, key, BD_ARGS(bd_name(o->title), bd_amount(b->stock_l, "L")),
                       bd_exactly(value), unit);
}

static void show_salts(const bottle *b)
{
    for (size_t i = 0; i < b->offers.count; i++) {
        figure_of(b, i, "stock", "salt",
                  b->bottles == 1                     ? W("figure.stock_salt")
                  : b->bottle_of[i] == CALCIUM_BOTTLE ? W("figure.stock_salt_calcium")
                                                      : W("figure.stock_salt_other"),
                  b->plans[i].salt_g, "g");
        figure_of(b, i, "stock", "strength", W("figure.stock_strength"), b->plans[i].stock_g_per_l,
                  "g/L");
        figure_of(b, i, "feed", "product_per_litre", W("figure.stock_feed_strength"),
                  b->g_per_l[i].typical, "g/L");
    }
}

static void show_use(const bottle *b)
{
    const bd_stock *s = &b->plans[0];
    const bd_arg *can = BD_ARGS(bd_amount(b->can_l, "L"));

    bd_card_figure(b->card, "stock.share", W("figure.stock_share"),
                   BD_ARGS(bd_exact(1.0 / b->share, "")), bd_exactly(PERCENT * b->share), "%");
    bd_card_figure(b->card, "stock.per_can",
                   b->bottles == 1 ? W("figure.stock_per_can") : W("figure.stock_each_per_can"),
                   can, bd_exactly(s->stock_l_per_can), "L");
    bd_card_figure(b->card, "stock.water_per_can", W("figure.stock_water_per_can"), can,
                   bd_exactly(b->can_l - (double)b->bottles * s->stock_l_per_can), "L");
    bd_card_figure(b->card, "stock.feed",
                   b->bottles == 1 ? W("figure.stock_feed") : W("figure.stock_feed_of_two"),
                   BD_NO_ARGS, bd_exactly(s->feed_l), "L");
}

static void show_delivery(const bottle *b)
{
    bd_delivery gives = {{{0, 0, 0}}};

    for (size_t i = 0; i < b->offers.count; i++)
        bd_delivery_add(&gives, &b->offers.items[i].product, b->g_per_l[i]);
    bd_delivery_show(b->card, &gives, "per_litre", W("figure.nutrient_per_litre"), "g/L");
}

/* Both ways of writing the ratio, and the dial of an injector. */
static void tell_ratio(const bottle *b)
{
    double parts = 1.0 / b->share;

    if (parts > 1.0)
        bd_card_find(b->card, "stock.notation", BD_NOTE, W("stock.notation"),
                     BD_ARGS(bd_exact(parts, ""), bd_exact(parts - 1.0, ""),
                             bd_exact(PERCENT * b->share, "%")),
                     "arithmetic");
}

static void show_cold(const bottle *b)
{
    const bd_stock *s = &b->plans[0];
    const bd_fact *share = practice(b, "solubility-working-share");
    char source[BD_CITE_SIZE];

    if (b->offers.count > b->bottles) {
        bd_card_find(b->card, "stock.several", BD_CARE, W("stock.several"), BD_NO_ARGS,
                     "common practice, no source");
        return;
    }
    if (b->bottles > 1 || !s->solubility_is_known)
        return;
    if (bd_card_verdict(b->card) != BD_STOP)
        bd_card_figure(b->card, "stock.saturation", W("figure.saturation"),
                       BD_ARGS(bd_amount(b->coldest_degc, "degC")),
                       bd_exactly(PERCENT * s->saturation), "%");
    if (!s->stays_dissolved && s->least_share < 1.0)
        bd_card_find(b->card, "stock.weaker", BD_NOTE, W("stock.weaker"),
                     BD_ARGS(bd_exact(floor(1.0 / s->least_share), ""),
                             bd_amount(b->coldest_degc, "degC"),
                             bd_amount(PERCENT * (1.0 - share->value.typical), "%")),
                     bd_cite_fact(share, source));
}

/* ---- the label -------------------------------------------------------------- */

static const char *label_words(const bottle *b, size_t which)
{
    if (b->bottles == 1)
        return W("table.label");
    return which == CALCIUM_BOTTLE ? W("table.label_calcium") : W("table.label_other");
}

static void show_label(const bottle *b, size_t which)
{
    bd_table *t = bd_card_table(b->card, which == CALCIUM_BOTTLE ? "label" : "label.other",
                                label_words(b, which), BD_NO_ARGS);

    bd_table_column(b->card, t, "line", W("column.line"), "");
    bd_table_line(b->card, t, W("label.stock"), BD_NO_ARGS);
    for (size_t i = 0; i < b->offers.count; i++)
        if (b->bottle_of[i] == which)
            bd_table_line(
                b->card, t, W("label.salt"),
                BD_ARGS(bd_name(b->offers.items[i].title), bd_amount(b->plans[i].salt_g, "g")));
    bd_table_line(b->card, t, W("label.use"),
                  BD_ARGS(bd_amount(b->stock_l, "L"), bd_amount(b->plans[0].stock_l_per_can, "L"),
                          bd_amount(b->can_l, "L")));
    bd_table_line(b->card, t, W("label.not_for_drinking"), BD_NO_ARGS);
    bd_table_line(b->card, t, W("label.date"), BD_NO_ARGS);
    bd_table_line(b->card, t, W("label.poison"), BD_NO_ARGS);
}

bd_status bd_job_stock(const bd_knowledge *know, const bd_request *request, bd_card *card,
                       bd_error *err)
{
    bottle b = {.know = know, .request = request, .card = card, .err = err};
    bd_handling handling = {.is_soil = true};
    bd_status status = read_bottle(&b);

    if (status == BD_OK)
        status = solve_cold(&b);
    if (status == BD_OK)
        status = plan(&b);
    if (status != BD_OK)
        return status;
    bd_card_title(card,
                  b.bottles > 1         ? W("stock.title_two")
                  : b.offers.count == 1 ? W("stock.title")
                                        : W("stock.title_mix"),
                  BD_ARGS(bd_name(b.offers.items[0].title), bd_amount(b.stock_l, "L"),
                          bd_count((double)b.offers.count)));
    judge_pair(&b);
    solve_feed(&b);
    judge_feed(&b);
    tell_ratio(&b);
    show_cold(&b);
    if (bd_card_verdict(card) != BD_STOP) {
        show_salts(&b);
        show_use(&b);
        for (size_t i = 0; i < b.bottles; i++)
            show_label(&b, i);
    }
    show_delivery(&b);
    bd_bath_show(&b.feed, know, card);
    bd_card_find(card, "stock.two_steps", BD_NOTE, W("stock.two_steps"), BD_NO_ARGS,
                 "common practice, no source");
    bd_offers_handling(&b.offers, &handling);
    handling.is_seedling = b.planting.is_seedling;
    handling.crop = b.planting.crop;
    bd_cautions_add(card, know->catalogue, &handling);
    return BD_OK;
}
