/* crops.json and its reader: names, figures re-typed from their sources, and faults that must be
 * refused. */
#include "support/cmocka_all.h"
#include "support/close.h"

#include <string.h>

#include "base/memory.h"
#include "nutrients/catalogue.h"
#include "nutrients/crops.h"

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

static const bd_crop *crop_named(const char *name)
{
    const bd_crop *crop = NULL;
    bd_error err = {.status = BD_OK};

    if (bd_catalogue_crop(catalogue, name, &crop, &err) != BD_OK)
        fail_msg("'%s': %s", name, err.text);
    return crop;
}

/* ---- names ---- */

static const struct name_row {
    const char *typed, *name;
} name_rows[] = {
    {"carrot", "carrot"},        {"Sweet Potato", "sweet-potato"},
    {"bean", "bush-bean"},       {"green-bean", "bush-bean"},
    {"beet", "beetroot"},        {"aubergine", "eggplant"},
    {"courgette", "zucchini"},   {"chilli", "pepper"},
    {"sweet-pepper", "pepper"},  {"rutabaga", "swede"},
    {"manioc", "cassava"},       {"spring-onion", "onion"},
    {"pinto-bean", "dry-bean"},  {"tomatoes", "tomato"},
    {"celery-root", "celeriac"}, {"cherry-tomato", "cherry-tomato"},
    {"daikon", "radish"},        {"parsley-root", "root-parsley"},
};

static void names_and_synonyms(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(name_rows); i++)
        assert_string_equal(crop_named(name_rows[i].typed)->name, name_rows[i].name);
}

/* Every crop of the table of rates is a crop here. */
static void names_of_all_rate_crops(void **state)
{
    static const char *const names[] = {
        "beetroot", "bush-bean",  "cabbage", "carrot",       "cassava", "celeriac", "cucumber",
        "dry-bean", "eggplant",   "garlic",  "kale",         "leek",    "lettuce",  "okra",
        "onion",    "parsnip",    "pea",     "pepper",       "potato",  "radish",   "root-parsley",
        "spinach",  "strawberry", "swede",   "sweet-potato", "tomato",  "turnip",
    };

    (void)state;
    for (size_t i = 0; i < COUNT_OF(names); i++) {
        const bd_crop *crop = crop_named(names[i]);

        assert_string_equal(crop->name, names[i]);
        assert_true(crop->rate_count > 0);
    }
}

static void unknown_name_shows_the_nearest(void **state)
{
    const bd_crop *crop = NULL;
    bd_error err = {.status = BD_OK};

    (void)state;
    assert_int_equal(bd_catalogue_crop(catalogue, "carot", &crop, &err), BD_UNKNOWN);
    assert_null(crop);
    assert_non_null(strstr(err.text, "'carot'"));
    assert_non_null(strstr(err.accepts, "carrot"));
    err = (bd_error){.status = BD_OK};
    assert_int_equal(bd_catalogue_crop(catalogue, "", &crop, &err), BD_UNKNOWN);
}

/* ---- groups and flags ---- */

static const struct flag_row {
    const char *name, *nearest_group;
    bool is_root, touches_soil, minds_chloride;
} flag_rows[] = {
    {"carrot", "root", true, true, true},
    {"beetroot", "beet", true, true, false},
    {"tomato", "tomato", false, false, false},
    {"cherry-tomato", "tomato", false, false, false},
    {"pepper", "pepper", false, false, false},
    {"cucumber", "cucurbit", false, true, false},
    {"lettuce", "leafy", false, true, true},
    {"bush-bean", "legume", false, true, true},
    {"strawberry", "strawberry", false, true, true},
    {"onion", "bulb", true, true, true},
    {"cabbage", "brassica", false, true, false},
    {"potato", "tuber", true, true, false},
    {"eggplant", "fruiting", false, false, false},
    {"sweet-corn", "vegetables", false, false, false},
};

static void groups_and_flags(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(flag_rows); i++) {
        const struct flag_row *r = &flag_rows[i];
        const bd_crop *crop = crop_named(r->name);

        assert_string_equal(crop->groups[0], r->nearest_group);
        assert_int_equal(crop->is_root, r->is_root);
        assert_int_equal(crop->touches_soil, r->touches_soil);
        assert_int_equal(crop->minds_chloride, r->minds_chloride);
    }
}

