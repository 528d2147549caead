/*
 * The record: what a line must be, what a crash may leave, what is added up.
 *
 * Expected sums are worked out by hand beside the row; K 0.830148 of K2O from
 * atomic weights is not needed here, for a record counts elements.
 */
#include "support/cmocka_all.h"

#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/date.h"
#include "record/record.h"
#include "support/close.h"
#include "support/failing_malloc.h"
#include "support/scratch.h"

#define N(rows) (sizeof(rows) / sizeof(rows)[0])

enum { PATH_SIZE = BD_SCRATCH_SIZE, FILE_SIZE = 8192 };

static char folder[PATH_SIZE], path[PATH_SIZE + 16], torn_path[PATH_SIZE + 24];

static int make_folder(void **state)
{
    (void)state;
    if (!bd_scratch_make(folder))
        return -1;
    (void)snprintf(path, sizeof path, "%s/a.jsonl", folder);
    (void)snprintf(torn_path, sizeof torn_path, "%s.torn", path);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    (void)unlink(path);
    (void)unlink(torn_path);
    return rmdir(folder);
}

static void write_bytes(const char *bytes, size_t n)
{
    FILE *f = fopen(path, "wb");

    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, n, f), n);
    assert_int_equal(fclose(f), 0);
}

static void write_text(const char *text)
{
    write_bytes(text, strlen(text));
}

/* The bytes of a file as a string; "" when it is not there. */
static const char *contents(const char *of)
{
    static char bytes[FILE_SIZE + 1];
    FILE *f = fopen(of, "rb");
    size_t n = f == NULL ? 0 : fread(bytes, 1, FILE_SIZE, f);

    bytes[n] = '\0';
    if (f != NULL)
        assert_int_equal(fclose(f), 0);
    return bytes;
}

#define HEAD(id)                                                                                   \
    "{\"schema\":\"bagdose.record/1\",\"id\":\"" id "\",\"date\":\"2026-05-03\",\"group\":"        \
    "\"beets\""
#define GIVEN(id)                                                                                  \
    HEAD(id)                                                                                       \
    ",\"bags\":18,\"material\":\"potassium-sulfate\",\"use\":\"sidedress\",\"g_per_bag\":1.26"
#define WHOLE(id)       GIVEN(id) "}\n"
#define UNDO(id, of)    HEAD(id) ",\"reverses\":\"" of "\"}\n"
#define PART(id, of, n) GIVEN(id) ",\"batch\":\"" of "\",\"batch_of\":" n "}\n"

/* ---- what a line must be: each fault with its place and words ---- */

