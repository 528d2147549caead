/*
 * Schema bagdose.card/1 (nutrients/schema/card.schema.json): fields and their
 * order are a contract, numbers print with 12 significant digits.  Written by
 * hand rather than through a tree of values, so that "5" does not become "5.0"
 * and a card of thousands of rows needs no second copy in memory.
 */
#include <math.h>

#include "base/number.h"
#include "report/deliver.h"
#include "report/escape.h"
#include "report/report.h"

enum { EXACT_DIGITS = 12, INDENT = 2 };

static const char *const level_names[] = {"note", "care", "stop"};
static const char *const verdict_names[] = {"ok", "care", "stop"};

typedef struct writer {
    bd_text out;
    bd_language language;
    size_t depth;
    bool is_first; /* nothing stands yet inside the innermost bracket */
} writer;

static void start_line(writer *w)
{
    bd_text_add(&w->out, "\n");
    for (size_t i = 0; i < w->depth * INDENT; i++)
        bd_text_add(&w->out, " ");
}

static void start_item(writer *w)
{
    if (!w->is_first)
        bd_text_add(&w->out, ",");
    w->is_first = false;
    start_line(w);
}

static void open_bracket(writer *w, const char *bracket)
{
    bd_text_add(&w->out, bracket);
    w->depth++;
    w->is_first = true;
}

static void close_bracket(writer *w, const char *bracket)
{
    bool was_empty = w->is_first;

    w->depth--;
    w->is_first = false;
    if (!was_empty)
        start_line(w);
    bd_text_add(&w->out, bracket);
}

static void open_object(writer *w)
{
    start_item(w);
    open_bracket(w, "{");
}

static void close_object(writer *w)
{
    close_bracket(w, "}");
}

static void put_name(writer *w, const char *name)
{
    start_item(w);
    bd_text_addf(&w->out, "\"%s\": ", name);
}

static void open_list(writer *w, const char *name)
{
    put_name(w, name);
    open_bracket(w, "[");
}

static void close_list(writer *w)
{
    close_bracket(w, "]");
}

/* JSON has no spelling for what is not finite; a card should not either. */
static void put_number(writer *w, double x)
{
    char number[BD_NUMBER_SIZE];

    bd_text_add(&w->out, isfinite(x) ? bd_number_print(x, EXACT_DIGITS, number) : "null");
}

static void put_line(writer *w, const bd_line *line)
{
    bd_text sentence;

    bd_text_init(&sentence, w->out.ceiling);
    bd_words_line(w->language, line, &sentence);
    w->out.has_failed |= !bd_text_ok(&sentence);
    bd_escape_json(&w->out, sentence.s);
    bd_text_clear(&sentence);
}

static void add_string(writer *w, const char *name, const char *s)
{
    put_name(w, name);
    bd_escape_json(&w->out, s);
}

static void add_line(writer *w, const char *name, const bd_line *line)
{
    put_name(w, name);
    put_line(w, line);
}

static void add_number(writer *w, const char *name, double x)
{
    put_name(w, name);
    put_number(w, x);
}

static void add_range(writer *w, bd_range value)
{
    add_number(w, "value", value.typical);
    if (bd_range_is_exact(value))
        return;
    add_number(w, "low", value.low);
    add_number(w, "high", value.high);
}

static void add_figures(writer *w, const bd_card *card)
{
    open_list(w, "figures");
    for (size_t i = 0; i < card->figure_count; i++) {
        const bd_figure *f = &card->figures[i];

        open_object(w);
        add_string(w, "id", f->id);
        add_line(w, "text", &f->line);
        add_range(w, f->value);
        add_string(w, "unit", f->unit);
        close_object(w);
    }
    close_list(w);
}

static void add_assumptions(writer *w, const bd_card *card)
{
    open_list(w, "assumptions");
    for (size_t i = 0; i < card->assumption_count; i++) {
        const bd_assumption *a = &card->assumptions[i];

        open_object(w);
        add_string(w, "id", a->id);
        add_line(w, "text", &a->line);
        if (a->has_value) {
            add_range(w, a->value);
            add_string(w, "unit", a->unit);
        }
        add_string(w, "source", a->source);
        close_object(w);
    }
    close_list(w);
}

