/* Measuring out: the ways and their errors, cans that add up on paper, lists of bags. */
#include "support/cmocka_all.h"

#include <math.h>
#include <stdlib.h>

#include "model/measure.h"
#include "support/close.h"

#define N(rows)   (sizeof(rows) / sizeof(rows)[0])
#define UNTOUCHED (-99.0)
#define P(dose, count, pour, dissolves)                                                            \
    {                                                                                              \
        .dose_g = dose, .bags = count, .pour_l = pour, .dissolves_g_per_l = dissolves              \
    }

static const bd_measure_rules rules = {
    .good_error = 0.05, .most_error = 0.10, .least_steps = 20, .bottle_error = 0.01};

/* Drawers.  A scoop of 5.65..5.75 g was weighed, one of 4.5..6.5 g guessed from a density. */
static const bd_tools kitchen_scale = {.scale_step_g = 1};
static const bd_tools scale_and_jug = {.scale_step_g = 1, .jug_step_l = 0.1};
static const bd_tools all_four = {
    .scale_step_g = 1, .jug_step_l = 0.1, .bottle_l = 1, .syringe_step_ml = 1};
static const bd_tools jug_and_syringe = {.jug_step_l = 0.1, .syringe_step_ml = 1};
static const bd_tools scale_and_syringe = {.scale_step_g = 1, .bottle_l = 1, .syringe_step_ml = 1};
static const bd_tools weighed_scoop = {.scoop_g = {5.65, 5.70, 5.75}, .scoop_step = 1};
static const bd_tools guessed_scoop = {.scoop_g = {4.5, 5.5, 6.5}, .scoop_step = 1};
/* a US teaspoon, struck off within 5 %, of what lies at 0.72..1.2 kg/L */
static const bd_tools spoon_of_a_label = {.scale_step_g = 1,
                                          .scoop_g = {3.37, 4.73, 6.21},
                                          .scoop_step = 0.25,
                                          .scoop_ml = 4.92892,
                                          .level_error = 0.05};
static const bd_tools half_cap = {.scoop_g = {5.9, 6.0, 6.1}, .scoop_step = 0.5};
static const bd_tools fine_scale = {.scale_step_g = 0.1, .jug_step_l = 0.1};
static const bd_tools nothing = {0};

