/*
 * failing_malloc.h - makes one allocation of the code under test fail.
 *
 * Works in programs linked with -Wl,--wrap=malloc,--wrap=calloc,--wrap=realloc;
 * shared libraries keep their own memory.  The loop that every user writes:
 *
 *     for (long n = 0; ; n++) {
 *         bd_fail_allocation_after(n);
 *         status = work();
 *         if (!bd_allocations_allow())
 *             break;                   // there is no n-th allocation: done
 *         assert_int_equal(status, BD_MEMORY);
 *     }
 */
#ifndef BD_TESTS_FAILING_MALLOC_H
#define BD_TESTS_FAILING_MALLOC_H

#include <stdbool.h>

/* False in a program linked without the flag; a test then calls skip(). */
bool bd_allocations_can_fail(void);

/* From now on n allocations succeed, the next one fails, all later ones succeed. */
void bd_fail_allocation_after(long n);

/* Lets all succeed again; gives back whether the planned failure took place. */
bool bd_allocations_allow(void);

#endif
