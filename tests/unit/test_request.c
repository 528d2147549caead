#include "request/request.h"

#include <string.h>

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { WORDS_MAX = 24 };

static bd_request request; /* large; every reading starts it afresh */

static int count_words(const char *const words[WORDS_MAX])
{
    int n = 0;

    while (n < WORDS_MAX && words[n] != NULL)
        n++;
    return n;
}

static bd_status read_words(bd_job job, const char *const words[WORDS_MAX], bd_error *err)
{
    char *args[WORDS_MAX];
    int count = count_words(words);

    for (int i = 0; i < count; i++)
        args[i] = (char *)(uintptr_t)words[i];
    return bd_request_read(job, count, args, &request, err);
}

/* One option read into the canonical unit of its kind. */
static const struct value_row {
    const char *name;
    bd_job job;
    const char *words[WORDS_MAX];
    bd_option option;
    double want, tolerance;
    const char *source;
} values[] = {
    {"value/volume", BD_JOB_SPRAY, {"--tank", "15L"}, BD_OPT_TANK, 15, 1e-12, "L"},
    {"value/joined_by_equals", BD_JOB_SPRAY, {"--tank=15L"}, BD_OPT_TANK, 15, 1e-12, "L"},
    {"value/area", BD_JOB_SPRAY, {"--canopy", "1200 cm2"}, BD_OPT_CANOPY, 0.12, 1e-12, "m2"},
    {"value/wetting", BD_JOB_SPRAY, {"--wetting", "60 mL/m2"}, BD_OPT_WETTING, 0.06, 1e-12, "L/m2"},
    {"value/count", BD_JOB_SPRAY, {"--bags", "24"}, BD_OPT_BAGS, 24, 0, "count"},
    {"value/temperature",
     BD_JOB_SPRAY,
     {"--water-temperature", "59 F"},
     BD_OPT_WATER_TEMPERATURE,
     15,
     1e-9,
     "59 F = 15 C"},
    {"value/zero_degrees",
     BD_JOB_SPRAY,
     {"--water-temperature", "0 C"},
     BD_OPT_WATER_TEMPERATURE,
     0,
     1e-9,
     "design section 3: 0 to 60"},
    {"value/sixty_degrees",
     BD_JOB_SPRAY,
     {"--water-temperature", "60 C"},
     BD_OPT_WATER_TEMPERATURE,
     60,
     1e-9,
     "design section 3: 0 to 60"},
    {"value/ph", BD_JOB_SPRAY, {"--ph", "6.2"}, BD_OPT_PH, 6.2, 1e-12, "pH"},
    {"value/time", BD_JOB_FEED, {"--days", "3 week"}, BD_OPT_DAYS, 21, 1e-9, "d"},
    {"value/dilution",
     BD_JOB_FEED,
     {"--dilute", "1 part + 10 parts water"},
     BD_OPT_DILUTE,
     11,
     1e-12,
     "1 + 10 makes 11"},
    {"value/conductivity", BD_JOB_FEED, {"--ec", "1300 uS/cm"}, BD_OPT_EC, 1.3, 1e-9, "dS/m"},
    {"value/conductivity_of_nothing",
     BD_JOB_FEED,
     {"--water-ec", "0 dS/m"},
     BD_OPT_WATER_EC,
     0,
     0,
     "dS/m"},
    {"value/us_gallons_by_measures",
     BD_JOB_SPRAY,
     {"--tank", "1 gal", "--measures", "us"},
     BD_OPT_TANK,
     3.785411784,
     1e-12,
     "NIST Handbook 44"},
    {"value/measures_first",
     BD_JOB_SPRAY,
     {"--measures", "imperial", "--tank", "1 gal"},
     BD_OPT_TANK,
     4.54609,
     1e-12,
     "Weights and Measures Act 1985"},
    {"value/measures_joined_by_equals",
     BD_JOB_SPRAY,
     {"--tank", "1 gal", "--measures=us"},
     BD_OPT_TANK,
     3.785411784,
     1e-12,
     "NIST Handbook 44"},
};

static void check_value(void **state)
{
    const struct value_row *r = *state;
    bd_error err = {.status = BD_OK};
    const bd_value *v;

    if (read_words(r->job, r->words, &err) != BD_OK)
        fail_msg("%s: %s", err.where, err.text);
    v = bd_request_get(&request, r->option);
    assert_non_null(v);
    assert_close(v->number.typical, r->want, r->tolerance);
    assert_null(bd_request_get(&request, BD_OPT_NUTRIENTS));
}

