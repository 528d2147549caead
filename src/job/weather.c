/*
 * weather.c - is this an hour for spraying leaves?  Every reason against it, with
 * its limit and where that comes from.
 */
#include <stdio.h>

#include "base/number.h"
#include "guard/cautions.h"
#include "job/job.h"
#include "model/air.h"
#include "model/spray_day.h"
#include "nutrients/cite.h"

#define PERCENT      100.0
#define KM_H_PER_M_S 3.6
#define H_PER_D      24.0
#define MIN_PER_H    60.0

typedef struct hour_of_day {
    bool is_known;
    double h; /* 0..24 */
} hour_of_day;

typedef struct weather {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
    bd_air air;
    bool has_humidity; /* given or worked out from a wet bulb                   */
    bool has_state;    /* and the air is such that the methods hold             */
    bd_air_state state;
    bd_spray_day day;
    bd_spray_bands bands;
    hour_of_day hour;
    const bd_material *material; /* NULL: not given */
} weather;

static const bd_fact *practice(const weather *w, const char *name)
{
    return bd_catalogue_practice(w->know->catalogue, name);
}

static const bd_value *given(const weather *w, bd_option option)
{
    return bd_request_get(w->request, option);
}

/* ---- reading ------------------------------------------------------------ */

static bd_status fail_hour(const weather *w, const char *text)
{
    (void)bd_fail(w->err, BD_RANGE, "--hour", "'%.20s' is not an hour of the day", text);
    return bd_accepts(w->err, "0 to 24, such as 7, 18.5 or 18:30");
}

/* "18", "18.5" or "18:30" */
static bd_status read_hour(weather *w)
{
    const bd_value *hour = given(w, BD_OPT_HOUR);
    const char *end = NULL;
    double minutes = 0.0;

    if (hour == NULL)
        return BD_OK;
    if (bd_number_read(hour->text, &end, &w->hour.h, NULL) != BD_OK)
        return fail_hour(w, hour->text);
    if (*end == ':' && bd_number_read(end + 1, &end, &minutes, NULL) != BD_OK)
        return fail_hour(w, hour->text);
    w->hour.h += minutes / MIN_PER_H;
    w->hour.is_known = true;
    if (*end == '\0' && minutes < MIN_PER_H && w->hour.h >= 0.0 && w->hour.h <= H_PER_D)
        return BD_OK;
    return fail_hour(w, hour->text);
}

static bd_status read_pressure(weather *w)
{
    const bd_value *pressure = given(w, BD_OPT_PRESSURE), *altitude = given(w, BD_OPT_ALTITUDE);
    bd_status status = BD_OK;

    w->air.pressure_kpa = BD_AIR_SEA_LEVEL_KPA;
    if (pressure != NULL && altitude != NULL) {
        (void)bd_fail(w->err, BD_CONFLICT, "--altitude", "stands beside --pressure");
        return bd_accepts(w->err, "one of them: the pressure at the place, or its height");
    }
    if (pressure != NULL) {
        w->air.pressure_kpa = pressure->number.typical;
    } else if (altitude != NULL) {
        status = bd_air_pressure(altitude->number.typical, &w->air.pressure_kpa, w->err);
        bd_error_at(w->err, "--altitude");
    } else if (given(w, BD_OPT_HUMIDITY) != NULL || given(w, BD_OPT_WET_BULB) != NULL) {
        bd_card_assume(w->card, "air.pressure", W("assume.sea_level"), BD_NO_ARGS,
                       &(bd_range){w->air.pressure_kpa, w->air.pressure_kpa, w->air.pressure_kpa},
                       "kPa", "International Standard Atmosphere");
    }
    return status;
}

static bd_status read_humidity(weather *w)
{
    const bd_value *humidity = given(w, BD_OPT_HUMIDITY), *wet = given(w, BD_OPT_WET_BULB);
    bd_status status = BD_OK;

    if (humidity != NULL && wet != NULL) {
        (void)bd_fail(w->err, BD_CONFLICT, "--wet-bulb", "stands beside --humidity");
        return bd_accepts(w->err, "one of them");
    }
    w->has_humidity = humidity != NULL || wet != NULL;
    if (humidity != NULL)
        w->air.humidity = humidity->number.low;
    if (wet != NULL)
        status = bd_air_humidity_from_wet_bulb(w->air.temperature_degc, wet->number.typical,
                                               w->air.pressure_kpa, &w->air.humidity, w->err);
    bd_error_at(w->err, "--wet-bulb");
    if (status != BD_OK)
        (void)bd_accepts(w->err, "what the wet thermometer shows, no more than --temperature");
    return status;
}

