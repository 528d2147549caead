#include "job/dissolved.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "guard/judge.h"
#include "model/ceiling.h"
#include "model/conductivity.h"
#include "model/osmotic.h"
#include "model/saturation.h"
#include "model/solubility.h"
#include "model/solution_measures.h"
#include "nutrients/cite.h"
#include "nutrients/formula.h"

#define MG_PER_G 1000.0

static const double volume_l_per_kg_salt = 0.4; /* what a dissolved salt takes up, about; only where
                                                   the model does not say */
static const double strongest_k_mol_per_l = 0.9; /* end of the search, inside the model */
static const double reference_c = 25.0;          /* conductivities are compared at */
enum { HALVINGS = 60, SHARE_HALVINGS = 24 };     /* a share to 1e-7 will do */

static bool any_trait(const bd_bath *bath, bd_trait trait)
{
    for (size_t i = 0; i < bath->count; i++) {
        const bd_material *m = bath->doses[i].offer->material;

        if (m != NULL && bd_material_has(m, trait))
            return true;
    }
    return false;
}

static double molar_mass(const char *formula)
{
    bd_formula f = {.g_per_mol = 0.0};
    bd_status status = bd_formula_read(formula, &f, NULL);

    assert(status == BD_OK); /* formulas of this file */
    (void)status;
    return f.g_per_mol;
}

/* ---- the water ---------------------------------------------------------- */

/* The water that --water names, rain water where it is not given. */
static bd_status find_water(const bd_knowledge *know, const bd_value *named, const bd_water **out,
                            bd_error *err)
{
    bd_status status = BD_OK;

    if (named != NULL && know->user_water != NULL)
        *out = know->user_water;
    else
        status =
            bd_chemistry_water(know->chemistry, named == NULL ? "pure" : named->text, out, err);
    bd_error_at(err, "--water");
    return status;
}

bd_status bd_water_conductivity(const bd_knowledge *know, const bd_request *request,
                                bd_range *ds_per_m, bool *is_said, bd_error *err)
{
    const bd_value *named = bd_request_get(request, BD_OPT_WATER),
                   *reading = bd_request_get(request, BD_OPT_WATER_EC);
    const bd_water *water = NULL;
    bd_solution_input in;
    bd_solution_measures measures;
    bd_status status;

    *is_said = named != NULL || reading != NULL;
    if (reading != NULL)
        *ds_per_m = reading->number;
    if (named == NULL || reading != NULL)
        return BD_OK;
    status = find_water(know, named, &water, err);
    if (status != BD_OK)
        return status;
    bd_solution_input_init(&in);
    in.is_open = water->is_open;
    status = bd_solution_add_water(know->chemistry, &in, water, 1.0, err);
    bd_solution_balance(&in);
    if (status == BD_OK)
        status = bd_solution_measure(know->chemistry, &in, &measures, err);
    bd_error_at(err, "--water");
    if (status == BD_OK)
        *ds_per_m = bd_exactly(measures.ec_25c_ds_per_m);
    return status;
}

static bd_status read_water(bd_bath *bath, const bd_knowledge *know, const bd_request *r,
                            bd_card *card, bd_error *err)
{
    const bd_value *water = bd_request_get(r, BD_OPT_WATER);
    const bd_value *t = bd_request_get(r, BD_OPT_WATER_TEMPERATURE);
    const bd_fact *usual = bd_catalogue_practice(know->catalogue, "water-temperature");
    char source[BD_CITE_SIZE];
    bd_status status = BD_OK;

    bath->temperature_c = t != NULL ? t->number.typical : usual->value.typical;
    if (t == NULL)
        bd_card_assume(card, "water.temperature", W("assume.water_temperature"),
                       BD_ARGS(bd_amount(bath->temperature_c, "degC")),
                       &(bd_range){bath->temperature_c, bath->temperature_c, bath->temperature_c},
                       "degC", bd_cite_fact(usual, source));
    status = find_water(know, water, &bath->water, err);
    if (status == BD_OK && water == NULL)
        bd_card_assume(card, "water", W("assume.water_pure"), BD_NO_ARGS, NULL, "",
                       "common practice, no source");
    return status;
}

static double hardness_g_per_l(const bd_water *water)
{
    double mol_per_l = 0.0;

    for (size_t i = 0; i < water->ion_count; i++)
        if (strcmp(water->ions[i].name, "Ca+2") == 0 || strcmp(water->ions[i].name, "Mg+2") == 0)
            mol_per_l += water->ions[i].mol_per_l;
    return mol_per_l * molar_mass("CaCO3");
}

/* Hard water matters to what calcium and magnesium take along: phosphate and sulfate. */
static void tell_hardness(const bd_bath *bath, const bd_knowledge *know, bd_card *card)
{
    const bd_fact *notice = bd_catalogue_practice(know->catalogue, "hardness-notice");
    const bd_fact *rain = bd_catalogue_practice(know->catalogue, "hardness-rainwater");
    double hardness = hardness_g_per_l(bath->water);
    bool is_very = bd_is_over(hardness, rain->value.typical),
         is_touchy = any_trait(bath, BD_TRAIT_PHOSPHATE) || any_trait(bath, BD_TRAIT_SULFATE);
    const bd_fact *limit = is_very ? rain : notice;
    char source[BD_CITE_SIZE];

    if (!bd_is_over(hardness, notice->value.typical))
        return;
    bd_card_find_limit(card, "water.hardness", is_very && is_touchy ? BD_CARE : BD_NOTE,
                       is_very ? W("water.very_hard") : W("water.hard"), BD_NO_ARGS,
                       MG_PER_G * hardness, MG_PER_G * limit->value.typical, "mg/L",
                       bd_cite_fact(limit, source));
}

