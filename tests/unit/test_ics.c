/*
 * The calendar of a card against RFC 5545, looked at as bytes here and with a
 * calendar library of others in tests/calendar.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "base/text.h"
#include "report/escape.h"
#include "report/report.h"
#include "support/cards.h"
#include "support/cmocka_all.h"

enum { CEILING = 1 << 20, LINE_OCTETS = 75 };

static int take(const char *bytes, size_t n, void *to)
{
    bd_text_add_bytes(to, bytes, n);
    return 0;
}

static int refuse(const char *bytes, size_t n, void *to)
{
    (void)bytes, (void)n, (void)to;
    return -1;
}

/* A row of the table of rounds; NULL leaves the cell empty. */
typedef struct row {
    const char *date, *group, *what;
    double g;
} row;

static void fill_card(bd_card *card, const char *title, const row *rows, size_t count)
{
    bd_table *t;

    bd_card_init(card, "season");
    bd_card_title(card, "plain", BD_ARGS(bd_name(title)));
    bd_card_caution(card, "C01", "plain", BD_ARGS(bd_name("Keep it from children")), "");
    bd_card_find(card, "x", BD_CARE, "plain", BD_ARGS(bd_name("salty; look")), "");
    bd_card_find(card, "y", BD_NOTE, "plain", BD_ARGS(bd_name("a mere note")), "");
    t = bd_card_table(card, "rounds", "plain", BD_ARGS(bd_name("Rounds")));
    bd_table_column(card, t, "group", "plain", "");
    bd_table_column(card, t, "date", "plain", "");
    bd_table_column(card, t, "do", "plain", "");
    bd_table_column(card, t, "per_bag", "plain", "g");
    bd_table_column(card, t, "total", "plain", "g");
    for (size_t i = 0; i < count; i++) {
        bd_table_line(card, t, "plain", BD_ARGS(bd_name(rows[i].group)));
        if (rows[i].date == NULL)
            bd_table_empty(card, t);
        else
            bd_table_line(card, t, "plain", BD_ARGS(bd_name(rows[i].date)));
        bd_table_line(card, t, "plain", BD_ARGS(bd_name(rows[i].what)));
        bd_table_number(card, t, rows[i].g);
        bd_table_number(card, t, 12.0 * rows[i].g);
    }
}

static void render(const bd_card *card, bd_text *out)
{
    bd_report_style style = {.language = BD_LANGUAGE_ENGLISH, .today = 20577};
    bd_error err = {.status = BD_OK};

    bd_text_init(out, CEILING);
    assert_int_equal(bd_report_ics(card, &style, (bd_sink){take, out}, &err), BD_OK);
    assert_true(bd_text_ok(out));
}

static void render_rows(const char *title, const row *rows, size_t count, bd_text *out)
{
    bd_card card;

    fill_card(&card, title, rows, count);
    render(&card, out);
    bd_card_clear(&card);
}

/* The text with its folds taken out, as any reader does first. */
static void unfold(const char *s, bd_text *out)
{
    bd_text_init(out, CEILING);
    for (; *s != '\0'; s++) {
        if (strncmp(s, "\r\n ", 3) == 0)
            s += 2;
        else
            bd_text_add_bytes(out, s, 1);
    }
}

static size_t count_of(const char *s, const char *what)
{
    size_t n = 0;

    for (s = strstr(s, what); s != NULL; s = strstr(s + 1, what))
        n++;
    return n;
}

/* ---- escaping ------------------------------------------------------------------ */

static const struct escape_row {
    const char *name, *text, *want;
} escape_rows[] = {
    {"escape/plain_words_stay", "grams per bag", "grams per bag"},
    {"escape/comma_semicolon_backslash", "a,b;c\\d", "a\\,b\\;c\\\\d"},
    {"escape/line_end", "a\nb", "a\\nb"},
    {"escape/colon_and_quote_stay", "say \"x\": y", "say \"x\": y"},
    {"escape/control_characters_go", "a\x1b[2J\r\tb\x7f", "a?[2J??b?"},
    {"escape/utf8_stays", "K\xc3\xb6ln \xe2\x82\x82", "K\xc3\xb6ln \xe2\x82\x82"},
    {"escape/broken_utf8_goes",
     "a\xff"
     "b\xc3",
     "a?b?"},
    {"escape/nothing", "", ""},
};

