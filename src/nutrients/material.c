#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "nutrients/formula.h"
#include "nutrients/names.h"
#include "nutrients/store.h"

enum { MOST_IONS = 8, HAZARD_DIGITS = 3, SUM_DIGITS = 4 };

/* How far a label may lie above the pure salt: its rounding, and two in a hundred. */
static const double label_rounding = 0.005, label_excess = 1.02;
/* Shares that are typed in add up to 1 within their own rounding. */
static const double share_rounding = 0.005;
/* Room for the rounding of sums of percentages that fill 100 % exactly. */
static const double whole = 1.0 + 1e-9;

static const double highest_ph = 14.0;

static const char *const kinds[] = {"salt", "fertiliser", "homemade"};
static const char *const forms[] = {"solid", "liquid"};
static const char *const nitrogen_forms[] = {"nitrate", "ammonium", "urea", "organic"};
static const char *const preparations[] = {"soak", "boil", "ferment", "powder", "dry"};
static const char *const traits[] = {
    "nitrate",    "ammonium", "urea", "calcium",     "sulfate", "phosphate",
    "chloride",   "alkaline", "acid", "caustic",     "boron",   "metal",
    "raw-manure", "urine",    "ash",  "carbon-rich", "salty",   "attracts-animals",
    "ferments",   "slow",
};

#define COUNT_OF(array) (sizeof(array) / sizeof((array)[0]))

_Static_assert(COUNT_OF(traits) == BD_TRAIT_COUNT, "a word for each trait");
_Static_assert(COUNT_OF(preparations) == BD_PREPARATION_COUNT, "a word for each preparation");
_Static_assert(COUNT_OF(nitrogen_forms) == BD_NITROGEN_FORMS, "a word for each form");

/* ---- analysis ---- */

/* Analysis and oxide percentages as the label has them, collected member by member. */
typedef struct analysis {
    bd_material *material;
    size_t per_litre, members;
} analysis;

static bool is_unit_per_litre(bd_node *fact)
{
    const char *unit = bd_node_text(fact, "unit");
    size_t n = strlen(unit);

    return n > 2 && strcmp(unit + n - 2, "/L") == 0;
}

static void read_nutrient(bd_node *member, void *to)
{
    analysis *a = to;
    bd_nutrient_form form;
    bd_fact fact;
    bool is_per_litre;

    if (!bd_nutrient_find(member->key, strlen(member->key), &form)) {
        bd_node_refuse(member, NULL, BD_UNKNOWN, "an element or oxide of labels, such as K or K2O",
                       "'%.20s' is no nutrient of a label", member->key);
        return;
    }
    is_per_litre = is_unit_per_litre(member);
    fact = bd_node_as_fact(member, is_per_litre ? BD_KIND_STRENGTH : BD_KIND_MASS_FRACTION);
    if (form.is_oxide)
        fact.value = bd_range_scale(fact.value, bd_oxide_element_share(form.nutrient));
    if (a->material->analysis[form.nutrient].is_known)
        (void)bd_node_fail(member, NULL, BD_CONFLICT,
                           "the nutrient is given twice, as element "
                           "and as oxide");
    a->material->analysis[form.nutrient] = fact;
    a->per_litre += is_per_litre;
    a->members++;
}

static double element_sum(const bd_material *m)
{
    double sum = 0.0;

    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        sum += m->analysis[n].value.typical;
    return sum;
}

static double label_sum(const bd_material *m)
{
    return m->analysis[BD_N].value.typical +
           m->analysis[BD_P].value.typical / bd_oxide_element_share(BD_P) +
           m->analysis[BD_K].value.typical / bd_oxide_element_share(BD_K);
}

/* A sum that is a share of the whole, shown in percent. */
static void check_sum(const bd_node *at, const char *what, double sum)
{
    char percent[BD_NUMBER_SIZE];

    if (!(sum <= whole))
        bd_node_refuse(at, NULL, BD_RANGE, "100 % at most", "%s make '%s %%'", what,
                       bd_number_print(sum * 100.0, SUM_DIGITS, percent));
}