/* Options of products: where each lands. */
static const struct product_row {
    const char *name;
    bd_job job;
    const char *words[WORDS_MAX];
    size_t count;
    const char *materials[3], *analyses[3], *targets[3]; /* NULL: not given */
} products[] = {
    {"product/one",
     BD_JOB_SPRAY,
     {"--material", "a", "--target", "K 2 g/L"},
     1,
     {"a"},
     {NULL},
     {"K 2 g/L"}},
    {"product/target_before_material",
     BD_JOB_SPRAY,
     {"--target", "K 2 g/L", "--material", "a"},
     1,
     {"a"},
     {NULL},
     {"K 2 g/L"}},
    {"product/label_before_material",
     BD_JOB_SPRAY,
     {"--analysis", "13-0-46", "--material", "a", "--target", "K 2 g/L"},
     1,
     {"a"},
     {"13-0-46"},
     {"K 2 g/L"}},
    {"product/label_last",
     BD_JOB_SPRAY,
     {"--material", "a", "--target", "K 2 g/L", "--analysis", "13-0-46"},
     1,
     {"a"},
     {"13-0-46"},
     {"K 2 g/L"}},
    {"product/own_label",
     BD_JOB_SPRAY,
     {"--analysis", "5-5-5", "--target", "K 2 g/L"},
     1,
     {NULL},
     {"5-5-5"},
     {"K 2 g/L"}},
    {"product/two_in_a_tank",
     BD_JOB_SPRAY,
     {"--material", "a", "--target", "K 2 g/L", "--material", "b", "--target", "Mg 1 g/L"},
     2,
     {"a", "b"},
     {NULL},
     {"K 2 g/L", "Mg 1 g/L"}},
    {"product/two_with_labels",
     BD_JOB_SPRAY,
     {"--material", "a", "--analysis", "13-0-46", "--target", "K 2 g/L", "--material", "b",
      "--analysis", "0-0-50", "--target", "K 1 g/L"},
     2,
     {"a", "b"},
     {"13-0-46", "0-0-50"},
     {"K 2 g/L", "K 1 g/L"}},
    {"product/own_label_then_material",
     BD_JOB_SPRAY,
     {"--analysis", "5-5-5", "--target", "K 2 g/L", "--material", "b", "--target", "Mg 1 g/L"},
     2,
     {NULL, "b"},
     {"5-5-5"},
     {"K 2 g/L", "Mg 1 g/L"}},
    {"product/two_own_labels",
     BD_JOB_SPRAY,
     {"--analysis", "5-5-5", "--target", "K 2 g/L", "--analysis", "0-0-50", "--target", "K 1 g/L"},
     2,
     {NULL},
     {"5-5-5", "0-0-50"},
     {"K 2 g/L", "K 1 g/L"}},
    {"product/none", BD_JOB_SPRAY, {"--tank", "15L"}, 0, {NULL}, {NULL}, {NULL}},
    {"product/other_options_between",
     BD_JOB_SPRAY,
     {"--material", "a", "--tank", "15L", "--target", "K 2 g/L", "--bags", "3", "--pure"},
     1,
     {"a"},
     {NULL},
     {"K 2 g/L"}},
};

static void assert_text(const bd_value *v, const char *text)
{
    assert_int_equal(v == NULL, text == NULL);
    if (text != NULL)
        assert_string_equal(v->text, text);
}

static void check_products(void **state)
{
    const struct product_row *r = *state;
    bd_error err = {.status = BD_OK};

    if (read_words(r->job, r->words, &err) != BD_OK)
        fail_msg("%s: %s", err.where, err.text);
    assert_int_equal(request.product_count, r->count);
    for (size_t i = 0; i < r->count; i++) {
        assert_text(bd_product_get(&request, i, BD_OPT_MATERIAL), r->materials[i]);
        assert_text(bd_product_get(&request, i, BD_OPT_ANALYSIS), r->analyses[i]);
        assert_text(bd_product_get(&request, i, BD_OPT_TARGET), r->targets[i]);
    }
}

