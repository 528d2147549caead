#include "guard/feed_rules.h"

#include <math.h>
#include <string.h>

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { WANTS_MAX = 4 };

static bd_catalogue *catalogue;

static int load(void **state)
{
    bd_error err = {.status = BD_OK};

    (void)state;
    if (bd_catalogue_load(NULL, &catalogue, &err) == BD_OK)
        return 0;
    print_error("%s: %s\n", err.where, err.text);
    return -1;
}

static int unload(void **state)
{
    (void)state;
    bd_catalogue_free(catalogue);
    return 0;
}

enum { ABSENT = -1, NOT_SAID = -1 };

typedef struct want {
    const char *id; /* NULL ends */
    int level;      /* bd_level, or ABSENT */
    double limit;   /* 0: the finding compares nothing */
} want;

/* Waiting times, rates and places, with the published figure each rests on. */
static const struct row {
    const char *name, *material, *other, *crop;
    double days_left, stored_days, medium_ph; /* NOT_SAID */
    double given_g, given_l, area_m2, rounds;
    bool is_dry, is_on_leaves, is_hard_water;
    want wants[WANTS_MAX];
    const char *source;
} rows[] = {
    {"manure/carrots_too_late",
     "poultry-litter",
     NULL,
     "carrot",
     119,
     NOT_SAID,
     NOT_SAID,
     500,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.manure.interval", BD_STOP, 120}},
     "120 days where the crop touches soil"},
    {"manure/carrots_just_in_time",
     "poultry-litter",
     NULL,
     "carrot",
     120,
     NOT_SAID,
     NOT_SAID,
     500,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.manure.interval", BD_NOTE, 120}},
     "120 days"},
    {"manure/sweetcorn_is_clear_of_the_soil",
     "cattle-manure-fresh",
     NULL,
     "sweetcorn",
     90,
     NOT_SAID,
     NOT_SAID,
     500,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.manure.interval", BD_NOTE, 90}},
     "90 days where it does not"},
    {"manure/sweetcorn_too_late",
     "cattle-manure-fresh",
     NULL,
     "sweetcorn",
     89,
     NOT_SAID,
     NOT_SAID,
     500,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.manure.interval", BD_STOP, 90}},
     "90 days"},
    {"manure/crop_not_said_takes_the_longer",
     "horse-manure-fresh",
     NULL,
     NULL,
     100,
     NOT_SAID,
     NOT_SAID,
     500,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.manure.interval", BD_STOP, 120}},
     "120 days"},
    {"manure/days_not_said_asks_care",
     "horse-manure-fresh",
     NULL,
     "carrot",
     NOT_SAID,
     NOT_SAID,
     NOT_SAID,
     500,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.manure.interval", BD_CARE, 0}},
     "120 days"},
    {"manure/compost_is_not_raw",
     "garden-compost",
     NULL,
     "carrot",
     10,
     NOT_SAID,
     NOT_SAID,
     500,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.manure.interval", ABSENT, 0}},
     "only raw manure"},
    {"urine/before_harvest",
     "urine",
     NULL,
     "carrot",
     29,
     200,
     NOT_SAID,
     0,
     1,
     1,
     1,
     false,
     false,
     false,
     {{"limit.urine.interval", BD_STOP, 30}, {"limit.urine.storage", ABSENT, 0}},
     "30 days, 180 days stored"},
    {"urine/interval_kept",
     "urine",
     NULL,
     "carrot",
     30,
     180,
     NOT_SAID,
     0,
     1,
     1,
     1,
     false,
     false,
     false,
     {{"limit.urine.interval", BD_NOTE, 30}, {"limit.urine.storage", ABSENT, 0}},
     "30 days, 180 days stored"},
    {"urine/fresh",
     "urine",
     NULL,
     "carrot",
     60,
     29,
     NOT_SAID,
     0,
     1,
     1,
     1,
     false,
     false,
     false,
     {{"limit.urine.storage", BD_STOP, 30}},
     "30 days for the own household"},
    {"urine/own_household_only",
     "urine",
     NULL,
     "carrot",
     60,
     30,
     NOT_SAID,
     0,
     1,
     1,
     1,
     false,
     false,
     false,
     {{"limit.urine.storage", BD_CARE, 180}},
     "180 days for others"},
    {"urine/storage_not_said",
     "urine",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     NOT_SAID,
     0,
     1,
     1,
     1,
     false,
     false,
     false,
     {{"limit.urine.storage", BD_CARE, 0}},
     "30 days"},
    {"urine/rate_within",
     "urine",
     NULL,
     "carrot",
     60,
     200,
     NOT_SAID,
     0,
     2,
     1,
     1,
     false,
     false,
     false,
     {{"limit.urine.rate", BD_NOTE, 4}},
     "4 L/m2 a crop"},
    {"urine/rate_counts_the_rounds",
     "urine",
     NULL,
     "carrot",
     60,
     200,
     NOT_SAID,
     0,
     2,
     1,
     3,
     false,
     false,
     false,
     {{"limit.urine.rate", BD_STOP, 4}},
     "3 x 2 L/m2 over 4"},
    {"urine/area_not_known",
     "urine",
     NULL,
     "carrot",
     60,
     200,
     NOT_SAID,
     0,
     2,
     0,
     1,
     false,
     false,
     false,
     {{"limit.urine.rate", ABSENT, 0}},
     "no area"},
    {"ash/within",
     "wood-ash-hardwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.0,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.ash.rate", BD_NOTE, 98}, {"limit.ash.ph", ABSENT, 0}, {"limit.ash.times", ABSENT, 0}},
     "98 g/m2 a year"},
    {"ash/over",
     "wood-ash-hardwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.0,
     99,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.ash.rate", BD_STOP, 98}},
     "98 g/m2 a year"},
    {"ash/twice_is_over",
     "wood-ash-hardwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.0,
     50,
     0,
     1,
     2,
     true,
     false,
     false,
     {{"limit.ash.rate", BD_STOP, 98}, {"limit.ash.times", BD_CARE, 0}},
     "2 x 50 g/m2 over 98"},
    {"ash/area_not_known",
     "wood-ash-hardwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.0,
     50,
     0,
     0,
     1,
     true,
     false,
     false,
     {{"limit.ash.rate", BD_CARE, 0}},
     "98 g/m2 a year"},
    {"ash/ph_at_the_limit",
     "wood-ash-softwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.5,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.ash.ph", BD_STOP, 6.5}},
     "no ash from pH 6.5"},
    {"ash/ph_below",
     "wood-ash-softwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.4,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"limit.ash.ph", ABSENT, 0}},
     "no ash from pH 6.5"},
    {"ash/ph_not_said_and_hard_water",
     "wood-ash-softwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     true,
     false,
     true,
     {{"limit.ash.ph", BD_CARE, 0}, {"limit.ash.water", BD_CARE, 0}},
     "pH 6.5"},
    {"gas/ash_with_urine",
     "wood-ash-hardwood",
     "urine",
     "carrot",
     60,
     200,
     6.0,
     50,
     1,
     1,
     1,
     false,
     false,
     false,
     {{"mix.ammonia", BD_STOP, 0}},
     "alkali sets ammonia free"},
    {"gas/ash_with_manure",
     "wood-ash-hardwood",
     "poultry-litter",
     "carrot",
     200,
     NOT_SAID,
     6.0,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"mix.ammonia", BD_STOP, 0}},
     "alkali sets ammonia free"},
    {"gas/eggshell_with_urea",
     "eggshell",
     "urea",
     "carrot",
     200,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"mix.ammonia", BD_STOP, 0}},
     "alkali sets ammonia free"},
    {"gas/ash_alone",
     "wood-ash-hardwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.0,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"mix.ammonia", ABSENT, 0}},
     "nothing to set free"},
    {"leaves/ash",
     "wood-ash-hardwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.0,
     50,
     0,
     1,
     1,
     false,
     true,
     false,
     {{"limit.leaves.alkaline", BD_STOP, 0}, {"limit.leaves", ABSENT, 0}},
     "never on leaves"},
    {"leaves/comfrey",
     "comfrey-leaf",
     NULL,
     "tomato",
     60,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     false,
     true,
     false,
     {{"limit.leaves.unclean", BD_STOP, 0}, {"limit.leaves", ABSENT, 0}},
     "ferments"},
    {"leaves/compost_water_asks_care",
     "garden-compost",
     NULL,
     "tomato",
     60,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     false,
     true,
     false,
     {{"limit.leaves", BD_CARE, 0}, {"limit.leaves.unclean", ABSENT, 0}},
     "practice"},
    {"leaves/poured",
     "wood-ash-hardwood",
     NULL,
     "carrot",
     60,
     NOT_SAID,
     6.0,
     50,
     0,
     1,
     1,
     false,
     false,
     false,
     {{"limit.leaves.alkaline", ABSENT, 0}, {"limit.leaves", ABSENT, 0}},
     "not on leaves"},
    {"side/banana_dug_in",
     "banana-peel-fresh",
     NULL,
     "tomato",
     60,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"feed.draw_down", BD_CARE, 0}, {"feed.animals", BD_NOTE, 0}},
     "traits; dug in, nothing stands in a bucket to ferment"},
    {"side/banana_water",
     "banana-peel-fresh",
     NULL,
     "tomato",
     60,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     false,
     false,
     false,
     {{"feed.draw_down", BD_NOTE, 0}},
     "traits"},
    {"side/seaweed_is_salty",
     "seaweed-fresh",
     NULL,
     "tomato",
     60,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"feed.salty", BD_NOTE, 0}, {"feed.draw_down", ABSENT, 0}},
     "traits"},
    {"own_label/nothing_to_say",
     NULL,
     NULL,
     "tomato",
     60,
     NOT_SAID,
     NOT_SAID,
     50,
     0,
     1,
     1,
     true,
     false,
     false,
     {{"feed.salty", ABSENT, 0}, {"limit.manure.interval", ABSENT, 0}},
     "nothing known"},
};