static void check_sums(const bd_node *at, const bd_material *m)
{
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        bd_node_check_to(at, bd_nutrient_symbol((bd_nutrient)n), m->analysis[n].value.high, 1.0);
    check_sum(at, "N + P2O5 + K2O", label_sum(m));
    check_sum(at, "the elements together", element_sum(m));
}

static void read_analysis(bd_node *at, bd_material *m)
{
    analysis a = {m, 0, 0};
    bd_node member;

    if (!bd_node_get(at, "analysis", &member))
        return;
    bd_node_each(&member, read_nutrient, &a);
    m->is_per_litre = a.per_litre > 0;
    if (m->is_per_litre && a.per_litre != a.members)
        bd_node_refuse(&member, NULL, BD_CONFLICT, "all in %, or all in g/L or mg/L",
                       "some nutrients by mass, some by litre");
    if (!m->is_per_litre)
        check_sums(&member, m);
}

static void read_nitrogen_form(bd_node *member, void *to)
{
    double *shares = to;

    for (size_t i = 0; i < BD_NITROGEN_FORMS; i++) {
        if (strcmp(member->key, nitrogen_forms[i]) != 0)
            continue;
        shares[i] = bd_node_as_number(member);
        bd_node_check_from(member, NULL, shares[i], 0.0);
        bd_node_check_to(member, NULL, shares[i], 1.0);
        return;
    }
    (void)bd_node_fail(member, NULL, BD_UNKNOWN, "'%.20s' is no form of nitrogen", member->key);
}

/* Homemade nitrogen is organic until its record says otherwise. */
static void read_nitrogen(bd_node *at, bd_material *m)
{
    char shown[BD_NUMBER_SIZE];
    bd_node shares;
    double sum = 0.0;

    if (!bd_node_get(at, "nitrogen", &shares)) {
        if (m->analysis[BD_N].value.high > 0.0 && m->kind != BD_HOMEMADE)
            bd_node_refuse(at, NULL, BD_MISSING,
                           "\"nitrogen\": {\"nitrate\": 0.5, \"ammonium\": 0.5}",
                           "'nitrogen', the forms of the N, is missing");
        m->nitrogen_share[BD_NITROGEN_ORGANIC] = m->analysis[BD_N].is_known ? 1.0 : 0.0;
        return;
    }
    bd_node_each(&shares, read_nitrogen_form, m->nitrogen_share);
    for (size_t i = 0; i < BD_NITROGEN_FORMS; i++)
        sum += m->nitrogen_share[i];
    if (!(fabs(sum - 1.0) <= share_rounding))
        bd_node_refuse(&shares, NULL, BD_RANGE, "shares that add up to 1", "the shares make '%s'",
                       bd_number_print(sum, SUM_DIGITS, shown));
}

static void read_main(bd_node *at, bd_material *m)
{
    const char *symbol = bd_node_text_or(at, "main", "");
    bd_nutrient_form form;

    if (*symbol == '\0')
        return;
    if (!bd_nutrient_find(symbol, strlen(symbol), &form) || form.is_oxide) {
        (void)bd_node_fail(at, "main", BD_UNKNOWN, "'%.20s' is no element of a label", symbol);
        return;
    }
    if (bd_node_has(at, "analysis") && !m->analysis[form.nutrient].is_known)
        (void)bd_node_fail(at, "main", BD_CONFLICT, "the analysis has no %s", symbol);
    m->main_nutrient_known = true;
    m->main_nutrient = form.nutrient;
}

/* ---- ions ---- */

typedef struct ion_list {
    bd_ion ions[MOST_IONS];
    size_t count;
} ion_list;

static void read_ion(bd_node *member, void *to)
{
    ion_list *list = to;
    double count = bd_node_as_number(member);

    if (list->count == MOST_IONS) {
        (void)bd_node_fail(member, NULL, BD_RANGE, "more than %d ions", MOST_IONS);
        return;
    }
    if (!(count > 0.0))
        (void)bd_node_fail(member, NULL, BD_RANGE, "a count that is not above zero");
    list->ions[list->count++] = (bd_ion){member->key, count};
}

