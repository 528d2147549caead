#include "job/season_tables.h"

#include <math.h>
#include <string.h>

#include "base/date.h"
#include "model/measure.h"
#include "nutrients/cite.h"

static const double nothing_g = 1e-6; /* rounding, not an amount */
static const double g_per_kg = 1000.0;
static const double scoop_step = 0.5; /* half a level scoop is the least a hand can tell */

/* ---- cells ------------------------------------------------------------------------- */

static void put_name(const bd_season *s, bd_table *t, const char *name)
{
    bd_table_line(s->card, t, W("plain"), BD_ARGS(bd_name(name)));
}

/* A day of a group's season as a date. */
static void put_day(const bd_season *s, bd_table *t, const bd_season_group *g, int day)
{
    char date[BD_DATE_SIZE];

    put_name(s, t, bd_date_print(g->garden->sown + day, date));
}

static void put_number_or_nothing(const bd_season *s, bd_table *t, bool has, double x)
{
    if (has)
        bd_table_number(s->card, t, x);
    else
        bd_table_empty(s->card, t);
}

static bd_table *begin(const bd_season *s, const char *id, const char *key)
{
    bd_table *t = bd_card_table(s->card, id, key, BD_NO_ARGS);

    bd_table_column(s->card, t, "group", W("column.bags_of"), "");
    return t;
}

/* ---- rounds --------------------------------------------------------------------------- */

static bool has_scoop(const bd_season *s)
{
    for (size_t i = 0; i < s->shelf.count; i++)
        if (s->garden->shelf[i].scoop != NULL && bd_season_total(s, i) > nothing_g)
            return true;
    return false;
}

static bool has_rounds(const bd_season *s)
{
    for (size_t k = 0; k < s->group_count; k++)
        if (s->groups[k].rounds.count > 0)
            return true;
    return false;
}

double bd_season_millilitres(const bd_season *s, size_t product, double grams)
{
    const bd_product *p = &s->shelf.items[product].product;

    return p->is_liquid && p->density_kg_per_l > 0.0 ? grams / p->density_kg_per_l : 0.0;
}

static bool has_liquid(const bd_season *s)
{
    for (size_t i = 0; i < s->shelf.count; i++)
        if (bd_season_millilitres(s, i, 1.0) > 0.0 && bd_season_total(s, i) > nothing_g)
            return true;
    return false;
}

static const char *way_of(const bd_season *s, const bd_season_group *g, const bd_round *round,
                          size_t product)
{
    if (s->shelf.items[product].product.is_liquid)
        return round->is_base    ? W("season.mix_in_liquid")
               : g->is_dissolved ? W("season.pour_liquid")
                                 : W("season.pour_neat");
    if (round->is_base)
        return W("season.mix_in");
    return g->is_dissolved ? W("season.pour") : W("season.spread_dry");
}

static double ece_on(const bd_season_group *g, int day)
{
    int since = day - g->order.from_day;

    if (since < 0)
        since = 0;
    return g->ece_of_day[since > BD_SEASON_DAYS_MAX ? BD_SEASON_DAYS_MAX : since];
}

static double scoops_of(const bd_garden_product *product, double grams)
{
    if (product->scoop == NULL)
        return 0.0;
    return round(grams / product->scoop_g / scoop_step) * scoop_step;
}

double bd_season_round_number(const bd_season_group *g, size_t round)
{
    return (double)(g->rounds_given + round + 1);
}

static void put_round(const bd_season *s, bd_table *t, const bd_season_group *g, size_t k, size_t i)
{
    const bd_round *round = &g->rounds.rounds[k];
    const bd_garden_product *product = &s->garden->shelf[i];
    bool is_poured = g->is_dissolved && !round->is_base;

    put_name(s, t, g->garden->name);
    bd_table_number(s->card, t, bd_season_round_number(g, k));
    put_day(s, t, g, round->day);
    bd_table_line(s->card, t, way_of(s, g, round, i), BD_ARGS(bd_name(s->shelf.items[i].title)));
    bd_table_number(s->card, t, round->g[i]);
    if (has_liquid(s))
        put_number_or_nothing(s, t, bd_season_millilitres(s, i, 1.0) > 0.0,
                              bd_season_millilitres(s, i, round->g[i]));
    bd_table_number(s->card, t, round->g[i] * g->bags.count);
    put_number_or_nothing(s, t, is_poured, g->pour_l);
    if (has_scoop(s))
        put_number_or_nothing(s, t, product->scoop != NULL, scoops_of(product, round->g[i]));
    bd_table_number(s->card, t, ece_on(g, round->day));
}

