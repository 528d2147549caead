#include "support/failing_malloc.h"

#include <stddef.h>

/* Weak, so that a program linked without --wrap links too. */
void *__real_malloc(size_t n) __attribute__((weak));
void *__real_calloc(size_t count, size_t n) __attribute__((weak));
void *__real_realloc(void *p, size_t n) __attribute__((weak));
void *__wrap_malloc(size_t n);
void *__wrap_calloc(size_t count, size_t n);
void *__wrap_realloc(void *p, size_t n);

enum { NEVER = -1 };

static long until_failure = NEVER;
static bool has_failed_once;

static bool is_to_fail(void)
{
    if (until_failure == NEVER)
        return false;
    if (until_failure-- > 0)
        return false;
    has_failed_once = true;
    return true;
}

void *__wrap_malloc(size_t n)
{
    return is_to_fail() ? NULL : __real_malloc(n);
}

void *__wrap_calloc(size_t count, size_t n)
{
    return is_to_fail() ? NULL : __real_calloc(count, n);
}

void *__wrap_realloc(void *p, size_t n)
{
    return is_to_fail() ? NULL : __real_realloc(p, n);
}

bool bd_allocations_can_fail(void)
{
    return __real_malloc != NULL;
}

void bd_fail_allocation_after(long n)
{
    until_failure = n;
    has_failed_once = false;
}

bool bd_allocations_allow(void)
{
    until_failure = NEVER;
    return has_failed_once;
}
