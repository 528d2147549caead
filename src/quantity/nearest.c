#include "quantity/nearest.h"

#include <ctype.h>

enum { LONGEST_NAME = 32 };

static size_t least(size_t a, size_t b, size_t c)
{
    size_t ab = a < b ? a : b;

    return ab < c ? ab : c;
}

static size_t is_other(char a, char b)
{
    return tolower((unsigned char)a) == tolower((unsigned char)b) ? 0 : 1;
}

size_t bd_nearest_distance(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t cost[LONGEST_NAME + 1]; /* from the letters of a so far to the first j of b */

    if (a_length > LONGEST_NAME || b_length > LONGEST_NAME)
        return BD_NEAREST_FAR;
    for (size_t j = 0; j <= b_length; j++)
        cost[j] = j;
    for (size_t i = 0; i < a_length; i++) {
        size_t diagonal = cost[0];

        cost[0] = i + 1;
        for (size_t j = 0; j < b_length; j++) {
            size_t change = diagonal + is_other(a[i], b[j]);

            diagonal = cost[j + 1];
            cost[j + 1] = least(change, cost[j] + 1, cost[j + 1] + 1);
        }
    }
    return cost[b_length];
}
