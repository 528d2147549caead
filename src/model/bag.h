/*
 * bag.h - how big a bag is, how many plants stand in it, and what a field rate
 * comes to in one bag.
 *
 * May include: base/.  No stdio, no clock, no files.
 *
 * A rate given for a field can be carried into a bag in four ways, and they may
 * differ twentyfold: the area rate leans on what a deep field soil supplies by
 * itself, the plant rate on a thin field stand, the volume and mass rates on the
 * plough layer.  No way is the right one; all that can be worked out are given
 * side by side, with how far they lie apart.
 */
#ifndef BD_MODEL_BAG_H
#define BD_MODEL_BAG_H

#include <stdbool.h>

#include "base/error.h"

/* The mix in one bag, pot or bucket, settled and watered. */
typedef struct bd_bag {
    double area_m2;  /* upper surface of the mix, above 0 */
    double volume_l; /* of the settled mix, above 0       */
    double depth_m;  /* of the settled mix, above 0       */
} bd_bag;

/*
 * A bag with straight sides.
 *
 *   area_m2  upper surface [m2, above 0]
 *   depth_m  of the mix    [m, above 0]
 *   out      written only on BD_OK
 *
 * Returns BD_OK or BD_RANGE.
 * Example  0.0707 m2 and 0.35 m -> 24.7 L
 */
bd_status bd_bag_upright(double area_m2, double depth_m, bd_bag *out, bd_error *err) BD_MUST_CHECK;

/*
 * Plants that find room in a bag at a square spacing.
 *
 *   area_m2       upper surface                        [m2, above 0]
 *   usable_share  of it that is planted                [0..1, above 0]
 *   spacing_m     between plants, along and across     [m, above 0]
 *   plants        a whole number, at least 1; written only on BD_OK
 *
 * Returns BD_OK or BD_RANGE (also above a million plants).
 *
 * Method   usable area / spacing squared, rounded down; a bag that is too small
 *          for its spacing still holds one plant.
 * Example  0.0707 m2, all usable, 0.05 m -> 28
 */
bd_status bd_bag_plants(double area_m2, double usable_share, double spacing_m, double *plants,
                        bd_error *err) BD_MUST_CHECK;

/*
 * Dry mass of the mix [kg]: volume [L] times dry bulk density [kg/L]; both above 0.
 * Example  24.7 L at 1.28 kg/L -> 31.6 kg
 */
bd_status bd_bag_soil_mass(const bd_bag *bag, double bulk_density_kg_per_l, double *mass_kg,
                           bd_error *err) BD_MUST_CHECK;

/*
 * Water the mix holds [L]: volume [L] times the share of it that is water
 * [above 0..1], at container capacity or at saturation as the share says.
 * Example  24.7 L at 0.39 -> 9.6 L
 */
bd_status bd_bag_water(const bd_bag *bag, double water_share, double *water_l,
                       bd_error *err) BD_MUST_CHECK;

/* The field a rate was made for.  A number that is not known is 0 and its basis is left out. */
typedef struct bd_field {
    double plough_depth_m;        /* the layer a broadcast dressing is mixed through, 0.20 */
    double bulk_density_kg_per_l; /* of that layer, dry                                    */
    double plants_per_m2;         /* the stand the rate was made for                       */
} bd_field;

/* One field rate in one bag, by every basis that could be worked out [g/bag]. */
typedef struct bd_bases {
    bool has_area, has_plant, has_volume, has_mass;
    double area;   /* the bag's surface as if it were field                    */
    double plant;  /* each plant as much as a plant of the field               */
    double volume; /* each litre of mix as much as a litre of the plough layer */
    double mass;   /* each kilogram of mix as much as one of the plough layer  */
    double spread; /* highest over lowest, at least 1; 1 when nothing is given */
} bd_bases;

/*
 * A field rate on the four bases.
 *
 *   bag          as above
 *   plants       in the bag; 0 when not known
 *   soil_mass_kg dry mix in the bag; 0 when not known
 *   g_per_m2     the field rate [g/m2, 0 or more]; 10 kg/ha is 1 g/m2
 *   field        where the rate comes from
 *   out          written only on BD_OK
 *
 * Returns BD_OK, or BD_RANGE when a number is negative or not a number.
 *
 * Method   area:   rate * bag area
 *          plant:  rate / field stand * plants in the bag
 *          volume: rate / (plough depth * 1000 L/m3) * bag volume
 *          mass:   rate / (plough depth * 1000 L/m3 * bulk density) * mass of mix
 * Holds    as arithmetic; that 100 kg/ha through 20 cm is 50 mg per litre says
 *          nothing of how much of it a root in a bag will meet.
 * Example  10 g/m2 (100 kg/ha), 24.7 L on 0.0707 m2, 20 cm -> area 0.707 g, volume 1.24 g
 */
bd_status bd_bag_bases(const bd_bag *bag, double plants, double soil_mass_kg, double g_per_m2,
                       const bd_field *field, bd_bases *out, bd_error *err) BD_MUST_CHECK;

#endif
