/*
 * watering.h - litres of water a bag wants a day, stage by stage.
 *
 * May include: base/, nutrients/, model/.  No stdio, no clock, no files.
 */
#ifndef BD_MODEL_WATERING_H
#define BD_MODEL_WATERING_H

#include "base/error.h"
#include "model/rootzone.h"

typedef struct bd_watering_order {
    bd_kc_curve kc;
    bd_range eto_mm_per_d; /* reference evapotranspiration, 0..20                      */
    double area_m2;        /* mouth or foliage that loses water, exposure included; above 0 */
    double store_l;        /* water between capacity and wilting in the bag, above 0   */
    double usable_share;   /* of the store, before the crop feels it, above 0..1       */
    double young_share;    /* of the store that roots reach in the first stage, above 0..1 */
    double drain_share;    /* of each watering that shall run out, 0..0.9              */
    double ease_off_days;  /* before harvest, 0 or more                                */
    double ease_off_share; /* of the use that is replaced then, 0..1                   */
} bd_watering_order;

typedef struct bd_watering_stage {
    int first_day, last_day; /* of the crop, the first being day 1                    */
    double kc;               /* mean of the stage                                     */
    bd_range use_l_per_d;    /* the bag loses                                         */
    bd_range give_l_per_d;   /* to pour: use and what shall drain                     */
    bd_range every_days;     /* between waterings, at least 1: usable store in reach / use */
    bd_range total_l;        /* over the stage                                        */
} bd_watering_stage;

enum { BD_WATERING_STAGES = BD_STAGES + 1 }; /* the last: easing off; 0 days when there is none */

typedef struct bd_watering {
    bd_watering_stage stages[BD_WATERING_STAGES];
    bd_range season_l;
} bd_watering;

/*
 * The table of a season.
 *
 * Returns BD_OK or BD_RANGE.
 *
 * Method   use = Kc * ETo * area, a mm on a m2 being a litre; given = use / (1 -
 *          drain share); in the days of easing off, use * ease_off_share and nothing
 *          to drain.  In the first stage only young_share of the store counts between
 *          two waterings.  Those days are cut from the late stage, and from the stages
 *          before it when it is too short.
 * Source   FAO Irrigation and Drainage Paper 56, single crop coefficient.
 * Example  ETo 5 mm, Kc 1.05, 0.071 m2: 0.37 L a day
 */
bd_status bd_watering_table(const bd_watering_order *order, bd_watering *out,
                            bd_error *err) BD_MUST_CHECK;

#endif
