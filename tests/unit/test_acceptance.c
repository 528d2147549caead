/*
 * test_acceptance.c - the scenarios growers brought, run as command lines through
 * the library, against the doses, bases and limits worked out beside them by hand.
 *
 * Where our result differs from the scenario's own sketch, the row says why.
 */
#include <math.h>
#include <string.h>

#include "job/job.h"
#include "support/close.h"
#include "support/cmocka_all.h"

enum { MOST_WORDS = 40, MOST_WANTS = 14 };

typedef struct want {
    const char *figure; /* id of a figure, or of a finding when `level` is set */
    double value, tolerance;
    char level; /* 0: a figure; 'n', 'c', 's': a finding of that level at least */
} want;

typedef struct scenario {
    const char *name;
    const char *words[MOST_WORDS];
    bd_level verdict;
    want wants[MOST_WANTS];
    const char *source;
} scenario;

static bd_knowledge know;

static const scenario scenarios[] = {
    {"A/beetroot_in_24_sacks_three_liquid_feeds",
     {"sidedress",
      "--material",
      "potassium-sulfate",
      "--analysis",
      "0-0-50",
      "--target",
      "K2O 6 g/bag",
      "--bags",
      "24",
      "--plants-per-bag",
      "6",
      "--rounds",
      "3",
      "--per-bag",
      "1.5L",
      "--bag-size",
      "30L x 35cm",
      "--crop",
      "beetroot",
      "--days-left",
      "60"},
     BD_CARE,
     {{"product.per_bag", 4.0, 0.005, 0},
      {"product.total", 96.0, 0.05, 0},
      {"product.season_per_bag", 12.0, 0.05, 0},
      {"product.season_total", 288.0, 0.5, 0},
      {"product.per_litre", 2.67, 0.005, 0},
      {"nutrient.K.per_litre", 1.107, 0.0005, 0},
      {"feed.volume_total", 36.0, 0.05, 0},
      {"limit.drench.K", 0, 0, 'c'},
      {"limit.drench", 0, 0, 'c'}},
     "scenario A: 12 g a sack a season, 4 g a feed, 96 g and 36 L a feed, 2.67 g/L, 1107 mg K/L"},
    {"C/sweet_potato_by_area",
     {"sidedress", "--material", "potassium-chloride", "--analysis", "0-0-60", "--target",
      "K2O 100 kg/ha", "--bag-size", "round 45cm x 50L", "--plants-per-bag", "2", "--field-plants",
      "33000 plant/ha", "--bags", "120", "--crop", "sweet-potato"},
     BD_CARE,
     {{"product.per_bag", 2.65, 0.005, 0},
      {"product.total", 318.0, 0.5, 0},
      {"nutrient.K2O.per_bag", 1.59, 0.005, 0},
      {"basis.spread", 0, 0, 'c'}},
     "scenario C, area: 1.6 g K2O, 2.7 g product, 0.32 kg in all"},
    {"C/sweet_potato_by_plant",
     {"sidedress", "--material", "potassium-chloride", "--analysis", "0-0-60", "--target",
      "K2O 100 kg/ha", "--basis", "plant", "--bag-size", "round 45cm x 50L", "--plants-per-bag",
      "2", "--field-plants", "33000 plant/ha", "--bags", "120", "--crop", "sweet-potato"},
     BD_CARE,
     {{"product.per_bag", 10.1, 0.05, 0}, {"nutrient.K2O.per_bag", 6.06, 0.005, 0}},
     "scenario C, plant: 6.1 g K2O, 10.1 g product"},
    {"C/sweet_potato_by_volume",
     {"sidedress", "--material", "potassium-chloride", "--analysis", "0-0-60", "--target",
      "K2O 100 kg/ha", "--basis", "volume", "--bag-size", "round 45cm x 50L", "--plants-per-bag",
      "2", "--field-plants", "33000 plant/ha", "--bags", "120", "--crop", "sweet-potato"},
     BD_CARE,
     {{"product.per_bag", 4.17, 0.005, 0}, {"nutrient.K2O.per_bag", 2.5, 0.005, 0}},
     "scenario C, volume of a 20 cm plough layer: 2.5 g K2O, 4.2 g product"},
    {"E/a_full_pump_is_39_times_the_need",
     {"spray",      "--material", "potassium-nitrate",
      "--analysis", "13-0-45",    "--label-max",
      "150 g/15L",  "--target",   "product 150 g/15L",
      "--tank",     "15L",        "--bags",
      "40",         "--canopy",   "0.12m2",
      "--wetting",  "80mL/m2",    "--crop",
      "beetroot",   "--need",     "K2O 6 g/bag"},
     BD_CARE,
     {{"product.per_litre", 10.0, 1e-9, 0},
      {"product.w_v", 1.0, 1e-9, 0},
      {"spray.volume_needed", 0.384, 5e-4, 0},
      {"spray.tank_over_need", 39.1, 0.05, 0},
      {"nutrient.K2O.per_bag", 0.0432, 5e-5, 0},
      {"need.share", 0.0072, 5e-5, 0},
      {"spray.tank_over_need", 0, 0, 'c'}},
     "scenario E: 10 g/L, 1 % w/v, 0.38 L, 39 times, 0.04 g K2O a bag, 0.7 % of 6 g"},
    {"E/three_way_mix_is_refused",
     {"spray", "--material", "potassium-nitrate", "--analysis", "13-0-45", "--target",
      "product 10 g/L", "--material", "calcium-nitrate", "--target", "product 10 g/L", "--material",
      "epsom-salt", "--target", "product 10 g/L", "--tank", "15L", "--crop", "beetroot"},
     BD_STOP,
     {{"tank.gypsum", 0, 0, 's'}, {"mix.calcium", 0, 0, 'c'}, {"limit.salts", 0, 0, 'c'}},
     "scenario E: calcium + sulfate = gypsum; the salts add up"},
    {"F/banana_peel_water_with_a_tall_claim",
     {"feed", "--material", "banana-peel-fresh", "--mass", "1kg", "--brew", "10L", "--days", "2",
      "--per-bag", "0.5L", "--bags", "30", "--crop", "sweet-potato", "--claim", "K 40 %"},
     BD_CARE,
     /* The scenario enters 0.3-0.8 % K and 30-80 % leached (0.9-6.4 g K in the bucket); the data
      * file's wider ranges for a two-day soak give 0.25-10 g, which holds that range. */
     {{"feed.claim", 0, 0, 'c'},
      {"feed.volume", 0, 0, 'n'}, /* thinned five times, as its strength asks, 10 L are 50 L */
      {"limit.drench.K", 0, 0, 'c'},
      {"feed.volume_needed", 15.0, 1e-9, 0},
      {"nutrient.K.per_litre", 0.025, 0.005, 'l'},
      {"nutrient.K.per_litre", 1.0, 0.05, 'h'}},
     "scenario F: 40 % is impossible, 15 L needed and 10 L made, weak end useless, strong end "
     "strong"},
    {"G/a_cup_of_ash_every_month",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "120g", "--preparation", "dry", "--bags",
      "1", "--rounds", "12", "--bag-size", "round 35cm x 25L", "--crop", "leek", "--water", "hard"},
     BD_STOP,
     {{"limit.ash.rate", 0, 0, 's'},
      {"limit.ash.water", 0, 0, 'c'},
      {"limit.ash.times", 0, 0, 'c'},
      {"bag.area", 0.0962, 5e-5, 0},
      {"product.per_bag.permitted", 0.7856, 0.0005, 0},
      {"nutrient.K2O.per_bag", 3.6, 0.005, 'l'}},
     "scenario G: 5-12 g K2O at 4-10 %; our hardwood range 3-15 % gives 3.6-18 g; 98 g/m2 a year "
     "is "
     "the published most, 9.4 g a tub a year, shared by 12"},
    {"H/two_three_two_total_twenty_two",
     {"sidedress", "--analysis", "2:3:2 (22)", "--target", "K 3 g/bag", "--bags", "50", "--crop",
      "beetroot", "--plants-per-bag", "4"},
     BD_CARE,
     {{"product.per_bag", 47.7, 0.05, 0},
      {"product.total", 2386.0, 1.0, 0},
      {"nutrient.N.per_bag", 3.0, 0.005, 0},
      {"nutrient.P.per_bag", 4.5, 0.005, 0},
      {"riders.P2O5", 0, 0, 'c'},
      {"label.no_identity", 0, 0, 'c'}},
     "scenario H: 47.7 g a sack, 2.39 kg in all, N 3.0 g and P 4.5 g"},
    {"H/read_as_oxides_it_would_be_a_fifth_more",
     {"sidedress", "--analysis", "N 6.2857, P2O5 9.4286, K2O 6.2857", "--target", "K 3 g/bag",
      "--bags", "50", "--crop", "beetroot", "--plants-per-bag", "4"},
     BD_CARE,
     {{"product.per_bag", 57.5, 0.05, 0}},
     "scenario H: as oxides 57.5 g (+20 %)"},
};