static const struct row {
    const char *name;
    const bd_tools *tools;
    bd_portion portion; /* dose, bags, pour, dissolves */
    bd_way way;
    bd_obstacle obstacle;
    double weigh_g, amount; /* amount: L poured, mL of stock or liquid, scoops */
    double error, tolerance;
    const char *source;
} rows[] = {
    {"each/4_g_by_1_g", &kitchen_scale, P(4, 24, 0, 0), BD_WEIGH_EACH, BD_OBSTACLE_NONE, 4, 0,
     0.125, 1e-9, "half a step in 4"},
    {"each/20_steps_is_within_5_percent", &kitchen_scale, P(20.499, 1, 0, 0), BD_WEIGH_EACH,
     BD_OBSTACLE_NONE, 20, 0, 0.0487, 5e-5, "0.499 rounding and 0.5 reading in 20.499"},
    {"each/rounds_up", &kitchen_scale, P(3.6, 1, 0, 0), BD_WEIGH_EACH, BD_OBSTACLE_NONE, 4, 0, 0.25,
     1e-9, "0.4 and 0.5 in 3.6"},
    {"each/below_half_a_step", &kitchen_scale, P(0.4, 30, 0, 0), BD_WEIGH_EACH,
     BD_OBSTACLE_TOO_SMALL, 0, 0, 0, 0, "never finer than the tool"},
    {"each/fine_scale", &fine_scale, P(0.4, 30, 0, 0), BD_WEIGH_EACH, BD_OBSTACLE_NONE, 0.4, 0,
     0.125, 1e-9, "0.05 in 0.4"},
    {"each/no_scale", &weighed_scoop, P(4, 24, 0, 0), BD_WEIGH_EACH, BD_OBSTACLE_NO_TOOL, 0, 0, 0,
     0, "-"},
    {"all/96_g_in_36_l", &scale_and_jug, P(4, 24, 1.5, 0), BD_WEIGH_ALL, BD_OBSTACLE_NONE, 96, 1.5,
     0.0387, 5e-5, "96.5/96 x 1.55/1.5"},
    {"all/pour_between_marks", &scale_and_jug, P(4, 24, 1.46, 0), BD_WEIGH_ALL, BD_OBSTACLE_NONE,
     96, 1.5, 0.0387, 5e-5, "1.46 L is poured as 1.5; all of them alike, so the dose stays"},
    {"all/given_dry", &scale_and_jug, P(4, 24, 0, 0), BD_WEIGH_ALL, BD_OBSTACLE_NO_TOOL, 0, 0, 0, 0,
     "nothing to share by"},
    {"all/no_jug", &kitchen_scale, P(4, 24, 1.5, 0), BD_WEIGH_ALL, BD_OBSTACLE_NO_TOOL, 0, 0, 0, 0,
     "-"},
    {"all/pour_below_the_marks", &scale_and_jug, P(4, 24, 0.04, 0), BD_WEIGH_ALL,
     BD_OBSTACLE_TOO_SMALL, 0, 0, 0, 0, "0.04 L by 0.1 L"},
    {"stock/24_bags_from_a_litre", &scale_and_syringe, P(4, 24, 0, 0), BD_STOCK_ML,
     BD_OBSTACLE_NONE, 98, 41, 0.0323, 5e-5,
     "low end: 97.5 x 40.5 / 1010 = 3.910; high: 98.5 x 41.5 / 990 = 4.129"},
    {"stock/20_steps_for_a_small_need", &scale_and_syringe, P(0.1, 10, 0, 0), BD_STOCK_ML,
     BD_OBSTACLE_NONE, 20, 5, 0.1389, 5e-5, "20.5 x 5.5 / 990 = 0.11389"},
    {"stock/too_strong", &scale_and_syringe, P(4, 24, 0, 97), BD_STOCK_ML, BD_OBSTACLE_TOO_STRONG,
     0, 0, 0, 0, "98 g/L over 97"},
    {"stock/just_dissolves", &scale_and_syringe, P(4, 24, 0, 98), BD_STOCK_ML, BD_OBSTACLE_NONE, 98,
     41, 0.0323, 5e-5, "on the limit is allowed"},
    {"stock/no_syringe", &kitchen_scale, P(4, 24, 0, 0), BD_STOCK_ML, BD_OBSTACLE_NO_TOOL, 0, 0, 0,
     0, "-"},
    {"stock/below_the_syringe", &scale_and_syringe, P(0.1, 5000, 0, 0), BD_STOCK_ML,
     BD_OBSTACLE_TOO_SMALL, 0, 0, 0, 0, "0.2 mL by 1 mL"},
    {"stock/stronger_for_little_room",
     &scale_and_syringe,
     {.dose_g = 0.95, .bags = 1, .room_l = 0.0198},
     BD_STOCK_ML,
     BD_OBSTACLE_NONE,
     50,
     19,
     0.04705,
     5e-5,
     "19 mL in 19.8; 50.5 x 19.5 / 990 = 0.99470 against 0.95, low end 49.5 x 18.5 / 1010 = "
     "0.90668"},
    {"stock/room_below_the_syringe",
     &scale_and_syringe,
     {.dose_g = 0.95, .bags = 1, .room_l = 0.0009},
     BD_STOCK_ML,
     BD_OBSTACLE_TOO_SMALL,
     0,
     0,
     0,
     0,
     "0.9 mL by 1 mL"},
    {"stock/too_strong_for_little_room",
     &scale_and_syringe,
     {.dose_g = 0.95, .bags = 1, .dissolves_g_per_l = 49, .room_l = 0.0198},
     BD_STOCK_ML,
     BD_OBSTACLE_TOO_STRONG,
     0,
     0,
     0,
     0,
     "50 g/L over 49"},
    {"stock/into_one_can_for_all", &all_four, P(0.0176, 10, 1, 0), BD_STOCK_CAN, BD_OBSTACLE_NONE,
     22, 8, 0.1525, 5e-5, "8 mL of 22 g/L in 10 L: 22.5/990 x 8.5/10 x 1.05 against 0.0176"},
    {"stock/into_cans_alike",
     &all_four,
     {.dose_g = 0.0176, .bags = 23, .pour_l = 1, .can_l = 10},
     BD_STOCK_CAN,
     BD_OBSTACLE_NONE,
     22,
     6,
     0.1757,
     5e-5,
     "2 mL in the last 3 L are read badly: three of 23/3 L, 21.5/1010 x 5.5/7.67 x 0.95"},
    {"stock/into_cans_and_half_a_one",
     &all_four,
     {.dose_g = 0.0176, .bags = 30, .pour_l = 1, .can_l = 20},
     BD_STOCK_CAN,
     BD_OBSTACLE_NONE,
     21,
     17,
     0.2308,
     5e-5,
     "17 mL in 20 L, 9 for 8.5 in 10 L: 21.5/990 x 9.5/10 x 1.05"},
    {"stock/into_a_can_not_where_a_bag_s_share_does", &all_four, P(4, 24, 1.5, 0), BD_STOCK_CAN,
     BD_OBSTACLE_NO_TOOL, 0, 0, 0, 0, "41 mL a bag"},
    {"stock/into_a_can_too_little", &all_four, P(0.0001, 10, 1, 0), BD_STOCK_CAN,
     BD_OBSTACLE_TOO_SMALL, 0, 0, 0, 0, "20 g in a litre and 0.05 mL"},
    {"stock/into_a_can_too_strong", &all_four, P(0.0176, 10, 1, 21), BD_STOCK_CAN,
     BD_OBSTACLE_TOO_STRONG, 0, 0, 0, 0, "22 g/L over 21"},
    {"liquid/20_ml",
     &scale_and_syringe,
     {.dose_g = 23, .bags = 1, .liquid_kg_per_l = 1.15},
     BD_ML_EACH,
     BD_OBSTACLE_NONE,
     0,
     20,
     0.025,
     1e-9,
     "half a mL in 20"},
    {"liquid/once_for_all",
     &jug_and_syringe,
     {.dose_g = 5, .bags = 10, .pour_l = 1, .liquid_kg_per_l = 1.15},
     BD_WEIGH_ALL,
     BD_OBSTACLE_NONE,
     49.45,
     1,
     0.0714,
     5e-5,
     "43 mL of 1.15 kg/L and no scale; 42.5 x 0.95 = 40.4 against 43.5"},
    {"liquid/less_than_half_a_mark",
     &scale_and_syringe,
     {.dose_g = 0.5, .bags = 1, .liquid_kg_per_l = 1.15},
     BD_ML_EACH,
     BD_OBSTACLE_TOO_SMALL,
     0,
     0,
     0,
     0,
     "0.43 mL by 1 mL"},
    {"liquid/a_solid_is_none",
     &scale_and_syringe,
     {.dose_g = 23, .bags = 1},
     BD_ML_EACH,
     BD_OBSTACLE_NO_TOOL,
     0,
     0,
     0,
     0,
     "-"},
    {"by_volume/weighed",
     &spoon_of_a_label,
     {.dose_g = 3.45, .bags = 8, .dose_ml = 3.6, .dose_low_g = 2.592, .dose_high_g = 4.32},
     BD_WEIGH_EACH,
     BD_OBSTACLE_NONE,
     3,
     0,
     0.4213,
     5e-5,
     "2.5 g where the volume weighs 4.32"},
    {"by_volume/spooned",
     &spoon_of_a_label,
     {.dose_g = 3.45, .bags = 8, .dose_ml = 3.6, .dose_low_g = 2.592, .dose_high_g = 4.32},
     BD_SCOOPS,
     BD_OBSTACLE_NONE,
     0,
     0.75,
     0.0782,
     5e-5,
     "0.75 x 4.92892 x 1.05 = 3.88152 mL against 3.6"},
    {"scoops/weighed", &weighed_scoop, P(17, 8, 0, 0), BD_SCOOPS, BD_OBSTACLE_NONE, 0, 3, 0.0147,
     5e-5, "3 x 5.75 = 17.25 against 17"},
    {"scoops/guessed", &guessed_scoop, P(11, 8, 0, 0), BD_SCOOPS, BD_OBSTACLE_NONE, 0, 2, 0.1818,
     5e-5, "2 x 6.5 = 13 against 11"},
    {"scoops/half_cap_steps", &half_cap, P(10.1, 120, 0, 0), BD_SCOOPS, BD_OBSTACLE_NONE, 0, 1.5,
     0.1238, 5e-5, "1.5 x 5.9 = 8.85 against 10.1"},
    {"scoops/less_than_half", &weighed_scoop, P(2.7, 8, 0, 0), BD_SCOOPS, BD_OBSTACLE_TOO_SMALL, 0,
     0, 0, 0, "level scoops are whole"},
    {"scoops/none", &kitchen_scale, P(2.7, 8, 0, 0), BD_SCOOPS, BD_OBSTACLE_NO_TOOL, 0, 0, 0, 0,
     "-"},
};

