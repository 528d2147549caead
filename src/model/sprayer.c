#include "model/sprayer.h"

#include <math.h>

#include "model/inputs.h"

#define SECONDS_PER_MIN 60.0
#define MOST_TANKS      1e6
/* A remainder below this share of a tank is the noise of dividing, not spray. */
#define TANK_NOISE 1e-9

bd_status bd_sprayer_rate_by_run(double used_l, double area_m2, double *rate_l_per_m2,
                                 bd_error *err)
{
    if (!bd_input_is_amount(used_l, "water used", "L", err) ||
        !bd_input_is_amount(area_m2, "area sprayed", "m2", err))
        return BD_RANGE;
    *rate_l_per_m2 = used_l / area_m2;
    return BD_OK;
}

bd_status bd_sprayer_per_bag(double used_l, double bags, double *per_bag_l, bd_error *err)
{
    if (!bd_input_is_amount(used_l, "water used", "L", err) ||
        !bd_input_is_amount(bags, "number of bags", "", err))
        return BD_RANGE;
    *per_bag_l = used_l / bags;
    return BD_OK;
}

bd_status bd_sprayer_rate_by_flow(double flow_l_per_min, double speed_m_per_s, double swath_m,
                                  double *rate_l_per_m2, bd_error *err)
{
    if (!bd_input_is_amount(flow_l_per_min, "flow", "L/min", err) ||
        !bd_input_is_amount(speed_m_per_s, "walking speed", "m/s", err) ||
        !bd_input_is_amount(swath_m, "swath", "m", err))
        return BD_RANGE;
    *rate_l_per_m2 = flow_l_per_min / SECONDS_PER_MIN / (speed_m_per_s * swath_m);
    return BD_OK;
}

bd_status bd_sprayer_flow_by_catch(double caught_l, double time_s, double *flow_l_per_min,
                                   bd_error *err)
{
    if (!bd_input_is_amount(caught_l, "water caught", "L", err) ||
        !bd_input_is_amount(time_s, "time", "s", err))
        return BD_RANGE;
    *flow_l_per_min = caught_l / time_s * SECONDS_PER_MIN;
    return BD_OK;
}

bd_status bd_sprayer_speed(double distance_m, double time_s, double *speed_m_per_s, bd_error *err)
{
    if (!bd_input_is_amount(distance_m, "distance walked", "m", err) ||
        !bd_input_is_amount(time_s, "time", "s", err))
        return BD_RANGE;
    *speed_m_per_s = distance_m / time_s;
    return BD_OK;
}

bd_status bd_sprayer_course(double plot_m2, double swath_m, double *course_m, bd_error *err)
{
    if (!bd_input_is_amount(plot_m2, "plot", "m2", err) ||
        !bd_input_is_amount(swath_m, "swath", "m", err))
        return BD_RANGE;
    *course_m = plot_m2 / swath_m;
    return BD_OK;
}

bd_status bd_sprayer_flow_at(double flow_l_per_min, double from_kpa, double to_kpa,
                             double *out_l_per_min, bd_error *err)
{
    if (!bd_input_is_amount(flow_l_per_min, "flow", "L/min", err) ||
        !bd_input_is_amount(from_kpa, "pressure", "kPa", err) ||
        !bd_input_is_amount(to_kpa, "new pressure", "kPa", err))
        return BD_RANGE;
    *out_l_per_min = flow_l_per_min * sqrt(to_kpa / from_kpa);
    return BD_OK;
}

bd_status bd_sprayer_pressure_for(double flow_l_per_min, double at_kpa, double wanted_l_per_min,
                                  double *out_kpa, bd_error *err)
{
    double ratio;

    if (!bd_input_is_amount(flow_l_per_min, "flow", "L/min", err) ||
        !bd_input_is_amount(at_kpa, "pressure", "kPa", err) ||
        !bd_input_is_amount(wanted_l_per_min, "wanted flow", "L/min", err))
        return BD_RANGE;
    ratio = wanted_l_per_min / flow_l_per_min;
    *out_kpa = at_kpa * ratio * ratio;
    return BD_OK;
}

bd_status bd_sprayer_strength(double product_g_per_m2, double rate_l_per_m2,
                              double *strength_g_per_l, bd_error *err)
{
    if (!bd_input_is_amount(product_g_per_m2, "rate of product", "g/m2", err) ||
        !bd_input_is_amount(rate_l_per_m2, "rate of water", "L/m2", err))
        return BD_RANGE;
    *strength_g_per_l = product_g_per_m2 / rate_l_per_m2;
    return BD_OK;
}

bd_status bd_sprayer_trials(const double *runs, size_t count, bd_trials *out, bd_error *err)
{
    double sum = 0.0, farthest = 0.0;

    if (count == 0)
        return bd_fail(err, BD_MISSING, NULL, "no test run is given");
    for (size_t i = 0; i < count; i++) {
        if (!bd_input_is_amount(runs[i], "test run", "", err))
            return BD_RANGE;
        sum += runs[i];
    }
    for (size_t i = 0; i < count; i++)
        farthest = fmax(farthest, fabs(runs[i] - sum / (double)count));
    out->mean = sum / (double)count;
    out->spread = farthest / out->mean;
    return BD_OK;
}

bd_status bd_sprayer_tanks(double need_l, double tank_l, bd_tanks *out, bd_error *err)
{
    double tanks;

    if (!bd_input_is_amount(need_l, "volume needed", "L", err) ||
        !bd_input_is_amount(tank_l, "tank", "L", err) ||
        !bd_input_is_between(need_l / tank_l, 0.0, MOST_TANKS, "number of tanks", "", err))
        return BD_RANGE;
    tanks = need_l / tank_l;
    out->full = floor(tanks + TANK_NOISE);
    out->last_l = tanks - out->full > TANK_NOISE ? need_l - out->full * tank_l : 0.0;
    return BD_OK;
}
