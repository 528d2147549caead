/*
 * The card as a sheet for the shed.  From the top: what it is, whether it may be
 * used, what the hands do, with the tools there are, and the dose that aims at, finer
 * than any of them; then what that gives, then the reasons.  On a card that
 * says stop there is nothing to weigh: the most that is allowed comes first and
 * what was asked stands under NOT THIS.
 */
#include <math.h>
#include <string.h>

#include "report/deliver.h"
#include "report/figures.h"
#include "report/page.h"
#include "report/report.h"
#include "report/wrap.h"
#include "words/utf8.h"

enum { GAP = 2 };

/* Jobs whose stop is not about a mix. */
static const struct {
    const char *job, *stop_key;
} stop_words[] = {
    {"label", W("verdict.stop.label")},     {"sprayer", W("verdict.stop.sprayer")},
    {"weather", W("verdict.stop.weather")}, {"season", W("verdict.stop.season")},
    {"sidedress", W("verdict.stop.give")},  {"feed", W("verdict.stop.give")},
};

/* Jobs that look something up: there is nothing to be right or wrong about, so no OK. */
static const char *const unjudged[] = {"convert", "materials"};

static const struct {
    const char *key;
    bd_ink ink;
} marks[] = {
    [BD_NOTE] = {W("level.note"), BD_INK_PLAIN},
    [BD_CARE] = {W("level.care"), BD_INK_CARE},
    [BD_STOP] = {W("level.stop"), BD_INK_STOP},
};

/* A marker in a column of at least `width`, then a paragraph that hangs behind it. */
static void add_item(bd_page *page, bd_ink ink, const char *mark, size_t width, bd_text *sentence)
{
    size_t columns = bd_page_width(mark), at;

    width = columns > width ? columns : width;
    at = BD_PAGE_INDENT + width + GAP;
    bd_wrap_pad(&page->out, 0, BD_PAGE_INDENT);
    bd_page_inked(page, ink, mark);
    bd_wrap_pad(&page->out, BD_PAGE_INDENT + columns, at);
    bd_wrap_add(&page->out, sentence->s, at, at);
    bd_page_done(page, sentence);
}

static void add_title(bd_page *page, const bd_card *card)
{
    bd_text title = bd_page_scratch();

    bd_words_line(page->language, &card->title, &title);
    if (title.length > 0) {
        bd_wrap_add(&page->out, title.s, 0, BD_PAGE_INDENT);
        bd_text_add(&page->out, "\n");
    }
    bd_page_done(page, &title);
}

static const char *stop_key(const char *job)
{
    for (size_t i = 0; i < sizeof stop_words / sizeof stop_words[0]; i++)
        if (strcmp(job, stop_words[i].job) == 0)
            return stop_words[i].stop_key;
    return W("verdict.stop");
}

static bool is_unjudged(const char *job)
{
    for (size_t i = 0; i < sizeof unjudged / sizeof unjudged[0]; i++)
        if (strcmp(job, unjudged[i]) == 0)
            return true;
    return false;
}

static void add_verdict(bd_page *page, const bd_card *card)
{
    static const bd_ink inks[] = {BD_INK_GOOD, BD_INK_CARE, BD_INK_STOP};
    const char *keys[] = {W("verdict.ok"), W("verdict.care"), stop_key(card->job)};
    bd_level verdict = bd_card_verdict(card);
    bd_text words = bd_page_scratch();

    if (verdict == BD_NOTE && is_unjudged(card->job))
        return;
    bd_words_key(page->language, keys[verdict], &words);
    bd_page_inked(page, inks[verdict], words.s);
    bd_text_add(&page->out, "\n");
    bd_page_done(page, &words);
}

/* An amount at so many digits, with its unit. */
static bd_text take_exactly(const bd_page *page, double x, bd_amount_view view, int digits)
{
    bd_text t = bd_page_scratch();

    bd_amount_add_number(page->language, bd_exactly(x), view, digits, &t);
    bd_text_add(&t, view.unit[0] == '\0' ? "" : " ");
    bd_text_add(&t, view.unit);
    return t;
}

