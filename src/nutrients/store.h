/*
 * store.h - the inside of a catalogue.  Private to nutrients/.
 *
 * May include: base/, quantity/.
 *
 * Every record lives in a list, in file order.  While a file is read its lists
 * may move, so records point at names, never at each other; once the load is
 * done nothing moves or changes.
 */
#ifndef BD_NUTRIENTS_STORE_H
#define BD_NUTRIENTS_STORE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/memory.h"
#include "nutrients/catalogue.h"
#include "nutrients/reader.h"

typedef enum bd_list_id {
    BD_LIST_SOURCES,
    BD_LIST_MATERIALS,
    BD_LIST_GROUPS,
    BD_LIST_CROPS,
    BD_LIST_CURVES,
    BD_LIST_FIGURES,
    BD_LIST_LIMITS,
    BD_LIST_CAUTIONS,
    BD_LIST_SCOOPS,
    BD_LIST_IGNORED, /* limits of the user that were looser */
    BD_LIST_COUNT
} bd_list_id;

typedef struct bd_list {
    void *items;
    size_t count, capacity;
} bd_list;

/* A file that was parsed; records borrow its texts. */
typedef struct bd_data_file {
    const char *name;
    struct json_t *json;
    bool is_own;
} bd_data_file;

/* A crop group that limits may name. */
typedef struct bd_group {
    const char *name, *title;
} bd_group;

/* A figure of practice.json, in the canonical unit of its kind. */
typedef struct bd_practice {
    const char *name;
    bd_fact value;
} bd_practice;

struct bd_catalogue {
    bd_pool pool;
    bd_list files;
    bd_list lists[BD_LIST_COUNT];
};

/*
 * Readers of one record each, for bd_node_record, and checks of a record that was
 * just read against the catalogue as it is so far; both fail through the node.
 */
void bd_source_read(bd_node *at, void *source);
void bd_source_check(const bd_node *at, const bd_catalogue *c, const void *source);
void bd_material_read(bd_node *at, void *material);
void bd_material_check(const bd_node *at, const bd_catalogue *c, const void *material);
void bd_group_read(bd_node *at, void *group);
void bd_group_check(const bd_node *at, const bd_catalogue *c, const void *group);
void bd_crop_check(const bd_node *at, const bd_catalogue *c, const void *crop);
void bd_solubility_read(bd_node *at, void *curve);
void bd_solubility_check(const bd_node *at, const bd_catalogue *c, const void *curve);
void bd_practice_read(bd_node *at, void *figure);
void bd_practice_check(const bd_node *at, const bd_catalogue *c, const void *figure);
void bd_limit_read(bd_node *at, void *limit);
void bd_limit_check(const bd_node *at, const bd_catalogue *c, const void *limit);

void bd_caution_rule_read(bd_node *at, void *rule);
void bd_caution_rule_check(const bd_node *at, const bd_catalogue *c, const void *rule);
void bd_own_scoop_read(bd_node *at, void *scoop);
void bd_own_scoop_check(const bd_node *at, const bd_catalogue *c, const void *scoop);

/* Fills in what a limit says in words of its group, once the groups are known. */
void bd_limit_settle(const bd_catalogue *c, bd_limit *limit);

/* True for a limit of the user that would allow more than the built-in ones do. */
bool bd_limit_is_looser(const bd_catalogue *c, const bd_limit *limit);

/* True when the catalogue has a material of this exact name; a group; "any" is both. */
bool bd_store_has_material(const bd_catalogue *c, const char *name);
bool bd_store_has_group(const bd_catalogue *c, const char *name);

#endif
