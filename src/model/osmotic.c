#include "model/osmotic.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

#include "model/solution_water.h"

static const double gas_constant = 8.314462618; /* J/(mol K) */
static const double kelvin_at_0c = 273.15;
static const double ln_10 = 2.302585092994046;

static bool has_parameters(const bd_chemistry *chemistry, const bd_species *pair)
{
    for (size_t i = 0; i < chemistry->pitzer_count; i++)
        if (chemistry->pitzer[i].cation == pair->free_ions[0] &&
            chemistry->pitzer[i].anion == pair->free_ions[1])
            return true;
    return false;
}

/* Molalities with the pairs taken apart whose pull on each other the parameters describe. */
static void dissociate(const bd_chemistry *chemistry, const bd_solution *solution, double *molal)
{
    for (size_t i = 0; i < chemistry->species_count; i++)
        molal[i] = solution->species_mol_per_l[i] / solution->water_kg_per_l;
    for (size_t i = 0; i < chemistry->species_count; i++) {
        const bd_species *s = &chemistry->species[i];

        if (s->part_count != BD_PARTS_MAX || !(molal[i] > 0.0) || !has_parameters(chemistry, s))
            continue;
        molal[s->free_ions[0]] += molal[i];
        molal[s->free_ions[1]] += molal[i];
        molal[i] = 0.0;
    }
}

typedef struct sums {
    double ions, uncharged; /* mol/kg */
    double strength;        /* mol/kg */
    double charges;         /* eq/kg  */
} sums;

static sums add_up(const bd_chemistry *chemistry, const double *molal)
{
    sums s = {0.0, 0.0, 0.0, 0.0};

    for (size_t i = 0; i < chemistry->species_count; i++) {
        double z = fabs((double)chemistry->species[i].charge);

        if (z > 0.0)
            s.ions += molal[i];
        else
            s.uncharged += molal[i];
        s.strength += 0.5 * molal[i] * z * z;
        s.charges += molal[i] * z;
    }
    return s;
}

/* Pitzer's term of one salt, per product of its molalities. */
static double salt_term(const bd_chemistry *chemistry, const bd_pitzer *p, const sums *s)
{
    static const double alpha_2 = 12.0;
    double zc = chemistry->species[p->cation].charge, za = -chemistry->species[p->anion].charge;
    double alpha_1 = zc > 1.5 && za > 1.5 ? 1.4 : 2.0;
    double root = sqrt(s->strength);

    return p->beta0 + p->beta1 * exp(-alpha_1 * root) + p->beta2 * exp(-alpha_2 * root) +
           s->charges * p->c_phi / (2.0 * sqrt(zc * za));
}

static double coefficient(const bd_chemistry *chemistry, const double *molal, const sums *s,
                          double temperature_c)
{
    static const double b = 1.2;
    double a_phi = bd_davies_a(temperature_c) * ln_10 / 3.0;
    double root = sqrt(s->strength);
    double sum = -a_phi * s->strength * root / (1.0 + b * root);

    if (!(s->ions > 0.0))
        return 1.0;
    for (size_t i = 0; i < chemistry->pitzer_count; i++) {
        const bd_pitzer *p = &chemistry->pitzer[i];
        double product = molal[p->cation] * molal[p->anion];

        if (product > 0.0)
            sum += product * salt_term(chemistry, p, s);
    }
    return 1.0 + 2.0 * sum / s->ions;
}

bd_osmotic bd_osmotic_pressure(const bd_chemistry *chemistry, const bd_solution *solution)
{
    double molal[BD_SPECIES_MAX];
    double t = solution->temperature_c;
    sums s;
    double phi;

    dissociate(chemistry, solution, molal);
    s = add_up(chemistry, molal);
    phi = coefficient(chemistry, molal, &s, t);
    return (bd_osmotic){.kpa = gas_constant * (t + kelvin_at_0c) * bd_water_density_kg_per_l(t) *
                               (phi * s.ions + s.uncharged),
                        .coefficient = phi,
                        .particles_mol_per_kg = s.ions + s.uncharged};
}
