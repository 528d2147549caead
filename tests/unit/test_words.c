#include "support/cmocka_all.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "support/close.h"
#include "words/amount.h"
#include "words/utf8.h"
#include "words/words.h"

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

static bd_text empty(void)
{
    bd_text t;

    bd_text_init(&t, 4096);
    return t;
}

static void assert_says(bd_text *got, const char *want, const char *name)
{
    if (!bd_text_ok(got) || strcmp(got->s, want) != 0)
        fail_msg("%s: got \"%s\", wanted \"%s\"", name, got->s, want);
    bd_text_clear(got);
}

/* ---- amounts ---- */

static const struct amount_row {
    const char *name;
    bd_range value;
    const char *unit, *want;
} amount_rows[] = {
    {"three_digits", {6.5466, 6.5466, 6.5466}, "g/L", "6.55 g/L"},
    {"trailing_zeros_go", {2.5, 2.5, 2.5}, "g/L", "2.5 g/L"},
    {"whole_part_is_never_cut", {123456, 123456, 123456}, "mL/m2", "123456 mL/m2"},
    {"below_one", {0.047312, 0.047312, 0.047312}, "g", "0.0473 g"},
    {"kilograms_beside_grams", {2385.4, 2385.4, 2385.4}, "g", "2385 g (2.39 kg)"},
    {"kilograms_from_1000_g", {1000, 1000, 1000}, "g", "1000 g (1 kg)"},
    {"no_kilograms_below", {999, 999, 999}, "g", "999 g"},
    {"milligrams_below_10_mg", {0.0043, 0.0043, 0.0043}, "g", "4.3 mg"},
    {"grams_from_10_mg", {0.01, 0.01, 0.01}, "g", "0.01 g"},
    {"millilitres_below_a_jug", {0.048, 0.048, 0.048}, "L", "48 mL"},
    {"litres_from_100_mL", {0.1, 0.1, 0.1}, "L", "0.1 L"},
    {"litres_beside_millilitres", {15000, 15000, 15000}, "mL", "15000 mL (15 L)"},
    {"milligrams_a_litre", {0.005, 0.005, 0.005}, "g/L", "5 mg/L"},
    {"millimoles", {0.0123, 0.0123, 0.0123}, "mol/L", "12.3 mmol/L"},
    {"centimetres", {0.35, 0.35, 0.35}, "m", "35 cm"},
    {"metres", {1.5, 1.5, 1.5}, "m", "1.5 m"},
    {"share_as_percent", {0.12, 0.12, 0.12}, "share", "12 %"},
    {"share_over_one", {1.5, 1.5, 1.5}, "share", "150 %"},
    {"share_of_nothing", {0, 0, 0}, "share", "0 %"},
    {"bare_ratio", {39.4, 39.4, 39.4}, "", "39.4"},
    {"ratio_named_one", {39.4, 39.4, 39.4}, "1", "39.4"},
    {"ratio_without_unit", {2, 2, 2}, NULL, "2"},
    {"degrees",
     {25, 25, 25},
     "degC",
     "25 \xc2\xb0"
     "C"},
    {"frost",
     {-3.5, -3.5, -3.5},
     "degC",
     "-3.5 \xc2\xb0"
     "C"},
    {"zero_keeps_its_unit", {0, 0, 0}, "g", "0 g"},
    {"minus_zero_is_zero", {-0.0, -0.0, -0.0}, "g", "0 g"},
    {"negative_small_changes_unit_too", {-0.005, -0.005, -0.005}, "g", "-5 mg"},
    {"range", {0.9, 2.1, 6.4}, "g", "0.9 to 6.4 g (about 2.1)"},
    {"range_shares_one_unit", {0.004, 0.1, 0.3}, "g", "0.004 to 0.3 g (about 0.1)"},
    {"range_says_about_rather_than_kg", {900, 1500, 2400}, "g", "900 to 2400 g (about 1500)"},
    {"range_equal_in_print_is_one_number", {6.549, 6.55, 6.551}, "g/L", "6.55 g/L"},
    {"range_from_next_to_nothing", {0.0000496, 1.2, 5.79}, "dS/m", "0 to 5.79 dS/m (about 1.2)"},
    {"range_from_a_thousandth", {0.0058, 1.2, 5.79}, "dS/m", "0.0058 to 5.79 dS/m (about 1.2)"},
    {"range_of_shares", {0.1, 0.2, 0.3}, "share", "10 to 30 % (about 20)"},
    {"nan_is_not_known", {(double)NAN, (double)NAN, (double)NAN}, "g", "not known"},
    {"infinity_is_not_known", {0, 1, HUGE_VAL}, "g", "not known"},
    {"unit_is_harmless", {1, 1, 1}, "g\x1b[2J", "1 g?[2J"},
};

