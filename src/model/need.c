#include "model/need.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/text.h"
#include "model/inputs.h"

enum { METHODS_SHOWN = 160, CLASSES_SHOWN = 200, PASSES = BD_TRUST_MEMORY + 1 };

/* What the question is and the answer so far. */
typedef struct bd_asked {
    const bd_crop *crop;
    const bd_parts *parts;
    const bd_soil_test *test;
    const bd_need_site *site;
    bd_need *out;
    size_t count;
    bd_error *err;
} bd_asked;

/* ---- matching a guide's rows ---- */

/* Laboratories write "Mehlich-3", "mehlich 3" and "Mehlich3". */
static const char *next_sign(const char *s)
{
    return s + strspn(s, " -_");
}

/* Where `typed` ends in `name`, case and the signs between words apart; NULL where it is not its
 * beginning. */
static const char *after_name(const char *name, const char *typed)
{
    for (typed = next_sign(typed); *typed != '\0'; typed = next_sign(typed + 1), name++) {
        name = next_sign(name);
        if (tolower((unsigned char)*name) != tolower((unsigned char)*typed))
            return NULL;
    }
    return name;
}

static bool is_method(const bd_guide *guide, const bd_soil_test *test)
{
    const char *end = after_name(guide->method, test->method);

    return end != NULL && *next_sign(end) == '\0' && next_sign(test->method)[0] != '\0';
}

static bool is_class(const char *row, const char *wanted)
{
    const char *end = after_name(row, wanted);

    return end != NULL && end > row && (*end == '\0' || *end == ' ' || *end == ':');
}

static bool has_class(const bd_soil_test *test)
{
    for (int i = 0; test != NULL && i < BD_NPK_COUNT; i++)
        if (test->soil_class[i] != NULL)
            return true;
    return false;
}

/* The class a guide's row must be of for a nutrient; "" where any will do. */
static const char *class_for(const bd_asked *q, const bd_guide *guide, int nutrient)
{
    if (guide == NULL || guide->middle[0] == '\0')
        return "";
    if (q->test != NULL && q->test->soil_class[nutrient] != NULL)
        return q->test->soil_class[nutrient];
    return guide->middle;
}

static bool is_row(const bd_guide_rate *row, const char *guide, const char *soil_class,
                   int nutrient)
{
    return strcmp(row->guide, guide) == 0 && row->g_per_m2[nutrient].is_known &&
           (soil_class[0] == '\0' || is_class(row->soil_class, soil_class));
}

static const bd_guide_rate *find_row(const bd_crop *crop, const char *guide, const char *soil_class,
                                     int nutrient)
{
    for (size_t i = 0; i < crop->rate_count; i++)
        if (is_row(&crop->rates[i], guide, soil_class, nutrient))
            return &crop->rates[i];
    return NULL;
}

static bool has_own_class(const bd_asked *q, int nutrient)
{
    return q->test != NULL && q->test->soil_class[nutrient] != NULL;
}

/* The row that gives a nutrient beside `row`: itself, else the guide's row of the fitting class. */
static const bd_guide_rate *row_beside(const bd_asked *q, const bd_guide *guide,
                                       const bd_guide_rate *row, int nutrient)
{
    bool knows = row->g_per_m2[nutrient].is_known;

    if (guide == NULL || guide->middle[0] == '\0')
        return knows ? row : NULL;
    if (nutrient == BD_NPK_N && !has_own_class(q, nutrient)) {
        const char *middle = guide->middle_nitrogen;

        if (knows || middle[0] == '\0')
            return knows ? row : NULL;
        return find_row(q->crop, row->guide, middle, nutrient);
    }
    if (is_row(row, row->guide, class_for(q, guide, nutrient), nutrient))
        return row;
    return find_row(q->crop, row->guide, class_for(q, guide, nutrient), nutrient);
}

/* True for the row that stands for its guide and class: the first nutrient it answers of K2O,
 * P2O5, N has no other row before it to stand there. */
static bool is_lead(const bd_asked *q, const bd_guide *guide, const bd_guide_rate *row)
{
    static const int order[] = {BD_NPK_K2O, BD_NPK_P2O5, BD_NPK_N};

    if (guide == NULL || guide->middle[0] == '\0')
        return true;
    for (size_t i = 0; i < sizeof order / sizeof order[0]; i++) {
        const char *wanted = class_for(q, guide, order[i]);

        if (find_row(q->crop, row->guide, wanted, order[i]) != NULL)
            return is_row(row, row->guide, wanted, order[i]);
    }
    return false;
}