static void name_scoops(const bd_season *s)
{
    for (size_t i = 0; i < s->shelf.count; i++) {
        const bd_garden_product *product = &s->garden->shelf[i];

        if (product->scoop != NULL && bd_season_total(s, i) > nothing_g)
            bd_card_assume(s->card, "season.scoop", W("assume.season_scoop"),
                           BD_ARGS(bd_name(product->scoop), bd_name(s->shelf.items[i].title)),
                           &(bd_range){product->scoop_g, product->scoop_g, product->scoop_g}, "g",
                           "garden file, scoop_holds");
    }
}

void bd_season_table_rounds(const bd_season *s)
{
    bd_table *t;

    if (!has_rounds(s))
        return;
    t = begin(s, "rounds", W("table.rounds"));
    bd_table_column(s->card, t, "round", W("column.round"), "");
    bd_table_column(s->card, t, "date", W("column.date"), "");
    bd_table_column(s->card, t, "do", W("column.do"), "");
    bd_table_column(s->card, t, "per_bag", W("column.a_bag"), "g");
    if (has_liquid(s))
        bd_table_column(s->card, t, "per_bag_ml", W("column.a_bag"), "mL");
    bd_table_column(s->card, t, "total", W("column.all_bags"), "g");
    bd_table_column(s->card, t, "pour", W("column.pour"), "L");
    if (has_scoop(s))
        bd_table_column(s->card, t, "scoops", W("column.level_scoops"), "");
    bd_table_column(s->card, t, "ece", W("column.ece_day"), "dS/m");
    for (size_t n = 0; n < s->group_count; n++)
        for (size_t k = 0; k < s->groups[n].rounds.count; k++)
            for (size_t i = 0; i < s->shelf.count; i++)
                if (s->groups[n].rounds.rounds[k].g[i] > nothing_g)
                    put_round(s, t, &s->groups[n], k, i);
    name_scoops(s);
}

/* ---- supply against uptake ------------------------------------------------------------------ */

static void put_supply(const bd_season *s, bd_table *t, const bd_season_group *g, size_t k)
{
    const bd_round *round = &g->rounds.rounds[k];

    put_name(s, t, g->garden->name);
    bd_table_number(s->card, t, bd_season_round_number(g, k));
    bd_table_number(s->card, t, round->day);
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        put_number_or_nothing(s, t, g->rounds.gives[n] > nothing_g, round->supplied[n]);
        bd_table_number(s->card, t, round->taken[n]);
    }
}

/* What the columns of uptake are: drawn by habit, or a plan of supply that stands in for it. */
static void assume_uptake(const bd_season *s, const bd_season_group *g)
{
    const bd_crop_uptake *curve = bd_parts_uptake(s->know->parts, g->planting.crop->name);
    char source[BD_CITE_SIZE];

    if (g->rounds.count > 0)
        bd_card_assume(s->card, "season.uptake", W("assume.season_uptake"),
                       BD_ARGS(bd_name(g->garden->name), bd_name(curve->note)), NULL, "",
                       bd_cite(curve->source, curve->trust, source));
}

void bd_season_table_supply(const bd_season *s)
{
    static const char *const given[] = {"n_given", "p2o5_given", "k2o_given"};
    static const char *const taken[] = {"n_taken", "p2o5_taken", "k2o_taken"};
    static const char *const given_keys[] = {W("column.n_given"), W("column.p2o5_given"),
                                             W("column.k2o_given")};
    static const char *const taken_keys[] = {W("column.n_taken"), W("column.p2o5_taken"),
                                             W("column.k2o_taken")};
    bd_table *t;

    if (!has_rounds(s))
        return;
    t = begin(s, "supply", W("table.supply"));
    bd_table_column(s->card, t, "round", W("column.round"), "");
    bd_table_column(s->card, t, "day", W("column.day"), "");
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        bd_table_column(s->card, t, given[n], given_keys[n], "share");
        bd_table_column(s->card, t, taken[n], taken_keys[n], "share");
    }
    for (size_t n = 0; n < s->group_count; n++)
        for (size_t k = 0; k < s->groups[n].rounds.count; k++)
            put_supply(s, t, &s->groups[n], k);
    for (size_t n = 0; n < s->group_count; n++)
        assume_uptake(s, &s->groups[n]);
}

