/* The size of a bag, as a grower measures it. */
#include "support/cmocka_all.h"

#include <string.h>

#include "quantity/bag_size.h"
#include "support/close.h"

#define COUNT(a) (sizeof(a) / sizeof((a)[0]))
#define NONE     BD_MEASURES_NONE
#define US       BD_MEASURES_US

static const struct row {
    const char *name, *text;
    bd_measures measures;
    bd_bag_shape shape;
    double area_m2, volume_l, depth_m, area_tolerance, volume_tolerance, depth_tolerance;
    const char *source;
} rows[] = {
    {"round/diameter_and_depth", "round 30cm x 35cm", NONE, BD_BAG_ROUND, 0.070686, 24.740, 0.35,
     5e-7, 5e-4, 0, "pi / 4 * 0.09, by hand"},
    {"round/diameter_and_volume", "round 45cm x 50L", NONE, BD_BAG_ROUND, 0.159043, 50, 0.31438,
     5e-7, 0, 5e-6, "pi / 4 * 0.2025, by hand"},
    {"girth/and_volume", "girth 141cm x 50L", NONE, BD_BAG_GIRTH, 0.158208, 50, 0.31604, 5e-7, 0,
     5e-6, "1.9881 / (4 pi), by hand"},
    {"girth/and_depth", "girth 141cm x 35cm", NONE, BD_BAG_GIRTH, 0.158208, 55.373, 0.35, 5e-7,
     5e-4, 0, "1.9881 / (4 pi), by hand"},
    {"box/length_width_depth", "30cm x 20cm x 35cm", NONE, BD_BAG_BOX, 0.06, 21, 0.35, 1e-16, 1e-14,
     0, "by hand"},
    {"volume/and_depth", "20L x 30cm", NONE, BD_BAG_VOLUME, 0.0666667, 20, 0.3, 5e-8, 0, 0,
     "by hand"},
    {"volume/alone", "30L", NONE, BD_BAG_VOLUME, 0.0890794, 30, 0.336778, 5e-8, 1e-12, 5e-7,
     "as deep as wide: d^3 = 4 x 0.03 m3 / pi, by hand"},
    {"round/star", "round 30cm*35cm", NONE, BD_BAG_ROUND, 0.070686, 24.740, 0.35, 5e-7, 5e-4, 0,
     "as above"},
    {"round/multiplication_sign", "round  30 cm \xC3\x97 35 cm", NONE, BD_BAG_ROUND, 0.070686,
     24.740, 0.35, 5e-7, 5e-4, 0, "as above"},
    {"round/no_blanks_at_x", "round 30cmx35cm", NONE, BD_BAG_ROUND, 0.070686, 24.740, 0.35, 5e-7,
     5e-4, 0, "as above"},
    {"round/mixed_units", "round 12in x 0.3m", NONE, BD_BAG_ROUND, 0.0729659, 21.8898, 0.3, 5e-8,
     5e-5, 0, "pi / 4 * 0.3048^2, by hand"},
    {"volume/us_gallons", "5 gal x 12in", US, BD_BAG_VOLUME, 0.0620966, 18.927059, 0.3048, 5e-8,
     5e-7, 1e-15, "5 * 3.785411784 L over 0.3048 m, by hand"},
};

static void check(void **state)
{
    const struct row *r = *state;
    bd_bag_size bag = {.area_m2 = -1};
    bd_error err = {0};

    if (bd_bag_size_read(r->text, r->measures, &bag, &err) != BD_OK)
        fail_msg("'%s' refused: %s", r->text, err.text);
    assert_int_equal(err.status, BD_OK);
    assert_int_equal(bag.shape, r->shape);
    assert_close(bag.area_m2, r->area_m2, r->area_tolerance);
    assert_close(bag.volume_l, r->volume_l, r->volume_tolerance);
    assert_close(bag.depth_m, r->depth_m, r->depth_tolerance);
    assert_close(bag.area_m2 * bag.depth_m * 1000, bag.volume_l, 1e-12 * bag.volume_l);
}

static void measures_that_were_given_are_kept(void **state)
{
    bd_bag_size bag;

    (void)state;
    assert_int_equal(bd_bag_size_read("girth 141cm x 50L", NONE, &bag, NULL), BD_OK);
    assert_close(bag.girth_m, 1.41, 1e-15);
    assert_close(bag.diameter_m, 0.448817, 5e-7);
    assert_int_equal(bd_bag_size_read("round 30cm x 35cm", NONE, &bag, NULL), BD_OK);
    assert_close(bag.diameter_m, 0.3, 0);
    assert_zero(bag.girth_m);
    assert_zero(bag.length_m);
    assert_int_equal(bd_bag_size_read("30cm x 20cm x 35cm", NONE, &bag, NULL), BD_OK);
    assert_close(bag.length_m, 0.3, 0);
    assert_close(bag.width_m, 0.2, 0);
    assert_zero(bag.diameter_m);
}

