/*
 * The file of a record: locking, reading, and adding so that a power cut at any
 * instant takes nothing that was confirmed.
 *
 * The folder is synced before the line is written: once the sync of the file has
 * come back, nothing more can fail, and the line is confirmed.
 */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/text.h"
#include "record/bytes.h"
#include "record/entry.h"
#include "record/lines.h"

enum {
    LARGEST = 64 << 20,
    READ_BY_ALL = 0666, /* less what the user's umask takes away */
    TRIES = 250,        /* of 20 ms: five seconds                */
    TRY_NS = 20000000
};

struct bd_record_file {
    char *path;
    int fd;
    size_t size;       /* of the whole lines in it        */
    size_t torn_bytes; /* behind them, to be set aside    */
    size_t line_count; /* entries that were read          */
};

/* ---- opening and reading ---- */

static bd_status lock(int fd, int how, const char *path, bd_error *err)
{
    const struct timespec pause = {0, TRY_NS};

    for (int i = 0; i < TRIES; i++) {
        if (flock(fd, how | LOCK_NB) == 0)
            return BD_OK;
        if (errno != EWOULDBLOCK && errno != EINTR)
            return bd_bytes_fail(err, path, "cannot be locked");
        (void)nanosleep(&pause, NULL);
    }
    (void)bd_fail(err, BD_FILE, path, "somebody else has been adding to it for five seconds");
    (void)bd_accepts(err, "the same command once more, when the other one is done");
    return BD_FILE;
}

/* Waiting for the lock, somebody may have put another file in its place. */
static bd_status check_same(int fd, const char *path, bd_error *err)
{
    struct stat opened, there;

    if (fstat(fd, &opened) != 0 || stat(path, &there) != 0)
        return bd_bytes_fail(err, path, "cannot be looked at");
    if (!S_ISREG(opened.st_mode))
        return bd_fail(err, BD_FILE, path, "is no plain file");
    if (opened.st_dev != there.st_dev || opened.st_ino != there.st_ino)
        return bd_fail(err, BD_FILE, path,
                       "was put in another's place just now; once more, please");
    return BD_OK;
}

/* Locks, reads and understands an open file. */
static bd_status take_in(int fd, int how, const char *path, bd_records *out, size_t *size,
                         bd_error *err)
{
    bd_text bytes;
    bd_status status = lock(fd, how, path, err);

    bd_text_init(&bytes, LARGEST);
    if (status == BD_OK)
        status = check_same(fd, path, err);
    if (status == BD_OK)
        status = bd_bytes_read(fd, path, &bytes, err);
    if (status == BD_OK)
        status = bd_lines_read(path, bytes.s, bytes.length, out, err);
    *size = bytes.length;
    bd_text_clear(&bytes);
    return status;
}

bd_status bd_record_load(const char *path, bd_records *out, bd_error *err)
{
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    size_t size;
    bd_status status;

    memset(out, 0, sizeof *out);
    if (fd < 0 && errno == ENOENT) {
        out->is_absent = true;
        return BD_OK;
    }
    if (fd < 0)
        return bd_bytes_fail(err, path, "cannot be opened");
    status = take_in(fd, LOCK_SH, path, out, &size, err);
    (void)close(fd);
    return status;
}

bd_status bd_record_open(const char *path, bd_records *records, bd_record_file **out, bd_error *err)
{
    bd_record_file *file = calloc(1, sizeof *file);
    size_t size = 0;
    bd_status status = BD_OK;

    memset(records, 0, sizeof *records);
    *out = NULL;
    if (file == NULL)
        return bd_fail(err, BD_MEMORY, path, "no memory left");
    file->fd = -1;
    file->path = malloc(strlen(path) + 1);
    if (file->path == NULL) {
        bd_record_close(file);
        return bd_fail(err, BD_MEMORY, path, "no memory left");
    }
    memcpy(file->path, path, strlen(path) + 1);
    file->fd = open(path, O_RDWR | O_APPEND | O_CREAT | O_CLOEXEC | O_NONBLOCK, READ_BY_ALL);
    status = file->fd < 0 ? bd_bytes_fail(err, path, "cannot be opened for adding")
                          : take_in(file->fd, LOCK_EX, path, records, &size, err);
    if (status != BD_OK) {
        bd_record_close(file);
        return status;
    }
    file->torn_bytes = records->torn_bytes;
    file->size = size - records->torn_bytes;
    file->line_count = records->count;
    *out = file;
    return BD_OK;
}

void bd_record_close(bd_record_file *file)
{
    if (file == NULL)
        return;
    if (file->fd >= 0)
        (void)close(file->fd);
    free(file->path);
    free(file);
}

/* ---- writing ---- */

/* Makes the name of a new file outlast a power cut; some file systems cannot be asked to. */
static bd_status sync_folder(const char *path, bd_error *err)
{
    char *whole = realpath(path, NULL), *slash;
    bd_status status = BD_OK;
    int fd;

    if (whole == NULL)
        return bd_bytes_fail(err, path, "cannot be looked at");
    slash = strrchr(whole, '/');
    slash[slash == whole ? 1 : 0] = '\0';
    fd = open(whole, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0 || (fsync(fd) != 0 && errno != EINVAL))
        status = bd_bytes_fail(err, path, "its folder cannot be synced");
    if (fd >= 0)
        (void)close(fd);
    free(whole);
    return status;
}

