/*
 * amount.h - how a number with a unit is shown: in which unit, to how many
 * digits.
 *
 * May include: base/, words/words.h.  For words/ and report/ only; programs
 * read the card's own numbers and units.
 *
 * bd_words_amount puts these pieces into one phrase; a report that sets numbers
 * in columns takes them apart.
 */
#ifndef BD_WORDS_AMOUNT_H
#define BD_WORDS_AMOUNT_H

#include "words/words.h"

enum { BD_AMOUNT_DIGITS = 3 };

/* A unit as it is shown. */
typedef struct bd_amount_view {
    const char *unit; /* "mL"; "" for a bare number                    */
    double factor;    /* the number shown = the card's number * factor */
    const char *also; /* a second unit ("kg") in brackets, or NULL     */
    double also_factor;
} bd_amount_view;

/*
 * The view of amounts in `unit`, the largest of which is `largest`: numbers that
 * are compared share one view.
 * Example: ("L", 0.048) -> mL; ("g", 2385) -> g, also kg; ("share", 0.12) -> %.
 */
bd_amount_view bd_amount_view_of(const char *unit, double largest);

/* The end of a range that is farthest from 0, for bd_amount_view_of. */
double bd_amount_largest(bd_range value);

/* Adds the number, or both ends of a range that differ in print: "2.5", "0.9 to 6.4". */
void bd_amount_add_number(bd_language language, bd_range value, bd_amount_view view, int digits,
                          bd_text *out);

/* Adds what stands behind the unit: " (about 2.1)" of a range, " (2.39 kg)", or nothing. */
void bd_amount_add_extra(bd_language language, bd_range value, bd_amount_view view, bd_text *out);

/*
 * The digits, from BD_AMOUNT_DIGITS up, at which two numbers that differ also
 * differ in print, so that nothing reads "3 g/L is over the limit of 3 g/L".
 */
int bd_amount_digits_apart(double a, double b, bd_amount_view view);

/*
 * x cut, not rounded, to the digits that are shown, for a most that must not
 * grow by being printed.  Example: 2.998 -> 2.99; 1234.9 -> 1234.
 */
double bd_amount_cut(double x, bd_amount_view view);

#endif
