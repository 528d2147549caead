#include "model/solution.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "model/solution_water.h"

static const double kelvin_at_0c = 273.15;
static const double kelvin_at_25c = 298.15;
static const double gas_constant = 8.314462618; /* J/(mol K) */
static const double ln_10 = 2.302585092994046;
static const double most_mol_per_l = 1e3;
static const double least_mol_per_kg = 1e-15; /* so that its logarithm is a number */
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

bd_status bd_solution_add_ion(const bd_chemistry *chemistry, bd_solution_input *in,
                              const char *ion, double mol_per_l, bd_error *err)
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

/* ---- the system of equations ---- */

/*
 * Unknowns are the natural logarithms of the activities of the master species and
 * of H+.  Carbonate is counted from CO2, which has no charge, so that taking up
 * or giving off CO2 leaves the protons alone.
 */
enum {
    HYDROGEN = BD_COMPONENT_COUNT, /* its place among the unknowns */
    UNKNOWNS = BD_COMPONENT_COUNT + 1,
    TERMS = BD_PARTS_MAX + 1,
    MOST_ROUNDS = 120,
    MOST_HALVINGS = 30,
    CHARGES = 9,       /* -4 to 4 */
    LAST_CHARGE = 4
};

typedef struct term {
    int unknown;
    double count;
} term;

/* One species of this mix. */
typedef struct particle {
    size_t species;
    int charge;
    term terms[TERMS];
    int term_count;
    double ln_k;
    double mol_per_kg;
} particle;

typedef struct equations {
    const bd_chemistry *chemistry;
    particle particles[BD_SPECIES_MAX];
    int particle_count;
    bool is_present[BD_COMPONENT_COUNT];
    double total[UNKNOWNS]; /* mol per kg of water; of HYDROGEN the protons that balance the charge */
    double x[UNKNOWNS];     /* ln activity                                                          */
    int solved[UNKNOWNS];   /* unknowns that Newton's method moves                                  */
    int solved_count;
    bool is_open, has_ph;
    double davies_a, ionic_strength;
    double own_k, own_no3;  /* mol per kg of water, before titrating */
    double koh, hno3;       /* mol per kg of water, the titrant      */
    int rounds;
} equations;

static void add_term(particle *p, int unknown, double count)
{
    for (int i = 0; i < p->term_count; i++) {
        if (p->terms[i].unknown == unknown) {
            p->terms[i].count += count;
            return;
        }
    }
    p->terms[p->term_count++] = (term){unknown, count};
}

/* False when one of its components is not in the mix. */
static bool is_in_mix(const equations *s, const bd_species *species)
{
    for (size_t i = 0; i < species->part_count; i++)
        if (!s->is_present[species->parts[i].component])
            return false;
    return true;
}

static void add_particle(equations *s, size_t place, double ln_k_co2, double temperature_c)
{
    const bd_species *species = &s->chemistry->species[place];
    particle *p = &s->particles[s->particle_count++];
    double protons = species->protons;

    *p = (particle){.species = place, .charge = species->charge};
    if (!species->is_master)
        p->ln_k = ln_10 * bd_log_k_at(&species->log_k, temperature_c);
    for (size_t i = 0; i < species->part_count; i++) {
        const bd_part *part = &species->parts[i];

        add_term(p, (int)part->component, part->count);
        if (part->component == BD_COMPONENT_CO3) {
            p->ln_k -= part->count * ln_k_co2;
            protons -= 2.0 * part->count;
        }
    }
    if (fabs(protons) > 0.0)
        add_term(p, HYDROGEN, protons);
}

static int master_charge(const equations *s, int component)
{
    if (component == BD_COMPONENT_CO3)
        return 0;
    return s->chemistry->species[s->chemistry->master[component]].charge;
}

/* Protons that make the mix neutral, from the totals as they stand. */
static double balancing_protons(const equations *s)
{
    double charge = 0.0;

    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        charge += s->total[c] * master_charge(s, c);
    return -charge;
}

