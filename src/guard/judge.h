/*
 * judge.h - a finished number against its label and its ceiling: the findings.
 *
 * May include: base/, quantity/, nutrients/, model/, card/.
 *
 * Which limit does what (the table of the design):
 *   over the label of the product in hand                      stop
 *   over a ceiling that is published or worked out             stop; care within an entered label
 *   ceiling 0, "never on ..."                                  stop
 *   over a ceiling that is common practice or from memory      care; within an entered label both
 *                                                              are named
 *   no ceiling known for this use                              care, with the figure of the
 *                                                              nearest use where there is one
 *   another crop group's ceiling was borrowed                  care at best; stop over every
 *                                                              ceiling in print
 */
#ifndef BD_GUARD_JUDGE_H
#define BD_GUARD_JUDGE_H

#include "card/card.h"
#include "model/ceiling.h"

typedef struct bd_judged {
    const char *id;     /* of the finding: "limit.foliar"                             */
    const char *name;   /* what is judged, for the sentence: "potassium nitrate"      */
    double value;       /* the high end of what is asked                              */
    const char *unit;   /* of value, ceiling and label                                */
    double label_max;   /* what the user's label allows in that unit; 0 when not said */
    bool is_label_told; /* the label is judged in its own unit elsewhere and only lifts here */
    bd_ceiling ceiling;
    double ceiling_scale;        /* ceiling times this is in `unit` (mg/L -> g/L); 0 reads 1 */
    bool is_silent_when_unknown; /* no "nothing is known" finding: an extra check   */
    const char *other_use_key; /* set where no ceiling is known for this use and the one at hand is
                                  of another (for feed with every watering, while this is given now
                                  and then): over it asks for care with this sentence */
} bd_judged;

/*
 * Adds the findings and gives back the most that does not stop [unit of value],
 * HUGE_VAL when nothing stops it, 0 for "never".
 */
double bd_judge(bd_card *card, const bd_judged *judged);

/* True of a finding of care that bd_judge made because a ceiling of the trade's, made for this very
 * use, is passed and no label allows it. */
bool bd_passes_the_usual(const bd_finding *finding);

/* True when a is over b by more than rounding in the last digits of a double, or not a number. */
bool bd_is_over(double a, double b);

#endif
