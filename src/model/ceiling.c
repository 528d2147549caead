#include "model/ceiling.h"

#include <math.h>
#include <string.h>

#include "model/oxide.h"
#include "nutrients/cite.h"

static bool is_same_matter(const bd_limit *l, const bd_ceiling_query *q)
{
    if (strcmp(l->material, q->material) != 0 || l->use != q->use || l->of != q->of)
        return false;
    if (q->nutrient != NULL && (!l->has_nutrient || l->nutrient.nutrient != *q->nutrient))
        return false;
    return q->per == NULL || strcmp(l->per, q->per) == 0;
}

/* Rows of one nutrient may count the oxide or the element. */
static double most_as_element(const bd_limit *l)
{
    return l->has_nutrient ? bd_as_element(l->nutrient, l->value.value.high) : l->value.value.high;
}

static const bd_limit *stricter(const bd_limit *a, const bd_limit *b)
{
    return a == NULL || most_as_element(b) < most_as_element(a) ? b : a;
}

/* True for "any" and for the groups of the crops the program knows; all, if it was given none. */
static bool is_of_a_crop(const bd_ceiling_query *q, const char *group)
{
    if (q->crop_count == 0 || strcmp(group, "any") == 0)
        return true;
    for (size_t i = 0; i < q->crop_count; i++)
        for (size_t k = 0; q->crops[i].groups[k] != NULL; k++)
            if (strcmp(q->crops[i].groups[k], group) == 0)
                return true;
    return false;
}

/* The strictest row of one crop group; NULL for `group` takes those of every group a crop has. */
static const bd_limit *strictest(const bd_limit *limits, size_t count, const bd_ceiling_query *q,
                                 const char *group)
{
    const bd_limit *found = NULL;

    for (size_t i = 0; i < count; i++) {
        const bd_limit *l = &limits[i];

        if (!is_same_matter(l, q))
            continue;
        if (group != NULL ? strcmp(l->crop_group, group) == 0
                          : l->value.value.high > 0.0 && is_of_a_crop(q, l->crop_group))
            found = stricter(found, l);
    }
    return found;
}

static bool is_firm(const bd_limit *l)
{
    return bd_trust_can_stop(l->value.trust_high);
}

/* The row in print behind a softer one: of the crop's own groups the strictest that is looser. */
static const bd_limit *firm_of_groups(const bd_limit *limits, size_t count,
                                      const bd_ceiling_query *q, const bd_limit *soft)
{
    const bd_limit *found = NULL;

    for (size_t i = 0; i < count; i++) {
        const bd_limit *l = &limits[i];
        bool is_ours = strcmp(l->crop_group, "any") == 0;

        for (size_t k = 0; q->groups != NULL && q->groups[k] != NULL; k++)
            is_ours |= strcmp(l->crop_group, q->groups[k]) == 0;
        if (is_ours && is_same_matter(l, q) && is_firm(l) &&
            most_as_element(l) > most_as_element(soft))
            found = stricter(found, l);
    }
    return found;
}

/* Behind a borrowed one: what is over the highest in print is over everything in print. */
static const bd_limit *highest_firm(const bd_limit *limits, size_t count, const bd_ceiling_query *q)
{
    const bd_limit *found = NULL;

    for (size_t i = 0; i < count; i++) {
        const bd_limit *l = &limits[i];

        if (is_same_matter(l, q) && is_firm(l) && is_of_a_crop(q, l->crop_group) &&
            (found == NULL || most_as_element(l) > most_as_element(found)))
            found = l;
    }
    return found;
}

static void find_firm(const bd_limit *limits, size_t count, const bd_ceiling_query *q,
                      bd_ceiling *c)
{
    if (is_firm(c->limit) || c->is_never)
        return;
    c->firm = c->is_borrowed ? highest_firm(limits, count, q)
                             : firm_of_groups(limits, count, q, c->limit);
    if (c->firm == NULL)
        return;
    c->firm_most = most_as_element(c->firm);
    if (c->limit->has_nutrient)
        c->firm_most = bd_as_form(c->limit->nutrient, c->firm_most);
}

bd_ceiling bd_ceiling_find(const bd_limit *limits, size_t count, const bd_ceiling_query *query)
{
    bd_ceiling found = {0};

    for (size_t i = 0; query->groups != NULL && query->groups[i] != NULL && found.limit == NULL;
         i++)
        found.limit = strictest(limits, count, query, query->groups[i]);
    if (found.limit == NULL)
        found.limit = strictest(limits, count, query, "any");
    if (found.limit == NULL) {
        found.limit = strictest(limits, count, query, NULL);
        found.is_borrowed = found.limit != NULL;
    }
    if (found.limit == NULL)
        return found;
    found.low = found.limit->value.value.low;
    found.usual = found.limit->value.value.typical;
    found.most = found.limit->value.value.high;
    found.trust = found.limit->value.trust_high;
    found.is_never = found.most <= 0.0;
    find_firm(limits, count, query, &found);
    return found;
}

bd_ceiling bd_ceiling_per_area(const bd_catalogue *catalogue, bd_use use, bd_nutrient nutrient,
                               const char *const *groups)
{
    size_t count;
    const bd_limit *limits = bd_catalogue_limits(catalogue, &count);
    bd_ceiling_query query = {.material = "any",
                              .use = use,
                              .of = BD_LIMIT_NUTRIENT_PER_AREA,
                              .nutrient = &nutrient,
                              .groups = groups};

    return bd_ceiling_find(limits, count, &query);
}

double bd_ceiling_as_element(const bd_ceiling *ceiling, double value)
{
    return ceiling->limit->has_nutrient ? bd_as_element(ceiling->limit->nutrient, value) : value;
}
