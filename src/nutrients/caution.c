#include <string.h>

#include "nutrients/store.h"

static const char *const triggers[BD_WHEN_COUNT] = {
    [BD_WHEN_ALWAYS] = "always",
    [BD_WHEN_FOLIAR] = "foliar",
    [BD_WHEN_KNO3_FOLIAR] = "kno3-foliar",
    [BD_WHEN_SEEDLING_FOLIAR] = "seedling-foliar",
    [BD_WHEN_UREA_FOLIAR] = "urea-foliar",
    [BD_WHEN_SIDEDRESS] = "sidedress",
    [BD_WHEN_MIXING] = "mixing",
    [BD_WHEN_STORED_MIX] = "stored-mix",
    [BD_WHEN_TANK_MIX] = "tank-mix",
    [BD_WHEN_NITRATE] = "nitrate",
    [BD_WHEN_EYE_DANGER] = "eye-danger",
    [BD_WHEN_BORON] = "boron",
    [BD_WHEN_METAL] = "metal",
    [BD_WHEN_AMMONIA] = "ammonia",
    [BD_WHEN_ASH] = "ash",
    [BD_WHEN_CAUSTIC] = "caustic",
    [BD_WHEN_HOMEMADE] = "homemade",
    [BD_WHEN_RAW_MANURE] = "raw-manure",
    [BD_WHEN_URINE] = "urine",
    [BD_WHEN_LEAFY_NITRATE] = "leafy-nitrate",
    [BD_WHEN_RULE] = "rule",
};

void bd_caution_rule_read(bd_node *at, void *rule)
{
    bd_caution_rule *r = rule;

    r->code = bd_node_text(at, "code");
    r->when = (bd_trigger)bd_node_word(at, "when", triggers, BD_WHEN_COUNT, -1);
    r->sentence = bd_node_text(at, "sentence");
    r->trust = bd_node_trust(at, "status");
    r->source =
        bd_node_source(at, "source", r->trust == BD_TRUST_PRACTICE || r->trust == BD_TRUST_MEMORY);
}

void bd_caution_rule_check(const bd_node *at, const bd_catalogue *c, const void *rule)
{
    const bd_caution_rule *r = rule;

    if (at->load->is_own)
        (void)bd_node_fail(at, NULL, BD_CONFLICT,
                           "cautions are the program's own and not added to");
    if (bd_catalogue_rule(c, r->sentence) != NULL)
        (void)bd_node_fail(at, "sentence", BD_CONFLICT, "sentence '%.60s' is given twice",
                           r->sentence);
}
