/*
 * sprayer.c - what a sprayer puts out, found by a run with plain water, and how
 * many tanks an area takes.
 */
#include <math.h>

#include "guard/cautions.h"
#include "guard/judge.h"
#include "job/job.h"
#include "model/sprayer.h"
#include "nutrients/cite.h"

#define FAR_UNDER    0.25 /* of the usual: more likely a misread mark than a fine spray */
#define ML_PER_L     1000.0
#define KM_H_PER_M_S 3.6

static const double same_plot = 0.01; /* a paced-out plot is never nearer than that */
static const double same_rate = 0.10; /* two ways of measuring that agree           */

typedef struct run {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
    double used_l, over_m2;                        /* 0: not given */
    double flow_l_per_min, speed_m_per_s, swath_m; /* 0: not given */
    double bags, canopy_m2, from_kpa, to_kpa;      /* 0: not given */
    double rate_l_per_m2, by_flow_l_per_m2;        /* 0: not found */
} run;

static double get(const run *s, bd_option option)
{
    return bd_request_number(s->request, option, 0.0);
}

static void figure(const run *s, const char *id, const char *key, double value, const char *unit)
{
    bd_card_figure(s->card, id, key, BD_NO_ARGS, bd_exactly(value), unit);
}

static void read_run(run *s)
{
    s->used_l = get(s, BD_OPT_USED);
    s->over_m2 = get(s, BD_OPT_OVER);
    s->flow_l_per_min = get(s, BD_OPT_FLOW);
    s->speed_m_per_s = get(s, BD_OPT_SPEED);
    s->swath_m = get(s, BD_OPT_SWATH);
    s->bags = get(s, BD_OPT_BAGS);
    s->canopy_m2 = get(s, BD_OPT_CANOPY);
    s->from_kpa = get(s, BD_OPT_PRESSURE);
    s->to_kpa = get(s, BD_OPT_NEW_PRESSURE);
}

static bool had_weed_killer(const run *s)
{
    return bd_request_get(s->request, BD_OPT_HAD_WEED_KILLER) != NULL;
}

static bd_status fail_for(const run *s, const char *where, const char *what)
{
    (void)bd_fail(s->err, BD_MISSING, where, "is needed %s", what);
    return bd_accepts(s->err,
                      "--used 2L --over 25m2; --used 380mL --bags 10; or --flow \"0.8 L/min\" "
                      "--speed \"4 km/h\" --swath 50cm");
}

static bd_status check_pairs(const run *s)
{
    bool has_flow = s->flow_l_per_min > 0.0;

    if (s->used_l > 0.0 && !(s->over_m2 > 0.0) && !(s->bags > 0.0))
        return fail_for(s, "--over", "to know what the water used was spread on");
    if (s->over_m2 > 0.0 && !(s->used_l > 0.0))
        return fail_for(s, "--used", "to know how much water that area took");
    if (!has_flow && s->speed_m_per_s > 0.0)
        return fail_for(s, "--flow", "beside the walking speed");
    if (has_flow && !(s->to_kpa > 0.0) && !(s->speed_m_per_s > 0.0 && s->swath_m > 0.0))
        return fail_for(s, "--speed and --swath", "to turn a flow into a rate");
    if ((s->to_kpa > 0.0) && !(s->from_kpa > 0.0))
        return fail_for(s, "--pressure", "to say what the new pressure changes");
    if (!(s->used_l > 0.0) && !has_flow && !had_weed_killer(s))
        return fail_for(s, "--used or --flow", "from a test with plain water");
    return BD_OK;
}

/* ---- the rate ----------------------------------------------------------- */