/* ---- salt tolerance ---- */

/* Printed as dS/m and per cent; each exact as printed. */
static const struct tolerance_row {
    const char *name;
    size_t index;
    double threshold, slope_percent; /* 0: none printed */
    const char *rating, *source;
    bd_trust trust;
} tolerance_rows[] = {
    {"carrot", 0, 1.0, 14.0, "S", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"carrot", 1, 1.0, 14.0, "S", "FAO61_MG1999", BD_TRUST_MEMORY},
    {"bush-bean", 0, 1.0, 19.0, "S", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"beetroot", 0, 4.0, 9.0, "MT", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"tomato", 0, 2.5, 9.9, "MS", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"cherry-tomato", 0, 1.7, 9.1, "MS", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"strawberry", 0, 1.0, 33.0, "S", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"spinach", 0, 2.0, 7.6, "MS", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"eggplant", 0, 1.1, 6.9, "MS", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"zucchini", 0, 4.7, 9.4, "MT", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"zucchini", 1, 4.9, 10.5, "MT", "FAO61_MG1999", BD_TRUST_MEMORY},
    {"mung-bean", 0, 1.8, 20.7, "S", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"asparagus", 0, 4.1, 2.0, "T", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"pea", 0, 0.0, 0.0, "S*", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"pea", 1, 3.4, 10.6, "MS", "FAO61_MG1999", BD_TRUST_MEMORY},
    {"okra", 0, 0.0, 0.0, "S", "USSL_MAAS1990", BD_TRUST_PUBLISHED},
    {"garlic", 0, 3.9, 14.3, "MS", "FAO61_MG1999", BD_TRUST_MEMORY},
    {"turnip-greens", 0, 3.3, 4.3, "MT", "FAO61_MG1999", BD_TRUST_MEMORY},
};

static void tolerances(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(tolerance_rows); i++) {
        const struct tolerance_row *r = &tolerance_rows[i];
        const bd_crop *crop = crop_named(r->name);
        const bd_tolerance *t = &crop->tolerances[r->index];

        assert_true(r->index < crop->tolerance_count);
        assert_int_equal(t->has_threshold, r->threshold > 0.0);
        assert_close(t->threshold_ds_per_m, r->threshold, 1e-12);
        assert_close(t->slope_per_ds_per_m, r->slope_percent / 100.0, 1e-12);
        assert_string_equal(t->rating, r->rating);
        assert_string_equal(t->source, r->source);
        assert_int_equal(t->trust, r->trust);
    }
}

/* ---- rates of guides ---- */

enum { N, P2O5, K2O };

