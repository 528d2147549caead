#include "command/command.h"

#include <string.h>

#include "base/text.h"
#include "support/cmocka_all.h"
#include "support/failing_malloc.h"

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

enum { WORDS_MAX = 16, LONGEST = 1 << 22 };

typedef struct run {
    bd_text out, err;
    int exit_status;
} run;

static int put(const char *bytes, size_t n, void *to)
{
    bd_text_add_bytes(to, bytes, n);
    return 0;
}

static int put_nowhere(const char *bytes, size_t n, void *to)
{
    (void)bytes;
    (void)n;
    (void)to;
    return -1;
}

static int run_with(const char *const words[WORDS_MAX], bd_sink out, bd_sink err)
{
    char *args[WORDS_MAX + 1] = {NULL};
    int count = 0;

    for (; count < WORDS_MAX && words[count] != NULL; count++)
        args[count] = (char *)(uintptr_t)words[count];
    return bd_command_run(count, args, (bd_streams){.out = out, .err = err});
}

static void run_words(const char *const words[WORDS_MAX], run *r)
{
    bd_text_init(&r->out, LONGEST);
    bd_text_init(&r->err, LONGEST);
    r->exit_status = run_with(words, (bd_sink){put, &r->out}, (bd_sink){put, &r->err});
}

static void run_clear(run *r)
{
    bd_text_clear(&r->out);
    bd_text_clear(&r->err);
}

/* Exit statuses of design section 6, and which of the two streams speaks. */
static const struct row {
    const char *name, *words[WORDS_MAX];
    int exit_status;
    const char *out, *err; /* parts that must be there; NULL: the stream stays empty */
} rows[] = {
    {"ok/help", {"help"}, 0, "spray", NULL},
    {"ok/no_words_show_help", {NULL}, 0, "bagdose JOB", NULL},
    {"ok/help_as_option", {"--help"}, 0, "bagdose JOB", NULL},
    {"ok/help_of_a_job", {"help", "spray"}, 0, "--tank", NULL},
    {"ok/help_of_a_job_as_option", {"spray", "--help"}, 0, "--tank", NULL},
    {"ok/label", {"label", "13-0-46"}, 0, "38.2", NULL},
    {"ok/label_json", {"label", "13-0-46", "--format", "json"}, 0, "\"bagdose.card/1\"", NULL},
    {"ok/label_csv", {"label", "13-0-46", "--format=csv"}, 0, "label.K2O", NULL},
    {"ok/convert", {"convert", "30 lb/100USgal", "g/L"}, 0, "35.9", NULL},
    {"ok/materials", {"materials"}, 0, "potassium-nitrate", NULL},
    {"ok/language", {"label", "13-0-46", "--language", "en"}, 0, "13-0-46", NULL},
    {"stop/a_card_that_says_stop_is_whole",
     {"spray", "--material", "potassium-nitrate", "--target", "product 50 g/L", "--tank", "10L",
      "--crop", "tomato", "--format", "json"},
     1,
     "\"verdict\": \"stop\"",
     NULL},
    {"wrong/unknown_job", {"spry"}, 2, NULL, "bagdose: 'spry' is not a job; accepted: spray, "},
    {"wrong/help_of_an_unknown_job", {"help", "spry"}, 2, NULL, "'spry'"},
    {"wrong/unknown_option",
     {"label", "13-0-46", "--frobnicate"},
     2,
     NULL,
     "bagdose: --frobnicate: "},
    {"wrong/unknown_format",
     {"label", "13-0-46", "--format", "sonnet"},
     2,
     NULL,
     "--format: 'sonnet'"},
    {"wrong/unknown_language", {"label", "13-0-46", "--language", "tlh"}, 2, NULL, "--language"},
    {"wrong/label", {"label", "2:3:4"}, 2, NULL, "(30)"},
    {"wrong/impossible_label", {"label", "12-61-45"}, 2, NULL, "118 %"},
    {"wrong/dimension", {"convert", "5 g", "L"}, 2, NULL, "mass"},
    {"wrong/unknown_material", {"materials", "moon-dust"}, 2, NULL, "'moon-dust'"},
    {"wrong/terminal_is_not_steered", {"materials", "\x1b[2J\nx"}, 2, NULL, "?[2J?x"},
    {"wrong/no_dose_without_a_material", {"spray"}, 2, NULL, "bagdose: "},
    {"file/no_such_water",
     {"spray", "--material", "potassium-nitrate", "--target", "K 1 g/L", "--tank", "1L", "--water",
      "/nowhere/water.json"},
     3,
     NULL,
     "'/nowhere/water.json'"},
    {"file/a_folder_is_no_water",
     {"spray", "--material", "potassium-nitrate", "--target", "K 1 g/L", "--tank", "1L", "--water",
      "/"},
     3,
     NULL,
     "/: cannot be read"},
    {"file/no_such_folder", {"materials", "--nutrients", "/nowhere"}, 3, NULL, "/nowhere"},
    {"file/argument_file_without_a_name", {"@"}, 3, NULL, "bagdose: @: cannot be opened"},
    {"file/no_such_argument_file", {"@/nowhere/beetroot.txt"}, 3, NULL, "/nowhere/beetroot.txt"},
};

