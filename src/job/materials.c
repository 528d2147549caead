/*
 * materials.c - what the program knows: lists, one material, crops, media, parts, sources.
 */
#include <stdio.h>
#include <string.h>

#include "job/job.h"
#include "model/oxide.h"
#include "nutrients/cite.h"

static const bd_nutrient_form n_form = {BD_N, false}, p2o5_form = {BD_P, true},
                              k2o_form = {BD_K, true};

static void number_or_empty(bd_card *card, bd_table *t, const bd_material *m, bd_nutrient_form form)
{
    const bd_fact *fact = &m->analysis[form.nutrient];

    if (fact->is_known)
        bd_table_number(card, t,
                        (m->is_per_litre ? 1.0 : 100.0) * bd_as_form(form, fact->value.typical));
    else
        bd_table_empty(card, t);
}

static void list_materials(const bd_knowledge *know, bd_card *card)
{
    size_t count;
    const bd_material *m = bd_catalogue_materials(know->catalogue, &count);
    bd_table *t;

    bd_card_title(card, W("materials.title"), BD_ARGS(bd_count((double)count)));
    t = bd_card_table(card, "materials", W("table.materials"), BD_NO_ARGS);
    bd_table_column(card, t, "name", W("column.name"), "");
    bd_table_column(card, t, "N", W("column.n"), "%");
    bd_table_column(card, t, "P2O5", W("column.p2o5"), "%");
    bd_table_column(card, t, "K2O", W("column.k2o"), "%");
    bd_table_column(card, t, "basis", W("column.basis_of"), "");
    for (size_t i = 0; i < count; i++) {
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(m[i].name)));
        number_or_empty(card, t, &m[i], n_form);
        number_or_empty(card, t, &m[i], p2o5_form);
        number_or_empty(card, t, &m[i], k2o_form);
        bd_table_line(card, t,
                      m[i].is_per_litre ? W("materials.per_litre") : W("materials.by_mass"),
                      BD_NO_ARGS);
    }
}

static void show_analysis(bd_card *card, const bd_material *m)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        bd_nutrient n = (bd_nutrient)i;
        const bd_fact *fact = &m->analysis[n];
        char id[48];
        double scale = m->is_per_litre ? 1.0 : 100.0;
        const char *unit = m->is_per_litre ? "g/L" : "%";

        if (!fact->is_known)
            continue;
        (void)snprintf(id, sizeof id, "label.%s", bd_nutrient_symbol(n));
        bd_card_figure(card, id, W("figure.analysis"), BD_ARGS(bd_name(bd_nutrient_symbol(n))),
                       bd_range_scale(fact->value, scale), unit);
        if (bd_nutrient_oxide(n)[0] != '\0') {
            bd_nutrient_form oxide = {n, true};

            (void)snprintf(id, sizeof id, "label.%s", bd_nutrient_oxide(n));
            bd_card_figure(card, id, W("figure.analysis"), BD_ARGS(bd_name(bd_nutrient_oxide(n))),
                           bd_range_scale(fact->value, scale * bd_as_form(oxide, 1.0)), unit);
        }
    }
}

/* Where each figure of the analysis comes from: its ends may be of another trust than its middle.
 */
static void show_analysis_sources(bd_card *card, const bd_material *m)
{
    bd_table *t = bd_card_table(card, "analysis", W("table.analysis"), BD_NO_ARGS);
    char source[BD_CITE_SIZE];

    bd_table_column(card, t, "nutrient", W("column.nutrient"), "");
    bd_table_column(card, t, "source", W("column.source"), "");
    bd_table_column(card, t, "condition", W("column.condition"), "");
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        const bd_fact *fact = &m->analysis[i];

        if (!fact->is_known)
            continue;
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(bd_nutrient_symbol((bd_nutrient)i))));
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(bd_cite_fact(fact, source))));
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(fact->condition)));
    }
}

