/* How much weaker: what is read, and what two people read differently. */
#include "support/cmocka_all.h"

#include <string.h>

#include "quantity/dilution.h"
#include "support/close.h"

#define COUNT(a) (sizeof(a) / sizeof((a)[0]))
#define NONE     BD_MEASURES_NONE

static const struct row {
    const char *name, *text;
    bd_measures measures;
    bd_status status;
    double want, tolerance;
    const char *says, *accepts;
} rows[] = {
    {"one_part_plus_ten", "1 part + 10 parts water", NONE, BD_OK, 11, 0, "", ""},
    {"one_part_to_ten", "1 part to 10 parts water", NONE, BD_OK, 11, 0, "", ""},
    {"two_parts_plus_ten", "2 parts + 10 parts water", NONE, BD_OK, 6, 0, "", ""},
    {"half_a_part", "0.5 part + 1 part water", NONE, BD_OK, 3, 0, "", ""},
    {"no_blank_at_plus", "1 part+10 parts water", NONE, BD_OK, 11, 0, "", ""},
    {"no_water_added", "1 part + 0 parts water", NONE, BD_OK, 1, 0, "", ""},
    {"volumes", "100 mL + 1 L water", NONE, BD_OK, 11, 4e-15, "", ""},
    {"one_in_eleven", "1 in 11", NONE, BD_OK, 11, 0, "", ""},
    {"one_part_in_eleven", "1 part in 11", NONE, BD_OK, 11, 0, "", ""},
    {"made_up", "1 L made up to 11 L", NONE, BD_OK, 11, 0, "", ""},
    {"made_up/two_units", "250 mL made up to 1 L", NONE, BD_OK, 4, 0, "", ""},
    {"made_up/us_measures", "1 cup made up to 1 gal", BD_MEASURES_US, BD_OK, 16, 4e-15, "", ""},
    {"undiluted", "undiluted", NONE, BD_OK, 1, 0, "", ""},
    {"none", " none ", NONE, BD_OK, 1, 0, "", ""},
    {"colon", "1:10", NONE, BD_AMBIGUOUS, 0, 0, "by 10 or by 11", "'1 in 10' (divides by 10)"},
    {"colon/other_reading", "1:10", NONE, BD_AMBIGUOUS, 0, 0, "'1:10'",
     "'1 part + 10 parts water' (divides by 11)"},
    {"colon/two_parts", "2 : 10", NONE, BD_AMBIGUOUS, 0, 0, "by 5 or by 6", "2 parts + 10"},
    {"slash", "1/10", NONE, BD_AMBIGUOUS, 0, 0, "by 10 or by 11", "1 in 10"},
    {"colon/backwards", "10:1", NONE, BD_SYNTAX, 0, 0, "'10:1'", "1 in 11"},
    {"colon/zero", "0:10", NONE, BD_SYNTAX, 0, 0, "'0:10'", "1 in 11"},
    {"parts_in_parts_of_water", "1 part in 10 parts water", NONE, BD_SYNTAX, 0, 0, "water",
     "1 in 11"},
    {"parts_of_what", "1 part + 10 parts", NONE, BD_SYNTAX, 0, 0, "water", "parts water"},
    {"parts_and_litres", "1 part + 10 L water", NONE, BD_SYNTAX, 0, 0, "water", "parts water"},
    {"volumes/of_what", "1 L + 10 L", NONE, BD_SYNTAX, 0, 0, "water", "parts water"},
    {"nothing_of_it", "0 parts + 5 parts water", NONE, BD_RANGE, 0, 0, "no dilution", "above zero"},
    {"one_in_none", "1 in 0", NONE, BD_RANGE, 0, 0, "no dilution", "above zero"},
    {"negative", "1 part + -5 parts water", NONE, BD_RANGE, 0, 0, "no dilution", "above zero"},
    {"made_up_to_less", "11 L made up to 1 L", NONE, BD_RANGE, 0, 0, "no dilution", "no less"},
    {"far_too_weak", "1 in 1000000", NONE, BD_RANGE, 0, 0, "no dilution", "100000 times"},
    {"made_up/masses", "1 g made up to 11 g", NONE, BD_DIMENSION, 0, 0, "a mass", "15 L"},
    {"made_up/range", "1..2 L made up to 11 L", NONE, BD_SYNTAX, 0, 0, "range", ""},
    {"made_up/bare_cup", "1 cup made up to 1 L", NONE, BD_AMBIGUOUS, 0, 0, "'cup'", "UScup"},
    {"decimal_comma", "1 part + 2,5 parts water", NONE, BD_SYNTAX, 0, 0, "','", "2.5"},
    {"word", "weak", NONE, BD_SYNTAX, 0, 0, "'weak'", "undiluted"},
    {"empty", "", NONE, BD_SYNTAX, 0, 0, "''", "undiluted"},
    {"nan", "1 in nan", NONE, BD_SYNTAX, 0, 0, "not a number", ""},
};

static void check(void **state)
{
    const struct row *r = *state;
    double got = -1;
    bd_error err = {0};
    bd_status status = bd_dilution_read(r->text, r->measures, &got, &err);

    if (status != r->status)
        fail_msg("'%s': status %d, wanted %d: %s", r->text, (int)status, (int)r->status, err.text);
    assert_int_equal(err.status, r->status);
    assert_close(got, status == BD_OK ? r->want : -1, r->tolerance);
    if (strstr(err.text, r->says) == NULL || strstr(err.accepts, r->accepts) == NULL)
        fail_msg("\"%s\" (%s) does not say \"%s\" (%s)", err.text, err.accepts, r->says,
                 r->accepts);
    assert_int_equal(bd_dilution_read(r->text, r->measures, &got, NULL), r->status);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(rows)];

    for (size_t i = 0; i < COUNT(rows); i++)
        tests[i] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    return cmocka_run_group_tests_name("dilution", tests, NULL, NULL);
}
