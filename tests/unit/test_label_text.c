#include "request/label_text.h"

#include <math.h>
#include <string.h>

#include "model/oxide.h"
#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { SHARES_MAX = 5 };

typedef struct want {
    const char *form; /* NULL ends */
    double percent;
} want;

/* Labels that are read, design section 4: percents to half the last digit of the source. */
static const struct read_row {
    const char *name, *text;
    bd_convention convention, read_as;
    bool is_assumed, is_w_v;
    want wants[SHARES_MAX];
    double tolerance;
    const char *source;
} reads[] = {
    {"read/hyphens_are_oxides",
     "13-0-46",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     false,
     {{"N", 13}, {"P2O5", 0}, {"K2O", 46}, {"K", 38.19}},
     0.005,
     "46 x 0.83015"},
    {"read/hyphens_said_to_be_oxides",
     "13-0-46",
     BD_CONVENTION_OXIDE,
     BD_CONVENTION_OXIDE,
     false,
     false,
     {{"K2O", 46}},
     1e-9,
     "definition"},
    {"read/hyphens_said_to_be_elements",
     "13-0-38",
     BD_CONVENTION_ELEMENT,
     BD_CONVENTION_ELEMENT,
     false,
     false,
     {{"N", 13}, {"K", 38}, {"K2O", 45.775}},
     0.005,
     "38 / 0.83015"},
    {"read/blanks_around_hyphens",
     " 13 - 0 - 46 ",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     false,
     {{"N", 13}, {"P", 0}, {"K2O", 46}},
     1e-9,
     "definition"},
    {"read/decimals",
     "15.5-0-0",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     false,
     {{"N", 15.5}, {"P", 0}, {"K", 0}},
     1e-9,
     "definition"},
    {"read/ratio_with_total",
     "2:3:2 (22)",
     BD_CONVENTION_NONE,
     BD_CONVENTION_RATIO,
     true,
     false,
     {{"N", 6.29}, {"P", 9.43}, {"K", 6.29}, {"P2O5", 21.6}, {"K2O", 7.57}},
     0.0086,
     "22 x 2/7, 3/7, 2/7; printed 6.29, 9.43, 6.29, 21.6, 7.6"},
    {"read/ratio_of_the_south_african_page",
     "2:3:4(37)",
     BD_CONVENTION_NONE,
     BD_CONVENTION_RATIO,
     true,
     false,
     {{"N", 8.2}, {"P", 12.3}, {"K", 16.4}},
     0.05,
     "South African home-gardening page: 8.2, 12.3, 16.4"},
    {"read/ratio_said_to_be_one",
     "2:3:4 (30)",
     BD_CONVENTION_RATIO,
     BD_CONVENTION_RATIO,
     false,
     false,
     {{"N", 6.67}, {"P", 10}, {"K", 13.33}, {"P2O5", 22.9}, {"K2O", 16.06}},
     0.05,
     "2:3:4 (30) is 6.67 N, 22.9 P2O5, 16.1 K2O"},
    {"read/ratio_with_hyphens",
     "4-3-4 (33)",
     BD_CONVENTION_NONE,
     BD_CONVENTION_RATIO,
     true,
     false,
     {{"N", 12}, {"P", 9}, {"K", 12}},
     1e-9,
     "4:3:4 (33) = 12, 9, 12 %"},
    {"read/ratio_with_percent_sign",
     "2:3:2 (22 %)",
     BD_CONVENTION_NONE,
     BD_CONVENTION_RATIO,
     true,
     false,
     {{"N", 6.29}},
     0.005,
     "22 x 2/7"},
    {"read/ratio_and_more",
     "2:3:2 (22) + 0.5 Zn",
     BD_CONVENTION_NONE,
     BD_CONVENTION_RATIO,
     true,
     false,
     {{"P", 9.43}, {"Zn", 0.5}},
     0.005,
     "22 x 3/7"},
    {"read/australian_superphosphate",
     "0:8.8:0:11",
     BD_CONVENTION_ELEMENT,
     BD_CONVENTION_ELEMENT,
     false,
     false,
     {{"N", 0}, {"P", 8.8}, {"K", 0}, {"S", 11}, {"P2O5", 20.16}},
     0.005,
     "Australian style: N, P, K, S in that order; 8.8 / 0.43643"},
    {"read/plus_an_oxide",
     "0-0-50 + 45 SO3",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     false,
     {{"K2O", 50}, {"SO3", 45}, {"S", 18.02}},
     0.005,
     "45 x 0.40046"},
    {"read/fourth_number_names_itself",
     "0-0-50-17S",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     false,
     {{"K2O", 50}, {"S", 17}},
     1e-9,
     "trade habit"},
    {"read/comma_between",
     "0-0-50, 45 SO3",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     false,
     {{"K2O", 50}, {"SO3", 45}},
     1e-9,
     "header"},
    {"read/named",
     "N 13, K2O 46",
     BD_CONVENTION_NONE,
     BD_CONVENTION_NAMED,
     false,
     false,
     {{"N", 13}, {"K2O", 46}},
     1e-9,
     "header"},
    {"read/named_number_first",
     "13 % N + 38.2 % K",
     BD_CONVENTION_NONE,
     BD_CONVENTION_NAMED,
     false,
     false,
     {{"N", 13}, {"K", 38.2}},
     1e-9,
     "header"},
    {"read/named_without_blanks",
     "16MgO,33SO3",
     BD_CONVENTION_NONE,
     BD_CONVENTION_NAMED,
     false,
     false,
     {{"MgO", 16}, {"Mg", 9.65}, {"SO3", 33}, {"S", 13.22}},
     0.005,
     "16 x 0.60304"},
    {"read/by_volume",
     "4-3-8 w/v",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     true,
     {{"N", 4}, {"P2O5", 3}, {"K2O", 8}},
     1e-9,
     "header"},
    {"read/by_weight_said",
     "4-3-8 w/w",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     false,
     {{"N", 4}},
     1e-9,
     "header"},
    {"read/by_volume_then_more",
     "4-3-8 w/v + 0.1 Fe",
     BD_CONVENTION_NONE,
     BD_CONVENTION_OXIDE,
     true,
     true,
     {{"K2O", 8}, {"Fe", 0.1}},
     1e-9,
     "header"},
};

