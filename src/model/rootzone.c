/*
 * Ayers, R.S., Westcot, D.W. (1985) Water quality for agriculture.  FAO Irrigation
 * and Drainage Paper 29 Rev. 1 (four quarters that give 40, 30, 20 and 10 % of the water).
 * Allen, R.G., Pereira, L.S., Raes, D., Smith, M. (1998) Crop evapotranspiration.
 * FAO Irrigation and Drainage Paper 56 (crop coefficient curve, equation 66).
 */
#include "model/rootzone.h"

#include <math.h>
#include <stdbool.h>

static const double most_eto_mm = 20.0;
static const double most_rain_mm = 200.0;
static const double most_kc = 3.0;
static const double most_leaching = 0.9;
static const double most_load = 1e9;  /* keeps every sum far from overflow */
static const double met_slack = 1e-9; /* a need met but for rounding is met */
enum { MOST_DAYS = 1000, LAYERS = 4 };

/* Of the crop's use, from the top quarter of the bag down (FAO 29). */
static const double use_share[LAYERS] = {0.4, 0.3, 0.2, 0.1};

double bd_kc_on_day(const bd_kc_curve *curve, double day)
{
    const double from[BD_STAGES] = {curve->initial, curve->initial, curve->mid, curve->mid};
    const double to[BD_STAGES] = {curve->initial, curve->mid, curve->mid, curve->end};
    double past = 0.0;

    for (int stage = 0; stage < BD_STAGES; stage++) {
        double length = curve->stage_days[stage];

        if (day <= past + length && length > 0.0)
            return from[stage] + (fmax(day - past, 0.0) / length) * (to[stage] - from[stage]);
        past += length;
    }
    return curve->end;
}

bd_kc_curve bd_kc_of_crop(const bd_crop *crop, double plain)
{
    bd_kc_curve kc = {plain, plain, plain, {1, 1, 1, 1}};

    if (crop == NULL || !crop->kc[0].is_known || !crop->kc[1].is_known || !crop->kc[2].is_known ||
        !crop->stage_days[0].is_known)
        return kc;
    kc.initial = crop->kc[0].value.typical;
    kc.mid = crop->kc[1].value.typical;
    kc.end = crop->kc[2].value.typical;
    for (int i = 0; i < BD_STAGES; i++)
        if (crop->stage_days[i].is_known)
            kc.stage_days[i] = crop->stage_days[i].value.typical;
    return kc;
}

static double at_end(bd_range r, bd_end end)
{
    switch (end) {
    case BD_END_LOW:
        return r.low;
    case BD_END_HIGH:
        return r.high;
    case BD_END_TYPICAL:
        break;
    }
    return r.typical;
}

static bd_end opposite(bd_end end)
{
    switch (end) {
    case BD_END_LOW:
        return BD_END_HIGH;
    case BD_END_HIGH:
        return BD_END_LOW;
    case BD_END_TYPICAL:
        break;
    }
    return BD_END_TYPICAL;
}

/* ---- checks ---------------------------------------------------------------- */

static bd_status outside(const char *what, double x, double low, double high, bd_error *err)
{
    bd_fail(err, BD_RANGE, NULL, "%s '%g' is outside its range", what, x);
    bd_accepts(err, "a number from %g to %g", low, high);
    return BD_RANGE;
}

static bd_status check_number(const char *what, double x, double low, double high, bd_error *err)
{
    return x >= low && x <= high ? BD_OK : outside(what, x, low, high, err);
}

static bd_status check_range(const char *what, bd_range r, double low, double high, bd_error *err)
{
    bd_status status = check_number(what, r.low, low, high, err);

    if (status == BD_OK)
        status = check_number(what, r.typical, r.low, high, err);
    if (status == BD_OK)
        status = check_number(what, r.high, r.typical, high, err);
    return status;
}