static const struct refuse_row {
    const char *name;
    bd_job job;
    const char *words[WORDS_MAX];
    bd_status status;
    const char *where, *says, *accepts; /* parts of the message */
} refusals[] = {
    {"refuse/unknown_option",
     BD_JOB_SPRAY,
     {"--tenk", "15L"},
     BD_UNKNOWN,
     "--tenk",
     "not an option",
     "help spray"},
    {"refuse/two_dashes_alone", BD_JOB_SPRAY, {"--"}, BD_UNKNOWN, "--", "not an option", ""},
    {"refuse/option_of_another_job",
     BD_JOB_LABEL,
     {"13-0-46", "--tank", "15L"},
     BD_UNKNOWN,
     "--tank",
     "'label'",
     "help label"},
    {"refuse/no_value", BD_JOB_SPRAY, {"--tank"}, BD_MISSING, "--tank", "no value", ""},
    {"refuse/empty_value", BD_JOB_SPRAY, {"--tank="}, BD_SYNTAX, "--tank", "", ""},
    {"refuse/flag_with_value", BD_JOB_SPRAY, {"--pure=yes"}, BD_SYNTAX, "--pure", "no value", ""},
    {"refuse/twice",
     BD_JOB_SPRAY,
     {"--tank", "15L", "--tank", "15L"},
     BD_CONFLICT,
     "--tank",
     "twice",
     ""},
    {"refuse/kinds_without_their_bags",
     BD_JOB_SIDEDRESS,
     {"--bag-size", "20L x 30cm", "--bag-size", "40L x 30cm"},
     BD_CONFLICT,
     "--bags",
     "--bag-size 2 times",
     "one --bags for each --bag-size"},
    {"refuse/one_count_for_two_kinds",
     BD_JOB_SIDEDRESS,
     {"--bag-size", "20L x 30cm", "--bags", "3", "--bag-size", "40L x 30cm"},
     BD_CONFLICT,
     "--bags",
     "given once",
     "one --bags for each --bag-size"},
    {"refuse/plants_of_one_kind_only",
     BD_JOB_SIDEDRESS,
     {"--bags", "3", "--plants-per-bag", "2", "--bags", "4"},
     BD_CONFLICT,
     "--plants-per-bag",
     "given once",
     "or none"},
    {"refuse/volumes_of_two_kinds_of_three",
     BD_JOB_SIDEDRESS,
     {"--bags", "3", "--bags", "4", "--bags", "5", "--per-bag", "1L", "--per-bag", "2L"},
     BD_CONFLICT,
     "--per-bag",
     "2 times",
     "or one for all"},
    {"refuse/nine_kinds",
     BD_JOB_SIDEDRESS,
     {"--bags=1", "--bags=1", "--bags=1", "--bags=1", "--bags=1", "--bags=1", "--bags=1",
      "--bags=1", "--bags=1"},
     BD_RANGE,
     "--bags",
     "more than 8",
     ""},
    {"refuse/target_twice",
     BD_JOB_SPRAY,
     {"--material", "a", "--target", "K 1 g/L", "--target", "K 1 g/L"},
     BD_CONFLICT,
     "--target",
     "twice",
     "--material"},
    {"refuse/mass_for_a_volume",
     BD_JOB_SPRAY,
     {"--tank", "5 g"},
     BD_DIMENSION,
     "--tank",
     "a mass",
     "volume"},
    {"refuse/zero_tank", BD_JOB_SPRAY, {"--tank", "0 L"}, BD_RANGE, "--tank", "0 L", ""},
    {"refuse/negative_tank", BD_JOB_SPRAY, {"--tank", "-5 L"}, BD_RANGE, "--tank", "-5 L", ""},
    {"refuse/decimal_comma",
     BD_JOB_SPRAY,
     {"--tank", "1,5 L"},
     BD_SYNTAX,
     "--tank",
     "1,5 L",
     "point"},
    {"refuse/not_a_number", BD_JOB_SPRAY, {"--tank", "nan L"}, BD_SYNTAX, "--tank", "nan", ""},
    {"refuse/gallon_of_nobody",
     BD_JOB_SPRAY,
     {"--tank", "1 gal"},
     BD_AMBIGUOUS,
     "--tank",
     "gal",
     ""},
    {"refuse/measures_of_nobody",
     BD_JOB_SPRAY,
     {"--measures", "martian"},
     BD_UNKNOWN,
     "--measures",
     "martian",
     "metric"},
    {"refuse/measures_of_nobody_joined",
     BD_JOB_SPRAY,
     {"--measures=martian"},
     BD_UNKNOWN,
     "--measures",
     "martian",
     "metric"},
    {"refuse/no_bags", BD_JOB_SPRAY, {"--bags", "0"}, BD_RANGE, "--bags", "'0'", "whole number"},
    {"refuse/half_a_bag",
     BD_JOB_SPRAY,
     {"--bags", "2.5"},
     BD_RANGE,
     "--bags",
     "'2.5'",
     "whole number"},
    {"refuse/a_million_and_one_bags",
     BD_JOB_SPRAY,
     {"--bags", "1000001"},
     BD_RANGE,
     "--bags",
     "'1000001'",
     ""},
    {"refuse/bags_with_a_unit",
     BD_JOB_SPRAY,
     {"--bags", "3 bags"},
     BD_SYNTAX,
     "--bags",
     "3 bags",
     ""},
    {"refuse/ph_over_14", BD_JOB_SPRAY, {"--ph", "14.1"}, BD_RANGE, "--ph", "'14.1'", "0 to 14"},
    {"refuse/negative_ph", BD_JOB_SPRAY, {"--ph", "-1"}, BD_RANGE, "--ph", "'-1'", "0 to 14"},
    {"refuse/ice",
     BD_JOB_SPRAY,
     {"--water-temperature", "-0.1 C"},
     BD_RANGE,
     "--water-temperature",
     "-0.1 C",
     "0 C to 60 C"},
    {"refuse/scalding_water",
     BD_JOB_SPRAY,
     {"--water-temperature", "61 C"},
     BD_RANGE,
     "--water-temperature",
     "61 C",
     "0 C to 60 C"},
    {"refuse/range_that_ends_too_hot",
     BD_JOB_SPRAY,
     {"--water-temperature", "50..70 C"},
     BD_RANGE,
     "--water-temperature",
     "",
     "0 C to 60 C"},
    {"refuse/target_without_nutrient",
     BD_JOB_SPRAY,
     {"--target", "2.5 g/L"},
     BD_SYNTAX,
     "--target",
     "",
     ""},
    {"refuse/target_of_no_nutrient",
     BD_JOB_SPRAY,
     {"--target", "Xy 2.5 g/L"},
     BD_UNKNOWN,
     "--target",
     "Xy",
     ""},
    {"refuse/label_rate_of_a_length",
     BD_JOB_SPRAY,
     {"--label-max", "10 cm"},
     BD_DIMENSION,
     "--label-max",
     "",
     ""},
    {"refuse/dilution", BD_JOB_FEED, {"--dilute", "a lot"}, BD_SYNTAX, "--dilute", "", ""},
    {"refuse/bag_size", BD_JOB_SIDEDRESS, {"--bag-size", "big"}, BD_SYNTAX, "--bag-size", "", ""},
    {"refuse/word_too_many", BD_JOB_SPRAY, {"tomato"}, BD_SYNTAX, "", "'tomato'", "begin with --"},
    {"refuse/label_without_a_grade",
     BD_JOB_LABEL,
     {NULL},
     BD_MISSING,
     "label",
     "needs 1 word more",
     "bagdose label"},
    {"refuse/two_grades", BD_JOB_LABEL, {"13-0-46", "0-0-50"}, BD_SYNTAX, "", "'0-0-50'", ""},
    {"refuse/convert_without_words",
     BD_JOB_CONVERT,
     {NULL},
     BD_MISSING,
     "convert",
     "needs 2 words more",
     ""},
    {"refuse/convert_without_unit",
     BD_JOB_CONVERT,
     {"5 g"},
     BD_MISSING,
     "convert",
     "needs 1 word more",
     ""},
    {"refuse/nine_products",
     BD_JOB_SPRAY,
     {"--material", "a", "--material", "b", "--material", "c", "--material", "d", "--material", "e",
      "--material", "f", "--material", "g", "--material", "h", "--material", "i"},
     BD_RANGE,
     "--material",
     "more than 8",
     ""},
    {"refuse/escape_sequence_as_option",
     BD_JOB_SPRAY,
     {"--\x1b[2J", "1"},
     BD_UNKNOWN,
     "--?[2J",
     "",
     ""},
    {"refuse/escape_sequence_as_value",
     BD_JOB_SPRAY,
     {"--tank", "\x1b[2J"},
     BD_SYNTAX,
     "--tank",
     "?[2J",
     ""},
    {"refuse/endless_option",
     BD_JOB_SPRAY,
     {"--"
      "xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"
      "x"},
     BD_UNKNOWN,
     "--xxx",
     "",
     ""},
};

