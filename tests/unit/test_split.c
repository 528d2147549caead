/*
 * A feed that is too strong, as weaker feeds: what each row of the table promises, tried again as
 * the grower would type it.
 */
#include "support/cmocka_all.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "job/job.h"
#include "support/close.h"

#define N(rows) (sizeof(rows) / sizeof(rows)[0])

enum { MOST_WORDS = 24, COLUMNS = 7, MOST_ROWS = 12 };
enum { LIMIT, PER_LITRE, PER_BAG, LITRES, FEEDS, INTERVAL, FITS };

static bd_knowledge know;

static bd_status run(const char *const *words, bd_card *card, bd_error *err)
{
    char *copy[MOST_WORDS];
    bd_request request;
    bd_job job = BD_JOB_SIDEDRESS;
    int count = 0;
    bd_status status = bd_job_find(words[0], &job, err);

    while (words[count + 1] != NULL) {
        copy[count] = (char *)(size_t)words[count + 1]; /* the reader does not write */
        count++;
    }
    if (status == BD_OK)
        status = bd_request_read(job, count, copy, &request, err);
    return status == BD_OK ? bd_job_run(&know, &request, card, err) : status;
}

static bd_card card_of(const char *const *words)
{
    bd_card card = {.job = ""};
    bd_error err = {0};

    if (run(words, &card, &err) != BD_OK)
        fail_msg("%s: %s", err.where, err.text);
    return card;
}

static const bd_table *split_of(const bd_card *card)
{
    for (size_t i = 0; i < card->table_count; i++)
        if (strcmp(card->tables[i].id, "split") == 0)
            return &card->tables[i];
    return NULL;
}

static size_t rows_of(const bd_table *t)
{
    return t == NULL ? 0 : t->cell_count / COLUMNS;
}

static const bd_cell *cell(const bd_table *t, size_t row, size_t column)
{
    assert_non_null(t);
    assert_true(row < rows_of(t));
    return &t->cells[row * COLUMNS + column];
}

static const bd_finding *finding(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, id) == 0)
            return &card->findings[i];
    return NULL;
}

static const bd_assumption *assumption(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->assumption_count; i++)
        if (strcmp(card->assumptions[i].id, id) == 0)
            return &card->assumptions[i];
    return NULL;
}

/* ---- what is offered ------------------------------------------------------- */

