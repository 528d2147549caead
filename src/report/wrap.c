#include "report/wrap.h"

#include <stdbool.h>
#include <string.h>

#include "words/utf8.h"

static size_t span_word(const char *s)
{
    return strcspn(s, " ");
}

static bool is_number(const char *s, size_t n)
{
    if (n > 0 && s[0] == '(') {
        s++;
        n--;
    }
    return n > 0 && strspn(s, "0123456789.") >= n;
}

/* Bytes of the next piece that stays together: a word, or a number with the word behind it. */
static size_t span_piece(const char *s)
{
    size_t word = span_word(s), blanks, second;

    if (!is_number(s, word))
        return word;
    blanks = strspn(s + word, " ");
    second = span_word(s + word + blanks);
    if (second == 0 || is_number(s + word + blanks, second))
        return word;
    return word + blanks + second;
}

/* The same, cut after the number where both do not fit into a line at all. */
static size_t span_piece_within(const char *s, size_t columns)
{
    size_t n = span_piece(s);

    return bd_utf8_columns(s, n) > columns ? span_word(s) : n;
}

size_t bd_wrap_line(const char *s, size_t columns, size_t *next)
{
    size_t end = span_piece_within(s, columns);

    for (;;) {
        size_t blanks = strspn(s + end, " ");
        size_t more = span_piece_within(s + end + blanks, columns);

        *next = end + blanks;
        if (more == 0 || bd_utf8_columns(s, end + blanks + more) > columns)
            return end;
        end += blanks + more;
    }
}

void bd_wrap_pad(bd_text *out, size_t at, size_t to)
{
    for (; at < to; at++)
        bd_text_add(out, " ");
}

/* Ends a line, without the blanks that may stand there when a column is empty. */
static void end_line(bd_text *out)
{
    while (out->length > 0 && out->s[out->length - 1] == ' ')
        out->s[--out->length] = '\0';
    bd_text_add(out, "\n");
}

void bd_wrap_add(bd_text *out, const char *s, size_t at, size_t indent)
{
    s += strspn(s, " ");
    while (*s != '\0') {
        size_t next, n = bd_wrap_line(s, at < BD_PAGE_COLUMNS ? BD_PAGE_COLUMNS - at : 1, &next);

        bd_text_add_bytes(out, s, n);
        s += next;
        if (*s == '\0')
            break;
        end_line(out);
        bd_wrap_pad(out, 0, indent);
        at = indent;
    }
    end_line(out);
}

size_t bd_wrap_longest(const char *s)
{
    size_t longest = 0;

    for (s += strspn(s, " "); *s != '\0'; s += strspn(s, " ")) {
        size_t n = span_piece(s), columns = bd_utf8_columns(s, n);

        if (columns > longest)
            longest = columns;
        s += n;
    }
    return longest;
}
