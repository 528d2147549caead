/*
 * cards.h - sample cards for tests of what reads cards.
 *
 * Their sentences are all W("plain") with the words as argument, so that a
 * change of the program's own sentences changes no test.
 */
#ifndef BD_TESTS_CARDS_H
#define BD_TESTS_CARDS_H

#include "card/card.h"

typedef enum bd_sample {
    BD_SAMPLE_EMPTY,   /* a job and nothing else                                    */
    BD_SAMPLE_SPRAY,   /* all well: dose, element and oxide, assumptions, cautions  */
    BD_SAMPLE_CARE,    /* a feed known only as a range, with a finding of care      */
    BD_SAMPLE_STOP,    /* over the label: the most allowed, and what was asked      */
    BD_SAMPLE_SEASON,  /* tables: cans, rounds, one too wide for a page             */
    BD_SAMPLE_HOSTILE, /* names full of control characters, formulas and broken UTF-8 */
    BD_SAMPLE_COUNT
} bd_sample;

/* Starts and fills `card`; the caller clears it. */
void bd_sample_card(bd_sample sample, bd_card *card);

/* "spray" and so on, for messages. */
const char *bd_sample_name(bd_sample sample);

#endif
