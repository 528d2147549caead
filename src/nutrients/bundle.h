/*
 * bundle.h - the built-in files of one reader and the sources they may cite.
 * Private to nutrients/.
 *
 * May include: base/, quantity/.
 *
 * A catalogue reads many files into lists of its own; the readers of chemistry,
 * media and parts each read a few files of one shape, and share this.
 */
#ifndef BD_NUTRIENTS_BUNDLE_H
#define BD_NUTRIENTS_BUNDLE_H

#include "base/memory.h"
#include "nutrients/reader.h"

/* Zeroed at first.  Records borrow texts from its files: it outlives them. */
typedef struct bd_bundle {
    bd_pool pool;
    struct json_t **files;
    size_t file_count, file_capacity;
    bd_source *sources;
    size_t source_count, source_capacity;
} bd_bundle;

/* Reads the records of a file; "$schema" was asked for, keys not asked for are refused after it. */
typedef void bd_bundle_reader(bd_node *file, void *whole);

/* A load into the bundle's pool that knows the bundle's sources; `err` is not NULL. */
bd_load bd_bundle_start(bd_bundle *bundle, bd_error *err);

/*
 * Parses bytes and keeps what they hold; `name` as messages shall call it, kept by the caller.
 * Returns BD_OK, BD_SYNTAX, or BD_MEMORY, as the load's status then is too.
 */
bd_status bd_bundle_parse(bd_bundle *bundle, bd_load *load, const char *name, const void *bytes,
                          size_t size, bd_node *out) BD_MUST_CHECK;

/* Reads every built-in sources*.json; does nothing once the load has failed. */
void bd_bundle_read_sources(bd_bundle *bundle, bd_load *load);

/* Reads one built-in file; BD_MISSING where it is not built in.  Nothing once the load has failed.
 */
void bd_bundle_read(bd_bundle *bundle, bd_load *load, const char *name, bd_bundle_reader *read,
                    void *whole);

/* Releases all of it. */
void bd_bundle_clear(bd_bundle *bundle);

#endif
