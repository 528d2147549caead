/*
 * Bags of several kinds in one dressing, brew or tank, from the command's words to the card:
 * each kind as if alone, one list that re-adds, one verdict.
 */
#include "support/cmocka_all.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "job/job.h"
#include "request/groups.h"
#include "support/close.h"

enum { MOST_WORDS = 48, WORD = 48, RANDOM_LISTS = 60 };

static bd_knowledge know;
static bd_request request; /* large; every reading starts it afresh */

#define LARGE    "--bag-size", "round 45cm x 50L", "--bags", "12"
#define SMALL    "--bag-size", "20L x 30cm", "--bags", "30"
#define SULFATE  "--material", "potassium-sulfate", "--analysis", "0-0-50", "--crop", "beetroot"
#define END_WORD NULL

static void run_job(bd_job job, const char *const words[], bd_card *card)
{
    bd_error err = {0};
    int count = 0;

    while (words[count] != NULL)
        count++;
    if (bd_request_read(job, count, (char *const *)words, &request, &err) != BD_OK ||
        bd_job_run(&know, &request, card, &err) != BD_OK)
        fail_msg("%s: %s; %s", err.where, err.text, err.accepts);
}

static void run_words(const char *const words[], bd_card *card)
{
    run_job(BD_JOB_SIDEDRESS, words, card);
}

static double figure(const bd_card *card, const char *id)
{
    const bd_figure *f = bd_card_get(card, id);

    if (f == NULL)
        fail_msg("no figure '%s'", id);
    return f == NULL ? 0.0 : f->value.typical;
}

static const bd_table *table(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->table_count; i++)
        if (strcmp(card->tables[i].id, id) == 0)
            return &card->tables[i];
    return NULL;
}

/* The column of a table; its column_count when there is none. */
static size_t column(const bd_table *t, const char *id)
{
    size_t i = 0;

    while (i < t->column_count && strcmp(t->columns[i].id, id) != 0)
        i++;
    return i;
}

static double cell(const bd_table *t, size_t row, size_t at)
{
    return t->cells[row * t->column_count + at].number;
}

/* ---- each kind as if alone --------------------------------------------------------- */

static void each_kind_is_as_if_alone(void **state)
{
    static const char *const both[] = {SULFATE, "--target", "K2O 6 g/m2", LARGE, SMALL, END_WORD};
    static const char *const large[] = {SULFATE, "--target", "K2O 6 g/m2", LARGE, END_WORD};
    static const char *const small[] = {SULFATE, "--target", "K2O 6 g/m2", SMALL, END_WORD};
    static const char *const ids[] = {"bag.area",      "bag.volume",     "bag.plants",
                                      "soil.ece_peak", "yield.relative", "nutrient.K2O.per_bag"};
    bd_card all, a, b;
    char id[64];

    (void)state;
    run_words(both, &all);
    run_words(large, &a);
    run_words(small, &b);
    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++) {
        if (fabs(figure(&a, ids[i]) - figure(&b, ids[i])) <= 0.0) {
            assert_close(figure(&all, ids[i]), figure(&a, ids[i]), 0.0);
            continue;
        }
        (void)snprintf(id, sizeof id, "%s.A", ids[i]);
        assert_close(figure(&all, id), figure(&a, ids[i]), 0.0);
        (void)snprintf(id, sizeof id, "%s.B", ids[i]);
        assert_close(figure(&all, id), figure(&b, ids[i]), 0.0);
    }
    assert_close(figure(&all, "product.total"),
                 figure(&a, "product.total") + figure(&b, "product.total"), 1e-9);
    assert_null(bd_card_get(&all, "product.per_bag"));
    assert_int_equal(bd_card_verdict(&all), bd_card_verdict(&a) > bd_card_verdict(&b)
                                                ? bd_card_verdict(&a)
                                                : bd_card_verdict(&b));
    bd_card_clear(&all);
    bd_card_clear(&a);
    bd_card_clear(&b);
}

static void what_all_get_keeps_its_figure(void **state)
{
    static const char *const words[] = {SULFATE, "--target", "product 1 g/bag",
                                        LARGE,   SMALL,      END_WORD};
    bd_card card;

    (void)state;
    run_words(words, &card);
    assert_close(figure(&card, "product.per_bag"), 1, 1e-12);
    assert_close(figure(&card, "product.total"), 42, 1e-9);
    bd_card_clear(&card);
}

