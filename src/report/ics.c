/*
 * The dated rows of a card as all-day events (RFC 5545), for any calendar.
 *
 * A table whose columns include "date" is dated; a row whose date cell is empty
 * or no day of the calendar has no event.  The summary is made of the row's
 * "group" and "do" cells with what is to be weighed ("per_bag" and "total"), or of
 * the table's title where there are none; the
 * description has the whole row, what asks for care (of its own group), and the
 * cautions, for no dose leaves the program without them.
 *
 * The UID is made of what names a row, its table, group and round, and of the
 * card's title; not of days and amounts.  So a plan that was worked out again
 * moves the events of the last one instead of doubling them.
 */
#include <stdint.h>
#include <string.h>

#include "base/date.h"
#include "report/deliver.h"
#include "report/escape.h"
#include "report/report.h"
#include "words/utf8.h"

/* RFC 5545, 3.1: no line over 75 octets, its end not counted. */
enum { LINE_OCTETS = 75, NO_COLUMN = -1 };

static const uint64_t fnv_start = 14695981039346656037u, fnv_prime = 1099511628211u;

typedef struct calendar {
    bd_text out;
    const bd_card *card;
    const bd_report_style *style;
    size_t events;
} calendar;

static const bd_cell *cell_at(const bd_table *t, size_t row, int column)
{
    return column < 0 ? NULL : &t->cells[row * t->column_count + (size_t)column];
}

static int find_column(const bd_table *t, const char *id)
{
    for (size_t i = 0; i < t->column_count; i++)
        if (strcmp(t->columns[i].id, id) == 0)
            return (int)i;
    return NO_COLUMN;
}

/* ---- lines ------------------------------------------------------------------ */

/* Adds a content line, folded between code points. */
static void add_line(calendar *c, const bd_text *line)
{
    const char *s = line->s;
    size_t used = 0, n;
    long point;

    for (; *s != '\0'; s += n, used += n) {
        n = bd_utf8_next(s, &point);
        if (used + n > LINE_OCTETS) {
            bd_text_add(&c->out, "\r\n ");
            used = 1;
        }
        bd_text_add_bytes(&c->out, s, n);
    }
    bd_text_add(&c->out, "\r\n");
    c->out.has_failed |= !bd_text_ok(line);
}

/* Adds "NAME:text", the text escaped. */
static void add_text_line(calendar *c, const char *name, const char *text)
{
    bd_text line;

    bd_text_init(&line, c->out.ceiling);
    bd_text_addf(&line, "%s:", name);
    bd_escape_ics(&line, text);
    add_line(c, &line);
    bd_text_clear(&line);
}

static void add_plain_line(calendar *c, const char *s)
{
    bd_text_addf(&c->out, "%s\r\n", s);
}

/* "DTSTART;VALUE=DATE:20260503" */
static void add_day_line(calendar *c, const char *name, int day)
{
    bd_date d = bd_date_from_day(day);

    bd_text_addf(&c->out, "%s;VALUE=DATE:%04d%02d%02d\r\n", name, d.year, d.month, d.day);
}

/* ---- one row ---------------------------------------------------------------- */

static void add_cell(const calendar *c, const bd_table *t, const bd_cell *cell, int column,
                     bd_text *out)
{
    if (cell == NULL)
        return;
    if (cell->kind == BD_CELL_LINE)
        bd_words_line(c->style->language, &cell->line, out);
    else if (cell->kind == BD_CELL_NUMBER)
        bd_words_amount(c->style->language, bd_exactly(cell->number), t->columns[column].unit, out);
}

/* The day in a cell; false when there is none. */
static bool read_day(const calendar *c, const bd_table *t, const bd_cell *cell, int column,
                     int *day)
{
    bd_text date;
    bool is_day;

    bd_text_init(&date, BD_DATE_SIZE * 4);
    add_cell(c, t, cell, column, &date);
    is_day = bd_text_ok(&date) && bd_date_read(date.s, day, NULL) == BD_OK;
    bd_text_clear(&date);
    return is_day;
}

/* What is to be weighed, of a row that says it. */
static void add_amounts(const calendar *c, const bd_table *t, size_t row, bd_text *out)
{
    int each = find_column(t, "per_bag"), all = find_column(t, "total");
    const bd_cell *each_cell = cell_at(t, row, each), *all_cell = cell_at(t, row, all);
    bd_line line = {.key = W("calendar.amounts"), .arg_count = 2};

    if (each_cell == NULL || all_cell == NULL || each_cell->kind != BD_CELL_NUMBER ||
        all_cell->kind != BD_CELL_NUMBER)
        return;
    line.args[0] = bd_amount(each_cell->number, t->columns[each].unit);
    line.args[1] = bd_amount(all_cell->number, t->columns[all].unit);
    bd_words_line(c->style->language, &line, out);
}

