#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "model/solution_equations.h"

enum { MOST_HALVINGS = 30 };

static bool is_lone(const bd_equations *s, const bd_particle *p)
{
    return p->terms[0].unknown != BD_HYDROGEN && s->is_lone[p->terms[0].unknown];
}

static void update_particles(bd_equations *s)
{
    for (int i = 0; i < s->particle_count; i++) {
        bd_particle *p = &s->particles[i];

        p->mol_per_kg = is_lone(s, p)
                            ? s->total[p->terms[0].unknown]
                            : exp(bd_equations_exponent(s, p) - s->ln_gamma[abs(p->charge)]);
    }
}

/* Amount of each component in its forms without partner. */
static void sum_forms(const bd_equations *s, double *sum)
{
    for (int u = 0; u < BD_UNKNOWNS; u++)
        sum[u] = 0.0;
    for (int i = 0; i < s->particle_count; i++)
        if (!s->particles[i].is_joined)
            sum[s->particles[i].terms[0].unknown] += s->particles[i].mol_per_kg;
}

static double power_of(const double *factor, const bd_term *t)
{
    if (t->unknown == BD_HYDROGEN)
        return 1.0;
    return t->count > 1.0 ? pow(factor[t->unknown], t->count) : factor[t->unknown];
}

static void keep_sums(bd_equations *s, const double *had, const double *has)
{
    double factor[BD_UNKNOWNS];

    for (int u = 0; u < BD_UNKNOWNS; u++)
        factor[u] = 1.0;
    for (int i = 0; i < s->solved_count; i++) {
        int u = s->solved[i];

        if (u == BD_HYDROGEN)
            continue;
        factor[u] = had[u] / has[u];
        s->x[u] += log(factor[u]);
    }
    for (int i = 0; i < s->particle_count; i++)
        for (int t = 0; t < s->particles[i].term_count; t++)
            s->particles[i].mol_per_kg *= power_of(factor, &s->particles[i].terms[t]);
}

/*
 * Takes over a new ionic strength.  Amounts change by the ratio of the coefficients;
 * activities are then moved so that the forms of each component keep their sum, or
 * every change of a coefficient would be a change of mass for Newton's method to undo.
 */
static void follow_strength(bd_equations *s, double strength)
{
    double before[BD_HIGHEST_CHARGE + 1], ratio[BD_HIGHEST_CHARGE + 1];
    double had[BD_UNKNOWNS], has[BD_UNKNOWNS];

    memcpy(before, s->ln_gamma, sizeof before);
    s->ionic_strength = strength;
    bd_equations_update_gammas(s);
    for (int z = 0; z <= BD_HIGHEST_CHARGE; z++)
        ratio[z] = exp(before[z] - s->ln_gamma[z]);
    sum_forms(s, had);
    for (int i = 0; i < s->particle_count; i++) {
        bd_particle *p = &s->particles[i];

        if (!is_lone(s, p))
            p->mol_per_kg *= ratio[abs(p->charge)];
        if (fabs(p->fall) > 0.0)
            p->mol_per_kg *= exp(-p->fall);
    }
    sum_forms(s, has);
    keep_sums(s, had, has);
}

static double ionic_strength(const bd_equations *s)
{
    double sum = 0.0;

    for (int i = 0; i < s->particle_count; i++)
        sum += s->particles[i].mol_per_kg * s->particles[i].charge * s->particles[i].charge;
    return 0.5 * sum;
}

/* The function whose lowest point is the answer. */
static double objective(const bd_equations *s)
{
    double sum = 0.0;

    for (int i = 0; i < s->particle_count; i++)
        sum += s->particles[i].mol_per_kg;
    for (int i = 0; i < s->solved_count; i++)
        sum -= s->total[s->solved[i]] * s->x[s->solved[i]];
    return sum;
}

/* Of the objective, by the places of the unknowns among the solved. */
typedef struct slope {
    double gradient[BD_UNKNOWNS];
    double hessian[BD_UNKNOWNS][BD_UNKNOWNS]; /* lower half */
} slope;

static void clear(const bd_equations *s, slope *d)
{
    for (int row = 0; row < s->solved_count; row++) {
        d->gradient[row] = -s->total[s->solved[row]];
        for (int column = 0; column <= row; column++)
            d->hessian[row][column] = 0.0;
    }
}

static void add_slope(const bd_equations *s, const bd_particle *p, slope *d)
{
    for (int a = 0; a < p->term_count; a++) {
        int row = s->place[p->terms[a].unknown];
        double weight = p->terms[a].count * p->mol_per_kg;

        if (row < 0)
            continue;
        d->gradient[row] += weight;
        for (int b = 0; b < p->term_count; b++) {
            int column = s->place[p->terms[b].unknown];

            if (column >= 0 && column <= row)
                d->hessian[row][column] += weight * p->terms[b].count;
        }
    }
}

static void differentiate(const bd_equations *s, slope *d)
{
    clear(s, d);
    for (int i = 0; i < s->particle_count; i++)
        add_slope(s, &s->particles[i], d);
}

