#include "job/ahead.h"

#include <math.h>
#include <string.h>

#include "nutrients/cite.h"

enum { DEFAULT_CYCLE_DAYS = 90, SHORTEST_OUTLOOK_DAYS = 7 };

static const double longest_d = 1000.0; /* more is followed no further */

static double cycle_days(const bd_crop *crop)
{
    if (crop != NULL && crop->days_to_harvest.is_known)
        return crop->days_to_harvest.value.typical;
    return DEFAULT_CYCLE_DAYS;
}

static const bd_fact *first_dressing(const bd_knowledge *know)
{
    return bd_catalogue_practice(know->catalogue, "sidedress-first");
}

bd_ahead bd_ahead_of(const bd_knowledge *know, const bd_request *request, const bd_crop *crop)
{
    const bd_value *left = bd_request_get(request, BD_OPT_DAYS_LEFT);
    double cycle = cycle_days(crop);
    bd_ahead ahead = {.is_assumed = left == NULL};

    if (left != NULL) {
        ahead.left_days = (int)ceil(fmin(left->number.typical, longest_d));
        ahead.age_days = (int)fmax(0.0, cycle - ahead.left_days);
        return ahead;
    }
    ahead.age_days = (int)fmin(first_dressing(know)->value.typical, cycle / 2.0);
    ahead.left_days = (int)fmax(SHORTEST_OUTLOOK_DAYS, cycle - ahead.age_days);
    return ahead;
}

void bd_ahead_tell(const bd_knowledge *know, const bd_ahead *ahead, bd_card *card)
{
    double left = ahead->left_days;
    char source[BD_CITE_SIZE];

    if (!ahead->is_assumed)
        return;
    for (size_t i = 0; i < card->assumption_count; i++)
        if (strcmp(card->assumptions[i].id, "days_left") == 0)
            return;
    bd_card_assume(card, "days_left", W("assume.days_left"),
                   BD_ARGS(bd_count(ahead->age_days), bd_count(left)),
                   &(bd_range){left, left, left}, "d", bd_cite_fact(first_dressing(know), source));
}
