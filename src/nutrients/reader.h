/*
 * reader.h - reading one record of a data file, strictly.  Private to nutrients/.
 *
 * May include: base/, quantity/.  JSON itself stays in reader.c and fact.c.
 *
 * A node is a value of a file together with its place in it.  Nodes live on the
 * C stack, each pointing at the one around it, so that any of them can say
 * "limits.json#/limits/3/value".
 *
 * Failure is sticky: the first one is recorded, whatever is read after it is
 * an empty value, and the caller asks once at the end.  A record is therefore
 * read by a flat list of calls:
 *
 *     static void read_mineral(bd_node *at, void *record)
 *     {
 *         bd_mineral *m = record;
 *
 *         m->name = bd_node_name(at, "name");
 *         m->log_k = bd_node_number(at, "log_k");
 *         m->note = bd_node_text_or(at, "note", "");
 *     }
 *
 * A key that is in the file but was asked for by nobody is an unknown key; the
 * reader of a list checks that after each record, so each key stands in the
 * code once.
 *
 * What is handed out lives as long as the load's pool and the files read.
 */
#ifndef BD_NUTRIENTS_READER_H
#define BD_NUTRIENTS_READER_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/memory.h"
#include "nutrients/catalogue.h"
#include "quantity/quantity.h"

struct json_t;

/* What a whole load shares. */
typedef struct bd_load {
    bd_pool *pool;            /* arrays of the records                            */
    const bd_source *sources; /* known so far: the keys records may cite          */
    size_t source_count;
    bd_error *err;    /* never NULL                                       */
    bool is_own;      /* the file at hand is one of the user's            */
    bd_status status; /* BD_OK until the first failure                    */
} bd_load;

enum { BD_NODE_KEYS = 40 };

typedef struct bd_node {
    bd_load *load;
    const struct bd_node *outer; /* NULL for a whole file              */
    const char *key;             /* its key in `outer`; a file's name  */
    size_t index;                /* its place in an array, if key NULL */
    struct json_t *json;
    const char *asked[BD_NODE_KEYS];
    size_t asked_count;
    bool is_all_asked;
} bd_node;

/*
 * Parses a file; trailing characters, keys given twice, NaN and infinities are
 * refused.
 *
 *   name  as messages shall call it: "limits.json"; kept
 *   out   the whole file as a node; out->json is the caller's, for bd_node_release
 *
 * Returns BD_OK, BD_SYNTAX with "limits.json:12:9", or BD_MEMORY.
 */
bd_status bd_node_parse(bd_load *load, const char *name, const void *bytes, size_t size,
                        bd_node *out) BD_MUST_CHECK;
void bd_node_release(struct json_t *json);

/* Records a failure at `key` of the node (NULL: at the node itself), unless one is recorded. */
bd_status bd_node_fail(const bd_node *at, const char *key, bd_status status, const char *fmt, ...)
    BD_PRINTF(4, 5);

/* The same with what would be accepted instead. */
void bd_node_refuse(const bd_node *at, const char *key, bd_status status, const char *accepts,
                    const char *fmt, ...) BD_PRINTF(5, 6);

/* The node's place as messages say it, "scoops.json#/scoops/0", in the pool; "" without memory. */
const char *bd_node_place(const bd_node *at);

/* True as long as nothing failed. */
bool bd_node_ok(const bd_node *at);
/* True when the object has the key. */
bool bd_node_has(bd_node *at, const char *key);
/* The member `key`; false, without failure, when it is absent. */
bool bd_node_get(bd_node *at, const char *key, bd_node *out);
/* The same for a required member; fails when it is absent. */
bool bd_node_need(bd_node *at, const char *key, bd_node *out);
/* Fails when the object holds a key that no call asked for. */
void bd_node_end(const bd_node *at);

/* True for an array, an object; fails for anything else. */
bool bd_node_array(const bd_node *at);
bool bd_node_object(const bd_node *at);
/* Items of an array, 0 for anything else; item i. */
size_t bd_node_count(const bd_node *at);
bd_node bd_node_item(const bd_node *at, size_t i);
/*
 * Members of an object in file order: calls `each` with every member and its key.
 * All of them count as asked for.
 */
void bd_node_each(bd_node *at, void (*each)(bd_node *member, void *to), void *to);

/* Zeroed bytes of the load's pool; NULL after a failure, that of having none left included. */
void *bd_node_memory(const bd_node *at, size_t n);

/* Texts: on one line; a required one is not empty. */
const char *bd_node_text(bd_node *at, const char *key);
const char *bd_node_text_or(bd_node *at, const char *key, const char *otherwise);
/* A name: small letters, digits and single hyphens, "sweet-potato". */
const char *bd_node_name(bd_node *at, const char *key);
/* An optional array of names, NULL at its end; never NULL itself. */
const char *const *bd_node_names(bd_node *at, const char *key);
/* A finite number: the member, or the node itself. */
double bd_node_number(bd_node *at, const char *key);
double bd_node_as_number(const bd_node *at);
/* Fail with BD_RANGE unless x >= least, x <= most; NaN fails. */
void bd_node_check_from(const bd_node *at, const char *key, double x, double least);
void bd_node_check_to(const bd_node *at, const char *key, double x, double most);
/* true or false; false when absent. */
bool bd_node_flag(bd_node *at, const char *key);
/* Place of a required text in `words`; `fallback` when it is absent and that is not negative. */
int bd_node_word(bd_node *at, const char *key, const char *const words[], size_t count,
                 int fallback);
/* The same for the node itself; 0 after a failure. */
int bd_node_as_word(const bd_node *at, const char *const words[], size_t count);

/* "published", ...; required. */
bd_trust bd_node_trust(bd_node *at, const char *key);
/* One or several known keys, "A; B"; "" when absent, which only common practice may be. */
const char *bd_node_source(bd_node *at, const char *key, bool may_be_absent);

/*
 * An optional fact (see catalogue.h), `is_known` false when it is absent:
 *   {"low": 0.2, "typical": 0.5, "high": 1, "unit": "%", "source": "KEY",
 *    "status": "published", "condition": "...", "note": "..."}
 * or with "value" for a single number, and "status" as an object of low,
 * typical and high where they differ.  The unit is any of the kind and comes
 * out in the kind's canonical unit.
 */
bd_fact bd_node_fact(bd_node *at, const char *key, bd_kind kind);
/* The same for what has no kind: the unit must be spelt exactly so ("pH", "count", "kg/t"). */
bd_fact bd_node_fact_in(bd_node *at, const char *key, const char *unit);
/* The node itself as a fact. */
bd_fact bd_node_as_fact(bd_node *at, bd_kind kind);
bd_fact bd_node_as_fact_in(bd_node *at, const char *unit);

/*
 * An optional figure of the user's own weighing or measuring, in the canonical
 * unit of its kind, above zero; 0 when it is absent or after a failure:
 *   {"value": 57, "unit": "g", "status": "own weighing", "note": "..."}
 * Nothing else can be its status, so that may be left out; a source it has none.
 */
double bd_node_own_figure(bd_node *at, const char *key, bd_kind kind);

/* Reads one object with `read` and checks it for unknown keys. */
void bd_node_record(bd_node *at, void (*read)(bd_node *at, void *record), void *record);

/*
 * A list of records: reads each item of the array `key` (may be absent) with
 * `read` into zeroed memory of `size` bytes and checks it for unknown keys.
 * Returns the array, in the pool, and its length; NULL and 0 when empty or failed.
 */
void *bd_node_list(bd_node *at, const char *key, size_t size,
                   void (*read)(bd_node *at, void *record), size_t *count);

#endif
