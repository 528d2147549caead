#include <string.h>

#include "nutrients/store.h"

/* Units that figures may have; each settles the kind, and so the canonical unit. */
static const struct {
    const char *unit;
    bool has_kind;
    bd_kind kind;
} units[] = {
    {"g", true, BD_KIND_MASS},
    {"kg", true, BD_KIND_MASS},
    {"mL", true, BD_KIND_VOLUME},
    {"L", true, BD_KIND_VOLUME},
    {"cm", true, BD_KIND_LENGTH},
    {"m", true, BD_KIND_LENGTH},
    {"min", true, BD_KIND_TIME},
    {"h", true, BD_KIND_TIME},
    {"d", true, BD_KIND_TIME},
    {"%", true, BD_KIND_SHARE},
    {"1", true, BD_KIND_SHARE},
    {"m2", true, BD_KIND_AREA},
    {"g/L", true, BD_KIND_STRENGTH},
    {"mg/L", true, BD_KIND_STRENGTH},
    {"g/m2", true, BD_KIND_MASS_PER_AREA},
    {"kg/ha", true, BD_KIND_MASS_PER_AREA},
    {"mL/m2", true, BD_KIND_VOLUME_PER_AREA},
    {"L/m2", true, BD_KIND_VOLUME_PER_AREA},
    {"dS/m", true, BD_KIND_CONDUCTIVITY},
    {"degC", true, BD_KIND_TEMPERATURE},
    {"km/h", true, BD_KIND_SPEED},
    {"m/s", true, BD_KIND_SPEED},
    {"mm/d", true, BD_KIND_WATER_DEPTH_RATE},
    {"count", false, BD_KIND_COUNT},
    {"pH", false, BD_KIND_COUNT},
    {"log10", false, BD_KIND_COUNT},
    {"mL/L", false, BD_KIND_COUNT},
    {"mL/plant", false, BD_KIND_COUNT},
    {"mg/kg", false, BD_KIND_COUNT},
};

static bd_fact read_value(bd_node *at)
{
    const char *unit = bd_node_text(at, "unit");

    for (size_t i = 0; i < sizeof units / sizeof units[0]; i++)
        if (strcmp(units[i].unit, unit) == 0)
            return units[i].has_kind ? bd_node_as_fact(at, units[i].kind)
                                     : bd_node_as_fact_in(at, unit);
    (void)bd_node_fail(at, "unit", BD_UNKNOWN, "'%.24s' is not a unit of a figure", unit);
    return (bd_fact){.source = "", .condition = ""};
}

void bd_practice_read(bd_node *at, void *figure)
{
    bd_practice *f = figure;
    bd_node value;

    f->name = bd_node_name(at, "name");
    (void)bd_node_text_or(at, "note", "");
    if (bd_node_get(at, "value", &value))
        f->value = read_value(&value);
    else
        (void)bd_node_fail(at, NULL, BD_MISSING, "'value' is missing");
}

void bd_practice_check(const bd_node *at, const bd_catalogue *c, const void *figure)
{
    const bd_practice *f = figure;

    if (bd_catalogue_practice(c, f->name) != NULL)
        (void)bd_node_fail(at, "name", BD_CONFLICT, "figure '%.60s' is given twice", f->name);
}
