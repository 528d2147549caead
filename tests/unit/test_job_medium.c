/* The job `medium`, from the command's words to the card. */
#include "support/cmocka_all.h"

#include <math.h>
#include <string.h>

#include "job/job.h"
#include "support/close.h"

#define N(rows) (sizeof(rows) / sizeof(rows)[0])

enum { MOST_WORDS = 16 };

static bd_knowledge know;

static int prepare(void **state)
{
    (void)state;
    return bd_knowledge_load(NULL, &know, NULL) == BD_OK ? 0 : -1;
}

static int clean_up(void **state)
{
    (void)state;
    bd_knowledge_free(&know);
    return 0;
}

static bd_status run(const char *const words[], bd_card *card, bd_error *err)
{
    bd_request request;
    char *args[MOST_WORDS];
    int count = 0;
    bd_status status;

    for (; words[count] != NULL; count++)
        args[count] = (char *)(uintptr_t)words[count];
    bd_card_init(card, "medium");
    status = bd_request_read(BD_JOB_MEDIUM, count, args, &request, err);
    return status == BD_OK ? bd_job_run(&know, &request, card, err) : status;
}

static double sum_of_column(const bd_card *card, const char *table, size_t column)
{
    for (size_t i = 0; i < card->table_count; i++) {
        const bd_table *t = &card->tables[i];
        double sum = 0.0;

        if (strcmp(t->id, table) != 0)
            continue;
        for (size_t c = column; c < t->cell_count; c += t->column_count)
            sum += t->cells[c].kind == BD_CELL_NUMBER ? t->cells[c].number : 0.0;
        return sum;
    }
    return (double)NAN;
}

static double value(const bd_card *card, const char *id)
{
    const bd_figure *f = bd_card_get(card, id);

    return f == NULL ? (double)NAN : f->value.typical;
}

static const bd_finding *finding(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, id) == 0)
            return &card->findings[i];
    return NULL;
}

/* The usual bag; the mix as media.json has it, litres by hand: 24 x 24.74 / 0.9 / 0.85. */
static const char *const usual[] = {"--parts",    "soil 60, compost 20, sand 20",
                                    "--bag-size", "round 30cm x 35cm",
                                    "--bags",     "24",
                                    "--bucket",   "10L",
                                    "--crop",     "beetroot",
                                    NULL};

static void test_tables_add_up(void **state)
{
    bd_card card;

    (void)state;
    assert_int_equal(run(usual, &card, NULL), BD_OK);
    assert_int_equal(bd_card_verdict(&card), BD_NOTE);
    assert_close(value(&card, "mix.loose"), 776.2, 0.05);
    assert_close(value(&card, "mix.bulk_density"), 1.28, 0.005);
    assert_close(value(&card, "bag.water"), 9.6, 0.05);
    assert_close(sum_of_column(&card, "parts", 1), 100.0, 1e-9);
    assert_close(sum_of_column(&card, "parts", 2), value(&card, "mix.loose"), 1e-9);
    assert_close(sum_of_column(&card, "parts", 3), value(&card, "mix.buckets"), 1e-9);
    assert_close(sum_of_column(&card, "parts", 4), value(&card, "mix.mass"), 1e-9);
    assert_close(sum_of_column(&card, "brings", 1), value(&card, "mix.N.first_season"), 1e-9);
    assert_close(sum_of_column(&card, "brings", 3), value(&card, "mix.K2O.first_season"), 1e-9);
    bd_card_clear(&card);
}

/*
 * Ash mixed in is held to the ceiling of a year on the bag's top, 98 g/m2, at the dense end, 0.6
 * kg/L: a bag of 30 cm has 0.070686 m2 and may have 6.927 g; two of 24.74 L take 54.98 L of parts,
 * so that 0.04 % by volume is 6.597 g a bag, 93.3 g/m2, and 0.05 % 116.7 g/m2.
 */
