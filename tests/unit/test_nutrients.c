#include "nutrients/catalogue.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "nutrients/formula.h"
#include "support/close.h"
#include "support/cmocka_all.h"
#include "support/scratch.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Loaded once; nothing may change it. */
static bd_catalogue *built_in;

static int load_built_in(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    if (bd_catalogue_load(NULL, &built_in, &err) == BD_OK)
        return 0;
    print_error("%s: %s; %s\n", err.where, err.text, err.accepts);
    return -1;
}

static int free_built_in(void **state)
{
    (void)state;
    bd_catalogue_free(built_in);
    return 0;
}

static const bd_material *material(const char *name)
{
    const bd_material *m = NULL;
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_catalogue_material(built_in, name, &m, &err), BD_OK);
    return m;
}

/* ---- names ---- */

static const struct name_row {
    const char *typed, *name; /* NULL: not known */
    const char *accepts;      /* what the message must offer */
} names[] = {
    {"potassium-nitrate", "potassium-nitrate", ""},
    {"Potassium Nitrate", "potassium-nitrate", ""},
    {"potassium_sulphate", "potassium-sulfate", ""},
    {"sop", "potassium-sulfate", ""},
    {"mop", "potassium-chloride", ""},
    {"mkp", "monopotassium-phosphate", ""},
    {"epsom-salt", "magnesium-sulfate-heptahydrate", ""},
    {"kieserite", "magnesium-sulfate-monohydrate", ""},
    {"calcium-nitrate", "calcium-nitrate", ""},
    {"potasium-nitrate", NULL, "potassium-nitrate"},
    {"nitrate", NULL, "potassium-nitrate"},
    {"potassium-nitrite", NULL, "do not use anything labelled nitrite"},
    {"sodium nitrite", NULL, "do not use anything labelled nitrite"},
    {"nitrito de potasio", NULL, "do not use anything labelled nitrite"},
    {"KNO2", NULL, "do not use anything labelled nitrite"},
    {"", NULL, ""},
    {"qqqqqqqqqq", NULL, "a name from the list of materials"},
    {"a-name-that-is-much-longer-than-any-buffer-for-names-of-materials-should-ever-need-to-be",
     NULL, "a name from the list of materials"},
};

static void find_name(void **state)
{
    const struct name_row *r = *state;
    const bd_material *m = NULL;
    bd_error err = {.status = BD_OK};
    bd_status status = bd_catalogue_material(built_in, r->typed, &m, &err);

    if (r->name != NULL) {
        assert_int_equal(status, BD_OK);
        assert_string_equal(m->name, r->name);
        return;
    }
    assert_int_equal(status, BD_UNKNOWN);
    assert_null(m);
    assert_non_null(strstr(err.accepts, r->accepts));
}

/* The spelling of these is fixed: other parts and checks use it. */
static const char *const fixed_names[] = {
    "potassium-nitrate",
    "potassium-sulfate",
    "potassium-chloride",
    "monopotassium-phosphate",
    "dipotassium-phosphate",
    "potassium-carbonate",
    "potassium-bicarbonate",
    "potassium-hydroxide",
    "calcium-nitrate",
    "calcium-nitrate-tetrahydrate",
    "calcium-chloride-dihydrate",
    "magnesium-nitrate-hexahydrate",
    "magnesium-sulfate-heptahydrate",
    "magnesium-sulfate-monohydrate",
    "ammonium-nitrate",
    "ammonium-sulfate",
    "monoammonium-phosphate",
    "monoammonium-phosphate-granular",
    "diammonium-phosphate",
    "diammonium-phosphate-granular",
    "urea",
    "boric-acid",
    "borax",
    "zinc-sulfate-heptahydrate",
    "copper-sulfate-pentahydrate",
    "ferrous-sulfate-heptahydrate",
    "manganese-sulfate-monohydrate",
    "calcium-ammonium-nitrate",
    "sodium-nitrate",
    "potassium-magnesium-sulfate",
    "potassium-thiosulfate",
    "gypsum",
    "lime",
    "dolomite",
    "banana-peel-fresh",
    "banana-peel-dried",
    "wood-ash-hardwood",
    "urine",
};

static void fixed_names_are_names(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(fixed_names); i++)
        assert_string_equal(material(fixed_names[i])->name, fixed_names[i]);
}

