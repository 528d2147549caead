#include "model/conductivity.h"

#include <math.h>
#include <stddef.h>

#include "model/solution_water.h"

static const double kelvin_at_0c = 273.15;
static const double reference_c = 25.0;

/* What the law needs of water at one temperature; concentrations in mol/L. */
typedef struct medium {
    double temperature_c, temperature_k;
    double fluidity;     /* viscosity at 25 degC over that here */
    double counter_flow; /* S cm2/eq per charge and sqrt(mol/L) */
    double lag;          /* per sqrt(mol/L)                     */
    double per_angstrom; /* B, per angstrom and sqrt(mol/L)     */
} medium;

typedef struct ion {
    double mol_per_l;
    double charge; /* its size */
    double s_cm2_per_eq;
    double size_angstrom;
} ion;

/* The ions of one sign, taken together. */
typedef struct side {
    ion ions[BD_SPECIES_MAX];
    int count;
    double charge;       /* mean, weighted by equivalents */
    double s_cm2_per_eq; /* mean                          */
} side;

static medium medium_at(double temperature_c)
{
    double t = temperature_c + kelvin_at_0c;
    double permittivity = bd_water_permittivity(temperature_c);
    double viscosity_poise = bd_water_viscosity_mpa_s(temperature_c) / 100.0;
    double root = sqrt(permittivity * t);

    return (medium){.temperature_c = temperature_c,
                    .temperature_k = t,
                    .fluidity = bd_water_viscosity_mpa_s(reference_c) / viscosity_poise / 100.0,
                    .counter_flow = 41.25 / (viscosity_poise * root),
                    .lag = 2.801e6 / (permittivity * t * root),
                    .per_angstrom = 50.29 / root};
}

/* ---- which ions ---- */

/* Concentrations with the loose pairs taken apart; close pairs stay as they are. */
static void count_free_ions(const bd_chemistry *chemistry, const bd_solution *solution,
                            double *mol_per_l)
{
    for (size_t i = 0; i < chemistry->species_count; i++)
        mol_per_l[i] = solution->species_mol_per_l[i];
    for (size_t i = 0; i < chemistry->species_count; i++) {
        const bd_species *s = &chemistry->species[i];

        if (!s->counts_as_free_ions || s->part_count != BD_PARTS_MAX)
            continue;
        mol_per_l[s->free_ions[0]] += mol_per_l[i];
        mol_per_l[s->free_ions[1]] += mol_per_l[i];
        mol_per_l[i] = 0.0;
    }
}

static double limiting_s_cm2_per_mol(const bd_species *s, const medium *at)
{
    static const double reference_k = 298.15;

    return s->conductivity_s_cm2_per_mol * at->fluidity *
           exp(s->mobility_k / at->temperature_k - s->mobility_k / reference_k);
}

static void add_ion(side *to, const bd_species *s, double mol_per_l, const medium *at)
{
    double charge = fabs((double)s->charge);

    to->ions[to->count++] = (ion){.mol_per_l = mol_per_l,
                                  .charge = charge,
                                  .s_cm2_per_eq = limiting_s_cm2_per_mol(s, at) / charge,
                                  .size_angstrom = s->size_angstrom};
}

static void take_means(side *of)
{
    double equivalents = 0.0;

    for (int i = 0; i < of->count; i++) {
        const ion *n = &of->ions[i];
        double eq = n->mol_per_l * n->charge;

        equivalents += eq;
        of->charge += eq * n->charge;
        of->s_cm2_per_eq += eq * n->s_cm2_per_eq;
    }
    if (equivalents > 0.0) {
        of->charge /= equivalents;
        of->s_cm2_per_eq /= equivalents;
    }
}

static double ionic_strength(const side *positive, const side *negative)
{
    double sum = 0.0;

    for (int i = 0; i < positive->count; i++)
        sum += positive->ions[i].mol_per_l * positive->ions[i].charge * positive->ions[i].charge;
    for (int i = 0; i < negative->count; i++)
        sum += negative->ions[i].mol_per_l * negative->ions[i].charge * negative->ions[i].charge;
    return 0.5 * sum;
}

/* ---- the law ---- */

/* Onsager's q of an ion among ions of the other sign; 1/2 for a salt of equal charges. */
static double mobility_share(const ion *n, const side *others)
{
    return n->charge * others->charge * (n->s_cm2_per_eq + others->s_cm2_per_eq) /
           ((n->charge + others->charge) *
            (n->charge * others->s_cm2_per_eq + others->charge * n->s_cm2_per_eq));
}

static double attenuated_s_cm2_per_mol(const ion *n, const side *others, double root_strength,
                                       const medium *at)
{
    double cloud = root_strength / (1.0 + at->per_angstrom * n->size_angstrom * root_strength);
    double q = mobility_share(n, others);
    double lag = at->lag * n->charge * others->charge * q / (1.0 + sqrt(q)) * cloud;

    return n->charge * (n->s_cm2_per_eq - at->counter_flow * n->charge * cloud) * (1.0 - lag);
}

