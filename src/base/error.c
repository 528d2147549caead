#include "base/error.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

static const struct {
    int exit_status;
    const char *words;
} statuses[BD_STATUS_COUNT] = {
#define BD_STATUS(name, exit_status, words) {exit_status, words},
#include "base/status.def"
#undef BD_STATUS
};

/* True at the first byte of U+0080 to U+009F, controls that some terminals obey in UTF-8 too. */
static bool is_second_control(const unsigned char *s)
{
    return s[0] == 0xc2 && s[1] >= 0x80 && s[1] <= 0x9f;
}

/* True at the first of the three bytes of what turns the reading direction or ends a line:
 * U+200E, U+200F, U+2028 to U+202E, U+2066 to U+2069. */
static bool turns_the_line(const unsigned char *s)
{
    if (s[0] != 0xe2)
        return false;
    if (s[1] == 0x80)
        return s[2] == 0x8e || s[2] == 0x8f || (s[2] >= 0xa8 && s[2] <= 0xae);
    return s[1] == 0x81 && s[2] >= 0xa6 && s[2] <= 0xa9;
}

/* Only the message is changed, never what was read: UTF-8 passes, controls do not. */
static void make_harmless(char *text)
{
    for (unsigned char *s = (unsigned char *)text; *s != '\0'; s++) {
        if (turns_the_line(s)) {
            *s++ = '?';
            *s++ = '?';
        } else if (is_second_control(s))
            *s++ = '?';
        else if (*s >= 0x20 && *s != 0x7f)
            continue;
        *s = '?';
    }
}

static void copy_where(char *to, size_t size, const char *where)
{
    if (where == NULL || to[0] != '\0')
        return;
    (void)snprintf(to, size, "%s", where);
    make_harmless(to);
}

bd_status bd_fail(bd_error *err, bd_status status, const char *where, const char *fmt, ...)
{
    va_list args;

    if (err == NULL || err->status != BD_OK)
        return status;
    err->status = status;
    copy_where(err->where, sizeof err->where, where);
    va_start(args, fmt);
    (void)vsnprintf(err->text, sizeof err->text, fmt, args);
    va_end(args);
    make_harmless(err->text);
    return status;
}

bd_status bd_accepts(bd_error *err, const char *fmt, ...)
{
    va_list args;

    if (err == NULL)
        return BD_SYNTAX;
    if (err->accepts[0] == '\0') {
        va_start(args, fmt);
        (void)vsnprintf(err->accepts, sizeof err->accepts, fmt, args);
        va_end(args);
        make_harmless(err->accepts);
    }
    return err->status;
}

void bd_error_at(bd_error *err, const char *where)
{
    if (err != NULL && err->status != BD_OK)
        copy_where(err->where, sizeof err->where, where);
}

int bd_status_exit(bd_status status)
{
    return statuses[status].exit_status;
}

const char *bd_status_words(bd_status status)
{
    return statuses[status].words;
}