static bd_status read_air(const bd_bath *bath, const bd_request *r, bool *is_open, bd_error *err)
{
    const bd_value *air = bd_request_get(r, BD_OPT_AIR);

    *is_open = bath->water->is_open;
    for (size_t i = 0; i < bath->count; i++) {
        const bd_material *m = bath->doses[i].offer->material;

        if (m != NULL && (strstr(m->formula, "CO3") != NULL))
            *is_open = false;
    }
    if (air == NULL)
        return BD_OK;
    if (strcmp(air->text, "open") != 0 && strcmp(air->text, "closed") != 0) {
        (void)bd_fail(err, BD_UNKNOWN, "--air", "'%.40s' is not a way to stand", air->text);
        return bd_accepts(err, "open or closed");
    }
    *is_open = strcmp(air->text, "open") == 0;
    return BD_OK;
}

/* ---- the salts ---------------------------------------------------------- */

bool bd_offer_has_ions(const bd_offer *o)
{
    return o->material != NULL && o->material->ion_count > 0 &&
           o->product.salt_molar_mass_g_per_mol > 0.0;
}

static bd_status add_salt(const bd_knowledge *know, const bd_offer *o, double g_per_l,
                          bd_solution_input *in, bd_error *err)
{
    double mol_per_l = g_per_l * o->product.purity / o->product.salt_molar_mass_g_per_mol;
    bd_status status = BD_OK;

    for (size_t i = 0; i < o->material->ion_count && status == BD_OK; i++)
        status = bd_solution_add_ion(know->chemistry, in, o->material->ions[i].name,
                                     mol_per_l * o->material->ions[i].count, err);
    return status;
}

/* Conductivity at 25 degC of a solved solution, whatever its own temperature. */
static bd_status conductivity_at_25(const bd_knowledge *know, const bd_solution *solution,
                                    double *ds_per_m, bd_error *err)
{
    bd_solution_input again = bd_solution_again(solution, reference_c);
    bd_solution at_25;
    bd_status status = bd_solution_solve(know->chemistry, &again, &at_25, err);

    if (status == BD_OK)
        *ds_per_m = bd_conductivity_ds_per_m(know->chemistry, &at_25);
    return status;
}

static bd_status solve_input(bd_bath *bath, const bd_knowledge *know, const bd_request *r,
                             bool is_open, bool with_salts, bd_solution_input *in, bd_error *err)
{
    const bd_value *ph = bd_request_get(r, BD_OPT_PH);
    bd_status status;

    bd_solution_input_init(in);
    in->temperature_c = bath->temperature_c;
    in->is_open = is_open;
    status = bd_solution_add_water(know->chemistry, in, bath->water, 1.0, err);
    if (status != BD_OK)
        return status;
    bd_solution_balance(in);
    for (size_t i = 0; i < bath->count && with_salts && status == BD_OK; i++)
        status = add_salt(know, bath->doses[i].offer, bath->doses[i].g_per_l.high, in, err);
    if (with_salts && ph != NULL) {
        in->has_ph = true;
        in->ph = ph->number.typical;
    }
    return status;
}

/*
 * As it is poured; to a pH with the lye or acid that the carbonic acid in the mix takes while it
 * is fresh.  Held open at a pH instead, a mix would go on taking up the air's carbon dioxide until
 * it holds a bicarbonate solution, and the lye for all of that would burn the leaves long before.
 */
static bd_status solve_fresh(const bd_knowledge *know, const bd_solution_input *in,
                             bd_solution *out, bd_error *err)
{
    bd_solution_input own = *in, fresh;
    bd_status status;

    own.has_ph = false;
    status = bd_solution_solve(know->chemistry, &own, out, err);
    if (status != BD_OK || !in->has_ph)
        return status;
    fresh = bd_solution_again(out, in->temperature_c);
    fresh.charge_eq_per_l = in->charge_eq_per_l;
    fresh.has_ph = true;
    fresh.ph = in->ph;
    return bd_solution_solve(know->chemistry, &fresh, out, err);
}

/* `why` the lye or acid is not to be had: BD_OUTSIDE, BD_UNSOLVED or, of no known salts,
 * BD_UNKNOWN. */
static bd_status fail_ph(const bd_value *ph, bd_status why, bd_error *err)
{
    const char *reason = why == BD_OUTSIDE   ? "this mix is too strong for the solution model"
                         : why == BD_UNKNOWN ? "not every product is a salt known here"
                                             : "the solution model finds no answer for this mix";

    (void)bd_fail(err, why, "--ph", "no lye or acid can be worked out for '%.20s': %s", ph->text,
                  reason);
    return bd_accepts(err, why == BD_UNKNOWN
                               ? "products named with --material that are salts, or no --ph"
                               : "a weaker mix, a pH nearer to its own, or no --ph");
}

static bool is_said_closed(const bd_request *r)
{
    const bd_value *air = bd_request_get(r, BD_OPT_AIR);

    return air != NULL && strcmp(air->text, "closed") == 0;
}

