#include "card/gather.h"

#include <math.h>
#include <string.h>

#include "base/text.h"

enum { ID_SIZE = 1024, MARKS_SIZE = 1024 };

/* Endings of what a stop card allows. */
static const char *const allowed[] = {".permitted", ".usual"};

typedef struct gathering {
    bd_card *card;
    const bd_card_part *parts;
    size_t count;
    const bd_gather_rules *rules;
} gathering;

/* What the lists of a card have in common, for one walk over any of them. */
typedef struct kind {
    size_t (*count)(const bd_card *card);
    const char *(*id)(const bd_card *card, size_t i); /* NULL: each part's in its own order */
    bool (*is_same)(const bd_card *a, size_t i, const bd_card *b, size_t j);
    void (*add)(const gathering *g, size_t part, size_t i, bool is_common);
    bool is_for_each; /* what not all say is said for each, also where some agree */
    bool is_named;    /* with the full name, not with the mark alone            */
} kind;

/* ---- what is the same ---------------------------------------------------------- */

/* Up to the last digits of a double: the same by two ways of working it out. */
static bool is_same_number(double a, double b)
{
    const double noise = 1e-9;

    return fabs(a - b) <= noise * fabs(b) || (isinf(a) && isinf(b));
}

static bool is_same_range(bd_range a, bd_range b)
{
    return is_same_number(a.low, b.low) && is_same_number(a.typical, b.typical) &&
           is_same_number(a.high, b.high);
}

static bool is_same_text(const char *a, const char *b)
{
    return strcmp(a == NULL ? "" : a, b == NULL ? "" : b) == 0;
}

static bool is_same_line(const bd_line *a, const bd_line *b)
{
    if (!is_same_text(a->key, b->key) || a->arg_count != b->arg_count)
        return false;
    for (size_t i = 0; i < a->arg_count; i++)
        if (a->args[i].kind != b->args[i].kind || !is_same_text(a->args[i].text, b->args[i].text) ||
            !is_same_range(a->args[i].value, b->args[i].value))
            return false;
    return true;
}

static bool is_same_figure(const bd_card *a, size_t i, const bd_card *b, size_t j)
{
    const bd_figure *f = &a->figures[i], *g = &b->figures[j];

    return is_same_text(f->id, g->id) && is_same_line(&f->line, &g->line) &&
           is_same_range(f->value, g->value) && is_same_text(f->unit, g->unit);
}

static bool is_same_assumption(const bd_card *a, size_t i, const bd_card *b, size_t j)
{
    const bd_assumption *f = &a->assumptions[i], *g = &b->assumptions[j];

    return is_same_text(f->id, g->id) && is_same_line(&f->line, &g->line) &&
           f->has_value == g->has_value && is_same_range(f->value, g->value) &&
           is_same_text(f->unit, g->unit) && is_same_text(f->source, g->source);
}

static bool is_same_finding(const bd_card *a, size_t i, const bd_card *b, size_t j)
{
    const bd_finding *f = &a->findings[i], *g = &b->findings[j];

    return is_same_text(f->id, g->id) && f->level == g->level && is_same_line(&f->line, &g->line) &&
           f->has_limit == g->has_limit && f->is_least == g->is_least &&
           is_same_number(f->value, g->value) && is_same_number(f->limit, g->limit) &&
           is_same_text(f->unit, g->unit) && is_same_text(f->source, g->source);
}

static bool is_same_step(const bd_card *a, size_t i, const bd_card *b, size_t j)
{
    const bd_step *f = &a->working[i], *g = &b->working[j];

    return is_same_line(&f->line, &g->line) && is_same_text(f->source, g->source);
}

static bool is_same_cell(const bd_cell *a, const bd_cell *b)
{
    return a->kind == b->kind && is_same_number(a->number, b->number) &&
           is_same_line(&a->line, &b->line);
}

static bool is_same_table(const bd_card *a, size_t i, const bd_card *b, size_t j)
{
    const bd_table *f = &a->tables[i], *g = &b->tables[j];

    if (!is_same_text(f->id, g->id) || !is_same_line(&f->line, &g->line) ||
        f->column_count != g->column_count || f->cell_count != g->cell_count)
        return false;
    for (size_t k = 0; k < f->cell_count; k++)
        if (!is_same_cell(&f->cells[k], &g->cells[k]))
            return false;
    return true;
}

/* ---- ids ------------------------------------------------------------------------ */

static bool is_listed(const char *const *ids, const char *id)
{
    for (; *ids != NULL; ids++)
        if (strcmp(*ids, id) == 0)
            return true;
    return false;
}

/* The ending of an id of what is allowed; "" where it is of something else. */
static const char *allowed_ending(const char *id)
{
    size_t n = strlen(id);

    for (size_t i = 0; i < sizeof allowed / sizeof allowed[0]; i++) {
        size_t m = strlen(allowed[i]);

        if (n > m && strcmp(id + n - m, allowed[i]) == 0)
            return allowed[i];
    }
    return "";
}

static bool is_permitted(const char *id)
{
    return allowed_ending(id)[0] != '\0';
}

