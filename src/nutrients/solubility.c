#include <string.h>

#include "nutrients/store.h"

static void read_point(bd_node *at, bd_solubility_point *point)
{
    bd_node temperature, dissolved;

    if (bd_node_count(at) != 2) {
        bd_node_refuse(at, NULL, BD_SYNTAX, "[degC, g in 100 g of water]", "not a pair of numbers");
        return;
    }
    temperature = bd_node_item(at, 0);
    dissolved = bd_node_item(at, 1);
    point->temperature_c = bd_node_as_number(&temperature);
    point->g_per_100g_water = bd_node_as_number(&dissolved);
    if (!(point->g_per_100g_water > 0.0))
        (void)bd_node_fail(at, NULL, BD_RANGE, "a solubility that is not above zero");
}

static void read_points(bd_node *at, bd_solubility *curve)
{
    size_t n = bd_node_count(at);
    bd_solubility_point *points;

    if (n == 0)
        (void)bd_node_fail(at, NULL, BD_MISSING, "a curve without points");
    points = bd_node_memory(at, n * sizeof *points);
    for (size_t i = 0; i < n && bd_node_ok(at); i++) {
        bd_node item = bd_node_item(at, i);

        read_point(&item, &points[i]);
        if (i > 0 && !(points[i].temperature_c > points[i - 1].temperature_c))
            (void)bd_node_fail(&item, NULL, BD_RANGE, "the temperatures do not rise");
    }
    curve->points = points;
    curve->point_count = n;
}

void bd_solubility_read(bd_node *at, void *curve)
{
    bd_solubility *s = curve;
    bd_node points;

    s->material = bd_node_name(at, "material");
    s->trust = bd_node_trust(at, "status");
    s->source = bd_node_source(at, "source", false);
    s->note = bd_node_text_or(at, "note", "");
    if (bd_node_get(at, "points", &points))
        read_points(&points, s);
    else
        (void)bd_node_fail(at, NULL, BD_MISSING, "'points' is missing");
}

void bd_solubility_check(const bd_node *at, const bd_catalogue *c, const void *curve)
{
    const bd_solubility *s = curve, *others = c->lists[BD_LIST_CURVES].items;

    if (!bd_store_has_material(c, s->material))
        bd_node_refuse(at, "material", BD_UNKNOWN, "a name of materials.json, no synonym",
                       "unknown material '%.60s'", s->material);
    for (size_t i = 0; i < c->lists[BD_LIST_CURVES].count; i++)
        if (strcmp(others[i].material, s->material) == 0 &&
            strcmp(others[i].source, s->source) == 0)
            (void)bd_node_fail(at, NULL, BD_CONFLICT, "a second curve of '%.60s' from '%.60s'",
                               s->material, s->source);
}