static const struct {
    const char *name, *text;
    bd_status status;
    size_t count, torn_line;
    const char *says; /* a part of the message; its line in front: "2:" */
} files[] = {
    {"empty", "", BD_OK, 0, 0, NULL},
    {"one", WHOLE("a"), BD_OK, 1, 0, NULL},
    {"two", WHOLE("a") WHOLE("b"), BD_OK, 2, 0, NULL},
    {"keys_in_any_order",
     "{\"use\":\"water\",\"l_per_bag\":2,\"id\":\"a\",\"group\":\"g\",\"bags\":1,"
     "\"date\":\"2026-05-03\",\"schema\":\"bagdose.record/1\"}\n",
     BD_OK, 1, 0, NULL},
    {"carriage_returns", GIVEN("a") "}\r\n", BD_OK, 1, 0, NULL},
    {"reversal", WHOLE("a") UNDO("b", "a"), BD_OK, 2, 0, NULL},
    {"batch", PART("a", "a", "2") PART("b", "a", "2") WHOLE("c"), BD_OK, 3, 0, NULL},
    {"two_batches_in_a_row", PART("a", "a", "1") PART("b", "b", "1"), BD_OK, 2, 0, NULL},
    /* torn ends */
    {"torn/half_a_line", WHOLE("a") "{\"schema\":\"bag", BD_OK, 1, 2, NULL},
    {"torn/no_newline", WHOLE("a") GIVEN("b") "}", BD_OK, 1, 2, NULL},
    {"torn/only_line", "{", BD_OK, 0, 1, NULL},
    {"torn/no_json_with_newline", WHOLE("a") "{\"schema\":\n", BD_OK, 1, 2, NULL},
    {"torn/number_with_newline", WHOLE("a") "8\n", BD_OK, 1, 2, NULL},
    {"torn/blank_last_line", WHOLE("a") "\n", BD_OK, 1, 2, NULL},
    {"torn/batch_not_whole", WHOLE("x") PART("a", "a", "3") PART("b", "a", "3"), BD_OK, 1, 2, NULL},
    {"torn/batch_and_half_a_line", PART("a", "a", "3") PART("b", "a", "3") "{\"sch", BD_OK, 0, 1,
     NULL},
    /* in the middle nothing is passed over */
    {"middle/no_json", WHOLE("a") "{\"schema\":\n" WHOLE("b"), BD_SYNTAX, 0, 0,
     "2:is no JSON object"},
    {"middle/blank", WHOLE("a") "\n" WHOLE("b"), BD_SYNTAX, 0, 0, "2:is no JSON object"},
    {"middle/number", "8\n" WHOLE("b"), BD_SYNTAX, 0, 0, "1:is no JSON object"},
    {"middle/batch_not_whole", PART("a", "a", "2") WHOLE("b"), BD_CONFLICT, 0, 0,
     "1:batch 'a' is not whole"},
    {"middle/batch_begun_wrong", PART("a", "x", "1"), BD_CONFLICT, 0, 0,
     "1:batch 'x' is not whole"},
    {"two_bad_lines_at_the_end", WHOLE("a") "x\ny\n", BD_SYNTAX, 0, 0, "2:is no JSON object"},
    /* well-formed and wrong: an error even at the end */
    {"wrong/newer_schema", WHOLE("a") "{\"schema\":\"bagdose.record/2\",\"id\":\"b\"}\n",
     BD_UNKNOWN, 0, 0, "2:'bagdose.record/2' is newer than this program reads"},
    {"wrong/other_schema", "{\"schema\":\"bagdose.card/1\"}\n", BD_UNKNOWN, 0, 0,
     "1:'bagdose.card/1' is not"},
    {"wrong/no_schema", "{}\n", BD_MISSING, 0, 0, "1:schema is not said"},
    {"wrong/unknown_key", GIVEN("a") ",\"colour\":\"red\"}\n", BD_UNKNOWN, 0, 0,
     "1:'colour' is not a key"},
    {"wrong/key_twice", GIVEN("a") ",\"bags\":18}\n", BD_SYNTAX, 0, 0,
     "1:is no JSON object: duplicate"},
    {"wrong/no_group", "{\"schema\":\"bagdose.record/1\",\"id\":\"a\",\"date\":\"2026-05-03\"}\n",
     BD_MISSING, 0, 0, "1:group is not said"},
    {"wrong/empty_text", GIVEN("a") ",\"who\":\"\"}\n", BD_SYNTAX, 0, 0, "1:who is no text"},
    {"wrong/text_is_number", GIVEN("a") ",\"who\":7}\n", BD_SYNTAX, 0, 0, "1:who is no text"},
    {"wrong/two_lines_in_text", GIVEN("a") ",\"note\":\"a\\nb\"}\n", BD_SYNTAX, 0, 0,
     "1:note 'a?b' is not on one line"},
    {"wrong/id", WHOLE("a b"), BD_SYNTAX, 0, 0, "1:id 'a b' is not an id"},
    {"wrong/id_twice", WHOLE("a") WHOLE("b") WHOLE("a"), BD_CONFLICT, 0, 0,
     "3:id 'a' stands in line 1 too"},
    {"wrong/date",
     "{\"schema\":\"bagdose.record/1\",\"id\":\"a\",\"date\":\"2026-02-30\",\"group\":\"g\"}\n",
     BD_RANGE, 0, 0, "1:'2026-02-30' is no day"},
    {"wrong/use", HEAD("a") ",\"bags\":1,\"use\":\"spill\",\"g_per_bag\":1}\n", BD_UNKNOWN, 0, 0,
     "1:'spill' is not a use"},
    {"wrong/no_use", HEAD("a") ",\"bags\":1,\"g_per_bag\":1}\n", BD_MISSING, 0, 0,
     "1:use is not said"},
    {"wrong/no_bags", HEAD("a") ",\"use\":\"water\",\"l_per_bag\":1}\n", BD_MISSING, 0, 0,
     "1:bags is not said"},
    {"wrong/half_a_bag", HEAD("a") ",\"bags\":1.5,\"use\":\"water\",\"l_per_bag\":1}\n", BD_RANGE,
     0, 0, "1:bags is not"},
    {"wrong/no_bag", HEAD("a") ",\"bags\":0,\"use\":\"water\",\"l_per_bag\":1}\n", BD_RANGE, 0, 0,
     "1:bags is not"},
    {"wrong/negative", HEAD("a") ",\"bags\":1,\"use\":\"water\",\"l_per_bag\":-1}\n", BD_RANGE, 0,
     0, "1:l_per_bag is not"},
    {"wrong/number_as_text", HEAD("a") ",\"bags\":\"18\",\"use\":\"water\",\"l_per_bag\":1}\n",
     BD_SYNTAX, 0, 0, "1:bags is not a number"},
    {"wrong/no_grams", HEAD("a") ",\"bags\":1,\"material\":\"urea\",\"use\":\"foliar\"}\n",
     BD_MISSING, 0, 0, "1:foliar needs g_per_bag"},
    {"wrong/no_product", HEAD("a") ",\"bags\":1,\"use\":\"foliar\",\"g_per_bag\":1}\n", BD_MISSING,
     0, 0, "1:foliar needs material or analysis"},
    {"wrong/water_with_product",
     HEAD("a") ",\"bags\":1,\"material\":\"urea\",\"use\":\"water\",\"l_per_bag\":1}\n",
     BD_CONFLICT, 0, 0, "1:water brings no product"},
    {"wrong/harvest_with_litres",
     HEAD("a") ",\"bags\":1,\"use\":\"harvest\",\"g_per_bag\":1,\"l_per_bag\":1}\n", BD_CONFLICT, 0,
     0, "1:a harvest brings no product"},
    {"wrong/gives_oxide", GIVEN("a") ",\"gives\":{\"K2O\":1}}\n", BD_UNKNOWN, 0, 0,
     "1:gives 'K2O', an oxide"},
    {"wrong/gives_unknown", GIVEN("a") ",\"gives\":{\"Xx\":1}}\n", BD_UNKNOWN, 0, 0,
     "1:gives 'Xx'"},
    {"wrong/gives_more_than_product", GIVEN("a") ",\"gives\":{\"K\":1.27}}\n", BD_RANGE, 0, 0,
     "1:gives K"},
    {"wrong/gives_falling",
     GIVEN("a") ",\"gives\":{\"K\":{\"low\":1,\"typical\":0.5,\"high\":1}}}\n", BD_RANGE, 0, 0,
     "1:gives K"},
    {"wrong/gives_without_typical", GIVEN("a") ",\"gives\":{\"K\":{\"low\":1,\"high\":1}}}\n",
     BD_SYNTAX, 0, 0, "1:gives K"},
    {"wrong/reversal_with_bags", WHOLE("a") HEAD("b") ",\"reverses\":\"a\",\"bags\":1}\n",
     BD_CONFLICT, 0, 0, "2:a line that reverses another has no bags"},
    {"wrong/reversal_of_nothing", UNDO("b", "a"), BD_CONFLICT, 0, 0,
     "1:reverses 'a', which does not stand above it"},
    {"wrong/reversal_of_later", UNDO("b", "a") WHOLE("a"), BD_CONFLICT, 0, 0,
     "1:reverses 'a', which does not"},
    {"wrong/reversal_of_itself", UNDO("b", "b"), BD_CONFLICT, 0, 0,
     "1:reverses 'b', which does not"},
    {"wrong/reversal_of_reversal", WHOLE("a") UNDO("b", "a") UNDO("c", "b"), BD_CONFLICT, 0, 0,
     "3:reverses 'b', itself a reversal"},
    {"wrong/reversed_twice", WHOLE("a") UNDO("b", "a") UNDO("c", "a"), BD_CONFLICT, 0, 0,
     "3:reverses 'a', which is reversed already"},
    {"wrong/batch_without_number", GIVEN("a") ",\"batch\":\"a\"}\n", BD_CONFLICT, 0, 0,
     "1:batch and batch_of"},
};