/* ---- the shelf ---------------------------------------------------------------------------------
 */

static double packs_of(const bd_garden_product *p, double grams)
{
    double missing = grams - (p->has_stock ? p->stock_g : 0.0);

    return missing > nothing_g ? ceil(missing / p->pack_g - nothing_g) : 0.0;
}

static bool is_planned(const bd_season *s, int nutrient)
{
    for (size_t k = 0; k < s->group_count; k++)
        if (s->groups[k].used[nutrient] != NULL)
            return true;
    return false;
}

/* What a product is bought for: of the nutrients planned, the one it holds most of. */
static int bought_for(const bd_season *s, const bd_shelf_item *item)
{
    int best = BD_NPK_COUNT;
    double most = 0.0;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (is_planned(s, n) && item->share[n] > most) {
            most = item->share[n];
            best = n;
        }
    return best;
}

/* The price of a kilogram of that nutrient, whole packs or not. */
static void put_price(const bd_season *s, bd_table *t, size_t i)
{
    const bd_shelf_item *item = &s->groups[0].items[i];
    int n = bought_for(s, item);

    if (!s->garden->shelf[i].has_price || n == BD_NPK_COUNT) {
        bd_table_empty(s->card, t);
        bd_table_empty(s->card, t);
        return;
    }
    bd_table_number(s->card, t, g_per_kg * item->price_per_g / item->share[n]);
    put_name(s, t, bd_npk_name(n));
}

void bd_season_table_shelf(const bd_season *s)
{
    bd_table *t;

    if (s->shelf.count == 0)
        return;
    t = bd_card_table(s->card, "shelf", W("table.shelf"), BD_NO_ARGS);
    bd_table_column(s->card, t, "product", W("column.product"), "");
    bd_table_column(s->card, t, "need", W("column.all_in_all"), "g");
    bd_table_column(s->card, t, "stock", W("column.in_stock"), "g");
    bd_table_column(s->card, t, "packs", W("column.packs"), "");
    bd_table_column(s->card, t, "cost", W("column.cost"), s->garden->currency);
    if (s->has_prices) {
        bd_table_column(s->card, t, "per_kg", W("column.price_per_kg"), s->garden->currency);
        bd_table_column(s->card, t, "of", W("column.of_nutrient"), "");
    }
    for (size_t i = 0; i < s->shelf.count; i++) {
        const bd_garden_product *p = &s->garden->shelf[i];
        double grams = bd_season_total(s, i);

        put_name(s, t, s->shelf.items[i].title);
        bd_table_number(s->card, t, grams);
        put_number_or_nothing(s, t, p->has_stock, p->stock_g);
        put_number_or_nothing(s, t, p->pack_g > 0.0, packs_of(p, grams));
        put_number_or_nothing(s, t, p->has_price, bd_season_price(p, grams));
        if (s->has_prices)
            put_price(s, t, i);
    }
}

/* ---- the account --------------------------------------------------------------------------------
 */

static void put_account(const bd_season *s, bd_table *t, const bd_season_group *g, int n)
{
    put_name(s, t, g->garden->name);
    put_name(s, t, bd_npk_name(n));
    bd_table_number(s->card, t, g->need_g[n]);
    bd_table_number(s->card, t, g->surplus[n]);
    bd_table_number(s->card, t, g->account.of[n].credited);
    bd_table_number(s->card, t, g->rounds.gives[n]);
    bd_table_number(s->card, t, g->shortfall[n]);
    put_number_or_nothing(s, t, bd_season_cut(g, n) > nothing_g, bd_season_cut(g, n));
}

static bd_table *begin_account(const bd_season *s)
{
    bd_table *t = begin(s, "account", W("table.account"));

    bd_table_column(s->card, t, "nutrient", W("column.nutrient"), "");
    bd_table_column(s->card, t, "need", W("column.need"), "g");
    bd_table_column(s->card, t, "surplus", W("column.surplus"), "g");
    bd_table_column(s->card, t, "credits", W("column.credits"), "g");
    bd_table_column(s->card, t, "rounds", W("column.rounds"), "g");
    bd_table_column(s->card, t, "short", W("column.short"), "g");
    bd_table_column(s->card, t, "by_ceiling", W("column.by_ceiling"), "g");
    return t;
}