static void add_comparison(bd_page *page, const bd_finding *f, bd_text *out)
{
    double larger = fabs(f->value) > fabs(f->limit) ? f->value : f->limit;
    bd_amount_view view = bd_amount_view_of(f->unit, larger);
    int digits = bd_amount_digits_apart(f->value, f->limit, view);
    bd_text value = take_exactly(page, f->value, view, digits);
    bd_text limit = take_exactly(page, f->limit, view, digits);
    bd_line line = {.key = f->is_least ? W("report.against_least") : W("report.against"),
                    .args = {bd_name(value.s), bd_name(limit.s)},
                    .arg_count = 2};

    bd_text_add(out, " ");
    bd_words_line(page->language, &line, out);
    bd_page_done(page, &value);
    bd_page_done(page, &limit);
}

static void add_finding(bd_page *page, const bd_finding *f)
{
    bd_text sentence = bd_page_scratch(), mark = bd_page_scratch();

    bd_words_line(page->language, &f->line, &sentence);
    if (f->has_value && f->has_limit)
        add_comparison(page, f, &sentence);
    bd_page_source(page, f->source, &sentence);
    bd_words_key(page->language, marks[f->level].key, &mark);
    add_item(page, marks[f->level].ink, mark.s, 0, &sentence);
    bd_page_done(page, &mark);
}

static bool has_findings(const bd_card *card, bd_level level)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (card->findings[i].level == level)
            return true;
    return false;
}

static void add_findings(bd_page *page, const bd_card *card, bd_level level)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (card->findings[i].level == level)
            add_finding(page, &card->findings[i]);
}

/* Tables that say what a hand does next stand with the amounts; all others come later. */
static bool is_instruction(const bd_table *t)
{
    static const char *const ids[] = {"groups", "measure", "cans",   "label",
                                      "parts",  "rounds",  "sachets"};

    for (size_t i = 0; i < sizeof ids / sizeof ids[0]; i++)
        if (bd_id_has_part(t->id, ids[i]))
            return true;
    return false;
}

static void add_tables(bd_page *page, const bd_card *card, bool instructions)
{
    for (size_t i = 0; i < card->table_count; i++)
        if (is_instruction(&card->tables[i]) == instructions)
            bd_page_table(page, &card->tables[i]);
}

static bool has_finding(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, id) == 0)
            return true;
    return false;
}

/* What goes into a brew is still weighed, another day than the brew is poured. */
static const char *product_heading(const bd_card *card, bool is_measured)
{
    if (!is_measured) /* and if no tool shows it, it is not weighed either */
        return has_finding(card, "measure.error") ? W("group.product.dose") : NULL;
    return bd_card_get(card, "feed.volume") != NULL ? W("group.product.brew")
                                                    : W("group.product.dose");
}

/* What tools can show goes before what was worked out: nobody weighs an amount that is finer than
 * the scale.  Where no tool is known what was worked out is all there is to weigh. */
static void add_dose(bd_page *page, const bd_card *card)
{
    bool is_measured = bd_page_has_section(card, BD_SECTION_MEASURE);

    if (is_measured) {
        bd_page_section(page, card, BD_SECTION_MEASURE, NULL);
        add_tables(page, card, true);
    }
    bd_page_section(page, card, BD_SECTION_PRODUCT, product_heading(card, is_measured));
    bd_page_section(page, card, BD_SECTION_FEED, NULL);
    if (!is_measured)
        add_tables(page, card, true);
    bd_page_section(page, card, BD_SECTION_PERMITTED, NULL);
}

/* A job leaves what to weigh off a card that says stop; any that is there must not read as advice.
 * What the feed is like is told as ever. */
static void add_refusal(bd_page *page, const bd_card *card)
{
    bd_page_section(page, card, BD_SECTION_PERMITTED, NULL);
    bd_page_heading(page, W("group.asked"));
    add_findings(page, card, BD_STOP);
    bd_page_section_rows(page, card, BD_SECTION_PRODUCT);
    bd_page_section_rows(page, card, BD_SECTION_MEASURE);
    add_tables(page, card, true);
    bd_page_section(page, card, BD_SECTION_FEED, NULL);
}

