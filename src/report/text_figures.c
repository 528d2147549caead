#include "report/figures.h"

#include <ctype.h>
#include <string.h>

#include "report/wrap.h"

enum {
    GAP = 2,
    NUMBER_LEAST = 8,     /* so that the numbers of neighbouring groups line up           */
    SENTENCE_LATEST = 56, /* a sentence that would start further right gets its own line  */
    SENTENCE_INDENT = 12
};

static const char *const headings[BD_SECTION_COUNT] = {
    [BD_SECTION_PERMITTED] = W("group.permitted"),
    [BD_SECTION_PRODUCT] = W("group.product"),
    [BD_SECTION_FEED] = W("group.feed"),
    [BD_SECTION_MEASURE] = W("group.measure"),
    [BD_SECTION_CONVERTED] = W("group.converted"),
    [BD_SECTION_LABEL] = W("group.label"),
    [BD_SECTION_SPRAYER] = W("group.sprayer"),
    [BD_SECTION_AIR] = W("group.air"),
    [BD_SECTION_NUTRIENT] = W("group.nutrient"),
    [BD_SECTION_SPRAY] = W("group.spray"),
    [BD_SECTION_BAG] = W("group.bag"),
    [BD_SECTION_MIX] = W("group.mix"),
    [BD_SECTION_SOLUTION] = W("group.solution"),
    [BD_SECTION_SOIL] = W("group.soil"),
    [BD_SECTION_COST] = W("group.cost"),
    [BD_SECTION_OTHER] = W("group.other"),
};

/* The section of a figure by the beginning of its id, the longer one first; those not here go to
 * the last. */
static const struct {
    const char *prefix;
    bd_section section;
} prefixes[] = {
    {"season", BD_SECTION_PRODUCT},
    {"product", BD_SECTION_PRODUCT},
    {"feed", BD_SECTION_FEED},
    {"measure", BD_SECTION_MEASURE},
    {"stock.saturation", BD_SECTION_SOLUTION},
    {"stock", BD_SECTION_PRODUCT},
    {"converted", BD_SECTION_CONVERTED},
    {"label", BD_SECTION_LABEL},
    {"sprayer", BD_SECTION_SPRAYER},
    {"air", BD_SECTION_AIR},
    {"nutrient", BD_SECTION_NUTRIENT},
    {"need", BD_SECTION_NUTRIENT},
    {"spray", BD_SECTION_SPRAY},
    {"bag", BD_SECTION_BAG},
    {"mix", BD_SECTION_MIX},
    {"solution", BD_SECTION_SOLUTION},
    {"soil", BD_SECTION_SOIL},
    {"yield", BD_SECTION_SOIL},
    {"cost", BD_SECTION_COST},
    {"next", BD_SECTION_PRODUCT},
};

bool bd_id_has_part(const char *id, const char *prefix)
{
    size_t n = strlen(prefix);

    return strncmp(id, prefix, n) == 0 && (id[n] == '.' || id[n] == '\0');
}

static bool has_ending(const char *id, const char *ending)
{
    size_t n = strlen(id), m = strlen(ending);

    return n > m && strcmp(id + n - m, ending) == 0;
}

static bool is_permitted(const char *id)
{
    return has_ending(id, ".permitted") || has_ending(id, ".usual") || has_ending(id, ".most");
}

/* The unit a figure is read in: some bare numbers are shares of a whole, and 0.0072 of a need says
 * less than 0.72 %. */
static const char *reading_unit(const bd_figure *f)
{
    static const char *const shares[] = {"need.share", "solution.saturation", "yield.relative"};

    for (size_t i = 0; i < sizeof shares / sizeof shares[0]; i++)
        if (bd_id_has_part(f->id, shares[i]) && f->unit[0] == '\0')
            return "share";
    return f->unit;
}

