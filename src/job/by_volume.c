#include "job/by_volume.h"

#include <string.h>

#include "job/scoop.h"

#define G_PER_KG 1000.0

/* Millilitres times kg/L are grams, litres times g/L too. */
static const struct {
    bd_kind volume, mass;
    double per_kg_per_l;
    const char *density_unit;
} kinds[] = {
    {BD_KIND_VOLUME_PER_VOLUME, BD_KIND_STRENGTH, 1.0, "kg/L"},
    {BD_KIND_VOLUME_PER_AREA, BD_KIND_MASS_PER_AREA, G_PER_KG, "g/L"},
    {BD_KIND_VOLUME_PER_PLANT, BD_KIND_MASS_PER_PLANT, G_PER_KG, "g/L"},
    {BD_KIND_VOLUME_PER_BAG, BD_KIND_MASS_PER_BAG, G_PER_KG, "g/L"},
    {BD_KIND_VOLUME, BD_KIND_MASS, G_PER_KG, "g/L"},
};
enum { KIND_COUNT = sizeof kinds / sizeof kinds[0] };

static size_t find_kind(bd_kind kind)
{
    size_t i = 0;

    while (i < KIND_COUNT && kinds[i].volume != kind)
        i++;
    return i;
}

static bool is_delicate(const bd_request *r)
{
    const bd_value *stage = bd_request_get(r, BD_OPT_STAGE);

    return r->job == BD_JOB_SPRAY || (stage != NULL && strcmp(stage->text, "seedling") == 0);
}

static bd_status accepts_weighing(const bd_offer *o, bd_error *err)
{
    return bd_accepts(err,
                      "the rate by weight, or some weighed once: --scoop UStbsp --scoop-weighs "
                      "\"10 level scoops 140 g\"%s",
                      o->material == NULL ? "; --density of a liquid" : "");
}

static bd_status refuse_traces(const bd_offer *o, const char *option, bd_error *err)
{
    (void)bd_fail(err, BD_CONFLICT, option, "%s is never measured by volume", o->title);
    return bd_accepts(err, "the rate by weight, such as g/m2 or g/L: too little and too much lie "
                           "close together");
}

/* Scoops were weighed, and how large they are would have been enough. */
static bd_status fail_without_volume(const bd_offer *o, const bd_loose *loose, const char *option,
                                     bd_error *err)
{
    bool is_of_a_file = strcmp(loose->lacks_volume, "--scoop-weighs") != 0;

    (void)bd_fail(err, BD_MISSING, is_of_a_file ? loose->lacks_volume : "--scoop",
                  "the scoop of %s was weighed, but its volume is not said, which %s by volume "
                  "needs",
                  o->title, option);
    return bd_accepts(err, is_of_a_file
                               ? "\"volume\": {\"value\": 15, \"unit\": \"mL\", \"status\": \"own "
                                 "weighing\"} beside its weight"
                               : "--scoop 15mL, the volume of the scoop that was weighed");
}

static bd_status check_loose(const bd_request *r, const bd_offer *o, const bd_loose *loose,
                             const char *option, bd_error *err)
{
    if ((!loose->is_known || is_delicate(r)) && loose->lacks_volume != NULL)
        return fail_without_volume(o, loose, option, err);
    if (!loose->is_known) {
        (void)bd_fail(err, BD_MISSING, option, "how much a spoon of %s weighs is not known here",
                      o->title);
        return accepts_weighing(o, err);
    }
    if (loose->is_weighed || !is_delicate(r))
        return BD_OK;
    (void)bd_fail(err, BD_MISSING, option, "no spoon of %s by loose weight for leaves or seedlings",
                  o->title);
    return accepts_weighing(o, err);
}

static void tell_assumed(const bd_offer *o, const bd_loose *loose, bd_card *card)
{
    if (!bd_loose_tell(loose, o, card) || loose->is_weighed)
        return;
    bd_card_find(card, "measure.by_volume", BD_NOTE,
                 o->material == NULL ? W("measure.by_volume_of_granules") : W("measure.by_volume"),
                 BD_ARGS(bd_name(o->title), bd_amount_range(loose->kg_per_l, "kg/L")),
                 loose->source);
}

/* A solid lies as loosely as somebody found. */
static bd_status find_loose(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                            const char *option, bd_card *card, bd_range *kg_per_l, bd_error *err)
{
    bd_loose loose;
    bd_status status = BD_OK;

    if (bd_is_for_traces(o))
        return refuse_traces(o, option, err);
    status = bd_loose_of(know, r, o, &loose, err);
    if (status == BD_OK)
        status = check_loose(r, o, &loose, option, err);
    if (status != BD_OK)
        return status;
    tell_assumed(o, &loose, card);
    *kg_per_l = loose.kg_per_l;
    return BD_OK;
}

bd_status bd_rate_by_mass(const bd_knowledge *know, const bd_request *request, const bd_offer *o,
                          const char *option, const char *text, bd_kind *kind, double typical,
                          bd_range *factor, bd_card *card, bd_error *err)
{
    size_t i = find_kind(*kind);
    bd_range kg_per_l = bd_exactly(o->product.density_kg_per_l);
    bd_status status = BD_OK;

    *factor = bd_exactly(1.0);
    if (i == KIND_COUNT)
        return BD_OK;
    if (!o->product.is_liquid)
        status = find_loose(know, request, o, option, card, &kg_per_l, err);
    if (status != BD_OK)
        return status;
    *factor = bd_range_scale(kg_per_l, kinds[i].per_kg_per_l);
    bd_card_work(card, W("work.by_volume"),
                 BD_ARGS(bd_name(text), bd_exact(typical, bd_kind_unit(*kind)),
                         bd_exact(factor->typical, kinds[i].density_unit),
                         bd_exact(typical * factor->typical, bd_kind_unit(kinds[i].mass))),
                 option);
    *kind = kinds[i].mass;
    return BD_OK;
}