/* g/m2 by hand: kg/ha / 10; lb/acre * 453.59237 g / 4046.8564224 m2. */
static const struct rate_row {
    const char *name, *guide, *soil_class;
    int form;
    double low, typical, high;
    bd_trust trust_low, trust_typical;
} rate_rows[] = {
    {"carrot", "UFIFAS_M3", "low", N, 19.6149, 19.6149, 19.6149, BD_TRUST_PUBLISHED,
     BD_TRUST_PUBLISHED},
    {"carrot", "UFIFAS_M3", "low", K2O, 13.4502, 13.4502, 13.4502, BD_TRUST_PUBLISHED,
     BD_TRUST_PUBLISHED},
    {"carrot", "UFIFAS_M3", "high", P2O5, 0.0, 0.0, 0.0, BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED},
    {"carrot", "USU_ROOT", "general range", N, 5.6043, 11.2085, 16.8128, BD_TRUST_PUBLISHED,
     BD_TRUST_WORKED_OUT},
    {"carrot", "EMBRAPA_DF", "very low", P2O5, 40.0, 50.0, 60.0, BD_TRUST_PUBLISHED,
     BD_TRUST_WORKED_OUT},
    {"carrot", "NIBIO", "optimum: ware/storage", K2O, 16.9, 16.9, 16.9, BD_TRUST_PUBLISHED,
     BD_TRUST_PUBLISHED},
    {"carrot", "RB209", "index 0", K2O, 27.5, 27.5, 27.5, BD_TRUST_MEMORY, BD_TRUST_MEMORY},
    {"carrot", "MIDATL", "low", N, 5.6043, 7.2855, 8.9668, BD_TRUST_MEMORY, BD_TRUST_MEMORY},
    {"carrot", "DOA_LK", "blanket", K2O, 12.0, 12.0, 12.0, BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED},
    {"potato", "RB209", "index 1", K2O, 33.0, 33.0, 33.0, BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED},
    {"potato", "UFIFAS_M3", "medium", P2O5, 0.0, 6.7251, 13.4502, BD_TRUST_PUBLISHED,
     BD_TRUST_WORKED_OUT},
    {"tomato", "UFIFAS_M1", "very low", K2O, 25.2192, 25.2192, 25.2192, BD_TRUST_PUBLISHED,
     BD_TRUST_PUBLISHED},
    {"tomato", "UFIFAS_M1", "low", K2O, 16.8128, 16.8128, 16.8128, BD_TRUST_MEMORY,
     BD_TRUST_MEMORY},
    {"onion", "MG_5A", "low", P2O5, 30.0, 30.0, 30.0, BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED},
    {"leek", "DUEV_T4", "demand", N, 25.0, 25.0, 25.0, BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED},
    {"radish", "KAU", "blanket", P2O5, 3.75, 3.75, 3.75, BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED},
    {"pepper", "TNAU", "blanket: chilli varieties", N, 6.0, 9.0, 12.0, BD_TRUST_PUBLISHED,
     BD_TRUST_WORKED_OUT},
    {"dry-bean", "TAMU_PINTO", "very low", K2O, 11.2085, 11.2085, 11.2085, BD_TRUST_PUBLISHED,
     BD_TRUST_PUBLISHED},
    {"garlic", "DOGR", "blanket: central and southern states", N, 7.5, 7.5, 7.5, BD_TRUST_PUBLISHED,
     BD_TRUST_PUBLISHED},
};

static const bd_guide_rate *find_rate(const bd_crop *crop, const char *guide,
                                      const char *soil_class)
{
    for (size_t i = 0; i < crop->rate_count; i++)
        if (strcmp(crop->rates[i].guide, guide) == 0 &&
            strncmp(crop->rates[i].soil_class, soil_class, strlen(soil_class)) == 0)
            return &crop->rates[i];
    fail_msg("%s has no rate %s, %s", crop->name, guide, soil_class);
    return NULL;
}

static void rates(void **state)
{
    const double tolerance = 5e-5; /* half the last digit worked out above */

    (void)state;
    for (size_t i = 0; i < COUNT_OF(rate_rows); i++) {
        const struct rate_row *r = &rate_rows[i];
        const bd_guide_rate *rate = find_rate(crop_named(r->name), r->guide, r->soil_class);
        const bd_fact *fact = &rate->g_per_m2[r->form];

        assert_true(fact->is_known);
        assert_close(fact->value.low, r->low, tolerance);
        assert_close(fact->value.typical, r->typical, tolerance);
        assert_close(fact->value.high, r->high, tolerance);
        assert_int_equal(fact->trust_low, r->trust_low);
        assert_int_equal(fact->trust_typical, r->trust_typical);
        assert_string_equal(fact->source, r->guide);
        assert_true(*rate->where != '\0');
    }
}

/* A form the guide does not give is unknown, which is not the same as none. */
static void rate_not_given_is_unknown(void **state)
{
    const bd_crop *carrot = crop_named("carrot");
    const bd_guide_rate *by_index = find_rate(carrot, "RB209", "index 0");
    const bd_guide_rate *by_supply = find_rate(carrot, "RB209", "SNS index 0");

    (void)state;
    assert_false(by_index->g_per_m2[N].is_known);
    assert_true(by_index->g_per_m2[P2O5].is_known);
    assert_true(by_supply->g_per_m2[N].is_known);
    assert_false(by_supply->g_per_m2[K2O].is_known);
}

/* ---- removal ---- */

