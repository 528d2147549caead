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

static double ceiling_in_unit(const bd_judged *j)
{
    return j->ceiling.most * (j->ceiling_scale > 0.0 ? j->ceiling_scale : 1.0);
}

static bool says_why(const bd_judged *j)
{
    return j->ceiling.limit != NULL && j->ceiling.limit->note != NULL &&
           j->ceiling.limit->note[0] != '\0';
}

static void find(bd_card *card, const bd_judged *j, const char *id, bd_level level, const char *key,
                 double limit, const char *source)
{
    bd_card_find_limit(
        card, id, level, key,
        BD_ARGS(bd_name(j->name), bd_amount(j->value, j->unit), bd_amount(limit, j->unit),
                bd_amount(j->label_max, j->unit),
                bd_name(j->ceiling.limit == NULL ? "" : j->ceiling.limit->crop_title),
                bd_name(says_why(j) ? j->ceiling.limit->note : "")),
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
         is_over ? W("guard.over_label") : W("guard.within_label"), j->label_max, "--label-max");
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

static double judge_ceiling(bd_card *card, const bd_judged *j)
{
    const bd_fact *fact = &j->ceiling.limit->value;
    double most = ceiling_in_unit(j);
    char source[BD_CITE_SIZE];
    bool is_over = bd_is_over(j->value, most);
    bool can_stop = bd_trust_can_stop(j->ceiling.trust) && j->other_use_key == NULL;

    (void)bd_cite(fact->source, j->ceiling.trust, source);
    if (j->ceiling.is_never) {
        if (!(j->value <= 0.0))
            find(card, j, j->id, BD_STOP, says_why(j) ? W("guard.never_because") : W("guard.never"),
                 0.0, source);
        return 0.0;
    }
    if (is_over && is_within_label(j))
        find(card, j, j->id, BD_CARE, W("guard.over_ceiling_within_label"), most, source);
    else if (is_over && can_stop)
        find(card, j, j->id, BD_STOP, W("guard.over_ceiling"), most, source);
    else if (is_over)
        find(card, j, j->id, BD_CARE, over_soft_key(j, most), most, source);
    else if (j->ceiling.is_borrowed)
        find(card, j, j->id, BD_CARE, W("guard.within_borrowed"), most, source);
    else
        find(card, j, j->id, BD_NOTE, W("guard.within"), most, source);
    if (!can_stop)
        return HUGE_VAL;
    return j->label_max > most ? j->label_max : most;
}

bool bd_passes_the_usual(const bd_finding *f)
{
    return f->level == BD_CARE && (strcmp(f->line.key, W("guard.over_soft_ceiling")) == 0 ||
                                   strcmp(f->line.key, W("guard.far_over")) == 0);
}

/* Above everything published, no crop and no habit of the trade helps; only the label may. */
static double judge_roof(bd_card *card, const bd_judged *j)
{
    double scale = j->ceiling_scale > 0.0 ? j->ceiling_scale : 1.0, roof = j->roof * scale;
    char source[BD_CITE_SIZE];

    if (!(j->roof > 0.0) || j->roof_row == NULL)
        return HUGE_VAL;
    if (j->label_max > roof)
        return j->label_max; /* over that judge_label has stopped already */
    if (!bd_is_over(j->value, roof) || bd_card_verdict(card) == BD_STOP)
        return roof;
    (void)bd_cite(j->roof_row->value.source, j->roof_row->value.trust_high, source);
    bd_card_find_limit(card, j->id, BD_STOP, W("guard.over_roof"),
                       BD_ARGS(bd_name(j->name), bd_amount(j->value, j->unit),
                               bd_amount(roof, j->unit), bd_name(j->roof_row->crop_title)),
                       j->value, roof, j->unit, source);
    return roof;
}

double bd_judge(bd_card *card, const bd_judged *j)
{
    double by_label = judge_label(card, j), by_ceiling, by_roof;

    if (j->ceiling.limit == NULL) {
        if (!j->is_silent_when_unknown)
            bd_card_find(card, j->id, BD_CARE, W("guard.no_ceiling"), BD_ARGS(bd_name(j->name)),
                         "");
        return by_label;
    }
    by_ceiling = judge_ceiling(card, j);
    by_roof = judge_roof(card, j);
    return fmin(by_label, fmin(by_ceiling, by_roof));
}