static void check_message(const bd_error *err, const char *says)
{
    char expected[sizeof err->where], *colon;
    size_t digits = strcspn(says, ":");

    (void)snprintf(expected, sizeof expected, "%s:%.*s", path, (int)digits, says);
    assert_string_equal(err->where, expected);
    colon = strstr(err->text, says + digits + 1);
    if (colon == NULL)
        print_error("  got: %s\n", err->text);
    assert_non_null(colon);
}

static void check_files(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(files); i++) {
        bd_records r;
        bd_error err = {0};

        print_message("  file/%s\n", files[i].name);
        write_text(files[i].text);
        assert_int_equal(bd_record_load(path, &r, &err), files[i].status);
        assert_int_equal(err.status, files[i].status);
        if (files[i].status == BD_OK) {
            assert_int_equal(r.count, files[i].count);
            assert_int_equal(r.torn_line, files[i].torn_line);
        } else {
            check_message(&err, files[i].says);
        }
        bd_records_clear(&r);
    }
}

/* Without a bd_error the same is found. */
static void check_silent(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(files); i++) {
        bd_records r;
        bd_status status;

        write_text(files[i].text);
        status = bd_record_load(path, &r, NULL);
        assert_int_equal(status == BD_OK, files[i].status == BD_OK);
        bd_records_clear(&r);
    }
}