static bd_status find_titrant(bd_bath *bath, const bd_knowledge *know, const bd_request *r,
                              bd_card *card, bd_error *err)
{
    bd_status status = bd_titrant_of(know, r, &bath->solution, &bath->titrant, err);

    if (status == BD_OK && bath->titrant.material != NULL && !is_said_closed(r))
        bd_card_assume(card, "solution.fresh",
                       bath->solution.koh_mol_per_l > 0.0 ? W("assume.lye_is_fresh")
                                                          : W("assume.acid_is_fresh"),
                       BD_NO_ARGS, NULL, "", "worked out");
    return status;
}

/* The mix as it stands, and the water alone; outside the model is a finding and no error, but
 * where lye or acid was asked for. */
static bd_status solve_mix(bd_bath *bath, const bd_knowledge *know, const bd_request *r,
                           bd_card *card, bd_error *err)
{
    const bd_value *ph = bd_request_get(r, BD_OPT_PH);
    bool is_open = true;
    bd_solution_input in;
    bd_error trouble = {0};
    bd_status status = read_air(bath, r, &is_open, err);

    if (status == BD_OK)
        status = solve_input(bath, know, r, is_open, false, &in, err);
    if (status == BD_OK)
        status = bd_solution_solve(know->chemistry, &in, &bath->water_alone, err);
    if (status == BD_OK)
        status = conductivity_at_25(know, &bath->water_alone, &bath->water_ec_25c_ds_per_m, err);
    if (status == BD_OK)
        status = solve_input(bath, know, r, is_open, true, &in, err);
    if (status != BD_OK)
        return status;
    status = solve_fresh(know, &in, &bath->solution, &trouble);
    if (status == BD_OK)
        status = conductivity_at_25(know, &bath->solution, &bath->ec_25c_ds_per_m, &trouble);
    if (status == BD_OK) {
        bath->osmotic_kpa = bd_osmotic_pressure(know->chemistry, &bath->solution).kpa;
        return find_titrant(bath, know, r, card, err);
    }
    if (status != BD_OUTSIDE && status != BD_UNSOLVED) {
        if (ph != NULL)
            bd_error_at(&trouble, "--ph");
        if (err != NULL && err->status == BD_OK)
            *err = trouble;
        return status;
    }
    if (ph != NULL)
        return fail_ph(ph, status, err);
    bath->is_outside = true;
    bd_card_find(card, "solution.outside", BD_CARE,
                 status == BD_OUTSIDE ? W("solution.outside") : W("solution.unsolved"), BD_NO_ARGS,
                 "");
    return BD_OK;
}

/* ---- solubility --------------------------------------------------------- */

/* Share of a salt's own mass that is water of its crystals: 0.51 for MgSO4.7H2O. */
static double crystal_water(const bd_material *m)
{
    const char *part = strrchr(m->formula, '.');
    bd_formula whole, water;

    if (part == NULL || strstr(part, "H2O") == NULL || strchr(part, '(') != NULL ||
        bd_formula_read(m->formula, &whole, NULL) != BD_OK ||
        bd_formula_read(part + 1, &water, NULL) != BD_OK)
        return 0.0;
    return water.g_per_mol / whole.g_per_mol;
}

static double purity_of(const bd_offer *o)
{
    return o->product.purity > 0.0 ? o->product.purity : 1.0;
}

static bool is_solved(const bd_bath *bath)
{
    return bath->is_modelled && !bath->is_outside;
}

/* By itself, whatever else is in the water. */
static double lone_saturation(double water_kg, double salt_g_per_l, double hydrate,
                              double s_g_per_100g)
{
    return bd_solubility_g_per_100g(salt_g_per_l, water_kg, hydrate) / s_g_per_100g;
}

/* Water and salts as they are poured, dissolved or not; what no ions are known of is left out. */
static bd_status pour(const bd_bath *bath, const bd_knowledge *know, bd_solution_input *in)
{
    bd_status status;

    bd_solution_input_init(in);
    status = bd_solution_add_water(know->chemistry, in, bath->water, 1.0, NULL);
    for (size_t i = 0; i < bath->count && status == BD_OK; i++)
        if (bd_offer_has_ions(bath->doses[i].offer))
            status = add_salt(know, bath->doses[i].offer, bath->doses[i].g_per_l.high, in, NULL);
    return status;
}

/* Water in a litre of all that is poured. */
static double poured_water_kg(const bd_bath *bath)
{
    double salts_g_per_l = 0.0;

    for (size_t i = 0; i < bath->count; i++)
        salts_g_per_l += bath->doses[i].g_per_l.high * purity_of(bath->doses[i].offer);
    return fmax(0.1, 1.0 - volume_l_per_kg_salt * salts_g_per_l / 1000.0);
}

/* With the ions that others bring, of which a litre holds `mol_per_l`; 0 where its own are not
 * known. */