static double amount_of(const bd_way_plan *way, bd_way which)
{
    const double amounts[BD_WAY_COUNT] = {[BD_ML_EACH] = way->liquid_ml,
                                          [BD_WEIGH_ALL] = way->pour_l,
                                          [BD_STOCK_ML] = way->stock_ml,
                                          [BD_STOCK_CAN] = way->can_ml,
                                          [BD_SCOOPS] = way->scoops};

    return amounts[which];
}

static void check(void **state)
{
    const struct row *r = *state;
    bd_measure_plan plan;
    const bd_way_plan *way;

    assert_int_equal(bd_measure_ways(&r->portion, r->tools, &rules, &plan, NULL), BD_OK);
    way = &plan.ways[r->way];
    assert_int_equal(way->obstacle, r->obstacle);
    if (r->obstacle != BD_OBSTACLE_NONE)
        return;
    assert_close(way->weigh_g, r->weigh_g, 1e-9);
    assert_close(amount_of(way, r->way), r->amount, 1e-9);
    assert_close(way->error, r->error, r->tolerance);
    assert_true(way->given_g.low <= way->given_g.typical);
    assert_true(way->given_g.typical <= way->given_g.high);
}

static const struct {
    const char *name;
    bd_tools tools;
    bd_portion portion;
    bool has_best;
    bd_way best;
    bool is_too_coarse, is_below_scale;
} choices[] = {
    {"header_example",
     {.scale_step_g = 1, .jug_step_l = 0.1},
     P(4, 24, 1.5, 0),
     1,
     BD_WEIGH_ALL,
     0,
     1},
    {"plain_weighing_when_good",
     {.scale_step_g = 1, .jug_step_l = 0.1},
     P(40, 4, 1.5, 0),
     1,
     BD_WEIGH_EACH,
     0,
     0},
    {"first_good_way_before_a_better_one",
     {.scale_step_g = 1, .scoop_g = {39.9, 40, 40.1}, .scoop_step = 1},
     P(40, 4, 0, 0),
     1,
     BD_WEIGH_EACH,
     0,
     0},
    {"twenty_steps_are_not_below", {.scale_step_g = 0.1}, P(2, 4, 0, 0), 1, BD_WEIGH_EACH, 0, 0},
    {"under_twenty_steps_but_good", {.scale_step_g = 1}, P(12, 4, 0, 0), 1, BD_WEIGH_EACH, 0, 1},
    {"stock_when_dry",
     {.scale_step_g = 1, .bottle_l = 1, .syringe_step_ml = 1},
     P(4, 24, 0, 0),
     1,
     BD_STOCK_ML,
     0,
     1},
    {"scoop_beats_the_scale",
     {.scale_step_g = 5, .scoop_g = {5.65, 5.70, 5.75}, .scoop_step = 1},
     P(17, 8, 0, 0),
     1,
     BD_SCOOPS,
     0,
     1},
    {"spoon_for_a_rate_by_the_spoon",
     {.scale_step_g = 1,
      .scoop_g = {3.37, 4.73, 6.21},
      .scoop_step = 0.25,
      .scoop_ml = 4.92892,
      .level_error = 0.05},
     {.dose_g = 3.45, .bags = 8, .dose_ml = 3.6, .dose_low_g = 2.592, .dose_high_g = 4.32},
     1,
     BD_SCOOPS,
     0,
     1},
    {"smallest_error_when_none_is_good",
     {.scale_step_g = 1, .scoop_g = {4.5, 5.5, 6.5}, .scoop_step = 1},
     P(6, 8, 0, 0),
     1,
     BD_WEIGH_EACH,
     0,
     1},
    {"coarse_but_best", {.scale_step_g = 5}, P(6, 8, 0, 0), 1, BD_WEIGH_EACH, 1, 1},
    {"no_tools", {.scale_step_g = 0}, P(6, 8, 0, 0), 0, BD_WEIGH_EACH, 1, 0},
};