static void check_zeros_are_torn(void **state)
{
    static const char bytes[] = WHOLE("a") "\0\0\0\0\0\0\0\n";
    bd_records r;

    (void)state;
    write_bytes(bytes, sizeof bytes - 1);
    assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
    assert_int_equal(r.count, 1);
    assert_int_equal(r.torn_bytes, 8);
    bd_records_clear(&r);
}

static void check_absent(void **state)
{
    bd_records r;
    bd_record_file *file = NULL;
    bd_error err = {0};
    char below[PATH_SIZE + 32];

    (void)state;
    (void)unlink(path);
    assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
    assert_true(r.is_absent);
    assert_int_equal(r.count, 0);
    bd_records_clear(&r);
    assert_int_equal(bd_record_load(folder, &r, &err), BD_FILE);
    bd_records_clear(&r);
    (void)snprintf(below, sizeof below, "%s/none/a.jsonl", folder);
    assert_int_equal(bd_record_open(below, &r, &file, NULL), BD_FILE);
    assert_null(file);
    bd_records_clear(&r);
}

/* ---- adding ---- */

static const bd_entry sample = {
    .id = "",
    .day = 20576, /* 2026-05-03 */
    .group = "beets",
    .bags = 18,
    .material = "potassium-sulfate",
    .analysis = "0-0-50",
    .use = BD_RECORD_SIDEDRESS,
    .g_per_bag = 1.26,
    .l_per_bag = 1.5,
    .gives_is_known = true,
    .gives_g_per_bag = {[BD_K] = {0.523, 0.523, 0.523}, [BD_S] = {0.1, 0.2, 0.1 + 0.2}},
    .who = "Ana",
    .note = "say \"no\" \\ caf\xc3\xa9",
    .reverses = "",
    .batch = ""};

static bd_status add(const bd_entry *entries, size_t count, bd_error *err)
{
    bd_records r;
    bd_record_file *file = NULL;
    bd_status status = bd_record_open(path, &r, &file, err);

    if (status == BD_OK)
        status = bd_records_add(&r, entries, count, err);
    if (status == BD_OK)
        status = bd_record_append(file, &r, err);
    bd_record_close(file);
    bd_records_clear(&r);
    return status;
}

static void check_written_line(void **state)
{
    (void)state;
    write_text("");
    assert_int_equal(add(&sample, 1, NULL), BD_OK);
    assert_string_equal(
        contents(path),
        "{\"schema\":\"bagdose.record/1\",\"id\":\"2026-05-03-1\",\"date\":\"2026-05-03\","
        "\"group\":\"beets\",\"bags\":18,\"material\":\"potassium-sulfate\",\"analysis\":\"0-0-"
        "50\","
        "\"use\":\"sidedress\",\"g_per_bag\":1.26,\"l_per_bag\":1.5,"
        "\"gives\":{\"K\":0.523,\"S\":{\"low\":0.1,\"typical\":0.2,\"high\":0.30000000000000004}},"
        "\"who\":\"Ana\",\"note\":\"say \\\"no\\\" \\\\ caf\xc3\xa9\"}\n");
}

