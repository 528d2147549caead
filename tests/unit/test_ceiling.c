#include "model/ceiling.h"

#include <math.h>
#include <string.h>

#include "support/close.h"
#include "support/cmocka_all.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

#define EXACTLY(low, most, trust)                                                                  \
    {                                                                                              \
        .is_known = true, .value = {low, low, most}, .trust_high = BD_TRUST_##trust, .source = ""  \
    }
#define ROW(matter, crops, low, most, trust)                                                       \
    {                                                                                              \
        .material = matter, .use = BD_USE_FOLIAR, .of = BD_LIMIT_PRODUCT_STRENGTH,                 \
        .per = "each spray", .crop_group = crops, .value = EXACTLY(low, most, trust)               \
    }
#define PER_AREA(name, oxide, crops, most, trust)                                                  \
    {                                                                                              \
        .material = "any", .use = BD_USE_SEASON, .of = BD_LIMIT_NUTRIENT_PER_AREA,                 \
        .has_nutrient = true, .nutrient = {name, oxide}, .per = "season", .crop_group = crops,     \
        .value = EXACTLY(most, most, trust)                                                        \
    }

/* A made-up table; which row must win is worked out by reading design section 5. */
static const bd_limit limits[] = {
    ROW("salt", "fruiting", 2, 20, PUBLISHED),
    ROW("salt", "tomato", 1, 15, PUBLISHED),
    ROW("salt", "tomato", 2, 12, WORKED_OUT),
    ROW("salt", "leafy", 1, 5, PRACTICE),
    ROW("salt", "citrus", 1, 3, PUBLISHED),
    ROW("salt", "legume", 0, 0, PRACTICE),
    ROW("wide", "any", 1, 4, PUBLISHED),
    ROW("wide", "leafy", 1, 6, PUBLISHED),
    ROW("never", "any", 0, 0, MEMORY),
    ROW("tree-only", "citrus", 1, 9, PUBLISHED),
    ROW("own", "tomato", 1, 12, PRACTICE),
    ROW("own", "fruiting", 1, 20, PUBLISHED),
    ROW("own", "fruiting", 1, 25, PUBLISHED),
    ROW("soft", "leafy", 1, 6, PRACTICE),
    ROW("soft", "any", 1, 4, PUBLISHED),
    PER_AREA(BD_K, true, "tomato", 10, PUBLISHED),
    PER_AREA(BD_K, false, "tomato", 9, PUBLISHED),
    PER_AREA(BD_N, false, "any", 3, PRACTICE),
};

static const char *const tomato_groups[] = {"tomato", "fruiting", "vegetables", NULL};
static const char *const lettuce_groups[] = {"leafy", "vegetables", NULL};
static const char *const carrot_groups[] = {"root", "vegetables", NULL};
static const char *const pepper_groups[] = {"pepper", "fruiting", "vegetables", NULL};
static const char *const bean_groups[] = {"legume", "vegetables", NULL};

static const bd_crop crops[] = {{.name = "tomato", .groups = tomato_groups},
                                {.name = "lettuce", .groups = lettuce_groups},
                                {.name = "carrot", .groups = carrot_groups},
                                {.name = "bean", .groups = bean_groups}};

static const struct find_row {
    const char *name, *material;
    const char *const *groups;
    bool is_found, is_borrowed, is_never;
    double most;
} finds[] = {
    {"find/nearest_group_and_its_strictest_row", "salt", tomato_groups, true, false, false, 12},
    {"find/own_group", "salt", lettuce_groups, true, false, false, 5},
    {"find/wider_group_when_the_nearest_has_none", "salt", pepper_groups, true, false, false, 20},
    {"find/never_for_the_group", "salt", bean_groups, true, false, true, 0},
    {"find/borrowed_skips_never_and_trees", "salt", carrot_groups, true, true, false, 5},
    {"find/crop_not_said_borrows_the_strictest", "salt", NULL, true, true, false, 5},
    {"find/any_fits_every_crop", "wide", carrot_groups, true, false, false, 4},
    {"find/own_row_before_any", "wide", lettuce_groups, true, false, false, 6},
    {"find/any_when_the_crop_is_not_said", "wide", NULL, true, false, false, 4},
    {"find/never_for_any", "never", tomato_groups, true, false, true, 0},
    {"find/a_tree_lends_nothing", "tree-only", tomato_groups, false, false, false, 0},
    {"find/unknown_material", "chalk", tomato_groups, false, false, false, 0},
};

