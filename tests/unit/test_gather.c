/* Cards of several parts in one: what is said once, what for each, and of whom. */
#include "support/cmocka_all.h"

#include <string.h>

#include "card/gather.h"
#include "support/close.h"
#include "support/failing_malloc.h"

enum { PARTS = 3 };

static const char *const sums[] = {"product.total", NULL};
static const char *const listed[] = {"product.per_bag", NULL};
static const bd_gather_rules rules = {sums, listed, false};

static bd_card cards[PARTS];
static bd_card_part parts[PARTS];

/* A and C alike in what care they ask for; each with its own area; all of the same crop. */
static int fill(void **state)
{
    static const char *const marks[PARTS] = {"A", "B", "C"};
    static const double areas[PARTS] = {0.1, 0.2, 0.3};

    (void)state;
    for (int i = 0; i < PARTS; i++) {
        bd_card *c = &cards[i];
        bd_table *t;

        bd_card_init(c, "sidedress");
        bd_card_figure(c, "bag.area", "figure.bag_area", BD_NO_ARGS, bd_exactly(areas[i]), "m2");
        bd_card_figure(c, "soil.ece_before", "figure.ece_before", BD_NO_ARGS, bd_exactly(0.8),
                       "dS/m");
        bd_card_figure(c, "product.total", "plain", BD_NO_ARGS, bd_exactly(5), "g");
        bd_card_figure(c, "product.per_bag", "plain", BD_NO_ARGS, bd_exactly(areas[i]), "g");
        bd_card_figure(c, "product.per_bag.permitted", "plain", BD_NO_ARGS, bd_exactly(areas[i]),
                       "g");
        bd_card_assume(c, "stage", "assume.stage_growing", BD_NO_ARGS, NULL, "", "");
        bd_card_find_limit(c, "limit.soil.rise", i == 1 ? BD_STOP : BD_CARE, "soil.rise_over",
                           BD_ARGS(bd_amount(i == 1 ? 9 : 1, "dS/m")), i == 1 ? 9 : 1, 0.5, "dS/m",
                           "somebody");
        bd_card_caution(c, "C01", "plain", BD_NO_ARGS, "");
        bd_card_work(c, "work.bag_volume", BD_ARGS(bd_exact(areas[i], "m2")), "");
        t = bd_card_table(c, "bases", "table.bases", BD_NO_ARGS);
        bd_table_column(c, t, "g", "column.grams_bag", "g");
        bd_table_exact(c, t, areas[i]);
        parts[i] = (bd_card_part){
            c,
            marks[i],
            {.key = "groups.name", .args = {bd_name(marks[i]), bd_count(i + 1)}, .arg_count = 2}};
    }
    return 0;
}

static int drop(void **state)
{
    (void)state;
    for (int i = 0; i < PARTS; i++)
        bd_card_clear(&cards[i]);
    return 0;
}

static void what_all_say_is_said_once(void **state)
{
    bd_card card;

    (void)state;
    bd_card_init(&card, "sidedress");
    bd_card_gather(&card, parts, PARTS, &rules);
    assert_non_null(bd_card_get(&card, "soil.ece_before"));
    assert_null(bd_card_get(&card, "soil.ece_before")->line.about);
    assert_int_equal(card.assumption_count, 1);
    assert_null(card.assumptions[0].line.about);
    assert_int_equal(card.caution_count, 1);
    bd_card_clear(&card);
}

static void what_differs_carries_its_mark(void **state)
{
    static const struct {
        const char *id;
        double value;
    } rows[] = {{"bag.area.A", 0.1},
                {"bag.area.B", 0.2},
                {"bag.area.C", 0.3},
                {"product.per_bag.B.permitted", 0.2}};
    bd_card card;

    (void)state;
    bd_card_init(&card, "sidedress");
    bd_card_gather(&card, parts, PARTS, &rules);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const bd_figure *f = bd_card_get(&card, rows[i].id);

        assert_non_null(f);
        assert_close(f->value.typical, rows[i].value, 0.0);
        assert_non_null(f->line.about);
    }
    assert_null(bd_card_get(&card, "bag.area"));
    assert_null(bd_card_get(&card, "product.total"));
    assert_null(bd_card_get(&card, "product.per_bag"));
    assert_null(bd_card_get(&card, "product.per_bag.A"));
    assert_int_equal(card.table_count, PARTS);
    assert_string_equal(card.tables[2].id, "bases.C");
    assert_true(card.tables[2].cells[0].is_exact);
    assert_int_equal(card.step_count, PARTS);
    bd_card_clear(&card);
}

/* One finding for A and C, which say the same, and one for B under its full name. */
static void findings_name_who_says_them(void **state)
{
    bd_card card;

    (void)state;
    bd_card_init(&card, "sidedress");
    bd_card_gather(&card, parts, PARTS, &rules);
    assert_int_equal(card.finding_count, 2);
    assert_string_equal(card.findings[0].line.about->args[0].text, "A, C");
    assert_string_equal(card.findings[1].line.about->key, "groups.name");
    assert_string_equal(card.findings[1].line.about->args[0].text, "B");
    assert_int_equal(card.findings[1].level, BD_STOP);
    assert_close(card.findings[1].value, 9, 0.0);
    assert_int_equal(bd_card_verdict(&card), BD_STOP);
    bd_card_clear(&card);
}

/* One tank for all: A permits 0.1, B 0.2, C 0.3. */
static void what_one_mix_may_be_is_the_least(void **state)
{
    const bd_gather_rules one_mix = {sums, listed, true};
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    bd_card_gather(&card, parts, PARTS, &one_mix);
    assert_non_null(bd_card_get(&card, "product.per_bag.permitted"));
    assert_close(bd_card_get(&card, "product.per_bag.permitted")->value.typical, 0.1, 0.0);
    assert_null(bd_card_get(&card, "product.per_bag.permitted")->line.about);
    assert_null(bd_card_get(&card, "product.per_bag.B.permitted"));
    bd_card_clear(&card);
}

static void memory_that_runs_out_is_told(void **state)
{
    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (long n = 0;; n++) {
        bd_card card;
        bool has_failed;

        bd_card_init(&card, "sidedress");
        bd_fail_allocation_after(n);
        bd_card_gather(&card, parts, PARTS, &rules);
        has_failed = bd_allocations_allow();
        assert_int_equal(card.has_failed, has_failed);
        bd_card_clear(&card);
        if (!has_failed)
            break;
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_all_say_is_said_once),
        cmocka_unit_test(what_differs_carries_its_mark),
        cmocka_unit_test(findings_name_who_says_them),
        cmocka_unit_test(what_one_mix_may_be_is_the_least),
        cmocka_unit_test(memory_that_runs_out_is_told),
    };

    return cmocka_run_group_tests(tests, fill, drop);
}