static void check_reads_back(void **state)
{
    bd_records r;
    const bd_entry *e;

    (void)state;
    write_text("");
    assert_int_equal(add(&sample, 1, NULL), BD_OK);
    assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
    assert_int_equal(r.count, 1);
    e = bd_records_find(&r, "2026-05-03-1");
    assert_non_null(e);
    assert_int_equal(e->day, sample.day);
    assert_string_equal(e->group, sample.group);
    assert_string_equal(e->material, sample.material);
    assert_string_equal(e->analysis, sample.analysis);
    assert_string_equal(e->who, sample.who);
    assert_string_equal(e->note, sample.note);
    assert_int_equal(e->use, sample.use);
    assert_close(e->bags, 18, 0);
    assert_close(e->g_per_bag, sample.g_per_bag, 0);
    assert_close(e->l_per_bag, sample.l_per_bag, 0);
    assert_close(e->gives_g_per_bag[BD_S].high, sample.gives_g_per_bag[BD_S].high, 0);
    assert_close(e->gives_g_per_bag[BD_K].low, sample.gives_g_per_bag[BD_K].low, 0);
    assert_true(e->gives_is_known && bd_entry_stands(e));
    bd_records_clear(&r);
}

/* Numbers that need all their digits, across the range, come back bit for bit. */
static void check_numbers_round_trip(void **state)
{
    unsigned seed = 1;

    (void)state;
    for (int i = 0; i < 200; i++) {
        bd_entry e = sample;
        bd_records r;

        seed = seed * 1103515245U + 12345U;
        e.g_per_bag = 1.3 + (double)seed / 3.0;
        e.l_per_bag = (double)(seed % 1000 + 1) / 7e6;
        if (e.g_per_bag > 1e6)
            e.g_per_bag = 1.3 + 1.0 / (double)(seed % 977 + 1);
        write_text("");
        assert_int_equal(add(&e, 1, NULL), BD_OK);
        assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
        assert_close(r.items[0].g_per_bag, e.g_per_bag, 0);
        assert_close(r.items[0].l_per_bag, e.l_per_bag, 0);
        bd_records_clear(&r);
    }
}

static void check_ids(void **state)
{
    bd_entry two[] = {sample, sample}, other = sample;
    bd_records r;

    (void)state;
    write_text(WHOLE("2026-05-03-7") WHOLE("2026-05-03-x") WHOLE("2026-05-03-9-1"));
    other.day++;
    assert_int_equal(add(two, 2, NULL), BD_OK);
    assert_int_equal(add(&other, 1, NULL), BD_OK);
    assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
    assert_int_equal(r.count, 6);
    assert_string_equal(r.items[3].id, "2026-05-03-8");
    assert_string_equal(r.items[4].id, "2026-05-03-9");
    assert_string_equal(r.items[4].batch, "2026-05-03-8");
    assert_int_equal(r.items[4].batch_of, 2);
    assert_string_equal(r.items[5].id, "2026-05-04-1");
    assert_string_equal(r.items[5].batch, "");
    bd_records_clear(&r);
}

static void check_reversal(void **state)
{
    bd_entry undo = {.id = "",
                     .day = 20577,
                     .group = "beets",
                     .material = "",
                     .analysis = "",
                     .who = "Ben",
                     .note = "",
                     .reverses = "2026-05-03-1",
                     .batch = ""};
    bd_entry undo_undo = undo;
    bd_records r;
    bd_error err = {0};

    (void)state;
    write_text("");
    assert_int_equal(add(&undo, 1, &err), BD_UNKNOWN);
    assert_int_equal(add(&sample, 1, NULL), BD_OK);
    assert_int_equal(add(&undo, 1, NULL), BD_OK);
    assert_int_equal(add(&undo, 1, NULL), BD_CONFLICT);
    undo_undo.reverses = "2026-05-04-1";
    assert_int_equal(add(&undo_undo, 1, NULL), BD_CONFLICT);
    assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
    assert_int_equal(r.count, 2);
    assert_false(bd_entry_stands(&r.items[0]));
    assert_false(bd_entry_stands(&r.items[1]));
    bd_records_clear(&r);
}

