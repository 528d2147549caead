#include "card/card.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

void bd_card_init(bd_card *card, const char *job)
{
    *card = (bd_card){0};
    card->job = job;
}

void bd_card_clear(bd_card *card)
{
    for (size_t i = 0; i < card->table_count; i++) {
        free(card->tables[i].columns);
        free(card->tables[i].cells);
    }
    free(card->figures);
    free(card->assumptions);
    free(card->findings);
    free(card->cautions);
    free(card->working);
    free(card->tables);
    bd_pool_clear(&card->pool);
    bd_card_init(card, card->job);
}

static const char *keep(bd_card *card, const char *s)
{
    const char *copy = bd_pool_copy(&card->pool, s == NULL ? "" : s);

    if (copy == NULL)
        card->has_failed = true;
    return copy == NULL ? "" : copy;
}

const bd_arg *bd_line_args(const bd_line *line, bd_arg args[BD_ARGS_MAX + 1])
{
    memcpy(args, line->args, line->arg_count * sizeof *args);
    args[line->arg_count] = (bd_arg){BD_ARG_END, NULL, {0, 0, 0}};
    return args;
}

static bd_line keep_line(bd_card *card, const char *key, const bd_arg *args)
{
    bd_line line = {.key = keep(card, key)};

    for (; args != NULL && args->kind != BD_ARG_END; args++) {
        assert(line.arg_count < BD_ARGS_MAX);
        line.args[line.arg_count] = *args;
        line.args[line.arg_count].text = keep(card, args->text);
        line.arg_count++;
    }
    return line;
}

/* A line that speaks of the part the card is at. */
static bd_line keep_spoken(bd_card *card, const char *key, const bd_arg *args)
{
    bd_line line = keep_line(card, key, args);

    line.about = card->about;
    return line;
}

void bd_card_speak_of(bd_card *card, const bd_line *part)
{
    bd_arg args[BD_ARGS_MAX + 1];
    bd_line *kept = NULL;

    if (part != NULL) {
        kept = bd_pool_get(&card->pool, sizeof *kept);
        card->has_failed |= kept == NULL;
    }
    if (kept != NULL)
        *kept = keep_line(card, part->key, bd_line_args(part, args));
    card->about = kept;
}

/* The next slot of a list that was just made to fit one more, zeroed; NULL with the failure noted.
 */
static void *take_slot(bd_card *card, void *items, size_t *count, size_t size)
{
    if (items == NULL) {
        card->has_failed = true;
        return NULL;
    }
    return memset((char *)items + (*count)++ * size, 0, size);
}

/* Grows `list` through `grown`, a `void *` of the caller, and gives its new slot or NULL. */
#define ONE_MORE(card, list, count, capacity)                                                      \
    (grown = bd_array_grow((list), (count), &(capacity), sizeof *(list)),                          \
     (list) = grown == NULL ? (list) : grown, take_slot((card), grown, &(count), sizeof *(list)))

void bd_card_title(bd_card *card, const char *key, const bd_arg *args)
{
    card->title = keep_line(card, key, args);
}

void bd_card_figure(bd_card *card, const char *id, const char *key, const bd_arg *args,
                    bd_range value, const char *unit)
{
    bd_figure *f;
    void *grown;

    assert(bd_card_get(card, id) == NULL);
    f = ONE_MORE(card, card->figures, card->figure_count, card->figure_capacity);
    if (f == NULL)
        return;
    f->id = keep(card, id);
    f->line = keep_spoken(card, key, args);
    f->value = value;
    f->unit = keep(card, unit);
}

void bd_card_assume(bd_card *card, const char *id, const char *key, const bd_arg *args,
                    const bd_range *value, const char *unit, const char *source)
{
    void *grown;
    bd_assumption *a =
        ONE_MORE(card, card->assumptions, card->assumption_count, card->assumption_capacity);

    if (a == NULL)
        return;
    a->id = keep(card, id);
    a->line = keep_spoken(card, key, args);
    a->has_value = value != NULL;
    if (value != NULL)
        a->value = *value;
    a->unit = keep(card, unit);
    a->source = keep(card, source);
}

static bd_finding *add_finding(bd_card *card, const char *id, bd_level level, const char *key,
                               const bd_arg *args, const char *source)
{
    void *grown;
    bd_finding *f = ONE_MORE(card, card->findings, card->finding_count, card->finding_capacity);

    if (f == NULL)
        return NULL;
    f->id = keep(card, id);
    f->level = level;
    f->line = keep_spoken(card, key, args);
    f->unit = "";
    f->source = keep(card, source);
    return f;
}

