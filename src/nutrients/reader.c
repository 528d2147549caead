#include "nutrients/reader.h"

#include <assert.h>
#include <jansson.h>
#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "base/text.h"

enum {
    WHERE_SIZE = 160,
    LONGEST_PATH = 80,

    KNOWN_KEYS_SHOWN = 230,
    DIGITS = 6
};

/* Room for the rounding of sums that fill a whole exactly. */
static const double rounding = 1e-9;

/* ---- places and failures ---- */

/* The end of a long path says more than its start. */
static const char *end_of(const char *path)
{
    size_t n = strlen(path);

    return n > LONGEST_PATH ? path + n - LONGEST_PATH : path;
}

static void add_where(const bd_node *at, bd_text *where)
{
    if (at->outer == NULL) {
        bd_text_addf(where, "%s#", end_of(at->key));
        return;
    }
    add_where(at->outer, where);
    if (at->key != NULL)
        bd_text_addf(where, "/%.40s", at->key);
    else
        bd_text_addf(where, "/%zu", at->index);
}

static bd_status fail_at(const bd_node *at, const char *key, bd_status status, const char *text)
{
    bd_text where;

    bd_text_init(&where, WHERE_SIZE);
    add_where(at, &where);
    if (key != NULL)
        bd_text_addf(&where, "/%.40s", key);
    at->load->status = status;
    (void)bd_fail(at->load->err, status, where.s, "%s", text);
    bd_text_clear(&where);
    return status;
}

const char *bd_node_place(const bd_node *at)
{
    bd_text where;
    const char *kept;

    bd_text_init(&where, WHERE_SIZE);
    add_where(at, &where);
    kept = bd_text_ok(&where) ? bd_pool_copy(at->load->pool, where.s) : NULL;
    bd_text_clear(&where);
    if (kept == NULL)
        (void)bd_node_fail(at, NULL, BD_MEMORY, "no memory left for this record");
    return kept == NULL ? "" : kept;
}

bd_status bd_node_fail(const bd_node *at, const char *key, bd_status status, const char *fmt, ...)
{
    char text[sizeof at->load->err->text];
    va_list args;

    if (!bd_node_ok(at))
        return at->load->status;
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    return fail_at(at, key, status, text);
}

/* The same, with what would be accepted; only while nothing failed, so that it explains this
 * failure. */
void bd_node_refuse(const bd_node *at, const char *key, bd_status status, const char *accepts,
                    const char *fmt, ...)
{
    char text[sizeof at->load->err->text];
    va_list args;

    if (!bd_node_ok(at))
        return;
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    (void)fail_at(at, key, status, text);
    (void)bd_accepts(at->load->err, "%s", accepts);
}

bool bd_node_ok(const bd_node *at)
{
    return at->load->status == BD_OK;
}

/* ---- files ---- */

static bd_status fail_to_parse(bd_load *load, const char *name, const json_error_t *problem)
{
    enum json_error_code code = json_error_code(problem);
    char where[WHERE_SIZE];

    (void)snprintf(where, sizeof where, "%s:%d:%d", end_of(name), problem->line, problem->column);
    load->status =
        code == json_error_out_of_memory || code == json_error_unknown ? BD_MEMORY : BD_SYNTAX;
    return bd_fail(load->err, load->status, where, "not well-formed JSON: %s", problem->text);
}

bd_status bd_node_parse(bd_load *load, const char *name, const void *bytes, size_t size,
                        bd_node *out)
{
    json_error_t problem = {.text = ""}; /* left alone where not even a buffer can be had */
    json_t *json = json_loadb(bytes, size, JSON_REJECT_DUPLICATES, &problem);

    if (json == NULL)
        return fail_to_parse(load, name, &problem);
    *out = (bd_node){.load = load, .key = name, .json = json};
    if (!json_is_object(json))
        bd_node_refuse(out, NULL, BD_SYNTAX, "an object of lists, {\"limits\": [ ... ]}",
                       "the file is not an object");
    if (load->status != BD_OK) {
        json_decref(json);
        out->json = NULL;
    }
    return load->status;
}

void bd_node_release(struct json_t *json)
{
    json_decref(json);
}

/* ---- members and items ---- */

static bool is_asked(const bd_node *at, const char *key)
{
    for (size_t i = 0; i < at->asked_count; i++)
        if (strcmp(at->asked[i], key) == 0)
            return true;
    return false;
}

static void ask(bd_node *at, const char *key)
{
    if (is_asked(at, key))
        return;
    assert(at->asked_count < BD_NODE_KEYS);
    at->asked[at->asked_count++] = key;
}

bool bd_node_has(bd_node *at, const char *key)
{
    ask(at, key);
    return bd_node_ok(at) && json_object_get(at->json, key) != NULL;
}

