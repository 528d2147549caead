#include "support/cmocka_all.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "model/conductivity.h"
#include "model/osmotic.h"
#include "model/saturation.h"
#include "model/solution.h"
#include "model/solution_water.h"
#include "nutrients/chemistry.h"
#include "support/close.h"

static bd_chemistry *chemistry;

/* ---- helpers ---- */

typedef struct dose {
    const char *ion;
    double mmol_per_l;
} dose;

enum { DOSES = 8 };

static bd_solution_input mix(const dose *doses, double temperature_c)
{
    bd_solution_input in;

    bd_solution_input_init(&in);
    in.temperature_c = temperature_c;
    for (int i = 0; i < DOSES && doses[i].ion != NULL; i++)
        assert_int_equal(
            bd_solution_add_ion(chemistry, &in, doses[i].ion, doses[i].mmol_per_l / 1000.0, NULL),
            BD_OK);
    return in;
}

static bd_solution solve(const bd_solution_input *in)
{
    bd_solution out = {.ph = -1.0};
    bd_error err = {.status = BD_OK};
    bd_status status = bd_solution_solve(chemistry, in, &out, &err);

    if (status != BD_OK)
        print_error("%s\n", err.text);
    assert_int_equal(status, BD_OK);
    return out;
}

/* Mass of every component is where it was put, and charges cancel. */
static void assert_balanced(const bd_solution_input *in, const bd_solution *out)
{
    assert_true(out->charge_residual < 1e-6);
    for (int c = 0; c < BD_COMPONENT_COUNT; c++) {
        double want = in->mol_per_l[c];

        if (c == BD_COMPONENT_K)
            want += out->koh_mol_per_l;
        if (c == BD_COMPONENT_NO3)
            want += out->hno3_mol_per_l;
        if (!(c == BD_COMPONENT_CO3 && in->is_open))
            assert_close(out->total_mol_per_l[c], want, 1e-6 * want + 1e-10);
    }
}

/* ---- constants and water ---- */

static void water_is_as_tabulated(void **state)
{
    (void)state;
    /* Handbook values of water, to half their last digit. */
    assert_close(bd_water_density_kg_per_l(25.0), 0.997047, 5e-6);
    assert_close(bd_water_density_kg_per_l(4.0), 0.99997, 5e-5);
    assert_close(bd_water_viscosity_mpa_s(25.0), 0.8900, 5e-4);
    assert_close(bd_water_viscosity_mpa_s(0.0), 1.792, 2e-3);
    assert_close(bd_water_permittivity(25.0), 78.30, 5e-3);
}

static void davies_is_as_worked_by_hand(void **state)
{
    (void)state;
    assert_close(bd_davies_a(25.0), 0.5085, 5e-5);  /* the table itself              */
    assert_close(bd_davies_a(27.5), 0.51075, 5e-5); /* half way between its rows     */
    assert_close(bd_davies_a(60.0), 0.5425, 5e-5);
    /* By hand: -0.5085 * 4 * (0.31623 / 1.31623 - 0.03) */
    assert_close(bd_davies_log_gamma(2, 0.1, 0.5085), -0.4277, 5e-5);
    assert_close(bd_davies_log_gamma(-2, 0.1, 0.5085), -0.4277, 5e-5);
    assert_close(bd_davies_log_gamma(0, 0.1, 0.5085), 0.01, 1e-12);
}

static void log_k_moves_with_temperature(void **state)
{
    bd_log_k pair = {.at_25c = 2.37, .enthalpy_kj_per_mol = 19.04};
    bd_log_k water = {.has_terms = true,
                      .terms = {293.29227, 0.1360833, -10576.913, -123.73158, 0.0, -6.996455e-5}};

    (void)state;
    assert_close(bd_log_k_at(&pair, 25.0), 2.37, 1e-12);
    assert_close(bd_log_k_at(&pair, 15.0), 2.254, 5e-4); /* van 't Hoff by hand */
    /* Ion product of water, handbook: 13.995 at 25 degC, 14.946 at 0, 13.265 at 50. */
    assert_close(bd_log_k_at(&water, 25.0), -13.995, 0.005);
    assert_close(bd_log_k_at(&water, 0.0), -14.946, 0.02);
    assert_close(bd_log_k_at(&water, 50.0), -13.265, 0.02);
}

/* ---- acids ---- */

