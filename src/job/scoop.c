#include "job/scoop.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "model/measure.h"
#include "request/label_text.h"

#define ML_PER_L 1000.0
#define G_PER_KG 1000.0

enum { LONGEST = 80, ENOUGH_SCOOPS = 10 };

static const double most_scoops = 1000.0; /* more is a slip of the keyboard */
static const double same_share = 1e-9;    /* of a label's nutrient, computed twice */
/* A compound holds some tenths of a per cent; what holds more is given for its boron. */
static const double boron_of_a_compound = 0.01;

/* ---- reading ------------------------------------------------------------ */

static bd_status refuse_heaped(const char *text, bd_error *err)
{
    if (strstr(text, "heap") == NULL && strstr(text, "round") == NULL)
        return BD_OK;
    (void)bd_fail(err, BD_CONFLICT, NULL, "'%.40s': no two heaps are alike", text);
    (void)bd_accepts(err, "a level scoop, struck off with a straight edge");
    return BD_CONFLICT;
}

static bd_status fail_weighing(const char *text, bd_error *err)
{
    (void)bd_fail(err, BD_SYNTAX, NULL, "'%.60s' does not say how many scoops weigh how much",
                  text);
    (void)bd_accepts(err, "\"10 level scoops 57 g\", \"57 g/10\", or \"6 g\" for one");
    return BD_SYNTAX;
}

static bd_status finish_weighing(const char *text, const char *mass, double count,
                                 bd_measures measures, bd_scoop_weighing *out, bd_error *err)
{
    bd_range total_g;
    bd_status status;

    if (!(count >= 1.0 && count <= most_scoops) || count > (double)(long)count)
        return fail_weighing(text, err);
    status = bd_quantity_read_positive(mass, BD_KIND_MASS, measures, &total_g, err);
    if (status == BD_OK)
        *out = (bd_scoop_weighing){count, total_g.typical};
    return status;
}

/* The last word that begins with a digit starts the weight. */
static const char *find_mass(const char *s)
{
    const char *found = NULL;

    for (const char *at = s; *at != '\0'; at++)
        if (isdigit((unsigned char)*at) && (at == s || at[-1] == ' '))
            found = at;
    return found;
}

/* "57 g/10": the number behind the slash counts the scoops. */
static bd_status read_divided(const char *text, const char *slash, bd_measures measures,
                              bd_scoop_weighing *out, bd_error *err)
{
    char mass[LONGEST];
    double count = 0.0;
    const char *digits = slash + 1 + strspn(slash + 1, " ");

    if (bd_number_read(digits, NULL, &count, NULL) != BD_OK)
        return fail_weighing(text, err);
    (void)snprintf(mass, sizeof mass, "%.*s", (int)(slash - text), text);
    return finish_weighing(text, mass, count, measures, out, err);
}

/* What stands between the count and the weight; other words would be something else's. */
static bool are_scoops(const char *from, const char *to)
{
    static const char *const words[] = {"level", "scoops", "scoop", "spoons", "spoon",
                                        "caps",  "cap",    "weigh", "weighs"};

    while (from < to) {
        size_t n = strcspn(from, " "), i = 0;

        while (i < sizeof words / sizeof words[0] &&
               !(strlen(words[i]) == n && strncmp(words[i], from, n) == 0))
            i++;
        if (n > 0 && i == sizeof words / sizeof words[0])
            return false;
        from += n + strspn(from + n, " ");
    }
    return true;
}

bd_status bd_scoop_weighing_read(const char *text, bd_measures measures, bd_scoop_weighing *out,
                                 bd_error *err)
{
    const char *slash = strchr(text, '/'), *mass = find_mass(text), *end = text;
    double count = 0.0;
    bd_status status = refuse_heaped(text, err);

    if (status != BD_OK)
        return status;
    if (strlen(text) >= LONGEST || mass == NULL)
        return fail_weighing(text, err);
    if (slash != NULL)
        return read_divided(text, slash, measures, out, err);
    if (mass == text)
        return finish_weighing(text, text, 1.0, measures, out, err);
    if (bd_number_read(text, &end, &count, NULL) != BD_OK || *end != ' ' ||
        !are_scoops(end + strspn(end, " "), mass))
        return fail_weighing(text, err);
    return finish_weighing(text, mass, count, measures, out, err);
}

