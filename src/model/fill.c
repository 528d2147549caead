#include "model/fill.h"

#include <math.h>

#include "model/inputs.h"

static const double most_loss = 0.5;
static const double g_per_kg = 1000.0;

/* ---- what is asked for ---- */

static bool is_fine_order(const bd_fill_order *order, bd_error *err)
{
    if (!bd_input_is_amount(order->bag_l, "mix in a bag", "L", err) ||
        !bd_input_is_amount(order->bags, "number of bags", "", err) ||
        !bd_input_is_amount(order->bucket_l, "bucket", "L", err) ||
        !bd_input_is_between(order->settling, 0.0, most_loss, "settling", "", err) ||
        !bd_input_is_between(order->mixing_loss, 0.0, most_loss, "loss on mixing", "", err) ||
        !bd_input_is_between((double)order->count, 1.0, BD_FILL_PARTS_MAX, "number of parts", "",
                             err))
        return false;
    for (size_t i = 0; i < order->count; i++)
        if (!bd_input_is_amount(order->shares[i].share, "share of a part", "", err))
            return false;
    return true;
}

static bool are_fine_microbes(bd_range microbes, bd_range efficiency, bd_error *err)
{
    return bd_input_is_amount(microbes.low, "C:N of microbes", "", err) &&
           bd_input_is_amount(microbes.high, "C:N of microbes", "", err) &&
           bd_input_is_between(efficiency.low, 0.0, 1.0, "efficiency of microbes", "", err) &&
           bd_input_is_between(efficiency.high, 0.0, 1.0, "efficiency of microbes", "", err);
}

/* ---- one part ---- */

static bd_range known_or_zero(const bd_fact *fact)
{
    return fact->is_known ? fact->value : bd_exactly(0.0);
}

static bd_npk contents(const bd_part *part)
{
    bd_npk all;

    for (int i = 0; i < BD_NPK_COUNT; i++)
        all.of[i] = known_or_zero(&part->content[i]);
    return all;
}

static bd_npk for_first_crop(const bd_part *part, const bd_npk *total)
{
    bd_npk available;

    for (int i = 0; i < BD_NPK_COUNT; i++)
        available.of[i] = bd_range_times(total->of[i], known_or_zero(&part->first_year[i]));
    return available;
}

static bd_fill_line fill_line(const bd_fill_order *order, const bd_fill_share *of, double share,
                              double parts_l)
{
    bd_fill_line line = {.share = share};
    bd_npk content = contents(of->part);

    line.loose_l = share * parts_l / (1.0 - order->settling);
    line.buckets = line.loose_l / order->bucket_l;
    line.mass_kg = bd_range_scale(of->part->moist_density_kg_per_l.value, share * parts_l);
    for (int i = 0; i < BD_NPK_COUNT; i++)
        line.total_g.of[i] = bd_range_scale(bd_range_times(line.mass_kg, content.of[i]), g_per_kg);
    line.available_g = for_first_crop(of->part, &line.total_g);
    return line;
}

static double draw_down_of(double carbon_kg, double rots, double efficiency, double microbes,
                           double own)
{
    return carbon_kg * rots * g_per_kg * fmax(0.0, efficiency / microbes - 1.0 / own);
}

/* Nitrogen that rot takes for so much dry matter; the ends that spare most and take most. */
static bd_range draw_down(const bd_part *part, bd_range dry_kg, bd_range microbes,
                          bd_range efficiency)
{
    bd_range c, rots = part->rots.value, own = part->carbon_to_nitrogen.value;

    if (!part->carbon_to_nitrogen.is_known)
        return bd_exactly(0.0);
    c = bd_range_times(dry_kg, part->carbon.value);
    return bd_range_of(
        draw_down_of(c.low, rots.low, efficiency.low, microbes.high, own.low),
        draw_down_of(c.typical, rots.typical, efficiency.typical, microbes.typical, own.typical),
        draw_down_of(c.high, rots.high, efficiency.high, microbes.low, own.high));
}

/* ---- the mix ---- */

/* Sums over the parts, each by its share of their volume. */
typedef struct bd_mixed {
    bd_range dry_kg_per_l, water, wilting, solids;
    bd_range salt_load, known_share;
    double saturation;
} bd_mixed;

static bd_range part_of(const bd_fact *fact, double share)
{
    return bd_range_scale(fact->value, share);
}

