#include "guard/cautions.h"

#include <string.h>

#include "support/cmocka_all.h"
#include "support/failing_malloc.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { CODES_MAX = 8, MATERIALS_MAX = 3 };

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

/* Which cautions must stand on the card and which must not, by code. */
static const struct row {
    const char *name;
    const char *materials[MATERIALS_MAX]; /* NULL ends; "?" is an own label */
    const char *crop;                     /* NULL: not said */
    bool is_foliar, is_soil, is_dissolved, is_homemade, is_seedling;
    const char *there[CODES_MAX], *absent[CODES_MAX];
} rows[] = {
    {"always/own_label_on_the_soil",
     {"?"},
     NULL,
     false,
     true,
     false,
     false,
     false,
     {"C01", "C02", "C03", "C04", "C23", "C30", "C31"},
     {"C05", "C11", "C26", "C18", "C28"}},
    {"foliar/potassium_nitrate",
     {"potassium-nitrate"},
     "tomato",
     true,
     false,
     false,
     false,
     false,
     {"H272", "C09", "C11", "C12", "C05", "C06", "C22", "C17"},
     {"C10", "C27", "C18", "C21", "C26"}},
    {"foliar/potassium_sulfate_is_no_nitrate",
     {"potassium-sulfate"},
     "tomato",
     true,
     false,
     false,
     false,
     false,
     {"C05", "C06", "C07"},
     {"C09", "C11", "C12", "C13"}},
    {"foliar/seedlings",
     {"potassium-nitrate"},
     "tomato",
     true,
     false,
     false,
     false,
     true,
     {"C10"},
     {"C27"}},
    {"foliar/urea_and_biuret",
     {"urea"},
     "tomato",
     true,
     false,
     false,
     false,
     false,
     {"C19", "C16"},
     {"C11"}},
    {"foliar/nitrate_on_leaves_that_are_eaten",
     {"potassium-nitrate"},
     "lettuce",
     true,
     false,
     false,
     false,
     false,
     {"C21"},
     {"C10"}},
    {"foliar/no_nitrate_on_leaves_that_are_eaten",
     {"potassium-sulfate"},
     "lettuce",
     true,
     false,
     false,
     false,
     false,
     {"C05"},
     {"C21"}},
    {"foliar/tank_mix",
     {"potassium-nitrate", "magnesium-sulfate-heptahydrate"},
     "tomato",
     true,
     false,
     false,
     false,
     false,
     {"C18", "C28"},
     {"C27"}},
    {"soil/urea_is_not_for_leaves",
     {"urea"},
     "tomato",
     false,
     true,
     false,
     false,
     false,
     {"C27", "C16"},
     {"C19", "C05"}},
    {"soil/two_dry_products_are_no_tank_mix",
     {"potassium-sulfate", "urea"},
     NULL,
     false,
     true,
     false,
     false,
     false,
     {"C27"},
     {"C18", "C28"}},
    {"soil/dissolved",
     {"potassium-sulfate", "urea"},
     NULL,
     false,
     true,
     true,
     false,
     false,
     {"C18", "C28"},
     {"C05"}},
    {"hazard/calcium_nitrate_and_eyes",
     {"calcium-nitrate"},
     NULL,
     false,
     true,
     true,
     false,
     false,
     {"H302", "H318", "C13"},
     {"C26"}},
    {"hazard/caustic_potash",
     {"potassium-hydroxide"},
     NULL,
     false,
     true,
     true,
     false,
     false,
     {"H314", "C13", "C20K"},
     {"C11"}},
    {"hazard/borax", {"borax"}, "tomato", true, false, false, false, false, {"C14"}, {"C15"}},
    {"hazard/zinc",
     {"zinc-sulfate-heptahydrate"},
     "tomato",
     true,
     false,
     false,
     false,
     false,
     {"C15"},
     {"C14"}},
    {"homemade/wood_ash",
     {"wood-ash-hardwood"},
     NULL,
     false,
     true,
     false,
     true,
     false,
     {"C20", "C26", "C26B"},
     {"C04G", "C26R", "C26U", "C27", "C16"}},
    {"homemade/urine",
     {"urine"},
     NULL,
     false,
     true,
     true,
     true,
     false,
     {"C26U", "C16", "C26"},
     {"C26R"}},
    {"homemade/raw_manure",
     {"poultry-litter"},
     NULL,
     false,
     true,
     false,
     true,
     false,
     {"C26R", "C26"},
     {"C26U"}},
};

static const bd_caution *caution_of(const bd_card *card, const char *code)
{
    for (size_t i = 0; i < card->caution_count; i++)
        if (strcmp(card->cautions[i].code, code) == 0)
            return &card->cautions[i];
    return NULL;
}

