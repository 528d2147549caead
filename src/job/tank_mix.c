#include "job/tank_mix.h"

#include <math.h>

#include "guard/cautions.h"
#include "model/ceiling.h"
#include "model/solubility.h"
#include "nutrients/cite.h"

#define ML_PER_L 1000.0

/* In which order kinds of product go in. */
typedef enum turn { TURN_SALT, TURN_LIQUID, TURN_CHELATE, TURN_COUNT } turn;

typedef struct place {
    size_t offer;
    turn turn;
    double g_per_100g; /* that dissolve; HUGE_VAL where not known */
} place;

typedef struct filling {
    const bd_knowledge *know;
    const bd_tank_mix *mix;
    bd_card *card;
    double litres; /* that are made up */
    place places[BD_PRODUCTS_MAX];
    size_t count;
    bd_table *table;
    double step;
} filling;

static const char no_source[] = "common practice, no source";

void bd_tank_mix_judge(const bd_request *request, bd_card *card)
{
    if (bd_request_get(request, BD_OPT_HAD_WEED_KILLER) != NULL)
        bd_card_find(card, "sprayer.weed_killer", BD_STOP, W("sprayer.weed_killer"), BD_NO_ARGS,
                     no_source);
}

/* ---- the order ------------------------------------------------------------ */

static turn turn_of(const bd_offer *o)
{
    const bd_material *m = o->material;

    if (m != NULL && m->kind == BD_FERTILISER && bd_material_has(m, BD_TRAIT_METAL))
        return TURN_CHELATE;
    return o->product.is_liquid ? TURN_LIQUID : TURN_SALT;
}

static double dissolves(const filling *f, const bd_offer *o, double water_c)
{
    size_t count;
    const bd_solubility *curves = bd_catalogue_solubilities(f->know->catalogue, &count);
    double g_per_100g = HUGE_VAL;

    if (o->material == NULL || bd_solubility_strictest(curves, count, o->material->name, water_c,
                                                       &g_per_100g, NULL, NULL) != BD_OK)
        return HUGE_VAL;
    return g_per_100g;
}

static bool comes_before(const place *a, const place *b)
{
    return a->turn < b->turn || (a->turn == b->turn && a->g_per_100g < b->g_per_100g);
}

/* Within a turn the one that dissolves worst goes first, into the most and the purest water. */
static void put_in_order(filling *f, double water_c)
{
    for (size_t i = 0; i < f->mix->offers->count; i++) {
        const bd_offer *o = &f->mix->offers->items[i];
        place p = {i, turn_of(o), dissolves(f, o, water_c)};
        size_t at = f->count++;

        for (; at > 0 && comes_before(&p, &f->places[at - 1]); at--)
            f->places[at] = f->places[at - 1];
        f->places[at] = p;
    }
}

static bool cools_the_water(const bd_offer *o)
{
    return o->material != NULL && (bd_material_has(o->material, BD_TRAIT_NITRATE) ||
                                   bd_material_has(o->material, BD_TRAIT_UREA));
}

static const char *reason_of(const filling *f, const place *p)
{
    if (p->turn == TURN_LIQUID)
        return W("order.liquid_why");
    if (p->turn == TURN_CHELATE)
        return W("order.chelate_why");
    if (cools_the_water(&f->mix->offers->items[p->offer]))
        return W("order.cools_why");
    return f->count > 1 && p == f->places ? W("order.slowest_why") : W("order.salt_why");
}

static void add_row(filling *f, const char *key, const bd_arg *args, const char *why)
{
    bd_table_number(f->card, f->table, ++f->step);
    bd_table_line(f->card, f->table, key, args);
    bd_table_line(f->card, f->table, why, BD_NO_ARGS);
}

/* Without its grams: how they are measured out stands with the tools. */
static void add_product(filling *f, const place *p)
{
    double stock_ml = f->mix->stock_ml[p->offer];

    if (stock_ml > 0.0) {
        add_row(f, W("order.stock"),
                BD_ARGS(bd_name(f->mix->offers->items[p->offer].title), bd_amount(stock_ml, "mL")),
                W("order.stock_why"));
        return;
    }
    add_row(f, W("order.product"), BD_ARGS(bd_name(f->mix->offers->items[p->offer].title)),
            reason_of(f, p));
}

