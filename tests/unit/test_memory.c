#include "base/memory.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "support/cmocka_all.h"
#include "support/failing_malloc.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

/* Sizes around the pool's block, each zeroed, aligned and apart from its neighbour. */
static const size_t sizes[] = {0, 1, 15, 16, 17, 8191, 8192, 8193, 100000};

static void check_size(void **state)
{
    size_t size = *(const size_t *)*state;
    bd_pool pool = {NULL};

    for (int round = 0; round < 3; round++) {
        unsigned char *p = bd_pool_get(&pool, size);
        unsigned char *q = bd_pool_get(&pool, 1);

        assert_non_null(p);
        assert_non_null(q);
        assert_int_equal((uintptr_t)p % alignof(max_align_t), 0);
        assert_int_equal((uintptr_t)q % alignof(max_align_t), 0);
        assert_true(q < p || q >= p + size);
        for (size_t i = 0; i < size; i++)
            assert_int_equal(p[i], 0);
        memset(p, 0xff, size);
        assert_int_equal(*q, 0);
        *q = 0xff;
    }
    bd_pool_clear(&pool);
    assert_null(pool.newest);
}

static void absurd_sizes_are_refused(void **state)
{
    bd_pool pool = {NULL};

    (void)state;
    assert_null(bd_pool_get(&pool, SIZE_MAX));
    assert_null(bd_pool_get(&pool, SIZE_MAX - 8));
    bd_pool_clear(&pool);
}

static void cleared_pool_is_usable(void **state)
{
    bd_pool pool = {NULL};

    (void)state;
    bd_pool_clear(&pool);
    assert_string_equal(bd_pool_copy(&pool, "first"), "first");
    bd_pool_clear(&pool);
    assert_string_equal(bd_pool_copy(&pool, "second"), "second");
    bd_pool_clear(&pool);
}

static void copies_stand_alone(void **state)
{
    bd_pool pool = {NULL};
    char word[] = "urea";
    const char *copy = bd_pool_copy(&pool, word);

    (void)state;
    word[0] = 'x';
    assert_string_equal(copy, "urea");
    assert_string_equal(bd_pool_copy(&pool, ""), "");
    assert_null(bd_pool_copy(&pool, NULL));
    bd_pool_clear(&pool);
}

static void array_keeps_what_it_holds(void **state)
{
    int *items = NULL;
    size_t capacity = 0;

    (void)state;
    for (int i = 0; i < 1000; i++) {
        int *grown = bd_array_grow(items, (size_t)i, &capacity, sizeof *items);

        assert_non_null(grown);
        items = grown;
        assert_true(capacity > (size_t)i);
        items[i] = i;
    }
    for (int i = 0; i < 1000; i++)
        assert_int_equal(items[i], i);
    free(items);
}

static void array_does_not_overflow(void **state)
{
    size_t capacity = SIZE_MAX / 4;

    (void)state;
    assert_null(bd_array_grow(NULL, capacity, &capacity, 16));
    assert_true(capacity == SIZE_MAX / 4);
}

static void failed_growth_keeps_the_array(void **state)
{
    int *items;
    size_t capacity = 0;

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    items = bd_array_grow(NULL, 0, &capacity, sizeof *items);
    assert_non_null(items);
    items[0] = 42;
    bd_fail_allocation_after(0);
    assert_null(bd_array_grow(items, capacity, &capacity, sizeof *items));
    (void)bd_allocations_allow();
    assert_int_equal(items[0], 42);
    free(items);
}

static void failed_pool_gives_null(void **state)
{
    bd_pool pool = {NULL};

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    bd_fail_allocation_after(0);
    assert_null(bd_pool_get(&pool, 10));
    assert_true(bd_allocations_allow());
    bd_fail_allocation_after(0);
    assert_null(bd_pool_copy(&pool, "x"));
    assert_true(bd_allocations_allow());
    assert_non_null(bd_pool_get(&pool, 10));
    bd_pool_clear(&pool);
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(sizes) + 7];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(sizes); i++)
        tests[n++] =
            (struct CMUnitTest){"pool/size", check_size, NULL, NULL, (void *)(uintptr_t)&sizes[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(absurd_sizes_are_refused);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(cleared_pool_is_usable);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(copies_stand_alone);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(array_keeps_what_it_holds);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(array_does_not_overflow);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(failed_growth_keeps_the_array);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(failed_pool_gives_null);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