static const struct removal_row {
    const char *name, *source, *part;
    double n, p2o5, k2o; /* typical, kg/t; below zero: not printed */
} removal_rows[] = {
    {"carrot", "NEVG_T4", "root", 1.60, 0.40, 4.00},
    {"carrot", "NEVG_T4", "whole crop", 2.90, 0.50, 6.90},
    {"carrot", "STCR_BLR", "nutrient requirement", 7.6, 4.2, 7.9},
    {"cabbage", "NEVG_T4", "whole crop", 3.12, 0.75, 3.25},
    {"potato", "PDA_RB209_8", "tuber", -1.0, 1.0, 5.8},
    {"tomato", "HEGDE1997", "whole plant", 2.75, 0.575, 3.915},
    {"eggplant", "NEVG_T4", "whole crop", 6.47, 1.44, -1.0},
    {"garlic", "CAMPANIA", "bulb", 11.3, 3.75, 7.7},
    {"cassava", "CTCRI_REM", "crop removal", 6.23, 2.52, 9.36},
    {"sweet-potato", "NRCS_T6_6", "root", 3.00, 0.92, 5.06},
    {"celeriac", "DUEV_T7", "root", 2.5, -1.0, -1.0},
    {"broad-bean", "RB209_T6_8", "pods", -1.0, 1.6, 3.6},
};

static const bd_removal *find_removal(const bd_crop *crop, const char *source, const char *part)
{
    for (size_t i = 0; i < crop->removal_count; i++) {
        const bd_removal *r = &crop->removals[i];

        for (int form = N; form <= K2O; form++)
            if (r->kg_per_t[form].is_known && strcmp(r->kg_per_t[form].source, source) == 0 &&
                strncmp(r->part, part, strlen(part)) == 0)
                return r;
    }
    fail_msg("%s has no removal of %s, %s", crop->name, source, part);
    return NULL;
}

static void removals(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(removal_rows); i++) {
        const struct removal_row *r = &removal_rows[i];
        const bd_removal *removal = find_removal(crop_named(r->name), r->source, r->part);
        const double want[] = {r->n, r->p2o5, r->k2o};

        for (int form = N; form <= K2O; form++) {
            assert_int_equal(removal->kg_per_t[form].is_known, want[form] >= 0.0);
            if (want[form] >= 0.0)
                assert_close(removal->kg_per_t[form].value.typical, want[form], 1e-9);
        }
    }
}

static void removal_range_keeps_its_ends(void **state)
{
    const bd_removal *garlic = find_removal(crop_named("garlic"), "CAMPANIA", "bulb");

    (void)state;
    assert_close(garlic->kg_per_t[N].value.low, 7.6, 1e-9);
    assert_close(garlic->kg_per_t[N].value.high, 15.0, 1e-9);
    assert_int_equal(garlic->kg_per_t[N].trust_high, BD_TRUST_PUBLISHED);
    assert_int_equal(garlic->kg_per_t[N].trust_typical, BD_TRUST_WORKED_OUT);
}

/* ---- single facts ---- */

static void carrot_facts(void **state)
{
    const bd_crop *carrot = crop_named("carrot");

    (void)state;
    /* Illinois and Sri Lanka: 1 in (2.5 cm), 5 cm; Tamil Nadu hills 10 cm. */
    assert_close(carrot->spacing_m.value.low, 0.025, 1e-12);
    assert_close(carrot->spacing_m.value.typical, 0.05, 1e-12);
    assert_close(carrot->spacing_m.value.high, 0.10, 1e-12);
    /* Half an inch, printed as 1.3 cm. */
    assert_close(carrot->sowing_depth_m.value.typical, 0.013, 1e-12);
    /* Common practice: short kinds 25 to 30 cm, long 30 to 45 cm. */
    assert_close(carrot->bag_depth_m.value.low, 0.25, 1e-12);
    assert_close(carrot->bag_depth_m.value.high, 0.45, 1e-12);
    assert_int_equal(carrot->bag_depth_m.trust_typical, BD_TRUST_PRACTICE);
    assert_string_equal(carrot->bag_depth_m.source, "");
    assert_close(carrot->days_to_harvest.value.low, 65.0, 0.0);
    assert_close(carrot->days_to_harvest.value.high, 120.0, 0.0);
}