bd_status bd_scoop_volume_read(const char *text, bd_measures measures, double *volume_l,
                               bd_error *err)
{
    char quantity[LONGEST];
    bool has_number = isdigit((unsigned char)text[0]) || text[0] == '.';
    bd_range volume;
    bd_status status = refuse_heaped(text, err);

    if (status != BD_OK)
        return status;
    (void)snprintf(quantity, sizeof quantity, "%s%.60s", has_number ? "" : "1 ", text);
    status = bd_quantity_read_positive(quantity, BD_KIND_VOLUME, measures, &volume, err);
    if (status == BD_OK)
        *volume_l = volume.typical;
    return status;
}

static bd_status read_marks(const bd_knowledge *know, const bd_request *r, double *step,
                            bd_error *err)
{
    static const struct {
        const char *word;
        double step;
    } marks[] = {{"whole", 1.0}, {"half", 0.5}, {"quarter", 0.25}};
    const bd_value *given = bd_request_get(r, BD_OPT_SCOOP_MARKS);

    *step = bd_catalogue_practice(know->catalogue, "scoop-step")->value.typical;
    if (given == NULL)
        return BD_OK;
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        if (strcmp(marks[i].word, given->text) == 0) {
            *step = marks[i].step;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_UNKNOWN, "--scoop-marks", "'%.40s' is no part of a scoop", given->text);
    return bd_accepts(err, "whole, half or quarter");
}

bd_status bd_scoop_check(const bd_knowledge *know, const bd_request *r, bd_error *err)
{
    const bd_value *weighs = bd_request_get(r, BD_OPT_SCOOP_WEIGHS);
    const bd_value *scoop = bd_request_get(r, BD_OPT_SCOOP);
    bd_scoop_weighing weighing;
    double volume_l, step;
    bd_status status = read_marks(know, r, &step, err);

    if (status == BD_OK && weighs != NULL) {
        status = bd_scoop_weighing_read(weighs->text, r->measures, &weighing, err);
        bd_error_at(err, "--scoop-weighs");
    }
    if (status == BD_OK && scoop != NULL) {
        status = bd_scoop_volume_read(scoop->text, r->measures, &volume_l, err);
        bd_error_at(err, "--scoop");
    }
    return status;
}

/* ---- what it holds -------------------------------------------------------- */

static double level_error(const bd_knowledge *know)
{
    return bd_catalogue_practice(know->catalogue, "level-error")->value.typical;
}

/* Scoops of an offer's product that were put on a scale: for this request, else in the file. */
typedef struct weighing {
    bd_scoop_weighing scoops; /* count 0: none were */
    double volume_l;          /* of one; 0: not said */
    const bd_own_scoop *own;  /* of the file; NULL: --scoop-weighs */
} weighing;

/* Labels are one when they declare the same, however they are written. */
static bool is_label(const char *text, const bd_label *label)
{
    bd_label own;

    if (bd_label_read(text, BD_CONVENTION_NONE, &own, NULL) != BD_OK || own.is_w_v != label->is_w_v)
        return false;
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        if (!(fabs(own.share[n] - label->share[n]) <= same_share))
            return false;
    return true;
}

static bool is_of(const bd_knowledge *know, const bd_own_scoop *scoop, const bd_offer *o)
{
    const bd_material *material = NULL;

    if (*scoop->material == '\0')
        return o->material == NULL && o->has_label && is_label(scoop->analysis, &o->label);
    return bd_catalogue_material(know->catalogue, scoop->material, &material, NULL) == BD_OK &&
           material == o->material;
}

static const bd_own_scoop *find_own(const bd_knowledge *know, const bd_offer *o)
{
    size_t count;
    const bd_own_scoop *scoops = bd_catalogue_scoops(know->catalogue, &count);

    for (size_t i = 0; i < count; i++)
        if (is_of(know, &scoops[i], o))
            return &scoops[i];
    return NULL;
}

static const char *place_of(const weighing *w)
{
    return w->own == NULL ? "--scoop-weighs" : w->own->place;
}

static const char *source_of(const weighing *w)
{
    return w->own == NULL ? "--scoop-weighs" : "own weighing, scoops file of --nutrients";
}