/* "bag.area" of A is "bag.area.A"; what ends in .permitted or .usual still does.  In the card's
 * memory; "" when there is none. */
static const char *id_of_part(bd_card *card, const char *id, const char *mark)
{
    const char *ending = allowed_ending(id);
    const char *kept = NULL;
    bd_text own;

    bd_text_init(&own, ID_SIZE);
    bd_text_add_bytes(&own, id, strlen(id) - strlen(ending));
    bd_text_add(&own, ".");
    bd_text_add(&own, mark);
    bd_text_add(&own, ending);
    if (bd_text_ok(&own))
        kept = bd_pool_copy(&card->pool, own.s);
    bd_text_clear(&own);
    card->has_failed |= kept == NULL;
    return kept == NULL ? "" : kept;
}

/* ---- adding ---------------------------------------------------------------------- */

static size_t count_figures(const bd_card *card)
{
    return card->figure_count;
}

static const char *id_of_figure(const bd_card *card, size_t i)
{
    return card->figures[i].id;
}

/* True for the first of the parts that permit the least. */
static bool permits_least(const gathering *g, size_t part, const bd_figure *f)
{
    for (size_t p = 0; p < g->count; p++) {
        const bd_figure *other = bd_card_get(g->parts[p].card, f->id);
        bool is_alike = other != NULL && is_same_number(other->value.typical, f->value.typical);

        if (other == NULL || p == part)
            continue;
        if ((is_alike && p < part) || (!is_alike && other->value.typical < f->value.typical))
            return false;
    }
    return true;
}

static void add_figure(const gathering *g, size_t part, size_t i, bool is_common)
{
    const bd_figure *f = &g->parts[part].card->figures[i];
    bool is_of_mix = g->rules->is_one_mix && is_permitted(f->id);
    bd_arg args[BD_ARGS_MAX + 1];
    const char *id = f->id;

    if (is_listed(g->rules->never, id) || (!is_common && is_listed(g->rules->when_same, id)) ||
        (is_of_mix && !permits_least(g, part, f)))
        return;
    if (is_of_mix)
        bd_card_speak_of(g->card, NULL);
    else if (!is_common)
        id = id_of_part(g->card, id, g->parts[part].mark);
    if (!is_of_mix && !is_common && is_permitted(f->id))
        bd_card_speak_of(g->card, &g->parts[part].name);
    if (id[0] != '\0')
        bd_card_figure(g->card, id, f->line.key, bd_line_args(&f->line, args), f->value, f->unit);
}

static size_t count_assumptions(const bd_card *card)
{
    return card->assumption_count;
}

static const char *id_of_assumption(const bd_card *card, size_t i)
{
    return card->assumptions[i].id;
}

static void add_assumption(const gathering *g, size_t part, size_t i, bool is_common)
{
    const bd_assumption *a = &g->parts[part].card->assumptions[i];
    bd_arg args[BD_ARGS_MAX + 1];

    (void)is_common;
    bd_card_assume(g->card, a->id, a->line.key, bd_line_args(&a->line, args),
                   a->has_value ? &a->value : NULL, a->unit, a->source);
}

static size_t count_findings(const bd_card *card)
{
    return card->finding_count;
}

static const char *id_of_finding(const bd_card *card, size_t i)
{
    return card->findings[i].id;
}

static void add_finding(const gathering *g, size_t part, size_t i, bool is_common)
{
    const bd_finding *f = &g->parts[part].card->findings[i];
    bd_arg args[BD_ARGS_MAX + 1];

    (void)is_common;
    if (is_listed(g->rules->never, f->id))
        return;
    (void)bd_line_args(&f->line, args);
    if (f->has_limit)
        bd_card_find_limit(g->card, f->id, f->level, f->line.key, args, f->value, f->limit, f->unit,
                           f->source);
    else
        bd_card_find(g->card, f->id, f->level, f->line.key, args, f->source);
    if (f->is_least)
        bd_card_limit_is_least(g->card);
}

static size_t count_steps(const bd_card *card)
{
    return card->step_count;
}

static void add_step(const gathering *g, size_t part, size_t i, bool is_common)
{
    const bd_step *s = &g->parts[part].card->working[i];
    bd_arg args[BD_ARGS_MAX + 1];

    (void)is_common;
    bd_card_work(g->card, s->line.key, bd_line_args(&s->line, args), s->source);
}

static size_t count_tables(const bd_card *card)
{
    return card->table_count;
}

static const char *id_of_table(const bd_card *card, size_t i)
{
    return card->tables[i].id;
}

static void add_cell(bd_card *card, bd_table *table, const bd_cell *cell)
{
    bd_arg args[BD_ARGS_MAX + 1];

    switch (cell->kind) {
    case BD_CELL_EMPTY:
        bd_table_empty(card, table);
        return;
    case BD_CELL_NUMBER:
        if (cell->is_exact)
            bd_table_exact(card, table, cell->number);
        else
            bd_table_number(card, table, cell->number);
        return;
    case BD_CELL_LINE:
        bd_table_line(card, table, cell->line.key, bd_line_args(&cell->line, args));
        return;
    }
}

