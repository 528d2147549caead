/*
 * osmotic.h - osmotic pressure: what pulls water out of a leaf or a root.
 *
 * May include: base/, quantity/, nutrients/ and model/solution.h.  No stdio, no JSON.
 *
 * Method   pi = R T rho (phi sum m(ions) + sum m(uncharged)), m in mol per kg of water,
 *          ions counted as dissociated (pairs without parameters of their own stay
 *          pairs).  phi of the mixture is Pitzer's sum over its
 *          pairs of cation and anion, without the terms of three ions.  Urea, sugars,
 *          boric acid count as ideal: about 1 % at 0.1 mol/kg.
 * Source   Pitzer and Mayorga 1973 and later tables: species.json, "osmotic".  Ions
 *          without parameters keep the Debye-Hueckel term only.
 * Holds    0..40 degC with parameters of 25 degC (phi moves by 0.01), to 1 mol/kg.
 * Example  20 g/L KNO3, 25 degC -> phi 0.874, 864 kPa; 1 g/L urea -> 41 kPa
 */
#ifndef BD_MODEL_OSMOTIC_H
#define BD_MODEL_OSMOTIC_H

#include "model/solution.h"
#include "nutrients/chemistry.h"

typedef struct bd_osmotic {
    double kpa;
    double coefficient;          /* phi of the ions; 1 when there are none   */
    double particles_mol_per_kg; /* ions and uncharged together              */
} bd_osmotic;

/* Of a solved solution, by the method above; never fails. */
bd_osmotic bd_osmotic_pressure(const bd_chemistry *chemistry, const bd_solution *solution);

#endif
