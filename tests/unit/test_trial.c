/*
 * What a stopped dose may be: the ceiling where nothing else stops, else the
 * amount found by halving, never above what was asked and never one that stops.
 */
#include "job/trial.h"

#include <math.h>

#include "support/close.h"
#include "support/cmocka_all.h"

/* A rule that stops from `stops_at` grams on, and asks for care above `care_above`. */
typedef struct rule {
    double asked, stops_at, care_above;
} rule;

static bd_status judge(const void *what, double share, bd_card *card)
{
    const rule *r = what;
    double given = r->asked * share;

    if (given >= r->stops_at)
        bd_card_find(card, "limit.soil.yield", BD_STOP, W("plain"), BD_NO_ARGS, "");
    if (r->care_above > 0.0 && given > r->care_above)
        bd_card_find_limit(card, "limit.sidedress", BD_CARE, W("guard.over_soft_ceiling"),
                           BD_NO_ARGS, given, r->care_above, "g/m2", "");
    return BD_OK;
}

static const struct row {
    const char *name;
    rule rule;
    double ceiling, amount, usual;
} rows[] = {
    /* 1e9 and HUGE_VAL: nothing stops there, nothing is known */
    {"ceiling_alone_is_kept_to_the_last_digit", {100, 1e9, 0}, 7.3856, 7.3856, HUGE_VAL},
    {"halving_where_no_ceiling_is_known", {100, 41.27, 0}, HUGE_VAL, 41.2, HUGE_VAL},
    {"halving_below_a_ceiling_that_still_stops", {100, 41.27, 0}, 60, 41.2, HUGE_VAL},
    {"never_more_than_was_asked", {10, 1e9, 0}, 15, 10, HUGE_VAL},
    {"nothing_when_any_amount_stops", {10, 0, 0}, HUGE_VAL, 0, HUGE_VAL},
    {"nothing_when_the_ceiling_is_nought", {10, 1e9, 0}, 0, 0, HUGE_VAL},
    {"the_usual_beside_the_most", {100, 41.27, 2.5}, HUGE_VAL, 41.2, 2.5},
    {"no_usual_where_the_most_is_within_it", {100, 41.27, 50}, HUGE_VAL, 41.2, HUGE_VAL},
};

static void finds_the_most(void **state)
{
    const struct row *row = *state;
    bd_most most = bd_trial_most(judge, &row->rule, row->rule.asked, row->ceiling);

    assert_close(most.amount, row->amount, 1e-9);
    if (row->usual < HUGE_VAL)
        assert_close(most.usual, row->usual, 1e-9);
    else
        assert_true(most.usual >= HUGE_VAL);
}

int main(void)
{
    struct CMUnitTest tests[sizeof rows / sizeof rows[0]];

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        tests[i] = (struct CMUnitTest){rows[i].name, finds_the_most, NULL, NULL, (void *)&rows[i]};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
