#include <ctype.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "quantity/quantity.h"
#include "quantity/reading.h"
#include "quantity/unit.h"

static const bd_kind target_kinds[] = {BD_KIND_STRENGTH,
                                       BD_KIND_MASS_PER_AREA,
                                       BD_KIND_MASS_PER_PLANT,
                                       BD_KIND_MASS_PER_BAG,
                                       BD_KIND_MASS,
                                       BD_KIND_VOLUME_PER_VOLUME,
                                       BD_KIND_VOLUME_PER_AREA,
                                       BD_KIND_VOLUME_PER_PLANT,
                                       BD_KIND_VOLUME_PER_BAG,
                                       BD_KIND_VOLUME};

static const char product_word[] = "product";

enum { NAMES_SIZE = 160 };

static void list_names(char list[NAMES_SIZE])
{
    size_t n = 0;

    for (int i = 0; i < BD_NUTRIENT_COUNT; i++) {
        const char *oxide = bd_nutrient_oxide((bd_nutrient)i);

        n += (size_t)snprintf(list + n, NAMES_SIZE - n, "%s%s%s%s", i == 0 ? "" : ", ",
                              bd_nutrient_symbol((bd_nutrient)i), oxide[0] == '\0' ? "" : ", ",
                              oxide);
        if (n >= NAMES_SIZE)
            return;
    }
}

static bd_status read_name(const char *name, size_t length, bd_target *out, bd_error *err)
{
    char list[NAMES_SIZE];

    out->is_product = length == strlen(product_word) && strncmp(name, product_word, length) == 0;
    if (out->is_product || bd_nutrient_find(name, length, &out->form))
        return BD_OK;
    list_names(list);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "'%.*s' is not a nutrient",
                  (int)(length < 40 ? length : 40), name);
    (void)bd_accepts(err, "product, %s", list);
    return BD_UNKNOWN;
}

/* Which kind is written does not depend on what an ounce turns out to be. */
static bool is_of_kind(const char *unit, bd_kind kind, bd_measures measures)
{
    bd_unit written, canonical;

    if (bd_unit_read(unit, measures, BD_OUNCE_MASS, &written, NULL) != BD_OK ||
        bd_unit_read(bd_kind_unit(kind), measures, BD_OUNCE_MASS, &canonical, NULL) != BD_OK)
        return false;
    if (kind == BD_KIND_STRENGTH)
        bd_unit_settle(&written, &canonical);
    return bd_unit_is_alike(&written, &canonical);
}

static bool find_kind(const char *unit, bd_measures measures, bd_kind *out)
{
    for (size_t i = 0; i < sizeof target_kinds / sizeof target_kinds[0]; i++) {
        if (is_of_kind(unit, target_kinds[i], measures)) {
            *out = target_kinds[i];
            return true;
        }
    }
    return false;
}

/* Only a product can be measured out by its own volume. */
static bool is_by_volume(bd_kind kind)
{
    return kind == BD_KIND_VOLUME_PER_VOLUME || kind == BD_KIND_VOLUME_PER_AREA ||
           kind == BD_KIND_VOLUME_PER_PLANT || kind == BD_KIND_VOLUME_PER_BAG ||
           kind == BD_KIND_VOLUME;
}

static bd_status fail_kind(const char *text, bd_error *err)
{
    (void)bd_fail(err, BD_DIMENSION, NULL, "'%.60s' is no mass and no mass per anything", text);
    (void)bd_accepts(err, "g/L, kg/ha, g/m2, g/plant, g/bag or g, such as 'K 2.5 g/L'; of the "
                          "product also a volume, 'product 2 UScup/100ft2'");
    return BD_DIMENSION;
}

static bd_status read_amount(const char *text, const char *amount, bd_measures measures,
                             bd_target *target, bd_error *err)
{
    /* a product may be a liquid: its bare ounce stays unsettled in every kind */
    bd_ounce ounce = target->is_product ? BD_OUNCE_UNSETTLED : BD_OUNCE_MASS;
    bd_reading reading;
    bd_unit unit;
    bd_status status = bd_reading_split(amount, &reading, err);

    if (status == BD_OK)
        status = bd_unit_read(reading.unit, measures, ounce, &unit, err);
    if (status != BD_OK)
        return status;
    if (!find_kind(reading.unit, measures, &target->kind) ||
        (!target->is_product && is_by_volume(target->kind)))
        return fail_kind(text, err);
    return bd_quantity_read(amount, target->kind, measures, &target->value, err);
}

bd_status bd_target_read(const char *text, bd_measures measures, bd_target *out, bd_error *err)
{
    char plain[BD_SPELLING_SIZE];
    bd_target target = {.kind = BD_KIND_MASS};
    size_t length;
    bd_status status = bd_spelling_plain(text, plain, err);

    if (status == BD_OK && !isalpha((unsigned char)plain[0]))
        status = bd_fail(err, BD_SYNTAX, NULL, "'%.60s' does not start with a name", text);
    length = status == BD_OK ? strcspn(plain, " ") : 0;
    if (status == BD_OK)
        status = read_name(plain, length, &target, err);
    if (status == BD_OK && plain[length] == '\0')
        status = bd_fail(err, BD_SYNTAX, NULL, "'%.60s' has no amount", text);
    if (status == BD_OK)
        status = read_amount(text, plain + length, measures, &target, err);
    if (status == BD_OK)
        *out = target;
    else if (err != NULL && err->status != BD_OK)
        (void)bd_accepts(err, "what and how much, such as 'K 2.5 g/L' or 'product 10 g/L'");
    return status;
}
