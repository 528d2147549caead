/*
 * solution.h - what a fertiliser solution consists of once everything in it has
 * come to rest: ions, ion pairs, undissociated acids, pH and ionic strength.
 *
 * May include: base/, quantity/, nutrients/.  No stdio, no JSON, no allocation.
 *
 * Method   Mass balance of each component and electroneutrality, with mass-action
 *          laws for pairs and acids, log K at temperature, Davies' activity
 *          coefficients (log g = -A z^2 (sqrt I/(1 + sqrt I) - 0.3 I); uncharged
 *          species 0.1 I).  A species may form by a law of its own instead,
 *          log Q = log K - d A sqrt I/(1 + b sqrt I), d by how much the squares of
 *          the charges fall: HSO4- does, beside which Davies leaves little more than
 *          half the sulfate at I 0.3.  In the logarithms of the activities this is the
 *          minimum of a convex function, found by Newton's method with step
 *          control; activity coefficients follow along.  The number of rounds is
 *          bounded.
 * Source   Constants: species.json.  A of Davies: the table in Freeze and Cherry,
 *          Groundwater (1979), appendix IV.
 * Holds    up to an ionic strength of 1 mol/L and for 0..60 degC; beyond that the
 *          answer is BD_OUTSIDE, and only solubility and g/L limits speak.
 *          Nothing is oxidised, evaporates (but CO2) or precipitates: supersaturated
 *          solutions stay in solution, model/saturation.h says by how much.
 *
 * Amounts go in per litre of finished solution.  The laws hold per kilogram of
 * water; the water in a litre is what the dissolved particles leave room for (their
 * molar volumes are in species.json), within 0.001 kg/L of tabulated densities.
 *
 * Left out on purpose: pairs of sodium with carbonate, which beside Davies'
 * coefficients put the pH of the carbonate buffer standard 0.15 off.
 */
#ifndef BD_MODEL_SOLUTION_H
#define BD_MODEL_SOLUTION_H

#include <stdbool.h>

#include "base/error.h"
#include "nutrients/chemistry.h"

typedef struct bd_solution_input {
    double mol_per_l[BD_COMPONENT_COUNT]; /* not below 0                            */
    double charge_eq_per_l; /* of the ions as they were added; 0 for salts, see below */
    double temperature_c;   /* 0..60                                                */
    bool is_open;           /* in equilibrium with the carbon dioxide of the air    */
    bool has_ph;            /* brought to `ph` with KOH or, if below the mix's own, HNO3 */
    double ph;              /* 2..12                                                */
} bd_solution_input;

typedef struct bd_solution {
    double temperature_c;
    double ph;                        /* -log10 of the activity of H+            */
    double ionic_strength_mol_per_kg; /* per kg of water, pairs counted as pairs */
    double ionic_strength_mol_per_l;
    double total_mol_per_l[BD_COMPONENT_COUNT]; /* titrant and CO2 from the air included */
    double species_mol_per_l[BD_SPECIES_MAX];
    double log_activity[BD_COMPONENT_COUNT]; /* log10 of the activity of the master species;
                                                meaningless for a component that is absent */
    double koh_mol_per_l, hno3_mol_per_l;    /* added to reach the pH that was asked for  */
    double water_kg_per_l, density_kg_per_l;
    double charge_residual; /* |sum of charges| over the sum of their sizes */
    int rounds;             /* of Newton's method */
} bd_solution;

/* Nothing in it, 25 degC, closed, at its own pH. */
void bd_solution_input_init(bd_solution_input *in);

/*
 * Adds an ion or molecule by its name in species.json ("K+", "H2PO4-",
 * "CO(NH2)2", "CO2", "H+", "OH-").
 *
 * An ion that is a mere proton more or less (H2PO4-, HCO3-, OH-) adds its
 * component and its charge; that the mix as a whole has no charge then fixes the
 * protons.  A salt adds up to zero by itself.  An analysis of water rarely does:
 * charge_eq_per_l shows by how much, and bd_solution_balance closes it.
 *
 * Returns BD_OK, BD_UNKNOWN, or BD_RANGE for an amount below 0 or not a number.
 */
bd_status bd_solution_add_ion(const bd_chemistry *chemistry, bd_solution_input *in, const char *ion,
                              double mol_per_l, bd_error *err) BD_MUST_CHECK;

/* Adds a water's ions, `share` of its strength (1 for the water itself). */
bd_status bd_solution_add_water(const bd_chemistry *chemistry, bd_solution_input *in,
                                const bd_water *water, double share, bd_error *err) BD_MUST_CHECK;

/* Closes the gap of a water analysis with sodium or chloride, as is usual, and so zeroes it. */
void bd_solution_balance(bd_solution_input *in);

/*
 * Solves it.
 *
 *   out  written only on BD_OK
 *
 * Returns BD_OK; BD_RANGE for an amount, temperature or pH outside its range;
 * BD_OUTSIDE above an ionic strength of 1 mol/L; BD_UNSOLVED if the rounds ran out.
 *
 * Example  1 g/L KNO3 (9.891 mmol/L K+ and NO3-), open, 25 degC -> pH 5.6,
 *          I 0.0099; 2 g/L KH2PO4 -> pH 4.7.
 */
bd_status bd_solution_solve(const bd_chemistry *chemistry, const bd_solution_input *in,
                            bd_solution *out, bd_error *err) BD_MUST_CHECK;

/* The same mix, closed, with what it took up and was titrated with: for another temperature. */
bd_solution_input bd_solution_again(const bd_solution *solution, double temperature_c);

/*
 * log10 K of a reaction at a temperature [0..60 degC].
 * Example  2.37 and 19.04 kJ/mol (MgSO4 pair) at 15 degC -> 2.254
 */
double bd_log_k_at(const bd_log_k *k, double temperature_c);

/* Davies' A [kg^0.5/mol^0.5], 0..60 degC.  Example  25 -> 0.5085 */
double bd_davies_a(double temperature_c);

/* log10 of an activity coefficient after Davies.  Example  charge 2, I 0.1, 25 degC -> -0.428 */
double bd_davies_log_gamma(int charge, double ionic_strength, double davies_a);

#endif