static bd_status check_numbers(const bd_rootzone *z, bd_error *err)
{
    const struct {
        const char *what;
        double x, low, high;
    } rows[] = {
        {"the days to harvest", z->days, 1, MOST_DAYS},
        {"the age of the crop in days", z->age_days, 0, MOST_DAYS},
        {"the days that are past", z->past_days, 0, z->age_days},
        {"the days between waterings", z->watering_every_days, 1, MOST_DAYS},
        {"the area that loses water", z->area_m2, 0, most_load},
        {"the water at wilting", z->wilting_l, 0, most_load},
        {"the leaching share", z->leaching_share, 0, most_leaching},
        {"the reference evapotranspiration", z->eto_mm_per_d, 0, most_eto_mm},
        {"the rain", z->rain_mm_per_d, 0, most_rain_mm},
        {"Kc at first", z->kc.initial, 0, most_kc},
        {"Kc in mid-season", z->kc.mid, 0, most_kc},
        {"Kc at the end", z->kc.end, 0, most_kc},
        {"the days of the first stage", z->kc.stage_days[0], 0, MOST_DAYS},
        {"the days of the second stage", z->kc.stage_days[1], 0, MOST_DAYS},
        {"the days of the third stage", z->kc.stage_days[2], 0, MOST_DAYS},
        {"the days of the fourth stage", z->kc.stage_days[3], 0, MOST_DAYS},
        {"the count of dressings", (double)z->dressing_count, 0, BD_DRESSINGS_MAX},
    };
    bd_status status = BD_OK;

    for (size_t i = 0; status == BD_OK && i < sizeof rows / sizeof rows[0]; i++)
        status = check_number(rows[i].what, rows[i].x, rows[i].low, rows[i].high, err);
    return status;
}

static bd_status check_ranges(const bd_rootzone *z, bd_error *err)
{
    bd_status status = check_range("the ECe before", z->existing_ece_ds_per_m, 0, most_load, err);

    if (status == BD_OK)
        status = check_range("the water's conductivity", z->water_ds_per_m, 0, most_load, err);
    if (status == BD_OK)
        status = check_range("the share taken up", z->uptake_share, 0, 1, err);
    if (status == BD_OK)
        status = check_range("the water at saturation", z->saturation_l, 0, most_load, err);
    return status;
}

static bd_status check_waters(const bd_rootzone *z, bd_error *err)
{
    if (z->area_m2 > 0.0 && z->wilting_l > 0.0 && z->capacity_l > z->wilting_l &&
        z->saturation_l.low >= z->capacity_l)
        return BD_OK;
    bd_fail(err, BD_CONFLICT, NULL,
            "'%g' L at wilting, '%g' L at capacity and '%g' L at saturation do not rise",
            z->wilting_l, z->capacity_l, z->saturation_l.low);
    bd_accepts(err, "a bag with an area, and more water at each of the three");
    return BD_CONFLICT;
}

static bd_status check_uptake(const bd_rootzone *z, bd_error *err)
{
    bd_uptake_point before = {0.0, 0.0};
    bd_status status = BD_OK;

    for (size_t i = 0; status == BD_OK && i < z->uptake_count; i++) {
        status = check_number("a share of the season", z->uptake[i].season_share,
                              before.season_share, 1, err);
        if (status == BD_OK)
            status = check_number("a share taken up", z->uptake[i].taken_share, before.taken_share,
                                  1, err);
        before = z->uptake[i];
    }
    return status;
}

static bd_status check_dressings(const bd_rootzone *z, bd_error *err)
{
    bd_status status = BD_OK;

    for (size_t i = 0; status == BD_OK && i < z->dressing_count; i++) {
        const bd_dressing *d = &z->dressings[i];

        status = check_number("the day of a dressing", d->day, -z->past_days, z->days - 1, err);
        if (status == BD_OK)
            status = check_number("the water of a dressing", d->water_l, 0, most_load, err);
        if (status == BD_OK)
            status = check_range("the salt of a dressing", d->load_ds_l_per_m, 0, most_load, err);
    }
    return status;
}

static bd_status check_zone(const bd_rootzone *zone, bd_error *err)
{
    static bd_status (*const checks[])(const bd_rootzone *, bd_error *) = {
        check_numbers, check_ranges, check_waters, check_uptake, check_dressings};
    bd_status status = BD_OK;

    for (size_t i = 0; status == BD_OK && i < sizeof checks / sizeof checks[0]; i++)
        status = checks[i](zone, err);
    return status;
}

/* ---- one day --------------------------------------------------------------- */

