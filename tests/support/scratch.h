/*
 * scratch.h - a folder of its own for a test that writes files.
 */
#ifndef BD_TESTS_SCRATCH_H
#define BD_TESTS_SCRATCH_H

#include <stdbool.h>

enum { BD_SCRATCH_SIZE = 64 };

/* Makes an empty folder and writes its path; false when none can be made.  The test removes it. */
bool bd_scratch_make(char folder[BD_SCRATCH_SIZE]);

#endif