static void check_choices(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(choices); i++) {
        bd_measure_plan plan;

        print_message("  choice/%s\n", choices[i].name);
        assert_int_equal(
            bd_measure_ways(&choices[i].portion, &choices[i].tools, &rules, &plan, NULL), BD_OK);
        assert_int_equal(plan.has_best, choices[i].has_best);
        if (plan.has_best)
            assert_int_equal(plan.best, choices[i].best);
        assert_int_equal(plan.is_too_coarse, choices[i].is_too_coarse);
        assert_int_equal(plan.is_below_scale, choices[i].is_below_scale);
    }
}

static bool is_multiple(double x, double step)
{
    return fabs(x / step - round(x / step)) <= 1e-6;
}

/* Over a grid: amounts are whole steps, bounds hold the typical dose, the bottle lasts, and a way
 * out of tools is never the best. */
static void check_invariants(void **state)
{
    static const double doses[] = {0.03, 0.7, 1, 3.3333, 12, 61.7, 4000};
    static const double bags[] = {1, 3, 24, 311};
    static const double steps[] = {0.01, 0.1, 1, 5};

    (void)state;
    for (size_t d = 0; d < N(doses); d++) {
        for (size_t b = 0; b < N(bags); b++) {
            for (size_t s = 0; s < N(steps); s++) {
                bd_portion p = P(doses[d], bags[b], 1.37, 0);
                bd_tools t = {steps[s], 0.25, 2, 0.5, {4.5, 5.5, 6.5}, 1, 0, 0};
                bd_measure_plan plan;

                assert_int_equal(bd_measure_ways(&p, &t, &rules, &plan, NULL), BD_OK);
                for (int i = 0; i < BD_WAY_COUNT; i++) {
                    const bd_way_plan *w = &plan.ways[i];

                    if (w->obstacle != BD_OBSTACLE_NONE)
                        continue;
                    assert_true(is_multiple(w->weigh_g, steps[s]));
                    assert_true(is_multiple(w->pour_l, 0.25));
                    assert_true(is_multiple(w->stock_ml, 0.5));
                    assert_true(is_multiple(w->scoops, 1));
                    assert_true(w->stock_ml * p.bags <= 2000.0 + 1e-6);
                    assert_true(fabs(w->given_g.typical - p.dose_g) / p.dose_g <= w->error + 1e-12);
                    assert_true(plan.has_best);
                }
                assert_int_equal(plan.ways[plan.best].obstacle, BD_OBSTACLE_NONE);
            }
        }
    }
}

/* Whatever the bottle, a stock finds room and stays stronger than what it is thinned to. */
static void check_stock_finds_room(void **state)
{
    static const double finished_l[] = {0.03, 0.0792, 0.5, 10};
    static const double strengths[] = {0.5, 4, 10, 15};
    static const double bottles[] = {0.25, 1, 5};

    size_t taken = 0;

    (void)state;
    for (size_t f = 0; f < N(finished_l); f++)
        for (size_t s = 0; s < N(strengths); s++)
            for (size_t b = 0; b < N(bottles); b++) {
                bd_portion p = {.dose_g = strengths[s] * finished_l[f],
                                .bags = 1,
                                .room_l = 0.5 * finished_l[f]};
                bd_tools t = {.scale_step_g = 1, .bottle_l = bottles[b], .syringe_step_ml = 1};
                bd_measure_plan plan;
                const bd_way_plan *w = &plan.ways[BD_STOCK_ML];

                assert_int_equal(bd_measure_ways(&p, &t, &rules, &plan, NULL), BD_OK);
                if (w->obstacle == BD_OBSTACLE_TOO_SMALL) /* 0.015 g of 80 g/L */
                    continue;
                taken++;
                assert_int_equal(w->obstacle, BD_OBSTACLE_NONE);
                assert_true(w->stock_ml <= 500.0 * finished_l[f] + 1e-9);
                assert_true(w->weigh_g / bottles[b] > strengths[s]);
            }
    assert_int_equal(taken, 45);
}

/* 12 bags of 6 g into 0.1 L and 30 of 2.9 g into 0.05 L, half of each for the stock: 25 mL for the
 * small ones would be 52 for the others, which have room for 50. */
static void check_list_finds_room(void **state)
{
    const bd_portion list[] = {{.dose_g = 6, .bags = 12, .room_l = 0.05},
                               {.dose_g = 2.9, .bags = 30, .room_l = 0.025}};
    bd_measure_plan plans[N(list)];
    bd_tools t = {.scale_step_g = 1, .bottle_l = 5, .syringe_step_ml = 1};

    (void)state;
    assert_int_equal(bd_measure_list(list, N(list), &t, &rules, plans, NULL), BD_OK);
    for (size_t i = 0; i < N(list); i++) {
        assert_int_equal(plans[i].ways[BD_STOCK_ML].obstacle, BD_OBSTACLE_NONE);
        assert_true(plans[i].ways[BD_STOCK_ML].stock_ml <= 1000.0 * list[i].room_l + 1e-9);
    }
    assert_close(plans[0].ways[BD_STOCK_ML].stock_ml, 50, 1e-9);
    assert_close(plans[1].ways[BD_STOCK_ML].stock_ml, 24, 1e-9);
}