static void amount_check(void **state)
{
    const struct amount_row *r = *state;
    bd_text t = empty();

    bd_words_amount(BD_LANGUAGE_ENGLISH, r->value, r->unit, &t);
    assert_says(&t, r->want, r->name);
}

static void apart_check(void **state)
{
    static const struct {
        double a, b;
        const char *unit;
        int want;
    } rows[] = {
        {25, 10, "g/L", 3},
        {3.004, 3.0, "g/L", 4},
        {3.0, 3.0, "g/L", 3},
        {10.00001, 10.0, "g/L", 7},
        {1, 1 + 1e-14, "g", 3},
        {0.123456, 0.123457, "share", 6},
        {61.118750000000006, 61.11875, "g/m2", 3}, /* one number, computed in two ways */
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++)
        assert_int_equal(bd_amount_digits_apart(rows[i].a, rows[i].b,
                                                bd_amount_view_of(rows[i].unit, rows[i].a)),
                         rows[i].want);
}

static void cut_check(void **state)
{
    static const struct {
        double x;
        const char *unit;
        double want;
    } rows[] = {
        {2.998, "g/L", 2.99}, {2.5, "g/L", 2.5},     {9.998, "g/L", 9.99},
        {1234.9, "g", 1234},  {0.12999, "g", 0.129}, {0.0047299, "g", 0.00472},
        {0, "g", 0},          {0.3, "g", 0.3},       {0.0999999, "share", 0.0999},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++)
        assert_close(bd_amount_cut(rows[i].x, bd_amount_view_of(rows[i].unit, rows[i].x)),
                     rows[i].want, 1e-12 * (1 + rows[i].want));
}

/* Cutting never gives more than there was, beyond a millionth of the last digit shown. */
static void cut_never_grows(void **state)
{
    bd_amount_view view = bd_amount_view_of("g/L", 5);

    (void)state;
    for (int i = 1; i < 20000; i++) {
        double x = 0.00137 * i, cut = bd_amount_cut(x, view);

        assert_true(cut <= x * (1 + 1e-8));
        assert_true(cut >= x * 0.99);
    }
}

/* ---- arguments ---- */

