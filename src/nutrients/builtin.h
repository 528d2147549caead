/*
 * builtin.h - the files of nutrients/ as they were built into the program.
 *
 * Lowest of nutrients/: includes nothing of the project.  The array itself is
 * made by the Makefile.
 */
#ifndef BD_NUTRIENTS_BUILTIN_H
#define BD_NUTRIENTS_BUILTIN_H

#include <stddef.h>

typedef struct bd_builtin_file {
    const char *name; /* "materials.json"; NULL ends the list */
    const unsigned char *bytes;
    size_t size;
} bd_builtin_file;

extern const bd_builtin_file bd_builtin_files[];

#endif
