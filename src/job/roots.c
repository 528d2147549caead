#include "job/roots.h"

#include <math.h>
#include <string.h>

#include "guard/judge.h"
#include "job/ahead.h"
#include "job/dissolved.h"
#include "job/salt_load.h"
#include "job/salt_reading.h"
#include "model/salt_response.h"
#include "nutrients/cite.h"

enum { MOST_DRESSINGS = 60 };

static const double meq_per_mol = 1000.0; /* of lye or acid, which have one charge */

typedef struct outlook {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_planting *planting;
    const bd_bags *bags;
    bd_card *card;
    bd_error *err;
    bd_rootzone zone;
    bool is_water_said;
    bd_dressing dressings[MOST_DRESSINGS];
} outlook;

static void set_days(outlook *o)
{
    bd_ahead ahead = bd_ahead_of(o->know, o->request, o->planting->crop);

    o->zone.age_days = ahead.age_days;
    o->zone.days = ahead.left_days;
    bd_ahead_tell(o->know, &ahead, o->card);
}

bd_status bd_roots_water(const bd_knowledge *know, const bd_request *request, bd_range *ds_per_m,
                         bool *is_said, bd_error *err)
{
    *ds_per_m = bd_exactly(bd_media_figure(know->media, "water-conductivity")->value.typical);
    return bd_water_conductivity(know, request, ds_per_m, is_said, err);
}

/* Who says no water pours and waters with the same usual one. */
static void tell_watering(const outlook *o, bool is_poured)
{
    char source[BD_CITE_SIZE];
    const char *key = o->is_water_said ? W("assume.watering_water_said")
                      : is_poured      ? W("assume.watering_and_pouring")
                                       : W("assume.watering");

    bd_card_assume(o->card, "soil.watering", key,
                   BD_ARGS(bd_amount(o->zone.eto_mm_per_d, "mm/d"),
                           bd_amount(100.0 * o->zone.leaching_share, "%"),
                           bd_amount_range(o->zone.water_ds_per_m, "dS/m")),
                   NULL, "",
                   bd_cite_fact(bd_media_figure(o->know->media, "leaching-fraction"), source));
}

static bd_status set_bag(outlook *o)
{
    const bd_media *media = o->know->media;
    const bd_medium *m = o->bags->medium;
    double litres = o->bags->bag.volume_l;
    bd_status status =
        bd_salt_reading(o->know, o->request, m, o->card, &o->zone.existing_ece_ds_per_m, o->err);

    if (status == BD_OK)
        status =
            bd_roots_water(o->know, o->request, &o->zone.water_ds_per_m, &o->is_water_said, o->err);
    if (status != BD_OK)
        return status;
    o->zone.area_m2 = o->bags->bag.area_m2 * bd_media_figure(media, "bag-exposure")->value.typical;
    o->zone.capacity_l = litres * m->container_capacity.value.typical;
    o->zone.wilting_l = litres * m->wilting_point.value.typical;
    o->zone.saturation_l = bd_range_scale(bd_medium_saturation(m), litres);
    if (o->zone.saturation_l.low < o->zone.capacity_l)
        o->zone.saturation_l.low = o->zone.capacity_l;
    o->zone.leaching_share = bd_media_figure(media, "leaching-fraction")->value.typical;
    o->zone.eto_mm_per_d = bd_media_figure(media, "reference-evapotranspiration")->value.typical;
    o->zone.watering_every_days = 1;
    o->zone.uptake_share = bd_exactly(bd_media_figure(media, "uptake-share")->value.typical);
    o->zone.uptake = bd_media_uptake(media, &o->zone.uptake_count);
    return BD_OK;
}

/* A dressing in water brings the salt of that water along. */
static bd_range with_water(const outlook *o, bd_range load, double in_water_l)
{
    return bd_range_add(load, bd_range_scale(o->zone.water_ds_per_m, in_water_l));
}