static double mol_per_kg(const bd_solution *s, const char *name)
{
    size_t place;

    assert_int_equal(bd_chemistry_species(chemistry, name, &place, NULL), BD_OK);
    return s->species_mol_per_l[place] / s->water_kg_per_l;
}

/*
 * Whatever else is in the mix: log Q = -1.988 + 4 * 0.5085 sqrt I/(1 + 0.512 sqrt I), to
 * what the terms of log K at 25 degC are rounded to.  Davies is 0.4 lower in the second.
 */
static void sulfate_takes_protons_by_its_own_law(void **state)
{
    static const dose mixes[][DOSES] = {
        {{"H+", 2}, {"SO4-2", 1}},
        {{"H+", 500}, {"SO4-2", 250}},
        {{"H+", 20}, {"SO4-2", 110}, {"K+", 200}, {"Cl-", 50}, {"Na+", 50}},
    };

    (void)state;
    for (size_t i = 0; i < sizeof mixes / sizeof mixes[0]; i++) {
        bd_solution_input in = mix(mixes[i], 25.0);
        bd_solution out = solve(&in);
        double root = sqrt(out.ionic_strength_mol_per_kg);
        double q = mol_per_kg(&out, "H+") * mol_per_kg(&out, "SO4-2") / mol_per_kg(&out, "HSO4-");

        assert_balanced(&in, &out);
        assert_close(log10(q), -1.988 + 4.0 * 0.5085 * root / (1.0 + 0.512 * root), 0.002);
    }
}

/* 1.26 kg/mol; charges are the same on both sides, the uncharged one has 0.1 I by Davies. */
static void phosphoric_acid_joins_its_ion(void **state)
{
    bd_solution_input in = mix((dose[DOSES]){{"H3PO4", 200}}, 25.0);
    bd_solution out = solve(&in);
    double k = mol_per_kg(&out, "H5P2O8-") / mol_per_kg(&out, "H3PO4") / mol_per_kg(&out, "H2PO4-");

    (void)state;
    assert_balanced(&in, &out);
    assert_close(k, 1.26 * pow(10.0, 0.1 * out.ionic_strength_mol_per_kg), 0.005);
}

/* ---- pH ---- */

static const struct ph_case {
    const char *name;
    dose doses[DOSES];
    bool is_open;
    double want, tolerance;
    const char *source;
} ph_cases[] = {
    {"ph/pure_water_is_7", {{NULL, 0}}, false, 7.0, 0.005, "ion product of water"},
    {"ph/rain_is_5_6", {{NULL, 0}}, true, 5.6, 0.05, "any textbook, air of 400 ppm"},
    {"ph/nbs_phthalate_like_acetate_buffer",
     {{"CH3COOH", 100}, {"CH3COO-", 100}, {"Na+", 100}},
     false,
     4.65,
     0.02,
     "0.1 mol/kg acetic acid and sodium acetate: 4.652 in Robinson and Stokes"},
    {"ph/equimolar_phosphate_buffer",
     {{"K+", 25}, {"H2PO4-", 25}, {"Na+", 50}, {"HPO4-2", 25}},
     false,
     6.865,
     0.03,
     "NIST primary standard 0.025 mol/kg KH2PO4 + 0.025 Na2HPO4, 25 degC"},
    {"ph/borax",
     {{"Na+", 20}, {"B(OH)4-", 20}, {"H3BO3", 20}},
     false,
     9.18,
     0.04,
     "NIST primary standard 0.01 mol/kg borax, 25 degC: 9.180"},
    {"ph/bicarbonate_carbonate_buffer",
     {{"Na+", 25}, {"HCO3-", 25}, {"Na+", 50}, {"CO3-2", 25}},
     false,
     10.012,
     0.05,
     "NIST primary standard 0.025 mol/kg NaHCO3 + 0.025 Na2CO3, 25 degC"},
    {"ph/ammonia_buffer",
     {{"NH4+", 10}, {"Cl-", 10}, {"NH3", 10}},
     false,
     9.29,
     0.03,
     "pKa 9.245 plus Davies at I 0.01"},
};

static void ph_is_right(void **state)
{
    const struct ph_case *c = *state;
    bd_solution_input in = mix(c->doses, 25.0);
    bd_solution out;

    in.is_open = c->is_open;
    out = solve(&in);
    assert_balanced(&in, &out);
    assert_close(out.ph, c->want, c->tolerance);
}