static void add_findings(writer *w, const bd_card *card)
{
    open_list(w, "findings");
    for (size_t i = 0; i < card->finding_count; i++) {
        const bd_finding *f = &card->findings[i];

        open_object(w);
        add_string(w, "id", f->id);
        add_string(w, "level", level_names[f->level]);
        add_line(w, "text", &f->line);
        if (f->has_value)
            add_number(w, "value", f->value);
        if (f->has_limit)
            add_number(w, "limit", f->limit);
        if (f->has_value || f->has_limit)
            add_string(w, "unit", f->unit);
        add_string(w, "source", f->source);
        close_object(w);
    }
    close_list(w);
}

static void add_cautions(writer *w, const bd_card *card)
{
    open_list(w, "cautions");
    for (size_t i = 0; i < card->caution_count; i++) {
        const bd_caution *c = &card->cautions[i];

        open_object(w);
        add_string(w, "code", c->code);
        add_line(w, "text", &c->line);
        add_string(w, "source", c->source);
        close_object(w);
    }
    close_list(w);
}

static void add_working(writer *w, const bd_card *card)
{
    open_list(w, "working");
    for (size_t i = 0; i < card->step_count; i++) {
        const bd_step *s = &card->working[i];

        open_object(w);
        add_line(w, "text", &s->line);
        add_string(w, "source", s->source);
        close_object(w);
    }
    close_list(w);
}

static void put_cell(writer *w, const bd_cell *cell)
{
    switch (cell->kind) {
    case BD_CELL_EMPTY:
        bd_text_add(&w->out, "null");
        break;
    case BD_CELL_NUMBER:
        put_number(w, cell->number);
        break;
    case BD_CELL_LINE:
        put_line(w, &cell->line);
        break;
    }
}

static void add_columns(writer *w, const bd_table *t)
{
    open_list(w, "columns");
    for (size_t i = 0; i < t->column_count; i++) {
        open_object(w);
        add_string(w, "id", t->columns[i].id);
        add_line(w, "text", &t->columns[i].line);
        add_string(w, "unit", t->columns[i].unit);
        close_object(w);
    }
    close_list(w);
}

/* A row stands on one line, so that a table still looks like one. */
static void add_rows(writer *w, const bd_table *t)
{
    size_t n = t->column_count;

    open_list(w, "rows");
    for (size_t row = 0; n > 0 && row < t->cell_count / n; row++) {
        start_item(w);
        for (size_t i = 0; i < n; i++) {
            bd_text_add(&w->out, i == 0 ? "[" : ", ");
            put_cell(w, &t->cells[row * n + i]);
        }
        bd_text_add(&w->out, "]");
    }
    close_list(w);
}

static void add_tables(writer *w, const bd_card *card)
{
    open_list(w, "tables");
    for (size_t i = 0; i < card->table_count; i++) {
        open_object(w);
        add_string(w, "id", card->tables[i].id);
        add_columns(w, &card->tables[i]);
        add_rows(w, &card->tables[i]);
        close_object(w);
    }
    close_list(w);
}

bd_status bd_report_json(const bd_card *card, const bd_report_style *style, bd_sink sink,
                         bd_error *err)
{
    writer w = {.language = style->language};

    bd_text_init(&w.out, BD_REPORT_CEILING);
    open_bracket(&w, "{");
    add_string(&w, "schema", "bagdose.card/1");
    add_string(&w, "job", card->job);
    add_line(&w, "title", &card->title);
    add_string(&w, "verdict", verdict_names[bd_card_verdict(card)]);
    add_figures(&w, card);
    add_assumptions(&w, card);
    add_findings(&w, card);
    add_cautions(&w, card);
    add_working(&w, card);
    add_tables(&w, card);
    close_object(&w);
    bd_text_add(&w.out, "\n");
    return bd_report_deliver(&w.out, sink, err);
}
