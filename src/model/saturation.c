#include "model/saturation.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

/* Less than this of an ion is a trace, not an ingredient. */
static const double trace_mol_per_l = 1e-9;

static bool has_all_ions(const bd_mineral *m, const bd_solution *solution)
{
    for (size_t i = 0; i < m->part_count; i++)
        if (!(solution->total_mol_per_l[m->parts[i].component] > trace_mol_per_l))
            return false;
    return true;
}

static double log_activity_of_water(const bd_chemistry *chemistry, const bd_solution *solution)
{
    static const double kg_per_mol = 0.018015;
    double particles = 0.0;

    for (size_t i = 0; i < chemistry->species_count; i++)
        particles += solution->species_mol_per_l[i] / solution->water_kg_per_l;
    return log10(1.0 - kg_per_mol * particles);
}

static double index_of(const bd_mineral *m, const bd_solution *solution, double log_water)
{
    double log_product = m->waters * log_water - m->protons * solution->ph;

    for (size_t i = 0; i < m->part_count; i++)
        log_product += m->parts[i].count * solution->log_activity[m->parts[i].component];
    return log_product - bd_log_k_at(&m->log_k, solution->temperature_c);
}

bd_saturation bd_saturation_of(const bd_chemistry *chemistry, const bd_solution *solution)
{
    bd_saturation s = {.has_index = {false}};
    double log_water = log_activity_of_water(chemistry, solution);

    for (size_t i = 0; i < chemistry->mineral_count; i++) {
        const bd_mineral *m = &chemistry->minerals[i];

        s.has_index[i] = has_all_ions(m, solution);
        if (s.has_index[i])
            s.index[i] = index_of(m, solution, log_water);
    }
    return s;
}

/* ---- settling ---- */

/* The mix without what has dropped. */
static bd_solution_input without(const bd_chemistry *chemistry, const bd_solution_input *in,
                                 const double *dropped_mol_per_l)
{
    bd_solution_input left = *in;

    for (size_t i = 0; i < chemistry->mineral_count; i++) {
        const bd_mineral *m = &chemistry->minerals[i];

        for (size_t p = 0; p < m->part_count; p++)
            left.mol_per_l[m->parts[p].component] -= m->parts[p].count * dropped_mol_per_l[i];
    }
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        left.mol_per_l[c] = fmax(left.mol_per_l[c], 0.0);
    return left;
}

/* The most of a mineral that could drop, given what the others took. */
static double most_that_drops(const bd_mineral *m, const bd_solution_input *left, double dropped)
{
    double most = HUGE_VAL;

    for (size_t p = 0; p < m->part_count; p++)
        most = fmin(most, left->mol_per_l[m->parts[p].component] / m->parts[p].count);
    return dropped + most;
}

/* Settles one mineral while the others stay: halves the range in which its index is 0. */
static bd_status settle_one(const bd_chemistry *chemistry, const bd_solution_input *in, size_t i,
                            double *dropped, bd_solution *out, bd_error *err)
{
    enum { HALVINGS = 40 };
    bd_solution_input left = without(chemistry, in, dropped);
    double low = 0.0, high = most_that_drops(&chemistry->minerals[i], &left, dropped[i]);

    for (int n = 0; n < HALVINGS; n++) {
        bd_saturation s;
        bd_status status;

        dropped[i] = n == 0 ? 0.0 : 0.5 * (low + high);
        left = without(chemistry, in, dropped);
        status = bd_solution_solve(chemistry, &left, out, err);
        if (status != BD_OK)
            return status;
        s = bd_saturation_of(chemistry, out);
        if (s.has_index[i] && s.index[i] > 0.0)
            low = dropped[i];
        else if (n == 0)
            return BD_OK;
        else
            high = dropped[i];
    }
    return BD_OK;
}

/* All of them in turn, until a turn changes nothing that could be weighed. */
static bd_status settle_all(const bd_chemistry *chemistry, const bd_solution_input *in,
                            const bool *wanted, double *dropped, bd_solution *out, bd_error *err)
{
    enum { TURNS = 30 };
    static const double unweighable_mol_per_l = 1e-7;

    for (int turn = 0; turn < TURNS; turn++) {
        double changed = 0.0;

        for (size_t i = 0; i < chemistry->mineral_count; i++) {
            double before = dropped[i];
            bd_status status = BD_OK;

            if (wanted[i])
                status = settle_one(chemistry, in, i, dropped, out, err);
            if (status != BD_OK)
                return status;
            changed = fmax(changed, fabs(dropped[i] - before));
        }
        if (changed < unweighable_mol_per_l)
            return BD_OK;
    }
    return bd_fail(err, BD_UNSOLVED, NULL, "what would settle out was not found in %d turns",
                   TURNS);
}

bd_status bd_saturation_settle(const bd_chemistry *chemistry, const bd_solution_input *in,
                               const bool *wanted, double *dropped_mol_per_l, bd_solution *out,
                               bd_error *err)
{
    double dropped[BD_MINERALS_MAX] = {0.0};
    bd_solution whole, left;
    bd_solution_input rest;
    bd_status status = bd_solution_solve(chemistry, in, &whole, err);

    if (status != BD_OK)
        return status;
    rest = bd_solution_again(&whole, in->temperature_c);
    left = whole;
    status = settle_all(chemistry, &rest, wanted, dropped, &left, err);
    if (status != BD_OK)
        return status;
    memcpy(dropped_mol_per_l, dropped, sizeof dropped);
    *out = left;
    return BD_OK;
}