/* What a dose brings, would bring, or what the record says was brought. */
static const char *nutrient_heading(const bd_card *card, bool is_stop)
{
    if (is_stop)
        return W("group.nutrient.asked");
    return strcmp(card->job, "record") == 0 ? W("group.nutrient.record") : NULL;
}

static void add_other_figures(bd_page *page, const bd_card *card, bool is_stop)
{
    for (bd_section s = BD_SECTION_CONVERTED; s < BD_SECTION_COUNT; s++)
        bd_page_section(page, card, s,
                        s == BD_SECTION_NUTRIENT ? nutrient_heading(card, is_stop) : NULL);
}

/* What says stop stands under NOT THIS already. */
static void add_limits(bd_page *page, const bd_card *card)
{
    if (!has_findings(card, BD_CARE) && !has_findings(card, BD_NOTE))
        return;
    bd_page_heading(page, W("heading.limits"));
    add_findings(page, card, BD_CARE);
    add_findings(page, card, BD_NOTE);
}

static void add_caution(bd_page *page, const bd_caution *c, size_t width)
{
    bd_text sentence = bd_page_scratch(), code = bd_page_scratch();

    bd_words_line(page->language, &c->line, &sentence);
    bd_page_source(page, c->source, &sentence);
    bd_utf8_add_harmless(&code, c->code);
    add_item(page, BD_INK_PLAIN, code.s, width, &sentence);
    bd_page_done(page, &code);
}

static void add_cautions(bd_page *page, const bd_card *card)
{
    size_t width = 0;

    for (size_t i = 0; i < card->caution_count; i++) {
        size_t columns = bd_page_width(card->cautions[i].code);

        width = columns > width ? columns : width;
    }
    if (card->caution_count > 0)
        bd_page_heading(page, W("heading.cautions"));
    for (size_t i = 0; i < card->caution_count; i++)
        add_caution(page, &card->cautions[i], width);
}

static void add_assumption(bd_page *page, const bd_assumption *a)
{
    bd_text sentence = bd_page_scratch();

    bd_words_line(page->language, &a->line, &sentence);
    if (a->has_value) {
        bd_text_add(&sentence, ": ");
        bd_words_amount(page->language, a->value, a->unit, &sentence);
    }
    bd_page_source(page, a->source, &sentence);
    add_item(page, BD_INK_PLAIN, "-", 1, &sentence);
}

static void add_assumptions(bd_page *page, const bd_card *card)
{
    if (card->assumption_count > 0)
        bd_page_heading(page, W("heading.assumed"));
    for (size_t i = 0; i < card->assumption_count; i++)
        add_assumption(page, &card->assumptions[i]);
}

static void add_step(bd_page *page, const bd_step *step, size_t n)
{
    enum { NUMBER_WIDTH = 3 };
    bd_text sentence = bd_page_scratch(), mark = bd_page_scratch();

    bd_text_addf(&mark, "%zu.", n);
    bd_words_line(page->language, &step->line, &sentence);
    bd_page_source(page, step->source, &sentence);
    add_item(page, BD_INK_PLAIN, mark.s, NUMBER_WIDTH, &sentence);
    bd_page_done(page, &mark);
}

static void add_working(bd_page *page, const bd_card *card)
{
    if (card->step_count > 0)
        bd_page_heading(page, W("heading.working"));
    for (size_t i = 0; i < card->step_count; i++)
        add_step(page, &card->working[i], i + 1);
}

bd_status bd_report_text(const bd_card *card, const bd_report_style *style, bd_sink sink,
                         bd_error *err)
{
    bd_page page = {bd_page_scratch(), style->language, style->has_colour};
    bool is_stop = bd_card_verdict(card) == BD_STOP;

    add_title(&page, card);
    add_verdict(&page, card);
    if (is_stop)
        add_refusal(&page, card);
    else
        add_dose(&page, card);
    add_other_figures(&page, card, is_stop);
    add_limits(&page, card);
    add_cautions(&page, card);
    add_assumptions(&page, card);
    add_tables(&page, card, false);
    if (style->shows_working)
        add_working(&page, card);
    return bd_report_deliver(&page.out, sink, err);
}
