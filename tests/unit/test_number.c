#include "base/number.h"

#include <locale.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

static const struct read_row {
    const char *name, *text;
    bd_status status;
    double want;
    const char *rest; /* what is left behind the number */
} reads[] = {
    {"read/whole", "2", BD_OK, 2, ""},
    {"read/point", "2.5 g/L", BD_OK, 2.5, " g/L"},
    {"read/no_digit_before_the_point", ".5", BD_OK, 0.5, ""},
    {"read/no_digit_behind_the_point", "5.", BD_OK, 5, ""},
    {"read/exponent", "1.2e3", BD_OK, 1200, ""},
    {"read/negative_exponent", "1E-2g", BD_OK, 0.01, "g"},
    {"read/e_of_a_unit_is_no_exponent", "5em", BD_OK, 5, "em"},
    {"read/sign", "-3.5", BD_OK, -3.5, ""},
    {"read/plus", "+3.5", BD_OK, 3.5, ""},
    {"read/leading_zeros", "007", BD_OK, 7, ""},
    {"read/second_point_is_left", "1.2.3", BD_OK, 1.2, ".3"},
    {"read/hexadecimal_stops_at_x", "0x10", BD_OK, 0, "x10"},
    {"read/too_small_is_zero", "1e-999", BD_OK, 0, ""},
    {"read/comma_of_a_list_is_left", "13, K2O 46", BD_OK, 13, ", K2O 46"},
    {"read/comma_at_the_end_is_left", "13,", BD_OK, 13, ","},
    {"read/nothing", "", BD_SYNTAX, 0, ""},
    {"read/blank", " 2", BD_SYNTAX, 0, ""},
    {"read/point_alone", ".", BD_SYNTAX, 0, ""},
    {"read/sign_alone", "-", BD_SYNTAX, 0, ""},
    {"read/two_signs", "--2", BD_SYNTAX, 0, ""},
    {"read/exponent_alone", "e3", BD_SYNTAX, 0, ""},
    {"read/nan", "nan", BD_SYNTAX, 0, ""},
    {"read/inf", "inf", BD_SYNTAX, 0, ""},
    {"read/minus_infinity", "-infinity", BD_SYNTAX, 0, ""},
    {"read/word", "ten", BD_SYNTAX, 0, ""},
    {"read/decimal_comma", "2,5", BD_SYNTAX, 0, ""},
    {"read/thousands_comma", "1,500", BD_SYNTAX, 0, ""},
    {"read/thousands_apostrophe", "1'500", BD_SYNTAX, 0, ""},
    {"read/comma_behind_decimals", "1.500,00", BD_SYNTAX, 0, ""},
    {"read/endless", "1111111111111111111111111111111111111111111111111", BD_SYNTAX, 0, ""},
    {"read/too_large", "1e301", BD_RANGE, 0, ""},
    {"read/far_too_large", "1e999", BD_RANGE, 0, ""},
    {"read/far_too_negative", "-1e999", BD_RANGE, 0, ""},
};

static void check_read(void **state)
{
    const struct read_row *r = *state;
    const char *end = NULL;
    double got = -77.0;
    bd_error err = {.status = BD_OK};

    assert_int_equal(bd_number_read(r->text, &end, &got, &err), r->status);
    assert_int_equal(err.status, r->status);
    assert_close(got, r->status == BD_OK ? r->want : -77.0, 1e-12 * fabs(r->want));
    if (r->status == BD_OK)
        assert_string_equal(end, r->rest);
    else
        assert_null(end);
}

/* With no `end` the number must be all there is. */
static void check_whole(void **state)
{
    const struct read_row *r = *state;
    double got = -77.0;
    bool is_whole = r->status == BD_OK && r->rest[0] == '\0';
    bd_status status = bd_number_read(r->text, NULL, &got, NULL);

    assert_int_equal(status == BD_OK, is_whole);
    if (!is_whole)
        assert_close(got, -77.0, 0.0);
}

