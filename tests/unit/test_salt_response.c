#include "model/salt_response.h"

#include <math.h>

#include "support/cmocka_all.h"
#include "support/close.h"

static const bd_salt_line carrot = {1.0, 0.14};

static const struct yield_row {
    const char *name;
    double threshold, slope, ece, want, tolerance;
    bd_status status;
    const char *source;
} yield_rows[] = {
    {"yield/salt_free_is_full", 1.0, 0.14, 0.0, 1.0, 0.0, BD_OK, "definition"},
    {"yield/at_the_threshold_is_full", 1.0, 0.14, 1.0, 1.0, 0.0, BD_OK, "definition"},
    {"yield/carrot_at_2", 1.0, 0.14, 2.0, 0.86, 1e-12, BD_OK, "by hand, 1 - 0.14"},
    {"yield/strawberry_at_4", 1.0, 0.33, 4.0, 0.01, 1e-12, BD_OK, "by hand, 1 - 0.99"},
    {"yield/far_above_is_nothing", 1.0, 0.14, 40.0, 0.0, 0.0, BD_OK, "definition"},
    {"yield/negative_ece_is_refused", 1.0, 0.14, -0.1, 0, 0, BD_RANGE, "header"},
    {"yield/nan_is_refused", 1.0, 0.14, (double)NAN, 0, 0, BD_RANGE, "header"},
    {"yield/infinite_is_refused", 1.0, 0.14, HUGE_VAL, 0, 0, BD_RANGE, "header"},
    {"yield/flat_line_is_refused", 1.0, 0.0, 2.0, 0, 0, BD_RANGE, "header"},
    {"yield/slope_in_per_cent_is_refused", 1.0, 14.0, 2.0, 0, 0, BD_RANGE, "header"},
    {"yield/negative_threshold_is_refused", -1.0, 0.14, 2.0, 0, 0, BD_RANGE, "header"},
};

static void test_yield(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof yield_rows / sizeof yield_rows[0]; i++) {
        const struct yield_row *r = &yield_rows[i];
        const bd_salt_line line = {r->threshold, r->slope};
        double yield = -1.0;
        bd_error err = {.status = BD_OK};

        print_message("%s (%s)\n", r->name, r->source);
        assert_int_equal(bd_salt_yield(&line, r->ece, &yield, &err), r->status);
        assert_int_equal(err.status, r->status);
        assert_close(yield, r->status == BD_OK ? r->want : -1.0, r->tolerance);
    }
}

static void test_yield_there_and_back(void **state)
{
    (void)state;
    for (double yield = 0.0; yield <= 1.0; yield += 0.01) {
        double ece = -1.0, again = -1.0;

        assert_int_equal(bd_salt_ece_at_yield(&carrot, yield, &ece, NULL), BD_OK);
        assert_int_equal(bd_salt_yield(&carrot, ece, &again, NULL), BD_OK);
        assert_close(again, yield, 1e-12);
    }
}

static void test_yield_range_turns_round(void **state)
{
    bd_range y = {-1.0, -1.0, -1.0};

    (void)state;
    assert_int_equal(bd_salt_yield_range(&carrot, bd_range_of(1.2, 1.6, 2.0), &y, NULL), BD_OK);
    assert_close(y.low, 0.86, 1e-12);
    assert_close(y.typical, 0.916, 1e-12);
    assert_close(y.high, 0.972, 1e-12);
    assert_int_equal(bd_salt_yield_range(&carrot, bd_range_of(-1, 1.6, 2.0), &y, NULL), BD_RANGE);
    assert_close(y.low, 0.86, 1e-12);
}

static void test_ece_at_yield_refuses(void **state)
{
    const double wrong[] = {-0.01, 1.01, (double)NAN};
    double ece = -1.0;

    (void)state;
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++)
        assert_int_equal(bd_salt_ece_at_yield(&carrot, wrong[i], &ece, NULL), BD_RANGE);
    assert_close(ece, -1.0, 0.0);
}

