#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "nutrients/builtin.h"
#include "nutrients/crops.h"
#include "nutrients/store.h"

enum { LARGEST_FILE = 4 * 1024 * 1024, LONGEST_PATH = 4096, PIECE = 16384 };

/*
 * The lists a file may hold, in the order they are read: what a record names must
 * have been read before it.
 */
static const struct section {
    const char *key;
    bd_list_id list;
    size_t size;
    void (*read)(bd_node *at, void *record);
    void (*check)(const bd_node *at, const bd_catalogue *c, const void *record);
} sections[] = {
    {"sources", BD_LIST_SOURCES, sizeof(bd_source), bd_source_read, bd_source_check},
    {"materials", BD_LIST_MATERIALS, sizeof(bd_material), bd_material_read, bd_material_check},
    {"groups", BD_LIST_GROUPS, sizeof(bd_group), bd_group_read, bd_group_check},
    {"crops", BD_LIST_CROPS, sizeof(bd_crop), bd_crop_read, bd_crop_check},
    {"curves", BD_LIST_CURVES, sizeof(bd_solubility), bd_solubility_read, bd_solubility_check},
    {"figures", BD_LIST_FIGURES, sizeof(bd_practice), bd_practice_read, bd_practice_check},
    {"limits", BD_LIST_LIMITS, sizeof(bd_limit), bd_limit_read, bd_limit_check},
    {"cautions", BD_LIST_CAUTIONS, sizeof(bd_caution_rule), bd_caution_rule_read,
     bd_caution_rule_check},
    {"scoops", BD_LIST_SCOOPS, sizeof(bd_own_scoop), bd_own_scoop_read, bd_own_scoop_check},
};
enum { SECTION_COUNT = sizeof sections / sizeof sections[0] };

/* Built-in files with readers of their own: chemistry.h, media.h, parts.h. */
static const char *const files_of_others[] = {"media.json", "minerals.json", "parts.json",
                                              "species.json", "waters.json"};

static bool is_of_others(const bd_data_file *file)
{
    for (size_t i = 0; i < sizeof files_of_others / sizeof files_of_others[0]; i++)
        if (!file->is_own && strcmp(file->name, files_of_others[i]) == 0)
            return true;
    return false;
}

static bd_status fail_for_memory(bd_load *load)
{
    load->status = BD_MEMORY;
    return bd_fail(load->err, BD_MEMORY, NULL, "no memory left for the data");
}

/* ---- files ---- */

/* Takes the parsed file; releases it when there is no room. */
static bd_status keep_file(bd_catalogue *c, bd_load *load, bd_data_file file)
{
    bd_data_file *files =
        bd_array_grow(c->files.items, c->files.count, &c->files.capacity, sizeof *files);

    if (files == NULL) {
        bd_node_release(file.json);
        return fail_for_memory(load);
    }
    c->files.items = files;
    files[c->files.count++] = file;
    return BD_OK;
}

static bd_status parse_file(bd_catalogue *c, bd_load *load, const char *name, const void *bytes,
                            size_t size)
{
    const char *kept = bd_pool_copy(&c->pool, name);
    bd_node root;

    if (kept == NULL)
        return fail_for_memory(load);
    if (bd_node_parse(load, kept, bytes, size, &root) != BD_OK)
        return load->status;
    return keep_file(c, load, (bd_data_file){kept, root.json, load->is_own});
}

static void parse_builtin_files(bd_catalogue *c, bd_load *load)
{
    for (const bd_builtin_file *f = bd_builtin_files; f->name != NULL; f++)
        if (load->status == BD_OK)
            (void)parse_file(c, load, f->name, f->bytes, f->size);
}

static bd_status fail_to_read(bd_load *load, const char *path)
{
    load->status = BD_FILE;
    return bd_fail(load->err, BD_FILE, path, "cannot be read: %s", strerror(errno));
}

static bd_status read_stream(FILE *stream, const char *path, bd_text *bytes, bd_load *load)
{
    char piece[PIECE];
    size_t n;

    while ((n = fread(piece, 1, sizeof piece, stream)) > 0)
        bd_text_add_bytes(bytes, piece, n);
    if (ferror(stream))
        return fail_to_read(load, path);
    if (!bd_text_ok(bytes)) {
        load->status = bytes->length + PIECE > LARGEST_FILE ? BD_RANGE : BD_MEMORY;
        return bd_fail(load->err, load->status, path, "too large a file, or no memory for it");
    }
    return BD_OK;
}

static void parse_own_file(bd_catalogue *c, bd_load *load, const char *path)
{
    FILE *stream = fopen(path, "rb");
    bd_text bytes;

    if (stream == NULL) {
        (void)fail_to_read(load, path);
        return;
    }
    bd_text_init(&bytes, LARGEST_FILE);
    if (read_stream(stream, path, &bytes, load) == BD_OK)
        (void)parse_file(c, load, path, bytes.s, bytes.length);
    bd_text_clear(&bytes);
    (void)fclose(stream);
}

