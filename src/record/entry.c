#include "record/entry.h"

#include <ctype.h>
#include <jansson.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "base/number.h"
#include "words/utf8.h"

static const double most_bags = 1e6, most_g_per_bag = 1e6, most_l_per_bag = 1e5;
static const double rounding = 1e-9; /* shares that add up to a whole exactly */
enum { EXACT_DIGITS = 17, SHORTEST_DIGITS = 6, MOST_LINES = 100000 };

static const char *const uses[BD_RECORD_USE_COUNT] = {"sidedress", "drench", "foliar",
                                                      "feed",      "water",  "harvest"};

const char *bd_record_use_words(bd_record_use use)
{
    return uses[use];
}

bd_status bd_record_use_read(const char *text, bd_record_use *out, bd_error *err)
{
    for (int i = 0; i < BD_RECORD_USE_COUNT; i++) {
        if (strcmp(uses[i], text) == 0) {
            *out = (bd_record_use)i;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.40s' is not a use", text);
    (void)bd_accepts(err, "sidedress, drench, foliar, feed, water or harvest");
    return BD_UNKNOWN;
}

/* ---- what holds within one entry ---- */

static bd_status check_text(const char *key, const char *text, size_t size, bd_error *err)
{
    if (strlen(text) >= size)
        return bd_fail(err, BD_RANGE, NULL, "%s is longer than %zu bytes", key, size - 1);
    for (const char *s = text; *s != '\0';) {
        long point = 0;

        s += bd_utf8_next(s, &point);
        if (point < 0)
            return bd_fail(err, BD_SYNTAX, NULL, "%s '%.60s' is not in UTF-8", key, text);
        if (point < 0x20 || (point >= 0x7f && point <= 0x9f))
            return bd_fail(err, BD_SYNTAX, NULL, "%s '%.60s' is not on one line", key, text);
    }
    return BD_OK;
}

static bd_status check_id(const char *key, const char *id, bd_error *err)
{
    static const char others[] = "-_.";

    for (const char *s = id; *s != '\0'; s++) {
        if (isalnum((unsigned char)*s) || strchr(others, *s) != NULL)
            continue;
        (void)bd_fail(err, BD_SYNTAX, NULL, "%s '%.40s' is not an id", key, id);
        return bd_accepts(err, "letters, digits, '-', '_' and '.'");
    }
    return check_text(key, id, BD_RECORD_ID_SIZE, err);
}

static bd_status check_texts(const bd_entry *e, bd_error *err)
{
    const struct {
        const char *key, *text;
        size_t size;
    } texts[] = {{"group", e->group, BD_RECORD_NAME_SIZE},
                 {"material", e->material, BD_RECORD_NAME_SIZE},
                 {"analysis", e->analysis, BD_RECORD_NAME_SIZE},
                 {"who", e->who, BD_RECORD_NAME_SIZE},
                 {"note", e->note, BD_RECORD_NOTE_SIZE}};
    bd_status status = check_id("id", e->id, err);

    if (status == BD_OK)
        status = check_id("reverses", e->reverses, err);
    if (status == BD_OK)
        status = check_id("batch", e->batch, err);
    for (size_t i = 0; i < sizeof texts / sizeof texts[0] && status == BD_OK; i++)
        status = check_text(texts[i].key, texts[i].text, texts[i].size, err);
    if (status == BD_OK && e->group[0] == '\0')
        status = bd_fail(err, BD_MISSING, NULL, "group is not said");
    return status;
}

static bd_status check_number(const char *key, double x, double most, bd_error *err)
{
    if (x >= 0.0 && x <= most)
        return BD_OK;
    return bd_fail(err, BD_RANGE, NULL, "%s is not a number from 0 to %g", key, most);
}

/* No nutrient can weigh more than the product that brought it. */
static bd_status check_gives(const bd_entry *e, bd_error *err)
{
    double most = e->g_per_bag > 0.0 ? e->g_per_bag * (1.0 + rounding) : most_g_per_bag;

    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        bd_range r = e->gives_g_per_bag[n];

        if (!(r.low >= 0.0 && r.low <= r.typical && r.typical <= r.high && r.high <= most))
            return bd_fail(err, BD_RANGE, NULL,
                           "gives %s: not from 0 to the grams of product, rising",
                           bd_nutrient_symbol((bd_nutrient)n));
    }
    return BD_OK;
}

static bd_status check_numbers(const bd_entry *e, bd_error *err)
{
    bd_status status = BD_OK;

    if (!(e->bags >= 1.0 && e->bags <= most_bags) || e->bags > floor(e->bags)) {
        (void)bd_fail(err, BD_RANGE, NULL, "bags is not a count");
        (void)bd_accepts(err, "a whole number from 1 to 1000000");
        return BD_RANGE;
    }
    status = check_number("g_per_bag", e->g_per_bag, most_g_per_bag, err);
    if (status == BD_OK)
        status = check_number("l_per_bag", e->l_per_bag, most_l_per_bag, err);
    return status == BD_OK ? check_gives(e, err) : status;
}

static bd_status need(bool has, const char *what, bd_record_use use, bd_error *err)
{
    return has ? BD_OK : bd_fail(err, BD_MISSING, NULL, "%s needs %s", uses[use], what);
}

static bd_status check_use(const bd_entry *e, bd_error *err)
{
    bool has_g = e->g_per_bag > 0.0, has_l = e->l_per_bag > 0.0;
    bool has_product = e->material[0] != '\0' || e->analysis[0] != '\0';
    bd_status status = BD_OK;

    switch (e->use) {
    case BD_RECORD_SIDEDRESS:
    case BD_RECORD_DRENCH:
    case BD_RECORD_FOLIAR:
        status = need(has_g, "g_per_bag", e->use, err);
        return status == BD_OK ? need(has_product, "material or analysis", e->use, err) : status;
    case BD_RECORD_FEED:
        return need(has_g || has_l, "g_per_bag or l_per_bag", e->use, err);
    case BD_RECORD_WATER:
        if (has_g || has_product)
            return bd_fail(err, BD_CONFLICT, NULL, "water brings no product");
        return need(has_l, "l_per_bag", e->use, err);
    case BD_RECORD_HARVEST:
        if (has_l || has_product)
            return bd_fail(err, BD_CONFLICT, NULL, "a harvest brings no product");
        return need(has_g, "g_per_bag", e->use, err);
    case BD_RECORD_USE_COUNT:
        break;
    }
    return bd_fail(err, BD_UNKNOWN, NULL, "use is not known");
}

bd_status bd_entry_check(const bd_entry *e, bd_error *err)
{
    bd_status status = check_texts(e, err);

    if (status == BD_OK && (e->batch[0] != '\0') != (e->batch_of > 0))
        status = bd_fail(err, BD_CONFLICT, NULL, "batch and batch_of go together");
    if (status != BD_OK || e->reverses[0] != '\0')
        return status;
    status = check_numbers(e, err);
    return status == BD_OK ? check_use(e, err) : status;
}

/* ---- reading ---- */

typedef struct reader {
    const json_t *object;
    bd_pool *pool;
    bd_error *err;
    bd_status status; /* the first trouble; what is read after it is empty */
} reader;

static const char *const keys[] = {"schema",    "id",       "date",  "group",   "bags", "material",
                                   "analysis",  "use",      "gives", "who",     "note", "g_per_bag",
                                   "l_per_bag", "reverses", "batch", "batch_of"};
static const char *const keys_of_givings[] = {"bags",      "material",  "analysis", "use",
                                              "g_per_bag", "l_per_bag", "gives"};

/* Records "<before><key><after>" unless something is recorded. */
static void fail(reader *r, bd_status status, const char *before, const char *key,
                 const char *after)
{
    if (r->status == BD_OK)
        r->status = bd_fail(r->err, status, NULL, "%s%.40s%s", before, key, after);
}

static const char *text(reader *r, const char *key)
{
    const json_t *v = json_object_get(r->object, key);
    const char *copy;

    if (v == NULL || r->status != BD_OK)
        return "";
    if (!json_is_string(v) || json_string_length(v) == 0) {
        fail(r, BD_SYNTAX, "", key, " is no text, or an empty one");
        return "";
    }
    if (strlen(json_string_value(v)) != json_string_length(v)) {
        fail(r, BD_SYNTAX, "", key, " is not on one line");
        return "";
    }
    copy = bd_pool_copy(r->pool, json_string_value(v));
    if (copy != NULL)
        return copy;
    fail(r, BD_MEMORY, "no memory left for ", key, "");
    return "";
}

static const char *needed_text(reader *r, const char *key)
{
    if (json_object_get(r->object, key) == NULL)
        fail(r, BD_MISSING, "", key, " is not said");
    return text(r, key);
}

static double number_of(reader *r, const char *key, const json_t *v)
{
    if (json_is_number(v))
        return json_number_value(v);
    fail(r, BD_SYNTAX, "", key, " is not a number");
    return 0.0;
}

static double number(reader *r, const char *key)
{
    const json_t *v = json_object_get(r->object, key);

    return v == NULL ? 0.0 : number_of(r, key, v);
}

static bd_range range(reader *r, const char *key, const json_t *v)
{
    const json_t *low = json_object_get(v, "low"), *typical = json_object_get(v, "typical"),
                 *high = json_object_get(v, "high");

    if (!json_is_object(v))
        return bd_exactly(number_of(r, key, v));
    if (json_object_size(v) != 3 || low == NULL || typical == NULL || high == NULL) {
        fail(r, BD_SYNTAX, "gives ", key, " is neither a number nor low, typical and high");
        return bd_exactly(0.0);
    }
    return bd_range_of(number_of(r, key, low), number_of(r, key, typical), number_of(r, key, high));
}

static void read_gives(reader *r, bd_entry *e)
{
    json_t *gives = json_object_get(r->object, "gives"), *v;
    const char *name;

    e->gives_is_known = gives != NULL;
    if (gives == NULL)
        return;
    if (!json_is_object(gives))
        fail(r, BD_SYNTAX, "", "gives", " is not an object of nutrients");
    json_object_foreach(gives, name, v)
    {
        bd_nutrient_form form;

        if (!bd_nutrient_find(name, strlen(name), &form))
            fail(r, BD_UNKNOWN, "gives '", name, "', which is no nutrient");
        else if (form.is_oxide)
            fail(r, BD_UNKNOWN, "gives '", name, "', an oxide; elements are counted here");
        else
            e->gives_g_per_bag[form.nutrient] = range(r, name, v);
    }
}

static void check_keys(reader *r)
{
    void *at = json_object_iter((json_t *)r->object);

    for (; at != NULL && r->status == BD_OK; at = json_object_iter_next((json_t *)r->object, at)) {
        const char *key = json_object_iter_key(at);
        bool is_known = false;

        for (size_t i = 0; i < sizeof keys / sizeof keys[0]; i++)
            is_known = is_known || strcmp(keys[i], key) == 0;
        if (!is_known)
            fail(r, BD_UNKNOWN, "'", key, "' is not a key of an entry");
    }
}

/* The version comes first: what a later one holds may not be guessed at. */
static void check_schema(reader *r)
{
    static const char family[] = "bagdose.record/";
    const char *schema = json_string_value(json_object_get(r->object, "schema"));

    if (schema == NULL)
        fail(r, BD_MISSING, "", "schema", " is not said");
    else if (strcmp(schema, BD_RECORD_SCHEMA) == 0)
        return;
    else if (strncmp(schema, family, sizeof family - 1) == 0)
        fail(r, BD_UNKNOWN, "'", schema, "' is newer than this program reads");
    else
        fail(r, BD_UNKNOWN, "'", schema, "' is not a schema of records");
    (void)bd_accepts(r->err, "%s", BD_RECORD_SCHEMA);
}

static void read_date(reader *r, bd_entry *e)
{
    const char *date = needed_text(r, "date");
    bd_status status = r->status == BD_OK ? bd_date_read(date, &e->day, r->err) : BD_OK;

    if (status != BD_OK)
        r->status = status;
}

static void read_use(reader *r, bd_entry *e)
{
    const char *use = needed_text(r, "use");
    bd_status status = r->status == BD_OK ? bd_record_use_read(use, &e->use, r->err) : BD_OK;

    if (status != BD_OK)
        r->status = status;
}

static void read_batch(reader *r, bd_entry *e)
{
    double lines = number(r, "batch_of");

    e->batch = text(r, "batch");
    if (!(lines >= 0.0 && lines <= MOST_LINES) || lines > floor(lines))
        fail(r, BD_RANGE, "", "batch_of", " is not a number of lines");
    else
        e->batch_of = (size_t)lines;
}

static void read_giving(reader *r, bd_entry *e)
{
    for (size_t i = 0;
         e->reverses[0] != '\0' && i < sizeof keys_of_givings / sizeof keys_of_givings[0]; i++)
        if (json_object_get(r->object, keys_of_givings[i]) != NULL)
            fail(r, BD_CONFLICT, "a line that reverses another has no ", keys_of_givings[i], "");
    if (e->reverses[0] != '\0')
        return;
    read_use(r, e);
    if (json_object_get(r->object, "bags") == NULL)
        fail(r, BD_MISSING, "", "bags", " is not said");
    e->bags = number(r, "bags");
    e->material = text(r, "material");
    e->analysis = text(r, "analysis");
    e->g_per_bag = number(r, "g_per_bag");
    e->l_per_bag = number(r, "l_per_bag");
    read_gives(r, e);
}

static bd_status read_object(const json_t *object, bd_pool *pool, bd_entry *e, bd_error *err)
{
    reader r = {.object = object, .pool = pool, .err = err, .status = BD_OK};

    check_schema(&r);
    check_keys(&r);
    e->id = needed_text(&r, "id");
    read_date(&r, e);
    e->group = needed_text(&r, "group");
    e->who = text(&r, "who");
    e->note = text(&r, "note");
    e->reverses = text(&r, "reverses");
    read_batch(&r, e);
    read_giving(&r, e);
    return r.status == BD_OK ? bd_entry_check(e, err) : r.status;
}

/* What a crash leaves is no JSON; keys given twice and a lack of memory are something else. */
static bd_status not_parsed(const json_error_t *problem, bd_entry_fault *fault, bd_error *err)
{
    enum json_error_code code = json_error_code(problem);

    if (code == json_error_out_of_memory || code == json_error_unknown)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left");
    if (code != json_error_duplicate_key)
        *fault = BD_ENTRY_NO_JSON;
    return bd_fail(err, BD_SYNTAX, NULL, "is no JSON object: %s", problem->text);
}

const bd_entry bd_no_entry = {.id = "",
                              .group = "",
                              .material = "",
                              .analysis = "",
                              .who = "",
                              .note = "",
                              .reverses = "",
                              .batch = ""};

bd_status bd_entry_read(const char *bytes, size_t n, bd_pool *pool, bd_entry *out,
                        bd_entry_fault *fault, bd_error *err)
{
    json_error_t problem = {.text = ""}; /* left alone where not even a buffer can be had */
    json_t *object = json_loadb(bytes, n, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &problem);
    bd_status status;

    *fault = BD_ENTRY_WRONG;
    if (object == NULL)
        return not_parsed(&problem, fault, err);
    if (!json_is_object(object)) {
        json_decref(object);
        *fault = BD_ENTRY_NO_JSON;
        return bd_fail(err, BD_SYNTAX, NULL, "is no JSON object");
    }
    *out = bd_no_entry;
    status = read_object(object, pool, out, err);
    json_decref(object);
    if (status == BD_OK)
        *fault = BD_ENTRY_WHOLE;
    return status;
}

/* ---- writing ---- */

/* What parts a key from what stands before it; a text without memory holds nothing. */
static const char *comma_before(const bd_text *out)
{
    return out->length == 0 || out->s[out->length - 1] == '{' ? "" : ",";
}

static void write_text(bd_text *out, const char *key, const char *s)
{
    json_t *string = s[0] == '\0' ? NULL : json_string(s);
    char *quoted = string == NULL ? NULL : json_dumps(string, JSON_ENCODE_ANY);

    if (quoted != NULL)
        bd_text_addf(out, "%s\"%s\":%s", comma_before(out), key, quoted);
    else if (s[0] != '\0')
        out->has_failed = true;
    free(quoted);
    json_decref(string);
}

/* The fewest digits that read back as the same number. */
static void write_number(bd_text *out, const char *key, double x)
{
    char number[BD_NUMBER_SIZE];

    for (int digits = SHORTEST_DIGITS; digits <= EXACT_DIGITS; digits++) {
        double back = 0.0;

        bd_number_print(x, digits, number);
        if (bd_number_read(number, NULL, &back, NULL) == BD_OK && back >= x && back <= x)
            break;
    }
    bd_text_addf(out, "%s\"%s\":%s", comma_before(out), key, number);
}

static void write_gives(bd_text *out, const bd_entry *e)
{
    bd_text_add(out, ",\"gives\":{");
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        const char *symbol = bd_nutrient_symbol((bd_nutrient)n);
        bd_range r = e->gives_g_per_bag[n];

        if (!(r.high > 0.0))
            continue;
        if (bd_range_is_exact(r)) {
            write_number(out, symbol, r.typical);
            continue;
        }
        bd_text_addf(out, "%s\"%s\":{", comma_before(out), symbol);
        write_number(out, "low", r.low);
        write_number(out, "typical", r.typical);
        write_number(out, "high", r.high);
        bd_text_add(out, "}");
    }
    bd_text_add(out, "}");
}

static void write_giving(bd_text *out, const bd_entry *e)
{
    write_number(out, "bags", e->bags);
    write_text(out, "material", e->material);
    write_text(out, "analysis", e->analysis);
    write_text(out, "use", uses[e->use]);
    if (e->g_per_bag > 0.0)
        write_number(out, "g_per_bag", e->g_per_bag);
    if (e->l_per_bag > 0.0)
        write_number(out, "l_per_bag", e->l_per_bag);
    if (e->gives_is_known)
        write_gives(out, e);
}

void bd_entry_write(const bd_entry *e, bd_text *out)
{
    char date[BD_DATE_SIZE];

    bd_text_add(out, "{");
    write_text(out, "schema", BD_RECORD_SCHEMA);
    write_text(out, "id", e->id);
    write_text(out, "date", bd_date_print(e->day, date));
    write_text(out, "group", e->group);
    if (e->reverses[0] == '\0')
        write_giving(out, e);
    write_text(out, "who", e->who);
    write_text(out, "note", e->note);
    write_text(out, "reverses", e->reverses);
    write_text(out, "batch", e->batch);
    if (e->batch_of > 0)
        write_number(out, "batch_of", (double)e->batch_of);
    bd_text_add(out, "}\n");
}
