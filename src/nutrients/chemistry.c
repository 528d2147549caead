#include "nutrients/chemistry.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "nutrients/bundle.h"
#include "nutrients/chemistry_read.h"
#include "nutrients/store.h"

enum { TEXT_OF_NAMES = 200 };

static const char *const component_names[BD_COMPONENT_COUNT] = {
#define BD_COMPONENT(id, name, words) name,
#include "nutrients/component.def"
#undef BD_COMPONENT
};

const char *bd_component_name(bd_component component)
{
    return component_names[component];
}

/* ---- files ---- */

bd_status bd_chemistry_load(bd_chemistry **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_chemistry *chemistry = calloc(1, sizeof *chemistry);
    bd_load load;

    if (chemistry != NULL)
        chemistry->bundle = calloc(1, sizeof *chemistry->bundle);
    if (chemistry == NULL || chemistry->bundle == NULL) {
        free(chemistry);
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for the chemistry");
    }
    load = bd_bundle_start(chemistry->bundle, err != NULL ? err : &own);
    bd_bundle_read_sources(chemistry->bundle, &load);
    bd_bundle_read(chemistry->bundle, &load, "species.json", bd_chemistry_read_species_file,
                   chemistry);
    bd_bundle_read(chemistry->bundle, &load, "minerals.json", bd_chemistry_read_minerals_file,
                   chemistry);
    bd_bundle_read(chemistry->bundle, &load, "waters.json", bd_chemistry_read_waters_file,
                   chemistry);
    if (load.status == BD_OK)
        *out = chemistry;
    else
        bd_chemistry_free(chemistry);
    return load.status;
}

void bd_chemistry_free(bd_chemistry *chemistry)
{
    if (chemistry == NULL)
        return;
    bd_bundle_clear(chemistry->bundle);
    free(chemistry->bundle);
    free(chemistry);
}

/* ---- looking up ---- */

bd_status bd_chemistry_species(const bd_chemistry *chemistry, const char *name, size_t *out,
                               bd_error *err)
{
    size_t i = bd_chemistry_find_species(chemistry, name);

    if (i == chemistry->species_count) {
        (void)bd_fail(err, BD_UNKNOWN, NULL, "unknown ion '%.40s'", name);
        (void)bd_accepts(err, "names such as K+, Ca+2, NO3-, SO4-2, H2PO4-, HCO3-, CO(NH2)2");
        return BD_UNKNOWN;
    }
    *out = i;
    return BD_OK;
}

const bd_mineral *bd_chemistry_mineral(const bd_chemistry *chemistry, const char *name)
{
    for (size_t i = 0; i < chemistry->mineral_count; i++)
        if (strcmp(chemistry->minerals[i].name, name) == 0)
            return &chemistry->minerals[i];
    return NULL;
}

static bd_status refuse_water(const bd_chemistry *chemistry, const char *name, bd_error *err)
{
    bd_text names;

    bd_text_init(&names, TEXT_OF_NAMES);
    for (size_t i = 0; i < chemistry->water_count; i++)
        bd_text_addf(&names, "%s%s", i == 0 ? "" : ", ", chemistry->waters[i].name);
    (void)bd_fail(err, BD_UNKNOWN, NULL, "unknown water '%.60s'", name);
    (void)bd_accepts(err, "%s, or a file with your water's analysis", names.s);
    bd_text_clear(&names);
    return BD_UNKNOWN;
}

bd_status bd_chemistry_water(const bd_chemistry *chemistry, const char *name, const bd_water **out,
                             bd_error *err)
{
    for (size_t i = 0; i < chemistry->water_count; i++) {
        if (strcmp(chemistry->waters[i].name, name) == 0) {
            *out = &chemistry->waters[i];
            return BD_OK;
        }
    }
    return refuse_water(chemistry, name, err);
}

bd_status bd_chemistry_read_water(bd_chemistry *chemistry, const char *name, const void *bytes,
                                  size_t size, const bd_water **out, bd_error *err)
{
    bd_error own = {.status = BD_OK};
    bd_load load = bd_bundle_start(chemistry->bundle, err != NULL ? err : &own);
    const char *kept = bd_pool_copy(load.pool, name);
    const bd_water *waters;
    size_t count;
    bd_node root;

    if (kept == NULL)
        return bd_fail(err, BD_MEMORY, NULL, "no memory left for this water");
    load.is_own = true;
    if (bd_bundle_parse(chemistry->bundle, &load, kept, bytes, size, &root) != BD_OK)
        return load.status;
    (void)bd_node_text_or(&root, "$schema", "");
    if (bd_node_has(&root, "unit") || bd_node_has(&root, "ions"))
        waters = bd_chemistry_read_lone_water(&root, chemistry, &count);
    else
        waters = bd_chemistry_read_list(&root, "waters", chemistry, sizeof(bd_water),
                                        bd_chemistry_read_water_record, &count);
    bd_node_end(&root);
    if (load.status == BD_OK && count != 1)
        (void)bd_node_fail(&root, "waters", BD_RANGE, "%zu waters; one is wanted", count);
    if (load.status == BD_OK)
        *out = waters;
    return load.status;
}
