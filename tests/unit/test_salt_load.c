/*
 * The salt that a dose brings: side-dressing and feed alike, own labels against salts
 * of known ions with the same nutrients, the figures of media.json against the solution
 * model.
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "job/dissolved.h"
#include "job/salt_load.h"
#include "model/conductivity.h"
#include "model/saturation.h"
#include "support/close.h"
#include "support/cmocka_all.h"

enum { MOST_WORDS = 24, MOST_SALTS = 4 };

static const double water_l = 9.4; /* 20 L of garden mix at saturation */

static bd_knowledge know;

/* ---- the same by every way ---------------------------------------------- */

static void run(const char *const *words, bd_card *card)
{
    bd_request *request = test_calloc(1, sizeof *request);
    bd_error err = {0};
    bd_job job = BD_JOB_SPRAY;
    int count = 0;

    while (count < MOST_WORDS && words[count] != NULL)
        count++;
    assert_int_equal(bd_job_find(words[0], &job, &err), BD_OK);
    if (bd_request_read(job, count - 1, (char *const *)(words + 1), request, &err) != BD_OK ||
        bd_job_run(&know, request, card, &err) != BD_OK)
        fail_msg("%s: %s; %s", err.where, err.text, err.accepts);
    test_free(request);
}

#define BAG "--bag-size", "20L x 30cm", "--crop", "tomato", "--days-left", "100", NULL

static const struct pair {
    const char *name, *dressing[MOST_WORDS], *feed[MOST_WORDS];
} pairs[] = {
    {"alike/compost",
     {"sidedress", "--material", "garden-compost", "--target", "product 500 g/bag", BAG},
     {"feed", "--material", "garden-compost", "--mass", "500g", "--preparation", "dry", BAG}},
    {"alike/fresh_manure",
     {"sidedress", "--material", "cattle-manure-fresh", "--target", "product 545 g/bag", BAG},
     {"feed", "--material", "cattle-manure-fresh", "--mass", "545g", "--preparation", "dry", BAG}},
    {"alike/bone_meal",
     {"sidedress", "--material", "bone-meal", "--target", "product 50 g/bag", BAG},
     {"feed", "--material", "bone-meal", "--mass", "50g", "--preparation", "dry", BAG}},
    {"alike/urine_by_its_reading",
     {"sidedress", "--material", "urine", "--target", "product 100 g/bag", "--per-bag", "1L", BAG},
     {"feed", "--material", "urine", "--mass", "100g", "--brew", "1L", "--per-bag", "1L", BAG}},
    {"alike/urea",
     {"sidedress", "--material", "urea", "--target", "product 5 g/bag", BAG},
     {"feed", "--material", "urea", "--mass", "5g", "--preparation", "dry", BAG}},
    {"alike/potassium_sulfate",
     {"sidedress", "--material", "potassium-sulfate", "--target", "product 5 g/bag", BAG},
     {"feed", "--material", "potassium-sulfate", "--mass", "5g", "--preparation", "dry", BAG}},
};

static const bd_finding *rise_of(const bd_card *card)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, "limit.soil.rise") == 0)
            return &card->findings[i];
    fail_msg("no rise on the card");
    return NULL;
}

static void check_pair(void **state)
{
    const struct pair *p = *state;
    bd_card dressing, feed;
    double by_dressing, by_feed;

    run(p->dressing, &dressing);
    run(p->feed, &feed);
    by_dressing = rise_of(&dressing)->value;
    by_feed = rise_of(&feed)->value;
    assert_close(by_dressing, by_feed, 0.03 * by_feed + 1e-9);
    bd_card_clear(&dressing);
    bd_card_clear(&feed);
}

/* ---- labels against salts ----------------------------------------------- */

static bd_offer product(const char *material, const double *npk_oxides)
{
    static const double as_element[] = {1.0, 0.43642, 0.83015};
    static const bd_nutrient nutrients[] = {BD_N, BD_P, BD_K};
    bd_offer o = {.title = "product"};
    bd_label label = {.convention = BD_CONVENTION_OXIDE};
    bool is_near = false;

    if (material != NULL)
        assert_int_equal(bd_catalogue_material(know.catalogue, material, &o.material, NULL), BD_OK);
    for (int i = 0; i < 3 && npk_oxides != NULL; i++) {
        label.declares[nutrients[i]] = true;
        label.share[nutrients[i]] = npk_oxides[i] / 100.0 * as_element[i];
    }
    assert_int_equal(bd_product_make(o.material, npk_oxides == NULL ? NULL : &label, false, 0.0,
                                     &o.product, &is_near, NULL),
                     BD_OK);
    return o;
}

static bd_range load_of(const bd_offer *o, double grams)
{
    bd_salts salts;
    bd_range load;

    assert_int_equal(bd_salts_of(&know, o, bd_exactly(grams), water_l, &salts, &load, NULL), BD_OK);
    return load;
}