/*
 * A quarter of the bag.  Each dressing is followed by itself, so that what one
 * loses to draining is never taken up in its name from another.
 */
typedef struct bd_layer {
    double water_l;
    double settled_load; /* what was there before and what the water brings */
    double dressed_load[BD_DRESSINGS_MAX];
} bd_layer;

/* The bag as it stands. */
typedef struct bd_state {
    const bd_rootzone *zone;
    bd_end end;
    double saturation_l, water_ec;
    bd_layer layers[LAYERS]; /* from the top down */
    double ece_day_sum;      /* of the means of the days so far */
    bd_course course;
} bd_state;

static double layer_load(const bd_state *s, const bd_layer *layer)
{
    double load = layer->settled_load;

    for (size_t i = 0; i < s->zone->dressing_count; i++)
        load += layer->dressed_load[i];
    return load;
}

static double load_of(const bd_state *s)
{
    double load = 0.0;

    for (int i = 0; i < LAYERS; i++)
        load += layer_load(s, &s->layers[i]);
    return load;
}

static double water_of(const bd_state *s)
{
    double water_l = 0.0;

    for (int i = 0; i < LAYERS; i++)
        water_l += s->layers[i].water_l;
    return water_l;
}

static double ece_of(const bd_state *s)
{
    return load_of(s) / s->saturation_l;
}

static void note_peaks(bd_state *s)
{
    bd_course *c = &s->course;
    double top = layer_load(s, &s->layers[0]) / (s->saturation_l / LAYERS);

    c->ece_peak_ds_per_m = fmax(c->ece_peak_ds_per_m, ece_of(s));
    c->ece_top_peak_ds_per_m = fmax(c->ece_top_peak_ds_per_m, top);
}

static void note_ecsw(bd_state *s)
{
    s->course.ecsw_peak_ds_per_m = fmax(s->course.ecsw_peak_ds_per_m, load_of(s) / water_of(s));
}

/* Moves a share of the salt of a layer into the one below, or out of the bag (NULL). */
static void carry_down(bd_state *s, bd_layer *from, bd_layer *into, double share)
{
    if (into == NULL) {
        s->course.balance.load_drained += layer_load(s, from) * share;
    } else {
        into->settled_load += from->settled_load * share;
        for (size_t i = 0; i < s->zone->dressing_count; i++)
            into->dressed_load[i] += from->dressed_load[i] * share;
    }
    from->settled_load *= 1.0 - share;
    for (size_t i = 0; i < s->zone->dressing_count; i++)
        from->dressed_load[i] *= 1.0 - share;
}

/* What a layer cannot hold goes down, mixed; what the last cannot hold drains. */
static void drain(bd_state *s)
{
    double room_l = s->zone->capacity_l / LAYERS;

    for (int i = 0; i < LAYERS; i++) {
        bd_layer *from = &s->layers[i], *into = i + 1 < LAYERS ? &s->layers[i + 1] : NULL;
        double surplus_l = from->water_l - room_l;

        if (!(surplus_l > 0.0))
            continue;
        carry_down(s, from, into, surplus_l / from->water_l);
        from->water_l = room_l;
        if (into != NULL)
            into->water_l += surplus_l;
        else
            s->course.balance.drained_l += surplus_l;
    }
}

static void give_dressings(bd_state *s, int day)
{
    bd_balance *b = &s->course.balance;
    bd_layer *top = &s->layers[0];
    double before = ece_of(s);

    for (size_t i = 0; i < s->zone->dressing_count; i++) {
        const bd_dressing *d = &s->zone->dressings[i];

        if (d->day != day)
            continue;
        top->dressed_load[i] = at_end(d->load_ds_l_per_m, s->end);
        top->water_l += d->water_l;
        b->load_dressings += top->dressed_load[i];
        b->dressing_l += d->water_l;
    }
    s->course.rise_ds_per_m = fmax(s->course.rise_ds_per_m, ece_of(s) - before);
    note_peaks(s);
    drain(s);
}

static void let_rain(bd_state *s)
{
    double litres = s->zone->rain_mm_per_d * s->zone->area_m2;

    s->layers[0].water_l += litres;
    s->course.balance.rain_l += litres;
    drain(s);
}

