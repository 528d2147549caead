#include "nutrients/chemistry.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "nutrients/builtin.h"
#include "nutrients/formula.h"
#include "nutrients/reader.h"
#include "nutrients/store.h"

enum { KEPT_FILES = 64, TEXT_OF_NAMES = 200, LONGEST_ION = 32 };

/* A water analysis whose charges differ by more than this share lacks an ion. */
static const double most_imbalance = 0.1;
static const double milli_per_one = 1000.0;

struct bd_chemistry_files {
    bd_pool pool;
    struct json_t *json[KEPT_FILES];
    size_t json_count;
    bd_source *sources;
    size_t source_count, source_capacity;
};

static const char *const component_names[BD_COMPONENT_COUNT] = {
#define BD_COMPONENT(id, name, words) name,
#include "nutrients/component.def"
#undef BD_COMPONENT
};

/* What a record is read into besides itself. */
typedef struct reading {
    bd_chemistry *chemistry;
    void *record;
} reading;

const char *bd_component_name(bd_component component)
{
    return component_names[component];
}

/* ---- figures ---- */

/* {"value": 2.3, "unit": "log10", "source": "KEY", "status": "published"}, of either sign. */
typedef struct figure {
    double value;
    const char *source;
    bd_trust trust;
} figure;

static figure read_figure(bd_node *at, const char *key, const char *unit)
{
    figure f = {0.0, "", BD_TRUST_PRACTICE};
    bd_node node;

    if (!bd_node_get(at, key, &node))
        return f;
    f.value = bd_node_number(&node, "value");
    f.trust = bd_node_trust(&node, "status");
    f.source = bd_node_source(&node, "source", f.trust == BD_TRUST_PRACTICE);
    if (bd_node_ok(&node) && strcmp(bd_node_text(&node, "unit"), unit) != 0)
        (void)bd_node_fail(&node, "unit", BD_DIMENSION, "the unit of this is '%s'", unit);
    (void)bd_node_text_or(&node, "condition", "");
    (void)bd_node_text_or(&node, "note", "");
    bd_node_end(&node);
    return f;
}

static figure read_positive(bd_node *at, const char *key, const char *unit)
{
    figure f = read_figure(at, key, unit);

    if (!(f.value >= 0.0))
        (void)bd_node_fail(at, key, BD_RANGE, "a number below zero");
    return f;
}

static void read_terms(bd_node *at, bd_log_k *k)
{
    bd_node list;

    if (!bd_node_get(at, "analytic", &list) || !bd_node_array(&list))
        return;
    if (bd_node_count(&list) != BD_ANALYTIC_TERMS)
        (void)bd_node_fail(&list, NULL, BD_SYNTAX, "not an array of %d numbers", BD_ANALYTIC_TERMS);
    for (size_t i = 0; i < BD_ANALYTIC_TERMS && i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        k->terms[i] = bd_node_as_number(&item);
    }
    k->has_terms = true;
}

static bd_log_k read_log_k(bd_node *at)
{
    figure value = read_figure(at, "log_k", "log10");
    bd_log_k k = {.at_25c = value.value, .source = value.source, .trust = value.trust};

    if (!bd_node_has(at, "log_k"))
        (void)bd_node_fail(at, NULL, BD_MISSING, "'log_k' is missing");
    k.enthalpy_kj_per_mol = read_figure(at, "enthalpy", "kJ/mol").value;
    read_terms(at, &k);
    return k;
}

/* ---- what things are made of ---- */

typedef struct parts_reader {
    bd_part *parts;
    size_t count, room;
} parts_reader;

static void read_part(bd_node *member, void *to)
{
    parts_reader *r = to;
    double count = bd_node_as_number(member);

    if (!(count > 0.0) || r->count == r->room) {
        (void)bd_node_fail(member, NULL, BD_RANGE, "a count above 0 of at most %zu components",
                           r->room);
        return;
    }
    for (int c = 0; c < BD_COMPONENT_COUNT; c++) {
        if (strcmp(component_names[c], member->key) == 0) {
            r->parts[r->count++] = (bd_part){(bd_component)c, count};
            return;
        }
    }
    (void)bd_node_fail(member, NULL, BD_UNKNOWN, "no component of this name");
}

