#include "job/salt_load.h"

#include <assert.h>
#include <math.h>
#include <string.h>

#include "job/dissolved.h"
#include "model/npk.h"
#include "nutrients/cite.h"
#include "nutrients/formula.h"

#define MG_PER_G 1000.0

/* One product while it is added up. */
typedef struct dose {
    const bd_knowledge *know;
    const bd_offer *offer;
    const bd_material *material; /* NULL for an own label */
    const bd_part *part;         /* the same as a part of a mix; NULL where it is none */
    bool is_own, is_homemade, in_water, is_lye;
    double litres;
    bd_range grams;
    bd_range comes_g[BD_NUTRIENT_COUNT];
    bd_range cations, anions; /* meq */
} dose;

static double meq_per_g(const char *formula, double charge)
{
    bd_formula f = {.g_per_mol = 0.0};
    bd_status status = bd_formula_read(formula, &f, NULL);

    assert(status == BD_OK); /* formulas of this file */
    (void)status;
    return MG_PER_G * charge / f.g_per_mol;
}

static bd_range figure(const bd_knowledge *know, const char *name)
{
    return bd_media_figure(know->media, name)->value;
}

/* The material as a part of a mix; NULL where it is none. */
static const bd_part *part_of(const bd_knowledge *know, const bd_material *m)
{
    const bd_part *part = NULL;

    if (m == NULL || m->kind != BD_HOMEMADE ||
        bd_parts_part(know->parts, m->name, strlen(m->name), &part, NULL) != BD_OK)
        return NULL;
    return part;
}

static bd_range end_by_end(bd_range a, bd_range b)
{
    return bd_range_of(a.low * b.low, a.typical * b.typical, a.high * b.high);
}

static bool has(const dose *d, bd_trait trait)
{
    return d->material != NULL && bd_material_has(d->material, trait);
}

static bd_range meq_of(const dose *d, bd_nutrient n, double charge)
{
    return bd_range_scale(d->comes_g[n], meq_per_g(bd_nutrient_symbol(n), charge));
}

/* No more than makes the bag's water as salty as `name` says. */
static bd_range held(const dose *d, bd_range meq, const char *name)
{
    bd_range most = figure(d->know, name), per_meq = figure(d->know, "salt-per-equivalent");

    return bd_range_of(fmin(meq.low, most.low * d->litres / per_meq.low),
                       fmin(meq.typical, most.typical * d->litres / per_meq.typical),
                       fmin(meq.high, most.high * d->litres / per_meq.high));
}

static void add_cations(dose *d, bd_range meq)
{
    d->cations = bd_range_add(d->cations, meq);
}

static void add_anions(dose *d, bd_range meq)
{
    d->anions = bd_range_add(d->anions, meq);
}

/* ---- nutrient by nutrient ----------------------------------------------- */

static void add_metals(dose *d)
{
    static const bd_nutrient metals[] = {BD_FE, BD_MN, BD_ZN, BD_CU};
    const bd_range charges = {1.0, 2.0, 2.0}; /* a sodium salt of a chelate; a sulfate */

    for (size_t i = 0; i < sizeof metals / sizeof metals[0]; i++)
        add_cations(d, end_by_end(meq_of(d, metals[i], 1.0), charges));
}

static void add_bases(dose *d)
{
    add_cations(d, meq_of(d, BD_K, 1.0));
    add_cations(d, meq_of(d, BD_NA, 1.0));
    if (!d->is_homemade)
        add_metals(d);
    if (d->is_own) {
        add_cations(d, bd_range_of(0.0, 0.0, meq_of(d, BD_CA, 2.0).high));
        add_cations(d, bd_range_of(0.0, 0.0, meq_of(d, BD_MG, 2.0).high));
    }
}

