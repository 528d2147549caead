#include "job/ground.h"

#include <string.h>

#include "nutrients/cite.h"

bd_ground bd_ground_of(const bd_stand *s, bd_nutrient nutrient)
{
    bd_ground g = {.basis = s->basis == BD_BASIS_NONE ? BD_BASIS_PLANT : s->basis};

    if (nutrient == BD_B)
        g.basis = BD_BASIS_AREA;
    if (g.basis != BD_BASIS_PLANT)
        return g;
    g.is_usual_stand =
        !(s->field_per_m2 > 0.0) && s->crop != NULL && s->crop->field_plants_per_m2.is_known;
    g.stand_per_m2 =
        g.is_usual_stand ? s->crop->field_plants_per_m2.value.typical : s->field_per_m2;
    if (!(g.stand_per_m2 > 0.0 && s->plants > 0.0))
        g.basis = BD_BASIS_AREA;
    return g;
}

double bd_ground_m2(const bd_ground *g, double bag_area_m2, double plants)
{
    return g->basis == BD_BASIS_PLANT ? plants / g->stand_per_m2 : bag_area_m2;
}

const char *bd_ground_words(bd_need_basis basis)
{
    return basis == BD_BASIS_PLANT    ? W("basis.plant")
           : basis == BD_BASIS_VOLUME ? W("basis.volume")
                                      : W("basis.area");
}

void bd_ground_tell(const bd_ground *g, const bd_stand *stand, const bd_ceiling *c, double m2,
                    bd_card *card)
{
    bd_arg rate = bd_exact(c->most, "g/m2"), most = bd_exact(c->most * m2, "g");
    char source[BD_CITE_SIZE];

    if (g->basis != BD_BASIS_PLANT) {
        bd_card_work(card, W("work.basis_area"), BD_ARGS(rate, bd_exact(m2, "m2"), most), "");
        return;
    }
    bd_card_work(card, W("work.basis_plant"),
                 BD_ARGS(rate, bd_exact(g->stand_per_m2, ""), bd_count(stand->plants), most), "");
    if (g->is_usual_stand)
        bd_card_assume(card, "season.stand", W("assume.field_stand"), BD_NO_ARGS,
                       &(bd_range){g->stand_per_m2, g->stand_per_m2, g->stand_per_m2}, "",
                       bd_cite_fact(&stand->crop->field_plants_per_m2, source));
}

/* A field rate by area unless --basis says by plants; what is for the bag has no way of its own.
 * By litres is left to the season, which knows the plough layer: here it is taken by area. */
static bd_need_basis basis_of(const bd_request *r, const bd_target *need)
{
    const bd_value *asked = bd_request_get(r, BD_OPT_BASIS);

    if (asked != NULL)
        return strcmp(asked->text, "plant") == 0 ? BD_BASIS_PLANT : BD_BASIS_AREA;
    return need != NULL && need->kind == BD_KIND_MASS_PER_AREA ? BD_BASIS_AREA : BD_BASIS_NONE;
}

bd_stand bd_stand_read(const bd_catalogue *catalogue, const bd_request *r, const bd_target *need)
{
    const bd_value *crop = bd_request_get(r, BD_OPT_CROP);
    bd_stand s = {.plants = bd_request_number(r, BD_OPT_PLANTS, 0.0),
                  .field_per_m2 = bd_request_number(r, BD_OPT_FIELD_PLANTS, 0.0),
                  .basis = basis_of(r, need)};

    if (crop != NULL && bd_catalogue_crop(catalogue, crop->text, &s.crop, NULL) != BD_OK)
        s.crop = NULL;
    return s;
}
