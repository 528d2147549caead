/*
 * record.c - what was really given: add, show, reverse, left, import, export.
 *
 * `add`, `reverse` and `import` write as their very last step, with the card
 * complete: whatever can fail has failed by then, and nothing is on file.
 */
#include "job/record.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/date.h"
#include "base/number.h"
#include "guard/judge.h"
#include "job/delivers.h"
#include "model/extraction.h"
#include "record/sheet.h"
#include "words/words.h"

typedef struct job {
    const bd_knowledge *know;
    const bd_request *request;
    bd_card *card;
    bd_error *err;
    char path[BD_RECORD_PATH_SIZE];
    const bd_sheet *sheet; /* of an import; else NULL */
} job;

static const char *text_or(const job *j, bd_option option, const char *otherwise)
{
    const bd_value *v = bd_request_get(j->request, option);

    return v == NULL ? otherwise : v->text;
}

static bd_status need_option(const job *j, bd_option option, const char *like)
{
    if (bd_request_get(j->request, option) != NULL)
        return BD_OK;
    (void)bd_fail(j->err, BD_MISSING, "record", "--%s is not said", bd_option_about(option)->name);
    (void)bd_accepts(j->err, "%s", like);
    return BD_MISSING;
}

static bd_status read_day(const job *j, const char *text, int *day)
{
    char date[BD_DATE_SIZE];
    bd_status status = bd_date_read(text, day, j->err);

    if (status != BD_OK ||
        *day <= j->request->today + 1) /* tomorrow: east of Greenwich it is later */
        return status;
    (void)bd_fail(j->err, BD_RANGE, NULL, "'%.20s' has not come yet", text);
    (void)bd_accepts(j->err, "a day up to today, %s", bd_date_print(j->request->today, date));
    return BD_RANGE;
}

/* The day an entry is of: --date, else today. */
static bd_status read_entry_day(const job *j, int *day)
{
    const bd_value *date = bd_request_get(j->request, BD_OPT_DATE);
    bd_status status = BD_OK;

    *day = j->request->today;
    if (date != NULL)
        status = read_day(j, date->text, day);
    bd_error_at(j->err, "--date");
    return status;
}

/* ---- what an entry gives ---- */

