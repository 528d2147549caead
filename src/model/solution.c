#include "model/solution.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "model/solution_equations.h"
#include "model/solution_water.h"

static const double kelvin_at_0c = 273.15;
static const double kelvin_at_25c = 298.15;
static const double gas_constant = 8.314462618; /* J/(mol K) */
static const double ln_10 = 2.302585092994046;
static const double most_mol_per_l = 1e3;
static const double lowest_ph = 2.0, highest_ph = 12.0;
static const double highest_temperature_c = 60.0;
static const double highest_ionic_strength = 1.0; /* mol/L: Davies */

/* ---- constants at temperature ---- */

double bd_log_k_at(const bd_log_k *k, double temperature_c)
{
    double t = temperature_c + kelvin_at_0c;
    const double *a = k->terms;

    if (k->has_terms)
        return a[0] + a[1] * t + a[2] / t + a[3] * log10(t) + a[4] / (t * t) + a[5] * t * t;
    return k->at_25c + k->enthalpy_kj_per_mol * 1000.0 / (ln_10 * gas_constant) *
                           (1.0 / kelvin_at_25c - 1.0 / t);
}

double bd_davies_a(double temperature_c)
{
    static const double step_c = 5.0;
    static const double a[] = {0.4883, 0.4921, 0.4960, 0.5000, 0.5042, 0.5085, 0.5130,
                               0.5175, 0.5221, 0.5270, 0.5319, 0.5372, 0.5425};
    enum { LAST = sizeof a / sizeof a[0] - 1 };
    double place = fmax(temperature_c, 0.0) / step_c;
    size_t i = place < LAST ? (size_t)place : LAST - 1;

    return a[i] + (place - (double)i) * (a[i + 1] - a[i]);
}

double bd_davies_log_gamma(int charge, double ionic_strength, double davies_a)
{
    static const double neutral_slope = 0.1, linear = 0.3;
    double root = sqrt(ionic_strength);

    if (charge == 0)
        return neutral_slope * ionic_strength;
    return -davies_a * charge * charge * (root / (1.0 + root) - linear * ionic_strength);
}

/* ---- what goes in ---- */

void bd_solution_input_init(bd_solution_input *in)
{
    *in = (bd_solution_input){.temperature_c = 25.0};
}

bd_status bd_solution_add_ion(const bd_chemistry *chemistry, bd_solution_input *in, const char *ion,
                              double mol_per_l, bd_error *err)
{
    size_t place;
    const bd_species *s;
    bd_status status = bd_chemistry_species(chemistry, ion, &place, err);

    if (status != BD_OK)
        return status;
    if (!(mol_per_l >= 0.0 && mol_per_l <= most_mol_per_l))
        return bd_fail(err, BD_RANGE, NULL, "%g mol/L of '%.40s' is no concentration", mol_per_l,
                       ion);
    s = &chemistry->species[place];
    for (size_t i = 0; i < s->part_count; i++)
        in->mol_per_l[s->parts[i].component] += s->parts[i].count * mol_per_l;
    in->charge_eq_per_l += s->charge * mol_per_l;
    return BD_OK;
}

bd_status bd_solution_add_water(const bd_chemistry *chemistry, bd_solution_input *in,
                                const bd_water *water, double share, bd_error *err)
{
    for (size_t i = 0; i < water->ion_count; i++) {
        bd_status status = bd_solution_add_ion(chemistry, in, water->ions[i].name,
                                               share * water->ions[i].mol_per_l, err);

        if (status != BD_OK)
            return status;
    }
    return BD_OK;
}

void bd_solution_balance(bd_solution_input *in)
{
    if (in->charge_eq_per_l > 0.0)
        in->mol_per_l[BD_COMPONENT_CL] += in->charge_eq_per_l;
    else
        in->mol_per_l[BD_COMPONENT_NA] -= in->charge_eq_per_l;
    in->charge_eq_per_l = 0.0;
}

bd_solution_input bd_solution_again(const bd_solution *solution, double temperature_c)
{
    bd_solution_input in = {.temperature_c = temperature_c};

    memcpy(in.mol_per_l, solution->total_mol_per_l, sizeof in.mol_per_l);
    return in;
}

static bd_status check_input(const bd_solution_input *in, bd_error *err)
{
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        if (!(in->mol_per_l[c] >= 0.0 && in->mol_per_l[c] <= most_mol_per_l))
            return bd_fail(err, BD_RANGE, NULL, "%g mol/L of %s is no concentration",
                           in->mol_per_l[c], bd_component_name((bd_component)c));
    if (!(in->temperature_c >= 0.0 && in->temperature_c <= highest_temperature_c)) {
        (void)bd_fail(err, BD_RANGE, NULL, "a solution of %g degC", in->temperature_c);
        (void)bd_accepts(err, "0 to %g degC", highest_temperature_c);
        return BD_RANGE;
    }
    if (in->has_ph && !(in->ph >= lowest_ph && in->ph <= highest_ph)) {
        (void)bd_fail(err, BD_RANGE, NULL, "a solution brought to pH %g", in->ph);
        (void)bd_accepts(err, "pH %g to %g", lowest_ph, highest_ph);
        return BD_RANGE;
    }
    return BD_OK;
}

