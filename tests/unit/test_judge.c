#include "guard/judge.h"

#include <math.h>
#include <string.h>

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { FINDINGS_MAX = 3 };

typedef struct want {
    const char *id; /* NULL ends */
    bd_level level;
    const char *key;
    double limit; /* g/L, of a finding that compares; 0 of one that does not */
} want;

#define FOLIAR "limit.foliar"
#define LABEL  "limit.label"

/* The table of design section 5: what is asked, what is known, what must be said, and the most that
 * does not stop.  Strengths in g/L. */
static const struct row {
    const char *name;
    double asked, label_max;
    bool is_known, is_never, is_borrowed, is_soft; /* soft: of another rhythm or area */
    double most;
    bd_trust trust;
    double firm; /* in print, behind one of practice; 0: none */
    want wants[FINDINGS_MAX];
    double allowed; /* HUGE_VAL: nothing stops it */
} rows[] = {
    /* the label of the product in hand */
    {"label/over_stops",
     12,
     10,
     false,
     false,
     false,
     false,
     0,
     BD_TRUST_MEMORY,
     0,
     {{LABEL, BD_STOP, "guard.over_label", 10}, {FOLIAR, BD_CARE, "guard.no_ceiling", 0}},
     10},
    {"label/within_is_noted",
     8,
     10,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{LABEL, BD_NOTE, "guard.within_label", 10}, {FOLIAR, BD_NOTE, "guard.within", 20}},
     10},
    {"label/exactly_is_within",
     10,
     10,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{LABEL, BD_NOTE, "guard.within_label", 10}, {FOLIAR, BD_NOTE, "guard.within", 20}},
     10},
    {"label/over_stops_below_a_high_ceiling",
     12,
     10,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{LABEL, BD_STOP, "guard.over_label", 10}, {FOLIAR, BD_NOTE, "guard.within", 20}},
     10},
    {"label/over_both_stops_twice",
     30,
     10,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{LABEL, BD_STOP, "guard.over_label", 10}, {FOLIAR, BD_STOP, "guard.over_ceiling", 20}},
     10},
    /* a ceiling that is published or worked out */
    {"ceiling/published_over_stops",
     25,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_STOP, "guard.over_ceiling", 20}},
     20},
    {"ceiling/worked_out_over_stops",
     25,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_WORKED_OUT,
     0,
     {{FOLIAR, BD_STOP, "guard.over_ceiling", 20}},
     20},
    {"ceiling/within_is_noted",
     15,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_NOTE, "guard.within", 20}},
     20},
    {"ceiling/exactly_is_within",
     20,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_NOTE, "guard.within", 20}},
     20},
    {"ceiling/noise_of_doubles_is_within",
     20.000000001,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_NOTE, "guard.within", 20}},
     20},
    {"ceiling/a_millionth_over_stops",
     20.00002,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_STOP, "guard.over_ceiling", 20}},
     20},
    {"ceiling/over_within_the_label_asks_care",
     25,
     30,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PUBLISHED,
     0,
     {{LABEL, BD_NOTE, "guard.within_label", 30},
      {FOLIAR, BD_CARE, "guard.over_ceiling_within_label", 20}},
     30},
    /* ceiling 0 */
    {"never/stops_whatever_its_status",
     1,
     0,
     true,
     true,
     false,
     false,
     0,
     BD_TRUST_MEMORY,
     0,
     {{FOLIAR, BD_STOP, "guard.never", 0}},
     0},
    {"never/stops_within_a_label_too",
     1,
     5,
     true,
     true,
     false,
     false,
     0,
     BD_TRUST_PRACTICE,
     0,
     {{LABEL, BD_NOTE, "guard.within_label", 5}, {FOLIAR, BD_STOP, "guard.never", 0}},
     0},
    /* a ceiling of common practice or from memory */
    {"soft/practice_over_asks_care",
     25,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PRACTICE,
     0,
     {{FOLIAR, BD_CARE, "guard.over_soft_ceiling", 20}},
     HUGE_VAL},
    {"soft/memory_over_asks_care",
     25,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_MEMORY,
     0,
     {{FOLIAR, BD_CARE, "guard.over_soft_ceiling", 20}},
     HUGE_VAL},
    {"soft/five_times_over_asks_care_in_stronger_words",
     101,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PRACTICE,
     0,
     {{FOLIAR, BD_CARE, "guard.far_over", 20}},
     HUGE_VAL},
    {"soft/within_is_noted",
     15,
     0,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PRACTICE,
     0,
     {{FOLIAR, BD_NOTE, "guard.within", 20}},
     HUGE_VAL},
    {"soft/label_still_stops",
     25,
     22,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PRACTICE,
     0,
     {{LABEL, BD_STOP, "guard.over_label", 22}, {FOLIAR, BD_CARE, "guard.over_soft_ceiling", 20}},
     22},
    {"soft/over_within_the_label_names_both",
     25,
     30,
     true,
     false,
     false,
     false,
     20,
     BD_TRUST_PRACTICE,
     0,
     {{LABEL, BD_NOTE, "guard.within_label", 30},
      {FOLIAR, BD_CARE, "guard.over_ceiling_within_label", 20}},
     30},
    /* nothing known */
    {"unknown/is_never_ok",
     1,
     0,
     false,
     false,
     false,
     false,
     0,
     BD_TRUST_MEMORY,
     0,
     {{FOLIAR, BD_CARE, "guard.no_ceiling", 0}},
     HUGE_VAL},
    {"unknown/within_a_label_asks_care",
     1,
     5,
     false,
     false,
     false,
     false,
     0,
     BD_TRUST_MEMORY,
     0,
     {{LABEL, BD_NOTE, "guard.within_label", 5}, {FOLIAR, BD_CARE, "guard.no_ceiling", 0}},
     5},
    /* another crop group's ceiling */
    {"borrowed/within_asks_care",
     4,
     0,
     true,
     false,
     true,
     false,
     5,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_CARE, "guard.within_borrowed", 5}},
     5},
    {"borrowed/over_stops",
     6,
     0,
     true,
     false,
     true,
     false,
     5,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_STOP, "guard.over_ceiling", 5}},
     5},
    {"borrowed/soft_over_asks_care",
     6,
     0,
     true,
     false,
     true,
     false,
     5,
     BD_TRUST_PRACTICE,
     0,
     {{FOLIAR, BD_CARE, "guard.over_soft_ceiling", 5}},
     HUGE_VAL},
    /* a ceiling for every watering, the dose for now and then */
    {"other_use/over_asks_care_and_never_stops",
     2,
     0,
     true,
     false,
     false,
     true,
     0.8,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_CARE, "guard.over_each_watering", 0.8}},
     HUGE_VAL},
    {"other_use/within_is_noted",
     0.5,
     0,
     true,
     false,
     false,
     true,
     0.8,
     BD_TRUST_PUBLISHED,
     0,
     {{FOLIAR, BD_NOTE, "guard.within", 0.8}},
     HUGE_VAL},
    /* a ceiling in print behind one of common practice */
    {"firm/over_it_stops_where_practice_only_asked_care",
     25,
     0,
     true,
     false,
     false,
     false,
     5,
     BD_TRUST_PRACTICE,
     20,
     {{FOLIAR, BD_CARE, "guard.over_soft_ceiling", 5}, {FOLIAR, BD_STOP, "guard.over_ceiling", 20}},
     20},
    {"firm/below_it_practice_asks_care",
     15,
     0,
     true,
     false,
     false,
     false,
     5,
     BD_TRUST_PRACTICE,
     20,
     {{FOLIAR, BD_CARE, "guard.over_soft_ceiling", 5}},
     20},
    {"firm/only_the_label_goes_over_it",
     25,
     30,
     true,
     false,
     false,
     false,
     5,
     BD_TRUST_PRACTICE,
     20,
     {{LABEL, BD_NOTE, "guard.within_label", 30},
      {FOLIAR, BD_CARE, "guard.over_ceiling_within_label", 5},
      {FOLIAR, BD_CARE, "guard.over_ceiling_within_label", 20}},
     30},
    {"firm/the_label_lifts_the_most_allowed_too",
     35,
     30,
     true,
     false,
     false,
     false,
     5,
     BD_TRUST_PRACTICE,
     20,
     {{LABEL, BD_STOP, "guard.over_label", 30},
      {FOLIAR, BD_CARE, "guard.far_over", 5},
      {FOLIAR, BD_STOP, "guard.over_ceiling", 20}},
     30},
    {"firm/behind_a_borrowed_one_it_is_over_everything_in_print",
     21,
     0,
     true,
     false,
     true,
     false,
     5,
     BD_TRUST_PRACTICE,
     20,
     {{FOLIAR, BD_CARE, "guard.over_soft_ceiling", 5}, {FOLIAR, BD_STOP, "guard.over_roof", 20}},
     20},
    {"firm/of_another_use_does_not_stop",
     25,
     0,
     true,
     false,
     false,
     true,
     5,
     BD_TRUST_PRACTICE,
     20,
     {{FOLIAR, BD_CARE, "guard.over_each_watering", 5}},
     HUGE_VAL},
};

