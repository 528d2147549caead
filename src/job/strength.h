/*
 * strength.h - what is dissolved against its ceilings: products, nutrients, conductivity.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_STRENGTH_H
#define BD_JOB_STRENGTH_H

#include "job/dissolved.h"
#include "model/ceiling.h"

/*
 * The ceiling of a drench by its rhythm: what is given once a week, else what is
 * given with every watering; `other_use_key` is then set (see bd_judged), for a feed
 * given now and then may be stronger.  Other uses have one rhythm.
 */
bd_ceiling bd_rhythm_ceiling(const bd_limit *limits, size_t count, bd_ceiling_query *query,
                             const char **other_use_key);

/*
 * A product's strength against its label and the ceilings of a use.  Gives back the
 * most that does not stop [g/L].
 */
double bd_strength_judge(const bd_knowledge *know, const bd_planting *planting,
                         const bd_bath_dose *dose, bd_use use, const char *id, bd_card *card);

/* Nutrient strengths and conductivity of the whole against the ceilings of a use. */
void bd_bath_judge_nutrients(const bd_bath *bath, const bd_knowledge *know,
                             const bd_planting *planting, bd_use use, bd_card *card);

#endif
