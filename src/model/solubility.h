/*
 * solubility.h - how much of a salt water takes up at a temperature, and how warm
 * it must be for an amount.
 *
 * May include: base/, quantity/, nutrients/.  No stdio, no JSON, no allocation.
 *
 * Method   Between the points of a published curve ln s runs straight in 1/T (T in
 *          kelvin), as a constant heat of solution would have it.  Outside the curve
 *          nothing is said.
 * Source   the curve (materials' "curves"), its own source with it.
 * Holds    at rest; a salt that cools the water as it dissolves (potassium nitrate,
 *          urea, ammonium nitrate) needs the temperature after that.
 *
 * Amounts are grams of the form the curve names per 100 g of the water poured in: a
 * hydrate's own water is part of the salt.
 */
#ifndef BD_MODEL_SOLUBILITY_H
#define BD_MODEL_SOLUBILITY_H

#include <stddef.h>

#include "base/error.h"
#include "nutrients/catalogue.h"

/*
 * Solubility at a temperature within the curve.
 *
 *   out  [g/100 g water], written only on BD_OK
 *
 * Returns BD_OK; BD_OUTSIDE with the range in `accepts`; BD_RANGE for not a number.
 * Example  potassium nitrate, points 31.93 at 20 and 38.31 at 25 degC: 22 degC -> 34.4
 */
bd_status bd_solubility_at(const bd_solubility *curve, double temperature_c,
                           double *out_g_per_100g_water, bd_error *err) BD_MUST_CHECK;

/*
 * The strictest of all curves of a material at a temperature; curves that do not
 * reach it are passed over.
 *
 *   curve  which one it was; may be NULL
 *
 * Returns BD_OK; BD_MISSING when the material has no curve; BD_OUTSIDE when none
 * reaches the temperature.
 */
bd_status bd_solubility_strictest(const bd_solubility *curves, size_t count, const char *material,
                                  double temperature_c, double *out_g_per_100g_water,
                                  const bd_solubility **curve, bd_error *err) BD_MUST_CHECK;

/*
 * The lowest temperature of the curve at which so much dissolves.
 *
 *   g_per_100g_water  above 0
 *
 * Returns BD_OK; BD_OUTSIDE when no temperature of the curve is enough; BD_RANGE.
 * Example  the curve above: 35 g/100 g -> 22.5 degC
 */
bd_status bd_solubility_temperature_for(const bd_solubility *curve, double g_per_100g_water,
                                        double *out_temperature_c, bd_error *err) BD_MUST_CHECK;

/*
 * What is in a litre as grams per 100 g of the water poured in, the measure of a curve.
 *
 *   g_per_l          of the salt in a litre of finished solution
 *   water_kg_per_l   all water in that litre (bd_solution.water_kg_per_l)
 *   water_share      of the salt's own mass that is water: 0 for KNO3, 0.51 for MgSO4.7H2O
 *
 * Example  100 g/L MgSO4.7H2O in 1.005 kg of water -> 10.5
 */
double bd_solubility_g_per_100g(double g_per_l, double water_kg_per_l, double water_share);

/*
 * How near a salt is to crystallising from a mix that brings its ions from other
 * salts too (the common-ion effect): 1 is saturated.
 *
 *   mol_per_kg      of each of its ions in the mix, per kg of water
 *   counts          of each ion in its formula
 *   solubility_mol_per_kg  of the salt alone, at this temperature
 *
 * Method   The product of the ions over that of the saturated solution of the salt
 *          alone, its root by the number of ions, so that a pure solution gives plain
 *          amount over solubility.  Activity coefficients are taken as equal in both,
 *          which errs to the safe side in a foreign salt (it would hold a little more).
 * Example  K2SO4 (0.634 mol/kg at 20 degC), mix of 0.5 mol/kg K2SO4 and 1 mol/kg KNO3:
 *          (2^2 * 0.5 / (1.268^2 * 0.634))^(1/3) = 1.25: a fifth too much
 */
double bd_solubility_in_mix(const double *mol_per_kg, const double *counts, size_t count,
                            double solubility_mol_per_kg);

#endif
