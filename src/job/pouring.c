/*
 * pouring.c - a brew measured into cans, thinned and poured.
 */
#include <math.h>

#include "job/measuring.h"
#include "model/measure.h"
#include "nutrients/cite.h"

#define ML_PER_L 1000.0
#define PERCENT  100.0

typedef struct pour {
    const bd_pouring *what;
    bd_card *card;
    double jug_step_l, syringe_step_l, can_l; /* can_l: 0 where none is named */
    double good_error, most_error;
} pour;

/* How far off a volume may be with a tool: its rounding and half a mark of reading. */
static double error_with(double litres, double step_l)
{
    return (fabs(round(litres / step_l) * step_l - litres) + 0.5 * step_l) / litres;
}

/* The jug where it is good enough, else the syringe. */
static double step_for(const pour *p, double litres)
{
    return error_with(litres, p->jug_step_l) <= p->good_error ? p->jug_step_l : p->syringe_step_l;
}

/* Less than a mark of the jug is drawn up instead. */
static double pour_step(const pour *p)
{
    return p->what->per_bag_l < p->jug_step_l ? p->syringe_step_l : p->jug_step_l;
}

static double poured_l(const pour *p)
{
    double step_l = pour_step(p);

    return fmax(round(p->what->per_bag_l / step_l), 1.0) * step_l;
}

static void figure(const pour *p, const char *id, const char *key, const bd_arg *args, double value,
                   const char *unit)
{
    bd_card_figure(p->card, id, key, args, bd_exactly(value), unit);
}

static void show_each(const pour *p)
{
    bool is_drawn = p->what->per_bag_l < p->jug_step_l;
    bool is_thinned = p->what->dilution > 1.0;
    const char *by_jug = is_thinned ? W("figure.measure_pour") : W("figure.measure_brew_pour");
    const char *by_syringe = is_thinned ? W("figure.measure_draw") : W("figure.measure_brew_draw");

    if (p->what->is_one_kind)
        figure(p, "measure.pour", is_drawn ? by_syringe : by_jug, BD_NO_ARGS, poured_l(p), "L");
}

/* Each can of its own litres, the last one perhaps partly filled. */
static void show_cans(const pour *p, const bd_cans *cans)
{
    const char *last_key =
        cans->full > 0.0 ? W("figure.measure_brew_last_can") : W("figure.measure_brew_lone_can");

    if (p->can_l <= 0.0) {
        figure(p, "measure.all_volume", W("figure.measure_brew_all"),
               BD_ARGS(bd_amount(p->what->needed_l, "L"), bd_count(p->what->bags)),
               cans->full_g + cans->last_g, "mL");
        return;
    }
    if (cans->full > 0.0)
        figure(p, "measure.can_volume",
               cans->is_even ? W("figure.measure_brew_even_can") : W("figure.measure_brew_can"),
               BD_ARGS(bd_count(cans->full), bd_amount(cans->full_l, "L")), cans->full_g, "mL");
    if (cans->last_l > 0.0)
        figure(p, "measure.last_can_volume", last_key, BD_ARGS(bd_amount(cans->last_l, "L")),
               cans->last_g, "mL");
}

/* How far a bag is off, which the brew's own strength is on top of. */
static void show_error(const pour *p, double cans_error, const bd_fact *most)
{
    double error = bd_cans_error_of_bag(cans_error, p->what->per_bag_l, pour_step(p));
    char source[BD_CITE_SIZE];

    figure(p, "measure.error", W("figure.measure_error"), BD_NO_ARGS, PERCENT * error, "%");
    if (error > p->most_error)
        bd_card_find_limit(p->card, "measure.error", BD_NOTE, W("measure.pour_too_coarse"),
                           BD_ARGS(bd_name(p->what->title)), PERCENT * error,
                           PERCENT * p->most_error, "%", bd_cite_fact(most, source));
}

/* The smaller can sets the tool for both. */
static bd_status fill_cans(const pour *p, bd_cans *cans, bd_error *err)
{
    double can_l = p->can_l > 0.0 ? p->can_l : p->what->needed_l;
    double ml_per_l = ML_PER_L / p->what->dilution;
    double least_l = fmin(can_l, p->what->needed_l);
    bd_status status =
        bd_cans_fill(ml_per_l, p->what->needed_l, can_l, ML_PER_L * p->syringe_step_l, cans, err);

    bd_error_at(err, "--can");
    if (status != BD_OK)
        return status;
    if (cans->last_l > 0.0)
        least_l = fmin(least_l, cans->last_l);
    return bd_cans_fill(ml_per_l, p->what->needed_l, can_l,
                        ML_PER_L * step_for(p, least_l / p->what->dilution), cans, err);
}

static bd_status show(const pour *p, const bd_fact *most, bd_error *err)
{
    bd_cans cans = {0};
    bd_status status;

    if (!(p->what->dilution > 1.0)) {
        show_each(p);
        figure(p, "measure.all", W("figure.measure_brew_in_all"), BD_ARGS(bd_count(p->what->bags)),
               p->what->is_one_kind ? poured_l(p) * p->what->bags : p->what->needed_l, "L");
        show_error(p, 0.0, most);
        return BD_OK;
    }
    status = fill_cans(p, &cans, err);
    if (status != BD_OK)
        return status;
    if (cans.is_below_step) {
        bd_card_find(p->card, "measure.cans", BD_CARE, W("measure.brew_below_step"), BD_NO_ARGS,
                     "arithmetic");
        return BD_OK;
    }
    show_cans(p, &cans);
    show_each(p);
    show_error(p, cans.error, most);
    return BD_OK;
}

bd_status bd_pouring_show(const bd_knowledge *know, const bd_request *request,
                          const bd_pouring *pouring, bd_card *card, bd_error *err)
{
    const bd_catalogue *c = know->catalogue;
    const bd_fact *most = bd_catalogue_practice(c, "measuring-error");
    pour p = {.what = pouring,
              .card = card,
              .can_l = bd_request_number(request, BD_OPT_CAN, 0.0),
              .good_error = bd_catalogue_practice(c, "scale-error")->value.typical,
              .most_error = most->value.typical};

    if (!(pouring->per_bag_l > 0.0) || bd_card_verdict(card) == BD_STOP)
        return BD_OK;
    p.jug_step_l = bd_tool_step(know, request, BD_TOOL_JUG, card);
    p.syringe_step_l = p.jug_step_l; /* not needed where nothing is thinned nor drawn up */
    if (pouring->dilution > 1.0 || pouring->per_bag_l < p.jug_step_l)
        p.syringe_step_l = bd_tool_step(know, request, BD_TOOL_SYRINGE, card);
    return show(&p, most, err);
}
