/*
 * spray_day.h - every reason why now is not the hour to spray leaves.
 *
 * May include: base/, model/air.h.  No stdio, no JSON, no globals that change.
 *
 * The bands come from data, so no limit stands here but the freezing point.  The
 * model lists reasons; how bad each is, is for the guard to say.
 */
#ifndef BD_MODEL_SPRAY_DAY_H
#define BD_MODEL_SPRAY_DAY_H

#include <stdbool.h>

#include "base/error.h"
#include "model/air.h"

/* Between which values one sprays.  Each row: low <= ... <= high. */
typedef struct bd_spray_bands {
    double delta_t_low_degc;  /* below: drops live long, drift, dew             [degC]     */
    double delta_t_good_degc; /* above: marginal                                [degC]     */
    double delta_t_high_degc; /* above: drops dry before they work              [degC]     */
    double warm_degc;         /* above: too warm for a feed on leaves           [degC]     */
    double hot_degc;          /* above: no label allows it                      [degC]     */
    double hot_dry_degc;      /* above this AND ...                             [degC]     */
    double hot_dry_humidity;  /* ... below this: both together are too much     [0..1]     */
    double wind_low_m_per_s;  /* below: calm, fine drops hang and wander        [m/s]      */
    double wind_good_m_per_s; /* above: drift begins                            [m/s]      */
    double wind_high_m_per_s; /* above: do not spray                            [m/s]      */
    double dry_hours_h;       /* wanted without rain for this material          [h]        */
} bd_spray_bands;

/* What was seen besides the air itself. */
typedef struct bd_spray_day {
    bool wind_is_known;
    double wind_m_per_s; /* steady wind at the height of the plants [m/s, 0..60]             */
    bool rain_is_known;
    double rain_in_h;         /* hours until rain is forecast [h, 0..1e9]; 1e9 for none in sight  */
    bool is_leaf_wet;         /* dew or rain still on the leaves                                  */
    bool is_wilted;           /* plants short of water                                            */
    bool is_after_dull_spell; /* long cloudy weather just ended: leaves are soft             */
    bool is_inversion;        /* still evening or night air, smoke lies flat                      */
} bd_spray_day;

/* Reasons, as bits 1u << reason of the set that bd_spray_day_reasons gives. */
typedef enum bd_spray_reason {
    BD_REASON_TOO_HUMID,    /* Delta T below its low band                 */
    BD_REASON_MARGINAL,     /* Delta T above the good band, not the high  */
    BD_REASON_TOO_DRY,      /* Delta T above the high band                */
    BD_REASON_FREEZING,     /* wet bulb at or below 0 degC                */
    BD_REASON_WARM,         /* above warm_degc, not above hot_degc        */
    BD_REASON_HOT,          /* above hot_degc                             */
    BD_REASON_HOT_AND_DRY,  /* both of the pair                           */
    BD_REASON_CALM,         /* wind below its low band                    */
    BD_REASON_BREEZY,       /* wind above the good band, not the high     */
    BD_REASON_WINDY,        /* wind above the high band                   */
    BD_REASON_WIND_UNKNOWN, /* nobody looked                              */
    BD_REASON_RAIN_SOON,    /* rain before the dry hours are over         */
    BD_REASON_RAIN_UNKNOWN, /* nobody looked                              */
    BD_REASON_LEAF_WET,
    BD_REASON_WILTED,
    BD_REASON_DULL_SPELL,
    BD_REASON_INVERSION,
    BD_REASON_COUNT
} bd_spray_reason;

/* True if the set holds the reason. */
static inline bool bd_reasons_have(unsigned reasons, bd_spray_reason reason)
{
    return (reasons & (1u << reason)) != 0;
}

/*
 * All reasons against spraying; none at all gives the empty set, 0.
 *
 *   air      as measured
 *   state    what bd_air_observe made of it
 *   day      the rest of what was seen
 *   bands    from data
 *   reasons  written only on BD_OK
 *
 * A value on the edge of a band is still inside it.
 *
 * Returns BD_OK; BD_RANGE if a known wind or rain is no amount of its kind;
 * BD_CONFLICT if the bands are out of order.
 *
 * Example  34 degC, 30 %, rain in 3 h, dull spell over, with bands 2/8/10,
 *          28/30, 25 with 0.40, 24 h dry: too dry, hot, hot and dry, wind
 *          unknown, rain soon, dull spell.
 */
bd_status bd_spray_day_reasons(const bd_air *air, const bd_air_state *state,
                               const bd_spray_day *day, const bd_spray_bands *bands,
                               unsigned *reasons, bd_error *err) BD_MUST_CHECK;

#endif
