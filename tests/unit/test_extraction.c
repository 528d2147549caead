#include "model/extraction.h"

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

#define FACT(low, typical, high)                                                                   \
    {                                                                                              \
        .is_known = true, .value = {low, typical, high}, .trust_typical = BD_TRUST_PUBLISHED,      \
        .source = "S"                                                                              \
    }

/* Made-up materials; what must come out follows from the header's method. */
static const bd_material peel = {.kind = BD_HOMEMADE,
                                 .extraction = {[BD_SOAK] = FACT(0.05, 0.30, 0.60),
                                                [BD_BOIL] = FACT(0.30, 0.50, 0.80),
                                                [BD_FERMENT] = FACT(0.50, 0.80, 1.00)}};
static const bd_material leaf = {.kind = BD_HOMEMADE,
                                 .extraction = {[BD_FERMENT] = FACT(0.4, 0.7, 1.0)}};
static const bd_material ash = {
    .kind = BD_HOMEMADE,
    .traits = 1u << BD_TRAIT_ASH,
    .extraction = {[BD_SOAK] = FACT(0.3, 0.7, 1.0), [BD_POWDER] = FACT(0.3, 0.7, 1.0)}};
static const bd_material hulls = {
    .kind = BD_HOMEMADE,
    .extraction = {[BD_SOAK] = FACT(0.3, 0.7, 1.0), [BD_POWDER] = FACT(0.3, 0.7, 1.0)}};
static const bd_material meal = {.kind = BD_HOMEMADE};
static const bd_material liquid = {.kind = BD_HOMEMADE, .form = BD_LIQUID};
static const bd_material salt = {.kind = BD_SALT};

static const struct row {
    const char *name;
    const bd_material *material;
    bd_preparation preparation;
    double days;
    bd_range potassium, slow;
    const char *source; /* NULL: all of it */
} rows[] = {
    {"soak/time_not_said", &peel, BD_SOAK, 0, {0.05, 0.30, 0.60}, {0, 0.05, 1}, "S"},
    {"soak/a_day", &peel, BD_SOAK, 1, {0.05, 0.30, 0.60}, {0, 0.05, 1}, "S"},
    {"soak/four_days_lie_half_way_to_the_ferment",
     &peel,
     BD_SOAK,
     4,
     {0.275, 0.55, 0.80},
     {0, 0.275, 1},
     "S"},
    {"soak/a_week_is_the_ferment", &peel, BD_SOAK, 7, {0.5, 0.8, 1.0}, {0, 0.5, 1}, "S"},
    {"soak/a_month_is_no_more", &peel, BD_SOAK, 30, {0.5, 0.8, 1.0}, {0, 0.5, 1}, "S"},
    {"soak/without_a_ferment_stays", &hulls, BD_SOAK, 30, {0.3, 0.7, 1.0}, {0, 0.3, 1}, "S"},
    {"boil/own_share", &peel, BD_BOIL, 0, {0.3, 0.5, 0.8}, {0, 0.3, 1}, "S"},
    {"ferment/own_share", &peel, BD_FERMENT, 21, {0.5, 0.8, 1.0}, {0, 0.5, 1}, "S"},
    {"powder/taken_from_the_ferment", &peel, BD_POWDER, 0, {0.5, 0.8, 1.0}, {0, 0.5, 1}, "S"},
    {"soak/only_a_ferment_known", &leaf, BD_SOAK, 1, {0.4, 0.7, 1.0}, {0, 0.4, 1}, "S"},
    {"ferment/only_a_soak_known", &hulls, BD_FERMENT, 7, {0.3, 0.7, 1.0}, {0, 0.3, 1}, "S"},
    {"soak/no_phosphorus_from_a_lye", &ash, BD_SOAK, 1, {0.3, 0.7, 1.0}, {0, 0, 0}, "S"},
    {"dry/all_of_an_ash", &ash, BD_DRY, 0, {1, 1, 1}, {1, 1, 1}, NULL},
    {"soak/nothing_known_is_anything", &meal, BD_SOAK, 1, {0, 0.5, 1}, {0, 0.25, 1}, ""},
    {"dry/all_of_it", &peel, BD_DRY, 0, {1, 1, 1}, {1, 1, 1}, NULL},
    {"liquid/all_of_it", &liquid, BD_SOAK, 1, {1, 1, 1}, {1, 1, 1}, NULL},
    {"salt/all_of_it", &salt, BD_SOAK, 1, {1, 1, 1}, {1, 1, 1}, NULL},
    {"own_label/all_of_it", NULL, BD_FERMENT, 1, {1, 1, 1}, {1, 1, 1}, NULL},
};

static void check(void **state)
{
    const struct row *r = *state;
    bd_extraction got = bd_extraction_of(r->material, r->preparation, r->days);

    assert_close(got.potassium.low, r->potassium.low, 1e-12);
    assert_close(got.potassium.typical, r->potassium.typical, 1e-12);
    assert_close(got.potassium.high, r->potassium.high, 1e-12);
    assert_close(got.slow.low, r->slow.low, 1e-12);
    assert_close(got.slow.typical, r->slow.typical, 1e-12);
    assert_close(got.slow.high, r->slow.high, 1e-12);
    assert_int_equal(got.source == NULL, r->source == NULL);
    if (r->source != NULL)
        assert_string_equal(got.source, r->source);
}

/* What a lye keeps and what it gives; the same ash dry, and another leaf in water. */
static void a_lye_keeps_its_lime(void **state)
{
    static const struct {
        const bd_material *material;
        bd_preparation preparation;
        bd_nutrient nutrient;
        double typical, most;
    } shares[] = {
        {&ash, BD_SOAK, BD_K, 0.7, 1.0},     {&ash, BD_SOAK, BD_NA, 0.7, 1.0},
        {&ash, BD_SOAK, BD_B, 0.7, 1.0},     {&ash, BD_SOAK, BD_CA, 0.0, 0.0},
        {&ash, BD_BOIL, BD_MG, 0.0, 0.0},    {&ash, BD_FERMENT, BD_P, 0.0, 0.0},
        {&ash, BD_POWDER, BD_P, 0.0, 0.0},   {&ash, BD_DRY, BD_CA, 1.0, 1.0},
        {&ash, BD_DRY, BD_P, 1.0, 1.0},      {&leaf, BD_FERMENT, BD_CA, 0.7, 1.0},
        {&leaf, BD_FERMENT, BD_P, 0.4, 1.0},
    };

    (void)state;
    for (size_t i = 0; i < COUNT_OF(shares); i++) {
        bd_extraction got = bd_extraction_of(shares[i].material, shares[i].preparation, 1.0);

        assert_close(bd_extraction_share(&got, shares[i].nutrient).typical, shares[i].typical,
                     1e-12);
        assert_close(bd_extraction_most(&got, shares[i].nutrient), shares[i].most, 0.0);
    }
}

/* Standing longer never gives less. */
static void longer_soaks_give_no_less(void **state)
{
    double before = 0.0;

    (void)state;
    for (double days = 0.0; days < 20.0; days += 0.25) {
        bd_extraction got = bd_extraction_of(&peel, BD_SOAK, days);

        assert_true(got.potassium.low >= before);
        assert_true(got.potassium.low <= got.potassium.typical &&
                    got.potassium.typical <= got.potassium.high);
        before = got.potassium.low;
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(rows) + 2];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(rows); i++)
        tests[n++] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(a_lye_keeps_its_lime);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(longer_soaks_give_no_less);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
