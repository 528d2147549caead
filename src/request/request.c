#include "request/request.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "quantity/dilution.h"
#include "request/groups.h"

enum { JOB_LIST_SIZE = 200 };

static const bd_option_info options[BD_OPTION_COUNT] = {
#define BD_OPTION(id, name, reader, kind, what, jobs, help)                                        \
    {name, BD_READ_##reader, BD_KIND_##kind, what, jobs, help},
#include "request/option.def"
#undef BD_OPTION
};

static const bd_job_info jobs[BD_JOB_COUNT] = {
#define BD_JOB(id, word, letter, positionals, line, example)                                       \
    {word, letter, positionals, line, example},
#include "request/job.def"
#undef BD_JOB
};

static const double most_bags = 1e6; /* more is a slip of the keyboard */
static const double most_days = 3650;
static const double coldest_water_c = 0.0, hottest_water_c = 60.0;

const bd_option_info *bd_option_about(bd_option option)
{
    return &options[option];
}

const bd_job_info *bd_job_about(bd_job job)
{
    return &jobs[job];
}

bool bd_job_takes(bd_job job, bd_option option)
{
    const char *letters = options[option].jobs;

    return strcmp(letters, "*") == 0 || strchr(letters, jobs[job].letter) != NULL;
}

/* "spray, sidedress, feed" */
static void list_jobs(char list[JOB_LIST_SIZE])
{
    list[0] = '\0';
    for (int i = 0; i < BD_JOB_COUNT; i++) {
        size_t used = strlen(list);

        (void)snprintf(list + used, JOB_LIST_SIZE - used, "%s%s", i == 0 ? "" : ", ", jobs[i].word);
    }
}

bd_status bd_job_find(const char *word, bd_job *out, bd_error *err)
{
    char words[JOB_LIST_SIZE];

    for (int i = 0; i < BD_JOB_COUNT; i++) {
        if (strcmp(jobs[i].word, word) == 0) {
            *out = (bd_job)i;
            return BD_OK;
        }
    }
    list_jobs(words);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.40s' is not a job", word);
    return bd_accepts(err, "%s; or help", words);
}

static bd_status read_count(const char *text, bd_value *v, bd_error *err)
{
    double n = 0.0;
    bd_status status = bd_number_read(text, NULL, &n, err);

    if (status != BD_OK)
        return status;
    if (!(n >= 1.0 && n <= most_bags) || n > (double)(long)n) {
        (void)bd_fail(err, BD_RANGE, NULL, "'%.40s' is not a count", text);
        return bd_accepts(err, "a whole number from 1 to 1000000");
    }
    v->number = bd_exactly(n);
    return BD_OK;
}

static bd_status read_ph(const char *text, bd_value *v, bd_error *err)
{
    double ph = 0.0;
    bd_status status = bd_number_read(text, NULL, &ph, err);

    if (status != BD_OK)
        return status;
    if (!(ph >= 0.0 && ph <= 14.0)) {
        (void)bd_fail(err, BD_RANGE, NULL, "'%.40s' is not a pH", text);
        return bd_accepts(err, "a number from 0 to 14");
    }
    v->number = bd_exactly(ph);
    return BD_OK;
}

/* People say "--days 3": a bare number is days, anything else a time with its unit. */
static bd_status read_days(const char *text, bd_measures measures, bd_value *v, bd_error *err)
{
    double days = 0.0;
    bd_status status = BD_OK;

    if (bd_number_read(text, NULL, &days, NULL) == BD_OK)
        v->number = bd_exactly(days);
    else
        status = bd_quantity_read_positive(text, BD_KIND_TIME, measures, &v->number, err);
    if (status != BD_OK)
        return status;
    if (!(v->number.low > 0.0 && v->number.high <= most_days)) {
        (void)bd_fail(err, BD_RANGE, NULL, "'%.40s' is not a number of days", text);
        return bd_accepts(err, "1 to 3650, or a time such as '3 week'");
    }
    return BD_OK;
}

/* The first of several kinds whose unit fits; the trouble told is that of the first. */
static bd_status read_one_of(const char *text, const bd_kind *kinds, size_t count,
                             bd_measures measures, bd_value *v, bd_error *err)
{
    bd_error first = {0};

    for (size_t i = 0; i < count; i++) {
        bd_error e = {0};
        bd_status status = bd_quantity_read_positive(text, kinds[i], measures, &v->number, &e);

        if (status == BD_OK) {
            v->kind = kinds[i];
            return BD_OK;
        }
        if (i == 0 || (first.status == BD_DIMENSION && status != BD_DIMENSION))
            first = e;
    }
    if (err != NULL && err->status == BD_OK)
        *err = first;
    return first.status;
}

static bd_status read_label_rate(const char *text, bd_measures measures, bd_value *v, bd_error *err)
{
    static const bd_kind kinds[] = {BD_KIND_STRENGTH,          BD_KIND_MASS_PER_AREA,
                                    BD_KIND_MASS_PER_PLANT,    BD_KIND_MASS_PER_BAG,
                                    BD_KIND_VOLUME_PER_VOLUME, BD_KIND_VOLUME_PER_AREA,
                                    BD_KIND_VOLUME_PER_PLANT,  BD_KIND_VOLUME_PER_BAG};

    return read_one_of(text, kinds, sizeof kinds / sizeof kinds[0], measures, v, err);
}

static bd_status read_mass_or_volume(const char *text, bd_measures measures, bd_value *v,
                                     bd_error *err)
{
    static const bd_kind kinds[] = {BD_KIND_MASS, BD_KIND_VOLUME};

    return read_one_of(text, kinds, sizeof kinds / sizeof kinds[0], measures, v, err);
}

static bd_status read_dilution(const char *text, bd_measures measures, bd_value *v, bd_error *err)
{
    double factor = 0.0;
    bd_status status = bd_dilution_read(text, measures, &factor, err);

    v->number = bd_exactly(factor);
    return status;
}

static bd_status check_water_temperature(const bd_value *v, bd_error *err)
{
    if (v->number.low >= coldest_water_c && v->number.high <= hottest_water_c)
        return BD_OK;
    (void)bd_fail(err, BD_RANGE, NULL, "'%.40s' is not a temperature of water for mixing", v->text);
    return bd_accepts(err, "0 C to 60 C");
}

bd_status bd_value_read(bd_option option, bd_measures measures, bd_value *v, bd_error *err)
{
    const bd_option_info *about = &options[option];
    bd_status status = BD_OK;

    switch (about->reader) {
    case BD_READ_FLAG:
    case BD_READ_NAME:
        break;
    case BD_READ_COUNT:
        status = read_count(v->text, v, err);
        break;
    case BD_READ_QUANTITY:
        status = bd_quantity_read(v->text, about->kind, measures, &v->number, err);
        break;
    case BD_READ_POSITIVE:
        status = bd_quantity_read_positive(v->text, about->kind, measures, &v->number, err);
        break;
    case BD_READ_TARGET:
        status = bd_target_read(v->text, measures, &v->target, err);
        break;
    case BD_READ_LABEL_RATE:
        status = read_label_rate(v->text, measures, v, err);
        break;
    case BD_READ_MASS_OR_VOLUME:
        status = read_mass_or_volume(v->text, measures, v, err);
        break;
    case BD_READ_PH:
        status = read_ph(v->text, v, err);
        break;
    case BD_READ_DAYS:
        status = read_days(v->text, measures, v, err);
        break;
    case BD_READ_BAG_SIZE:
        status = bd_bag_size_read(v->text, measures, &v->bag, err);
        break;
    case BD_READ_DILUTION:
        status = read_dilution(v->text, measures, v, err);
        break;
    }
    if (status == BD_OK && option == BD_OPT_WATER_TEMPERATURE)
        status = check_water_temperature(v, err);
    return status;
}

static bd_status find_option(bd_job job, const char *word, bd_option *out, bd_error *err)
{
    for (int i = 0; i < BD_OPTION_COUNT; i++) {
        if (strcmp(options[i].name, word + 2) != 0)
            continue;
        if (!bd_job_takes(job, (bd_option)i)) {
            (void)bd_fail(err, BD_UNKNOWN, word, "does not belong to '%s'", jobs[job].word);
            return bd_accepts(err, "what 'bagdose help %s' lists", jobs[job].word);
        }
        *out = (bd_option)i;
        return BD_OK;
    }
    (void)bd_fail(err, BD_UNKNOWN, word, "is not an option");
    return bd_accepts(err, "what 'bagdose help %s' lists", jobs[job].word);
}

/* --material starts a new product unless the last one still lacks it; an own label with its dose
 * is a product without one.  So the options of a single product may stand in any order. */
static bool starts_product(const bd_request *r, bd_option option)
{
    const bd_value *last;

    if (r->product_count == 0)
        return true;
    last = r->products[r->product_count - 1];
    if (last[option].is_given)
        return true;
    return option == BD_OPT_MATERIAL && last[BD_OPT_ANALYSIS].is_given &&
           (last[BD_OPT_TARGET].is_given || last[BD_OPT_MASS].is_given);
}

static bd_status slot_for(bd_request *r, bd_option option, const char *word, bd_value **out,
                          bd_error *err)
{
    if ((int)option > BD_OPT_LAST_OF_PRODUCT) {
        *out = &r->values[option];
    } else {
        if ((option == BD_OPT_MATERIAL || option == BD_OPT_ANALYSIS || r->product_count == 0) &&
            starts_product(r, option)) {
            if (r->product_count == BD_PRODUCTS_MAX)
                return bd_fail(err, BD_RANGE, word, "more than %d products", BD_PRODUCTS_MAX);
            r->product_count++;
        }
        *out = &r->products[r->product_count - 1][option];
    }
    if (!(*out)->is_given)
        return BD_OK;
    if (bd_groups_repeats(r->job, option)) {
        *out = bd_groups_more(r, option);
        return *out != NULL
                   ? BD_OK
                   : bd_fail(err, BD_RANGE, word, "more than %d kinds of bags", BD_GROUPS_MAX);
    }
    (void)bd_fail(err, BD_CONFLICT, word, "is given twice");
    return bd_accepts(err, "one value; in a tank mix each product begins with its own --material");
}

/* Whose spoons must be known before any quantity is read, wherever the option stands. */
static bd_status read_measures(int count, char *const args[], bd_request *r, bd_error *err)
{
    static const char name[] = "--measures", joined[] = "--measures=";

    for (int i = 0; i < count; i++) {
        const char *word = NULL;
        bd_status status;

        assert(args[i] != NULL); /* a command line has no holes */
        if (strncmp(args[i], joined, sizeof joined - 1) == 0)
            word = args[i] + sizeof joined - 1;
        else if (strcmp(args[i], name) == 0 && i + 1 < count)
            word = args[i + 1];
        if (word == NULL)
            continue;
        status = bd_measures_read(word, &r->measures, err);
        if (status != BD_OK) {
            bd_error_at(err, "--measures");
            return status;
        }
    }
    return BD_OK;
}

static bd_status add_positional(bd_request *r, char *word, bd_error *err)
{
    int most = jobs[r->job].positionals < 0 ? BD_POSITIONALS_MAX : jobs[r->job].positionals;

    if (r->positional_count >= (size_t)most) {
        (void)bd_fail(err, BD_SYNTAX, NULL, "'%.40s' is one word too many", word);
        return bd_accepts(err, "options begin with --; 'bagdose help %s' shows a worked line",
                          jobs[r->job].word);
    }
    r->positionals[r->positional_count++] = word;
    return BD_OK;
}

/* Splits "--name=value"; gives back the value or NULL. */
static const char *split_value(const char *word, char name[64])
{
    const char *equals = strchr(word, '=');
    size_t n = equals == NULL ? strlen(word) : (size_t)(equals - word);

    if (n > 63)
        n = 63;
    memcpy(name, word, n);
    name[n] = '\0';
    return equals == NULL ? NULL : equals + 1;
}

static bd_status add_option(bd_request *r, int count, char *const args[], int *at, bd_error *err)
{
    char name[64];
    const char *value = split_value(args[*at], name);
    bd_option option = BD_OPT_FORMAT;
    bd_value *slot = NULL;
    bd_status status = find_option(r->job, name, &option, err);

    if (status == BD_OK)
        status = slot_for(r, option, name, &slot, err);
    if (status != BD_OK || slot == NULL)
        return status;
    if (options[option].reader != BD_READ_FLAG && value == NULL) {
        if (*at + 1 >= count) {
            (void)bd_fail(err, BD_MISSING, name, "has no value");
            return bd_accepts(err, "%s", options[option].help);
        }
        value = args[++*at];
    } else if (options[option].reader == BD_READ_FLAG && value != NULL) {
        return bd_fail(err, BD_SYNTAX, name, "takes no value");
    }
    slot->is_given = true;
    slot->text = value;
    status = bd_value_read(option, r->measures, slot, err);
    bd_error_at(err, name);
    return status;
}

static bd_status check_positionals(const bd_request *r, bd_error *err)
{
    int wanted = jobs[r->job].positionals, lacking = wanted - (int)r->positional_count;

    if (wanted < 0 || lacking == 0)
        return BD_OK;
    (void)bd_fail(err, BD_MISSING, jobs[r->job].word, "needs %d word%s more", lacking,
                  lacking == 1 ? "" : "s");
    return bd_accepts(err, "%s", jobs[r->job].example);
}

bd_status bd_request_read(bd_job job, int count, char *const args[], bd_request *out, bd_error *err)
{
    bd_status status;

    memset(out, 0, sizeof *out);
    out->job = job;
    status = read_measures(count, args, out, err);
    for (int i = 0; i < count && status == BD_OK; i++) {
        if (strncmp(args[i], "--", 2) == 0)
            status = add_option(out, count, args, &i, err);
        else
            status = add_positional(out, args[i], err);
    }
    if (status == BD_OK)
        status = bd_groups_check(out, err);
    return status == BD_OK ? check_positionals(out, err) : status;
}
