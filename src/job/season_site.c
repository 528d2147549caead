#include "job/season.h"

#include <math.h>
#include <string.h>

#include "job/record.h"
#include "job/salt_reading.h"
#include "nutrients/cite.h"

enum { DEFAULT_SEASON_DAYS = 90 };

static const double light_kg_per_l = 0.4; /* a mix below it is mostly organic: peat-like */

/* ---- bags and mix ------------------------------------------------------------ */

/* A figure of the mix, worked out from its parts. */
static bd_fact worked_out(bd_range value)
{
    return (bd_fact){.is_known = true,
                     .value = value,
                     .trust_low = BD_TRUST_WORKED_OUT,
                     .trust_typical = BD_TRUST_WORKED_OUT,
                     .trust_high = BD_TRUST_WORKED_OUT,
                     .source = "",
                     .condition = ""};
}

static void use_fill(bd_season_group *g)
{
    g->mixed = *g->bags.medium;
    g->mixed.name = "mix";
    g->mixed.title = "the mix of these parts";
    g->mixed.bulk_density_kg_per_l = worked_out(g->fill.bulk_density_kg_per_l);
    g->mixed.container_capacity = worked_out(g->fill.container_capacity);
    g->mixed.total_pores = worked_out(g->fill.total_pores);
    g->mixed.wilting_point = worked_out(g->fill.wilting_point);
    g->mixed.saturation_by_mass = (bd_fact){.is_known = false};
    if (g->fill.bulk_density_kg_per_l.typical < light_kg_per_l)
        g->mixed.texture = BD_TEXTURE_PEAT_LIKE;
    g->bags.medium = &g->mixed;
    g->has_fill = true;
}

static double figure(const bd_season *s, const char *name)
{
    return bd_parts_figure(s->know->parts, name)->value.typical;
}

static bd_status fill(bd_season *s, bd_season_group *g)
{
    const bd_garden_group *garden = g->garden;
    bd_fill_share shares[BD_GARDEN_PARTS_MAX];
    bd_fill_order order = {.shares = shares,
                           .count = garden->part_count,
                           .bag_l = g->bags.bag.volume_l,
                           .bags = g->bags.count,
                           .bucket_l = figure(s, "bucket"),
                           .settling = figure(s, "settling"),
                           .mixing_loss = figure(s, "mixing-loss")};
    bd_error e = {.status = BD_OK};
    bd_status status = BD_OK;

    if (garden->part_count == 0)
        return BD_OK;
    for (size_t i = 0; i < garden->part_count && status == BD_OK; i++) {
        const char *name = garden->parts[i].name;

        shares[i].share = garden->parts[i].share;
        status = bd_parts_part(s->know->parts, name, strlen(name), &shares[i].part, &e);
        if (status == BD_OK)
            status = bd_media_medium(s->know->media, shares[i].part->medium, &shares[i].medium, &e);
    }
    if (status == BD_OK)
        status = bd_fill_bags(
            &order, bd_parts_figure(s->know->parts, "microbe-carbon-to-nitrogen")->value,
            bd_parts_figure(s->know->parts, "microbe-efficiency")->value, &g->fill, &e);
    if (status != BD_OK)
        return bd_season_fail(s, g, "mix", &e);
    use_fill(g);
    return BD_OK;
}

/* An option's name as the key of the file: "--bag-size" -> "bag_size". */
static const char *key_of(const bd_error *e, char key[64])
{
    size_t n = 0;

    if (strncmp(e->where, "--", 2) != 0)
        return NULL;
    for (const char *c = e->where + 2; *c != '\0' && n + 1 < 64; c++)
        key[n++] = *c == '-' ? '_' : *c;
    key[n] = '\0';
    return key;
}

/* The arguments of a line, with the end that callers of the card give. */
static const bd_arg *args_of(const bd_line *line, bd_arg args[BD_ARGS_MAX + 1])
{
    memcpy(args, line->args, line->arg_count * sizeof *args);
    args[line->arg_count] = (bd_arg){.kind = BD_ARG_END};
    return args;
}

static bool is_same_number(double a, double b)
{
    return a <= b && a >= b;
}

static bool is_same_arg(const bd_arg *a, const bd_arg *b)
{
    if (a->kind != b->kind || (a->text == NULL) != (b->text == NULL))
        return false;
    if (a->text != NULL && strcmp(a->text, b->text) != 0)
        return false;
    return is_same_number(a->value.low, b->value.low) &&
           is_same_number(a->value.typical, b->value.typical) &&
           is_same_number(a->value.high, b->value.high);
}