/* A label and grams of salts that make the same of N, P2O5 and K2O, each of the salts within half a
 * per cent: the salts' own load, by the model, must lie in the label's range. */
static const struct blend {
    const char *name;
    double npk[3], grams;
    struct {
        const char *salt;
        double grams;
    } salts[MOST_SALTS];
} blends[] = {
    {"label/10-10-10_of_sulfate_phosphate_and_chloride", /* 21.2 % N, 12.2-61.7, 63.2 % K2O */
     {10, 10, 10},
     10,
     {{"ammonium-sulfate", 3.79}, {"monoammonium-phosphate", 1.62}, {"potassium-chloride", 1.58}}},
    {"label/10-10-10_of_urea", /* 46.6 % N */
     {10, 10, 10},
     10,
     {{"urea", 1.72}, {"monoammonium-phosphate", 1.62}, {"potassium-chloride", 1.58}}},
    {"label/10-10-10_of_nitrates", /* 35 % N, 13.9-46.6 */
     {10, 10, 10},
     10,
     {{"ammonium-nitrate", 1.42}, {"monoammonium-phosphate", 1.62}, {"potassium-nitrate", 2.15}}},
    {"label/4-3-8_of_nitrate_phosphate_and_sulfate",
     {4, 3, 8},
     25,
     {{"ammonium-nitrate", 2.60}, {"monoammonium-phosphate", 0.72}, {"potassium-sulfate", 3.70}}},
    {"label/0-0-60_of_chloride", {0, 0, 60}, 10, {{"potassium-chloride", 9.50}}},
    {"label/0-0-50_of_sulfate", {0, 0, 50}, 10, {{"potassium-sulfate", 9.25}}},
    {"label/46-0-0_of_urea", {46, 0, 0}, 5, {{"urea", 4.94}}},
    {"label/21-0-0_of_sulfate", {21, 0, 0}, 10, {{"ammonium-sulfate", 9.90}}},
    {"label/18-46-0_of_phosphate", {18, 46, 0}, 10, {{"diammonium-phosphate", 8.50}}},
};

static void check_blend(void **state)
{
    const struct blend *b = *state;
    bd_offer own = product(NULL, b->npk);
    bd_range label = load_of(&own, b->grams), sum = bd_exactly(0.0);

    for (size_t i = 0; i < MOST_SALTS && b->salts[i].salt != NULL; i++) {
        bd_offer salt = product(b->salts[i].salt, NULL);

        sum = bd_range_add(sum, load_of(&salt, b->salts[i].grams));
    }
    assert_true(label.low <= sum.typical && sum.typical <= label.high);
    assert_true(sum.high <= label.high);
    /* and the high end is no threat made of nothing: at most 2.2 times these salts, the most of
     * which are no chlorides and half of whose nitrogen is nitrate */
    assert_true(label.high <= 2.2 * sum.high);
}

/* Sulfate, granular phosphate: what is known by its analysis only against the same salt by its
 * ions. */
static void a_granule_as_its_salt(void **state)
{
    bd_offer granule = product("diammonium-phosphate-granular", NULL),
             salt = product("diammonium-phosphate", NULL);
    bd_range counted = load_of(&granule, 10.0), solved = load_of(&salt, 8.5);

    (void)state;
    assert_true(counted.low <= solved.typical && solved.typical <= counted.high);
}

/* ---- what holds for every material -------------------------------------- */

/* No dose conducts more than the lightest salt of its weight (ammonium chloride, 18.7 meq/g), but
 * for nitrogen that draws its partner from the mix; and ends are in order. */
static void no_more_than_its_weight(void **state)
{
    size_t count;
    const bd_material *all = bd_catalogue_materials(know.catalogue, &count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        bd_offer o = {.material = &all[i], .title = "product"};
        bool is_near = false;
        bd_range load;

        if (bd_product_make(&all[i], NULL, false, 0.0, &o.product, &is_near, NULL) != BD_OK ||
            bd_offer_has_ions(&o))
            continue;
        load = load_of(&o, 20.0);
        assert_true(load.low >= 0.0 && load.low <= load.typical && load.typical <= load.high);
        assert_true(load.high <= 20.0 * (18.7 + 71.4 * o.product.share[BD_N].high) * 0.141);
    }
}

/* Twice as much lime is no more salt. */
static void lime_is_held(void **state)
{
    bd_offer lime = product("lime", NULL);
    bd_range once = load_of(&lime, 50.0), twice = load_of(&lime, 100.0);

    (void)state;
    assert_close(once.typical, 0.21 * water_l, 1e-9);
    assert_close(twice.high, once.high, 1e-12);
    assert_close(load_of(&lime, 0.0).high, 0.0, 1e-12);
}

