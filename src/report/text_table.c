#include <math.h>
#include <string.h>

#include "report/page.h"
#include "report/wrap.h"
#include "words/utf8.h"

enum {
    COLUMNS_MOST = 16,
    GAP = 2,
    EXACT_DIGITS = 6,
    HEADING_ROOM = 14 /* a heading wider than this folds rather than push its neighbours */
};

/* How the columns of a table stand on the page. */
typedef struct grid {
    const bd_table *table;
    size_t columns, rows;
    bd_amount_view view[COLUMNS_MOST]; /* one for a column: its numbers are compared */
    bool is_number[COLUMNS_MOST];
    size_t least[COLUMNS_MOST], wish[COLUMNS_MOST], width[COLUMNS_MOST];
} grid;

static const bd_cell *cell_at(const bd_table *t, size_t row, size_t column)
{
    return &t->cells[row * t->column_count + column];
}

/* The view of a column's numbers, from the largest of them. */
static bd_amount_view view_of_column(const bd_table *t, size_t rows, size_t column)
{
    double largest = 0.0;

    for (size_t row = 0; row < rows; row++) {
        const bd_cell *cell = cell_at(t, row, column);

        if (cell->kind == BD_CELL_NUMBER && fabs(cell->number) > largest)
            largest = fabs(cell->number);
    }
    return bd_amount_view_of(t->columns[column].unit, largest);
}

static void add_cell(const bd_page *page, const bd_cell *cell, bd_amount_view view, bd_text *out)
{
    switch (cell->kind) {
    case BD_CELL_EMPTY:
        break;
    case BD_CELL_NUMBER:
        bd_amount_add_number(page->language, bd_exactly(cell->number), view,
                             cell->is_exact ? EXACT_DIGITS : BD_AMOUNT_DIGITS, out);
        break;
    case BD_CELL_LINE:
        bd_words_line(page->language, &cell->line, out);
        break;
    }
}

/* "Each can, g" */
static void add_column_heading(const bd_page *page, const bd_column *column, bd_amount_view view,
                               bd_text *out)
{
    bd_words_line(page->language, &column->line, out);
    if (view.unit[0] == '\0')
        return;
    bd_text_add(out, out->length > 0 ? ", " : "");
    bd_utf8_add_harmless(out, view.unit);
}

static size_t at_least(size_t a, size_t b)
{
    return a > b ? a : b;
}

static void measure_heading(bd_page *page, grid *g, size_t column)
{
    bd_text heading = bd_page_scratch();
    size_t full;

    add_column_heading(page, &g->table->columns[column], g->view[column], &heading);
    full = bd_page_width(heading.s);
    g->least[column] = at_least(1, bd_wrap_longest(heading.s));
    g->wish[column] = at_least(g->least[column], full < HEADING_ROOM ? full : HEADING_ROOM);
    bd_page_done(page, &heading);
}

static void measure_cell(bd_page *page, grid *g, size_t row, size_t column)
{
    const bd_cell *cell = cell_at(g->table, row, column);
    bd_text text = bd_page_scratch();

    add_cell(page, cell, g->view[column], &text);
    g->least[column] = at_least(g->least[column], bd_wrap_longest(text.s));
    g->wish[column] = at_least(g->wish[column], bd_page_width(text.s));
    g->is_number[column] |= cell->kind == BD_CELL_NUMBER;
    bd_page_done(page, &text);
}

static void measure(bd_page *page, grid *g)
{
    for (size_t column = 0; column < g->columns; column++) {
        g->view[column] = view_of_column(g->table, g->rows, column);
        measure_heading(page, g, column);
        for (size_t row = 0; row < g->rows; row++)
            measure_cell(page, g, row, column);
    }
}

/* The column that lacks most of its wish, or columns when none lacks any. */
static size_t find_neediest(const grid *g)
{
    size_t neediest = g->columns, lack = 0;

    for (size_t i = 0; i < g->columns; i++)
        if (g->wish[i] - g->width[i] > lack) {
            lack = g->wish[i] - g->width[i];
            neediest = i;
        }
    return neediest;
}

/* Shares the page out; false when it is too narrow for the longest words side by side. */
static bool share_width(grid *g)
{
    size_t used = BD_PAGE_INDENT + GAP * (g->columns - 1), neediest;

    for (size_t i = 0; i < g->columns; i++) {
        g->width[i] = g->least[i];
        used += g->least[i];
    }
    if (used > BD_PAGE_COLUMNS)
        return false;
    for (; used < BD_PAGE_COLUMNS && (neediest = find_neediest(g)) < g->columns; used++)
        g->width[neediest]++;
    return true;
}