static const struct print_row {
    const char *name;
    double x;
    int digits;
    bool is_plain;
    const char *want;
} prints[] = {
    {"print/twelve_digits", 1.0 / 3.0, 12, false, "0.333333333333"},
    {"print/no_trailing_zeros", 2.5, 12, false, "2.5"},
    {"print/exponent", 1.25e-7, 12, false, "1.25e-07"},
    {"print/whole", 227.0, 12, false, "227"},
    {"print/negative", -0.5, 12, false, "-0.5"},
    {"print/zero", 0.0, 12, false, "0"},
    {"plain/header_example_whole_part_is_kept", 1234.4, 3, true, "1234"},
    {"plain/header_example_small", 0.047312, 3, true, "0.0473"},
    {"plain/header_example_zeros_go", 2.50, 3, true, "2.5"},
    {"plain/whole", 15.0, 3, true, "15"},
    {"plain/rounds_up_to_the_next_ten", 99.96, 3, true, "100"},
    {"plain/rounds_up_to_one", 0.99996, 3, true, "1"},
    {"plain/zeros_of_a_whole_number_stay", 1200.0, 3, true, "1200"},
    {"plain/no_exponent_when_tiny", 0.00000012, 3, true, "0.00000012"},
    {"plain/no_exponent_when_large", 123456789.0, 3, true, "123456789"},
    {"plain/negative", -6.5466, 3, true, "-6.55"},
    {"plain/zero", 0.0, 3, true, "0"},
};

static void check_print(void **state)
{
    const struct print_row *r = *state;
    char buffer[BD_NUMBER_SIZE];

    assert_string_equal(r->is_plain ? bd_number_print_plain(r->x, r->digits, buffer)
                                    : bd_number_print(r->x, r->digits, buffer),
                        r->want);
}

static void prints_fit_their_buffer(void **state)
{
    static const double far[] = {1e300, -1e300, 1e-300, 1e15, 9.99999999999999e14, -1e-9, 1e-8};
    char buffer[BD_NUMBER_SIZE];

    (void)state;
    for (size_t i = 0; i < COUNT_OF(far); i++) {
        assert_true(strlen(bd_number_print(far[i], 17, buffer)) < BD_NUMBER_SIZE - 1);
        assert_true(strlen(bd_number_print_plain(far[i], 17, buffer)) < BD_NUMBER_SIZE - 1);
    }
}

static void there_and_back(void **state)
{
    static const double values[] = {6.5466284, 1e-9, 0.1, 227.27272727, 1e15, -40.0, 1.0 / 3.0};
    char buffer[BD_NUMBER_SIZE];

    (void)state;
    for (size_t i = 0; i < COUNT_OF(values); i++) {
        double back = -77.0;

        assert_int_equal(bd_number_read(bd_number_print(values[i], 17, buffer), NULL, &back, NULL),
                         BD_OK);
        assert_close(back, values[i], 0.0);
    }
}

/* A program around the library may have set a locale with a comma. */
static void a_locale_with_a_comma_changes_nothing(void **state)
{
    static const char *const names[] = {"de_DE.UTF-8", "fr_FR.UTF-8", "de_DE", "es_ES.UTF-8",
                                        "pt_BR.UTF-8"};
    const char *set = NULL;
    char buffer[BD_NUMBER_SIZE];
    double x = -77.0;

    (void)state;
    for (size_t i = 0; i < COUNT_OF(names) && set == NULL; i++)
        set = setlocale(LC_NUMERIC, names[i]);
    if (set == NULL || localeconv()->decimal_point[0] != ',')
        skip();
    assert_int_equal(bd_number_read("2.5", NULL, &x, NULL), BD_OK);
    assert_close(x, 2.5, 0.0);
    assert_int_equal(bd_number_read("2,5", NULL, &x, NULL), BD_SYNTAX);
    assert_string_equal(bd_number_print(2.5, 12, buffer), "2.5");
    assert_string_equal(bd_number_print_plain(1234.56, 6, buffer), "1234.56");
    (void)setlocale(LC_NUMERIC, "C");
}

int main(void)
{
    struct CMUnitTest tests[2 * COUNT_OF(reads) + COUNT_OF(prints) + 3];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(reads); i++) {
        tests[n++] = (struct CMUnitTest){reads[i].name, check_read, NULL, NULL, (void *)&reads[i]};
        tests[n++] = (struct CMUnitTest){reads[i].name, check_whole, NULL, NULL, (void *)&reads[i]};
    }
    for (size_t i = 0; i < COUNT_OF(prints); i++)
        tests[n++] =
            (struct CMUnitTest){prints[i].name, check_print, NULL, NULL, (void *)&prints[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(prints_fit_their_buffer);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(there_and_back);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(a_locale_with_a_comma_changes_nothing);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
