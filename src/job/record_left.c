/*
 * What may still be given to one bag of a group: the need of the season less the
 * record, the sprays of the season, and ceilings on a year.
 *
 * Figures: nutrient.<form>.given_per_bag (sprays apart, as .sprayed_per_bag, for
 * they meet no need) and nutrient.<form>.left_per_bag, all as element and as
 * oxide, nutrient.<form>.room_per_bag where a ceiling of common practice leaves less
 * than that; left.share, what was given of the need, of the first
 * target; left.<material>.per_bag, the most of a --material that goes into what
 * is left.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "guard/judge.h"
#include "job/delivers.h"
#include "job/ground.h"
#include "job/record.h"
#include "job/riders.h"
#include "model/oxide.h"
#include "nutrients/cite.h"

static const double litres_per_m3 = 1000.0;

typedef struct left {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_records *records;
    bd_card *card;
    bd_error *err;
    int day; /* --date, else today */
    bd_record_query query;
    bd_record_bags bags;
    const bd_crop *crop;    /* NULL: not said                  */
    bd_record_sum sum;      /* all that was given              */
    bd_record_sum to_roots; /* of it what counts towards a need */
    bool is_needed[BD_NUTRIENT_COUNT];
    bd_range left_g_per_bag[BD_NUTRIENT_COUNT]; /* ELEMENT */
} left;

static void show_form(const left *l, bd_nutrient_form form)
{
    char id[64], room[64];
    bool has_room;

    (void)snprintf(room, sizeof room, "nutrient.%s.room_per_bag", bd_nutrient_form_name(form));
    (void)snprintf(id, sizeof id, "nutrient.%s.left_per_bag", bd_nutrient_form_name(form));
    has_room = bd_card_get(l->card, room) != NULL;
    bd_card_figure(l->card, id, has_room ? W("figure.open_per_bag") : W("figure.left_per_bag"),
                   BD_ARGS(bd_name(bd_nutrient_form_name(form))),
                   bd_range_scale(l->left_g_per_bag[form.nutrient], bd_as_form(form, 1.0)), "g");
}

/* Before the rest of the need, which is more: the first figure is the one that is weighed. */
static void show_room(const left *l, bd_nutrient_form form, double room_g)
{
    char id[64];

    (void)snprintf(id, sizeof id, "nutrient.%s.room_per_bag", bd_nutrient_form_name(form));
    bd_card_figure(l->card, id, W("figure.room_per_bag"),
                   BD_ARGS(bd_name(bd_nutrient_form_name(form))),
                   bd_exactly(bd_as_form(form, room_g)), "g");
}

/* "Enough?" is asked of the low end of what was given, "too much?" of the high one. */
static bd_range less(bd_range need, bd_range given)
{
    return bd_range_of(fmax(0.0, need.low - given.high), fmax(0.0, need.typical - given.typical),
                       fmax(0.0, need.high - given.low));
}

/* A ceiling that can stop leaves no more than its rest, whatever was needed. */
static void cap(left *l, bd_nutrient n, const bd_ceiling *c, double room_g)
{
    bd_range *rest = &l->left_g_per_bag[n];
    char source[BD_CITE_SIZE];

    if (!bd_is_over(rest->high, room_g))
        return;
    bd_card_find_limit(l->card, "record.ceiling", BD_CARE, W("record.ceiling_before_need"),
                       BD_ARGS(bd_name(bd_nutrient_symbol(n)), bd_name(c->limit->crop_title)),
                       rest->high, room_g, "g/bag",
                       bd_cite(c->limit->value.source, c->trust, source));
    *rest = bd_range_of(fmin(rest->low, room_g), fmin(rest->typical, room_g), room_g);
}

