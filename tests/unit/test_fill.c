/* Filling bags: litres, buckets and kilograms of the parts, and what the mix is and brings. */
#include <math.h>
#include <string.h>

#include "model/fill.h"
#include "nutrients/media.h"
#include "nutrients/parts.h"
#include "support/close.h"
#include "support/cmocka_all.h"
#include "support/failing_malloc.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static bd_parts *parts;
static bd_media *media;

static int load(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    if (bd_media_load(&media, &err) == BD_OK && bd_parts_load(&parts, &err) == BD_OK)
        return 0;
    print_error("%s: %s; %s\n", err.where, err.text, err.accepts);
    return -1;
}

static int unload(void **state)
{
    (void)state;
    bd_parts_free(parts);
    bd_media_free(media);
    return 0;
}

static bd_fill_share share_of(const char *name, double share)
{
    bd_fill_share s = {.share = share};

    assert_int_equal(bd_parts_part(parts, name, strlen(name), &s.part, NULL), BD_OK);
    assert_int_equal(bd_media_medium(media, s.part->medium, &s.medium, NULL), BD_OK);
    return s;
}

static bd_range figure(const char *name)
{
    return bd_parts_figure(parts, name)->value;
}

static bd_status fill(const bd_fill_order *order, bd_fill *out)
{
    return bd_fill_bags(order, figure("microbe-carbon-to-nitrogen"), figure("microbe-efficiency"),
                        out, NULL);
}

/* The default mix of media.json is this very filling; its figures are typed there on their own. */
static void test_the_usual_mix_is_that_of_the_media(void **state)
{
    const bd_fill_share shares[] = {share_of("soil", 60), share_of("compost", 20),
                                    share_of("sand", 20)};
    const bd_fill_order order = {.shares = shares,
                                 .count = 3,
                                 .bag_l = 24.7,
                                 .bags = 1.0,
                                 .bucket_l = 10.0,
                                 .settling = 0.15,
                                 .mixing_loss = 0.10};
    const bd_medium *mix = NULL;
    bd_fill f;

    (void)state;
    assert_int_equal(bd_media_medium(media, NULL, &mix, NULL), BD_OK);
    assert_int_equal(fill(&order, &f), BD_OK);
    assert_close(f.bulk_density_kg_per_l.typical, mix->bulk_density_kg_per_l.value.typical, 0.005);
    assert_close(f.container_capacity.typical, mix->container_capacity.value.typical, 0.005);
    assert_close(f.total_pores.typical, mix->total_pores.value.typical, 0.005);
    assert_close(f.loose_l, 24.7 / 0.9 / 0.85, 1e-9); /* by hand */
    assert_close(f.lines[0].loose_l, 0.6 * f.loose_l, 1e-9);
    assert_close(f.lines[0].buckets, f.lines[0].loose_l / 10.0, 1e-12);
    assert_close(f.bag_water_l.typical, 9.6, 0.05);  /* bag.h: 24.7 L at 0.39 */
    assert_close(f.bag_soil_kg.typical, 31.6, 0.15); /* bag.h: 24.7 L at 1.28, rounded there */
}

/* Published or recalled figures for mixes and parts. */
static const struct mix_row {
    const char *name;
    const char *part[3];
    double share[3];
    double loss;
    double low_kg_per_l, high_kg_per_l, low_water, high_water;
    const char *source;
} mix_rows[] = {
    {"mix/equal_parts",
     {"soil", "sand", "compost"},
     {1, 1, 1},
     0.0,
     0.9,
     1.1,
     0.33,
     0.45,
     "Bunt, soil, sand and compost 1:1:1: 0.9 to 1.1 kg/L; water 35 to 45 %, less if nothing "
     "nests"},
    {"mix/soil_alone",
     {"soil", NULL, NULL},
     {100, 0, 0},
     0.1,
     1.1,
     1.4,
     0.30,
     0.44,
     "cultivated loam 1.1 to 1.4 kg/L"},
    {"mix/compost_alone",
     {"compost", NULL, NULL},
     {5, 0, 0},
     0.2,
     0.3,
     0.6,
     0.45,
     0.60,
     "mature compost 0.3 to 0.6 kg/L dry"},
    {"mix/peat_and_perlite",
     {"peat", "perlite", NULL},
     {50, 50, 0},
     0.0,
     0.09,
     0.16,
     0.4,
     0.6,
     "peat mixes 0.09 to 0.16 kg/L"},
};