/* The bags of a test run count as an area when the leaf over one is known. */
static bd_status rate_by_run(run *s)
{
    double area = s->over_m2 > 0.0 ? s->over_m2 : s->bags * s->canopy_m2;
    bd_status status = BD_OK;

    if (!(s->used_l > 0.0))
        return BD_OK;
    if (area > 0.0) {
        status = bd_sprayer_rate_by_run(s->used_l, area, &s->rate_l_per_m2, s->err);
        bd_card_work(s->card, W("work.rate_by_run"),
                     BD_ARGS(bd_exact(s->used_l, "L"), bd_exact(area, "m2"),
                             bd_exact(s->rate_l_per_m2 * ML_PER_L, "mL/m2"),
                             bd_exact(bd_l_per_ha(s->rate_l_per_m2), "L/ha")),
                     "--used");
    }
    if (status == BD_OK && s->bags > 0.0 && !(s->over_m2 > 0.0)) {
        double per_bag_l = 0.0;

        status = bd_sprayer_per_bag(s->used_l, s->bags, &per_bag_l, s->err);
        if (status == BD_OK)
            figure(s, "sprayer.per_bag", W("figure.sprayer_per_bag"), per_bag_l, "L");
    }
    return status;
}

static bd_status rate_by_flow(run *s)
{
    bd_status status;

    if (!(s->flow_l_per_min > 0.0 && s->speed_m_per_s > 0.0 && s->swath_m > 0.0))
        return BD_OK;
    status = bd_sprayer_rate_by_flow(s->flow_l_per_min, s->speed_m_per_s, s->swath_m,
                                     &s->by_flow_l_per_m2, s->err);
    if (status != BD_OK)
        return status;
    bd_card_work(s->card, W("work.rate_by_flow"),
                 BD_ARGS(bd_exact(s->flow_l_per_min, "L/min"),
                         bd_exact(s->speed_m_per_s * KM_H_PER_M_S, "km/h"),
                         bd_exact(s->swath_m, "m"),
                         bd_exact(bd_l_per_ha(s->by_flow_l_per_m2), "L/ha")),
                 "--flow");
    if (!(s->rate_l_per_m2 > 0.0))
        s->rate_l_per_m2 = s->by_flow_l_per_m2;
    return BD_OK;
}

/* Two ways that disagree: the run over a known area saw the real walk and is used. */
static void compare_ways(const run *s)
{
    double apart = fabs(s->by_flow_l_per_m2 / s->rate_l_per_m2 - 1.0);

    if (s->used_l > 0.0 && s->by_flow_l_per_m2 > 0.0)
        bd_card_find_limit(s->card, "sprayer.two_ways", apart > same_rate ? BD_CARE : BD_NOTE,
                           apart > same_rate ? W("sprayer.ways_differ") : W("sprayer.ways_agree"),
                           BD_NO_ARGS, bd_l_per_ha(s->by_flow_l_per_m2),
                           bd_l_per_ha(s->rate_l_per_m2), "L/ha", "common practice, no source");
}

static void show_rate(const run *s)
{
    if (!(s->rate_l_per_m2 > 0.0))
        return;
    figure(s, "sprayer.rate", W("figure.sprayer_rate"), bd_l_per_ha(s->rate_l_per_m2), "L/ha");
    figure(s, "sprayer.per_area", W("figure.sprayer_per_area"), s->rate_l_per_m2 * ML_PER_L,
           "mL/m2");
}

/* The plot on which fluid ounces used read as gallons an acre. */
static bd_status explain_ounces(const run *s)
{
    double course_m = 0.0;
    bd_range gallons;
    bd_status status =
        bd_quantity_convert("1 L/m2", "USgal/acre", BD_MEASURES_US, &gallons, s->err);

    if (status != BD_OK)
        return status;
    if (s->used_l > 0.0 && fabs(s->over_m2 / BD_OUNCE_PLOT_M2 - 1.0) <= same_plot) {
        figure(s, "sprayer.gallons_per_acre", W("figure.sprayer_gallons"),
               s->rate_l_per_m2 * gallons.typical, "USgal/acre");
        bd_card_find(s->card, "sprayer.ounces", BD_NOTE, W("sprayer.ounces"),
                     BD_ARGS(bd_amount(BD_OUNCE_PLOT_M2, "m2")),
                     "exact definitions of foot and gallon");
    }
    if (s->used_l > 0.0 && s->swath_m > 0.0) {
        status = bd_sprayer_course(BD_OUNCE_PLOT_M2, s->swath_m, &course_m, s->err);
        if (status == BD_OK)
            figure(s, "sprayer.course", W("figure.sprayer_course"), course_m, "m");
    }
    return status;
}