static bd_status read_preparation(const bd_value *product, bool is_brewed, bd_preparation *out,
                                  bd_error *err)
{
    static const char *const words[BD_PREPARATION_COUNT] = {"soak", "boil", "ferment", "powder",
                                                            "dry"};

    *out = is_brewed ? BD_SOAK : BD_DRY;
    if (!product[BD_OPT_PREPARATION].is_given)
        return BD_OK;
    for (int i = 0; i < BD_PREPARATION_COUNT; i++) {
        if (strcmp(words[i], product[BD_OPT_PREPARATION].text) == 0) {
            *out = (bd_preparation)i;
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_UNKNOWN, "--preparation", "'%.40s' is not a preparation",
                  product[BD_OPT_PREPARATION].text);
    (void)bd_accepts(err, "soak, boil, ferment, powder or dry");
    return BD_UNKNOWN;
}

/* From what comes out at least to all that is in it: for "enough?" and for "too much?". */
static void give(const bd_offer *o, bd_preparation preparation, bd_entry *e)
{
    bd_extraction out = bd_extraction_of(o->material, preparation, 0.0);

    e->gives_is_known = true;
    for (int n = 0; n < BD_NUTRIENT_COUNT; n++) {
        bd_range all = bd_range_scale(o->product.share[n], e->g_per_bag);
        bd_range share = bd_extraction_share(&out, (bd_nutrient)n);

        e->gives_g_per_bag[n] = bd_range_of(all.low * share.low, all.typical * share.typical,
                                            all.high * bd_extraction_most(&out, (bd_nutrient)n));
    }
}

static bd_status read_grams(const bd_value *amount, const bd_offer *o, double *out, bd_error *err)
{
    if (!bd_range_is_exact(amount->number)) {
        (void)bd_fail(err, BD_RANGE, "--product-per-bag", "'%.40s' is a range", amount->text);
        (void)bd_accepts(err, "what was given, such as 1.2g");
        return BD_RANGE;
    }
    *out = amount->number.typical;
    if (amount->kind == BD_KIND_MASS)
        return BD_OK;
    if (o == NULL || !o->product.is_liquid) {
        (void)bd_fail(err, BD_CONFLICT, "--product-per-bag",
                      "'%.40s' is a volume, and the product no liquid", amount->text);
        (void)bd_accepts(err,
                         "its weight, such as 1.2g; the volume of a solution goes to --per-bag");
        return BD_CONFLICT;
    }
    *out *= 1000.0 * o->product.density_kg_per_l;
    return BD_OK;
}

static bool names_product(const bd_request *r)
{
    return r->product_count > 0 &&
           (r->products[0][BD_OPT_MATERIAL].is_given || r->products[0][BD_OPT_ANALYSIS].is_given);
}

/*
 * The product of a request into an entry that has its use and litres: catalogue
 * name, label, grams and what they give.  `amount` may be NULL.
 */
static bd_status read_product(const job *j, const bd_request *r, const bd_value *amount,
                              bd_entry *e)
{
    bd_offers offers;
    const bd_offer *o;
    bd_preparation preparation;
    bool is_brewed;
    bd_status status = bd_offers_read(j->know, r, j->card, &offers, j->err);

    if (status != BD_OK)
        return status;
    if (offers.count > 1) {
        (void)bd_fail(j->err, BD_CONFLICT, "--material", "an entry is of one product");
        (void)bd_accepts(j->err, "an entry for each product of the mix");
        return BD_CONFLICT;
    }
    o = &offers.items[0];
    e->material = o->material == NULL ? "" : o->material->name;
    e->analysis =
        r->products[0][BD_OPT_ANALYSIS].is_given ? r->products[0][BD_OPT_ANALYSIS].text : "";
    is_brewed = o->material != NULL && o->material->kind == BD_HOMEMADE && !o->product.is_liquid &&
                e->l_per_bag > 0.0;
    status = read_preparation(r->products[0], is_brewed, &preparation, j->err);
    if (status == BD_OK && amount != NULL)
        status = read_grams(amount, o, &e->g_per_bag, j->err);
    if (status == BD_OK && e->g_per_bag > 0.0)
        give(o, preparation, e);
    return status;
}

/* ---- writing, the last step ---- */

/* What would fail only once the entry stands on file. */
static bd_status check_language(const job *j)
{
    bd_language language;
    bd_status status = bd_language_read(text_or(j, BD_OPT_LANGUAGE, "en"), &language, j->err);

    bd_error_at(j->err, "--language");
    return status;
}

static bd_status check_entries(const job *j, const bd_entry *entries, size_t count)
{
    bd_status status = BD_OK;

    for (size_t i = 0; i < count && status == BD_OK; i++)
        status = bd_entry_check(&entries[i], j->err);
    bd_error_at(j->err, "record");
    return status;
}

static void tell_kept(const job *j, const bd_records *records, size_t first)
{
    bd_record_tell_state(records, j->path, j->card);
    bd_record_table(records->items + first, records->count - first, NULL, j->card);
}

/* Two entries that say the same are likely one giving, written down twice. */
static const bd_entry *twin_of(const bd_records *records, size_t before, const bd_entry *e)
{
    for (size_t i = 0; i < before; i++) {
        const bd_entry *o = &records->items[i];

        if (bd_entry_stands(o) && o->day == e->day && o->use == e->use &&
            strcmp(o->group, e->group) == 0 && strcmp(o->material, e->material) == 0 &&
            strcmp(o->analysis, e->analysis) == 0 && strcmp(o->who, e->who) == 0 &&
            fabs(o->g_per_bag - e->g_per_bag) <= 1e-9 * e->g_per_bag &&
            fabs(o->l_per_bag - e->l_per_bag) <= 1e-9 * e->l_per_bag)
            return o;
    }
    return NULL;
}

/* ---- record add ---- */

static bd_status read_use(const job *j, bd_record_use *out)
{
    const bd_value *use = bd_request_get(j->request, BD_OPT_USE);
    bd_status status = BD_OK;

    if (use != NULL) {
        status = bd_record_use_read(use->text, out, j->err);
        bd_error_at(j->err, "--use");
        return status;
    }
    *out =
        bd_request_get(j->request, BD_OPT_PER_BAG) != NULL ? BD_RECORD_DRENCH : BD_RECORD_SIDEDRESS;
    bd_card_assume(j->card, "record.use",
                   *out == BD_RECORD_DRENCH ? W("assume.record_drench")
                                            : W("assume.record_sidedress"),
                   BD_NO_ARGS, NULL, "", "common practice, no source");
    return BD_OK;
}

static bd_status read_added(const job *j, bd_entry *e)
{
    const bd_value *amount = bd_request_get(j->request, BD_OPT_PRODUCT_PER_BAG);
    bd_status status =
        need_option(j, BD_OPT_GROUP, "--group NAME, always the same for the same bags");

    if (status == BD_OK)
        status = need_option(j, BD_OPT_BAGS, "--bags 18");
    if (status == BD_OK)
        status = read_use(j, &e->use);
    if (status == BD_OK)
        status = read_entry_day(j, &e->day);
    e->group = text_or(j, BD_OPT_GROUP, "");
    e->bags = bd_request_number(j->request, BD_OPT_BAGS, 0.0);
    e->l_per_bag = bd_request_number(j->request, BD_OPT_PER_BAG, 0.0);
    e->who = text_or(j, BD_OPT_WHO, "");
    e->note = text_or(j, BD_OPT_NOTE, "");
    if (status != BD_OK)
        return status;
    if (names_product(j->request))
        return read_product(j, j->request, amount, e);
    return amount == NULL ? BD_OK : read_grams(amount, NULL, &e->g_per_bag, j->err);
}

static void show_added(const job *j, const bd_entry *e)
{
    bd_delivery gives = {{{0, 0, 0}}};

    bd_card_title(
        j->card, W("record.title_add"),
        BD_ARGS(bd_name(e->group), bd_count(e->bags), bd_name(bd_record_use_words(e->use))));
    if (e->use == BD_RECORD_HARVEST) {
        bd_card_figure(j->card, "harvest.per_bag", W("figure.harvest_per_bag"), BD_NO_ARGS,
                       bd_exactly(e->g_per_bag), "g");
        return;
    }
    if (e->g_per_bag > 0.0) {
        bd_card_figure(j->card, "product.per_bag", W("figure.given_product_per_bag"), BD_NO_ARGS,
                       bd_exactly(e->g_per_bag), "g");
        bd_card_figure(j->card, "product.total", W("figure.given_product_total"), BD_NO_ARGS,
                       bd_exactly(e->g_per_bag * e->bags), "g");
    }
    memcpy(gives.amount, e->gives_g_per_bag, sizeof gives.amount);
    bd_delivery_show(j->card, &gives, "per_bag", W("figure.given_per_bag"), "g");
    if (bd_record_use_feeds(e->use) && !e->gives_is_known)
        bd_card_find(j->card, "record.unknown", BD_CARE, W("record.unknown_entry"), BD_NO_ARGS, "");
}

/* Adds to the record as read under its lock, completes the card, then writes. */
static bd_status keep(const job *j, const bd_entry *entries, size_t count,
                      bd_status (*check)(const job *, const bd_records *, size_t first))
{
    bd_records records;
    bd_record_file *file = NULL;
    bd_status status = check_entries(j, entries, count);
    size_t first;

    if (status != BD_OK)
        return status;
    status = bd_record_open(j->path, &records, &file, j->err);
    first = records.count;
    if (status == BD_OK)
        status = bd_records_add(&records, entries, count, j->err);
    bd_error_at(j->err, "record");
    if (status == BD_OK)
        status = check(j, &records, first);
    if (status == BD_OK) {
        tell_kept(j, &records, first);
        status = bd_card_status(j->card, j->err);
    }
    if (status == BD_OK)
        status = bd_record_append(file, &records, j->err);
    bd_record_close(file);
    bd_records_clear(&records);
    return status;
}

/* No dressing a bag bears comes near it: 50 g of a salt on the mouth of the widest bag (50 cm) are
 * 250 g/m2, ten times what single dressings are given at; common practice. */
static const double most_dry_g_per_bag = 50.0, most_n_or_k_g_per_bag = 10.0;

static bool is_absurd(const job *j, const bd_entry *e)
{
    const bd_material *m = NULL;
    bool is_homemade, is_slow, is_liquid;
    double n = e->gives_g_per_bag[BD_N].typical, k = e->gives_g_per_bag[BD_K].typical;

    if (!bd_record_use_feeds(e->use))
        return false;
    if (e->material[0] != '\0' &&
        bd_catalogue_material(j->know->catalogue, e->material, &m, NULL) != BD_OK)
        m = NULL;
    is_homemade = e->use == BD_RECORD_FEED || (m != NULL && m->kind == BD_HOMEMADE);
    is_slow = is_homemade && m != NULL && m->nitrogen_share[BD_NITROGEN_ORGANIC] > 0.5;
    is_liquid = bd_product_get(j->request, 0, BD_OPT_DENSITY) != NULL ||
                (m != NULL && m->form == BD_LIQUID);
    return (!is_homemade && !is_liquid && bd_is_over(e->g_per_bag, most_dry_g_per_bag)) ||
           bd_is_over(k, most_n_or_k_g_per_bag) ||
           (!is_slow && bd_is_over(n, most_n_or_k_g_per_bag));
}

/* `line`: of the sheet it came from; 0 for none. */
static void tell_absurd(const job *j, const bd_entry *e, size_t line)
{
    if (is_absurd(j, e))
        bd_card_find(j->card, "record.absurd", BD_CARE,
                     line > 0 ? W("record.absurd_row") : W("record.absurd"),
                     BD_ARGS(bd_name(e->id), bd_amount(e->g_per_bag, "g"),
                             bd_amount(e->gives_g_per_bag[BD_N].typical, "g"),
                             bd_amount(e->gives_g_per_bag[BD_K].typical, "g"),
                             bd_count((double)line)),
                     "common practice, no source");
}

void bd_record_tell_garden(const bd_garden *garden, const char *group, bd_card *card)
{
    for (size_t i = 0; i < garden->group_count; i++)
        if (strcmp(garden->groups[i].name, group) == 0)
            return;
    bd_card_find(card, "record.not_in_garden", BD_CARE, W("record.not_in_garden"),
                 BD_ARGS(bd_name(group), bd_name(garden->name)), "");
}

/* Where the record was named by its garden file. */
static void check_garden(const job *j, const char *group)
{
    const char *named = text_or(j, BD_OPT_RECORD, "");
    bd_garden *garden = NULL;

    if (strcmp(named, j->path) == 0)
        return;
    if (bd_garden_load(named, j->request->measures, &garden, NULL) == BD_OK)
        bd_record_tell_garden(garden, group, j->card);
    else
        bd_card_find(j->card, "record.no_garden", BD_CARE, W("record.no_garden"),
                     BD_ARGS(bd_name(named)), "");
    bd_garden_free(garden);
}

/* Who else fed these bags in the week before; the entry itself is not looked at. */
static void tell_fed_before(const job *j, const bd_records *records, size_t first)
{
    enum { DAYS_OF_A_WEEK = 7 };
    const bd_entry *e = &records->items[first];
    bd_record_query week = {
        .group = e->group, .from_day = e->day - DAYS_OF_A_WEEK, .to_day = e->day};
    bd_records before = *records;

    before.count = first;
    if (bd_record_use_feeds(e->use))
        bd_record_tell_last(&before, &week, e->day, e->who, j->card);
}

static bd_status check_added(const job *j, const bd_records *records, size_t first)
{
    const bd_entry *twin = twin_of(records, first, &records->items[first]);

    tell_absurd(j, &records->items[first], 0);
    tell_fed_before(j, records, first);
    check_garden(j, records->items[first].group);
    if (twin != NULL)
        bd_card_find(j->card, "record.twin", BD_CARE, W("record.twin"), BD_ARGS(bd_name(twin->id)),
                     "");
    return BD_OK;
}

static bd_status add(const job *j)
{
    bd_entry e = bd_no_entry;
    bd_status status = read_added(j, &e);

    if (status != BD_OK)
        return status;
    show_added(j, &e);
    return keep(j, &e, 1, check_added);
}

/* ---- record reverse ---- */

static bd_status tell_reversed(const job *j, const bd_records *records, size_t first)
{
    const bd_entry *e = bd_records_find(records, records->items[first].reverses);

    bd_card_title(j->card, W("record.title_reverse"), BD_ARGS(bd_name(e->id), bd_name(e->group)));
    return BD_OK;
}

static bd_status reverse(const job *j)
{
    bd_entry e = bd_no_entry;
    bd_records records;
    const bd_entry *wrong;
    bd_status status = need_option(j, BD_OPT_ID, "--id ID, as 'record show' lists it");

    if (status != BD_OK)
        return status;
    status = read_entry_day(j, &e.day);
    if (status != BD_OK)
        return status;
    e.reverses = text_or(j, BD_OPT_ID, "");
    e.who = text_or(j, BD_OPT_WHO, "");
    e.note = text_or(j, BD_OPT_NOTE, "");
    status = bd_record_load(j->path, &records, j->err);
    wrong = status == BD_OK ? bd_records_find(&records, e.reverses) : NULL;
    if (status == BD_OK && wrong == NULL) {
        (void)bd_fail(j->err, BD_UNKNOWN, "--id", "'%.40s' is no entry of this record", e.reverses);
        (void)bd_accepts(j->err, "an id that 'record show' lists");
        status = BD_UNKNOWN;
    }
    if (status == BD_OK) {
        e.group = wrong->group;
        status = keep(j, &e, 1, tell_reversed);
    }
    bd_records_clear(&records);
    return status;
}

/* ---- record import and export ---- */

static bd_status read_plain(const job *j, const char *name, const char *text, double *out)
{
    if (text[0] == '\0')
        return BD_OK;
    if (bd_number_read(text, NULL, out, j->err) == BD_OK)
        return BD_OK;
    (void)bd_accepts(j->err, "%s: a plain number with a decimal point", name);
    return BD_SYNTAX;
}

static bd_status read_row_product(const job *j, const bd_sheet_row *row, bd_entry *e)
{
    bd_request *r = calloc(1, sizeof *r);
    bd_card unseen; /* takes the assumptions of every row: a card of thousands of them tells nobody
                       anything */
    job quiet = *j;
    bd_status status;

    if (r == NULL)
        return bd_fail(j->err, BD_MEMORY, NULL, "no memory left");
    bd_card_init(&unseen, "record");
    quiet.card = &unseen;
    r->product_count = 1;
    r->products[0][BD_OPT_MATERIAL] =
        (bd_value){.is_given = row->fields[BD_SHEET_MATERIAL][0] != '\0',
                   .text = row->fields[BD_SHEET_MATERIAL]};
    r->products[0][BD_OPT_ANALYSIS] =
        (bd_value){.is_given = row->fields[BD_SHEET_ANALYSIS][0] != '\0',
                   .text = row->fields[BD_SHEET_ANALYSIS]};
    if (names_product(r))
        status = read_product(&quiet, r, NULL, e);
    else
        status = BD_OK;
    if (names_product(r))
        e->analysis = row->fields[BD_SHEET_ANALYSIS]; /* the request goes, the sheet stays */
    bd_card_clear(&unseen);
    free(r);
    return status;
}

static bd_status read_row(const job *j, const bd_sheet_row *row, bd_entry *e)
{
    bd_status status = read_day(j, row->fields[BD_SHEET_DATE], &e->day);

    e->group = row->fields[BD_SHEET_GROUP];
    e->who = row->fields[BD_SHEET_WHO];
    e->note = row->fields[BD_SHEET_NOTE];
    if (status == BD_OK)
        status = bd_record_use_read(row->fields[BD_SHEET_USE], &e->use, j->err);
    if (status == BD_OK)
        status = read_plain(j, "bags", row->fields[BD_SHEET_BAGS], &e->bags);
    if (status == BD_OK)
        status = read_plain(j, "g_per_bag", row->fields[BD_SHEET_G_PER_BAG], &e->g_per_bag);
    if (status == BD_OK)
        status = read_plain(j, "l_per_bag", row->fields[BD_SHEET_L_PER_BAG], &e->l_per_bag);
    return status == BD_OK ? read_row_product(j, row, e) : status;
}

/* An entry already on file in the same words is most likely the same sheet, brought in again. */
static bd_status check_imported(const job *j, const bd_records *records, size_t first)
{
    for (size_t i = first; i < records->count; i++) {
        const bd_entry *twin = twin_of(records, first, &records->items[i]);

        if (twin == NULL) {
            tell_absurd(j, &records->items[i], j->sheet->rows[i - first].line);
            continue;
        }
        (void)bd_fail(j->err, BD_CONFLICT, "import",
                      "entry %zu of the sheet is on file already, as '%.40s'", i - first + 1,
                      twin->id);
        (void)bd_accepts(j->err, "a sheet of new entries; 'record add' for a second giving alike");
        return BD_CONFLICT;
    }
    bd_card_title(j->card, W("record.title_import"),
                  BD_ARGS(bd_count((double)(records->count - first))));
    return BD_OK;
}

static bd_status read_sheet(const job *j, const char *path, const bd_sheet *sheet,
                            bd_entry *entries)
{
    for (size_t i = 0; i < sheet->count; i++) {
        char where[160];
        bd_status status;

        entries[i] = bd_no_entry;
        status = read_row(j, &sheet->rows[i], &entries[i]);
        if (status == BD_OK)
            status = bd_entry_check(&entries[i], j->err);
        if (status == BD_OK)
            continue;
        (void)snprintf(where, sizeof where, "%.120s:%zu", path, sheet->rows[i].line);
        if (j->err->where[0] == '-')
            j->err->where[0] = '\0'; /* the options that the readers name stand in no sheet */
        bd_error_at(j->err, where);
        return status;
    }
    return BD_OK;
}

static bd_status import(const job *j)
{
    const char *path = j->request->positionals[1];
    bd_sheet sheet;
    bd_entry *entries = NULL;
    job with = *j;
    bd_status status = bd_sheet_read(path, &sheet, j->err);

    with.sheet = &sheet;
    if (status == BD_OK && sheet.count == 0)
        status = bd_fail(j->err, BD_MISSING, path, "holds no entry");
    if (status == BD_OK) {
        entries = calloc(sheet.count + 1, sizeof *entries);
        status = entries == NULL ? bd_fail(j->err, BD_MEMORY, path, "no memory left")
                                 : read_sheet(j, path, &sheet, entries);
    }
    if (status == BD_OK)
        status = keep(&with, entries, sheet.count, check_imported);
    free(entries);
    bd_sheet_clear(&sheet);
    return status;
}

/* ---- reading ---- */

static bd_status export(const job *j, const bd_records *records)
{
    const char *group = text_or(j, BD_OPT_GROUP, NULL), *path = j->request->positionals[1];

    bd_card_title(j->card, W("record.title_export"), BD_ARGS(bd_name(path)));
    return bd_sheet_write(path, records, group, j->err);
}

typedef enum action { ADD, SHOW, REVERSE, LEFT, IMPORT, EXPORT } action;

static bd_status read_only(const job *j, action what)
{
    bd_records records;
    bd_status status = bd_record_load(j->path, &records, j->err);

    if (status == BD_OK && records.is_absent && what != LEFT)
        status = bd_fail(j->err, BD_FILE, j->path, "is not there");
    if (status == BD_OK) {
        bd_record_tell_state(&records, j->path, j->card);
        if (what == LEFT)
            status = bd_record_left(j->know, j->request, &records, j->card, j->err);
        else if (what == EXPORT)
            status = export(j, &records);
        else
            bd_record_show(&records, text_or(j, BD_OPT_GROUP, NULL), j->card);
    }
    bd_records_clear(&records);
    return status;
}

static bd_status read_action(const job *j, action *out)
{
    static const struct {
        const char *word;
        action action;
        size_t least, most; /* words, itself included */
    } actions[] = {{"add", ADD, 1, 1},   {"show", SHOW, 1, 1},     {"reverse", REVERSE, 1, 1},
                   {"left", LEFT, 1, 4}, {"import", IMPORT, 2, 2}, {"export", EXPORT, 2, 2}};
    size_t words = j->request->positional_count;

    for (size_t i = 0; words > 0 && i < sizeof actions / sizeof actions[0]; i++) {
        if (strcmp(actions[i].word, j->request->positionals[0]) != 0)
            continue;
        *out = actions[i].action;
        if (words >= actions[i].least && words <= actions[i].most)
            return BD_OK;
        (void)bd_fail(j->err, BD_SYNTAX, "record", "'%s' takes %s", actions[i].word,
                      actions[i].most == 1 ? "no more words" : "the name of one sheet");
        (void)bd_accepts(j->err, "'record import FILE.csv', or options, which begin with --");
        return BD_SYNTAX;
    }
    (void)bd_fail(j->err, words == 0 ? BD_MISSING : BD_UNKNOWN, "record",
                  "'%.40s' is nothing a record does", words == 0 ? "" : j->request->positionals[0]);
    (void)bd_accepts(j->err, "add, show, reverse, left, import or export");
    return words == 0 ? BD_MISSING : BD_UNKNOWN;
}

/* An option that would be passed over is refused. */
static bd_status check_date(const job *j, action what)
{
    if (bd_request_get(j->request, BD_OPT_DATE) == NULL || what == ADD || what == REVERSE ||
        what == LEFT)
        return BD_OK;
    (void)bd_fail(j->err, BD_CONFLICT, "--date", "'%s' is about no one day",
                  j->request->positionals[0]);
    (void)bd_accepts(j->err, "--date beside add, reverse or left");
    return BD_CONFLICT;
}

bd_status bd_job_record(const bd_knowledge *know, const bd_request *request, bd_card *card,
                        bd_error *err)
{
    bd_error own = {0};
    job j = {.know = know, .request = request, .card = card, .err = err == NULL ? &own : err};
    action what = SHOW;
    bd_status status = read_action(&j, &what);

    if (status == BD_OK)
        status = check_date(&j, what);
    if (status == BD_OK)
        status = check_language(&j);
    if (status == BD_OK)
        status = need_option(&j, BD_OPT_RECORD, "--record FILE, such as terrace.record.jsonl");
    if (status == BD_OK)
        status = bd_record_named(text_or(&j, BD_OPT_RECORD, ""), j.path, j.err);
    if (status != BD_OK)
        return status;
    switch (what) {
    case ADD:
        return add(&j);
    case REVERSE:
        return reverse(&j);
    case IMPORT:
        return import(&j);
    case SHOW:
    case LEFT:
    case EXPORT:
        break;
    }
    return read_only(&j, what);
}