static bool is_same_line(const bd_line *a, const bd_line *b)
{
    if (strcmp(a->key, b->key) != 0 || a->arg_count != b->arg_count)
        return false;
    for (size_t i = 0; i < a->arg_count; i++)
        if (!is_same_arg(&a->args[i], &b->args[i]))
            return false;
    return true;
}

static void take_assumption(bd_card *card, const bd_assumption *a)
{
    bd_arg args[BD_ARGS_MAX + 1];

    for (size_t i = 0; i < card->assumption_count; i++)
        if (is_same_line(&card->assumptions[i].line, &a->line))
            return;
    bd_card_assume(card, a->id, a->line.key, args_of(&a->line, args),
                   a->has_value ? &a->value : NULL, a->unit, a->source);
}

static void take_finding(bd_card *card, const bd_finding *f)
{
    bd_arg args[BD_ARGS_MAX + 1];

    for (size_t i = 0; i < card->finding_count; i++)
        if (is_same_line(&card->findings[i].line, &f->line))
            return;
    if (f->has_limit)
        bd_card_find_limit(card, f->id, f->level, f->line.key, args_of(&f->line, args), f->value,
                           f->limit, f->unit, f->source);
    else
        bd_card_find(card, f->id, f->level, f->line.key, args_of(&f->line, args), f->source);
    if (f->is_least)
        bd_card_limit_is_least(card);
}

/* But for the assumption of an id. */
static void take_but(bd_season *s, const bd_card *own, const char *left_out)
{
    bd_arg args[BD_ARGS_MAX + 1];

    for (size_t i = 0; i < own->assumption_count; i++)
        if (strcmp(own->assumptions[i].id, "stage") != 0 &&
            strcmp(own->assumptions[i].id, left_out) != 0)
            take_assumption(s->card, &own->assumptions[i]);
    for (size_t i = 0; i < own->finding_count; i++)
        take_finding(s->card, &own->findings[i]);
    for (size_t i = 0; i < own->caution_count; i++)
        bd_card_caution(s->card, own->cautions[i].code, own->cautions[i].line.key,
                        args_of(&own->cautions[i].line, args), own->cautions[i].source);
    s->card->has_failed |= own->has_failed;
}

void bd_season_take(bd_season *s, const bd_card *own)
{
    take_but(s, own, "");
}

/* The parts of a mix say what the bags hold, whatever medium was assumed meanwhile. */
static bd_status read_bags(bd_season *s, bd_season_group *g)
{
    bd_error e = {.status = BD_OK};
    bd_card own;
    char key[64];
    bd_status status;

    bd_card_init(&own, "season");
    status = bd_planting_read(s->know, &g->garden->ask, &own, &g->planting, &e);
    if (status == BD_OK)
        status = bd_bags_read(s->know, &g->garden->ask, &g->planting, &own, &g->bags, &e);
    if (status == BD_OK)
        take_but(s, &own, g->garden->part_count > 0 ? "medium" : "");
    bd_card_clear(&own);
    return status == BD_OK ? BD_OK : bd_season_fail(s, g, key_of(&e, key), &e);
}

/* ---- days ---------------------------------------------------------------------- */

static void set_days(bd_season *s, bd_season_group *g)
{
    const bd_fact *usual = &g->planting.crop->days_to_harvest;
    char source[BD_CITE_SIZE] = "common practice, no source";
    double days = usual->is_known ? usual->value.typical : DEFAULT_SEASON_DAYS;

    if (g->garden->has_harvest) {
        days = g->garden->harvest - g->garden->sown;
    } else {
        if (usual->is_known)
            (void)bd_cite_fact(usual, source);
        bd_card_assume(s->card, "season.days", W("assume.season_days"),
                       BD_ARGS(bd_name(g->garden->name)), &(bd_range){days, days, days}, "d",
                       source);
    }
    g->season_days = (int)fmin(fmax(days, 1.0), BD_SEASON_DAYS_MAX);
    g->today = s->request->today - g->garden->sown;
    /* The weight taken off, in the file, says that the group is lifted, early or late. */
    g->is_over = g->today >= g->season_days || (g->garden->harvested_g > 0.0 && g->today > 0);
    g->from_day = g->today < 0 ? 0 : g->today;
}

/* ---- water and salt -------------------------------------------------------------- */

/* The published stages, stretched to the season at hand. */
static bd_kc_curve season_kc(const bd_season *s, const bd_season_group *g)
{
    double plain = bd_media_figure(s->know->media, "crop-coefficient")->value.typical;
    bd_kc_curve kc = bd_kc_of_crop(g->planting.crop, plain);
    double sum = 0.0;

    for (int i = 0; i < BD_STAGES; i++)
        sum += kc.stage_days[i];
    for (int i = 0; i < BD_STAGES; i++)
        kc.stage_days[i] *= g->season_days / sum;
    return kc;
}