static void check_escape(void **state)
{
    const struct escape_row *r = *state;
    bd_text out;

    bd_text_init(&out, CEILING);
    bd_escape_ics(&out, r->text);
    assert_string_equal(out.s, r->want);
    bd_text_clear(&out);
}

/* ---- the whole -------------------------------------------------------------------- */

static const row two[] = {{"2026-05-20", "beets", "Feed, then water", 1.5},
                          {"2026-06-10", "beets", "Feed again", 2.0}};

static void has_the_frame(void **state)
{
    static const char start[] = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:";
    bd_text out;

    (void)state;
    render_rows("Terrace", two, 2, &out);
    assert_memory_equal(out.s, start, sizeof start - 1);
    assert_string_equal(out.s + out.length - 15, "END:VCALENDAR\r\n");
    assert_int_equal(count_of(out.s, "BEGIN:VEVENT\r\n"), 2);
    assert_int_equal(count_of(out.s, "END:VEVENT\r\n"), 2);
    assert_int_equal(count_of(out.s, "\nDTSTAMP:20260504T000000Z\r\n"), 2);
    bd_text_clear(&out);
}

static void is_all_day(void **state)
{
    static const row last[] = {{"2026-12-31", "beets", "Feed", 1.5}};
    bd_text out;

    (void)state;
    render_rows("Terrace", last, 1, &out);
    assert_non_null(strstr(out.s, "\r\nDTSTART;VALUE=DATE:20261231\r\n"));
    assert_non_null(strstr(out.s, "\r\nDTEND;VALUE=DATE:20270101\r\n"));
    bd_text_clear(&out);
}

static void tells_row_care_and_cautions(void **state)
{
    bd_text out, flat;

    (void)state;
    render_rows("Terrace", two, 1, &out);
    unfold(out.s, &flat);
    assert_non_null(
        strstr(flat.s, "\r\nSUMMARY:beets: Feed\\, then water\\, 1.5 g a bag\\, 18 g for all\r\n"));
    assert_non_null(strstr(flat.s, "1.5 g"));
    assert_non_null(strstr(flat.s, "salty\\; look"));
    assert_non_null(strstr(flat.s, "Keep it from children"));
    assert_null(strstr(flat.s, "a mere note"));
    bd_text_clear(&flat);
    bd_text_clear(&out);
}

/* "beets" hears nothing of "leeks", whose name begins a finding, but of what is for all. */
static void tells_a_group_its_own_care(void **state)
{
    static const row rows[] = {{"2026-05-20", "beets", "Feed", 1.5},
                               {"2026-05-21", "beets-late", "Feed", 1.5}};
    bd_text out, flat;
    bd_card card;
    const char *second;

    (void)state;
    fill_card(&card, "Terrace", rows, 2);
    bd_card_find(&card, "z", BD_CARE, "plain", BD_ARGS(bd_name("beets, too salty")), "");
    bd_card_find(&card, "z", BD_CARE, "plain", BD_ARGS(bd_name("beets-late, too dry")), "");
    render(&card, &out);
    bd_card_clear(&card);
    unfold(out.s, &flat);
    second = strstr(strstr(flat.s, "BEGIN:VEVENT") + 1, "BEGIN:VEVENT");
    assert_non_null(second);
    assert_int_equal(count_of(flat.s, "salty\\; look"), 2);
    assert_int_equal(count_of(flat.s, "too salty"), 1);
    assert_int_equal(count_of(flat.s, "too dry"), 1);
    assert_int_equal(count_of(second, "too dry"), 1);
    bd_text_clear(&flat);
    bd_text_clear(&out);
}