/* 5 mL of the small dose would be 9.6, rounded 10, of the other, which has room for 9.7. */
static void check_rounding_up_finds_room(void **state)
{
    const bd_portion list[] = {{.dose_g = 5, .bags = 2},
                               {.dose_g = 9.6, .bags = 2, .room_l = 0.0097}};
    bd_measure_plan plans[N(list)];
    bd_tools t = {.scale_step_g = 1, .bottle_l = 5, .syringe_step_ml = 1};

    (void)state;
    assert_int_equal(bd_measure_list(list, N(list), &t, &rules, plans, NULL), BD_OK);
    assert_close(plans[0].ways[BD_STOCK_ML].stock_ml, 4, 1e-9);
    assert_close(plans[1].ways[BD_STOCK_ML].stock_ml, 8, 1e-9);
}

static void check_cans_of_a_bag(void **state)
{
    (void)state;
    assert_close(bd_cans_error_of_bag(0.03125, 1.5, 0.1), 1.03125 * 1.55 / 1.5 - 1.0, 1e-9);
    assert_close(bd_cans_error_of_bag(0, 1.33, 0.1), 0.08 / 1.33, 1e-9);
}

static void check_bad_plans(void **state)
{
    const double nan = (double)NAN;
    const bd_portion good = P(4, 24, 1.5, 0);
    const bd_portion portions[] = {P(0, 24, 1.5, 0),   P(nan, 24, 1.5, 0), P(4, 0, 1.5, 0),
                                   P(4, 2.5, 1.5, 0),  P(4, nan, 1.5, 0),  P(4, 24, -1, 0),
                                   P(4, 24, 1.5, nan), P(4, 2e6, 1.5, 0)};
    const bd_tools tools[] = {{.scale_step_g = -1},
                              {.jug_step_l = nan},
                              {.bottle_l = (double)INFINITY},
                              {.scoop_g = {1, 2, 3}, .scoop_step = 0},
                              {.scoop_g = {1, 2, 3}, .scoop_step = 2}};
    const bd_tools upside_down = {.scoop_g = {3, 2, 1}, .scoop_step = 1};
    bd_measure_rules turned = rules;
    bd_measure_plan plan = {.best = BD_SCOOPS};
    bd_error err = {0};

    (void)state;
    for (size_t i = 0; i < N(portions); i++)
        assert_int_equal(bd_measure_ways(&portions[i], &nothing, &rules, &plan, NULL), BD_RANGE);
    for (size_t i = 0; i < N(tools); i++)
        assert_int_equal(bd_measure_ways(&good, &tools[i], &rules, &plan, NULL), BD_RANGE);
    turned.most_error = 0.01;
    assert_int_equal(bd_measure_ways(&good, &nothing, &turned, &plan, NULL), BD_RANGE);
    assert_int_equal(bd_measure_ways(&good, &upside_down, &rules, &plan, &err), BD_CONFLICT);
    assert_int_equal(err.status, BD_CONFLICT);
    assert_int_equal(plan.best, BD_SCOOPS);
}

static void check_scoops(void **state)
{
    bd_range got = {UNTOUCHED, UNTOUCHED, UNTOUCHED};

    (void)state;
    assert_int_equal(bd_scoop_by_density(5, bd_range_of(1.3, 1.1, 0.9), 0.05, &got, NULL),
                     BD_CONFLICT);
    assert_int_equal(bd_scoop_by_density(5, bd_exactly(900), 0.05, &got, NULL), BD_RANGE);
    assert_int_equal(bd_scoop_by_density((double)NAN, bd_exactly(1), 0.05, &got, NULL), BD_RANGE);
    assert_int_equal(bd_scoop_by_weighing(10, 0.5, 1, 0, &got, NULL), BD_RANGE);
    assert_int_equal(bd_scoop_by_weighing(0, 57, 1, 0, &got, NULL), BD_RANGE);
    assert_close(got.low, UNTOUCHED, 0.0);
    assert_int_equal(bd_scoop_by_weighing(10, 57, 1, 0, &got, NULL), BD_OK);
    assert_close(got.low, 5.65, 1e-9);
    assert_close(got.typical, 5.70, 1e-9);
    assert_close(got.high, 5.75, 1e-9);
    assert_int_equal(bd_scoop_by_density(5, bd_range_of(0.9, 1.1, 1.3), 0.05, &got, NULL), BD_OK);
    assert_close(got.low, 4.275, 1e-9);
    assert_close(got.typical, 5.5, 1e-9);
    assert_close(got.high, 6.825, 1e-9);
}