/* A feed and what the table must say of it, by key, top to bottom. */
static const struct feed {
    const char *name;
    const char *words[MOST_WORDS];
    const char *keys[MOST_ROWS];
    double g_per_l[MOST_ROWS]; /* to half the last digit of three; 0: not looked at */
} feeds[] = {
    /* MEN23; HER20; ISHS458: 1.5 dS/m usual, 2.2 highest; the strengths are checked below */
    {"ec_alone/ammonium_sulfate",
     {"sidedress", "--material", "ammonium-sulfate", "--target", "product 4 g/bag", "--per-bag",
      "1L", "--crop", "tomato", "--bags", "10", "--bag-size", "40Lx35cm", "--days-left", "60d"},
     {"split.usual", "split.most"},
     {0}},
    {"ec_alone/calcium_chloride",
     {"sidedress", "--material", "calcium-chloride-dihydrate", "--target", "product 4 g/bag",
      "--per-bag", "1L", "--crop", "tomato"},
     {"split.usual", "split.most"},
     {0}},
    {"ec_alone/magnesium_nitrate",
     {"sidedress", "--material", "magnesium-nitrate-hexahydrate", "--target", "product 4 g/bag",
      "--per-bag", "1L", "--crop", "tomato"},
     {"split.usual", "split.most"},
     {0}},
    {"ec_alone/monoammonium_phosphate_in_tap_water",
     {"sidedress", "--material", "monoammonium-phosphate", "--target", "product 4 g/bag",
      "--per-bag", "1L", "--crop", "tomato", "--water", "soft"},
     {"split.usual", "split.most"},
     {0}},
    {"ec_alone/outside_the_model",
     {"sidedress", "--material", "calcium-chloride-dihydrate", "--target", "product 200 g/bag",
      "--per-bag", "1L", "--crop", "tomato"},
     {"split.usual", "split.most"},
     {0}},
    {"ec_alone/an_own_label_has_no_ions",
     {"sidedress", "--analysis", "21-0-0", "--target", "product 4 g/bag", "--per-bag", "1L",
      "--crop", "tomato"},
     {NULL},
     {0}},
    /* the label's 0.6 is under 0.8, 0.786, 1 and 2, which stay away */
    {"label/by_strength",
     {"sidedress", "--material", "potassium-nitrate", "--analysis", "13-0-46", "--target",
      "product 3 g/bag", "--label-max", "0.6 g/L", "--crop", "tomato", "--bags", "3", "--bag-size",
      "40Lx35cm", "--per-bag", "1L", "--days-left", "90d"},
     {"split.usual", "split.usual", "split.label"},
     {0.5, 0.523, 0.6}},
    {"label/by_the_bag", /* 0.6 g in 1.5 L */
     {"sidedress", "--material", "potassium-nitrate", "--analysis", "13-0-46", "--target",
      "product 3 g/bag", "--label-max", "0.6 g/bag", "--crop", "tomato", "--per-bag", "1.5L"},
     {"split.label"},
     {0.4}},
    {"label/by_the_area", /* 20 g/m2 of 0.1 m2, 2 g in 2 L */
     {"sidedress", "--material", "ammonium-sulfate", "--target", "product 8 g/bag", "--label-max",
      "20 g/m2", "--crop", "tomato", "--per-bag", "2L", "--bag-size", "30Lx30cm"},
     {"split.usual", "split.label"},
     {0, 1}},
    /* a cup holds more or less: 2.34 g on a bag by the usual weight, 1.62 surely; the trade's 2 g/L
     * lies between */
    {"label/by_the_cup",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 2 cups per 100 sq ft",
      "--label-max", "1 cup per 100 sq ft", "--measures", "us", "--bag-size", "round 30cm x 5USgal",
      "--crop", "tomato", "--per-bag", "1L"},
     {"split.usual", "split.usual", "split.most", "split.usual_weekly", "split.label"},
     {0.5, 0.523, 0.785, 1, 1.62}},
    {"label/passed_below_every_ceiling",
     {"sidedress", "--material", "potassium-nitrate", "--analysis", "13-0-46", "--target",
      "product 0.4 g/bag", "--label-max", "0.2 g/L", "--crop", "tomato", "--per-bag", "1L"},
     {"split.label"},
     {0.2}},
    {"label/kept_to_but_over_ceilings", /* no row for the label: it is not passed */
     {"sidedress", "--material", "ammonium-sulfate", "--target", "product 4 g/bag", "--label-max",
      "5 g/L", "--crop", "tomato", "--per-bag", "1L"},
     {"split.usual", "split.most"},
     {0}},
    /* 95 and 100 mg K/L: the product's own 0.25 g/L is firm, so 0.261 stays away with it */
    {"firm/of_its_own_rhythm",
     {"sidedress", "--material", "potassium-nitrate", "--analysis", "13-0-46", "--target",
      "product 0.5 g/bag", "--per-bag", "1L", "--stage", "seedling", "--crop", "tomato"},
     {"split.usual", "split.most", "split.usual"},
     {0.15, 0.25, 0.157}},
    {"season/too_much_in_all_is_not_split", /* boron: 0.34 g/m2 in a season */
     {"sidedress", "--material", "borax", "--target", "product 20 g/bag", "--per-bag", "1L",
      "--crop", "beetroot", "--bag-size", "40Lx35cm"},
     {NULL},
     {0}},
};

static size_t keys_of(const struct feed *f)
{
    size_t count = 0;

    while (count < MOST_ROWS && f->keys[count] != NULL)
        count++;
    return count;
}

static void check_rows(void **state)
{
    const struct feed *f = *state;
    bd_card card = card_of(f->words);
    const bd_table *t = split_of(&card);

    assert_int_equal(rows_of(t), keys_of(f));
    for (size_t i = 0; i < rows_of(t); i++) {
        assert_string_equal(cell(t, i, LIMIT)->line.key, f->keys[i]);
        if (f->g_per_l[i] > 0.0)
            assert_close(cell(t, i, PER_LITRE)->number, f->g_per_l[i], 5e-4);
    }
    assert_int_equal(finding(&card, "feed.split") != NULL, rows_of(t) > 0);
    bd_card_clear(&card);
}

/* ---- what a row promises --------------------------------------------------- */

/* The same words with one feed of a row, as it is printed, as the target. */
static bd_card one_feed(const struct feed *f, double grams)
{
    const char *words[MOST_WORDS] = {NULL};
    char target[48];
    size_t i = 0;

    (void)snprintf(target, sizeof target, "product %.3g g/bag", grams);
    for (; f->words[i] != NULL; i++)
        words[i] = i > 0 && strcmp(f->words[i - 1], "--target") == 0 ? target : f->words[i];
    return card_of(words);
}

static double printed(double x)
{
    char text[32];
    double back = 0.0;

    (void)snprintf(text, sizeof text, "%.3g", x);
    assert_int_equal(sscanf(text, "%lf", &back), 1);
    return back;
}