/* Air the methods were not made for is a finding, and no error: the rest of the day can be judged.
 */
static bd_status observe(weather *w)
{
    bd_error trouble = {0};
    char source[BD_CITE_SIZE];
    bd_status status;

    if (!w->has_humidity)
        return BD_OK;
    status = bd_air_observe(&w->air, &w->state, &trouble);
    w->has_state = status == BD_OK;
    if (status == BD_OUTSIDE) {
        bd_card_find(w->card, "air.outside", BD_CARE, W("weather.air_outside"), BD_NO_ARGS,
                     bd_rule_source(w->know->catalogue, "work.wet_bulb", source));
        return BD_OK;
    }
    if (status != BD_OK && w->err->status == BD_OK)
        *w->err = trouble;
    bd_error_at(w->err,
                given(w, BD_OPT_PRESSURE) != NULL ? "--humidity, --pressure" : "--humidity");
    return status;
}

static bd_status read_air(weather *w)
{
    const bd_value *t = given(w, BD_OPT_TEMPERATURE);
    bd_status status;

    if (t == NULL) {
        (void)bd_fail(w->err, BD_MISSING, "--temperature", "of the air is not given");
        return bd_accepts(w->err,
                          "--temperature 22C, and --humidity 55%% and --wind \"6 km/h\" with it");
    }
    w->air.temperature_degc = t->number.high;
    status = read_pressure(w);
    if (status == BD_OK)
        status = read_humidity(w);
    return status == BD_OK ? observe(w) : status;
}

static bd_status read_material(weather *w)
{
    bd_status status;

    if (w->request->product_count == 0)
        return BD_OK;
    if (w->request->product_count > 1) {
        (void)bd_fail(w->err, BD_CONFLICT, "--material", "is given more than once");
        return bd_accepts(w->err, "the one whose film is to stay moist longest");
    }
    status = bd_catalogue_material(w->know->catalogue,
                                   bd_product_get(w->request, 0, BD_OPT_MATERIAL)->text,
                                   &w->material, w->err);
    bd_error_at(w->err, "--material");
    return status;
}

/* Time without rain that a material wants, by what it is bought for. */
static const bd_fact *dry_time(const weather *w)
{
    const bd_material *m = w->material;

    if (m == NULL)
        return practice(w, "rain-free");
    if (bd_material_has(m, BD_TRAIT_UREA))
        return practice(w, "rain-free-urea");
    if (bd_material_has(m, BD_TRAIT_CALCIUM))
        return practice(w, "rain-free-calcium");
    if (m->main_nutrient_known && m->main_nutrient == BD_MG)
        return practice(w, "rain-free-magnesium");
    if (m->main_nutrient_known && m->main_nutrient == BD_K)
        return practice(w, "rain-free-potassium");
    return practice(w, "rain-free");
}

static void read_bands(weather *w)
{
    const bd_fact *delta_t = practice(w, "delta-t"), *wind = practice(w, "wind");

    w->bands = (bd_spray_bands){
        .delta_t_low_degc = delta_t->value.low,
        .delta_t_good_degc = delta_t->value.high,
        .delta_t_high_degc = practice(w, "delta-t-stop")->value.typical,
        .warm_degc = practice(w, "spray-temperature")->value.high,
        .hot_degc = practice(w, "label-temperature")->value.typical,
        .hot_dry_degc = practice(w, "dry-air-temperature")->value.typical,
        .hot_dry_humidity = practice(w, "dry-air-humidity")->value.typical,
        .wind_low_m_per_s = wind->value.low,
        .wind_good_m_per_s = wind->value.high,
        .wind_high_m_per_s = practice(w, "wind-stop")->value.typical,
        .dry_hours_h = dry_time(w)->value.typical * H_PER_D,
    };
}

/* Leaves count as wet for some hours after rain, unless it is seen that they are dry. */
static bool is_leaf_wet(const weather *w)
{
    const bd_value *ago = given(w, BD_OPT_RAIN_AGO);

    return given(w, BD_OPT_LEAF_WET) != NULL ||
           (ago != NULL && ago->number.low < practice(w, "leaf-drying")->value.typical);
}

static bool is_night(const weather *w)
{
    const bd_fact *hours = practice(w, "spray-hours");

    return w->hour.is_known &&
           (w->hour.h < hours->value.low * H_PER_D || w->hour.h > hours->value.high * H_PER_D);
}

