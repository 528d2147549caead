#include "quantity/unit.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/number.h"
#include "quantity/nearest.h"
#include "quantity/spelling.h"

enum { MEASURES_COUNT = BD_MEASURES_AUSTRALIAN + 1 };

static const struct unit_row {
    const char *names;
    bd_unit unit;
} rows[] = {
#define BD_UNIT(names, of, per, numerator, denominator, zero, source)                              \
    {names, {BD_DIM_##of, BD_DIM_##per, BD_RELATIVE_NOT, numerator, denominator, zero}},
#define BD_BARE(names, what, us, imperial, metric, australian)
#include "quantity/unit.def"
#undef BD_UNIT
#undef BD_BARE
};

static const struct bare_row {
    const char *names, *what;
    const char *unit[MEASURES_COUNT]; /* "" where none is defined */
} bares[] = {
#define BD_UNIT(names, of, per, numerator, denominator, zero, source)
#define BD_BARE(names, what, us, imperial, metric, australian)                                     \
    {names, what, {"", metric, us, imperial, australian}},
#include "quantity/unit.def"
#undef BD_UNIT
#undef BD_BARE
};

static const char *const ounce_names = "oz ounce ounces";

static const struct {
    const char *prefix;
    bd_measures measures;
} prefixes[] = {
    {"US", BD_MEASURES_US},
    {"us", BD_MEASURES_US},
    {"imperial", BD_MEASURES_IMPERIAL},
    {"imp", BD_MEASURES_IMPERIAL},
    {"Imp", BD_MEASURES_IMPERIAL},
    {"UK", BD_MEASURES_IMPERIAL},
    {"metric", BD_MEASURES_METRIC},
    {"AU", BD_MEASURES_AUSTRALIAN},
    {"Australian", BD_MEASURES_AUSTRALIAN},
};

static const char *const measures_adjective[MEASURES_COUNT] = {"", "metric", "US", "imperial",
                                                               "Australian"};

static const struct {
    const char *words, *noun;
} dimensions[BD_DIM_COUNT] = {
    [BD_DIM_NONE] = {"a plain number", "one"},
    [BD_DIM_MASS] = {"a mass", "mass"},
    [BD_DIM_VOLUME] = {"a volume", "volume"},
    [BD_DIM_LENGTH] = {"a length", "length"},
    [BD_DIM_AREA] = {"an area", "area"},
    [BD_DIM_TIME] = {"a time", "time"},
    [BD_DIM_TEMPERATURE] = {"a temperature", "degree"},
    [BD_DIM_PRESSURE] = {"a pressure", "pressure"},
    [BD_DIM_AMOUNT] = {"an amount of substance", "mole"},
    [BD_DIM_CONDUCTANCE] = {"a conductance", "conductance"},
    [BD_DIM_PLANT] = {"a number of plants", "plant"},
    [BD_DIM_BAG] = {"a number of bags", "bag"},
};

const char *bd_dimension_words(bd_dimension d)
{
    return dimensions[d].words;
}

const char *bd_dimension_noun(bd_dimension d)
{
    return dimensions[d].noun;
}

/* A piece of the text; need not end in a zero byte. */
struct piece {
    const char *s;
    size_t n;
};

static struct piece piece_of(const char *s, size_t n)
{
    while (n > 0 && *s == ' ') {
        s++;
        n--;
    }
    while (n > 0 && s[n - 1] == ' ')
        n--;
    return (struct piece){s, n};
}

/* ---- names ---------------------------------------------------------------- */

/* Takes the next name off a list; false at its end. */
static bool take_name(const char **list, struct piece *name)
{
    *list += strspn(*list, " ");
    *name = (struct piece){*list, strcspn(*list, " ")};
    *list += name->n;
    return name->n > 0;
}

static bool is_spelt(struct piece name, struct piece word)
{
    size_t at = 0;

    for (size_t i = 0; i < name.n; i++) {
        if (name.s[i] == '_') {
            while (at < word.n && word.s[at] == ' ')
                at++;
        } else if (at == word.n || word.s[at++] != name.s[i]) {
            return false;
        }
    }
    return at == word.n;
}

static bool is_among(const char *names, struct piece word)
{
    struct piece name;

    while (take_name(&names, &name))
        if (is_spelt(name, word))
            return true;
    return false;
}

static const struct unit_row *find_row(struct piece word)
{
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (is_among(rows[i].names, word))
            return &rows[i];
    return NULL;
}

static const struct unit_row *find_symbol(const char *symbol)
{
    return find_row(piece_of(symbol, strlen(symbol)));
}

static const struct bare_row *find_bare(struct piece word)
{
    for (size_t i = 0; i < sizeof bares / sizeof bares[0]; i++)
        if (is_among(bares[i].names, word))
            return &bares[i];
    return NULL;
}

/* "US gal": the bare word behind a prefix, and whose it is. */
static const struct bare_row *find_prefixed(struct piece word, bd_measures *whose)
{
    for (size_t i = 0; i < sizeof prefixes / sizeof prefixes[0]; i++) {
        size_t n = strlen(prefixes[i].prefix);
        const struct bare_row *bare;

        if (word.n <= n || strncmp(word.s, prefixes[i].prefix, n) != 0)
            continue;
        bare = find_bare(piece_of(word.s + n, word.n - n));
        if (bare != NULL) {
            *whose = prefixes[i].measures;
            return bare;
        }
    }
    return NULL;
}

/* ---- refusals ------------------------------------------------------------- */

enum { LIST_SIZE = 200, NAMES_SHOWN = 3 };

static void add_to_list(char list[LIST_SIZE], const char *fmt, ...) BD_PRINTF(2, 3);

static void add_to_list(char list[LIST_SIZE], const char *fmt, ...)
{
    size_t n = strlen(list);
    va_list args;

    va_start(args, fmt);
    (void)vsnprintf(list + n, LIST_SIZE - n, fmt, args);
    va_end(args);
}

struct nearest {
    struct piece name[NAMES_SHOWN];
    size_t distance[NAMES_SHOWN];
    size_t count;
};

/* Keeps the nearest few, nearest first, of equals the first met. */
static void keep_nearest(struct nearest *best, struct piece name, size_t distance)
{
    size_t at = best->count;

    while (at > 0 && distance < best->distance[at - 1])
        at--;
    if (at == NAMES_SHOWN)
        return;
    if (best->count < NAMES_SHOWN)
        best->count++;
    for (size_t i = best->count - 1; i > at; i--) {
        best->name[i] = best->name[i - 1];
        best->distance[i] = best->distance[i - 1];
    }
    best->name[at] = name;
    best->distance[at] = distance;
}

/* At most one name of a list, its nearest. */
static void consider_names(struct nearest *best, const char *names, struct piece word)
{
    size_t limit = word.n <= 3 ? 1 : 2, least = limit + 1;
    struct piece name, found = {NULL, 0};

    while (take_name(&names, &name)) {
        size_t distance = bd_nearest_distance(word.s, word.n, name.s, name.n);

        if (distance < least) {
            least = distance;
            found = name;
        }
    }
    if (found.n > 0 && memchr(found.s, '_', found.n) == NULL)
        keep_nearest(best, found, least);
}

static bd_status fail_unknown(struct piece word, bd_error *err)
{
    struct nearest best = {.count = 0};
    char list[LIST_SIZE] = "";

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        consider_names(&best, rows[i].names, word);
    for (size_t i = 0; i < sizeof bares / sizeof bares[0]; i++)
        consider_names(&best, bares[i].names, word);
    for (size_t i = 0; i < best.count; i++)
        add_to_list(list, "%s%.*s", i == 0 ? "" : ", ", (int)best.name[i].n, best.name[i].s);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.*s' is not a unit known here",
                  (int)(word.n < 40 ? word.n : 40), word.s);
    if (best.count > 0)
        (void)bd_accepts(err, "a known unit; nearest: %s", list);
    return BD_UNKNOWN;
}

/* "USgal (3.785 L)" */
static void add_size(char list[LIST_SIZE], const char *symbol)
{
    enum { SHOWN_DIGITS = 4 };
    const bd_unit *unit = &find_symbol(symbol)->unit;
    const char *shown = unit->of == BD_DIM_MASS ? "kg" : "mL";
    char number[BD_NUMBER_SIZE];

    (void)bd_number_print_plain(bd_unit_convert(1.0, unit, &find_symbol(shown)->unit), SHOWN_DIGITS,
                                number);
    add_to_list(list, "%s%s (%s %s)", list[0] == '\0' ? "" : ", ", symbol, number, shown);
}

/* A tonne is both the metric and the Australian ton. */
static bool is_listed(const struct bare_row *bare, int measures)
{
    for (int i = BD_MEASURES_NONE + 1; i < measures; i++)
        if (strcmp(bare->unit[i], bare->unit[measures]) == 0)
            return true;
    return false;
}

static void list_sizes(const struct bare_row *bare, char list[LIST_SIZE])
{
    for (int i = BD_MEASURES_NONE + 1; i < MEASURES_COUNT; i++)
        if (bare->unit[i][0] != '\0' && !is_listed(bare, i))
            add_size(list, bare->unit[i]);
}

static bd_status fail_whose(const struct bare_row *bare, struct piece word, bd_error *err)
{
    char list[LIST_SIZE] = "";

    list_sizes(bare, list);
    (void)bd_fail(err, BD_AMBIGUOUS, NULL, "'%.*s' does not say whose %s it is", (int)word.n,
                  word.s, bare->what);
    (void)bd_accepts(err, "%s, or a choice of --measures", list);
    return BD_AMBIGUOUS;
}

static bd_status fail_none(const struct bare_row *bare, bd_measures whose, struct piece word,
                           bd_error *err)
{
    char list[LIST_SIZE] = "";

    list_sizes(bare, list);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.*s': there is no %s %s of a fixed size", (int)word.n,
                  word.s, measures_adjective[whose], bare->what);
    (void)bd_accepts(err, "%s", list);
    return BD_UNKNOWN;
}

