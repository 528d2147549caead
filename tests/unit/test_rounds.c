/* Choosing products and spreading them over the season. */
#include <math.h>
#include <string.h>

#include "model/credit.h"
#include "model/rounds.h"
#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static unsigned random_state = 123456789u;

static double random_share(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 17;
    random_state ^= random_state << 5;
    return (double)random_state / 4294967296.0;
}

static const double no_bound[BD_NPK_COUNT] = {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL};

/* ---- the shelf ---- */

enum { ON_SHELF = 3 };

static const struct shelf_row {
    const char *name;
    bd_shelf_item items[ON_SHELF];
    size_t count;
    double to_give[BD_NPK_COUNT], most[BD_NPK_COUNT];
    double g[ON_SHELF], short_of[BD_NPK_COUNT];
    double tolerance;
    const char *source;
} shelf_rows[] = {
    {"shelf/one_product_for_one_nutrient",
     {{.name = "sop", .share = {0, 0, 0.50}, .price_per_g = 0.005}},
     1,
     {0, 0, 6},
     {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
     {12},
     {0},
     1e-9,
     "by hand"},
    {"shelf/the_cheaper_of_two",
     {{.name = "nitrate", .share = {0.13, 0, 0.46}, .price_per_g = 0.009},
      {.name = "sulfate", .share = {0, 0, 0.50}, .price_per_g = 0.005}},
     2,
     {0, 0, 6},
     {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
     {0, 12},
     {0},
     1e-9,
     "19.57 against 10.00 a kg of K2O, growers' notes"},
    {"shelf/nitrogen_that_rides_along_is_worth_its_price",
     {{.name = "nitrate", .share = {0.13, 0, 0.46}, .price_per_g = 0.009},
      {.name = "sulfate", .share = {0, 0, 0.50}, .price_per_g = 0.005},
      {.name = "urea", .share = {0.46, 0, 0}, .price_per_g = 0.050}},
     3,
     {1.3, 0, 4.6},
     {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
     {10, 0, 0},
     {0},
     1e-9,
     "by hand: 0.090 against 0.046 + 0.141"},
    {"shelf/less_salt_where_there_are_no_prices",
     {{.name = "chloride", .share = {0, 0, 0.60}, .load_ds_l_per_m_per_g = 1.9},
      {.name = "sulfate", .share = {0, 0, 0.50}, .load_ds_l_per_m_per_g = 1.5}},
     2,
     {0, 0, 6},
     {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
     {0, 12},
     {0},
     1e-9,
     "by hand: 18 against 19"},
    {"shelf/too_much_nitrogen_is_not_allowed",
     {{.name = "nitrate", .share = {0.13, 0, 0.46}, .price_per_g = 0.001},
      {.name = "sulfate", .share = {0, 0, 0.50}, .price_per_g = 0.005}},
     2,
     {0, 0, 6},
     {0.65, (double)HUGE_VAL, (double)HUGE_VAL},
     {5, 7.4},
     {0},
     1e-9,
     "by hand: 0.65 / 0.13; (6 - 2.3) / 0.5"},
    {"shelf/what_nothing_holds_stays_short",
     {{.name = "sulfate", .share = {0, 0, 0.50}, .price_per_g = 0.005}},
     1,
     {1, 2, 6},
     {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
     {12},
     {1, 2, 0},
     1e-9,
     "by hand"},
    {"shelf/only_with_too_much_of_another",
     {{.name = "compound", .share = {0.10, 0.10, 0.10}, .price_per_g = 0.01}},
     1,
     {0, 0, 6},
     {0.3, (double)HUGE_VAL, (double)HUGE_VAL},
     {3},
     {0, 0, 5.7},
     1e-9,
     "by hand"},
    {"shelf/nothing_to_give",
     {{.name = "sulfate", .share = {0, 0, 0.50}, .price_per_g = 0.005}},
     1,
     {0, 0, 0},
     {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
     {0},
     {0},
     0.0,
     "definition"},
    {"shelf/an_empty_product_is_no_help",
     {{.name = "chalk", .share = {0, 0, 0}, .price_per_g = 0.0}},
     1,
     {1, 0, 0},
     {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
     {0},
     {1, 0, 0},
     1e-12,
     "definition"},
};

static void check_shelf(void **state)
{
    const struct shelf_row *r = *state;
    bd_shelf_choice c;

    assert_int_equal(bd_shelf_choose(r->items, r->count, r->to_give, r->most, &c, NULL), BD_OK);
    for (size_t i = 0; i < r->count; i++)
        assert_close(c.g[i], r->g[i], r->tolerance);
    for (int n = 0; n < BD_NPK_COUNT; n++)
        assert_close(c.short_of[n], r->short_of[n], r->tolerance);
}

/* A shelf of `count` made-up products. */
static void random_shelf(bd_shelf_item *items, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        items[i] = (bd_shelf_item){.name = "made up",
                                   .price_per_g = 0.01 * random_share(),
                                   .load_ds_l_per_m_per_g = 2.0 * random_share(),
                                   .most_g_per_round = 0.5 + 5.0 * random_share()};
        for (int n = 0; n < BD_NPK_COUNT; n++)
            items[i].share[n] = random_share() < 0.5 ? 0.0 : 0.6 * random_share();
        items[i].boron_share = random_share() < 0.7 ? 0.0 : 0.01 * random_share();
    }
}

static bool meets(const bd_shelf_item *items, const double *g, size_t count,
                  const double to_give[BD_NPK_COUNT], const double most[BD_NPK_COUNT])
{
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        double sum = 0.0;

        for (size_t i = 0; i < count; i++)
            sum += g[i] * items[i].share[n];
        if (sum < to_give[n] || sum > most[n])
            return false;
    }
    return true;
}

static double price_of(const bd_shelf_item *items, const double *g, size_t count)
{
    double sum = 0.0;

    for (size_t i = 0; i < count; i++)
        sum += g[i] * items[i].price_per_g;
    return sum;
}

static void check_choice(const bd_shelf_item *items, size_t count,
                         const double to_give[BD_NPK_COUNT], const double most[BD_NPK_COUNT],
                         const bd_shelf_choice *c)
{
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        double sum = 0.0;

        for (size_t i = 0; i < count; i++) {
            assert_true(c->g[i] >= 0.0);
            sum += c->g[i] * items[i].share[n];
        }
        assert_close(c->gives[n], sum, 1e-9 * (1.0 + sum));
        assert_true(sum + c->short_of[n] >= to_give[n] - 1e-6);
        assert_true(sum <= most[n] + 1e-6);
        assert_true(c->short_of[n] >= 0.0);
    }
}

/* No haphazard blend that meets everything may be cheaper than the chosen one. */
static void test_no_random_blend_is_cheaper(void **state)
{
    int compared = 0;

    (void)state;
    for (int run = 0; run < 300; run++) {
        bd_shelf_item items[4];
        size_t count = 1 + (size_t)(random_share() * 4.0);
        double to_give[BD_NPK_COUNT], most[BD_NPK_COUNT];
        bd_shelf_choice c;

        random_shelf(items, count);
        for (int n = 0; n < BD_NPK_COUNT; n++) {
            to_give[n] = random_share() < 0.3 ? 0.0 : 3.0 * random_share();
            most[n] = to_give[n] + 4.0 * random_share();
        }
        assert_int_equal(bd_shelf_choose(items, count, to_give, most, &c, NULL), BD_OK);
        check_choice(items, count, to_give, most, &c);
        for (int shot = 0; shot < 300; shot++) {
            double g[4];

            for (size_t i = 0; i < count; i++)
                g[i] = random_share() < 0.4 ? 0.0 : 12.0 * random_share();
            if (!meets(items, g, count, to_give, most))
                continue;
            compared++;
            assert_close(c.short_of[0] + c.short_of[1] + c.short_of[2], 0.0, 1e-6);
            assert_true(price_of(items, g, count) >= c.price - 1e-9);
        }
    }
    assert_true(compared > 500);
}

static void test_the_longest_shelf(void **state)
{
    bd_shelf_item items[BD_SHELF_MAX];
    const double to_give[BD_NPK_COUNT] = {2.0, 1.0, 6.0}, most[BD_NPK_COUNT] = {2.5, 3.0, 8.0};
    bd_shelf_choice c;

    (void)state;
    random_shelf(items, BD_SHELF_MAX);
    assert_int_equal(bd_shelf_choose(items, BD_SHELF_MAX, to_give, most, &c, NULL), BD_OK);
    check_choice(items, BD_SHELF_MAX, to_give, most, &c);
}

static void test_bad_shelves_are_refused(void **state)
{
    const bd_shelf_item good = {.name = "x", .share = {0, 0, 0.5}};
    const bd_shelf_item bad = {.name = "x", .share = {0, 0, 1.5}};
    const bd_shelf_item nan = {.name = "x", .share = {0, 0, 0.5}, .price_per_g = (double)NAN};
    const double give[BD_NPK_COUNT] = {1, 1, 1}, less[BD_NPK_COUNT] = {2, 0.5, 2};
    const double wrong[BD_NPK_COUNT] = {1, (double)NAN, 1};
    bd_shelf_choice c = {.price = 77.0};

    (void)state;
    assert_int_equal(bd_shelf_choose(&good, 0, give, no_bound, &c, NULL), BD_RANGE);
    assert_int_equal(bd_shelf_choose(&bad, 1, give, no_bound, &c, NULL), BD_RANGE);
    assert_int_equal(bd_shelf_choose(&nan, 1, give, no_bound, &c, NULL), BD_RANGE);
    assert_int_equal(bd_shelf_choose(&good, 1, give, less, &c, NULL), BD_RANGE);
    assert_int_equal(bd_shelf_choose(&good, 1, wrong, no_bound, &c, NULL), BD_RANGE);
    assert_close(c.price, 77.0, 0.0);
}

/* ---- rounds ---- */

static const bd_uptake_point carrot[] = {{0.25, 0.01}, {0.33, 0.03}, {0.5, 0.1},   {0.67, 0.36},
                                         {0.75, 0.56}, {0.83, 0.78}, {0.92, 0.93}, {1, 1}};

static bd_rounds_order carrot_order(void)
{
    return (bd_rounds_order){
        .season_days = 100,
        .first_day = 38,
        .last_day = 86,
        .last_nitrogen_day = 72,
        .interval_days = 10,
        .wanted_rounds = 3,
        .most_rounds = 12,
        .uptake = {carrot, carrot, carrot},
        .uptake_count = {COUNT_OF(carrot), COUNT_OF(carrot), COUNT_OF(carrot)},
        .most_nutrient_g = {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
        .most_base_g = {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
        .most_load_ds_l_per_m = (double)HUGE_VAL,
        .most_season_g = {(double)HUGE_VAL, (double)HUGE_VAL, (double)HUGE_VAL},
        .most_season_boron_g = (double)HUGE_VAL,
    };
}

static const bd_shelf_item sulfate = {.name = "potassium-sulfate",
                                      .share = {0, 0, 0.50},
                                      .load_ds_l_per_m_per_g = 1.5,
                                      .most_g_per_round = (double)HUGE_VAL};
static const bd_shelf_item nitrate = {.name = "potassium-nitrate",
                                      .share = {0.13, 0, 0.46},
                                      .load_ds_l_per_m_per_g = 1.3,
                                      .most_g_per_round = (double)HUGE_VAL};

static void test_rounds_follow_uptake(void **state)
{
    const bd_rounds_order order = carrot_order();
    const bd_shelf_choice choice = {.g = {12.0}};
    bd_rounds r;

    (void)state;
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(r.count, 3);
    assert_int_equal(r.rounds[0].day, 38);
    assert_int_equal(r.rounds[1].day, 62);
    assert_int_equal(r.rounds[2].day, 86);
    /* by hand on the curve: at 0.62 0.2835, at 0.86 0.83 */
    assert_close(r.rounds[0].g[0], 12.0 * 0.2835, 0.001);
    assert_close(r.rounds[1].g[0], 12.0 * (0.83 - 0.2835), 0.001);
    assert_close(r.rounds[2].g[0], 12.0 * (1.0 - 0.83), 0.001);
    assert_close(r.gives[BD_NPK_K2O], 6.0, 1e-9);
    assert_string_equal(r.held_by, "");
    for (size_t k = 0; k < r.count; k++)
        assert_true(r.rounds[k].supplied[BD_NPK_K2O] >= r.rounds[k].taken[BD_NPK_K2O] - 1e-9);
}

/* The school garden: 6 g K2O a sack as 0-0-50, three equal feeds: 12 g in all, 4 g each. */
static void test_three_equal_feeds(void **state)
{
    bd_rounds_order order = carrot_order();
    const double to_give[BD_NPK_COUNT] = {0.0, 0.0, 6.0};
    bd_shelf_choice choice;
    bd_rounds r;

    (void)state;
    order.season_days = 90;
    order.first_day = 0;
    order.last_day = 60;
    order.uptake[BD_NPK_K2O] = NULL;
    assert_int_equal(bd_shelf_choose(&sulfate, 1, to_give, no_bound, &choice, NULL), BD_OK);
    assert_close(choice.g[0], 12.0, 1e-9);
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(r.count, 3);
    for (size_t k = 0; k < r.count; k++) {
        assert_close(r.rounds[k].g[0], 4.0, 1e-9);
        assert_close(r.rounds[k].supplied[BD_NPK_K2O], ((double)k + 1.0) / 3.0, 1e-9);
    }
}

static void test_a_share_goes_into_the_mix(void **state)
{
    bd_rounds_order order = carrot_order();
    const bd_shelf_choice choice = {.g = {10.0}};
    bd_rounds r;

    (void)state;
    order.base_share[BD_NPK_K2O] = 0.4;
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(r.count, 4);
    assert_true(r.rounds[0].is_base);
    assert_close(r.rounds[0].g[0], 4.0, 1e-12);
    order.from_day = 45; /* sown long ago: the mix can take nothing more */
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_false(r.rounds[0].is_base);
    assert_int_equal(r.rounds[0].day, 45);
    assert_close(r.gives[BD_NPK_K2O], 5.0, 1e-9);
}

static void test_a_ceiling_makes_more_rounds(void **state)
{
    bd_rounds_order order = carrot_order();
    const bd_shelf_choice choice = {.g = {12.0}};
    bd_rounds r;

    (void)state;
    order.most_load_ds_l_per_m = 4.5; /* 3 g of it a round: at least four rounds */
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_true(r.count >= 4);
    assert_close(r.g[0], 12.0, 1e-9);
    for (size_t k = 0; k < r.count; k++)
        assert_true(r.rounds[k].load_ds_l_per_m <= 4.5 + 1e-9);
}

static void test_what_no_round_bears_is_left_out(void **state)
{
    bd_rounds_order order = carrot_order();
    const bd_shelf_choice choice = {.g = {12.0}};
    bd_rounds r;

    (void)state;
    order.most_nutrient_g[BD_NPK_K2O] = 0.5; /* 1 g a round, five rounds in 48 days */
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(r.count, 5);
    assert_close(r.g[0], 5.0, 1e-9);
    assert_close(r.left_out_g[0], 7.0, 1e-9);
    assert_string_equal(r.held_by, "K2O");
}

/* 12 g of sulfate bring 6 g K2O; a season that bears 2 g of it gets 4 g, and no round more. */
static void test_the_season_bounds_all_rounds(void **state)
{
    bd_rounds_order order = carrot_order();
    const bd_shelf_choice choice = {.g = {12.0}};
    bd_shelf_item with_boron = sulfate;
    bd_rounds r;

    (void)state;
    order.most_season_g[BD_NPK_K2O] = 2.0;
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(r.count, 2); /* the two early ones take what there is */
    assert_close(r.g[0], 4.0, 1e-9);
    assert_close(r.left_out_g[0], 8.0, 1e-9);
    assert_string_equal(r.held_by, "season");
    order.most_season_g[BD_NPK_K2O] = (double)HUGE_VAL;
    order.most_season_boron_g = 0.003;
    with_boron.boron_share = 0.001;
    assert_int_equal(bd_rounds_plan(&order, &with_boron, 1, &choice, &r, NULL), BD_OK);
    assert_close(r.g[0], 3.0, 1e-9);
    assert_string_equal(r.held_by, "season");
}

static void test_no_late_nitrogen(void **state)
{
    const bd_rounds_order order = carrot_order();
    const bd_shelf_item items[] = {nitrate, sulfate};
    const bd_shelf_choice choice = {.g = {5.0, 5.0}};
    bd_rounds r;

    (void)state;
    assert_int_equal(bd_rounds_plan(&order, items, 2, &choice, &r, NULL), BD_OK);
    assert_close(r.g[0], 5.0, 1e-9);
    for (size_t k = 0; k < r.count; k++)
        if (r.rounds[k].day > 72)
            assert_close(r.rounds[k].gives[BD_NPK_N], 0.0, 0.0);
}

static void test_too_late_for_anything(void **state)
{
    bd_rounds_order order = carrot_order();
    const bd_shelf_choice choice = {.g = {5.0}};
    bd_rounds r;

    (void)state;
    order.from_day = 90;
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(r.count, 0);
    assert_close(r.left_out_g[0], 5.0, 0.0);
    assert_string_equal(r.held_by, "days");
    order.from_day = 80;
    assert_int_equal(bd_rounds_plan(&order, &nitrate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(r.count, 0);
    assert_string_equal(r.held_by, "days");
}

static void test_bad_orders_are_refused(void **state)
{
    bd_rounds_order o[9];
    const bd_shelf_choice choice = {.g = {5.0}};
    const bd_shelf_choice wrong = {.g = {-1.0}};
    bd_rounds r = {.count = 77};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(o); i++)
        o[i] = carrot_order();
    o[0].season_days = 0;
    o[1].last_day = 100;
    o[2].interval_days = 0;
    o[3].wanted_rounds = 13;
    o[4].most_rounds = BD_ROUNDS_MAX;
    o[5].base_share[0] = 1.5;
    o[6].most_load_ds_l_per_m = (double)NAN;
    o[7].most_season_g[BD_NPK_K2O] = -1.0;
    o[8].most_season_boron_g = (double)NAN;
    for (size_t i = 0; i < COUNT_OF(o); i++)
        assert_int_equal(bd_rounds_plan(&o[i], &sulfate, 1, &choice, &r, NULL), BD_RANGE);
    o[0] = carrot_order();
    assert_int_equal(bd_rounds_plan(&o[0], &sulfate, 1, &wrong, &r, NULL), BD_RANGE);
    assert_int_equal(r.count, 77);
}

/* ---- whatever is asked, no ceiling is broken and nothing gets lost ---- */

static int random_day(int low, int high)
{
    return low + (int)(random_share() * (double)(high - low + 1));
}

static bd_rounds_order random_order(void)
{
    bd_rounds_order o = carrot_order();

    o.season_days = random_day(30, 300);
    o.from_day = random_share() < 0.5 ? 0 : random_day(0, o.season_days - 1);
    o.first_day = random_day(0, o.season_days - 1);
    o.last_day = random_day(0, o.season_days - 1);
    o.last_nitrogen_day = random_day(0, o.season_days);
    o.interval_days = random_day(1, 25);
    o.most_rounds = random_day(1, BD_ROUNDS_MAX - 1);
    o.wanted_rounds = random_day(1, o.most_rounds);
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        o.base_share[n] = random_share() < 0.5 ? 0.0 : random_share();
        o.most_nutrient_g[n] = 3.0 * random_share();
        o.most_base_g[n] = 4.0 * random_share();
        o.most_season_g[n] = random_share() < 0.5 ? (double)HUGE_VAL : 5.0 * random_share();
    }
    o.most_season_boron_g = random_share() < 0.5 ? (double)HUGE_VAL : 0.02 * random_share();
    o.most_load_ds_l_per_m = 10.0 * random_share();
    return o;
}

static void check_round(const bd_rounds_order *o, const bd_shelf_item *items, size_t count,
                        const bd_round *round)
{
    const double *most = round->is_base ? o->most_base_g : o->most_nutrient_g;
    double load = 0.0, gives[BD_NPK_COUNT] = {0.0};

    for (size_t i = 0; i < count; i++) {
        assert_true(round->g[i] >= 0.0);
        if (!round->is_base)
            assert_true(round->g[i] <= items[i].most_g_per_round + 1e-9);
        load += round->g[i] * items[i].load_ds_l_per_m_per_g;
        for (int n = 0; n < BD_NPK_COUNT; n++)
            gives[n] += round->g[i] * items[i].share[n];
        if (round->g[i] > 0.0 && items[i].share[BD_NPK_N] > 0.0)
            assert_true(round->day <= o->last_nitrogen_day);
    }
    assert_true(load <= o->most_load_ds_l_per_m + 1e-9);
    assert_close(load, round->load_ds_l_per_m, 1e-9);
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        assert_true(gives[n] <= most[n] + 1e-9);
        assert_close(gives[n], round->gives[n], 1e-9);
    }
    assert_true(round->is_base || (round->day >= o->from_day && round->day >= o->first_day &&
                                   round->day <= o->last_day));
}

static void check_season(const bd_rounds_order *o, const bd_shelf_item *items, size_t count,
                         const bd_rounds *r)
{
    double gives[BD_NPK_COUNT] = {0.0}, boron = 0.0;

    for (size_t i = 0; i < count; i++) {
        boron += r->g[i] * items[i].boron_share;
        for (int n = 0; n < BD_NPK_COUNT; n++)
            gives[n] += r->g[i] * items[i].share[n];
    }
    assert_true(boron <= o->most_season_boron_g + 1e-9);
    for (int n = 0; n < BD_NPK_COUNT; n++)
        assert_true(gives[n] <= o->most_season_g[n] + 1e-9);
}

static void test_random_seasons_keep_every_ceiling(void **state)
{
    (void)state;
    for (int run = 0; run < 5000; run++) {
        bd_shelf_item items[5];
        size_t count = 1 + (size_t)(random_share() * 5.0);
        bd_rounds_order o = random_order();
        bd_shelf_choice choice = {.price = 0.0};
        bd_rounds r;

        random_shelf(items, count);
        for (size_t i = 0; i < count; i++)
            choice.g[i] = 15.0 * random_share();
        assert_int_equal(bd_rounds_plan(&o, items, count, &choice, &r, NULL), BD_OK);
        for (size_t i = 0; i < count; i++)
            assert_close(r.g[i] + r.left_out_g[i], choice.g[i], 1e-8);
        check_season(&o, items, count, &r);
        for (size_t k = 0; k < r.count; k++) {
            check_round(&o, items, count, &r.rounds[k]);
            if (k > 0 && !r.rounds[k - 1].is_base)
                assert_true(r.rounds[k].day - r.rounds[k - 1].day >= o.interval_days);
        }
    }
}

/* need + surplus = credits + rounds + shortfall, from the need to the last round. */
static void check_account(const bd_account *a, const bd_rounds *r)
{
    double shortfall[BD_NPK_COUNT], surplus[BD_NPK_COUNT];

    assert_int_equal(bd_account_close(a, r->gives, shortfall, surplus, NULL), BD_OK);
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        double sum = 0.0;

        for (size_t k = 0; k < r->count; k++)
            sum += r->rounds[k].gives[n];
        assert_close(sum, r->gives[n], 1e-9);
        assert_close(a->of[n].need + surplus[n], a->of[n].credited + sum + shortfall[n], 1e-9);
        assert_true(shortfall[n] >= 0.0 && surplus[n] >= 0.0);
        assert_false(shortfall[n] > 1e-9 && surplus[n] > 1e-9);
    }
}

static void test_random_seasons_keep_their_books(void **state)
{
    (void)state;
    for (int run = 0; run < 3000; run++) {
        bd_shelf_item items[4];
        size_t count = 1 + (size_t)(random_share() * 4.0);
        const bd_rounds_order o = random_order();
        bd_credit compost = {BD_CREDIT_MIX, "compost", {{{0.0, 0.0, 0.0}}}};
        double need[BD_NPK_COUNT], to_give[BD_NPK_COUNT], most[BD_NPK_COUNT];
        bd_account account;
        bd_shelf_choice choice;
        bd_rounds r;

        random_shelf(items, count);
        for (int n = 0; n < BD_NPK_COUNT; n++) {
            need[n] = 8.0 * random_share();
            compost.g_per_bag.of[n] = bd_exactly(5.0 * random_share());
        }
        assert_int_equal(bd_account_open(need, &compost, 1, &account, NULL), BD_OK);
        for (int n = 0; n < BD_NPK_COUNT; n++) {
            to_give[n] = account.of[n].to_give;
            most[n] = to_give[n] + random_share();
        }
        assert_int_equal(bd_shelf_choose(items, count, to_give, most, &choice, NULL), BD_OK);
        assert_int_equal(bd_rounds_plan(&o, items, count, &choice, &r, NULL), BD_OK);
        check_account(&account, &r);
        for (int n = 0; n < BD_NPK_COUNT; n++)
            assert_true(r.gives[n] <= most[n] + 1e-6);
    }
}

/* ---- with the root zone ---- */

static bd_rootzone small_bag(void)
{
    return (bd_rootzone){.days = 100,
                         .area_m2 = 0.0707,
                         .capacity_l = 9.6,
                         .wilting_l = 3.0,
                         .saturation_l = {11.6, 11.6, 11.6},
                         .existing_ece_ds_per_m = {0.3, 0.5, 0.6},
                         .water_ds_per_m = {0.1, 0.1, 0.1},
                         .leaching_share = 0.15,
                         .watering_every_days = 1,
                         .eto_mm_per_d = 4.5,
                         .kc = {0.7, 1.05, 0.95, {20, 30, 30, 20}},
                         .uptake_share = {0.3, 0.5, 0.7},
                         .uptake = carrot,
                         .uptake_count = COUNT_OF(carrot)};
}

static void test_the_root_zone_has_the_last_word(void **state)
{
    const bd_rounds_order order = carrot_order();
    const bd_rootzone zone = small_bag();
    const bd_shelf_choice choice = {.g = {60.0}};
    bd_rounds_fit easy, tight, none;

    (void)state;
    assert_int_equal(
        bd_rounds_within(&order, &sulfate, 1, &choice, &zone, 1.0, 0.1, 50.0, &easy, NULL), BD_OK);
    assert_close(easy.kept, 1.0, 0.0);
    assert_int_equal(
        bd_rounds_within(&order, &sulfate, 1, &choice, &zone, 1.0, 0.1, 2.0, &tight, NULL), BD_OK);
    assert_true(tight.kept > 0.0 && tight.kept < 1.0);
    assert_true(tight.outlook.ece_peak_ds_per_m.high <= 2.0);
    assert_true(tight.outlook.ece_peak_ds_per_m.high > 1.95);
    assert_close(tight.rounds.g[0] + tight.rounds.left_out_g[0], 60.0, 1e-9);
    assert_string_equal(tight.rounds.held_by, "mix");
    assert_int_equal(
        bd_rounds_within(&order, &sulfate, 1, &choice, &zone, 1.0, 0.1, 0.2, &none, NULL), BD_OK);
    assert_close(none.kept, 0.0, 0.0);
    assert_int_equal(none.rounds.count, 0);
    assert_close(none.rounds.left_out_g[0], 60.0, 0.0);
    assert_int_equal(
        bd_rounds_within(&order, &sulfate, 1, &choice, &zone, -1.0, 0.1, 2.0, &none, NULL),
        BD_RANGE);
}

static void test_dressings_carry_the_salt_of_their_water(void **state)
{
    const bd_rounds_order order = carrot_order();
    const bd_shelf_choice choice = {.g = {12.0}};
    bd_dressing d[BD_ROUNDS_MAX];
    bd_rounds r;

    (void)state;
    assert_int_equal(bd_rounds_plan(&order, &sulfate, 1, &choice, &r, NULL), BD_OK);
    assert_int_equal(bd_rounds_dressings(&r, 40, 1.5, 0.2, bd_range_of(0.9, 1.0, 1.1), d), 2);
    assert_int_equal(d[0].day, 22);
    assert_close(d[0].load_ds_l_per_m.typical, r.rounds[1].load_ds_l_per_m + 0.3, 1e-12);
    assert_close(d[0].load_ds_l_per_m.high, 1.1 * r.rounds[1].load_ds_l_per_m + 0.3, 1e-12);
}

/* ---- curves and sprays ---- */

static void test_uptake_between_points(void **state)
{
    (void)state;
    assert_close(bd_uptake_at(carrot, COUNT_OF(carrot), 0.0), 0.0, 0.0);
    assert_close(bd_uptake_at(carrot, COUNT_OF(carrot), 0.5), 0.10, 1e-12);
    assert_close(bd_uptake_at(carrot, COUNT_OF(carrot), 0.585), 0.23, 1e-9);
    assert_close(bd_uptake_at(carrot, COUNT_OF(carrot), 1.0), 1.0, 0.0);
    assert_close(bd_uptake_at(carrot, COUNT_OF(carrot), 2.0), 1.0, 0.0);
    assert_close(bd_uptake_at(NULL, 0, 0.3), 0.3, 0.0);
}

/* 0.04 g K2O a bag by a spray is 0.7 % of 6 g: the growers' knapsack. */
static void test_a_spray_is_no_feed(void **state)
{
    const double spray[BD_NPK_COUNT] = {0.012, 0.0, 0.0425}, need[BD_NPK_COUNT] = {2.0, 0.0, 6.0};
    bd_spray_share share;

    (void)state;
    assert_int_equal(bd_spray_counts(spray, 1.0, need, 0.02, &share, NULL), BD_OK);
    assert_close(100.0 * share.share[BD_NPK_K2O], 0.7, 0.05);
    assert_true(share.is_note);
    assert_int_equal(bd_spray_counts(spray, 4.0, need, 0.02, &share, NULL), BD_OK);
    assert_false(share.is_note);
    assert_close(share.share[BD_NPK_P2O5], 0.0, 0.0);
    assert_int_equal(bd_spray_counts(spray, -1.0, need, 0.02, &share, NULL), BD_RANGE);
}

static const struct CMUnitTest plain_tests[] = {
    cmocka_unit_test(test_no_random_blend_is_cheaper),
    cmocka_unit_test(test_the_longest_shelf),
    cmocka_unit_test(test_bad_shelves_are_refused),
    cmocka_unit_test(test_rounds_follow_uptake),
    cmocka_unit_test(test_three_equal_feeds),
    cmocka_unit_test(test_a_share_goes_into_the_mix),
    cmocka_unit_test(test_a_ceiling_makes_more_rounds),
    cmocka_unit_test(test_what_no_round_bears_is_left_out),
    cmocka_unit_test(test_the_season_bounds_all_rounds),
    cmocka_unit_test(test_no_late_nitrogen),
    cmocka_unit_test(test_too_late_for_anything),
    cmocka_unit_test(test_bad_orders_are_refused),
    cmocka_unit_test(test_random_seasons_keep_every_ceiling),
    cmocka_unit_test(test_random_seasons_keep_their_books),
    cmocka_unit_test(test_the_root_zone_has_the_last_word),
    cmocka_unit_test(test_dressings_carry_the_salt_of_their_water),
    cmocka_unit_test(test_uptake_between_points),
    cmocka_unit_test(test_a_spray_is_no_feed),
};

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(shelf_rows) + COUNT_OF(plain_tests)];

    memcpy(tests, plain_tests, sizeof plain_tests);
    for (size_t i = 0; i < COUNT_OF(shelf_rows); i++)
        tests[COUNT_OF(plain_tests) + i] = (struct CMUnitTest){
            shelf_rows[i].name, check_shelf, NULL, NULL, (void *)(uintptr_t)&shelf_rows[i]};
    return cmocka_run_group_tests_name("rounds", tests, NULL, NULL);
}
