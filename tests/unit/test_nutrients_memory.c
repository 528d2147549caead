/*
 * The load with each allocation made to fail once.  Needs the link flags of
 * support/failing_malloc.h; run it under a leak checker to see all of it.
 */
#include <jansson.h>
#include <stdlib.h>

#include "nutrients/catalogue.h"
#include "support/cmocka_all.h"
#include "support/failing_malloc.h"

/* The parser makes some hundred thousand allocations; every so many is tried. */
enum { PARSER_STEP = 1999 };

static void *give(size_t n)
{
    return malloc(n);
}

static void take(void *p)
{
    free(p);
}

static bool fails_at(long n, bd_status *status, bd_catalogue **c)
{
    bd_error err = {.status = BD_OK};

    *c = NULL;
    bd_fail_allocation_after(n);
    *status = bd_catalogue_load(NULL, c, &err);
    return bd_allocations_allow();
}

static void each_own_allocation_may_fail(void **state)
{
    bd_catalogue *c = NULL;
    bd_status status;
    long n = 0;

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (; fails_at(n, &status, &c); n++) {
        assert_int_equal(status, BD_MEMORY);
        assert_null(c);
    }
    assert_int_equal(status, BD_OK);
    assert_true(n > 20);
    bd_catalogue_free(c);
}

/* The parser calls some failures of memory a syntax error; what counts is that it ends well. */
static void parser_allocations_may_fail(void **state)
{
    bd_catalogue *c = NULL;
    bd_status status;
    long n = 0;

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    json_set_alloc_funcs(give, take);
    for (; fails_at(n, &status, &c); n += PARSER_STEP) {
        assert_int_not_equal(status, BD_OK);
        assert_null(c);
    }
    assert_int_equal(status, BD_OK);
    assert_true(n > 20L * PARSER_STEP);
    bd_catalogue_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(each_own_allocation_may_fail),
        cmocka_unit_test(parser_allocations_may_fail),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
