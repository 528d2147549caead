/* homemade.json: ranges re-typed from the working table, and what holds for every homemade
 * material. */
#include "support/cmocka_all.h"
#include "support/close.h"

#include <string.h>

#include "nutrients/catalogue.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static bd_catalogue *catalogue;

static int load(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    if (bd_catalogue_load(NULL, &catalogue, &err) == BD_OK)
        return 0;
    print_error("%s: %s\n", err.where, err.text);
    return -1;
}

static int unload(void **state)
{
    (void)state;
    bd_catalogue_free(catalogue);
    return 0;
}

static const bd_material *material_named(const char *name)
{
    const bd_material *material = NULL;
    bd_error err = {.status = BD_OK};

    if (bd_catalogue_material(catalogue, name, &material, &err) != BD_OK)
        fail_msg("'%s': %s", name, err.text);
    return material;
}

/* ---- potassium ---- */

/* Element in kg/kg or g/L: K as chosen, or K2O of the table times 0.83015 (2 K / K2O). */
static const struct potassium_row {
    const char *name;
    bool is_per_litre;
    double low, typical, high, tolerance;
    bd_trust trust;
} potassium_rows[] = {
    {"banana-peel-fresh", false, 0.0020, 0.0065, 0.015, 1e-9, BD_TRUST_MEMORY},
    {"banana-peel-dried", false, 0.020, 0.045, 0.080, 1e-9, BD_TRUST_MEMORY},
    {"wood-ash-hardwood", false, 0.024904, 0.049809, 0.124522, 1e-6, BD_TRUST_MEMORY},
    {"wood-ash-softwood", false, 0.004151, 0.029885, 0.066412, 1e-6, BD_TRUST_MEMORY},
    {"rice-hull-ash", false, 0.000830, 0.014943, 0.031878, 1e-6, BD_TRUST_MEMORY},
    {"urine", true, 0.83015, 1.6603, 2.49044, 1e-4, BD_TRUST_MEMORY},
    {"cattle-manure-fresh", false, 0.002075, 0.004566, 0.008301, 1e-6, BD_TRUST_MEMORY},
    {"poultry-litter", false, 0.003321, 0.017433, 0.037357, 1e-6, BD_TRUST_MEMORY},
    {"vermicompost-leachate", true, 0.100, 0.600, 2.000, 1e-9, BD_TRUST_MEMORY},
    {"comfrey-leaf", false, 0.003321, 0.005977, 0.012037, 1e-6, BD_TRUST_MEMORY},
    {"kelp-meal", false, 0.012452, 0.029055, 0.099618, 1e-6, BD_TRUST_MEMORY},
    {"coir-unwashed", true, 0.420, 0.800, 1.261, 1e-9, BD_TRUST_WORKED_OUT},
    {"coir-washed", true, 0.019, 0.120, 0.420, 1e-9, BD_TRUST_MEMORY},
    {"cane-vinasse", true, 0.83015, 2.49044, 6.64118, 1e-4, BD_TRUST_MEMORY},
    {"molasses", false, 0.019924, 0.033206, 0.054790, 1e-6, BD_TRUST_MEMORY},
    {"bone-meal", false, 0.0, 0.0, 0.002490, 1e-6, BD_TRUST_MEMORY},
};

static void potassium(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(potassium_rows); i++) {
        const struct potassium_row *r = &potassium_rows[i];
        const bd_material *m = material_named(r->name);
        const bd_fact *k = &m->analysis[BD_K];

        assert_int_equal(m->is_per_litre, r->is_per_litre);
        assert_close(k->value.low, r->low, r->tolerance);
        assert_close(k->value.typical, r->typical, r->tolerance);
        assert_close(k->value.high, r->high, r->tolerance);
        assert_int_equal(k->trust_typical, r->trust);
    }
}

/* ---- other elements, as the table has them ---- */