/* On a card that says stop, how far a brew must be thinned belongs to what is allowed. */
static bd_section section_of(const bd_card *card, const char *id)
{
    if (is_permitted(id) ||
        (bd_id_has_part(id, "feed.dilution.least") && bd_card_verdict(card) == BD_STOP))
        return BD_SECTION_PERMITTED;
    for (size_t i = 0; i < sizeof prefixes / sizeof prefixes[0]; i++)
        if (bd_id_has_part(id, prefixes[i].prefix))
            return prefixes[i].section;
    return BD_SECTION_OTHER;
}

/* ---- a nutrient and its oxide -------------------------------------------- */

/* "nutrient.K2O.per_litre" in its three parts. */
typedef struct nutrient_id {
    size_t head, symbol; /* bytes of "nutrient." and of "K2O" */
    const char *tail;    /* ".per_litre" or "" */
} nutrient_id;

static bool split_nutrient(const char *id, nutrient_id *out)
{
    if (!bd_id_has_part(id, "nutrient") && !bd_id_has_part(id, "label"))
        return false;
    out->head = strcspn(id, ".") + 1;
    if (id[out->head - 1] != '.' || !isupper((unsigned char)id[out->head]))
        return false;
    out->symbol = strcspn(id + out->head, ".");
    out->tail = id + out->head + out->symbol;
    return true;
}

/* True for K2O and K, SO3 and S: the element, perhaps a digit, an O, perhaps a digit. */
static bool is_oxide_of(const char *oxide, size_t n, const char *element, size_t m)
{
    size_t i = m;

    if (n <= m || strncmp(oxide, element, m) != 0)
        return false;
    i += isdigit((unsigned char)oxide[i]) ? 1 : 0;
    if (i >= n || oxide[i] != 'O')
        return false;
    i++;
    i += i < n && isdigit((unsigned char)oxide[i]) ? 1 : 0;
    return i == n;
}

static bool are_element_and_oxide(const bd_figure *element, const bd_figure *oxide)
{
    nutrient_id e, o;

    return split_nutrient(element->id, &e) && split_nutrient(oxide->id, &o) && e.head == o.head &&
           strncmp(element->id, oxide->id, e.head) == 0 && strcmp(e.tail, o.tail) == 0 &&
           strcmp(element->unit, oxide->unit) == 0 &&
           is_oxide_of(oxide->id + o.head, o.symbol, element->id + e.head, e.symbol);
}

static const bd_figure *find_oxide(const bd_card *card, const bd_figure *element)
{
    for (size_t i = 0; i < card->figure_count; i++)
        if (are_element_and_oxide(element, &card->figures[i]))
            return &card->figures[i];
    return NULL;
}

static bool has_element(const bd_card *card, const bd_figure *oxide)
{
    for (size_t i = 0; i < card->figure_count; i++)
        if (are_element_and_oxide(&card->figures[i], oxide))
            return true;
    return false;
}

/* ---- figures -------------------------------------------------------------- */

/* A figure as it is set: "K 2.5 g/L = K2O 3.01 g/L  potassium in each litre", without the names and
 * the second amount for most. */
typedef struct row {
    const bd_figure *figure, *oxide;
    bd_text name, oxide_name;
    bd_amount_pieces amount, oxide_amount;
} row;

typedef struct widths {
    size_t name, number, unit, oxide_name, oxide_number, oxide_unit;
} widths;

static bd_text take_name(const bd_figure *f)
{
    bd_text name = bd_page_scratch();
    nutrient_id id;

    if (f != NULL && split_nutrient(f->id, &id))
        bd_text_add_bytes(&name, f->id + id.head, id.symbol);
    return name;
}

static row take_row(const bd_page *page, const bd_card *card, const bd_figure *f)
{
    const bd_figure *oxide = find_oxide(card, f);
    double largest = bd_amount_largest(oxide == NULL ? f->value : oxide->value);
    bd_amount_view view = bd_amount_view_of(reading_unit(f), largest);
    row r = {.figure = f, .oxide = oxide, .name = take_name(f), .oxide_name = take_name(oxide)};

    r.amount = bd_page_amount(page, f->value, view, is_permitted(f->id));
    if (oxide != NULL)
        r.oxide_amount = bd_page_amount(page, oxide->value, view, false);
    else
        r.oxide_amount =
            (bd_amount_pieces){bd_page_scratch(), bd_page_scratch(), bd_page_scratch()};
    return r;
}

