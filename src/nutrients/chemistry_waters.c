#include <math.h>
#include <string.h>

#include "base/memory.h"
#include "nutrients/chemistry_read.h"
#include "nutrients/formula.h"

enum { LONGEST_ION = 32 };

/* A water analysis whose charges differ by more than this share lacks an ion. */
static const double most_imbalance = 0.1;
static const double milli_per_one = 1000.0;

/* ---- minerals ---- */

static void read_mineral(bd_node *at, void *to)
{
    bd_chemistry_reading *r = to;
    bd_mineral *m = r->record;
    bd_formula formula;

    m->name = bd_node_name(at, "name");
    m->title = bd_node_text(at, "title");
    m->formula = bd_node_text(at, "formula");
    m->part_count = bd_chemistry_read_parts(at, m->parts, BD_PARTS_MAX + 1);
    m->protons = bd_node_number(at, "protons");
    m->waters = bd_node_number(at, "waters");
    m->log_k = bd_chemistry_read_log_k(at);
    m->is_information = bd_node_flag(at, "is_information");
    m->warn_above = bd_node_fact_in(at, "warn_above", "log10");
    m->certain_above = bd_node_fact_in(at, "certain_above", "log10");
    if (bd_node_ok(at) && bd_formula_read(m->formula, &formula, at->load->err) == BD_OK)
        m->g_per_mol = formula.g_per_mol;
    else
        (void)bd_node_fail(at, "formula", BD_SYNTAX, "not a formula");
    if (bd_node_ok(at) &&
        bd_chemistry_charge_of_parts(r->chemistry, m->parts, m->part_count, m->protons) != 0)
        (void)bd_node_fail(at, NULL, BD_CONFLICT, "a solid without charge dissolves to none");
}

void bd_chemistry_read_minerals_file(bd_node *root, void *whole)
{
    bd_chemistry *chemistry = whole;
    (void)bd_node_text_or(root, "note", "");
    chemistry->minerals = bd_chemistry_read_list(root, "minerals", chemistry, sizeof(bd_mineral),
                                                 read_mineral, &chemistry->mineral_count);
    if (chemistry->mineral_count > BD_MINERALS_MAX)
        (void)bd_node_fail(root, "minerals", BD_RANGE, "more than %d minerals", BD_MINERALS_MAX);
}

/* ---- waters ---- */

/* As laboratories print them: amount, mass of the ion as named, or amount of its charges. */
typedef enum water_unit { MMOL_PER_L, MG_PER_L, MEQ_PER_L } water_unit;

typedef struct ions_reader {
    const bd_chemistry *chemistry;
    bd_water_ion *ions;
    size_t count, room;
    water_unit unit;
} ions_reader;

/* Molar mass of an ion from its name, "SO4-2": a formula and then the charge. */
static double ion_g_per_mol(const bd_node *at, const char *name)
{
    bd_formula formula = {.g_per_mol = 1.0};
    char bare[LONGEST_ION] = "";
    size_t length = strcspn(name, "+-");

    memcpy(bare, name, length < LONGEST_ION ? length : LONGEST_ION - 1);
    if (bd_formula_read(bare, &formula, at->load->err) != BD_OK)
        (void)bd_node_fail(at, NULL, BD_SYNTAX, "give this ion in mmol/L");
    return formula.g_per_mol;
}

/* What one mmol of a species counts for in the unit. */
static double per_mmol(const bd_node *at, water_unit unit, const bd_species *species)
{
    if (unit == MG_PER_L)
        return ion_g_per_mol(at, at->key);
    if (unit == MMOL_PER_L)
        return 1.0;
    if (species->charge == 0)
        (void)bd_node_fail(at, NULL, BD_SYNTAX, "has no charge to count in meq/L");
    return fabs((double)species->charge);
}

static void read_water_ion(bd_node *member, void *to)
{
    static const double most_mol_per_l = 1.0;
    ions_reader *r = to;
    double amount = bd_node_as_number(member);
    size_t i = bd_chemistry_need_species(member, r->chemistry, member->key);

    if (!bd_node_ok(member) || r->count == r->room)
        return;
    amount /= milli_per_one * per_mmol(member, r->unit, &r->chemistry->species[i]);
    if (!(amount >= 0.0 && amount <= most_mol_per_l))
        (void)bd_node_fail(member, NULL, BD_RANGE, "not a concentration of a water");
    r->ions[r->count++] = (bd_water_ion){r->chemistry->species[i].name, amount};
}

static void check_balance(const bd_node *at, const bd_chemistry *chemistry, const bd_water *w)
{
    double sum = 0.0, size = 0.0;

    for (size_t i = 0; i < w->ion_count; i++) {
        double charge =
            w->ions[i].mol_per_l *
            chemistry->species[bd_chemistry_find_species(chemistry, w->ions[i].name)].charge;

        sum += charge;
        size += fabs(charge);
    }
    if (fabs(sum) > most_imbalance * size)
        (void)bd_node_fail(
            at, "ions", BD_CONFLICT,
            "positive and negative ions differ by %.1f mmol/L of charge: an ion is missing",
            milli_per_one * sum);
}

static void read_ions(bd_node *at, const bd_chemistry *chemistry, bd_water *w)
{
    ions_reader r = {.chemistry = chemistry, .room = BD_SPECIES_MAX};
    static const char *const units[] = {
        [MMOL_PER_L] = "mmol/L", [MG_PER_L] = "mg/L", [MEQ_PER_L] = "meq/L"};
    bd_node ions;

    r.unit = (water_unit)bd_node_word(at, "unit", units, sizeof units / sizeof units[0], -1);
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

void bd_chemistry_read_water_record(bd_node *at, void *to)
{
    static const char *const airs[] = {"closed", "open"};
    bd_chemistry_reading *r = to;
    bd_water *w = r->record;

    w->name =
        at->load->is_own && !bd_node_has(at, "name") ? "your-water" : bd_node_name(at, "name");
    w->title = bd_node_text_or(at, "title", w->name);
    w->is_open = bd_node_word(at, "air", airs, 2, 0) == 1;
    w->note = bd_node_text_or(at, "note", "");
    w->trust = at->load->is_own ? BD_TRUST_PRACTICE : bd_node_trust(at, "status");
    w->source = bd_node_source(at, "source", at->load->is_own || w->trust == BD_TRUST_PRACTICE);
    if (at->load->is_own)
        (void)bd_node_text_or(at, "status", "");
    read_ions(at, r->chemistry, w);
}

bd_water *bd_chemistry_read_lone_water(bd_node *root, bd_chemistry *chemistry, size_t *count)
{
    bd_chemistry_reading r = {chemistry, bd_node_memory(root, sizeof(bd_water))};

    *count = 0;
    if (r.record == NULL)
        return NULL;
    bd_chemistry_read_water_record(root, &r);
    *count = 1;
    return r.record;
}

void bd_chemistry_read_waters_file(bd_node *root, void *whole)
{
    bd_chemistry *chemistry = whole;
    chemistry->waters =
        bd_chemistry_read_list(root, "waters", chemistry, sizeof(bd_water),
                               bd_chemistry_read_water_record, &chemistry->water_count);
}
