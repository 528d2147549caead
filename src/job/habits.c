#include "job/habits.h"

#include "nutrients/cite.h"

static const bd_fact *habit(const bd_knowledge *know, const char *name)
{
    return bd_catalogue_practice(know->catalogue, name);
}

static bool differ(bd_range a, bd_range b)
{
    return a.high < b.low || b.high < a.low;
}

/*
 * A habit and a published figure of the crop.  {0} crop, {1} the habit, {2} what
 * is published, {3} where.
 */
static void tell(bd_card *card, const char *id, const bd_crop *crop, const bd_fact *custom,
                 const bd_fact *published, double scale, const char *unit, const char *same,
                 const char *other)
{
    char source[BD_CITE_SIZE], custom_source[BD_CITE_SIZE];
    bool has_other = published->is_known && differ(custom->value, published->value);

    bd_card_find(card, id, BD_NOTE, has_other ? other : same,
                 BD_ARGS(bd_name(crop->title),
                         bd_amount_range(bd_range_scale(custom->value, scale), unit),
                         bd_amount_range(bd_range_scale(published->value, scale), unit),
                         bd_name(has_other ? bd_cite_fact(published, source) : "")),
                 bd_cite_fact(custom, custom_source));
}

void bd_habits_tell_growing(const bd_knowledge *know, const bd_planting *planting, bd_card *card)
{
    const bd_crop *crop = planting->crop;

    if (crop == NULL || !crop->is_root)
        return;
    tell(card, "habit.sowing_depth", crop, habit(know, "sowing-depth"), &crop->sowing_depth_m,
         100.0, "cm", W("habit.sowing_depth"), W("habit.sowing_depth_differs"));
    tell(card, "habit.spacing", crop, habit(know, "sowing-spacing"), &crop->spacing_m, 100.0, "cm",
         W("habit.spacing"), W("habit.spacing_differs"));
    tell(card, "habit.harvest", crop, habit(know, "harvest-days"), &crop->days_to_harvest, 1.0, "d",
         W("habit.harvest"), W("habit.harvest_differs"));
}

void bd_habits_tell_dressing(const bd_knowledge *know, const bd_planting *planting, bd_card *card)
{
    const bd_fact *first = habit(know, "sidedress-first"),
                  *second = habit(know, "sidedress-second");
    const bd_fact *early = habit(know, "sidedress-published-first");
    const bd_fact *late = habit(know, "sidedress-published-second");
    char source[BD_CITE_SIZE], published[BD_CITE_SIZE];

    if (planting->crop == NULL || !planting->crop->is_root)
        return;
    bd_card_find(card, "habit.dressing", BD_NOTE, W("habit.dressing"),
                 BD_ARGS(bd_count(first->value.typical), bd_count(second->value.typical),
                         bd_count(early->value.typical), bd_count(late->value.typical),
                         bd_name(bd_cite_fact(early, published))),
                 bd_cite_fact(first, source));
}
