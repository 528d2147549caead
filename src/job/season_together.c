/*
 * Several groups of different bags fed on one day, in one list: what it adds up to
 * bag by bag and can by can, and the cans when all get the same strength.
 */
#include "job/season_tables.h"

#include "base/date.h"
#include "base/text.h"
#include "model/measure.h"

static const double nothing_g = 1e-6; /* rounding, not an amount */

enum { NAMES_SIZE = 64 * 1024 };

/* The groups that get a product on a day, and what of it. */
typedef struct gathering {
    int date;
    size_t product;
    const bd_season_group *groups[BD_GARDEN_GROUPS_MAX];
    bd_feed_group feeds[BD_GARDEN_GROUPS_MAX];
    size_t count;
} gathering;

/* Grams a bag of the group gets in what is poured on a date; 0 when none. */
static double poured_g(const bd_season_group *g, int date, size_t product)
{
    for (size_t k = 0; g->is_dissolved && k < g->rounds.count; k++) {
        const bd_round *round = &g->rounds.rounds[k];

        if (!round->is_base && g->garden->sown + round->day == date &&
            round->g[product] > nothing_g)
            return round->g[product];
    }
    return 0.0;
}

static void gather(const bd_season *s, int date, size_t product, gathering *out)
{
    *out = (gathering){.date = date, .product = product};
    for (size_t i = 0; i < s->group_count; i++) {
        const bd_season_group *g = &s->groups[i];
        double dose_g = poured_g(g, date, product);

        if (!(dose_g > 0.0))
            continue;
        out->groups[out->count] = g;
        out->feeds[out->count++] = (bd_feed_group){g->bags.count, dose_g, g->pour_l};
    }
}

static void put_names(const bd_season *s, bd_table *t, const gathering *many)
{
    bd_text names;

    bd_text_init(&names, NAMES_SIZE);
    for (size_t i = 0; i < many->count; i++)
        bd_text_addf(&names, "%s%s", i == 0 ? "" : ", ", many->groups[i]->garden->name);
    s->card->has_failed |= !bd_text_ok(&names);
    bd_table_line(s->card, t, W("plain"), BD_ARGS(bd_name(bd_text_ok(&names) ? names.s : "")));
    bd_text_clear(&names);
}

/* Cans are listed only for what may be mixed in one, and weighed well enough; else the sum is that
 * of the bags. */
static void put_cans(const bd_season *s, bd_table *t, const bd_group_sum *sum)
{
    const bd_cans *cans = &sum->together;
    bool has_cans = sum->is_one_feed && !bd_season_is_coarse(s, cans);
    const struct {
        bool has;
        double value;
    } cells[] = {{true, cans->full},
                 {true, cans->full_g},
                 {cans->last_l > 0.0, cans->last_l},
                 {cans->last_l > 0.0, cans->last_g}};

    for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++)
        if (has_cans && cells[i].has)
            bd_table_number(s->card, t, cells[i].value);
        else
            bd_table_empty(s->card, t);
    bd_table_number(s->card, t, has_cans ? cans->sum_g : sum->exact_g);
}

static void put_row(const bd_season *s, bd_table *t, const gathering *many, const bd_group_sum *sum)
{
    char date[BD_DATE_SIZE];

    bd_table_line(s->card, t, W("plain"), BD_ARGS(bd_name(bd_date_print(many->date, date))));
    bd_table_line(s->card, t, W("plain"), BD_ARGS(bd_name(s->shelf.items[many->product].title)));
    put_names(s, t, many);
    bd_table_number(s->card, t, sum->bags);
    bd_table_number(s->card, t, sum->bags_g);
    bd_table_number(s->card, t, sum->cans_l);
    put_cans(s, t, sum);
}

static bd_table *begin(const bd_season *s)
{
    bd_table *t = bd_card_table(s->card, "together", W("table.season_together"), BD_NO_ARGS);

    bd_table_column(s->card, t, "day", W("column.date"), "");
    bd_table_column(s->card, t, "product", W("column.product"), "");
    bd_table_column(s->card, t, "groups", W("column.bags_of"), "");
    bd_table_column(s->card, t, "bags", W("column.bags"), "");
    bd_table_column(s->card, t, "by_bag", W("column.bag_by_bag"), "g");
    bd_table_column(s->card, t, "feed", W("column.feed_l"), "L");
    bd_table_column(s->card, t, "cans", W("column.full_cans"), "");
    bd_table_column(s->card, t, "can_g", W("column.each_can"), "g");
    bd_table_column(s->card, t, "last_l", W("column.last_can"), "L");
    bd_table_column(s->card, t, "last_g", W("column.last_can"), "g");
    bd_table_column(s->card, t, "total_g", W("column.all_cans"), "g");
    return t;
}

/* A gathering is listed with its first group. */
static void list(const bd_season *s, bd_table **t, const bd_season_group *first, int date,
                 size_t product)
{
    bd_group_share shares[BD_GARDEN_GROUPS_MAX];
    bd_group_sum sum;
    gathering many;

    gather(s, date, product, &many);
    if (many.count < 2 || many.groups[0] != first ||
        bd_groups_measure(many.feeds, many.count, s->garden->tools.can_l, bd_season_scale_step(s),
                          shares, &sum, NULL) != BD_OK)
        return;
    if (*t == NULL)
        *t = begin(s);
    put_row(s, *t, &many, &sum);
}

void bd_season_table_together(const bd_season *s)
{
    bd_table *t = NULL;

    for (size_t n = 0; n < s->group_count && s->garden->tools.can_l > 0.0; n++) {
        const bd_season_group *g = &s->groups[n];

        for (size_t k = 0; g->is_dissolved && k < g->rounds.count; k++)
            for (size_t i = 0; i < s->shelf.count; i++)
                if (!g->rounds.rounds[k].is_base && g->rounds.rounds[k].g[i] > nothing_g)
                    list(s, &t, g, g->garden->sown + g->rounds.rounds[k].day, i);
    }
}