static void without_water_nothing_is_added(void **state)
{
    bd_offer compost = product("garden-compost", NULL);
    bd_salts salts;
    bd_range load;

    (void)state;
    assert_int_equal(bd_salts_of(&know, &compost, bd_exactly(500.0), 0.0, &salts, &load, NULL),
                     BD_OK);
    assert_close(load.high, 0.0, 0.0);
    assert_false(salts.is_counted);
}

/* ---- figures against the model ------------------------------------------ */

/* Waters saturated with a mineral that dissolves as `a` and `b`, where the air holds carbon dioxide
 * at 10^log_pco2; 0: closed to it.  Figures are rounded to 0.01, gypsum's to 0.1. */
static const struct water {
    const char *name, *figure;
    enum { LOW, TYPICAL, HIGH } end;
    const char *mineral, *a, *b;
    double count_a, count_b, log_pco2, tolerance;
} waters[] = {
    {"water/gypsum", "gypsum-water", TYPICAL, "gypsum", "Ca+2", "SO4-2", 1, 1, 0, 0.05},
    {"water/lime_in_air", "lime-water", LOW, "calcite", "Ca+2", "HCO3-", 1, 2, -3.38, 0.006},
    {"water/lime", "lime-water", TYPICAL, "calcite", "Ca+2", "HCO3-", 1, 2, -2.5, 0.006},
    {"water/lime_in_foul_air", "lime-water", HIGH, "calcite", "Ca+2", "HCO3-", 1, 2, -1.5, 0.006},
    {"water/apatite_in_air", "phosphate-water", LOW, "hydroxyapatite", "Ca+2", "HPO4-2", 1, 0.6,
     -3.38, 0.006},
    {"water/apatite", "phosphate-water", TYPICAL, "hydroxyapatite", "Ca+2", "HPO4-2", 1, 0.6, -2,
     0.006},
    {"water/brushite", "phosphate-water", HIGH, "brushite", "Ca+2", "HPO4-2", 1, 1, -2, 0.006},
};

/* Saturation index, and the conductivity at it. */
static double index_at(const struct water *w, double mol_per_l, double *ds_per_m)
{
    bd_chemistry chemistry = *know.chemistry;
    bd_solution_input in;
    bd_solution out;
    bd_saturation s;

    if (w->log_pco2 < 0.0)
        chemistry.log_pco2_atm = w->log_pco2;
    bd_solution_input_init(&in);
    in.temperature_c = 25.0;
    in.is_open = w->log_pco2 < 0.0;
    assert_int_equal(bd_solution_add_ion(&chemistry, &in, w->a, w->count_a * mol_per_l, NULL),
                     BD_OK);
    assert_int_equal(bd_solution_add_ion(&chemistry, &in, w->b, w->count_b * mol_per_l, NULL),
                     BD_OK);
    assert_int_equal(bd_solution_solve(&chemistry, &in, &out, NULL), BD_OK);
    s = bd_saturation_of(&chemistry, &out);
    *ds_per_m = bd_conductivity_ds_per_m(&chemistry, &out);
    return s.index[bd_chemistry_mineral(&chemistry, w->mineral) - chemistry.minerals];
}

static void check_water(void **state)
{
    const struct water *w = *state;
    bd_range figure = bd_media_figure(know.media, w->figure)->value;
    double low = 1e-6, high = 0.05, ds_per_m = 0.0;

    for (int i = 0; i < 50; i++) {
        double middle = sqrt(low * high);

        if (index_at(w, middle, &ds_per_m) < 0.0)
            low = middle;
        else
            high = middle;
    }
    assert_close(w->end == LOW    ? figure.low
                 : w->end == HIGH ? figure.high
                                  : figure.typical,
                 ds_per_m, w->tolerance);
}

/* ---- to run ------------------------------------------------------------- */

static int load(void **state)
{
    bd_error err = {0};

    (void)state;
    return bd_knowledge_load(NULL, &know, &err) == BD_OK ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    bd_knowledge_free(&know);
    return 0;
}

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

int main(void)
{
    struct CMUnitTest tests[COUNT(pairs) + COUNT(blends) + COUNT(waters) + 4] = {
        cmocka_unit_test(a_granule_as_its_salt),
        cmocka_unit_test(no_more_than_its_weight),
        cmocka_unit_test(lime_is_held),
        cmocka_unit_test(without_water_nothing_is_added),
    };
    size_t n = 4;

    for (size_t i = 0; i < COUNT(pairs); i++)
        tests[n++] = (struct CMUnitTest){pairs[i].name, check_pair, NULL, NULL, (void *)&pairs[i]};
    for (size_t i = 0; i < COUNT(blends); i++)
        tests[n++] =
            (struct CMUnitTest){blends[i].name, check_blend, NULL, NULL, (void *)&blends[i]};
    for (size_t i = 0; i < COUNT(waters); i++)
        tests[n++] =
            (struct CMUnitTest){waters[i].name, check_water, NULL, NULL, (void *)&waters[i]};
    return cmocka_run_group_tests(tests, load, unload);
}