static const bd_limit limit = {.material = "salt",
                               .crop_group = "tomato",
                               .crop_title = "tomatoes",
                               .value = {.source = "KEY"}};

static bd_judged judged_of(const struct row *r)
{
    return (bd_judged){.id = FOLIAR,
                       .name = "some salt",
                       .value = r->asked,
                       .unit = "g/L",
                       .label_max = r->label_max,
                       .ceiling = {.limit = r->is_known ? &limit : NULL,
                                   .most = r->most,
                                   .trust = r->trust,
                                   .is_never = r->is_never,
                                   .is_borrowed = r->is_borrowed,
                                   .firm = r->firm > 0.0 ? &limit : NULL,
                                   .firm_most = r->firm},
                       .other_use_key = r->is_soft ? "guard.over_each_watering" : NULL};
}

static void assert_found(const bd_card *card, const want *wants, const char *unit, double asked)
{
    size_t count = 0;

    while (count < FINDINGS_MAX && wants[count].id != NULL)
        count++;
    assert_int_equal(card->finding_count, count);
    for (size_t i = 0; i < count; i++) {
        const bd_finding *f = &card->findings[i];

        assert_string_equal(f->line.key, wants[i].key);
        assert_string_equal(f->id, wants[i].id);
        assert_int_equal(f->level, wants[i].level);
        if (!f->has_limit)
            continue;
        assert_close(f->limit, wants[i].limit, 1e-12);
        assert_close(f->value, asked, 0.0);
        assert_string_equal(f->unit, unit);
        assert_true(f->source[0] != '\0');
    }
}

