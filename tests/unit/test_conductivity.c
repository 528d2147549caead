#include "support/cmocka_all.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "model/conductivity.h"
#include "model/osmotic.h"
#include "model/solution_measures.h"
#include "support/close.h"

static bd_chemistry *chemistry;

typedef struct dose {
    const char *ion;
    double mmol_per_l;
} dose;

enum { DOSES = 4 };

static bd_solution_measures measure(const dose *doses, double temperature_c)
{
    bd_solution_input in;
    bd_solution_measures out = {.ec_ds_per_m = -1.0};

    bd_solution_input_init(&in);
    in.temperature_c = temperature_c;
    for (int i = 0; i < DOSES && doses[i].ion != NULL; i++)
        assert_int_equal(
            bd_solution_add_ion(chemistry, &in, doses[i].ion, doses[i].mmol_per_l / 1000.0, NULL),
            BD_OK);
    assert_int_equal(bd_solution_measure(chemistry, &in, &out, NULL), BD_OK);
    return out;
}

/* Measured conductivities, and the tolerance the method claims for each. */
static const struct ec_row {
    const char *name;
    dose doses[DOSES];
    double temperature_c, want, tolerance;
    const char *source;
} ec_rows[] = {
    {"ec/kcl_0_01", {{"K+", 10}, {"Cl-", 10}}, 25, 1.413, 0.015, "calibration standard, 1 %"},
    {"ec/kcl_0_1", {{"K+", 100}, {"Cl-", 100}}, 25, 12.88, 0.26, "calibration standard, 2 %"},
    {"ec/kcl_0_01_at_15",
     {{"K+", 10}, {"Cl-", 10}},
     15,
     1.141,
     0.015,
     "primary standard of 0.01 mol/kg, 1 %"},
    {"ec/hydrochloric_0_1",
     {{"H+", 100}, {"Cl-", 100}},
     25,
     39.13,
     0.8,
     "molar conductivity 391.3, Robinson and Stokes, 2 %"},
    {"ec/sodium_hydroxide_0_01",
     {{"Na+", 10}, {"OH-", 10}},
     25,
     2.38,
     0.05,
     "molar conductivity 238, Robinson and Stokes, 2 %"},
    {"ec/acetic_acid_barely_conducts",
     {{"CH3COOH", 10}},
     25,
     0.1620,
     0.006,
     "molar conductivity 16.2, MacInnes and Shedlovsky, 4 %"},
    {"ec/pure_water_does_not", {{NULL, 0}}, 25, 5.5e-5, 1e-6, "0.055 uS/cm, any handbook"},
    {"ec/epsom_salt_0_01",
     {{"Mg+2", 10}, {"SO4-2", 10}},
     25,
     1.526,
     0.08,
     "equivalent conductivity 76.3 at 0.02 eq/L, older handbook, 5 %"},
};

static void check_ec(void **state)
{
    const struct ec_row *r = *state;

    assert_close(measure(r->doses, r->temperature_c).ec_ds_per_m, r->want, r->tolerance);
}

/* Per degree between 15 and 25, of the value at 25 degC. */
static const struct slope_row {
    const char *name;
    dose doses[DOSES];
    double low, high;
} slope_rows[] = {
    {"ec_slope/potassium_nitrate", {{"K+", 25}, {"NO3-", 25}}, 0.0190, 0.0205},
    {"ec_slope/potassium_sulfate", {{"K+", 40}, {"SO4-2", 20}}, 0.0190, 0.0210},
    {"ec_slope/calcium_nitrate", {{"Ca+2", 20}, {"NO3-", 40}}, 0.0190, 0.0216},
    /* Less than others: pairs form as it warms. */
    {"ec_slope/magnesium_sulfate", {{"Mg+2", 20}, {"SO4-2", 20}}, 0.0150, 0.0185},
};

static void check_slope(void **state)
{
    const struct slope_row *r = *state;
    bd_solution_measures m = measure(r->doses, 15.0);
    double slope = (m.ec_25c_ds_per_m - m.ec_ds_per_m) / m.ec_25c_ds_per_m / 10.0;

    assert_true(slope > r->low && slope < r->high);
}

/* Osmotic coefficients at 25 degC: Robinson and Stokes, half a unit of the third digit and 0.5 %.
 */