/* 10 g are well for a large bag and far too much for 0.025 m2 of a small one. */
static void a_stop_for_one_stops_all(void **state)
{
    static const char *const words[] = {
        "--material", "potassium-nitrate", "--crop",    "bush-bean", "--target", "product 5 g/bag",
        LARGE,        "--bag-size",        "5L x 20cm", "--bags",    "30",       END_WORD};
    bd_card card;

    (void)state;
    run_words(words, &card);
    assert_int_equal(bd_card_verdict(&card), BD_STOP);
    assert_null(table(&card, "groups"));
    assert_null(bd_card_get(&card, "product.total"));
    assert_null(bd_card_get(&card, "product.per_bag"));
    assert_null(bd_card_get(&card, "measure.weigh"));
    assert_true(figure(&card, "product.per_bag.A.permitted") <= 5.0 + 1e-9);
    assert_true(figure(&card, "product.per_bag.A.permitted") > 1.0);
    assert_true(figure(&card, "product.per_bag.B.usual") <= 0.5 + 1e-9); /* 20 g/m2 */
    assert_true(figure(&card, "product.per_bag.B.permitted") < 5.0);
    assert_true(figure(&card, "product.per_bag.B.permitted") > 0.5);
    for (size_t i = 0; i < card.finding_count; i++)
        if (card.findings[i].level == BD_STOP) {
            assert_non_null(card.findings[i].line.about);
            assert_string_equal(card.findings[i].line.about->args[0].text, "B");
        }
    bd_card_clear(&card);
}

/* ---- one list ------------------------------------------------------------------------ */

/* By hand: 1.2 g in 1.5 L and 0.8 g in 1 L are 0.8 g/L; 18 L and 30 L are four cans of 8 g and one
 * of 6.4 g in 8 L, which the scale shows as 6 g. */
static void one_feed_is_mixed_together(void **state)
{
    static const char *const words[] = {SULFATE,      "--target",   "product 0.8 g/L",
                                        "--bag-size", "60L x 30cm", "--bags",
                                        "12",         "--bag-size", "40L x 30cm",
                                        "--bags",     "30",         "--per-bag",
                                        "1.5L",       "--per-bag",  "1L",
                                        "--can",      "10L",        END_WORD};
    const bd_table *t;
    bd_card card;

    (void)state;
    run_words(words, &card);
    assert_close(figure(&card, "measure.can"), 8, 1e-9);
    assert_close(figure(&card, "measure.last_can"), 6, 1e-9);
    assert_close(figure(&card, "feed.volume_total"), 48, 1e-9);
    t = table(&card, "groups");
    assert_non_null(t);
    assert_close(cell(t, 0, column(t, "bags_a_can")), 6, 0.0);
    assert_close(cell(t, 1, column(t, "bags_a_can")), 10, 0.0);
    bd_card_clear(&card);
}

static void two_feeds_have_cans_of_their_own(void **state)
{
    static const char *const words[] = {SULFATE,     "--target", "K2O 6 g/m2", LARGE, SMALL,
                                        "--per-bag", "1.5L",     "--can",      "10L", END_WORD};
    const bd_table *t;
    double sum_g = 0.0;
    size_t grams, last;
    bd_card card;

    (void)state;
    run_words(words, &card);
    assert_null(bd_card_get(&card, "measure.can"));
    t = table(&card, "cans");
    assert_non_null(t);
    grams = column(t, "grams_total");
    last = t->cell_count / t->column_count - 1;
    assert_int_equal(column(t, "bags_of"), 0);
    for (size_t row = 0; row < last; row++)
        sum_g += cell(t, row, grams);
    assert_close(cell(t, last, grams), sum_g, 1e-9);
    bd_card_clear(&card);
}

