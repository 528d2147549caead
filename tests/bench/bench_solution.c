/*
 * How long one ten-ion feed takes to solve; below 20 us is wanted.
 *
 * The feed: calcium nitrate, potassium nitrate, magnesium sulfate and
 * monopotassium phosphate in hard tap water, with a trace of zinc.
 */
#include <stdio.h>
#include <time.h>

#include "model/conductivity.h"
#include "model/osmotic.h"
#include "model/saturation.h"
#include "model/solution.h"
#include "nutrients/chemistry.h"

enum { SOLVES = 50000 };

static const struct {
    const char *ion;
    double mmol_per_l;
} feed[] = {{"Ca+2", 4.5}, {"NH4+", 0.7},   {"NO3-", 14.0},  {"K+", 7.0},
            {"Mg+2", 2.4}, {"SO4-2", 2.3},  {"H2PO4-", 1.5}, {"Na+", 1.0},
            {"Cl-", 1.2},  {"HCO3-", 4.75}, {"CO2", 0.35}};

static double now_us(void)
{
    struct timespec t;

    (void)clock_gettime(CLOCK_MONOTONIC, &t);
    return 1e6 * (double)t.tv_sec + 1e-3 * (double)t.tv_nsec;
}

static bool prepare(const bd_chemistry *chemistry, bd_solution_input *in)
{
    bd_solution_input_init(in);
    for (size_t i = 0; i < sizeof feed / sizeof feed[0]; i++)
        if (bd_solution_add_ion(chemistry, in, feed[i].ion, feed[i].mmol_per_l / 1000.0, NULL) !=
            BD_OK)
            return false;
    in->temperature_c = 18.0;
    return true;
}

static int run(const bd_chemistry *chemistry)
{
    bd_solution_input in;
    bd_solution out = {.ph = 0.0};
    double start, solved, measured, sum = 0.0;

    if (!prepare(chemistry, &in))
        return 1;
    start = now_us();
    for (int i = 0; i < SOLVES; i++) {
        in.mol_per_l[BD_COMPONENT_K] = 7e-3 * (1.0 + 1e-4 * (i % 1000));
        if (bd_solution_solve(chemistry, &in, &out, NULL) != BD_OK)
            return 1;
        sum += out.ph;
    }
    solved = now_us();
    for (int i = 0; i < SOLVES; i++) {
        bd_saturation s = bd_saturation_of(chemistry, &out);

        sum += bd_conductivity_ds_per_m(chemistry, &out) +
               bd_osmotic_pressure(chemistry, &out).kpa + s.index[0];
    }
    measured = now_us();
    printf("ten-ion solve %.2f us (%d rounds), conductivity, osmotic pressure and indices %.2f us "
           "[%.3g]\n",
           (solved - start) / SOLVES, out.rounds, (measured - solved) / SOLVES, sum);
    return 0;
}

int main(void)
{
    bd_chemistry *chemistry;
    bd_error err = {.status = BD_OK};
    int status;

    if (bd_chemistry_load(&chemistry, &err) != BD_OK) {
        fprintf(stderr, "%s: %s\n", err.where, err.text);
        return 1;
    }
    status = run(chemistry);
    bd_chemistry_free(chemistry);
    return status;
}