/* hessian = L D L^T in place: L below the diagonal, 1/D on it. */
static void factorise(double hessian[BD_UNKNOWNS][BD_UNKNOWNS], int n)
{
    static const double least_pivot = 1e-40;

    for (int j = 0; j < n; j++) {
        double scaled[BD_UNKNOWNS];

        for (int k = 0; k < j; k++) {
            double sum = hessian[j][k];

            for (int m = 0; m < k; m++)
                sum -= scaled[m] * hessian[k][m];
            scaled[k] = sum;
        }
        for (int k = 0; k < j; k++) {
            double l = scaled[k] * hessian[k][k];

            hessian[j][j] -= l * scaled[k];
            hessian[j][k] = l;
        }
        hessian[j][j] = 1.0 / fmax(hessian[j][j], least_pivot);
    }
}

/* step = -hessian^-1 gradient */
static void solve_step(slope *d, int n, double *step)
{
    factorise(d->hessian, n);
    for (int j = 0; j < n; j++) {
        step[j] = -d->gradient[j];
        for (int m = 0; m < j; m++)
            step[j] -= d->hessian[j][m] * step[m];
    }
    for (int j = n - 1; j >= 0; j--) {
        step[j] *= d->hessian[j][j];
        for (int m = j + 1; m < n; m++)
            step[j] -= d->hessian[m][j] * step[m];
    }
}

static double largest(const double *step, int n)
{
    double most = 0.0;

    for (int i = 0; i < n; i++)
        most = fmax(most, fabs(step[i]));
    return most;
}

static void move(bd_equations *s, const double *from, const double *step, double share)
{
    for (int i = 0; i < s->solved_count; i++)
        s->x[s->solved[i]] = from[s->solved[i]] + share * step[i];
    update_particles(s);
}

/* Goes along the step as far as the objective falls; near the answer all the way. */
static void take_step(bd_equations *s, const double *step, double size)
{
    static const double longest_step = 4.0, surely_near = 0.05;
    double from[BD_UNKNOWNS], before = objective(s);
    double share = size > longest_step ? longest_step / size : 1.0;

    memcpy(from, s->x, sizeof from);
    move(s, from, step, share);
    for (int i = 0; i < MOST_HALVINGS && size > surely_near && !(objective(s) <= before); i++) {
        share *= 0.5;
        move(s, from, step, share);
    }
}

/* Protons in the particles, counted from the master species. */
static double protons_held(const bd_equations *s)
{
    double sum = 0.0;

    for (int i = 0; i < s->particle_count; i++)
        for (int t = 0; t < s->particles[i].term_count; t++)
            if (s->particles[i].terms[t].unknown == BD_HYDROGEN)
                sum += s->particles[i].terms[t].count * s->particles[i].mol_per_kg;
    return sum;
}

/*
 * KOH or HNO3 that takes away or brings the protons the pH that was asked for needs;
 * gives back the mol/kg of titrant that came on top.
 */
static double titrate(bd_equations *s)
{
    double before = s->koh + s->hno3;
    double needed = s->total[BD_HYDROGEN] - protons_held(s);

    s->koh = fmax(needed, 0.0);
    s->hno3 = fmax(-needed, 0.0);
    s->total[BD_COMPONENT_K] = s->own_k + s->koh;
    s->total[BD_COMPONENT_NO3] = s->own_no3 + s->hno3;
    return s->koh + s->hno3 - before;
}

/*
 * The ionic strength to go on with, from the one that just came out: where the line
 * through the last two differences crosses zero, as long as that line is a sound one.
 */
static double next_strength(bd_equations *s, double came_out)
{
    static const double flattest = -0.3, steepest = -3.0;
    enum { FIRST_WITH_LINE = 3 };
    double difference = came_out - s->ionic_strength;
    double slope_of_line =
        (difference - s->last_difference) / (s->ionic_strength - s->last_strength);
    bool is_sound = slope_of_line >= steepest && slope_of_line <= flattest;
    double next = came_out;

    if (s->rounds >= FIRST_WITH_LINE && is_sound)
        next = fmax(s->ionic_strength - difference / slope_of_line, 0.5 * came_out);
    s->last_strength = s->ionic_strength;
    s->last_difference = difference;
    return next;
}

/* One round; gives back how far things still moved, relative to what there is. */
static double advance(bd_equations *s)
{
    static const double least_strength = 1e-8, small_share = 1e-3;
    slope d = {0};
    double step[BD_UNKNOWNS];
    double moved, strength, titrant = 0.0;

    differentiate(s, &d);
    solve_step(&d, s->solved_count, step);
    moved = largest(step, s->solved_count);
    take_step(s, step, moved);
    if (s->has_ph)
        titrant = titrate(s);
    strength = fmax(ionic_strength(s) + 0.5 * titrant, least_strength);
    moved = fmax(moved, fabs(strength - s->ionic_strength) / strength);
    moved = fmax(moved, fabs(titrant) / (s->koh + s->hno3 + small_share * strength));
    follow_strength(s, next_strength(s, strength));
    return moved;
}

bool bd_equations_converge(bd_equations *s)
{
    static const double still = 1e-7;

    update_particles(s);
    for (s->rounds = 1; s->rounds <= BD_MOST_ROUNDS; s->rounds++)
        if (advance(s) < still)
            return true;
    return false;
}
