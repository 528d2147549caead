/*
 * cite.h - how a source and its trust are shown beside a figure.
 *
 * May include: base/, nutrients/.
 */
#ifndef BD_NUTRIENTS_CITE_H
#define BD_NUTRIENTS_CITE_H

#include "nutrients/catalogue.h"

enum { BD_CITE_SIZE = 160 };

/*
 * "REU96, published", "REC, from memory", "common practice, no source": keys stay
 * as they are, `bagdose materials source KEY` explains one.  Gives back `buffer`.
 */
char *bd_cite(const char *source, bd_trust trust, char buffer[BD_CITE_SIZE]);

/* The same for a fact, no better than the weakest of its three values. */
char *bd_cite_fact(const bd_fact *fact, char buffer[BD_CITE_SIZE]);

/* The weaker of two. */
static inline bd_trust bd_trust_weaker(bd_trust a, bd_trust b)
{
    return a > b ? a : b;
}

/* True for figures strong enough to stop a dose: published, or worked out from published ones. */
static inline bool bd_trust_can_stop(bd_trust trust)
{
    return trust == BD_TRUST_PUBLISHED || trust == BD_TRUST_WORKED_OUT;
}

#endif
