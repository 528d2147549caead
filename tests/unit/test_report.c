#include "support/cmocka_all.h"

#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "report/escape.h"
#include "report/report.h"
#include "report/wrap.h"
#include "support/cards.h"
#include "support/close.h"
#include "support/failing_malloc.h"
#include "words/utf8.h"

#define COUNT(rows) (sizeof(rows) / sizeof(rows)[0])

typedef bd_status (*renderer)(const bd_card *card, const bd_report_style *style, bd_sink sink,
                              bd_error *err);

static const renderer renderers[] = {bd_report_text, bd_report_json, bd_report_csv};
static const bd_report_style plain = {.language = BD_LANGUAGE_ENGLISH, .shows_working = true};

static int put_text(const char *bytes, size_t n, void *to)
{
    bd_text *t = to;

    bd_text_add_bytes(t, bytes, n);
    return bd_text_ok(t) ? 0 : -1;
}

static int refuse(const char *bytes, size_t n, void *to)
{
    (void)bytes;
    (void)n;
    (void)to;
    return -1;
}

/* What a renderer makes of a card; the caller clears it. */
static bd_text render(renderer r, const bd_card *card, bd_report_style style)
{
    bd_text t;
    bd_error err = {0};

    bd_text_init(&t, (size_t)1 << 24);
    assert_int_equal(r(card, &style, (bd_sink){put_text, &t}, &err), BD_OK);
    assert_int_equal(err.status, BD_OK);
    return t;
}

static bd_text render_sample(renderer r, bd_sample sample, bd_report_style style)
{
    bd_card card;
    bd_text t;

    bd_sample_card(sample, &card);
    t = render(r, &card, style);
    bd_card_clear(&card);
    return t;
}

/* ---- escaping ---- */

static const struct escape_row {
    const char *name;
    void (*escape)(bd_text *out, const char *s);
    const char *text, *want;
} escape_rows[] = {
    {"json/plain", bd_escape_json, "g/L", "\"g/L\""},
    {"json/empty", bd_escape_json, "", "\"\""},
    {"json/quote_and_backslash", bd_escape_json, "a\"b\\c", "\"a\\\"b\\\\c\""},
    {"json/line_ends", bd_escape_json, "a\r\n\tb", "\"a\\u000d\\n\\tb\""},
    {"json/controls", bd_escape_json, "\x01\x1b\x7f", "\"\\u0001\\u001b\\u007f\""},
    {"json/accents_stand", bd_escape_json, "\xc3\xa9 \xf0\x9f\x8c\xb1",
     "\"\xc3\xa9 \xf0\x9f\x8c\xb1\""},
    {"json/broken_utf8", bd_escape_json, "a\xff\xe2\x82",
     "\"a\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\""},
    {"csv/plain", bd_escape_csv, "g/L", "g/L"},
    {"csv/empty", bd_escape_csv, "", ""},
    {"csv/comma", bd_escape_csv, "a,b", "\"a,b\""},
    {"csv/quote", bd_escape_csv, "a\"b", "\"a\"\"b\""},
    {"csv/line_end", bd_escape_csv, "a\nb", "\"a\nb\""},
    {"csv/formula", bd_escape_csv, "=1+1", "'=1+1"},
    {"csv/formula_plus", bd_escape_csv, "+1", "'+1"},
    {"csv/formula_minus", bd_escape_csv, "-1", "'-1"},
    {"csv/formula_at", bd_escape_csv, "@A1", "'@A1"},
    {"csv/formula_tab", bd_escape_csv, "\t=1", "'\t=1"},
    {"csv/formula_in_quotes", bd_escape_csv, "=A1,\"x\"", "\"'=A1,\"\"x\"\"\""},
    {"csv/sign_inside_is_harmless", bd_escape_csv, "13-0-46", "13-0-46"},
};

static void escape_check(void **state)
{
    const struct escape_row *r = *state;
    bd_text t;

    bd_text_init(&t, 1000);
    r->escape(&t, r->text);
    assert_string_equal(t.s, r->want);
    bd_text_clear(&t);
}

/* ---- folding ---- */

