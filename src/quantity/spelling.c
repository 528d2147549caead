#include "quantity/spelling.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

static const struct sign {
    const char *bytes, *plain;
    bool is_raised;
} signs[] = {
    {"\xC2\xB5", "u", false},
    {"\xCE\xBC", "u", false},        /* micro sign, Greek mu */
    {"\xC2\xB0", "deg", false},      /* degree */
    {"\xE2\x84\x83", "degC", false}, /* degree Celsius in one sign */
    {"\xE2\x84\x89", "degF", false}, /* degree Fahrenheit in one sign */
    {"\xC2\xB2", "2", true},
    {"\xC2\xB3", "3", true},      /* raised 2 and 3 */
    {"\xC3\x97", "x", false},     /* multiplication */
    {"\xE2\x88\x92", "-", false}, /* minus */
    {"\xC2\xA0", " ", false},
    {"\xE2\x80\xAF", " ", false}, /* no-break spaces */
    {"\t", " ", false},
    {" per ", "/", false}, /* "2 UScup per 100 ft2", as labels say it */
};

/* A raised digit behind a digit is a power of ten, not one more digit: 10^3 is not 103. */
static const struct sign *find_sign(const char *s, bool is_behind_letter)
{
    for (size_t i = 0; i < sizeof signs / sizeof signs[0]; i++)
        if (strncmp(s, signs[i].bytes, strlen(signs[i].bytes)) == 0)
            return signs[i].is_raised && !is_behind_letter ? NULL : &signs[i];
    return NULL;
}

static bool copy_plain(const char *text, char plain[BD_SPELLING_SIZE])
{
    size_t n = 0;

    while (*text != '\0') {
        const struct sign *sign = find_sign(text, n > 0 && isalpha((unsigned char)plain[n - 1]));
        const char *from = sign == NULL ? text : sign->plain;
        size_t length = sign == NULL ? 1 : strlen(sign->plain);

        if (n + length >= BD_SPELLING_SIZE)
            return false;
        memcpy(plain + n, from, length);
        n += length;
        text += sign == NULL ? 1 : strlen(sign->bytes);
    }
    plain[n] = '\0';
    return true;
}

const char *bd_spelling_skip(const char *s)
{
    while (*s == ' ')
        s++;
    return s;
}

char *bd_spelling_trim(char *s)
{
    size_t n = strlen(s);

    while (n > 0 && s[n - 1] == ' ')
        s[--n] = '\0';
    while (*s == ' ')
        s++;
    return s;
}

bd_status bd_spelling_plain(const char *text, char plain[BD_SPELLING_SIZE], bd_error *err)
{
    char *start;

    if (!copy_plain(text, plain))
        return bd_fail(err, BD_SYNTAX, NULL, "'%.40s...' is too long", text);
    start = bd_spelling_trim(plain);
    memmove(plain, start, strlen(start) + 1);
    if (plain[0] == '\0')
        return bd_fail(err, BD_SYNTAX, NULL, "'' is empty");
    return BD_OK;
}
