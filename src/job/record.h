/*
 * record.h - what the record of a group says to a dose that is to be given now.
 *
 * Shared by the jobs; not for the command.
 *
 * A dosing job that takes --record and --group calls bd_record_judge once its
 * doses are known, before it decides what of them to show as an instruction; each
 * dose then says how much the record leaves of it.
 */
#ifndef BD_JOB_RECORD_H
#define BD_JOB_RECORD_H

#include "job/offers.h"
#include "request/garden.h"
#include "record/record.h"

/* One product of the dose, on one bag at one giving. */
typedef struct bd_record_dose {
    const bd_material *material; /* NULL for an own label */
    const char *title;           /* for sentences         */
    bd_record_use use;
    bd_range g_per_bag;
    bd_range gives_g_per_bag[BD_NUTRIENT_COUNT]; /* ELEMENT */
    double times;               /* it is to be given in the year from now; at least 1 */
    double permitted_g_per_bag; /* set: the most each time, HUGE_VAL when nothing stops */
} bd_record_dose;

/* What an offer brings as if all of it came out: a ceiling is judged on the most. */
bd_record_dose bd_record_dose_of(const bd_offer *offer, bd_record_use use, bd_range g_per_bag,
                                 double times);

/* Where it goes. */
typedef struct bd_record_bags {
    double area_m2;                 /* of one bag; 0 when not known          */
    const char *const *crop_groups; /* of the crop; NULL when it is not said */
} bd_record_bags;

/*
 * Adds the findings of the record; without --record it does nothing.
 *
 *   record.year     a ceiling on a year (ash, boron) or a season (potash, by plants or by
 *                   area as job/ground.h says) with this dose: over it stops where the
 *                   ceiling is published, else care
 *   record.sprays   sprays of the season with these: the same
 *   record.interval sprayed too short a time ago: care
 *   record.last     fed within seven days: care unless it was --who, then a note
 *   record.unknown  feeds of which nobody knows what they brought: care
 *   record.absent   there is no such file yet: care, for it may be a wrong name
 *   record.torn     a torn end: care
 *   record.later    entries after --date, which are left out: care
 *   record.no_such_group  nothing of this group is on file, of others there is: a note
 *
 * A year is the 365 days up to today or --date, or the time since --since.
 *
 * Returns BD_OK, BD_MISSING for --record without --group or the other way round and
 * for --date without them, and what bd_record_load does.
 */
bd_status bd_record_judge(const bd_knowledge *know, const bd_request *request,
                          const bd_record_bags *bags, bd_record_dose *doses, size_t count,
                          bd_card *card, bd_error *err) BD_MUST_CHECK;

/* ---- for the parts of the job `record` itself ---- */

/* The day it is about: --date, else today. */
bd_status bd_record_today(const bd_request *request, int *day, bd_error *err) BD_MUST_CHECK;

/* Entries of the group behind the days that count: --date looks back, and they are left out. */
void bd_record_tell_later(const bd_records *records, const bd_record_query *query,
                          const bd_request *request, bd_card *card);

/* The days that count: from --since, or a year back, up to --date, or tomorrow
 * somewhere on earth. */
bd_status bd_record_days(const bd_request *request, bd_card *card, bd_record_query *query,
                         bd_error *err) BD_MUST_CHECK;

/* Says what is wrong with the file and is no error: torn end, no file. */
void bd_record_tell_state(const bd_records *records, const char *path, bd_card *card);

/* Who fed last, when that was within a week. */
void bd_record_tell_last(const bd_records *records, const bd_record_query *query, int today,
                         const char *who, bd_card *card);

/*
 * The ceilings on a year and on the sprays of a season for one material, with
 * what is to come on top of the record.
 *
 *   times   how often the dose is to come; 0 asks what is left
 *
 * Returns the grams of the product that one bag may still get in the year,
 * HUGE_VAL when nothing stops, 0 when the sprays are used up.
 */
double bd_record_judge_material(const bd_knowledge *know, const bd_records *records,
                                const bd_record_query *query, int today, const bd_record_bags *bags,
                                const bd_record_dose *dose, bd_card *card);

/* `record left` and `record show`, with the record read. */
bd_status bd_record_left(const bd_knowledge *know, const bd_request *request,
                         const bd_records *records, bd_card *card, bd_error *err) BD_MUST_CHECK;
void bd_record_show(const bd_records *records, const char *group, bd_card *card);

/* Figures nutrient.<form>.given_per_bag of a sum without sprays, and .sprayed_per_bag: what went
 * onto leaves meets no need of the season. */
void bd_record_show_given(const bd_record_sum *sum, bd_card *card);
void bd_record_show_sprayed(const bd_record_sum *sum, bd_card *card);

/* False when the file holds entries and none of the group: then record.no_such_group names those
 * it knows, for the name may be wrong. */
bool bd_record_tell_group(const bd_records *records, const char *group, bd_level level,
                          bd_card *card);

/* A group that the garden does not have: its feeds would be counted for nobody. */
void bd_record_tell_garden(const bd_garden *garden, const char *group, bd_card *card);

/* One entry as the table "record" of a card. */
void bd_record_table(const bd_entry *entries, size_t count, const char *group, bd_card *card);

#endif
