/*
 * formula.h - "5Ca(NO3)2.NH4NO3.10H2O": what a formula weighs and is made of.
 *
 * May include: base/, quantity/.
 */
#ifndef BD_NUTRIENTS_FORMULA_H
#define BD_NUTRIENTS_FORMULA_H

#include "base/error.h"
#include "quantity/nutrient.h"

typedef enum bd_element {
#define BD_ELEMENT(symbol, weight) BD_ELEMENT_##symbol,
#include "nutrients/element.def"
#undef BD_ELEMENT
    BD_ELEMENT_COUNT
} bd_element;

typedef struct bd_formula {
    double count[BD_ELEMENT_COUNT]; /* atoms in one formula unit */
    double g_per_mol;
} bd_formula;

/*
 * Reads a formula: symbols, counts, round brackets, parts set apart by a point,
 * each with its own number in front.  No charges.
 *
 *   out  written only on BD_OK
 *
 * Returns BD_OK, or BD_SYNTAX for anything else, an element that is not in
 * element.def included.
 * Example  "MgSO4.7H2O" -> 246.47 g/mol, 11 O, 14 H
 */
bd_status bd_formula_read(const char *text, bd_formula *out, bd_error *err) BD_MUST_CHECK;

/* Mass of a nutrient's element in the compound [kg/kg, 0..1]. */
double bd_formula_share(const bd_formula *formula, bd_nutrient nutrient);

/*
 * Mass of the element in its oxide [kg/kg]: 1 where labels use the element.
 * Unrounded, from element.def; label law rounds it (0.436 for P, 0.830 for K).
 * Example  K -> 0.83015 (K2O), P -> 0.43643 (P2O5)
 */
double bd_oxide_element_share(bd_nutrient nutrient);

#endif