static void totals_add_up(const bd_table *t, const char *each_id, const char *total_id)
{
    size_t bags = column(t, "bags"), each = column(t, each_id), total = column(t, total_id);
    size_t last = t->cell_count / t->column_count - 1;
    double sum = 0.0;

    if (total == t->column_count)
        return;
    for (size_t row = 0; row < last; row++) {
        assert_close(cell(t, row, total), cell(t, row, bags) * cell(t, row, each), 1e-9);
        sum += cell(t, row, total);
    }
    assert_close(cell(t, last, total), sum, 1e-9);
}

static double chance(double low, double high)
{
    return low + (high - low) * ((double)rand() / (double)RAND_MAX);
}

/* Kinds as they come: whatever is added up on the list adds up, and the grams are the dose. */
static void random_lists_add_up(void **state)
{
    (void)state;
    srand(3);
    for (int n = 0; n < RANDOM_LISTS; n++) {
        char text[MOST_WORDS][WORD];
        const char *words[MOST_WORDS] = {"--material", "potassium-sulfate", "--target",
                                         "K2O 2 g/m2", "--scale-step"};
        int count = 6, kinds = 2 + rand() % 5;
        const bd_table *t;
        bd_card card;
        double total;

        (void)snprintf(text[5], WORD, "%.2fg", n % 3 == 0 ? 0.01 : n % 3 == 1 ? 0.1 : 1.0);
        words[5] = text[5];
        for (int k = 0; k < kinds; k++) {
            words[count++] = "--bag-size";
            (void)snprintf(text[count], WORD, "%.1fL x 30cm", chance(4, 80));
            words[count] = text[count];
            count++;
            words[count++] = "--bags";
            (void)snprintf(text[count], WORD, "%d", 1 + rand() % 40);
            words[count] = text[count];
            count++;
        }
        words[count] = NULL;
        run_words(words, &card);
        t = table(&card, "groups");
        assert_non_null(t);
        totals_add_up(t, "product_per_bag", "product_total");
        totals_add_up(t, "weigh_per_bag", "weigh_total");
        totals_add_up(t, "stock_per_bag", "stock_total");
        total = cell(t, (size_t)kinds, column(t, "product_total"));
        if (column(t, "product_total") < t->column_count)
            assert_close(total, figure(&card, "product.total"), 0.006 * total);
        bd_card_clear(&card);
    }
}

/* By hand: 24 x 0.3 + 60 x 0.1 = 13.2 m2 of leaf at 60 mL are 0.792 L. */
static void one_tank_is_for_all_leaves(void **state)
{
    static const char *const words[] = {"--material", "potassium-nitrate",
                                        "--target",   "K 2.5 g/L",
                                        "--tank",     "1L",
                                        "--canopy",   "0.3m2",
                                        "--bags",     "24",
                                        "--canopy",   "0.1m2",
                                        "--bags",     "60",
                                        "--crop",     "tomato",
                                        END_WORD};
    const bd_table *t;
    bd_card card;

    (void)state;
    run_job(BD_JOB_SPRAY, words, &card);
    assert_close(figure(&card, "spray.volume_needed"), 0.792, 1e-9);
    assert_close(figure(&card, "nutrient.K.per_bag.A"), 2.5 * 0.018, 1e-9);
    assert_close(figure(&card, "nutrient.K.per_bag.B"), 2.5 * 0.006, 1e-9);
    assert_close(figure(&card, "product.per_litre"), 2.5 / 0.381869, 1e-4);
    t = table(&card, "groups");
    assert_non_null(t);
    totals_add_up(t, "spray_per_bag", "spray_total");
    assert_close(cell(t, 2, column(t, "spray_total")), 0.792, 1e-9);
    bd_card_clear(&card);
}

/* Each kind permits what a square metre of its own ground may get: the tank is one, so the least.
 */
static void one_tank_is_held_to_the_strictest(void **state)
{
    static const char *const words[] = {"--material", "potassium-nitrate",
                                        "--target",   "K 25 g/L",
                                        "--tank",     "1L",
                                        "--canopy",   "0.3m2",
                                        "--bags",     "24",
                                        "--canopy",   "0.1m2",
                                        "--bags",     "60",
                                        "--crop",     "tomato",
                                        "--bag-size", "20L x 30cm",
                                        "--bag-size", "5L x 30cm",
                                        END_WORD};
    bd_card card;

    (void)state;
    run_job(BD_JOB_SPRAY, words, &card);
    assert_int_equal(bd_card_verdict(&card), BD_STOP);
    /* 1 g/m2 over 0.06 L/m2 x 0.1 m2 of leaf on 0.016667 m2 of ground */
    assert_close(figure(&card, "product.per_litre.permitted"), 1 / (0.06 * 6), 1e-3);
    assert_null(bd_card_get(&card, "product.per_litre.A.permitted"));
    assert_null(table(&card, "groups"));
    bd_card_clear(&card);
}