static const struct kc_row {
    const char *name;
    double initial, mid, end;
} kc_rows[] = {
    /* FAO 56, table 12 */
    {"carrot", 0.7, 1.05, 0.95}, {"radish", 0.7, 0.90, 0.85},  {"potato", 0.5, 1.15, 0.75},
    {"tomato", 0.6, 1.15, 0.80}, {"lettuce", 0.7, 1.00, 0.95}, {"strawberry", 0.40, 0.85, 0.75},
};

static void crop_coefficients(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(kc_rows); i++) {
        const bd_crop *crop = crop_named(kc_rows[i].name);

        assert_close(crop->kc[0].value.typical, kc_rows[i].initial, 1e-12);
        assert_close(crop->kc[1].value.typical, kc_rows[i].mid, 1e-12);
        assert_close(crop->kc[2].value.typical, kc_rows[i].end, 1e-12);
        assert_string_equal(crop->kc[0].source, "FAO56");
    }
    assert_false(crop_named("okra")->kc[0].is_known);
    assert_true(crop_named("okra")->kc[1].is_known);
}

static const struct stage_row {
    const char *name;
    double initial, development, mid, late; /* one printed row of FAO 56, table 11 */
} stage_rows[] = {
    {"carrot", 20, 30, 30, 20}, {"beetroot", 15, 25, 20, 10},  {"radish", 5, 10, 15, 5},
    {"onion", 15, 25, 70, 40},  {"potato", 25, 30, 40, 30},    {"tomato", 30, 40, 40, 25},
    {"pepper", 30, 35, 40, 20}, {"bush-bean", 15, 25, 25, 10}, {"cabbage", 40, 60, 50, 15},
    {"spinach", 20, 20, 20, 5},
};

static void stage_lengths(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(stage_rows); i++) {
        const struct stage_row *r = &stage_rows[i];
        const bd_crop *crop = crop_named(r->name);
        const double want[BD_STAGES] = {r->initial, r->development, r->mid, r->late};

        for (int stage = 0; stage < BD_STAGES; stage++)
            assert_close(crop->stage_days[stage].value.typical, want[stage], 0.0);
    }
}

/* The whole cycle lies within what is said of the days to harvest. */
static void stages_fit_the_days_to_harvest(void **state)
{
    size_t count;
    const bd_crop *crops = bd_catalogue_crops(catalogue, &count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        double days = 0.0;

        if (!crops[i].stage_days[0].is_known)
            continue;
        for (int stage = 0; stage < BD_STAGES; stage++)
            days += crops[i].stage_days[stage].value.typical;
        assert_true(crops[i].days_to_harvest.is_known);
        assert_true(days >= crops[i].days_to_harvest.value.low);
        assert_true(days <= crops[i].days_to_harvest.value.high);
    }
}

/* ---- all crops ---- */

static bool is_sorted_by_trust(const bd_crop *crop)
{
    for (size_t i = 1; i < crop->tolerance_count; i++)
        if (crop->tolerances[i].trust < crop->tolerances[i - 1].trust)
            return false;
    return true;
}

static void all_crops_hold_together(void **state)
{
    size_t count, rate_count = 0;
    const bd_crop *crops = bd_catalogue_crops(catalogue, &count);

    (void)state;
    assert_int_equal(count, 42);
    for (size_t i = 0; i < count; i++) {
        rate_count += crops[i].rate_count;
        assert_true(is_sorted_by_trust(&crops[i]));
        assert_true(crops[i].is_root ? crops[i].touches_soil : true);
        if (strcmp(crops[i].name, "onion") != 0 && strcmp(crops[i].name, "garlic") != 0 &&
            crops[i].is_root)
            assert_true(strcmp(crops[i].groups[0], "root") == 0 ||
                        strcmp(crops[i].groups[0], "beet") == 0 ||
                        strcmp(crops[i].groups[0], "tuber") == 0);
    }
    assert_int_equal(rate_count, 402); /* rows of the guides as they were gathered */
}

/* ---- faults ---- */