static double percent_of(const bd_label *label, const char *form_name)
{
    bd_nutrient_form form;

    assert_true(bd_nutrient_find(form_name, strlen(form_name), &form));
    assert_true(label->declares[form.nutrient]);
    return 100.0 * bd_as_form(form, label->share[form.nutrient]);
}

static void check_read(void **state)
{
    const struct read_row *r = *state;
    bd_label label;
    bd_error err = {.status = BD_OK};
    bool is_near = true;

    if (bd_label_read(r->text, r->convention, &label, &err) != BD_OK)
        fail_msg("%s: %s; accepted: %s", r->text, err.text, err.accepts);
    assert_int_equal(label.convention, r->read_as);
    assert_int_equal(label.is_assumed, r->is_assumed);
    assert_int_equal(label.is_w_v, r->is_w_v);
    for (size_t i = 0; i < SHARES_MAX && r->wants[i].form != NULL; i++)
        assert_close(percent_of(&label, r->wants[i].form), r->wants[i].percent, r->tolerance);
    assert_int_equal(bd_label_check(&label, NULL, &is_near, &err), BD_OK);
    assert_false(is_near);
}

/* Half of the last printed digit, as the form is counted on the label. */
static const struct digit_row {
    const char *name, *text, *form;
    double half;
} digits[] = {
    {"digit/whole", "13-0-46", "K2O", 0.5},
    {"digit/one_decimal", "13-0-46.5", "K2O", 0.05},
    {"digit/two_decimals", "13.75-0-46", "N", 0.005},
    {"digit/point_without_decimals", "13-0-46.", "K2O", 0.5},
    {"digit/named", "0-0-50 + 18.0 S", "S", 0.05},
    {"digit/ratio_shares_that_of_its_total", "2:3:2 (22)", "P", 0.5 * 3 / 7},
};