static bd_status fail_ounce(struct piece word, bd_error *err)
{
    (void)bd_fail(err, BD_AMBIGUOUS, NULL, "'%.*s' may be a weight or a fluid ounce", (int)word.n,
                  word.s);
    (void)bd_accepts(err, "ozwt for the weight, USfloz or impfloz for the volume");
    return BD_AMBIGUOUS;
}

/* ---- reading -------------------------------------------------------------- */

static bd_status read_bare(const struct bare_row *bare, bd_measures whose, struct piece word,
                           bd_unit *out, bd_error *err)
{
    if (whose == BD_MEASURES_NONE)
        return fail_whose(bare, word, err);
    if (bare->unit[whose][0] == '\0')
        return fail_none(bare, whose, word, err);
    *out = find_symbol(bare->unit[whose])->unit;
    return BD_OK;
}

static bd_status read_ounce(struct piece word, bd_measures measures, bd_ounce ounce, bd_unit *out,
                            bd_error *err)
{
    static const char fluid[] = "floz";
    bool has_ounces = measures == BD_MEASURES_US || measures == BD_MEASURES_IMPERIAL;

    if (ounce == BD_OUNCE_VOLUME)
        return read_bare(find_bare(piece_of(fluid, strlen(fluid))), measures, word, out, err);
    if (ounce == BD_OUNCE_UNSETTLED && !has_ounces)
        return fail_ounce(word, err);
    *out = find_symbol("ozwt")->unit;
    return BD_OK;
}