/* 57 g of 10 scoops of 5 mL lie at 1.14 kg/L, half a gram on the scale and a level error aside. */
static void check_bulk(void **state)
{
    bd_range got = {UNTOUCHED, UNTOUCHED, UNTOUCHED};

    (void)state;
    assert_int_equal(bd_bulk_by_weighing(10, 57, 1, 0, 0, &got, NULL), BD_RANGE);
    assert_int_equal(bd_bulk_by_weighing(10, 57, 1, 0, (double)NAN, &got, NULL), BD_RANGE);
    assert_int_equal(bd_bulk_by_weighing(0, 57, 1, 0, 5, &got, NULL), BD_RANGE);
    assert_int_equal(bd_bulk_by_weighing(10, 57, 1, 0, 237, &got, NULL), BD_RANGE); /* no cup */
    assert_int_equal(bd_bulk_by_weighing(10, 57, 1, 0, 1, &got, NULL), BD_RANGE);
    assert_close(got.low, UNTOUCHED, 0.0);
    assert_int_equal(bd_bulk_by_weighing(10, 57, 1, 0, 5, &got, NULL), BD_OK);
    assert_close(got.low, 1.13, 1e-9);
    assert_close(got.typical, 1.14, 1e-9);
    assert_close(got.high, 1.15, 1e-9);
    assert_int_equal(bd_bulk_by_weighing(10, 57, 1, 0.1, 5, &got, NULL), BD_OK);
    assert_close(got.low, 1.017, 1e-9);
    assert_close(got.high, 1.265, 1e-9);
}

static const struct {
    const char *name;
    double strength, total_l, can_l, step_g;
    bd_status status;
    double full, full_l, full_g, last_l, last_g, sum_g, error;
    bool is_even, is_below_step;
} cans[] = {
    {"school_garden", 4 / 1.5, 36, 10, 1, BD_OK, 3, 10, 27, 6, 16, 97, 0.03125, 0, 0},
    {"no_partial_can", 4, 30, 10, 1, BD_OK, 3, 10, 40, 0, 0, 120, 0.0125, 0, 0},
    {"one_can_not_full", 4, 6, 10, 1, BD_OK, 0, 0, 0, 6, 24, 24, 0.5 / 24, 0, 0},
    {"last_under_a_step_so_even", 2, 30.2, 10, 1, BD_OK, 4, 7.55, 15, 0, 0, 60, 0.6 / 15.1, 1, 0},
    {"nothing_to_weigh", 0.01, 36, 10, 1, BD_OK, 4, 9, 0, 0, 0, 0, 1, 1, 1},
    {"nothing_to_weigh_in_one", 0.01, 6, 10, 1, BD_OK, 0, 0, 0, 6, 0, 0, 1, 0, 1},
    {"tenths", 2.667, 36, 10, 0.1, BD_OK, 3, 10, 26.7, 6, 16, 96.1, 0.0032, 0, 0},
    {"no_can", 4, 30, 0, 1, BD_RANGE, 0, 0, 0, 0, 0, 0, 0, 0, 0},
    {"too_many_cans", 4, 1e8, 10, 1, BD_RANGE, 0, 0, 0, 0, 0, 0, 0, 0, 0},
    {"no_scale", 4, 30, 10, 0, BD_RANGE, 0, 0, 0, 0, 0, 0, 0, 0, 0},
    {"nan", (double)NAN, 30, 10, 1, BD_RANGE, 0, 0, 0, 0, 0, 0, 0, 0, 0},
};

static void check_cans(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(cans); i++) {
        bd_cans got = {.sum_g = UNTOUCHED};
        bd_error err = {0};

        print_message("  cans/%s\n", cans[i].name);
        assert_int_equal(bd_cans_fill(cans[i].strength, cans[i].total_l, cans[i].can_l,
                                      cans[i].step_g, &got, &err),
                         cans[i].status);
        assert_int_equal(err.status, cans[i].status);
        if (cans[i].status != BD_OK) {
            assert_close(got.sum_g, UNTOUCHED, 0.0);
            continue;
        }
        assert_close(got.full, cans[i].full, 0.0);
        assert_close(got.full_l, cans[i].full_l, 1e-9);
        assert_close(got.full_g, cans[i].full_g, 1e-9);
        assert_close(got.last_l, cans[i].last_l, 1e-9);
        assert_close(got.last_g, cans[i].last_g, 1e-9);
        assert_close(got.sum_g, cans[i].sum_g, 1e-9);
        assert_close(got.sum_l, cans[i].total_l, 1e-9);
        assert_close(got.exact_g, cans[i].strength * cans[i].total_l, 1e-9);
        assert_close(got.error, cans[i].error, 5e-5);
        assert_int_equal(got.is_even, cans[i].is_even);
        assert_int_equal(got.is_below_step, cans[i].is_below_step);
    }
}

static void check_one_feed_for_two_kinds(void **state)
{
    const bd_feed_group list[] = {{12, 6, 1.5}, {30, 4, 1}};
    bd_group_share shares[N(list)];
    bd_group_sum sum;

    (void)state;
    assert_int_equal(bd_groups_measure(list, N(list), 10, 1, shares, &sum, NULL), BD_OK);
    assert_close(shares[0].sum_g, 72, 1e-9);
    assert_close(shares[1].sum_g, 120, 1e-9);
    assert_close(sum.bags_g, 192, 1e-9);
    assert_close(sum.bags, 42, 0.0);
    assert_true(sum.is_one_feed);
    assert_close(sum.together.full, 4, 0.0);
    assert_close(sum.together.full_g, 40, 1e-9);
    assert_close(sum.together.last_l, 8, 1e-9);
    assert_close(sum.together.last_g, 32, 1e-9);
}