static void titrant_counts(void **state)
{
    static const dose doses[DOSES] = {{"K+", 10}, {"H2PO4-", 10}};
    bd_solution_input in = mix(doses, 25.0), again;
    bd_solution out, back;

    (void)state;
    in.has_ph = true;
    in.ph = 6.5;
    out = solve(&in);
    assert_balanced(&in, &out);
    assert_close(out.ph, 6.5, 1e-9);
    assert_true(out.koh_mol_per_l > 1e-3 && out.koh_mol_per_l < 10e-3);
    assert_zero(out.hno3_mol_per_l);
    /* What was titrated has that pH by itself. */
    again = bd_solution_again(&out, 25.0);
    back = solve(&again);
    assert_close(back.ph, 6.5, 1e-5); /* the titrant takes the room of a little water */
}

static void acid_is_nitric(void **state)
{
    static const dose doses[DOSES] = {{"K+", 20}, {"HPO4-2", 10}};
    bd_solution_input in = mix(doses, 25.0);
    bd_solution out;

    (void)state;
    in.has_ph = true;
    in.ph = 5.5;
    out = solve(&in);
    assert_balanced(&in, &out);
    assert_zero(out.koh_mol_per_l);
    /* Nearly all HPO4-2 turns to H2PO4-: a little under 10 mmol/L. */
    assert_close(out.hno3_mol_per_l, 9.8e-3, 0.1e-3);
}

/* ---- activity: measured mean activity coefficients bound what Davies is worth ---- */

static void gypsum_dissolves_as_measured(void **state)
{
    /* 15.1 mmol/L: 0.260 g of gypsum per 100 g of water at 25 degC, handbook solubility. */
    static const dose doses[DOSES] = {{"Ca+2", 15.1}, {"SO4-2", 15.1}};
    bd_solution_input in = mix(doses, 25.0);
    bd_solution out = solve(&in);
    bd_saturation s = bd_saturation_of(chemistry, &out);
    size_t gypsum = (size_t)(bd_chemistry_mineral(chemistry, "gypsum") - chemistry->minerals);

    (void)state;
    assert_true(s.has_index[gypsum]);
    /* Databases differ by 0.06 in its log K. */
    assert_close(s.index[gypsum], 0.0, 0.05);
}

static void settling_leaves_saturation(void **state)
{
    static const dose doses[DOSES] = {{"Ca+2", 60}, {"NO3-", 120}, {"K+", 100}, {"SO4-2", 50}};
    bd_solution_input in = mix(doses, 15.0);
    bool wanted[BD_MINERALS_MAX] = {false};
    double dropped[BD_MINERALS_MAX];
    size_t gypsum = (size_t)(bd_chemistry_mineral(chemistry, "gypsum") - chemistry->minerals);
    bd_solution left;
    bd_saturation s;

    (void)state;
    wanted[gypsum] = true;
    assert_int_equal(bd_saturation_settle(chemistry, &in, wanted, dropped, &left, NULL), BD_OK);
    s = bd_saturation_of(chemistry, &left);
    assert_close(s.index[gypsum], 0.0, 1e-4);
    assert_close(left.total_mol_per_l[BD_COMPONENT_CA] + dropped[gypsum], 0.060, 1e-9);
    assert_close(left.total_mol_per_l[BD_COMPONENT_SO4] + dropped[gypsum], 0.050, 1e-9);
}

static void index_needs_all_ions(void **state)
{
    static const dose doses[DOSES] = {{"Ca+2", 10}, {"NO3-", 20}};
    bd_solution_input in = mix(doses, 25.0);
    bd_solution out = solve(&in);
    bd_saturation s = bd_saturation_of(chemistry, &out);

    (void)state;
    for (size_t i = 0; i < chemistry->mineral_count; i++)
        assert_false(s.has_index[i]);
}

/* ---- invariants ---- */

static void order_does_not_matter(void **state)
{
    static const dose one[DOSES] = {{"Ca+2", 5}, {"NO3-", 10}, {"Mg+2", 2}, {"SO4-2", 2}};
    static const dose two[DOSES] = {{"SO4-2", 2}, {"Mg+2", 2}, {"NO3-", 10}, {"Ca+2", 5}};
    bd_solution_input a = mix(one, 20.0), b = mix(two, 20.0);
    bd_solution x = solve(&a), y = solve(&b);

    (void)state;
    assert_close(x.ph, y.ph, 1e-9);
    assert_close(bd_conductivity_ds_per_m(chemistry, &x), bd_conductivity_ds_per_m(chemistry, &y),
                 1e-9);
}