/* The unit of a limit's value. */
static const char *unit_of(bd_limit_of of)
{
    static const char *const units[BD_LIMIT_OF_COUNT] = {
        [BD_LIMIT_PRODUCT_STRENGTH] = "g/L",
        [BD_LIMIT_NUTRIENT_STRENGTH] = "g/L",
        [BD_LIMIT_SALTS_STRENGTH] = "g/L",
        [BD_LIMIT_EC] = "dS/m",
        [BD_LIMIT_PRODUCT_PER_AREA] = "g/m2",
        [BD_LIMIT_NUTRIENT_PER_AREA] = "g/m2",
        [BD_LIMIT_PRODUCT_PER_PLANT] = "g/plant",
        [BD_LIMIT_PRODUCT_PER_ROW] = "g/m",
        [BD_LIMIT_NUTRIENT_PER_ROW] = "g/m",
        [BD_LIMIT_N_PLUS_K2O_PER_ROW] = "g/m",
        [BD_LIMIT_PRODUCT_PER_AREA_YEAR] = "g/m2 a year",
        [BD_LIMIT_SPRAYS_PER_SEASON] = "sprays a season",
        [BD_LIMIT_DAYS_BETWEEN] = "days apart",
        [BD_LIMIT_SPRAY_VOLUME] = "L/m2",
        [BD_LIMIT_VOLUME_PER_AREA] = "L/m2",
    };

    return units[of];
}

static void show_limits(const bd_knowledge *know, bd_card *card, const bd_material *m)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(know->catalogue, &count);
    bd_table *t = NULL;
    char source[BD_CITE_SIZE];

    for (size_t i = 0; i < count; i++) {
        const bd_limit *l = &limits[i];

        if (strcmp(l->material, m->name) != 0)
            continue;
        if (t == NULL) {
            t = bd_card_table(card, "limits", W("table.limits"), BD_NO_ARGS);
            bd_table_column(card, t, "use", W("column.use"), "");
            bd_table_column(card, t, "group", W("column.group"), "");
            bd_table_column(card, t, "usual", W("column.usual"), "");
            bd_table_column(card, t, "most", W("column.most"), "");
            bd_table_column(card, t, "unit", W("column.unit"), "");
            bd_table_column(card, t, "source", W("column.source"), "");
        }
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(bd_use_words(l->use))));
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(l->crop_group)));
        bd_table_number(card, t, l->value.value.typical);
        bd_table_number(card, t, l->value.value.high);
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(unit_of(l->of))));
        bd_table_line(card, t, W("plain"),
                      BD_ARGS(bd_name(bd_cite(l->value.source, l->value.trust_high, source))));
    }
}

static void show_solubility(const bd_knowledge *know, bd_card *card, const bd_material *m)
{
    size_t count;
    const bd_solubility *curves = bd_catalogue_solubilities(know->catalogue, &count);
    bd_table *t = NULL;
    char source[BD_CITE_SIZE];

    for (size_t i = 0; i < count; i++) {
        if (strcmp(curves[i].material, m->name) != 0)
            continue;
        if (t == NULL) {
            t = bd_card_table(card, "solubility", W("table.solubility"), BD_NO_ARGS);
            bd_table_column(card, t, "temperature", W("column.temperature"), "degC");
            bd_table_column(card, t, "solubility", W("column.solubility"), "g/100 g water");
            bd_table_column(card, t, "source", W("column.source"), "");
        }
        for (size_t k = 0; k < curves[i].point_count; k++) {
            bd_table_number(card, t, curves[i].points[k].temperature_c);
            bd_table_number(card, t, curves[i].points[k].g_per_100g_water);
            bd_table_line(card, t, W("plain"),
                          BD_ARGS(bd_name(bd_cite(curves[i].source, curves[i].trust, source))));
        }
    }
}