void bd_card_find(bd_card *card, const char *id, bd_level level, const char *key,
                  const bd_arg *args, const char *source)
{
    (void)add_finding(card, id, level, key, args, source);
}

void bd_card_find_limit(bd_card *card, const char *id, bd_level level, const char *key,
                        const bd_arg *args, double value, double limit, const char *unit,
                        const char *source)
{
    bd_finding *f = add_finding(card, id, level, key, args, source);

    if (f == NULL)
        return;
    f->has_value = f->has_limit = true;
    f->value = value;
    f->limit = limit;
    f->unit = keep(card, unit);
}

void bd_card_limit_is_least(bd_card *card)
{
    if (card->finding_count > 0)
        card->findings[card->finding_count - 1].is_least = true;
}

/* The same danger of the same material; of another material it is told again. */
static bool is_same_caution(const bd_caution *c, const char *code, const char *key,
                            const bd_arg *args)
{
    const char *about = args == NULL || args->text == NULL ? "" : args->text;
    const char *told = c->line.arg_count == 0 ? "" : c->line.args[0].text;

    return strcmp(c->code, code) == 0 && strcmp(c->line.key, key) == 0 && strcmp(told, about) == 0;
}

void bd_card_caution(bd_card *card, const char *code, const char *key, const bd_arg *args,
                     const char *source)
{
    bd_caution *c;
    void *grown;

    for (size_t i = 0; i < card->caution_count; i++)
        if (is_same_caution(&card->cautions[i], code, key, args))
            return;
    c = ONE_MORE(card, card->cautions, card->caution_count, card->caution_capacity);
    if (c == NULL)
        return;
    c->code = keep(card, code);
    c->line = keep_line(card, key, args);
    c->source = keep(card, source);
}

void bd_card_work(bd_card *card, const char *key, const bd_arg *args, const char *source)
{
    void *grown;
    bd_step *s = ONE_MORE(card, card->working, card->step_count, card->step_capacity);

    if (s == NULL)
        return;
    s->line = keep_spoken(card, key, args);
    s->source = keep(card, source);
}

bd_table *bd_card_table(bd_card *card, const char *id, const char *key, const bd_arg *args)
{
    void *grown;
    bd_table *t = ONE_MORE(card, card->tables, card->table_count, card->table_capacity);

    if (t == NULL)
        return NULL;
    t->id = keep(card, id);
    t->line = keep_spoken(card, key, args);
    return t;
}

void bd_table_column(bd_card *card, bd_table *table, const char *id, const char *key,
                     const char *unit)
{
    bd_column *c;
    void *grown;

    if (table == NULL)
        return;
    c = ONE_MORE(card, table->columns, table->column_count, table->column_capacity);
    if (c == NULL)
        return;
    c->id = keep(card, id);
    c->line = keep_line(card, key, NULL);
    c->unit = keep(card, unit);
}

static bd_cell *add_cell(bd_card *card, bd_table *table)
{
    void *grown;

    if (table == NULL)
        return NULL;
    return ONE_MORE(card, table->cells, table->cell_count, table->cell_capacity);
}

void bd_table_number(bd_card *card, bd_table *table, double x)
{
    bd_cell *c = add_cell(card, table);

    if (c == NULL)
        return;
    c->kind = BD_CELL_NUMBER;
    c->number = x;
}

void bd_table_exact(bd_card *card, bd_table *table, double x)
{
    bd_cell *c = add_cell(card, table);

    if (c == NULL)
        return;
    *c = (bd_cell){.kind = BD_CELL_NUMBER, .number = x, .is_exact = true};
}

void bd_table_line(bd_card *card, bd_table *table, const char *key, const bd_arg *args)
{
    bd_cell *c = add_cell(card, table);

    if (c == NULL)
        return;
    c->kind = BD_CELL_LINE;
    c->line = keep_line(card, key, args);
}

void bd_table_empty(bd_card *card, bd_table *table)
{
    (void)add_cell(card, table);
}

bd_level bd_card_verdict(const bd_card *card)
{
    bd_level worst = BD_NOTE;

    for (size_t i = 0; i < card->finding_count; i++)
        if (card->findings[i].level > worst)
            worst = card->findings[i].level;
    return worst;
}

const bd_figure *bd_card_get(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->figure_count; i++)
        if (strcmp(card->figures[i].id, id) == 0)
            return &card->figures[i];
    return NULL;
}

bd_status bd_card_status(const bd_card *card, bd_error *err)
{
    if (card->has_failed)
        return bd_fail(err, BD_MEMORY, "card", "no memory left for the card");
    return BD_OK;
}
