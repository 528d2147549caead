#include "nutrients/bundle.h"

#include <stdlib.h>
#include <string.h>

#include "nutrients/builtin.h"
#include "nutrients/store.h"

bd_load bd_bundle_start(bd_bundle *bundle, bd_error *err)
{
    return (bd_load){.pool = &bundle->pool,
                     .sources = bundle->sources,
                     .source_count = bundle->source_count,
                     .err = err,
                     .status = BD_OK};
}

static bd_status fail_memory(bd_load *load, const char *name)
{
    load->status = BD_MEMORY;
    return bd_fail(load->err, BD_MEMORY, name, "no memory left for this file");
}

bd_status bd_bundle_parse(bd_bundle *bundle, bd_load *load, const char *name, const void *bytes,
                          size_t size, bd_node *out)
{
    struct json_t **files = bd_array_grow(bundle->files, bundle->file_count, &bundle->file_capacity,
                                          sizeof(struct json_t *));

    if (files == NULL)
        return fail_memory(load, name);
    bundle->files = files;
    if (bd_node_parse(load, name, bytes, size, out) != BD_OK)
        return load->status;
    files[bundle->file_count++] = out->json;
    return BD_OK;
}

static void read_builtin(bd_bundle *bundle, bd_load *load, const bd_builtin_file *file,
                         bd_bundle_reader *read, void *whole)
{
    bd_node root;

    if (load->status != BD_OK ||
        bd_bundle_parse(bundle, load, file->name, file->bytes, file->size, &root) != BD_OK)
        return;
    (void)bd_node_text_or(&root, "$schema", "");
    read(&root, whole);
    bd_node_end(&root);
}

/* ---- sources ---- */

static void take_source(bd_node *file, bd_bundle *bundle, const bd_source *source)
{
    bd_source *sources = bd_array_grow(bundle->sources, bundle->source_count,
                                       &bundle->source_capacity, sizeof *sources);

    if (sources == NULL) {
        (void)bd_node_fail(file, "sources", BD_MEMORY, "no memory left for the sources");
        return;
    }
    bundle->sources = sources;
    sources[bundle->source_count++] = *source;
}

static void read_sources_file(bd_node *file, void *whole)
{
    bd_bundle *bundle = whole;
    size_t count = 0;
    const bd_source *read = bd_node_list(file, "sources", sizeof *read, bd_source_read, &count);

    for (size_t i = 0; i < count && bd_node_ok(file); i++)
        take_source(file, bundle, &read[i]);
}

void bd_bundle_read_sources(bd_bundle *bundle, bd_load *load)
{
    for (const bd_builtin_file *f = bd_builtin_files; f->name != NULL; f++)
        if (strncmp(f->name, "sources", strlen("sources")) == 0)
            read_builtin(bundle, load, f, read_sources_file, bundle);
    load->sources = bundle->sources;
    load->source_count = bundle->source_count;
}

/* ---- the files of the reader ---- */

void bd_bundle_read(bd_bundle *bundle, bd_load *load, const char *name, bd_bundle_reader *read,
                    void *whole)
{
    const bd_builtin_file *f = bd_builtin_files;

    while (f->name != NULL && strcmp(f->name, name) != 0)
        f++;
    if (f->name != NULL)
        read_builtin(bundle, load, f, read, whole);
    else if (load->status == BD_OK)
        load->status = bd_fail(load->err, BD_MISSING, name, "not built in");
}

void bd_bundle_clear(bd_bundle *bundle)
{
    for (size_t i = 0; i < bundle->file_count; i++)
        bd_node_release(bundle->files[i]);
    free(bundle->files);
    free(bundle->sources);
    bd_pool_clear(&bundle->pool);
}
