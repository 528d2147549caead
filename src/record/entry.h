/*
 * entry.h - one line of a record and one entry, there and back.  Private to record/.
 *
 * May include: base/, quantity/, words/utf8.h.  JSON itself stays in entry.c.
 */
#ifndef BD_RECORD_ENTRY_H
#define BD_RECORD_ENTRY_H

#include "base/text.h"
#include "record/record.h"

/* How a line failed to be an entry. */
typedef enum bd_entry_fault {
    BD_ENTRY_WHOLE,   /* it did not fail                                       */
    BD_ENTRY_NO_JSON, /* not well-formed, as what a crash leaves: may be torn */
    BD_ENTRY_WRONG    /* well-formed, and not what an entry is                 */
} bd_entry_fault;

/*
 * Reads a line.
 *
 *   bytes, n  the line without its newline
 *   pool      keeps the texts
 *   fault     set in every case
 *
 * Returns BD_OK, or what bd_record_load says of one line, without a `where`.
 */
bd_status bd_entry_read(const char *bytes, size_t n, bd_pool *pool, bd_entry *out,
                        bd_entry_fault *fault, bd_error *err) BD_MUST_CHECK;

/* Adds the line with its newline; texts must have passed bd_entry_check (record.h). */
void bd_entry_write(const bd_entry *entry, bd_text *out);

#endif