static const struct argument_row {
    const char *name;
    bd_arg arg;
    const char *want;
} argument_rows[] = {
    {"name", {BD_ARG_NAME, "urea", {0, 0, 0}}, "urea"},
    {"name_missing", {BD_ARG_NAME, NULL, {0, 0, 0}}, ""},
    {"name_with_braces_is_not_expanded", {BD_ARG_NAME, "{0}{1}%s", {0, 0, 0}}, "{0}{1}%s"},
    {"name_cannot_move_the_cursor", {BD_ARG_NAME, "a\x1b[2J\r\n\x7f", {0, 0, 0}}, "a?[2J???"},
    {"name_keeps_accents",
     {BD_ARG_NAME, "\xc3\xa9t\xc3\xa9 \xe2\x82\xac", {0, 0, 0}},
     "\xc3\xa9t\xc3\xa9 \xe2\x82\xac"},
    {"amount", {BD_ARG_AMOUNT, "g", {5, 5, 5}}, "5 g"},
    {"exact_has_six_digits", {BD_ARG_EXACT, "", {0.8301471, 0.8301471, 0.8301471}}, "0.830147"},
    {"exact_keeps_its_unit",
     {BD_ARG_EXACT, "g", {0.0012345678, 0.0012345678, 0.0012345678}},
     "0.00123457 g"},
    {"exact_share", {BD_ARG_EXACT, "share", {0.46, 0.46, 0.46}}, "46 %"},
    {"exact_degrees",
     {BD_ARG_EXACT, "degC", {25, 25, 25}},
     "25 \xc2\xb0"
     "C"},
    {"exact_without_unit", {BD_ARG_EXACT, NULL, {1.5, 1.5, 1.5}}, "1.5"},
    {"count", {BD_ARG_COUNT, NULL, {24, 24, 24}}, "24"},
    {"count_is_whole", {BD_ARG_COUNT, NULL, {23.9999999, 23.9999999, 23.9999999}}, "24"},
    {"count_below_one_half_is_none", {BD_ARG_COUNT, NULL, {0.4, 0.4, 0.4}}, "0"},
    {"count_is_never_cut", {BD_ARG_COUNT, NULL, {1234567, 1234567, 1234567}}, "1234567"},
    {"words", {BD_ARG_WORDS, "verdict.ok", {0, 0, 0}}, "OK"},
    {"words_unknown", {BD_ARG_WORDS, "no.such", {0, 0, 0}}, "[no.such]"},
};

static void argument_check(void **state)
{
    const struct argument_row *r = *state;
    bd_line line = {.key = "plain", .args = {r->arg}, .arg_count = 1};
    bd_text t = empty();

    bd_words_line(BD_LANGUAGE_ENGLISH, &line, &t);
    assert_says(&t, r->want, r->name);
}

static void line_without_sentence(void **state)
{
    bd_line unknown = {.key = "no.such.key"}, none = {0};
    bd_text t = empty();

    (void)state;
    bd_words_line(BD_LANGUAGE_ENGLISH, &unknown, &t);
    assert_says(&t, "[no.such.key]", "unknown");
    bd_words_line(BD_LANGUAGE_ENGLISH, &none, &t);
    assert_says(&t, "", "none");
    bd_words_key(BD_LANGUAGE_ENGLISH, "plain", &t);
    assert_says(&t, "{0}", "an argument that is not there stays to be seen");
    assert_true(bd_words_has(BD_LANGUAGE_ENGLISH, "plain"));
    assert_false(bd_words_has(BD_LANGUAGE_ENGLISH, "plai"));
}

static void several_arguments_in_order(void **state)
{
    bd_line line = {.key = "report.against",
                    .args = {bd_amount(25, "g/L"), bd_amount(10, "g/L")},
                    .arg_count = 2};
    bd_text t = empty();

    (void)state;
    bd_words_line(BD_LANGUAGE_ENGLISH, &line, &t);
    assert_says(&t, "25 g/L against a limit of 10 g/L", "against");
}

/* ---- languages ---- */

static void language_read(void **state)
{
    bd_language language = BD_LANGUAGE_COUNT;
    bd_error err = {0};

    (void)state;
    assert_int_equal(bd_language_read("en", &language, &err), BD_OK);
    assert_int_equal(language, BD_LANGUAGE_ENGLISH);
    language = BD_LANGUAGE_COUNT;
    assert_int_equal(bd_language_read("klingon", &language, &err), BD_UNKNOWN);
    assert_int_equal(language, BD_LANGUAGE_COUNT);
    assert_non_null(strstr(err.text, "'klingon'"));
    assert_string_equal(err.accepts, "en");
}

/* ---- all sentences ---- */

static const struct {
    const char *key, *text;
} sentences[] = {
#define BD_ENGLISH(key, text) {key, text},
#include "words/english.def"
#undef BD_ENGLISH
};