static double exposed_m2(const bd_season *s, const bd_season_group *g)
{
    return g->bags.bag.area_m2 * bd_media_figure(s->know->media, "bag-exposure")->value.typical;
}

/* With what stays of an overdose, as it is once the bag is washed out, where the rescue asks for
 * that. */
static bd_range after_rescue(const bd_season_group *g, bd_range before, double saturation_l)
{
    const bd_rescue *r = &g->rescue;
    bd_range with = bd_range_add(before, bd_exactly(g->rescue_load_ds_l_per_m / saturation_l));

    if (!g->is_rescued)
        return before;
    return r->flush.portions > 0 && with.typical > 0.0
               ? bd_range_scale(with, r->flush.ece_after_ds_per_m / with.typical)
               : with;
}

/* A meter's reading stands for the mix as it is today.  Without one the mix was fresh at sowing,
 * and the days since are followed with what the record says was given. */
static void set_past(const bd_season_group *g, bd_rootzone *zone)
{
    zone->existing_ece_ds_per_m = g->read_ece;
    if (bd_request_get(&g->garden->ask, BD_OPT_ECE) != NULL)
        return;
    zone->past_days = zone->age_days;
    zone->dressings = g->past;
    zone->dressing_count = g->past_count;
}

/* What is washed out is no course of days: the mix is begun with as it is after that. */
static void begin_after_rescue(const bd_season_group *g, bd_rootzone *zone)
{
    double saturation_l = bd_medium_saturation(g->bags.medium).typical * g->bags.bag.volume_l;

    zone->existing_ece_ds_per_m = after_rescue(g, g->rescue_ece_before, saturation_l);
    zone->past_days = 0;
    zone->dressing_count = 0;
}

int bd_season_age(const bd_season_group *g)
{
    return g->from_day < g->season_days ? g->from_day : g->season_days;
}

bd_rootzone bd_season_zone(const bd_season *s, const bd_season_group *g)
{
    const bd_media *media = s->know->media;
    const bd_medium *m = g->bags.medium;
    double litres = g->bags.bag.volume_l;
    int age = bd_season_age(g);
    int left = g->season_days - age;
    bd_rootzone zone = {
        .days = left < 1 ? 1 : left,
        .age_days = age,
        .area_m2 = exposed_m2(s, g),
        .capacity_l = litres * m->container_capacity.value.typical,
        .wilting_l = litres * m->wilting_point.value.typical,
        .saturation_l = bd_range_scale(bd_medium_saturation(m), litres),
        .water_ds_per_m = bd_exactly(s->water_ec_ds_per_m),
        .leaching_share = bd_media_figure(media, "leaching-fraction")->value.typical,
        .watering_every_days = 1,
        .eto_mm_per_d = bd_media_figure(media, "reference-evapotranspiration")->value.typical,
        .kc = season_kc(s, g),
        .uptake_share = bd_exactly(bd_media_figure(media, "uptake-share")->value.typical)};

    set_past(g, &zone);
    if (g->is_rescued)
        begin_after_rescue(g, &zone);
    zone.uptake = bd_media_uptake(media, &zone.uptake_count);
    if (zone.saturation_l.low < zone.capacity_l)
        zone.saturation_l.low = zone.capacity_l;
    if (zone.saturation_l.typical < zone.saturation_l.low)
        zone.saturation_l.typical = zone.saturation_l.low;
    if (zone.saturation_l.high < zone.saturation_l.typical)
        zone.saturation_l.high = zone.saturation_l.typical;
    return zone;
}

bd_status bd_season_ece_now(const bd_season *s, const bd_season_group *g, bd_range *out)
{
    bd_rootzone zone = bd_season_zone(s, g);
    bd_error e = {.status = BD_OK};
    bd_outlook seen;

    if (bd_rootzone_outlook(&zone, &seen, &e) != BD_OK)
        return bd_season_fail(s, g, NULL, &e);
    *out = seen.ece_before_ds_per_m;
    return BD_OK;
}

