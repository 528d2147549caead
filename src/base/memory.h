/*
 * memory.h - a pool for strings and small records, and arrays that grow.
 *
 * Lowest layer.  Both use malloc and realloc, which the tests replace at link
 * time (--wrap) to make each allocation fail once.
 */
#ifndef BD_BASE_MEMORY_H
#define BD_BASE_MEMORY_H

#include <stdbool.h>
#include <stddef.h>

/* Memory that lives until the whole pool is cleared; for strings and small records. */
typedef struct bd_pool {
    struct bd_pool_block *newest;
} bd_pool;

/* n zeroed bytes, aligned for any object, or NULL when there is no memory. */
void *bd_pool_get(bd_pool *pool, size_t n);

/* A copy of s in the pool, or NULL.  A NULL s gives NULL. */
const char *bd_pool_copy(bd_pool *pool, const char *s);

/* Frees everything the pool gave out; the pool is empty and usable again. */
void bd_pool_clear(bd_pool *pool);

/*
 * Makes room for one more element in a growing array.
 *
 *   items     the array, may be NULL; kept as it was on failure
 *   count     elements in use
 *   capacity  elements allocated, updated
 *   size      of one element
 *
 * Returns the array, perhaps moved, or NULL when there is no memory.
 */
void *bd_array_grow(void *items, size_t count, size_t *capacity, size_t size);

#endif
