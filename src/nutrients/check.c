#include <jansson.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "nutrients/store.h"

/* One flag a source, set when it is cited. */
typedef struct citations {
    const bd_source *sources;
    size_t count;
    bool *is_cited;
    const char *file;
    bd_error *err;
    bd_status status;
} citations;

static void cite_key(citations *c, const char *key, size_t length)
{
    for (size_t i = 0; i < c->count; i++) {
        if (strncmp(c->sources[i].key, key, length) == 0 && c->sources[i].key[length] == '\0') {
            c->is_cited[i] = true;
            return;
        }
    }
    c->status = bd_fail(c->err, BD_UNKNOWN, c->file, "unknown source '%.*s'", (int)length, key);
}

static void cite(citations *c, const char *keys)
{
    while (*keys != '\0') {
        size_t length = strcspn(keys, ";");

        cite_key(c, keys, length);
        keys += length;
        keys += strspn(keys, "; ");
    }
}

static bool is_citation(const char *key, const json_t *value)
{
    return json_is_string(value) && (strcmp(key, "source") == 0 || strcmp(key, "guide") == 0);
}

/* Every citation, however deep; the files nest no deeper than the parser allows. */
static void collect(citations *c, json_t *json)
{
    const char *key;
    json_t *value;
    size_t i;

    json_array_foreach(json, i, value) collect(c, value);
    json_object_foreach(json, key, value)
    {
        if (is_citation(key, value))
            cite(c, json_string_value(value));
        else
            collect(c, value);
    }
}

static void find_unused(citations *c)
{
    for (size_t i = 0; i < c->count && c->status == BD_OK; i++)
        if (!c->is_cited[i])
            c->status = bd_fail(c->err, BD_CONFLICT, NULL, "source '%s' is cited by no record",
                                c->sources[i].key);
}

bd_status bd_catalogue_check(const bd_catalogue *c, bd_error *err)
{
    const bd_data_file *files = c->files.items;
    citations all = {.sources = c->lists[BD_LIST_SOURCES].items,
                     .count = c->lists[BD_LIST_SOURCES].count,
                     .err = err,
                     .status = BD_OK};

    all.is_cited = calloc(all.count + 1, sizeof *all.is_cited);
    if (all.is_cited == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for the check");
    for (size_t i = 0; i < c->files.count; i++) {
        all.file = files[i].name;
        collect(&all, files[i].json);
    }
    find_unused(&all);
    free(all.is_cited);
    return all.status;
}
