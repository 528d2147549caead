#include "guard/cautions.h"

#include <string.h>

#include "nutrients/cite.h"

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

static bool is_met(const bd_handling *h, bd_trigger when)
{
    switch (when) {
    case BD_WHEN_ALWAYS:
        return true;
    case BD_WHEN_FOLIAR:
        return h->is_foliar;
    case BD_WHEN_KNO3_FOLIAR:
        return h->is_foliar && any_is(h, "potassium-nitrate");
    case BD_WHEN_SEEDLING_FOLIAR:
        return h->is_foliar && h->is_seedling;
    case BD_WHEN_UREA_FOLIAR:
        return h->is_foliar && any_has(h, BD_TRAIT_UREA);
    case BD_WHEN_SIDEDRESS:
        return h->is_soil && !h->is_homemade;
    case BD_WHEN_MIXING:
        return !h->is_homemade;
    case BD_WHEN_STORED_MIX:
        return h->is_dissolved || h->is_foliar;
    case BD_WHEN_TANK_MIX:
        return h->material_count > 1 && (h->is_foliar || h->is_dissolved);
    case BD_WHEN_NITRATE:
        return any_has(h, BD_TRAIT_NITRATE);
    case BD_WHEN_EYE_DANGER:
        return any_hazard(h, "H318") || any_hazard(h, "H314");
    case BD_WHEN_BORON:
        return any_has(h, BD_TRAIT_BORON);
    case BD_WHEN_METAL:
        return any_has(h, BD_TRAIT_METAL);
    case BD_WHEN_AMMONIA:
        return any_has(h, BD_TRAIT_AMMONIUM) || any_has(h, BD_TRAIT_UREA) ||
               any_has(h, BD_TRAIT_URINE);
    case BD_WHEN_ASH:
        return any_has(h, BD_TRAIT_ASH);
    case BD_WHEN_CAUSTIC:
        return any_has(h, BD_TRAIT_CAUSTIC);
    case BD_WHEN_HOMEMADE:
        return h->is_homemade;
    case BD_WHEN_RAW_MANURE:
        return any_has(h, BD_TRAIT_RAW_MANURE);
    case BD_WHEN_URINE:
        return any_has(h, BD_TRAIT_URINE);
    case BD_WHEN_LEAFY_NITRATE:
        return any_has(h, BD_TRAIT_NITRATE) && bd_crop_is_in(h->crop, "leafy");
    case BD_WHEN_RULE:
    case BD_WHEN_COUNT:
        return false;
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
        bd_card_caution(card, hazard->code, key, BD_ARGS(bd_name(m->title)),
                        bd_cite(hazard->source, hazard->trust, source));
    }
}

void bd_cautions_add(bd_card *card, const bd_catalogue *catalogue, const bd_handling *h)
{
    size_t count;
    const bd_caution_rule *rules = bd_catalogue_cautions(catalogue, &count);
    char source[BD_CITE_SIZE];

    for (size_t i = 0; i < h->material_count; i++)
        if (h->materials[i] != NULL)
            add_hazards(card, h->materials[i]);
    for (size_t i = 0; i < count; i++)
        if (is_met(h, rules[i].when))
            bd_card_caution(card, rules[i].code, rules[i].sentence, BD_NO_ARGS,
                            bd_cite(rules[i].source, rules[i].trust, source));
}

char *bd_rule_source(const bd_catalogue *catalogue, const char *sentence, char buffer[BD_CITE_SIZE])
{
    const bd_caution_rule *rule = bd_catalogue_rule(catalogue, sentence);

    if (rule == NULL)
        buffer[0] = '\0';
    else
        (void)bd_cite(rule->source, rule->trust, buffer);
    return buffer;
}
