/* Days: the calendar's own landmarks, there and back over three centuries, refusals. */
#include "support/cmocka_all.h"

#include <string.h>
#include <time.h>

#include "base/date.h"

#define N(rows) (sizeof(rows) / sizeof(rows)[0])

enum { UNTOUCHED = -99999 };

/* Day numbers are Julian day numbers less 2440588, the JDN of 1970-01-01 (Explanatory
 * Supplement to the Astronomical Almanac, civil calendar tables). */
static const struct {
    const char *text;
    int day;
    const char *source;
} days[] = {
    {"1970-01-01", 0, "definition"},
    {"1969-12-31", -1, "definition"},
    {"1900-01-01", -25567, "JDN 2415021"},
    {"1900-03-01", -25508, "1900 is no leap year: 59 days later"},
    {"2000-01-01", 10957, "JDN 2451545"},
    {"2000-02-29", 11016, "2000 is a leap year"},
    {"2000-03-01", 11017, "the day after"},
    {"2026-05-03", 20576, "GNU date -u -d 2026-05-03 +%s over 86400"},
    {"2100-03-01", 47541, "GNU date -u -d 2100-03-01 +%s over 86400"},
    {"2200-12-31", 84370, "GNU date -u -d 2200-12-31 +%s over 86400"},
};

static void check_landmarks(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(days); i++) {
        char back[BD_DATE_SIZE];
        int day = UNTOUCHED;

        print_message("  date/%s: %s\n", days[i].text, days[i].source);
        assert_int_equal(bd_date_read(days[i].text, &day, NULL), BD_OK);
        assert_int_equal(day, days[i].day);
        assert_string_equal(bd_date_print(day, back), days[i].text);
    }
}

/* The C library's calendar, which is none of ours. */
static void check_every_day(void **state)
{
    (void)state;
    for (int day = -25567; day <= 84370; day++) {
        time_t seconds = (time_t)day * 86400;
        struct tm tm;
        bd_date d = bd_date_from_day(day);

        assert_non_null(gmtime_r(&seconds, &tm));
        assert_int_equal(d.year, tm.tm_year + 1900);
        assert_int_equal(d.month, tm.tm_mon + 1);
        assert_int_equal(d.day, tm.tm_mday);
        assert_int_equal(bd_date_to_day(d), day);
    }
}

static const struct {
    const char *text;
    bd_status status;
} refused[] = {
    {"", BD_SYNTAX},
    {"2026-5-3", BD_SYNTAX},
    {"2026-05-03 ", BD_SYNTAX},
    {" 2026-05-03", BD_SYNTAX},
    {"03/05/2026", BD_SYNTAX},
    {"2026-05-0", BD_SYNTAX},
    {"2026-05-033", BD_SYNTAX},
    {"+026-05-03", BD_SYNTAX},
    {"today", BD_SYNTAX},
    {"2026-00-03", BD_RANGE},
    {"2026-13-03", BD_RANGE},
    {"2026-05-00", BD_RANGE},
    {"2026-05-32", BD_RANGE},
    {"2026-04-31", BD_RANGE},
    {"2026-02-29", BD_RANGE},
    {"1900-02-29", BD_RANGE},
    {"1899-12-31", BD_RANGE},
    {"2201-01-01", BD_RANGE},
    {"9999-99-99", BD_RANGE},
};

static void check_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < N(refused); i++) {
        bd_error err = {0};
        int day = UNTOUCHED;

        print_message("  refused/%s\n", refused[i].text);
        assert_int_equal(bd_date_read(refused[i].text, &day, &err), refused[i].status);
        assert_int_equal(day, UNTOUCHED);
        assert_int_equal(err.status, refused[i].status);
        assert_true(strlen(err.accepts) > 0);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(check_landmarks),
        cmocka_unit_test(check_every_day),
        cmocka_unit_test(check_refused),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