static void check_refused_entries_leave_the_file(void **state)
{
    bd_entry bad[5] = {sample, sample, sample, sample, sample};

    (void)state;
    bad[0].note = "two\nlines";
    bad[1].who = "\xff";
    bad[2].g_per_bag = (double)NAN;
    bad[3].gives_g_per_bag[BD_N] = bd_exactly(1.27);
    bad[4].group = "";
    write_text(WHOLE("a"));
    for (size_t i = 0; i < N(bad); i++) {
        bd_error err = {0};
        bd_entry pair[] = {sample, bad[i]};

        assert_true(add(&bad[i], 1, &err) != BD_OK);
        assert_true(strlen(err.text) > 0);
        assert_true(add(pair, 2, NULL) != BD_OK);
        assert_string_equal(contents(path), WHOLE("a"));
    }
}

static const struct {
    const char *name, *before, *torn;
    size_t count; /* after one is added */
} torn[] = {
    {"half_a_line", WHOLE("a") "{\"schema\":\"bag", "{\"schema\":\"bag\n", 2},
    {"with_newline", WHOLE("a") "{\"sch\n", "{\"sch\n", 2},
    {"nothing_else", "{\"sch", "{\"sch\n", 1},
    {"batch", WHOLE("x") PART("a", "a", "2"), PART("a", "a", "2"), 2},
    {"batch_and_half", PART("a", "a", "3") PART("b", "a", "3") "{",
     PART("a", "a", "3") PART("b", "a", "3") "{\n", 1},
};

static void check_torn_is_set_aside(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(torn); i++) {
        bd_records r;

        print_message("  torn/%s\n", torn[i].name);
        (void)unlink(torn_path);
        write_text(torn[i].before);
        assert_int_equal(add(&sample, 1, NULL), BD_OK);
        assert_string_equal(contents(torn_path), torn[i].torn);
        assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
        assert_int_equal(r.torn_line, 0);
        assert_int_equal(r.count, torn[i].count);
        bd_records_clear(&r);
    }
    /* a second torn end goes behind the first */
    write_text("[");
    assert_int_equal(add(&sample, 1, NULL), BD_OK);
    assert_non_null(strstr(contents(torn_path), "{\n[\n"));
}

/* Cut at every byte, nothing but whole lines is read and what stood before stays. */
static void check_cut_anywhere(void **state)
{
    static const char text[] = WHOLE("a") PART("b", "b", "2") PART("c", "b", "2") UNDO("d", "a");
    static const size_t first = sizeof(WHOLE("a")) - 1,
                        second = first + 2 * (sizeof(PART("b", "b", "2")) - 1);

    (void)state;
    for (size_t n = 0; n < sizeof text; n++) {
        bd_records r;
        size_t whole = n < first ? 0 : n < second ? 1 : n < sizeof text - 1 ? 3 : 4;

        write_bytes(text, n);
        assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
        assert_int_equal(r.count, whole);
        assert_int_equal(r.torn_line > 0,
                         n != 0 && n != first && n != second && n != sizeof text - 1);
        bd_records_clear(&r);
    }
}

/* ---- two at once ---- */

enum { ADDERS = 6, EACH = 10 };

static void add_some(void)
{
    for (int i = 0; i < EACH; i++)
        if (add(&sample, 1, NULL) != BD_OK)
            _exit(1);
    _exit(0);
}

static void check_adders_at_once(void **state)
{
    bd_records r;

    (void)state;
    (void)unlink(path);
    for (int i = 0; i < ADDERS; i++) {
        pid_t child = fork();

        assert_true(child >= 0);
        if (child == 0)
            add_some();
    }
    for (int i = 0; i < ADDERS; i++) {
        int status = 0;

        assert_true(wait(&status) > 0);
        assert_true(WIFEXITED(status));
        assert_int_equal(WEXITSTATUS(status), 0);
    }
    assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
    assert_int_equal(r.count, ADDERS * EACH);
    assert_int_equal(r.torn_line, 0);
    bd_records_clear(&r);
}