static void more_salt_conducts_and_pulls_more(void **state)
{
    double ec = 0.0, kpa = 0.0;

    (void)state;
    for (double mmol = 1.0; mmol < 400.0; mmol *= 1.3) {
        const dose doses[DOSES] = {{"K+", mmol}, {"NO3-", mmol}};
        bd_solution_input in = mix(doses, 25.0);
        bd_solution out = solve(&in);
        double ec_now = bd_conductivity_ds_per_m(chemistry, &out);
        double kpa_now = bd_osmotic_pressure(chemistry, &out).kpa;

        assert_true(ec_now > ec && kpa_now > kpa);
        ec = ec_now;
        kpa = kpa_now;
    }
}

static void urea_pulls_and_does_not_conduct(void **state)
{
    static const dose doses[DOSES] = {{"CO(NH2)2", 16.65}}; /* 1 g/L */
    bd_solution_input in = mix(doses, 25.0);
    bd_solution out = solve(&in);

    (void)state;
    assert_true(bd_conductivity_ds_per_m(chemistry, &out) < 1e-3);
    assert_close(bd_osmotic_pressure(chemistry, &out).kpa, 41.0, 0.5); /* RT c */
}

/* ---- refusals ---- */

static void out_of_range_is_refused(void **state)
{
    static const dose doses[DOSES] = {{"K+", 10}, {"NO3-", 10}};
    static const double temperatures[] = {-0.1, 60.1, (double)NAN, (double)INFINITY};
    static const double phs[] = {1.9, 12.1, (double)NAN};
    bd_solution out = {.ph = 42.0};

    (void)state;
    for (size_t i = 0; i < sizeof temperatures / sizeof temperatures[0]; i++) {
        bd_solution_input in = mix(doses, temperatures[i]);

        assert_int_equal(bd_solution_solve(chemistry, &in, &out, NULL), BD_RANGE);
    }
    for (size_t i = 0; i < sizeof phs / sizeof phs[0]; i++) {
        bd_solution_input in = mix(doses, 25.0);

        in.has_ph = true;
        in.ph = phs[i];
        assert_int_equal(bd_solution_solve(chemistry, &in, &out, NULL), BD_RANGE);
    }
    assert_close(out.ph, 42.0, 0.0); /* untouched */
}

static void bad_amounts_are_refused(void **state)
{
    static const double amounts[] = {-1e-9, (double)NAN, (double)INFINITY, 1e9};
    bd_solution_input in;
    bd_solution out;

    (void)state;
    for (size_t i = 0; i < sizeof amounts / sizeof amounts[0]; i++) {
        bd_solution_input_init(&in);
        assert_int_equal(bd_solution_add_ion(chemistry, &in, "K+", amounts[i], NULL), BD_RANGE);
        in.mol_per_l[BD_COMPONENT_K] = amounts[i];
        assert_int_equal(bd_solution_solve(chemistry, &in, &out, NULL), BD_RANGE);
    }
    assert_int_equal(bd_solution_add_ion(chemistry, &in, "Xx+", 1.0, NULL), BD_UNKNOWN);
}

static void strong_solution_is_outside(void **state)
{
    static const dose weak[DOSES] = {{"K+", 950}, {"NO3-", 950}};
    static const dose strong[DOSES] = {{"K+", 1100}, {"NO3-", 1100}};
    static const dose absurd[DOSES] = {{"Mg+2", 20000}, {"SO4-2", 20000}};
    bd_solution_input a = mix(weak, 20.0), b = mix(strong, 20.0), c = mix(absurd, 20.0);
    bd_error err = {.status = BD_OK};
    bd_solution out;

    (void)state;
    (void)solve(&a);
    assert_int_equal(bd_solution_solve(chemistry, &b, &out, &err), BD_OUTSIDE);
    assert_non_null(strstr(err.text, "1 mol/L"));
    assert_int_equal(bd_solution_solve(chemistry, &c, &out, NULL), BD_OUTSIDE);
}

/* ---- waters ---- */

static void waters_are_neutral(void **state)
{
    (void)state;
    for (size_t i = 0; i < chemistry->water_count; i++) {
        bd_solution_input in;

        bd_solution_input_init(&in);
        assert_int_equal(bd_solution_add_water(chemistry, &in, &chemistry->waters[i], 1.0, NULL),
                         BD_OK);
        assert_close(in.charge_eq_per_l, 0.0, 1e-12);
    }
}