static void test_mixes_lie_where_the_books_say(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(mix_rows); i++) {
        const struct mix_row *r = &mix_rows[i];
        bd_fill_share shares[3];
        bd_fill_order order = {
            .shares = shares, .bag_l = 20, .bags = 2, .bucket_l = 10, .mixing_loss = r->loss};
        bd_fill f;

        for (size_t j = 0; j < 3 && r->part[j] != NULL; j++)
            shares[order.count++] = share_of(r->part[j], r->share[j]);
        print_message("%s (%s)\n", r->name, r->source);
        assert_int_equal(fill(&order, &f), BD_OK);
        assert_true(f.bulk_density_kg_per_l.typical >= r->low_kg_per_l &&
                    f.bulk_density_kg_per_l.typical <= r->high_kg_per_l);
        assert_true(f.container_capacity.typical >= r->low_water &&
                    f.container_capacity.typical <= r->high_water);
    }
}

/*
 * The worked litre of the data's own study: a quarter of green compost, 0.6 kg/L moist, 7.5 kg N
 * and 6.8 kg K2O a tonne; a tenth of the N, and of the K2O 85 % where the study took 80.
 */
static void test_a_quarter_of_compost(void **state)
{
    const bd_fill_share shares[] = {share_of("compost", 25), share_of("sand", 75)};
    const bd_fill_order order = {
        .shares = shares, .count = 2, .bag_l = 1.0, .bags = 1.0, .bucket_l = 10.0};
    bd_fill f;

    (void)state;
    assert_int_equal(fill(&order, &f), BD_OK);
    assert_close(f.lines[0].mass_kg.typical, 0.15, 1e-12);
    assert_close(f.total_g_per_bag.of[BD_NPK_N].typical, 1.1, 0.05);
    assert_close(f.available_g_per_bag.of[BD_NPK_N].typical, 0.11, 0.005);
    assert_close(f.available_g_per_bag.of[BD_NPK_K2O].typical * 0.80 / 0.85, 0.8, 0.05);
}

static void test_salt_is_shared_by_the_water(void **state)
{
    const bd_fill_share shares[] = {share_of("compost", 20), share_of("soil", 80)};
    const bd_fill_order order = {
        .shares = shares, .count = 2, .bag_l = 10, .bags = 1, .bucket_l = 10};
    bd_fill f;

    (void)state;
    assert_int_equal(fill(&order, &f), BD_OK);
    /* by hand: (0.2 * 0.72 * 3.5 + 0.8 * 0.50 * 0.3) / (0.2 * 0.72 + 0.8 * 0.50) */
    assert_close(f.ece_ds_per_m.typical, 1.147, 0.0005);
    assert_close(f.ece_known_share, 1.0, 1e-12);
}

/* By hand: 10 L of wood chips, 0.205 kg/L, 48 % C, 20 % rots: 0.1968 kg C; 0.40 / 9 - 1 / 350. */
static void test_wood_takes_nitrogen(void **state)
{
    const bd_fill_share shares[] = {share_of("sawdust", 1)};
    const bd_fill_order order = {
        .shares = shares, .count = 1, .bag_l = 10, .bags = 1, .bucket_l = 10};
    bd_fill f;

    (void)state;
    assert_int_equal(fill(&order, &f), BD_OK);
    assert_close(f.draw_down_n_g_per_bag.typical, 8.19, 0.05);
    assert_true(f.draw_down_n_g_per_bag.low > 0.0);
    assert_true(f.draw_down_n_g_per_bag.high > f.draw_down_n_g_per_bag.typical);
}