/* Five seconds long: only in the long run. */
static void check_gives_up_waiting(void **state)
{
    bd_error err = {0};
    int fd;

    (void)state;
    if (getenv("BD_LONG") == NULL)
        skip();
    write_text(WHOLE("a"));
    fd = open(path, O_RDWR);
    assert_int_equal(flock(fd, LOCK_EX), 0);
    assert_int_equal(add(&sample, 1, &err), BD_FILE);
    assert_non_null(strstr(err.text, "five seconds"));
    assert_int_equal(close(fd), 0);
    assert_string_equal(contents(path), WHOLE("a"));
}

/* ---- adding up ---- */

static const struct {
    const char *name;
    bd_record_query query;
    double product, k, k_high, liquid, water, harvest, product_all;
    size_t givings, sprays, unknown;
    int last_day;
    const char *who;
} sums[] = {
    /* 2 x 1.26 + 0.4 + 0; K 2 x 0.5 + 0.1 (0.15); harvest 900 */
    {"group",
     {"beets", NULL, 0, 99999, false},
     2.92,
     1.1,
     1.15,
     0.5,
     2,
     900,
     18 * 2.92,
     4,
     1,
     1,
     20580,
     "Ben"},
    {"everything",
     {NULL, NULL, 0, 99999, false},
     9.92,
     4.1,
     4.15,
     0.5,
     2,
     900,
     18 * 2.92 + 70,
     5,
     1,
     1,
     20580,
     "Ben"},
    {"material",
     {"beets", "potassium-sulfate", 0, 99999, false},
     2.52,
     1,
     1,
     0,
     0,
     0,
     45.36,
     2,
     0,
     0,
     20577,
     "Ana"},
    {"days",
     {"beets", NULL, 20577, 20578, false},
     1.66,
     0.6,
     0.65,
     0,
     0,
     0,
     18 * 1.66,
     2,
     1,
     0,
     20578,
     ""},
    {"one_day",
     {"beets", NULL, 20576, 20576, false},
     1.26,
     0.5,
     0.5,
     0,
     0,
     0,
     22.68,
     1,
     0,
     0,
     20576,
     "Ana"},
    /* all but the spray, 0.4 g with K 0.1 */
    {"without_sprays",
     {"beets", NULL, 0, 99999, true},
     2.52,
     1,
     1,
     0.5,
     2,
     900,
     45.36,
     3,
     0,
     1,
     20580,
     "Ben"},
    {"nothing", {"beets", NULL, 0, 1, false}, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, NULL},
    {"other_group", {"beet", NULL, 0, 99999, false}, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, NULL},
};

#define LINE(id, day, group, bags, more)                                                           \
    "{\"schema\":\"bagdose.record/1\",\"id\":\"" id "\",\"date\":\"2026-05-" day                   \
    "\",\"group\":\"" group "\",\"bags\":" bags "," more "}\n"
#define SOP                                                                                        \
    "\"material\":\"potassium-sulfate\",\"use\":\"sidedress\",\"g_per_bag\":1.26,\"gives\":{"      \
    "\"K\":0.5},\"who\":\"Ana\""

static const char season[] = LINE("a", "03", "beets", "18", SOP) LINE("b", "04", "beets", "18", SOP)
    LINE("c", "05", "beets", "18", SOP) UNDO("d", "c") LINE(
        "e", "05", "beets", "18",
        "\"material\":\"potassium-nitrate\",\"use\":\"foliar\",\"g_per_bag\":0.4,\"gives\":"
        "{\"K\":{\"low\":0.05,\"typical\":0.1,\"high\":0.15}}")
        LINE("f", "07", "beets", "18", "\"use\":\"feed\",\"l_per_bag\":0.5,\"who\":\"Ben\"") LINE(
            "g", "06", "beets", "18", "\"use\":\"water\",\"l_per_bag\":2")
            LINE("h", "08", "beets", "18", "\"use\":\"harvest\",\"g_per_bag\":900") LINE(
                "i", "01", "tomatoes", "10",
                "\"analysis\":\"0-0-52\",\"use\":\"drench\",\"g_per_bag\":7,\"gives\":{\"K\":3}");