static const struct phi_row {
    const char *name;
    dose doses[DOSES]; /* mmol per kg, near enough per litre at this strength */
    double want;
} phi_rows[] = {
    {"phi/potassium_nitrate_0_1", {{"K+", 100}, {"NO3-", 100}}, 0.906},
    {"phi/potassium_nitrate_0_2", {{"K+", 199}, {"NO3-", 199}}, 0.873},
    {"phi/potassium_chloride_0_1", {{"K+", 100}, {"Cl-", 100}}, 0.927},
    {"phi/monopotassium_phosphate_0_1", {{"K+", 100}, {"H2PO4-", 100}}, 0.911},
    {"phi/ammonium_nitrate_0_1", {{"NH4+", 100}, {"NO3-", 100}}, 0.911},
    {"phi/calcium_nitrate_0_1", {{"Ca+2", 100}, {"NO3-", 200}}, 0.827},
    {"phi/potassium_sulfate_0_1", {{"K+", 200}, {"SO4-2", 100}}, 0.779},
    {"phi/magnesium_sulfate_0_1", {{"Mg+2", 100}, {"SO4-2", 100}}, 0.606},
    {"phi/zinc_sulfate_0_1", {{"Zn+2", 100}, {"SO4-2", 100}}, 0.590},
};

static void check_phi(void **state)
{
    const struct phi_row *r = *state;

    assert_close(measure(r->doses, 25.0).osmotic.coefficient, r->want, 0.025 * r->want);
}

static void sugar_counts_as_particles(void **state)
{
    static const dose doses[DOSES] = {{"C12H22O11", 100}};
    bd_solution_measures m = measure(doses, 20.0);

    (void)state;
    assert_true(m.ec_25c_ds_per_m < 1e-3);
    /* 0.1022 mol/kg, osmotic coefficient 1.007 (Robinson and Stokes); ideal here, 1 %. */
    assert_close(m.osmotic.kpa, 250.9, 2.5);
}

static void pair_curve_is_continuous(void **state)
{
    size_t zinc;
    double last = -1.0;

    (void)state;
    assert_int_equal(bd_chemistry_species(chemistry, "ZnSO4", &zinc, NULL), BD_OK);
    for (double t = 0.0; t <= 40.0; t += 0.01) {
        double now = bd_pair_conductivity(chemistry, zinc, 0.05, t);

        if (t > 0.0)
            assert_true(fabs(now - last) < 0.5);
        last = now;
    }
    assert_zero(bd_pair_conductivity(chemistry, chemistry->carbon_dioxide, 0.05, 25.0));
}

static int set_up(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    if (bd_chemistry_load(&chemistry, &err) == BD_OK)
        return 0;
    print_error("%s: %s (%s)\n", err.where, err.text, err.accepts);
    return 1;
}

static int tear_down(void **state)
{
    (void)state;
    bd_chemistry_free(chemistry);
    return 0;
}

int main(void)
{
    enum {
        EC = sizeof ec_rows / sizeof ec_rows[0],
        SLOPES = sizeof slope_rows / sizeof slope_rows[0],
        PHIS = sizeof phi_rows / sizeof phi_rows[0]
    };
    struct CMUnitTest tests[EC + SLOPES + PHIS];
    static const struct CMUnitTest others[] = {
        cmocka_unit_test(sugar_counts_as_particles),
        cmocka_unit_test(pair_curve_is_continuous),
    };
    int failed;

    for (size_t i = 0; i < EC; i++)
        tests[i] = (struct CMUnitTest){ec_rows[i].name, check_ec, NULL, NULL,
                                       (void *)(uintptr_t)&ec_rows[i]};
    for (size_t i = 0; i < SLOPES; i++)
        tests[EC + i] = (struct CMUnitTest){slope_rows[i].name, check_slope, NULL, NULL,
                                            (void *)(uintptr_t)&slope_rows[i]};
    for (size_t i = 0; i < PHIS; i++)
        tests[EC + SLOPES + i] = (struct CMUnitTest){phi_rows[i].name, check_phi, NULL, NULL,
                                                     (void *)(uintptr_t)&phi_rows[i]};
    failed = cmocka_run_group_tests(tests, set_up, tear_down);
    return failed + cmocka_run_group_tests(others, set_up, tear_down);
}