static void test_finished_compost_takes_none(void **state)
{
    const bd_fill_share shares[] = {share_of("compost", 1)};
    const bd_fill_order order = {
        .shares = shares, .count = 1, .bag_l = 10, .bags = 1, .bucket_l = 10};
    bd_fill f;

    (void)state;
    assert_int_equal(fill(&order, &f), BD_OK);
    assert_close(f.draw_down_n_g_per_bag.typical, 0.0, 0.0);
}

static void test_ash_counts_as_lime(void **state)
{
    const bd_fill_share shares[] = {share_of("soil", 99), share_of("ash", 1)};
    const bd_fill_order order = {
        .shares = shares, .count = 2, .bag_l = 20, .bags = 3, .bucket_l = 10};
    bd_fill f;

    (void)state;
    assert_int_equal(fill(&order, &f), BD_OK);
    /* by hand: 0.2 L at 0.5 kg/L, half of it lime */
    assert_close(f.lime_g_per_bag.typical, 50.0, 1e-9);
}

static const struct bad_row {
    const char *name;
    bd_fill_order order;
} bad_rows[] = {
    {"fill/no_parts", {.count = 0, .bag_l = 10, .bags = 1, .bucket_l = 10}},
    {"fill/no_litres", {.count = 1, .bag_l = 0, .bags = 1, .bucket_l = 10}},
    {"fill/nan_bags", {.count = 1, .bag_l = 10, .bags = (double)NAN, .bucket_l = 10}},
    {"fill/no_bucket", {.count = 1, .bag_l = 10, .bags = 1, .bucket_l = -1}},
    {"fill/settles_too_far",
     {.count = 1, .bag_l = 10, .bags = 1, .bucket_l = 10, .settling = 0.51}},
    {"fill/mixing_nan",
     {.count = 1, .bag_l = 10, .bags = 1, .bucket_l = 10, .mixing_loss = (double)NAN}},
    {"fill/thirteen_parts", {.count = 13, .bag_l = 10, .bags = 1, .bucket_l = 10}},
};

/*
 * The salt of ash is that of its potash: K2O x 0.8302 / 39.098 g/mol x its density over the water
 * of saturation of its medium, at 10 mmol of charge in a litre to 1 dS/m; and more ash never thins
 * it.
 */
static void test_ash_salts_the_mix(void **state)
{
    const double steps[] = {0.01, 0.1, 1.0, 10.0, 40.0};
    bd_fill_share ash = share_of("wood-ash", 1.0);
    double mol_per_l = ash.part->content[BD_NPK_K2O].value.typical * 0.8302 / 39.098 * 1e3 *
                       ash.part->moist_density_kg_per_l.value.typical;
    double ece = mol_per_l * 1e3 / bd_medium_saturation(ash.medium).typical / 10.0;
    bd_range before;

    (void)state;
    assert_close(ash.part->ece_ds_per_m.value.typical / ece, 1.0, 0.05);
    for (size_t i = 0; i <= COUNT_OF(steps); i++) {
        const bd_fill_share shares[] = {share_of("soil", 40), share_of("compost", 20),
                                        share_of("wood-ash", i == 0 ? 1e-9 : steps[i - 1])};
        const bd_fill_order order = {
            .shares = shares, .count = 3, .bag_l = 24.7, .bags = 2.0, .bucket_l = 10.0};
        bd_fill f;

        assert_int_equal(fill(&order, &f), BD_OK);
        if (i > 0)
            assert_true(f.ece_ds_per_m.low > before.low && f.ece_ds_per_m.high > before.high &&
                        f.ece_ds_per_m.typical > before.typical);
        before = f.ece_ds_per_m;
    }
}