static void list_solved(equations *s)
{
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        if (s->is_present[c] && !(c == BD_COMPONENT_CO3 && s->is_open))
            s->solved[s->solved_count++] = c;
    if (!s->has_ph)
        s->solved[s->solved_count++] = HYDROGEN;
}

static void find_present(equations *s, const bd_solution_input *in)
{
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        s->is_present[c] = in->mol_per_l[c] > 0.0;
    if (in->is_open)
        s->is_present[BD_COMPONENT_CO3] = true;
    if (in->has_ph)
        s->is_present[BD_COMPONENT_K] = s->is_present[BD_COMPONENT_NO3] = true;
}

static double water_kg_per_l(const bd_chemistry *chemistry, const double *mol_per_l,
                             double temperature_c);

static void set_up(equations *s, const bd_chemistry *chemistry, const bd_solution_input *in,
                   double water)
{
    double ln_k_co2 =
        ln_10 * bd_log_k_at(&chemistry->species[chemistry->carbon_dioxide].log_k, in->temperature_c);

    *s = (equations){.chemistry = chemistry, .is_open = in->is_open, .has_ph = in->has_ph};
    s->davies_a = bd_davies_a(in->temperature_c);
    find_present(s, in);
    for (size_t i = 0; i < chemistry->species_count; i++)
        if (is_in_mix(s, &chemistry->species[i]))
            add_particle(s, i, ln_k_co2, in->temperature_c);
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        if (s->is_present[c])
            s->total[c] = fmax(in->mol_per_l[c] / water, least_mol_per_kg);
    s->own_k = s->total[BD_COMPONENT_K];
    s->own_no3 = s->total[BD_COMPONENT_NO3];
    s->total[HYDROGEN] = balancing_protons(s);
    if (in->is_open)
        s->x[BD_COMPONENT_CO3] = ln_10 * (bd_log_k_at(&chemistry->henry, in->temperature_c) +
                                          chemistry->log_pco2_atm);
    s->x[HYDROGEN] = -ln_10 * (in->has_ph ? in->ph : 7.0);
    list_solved(s);
}

/* ---- a first guess: no pairs, activity 1 ---- */

static bool is_pair(const particle *p)
{
    int components = 0;

    for (int i = 0; i < p->term_count; i++)
        components += p->terms[i].unknown != HYDROGEN;
    return components > 1;
}

static double exponent(const equations *s, const particle *p)
{
    double e = p->ln_k;

    for (int i = 0; i < p->term_count; i++)
        e += p->terms[i].count * s->x[p->terms[i].unknown];
    return e;
}

/* Sets each component's activity so that its forms without partners add up to its total. */
static void share_out(equations *s)
{
    double sum[UNKNOWNS] = {0.0};

    for (int i = 0; i < s->particle_count; i++) {
        const particle *p = &s->particles[i];
        int c = p->terms[0].unknown;

        if (!is_pair(p) && c != HYDROGEN)
            sum[c] += exp(exponent(s, p) - s->x[c]);
    }
    for (int i = 0; i < s->solved_count; i++) {
        int c = s->solved[i];

        if (c != HYDROGEN)
            s->x[c] = log(s->total[c] / sum[c]);
    }
}

static double charge_without_pairs(equations *s, double ln_h)
{
    double charge = 0.0;

    s->x[HYDROGEN] = ln_h;
    share_out(s);
    for (int i = 0; i < s->particle_count; i++)
        if (!is_pair(&s->particles[i]) && s->particles[i].charge != 0)
            charge += s->particles[i].charge * exp(exponent(s, &s->particles[i]));
    return charge;
}

static void guess(equations *s)
{
    double low = -ln_10 * 14.0, high = 0.0;

    for (int i = 0; !s->has_ph && i < 7; i++) {
        double middle = 0.5 * (low + high);

        if (charge_without_pairs(s, middle) > 0.0)
            high = middle;
        else
            low = middle;
    }
    if (!s->has_ph)
        s->x[HYDROGEN] = 0.5 * (low + high);
    share_out(s);
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        s->ionic_strength += 0.5 * s->total[c] * abs(master_charge(s, c));
}

/* ---- Newton's method ---- */