static const struct wrap_row {
    const char *name, *text;
    size_t at, indent;
    const char *want;
} wrap_rows[] = {
    {"wrap/empty", "", 0, 0, "\n"},
    {"wrap/short", "one two", 0, 0, "one two\n"},
    {"wrap/blanks_in_front_go", "  one", 0, 0, "one\n"},
    {"wrap/blanks_behind_go", "one  ", 0, 0, "one\n"},
    {"wrap/last_column_is_used", "aaaa bbbbb", 70, 2, "aaaa bbbbb\n"},
    {"wrap/one_more_folds", "aaaa bbbbbb", 70, 2, "aaaa\n  bbbbbb\n"},
    {"wrap/accents_count_once", "\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9 bbbbb", 70, 2,
     "\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9 bbbbb\n"},
    {"wrap/long_word_stays_whole", "a bbbbbbbbbbbb c", 72, 74, NULL},
    {"wrap/number_keeps_its_unit", "weigh 2.5 g/L", 70, 0, "weigh\n2.5 g/L\n"},
    {"wrap/bracketed_number_too", "mass (2.39 kg)", 70, 0, "mass\n(2.39 kg)\n"},
    {"wrap/numbers_alone_may_part", "10 20 30 40", 74, 0, "10 20\n30 40\n"},
    {"wrap/cursor_past_the_edge", "one two", 90, 4, "one\n    two\n"},
};

static void wrap_check(void **state)
{
    const struct wrap_row *r = *state;
    const char *want = r->want;
    bd_text t;

    if (want == NULL) /* 74 blanks do not read well in a table */
        want = "a\n                                                                          "
               "bbbbbbbbbbbb\n                                                                 "
               "         c\n";
    bd_text_init(&t, 1000);
    bd_wrap_add(&t, r->text, r->at, r->indent);
    assert_string_equal(t.s, want);
    bd_text_clear(&t);
}

static void longest_piece(void **state)
{
    (void)state;
    assert_int_equal(bd_wrap_longest(""), 0);
    assert_int_equal(bd_wrap_longest("a bbb cc"), 3);
    assert_int_equal(bd_wrap_longest("give 2.5 g/L now"), 7);
}

/* ---- text ---- */

static const char spray_sheet[] =
    "Foliar spray of potassium nitrate 13-0-46 on beetroot, K 2.5 g/L\n"
    "\n"
    "OK\n"
    "\n"
    "WEIGH\n"
    "      6.55 g/L  potassium nitrate in each litre of spray\n"
    "      65.5 g    potassium nitrate in the tank of 10 L\n"
    "\n"
    "IT GIVES\n"
    "  N    0.851 g/L                 nitrogen in each litre\n"
    "  K      2.5 g/L = K2O 3.01 g/L  potassium in each litre\n"
    "  K     5.95 mg  = K2O 7.17 mg   potassium on the leaves of one bag\n"
    "        0.72 %                   of what the crop needs in a season\n"
    "\n"
    "SPRAY\n"
    "      57.1 mL  of spray wets 24 bags\n"
    "\n"
    "BAG\n"
    "    0.0707 m2  of bag mouth\n"
    "        35 cm  of soil\n"
    "\n"
    "SOLUTION\n"
    "  8.1 to 8.9 dS/m  at 25 degC (about 8.5)\n"
    "\n"
    "ALSO\n"
    "         7   figures of a kind no report knows are kept\n"
    "\n"
    "LIMITS\n"
    "  note  The strength is within its limit. 6.55 g/L against a limit of 10 g/L\n"
    "        [unit-test-source]\n"
    "\n"
    "CAUTIONS\n"
    "  H272  Feeds a fire: keep away from fuel, sawdust and heat. [unit-test-source]\n"
    "  C01   Wash the sprayer, hose and lance first.\n"
    "\n"
    "ASSUMED, because nobody said\n"
    "  -  Water that wets one square metre of leaf: 60 mL/m2 [common practice, no\n"
    "     source]\n"
    "  -  Three numbers with hyphens are N, P2O5 and K2O\n";

static const char spray_working[] =
    "\n"
    "WORKING\n"
    "  1.   2.5 g/L / (46 % x 0.830147) = 6.54663 g/L [atomic weights]\n"
    "  2.   6.54663 g/L x 10 L = 65.4663 g\n";

static const char stop_sheet[] =
    "Foliar spray of potassium nitrate 13-0-45 at 25 g/L\n"
    "\n"
    "STOP - do not use this mix\n"
    "\n"
    "AT MOST:\n"
    "      9.99 g/L  potassium nitrate in each litre of spray\n"
    "\n"
    "NOT THIS:\n"
    "  STOP  Stronger than the label of the product allows. 25 g/L against a limit of\n"
    "        10 g/L [label, as entered]\n"
    "\n"
    "IT WOULD GIVE\n"
    "  K     9.34 g/L = K2O 11.2 g/L  potassium in each litre\n"
    "\n"
    "LIMITS\n"
    "  CARE  The leaves are young.\n"
    "  note  A note comes after what matters.\n";

