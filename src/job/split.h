/*
 * split.h - a feed that is too strong, as more and weaker feeds.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_SPLIT_H
#define BD_JOB_SPLIT_H

#include "job/dissolved.h"
#include "job/trial.h"

typedef struct bd_splitting {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_planting *planting;
    const bd_bath *bath;   /* of the one product, as strong as it was asked */
    double season_g;       /* of product, for one bag, in all feeds */
    double per_bag_l;      /* poured on a bag each time             */
    double label_g_per_l;  /* what the label surely allows; 0: it says nothing */
    bool is_over_label;    /* as it was asked                       */
    bd_trial judge_season; /* the whole season's product in feeds of a share of the strength */
    const void *judged;    /* for it                                */
} bd_splitting;

/*
 * Adds table "split" when the feed is over its label or over a ceiling of the
 * product, of one of its nutrients or of conductivity: for the usual and the highest
 * strength of each such ceiling the litres a bag takes in all, how many feeds that
 * is, how many days apart, and whether they are over before harvest (--days-left,
 * else the days that are assumed, which the card then tells).  Strength and interval
 * stand in one row, for neither is safe without the other.
 *
 * No row is over the label, over a published or worked out ceiling of its own rhythm,
 * or such that `judge_season` stops it; so no table where the sum of all feeds is too
 * much.
 *
 * Method   litres = season's grams / strength; feeds = litres / litres each time,
 *          rounded up.  The days between are the usual ones, fewer where harvest
 *          is near, never fewer than the ceiling's own rhythm allows.
 * Example  12 g of 0-0-50 a bag, 1.5 L each time: at 200 mg K/L (0.48 g/L) 24.9 L,
 *          17 feeds.
 */
void bd_split_show(const bd_splitting *splitting, bd_card *card);

/*
 * Days from one feed of a strength to the next, as in a row of the table: of the
 * rhythm "each watering" where a ceiling for that is known and none is passed, else
 * of once a week.  0 where feeds of that strength would be stopped as a season: what
 * may be given but once has no interval.
 *
 *   g_per_l  of the product; 0 -> 0
 */
double bd_split_days_apart(const bd_splitting *splitting, double g_per_l);

/*
 * A thinned stock over a ceiling: findings "stock.thin" and "stock.thin.weekly", the
 * ratio and strength that keep to every ceiling of a rhythm and to the labels, with
 * the days between.  Nothing for a rhythm without a ceiling that is passed.
 *
 *   feed   what is poured, as asked
 *   parts  of which one is stock, as asked [1..]
 */
void bd_split_tell_stock(const bd_knowledge *know, const bd_request *request,
                         const bd_planting *planting, const bd_bath *feed, double parts,
                         bd_card *card);

#endif
