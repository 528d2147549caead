#include "model/extract.h"

#include <math.h>
#include <stdbool.h>

typedef double apply(const bd_extract_line *line, double x);

static double forward(const bd_extract_line *line, double reading)
{
    return line->slope * reading + line->intercept_ds_per_m;
}

static double backward(const bd_extract_line *line, double ece)
{
    return (ece - line->intercept_ds_per_m) / line->slope;
}

/* What the question is; the lines that answer it are found by walking all of them. */
typedef struct bd_asked {
    const bd_extract_line *lines;
    size_t count;
    bd_extract method;
    bd_texture texture;
    apply *by;
    double x;
} bd_asked;

static bool fits(const bd_asked *q, const bd_extract_line *line)
{
    return line->method == q->method && (line->textures & (1u << q->texture)) != 0 &&
           q->by(line, q->x) >= 0.0;
}

/* Place of line i among those that fit, in rising order of their answer. */
static size_t rank_of(const bd_asked *q, size_t i)
{
    double mine = q->by(&q->lines[i], q->x);
    size_t rank = 0;

    for (size_t j = 0; j < q->count; j++) {
        double theirs = q->by(&q->lines[j], q->x);

        if (j == i || !fits(q, &q->lines[j]))
            continue;
        if (theirs < mine || (!(theirs > mine) && j < i))
            rank++;
    }
    return rank;
}

static size_t count_fitting(const bd_asked *q)
{
    size_t n = 0;

    for (size_t i = 0; i < q->count; i++)
        n += fits(q, &q->lines[i]) ? 1u : 0u;
    return n;
}

static const bd_extract_line *line_of_rank(const bd_asked *q, size_t rank)
{
    for (size_t i = 0; i < q->count; i++)
        if (fits(q, &q->lines[i]) && rank_of(q, i) == rank)
            return &q->lines[i];
    return NULL;
}

static bd_status none_fits(const bd_asked *q, bd_error *err)
{
    bd_fail(err, BD_OUTSIDE, NULL, "no relation to ECe is known for '%s' in '%s' at %g dS/m",
            bd_extract_words(q->method), bd_texture_words(q->texture), q->x);
    bd_accepts(err, "a saturated extract, or another method for this medium");
    return BD_OUTSIDE;
}

static bd_status answer(const bd_asked *q, bd_extracted *out, bd_error *err)
{
    size_t n = count_fitting(q);
    bd_extracted e = {.line_count = n};

    if (n == 0)
        return none_fits(q, err);
    e.lowest = line_of_rank(q, 0);
    e.middle = line_of_rank(q, n / 2);
    e.highest = line_of_rank(q, n - 1);
    e.ds_per_m = bd_range_of(q->by(e.lowest, q->x), q->by(e.middle, q->x), q->by(e.highest, q->x));
    *out = e;
    return BD_OK;
}

static bd_status ask(const bd_asked *q, bd_extracted *out, bd_error *err)
{
    if (!(q->x >= 0.0 && !isinf(q->x))) {
        bd_fail(err, BD_RANGE, NULL, "a conductivity of '%g' dS/m is not possible", q->x);
        bd_accepts(err, "a number of zero or more");
        return BD_RANGE;
    }
    if (q->method != BD_EXTRACT_SATURATED)
        return answer(q, out, err);
    *out = (bd_extracted){.ds_per_m = bd_exactly(q->x)};
    return BD_OK;
}

bd_status bd_extract_to_ece(const bd_extract_line *lines, size_t count, bd_extract method,
                            bd_texture texture, double reading_ds_per_m, bd_extracted *out,
                            bd_error *err)
{
    bd_asked q = {lines, count, method, texture, forward, reading_ds_per_m};

    return ask(&q, out, err);
}

bd_status bd_extract_from_ece(const bd_extract_line *lines, size_t count, bd_extract method,
                              bd_texture texture, double ece_ds_per_m, bd_extracted *out,
                              bd_error *err)
{
    bd_asked q = {lines, count, method, texture, backward, ece_ds_per_m};

    return ask(&q, out, err);
}

bd_status bd_extract_convert(const bd_extract_line *lines, size_t count, bd_extract from,
                             bd_extract to, bd_texture texture, double reading_ds_per_m,
                             bd_range *out, bd_error *err)
{
    bd_extracted ece, low, typical, high;
    bd_status status = bd_extract_to_ece(lines, count, from, texture, reading_ds_per_m, &ece, err);

    if (status != BD_OK)
        return status;
    if (from == to) {
        *out = bd_exactly(reading_ds_per_m);
        return BD_OK;
    }
    status = bd_extract_from_ece(lines, count, to, texture, ece.ds_per_m.low, &low, err);
    if (status == BD_OK)
        status =
            bd_extract_from_ece(lines, count, to, texture, ece.ds_per_m.typical, &typical, err);
    if (status == BD_OK)
        status = bd_extract_from_ece(lines, count, to, texture, ece.ds_per_m.high, &high, err);
    if (status == BD_OK)
        *out = bd_range_of(low.ds_per_m.low, typical.ds_per_m.typical, high.ds_per_m.high);
    return status;
}