static void leaves_rows_without_a_day_out(void **state)
{
    static const row rows[] = {{NULL, "beets", "any day", 1},
                               {"soon", "beets", "no day", 1},
                               {"2026-02-30", "beets", "no such day", 1},
                               {"2026-02-28", "beets", "a day", 1}};
    bd_text out;

    (void)state;
    render_rows("Terrace", rows, 4, &out);
    assert_int_equal(count_of(out.s, "BEGIN:VEVENT"), 1);
    bd_text_clear(&out);
}

static void is_refused_without_days(void **state)
{
    static const bd_sample without[] = {BD_SAMPLE_EMPTY, BD_SAMPLE_SPRAY, BD_SAMPLE_STOP};
    bd_report_style style = {.language = BD_LANGUAGE_ENGLISH};

    (void)state;
    for (size_t i = 0; i < sizeof without / sizeof without[0]; i++) {
        bd_card card;
        bd_text out;
        bd_error err = {.status = BD_OK};

        bd_sample_card(without[i], &card);
        bd_text_init(&out, CEILING);
        assert_int_equal(bd_report_ics(&card, &style, (bd_sink){take, &out}, &err), BD_CONFLICT);
        assert_string_equal(err.where, "--format");
        assert_int_equal(out.length, 0);
        bd_text_clear(&out);
        bd_card_clear(&card);
    }
}

static void tells_a_full_disk(void **state)
{
    bd_report_style style = {.language = BD_LANGUAGE_ENGLISH};
    bd_card card;

    (void)state;
    fill_card(&card, "Terrace", two, 2);
    assert_int_equal(bd_report_ics(&card, &style, (bd_sink){refuse, NULL}, NULL), BD_FILE);
    bd_card_clear(&card);
}

/* ---- UIDs ---------------------------------------------------------------------------- */

static void take_uids(const char *s, bd_text *out)
{
    bd_text_init(out, CEILING);
    for (s = strstr(s, "\r\nUID:"); s != NULL; s = strstr(s + 1, "\r\nUID:")) {
        bd_text_add_bytes(out, s + 6, strcspn(s + 6, "\r"));
        bd_text_add(out, "\n");
    }
}

static void uids_of(const char *title, const row *rows, size_t count, bd_text *uids)
{
    bd_text out;

    render_rows(title, rows, count, &out);
    take_uids(out.s, uids);
    bd_text_clear(&out);
}

static const struct uid_row {
    const char *name, *title;
    row rows[2];
    bool is_same;
} uid_rows[] = {
    {"uid/same_card",
     "Terrace",
     {{"2026-05-20", "beets", "Feed, then water", 1.5}, {"2026-06-10", "beets", "Feed again", 2.0}},
     true},
    {"uid/day_moved",
     "Terrace",
     {{"2026-05-27", "beets", "Feed, then water", 1.5}, {"2026-06-17", "beets", "Feed again", 2.0}},
     true},
    {"uid/amount_changed",
     "Terrace",
     {{"2026-05-20", "beets", "Feed, then water", 0.5}, {"2026-06-10", "beets", "Feed again", 9.0}},
     true},
    {"uid/other_garden",
     "Orchard",
     {{"2026-05-20", "beets", "Feed, then water", 1.5}, {"2026-06-10", "beets", "Feed again", 2.0}},
     false},
    {"uid/other_group",
     "Terrace",
     {{"2026-05-20", "leeks", "Feed, then water", 1.5}, {"2026-06-10", "leeks", "Feed again", 2.0}},
     false},
};

static void check_uid(void **state)
{
    const struct uid_row *r = *state;
    bd_text first, second;
    const char *end;

    uids_of("Terrace", two, 2, &first);
    uids_of(r->title, r->rows, 2, &second);
    assert_int_equal(strcmp(first.s, second.s) == 0, r->is_same);
    end = strchr(second.s, '\n');
    assert_non_null(end);
    assert_true(strncmp(second.s, end + 1, (size_t)(end - second.s)) != 0);
    bd_text_clear(&first);
    bd_text_clear(&second);
}