/* The torn end, read again and kept beside the record. */
static bd_status keep_torn(const bd_record_file *f, const char *path, bd_error *err)
{
    char *bytes = malloc(f->torn_bytes + 1);
    int fd = -1;
    bd_status status = BD_OK;

    if (bytes == NULL)
        return bd_fail(err, BD_MEMORY, path, "no memory left");
    if (pread(f->fd, bytes, f->torn_bytes, (off_t)f->size) != (ssize_t)f->torn_bytes)
        status = bd_bytes_fail(err, f->path, "cannot be read");
    if (status == BD_OK) {
        fd = open(path, O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC | O_NONBLOCK, READ_BY_ALL);
        bytes[f->torn_bytes] = '\n';
        status = fd < 0 ? bd_bytes_fail(err, path, "cannot be opened for adding")
                        : bd_bytes_write(fd, path, bytes,
                                         f->torn_bytes + (bytes[f->torn_bytes - 1] != '\n'), err);
    }
    if (status == BD_OK && fsync(fd) != 0)
        status = bd_bytes_fail(err, path, "cannot be synced");
    if (status == BD_OK)
        status = sync_folder(path, err);
    if (fd >= 0)
        (void)close(fd);
    free(bytes);
    return status;
}

static bd_status set_torn_aside(bd_record_file *f, bd_error *err)
{
    static const char ending[] = ".torn";
    size_t n = strlen(f->path);
    char *path;
    bd_status status;

    if (f->torn_bytes == 0)
        return BD_OK;
    path = malloc(n + sizeof ending);
    if (path == NULL)
        return bd_fail(err, BD_MEMORY, f->path, "no memory left");
    memcpy(path, f->path, n);
    memcpy(path + n, ending, sizeof ending);
    status = keep_torn(f, path, err);
    free(path);
    if (status == BD_OK && (ftruncate(f->fd, (off_t)f->size) != 0 || fsync(f->fd) != 0))
        status = bd_bytes_fail(err, f->path, "its torn end cannot be taken off");
    if (status == BD_OK)
        f->torn_bytes = 0;
    return status;
}

/* What was not confirmed is not left to be found later and given twice. */
static bd_status take_back(const bd_record_file *f, bd_status status, bd_error *err)
{
    if (ftruncate(f->fd, (off_t)f->size) == 0 && fsync(f->fd) == 0)
        return status;
    (void)bd_accepts(err, "a look with 'record show' first: the entry may stand all the same");
    return status;
}

bd_status bd_record_append(bd_record_file *f, const bd_records *records, bd_error *err)
{
    bd_text lines;
    bd_status status = BD_OK;

    bd_text_init(&lines, LARGEST);
    for (size_t i = f->line_count; i < records->count; i++)
        bd_entry_write(&records->items[i], &lines);
    if (!bd_text_ok(&lines))
        status = bd_fail(err, BD_MEMORY, f->path, "no memory left");
    else if (f->size + lines.length > LARGEST)
        status = bd_fail(err, BD_FILE, f->path, "would be larger than 64 MiB");
    if (status == BD_OK)
        status = set_torn_aside(f, err);
    if (status == BD_OK)
        status = sync_folder(f->path, err);
    if (status == BD_OK) {
        status = bd_bytes_write(f->fd, f->path, lines.s, lines.length, err);
        if (status == BD_OK && fsync(f->fd) != 0)
            status = bd_bytes_fail(err, f->path, "cannot be synced");
        if (status != BD_OK)
            status = take_back(f, status, err);
    }
    if (status == BD_OK) {
        f->size += lines.length;
        f->line_count = records->count;
    }
    bd_text_clear(&lines);
    return status;
}

bd_status bd_record_beside(const char *garden, char *out, size_t size, bd_error *err)
{
    static const char *const endings[] = {".json", ".garden"};
    size_t n = strlen(garden);
    int written;

    for (size_t i = 0; i < sizeof endings / sizeof endings[0]; i++) {
        size_t k = strlen(endings[i]);

        if (n > k && garden[n - k - 1] != '/' && memcmp(garden + n - k, endings[i], k) == 0)
            n -= k;
    }
    written = snprintf(out, size, "%.*s.record.jsonl", (int)n, garden);
    if (written >= 0 && (size_t)written < size)
        return BD_OK;
    return bd_fail(err, BD_RANGE, NULL, "'%.60s' is too long a name", garden);
}

bd_status bd_record_named(const char *name, char out[BD_RECORD_PATH_SIZE], bd_error *err)
{
    static const char garden[] = ".json";
    size_t n = strlen(name), k = sizeof garden - 1;

    if (n > k && memcmp(name + n - k, garden, k) == 0)
        return bd_record_beside(name, out, BD_RECORD_PATH_SIZE, err);
    if (n >= BD_RECORD_PATH_SIZE)
        return bd_fail(err, BD_RANGE, NULL, "'%.60s' is too long a name", name);
    memcpy(out, name, n + 1);
    return BD_OK;
}
