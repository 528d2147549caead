#include "model/analysis.h"

#include "model/oxide.h"
#include "nutrients/formula.h"

static const double declared_over_pure = 0.02; /* relative; see bd_label_check */
static const double sum_noise = 1e-9;          /* of adding up shares that make exactly one */
static const bd_nutrient_form n_form = {BD_N, false}, p2o5_form = {BD_P, true},
                              k2o_form = {BD_K, true};

static double sum_of_grade(const bd_label *label)
{
    return bd_as_form(n_form, label->share[BD_N]) + bd_as_form(p2o5_form, label->share[BD_P]) +
           bd_as_form(k2o_form, label->share[BD_K]);
}

static bd_status check_total(double total, const char *what, bd_error *err)
{
    if (total <= 1.0 + sum_noise)
        return BD_OK;
    (void)bd_fail(err, BD_RANGE, NULL, "%s add up to %.4g %%", what, 100.0 * total);
    return bd_accepts(err, "a label whose nutrients add up to 100 %% or less; is it a ratio with a "
                           "total, such as '2:3:2 (22)'?");
}

/* One nutrient against the pure salt. */
static bd_status check_pure(const bd_label *label, bd_nutrient n, double pure, bool *near,
                            bd_error *err)
{
    double over = label->share[n] - pure;
    bool is_oxide =
        label->convention == BD_CONVENTION_OXIDE || label->convention == BD_CONVENTION_NAMED;
    bd_nutrient_form form = {n, is_oxide && bd_nutrient_oxide(n)[0] != '\0'};

    if (!label->declares[n] || over <= 0.0)
        return BD_OK;
    *near = true;
    if (over <= label->half_digit[n] + declared_over_pure * pure)
        return BD_OK;
    (void)bd_fail(err, BD_RANGE, NULL, "%.4g %% %s is more than the pure salt holds (%.4g %%)",
                  100.0 * bd_as_form(form, label->share[n]), bd_nutrient_form_name(form),
                  100.0 * bd_as_form(form, pure));
    return bd_accepts(err, "the label of this salt; look again at the sack, it may be another "
                           "substance or another way of counting (--convention)");
}

bd_status bd_label_check(const bd_label *label, const double pure[BD_NUTRIENT_COUNT], bool *near,
                         bd_error *err)
{
    double elements = 0.0;
    bd_status status;

    *near = false;
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        elements += label->share[n];
    status = check_total(sum_of_grade(label), "N, P2O5 and K2O", err);
    if (status == BD_OK)
        status = check_total(elements, "the elements", err);
    for (int n = 0; n < BD_NUTRIENT_COUNT && pure != NULL && status == BD_OK; n++)
        status = check_pure(label, (bd_nutrient)n, pure[n], near, err);
    return status;
}

/* What the pure salt holds; false without a formula. */
static bool pure_shares(const bd_material *m, double pure[BD_NUTRIENT_COUNT], double *molar_mass)
{
    bd_formula f;

    if (m == NULL || m->formula[0] == '\0' || bd_formula_read(m->formula, &f, NULL) != BD_OK)
        return false;
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++)
        pure[n] = bd_formula_share(&f, (bd_nutrient)n);
    *molar_mass = f.g_per_mol;
    return true;
}

static void take_label(const bd_label *label, double density_kg_per_l, bd_product *p)
{
    double by = label->is_w_v ? 1.0 / density_kg_per_l : 1.0;

    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        if (!label->declares[n])
            continue;
        p->share[n] = bd_exactly(label->share[n] * by);
        p->origin[n] = BD_ORIGIN_LABEL;
    }
}

static void take_catalogue(const bd_material *m, bd_product *p)
{
    double by = m->is_per_litre ? 1e-3 / p->density_kg_per_l : 1.0; /* g/L -> kg/kg */

    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        if (!m->analysis[n].is_known)
            continue;
        p->share[n] = bd_range_scale(m->analysis[n].value, by);
        p->origin[n] = BD_ORIGIN_CATALOGUE;
        p->fact[n] = &m->analysis[n];
    }
}

/* Salt per product, from the nutrient the salt is bought for. */
static double purity_of(const bd_product *p, const double pure[BD_NUTRIENT_COUNT])
{
    bd_nutrient main_nutrient = p->material->main_nutrient;
    double purity;

    if (!p->material->main_nutrient_known || !(pure[main_nutrient] > 0.0) ||
        p->origin[main_nutrient] == BD_ORIGIN_NONE)
        return 1.0;
    purity = p->share[main_nutrient].typical / pure[main_nutrient];
    return purity < 1.0 ? purity : 1.0;
}

/* What no label declares still comes along: formula x purity. */
static void take_formula(const double pure[BD_NUTRIENT_COUNT], bd_product *p)
{
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        if (p->origin[n] != BD_ORIGIN_NONE || !(pure[n] > 0.0))
            continue;
        p->share[n] = bd_exactly(pure[n] * p->purity);
        p->origin[n] = BD_ORIGIN_FORMULA;
    }
}

static double density_of(const bd_material *m, const bd_label *label, double given_kg_per_l)
{
    if (given_kg_per_l > 0.0)
        return given_kg_per_l;
    if (m != NULL && m->density_kg_per_l.is_known)
        return m->density_kg_per_l.value.typical;
    if ((m != NULL && m->form == BD_LIQUID) || (label != NULL && label->is_w_v))
        return 1.0;
    return 0.0;
}

bd_status bd_product_make(const bd_material *material, const bd_label *label, bool is_pure,
                          double density_kg_per_l, bd_product *out, bool *is_near, bd_error *err)
{
    bd_product p = {.material = material};
    double pure[BD_NUTRIENT_COUNT] = {0};
    bool has_formula = pure_shares(material, pure, &p.salt_molar_mass_g_per_mol);
    bd_status status = BD_OK;

    *is_near = false;
    if (is_pure && label != NULL)
        return bd_fail(err, BD_CONFLICT, "--pure", "--pure and --analysis contradict each other");
    if (is_pure && !has_formula)
        return bd_fail(err, BD_MISSING, "--pure", "'%s' has no formula to be pure of",
                       material == NULL ? "a label" : material->name);
    p.density_kg_per_l = density_of(material, label, density_kg_per_l);
    if (label == NULL && !is_pure && material != NULL && material->is_per_litre &&
        !(p.density_kg_per_l > 0.0)) {
        (void)bd_fail(err, BD_MISSING, "--material",
                      "'%s' is known by the litre of its extract, not by mass", material->name);
        return bd_accepts(err, "it with a label by mass (--analysis)");
    }
    p.is_liquid = p.density_kg_per_l > 0.0;
    if (label != NULL) {
        status = bd_label_check(label, has_formula ? pure : NULL, is_near, err);
        bd_error_at(err, "--analysis");
        take_label(label, p.is_liquid ? p.density_kg_per_l : 1.0, &p);
    } else if (!is_pure && material != NULL) {
        take_catalogue(material, &p);
    }
    if (status != BD_OK)
        return status;
    if (has_formula) {
        p.purity = is_pure ? 1.0 : purity_of(&p, pure);
        take_formula(pure, &p);
    }
    for (int i = 0; i < BD_NITROGEN_FORMS && material != NULL; i++)
        p.nitrogen_share[i] = material->nitrogen_share[i];
    *out = p;
    return BD_OK;
}

bd_range bd_product_share(const bd_product *p, bd_nutrient_form form)
{
    return bd_range_scale(p->share[form.nutrient], bd_as_form(form, 1.0));
}
