#include "job/bags.h"

#include <string.h>

#include "nutrients/cite.h"

/* Plants from what was said, else from the crop's usual spacing. */
static bd_status count_plants(const bd_request *r, const bd_planting *planting, bd_card *card,
                              bd_bags *bags, bd_error *err)
{
    const bd_value *spacing = bd_request_get(r, BD_OPT_SPACING);
    const bd_fact *usual = planting->crop == NULL ? NULL : &planting->crop->spacing_m;
    char source[BD_CITE_SIZE] = "--spacing";
    double spacing_m;
    bd_status status;

    if (bd_request_get(r, BD_OPT_PLANTS) != NULL) {
        bags->plants = bd_request_number(r, BD_OPT_PLANTS, 0.0);
        return BD_OK;
    }
    if (bags->size == NULL || (spacing == NULL && (usual == NULL || !usual->is_known)))
        return BD_OK;
    spacing_m = spacing != NULL ? spacing->number.typical : usual->value.typical;
    status = bd_bag_plants(bags->bag.area_m2, 1.0, spacing_m, &bags->plants, err);
    if (status == BD_OK)
        bd_card_work(card, W("work.plants"),
                     BD_ARGS(bd_exact(bags->bag.area_m2, "m2"), bd_exact(spacing_m, "m"),
                             bd_count(bags->plants)),
                     spacing != NULL ? "--spacing" : bd_cite_fact(usual, source));
    if (spacing == NULL && status == BD_OK)
        bd_card_assume(card, "plants", W("assume.plants_from_spacing"),
                       BD_ARGS(bd_count(bags->plants), bd_amount(100 * spacing_m, "cm"),
                               bd_name(planting->crop->title)),
                       &(bd_range){bags->plants, bags->plants, bags->plants}, "",
                       bd_cite_fact(usual, source));
    return status;
}

static void judge_depth(const bd_knowledge *know, const bd_planting *planting, const bd_bags *bags,
                        bd_card *card)
{
    const bd_fact *rule = bd_catalogue_practice(know->catalogue, "root-bag-depth");
    const bd_crop *crop = planting->crop;
    char source[BD_CITE_SIZE];
    double depth_cm = 100.0 * bags->bag.depth_m;

    if (crop == NULL)
        return;
    if (crop->bag_depth_m.is_known) {
        bool is_shallow = bags->bag.depth_m < crop->bag_depth_m.value.low;

        bd_card_find_limit(
            card, "bag.depth", is_shallow ? BD_CARE : BD_NOTE,
            is_shallow ? W("bag.too_shallow") : W("bag.deep_enough"),
            BD_ARGS(bd_amount(depth_cm, "cm"), bd_name(crop->title),
                    bd_amount_range(bd_range_scale(crop->bag_depth_m.value, 100.0), "cm")),
            bags->bag.depth_m, crop->bag_depth_m.value.low, "m",
            bd_cite_fact(&crop->bag_depth_m, source));
        bd_card_limit_is_least(card);
    }
    if (crop->is_root && rule != NULL && rule->is_known) {
        bool is_shallow = bags->bag.depth_m < rule->value.typical;

        bd_card_find_limit(
            card, "bag.depth_rule", BD_NOTE,
            is_shallow ? W("bag.under_root_rule") : W("bag.meets_root_rule"),
            BD_ARGS(bd_amount(depth_cm, "cm"), bd_amount(100.0 * rule->value.typical, "cm")),
            bags->bag.depth_m, rule->value.typical, "m", bd_cite_fact(rule, source));
        bd_card_limit_is_least(card);
    }
}

static void work_area(const bd_bag_size *size, bd_card *card)
{
    static const char geometry[] = "geometry";

    switch (size->shape) {
    case BD_BAG_ROUND:
        bd_card_work(card, W("work.bag_round"),
                     BD_ARGS(bd_exact(size->diameter_m, "m"), bd_exact(size->area_m2, "m2")),
                     geometry);
        return;
    case BD_BAG_GIRTH:
        bd_card_work(card, W("work.bag_girth"),
                     BD_ARGS(bd_exact(size->girth_m, "m"), bd_exact(size->area_m2, "m2")),
                     geometry);
        return;
    case BD_BAG_BOX:
        bd_card_work(card, W("work.bag_box"),
                     BD_ARGS(bd_exact(size->length_m, "m"), bd_exact(size->width_m, "m"),
                             bd_exact(size->area_m2, "m2")),
                     geometry);
        return;
    case BD_BAG_VOLUME:
        bd_card_work(card, W("work.bag_from_volume"),
                     BD_ARGS(bd_exact(size->volume_l, "L"), bd_exact(size->depth_m, "m"),
                             bd_exact(size->area_m2, "m2")),
                     geometry);
        return;
    }
}

