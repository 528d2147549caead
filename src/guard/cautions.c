#include "guard/cautions.h"

#include <string.h>

#include "nutrients/cite.h"

typedef enum trigger {
    ALWAYS,
    FOLIAR,
    KNO3_FOLIAR,
    SEEDLING_FOLIAR,
    UREA_FOLIAR,
    SIDEDRESS,
    MIXING,
    STORED_MIX,
    TANK_MIX,
    NITRATE,
    EYE_DANGER,
    BORON,
    METAL,
    AMMONIA,
    ASH,
    CAUSTIC,
    HOMEMADE,
    RAW_MANURE,
    URINE,
    LEAFY_NITRATE
} trigger;

static const struct {
    const char *code;
    trigger when;
    const char *key, *source;
    bd_trust trust;
} cautions[] = {
#define BD_CAUTION(code, when, key, source, trust) {code, when, key, source, BD_TRUST_##trust},
#include "guard/caution.def"
#undef BD_CAUTION
};

bool bd_crop_is_in(const bd_crop *crop, const char *group)
{
    if (crop == NULL)
        return false;
    for (size_t i = 0; crop->groups[i] != NULL; i++)
        if (strcmp(crop->groups[i], group) == 0)
            return true;
    return false;
}

static bool any_has(const bd_handling *h, bd_trait trait)
{
    for (size_t i = 0; i < h->material_count; i++)
        if (h->materials[i] != NULL && bd_material_has(h->materials[i], trait))
            return true;
    return false;
}

static bool any_is(const bd_handling *h, const char *name)
{
    for (size_t i = 0; i < h->material_count; i++)
        if (h->materials[i] != NULL && strcmp(h->materials[i]->name, name) == 0)
            return true;
    return false;
}

static bool any_hazard(const bd_handling *h, const char *code)
{
    for (size_t i = 0; i < h->material_count; i++)
        for (size_t k = 0; h->materials[i] != NULL && k < h->materials[i]->hazard_count; k++)
            if (strcmp(h->materials[i]->hazards[k].code, code) == 0)
                return true;
    return false;
}

static bool is_met(const bd_handling *h, trigger when)
{
    switch (when) {
    case ALWAYS:
        return true;
    case FOLIAR:
        return h->is_foliar;
    case KNO3_FOLIAR:
        return h->is_foliar && any_is(h, "potassium-nitrate");
    case SEEDLING_FOLIAR:
        return h->is_foliar && h->is_seedling;
    case UREA_FOLIAR:
        return h->is_foliar && any_has(h, BD_TRAIT_UREA);
    case SIDEDRESS:
        return h->is_soil && !h->is_homemade;
    case MIXING:
        return !h->is_homemade;
    case STORED_MIX:
        return h->is_dissolved || h->is_foliar;
    case TANK_MIX:
        return h->material_count > 1 && (h->is_foliar || h->is_dissolved);
    case NITRATE:
        return any_has(h, BD_TRAIT_NITRATE);
    case EYE_DANGER:
        return any_hazard(h, "H318") || any_hazard(h, "H314");
    case BORON:
        return any_has(h, BD_TRAIT_BORON);
    case METAL:
        return any_has(h, BD_TRAIT_METAL);
    case AMMONIA:
        return any_has(h, BD_TRAIT_AMMONIUM) || any_has(h, BD_TRAIT_UREA) || any_has(h, BD_TRAIT_URINE);
    case ASH:
        return any_has(h, BD_TRAIT_ASH);
    case CAUSTIC:
        return any_has(h, BD_TRAIT_CAUSTIC);
    case HOMEMADE:
        return h->is_homemade;
    case RAW_MANURE:
        return any_has(h, BD_TRAIT_RAW_MANURE);
    case URINE:
        return any_has(h, BD_TRAIT_URINE);
    case LEAFY_NITRATE:
        return any_has(h, BD_TRAIT_NITRATE) && bd_crop_is_in(h->crop, "leafy");
    }
    return false;
}

static void add_hazards(bd_card *card, const bd_material *m)
{
    char source[BD_CITE_SIZE];

    for (size_t i = 0; i < m->hazard_count; i++) {
        const bd_hazard *hazard = &m->hazards[i];
        char key[24] = "ghs.";

        strncat(key, hazard->code, sizeof key - sizeof "ghs.");
        bd_card_caution(card, hazard->code, bd_pool_copy(&card->pool, key), BD_ARGS(bd_name(m->title)),
                        bd_cite(hazard->source, hazard->trust, source));
    }
}

void bd_cautions_add(bd_card *card, const bd_handling *h)
{
    char source[BD_CITE_SIZE];

    for (size_t i = 0; i < h->material_count; i++)
        if (h->materials[i] != NULL)
            add_hazards(card, h->materials[i]);
    for (size_t i = 0; i < sizeof cautions / sizeof cautions[0]; i++)
        if (is_met(h, cautions[i].when))
            bd_card_caution(card, cautions[i].code, cautions[i].key, BD_NO_ARGS,
                            bd_cite(cautions[i].source, cautions[i].trust, source));
}