static const bd_finding *finding_at_least(const bd_card *card, const char *id, bd_level level)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, id) == 0 && card->findings[i].level >= level)
            return &card->findings[i];
    return NULL;
}

static void check_want(const bd_card *card, const want *w)
{
    const bd_figure *f = bd_card_get(card, w->figure);

    switch (w->level) {
    case 'n':
    case 'c':
    case 's':
        if (finding_at_least(card, w->figure,
                             w->level == 'n'   ? BD_NOTE
                             : w->level == 'c' ? BD_CARE
                                               : BD_STOP) == NULL)
            fail_msg("no finding '%s' of level %c", w->figure, w->level);
        return;
    default:
        break;
    }
    if (f == NULL)
        fail_msg("no figure '%s'", w->figure);
    assert_close(w->level == 'l'   ? f->value.low
                 : w->level == 'h' ? f->value.high
                                   : f->value.typical,
                 w->value, w->tolerance);
}

static void run_scenario(void **state)
{
    const scenario *s = *state;
    bd_request *request = test_calloc(1, sizeof *request);
    bd_card card;
    bd_error err = {0};
    bd_job job = BD_JOB_SPRAY;
    int count = 0;

    while (count < MOST_WORDS && s->words[count] != NULL)
        count++;
    assert_int_equal(bd_job_find(s->words[0], &job, &err), BD_OK);
    if (bd_request_read(job, count - 1, (char *const *)(s->words + 1), request, &err) != BD_OK)
        fail_msg("%s: %s; %s", err.where, err.text, err.accepts);
    if (bd_job_run(&know, request, &card, &err) != BD_OK)
        fail_msg("%s: %s; %s", err.where, err.text, err.accepts);
    assert_int_equal(bd_card_verdict(&card), s->verdict);
    for (size_t i = 0; i < MOST_WANTS && s->wants[i].figure != NULL; i++)
        check_want(&card, &s->wants[i]);
    /* A stop is no instruction. */
    if (s->verdict == BD_STOP) {
        assert_null(bd_card_get(&card, "product.per_bag"));
        assert_null(bd_card_get(&card, "product.per_litre"));
    }
    assert_true(card.caution_count > 5);
    bd_card_clear(&card);
    test_free(request);
}

static int load(void **state)
{
    bd_error err = {0};

    (void)state;
    return bd_knowledge_load(NULL, &know, &err) == BD_OK ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    bd_knowledge_free(&know);
    return 0;
}

int main(void)
{
    struct CMUnitTest tests[sizeof scenarios / sizeof scenarios[0]];

    for (size_t i = 0; i < sizeof scenarios / sizeof scenarios[0]; i++)
        tests[i] =
            (struct CMUnitTest){scenarios[i].name, run_scenario, NULL, NULL, (void *)&scenarios[i]};
    return cmocka_run_group_tests(tests, load, unload);
}