static size_t read_parts(bd_node *at, bd_part *parts, size_t room)
{
    parts_reader r = {parts, 0, room};
    bd_node made_of;

    if (bd_node_get(at, "made_of", &made_of))
        bd_node_each(&made_of, read_part, &r);
    return r.count;
}

/* ---- species ---- */

static void read_usual_form(bd_node *at, bd_component_size *size)
{
    bd_formula formula;

    size->volume_cm3_per_mol = read_figure(at, "volume", "cm3/mol").value;
    if (bd_node_ok(at) &&
        bd_formula_read(bd_node_text(at, "formula"), &formula, at->load->err) == BD_OK)
        size->g_per_mol = formula.g_per_mol;
    else
        (void)bd_node_fail(at, "formula", BD_SYNTAX, "not a formula");
}

static void read_transport(bd_node *at, bd_species *s)
{
    s->conductivity_s_cm2_per_mol = read_positive(at, "conductivity", "S cm2/mol").value;
    s->mobility_k = read_figure(at, "mobility_constant", "K").value;
    s->size_angstrom = read_positive(at, "size", "angstrom").value;
    s->viscosity_l_per_mol = read_figure(at, "viscosity", "L/mol").value;
    s->viscosity_slope_l_per_mol_k = read_figure(at, "viscosity_slope", "L/mol/K").value;
    s->counts_as_free_ions = bd_node_flag(at, "counts_as_free_ions");
    if (s->conductivity_s_cm2_per_mol > 0.0 && !(s->size_angstrom > 0.0))
        (void)bd_node_fail(at, NULL, BD_MISSING, "an ion that conducts needs its 'size'");
}

static void read_species(bd_node *at, void *to)
{
    reading *r = to;
    bd_species *s = r->record;

    s->name = bd_node_text(at, "name");
    s->charge = (int)lround(bd_node_number(at, "charge"));
    s->part_count = read_parts(at, s->parts, BD_PARTS_MAX);
    s->is_master = bd_node_flag(at, "is_master");
    read_transport(at, s);
    if (s->is_master && s->part_count == 1) {
        read_usual_form(at, &r->chemistry->size[s->parts[0].component]);
        return;
    }
    s->protons = bd_node_number(at, "protons");
    s->log_k = read_log_k(at);
}

static void check_new_species(const bd_node *at, const bd_chemistry *chemistry)
{
    const bd_species *s = &chemistry->species[chemistry->species_count];

    for (size_t i = 0; i < chemistry->species_count; i++)
        if (strcmp(chemistry->species[i].name, s->name) == 0)
            (void)bd_node_fail(at, "name", BD_CONFLICT, "'%.40s' is there twice", s->name);
    if (s->is_master && s->part_count != 1)
        (void)bd_node_fail(at, NULL, BD_CONFLICT, "a master species stands for one component");
}

static void read_species_list(bd_node *root, bd_chemistry *chemistry)
{
    bd_node list;

    if (!bd_node_get(root, "species", &list))
        (void)bd_node_fail(root, NULL, BD_MISSING, "'species' is missing");
    else if (bd_node_array(&list) && bd_node_count(&list) > BD_SPECIES_MAX)
        (void)bd_node_fail(&list, NULL, BD_RANGE, "more than %d species", BD_SPECIES_MAX);
    for (size_t i = 0; bd_node_ok(root) && i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);
        reading r = {chemistry, &chemistry->species[i]};

        bd_node_record(&item, read_species, &r);
        check_new_species(&item, chemistry);
        chemistry->species_count++;
    }
}

static size_t find_species(const bd_chemistry *chemistry, const char *name)
{
    size_t i = 0;

    while (i < chemistry->species_count && strcmp(chemistry->species[i].name, name) != 0)
        i++;
    return i;
}