/* ---- folding --------------------------------------------------------------------------- */

static bool is_continuation(char c)
{
    return ((unsigned char)c & 0xc0) == 0x80;
}

/* Every line has at most 75 octets, ends in CR LF, and begins with no half of a code point. */
static void check_lines(const char *s)
{
    while (*s != '\0') {
        size_t n = strcspn(s, "\r\n");

        assert_true(n > 0 && n <= LINE_OCTETS);
        assert_memory_equal(s + n, "\r\n", 2);
        s += n + 2;
        assert_false(is_continuation(*s) || (*s == ' ' && is_continuation(s[1])));
    }
}

static void folds_at_every_length(void **state)
{
    static const char *const pieces[] = {"a", "\xc3\xa9", "\xe2\x82\x82", "\xf0\x9f\x8c\xb1", ","};

    (void)state;
    for (size_t p = 0; p < sizeof pieces / sizeof pieces[0]; p++)
        for (size_t n = 1; n < 200; n++) {
            bd_text words, out, flat;
            row long_row = {"2026-05-20", "g", NULL, 1};

            bd_text_init(&words, CEILING);
            for (size_t i = 0; i < n; i++)
                bd_text_add(&words, pieces[p]);
            long_row.what = words.s;
            render_rows("T", &long_row, 1, &out);
            check_lines(out.s);
            unfold(out.s, &flat);
            assert_true(count_of(flat.s, pieces[p]) >= n);
            bd_text_clear(&flat);
            bd_text_clear(&out);
            bd_text_clear(&words);
        }
}

static void bears_a_hostile_card(void **state)
{
    static const row rows[] = {{"2026-05-20", "x\r\nEND:VCALENDAR\r\n", "\x1b[2J,;\\", 1}};
    bd_text out;

    (void)state;
    render_rows("y\r\nBEGIN:VEVENT", rows, 1, &out);
    check_lines(out.s);
    assert_int_equal(count_of(out.s, "\nEND:VCALENDAR\r\n"), 1);
    assert_int_equal(count_of(out.s, "\nBEGIN:VEVENT\r\n"), 1);
    bd_text_clear(&out);
}

int main(void)
{
    enum {
        ESCAPES = sizeof escape_rows / sizeof escape_rows[0],
        UIDS = sizeof uid_rows / sizeof uid_rows[0]
    };
    static const struct CMUnitTest plain[] = {
        cmocka_unit_test(has_the_frame),
        cmocka_unit_test(is_all_day),
        cmocka_unit_test(tells_row_care_and_cautions),
        cmocka_unit_test(tells_a_group_its_own_care),
        cmocka_unit_test(leaves_rows_without_a_day_out),
        cmocka_unit_test(is_refused_without_days),
        cmocka_unit_test(tells_a_full_disk),
        cmocka_unit_test(folds_at_every_length),
        cmocka_unit_test(bears_a_hostile_card),
    };
    static struct CMUnitTest escapes[ESCAPES], uids[UIDS];
    int failed;

    for (size_t i = 0; i < ESCAPES; i++)
        escapes[i] = (struct CMUnitTest){escape_rows[i].name, check_escape, NULL, NULL,
                                         (void *)(uintptr_t)&escape_rows[i]};
    for (size_t i = 0; i < UIDS; i++)
        uids[i] = (struct CMUnitTest){uid_rows[i].name, check_uid, NULL, NULL,
                                      (void *)(uintptr_t)&uid_rows[i]};
    failed = cmocka_run_group_tests(plain, NULL, NULL);
    failed += cmocka_run_group_tests(escapes, NULL, NULL);
    return failed + cmocka_run_group_tests(uids, NULL, NULL);
}