static void check_refusal(void **state)
{
    const struct refuse_row *r = *state;
    bd_error err = {.status = BD_OK};

    assert_int_equal(read_words(r->job, r->words, &err), r->status);
    assert_int_equal(err.status, r->status);
    assert_int_equal(bd_status_exit(err.status), 2);
    if (strstr(err.where, r->where) == NULL || strstr(err.text, r->says) == NULL ||
        strstr(err.accepts, r->accepts) == NULL)
        fail_msg("says '%s: %s; accepted: %s'", err.where, err.text, err.accepts);
}

static void label_rates_find_their_kind(void **state)
{
    static const struct {
        const char *text;
        bd_kind kind;
        double want;
    } rows[] = {{"10 g/L", BD_KIND_STRENGTH, 10},
                {"150 g/15L", BD_KIND_STRENGTH, 10},
                {"1 %", BD_KIND_STRENGTH, 10},
                {"30 g/m2", BD_KIND_MASS_PER_AREA, 30},
                {"2 g/plant", BD_KIND_MASS_PER_PLANT, 2},
                {"5 g/bag", BD_KIND_MASS_PER_BAG, 5},
                {"20 mL/10L", BD_KIND_VOLUME_PER_VOLUME, 2},
                {"2 L per 100 m2", BD_KIND_VOLUME_PER_AREA, 0.02},
                {"5 mL/plant", BD_KIND_VOLUME_PER_PLANT, 0.005},
                {"30 mL/bag", BD_KIND_VOLUME_PER_BAG, 0.03}};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        const char *words[WORDS_MAX] = {"--label-max", rows[i].text};
        const bd_value *v;

        assert_int_equal(read_words(BD_JOB_SPRAY, words, NULL), BD_OK);
        v = bd_product_get(&request, 0, BD_OPT_LABEL_MAX);
        assert_non_null(v);
        assert_int_equal(v->kind, rows[i].kind);
        assert_close(v->number.typical, rows[i].want, 1e-12);
    }
}

