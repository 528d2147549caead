#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "record/entry.h"

void bd_records_clear(bd_records *r)
{
    free(r->items);
    bd_pool_clear(&r->pool);
    memset(r, 0, sizeof *r);
}

static bd_entry *find(const bd_records *r, const char *id)
{
    for (size_t i = 0; i < r->count; i++)
        if (strcmp(r->items[i].id, id) == 0)
            return &r->items[i];
    return NULL;
}

const bd_entry *bd_records_find(const bd_records *records, const char *id)
{
    return find(records, id);
}

/* ---- adding entries ---- */

/* The n of "date-n", 0 for an id of another make. */
static unsigned long number_in(const char *id, const char *date)
{
    size_t n = strlen(date);
    char *end;
    unsigned long number;

    if (strncmp(id, date, n) != 0 || id[n] != '-' || id[n + 1] < '0' || id[n + 1] > '9')
        return 0;
    number = strtoul(id + n + 1, &end, 10);
    return *end == '\0' ? number : 0;
}

static const char *make_id(bd_records *r, int day)
{
    char date[BD_DATE_SIZE], id[BD_RECORD_ID_SIZE];
    unsigned long highest = 0;

    bd_date_print(day, date);
    for (size_t i = 0; i < r->count; i++) {
        unsigned long n = number_in(r->items[i].id, date);

        if (n > highest && n < 1000000000UL)
            highest = n;
    }
    (void)snprintf(id, sizeof id, "%s-%lu", date, highest + 1);
    return bd_pool_copy(&r->pool, id);
}

static bd_status mark_reversed(bd_records *r, const char *id, bd_error *err)
{
    bd_entry *e = find(r, id);

    if (e == NULL)
        return bd_fail(err, BD_UNKNOWN, NULL, "'%.40s' is no id of this record", id);
    if (e->reverses[0] != '\0') {
        (void)bd_fail(err, BD_CONFLICT, NULL, "'%.40s' is a reversal itself", id);
        (void)bd_accepts(err, "'record add' for what was given after all");
        return BD_CONFLICT;
    }
    if (e->is_reversed)
        return bd_fail(err, BD_CONFLICT, NULL, "'%.40s' is reversed already", id);
    e->is_reversed = true;
    return BD_OK;
}

static bool copy_texts(bd_records *r, const bd_entry *from, bd_entry *to)
{
    to->group = bd_pool_copy(&r->pool, from->group);
    to->material = bd_pool_copy(&r->pool, from->material);
    to->analysis = bd_pool_copy(&r->pool, from->analysis);
    to->who = bd_pool_copy(&r->pool, from->who);
    to->note = bd_pool_copy(&r->pool, from->note);
    to->reverses = bd_pool_copy(&r->pool, from->reverses);
    return to->group != NULL && to->material != NULL && to->analysis != NULL && to->who != NULL &&
           to->note != NULL && to->reverses != NULL;
}

static bd_status add_one(bd_records *r, const bd_entry *from, bd_error *err)
{
    bd_entry *items = bd_array_grow(r->items, r->count, &r->capacity, sizeof *items), *e;
    bd_status status;

    if (items == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left");
    r->items = items;
    e = &items[r->count];
    *e = *from;
    e->id = make_id(r, from->day);
    e->batch = "";
    e->batch_of = 0;
    e->is_reversed = false;
    e->line = 0;
    if (e->id == NULL || !copy_texts(r, from, e))
        return bd_fail(err, BD_MEMORY, NULL, "no memory left");
    status = bd_entry_check(e, err);
    if (status == BD_OK && e->reverses[0] != '\0')
        status = mark_reversed(r, e->reverses, err);
    if (status == BD_OK)
        r->count++;
    return status;
}

bd_status bd_records_add(bd_records *r, const bd_entry *entries, size_t count, bd_error *err)
{
    size_t first = r->count;

    for (size_t i = 0; i < count; i++) {
        bd_status status = add_one(r, &entries[i], err);

        if (status != BD_OK)
            return status;
    }
    for (size_t i = 0; i < count && count > 1; i++) {
        r->items[first + i].batch = r->items[first].id;
        r->items[first + i].batch_of = count;
    }
    return BD_OK;
}

/* ---- adding up ---- */

static bool fits(const bd_entry *e, const bd_record_query *q)
{
    return bd_entry_stands(e) && e->day >= q->from_day && e->day <= q->to_day &&
           (q->group == NULL || strcmp(q->group, e->group) == 0) &&
           (q->material == NULL || strcmp(q->material, e->material) == 0) &&
           !(q->without_sprays && e->use == BD_RECORD_FOLIAR);
}

/* Of two on one day the one that was written later. */
static const bd_entry *later(const bd_entry *a, const bd_entry *b)
{
    return a == NULL || b->day >= a->day ? b : a;
}

static void add_giving(bd_record_sum *s, const bd_entry *e)
{
    s->givings++;
    s->last = later(s->last, e);
    if (e->use == BD_RECORD_FOLIAR) {
        s->sprays++;
        s->last_spray = later(s->last_spray, e);
    }
    if (!e->gives_is_known)
        s->unknown++;
    s->product_g_per_bag += e->g_per_bag;
    s->product_g += e->g_per_bag * e->bags;
    s->liquid_l_per_bag += e->l_per_bag;
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        s->gives_g_per_bag[n] = bd_range_add(s->gives_g_per_bag[n], e->gives_g_per_bag[n]);
        if (e->use == BD_RECORD_FOLIAR)
            s->sprayed_g_per_bag[n] = bd_range_add(s->sprayed_g_per_bag[n], e->gives_g_per_bag[n]);
        s->gives_g[n] = bd_range_add(s->gives_g[n], bd_range_scale(e->gives_g_per_bag[n], e->bags));
    }
}

void bd_record_sum_of(const bd_records *records, const bd_record_query *query, bd_record_sum *out)
{
    memset(out, 0, sizeof *out);
    for (size_t i = 0; i < records->count; i++) {
        const bd_entry *e = &records->items[i];

        if (!fits(e, query))
            continue;
        if (bd_record_use_feeds(e->use)) {
            add_giving(out, e);
        } else if (e->use == BD_RECORD_WATER) {
            out->water_l_per_bag += e->l_per_bag;
        } else {
            out->harvest_g_per_bag += e->g_per_bag;
            out->harvest_g += e->g_per_bag * e->bags;
        }
    }
}