/* One of common practice leaves the need as it is and says what would be over it. */
static void warn(left *l, bd_nutrient n, const bd_ceiling *c, const bd_ground *ground,
                 double most_g)
{
    double given_g = l->sum.gives_g_per_bag[n].high, all_g = given_g + l->left_g_per_bag[n].high;
    double as_form = bd_as_form(c->limit->nutrient, 1.0);
    char source[BD_CITE_SIZE];

    if (!bd_is_over(all_g, most_g))
        return;
    show_room(l, (bd_nutrient_form){n, false}, fmax(0.0, most_g - given_g));
    if (bd_nutrient_oxide(n)[0] != '\0')
        show_room(l, (bd_nutrient_form){n, true}, fmax(0.0, most_g - given_g));
    bd_card_find_limit(l->card, "record.ceiling", BD_CARE, W("record.ceiling_with_need"),
                       BD_ARGS(bd_name(bd_nutrient_form_name(c->limit->nutrient)),
                               bd_amount(given_g * as_form, "g"), bd_name(c->limit->crop_title),
                               bd_words_arg(bd_ground_words(ground->basis)),
                               bd_amount(fmax(0.0, most_g - given_g) * as_form, "g")),
                       all_g * as_form, most_g * as_form, "g/bag",
                       bd_cite(c->limit->value.source, c->trust, source));
}

/* On the ground that the season's plan takes, too. */
static void hold_to_ceiling(left *l, bd_nutrient n, const bd_target *need)
{
    bd_ceiling c = bd_ceiling_per_area(l->know->catalogue, BD_USE_SEASON, n, l->bags.crop_groups);
    bd_stand stand = bd_stand_read(l->know->catalogue, l->request, need);
    bd_ground ground = bd_ground_of(&stand, n);
    double m2 = bd_ground_m2(&ground, l->bags.area_m2, stand.plants), most_g;
    bool can_stop = c.limit != NULL && (c.is_never || bd_trust_can_stop(c.trust));

    if (c.limit == NULL || !(m2 > 0.0) || (c.is_borrowed && !can_stop))
        return; /* another crop's habit of a season says nothing of this one */
    most_g = bd_ceiling_as_element(&c, c.most) * m2;
    bd_ground_tell(&ground, &stand, &c, m2, l->card);
    if (can_stop)
        cap(l, n, &c, fmax(0.0, most_g - l->sum.gives_g_per_bag[n].high));
    else
        warn(l, n, &c, &ground, most_g);
}

/* Field that one bag may count as [m2]: as a field rate came, else on the way that lets most
 * through, for only what no way explains is a slip of the hand. */
static double most_ground_m2(const left *l, const bd_target *t, bd_nutrient n, bd_need_basis *basis)
{
    const bd_value *size = bd_request_get(l->request, BD_OPT_BAG_SIZE);
    bd_stand stand = bd_stand_read(l->know->catalogue, l->request, t);
    bd_ground ground = bd_ground_of(&stand, n);
    double m2 = bd_ground_m2(&ground, l->bags.area_m2, stand.plants);
    const bd_fact *plough = bd_catalogue_practice(l->know->catalogue, "plough-layer");
    double volume_m2 =
        size == NULL ? 0.0 : size->bag.volume_l / (litres_per_m3 * plough->value.typical);

    *basis = ground.basis;
    if (stand.basis != BD_BASIS_NONE)
        return m2;
    if (l->bags.area_m2 > m2) {
        *basis = BD_BASIS_AREA;
        m2 = l->bags.area_m2;
    }
    if (volume_m2 > m2) {
        *basis = BD_BASIS_VOLUME;
        m2 = volume_m2;
    }
    return m2;
}

/* The season's plan stops on the same need; gives back whether it is a slip. */
static bool is_slip(left *l, const bd_target *t, double need_g)
{
    static const bd_nutrient guided[] = {BD_N, BD_P, BD_K};
    const bd_fact *times = bd_catalogue_practice(l->know->catalogue, "target-absurd");
    bd_need_basis basis;
    double m2 = most_ground_m2(l, t, t->form.nutrient, &basis);

    for (size_t i = 0; i < sizeof guided / sizeof guided[0]; i++) {
        bd_nutrient_form form = {guided[i], guided[i] != BD_N};
        const bd_guide_rate *guide = bd_riders_richest(l->know->catalogue, l->crop, i);
        double asked = bd_as_form(form, need_g), most;
        char source[BD_CITE_SIZE];

        if (guided[i] != t->form.nutrient || guide == NULL)
            continue;
        most = times->value.typical * guide->g_per_m2[i].value.high * m2;
        if (!(most > 0.0) || !bd_is_over(asked, most))
            continue;
        bd_card_find_limit(l->card, "limit.target", BD_STOP, W("season.need_absurd"),
                           BD_ARGS(bd_name(l->query.group), bd_name(bd_nutrient_form_name(form)),
                                   bd_amount(times->value.typical, ""),
                                   bd_amount(guide->g_per_m2[i].value.high, "g/m2"),
                                   bd_words_arg(bd_ground_words(basis))),
                           asked, most, "g/bag", bd_cite(guide->guide, times->trust_high, source));
        return true;
    }
    return false;
}