static size_t need_species(const bd_node *at, const bd_chemistry *chemistry, const char *name)
{
    size_t i = find_species(chemistry, name);

    if (i == chemistry->species_count)
        (void)bd_node_fail(at, NULL, BD_UNKNOWN, "no species '%.40s'", name);
    return i;
}

static void find_masters(const bd_node *root, bd_chemistry *chemistry)
{
    bool has[BD_COMPONENT_COUNT] = {false};

    for (size_t i = 0; bd_node_ok(root) && i < chemistry->species_count; i++) {
        const bd_species *s = &chemistry->species[i];

        if (!s->is_master)
            continue;
        chemistry->master[s->parts[0].component] = i;
        has[s->parts[0].component] = true;
    }
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        if (!has[c])
            (void)bd_node_fail(root, "species", BD_MISSING, "no master species of %s",
                               component_names[c]);
    chemistry->hydrogen = need_species(root, chemistry, "H+");
    chemistry->hydroxide = need_species(root, chemistry, "OH-");
    chemistry->carbon_dioxide = need_species(root, chemistry, "CO2");
}

/* Charge of a species from what it is made of: what the solver's balance rests on. */
static int charge_of_parts(const bd_chemistry *chemistry, const bd_part *parts, size_t count,
                           double protons)
{
    double charge = protons;

    for (size_t i = 0; i < count; i++)
        charge += parts[i].count *
                  chemistry->species[chemistry->master[parts[i].component]].charge;
    return (int)lround(charge);
}

static void check_charges(const bd_node *root, const bd_chemistry *chemistry)
{
    for (size_t i = 0; bd_node_ok(root) && i < chemistry->species_count; i++) {
        const bd_species *s = &chemistry->species[i];
        int made = charge_of_parts(chemistry, s->parts, s->part_count, s->protons);

        if (made != s->charge)
            (void)bd_node_fail(root, "species", BD_CONFLICT, "'%.40s' has charge %d, its parts %d",
                               s->name, s->charge, made);
    }
}

/* The particle without partner that holds so many protons on one part: HPO4-2 for KHPO4-. */
static size_t find_form(const bd_chemistry *chemistry, const bd_part *part, double protons)
{
    for (size_t i = 0; i < chemistry->species_count; i++) {
        const bd_species *s = &chemistry->species[i];

        if (s->part_count == 1 && s->parts[0].component == part->component &&
            fabs(s->protons - protons) < 0.5)
            return i;
    }
    return chemistry->species_count;
}

/* A pair falls apart into the master of its first part and the second with all protons. */
static void find_free_ions(const bd_node *root, bd_chemistry *chemistry)
{
    for (size_t i = 0; bd_node_ok(root) && i < chemistry->species_count; i++) {
        bd_species *s = &chemistry->species[i];

        if (s->part_count != BD_PARTS_MAX)
            continue;
        s->free_ions[0] = chemistry->master[s->parts[0].component];
        s->free_ions[1] = find_form(chemistry, &s->parts[1], s->protons);
        if (s->free_ions[1] == chemistry->species_count)
            (void)bd_node_fail(root, "species", BD_CONFLICT, "'%.40s' does not part into two ions",
                               s->name);
    }
}

/* ---- pair conductivity, Pitzer, air ---- */

static void read_pair_point(bd_node *at, void *to)
{
    reading *r = to;
    bd_pair_point *p = r->record;

    p->species = need_species(at, r->chemistry, bd_node_text(at, "pair"));
    p->temperature_c = bd_node_number(at, "temperature_c");
    p->ionic_strength_mol_per_l = bd_node_number(at, "ionic_strength_mol_per_l");
    p->s_cm2_per_mol = read_figure(at, "conductivity", "S cm2/mol").value;
}

