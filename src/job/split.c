#include "job/split.h"

#include <math.h>
#include <string.h>

#include "guard/judge.h"
#include "model/ceiling.h"

static const double noise = 1e-9; /* of a division that comes out even */

/* How often a ceiling lets one feed, and what its strengths are called. */
static const struct rhythm {
    const char *per, *gap, *usual_key, *most_key;
} rhythms[] = {
    {"each watering", "weak-feed-gap", W("split.usual"), W("split.most")},
    {"once a week", "weekly-feed-gap", W("split.usual_weekly"), W("split.most_weekly")},
};
enum { RHYTHM_COUNT = sizeof rhythms / sizeof rhythms[0] };

typedef struct splitter {
    const bd_knowledge *know;
    const bd_splitting *what;
    bd_card *card;
    double days_left; /* 0: not known                                   */
    bd_table *table;  /* NULL until the first row                       */
    bool has_one_that_fits;
} splitter;

/* A ceiling as strengths of the product. */
typedef struct step {
    const char *name; /* of what the ceiling is on */
    double usual_g_per_l, most_g_per_l;
    const struct rhythm *rhythm;
} step;

static bd_ceiling find(const splitter *s, const char *material, bd_limit_of of,
                       const bd_nutrient *n, const char *per)
{
    size_t count, crop_count;
    const bd_limit *limits = bd_catalogue_limits(s->know->catalogue, &count);
    const bd_crop *crops = bd_catalogue_crops(s->know->catalogue, &crop_count);
    bd_ceiling_query query = {.material = material,
                              .use =
                                  s->what->planting->is_seedling ? BD_USE_SEEDLING : BD_USE_DRENCH,
                              .of = of,
                              .nutrient = n,
                              .per = per,
                              .groups = s->what->planting->groups,
                              .crops = crops,
                              .crop_count = crop_count};

    return bd_ceiling_find(limits, count, &query);
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

/* Whole days between feeds: the usual ones, fewer where harvest is near, never under the least. */
static double days_between(const splitter *s, double feeds, const struct rhythm *rhythm)
{
    const bd_fact *gap = bd_catalogue_practice(s->know->catalogue, rhythm->gap);
    double days = gap->value.typical;

    if (s->days_left > 0.0)
        days = fmin(days, floor(s->days_left / feeds + noise));
    return fmax(days, gap->value.low);
}

static const char *fits_words(splitter *s, double feeds, double interval_d)
{
    if (!(s->days_left > 0.0))
        return W("split.days_unknown");
    if (bd_is_over(feeds * interval_d, s->days_left))
        return W("split.too_late");
    s->has_one_that_fits = true;
    return W("split.fits");
}

static void add_row(splitter *s, const step *at, const char *key, double g_per_l)
{
    double litres = s->what->season_g / g_per_l;
    double feeds = ceil(litres / s->what->per_bag_l - noise);
    double interval_d = days_between(s, feeds, at->rhythm);

    open_table(s);
    bd_table_line(s->card, s->table, key, BD_ARGS(bd_name(at->name)));
    bd_table_number(s->card, s->table, g_per_l);
    bd_table_number(s->card, s->table, g_per_l * s->what->per_bag_l);
    bd_table_number(s->card, s->table, litres);
    bd_table_number(s->card, s->table, feeds);
    bd_table_number(s->card, s->table, interval_d);
    bd_table_line(s->card, s->table, fits_words(s, feeds, interval_d), BD_NO_ARGS);
}

static void add_step(splitter *s, const step *at)
{
    if (!(at->most_g_per_l > 0.0) || !bd_is_over(s->what->strength_g_per_l, at->most_g_per_l))
        return;
    if (at->usual_g_per_l > 0.0 && at->usual_g_per_l < at->most_g_per_l)
        add_row(s, at, at->rhythm->usual_key, at->usual_g_per_l);
    add_row(s, at, at->rhythm->most_key, at->most_g_per_l);
}

static void split_by_product(splitter *s, const struct rhythm *rhythm)
{
    const bd_offer *o = s->what->offer;
    bd_ceiling c;

    if (o->material == NULL)
        return;
    c = find(s, o->material->name, BD_LIMIT_PRODUCT_STRENGTH, NULL, rhythm->per);
    if (c.limit != NULL && !c.is_never)
        add_step(s, &(step){o->material->title, c.usual, c.most, rhythm});
}

static void split_by_nutrient(splitter *s, bd_nutrient n, const struct rhythm *rhythm)
{
    double share = s->what->offer->product.share[n].high;
    bd_ceiling c;

    if (!(share > 0.0))
        return;
    c = find(s, "any", BD_LIMIT_NUTRIENT_STRENGTH, &n, rhythm->per);
    if (c.limit != NULL && !c.is_never)
        add_step(s, &(step){bd_nutrient_symbol(n), bd_ceiling_as_element(&c, c.usual) / share,
                            bd_ceiling_as_element(&c, c.most) / share, rhythm});
}

void bd_split_show(const bd_knowledge *know, const bd_request *request,
                   const bd_splitting *splitting, bd_card *card)
{
    const bd_value *left = bd_request_get(request, BD_OPT_DAYS_LEFT);
    splitter s = {.know = know,
                  .what = splitting,
                  .card = card,
                  .days_left = left == NULL ? 0.0 : left->number.low};

    for (size_t i = 0; i < RHYTHM_COUNT; i++) {
        split_by_product(&s, &rhythms[i]);
        for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
            split_by_nutrient(&s, (bd_nutrient)n, &rhythms[i]);
    }
    if (s.table == NULL)
        return;
    bd_card_find(card, "feed.split", BD_NOTE, W("split.offer"), BD_NO_ARGS,
                 "common practice, no source");
    if (s.days_left > 0.0 && !s.has_one_that_fits)
        bd_card_find(card, "feed.split.late", BD_CARE, W("split.none_fits"), BD_NO_ARGS,
                     "common practice, no source");
}
