/*
 * season.h - the parts of the job season: one group of bags after the other, from
 * its site through its account to its rounds and what comes after.
 *
 * Shared by season*.c; not for the command.
 *
 * Days are counted from sowing, amounts are g in one bag, nutrients are N, P2O5
 * and K2O (model/npk.h), unless a name says otherwise.
 */
#ifndef BD_JOB_SEASON_H
#define BD_JOB_SEASON_H

#include "job/bags.h"
#include "model/ceiling.h"
#include "model/credit.h"
#include "model/fill.h"
#include "model/need.h"
#include "model/rounds.h"
#include "model/settle.h"
#include "model/watering.h"
#include "record/record.h"
#include "request/garden.h"

/* The nutrients a season has a ceiling for: those planned, and boron. */
enum { BD_SEASON_BORON = BD_NPK_COUNT, BD_SEASON_LIMITS };

enum { BD_SEASON_CREDITS_MAX = 32, BD_SEASON_DAYS_MAX = 1000, BD_SEASON_OWN_MAX = 12 };

/* Recorded days with salt that a root zone follows beside the rounds to come. */
enum { BD_SEASON_PAST_MAX = BD_DRESSINGS_MAX - BD_ROUNDS_MAX };

/* One way of carrying the grower's own field rate into the bag. */
typedef struct bd_season_own {
    int nutrient;
    bd_need_basis basis;
    double g_per_bag;
    bool is_used;
} bd_season_own;

/* The ceiling of a nutrient in a season, carried into the bag [g a bag; N, P2O5, K2O; B]. */
typedef struct bd_season_limit {
    bd_ceiling ceiling; /* per area of field; limit NULL: none is known for the crop */
    bd_need_basis basis;
    double stand_per_m2; /* of that field; by plants only */
    bool is_usual_stand; /* the crop's, for the file says none */
    double most_g;       /* HUGE_VAL when none is known                         */
    double already_g;    /* what may be there already: the high end of all of it */
    double room_g;       /* left for the rounds: not below 0                     */
} bd_season_limit;

typedef struct bd_season_group {
    const bd_garden_group *garden;
    char place[160]; /* for messages: "terrace.garden.json#/groups/0" */

    /* site */
    bd_planting planting;
    bd_bags bags;
    bd_medium mixed; /* what bags.medium points to when the mix is made of parts */
    bool has_fill;
    bd_fill fill;
    int season_days;
    int today;    /* may lie before the sowing and after the harvest */
    int from_day; /* today, or the sowing when that is still to come */
    bool is_over;
    bd_watering watering;
    bd_record_sum given; /* from sowing until today */
    bd_record_sum fed;   /* the same without sprays, which supplement and do not feed */
    size_t rounds_given; /* days on which it was fed, by the record, sprays and homemade apart */
    size_t fed_on_top;   /* of them those after the day of sowing */
    bd_range read_ece;   /* of the mix: a reading turned into ECe, else what its parts bring,
                            else a fresh mix's [dS/m] */

    /* account */
    bd_need needs[BD_NEEDS_MAX];
    size_t need_count;
    bd_season_own own[BD_SEASON_OWN_MAX];
    size_t own_count;
    bd_need_basis asked_basis;         /* BD_BASIS_NONE: the file does not say */
    const bd_need *used[BD_NPK_COUNT]; /* NULL: the grower's own list leaves it out, or no way */
    double need_g[BD_NPK_COUNT];
    bd_credit credits[BD_SEASON_CREDITS_MAX];
    size_t credit_count;
    bd_account account;
    bd_season_limit limits[BD_SEASON_LIMITS];

    /* plan */
    bd_dressing past[BD_SEASON_PAST_MAX]; /* what the record says was given, from from_day on */
    size_t past_count;
    bool is_dissolved;
    double pour_l;                     /* on one bag each time; 0 when dry */
    bd_shelf_item items[BD_SHELF_MAX]; /* as the shelf is ordered          */
    bd_ceiling ceilings[BD_SHELF_MAX]; /* of one round, g per bag          */
    bd_shelf_choice choice;
    bd_rounds_order order;
    double most_pour_load_ds_l_per_m; /* salt of what is poured at a time; HUGE_VAL */
    bd_rounds rounds;
    bool has_outlook;
    bd_outlook outlook;
    double ece_of_day[BD_SEASON_DAYS_MAX + 1]; /* typical, from from_day on */
    double most_ece_ds_per_m;                  /* HUGE_VAL when no tolerance is known */
    double shortfall[BD_NPK_COUNT], surplus[BD_NPK_COUNT];
    double unmeasured_g[BD_NPK_COUNT]; /* of the shortfall: too little to measure out */

    /* after */
    bool is_rescued;
    bd_rescue rescue;
    double rescue_portion_l, rescue_target_ds_per_m;
    double rescue_rinsed_l;        /* plain water on a bag since, by the record */
    bd_range rescue_ece_before;    /* of the mix today but for the overdose [dS/m] */
    double rescue_load_ds_l_per_m; /* salt of what stays, before washing out */
    const bd_material *rescue_material;
    double rescue_share[BD_NPK_COUNT]; /* of the product, kg/kg */
    bool is_settled;
    bd_settlement settlement;
    bd_reuse reuse;
    bd_flush flush; /* before the next crop */
    double flush_portion_l;
} bd_season_group;

