/*
 * Ceilings of a whole season, carried from the field into the bag.
 *
 * They are in print per area of a field that stood so and so thick.  A field rate
 * and its ceiling belong together: where the need came into the bag by area, by
 * plants or by litres of mix, its ceiling comes the same way, else a tub would be
 * fed by one measure and stopped by another, up to twenty-fold apart (model/bag.h).
 *
 * A need that is no field rate (the grower's own number, what a harvest takes away)
 * has no such way.  Where the file does not say one ("basis"), it is taken by
 * plants: such a number is for the plants at hand, and the tub's top is not the
 * ground that a plant of the field had to itself.  That asks for the field's stand,
 * the file's or the crop's usual one, which the card says.  Without either it is
 * taken by area, the strictest way as a rule.
 *
 * Boron is taken by area however the rest is: no need of it is planned, a little
 * too much in the mix hurts whatever stands in it, and the job sidedress judges it so.
 */
#include "job/season.h"

#include <math.h>
#include <stdio.h>

#include "base/text.h"
#include "guard/judge.h"
#include "job/ground.h"
#include "job/riders.h"
#include "model/oxide.h"
#include "nutrients/cite.h"

static const double nothing_g = 1e-9; /* rounding, not an amount */
static const double mg_per_g = 1000.0;

enum { NAMES_SIZE = 64 * 1024 };

static const bd_nutrient_form forms[BD_SEASON_LIMITS] = {
    {BD_N, false}, {BD_P, true}, {BD_K, true}, {BD_B, false}};

/* ---- the way into the bag ---------------------------------------------------------- */

/* How the need of a nutrient came into the bag; BD_BASIS_NONE when it was for the bag. */
static bd_need_basis basis_of_need(const bd_season_group *g, int n)
{
    if (n == BD_SEASON_BORON)
        return BD_BASIS_AREA;
    if (g->used[n] != NULL && g->used[n]->basis != BD_BASIS_NONE)
        return g->used[n]->basis;
    for (size_t i = 0; i < g->own_count; i++)
        if (g->own[i].nutrient == n && g->own[i].is_used)
            return g->own[i].basis;
    return g->asked_basis;
}

static void choose_basis(const bd_season *s, const bd_season_group *g, int n, bd_season_limit *l)
{
    bd_stand stand = {.crop = g->planting.crop,
                      .plants = g->bags.plants,
                      .field_per_m2 = bd_season_field(s, g).plants_per_m2,
                      .basis = basis_of_need(g, n)};
    bd_ground ground = bd_ground_of(&stand, forms[n].nutrient);

    l->basis = ground.basis;
    l->stand_per_m2 = ground.stand_per_m2;
    l->is_usual_stand = ground.is_usual_stand;
}

/* ---- the amounts ------------------------------------------------------------------- */

static double as_form(int n, const bd_ceiling *c)
{
    return bd_as_form(forms[n], bd_ceiling_as_element(c, c->most));
}

double bd_season_limit_rate(const bd_season_group *g, int nutrient)
{
    return as_form(nutrient, &g->limits[nutrient].ceiling);
}

/* What sprays brought: no feed, and so no credit, but the plant has had it. */
static double sprayed_g(const bd_season_group *g, int n)
{
    bd_nutrient of = forms[n].nutrient;

    return bd_as_form(
        forms[n], fmax(0.0, g->given.gives_g_per_bag[of].high - g->fed.gives_g_per_bag[of].high));
}

static double already_g(const bd_season *s, const bd_season_group *g, int n)
{
    if (n == BD_SEASON_BORON)
        return g->given.gives_g_per_bag[BD_B].high +
               g->watering.season_l.high * bd_season_water_boron(s) / mg_per_g;
    return g->account.of[n].at_most + sprayed_g(g, n);
}

static double given_g(const bd_season *s, const bd_season_group *g, int n)
{
    double sum = 0.0;

    if (n != BD_SEASON_BORON)
        return g->rounds.gives[n];
    for (size_t i = 0; i < s->shelf.count; i++)
        sum += g->rounds.g[i] * g->items[i].boron_share;
    return sum;
}

