/*
 * sheet.h - a record as a table for spreadsheets, in and out.
 *
 * May include: base/, quantity/, record/record.h.
 *
 * Comma-separated values (RFC 4180) in UTF-8.  The first line is exactly
 *
 *     date,group,bags,material,analysis,use,g_per_bag,l_per_bag,who,note
 *
 * and each line after it one entry.  Ids, reversals and what an entry gives are
 * not in it: reversed entries are left out, and what is given is worked out anew
 * from material and analysis.  A text that a spreadsheet would take for a formula
 * gets an apostrophe in front, which is taken off again when read.
 */
#ifndef BD_RECORD_SHEET_H
#define BD_RECORD_SHEET_H

#include "base/text.h"
#include "record/record.h"

enum { BD_SHEET_ROWS_MAX = 2000 };

typedef enum bd_sheet_column {
    BD_SHEET_DATE,
    BD_SHEET_GROUP,
    BD_SHEET_BAGS,
    BD_SHEET_MATERIAL,
    BD_SHEET_ANALYSIS,
    BD_SHEET_USE,
    BD_SHEET_G_PER_BAG,
    BD_SHEET_L_PER_BAG,
    BD_SHEET_WHO,
    BD_SHEET_NOTE,
    BD_SHEET_COLUMNS
} bd_sheet_column;

/* One line as it was typed; fields are never NULL. */
typedef struct bd_sheet_row {
    const char *fields[BD_SHEET_COLUMNS];
    size_t line;
} bd_sheet_row;

typedef struct bd_sheet {
    bd_sheet_row *rows;
    size_t count, capacity;
    bd_pool pool;
} bd_sheet;

/*
 * Reads a file of at most 2000 entries and 4 MiB.  A byte-order mark in front, a
 * missing last newline and either kind of newline are let pass; nothing else is.
 *
 *   out  to be cleared by the caller in every case
 *
 * Returns BD_OK, BD_SYNTAX ("FILE:LINE"; another first line, too few or too many
 * fields, a quote out of place, a field of two lines), BD_RANGE (too many
 * entries), BD_FILE, BD_MEMORY.
 */
bd_status bd_sheet_read(const char *path, bd_sheet *out, bd_error *err) BD_MUST_CHECK;
void bd_sheet_clear(bd_sheet *sheet);

/*
 * Writes what stands in a record, of one group or all (NULL), into a new file.
 *
 * Returns BD_OK, BD_FILE (also for a file that is there already), BD_MEMORY.
 */
bd_status bd_sheet_write(const char *path, const bd_records *records, const char *group,
                         bd_error *err) BD_MUST_CHECK;

#endif