static double common_ion_saturation(const bd_knowledge *know, const bd_offer *o,
                                    const double *mol_per_l, double water_kg, double s_mol_per_kg)
{
    const bd_material *m = o->material;
    double mol_per_kg[BD_SPECIES_MAX], counts[BD_SPECIES_MAX];

    if (!bd_offer_has_ions(o) || m->ion_count > BD_SPECIES_MAX)
        return 0.0;
    for (size_t i = 0; i < m->ion_count; i++) {
        size_t species = 0;

        if (bd_chemistry_species(know->chemistry, m->ions[i].name, &species, NULL) != BD_OK ||
            know->chemistry->species[species].part_count == 0)
            return 0.0;
        counts[i] = m->ions[i].count;
        mol_per_kg[i] = mol_per_l[know->chemistry->species[species].parts[0].component] / water_kg;
    }
    return bd_solubility_in_mix(mol_per_kg, counts, m->ion_count, s_mol_per_kg);
}

/* How near one salt is to crystallising: with the ions others bring, as the solution holds them or,
 * beyond the model, as they were poured; and never less than by itself there. */
static double saturation_of(const bd_bath *bath, const bd_knowledge *know, const bd_offer *o,
                            double salt_g_per_l, double s_g_per_100g)
{
    double hydrate = crystal_water(o->material), lone, mixed,
           water_kg = is_solved(bath) ? bath->solution.water_kg_per_l : poured_water_kg(bath),
           s_mol_per_kg = 10.0 * s_g_per_100g / o->product.salt_molar_mass_g_per_mol /
                          (1.0 + s_g_per_100g / 100.0 * hydrate);
    bd_solution_input poured;

    lone = lone_saturation(water_kg, salt_g_per_l, hydrate, s_g_per_100g);
    if (is_solved(bath)) {
        mixed =
            common_ion_saturation(know, o, bath->solution.total_mol_per_l, water_kg, s_mol_per_kg);
        return mixed > 0.0 ? mixed : lone;
    }
    if (bath->count < 2 || pour(bath, know, &poured) != BD_OK)
        return lone;
    return fmax(lone, common_ion_saturation(know, o, poured.mol_per_l, water_kg, s_mol_per_kg));
}

static void find_saturation(const bd_bath *bath, const bd_bath_dose *dose, double share,
                            double most, const bd_knowledge *know, const char *source,
                            bd_card *card)
{
    const bd_fact *working = bd_catalogue_practice(know->catalogue, "solubility-working-share");
    bool is_over = bd_is_over(share, 1.0), is_near = bd_is_over(share, working->value.typical),
         is_beside = is_over && bath->count > 1 && !bd_is_over(dose->g_per_l.high, most);
    const bd_offer *o = dose->offer;

    if (!isfinite(share)) { /* more salt than a litre of it weighs */
        bd_card_find(card, "limit.solubility", BD_STOP, W("solubility.over"),
                     BD_ARGS(bd_name(o->title), bd_name(""), bd_amount(bath->temperature_c, "degC"),
                             bd_amount(most, "g/L")),
                     source);
        return;
    }
    bd_card_find_limit(card, "limit.solubility",
                       is_over   ? BD_STOP
                       : is_near ? BD_CARE
                                 : BD_NOTE,
                       is_beside ? W("solubility.over_beside")
                       : is_over ? W("solubility.over")
                       : is_near ? W("solubility.near")
                                 : W("solubility.within"),
                       BD_ARGS(bd_name(o->title), bd_amount(100.0 * share, "%"),
                               bd_amount(bath->temperature_c, "degC"), bd_amount(most, "g/L")),
                       100.0 * share, 100.0, "%", source);
}

static void tell_how_warm(const bd_solubility *curve, const bd_offer *o, double g_per_100g,
                          const char *source, bd_card *card)
{
    double warm_c = 0.0;

    if (bd_solubility_temperature_for(curve, g_per_100g, &warm_c, NULL) == BD_OK)
        bd_card_find(card, "solubility.warmer", BD_NOTE, W("solubility.how_warm"),
                     BD_ARGS(bd_name(o->title), bd_amount(ceil(warm_c), "degC")), source);
}

static void judge_solubility(bd_bath *bath, size_t i, const bd_knowledge *know, bd_card *card)
{
    const bd_offer *o = bath->doses[i].offer;
    size_t count;
    const bd_solubility *curves = bd_catalogue_solubilities(know->catalogue, &count), *curve = NULL;
    double s = 0.0, salt_g_per_l = bath->doses[i].g_per_l.high * purity_of(o), share, most;
    char source[BD_CITE_SIZE];

    if (o->material == NULL)
        return;
    if (bd_solubility_strictest(curves, count, o->material->name, bath->temperature_c, &s, &curve,
                                NULL) != BD_OK) {
        bd_card_find(card, "limit.solubility", BD_NOTE, W("solubility.unknown"),
                     BD_ARGS(bd_name(o->title), bd_amount(bath->temperature_c, "degC")), "");
        return;
    }
    share = saturation_of(bath, know, o, salt_g_per_l, s);
    most = 10.0 * s / (1.0 + volume_l_per_kg_salt * s / 100.0) / purity_of(o);
    if (i == 0)
        bath->most_soluble = most;
    if (!bath->has_saturation || share > bath->saturation)
        bath->saturation = share;
    bath->has_saturation = true;
    (void)bd_cite(curve->source, curve->trust, source);
    find_saturation(bath, &bath->doses[i], share, most, know, source, card);
    if (bd_is_over(share, 1.0))
        tell_how_warm(curve, o, share * s, source, card);
}