/* After the harvest nothing is short any more: table "settle" has that group. */
void bd_season_table_account(const bd_season *s)
{
    bd_table *t = NULL;

    for (size_t k = 0; k < s->group_count; k++) {
        if (s->groups[k].is_over)
            continue;
        t = t == NULL ? begin_account(s) : t;
        for (int n = 0; n < BD_NPK_COUNT; n++)
            put_account(s, t, &s->groups[k], n);
    }
}

static void put_npk_range(const bd_season *s, bd_table *t, const bd_npk *amount)
{
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        bd_table_number(s->card, t, amount->of[n].low);
        bd_table_number(s->card, t, amount->of[n].high);
    }
}

static bool has_credits(const bd_season *s)
{
    for (size_t k = 0; k < s->group_count; k++)
        if (s->groups[k].credit_count > 0)
            return true;
    return false;
}

void bd_season_table_credits(const bd_season *s)
{
    static const char *const low[] = {"n_low", "p2o5_low", "k2o_low"};
    static const char *const high[] = {"n_high", "p2o5_high", "k2o_high"};
    static const char *const low_keys[] = {W("column.n_low"), W("column.p2o5_low"),
                                           W("column.k2o_low")};
    static const char *const high_keys[] = {W("column.n_high"), W("column.p2o5_high"),
                                            W("column.k2o_high")};
    bd_table *t;

    if (!has_credits(s))
        return;
    t = begin(s, "credits", W("table.credits"));
    bd_table_column(s->card, t, "from", W("column.from_what"), "");
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        bd_table_column(s->card, t, low[n], low_keys[n], "g");
        bd_table_column(s->card, t, high[n], high_keys[n], "g");
    }
    for (size_t k = 0; k < s->group_count; k++)
        for (size_t i = 0; i < s->groups[k].credit_count; i++) {
            put_name(s, t, s->groups[k].garden->name);
            put_name(s, t, s->groups[k].credits[i].name);
            put_npk_range(s, t, &s->groups[k].credits[i].g_per_bag);
        }
}

/* ---- needs
 * ----------------------------------------------------------------------------------------- */

static const char *basis_key(bd_need_basis basis)
{
    static const char *const keys[BD_BASIS_COUNT] = {[BD_BASIS_AREA] = W("basis.area"),
                                                     [BD_BASIS_PLANT] = W("basis.plant"),
                                                     [BD_BASIS_VOLUME] = W("basis.volume"),
                                                     [BD_BASIS_NONE] = W("basis.bag")};

    return keys[basis];
}

static void put_way(const bd_season *s, bd_table *t, const bd_need *need)
{
    switch (need->way) {
    case BD_NEED_GUIDE:
        bd_table_line(s->card, t, W("season.way_guide"),
                      BD_ARGS(bd_name(need->name), bd_name(need->soil_class)));
        break;
    case BD_NEED_REMOVAL:
        bd_table_line(s->card, t, W("season.way_removal"),
                      BD_ARGS(bd_name(need->name), bd_name(need->part)));
        break;
    case BD_NEED_OWN:
    case BD_NEED_WAY_COUNT:
        bd_table_line(s->card, t, W("season.way_own"), BD_NO_ARGS);
        break;
    }
}

/* Which nutrients a way is used for: "N, K2O". */
static void put_use(const bd_season *s, bd_table *t, const bd_season_group *g, const bd_need *need)
{
    char words[32] = "";

    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (g->used[n] == need) {
            if (words[0] != '\0')
                strncat(words, " ", sizeof words - strlen(words) - 1);
            strncat(words, bd_npk_name(n), sizeof words - strlen(words) - 1);
        }
    if (words[0] == '\0')
        bd_table_empty(s->card, t);
    else
        put_name(s, t, words);
}

