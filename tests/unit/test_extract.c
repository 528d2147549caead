#include "model/extract.h"

#include <math.h>

#include "support/cmocka_all.h"
#include "support/close.h"

enum { SOIL = 1u << BD_TEXTURE_LOAM | 1u << BD_TEXTURE_CLAY, PEAT = 1u << BD_TEXTURE_PEAT_LIKE };

/* Made up, so that answers can be done in the head. */
static const bd_extract_line lines[] = {
    {BD_EXTRACT_1_2, SOIL, 3.0, 0.0, "A", BD_TRUST_PUBLISHED, ""},
    {BD_EXTRACT_1_2, SOIL, 2.0, 0.5, "B", BD_TRUST_PUBLISHED, ""},
    {BD_EXTRACT_1_2, SOIL, 4.0, -1.0, "C", BD_TRUST_PUBLISHED, ""},
    {BD_EXTRACT_1_2, PEAT, 2.5, 0.0, "D", BD_TRUST_WORKED_OUT, ""},
    {BD_EXTRACT_POUR_THROUGH, PEAT, 0.75, 0.0, "D", BD_TRUST_WORKED_OUT, ""},
    {BD_EXTRACT_1_5, 1u << BD_TEXTURE_LOAM, 8.0, -2.0, "E", BD_TRUST_MEMORY, ""},
};
enum { LINES = sizeof lines / sizeof lines[0] };

static const struct row {
    const char *name;
    bd_extract method;
    bd_texture texture;
    double reading, low, middle, high;
    size_t used;
    bd_status status;
} rows[] = {
    {"ece/three_relations", BD_EXTRACT_1_2, BD_TEXTURE_LOAM, 1.0, 2.5, 3.0, 3.0, 3, BD_OK},
    {"ece/order_is_by_answer", BD_EXTRACT_1_2, BD_TEXTURE_LOAM, 2.0, 4.5, 6.0, 7.0, 3, BD_OK},
    {"ece/below_zero_is_left_out", BD_EXTRACT_1_2, BD_TEXTURE_LOAM, 0.2, 0.6, 0.9, 0.9, 2, BD_OK},
    {"ece/peat_is_not_soil", BD_EXTRACT_1_2, BD_TEXTURE_PEAT_LIKE, 1.0, 2.5, 2.5, 2.5, 1, BD_OK},
    {"ece/saturated_is_itself", BD_EXTRACT_SATURATED, BD_TEXTURE_SAND, 1.7, 1.7, 1.7, 1.7, 0,
     BD_OK},
    {"ece/zero_is_allowed", BD_EXTRACT_1_2, BD_TEXTURE_PEAT_LIKE, 0.0, 0.0, 0.0, 0.0, 1, BD_OK},
    {"ece/unknown_texture", BD_EXTRACT_1_2, BD_TEXTURE_SAND, 1.0, 0, 0, 0, 0, BD_OUTSIDE},
    {"ece/unknown_method", BD_EXTRACT_1_1, BD_TEXTURE_LOAM, 1.0, 0, 0, 0, 0, BD_OUTSIDE},
    {"ece/too_low_for_all", BD_EXTRACT_1_5, BD_TEXTURE_LOAM, 0.1, 0, 0, 0, 0, BD_OUTSIDE},
    {"ece/negative_is_refused", BD_EXTRACT_1_2, BD_TEXTURE_LOAM, -1.0, 0, 0, 0, 0, BD_RANGE},
    {"ece/nan_is_refused", BD_EXTRACT_SATURATED, BD_TEXTURE_LOAM, (double)NAN, 0, 0, 0, 0,
     BD_RANGE},
};

static void test_to_ece(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const struct row *r = &rows[i];
        bd_extracted e = {.line_count = 99};
        bd_error err = {.status = BD_OK};

        print_message("%s\n", r->name);
        assert_int_equal(
            bd_extract_to_ece(lines, LINES, r->method, r->texture, r->reading, &e, &err),
            r->status);
        assert_int_equal(err.status, r->status);
        assert_int_equal(e.line_count, r->status == BD_OK ? r->used : 99);
        if (r->status != BD_OK)
            continue;
        assert_close(e.ds_per_m.low, r->low, 1e-12);
        assert_close(e.ds_per_m.typical, r->middle, 1e-12);
        assert_close(e.ds_per_m.high, r->high, 1e-12);
    }
}

static void test_names_the_relations(void **state)
{
    bd_extracted e;

    (void)state;
    assert_int_equal(
        bd_extract_to_ece(lines, LINES, BD_EXTRACT_1_2, BD_TEXTURE_CLAY, 2.0, &e, NULL), BD_OK);
    assert_string_equal(e.lowest->source, "B");
    assert_string_equal(e.middle->source, "A");
    assert_string_equal(e.highest->source, "C");
}

/* Each relation turned round gives the reading back. */
static void test_there_and_back(void **state)
{
    (void)state;
    for (size_t i = 0; i < LINES; i++) {
        bd_texture texture =
            (lines[i].textures & PEAT) != 0 ? BD_TEXTURE_PEAT_LIKE : BD_TEXTURE_LOAM;
        bd_extracted there, back;

        assert_int_equal(
            bd_extract_to_ece(&lines[i], 1, lines[i].method, texture, 1.25, &there, NULL), BD_OK);
        assert_int_equal(bd_extract_from_ece(&lines[i], 1, lines[i].method, texture,
                                             there.ds_per_m.typical, &back, NULL),
                         BD_OK);
        assert_close(back.ds_per_m.typical, 1.25, 1e-12);
    }
}

static void test_convert(void **state)
{
    bd_range r = {-1.0, -1.0, -1.0};

    (void)state;
    assert_int_equal(bd_extract_convert(lines, LINES, BD_EXTRACT_POUR_THROUGH, BD_EXTRACT_1_2,
                                        BD_TEXTURE_PEAT_LIKE, 2.0, &r, NULL),
                     BD_OK);
    assert_close(r.typical, 0.6, 1e-12); /* by hand, 2 * 0.75 / 2.5 */
    assert_int_equal(bd_extract_convert(lines, LINES, BD_EXTRACT_1_2, BD_EXTRACT_1_2,
                                        BD_TEXTURE_LOAM, 0.7, &r, NULL),
                     BD_OK);
    assert_close(r.low, 0.7, 0.0);
    assert_close(r.high, 0.7, 0.0);
    assert_int_equal(bd_extract_convert(lines, LINES, BD_EXTRACT_SATURATED, BD_EXTRACT_1_2,
                                        BD_TEXTURE_LOAM, 3.0, &r, NULL),
                     BD_OK);
    assert_close(r.low, 1.0, 1e-12); /* by hand: 3/3 = 1, (3 - 0.5)/2 = 1.25, (3 + 1)/4 = 1 */
    assert_close(r.high, 1.25, 1e-12);
    assert_int_equal(bd_extract_convert(lines, LINES, BD_EXTRACT_1_2, BD_EXTRACT_POUR_THROUGH,
                                        BD_TEXTURE_LOAM, 1.0, &r, NULL),
                     BD_OUTSIDE);
    assert_int_equal(bd_extract_convert(lines, LINES, BD_EXTRACT_1_2, BD_EXTRACT_1_5,
                                        BD_TEXTURE_PEAT_LIKE, 1.0, &r, NULL),
                     BD_OUTSIDE);
    assert_close(r.high, 1.25, 1e-12);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_to_ece),
        cmocka_unit_test(test_names_the_relations),
        cmocka_unit_test(test_there_and_back),
        cmocka_unit_test(test_convert),
    };

    return cmocka_run_group_tests_name("extract", tests, NULL, NULL);
}
