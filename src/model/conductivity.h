/*
 * conductivity.h - the electrical conductivity of a solved solution, from its ions.
 *
 * May include: base/, quantity/, nutrients/ and model/solution.h.  No stdio, no JSON.
 *
 * Method   Each ion loses mobility to the ions around it, after Debye, Hueckel and
 *          Onsager with the sizes of the ions (the form of Robinson and Stokes),
 *              l = (l0 - z e)(1 - r),   e, r ~ sqrt I/(1 + B a sqrt I),
 *          e the counter-flow of the water, r the lag of the ions around it, for a
 *          mixture with the mean charge and mobility of all ions of the other sign.
 *          l0 moves with temperature as exp(d/T)/viscosity; the sum is divided by the
 *          viscosity that what is dissolved adds (Jones and Dole).  Phosphoric acid
 *          itself is given none: it passes protons on, and its solutions show no drag.
 *          I is the ionic strength in mol per litre of the ions so counted.
 *
 *          Loose pairs (KSO4-, NaHCO3, CaHCO3+, ...) are counted as the free ions they
 *          are made of: the law already holds the ions' pull on each other, and taking
 *          these pairs out as well leaves sulfates 8 to 19 % low.  The close, neutral
 *          pairs of two-valued ions (MgSO4, ZnSO4, ...) are taken out.
 *
 *          Interpolated: sulfates of magnesium, manganese, iron, copper and zinc.  No
 *          such law follows them above a few mmol/L, so the pair MgSO4 and its like is
 *          given the conductivity that makes the law meet the measured rows of the pure
 *          salt, by the ionic strength around it (species.json, pair_conductivity).  Iron
 *          has no rows and takes manganese's, the pair CaSO4 takes magnesium's.  Copper and zinc
 * have rows at 20 degC and at 25 degC that disagree by up to 15 %; each holds at its own
 * temperature, in between the answer goes over from one to the other. Source   l0, sizes, d, B:
 * species.json. Holds    to an ionic strength of about 1 mol/L; measured single salts are met
 * within 5 % to 0.1 mol/L at 25 degC and within 8 % to 20 g/L at 20 degC
 *          (tests/published/test_solution.c prints the table).
 * Example  0.01 mol/L KCl, 25 degC -> 1.413 dS/m
 */
#ifndef BD_MODEL_CONDUCTIVITY_H
#define BD_MODEL_CONDUCTIVITY_H

#include "model/solution.h"
#include "nutrients/chemistry.h"

/* Conductivity [dS/m = mS/cm] of a solved solution at its own temperature. */
double bd_conductivity_ds_per_m(const bd_chemistry *chemistry, const bd_solution *solution);

/*
 * What one mole of a neutral pair seems to conduct [S cm2/mol], by the ionic strength
 * of the free ions [mol/L]; 0 for a species without measured rows.  Between points
 * and temperatures linear; beyond the points the nearest one, beyond the temperatures
 * the nearest, moved with the viscosity of water.
 */
double bd_pair_conductivity(const bd_chemistry *chemistry, size_t species,
                            double ionic_strength_mol_per_l, double temperature_c);

#endif
