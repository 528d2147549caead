/*
 * feed_rules.h - what homemade feeds must not do: intervals before harvest, ash
 * and alkali, ammonia, leaves, salt, nitrogen draw-down, animals.
 *
 * May include: base/, quantity/, nutrients/, model/, card/.
 */
#ifndef BD_GUARD_FEED_RULES_H
#define BD_GUARD_FEED_RULES_H

#include <stdbool.h>
#include <stddef.h>

#include "card/card.h"
#include "nutrients/catalogue.h"

/* What is known of the feed and of the bags it goes to. */
typedef struct bd_feed_facts {
    const bd_catalogue *catalogue;
    const bd_material *materials[8]; /* NULL for an own label      */
    double given_g[8];               /* at one feeding, all bags, high end */
    double given_l[8];               /* of liquids                 */
    size_t count;
    const bd_crop *crop; /* NULL when not said */
    bool is_dry, is_on_leaves, is_hard_water;
    bool has_days_left, has_medium_ph, has_stored;
    double days_left, medium_ph, stored_days;
    double area_m2;           /* of all bags; 0 when not known */
    double rounds;            /* feedings in the year          */
    double label_g_per_m2[8]; /* that a label allows in all of them; 0 when none is entered */
} bd_feed_facts;

/*
 * Adds the findings, each with the figure and source of its rule; those that
 * stop are published intervals and rates, "never on leaves", and gas.
 */
void bd_feed_rules_apply(bd_card *card, const bd_feed_facts *facts);

/*
 * True of a material with a rate per area of its own that bd_feed_rules_apply judges or asks the
 * size for: no "nothing is known" then.
 *
 *   m        NULL for an own label
 *   area_m2  where it goes; 0 when not known: an ash is then told its rate, urine is not
 */
bool bd_feed_has_own_rate(const bd_material *m, double area_m2);

#endif