bool bd_node_get(bd_node *at, const char *key, bd_node *out)
{
    if (!bd_node_has(at, key))
        return false;
    *out = (bd_node){
        .load = at->load, .outer = at, .key = key, .json = json_object_get(at->json, key)};
    return true;
}

bool bd_node_need(bd_node *at, const char *key, bd_node *out)
{
    if (bd_node_get(at, key, out))
        return true;
    (void)bd_node_fail(at, NULL, BD_MISSING, "'%s' is missing", key);
    return false;
}

static void list_asked(const bd_node *at, bd_text *keys)
{
    for (size_t i = 0; i < at->asked_count; i++)
        bd_text_addf(keys, "%s%s", i == 0 ? "" : ", ", at->asked[i]);
}

static void refuse_key(const bd_node *at, const char *key)
{
    bd_text keys;

    bd_text_init(&keys, KNOWN_KEYS_SHOWN);
    list_asked(at, &keys);
    bd_node_refuse(at, NULL, BD_UNKNOWN, keys.s, "unknown key '%.60s'", key);
    bd_text_clear(&keys);
}

void bd_node_end(const bd_node *at)
{
    const char *key;
    json_t *value;

    if (!bd_node_ok(at) || at->is_all_asked)
        return;
    json_object_foreach(at->json, key, value)
    {
        if (!is_asked(at, key)) {
            refuse_key(at, key);
            return;
        }
    }
}

size_t bd_node_count(const bd_node *at)
{
    return bd_node_ok(at) ? json_array_size(at->json) : 0;
}

bd_node bd_node_item(const bd_node *at, size_t i)
{
    return (bd_node){
        .load = at->load, .outer = at, .index = i, .json = json_array_get(at->json, i)};
}

void bd_node_each(bd_node *at, void (*each)(bd_node *member, void *to), void *to)
{
    const char *key;
    json_t *value;

    at->is_all_asked = true;
    json_object_foreach(at->json, key, value)
    {
        bd_node member = {.load = at->load, .outer = at, .key = key, .json = value};

        if (bd_node_ok(at))
            each(&member, to);
    }
}

bool bd_node_array(const bd_node *at)
{
    if (bd_node_ok(at) && !json_is_array(at->json))
        bd_node_refuse(at, NULL, BD_SYNTAX, "an array, [ ... ]", "not an array");
    return bd_node_ok(at);
}

bool bd_node_object(const bd_node *at)
{
    if (bd_node_ok(at) && !json_is_object(at->json))
        bd_node_refuse(at, NULL, BD_SYNTAX, "an object, { ... }", "not an object");
    return bd_node_ok(at);
}

void *bd_node_memory(const bd_node *at, size_t n)
{
    void *p = bd_node_ok(at) ? bd_pool_get(at->load->pool, n) : NULL;

    if (p == NULL)
        (void)bd_node_fail(at, NULL, BD_MEMORY, "no memory left for this record");
    return p;
}

void bd_node_record(bd_node *at, void (*read)(bd_node *at, void *record), void *record)
{
    if (!bd_node_object(at))
        return;
    read(at, record);
    bd_node_end(at);
}

void *bd_node_list(bd_node *at, const char *key, size_t size,
                   void (*read)(bd_node *at, void *record), size_t *count)
{
    bd_node list;
    unsigned char *records;
    size_t n;

    *count = 0;
    if (!bd_node_get(at, key, &list) || !bd_node_array(&list) || bd_node_count(&list) == 0)
        return NULL;
    n = bd_node_count(&list);
    records = bd_node_memory(&list, n * size);
    for (size_t i = 0; records != NULL && i < n; i++) {
        bd_node item = bd_node_item(&list, i);

        bd_node_record(&item, read, records + i * size);
    }
    if (!bd_node_ok(at))
        return NULL;
    *count = n;
    return records;
}

/* ---- texts ---- */

static bool has_control(const char *s)
{
    for (; *s != '\0'; s++)
        if ((unsigned char)*s < 0x20 || *s == 0x7f)
            return true;
    return false;
}

/* The text a node is; "" after a failure. */
static const char *as_text(const bd_node *at)
{
    const char *s = json_string_value(at->json);

    if (s == NULL)
        bd_node_refuse(at, NULL, BD_SYNTAX, "a text in double quotes", "not a text");
    else if (*s == '\0' || has_control(s))
        bd_node_refuse(at, NULL, BD_SYNTAX, "words on one line",
                       "an empty text or one with line ends");
    return bd_node_ok(at) ? s : "";
}

static bool is_empty_text(const bd_node *at)
{
    return json_is_string(at->json) && json_string_length(at->json) == 0;
}

