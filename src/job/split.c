#include "job/split.h"

#include <math.h>
#include <string.h>

#include "guard/judge.h"
#include "job/ahead.h"
#include "model/ceiling.h"
#include "nutrients/cite.h"

static const double noise = 1e-9; /* of a division that comes out even */

enum {
    EACH_WATERING,
    ONCE_A_WEEK,
    RHYTHM_COUNT,
    MOST_STEPS = BD_PRODUCTS_MAX + BD_NUTRIENT_COUNT + 1
};

/* How often a ceiling lets one feed, and what its strengths are called. */
static const struct rhythm {
    const char *per, *gap, *usual_key, *most_key, *stock_id, *stock_key;
} rhythms[RHYTHM_COUNT] = {
    [EACH_WATERING] = {"each watering", "weak-feed-gap", W("split.usual"), W("split.most"),
                       "stock.thin", W("stock.thin")},
    [ONCE_A_WEEK] = {"once a week", "weekly-feed-gap", W("split.usual_weekly"),
                     W("split.most_weekly"), "stock.thin.weekly", W("stock.thin_weekly")},
};

/* A ceiling as shares of the feed that was asked: 0.5 is half as strong. */
typedef struct step {
    const char *name; /* of what the ceiling is on */
    bd_ceiling ceiling;
    double usual, most;
} step;

/* All ceilings of one rhythm on one feed. */
typedef struct ladder {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_planting *planting;
    const bd_bath *bath;
    const struct rhythm *rhythm;
    step steps[MOST_STEPS];
    size_t count;
} ladder;

typedef struct splitter {
    const bd_splitting *what;
    bd_card *card;
    ladder ladders[RHYTHM_COUNT];
    bd_ahead ahead;
    double days_left;
    bd_table *table; /* NULL until the first row */
    bool has_one_that_fits, has_refused;
} splitter;

/* ---- the ceilings ------------------------------------------------------- */

static bd_ceiling find(const ladder *l, const char *material, bd_limit_of of, const bd_nutrient *n)
{
    size_t count, crop_count;
    const bd_limit *limits = bd_catalogue_limits(l->know->catalogue, &count);
    const bd_crop *crops = bd_catalogue_crops(l->know->catalogue, &crop_count);
    bd_ceiling_query query = {.material = material,
                              .use = l->planting->is_seedling ? BD_USE_SEEDLING : BD_USE_DRENCH,
                              .of = of,
                              .nutrient = n,
                              .per = l->rhythm->per,
                              .groups = l->planting->groups,
                              .crops = crops,
                              .crop_count = crop_count};

    return bd_ceiling_find(limits, count, &query);
}

static void add_step(ladder *l, const char *name, bd_ceiling c, double usual, double most)
{
    if (c.limit != NULL && !c.is_never)
        l->steps[l->count++] = (step){name, c, usual, most};
}

static void add_product(ladder *l, const bd_bath_dose *dose)
{
    const bd_offer *o = dose->offer;
    bd_ceiling c;

    if (o->material == NULL)
        return;
    c = find(l, o->material->name, BD_LIMIT_PRODUCT_STRENGTH, NULL);
    add_step(l, o->material->title, c, c.usual / dose->g_per_l.high, c.most / dose->g_per_l.high);
}

static void add_nutrient(ladder *l, bd_nutrient n)
{
    double g_per_l = 0.0;
    bd_ceiling c;

    for (size_t i = 0; i < l->bath->count; i++)
        g_per_l += l->bath->doses[i].g_per_l.high * l->bath->doses[i].offer->product.share[n].high;
    if (!(g_per_l > 0.0))
        return;
    c = find(l, "any", BD_LIMIT_NUTRIENT_STRENGTH, &n);
    if (c.limit != NULL)
        add_step(l, bd_nutrient_symbol(n), c, bd_ceiling_as_element(&c, c.usual) / g_per_l,
                 bd_ceiling_as_element(&c, c.most) / g_per_l);
}

static void add_conductivity(ladder *l)
{
    bd_ceiling c = find(l, "any", BD_LIMIT_EC, NULL);
    double most;

    if (c.limit == NULL)
        return;
    most = bd_bath_share_at_ec(l->bath, l->know, l->request, c.most);
    if (most < 1.0)
        add_step(l, "conductivity", c, bd_bath_share_at_ec(l->bath, l->know, l->request, c.usual),
                 most);
}

static ladder climb(const bd_knowledge *know, const bd_request *request,
                    const bd_planting *planting, const bd_bath *bath, size_t rhythm)
{
    ladder l = {.know = know,
                .request = request,
                .planting = planting,
                .bath = bath,
                .rhythm = &rhythms[rhythm]};

    for (size_t i = 0; i < bath->count; i++)
        add_product(&l, &bath->doses[i]);
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        add_nutrient(&l, (bd_nutrient)n);
    add_conductivity(&l);
    return l;
}