static void assert_sheet(bd_sample sample, bd_report_style style, const char *want)
{
    bd_text t = render_sample(bd_report_text, sample, style);

    assert_string_equal(t.s, want);
    bd_text_clear(&t);
}

static void text_of_a_good_card(void **state)
{
    char whole[sizeof spray_sheet + sizeof spray_working];
    bd_report_style quiet = plain;

    (void)state;
    quiet.shows_working = false;
    assert_sheet(BD_SAMPLE_SPRAY, quiet, spray_sheet);
    (void)snprintf(whole, sizeof whole, "%s%s", spray_sheet, spray_working);
    assert_sheet(BD_SAMPLE_SPRAY, plain, whole);
}

static void text_of_a_stop(void **state)
{
    bd_report_style quiet = plain;

    (void)state;
    quiet.shows_working = false;
    assert_sheet(BD_SAMPLE_STOP, quiet, stop_sheet);
}

static void text_of_a_lookup_has_no_verdict(void **state)
{
    (void)state;
    assert_sheet(BD_SAMPLE_EMPTY, plain, "");
}

/* A value over its limit never prints as the limit itself. */
static void text_tells_close_numbers_apart(void **state)
{
    bd_text t = render_sample(bd_report_text, BD_SAMPLE_CARE, plain);

    (void)state;
    assert_non_null(strstr(t.s, "3.004 g/L against a limit of 3 g/L"));
    bd_text_clear(&t);
}

/* An amount that a job forgot on a card that says stop stands under NOT THIS, never under WEIGH. */
static void text_of_a_stop_gives_no_instruction(void **state)
{
    bd_card card;
    bd_table *cans;
    bd_text t;

    (void)state;
    bd_sample_card(BD_SAMPLE_STOP, &card);
    bd_card_figure(&card, "product.per_tank", "plain", BD_ARGS(bd_name("in the tank")),
                   bd_exactly(250), "g");
    cans = bd_card_table(&card, "measure.cans", "plain", BD_ARGS(bd_name("Can by can")));
    bd_table_column(&card, cans, "mass", "group.product", "g");
    bd_table_number(&card, cans, 250);
    t = render(bd_report_text, &card, plain);
    assert_null(strstr(t.s, "\nWEIGH\n"));
    assert_true(strstr(t.s, "NOT THIS:") < strstr(t.s, "250 g  in the tank"));
    assert_true(strstr(t.s, "NOT THIS:") < strstr(t.s, "Can by can"));
    bd_text_clear(&t);
    bd_card_clear(&card);
}

/* What a feed is like stays under its own heading, the most of it that may be given above all. */
static void text_of_a_stop_still_tells_the_feed(void **state)
{
    bd_card card;
    bd_text t;

    (void)state;
    bd_sample_card(BD_SAMPLE_STOP, &card);
    bd_card_figure(&card, "feed.volume", "plain", BD_ARGS(bd_name("ready to pour")), bd_exactly(20),
                   "L");
    bd_card_figure(&card, "feed.dilution.least", "plain", BD_ARGS(bd_name("times as much")),
                   bd_exactly(28.7), "");
    bd_card_figure(&card, "feed.per_bag.most", "plain", BD_ARGS(bd_name("on one bag")),
                   bd_exactly(0.4999), "L");
    t = render(bd_report_text, &card, plain);
    assert_true(strstr(t.s, "AT MOST:") < strstr(t.s, "0.499 L    on one bag"));
    assert_true(strstr(t.s, "0.499 L    on one bag") < strstr(t.s, "NOT THIS:"));
    assert_non_null(strstr(t.s, "28.7      times as much"));
    assert_true(strstr(t.s, "28.7      times as much") < strstr(t.s, "NOT THIS:"));
    assert_non_null(strstr(t.s, "\nFEED\n        20 L  ready to pour\n"));
    bd_text_clear(&t);
    bd_card_clear(&card);
}

static void text_of_a_stop_in_the_words_of_the_job(void **state)
{
    static const struct {
        const char *job, *want;
    } rows[] = {
        {"weather", "STOP - do not spray now\n"},    {"label", "STOP - do not use this product\n"},
        {"sidedress", "STOP - do not give this\n"},  {"feed", "STOP - do not give this\n"},
        {"convert", "STOP - do not use this mix\n"},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        bd_card card;
        bd_text t;

        bd_card_init(&card, rows[i].job);
        bd_card_find(&card, "x", BD_STOP, "plain", BD_ARGS(bd_name("Why.")), "");
        t = render(bd_report_text, &card, plain);
        assert_memory_equal(t.s, rows[i].want, strlen(rows[i].want));
        bd_text_clear(&t);
        bd_card_clear(&card);
    }
}