/* ---- another pressure --------------------------------------------------- */

static bd_status show_pressure(const run *s)
{
    char source[BD_CITE_SIZE];
    double factor = 0.0;
    bd_status status;

    if (!(s->to_kpa > 0.0))
        return BD_OK;
    status = bd_sprayer_flow_at(1.0, s->from_kpa, s->to_kpa, &factor, s->err);
    if (status != BD_OK)
        return status;
    bd_card_work(
        s->card, W("work.pressure"),
        BD_ARGS(bd_exact(s->to_kpa, "kPa"), bd_exact(s->from_kpa, "kPa"), bd_exact(factor, "")),
        bd_rule_source(s->know->catalogue, "sprayer.pressure", source));
    if (s->flow_l_per_min > 0.0)
        figure(s, "sprayer.new_flow", W("figure.sprayer_new_flow"), s->flow_l_per_min * factor,
               "L/min");
    if (s->rate_l_per_m2 > 0.0)
        figure(s, "sprayer.new_rate", W("figure.sprayer_new_rate"),
               bd_l_per_ha(s->rate_l_per_m2) * factor, "L/ha");
    bd_card_find(s->card, "sprayer.pressure", BD_NOTE, W("sprayer.pressure"), BD_NO_ARGS,
                 bd_rule_source(s->know->catalogue, "sprayer.pressure", source));
    return BD_OK;
}

/* ---- tanks -------------------------------------------------------------- */

/* Bags tell what is to be sprayed where they were not those of the test run. */
static double area_to_spray(const run *s)
{
    double area = get(s, BD_OPT_AREA);
    bool are_of_the_test = s->used_l > 0.0 && !(s->over_m2 > 0.0);

    return area > 0.0 || are_of_the_test ? area : s->bags * s->canopy_m2;
}

/* The bags of a test run are sprayed again, with what it used, where a tank is asked about and no
 * other area is said. */
static double volume_needed(const run *s)
{
    double area = area_to_spray(s);

    if (!(area > 0.0) && get(s, BD_OPT_TANK) > 0.0 && s->bags > 0.0)
        return s->used_l;
    return area * s->rate_l_per_m2;
}

static bd_status check_tank(const run *s)
{
    const bd_value *tank = bd_request_get(s->request, BD_OPT_TANK);
    double area = get(s, BD_OPT_AREA);
    bool has_rate = s->used_l > 0.0 || (s->flow_l_per_min > 0.0 && s->speed_m_per_s > 0.0);

    if (tank == NULL || !has_rate || area > 0.0 || s->bags * s->canopy_m2 > 0.0 ||
        (s->bags > 0.0 && s->used_l > 0.0 && !(s->over_m2 > 0.0)))
        return BD_OK;
    (void)bd_fail(s->err, BD_MISSING, "--area", "is needed to count tanks of %.40s", tank->text);
    return bd_accepts(s->err, "--area 40m2; or --bags 20 --canopy 0.12m2, what is to be sprayed");
}

static bd_status show_tanks(const run *s)
{
    double tank_l = get(s, BD_OPT_TANK), need_l = volume_needed(s);
    bd_tanks tanks = {0};
    bd_status status;

    if (!(need_l > 0.0))
        return BD_OK;
    figure(s, "sprayer.volume_needed", W("figure.sprayer_volume"), need_l, "L");
    if (!(tank_l > 0.0))
        return BD_OK;
    status = bd_sprayer_tanks(need_l, tank_l, &tanks, s->err);
    bd_error_at(s->err, "--tank");
    if (status != BD_OK)
        return status;
    bd_card_figure(s->card, "sprayer.full_tanks", W("figure.sprayer_full_tanks"),
                   BD_ARGS(bd_amount(tank_l, "L")), bd_exactly(tanks.full), "");
    if (tanks.last_l > 0.0)
        figure(s, "sprayer.last_tank", W("figure.sprayer_last_tank"), tanks.last_l, "L");
    return BD_OK;
}

