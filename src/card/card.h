/*
 * card.h - what every job ends in: figures, assumptions, findings, cautions,
 * working and tables.
 *
 * May include: base/.  No stdio, no clock, no files.
 *
 * A line of a card holds no sentence.  It holds the key of one, W("spray.title"),
 * and typed arguments; words/ turns them into a language, report/ into a format.
 * Numbers stay unrounded until then.
 *
 * A card owns copies of all it is given.  Running out of memory is sticky: a job
 * adds its lines without asking and asks once, with bd_card_status.
 */
#ifndef BD_CARD_CARD_H
#define BD_CARD_CARD_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/range.h"

/* Marks a string as the key of a sentence; `make check-words` collects these. */
#define W(key) (key)

typedef enum bd_level { BD_NOTE, BD_CARE, BD_STOP } bd_level;

/* What a sentence may be filled with. */
typedef enum bd_arg_kind {
    BD_ARG_END,
    BD_ARG_NAME,   /* a proper name or something the user wrote: shown as it is, harmless */
    BD_ARG_AMOUNT, /* a number or range with a unit, rounded for reading  */
    BD_ARG_EXACT,  /* a number with a unit, shown to 6 digits: factors, working */
    BD_ARG_COUNT,  /* a whole number */
    BD_ARG_WORDS   /* another sentence by key, without arguments */
} bd_arg_kind;

typedef struct bd_arg {
    bd_arg_kind kind;
    const char *text; /* name, key or unit; NULL for none */
    bd_range value;
} bd_arg;

static inline bd_arg bd_name(const char *name)
{
    return (bd_arg){BD_ARG_NAME, name, {0, 0, 0}};
}
static inline bd_arg bd_amount(double value, const char *unit)
{
    return (bd_arg){BD_ARG_AMOUNT, unit, {value, value, value}};
}
static inline bd_arg bd_amount_range(bd_range value, const char *unit)
{
    return (bd_arg){BD_ARG_AMOUNT, unit, value};
}
static inline bd_arg bd_exact(double value, const char *unit)
{
    return (bd_arg){BD_ARG_EXACT, unit, {value, value, value}};
}
static inline bd_arg bd_count(double n)
{
    return (bd_arg){BD_ARG_COUNT, NULL, {n, n, n}};
}
static inline bd_arg bd_words_arg(const char *key)
{
    return (bd_arg){BD_ARG_WORDS, key, {0, 0, 0}};
}

/* A list of arguments for one call:  BD_ARGS(bd_name("urea"), bd_amount(5, "g")) */
#define BD_ARGS(...) ((const bd_arg[]){__VA_ARGS__, {BD_ARG_END, NULL, {0, 0, 0}}})
#define BD_NO_ARGS   ((const bd_arg *)0)

enum { BD_ARGS_MAX = 8 };

/* A sentence to be: its key and its arguments. */
typedef struct bd_line {
    const char *key;
    bd_arg args[BD_ARGS_MAX];
    size_t arg_count;
    const struct bd_line *about; /* what part of the card it speaks of: "A (bags: 12)"; NULL: all */
} bd_line;

/* The arguments of a line as the calls below take them: with an end, in `args`. */
const bd_arg *bd_line_args(const bd_line *line, bd_arg args[BD_ARGS_MAX + 1]);

typedef struct bd_figure {
    const char *id; /* stable, listed in the design: "product.per_litre" */
    bd_line line;
    bd_range value;
    const char *unit;
} bd_figure;

typedef struct bd_assumption {
    const char *id;
    bd_line line;
    bool has_value;
    bd_range value;
    const char *unit;   /* "" when there is no value */
    const char *source; /* a source key, "common practice, no source", ...; may be "" */
} bd_assumption;

typedef struct bd_finding {
    const char *id;
    bd_level level;
    bd_line line;
    bool has_value, has_limit;
    bool is_least; /* the limit is what there must be at least, not at most */
    double value, limit;
    const char *unit;
    const char *source;
} bd_finding;

typedef struct bd_caution {
    const char *code; /* GHS code (H272) or the project's own (C01) */
    bd_line line;
    const char *source;
} bd_caution;

typedef struct bd_step {
    bd_line line;
    const char *source;
} bd_step;