/* "SO4-2" -> -2, "K+" -> 1, "H3BO3" -> 0. */
static int charge_of(const char *ion)
{
    const char *sign = strpbrk(ion, "+-");

    if (sign == NULL)
        return 0;
    return (*sign == '+' ? 1 : -1) * (sign[1] == '\0' ? 1 : sign[1] - '0');
}

static void check_charge(const bd_node *at, const ion_list *list)
{
    char shown[BD_NUMBER_SIZE];
    double charge = 0.0;

    for (size_t i = 0; i < list->count; i++)
        charge += list->ions[i].count * charge_of(list->ions[i].name);
    if (!(fabs(charge) <= 1e-9))
        bd_node_refuse(at, NULL, BD_CONFLICT, "counts with as much plus as minus",
                       "the charges of the ions make '%s'",
                       bd_number_print(charge, SUM_DIGITS, shown));
}

static void read_ions(bd_node *at, bd_material *m)
{
    ion_list list = {.count = 0};
    bd_node member;
    bd_ion *ions;

    if (!bd_node_get(at, "ions", &member))
        return;
    bd_node_each(&member, read_ion, &list);
    check_charge(&member, &list);
    ions = bd_node_memory(&member, list.count * sizeof *ions);
    if (ions == NULL)
        return;
    memcpy(ions, list.ions, list.count * sizeof *ions);
    m->ions = ions;
    m->ion_count = list.count;
}

/* ---- salts ---- */

static void check_against_pure(const bd_node *at, const bd_material *m, const bd_formula *pure)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        double most = bd_formula_share(pure, (bd_nutrient)i) * label_excess + label_rounding;

        if (!(m->analysis[i].value.typical <= most))
            (void)bd_node_fail(at, "analysis", BD_RANGE, "more %s than the pure salt holds",
                               bd_nutrient_symbol((bd_nutrient)i));
    }
}

static void check_salt(const bd_node *at, const bd_material *m)
{
    bd_formula pure;
    bd_error err = {.status = BD_OK};

    if (*m->formula != '\0' && bd_formula_read(m->formula, &pure, &err) != BD_OK) {
        (void)bd_node_fail(at, "formula", BD_SYNTAX, "%s", err.text);
        return;
    }
    if (m->kind != BD_SALT)
        return;
    if (*m->formula == '\0' || m->ion_count == 0)
        (void)bd_node_fail(at, NULL, BD_MISSING, "a salt without 'formula' or 'ions'");
    else if (m->form == BD_SOLID)
        check_against_pure(at, m, &pure);
}

/* ---- the rest ---- */

static void read_extraction(bd_node *at, bd_material *m)
{
    bd_node shares;

    for (int i = 0; i < BD_PREPARATION_COUNT; i++)
        m->extraction[i] = (bd_fact){.source = "", .condition = ""};
    if (!bd_node_get(at, "extraction", &shares))
        return;
    for (int i = 0; i < BD_PREPARATION_COUNT; i++) {
        m->extraction[i] = bd_node_fact(&shares, preparations[i], BD_KIND_SHARE);
        bd_node_check_to(&shares, preparations[i], m->extraction[i].value.high, 1.0);
    }
    bd_node_end(&shares);
}

static void read_traits(bd_node *at, bd_material *m)
{
    bd_node list;

    if (!bd_node_get(at, "traits", &list))
        return;
    for (size_t i = 0; i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        m->traits |= 1u << bd_node_as_word(&item, traits, COUNT_OF(traits));
    }
}

static bool is_hazard_code(const char *code)
{
    size_t i = 1;

    while (i <= HAZARD_DIGITS && isdigit((unsigned char)code[i]))
        i++;
    return code[0] == 'H' && i == HAZARD_DIGITS + 1 &&
           strspn(code + i, "FDfdi") == strlen(code + i);
}