static void put_need(const bd_season *s, bd_table *t, const bd_season_group *g, const bd_need *need)
{
    char source[BD_CITE_SIZE] = "";

    put_name(s, t, g->garden->name);
    put_way(s, t, need);
    bd_table_line(s->card, t, basis_key(need->basis), BD_NO_ARGS);
    for (int n = 0; n < BD_NPK_COUNT; n++)
        put_number_or_nothing(s, t, need->is_known[n], need->g_per_bag.of[n].typical);
    put_name(s, t, need->way == BD_NEED_OWN ? "-" : bd_cite(need->name, need->trust, source));
    put_use(s, t, g, need);
}

/* The grower's own field rate by every way it could be carried into the bag. */
static void put_own(const bd_season *s, bd_table *t, const bd_season_group *g,
                    const bd_season_own *own)
{
    put_name(s, t, g->garden->name);
    bd_table_line(s->card, t, W("season.way_own"), BD_NO_ARGS);
    bd_table_line(s->card, t, basis_key(own->basis), BD_NO_ARGS);
    for (int n = 0; n < BD_NPK_COUNT; n++)
        put_number_or_nothing(s, t, n == own->nutrient, own->g_per_bag);
    put_name(s, t, "-");
    if (own->is_used)
        put_name(s, t, bd_npk_name(own->nutrient));
    else
        bd_table_empty(s->card, t);
}

/* Own numbers that came by a basis have rows of their own. */
static bool has_other_row(const bd_season_group *g, const bd_need *need)
{
    size_t rows = 0, entered = 0;

    if (need->way != BD_NEED_OWN)
        return false;
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        bool has_row = false;

        for (size_t i = 0; i < g->own_count; i++)
            has_row |= g->own[i].nutrient == n;
        entered += need->is_known[n] ? 1 : 0;
        rows += need->is_known[n] && has_row ? 1 : 0;
    }
    return rows == entered;
}

/* True for the first of its way that knows the nutrient. */
static bool is_first(const bd_season_group *g, size_t i, int nutrient)
{
    for (size_t k = 0; k < i; k++)
        if (g->needs[k].way == g->needs[i].way && g->needs[k].is_known[nutrient])
            return false;
    return g->needs[i].is_known[nutrient];
}

/* The first few; of each way the first for each nutrient, and what is used, however far down they
 * stand. */
static bool is_worth_a_row(const bd_season_group *g, size_t i)
{
    const bd_need *need = &g->needs[i];
    bool is_wanted = i < BD_SEASON_WAYS_SHOWN;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        is_wanted |= g->used[n] == need || is_first(g, i, n);
    return is_wanted && !has_other_row(g, need);
}

void bd_season_table_needs(const bd_season *s)
{
    bd_table *t = begin(s, "needs", W("table.needs"));

    bd_table_column(s->card, t, "way", W("column.way"), "");
    bd_table_column(s->card, t, "basis", W("column.basis"), "");
    bd_table_column(s->card, t, "n", W("column.n"), "g");
    bd_table_column(s->card, t, "p2o5", W("column.p2o5"), "g");
    bd_table_column(s->card, t, "k2o", W("column.k2o"), "g");
    bd_table_column(s->card, t, "source", W("column.source"), "");
    bd_table_column(s->card, t, "use", W("column.used_for"), "");
    for (size_t k = 0; k < s->group_count; k++) {
        const bd_season_group *g = &s->groups[k];

        for (size_t i = 0; i < g->own_count; i++)
            put_own(s, t, g, &g->own[i]);
        for (size_t i = 0; i < g->need_count; i++)
            if (is_worth_a_row(g, i))
                put_need(s, t, g, &g->needs[i]);
    }
}

/* ---- days and water
 * --------------------------------------------------------------------------------- */

static void put_date(const bd_season *s, bd_table *t, const bd_season_group *g, int day,
                     const char *key)
{
    put_name(s, t, g->garden->name);
    put_day(s, t, g, day);
    bd_table_line(s->card, t, key, BD_NO_ARGS);
}

/* Roots alone lose by late nitrogen and split in wet mix. */
static void put_late_days(const bd_season *s, bd_table *t, const bd_season_group *g)
{
    int ease_off = (int)bd_parts_figure(s->know->parts, "ease-off")->value.typical;
    bool is_root = g->planting.crop->is_root;

    if (g->season_days <= ease_off)
        return;
    if (is_root)
        put_date(s, t, g, g->order.last_nitrogen_day, W("season.last_nitrogen"));
    put_date(s, t, g, g->order.last_day, W("season.last_feed"));
    if (is_root)
        put_date(s, t, g, g->season_days - ease_off, W("season.ease_off"));
}

