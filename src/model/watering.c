#include "model/watering.h"

#include <math.h>

#include "model/inputs.h"

static const double most_eto_mm_per_d = 20.0;
static const double most_drain = 0.9;
static const double most_days = 1000.0;
static const double most_kc = 2.0;
static const double half = 0.5;

static double season_days(const bd_kc_curve *kc)
{
    double days = 0.0;

    for (int i = 0; i < BD_STAGES; i++)
        days += kc->stage_days[i];
    return days;
}

static int whole_days(double days)
{
    return (int)floor(days + half);
}

static bool is_fine_curve(const bd_kc_curve *kc, bd_error *err)
{
    const double levels[] = {kc->initial, kc->mid, kc->end};

    for (int i = 0; i < BD_STAGES; i++)
        if (!bd_input_is_between(kc->stage_days[i], 0.0, most_days, "stage of the crop", "d", err))
            return false;
    for (size_t i = 0; i < sizeof levels / sizeof levels[0]; i++)
        if (!bd_input_is_between(levels[i], 0.0, most_kc, "crop coefficient", "", err))
            return false;
    return bd_input_is_between(season_days(kc), 1.0, most_days, "season", "d", err);
}

static bool is_fine_order(const bd_watering_order *o, bd_error *err)
{
    return is_fine_curve(&o->kc, err) &&
           bd_input_is_between(o->eto_mm_per_d.low, 0.0, most_eto_mm_per_d, "evapotranspiration",
                               "mm/d", err) &&
           bd_input_is_between(o->eto_mm_per_d.high, 0.0, most_eto_mm_per_d, "evapotranspiration",
                               "mm/d", err) &&
           bd_input_is_amount(o->area_m2, "area", "m2", err) &&
           bd_input_is_amount(o->store_l, "store of water", "L", err) &&
           bd_input_is_amount(o->usable_share, "usable part of the store", "", err) &&
           bd_input_is_between(o->usable_share, 0.0, 1.0, "usable part of the store", "", err) &&
           bd_input_is_amount(o->young_share, "part of the store in reach of young roots", "",
                              err) &&
           bd_input_is_between(o->young_share, 0.0, 1.0,
                               "part of the store in reach of young roots", "", err) &&
           bd_input_is_between(o->drain_share, 0.0, most_drain, "share that drains", "", err) &&
           bd_input_is_between(o->ease_off_days, 0.0, most_days, "time of easing off", "d", err) &&
           bd_input_is_between(o->ease_off_share, 0.0, 1.0, "water while easing off", "", err);
}

/* Days a store lasts, at least 1 and at most the stage. */
static double days_of(double store_l, double use_l_per_d, double most)
{
    return use_l_per_d * most <= store_l ? most : fmax(1.0, store_l / use_l_per_d);
}

static bd_range days_between(double store_l, bd_range use_l_per_d, double most)
{
    return bd_range_of(days_of(store_l, use_l_per_d.high, most),
                       days_of(store_l, use_l_per_d.typical, most),
                       days_of(store_l, use_l_per_d.low, most));
}

static double mean_kc(const bd_kc_curve *kc, int first, int last)
{
    double sum = 0.0;

    for (int day = first; day <= last; day++)
        sum += bd_kc_on_day(kc, day);
    return last < first ? 0.0 : sum / (last - first + 1);
}

/* The days first..last with `store_l` in reach; none when last is before first. */
static bd_watering_stage water_stage(const bd_watering_order *o, int first, int last,
                                     double store_l, bool is_easing)
{
    bd_watering_stage s = {.first_day = first, .last_day = last};
    int days = last - first + 1;

    if (days <= 0)
        return s;
    s.kc = mean_kc(&o->kc, first, last);
    s.use_l_per_d = bd_range_scale(o->eto_mm_per_d, s.kc * o->area_m2);
    s.give_l_per_d =
        bd_range_scale(s.use_l_per_d, is_easing ? o->ease_off_share : 1.0 / (1.0 - o->drain_share));
    s.every_days = days_between(store_l * o->usable_share, s.use_l_per_d, days);
    s.total_l = bd_range_scale(s.give_l_per_d, days);
    return s;
}

bd_status bd_watering_table(const bd_watering_order *order, bd_watering *out, bd_error *err)
{
    bd_watering table = {.season_l = {0.0, 0.0, 0.0}};
    double end = 0.0;
    int first = 1, last, easing;

    if (!is_fine_order(order, err))
        return BD_RANGE;
    last = whole_days(season_days(&order->kc));
    easing = last - whole_days(order->ease_off_days) + 1;
    easing = easing < 1 ? 1 : easing;
    for (int i = 0; i < BD_STAGES; i++) {
        int to;

        end += order->kc.stage_days[i];
        to = whole_days(end);
        to = to < easing ? to : easing - 1;
        table.stages[i] = water_stage(order, first, to,
                                      order->store_l * (i == 0 ? order->young_share : 1.0), false);
        first = to < first ? first : to + 1;
    }
    table.stages[BD_STAGES] = water_stage(order, easing, last, order->store_l, true);
    for (int i = 0; i < BD_WATERING_STAGES; i++)
        table.season_l = bd_range_add(table.season_l, table.stages[i].total_l);
    *out = table;
    return BD_OK;
}