static void test_bad_orders_are_refused(void **state)
{
    const bd_fill_share soil = share_of("soil", 1);
    const bd_fill_share none = {soil.part, soil.medium, 0.0};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(bad_rows); i++) {
        bd_fill_order order = bad_rows[i].order;
        bd_fill f = {.count = 77};

        print_message("%s\n", bad_rows[i].name);
        order.shares = &soil;
        assert_int_equal(fill(&order, &f), BD_RANGE);
        assert_int_equal(f.count, 77);
    }
    assert_int_equal(
        fill(&(bd_fill_order){.shares = &none, .count = 1, .bag_l = 1, .bags = 1, .bucket_l = 1},
             &(bd_fill){.count = 0}),
        BD_RANGE);
    assert_int_equal(
        bd_fill_bags(
            &(bd_fill_order){.shares = &soil, .count = 1, .bag_l = 1, .bags = 1, .bucket_l = 1},
            bd_exactly(0.0), bd_exactly(0.4), &(bd_fill){.count = 0}, NULL),
        BD_RANGE);
}

/* ---- whatever the mix, its sums add up ---- */

static unsigned random_state = 2463534242u;

static double random_share(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 17;
    random_state ^= random_state << 5;
    return (double)random_state / 4294967296.0;
}

static void check_sums(const bd_fill_order *order, const bd_fill *f)
{
    double loose = 0.0, shares = 0.0, kg = 0.0;

    for (size_t i = 0; i < f->count; i++) {
        loose += f->lines[i].loose_l;
        shares += f->lines[i].share;
        kg += f->lines[i].mass_kg.typical;
        assert_true(f->lines[i].loose_l >= 0.0 && f->lines[i].mass_kg.low >= 0.0);
    }
    assert_close(shares, 1.0, 1e-9);
    assert_close(loose, f->loose_l, 1e-9 * loose);
    assert_close(kg, f->mass_kg.typical, 1e-9 * kg);
    assert_close(f->bag_loose_l * order->bags, f->loose_l, 1e-9 * loose);
    assert_true(f->container_capacity.high <= f->total_pores.high + 1e-12);
    assert_true(f->wilting_point.typical <= f->container_capacity.typical);
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        assert_true(f->available_g_per_bag.of[n].high <= f->total_g_per_bag.of[n].high + 1e-9);
        assert_true(f->available_g_per_bag.of[n].low <= f->available_g_per_bag.of[n].typical);
    }
}

static void test_random_mixes_add_up(void **state)
{
    size_t known = 0;
    const bd_part *list = bd_parts_list(parts, &known);

    (void)state;
    for (int run = 0; run < 2000; run++) {
        bd_fill_share shares[BD_FILL_PARTS_MAX];
        bd_fill_order order = {.shares = shares,
                               .count = 1 + (size_t)(random_share() * 4.0),
                               .bag_l = 1.0 + 100.0 * random_share(),
                               .bags = 1.0 + floor(50.0 * random_share()),
                               .bucket_l = 10.0,
                               .settling = 0.3 * random_share(),
                               .mixing_loss = 0.2 * random_share()};
        bd_fill f;

        for (size_t i = 0; i < order.count; i++)
            shares[i] = share_of(list[(size_t)(random_share() * (double)known)].name,
                                 0.01 + random_share());
        assert_int_equal(fill(&order, &f), BD_OK);
        check_sums(&order, &f);
    }
}

/* ---- parts.json ---- */

static bool fails_at(long n, bd_status *status, bd_parts **out)
{
    bd_error err = {.status = BD_OK};

    *out = NULL;
    bd_fail_allocation_after(n);
    *status = bd_parts_load(out, &err);
    return bd_allocations_allow();
}

static void test_each_allocation_may_fail(void **state)
{
    bd_parts *loaded = NULL;
    bd_status status;
    long n = 0;

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (; fails_at(n, &status, &loaded); n++) {
        assert_int_equal(status, BD_MEMORY);
        assert_null(loaded);
    }
    assert_int_equal(status, BD_OK);
    assert_true(n > 10);
    bd_parts_free(loaded);
    bd_parts_free(NULL);
}

