#include "guard/judge.h"

#include <math.h>
#include <string.h>

#include "nutrients/cite.h"

static const double rounding = 1e-9; /* relative: a dose computed from its own limit is within it */

bool bd_is_over(double a, double b)
{
    return !(a <= b + rounding * fabs(b));
}

/* Chooses the words of a finding that asks for care, never its level. */
static const double far_over = 5.0;

static double scale_of(const bd_judged *j)
{
    return j->ceiling_scale > 0.0 ? j->ceiling_scale : 1.0;
}

/* Why the row says so; "" where it does not, or there is no row. */
static const char *why(const bd_limit *row)
{
    return row == NULL || row->note == NULL ? "" : row->note;
}

static void find(bd_card *card, const bd_judged *j, const char *id, bd_level level, const char *key,
                 const bd_limit *row, double limit, const char *source)
{
    bd_card_find_limit(card, id, level, key,
                       BD_ARGS(bd_name(j->name), bd_amount(j->value, j->unit),
                               bd_amount(limit, j->unit), bd_amount(j->label_max, j->unit),
                               bd_name(row == NULL ? "" : row->crop_title), bd_name(why(row))),
                       j->value, limit, j->unit, source);
}

static double judge_label(bd_card *card, const bd_judged *j)
{
    bool is_over;

    if (!(j->label_max > 0.0))
        return HUGE_VAL;
    if (j->is_label_told)
        return j->label_max;
    is_over = bd_is_over(j->value, j->label_max);
    find(card, j, "limit.label", is_over ? BD_STOP : BD_NOTE,
         is_over ? W("guard.over_label") : W("guard.within_label"), NULL, j->label_max,
         "--label-max");
    return j->label_max;
}

static bool is_within_label(const bd_judged *j)
{
    return j->label_max > 0.0 && !bd_is_over(j->value, j->label_max);
}

/* Over a ceiling that only asks for care. */
static const char *over_soft_key(const bd_judged *j, double most)
{
    if (j->other_use_key != NULL)
        return j->other_use_key;
    return bd_is_over(j->value, far_over * most) ? W("guard.far_over")
                                                 : W("guard.over_soft_ceiling");
}

/* Over a ceiling in print. */
static void find_over(bd_card *card, const bd_judged *j, const char *key, const bd_limit *row,
                      double most)
{
    char source[BD_CITE_SIZE];

    (void)bd_cite(row->value.source, row->value.trust_high, source);
    if (is_within_label(j))
        find(card, j, j->id, BD_CARE, W("guard.over_ceiling_within_label"), row, most, source);
    else
        find(card, j, j->id, BD_STOP, key, row, most, source);
}

static double lifted_by_label(const bd_judged *j, double most)
{
    return fmax(j->label_max, most);
}

/* A ceiling in print behind one of common practice. */
static double judge_firm(bd_card *card, const bd_judged *j)
{
    double most = j->ceiling.firm_most * scale_of(j);

    if (j->ceiling.firm == NULL || j->other_use_key != NULL)
        return HUGE_VAL;
    if (bd_is_over(j->value, most))
        find_over(card, j, j->ceiling.is_borrowed ? W("guard.over_roof") : W("guard.over_ceiling"),
                  j->ceiling.firm, most);
    return lifted_by_label(j, most);
}

static double judge_never(bd_card *card, const bd_judged *j)
{
    const bd_limit *row = j->ceiling.limit;
    char source[BD_CITE_SIZE];

    if (!(j->value <= 0.0))
        find(card, j, j->id, BD_STOP,
             why(row)[0] != '\0' ? W("guard.never_because") : W("guard.never"), row, 0.0,
             bd_cite(row->value.source, j->ceiling.trust, source));
    return 0.0;
}

static double judge_ceiling(bd_card *card, const bd_judged *j)
{
    const bd_limit *row = j->ceiling.limit;
    double most = j->ceiling.most * scale_of(j);
    char source[BD_CITE_SIZE];
    bool is_over = bd_is_over(j->value, most);
    bool can_stop = bd_trust_can_stop(j->ceiling.trust) && j->other_use_key == NULL;

    (void)bd_cite(row->value.source, j->ceiling.trust, source);
    if (is_over && can_stop)
        find_over(card, j, W("guard.over_ceiling"), row, most);
    else if (is_over && is_within_label(j) && j->other_use_key == NULL)
        find(card, j, j->id, BD_CARE, W("guard.over_ceiling_within_label"), row, most, source);
    else if (is_over)
        find(card, j, j->id, BD_CARE, over_soft_key(j, most), row, most, source);
    else if (j->ceiling.is_borrowed)
        find(card, j, j->id, BD_CARE, W("guard.within_borrowed"), row, most, source);
    else
        find(card, j, j->id, BD_NOTE, W("guard.within"), row, most, source);
    return can_stop ? lifted_by_label(j, most) : HUGE_VAL;
}

bool bd_passes_the_usual(const bd_finding *f)
{
    return f->level == BD_CARE && (strcmp(f->line.key, W("guard.over_soft_ceiling")) == 0 ||
                                   strcmp(f->line.key, W("guard.far_over")) == 0);
}

double bd_judge(bd_card *card, const bd_judged *j)
{
    double by_label = judge_label(card, j), by_ceiling;

    if (j->ceiling.limit == NULL) {
        if (!j->is_silent_when_unknown)
            bd_card_find(card, j->id, BD_CARE, W("guard.no_ceiling"), BD_ARGS(bd_name(j->name)),
                         "");
        return by_label;
    }
    if (j->ceiling.is_never)
        return judge_never(card, j);
    by_ceiling = judge_ceiling(card, j);
    return fmin(by_label, fmin(by_ceiling, judge_firm(card, j)));
}
