#include "base/date.h"

#include <ctype.h>
#include <stdio.h>

enum { FIRST_YEAR = 1900, LAST_YEAR = 2200 };

/* Days before a year's 1 March, counted from 1 March of year 0: leap days then come last. */
static int days_before_march(int year)
{
    return 365 * year + year / 4 - year / 100 + year / 400;
}

int bd_date_to_day(bd_date d)
{
    int month = d.month > 2 ? d.month - 3 : d.month + 9; /* March is 0 */
    int year = d.month > 2 ? d.year : d.year - 1;

    return days_before_march(year) + (153 * month + 2) / 5 + d.day - 1 - 719468;
}

bd_date bd_date_from_day(int day)
{
    int since = day + 719468, year = since / 366, in_year, month;
    bd_date d;

    while (days_before_march(year + 1) <= since)
        year++;
    in_year = since - days_before_march(year);
    month = (5 * in_year + 2) / 153;
    d.day = in_year - (153 * month + 2) / 5 + 1;
    d.month = month < 10 ? month + 3 : month - 9;
    d.year = d.month > 2 ? year : year + 1;
    return d;
}

static bool is_shaped(const char *s)
{
    static const char shape[] = "dddd-dd-dd";

    for (int i = 0; shape[i] != '\0'; i++)
        if (shape[i] == 'd' ? !isdigit((unsigned char)s[i]) : s[i] != '-')
            return false;
    return s[sizeof shape - 1] == '\0';
}

static int number(const char *s, int digits)
{
    int n = 0;

    for (int i = 0; i < digits; i++)
        n = 10 * n + (s[i] - '0');
    return n;
}

bd_status bd_date_read(const char *text, int *out_day, bd_error *err)
{
    bd_date d, back;
    int day;

    if (!is_shaped(text)) {
        (void)bd_fail(err, BD_SYNTAX, NULL, "'%.40s' is not a date", text);
        (void)bd_accepts(err, "year-month-day, such as 2026-03-14");
        return BD_SYNTAX;
    }
    d = (bd_date){number(text, 4), number(text + 5, 2), number(text + 8, 2)};
    if (d.year >= FIRST_YEAR && d.year <= LAST_YEAR && d.month >= 1 && d.month <= 12 &&
        d.day >= 1) {
        day = bd_date_to_day(d);
        back = bd_date_from_day(day);
        if (back.year == d.year && back.month == d.month && back.day == d.day) {
            *out_day = day;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_RANGE, NULL, "'%.40s' is no day of the calendar", text);
    (void)bd_accepts(err, "a day from 1900-01-01 to 2200-12-31");
    return BD_RANGE;
}

char *bd_date_print(int day, char buffer[BD_DATE_SIZE])
{
    bd_date d = bd_date_from_day(day);

    (void)snprintf(buffer, BD_DATE_SIZE, "%04d-%02d-%02d", d.year % 10000, d.month % 100,
                   d.day % 100);
    return buffer;
}
