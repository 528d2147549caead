/*
 * ground.h - the ground that a season's ceiling, in print per area of a field, stands
 * on in a bag.  Shared by the jobs, so that the plan and the record agree.
 *
 * A need and its ceiling come into the bag the same way (season_limit.c says why): a
 * field rate by the area of the bag's top where it came so; a number for the bag or the
 * plant by plants, as if each had the ground that a plant of the field has, where that
 * stand is known; else by area, the strictest way as a rule.  Boron always by area.
 */
#ifndef BD_JOB_GROUND_H
#define BD_JOB_GROUND_H

#include "card/card.h"
#include "model/ceiling.h"
#include "model/need.h"
#include "nutrients/catalogue.h"
#include "request/request.h"

/* Who stands in the bag, and how the need came into it. */
typedef struct bd_stand {
    const bd_crop *crop; /* NULL: not said                                      */
    double plants;       /* in a bag; 0: not said                               */
    double field_per_m2; /* plants of the field the ceiling is for; 0: not said */
    bd_need_basis basis; /* of the need; BD_BASIS_NONE: it was for the bag      */
} bd_stand;

typedef struct bd_ground {
    bd_need_basis basis; /* area, plant or volume                        */
    double stand_per_m2; /* of the field; by plants only                 */
    bool is_usual_stand; /* the crop's usual one, for nobody said        */
} bd_ground;

bd_ground bd_ground_of(const bd_stand *stand, bd_nutrient nutrient);

/*
 * Field that one bag counts as [m2]; 0 when not known.
 * Example: 1 tomato of a field with 2 on a square metre: 0.5 m2 by plants.
 */
double bd_ground_m2(const bd_ground *ground, double bag_area_m2, double plants);

/* Says on the card how a ceiling [per area of field] became `m2` of ground: the stand as an
 * assumption where it is the crop's usual one, and a step of the working. */
void bd_ground_tell(const bd_ground *ground, const bd_stand *stand, const bd_ceiling *ceiling,
                    double m2, bd_card *card);

/* "by plants", as a key of the sentences. */
const char *bd_ground_words(bd_need_basis basis);

/*
 * The stand as a request says it, with the need or target the dose is for (NULL: for the
 * bag).  An unknown crop is left out: who reads the planting refuses it.
 */
bd_stand bd_stand_read(const bd_catalogue *catalogue, const bd_request *request,
                       const bd_target *need);

#endif
