/*
 * Garden files: what a good one reads as, and that each faulty one of
 * tests/broken/garden is refused with the place, message and hint of the .txt
 * beside it.  Run from the top folder.
 */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "request/garden.h"
#include "support/close.h"
#include "support/cmocka_all.h"
#include "support/failing_malloc.h"

#define BROKEN  "tests/broken/garden"
#define EXAMPLE "examples/terrace.garden.json"

enum { MOST_FILES = 100, TEXT_SIZE = 4096, PATH_SIZE = 512 };

static size_t read_file(const char *path, char text[TEXT_SIZE])
{
    FILE *f = fopen(path, "rb");
    size_t n;

    assert_non_null(f);
    n = fread(text, 1, TEXT_SIZE - 1, f);
    text[n] = '\0';
    assert_int_equal(fclose(f), 0);
    return n;
}

static int day_of(const char *date)
{
    int day = 0;

    assert_int_equal(bd_date_read(date, &day, NULL), BD_OK);
    return day;
}

static bd_garden *load_example(void)
{
    bd_error err = {.status = BD_OK};
    bd_garden *g = NULL;

    if (bd_garden_load(EXAMPLE, BD_MEASURES_NONE, &g, &err) != BD_OK)
        print_error("%s: %s\n", err.where, err.text);
    assert_non_null(g);
    return g;
}

/* ---- the example, its figures typed again from the file ------------------------- */

static void reads_the_groups(void **state)
{
    bd_garden *g = load_example();
    const bd_garden_group *beets = &g->groups[0], *tubs = &g->groups[1];

    (void)state;
    assert_int_equal(g->group_count, 3);
    assert_string_equal(beets->name, "beetroot-sacks");
    assert_close(bd_request_get(&beets->ask, BD_OPT_BAGS)->number.typical, 18.0, 0.0);
    assert_close(bd_request_get(&beets->ask, BD_OPT_BAG_SIZE)->bag.depth_m, 0.35, 1e-12);
    assert_string_equal(bd_request_get(&beets->ask, BD_OPT_CROP)->text, "beetroot");
    assert_close(bd_request_get(&beets->ask, BD_OPT_PER_BAG)->number.typical, 1.5, 1e-12);
    assert_int_equal(beets->sown, day_of("2026-04-20"));
    assert_true(beets->has_harvest);
    assert_int_equal(beets->harvest, day_of("2026-07-20"));
    assert_int_equal(beets->part_count, 3);
    assert_int_equal(g->groups[2].part_count, 3);
    assert_close(g->groups[2].parts[0].share, 0.60, 1e-12);
    assert_close(beets->yield_g_per_bag, 2200.0, 1e-9);
    assert_int_equal(beets->need.count, 2);
    assert_true(beets->need.items[1].target.form.is_oxide);
    assert_close(beets->need.items[1].target.value.typical, 6.0, 1e-12);
    assert_int_equal(beets->way, BD_GIVE_EITHER);
    assert_int_equal(tubs->way, BD_GIVE_DISSOLVED);
    assert_null(bd_request_get(&tubs->ask, BD_OPT_ECE));
    bd_garden_free(g);
}

static void water_of_the_garden_is_that_of_each_group(void **state)
{
    bd_garden *g = load_example();

    (void)state;
    for (size_t i = 0; i < g->group_count; i++)
        assert_string_equal(bd_request_get(&g->groups[i].ask, BD_OPT_WATER)->text, "soft");
    assert_string_equal(bd_request_get(&g->feeds[0].ask, BD_OPT_WATER)->text, "soft");
    bd_garden_free(g);
}

static void reads_shelf_tools_and_feeds(void **state)
{
    bd_garden *g = load_example();
    const bd_garden_feed *feed = &g->feeds[0];

    (void)state;
    assert_string_equal(g->currency, "EUR");
    assert_close(g->tools.scale_step_g, 1.0, 1e-12);
    assert_close(g->tools.can_l, 10.0, 1e-12);
    assert_string_equal(g->shelf[0].scoop, "blue cap");
    assert_close(g->shelf[0].scoop_g, 6.0, 1e-12);
    assert_int_equal(g->shelf_count, 3);
    assert_string_equal(g->shelf[1].product[BD_OPT_ANALYSIS].text, "13-0-46");
    assert_close(g->shelf[0].stock_g, 1800.0, 1e-9);
    assert_close(g->shelf[0].pack_g, 2500.0, 1e-9);
    assert_close(g->shelf[0].price, 12.5, 1e-12);
    assert_int_equal(g->feed_count, 1);
    assert_close(feed->ask.products[0][BD_OPT_MASS].number.typical, 3000.0, 1e-9);
    assert_close(bd_request_get(&feed->ask, BD_OPT_DILUTE)->number.typical, 11.0, 1e-9);
    assert_close(feed->times, 6.0, 0.0);
    assert_string_equal(feed->groups[0], "tomato-tubs");
    assert_null(feed->groups[1]);
    bd_garden_free(g);
}

static void numbers_and_texts_are_the_same(void **state)
{
    static const char *const forms[] = {"4", "\"4\"", "4.0"};

    (void)state;
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        char text[TEXT_SIZE];
        bd_garden *g = NULL;
        int n =
            snprintf(text, sizeof text,
                     "{\"schema\": \"bagdose.garden/1\", \"name\": \"G\", \"groups\": [{\"name\": "
                     "\"a\", \"bags\": %s, \"bag_size\": \"20L x 30cm\", \"crop\": \"leek\", "
                     "\"sown\": \"2026-03-01\"}]}",
                     forms[i]);

        assert_int_equal(bd_garden_read("g", text, (size_t)n, BD_MEASURES_NONE, &g, NULL), BD_OK);
        assert_close(bd_request_get(&g->groups[0].ask, BD_OPT_BAGS)->number.typical, 4.0, 0.0);
        assert_int_equal(g->shelf_count, 0);
        bd_garden_free(g);
    }
}

