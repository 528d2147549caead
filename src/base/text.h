/*
 * text.h - text that grows, with a ceiling.
 *
 * Lowest layer.  A hostile file cannot make it grow without end: each use names
 * its maximum.  Failure is sticky, so that a writer may add many pieces and ask
 * once at the end.
 *
 *     bd_text t;
 *     bd_text_init(&t, 65536);
 *     bd_text_add(&t, "grams ");
 *     bd_text_addf(&t, "%d", 5);
 *     if (!bd_text_ok(&t)) ...
 *     bd_text_clear(&t);
 */
#ifndef BD_BASE_TEXT_H
#define BD_BASE_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"

typedef struct bd_text {
    char *s; /* always a string, "" at first; owned by the text */
    size_t length, capacity, ceiling;
    bool has_failed;
} bd_text;

/* Starts an empty text that may hold at most `ceiling` bytes. */
void bd_text_init(bd_text *t, size_t ceiling);
/* Gives the memory back; the text may be initialised again. */
void bd_text_clear(bd_text *t);

/* Each adds all of it, or nothing once the text has failed or would pass its ceiling. */
void bd_text_add(bd_text *t, const char *s);
void bd_text_add_bytes(bd_text *t, const char *bytes, size_t n);
void bd_text_addf(bd_text *t, const char *fmt, ...) BD_PRINTF(2, 3);

/* False once memory or the ceiling ran out; what was added before is still there. */
bool bd_text_ok(const bd_text *t);

#endif
