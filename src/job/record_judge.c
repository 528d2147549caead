#include <math.h>
#include <string.h>

#include "base/date.h"
#include "guard/judge.h"
#include "job/ground.h"
#include "job/record.h"
#include "model/ceiling.h"
#include "model/oxide.h"
#include "nutrients/cite.h"

enum { DAYS_OF_A_YEAR = 365, DAYS_OF_A_WEEK = 7 };

/* ---- what counts ---- */

bd_status bd_record_today(const bd_request *r, int *day, bd_error *err)
{
    const bd_value *date = bd_request_get(r, BD_OPT_DATE);
    bd_status status = BD_OK;

    *day = r->today;
    if (date != NULL)
        status = bd_date_read(date->text, day, err);
    bd_error_at(err, "--date");
    return status;
}

bd_status bd_record_days(const bd_request *r, bd_card *card, bd_record_query *query, bd_error *err)
{
    const bd_value *since = bd_request_get(r, BD_OPT_SINCE);
    char date[BD_DATE_SIZE];
    int day;
    bd_status status;

    status = bd_record_today(r, &day, err);
    if (status != BD_OK)
        return status;
    query->from_day = day - DAYS_OF_A_YEAR + 1;
    query->to_day = bd_request_get(r, BD_OPT_DATE) == NULL ? day + 1 : day;
    if (since != NULL)
        status = bd_date_read(since->text, &query->from_day, err);
    else
        bd_card_assume(card, "record.since", W("assume.record_since"),
                       BD_ARGS(bd_name(bd_date_print(query->from_day, date))), NULL, "",
                       "common practice, no source");
    bd_error_at(err, "--since");
    return status;
}

void bd_record_tell_state(const bd_records *records, const char *path, bd_card *card)
{
    if (records->is_absent)
        bd_card_find(card, "record.absent", BD_CARE, W("record.absent"), BD_ARGS(bd_name(path)),
                     "");
    if (records->torn_line > 0)
        bd_card_find(card, "record.torn", BD_CARE, W("record.torn"),
                     BD_ARGS(bd_count((double)records->torn_line), bd_name(path)), "");
}

void bd_record_tell_later(const bd_records *records, const bd_record_query *query,
                          const bd_request *r, bd_card *card)
{
    char date[BD_DATE_SIZE];
    size_t count = 0;

    for (size_t i = 0; bd_request_get(r, BD_OPT_DATE) != NULL && i < records->count; i++) {
        const bd_entry *e = &records->items[i];

        count += bd_entry_stands(e) && bd_record_use_feeds(e->use) && e->day > query->to_day &&
                 strcmp(e->group, query->group) == 0;
    }
    if (count > 0)
        bd_card_find(card, "record.later", BD_CARE, W("record.later"),
                     BD_ARGS(bd_count((double)count), bd_name(bd_date_print(query->to_day, date))),
                     "--date");
}

static const char *product_of(const bd_entry *e)
{
    if (e->material[0] != '\0')
        return e->material;
    return e->analysis[0] != '\0' ? e->analysis : bd_record_use_words(e->use);
}

void bd_record_tell_last(const bd_records *records, const bd_record_query *query, int today,
                         const char *who, bd_card *card)
{
    bd_record_sum sum;
    char date[BD_DATE_SIZE];
    const bd_entry *e;
    const char *key;
    bool is_own;

    bd_record_sum_of(records, query, &sum);
    e = sum.last;
    if (e == NULL || today - e->day > DAYS_OF_A_WEEK)
        return;
    is_own = who[0] != '\0' && strcmp(who, e->who) == 0;
    key = is_own              ? W("record.last_own")
          : e->who[0] == '\0' ? W("record.last_nobody")
                              : W("record.last_other");
    bd_card_find_limit(
        card, "record.last", is_own ? BD_NOTE : BD_CARE, key,
        BD_ARGS(bd_name(e->who), bd_name(product_of(e)), bd_name(bd_date_print(e->day, date)),
                bd_name(query->group == NULL ? e->group : query->group)),
        today > e->day ? today - e->day : 0, DAYS_OF_A_WEEK, "d", "common practice, no source");
}

/* ---- ceilings ---- */

static bd_ceiling ceiling_of(const bd_knowledge *know, const char *material, bd_use use,
                             bd_limit_of of, const bd_nutrient *n, const bd_record_bags *bags)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(know->catalogue, &count);
    bd_ceiling_query query = {
        .material = material, .use = use, .of = of, .nutrient = n, .groups = bags->crop_groups};

    return bd_ceiling_find(limits, count, &query);
}

static double sum_of(const bd_records *records, bd_record_query query, const char *material)
{
    bd_record_sum sum;

    query.material = material;
    bd_record_sum_of(records, &query, &sum);
    return sum.product_g_per_bag;
}