static void read_pitzer(bd_node *at, void *to)
{
    reading *r = to;
    bd_pitzer *p = r->record;

    p->cation = need_species(at, r->chemistry, bd_node_text(at, "cation"));
    p->anion = need_species(at, r->chemistry, bd_node_text(at, "anion"));
    p->beta0 = bd_node_number(at, "b0");
    p->beta1 = bd_node_number(at, "b1");
    p->beta2 = bd_node_number(at, "b2");
    p->c_phi = bd_node_number(at, "c");
    if (bd_node_ok(at) && strcmp(bd_node_text(at, "unit"), "kg/mol") != 0)
        (void)bd_node_fail(at, "unit", BD_DIMENSION, "the unit of these is 'kg/mol'");
    (void)bd_node_source(at, "source", bd_node_trust(at, "status") == BD_TRUST_PRACTICE);
    (void)bd_node_text_or(at, "note", "");
}

/* The records of a list that need the chemistry to be read; NULL when it is empty or failed. */
static void *read_list(bd_node *root, const char *key, bd_chemistry *chemistry, size_t size,
                       void (*read)(bd_node *at, void *to), size_t *count)
{
    bd_node list;
    unsigned char *records;

    *count = 0;
    if (!bd_node_get(root, key, &list) || !bd_node_array(&list) || bd_node_count(&list) == 0)
        return NULL;
    records = bd_pool_get(root->load->pool, bd_node_count(&list) * size);
    if (records == NULL) {
        (void)bd_node_fail(&list, NULL, BD_MEMORY, "no memory left for this list");
        return NULL;
    }
    for (size_t i = 0; i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);
        reading r = {chemistry, records + i * size};

        bd_node_record(&item, read, &r);
        *count += bd_node_ok(root) ? 1 : 0;
    }
    return records;
}

static void check_pair_points(const bd_node *root, const bd_chemistry *chemistry)
{
    for (size_t i = 1; i < chemistry->pair_point_count; i++) {
        const bd_pair_point *a = &chemistry->pair_points[i - 1], *b = a + 1;
        bool same_curve = a->species == b->species && !(a->temperature_c < b->temperature_c);

        if (same_curve && !(a->ionic_strength_mol_per_l < b->ionic_strength_mol_per_l))
            (void)bd_node_fail(root, "pair_conductivity", BD_RANGE,
                               "points of one pair and temperature do not rise, at %zu", i);
    }
}

static void read_air(bd_node *root, bd_chemistry *chemistry)
{
    bd_node air, henry;

    if (!bd_node_get(root, "air", &air) || !bd_node_get(&air, "henry", &henry)) {
        (void)bd_node_fail(root, NULL, BD_MISSING, "'air' with 'henry' is missing");
        return;
    }
    chemistry->henry = read_log_k(&henry);
    chemistry->log_pco2_atm = read_figure(&air, "log_pco2", "log10 atm").value;
    bd_node_end(&henry);
    bd_node_end(&air);
}

static void read_species_file(bd_node *root, bd_chemistry *chemistry)
{
    (void)bd_node_text_or(root, "note", "");
    read_species_list(root, chemistry);
    find_masters(root, chemistry);
    check_charges(root, chemistry);
    find_free_ions(root, chemistry);
    read_air(root, chemistry);
    chemistry->pair_points = read_list(root, "pair_conductivity", chemistry, sizeof(bd_pair_point),
                                       read_pair_point, &chemistry->pair_point_count);
    check_pair_points(root, chemistry);
    chemistry->pitzer = read_list(root, "osmotic", chemistry, sizeof(bd_pitzer), read_pitzer,
                                  &chemistry->pitzer_count);
}

/* ---- minerals ---- */

static void read_mineral(bd_node *at, void *to)
{
    reading *r = to;
    bd_mineral *m = r->record;
    bd_formula formula;

    m->name = bd_node_name(at, "name");
    m->title = bd_node_text(at, "title");
    m->formula = bd_node_text(at, "formula");
    m->part_count = read_parts(at, m->parts, BD_PARTS_MAX + 1);
    m->protons = bd_node_number(at, "protons");
    m->waters = bd_node_number(at, "waters");
    m->log_k = read_log_k(at);
    m->is_information = bd_node_flag(at, "is_information");
    m->warn_above = bd_node_fact_in(at, "warn_above", "log10");
    m->certain_above = bd_node_fact_in(at, "certain_above", "log10");
    if (bd_node_ok(at) && bd_formula_read(m->formula, &formula, at->load->err) == BD_OK)
        m->g_per_mol = formula.g_per_mol;
    else
        (void)bd_node_fail(at, "formula", BD_SYNTAX, "not a formula");
    if (bd_node_ok(at) &&
        charge_of_parts(r->chemistry, m->parts, m->part_count, m->protons) != 0)
        (void)bd_node_fail(at, NULL, BD_CONFLICT, "a solid without charge dissolves to none");
}

