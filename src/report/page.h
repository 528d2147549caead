/*
 * page.h - what the parts of the text report share: the page being filled and
 * how a sentence, an amount and a heading are put on it.
 *
 * May include: base/, card/, words/.
 *
 * Failure is sticky in page->out, like that of any bd_text.
 */
#ifndef BD_REPORT_PAGE_H
#define BD_REPORT_PAGE_H

#include "base/text.h"
#include "card/card.h"
#include "words/amount.h"
#include "words/words.h"

enum { BD_PAGE_INDENT = 2 };

typedef enum bd_ink { BD_INK_PLAIN, BD_INK_GOOD, BD_INK_CARE, BD_INK_STOP } bd_ink;

typedef struct bd_page {
    bd_text out;
    bd_language language;
    bool has_colour;
} bd_page;

/* A text for a piece of the page; bd_page_done clears it and passes its failure on. */
bd_text bd_page_scratch(void);
void bd_page_done(bd_page *page, bd_text *scratch);

/* A blank line and the heading of that key. */
void bd_page_heading(bd_page *page, const char *key);

/* Adds s in an ink; without colour, or plain, just s. */
void bd_page_inked(bd_page *page, bd_ink ink, const char *s);

/* Adds " [source]" to a sentence, or nothing for an empty source. */
void bd_page_source(const bd_page *page, const char *source, bd_text *sentence);

/* An amount in pieces, so that a column of them can be set. */
typedef struct bd_amount_pieces {
    bd_text number, unit, extra;
} bd_amount_pieces;

/* Takes an amount apart in a view; is_most cuts it instead of rounding (amount.h). */
bd_amount_pieces bd_page_amount(const bd_page *page, bd_range value, bd_amount_view view,
                                bool is_most);
void bd_page_amount_done(bd_page *page, bd_amount_pieces *pieces);

/* Columns of all of s. */
size_t bd_page_width(const char *s);

/* Adds s at the right or the left of a column of that width. */
void bd_page_right(bd_page *page, const char *s, size_t width);
void bd_page_left(bd_page *page, const char *s, size_t width);

/* A table with its heading: as columns where the page is wide enough for its longest words, else
 * one line a cell. */
void bd_page_table(bd_page *page, const bd_table *table);

#endif
