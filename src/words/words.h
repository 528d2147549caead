/*
 * words.h - from the key and arguments of a card's line to a sentence.
 *
 * May include: base/, card/.
 *
 * All sentences of the program stand in words/english.def, one line a key:
 *     BD_ENGLISH("spray.title", "Foliar spray of {0}: {1} in {2} of water")
 * {0}..{7} are the line's arguments.  Another language is another .def with the
 * same keys and the same arguments; `make check-words` holds keys, arguments
 * and uses together.
 *
 * This is where numbers are rounded for reading; nowhere before.
 */
#ifndef BD_WORDS_WORDS_H
#define BD_WORDS_WORDS_H

#include "base/text.h"
#include "card/card.h"

typedef enum bd_language { BD_LANGUAGE_ENGLISH, BD_LANGUAGE_COUNT } bd_language;

/* "en"; BD_UNKNOWN names those there are. */
bd_status bd_language_read(const char *text, bd_language *out, bd_error *err) BD_MUST_CHECK;

/* Adds the sentence of a line.  A key without a sentence (a bug, found by check-words) gives
 * "[key]". */
void bd_words_line(bd_language language, const bd_line *line, bd_text *out);

/* Adds the sentence of a key without arguments: headings, labels. */
void bd_words_key(bd_language language, const char *key, bd_text *out);

/* True when the language has a sentence for the key. */
bool bd_words_has(bd_language language, const char *key);

/*
 * Adds a number or range with its unit as a person reads it: three significant
 * digits, never fewer than the whole part has ("1234 g"), ranges as
 * "0.9 to 6.4 g (about 2.1)"; a share of 1 unit "" as a plain number.
 */
void bd_words_amount(bd_language language, bd_range value, const char *unit, bd_text *out);

#endif