static void there_are_35_fertilisers_and_18_homemade(void **state)
{
    size_t count, homemade = 0;
    const bd_material *m = bd_catalogue_materials(built_in, &count);

    (void)state;
    for (size_t i = 0; i < count; i++)
        homemade += m[i].kind == BD_HOMEMADE;
    assert_true(homemade >= 18);
    assert_true(count - homemade >= 35);
}

/* ---- analyses: element as kg/kg, or g/L ---- */

static const struct analysis_row {
    const char *name;
    bd_nutrient nutrient;
    double low, typical, high, tolerance;
    bd_trust trust;
    const char *source;
} analyses[] = {
    {"potassium-nitrate", BD_K, 0.365, 0.382, 0.382, 0.0005, BD_TRUST_PRACTICE,
     "44 (read) to 46 % K2O, by hand times 0.83015"},
    {"potassium-nitrate", BD_N, 0.13, 0.13, 0.135, 1e-9, BD_TRUST_PUBLISHED, "13-0-44 in guides"},
    {"potassium-sulfate", BD_K, 0.415, 0.415, 0.432, 0.0005, BD_TRUST_PUBLISHED,
     "0-0-50 in guides"},
    {"potassium-chloride", BD_K, 0.498, 0.498, 0.523, 0.0005, BD_TRUST_PUBLISHED, "60 to 63 % K2O"},
    {"potassium-chloride", BD_CL, 0.452, 0.452, 0.474, 0.0005, BD_TRUST_WORKED_OUT,
     "60 * 0.83015 * 35.45 / 39.098 by hand"},
    {"monopotassium-phosphate", BD_P, 0.227, 0.227, 0.227, 0.0005, BD_TRUST_PRACTICE,
     "52 % P2O5 times 0.43643"},
    {"calcium-nitrate", BD_CA, 0.185, 0.19, 0.19, 1e-9, BD_TRUST_PUBLISHED, "19 % Ca in a table"},
    {"magnesium-sulfate-heptahydrate", BD_MG, 0.0965, 0.0965, 0.098, 0.0005, BD_TRUST_PUBLISHED,
     "16 % MgO in a manual, times 0.60304"},
    {"urea", BD_N, 0.45, 0.46, 0.46, 1e-9, BD_TRUST_PUBLISHED, "45 and 46 % in guides"},
    {"borax", BD_B, 0.106, 0.11, 0.113, 1e-9, BD_TRUST_PUBLISHED, "10.6 and 11 % in tables"},
    {"urine", BD_K, 0.83, 1.66, 2.49, 0.005, BD_TRUST_MEMORY, "1, 2, 3 g K2O/L times 0.83015"},
};

static void analyse(void **state)
{
    const struct analysis_row *r = *state;
    const bd_fact *f = &material(r->name)->analysis[r->nutrient];

    assert_true(f->is_known);
    assert_close(f->value.low, r->low, r->tolerance);
    assert_close(f->value.typical, r->typical, r->tolerance);
    assert_close(f->value.high, r->high, r->tolerance);
    assert_int_equal(f->trust_typical, r->trust);
}

/* Pure salts hold what their formula says: 2 % above at most, a fifth below at most. */
static void salts_hold_what_their_formula_says(void **state)
{
    size_t count;
    const bd_material *m = bd_catalogue_materials(built_in, &count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        bd_formula pure;
        double share;

        if (m[i].kind != BD_SALT || m[i].form != BD_SOLID)
            continue;
        assert_true(m[i].main_nutrient_known);
        assert_int_equal(bd_formula_read(m[i].formula, &pure, NULL), BD_OK);
        share = bd_formula_share(&pure, m[i].main_nutrient);
        if (!(m[i].analysis[m[i].main_nutrient].value.low > 0.8 * share))
            print_error("%s holds too little\n", m[i].name);
        assert_true(m[i].analysis[m[i].main_nutrient].value.low > 0.8 * share);
    }
}

static void nitrogen_forms_of_calcium_nitrate(void **state)
{
    const bd_material *m = material("calcium-nitrate");

    (void)state;
    /* 14.4 of 15.5 % as nitrate, 1.1 % as ammonium */
    assert_close(m->nitrogen_share[BD_NITROGEN_NITRATE], 0.93, 0.005);
    assert_close(m->nitrogen_share[BD_NITROGEN_AMMONIUM], 0.07, 0.005);
    assert_close(m->nitrogen_share[BD_NITROGEN_UREA], 0.0, 0.0);
}