static void assert_allowed(double got, double most)
{
    if (isinf(most))
        assert_true(isinf(got) && got > 0.0);
    else
        assert_close(got, most, 1e-12);
}

static void check(void **state)
{
    const struct row *r = *state;
    bd_judged judged = judged_of(r);
    bd_card card;

    bd_card_init(&card, "spray");
    assert_allowed(bd_judge(&card, &judged), r->allowed);
    assert_found(&card, r->wants, "g/L", r->asked);
    assert_int_equal(bd_card_status(&card, NULL), BD_OK);
    bd_card_clear(&card);
}

/* What is said to be the most that does not stop does not stop, and a little more does. */
static void check_allowed(void **state)
{
    const struct row *r = *state;

    if (isinf(r->allowed))
        return;
    for (int i = 0; i < 2; i++) {
        bd_judged judged = judged_of(r);
        bd_card card;

        bd_card_init(&card, "spray");
        judged.value = i == 0 ? r->allowed : r->allowed * 1.01 + 0.001;
        (void)bd_judge(&card, &judged);
        assert_int_equal(bd_card_verdict(&card) == BD_STOP, i == 1);
        bd_card_clear(&card);
    }
}

/* Limits of mg/L against doses of g/L. */
static void scale_carries_the_ceiling_into_the_unit(void **state)
{
    bd_judged judged = {.id = FOLIAR,
                        .name = "K",
                        .value = 0.35,
                        .unit = "g/L",
                        .ceiling = {.limit = &limit, .most = 300, .trust = BD_TRUST_PUBLISHED},
                        .ceiling_scale = 1e-3};
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    assert_allowed(bd_judge(&card, &judged), 0.3);
    assert_int_equal(bd_card_verdict(&card), BD_STOP);
    assert_close(card.findings[0].limit, 0.3, 1e-12);
    bd_card_clear(&card);
}

static void an_extra_check_may_be_silent(void **state)
{
    bd_judged judged = {
        .id = FOLIAR, .name = "K", .value = 1, .unit = "g/L", .is_silent_when_unknown = true};
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    assert_allowed(bd_judge(&card, &judged), HUGE_VAL);
    assert_int_equal(card.finding_count, 0);
    bd_card_clear(&card);
}

static void nothing_of_what_is_never_given_is_no_finding(void **state)
{
    bd_judged judged = {.id = FOLIAR,
                        .name = "lime",
                        .value = 0,
                        .unit = "g/L",
                        .ceiling = {.limit = &limit, .is_never = true}};
    bd_card card;

    (void)state;
    bd_card_init(&card, "spray");
    assert_allowed(bd_judge(&card, &judged), 0.0);
    assert_int_equal(card.finding_count, 0);
    bd_card_clear(&card);
}

static const struct over_row {
    const char *name;
    double a, b;
    bool is_over;
} overs[] = {
    {"over/more", 2, 1, true},
    {"over/less", 1, 2, false},
    {"over/equal", 1, 1, false},
    {"over/noise", 1 + 1e-12, 1, false},
    {"over/computed_from_its_limit", 0.1 + 0.2, 0.3, false},
    {"over/nothing_at_all", 1e-300, 0, true},
    {"over/not_a_number", (double)NAN, 1, true},
    {"over/infinite", HUGE_VAL, 1, true},
    {"over/no_limit", 1e300, HUGE_VAL, false},
};

static void check_over(void **state)
{
    const struct over_row *r = *state;

    assert_int_equal(bd_is_over(r->a, r->b), r->is_over);
}

int main(void)
{
    struct CMUnitTest tests[2 * COUNT_OF(rows) + COUNT_OF(overs) + 3];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(rows); i++) {
        tests[n++] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
        tests[n++] = (struct CMUnitTest){rows[i].name, check_allowed, NULL, NULL, (void *)&rows[i]};
    }
    for (size_t i = 0; i < COUNT_OF(overs); i++)
        tests[n++] = (struct CMUnitTest){overs[i].name, check_over, NULL, NULL, (void *)&overs[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(scale_carries_the_ceiling_into_the_unit);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(an_extra_check_may_be_silent);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(nothing_of_what_is_never_given_is_no_finding);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
