#include "base/text.h"

#include <string.h>

#include "support/cmocka_all.h"
#include "support/failing_malloc.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Adding one piece to a text that already holds "abc". */
static const struct add_row {
    const char *name;
    size_t ceiling;
    const char *piece, *want;
    bool is_ok;
} adds[] = {
    {"add/fits", 100, "def", "abcdef", true},
    {"add/nothing", 100, "", "abc", true},
    {"add/exactly_the_ceiling", 6, "def", "abcdef", true},
    {"add/one_over_the_ceiling_adds_nothing", 5, "def", "abc", false},
    {"add/nothing_at_the_ceiling", 3, "", "abc", true},
    {"add/past_the_first_block", 1000,
     "0123456789012345678901234567890123456789012345678901234567890123456789",
     "abc0123456789012345678901234567890123456789012345678901234567890123456789", true},
    {"add/percent_is_no_format", 100, "%s%n", "abc%s%n", true},
};

static void check_add(void **state)
{
    const struct add_row *r = *state;
    bd_text plain, formatted, bytes;

    bd_text_init(&plain, r->ceiling);
    bd_text_init(&formatted, r->ceiling);
    bd_text_init(&bytes, r->ceiling);
    bd_text_add(&plain, "abc");
    bd_text_add(&formatted, "abc");
    bd_text_add(&bytes, "abc");
    bd_text_add(&plain, r->piece);
    bd_text_addf(&formatted, "%s", r->piece);
    bd_text_add_bytes(&bytes, r->piece, strlen(r->piece));
    assert_string_equal(plain.s, r->want);
    assert_string_equal(formatted.s, r->want);
    assert_string_equal(bytes.s, r->want);
    assert_int_equal(plain.length, strlen(r->want));
    assert_int_equal(formatted.length, strlen(r->want));
    assert_int_equal(bd_text_ok(&plain), r->is_ok);
    assert_int_equal(bd_text_ok(&formatted), r->is_ok);
    assert_int_equal(bd_text_ok(&bytes), r->is_ok);
    bd_text_clear(&plain);
    bd_text_clear(&formatted);
    bd_text_clear(&bytes);
}

static void empty_text_is_a_string(void **state)
{
    bd_text t;

    (void)state;
    bd_text_init(&t, 10);
    assert_string_equal(t.s, "");
    assert_true(bd_text_ok(&t));
    bd_text_clear(&t);
    assert_string_equal(t.s, "");
}

static void failure_is_sticky_until_cleared(void **state)
{
    bd_text t;

    (void)state;
    bd_text_init(&t, 4);
    bd_text_add(&t, "12345");
    bd_text_add(&t, "1");
    assert_string_equal(t.s, "");
    assert_false(bd_text_ok(&t));
    bd_text_clear(&t);
    bd_text_add(&t, "1234");
    assert_string_equal(t.s, "1234");
    assert_true(bd_text_ok(&t));
    bd_text_clear(&t);
}

static void bytes_may_hold_a_zero(void **state)
{
    bd_text t;

    (void)state;
    bd_text_init(&t, 10);
    bd_text_add_bytes(&t, "a\0b", 3);
    assert_int_equal(t.length, 3);
    assert_memory_equal(t.s, "a\0b", 4);
    bd_text_clear(&t);
}

static void every_allocation_may_fail(void **state)
{
    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (long n = 0;; n++) {
        bd_text t;
        bool is_ok;

        bd_text_init(&t, 4096);
        bd_fail_allocation_after(n);
        for (int i = 0; i < 100; i++)
            bd_text_addf(&t, "%d grams ", i);
        is_ok = bd_text_ok(&t);
        bd_text_clear(&t);
        if (!bd_allocations_allow()) {
            assert_true(is_ok);
            return;
        }
        assert_false(is_ok);
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(adds) + 4];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(adds); i++)
        tests[n++] = (struct CMUnitTest){adds[i].name, check_add, NULL, NULL, (void *)&adds[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(empty_text_is_a_string);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(failure_is_sticky_until_cleared);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(bytes_may_hold_a_zero);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_allocation_may_fail);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