/* Dressings evenly over the time left, no closer than the trade's interval if they fit. */
static void set_dressings(outlook *o, bd_range load, double rounds, double in_water_l)
{
    const bd_fact *gap = bd_catalogue_practice(o->know->catalogue, "dressing-gap");
    int count = rounds < MOST_DRESSINGS ? (int)rounds : MOST_DRESSINGS;
    double usual = gap == NULL ? 14.0 : gap->value.typical, fits = o->zone.days / (double)count;
    double interval = fmin(usual, fits);

    for (int i = 0; i < count; i++)
        o->dressings[i] = (bd_dressing){.day = (int)(i * interval),
                                        .water_l = in_water_l,
                                        .load_ds_l_per_m = with_water(o, load, in_water_l)};
    o->zone.dressings = o->dressings;
    o->zone.dressing_count = (size_t)count;
    if (count > 1)
        bd_card_assume(o->card, "rounds.interval", W("assume.interval"),
                       BD_ARGS(bd_count(floor(interval)), bd_count(count)),
                       &(bd_range){interval, interval, interval}, "d",
                       "common practice, no source");
    if (interval < (gap == NULL ? usual : gap->value.low))
        bd_card_find(o->card, "rounds.close", BD_CARE, W("rounds.too_close"),
                     BD_ARGS(bd_count(count), bd_count(o->zone.days), bd_count(floor(interval)),
                             bd_count(usual)),
                     "common practice, no source");
}

void bd_outlook_show(bd_card *card, const bd_outlook *seen)
{
    bd_card_figure(card, "soil.ece_before", W("figure.ece_before"), BD_NO_ARGS,
                   seen->ece_before_ds_per_m, "dS/m");
    bd_card_figure(card, "soil.ece_peak", W("figure.ece_peak"), BD_NO_ARGS, seen->ece_peak_ds_per_m,
                   "dS/m");
    bd_card_figure(card, "soil.ece_mean", W("figure.ece_mean"), BD_NO_ARGS, seen->ece_mean_ds_per_m,
                   "dS/m");
    bd_card_figure(card, "soil.ecsw_peak", W("figure.ecsw_peak"), BD_NO_ARGS,
                   seen->ecsw_peak_ds_per_m, "dS/m");
}

static void judge_rise(const outlook *o, const bd_outlook *s)
{
    const bd_fact *most = bd_catalogue_practice(o->know->catalogue, "ec-rise-per-dressing");
    char source[BD_CITE_SIZE];
    bool is_over = bd_is_over(s->rise_ds_per_m.high, most->value.high);

    bd_card_find_limit(
        o->card, "limit.soil.rise", is_over ? BD_CARE : BD_NOTE,
        is_over ? W("soil.rise_over") : W("soil.rise_within"),
        BD_ARGS(bd_amount_range(s->rise_ds_per_m, "dS/m"), bd_amount(most->value.high, "dS/m")),
        s->rise_ds_per_m.high, most->value.high, "dS/m", bd_cite_fact(most, source));
}

double bd_whole_percent(double loss)
{
    return ceil(100.0 * loss - 1e-9);
}

/* The loss comes from the mean, the threshold is judged on the peak: the sentence has both. */
static const char *sentence_of(const bd_outlook *s, const bd_salt_line *line, bd_range yield)
{
    static const double little = 0.01;

    if (!bd_is_over(s->ece_peak_ds_per_m.high, line->threshold_ds_per_m))
        return W("soil.under_threshold");
    if (yield.low >= 1.0)
        return W("soil.over_at_peak");
    return 1.0 - yield.typical < little ? W("soil.over_threshold_little")
                                        : W("soil.over_threshold");
}

void bd_outlook_judge(bd_card *card, const char *name, const bd_tolerance *t,
                      const bd_outlook *seen, bd_range yield)
{
    const bd_salt_line line = {t->threshold_ds_per_m, t->slope_per_ds_per_m};
    bool is_over = bd_is_over(seen->ece_peak_ds_per_m.high, t->threshold_ds_per_m);
    char source[BD_CITE_SIZE];

    bd_card_find_limit(card, "limit.soil.ece", is_over ? BD_CARE : BD_NOTE,
                       sentence_of(seen, &line, yield),
                       BD_ARGS(bd_name(name), bd_amount(seen->ece_before_ds_per_m.typical, "dS/m"),
                               bd_amount(seen->ece_peak_ds_per_m.typical, "dS/m"),
                               bd_amount(bd_whole_percent(1.0 - yield.typical), "%"),
                               bd_amount(t->threshold_ds_per_m, "dS/m"),
                               bd_amount(bd_whole_percent(1.0 - yield.low), "%"),
                               bd_amount(seen->ece_mean_ds_per_m.typical, "dS/m")),
                       seen->ece_peak_ds_per_m.high, t->threshold_ds_per_m, "dS/m",
                       bd_cite(t->source, t->trust, source));
}