#define HEAD "{\"name\": \"carrot\", \"title\": \"carrot\", \"groups\": [\"root\", \"any\"]"
#define RATE(figures)                                                                              \
    HEAD ", \"rates\": [{\"guide\": \"G\", \"soil_class\": \"low\", \"unit\": \"kg/ha\", "         \
         "\"status\": \"published\", \"where\": \"page 1\"" figures "}]}"
#define TOLERANCE(figures)                                                                         \
    HEAD ", \"tolerances\": [{\"rating\": \"S\", \"source\": \"G\", \"status\": "                  \
         "\"published\"" figures "}]}"

static const struct fault_row {
    const char *name, *json;
    bd_status status;
    const char *where, *text;
} fault_rows[] = {
    {"sound", HEAD "}", BD_OK, "", ""},
    {"sound_rate", RATE(", \"N\": [5, 10]"), BD_OK, "", ""},
    {"sound_tolerance",
     TOLERANCE(", \"threshold_ds_per_m\": 1, \"slope_percent_per_ds_per_m\": 14"), BD_OK, "", ""},
    {"unknown_key", HEAD ", \"colour\": 1}", BD_UNKNOWN, "#", "'colour'"},
    {"no_title", "{\"name\": \"carrot\", \"groups\": [\"any\"]}", BD_MISSING, "#", "'title'"},
    {"name_with_blank", "{\"name\": \"sweet potato\", \"title\": \"x\", \"groups\": [\"any\"]}",
     BD_SYNTAX, "#/name", "'sweet potato'"},
    {"groups_without_any", "{\"name\": \"x\", \"title\": \"x\", \"groups\": [\"root\"]}", BD_SYNTAX,
     "#/groups", "'any'"},
    {"no_groups", "{\"name\": \"x\", \"title\": \"x\"}", BD_SYNTAX, "#/groups", "'any'"},
    {"rate_unknown_unit",
     HEAD ", \"rates\": [{\"guide\": \"G\", \"soil_class\": \"low\", \"unit\": \"kg/acre\", "
          "\"status\": \"published\", \"where\": \"x\", \"N\": 1}]}",
     BD_UNKNOWN, "#/rates/0/unit", "'kg/acre'"},
    {"rate_unknown_guide",
     HEAD ", \"rates\": [{\"guide\": \"X\", \"soil_class\": \"low\", \"unit\": \"kg/ha\", "
          "\"status\": \"published\", \"where\": \"x\", \"N\": 1}]}",
     BD_UNKNOWN, "#/rates/0/guide", "'X'"},
    {"rate_without_figures", RATE(""), BD_MISSING, "#/rates/0", "'N'"},
    {"rate_in_wrong_order", RATE(", \"N\": [10, 5]"), BD_RANGE, "#/rates/0/N", "order"},
    {"rate_below_zero", RATE(", \"N\": -1"), BD_RANGE, "#/rates/0/N", "below zero"},
    {"rate_beyond_belief", RATE(", \"K2O\": 20000"), BD_RANGE, "#/rates/0/K2O", "2000"},
    {"rate_four_numbers", RATE(", \"N\": [1, 2, 3, 4]"), BD_SYNTAX, "#/rates/0/N", "4 numbers"},
    {"rate_as_text", RATE(", \"N\": \"5-10\""), BD_SYNTAX, "#/rates/0/N", "not a number"},
    {"rate_empty_array", RATE(", \"N\": []"), BD_SYNTAX, "#/rates/0/N", "not a number"},
    {"rate_unknown_form", RATE(", \"N\": 1, \"P\": 2"), BD_UNKNOWN, "#/rates/0", "'P'"},
    {"removal_without_source",
     HEAD ", \"removals\": [{\"part\": \"root\", \"N\": 1, \"unit\": \"kg/t\", "
          "\"status\": \"published\"}]}",
     BD_MISSING, "#/removals/0", "'source'"},
    {"removal_wrong_unit",
     HEAD ", \"removals\": [{\"part\": \"root\", \"N\": 1, \"unit\": \"lb/ton\", "
          "\"source\": \"G\", \"status\": \"published\"}]}",
     BD_UNKNOWN, "#/removals/0/unit", "'lb/ton'"},
    {"tolerance_without_slope", TOLERANCE(", \"threshold_ds_per_m\": 1"), BD_MISSING,
     "#/tolerances/0", "'slope_percent_per_ds_per_m'"},
    {"tolerance_slope_over_100",
     TOLERANCE(", \"threshold_ds_per_m\": 1, \"slope_percent_per_ds_per_m\": 140"), BD_RANGE,
     "#/tolerances/0/slope_percent_per_ds_per_m", "100"},
    {"tolerance_threshold_zero",
     TOLERANCE(", \"threshold_ds_per_m\": 0, \"slope_percent_per_ds_per_m\": 14"), BD_RANGE,
     "#/tolerances/0/threshold_ds_per_m", "above 0"},
    {"tolerance_slope_alone", TOLERANCE(", \"slope_percent_per_ds_per_m\": 14"), BD_UNKNOWN,
     "#/tolerances/0", "'slope_percent_per_ds_per_m'"},
    {"spacing_in_grams",
     HEAD ", \"spacing\": {\"value\": 5, \"unit\": \"g\", \"status\": \"common practice\"}}",
     BD_DIMENSION, "#/spacing/unit", "'g'"},
    {"spacing_of_kilometres",
     HEAD ", \"spacing\": {\"value\": 5, \"unit\": \"km\", \"status\": \"common practice\"}}",
     BD_RANGE, "#/spacing", "5000"},
    {"kc_in_per_cent",
     HEAD
     ", \"kc\": {\"mid\": 105, \"unit\": \"1\", \"source\": \"G\", \"status\": \"published\"}}",
     BD_RANGE, "#/kc/mid", "105"},
    {"chloride_without_note",
     HEAD ", \"minds_chloride\": {\"value\": true, \"source\": \"G\", \"status\": \"published\"}}",
     BD_MISSING, "#/minds_chloride", "'note'"},
};

