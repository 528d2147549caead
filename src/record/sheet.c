#include "record/sheet.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/date.h"
#include "base/number.h"
#include "record/bytes.h"

enum { LARGEST_IN = 4 << 20, LARGEST_OUT = 64 << 20, EXACT_DIGITS = 15, READ_BY_ALL = 0666 };

static const char header[] = "date,group,bags,material,analysis,use,g_per_bag,l_per_bag,who,note";
static const char mark[] = "\xef\xbb\xbf";
static const char formula_starts[] = "=+-@'";

/* ---- reading ---- */

typedef struct cursor {
    const char *at, *end;
    size_t line;
    const char *path;
    bd_error *err;
} cursor;

static bd_status refuse(const cursor *c, bd_status status, const char *what)
{
    char where[160];

    (void)snprintf(where, sizeof where, "%.120s:%zu", c->path, c->line);
    return bd_fail(c->err, status, where, "%s", what);
}

static bool is_at_newline(const cursor *c)
{
    return c->at < c->end &&
           (*c->at == '\n' || (*c->at == '\r' && c->at + 1 < c->end && c->at[1] == '\n'));
}

static void pass_newline(cursor *c)
{
    if (c->at < c->end && *c->at == '\r')
        c->at++;
    if (c->at < c->end)
        c->at++;
    c->line++;
}

static bool is_at_field_end(const cursor *c)
{
    return c->at == c->end || *c->at == ',' || is_at_newline(c);
}

static bd_status read_quoted(cursor *c, bd_text *out)
{
    for (c->at++; c->at < c->end; c->at++) {
        if (*c->at == '\n' || *c->at == '\0')
            return refuse(c, BD_SYNTAX, "has a field that is not on one line");
        if (*c->at == '"' && (++c->at == c->end || *c->at != '"'))
            return is_at_field_end(c)
                       ? BD_OK
                       : refuse(c, BD_SYNTAX, "has something behind a closing quote");
        bd_text_add_bytes(out, c->at, 1);
    }
    return refuse(c, BD_SYNTAX, "has a quote that is not closed");
}

static bd_status read_plain(cursor *c, bd_text *out)
{
    for (; !is_at_field_end(c); c->at++) {
        if (*c->at == '"' || *c->at == '\0')
            return refuse(c, BD_SYNTAX, "has a quote inside a field without quotes");
        bd_text_add_bytes(out, c->at, 1);
    }
    return BD_OK;
}

static const char *without_apostrophe(const char *s)
{
    return s[0] == '\'' && s[1] != '\0' && strchr(formula_starts, s[1]) != NULL ? s + 1 : s;
}

static bd_status read_field(cursor *c, bd_pool *pool, const char **out)
{
    bd_text field;
    bd_status status;

    bd_text_init(&field, LARGEST_IN);
    status = c->at < c->end && *c->at == '"' ? read_quoted(c, &field) : read_plain(c, &field);
    if (status == BD_OK) {
        *out = bd_text_ok(&field) ? bd_pool_copy(pool, without_apostrophe(field.s)) : NULL;
        if (*out == NULL)
            status = refuse(c, BD_MEMORY, "no memory left");
    }
    bd_text_clear(&field);
    return status;
}

static bd_status read_row(cursor *c, bd_pool *pool, bd_sheet_row *row)
{
    row->line = c->line;
    for (int i = 0; i < BD_SHEET_COLUMNS; i++) {
        bd_status status = read_field(c, pool, &row->fields[i]);
        bool is_last = i + 1 == BD_SHEET_COLUMNS;

        if (status != BD_OK)
            return status;
        if (is_last != (c->at == c->end || is_at_newline(c))) {
            (void)refuse(c, BD_SYNTAX, is_last ? "has too many fields" : "has too few fields");
            return bd_accepts(c->err, "%s", header);
        }
        if (!is_last)
            c->at++;
    }
    pass_newline(c);
    return BD_OK;
}

static bd_status read_header(cursor *c)
{
    size_t n = sizeof header - 1;

    if (c->end - c->at >= 3 && memcmp(c->at, mark, 3) == 0)
        c->at += 3;
    if ((size_t)(c->end - c->at) >= n && memcmp(c->at, header, n) == 0) {
        c->at += n;
        if (c->at == c->end || is_at_newline(c)) {
            pass_newline(c);
            return BD_OK;
        }
    }
    (void)refuse(c, BD_SYNTAX, "is not the first line of a sheet of entries");
    return bd_accepts(c->err, "%s", header);
}

