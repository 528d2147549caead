/* What a season leaves, washing out, and an overdose. */
#include <math.h>

#include "model/settle.h"
#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const double none[BD_NPK_COUNT] = {0.0, 0.0, 0.0};
static const double half_of_p_and_k[BD_NPK_COUNT] = {0.0, 0.5, 0.5};

static void test_half_of_what_is_left_is_carried(void **state)
{
    const bd_npk came = bd_npk_exactly(4.0, 2.0, 8.0), removed = bd_npk_exactly(3.0, 0.5, 5.0);
    bd_settlement s;

    (void)state;
    assert_int_equal(bd_settle_bag(&came, &removed, none, half_of_p_and_k, &s, NULL), BD_OK);
    assert_close(s.of[BD_NPK_K2O].left.typical, 3.0, 1e-12);
    assert_close(s.of[BD_NPK_K2O].carry.typical, 1.5, 1e-12); /* header */
    assert_close(s.of[BD_NPK_N].left.typical, 1.0, 1e-12);
    assert_close(s.of[BD_NPK_N].carry.typical, 0.0, 0.0);
    assert_close(s.of[BD_NPK_K2O].overdrawn, 0.0, 0.0);
}

static void test_ends_are_crossed(void **state)
{
    bd_npk came = bd_npk_exactly(0, 0, 0), removed = bd_npk_exactly(0, 0, 0);
    const double drained[BD_NPK_COUNT] = {0.0, 0.0, 0.25};
    bd_settlement s;

    (void)state;
    came.of[BD_NPK_K2O] = bd_range_of(4, 8, 12);
    removed.of[BD_NPK_K2O] = bd_range_of(2, 5, 10);
    assert_int_equal(bd_settle_bag(&came, &removed, drained, half_of_p_and_k, &s, NULL), BD_OK);
    assert_close(s.of[BD_NPK_K2O].left.low, 0.0, 0.0);
    assert_close(s.of[BD_NPK_K2O].left.typical, 1.0, 1e-12);
    assert_close(s.of[BD_NPK_K2O].left.high, 7.0, 1e-12);
    assert_close(s.of[BD_NPK_K2O].drained.typical, 2.0, 1e-12);
}

static void test_a_crop_may_take_more_than_was_given(void **state)
{
    const bd_npk came = bd_npk_exactly(1, 1, 1), removed = bd_npk_exactly(1, 1, 3);
    bd_settlement s;

    (void)state;
    assert_int_equal(bd_settle_bag(&came, &removed, none, half_of_p_and_k, &s, NULL), BD_OK);
    assert_close(s.of[BD_NPK_K2O].left.high, 0.0, 0.0);
    assert_close(s.of[BD_NPK_K2O].overdrawn, 2.0, 1e-12);
}

static void test_bad_balances_are_refused(void **state)
{
    const bd_npk good = bd_npk_exactly(1, 1, 1), bad = bd_npk_exactly(1, (double)NAN, 1);
    const double over[BD_NPK_COUNT] = {0.0, 1.1, 0.0};
    bd_settlement s;

    (void)state;
    assert_int_equal(bd_settle_bag(&bad, &good, none, none, &s, NULL), BD_RANGE);
    assert_int_equal(bd_settle_bag(&good, &bad, none, none, &s, NULL), BD_RANGE);
    assert_int_equal(bd_settle_bag(&good, &good, over, none, &s, NULL), BD_RANGE);
    assert_int_equal(bd_settle_bag(&good, &good, none, over, &s, NULL), BD_RANGE);
}

/* ---- flushing ---- */

static const struct flush_row {
    const char *name;
    bd_flush_order order;
    int portions;
    double ece_after, tolerance;
    bool is_enough, too_salty;
    const char *source;
} flush_rows[] = {
    {"flush/three_portions",
     {9.6, 11.6, 46.4, 0.0, 1.2, 6.0, 20},
     3,
     0.932,
     0.0005,
     true,
     false,
     "by hand: 4 * (9.6 / 15.6)^3"},
    {"flush/not_needed",
     {9.6, 11.6, 11.6, 0.0, 1.2, 6.0, 20},
     0,
     1.0,
     1e-9,
     true,
     false,
     "definition"},
    {"flush/no_salt_at_all",
     {9.6, 11.6, 0.0, 0.0, 1.2, 6.0, 20},
     0,
     0.0,
     0.0,
     true,
     false,
     "definition"},
    {"flush/few_portions_allowed",
     {9.6, 11.6, 46.4, 0.0, 1.2, 6.0, 2},
     2,
     1.515,
     0.0005,
     false,
     false,
     "by hand: 4 * (9.6 / 15.6)^2"},
    {"flush/the_water_is_too_salty",
     {10.0, 10.0, 40.0, 1.5, 1.2, 10.0, 10},
     10,
     1.5024,
     0.00005,
     false,
     true,
     "by hand: 1.5 + 2.5 / 2^10"},
    {"flush/one_bag_volume_of_water_halves",
     {10.0, 10.0, 40.0, 0.0, 2.0, 10.0, 10},
     1,
     2.0,
     1e-9,
     true,
     false,
     "by hand"},
};