static const struct refusal {
    const char *name, *text;
    bd_status status;
    const char *says, *accepts;
} refusals[] = {
    {"empty", "", BD_SYNTAX, "''", "round"},
    {"one_measure", "20cm", BD_SYNTAX, "'20cm'", "20L x 30cm"},
    {"two_lengths", "30cm x 35cm", BD_AMBIGUOUS, "round bag", "'round'"},
    {"length_then_volume", "30cm x 20L", BD_SYNTAX, "size of a bag", "20L x 30cm"},
    {"two_volumes", "30L x 20L", BD_SYNTAX, "size of a bag", "20L x 30cm"},
    {"volume_across", "round 30L x 20cm", BD_SYNTAX, "size of a bag", "round"},
    {"box_with_volume", "30cm x 20cm x 5L", BD_SYNTAX, "size of a bag", "30cm x 20cm x 35cm"},
    {"four_measures", "3cm x 3cm x 3cm x 3cm", BD_SYNTAX, "size of a bag", "round"},
    {"round_with_three", "round 3cm x 3cm x 3cm", BD_SYNTAX, "size of a bag", "round"},
    {"ends_with_x", "round 30cm x", BD_SYNTAX, "size of a bag", "round"},
    {"unknown_word", "square 30cm x 30cm", BD_SYNTAX, "size of a bag", "round"},
    {"word_alone", "round", BD_SYNTAX, "size of a bag", "round"},
    {"no_unit", "round 30 x 35cm", BD_SYNTAX, "'30' has no unit", "30 cm"},
    {"mass", "round 30cm x 35g", BD_DIMENSION, "neither a length nor a volume", "50 L"},
    {"range", "round 30..40cm x 35cm", BD_SYNTAX, "range", "30 cm"},
    {"zero_depth", "round 30cm x 0cm", BD_RANGE, "above zero", ""},
    {"zero_volume", "round 30cm x 0L", BD_RANGE, "above zero", ""},
    {"negative", "round -30cm x 35cm", BD_RANGE, "negative", ""},
    {"too_deep", "round 30cm x 3m", BD_RANGE, "deep", "2 cm to 2 m"},
    {"too_shallow", "20L x 1cm", BD_RANGE, "deep", "2 cm to 2 m"},
    {"volume_makes_it_too_deep", "round 5cm x 50L", BD_RANGE, "deep", "2 cm to 2 m"},
    {"too_small", "1cm x 1cm x 5cm", BD_RANGE, "holds", "0.05 to 2000 L"},
    {"too_large", "3m x 2m x 1m", BD_RANGE, "holds", "0.05 to 2000 L"},
    {"bare_gallon", "5 gal x 12in", BD_AMBIGUOUS, "'gal'", "USgal"},
    {"decimal_comma", "round 30,5cm x 35cm", BD_SYNTAX, "','", "2.5"},
    {"unknown_unit", "round 30cm x 35qq", BD_UNKNOWN, "'qq'", ""},
};

static void check_refusal(void **state)
{
    const struct refusal *r = *state;
    bd_bag_size bag = {.area_m2 = -1};
    bd_error err = {0};

    assert_int_equal(bd_bag_size_read(r->text, NONE, &bag, &err), r->status);
    assert_int_equal(err.status, r->status);
    if (strstr(err.text, r->says) == NULL || strstr(err.accepts, r->accepts) == NULL)
        fail_msg("\"%s\" (%s) does not say \"%s\" (%s)", err.text, err.accepts, r->says,
                 r->accepts);
    assert_true(err.accepts[0] != '\0');
    assert_close(bag.area_m2, -1, 0);
    assert_int_equal(bd_bag_size_read(r->text, NONE, &bag, NULL), r->status);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows) + COUNT(refusals) + 1];
    size_t count = 0;

    for (size_t i = 0; i < COUNT(rows); i++)
        tests[count++] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    for (size_t i = 0; i < COUNT(refusals); i++)
        tests[count++] =
            (struct CMUnitTest){refusals[i].name, check_refusal, NULL, NULL, (void *)&refusals[i]};
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(measures_that_were_given_are_kept);
    return cmocka_run_group_tests_name("bag_size", tests, NULL, NULL);
}