void bd_bath_judge_solubility(bd_bath *bath, const bd_knowledge *know, bd_card *card)
{
    bath->has_saturation = false;
    bath->most_soluble = HUGE_VAL;
    for (size_t i = 0; i < bath->count; i++)
        judge_solubility(bath, i, know, card);
    if (bath->count > 1 && bath->has_saturation && !is_solved(bath))
        bd_card_find(card, "solubility.estimate", BD_NOTE, W("solubility.estimate"), BD_NO_ARGS,
                     "");
}

/* ---- what falls out, what gasses off ------------------------------------ */

/* How far the model's indices lie off a reference program's, at most: nearer to saturation than
 * that, clear and cloudy cannot be told apart. */
static const double index_error = 0.15;

/* Gypsum and brushite cloud a tank while it is used.  The others form slowly, as scale, and at once
 * only from far above saturation. */
static bool falls_out_at_once(const bd_mineral *m)
{
    return strcmp(m->name, "gypsum") == 0 || strcmp(m->name, "brushite") == 0;
}

/* What happens to a mineral in a mix, from nothing to a blocked nozzle. */
typedef enum fate { STAYS, AT_THE_EDGE, SCALES, FALLS } fate;

static fate fate_of(const bd_mineral *m, double index, double in_water)
{
    double warn = m->warn_above.value.typical;

    if (m->is_information || !m->warn_above.is_known)
        return STAYS;
    if (falls_out_at_once(m)) {
        if (bd_is_over(index, warn))
            return FALLS;
        return bd_is_over(index, warn - index_error) ? AT_THE_EDGE : STAYS;
    }
    /* What the water holds by itself, it has held on the way to the tap. */
    if (m->certain_above.is_known && bd_is_over(index, m->certain_above.value.typical) &&
        bd_is_over(index, in_water + index_error))
        return FALLS;
    return bd_is_over(index, warn) ? SCALES : STAYS;
}

static double index_in_water(const bd_saturation *water, size_t i)
{
    return water->has_index[i] ? water->index[i] : -HUGE_VAL;
}

static bool any_brings(const bd_bath *bath, bd_nutrient n)
{
    for (size_t i = 0; i < bath->count; i++)
        if (bath->doses[i].offer->product.share[n].high > 0.0)
            return true;
    return false;
}

/* Struvite is of magnesium, the others of calcium; where no product brings that, the water does,
 * and giving the products apart would not help. */
static bool is_of_the_water(const bd_bath *bath, const bd_mineral *m)
{
    return !any_brings(bath, strcmp(m->name, "struvite") == 0 ? BD_MG : BD_CA);
}

static void say_mineral(const bd_bath *bath, const bd_mineral *m, fate what, double index,
                        bd_card *card)
{
    bool is_certain = what == FALLS && !falls_out_at_once(m);
    const bd_fact *limit = is_certain ? &m->certain_above : &m->warn_above;
    char id[48], source[BD_CITE_SIZE];

    (void)snprintf(id, sizeof id, "tank.%.24s", m->name);
    bd_card_find_limit(card, id, what == SCALES ? BD_CARE : BD_STOP,
                       what == SCALES             ? W("tank.may_scale")
                       : what == AT_THE_EDGE      ? W("tank.at_the_edge")
                       : is_of_the_water(bath, m) ? W("tank.falls_out_with_water")
                                                  : W("tank.falls_out"),
                       BD_ARGS(bd_name(m->title), bd_amount(index, "")), index,
                       limit->value.typical, "log10(IAP/K)",
                       bd_cite(m->log_k.source, m->log_k.trust, source));
}

void bd_bath_judge_minerals(const bd_bath *bath, const bd_knowledge *know, bd_card *card)
{
    bd_saturation mix = bd_saturation_of(know->chemistry, &bath->solution),
                  water = bd_saturation_of(know->chemistry, &bath->water_alone);

    for (size_t i = 0; i < know->chemistry->mineral_count; i++) {
        const bd_mineral *m = &know->chemistry->minerals[i];
        fate what = mix.has_index[i] ? fate_of(m, mix.index[i], index_in_water(&water, i)) : STAYS;

        if (what != STAYS && (what != AT_THE_EDGE || bath->count > 1))
            say_mineral(bath, m, what, mix.index[i], card);
    }
}

/* ---- pairs ---- */

static bool gives_ammonia(const bd_material *m)
{
    return bd_material_has(m, BD_TRAIT_AMMONIUM) || bd_material_has(m, BD_TRAIT_UREA);
}

static bool is_alkali_beside_ammonium(const bd_bath *bath)
{
    for (size_t i = 0; i < bath->count; i++)
        for (size_t k = 0; k < bath->count; k++) {
            const bd_material *a = bath->doses[i].offer->material,
                              *b = bath->doses[k].offer->material;

            if (a != NULL && b != NULL && a != b && bd_material_is_alkali(a) && gives_ammonia(b))
                return true;
        }
    return false;
}

static bool has_calcium_pair(const bd_bath *bath)
{
    return any_trait(bath, BD_TRAIT_CALCIUM) &&
           (any_trait(bath, BD_TRAIT_SULFATE) || any_trait(bath, BD_TRAIT_PHOSPHATE));
}

static bool has_metal_pair(const bd_bath *bath)
{
    return any_trait(bath, BD_TRAIT_METAL) &&
           (any_trait(bath, BD_TRAIT_PHOSPHATE) || any_trait(bath, BD_TRAIT_ALKALINE));
}

/* ---- together, only dilute, never ---------------------------------------- */

