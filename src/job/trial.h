/*
 * trial.h - how much of a stopped dose may be given, found by asking the guard.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_TRIAL_H
#define BD_JOB_TRIAL_H

#include "card/card.h"

/* Judges `share` (0..1) of what was asked and adds the findings to `card`. */
typedef bd_status (*bd_trial)(const void *what, double share, bd_card *card);

typedef struct bd_most {
    double amount; /* the most that does not stop, never above what was asked        */
    double usual;  /* the most that is within every ceiling as well, and raises salt no more than
                      the trade does where no label speaks; HUGE_VAL: amount */
} bd_most;

/*
 * The most of `asked` that its trial does not stop.
 *
 *   asked    what was asked, in any unit, above 0; its high end
 *   ceiling  what the limits alone allow, same unit; HUGE_VAL when they say nothing
 *
 * The ceiling is the answer where nothing else stops there.  Otherwise halving
 * finds the amount, cut down to three digits so that its print is not above it.
 * Holds for what gets worse with the amount: a precipitate, salt, a loss of yield.
 * Example: 100 g asked, nothing stops up to 41.27 g -> 41.2 g.
 */
bd_most bd_trial_most(bd_trial trial, const void *what, double asked, double ceiling);

/* An amount cut down to the three digits of its print; 0 and below -> 0.  41.27 -> 41.2. */
double bd_cut_down(double x);

#endif