static void ions_traits_and_hazards_of_potassium_nitrate(void **state)
{
    const bd_material *m = material("potassium-nitrate");

    (void)state;
    assert_int_equal(m->ion_count, 2);
    assert_string_equal(m->ions[0].name, "K+");
    assert_string_equal(m->ions[1].name, "NO3-");
    assert_true(bd_material_has(m, BD_TRAIT_NITRATE));
    assert_false(bd_material_has(m, BD_TRAIT_CHLORIDE));
    assert_int_equal(m->hazard_count, 2);
    assert_string_equal(m->hazards[0].code, "H272");
    assert_string_equal(m->hazards[1].code, "H319");
    assert_int_equal(m->hazards[0].trust, BD_TRUST_PUBLISHED);
}

/* ---- limits ---- */

static const struct limit_row {
    const char *material;
    bd_use use;
    bd_limit_of of;
    const char *per, *group;
    double low, typical, high;
    bd_trust trust_low, trust_typical, trust_high;
    const char *source;
} limits[] = {
    {"potassium-nitrate", BD_USE_FOLIAR, BD_LIMIT_PRODUCT_STRENGTH, "each spray", "fruiting", 2.5,
     10, 20, BD_TRUST_WORKED_OUT, BD_TRUST_WORKED_OUT, BD_TRUST_PUBLISHED, "REU96; CHA22; CHI21"},
    {"potassium-nitrate", BD_USE_FOLIAR, BD_LIMIT_PRODUCT_STRENGTH, "each spray", "leafy", 1, 2.5,
     5, BD_TRUST_PRACTICE, BD_TRUST_PRACTICE, BD_TRUST_PRACTICE, ""},
    {"potassium-nitrate", BD_USE_LOW_VOLUME, BD_LIMIT_PRODUCT_STRENGTH, "each spray", "any", 50,
     115, 115, BD_TRUST_PRACTICE, BD_TRUST_WORKED_OUT, BD_TRUST_WORKED_OUT, "HOW98"},
    {"potassium-carbonate", BD_USE_FOLIAR, BD_LIMIT_PRODUCT_STRENGTH, "each spray", "any", 0, 0, 0,
     BD_TRUST_PRACTICE, BD_TRUST_PRACTICE, BD_TRUST_PRACTICE, "NEU81"},
    {"any", BD_USE_FOLIAR, BD_LIMIT_SALTS_STRENGTH, "each spray", "any", 2.5, 10, 20,
     BD_TRUST_PRACTICE, BD_TRUST_PRACTICE, BD_TRUST_PRACTICE, ""},
    {"any", BD_USE_DRENCH, BD_LIMIT_NUTRIENT_STRENGTH, "each watering", "fruiting", 0.1, 0.2, 0.3,
     BD_TRUST_WORKED_OUT, BD_TRUST_WORKED_OUT, BD_TRUST_WORKED_OUT, "LEA15; PEP17; IJH"},
    {"any", BD_USE_FOLIAR, BD_LIMIT_SPRAY_VOLUME, "each spray", "any", 0.04, 0.06, 0.08,
     BD_TRUST_PUBLISHED, BD_TRUST_WORKED_OUT, BD_TRUST_PUBLISHED, "HANDCAL"},
    {"wood-ash-hardwood", BD_USE_SIDEDRESS, BD_LIMIT_PRODUCT_PER_AREA_YEAR, "year", "any", 25, 49,
     98, BD_TRUST_PRACTICE, BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED, "ASH-NL91; OSU-ASH"},
    {"any", BD_USE_SEASON, BD_LIMIT_NUTRIENT_PER_AREA, "season", "strawberry", 10, 30, 40,
     BD_TRUST_PUBLISHED, BD_TRUST_PUBLISHED, BD_TRUST_PRACTICE, "NAK22: 100, 300, 400 kg/ha"},
};

static const bd_limit *find_limit(const struct limit_row *r)
{
    size_t count;
    const bd_limit *all = bd_catalogue_limits(built_in, &count);

    for (size_t i = 0; i < count; i++)
        if (strcmp(all[i].material, r->material) == 0 && all[i].use == r->use &&
            all[i].of == r->of && strcmp(all[i].per, r->per) == 0 &&
            strcmp(all[i].crop_group, r->group) == 0)
            return &all[i];
    return NULL;
}

