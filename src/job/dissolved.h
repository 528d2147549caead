/*
 * dissolved.h - what happens in the water: the solution of a spray or a feed,
 * its findings and its figures.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_DISSOLVED_H
#define BD_JOB_DISSOLVED_H

#include "job/offers.h"
#include "job/titrant.h"
#include "model/ceiling.h"
#include "model/solution.h"

typedef struct bd_bath_dose {
    const bd_offer *offer;
    bd_range g_per_l;         /* of the product */
    double label_max_g_per_l; /* 0: no label, or one that cannot be compared     */
    bool is_label_told;       /* the card has it already, in the label's own unit */
} bd_bath_dose;

/* Several products in one water. */
typedef struct bd_bath {
    bd_bath_dose doses[BD_PRODUCTS_MAX];
    size_t count;

    double temperature_c;
    const bd_water *water;
    bool is_modelled; /* every product is a salt whose ions are known      */
    bool is_outside;  /* too strong for the model: no figures, only limits */
    bd_solution solution;
    bd_solution water_alone; /* before anything is in it                           */
    bd_titrant titrant;      /* what --ph takes, while the mix is fresh            */
    double ec_25c_ds_per_m, water_ec_25c_ds_per_m, osmotic_kpa;
    bool has_saturation;
    double saturation;   /* share of solubility, the highest among the products   */
    double most_soluble; /* g/L of the first product that still dissolves; HUGE_VAL */
} bd_bath;

/*
 * Dissolves the doses in the request's water and adds the findings: more than
 * dissolves, a precipitate, gas, outside the model; and what was assumed of the
 * water.  The high end of each dose is what is dissolved.
 *
 * With --ph the lye or acid is found, and the solution is as it then stands, with the carbonic acid
 * that the mix holds before (out of the air, unless --air closed); after that it takes up no more.
 * Returns BD_OK; the trouble with an option; at --ph BD_UNKNOWN where the ions of a product are not
 * known, BD_OUTSIDE or BD_UNSOLVED where the model has no answer.
 */
bd_status bd_bath_solve(bd_bath *bath, const bd_knowledge *know, const bd_request *request,
                        bd_card *card, bd_error *err) BD_MUST_CHECK;

/*
 * Conductivity at 25 degC [dS/m] of the water a request names: as its meter reads (--water-ec),
 * else as its ions conduct (--water).  `is_said` is false, and nothing written, when it names none.
 *
 * Returns BD_OK, or the trouble with --water.  Method: model/conductivity.h.
 */
bd_status bd_water_conductivity(const bd_knowledge *know, const bd_request *request,
                                bd_range *ds_per_m, bool *is_said, bd_error *err) BD_MUST_CHECK;

/*
 * Findings on what falls out of a bath that is modelled and not outside the model.
 * bd_bath_solve has added them already; this is for a bath solved on another card.
 */
void bd_bath_judge_minerals(const bd_bath *bath, const bd_knowledge *know, bd_card *card);

/* Findings on how much of each product dissolves, of a bath solved on another card; sets
 * has_saturation, saturation and most_soluble anew. */
void bd_bath_judge_solubility(bd_bath *bath, const bd_knowledge *know, bd_card *card);

/* Figures solution.ec, .ec_uncorrected (unless at 25 degC), .ph, .ionic_strength,
 * .osmotic_pressure, .saturation, .si.* */
void bd_bath_show(const bd_bath *bath, const bd_knowledge *know, bd_card *card);

/*
 * What --ph takes of lye or acid, of a bath not solved yet: sets `titrant` and adds no findings.
 * Returns BD_OK, or the trouble of bd_bath_solve.
 */
bd_status bd_bath_titrate(bd_bath *bath, const bd_knowledge *know, const bd_request *request,
                          bd_error *err) BD_MUST_CHECK;

/* True for a salt whose ions are known, so that its solution can be worked out. */
bool bd_offer_has_ions(const bd_offer *offer);

/*
 * The share [0..1] of a bath's doses at which it conducts so much more than its
 * water, as it is solved: a strength that keeps to a ceiling.
 *
 *   bath      of bd_bath_solve; outside the model it may be
 *   ds_per_m  above the water's, at 25 degC [dS/m]
 *
 * HUGE_VAL where the whole bath keeps to it or the ions of a product are not known.
 * Method: halving, for more salt conducts more; the share given back keeps to it.
 * Example: 4 g/L of ammonium sulfate, 2.2 dS/m -> 0.279.
 */
double bd_bath_share_at_ec(const bd_bath *bath, const bd_knowledge *know, const bd_request *request,
                           double ds_per_m);

/*
 * Conductivity load [dS/m * L at 25 degC] of a product with ions dissolved in so
 * many litres of pure water: its conductivity times those litres.  Falls back on a
 * plain figure per gram, and says so through `is_estimate`, where the solution is
 * too strong for the model.  Of other products see salt_load.h.
 */
bd_status bd_salt_load(const bd_knowledge *know, const bd_offer *offer, double grams, double litres,
                       double *load, bool *is_estimate, bd_error *err) BD_MUST_CHECK;

/*
 * The same for what nitrogen given as urea turns into within weeks: from nothing
 * (low: still urea, or taken up) over ammonium nitrate (typical: half of it
 * nitrified) to calcium nitrate (high: all of it, the lime of the mix dissolved by
 * the acid set free).
 *
 *   n_g      nitrogen as urea [g]
 *   litres   as for bd_salt_load
 *
 * Returns BD_OK, or BD_OUTSIDE where the high end is too strong for the model.
 * Method: stoichiometry of hydrolysis and nitrification, and the solution model; that
 * it ends as calcium nitrate is from memory.
 */
bd_status bd_urea_load(const bd_knowledge *know, double n_g, double litres, bd_range *load,
                       bd_error *err) BD_MUST_CHECK;

/*
 * The most potassium [g/L] that a solution of a conductivity can hold: no
 * potassium comes without a partner ion, and with phosphate, the slowest of the
 * common ones, a gram of it still conducts about 2.6 dS/m.
 *
 * Returns BD_OK, or BD_OUTSIDE for a reading above what the model covers.
 */
bd_status bd_most_potassium(const bd_knowledge *know, double ec_ds_per_m, double *k_g_per_l,
                            bd_error *err) BD_MUST_CHECK;

#endif