static bd_status read_atom(struct piece word, bd_measures measures, bd_ounce ounce, bd_unit *out,
                           bd_error *err)
{
    const struct unit_row *row = find_row(word);
    const struct bare_row *bare;

    if (row != NULL) {
        *out = row->unit;
        return BD_OK;
    }
    if (is_among(ounce_names, word))
        return read_ounce(word, measures, ounce, out, err);
    bare = find_bare(word);
    if (bare == NULL)
        bare = find_prefixed(word, &measures);
    return bare == NULL ? fail_unknown(word, err) : read_bare(bare, measures, word, out, err);
}

/* The number below the slash, as 100 in lb/100USgal; 1 when there is none. */
static bd_status read_divisor(const char **s, double *out, bd_error *err)
{
    const double largest = 1e9;
    const char *start = bd_spelling_skip(*s), *end;
    double x;
    bd_status status;

    *s = start;
    *out = 1.0;
    if (*start == '\0' || strchr("0123456789.+-", *start) == NULL)
        return BD_OK;
    status = bd_number_read(start, &end, &x, err);
    if (status != BD_OK)
        return status;
    if (!(x > 0.0 && x <= largest))
        return bd_fail(err, BD_RANGE, NULL, "'%.40s' behind '/' is not above zero or too large",
                       start);
    *s = end;
    *out = x;
    return BD_OK;
}

static bd_status fail_form(const char *text, bd_error *err)
{
    (void)bd_fail(err, BD_SYNTAX, NULL, "'%.60s' is not of the form of a unit", text);
    (void)bd_accepts(err, "one unit, or two with one '/' between, such as g/L or lb/100USgal");
    return BD_SYNTAX;
}

/* Temperatures and ready-made ratios such as mph stand alone. */
static bool is_simple(const bd_unit *unit)
{
    return unit->per == BD_DIM_NONE && unit->of != BD_DIM_TEMPERATURE;
}

