/*
 * habits.h - what the trade usually does with root crops in bags, beside what is
 * published for the crop, both shown where they differ.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_HABITS_H
#define BD_JOB_HABITS_H

#include "job/offers.h"

/* Sowing depth and spacing, and days to harvest; for root crops only. */
void bd_habits_tell_growing(const bd_knowledge *know, const bd_planting *planting, bd_card *card);

/* On which days root crops are side-dressed. */
void bd_habits_tell_dressing(const bd_knowledge *know, const bd_planting *planting, bd_card *card);

#endif
