#include "request/label_text.h"

#include <stdlib.h>
#include <string.h>

#include "base/number.h"
#include "model/oxide.h"

enum { GRADE_NUMBERS_MAX = 4 };

static const bd_nutrient grade_order[GRADE_NUMBERS_MAX] = {BD_N, BD_P, BD_K, BD_S};

typedef struct reader {
    const char *text, *at;
    bd_convention convention;
    bd_label label;
    bd_error *err;
} reader;

bd_status bd_convention_read(const char *text, bd_convention *out, bd_error *err)
{
    static const struct {
        const char *word;
        bd_convention convention;
    } words[] = {{"oxide", BD_CONVENTION_OXIDE},
                 {"element", BD_CONVENTION_ELEMENT},
                 {"ratio", BD_CONVENTION_RATIO}};

    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i].word, text) == 0) {
            *out = words[i].convention;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_UNKNOWN, "--convention", "'%.40s' is not a way labels count", text);
    return bd_accepts(err, "oxide, element or ratio");
}

static bd_status refuse(const reader *r)
{
    (void)bd_fail(r->err, BD_SYNTAX, NULL, "'%.60s' is not a label from '%.20s' on", r->text,
                  r->at);
    return bd_accepts(r->err, "13-0-46, \"2:3:4 (30)\", \"0-0-50 + 45 SO3\" or \"N 13, K2O 46\"");
}

static void skip_blanks(reader *r)
{
    while (*r->at == ' ' || *r->at == '\t')
        r->at++;
}

/* A number and half of its last printed digit; a '%' behind it is passed over. */
static bd_status read_number(reader *r, double *number, double *half_digit)
{
    const char *start = r->at, *end = NULL, *point;
    bd_status status;

    if (strchr(".0123456789", *start) == NULL || *start == '\0')
        return refuse(r);
    status = bd_number_read(start, &end, number, r->err);
    if (status != BD_OK)
        return status;
    if (!(*number <= 100.0)) {
        (void)bd_fail(r->err, BD_RANGE, NULL, "'%.60s' has %.4g %% of one nutrient", r->text,
                      *number);
        return bd_accepts(r->err, "per cents from 0 to 100");
    }
    *half_digit = 0.5;
    point = memchr(start, '.', (size_t)(end - start));
    for (const char *c = point; c != NULL && c + 1 < end; c++)
        *half_digit /= 10.0;
    r->at = end;
    skip_blanks(r);
    if (*r->at == '%') {
        r->at++;
        skip_blanks(r);
    }
    return BD_OK;
}

static bd_status declare(reader *r, bd_nutrient_form form, double percent, double half_digit)
{
    if (r->label.declares[form.nutrient]) {
        (void)bd_fail(r->err, BD_CONFLICT, NULL, "'%.60s' gives %s twice", r->text,
                      bd_nutrient_symbol(form.nutrient));
        return BD_CONFLICT;
    }
    r->label.declares[form.nutrient] = true;
    r->label.share[form.nutrient] = bd_as_element(form, percent / 100.0);
    r->label.half_digit[form.nutrient] = bd_as_element(form, half_digit / 100.0);
    return BD_OK;
}

/* A nutrient's name at the reader's place, if there is one. */
static bool take_form(reader *r, bd_nutrient_form *form)
{
    size_t n = strspn(r->at, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789");

    if (!bd_nutrient_find(r->at, n, form))
        return false;
    r->at += n;
    skip_blanks(r);
    return true;
}

/* "45 SO3" or "SO3 45" */
static bd_status read_named(reader *r)
{
    bd_nutrient_form form;
    double percent = 0.0, half_digit = 0.0;
    bool is_first = take_form(r, &form);
    bd_status status = read_number(r, &percent, &half_digit);

    if (status != BD_OK)
        return status;
    if (!is_first && !take_form(r, &form))
        return refuse(r);
    return declare(r, form, percent, half_digit);
}

static bd_status read_rest(reader *r)
{
    bd_status status = BD_OK;

    while (status == BD_OK) {
        skip_blanks(r);
        if (strncmp(r->at, "w/v", 3) == 0 || strncmp(r->at, "w/w", 3) == 0) {
            r->label.is_w_v = r->at[2] == 'v';
            r->at += 3;
            continue;
        }
        if (*r->at == '\0')
            break;
        if (*r->at == '+' || *r->at == ',' || *r->at == '-')
            r->at++;
        skip_blanks(r);
        status = read_named(r);
    }
    return status;
}

typedef struct grade {
    double percent[GRADE_NUMBERS_MAX], half_digit[GRADE_NUMBERS_MAX];
    size_t count;
    char mark; /* '-' or ':' between the numbers */
} grade;

/* "13-0-46" or "2:3:4": numbers with one mark between, as long as a plain number follows it. */
static bd_status read_grade(reader *r, grade *g)
{
    bd_status status = BD_OK;

    do {
        if (g->count > 0)
            r->at++;
        skip_blanks(r);
        if (g->count == GRADE_NUMBERS_MAX)
            return refuse(r);
        status = read_number(r, &g->percent[g->count], &g->half_digit[g->count]);
        g->count++;
        if (status == BD_OK && g->count == 1)
            g->mark = *r->at;
    } while (status == BD_OK && (g->mark == '-' || g->mark == ':') && *r->at == g->mark &&
             !(g->count == 3 && g->mark == '-'));
    if (status == BD_OK && g->count < 3)
        return refuse(r);
    return status;
}

static bd_status declare_grade(reader *r, const grade *g, bool is_oxide)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < g->count && status == BD_OK; i++) {
        bool has_oxide = i < 3 && bd_nutrient_oxide(grade_order[i])[0] != '\0';

        status = declare(r, (bd_nutrient_form){grade_order[i], is_oxide && has_oxide},
                         g->percent[i], g->half_digit[i]);
    }
    return status;
}