static void water_of_the_user(void **state)
{
    static const char mg[] = "{\"waters\": [{\"name\": \"well\", \"unit\": \"mg/L\", \"ions\": "
                             "{\"Ca+2\": 40.078, \"HCO3-\": 122.032}}]}";
    static const char alone[] = "{\"unit\": \"mg/L\", \"ions\": "
                                "{\"Ca+2\": 120.234, \"HCO3-\": 366.096}}";
    static const char meq[] = "{\"waters\": [{\"name\": \"well\", \"unit\": \"meq/L\", \"ions\": "
                              "{\"Ca+2\": 2.5, \"HCO3-\": 2.5, \"SO4-2\": 0}}]}";
    static const char neutral[] = "{\"waters\": [{\"name\": \"well\", \"unit\": \"meq/L\", "
                                  "\"ions\": {\"CO2\": 1}}]}";
    static const char lame[] = "{\"waters\": [{\"name\": \"well\", \"unit\": \"mmol/L\", "
                               "\"ions\": {\"Ca+2\": 1, \"Cl-\": 0.5}}]}";
    static const char unknown[] = "{\"waters\": [{\"name\": \"well\", \"unit\": \"mmol/L\", "
                                  "\"ions\": {\"Xx+2\": 1}}]}";
    const bd_water *water = NULL;
    bd_error err = {.status = BD_OK};

    (void)state;
    assert_int_equal(
        bd_chemistry_read_water(chemistry, "well.json", mg, sizeof mg - 1, &water, &err), BD_OK);
    assert_int_equal(water->ion_count, 2);
    assert_close(water->ions[0].mol_per_l, 1e-3, 1e-8);
    assert_close(water->ions[1].mol_per_l, 2e-3, 1e-6);
    assert_int_equal(
        bd_chemistry_read_water(chemistry, "well.json", alone, sizeof alone - 1, &water, &err),
        BD_OK);
    assert_close(water->ions[0].mol_per_l, 0.003, 1e-9);
    assert_string_equal(water->name, "your-water");
    assert_int_equal(
        bd_chemistry_read_water(chemistry, "well.json", meq, sizeof meq - 1, &water, &err), BD_OK);
    assert_close(water->ions[0].mol_per_l, 1.25e-3, 1e-15); /* by hand, 2.5 / 2 */
    assert_close(water->ions[1].mol_per_l, 2.5e-3, 1e-15);
    assert_int_equal(
        bd_chemistry_read_water(chemistry, "well.json", neutral, sizeof neutral - 1, &water, &err),
        BD_SYNTAX);
    assert_non_null(strstr(err.text, "no charge"));
    err = (bd_error){.status = BD_OK};
    assert_int_equal(
        bd_chemistry_read_water(chemistry, "well.json", lame, sizeof lame - 1, &water, &err),
        BD_CONFLICT);
    assert_non_null(strstr(err.where, "well.json#/waters/0/ions"));
    err = (bd_error){.status = BD_OK};
    assert_int_equal(
        bd_chemistry_read_water(chemistry, "well.json", unknown, sizeof unknown - 1, &water, &err),
        BD_UNKNOWN);
    err = (bd_error){.status = BD_OK};
    assert_int_equal(bd_chemistry_water(chemistry, "salty", &water, &err), BD_UNKNOWN);
    assert_non_null(strstr(err.accepts, "pure, soft, hard"));
}

static void gap_is_closed_with_sodium_or_chloride(void **state)
{
    static const dose doses[DOSES] = {{"Ca+2", 1.0}, {"Cl-", 1.9}};
    bd_solution_input in = mix(doses, 25.0);

    (void)state;
    bd_solution_balance(&in);
    assert_close(in.mol_per_l[BD_COMPONENT_CL], 2e-3, 1e-12);
    assert_zero(in.charge_eq_per_l);
}

/* ---- any mix solves or says why not ---- */

static uint64_t seed = 20240607;

/* xorshift64*, 0..1 */
static double chance(void)
{
    seed ^= seed >> 12;
    seed ^= seed << 25;
    seed ^= seed >> 27;
    return (double)((seed * 2685821657736338717ULL) >> 11) / 9007199254740992.0;
}