void bd_season_table_days(const bd_season *s)
{
    bd_table *t = begin(s, "days", W("table.days"));

    bd_table_column(s->card, t, "date", W("column.date"), "");
    bd_table_column(s->card, t, "do", W("column.do"), "");
    for (size_t k = 0; k < s->group_count; k++) {
        const bd_season_group *g = &s->groups[k];

        put_date(s, t, g, 0, W("season.sow"));
        put_late_days(s, t, g);
        put_date(s, t, g, g->season_days, W("season.harvest"));
    }
}

static void assume_figure(const bd_season *s, const char *id, const char *key, const char *name,
                          const char *unit, bool is_range)
{
    const bd_fact *fact = bd_media_figure(s->know->media, name);
    double typical = fact->value.typical;
    bd_range value = is_range ? fact->value : bd_exactly(typical);
    char source[BD_CITE_SIZE];

    bd_card_assume(s->card, id, key, BD_NO_ARGS, &value, unit, bd_cite_fact(fact, source));
}

/* What the litres are worked out from, and the leaves they are for. */
static void assume_water(const bd_season *s)
{
    assume_figure(s, "season.eto", W("assume.season_eto"), "reference-evapotranspiration", "mm/d",
                  true);
    assume_figure(s, "season.canopy", W("assume.season_canopy"), "bag-exposure", "", false);
    assume_figure(s, "season.drains", W("assume.season_drains"), "leaching-fraction", "", false);
    for (size_t k = 0; k < s->group_count; k++) {
        const bd_crop *crop = s->groups[k].planting.crop;
        const bd_fact *kc = crop->kc[0].is_known
                                ? &crop->kc[0]
                                : bd_media_figure(s->know->media, "crop-coefficient");
        char source[BD_CITE_SIZE];

        bd_card_assume(s->card, "season.kc", W("assume.season_kc"),
                       BD_ARGS(bd_name(s->groups[k].garden->name), bd_name(crop->title)), NULL, "",
                       bd_cite_fact(kc, source));
    }
}

void bd_season_table_water(const bd_season *s)
{
    static const char *const stages[BD_WATERING_STAGES] = {
        W("season.stage_initial"), W("season.stage_development"), W("season.stage_mid"),
        W("season.stage_late"), W("season.stage_ease_off")};
    bd_table *t = begin(s, "water", W("table.water"));

    bd_table_column(s->card, t, "stage", W("column.stage"), "");
    bd_table_column(s->card, t, "from", W("column.from_day"), "");
    bd_table_column(s->card, t, "to", W("column.to_day"), "");
    bd_table_column(s->card, t, "kc", W("column.kc"), "");
    bd_table_column(s->card, t, "day_low", W("column.day_low"), "L");
    bd_table_column(s->card, t, "day_high", W("column.day_high"), "L");
    bd_table_column(s->card, t, "every", W("column.every"), "d");
    for (size_t k = 0; k < s->group_count; k++)
        for (int i = 0; i < BD_WATERING_STAGES; i++) {
            const bd_season_group *g = &s->groups[k];
            const bd_watering_stage *w = &g->watering.stages[i];

            if (w->last_day < w->first_day)
                continue;
            put_name(s, t, g->garden->name);
            bd_table_line(s->card, t, stages[i], BD_NO_ARGS);
            put_day(s, t, g, w->first_day - 1);
            put_day(s, t, g, w->last_day - 1);
            bd_table_number(s->card, t, w->kc);
            bd_table_number(s->card, t, w->give_l_per_d.low);
            bd_table_number(s->card, t, w->give_l_per_d.high);
            bd_table_number(s->card, t, floor(w->every_days.low));
        }
    assume_water(s);
}

/* ---- after: overdose and harvest
 * ------------------------------------------------------------------------ */

