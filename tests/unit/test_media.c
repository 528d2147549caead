#include "nutrients/media.h"

#include <math.h>
#include <string.h>

#include "support/cmocka_all.h"
#include "support/close.h"

static int load_media(void **state)
{
    bd_error err = {.status = BD_OK};
    bd_media *media = NULL;

    if (bd_media_load(&media, &err) != BD_OK) {
        print_error("%s: %s; %s\n", err.where, err.text, err.accepts);
        return -1;
    }
    *state = media;
    return 0;
}

static int free_media(void **state)
{
    bd_media_free(*state);
    return 0;
}

static const bd_medium *get(const bd_media *media, const char *name)
{
    const bd_medium *m = NULL;

    assert_int_equal(bd_media_medium(media, name, &m, NULL), BD_OK);
    return m;
}

/* Figures typed again from their sources, in the units of catalogue.h. */
static const struct row {
    const char *name;
    double bulk_kg_per_l, capacity, pores;
    bd_trust trust;
    const char *source;
} rows[] = {
    {"sphagnum-peat", 0.11, 0.87, 0.98, BD_TRUST_PUBLISHED, "IJA12 table 1"},
    {"pine-bark", 0.18, 0.48, 0.79, BD_TRUST_PUBLISHED, "IJA12 table 1"},
    {"coir", 0.06, 0.765, 0.875, BD_TRUST_WORKED_OUT, "middle of the ranges of 1996"},
};

static void test_figures_are_those_of_the_sources(void **state)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const bd_medium *m = get(*state, rows[i].name);

        print_message("%s (%s)\n", rows[i].name, rows[i].source);
        assert_close(m->bulk_density_kg_per_l.value.typical, rows[i].bulk_kg_per_l, 1e-12);
        assert_close(m->container_capacity.value.typical, rows[i].capacity, 1e-12);
        assert_close(m->total_pores.value.typical, rows[i].pores, 1e-12);
        assert_int_equal(m->bulk_density_kg_per_l.trust_typical, rows[i].trust);
        assert_true(bd_medium_is_peat_like(m));
    }
}

/* The mix of soil, compost and sand follows from its parts, 60:20:20, 10 % shrunk. */
static void test_mix_follows_from_its_parts(void **state)
{
    const bd_medium *mix = get(*state, NULL);
    const bd_medium *parts[] = {get(*state, "loam"), get(*state, "compost"), get(*state, "sand")};
    const double shares[] = {0.6, 0.2, 0.2};
    const double left_of_volume = 0.9;
    double kg = 0.0, water = 0.0, solids = 0.0;

    assert_string_equal(mix->name, "soil-compost-sand");
    for (size_t i = 0; i < 3; i++) {
        kg += shares[i] * parts[i]->bulk_density_kg_per_l.value.typical;
        water += shares[i] * parts[i]->container_capacity.value.typical;
        solids += shares[i] * (1.0 - parts[i]->total_pores.value.typical);
    }
    assert_close(mix->bulk_density_kg_per_l.value.low, kg, 0.005);
    assert_close(mix->bulk_density_kg_per_l.value.typical, kg / left_of_volume, 0.005);
    assert_close(mix->container_capacity.value.low, water, 0.005);
    assert_close(mix->container_capacity.value.typical, water / left_of_volume, 0.005);
    assert_close(mix->total_pores.value.high, 1.0 - solids, 0.005);
    assert_close(mix->total_pores.value.typical, 1.0 - solids / left_of_volume, 0.005);
}

static void test_saturation(void **state)
{
    bd_range loam = bd_medium_saturation(get(*state, "loam"));
    bd_range peat = bd_medium_saturation(get(*state, "sphagnum-peat"));

    assert_close(loam.typical, 0.50, 0.005); /* by hand, 40 % of 1.25 kg/L */
    assert_close(peat.typical, 0.98, 0.005); /* its pores */
}

static void test_every_medium_can_hold_water_and_air(void **state)
{
    size_t count = 0;
    const bd_medium *media = bd_media_list(*state, &count);

    assert_true(count >= 10);
    for (size_t i = 0; i < count; i++) {
        bd_range saturation = bd_medium_saturation(&media[i]);

        print_message("%s\n", media[i].name);
        assert_true(media[i].wilting_point.value.typical <
                    media[i].container_capacity.value.typical);
        assert_true(media[i].container_capacity.value.typical <= saturation.low);
        assert_true(media[i].container_capacity.value.high < media[i].total_pores.value.high);
        assert_true(saturation.low <= saturation.typical && saturation.typical <= saturation.high);
    }
}

static const char *const figures[] = {
    "existing-ece",           "reference-evapotranspiration", "crop-coefficient", "bag-exposure",
    "leaching-fraction",      "water-conductivity",           "uptake-share",     "ece-per-ecw",
    "salts-per-conductivity", "field-bulk-density",
};

static void test_every_figure_is_there(void **state)
{
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++) {
        const bd_fact *f = bd_media_figure(*state, figures[i]);

        assert_non_null(f);
        assert_true(f->is_known);
        assert_true(f->value.low <= f->value.typical && f->value.typical <= f->value.high);
    }
    assert_close(bd_media_figure(*state, "leaching-fraction")->value.typical, 0.15, 1e-12);
    assert_close(bd_media_figure(*state, "salts-per-conductivity")->value.typical, 640, 1e-12);
}

static void test_uptake_curve_ends_at_all(void **state)
{
    size_t count = 0;
    const bd_uptake_point *curve = bd_media_uptake(*state, &count);

    assert_true(count > 1);
    assert_close(curve[count - 1].season_share, 1.0, 0.0);
    assert_close(curve[count - 1].taken_share, 1.0, 0.0);
}

static void test_unknown_medium_lists_what_there_is(void **state)
{
    const bd_medium *m = NULL;
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_media_medium(*state, "moon-dust", &m, &err), BD_UNKNOWN);
    assert_null(m);
    assert_non_null(strstr(err.accepts, "pine-bark"));
    assert_int_equal(bd_media_medium(*state, "moon-dust", &m, NULL), BD_UNKNOWN);
}

static void test_methods_are_read_and_written(void **state)
{
    bd_error err = {.status = BD_OK};
    bd_extract method = BD_EXTRACT_COUNT;

    (void)state;
    for (unsigned i = 0; i < BD_EXTRACT_COUNT; i++) {
        assert_int_equal(bd_extract_read(bd_extract_words((bd_extract)i), &method, NULL), BD_OK);
        assert_int_equal(method, i);
    }
    assert_int_equal(bd_extract_read("1:3", &method, &err), BD_UNKNOWN);
    assert_non_null(strstr(err.accepts, "pour-through"));
    assert_string_equal(bd_texture_words(BD_TEXTURE_PEAT_LIKE), "peat-like");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_figures_are_those_of_the_sources),
        cmocka_unit_test(test_mix_follows_from_its_parts),
        cmocka_unit_test(test_saturation),
        cmocka_unit_test(test_every_medium_can_hold_water_and_air),
        cmocka_unit_test(test_every_figure_is_there),
        cmocka_unit_test(test_uptake_curve_ends_at_all),
        cmocka_unit_test(test_unknown_medium_lists_what_there_is),
        cmocka_unit_test(test_methods_are_read_and_written),
    };

    return cmocka_run_group_tests_name("media", tests, load_media, free_media);
}
