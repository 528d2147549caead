#include "nutrients/chemistry.h"

#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "base/text.h"
#include "nutrients/builtin.h"
#include "nutrients/chemistry_read.h"
#include "nutrients/store.h"

enum { KEPT_FILES = 64, TEXT_OF_NAMES = 200 };

struct bd_chemistry_files {
    bd_pool pool;
    struct json_t *json[KEPT_FILES];
    size_t json_count;
    bd_source *sources;
    size_t source_count, source_capacity;
};

static const char *const component_names[BD_COMPONENT_COUNT] = {
#define BD_COMPONENT(id, name, words) name,
#include "nutrients/component.def"
#undef BD_COMPONENT
};

const char *bd_component_name(bd_component component)
{
    return component_names[component];
}

/* ---- files ---- */

static const bd_builtin_file *builtin_file(const char *name)
{
    const bd_builtin_file *f = bd_builtin_files;

    while (f->name != NULL && strcmp(f->name, name) != 0)
        f++;
    return f->name == NULL ? NULL : f;
}

static bool keep_json(bd_load *load, struct bd_chemistry_files *files, struct json_t *json)
{
    if (files->json_count == KEPT_FILES) {
        bd_node_release(json);
        load->status = bd_fail(load->err, BD_RANGE, NULL, "more than %d data files", KEPT_FILES);
        return false;
    }
    files->json[files->json_count++] = json;
    return true;
}

static void read_file(bd_load *load, bd_chemistry *chemistry, const char *name,
                      void (*read)(bd_node *root, bd_chemistry *chemistry))
{
    const bd_builtin_file *file = builtin_file(name);
    bd_node root;

    if (load->status != BD_OK)
        return;
    if (file == NULL) {
        load->status = bd_fail(load->err, BD_MISSING, name, "not built in");
        return;
    }
    if (bd_node_parse(load, file->name, file->bytes, file->size, &root) != BD_OK ||
        !keep_json(load, chemistry->files, root.json))
        return;
    (void)bd_node_text_or(&root, "$schema", "");
    read(&root, chemistry);
    bd_node_end(&root);
}

static void read_source_item(bd_load *load, struct bd_chemistry_files *files, bd_node *item)
{
    bd_source *sources = bd_array_grow(files->sources, files->source_count, &files->source_capacity,
                                       sizeof *sources);

    if (sources == NULL) {
        (void)bd_node_fail(item, NULL, BD_MEMORY, "no memory left for the sources");
        return;
    }
    files->sources = sources;
    sources[files->source_count] = (bd_source){.key = ""};
    bd_node_record(item, bd_source_read, &sources[files->source_count]);
    files->source_count++;
    load->sources = sources;
    load->source_count = files->source_count;
}

static void read_sources_file(bd_node *root, bd_chemistry *chemistry)
{
    bd_node list;

    if (!bd_node_get(root, "sources", &list) || !bd_node_array(&list))
        return;
    for (size_t i = 0; bd_node_ok(root) && i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        read_source_item(root->load, chemistry->files, &item);
    }
}

static void read_sources(bd_load *load, bd_chemistry *chemistry)
{
    for (const bd_builtin_file *f = bd_builtin_files; f->name != NULL; f++)
        if (strncmp(f->name, "sources", strlen("sources")) == 0)
            read_file(load, chemistry, f->name, read_sources_file);
}

static bd_load start_load(bd_chemistry *chemistry, bd_error *err)
{
    return (bd_load){.pool = &chemistry->files->pool,
                     .sources = chemistry->files->sources,
                     .source_count = chemistry->files->source_count,
                     .err = err,
                     .status = BD_OK};
}