/* Sets one line of a row; `rest` holds what of each cell is not yet set.  False when nothing is. */
static bool add_row_line(bd_page *page, const grid *g, const bool is_right[], const char *rest[])
{
    size_t cursor = 0, start = BD_PAGE_INDENT;
    bool has_more = false;

    for (size_t i = 0; i < g->columns; i++) {
        size_t next, n = bd_wrap_line(rest[i], g->width[i], &next);
        size_t columns = bd_utf8_columns(rest[i], n);
        size_t at = start + (is_right[i] && columns < g->width[i] ? g->width[i] - columns : 0);

        if (n > 0) {
            bd_wrap_pad(&page->out, cursor, at);
            bd_text_add_bytes(&page->out, rest[i], n);
            cursor = at + columns;
        }
        rest[i] += next;
        has_more |= *rest[i] != '\0';
        start += g->width[i] + GAP;
    }
    bd_text_add(&page->out, "\n");
    return has_more;
}

static void add_row_texts(bd_page *page, const grid *g, const bool is_right[], bd_text texts[])
{
    const char *rest[COLUMNS_MOST];

    for (size_t i = 0; i < g->columns; i++)
        rest[i] = texts[i].s + strspn(texts[i].s, " ");
    while (add_row_line(page, g, is_right, rest))
        ;
    for (size_t i = 0; i < g->columns; i++)
        bd_page_done(page, &texts[i]);
}

static void add_heading_row(bd_page *page, const grid *g)
{
    bd_text texts[COLUMNS_MOST];

    for (size_t i = 0; i < g->columns; i++) {
        texts[i] = bd_page_scratch();
        add_column_heading(page, &g->table->columns[i], g->view[i], &texts[i]);
    }
    add_row_texts(page, g, g->is_number, texts);
}

static void add_rule(bd_page *page, const grid *g)
{
    for (size_t i = 0; i < g->columns; i++) {
        bd_wrap_pad(&page->out, 0, i == 0 ? BD_PAGE_INDENT : GAP);
        for (size_t n = 0; n < g->width[i]; n++)
            bd_text_add(&page->out, "-");
    }
    bd_text_add(&page->out, "\n");
}

static void add_row(bd_page *page, const grid *g, size_t row)
{
    bd_text texts[COLUMNS_MOST];
    bool is_right[COLUMNS_MOST];

    for (size_t i = 0; i < g->columns; i++) {
        texts[i] = bd_page_scratch();
        add_cell(page, cell_at(g->table, row, i), g->view[i], &texts[i]);
        is_right[i] = cell_at(g->table, row, i)->kind == BD_CELL_NUMBER;
    }
    add_row_texts(page, g, is_right, texts);
}

static bool add_as_grid(bd_page *page, const bd_table *t)
{
    grid g = {.table = t, .columns = t->column_count, .rows = t->cell_count / t->column_count};

    if (g.columns > COLUMNS_MOST)
        return false;
    measure(page, &g);
    if (!share_width(&g))
        return false;
    add_heading_row(page, &g);
    add_rule(page, &g);
    for (size_t row = 0; row < g.rows; row++)
        add_row(page, &g, row);
    return true;
}

static void add_cell_line(bd_page *page, const bd_table *t, size_t row, size_t column,
                          bd_amount_view view)
{
    bd_text text = bd_page_scratch();

    if (cell_at(t, row, column)->kind == BD_CELL_EMPTY)
        return;
    add_column_heading(page, &t->columns[column], view, &text);
    bd_text_add(&text, ": ");
    add_cell(page, cell_at(t, row, column), view, &text);
    bd_wrap_pad(&page->out, 0, BD_PAGE_INDENT);
    bd_wrap_add(&page->out, text.s, BD_PAGE_INDENT, BD_PAGE_INDENT + GAP);
    bd_page_done(page, &text);
}

static void add_as_list(bd_page *page, const bd_table *t)
{
    size_t rows = t->cell_count / t->column_count;
    bd_amount_view view[COLUMNS_MOST];

    for (size_t column = 0; column < t->column_count && column < COLUMNS_MOST; column++)
        view[column] = view_of_column(t, rows, column);
    for (size_t row = 0; row < rows; row++) {
        bd_text_add(&page->out, row == 0 ? "" : "\n");
        for (size_t column = 0; column < t->column_count; column++)
            add_cell_line(page, t, row, column,
                          column < COLUMNS_MOST ? view[column] : view_of_column(t, rows, column));
    }
}

void bd_page_table(bd_page *page, const bd_table *table)
{
    bd_text heading = bd_page_scratch();

    bd_words_line(page->language, &table->line, &heading);
    bd_text_add(&page->out, "\n");
    bd_wrap_add(&page->out, heading.s, 0, BD_PAGE_INDENT);
    bd_page_done(page, &heading);
    if (table->column_count > 0 && !add_as_grid(page, table))
        add_as_list(page, table);
}