static const struct pair_row {
    const char *name, *element, *oxide;
    bool is_pair;
} pair_rows[] = {
    {"pair/K", "nutrient.K.per_bag", "nutrient.K2O.per_bag", true},
    {"pair/P", "nutrient.P.per_bag", "nutrient.P2O5.per_bag", true},
    {"pair/Ca", "nutrient.Ca.per_bag", "nutrient.CaO.per_bag", true},
    {"pair/S", "nutrient.S.per_bag", "nutrient.SO3.per_bag", true},
    {"pair/Si", "nutrient.Si.per_bag", "nutrient.SiO2.per_bag", true},
    {"pair/S_is_not_Si", "nutrient.S.per_bag", "nutrient.SiO2.per_bag", false},
    {"pair/C_is_not_Cl", "nutrient.C.per_bag", "nutrient.Cl.per_bag", false},
    {"pair/same_measure_only", "nutrient.K.per_bag", "nutrient.K2O.per_litre", false},
    {"pair/label", "label.P", "label.P2O5", true},
    {"pair/not_across_kinds", "label.K", "nutrient.K2O", false},
    {"pair/not_without_element", "nutrient.N.per_bag", "nutrient.K2O.per_bag", false},
};

static void pair_check(void **state)
{
    const struct pair_row *r = *state;
    bd_card card;
    bd_text t;

    bd_card_init(&card, "spray");
    bd_card_figure(&card, r->oxide, "plain", BD_ARGS(bd_name("oxide")), bd_exactly(3), "g");
    bd_card_figure(&card, r->element, "plain", BD_ARGS(bd_name("element")), bd_exactly(2), "g");
    t = render(bd_report_text, &card, plain);
    assert_int_equal(strstr(t.s, " = ") != NULL, r->is_pair);
    assert_int_equal(strstr(t.s, "oxide") == NULL, r->is_pair);
    assert_non_null(strstr(t.s, "3 g"));
    assert_non_null(strstr(t.s, "2 g"));
    bd_text_clear(&t);
    bd_card_clear(&card);
}

static void drop_colour(char *s)
{
    char *to = s;

    while (*s != '\0')
        if (*s == '\x1b')
            s += strcspn(s, "m") + 1;
        else
            *to++ = *s++;
    *to = '\0';
}

static void colour_adds_nothing_to_read(void **state)
{
    bd_report_style coloured = plain;

    (void)state;
    coloured.has_colour = true;
    for (bd_sample sample = 0; sample < BD_SAMPLE_COUNT; sample++) {
        bd_text bare = render_sample(bd_report_text, sample, plain);
        bd_text bright = render_sample(bd_report_text, sample, coloured);

        assert_null(strchr(bare.s, '\x1b'));
        assert_true(sample == BD_SAMPLE_EMPTY || strchr(bright.s, '\x1b') != NULL);
        if (bright.length > 0)
            drop_colour(bright.s);
        assert_string_equal(bright.s, bare.s);
        bd_text_clear(&bare);
        bd_text_clear(&bright);
    }
}

/* ---- the width of a page ---- */

/* No line is wider than the page unless it is one word, and none ends in a blank. */
static void assert_fits_page(const char *sheet)
{
    while (*sheet != '\0') {
        size_t n = strcspn(sheet, "\n"), indent = strspn(sheet, " ");
        bool is_one_word = indent + strcspn(sheet + indent, " \n") == n;

        if (bd_utf8_columns(sheet, n) > BD_PAGE_COLUMNS && !is_one_word)
            fail_msg("too wide: %.*s", (int)n, sheet);
        if (n > 0 && sheet[n - 1] == ' ')
            fail_msg("ends in a blank: %.*s", (int)n, sheet);
        assert_true(sheet[n] == '\n');
        sheet += n + 1;
    }
}

static void samples_fit_the_page(void **state)
{
    (void)state;
    for (bd_sample sample = 0; sample < BD_SAMPLE_COUNT; sample++) {
        bd_text t = render_sample(bd_report_text, sample, plain);

        assert_fits_page(t.s);
        bd_text_clear(&t);
    }
}

/* A small generator of our own, so that a failure repeats everywhere. */
static unsigned long random_below(unsigned long *seed, unsigned long n)
{
    *seed = (*seed * 1103515245UL + 12345UL) & 0x7fffffffUL;
    return (*seed >> 8) % n;
}