static void update_particles(equations *s)
{
    static const double beyond = 2.0; /* no use in following Davies further up */
    double ln_gamma[CHARGES];
    double i_now = fmin(s->ionic_strength, beyond);

    for (int z = 0; z <= LAST_CHARGE; z++)
        ln_gamma[LAST_CHARGE + z] = ln_gamma[LAST_CHARGE - z] =
            ln_10 * bd_davies_log_gamma(z, i_now, s->davies_a);
    for (int i = 0; i < s->particle_count; i++) {
        particle *p = &s->particles[i];

        p->mol_per_kg = exp(exponent(s, p) - ln_gamma[LAST_CHARGE + p->charge]);
    }
}

static double ionic_strength(const equations *s)
{
    double sum = 0.0;

    for (int i = 0; i < s->particle_count; i++)
        sum += s->particles[i].mol_per_kg * s->particles[i].charge * s->particles[i].charge;
    return 0.5 * sum;
}

/* The function whose lowest point is the answer. */
static double objective(const equations *s)
{
    double sum = 0.0;

    for (int i = 0; i < s->particle_count; i++)
        sum += s->particles[i].mol_per_kg;
    for (int i = 0; i < s->solved_count; i++)
        sum -= s->total[s->solved[i]] * s->x[s->solved[i]];
    return sum;
}

typedef struct slope {
    double gradient[UNKNOWNS];
    double hessian[UNKNOWNS][UNKNOWNS]; /* lower half */
} slope;

static void differentiate(const equations *s, slope *d)
{
    memset(d, 0, sizeof *d);
    for (int i = 0; i < s->particle_count; i++) {
        const particle *p = &s->particles[i];

        for (int a = 0; a < p->term_count; a++) {
            double weight = p->terms[a].count * p->mol_per_kg;
            int row = p->terms[a].unknown;

            d->gradient[row] += weight;
            for (int b = 0; b < p->term_count; b++)
                if (p->terms[b].unknown <= row)
                    d->hessian[row][p->terms[b].unknown] += weight * p->terms[b].count;
        }
    }
    for (int i = 0; i < s->solved_count; i++)
        d->gradient[s->solved[i]] -= s->total[s->solved[i]];
}

/* Cholesky: hessian * step = -gradient over the solved unknowns, in place. */
static void solve_step(const equations *s, slope *d, double *step)
{
    static const double floor_of_pivot = 1e-30;
    const int *u = s->solved;
    int n = s->solved_count;

    for (int j = 0; j < n; j++) {
        double *row = d->hessian[u[j]];

        for (int k = 0; k <= j; k++) {
            double sum = row[u[k]];

            for (int m = 0; m < k; m++)
                sum -= row[u[m]] * d->hessian[u[k]][u[m]];
            row[u[k]] = k == j ? sqrt(fmax(sum, floor_of_pivot)) : sum / d->hessian[u[k]][u[k]];
        }
    }
    for (int j = 0; j < n; j++) {
        double sum = -d->gradient[u[j]];

        for (int m = 0; m < j; m++)
            sum -= d->hessian[u[j]][u[m]] * step[m];
        step[j] = sum / d->hessian[u[j]][u[j]];
    }
    for (int j = n - 1; j >= 0; j--) {
        for (int m = j + 1; m < n; m++)
            step[j] -= d->hessian[u[m]][u[j]] * step[m];
        step[j] /= d->hessian[u[j]][u[j]];
    }
}

static double largest(const double *step, int n)
{
    double most = 0.0;

    for (int i = 0; i < n; i++)
        most = fmax(most, fabs(step[i]));
    return most;
}

static void move(equations *s, const double *from, const double *step, double share)
{
    for (int i = 0; i < s->solved_count; i++)
        s->x[s->solved[i]] = from[s->solved[i]] + share * step[i];
    update_particles(s);
}

