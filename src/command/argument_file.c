#include "command/argument_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LARGEST = 65536 };

static const char byte_order_mark[] = "\xef\xbb\xbf"; /* some editors put it in front */

static bd_status read_bytes(const char *name, char **bytes, bd_error *err)
{
    FILE *file = fopen(name, "rb");
    size_t n;
    bd_status status = BD_OK;

    if (file == NULL)
        return bd_fail(err, BD_FILE, name[0] == '\0' ? "@" : name, "cannot be opened");
    *bytes = calloc(1, LARGEST + 2);
    if (*bytes == NULL) {
        (void)fclose(file);
        return bd_fail(err, BD_MEMORY, name, "no memory left");
    }
    n = fread(*bytes, 1, LARGEST + 1, file);
    if (ferror(file) != 0)
        status = bd_fail(err, BD_FILE, name, "cannot be read");
    else if (n > LARGEST)
        status = bd_fail(err, BD_RANGE, name, "is larger than 64 KiB");
    else if (strlen(*bytes) != n)
        status = bd_fail(err, BD_RANGE, name, "is no text");
    (void)fclose(file);
    return status;
}

static char *trim(char *s)
{
    char *end = s + strlen(s);

    while (end > s && (end[-1] == ' ' || end[-1] == '\t' || end[-1] == '\r'))
        *--end = '\0';
    return s + strspn(s, " \t");
}

bd_status bd_arguments_add(bd_arguments *a, char *word, bd_error *err)
{
    if (a->count == BD_ARGUMENTS_MAX)
        return bd_fail(err, BD_RANGE, NULL, "more than %d words", BD_ARGUMENTS_MAX);
    a->words[a->count++] = word;
    return BD_OK;
}

static bd_status add_line(bd_arguments *a, char *line, bd_error *err)
{
    char *value;
    bd_status status;

    line = trim(line);
    if (line[0] == '\0' || line[0] == '#')
        return BD_OK;
    value = strncmp(line, "--", 2) == 0 ? strpbrk(line, " \t=") : NULL;
    if (value != NULL && *value == '=')
        value = NULL; /* "--name=value": one word, blanks and all */
    if (value != NULL)
        *value++ = '\0';
    status = bd_arguments_add(a, line, err);
    if (status == BD_OK && value != NULL)
        status = bd_arguments_add(a, trim(value), err);
    return status;
}

bd_status bd_arguments_read(const char *name, bd_arguments *out, bd_error *err)
{
    char *line, *next;
    bd_status status;

    memset(out, 0, sizeof *out);
    status = read_bytes(name, &out->bytes, err);
    line = out->bytes;
    if (status == BD_OK && strncmp(line, byte_order_mark, sizeof byte_order_mark - 1) == 0)
        line += sizeof byte_order_mark - 1;
    for (; status == BD_OK && line != NULL; line = next) {
        next = strchr(line, '\n');
        if (next != NULL)
            *next++ = '\0';
        status = add_line(out, line, err);
    }
    bd_error_at(err, name);
    return status;
}

void bd_arguments_free(bd_arguments *arguments)
{
    free(arguments->bytes);
    memset(arguments, 0, sizeof *arguments);
}
