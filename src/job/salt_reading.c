#include "job/salt_reading.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "model/extract.h"
#include "nutrients/cite.h"

static const char accepted[] = "saturated, 1:1, 1:2, 1:5 or pour-through, beside --ece";

/* ---- the method ----------------------------------------------------------- */

static bd_status read_method(const bd_request *r, bd_extract *method, bd_error *err)
{
    const bd_value *given = bd_request_get(r, BD_OPT_ECE_METHOD);
    bd_status status;

    *method = BD_EXTRACT_SATURATED;
    if (given == NULL)
        return BD_OK;
    if (bd_request_get(r, BD_OPT_ECE) == NULL) {
        (void)bd_fail(err, BD_MISSING, "--ece", "the reading itself is not given");
        return bd_accepts(err, "--ece 0.4dS/m --ece-method 1:5");
    }
    status = bd_extract_read(given->text, method, err);
    bd_error_at(err, "--ece-method");
    return status == BD_OK ? status : bd_accepts(err, accepted);
}

bd_status bd_salt_reading_check(const bd_request *request, bd_error *err)
{
    bd_extract method;

    return read_method(request, &method, err);
}

/* Parts are by volume in light mixes and by mass in soils, and never the same relation. */
static const char *method_words(bd_extract method, const bd_medium *medium)
{
    static const char *const words[BD_EXTRACT_COUNT] = {
        [BD_EXTRACT_SATURATED] = W("extract.saturated"),
        [BD_EXTRACT_1_1] = W("extract.1_1"),
        [BD_EXTRACT_1_2] = W("extract.1_2"),
        [BD_EXTRACT_1_5] = W("extract.1_5"),
        [BD_EXTRACT_POUR_THROUGH] = W("extract.pour_through"),
    };

    if (method == BD_EXTRACT_1_2 && bd_medium_is_peat_like(medium))
        return W("extract.1_2_volume");
    return words[method];
}

/* ---- turning it into ECe --------------------------------------------------- */

/* The three relations that make the range, each from its own end of the reading. */
typedef struct converted {
    bd_extracted low, typical, high;
} converted;

static bd_status convert(const bd_media *media, bd_extract method, const bd_medium *medium,
                         bd_range reading, converted *c, bd_error *err)
{
    size_t count;
    const bd_extract_line *lines = bd_media_extract_lines(media, &count);
    bd_status status =
        bd_extract_to_ece(lines, count, method, medium->texture, reading.low, &c->low, err);

    if (status == BD_OK)
        status = bd_extract_to_ece(lines, count, method, medium->texture, reading.typical,
                                   &c->typical, err);
    if (status == BD_OK)
        status =
            bd_extract_to_ece(lines, count, method, medium->texture, reading.high, &c->high, err);
    bd_error_at(err, "--ece-method");
    return status;
}

static void show_step(bd_card *card, const bd_extract_line *line, double reading)
{
    char source[BD_CITE_SIZE];

    bd_card_work(card, W("work.extract"),
                 BD_ARGS(bd_exact(line->slope, ""), bd_exact(reading, "dS/m"),
                         bd_exact(line->intercept_ds_per_m, "dS/m"),
                         bd_exact(line->slope * reading + line->intercept_ds_per_m, "dS/m")),
                 bd_cite(line->source, line->trust, source));
}

/* The sources at both ends of the range; no stronger than the weaker of them. */
static const char *cite_ends(const converted *c, char buffer[BD_CITE_SIZE])
{
    const bd_extract_line *a = c->low.lowest, *b = c->high.highest;
    char both[BD_CITE_SIZE];

    if (strcmp(a->source, b->source) == 0)
        (void)snprintf(both, sizeof both, "%s", a->source);
    else
        (void)snprintf(both, sizeof both, "%s; %s", a->source, b->source);
    return bd_cite(both, bd_trust_weaker(a->trust, b->trust), buffer);
}

static void show_spread(const converted *c, bd_extract method, const bd_medium *medium,
                        bd_range reading, bd_range ece, bd_card *card)
{
    const char *words = method_words(method, medium);
    char source[BD_CITE_SIZE];

    bd_card_figure(card, "soil.reading", W("figure.ece_reading"), BD_ARGS(bd_words_arg(words)),
                   reading, "dS/m");
    bd_card_find(card, "soil.ece_method", BD_NOTE, W("soil.ece_method"),
                 BD_ARGS(bd_words_arg(words), bd_name(medium->title), bd_amount_range(ece, "dS/m"),
                         bd_count((double)c->typical.line_count)),
                 cite_ends(c, source));
    show_step(card, c->low.lowest, reading.low);
    show_step(card, c->typical.middle, reading.typical);
    show_step(card, c->high.highest, reading.high);
}

/*
 * A saturated paste holds less water than any extract made by adding parts of it, so the same salt
 * never reads lower there; a relation that says so was carried below where it was found.  What runs
 * out of a bag (pour-through) may be stronger than the paste.
 */
static bd_range no_lower_than_read(bd_extract method, bd_range ece, bd_range reading, bd_card *card)
{
    bd_range raised = bd_range_of(fmax(ece.low, reading.low), fmax(ece.typical, reading.typical),
                                  fmax(ece.high, reading.high));

    if (method == BD_EXTRACT_POUR_THROUGH)
        return ece;
    if (raised.low > ece.low || raised.typical > ece.typical || raised.high > ece.high)
        bd_card_assume(card, "soil.ece_least", W("assume.ece_least"),
                       BD_ARGS(bd_amount_range(ece, "dS/m")), &raised, "dS/m",
                       "more water never reads saltier, worked out");
    return raised;
}

static void assume_fresh(const bd_knowledge *know, bd_card *card, bd_range *out)
{
    const bd_fact *existing = bd_media_figure(know->media, "existing-ece");
    char source[BD_CITE_SIZE];

    /* What is only assumed enters by its usual value: its high end alone would condemn a bag that
     * nobody dosed. */
    *out = bd_exactly(existing->value.typical);
    bd_card_assume(card, "soil.ece", W("assume.existing_ece"),
                   BD_ARGS(bd_amount_range(existing->value, "dS/m")), out, "dS/m",
                   bd_cite_fact(existing, source));
}

bd_status bd_salt_reading(const bd_knowledge *know, const bd_request *request,
                          const bd_medium *medium, bd_card *card, bd_range *out, bd_error *err)
{
    const bd_value *reading = bd_request_get(request, BD_OPT_ECE);
    bd_extract method;
    converted c;
    bd_status status = read_method(request, &method, err);

    if (status != BD_OK)
        return status;
    if (reading == NULL) {
        assume_fresh(know, card, out);
        return BD_OK;
    }
    if (method == BD_EXTRACT_SATURATED) {
        *out = reading->number;
        if (bd_request_get(request, BD_OPT_ECE_METHOD) == NULL)
            bd_card_assume(card, "soil.ece_method", W("assume.ece_method"), BD_NO_ARGS, out, "dS/m",
                           "common practice, no source");
        return BD_OK;
    }
    status = convert(know->media, method, medium, reading->number, &c, err);
    if (status != BD_OK)
        return status;
    *out = no_lower_than_read(
        method, bd_range_of(c.low.ds_per_m.low, c.typical.ds_per_m.typical, c.high.ds_per_m.high),
        reading->number, card);
    show_spread(&c, method, medium, reading->number, *out, card);
    return BD_OK;
}