static void read_day(weather *w)
{
    const bd_value *wind = given(w, BD_OPT_WIND), *rain = given(w, BD_OPT_RAIN_IN);

    w->day.wind_is_known = wind != NULL;
    w->day.wind_m_per_s = wind == NULL ? 0.0 : wind->number.high;
    w->day.rain_is_known = rain != NULL;
    w->day.rain_in_h = rain == NULL ? 0.0 : rain->number.low * H_PER_D;
    w->day.is_leaf_wet = is_leaf_wet(w);
    w->day.is_wilted = given(w, BD_OPT_WILTED) != NULL;
    w->day.is_after_dull_spell = given(w, BD_OPT_DULL_SPELL) != NULL;
    w->day.is_inversion = is_night(w);
}

/* ---- judging ------------------------------------------------------------ */

/* What a reason is about: whence its value, its limit and their unit. */
typedef enum measured { SEEN, DELTA_T, TEMPERATURE, WET_BULB, HUMIDITY, WIND, RAIN } measured;

typedef enum edge { LOW, TYPICAL, HIGH } edge;

/*
 * One row a reason.  Where the limit is published the reason stops, where it is
 * the trade's it asks for care.  `practice` names the figure that is the limit and
 * `edge` which of its ends; "" where there is none.
 */
static const struct rule {
    bd_spray_reason reason;
    bd_level level;
    measured of;
    const char *id, *key, *practice;
    edge edge;
} rules[] = {
    {BD_REASON_TOO_HUMID, BD_CARE, DELTA_T, "weather.humid", W("weather.too_humid"), "delta-t",
     LOW},
    {BD_REASON_MARGINAL, BD_CARE, DELTA_T, "weather.dry", W("weather.marginal"), "delta-t", HIGH},
    {BD_REASON_TOO_DRY, BD_STOP, DELTA_T, "weather.dry", W("weather.too_dry"), "delta-t-stop",
     TYPICAL},
    {BD_REASON_FREEZING, BD_STOP, WET_BULB, "weather.frost", W("weather.freezing"), "", TYPICAL},
    {BD_REASON_WARM, BD_CARE, TEMPERATURE, "weather.heat", W("weather.warm"), "spray-temperature",
     HIGH},
    {BD_REASON_HOT, BD_STOP, TEMPERATURE, "weather.heat", W("weather.hot"), "label-temperature",
     TYPICAL},
    {BD_REASON_HOT_AND_DRY, BD_STOP, HUMIDITY, "weather.hot_and_dry", W("weather.hot_and_dry"),
     "dry-air-humidity", TYPICAL},
    {BD_REASON_CALM, BD_CARE, WIND, "weather.calm", W("weather.calm"), "wind", LOW},
    {BD_REASON_BREEZY, BD_CARE, WIND, "weather.wind", W("weather.breezy"), "wind", HIGH},
    {BD_REASON_WINDY, BD_STOP, WIND, "weather.wind", W("weather.windy"), "wind-stop", TYPICAL},
    {BD_REASON_WIND_UNKNOWN, BD_CARE, SEEN, "weather.wind", W("weather.wind_unknown"), "wind",
     TYPICAL},
    {BD_REASON_RAIN_SOON, BD_CARE, RAIN, "weather.rain", W("weather.rain_soon"), "rain-free",
     TYPICAL},
    {BD_REASON_RAIN_UNKNOWN, BD_NOTE, SEEN, "weather.rain", W("weather.rain_unknown"), "rain-free",
     TYPICAL},
    {BD_REASON_LEAF_WET, BD_CARE, SEEN, "weather.leaf_wet", W("weather.leaf_wet"), "leaf-drying",
     TYPICAL},
    {BD_REASON_WILTED, BD_STOP, SEEN, "weather.wilted", W("weather.wilted"), "", TYPICAL},
    {BD_REASON_DULL_SPELL, BD_CARE, SEEN, "weather.dull_spell", W("weather.dull_spell"),
     "dull-weather-share", TYPICAL},
    {BD_REASON_INVERSION, BD_CARE, SEEN, "weather.inversion", W("weather.inversion"), "spray-hours",
     TYPICAL},
};
enum { RULE_COUNT = sizeof rules / sizeof rules[0] };

static double value_of(const weather *w, measured of)
{
    switch (of) {
    case DELTA_T:
        return w->state.delta_t_degc;
    case TEMPERATURE:
        return w->air.temperature_degc;
    case WET_BULB:
        return w->state.wet_bulb_degc;
    case HUMIDITY:
        return PERCENT * w->air.humidity;
    case WIND:
        return KM_H_PER_M_S * w->day.wind_m_per_s;
    case RAIN:
        return w->day.rain_in_h;
    case SEEN:
        break;
    }
    return 0.0;
}

