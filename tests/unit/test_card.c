#include "support/cmocka_all.h"

#include <string.h>

#include "card/card.h"
#include "support/cards.h"
#include "support/close.h"
#include "support/failing_malloc.h"

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

static void new_card_is_empty(void **state)
{
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    assert_string_equal(card.job, "spray");
    assert_int_equal(bd_card_verdict(&card), BD_NOTE);
    assert_null(bd_card_get(&card, "product.per_bag"));
    assert_int_equal(bd_card_status(&card, NULL), BD_OK);
    bd_card_clear(&card);
}

static void verdict_is_the_worst_level(void **state)
{
    static const struct {
        bd_level levels[3], want;
    } rows[] = {
        {{BD_NOTE, BD_NOTE, BD_NOTE}, BD_NOTE},
        {{BD_NOTE, BD_CARE, BD_NOTE}, BD_CARE},
        {{BD_STOP, BD_CARE, BD_NOTE}, BD_STOP},
        {{BD_CARE, BD_NOTE, BD_STOP}, BD_STOP},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        bd_card card;

        bd_card_init(&card, "spray");
        for (size_t j = 0; j < COUNT(rows[i].levels); j++)
            bd_card_find(&card, "x", rows[i].levels[j], "plain", BD_NO_ARGS, "");
        assert_int_equal(bd_card_verdict(&card), rows[i].want);
        bd_card_clear(&card);
    }
}

static void card_owns_what_it_is_given(void **state)
{
    char id[] = "product.per_bag", unit[] = "g", name[] = "urea", source[] = "label";
    const bd_figure *f;
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    bd_card_figure(&card, id, "plain", BD_ARGS(bd_name(name)), bd_exactly(5), unit);
    bd_card_find(&card, id, BD_NOTE, "plain", BD_ARGS(bd_name(name)), source);
    memset(id, 'x', sizeof id - 1);
    memset(unit, 'x', sizeof unit - 1);
    memset(name, 'x', sizeof name - 1);
    memset(source, 'x', sizeof source - 1);
    f = bd_card_get(&card, "product.per_bag");
    assert_non_null(f);
    assert_string_equal(f->unit, "g");
    assert_string_equal(f->line.args[0].text, "urea");
    assert_string_equal(card.findings[0].source, "label");
    assert_string_equal(card.findings[0].unit, "");
    assert_false(card.findings[0].has_value);
    bd_card_clear(&card);
}

static void line_keeps_eight_arguments(void **state)
{
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    bd_card_title(&card, "plain",
                  BD_ARGS(bd_count(0), bd_count(1), bd_count(2), bd_count(3), bd_count(4),
                          bd_count(5), bd_amount(6, "g"), bd_words_arg("plain")));
    assert_int_equal(card.title.arg_count, BD_ARGS_MAX);
    assert_close(card.title.args[6].value.typical, 6, 0);
    assert_string_equal(card.title.args[7].text, "plain");
    bd_card_clear(&card);
}

static void finding_keeps_value_and_limit(void **state)
{
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    bd_card_find_limit(&card, "limit.x", BD_CARE, "plain", BD_NO_ARGS, 3, 2, "g/L", "s");
    assert_true(card.findings[0].has_value && card.findings[0].has_limit);
    assert_close(card.findings[0].value, 3, 0);
    assert_close(card.findings[0].limit, 2, 0);
    assert_string_equal(card.findings[0].unit, "g/L");
    bd_card_clear(&card);
}

static void caution_is_said_once(void **state)
{
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    bd_card_caution(&card, "H272", "plain", BD_NO_ARGS, "a");
    bd_card_caution(&card, "H272", "plain", BD_NO_ARGS, "b");
    assert_int_equal(card.caution_count, 1);
    bd_card_caution(&card, "H272", "other", BD_NO_ARGS, "a");
    bd_card_caution(&card, "H302", "plain", BD_NO_ARGS, "a");
    assert_int_equal(card.caution_count, 3);
    bd_card_clear(&card);
}