static void test_flush_plans(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(flush_rows); i++) {
        const struct flush_row *r = &flush_rows[i];
        bd_flush f;

        print_message("%s (%s)\n", r->name, r->source);
        assert_int_equal(bd_flush_plan(&r->order, &f, NULL), BD_OK);
        assert_int_equal(f.portions, r->portions);
        assert_close(f.litres, r->portions * r->order.portion_l, 1e-9);
        assert_close(f.ece_after_ds_per_m, r->ece_after, r->tolerance);
        assert_int_equal(f.is_enough, r->is_enough);
        assert_int_equal(f.water_is_too_salty, r->too_salty);
    }
}

static void test_bad_flushes_are_refused(void **state)
{
    const bd_flush_order bad[] = {
        {0.0, 11.6, 46.4, 0.0, 1.2, 6.0, 20},  {9.6, 9.0, 46.4, 0.0, 1.2, 6.0, 20},
        {9.6, 11.6, -1.0, 0.0, 1.2, 6.0, 20},  {9.6, 11.6, 46.4, (double)NAN, 1.2, 6.0, 20},
        {9.6, 11.6, 46.4, 0.0, 0.0, 6.0, 20},  {9.6, 11.6, 46.4, 0.0, 1.2, 0.0, 20},
        {9.6, 11.6, 46.4, 0.0, 1.2, 6.0, 101}, {9.6, 11.6, 46.4, 0.0, 1.2, 6.0, 0},
    };
    bd_flush f = {.portions = 77};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(bad); i++)
        assert_int_equal(bd_flush_plan(&bad[i], &f, NULL), BD_RANGE);
    assert_int_equal(f.portions, 77);
}

/* Salt in the bag, plus what all portions carried off, is what came with them. */
static void test_a_flush_keeps_its_salt_books(void **state)
{
    const bd_flush_order o = {9.6, 11.6, 60.0, 0.3, 1.0, 5.0, 12};
    double now = o.load_ds_l_per_m / o.water_l, went = 0.0;
    bd_flush f;

    (void)state;
    assert_int_equal(bd_flush_plan(&o, &f, NULL), BD_OK);
    for (int i = 0; i < f.portions; i++) {
        now = (now * o.water_l + o.rinse_ds_per_m * o.portion_l) / (o.water_l + o.portion_l);
        went += now * o.portion_l;
    }
    assert_close(f.ece_after_ds_per_m * o.saturation_l + went,
                 o.load_ds_l_per_m + f.litres * o.rinse_ds_per_m, 1e-9);
}

static const struct reuse_row {
    double ece, bears;
    bool is_enough, is_sick;
    bd_reuse want;
} reuse_rows[] = {
    {0.9, 1.0, true, false, BD_REUSE_AS_IS},           {2.5, 1.0, true, false, BD_REUSE_FLUSH},
    {2.5, 1.0, false, false, BD_REUSE_RETIRE},         {0.5, 1.0, true, true, BD_REUSE_RETIRE},
    {(double)NAN, 1.0, false, false, BD_REUSE_RETIRE},
};

static void test_reuse(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT_OF(reuse_rows); i++) {
        const struct reuse_row *r = &reuse_rows[i];
        const bd_flush flush = {.is_enough = r->is_enough};

        assert_int_equal(bd_reuse_judge(r->ece, r->bears, &flush, r->is_sick), r->want);
    }
}

/* ---- rescue ---- */

static bd_rescue_order overdose(void)
{
    return (bd_rescue_order){.given_g = 40.0,
                             .planned_g = 4.0,
                             .recovered_share = 0.5,
                             .share = {0.13, 0.0, 0.46},
                             .load_ds_l_per_m_per_g = 1.3,
                             .dose_interval_days = 14.0,
                             .flush = {9.6, 11.6, 6.0, 0.0, 1.2, 6.0, 20}};
}

