/*
 * season_tables.h - the tables of the card of a season, and what is told of an
 * overdose and of the mix after the harvest.
 *
 * Shared by season*.c; not for the command.  Columns are listed in season.c; a
 * table without rows is left out.
 */
#ifndef BD_JOB_SEASON_TABLES_H
#define BD_JOB_SEASON_TABLES_H

#include "job/season.h"
#include "model/measure.h"

enum {
    BD_SEASON_WAYS_SHOWN = 8
}; /* rows of the need table for a group, the most trusted first;
   a few more where a way or what is used would lack */

/* Each adds the table of its name to the card of the season. */
void bd_season_table_rounds(const bd_season *s);
void bd_season_table_cans(const bd_season *s);
/* Groups that get one product on one day. */
void bd_season_table_together(const bd_season *s);
/* Finding measure.can_error, where a can may be too far off. */
void bd_season_tell_cans(const bd_season *s, const bd_season_group *g);
/* A can that is below a step of the scale, or may be further off than measuring-error. */
bool bd_season_is_coarse(const bd_season *s, const bd_cans *cans);
/* What a round is called: the days on record count on, so that a plan made again keeps its names.
 */
double bd_season_round_number(const bd_season_group *g, size_t round);
/* Step of the scale [g]. */
double bd_season_scale_step(const bd_season *s);
void bd_season_table_supply(const bd_season *s);
void bd_season_table_shelf(const bd_season *s);
void bd_season_table_account(const bd_season *s);
void bd_season_table_credits(const bd_season *s);
void bd_season_table_needs(const bd_season *s);
void bd_season_table_days(const bd_season *s);
void bd_season_table_water(const bd_season *s);
/* Tables "rescue" and "settle". */
void bd_season_table_after(const bd_season *s);

/* Of a liquid whose density is known; else 0. */
double bd_season_millilitres(const bd_season *s, size_t product, double grams);
/* Something of the overdose lies dry on the bag and can be lifted off: nothing was poured since. */
bool bd_season_lifts(const bd_season_group *g);
/* The wait after an overdose is past, and nothing is left to wash out. */
bool bd_season_is_rescue_done(const bd_season *s, const bd_season_group *g);

/* Findings: what to do after too much was given; whether the mix may carry the next crop. */
void bd_season_tell_rescue(const bd_season *s, const bd_season_group *g);
void bd_season_tell_reuse(const bd_season *s, const bd_season_group *g);

#endif
