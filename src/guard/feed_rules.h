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
    double area_m2; /* of all bags; 0 when not known */
    double rounds;  /* feedings in the year          */
} bd_feed_facts;

/*
 * Adds the findings, each with the figure and source of its rule; those that
 * stop are published intervals and rates, "never on leaves", and gas.
 */
void bd_feed_rules_apply(bd_card *card, const bd_feed_facts *facts);

#endif
