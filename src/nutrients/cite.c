#include "nutrients/cite.h"

#include <stdio.h>

char *bd_cite(const char *source, bd_trust trust, char buffer[BD_CITE_SIZE])
{
    if (source == NULL || source[0] == '\0')
        (void)snprintf(buffer, BD_CITE_SIZE, "%s",
                       trust == BD_TRUST_MEMORY ? "from memory" : "common practice, no source");
    else
        (void)snprintf(buffer, BD_CITE_SIZE, "%s, %s", source, bd_trust_words(trust));
    return buffer;
}

char *bd_cite_fact(const bd_fact *fact, char buffer[BD_CITE_SIZE])
{
    bd_trust weakest =
        bd_trust_weaker(fact->trust_typical, bd_trust_weaker(fact->trust_low, fact->trust_high));

    return bd_cite(fact->source, weakest, buffer);
}