/* Goes along the step as far as the objective falls; near the answer all the way. */
static void take_step(equations *s, const double *step, double size)
{
    static const double longest_step = 4.0, surely_near = 0.05;
    double from[UNKNOWNS], before = objective(s);
    double share = size > longest_step ? longest_step / size : 1.0;

    memcpy(from, s->x, sizeof from);
    move(s, from, step, share);
    for (int i = 0; i < MOST_HALVINGS && size > surely_near && !(objective(s) <= before); i++) {
        share *= 0.5;
        move(s, from, step, share);
    }
}

/* KOH or HNO3 that makes up the charge at the pH that was asked for; gives back the change. */
static double titrate(equations *s)
{
    double before = s->koh - s->hno3, needed = before;

    for (int i = 0; i < s->particle_count; i++)
        needed -= s->particles[i].mol_per_kg * s->particles[i].charge;
    s->koh = fmax(needed, 0.0);
    s->hno3 = fmax(-needed, 0.0);
    s->total[BD_COMPONENT_K] = s->own_k + s->koh;
    s->total[BD_COMPONENT_NO3] = s->own_no3 + s->hno3;
    return fabs(needed - before);
}

/* One round; gives back how far things still moved, relative to what there is. */
static double advance(equations *s)
{
    slope d;
    double step[UNKNOWNS] = {0.0};
    double moved, strength;

    differentiate(s, &d);
    solve_step(s, &d, step);
    moved = largest(step, s->solved_count);
    take_step(s, step, moved);
    strength = ionic_strength(s);
    moved = fmax(moved, fabs(strength - s->ionic_strength) / fmax(strength, 1e-7));
    /* Half way once it has had time to settle: should it swing, it swings less. */
    s->ionic_strength = s->rounds < MOST_ROUNDS / 4 ? strength : 0.5 * (strength + s->ionic_strength);
    if (s->has_ph)
        moved = fmax(moved, titrate(s) / fmax(strength, 1e-7));
    update_particles(s);
    return moved;
}

static bool converge(equations *s)
{
    static const double still = 1e-9;

    update_particles(s);
    for (s->rounds = 1; s->rounds <= MOST_ROUNDS; s->rounds++)
        if (advance(s) < still)
            return true;
    return false;
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

static double charge_residual(const equations *s)
{
    double sum = 0.0, size = 0.0;

    for (int i = 0; i < s->particle_count; i++) {
        double charge = s->particles[i].mol_per_kg * s->particles[i].charge;

        sum += charge;
        size += fabs(charge);
    }
    return fabs(sum) / size;
}

static void count_totals(const equations *s, double water, bd_solution *out)
{
    for (int i = 0; i < s->particle_count; i++) {
        const bd_species *species = &s->chemistry->species[s->particles[i].species];
        double mol_per_l = s->particles[i].mol_per_kg * water;

        out->species_mol_per_l[s->particles[i].species] = mol_per_l;
        for (size_t p = 0; p < species->part_count; p++)
            out->total_mol_per_l[species->parts[p].component] += species->parts[p].count * mol_per_l;
    }
}

static void write_activities(const equations *s, const bd_solution_input *in, bd_solution *out)
{
    double log_k_co2 = bd_log_k_at(
        &s->chemistry->species[s->chemistry->carbon_dioxide].log_k, in->temperature_c);

    out->ph = -s->x[HYDROGEN] / ln_10;
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        out->log_activity[c] = s->x[c] / ln_10;
    out->log_activity[BD_COMPONENT_CO3] += 2.0 * out->ph - log_k_co2;
}

static void write_solution(const equations *s, const bd_solution_input *in, double water,
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
    (void)bd_fail(err, BD_OUTSIDE, NULL,
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
    equations s;

    if (status != BD_OK)
        return status;
    water = water_kg_per_l(chemistry, in->mol_per_l, in->temperature_c);
    if (!(water > 0.5))
        return fail_outside(err);
    set_up(&s, chemistry, in, water);
    guess(&s);
    if (!converge(&s))
        return bd_fail(err, BD_UNSOLVED, NULL,
                       "the composition of the solution was not found in %d rounds", MOST_ROUNDS);
    if (!(s.ionic_strength * water <= highest_ionic_strength))
        return fail_outside(err);
    write_solution(&s, in, water, out);
    return BD_OK;
}