/* The worst that happens to any mineral of a solution in this bath's water. */
static fate worst_fate(const bd_bath *bath, const bd_knowledge *know, const bd_solution *solution)
{
    bd_saturation mix = bd_saturation_of(know->chemistry, solution),
                  water = bd_saturation_of(know->chemistry, &bath->water_alone);
    fate worst = STAYS;

    for (size_t i = 0; i < know->chemistry->mineral_count; i++) {
        const bd_mineral *m = &know->chemistry->minerals[i];
        fate what = mix.has_index[i] ? fate_of(m, mix.index[i], index_in_water(&water, i)) : STAYS;

        if (what > worst)
            worst = what;
    }
    return worst;
}

/* The same for the mix at `scale` times its strength; what cannot be worked out is no clear mix. */
static fate fate_at(const bd_bath *bath, const bd_knowledge *know, const bd_request *r,
                    double scale)
{
    bd_bath other = *bath;
    bd_solution_input in;
    bool is_open = true;

    for (size_t i = 0; i < other.count; i++)
        other.doses[i].g_per_l = bd_range_scale(other.doses[i].g_per_l, scale);
    if (read_air(&other, r, &is_open, NULL) != BD_OK ||
        solve_input(&other, know, r, is_open, true, &in, NULL) != BD_OK ||
        solve_fresh(know, &in, &other.solution, NULL) != BD_OK)
        return FALLS;
    return worst_fate(bath, know, &other.solution);
}

/* The strongest share of the asked strength that is clear, by halving; 0 below a fiftieth. */
static double clear_share(const bd_bath *bath, const bd_knowledge *know, const bd_request *r)
{
    static const double weakest = 0.02;
    double low = weakest, high = 1.0;
    const fate as_water = worst_fate(bath, know, &bath->water_alone);

    if (fate_at(bath, know, r, weakest) > as_water)
        return 0.0;
    for (int i = 0; i < SHARE_HALVINGS; i++) {
        double middle = 0.5 * (low + high);

        if (fate_at(bath, know, r, middle) <= as_water)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static bool is_water_to_blame(const bd_card *card)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].line.key, W("tank.falls_out_with_water")) == 0)
            return true;
    return false;
}

static void advise_mix(const bd_bath *bath, const bd_knowledge *know, const bd_request *r,
                       bd_card *card)
{
    static const double stock = 10.0;
    static const char source[] = "saturation indices of this mix, worked out";
    fate now;
    double share;

    if (bath->count < 2 || is_alkali_beside_ammonium(bath))
        return;
    now = fate_at(bath, know, r, 1.0);
    if (now == STAYS || now == SCALES) {
        bool is_pair = has_calcium_pair(bath) || has_metal_pair(bath);
        bool is_fit_as_stock = !is_pair && fate_at(bath, know, r, stock) == STAYS;

        bd_card_find(card, "tank.advice", now == SCALES ? BD_CARE : BD_NOTE,
                     now == SCALES     ? W("tank.only_at_once")
                     : is_fit_as_stock ? W("tank.together")
                                       : W("tank.only_dilute"),
                     BD_NO_ARGS, source);
        return;
    }
    share = clear_share(bath, know, r);
    bd_card_find(card, "tank.advice", BD_STOP,
                 share > 0.0               ? W("tank.thinner")
                 : is_water_to_blame(card) ? W("tank.never_in_this_water")
                                           : W("tank.never"),
                 BD_ARGS(bd_amount(100.0 * share, "%")), source);
}

static void say_pair(const bd_knowledge *know, bd_card *card, const char *id, bd_level level,
                     const char *key)
{
    char source[BD_CITE_SIZE];

    bd_card_find(card, id, level, key, BD_NO_ARGS, bd_rule_source(know->catalogue, key, source));
}

/* Ammonium that is ammonia at the pH of the mix: a smell first, and a poison where lye does it. */
static void judge_free_ammonia(const bd_bath *bath, const bd_knowledge *know, bd_card *card)
{
    const bd_fact *most = bd_catalogue_practice(know->catalogue, "free-ammonia-share");
    double all, share;
    bool is_by_lye;
    size_t ammonia = 0;
    char source[BD_CITE_SIZE];

    if (!bath->is_modelled || bath->is_outside ||
        bd_chemistry_species(know->chemistry, "NH3", &ammonia, NULL) != BD_OK)
        return;
    all = bath->solution.total_mol_per_l[BD_COMPONENT_NH4];
    share = all > 0.0 ? bath->solution.species_mol_per_l[ammonia] / all : 0.0;
    if (!any_trait(bath, BD_TRAIT_AMMONIUM) || !bd_is_over(share, most->value.typical))
        return;
    is_by_lye = bath->solution.koh_mol_per_l > 0.0;
    bd_card_find_limit(card, "mix.free_ammonia", is_by_lye ? BD_STOP : BD_CARE,
                       is_by_lye ? W("tank.ammonia_by_lye") : W("tank.free_ammonia"),
                       BD_ARGS(bd_amount(100.0 * share, "%"), bd_amount(bath->solution.ph, "")),
                       100.0 * share, 100.0 * most->value.typical, "%", bd_cite_fact(most, source));
}

