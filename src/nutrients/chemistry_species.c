#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "nutrients/chemistry_read.h"
#include "nutrients/formula.h"

enum { HIGHEST_CHARGE = 4 };

static bd_chemistry_figure read_positive(bd_node *at, const char *key, const char *unit)
{
    bd_chemistry_figure f = bd_chemistry_read_figure(at, key, unit);

    if (!(f.value >= 0.0))
        (void)bd_node_fail(at, key, BD_RANGE, "a number below zero");
    return f;
}

static void read_usual_form(bd_node *at, bd_component_size *size)
{
    bd_formula formula;

    size->volume_cm3_per_mol = bd_chemistry_read_figure(at, "volume", "cm3/mol").value;
    if (bd_node_ok(at) &&
        bd_formula_read(bd_node_text(at, "formula"), &formula, at->load->err) == BD_OK)
        size->g_per_mol = formula.g_per_mol;
    else
        (void)bd_node_fail(at, "formula", BD_SYNTAX, "not a formula");
}

static void read_transport(bd_node *at, bd_species *s)
{
    s->conductivity_s_cm2_per_mol = read_positive(at, "conductivity", "S cm2/mol").value;
    s->mobility_k = bd_chemistry_read_figure(at, "mobility_constant", "K").value;
    s->size_angstrom = read_positive(at, "size", "angstrom").value;
    s->viscosity_l_per_mol = bd_chemistry_read_figure(at, "viscosity", "L/mol").value;
    s->viscosity_slope_l_per_mol_k =
        bd_chemistry_read_figure(at, "viscosity_slope", "L/mol/K").value;
    s->counts_as_free_ions = bd_node_flag(at, "counts_as_free_ions");
    if (s->conductivity_s_cm2_per_mol > 0.0 && !(s->size_angstrom > 0.0))
        (void)bd_node_fail(at, NULL, BD_MISSING, "an ion that conducts needs its 'size'");
}

static void read_species(bd_node *at, void *to)
{
    bd_chemistry_reading *r = to;
    bd_species *s = r->record;

    s->name = bd_node_text(at, "name");
    s->charge = (int)lround(bd_node_number(at, "charge"));
    s->part_count = bd_chemistry_read_parts(at, s->parts, BD_PARTS_MAX);
    s->is_master = bd_node_flag(at, "is_master");
    if (abs(s->charge) > HIGHEST_CHARGE)
        (void)bd_node_fail(at, "charge", BD_RANGE, "no ion of the model has more than %d charges",
                           HIGHEST_CHARGE);
    read_transport(at, s);
    if (s->is_master && s->part_count == 1) {
        read_usual_form(at, &r->chemistry->size[s->parts[0].component]);
        return;
    }
    s->protons = bd_node_number(at, "protons");
    s->log_k = bd_chemistry_read_log_k(at);
    s->attraction = read_positive(at, "attraction", "(kg/mol)^0.5").value;
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
        bd_chemistry_reading r = {chemistry, &chemistry->species[i]};

        bd_node_record(&item, read_species, &r);
        check_new_species(&item, chemistry);
        chemistry->species_count++;
    }
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
                               bd_component_name((bd_component)c));
    chemistry->hydrogen = bd_chemistry_need_species(root, chemistry, "H+");
    chemistry->hydroxide = bd_chemistry_need_species(root, chemistry, "OH-");
    chemistry->carbon_dioxide = bd_chemistry_need_species(root, chemistry, "CO2");
}

static void check_charges(const bd_node *root, const bd_chemistry *chemistry)
{
    for (size_t i = 0; bd_node_ok(root) && i < chemistry->species_count; i++) {
        const bd_species *s = &chemistry->species[i];
        int made = bd_chemistry_charge_of_parts(chemistry, s->parts, s->part_count, s->protons);

        if (made != s->charge)
            (void)bd_node_fail(root, "species", BD_CONFLICT, "'%.40s' has charge %d, its parts %d",
                               s->name, s->charge, made);
    }
}

/* The particle without partner that holds so many protons on one part: HPO4-2 for KHPO4-. */
static size_t find_form(const bd_chemistry *chemistry, const bd_species_part *part, double protons)
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
    bd_chemistry_reading *r = to;
    bd_pair_point *p = r->record;

    p->species = bd_chemistry_need_species(at, r->chemistry, bd_node_text(at, "pair"));
    p->temperature_c = bd_node_number(at, "temperature_c");
    p->ionic_strength_mol_per_l = bd_node_number(at, "ionic_strength_mol_per_l");
    p->s_cm2_per_mol = bd_chemistry_read_figure(at, "conductivity", "S cm2/mol").value;
}

static void read_pitzer(bd_node *at, void *to)
{
    bd_chemistry_reading *r = to;
    bd_pitzer *p = r->record;

    p->cation = bd_chemistry_need_species(at, r->chemistry, bd_node_text(at, "cation"));
    p->anion = bd_chemistry_need_species(at, r->chemistry, bd_node_text(at, "anion"));
    p->beta0 = bd_node_number(at, "b0");
    p->beta1 = bd_node_number(at, "b1");
    p->beta2 = bd_node_number(at, "b2");
    p->c_phi = bd_node_number(at, "c");
    if (bd_node_ok(at) && strcmp(bd_node_text(at, "unit"), "kg/mol") != 0)
        (void)bd_node_fail(at, "unit", BD_DIMENSION, "the unit of these is 'kg/mol'");
    (void)bd_node_source(at, "source", bd_node_trust(at, "status") == BD_TRUST_PRACTICE);
    (void)bd_node_text_or(at, "note", "");
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
    chemistry->henry = bd_chemistry_read_log_k(&henry);
    chemistry->log_pco2_atm = bd_chemistry_read_figure(&air, "log_pco2", "log10 atm").value;
    bd_node_end(&henry);
    bd_node_end(&air);
}

void bd_chemistry_read_species_file(bd_node *root, void *whole)
{
    bd_chemistry *chemistry = whole;
    (void)bd_node_text_or(root, "note", "");
    read_species_list(root, chemistry);
    find_masters(root, chemistry);
    check_charges(root, chemistry);
    find_free_ions(root, chemistry);
    read_air(root, chemistry);
    chemistry->pair_points =
        bd_chemistry_read_list(root, "pair_conductivity", chemistry, sizeof(bd_pair_point),
                               read_pair_point, &chemistry->pair_point_count);
    check_pair_points(root, chemistry);
    chemistry->pitzer = bd_chemistry_read_list(root, "osmotic", chemistry, sizeof(bd_pitzer),
                                               read_pitzer, &chemistry->pitzer_count);
}