static void read_minerals_file(bd_node *root, bd_chemistry *chemistry)
{
    (void)bd_node_text_or(root, "note", "");
    chemistry->minerals = read_list(root, "minerals", chemistry, sizeof(bd_mineral), read_mineral,
                                    &chemistry->mineral_count);
    if (chemistry->mineral_count > BD_MINERALS_MAX)
        (void)bd_node_fail(root, "minerals", BD_RANGE, "more than %d minerals", BD_MINERALS_MAX);
}

/* ---- waters ---- */

typedef struct ions_reader {
    const bd_chemistry *chemistry;
    bd_water_ion *ions;
    size_t count, room;
    bool is_mass; /* in mg/L of the ion */
} ions_reader;

/* Molar mass of an ion from its name, "SO4-2": a formula and then the charge. */
static double ion_g_per_mol(const bd_node *at, const char *name)
{
    bd_formula formula = {.g_per_mol = 1.0};
    char bare[LONGEST_ION] = "";

    strncat(bare, name, strcspn(name, "+-") < LONGEST_ION ? strcspn(name, "+-") : LONGEST_ION - 1);
    if (bd_formula_read(bare, &formula, at->load->err) != BD_OK)
        (void)bd_node_fail(at, NULL, BD_SYNTAX, "give this ion in mmol/L");
    return formula.g_per_mol;
}

static void read_water_ion(bd_node *member, void *to)
{
    static const double most_mol_per_l = 1.0;
    ions_reader *r = to;
    double amount = bd_node_as_number(member);
    size_t i = need_species(member, r->chemistry, member->key);

    if (!bd_node_ok(member) || r->count == r->room)
        return;
    if (r->is_mass)
        amount /= ion_g_per_mol(member, member->key);
    amount /= milli_per_one;
    if (!(amount >= 0.0 && amount <= most_mol_per_l))
        (void)bd_node_fail(member, NULL, BD_RANGE, "not a concentration of a water");
    r->ions[r->count++] = (bd_water_ion){r->chemistry->species[i].name, amount};
}

static void check_balance(const bd_node *at, const bd_chemistry *chemistry, const bd_water *w)
{
    double sum = 0.0, size = 0.0;

    for (size_t i = 0; i < w->ion_count; i++) {
        double charge = w->ions[i].mol_per_l *
                        chemistry->species[find_species(chemistry, w->ions[i].name)].charge;

        sum += charge;
        size += fabs(charge);
    }
    if (fabs(sum) > most_imbalance * size)
        (void)bd_node_fail(at, "ions", BD_CONFLICT,
                           "positive and negative ions differ by %.1f mmol/L of charge: an ion is missing",
                           milli_per_one * sum);
}

static void read_ions(bd_node *at, const bd_chemistry *chemistry, bd_water *w)
{
    ions_reader r = {.chemistry = chemistry, .room = BD_SPECIES_MAX};
    static const char *const units[] = {"mmol/L", "mg/L"};
    bd_node ions;

    r.is_mass = bd_node_word(at, "unit", units, 2, -1) == 1;
    if (!bd_node_get(at, "ions", &ions)) {
        (void)bd_node_fail(at, NULL, BD_MISSING, "'ions' is missing");
        return;
    }
    r.ions = bd_pool_get(at->load->pool, BD_SPECIES_MAX * sizeof *r.ions);
    if (r.ions == NULL) {
        (void)bd_node_fail(at, NULL, BD_MEMORY, "no memory left for this water");
        return;
    }
    bd_node_each(&ions, read_water_ion, &r);
    w->ions = r.ions;
    w->ion_count = r.count;
    check_balance(at, chemistry, w);
}

