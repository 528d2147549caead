#include "job/scoop.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "model/measure.h"
#include "nutrients/cite.h"

#define ML_PER_L 1000.0
#define G_PER_KG 1000.0

enum { LONGEST = 80, ENOUGH_SCOOPS = 10 };

static const double most_scoops = 1000.0; /* more is a slip of the keyboard */

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

static bd_status weighed(const bd_knowledge *know, const bd_request *r, double scale_step_g,
                         bd_card *card, bd_scoop *out, bd_error *err)
{
    const bd_value *given = bd_request_get(r, BD_OPT_SCOOP_WEIGHS);
    bd_scoop_weighing w = {0};
    bd_status status = bd_scoop_weighing_read(given->text, r->measures, &w, err);

    if (status == BD_OK)
        status = bd_scoop_by_weighing(w.count, w.total_g, scale_step_g, level_error(know),
                                      &out->content_g, err);
    bd_error_at(err, "--scoop-weighs");
    if (status != BD_OK)
        return status;
    out->kind = BD_SCOOP_WEIGHED;
    out->weighed = w.count;
    if (w.count < ENOUGH_SCOOPS)
        bd_card_find(card, "measure.scoop", BD_NOTE, W("measure.weigh_more_scoops"),
                     BD_ARGS(bd_count(ENOUGH_SCOOPS), bd_count(w.count)),
                     "common practice, no source");
    return BD_OK;
}

/* Loose weight of the material, or of granules in general with the trade's band. */
static bd_range bulk_density(const bd_knowledge *know, const bd_offer *o, bd_card *card)
{
    bool is_known = o->material != NULL && o->material->bulk_density_kg_per_l.is_known;
    const bd_fact *fact = is_known ? &o->material->bulk_density_kg_per_l
                                   : bd_catalogue_practice(know->catalogue, "granule-density");
    bd_range kg_per_l = is_known ? fact->value : bd_range_scale(fact->value, 1.0 / G_PER_KG);
    char source[BD_CITE_SIZE];

    bd_card_assume(card, "measure.density", W("assume.bulk_density"), BD_ARGS(bd_name(o->title)),
                   &kg_per_l, "kg/L", bd_cite_fact(fact, source));
    return kg_per_l;
}

static bd_status by_volume(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                           bd_card *card, bd_scoop *out, bd_error *err)
{
    const bd_fact *spoon = bd_catalogue_practice(know->catalogue, "spoon-error");
    const bd_value *given = bd_request_get(r, BD_OPT_SCOOP);
    char source[BD_CITE_SIZE];
    double volume_l = 0.0;
    bd_status status = bd_scoop_volume_read(given->text, r->measures, &volume_l, err);

    if (status == BD_OK)
        status = bd_scoop_by_density(volume_l * ML_PER_L, bulk_density(know, o, card),
                                     level_error(know), &out->content_g, err);
    bd_error_at(err, "--scoop");
    if (status != BD_OK)
        return status;
    out->kind = BD_SCOOP_BY_VOLUME;
    bd_card_find(card, "measure.scoop", BD_NOTE, W("measure.weigh_the_scoop"),
                 BD_ARGS(bd_count(ENOUGH_SCOOPS), bd_amount(100.0 * spoon->value.typical, "%")),
                 bd_cite_fact(spoon, source));
    return BD_OK;
}

/* Why a scoop is no tool here; NULL when it is one. */
static const char *refusal(const bd_offer *o, bool is_delicate, bool is_weighed)
{
    const bd_material *m = o->material;

    if (m != NULL && (bd_material_has(m, BD_TRAIT_BORON) || bd_material_has(m, BD_TRAIT_METAL)))
        return W("measure.never_spoon_traces");
    if (o->product.is_liquid)
        return W("measure.no_scoop_of_liquid");
    if (is_weighed)
        return NULL;
    if (m != NULL && !m->bulk_density_kg_per_l.is_known)
        return W("measure.no_loose_weight");
    return is_delicate ? W("measure.no_spoon_for_leaves") : NULL;
}

bd_status bd_scoop_of(const bd_knowledge *know, const bd_request *r, const bd_offer *o,
                      bool is_delicate, double scale_step_g, bd_card *card, bd_scoop *out,
                      bd_error *err)
{
    bool is_weighed = bd_request_get(r, BD_OPT_SCOOP_WEIGHS) != NULL;
    const char *why;
    bd_status status;

    *out = (bd_scoop){.kind = BD_SCOOP_NONE, .step = 1.0};
    if (!is_weighed && bd_request_get(r, BD_OPT_SCOOP) == NULL)
        return BD_OK;
    status = read_marks(know, r, &out->step, err);
    why = refusal(o, is_delicate, is_weighed);
    if (status != BD_OK || why != NULL) {
        out->kind = BD_SCOOP_REFUSED;
        if (why != NULL)
            bd_card_find(card, "measure.scoop", BD_CARE, why, BD_ARGS(bd_name(o->title)),
                         "common practice, no source");
        return status;
    }
    return is_weighed ? weighed(know, r, scale_step_g, card, out, err)
                      : by_volume(know, r, o, card, out, err);
}
