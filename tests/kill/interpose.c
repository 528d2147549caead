/*
 * A library put in front of the C library: at the n-th call that makes a record
 * durable, the call fails, is cut short, or the process dies.
 *
 * BD_KILL_PLAN="n:mode", n from 1, counting the writes to files opened for
 * appending, all fsyncs and all ftruncates; mode is one of
 *   before  dies instead of the call
 *   after   dies right after it
 *   half    writes half of it and dies; any other call: before
 *   short   writes half of it and says so; any other call: fails
 *   fail    fails
 *   failing fails, and so does all that follows, the taking back too
 *
 * Whatever the plan, a process that ends well with something written and not
 * synced, or with no folder synced, ends with 99 instead.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { IO_ERROR = EIO, EXIT_NOT_SYNCED = 99 };

static long calls;
static bool has_written, is_dirty, has_synced_folder;

static bool is_mode(const char *mode, const char *word)
{
    return mode != NULL && strcmp(mode, word) == 0;
}

/* The mode that is due at this call, or NULL. */
static const char *due(void)
{
    const char *plan = getenv("BD_KILL_PLAN");
    char *mode;
    long n;

    if (plan == NULL)
        return NULL;
    n = strtol(plan, &mode, 10);
    if (*mode != ':')
        return NULL;
    mode++;
    calls++;
    return calls == n || (calls > n && is_mode(mode, "failing")) ? mode : NULL;
}

static void die(void)
{
    (void)raise(SIGKILL);
}

static bool fails(const char *mode)
{
    if (is_mode(mode, "before") || is_mode(mode, "half"))
        die();
    if (!is_mode(mode, "fail") && !is_mode(mode, "failing") && !is_mode(mode, "short"))
        return false;
    errno = IO_ERROR;
    return true;
}

ssize_t write(int fd, const void *bytes, size_t n)
{
    static ssize_t (*real)(int, const void *, size_t);
    const char *mode;
    ssize_t written;

    if (real == NULL)
        *(void **)&real = dlsym(RTLD_NEXT, "write");
    if ((fcntl(fd, F_GETFL) & O_APPEND) == 0)
        return real(fd, bytes, n);
    mode = due();
    if (is_mode(mode, "half") || is_mode(mode, "short")) {
        written = real(fd, bytes, n / 2);
        if (is_mode(mode, "half"))
            die();
        return written;
    }
    if (fails(mode))
        return -1;
    written = real(fd, bytes, n);
    has_written = is_dirty = true;
    if (is_mode(mode, "after"))
        die();
    return written;
}

static void note_sync(int fd)
{
    struct stat s;

    if (fstat(fd, &s) == 0 && S_ISDIR(s.st_mode))
        has_synced_folder = true;
    else
        is_dirty = false;
}

/* Only a good end is a promise. */
static void check_synced(int status, void *unused)
{
    (void)unused;
    if (status == 0 && has_written && (is_dirty || !has_synced_folder))
        _exit(EXIT_NOT_SYNCED);
}

__attribute__((constructor)) static void watch_the_end(void)
{
    (void)on_exit(check_synced, NULL);
}

int fsync(int fd)
{
    static int (*real)(int);
    const char *mode = due();
    int status;

    if (real == NULL)
        *(void **)&real = dlsym(RTLD_NEXT, "fsync");
    if (fails(mode))
        return -1;
    status = real(fd);
    note_sync(fd);
    if (is_mode(mode, "after"))
        die();
    return status;
}

int ftruncate(int fd, off_t size)
{
    static int (*real)(int, off_t);
    const char *mode = due();
    int status;

    if (real == NULL)
        *(void **)&real = dlsym(RTLD_NEXT, "ftruncate");
    if (fails(mode))
        return -1;
    status = real(fd, size);
    if (is_mode(mode, "after"))
        die();
    return status;
}
