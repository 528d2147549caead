/*
 * lines.h - the bytes of a record and its entries.  Private to record/.
 *
 * May include: base/, quantity/.  No files.
 */
#ifndef BD_RECORD_LINES_H
#define BD_RECORD_LINES_H

#include "record/record.h"

/*
 * Reads all lines of a file, finds a torn end, and marks what is reversed.
 *
 *   path   for messages
 *   out    empty; filled
 *
 * Returns what bd_record_load does.
 */
bd_status bd_lines_read(const char *path, const char *bytes, size_t n, bd_records *out,
                        bd_error *err) BD_MUST_CHECK;

#endif
