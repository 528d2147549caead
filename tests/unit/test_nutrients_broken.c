/*
 * Every file of tests/broken/nutrients has one fault; the .txt beside it holds
 * the place, the message and what would be accepted.  Run from the top folder.
 */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "nutrients/catalogue.h"
#include "support/cmocka_all.h"
#include "support/scratch.h"

#define BROKEN "tests/broken/nutrients"

enum { MOST_FILES = 200, TEXT_SIZE = 4096, PATH_SIZE = 512 };

static size_t read_file(const char *path, char text[TEXT_SIZE])
{
    FILE *f = fopen(path, "rb");
    size_t n;

    assert_non_null(f);
    n = fread(text, 1, TEXT_SIZE - 1, f);
    text[n] = '\0';
    assert_int_equal(fclose(f), 0);
    return n;
}

static void write_file(const char *path, const char *text, size_t n)
{
    FILE *f = fopen(path, "wb");

    assert_non_null(f);
    assert_int_equal(fwrite(text, 1, n, f), n);
    assert_int_equal(fclose(f), 0);
}

/* Loads the built-in data with a folder that holds only this file. */
static bd_status load_with(const char *name, bd_error *err)
{
    char folder[BD_SCRATCH_SIZE], from[PATH_SIZE], to[PATH_SIZE], text[TEXT_SIZE];
    bd_catalogue *c = NULL;
    bd_status status;

    assert_true(bd_scratch_make(folder));
    (void)snprintf(from, sizeof from, BROKEN "/%s", name);
    (void)snprintf(to, sizeof to, "%s/%s", folder, name);
    write_file(to, text, read_file(from, text));
    status = bd_catalogue_load(folder, &c, err);
    assert_null(c);
    assert_int_equal(unlink(to), 0);
    assert_int_equal(rmdir(folder), 0);
    return status;
}

static void check_line(const char **expected, const char *got)
{
    size_t n = strcspn(*expected, "\n");

    if (strlen(got) != n || strncmp(got, *expected, n) != 0)
        print_error("got \"%s\", wanted \"%.*s\"\n", got, (int)n, *expected);
    assert_int_equal(strlen(got), n);
    assert_memory_equal(got, *expected, n);
    *expected += n + 1;
}

static void is_refused(void **state)
{
    const char *name = *state, *expected;
    char path[PATH_SIZE], text[TEXT_SIZE];
    bd_error err = {.status = BD_OK};
    const char *where;

    assert_int_not_equal(load_with(name, &err), BD_OK);
    assert_int_equal(bd_status_exit(err.status), 2);
    (void)snprintf(path, sizeof path, BROKEN "/%.*s.txt", (int)(strlen(name) - 5), name);
    (void)read_file(path, text);
    expected = text;
    where = strstr(err.where, name);
    assert_non_null(where);
    check_line(&expected, where);
    check_line(&expected, err.text);
    check_line(&expected, err.accepts);
}

static int is_json(const struct dirent *entry)
{
    size_t n = strlen(entry->d_name);

    return n > 5 && strcmp(entry->d_name + n - 5, ".json") == 0;
}

int main(void)
{
    static struct CMUnitTest tests[MOST_FILES];
    struct dirent **entries = NULL;
    int n = scandir(BROKEN, &entries, is_json, alphasort), failed;

    if (n < 1 || n > MOST_FILES) {
        (void)fprintf(stderr, "no files in " BROKEN "; run from the top folder\n");
        return 1;
    }
    for (int i = 0; i < n; i++)
        tests[i] =
            (struct CMUnitTest){entries[i]->d_name, is_refused, NULL, NULL, entries[i]->d_name};
    failed = _cmocka_run_group_tests("broken/nutrients", tests, (size_t)n, NULL, NULL);
    for (int i = 0; i < n; i++)
        free(entries[i]);
    free(entries);
    return failed;
}
