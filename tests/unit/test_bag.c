#include "model/bag.h"

#include <math.h>

#include "support/cmocka_all.h"
#include "support/close.h"

static const double field_depth_m = 0.20;

static const struct plants_row {
    const char *name;
    double area_m2, usable, spacing_m, want;
    bd_status status;
    const char *source;
} plants_rows[] = {
    {"plants/5_cm_on_a_square_metre", 1.0, 1.0, 0.05, 400, BD_OK, "printed: 5 cm = 400/m2"},
    {"plants/7_5_cm_on_a_square_metre", 1.0, 1.0, 0.075, 177, BD_OK, "177.8 rounded down"},
    {"plants/10_cm_on_a_square_metre", 1.0, 1.0, 0.10, 100, BD_OK, "printed: 10 cm = 100/m2"},
    {"plants/15_cm_on_a_square_metre", 1.0, 1.0, 0.15, 44, BD_OK, "printed: 15 cm = 44/m2"},
    {"plants/four_by_four_carrots", 0.3048 * 0.3048, 1.0, 0.0762, 16, BD_OK,
     "square-foot planting: 16 at 3 in"},
    {"plants/whole_rows_are_not_lost_to_binary", 0.09, 1.0, 0.10, 9, BD_OK, "3 x 3 by hand"},
    {"plants/half_of_the_area", 0.09, 0.5, 0.10, 4, BD_OK, "4.5 rounded down"},
    {"plants/small_bag_holds_one", 0.01, 1.0, 0.30, 1, BD_OK, "header"},
    {"plants/no_spacing_is_refused", 0.09, 1.0, 0.0, 0, BD_RANGE, "header"},
    {"plants/no_area_is_refused", 0.0, 1.0, 0.1, 0, BD_RANGE, "header"},
    {"plants/nan_is_refused", 0.09, 1.0, (double)NAN, 0, BD_RANGE, "header"},
    {"plants/more_than_all_usable_is_refused", 0.09, 1.2, 0.1, 0, BD_RANGE, "header"},
    {"plants/nothing_usable_is_refused", 0.09, 0.0, 0.1, 0, BD_RANGE, "header"},
    {"plants/a_hair_apart_is_refused", 1.0, 1.0, 1e-5, 0, BD_RANGE, "header"},
};

static void test_plants(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof plants_rows / sizeof plants_rows[0]; i++) {
        const struct plants_row *r = &plants_rows[i];
        double plants = -1.0;
        bd_error err = {.status = BD_OK};

        print_message("%s (%s)\n", r->name, r->source);
        assert_int_equal(bd_bag_plants(r->area_m2, r->usable, r->spacing_m, &plants, &err),
                         r->status);
        assert_int_equal(err.status, r->status);
        assert_close(plants, r->status == BD_OK ? r->want : -1.0, 0.0);
    }
}

static void test_plants_never_grow_with_spacing(void **state)
{
    double last = HUGE_VAL;

    (void)state;
    for (double spacing_m = 0.02; spacing_m < 0.6; spacing_m += 0.001) {
        double plants = 0.0;

        assert_int_equal(bd_bag_plants(0.13, 1.0, spacing_m, &plants, NULL), BD_OK);
        assert_true(plants <= last && plants >= 1.0);
        last = plants;
    }
}

/* A bag 30 cm across and 30 cm deep: 21 L on 0.071 m2 (printed). */
static void test_upright_bag(void **state)
{
    bd_bag bag = {-1.0, -1.0, -1.0};

    (void)state;
    assert_int_equal(bd_bag_upright(0.25 * 3.14159265358979 * 0.09, 0.30, &bag, NULL), BD_OK);
    assert_close(bag.volume_l, 21.0, 0.5);
    assert_close(bag.area_m2, 0.071, 0.0005);
    assert_close(bag.depth_m, 0.30, 0.0);
    assert_int_equal(bd_bag_upright(0.25 * 3.14159265358979 * 0.16, 0.35, &bag, NULL), BD_OK);
    assert_close(bag.volume_l, 44.0, 0.5); /* printed: 40 x 35 cm = 44 L on 0.126 m2 */
    assert_close(bag.area_m2, 0.126, 0.0005);
}

static void test_upright_bag_refuses(void **state)
{
    const double wrong[] = {0.0, -1.0, (double)NAN, HUGE_VAL};

    (void)state;
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        bd_bag bag = {-1.0, -1.0, -1.0};
        bd_error err = {.status = BD_OK};

        assert_int_equal(bd_bag_upright(wrong[i], 0.3, &bag, &err), BD_RANGE);
        assert_int_equal(err.status, BD_RANGE);
        assert_true(err.accepts[0] != '\0');
        assert_int_equal(bd_bag_upright(0.1, wrong[i], &bag, NULL), BD_RANGE);
        assert_close(bag.volume_l, -1.0, 0.0);
    }
}

