#include "job/trial.h"

#include <math.h>
#include <string.h>

#include "guard/judge.h"

enum { HALVINGS = 20, DIGITS = 3 };

static bool stops(bd_trial trial, const void *what, double share)
{
    bd_card card;
    bool does_stop;

    bd_card_init(&card, "");
    does_stop = trial(what, share, &card) != BD_OK || bd_card_verdict(&card) == BD_STOP;
    bd_card_clear(&card);
    return does_stop;
}

static double largest_share(bd_trial trial, const void *what, double stopped)
{
    double low = 0.0, high = stopped;

    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (low + high);

        if (stops(trial, what, middle))
            high = middle;
        else
            low = middle;
    }
    return low;
}

double bd_cut_down(double x)
{
    static const double rounding = 1e-9; /* 17.4 is 173.99999999999997 tenths */
    double step;

    if (!(x > 0.0))
        return 0.0;
    step = pow(10.0, floor(log10(x)) + 1 - DIGITS);
    return floor(x / step + rounding) * step;
}

static bool has_label(const bd_card *card)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, "limit.label") == 0)
            return true;
    return false;
}

/* A ceiling of the trade's or, where no label speaks, the rise of salt: what follows the dose in
 * step. */
static bool is_over_a_rate(const bd_card *card, const bd_finding *f)
{
    if (bd_passes_the_usual(f))
        return true;
    return f->level == BD_CARE && strcmp(f->id, "limit.soil.rise") == 0 && !has_label(card);
}

static double usual_of(bd_trial trial, const void *what, double share, double amount)
{
    double usual = HUGE_VAL;
    bd_card card;

    bd_card_init(&card, "");
    if (trial(what, share, &card) == BD_OK)
        for (size_t i = 0; i < card.finding_count; i++)
            if (is_over_a_rate(&card, &card.findings[i]))
                usual = fmin(usual, amount * card.findings[i].limit / card.findings[i].value);
    bd_card_clear(&card);
    return usual;
}

bd_most bd_trial_most(bd_trial trial, const void *what, double asked, double ceiling)
{
    bd_most most = {.amount = fmin(asked, ceiling), .usual = HUGE_VAL};

    if (!(most.amount > 0.0))
        return (bd_most){0.0, HUGE_VAL};
    if (stops(trial, what, most.amount / asked))
        most.amount = bd_cut_down(asked * largest_share(trial, what, most.amount / asked));
    if (most.amount > 0.0)
        most.usual = usual_of(trial, what, most.amount / asked, most.amount);
    return most;
}