static void check_digit(void **state)
{
    const struct digit_row *r = *state;
    bd_label label;
    bd_nutrient_form form;

    assert_int_equal(bd_label_read(r->text, BD_CONVENTION_NONE, &label, NULL), BD_OK);
    assert_true(bd_nutrient_find(r->form, strlen(r->form), &form));
    assert_close(100.0 * bd_as_form(form, label.half_digit[form.nutrient]), r->half, 1e-9);
}

static const struct refuse_row {
    const char *name, *text;
    bd_convention convention;
    bd_status status;
    const char *says, *accepts; /* parts of the message */
} refusals[] = {
    {"refuse/colons_alone", "2:3:4", BD_CONVENTION_NONE, BD_AMBIGUOUS, "'2:3:4'",
     "--convention element"},
    {"refuse/australian_without_convention", "0:8.8:0:11", BD_CONVENTION_NONE, BD_AMBIGUOUS,
     "'0:8.8:0:11'", "--convention element"},
    {"refuse/ratio_without_total", "2:3:4", BD_CONVENTION_RATIO, BD_MISSING, "total", "(30)"},
    {"refuse/ratio_as_oxides", "2:3:4 (30)", BD_CONVENTION_OXIDE, BD_CONFLICT, "ratio", "ratio"},
    {"refuse/ratio_of_nothing", "0:0:0 (30)", BD_CONVENTION_NONE, BD_CONFLICT, "ratio", ""},
    {"refuse/total_over_100", "2:3:4 (130)", BD_CONVENTION_NONE, BD_RANGE, "130", "100"},
    {"refuse/total_not_closed", "2:3:4 (30", BD_CONVENTION_NONE, BD_SYNTAX, "'2:3:4 (30'",
     "13-0-46"},
    {"refuse/total_missing", "2:3:4 ()", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/nothing", "", BD_CONVENTION_NONE, BD_SYNTAX, "", "13-0-46"},
    {"refuse/blanks", "  ", BD_CONVENTION_NONE, BD_SYNTAX, "", "13-0-46"},
    {"refuse/words", "potash", BD_CONVENTION_NONE, BD_SYNTAX, "potash", ""},
    {"refuse/one_number", "46", BD_CONVENTION_NONE, BD_SYNTAX, "46", ""},
    {"refuse/two_numbers", "13-46", BD_CONVENTION_NONE, BD_SYNTAX, "13-46", ""},
    {"refuse/five_numbers", "1:2:3:4:5", BD_CONVENTION_ELEMENT, BD_SYNTAX, "1:2:3:4:5", ""},
    {"refuse/fourth_without_name", "13-0-46-5", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/negative", "13--5-46", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/negative_named", "-13 N", BD_CONVENTION_NONE, BD_SYNTAX, "-13 N", ""},
    {"refuse/negative_behind_plus", "0-0-50 + -45 SO3", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/mark_in_front", ", N 13", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/decimal_comma", "15,5-0-0", BD_CONVENTION_NONE, BD_SYNTAX, "','", "point"},
    {"refuse/over_100_percent", "13-0-460", BD_CONVENTION_NONE, BD_RANGE, "460", "0 to 100"},
    {"refuse/not_a_number", "nan-0-46", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/infinity", "13-0-1e999", BD_CONVENTION_NONE, BD_RANGE, "1e999", ""},
    {"refuse/mixed_marks", "13-0:46", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/unknown_nutrient", "13-0-46 + 2 Xy", BD_CONVENTION_NONE, BD_SYNTAX, "Xy", ""},
    {"refuse/small_letters", "13-0-46 + 2 mgo", BD_CONVENTION_NONE, BD_SYNTAX, "mgo", ""},
    {"refuse/nutrient_without_number", "13-0-46 + S", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/ends_in_a_mark", "13-0-46 +", BD_CONVENTION_NONE, BD_SYNTAX, "", ""},
    {"refuse/nutrient_twice", "13-0-46 + 38 K", BD_CONVENTION_NONE, BD_CONFLICT, "K twice", ""},
    {"refuse/named_twice", "N 13, N 13", BD_CONVENTION_NONE, BD_CONFLICT, "N twice", ""},
    {"refuse/rubbish_behind", "13-0-46 organic", BD_CONVENTION_NONE, BD_SYNTAX, "organic", ""},
    {"refuse/line_end_is_shown_harmless", "13-0-46\n\x1b[2J", BD_CONVENTION_NONE, BD_SYNTAX, "?[2J",
     ""},
};

static bool is_harmless(const char *s)
{
    for (; *s != '\0'; s++)
        if ((unsigned char)*s < 0x20 || *s == 0x7f)
            return false;
    return true;
}

static void check_refusal(void **state)
{
    const struct refuse_row *r = *state;
    bd_label label;
    bd_error err = {.status = BD_OK};

    memset(&label, 0x5a, sizeof label);
    assert_int_equal(bd_label_read(r->text, r->convention, &label, &err), r->status);
    assert_int_equal(err.status, r->status);
    for (size_t i = 0; i < sizeof label; i++)
        assert_int_equal(((const unsigned char *)&label)[i], 0x5a);
    if (strstr(err.text, r->says) == NULL || strstr(err.accepts, r->accepts) == NULL)
        fail_msg("says '%s; accepted: %s'", err.text, err.accepts);
    assert_true(is_harmless(err.text));
    assert_int_not_equal(bd_label_read(r->text, r->convention, &label, NULL), BD_OK);
}

static const struct word_row {
    const char *name, *word;
    bd_status status;
    bd_convention convention;
} convention_words[] = {
    {"convention/oxide", "oxide", BD_OK, BD_CONVENTION_OXIDE},
    {"convention/element", "element", BD_OK, BD_CONVENTION_ELEMENT},
    {"convention/ratio", "ratio", BD_OK, BD_CONVENTION_RATIO},
    {"convention/capital", "Oxide", BD_UNKNOWN, BD_CONVENTION_NONE},
    {"convention/plural", "elements", BD_UNKNOWN, BD_CONVENTION_NONE},
    {"convention/nothing", "", BD_UNKNOWN, BD_CONVENTION_NONE},
};

static void check_word(void **state)
{
    const struct word_row *r = *state;
    bd_convention got = BD_CONVENTION_NONE;
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_convention_read(r->word, &got, &err), r->status);
    assert_int_equal(got, r->convention);
    if (r->status != BD_OK) {
        assert_string_equal(err.where, "--convention");
        assert_string_equal(err.accepts, "oxide, element or ratio");
    }
}

/* Any bytes at all are read or refused, never worse. */
static void every_prefix_and_slip_is_survived(void **state)
{
    static const char *const seeds[] = {"13-0-46", "2:3:2 (22) + 45 SO3", "N 13, K2O 46 w/v",
                                        "0:8.8:0:11"};
    static const char slips[] = "-:(), +%wN9.\x1b\xff";

    (void)state;
    for (size_t i = 0; i < COUNT_OF(seeds); i++) {
        size_t length = strlen(seeds[i]);

        for (size_t at = 0; at <= length; at++) {
            for (size_t k = 0; k < sizeof slips; k++) {
                char text[64] = "";
                bd_label label;

                memcpy(text, seeds[i], length);
                text[at] = slips[k];
                if (bd_label_read(text, BD_CONVENTION_ELEMENT, &label, NULL) != BD_OK)
                    continue;
                for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
                    assert_true(label.share[n] >= 0.0 && label.share[n] <= 1.0);
            }
        }
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(reads) + COUNT_OF(digits) + COUNT_OF(refusals) +
                            COUNT_OF(convention_words) + 1];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(reads); i++)
        tests[n++] = (struct CMUnitTest){reads[i].name, check_read, NULL, NULL, (void *)&reads[i]};
    for (size_t i = 0; i < COUNT_OF(digits); i++)
        tests[n++] =
            (struct CMUnitTest){digits[i].name, check_digit, NULL, NULL, (void *)&digits[i]};
    for (size_t i = 0; i < COUNT_OF(refusals); i++)
        tests[n++] =
            (struct CMUnitTest){refusals[i].name, check_refusal, NULL, NULL, (void *)&refusals[i]};
    for (size_t i = 0; i < COUNT_OF(convention_words); i++)
        tests[n++] = (struct CMUnitTest){convention_words[i].name, check_word, NULL, NULL,
                                         (void *)&convention_words[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_prefix_and_slip_is_survived);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
