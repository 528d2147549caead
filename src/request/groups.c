#include "request/groups.h"

#include <stdio.h>
#include <string.h>

enum { WHERE_SIZE = 32 };

/* Options that may be repeated, and the jobs that take them so. */
static const struct grouped {
    bd_option option;
    const char *jobs; /* letters of job.def                         */
    bool is_shared;   /* one value may stand for all kinds of bags */
} grouped[BD_GROUPED_COUNT] = {
    {BD_OPT_BAGS, "sdf", false},  {BD_OPT_BAG_SIZE, "sdf", false}, {BD_OPT_PLANTS, "sd", false},
    {BD_OPT_PER_BAG, "df", true}, {BD_OPT_CANOPY, "s", true},      {BD_OPT_GROUP, "sdf", true},
};

/* Its row in `grouped`, or BD_GROUPED_COUNT. */
static size_t find(bd_job job, bd_option option)
{
    for (size_t i = 0; i < BD_GROUPED_COUNT; i++)
        if (grouped[i].option == option && strchr(grouped[i].jobs, bd_job_about(job)->letter))
            return i;
    return BD_GROUPED_COUNT;
}

bool bd_groups_repeats(bd_job job, bd_option option)
{
    return find(job, option) < BD_GROUPED_COUNT;
}

bd_value *bd_groups_more(bd_request *r, bd_option option)
{
    size_t at = find(r->job, option);

    if (at == BD_GROUPED_COUNT || r->more_count[at] == BD_GROUPS_MAX - 1)
        return NULL;
    return &r->more[at][r->more_count[at]++];
}

static size_t count_of(const bd_request *r, size_t at)
{
    return (r->values[grouped[at].option].is_given ? 1 : 0) + r->more_count[at];
}

size_t bd_groups_count(const bd_request *r)
{
    size_t most = 1;

    for (size_t i = 0; i < BD_GROUPED_COUNT; i++)
        if (count_of(r, i) > most)
            most = count_of(r, i);
    return most;
}

/* The first option that has a value for each kind: what the others are counted against. */
static size_t fullest(const bd_request *r, size_t groups)
{
    size_t at = 0;

    while (count_of(r, at) < groups)
        at++;
    return at;
}

static bool fits(const bd_request *r, size_t at, size_t groups)
{
    size_t count = count_of(r, at);

    if (count == groups || (count == 1 && grouped[at].is_shared))
        return true;
    return count == 0 && grouped[at].option != BD_OPT_BAGS;
}

static bd_status fail_counts(const bd_request *r, size_t at, size_t groups, bd_error *err)
{
    const char *name = bd_option_about(grouped[at].option)->name;
    const char *full = bd_option_about(grouped[fullest(r, groups)].option)->name;
    const char *or_else = ", or none";
    size_t count = count_of(r, at);
    char where[WHERE_SIZE];

    (void)snprintf(where, sizeof where, "--%s", name);
    if (count < 2)
        (void)bd_fail(err, BD_CONFLICT, where, "is %s, but --%s %zu times",
                      count == 0 ? "not given" : "given once", full, groups);
    else
        (void)bd_fail(err, BD_CONFLICT, where, "is given %zu times, but --%s %zu times", count,
                      full, groups);
    if (grouped[at].is_shared)
        or_else = ", or one for all";
    else if (grouped[at].option == BD_OPT_BAGS)
        or_else = "";
    return bd_accepts(err, "one --%s for each --%s, in the same order%s", name, full, or_else);
}

bd_status bd_groups_check(const bd_request *r, bd_error *err)
{
    size_t groups = bd_groups_count(r);

    for (size_t i = 0; i < BD_GROUPED_COUNT && groups > 1; i++)
        if (!fits(r, i, groups))
            return fail_counts(r, i, groups, err);
    return BD_OK;
}

void bd_groups_one(const bd_request *r, size_t group, bd_request *out)
{
    *out = *r;
    for (size_t i = 0; i < BD_GROUPED_COUNT; i++) {
        if (group > 0 && group <= r->more_count[i])
            out->values[grouped[i].option] = r->more[i][group - 1];
        out->more_count[i] = 0;
    }
}

bool bd_groups_has_own(const bd_request *r, bd_option option)
{
    size_t at = find(r->job, option);

    return at < BD_GROUPED_COUNT && r->more_count[at] > 0;
}