static bd_status add_need(left *l, const char *text, const bd_target *t)
{
    bd_nutrient n = t->form.nutrient;
    bd_range need = {0, 0, 0}, given = l->to_roots.gives_g_per_bag[n];
    double as_asked = bd_as_form(t->form, 1.0);
    const bd_value *size = bd_request_get(l->request, BD_OPT_BAG_SIZE);
    bd_status status =
        bd_need_per_bag(text, t, size == NULL ? NULL : &size->bag,
                        bd_request_number(l->request, BD_OPT_PLANTS, 0.0), 0.0, &need, l->err);

    if (status != BD_OK)
        return status;
    if (l->is_needed[n]) {
        (void)bd_fail(l->err, BD_CONFLICT, "--need", "'%.60s': %s is needed twice", text,
                      bd_nutrient_symbol(n));
        (void)bd_accepts(l->err, "one need above zero for each nutrient");
        return BD_CONFLICT;
    }
    l->is_needed[n] = true;
    if (is_slip(l, t, need.low))
        return BD_OK;
    l->left_g_per_bag[n] = less(need, given);
    hold_to_ceiling(l, n, t);
    show_form(l, (bd_nutrient_form){n, false});
    if (bd_nutrient_oxide(n)[0] != '\0')
        show_form(l, (bd_nutrient_form){n, true});
    if (bd_card_get(l->card, "left.share") == NULL)
        bd_card_figure(l->card, "left.share", W("figure.given_share"),
                       BD_ARGS(bd_name(bd_nutrient_form_name(t->form))), bd_range_over(given, need),
                       "share");
    if (bd_is_over(given.low, need.high))
        bd_card_find_limit(l->card, "record.over_need", BD_CARE, W("record.over_need"),
                           BD_ARGS(bd_name(bd_nutrient_form_name(t->form))), given.low * as_asked,
                           need.high * as_asked, "g/bag", "--need");
    bd_card_work(l->card, W("work.left"),
                 BD_ARGS(bd_name(bd_nutrient_symbol(n)), bd_amount_range(need, "g"),
                         bd_amount_range(given, "g"), bd_amount_range(l->left_g_per_bag[n], "g")),
                 "--need");
    return BD_OK;
}

/* --need takes the first target, the words behind it are the others. */
static bd_status read_needs(left *l)
{
    const bd_value *first = bd_request_get(l->request, BD_OPT_NEED);
    bd_status status = first == NULL ? BD_OK : add_need(l, first->text, &first->target);

    for (size_t i = 1; i < l->request->positional_count && status == BD_OK; i++) {
        const char *text = l->request->positionals[i];
        bd_target target;

        status = bd_target_read(text, l->request->measures, &target, l->err);
        if (status == BD_OK)
            status = add_need(l, text, &target);
        bd_error_at(l->err, "--need");
    }
    return status;
}

static bd_status read_bags(left *l)
{
    const bd_value *size = bd_request_get(l->request, BD_OPT_BAG_SIZE);
    const bd_value *name = bd_request_get(l->request, BD_OPT_CROP);
    bd_status status = BD_OK;

    if (size != NULL)
        l->bags.area_m2 = size->bag.area_m2;
    if (name != NULL)
        status = bd_catalogue_crop(l->know->catalogue, name->text, &l->crop, l->err);
    bd_error_at(l->err, "--crop");
    if (l->crop != NULL)
        l->bags.crop_groups = l->crop->groups;
    return status;
}

/* The most of a product that brings no needed nutrient over what is left, on the safe side. */
static void show_product_left(const left *l, const bd_offer *o, double by_year)
{
    double most = by_year;
    char id[96];

    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        if (l->is_needed[n] && o->product.share[n].high > 0.0)
            most = fmin(most, l->left_g_per_bag[n].low / o->product.share[n].high);
    if (!(most < HUGE_VAL))
        return;
    (void)snprintf(id, sizeof id, "left.%.60s.per_bag",
                   o->material == NULL ? "own" : o->material->name);
    if (bd_card_get(l->card, id) == NULL)
        bd_card_figure(l->card, id, W("figure.left_product"), BD_ARGS(bd_name(o->title)),
                       bd_exactly(most), "g");
}

