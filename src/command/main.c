#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "command/command.h"

static int put_to_file(const char *bytes, size_t n, void *to)
{
    return fwrite(bytes, 1, n, to) == n && fflush(to) == 0 ? 0 : -1;
}

int main(int argc, char *argv[])
{
    const char *no_colour = getenv("NO_COLOR");
    bd_streams streams = {.out = {put_to_file, stdout},
                          .err = {put_to_file, stderr},
                          .has_colour =
                              isatty(STDOUT_FILENO) && (no_colour == NULL || no_colour[0] == '\0')};

    return bd_command_run(argc - 1, argv + 1, streams);
}