static bd_range assumed(const outlook *o, const char *name, double scale)
{
    return bd_range_scale(bd_media_figure(o->know->media, name)->value, scale);
}

/* Mean ECe at one end of what was assumed of water, draining and uptake, all else as it is. */
static bd_status mean_at(const outlook *o, bool is_salty, double *ece_ds_per_m)
{
    const bd_fact *water = bd_media_figure(o->know->media, "water-conductivity"),
                  *leaching = bd_media_figure(o->know->media, "leaching-fraction"),
                  *uptake = bd_media_figure(o->know->media, "uptake-share");
    outlook other = *o;
    bd_course course;
    bd_status status;

    if (!o->is_water_said)
        other.zone.water_ds_per_m = bd_exactly(is_salty ? water->value.high : water->value.low);
    other.zone.leaching_share = is_salty ? leaching->value.low : leaching->value.high;
    other.zone.uptake_share = bd_exactly(is_salty ? uptake->value.low : uptake->value.high);
    other.zone.dressings = other.dressings;
    for (size_t i = 0; i < o->zone.dressing_count; i++) {
        bd_dressing *d = &other.dressings[i];
        double more =
            other.zone.water_ds_per_m.typical - o->zone.water_ds_per_m.typical; /* poured along */

        d->load_ds_l_per_m = bd_range_add(d->load_ds_l_per_m, bd_exactly(d->water_l * more));
    }
    status = bd_rootzone_follow(&other.zone, BD_END_TYPICAL, NULL, NULL, &course, o->err);
    if (status == BD_OK)
        *ece_ds_per_m = course.ece_mean_ds_per_m;
    return status;
}

/* What nobody said need not lie between the ends of what is usual. */
static bd_range around(double low, double typical, double high)
{
    return bd_range_of(fmin(low, typical), typical, fmax(high, typical));
}

/* How far the answer hangs on what nobody said.  No verdict stands on it: what was assumed is told,
 * and what was worked out from it judged. */
static bd_status tell_assumed(const outlook *o, const bd_salt_line *line, double ece_ds_per_m,
                              double yield)
{
    double fresh = 0.0, salty = 0.0, most = 1.0, least = 1.0;
    char source[BD_CITE_SIZE];
    bd_status status = mean_at(o, false, &fresh);

    if (status == BD_OK)
        status = mean_at(o, true, &salty);
    if (status == BD_OK)
        status = bd_salt_yield(line, fresh, &most, o->err);
    if (status == BD_OK)
        status = bd_salt_yield(line, salty, &least, o->err);
    if (status != BD_OK)
        return status;
    bd_card_find(
        o->card, "soil.assumed", BD_NOTE,
        o->is_water_said ? W("soil.assumed_water_said") : W("soil.assumed"),
        BD_ARGS(bd_amount_range(assumed(o, "water-conductivity", 1.0), "dS/m"),
                bd_amount_range(assumed(o, "leaching-fraction", 100.0), "%"),
                bd_amount_range(assumed(o, "uptake-share", 100.0), "%"),
                bd_amount_range(around(fresh, ece_ds_per_m, salty), "dS/m"),
                bd_amount_range(around(bd_whole_percent(1.0 - most), bd_whole_percent(1.0 - yield),
                                       bd_whole_percent(1.0 - least)),
                                "%")),
        bd_cite_fact(bd_media_figure(o->know->media,
                                     o->is_water_said ? "leaching-fraction" : "water-conductivity"),
                     source));
    return BD_OK;
}

static double most_loss(const outlook *o)
{
    return bd_catalogue_practice(o->know->catalogue, "yield-loss-stop")->value.typical;
}

/* Where the water alone, or what is in the mix, would do it too, less feed is no remedy. */
static bd_status tell_heavy_loss(const outlook *o, const bd_salt_line *line, double yield)
{
    bd_rootzone unfed = o->zone;
    bd_outlook seen;
    bd_range without = {0, 0, 0};
    double loss = bd_whole_percent(1.0 - yield), most = 100.0 * most_loss(o);
    bd_status status;

    unfed.dressing_count = 0;
    status = bd_rootzone_outlook(&unfed, &seen, o->err);
    if (status == BD_OK)
        status = bd_salt_yield_range(line, seen.ece_mean_ds_per_m, &without, o->err);
    if (status != BD_OK)
        return status;
    bd_card_find_limit(o->card, "limit.soil.yield", BD_STOP,
                       bd_is_over(1.0 - without.low, most_loss(o)) ? W("soil.heavy_loss_unfed")
                                                                   : W("soil.heavy_loss"),
                       BD_ARGS(bd_name(o->planting->crop->title), bd_amount(loss, "%"),
                               bd_amount(most, "%"),
                               bd_amount(bd_whole_percent(1.0 - without.low), "%")),
                       loss, most, "%", "common practice, no source");
    return BD_OK;
}