/* The mark of a syringe [mL]; nothing finer can be measured. */
static double syringe_step_ml(const filling *f, const bd_request *request)
{
    const bd_value *given = bd_request_get(request, BD_OPT_SYRINGE_STEP);

    return ML_PER_L *
           (given != NULL
                ? given->number.typical
                : bd_catalogue_practice(f->know->catalogue, "syringe-step")->value.typical);
}

static void add_wetter(filling *f, const bd_request *request)
{
    bd_range ml =
        bd_range_scale(bd_catalogue_practice(f->know->catalogue, "wetter")->value, f->litres);
    double step = syringe_step_ml(f, request);
    bool is_measurable = ml.high >= step;

    ml.low = fmax(ml.low, step);
    ml.typical = fmax(ml.typical, step);
    add_row(f, is_measurable ? W("order.wetter") : W("order.no_wetter"),
            BD_ARGS(bd_amount_range(ml, "mL")),
            is_measurable ? W("order.wetter_why") : W("order.no_wetter_why"));
}

/* Phosphate, ammonium and alkalis give a mix their own pH, whatever the water had. */
static bool is_ph_of_products(const filling *f)
{
    for (size_t i = 0; i < f->mix->offers->count; i++) {
        const bd_material *m = f->mix->offers->items[i].material;

        if (m != NULL && (bd_material_has(m, BD_TRAIT_PHOSPHATE) ||
                          bd_material_has(m, BD_TRAIT_AMMONIUM) || bd_material_is_alkali(m)))
            return true;
    }
    return false;
}

/* Lye before the products would have them fall out; acid first clears the way for them, unless they
 * set the pH themselves. */
static void add_titrant(filling *f, bool is_before_products)
{
    const bd_titrant *t = f->mix->titrant;
    bool is_acid, is_first;

    if (!bd_titrant_can_be_measured(t, f->litres))
        return;
    is_acid = t->product.is_liquid;
    is_first = is_acid && !is_ph_of_products(f);
    if (is_first != is_before_products)
        return;
    add_row(f, is_acid ? W("order.acid") : W("order.lye"), BD_ARGS(bd_name(t->material->title)),
            is_first  ? W("order.acid_first_why")
            : is_acid ? W("order.acid_last_why")
                      : W("order.lye_why"));
}

static void show_order(filling *f, const bd_request *request)
{
    double first = bd_catalogue_practice(f->know->catalogue, "tank-fill-first")->value.typical;
    char source[BD_CITE_SIZE];

    f->table =
        bd_card_table(f->card, "order", W("table.order"), BD_ARGS(bd_amount(f->litres, "L")));
    bd_table_column(f->card, f->table, "step", W("column.step"), "");
    bd_table_column(f->card, f->table, "what", W("column.what"), "");
    bd_table_column(f->card, f->table, "why", W("column.why"), "");
    add_row(f, W("order.water"), BD_ARGS(bd_amount(first * f->litres, "L")), W("order.water_why"));
    add_titrant(f, true);
    for (size_t i = 0; i < f->count; i++)
        add_product(f, &f->places[i]);
    add_titrant(f, false);
    add_row(f, W("order.fill"), BD_ARGS(bd_amount(f->litres, "L")), W("order.fill_why"));
    add_wetter(f, request);
    bd_card_find(f->card, "tank.order", BD_NOTE, W("order.one_at_a_time"), BD_NO_ARGS,
                 bd_rule_source(f->know->catalogue, "order.one_at_a_time", source));
}

static void show_wetter(const filling *f)
{
    const bd_fact *wetter = bd_catalogue_practice(f->know->catalogue, "wetter");
    char source[BD_CITE_SIZE];

    bd_card_figure(f->card, "spray.wetter", W("figure.wetter"), BD_NO_ARGS, wetter->value, "mL/L");
    bd_card_find(f->card, "spray.wetter", BD_NOTE, W("spray.wetter"), BD_NO_ARGS,
                 bd_cite_fact(wetter, source));
}

/* ---- the water -------------------------------------------------------------- */