static bd_status find_weighing(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                               weighing *out, bd_error *err)
{
    const bd_value *weighs = bd_request_get(r, BD_OPT_SCOOP_WEIGHS);
    const bd_value *scoop = bd_request_get(r, BD_OPT_SCOOP);
    bd_status status;

    *out = (weighing){.own = weighs == NULL ? find_own(know, o) : NULL};
    if (out->own != NULL) {
        out->scoops = (bd_scoop_weighing){out->own->level_scoops, out->own->total_g};
        out->volume_l = out->own->volume_l;
    }
    if (weighs == NULL)
        return BD_OK;
    status = bd_scoop_weighing_read(weighs->text, r->measures, &out->scoops, err);
    bd_error_at(err, "--scoop-weighs");
    if (status == BD_OK && scoop != NULL) {
        status = bd_scoop_volume_read(scoop->text, r->measures, &out->volume_l, err);
        bd_error_at(err, "--scoop");
    }
    return status;
}

static bd_status weighed(const bd_knowledge *know, const weighing *w, const bd_offer *o,
                         double scale_step_g, bd_card *card, bd_scoop *out, bd_error *err)
{
    bd_status status = bd_scoop_by_weighing(w->scoops.count, w->scoops.total_g, scale_step_g,
                                            level_error(know), &out->content_g, err);

    bd_error_at(err, place_of(w));
    if (status != BD_OK)
        return status;
    out->kind = BD_SCOOP_WEIGHED;
    out->weighed = w->scoops.count;
    out->volume_ml = ML_PER_L * w->volume_l;
    if (w->own != NULL)
        bd_card_assume(card, "measure.own_scoop", W("assume.own_scoop"),
                       BD_ARGS(bd_name(w->own->name), bd_name(o->title), bd_count(w->scoops.count),
                               bd_amount(w->scoops.total_g, "g")),
                       &out->content_g, "g", source_of(w));
    if (w->scoops.count < ENOUGH_SCOOPS)
        bd_card_find(card, "measure.scoop", BD_NOTE, W("measure.weigh_more_scoops"),
                     BD_ARGS(bd_count(ENOUGH_SCOOPS), bd_count(w->scoops.count)),
                     "common practice, no source");
    return BD_OK;
}

/* ---- how densely it lies ---------------------------------------------------- */

static bd_status loose_by_weighing(const bd_knowledge *know, const bd_request *r, const weighing *w,
                                   bd_loose *out, bd_error *err)
{
    const bd_fact *step = bd_catalogue_practice(know->catalogue, "scale-step");
    double step_g = bd_request_number(r, BD_OPT_SCALE_STEP, step->value.typical);
    bd_status status =
        bd_bulk_by_weighing(w->scoops.count, w->scoops.total_g, step_g, level_error(know),
                            ML_PER_L * w->volume_l, &out->kg_per_l, err);

    bd_error_at(err, place_of(w));
    out->is_known = out->is_weighed = status == BD_OK;
    out->weighed = w->scoops.count;
    (void)snprintf(out->source, sizeof out->source, "%s", source_of(w));
    return status;
}

bd_status bd_loose_of(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                      bd_loose *out, bd_error *err)
{
    const bd_fact *granules = bd_catalogue_practice(know->catalogue, "granule-density");
    weighing w;
    bd_status status = find_weighing(know, r, o, &w, err);

    *out = (bd_loose){.is_known = false};
    if (status != BD_OK)
        return status;
    if (w.scoops.count > 0.0 && w.volume_l > 0.0)
        return loose_by_weighing(know, r, &w, out, err);
    if (w.scoops.count > 0.0)
        out->lacks_volume = place_of(&w);
    if (o->material == NULL) {
        out->is_known = true;
        out->kg_per_l = bd_range_scale(granules->value, 1.0 / G_PER_KG);
        (void)bd_cite_fact(granules, out->source);
    } else if (o->material->bulk_density_kg_per_l.is_known) {
        out->is_known = true;
        out->kg_per_l = o->material->bulk_density_kg_per_l.value;
        (void)bd_cite_fact(&o->material->bulk_density_kg_per_l, out->source);
    }
    return BD_OK;
}

