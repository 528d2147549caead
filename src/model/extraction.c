#include "model/extraction.h"

#include <stddef.h>

static const double soak_days = 1.0, ferment_days = 7.0;

static bd_range between(bd_range a, bd_range b, double share_of_b)
{
    return bd_range_of(a.low + (b.low - a.low) * share_of_b,
                       a.typical + (b.typical - a.typical) * share_of_b,
                       a.high + (b.high - a.high) * share_of_b);
}

/* The preparation's own share, or the nearest that is known: water first, then all of it. */
static const bd_fact *known_share(const bd_material *m, bd_preparation preparation)
{
    static const bd_preparation fallbacks[] = {BD_FERMENT, BD_SOAK, BD_POWDER, BD_BOIL};

    if (m->extraction[preparation].is_known)
        return &m->extraction[preparation];
    for (size_t i = 0; i < sizeof fallbacks / sizeof fallbacks[0]; i++)
        if (m->extraction[fallbacks[i]].is_known)
            return &m->extraction[fallbacks[i]];
    return NULL;
}

static bd_extraction all_of_it(void)
{
    return (bd_extraction){bd_exactly(1.0), bd_exactly(1.0), NULL, BD_TRUST_PUBLISHED, false};
}

bd_extraction bd_extraction_of(const bd_material *m, bd_preparation preparation, double days)
{
    const bd_fact *share, *later;
    bd_extraction out;

    if (m == NULL || m->kind != BD_HOMEMADE || preparation == BD_DRY || m->form == BD_LIQUID)
        return all_of_it();
    share = known_share(m, preparation);
    if (share == NULL)
        return (bd_extraction){bd_range_of(0.0, 0.5, 1.0), bd_range_of(0.0, 0.25, 1.0), "",
                               BD_TRUST_PRACTICE, bd_material_has(m, BD_TRAIT_ASH)};
    out = (bd_extraction){.potassium = share->value,
                          .source = share->source,
                          .trust = share->trust_typical,
                          .is_lye = bd_material_has(m, BD_TRAIT_ASH)};
    later = &m->extraction[BD_FERMENT];
    if (preparation == BD_SOAK && days > soak_days && later->is_known)
        out.potassium =
            between(share->value, later->value,
                    days >= ferment_days ? 1.0 : (days - soak_days) / (ferment_days - soak_days));
    out.slow = out.is_lye ? bd_exactly(0.0) : bd_range_of(0.0, out.potassium.low, 1.0);
    return out;
}

static bool stays_in_the_sludge(const bd_extraction *out, bd_nutrient n)
{
    return out->is_lye && (n == BD_CA || n == BD_MG || n == BD_P);
}

bd_range bd_extraction_share(const bd_extraction *out, bd_nutrient n)
{
    if (stays_in_the_sludge(out, n))
        return bd_exactly(0.0);
    return n == BD_N || n == BD_P ? out->slow : out->potassium;
}

double bd_extraction_most(const bd_extraction *out, bd_nutrient n)
{
    return stays_in_the_sludge(out, n) ? 0.0 : 1.0;
}