static void limit(void **state)
{
    const struct limit_row *r = *state;
    const bd_limit *l = find_limit(r);

    assert_non_null(l);
    assert_close(l->value.value.low, r->low, 1e-12);
    assert_close(l->value.value.typical, r->typical, 1e-12);
    assert_close(l->value.value.high, r->high, 1e-12);
    assert_int_equal(l->value.trust_low, r->trust_low);
    assert_int_equal(l->value.trust_typical, r->trust_typical);
    assert_int_equal(l->value.trust_high, r->trust_high);
    assert_false(l->is_own);
}

/* ---- solubility: g in 100 g of water, as the reference prints it ---- */

static const struct solubility_row {
    const char *material, *source;
    double temperature_c, g_per_100g, tolerance;
} solubilities[] = {
    {"potassium-nitrate", "CRC-SOL", 20, 31.9, 0.05},
    {"potassium-nitrate", "GEN-SOL", 20, 31.6, 0.05},
    {"potassium-sulfate", "CRC-SOL", 20, 11.05, 0.005},
    {"monopotassium-phosphate", "CRC-SOL", 0, 13.3, 0.05},
    {"monopotassium-phosphate", "GEN-SOL", 0, 14.8, 0.05},
    {"magnesium-sulfate-heptahydrate", "CRC-SOL", 20, 106, 0.5},
    {"calcium-nitrate-tetrahydrate", "CRC-SOL", 20, 444, 0.5},
    {"gypsum", "CRC-SOL", 20, 0.256, 0.0005},
    {"urea", "PINCK", 25, 119, 0.5},
    {"urea", "GEN-SOL", 20, 108, 0.5},
};

static void dissolve(void **state)
{
    const struct solubility_row *r = *state;
    size_t count;
    const bd_solubility *s = bd_catalogue_solubilities(built_in, &count);

    for (size_t i = 0; i < count; i++) {
        if (strcmp(s[i].material, r->material) != 0 || strcmp(s[i].source, r->source) != 0)
            continue;
        for (size_t p = 0; p < s[i].point_count; p++) {
            if (fabs(s[i].points[p].temperature_c - r->temperature_c) > 1e-9)
                continue;
            assert_close(s[i].points[p].g_per_100g_water, r->g_per_100g, r->tolerance);
            return;
        }
    }
    fail_msg("no such point");
}

static void suspect_figures_are_left_out(void **state)
{
    size_t count;
    const bd_solubility *s = bd_catalogue_solubilities(built_in, &count);

    (void)state;
    for (size_t i = 0; i < count; i++) {
        bool is_general = strcmp(s[i].source, "GEN-SOL") == 0;

        assert_false(is_general && strcmp(s[i].material, "borax") == 0);
        for (size_t p = 0; is_general && p < s[i].point_count; p++)
            if (strcmp(s[i].material, "monoammonium-phosphate") == 0)
                assert_true(fabs(s[i].points[p].g_per_100g_water - 39.5) > 0.01);
    }
}

/* ---- plain figures ---- */

static const struct practice_row {
    const char *name;
    double low, typical, high; /* canonical: L/m2, m, d, m/s, share */
    const char *source;
} practices[] = {
    {"wetting", 0.04, 0.06, 0.08, "40 to 80 mL/m2"},
    {"wetting-ceiling", 0.1, 0.1, 0.1, "100 mL/m2"},
    {"root-bag-depth", 0.25, 0.3, 0.45, "25 to 45 cm"},
    {"sowing-depth", 0.013, 0.013, 0.013, "half an inch"},
    {"delta-t", 2, 5, 8, "2 to 8 degC"},
    {"delta-t-stop", 10, 10, 10, "10 degC"},
    {"wind", 3 / 3.6, 6 / 3.6, 15 / 3.6, "3, 6, 15 km/h"},
    {"rain-free-urea", 4 / 24.0, 4 / 24.0, 4 / 24.0, "4 h"},
    {"solubility-working-share", 0.8, 0.8, 0.9, "0.8 to 0.9"},
    {"raw-manure-touching", 120, 120, 120, "120 d"},
    {"raw-manure-clear", 90, 90, 90, "90 d"},
    {"urine-before-harvest", 30, 30, 30, "one month"},
    {"mix-soil", 0.6, 0.6, 0.6, "60 %"},
    {"scale-steps", 20, 20, 20, "20 steps"},
    {"ec-rise-per-dressing", 0.5, 0.5, 0.5, "0.5 dS/m"},
};