static void add_sulfur(dose *d)
{
    bd_range meq = meq_of(d, BD_S, 2.0);

    if (d->is_own)
        meq.low = 0.0;
    else if (has(d, BD_TRAIT_SLOW) && !has(d, BD_TRAIT_SULFATE))
        meq = held(d, bd_range_of(0.0, 0.0, meq.high), "gypsum-water");
    else if (!d->is_homemade && bd_product_holds(&d->offer->product, BD_CA))
        meq = held(d, meq, "gypsum-water");
    add_anions(d, meq);
}

static void add_phosphorus(dose *d)
{
    bd_range meq = meq_of(d, BD_P, 1.0);

    if (d->is_own)
        meq.low = 0.0;
    add_anions(d, d->is_homemade ? held(d, meq, "phosphate-water") : meq);
}

/* Calcium hydrogen carbonate, what lime dissolves as in a mix that breathes. */
static void add_lime(dose *d)
{
    bd_range meq;

    if (!has(d, BD_TRAIT_ALKALINE) || !d->material->lime_value.is_known || d->is_lye)
        return;
    meq = bd_range_scale(bd_range_times(d->material->lime_value.value, d->grams),
                         meq_per_g("CaCO3", 2.0));
    meq = held(d, meq, "lime-water");
    add_cations(d, meq);
    add_anions(d, meq);
}

/* ---- nitrogen ----------------------------------------------------------- */

/* Share of all nitrogen that turns from organic to mineral in the first season. */
static bd_range rots_in_season(const dose *d, double organic)
{
    const bd_fact *first = d->part == NULL ? NULL : &d->part->first_year[BD_NPK_N];

    if (has(d, BD_TRAIT_CARBON_RICH))
        return bd_exactly(0.0);
    if (first == NULL || !first->is_known)
        return bd_range_scale(figure(d->know, "mineral-in-season"), organic);
    return bd_range_of(fmax(0.0, first->value.low - (1.0 - organic)),
                       fmax(0.0, first->value.typical - (1.0 - organic)),
                       fmax(0.0, first->value.high - (1.0 - organic)));
}

static void add_organic(dose *d)
{
    double organic = d->offer->product.nitrogen_share[BD_NITROGEN_ORGANIC];
    bd_range n = meq_of(d, BD_N, 1.0);

    if (!(organic > 0.0))
        return;
    if (d->in_water)
        n = bd_range_of(0.0, 0.0, n.high * organic);
    else
        n = end_by_end(end_by_end(n, rots_in_season(d, organic)),
                       figure(d->know, "salt-of-rotting"));
    add_cations(d, n);
}

static void add_nitrogen(dose *d)
{
    const double *form = d->offer->product.nitrogen_share;
    double organic = form[BD_NITROGEN_ORGANIC], nitrate = form[BD_NITROGEN_NITRATE],
           ammonium = form[BD_NITROGEN_AMMONIUM], urea = form[BD_NITROGEN_UREA];
    bd_range n = meq_of(d, BD_N, 1.0);

    if (!(organic + nitrate + ammonium + urea > 0.0))
        urea = 1.0; /* not known: from urea to an ammonium salt */
    /* the urea of urine is ammonium within days */
    add_cations(d, bd_range_scale(n, ammonium + (d->is_homemade ? urea : 0.0)));
    add_anions(d, bd_range_scale(n, nitrate));
    if (!d->is_homemade) {
        bd_range later = end_by_end(bd_range_scale(n, urea), figure(d->know, "salt-of-urea"));

        add_cations(d, later);
        add_anions(d, later);
    }
    add_organic(d);
}

/* ---- one product -------------------------------------------------------- */

static void set_what_comes(dose *d, const bd_extraction *out)
{
    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        bd_nutrient n = (bd_nutrient)i;
        bd_range all = bd_range_times(d->offer->product.share[n], d->grams);

        d->comes_g[n] = out == NULL ? all : bd_range_times(all, bd_extraction_share(out, n));
        if (out != NULL)
            d->comes_g[n].high = all.high * bd_extraction_most(out, n);
    }
}

