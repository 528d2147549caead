/*
 * The salt of the mix by every way of reading it: what the card makes of it, and
 * that it says so.
 */
#include "support/cmocka_all.h"

#include <string.h>

#include "job/job.h"
#include "job/salt_reading.h"
#include "support/close.h"

static bd_knowledge know;

/*
 * Relations: 1:1 and 1:2, PLoS ONE 13(6) e0198290, table 2; 1:5, Australian method 14B1 and state
 * guides (from memory); pour-through and 1:2 by volume, class limits of a greenhouse guide.
 */
static const struct row {
    const char *name, *ece, *method, *medium;
    bd_status status;
    bool is_assumed, is_converted;
    double low, typical, high;
    const char *where;
} rows[] = {
    {"nothing_read", NULL, NULL, NULL, BD_OK, false, false, 0.8, 0.8, 0.8, NULL},
    {"method_not_said", "1.2 dS/m", NULL, NULL, BD_OK, true, false, 1.2, 1.2, 1.2, NULL},
    {"saturated_said", "1.2 dS/m", "saturated", NULL, BD_OK, false, false, 1.2, 1.2, 1.2, NULL},
    /* 6.08 x 0.2 - 0.937; 6.4 x 0.2; 9.5 x 0.2 */
    {"1_5_loam", "0.2 dS/m", "1:5", "loam", BD_OK, false, true, 0.279, 1.28, 1.90, NULL},
    /* 14 x 0.2, the texture of the usual mix */
    {"1_5_usual_mix", "0.2 dS/m", "1:5", NULL, BD_OK, false, true, 0.279, 1.28, 2.80, NULL},
    /* a range read: its low end by the lowest, its high end by the highest */
    {"1_5_loam_range", "0.2..0.4 dS/m", "1:5", "loam", BD_OK, false, true, 0.279, 1.92, 3.80, NULL},
    /* 2.35 - 0.36; 2.16 + 0.03; 2.79 + 0.71 */
    {"1_2_loam", "1 dS/m", "1:2", "loam", BD_OK, false, true, 1.99, 2.19, 3.50, NULL},
    /* by volume, other relations: 2.5 and 2.78 */
    {"1_2_peat", "1 dS/m", "1:2", "peat-mix", BD_OK, false, true, 2.50, 2.67, 2.78, NULL},
    /* 3.01 - 0.77 and 3.35 at the ends */
    {"1_1_loam", "1 dS/m", "1:1", "loam", BD_OK, false, true, 1.36, 2.06, 3.35, NULL},
    /* 3.01 x 0.3 - 0.77 = 0.133, and 1.85 x 0.3: no paste reads below the thinner extract */
    {"1_1_loam_of_little_salt", "0.3 dS/m", "1:1", "loam", BD_OK, false, true, 0.30, 0.555, 1.005,
     NULL},
    {"pour_through_peat", "2.6 dS/m", "pour-through", "peat-mix", BD_OK, false, true, 1.98, 2.00,
     2.08, NULL},
    {"pour_through_soil", "2.6 dS/m", "pour-through", "loam", BD_OUTSIDE, false, false, 0, 0, 0,
     "--ece-method"},
    {"1_5_peat", "1 dS/m", "1:5", "peat-mix", BD_OUTSIDE, false, false, 0, 0, 0, "--ece-method"},
    {"no_such_way", "1 dS/m", "2:1", NULL, BD_UNKNOWN, false, false, 0, 0, 0, "--ece-method"},
    {"way_without_reading", NULL, "1:5", NULL, BD_MISSING, false, false, 0, 0, 0, "--ece"},
};
enum { ROWS = sizeof rows / sizeof rows[0], MOST_WORDS = 6 };

static bool is_assumed(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->assumption_count; i++)
        if (strcmp(card->assumptions[i].id, id) == 0)
            return true;
    return false;
}

static bool is_found(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, id) == 0)
            return true;
    return false;
}

static bd_request ask(const struct row *r)
{
    char *words[MOST_WORDS];
    int count = 0;
    bd_request request;

    if (r->ece != NULL) {
        words[count++] = (char *)(size_t) "--ece";
        words[count++] = (char *)(size_t)r->ece;
    }
    if (r->method != NULL) {
        words[count++] = (char *)(size_t) "--ece-method";
        words[count++] = (char *)(size_t)r->method;
    }
    assert_int_equal(bd_request_read(BD_JOB_SIDEDRESS, count, words, &request, NULL), BD_OK);
    return request;
}

static void check_card(const struct row *r, const bd_card *card)
{
    assert_int_equal(is_assumed(card, "soil.ece"), r->status == BD_OK && r->ece == NULL);
    assert_int_equal(is_assumed(card, "soil.ece_method"), r->is_assumed);
    assert_int_equal(is_found(card, "soil.ece_method"), r->is_converted);
    assert_int_equal(bd_card_get(card, "soil.reading") != NULL, r->is_converted);
    assert_int_equal(card->step_count, r->is_converted ? 3 : 0);
    assert_int_equal(is_assumed(card, "soil.ece_least"),
                     strcmp(r->name, "1_1_loam_of_little_salt") == 0);
}

static void check_row(void **state)
{
    const struct row *r = *state;
    bd_request request = ask(r);
    const bd_medium *medium;
    bd_range ece = {-1.0, -1.0, -1.0};
    bd_error err = {.status = BD_OK};
    bd_card card;

    bd_card_init(&card, "sidedress");
    assert_int_equal(bd_media_medium(know.media, r->medium, &medium, NULL), BD_OK);
    assert_int_equal(bd_salt_reading(&know, &request, medium, &card, &ece, &err), r->status);
    check_card(r, &card);
    if (r->status == BD_OK) {
        assert_close(ece.low, r->low, 0.005);
        assert_close(ece.typical, r->typical, 0.005);
        assert_close(ece.high, r->high, 0.005);
    } else {
        assert_string_equal(err.where, r->where);
        assert_close(ece.low, -1.0, 0.0);
    }
    bd_card_clear(&card);
}

/* A bag without a size has no ECe, but a method that is none is still an error. */
static void bad_method_without_bag_size(void **state)
{
    char *words[] = {(char *)(size_t) "--material",   (char *)(size_t) "potassium-sulfate",
                     (char *)(size_t) "--target",     (char *)(size_t) "product 1 g/bag",
                     (char *)(size_t) "--ece",        (char *)(size_t) "1 dS/m",
                     (char *)(size_t) "--ece-method", (char *)(size_t) "2:1"};
    bd_request request;
    bd_error err = {.status = BD_OK};
    bd_card card;

    (void)state;
    assert_int_equal(bd_request_read(BD_JOB_SIDEDRESS, 8, words, &request, NULL), BD_OK);
    bd_card_init(&card, "sidedress");
    assert_int_equal(bd_job_sidedress(&know, &request, &card, &err), BD_UNKNOWN);
    assert_string_equal(err.where, "--ece-method");
    bd_card_clear(&card);
}

static int load(void **state)
{
    (void)state;
    return bd_knowledge_load(NULL, &know, NULL) == BD_OK ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    bd_knowledge_free(&know);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[ROWS + 1] = {cmocka_unit_test(bad_method_without_bag_size)};

    for (size_t i = 0; i < ROWS; i++)
        tests[1 + i] =
            (struct CMUnitTest){rows[i].name, check_row, NULL, NULL, (void *)(size_t)&rows[i]};
    return cmocka_run_group_tests_name("salt reading", tests, load, unload);
}
