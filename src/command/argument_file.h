/*
 * argument_file.h - "@FILE": a command line kept in a file, one option a line.
 *
 * May include: base/.
 *
 *     # beetroot, second dressing
 *     sidedress
 *     --material potassium-sulfate
 *     --bag-size round 40cm x 35cm
 *
 * A line is a word, or an option and its value up to the end of the line, which
 * needs no quoting.  Blank lines and lines that begin with '#' are passed over.
 */
#ifndef BD_COMMAND_ARGUMENT_FILE_H
#define BD_COMMAND_ARGUMENT_FILE_H

#include "base/error.h"

enum { BD_ARGUMENTS_MAX = 256 };

typedef struct bd_arguments {
    char *words[BD_ARGUMENTS_MAX];
    int count;
    char *bytes; /* what the words point into */
} bd_arguments;

/*
 * Reads a file of at most 64 KiB.
 *
 *   out  freed with bd_arguments_free, also after a failure
 *
 * Returns BD_OK, BD_FILE, BD_RANGE (too large, too many words, a NUL byte) or BD_MEMORY.
 */
bd_status bd_arguments_read(const char *name, bd_arguments *out, bd_error *err) BD_MUST_CHECK;
/* Adds a word behind those of the file; borrowed. */
bd_status bd_arguments_add(bd_arguments *arguments, char *word, bd_error *err) BD_MUST_CHECK;
void bd_arguments_free(bd_arguments *arguments);

#endif
