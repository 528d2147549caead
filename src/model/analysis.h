/*
 * analysis.h - what a product holds, as elements, whatever its label says it as.
 *
 * May include: base/, quantity/, nutrients/, model/.  No stdio, no JSON.
 */
#ifndef BD_MODEL_ANALYSIS_H
#define BD_MODEL_ANALYSIS_H

#include <stdbool.h>

#include "base/error.h"
#include "base/range.h"
#include "nutrients/catalogue.h"
#include "quantity/nutrient.h"

/* Whence the share of one nutrient is known. */
typedef enum bd_origin {
    BD_ORIGIN_NONE,      /* the product is not said to hold it            */
    BD_ORIGIN_LABEL,     /* the label the user gave                       */
    BD_ORIGIN_CATALOGUE, /* the usual analysis of the built-in record     */
    BD_ORIGIN_FORMULA    /* formula x purity: what labels leave out (Cl)  */
} bd_origin;

/* How a label was read. */
typedef enum bd_convention {
    BD_CONVENTION_NONE,    /* not said by the user           */
    BD_CONVENTION_OXIDE,   /* N-P2O5-K2O                     */
    BD_CONVENTION_ELEMENT, /* N:P:K:S                        */
    BD_CONVENTION_RATIO,   /* 2:3:4 (30): ratio with total   */
    BD_CONVENTION_NAMED    /* N 13, K2O 46: each form named, nothing to assume */
} bd_convention;

/* A label as it is printed, in elements. */
typedef struct bd_label {
    bool declares[BD_NUTRIENT_COUNT];
    double share[BD_NUTRIENT_COUNT];      /* element, kg/kg, or kg/L where is_w_v     */
    double half_digit[BD_NUTRIENT_COUNT]; /* half the last printed digit, element     */
    bd_convention convention;
    bool is_assumed;             /* the convention was taken from the look of the numbers */
    bool is_w_v;                 /* per cent by volume: kg per L of liquid                */
    double ratio_sum_over_total; /* of 2:3:2 (22): 7/22; 0 for other labels       */
} bd_label;

/* What one product holds and how it dissolves. */
typedef struct bd_product {
    const bd_material *material;       /* NULL for an own label without a salt   */
    bd_range share[BD_NUTRIENT_COUNT]; /* element, kg per kg of product          */
    bd_origin origin[BD_NUTRIENT_COUNT];
    const bd_fact *fact[BD_NUTRIENT_COUNT];   /* source of a BD_ORIGIN_CATALOGUE share  */
    double nitrogen_share[BD_NITROGEN_FORMS]; /* of the N; all 0 when not known         */
    double purity;                            /* salt in the product, kg/kg; 0 unknown  */
    double salt_molar_mass_g_per_mol;         /* 0 without a formula                    */
    bool is_liquid;
    double density_kg_per_l; /* liquids; else 0                        */
} bd_product;

/*
 * Checks that a label can be true.
 *
 *   pure  shares of the pure salt where it is known, else NULL
 *   near  set when a share is over the pure salt by less than is refused (a note)
 *
 * Returns BD_OK, or BD_RANGE when N + P2O5 + K2O or all elements pass 100 %, or
 * a share passes the pure salt by more than half its last printed digit plus
 * 2 % of itself.  Half a digit is what the printer rounded away, 2 % covers
 * moisture and laboratory scatter (common practice).
 */
bd_status bd_label_check(const bd_label *label, const double pure[BD_NUTRIENT_COUNT], bool *near,
                         bd_error *err) BD_MUST_CHECK;

/*
 * A product from what is known of it: a material of the catalogue, a label, both,
 * or the pure formula.
 *
 *   material  NULL for an own label
 *   label     NULL to use the catalogue's usual analysis
 *   is_pure   use the formula alone (label must be NULL)
 *   density_kg_per_l  0 when not given
 *
 * A label's w/v shares need a density; without one 1.0 kg/L is used and the
 * caller says so.  Nutrients no label declares (chlorine in potassium chloride)
 * come from formula x purity, purity being the main nutrient declared over that
 * of the pure salt, at most 1.
 *
 * Returns BD_OK, or BD_RANGE from bd_label_check, BD_MISSING for a salt without
 * formula asked as pure or a solid known only by the litre of its extract (coir),
 * BD_CONFLICT.
 */
bd_status bd_product_make(const bd_material *material, const bd_label *label, bool is_pure,
                          double density_kg_per_l, bd_product *out, bool *is_near,
                          bd_error *err) BD_MUST_CHECK;

/* True when the product holds the nutrient at all. */
static inline bool bd_product_holds(const bd_product *p, bd_nutrient n)
{
    return p->share[n].high > 0.0;
}

/* Mass of a nutrient, as `form` counts it, per mass of product [kg/kg]. */
bd_range bd_product_share(const bd_product *p, bd_nutrient_form form);

#endif