/* The lowest of the highest strengths, NULL without any. */
static const step *lowest(const ladder *l, bool only_firm)
{
    const step *found = NULL;

    for (size_t i = 0; i < l->count; i++)
        if ((!only_firm || bd_trust_can_stop(l->steps[i].ceiling.trust)) &&
            (found == NULL || l->steps[i].most < found->most))
            found = &l->steps[i];
    return found;
}

/* ---- rows --------------------------------------------------------------- */

static double asked_g_per_l(const splitter *s)
{
    return s->what->bath->doses[0].g_per_l.high;
}

static double feeds_of(const bd_splitting *what, double g_per_l)
{
    return ceil(what->season_g / g_per_l / what->per_bag_l - noise);
}

/* A strength whose grams each time print as no more than they are. */
static double printable(const bd_splitting *what, double g_per_l)
{
    return bd_cut_down(g_per_l * what->per_bag_l * (1.0 + noise)) / what->per_bag_l;
}

/* Whole days between feeds: the usual ones, fewer where harvest is near, never under the least. */
static double days_between(const splitter *s, double feeds, const struct rhythm *rhythm)
{
    const bd_fact *gap = bd_catalogue_practice(s->what->know->catalogue, rhythm->gap);
    double days = fmin(gap->value.typical, floor(s->days_left / feeds + noise));

    return fmax(days, gap->value.low);
}

static void open_table(splitter *s)
{
    if (s->table != NULL)
        return;
    s->table = bd_card_table(s->card, "split", W("table.split"), BD_NO_ARGS);
    bd_table_column(s->card, s->table, "limit", W("column.limit"), "");
    bd_table_column(s->card, s->table, "product_per_litre", W("column.strength"), "g/L");
    bd_table_column(s->card, s->table, "product_per_bag", W("column.each_feed"), "g");
    bd_table_column(s->card, s->table, "litres_per_bag", W("column.litres_per_bag"), "L");
    bd_table_column(s->card, s->table, "feeds", W("column.feeds"), "");
    bd_table_column(s->card, s->table, "interval", W("column.interval"), "d");
    bd_table_column(s->card, s->table, "fits", W("column.fits"), "");
}

static const char *fits_words(splitter *s, double feeds, double interval_d)
{
    if (bd_is_over(feeds * interval_d, s->days_left))
        return s->ahead.is_assumed ? W("split.too_late_assumed") : W("split.too_late");
    s->has_one_that_fits = true;
    return s->ahead.is_assumed ? W("split.fits_assumed") : W("split.fits");
}

/* The label and the whole guard, on all feeds of a strength together. */
static bool is_refused(const splitter *s, double g_per_l)
{
    double label = s->what->label_g_per_l;
    bd_card aside;
    bool does_stop;

    if (label > 0.0 && bd_is_over(g_per_l, label))
        return true;
    bd_card_init(&aside, "");
    does_stop =
        s->what->judge_season(s->what->judged, g_per_l / asked_g_per_l(s), &aside) != BD_OK ||
        bd_card_verdict(&aside) == BD_STOP;
    bd_card_clear(&aside);
    return does_stop;
}

/* False where the guard refuses it. */
static bool add_row(splitter *s, const char *key, const char *name, double most_g_per_l,
                    const struct rhythm *rhythm)
{
    double g_per_l = printable(s->what, most_g_per_l);
    double feeds = feeds_of(s->what, g_per_l);
    double interval_d = days_between(s, feeds, rhythm);

    if (is_refused(s, g_per_l)) {
        s->has_refused = true;
        return false;
    }
    open_table(s);
    bd_table_line(s->card, s->table, key, BD_ARGS(bd_name(name)));
    bd_table_number(s->card, s->table, bd_cut_down(g_per_l * (1.0 + noise)));
    bd_table_number(s->card, s->table, g_per_l * s->what->per_bag_l);
    bd_table_number(s->card, s->table, s->what->season_g / g_per_l);
    bd_table_number(s->card, s->table, feeds);
    bd_table_number(s->card, s->table, interval_d);
    bd_table_line(s->card, s->table, fits_words(s, feeds, interval_d), BD_NO_ARGS);
    return true;
}

/* A ceiling that is passed, as rows that no firm ceiling of the same rhythm forbids. */
static void add_rows(splitter *s, const ladder *l, const step *at)
{
    const step *firm = lowest(l, true);
    double cap = firm == NULL ? HUGE_VAL : firm->most, asked = asked_g_per_l(s);

    if (!bd_is_over(1.0, at->most))
        return;
    if (at->usual > 0.0 && at->usual < at->most && !bd_is_over(at->usual, cap))
        (void)add_row(s, l->rhythm->usual_key, at->name, at->usual * asked, l->rhythm);
    if (!bd_is_over(at->most, cap))
        (void)add_row(s, l->rhythm->most_key, at->name, at->most * asked, l->rhythm);
}