static bd_solution_input random_mix(void)
{
    /* Salts, so that charges add up: pairs of a cation and an anion. */
    static const char *const salts[][2] = {
        {"K+", "NO3-"},     {"K+", "H2PO4-"},   {"K+", "HCO3-"},    {"NH4+", "NO3-"},
        {"NH4+", "H2PO4-"}, {"Na+", "Cl-"},     {"K+", "OH-"},      {"H+", "NO3-"},
        {"Ca+2", "SO4-2"},  {"Mg+2", "SO4-2"},  {"Mg+2", "HPO4-2"}, {"Zn+2", "SO4-2"},
        {"Cu+2", "SO4-2"},  {"Mn+2", "SO4-2"},  {"Fe+2", "SO4-2"},  {"Ca+2", "CO3-2"},
        {"Na+", "B(OH)4-"}, {"Na+", "CH3COO-"}, {"K+", "C6H7O7-"}};
    enum { SALTS = sizeof salts / sizeof salts[0] };
    bd_solution_input in;

    bd_solution_input_init(&in);
    for (int i = 0; i < SALTS; i++) {
        double mol_per_l = chance() < 0.45 ? pow(10.0, -6.0 + 5.6 * chance()) : 0.0;

        for (int side = 0; side < 2; side++)
            assert_int_equal(bd_solution_add_ion(chemistry, &in, salts[i][side], mol_per_l, NULL),
                             BD_OK);
    }
    in.temperature_c = 1.0 + 39.0 * chance();
    in.is_open = chance() < 0.5;
    in.has_ph = chance() < 0.5;
    in.ph = 3.0 + 7.0 * chance();
    return in;
}

static void check_random(const bd_solution_input *in, int *solved, int *most_rounds)
{
    bd_solution out = {.ph = -1.0};
    bd_error err = {.status = BD_OK};
    bd_status status = bd_solution_solve(chemistry, in, &out, &err);
    double ec, kpa;

    if (status != BD_OK) {
        assert_int_equal(status, BD_OUTSIDE);
        assert_true(err.text[0] != '\0');
        return;
    }
    assert_balanced(in, &out);
    ec = bd_conductivity_ds_per_m(chemistry, &out);
    kpa = bd_osmotic_pressure(chemistry, &out).kpa;
    assert_true(ec >= 0.0 && ec < 300.0);
    assert_true(kpa > -1.0 && kpa < 1e4);
    *solved += 1;
    *most_rounds = out.rounds > *most_rounds ? out.rounds : *most_rounds;
}

static void random_mixes_solve_or_say_why(void **state)
{
    int count = getenv("BD_LONG") != NULL ? 100000 : 2000;
    int solved = 0, most_rounds = 0;

    (void)state;
    for (int i = 0; i < count; i++) {
        bd_solution_input in = random_mix();

        check_random(&in, &solved, &most_rounds);
    }
    print_message("%d of %d mixes solved, the others too strong; at most %d rounds\n", solved,
                  count, most_rounds);
    assert_true(solved > count / 2);
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
    enum { PH_CASES = sizeof ph_cases / sizeof ph_cases[0] };
    struct CMUnitTest ph_tests[PH_CASES];
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(water_is_as_tabulated),
        cmocka_unit_test(davies_is_as_worked_by_hand),
        cmocka_unit_test(log_k_moves_with_temperature),
        cmocka_unit_test(sulfate_takes_protons_by_its_own_law),
        cmocka_unit_test(phosphoric_acid_joins_its_ion),
        cmocka_unit_test(titrant_counts),
        cmocka_unit_test(acid_is_nitric),
        cmocka_unit_test(gypsum_dissolves_as_measured),
        cmocka_unit_test(settling_leaves_saturation),
        cmocka_unit_test(index_needs_all_ions),
        cmocka_unit_test(order_does_not_matter),
        cmocka_unit_test(more_salt_conducts_and_pulls_more),
        cmocka_unit_test(urea_pulls_and_does_not_conduct),
        cmocka_unit_test(out_of_range_is_refused),
        cmocka_unit_test(bad_amounts_are_refused),
        cmocka_unit_test(strong_solution_is_outside),
        cmocka_unit_test(waters_are_neutral),
        cmocka_unit_test(water_of_the_user),
        cmocka_unit_test(gap_is_closed_with_sodium_or_chloride),
        cmocka_unit_test(random_mixes_solve_or_say_why),
    };
    int failed;

    for (size_t i = 0; i < PH_CASES; i++)
        ph_tests[i] = (struct CMUnitTest){ph_cases[i].name, ph_is_right, NULL, NULL,
                                          (void *)(uintptr_t)&ph_cases[i]};
    failed = cmocka_run_group_tests(ph_tests, set_up, tear_down);
    return failed + cmocka_run_group_tests(tests, set_up, tear_down);
}