static bd_status show_material(const bd_knowledge *know, const char *name, bd_card *card,
                               bd_error *err)
{
    const bd_material *m;
    bd_status status = bd_catalogue_material(know->catalogue, name, &m, err);
    char source[BD_CITE_SIZE];

    if (status != BD_OK) {
        bd_error_at(err, "materials");
        return status;
    }
    bd_card_title(card, m->formula[0] == '\0' ? W("materials.one") : W("materials.one_formula"),
                  BD_ARGS(bd_name(m->title), bd_name(m->formula), bd_name(m->grade)));
    show_analysis(card, m);
    if (m->note[0] != '\0')
        bd_card_find(card, "material.note", BD_NOTE, W("plain"), BD_ARGS(bd_name(m->note)), "");
    for (size_t i = 0; i < m->hazard_count; i++) {
        char key[24] = "ghs.";

        strncat(key, m->hazards[i].code, sizeof key - sizeof "ghs.");
        bd_card_caution(card, m->hazards[i].code, key, BD_ARGS(bd_name(m->title)),
                        bd_cite(m->hazards[i].source, m->hazards[i].trust, source));
    }
    show_analysis_sources(card, m);
    show_limits(know, card, m);
    show_solubility(know, card, m);
    return BD_OK;
}

static void list_crops(const bd_knowledge *know, bd_card *card)
{
    size_t count;
    const bd_crop *crops = bd_catalogue_crops(know->catalogue, &count);
    char source[BD_CITE_SIZE];
    bd_table *t;

    bd_card_title(card, W("materials.crops"), BD_ARGS(bd_count((double)count)));
    t = bd_card_table(card, "crops", W("table.crops"), BD_NO_ARGS);
    bd_table_column(card, t, "name", W("column.name"), "");
    bd_table_column(card, t, "group", W("column.group"), "");
    bd_table_column(card, t, "threshold", W("column.threshold"), "dS/m");
    bd_table_column(card, t, "slope", W("column.slope"), "% per dS/m");
    bd_table_column(card, t, "source", W("column.source"), "");
    for (size_t i = 0; i < count; i++) {
        const bd_crop *c = &crops[i];
        bool has_line = c->tolerance_count > 0 && c->tolerances[0].has_threshold;

        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(c->name)));
        bd_table_line(card, t, W("plain"),
                      BD_ARGS(bd_name(c->groups[0] == NULL ? "" : c->groups[0])));
        if (has_line) {
            bd_table_number(card, t, c->tolerances[0].threshold_ds_per_m);
            bd_table_number(card, t, 100.0 * c->tolerances[0].slope_per_ds_per_m);
            bd_table_line(
                card, t, W("plain"),
                BD_ARGS(bd_name(bd_cite(c->tolerances[0].source, c->tolerances[0].trust, source))));
        } else {
            bd_table_empty(card, t);
            bd_table_empty(card, t);
            bd_table_empty(card, t);
        }
    }
}

static void list_media(const bd_knowledge *know, bd_card *card)
{
    size_t count;
    const bd_medium *media = bd_media_list(know->media, &count);
    char source[BD_CITE_SIZE];
    bd_table *t;

    bd_card_title(card, W("materials.media"), BD_ARGS(bd_count((double)count)));
    t = bd_card_table(card, "media", W("table.media"), BD_NO_ARGS);
    bd_table_column(card, t, "name", W("column.name"), "");
    bd_table_column(card, t, "bulk_density", W("column.bulk_density"), "kg/L");
    bd_table_column(card, t, "container_capacity", W("column.container_capacity"), "%");
    bd_table_column(card, t, "total_pores", W("column.total_pores"), "%");
    bd_table_column(card, t, "source", W("column.source"), "");
    for (size_t i = 0; i < count; i++) {
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(media[i].name)));
        bd_table_number(card, t, media[i].bulk_density_kg_per_l.value.typical);
        bd_table_number(card, t, 100.0 * media[i].container_capacity.value.typical);
        bd_table_number(card, t, 100.0 * media[i].total_pores.value.typical);
        bd_table_line(card, t, W("plain"),
                      BD_ARGS(bd_name(bd_cite_fact(&media[i].bulk_density_kg_per_l, source))));
    }
}

