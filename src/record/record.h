/*
 * record.h - what was really given: a file that only grows.
 *
 * May include: base/, quantity/.  The only folder besides command/ that does
 * file input and output.
 *
 * One JSON object a line, in UTF-8, each line ended by a newline
 * (nutrients/schema/record.schema.json):
 *
 *     {"schema":"bagdose.record/1","id":"2026-05-03-1","date":"2026-05-03",
 *      "group":"beets-north","bags":18,"material":"potassium-sulfate",
 *      "analysis":"0-0-50","use":"sidedress","g_per_bag":1.26,"l_per_bag":1.5,
 *      "gives":{"K":0.523,"S":0.232},"who":"Ana","note":"after rain"}
 *     {"schema":"bagdose.record/1","id":"2026-05-04-1","date":"2026-05-04",
 *      "group":"beets-north","reverses":"2026-05-03-1","who":"Ana"}
 *
 *   id         unique in the file; made when the line is added, "date-n"
 *   group      which bags; its bags are all alike
 *   use        sidedress, drench, foliar, feed: something was given;
 *              water: l_per_bag alone; harvest: g_per_bag is the harvest
 *   material   a name of the catalogue, or no such key: an own label or mix
 *   analysis   the label, as it was typed
 *   g_per_bag  of the product on one bag; l_per_bag of the liquid
 *   gives      g of the ELEMENT on one bag: a number, or {"low", "typical",
 *              "high"}; no such key when it is not known, {} for nothing
 *   reverses   the id of an earlier line that was a mistake: neither counts
 *   batch      of an import: the id of its first line, and batch_of its number
 *              of lines; a batch counts whole or not at all
 *
 * A key that is not listed, a key twice, and a schema that is not .../1 are
 * errors; keys may stand in any order.  Numbers read back as they were written.
 *
 * What is promised.  A line is confirmed when bd_record_append returns BD_OK:
 * then it was handed over in one write, and the file and its folder were synced.
 * No crash later takes it away.  A crash before may leave a torn end: a last line
 * without its newline or that is no JSON, or a batch that is not whole.  It is
 * never read; it is reported, and the next append moves it to FILE.torn first.
 * A line that is no JSON anywhere else is an error, for somebody edited the file.
 *
 * Two who add at once wait for each other, at most five seconds.
 */
#ifndef BD_RECORD_RECORD_H
#define BD_RECORD_RECORD_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/memory.h"
#include "base/range.h"
#include "quantity/nutrient.h"

#define BD_RECORD_SCHEMA "bagdose.record/1"

/* Longest texts, in bytes with the end. */
enum { BD_RECORD_NAME_SIZE = 80, BD_RECORD_ID_SIZE = 48, BD_RECORD_NOTE_SIZE = 400 };

typedef enum bd_record_use {
    BD_RECORD_SIDEDRESS, /* "sidedress": dry, on the bag                 */
    BD_RECORD_DRENCH,    /* "drench": a fertiliser dissolved and poured  */
    BD_RECORD_FOLIAR,    /* "foliar"                                     */
    BD_RECORD_FEED,      /* "feed": homemade                             */
    BD_RECORD_WATER,     /* "water": plain                               */
    BD_RECORD_HARVEST,   /* "harvest"                                    */
    BD_RECORD_USE_COUNT
} bd_record_use;

/* As files spell it; BD_UNKNOWN lists them. */
const char *bd_record_use_words(bd_record_use use);
bd_status bd_record_use_read(const char *text, bd_record_use *out, bd_error *err) BD_MUST_CHECK;

/* True for the uses that give a plant something. */
static inline bool bd_record_use_feeds(bd_record_use use)
{
    return use <= BD_RECORD_FEED;
}

/* One line.  Texts are never NULL; "" is a key that is not there. */
typedef struct bd_entry {
    const char *id;
    int day; /* base/date.h */
    const char *group;
    double bags; /* a whole number from 1; 0 in a reversal */
    const char *material, *analysis;
    bd_record_use use;
    double g_per_bag, l_per_bag; /* 0: not given */
    bool gives_is_known;
    bd_range gives_g_per_bag[BD_NUTRIENT_COUNT]; /* ELEMENT */
    const char *who, *note;
    const char *reverses; /* "" in a line that reverses nothing */
    const char *batch;
    size_t batch_of;
    bool is_reversed; /* found while reading, not in the file */
    size_t line;      /* in the file, from 1                  */
} bd_entry;

/* An entry that says nothing yet: numbers 0, texts "". */
extern const bd_entry bd_no_entry;

/* True for a line that counts: neither reversed nor a reversal. */
static inline bool bd_entry_stands(const bd_entry *e)
{
    return !e->is_reversed && e->reverses[0] == '\0';
}

/*
 * What holds within one entry, whether it was read or is to be written: texts on
 * one line and not too long, numbers in their ranges, and the keys that its use
 * needs.  The id is checked unless it is empty.
 */
bd_status bd_entry_check(const bd_entry *entry, bd_error *err) BD_MUST_CHECK;

/* A file's lines, in its order.  All memory is freed by bd_records_clear. */
typedef struct bd_records {
    bd_entry *items;
    size_t count, capacity;
    bd_pool pool;
    bool is_absent;    /* there is no such file                                    */
    size_t torn_line;  /* first line of a torn end; 0 when the end is whole        */
    size_t torn_bytes; /* its length                                               */
    size_t torn_lines; /* whole lines in it, of a batch that is not whole          */
} bd_records;