static bd_handling handling_of(const struct row *r)
{
    bd_handling h = {.is_foliar = r->is_foliar,
                     .is_soil = r->is_soil,
                     .is_dissolved = r->is_dissolved,
                     .is_homemade = r->is_homemade,
                     .is_seedling = r->is_seedling};

    for (; h.material_count < MATERIALS_MAX && r->materials[h.material_count] != NULL;
         h.material_count++) {
        const char *name = r->materials[h.material_count];

        if (strcmp(name, "?") != 0)
            assert_int_equal(
                bd_catalogue_material(catalogue, name, &h.materials[h.material_count], NULL),
                BD_OK);
    }
    if (r->crop != NULL)
        assert_int_equal(bd_catalogue_crop(catalogue, r->crop, &h.crop, NULL), BD_OK);
    return h;
}

static void check(void **state)
{
    const struct row *r = *state;
    bd_handling h = handling_of(r);
    bd_card card;

    bd_card_init(&card, "spray");
    bd_cautions_add(&card, catalogue, &h);
    for (size_t i = 0; i < CODES_MAX && r->there[i] != NULL; i++)
        if (caution_of(&card, r->there[i]) == NULL)
            fail_msg("%s is missing", r->there[i]);
    for (size_t i = 0; i < CODES_MAX && r->absent[i] != NULL; i++)
        if (caution_of(&card, r->absent[i]) != NULL)
            fail_msg("%s has no business here", r->absent[i]);
    for (size_t i = 0; i < card.caution_count; i++)
        assert_true(card.cautions[i].source[0] != '\0');
    assert_int_equal(bd_card_status(&card, NULL), BD_OK);
    bd_card_clear(&card);
}

static void the_same_caution_stands_once(void **state)
{
    bd_handling h = handling_of(&rows[1]);
    bd_card card;
    size_t count;

    (void)state;
    bd_card_init(&card, "spray");
    bd_cautions_add(&card, catalogue, &h);
    count = card.caution_count;
    bd_cautions_add(&card, catalogue, &h);
    assert_int_equal(card.caution_count, count);
    bd_card_clear(&card);
}

static void crops_without_a_name_are_in_no_group(void **state)
{
    const bd_crop *lettuce;

    (void)state;
    assert_false(bd_crop_is_in(NULL, "leafy"));
    assert_int_equal(bd_catalogue_crop(catalogue, "lettuce", &lettuce, NULL), BD_OK);
    assert_true(bd_crop_is_in(lettuce, "leafy"));
    assert_false(bd_crop_is_in(lettuce, "leaf"));
    assert_false(bd_crop_is_in(lettuce, "fruiting"));
}

static void rules_have_a_source(void **state)
{
    char buffer[BD_CITE_SIZE] = "x";

    (void)state;
    assert_string_equal(bd_rule_source(catalogue, "rule.ammonia", buffer), "OSU-ASH, published");
    assert_string_equal(bd_rule_source(catalogue, "rule.unheard_of", buffer), "");
}

/* Sentences come from the catalogue's files, and the card is shown after those are freed. */
static void card_outlives_the_catalogue(void **state)
{
    bd_handling h = {.is_foliar = true};
    bd_catalogue *passing = NULL;
    bd_card card;

    (void)state;
    assert_int_equal(bd_catalogue_load(NULL, &passing, NULL), BD_OK);
    bd_card_init(&card, "spray");
    bd_cautions_add(&card, passing, &h);
    bd_catalogue_free(passing);
    assert_true(card.caution_count > 0);
    for (size_t i = 0; i < card.caution_count; i++)
        assert_int_equal(strncmp(card.cautions[i].line.key, "caution.", strlen("caution.")), 0);
    bd_card_clear(&card);
}

static void every_allocation_may_fail(void **state)
{
    bd_handling h = handling_of(&rows[1]);

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    for (long n = 0;; n++) {
        bd_status status;
        bd_card card;

        bd_card_init(&card, "spray");
        bd_fail_allocation_after(n);
        bd_cautions_add(&card, catalogue, &h);
        status = bd_card_status(&card, NULL);
        bd_card_clear(&card);
        if (!bd_allocations_allow()) {
            assert_int_equal(status, BD_OK);
            return;
        }
        assert_int_equal(status, BD_MEMORY);
    }
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(rows) + 5];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(rows); i++)
        tests[n++] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(the_same_caution_stands_once);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(crops_without_a_name_are_in_no_group);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(rules_have_a_source);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(card_outlives_the_catalogue);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_allocation_may_fail);
    return cmocka_run_group_tests(tests, load, unload);
}