static bd_status judge_asked(left *l)
{
    bd_offers offers;
    bd_status status = bd_offers_read(l->know, l->request, l->card, &offers, l->err);

    for (size_t i = 0; status == BD_OK && i < offers.count; i++) {
        const bd_offer *o = &offers.items[i];
        bd_record_dose dose = {.material = o->material, .title = o->title, .use = BD_RECORD_FOLIAR};
        double by_year = HUGE_VAL;

        if (o->material != NULL)
            by_year = bd_record_judge_material(l->know, l->records, &l->query, l->day, &l->bags,
                                               &dose, l->card);
        show_product_left(l, o, by_year);
    }
    return status;
}

static bool is_first_of_its_kind(const left *l, size_t i)
{
    const bd_entry *e = &l->records->items[i];

    for (size_t k = 0; k < i; k++) {
        const bd_entry *other = &l->records->items[k];

        if (bd_entry_stands(other) && strcmp(other->group, l->query.group) == 0 &&
            strcmp(other->material, e->material) == 0 && other->use == e->use)
            return false;
    }
    return true;
}

/* Each material the group has had; one the catalogue does not know has no ceiling here. */
static void judge_given(const left *l)
{
    for (size_t i = 0; i < l->records->count; i++) {
        const bd_entry *e = &l->records->items[i];
        const bd_material *m = NULL;
        bd_record_dose dose;

        if (!bd_entry_stands(e) || strcmp(e->group, l->query.group) != 0 ||
            e->material[0] == '\0' || !bd_record_use_feeds(e->use) || !is_first_of_its_kind(l, i) ||
            bd_catalogue_material(l->know->catalogue, e->material, &m, NULL) != BD_OK)
            continue;
        dose = (bd_record_dose){.material = m, .title = m->title, .use = e->use};
        (void)bd_record_judge_material(l->know, l->records, &l->query, l->day, &l->bags, &dose,
                                       l->card);
    }
}

static void show_given(const left *l)
{
    bd_record_show_given(&l->to_roots, l->card);
    bd_record_show_sprayed(&l->sum, l->card);
    if (l->sum.unknown > 0)
        bd_card_find(l->card, "record.unknown", BD_CARE, W("record.unknown"),
                     BD_ARGS(bd_count((double)l->sum.unknown)), "");
    if (bd_record_tell_group(l->records, l->query.group, BD_CARE, l->card) && l->sum.givings == 0)
        bd_card_find(l->card, "record.nothing_yet", BD_NOTE, W("record.nothing_yet"),
                     BD_ARGS(bd_name(l->query.group)), "");
}

/* Ceilings count what was sprayed too, a need only what fed the roots. */
static void sum_up(left *l)
{
    bd_record_query query = l->query;

    bd_record_sum_of(l->records, &query, &l->sum);
    query.without_sprays = true;
    bd_record_sum_of(l->records, &query, &l->to_roots);
}

bd_status bd_record_left(const bd_knowledge *know, const bd_request *request,
                         const bd_records *records, bd_card *card, bd_error *err)
{
    const bd_value *group = bd_request_get(request, BD_OPT_GROUP),
                   *who = bd_request_get(request, BD_OPT_WHO);
    left l = {.know = know, .request = request, .records = records, .card = card, .err = err};
    bd_status status;

    if (group == NULL) {
        (void)bd_fail(err, BD_MISSING, "--group", "which bags is not said");
        (void)bd_accepts(err, "--group NAME, as it stands in the record");
        return BD_MISSING;
    }
    l.query.group = group->text;
    bd_card_title(card, W("record.title_left"), BD_ARGS(bd_name(group->text)));
    status = bd_record_today(request, &l.day, err);
    if (status == BD_OK)
        status = bd_record_days(request, card, &l.query, err);
    if (status == BD_OK)
        status = read_bags(&l);
    if (status != BD_OK)
        return status;
    sum_up(&l);
    status = read_needs(&l);
    if (status != BD_OK)
        return status;
    show_given(&l);
    bd_record_tell_later(records, &l.query, request, card);
    bd_record_tell_last(records, &l.query, l.day, who == NULL ? "" : who->text, card);
    if (request->product_count > 0)
        return judge_asked(&l);
    judge_given(&l);
    return BD_OK;
}
