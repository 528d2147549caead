/*
 * A table of ten columns that any spreadsheet opens:
 *
 *     section,id,text,value,low,high,unit,limit,level,source
 *
 * The first record names them; every record has all ten and ends in CR LF
 * (RFC 4180).  section is card (id the job, level the verdict), figure,
 * assumption, finding, caution, working or table:<id>.  A table has one record a
 * cell, whose id is "<row>.<column id>" with rows counted from 1.  Numbers are
 * the card's own, unrounded; low and high are empty where the value is exact.
 */
#include <math.h>

#include "base/number.h"
#include "report/deliver.h"
#include "report/escape.h"
#include "report/report.h"
#include "words/utf8.h"

enum { EXACT_DIGITS = 12 };

static const char *const level_names[] = {"note", "care", "stop"};
static const char *const verdict_names[] = {"ok", "care", "stop"};

/* One record; what is NULL stays empty. */
typedef struct record {
    const char *section, *id;
    const bd_line *line;
    const bd_range *value;
    const double *limit;
    const char *unit, *level, *source;
} record;

static void add_harmless_field(bd_text *out, const char *s)
{
    bd_text safe;

    bd_text_init(&safe, out->ceiling);
    bd_utf8_add_harmless(&safe, s == NULL ? "" : s);
    out->has_failed |= !bd_text_ok(&safe);
    bd_escape_csv(out, safe.s);
    bd_text_clear(&safe);
}

static void add_line_field(bd_text *out, bd_language language, const bd_line *line)
{
    bd_text sentence;

    if (line == NULL)
        return;
    bd_text_init(&sentence, out->ceiling);
    bd_words_line(language, line, &sentence);
    out->has_failed |= !bd_text_ok(&sentence);
    bd_escape_csv(out, sentence.s);
    bd_text_clear(&sentence);
}

static void add_number_field(bd_text *out, const double *x)
{
    char number[BD_NUMBER_SIZE];

    bd_text_add(out, ",");
    if (x != NULL && isfinite(*x))
        bd_text_add(out, bd_number_print(*x, EXACT_DIGITS, number));
}

static void add_record(bd_text *out, bd_language language, record r)
{
    bool is_range = r.value != NULL && !bd_range_is_exact(*r.value);

    add_harmless_field(out, r.section);
    bd_text_add(out, ",");
    add_harmless_field(out, r.id);
    bd_text_add(out, ",");
    add_line_field(out, language, r.line);
    add_number_field(out, r.value == NULL ? NULL : &r.value->typical);
    add_number_field(out, is_range ? &r.value->low : NULL);
    add_number_field(out, is_range ? &r.value->high : NULL);
    bd_text_add(out, ",");
    add_harmless_field(out, r.unit);
    add_number_field(out, r.limit);
    bd_text_add(out, ",");
    add_harmless_field(out, r.level);
    bd_text_add(out, ",");
    add_harmless_field(out, r.source);
    bd_text_add(out, "\r\n");
}

static void add_figures(bd_text *out, bd_language language, const bd_card *card)
{
    for (size_t i = 0; i < card->figure_count; i++) {
        const bd_figure *f = &card->figures[i];

        add_record(out, language, (record){"figure", f->id, &f->line, &f->value, .unit = f->unit});
    }
}

static void add_assumptions(bd_text *out, bd_language language, const bd_card *card)
{
    for (size_t i = 0; i < card->assumption_count; i++) {
        const bd_assumption *a = &card->assumptions[i];

        add_record(out, language,
                   (record){"assumption", a->id, &a->line, a->has_value ? &a->value : NULL,
                            .unit = a->unit, .source = a->source});
    }
}

static void add_findings(bd_text *out, bd_language language, const bd_card *card)
{
    for (size_t i = 0; i < card->finding_count; i++) {
        const bd_finding *f = &card->findings[i];
        bd_range value = bd_exactly(f->value);

        add_record(out, language,
                   (record){"finding", f->id, &f->line, f->has_value ? &value : NULL,
                            f->has_limit ? &f->limit : NULL, f->unit, level_names[f->level],
                            f->source});
    }
}

static void add_cautions(bd_text *out, bd_language language, const bd_card *card)
{
    for (size_t i = 0; i < card->caution_count; i++) {
        const bd_caution *c = &card->cautions[i];

        add_record(out, language, (record){"caution", c->code, &c->line, .source = c->source});
    }
}

static void add_working(bd_text *out, bd_language language, const bd_card *card)
{
    char number[BD_NUMBER_SIZE];

    for (size_t i = 0; i < card->step_count; i++) {
        const bd_step *s = &card->working[i];

        bd_number_print((double)(i + 1), EXACT_DIGITS, number);
        add_record(out, language, (record){"working", number, &s->line, .source = s->source});
    }
}

static void add_table(bd_text *out, bd_language language, const bd_table *t)
{
    bd_text section, id;

    bd_text_init(&section, out->ceiling);
    bd_text_addf(&section, "table:%s", t->id);
    for (size_t i = 0; i < t->cell_count && t->column_count > 0; i++) {
        const bd_cell *cell = &t->cells[i];
        const bd_column *column = &t->columns[i % t->column_count];
        bd_range value = bd_exactly(cell->number);
        bool is_number = cell->kind == BD_CELL_NUMBER;

        bd_text_init(&id, out->ceiling);
        bd_text_addf(&id, "%zu.%s", i / t->column_count + 1, column->id);
        add_record(out, language,
                   (record){section.s, id.s, cell->kind == BD_CELL_LINE ? &cell->line : NULL,
                            is_number ? &value : NULL, .unit = column->unit});
        out->has_failed |= !bd_text_ok(&id);
        bd_text_clear(&id);
    }
    out->has_failed |= !bd_text_ok(&section);
    bd_text_clear(&section);
}

bd_status bd_report_csv(const bd_card *card, const bd_report_style *style, bd_sink sink,
                        bd_error *err)
{
    bd_language language = style->language;
    bd_text out;

    bd_text_init(&out, BD_REPORT_CEILING);
    bd_text_add(&out, "section,id,text,value,low,high,unit,limit,level,source\r\n");
    add_record(
        &out, language,
        (record){"card", card->job, &card->title, .level = verdict_names[bd_card_verdict(card)]});
    add_figures(&out, language, card);
    add_assumptions(&out, language, card);
    add_findings(&out, language, card);
    add_cautions(&out, language, card);
    add_working(&out, language, card);
    for (size_t i = 0; i < card->table_count; i++)
        add_table(&out, language, &card->tables[i]);
    return bd_report_deliver(&out, sink, err);
}