static bd_status set_watering(bd_season *s, bd_season_group *g)
{
    const bd_fact *eto = bd_media_figure(s->know->media, "reference-evapotranspiration");
    const bd_fact *young_depth = bd_catalogue_practice(s->know->catalogue, "young-root-depth");
    bd_rootzone zone = bd_season_zone(s, g);
    bd_watering_order order = {
        .kc = zone.kc,
        .eto_mm_per_d = eto->value,
        .area_m2 = zone.area_m2,
        .store_l = zone.capacity_l - zone.wilting_l,
        .usable_share = bd_catalogue_practice(s->know->catalogue, "usable-water")->value.typical,
        .drain_share = zone.leaching_share,
        .young_share = fmin(1.0, young_depth->value.typical / g->bags.bag.depth_m),
        .ease_off_days = g->planting.crop->is_root ? figure(s, "ease-off") : 0.0,
        .ease_off_share = figure(s, "ease-off-share")};
    bd_error e = {.status = BD_OK};
    bd_status status = bd_watering_table(&order, &g->watering, &e);

    return status == BD_OK ? BD_OK : bd_season_fail(s, g, NULL, &e);
}

/* What the parts of a mix bring, as the job medium shows it. */
static bd_status salt_of_parts(bd_season_group *g, bd_card *own, bd_error *e)
{
    g->read_ece = g->fill.ece_ds_per_m;
    bd_card_assume(own, "season.mix_ece", W("assume.season_mix_ece"),
                   BD_ARGS(bd_name(g->garden->name)), &g->read_ece, "dS/m", "");
    return bd_salt_reading_check(&g->garden->ask, e);
}

/* As the file says it: of which group, and by which key. */
static void take_salt(bd_season *s, const bd_season_group *g, const bd_card *own)
{
    take_but(s, own, "soil.ece");
    for (size_t i = 0; i < own->assumption_count; i++)
        if (strcmp(own->assumptions[i].id, "soil.ece") == 0)
            bd_card_assume(s->card, "soil.ece", W("assume.season_fresh_ece"),
                           BD_ARGS(bd_name(g->garden->name)), &own->assumptions[i].value, "dS/m",
                           own->assumptions[i].source);
}

static bd_status read_salt(bd_season *s, bd_season_group *g)
{
    bool has_reading = bd_request_get(&g->garden->ask, BD_OPT_ECE) != NULL;
    bd_error e = {.status = BD_OK};
    bd_card own;
    char key[64];
    bd_status status;

    bd_card_init(&own, "season");
    if (!has_reading && g->has_fill && g->fill.ece_known_share > 0.0)
        status = salt_of_parts(g, &own, &e);
    else
        status = bd_salt_reading(s->know, &g->garden->ask, g->bags.medium, &own, &g->read_ece, &e);
    if (status == BD_OK)
        take_salt(s, g, &own);
    bd_card_clear(&own);
    return status == BD_OK ? BD_OK : bd_season_fail(s, g, key_of(&e, key), &e);
}

/* A fertiliser on the bag, dry or dissolved, in this season. */
static bool is_round(const bd_season *s, const bd_season_group *g, const bd_entry *e)
{
    return bd_entry_stands(e) && (e->use == BD_RECORD_SIDEDRESS || e->use == BD_RECORD_DRENCH) &&
           e->day >= g->garden->sown && e->day <= s->request->today &&
           strcmp(e->group, g->garden->name) == 0;
}

static size_t count_rounds(const bd_season *s, const bd_season_group *g, int from)
{
    size_t days = 0;

    for (size_t i = 0; i < s->records->count; i++) {
        bool is_new = s->records->items[i].day >= from && is_round(s, g, &s->records->items[i]);

        for (size_t k = 0; k < i && is_new; k++)
            is_new = !is_round(s, g, &s->records->items[k]) ||
                     s->records->items[k].day != s->records->items[i].day;
        days += is_new ? 1 : 0;
    }
    return days;
}

static void sum_record(const bd_season *s, bd_season_group *g)
{
    bd_record_query query = {
        .group = g->garden->name, .from_day = g->garden->sown, .to_day = s->request->today};

    bd_record_sum_of(s->records, &query, &g->given);
    query.without_sprays = true;
    bd_record_sum_of(s->records, &query, &g->fed);
    g->rounds_given = count_rounds(s, g, g->garden->sown);
    g->fed_on_top = count_rounds(s, g, g->garden->sown + 1);
    query.without_sprays = false;
    query.to_day++; /* it may be tomorrow where the other grower wrote */
    bd_record_tell_last(s->records, &query, s->request->today, "", s->card);
}

bd_status bd_season_site(bd_season *s, bd_season_group *g)
{
    bd_status status = read_bags(s, g);

    if (status == BD_OK)
        status = fill(s, g);
    if (status == BD_OK)
        status = read_salt(s, g);
    if (status != BD_OK)
        return status;
    set_days(s, g);
    sum_record(s, g);
    return set_watering(s, g);
}
