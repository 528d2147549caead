#include "job/mix_feed.h"

#include <math.h>

static const double days_of_a_week = 7.0;
static const char practice[] = "the mix's sack; common practice, no source";

/* Since filling; today where nobody said. */
static double age_of(const bd_request *request, bd_card *card)
{
    const bd_value *age = bd_request_get(request, BD_OPT_MIX_AGE);

    if (age != NULL)
        return age->number.typical;
    bd_card_assume(card, "mix.age", W("assume.mix_age"), BD_NO_ARGS, NULL, "",
                   "common practice, no source");
    return 0.0;
}

double bd_mix_feed_tell(const bd_request *request, bd_card *card)
{
    const bd_value *lasts = bd_request_get(request, BD_OPT_MIX_FEEDS);
    double lasts_d, age_d, left_d;

    if (lasts == NULL)
        return 0.0;
    lasts_d = lasts->number.typical;
    age_d = age_of(request, card);
    left_d = ceil(lasts_d - age_d);
    if (!(left_d > 0.0)) {
        bd_card_find_limit(card, "mix.feeds", BD_NOTE, W("mix.fed"),
                           BD_ARGS(bd_amount(lasts_d, "d"), bd_amount(age_d, "d")), age_d, lasts_d,
                           "d", practice);
        return 0.0;
    }
    bd_card_find_limit(card, "mix.feeds", BD_CARE, W("mix.feeds"),
                       BD_ARGS(bd_amount(lasts_d, "d"), bd_amount(age_d, "d"),
                               bd_amount(left_d, "d"),
                               bd_amount(round(left_d / days_of_a_week), "")),
                       age_d, lasts_d, "d", practice);
    return left_d;
}