static void check_find(void **state)
{
    const struct find_row *r = *state;
    bd_ceiling_query query = {.material = r->material,
                              .use = BD_USE_FOLIAR,
                              .of = BD_LIMIT_PRODUCT_STRENGTH,
                              .groups = r->groups,
                              .crops = crops,
                              .crop_count = COUNT_OF(crops)};
    bd_ceiling c = bd_ceiling_find(limits, COUNT_OF(limits), &query);

    assert_int_equal(c.limit != NULL, r->is_found);
    assert_int_equal(c.is_borrowed, r->is_borrowed);
    assert_int_equal(c.is_never, r->is_never);
    assert_close(c.most, r->most, 0.0);
    query.per = "once a week";
    assert_null(bd_ceiling_find(limits, COUNT_OF(limits), &query).limit);
    query.per = "each spray";
    assert_int_equal(bd_ceiling_find(limits, COUNT_OF(limits), &query).limit != NULL, r->is_found);
    query.use = BD_USE_DRENCH;
    assert_null(bd_ceiling_find(limits, COUNT_OF(limits), &query).limit);
    assert_null(bd_ceiling_find(limits, 0, &query).limit);
}

/* Rows of one nutrient may count the oxide or the element: 9 g of K are 10.84 g of K2O, so 10 g of
 * K2O are the stricter, and as the element they are 8.30 g. */
static void element_and_oxide_rows_are_compared_as_elements(void **state)
{
    const bd_nutrient k = BD_K, n = BD_N;
    bd_ceiling_query query = {.material = "any",
                              .use = BD_USE_SEASON,
                              .of = BD_LIMIT_NUTRIENT_PER_AREA,
                              .nutrient = &k,
                              .groups = tomato_groups};
    bd_ceiling c = bd_ceiling_find(limits, COUNT_OF(limits), &query);

    (void)state;
    assert_close(c.most, 10.0, 0.0);
    assert_close(bd_ceiling_as_element(&c, c.most), 8.30, 0.005);
    query.nutrient = &n;
    c = bd_ceiling_find(limits, COUNT_OF(limits), &query);
    assert_close(bd_ceiling_as_element(&c, c.most), 3.0, 0.0);
}

/* What is in print behind a row of common practice. */
static const struct firm_row {
    const char *name, *material;
    const char *const *groups;
    double firm; /* 0: none */
} firms[] = {
    {"firm/own_row_in_print_needs_none", "salt", tomato_groups, 0},
    {"firm/behind_an_own_soft_row_of_wider_groups", "own", tomato_groups, 20},
    {"firm/other_groups_do_not_count_for_an_own_row", "salt", lettuce_groups, 0},
    {"firm/behind_a_borrowed_row_the_highest_of_any_crop", "salt", carrot_groups, 20},
    {"firm/never_needs_none", "salt", bean_groups, 0},
    {"firm/a_tree_does_not_count", "tree-only", tomato_groups, 0},
    {"firm/a_stricter_one_in_print_would_be_the_row", "soft", lettuce_groups, 0},
};

static void check_firm(void **state)
{
    const struct firm_row *r = *state;
    bd_ceiling_query query = {.material = r->material,
                              .use = BD_USE_FOLIAR,
                              .of = BD_LIMIT_PRODUCT_STRENGTH,
                              .groups = r->groups,
                              .crops = crops,
                              .crop_count = COUNT_OF(crops)};
    bd_ceiling c = bd_ceiling_find(limits, COUNT_OF(limits), &query);

    assert_int_equal(c.firm != NULL, r->firm > 0.0);
    assert_close(c.firm_most, r->firm, 0.0);
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(finds) + COUNT_OF(firms) + 1];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(finds); i++)
        tests[n++] = (struct CMUnitTest){finds[i].name, check_find, NULL, NULL, (void *)&finds[i]};
    for (size_t i = 0; i < COUNT_OF(firms); i++)
        tests[n++] = (struct CMUnitTest){firms[i].name, check_firm, NULL, NULL, (void *)&firms[i]};
    tests[n++] =
        (struct CMUnitTest)cmocka_unit_test(element_and_oxide_rows_are_compared_as_elements);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