static bool is_by_the_test(const bd_asked *q, const bd_guide *guide)
{
    return guide == NULL || q->test == NULL || q->test->method == NULL || is_method(guide, q->test);
}

/* ---- adding ways ---- */

static void add(bd_asked *q, const bd_need *need)
{
    if (q->count < BD_NEEDS_MAX)
        q->out[q->count++] = *need;
}

static bd_trust worse(bd_trust a, bd_trust b)
{
    return a > b ? a : b;
}

static bd_trust trust_of(const bd_fact *fact)
{
    return worse(fact->trust_low, worse(fact->trust_typical, fact->trust_high));
}

static double on_basis(const bd_bases *b, bd_need_basis basis)
{
    if (basis == BD_BASIS_AREA)
        return b->area;
    return basis == BD_BASIS_PLANT ? b->plant : b->volume;
}

static bool has_basis(const bd_bases *b, bd_need_basis basis)
{
    if (basis == BD_BASIS_AREA)
        return b->has_area;
    return basis == BD_BASIS_PLANT ? b->has_plant : b->has_volume;
}

/* The bases of 1 g/m2: every rate is that many times them. */
static bd_status unit_bases(const bd_need_site *site, bd_bases *out, bd_error *err)
{
    return bd_bag_bases(&site->bag, site->plants, 0.0, 1.0, &site->field, out, err);
}

static void add_rate(bd_asked *q, const bd_guide *guide, const bd_guide_rate *row, bd_trust trust)
{
    bd_need need = {
        .way = BD_NEED_GUIDE, .name = row->guide, .soil_class = row->soil_class, .part = ""};
    bd_npk per_m2 = bd_npk_exactly(0.0, 0.0, 0.0);
    bd_bases bases;

    for (int i = 0; i < BD_NPK_COUNT; i++) {
        const bd_guide_rate *from = row_beside(q, guide, row, i);

        need.is_known[i] = from != NULL;
        if (from == NULL)
            continue;
        need.is_by_test[i] = guide != NULL && has_own_class(q, i);
        per_m2.of[i] = from->g_per_m2[i].value;
        need.trust = worse(need.trust, trust_of(&from->g_per_m2[i]));
    }
    need.is_gross = guide != NULL && guide->is_gross;
    if (need.trust != trust || unit_bases(q->site, &bases, NULL) != BD_OK)
        return;
    for (int b = BD_BASIS_AREA; b < BD_BASIS_NONE; b++) {
        need.basis = (bd_need_basis)b;
        need.g_per_bag = bd_npk_scale(per_m2, on_basis(&bases, need.basis));
        if (has_basis(&bases, need.basis))
            add(q, &need);
    }
}

/* Guides of one trust; those that leave the soil's nitrogen in come after the others. */
static void add_guides(bd_asked *q, bd_trust trust)
{
    for (int gross = 0; gross < 2; gross++) {
        for (size_t i = 0; i < q->crop->rate_count; i++) {
            const bd_guide_rate *row = &q->crop->rates[i];
            const bd_guide *guide = bd_parts_guide(q->parts, row->guide);
            bool is_gross = guide != NULL && guide->is_gross;

            if (is_gross == (gross == 1) && is_by_the_test(q, guide) && is_lead(q, guide, row))
                add_rate(q, guide, row, trust);
        }
    }
}

bd_npk bd_need_removed(bd_range kg, const bd_removal *removal)
{
    bd_npk g = bd_npk_exactly(0.0, 0.0, 0.0);

    for (int i = 0; i < BD_NPK_COUNT; i++)
        if (removal->kg_per_t[i].is_known)
            g.of[i] = bd_range_times(kg, removal->kg_per_t[i].value);
    return g;
}

static void add_removal(bd_asked *q, const bd_removal *removal, bd_trust trust)
{
    bd_need need = {.way = BD_NEED_REMOVAL,
                    .basis = BD_BASIS_NONE,
                    .soil_class = "",
                    .part = removal->part,
                    .name = ""};

    for (int i = 0; i < BD_NPK_COUNT; i++) {
        const bd_fact *fact = &removal->kg_per_t[i];

        need.is_known[i] = fact->is_known;
        if (!fact->is_known)
            continue;
        need.trust = worse(need.trust, trust_of(fact));
        need.name = fact->source;
    }
    need.g_per_bag = bd_need_removed(q->site->harvest_kg, removal);
    if (need.trust == trust)
        add(q, &need);
}