/* Published pairs that no saturation index tells. */
static void judge_pairs(const bd_bath *bath, const bd_knowledge *know, bd_card *card)
{
    if (is_alkali_beside_ammonium(bath))
        say_pair(know, card, "mix.ammonia", BD_STOP, W("rule.ammonia"));
    else
        judge_free_ammonia(bath, know, card);
    if (has_calcium_pair(bath))
        say_pair(know, card, "mix.calcium", BD_CARE, W("tank.calcium_pair"));
    if (has_metal_pair(bath))
        say_pair(know, card, "mix.metal", BD_CARE, W("tank.metal_pair"));
}

bd_status bd_bath_solve(bd_bath *bath, const bd_knowledge *know, const bd_request *request,
                        bd_card *card, bd_error *err)
{
    bd_status status;

    bath->is_modelled = true;
    for (size_t i = 0; i < bath->count; i++)
        bath->is_modelled = bath->is_modelled && bd_offer_has_ions(bath->doses[i].offer);
    status = read_water(bath, know, request, card, err);
    if (status == BD_OK && bath->is_modelled)
        status = solve_mix(bath, know, request, card, err);
    else if (status == BD_OK && bd_request_get(request, BD_OPT_PH) != NULL)
        status = fail_ph(bd_request_get(request, BD_OPT_PH), BD_UNKNOWN, err);
    else if (status == BD_OK)
        bd_card_find(card, "solution.not_modelled", BD_NOTE, W("solution.not_modelled"), BD_NO_ARGS,
                     "");
    if (status != BD_OK)
        return status;
    tell_hardness(bath, know, card);
    bd_bath_judge_solubility(bath, know, card);
    if (bath->is_modelled && !bath->is_outside) {
        bd_bath_judge_minerals(bath, know, card);
        advise_mix(bath, know, request, card);
    }
    judge_pairs(bath, know, card);
    return BD_OK;
}

bd_status bd_bath_titrate(bd_bath *bath, const bd_knowledge *know, const bd_request *request,
                          bd_error *err)
{
    bd_bath other = *bath;
    bd_card aside;
    bd_status status = BD_OK;

    if (bd_request_get(request, BD_OPT_PH) == NULL)
        return BD_OK;
    bd_card_init(&aside, "");
    status = bd_bath_solve(&other, know, request, &aside, err);
    bd_card_clear(&aside);
    bath->titrant = other.titrant;
    return status;
}

/* What an analyst would ask for: totals of everything dissolved, and that the charges even out. */
static void show_totals(const bd_bath *bath, bd_card *card)
{
    static const char *const names[BD_COMPONENT_COUNT] = {
#define BD_COMPONENT(id, name, what) [BD_COMPONENT_##id] = name " (" what ")",
#include "nutrients/component.def"
#undef BD_COMPONENT
    };
    static const char source[] = "formulas of the salts, times purity, and the water";

    for (int i = 0; i < BD_COMPONENT_COUNT; i++)
        if (bath->solution.total_mol_per_l[i] > 0.0)
            bd_card_work(card, W("work.total"),
                         BD_ARGS(bd_name(names[i]),
                                 bd_exact(1000.0 * bath->solution.total_mol_per_l[i], "mmol/L")),
                         source);
    bd_card_work(card, W("work.charges"), BD_ARGS(bd_exact(bath->solution.charge_residual, "")),
                 source);
}

void bd_bath_show(const bd_bath *bath, const bd_knowledge *know, bd_card *card)
{
    bd_saturation saturation;
    char id[48];

    if (bath->has_saturation)
        bd_card_figure(card, "solution.saturation", W("figure.saturation"),
                       BD_ARGS(bd_amount(bath->temperature_c, "degC")),
                       bd_exactly(bath->saturation), "");
    if (!bath->is_modelled || bath->is_outside)
        return;
    bd_card_figure(card, "solution.ec", W("figure.ec"), BD_NO_ARGS,
                   bd_exactly(bath->ec_25c_ds_per_m), "dS/m");
    if (fabs(bath->temperature_c - reference_c) > 0.0)
        bd_card_figure(card, "solution.ec_uncorrected", W("figure.ec_uncorrected"),
                       BD_ARGS(bd_amount(bath->temperature_c, "degC")),
                       bd_exactly(bd_conductivity_ds_per_m(know->chemistry, &bath->solution)),
                       "dS/m");
    bd_card_figure(card, "solution.ph", W("figure.ph"), BD_NO_ARGS, bd_exactly(bath->solution.ph),
                   "");
    bd_card_figure(card, "solution.ionic_strength", W("figure.ionic_strength"), BD_NO_ARGS,
                   bd_exactly(bath->solution.ionic_strength_mol_per_l), "mol/L");
    bd_card_figure(card, "solution.osmotic_pressure", W("figure.osmotic"), BD_NO_ARGS,
                   bd_exactly(bath->osmotic_kpa), "kPa");
    show_totals(bath, card);
    saturation = bd_saturation_of(know->chemistry, &bath->solution);
    for (size_t i = 0; i < know->chemistry->mineral_count; i++) {
        if (!saturation.has_index[i])
            continue;
        (void)snprintf(id, sizeof id, "solution.si.%.24s", know->chemistry->minerals[i].name);
        bd_card_figure(card, id,
                       know->chemistry->minerals[i].is_information ? W("figure.si_information")
                                                                   : W("figure.si"),
                       BD_ARGS(bd_name(know->chemistry->minerals[i].title)),
                       bd_exactly(saturation.index[i]), "");
    }
}