static void test_mass_and_water(void **state)
{
    const bd_bag bag = {0.07069, 24.74, 0.35};
    double kg = -1.0, litres = -1.0;

    (void)state;
    assert_int_equal(bd_bag_soil_mass(&bag, 1.28, &kg, NULL), BD_OK);
    assert_close(kg, 31.7, 0.05); /* by hand, 24.74 * 1.28 = 31.667 */
    assert_int_equal(bd_bag_water(&bag, 0.39, &litres, NULL), BD_OK);
    assert_close(litres, 9.65, 0.005); /* by hand, 9.6486 */
    assert_int_equal(bd_bag_soil_mass(&bag, 0.0, &kg, NULL), BD_RANGE);
    assert_int_equal(bd_bag_water(&bag, 1.01, &litres, NULL), BD_RANGE);
    assert_int_equal(bd_bag_water(&bag, (double)NAN, &litres, NULL), BD_RANGE);
    assert_close(litres, 9.65, 0.005);
}

/* 100 kg/ha = 10 g/m2 = 50 mg per litre through 20 cm (printed). */
static void test_plough_layer_by_volume(void **state)
{
    const bd_bag litre = {1.0, 1.0, 0.001};
    const bd_field field = {field_depth_m, 0.0, 0.0};
    bd_bases b;

    (void)state;
    assert_int_equal(bd_bag_bases(&litre, 0, 0, 10.0, &field, &b, NULL), BD_OK);
    assert_true(b.has_area && b.has_volume && !b.has_plant && !b.has_mass);
    assert_close(b.volume, 0.050, 1e-12);
    assert_close(b.area, 10.0, 1e-12);
    assert_close(b.spread, 200.0, 1e-9);
}

/* The bag of 21 L on 0.071 m2: 10 to 20 g N/m2 by area gives 0.7 to 1.4 g (printed). */
static void test_four_bases(void **state)
{
    const bd_bag bag = {0.0707, 21.2, 0.30};
    const bd_field field = {field_depth_m, 1.3, 59.0};
    bd_bases b;

    (void)state;
    assert_int_equal(bd_bag_bases(&bag, 12, 26.5, 10.0, &field, &b, NULL), BD_OK);
    assert_true(b.has_area && b.has_plant && b.has_volume && b.has_mass);
    assert_close(b.area, 0.7, 0.05);
    assert_close(b.plant, 2.03, 0.005);   /* by hand, 10 / 59 * 12 = 2.034      */
    assert_close(b.volume, 1.06, 0.0005); /* by hand, 10 / 200 * 21.2           */
    assert_close(b.mass, 1.019, 0.0005);  /* by hand, 10 / 260 kg/m2 * 26.5     */
    assert_close(b.spread, 2.88, 0.005);  /* by hand, 2.034 / 0.707             */
    assert_int_equal(bd_bag_bases(&bag, 12, 26.5, 20.0, &field, &b, NULL), BD_OK);
    assert_close(b.area, 1.4, 0.05);
}

/* Same density of mix and field: the mass basis and the volume basis are one. */
static void test_mass_is_volume_at_equal_density(void **state)
{
    const bd_bag bag = {0.1, 30.0, 0.3};
    const bd_field field = {field_depth_m, 1.3, 0.0};
    bd_bases b;

    (void)state;
    assert_int_equal(bd_bag_bases(&bag, 0, 30.0 * 1.3, 7.0, &field, &b, NULL), BD_OK);
    assert_close(b.mass, b.volume, 1e-12);
}

static void test_no_rate_has_no_spread(void **state)
{
    const bd_bag bag = {0.1, 30.0, 0.3};
    const bd_field field = {field_depth_m, 1.3, 59.0};
    bd_bases b;

    (void)state;
    assert_int_equal(bd_bag_bases(&bag, 9, 30.0, 0.0, &field, &b, NULL), BD_OK);
    assert_zero(b.area);
    assert_close(b.spread, 1.0, 0.0);
}

static void test_bases_refuse(void **state)
{
    const bd_bag bag = {0.1, 30.0, 0.3};
    const bd_field field = {field_depth_m, 1.3, 59.0};
    const bd_field odd = {(double)NAN, 1.3, 59.0};
    const bd_bag none = {0.0, 30.0, 0.3};
    bd_bases b = {.spread = -1.0};
    bd_error err = {.status = BD_OK};

    (void)state;
    assert_int_equal(bd_bag_bases(&bag, -1, 1, 1, &field, &b, &err), BD_RANGE);
    assert_int_equal(err.status, BD_RANGE);
    assert_int_equal(bd_bag_bases(&bag, 1, 1, -1, &field, &b, NULL), BD_RANGE);
    assert_int_equal(bd_bag_bases(&bag, 1, HUGE_VAL, 1, &field, &b, NULL), BD_RANGE);
    assert_int_equal(bd_bag_bases(&bag, 1, 1, 1, &odd, &b, NULL), BD_RANGE);
    assert_int_equal(bd_bag_bases(&none, 1, 1, 1, &field, &b, NULL), BD_RANGE);
    assert_close(b.spread, -1.0, 0.0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_plants),
        cmocka_unit_test(test_plants_never_grow_with_spacing),
        cmocka_unit_test(test_upright_bag),
        cmocka_unit_test(test_upright_bag_refuses),
        cmocka_unit_test(test_mass_and_water),
        cmocka_unit_test(test_plough_layer_by_volume),
        cmocka_unit_test(test_four_bases),
        cmocka_unit_test(test_mass_is_volume_at_equal_density),
        cmocka_unit_test(test_no_rate_has_no_spread),
        cmocka_unit_test(test_bases_refuse),
    };

    return cmocka_run_group_tests_name("bag", tests, NULL, NULL);
}