static void add_removals(bd_asked *q, bd_trust trust)
{
    if (!(q->site->harvest_kg.typical > 0.0))
        return;
    for (size_t i = 0; i < q->crop->removal_count; i++)
        add_removal(q, &q->crop->removals[i], trust);
}

static void add_own(bd_asked *q, const bd_npk *own)
{
    bd_need need = {
        .way = BD_NEED_OWN, .basis = BD_BASIS_NONE, .name = "", .soil_class = "", .part = ""};

    if (own == NULL)
        return;
    need.g_per_bag = *own;
    for (int i = 0; i < BD_NPK_COUNT; i++)
        need.is_known[i] = own->of[i].high > 0.0;
    add(q, &need);
}

/* ---- refusing ---- */

/* The methods by which guides of this crop go, each once. */
static void list_methods(const bd_asked *q, bd_text *names)
{
    for (size_t i = 0; i < q->crop->rate_count; i++) {
        const bd_guide *guide = bd_parts_guide(q->parts, q->crop->rates[i].guide);

        if (guide == NULL || strstr(names->s, guide->method) != NULL)
            continue;
        bd_text_addf(names, "%s%s", names->length == 0 ? "" : ", ", guide->method);
    }
}

static bd_status refuse_method(const bd_asked *q)
{
    bd_text names;

    bd_text_init(&names, METHODS_SHOWN);
    list_methods(q, &names);
    bd_fail(q->err, BD_CONFLICT, NULL,
            "no guide for %s goes by a soil test by '%.40s', and one method is not converted into "
            "another",
            q->crop->title, q->test->method);
    bd_accepts(q->err, "%s", names.length > 0 ? names.s : "no soil test for this crop");
    bd_text_clear(&names);
    return BD_CONFLICT;
}

static bool has_method(const bd_asked *q)
{
    for (size_t i = 0; i < q->crop->rate_count; i++) {
        const bd_guide *guide = bd_parts_guide(q->parts, q->crop->rates[i].guide);

        if (guide != NULL && is_method(guide, q->test))
            return true;
    }
    return false;
}

static bool has_row_of_class(const bd_asked *q, int nutrient)
{
    for (size_t i = 0; i < q->crop->rate_count; i++) {
        const bd_guide_rate *row = &q->crop->rates[i];
        const bd_guide *guide = bd_parts_guide(q->parts, row->guide);

        if (guide != NULL && is_method(guide, q->test) &&
            is_row(row, row->guide, q->test->soil_class[nutrient], nutrient))
            return true;
    }
    return false;
}

/* Of the class itself: "optimum" of "optimum: storage", "high" of "high (optimum)". */
static size_t class_length(const char *s)
{
    size_t n = strcspn(s, ":(");

    while (n > 0 && s[n - 1] == ' ')
        n--;
    return n;
}

/* The classes in which a nutrient stands in guides by the test's method, each once. */
static void list_classes(const bd_asked *q, int nutrient, bd_text *names)
{
    for (size_t i = 0; i < q->crop->rate_count; i++) {
        const bd_guide_rate *row = &q->crop->rates[i];
        const bd_guide *guide = bd_parts_guide(q->parts, row->guide);
        bd_text quoted;

        if (guide == NULL || !is_method(guide, q->test) || !row->g_per_m2[nutrient].is_known)
            continue;
        bd_text_init(&quoted, CLASSES_SHOWN);
        bd_text_addf(&quoted, "'%.*s'", (int)class_length(row->soil_class), row->soil_class);
        if (bd_text_ok(&quoted) && strstr(names->s, quoted.s) == NULL)
            bd_text_addf(names, "%s%s", names->length == 0 ? "" : ", ", quoted.s);
        bd_text_clear(&quoted);
    }
}

static bd_status refuse_class(const bd_asked *q, int nutrient)
{
    bd_text names;

    bd_text_init(&names, CLASSES_SHOWN);
    list_classes(q, nutrient, &names);
    (void)bd_fail(q->err, BD_UNKNOWN, NULL, "no guide by %s has %s in class '%.40s' for %s",
                  q->test->method, bd_npk_name(nutrient), q->test->soil_class[nutrient],
                  q->crop->title);
    (void)bd_accepts(q->err, "%s", names.length > 0 ? names.s : "no class: leave it out");
    bd_text_clear(&names);
    return BD_UNKNOWN;
}