/* All ashes are one: the limit is on what they do to the pH. */
static double given_g_per_bag(const bd_knowledge *know, const bd_records *records,
                              const bd_record_query *query, const bd_material *m)
{
    size_t count;
    const bd_material *all = bd_catalogue_materials(know->catalogue, &count);
    double g = 0.0;

    if (!bd_material_has(m, BD_TRAIT_ASH))
        return sum_of(records, *query, m->name);
    for (size_t i = 0; i < count; i++)
        if (bd_material_has(&all[i], BD_TRAIT_ASH))
            g += sum_of(records, *query, all[i].name);
    return g;
}

static bd_level level_over(const bd_ceiling *c, bool is_over)
{
    if (!is_over)
        return BD_NOTE;
    return bd_trust_can_stop(c->trust) ? BD_STOP : BD_CARE;
}

/* Without a dose there is nothing to stop: what was given is given. */
static bd_level level_of_year(const bd_ceiling *c, const bd_record_dose *d, bool is_over)
{
    return is_over && !(d->times > 0.0) ? BD_CARE : level_over(c, is_over);
}

/* Grams a bag may still get in the year. */
static double judge_year(const bd_knowledge *know, const bd_records *records,
                         const bd_record_query *query, const bd_record_bags *bags,
                         const bd_record_dose *d, bd_card *card)
{
    bd_ceiling c = ceiling_of(know, d->material->name, BD_USE_SIDEDRESS,
                              BD_LIMIT_PRODUCT_PER_AREA_YEAR, NULL, bags);
    double given, with;
    char source[BD_CITE_SIZE];
    bool is_over;

    if (c.limit == NULL)
        return HUGE_VAL;
    (void)bd_cite(c.limit->value.source, c.trust, source);
    given = given_g_per_bag(know, records, query, d->material);
    if (!(bags->area_m2 > 0.0)) {
        bd_card_find(card, "record.year", BD_CARE, W("record.year_no_area"),
                     BD_ARGS(bd_name(d->title), bd_amount(given, "g"), bd_amount(c.most, "g/m2")),
                     source);
        return HUGE_VAL;
    }
    with = (given + d->g_per_bag.high * d->times) / bags->area_m2;
    is_over = bd_is_over(with, c.most);
    bd_card_find_limit(card, "record.year", level_of_year(&c, d, is_over),
                       !is_over         ? W("record.year_within")
                       : d->times > 0.0 ? W("record.year_over")
                                        : W("record.year_used_up"),
                       BD_ARGS(bd_name(d->title), bd_amount(given / bags->area_m2, "g/m2")), with,
                       c.most, "g/m2", source);
    return bd_trust_can_stop(c.trust) ? fmax(0.0, c.most * bags->area_m2 - given) : HUGE_VAL;
}

/* False when no spray more is allowed by a ceiling that stops. */
static bool judge_sprays(const bd_knowledge *know, const bd_record_bags *bags,
                         const bd_record_dose *d, const bd_record_sum *sum, bd_card *card)
{
    bd_ceiling c =
        ceiling_of(know, d->material->name, BD_USE_FOLIAR, BD_LIMIT_SPRAYS_PER_SEASON, NULL, bags);
    double with = (double)sum->sprays + d->times;
    bool is_over = bd_is_over(with, c.most),
         is_used_up = bd_is_over((double)sum->sprays + 1, c.most);
    char source[BD_CITE_SIZE];

    if (c.limit == NULL)
        return true;
    (void)bd_cite(c.limit->value.source, c.trust, source);
    if (d->times > 0.0)
        bd_card_find_limit(card, "record.sprays", level_over(&c, is_over),
                           is_over ? W("record.sprays_over") : W("record.sprays_within"),
                           BD_ARGS(bd_name(d->title), bd_count((double)sum->sprays)), with, c.most,
                           "", source);
    else
        bd_card_find_limit(
            card, "record.sprays", is_used_up ? BD_CARE : BD_NOTE,
            is_used_up ? W("record.sprays_used_up") : W("record.sprays_left"),
            BD_ARGS(bd_name(d->title), bd_count(fmax(0.0, c.most - (double)sum->sprays))),
            (double)sum->sprays, c.most, "", source);
    return !is_over || !bd_trust_can_stop(c.trust);
}

