#include "record/bytes.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { BLOCK = 65536 };

bd_status bd_bytes_fail(bd_error *err, const char *path, const char *what)
{
    return bd_fail(err, BD_FILE, path, "%s: %s", what, strerror(errno));
}

bd_status bd_bytes_read(int fd, const char *path, bd_text *out, bd_error *err)
{
    char *block = malloc(BLOCK);
    ssize_t n = 1;
    bd_status status = BD_OK;

    if (block == NULL)
        return bd_fail(err, BD_MEMORY, path, "no memory left");
    while (n != 0 && status == BD_OK) {
        n = read(fd, block, BLOCK);
        if (n > 0 && (size_t)n > out->ceiling - out->length)
            status = bd_fail(err, BD_FILE, path, "is larger than %zu MiB", out->ceiling >> 20);
        else if (n > 0)
            bd_text_add_bytes(out, block, (size_t)n);
        else if (n < 0 && errno != EINTR)
            status = bd_bytes_fail(err, path, "cannot be read");
        if (status == BD_OK && !bd_text_ok(out))
            status = bd_fail(err, BD_MEMORY, path, "no memory left");
    }
    free(block);
    return status;
}

bd_status bd_bytes_write(int fd, const char *path, const char *bytes, size_t n, bd_error *err)
{
    ssize_t written;

    do
        written = write(fd, bytes, n);
    while (written < 0 && errno == EINTR);
    if (written >= 0 && (size_t)written == n)
        return BD_OK;
    if (written >= 0)
        errno = ENOSPC;
    return bd_bytes_fail(err, path, "cannot be written to");
}