static bd_status check_test(const bd_asked *q)
{
    if (q->test == NULL || (q->test->method == NULL && !has_class(q->test)))
        return BD_OK;
    if (q->test->method == NULL) {
        bd_fail(q->err, BD_MISSING, NULL, "a class of soil without the method of the test");
        bd_accepts(q->err, "the laboratory's method, such as olsen or mehlich-3");
        return BD_MISSING;
    }
    if (!has_method(q))
        return refuse_method(q);
    for (int i = 0; i < BD_NPK_COUNT; i++)
        if (q->test->soil_class[i] != NULL && !has_row_of_class(q, i))
            return refuse_class(q, i);
    return BD_OK;
}

static bool is_fine_site(const bd_need_site *site, bd_error *err)
{
    return bd_input_is_between(site->harvest_kg.low, 0.0, BD_AMOUNT_MOST, "expected harvest", "kg",
                               err) &&
           bd_input_is_between(site->harvest_kg.high, site->harvest_kg.low, BD_AMOUNT_MOST,
                               "expected harvest", "kg", err);
}

static bool is_fine_own(const bd_npk *own, bd_error *err)
{
    for (int i = 0; own != NULL && i < BD_NPK_COUNT; i++)
        if (!bd_input_is_between(own->of[i].low, 0.0, BD_AMOUNT_MOST, "need", "g", err) ||
            !bd_input_is_between(own->of[i].high, own->of[i].low, BD_AMOUNT_MOST, "need", "g", err))
            return false;
    return true;
}

/* ---- the public face ---- */

bd_status bd_need_all(const bd_crop *crop, const bd_parts *parts, const bd_soil_test *test,
                      const bd_npk *own, const bd_need_site *site, bd_need out[BD_NEEDS_MAX],
                      size_t *count, bd_error *err)
{
    bd_asked q = {.crop = crop, .parts = parts, .test = test, .site = site, .out = out, .err = err};
    bd_bases bases;
    bd_status status = unit_bases(site, &bases, err);

    if (status == BD_OK && (!is_fine_site(site, err) || !is_fine_own(own, err)))
        status = BD_RANGE;
    if (status == BD_OK && crop != NULL)
        status = check_test(&q);
    if (status != BD_OK)
        return status;
    add_own(&q, own);
    for (int trust = 0; crop != NULL && trust < PASSES; trust++)
        add_guides(&q, (bd_trust)trust);
    for (int trust = 0; crop != NULL && trust < PASSES; trust++)
        add_removals(&q, (bd_trust)trust);
    *count = q.count;
    return BD_OK;
}

double bd_need_spread(const bd_need *needs, size_t count, int nutrient)
{
    double low = HUGE_VAL, high = 0.0;

    for (size_t i = 0; i < count; i++) {
        double g = needs[i].g_per_bag.of[nutrient].typical;

        if (!needs[i].is_known[nutrient] || !(g > 0.0))
            continue;
        low = fmin(low, g);
        high = fmax(high, g);
    }
    return high > 0.0 ? high / low : 1.0;
}

static bool is_of_way(const bd_need *need, bd_need_way way)
{
    return way == BD_NEED_WAY_COUNT || need->way == way;
}

static bool is_on_basis(const bd_need *need, bd_need_basis basis)
{
    return basis == BD_BASIS_NONE || need->basis == BD_BASIS_NONE || need->basis == basis;
}

/* BD_NEED_WAY_COUNT for any way. */
const bd_need *bd_need_pick_way(const bd_need *needs, size_t count, int nutrient,
                                bd_need_basis basis, bd_need_way way)
{
    const bd_need *found = NULL;

    for (size_t i = 0; i < count; i++) {
        if (!needs[i].is_known[nutrient] || !is_on_basis(&needs[i], basis) ||
            !is_of_way(&needs[i], way))
            continue;
        if (needs[i].way == BD_NEED_OWN || needs[i].is_by_test[nutrient])
            return &needs[i];
        found = found == NULL ? &needs[i] : found;
    }
    return found;
}

const bd_need *bd_need_pick(const bd_need *needs, size_t count, int nutrient, bd_need_basis basis)
{
    return bd_need_pick_way(needs, count, nutrient, basis, BD_NEED_WAY_COUNT);
}
