#include <string.h>

#include "nutrients/store.h"

void bd_source_read(bd_node *at, void *source)
{
    bd_source *s = source;

    s->key = bd_node_text(at, "key");
    s->title = bd_node_text(at, "title");
    s->seen = bd_node_text_or(at, "seen", "");
    if (strpbrk(s->key, "; ") != NULL)
        (void)bd_node_fail(at, "key", BD_SYNTAX, "'%.60s' has a blank or semicolon in it", s->key);
}

void bd_source_check(const bd_node *at, const bd_catalogue *c, const void *source)
{
    const bd_source *s = source;

    if (bd_catalogue_source(c, s->key) != NULL)
        (void)bd_node_fail(at, "key", BD_CONFLICT, "source '%.60s' is given twice", s->key);
}