/* Frees all the lines; the records are empty and may be loaded again. */
void bd_records_clear(bd_records *records);

/*
 * Reads a record, waiting for whoever is adding to it.
 *
 *   path  the file; one that is not there is an empty record with is_absent
 *   out   to be cleared by the caller in every case
 *
 * Returns BD_OK, BD_FILE (cannot be opened, locked, read; no plain file; over
 * 64 MiB), BD_MEMORY, or for a line that is well-formed and wrong BD_SYNTAX,
 * BD_UNKNOWN (key, use, nutrient, newer schema), BD_RANGE, BD_MISSING,
 * BD_CONFLICT (an id twice, a reversal of nothing earlier or of a reversed
 * line, a batch that is not whole before the end) with `where` as "FILE:LINE".
 */
bd_status bd_record_load(const char *path, bd_records *out, bd_error *err) BD_MUST_CHECK;

/* The line with an id, or NULL. */
const bd_entry *bd_records_find(const bd_records *records, const char *id);

/* ---- adding ---- */

/* A record opened to be added to; nobody else can meanwhile. */
typedef struct bd_record_file bd_record_file;

/*
 * Locks and reads a record; makes the file when it is not there.
 *
 *   records  what stands in it, as bd_record_load; cleared by the caller
 *   out      to be closed with bd_record_close; NULL unless BD_OK
 *
 * Returns what bd_record_load does; BD_FILE also after five seconds of waiting.
 */
bd_status bd_record_open(const char *path, bd_records *records, bd_record_file **out,
                         bd_error *err) BD_MUST_CHECK;

/*
 * Puts entries behind those of `records`, with a fresh id each and, where there
 * are several, as a batch; nothing reaches the file.  What was given as id,
 * batch, batch_of, line and is_reversed is not looked at.  Texts are copied.
 *
 * Returns BD_OK; the trouble with an entry that a line of a file would have
 * (without a `where`); BD_MEMORY.  After a failure `records` must not be appended.
 */
bd_status bd_records_add(bd_records *records, const bd_entry *entries, size_t count,
                         bd_error *err) BD_MUST_CHECK;

/*
 * Writes what was added since bd_record_open, once: moves a torn end to
 * FILE.torn, then one write, then a sync of the file and of its folder.
 *
 * Returns BD_OK: confirmed.  BD_FILE: not confirmed; what was written of it was
 * taken back, and where even that failed the message says that it may stand.
 */
bd_status bd_record_append(bd_record_file *file, const bd_records *records,
                           bd_error *err) BD_MUST_CHECK;

/* Lets go of the lock and frees; NULL is allowed. */
void bd_record_close(bd_record_file *file);

/* The record that belongs to a garden file: "terrace.garden.json" -> "terrace.record.jsonl",
 * "terrace.json" -> "terrace.record.jsonl".  BD_RANGE when it does not fit. */
bd_status bd_record_beside(const char *garden, char *out, size_t size, bd_error *err) BD_MUST_CHECK;

enum { BD_RECORD_PATH_SIZE = 1024 };

/* The record a user named: a garden file (.json) stands for the record beside it, any other name
 * for itself.  BD_RANGE when it does not fit. */
bd_status bd_record_named(const char *name, char out[BD_RECORD_PATH_SIZE],
                          bd_error *err) BD_MUST_CHECK;

/* ---- adding up ---- */

/* Which lines count. */
typedef struct bd_record_query {
    const char *group;    /* NULL: every group     */
    const char *material; /* NULL: every material  */
    int from_day, to_day; /* both included         */
    bool without_sprays;  /* what fed the roots: for needs and credits, never for ceilings */
} bd_record_query;

typedef struct bd_record_sum {
    /* On one bag, as if every bag had had each of the givings.  For "enough?" take .low,
     * for "too much?" .high. */
    bd_range gives_g_per_bag[BD_NUTRIENT_COUNT];   /* ELEMENT */
    bd_range sprayed_g_per_bag[BD_NUTRIENT_COUNT]; /* of that, onto leaves */
    double product_g_per_bag;                      /* of what was given, harvests left out */
    double liquid_l_per_bag;                       /* of what was given, plain water left out */
    double water_l_per_bag;                        /* of plain water */
    double harvest_g_per_bag;
    bd_range gives_g[BD_NUTRIENT_COUNT]; /* on all bags together */
    double product_g, harvest_g;         /* on, and from, all bags together */
    size_t givings;                      /* sidedress, drench, foliar, feed */
    size_t sprays;                       /* of them foliar */
    size_t unknown;                      /* givings of which nobody knows what they brought */
    const bd_entry *last;                /* the latest giving, NULL for none; of `records` */
    const bd_entry *last_spray;
} bd_record_sum;

/*
 * Adds up what stands (bd_entry_stands) and fits the query.  Never fails.
 *
 * Example  18 bags, 1.26 g of 0-0-50 each on two days: product_g_per_bag 2.52,
 *          product_g 45.36, givings 2.
 */
void bd_record_sum_of(const bd_records *records, const bd_record_query *query, bd_record_sum *out);

#endif