static void cap_at_weight(dose *d)
{
    bd_range most = bd_range_scale(d->grams, meq_per_g("NH4Cl", 1.0));

    d->cations = bd_range_least(d->cations, most);
    d->anions = bd_range_least(d->anions, most);
}

static void count_nutrients(dose *d, bd_salts *sum)
{
    add_bases(d);
    add_sulfur(d);
    add_phosphorus(d);
    add_anions(d, meq_of(d, BD_CL, 1.0));
    add_lime(d);
    cap_at_weight(d);
    add_nitrogen(d);
    sum->is_counted = true;
}

/* A compost's salt is what its saturated extract reads; only its nitrogen comes later. */
static bool has_extract(const dose *d)
{
    return d->is_homemade && !d->in_water && d->part != NULL && !d->part->is_raw_manure &&
           d->part->ece_ds_per_m.is_known;
}

static bd_status add_extract(dose *d, bd_salts *sum, bd_error *err)
{
    const bd_medium *medium = NULL;
    bd_status status = bd_media_medium(d->know->media, d->part->medium, &medium, err);
    bd_range litres, water_l;

    if (status != BD_OK)
        return status;
    litres = bd_range_scale(bd_range_over(d->grams, d->part->moist_density_kg_per_l.value),
                            1.0 / MG_PER_G);
    water_l = bd_range_times(litres, bd_medium_saturation(medium));
    sum->load_ds_l_per_m =
        bd_range_add(sum->load_ds_l_per_m, bd_range_times(water_l, d->part->ece_ds_per_m.value));
    sum->extract_of = d->offer->title;
    add_organic(d);
    return BD_OK;
}

static bool is_urea(const bd_offer *offer)
{
    return offer->material != NULL && offer->material->kind != BD_HOMEMADE &&
           bd_material_has(offer->material, BD_TRAIT_UREA);
}

/* What is dissolved without a charge shows up as salt only days later; where that is too strong to
 * be worked out, the salt is left as it is and the card says that more will come. */
static void count_urea(const dose *d, bd_range *load, bd_salts *sum)
{
    bd_range later;

    if (bd_urea_load(d->know, d->grams.high * d->offer->product.share[BD_N].high, d->litres, &later,
                     NULL) != BD_OK) {
        sum->has_urea_left_out = true;
        return;
    }
    *load = bd_range_of(load->low, fmax(load->low, later.typical), fmax(load->high, later.high));
    sum->has_urea = true;
}

/* More of what carries no charge conducts a trifle less: the ends may come the wrong way round. */
static bd_range in_order(const double load[3])
{
    return bd_range_of(fmin(load[0], load[2]), fmax(fmin(load[0], load[2]), load[1]),
                       fmax(fmax(load[0], load[2]), load[1]));
}

static bd_status add_solved(const dose *d, bd_salts *sum, bd_error *err)
{
    const double grams[3] = {d->grams.low, d->grams.typical, d->grams.high};
    double loads[3] = {0.0, 0.0, 0.0};
    bool is_estimate = false;
    bd_status status = BD_OK;
    bd_range load;

    for (int i = 0; i < 3 && status == BD_OK; i++)
        status = bd_salt_load(d->know, d->offer, grams[i], d->litres, &loads[i], &is_estimate, err);
    if (status != BD_OK)
        return status;
    load = in_order(loads);
    if (is_urea(d->offer))
        count_urea(d, &load, sum);
    sum->load_ds_l_per_m = bd_range_add(sum->load_ds_l_per_m, load);
    if (is_estimate)
        sum->estimate_of = d->offer->title;
    return BD_OK;
}