static void irrigate(bd_state *s, int day)
{
    double deficit_l = s->zone->capacity_l - water_of(s);
    double litres = deficit_l / (1.0 - s->zone->leaching_share);

    if (day % s->zone->watering_every_days != 0 || !(deficit_l > 0.0))
        return;
    s->layers[0].water_l += litres;
    s->layers[0].settled_load += litres * s->water_ec;
    s->course.balance.irrigation_l += litres;
    s->course.balance.load_irrigation += litres * s->water_ec;
    drain(s);
    note_peaks(s);
}

/* Draws up to `wanted_l` from a layer and says how much came. */
static double draw(const bd_state *s, bd_layer *layer, double wanted_l)
{
    double drawn_l = fmin(wanted_l, fmax(layer->water_l - s->zone->wilting_l / LAYERS, 0.0));

    layer->water_l -= drawn_l;
    return drawn_l;
}

/* Each layer gives its share; what a dry one cannot give, those that still hold water do. */
static void use_water(bd_state *s, double kc)
{
    double wanted_l = kc * s->zone->eto_mm_per_d * s->zone->area_m2;
    double used_l = 0.0;

    for (int i = 0; i < LAYERS; i++)
        used_l += draw(s, &s->layers[i], wanted_l * use_share[i]);
    for (int i = 0; i < LAYERS; i++)
        used_l += draw(s, &s->layers[i], fmax(wanted_l - used_l, 0.0));
    if (used_l < wanted_l * (1.0 - met_slack))
        s->course.dry_days++;
    s->course.balance.used_l += used_l;
}

/* Share of the season's uptake that is over at a share of the season. */
static double taken_by(const bd_rootzone *z, double season_share)
{
    bd_uptake_point left = {0.0, 0.0}, right = {1.0, 1.0};
    double width;

    for (size_t i = 0; i < z->uptake_count; i++) {
        if (z->uptake[i].season_share >= season_share) {
            right = z->uptake[i];
            break;
        }
        left = z->uptake[i];
    }
    width = right.season_share - left.season_share;
    if (!(width > 0.0))
        return right.taken_share;
    return left.taken_share +
           (season_share - left.season_share) / width * (right.taken_share - left.taken_share);
}

/* The same for a dressing: along what was left of the curve when it was given. */
static double taken_of(const bd_rootzone *z, const bd_dressing *d, int day)
{
    double season = z->age_days + z->days;
    double given = taken_by(z, (z->age_days + d->day) / season);
    double now = taken_by(z, (z->age_days + day) / season);

    return given < 1.0 ? (now - given) / (1.0 - given) : 0.0;
}

static void take_up_one(bd_state *s, size_t dressing, double stays)
{
    for (int i = 0; i < LAYERS; i++) {
        double *load = &s->layers[i].dressed_load[dressing];

        s->course.balance.load_taken_up += *load * (1.0 - stays);
        *load *= stays;
    }
}

static void take_up(bd_state *s, int day)
{
    double share = at_end(s->zone->uptake_share, opposite(s->end));

    for (size_t i = 0; i < s->zone->dressing_count; i++) {
        const bd_dressing *d = &s->zone->dressings[i];
        double left = 1.0 - share * taken_of(s->zone, d, day);
        double left_after = 1.0 - share * taken_of(s->zone, d, day + 1);

        if (d->day <= day && left > 0.0)
            take_up_one(s, i, fmax(left_after, 0.0) / left);
    }
}

static bd_rootzone_day live_day(bd_state *s, int day)
{
    const bd_balance before = s->course.balance;
    double kc = bd_kc_on_day(&s->zone->kc, s->zone->age_days + day + 1);
    double ece_watered;

    give_dressings(s, day);
    let_rain(s);
    irrigate(s, day);
    note_ecsw(s);
    ece_watered = ece_of(s);
    use_water(s, kc);
    take_up(s, day);
    note_ecsw(s);
    s->ece_day_sum += 0.5 * (ece_watered + ece_of(s));
    return (bd_rootzone_day){
        .day = day,
        .kc = kc,
        .used_l = s->course.balance.used_l - before.used_l,
        .drained_l = s->course.balance.drained_l - before.drained_l,
        .irrigation_l = s->course.balance.irrigation_l - before.irrigation_l,
        .water_l = water_of(s),
        .ece_ds_per_m = ece_of(s),
        .ecsw_ds_per_m = load_of(s) / water_of(s),
    };
}