/* ---- what comes out ---- */

static double water_kg_per_l(const bd_chemistry *chemistry, const double *mol_per_l,
                             double temperature_c)
{
    static const double cm3_per_l = 1000.0;
    double room = 1.0;

    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        room -= mol_per_l[c] * chemistry->size[c].volume_cm3_per_mol / cm3_per_l;
    return bd_water_density_kg_per_l(temperature_c) * room;
}

static double mass_kg_per_l(const bd_chemistry *chemistry, const double *mol_per_l)
{
    static const double g_per_kg = 1000.0;
    double sum = 0.0;

    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        sum += mol_per_l[c] * chemistry->size[c].g_per_mol / g_per_kg;
    return sum;
}

static double charge_residual(const bd_equations *s)
{
    double sum = 0.0, size = 0.0;

    for (int i = 0; i < s->particle_count; i++) {
        double charge = s->particles[i].mol_per_kg * s->particles[i].charge;

        sum += charge;
        size += fabs(charge);
    }
    return fabs(sum) / size;
}

static void count_totals(const bd_equations *s, double water, bd_solution *out)
{
    for (int i = 0; i < s->particle_count; i++) {
        const bd_species *species = &s->chemistry->species[s->particles[i].species];
        double mol_per_l = s->particles[i].mol_per_kg * water;

        out->species_mol_per_l[s->particles[i].species] = mol_per_l;
        for (size_t p = 0; p < species->part_count; p++)
            out->total_mol_per_l[species->parts[p].component] +=
                species->parts[p].count * mol_per_l;
    }
}

static void write_activities(const bd_equations *s, const bd_solution_input *in, bd_solution *out)
{
    double log_k_co2 =
        bd_log_k_at(&s->chemistry->species[s->chemistry->carbon_dioxide].log_k, in->temperature_c);

    out->ph = -s->x[BD_HYDROGEN] / ln_10;
    for (int c = 0; c < BD_COMPONENT_COUNT; c++) {
        double ln_activity = s->x[c];

        if (s->is_lone[c])
            ln_activity = log(s->total[c]) + s->ln_gamma[abs(bd_equations_master_charge(s, c))];
        out->log_activity[c] = ln_activity / ln_10;
    }
    out->log_activity[BD_COMPONENT_CO3] += 2.0 * out->ph - log_k_co2;
}

static void write_solution(const bd_equations *s, const bd_solution_input *in, double water,
                           bd_solution *out)
{
    *out = (bd_solution){.temperature_c = in->temperature_c,
                         .ionic_strength_mol_per_kg = s->ionic_strength,
                         .ionic_strength_mol_per_l = s->ionic_strength * water,
                         .koh_mol_per_l = s->koh * water,
                         .hno3_mol_per_l = s->hno3 * water,
                         .water_kg_per_l = water,
                         .charge_residual = charge_residual(s),
                         .rounds = s->rounds};
    write_activities(s, in, out);
    count_totals(s, water, out);
    out->density_kg_per_l = water + mass_kg_per_l(s->chemistry, out->total_mol_per_l);
}

static bd_status fail_outside(bd_error *err)
{
    (void)bd_fail(
        err, BD_OUTSIDE, NULL,
        "the solution is stronger than the model holds for (ionic strength above %g mol/L)",
        highest_ionic_strength);
    (void)bd_accepts(err, "a weaker solution; how much dissolves is known at any strength");
    return BD_OUTSIDE;
}

bd_status bd_solution_solve(const bd_chemistry *chemistry, const bd_solution_input *in,
                            bd_solution *out, bd_error *err)
{
    bd_status status = check_input(in, err);
    double water;
    bd_equations s;

    if (status != BD_OK)
        return status;
    water = water_kg_per_l(chemistry, in->mol_per_l, in->temperature_c);
    if (!(water > 0.5))
        return fail_outside(err);
    bd_equations_set_up(&s, chemistry, in, water);
    bd_equations_guess(&s);
    if (!bd_equations_converge(&s))
        return bd_fail(err, BD_UNSOLVED, NULL,
                       "the composition of the solution was not found in %d rounds",
                       BD_MOST_ROUNDS);
    if (!(s.ionic_strength * water <= highest_ionic_strength))
        return fail_outside(err);
    write_solution(&s, in, water, out);
    return BD_OK;
}
