/*
 * extraction.h - how much of a homemade material comes out into the water.
 *
 * May include: base/, quantity/, nutrients/.  No stdio, no JSON.
 */
#ifndef BD_MODEL_EXTRACTION_H
#define BD_MODEL_EXTRACTION_H

#include "nutrients/catalogue.h"

typedef struct bd_extraction {
    bd_range potassium; /* share of the K, 0..1; soluble ions alike (Na, Cl, Mg)  */
    bd_range slow;      /* share of N and P, bound in tissue until it rots, 0..1   */
    const char *source; /* NULL when nothing had to be assumed: all of it is there */
    bd_trust trust;
    bool is_lye; /* ash in water: Ca, Mg and P stay in its sludge */
} bd_extraction;

/*
 * Shares for a material, a preparation and a time.
 *
 *   material  NULL for an own label: all comes out
 *   days      it stands; 0 when not said (a day for a soak, a week for a ferment)
 *
 * Method   the material's own ranges; a soak of one to seven days lies between
 *          the soak and the ferment, in proportion to the time; given dry, and
 *          for liquids, all of it counts.  Nitrogen and phosphorus are taken from
 *          none to all, the usual value being the low share of potassium, since
 *          published leaching of plant tissue finds them lag (EXT-ICM, EXT-PAM).
 *          Ash in water makes a lye of pH 12 to 13, in which Ca, Mg and P are
 *          insoluble as carbonate, hydroxide and phosphate: none of them comes out.
 * Holds    as a range; no measured cold soak of most materials is published; of a
 *          lye only where it is poured clear.
 */
bd_extraction bd_extraction_of(const bd_material *material, bd_preparation preparation,
                               double days);

/* The share of one nutrient that comes out, 0..1. */
bd_range bd_extraction_share(const bd_extraction *out, bd_nutrient nutrient);

/* The most of it that could: all, whatever is usual; none where the nutrient cannot dissolve. */
double bd_extraction_most(const bd_extraction *out, bd_nutrient nutrient);

#endif