/* What no ceiling of its own says how often to give. */
static const struct rhythm *rhythm_of(const splitter *s, double g_per_l)
{
    const step *least = lowest(&s->ladders[EACH_WATERING], false);

    return least != NULL && !bd_is_over(g_per_l / asked_g_per_l(s), least->most)
               ? &rhythms[EACH_WATERING]
               : &rhythms[ONCE_A_WEEK];
}

static void add_label_row(splitter *s)
{
    double label = s->what->label_g_per_l;

    if (s->what->is_over_label && label > 0.0 &&
        add_row(s, W("split.label"), "", label, rhythm_of(s, label)))
        bd_card_find(s->card, "feed.split.label", BD_NOTE, W("split.label_first"), BD_NO_ARGS,
                     "--label-max");
}

static splitter start(const bd_splitting *what, bd_card *card)
{
    const bd_value *left = bd_request_get(what->request, BD_OPT_DAYS_LEFT);
    splitter s = {.what = what,
                  .card = card,
                  .ahead = bd_ahead_of(what->know, what->request, what->planting->crop)};

    s.days_left = left == NULL ? s.ahead.left_days : left->number.low;
    for (size_t i = 0; i < RHYTHM_COUNT; i++)
        s.ladders[i] = climb(what->know, what->request, what->planting, what->bath, i);
    return s;
}

void bd_split_show(const bd_splitting *splitting, bd_card *card)
{
    splitter s = start(splitting, card);

    for (size_t i = 0; i < RHYTHM_COUNT; i++)
        for (size_t k = 0; k < s.ladders[i].count; k++)
            add_rows(&s, &s.ladders[i], &s.ladders[i].steps[k]);
    add_label_row(&s);
    if (s.table == NULL) {
        if (s.has_refused)
            bd_card_find(card, "feed.split.none", BD_NOTE, W("split.none"), BD_NO_ARGS, "");
        return;
    }
    bd_ahead_tell(splitting->know, &s.ahead, card);
    bd_card_find(card, "feed.split", BD_NOTE, W("split.offer"), BD_NO_ARGS,
                 "common practice, no source");
    if (!s.has_one_that_fits)
        bd_card_find(card, "feed.split.late", BD_CARE, W("split.none_fits"), BD_NO_ARGS,
                     "common practice, no source");
}

double bd_split_days_apart(const bd_splitting *splitting, double g_per_l)
{
    splitter s;

    if (!(g_per_l > 0.0))
        return 0.0;
    s = start(splitting, NULL);
    if (is_refused(&s, g_per_l))
        return 0.0;
    return days_between(&s, feeds_of(splitting, g_per_l), rhythm_of(&s, g_per_l));
}

/* ---- a stock ------------------------------------------------------------ */

/* The share of a feed that keeps each product within its label. */
static double share_by_labels(const bd_bath *feed)
{
    double share = HUGE_VAL;

    for (size_t i = 0; i < feed->count; i++)
        if (feed->doses[i].label_max_g_per_l > 0.0)
            share = fmin(share, feed->doses[i].label_max_g_per_l / feed->doses[i].g_per_l.high);
    return share;
}

static double sum_g_per_l(const bd_bath *feed)
{
    double sum = 0.0;

    for (size_t i = 0; i < feed->count; i++)
        sum += feed->doses[i].g_per_l.high;
    return sum;
}

/* The ratio is a whole number, so that a can and an injector follow it. */
static void tell_ratio(const ladder *l, double parts, bd_card *card)
{
    const bd_fact *gap = bd_catalogue_practice(l->know->catalogue, l->rhythm->gap);
    const step *at = lowest(l, false);
    char source[BD_CITE_SIZE];
    double thin;

    if (at == NULL || !bd_is_over(1.0, at->most))
        return;
    thin = ceil(parts / fmin(at->most, share_by_labels(l->bath)) - noise);
    bd_card_find(card, l->rhythm->stock_id, BD_NOTE, l->rhythm->stock_key,
                 BD_ARGS(bd_exact(thin, ""), bd_amount(sum_g_per_l(l->bath) * parts / thin, "g/L"),
                         bd_name(at->name), bd_count(gap->value.typical), bd_count(gap->value.low)),
                 bd_cite(at->ceiling.limit->value.source, at->ceiling.trust, source));
}

void bd_split_tell_stock(const bd_knowledge *know, const bd_request *request,
                         const bd_planting *planting, const bd_bath *feed, double parts,
                         bd_card *card)
{
    for (size_t i = 0; i < RHYTHM_COUNT; i++) {
        ladder l = climb(know, request, planting, feed, i);

        tell_ratio(&l, parts, card);
    }
}
