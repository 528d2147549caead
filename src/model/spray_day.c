#include "model/spray_day.h"

#include <stddef.h>

#include "model/inputs.h"

#define FREEZING_DEGC     0.0
#define MOST_WIND_M_PER_S 60.0

static unsigned bit_if(bool holds, bd_spray_reason reason)
{
    return holds ? 1u << reason : 0u;
}

static bool is_in_order(const bd_spray_bands *b)
{
    return b->delta_t_low_degc <= b->delta_t_good_degc &&
           b->delta_t_good_degc <= b->delta_t_high_degc && b->warm_degc <= b->hot_degc &&
           b->wind_low_m_per_s <= b->wind_good_m_per_s &&
           b->wind_good_m_per_s <= b->wind_high_m_per_s && b->hot_dry_degc <= b->hot_degc &&
           b->hot_dry_humidity >= 0.0 && b->hot_dry_humidity <= 1.0 && b->dry_hours_h >= 0.0;
}

static bool is_usable(const bd_spray_day *day, bd_error *err)
{
    if (day->wind_is_known &&
        !bd_input_is_between(day->wind_m_per_s, 0.0, MOST_WIND_M_PER_S, "wind", "m/s", err))
        return false;
    return !day->rain_is_known ||
           bd_input_is_between(day->rain_in_h, 0.0, BD_AMOUNT_MOST, "time until rain", "h", err);
}

static unsigned of_delta_t(double delta_t_degc, const bd_spray_bands *b)
{
    if (delta_t_degc < b->delta_t_low_degc)
        return 1u << BD_REASON_TOO_HUMID;
    if (delta_t_degc > b->delta_t_high_degc)
        return 1u << BD_REASON_TOO_DRY;
    return bit_if(delta_t_degc > b->delta_t_good_degc, BD_REASON_MARGINAL);
}

static unsigned of_heat(const bd_air *air, const bd_spray_bands *b)
{
    unsigned set =
        bit_if(air->temperature_degc > b->hot_dry_degc && air->humidity < b->hot_dry_humidity,
               BD_REASON_HOT_AND_DRY);

    if (air->temperature_degc > b->hot_degc)
        return set | 1u << BD_REASON_HOT;
    return set | bit_if(air->temperature_degc > b->warm_degc, BD_REASON_WARM);
}

static unsigned of_wind(const bd_spray_day *day, const bd_spray_bands *b)
{
    if (!day->wind_is_known)
        return 1u << BD_REASON_WIND_UNKNOWN;
    if (day->wind_m_per_s < b->wind_low_m_per_s)
        return 1u << BD_REASON_CALM;
    if (day->wind_m_per_s > b->wind_high_m_per_s)
        return 1u << BD_REASON_WINDY;
    return bit_if(day->wind_m_per_s > b->wind_good_m_per_s, BD_REASON_BREEZY);
}

static unsigned of_rain(const bd_spray_day *day, const bd_spray_bands *b)
{
    if (!day->rain_is_known)
        return 1u << BD_REASON_RAIN_UNKNOWN;
    return bit_if(day->rain_in_h < b->dry_hours_h, BD_REASON_RAIN_SOON);
}

static unsigned of_plants(const bd_spray_day *day)
{
    return bit_if(day->is_leaf_wet, BD_REASON_LEAF_WET) | bit_if(day->is_wilted, BD_REASON_WILTED) |
           bit_if(day->is_after_dull_spell, BD_REASON_DULL_SPELL) |
           bit_if(day->is_inversion, BD_REASON_INVERSION);
}

bd_status bd_spray_day_reasons(const bd_air *air, const bd_air_state *state,
                               const bd_spray_day *day, const bd_spray_bands *bands,
                               unsigned *reasons, bd_error *err)
{
    if (!is_usable(day, err))
        return BD_RANGE;
    if (!is_in_order(bands))
        return bd_fail(err, BD_CONFLICT, NULL, "the bands of spraying weather are out of order");
    *reasons = of_delta_t(state->delta_t_degc, bands) | of_heat(air, bands) | of_wind(day, bands) |
               of_rain(day, bands) | of_plants(day) |
               bit_if(state->wet_bulb_degc <= FREEZING_DEGC, BD_REASON_FREEZING);
    return BD_OK;
}
