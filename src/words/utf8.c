#include "words/utf8.h"

#include <stdbool.h>

static const struct {
    unsigned char mask, lead; /* (byte & mask) == lead starts a sequence */
    size_t length;
    long least; /* anything smaller is an overlong spelling */
} forms[] = {
    {0x80, 0x00, 1, 0x0},
    {0xe0, 0xc0, 2, 0x80},
    {0xf0, 0xe0, 3, 0x800},
    {0xf8, 0xf0, 4, 0x10000},
};

static const struct {
    long first, last;
} harmful[] = {
    {-1, 0x1f},       /* invalid, C0                       */
    {0x7f, 0x9f},     /* DEL, C1                           */
    {0x200e, 0x200f}, /* direction marks                   */
    {0x2028, 0x202e}, /* line separators, direction embeds */
    {0x2066, 0x2069}, /* direction isolates                */
    {0xfeff, 0xfeff}, /* byte order mark                   */
};

static bool is_surrogate(long point)
{
    return point >= 0xd800 && point <= 0xdfff;
}

/* The code point of a sequence of the given form, or -1. */
static long read_form(const unsigned char *s, size_t form)
{
    long point = s[0] & (unsigned char)~forms[form].mask;

    for (size_t i = 1; i < forms[form].length; i++) {
        if ((s[i] & 0xc0) != 0x80)
            return -1;
        point = point << 6 | (s[i] & 0x3f);
    }
    if (point < forms[form].least || point > 0x10ffff || is_surrogate(point))
        return -1;
    return point;
}

size_t bd_utf8_next(const char *s, long *point)
{
    const unsigned char *bytes = (const unsigned char *)s;

    *point = -1;
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++)
        if ((bytes[0] & forms[i].mask) == forms[i].lead) {
            *point = read_form(bytes, i);
            return *point < 0 ? 1 : forms[i].length;
        }
    return 1;
}

size_t bd_utf8_columns(const char *s, size_t n)
{
    size_t columns = 0;
    long point;

    for (size_t i = 0; i < n; i += bd_utf8_next(s + i, &point))
        columns++;
    return columns;
}

static bool is_harmful(long point)
{
    for (size_t i = 0; i < sizeof harmful / sizeof harmful[0]; i++)
        if (point >= harmful[i].first && point <= harmful[i].last)
            return true;
    return false;
}

void bd_utf8_add_harmless(bd_text *out, const char *s)
{
    size_t n;
    long point;

    for (; *s != '\0'; s += n) {
        n = bd_utf8_next(s, &point);
        if (is_harmful(point))
            bd_text_add(out, "?");
        else
            bd_text_add_bytes(out, s, n);
    }
}