static void mix_in(bd_mixed *mixed, const bd_fill_share *of, double share)
{
    const bd_medium *m = of->medium;
    bd_range pores = m->total_pores.value;
    double saturation = share * bd_medium_saturation(m).typical;
    bd_range ece = known_or_zero(&of->part->ece_ds_per_m);

    mixed->dry_kg_per_l =
        bd_range_add(mixed->dry_kg_per_l, part_of(&m->bulk_density_kg_per_l, share));
    mixed->water = bd_range_add(mixed->water, part_of(&m->container_capacity, share));
    mixed->wilting = bd_range_add(mixed->wilting, part_of(&m->wilting_point, share));
    mixed->solids = bd_range_add(
        mixed->solids,
        bd_range_scale(bd_range_of(1.0 - pores.high, 1.0 - pores.typical, 1.0 - pores.low), share));
    mixed->salt_load = bd_range_add(mixed->salt_load, bd_range_scale(ece, saturation));
    mixed->saturation += saturation;
    if (of->part->ece_ds_per_m.is_known)
        mixed->known_share = bd_range_add(mixed->known_share, bd_exactly(share));
}

static void describe_mix(const bd_fill_order *order, const bd_mixed *mixed, double packed,
                         bd_fill *fill)
{
    bd_range solids = bd_range_scale(mixed->solids, packed);

    fill->total_pores = bd_range_of(1.0 - solids.high, 1.0 - solids.typical, 1.0 - solids.low);
    fill->container_capacity =
        bd_range_least(bd_range_scale(mixed->water, packed), fill->total_pores);
    fill->wilting_point =
        bd_range_least(bd_range_scale(mixed->wilting, packed), fill->container_capacity);
    fill->bulk_density_kg_per_l = bd_range_scale(mixed->dry_kg_per_l, packed);
    fill->bag_soil_kg = bd_range_scale(fill->bulk_density_kg_per_l, order->bag_l);
    fill->bag_water_l = bd_range_scale(fill->container_capacity, order->bag_l);
    fill->ece_ds_per_m = bd_range_scale(mixed->salt_load, 1.0 / mixed->saturation);
    fill->ece_known_share = mixed->known_share.typical;
}

static double sum_of_shares(const bd_fill_order *order)
{
    double sum = 0.0;

    for (size_t i = 0; i < order->count; i++)
        sum += order->shares[i].share;
    return sum;
}

/* Adds a line, and what it brings to one bag. */
static void take_line(const bd_fill_order *order, const bd_part *part, const bd_fill_line *line,
                      bd_fill *fill)
{
    double per_bag = 1.0 / order->bags;

    fill->lines[fill->count++] = *line;
    fill->loose_l += line->loose_l;
    fill->mass_kg = bd_range_add(fill->mass_kg, line->mass_kg);
    fill->total_g_per_bag = bd_npk_add(fill->total_g_per_bag, bd_npk_scale(line->total_g, per_bag));
    fill->available_g_per_bag =
        bd_npk_add(fill->available_g_per_bag, bd_npk_scale(line->available_g, per_bag));
    fill->lime_g_per_bag =
        bd_range_add(fill->lime_g_per_bag,
                     bd_range_scale(bd_range_times(line->mass_kg, known_or_zero(&part->lime_value)),
                                    g_per_kg * per_bag));
}

bd_status bd_fill_bags(const bd_fill_order *order, bd_range microbes, bd_range efficiency,
                       bd_fill *out, bd_error *err)
{
    double loss = order->count > 1 ? order->mixing_loss : 0.0;
    double parts_l = order->bag_l * order->bags / (1.0 - loss);
    bd_fill fill = {.count = 0};
    bd_mixed mixed = {.saturation = 0.0};
    double whole;

    if (!is_fine_order(order, err) || !are_fine_microbes(microbes, efficiency, err))
        return BD_RANGE;
    whole = sum_of_shares(order);
    for (size_t i = 0; i < order->count; i++) {
        const bd_fill_share *of = &order->shares[i];
        double share = of->share / whole;
        bd_fill_line line = fill_line(order, of, share, parts_l);
        bd_range dry_kg =
            part_of(&of->medium->bulk_density_kg_per_l, share * parts_l / order->bags);

        take_line(order, of->part, &line, &fill);
        mix_in(&mixed, of, share);
        fill.draw_down_n_g_per_bag = bd_range_add(
            fill.draw_down_n_g_per_bag, draw_down(of->part, dry_kg, microbes, efficiency));
    }
    fill.buckets = fill.loose_l / order->bucket_l;
    fill.bag_loose_l = fill.loose_l / order->bags;
    describe_mix(order, &mixed, 1.0 / (1.0 - loss), &fill);
    *out = fill;
    return BD_OK;
}

bd_status bd_lime_share(double ph, double target, double free, double *out, bd_error *err)
{
    static const double least_ph = 2.0, most_ph = 10.0, least_way = 0.1;

    if (!bd_input_is_between(free, least_ph, most_ph, "pH without acidity", "", err) ||
        !bd_input_is_between(ph, least_ph, free - least_way, "pH of the soil", "", err) ||
        !bd_input_is_between(target, ph, free, "pH wanted", "", err))
        return BD_RANGE;
    *out = (target - ph) / (free - ph);
    return BD_OK;
}