static void work_bag(const bd_bags *bags, bd_card *card)
{
    const bd_bag *bag = &bags->bag;

    work_area(bags->size, card);
    bd_card_work(card, W("work.bag_volume"),
                 BD_ARGS(bd_exact(bag->area_m2, "m2"), bd_exact(bag->depth_m, "m"),
                         bd_exact(bag->volume_l, "L")),
                 "1 m3 is 1000 L");
}

static bd_status show_bag(const bd_knowledge *know, const bd_planting *planting,
                          const bd_bags *bags, bd_card *card, bd_error *err)
{
    const bd_bag *bag = &bags->bag;
    double soil_kg = 0.0, water_l = 0.0;
    bd_status status;

    bd_card_figure(card, "bag.area", W("figure.bag_area"), BD_NO_ARGS, bd_exactly(bag->area_m2),
                   "m2");
    bd_card_figure(card, "bag.volume", W("figure.bag_volume"), BD_NO_ARGS,
                   bd_exactly(bag->volume_l), "L");
    bd_card_figure(card, "bag.depth", W("figure.bag_depth"), BD_NO_ARGS, bd_exactly(bag->depth_m),
                   "m");
    status =
        bd_bag_soil_mass(bag, bags->medium->bulk_density_kg_per_l.value.typical, &soil_kg, err);
    if (status == BD_OK)
        status = bd_bag_water(bag, bags->medium->container_capacity.value.typical, &water_l, err);
    if (status != BD_OK)
        return status;
    bd_card_figure(card, "bag.soil_mass", W("figure.bag_soil_mass"), BD_NO_ARGS,
                   bd_exactly(soil_kg), "kg");
    bd_card_figure(card, "bag.water", W("figure.bag_water"), BD_NO_ARGS, bd_exactly(water_l), "L");
    judge_depth(know, planting, bags, card);
    return BD_OK;
}

static bd_status read_medium(const bd_knowledge *know, const bd_request *r, bd_card *card,
                             bd_bags *out, bd_error *err)
{
    const bd_value *medium = bd_request_get(r, BD_OPT_MEDIUM);
    char source[BD_CITE_SIZE];
    bd_status status =
        bd_media_medium(know->media, medium == NULL ? NULL : medium->text, &out->medium, err);

    bd_error_at(err, "--medium");
    if (status == BD_OK && medium == NULL && out->size != NULL)
        bd_card_assume(card, "medium", W("assume.medium"), BD_ARGS(bd_name(out->medium->title)),
                       NULL, "", bd_cite_fact(&out->medium->bulk_density_kg_per_l, source));
    return status;
}

bd_status bd_bags_read(const bd_knowledge *know, const bd_request *r, const bd_planting *planting,
                       bd_card *card, bd_bags *out, bd_error *err)
{
    const bd_value *size = bd_request_get(r, BD_OPT_BAG_SIZE);
    bd_status status;

    memset(out, 0, sizeof *out);
    out->count = bd_request_number(r, BD_OPT_BAGS, 1.0);
    if (bd_request_get(r, BD_OPT_BAGS) == NULL)
        bd_card_assume(card, "bags", W("assume.one_bag"), BD_NO_ARGS, &(bd_range){1, 1, 1}, "",
                       "common practice, no source");
    if (size != NULL) {
        out->size = &size->bag;
        out->bag = (bd_bag){size->bag.area_m2, size->bag.volume_l, size->bag.depth_m};
        work_bag(out, card);
        if (size->bag.is_guessed)
            bd_card_assume(card, "bag.shape", W("assume.bag_shape"),
                           BD_ARGS(bd_amount(out->bag.depth_m, "m")), NULL, "",
                           "common practice, no source");
    }
    status = read_medium(know, r, card, out, err);
    if (status == BD_OK)
        status = count_plants(r, planting, card, out, err);
    if (status == BD_OK && out->size != NULL)
        status = show_bag(know, planting, out, card, err);
    if (status == BD_OK && out->plants > 0.0)
        bd_card_figure(card, "bag.plants", W("figure.bag_plants"), BD_NO_ARGS,
                       bd_exactly(out->plants), "");
    return status;
}