static const struct ash_row {
    const char *name, *parts;
    bd_level level;
    double g_per_m2;
} ash_rows[] = {
    {"medium/ash_within_the_year", "soil 79.96 %, compost 20 %, wood-ash 0.04 %", BD_NOTE, 93.3},
    {"medium/ash_over_the_year", "soil 79.95 %, compost 20 %, ash 0.05 %", BD_STOP, 116.7},
    {"medium/ash_by_the_bucket", "soil 40, compost 20, wood-ash 40", BD_STOP, 93333.0},
};

static void check_ash(void **state)
{
    const struct ash_row *r = *state;
    const char *const words[] = {"--parts", r->parts, "--bag-size", "round 30cm x 35cm",
                                 "--bags",  "2",      NULL};
    bool is_over = r->level == BD_STOP;
    const bd_finding *f;
    bd_card card;

    assert_int_equal(run(words, &card, NULL), BD_OK);
    f = finding(&card, "limit.ash.rate");
    assert_non_null(f);
    assert_int_equal(f->level, r->level);
    assert_close(f->value / r->g_per_m2, 1.0, 0.001);
    assert_close(f->limit, 98.0, 1e-9);
    assert_int_equal(bd_card_verdict(&card) == BD_STOP, is_over);
    assert_int_equal(isnan(sum_of_column(&card, "parts", 1)), is_over); /* nothing to go by */
    if (is_over)
        assert_close(value(&card, "product.per_bag.permitted"), 6.927, 0.001);
    else
        assert_null(bd_card_get(&card, "product.per_bag.permitted"));
    bd_card_clear(&card);
}

/* K = 0.83015 K2O, P = 0.4364 P2O5, printed beside one another. */
static void test_oxide_and_element_agree(void **state)
{
    bd_card card;

    (void)state;
    assert_int_equal(run(usual, &card, NULL), BD_OK);
    assert_close(value(&card, "mix.K.first_season") / value(&card, "mix.K2O.first_season"), 0.83015,
                 0.000005);
    assert_close(value(&card, "mix.P.total") / value(&card, "mix.P2O5.total"), 0.4364, 0.00005);
    bd_card_clear(&card);
}

static void test_ways_of_writing_agree(void **state)
{
    static const char *const ways[] = {"soil 3, compost 1, sand 1",
                                       "soil 60 %,compost 20 %, sand 20%",
                                       "garden-soil: 60 , compost:20,sand: 20"};

    (void)state;
    for (size_t i = 0; i < N(ways); i++) {
        const char *const words[] = {"--parts", ways[i], "--bag-size", "round 30cm x 35cm",
                                     "--bags",  "24",    NULL};
        bd_card card;

        print_message("%s\n", ways[i]);
        assert_int_equal(run(words, &card, NULL), BD_OK);
        assert_close(value(&card, "mix.loose"), 776.2, 0.05);
        bd_card_clear(&card);
    }
}

static const struct finding_row {
    const char *name, *parts, *crop, *id;
    bd_level level;
} finding_rows[] = {
    {"medium/raw_manure_stops_carrots", "soil 7, manure-fresh 3", "carrot", "medium.raw_manure",
     BD_STOP},
    {"medium/raw_manure_asks_for_care", "soil 7, manure-fresh 3", "tomato", "medium.raw_manure",
     BD_CARE},
    {"medium/much_compost_asks_for_care", "soil 1, compost 1", "beetroot", "medium.share", BD_CARE},
    {"medium/salt_for_carrots", "soil 60, compost 20, sand 20", "carrot", "medium.salt", BD_CARE},
    {"medium/salt_for_beetroot", "soil 60, compost 20, sand 20", "beetroot", "medium.salt",
     BD_NOTE},
    {"medium/sawdust_takes_nitrogen", "soil 8, sawdust 2", "beetroot", "medium.draw_down", BD_CARE},
    {"medium/ash_raises_ph", "soil 99.8, ash 0.2", "beetroot", "medium.lime", BD_CARE},
    {"medium/soil_is_not_counted", "soil 1", "beetroot", "medium.not_counted", BD_NOTE},
    {"medium/a_mix_that_stays_wet", "compost 40, soil 60", "beetroot", "medium.air", BD_NOTE},
};

