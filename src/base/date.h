/*
 * date.h - calendar days without the clock, the locale or a time zone.
 *
 * Lowest layer.  A day is a count from 1 January 1970 in the Gregorian calendar;
 * differences are days.
 */
#ifndef BD_BASE_DATE_H
#define BD_BASE_DATE_H

#include <stdbool.h>

#include "base/error.h"

enum { BD_DATE_SIZE = 16 };

typedef struct bd_date {
    int year, month, day; /* 1..12, 1..31 */
} bd_date;

/*
 * Reads "2026-03-14" (ISO 8601) as a day number.
 *
 * Returns BD_OK, BD_SYNTAX, or BD_RANGE for a day the calendar does not have or a
 * year outside 1900..2200.
 */
bd_status bd_date_read(const char *text, int *out_day, bd_error *err) BD_MUST_CHECK;

/* "2026-03-14"; gives back `buffer`. */
char *bd_date_print(int day, char buffer[BD_DATE_SIZE]);

/* The day number of a date and the way back.  Example: 1970-01-01 -> 0. */
int bd_date_to_day(bd_date date);
bd_date bd_date_from_day(int day);

#endif