static void read_water(bd_node *at, void *to)
{
    static const char *const airs[] = {"closed", "open"};
    reading *r = to;
    bd_water *w = r->record;

    w->name = bd_node_name(at, "name");
    w->title = bd_node_text_or(at, "title", w->name);
    w->is_open = bd_node_word(at, "air", airs, 2, 0) == 1;
    w->note = bd_node_text_or(at, "note", "");
    w->trust = at->load->is_own ? BD_TRUST_PRACTICE : bd_node_trust(at, "status");
    w->source = bd_node_source(at, "source", at->load->is_own || w->trust == BD_TRUST_PRACTICE);
    if (at->load->is_own)
        (void)bd_node_text_or(at, "status", "");
    read_ions(at, r->chemistry, w);
}

static void read_waters_file(bd_node *root, bd_chemistry *chemistry)
{
    chemistry->waters = read_list(root, "waters", chemistry, sizeof(bd_water), read_water,
                                  &chemistry->water_count);
}

/* ---- files ---- */

static const bd_builtin_file *builtin_file(const char *name)
{
    const bd_builtin_file *f = bd_builtin_files;

    while (f->name != NULL && strcmp(f->name, name) != 0)
        f++;
    return f->name == NULL ? NULL : f;
}

static bool keep_json(bd_load *load, struct bd_chemistry_files *files, struct json_t *json)
{
    if (files->json_count == KEPT_FILES) {
        bd_node_release(json);
        load->status = bd_fail(load->err, BD_RANGE, NULL, "more than %d data files", KEPT_FILES);
        return false;
    }
    files->json[files->json_count++] = json;
    return true;
}

static void read_file(bd_load *load, bd_chemistry *chemistry, const char *name,
                      void (*read)(bd_node *root, bd_chemistry *chemistry))
{
    const bd_builtin_file *file = builtin_file(name);
    bd_node root;

    if (load->status != BD_OK)
        return;
    if (file == NULL) {
        load->status = bd_fail(load->err, BD_MISSING, name, "not built in");
        return;
    }
    if (bd_node_parse(load, file->name, file->bytes, file->size, &root) != BD_OK ||
        !keep_json(load, chemistry->files, root.json))
        return;
    (void)bd_node_text_or(&root, "$schema", "");
    read(&root, chemistry);
    bd_node_end(&root);
}

static void read_source_item(bd_load *load, struct bd_chemistry_files *files, bd_node *item)
{
    bd_source *sources = bd_array_grow(files->sources, files->source_count, &files->source_capacity,
                                       sizeof *sources);

    if (sources == NULL) {
        (void)bd_node_fail(item, NULL, BD_MEMORY, "no memory left for the sources");
        return;
    }
    files->sources = sources;
    sources[files->source_count] = (bd_source){.key = ""};
    bd_node_record(item, bd_source_read, &sources[files->source_count]);
    files->source_count++;
    load->sources = sources;
    load->source_count = files->source_count;
}

static void read_sources_file(bd_node *root, bd_chemistry *chemistry)
{
    bd_node list;

    if (!bd_node_get(root, "sources", &list) || !bd_node_array(&list))
        return;
    for (size_t i = 0; bd_node_ok(root) && i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        read_source_item(root->load, chemistry->files, &item);
    }
}

static void read_sources(bd_load *load, bd_chemistry *chemistry)
{
    for (const bd_builtin_file *f = bd_builtin_files; f->name != NULL; f++)
        if (strncmp(f->name, "sources", strlen("sources")) == 0)
            read_file(load, chemistry, f->name, read_sources_file);
}

static bd_load start_load(bd_chemistry *chemistry, bd_error *err)
{
    return (bd_load){.pool = &chemistry->files->pool,
                     .sources = chemistry->files->sources,
                     .source_count = chemistry->files->source_count,
                     .err = err,
                     .status = BD_OK};
}