static void judge_interval(const bd_knowledge *know, const bd_record_bags *bags,
                           const bd_record_dose *d, const bd_record_sum *sum, int today,
                           bd_card *card)
{
    bd_ceiling c =
        ceiling_of(know, d->material->name, BD_USE_FOLIAR, BD_LIMIT_DAYS_BETWEEN, NULL, bags);
    char source[BD_CITE_SIZE];
    double since;

    if (c.limit == NULL || sum->last_spray == NULL)
        return;
    since = today > sum->last_spray->day ? today - sum->last_spray->day : 0;
    if (!bd_is_over(c.low, since))
        return;
    bd_card_find_limit(card, "record.interval", BD_CARE, W("record.interval"),
                       BD_ARGS(bd_name(d->title)), since, c.low, "d",
                       bd_cite(c.limit->value.source, c.limit->value.trust_low, source));
    bd_card_limit_is_least(card);
}

double bd_record_judge_material(const bd_knowledge *know, const bd_records *records,
                                const bd_record_query *query, int today, const bd_record_bags *bags,
                                const bd_record_dose *d, bd_card *card)
{
    double left_g = judge_year(know, records, query, bags, d, card);
    bd_record_query of_material = *query;
    bd_record_sum sum;

    if (d->use != BD_RECORD_FOLIAR)
        return left_g;
    of_material.material = d->material->name;
    bd_record_sum_of(records, &of_material, &sum);
    judge_interval(know, bags, d, &sum, today, card);
    return judge_sprays(know, bags, d, &sum, card) ? left_g : 0.0;
}

/* Every dose that brings the nutrient, cut to its share of what is left of it. */
static void share_what_is_left(bd_record_dose *doses, size_t count, bd_nutrient n, double share)
{
    for (size_t i = 0; i < count; i++)
        if (doses[i].gives_g_per_bag[n].high > 0.0)
            doses[i].permitted_g_per_bag =
                fmin(doses[i].permitted_g_per_bag, doses[i].g_per_bag.high * share);
}

/* True when a dose is given for the sake of the nutrient, and does not bring a trace along. */
static bool is_given_for(const bd_record_dose *d, bd_nutrient n)
{
    const bd_material *m = d->material;

    if (!(d->gives_g_per_bag[n].high > 0.0))
        return false;
    return m == NULL || (m->main_nutrient_known && m->main_nutrient == n) ||
           (n == BD_B && bd_material_has(m, BD_TRAIT_BORON));
}

/* "Never" stops what is given for it; what an ash brings along of it asks for care. */
static bool can_stop(const bd_ceiling *c, const bd_record_dose *doses, size_t count, bd_nutrient n)
{
    if (!c->is_never)
        return bd_trust_can_stop(c->trust);
    for (size_t i = 0; i < count; i++)
        if (is_given_for(&doses[i], n))
            return true;
    return false;
}

typedef struct season_of {
    const bd_ceiling *ceiling;
    bd_ground ground;
    double given_g, all_g, most_g; /* a bag, as the ceiling counts the nutrient */
    bool is_over;
} season_of;

/* The bag's top says how much lies on the mix, and plants how much each of them has. */
static void find_season(const season_of *s, double m2, bd_level level, bd_card *card)
{
    const bd_limit *row = s->ceiling->limit;
    bd_arg name = bd_name(bd_nutrient_form_name(row->nutrient));
    char source[BD_CITE_SIZE];

    (void)bd_cite(row->value.source, s->ceiling->trust, source);
    if (s->ground.basis == BD_BASIS_PLANT)
        bd_card_find_limit(card, "record.year", level,
                           s->is_over ? W("record.plants_over") : W("record.plants_within"),
                           BD_ARGS(name, bd_amount(s->given_g, "g"), bd_name(row->crop_title)),
                           s->all_g, s->most_g, "g/bag", source);
    else
        bd_card_find_limit(card, "record.year", level,
                           s->ceiling->is_never ? W("record.year_never")
                           : s->is_over         ? W("record.year_over")
                                                : W("record.year_within"),
                           BD_ARGS(name, bd_amount(s->given_g / m2, "g/m2"), bd_name(row->note)),
                           s->all_g / m2, s->ceiling->most, "g/m2", source);
}