/* Each foot is the sum of the rounded lines above it. */
static void check_sums_add_up(void **state)
{
    const bd_feed_group list[] = {{7, 5.4, 1.3}, {11, 3.3, 1}, {5, 2.6, 0}};
    bd_group_share shares[N(list)];
    bd_group_sum sum;
    double bags_g = 0.0, cans_g = 0.0;

    (void)state;
    assert_int_equal(bd_groups_measure(list, N(list), 10, 1, shares, &sum, NULL), BD_OK);
    assert_false(sum.is_one_feed);
    for (size_t i = 0; i < N(list); i++) {
        assert_close(shares[i].bag_g, round(list[i].dose_g), 1e-9);
        assert_int_equal(shares[i].has_cans, i < 2);
        bags_g += list[i].bags * shares[i].bag_g;
        if (shares[i].has_cans)
            cans_g += shares[i].cans.full * shares[i].cans.full_g + shares[i].cans.last_g;
    }
    assert_close(sum.bags_g, bags_g, 1e-9);
    assert_close(sum.bags_g, 7 * 5 + 11 * 3 + 5 * 3, 1e-9);
    assert_close(sum.cans_g, cans_g, 1e-9);
    assert_close(sum.exact_g, 7 * 5.4 + 11 * 3.3 + 5 * 2.6, 1e-9);
}

static void check_two_strengths_are_two_feeds(void **state)
{
    const bd_feed_group list[] = {{12, 6, 1.5}, {30, 4.1, 1}};
    bd_group_share shares[N(list)];
    bd_group_sum sum;

    (void)state;
    assert_int_equal(bd_groups_measure(list, N(list), 10, 1, shares, &sum, NULL), BD_OK);
    assert_false(sum.is_one_feed);
}

/* ---- kinds of bags measured out in one way ----------------------------------- */

/* By hand: 12 x 6 + 30 x 3 = 162 g; 3 g is 18 mL of a bottle of 162 g, 18 mL for 3 g ask for 166.7
 * g, so 167; 6 g are then 35.9 mL. */
static void check_one_bottle_for_two_kinds(void **state)
{
    const bd_portion list[] = {P(6, 12, 0, 0), P(3, 30, 0, 0)};
    bd_measure_plan plans[N(list)];

    (void)state;
    assert_int_equal(bd_measure_list(list, N(list), &scale_and_syringe, &rules, plans, NULL),
                     BD_OK);
    for (size_t i = 0; i < N(list); i++)
        assert_close(plans[i].ways[BD_STOCK_ML].weigh_g, 167, 1e-9);
    assert_close(plans[0].ways[BD_STOCK_ML].stock_ml, 36, 1e-9);
    assert_close(plans[1].ways[BD_STOCK_ML].stock_ml, 18, 1e-9);
}

/* By hand: 12 x 6 + 30 x 4 = 192 g in 12 x 1.5 + 30 x 1 = 48 L. */
static void check_one_can_for_one_strength(void **state)
{
    const bd_portion alike[] = {P(6, 12, 1.5, 0), P(4, 30, 1, 0)};
    const bd_portion apart[] = {P(6, 12, 1.5, 0), P(4.1, 30, 1, 0)};
    bd_measure_plan plans[N(alike)];

    (void)state;
    assert_int_equal(bd_measure_list(alike, N(alike), &scale_and_jug, &rules, plans, NULL), BD_OK);
    assert_close(plans[1].ways[BD_WEIGH_ALL].weigh_g, 192, 1e-9);
    assert_close(plans[1].ways[BD_WEIGH_ALL].all_l, 48, 1e-9);
    assert_close(plans[1].ways[BD_WEIGH_ALL].pour_l, 1, 1e-9);
    assert_int_equal(bd_measure_list(apart, N(apart), &scale_and_jug, &rules, plans, NULL), BD_OK);
    assert_int_equal(plans[0].ways[BD_WEIGH_ALL].obstacle, BD_OBSTACLE_NO_TOOL);
}

/* 25 g can be weighed and 0.4 g cannot. */
static void check_one_kind_hinders_the_list(void **state)
{
    const bd_portion list[] = {P(25, 12, 0, 0), P(0.4, 30, 0, 0)};
    bd_measure_plan plans[N(list)];

    (void)state;
    assert_int_equal(bd_measure_list(list, N(list), &kitchen_scale, &rules, plans, NULL), BD_OK);
    for (size_t i = 0; i < N(list); i++) {
        assert_int_equal(plans[i].ways[BD_WEIGH_EACH].obstacle, BD_OBSTACLE_TOO_SMALL);
        assert_false(plans[i].has_best);
    }
    assert_false(plans[0].is_below_scale);
    assert_true(plans[1].is_below_scale);
    assert_int_equal(bd_measure_list(list, 0, &kitchen_scale, &rules, plans, NULL), BD_MISSING);
}

static double chance(double low, double high)
{
    return low + (high - low) * ((double)rand() / (double)RAND_MAX);
}

/* Any kinds: the bottle lasts, every way is the same for all, and what a bag really gets is within
 * the error that is told. */