static bd_status judge_yield(const outlook *o, const bd_outlook *s)
{
    const bd_tolerance *t = bd_crop_tolerance(o->planting->crop);
    bd_salt_line line;
    bd_range yield, before;
    const char *name;
    bd_status status;
    double heavy_loss = most_loss(o);

    if (t == NULL) {
        bd_card_find(o->card, "soil.no_tolerance", BD_NOTE,
                     o->planting->crop == NULL ? W("soil.no_crop") : W("soil.no_tolerance"),
                     BD_NO_ARGS, "");
        return BD_OK;
    }
    name = o->planting->crop->title;
    line = (bd_salt_line){t->threshold_ds_per_m, t->slope_per_ds_per_m};
    status = bd_salt_yield_range(&line, s->ece_mean_ds_per_m, &yield, o->err);
    if (status == BD_OK)
        status = bd_salt_yield_range(&line, s->ece_before_ds_per_m, &before, o->err);
    if (status != BD_OK)
        return status;
    bd_card_figure(o->card, "yield.relative", W("figure.yield"), BD_ARGS(bd_name(name)), yield, "");
    bd_outlook_judge(o->card, name, t, s, yield);
    if (bd_is_over(1.0 - yield.low, heavy_loss) && bd_is_over(before.low - yield.low, 0.0))
        status = tell_heavy_loss(o, &line, yield.low);
    if (status != BD_OK)
        return status;
    return tell_assumed(o, &line, s->ece_mean_ds_per_m.typical, yield.typical);
}

static void tell_model(const outlook *o)
{
    const char *key =
        bd_medium_is_peat_like(o->bags->medium) ? W("assume.maas_peat") : W("assume.maas_field");
    char source[BD_CITE_SIZE];

    bd_card_assume(o->card, "soil.model", key, BD_NO_ARGS, NULL, "",
                   bd_rule_source(o->know->catalogue, key, source));
}

bd_status bd_roots_show_load(const bd_knowledge *know, const bd_request *request,
                             const bd_planting *planting, const bd_bags *bags, bd_range load,
                             double rounds, double in_water_l, bd_card *card, bd_error *err)
{
    outlook o = {.know = know,
                 .request = request,
                 .planting = planting,
                 .bags = bags,
                 .card = card,
                 .err = err};
    bd_outlook seen;
    bd_status status;

    if (bags->size == NULL)
        return bd_salt_reading_check(request, err);
    set_days(&o);
    o.zone.kc = bd_kc_of_crop(planting->crop,
                              bd_media_figure(know->media, "crop-coefficient")->value.typical);
    status = set_bag(&o);
    if (status != BD_OK)
        return status;
    tell_watering(&o, in_water_l > 0.0);
    set_dressings(&o, load, rounds, in_water_l);
    status = bd_rootzone_outlook(&o.zone, &seen, err);
    if (status != BD_OK)
        return status;
    bd_outlook_show(card, &seen);
    judge_rise(&o, &seen);
    tell_model(&o);
    return judge_yield(&o, &seen);
}

bd_status bd_roots_show(const bd_knowledge *know, const bd_request *request,
                        const bd_planting *planting, const bd_bags *bags, const bd_offer *offer,
                        bd_range per_bag, double rounds, double in_water_l,
                        double titrant_mol_per_l, bd_card *card, bd_error *err)
{
    bd_salts salts;
    bd_status status;
    bd_range load;

    if (bags->size == NULL)
        return bd_salt_reading_check(request, err);
    status = bd_salts_of(know, offer, per_bag,
                         bd_medium_saturation(bags->medium).typical * bags->bag.volume_l, &salts,
                         &load, err);
    if (status != BD_OK)
        return status;
    load = bd_range_add(load,
                        bd_range_scale(bd_media_figure(know->media, "salt-per-equivalent")->value,
                                       titrant_mol_per_l * meq_per_mol * in_water_l));
    bd_salts_tell(&salts, offer, card);
    bd_salts_tell_urea(&salts, card);
    return bd_roots_show_load(know, request, planting, bags, load, rounds, in_water_l, card, err);
}