/* Ceilings on a nutrient in a year, whatever brought it. */
static void judge_nutrient(const bd_knowledge *know, const bd_record_sum *sum,
                           const bd_record_bags *bags, const bd_stand *stand, bd_record_dose *doses,
                           size_t count, bd_nutrient n, bd_card *card)
{
    bd_ceiling c = ceiling_of(know, "any", BD_USE_SEASON, BD_LIMIT_NUTRIENT_PER_AREA, &n, bags);
    season_of s = {.ceiling = &c, .ground = bd_ground_of(stand, n)};
    double m2 = bd_ground_m2(&s.ground, bags->area_m2, stand->plants), more = 0.0, as_form;
    bool stops;

    for (size_t i = 0; i < count; i++)
        more += doses[i].gives_g_per_bag[n].high * doses[i].times;
    if (c.limit == NULL || !(m2 > 0.0) || !(more > 0.0))
        return;
    if (c.is_borrowed && !bd_trust_can_stop(c.trust))
        return; /* another crop's habit of a season says nothing of this one */
    as_form = bd_as_form(c.limit->nutrient, 1.0);
    s.given_g = sum->gives_g_per_bag[n].high * as_form;
    s.all_g = s.given_g + more * as_form;
    s.most_g = c.most * m2;
    s.is_over = bd_is_over(s.all_g, s.most_g);
    stops = s.is_over && can_stop(&c, doses, count, n);
    find_season(&s, m2, stops ? BD_STOP : s.is_over ? BD_CARE : BD_NOTE, card);
    if (s.ground.basis == BD_BASIS_PLANT)
        bd_ground_tell(&s.ground, stand, &c, m2, card);
    if (stops)
        share_what_is_left(doses, count, n, fmax(0.0, (s.most_g - s.given_g) / (more * as_form)));
}

bd_record_dose bd_record_dose_of(const bd_offer *o, bd_record_use use, bd_range g_per_bag,
                                 double times)
{
    bd_record_dose dose = {.material = o->material,
                           .title = o->title,
                           .use = use,
                           .g_per_bag = g_per_bag,
                           .times = times};

    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        dose.gives_g_per_bag[n] = bd_range_times(o->product.share[n], g_per_bag);
    return dose;
}

static void judge_all(const bd_knowledge *know, const bd_records *records,
                      const bd_record_query *query, int today, const bd_record_bags *bags,
                      const bd_stand *stand, bd_record_dose *doses, size_t count, bd_card *card)
{
    bd_record_sum sum;

    for (size_t i = 0; i < count; i++) {
        doses[i].permitted_g_per_bag = HUGE_VAL;
        if (doses[i].material != NULL)
            doses[i].permitted_g_per_bag =
                bd_record_judge_material(know, records, query, today, bags, &doses[i], card) /
                doses[i].times;
    }
    bd_record_sum_of(records, query, &sum);
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        judge_nutrient(know, &sum, bags, stand, doses, count, (bd_nutrient)n, card);
    if (sum.unknown > 0)
        bd_card_find(card, "record.unknown", BD_CARE, W("record.unknown"),
                     BD_ARGS(bd_count((double)sum.unknown)), "");
}

static bd_status check_pair(const bd_value *file, const bd_value *group, bd_error *err)
{
    if (file != NULL && group != NULL)
        return BD_OK;
    (void)bd_fail(err, BD_MISSING, file == NULL ? "--record" : "--group", "is needed beside %s",
                  file != NULL    ? "--record"
                  : group != NULL ? "--group"
                                  : "--date");
    (void)bd_accepts(err, "--record FILE --group NAME, as they stand in the record");
    return BD_MISSING;
}

bd_status bd_record_judge(const bd_knowledge *know, const bd_request *r, const bd_record_bags *bags,
                          bd_record_dose *doses, size_t count, bd_card *card, bd_error *err)
{
    const bd_value *file = bd_request_get(r, BD_OPT_RECORD),
                   *group = bd_request_get(r, BD_OPT_GROUP);
    const bd_value *who = bd_request_get(r, BD_OPT_WHO);
    const bd_value *target = bd_product_get(r, 0, BD_OPT_TARGET);
    bd_stand stand = bd_stand_read(know->catalogue, r, target == NULL ? NULL : &target->target);
    char path[BD_RECORD_PATH_SIZE];
    bd_record_query query = {0};
    bd_records records;
    bd_status status;
    int day;

    for (size_t i = 0; i < count; i++)
        doses[i].permitted_g_per_bag = HUGE_VAL;
    if (file == NULL && group == NULL && bd_request_get(r, BD_OPT_DATE) == NULL)
        return BD_OK;
    status = check_pair(file, group, err);
    if (status != BD_OK)
        return status;
    query.group = group->text;
    status = bd_record_days(r, card, &query, err);
    if (status == BD_OK)
        status = bd_record_today(r, &day, err);
    if (status == BD_OK)
        status = bd_record_named(file->text, path, err);
    if (status != BD_OK)
        return status;
    status = bd_record_load(path, &records, err);
    if (status == BD_OK) {
        bd_record_tell_state(&records, path, card);
        (void)bd_record_tell_group(&records, query.group, BD_CARE, card);
        bd_record_tell_later(&records, &query, r, card);
        bd_record_tell_last(&records, &query, day, who == NULL ? "" : who->text, card);
        judge_all(know, &records, &query, day, bags, &stand, doses, count, card);
    }
    bd_records_clear(&records);
    return status;
}