/* Tables: every option is reachable from some job, no name twice, and jobs are found by their word.
 */
static void tables_hold_together(void **state)
{
    (void)state;
    for (int i = 0; i < BD_OPTION_COUNT; i++) {
        int takers = 0;

        for (int j = 0; j < BD_JOB_COUNT; j++)
            takers += bd_job_takes((bd_job)j, (bd_option)i);
        if (takers == 0)
            fail_msg("--%s belongs to no job", bd_option_about((bd_option)i)->name);
        assert_true(bd_option_about((bd_option)i)->help[0] != '\0');
        assert_int_equal(bd_option_about((bd_option)i)->what[0] == '\0',
                         bd_option_about((bd_option)i)->reader == BD_READ_FLAG);
        for (int k = 0; k < i; k++)
            assert_string_not_equal(bd_option_about((bd_option)i)->name,
                                    bd_option_about((bd_option)k)->name);
    }
    for (int j = 0; j < BD_JOB_COUNT; j++) {
        bd_job found = BD_JOB_COUNT;

        assert_int_equal(bd_job_find(bd_job_about((bd_job)j)->word, &found, NULL), BD_OK);
        assert_int_equal(found, j);
        for (int k = 0; k < j; k++)
            assert_int_not_equal(bd_job_about((bd_job)j)->letter, bd_job_about((bd_job)k)->letter);
    }
}

static void unknown_jobs_are_told_the_known_ones(void **state)
{
    bd_error err = {.status = BD_OK};
    bd_job job = BD_JOB_COUNT;

    (void)state;
    assert_int_equal(bd_job_find("spry", &job, &err), BD_UNKNOWN);
    assert_int_equal(job, BD_JOB_COUNT);
    assert_non_null(strstr(err.text, "'spry'"));
    for (int j = 0; j < BD_JOB_COUNT; j++)
        assert_non_null(strstr(err.accepts, bd_job_about((bd_job)j)->word));
    assert_non_null(strstr(err.accepts, "help"));
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(values) + COUNT_OF(products) + COUNT_OF(refusals) + 3];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(values); i++)
        tests[n++] =
            (struct CMUnitTest){values[i].name, check_value, NULL, NULL, (void *)&values[i]};
    for (size_t i = 0; i < COUNT_OF(products); i++)
        tests[n++] =
            (struct CMUnitTest){products[i].name, check_products, NULL, NULL, (void *)&products[i]};
    for (size_t i = 0; i < COUNT_OF(refusals); i++)
        tests[n++] =
            (struct CMUnitTest){refusals[i].name, check_refusal, NULL, NULL, (void *)&refusals[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(label_rates_find_their_kind);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(tables_hold_together);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(unknown_jobs_are_told_the_known_ones);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