static void test_line_between(void **state)
{
    bd_salt_line line = {-1.0, -1.0};

    (void)state;
    assert_int_equal(bd_salt_line_between(4.0, 22.0, &line, NULL), BD_OK);
    assert_close(line.slope_per_ds_per_m, 1.0 / 18.0, 1e-15);
    assert_int_equal(bd_salt_line_between(4.0, 4.0, &line, NULL), BD_RANGE);
    assert_int_equal(bd_salt_line_between(4.0, 3.0, &line, NULL), BD_RANGE);
    assert_int_equal(bd_salt_line_between(4.0, (double)NAN, &line, NULL), BD_RANGE);
    assert_close(line.threshold_ds_per_m, 4.0, 0.0);
}

static const struct leach_row {
    const char *name;
    double ecw, ece, want;
    bd_status status;
} leach_rows[] = {
    {"leach/pure_water_needs_none", 0.0, 1.0, 0.0, BD_OK},
    {"leach/half_drains", 1.0, 0.6, 0.5, BD_OK}, /* by hand, 1 / (3 - 1) */
    {"leach/saltier_than_can_be_held", 2.5, 1.0, 0.0, BD_OUTSIDE},
    {"leach/far_saltier_than_can_be_held", 6.0, 1.0, 0.0, BD_OUTSIDE},
    {"leach/no_ece_is_refused", 1.0, 0.0, 0.0, BD_RANGE},
    {"leach/negative_water_is_refused", -1.0, 1.0, 0.0, BD_RANGE},
    {"leach/nan_is_refused", (double)NAN, 1.0, 0.0, BD_RANGE},
    {"leach/nan_ece_is_refused", 1.0, (double)NAN, 0.0, BD_RANGE},
};

static void test_leaching_requirement(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof leach_rows / sizeof leach_rows[0]; i++) {
        const struct leach_row *r = &leach_rows[i];
        double share = -1.0;

        print_message("%s\n", r->name);
        assert_int_equal(bd_leaching_requirement(r->ecw, r->ece, &share, NULL), r->status);
        assert_close(share, r->status == BD_OK ? r->want : -1.0, 1e-12);
    }
}

static void test_applied(void **state)
{
    double applied = -1.0;

    (void)state;
    assert_int_equal(bd_leaching_applied(80.0, 0.2, &applied, NULL), BD_OK);
    assert_close(applied, 100.0, 1e-12);
    assert_int_equal(bd_leaching_applied(80.0, 1.0, &applied, NULL), BD_RANGE);
    assert_int_equal(bd_leaching_applied(-1.0, 0.2, &applied, NULL), BD_RANGE);
    assert_int_equal(bd_leaching_applied(80.0, (double)NAN, &applied, NULL), BD_RANGE);
    assert_close(applied, 100.0, 1e-12);
}

static void test_scaled_ranges(void **state)
{
    bd_range r = {-1.0, -1.0, -1.0};

    (void)state;
    assert_int_equal(bd_salt_ece_under_water(2.0, bd_range_of(1.3, 1.5, 1.6), &r, NULL), BD_OK);
    assert_close(r.low, 2.6, 1e-12);
    assert_close(r.high, 3.2, 1e-12);
    assert_int_equal(bd_salts_of_conductivity(0.5, bd_range_of(550, 640, 900), &r, NULL), BD_OK);
    assert_close(r.typical, 320.0, 1e-12);
    assert_int_equal(bd_salts_of_conductivity(-0.5, bd_exactly(640), &r, NULL), BD_RANGE);
    assert_int_equal(bd_salts_of_conductivity(0.5, bd_range_of(3, 2, 1), &r, NULL), BD_RANGE);
    assert_int_equal(bd_salts_of_conductivity(0.5, bd_exactly((double)NAN), &r, NULL), BD_RANGE);
    assert_close(r.typical, 320.0, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_yield),
        cmocka_unit_test(test_yield_there_and_back),
        cmocka_unit_test(test_yield_range_turns_round),
        cmocka_unit_test(test_ece_at_yield_refuses),
        cmocka_unit_test(test_line_between),
        cmocka_unit_test(test_leaching_requirement),
        cmocka_unit_test(test_applied),
        cmocka_unit_test(test_scaled_ranges),
    };

    return cmocka_run_group_tests_name("salt_response", tests, NULL, NULL);
}
