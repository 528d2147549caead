#include "model/solution_measures.h"

#include "model/conductivity.h"

bd_status bd_solution_measure(const bd_chemistry *chemistry, const bd_solution_input *in,
                              bd_solution_measures *out, bd_error *err)
{
    static const double reference_c = 25.0;
    bd_solution at_mix, at_25c;
    bd_solution_input again;
    bd_status status = bd_solution_solve(chemistry, in, &at_mix, err);

    if (status != BD_OK)
        return status;
    again = bd_solution_again(&at_mix, reference_c);
    status = bd_solution_solve(chemistry, &again, &at_25c, err);
    if (status != BD_OK)
        return status;
    *out = (bd_solution_measures){
        .solution = at_mix,
        .ec_ds_per_m = bd_conductivity_ds_per_m(chemistry, &at_mix),
        .ec_25c_ds_per_m = bd_conductivity_ds_per_m(chemistry, &at_25c),
        .osmotic = bd_osmotic_pressure(chemistry, &at_mix),
        .saturation = bd_saturation_of(chemistry, &at_mix),
    };
    return BD_OK;
}