static void put_fact(bd_card *card, bd_table *t, const bd_fact *fact, double scale)
{
    if (fact->is_known)
        bd_table_number(card, t, scale * fact->value.typical);
    else
        bd_table_empty(card, t);
}

/* Its source is the one to show: of what the part feeds, else of its weight. */
static const bd_fact *main_fact_of(const bd_part *part)
{
    for (size_t i = 0; i < sizeof part->content / sizeof part->content[0]; i++)
        if (part->content[i].is_known)
            return &part->content[i];
    return &part->moist_density_kg_per_l;
}

static void list_parts(const bd_knowledge *know, bd_card *card)
{
    enum { FORMS = 3 };
    size_t count;
    const bd_part *parts = bd_parts_list(know->parts, &count);
    char source[BD_CITE_SIZE];
    bd_table *t;

    bd_card_title(card, W("materials.parts"), BD_ARGS(bd_count((double)count)));
    t = bd_card_table(card, "parts", W("table.parts_known"), BD_NO_ARGS);
    bd_table_column(card, t, "name", W("column.name"), "");
    bd_table_column(card, t, "moist_density", W("column.moist_density"), "kg/L");
    bd_table_column(card, t, "N", W("column.n"), "%");
    bd_table_column(card, t, "P2O5", W("column.p2o5"), "%");
    bd_table_column(card, t, "K2O", W("column.k2o"), "%");
    bd_table_column(card, t, "source", W("column.source"), "");
    for (size_t i = 0; i < count; i++) {
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(parts[i].name)));
        put_fact(card, t, &parts[i].moist_density_kg_per_l, 1.0);
        for (size_t k = 0; k < FORMS; k++)
            put_fact(card, t, &parts[i].content[k], 100.0);
        bd_table_line(card, t, W("plain"),
                      BD_ARGS(bd_name(bd_cite_fact(main_fact_of(&parts[i]), source))));
    }
}

static bd_status show_source(const bd_knowledge *know, const char *key, bd_card *card,
                             bd_error *err)
{
    const bd_source *s = bd_catalogue_source(know->catalogue, key);

    if (s == NULL) {
        (void)bd_fail(err, BD_UNKNOWN, "materials source", "'%.40s' is not a source key", key);
        return bd_accepts(err, "a key as cards print it, such as CRC-SOL");
    }
    bd_card_title(card, W("materials.source"), BD_ARGS(bd_name(s->key)));
    bd_card_find(card, "source.title", BD_NOTE, W("plain"), BD_ARGS(bd_name(s->title)), s->key);
    bd_card_find(card, "source.seen", BD_NOTE,
                 s->seen == NULL || s->seen[0] == '\0' ? W("materials.source_unseen")
                                                       : W("materials.source_seen"),
                 BD_ARGS(bd_name(s->seen == NULL ? "" : s->seen)), s->key);
    return BD_OK;
}

bd_status bd_job_materials(const bd_knowledge *know, const bd_request *request, bd_card *card,
                           bd_error *err)
{
    const char *what = request->positional_count == 0 ? "" : request->positionals[0];

    if (request->positional_count > (strcmp(what, "source") == 0 ? 2u : 1u)) {
        (void)bd_fail(err, BD_SYNTAX, "materials", "'%.40s' is one word too many",
                      request->positionals[1]);
        return bd_accepts(
            err, "materials, materials NAME, materials crops, materials media, materials parts, "
                 "materials source KEY");
    }
    if (what[0] == '\0')
        list_materials(know, card);
    else if (strcmp(what, "crops") == 0)
        list_crops(know, card);
    else if (strcmp(what, "media") == 0)
        list_media(know, card);
    else if (strcmp(what, "parts") == 0)
        list_parts(know, card);
    else if (strcmp(what, "source") == 0)
        return show_source(know, request->positional_count == 2 ? request->positionals[1] : "",
                           card, err);
    else
        return show_material(know, what, card, err);
    return BD_OK;
}