/* No row may be what the guard stops, typed again with the digits of its print. */
static void check_no_row_stops(void **state)
{
    const struct feed *f = *state;
    bd_card card = card_of(f->words);
    const bd_table *t = split_of(&card);

    for (size_t i = 0; i < rows_of(t); i++) {
        bd_card again = one_feed(f, cell(t, i, PER_BAG)->number);

        if (bd_card_verdict(&again) == BD_STOP)
            fail_msg("row %zu, %g g each feed, stops", i, cell(t, i, PER_BAG)->number);
        bd_card_clear(&again);
        assert_true(printed(cell(t, i, PER_LITRE)->number) <=
                    cell(t, i, PER_LITRE)->number * (1.0 + 1e-9));
        assert_true(cell(t, i, INTERVAL)->number >= 2.0); /* weak-feed-gap */
    }
    bd_card_clear(&card);
}

/* What a row by conductivity gives conducts as its ceiling lets it, to three digits of strength. */
static void check_conductivity(void **state)
{
    const double usual = 1.5, most = 2.2;

    (void)state;
    for (size_t i = 0; i < 4; i++) {
        bd_card card = card_of(feeds[i].words);

        for (size_t row = 0; row < 2; row++) {
            const bd_table *t = split_of(&card);
            bd_card again = one_feed(&feeds[i], cell(t, row, PER_BAG)->number);
            double ec = finding(&again, "limit.ec")->value, wanted = row == 0 ? usual : most;

            assert_string_equal(cell(t, row, LIMIT)->line.args[0].text, "conductivity");
            assert_true(ec <= wanted * (1.0 + 1e-9));
            assert_true(ec > 0.99 * wanted);
            assert_int_equal(finding(&again, "limit.ec")->level, BD_NOTE);
            bd_card_clear(&again);
        }
        bd_card_clear(&card);
    }
}

/* ---- days ------------------------------------------------------------------ */

#define POTASH                                                                                     \
    "sidedress", "--material", "potassium-sulfate", "--analysis", "0-0-50", "--target",            \
        "K2O 6 g/bag", "--rounds", "3", "--per-bag", "1.5L", "--crop", "beetroot"

/* Nobody said how long: the days that the salt of the bag is followed for, told as assumed. */
static void check_assumed_days(void **state)
{
    static const char *const alone[] = {POTASH, NULL};
    static const char *const with_bag[] = {POTASH, "--bag-size", "40Lx35cm", NULL};
    bd_card card = card_of(alone), bag = card_of(with_bag);
    double days, feeds_in_all;
    size_t told = 0;

    (void)state;
    assert_non_null(assumption(&card, "days_left"));
    days = assumption(&card, "days_left")->value.typical;
    assert_close(days, 40, 1e-9); /* beetroot takes 70 d, of which 30 are past */
    assert_close(assumption(&bag, "days_left")->value.typical, days, 1e-9);
    for (size_t i = 0; i < bag.assumption_count; i++)
        told += strcmp(bag.assumptions[i].id, "days_left") == 0;
    assert_int_equal(told, 1);
    feeds_in_all = cell(split_of(&card), 0, FEEDS)->number;
    assert_close(feeds_in_all, 20, 1e-9);
    assert_close(cell(split_of(&card), 0, INTERVAL)->number, days / feeds_in_all, 1e-9);
    assert_string_equal(cell(split_of(&card), 0, FITS)->line.key, "split.fits_assumed");
    bd_card_clear(&card);
    bd_card_clear(&bag);
}

static void check_too_late_as_assumed(void **state)
{
    static const char *const words[] = {
        "sidedress", "--material", "potassium-sulfate", "--target", "product 12 g/bag",
        "--crop",    "beetroot",   "--per-bag",         "0.5L",     NULL};
    bd_card card = card_of(words);

    (void)state;
    assert_string_equal(cell(split_of(&card), 0, FITS)->line.key, "split.too_late_assumed");
    assert_non_null(finding(&card, "feed.split.late"));
    bd_card_clear(&card);
}

/* ---- the most that is allowed ---------------------------------------------- */

static void check_permitted_names_its_days(void **state)
{
    const struct feed *f = &feeds[6]; /* label/by_strength */
    bd_card card = card_of(f->words);
    const bd_figure *most = bd_card_get(&card, "product.per_bag.permitted");

    (void)state;
    assert_non_null(most);
    assert_string_equal(most->line.key, "figure.product_per_bag_permitted_apart");
    assert_close(most->value.typical, cell(split_of(&card), 2, PER_BAG)->number, 1e-9);
    assert_close(most->line.args[1].value.typical, cell(split_of(&card), 2, INTERVAL)->number,
                 1e-9);
    bd_card_clear(&card);
}