static void add_summary(calendar *c, const bd_table *t, size_t row)
{
    int group = find_column(t, "group"), what = find_column(t, "do");
    bd_text s;

    bd_text_init(&s, c->out.ceiling);
    add_cell(c, t, cell_at(t, row, group), group, &s);
    if (group >= 0 && what >= 0)
        bd_text_add(&s, ": ");
    add_cell(c, t, cell_at(t, row, what), what, &s);
    add_amounts(c, t, row, &s);
    if (s.length == 0)
        bd_words_line(c->style->language, &t->line, &s);
    add_text_line(c, "SUMMARY", s.s);
    c->out.has_failed |= !bd_text_ok(&s);
    bd_text_clear(&s);
}

static void describe_row(const calendar *c, const bd_table *t, size_t row, bd_text *out)
{
    for (size_t i = 0; i < t->column_count; i++) {
        const bd_cell *cell = cell_at(t, row, (int)i);

        if (cell->kind == BD_CELL_EMPTY)
            continue;
        bd_words_line(c->style->language, &t->columns[i].line, out);
        bd_text_add(out, ": ");
        add_cell(c, t, cell, (int)i, out);
        bd_text_add(out, "\n");
    }
}

/* The name in a "group" cell, or NULL. */
static const char *name_in(const bd_cell *cell)
{
    if (cell == NULL || cell->kind != BD_CELL_LINE || cell->line.arg_count == 0)
        return NULL;
    return cell->line.args[0].text;
}

/* True for "beets" and "beets, potassium nitrate" about "beets". */
static bool is_about(const bd_finding *f, const char *group)
{
    size_t n = strlen(group);

    if (f->line.arg_count == 0 || f->line.args[0].kind != BD_ARG_NAME)
        return false;
    return strncmp(f->line.args[0].text, group, n) == 0 &&
           (f->line.args[0].text[n] == '\0' || f->line.args[0].text[n] == ',');
}

/* What is said of another group has no place in this row's event. */
static bool is_about_another(const bd_finding *f, const bd_table *t, size_t row)
{
    int column = find_column(t, "group");
    const char *own = name_in(cell_at(t, row, column));
    size_t rows = t->cell_count / t->column_count;

    if (own == NULL || is_about(f, own))
        return false;
    for (size_t i = 0; i < rows; i++) {
        const char *other = name_in(cell_at(t, i, column));

        if (other != NULL && is_about(f, other))
            return true;
    }
    return false;
}

static void describe_findings(const calendar *c, const bd_table *t, size_t row, bd_text *out)
{
    static const char *const marks[] = {
        [BD_NOTE] = "level.note", [BD_CARE] = "level.care", [BD_STOP] = "level.stop"};

    for (size_t i = 0; i < c->card->finding_count; i++) {
        const bd_finding *f = &c->card->findings[i];

        if (f->level == BD_NOTE || is_about_another(f, t, row))
            continue;
        bd_text_add(out, "\n");
        bd_words_key(c->style->language, marks[f->level], out);
        bd_text_add(out, ": ");
        bd_words_line(c->style->language, &f->line, out);
    }
}

static void describe_cautions(const calendar *c, bd_text *out)
{
    for (size_t i = 0; i < c->card->caution_count; i++) {
        bd_text_add(out, "\n- ");
        bd_words_line(c->style->language, &c->card->cautions[i].line, out);
    }
}

static void add_description(calendar *c, const bd_table *t, size_t row)
{
    bd_text s;

    bd_text_init(&s, c->out.ceiling);
    describe_row(c, t, row, &s);
    describe_findings(c, t, row, &s);
    describe_cautions(c, &s);
    add_text_line(c, "DESCRIPTION", s.s);
    c->out.has_failed |= !bd_text_ok(&s);
    bd_text_clear(&s);
}

/* ---- what names an event ----------------------------------------------------- */

/* FNV-1a, 64 bits; a terminator keeps "ab" "c" and "a" "bc" apart. */
static uint64_t mix(uint64_t hash, const char *s)
{
    for (; *s != '\0'; s++)
        hash = (hash ^ (unsigned char)*s) * fnv_prime;
    return (hash ^ 0xff) * fnv_prime;
}