static void practice(void **state)
{
    const struct practice_row *r = *state;
    const bd_fact *f = bd_catalogue_practice(built_in, r->name);

    assert_non_null(f);
    assert_close(f->value.low, r->low, 1e-12);
    assert_close(f->value.typical, r->typical, 1e-12);
    assert_close(f->value.high, r->high, 1e-12);
}

static void unknown_figure_is_null(void **state)
{
    (void)state;
    assert_null(bd_catalogue_practice(built_in, "weting"));
    assert_null(bd_catalogue_source(built_in, "NO-SUCH-KEY"));
}

/* ---- invariants over all the data ---- */

static void check_fact(const bd_fact *f)
{
    assert_non_null(f->source);
    assert_non_null(f->condition);
    if (!f->is_known)
        return;
    assert_true(f->value.low <= f->value.typical && f->value.typical <= f->value.high);
    if (*f->source == '\0')
        assert_true(f->trust_low == BD_TRUST_PRACTICE && f->trust_high == BD_TRUST_PRACTICE);
}

static void facts_are_in_order_and_have_sources(void **state)
{
    size_t count;
    const bd_material *m = bd_catalogue_materials(built_in, &count);
    const bd_limit *l;

    (void)state;
    for (size_t i = 0; i < count; i++) {
        for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
            check_fact(&m[i].analysis[n]);
        for (int p = 0; p < BD_PREPARATION_COUNT; p++)
            check_fact(&m[i].extraction[p]);
        check_fact(&m[i].density_kg_per_l);
        check_fact(&m[i].bulk_density_kg_per_l);
        check_fact(&m[i].moisture);
        check_fact(&m[i].ph);
        check_fact(&m[i].highest_k);
    }
    l = bd_catalogue_limits(built_in, &count);
    for (size_t i = 0; i < count; i++)
        check_fact(&l[i].value);
}

static void every_source_is_cited_and_every_citation_known(void **state)
{
    bd_error err = {.status = BD_OK};
    bd_status status = bd_catalogue_check(built_in, &err);

    (void)state;
    if (status != BD_OK)
        print_error("%s: %s\n", err.where, err.text);
    assert_int_equal(status, BD_OK);
}

/* ---- files of the user ---- */

static char folder[BD_SCRATCH_SIZE];
static char own_file[sizeof folder + 16];

static int make_folder(void **state)
{
    (void)state;
    if (!bd_scratch_make(folder))
        return -1;
    (void)snprintf(own_file, sizeof own_file, "%s/own.json", folder);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    (void)unlink(own_file);
    return rmdir(folder);
}

static void write_own(const char *text)
{
    FILE *f = fopen(own_file, "w");

    assert_non_null(f);
    assert_true(fputs(text, f) >= 0);
    assert_int_equal(fclose(f), 0);
}

#define LIMIT(material, use, of, more, group, value, unit)                                         \
    "{\"limits\": [{\"material\": \"" material "\", \"use\": \"" use "\", \"of\": \"" of           \
    "\", " more "\"crop_group\": \"" group "\", \"value\": {\"value\": " value                     \
    ", \"unit\": \"" unit "\", \"status\": \"common practice\"}}]}"
#define SPRAY "\"per\": \"each spray\", "

