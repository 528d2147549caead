/*
 * bytes.h - whole files into memory and once out of it.  Private to record/.
 *
 * May include: base/.
 */
#ifndef BD_RECORD_BYTES_H
#define BD_RECORD_BYTES_H

#include "base/text.h"

/*
 * Adds all that is in an open file, from where it stands, up to the ceiling of `out`.
 *
 * Returns BD_OK, BD_FILE (cannot be read, is too large), BD_MEMORY.
 */
bd_status bd_bytes_read(int fd, const char *path, bd_text *out, bd_error *err) BD_MUST_CHECK;

/* One write of all n bytes; less than all of them is a failure, BD_FILE. */
bd_status bd_bytes_write(int fd, const char *path, const char *bytes, size_t n,
                         bd_error *err) BD_MUST_CHECK;

/* BD_FILE with what the system says of the last call that failed. */
bd_status bd_bytes_fail(bd_error *err, const char *path, const char *what);

#endif