static double random_amount(unsigned long *seed)
{
    return pow(10.0, (double)random_below(seed, 120) / 10.0 - 5.0);
}

static bd_range random_range(unsigned long *seed)
{
    double low = random_amount(seed);

    if (random_below(seed, 2) == 0)
        return bd_exactly(low);
    return bd_range_of(low, low * 2, low * 5);
}

static void random_sentence(unsigned long *seed, char *out, size_t size)
{
    static const char *const words[] = {"water",  "12.5",
                                        "g/L",    "(2.39",
                                        "kg)",    "a",
                                        "leaves", "\xc3\xa9t\xc3\xa9",
                                        "sack",   "potassium-nitrate",
                                        "0",      "\xc2\xb0"};
    size_t used = 0, count = random_below(seed, 40);

    out[0] = '\0';
    for (size_t i = 0; i < count && used + 30 < size; i++)
        used += (size_t)snprintf(out + used, size - used, "%s%s", i == 0 ? "" : " ",
                                 words[random_below(seed, COUNT(words))]);
}

static void add_random_table(bd_card *card, unsigned long *seed)
{
    static const char *const ids[] = {"measure.x", "rounds"};
    static const char *const units[] = {"", "g", "L", "share", "dS/m"};
    size_t columns = 1 + random_below(seed, 20), rows = random_below(seed, 4);
    bd_table *t = bd_card_table(card, ids[random_below(seed, 2)], "verdict.care", BD_NO_ARGS);
    char sentence[400];

    for (size_t i = 0; i < columns; i++)
        bd_table_column(card, t, "c", "heading.assumed", units[random_below(seed, COUNT(units))]);
    for (size_t i = 0; i < rows * columns; i++)
        switch (random_below(seed, 3)) {
        case 0:
            bd_table_empty(card, t);
            break;
        case 1:
            bd_table_number(card, t, random_amount(seed));
            break;
        default:
            random_sentence(seed, sentence, sizeof sentence);
            bd_table_line(card, t, "plain", BD_ARGS(bd_name(sentence)));
        }
}

static void fill_randomly(bd_card *card, unsigned long *seed)
{
    static const char *const ids[] = {"product.per_bag",
                                      "product.per_bag.permitted",
                                      "nutrient.K.per_bag",
                                      "nutrient.K2O.per_bag",
                                      "nutrient.Si.per_bag",
                                      "need.share",
                                      "solution.si.gypsum",
                                      "new.kind",
                                      "label.P",
                                      "label.P2O5"};
    static const char *const units[] = {"g", "g/L", "share", "", "mL", "degC", "kg/1000ft2"};
    char s[400];

    bd_card_init(card, "spray");
    random_sentence(seed, s, sizeof s);
    bd_card_title(card, "plain", BD_ARGS(bd_name(s)));
    for (size_t i = 0; i < COUNT(ids); i++) {
        random_sentence(seed, s, sizeof s);
        if (random_below(seed, 2) == 0)
            bd_card_figure(card, ids[i], "plain", BD_ARGS(bd_name(s)), random_range(seed),
                           units[random_below(seed, COUNT(units))]);
    }
    for (size_t i = random_below(seed, 4); i > 0; i--) {
        bd_range value = random_range(seed);
        const char *unit = units[random_below(seed, COUNT(units))];

        random_sentence(seed, s, sizeof s);
        bd_card_assume(card, "a", "plain", BD_ARGS(bd_name(s)), &value, unit, s);
        bd_card_find_limit(card, "f", (bd_level)random_below(seed, 3), "plain", BD_ARGS(bd_name(s)),
                           random_amount(seed), random_amount(seed), unit, s);
        bd_card_caution(card, "C01", "plain", BD_ARGS(bd_name(s)), s);
        bd_card_work(card, "plain", BD_ARGS(bd_name(s)), s);
        add_random_table(card, seed);
    }
}

static void random_cards_fit_the_page(void **state)
{
    enum { CARDS = 2000 };
    unsigned long seed = 1;

    (void)state;
    for (int i = 0; i < CARDS; i++) {
        bd_card card;
        bd_text t;

        fill_randomly(&card, &seed);
        t = render(bd_report_text, &card, plain);
        assert_fits_page(t.s);
        bd_text_clear(&t);
        bd_card_clear(&card);
    }
}

/* ---- JSON ---- */

static json_t *parse(const bd_text *t)
{
    json_error_t error;
    json_t *root = json_loads(t->s, JSON_REJECT_DUPLICATES, &error);

    if (root == NULL)
        fail_msg("line %d: %s", error.line, error.text);
    return root;
}

