/*
 * garden.h - a garden file: the bags of a season, what is on the shelf, what is
 * known already.
 *
 * May include: base/, quantity/, nutrients/, model/.  JSON itself stays in
 * garden.c.
 *
 * The form is nutrients/schema/garden.schema.json.  Keys that mean the same as an
 * option of the command line are read by that option's reader ("bag_size" as
 * --bag-size): amounts are texts with their unit, "1.5 L", counts may be plain
 * numbers.  Names of crops, materials and media are not looked up here.
 *
 * Everything is borrowed from the garden and good until bd_garden_free.
 */
#ifndef BD_REQUEST_GARDEN_H
#define BD_REQUEST_GARDEN_H

#include "base/text.h"
#include "request/request.h"

enum { BD_GARDEN_GROUPS_MAX = 64, BD_GARDEN_TARGETS_MAX = 8, BD_GARDEN_PARTS_MAX = 8 };

/* What a water is called whose analysis stands in the garden file without a name. */
#define BD_GARDEN_WATER "own-water"

/* Amounts of nutrients a person knows: "K2O 6 g/bag". */
typedef struct bd_garden_amounts {
    bd_value items[BD_GARDEN_TARGETS_MAX]; /* text and target */
    size_t count;
} bd_garden_amounts;

/* A part of a mix by volume. */
typedef struct bd_garden_part {
    const char *name;
    double share; /* of the loose parts together, 0..1; the shares of a mix add up to 1 */
} bd_garden_part;

/* A product on the shelf; its label is in `product`, as of the command line. */
typedef struct bd_garden_product {
    bd_value product[BD_OPT_LAST_OF_PRODUCT + 1];
    bool has_stock, has_price;
    double stock_g;    /* of it at hand, a volume by its density */
    double pack_g;     /* content of a pack, as well; 0: not said */
    double price;      /* of a pack, any currency        */
    const char *scoop; /* what it is measured with: "blue cap"; NULL */
    double scoop_g;    /* of it in a level one; 0 without a scoop */
} bd_garden_product;

/* A homemade feed that is given to some groups anyway. */
typedef struct bd_garden_feed {
    bd_request ask; /* material, mass, preparation, brew, days, dilute, per-bag, ec */
    const char *name;
    double times;              /* it is given in the season      */
    const char *const *groups; /* that get it, NULL ends         */
} bd_garden_feed;

/* A dose that went wrong. */
typedef struct bd_garden_overdose {
    bool is_given;
    const char *material; /* as on the shelf */
    double g_per_bag;
    int day;
} bd_garden_overdose;

typedef enum bd_garden_way { BD_GIVE_EITHER, BD_GIVE_DISSOLVED, BD_GIVE_DRY } bd_garden_way;

typedef enum bd_garden_need_from {
    BD_NEED_FROM_EITHER, /* the file does not say */
    BD_NEED_FROM_GUIDE,
    BD_NEED_FROM_REMOVAL
} bd_garden_need_from;

typedef struct bd_garden_group {
    const char *name;
    bd_request ask; /* bags, bag size, crop, medium...; water and tools of the whole garden too */
    int sown;       /* day number */
    bool has_harvest;
    int harvest;                /* planned day */
    bd_garden_amounts need;     /* the user's own; empty: from a guide or from removal    */
    bd_garden_amounts already;  /* there at sowing by other knowledge */
    bd_garden_amounts mix_feed; /* in a bought mix that feeds for some time */
    int mix_filled;             /* day the bags were filled with it        */
    double mix_feeds_days;      /* from then on; 0 without mix_feed        */
    const char *soil_method;    /* "olsen"; NULL: no test */
    const char *soil_class[3];  /* N, P, K: "low"; NULL: not tested */
    double yield_g_per_bag;     /* expected; 0 when not said                */
    bd_garden_need_from need_from;
    double harvested_g; /* from all bags; 0 when not said           */
    bd_garden_part parts[BD_GARDEN_PARTS_MAX];
    size_t part_count;
    bd_garden_way way;
    bd_garden_overdose overdose;
} bd_garden_group;

/* What it is weighed and mixed with; 0 when not said. */
typedef struct bd_garden_tools {
    double scale_step_g, can_l;
} bd_garden_tools;

typedef struct bd_garden {
    const char *name;
    const char *currency; /* "" when not said */
    bd_measures measures;
    bd_garden_tools tools;
    /* The water's name or file is in `ask` of each group (BD_OPT_WATER). */
    const char *water_analysis; /* in the file itself, as a file of its own would say it; NULL */
    const bd_garden_product *shelf;
    size_t shelf_count;
    const bd_garden_feed *feeds;
    size_t feed_count;
    const bd_garden_group *groups; /* at least one; names differ */
    size_t group_count;
    struct bd_garden_hold *hold; /* what all of it is borrowed from */
} bd_garden;

/*
 * Reads a garden.
 *
 *   name      as messages shall call it: "terrace.garden.json"
 *   measures  whose gallons bare words mean, where the file does not say
 *   out       freed with bd_garden_free; set only on BD_OK
 *
 * Returns BD_OK; BD_SYNTAX with "terrace.garden.json:12:9", also for a decimal
 * comma; what the option's reader returns, BD_UNKNOWN for a key that is none,
 * BD_MISSING, BD_CONFLICT (a name twice, a harvest before the sowing, a mix whose
 * parts are not the whole), with "terrace.garden.json#/groups/0/bag_size";
 * BD_MEMORY.
 */
bd_status bd_garden_read(const char *name, const void *bytes, size_t size, bd_measures measures,
                         bd_garden **out, bd_error *err) BD_MUST_CHECK;

/* The same from a file; BD_FILE when it cannot be read, BD_RANGE when it is over 1 MiB. */
bd_status bd_garden_load(const char *path, bd_measures measures, bd_garden **out,
                         bd_error *err) BD_MUST_CHECK;

/*
 * The file that "water" names, which stands beside the garden file unless its name
 * begins at the root.
 *
 *   garden  path of the garden file
 *   name    as the garden file says it
 *   path    where it was looked for; initialised by the caller, for messages
 *   out     its bytes; initialised by the caller
 *
 * Returns BD_OK; BD_FILE when it cannot be opened or read, BD_RANGE when it is
 * over 1 MiB; BD_MEMORY.
 */
bd_status bd_garden_load_water(const char *garden, const char *name, bd_text *path, bd_text *out,
                               bd_error *err) BD_MUST_CHECK;

/* Frees it; NULL is allowed. */
void bd_garden_free(bd_garden *garden);

#endif