/* What was named in the title; its key when nothing was, for "give nothing" is another key. */
static uint64_t mix_title(uint64_t hash, const bd_line *title)
{
    bool has_name = false;

    for (size_t i = 0; i < title->arg_count; i++)
        if (title->args[i].kind == BD_ARG_NAME && title->args[i].text != NULL) {
            hash = mix(hash, title->args[i].text);
            has_name = true;
        }
    return has_name || title->key == NULL ? hash : mix(hash, title->key);
}

static uint64_t mix_cell(const calendar *c, const bd_table *t, size_t row, const char *id,
                         uint64_t hash)
{
    int column = find_column(t, id);
    bd_text s;

    bd_text_init(&s, c->out.ceiling);
    add_cell(c, t, cell_at(t, row, column), column, &s);
    hash = mix(hash, s.s);
    bd_text_clear(&s);
    return hash;
}

static uint64_t name_of(const calendar *c, const bd_table *t, size_t row)
{
    uint64_t hash = mix_title(mix(mix(fnv_start, c->card->job), t->id), &c->card->title);

    hash = mix_cell(c, t, row, "group", hash);
    return mix_cell(c, t, row, "round", hash);
}

/* How many rows above have the same name. */
static size_t count_namesakes(const calendar *c, const bd_table *t, size_t row, uint64_t name)
{
    size_t count = 0;

    for (size_t i = 0; i < row; i++)
        count += name_of(c, t, i) == name ? 1 : 0;
    return count;
}

static void add_uid(calendar *c, const bd_table *t, size_t row)
{
    uint64_t name = name_of(c, t, row);

    bd_text_addf(&c->out, "UID:%08lx%08lx-%zu@bagdose\r\n", (unsigned long)(name >> 32),
                 (unsigned long)(name & 0xffffffffu), count_namesakes(c, t, row, name));
}

/* ---- the calendar ------------------------------------------------------------- */

static void add_event(calendar *c, const bd_table *t, size_t row, int day)
{
    bd_date today = bd_date_from_day(c->style->today);

    add_plain_line(c, "BEGIN:VEVENT");
    add_uid(c, t, row);
    bd_text_addf(&c->out, "DTSTAMP:%04d%02d%02dT000000Z\r\n", today.year, today.month, today.day);
    add_day_line(c, "DTSTART", day);
    add_day_line(c, "DTEND", day + 1);
    add_summary(c, t, row);
    add_description(c, t, row);
    add_plain_line(c, "TRANSP:TRANSPARENT");
    add_plain_line(c, "END:VEVENT");
    c->events++;
}

static void add_table(calendar *c, const bd_table *t)
{
    int date = find_column(t, "date");
    size_t rows = t->column_count == 0 ? 0 : t->cell_count / t->column_count;

    for (size_t row = 0; date >= 0 && row < rows; row++) {
        int day;

        if (read_day(c, t, cell_at(t, row, date), date, &day))
            add_event(c, t, row, day);
    }
}

static void add_name(calendar *c)
{
    bd_text title;

    bd_text_init(&title, c->out.ceiling);
    bd_words_line(c->style->language, &c->card->title, &title);
    if (title.length > 0)
        add_text_line(c, "NAME", title.s);
    c->out.has_failed |= !bd_text_ok(&title);
    bd_text_clear(&title);
}

bd_status bd_report_ics(const bd_card *card, const bd_report_style *style, bd_sink sink,
                        bd_error *err)
{
    calendar c = {.card = card, .style = style};

    bd_text_init(&c.out, BD_REPORT_CEILING);
    add_plain_line(&c, "BEGIN:VCALENDAR");
    add_plain_line(&c, "VERSION:2.0");
    add_plain_line(&c, "PRODID:-//bagdose//bagdose//EN");
    add_plain_line(&c, "CALSCALE:GREGORIAN");
    add_name(&c);
    for (size_t i = 0; i < card->table_count; i++)
        add_table(&c, &card->tables[i]);
    add_plain_line(&c, "END:VCALENDAR");
    if (c.events == 0 && bd_text_ok(&c.out)) {
        bd_text_clear(&c.out);
        (void)bd_fail(err, BD_CONFLICT, "--format", "this card has no days for a calendar");
        (void)bd_accepts(err, "ics with the job season; text, json or csv with this one");
        return BD_CONFLICT;
    }
    return bd_report_deliver(&c.out, sink, err);
}