static const bd_material *material_of(const char *name)
{
    const bd_material *m = NULL;

    if (name != NULL)
        assert_int_equal(bd_catalogue_material(catalogue, name, &m, NULL), BD_OK);
    return m;
}

static bd_feed_facts facts_of(const struct row *r)
{
    bd_feed_facts f = {.catalogue = catalogue,
                       .materials = {material_of(r->material), material_of(r->other)},
                       .given_g = {r->given_g, r->given_g},
                       .given_l = {r->given_l, r->given_l},
                       .count = r->other == NULL ? 1 : 2,
                       .is_dry = r->is_dry,
                       .is_on_leaves = r->is_on_leaves,
                       .is_hard_water = r->is_hard_water,
                       .has_days_left = !(r->days_left < 0.0),
                       .has_medium_ph = !(r->medium_ph < 0.0),
                       .has_stored = !(r->stored_days < 0.0),
                       .days_left = r->days_left,
                       .medium_ph = r->medium_ph,
                       .stored_days = r->stored_days,
                       .area_m2 = r->area_m2,
                       .rounds = r->rounds};

    if (r->crop != NULL)
        assert_int_equal(bd_catalogue_crop(catalogue, r->crop, &f.crop, NULL), BD_OK);
    return f;
}

static const bd_finding *finding_of(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, id) == 0)
            return &card->findings[i];
    return NULL;
}