static void drop_row(bd_page *page, row *r)
{
    bd_page_done(page, &r->name);
    bd_page_done(page, &r->oxide_name);
    bd_page_amount_done(page, &r->amount);
    bd_page_amount_done(page, &r->oxide_amount);
}

static void widen(size_t *width, const bd_text *t)
{
    size_t columns = bd_page_width(t->s);

    if (columns > *width)
        *width = columns;
}

static void widen_for_row(widths *w, const row *r)
{
    widen(&w->name, &r->name);
    widen(&w->number, &r->amount.number);
    widen(&w->unit, &r->amount.unit);
    widen(&w->oxide_name, &r->oxide_name);
    widen(&w->oxide_number, &r->oxide_amount.number);
    widen(&w->oxide_unit, &r->oxide_amount.unit);
}

static void add_oxide(bd_page *page, const row *r, const widths *w)
{
    if (w->oxide_name == 0)
        return;
    bd_text_add(&page->out, r->oxide == NULL ? "   " : " = ");
    bd_page_left(page, r->oxide_name.s, w->oxide_name + 1);
    bd_page_right(page, r->oxide_amount.number.s, w->oxide_number);
    bd_text_add(&page->out, " ");
    bd_page_left(page, r->oxide_amount.unit.s, w->oxide_unit);
}

static size_t columns_since(const bd_page *page, size_t start)
{
    return bd_page_width(page->out.s + start);
}

static void add_row(bd_page *page, const row *r, const widths *w)
{
    bd_text sentence = bd_page_scratch();
    size_t start = page->out.length, at;

    bd_wrap_pad(&page->out, 0, BD_PAGE_INDENT);
    if (w->name > 0)
        bd_page_left(page, r->name.s, w->name + 1);
    bd_page_right(page, r->amount.number.s, w->number);
    bd_text_add(&page->out, " ");
    bd_page_left(page, r->amount.unit.s, w->unit);
    add_oxide(page, r, w);
    at = columns_since(page, start) + GAP;
    bd_words_line(page->language, &r->figure->line, &sentence);
    bd_text_add(&sentence, r->amount.extra.s);
    if (at > SENTENCE_LATEST) {
        bd_wrap_add(&page->out, "", 0, 0);
        start = page->out.length;
        at = SENTENCE_INDENT;
    }
    bd_wrap_pad(&page->out, columns_since(page, start), at);
    bd_wrap_add(&page->out, sentence.s, at, at);
    bd_page_done(page, &sentence);
}

/* An oxide has no row of its own: it stands in its element's. */
static bool is_row_of(const bd_card *card, const bd_figure *f, bd_section s)
{
    return section_of(card, f->id) == s && !has_element(card, f);
}

static widths measure_section(bd_page *page, const bd_card *card, bd_section s)
{
    widths w = {.number = NUMBER_LEAST};

    for (size_t i = 0; i < card->figure_count; i++)
        if (is_row_of(card, &card->figures[i], s)) {
            row r = take_row(page, card, &card->figures[i]);

            widen_for_row(&w, &r);
            drop_row(page, &r);
        }
    return w;
}

bool bd_page_has_section(const bd_card *card, bd_section s)
{
    for (size_t i = 0; i < card->figure_count; i++)
        if (is_row_of(card, &card->figures[i], s))
            return true;
    return false;
}

void bd_page_section_rows(bd_page *page, const bd_card *card, bd_section s)
{
    widths w = measure_section(page, card, s);

    for (size_t i = 0; i < card->figure_count; i++)
        if (is_row_of(card, &card->figures[i], s)) {
            row r = take_row(page, card, &card->figures[i]);

            add_row(page, &r, &w);
            drop_row(page, &r);
        }
}

void bd_page_section(bd_page *page, const bd_card *card, bd_section s, const char *heading)
{
    if (!bd_page_has_section(card, s))
        return;
    bd_page_heading(page, heading == NULL ? headings[s] : heading);
    bd_page_section_rows(page, card, s);
}