/* From the canonical unit of the limit's kind to the unit the finding is in. */
static double scale_of(measured of)
{
    static const double scales[] = {[HUMIDITY] = PERCENT, [WIND] = KM_H_PER_M_S, [RAIN] = H_PER_D};

    return of == HUMIDITY || of == WIND || of == RAIN ? scales[of] : 1.0;
}

static const char *unit_of(measured of)
{
    static const char *const units[] = {
        [SEEN] = "",         [DELTA_T] = "degC", [TEMPERATURE] = "degC",
        [WET_BULB] = "degC", [HUMIDITY] = "%",   [WIND] = "km/h",
        [RAIN] = "h"};

    return units[of];
}

static double end_of(bd_range r, edge e)
{
    return e == LOW ? r.low : e == HIGH ? r.high : r.typical;
}

static const bd_fact *fact_of(const weather *w, const struct rule *rule)
{
    if (rule->of == RAIN || rule->reason == BD_REASON_RAIN_UNKNOWN)
        return dry_time(w);
    return rule->practice[0] == '\0' ? NULL : practice(w, rule->practice);
}

static void tell_reason(const weather *w, const struct rule *rule)
{
    const bd_fact *fact = fact_of(w, rule);
    char cited[BD_CITE_SIZE];
    const char *source = fact == NULL ? bd_rule_source(w->know->catalogue, rule->key, cited)
                                      : bd_cite_fact(fact, cited);
    double limit = fact == NULL ? 0.0 : end_of(fact->value, rule->edge) * scale_of(rule->of);

    if (rule->of == SEEN) {
        bd_card_find(w->card, rule->id, rule->level, rule->key, BD_NO_ARGS, source);
        return;
    }
    bd_card_find_limit(w->card, rule->id, rule->level, rule->key, BD_NO_ARGS, value_of(w, rule->of),
                       limit, unit_of(rule->of), source);
    if (value_of(w, rule->of) < limit)
        bd_card_limit_is_least(w->card);
}

/* What the air's humidity decides is no reason as long as that is not known. */
static unsigned without_air(unsigned reasons)
{
    return reasons &
           ~(1u << BD_REASON_TOO_HUMID | 1u << BD_REASON_MARGINAL | 1u << BD_REASON_TOO_DRY |
             1u << BD_REASON_FREEZING | 1u << BD_REASON_HOT_AND_DRY);
}

static void tell_delta_t(const weather *w, unsigned reasons)
{
    const bd_fact *band = practice(w, "delta-t");
    char source[BD_CITE_SIZE];

    if (!w->has_humidity)
        bd_card_find(w->card, "air.unknown", BD_CARE, W("weather.humidity_unknown"), BD_NO_ARGS,
                     bd_cite_fact(band, source));
    else if (w->has_state && w->state.delta_t_degc >= band->value.low &&
             !bd_reasons_have(reasons, BD_REASON_MARGINAL) &&
             !bd_reasons_have(reasons, BD_REASON_TOO_DRY))
        bd_card_find_limit(w->card, "weather.delta_t", BD_NOTE, W("weather.delta_t_good"),
                           BD_NO_ARGS, w->state.delta_t_degc, band->value.high, "degC",
                           bd_cite_fact(band, source));
}

static void tell_hour(const weather *w)
{
    const bd_fact *sun = practice(w, "midday-hours");
    char source[BD_CITE_SIZE];

    (void)bd_cite_fact(sun, source);
    if (!w->hour.is_known)
        bd_card_find(w->card, "weather.hour", BD_NOTE, W("weather.hour_unknown"), BD_NO_ARGS,
                     source);
    else if (w->hour.h > sun->value.low * H_PER_D && w->hour.h < sun->value.high * H_PER_D)
        bd_card_find(w->card, "weather.hour", BD_CARE, W("weather.midday"), BD_NO_ARGS, source);
}

static bd_status judge(const weather *w)
{
    unsigned reasons = 0;
    bd_status status =
        bd_spray_day_reasons(&w->air, &w->state, &w->day, &w->bands, &reasons, w->err);

    bd_error_at(w->err, "--wind, --rain-in");
    if (status != BD_OK)
        return status;
    if (!w->has_state)
        reasons = without_air(reasons);
    for (size_t i = 0; i < RULE_COUNT; i++)
        if (bd_reasons_have(reasons, rules[i].reason))
            tell_reason(w, &rules[i]);
    tell_delta_t(w, reasons);
    tell_hour(w);
    return BD_OK;
}

/* ---- the film on the leaf ------------------------------------------------ */