static const struct own_row {
    const char *name, *text;
    size_t added, ignored;
} owns[] = {
    {"own_limit/tighter_is_added",
     LIMIT("potassium-nitrate", "foliar", "product-strength", SPRAY, "tomato", "8", "g/L"), 1, 0},
    {"own_limit/looser_is_ignored",
     LIMIT("potassium-nitrate", "foliar", "product-strength", SPRAY, "tomato", "16", "g/L"), 0, 1},
    {"own_limit/as_tight_is_added",
     LIMIT("potassium-nitrate", "foliar", "product-strength", SPRAY, "tomato", "15", "g/L"), 1, 0},
    {"own_limit/group_without_rows_is_held_to_the_strictest",
     LIMIT("potassium-nitrate", "foliar", "product-strength", SPRAY, "root", "6", "g/L"), 0, 1},
    {"own_limit/group_without_rows_may_be_tighter",
     LIMIT("potassium-nitrate", "foliar", "product-strength", SPRAY, "root", "4000", "mg/L"), 1, 0},
    {"own_limit/never_stays_never",
     LIMIT("potassium-carbonate", "foliar", "product-strength", SPRAY, "tomato", "1", "g/L"), 0, 1},
    {"own_limit/only_one_is_added",
     LIMIT("potassium-thiosulfate", "foliar", "product-strength", SPRAY, "any", "3", "g/L"), 1, 0},
    {"own_limit/other_use_is_another_limit",
     LIMIT("potassium-nitrate", "drench", "product-strength", SPRAY, "tomato", "9", "g/L"), 1, 0},
    {"own_limit/shorter_gap_is_looser",
     LIMIT("potassium-nitrate", "foliar", "days-between", "", "vegetables", "5", "d"), 0, 1},
    {"own_limit/longer_gap_is_tighter",
     LIMIT("potassium-nitrate", "foliar", "days-between", "", "vegetables", "10", "d"), 1, 0},
    {"own_limit/oxide_is_compared_as_element",
     LIMIT("any", "drench", "nutrient-strength",
           "\"per\": \"each watering\", \"nutrient\": \"K2O\", ", "fruiting", "0.35", "g/L"),
     1, 0},
    {"own_limit/oxide_over_the_element_is_ignored",
     LIMIT("any", "drench", "nutrient-strength",
           "\"per\": \"each watering\", \"nutrient\": \"K2O\", ", "fruiting", "0.37", "g/L"),
     0, 1},
    {"own_limit/no_limits_at_all", "{\"limits\": []}", 0, 0},
    {"own_material/is_added",
     "{\"sources\": [{\"key\": \"LABEL\", \"title\": \"the bag\"}], \"materials\": [{\"name\": "
     "\"my-mix\", \"title\": \"my mix\", \"kind\": \"fertiliser\", \"form\": \"solid\", "
     "\"analysis\": {\"K2O\": {\"value\": 20, \"unit\": \"%\", \"source\": \"LABEL\", \"status\": "
     "\"published\"}}}]}",
     0, 0},
};

static void take_own(void **state)
{
    const struct own_row *r = *state;
    bd_catalogue *c = NULL;
    bd_error err = {.status = BD_OK};
    size_t before, count, ignored, own = 0;
    const bd_limit *all;

    write_own(r->text);
    assert_int_equal(bd_catalogue_load(folder, &c, &err), BD_OK);
    (void)bd_catalogue_limits(built_in, &before);
    all = bd_catalogue_limits(c, &count);
    for (size_t i = 0; i < count; i++)
        own += all[i].is_own;
    assert_int_equal(own, r->added);
    assert_int_equal(count, before + r->added);
    (void)bd_catalogue_ignored_limits(c, &ignored);
    assert_int_equal(ignored, r->ignored);
    bd_catalogue_free(c);
}

/* An own weighing is the scoop's source and status; figures come out in g and L. */
static void own_scoops_are_kept(void **state)
{
    bd_catalogue *c = NULL;
    bd_error err = {.status = BD_OK};
    const bd_own_scoop *s;
    size_t count;

    (void)state;
    (void)bd_catalogue_scoops(built_in, &count);
    assert_int_equal(count, 0);
    write_own("{\"scoops\": [{\"material\": \"sulphate-of-potash\", \"name\": \"blue cap\", "
              "\"level_scoops\": 10, \"weigh\": {\"value\": 0.057, \"unit\": \"kg\"}}, "
              "{\"analysis\": \"10-10-10\", \"name\": \"round tin\", \"level_scoops\": 1, "
              "\"weigh\": {\"value\": 2, \"unit\": \"ozwt\", \"status\": \"own weighing\"}, "
              "\"volume\": {\"value\": 60, \"unit\": \"mL\", \"note\": \"by the jug\"}}]}");
    assert_int_equal(bd_catalogue_load(folder, &c, &err), BD_OK);
    s = bd_catalogue_scoops(c, &count);
    assert_int_equal(count, 2);
    assert_string_equal(s[0].material, "sulphate-of-potash");
    assert_string_equal(s[0].analysis, "");
    assert_string_equal(s[0].name, "blue cap");
    assert_close(s[0].level_scoops, 10.0, 0.0);
    assert_close(s[0].total_g, 57.0, 1e-12);
    assert_close(s[0].volume_l, 0.0, 0.0);
    assert_non_null(strstr(s[0].place, "#/scoops/0"));
    assert_string_equal(s[1].analysis, "10-10-10");
    assert_close(s[1].total_g, 56.699, 5e-4);
    assert_close(s[1].volume_l, 0.06, 1e-15);
    bd_catalogue_free(c);
}

