#include "model/bag.h"

#include <math.h>
#include <stddef.h>

static const double litres_per_m3 = 1000.0;
static const double most_plants = 1e6;
/* 0.30 m / 0.10 m must count as three rows although binary fractions fall short of it. */
static const double whole_slack = 1e-9;

static bool is_positive(double x)
{
    return x > 0.0 && !isinf(x);
}

static bool is_known_or_zero(double x)
{
    return x >= 0.0 && !isinf(x);
}

static bd_status want_positive(double x, const char *what, bd_error *err)
{
    if (is_positive(x))
        return BD_OK;
    bd_fail(err, BD_RANGE, NULL, "%s '%g' is not above zero", what, x);
    bd_accepts(err, "a number above zero");
    return BD_RANGE;
}

static bd_status want_share(double x, const char *what, bd_error *err)
{
    if (x > 0.0 && x <= 1.0)
        return BD_OK;
    bd_fail(err, BD_RANGE, NULL, "%s '%g' is not a share", what, x);
    bd_accepts(err, "a share above 0 and up to 1");
    return BD_RANGE;
}

bd_status bd_bag_upright(double area_m2, double depth_m, bd_bag *out, bd_error *err)
{
    bd_status status = want_positive(area_m2, "the bag's area", err);

    if (status == BD_OK)
        status = want_positive(depth_m, "the depth of mix", err);
    if (status == BD_OK)
        *out = (bd_bag){area_m2, area_m2 * depth_m * litres_per_m3, depth_m};
    return status;
}

bd_status bd_bag_plants(double area_m2, double usable_share, double spacing_m, double *plants,
                        bd_error *err)
{
    bd_status status = want_positive(area_m2, "the bag's area", err);
    double count;

    if (status == BD_OK)
        status = want_share(usable_share, "the planted part of the area", err);
    if (status == BD_OK)
        status = want_positive(spacing_m, "the spacing", err);
    if (status != BD_OK)
        return status;

    count = floor(area_m2 * usable_share / (spacing_m * spacing_m) + whole_slack);
    if (!(count <= most_plants)) {
        bd_fail(err, BD_RANGE, NULL, "a spacing of '%g' m gives too many plants", spacing_m);
        bd_accepts(err, "a spacing that leaves at most a million plants");
        return BD_RANGE;
    }
    *plants = count < 1.0 ? 1.0 : count;
    return BD_OK;
}

bd_status bd_bag_soil_mass(const bd_bag *bag, double bulk_density_kg_per_l, double *mass_kg,
                           bd_error *err)
{
    bd_status status = want_positive(bag->volume_l, "the volume of mix", err);

    if (status == BD_OK)
        status = want_positive(bulk_density_kg_per_l, "the bulk density", err);
    if (status == BD_OK)
        *mass_kg = bag->volume_l * bulk_density_kg_per_l;
    return status;
}

bd_status bd_bag_water(const bd_bag *bag, double water_share, double *water_l, bd_error *err)
{
    bd_status status = want_positive(bag->volume_l, "the volume of mix", err);

    if (status == BD_OK)
        status = want_share(water_share, "the water in the mix", err);
    if (status == BD_OK)
        *water_l = bag->volume_l * water_share;
    return status;
}

static bd_status check_bases(const bd_bag *bag, double plants, double soil_mass_kg, double g_per_m2,
                             const bd_field *field, bd_error *err)
{
    const struct {
        double x;
        const char *what;
    } inputs[] = {
        {plants, "the number of plants"},
        {soil_mass_kg, "the mass of mix"},
        {g_per_m2, "the field rate"},
        {field->plough_depth_m, "the plough depth"},
        {field->bulk_density_kg_per_l, "the field's bulk density"},
        {field->plants_per_m2, "the field's stand"},
    };
    bd_status status = want_positive(bag->area_m2, "the bag's area", err);

    if (status == BD_OK)
        status = want_positive(bag->volume_l, "the volume of mix", err);
    for (size_t i = 0; status == BD_OK && i < sizeof inputs / sizeof inputs[0]; i++) {
        if (is_known_or_zero(inputs[i].x))
            continue;
        bd_fail(err, BD_RANGE, NULL, "%s '%g' is negative or not a number", inputs[i].what,
                inputs[i].x);
        bd_accepts(err, "a number, or zero for not known");
        status = BD_RANGE;
    }
    return status;
}

static double spread_of(const bd_bases *b)
{
    const double given[] = {
        b->has_area ? b->area : -1.0,
        b->has_plant ? b->plant : -1.0,
        b->has_volume ? b->volume : -1.0,
        b->has_mass ? b->mass : -1.0,
    };
    double low = HUGE_VAL, high = 0.0;

    for (size_t i = 0; i < sizeof given / sizeof given[0]; i++) {
        if (given[i] < 0.0)
            continue;
        low = fmin(low, given[i]);
        high = fmax(high, given[i]);
    }
    return high > 0.0 ? high / low : 1.0;
}

bd_status bd_bag_bases(const bd_bag *bag, double plants, double soil_mass_kg, double g_per_m2,
                       const bd_field *field, bd_bases *out, bd_error *err)
{
    bd_status status = check_bases(bag, plants, soil_mass_kg, g_per_m2, field, err);
    double layer_l_per_m2 = field->plough_depth_m * litres_per_m3;
    double layer_kg_per_m2 = layer_l_per_m2 * field->bulk_density_kg_per_l;
    bd_bases b = {.has_area = true};

    if (status != BD_OK)
        return status;

    b.has_plant = plants > 0.0 && field->plants_per_m2 > 0.0;
    b.has_volume = layer_l_per_m2 > 0.0;
    b.has_mass = soil_mass_kg > 0.0 && layer_kg_per_m2 > 0.0;

    b.area = g_per_m2 * bag->area_m2;
    if (b.has_plant)
        b.plant = g_per_m2 / field->plants_per_m2 * plants;
    if (b.has_volume)
        b.volume = g_per_m2 / layer_l_per_m2 * bag->volume_l;
    if (b.has_mass)
        b.mass = g_per_m2 / layer_kg_per_m2 * soil_mass_kg;
    b.spread = spread_of(&b);
    *out = b;
    return BD_OK;
}