static void check_finding(void **state)
{
    const struct finding_row *r = *state;
    const char *const words[] = {"--parts", r->parts, "--bag-size", "20L x 30cm",
                                 "--crop",  r->crop,  NULL};
    bd_card card;
    const bd_finding *f;

    assert_int_equal(run(words, &card, NULL), BD_OK);
    f = finding(&card, r->id);
    assert_non_null(f);
    assert_int_equal(f->level, r->level);
    bd_card_clear(&card);
}

static const struct refusal_row {
    const char *name;
    const char *words[MOST_WORDS];
    bd_status status;
    const char *where;
} refusals[] = {
    {"medium/no_parts", {"--bag-size", "20L x 30cm"}, BD_MISSING, "--parts"},
    {"medium/no_size", {"--parts", "soil 1"}, BD_MISSING, "--bag-size"},
    {"medium/no_share",
     {"--parts", "soil 60, compost", "--bag-size", "20L x 30cm"},
     BD_SYNTAX,
     "--parts"},
    {"medium/comma_forgotten",
     {"--parts", "soil 60 compost 20", "--bag-size", "20L x 30cm"},
     BD_SYNTAX,
     "--parts"},
    {"medium/decimal_comma",
     {"--parts", "soil 1,5", "--bag-size", "20L x 30cm"},
     BD_SYNTAX,
     "--parts"},
    {"medium/empty", {"--parts", "", "--bag-size", "20L x 30cm"}, BD_SYNTAX, "--parts"},
    {"medium/no_soil_at_all",
     {"--parts", "soil 0", "--bag-size", "20L x 30cm"},
     BD_SYNTAX,
     "--parts"},
    {"medium/moon", {"--parts", "moon 1", "--bag-size", "20L x 30cm"}, BD_UNKNOWN, "--parts"},
    {"medium/twice",
     {"--parts", "soil 1, loam 2", "--bag-size", "20L x 30cm"},
     BD_CONFLICT,
     "--parts"},
    {"medium/eighty_percent",
     {"--parts", "soil 60 %, sand 20", "--bag-size", "20L x 30cm"},
     BD_CONFLICT,
     "--parts"},
    {"medium/settles_away",
     {"--parts", "soil 1", "--bag-size", "20L x 30cm", "--settling", "60 %"},
     BD_RANGE,
     "--settling"},
    {"medium/mixes_away",
     {"--parts", "soil 1", "--bag-size", "20L x 30cm", "--mixing-loss", "60 %"},
     BD_RANGE,
     "--mixing-loss"},
    {"medium/unknown_crop",
     {"--parts", "soil 1", "--bag-size", "20L x 30cm", "--crop", "moon"},
     BD_UNKNOWN,
     "--crop"},
};

static void check_refusal(void **state)
{
    const struct refusal_row *r = *state;
    bd_error err = {.status = BD_OK};
    bd_card card;

    assert_int_equal(run(r->words, &card, &err), r->status);
    assert_string_equal(err.where, r->where);
    bd_card_clear(&card);
}

static const struct CMUnitTest plain_tests[] = {
    cmocka_unit_test(test_tables_add_up),
    cmocka_unit_test(test_oxide_and_element_agree),
    cmocka_unit_test(test_ways_of_writing_agree),
};

int main(void)
{
    struct CMUnitTest tests[N(plain_tests) + N(finding_rows) + N(refusals) + N(ash_rows)];
    size_t n = N(plain_tests);

    memcpy(tests, plain_tests, sizeof plain_tests);
    for (size_t i = 0; i < N(finding_rows); i++)
        tests[n++] = (struct CMUnitTest){finding_rows[i].name, check_finding, NULL, NULL,
                                         (void *)(uintptr_t)&finding_rows[i]};
    for (size_t i = 0; i < N(refusals); i++)
        tests[n++] = (struct CMUnitTest){refusals[i].name, check_refusal, NULL, NULL,
                                         (void *)(uintptr_t)&refusals[i]};
    for (size_t i = 0; i < N(ash_rows); i++)
        tests[n++] = (struct CMUnitTest){ash_rows[i].name, check_ash, NULL, NULL,
                                         (void *)(uintptr_t)&ash_rows[i]};
    return cmocka_run_group_tests_name("job medium", tests, prepare, clean_up);
}