typedef struct bd_season {
    const bd_knowledge *know;
    const bd_request *request;
    const bd_garden *garden;
    const char *path;          /* of the garden file, for messages */
    const bd_records *records; /* never NULL */
    bd_card *card;
    bd_error *err;
    bd_request *shelf_ask; /* the shelf as products of a request */
    bd_offers shelf;
    bd_knowledge own_know; /* `know` with the water of an analysis, where there is one */
    const bd_water *water; /* of the garden; NULL when it does not say */
    double water_ec_ds_per_m;
    double dissolves_g_per_l[BD_SHELF_MAX]; /* most in a bottle; 0: not known; with a can only */
    unsigned dropped;                       /* bits of products not worth their pack */
    bd_season_group *groups;                /* as the garden's */
    size_t group_count;
    bool has_prices;
} bd_season;

/*
 * The season of a garden, onto an initialised card.
 *
 *   path     of the garden file, for messages
 *   records  what was given; may be empty
 *
 * Returns BD_OK with a complete card, or the first trouble with the garden.
 */
bd_status bd_season_card(const bd_knowledge *know, const bd_request *request,
                         const bd_garden *garden, const char *path, const bd_records *records,
                         bd_card *card, bd_error *err) BD_MUST_CHECK;

/* Records trouble at a key of the group (NULL: at the group) and gives it back. */
bd_status bd_season_fail(const bd_season *s, const bd_season_group *g, const char *key,
                         const bd_error *e);

/* Takes over what a card of one kind of bag says: assumptions, findings, cautions, each once. */
void bd_season_take(bd_season *s, const bd_card *own);

/* season_water.c: what the bags are watered with. */
bd_status bd_season_water(bd_season *s) BD_MUST_CHECK;
/* N, P2O5 and K2O in it [mg/L]; boron [mg/L]. */
bd_npk bd_season_water_npk(const bd_season *s);
double bd_season_water_boron(const bd_season *s);

/* season_site.c: bags, mix, days, water use. */
bd_status bd_season_site(bd_season *s, bd_season_group *g) BD_MUST_CHECK;
/* The bag from sowing through today to harvest, with the record's dressings; after a reading or
 * an overdose from today on.  `g` must outlive it. */
bd_rootzone bd_season_zone(const bd_season *s, const bd_season_group *g);
/* Days from sowing to the first of the zone: until today, at most until the harvest. */
int bd_season_age(const bd_season_group *g);
/* ECe of the mix today [dS/m]. */
bd_status bd_season_ece_now(const bd_season *s, const bd_season_group *g,
                            bd_range *out) BD_MUST_CHECK;

/* season_account.c: need, credits, what is to give. */
bd_status bd_season_account(bd_season *s, bd_season_group *g) BD_MUST_CHECK;

/* What field rates are carried over by: plough layer, and the stand that the file says or 0. */
bd_field bd_season_field(const bd_season *s, const bd_season_group *g);

/* season_limit.c: the ceilings of a whole season, in the bag; asks for the account. */
bd_status bd_season_limits(bd_season *s, bd_season_group *g) BD_MUST_CHECK;
void bd_season_tell_limits(const bd_season *s, const bd_season_group *g);
/* Each need the file says against target-absurd times the richest guide, carried into the bag
 * as the need was, a number for the bag on the way that lets most through: above it is a slip of
 * the hand, finding limit.target, which stops. */
bd_status bd_season_judge_needs(const bd_season *s, const bd_season_group *g) BD_MUST_CHECK;
/* What is to give of a nutrient within the season's ceiling [g a bag]; 0 after the harvest. */
double bd_season_to_give(const bd_season_group *g, int nutrient);
/* One line for what is given and no ceiling of a season is known of. */
void bd_season_tell_no_limit(const bd_season *s);
/* The ceiling of a season of a nutrient [g a m2 of field]; asks for one. */
double bd_season_limit_rate(const bd_season_group *g, int nutrient);
/* What of the shortfall the season's ceiling makes [g a bag]. */
double bd_season_cut(const bd_season_group *g, int nutrient);

/* season_shelf.c: the products, and what holds for one round of them. */
bd_status bd_season_shelf(bd_season *s) BD_MUST_CHECK;
bd_status bd_season_ceilings(bd_season *s, bd_season_group *g) BD_MUST_CHECK;

/* season_cans.c: what a strong solution of each product may hold. */
bd_status bd_season_dissolve(bd_season *s) BD_MUST_CHECK;
/* Whether a round of so much a bag can be weighed for all bags together, in 20 steps of the scale,
 * or shared out as a strong solution. */
bool bd_season_is_measurable(const bd_season *s, const bd_season_group *g, size_t product,
                             double grams);

/* season_plan.c: the choice of products for all groups, and the rounds. */
bd_status bd_season_plan_rounds(bd_season *s) BD_MUST_CHECK;
/* The money for whole packs beyond the stock; 0 without a price. */
double bd_season_price(const bd_garden_product *product, double grams);
/* Grams of a product for all bags of all groups. */
double bd_season_total(const bd_season *s, size_t product);

/* season_after.c: an overdose, sprays, late nitrogen, the harvest. */
bd_status bd_season_rescue(bd_season *s, bd_season_group *g) BD_MUST_CHECK;
bd_status bd_season_settle(bd_season *s, bd_season_group *g) BD_MUST_CHECK;
/* What came to a bag (g), against a harvest of the group's crop (kg a bag), and what is carried
 * over; fails as bd_settle_bag does. */
bd_status bd_season_balance(const bd_season *s, const bd_season_group *g, const bd_npk *in,
                            double harvest_kg, bd_settlement *out, bd_error *err) BD_MUST_CHECK;
void bd_season_tell_sprays(const bd_season *s, const bd_season_group *g);

/* season_short.c: what stays short, what keeps it so, and what would help. */
void bd_season_tell_short(const bd_season *s, const bd_season_group *g);

/* season_show.c: findings, figures and tables. */
bd_status bd_season_show(bd_season *s) BD_MUST_CHECK;

#endif