static void test_parts_are_found(void **state)
{
    const bd_part *p = NULL;
    bd_error err = {.status = BD_OK};
    size_t known = 0;
    const bd_part *list = bd_parts_list(parts, &known);

    (void)state;
    assert_true(known >= 15);
    for (size_t i = 0; i < known; i++)
        (void)share_of(list[i].name, 1.0);
    assert_int_equal(bd_parts_part(parts, "cow-manure 20", 10, &p, NULL), BD_OK);
    assert_string_equal(p->name, "cattle-manure");
    assert_int_equal(bd_parts_part(parts, "moon-dust", 9, &p, &err), BD_UNKNOWN);
    assert_non_null(strstr(err.accepts, "worm-compost"));
}

/* Typed again from the sources. */
static const struct content_row {
    const char *part;
    int nutrient;
    double kg_per_t;
    bd_trust trust;
    const char *source;
} content_rows[] = {
    {"cattle-manure", BD_NPK_N, 6.0, BD_TRUST_PUBLISHED, "RB209 8th edition"},
    {"cattle-manure", BD_NPK_P2O5, 3.2, BD_TRUST_PUBLISHED, "Farming Monthly 2017"},
    {"cattle-manure", BD_NPK_K2O, 7.2, BD_TRUST_PUBLISHED, "Farming Monthly 2017"},
    {"horse-manure", BD_NPK_N, 7.0, BD_TRUST_PUBLISHED, "RB209 8th edition"},
    {"compost", BD_NPK_K2O, 6.8, BD_TRUST_MEMORY, "RB209, green compost"},
};

static void test_contents_are_those_of_the_sources(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(content_rows); i++) {
        const struct content_row *r = &content_rows[i];
        const bd_fact *fact = &share_of(r->part, 1.0).part->content[r->nutrient];

        print_message("%s %s (%s)\n", r->part, bd_npk_name(r->nutrient), r->source);
        assert_close(fact->value.typical * 1000.0, r->kg_per_t, 0.05);
        assert_int_equal(fact->trust_typical, r->trust);
    }
}

static void test_every_curve_rises_to_one(void **state)
{
    static const char *const crops[] = {"carrot", "radish", "onion", "tomato", "beetroot"};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(crops); i++) {
        const bd_crop_uptake *u = bd_parts_uptake(parts, crops[i]);

        for (int n = 0; n < BD_NPK_COUNT; n++)
            assert_close(u->points[n][u->count[n] - 1].taken_share, 1.0, 0.0);
    }
    assert_string_equal(bd_parts_uptake(parts, "beetroot")->crops[0], "any");
    assert_close(bd_parts_uptake(parts, "carrot")->points[BD_NPK_K2O][2].taken_share, 0.10, 0.0);
    assert_null(bd_parts_guide(parts, "TNAU"));
    assert_string_equal(bd_parts_guide(parts, "RB209")->method, "olsen");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_the_usual_mix_is_that_of_the_media),
        cmocka_unit_test(test_mixes_lie_where_the_books_say),
        cmocka_unit_test(test_a_quarter_of_compost),
        cmocka_unit_test(test_salt_is_shared_by_the_water),
        cmocka_unit_test(test_wood_takes_nitrogen),
        cmocka_unit_test(test_finished_compost_takes_none),
        cmocka_unit_test(test_ash_counts_as_lime),
        cmocka_unit_test(test_ash_salts_the_mix),
        cmocka_unit_test(test_bad_orders_are_refused),
        cmocka_unit_test(test_random_mixes_add_up),
        cmocka_unit_test(test_each_allocation_may_fail),
        cmocka_unit_test(test_parts_are_found),
        cmocka_unit_test(test_contents_are_those_of_the_sources),
        cmocka_unit_test(test_every_curve_rises_to_one),
    };

    return cmocka_run_group_tests_name("fill", tests, load, unload);
}
