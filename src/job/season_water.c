/*
 * What the bags are watered with: a water known here, or an analysis in a file
 * beside the garden file or in it.
 *
 * An analysis says what the water brings and how salty it is.  Of a tap known by
 * its kind only, the usual conductivity of waters stands in for the second.
 */
#include "job/season.h"

#include <stdio.h>
#include <string.h>

#include "model/oxide.h"
#include "model/solution_measures.h"
#include "nutrients/formula.h"

enum { LARGEST_FILE = 1 << 20, LONGEST_PATH = 4096 };

static const double mg_per_g = 1000.0;
static const double meter_c = 25.0; /* what a meter's reading is brought to */

/* Trouble at "water" of the garden file, or at a place within an analysis that stands there. */
static bd_status fail_water(const bd_season *s, const char *place, const bd_error *e)
{
    char where[sizeof e->where];

    (void)snprintf(where, sizeof where, "%.90s#/water%.60s", s->path, place);
    (void)bd_fail(s->err, e->status, where, "%s", e->text);
    if (e->accepts[0] != '\0')
        (void)bd_accepts(s->err, "%s", e->accepts);
    return e->status;
}

static bd_status read_analysis(bd_season *s, const bd_value *named)
{
    static const char record[] = BD_GARDEN_WATER "#/waters/0";
    const char *bytes = s->garden->water_analysis;
    bd_error e = {.status = BD_OK};
    bool is_in_record;

    if (bd_chemistry_read_water(s->know->chemistry, named->text, bytes, strlen(bytes), &s->water,
                                &e) == BD_OK)
        return BD_OK;
    is_in_record = strncmp(e.where, record, sizeof record - 1) == 0;
    return fail_water(s, is_in_record ? e.where + sizeof record - 1 : "", &e);
}

/* What is wrong inside the file is told with the file's own name. */
static bd_status read_file(bd_season *s, const bd_value *named)
{
    bd_error e = {.status = BD_OK};
    bd_text path, bytes;
    bd_status status;

    bd_text_init(&path, LONGEST_PATH);
    bd_text_init(&bytes, LARGEST_FILE);
    status = bd_garden_load_water(s->path, named->text, &path, &bytes, &e);
    if (status != BD_OK)
        status = fail_water(s, "", &e);
    else
        status = bd_chemistry_read_water(s->know->chemistry, path.s, bytes.s, bytes.length,
                                         &s->water, s->err);
    bd_text_clear(&bytes);
    bd_text_clear(&path);
    return status;
}

static bd_status measure_ec(bd_season *s)
{
    bd_error e = {.status = BD_OK};
    bd_solution_input in;
    bd_solution_measures measures;
    bd_status status;

    bd_solution_input_init(&in);
    in.temperature_c = meter_c;
    in.is_open = s->water->is_open;
    status = bd_solution_add_water(s->know->chemistry, &in, s->water, 1.0, &e);
    if (status == BD_OK) {
        bd_solution_balance(&in);
        status = bd_solution_measure(s->know->chemistry, &in, &measures, &e);
    }
    if (status != BD_OK)
        return fail_water(s, "", &e);
    s->water_ec_ds_per_m = measures.ec_25c_ds_per_m;
    bd_card_work(s->card, W("work.season_water"),
                 BD_ARGS(bd_name(s->water->title), bd_exact(s->water_ec_ds_per_m, "dS/m")), "");
    return BD_OK;
}

static bd_status find_water(bd_season *s, const bd_value *named)
{
    bool has_reading = bd_request_get(&s->groups[0].garden->ask, BD_OPT_WATER_EC) != NULL;
    bd_status status;

    if (s->garden->water_analysis == NULL &&
        bd_chemistry_water(s->know->chemistry, named->text, &s->water, NULL) == BD_OK) {
        if (strcmp(named->text, "pure") == 0)
            s->water_ec_ds_per_m = 0.0;
        return BD_OK;
    }
    status = s->garden->water_analysis != NULL ? read_analysis(s, named) : read_file(s, named);
    if (status != BD_OK)
        return status;
    s->own_know = *s->know;
    s->own_know.user_water = s->water;
    s->know = &s->own_know;
    return has_reading ? BD_OK : measure_ec(s);
}

bd_status bd_season_water(bd_season *s)
{
    const bd_request *ask = &s->groups[0].garden->ask; /* the garden's water is every group's */
    const bd_value *named = bd_request_get(ask, BD_OPT_WATER),
                   *reading = bd_request_get(ask, BD_OPT_WATER_EC);
    bd_status status = BD_OK;

    s->water_ec_ds_per_m = bd_media_figure(s->know->media, "water-conductivity")->value.typical;
    if (named != NULL)
        status = find_water(s, named);
    if (reading != NULL)
        s->water_ec_ds_per_m = reading->number.typical;
    return status;
}

/* ---- what it brings --------------------------------------------------------------------- */

/* Atomic weight of an element [g/mol]. */
static double weight_of(bd_nutrient n)
{
    bd_formula atom = {.g_per_mol = 0.0};

    return bd_formula_read(bd_nutrient_symbol(n), &atom, NULL) == BD_OK ? atom.g_per_mol : 0.0;
}

/* Moles of an element in a mole of what a water holds. */
static double count_in(const bd_species *species, bd_nutrient n)
{
    static const struct {
        bd_component component;
        bd_nutrient of;
        double count;
    } holds[] = {{BD_COMPONENT_NO3, BD_N, 1},  {BD_COMPONENT_NH4, BD_N, 1},
                 {BD_COMPONENT_UREA, BD_N, 2}, {BD_COMPONENT_PO4, BD_P, 1},
                 {BD_COMPONENT_K, BD_K, 1},    {BD_COMPONENT_B, BD_B, 1}};
    double count = 0.0;

    for (size_t i = 0; i < species->part_count; i++)
        for (size_t k = 0; k < sizeof holds / sizeof holds[0]; k++)
            if (holds[k].of == n && holds[k].component == species->parts[i].component)
                count += holds[k].count * species->parts[i].count;
    return count;
}

static double mg_per_l(const bd_season *s, bd_nutrient n)
{
    double sum = 0.0;

    for (size_t i = 0; s->water != NULL && i < s->water->ion_count; i++) {
        const bd_water_ion *ion = &s->water->ions[i];
        size_t species = 0;

        if (bd_chemistry_species(s->know->chemistry, ion->name, &species, NULL) == BD_OK)
            sum += ion->mol_per_l * count_in(&s->know->chemistry->species[species], n);
    }
    return sum * weight_of(n) * mg_per_g;
}

bd_npk bd_season_water_npk(const bd_season *s)
{
    static const bd_nutrient_form phosphate = {BD_P, true}, potash = {BD_K, true};

    return bd_npk_exactly(mg_per_l(s, BD_N), bd_as_form(phosphate, mg_per_l(s, BD_P)),
                          bd_as_form(potash, mg_per_l(s, BD_K)));
}

double bd_season_water_boron(const bd_season *s)
{
    return mg_per_l(s, BD_B);
}