static bd_status read_rows(cursor *c, bd_sheet *out)
{
    bd_status status = read_header(c);

    while (status == BD_OK && c->at < c->end) {
        bd_sheet_row *rows = bd_array_grow(out->rows, out->count, &out->capacity, sizeof *rows);

        if (rows == NULL)
            return refuse(c, BD_MEMORY, "no memory left");
        out->rows = rows;
        if (out->count == BD_SHEET_ROWS_MAX)
            return refuse(c, BD_RANGE, "is more than 2000 entries: bring them in by parts");
        status = read_row(c, &out->pool, &rows[out->count]);
        if (status == BD_OK)
            out->count++;
    }
    return status;
}

bd_status bd_sheet_read(const char *path, bd_sheet *out, bd_error *err)
{
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    bd_text bytes;
    bd_status status;

    memset(out, 0, sizeof *out);
    if (fd < 0)
        return bd_bytes_fail(err, path, "cannot be opened");
    bd_text_init(&bytes, LARGEST_IN);
    status = bd_bytes_read(fd, path, &bytes, err);
    (void)close(fd);
    if (status == BD_OK)
        status = read_rows(&(cursor){bytes.s, bytes.s + bytes.length, 1, path, err}, out);
    bd_text_clear(&bytes);
    return status;
}

void bd_sheet_clear(bd_sheet *sheet)
{
    free(sheet->rows);
    bd_pool_clear(&sheet->pool);
    memset(sheet, 0, sizeof *sheet);
}

/* ---- writing ---- */

static void write_field(bd_text *out, const char *s, const char *end)
{
    bool is_formula = s[0] != '\0' && strchr(formula_starts, s[0]) != NULL;

    bd_text_add(out, is_formula ? "\"'" : "\"");
    for (; *s != '\0'; s++)
        bd_text_add_bytes(out, *s == '"' ? "\"\"" : s, *s == '"' ? 2 : 1);
    bd_text_add(out, "\"");
    bd_text_add(out, end);
}

static void write_amount(bd_text *out, double x)
{
    char number[BD_NUMBER_SIZE];

    if (x > 0.0)
        bd_text_add(out, bd_number_print(x, EXACT_DIGITS, number));
    bd_text_add(out, ",");
}

static void write_row(bd_text *out, const bd_entry *e)
{
    char date[BD_DATE_SIZE];

    bd_text_addf(out, "%s,", bd_date_print(e->day, date));
    write_field(out, e->group, ",");
    write_amount(out, e->bags);
    write_field(out, e->material, ",");
    write_field(out, e->analysis, ",");
    bd_text_addf(out, "%s,", bd_record_use_words(e->use));
    write_amount(out, e->g_per_bag);
    write_amount(out, e->l_per_bag);
    write_field(out, e->who, ",");
    write_field(out, e->note, "\r\n");
}

static bd_status write_file(const char *path, const bd_text *bytes, bd_error *err)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, READ_BY_ALL);
    bd_status status;

    if (fd < 0)
        return bd_bytes_fail(err, path, "cannot be made");
    status = bd_bytes_write(fd, path, bytes->s, bytes->length, err);
    if (status == BD_OK && fsync(fd) != 0)
        status = bd_bytes_fail(err, path, "cannot be synced");
    (void)close(fd);
    if (status != BD_OK)
        (void)unlink(path);
    return status;
}

bd_status bd_sheet_write(const char *path, const bd_records *records, const char *group,
                         bd_error *err)
{
    bd_text bytes;
    bd_status status;

    bd_text_init(&bytes, LARGEST_OUT);
    bd_text_addf(&bytes, "%s\r\n", header);
    for (size_t i = 0; i < records->count; i++) {
        const bd_entry *e = &records->items[i];

        if (bd_entry_stands(e) && (group == NULL || strcmp(group, e->group) == 0))
            write_row(&bytes, e);
    }
    status = bd_text_ok(&bytes) ? write_file(path, &bytes, err)
                                : bd_fail(err, BD_MEMORY, path, "no memory left");
    bd_text_clear(&bytes);
    return status;
}
