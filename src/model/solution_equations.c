#include "model/solution_equations.h"

#include <math.h>

static const double ln_10 = 2.302585092994046;
static const double least_mol_per_kg = 1e-15; /* so that its logarithm is a number */

static void add_term(bd_particle *p, int unknown, double count)
{
    for (int i = 0; i < p->term_count; i++) {
        if (p->terms[i].unknown == unknown) {
            p->terms[i].count += count;
            return;
        }
    }
    p->terms[p->term_count++] = (bd_term){unknown, count};
}

/* False when one of its components is not in the mix. */
static bool is_in_mix(const bd_equations *s, const bd_species *species)
{
    for (size_t i = 0; i < species->part_count; i++)
        if (!s->is_present[species->parts[i].component])
            return false;
    return true;
}

/* Of two partners, or of one component more than once. */
static bool is_joined(const bd_species *species)
{
    return species->part_count > 1 || (species->part_count == 1 && species->parts[0].count > 1.0);
}

/* By how much the squares of the charges fall when a species forms from its masters and H+. */
static double lost_squares(const bd_chemistry *chemistry, const bd_species *species)
{
    double sum = species->protons - (double)species->charge * species->charge;

    for (size_t i = 0; i < species->part_count; i++) {
        const bd_species_part *part = &species->parts[i];
        int charge = chemistry->species[chemistry->master[part->component]].charge;

        sum += part->count * charge * charge;
    }
    return sum;
}

static void add_particle(bd_equations *s, size_t place, double ln_k_co2, double temperature_c)
{
    const bd_species *species = &s->chemistry->species[place];
    bd_particle *p = &s->particles[s->particle_count++];
    double protons = species->protons;

    *p =
        (bd_particle){.species = place, .charge = species->charge, .is_joined = is_joined(species)};
    if (!species->is_master)
        p->ln_k = ln_10 * bd_log_k_at(&species->log_k, temperature_c);
    if (species->attraction > 0.0)
        p->lost_squares = lost_squares(s->chemistry, species);
    for (size_t i = 0; i < species->part_count; i++) {
        const bd_species_part *part = &species->parts[i];

        add_term(p, (int)part->component, part->count);
        if (part->component == BD_COMPONENT_CO3) {
            p->ln_k -= part->count * ln_k_co2;
            protons -= 2.0 * part->count;
        }
    }
    if (fabs(protons) > 0.0)
        add_term(p, BD_HYDROGEN, protons);
}

int bd_equations_master_charge(const bd_equations *s, int component)
{
    if (component == BD_COMPONENT_CO3)
        return 0;
    return s->chemistry->species[s->chemistry->master[component]].charge;
}

/* Protons that make the mix neutral, from the totals as they stand. */
static double balancing_protons(const bd_equations *s)
{
    double charge = 0.0;

    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        charge += s->total[c] * bd_equations_master_charge(s, c);
    return -charge;
}

/* Components that stand in one particle only, and alone in it. */
static void find_lone(bd_equations *s)
{
    int particles[BD_UNKNOWNS] = {0};

    for (int i = 0; i < s->particle_count; i++)
        for (int t = 0; t < s->particles[i].term_count; t++)
            particles[s->particles[i].terms[t].unknown]++;
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        s->is_lone[c] = particles[c] == 1 && !(c == BD_COMPONENT_CO3 && s->is_open);
}

static void add_solved(bd_equations *s, int unknown)
{
    s->place[unknown] = s->solved_count;
    s->solved[s->solved_count++] = unknown;
}

static void list_solved(bd_equations *s)
{
    for (int u = 0; u < BD_UNKNOWNS; u++)
        s->place[u] = -1;
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        if (s->is_present[c] && !s->is_lone[c] && !(c == BD_COMPONENT_CO3 && s->is_open))
            add_solved(s, c);
    if (!s->has_ph)
        add_solved(s, BD_HYDROGEN);
}

static void find_present(bd_equations *s, const bd_solution_input *in)
{
    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        s->is_present[c] = in->mol_per_l[c] > 0.0;
    if (in->is_open)
        s->is_present[BD_COMPONENT_CO3] = true;
    if (in->has_ph)
        s->is_present[BD_COMPONENT_K] = s->is_present[BD_COMPONENT_NO3] = true;
}

void bd_equations_set_up(bd_equations *s, const bd_chemistry *chemistry,
                         const bd_solution_input *in, double water)
{
    double ln_k_co2 = ln_10 * bd_log_k_at(&chemistry->species[chemistry->carbon_dioxide].log_k,
                                          in->temperature_c);

    *s = (bd_equations){.chemistry = chemistry, .is_open = in->is_open, .has_ph = in->has_ph};
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
    s->total[BD_HYDROGEN] = balancing_protons(s);
    if (in->is_open)
        s->x[BD_COMPONENT_CO3] =
            ln_10 * (bd_log_k_at(&chemistry->henry, in->temperature_c) + chemistry->log_pco2_atm);
    s->x[BD_HYDROGEN] = -ln_10 * (in->has_ph ? in->ph : 7.0);
    find_lone(s);
    list_solved(s);
}

/*
 * Makes the formation follow log K - d A sqrt I/(1 + b sqrt I) as a whole, d the lost
 * squares, whatever Davies says of the ions: ln_k takes up what Davies says otherwise.
 */
static void follow_own_law(const bd_equations *s, bd_particle *p, double root)
{
    double b = s->chemistry->species[p->species].attraction;
    double now = p->lost_squares * (s->ln_gamma[1] + ln_10 * s->davies_a * root / (1.0 + b * root));

    p->fall = now - p->below_ln_k;
    p->below_ln_k = now;
    p->ln_k -= p->fall;
}

void bd_equations_update_gammas(bd_equations *s)
{
    static const double beyond = 2.0; /* no use in following Davies further up */
    double strength = fmin(s->ionic_strength, beyond);

    for (int z = 0; z <= BD_HIGHEST_CHARGE; z++)
        s->ln_gamma[z] = ln_10 * bd_davies_log_gamma(z, strength, s->davies_a);
    for (int i = 0; i < s->particle_count; i++)
        if (fabs(s->particles[i].lost_squares) > 0.0)
            follow_own_law(s, &s->particles[i], sqrt(strength));
}

double bd_equations_exponent(const bd_equations *s, const bd_particle *p)
{
    double e = p->ln_k;

    for (int i = 0; i < p->term_count; i++)
        e += p->terms[i].count * s->x[p->terms[i].unknown];
    return e;
}
