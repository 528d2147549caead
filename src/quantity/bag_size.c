#include "quantity/bag_size.h"

#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "quantity/spelling.h"

static const double pi = 3.14159265358979323846;
static const double litre_per_m3 = 1000.0;

enum { MOST_MEASURES = 3 };

typedef struct measure {
    bool is_volume;
    double size; /* m, or L when a volume */
} measure;

typedef struct measures_list {
    measure at[MOST_MEASURES];
    size_t count;
} measures_list;

static bd_status fail_form(const char *text, bd_error *err)
{
    (void)bd_fail(err, BD_SYNTAX, NULL, "'%.60s' is not the size of a bag", text);
    (void)bd_accepts(err, "'round 30cm x 35cm' (across, soil depth), 'round 45cm x 50L', "
                          "'girth 141cm x 50L', '30cm x 20cm x 35cm', '20L x 30cm' "
                          "(volume, soil depth) or, roughly, '20L'");
    return BD_SYNTAX;
}

/* ---- measures ------------------------------------------------------------- */

static bd_status read_length_or_volume(const char *text, bd_measures measures, measure *out,
                                       bd_range *value, bd_error *err)
{
    bd_error first = {.status = BD_OK};
    bd_status status = bd_quantity_read_positive(text, BD_KIND_LENGTH, measures, value, &first);

    out->is_volume = status == BD_DIMENSION;
    if (status == BD_OK)
        return BD_OK;
    if (!out->is_volume) {
        if (err != NULL && err->status == BD_OK)
            *err = first;
        return status;
    }
    status = bd_quantity_read_positive(text, BD_KIND_VOLUME, measures, value, NULL);
    if (status != BD_DIMENSION)
        return bd_quantity_read_positive(text, BD_KIND_VOLUME, measures, value, err);
    (void)bd_fail(err, BD_DIMENSION, NULL, "'%.40s' is neither a length nor a volume", text);
    (void)bd_accepts(err, "a length, such as '30 cm', or a volume, such as '50 L'");
    return BD_DIMENSION;
}

static bd_status read_measure(const char *text, bd_measures measures, measure *out, bd_error *err)
{
    bd_range value;
    bd_status status = read_length_or_volume(text, measures, out, &value, err);

    if (status != BD_OK)
        return status;
    if (!bd_range_is_exact(value)) {
        (void)bd_fail(err, BD_SYNTAX, NULL, "'%.40s' is a range; a bag has one size", text);
        (void)bd_accepts(err, "one number and its unit, such as 30 cm");
        return BD_SYNTAX;
    }
    out->size = value.typical;
    return BD_OK;
}

/* No unit has an x in its name, so every x parts two measures. */
static bd_status read_list(char *s, const char *text, bd_measures measures, measures_list *out,
                           bd_error *err)
{
    char *next;

    out->count = 0;
    for (; s != NULL; s = next) {
        bd_status status;

        next = strpbrk(s, "x*");
        if (next != NULL)
            *next++ = '\0';
        if (out->count == MOST_MEASURES || *bd_spelling_skip(s) == '\0')
            return fail_form(text, err);
        status = read_measure(bd_spelling_trim(s), measures, &out->at[out->count++], err);
        if (status != BD_OK)
            return status;
    }
    return BD_OK;
}

/* ---- shapes --------------------------------------------------------------- */

static void fill_from(bd_bag_size *bag, measure depth_or_volume)
{
    if (depth_or_volume.is_volume) {
        bag->volume_l = depth_or_volume.size;
        bag->depth_m = bag->volume_l / litre_per_m3 / bag->area_m2;
    } else {
        bag->depth_m = depth_or_volume.size;
        bag->volume_l = bag->area_m2 * bag->depth_m * litre_per_m3;
    }
}

static bd_status make_round(const measures_list *list, bd_bag_shape shape, const char *text,
                            bd_bag_size *out, bd_error *err)
{
    if (list->count != 2 || list->at[0].is_volume)
        return fail_form(text, err);
    out->shape = shape;
    if (shape == BD_BAG_GIRTH)
        out->girth_m = list->at[0].size;
    out->diameter_m = shape == BD_BAG_GIRTH ? out->girth_m / pi : list->at[0].size;
    out->area_m2 = pi * out->diameter_m * out->diameter_m / 4;
    fill_from(out, list->at[1]);
    return BD_OK;
}