/* 12 x 1 + 30 x 0.4 = 24 L are more than the 20 L of the brew, each kind alone is not. */
static void one_brew_is_for_all_bags(void **state)
{
    static const char *const words[] = {
        "--material", "comfrey-leaf", "--mass", "1kg", "--brew",    "20L",  "--bags", "12",
        "--per-bag",  "1L",           "--bags", "30",  "--per-bag", "0.4L", END_WORD};
    bool has_told = false;
    bd_card card;

    (void)state;
    run_job(BD_JOB_FEED, words, &card);
    assert_close(figure(&card, "feed.volume_needed"), 24, 1e-9);
    for (size_t i = 0; i < card.finding_count; i++)
        has_told |= strcmp(card.findings[i].id, "feed.volume") == 0;
    assert_true(has_told);
    totals_add_up(table(&card, "groups"), "pour_per_bag", "pour_total");
    bd_card_clear(&card);
}

static void a_mass_for_all_bags_is_not_shared(void **state)
{
    static const char *const words[] = {SULFATE, "--target", "product 100 g", LARGE, SMALL};
    bd_error err = {0};
    bd_card card;

    (void)state;
    assert_int_equal(bd_request_read(BD_JOB_SIDEDRESS, (int)(sizeof words / sizeof words[0]),
                                     (char *const *)words, &request, &err),
                     BD_OK);
    assert_int_equal(bd_job_run(&know, &request, &card, &err), BD_CONFLICT);
    assert_string_equal(err.where, "--target");
    bd_card_clear(&card);
}

/* ---- requests --------------------------------------------------------------------------- */

static void one_kind_is_a_request_of_its_own(void **state)
{
    static const char *const words[] = {LARGE, SMALL, "--per-bag", "1L"};
    bd_request one;
    bd_error err = {0};

    (void)state;
    assert_int_equal(bd_request_read(BD_JOB_SIDEDRESS, (int)(sizeof words / sizeof words[0]),
                                     (char *const *)words, &request, &err),
                     BD_OK);
    assert_int_equal(bd_groups_count(&request), 2);
    assert_true(bd_groups_has_own(&request, BD_OPT_BAG_SIZE));
    assert_false(bd_groups_has_own(&request, BD_OPT_PER_BAG));
    bd_groups_one(&request, 1, &one);
    assert_int_equal(bd_groups_count(&one), 1);
    assert_close(bd_request_number(&one, BD_OPT_BAGS, 0), 30, 0.0);
    assert_close(one.values[BD_OPT_BAG_SIZE].bag.volume_l, 20, 1e-9);
    assert_close(bd_request_number(&one, BD_OPT_PER_BAG, 0), 1, 1e-12);
}

static int load(void **state)
{
    bd_error err = {0};

    (void)state;
    return bd_knowledge_load(NULL, &know, &err) == BD_OK ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    bd_knowledge_free(&know);
    return 0;
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_kind_is_as_if_alone),
        cmocka_unit_test(what_all_get_keeps_its_figure),
        cmocka_unit_test(a_stop_for_one_stops_all),
        cmocka_unit_test(one_feed_is_mixed_together),
        cmocka_unit_test(two_feeds_have_cans_of_their_own),
        cmocka_unit_test(random_lists_add_up),
        cmocka_unit_test(one_tank_is_for_all_leaves),
        cmocka_unit_test(one_tank_is_held_to_the_strictest),
        cmocka_unit_test(one_brew_is_for_all_bags),
        cmocka_unit_test(a_mass_for_all_bags_is_not_shared),
        cmocka_unit_test(one_kind_is_a_request_of_its_own),
    };

    return cmocka_run_group_tests(tests, load, unload);
}