static void check(void **state)
{
    const struct row *r = *state;
    bd_feed_facts f = facts_of(r);
    bd_card card;

    bd_card_init(&card, "feed");
    bd_feed_rules_apply(&card, &f);
    for (size_t i = 0; i < WANTS_MAX && r->wants[i].id != NULL; i++) {
        const want *w = &r->wants[i];
        const bd_finding *found = finding_of(&card, w->id);

        if ((found == NULL) != (w->level == ABSENT))
            fail_msg("%s is %s", w->id, found == NULL ? "missing" : "there");
        if (found == NULL)
            continue;
        if ((int)found->level != w->level)
            fail_msg("%s has level %d, wanted %d", w->id, (int)found->level, w->level);
        assert_int_equal(found->has_limit, w->limit > 0.0);
        if (w->limit > 0.0)
            assert_close(found->limit, w->limit, 1e-9);
        assert_true(found->source[0] != '\0');
    }
    assert_int_equal(bd_card_status(&card, NULL), BD_OK);
    bd_card_clear(&card);
}

/* Days that are not a number never read as waited long enough. */
static void not_a_number_is_too_late(void **state)
{
    bd_feed_facts f = facts_of(&rows[0]);
    bd_card card;

    (void)state;
    bd_card_init(&card, "feed");
    f.days_left = (double)NAN;
    bd_feed_rules_apply(&card, &f);
    assert_int_equal(finding_of(&card, "limit.manure.interval")->level, BD_STOP);
    bd_card_clear(&card);
}

/* 98 g/m2 a year in print: over it within a label asks for care, over both stops. */
static void ash_with_a_label(void **state)
{
    static const struct {
        double given_g, label_g_per_m2;
        int level;
    } labels[] = {
        {150, 0, BD_STOP},   {150, 200, BD_CARE}, {200, 200, BD_CARE},
        {201, 200, BD_STOP}, {99, 50, BD_STOP},   {90, 200, BD_NOTE},
    };
    const struct row *over = NULL;

    (void)state;
    for (size_t i = 0; i < COUNT_OF(rows); i++)
        if (strcmp(rows[i].name, "ash/over") == 0)
            over = &rows[i];
    assert_non_null(over);
    for (size_t i = 0; i < COUNT_OF(labels); i++) {
        bd_feed_facts f = facts_of(over);
        bd_card card;
        const bd_finding *found;

        f.given_g[0] = labels[i].given_g;
        f.label_g_per_m2[0] = labels[i].label_g_per_m2;
        bd_card_init(&card, "feed");
        bd_feed_rules_apply(&card, &f);
        found = finding_of(&card, "limit.ash.rate");
        assert_non_null(found);
        assert_int_equal((int)found->level, labels[i].level);
        assert_close(found->limit, 98.0, 1e-9);
        bd_card_clear(&card);
    }
}

/* Of which materials a rate by area is told, and whether it needs the area. */
static void own_rates(void **state)
{
    static const struct {
        const char *material;
        double area_m2;
        bool wanted;
    } own[] = {
        {"wood-ash-softwood", 0.0, true},
        {"wood-ash-softwood", 1.0, true},
        {"urine", 0.0, false},
        {"urine", 1.0, true},
        {"comfrey-leaf", 1.0, false},
        {NULL, 1.0, false},
    };

    (void)state;
    for (size_t i = 0; i < COUNT_OF(own); i++)
        assert_int_equal(bd_feed_has_own_rate(material_of(own[i].material), own[i].area_m2),
                         own[i].wanted);
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(rows) + 3];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(rows); i++)
        tests[n++] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(not_a_number_is_too_late);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(ash_with_a_label);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(own_rates);
    return cmocka_run_group_tests(tests, load, unload);
}
