#include "record/lines.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "record/entry.h"

enum { LONGEST_PATH = 120 };

/* The end of a long path says more than its start. */
static void place(bd_error *err, const char *path, size_t line)
{
    size_t n = strlen(path);
    char where[LONGEST_PATH + 32];

    (void)snprintf(where, sizeof where, "%s:%zu", n > LONGEST_PATH ? path + n - LONGEST_PATH : path,
                   line);
    bd_error_at(err, where);
}

static void mark_torn(bd_records *out, size_t line, size_t bytes, size_t whole_lines)
{
    out->torn_line = line;
    out->torn_bytes += bytes;
    out->torn_lines = whole_lines;
}

/* One line; `is_last` when nothing follows it. */
static bd_status add_line(bd_records *out, const char *bytes, size_t n, size_t line, bool is_last,
                          bd_error *err)
{
    bd_entry *items = bd_array_grow(out->items, out->count, &out->capacity, sizeof *items);
    bd_entry_fault fault = BD_ENTRY_WHOLE;
    bd_error own = {0};
    bd_status status;

    if (items == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left");
    out->items = items;
    status = bd_entry_read(bytes, n, &out->pool, &items[out->count], &fault, &own);
    if (status == BD_OK) {
        items[out->count++].line = line;
        return BD_OK;
    }
    if (fault == BD_ENTRY_NO_JSON && is_last) {
        mark_torn(out, line, n + 1, 0);
        return BD_OK;
    }
    (void)bd_fail(err, status, NULL, "%s", own.text);
    if (fault == BD_ENTRY_NO_JSON)
        (void)bd_accepts(err, "the line as it was written: a record is added to, never edited");
    else if (own.accepts[0] != '\0')
        (void)bd_accepts(err, "%s", own.accepts);
    return status;
}

static bd_status add_lines(const char *path, const char *bytes, size_t n, bd_records *out,
                           bd_error *err)
{
    size_t line = 1;

    for (size_t start = 0; start < n; line++) {
        const char *newline = memchr(bytes + start, '\n', n - start);
        size_t end = newline == NULL ? n : (size_t)(newline - bytes);
        bd_status status;

        if (newline == NULL) {
            mark_torn(out, line, n - start, 0);
            return BD_OK;
        }
        status = add_line(out, bytes + start, end - start, line, end + 1 == n, err);
        if (status != BD_OK) {
            place(err, path, line);
            return status;
        }
        start = end + 1;
    }
    return BD_OK;
}

/* ---- batches ---- */

static size_t offset_of_line(const char *bytes, size_t n, size_t line)
{
    size_t at = 0;

    for (size_t i = 1; i < line && at < n; i++)
        at = (size_t)((const char *)memchr(bytes + at, '\n', n - at) - bytes) + 1;
    return at;
}

/* How many lines from i on belong to its batch, in a row. */
static size_t length_of_batch(const bd_records *r, size_t i)
{
    size_t n = 0;

    while (i + n < r->count && strcmp(r->items[i + n].batch, r->items[i].batch) == 0 &&
           r->items[i + n].batch_of == r->items[i].batch_of && n < r->items[i].batch_of)
        n++;
    return n;
}

/* A batch whose rest never reached the file does not count at all. */
static bd_status check_batches(const char *path, const char *bytes, size_t n, bd_records *r,
                               bd_error *err)
{
    for (size_t i = 0, length; i < r->count; i += length) {
        const bd_entry *e = &r->items[i];
        bool is_begun_right = strcmp(e->batch, e->id) == 0;

        length = e->batch[0] == '\0' ? 1 : length_of_batch(r, i);
        if (e->batch[0] == '\0' || (is_begun_right && length == e->batch_of))
            continue;
        if (is_begun_right && i + length == r->count) {
            size_t start = offset_of_line(bytes, n, e->line);

            r->torn_bytes = 0;
            mark_torn(r, e->line, n - start, length);
            r->count = i;
            return BD_OK;
        }
        (void)bd_fail(err, BD_CONFLICT, NULL, "batch '%.40s' is not whole", e->batch);
        place(err, path, e->line);
        return BD_CONFLICT;
    }
    return BD_OK;
}

/* ---- ids ---- */

static int by_id(const void *a, const void *b)
{
    const bd_entry *x = *(bd_entry *const *)a, *y = *(bd_entry *const *)b;
    int order = strcmp(x->id, y->id);

    return order != 0 ? order : (x->line > y->line) - (x->line < y->line);
}

static int id_against(const void *id, const void *entry)
{
    return strcmp(id, (*(bd_entry *const *)entry)->id);
}

static bd_status check_twice(const char *path, bd_entry *const *sorted, size_t count, bd_error *err)
{
    for (size_t i = 1; i < count; i++) {
        if (strcmp(sorted[i - 1]->id, sorted[i]->id) != 0)
            continue;
        (void)bd_fail(err, BD_CONFLICT, NULL, "id '%.40s' stands in line %zu too", sorted[i]->id,
                      sorted[i - 1]->line);
        place(err, path, sorted[i]->line);
        return BD_CONFLICT;
    }
    return BD_OK;
}

static bd_status reverse(const char *path, bd_entry *const *sorted, size_t count, const bd_entry *e,
                         bd_error *err)
{
    bd_entry *const *found = bsearch(e->reverses, sorted, count, sizeof *sorted, id_against);
    const char *why = NULL;

    if (found == NULL || (*found)->line >= e->line)
        why = "which does not stand above it";
    else if ((*found)->reverses[0] != '\0')
        why = "itself a reversal";
    else if ((*found)->is_reversed)
        why = "which is reversed already";
    if (why == NULL) {
        (*found)->is_reversed = true;
        return BD_OK;
    }
    (void)bd_fail(err, BD_CONFLICT, NULL, "reverses '%.40s', %s", e->reverses, why);
    place(err, path, e->line);
    return BD_CONFLICT;
}

static bd_status link_ids(const char *path, bd_records *r, bd_error *err)
{
    bd_entry **sorted = r->count == 0 ? NULL : malloc(r->count * sizeof *sorted);
    bd_status status;

    if (r->count == 0)
        return BD_OK;
    if (sorted == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left");
    for (size_t i = 0; i < r->count; i++)
        sorted[i] = &r->items[i];
    qsort(sorted, r->count, sizeof *sorted, by_id);
    status = check_twice(path, sorted, r->count, err);
    for (size_t i = 0; i < r->count && status == BD_OK; i++)
        if (r->items[i].reverses[0] != '\0')
            status = reverse(path, sorted, r->count, &r->items[i], err);
    free(sorted);
    return status;
}

bd_status bd_lines_read(const char *path, const char *bytes, size_t n, bd_records *out,
                        bd_error *err)
{
    bd_status status = add_lines(path, bytes, n, out, err);

    if (status == BD_OK)
        status = check_batches(path, bytes, n, out, err);
    return status == BD_OK ? link_ids(path, out, err) : status;
}
