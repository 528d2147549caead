#include "base/memory.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK_SIZE = 8192 };

struct bd_pool_block {
    struct bd_pool_block *older;
    size_t used, size;
    alignas(max_align_t) unsigned char bytes[];
};

static struct bd_pool_block *add_block(bd_pool *pool, size_t n)
{
    size_t size = n > BLOCK_SIZE ? n : BLOCK_SIZE;
    struct bd_pool_block *block;

    if (size > SIZE_MAX - sizeof *block)
        return NULL;
    block = malloc(sizeof *block + size);
    if (block == NULL)
        return NULL;
    block->older = pool->newest;
    block->used = 0;
    block->size = size;
    pool->newest = block;
    return block;
}

void *bd_pool_get(bd_pool *pool, size_t n)
{
    const size_t step = alignof(max_align_t);
    struct bd_pool_block *block = pool->newest;
    void *p;

    if (n > SIZE_MAX / 2)
        return NULL;
    n = (n + step - 1) / step * step;
    if (block == NULL || block->size - block->used < n)
        block = add_block(pool, n);
    if (block == NULL)
        return NULL;
    p = block->bytes + block->used;
    block->used += n;
    return memset(p, 0, n);
}

const char *bd_pool_copy(bd_pool *pool, const char *s)
{
    size_t n;
    char *copy;

    if (s == NULL)
        return NULL;
    n = strlen(s) + 1;
    copy = bd_pool_get(pool, n);
    return copy == NULL ? NULL : memcpy(copy, s, n);
}

void bd_pool_clear(bd_pool *pool)
{
    while (pool->newest != NULL) {
        struct bd_pool_block *older = pool->newest->older;

        free(pool->newest);
        pool->newest = older;
    }
}

void *bd_array_grow(void *items, size_t count, size_t *capacity, size_t size)
{
    size_t more;
    void *moved;

    if (count < *capacity)
        return items;
    more = *capacity == 0 ? 8 : *capacity * 2;
    if (more > SIZE_MAX / 2 / size)
        return NULL;
    moved = realloc(items, more * size);
    if (moved != NULL)
        *capacity = more;
    return moved;
}
