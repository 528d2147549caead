/*
 * What stays short of a need, what keeps it so, and what would help.
 *
 * Each sentence names the bound that the plan met: the season's ceiling beside what
 * the need goes by, or a bound of a round (of a product, a nutrient, salt), the days
 * or the shelf.  What would help is said only where it would: another product does
 * nothing against a ceiling of the nutrient itself, more rounds nothing where the
 * days allow no more.
 */
#include "job/season.h"

#include <math.h>
#include <string.h>

#include "nutrients/cite.h"

static const double nothing_g = 1e-6; /* rounding, not an amount */

static const char *held_words(const char *by)
{
    static const struct {
        const char *by, *key;
    } words[] = {{"product", W("season.held_product")}, {"salt", W("season.held_salt")},
                 {"mix", W("season.held_mix")},         {"days", W("season.held_days")},
                 {"season", W("season.held_season")},   {"N", W("season.held_n")},
                 {"P2O5", W("season.held_p2o5")},       {"K2O", W("season.held_k2o")}};

    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (strcmp(words[i].by, by) == 0)
            return words[i].key;
    return W("season.held_shelf");
}

/* What keeps a nutrient short beside the season's ceiling: the shelf where nothing of it was chosen
 * to give, else the rounds. */
static const char *held_by(const bd_season *s, const bd_season_group *g, int n, double short_g)
{
    if (s->shelf.count == 0 || g->rounds.held_by == NULL ||
        g->choice.short_of[n] >= short_g - nothing_g)
        return "";
    return g->rounds.held_by;
}

/* The days would bear more rounds than the file wants. */
static bool wants_few_rounds(const bd_season_group *g)
{
    const bd_rounds_order *o = &g->order;
    int from = o->first_day > o->from_day ? o->first_day : o->from_day;

    return bd_request_get(&g->garden->ask, BD_OPT_ROUNDS) != NULL && o->last_day > from &&
           1 + (o->last_day - from) / o->interval_days > o->most_rounds;
}

/* A label that counts by the bag, and the salt a mix bears at a time, are the same in any water. */
static bool helps_more_water(const bd_season *s, const bd_season_group *g, const char *by)
{
    if (!g->is_dissolved)
        return false;
    if (strcmp(by, "salt") == 0)
        return g->order.most_load_ds_l_per_m >= g->most_pour_load_ds_l_per_m;
    for (size_t i = 0; i < s->shelf.count && strcmp(by, "product") == 0; i++) {
        const bd_value *label = s->shelf.items[i].label_max;

        if (g->choice.g[i] > nothing_g && label != NULL && label->kind != BD_KIND_STRENGTH)
            return false;
    }
    return true;
}

static const char *help_with_a_round(const bd_season *s, const bd_season_group *g, const char *by)
{
    bool helps_water = helps_more_water(s, g, by);

    if (wants_few_rounds(g))
        return helps_water ? W("season.help_rounds_litres") : W("season.help_rounds");
    if (helps_water)
        return W("season.help_litres");
    return strcmp(by, "product") == 0 ? W("season.help_product") : W("season.help_none");
}

static const char *help_words(const bd_season *s, const bd_season_group *g, const char *by)
{
    if (strcmp(by, "mix") == 0)
        return W("season.help_mix");
    if (strcmp(by, "days") == 0)
        return W("season.help_days");
    if (strcmp(by, "") == 0 || strcmp(by, "season") == 0)
        return W("season.help_shelf");
    return help_with_a_round(s, g, by);
}

static void tell_rest(const bd_season *s, const bd_season_group *g, int n, double short_g)
{
    const char *by = held_by(s, g, n, short_g);

    if (short_g > nothing_g && short_g <= g->unmeasured_g[n] + nothing_g)
        bd_card_find(s->card, "season.short", BD_NOTE, W("season.short_unmeasured"),
                     BD_ARGS(bd_name(g->garden->name), bd_name(bd_npk_name(n)),
                             bd_amount(short_g, "g"), bd_amount(g->need_g[n], "g")),
                     "");
    else if (short_g > nothing_g)
        bd_card_find(s->card, "season.short", BD_CARE, W("season.short"),
                     BD_ARGS(bd_name(g->garden->name), bd_name(bd_npk_name(n)),
                             bd_words_arg(held_words(by)), bd_amount(short_g, "g"),
                             bd_amount(g->need_g[n], "g"), bd_words_arg(help_words(s, g, by))),
                     "");
}

/* A guide that gives more than the ceiling lets through is named beside it. */
static void tell_cut(const bd_season *s, const bd_season_group *g, int n, double cut_g)
{
    const bd_ceiling *c = &g->limits[n].ceiling;
    const bd_need *used = g->used[n];
    char need[BD_CITE_SIZE], source[BD_CITE_SIZE];
    bool is_own = used == NULL || used->way == BD_NEED_OWN;

    if (!(cut_g > nothing_g))
        return;
    bd_card_find(s->card, "season.short", BD_CARE, W("season.short_ceiling"),
                 BD_ARGS(bd_name(g->garden->name), bd_name(bd_npk_name(n)), bd_amount(cut_g, "g"),
                         bd_amount(g->need_g[n], "g"),
                         is_own ? bd_words_arg(W("season.way_own"))
                                : bd_name(bd_cite(used->name, used->trust, need)),
                         bd_amount(bd_season_limit_rate(g, n), "g/m2"),
                         bd_name(c->limit->crop_title),
                         bd_name(bd_cite(c->limit->value.source, c->trust, source))),
                 "");
}

void bd_season_tell_short(const bd_season *s, const bd_season_group *g)
{
    for (int n = 0; n < BD_NPK_COUNT && !g->is_over; n++) {
        double cut_g = bd_season_cut(g, n);

        tell_cut(s, g, n, cut_g);
        tell_rest(s, g, n, g->shortfall[n] - cut_g);
    }
}
