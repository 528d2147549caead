/*
 * scoop.h - what a level scoop of a material weighs, by its volume or by weighing
 * some, and how densely the material lies.
 *
 * Some may have been weighed for this request (--scoop-weighs) or once for all, in
 * a file of the user (bd_own_scoop); the command line goes before the file.
 *
 * Shared by the jobs; not for the command.
 */
#ifndef BD_JOB_SCOOP_H
#define BD_JOB_SCOOP_H

#include "job/offers.h"
#include "nutrients/cite.h"

/* Scoops as they were put on a scale together. */
typedef struct bd_scoop_weighing {
    double count, total_g;
} bd_scoop_weighing;

/*
 * Reads "10 level scoops 57 g", "57 g/10" or "6 g" (one scoop).
 *
 * Returns BD_OK; BD_SYNTAX, BD_RANGE, or what bd_quantity_read returns; BD_CONFLICT
 * for heaped scoops.
 */
bd_status bd_scoop_weighing_read(const char *text, bd_measures measures, bd_scoop_weighing *out,
                                 bd_error *err) BD_MUST_CHECK;

/*
 * Reads the volume of a scoop [L]: "5mL", "1 UStsp", or the name of the spoon
 * alone, "UStsp".
 *
 * Returns as above.
 */
bd_status bd_scoop_volume_read(const char *text, bd_measures measures, double *volume_l,
                               bd_error *err) BD_MUST_CHECK;

/* Whether the scoop options of a request can be read, on whatever card they then stand. */
bd_status bd_scoop_check(const bd_knowledge *know, const bd_request *request,
                         bd_error *err) BD_MUST_CHECK;

/* How densely a product lies, and whence that is known. */
typedef struct bd_loose {
    bool is_known;
    bool is_weighed; /* by the user, with a scoop of known volume */
    bd_range kg_per_l;
    double weighed;            /* scoops, when it is */
    char source[BD_CITE_SIZE]; /* for an assumption  */
    const char *lacks_volume;  /* where scoops were weighed whose volume nobody said, so that
                                  they tell nothing of this; else NULL */
} bd_loose;

/*
 * The loose weight of an offer's product: of scoops of known volume that the user
 * weighed, else of its material, else, for an own label, of granules in general.
 *
 * Returns BD_OK, or the trouble with the scoop options, a weighing that no
 * material explains included.
 */
bd_status bd_loose_of(const bd_knowledge *know, const bd_request *request, const bd_offer *offer,
                      bd_loose *out, bd_error *err) BD_MUST_CHECK;

/* Says on the card what loose weight is taken, once for a product; false when it was said. */
bool bd_loose_tell(const bd_loose *loose, const bd_offer *offer, bd_card *card);

/* True for a product given for its boron or for a metal: weighed, never measured by volume. */
bool bd_is_for_traces(const bd_offer *offer);

typedef enum bd_scoop_kind {
    BD_SCOOP_NONE,      /* none was given                                     */
    BD_SCOOP_WEIGHED,   /* by weighing                                        */
    BD_SCOOP_BY_VOLUME, /* by its volume and the material's loose weight     */
    BD_SCOOP_REFUSED    /* given, and no tool for this material or purpose    */
} bd_scoop_kind;

typedef struct bd_scoop {
    bd_scoop_kind kind;
    bd_range content_g; /* of a level one                            */
    double step;        /* smallest part that can be taken, 1, 0.5.. */
    double weighed;     /* how many were weighed; 0 by volume        */
    double volume_ml;   /* 0 where nobody said                       */
} bd_scoop;

/*
 * The scoop of a request, or of the user's file, for one product, with what is to be said of it on
 * the card: density assumed, weigh some, never for trace elements, never by volume for leaves or
 * seedlings.
 *
 *   is_delicate   for leaves or seedlings
 *   scale_step_g  of the scale it was weighed on
 */
bd_status bd_scoop_of(const bd_knowledge *know, const bd_request *request, const bd_offer *offer,
                      bool is_delicate, double scale_step_g, bd_card *card, bd_scoop *out,
                      bd_error *err) BD_MUST_CHECK;

#endif