static void test_an_overdose(void **state)
{
    const bd_rescue_order o = overdose();
    bd_rescue r;

    (void)state;
    assert_int_equal(bd_rescue_plan(&o, &r, NULL), BD_OK);
    assert_close(r.over_g, 36.0, 1e-12);
    assert_close(r.lift_g, 20.0, 1e-12);
    assert_close(r.stays_g, 20.0, 1e-12);
    assert_close(r.ece_with_ds_per_m, (6.0 + 26.0) / 11.6, 1e-9); /* by hand */
    assert_int_equal(r.flush.portions, 2);                        /* 2.76 * 0.615^2 = 1.045 */
    assert_close(r.washed_g[BD_NPK_N], 20.0 * 0.13 * (1.0 - 0.6154 * 0.6154), 0.001);
    assert_close(r.wait_days, 14.0 * 20.0 * 0.6154 * 0.6154 / 4.0, 0.01);
}

static void test_what_was_planned_stays(void **state)
{
    bd_rescue_order o = overdose();
    bd_rescue r;

    (void)state;
    o.given_g = 5.0;
    o.recovered_share = 0.9;
    assert_int_equal(bd_rescue_plan(&o, &r, NULL), BD_OK);
    assert_close(r.lift_g, 1.0, 1e-12);
    assert_close(r.stays_g, 4.0, 1e-12);
    assert_close(r.wait_days, 14.0, 1e-12);
    o.planned_g = 0.0;
    assert_int_equal(bd_rescue_plan(&o, &r, NULL), BD_OK);
    assert_close(r.wait_days, 14.0, 1e-12);
}

static void test_bad_overdoses_are_refused(void **state)
{
    bd_rescue_order o[5];
    bd_rescue r = {.over_g = 77.0};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(o); i++)
        o[i] = overdose();
    o[0].given_g = 0.0;
    o[1].recovered_share = 1.0;
    o[2].share[0] = (double)NAN;
    o[3].load_ds_l_per_m_per_g = -1.0;
    o[4].flush.portion_l = 0.0;
    for (size_t i = 0; i < COUNT_OF(o); i++)
        assert_int_equal(bd_rescue_plan(&o[i], &r, NULL), BD_RANGE);
    assert_close(r.over_g, 77.0, 0.0);
}

/* ---- whatever came and went ---- */

static unsigned random_state = 362436069u;

static double random_share(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 17;
    random_state ^= random_state << 5;
    return (double)random_state / 4294967296.0;
}

static bd_npk random_npk(void)
{
    bd_npk npk;

    for (int n = 0; n < BD_NPK_COUNT; n++) {
        double low = 5.0 * random_share(), typical = low + 3.0 * random_share();

        npk.of[n] = bd_range_of(low, typical, typical + 3.0 * random_share());
    }
    return npk;
}

static void test_every_balance_closes(void **state)
{
    (void)state;
    for (int run = 0; run < 20000; run++) {
        const bd_npk came = random_npk(), removed = random_npk();
        const double drained[BD_NPK_COUNT] = {random_share(), random_share(), random_share()};
        bd_settlement s;

        assert_int_equal(bd_settle_bag(&came, &removed, drained, half_of_p_and_k, &s, NULL), BD_OK);
        for (int n = 0; n < BD_NPK_COUNT; n++) {
            const bd_settle_line *l = &s.of[n];

            assert_close(l->came.typical + l->overdrawn,
                         l->removed.typical + l->drained.typical + l->left.typical, 1e-9);
            assert_true(l->left.low >= 0.0 && l->left.low <= l->left.typical &&
                        l->left.typical <= l->left.high);
            assert_true(l->carry.high <= l->left.high);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_half_of_what_is_left_is_carried),
        cmocka_unit_test(test_ends_are_crossed),
        cmocka_unit_test(test_a_crop_may_take_more_than_was_given),
        cmocka_unit_test(test_bad_balances_are_refused),
        cmocka_unit_test(test_flush_plans),
        cmocka_unit_test(test_bad_flushes_are_refused),
        cmocka_unit_test(test_a_flush_keeps_its_salt_books),
        cmocka_unit_test(test_reuse),
        cmocka_unit_test(test_an_overdose),
        cmocka_unit_test(test_what_was_planned_stays),
        cmocka_unit_test(test_bad_overdoses_are_refused),
        cmocka_unit_test(test_every_balance_closes),
    };

    return cmocka_run_group_tests_name("settle", tests, NULL, NULL);
}