/* The members of an object, in order, as one string. */
static void join_names(json_t *object, char *out, size_t size)
{
    const char *name;
    json_t *value;
    size_t used = 0;

    out[0] = '\0';
    json_object_foreach(object, name, value) used +=
        (size_t)snprintf(out + used, size - used, "%s%s", used == 0 ? "" : " ", name);
}

static void assert_names(json_t *object, const char *want)
{
    char names[200];

    join_names(object, names, sizeof names);
    assert_string_equal(names, want);
}

static json_t *item(json_t *root, const char *list, size_t i)
{
    json_t *found = json_array_get(json_object_get(root, list), i);

    assert_non_null(found);
    return found;
}

/* The contract: members and their order. */
static void json_has_the_fields_of_the_schema(void **state)
{
    bd_text t = render_sample(bd_report_json, BD_SAMPLE_SPRAY, plain);
    json_t *root = parse(&t);

    (void)state;
    assert_names(root, "schema job title verdict figures assumptions findings cautions working "
                       "tables");
    assert_string_equal(json_string_value(json_object_get(root, "schema")), "bagdose.card/1");
    assert_string_equal(json_string_value(json_object_get(root, "job")), "spray");
    assert_string_equal(json_string_value(json_object_get(root, "verdict")), "ok");
    assert_names(item(root, "figures", 0), "id text value unit");
    assert_names(item(root, "figures", 11), "id text value low high unit");
    assert_names(item(root, "assumptions", 0), "id text value unit source");
    assert_names(item(root, "assumptions", 1), "id text source");
    assert_names(item(root, "findings", 0), "id level text value limit unit source");
    assert_names(item(root, "cautions", 0), "code text source");
    assert_names(item(root, "working", 0), "text source");
    json_decref(root);
    bd_text_clear(&t);
}

static void json_verdicts_and_levels(void **state)
{
    bd_text t = render_sample(bd_report_json, BD_SAMPLE_STOP, plain);
    json_t *root = parse(&t);

    (void)state;
    assert_string_equal(json_string_value(json_object_get(root, "verdict")), "stop");
    assert_string_equal(json_string_value(json_object_get(item(root, "findings", 1), "level")),
                        "stop");
    assert_names(item(root, "findings", 2), "id level text source");
    json_decref(root);
    bd_text_clear(&t);
}

static void json_numbers_have_twelve_digits(void **state)
{
    static const struct {
        double x;
        const char *want;
    } rows[] = {
        {5, "\"value\": 5,"},
        {0.1, "\"value\": 0.1,"},
        {6.5466284123456789, "\"value\": 6.54662841235,"},
        {1e300, "\"value\": 1e+300,"},
        {-3.5e-7, "\"value\": -3.5e-07,"},
        {123456789012.0, "\"value\": 123456789012,"},
        {HUGE_VAL, "\"value\": null,"},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        bd_card card;
        bd_text t;

        bd_card_init(&card, "spray");
        bd_card_figure(&card, "x", "plain", BD_NO_ARGS, bd_exactly(rows[i].x), "g");
        t = render(bd_report_json, &card, plain);
        assert_non_null(strstr(t.s, rows[i].want));
        json_decref(parse(&t));
        bd_text_clear(&t);
        bd_card_clear(&card);
    }
}

static void json_tables_have_rows_of_cells(void **state)
{
    bd_text t = render_sample(bd_report_json, BD_SAMPLE_SEASON, plain);
    json_t *root = parse(&t), *cans = item(root, "tables", 0),
           *rows = json_object_get(cans, "rows");

    (void)state;
    assert_names(cans, "id columns rows");
    assert_names(json_array_get(json_object_get(cans, "columns"), 0), "id text unit");
    assert_int_equal(json_array_size(rows), 4);
    for (size_t i = 0; i < json_array_size(rows); i++)
        assert_int_equal(json_array_size(json_array_get(rows, i)), 4);
    assert_close(json_number_value(json_array_get(json_array_get(rows, 3), 1)), 16, 0);
    assert_true(json_is_null(json_array_get(json_array_get(rows, 0), 3)));
    assert_true(json_is_string(json_array_get(json_array_get(rows, 3), 3)));
    json_decref(root);
    bd_text_clear(&t);
}

