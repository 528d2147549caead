/*
 * request.h - what a person asks for, as quantities: one struct, whether it came
 * from the command line or from a file.
 *
 * May include: base/, quantity/, nutrients/, model/.
 */
#ifndef BD_REQUEST_REQUEST_H
#define BD_REQUEST_REQUEST_H

#include <stdbool.h>
#include <stddef.h>

#include "base/error.h"
#include "base/range.h"
#include "quantity/bag_size.h"
#include "quantity/quantity.h"

typedef enum bd_job {
#define BD_JOB(id, word, letter, positionals, line, example) BD_JOB_##id,
#include "request/job.def"
#undef BD_JOB
    BD_JOB_COUNT
} bd_job;

typedef enum bd_option {
#define BD_OPTION(id, name, reader, kind, what, jobs, help) BD_OPT_##id,
#include "request/option.def"
#undef BD_OPTION
    BD_OPTION_COUNT
} bd_option;

enum { BD_OPT_LAST_OF_PRODUCT = BD_OPT_CLAIM };

/* How an option's value is read. */
typedef enum bd_reader {
    BD_READ_FLAG,       /* no value                                   */
    BD_READ_NAME,       /* kept as text                               */
    BD_READ_COUNT,      /* a whole number from 1                      */
    BD_READ_QUANTITY,   /* may be zero (a temperature negative)       */
    BD_READ_POSITIVE,   /* above zero                                 */
    BD_READ_TARGET,     /* nutrient and quantity                      */
    BD_READ_LABEL_RATE, /* a strength, or a mass or volume per area, plant, bag */
    BD_READ_MASS_OR_VOLUME,
    BD_READ_PH,   /* 0 to 14 */
    BD_READ_DAYS, /* a time; a bare number is days */
    BD_READ_BAG_SIZE,
    BD_READ_DILUTION
} bd_reader;

/* One option as it was given. */
typedef struct bd_value {
    bool is_given;
    const char *text; /* as written; borrowed from whoever wrote it */
    bd_range number;  /* canonical unit of the option's kind        */
    bd_kind kind;     /* of LABEL_RATE and MASS_OR_VOLUME: which it turned out to be */
    bd_target target;
    bd_bag_size bag;
} bd_value;

enum { BD_PRODUCTS_MAX = 8, BD_POSITIONALS_MAX = 4 };
/* Kinds of bags in one request, and options repeated for each: see request/groups.h. */
enum { BD_GROUPS_MAX = 8, BD_GROUPED_COUNT = 6 };

typedef struct bd_request {
    bd_job job;
    bd_measures measures;
    bd_value values[BD_OPTION_COUNT];
    bd_value products[BD_PRODUCTS_MAX][BD_OPT_LAST_OF_PRODUCT + 1];
    size_t product_count;
    bd_value more[BD_GROUPED_COUNT][BD_GROUPS_MAX - 1]; /* second and later values of the options
                                                           that are repeated for kinds of bags */
    size_t more_count[BD_GROUPED_COUNT];
    int today; /* day number, set by the command: nothing below reads a clock */
    const char *positionals[BD_POSITIONALS_MAX];
    size_t positional_count;
} bd_request;

/* The fixed facts of an option and of a job, for reading and for help. */
typedef struct bd_option_info {
    const char *name; /* "bag-size" */
    bd_reader reader;
    bd_kind kind;
    const char *what, *jobs, *help;
} bd_option_info;

typedef struct bd_job_info {
    const char *word;
    char letter;
    int positionals; /* exact number, or -1 for any up to BD_POSITIONALS_MAX */
    const char *line, *example;
} bd_job_info;

/* The facts of one; never NULL. */
const bd_option_info *bd_option_about(bd_option option);
const bd_job_info *bd_job_about(bd_job job);
/* True when the job takes the option. */
bool bd_job_takes(bd_job job, bd_option option);

/* A job by its word; BD_UNKNOWN lists the words. */
bd_status bd_job_find(const char *word, bd_job *out, bd_error *err) BD_MUST_CHECK;

/*
 * Reads "--name value" pairs and positionals into a request.
 *
 *   args   the words behind the job's; borrowed by the request
 *
 * Returns BD_OK or the first trouble, with `where` naming the option.
 */
bd_status bd_request_read(bd_job job, int count, char *const args[], bd_request *out,
                          bd_error *err) BD_MUST_CHECK;

/*
 * Reads v->text as the option's reader and kind ask, into the other fields of v.
 * For readers of files whose keys are options too.
 */
bd_status bd_value_read(bd_option option, bd_measures measures, bd_value *v,
                        bd_error *err) BD_MUST_CHECK;

/* An option's value, or NULL when it was not given. */
static inline const bd_value *bd_request_get(const bd_request *r, bd_option option)
{
    return r->values[option].is_given ? &r->values[option] : NULL;
}

/* The typical number of an option, in the canonical unit of its kind; `otherwise` when it was not
 * given. */
static inline double bd_request_number(const bd_request *r, bd_option option, double otherwise)
{
    const bd_value *v = bd_request_get(r, option);

    return v == NULL ? otherwise : v->number.typical;
}

/* A product's option, or NULL. */
static inline const bd_value *bd_product_get(const bd_request *r, size_t product, bd_option option)
{
    return r->products[product][option].is_given ? &r->products[product][option] : NULL;
}

#endif