static void missing_folder_is_a_file_error(void **state)
{
    bd_catalogue *c = NULL;
    bd_error err = {.status = BD_OK};

    (void)state;
    assert_int_equal(bd_catalogue_load("/nonexistent/folder", &c, &err), BD_FILE);
    assert_string_equal(err.where, "/nonexistent/folder");
    assert_null(c);
}

static void folder_named_as_a_file_is_a_file_error(void **state)
{
    bd_catalogue *c = NULL;
    bd_error err = {.status = BD_OK};

    (void)state;
    assert_int_equal(mkdir(own_file, 0700), 0);
    assert_int_equal(bd_catalogue_load(folder, &c, &err), BD_FILE);
    assert_null(c);
    assert_int_equal(rmdir(own_file), 0);
}

static void errors_are_optional(void **state)
{
    bd_catalogue *c = NULL;

    (void)state;
    write_own("{");
    assert_int_equal(bd_catalogue_load(folder, &c, NULL), BD_SYNTAX);
    assert_null(c);
    bd_catalogue_free(NULL);
}

static size_t add(struct CMUnitTest *tests, size_t n, const char *name, CMUnitTestFunction test,
                  const void *row)
{
    tests[n] = (struct CMUnitTest){name, test, NULL, NULL, (void *)(uintptr_t)row};
    return n + 1;
}

static size_t add_own(struct CMUnitTest *tests, size_t n, const char *name, CMUnitTestFunction test,
                      const void *row)
{
    tests[n] = (struct CMUnitTest){name, test, make_folder, remove_folder, (void *)(uintptr_t)row};
    return n + 1;
}

enum { SINGLE_TESTS = 13 };

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(names) + COUNT_OF(analyses) + COUNT_OF(limits) +
                            COUNT_OF(solubilities) + COUNT_OF(practices) + COUNT_OF(owns) +
                            SINGLE_TESTS];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(names); i++)
        n = add(tests, n, *names[i].typed ? names[i].typed : "(empty)", find_name, &names[i]);
    for (size_t i = 0; i < COUNT_OF(analyses); i++)
        n = add(tests, n, analyses[i].name, analyse, &analyses[i]);
    for (size_t i = 0; i < COUNT_OF(limits); i++)
        n = add(tests, n, limits[i].material, limit, &limits[i]);
    for (size_t i = 0; i < COUNT_OF(solubilities); i++)
        n = add(tests, n, solubilities[i].material, dissolve, &solubilities[i]);
    for (size_t i = 0; i < COUNT_OF(practices); i++)
        n = add(tests, n, practices[i].name, practice, &practices[i]);
    for (size_t i = 0; i < COUNT_OF(owns); i++)
        n = add_own(tests, n, owns[i].name, take_own, &owns[i]);
    n = add(tests, n, "names/fixed_names_are_names", fixed_names_are_names, NULL);
    n = add(tests, n, "materials/there_are_35_fertilisers_and_18_homemade",
            there_are_35_fertilisers_and_18_homemade, NULL);
    n = add(tests, n, "materials/salts_hold_what_their_formula_says",
            salts_hold_what_their_formula_says, NULL);
    n = add(tests, n, "materials/nitrogen_forms_of_calcium_nitrate",
            nitrogen_forms_of_calcium_nitrate, NULL);
    n = add(tests, n, "materials/ions_traits_and_hazards_of_potassium_nitrate",
            ions_traits_and_hazards_of_potassium_nitrate, NULL);
    n = add(tests, n, "solubility/suspect_figures_are_left_out", suspect_figures_are_left_out,
            NULL);
    n = add(tests, n, "practice/unknown_figure_is_null", unknown_figure_is_null, NULL);
    n = add(tests, n, "facts/in_order_and_with_sources", facts_are_in_order_and_have_sources, NULL);
    n = add(tests, n, "sources/every_one_is_cited_and_every_citation_known",
            every_source_is_cited_and_every_citation_known, NULL);
    n = add_own(tests, n, "own_scoop/is_kept_with_its_place", own_scoops_are_kept, NULL);
    n = add(tests, n, "own_folder/missing_is_a_file_error", missing_folder_is_a_file_error, NULL);
    n = add_own(tests, n, "own_folder/folder_named_as_a_file_is_a_file_error",
                folder_named_as_a_file_is_a_file_error, NULL);
    n = add_own(tests, n, "own_folder/errors_are_optional", errors_are_optional, NULL);
    assert(n == COUNT_OF(tests));
    return cmocka_run_group_tests(tests, load_built_in, free_built_in);
}