/* What a card holds is what a program reads back. */
static void assert_reads_back(const bd_card *card, json_t *root)
{
    assert_int_equal(json_array_size(json_object_get(root, "figures")), card->figure_count);
    assert_int_equal(json_array_size(json_object_get(root, "assumptions")), card->assumption_count);
    assert_int_equal(json_array_size(json_object_get(root, "findings")), card->finding_count);
    assert_int_equal(json_array_size(json_object_get(root, "cautions")), card->caution_count);
    assert_int_equal(json_array_size(json_object_get(root, "working")), card->step_count);
    assert_int_equal(json_array_size(json_object_get(root, "tables")), card->table_count);
    for (size_t i = 0; i < card->figure_count; i++) {
        double want = card->figures[i].value.typical;

        assert_close(json_number_value(json_object_get(item(root, "figures", i), "value")), want,
                     fabs(want) * 5e-12);
    }
}

static void json_reads_back(void **state)
{
    enum { CARDS = 500 };
    unsigned long seed = 2;

    (void)state;
    for (int i = 0; i < CARDS; i++) {
        bd_card card;
        json_t *root;
        bd_text t;

        if (i < BD_SAMPLE_COUNT)
            bd_sample_card((bd_sample)i, &card);
        else
            fill_randomly(&card, &seed);
        t = render(bd_report_json, &card, plain);
        root = parse(&t);
        assert_reads_back(&card, root);
        json_decref(root);
        bd_text_clear(&t);
        bd_card_clear(&card);
    }
}

/* ---- CSV ---- */

/* Behind the field at s; complains about what RFC 4180 does not allow. */
static const char *skip_field(const char *s)
{
    if (*s != '"') {
        s += strcspn(s, ",\r\n\"");
        assert_true(*s != '"');
        return s;
    }
    for (s++; *s != '\0'; s++)
        if (*s == '"' && *++s != '"')
            return s;
    fail_msg("a quote is not closed");
    return s;
}

/* Counts the records of s, each of which has ten fields. */
static size_t count_records(const char *s)
{
    size_t records = 0, fields = 1;

    while (*s != '\0') {
        s = skip_field(s);
        if (*s == ',') {
            fields++;
            s++;
            continue;
        }
        assert_true(s[0] == '\r' && s[1] == '\n');
        assert_int_equal(fields, 10);
        s += 2;
        fields = 1;
        records++;
    }
    return records;
}

static size_t records_wanted(const bd_card *card)
{
    size_t n = 2 + card->figure_count + card->assumption_count + card->finding_count +
               card->caution_count + card->step_count;

    for (size_t i = 0; i < card->table_count; i++)
        if (card->tables[i].column_count > 0)
            n += card->tables[i].cell_count;
    return n;
}

static void csv_is_a_table(void **state)
{
    enum { CARDS = 500 };
    unsigned long seed = 3;

    (void)state;
    for (int i = 0; i < CARDS; i++) {
        bd_card card;
        bd_text t;

        if (i < BD_SAMPLE_COUNT)
            bd_sample_card((bd_sample)i, &card);
        else
            fill_randomly(&card, &seed);
        t = render(bd_report_csv, &card, plain);
        assert_int_equal(count_records(t.s), records_wanted(&card));
        bd_text_clear(&t);
        bd_card_clear(&card);
    }
}

static void csv_records(void **state)
{
    static const struct {
        bd_sample sample;
        const char *record;
    } rows[] = {
        {BD_SAMPLE_SPRAY, "section,id,text,value,low,high,unit,limit,level,source\r\n"},
        {BD_SAMPLE_SPRAY, "\r\nfigure,solution.ec,at 25 degC,8.5,8.1,8.9,dS/m,,,\r\n"},
        {BD_SAMPLE_SPRAY, "\r\ncaution,C01,\"Wash the sprayer, hose and lance first.\",,,,,,,\r\n"},
        {BD_SAMPLE_STOP,
         "\r\nfinding,limit.label,Stronger than the label of the product allows.,25,,,"
         "g/L,9.998,stop,\"label, as entered\"\r\n"},
        {BD_SAMPLE_STOP, ",,,,,,stop,\r\n"},
        {BD_SAMPLE_SEASON, "\r\ntable:measure.cans,4.mass,,16,,,g,,,\r\n"},
        {BD_SAMPLE_HOSTILE, "\r\nfinding,limit.x,'-1+1 ?? ???,-3,,,'=g,-2,care,"},
    };

    (void)state;
    for (size_t i = 0; i < COUNT(rows); i++) {
        bd_text t = render_sample(bd_report_csv, rows[i].sample, plain);

        if (strstr(t.s, rows[i].record) == NULL)
            fail_msg("not in the table: %s", rows[i].record);
        bd_text_clear(&t);
    }
}

/* ---- all of them ---- */

