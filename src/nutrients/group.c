#include <string.h>

#include "nutrients/names.h"
#include "nutrients/store.h"

void bd_group_read(bd_node *at, void *group)
{
    bd_group *g = group;

    g->name = bd_node_name(at, "name");
    g->title = bd_node_text(at, "title");
}

void bd_group_check(const bd_node *at, const bd_catalogue *c, const void *group)
{
    const bd_group *g = group;

    if (bd_store_has_group(c, g->name))
        (void)bd_node_fail(at, "name", BD_CONFLICT, "group '%.60s' is given twice", g->name);
}

bool bd_store_has_group(const bd_catalogue *c, const char *name)
{
    const bd_group *groups = c->lists[BD_LIST_GROUPS].items;

    if (strcmp(name, "any") == 0 && c->lists[BD_LIST_GROUPS].count == 0)
        return true;
    for (size_t i = 0; i < c->lists[BD_LIST_GROUPS].count; i++)
        if (strcmp(groups[i].name, name) == 0)
            return true;
    return false;
}

static void check_crop_name(const bd_node *at, const bd_catalogue *c, const char *name)
{
    const bd_crop *crops = c->lists[BD_LIST_CROPS].items;

    for (size_t i = 0; i < c->lists[BD_LIST_CROPS].count; i++)
        if (bd_name_is(name, crops[i].name, crops[i].synonyms))
            (void)bd_node_fail(at, NULL, BD_CONFLICT, "'%.60s' is already a name of '%.60s'", name,
                               crops[i].name);
}

void bd_crop_check(const bd_node *at, const bd_catalogue *c, const void *crop)
{
    const bd_crop *new_crop = crop;

    check_crop_name(at, c, new_crop->name);
    for (size_t i = 0; new_crop->synonyms[i] != NULL; i++)
        check_crop_name(at, c, new_crop->synonyms[i]);
    for (size_t i = 0; new_crop->groups[i] != NULL; i++)
        if (!bd_store_has_group(c, new_crop->groups[i]))
            (void)bd_node_fail(at, "groups", BD_UNKNOWN, "unknown group '%.60s'",
                               new_crop->groups[i]);
}
