/*
 * The table "record" has a line for every entry, reversed ones and reversals
 * included; the table "totals" one for every group, of what stands.  Nutrients
 * are elements, the usual value where an entry is a range.
 */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/date.h"
#include "job/delivers.h"
#include "job/record.h"

static const bd_nutrient shown[] = {BD_N, BD_P, BD_K};
enum { SHOWN = sizeof shown / sizeof shown[0] };

void bd_record_show_given(const bd_record_sum *sum, bd_card *card)
{
    bd_delivery given = {{{0, 0, 0}}};

    memcpy(given.amount, sum->gives_g_per_bag, sizeof given.amount);
    bd_delivery_show(card, &given, "given_per_bag", W("figure.given_per_bag"), "g");
}

void bd_record_show_sprayed(const bd_record_sum *sum, bd_card *card)
{
    bd_delivery sprayed = {{{0, 0, 0}}};

    memcpy(sprayed.amount, sum->sprayed_g_per_bag, sizeof sprayed.amount);
    bd_delivery_show(card, &sprayed, "sprayed_per_bag", W("figure.sprayed_per_bag"), "g");
}

static bool is_first_of_group(const bd_records *records, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (strcmp(records->items[k].group, records->items[i].group) == 0)
            return false;
    return true;
}

/* The names of the groups, each once, as far as they fit. */
static void name_groups(const bd_records *records, char out[BD_RECORD_NOTE_SIZE])
{
    size_t used = 0;

    out[0] = '\0';
    for (size_t i = 0; i < records->count && used < BD_RECORD_NOTE_SIZE; i++) {
        int n;

        if (!is_first_of_group(records, i))
            continue;
        if (used + strlen(records->items[i].group) + sizeof ", ..." > BD_RECORD_NOTE_SIZE) {
            (void)snprintf(out + used, BD_RECORD_NOTE_SIZE - used, ", ...");
            return;
        }
        n = snprintf(out + used, BD_RECORD_NOTE_SIZE - used, "%s%s", used > 0 ? ", " : "",
                     records->items[i].group);
        used += n > 0 ? (size_t)n : 0;
    }
}

bool bd_record_tell_group(const bd_records *records, const char *group, bd_level level,
                          bd_card *card)
{
    char names[BD_RECORD_NOTE_SIZE];

    for (size_t i = 0; i < records->count; i++)
        if (strcmp(records->items[i].group, group) == 0)
            return true;
    if (records->count == 0)
        return true;
    name_groups(records, names);
    bd_card_find(card, "record.no_such_group", level, W("record.no_such_group"),
                 BD_ARGS(bd_name(group), bd_name(names)), "");
    return false;
}

static void add_name(bd_card *card, bd_table *t, const char *s)
{
    if (s[0] == '\0')
        bd_table_empty(card, t);
    else
        bd_table_line(card, t, W("plain"), BD_ARGS(bd_name(s)));
}

static void add_amount(bd_card *card, bd_table *t, double x)
{
    if (x > 0.0)
        bd_table_number(card, t, x);
    else
        bd_table_empty(card, t);
}

static void add_nutrient_columns(bd_card *card, bd_table *t)
{
    bd_table_column(card, t, "N", W("column.n"), "g");
    bd_table_column(card, t, "P", W("column.p"), "g");
    bd_table_column(card, t, "K", W("column.k"), "g");
}

static void add_state(bd_card *card, bd_table *t, const bd_entry *e)
{
    if (e->reverses[0] != '\0')
        bd_table_line(card, t, W("record.reverses"), BD_ARGS(bd_name(e->reverses)));
    else if (e->is_reversed)
        bd_table_line(card, t, W("record.reversed"), BD_NO_ARGS);
    else
        bd_table_empty(card, t);
}

static void add_row(bd_card *card, bd_table *t, const bd_entry *e)
{
    char date[BD_DATE_SIZE];

    add_name(card, t, e->id);
    add_name(card, t, bd_date_print(e->day, date));
    add_name(card, t, e->group);
    add_amount(card, t, e->bags);
    add_name(card, t, e->reverses[0] == '\0' ? bd_record_use_words(e->use) : "");
    add_name(card, t, e->material);
    add_name(card, t, e->analysis);
    add_amount(card, t, e->g_per_bag);
    add_amount(card, t, e->l_per_bag);
    for (size_t i = 0; i < SHOWN; i++)
        add_amount(card, t, e->gives_g_per_bag[shown[i]].typical);
    add_name(card, t, e->who);
    add_name(card, t, e->note);
    add_state(card, t, e);
}

