/*
 * solution_measures.h - everything a card says of a solution, in one call.
 *
 * May include: base/, quantity/, nutrients/ and the other solution headers of model/.
 *
 * The conductivity at 25 degC is that of the same composition warmed or cooled to
 * 25 degC with nothing gained or lost, which is what a meter with temperature
 * compensation stands for.
 *
 * Example  2.5 g/L KNO3, open, 15 degC -> pH 5.57, 2.63 dS/m there, 3.28 dS/m at
 *          25 degC, 112 kPa
 */
#ifndef BD_MODEL_SOLUTION_MEASURES_H
#define BD_MODEL_SOLUTION_MEASURES_H

#include "base/error.h"
#include "model/osmotic.h"
#include "model/saturation.h"
#include "model/solution.h"
#include "nutrients/chemistry.h"

typedef struct bd_solution_measures {
    bd_solution solution; /* at the temperature of the mix */
    double ec_ds_per_m;   /* at the temperature of the mix */
    double ec_25c_ds_per_m;
    bd_osmotic osmotic;
    bd_saturation saturation;
} bd_solution_measures;

/* Solves the mix and measures it; returns as bd_solution_solve, `out` written only on BD_OK. */
bd_status bd_solution_measure(const bd_chemistry *chemistry, const bd_solution_input *in,
                              bd_solution_measures *out, bd_error *err) BD_MUST_CHECK;

#endif
