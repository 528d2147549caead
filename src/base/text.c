#include "base/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char nothing[1]; /* what an empty text points at: never written to, never freed */

void bd_text_init(bd_text *t, size_t ceiling)
{
    *t = (bd_text){.s = nothing, .ceiling = ceiling};
}

void bd_text_clear(bd_text *t)
{
    if (t->s != nothing)
        free(t->s);
    bd_text_init(t, t->ceiling);
}

static bool make_room(bd_text *t, size_t extra)
{
    size_t need, capacity;
    char *s;

    if (t->has_failed || extra > t->ceiling - t->length) {
        t->has_failed = true;
        return false;
    }
    need = t->length + extra + 1;
    if (need <= t->capacity)
        return true;
    capacity = t->capacity == 0 ? 64 : t->capacity;
    while (capacity < need)
        capacity *= 2;
    s = realloc(t->s == nothing ? NULL : t->s, capacity);
    if (s == NULL) {
        t->has_failed = true;
        return false;
    }
    t->s = s;
    t->capacity = capacity;
    return true;
}

void bd_text_add_bytes(bd_text *t, const char *bytes, size_t n)
{
    if (n == 0 || !make_room(t, n))
        return;
    memcpy(t->s + t->length, bytes, n);
    t->length += n;
    t->s[t->length] = '\0';
}

void bd_text_add(bd_text *t, const char *s)
{
    bd_text_add_bytes(t, s, strlen(s));
}

void bd_text_addf(bd_text *t, const char *fmt, ...)
{
    va_list args, again;
    int n;

    va_start(args, fmt);
    va_copy(again, args);
    n = vsnprintf(NULL, 0, fmt, args);
    va_end(args);
    if (n < 0)
        t->has_failed = true;
    else if (make_room(t, (size_t)n)) {
        (void)vsnprintf(t->s + t->length, (size_t)n + 1, fmt, again);
        t->length += (size_t)n;
    }
    va_end(again);
}

bool bd_text_ok(const bd_text *t)
{
    return !t->has_failed;
}