static void check_random_lists(void **state)
{
    enum { MOST = 8, TRIES = 2000 };

    (void)state;
    srand(7);
    for (int n = 0; n < TRIES; n++) {
        bd_tools tools = {chance(0.01, 2), 0.1, chance(0.2, 5), chance(0.1, 5), {0, 0, 0}, 1, 0, 0};
        bd_portion list[MOST];
        bd_measure_plan plans[MOST];
        size_t count = 1 + (size_t)(rand() % MOST);
        double all_ml = 0.0;

        for (size_t i = 0; i < count; i++)
            list[i] = (bd_portion)P(chance(0.05, 30), floor(chance(1, 60)), 0, 0);
        assert_int_equal(bd_measure_list(list, count, &tools, &rules, plans, NULL), BD_OK);
        for (size_t i = 0; i < count; i++) {
            const bd_way_plan *way = &plans[i].ways[BD_STOCK_ML];

            assert_int_equal(plans[i].has_best, plans[0].has_best);
            assert_int_equal(plans[i].best, plans[0].best);
            for (int w = 0; w < BD_WAY_COUNT; w++)
                assert_int_equal(plans[i].ways[w].obstacle, plans[0].ways[w].obstacle);
            if (way->obstacle != BD_OBSTACLE_NONE)
                continue;
            all_ml += way->stock_ml * list[i].bags;
            assert_close(way->weigh_g, plans[0].ways[BD_STOCK_ML].weigh_g, 0.0);
            assert_true(fabs(way->given_g.typical - list[i].dose_g) <=
                        way->error * list[i].dose_g * (1 + 1e-9));
            assert_true(way->error <= bd_measure_worst(plans, count, BD_STOCK_ML));
        }
        assert_true(all_ml <= 1000 * tools.bottle_l * (1 + 1e-6));
    }
}

/* The list of bags re-adds to its last digit, whatever the kinds. */
static void check_random_sums_add_up(void **state)
{
    enum { MOST = 8, TRIES = 2000 };

    (void)state;
    srand(11);
    for (int n = 0; n < TRIES; n++) {
        double step = pow(10, floor(chance(-3, 1))), sum_g = 0.0, room_g = 0.0;
        bd_feed_group list[MOST];
        bd_group_share shares[MOST];
        bd_group_sum sum;
        size_t count = 1 + (size_t)(rand() % MOST);

        for (size_t i = 0; i < count; i++)
            list[i] = (bd_feed_group){floor(chance(1, 200)), chance(0.001, 50), 0};
        assert_int_equal(bd_groups_measure(list, count, 0, step, shares, &sum, NULL), BD_OK);
        for (size_t i = 0; i < count; i++) {
            double steps = shares[i].bag_g / step;

            assert_close(steps, round(steps), 1e-6);
            assert_close(shares[i].sum_g, list[i].bags * shares[i].bag_g, 1e-9);
            sum_g += shares[i].sum_g;
            room_g += 0.5 * step * list[i].bags;
        }
        assert_close(sum.bags_g, sum_g, 1e-9);
        assert_true(fabs(sum.bags_g - sum.exact_g) <= room_g * (1 + 1e-9));
    }
}

static void check_bad_lists(void **state)
{
    const bd_feed_group wet[] = {{12, 6, 1.5}, {30, 4, 1}}, dry[] = {{12, 6, 0}};
    const bd_feed_group bad[] = {{12, 6, 1.5}, {30, (double)NAN, 1}}, part[] = {{1.5, 6, 0}};
    bd_group_share shares[2] = {{.bag_g = UNTOUCHED}, {.bag_g = UNTOUCHED}};
    bd_group_sum sum = {.bags = UNTOUCHED};

    (void)state;
    assert_int_equal(bd_groups_measure(wet, 0, 10, 1, shares, &sum, NULL), BD_MISSING);
    assert_int_equal(bd_groups_measure(wet, 2, 0, 1, shares, &sum, NULL), BD_MISSING);
    assert_int_equal(bd_groups_measure(bad, 2, 10, 1, shares, &sum, NULL), BD_RANGE);
    assert_int_equal(bd_groups_measure(part, 1, 0, 1, shares, &sum, NULL), BD_RANGE);
    assert_int_equal(bd_groups_measure(wet, 2, 1e-6, 1, shares, &sum, NULL), BD_RANGE);
    assert_close(shares[0].bag_g, UNTOUCHED, 0.0);
    assert_close(sum.bags, UNTOUCHED, 0.0);
    assert_int_equal(bd_groups_measure(dry, 1, 0, 1, shares, &sum, NULL), BD_OK);
    assert_false(sum.is_one_feed);
    assert_close(sum.bags_g, 72, 1e-9);
}

int main(void)
{
    const struct CMUnitTest others[] = {
        cmocka_unit_test(check_choices),
        cmocka_unit_test(check_invariants),
        cmocka_unit_test(check_stock_finds_room),
        cmocka_unit_test(check_list_finds_room),
        cmocka_unit_test(check_rounding_up_finds_room),
        cmocka_unit_test(check_cans_of_a_bag),
        cmocka_unit_test(check_bad_plans),
        cmocka_unit_test(check_scoops),
        cmocka_unit_test(check_bulk),
        cmocka_unit_test(check_cans),
        cmocka_unit_test(check_one_feed_for_two_kinds),
        cmocka_unit_test(check_sums_add_up),
        cmocka_unit_test(check_two_strengths_are_two_feeds),
        cmocka_unit_test(check_bad_lists),
        cmocka_unit_test(check_one_bottle_for_two_kinds),
        cmocka_unit_test(check_one_can_for_one_strength),
        cmocka_unit_test(check_one_kind_hinders_the_list),
        cmocka_unit_test(check_random_lists),
        cmocka_unit_test(check_random_sums_add_up),
    };
    struct CMUnitTest tests[N(rows) + N(others)];

    for (size_t i = 0; i < N(rows); i++)
        tests[i] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    for (size_t i = 0; i < N(others); i++)
        tests[N(rows) + i] = others[i];
    return cmocka_run_group_tests(tests, NULL, NULL);
}