bd_status bd_salts_add(const bd_knowledge *know, const bd_offer *offer, bd_range grams,
                       const bd_extraction *out, bool in_water, double litres, bd_salts *sum,
                       bd_error *err)
{
    const bd_material *m = offer->material;
    dose d = {.know = know,
              .offer = offer,
              .material = m,
              .part = part_of(know, m),
              .is_own = m == NULL,
              .is_homemade = m != NULL && m->kind == BD_HOMEMADE,
              .in_water = in_water,
              .is_lye = out != NULL && out->is_lye,
              .litres = litres,
              .grams = grams};
    bd_status status = BD_OK;

    if (!(litres > 0.0))
        return BD_OK;
    if (bd_offer_has_ions(offer))
        return add_solved(&d, sum, err);
    if (in_water && offer->product.is_liquid && m != NULL && m->ec_ds_per_m.is_known) {
        bd_range poured_l = bd_range_scale(grams, 1e-3 / offer->product.density_kg_per_l);

        sum->load_ds_l_per_m =
            bd_range_add(sum->load_ds_l_per_m, bd_range_times(m->ec_ds_per_m.value, poured_l));
        sum->is_read = true;
        return BD_OK;
    }
    set_what_comes(&d, out);
    if (has_extract(&d))
        status = add_extract(&d, sum, err);
    else
        count_nutrients(&d, sum);
    sum->cations_meq = bd_range_add(sum->cations_meq, d.cations);
    sum->anions_meq = bd_range_add(sum->anions_meq, d.anions);
    return status;
}

bd_range bd_salts_load(const bd_knowledge *know, const bd_salts *salts)
{
    const bd_range *c = &salts->cations_meq, *a = &salts->anions_meq;
    bd_range meq =
        bd_range_of(fmax(c->low, a->low), fmax(c->typical, a->typical), fmax(c->high, a->high));

    return bd_range_add(salts->load_ds_l_per_m,
                        end_by_end(meq, figure(know, "salt-per-equivalent")));
}

bd_status bd_salts_of(const bd_knowledge *know, const bd_offer *offer, bd_range grams,
                      double litres, bd_salts *out, bd_range *load, bd_error *err)
{
    bd_salts sum = {.is_counted = false};
    bd_status status =
        bd_salts_add(know, offer, grams, NULL, offer->product.is_liquid, litres, &sum, err);

    if (status != BD_OK)
        return status;
    *out = sum;
    *load = bd_salts_load(know, &sum);
    return BD_OK;
}

/* ---- the card ----------------------------------------------------------- */

void bd_salts_tell_named(const bd_salts *salts, bd_card *card)
{
    if (salts->estimate_of != NULL)
        bd_card_assume(card, "soil.load", W("assume.salt_load"),
                       BD_ARGS(bd_name(salts->estimate_of)), NULL, "",
                       "common practice, no source");
    if (salts->extract_of != NULL)
        bd_card_assume(card, "soil.load_extract", W("assume.salt_extract"),
                       BD_ARGS(bd_name(salts->extract_of)), NULL, "", "its ece in parts.json");
}

void bd_salts_tell(const bd_salts *salts, const bd_offer *offer, bd_card *card)
{
    bd_salts_tell_named(salts, card);
    if (salts->is_counted)
        bd_card_assume(card, "soil.load", W("assume.salt_counted"), BD_ARGS(bd_name(offer->title)),
                       NULL, "", "conductivity of single salts, worked out");
    if (salts->is_read)
        bd_card_assume(card, "soil.load", W("assume.salt_read"), BD_ARGS(bd_name(offer->title)),
                       NULL, "", "the material's ec in homemade.json");
}

void bd_salts_tell_urea(const bd_salts *salts, bd_card *card)
{
    char source[BD_CITE_SIZE];

    if (salts->has_urea)
        bd_card_find(card, "soil.urea", BD_NOTE, W("soil.urea"), BD_NO_ARGS,
                     bd_cite("", BD_TRUST_MEMORY, source));
    else if (salts->has_urea_left_out)
        bd_card_find(card, "soil.urea", BD_CARE, W("soil.urea_not_counted"), BD_NO_ARGS, "");
}