typedef struct bd_column {
    const char *id;
    bd_line line;
    const char *unit;
} bd_column;

typedef enum bd_cell_kind { BD_CELL_EMPTY, BD_CELL_NUMBER, BD_CELL_LINE } bd_cell_kind;

typedef struct bd_cell {
    bd_cell_kind kind;
    double number;
    bool is_exact; /* shown to six digits: a number that is added up on paper */
    bd_line line;  /* one argument {0} for plain text: key W("plain") */
} bd_cell;

typedef struct bd_table {
    const char *id;
    bd_line line; /* the heading */
    bd_column *columns;
    size_t column_count, column_capacity;
    bd_cell *cells; /* row after row */
    size_t cell_count, cell_capacity;
} bd_table;

typedef struct bd_card {
    const char *job;
    bd_line title;
    bd_figure *figures;
    size_t figure_count, figure_capacity;
    bd_assumption *assumptions;
    size_t assumption_count, assumption_capacity;
    bd_finding *findings;
    size_t finding_count, finding_capacity;
    bd_caution *cautions;
    size_t caution_count, caution_capacity;
    bd_step *working;
    size_t step_count, step_capacity;
    bd_table *tables;
    size_t table_count, table_capacity;
    bd_pool pool;
    const bd_line *about; /* see bd_card_speak_of */
    bool has_failed;
} bd_card;

/* Starts an empty card of `job` ("spray"). */
void bd_card_init(bd_card *card, const char *job);
/* Frees all the card holds. */
void bd_card_clear(bd_card *card);

/* The title, in place of any before it. */
void bd_card_title(bd_card *card, const char *key, const bd_arg *args);

/* From here on figures, assumptions, findings, steps and table headings speak of this part only;
 * NULL: of the whole card again. */
void bd_card_speak_of(bd_card *card, const bd_line *part);

/*
 * A figure: what a reader weighs, or what that delivers.
 *   id    stable; adding an id twice is a bug (assert)
 *   unit  canonical unit of the id, "" for a bare ratio
 */
void bd_card_figure(bd_card *card, const char *id, const char *key, const bd_arg *args,
                    bd_range value, const char *unit);

/* Something taken as given because nobody said: value (or NULL) and where it comes from. */
void bd_card_assume(bd_card *card, const char *id, const char *key, const bd_arg *args,
                    const bd_range *value, const char *unit, const char *source);

/* A finding without numbers of its own. */
void bd_card_find(bd_card *card, const char *id, bd_level level, const char *key,
                  const bd_arg *args, const char *source);

/* A finding that compares a value with a limit in the same unit. */
void bd_card_find_limit(bd_card *card, const char *id, bd_level level, const char *key,
                        const bd_arg *args, double value, double limit, const char *unit,
                        const char *source);

/* The limit of the finding just added is a least: "35 cm; at least 20 cm". */
void bd_card_limit_is_least(bd_card *card);

/* A caution; one with the same code, key and first argument is not added again. */
void bd_card_caution(bd_card *card, const char *code, const char *key, const bd_arg *args,
                     const char *source);

/* One step of arithmetic, shown with --working. */
void bd_card_work(bd_card *card, const char *key, const bd_arg *args, const char *source);

/* A table, filled column by column and then cell by cell, row after row.  The pointer (NULL when
 * memory ran out, which the other calls accept) is good until the next table is added. */
bd_table *bd_card_table(bd_card *card, const char *id, const char *key, const bd_arg *args);
void bd_table_column(bd_card *card, bd_table *table, const char *id, const char *key,
                     const char *unit);
void bd_table_number(bd_card *card, bd_table *table, double x);
/* A number that is added up on paper: what is shown of it is not rounded away. */
void bd_table_exact(bd_card *card, bd_table *table, double x);
void bd_table_line(bd_card *card, bd_table *table, const char *key, const bd_arg *args);
void bd_table_empty(bd_card *card, bd_table *table);

/* The worst level among the findings: BD_NOTE reads "ok". */
bd_level bd_card_verdict(const bd_card *card);

/* A figure by id, or NULL. */
const bd_figure *bd_card_get(const bd_card *card, const char *id);

/* BD_OK, or BD_MEMORY if any line could not be kept. */
bd_status bd_card_status(const bd_card *card, bd_error *err) BD_MUST_CHECK;

#endif
