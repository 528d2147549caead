/*
 * saturation.h - how near a solved solution is to dropping gypsum, brushite,
 * calcite or struvite.
 *
 * May include: base/, quantity/, nutrients/ and model/solution.h.  No stdio, no JSON.
 *
 * Method   SI = log10(ion activity product) - log10 K at temperature; above 0 the
 *          solid can form.  Activity of water 1 - 0.018 sum m.
 * Source   minerals.json.
 * Holds    as model/solution.h; against a geochemical program within 0.15 for gypsum,
 *          brushite, calcite and struvite (tests/published/test_solution.c).
 * Example  10 g/L calcium nitrate double salt with 10 g/L K2SO4, 15 degC: gypsum +0.5,
 *          27 mmol/L of it drop
 */
#ifndef BD_MODEL_SATURATION_H
#define BD_MODEL_SATURATION_H

#include <stdbool.h>

#include "base/error.h"
#include "model/solution.h"
#include "nutrients/chemistry.h"

typedef struct bd_saturation {
    bool has_index[BD_MINERALS_MAX]; /* false when an ion of the mineral is absent */
    double index[BD_MINERALS_MAX];   /* in the order of chemistry->minerals        */
} bd_saturation;

/* Saturation index of every mineral whose ions are all there. */
bd_saturation bd_saturation_of(const bd_chemistry *chemistry, const bd_solution *solution);

/*
 * Lets the minerals of `wanted` (true by place in chemistry->minerals) come to rest:
 * as much of each drops as exceeds saturation.  Carbon dioxide stays where it is: the
 * air takes hours, a precipitate minutes.
 *
 *   in       what is in the mix, as for bd_solution_solve; with a pH to be reached, it
 *            is titrated first and then precipitates without further titrant
 *   dropped  mol/L of each mineral, BD_MINERALS_MAX places
 *   out      the clear solution that is left
 *   Both are written only on BD_OK.
 *
 * Returns as bd_solution_solve; BD_UNSOLVED also when the minerals do not settle.
 */
bd_status bd_saturation_settle(const bd_chemistry *chemistry, const bd_solution_input *in,
                               const bool *wanted, double *dropped_mol_per_l, bd_solution *out,
                               bd_error *err) BD_MUST_CHECK;

#endif