static void check_sums(void **state)
{
    bd_records r;

    (void)state;
    write_text(season);
    assert_int_equal(bd_record_load(path, &r, NULL), BD_OK);
    for (size_t i = 0; i < N(sums); i++) {
        bd_record_sum s;

        print_message("  sum/%s\n", sums[i].name);
        bd_record_sum_of(&r, &sums[i].query, &s);
        assert_close(s.product_g_per_bag, sums[i].product, 1e-9);
        assert_close(s.gives_g_per_bag[BD_K].typical, sums[i].k, 1e-9);
        assert_close(s.gives_g_per_bag[BD_K].high, sums[i].k_high, 1e-9);
        assert_close(s.liquid_l_per_bag, sums[i].liquid, 1e-9);
        assert_close(s.water_l_per_bag, sums[i].water, 1e-9);
        assert_close(s.harvest_g_per_bag, sums[i].harvest, 1e-9);
        assert_close(s.product_g, sums[i].product_all, 1e-9);
        assert_int_equal(s.givings, sums[i].givings);
        assert_int_equal(s.sprays, sums[i].sprays);
        assert_close(s.sprayed_g_per_bag[BD_K].typical, s.sprays > 0 ? 0.1 : 0.0, 1e-9);
        assert_int_equal(s.unknown, sums[i].unknown);
        assert_int_equal(s.last != NULL, sums[i].who != NULL);
        if (s.last != NULL) {
            assert_int_equal(s.last->day, sums[i].last_day);
            assert_string_equal(s.last->who, sums[i].who);
        }
    }
    bd_records_clear(&r);
}

static const struct {
    const char *garden, *want;
} besides[] = {
    {"terrace.garden.json", "terrace.record.jsonl"}, {"a/terrace.json", "a/terrace.record.jsonl"},
    {"a.b/terrace", "a.b/terrace.record.jsonl"},     {".json", ".json.record.jsonl"},
    {"a/.garden.json", "a/.garden.record.jsonl"},
};

static void check_beside(void **state)
{
    char name[PATH_SIZE], named[BD_RECORD_PATH_SIZE];

    (void)state;
    for (size_t i = 0; i < N(besides); i++) {
        assert_int_equal(bd_record_beside(besides[i].garden, name, sizeof name, NULL), BD_OK);
        assert_string_equal(name, besides[i].want);
    }
    assert_int_equal(bd_record_beside("a", name, 8, NULL), BD_RANGE);
    assert_int_equal(bd_record_named("b/terrace.garden.json", named, NULL), BD_OK);
    assert_string_equal(named, "b/terrace.record.jsonl");
    assert_int_equal(bd_record_named("b/any.jsonl", named, NULL), BD_OK);
    assert_string_equal(named, "b/any.jsonl");
}

/* ---- no memory ---- */

static void check_memory_fails(void **state)
{
    bd_entry two[] = {sample, sample};

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (long n = 0;; n++) {
        bd_status status;

        write_text(WHOLE("a") "{\"tor");
        bd_fail_allocation_after(n);
        status = add(two, 2, NULL);
        if (!bd_allocations_allow()) {
            assert_int_equal(status, BD_OK);
            break;
        }
        assert_int_equal(status, BD_MEMORY);
        assert_non_null(strstr(contents(path), WHOLE("a")));
        assert_null(strstr(contents(path), "batch"));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_files),
        cmocka_unit_test(check_silent),
        cmocka_unit_test(check_zeros_are_torn),
        cmocka_unit_test(check_absent),
        cmocka_unit_test(check_written_line),
        cmocka_unit_test(check_reads_back),
        cmocka_unit_test(check_numbers_round_trip),
        cmocka_unit_test(check_ids),
        cmocka_unit_test(check_reversal),
        cmocka_unit_test(check_refused_entries_leave_the_file),
        cmocka_unit_test(check_torn_is_set_aside),
        cmocka_unit_test(check_cut_anywhere),
        cmocka_unit_test(check_adders_at_once),
        cmocka_unit_test(check_gives_up_waiting),
        cmocka_unit_test(check_sums),
        cmocka_unit_test(check_beside),
        cmocka_unit_test(check_memory_fails),
    };

    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