static const bd_fact *film_humidity(const weather *w)
{
    char name[BD_CITE_SIZE];

    if (w->material == NULL)
        return NULL;
    (void)snprintf(name, sizeof name, "critical-humidity-%s", w->material->name);
    return practice(w, name);
}

/* A dried film feeds on only in air damp enough for the salt to draw water. */
static void tell_film(const weather *w)
{
    const bd_fact *film = film_humidity(w);
    char source[BD_CITE_SIZE];
    bool is_wet, is_crust;

    if (film == NULL || !w->has_state)
        return;
    is_wet = w->air.humidity > film->value.high;
    is_crust = w->air.humidity < film->value.low;
    bd_card_find_limit(w->card, "weather.film", BD_NOTE,
                       is_wet     ? W("weather.film_moist")
                       : is_crust ? W("weather.film_crust")
                                  : W("weather.film_between"),
                       BD_ARGS(bd_name(w->material->title)), PERCENT * w->air.humidity,
                       PERCENT * (is_crust ? film->value.low : film->value.high), "%",
                       bd_cite_fact(film, source));
}

/* What was said of the air, so that the card can be read without the command line. */
static void show_given(const weather *w)
{
    const bd_value *wind = given(w, BD_OPT_WIND);

    bd_card_figure(w->card, "air.temperature", W("figure.air_temperature"), BD_NO_ARGS,
                   bd_exactly(w->air.temperature_degc), "degC");
    if (w->has_humidity)
        bd_card_figure(w->card, "air.humidity", W("figure.air_humidity"), BD_NO_ARGS,
                       bd_exactly(PERCENT * w->air.humidity), "%");
    if (wind != NULL)
        bd_card_figure(w->card, "air.wind", W("figure.air_wind"), BD_NO_ARGS,
                       bd_range_scale(wind->number, KM_H_PER_M_S), "km/h");
}

static void show_air(const weather *w)
{
    const bd_air_state *a = &w->state;
    char source[BD_CITE_SIZE];

    show_given(w);
    if (!w->has_state)
        return;
    bd_card_figure(w->card, "air.wet_bulb", W("figure.wet_bulb"), BD_NO_ARGS,
                   bd_exactly(a->wet_bulb_degc), "degC");
    bd_card_figure(w->card, "air.dew_point", W("figure.dew_point"), BD_NO_ARGS,
                   bd_exactly(a->dew_point_degc), "degC");
    bd_card_figure(w->card, "air.delta_t", W("figure.delta_t"), BD_NO_ARGS,
                   bd_exactly(a->delta_t_degc), "degC");
    bd_card_figure(w->card, "air.vpd", W("figure.vpd"), BD_NO_ARGS, bd_exactly(a->vpd_kpa), "kPa");
    bd_card_work(w->card, W("work.wet_bulb"),
                 BD_ARGS(bd_exact(a->vapour_kpa, "kPa"), bd_exact(w->air.pressure_kpa, "kPa"),
                         bd_exact(w->air.temperature_degc, "degC"),
                         bd_exact(a->wet_bulb_degc, "degC")),
                 bd_rule_source(w->know->catalogue, "work.wet_bulb", source));
    if (a->is_checked)
        bd_card_work(w->card, W("work.wet_bulb_check"), BD_ARGS(bd_exact(a->check_degc, "degC")),
                     bd_rule_source(w->know->catalogue, "weather.one_method", source));
    if (!a->is_checked)
        bd_card_find(w->card, "air.one_method", BD_NOTE, W("weather.one_method"), BD_NO_ARGS,
                     bd_rule_source(w->know->catalogue, "weather.one_method", source));
    else if (!a->is_agreed)
        bd_card_find(w->card, "air.two_methods", BD_CARE, W("weather.methods_differ"),
                     BD_ARGS(bd_amount(a->check_degc, "degC")),
                     bd_rule_source(w->know->catalogue, "weather.methods_differ", source));
}

bd_status bd_job_weather(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_error *err)
{
    weather w = {.know = know, .request = request, .card = card, .err = err};
    bd_status status = read_air(&w);

    if (status == BD_OK)
        status = read_hour(&w);
    if (status == BD_OK)
        status = read_material(&w);
    if (status != BD_OK)
        return status;
    read_bands(&w);
    read_day(&w);
    bd_card_title(card, w.material == NULL ? W("weather.title") : W("weather.title_of"),
                  BD_ARGS(bd_name(w.material == NULL ? "" : w.material->title)));
    show_air(&w);
    status = judge(&w);
    tell_film(&w);
    return status;
}