static void read_hazard(bd_node *at, void *record)
{
    bd_hazard *hazard = record;

    hazard->code = bd_node_text(at, "code");
    hazard->trust = bd_node_trust(at, "status");
    hazard->source = bd_node_source(at, "source", false);
    hazard->note = bd_node_text_or(at, "note", "");
    if (bd_node_ok(at) && !is_hazard_code(hazard->code))
        bd_node_refuse(at, "code", BD_SYNTAX, "a code such as H272", "'%.20s' is no hazard code",
                       hazard->code);
}

static void read_figures(bd_node *at, bd_material *m)
{
    m->density_kg_per_l = bd_node_fact(at, "density", BD_KIND_DENSITY);
    m->bulk_density_kg_per_l = bd_node_fact(at, "bulk_density", BD_KIND_DENSITY);
    m->moisture = bd_node_fact(at, "moisture", BD_KIND_MASS_FRACTION);
    m->ph = bd_node_fact_in(at, "ph", "pH");
    m->ec_ds_per_m = bd_node_fact(at, "ec", BD_KIND_CONDUCTIVITY);
    m->lime_value = bd_node_fact(at, "lime_value", BD_KIND_MASS_FRACTION);
    m->highest_k = bd_node_fact(at, "highest_k", BD_KIND_MASS_FRACTION);
    bd_node_check_to(at, "ph", m->ph.value.high, highest_ph);
    bd_node_check_to(at, "moisture", m->moisture.value.high, 1.0);
}

static void empty_analysis(bd_material *m)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++)
        m->analysis[i] = (bd_fact){.source = "", .condition = ""};
}

void bd_material_read(bd_node *at, void *material)
{
    bd_material *m = material;

    empty_analysis(m);
    m->name = bd_node_name(at, "name");
    m->title = bd_node_text(at, "title");
    m->synonyms = bd_node_names(at, "synonyms");
    m->kind = (bd_material_kind)bd_node_word(at, "kind", kinds, COUNT_OF(kinds), -1);
    m->form = (bd_form)bd_node_word(at, "form", forms, COUNT_OF(forms), -1);
    m->formula = bd_node_text_or(at, "formula", "");
    m->grade = bd_node_text_or(at, "grade", "");
    read_analysis(at, m);
    read_nitrogen(at, m);
    read_main(at, m);
    read_ions(at, m);
    read_figures(at, m);
    read_extraction(at, m);
    read_traits(at, m);
    m->hazards = bd_node_list(at, "hazards", sizeof *m->hazards, read_hazard, &m->hazard_count);
    m->note = bd_node_text_or(at, "note", "");
    if (bd_node_ok(at))
        check_salt(at, m);
}

/* The record before this one that answers to the name, or NULL. */
static const bd_material *find(const bd_catalogue *c, const char *name)
{
    const bd_material *materials = c->lists[BD_LIST_MATERIALS].items;

    for (size_t i = 0; i < c->lists[BD_LIST_MATERIALS].count; i++)
        if (bd_name_is(name, materials[i].name, materials[i].synonyms))
            return &materials[i];
    return NULL;
}

static void check_name(const bd_node *at, const bd_catalogue *c, const char *name)
{
    const bd_material *other = find(c, name);

    if (other != NULL)
        (void)bd_node_fail(at, NULL, BD_CONFLICT, "'%.60s' is already a name of '%.60s'", name,
                           other->name);
}

void bd_material_check(const bd_node *at, const bd_catalogue *c, const void *material)
{
    const bd_material *m = material;
    static const char *const none[] = {NULL};

    check_name(at, c, m->name);
    for (size_t i = 0; m->synonyms[i] != NULL; i++) {
        check_name(at, c, m->synonyms[i]);
        if (bd_name_is(m->synonyms[i], m->name, none))
            (void)bd_node_fail(at, "synonyms", BD_CONFLICT, "'%.60s' is the name itself", m->name);
    }
}

bool bd_store_has_material(const bd_catalogue *c, const char *name)
{
    const bd_material *m = find(c, name);

    return m != NULL && strcmp(m->name, name) == 0;
}