static bool is_key(const char *key)
{
    return strspn(key, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_.-") ==
               strlen(key) &&
           key[0] != '\0';
}

/* Every brace belongs to one of {0}..{7}; a sentence need not use all that a line offers. */
static bool has_sound_slots(const char *text)
{
    for (; *text != '\0'; text++) {
        if (*text == '}')
            return false;
        if (*text != '{')
            continue;
        if (text[1] < '0' || text[1] >= '0' + BD_ARGS_MAX || text[2] != '}')
            return false;
        text += 2;
    }
    return true;
}

static void sentences_are_sound(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(sentences); i++) {
        const char *key = sentences[i].key, *text = sentences[i].text;
        size_t n = strlen(text);

        if (!is_key(key) || n == 0 || text[n - 1] == ' ' || strchr(text, '\n') != NULL ||
            !has_sound_slots(text))
            fail_msg("the sentence of '%s' is not sound", key);
        for (size_t j = 0; j < i; j++)
            if (strcmp(key, sentences[j].key) == 0)
                fail_msg("'%s' has two sentences", key);
    }
}

/* ---- code points ---- */

static const struct utf8_row {
    const char *name, *bytes;
    size_t length;
    long point;
} utf8_rows[] = {
    {"ascii", "A", 1, 'A'},
    {"two_bytes", "\xc2\xb0", 2, 0xb0},
    {"three_bytes", "\xe2\x82\xac", 3, 0x20ac},
    {"four_bytes", "\xf0\x9f\x8c\xb1", 4, 0x1f331},
    {"last_there_is", "\xf4\x8f\xbf\xbf", 4, 0x10ffff},
    {"beyond_the_last", "\xf4\x90\x80\x80", 1, -1},
    {"overlong_slash", "\xc0\xaf", 1, -1},
    {"overlong_nul", "\xe0\x80\x80", 1, -1},
    {"surrogate", "\xed\xa0\x80", 1, -1},
    {"cut_short", "\xe2\x82", 1, -1},
    {"stray_continuation", "\x80", 1, -1},
    {"never_valid", "\xff", 1, -1},
};

static void utf8_check(void **state)
{
    const struct utf8_row *r = *state;
    long point = 0;

    assert_int_equal(bd_utf8_next(r->bytes, &point), r->length);
    assert_int_equal(point, r->point);
}

static void harmless_check(void **state)
{
    bd_text t = empty();

    (void)state;
    bd_utf8_add_harmless(&t, "\xe2\x80\xae"
                             "a\xc2\x9b"
                             "b\xe2\x80\xa8"
                             "c\xef\xbb\xbf"
                             "d\xc3");
    assert_says(&t, "?a?b?c?d?", "marks and separators");
    assert_int_equal(bd_utf8_columns("\xc3\xa9t\xc3\xa9\xff", 6), 4);
}

#define MOST_TESTS (COUNT(amount_rows) + COUNT(argument_rows) + COUNT(utf8_rows) + 8)

int main(void)
{
    struct CMUnitTest tests[MOST_TESTS];
    size_t n = 0;

    for (size_t i = 0; i < COUNT(amount_rows); i++)
        tests[n++] = (struct CMUnitTest){amount_rows[i].name, amount_check, NULL, NULL,
                                         (void *)&amount_rows[i]};
    for (size_t i = 0; i < COUNT(argument_rows); i++)
        tests[n++] = (struct CMUnitTest){argument_rows[i].name, argument_check, NULL, NULL,
                                         (void *)&argument_rows[i]};
    for (size_t i = 0; i < COUNT(utf8_rows); i++)
        tests[n++] =
            (struct CMUnitTest){utf8_rows[i].name, utf8_check, NULL, NULL, (void *)&utf8_rows[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(apart_check);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(cut_check);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(cut_never_grows);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(line_without_sentence);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(several_arguments_in_order);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(language_read);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(sentences_are_sound);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(harmless_check);
    return _cmocka_run_group_tests("words", tests, n, NULL, NULL);
}