bd_status bd_chemistry_load(bd_chemistry **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_chemistry *chemistry = calloc(1, sizeof *chemistry);
    bd_load load;

    if (chemistry != NULL)
        chemistry->files = calloc(1, sizeof *chemistry->files);
    if (chemistry == NULL || chemistry->files == NULL) {
        free(chemistry);
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for the chemistry");
    }
    load = start_load(chemistry, err != NULL ? err : &own);
    read_sources(&load, chemistry);
    read_file(&load, chemistry, "species.json", bd_chemistry_read_species_file);
    read_file(&load, chemistry, "minerals.json", bd_chemistry_read_minerals_file);
    read_file(&load, chemistry, "waters.json", bd_chemistry_read_waters_file);
    if (load.status == BD_OK)
        *out = chemistry;
    else
        bd_chemistry_free(chemistry);
    return load.status;
}

void bd_chemistry_free(bd_chemistry *chemistry)
{
    if (chemistry == NULL)
        return;
    for (size_t i = 0; i < chemistry->files->json_count; i++)
        bd_node_release(chemistry->files->json[i]);
    bd_pool_clear(&chemistry->files->pool);
    free(chemistry->files->sources);
    free(chemistry->files);
    free(chemistry);
}

/* ---- looking up ---- */

bd_status bd_chemistry_species(const bd_chemistry *chemistry, const char *name, size_t *out,
                               bd_error *err)
{
    size_t i = bd_chemistry_find_species(chemistry, name);

    if (i == chemistry->species_count) {
        (void)bd_fail(err, BD_UNKNOWN, NULL, "unknown ion '%.40s'", name);
        (void)bd_accepts(err, "names such as K+, Ca+2, NO3-, SO4-2, H2PO4-, HCO3-, CO(NH2)2");
        return BD_UNKNOWN;
    }
    *out = i;
    return BD_OK;
}

const bd_mineral *bd_chemistry_mineral(const bd_chemistry *chemistry, const char *name)
{
    for (size_t i = 0; i < chemistry->mineral_count; i++)
        if (strcmp(chemistry->minerals[i].name, name) == 0)
            return &chemistry->minerals[i];
    return NULL;
}

static bd_status refuse_water(const bd_chemistry *chemistry, const char *name, bd_error *err)
{
    bd_text names;

    bd_text_init(&names, TEXT_OF_NAMES);
    for (size_t i = 0; i < chemistry->water_count; i++)
        bd_text_addf(&names, "%s%s", i == 0 ? "" : ", ", chemistry->waters[i].name);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "unknown water '%.60s'", name);
    (void)bd_accepts(err, "%s, or a file with your water's analysis", names.s);
    bd_text_clear(&names);
    return BD_UNKNOWN;
}

bd_status bd_chemistry_water(const bd_chemistry *chemistry, const char *name, const bd_water **out,
                             bd_error *err)
{
    for (size_t i = 0; i < chemistry->water_count; i++) {
        if (strcmp(chemistry->waters[i].name, name) == 0) {
            *out = &chemistry->waters[i];
            return BD_OK;
        }
    }
    return refuse_water(chemistry, name, err);
}

bd_status bd_chemistry_read_water(bd_chemistry *chemistry, const char *name, const void *bytes,
                                  size_t size, const bd_water **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_load load = start_load(chemistry, err != NULL ? err : &own);
    const char *kept = bd_pool_copy(load.pool, name);
    const bd_water *waters;
    size_t count;
    bd_node root;

    if (kept == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for this water");
    load.is_own = true;
    if (bd_node_parse(&load, kept, bytes, size, &root) != BD_OK)
        return load.status;
    if (!keep_json(&load, chemistry->files, root.json))
        return load.status;
    (void)bd_node_text_or(&root, "$schema", "");
    waters = bd_chemistry_read_list(&root, "waters", chemistry, sizeof(bd_water),
                                    bd_chemistry_read_water_record, &count);
    bd_node_end(&root);
    if (load.status == BD_OK && count != 1)
        (void)bd_node_fail(&root, "waters", BD_RANGE, "%zu waters; one is wanted", count);
    if (load.status == BD_OK)
        *out = waters;
    return load.status;
}
