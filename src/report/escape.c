#include "report/escape.h"

#include <string.h>

#include "words/utf8.h"

#define REPLACEMENT "\xef\xbf\xbd" /* U+FFFD */

static void add_json_control(bd_text *out, long point)
{
    if (point == '\n')
        bd_text_add(out, "\\n");
    else if (point == '\t')
        bd_text_add(out, "\\t");
    else
        bd_text_addf(out, "\\u%04lx", (unsigned long)point);
}

void bd_escape_json(bd_text *out, const char *s)
{
    size_t n;
    long point;

    bd_text_add(out, "\"");
    for (; *s != '\0'; s += n) {
        n = bd_utf8_next(s, &point);
        if (point < 0)
            bd_text_add(out, REPLACEMENT);
        else if (point == '"' || point == '\\')
            bd_text_addf(out, "\\%c", (int)point);
        else if (point < 0x20 || point == 0x7f)
            add_json_control(out, point);
        else
            bd_text_add_bytes(out, s, n);
    }
    bd_text_add(out, "\"");
}

void bd_escape_csv(bd_text *out, const char *s)
{
    const char *guard = *s != '\0' && strchr("=+-@\t\r", *s) != NULL ? "'" : "";

    if (s[strcspn(s, ",\"\r\n")] == '\0') {
        bd_text_addf(out, "%s%s", guard, s);
        return;
    }
    bd_text_addf(out, "\"%s", guard);
    for (; *s != '\0'; s++)
        if (*s == '"')
            bd_text_add(out, "\"\"");
        else
            bd_text_add_bytes(out, s, 1);
    bd_text_add(out, "\"");
}

void bd_escape_ics(bd_text *out, const char *s)
{
    size_t n;
    long point;

    for (; *s != '\0'; s += n) {
        n = bd_utf8_next(s, &point);
        if (point == '\n')
            bd_text_add(out, "\\n");
        else if (point == '\\' || point == ';' || point == ',')
            bd_text_addf(out, "\\%c", (int)point);
        else if (point < 0x20 || point == 0x7f)
            bd_text_add(out, "?");
        else
            bd_text_add_bytes(out, s, n);
    }
}
