/*
 * label.c - a label read aloud: as oxides, as elements, and what kilograms of it bring.
 */
#include <stdio.h>

#include "job/job.h"
#include "model/oxide.h"
#include "request/label_text.h"

static void show_form(bd_card *card, bd_nutrient_form form, double share, const char *key,
                      double scale, const char *unit)
{
    char id[32];

    (void)snprintf(id, sizeof id, "label.%s", bd_nutrient_form_name(form));
    bd_card_figure(card, id, key, BD_ARGS(bd_name(bd_nutrient_form_name(form))),
                   bd_exactly(scale * bd_as_form(form, share)), unit);
}

static void show_nutrient(bd_card *card, const bd_label *label, bd_nutrient n)
{
    bool has_oxide = bd_nutrient_oxide(n)[0] != '\0';
    const char *unit = label->is_w_v ? "% w/v" : "%";

    show_form(card, (bd_nutrient_form){n, false}, label->share[n], W("figure.label_element"), 100.0,
              unit);
    if (!has_oxide)
        return;
    show_form(card, (bd_nutrient_form){n, true}, label->share[n], W("figure.label_oxide"), 100.0,
              unit);
    bd_card_work(card, W("work.oxide_factor"),
                 BD_ARGS(bd_name(bd_nutrient_symbol(n)), bd_name(bd_nutrient_oxide(n)),
                         bd_exact(bd_as_element((bd_nutrient_form){n, true}, 1.0), "")),
                 "IUPAC-2016, published");
}

/* The other way of reading the same three numbers, and how far off it is. */
static void tell_other_reading(bd_card *card, const bd_label *label)
{
    static const bd_nutrient_form k2o = {BD_K, true};
    double k2o_percent = 100.0 * bd_as_form(k2o, label->share[BD_K]),
           k_percent = 100.0 * label->share[BD_K];

    if (!(label->share[BD_K] > 0.0) || label->convention == BD_CONVENTION_NAMED)
        return;
    bd_card_find(card, "label.other_reading", BD_NOTE,
                 label->convention == BD_CONVENTION_OXIDE ? W("label.as_elements")
                                                          : W("label.as_oxides"),
                 BD_ARGS(bd_amount(k2o_percent, "%"), bd_amount(k_percent, "%"),
                         bd_amount(100.0 * (k2o_percent / k_percent - 1.0), "%"),
                         bd_amount(100.0 * (1.0 - k_percent / k2o_percent), "%")),
                 "atomic weights");
}

bd_status bd_job_label(const bd_knowledge *know, const bd_request *request, bd_card *card,
                       bd_error *err)
{
    const char *text = request->positionals[0];
    const bd_value *how = bd_request_get(request, BD_OPT_CONVENTION);
    const bd_value *density =
        request->product_count > 0 ? bd_product_get(request, 0, BD_OPT_DENSITY) : NULL;
    bd_convention convention = BD_CONVENTION_NONE;
    bd_label label;
    bool is_near = false;
    bd_status status = BD_OK;

    (void)know;
    if (request->product_count > 0)
        how = bd_product_get(request, 0, BD_OPT_CONVENTION);
    if (how != NULL)
        status = bd_convention_read(how->text, &convention, err);
    if (status == BD_OK)
        status = bd_label_read(text, convention, &label, err);
    if (status == BD_OK)
        status = bd_label_check(&label, NULL, &is_near, err);
    bd_error_at(err, text);
    if (status != BD_OK)
        return status;
    bd_card_title(card, W("label.title"), BD_ARGS(bd_name(text)));
    if (label.convention != BD_CONVENTION_NAMED)
        bd_card_assume(card, "label.reading",
                       label.convention == BD_CONVENTION_OXIDE   ? W("assume.reads_oxide")
                       : label.convention == BD_CONVENTION_RATIO ? W("assume.reads_ratio")
                                                                 : W("assume.reads_element"),
                       BD_ARGS(bd_name(text)), NULL, "",
                       label.is_assumed ? "common practice, no source" : "--convention");
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        if (label.declares[n])
            show_nutrient(card, &label, (bd_nutrient)n);
    if (density != NULL)
        for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
            if (label.declares[n] && label.share[n] > 0.0) {
                char id[32];
                double g_per_l =
                    1000.0 * label.share[n] * (label.is_w_v ? 1.0 : density->number.typical);

                (void)snprintf(id, sizeof id, "label.%s.per_litre",
                               bd_nutrient_symbol((bd_nutrient)n));
                bd_card_figure(card, id, W("figure.label_per_litre"),
                               BD_ARGS(bd_name(bd_nutrient_symbol((bd_nutrient)n))),
                               bd_exactly(g_per_l), "g/L");
            }
    tell_other_reading(card, &label);
    return BD_OK;
}