void bd_record_table(const bd_entry *entries, size_t count, const char *group, bd_card *card)
{
    bd_table *t = bd_card_table(card, "record", W("table.record"), BD_NO_ARGS);

    bd_table_column(card, t, "id", W("column.entry"), "");
    bd_table_column(card, t, "date", W("column.date"), "");
    bd_table_column(card, t, "group", W("column.bags_of"), "");
    bd_table_column(card, t, "bags", W("column.bags"), "");
    bd_table_column(card, t, "use", W("column.use"), "");
    bd_table_column(card, t, "material", W("column.product"), "");
    bd_table_column(card, t, "analysis", W("column.label"), "");
    bd_table_column(card, t, "g_per_bag", W("column.on_a_bag"), "g");
    bd_table_column(card, t, "l_per_bag", W("column.liquid_on_a_bag"), "L");
    add_nutrient_columns(card, t);
    bd_table_column(card, t, "who", W("column.who"), "");
    bd_table_column(card, t, "note", W("column.note"), "");
    bd_table_column(card, t, "state", W("column.state"), "");
    for (size_t i = 0; i < count; i++)
        if (group == NULL || strcmp(group, entries[i].group) == 0)
            add_row(card, t, &entries[i]);
}

static bd_record_query all_days_of(const char *group)
{
    return (bd_record_query){.group = group,
                             .from_day = bd_date_to_day((bd_date){1900, 1, 1}),
                             .to_day = bd_date_to_day((bd_date){2200, 12, 31})};
}

static void add_total(bd_card *card, bd_table *t, const bd_records *records, const char *group)
{
    const bd_record_query query = all_days_of(group);
    char date[BD_DATE_SIZE];
    bd_record_sum s;

    bd_record_sum_of(records, &query, &s);
    add_name(card, t, group);
    bd_table_number(card, t, (double)s.givings);
    bd_table_number(card, t, (double)s.sprays);
    add_amount(card, t, s.product_g_per_bag);
    for (size_t i = 0; i < SHOWN; i++)
        add_amount(card, t, s.gives_g_per_bag[shown[i]].typical);
    add_amount(card, t, s.product_g);
    add_amount(card, t, s.harvest_g_per_bag);
    add_name(card, t, s.last == NULL ? "" : bd_date_print(s.last->day, date));
    add_name(card, t, s.last == NULL ? "" : s.last->who);
}

static void show_totals(const bd_records *records, const char *group, bd_card *card)
{
    bd_table *t = bd_card_table(card, "totals", W("table.record_totals"), BD_NO_ARGS);

    bd_table_column(card, t, "group", W("column.bags_of"), "");
    bd_table_column(card, t, "givings", W("column.times_fed"), "");
    bd_table_column(card, t, "sprays", W("column.times_sprayed"), "");
    bd_table_column(card, t, "g_per_bag", W("column.on_a_bag"), "g");
    add_nutrient_columns(card, t);
    bd_table_column(card, t, "total", W("column.on_all_bags"), "g");
    bd_table_column(card, t, "harvest", W("column.harvest"), "g");
    bd_table_column(card, t, "last", W("column.last"), "");
    bd_table_column(card, t, "who", W("column.who"), "");
    for (size_t i = 0; i < records->count; i++)
        if ((group == NULL || strcmp(group, records->items[i].group) == 0) &&
            is_first_of_group(records, i))
            add_total(card, t, records, records->items[i].group);
}

/* As element and as oxide, of one group: between groups a sum per bag has no meaning. */
static void show_nutrients(const bd_records *records, const char *group, bd_card *card)
{
    bd_record_query query = all_days_of(group);
    bd_record_sum s;

    query.without_sprays = true;
    bd_record_sum_of(records, &query, &s);
    bd_record_show_given(&s, card);
    query.without_sprays = false;
    bd_record_sum_of(records, &query, &s);
    bd_record_show_sprayed(&s, card);
}

void bd_record_show(const bd_records *records, const char *group, bd_card *card)
{
    bd_card_title(card, group == NULL ? W("record.title_show") : W("record.title_show_group"),
                  BD_ARGS(bd_name(group == NULL ? "" : group), bd_count((double)records->count)));
    bd_record_table(records->items, records->count, group, card);
    show_totals(records, group, card);
    if (group == NULL)
        return;
    show_nutrients(records, group, card);
    (void)bd_record_tell_group(records, group, BD_CARE, card);
}