/* Nothing of a hostile name reaches a terminal: line ends and our own text apart, no control byte.
 */
static void no_report_passes_control_characters(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(renderers); i++) {
        bd_text t = render_sample(renderers[i], BD_SAMPLE_HOSTILE, plain);

        for (const char *s = t.s; *s != '\0'; s++)
            assert_true((unsigned char)*s >= 0x20 || *s == '\n' || (*s == '\r' && s[1] == '\n'));
        assert_null(strchr(t.s, 0x7f));
        bd_text_clear(&t);
    }
}

static void sink_that_refuses_is_told(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(renderers); i++) {
        bd_error err = {0};
        bd_card card;

        bd_sample_card(BD_SAMPLE_SPRAY, &card);
        assert_int_equal(renderers[i](&card, &plain, (bd_sink){refuse, NULL}, &err), BD_FILE);
        assert_int_equal(err.status, BD_FILE);
        bd_card_clear(&card);
    }
}

static int count_calls(const char *bytes, size_t n, void *to)
{
    (void)bytes;
    (void)n;
    ++*(int *)to;
    return 0;
}

/* One allocation after the other fails: the report says so and gives the sink nothing. */
static void fail_each_allocation(renderer r, const bd_card *card)
{
    for (long n = 0;; n++) {
        bd_error err = {0};
        int calls = 0;
        bd_status status;

        bd_fail_allocation_after(n);
        status = r(card, &plain, (bd_sink){count_calls, &calls}, &err);
        if (!bd_allocations_allow()) {
            assert_int_equal(status, BD_OK);
            assert_int_equal(calls, 1);
            return;
        }
        assert_int_equal(status, BD_MEMORY);
        assert_int_equal(calls, 0);
    }
}

static void each_allocation_that_fails_is_told(void **state)
{
    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (bd_sample sample = 0; sample < BD_SAMPLE_COUNT; sample++) {
        bd_card card;

        bd_sample_card(sample, &card);
        for (size_t i = 0; i < COUNT(renderers); i++)
            fail_each_allocation(renderers[i], &card);
        bd_card_clear(&card);
    }
}

static const struct CMUnitTest whole_tests[] = {
    cmocka_unit_test(longest_piece),
    cmocka_unit_test(text_of_a_good_card),
    cmocka_unit_test(text_of_a_stop),
    cmocka_unit_test(text_of_a_lookup_has_no_verdict),
    cmocka_unit_test(text_tells_close_numbers_apart),
    cmocka_unit_test(text_of_a_stop_gives_no_instruction),
    cmocka_unit_test(text_of_a_stop_still_tells_the_feed),
    cmocka_unit_test(text_of_a_stop_in_the_words_of_the_job),
    cmocka_unit_test(colour_adds_nothing_to_read),
    cmocka_unit_test(samples_fit_the_page),
    cmocka_unit_test(random_cards_fit_the_page),
    cmocka_unit_test(json_has_the_fields_of_the_schema),
    cmocka_unit_test(json_verdicts_and_levels),
    cmocka_unit_test(json_numbers_have_twelve_digits),
    cmocka_unit_test(json_tables_have_rows_of_cells),
    cmocka_unit_test(json_reads_back),
    cmocka_unit_test(csv_is_a_table),
    cmocka_unit_test(csv_records),
    cmocka_unit_test(no_report_passes_control_characters),
    cmocka_unit_test(sink_that_refuses_is_told),
    cmocka_unit_test(each_allocation_that_fails_is_told),
};

int main(void)
{
    struct CMUnitTest
        tests[COUNT(escape_rows) + COUNT(wrap_rows) + COUNT(pair_rows) + COUNT(whole_tests)];
    size_t n = 0;

    for (size_t i = 0; i < COUNT(escape_rows); i++)
        tests[n++] = (struct CMUnitTest){escape_rows[i].name, escape_check, NULL, NULL,
                                         (void *)&escape_rows[i]};
    for (size_t i = 0; i < COUNT(wrap_rows); i++)
        tests[n++] =
            (struct CMUnitTest){wrap_rows[i].name, wrap_check, NULL, NULL, (void *)&wrap_rows[i]};
    for (size_t i = 0; i < COUNT(pair_rows); i++)
        tests[n++] =
            (struct CMUnitTest){pair_rows[i].name, pair_check, NULL, NULL, (void *)&pair_rows[i]};
    for (size_t i = 0; i < COUNT(whole_tests); i++)
        tests[n++] = whole_tests[i];
    return cmocka_run_group_tests(tests, NULL, NULL);
}