static bd_table *begin_rescue(const bd_season *s)
{
    bd_table *t = begin(s, "rescue", W("table.rescue"));

    bd_table_column(s->card, t, "over", W("column.over"), "g");
    bd_table_column(s->card, t, "lift", W("column.lift"), "g");
    bd_table_column(s->card, t, "ece_with", W("column.ece"), "dS/m");
    bd_table_column(s->card, t, "portions", W("column.portions"), "");
    bd_table_column(s->card, t, "portion", W("column.portion"), "L");
    bd_table_column(s->card, t, "litres", W("column.flush"), "L");
    bd_table_column(s->card, t, "ece_after", W("column.ece_after"), "dS/m");
    bd_table_column(s->card, t, "wait", W("column.wait"), "d");
    return t;
}

static void put_rescue(const bd_season *s, bd_table *t, const bd_season_group *g)
{
    const bd_rescue *r = &g->rescue;

    put_name(s, t, g->garden->name);
    bd_table_number(s->card, t, r->over_g);
    bd_table_number(s->card, t, r->lift_g);
    bd_table_number(s->card, t, r->ece_with_ds_per_m);
    bd_table_number(s->card, t, r->flush.portions);
    bd_table_number(s->card, t, g->rescue_portion_l);
    bd_table_number(s->card, t, r->flush.litres);
    bd_table_number(s->card, t, r->flush.ece_after_ds_per_m);
    bd_table_number(s->card, t,
                    fmax(0.0, fmin(ceil(r->wait_days),
                                   g->garden->sown + g->season_days - g->garden->overdose.day)));
}

static bd_table *begin_settle(const bd_season *s)
{
    bd_table *t = begin(s, "settle", W("table.settle"));

    bd_table_column(s->card, t, "nutrient", W("column.nutrient"), "");
    bd_table_column(s->card, t, "came", W("column.came"), "g");
    bd_table_column(s->card, t, "removed", W("column.removed"), "g");
    bd_table_column(s->card, t, "drained", W("column.drained"), "g");
    bd_table_column(s->card, t, "left_low", W("column.left_low"), "g");
    bd_table_column(s->card, t, "left_high", W("column.left_high"), "g");
    bd_table_column(s->card, t, "carry", W("column.carry"), "g");
    return t;
}

static void put_settled(const bd_season *s, bd_table *t, const bd_season_group *g)
{
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        const bd_settle_line *line = &g->settlement.of[n];

        put_name(s, t, g->garden->name);
        put_name(s, t, bd_npk_name(n));
        bd_table_number(s->card, t, line->came.typical);
        bd_table_number(s->card, t, line->removed.typical);
        bd_table_number(s->card, t, line->drained.typical);
        bd_table_number(s->card, t, line->left.low);
        bd_table_number(s->card, t, line->left.high);
        bd_table_number(s->card, t, line->carry.low);
    }
}

static void table_rescue(const bd_season *s)
{
    bd_table *t = NULL;

    for (size_t k = 0; k < s->group_count; k++)
        if (s->groups[k].is_rescued) {
            t = t == NULL ? begin_rescue(s) : t;
            put_rescue(s, t, &s->groups[k]);
        }
}

static void table_settle(const bd_season *s)
{
    bd_table *t = NULL;

    for (size_t k = 0; k < s->group_count; k++)
        if (s->groups[k].is_settled) {
            t = t == NULL ? begin_settle(s) : t;
            put_settled(s, t, &s->groups[k]);
        }
}

void bd_season_table_after(const bd_season *s)
{
    table_rescue(s);
    table_settle(s);
}

bool bd_season_lifts(const bd_season_group *g)
{
    return g->rescue.lift_g > nothing_g && !(g->rescue_rinsed_l > 0.0);
}

/* The first day on which it may be fed again. */
static int day_after_wait(const bd_season_group *g)
{
    return g->garden->overdose.day + (int)fmin(ceil(g->rescue.wait_days), BD_SEASON_DAYS_MAX);
}

bool bd_season_is_rescue_done(const bd_season *s, const bd_season_group *g)
{
    return s->request->today > day_after_wait(g) && g->rescue.flush.portions == 0;
}

/* Too long to wait for ends with the harvest. */
static bool is_out_of_season(const bd_season_group *g)
{
    return g->garden->overdose.day + ceil(g->rescue.wait_days) >= g->garden->sown + g->season_days;
}