static bd_status make_box(const measures_list *list, const char *text, bd_bag_size *out,
                          bd_error *err)
{
    if (list->at[0].is_volume || list->at[1].is_volume || list->at[2].is_volume)
        return fail_form(text, err);
    out->shape = BD_BAG_BOX;
    out->length_m = list->at[0].size;
    out->width_m = list->at[1].size;
    out->area_m2 = out->length_m * out->width_m;
    fill_from(out, list->at[2]);
    return BD_OK;
}

static bd_status make_from_volume(const measures_list *list, const char *text, bd_bag_size *out,
                                  bd_error *err)
{
    bool has_length_first = !list->at[0].is_volume;

    if (has_length_first && !list->at[1].is_volume) {
        (void)bd_fail(err, BD_AMBIGUOUS, NULL, "'%.60s' may be a round bag or a box without width",
                      text);
        (void)bd_accepts(err, "'round' in front of diameter and depth, or length, width and depth");
        return BD_AMBIGUOUS;
    }
    if (has_length_first || list->at[1].is_volume)
        return fail_form(text, err);
    out->shape = BD_BAG_VOLUME;
    out->volume_l = list->at[0].size;
    out->depth_m = list->at[1].size;
    out->area_m2 = out->volume_l / litre_per_m3 / out->depth_m;
    return BD_OK;
}

/* A pot of which only the litres are known: as deep as it is wide. */
static void make_from_litres(double litres, bd_bag_size *out)
{
    out->shape = BD_BAG_VOLUME;
    out->volume_l = litres;
    out->depth_m = cbrt(4.0 * litres / litre_per_m3 / pi);
    out->area_m2 = litres / litre_per_m3 / out->depth_m;
    out->is_guessed = true;
}

static bd_status check_size(const bd_bag_size *bag, const char *text, bd_error *err)
{
    const double least_depth_m = 0.02, most_depth_m = 2.0, least_volume_l = 0.05,
                 most_volume_l = 2000.0;

    if (!(bag->depth_m >= least_depth_m && bag->depth_m <= most_depth_m)) {
        (void)bd_fail(err, BD_RANGE, NULL, "'%.60s' makes the soil %.3g m deep", text,
                      bag->depth_m);
        (void)bd_accepts(err, "a soil depth of %g cm to %g m", least_depth_m * 100, most_depth_m);
        return BD_RANGE;
    }
    if (!(bag->volume_l >= least_volume_l && bag->volume_l <= most_volume_l)) {
        (void)bd_fail(err, BD_RANGE, NULL, "'%.60s' holds %.3g L", text, bag->volume_l);
        (void)bd_accepts(err, "a volume of %g to %g L", least_volume_l, most_volume_l);
        return BD_RANGE;
    }
    return BD_OK;
}

/* Takes a word and the blanks behind it off the front. */
static bool take_word(char **s, const char *word)
{
    size_t n = strlen(word);

    if (strncmp(*s, word, n) != 0 || (*s)[n] != ' ')
        return false;
    *s += n + 1;
    return true;
}

static bd_status read_shape(char *s, const char *text, bd_measures measures, bd_bag_size *out,
                            bd_error *err)
{
    bool is_round = take_word(&s, "round");
    bool is_girth = !is_round && take_word(&s, "girth");
    measures_list list;
    bd_status status;

    if (isalpha((unsigned char)*bd_spelling_skip(s)))
        return fail_form(text, err);
    status = read_list(s, text, measures, &list, err);
    if (status != BD_OK)
        return status;
    if (is_round || is_girth)
        return make_round(&list, is_round ? BD_BAG_ROUND : BD_BAG_GIRTH, text, out, err);
    if (list.count == MOST_MEASURES)
        return make_box(&list, text, out, err);
    if (list.count == 1 && list.at[0].is_volume) {
        make_from_litres(list.at[0].size, out);
        return BD_OK;
    }
    return list.count == 2 ? make_from_volume(&list, text, out, err) : fail_form(text, err);
}

bd_status bd_bag_size_read(const char *text, bd_measures measures, bd_bag_size *out, bd_error *err)
{
    char plain[BD_SPELLING_SIZE];
    bd_bag_size bag = {.shape = BD_BAG_ROUND};
    bd_status status = bd_spelling_plain(text, plain, NULL);

    if (status != BD_OK)
        return fail_form(text, err);
    status = read_shape(plain, text, measures, &bag, err);
    if (status == BD_OK)
        status = check_size(&bag, text, err);
    if (status == BD_OK)
        *out = bag;
    return status;
}