/* ---- what to think of it ------------------------------------------------- */

static void judge_thin(const run *s, const bd_fact *usual)
{
    double rate = s->rate_l_per_m2 * ML_PER_L, least = usual->value.low * ML_PER_L;
    char source[BD_CITE_SIZE];

    bd_card_find_limit(s->card, "sprayer.usual", rate < FAR_UNDER * least ? BD_CARE : BD_NOTE,
                       W("sprayer.under_usual"), BD_NO_ARGS, rate, least, "mL/m2",
                       bd_cite_fact(usual, source));
    bd_card_limit_is_least(s->card);
}

static void judge_rate(const run *s)
{
    const bd_fact *usual = bd_catalogue_practice(s->know->catalogue, "wetting");
    const bd_fact *most = bd_catalogue_practice(s->know->catalogue, "wetting-ceiling");
    const bd_fact *absurd = bd_catalogue_practice(s->know->catalogue, "spray-volume-absurd");
    char source[BD_CITE_SIZE];
    double rate = s->rate_l_per_m2 * ML_PER_L;

    if (!(rate > 0.0))
        return;
    if (bd_is_over(s->rate_l_per_m2, absurd->value.high))
        bd_card_find_limit(s->card, "limit.wetting", BD_CARE, W("sprayer.wrong_unit"), BD_NO_ARGS,
                           rate, absurd->value.high * ML_PER_L, "mL/m2",
                           bd_cite_fact(absurd, source));
    else if (bd_is_over(s->rate_l_per_m2, most->value.high))
        bd_card_find_limit(s->card, "limit.wetting", BD_CARE, W("spray.wets_too_much"), BD_NO_ARGS,
                           rate, most->value.high * ML_PER_L, "mL/m2", bd_cite_fact(most, source));
    else if (bd_is_over(s->rate_l_per_m2, usual->value.high))
        bd_card_find_limit(s->card, "sprayer.usual", BD_NOTE, W("sprayer.over_usual"), BD_NO_ARGS,
                           rate, usual->value.high * ML_PER_L, "mL/m2",
                           bd_cite_fact(usual, source));
    else if (s->rate_l_per_m2 < usual->value.low)
        judge_thin(s, usual);
    else
        bd_card_find_limit(s->card, "sprayer.usual", BD_NOTE, W("sprayer.usual"), BD_NO_ARGS, rate,
                           usual->value.high * ML_PER_L, "mL/m2", bd_cite_fact(usual, source));
}

static void judge_history(const run *s)
{
    if (had_weed_killer(s))
        bd_card_find(s->card, "sprayer.weed_killer", BD_STOP, W("sprayer.weed_killer"), BD_NO_ARGS,
                     "common practice, no source");
    else
        bd_card_find(s->card, "sprayer.history", BD_NOTE, W("sprayer.history"), BD_NO_ARGS,
                     "common practice, no source");
}

bd_status bd_job_sprayer(const bd_knowledge *know, const bd_request *request, bd_card *card,
                         bd_error *err)
{
    run s = {.know = know, .request = request, .card = card, .err = err};
    bd_status status;

    read_run(&s);
    status = check_pairs(&s);
    if (status == BD_OK)
        status = check_tank(&s);
    if (status != BD_OK)
        return status;
    bd_card_title(card, W("sprayer.title"), BD_NO_ARGS);
    judge_history(&s);
    status = rate_by_run(&s);
    if (status == BD_OK)
        status = rate_by_flow(&s);
    if (status != BD_OK)
        return status;
    show_rate(&s);
    compare_ways(&s);
    judge_rate(&s);
    status = explain_ounces(&s);
    if (status == BD_OK)
        status = show_pressure(&s);
    if (status == BD_OK)
        status = show_tanks(&s);
    bd_card_caution(card, "C06K", W("caution.sprayer_clean"), BD_NO_ARGS,
                    "common practice, no source");
    return status;
}