static bool is_one_message(const char *s)
{
    size_t n = strlen(s);

    return strncmp(s, "bagdose: ", strlen("bagdose: ")) == 0 && strcspn(s, "\n") == n - 1;
}

static void check(void **state)
{
    const struct row *r = *state;
    run got;

    run_words(r->words, &got);
    if (got.exit_status != r->exit_status || (r->out == NULL) != (got.out.length == 0) ||
        (r->err == NULL) != (got.err.length == 0))
        fail_msg("exit %d, %zu bytes out, err: %s", got.exit_status, got.out.length, got.err.s);
    if (r->out != NULL && strstr(got.out.s, r->out) == NULL)
        fail_msg("'%s' is not in: %s", r->out, got.out.s);
    if (r->err != NULL && (strstr(got.err.s, r->err) == NULL || !is_one_message(got.err.s)))
        fail_msg("'%s' is not in: %s", r->err, got.err.s);
    run_clear(&got);
}

/* A full disk: the card is done and cannot be delivered. */
static void output_that_fails_is_exit_3(void **state)
{
    static const char *const words[][WORDS_MAX] = {
        {"label", "13-0-46"}, {"help"}, {"help", "spray"}};

    (void)state;
    for (size_t i = 0; i < COUNT_OF(words); i++) {
        bd_text err;

        bd_text_init(&err, LONGEST);
        assert_int_equal(run_with(words[i], (bd_sink){put_nowhere, NULL}, (bd_sink){put, &err}), 3);
        assert_non_null(strstr(err.s, "standard output: cannot be written"));
        bd_text_clear(&err);
    }
}

/* Short of memory: exit 3 and not a byte of a card, or it was not noticed at all. */
static void every_allocation_may_fail(void **state)
{
    static const char *const words[WORDS_MAX] = {"label", "13-0-46", "--format", "json",
                                                 "--working"};
    bd_text out, err;
    long n = 0;

    (void)state;
    if (!bd_allocations_can_fail())
        skip();
    bd_text_init(&out, LONGEST);
    bd_text_init(&err, LONGEST);
    for (;;) {
        int exit_status;

        bd_fail_allocation_after(n);
        exit_status = run_with(words, (bd_sink){put, &out}, (bd_sink){put, &err});
        if (!bd_allocations_allow()) {
            assert_int_equal(exit_status, 0);
            break;
        }
        assert_true(exit_status == 3 || exit_status == 0);
        if (exit_status == 3)
            assert_int_equal(out.length, 0);
        bd_text_clear(&out);
        bd_text_clear(&err);
        n += 1 + n / 16;
    }
    bd_text_clear(&out);
    bd_text_clear(&err);
}

int main(void)
{
    struct CMUnitTest tests[COUNT_OF(rows) + 2];
    size_t n = 0;

    for (size_t i = 0; i < COUNT_OF(rows); i++)
        tests[n++] = (struct CMUnitTest){rows[i].name, check, NULL, NULL, (void *)&rows[i]};
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(output_that_fails_is_exit_3);
    tests[n++] = (struct CMUnitTest)cmocka_unit_test(every_allocation_may_fail);
    return cmocka_run_group_tests(tests, NULL, NULL);
}