/* What a season's limit allows once is not allowed every week. */
static void check_permitted_once(void **state)
{
    bd_card card = card_of(feeds[N(feeds) - 1].words);

    (void)state;
    assert_string_equal(bd_card_get(&card, "product.per_bag.permitted")->line.key,
                        "figure.product_per_bag_permitted_once");
    assert_non_null(finding(&card, "feed.split.none"));
    bd_card_clear(&card);
}

/* ---- a stock --------------------------------------------------------------- */

static const struct stock {
    const char *name;
    const char *words[MOST_WORDS];
    const char *id;            /* of the finding */
    double thin, g_per_l, gap; /* 1 in `thin`, days; 0: no such finding */
} stocks[] = {
    /* 0.548 x 100 / 220 = 0.2491 g/L, under 0.25; 219 would be over */
    {"seedlings_every_watering",
     {"stock", "--material", "potassium-nitrate", "--target", "product 0.548 g/L", "--ratio",
      "1 in 100", "--stage", "seedling", "--crop", "tomato"},
     "stock.thin",
     220,
     0.24909,
     7},
    {"seedlings_within_the_weekly_ceiling",
     {"stock", "--material", "potassium-nitrate", "--target", "product 0.548 g/L", "--ratio",
      "1 in 100", "--stage", "seedling", "--crop", "tomato"},
     "stock.thin.weekly",
     0,
     0,
     0},
    {"grown_once_a_week", /* 4 g/L to the trade's 2 */
     {"stock", "--material", "potassium-nitrate", "--target", "product 4 g/L", "--ratio", "1 in 20",
      "--crop", "tomato"},
     "stock.thin.weekly",
     40,
     2,
     7},
    {"a_label_goes_further", /* 4 g/L to the label's 0.1 */
     {"stock", "--material", "potassium-nitrate", "--target", "product 4 g/L", "--ratio", "1 in 20",
      "--label-max", "0.1 g/L", "--crop", "tomato"},
     "stock.thin",
     800,
     0.1,
     7},
    {"what_drops_out_is_no_better_thinned",
     {"stock", "--material", "potassium-nitrate", "--target", "product 4 g/L", "--ratio",
      "1 in 100", "--crop", "tomato"},
     "stock.thin",
     0,
     0,
     0},
    {"weak_enough",
     {"stock", "--material", "potassium-nitrate", "--target", "product 0.5 g/L", "--ratio",
      "1 in 100", "--crop", "tomato"},
     "stock.thin",
     0,
     0,
     0},
};

static void check_stock(void **state)
{
    const struct stock *s = *state;
    bd_card card = card_of(s->words);
    const bd_finding *f = finding(&card, s->id);

    assert_int_equal(f != NULL, s->thin > 0.0);
    if (f != NULL) {
        assert_close(f->line.args[0].value.typical, s->thin, 1e-9);
        assert_close(f->line.args[1].value.typical, s->g_per_l, 1e-4);
        assert_close(f->line.args[3].value.typical, s->gap, 1e-9);
    }
    bd_card_clear(&card);
}

/* ---- running --------------------------------------------------------------- */

static int set_up(void **state)
{
    (void)state;
    return bd_knowledge_load(NULL, &know, NULL) == BD_OK ? 0 : -1;
}

static int tear_down(void **state)
{
    (void)state;
    bd_knowledge_free(&know);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[2 * N(feeds) + N(stocks) + 5];
    char names[2 * N(feeds)][96];
    size_t count = 0;

    for (size_t i = 0; i < N(feeds); i++) {
        (void)snprintf(names[2 * i], sizeof names[0], "rows/%s", feeds[i].name);
        (void)snprintf(names[2 * i + 1], sizeof names[0], "no_row_stops/%s", feeds[i].name);
        tests[count++] =
            (struct CMUnitTest){names[2 * i], check_rows, NULL, NULL, (void *)(size_t)&feeds[i]};
        tests[count++] = (struct CMUnitTest){names[2 * i + 1], check_no_row_stops, NULL, NULL,
                                             (void *)(size_t)&feeds[i]};
    }
    for (size_t i = 0; i < N(stocks); i++)
        tests[count++] = (struct CMUnitTest){stocks[i].name, check_stock, NULL, NULL,
                                             (void *)(size_t)&stocks[i]};
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(check_conductivity);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(check_assumed_days);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(check_too_late_as_assumed);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(check_permitted_names_its_days);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(check_permitted_once);
    if (count != N(tests))
        return 1;
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
