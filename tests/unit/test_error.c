#include "base/error.h"

#include <stdio.h>
#include <string.h>

#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Exit statuses of the command, design section 6: wrong input is 2, files and memory are 3. */
static const struct exit_row {
    const char *name;
    bd_status status;
    int exit_status;
} exits[] = {
    {"exit/ok", BD_OK, 0},
    {"exit/syntax", BD_SYNTAX, 2},
    {"exit/dimension", BD_DIMENSION, 2},
    {"exit/ambiguous", BD_AMBIGUOUS, 2},
    {"exit/range", BD_RANGE, 2},
    {"exit/unknown", BD_UNKNOWN, 2},
    {"exit/missing", BD_MISSING, 2},
    {"exit/conflict", BD_CONFLICT, 2},
    {"exit/outside", BD_OUTSIDE, 2},
    {"exit/unsolved", BD_UNSOLVED, 2},
    {"exit/file", BD_FILE, 3},
    {"exit/memory", BD_MEMORY, 3},
};

static void check_exit(void **state)
{
    const struct exit_row *r = *state;

    assert_int_equal(bd_status_exit(r->status), r->exit_status);
    assert_non_null(bd_status_words(r->status));
    assert_true(strlen(bd_status_words(r->status)) > 0);
}

static void every_status_has_a_row(void **state)
{
    (void)state;
    assert_int_equal(COUNT_OF(exits), BD_STATUS_COUNT);
}

/* What a message shows of a hostile name: text, place and hint pass through the same door. */
static const struct shown_row {
    const char *name, *given, *shown;
} shown[] = {
    {"shown/plain", "5 g", "5 g"},
    {"shown/percent_is_no_format", "100 %s%n", "100 %s%n"},
    {"shown/turned_direction",
     "a\xe2\x80\xae"
     "b\xe2\x81\xa6"
     "c\xe2\x80\xa8",
     "a???b???c???"},
    {"shown/a_dash_passes",
     "a\xe2\x80\x93"
     "b",
     "a\xe2\x80\x93"
     "b"},
    {"shown/escape_sequence", "\x1b[2J\x1b[31mred", "?[2J?[31mred"},
    {"shown/line_ends", "a\r\nb", "a??b"},
    {"shown/tab_and_bell", "a\tb\a", "a?b?"},
    {"shown/delete", "a\x7f", "a?"},
    {"shown/utf8_passes",
     "\xc2\xb0"
     "C \xe2\x82\xac",
     "\xc2\xb0"
     "C \xe2\x82\xac"},
    {"shown/control_of_the_second_page",
     "a\xc2\x9b"
     "31m",
     "a??31m"},
    {"shown/next_line_mark",
     "a\xc2\x85"
     "b",
     "a??b"},
};

static void check_shown(void **state)
{
    const struct shown_row *r = *state;
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_fail(&err, BD_RANGE, r->given, "%s", r->given), BD_RANGE);
    assert_int_equal(bd_accepts(&err, "%s", r->given), BD_RANGE);
    assert_string_equal(err.where, r->shown);
    assert_string_equal(err.text, r->shown);
    assert_string_equal(err.accepts, r->shown);
}

static void first_failure_is_kept(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    assert_int_equal(bd_fail(&err, BD_SYNTAX, NULL, "first %d", 1), BD_SYNTAX);
    assert_int_equal(bd_fail(&err, BD_FILE, "elsewhere", "second"), BD_FILE);
    assert_int_equal(err.status, BD_SYNTAX);
    assert_string_equal(err.text, "first 1");
    assert_string_equal(err.where, "");
    assert_int_equal(bd_accepts(&err, "this"), BD_SYNTAX);
    assert_int_equal(bd_accepts(&err, "that"), BD_SYNTAX);
    assert_string_equal(err.accepts, "this");
}

static void place_is_filled_in_once(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    bd_error_at(&err, "too early");
    assert_string_equal(err.where, "");
    (void)bd_fail(&err, BD_RANGE, NULL, "text");
    bd_error_at(&err, NULL);
    assert_string_equal(err.where, "");
    bd_error_at(&err, "--tank");
    bd_error_at(&err, "--other");
    assert_string_equal(err.where, "--tank");
    bd_error_at(NULL, "--tank");
}

static void nobody_need_listen(void **state)
{
    (void)state;
    assert_int_equal(bd_fail(NULL, BD_MEMORY, "x", "%s", "y"), BD_MEMORY);
    (void)bd_accepts(NULL, "%s", "z");
}

static void long_text_is_cut_not_spilled(void **state)
{
    bd_error err = {.status = BD_OK};
    char lengthy[1000];

    (void)state;
    memset(lengthy, 'x', sizeof lengthy - 1);
    lengthy[sizeof lengthy - 1] = '\0';
    (void)bd_fail(&err, BD_SYNTAX, lengthy, "%s", lengthy);
    (void)bd_accepts(&err, "%s", lengthy);
    assert_int_equal(strlen(err.where), sizeof err.where - 1);
    assert_int_equal(strlen(err.text), sizeof err.text - 1);
    assert_int_equal(strlen(err.accepts), sizeof err.accepts - 1);
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(exits) + COUNT_OF(shown) + 5];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(exits); i++)
        tests[n++] = (struct CMUnitTest){exits[i].name, check_exit, NULL, NULL, (void *)&exits[i]};
    for (size_t i = 0; i < COUNT_OF(shown); i++)
        tests[n++] = (struct CMUnitTest){shown[i].name, check_shown, NULL, NULL, (void *)&shown[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_status_has_a_row);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(first_failure_is_kept);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(place_is_filled_in_once);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(nobody_need_listen);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(long_text_is_cut_not_spilled);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
