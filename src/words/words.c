#include "words/words.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/number.h"
#include "words/amount.h"
#include "words/utf8.h"

typedef struct sentence {
    const char *key;
    size_t key_length; /* spares most comparisons of a search */
    const char *text;
} sentence;

#define BD_ENGLISH(key, text) {key, sizeof key - 1, text},
static const sentence english[] = {
#include "words/english.def"
};
#undef BD_ENGLISH

static const struct {
    const char *code;
    const sentence *sentences;
    size_t count;
} languages[BD_LANGUAGE_COUNT] = {
    {"en", english, sizeof english / sizeof english[0]},
};

static bd_status refuse_language(const char *text, bd_error *err)
{
    bd_text codes;

    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.40s' is not a language known here", text);
    bd_text_init(&codes, 200);
    for (size_t i = 0; i < BD_LANGUAGE_COUNT; i++)
        bd_text_addf(&codes, "%s%s", i == 0 ? "" : ", ", languages[i].code);
    (void)bd_accepts(err, "%s", codes.s);
    bd_text_clear(&codes);
    return BD_UNKNOWN;
}

bd_status bd_language_read(const char *text, bd_language *out, bd_error *err)
{
    for (size_t i = 0; i < BD_LANGUAGE_COUNT; i++)
        if (strcmp(text, languages[i].code) == 0) {
            *out = (bd_language)i;
            return BD_OK;
        }
    return refuse_language(text, err);
}

static const char *find_sentence(bd_language language, const char *key)
{
    const sentence *s = languages[language].sentences;
    size_t n = strlen(key);

    for (size_t i = 0; i < languages[language].count; i++)
        if (s[i].key_length == n && memcmp(s[i].key, key, n) == 0)
            return s[i].text;
    return NULL;
}

bool bd_words_has(bd_language language, const char *key)
{
    return find_sentence(language, key) != NULL;
}

static void add_exact(double x, const char *unit, bd_text *out)
{
    enum { DIGITS = 6 };
    bd_amount_view view = bd_amount_view_of(unit, 1.0); /* the unit itself, named for reading */
    char number[BD_NUMBER_SIZE];

    bd_text_add(out, bd_number_print_plain(x * view.factor + 0.0, DIGITS, number));
    if (view.unit[0] == '\0')
        return;
    bd_text_add(out, " ");
    bd_utf8_add_harmless(out, view.unit);
}

static void add_count(double n, bd_text *out)
{
    char number[BD_NUMBER_SIZE];

    bd_text_add(out, bd_number_print_plain(round(n) + 0.0, 1, number));
}

static void add_argument(bd_language language, const bd_arg *arg, bd_text *out)
{
    const char *text = arg->text == NULL ? "" : arg->text;

    switch (arg->kind) {
    case BD_ARG_NAME:
        bd_utf8_add_harmless(out, text);
        break;
    case BD_ARG_AMOUNT:
        bd_words_amount(language, arg->value, text, out);
        break;
    case BD_ARG_EXACT:
        add_exact(arg->value.typical, text, out);
        break;
    case BD_ARG_COUNT:
        add_count(arg->value.typical, out);
        break;
    case BD_ARG_WORDS:
        bd_words_key(language, text, out);
        break;
    case BD_ARG_END:
        break;
    }
}

/* The number of the "{n}" at s, or -1 when there is none or the line has no such argument. */
static int slot_at(const char *s, const bd_line *line)
{
    int n;

    if (s[0] != '{' || !isdigit((unsigned char)s[1]) || s[2] != '}')
        return -1;
    n = s[1] - '0';
    return (size_t)n < line->arg_count ? n : -1;
}

void bd_words_line(bd_language language, const bd_line *line, bd_text *out)
{
    const char *s;

    if (line->key == NULL)
        return;
    if (line->about != NULL) {
        bd_words_line(language, line->about, out);
        bd_text_add(out, ": ");
    }
    s = find_sentence(language, line->key);
    if (s == NULL) {
        bd_text_addf(out, "[%s]", line->key);
        return;
    }
    while (*s != '\0') {
        size_t plain = strcspn(s, "{");
        int slot;

        bd_text_add_bytes(out, s, plain);
        s += plain;
        if (*s == '\0')
            break;
        slot = slot_at(s, line);
        if (slot >= 0)
            add_argument(language, &line->args[slot], out);
        else
            bd_text_add(out, "{");
        s += slot >= 0 ? 3 : 1;
    }
}

void bd_words_key(bd_language language, const char *key, bd_text *out)
{
    bd_line line = {.key = key};

    bd_words_line(language, &line, out);
}