static void add_table(const gathering *g, size_t part, size_t i, bool is_common)
{
    const bd_table *from = &g->parts[part].card->tables[i];
    bd_arg args[BD_ARGS_MAX + 1];
    bd_table *to = bd_card_table(
        g->card, is_common ? from->id : id_of_part(g->card, from->id, g->parts[part].mark),
        from->line.key, bd_line_args(&from->line, args));

    for (size_t k = 0; k < from->column_count; k++)
        bd_table_column(g->card, to, from->columns[k].id, from->columns[k].line.key,
                        from->columns[k].unit);
    for (size_t k = 0; k < from->cell_count; k++)
        add_cell(g->card, to, &from->cells[k]);
}

/* ---- the walk --------------------------------------------------------------------- */

/* Does the part say it too? */
static bool says(const gathering *g, const kind *k, size_t part, const bd_card *card, size_t i)
{
    const bd_card *other = g->parts[part].card;

    for (size_t j = 0; j < k->count(other); j++)
        if (k->is_same(card, i, other, j))
            return true;
    return false;
}

/* Sets what the next line speaks of: the one part, or the marks of all that say it. */
static void speak_of_who_says(const gathering *g, const kind *k, size_t part, size_t i)
{
    size_t sayers = 0;
    bd_text marks;
    bd_line line;

    bd_text_init(&marks, MARKS_SIZE);
    for (size_t p = part; p < g->count; p++) {
        if (p != part && (k->is_for_each || !says(g, k, p, g->parts[part].card, i)))
            continue;
        bd_text_add(&marks, sayers++ == 0 ? "" : ", ");
        bd_text_add(&marks, g->parts[p].mark);
    }
    line = (bd_line){.key = W("plain"), .args = {bd_name(marks.s)}, .arg_count = 1};
    bd_card_speak_of(g->card, k->is_named && sayers == 1 ? &g->parts[part].name : &line);
    g->card->has_failed |= !bd_text_ok(&marks);
    bd_text_clear(&marks);
}

static void say(const gathering *g, const kind *k, size_t part, size_t i)
{
    const bd_card *card = g->parts[part].card;
    bool is_common = true, is_told = false;

    for (size_t p = 0; p < g->count; p++) {
        bool does_say = p == part || says(g, k, p, card, i);

        is_common &= does_say;
        is_told |= does_say && p < part;
    }
    if (is_told && (is_common || !k->is_for_each))
        return;
    if (!is_common)
        speak_of_who_says(g, k, part, i);
    k->add(g, part, i, is_common);
    bd_card_speak_of(g->card, NULL);
}

static bool is_id_before(const kind *k, const bd_card *card, size_t end, const char *id)
{
    for (size_t i = 0; i < end; i++)
        if (strcmp(k->id(card, i), id) == 0)
            return true;
    return false;
}

/* True when an earlier part, or this one earlier, has brought all lines of the id. */
static bool is_done(const gathering *g, const kind *k, size_t part, size_t i)
{
    const bd_card *card = g->parts[part].card;

    for (size_t p = 0; p < part; p++)
        if (is_id_before(k, g->parts[p].card, k->count(g->parts[p].card), k->id(card, i)))
            return true;
    return is_id_before(k, card, i, k->id(card, i));
}

static void say_all_of_id(const gathering *g, const kind *k, size_t first, const char *id)
{
    for (size_t p = first; p < g->count; p++)
        for (size_t i = 0; i < k->count(g->parts[p].card); i++)
            if (strcmp(k->id(g->parts[p].card, i), id) == 0)
                say(g, k, p, i);
}

static void walk(const gathering *g, const kind *k)
{
    for (size_t p = 0; p < g->count; p++)
        for (size_t i = 0; i < k->count(g->parts[p].card); i++)
            if (k->id == NULL)
                say(g, k, p, i);
            else if (!is_done(g, k, p, i))
                say_all_of_id(g, k, p, k->id(g->parts[p].card, i));
}

static void add_cautions(const gathering *g)
{
    bd_arg args[BD_ARGS_MAX + 1];

    for (size_t p = 0; p < g->count; p++)
        for (size_t i = 0; i < g->parts[p].card->caution_count; i++) {
            const bd_caution *c = &g->parts[p].card->cautions[i];

            bd_card_caution(g->card, c->code, c->line.key, bd_line_args(&c->line, args), c->source);
        }
}

void bd_card_gather(bd_card *card, const bd_card_part *parts, size_t count,
                    const bd_gather_rules *rules)
{
    static const kind kinds[] = {
        {count_figures, id_of_figure, is_same_figure, add_figure, true, false},
        {count_assumptions, id_of_assumption, is_same_assumption, add_assumption, false, false},
        {count_findings, id_of_finding, is_same_finding, add_finding, false, true},
        {count_steps, NULL, is_same_step, add_step, false, false},
        {count_tables, id_of_table, is_same_table, add_table, true, false},
    };
    gathering g = {card, parts, count, rules};

    for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; i++)
        walk(&g, &kinds[i]);
    add_cautions(&g);
    for (size_t p = 0; p < count; p++)
        card->has_failed |= parts[p].card->has_failed;
}
