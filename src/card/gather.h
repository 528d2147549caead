/*
 * gather.h - cards of one job about several kinds of bags, put into one.
 *
 * May include: base/, card/card.h.
 *
 * What all parts say alike is said once.  What differs is said for each: a figure
 * and a table carry the mark of their part at the end of the id ("bag.area.A",
 * "product.per_bag.A.permitted"), and every sentence says what part it speaks of.
 */
#ifndef BD_CARD_GATHER_H
#define BD_CARD_GATHER_H

#include "card/card.h"

typedef struct bd_card_part {
    const bd_card *card;
    const char *mark; /* "A"                                                     */
    bd_line name;     /* "A (bags: 12)": before findings and what is permitted */
} bd_card_part;

/* What is not simply taken over.  Lists of ids are ended by NULL. */
typedef struct bd_gather_rules {
    const char *const *never;     /* figures and findings: the caller's, such as sums of one part */
    const char *const *when_same; /* figures taken when all parts agree; else a table's job   */
    bool is_one_mix; /* the parts share one mix: permitted of it is the least of any part */
} bd_gather_rules;

/*
 * Adds the figures, assumptions, findings, cautions, working and tables of the parts
 * to `card`; its title is left alone.  Lines with one id stand together, in the
 * order of the parts; the working follows part after part.
 *
 *   parts, count  at least one, with different marks
 *   rules         see there
 */
void bd_card_gather(bd_card *card, const bd_card_part *parts, size_t count,
                    const bd_gather_rules *rules);

#endif