static int is_data_file(const struct dirent *entry)
{
    size_t n = strlen(entry->d_name);

    return entry->d_name[0] != '.' && n > 5 && strcmp(entry->d_name + n - 5, ".json") == 0;
}

/* Every *.json of the folder, by name, so that the order is the same everywhere. */
static void parse_own_files(bd_catalogue *c, bd_load *load, const char *folder)
{
    struct dirent **entries = NULL;
    int n = scandir(folder, &entries, is_data_file, alphasort);

    load->is_own = true;
    if (n < 0)
        (void)fail_to_read(load, folder);
    for (int i = 0; i < n; i++) {
        char path[LONGEST_PATH];

        (void)snprintf(path, sizeof path, "%s/%s", folder, entries[i]->d_name);
        if (load->status == BD_OK)
            parse_own_file(c, load, path);
        free(entries[i]);
    }
    free(entries);
}

/* ---- records ---- */

static void use_sources(const bd_catalogue *c, bd_load *load)
{
    load->sources = c->lists[BD_LIST_SOURCES].items;
    load->source_count = c->lists[BD_LIST_SOURCES].count;
}

/* Room for one more record, zeroed and not yet counted; NULL after a failure. */
static void *next_slot(bd_list *list, size_t size, bd_load *load)
{
    void *items = bd_array_grow(list->items, list->count, &list->capacity, size);

    if (items == NULL) {
        (void)fail_for_memory(load);
        return NULL;
    }
    list->items = items;
    return memset((unsigned char *)items + list->count * size, 0, size);
}

/* Moves a limit that was read, but not counted, among those not used. */
static void set_aside(bd_catalogue *c, bd_load *load, const bd_limit *limit)
{
    bd_list *ignored = &c->lists[BD_LIST_IGNORED];
    bd_limit *slot = next_slot(ignored, sizeof *slot, load);

    if (slot == NULL)
        return;
    *slot = *limit;
    ignored->count++;
}

static void read_record(bd_catalogue *c, bd_load *load, const struct section *section,
                        bd_node *item)
{
    bd_list *list = &c->lists[section->list];
    void *slot = next_slot(list, section->size, load);

    if (slot == NULL)
        return;
    bd_node_record(item, section->read, slot);
    if (load->status == BD_OK)
        section->check(item, c, slot);
    if (load->status != BD_OK)
        return;
    if (section->list == BD_LIST_LIMITS)
        bd_limit_settle(c, slot);
    if (section->list == BD_LIST_LIMITS && bd_limit_is_looser(c, slot))
        set_aside(c, load, slot);
    else
        list->count++;
}

static void read_section(bd_catalogue *c, bd_load *load, const struct section *section,
                         bd_node *root)
{
    bd_node list;

    if (!bd_node_get(root, section->key, &list))
        return;
    (void)bd_node_array(&list);
    for (size_t i = 0; i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        use_sources(c, load);
        read_record(c, load, section, &item);
    }
}

static void read_sections(bd_catalogue *c, bd_load *load, const struct section *section)
{
    const bd_data_file *files = c->files.items;

    for (size_t i = 0; i < c->files.count && load->status == BD_OK; i++) {
        bd_node root = {.load = load, .key = files[i].name, .json = files[i].json};

        load->is_own = files[i].is_own;
        if (!is_of_others(&files[i]))
            read_section(c, load, section, &root);
    }
    use_sources(c, load);
}

static void check_keys(bd_load *load, const bd_data_file *file)
{
    bd_node root = {.load = load, .key = file->name, .json = file->json};

    (void)bd_node_text_or(&root, "$schema", "");
    for (size_t i = 0; i < SECTION_COUNT; i++)
        (void)bd_node_has(&root, sections[i].key);
    if (!is_of_others(file))
        bd_node_end(&root);
}

static void read_files(bd_catalogue *c, bd_load *load)
{
    const bd_data_file *files = c->files.items;

    for (size_t i = 0; i < c->files.count; i++)
        check_keys(load, &files[i]);
    for (size_t i = 0; i < SECTION_COUNT; i++)
        read_sections(c, load, &sections[i]);
}

bd_status bd_catalogue_load(const char *user_dir, bd_catalogue **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_catalogue *c = calloc(1, sizeof *c);
    bd_load load = {.err = err != NULL ? err : &own};

    if (c == NULL)
        return fail_for_memory(&load);
    load.pool = &c->pool;
    parse_builtin_files(c, &load);
    if (user_dir != NULL && load.status == BD_OK)
        parse_own_files(c, &load, user_dir);
    if (load.status == BD_OK)
        read_files(c, &load);
    if (load.status != BD_OK) {
        bd_catalogue_free(c);
        return load.status;
    }
    *out = c;
    return BD_OK;
}