/* 2:3:4 (30): each number's part of the total. */
static bd_status share_total(reader *r, grade *g)
{
    double total = 0.0, half_digit = 0.0, sum = 0.0;
    bd_status status;

    r->at++;
    skip_blanks(r);
    status = read_number(r, &total, &half_digit);
    if (status != BD_OK)
        return status;
    if (*r->at != ')')
        return refuse(r);
    r->at++;
    for (size_t i = 0; i < g->count; i++)
        sum += g->percent[i];
    if (!(sum > 0.0 && total > 0.0) || r->convention == BD_CONVENTION_OXIDE) {
        (void)bd_fail(r->err, BD_CONFLICT, NULL, "'%.60s' is a ratio with its total", r->text);
        return bd_accepts(r->err, "--convention ratio, or no --convention");
    }
    for (size_t i = 0; i < g->count; i++) {
        g->half_digit[i] = half_digit * g->percent[i] / sum;
        g->percent[i] *= total / sum;
    }
    r->label.convention = BD_CONVENTION_RATIO;
    r->label.ratio_sum_over_total = sum / total;
    r->label.is_assumed = r->convention == BD_CONVENTION_NONE;
    return BD_OK;
}

static bd_status settle_convention(reader *r, const grade *g)
{
    if (r->convention == BD_CONVENTION_RATIO) {
        (void)bd_fail(r->err, BD_MISSING, NULL, "'%.60s' is a ratio without its total", r->text);
        return bd_accepts(r->err, "the ratio with the total in brackets, such as '2:3:4 (30)'");
    }
    if (g->mark == ':' && r->convention == BD_CONVENTION_NONE) {
        (void)bd_fail(r->err, BD_AMBIGUOUS, NULL, "'%.60s' may be a ratio or per cents", r->text);
        return bd_accepts(r->err,
                          "the total in brackets, '2:3:4 (30)', or --convention element for "
                          "per cents of N:P:K:S");
    }
    r->label.is_assumed = r->convention == BD_CONVENTION_NONE;
    r->label.convention = r->label.is_assumed ? BD_CONVENTION_OXIDE : r->convention;
    return BD_OK;
}

static bd_status read_graded(reader *r)
{
    grade g = {{0}, {0}, 0, '\0'};
    bd_status status = read_grade(r, &g);

    if (status != BD_OK)
        return status;
    skip_blanks(r);
    status = *r->at == '(' ? share_total(r, &g) : settle_convention(r, &g);
    if (status == BD_OK)
        status = declare_grade(r, &g, r->label.convention == BD_CONVENTION_OXIDE);
    return status == BD_OK ? read_rest(r) : status;
}

static bool begins_with_grade(const char *s)
{
    size_t n = strspn(s, "0123456789. ");

    return n > 0 && (s[n] == '-' || s[n] == ':');
}

bd_status bd_label_read(const char *text, bd_convention convention, bd_label *out, bd_error *err)
{
    reader r = {.text = text, .at = text, .convention = convention, .err = err};
    bd_status status;

    skip_blanks(&r);
    if (*r.at == '\0' || strchr("+,-", *r.at) != NULL)
        return refuse(&r);
    if (begins_with_grade(r.at)) {
        status = read_graded(&r);
    } else {
        r.label.convention = BD_CONVENTION_NAMED;
        status = read_rest(&r);
    }
    if (status == BD_OK)
        *out = r.label;
    return status;
}