static bool is_name(const char *s)
{
    bool is_after_hyphen = true;

    for (; *s != '\0'; s++) {
        if (*s == '-' && is_after_hyphen)
            return false;
        if (*s != '-' && !(*s >= 'a' && *s <= 'z') && !(*s >= '0' && *s <= '9'))
            return false;
        is_after_hyphen = *s == '-';
    }
    return !is_after_hyphen;
}

static const char *as_name(const bd_node *at)
{
    const char *s = as_text(at);

    if (bd_node_ok(at) && !is_name(s))
        bd_node_refuse(at, NULL, BD_SYNTAX,
                       "small letters, digits and single hyphens, 'sweet-potato'",
                       "'%.60s' is not a name", s);
    return s;
}

const char *bd_node_text(bd_node *at, const char *key)
{
    bd_node text;

    return bd_node_need(at, key, &text) ? as_text(&text) : "";
}

const char *bd_node_text_or(bd_node *at, const char *key, const char *otherwise)
{
    bd_node text;

    if (!bd_node_get(at, key, &text))
        return otherwise;
    return is_empty_text(&text) ? "" : as_text(&text);
}

const char *bd_node_name(bd_node *at, const char *key)
{
    bd_node text;

    return bd_node_need(at, key, &text) ? as_name(&text) : "";
}

const char *const *bd_node_names(bd_node *at, const char *key)
{
    static const char *const none[] = {NULL};
    bd_node list;
    const char **names;

    if (!bd_node_get(at, key, &list) || !bd_node_array(&list))
        return none;
    names = bd_node_memory(&list, (bd_node_count(&list) + 1) * sizeof *names);
    if (names == NULL)
        return none;
    for (size_t i = 0; i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        names[i] = as_name(&item);
    }
    return bd_node_ok(at) ? names : none;
}

/* ---- numbers, flags, words ---- */

double bd_node_as_number(const bd_node *at)
{
    double x = json_number_value(at->json);

    if (bd_node_ok(at) && (!json_is_number(at->json) || !isfinite(x)))
        bd_node_refuse(at, NULL, BD_SYNTAX, "a number, without quotes", "not a number");
    return bd_node_ok(at) ? x : 0.0;
}

double bd_node_number(bd_node *at, const char *key)
{
    bd_node number;

    return bd_node_need(at, key, &number) ? bd_node_as_number(&number) : 0.0;
}

void bd_node_check_from(const bd_node *at, const char *key, double x, double least)
{
    char shown[BD_NUMBER_SIZE], bound[BD_NUMBER_SIZE];

    if (x >= least)
        return;
    (void)bd_node_fail(at, key, BD_RANGE, "'%s' is below %s", bd_number_print(x, DIGITS, shown),
                       bd_number_print(least, DIGITS, bound));
}

void bd_node_check_to(const bd_node *at, const char *key, double x, double most)
{
    char shown[BD_NUMBER_SIZE], bound[BD_NUMBER_SIZE];

    if (x <= most * (1.0 + rounding))
        return;
    (void)bd_node_fail(at, key, BD_RANGE, "'%s' is over %s", bd_number_print(x, DIGITS, shown),
                       bd_number_print(most, DIGITS, bound));
}

bool bd_node_flag(bd_node *at, const char *key)
{
    bd_node flag;

    if (!bd_node_get(at, key, &flag))
        return false;
    if (!json_is_boolean(flag.json))
        bd_node_refuse(&flag, NULL, BD_SYNTAX, "true or false, without quotes",
                       "not true or false");
    return json_is_true(flag.json);
}

static void refuse_word(const bd_node *at, const char *word, const char *const words[],
                        size_t count)
{
    bd_text known;

    bd_text_init(&known, KNOWN_KEYS_SHOWN);
    for (size_t i = 0; i < count; i++)
        bd_text_addf(&known, "%s%s", i == 0 ? "" : ", ", words[i]);
    bd_node_refuse(at, NULL, BD_UNKNOWN, known.s, "'%.60s' is not a word for this", word);
    bd_text_clear(&known);
}

int bd_node_as_word(const bd_node *at, const char *const words[], size_t count)
{
    const char *word = as_text(at);

    for (size_t i = 0; i < count; i++)
        if (strcmp(words[i], word) == 0)
            return (int)i;
    refuse_word(at, word, words, count);
    return 0;
}

int bd_node_word(bd_node *at, const char *key, const char *const words[], size_t count,
                 int fallback)
{
    bd_node text;

    if (fallback >= 0 && !bd_node_has(at, key))
        return fallback;
    return bd_node_need(at, key, &text) ? bd_node_as_word(&text, words, count) : 0;
}