static double sum_side(const side *of, const side *others, double root_strength, const medium *at)
{
    double sum = 0.0;

    for (int i = 0; i < of->count; i++)
        sum += of->ions[i].mol_per_l *
               fmax(attenuated_s_cm2_per_mol(&of->ions[i], others, root_strength, at), 0.0);
    return sum;
}

static double added_viscosity(const bd_chemistry *chemistry, const double *mol_per_l,
                              const medium *at)
{
    double sum = 0.0;

    for (size_t i = 0; i < chemistry->species_count; i++)
        sum += mol_per_l[i] * (chemistry->species[i].viscosity_l_per_mol +
                               chemistry->species[i].viscosity_slope_l_per_mol_k *
                                   (at->temperature_c - reference_c));
    return sum;
}

/* ---- pairs ---- */

/* Value of the curve from..to (one pair, one temperature) at an ionic strength. */
static double on_curve(const bd_pair_point *from, const bd_pair_point *to, double strength)
{
    const bd_pair_point *p = from;

    if (strength <= from->ionic_strength_mol_per_l)
        return from->s_cm2_per_mol;
    while (p < to && p->ionic_strength_mol_per_l < strength)
        p++;
    if (p->ionic_strength_mol_per_l < strength)
        return to->s_cm2_per_mol;
    return p->s_cm2_per_mol + (strength - p->ionic_strength_mol_per_l) *
                                  (p->s_cm2_per_mol - p[-1].s_cm2_per_mol) /
                                  (p->ionic_strength_mol_per_l - p[-1].ionic_strength_mol_per_l);
}

/* Last point of the curve that begins at `from`. */
static const bd_pair_point *end_of_curve(const bd_chemistry *chemistry, const bd_pair_point *from)
{
    const bd_pair_point *end = chemistry->pair_points + chemistry->pair_point_count;
    const bd_pair_point *p = from;

    while (p + 1 < end && p[1].species == from->species &&
           p[1].temperature_c <= from->temperature_c)
        p++;
    return p;
}

typedef struct curve_value {
    double temperature_c, s_cm2_per_mol;
} curve_value;

static double scaled(curve_value at, double temperature_c)
{
    return at.s_cm2_per_mol * bd_water_viscosity_mpa_s(at.temperature_c) /
           bd_water_viscosity_mpa_s(temperature_c);
}

double bd_pair_conductivity(const bd_chemistry *chemistry, size_t species,
                            double ionic_strength_mol_per_l, double temperature_c)
{
    const bd_pair_point *end = chemistry->pair_points + chemistry->pair_point_count;
    curve_value below = {0.0, 0.0};
    bool has_below = false;

    for (const bd_pair_point *p = chemistry->pair_points; p < end; p++) {
        const bd_pair_point *last = end_of_curve(chemistry, p);
        curve_value here = {p->temperature_c, on_curve(p, last, ionic_strength_mol_per_l)};
        const bd_pair_point *from = p;

        p = last;
        if (from->species != species)
            continue;
        if (here.temperature_c >= temperature_c && has_below)
            return below.s_cm2_per_mol + (temperature_c - below.temperature_c) *
                                             (here.s_cm2_per_mol - below.s_cm2_per_mol) /
                                             (here.temperature_c - below.temperature_c);
        if (here.temperature_c >= temperature_c)
            return scaled(here, temperature_c);
        below = here;
        has_below = true;
    }
    return has_below ? scaled(below, temperature_c) : 0.0;
}

static double sum_pairs(const bd_chemistry *chemistry, const double *mol_per_l, double strength,
                        double temperature_c)
{
    double sum = 0.0;

    for (size_t i = 0; i < chemistry->species_count; i++)
        if (chemistry->species[i].part_count == BD_PARTS_MAX && mol_per_l[i] > 0.0 &&
            chemistry->species[i].charge == 0)
            sum += mol_per_l[i] * bd_pair_conductivity(chemistry, i, strength, temperature_c);
    return sum;
}

double bd_conductivity_ds_per_m(const bd_chemistry *chemistry, const bd_solution *solution)
{
    medium at = medium_at(solution->temperature_c);
    double mol_per_l[BD_SPECIES_MAX];
    side positive = {.count = 0}, negative = {.count = 0};
    double strength, root, sum;

    count_free_ions(chemistry, solution, mol_per_l);
    for (size_t i = 0; i < chemistry->species_count; i++) {
        const bd_species *s = &chemistry->species[i];

        if (mol_per_l[i] > 0.0 && s->charge != 0 && s->conductivity_s_cm2_per_mol > 0.0)
            add_ion(s->charge > 0 ? &positive : &negative, s, mol_per_l[i], &at);
    }
    take_means(&positive);
    take_means(&negative);
    strength = ionic_strength(&positive, &negative);
    root = sqrt(strength);
    sum = sum_side(&positive, &negative, root, &at) + sum_side(&negative, &positive, root, &at);
    return sum / (1.0 + added_viscosity(chemistry, mol_per_l, &at)) +
           sum_pairs(chemistry, mol_per_l, strength, solution->temperature_c);
}