bd_status bd_chemistry_load(bd_chemistry **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_chemistry *chemistry = calloc(1, sizeof *chemistry);
    bd_load load;

    if (chemistry != NULL)
        chemistry->files = calloc(1, sizeof *chemistry->files);
    if (chemistry == NULL || chemistry->files == NULL) {
        free(chemistry);
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for the chemistry");
    }
    load = start_load(chemistry, err != NULL ? err : &own);
    read_sources(&load, chemistry);
    read_file(&load, chemistry, "species.json", read_species_file);
    read_file(&load, chemistry, "minerals.json", read_minerals_file);
    read_file(&load, chemistry, "waters.json", read_waters_file);
    if (load.status == BD_OK)
        *out = chemistry;
    else
        bd_chemistry_free(chemistry);
    return load.status;
}

void bd_chemistry_free(bd_chemistry *chemistry)
{
    if (chemistry == NULL)
        return;
    for (size_t i = 0; i < chemistry->files->json_count; i++)
        bd_node_release(chemistry->files->json[i]);
    bd_pool_clear(&chemistry->files->pool);
    free(chemistry->files->sources);
    free(chemistry->files);
    free(chemistry);
}

/* ---- looking up ---- */

bd_status bd_chemistry_species(const bd_chemistry *chemistry, const char *name, size_t *out,
                               bd_error *err)
{
    size_t i = find_species(chemistry, name);

    if (i == chemistry->species_count) {
        (void)bd_fail(err, BD_UNKNOWN, NULL, "unknown ion '%.40s'", name);
        (void)bd_accepts(err, "names such as K+, Ca+2, NO3-, SO4-2, H2PO4-, HCO3-, CO(NH2)2");
        return BD_UNKNOWN;
    }
    *out = i;
    return BD_OK;
}

const bd_mineral *bd_chemistry_mineral(const bd_chemistry *chemistry, const char *name)
{
    for (size_t i = 0; i < chemistry->mineral_count; i++)
        if (strcmp(chemistry->minerals[i].name, name) == 0)
            return &chemistry->minerals[i];
    return NULL;
}

static bd_status refuse_water(const bd_chemistry *chemistry, const char *name, bd_error *err)
{
    bd_text names;

    bd_text_init(&names, TEXT_OF_NAMES);
    for (size_t i = 0; i < chemistry->water_count; i++)
        bd_text_addf(&names, "%s%s", i == 0 ? "" : ", ", chemistry->waters[i].name);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "unknown water '%.60s'", name);
    (void)bd_accepts(err, "%s, or a file with your water's analysis", names.s);
    bd_text_clear(&names);
    return BD_UNKNOWN;
}

bd_status bd_chemistry_water(const bd_chemistry *chemistry, const char *name, const bd_water **out,
                             bd_error *err)
{
    for (size_t i = 0; i < chemistry->water_count; i++) {
        if (strcmp(chemistry->waters[i].name, name) == 0) {
            *out = &chemistry->waters[i];
            return BD_OK;
        }
    }
    return refuse_water(chemistry, name, err);
}

bd_status bd_chemistry_read_water(bd_chemistry *chemistry, const char *name, const void *bytes,
                                  size_t size, const bd_water **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_load load = start_load(chemistry, err != NULL ? err : &own);
    const char *kept = bd_pool_copy(load.pool, name);
    const bd_water *waters;
    size_t count;
    bd_node root;

    if (kept == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for this water");
    load.is_own = true;
    if (bd_node_parse(&load, kept, bytes, size, &root) != BD_OK)
        return load.status;
    if (!keep_json(&load, chemistry->files, root.json))
        return load.status;
    (void)bd_node_text_or(&root, "$schema", "");
    waters = read_list(&root, "waters", chemistry, sizeof(bd_water), read_water, &count);
    bd_node_end(&root);
    if (load.status == BD_OK && count != 1)
        (void)bd_node_fail(&root, "waters", BD_RANGE, "%zu waters; one is wanted", count);
    if (load.status == BD_OK)
        *out = waters;
    return load.status;
}