static void ask_of_water(const bd_request *request, bd_card *card)
{
    static const struct {
        const char *id, *key;
    } questions[] = {{"water.kettle", W("water.kettle")},
                     {"water.softener", W("water.softener")},
                     {"water.salt", W("water.salt")}};

    if (bd_request_get(request, BD_OPT_WATER) != NULL)
        return;
    for (size_t i = 0; i < sizeof questions / sizeof questions[0]; i++)
        bd_card_find(card, questions[i].id, BD_NOTE, questions[i].key, BD_NO_ARGS, no_source);
}

/* ---- the rest ----------------------------------------------------------------- */

/* Grams of a product that one bag may be given as a dressing; 0 where that is not known. */
static double bag_takes_g(const filling *f, const bd_offer *o)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(f->know->catalogue, &count);
    bd_ceiling_query query = {.material = o->material == NULL ? "" : o->material->name,
                              .use = BD_USE_SIDEDRESS,
                              .of = BD_LIMIT_PRODUCT_PER_AREA,
                              .groups = f->mix->planting->groups};
    bd_ceiling c = bd_ceiling_find(limits, count, &query);

    if (c.limit == NULL || c.is_never || f->mix->bags->size == NULL)
        return 0.0;
    return c.usual * f->mix->bags->bag.area_m2;
}

/* Bags whose mix can take the rest, by the product that asks for most; 0 where one is not known. */
static double bags_for_rest(const filling *f, double rest_l)
{
    double most = 0.0;

    for (size_t i = 0; i < f->mix->offers->count; i++) {
        double takes = bag_takes_g(f, &f->mix->offers->items[i]);

        if (!(takes > 0.0))
            return 0.0;
        most = fmax(most, ceil(f->mix->g_per_l[i].typical * rest_l / takes));
    }
    return most;
}

static void tell_rest(const filling *f, double rest_l, double grams, double bags)
{
    bool is_too_much = bags > f->mix->bags->count;
    const char *key = is_too_much  ? W("spray.left_over_too_much")
                      : bags > 0.0 ? W("spray.left_over")
                                   : W("spray.left_over_unknown");

    bd_card_find(f->card, "spray.left_over", is_too_much ? BD_CARE : BD_NOTE, key,
                 BD_ARGS(bd_amount(rest_l, "L"), bd_amount(grams, "g"), bd_count(bags)), no_source);
}

static void show_rest(const filling *f)
{
    double rest_l = f->mix->tank_l - f->mix->needed_l, grams = 0.0, bags;

    if (!(f->mix->needed_l > 0.0 && rest_l > 0.0))
        return;
    for (size_t i = 0; i < f->mix->offers->count; i++)
        grams += f->mix->g_per_l[i].typical * rest_l;
    bags = bags_for_rest(f, rest_l);
    bd_card_figure(f->card, "spray.left_over", W("figure.left_over"), BD_NO_ARGS,
                   bd_exactly(rest_l), "L");
    bd_card_figure(f->card, "spray.left_over_salt", W("figure.left_over_salt"), BD_NO_ARGS,
                   bd_exactly(grams), "g");
    if (bags > 0.0)
        bd_card_figure(f->card, "spray.left_over_bags", W("figure.left_over_bags"), BD_NO_ARGS,
                       bd_exactly(bags), "");
    tell_rest(f, rest_l, grams, bags);
}

void bd_tank_mix_show(const bd_knowledge *know, const bd_request *request, const bd_tank_mix *mix,
                      bd_card *card)
{
    const bd_value *t = bd_request_get(request, BD_OPT_WATER_TEMPERATURE);
    double water_c =
        t != NULL ? t->number.typical
                  : bd_catalogue_practice(know->catalogue, "water-temperature")->value.typical;
    bool is_small = mix->mixed_l > 0.0 && mix->mixed_l < mix->tank_l;
    filling f = {
        .know = know, .mix = mix, .card = card, .litres = is_small ? mix->mixed_l : mix->tank_l};

    ask_of_water(request, card);
    bd_card_find(card, "spray.rain_after", BD_NOTE, W("spray.rain_after"), BD_NO_ARGS, no_source);
    if (bd_card_verdict(card) == BD_STOP)
        return;
    show_wetter(&f);
    show_rest(&f);
    put_in_order(&f, water_c);
    show_order(&f, request);
}