static void assumption_may_have_no_value(void **state)
{
    bd_range value = bd_range_of(1, 2, 3);
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    bd_card_assume(&card, "a", "plain", BD_NO_ARGS, NULL, NULL, NULL);
    bd_card_assume(&card, "b", "plain", BD_NO_ARGS, &value, "L", "s");
    assert_false(card.assumptions[0].has_value);
    assert_string_equal(card.assumptions[0].unit, "");
    assert_string_equal(card.assumptions[0].source, "");
    assert_true(card.assumptions[1].has_value);
    assert_close(card.assumptions[1].value.high, 3, 0);
    bd_card_clear(&card);
}

static void lists_grow(void **state)
{
    enum { MANY = 1000 };
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    for (int i = 0; i < MANY; i++)
        bd_card_work(&card, "plain", BD_ARGS(bd_count(i)), "s");
    assert_int_equal(card.step_count, MANY);
    for (size_t i = 0; i < MANY; i++)
        assert_close(card.working[i].line.args[0].value.typical, (double)i, 0);
    assert_int_equal(bd_card_status(&card, NULL), BD_OK);
    bd_card_clear(&card);
}

static void table_is_filled_row_after_row(void **state)
{
    bd_card card;
    bd_table *t;

    (void)state;
    bd_card_init(&card, "spray");
    t = bd_card_table(&card, "cans", "plain", BD_NO_ARGS);
    bd_table_column(&card, t, "mass", "plain", "g");
    bd_table_column(&card, t, "note", "plain", "");
    bd_table_number(&card, t, 27);
    bd_table_line(&card, t, "plain", BD_ARGS(bd_name("last")));
    bd_table_number(&card, t, 16);
    bd_table_empty(&card, t);
    assert_int_equal(t->column_count, 2);
    assert_int_equal(t->cell_count, 4);
    assert_int_equal(t->cells[0].kind, BD_CELL_NUMBER);
    assert_int_equal(t->cells[1].kind, BD_CELL_LINE);
    assert_close(t->cells[2].number, 16, 0);
    assert_int_equal(t->cells[3].kind, BD_CELL_EMPTY);
    bd_card_clear(&card);
}

static void table_without_memory_takes_anything(void **state)
{
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    bd_table_column(&card, NULL, "mass", "plain", "g");
    bd_table_number(&card, NULL, 1);
    bd_table_line(&card, NULL, "plain", BD_NO_ARGS);
    bd_table_empty(&card, NULL);
    bd_card_clear(&card);
}

static void cleared_card_is_empty(void **state)
{
    bd_card card;

    (void)state;
    bd_sample_card(BD_SAMPLE_SEASON, &card);
    bd_card_clear(&card);
    assert_int_equal(card.figure_count, 0);
    assert_int_equal(card.table_count, 0);
    assert_string_equal(card.job, "season");
    bd_card_clear(&card);
}

static void each_allocation_that_fails_is_told(void **state)
{
    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (bd_sample sample = BD_SAMPLE_SPRAY; sample < BD_SAMPLE_COUNT; sample++)
        for (long n = 0;; n++) {
            bd_error err = {0};
            bool has_failed;
            bd_card card;

            bd_fail_allocation_after(n);
            bd_sample_card(sample, &card);
            has_failed = bd_allocations_allow();
            assert_int_equal(bd_card_status(&card, &err), has_failed ? BD_MEMORY : BD_OK);
            assert_int_equal(err.status, has_failed ? BD_MEMORY : BD_OK);
            bd_card_clear(&card);
            if (!has_failed) {
                assert_true(n > 0);
                break;
            }
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(new_card_is_empty),
        cmocka_unit_test(verdict_is_the_worst_level),
        cmocka_unit_test(card_owns_what_it_is_given),
        cmocka_unit_test(line_keeps_eight_arguments),
        cmocka_unit_test(finding_keeps_value_and_limit),
        cmocka_unit_test(caution_is_said_once),
        cmocka_unit_test(assumption_may_have_no_value),
        cmocka_unit_test(lists_grow),
        cmocka_unit_test(table_is_filled_row_after_row),
        cmocka_unit_test(table_without_memory_takes_anything),
        cmocka_unit_test(cleared_card_is_empty),
        cmocka_unit_test(each_allocation_that_fails_is_told),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
