/*
 * salt_load.h - the salt that a dose can bring to the water of a bag, whatever the
 * dose is made of.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_SALT_LOAD_H
#define BD_JOB_SALT_LOAD_H

#include "job/offers.h"
#include "model/extraction.h"

/* What several products bring together.  Start with {0}. */
typedef struct bd_salts {
    bd_range cations_meq, anions_meq; /* charges that dissolve, of products without known ions */
    bd_range load_ds_l_per_m;         /* conductivity times litres of what is known better    */
    const char *extract_of;           /* title of a compost known by its saturated extract    */
    const char *estimate_of;          /* title of a salt too strong for the model: by weight  */
    bool is_counted;                  /* something was worked out from its nutrients          */
    bool is_read;                     /* something has a meter reading in print               */
    bool has_urea, has_urea_left_out; /* urea: counted; too strong to be counted              */
} bd_salts;

/*
 * Adds one product.
 *
 *   grams      of it, 0 or more
 *   out        what comes out of a homemade material; NULL: all of it
 *   in_water   poured: a liquid's reading in print counts, and its organic nitrogen
 *              may have rotted already; else it lies in the soil and rots in the season
 *   litres     water of the bags at saturation; 0 or less: not known, nothing is added
 *   sum        changed only on BD_OK
 *
 * Returns BD_OK, or the trouble of an amount of a salt that no solution can hold.
 *
 * Method   A product with ions: bd_salt_load at each end, and bd_urea_load for urea.
 *          A liquid with a reading in print: that times its litres.  A compost (a
 *          part of a mix, no raw manure) that lies in the soil: the reading of its
 *          saturated extract times the water it holds then, and its organic nitrogen;
 *          most of its potassium stays on its humus.  Any other: the
 *          milliequivalents of its nutrients, with
 *            K, Na, Cl, S        all of it; no S at the low end of an own label
 *            ammonium, nitrate   all of it
 *            urea, and nitrogen of a label that does not say which: none of it (low:
 *                                urea still, or taken up), as ammonium nitrate
 *                                (typical), all of it with a partner of its own (high)
 *            organic N           of the share that turns mineral in the first season
 *                                (parts.json; from none to all where no figure is known;
 *                                none where the material ties up nitrogen), as urea, and
 *                                of that half: it comes evenly, and half is there on average
 *            P                   one charge (H2PO4); of homemade materials no more than
 *                                water in touch with calcium phosphate holds
 *            S with Ca, or elemental: no more than gypsum water holds; elemental S only
 *                                at the high end, for it turns to sulfate slowly
 *            lime, dolomite, eggshell, ash: their carbonate, no more than lime water holds
 *            Ca, Mg              through their partners, as carbonates and what is bound in
 *                                tissue do not dissolve; of an own label all at the high end
 *            Zn, Mn, Cu, Fe      1 charge (a chelate, low) or 2
 *          But for nitrogen, which finds its partners in the mix, these are never more
 *          than the dose's weight as ammonium chloride, the lightest salt.
 *
 * Source   "salt-per-equivalent", "gypsum-water", "lime-water", "phosphate-water",
 *          "salt-of-urea", "salt-of-rotting", "mineral-in-season" of media.json;
 *          first_year of parts.json
 *
 * Holds    as a range; the high end is what can dissolve, not what is in it
 *
 * Example  10 g of an own 10-10-10: 21 meq K, 0 to 71 meq N -> 2.1 to 13 dS/m * L
 */
bd_status bd_salts_add(const bd_knowledge *know, const bd_offer *offer, bd_range grams,
                       const bd_extraction *out, bool in_water, double litres, bd_salts *sum,
                       bd_error *err) BD_MUST_CHECK;

/* Conductivity times litres [dS/m * L] of all: each ion finds a partner, so what there is more of,
 * cations or anions, counts. */
bd_range bd_salts_load(const bd_knowledge *know, const bd_salts *salts);

/* Says on the card how the salt of one product was worked out. */
void bd_salts_tell(const bd_salts *salts, const bd_offer *offer, bd_card *card);

/* Of that only what names its product by itself, for several together: a compost known by its
 * extract, a salt taken by its weight. */
void bd_salts_tell_named(const bd_salts *salts, bd_card *card);

/* What becomes of urea, as a finding. */
void bd_salts_tell_urea(const bd_salts *salts, bd_card *card);

/*
 * One product by itself, given as it is.
 * Returns as bd_salts_add.
 */
bd_status bd_salts_of(const bd_knowledge *know, const bd_offer *offer, bd_range grams,
                      double litres, bd_salts *out, bd_range *load, bd_error *err) BD_MUST_CHECK;

#endif