/* A field rate on the way of a limit [g a bag]. */
static bd_status carry(const bd_season *s, const bd_season_group *g, const bd_season_limit *l,
                       double g_per_m2, double *g_per_bag)
{
    bd_field field = bd_season_field(s, g);
    bd_error e = {.status = BD_OK};
    bd_bases bases;

    field.plants_per_m2 = l->stand_per_m2;
    if (bd_bag_bases(&g->bags.bag, g->bags.plants, 0.0, g_per_m2, &field, &bases, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    *g_per_bag = l->basis == BD_BASIS_PLANT    ? bases.plant
                 : l->basis == BD_BASIS_VOLUME ? bases.volume
                                               : bases.area;
    return BD_OK;
}

/* Another crop's habit of a season says nothing of this one. */
static bd_status set_limit(const bd_season *s, const bd_season_group *g, int n, bd_season_limit *l)
{
    bd_ceiling c = bd_ceiling_per_area(s->know->catalogue, BD_USE_SEASON, forms[n].nutrient,
                                       g->planting.groups);
    bd_status status;

    *l = (bd_season_limit){.most_g = HUGE_VAL, .room_g = HUGE_VAL};
    if (c.limit == NULL || c.is_borrowed)
        return BD_OK;
    l->ceiling = c;
    choose_basis(s, g, n, l);
    status = carry(s, g, l, as_form(n, &l->ceiling), &l->most_g);
    l->already_g = already_g(s, g, n);
    l->room_g = fmax(0.0, l->most_g - l->already_g);
    return status;
}

bd_status bd_season_limits(bd_season *s, bd_season_group *g)
{
    bd_status status = BD_OK;

    for (int n = 0; n < BD_SEASON_LIMITS && status == BD_OK; n++)
        status = set_limit(s, g, n, &g->limits[n]);
    for (int n = 0; n < BD_NPK_COUNT; n++)
        g->order.most_season_g[n] = g->limits[n].room_g;
    g->order.most_season_boron_g = g->limits[BD_SEASON_BORON].room_g;
    return status;
}

double bd_season_to_give(const bd_season_group *g, int nutrient)
{
    return g->is_over ? 0.0 : fmin(g->account.of[nutrient].to_give, g->limits[nutrient].room_g);
}

double bd_season_cut(const bd_season_group *g, int nutrient)
{
    double cut = g->account.of[nutrient].to_give - bd_season_to_give(g, nutrient);

    return g->is_over || cut < nothing_g ? 0.0 : fmin(cut, g->shortfall[nutrient]);
}

/* ---- a slip of the hand ------------------------------------------------------------- */

/* What the file says, as a number or a harvest; a guide's rate is no slip of a hand. */
static bool is_entered(const bd_season_group *g, int n)
{
    return g->used[n] != NULL && g->used[n]->way != BD_NEED_GUIDE && !g->is_over;
}

/* A field rate in the bag on the way the need came.  A number for a bag or plant and a harvest came
 * by none, so the way that lets most through is taken: a deep bag yields more than its top as
 * field, and only what no way explains is a slip. */
static bd_status carry_as_entered(const bd_season *s, const bd_season_group *g, int n,
                                  double g_per_m2, bd_season_limit *way)
{
    bd_season_limit one;
    bd_status status = BD_OK;

    choose_basis(s, g, n, way);
    for (size_t i = 0; i < g->own_count; i++)
        if (g->own[i].nutrient == n && g->own[i].is_used)
            return carry(s, g, way, g_per_m2, &way->most_g);
    one = *way;
    for (int b = BD_BASIS_AREA; b < BD_BASIS_NONE && status == BD_OK; b++) {
        one.basis = (bd_need_basis)b;
        one.most_g = 0.0;
        if (one.basis != BD_BASIS_PLANT || (one.stand_per_m2 > 0.0 && g->bags.plants > 0.0))
            status = carry(s, g, &one, g_per_m2, &one.most_g);
        if (one.most_g > way->most_g)
            *way = one;
    }
    return status;
}

static bd_status judge_need(const bd_season *s, const bd_season_group *g, int n)
{
    const bd_fact *times = bd_catalogue_practice(s->know->catalogue, "target-absurd");
    const bd_guide_rate *guide = bd_riders_richest(s->know->catalogue, g->planting.crop, (size_t)n);
    bd_season_limit way = {.most_g = 0.0};
    char source[BD_CITE_SIZE];
    bd_status status;

    if (guide == NULL)
        return BD_OK;
    status = carry_as_entered(s, g, n, times->value.typical * guide->g_per_m2[n].value.high, &way);
    if (status == BD_OK && bd_is_over(g->need_g[n], way.most_g))
        bd_card_find_limit(
            s->card, "limit.target", BD_STOP, W("season.need_absurd"),
            BD_ARGS(bd_name(g->garden->name), bd_name(bd_nutrient_form_name(forms[n])),
                    bd_amount(times->value.typical, ""),
                    bd_amount(guide->g_per_m2[n].value.high, "g/m2"),
                    bd_words_arg(bd_ground_words(way.basis))),
            g->need_g[n], way.most_g, "g/bag", bd_cite(guide->guide, times->trust_high, source));
    return status;
}

bd_status bd_season_judge_needs(const bd_season *s, const bd_season_group *g)
{
    bd_status status = BD_OK;

    for (int n = 0; n < BD_NPK_COUNT && status == BD_OK; n++)
        if (is_entered(g, n))
            status = judge_need(s, g, n);
    return status;
}

/* ---- on the card ------------------------------------------------------------------- */

static void work_limit(const bd_season *s, const bd_season_group *g, int n,
                       const bd_season_limit *l)
{
    bd_arg rate = bd_exact(as_form(n, &l->ceiling), "g/m2"), most = bd_exact(l->most_g, "g");

    if (l->basis == BD_BASIS_PLANT)
        bd_card_work(s->card, W("work.basis_plant"),
                     BD_ARGS(rate, bd_exact(l->stand_per_m2, ""), bd_count(g->bags.plants), most),
                     "");
    else if (l->basis == BD_BASIS_VOLUME)
        bd_card_work(s->card, W("work.basis_volume"),
                     BD_ARGS(rate, bd_exact(1000.0 * bd_season_field(s, g).plough_depth_m, "L"),
                             bd_exact(g->bags.bag.volume_l, "L"), most),
                     "");
    else
        bd_card_work(s->card, W("work.basis_area"),
                     BD_ARGS(rate, bd_exact(g->bags.bag.area_m2, "m2"), most), "");
    bd_card_work(s->card, W("work.season_limit"),
                 BD_ARGS(bd_name(g->garden->name), bd_name(bd_nutrient_form_name(forms[n])), most,
                         bd_exact(l->already_g, "g"), bd_exact(l->room_g, "g")),
                 "");
}

static void assume_stand(const bd_season *s, const bd_season_group *g, const bd_season_limit *l)
{
    char source[BD_CITE_SIZE];

    if (l->basis == BD_BASIS_PLANT && l->is_usual_stand)
        bd_card_assume(s->card, "season.stand", W("assume.season_stand"),
                       BD_ARGS(bd_name(g->garden->name)),
                       &(bd_range){l->stand_per_m2, l->stand_per_m2, l->stand_per_m2}, "",
                       bd_cite_fact(&g->planting.crop->field_plants_per_m2, source));
}

static void tell_limit(const bd_season *s, const bd_season_group *g, int n,
                       const bd_season_limit *l)
{
    const char *name = bd_nutrient_form_name(forms[n]);
    bool is_over = bd_is_over(l->already_g, l->most_g);
    double all_g = l->already_g + given_g(s, g, n);
    char id[64], source[BD_CITE_SIZE];

    if (l->ceiling.limit == NULL || g->is_over || (n == BD_SEASON_BORON && !(all_g > 0.0)))
        return;
    (void)snprintf(id, sizeof id, "limit.season.%s", name);
    bd_card_find_limit(s->card, id, is_over ? BD_CARE : BD_NOTE,
                       is_over ? W("season.limit_over") : W("season.limit_within"),
                       BD_ARGS(bd_name(g->garden->name), bd_name(name),
                               bd_amount(l->already_g, "g"), bd_name(l->ceiling.limit->crop_title),
                               bd_words_arg(bd_ground_words(l->basis)),
                               bd_amount(all_g / g->bags.bag.area_m2, "g/m2"),
                               bd_amount(as_form(n, &l->ceiling), "g/m2")),
                       all_g, l->most_g, "g/bag",
                       bd_cite(l->ceiling.limit->value.source, l->ceiling.trust, source));
    assume_stand(s, g, l);
    work_limit(s, g, n, l);
}

void bd_season_tell_limits(const bd_season *s, const bd_season_group *g)
{
    for (int n = 0; n < BD_SEASON_LIMITS; n++)
        tell_limit(s, g, n, &g->limits[n]);
}

/* "K2O of beets, leeks; N of beets" */
static void name_without(const bd_season *s, int n, bd_text *out)
{
    bool is_first = true;

    for (size_t k = 0; k < s->group_count; k++) {
        const bd_season_group *g = &s->groups[k];

        if (g->limits[n].ceiling.limit != NULL || !(g->rounds.gives[n] > nothing_g))
            continue;
        if (is_first)
            bd_text_addf(out, "%s%s of ", out->length == 0 ? "" : "; ",
                         bd_nutrient_form_name(forms[n]));
        bd_text_addf(out, "%s%s", is_first ? "" : ", ", g->garden->name);
        is_first = false;
    }
}

void bd_season_tell_no_limit(const bd_season *s)
{
    bd_text names;

    bd_text_init(&names, NAMES_SIZE);
    for (int n = 0; n < BD_NPK_COUNT; n++)
        name_without(s, n, &names);
    s->card->has_failed |= !bd_text_ok(&names);
    if (bd_text_ok(&names) && names.length > 0)
        bd_card_find(s->card, "limit.season.none", BD_NOTE, W("season.no_limit"),
                     BD_ARGS(bd_name(names.s)), "");
    bd_text_clear(&names);
}