/* ---- a strength by its conductivity --------------------------------------- */

/* HUGE_VAL outside the model: far too strong. */
static double ec_above_water(const bd_bath *bath, const bd_knowledge *know,
                             const bd_request *request, double share)
{
    bd_bath thin = *bath;
    bd_card aside;
    bd_status status;

    thin.is_outside = false;
    for (size_t i = 0; i < thin.count; i++)
        thin.doses[i].g_per_l = bd_range_scale(thin.doses[i].g_per_l, share);
    bd_card_init(&aside, "");
    status = solve_mix(&thin, know, request, &aside, NULL);
    bd_card_clear(&aside);
    return status != BD_OK || thin.is_outside ? HUGE_VAL
                                              : thin.ec_25c_ds_per_m - thin.water_ec_25c_ds_per_m;
}

double bd_bath_share_at_ec(const bd_bath *bath, const bd_knowledge *know, const bd_request *request,
                           double ds_per_m)
{
    double low = 0.0, high = 1.0;

    if (!bath->is_modelled ||
        (!bath->is_outside &&
         !bd_is_over(bath->ec_25c_ds_per_m - bath->water_ec_25c_ds_per_m, ds_per_m)))
        return HUGE_VAL;
    for (int i = 0; i < SHARE_HALVINGS; i++) {
        double middle = 0.5 * (low + high);

        if (ec_above_water(bath, know, request, middle) > ds_per_m)
            high = middle;
        else
            low = middle;
    }
    return low;
}

/* ---- loads and meters --------------------------------------------------- */

bd_status bd_salt_load(const bd_knowledge *know, const bd_offer *offer, double grams, double litres,
                       double *load, bool *is_estimate, bd_error *err)
{
    double mg_per_l_per_ds = bd_media_figure(know->media, "salts-per-conductivity")->value.typical;
    bd_solution_input in;
    bd_solution solution;
    bd_status status;

    *load = grams * 1000.0 / mg_per_l_per_ds;
    assert(bd_offer_has_ions(offer));
    bd_solution_input_init(&in);
    status = add_salt(know, offer, grams / litres, &in, err);
    if (status != BD_OK) {
        bd_error_at(err, "--target");
        (void)bd_accepts(err, "an amount that a bag can hold");
        return status;
    }
    if (bd_solution_solve(know->chemistry, &in, &solution, NULL) != BD_OK) {
        *is_estimate = true;
        return BD_OK;
    }
    *load = bd_conductivity_ds_per_m(know->chemistry, &solution) * litres;
    return BD_OK;
}

/* Conductivity of a salt of two ions in pure water. */
static bd_status pair_ec(const bd_knowledge *know, const char *cation, double cation_mol_per_l,
                         const char *anion, double anion_mol_per_l, double *ds_per_m, bd_error *err)
{
    bd_solution_input in;
    bd_solution solution;
    bd_status status;

    bd_solution_input_init(&in);
    status = bd_solution_add_ion(know->chemistry, &in, cation, cation_mol_per_l, err);
    if (status == BD_OK)
        status = bd_solution_add_ion(know->chemistry, &in, anion, anion_mol_per_l, err);
    if (status == BD_OK)
        status = bd_solution_solve(know->chemistry, &in, &solution, err);
    if (status == BD_OK)
        *ds_per_m = bd_conductivity_ds_per_m(know->chemistry, &solution);
    return status;
}

bd_status bd_urea_load(const bd_knowledge *know, double n_g, double litres, bd_range *load,
                       bd_error *err)
{
    double n_mol_per_l = n_g / molar_mass("N") / litres, half = 0.0, full = 0.0;
    bd_status status =
        pair_ec(know, "NH4+", n_mol_per_l / 2.0, "NO3-", n_mol_per_l / 2.0, &half, err);

    if (status == BD_OK)
        status = pair_ec(know, "Ca+2", n_mol_per_l / 2.0, "NO3-", n_mol_per_l, &full, err);
    if (status == BD_OK)
        *load = bd_range_of(0.0, half * litres, full * litres);
    return status;
}

/* Potassium dihydrogen phosphate, the least conducting potassium salt. */
static bd_status phosphate_ec(const bd_knowledge *know, double mol_per_l, double *ds_per_m,
                              bd_error *err)
{
    return pair_ec(know, "K+", mol_per_l, "H2PO4-", mol_per_l, ds_per_m, err);
}

bd_status bd_most_potassium(const bd_knowledge *know, double ec_ds_per_m, double *k_g_per_l,
                            bd_error *err)
{
    double low = 0.0, high = strongest_k_mol_per_l, ec = 0.0;
    bd_status status = phosphate_ec(know, high, &ec, err);

    if (status == BD_OK && ec < ec_ds_per_m) {
        (void)bd_fail(err, BD_OUTSIDE, "--ec", "%.4g dS/m is more than any feed conducts",
                      ec_ds_per_m);
        return bd_accepts(err, "a reading of the brew in dS/m (mS/cm) at 25 C");
    }
    for (int i = 0; i < HALVINGS && status == BD_OK; i++) {
        double middle = 0.5 * (low + high);

        status = phosphate_ec(know, middle, &ec, err);
        if (ec < ec_ds_per_m)
            low = middle;
        else
            high = middle;
    }
    *k_g_per_l = high * molar_mass("K");
    return status;
}
