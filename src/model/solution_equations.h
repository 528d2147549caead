/*
 * solution_equations.h - the equations of a solution and how they are solved.
 * Private to model/solution*.
 *
 * May include: base/, quantity/, nutrients/ and model/solution.h.
 */
#ifndef BD_MODEL_SOLUTION_EQUATIONS_H
#define BD_MODEL_SOLUTION_EQUATIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "model/solution.h"
#include "nutrients/chemistry.h"

/*
 * Unknowns are the natural logarithms of the activities of the master species and
 * of H+.  Carbonate is counted from CO2, which has no charge, so that taking up
 * or giving off CO2 leaves the protons alone.
 */
enum {
    BD_HYDROGEN = BD_COMPONENT_COUNT, /* its place among the unknowns */
    BD_UNKNOWNS = BD_COMPONENT_COUNT + 1,
    BD_TERMS = BD_PARTS_MAX + 1,
    BD_MOST_ROUNDS = 120,
    BD_HIGHEST_CHARGE = 4
};

typedef struct bd_term {
    int unknown;
    double count;
} bd_term;

/* One species of this mix. */
typedef struct bd_particle {
    size_t species;
    int charge;
    bd_term terms[BD_TERMS];
    int term_count;
    bool is_joined; /* of two partners, or of one component twice */
    double ln_k;
    double lost_squares; /* with a law of its own (bd_species.attraction), else 0 */
    double below_ln_k;   /* what that law has taken off ln_k at this ionic strength */
    double fall;         /* of ln_k at the last update */
    double mol_per_kg;
} bd_particle;

typedef struct bd_equations {
    const bd_chemistry *chemistry;
    bd_particle particles[BD_SPECIES_MAX];
    int particle_count;
    bool is_present[BD_COMPONENT_COUNT];
    bool is_lone[BD_COMPONENT_COUNT]; /* one particle and no partner: nothing to solve */
    double total[BD_UNKNOWNS]; /* mol per kg of water; of BD_HYDROGEN the protons that balance the
                                  charge */
    double x[BD_UNKNOWNS];     /* ln activity     */
    int solved[BD_UNKNOWNS];   /* unknowns that Newton's method moves   */
    int place[BD_UNKNOWNS];    /* of an unknown among the solved; -1 if it is not    */
    int solved_count;
    bool is_open, has_ph;
    double davies_a, ionic_strength;
    double ln_gamma[BD_HIGHEST_CHARGE + 1]; /* by size of charge */
    double last_strength, last_difference;
    double own_k, own_no3; /* mol per kg of water, before titrating */
    double koh, hno3;      /* mol per kg of water, the titrant      */
    int rounds;
} bd_equations;

/* Writes down the equations of a mix in `water_kg_per_l` of water; `in` was checked. */
void bd_equations_set_up(bd_equations *s, const bd_chemistry *chemistry,
                         const bd_solution_input *in, double water_kg_per_l);

/* A first guess: no pairs, ionic strength from the totals. */
void bd_equations_guess(bd_equations *s);

/* Newton's method from the guess on; false when the rounds ran out. */
bool bd_equations_converge(bd_equations *s);

/* Charge of a component's master species; 0 for carbonate, which is counted from CO2. */
int bd_equations_master_charge(const bd_equations *s, int component);

/* ln of the activity coefficients, at the ionic strength as it stands. */
void bd_equations_update_gammas(bd_equations *s);

/* ln of a particle's activity at the activities as they stand. */
double bd_equations_exponent(const bd_equations *s, const bd_particle *p);

#endif
