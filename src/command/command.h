/*
 * command.h - the thin command over the library.
 *
 * May include everything.
 */
#ifndef BD_COMMAND_COMMAND_H
#define BD_COMMAND_COMMAND_H

#include "report/report.h"

/* Where the command reads and writes; tests and other callers bring their own. */
typedef struct bd_streams {
    bd_sink out, err;
    bool has_colour; /* out is a terminal and NO_COLOR is not set */
} bd_streams;

/*
 * Runs one command line (without the program's name) and gives its exit status:
 * 0 done, 1 the verdict is stop, 2 wrong input, 3 a file or memory failed.
 *
 * A card reaches `out` whole or not at all; messages go to `err`.
 */
int bd_command_run(int count, char *const args[], bd_streams streams);

#endif
