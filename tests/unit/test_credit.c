/* What is there already, and the account that must always close. */
#include <math.h>

#include "model/credit.h"
#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static bd_npk potash(double low, double typical, double high)
{
    bd_npk npk = bd_npk_exactly(0.0, 0.0, 0.0);

    npk.of[BD_NPK_K2O] = bd_range_of(low, typical, high);
    return npk;
}

static void test_only_the_low_end_is_credited(void **state)
{
    const double need[BD_NPK_COUNT] = {0.0, 0.0, 6.0};
    const bd_credit credits[] = {{BD_CREDIT_MIX, "compost", potash(3.0, 5.0, 7.0)},
                                 {BD_CREDIT_HOMEMADE, "peel water", potash(0.5, 1.0, 1.0)}};
    bd_account a;

    (void)state;
    assert_int_equal(bd_account_open(need, credits, COUNT_OF(credits), &a, NULL), BD_OK);
    assert_close(a.of[BD_NPK_K2O].credited, 3.5, 1e-12);
    assert_close(a.of[BD_NPK_K2O].at_most, 8.0, 1e-12);
    assert_close(a.of[BD_NPK_K2O].to_give, 2.5, 1e-12); /* header */
    assert_false(a.gives_nothing);
}

static void test_enough_is_there(void **state)
{
    const double need[BD_NPK_COUNT] = {0.0, 0.0, 6.0};
    const bd_credit credits[] = {{BD_CREDIT_MIX, "compost", potash(6.5, 9.0, 12.0)}};
    bd_account a;

    (void)state;
    assert_int_equal(bd_account_open(need, credits, 1, &a, NULL), BD_OK);
    assert_true(a.gives_nothing);
    assert_close(a.of[BD_NPK_K2O].surplus, 0.5, 1e-12);
    assert_int_equal(bd_account_open(need, NULL, 0, &a, NULL), BD_OK);
    assert_false(a.gives_nothing);
}

static void test_what_cannot_be_is_refused(void **state)
{
    const double bad[][BD_NPK_COUNT] = {{-1, 0, 0}, {0, (double)NAN, 0}, {0, 0, HUGE_VAL}};
    const double none[BD_NPK_COUNT] = {0, 0, 0};
    const bd_credit turned[] = {{BD_CREDIT_MIX, "x", potash(2.0, 1.0, 3.0)}};
    const bd_npk over_one = bd_npk_exactly(1.5, 0, 0), one = bd_npk_exactly(1, 1, 1);
    bd_account a = {.gives_nothing = true};
    bd_npk g = bd_npk_exactly(7, 7, 7);
    double shortfall[BD_NPK_COUNT], surplus[BD_NPK_COUNT];

    (void)state;
    for (size_t i = 0; i < COUNT_OF(bad); i++) {
        assert_int_equal(bd_account_open(bad[i], NULL, 0, &a, NULL), BD_RANGE);
        assert_int_equal(bd_account_close(&a, bad[i], shortfall, surplus, NULL), BD_RANGE);
    }
    assert_int_equal(bd_account_open(none, turned, 1, &a, NULL), BD_RANGE);
    assert_int_equal(bd_credit_organic(bd_exactly(1), &over_one, &one, &g, NULL), BD_RANGE);
    assert_int_equal(bd_credit_organic(bd_exactly(-1), &one, &one, &g, NULL), BD_RANGE);
    assert_int_equal(bd_credit_water(bd_exactly((double)NAN), &one, &g, NULL), BD_RANGE);
    assert_int_equal(bd_credit_slow_feed(&one, 0.0, 1.0, &g, NULL), BD_RANGE);
    assert_int_equal(bd_credit_slow_feed(&one, 10.0, -1.0, &g, NULL), BD_RANGE);
    assert_close(g.of[0].typical, 7.0, 0.0);
}

/* Peel water of the growers' notes: 0.5 L at 90 to 640 mg K/L (K2O = 1.2046 K) is 0.05 to 0.39 g
 * K2O a feed: the low end against the need, the high end against the ceiling. */