static void a_file_that_is_not_there(void **state)
{
    bd_error err = {.status = BD_OK};
    bd_garden *g = NULL;

    (void)state;
    assert_int_equal(bd_garden_load("tests/no.garden.json", BD_MEASURES_NONE, &g, &err), BD_FILE);
    assert_int_equal(bd_status_exit(err.status), 3);
    assert_string_equal(err.where, "tests/no.garden.json");
    assert_null(g);
}

static void survives_each_failure(const char *text, size_t size)
{
    bool has_failed = true;

    for (long n = 0; has_failed; n++) {
        bd_garden *g = NULL;
        bd_status status;

        bd_fail_allocation_after(n);
        status = bd_garden_read("g", text, size, BD_MEASURES_NONE, &g, NULL);
        has_failed = bd_allocations_allow();
        assert_int_equal(status, has_failed ? BD_MEMORY : BD_OK);
        bd_garden_free(g);
    }
}

#define ANALYSIS "{\"unit\": \"mg/L\", \"ions\": {\"Ca+2\": 90, \"HCO3-\": 274}}"
#define WATERED                                                                                    \
    "{\"schema\": \"bagdose.garden/1\", \"name\": \"G\", \"water\": " ANALYSIS ", \"groups\": "    \
    "[{\"name\": \"beets\", \"bags\": 4, \"bag_size\": \"round 40cm x 35cm\", \"crop\": "          \
    "\"beetroot\", \"sown\": \"2026-04-20\"}]}"

static void each_allocation_may_fail(void **state)
{
    char text[TEXT_SIZE];
    size_t size = read_file(EXAMPLE, text);

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    survives_each_failure(text, size);
    survives_each_failure(WATERED, sizeof WATERED - 1);
}

/* As a file of one water would say it, with a name. */
static void an_analysis_is_handed_on(void **state)
{
    bd_garden *g = NULL;

    (void)state;
    assert_int_equal(bd_garden_read("g", WATERED, sizeof WATERED - 1, BD_MEASURES_NONE, &g, NULL),
                     BD_OK);
    assert_non_null(strstr(g->water_analysis, "\"HCO3-\":274"));
    assert_non_null(strstr(g->water_analysis, "\"name\":\"own-water\""));
    assert_string_equal(bd_request_get(&g->groups[0].ask, BD_OPT_WATER)->text, "own-water");
    bd_garden_free(g);
}

/* ---- what is refused -------------------------------------------------------------- */

static void check_line(const char **expected, const char *got)
{
    size_t n = strcspn(*expected, "\n");

    if (strlen(got) != n || strncmp(got, *expected, n) != 0)
        print_error("got \"%s\", wanted \"%.*s\"\n", got, (int)n, *expected);
    assert_int_equal(strlen(got), n);
    assert_memory_equal(got, *expected, n);
    *expected += n + 1;
}

static void is_refused(void **state)
{
    const char *name = *state, *expected;
    char path[PATH_SIZE], text[TEXT_SIZE];
    bd_error err = {.status = BD_OK};
    bd_garden *g = NULL;

    (void)snprintf(path, sizeof path, BROKEN "/%s", name);
    assert_int_not_equal(bd_garden_load(path, BD_MEASURES_NONE, &g, &err), BD_OK);
    assert_null(g);
    assert_int_equal(bd_status_exit(err.status), 2);
    (void)snprintf(path, sizeof path, BROKEN "/%.*s.txt", (int)(strlen(name) - 5), name);
    (void)read_file(path, text);
    expected = text;
    assert_non_null(strstr(err.where, name));
    check_line(&expected, strstr(err.where, name));
    check_line(&expected, err.text);
    check_line(&expected, err.accepts);
}

static int is_json(const struct dirent *entry)
{
    size_t n = strlen(entry->d_name);

    return n > 5 && strcmp(entry->d_name + n - 5, ".json") == 0;
}

static int run_broken(void)
{
    static struct CMUnitTest tests[MOST_FILES];
    struct dirent **entries = NULL;
    int n = scandir(BROKEN, &entries, is_json, alphasort), failed;

    if (n < 1 || n > MOST_FILES) {
        (void)fprintf(stderr, "no files in " BROKEN "; run from the top folder\n");
        return 1;
    }
    for (int i = 0; i < n; i++)
        tests[i] =
            (struct CMUnitTest){entries[i]->d_name, is_refused, NULL, NULL, entries[i]->d_name};
    failed = _cmocka_run_group_tests("broken/garden", tests, (size_t)n, NULL, NULL);
    for (int i = 0; i < n; i++)
        free(entries[i]);
    free(entries);
    return failed;
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_the_groups),
        cmocka_unit_test(water_of_the_garden_is_that_of_each_group),
        cmocka_unit_test(an_analysis_is_handed_on),
        cmocka_unit_test(reads_shelf_tools_and_feeds),
        cmocka_unit_test(numbers_and_texts_are_the_same),
        cmocka_unit_test(a_file_that_is_not_there),
        cmocka_unit_test(each_allocation_may_fail),
    };

    return cmocka_run_group_tests(tests, NULL, NULL) + run_broken();
}