static void fault(void **state)
{
    const struct fault_row *r = *state;
    static const bd_source source = {"G", "a guide", ""};
    bd_pool pool = {NULL};
    bd_error err = {.status = BD_OK};
    bd_load load_state = {.pool = &pool, .sources = &source, .source_count = 1, .err = &err};
    bd_crop crop = {.name = NULL};
    bd_node node;

    assert_int_equal(bd_node_parse(&load_state, "crops.json", r->json, strlen(r->json), &node),
                     BD_OK);
    bd_node_record(&node, bd_crop_read, &crop);
    bd_node_release(node.json);
    bd_pool_clear(&pool);
    if (load_state.status != r->status)
        print_error("%s: %s\n", err.where, err.text);
    assert_int_equal(load_state.status, r->status);
    if (r->status == BD_OK)
        return;
    assert_string_equal(err.where + strlen("crops.json"), r->where);
    if (strstr(err.text, r->text) == NULL)
        fail_msg("'%s' does not say '%s'", err.text, r->text);
}

/* ---- all ---- */

int main(void)
{
    const struct CMUnitTest data_tests[] = {
        cmocka_unit_test(names_and_synonyms),
        cmocka_unit_test(names_of_all_rate_crops),
        cmocka_unit_test(unknown_name_shows_the_nearest),
        cmocka_unit_test(groups_and_flags),
        cmocka_unit_test(tolerances),
        cmocka_unit_test(rates),
        cmocka_unit_test(rate_not_given_is_unknown),
        cmocka_unit_test(removals),
        cmocka_unit_test(removal_range_keeps_its_ends),
        cmocka_unit_test(carrot_facts),
        cmocka_unit_test(crop_coefficients),
        cmocka_unit_test(stage_lengths),
        cmocka_unit_test(stages_fit_the_days_to_harvest),
        cmocka_unit_test(all_crops_hold_together),
    };
    struct CMUnitTest fault_tests[COUNT_OF(fault_rows)];
    int failed = cmocka_run_group_tests_name("data", data_tests, load, unload);

    for (size_t i = 0; i < COUNT_OF(fault_rows); i++)
        fault_tests[i] =
            (struct CMUnitTest){fault_rows[i].name, fault, NULL, NULL, (void *)&fault_rows[i]};
    return failed + cmocka_run_group_tests_name("faults", fault_tests, NULL, NULL);
}
