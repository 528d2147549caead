#include "report/page.h"

#include <string.h>

#include "report/deliver.h"
#include "report/wrap.h"
#include "words/utf8.h"

static const char *const inks[] = {"", "\x1b[1;32m", "\x1b[1;33m", "\x1b[1;31m"};
static const char ink_end[] = "\x1b[0m";

bd_text bd_page_scratch(void)
{
    bd_text t;

    bd_text_init(&t, BD_REPORT_CEILING);
    return t;
}

void bd_page_done(bd_page *page, bd_text *scratch)
{
    page->out.has_failed |= !bd_text_ok(scratch);
    bd_text_clear(scratch);
}

void bd_page_heading(bd_page *page, const char *key)
{
    bd_text_add(&page->out, "\n");
    bd_words_key(page->language, key, &page->out);
    bd_text_add(&page->out, "\n");
}

void bd_page_inked(bd_page *page, bd_ink ink, const char *s)
{
    bool is_inked = page->has_colour && ink != BD_INK_PLAIN;

    bd_text_add(&page->out, is_inked ? inks[ink] : "");
    bd_text_add(&page->out, s);
    bd_text_add(&page->out, is_inked ? ink_end : "");
}

void bd_page_source(const bd_page *page, const char *source, bd_text *sentence)
{
    bd_line line = {.key = W("report.source"), .args = {bd_name(source)}, .arg_count = 1};

    if (source == NULL || source[0] == '\0')
        return;
    if (sentence->length > 0)
        bd_text_add(sentence, " ");
    bd_words_line(page->language, &line, sentence);
}

bd_amount_pieces bd_page_amount(const bd_page *page, bd_range value, bd_amount_view view,
                                bool is_most)
{
    bd_amount_pieces p = {bd_page_scratch(), bd_page_scratch(), bd_page_scratch()};

    if (is_most) {
        value = bd_range_of(bd_amount_cut(value.low, view), bd_amount_cut(value.typical, view),
                            bd_amount_cut(value.high, view));
        view.also = NULL;
    }
    bd_amount_add_number(page->language, value, view, BD_AMOUNT_DIGITS, &p.number);
    bd_utf8_add_harmless(&p.unit, view.unit);
    bd_amount_add_extra(page->language, value, view, &p.extra);
    return p;
}

void bd_page_amount_done(bd_page *page, bd_amount_pieces *pieces)
{
    bd_page_done(page, &pieces->number);
    bd_page_done(page, &pieces->unit);
    bd_page_done(page, &pieces->extra);
}

size_t bd_page_width(const char *s)
{
    return bd_utf8_columns(s, strlen(s));
}

void bd_page_right(bd_page *page, const char *s, size_t width)
{
    bd_wrap_pad(&page->out, bd_page_width(s), width);
    bd_text_add(&page->out, s);
}

void bd_page_left(bd_page *page, const char *s, size_t width)
{
    bd_text_add(&page->out, s);
    bd_wrap_pad(&page->out, bd_page_width(s), width);
}