static void tell_wait(const bd_season *s, const bd_season_group *g)
{
    char until[BD_DATE_SIZE];
    int day = day_after_wait(g);

    if (s->request->today > day) {
        bd_card_find(s->card, "rescue.end", g->rescue.flush.portions > 0 ? BD_CARE : BD_NOTE,
                     g->rescue.flush.portions > 0 ? W("rescue.end_after") : W("rescue.end"),
                     BD_ARGS(bd_name(g->garden->name)), "");
        return;
    }
    if (is_out_of_season(g))
        bd_card_find(s->card, "rescue.wait", BD_CARE, W("rescue.wait_out"),
                     BD_ARGS(bd_name(g->garden->name)), "");
    else
        bd_card_find(s->card, "rescue.wait", BD_CARE, W("rescue.wait"),
                     BD_ARGS(bd_name(g->garden->name), bd_count(ceil(g->rescue.wait_days)),
                             bd_name(bd_date_print(day, until))),
                     "");
}

static void tell_flush(const bd_season *s, const bd_season_group *g)
{
    const bd_rescue *r = &g->rescue;

    if (r->flush.portions == 0) {
        bd_card_find(s->card, "rescue.no_flush", BD_NOTE, W("rescue.no_flush"),
                     BD_ARGS(bd_name(g->garden->name)), "");
        return;
    }
    bd_card_find_limit(s->card, "rescue.flush", BD_CARE,
                       bd_season_lifts(g) ? W("rescue.flush_then") : W("rescue.flush"),
                       BD_ARGS(bd_name(g->garden->name), bd_amount(r->flush.litres, "L"),
                               bd_count(r->flush.portions), bd_amount(g->rescue_portion_l, "L"),
                               bd_amount(r->flush.ece_after_ds_per_m, "dS/m")),
                       r->ece_with_ds_per_m, g->rescue_target_ds_per_m, "dS/m", "");
    if (!r->flush.is_enough)
        bd_card_find(s->card, "rescue.not_enough", BD_CARE, W("rescue.not_enough"),
                     BD_ARGS(bd_name(g->garden->name)), "");
    bd_card_find(s->card, "rescue.drain", BD_CARE, W("rescue.drain"), BD_NO_ARGS, "");
    bd_card_assume(s->card, "season.after_rescue", W("assume.season_after_rescue"),
                   BD_ARGS(bd_name(g->garden->name)), NULL, "", "");
}

void bd_season_tell_rescue(const bd_season *s, const bd_season_group *g)
{
    const bd_rescue *r = &g->rescue;

    if (!g->is_rescued)
        return;
    if (bd_season_is_rescue_done(s, g)) {
        tell_wait(s, g);
        return;
    }
    bd_card_find(s->card, "rescue.over", BD_CARE, W("rescue.over"),
                 BD_ARGS(bd_name(g->garden->name), bd_amount(g->garden->overdose.g_per_bag, "g"),
                         bd_name(g->rescue_material->title), bd_amount(r->over_g, "g")),
                 "");
    if (bd_season_lifts(g))
        bd_card_find(s->card, "rescue.lift", BD_CARE, W("rescue.lift"),
                     BD_ARGS(bd_name(g->garden->name), bd_amount(r->lift_g, "g")), "");
    tell_flush(s, g);
    tell_wait(s, g);
    if (bd_material_has(g->rescue_material, BD_TRAIT_NITRATE))
        bd_card_find(s->card, "rescue.infants", BD_CARE, W("rescue.infants"), BD_NO_ARGS, "");
}

void bd_season_tell_reuse(const bd_season *s, const bd_season_group *g)
{
    static const char *const keys[] = {[BD_REUSE_AS_IS] = W("season.reuse"),
                                       [BD_REUSE_FLUSH] = W("season.flush"),
                                       [BD_REUSE_RETIRE] = W("season.retire")};
    /* Fruit is picked for weeks; a root that is lifted is the end of it. */
    bool is_ended = g->is_over || g->garden->harvested_g > 0.0 || g->planting.crop->is_root;

    if (!g->is_settled || !is_ended)
        return;
    bd_card_find(s->card, "season.reuse", g->reuse == BD_REUSE_AS_IS ? BD_NOTE : BD_CARE,
                 keys[g->reuse],
                 BD_ARGS(bd_name(g->garden->name), bd_amount(g->flush.litres, "L"),
                         bd_count(g->flush.portions)),
                 "common practice, no source");
}
