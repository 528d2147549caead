/*
 * report.h - a card in the formats people and programs read.
 *
 * May include: base/, card/, words/.  No arithmetic beyond rounding.
 *
 * A renderer gets a card and a sink; file, memory and page differ in the sink.
 */
#ifndef BD_REPORT_REPORT_H
#define BD_REPORT_REPORT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "card/card.h"
#include "words/words.h"

/* Takes `n` bytes; gives back 0, or non-zero when they could not be taken (a full disk). */
typedef struct bd_sink {
    int (*put)(const char *bytes, size_t n, void *to);
    void *to;
} bd_sink;

typedef struct bd_report_style {
    bd_language language;
    bool shows_working; /* text only: JSON and CSV always have it, a calendar never */
    bool has_colour;    /* text only: the meaning never hangs on colour             */
    int today;          /* calendar only: the day it was made (base/date.h)         */
} bd_report_style;

/*
 * Each writes the whole card and returns BD_OK, BD_FILE if the sink refused, or
 * BD_MEMORY.  Text: 80 columns, the dose first.  JSON: schema bagdose.card/1
 * (nutrients/schema/card.schema.json).  CSV: RFC 4180, ten columns, one record for
 * each line of the card and for each cell of a table (csv.c).
 */
bd_status bd_report_text(const bd_card *card, const bd_report_style *style, bd_sink sink,
                         bd_error *err) BD_MUST_CHECK;
bd_status bd_report_json(const bd_card *card, const bd_report_style *style, bd_sink sink,
                         bd_error *err) BD_MUST_CHECK;
bd_status bd_report_csv(const bd_card *card, const bd_report_style *style, bd_sink sink,
                        bd_error *err) BD_MUST_CHECK;

/*
 * iCalendar (RFC 5545): an all-day event for each row of a table that has a column
 * "date" with ISO 8601 text, and in each event what asks for care and the cautions.
 * Returns as above; BD_CONFLICT for a card without any, since a calendar cannot be
 * empty.
 */
bd_status bd_report_ics(const bd_card *card, const bd_report_style *style, bd_sink sink,
                        bd_error *err) BD_MUST_CHECK;

#endif