static const struct other_row {
    const char *name;
    bd_nutrient nutrient;
    double low, typical, high; /* kg/kg, g/L for urine and coir */
} other_rows[] = {
    {"banana-peel-fresh", BD_N, 0.0008, 0.0018, 0.0035},
    {"banana-peel-dried", BD_N, 0.003, 0.012, 0.018},
    {"urine", BD_N, 3.0, 5.0, 9.0},
    {"urine", BD_NA, 0.9, 2.0, 4.0},
    {"urine", BD_CL, 2.0, 4.0, 7.0},
    {"cattle-manure-fresh", BD_N, 0.003, 0.0055, 0.009},
    {"horse-manure-fresh", BD_N, 0.004, 0.0065, 0.008},
    {"sheep-goat-manure-fresh", BD_N, 0.007, 0.012, 0.016},
    {"sheep-goat-manure-dried", BD_N, 0.015, 0.023, 0.032},
    {"poultry-litter", BD_N, 0.016, 0.032, 0.038},
    {"poultry-litter", BD_NA, 0.003, 0.0075, 0.010},
    {"blood-meal", BD_N, 0.10, 0.12, 0.14},
    {"coir-unwashed", BD_NA, 0.060, 0.140, 0.226},
    {"coir-unwashed", BD_CL, 0.244, 0.900, 1.700},
    {"kelp-meal", BD_NA, 0.02, 0.035, 0.06},
    {"fish-emulsion", BD_N, 0.02, 0.045, 0.05},
    {"coffee-grounds-dried", BD_N, 0.014, 0.021, 0.024},
    /* 0.5 / 1.5 / 3.0 % of dry matter at 65 / 50 / 35 % water */
    {"garden-compost", BD_N, 0.0018, 0.0075, 0.0195},
};

static void other_elements(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(other_rows); i++) {
        const struct other_row *r = &other_rows[i];
        const bd_range got = material_named(r->name)->analysis[r->nutrient].value;

        assert_close(got.low, r->low, 1e-9);
        assert_close(got.typical, r->typical, 1e-9);
        assert_close(got.high, r->high, 1e-9);
    }
}

/* ---- how much comes out ---- */

static const struct extraction_row {
    const char *name;
    bd_preparation preparation;
    double low, typical, high; /* below zero: not known */
} extraction_rows[] = {
    {"banana-peel-fresh", BD_SOAK, 0.05, 0.30, 0.60},
    {"banana-peel-fresh", BD_BOIL, 0.30, 0.50, 0.80},
    {"banana-peel-fresh", BD_FERMENT, 0.50, 0.80, 1.00},
    {"banana-peel-fresh", BD_POWDER, -1.0, -1.0, -1.0},
    {"banana-peel-dried", BD_POWDER, 0.60, 0.85, 1.00},
    {"wood-ash-hardwood", BD_SOAK, 0.30, 0.70, 1.00},
    {"rice-hull-ash", BD_SOAK, 0.20, 0.60, 1.00},
    {"comfrey-leaf", BD_FERMENT, 0.40, 0.70, 1.00},
    {"nettle", BD_FERMENT, 0.40, 0.70, 1.00},
    {"cattle-manure-fresh", BD_SOAK, 0.60, 0.85, 1.00},
    {"poultry-litter", BD_SOAK, 0.80, 0.95, 1.00},
    {"garden-compost", BD_SOAK, 0.40, 0.75, 1.00},
    {"urine", BD_SOAK, 1.0, 1.0, 1.0},
    {"seaweed-fresh", BD_SOAK, -1.0, -1.0, -1.0},
};

static void extraction(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(extraction_rows); i++) {
        const struct extraction_row *r = &extraction_rows[i];
        const bd_fact *share = &material_named(r->name)->extraction[r->preparation];

        assert_int_equal(share->is_known, r->low >= 0.0);
        if (r->low < 0.0)
            continue;
        assert_close(share->value.low, r->low, 1e-9);
        assert_close(share->value.typical, r->typical, 1e-9);
        assert_close(share->value.high, r->high, 1e-9);
    }
}

