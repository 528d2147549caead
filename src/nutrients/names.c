#include "nutrients/names.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "quantity/nearest.h"

/* A letter in three may be wrong, and always two. */
enum { LETTERS_PER_SLIP = 3, FEWEST_SLIPS = 2, SHORTEST_PART = 3 };

static char plain_letter(char c)
{
    return c == ' ' || c == '_' ? '-' : (char)tolower((unsigned char)c);
}

void bd_name_plain(const char *typed, char plain[BD_NAME_SIZE])
{
    size_t n = 0;

    for (; *typed != '\0' && n < BD_NAME_SIZE - 1; typed++) {
        char c = plain_letter(*typed);

        if (n >= 3 && c == 'h' && strncmp(plain + n - 3, "ulp", 3) == 0)
            plain[n - 1] = 'f';
        else
            plain[n++] = c;
    }
    plain[n] = '\0';
}

bool bd_name_is(const char *plain, const char *name, const char *const *synonyms)
{
    if (strcmp(plain, name) == 0)
        return true;
    for (; *synonyms != NULL; synonyms++)
        if (strcmp(plain, *synonyms) == 0)
            return true;
    return false;
}

/* A name that holds the typed word whole counts as one slip away: "nitrate". */
static size_t distance(const char *plain, const char *name)
{
    if (strlen(plain) >= SHORTEST_PART && strstr(name, plain) != NULL)
        return 1;
    return bd_nearest_distance(plain, strlen(plain), name, strlen(name));
}

static size_t least_distance(const char *plain, const char *name, const char *const *synonyms)
{
    size_t least = distance(plain, name);

    for (; *synonyms != NULL; synonyms++) {
        size_t d = distance(plain, *synonyms);

        if (d < least)
            least = d;
    }
    return least;
}

static size_t slips_allowed(const char *plain)
{
    size_t slips = strlen(plain) / LETTERS_PER_SLIP;

    return slips < FEWEST_SLIPS ? FEWEST_SLIPS : slips;
}

void bd_nearest_offer(bd_nearest *nearest, const char *name, const char *const *synonyms)
{
    size_t d = least_distance(nearest->plain, name, synonyms), at = nearest->count;

    if (d > slips_allowed(nearest->plain))
        return;
    while (at > 0 && nearest->distances[at - 1] > d)
        at--;
    if (at == BD_NEAREST_SHOWN)
        return;
    if (nearest->count < BD_NEAREST_SHOWN)
        nearest->count++;
    for (size_t i = nearest->count - 1; i > at; i--) {
        nearest->names[i] = nearest->names[i - 1];
        nearest->distances[i] = nearest->distances[i - 1];
    }
    nearest->names[at] = name;
    nearest->distances[at] = d;
}

void bd_nearest_show(const bd_nearest *nearest, char *buffer, size_t size)
{
    size_t used = 0;

    buffer[0] = '\0';
    for (size_t i = 0; i < nearest->count && used + 1 < size; i++) {
        int n = snprintf(buffer + used, size - used, "%s%s", i == 0 ? "" : ", ", nearest->names[i]);

        used += n > 0 ? (size_t)n : 0;
    }
}