static void test_peel_water_has_two_ends(void **state)
{
    const bd_npk mg_per_l = potash(90.0 * 1.2046, 300.0 * 1.2046, 640.0 * 1.2046);
    const double need[BD_NPK_COUNT] = {0.0, 0.0, 6.0};
    bd_credit feed = {BD_CREDIT_HOMEMADE, "peel water", {{{0.0, 0.0, 0.0}}}};
    bd_account a;

    (void)state;
    assert_int_equal(bd_credit_water(bd_exactly(0.5), &mg_per_l, &feed.g_per_bag, NULL), BD_OK);
    assert_int_equal(bd_account_open(need, &feed, 1, &a, NULL), BD_OK);
    assert_close(a.of[BD_NPK_K2O].credited, 0.05, 0.005);
    assert_close(a.of[BD_NPK_K2O].at_most, 0.39, 0.005);
}

/* "Feeds up to three months", filled five weeks ago. */
static const struct feed_row {
    const char *name;
    double lasts, gone, left;
} feed_rows[] = {
    {"feed/new", 90, 0, 1.0},
    {"feed/five_weeks_of_ninety_days", 90, 35, 55.0 / 90.0},
    {"feed/over", 90, 90, 0.0},
    {"feed/long_over", 90, 400, 0.0},
};

static void test_slow_feed_runs_out(void **state)
{
    const bd_npk in_it = bd_npk_exactly(9.0, 4.0, 6.0);

    (void)state;
    for (size_t i = 0; i < COUNT_OF(feed_rows); i++) {
        bd_npk g;

        assert_int_equal(
            bd_credit_slow_feed(&in_it, feed_rows[i].lasts, feed_rows[i].gone, &g, NULL), BD_OK);
        assert_close(g.of[BD_NPK_N].typical, 9.0 * feed_rows[i].left, 1e-12);
        assert_close(g.of[BD_NPK_K2O].high, 6.0 * feed_rows[i].left, 1e-12);
    }
}

static unsigned random_state = 88172645u;

static double random_share(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 17;
    random_state ^= random_state << 5;
    return (double)random_state / 4294967296.0;
}

static bd_credit random_credit(void)
{
    bd_credit c = {.from = BD_CREDIT_MIX, .name = ""};

    for (int n = 0; n < BD_NPK_COUNT; n++) {
        double low = 3.0 * random_share(), typical = low + random_share();

        c.g_per_bag.of[n] = bd_range_of(low, typical, typical + random_share());
    }
    return c;
}

static void test_every_account_closes(void **state)
{
    (void)state;
    for (int run = 0; run < 20000; run++) {
        const bd_credit credits[] = {random_credit(), random_credit(), random_credit()};
        double need[BD_NPK_COUNT], given[BD_NPK_COUNT], shortfall[BD_NPK_COUNT],
            surplus[BD_NPK_COUNT];
        bd_account a;

        for (int n = 0; n < BD_NPK_COUNT; n++) {
            need[n] = 15.0 * random_share();
            given[n] = 8.0 * random_share();
        }
        assert_int_equal(bd_account_open(need, credits, (size_t)(run % 4), &a, NULL), BD_OK);
        assert_int_equal(bd_account_close(&a, given, shortfall, surplus, NULL), BD_OK);
        for (int n = 0; n < BD_NPK_COUNT; n++) {
            const bd_account_line *l = &a.of[n];

            assert_close(l->need + l->surplus, l->credited + l->to_give, 1e-12 * (1.0 + l->need));
            assert_close(l->need + surplus[n], l->credited + given[n] + shortfall[n], 1e-12 * 50.0);
            assert_true(l->to_give >= 0.0 && shortfall[n] >= 0.0 && surplus[n] >= 0.0);
            assert_true(l->at_most >= l->credited);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_only_the_low_end_is_credited),
        cmocka_unit_test(test_enough_is_there),
        cmocka_unit_test(test_what_cannot_be_is_refused),
        cmocka_unit_test(test_peel_water_has_two_ends),
        cmocka_unit_test(test_slow_feed_runs_out),
        cmocka_unit_test(test_every_account_closes),
    };

    return cmocka_run_group_tests_name("credit", tests, NULL, NULL);
}