/* ---- ceilings, traits ---- */

static void highest_believable_potassium(void **state)
{
    const bd_fact *dried = &material_named("banana-peel-dried")->highest_k;

    (void)state;
    /* Ash of 14.7 % as pure potassium carbonate (56.6 % K) is 8.3 % K. */
    assert_close(dried->value.typical, 0.085, 1e-9);
    assert_int_equal(dried->trust_typical, BD_TRUST_WORKED_OUT);
    assert_close(material_named("banana-peel-fresh")->highest_k.value.typical, 0.02, 1e-9);
}

static const struct trait_row {
    const char *name;
    bd_trait trait;
    bool has;
} trait_rows[] = {
    {"wood-ash-hardwood", BD_TRAIT_ASH, true},
    {"wood-ash-softwood", BD_TRAIT_ALKALINE, true},
    {"rice-hull-ash", BD_TRAIT_ASH, false},
    {"urine", BD_TRAIT_URINE, true},
    {"urine", BD_TRAIT_RAW_MANURE, false},
    {"cattle-manure-fresh", BD_TRAIT_RAW_MANURE, true},
    {"horse-manure-fresh", BD_TRAIT_RAW_MANURE, true},
    {"sheep-goat-manure-fresh", BD_TRAIT_RAW_MANURE, true},
    {"sheep-goat-manure-dried", BD_TRAIT_RAW_MANURE, true},
    {"poultry-litter", BD_TRAIT_RAW_MANURE, true},
    {"garden-compost", BD_TRAIT_RAW_MANURE, false},
    {"banana-peel-fresh", BD_TRAIT_CARBON_RICH, true},
    {"coir-unwashed", BD_TRAIT_SALTY, true},
    {"seaweed-fresh", BD_TRAIT_SALTY, true},
    {"bone-meal", BD_TRAIT_ATTRACTS, true},
};

static void traits(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(trait_rows); i++)
        assert_int_equal(bd_material_has(material_named(trait_rows[i].name), trait_rows[i].trait),
                         trait_rows[i].has);
}

/* ---- all of them ---- */

static void check_homemade(const bd_material *m)
{
    double nitrogen = 0.0;

    for (int i = 0; i < BD_NITROGEN_FORMS; i++)
        nitrogen += m->nitrogen_share[i];
    assert_close(nitrogen, m->analysis[BD_N].is_known ? 1.0 : 0.0, 1e-9);
    assert_close(m->extraction[BD_DRY].value.low, 1.0, 1e-9);
    if (m->highest_k.is_known)
        assert_true(m->highest_k.value.low >= m->analysis[BD_K].value.high);
    assert_true(*m->formula == '\0' && m->ion_count == 0);
}

static void every_homemade_material_holds_together(void **state)
{
    size_t count, homemade = 0;
    const bd_material *materials = bd_catalogue_materials(catalogue, &count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        if (materials[i].kind != BD_HOMEMADE)
            continue;
        check_homemade(&materials[i]);
        homemade++;
    }
    assert_true(homemade >= 28);
}

/* Which ash, which peel: what the grower did not say is not guessed. */
static void vague_names_are_refused(void **state)
{
    static const char *const vague[] = {"wood-ash", "banana-peel", "manure", "coir"};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(vague); i++) {
        const bd_material *material = NULL;
        bd_error err = {.status = BD_OK};

        assert_int_equal(bd_catalogue_material(catalogue, vague[i], &material, &err), BD_UNKNOWN);
        assert_null(material);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(potassium),
        cmocka_unit_test(other_elements),
        cmocka_unit_test(extraction),
        cmocka_unit_test(highest_believable_potassium),
        cmocka_unit_test(traits),
        cmocka_unit_test(every_homemade_material_holds_together),
        cmocka_unit_test(vague_names_are_refused),
    };

    return cmocka_run_group_tests(tests, load, unload);
}