static bd_status read_ratio(const char *text, const char *slash, bd_measures measures,
                            bd_ounce ounce, bd_unit *out, bd_error *err)
{
    struct piece above = piece_of(text, (size_t)(slash - text));
    const char *rest = slash + 1;
    struct piece below;
    bd_unit of, per;
    double divisor;
    bd_status status = read_divisor(&rest, &divisor, err);

    if (status != BD_OK)
        return status;
    below = piece_of(rest, strlen(rest));
    if (above.n == 0 || below.n == 0 || memchr(below.s, '/', below.n) != NULL)
        return fail_form(text, err);
    status = read_atom(above, measures, ounce, &of, err);
    if (status == BD_OK)
        status = read_atom(below, measures, BD_OUNCE_VOLUME, &per, err);
    if (status != BD_OK)
        return status;
    if (!is_simple(&of) || !is_simple(&per))
        return fail_form(text, err);
    *out = (bd_unit){.of = of.of,
                     .per = per.of,
                     .numerator = of.numerator * per.denominator,
                     .denominator = of.denominator * per.numerator * divisor};
    return BD_OK;
}

static const bd_unit percent_of_volume = {BD_DIM_MASS, BD_DIM_VOLUME, BD_RELATIVE_NOT, 1e4, 1.0, 0};
static const bd_unit percent_of_mass = {BD_DIM_MASS, BD_DIM_MASS, BD_RELATIVE_NOT, 1.0, 1e2, 0};
static const bd_unit percent = {BD_DIM_NONE, BD_DIM_NONE, BD_RELATIVE_PERCENT, 1.0, 1e2, 0};
static const bd_unit ppm_of_volume = {BD_DIM_MASS, BD_DIM_VOLUME, BD_RELATIVE_NOT, 1.0, 1.0, 0};
static const bd_unit ppm_of_mass = {BD_DIM_MASS, BD_DIM_MASS, BD_RELATIVE_NOT, 1.0, 1e6, 0};
static const bd_unit ppm = {BD_DIM_NONE, BD_DIM_NONE, BD_RELATIVE_PPM, 1.0, 1e6, 0};

static const struct {
    const char *names;
    const bd_unit *unit;
} relatives[] = {
    {"%", &percent},
    {"ppm", &ppm},
    {"%_w/v", &percent_of_volume},
    {"%_w/w", &percent_of_mass},
};

static const bd_unit *find_relative(struct piece word)
{
    for (size_t i = 0; i < sizeof relatives / sizeof relatives[0]; i++)
        if (is_among(relatives[i].names, word))
            return relatives[i].unit;
    return NULL;
}

bd_status bd_unit_read(const char *text, bd_measures measures, bd_ounce ounce, bd_unit *out,
                       bd_error *err)
{
    struct piece word = piece_of(text, strlen(text));
    const bd_unit *relative = find_relative(word);
    const char *slash = strchr(text, '/');

    if (relative != NULL) {
        *out = *relative;
        return BD_OK;
    }
    if (slash != NULL)
        return read_ratio(text, slash, measures, ounce, out, err);
    return read_atom(word, measures, ounce, out, err);
}

/* ---- two units ------------------------------------------------------------ */

bool bd_unit_is_alike(const bd_unit *a, const bd_unit *b)
{
    return a->of == b->of && a->per == b->per && a->relative == b->relative;
}

static bool add_metres(bd_dimension d, int by, int *power)
{
    if (d == BD_DIM_NONE)
        return true;
    if (d != BD_DIM_LENGTH && d != BD_DIM_AREA && d != BD_DIM_VOLUME)
        return false;
    *power += by * (d == BD_DIM_LENGTH ? 1 : d == BD_DIM_AREA ? 2 : 3);
    return true;
}

bool bd_unit_is_same_depth(const bd_unit *a, const bd_unit *b)
{
    int a_power = 0, b_power = 0;

    return add_metres(a->of, 1, &a_power) && add_metres(a->per, -1, &a_power) &&
           add_metres(b->of, 1, &b_power) && add_metres(b->per, -1, &b_power) &&
           a_power == b_power && a_power != 0;
}

void bd_unit_settle(bd_unit *unit, const bd_unit *beside)
{
    bool is_percent = unit->relative == BD_RELATIVE_PERCENT;

    if (unit->relative == BD_RELATIVE_NOT || beside->of != BD_DIM_MASS)
        return;
    if (beside->per == BD_DIM_VOLUME)
        *unit = is_percent ? percent_of_volume : ppm_of_volume;
    else if (beside->per == BD_DIM_MASS)
        *unit = is_percent ? percent_of_mass : ppm_of_mass;
}

double bd_unit_convert(double x, const bd_unit *from, const bd_unit *to)
{
    return (x - from->zero) * (from->numerator * to->denominator) /
               (from->denominator * to->numerator) +
           to->zero;
}
