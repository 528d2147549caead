/* Cost: four offers for one need, refusals. */
#include "support/cmocka_all.h"

#include <math.h>

#include "model/cost.h"
#include "support/close.h"

#define N(rows)   (sizeof(rows) / sizeof(rows)[0])
#define UNTOUCHED (-99.0)

/* 1.2 kg K2O for 200 sacks at 6 g; tolerance half the last digit of each figure. */
static const struct {
    const char *name;
    double price, pack_kg, k2o, per_kg, packs, total, left_kg;
} offers[] = {
    {"13-0-46_of_1_kg", 9.00, 1, 0.46, 19.57, 3, 27.00, 0.391},
    {"0-0-50_of_2.5_kg", 12.50, 2.5, 0.50, 10.00, 1, 12.50, 0.100},
    {"0-0-60_of_25_kg", 30.00, 25, 0.60, 2.00, 1, 30.00, 23.000},
    {"4-3-8_of_1_L_at_1.15_kg/L", 6.50, 1.15, 0.08, 70.65, 14, 91.00, 1.100},
    {"a_gift", 0, 1, 0.46, 0, 3, 0, 0.391},
};

static void check_offers(void **state)
{
    const double need_kg = 1.2;

    (void)state;
    for (size_t i = 0; i < N(offers); i++) {
        double per_kg = UNTOUCHED;
        bd_purchase buy = {0};

        print_message("  offer/%s\n", offers[i].name);
        assert_int_equal(
            bd_cost_per_kg(offers[i].price, offers[i].pack_kg, offers[i].k2o, &per_kg, NULL),
            BD_OK);
        assert_close(per_kg, offers[i].per_kg, 0.005);
        assert_int_equal(
            bd_cost_packs(need_kg, offers[i].price, offers[i].pack_kg, offers[i].k2o, &buy, NULL),
            BD_OK);
        assert_close(buy.packs, offers[i].packs, 0.0);
        assert_close(buy.price, offers[i].total, 1e-9);
        assert_close(buy.left_kg, offers[i].left_kg, 0.0005);
        assert_close(buy.left_kg + buy.product_kg, buy.packs * offers[i].pack_kg, 1e-9);
    }
}

/* A need that fills its packs opens no other: 0.56 / 0.08 is a hair over 7 in a double. */
static void check_full_packs(void **state)
{
    bd_purchase buy = {0};

    (void)state;
    assert_int_equal(bd_cost_packs(0.56, 1, 1, 0.08, &buy, NULL), BD_OK);
    assert_close(buy.packs, 7, 0.0);
    assert_int_equal(bd_cost_packs(0.30001, 1, 0.1, 1, &buy, NULL), BD_OK);
    assert_close(buy.packs, 4, 0.0);
    assert_int_equal(bd_cost_packs(1e-6, 1, 1e4, 1, &buy, NULL), BD_OK);
    assert_close(buy.packs, 1, 0.0);
}

static const struct {
    const char *name;
    double need_kg, price, pack_kg, nutrient;
} bad[] = {
    {"no_need", 0, 9, 1, 0.46},
    {"negative_price", 1.2, -9, 1, 0.46},
    {"empty_pack", 1.2, 9, 0, 0.46},
    {"percent_for_share", 1.2, 9, 1, 46},
    {"nothing_in_it", 1.2, 9, 1, 0},
    {"need_nan", (double)NAN, 9, 1, 0.46},
    {"price_nan", 1.2, (double)NAN, 1, 0.46},
};

static void check_bad(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(bad); i++) {
        bd_purchase buy = {.packs = UNTOUCHED};
        bd_error err = {0};

        print_message("  bad/%s\n", bad[i].name);
        assert_int_equal(bd_cost_packs(bad[i].need_kg, bad[i].price, bad[i].pack_kg,
                                       bad[i].nutrient, &buy, &err),
                         BD_RANGE);
        assert_int_equal(err.status, BD_RANGE);
        assert_close(buy.packs, UNTOUCHED, 0.0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_offers),
        cmocka_unit_test(check_full_packs),
        cmocka_unit_test(check_bad),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