/* ---- the whole course ------------------------------------------------------- */

static bd_state begin(const bd_rootzone *zone, bd_end end)
{
    bd_state s = {.zone = zone, .end = end};

    s.saturation_l = at_end(zone->saturation_l, opposite(end));
    s.water_ec = at_end(zone->water_ds_per_m, end);
    for (int i = 0; i < LAYERS; i++) {
        s.layers[i].water_l = zone->capacity_l / LAYERS;
        s.layers[i].settled_load =
            at_end(zone->existing_ece_ds_per_m, end) * s.saturation_l / LAYERS;
    }
    return s;
}

/* What came before is in the layers; the course tells what comes from now on. */
static void begin_course(bd_state *s)
{
    s->course = (bd_course){.ece_before_ds_per_m = ece_of(s)};
    s->course.balance.water_before_l = water_of(s);
    s->course.balance.load_before = load_of(s);
    s->ece_day_sum = 0.0;
    note_peaks(s);
    note_ecsw(s);
}

static double residual(double came, double went)
{
    return came > 0.0 ? fabs(came - went) / came : fabs(went);
}

static void finish(bd_state *s)
{
    bd_balance *b = &s->course.balance;

    b->water_after_l = water_of(s);
    b->load_after = load_of(s);
    b->water_residual = residual(b->water_before_l + b->irrigation_l + b->rain_l + b->dressing_l,
                                 b->used_l + b->drained_l + b->water_after_l);
    b->load_residual = residual(b->load_before + b->load_irrigation + b->load_dressings,
                                b->load_taken_up + b->load_drained + b->load_after);
    s->course.ece_after_ds_per_m = ece_of(s);
    s->course.ece_mean_ds_per_m = s->ece_day_sum / s->zone->days;
}

bd_status bd_rootzone_follow(const bd_rootzone *zone, bd_end end, bd_rootzone_watch *watch,
                             void *to, bd_course *out, bd_error *err)
{
    bd_status status = check_zone(zone, err);
    bd_state s;

    if (status != BD_OK)
        return status;
    s = begin(zone, end);
    for (int day = -zone->past_days; day < 0; day++)
        (void)live_day(&s, day);
    begin_course(&s);
    for (int day = 0; day < zone->days; day++) {
        bd_rootzone_day seen = live_day(&s, day);

        if (watch != NULL)
            watch(&seen, to);
    }
    finish(&s);
    *out = s.course;
    return BD_OK;
}

/* Soil water need not order itself as ECe does: fewer litres at saturation, less load there. */
static bd_range around(double low, double typical, double high)
{
    return bd_range_of(fmin(low, fmin(typical, high)), typical, fmax(high, fmax(low, typical)));
}

bd_status bd_rootzone_outlook(const bd_rootzone *zone, bd_outlook *out, bd_error *err)
{
    bd_course low, typical, high;
    bd_status status = bd_rootzone_follow(zone, BD_END_LOW, NULL, NULL, &low, err);

    if (status == BD_OK)
        status = bd_rootzone_follow(zone, BD_END_TYPICAL, NULL, NULL, &typical, err);
    if (status == BD_OK)
        status = bd_rootzone_follow(zone, BD_END_HIGH, NULL, NULL, &high, err);
    if (status != BD_OK)
        return status;
#define ENDS(field) around(low.field, typical.field, high.field)
    *out = (bd_outlook){
        .ece_before_ds_per_m = ENDS(ece_before_ds_per_m),
        .ece_peak_ds_per_m = ENDS(ece_peak_ds_per_m),
        .ece_top_peak_ds_per_m = ENDS(ece_top_peak_ds_per_m),
        .ece_mean_ds_per_m = ENDS(ece_mean_ds_per_m),
        .ece_after_ds_per_m = ENDS(ece_after_ds_per_m),
        .ecsw_peak_ds_per_m = ENDS(ecsw_peak_ds_per_m),
        .rise_ds_per_m = ENDS(rise_ds_per_m),
        .typical = typical,
    };
#undef ENDS
    return BD_OK;
}