static bool is_told(const bd_card *card, const char *id, const char *name)
{
    for (size_t i = 0; i < card->assumption_count; i++)
        if (strcmp(card->assumptions[i].id, id) == 0 &&
            strcmp(card->assumptions[i].line.args[0].text, name) == 0)
            return true;
    return false;
}

bool bd_loose_tell(const bd_loose *loose, const bd_offer *o, bd_card *card)
{
    static const char id[] = "measure.density";

    if (is_told(card, id, o->title))
        return false;
    bd_card_assume(card, id,
                   loose->is_weighed ? W("assume.weighed_density") : W("assume.bulk_density"),
                   BD_ARGS(bd_name(o->title), bd_count(loose->weighed)), &loose->kg_per_l, "kg/L",
                   loose->source);
    return true;
}

static bd_status by_volume(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                           bd_card *card, bd_scoop *out, bd_error *err)
{
    const bd_fact *spoon = bd_catalogue_practice(know->catalogue, "spoon-error");
    const bd_value *given = bd_request_get(r, BD_OPT_SCOOP);
    char source[BD_CITE_SIZE];
    double volume_l = 0.0;
    bd_loose loose;
    bd_status status = bd_scoop_volume_read(given->text, r->measures, &volume_l, err);

    if (status == BD_OK)
        status = bd_loose_of(know, r, o, &loose, err);
    if (status == BD_OK)
        status = bd_scoop_by_density(volume_l * ML_PER_L, loose.kg_per_l, level_error(know),
                                     &out->content_g, err);
    bd_error_at(err, "--scoop");
    if (status != BD_OK)
        return status;
    (void)bd_loose_tell(&loose, o, card);
    out->kind = BD_SCOOP_BY_VOLUME;
    out->volume_ml = ML_PER_L * volume_l;
    if (!loose.is_weighed)
        bd_card_find(card, "measure.scoop", BD_NOTE, W("measure.weigh_the_scoop"),
                     BD_ARGS(bd_count(ENOUGH_SCOOPS), bd_amount(100.0 * spoon->value.typical, "%")),
                     bd_cite_fact(spoon, source));
    return BD_OK;
}

bool bd_is_for_traces(const bd_offer *o)
{
    const bd_material *m = o->material;

    if (m == NULL)
        return o->product.share[BD_B].high > boron_of_a_compound;
    return bd_material_has(m, BD_TRAIT_BORON) || bd_material_has(m, BD_TRAIT_METAL);
}

/* Why a scoop is no tool here; NULL when it is one. */
static const char *refusal(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                           bool is_delicate, bool is_weighed)
{
    bd_loose loose;

    if (o->product.is_liquid)
        return W("measure.no_scoop_of_liquid");
    if (bd_is_for_traces(o))
        return W("measure.never_spoon_traces");
    if (is_weighed)
        return NULL;
    if (bd_loose_of(know, r, o, &loose, NULL) == BD_OK && !loose.is_known)
        return W("measure.no_loose_weight");
    return is_delicate ? W("measure.no_spoon_for_leaves") : NULL;
}

bd_status bd_scoop_of(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                      bool is_delicate, double scale_step_g, bd_card *card, bd_scoop *out,
                      bd_error *err)
{
    bool has_volume = bd_request_get(r, BD_OPT_SCOOP) != NULL, is_weighed;
    const char *why;
    weighing w;
    bd_status status = find_weighing(know, r, o, &w, err);

    *out = (bd_scoop){.kind = BD_SCOOP_NONE, .step = 1.0};
    /* a spoon of the command line goes before the scoop of the file */
    is_weighed = w.scoops.count > 0.0 && !(w.own != NULL && has_volume);
    if (status != BD_OK || (!is_weighed && !has_volume))
        return status;
    status = read_marks(know, r, &out->step, err);
    why = refusal(know, r, o, is_delicate, is_weighed);
    if (status != BD_OK || why != NULL) {
        out->kind = BD_SCOOP_REFUSED;
        if (why != NULL)
            bd_card_find(card, "measure.scoop", BD_CARE, why, BD_ARGS(bd_name(o->title)),
                         "common practice, no source");
        return status;
    }
    return is_weighed ? weighed(know, &w, o, scale_step_g, card, out, err)
                      : by_volume(know, r, o, card, out, err);
}
