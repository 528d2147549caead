#include "support/cards.h"

#define SAY(words) "plain", BD_ARGS(bd_name(words))

static void fill_spray(bd_card *card)
{
    bd_range wetting = bd_exactly(60);

    bd_card_title(card, SAY("Foliar spray of potassium nitrate 13-0-46 on beetroot, K 2.5 g/L"));
    bd_card_figure(card, "product.per_litre", SAY("potassium nitrate in each litre of spray"),
                   bd_exactly(6.5466284), "g/L");
    bd_card_figure(card, "product.per_tank", SAY("potassium nitrate in the tank of 10 L"),
                   bd_exactly(65.466284), "g");
    bd_card_figure(card, "nutrient.N.per_litre", SAY("nitrogen in each litre"), bd_exactly(0.85106),
                   "g/L");
    bd_card_figure(card, "nutrient.K.per_litre", SAY("potassium in each litre"), bd_exactly(2.5),
                   "g/L");
    bd_card_figure(card, "nutrient.K2O.per_litre", SAY("the same as K2O"), bd_exactly(3.0114491),
                   "g/L");
    bd_card_figure(card, "nutrient.K.per_bag", SAY("potassium on the leaves of one bag"),
                   bd_exactly(0.00595), "g");
    bd_card_figure(card, "nutrient.K2O.per_bag", SAY("the same as K2O"), bd_exactly(0.0071673),
                   "g");
    bd_card_figure(card, "need.share", SAY("of what the crop needs in a season"),
                   bd_exactly(0.0072), "");
    bd_card_figure(card, "spray.volume_needed", SAY("of spray wets 24 bags"), bd_exactly(0.0571),
                   "L");
    bd_card_figure(card, "bag.area", SAY("of bag mouth"), bd_exactly(0.0707), "m2");
    bd_card_figure(card, "bag.depth", SAY("of soil"), bd_exactly(0.35), "m");
    bd_card_figure(card, "solution.ec", SAY("at 25 degC"), bd_range_of(8.1, 8.5, 8.9), "dS/m");
    bd_card_figure(card, "unheard.of", SAY("figures of a kind no report knows are kept"),
                   bd_exactly(7), "1");
    bd_card_assume(card, "wetting", SAY("Water that wets one square metre of leaf"), &wetting,
                   "mL/m2", "common practice, no source");
    bd_card_assume(card, "label.convention", SAY("Three numbers with hyphens are N, P2O5 and K2O"),
                   NULL, "", "");
    bd_card_find_limit(card, "limit.foliar", BD_NOTE, SAY("The strength is within its limit."),
                       6.5466284, 10, "g/L", "unit-test-source");
    bd_card_caution(card, "H272", SAY("Feeds a fire: keep away from fuel, sawdust and heat."),
                    "unit-test-source");
    bd_card_caution(card, "C01", SAY("Wash the sprayer, hose and lance first."), "");
    bd_card_work(card, SAY("2.5 g/L / (46 % x 0.830147) = 6.54663 g/L"), "atomic weights");
    bd_card_work(card, SAY("6.54663 g/L x 10 L = 65.4663 g"), "");
}

static void fill_care(bd_card *card)
{
    bd_card_title(card, SAY("Banana-peel water for 30 bags"));
    bd_card_figure(card, "feed.per_bag", SAY("of the feed for each bag"), bd_exactly(500), "mL");
    bd_card_figure(card, "feed.total", SAY("for all bags"), bd_exactly(15000), "mL");
    bd_card_figure(card, "nutrient.K.per_bag", SAY("potassium for each bag"),
                   bd_range_of(0.045, 0.14, 0.32), "g");
    bd_card_figure(card, "nutrient.K2O.per_bag", SAY("the same as K2O"),
                   bd_range_of(0.0542, 0.1686, 0.3855), "g");
    bd_card_find(card, "feed.unknown", BD_CARE,
                 SAY("How strong the feed is can only be guessed: try one bag, wait a week."), "");
    bd_card_find_limit(card, "limit.feed", BD_CARE, SAY("The strong end is close to the limit."),
                       3.004, 3.0, "g/L", "unit-test-source");
}

static void fill_stop(bd_card *card)
{
    bd_card_title(card, SAY("Foliar spray of potassium nitrate 13-0-45 at 25 g/L"));
    bd_card_figure(card, "product.per_litre.permitted",
                   SAY("potassium nitrate in each litre of spray"), bd_exactly(9.998), "g/L");
    bd_card_figure(card, "nutrient.K.per_litre", SAY("potassium in each litre"), bd_exactly(9.339),
                   "g/L");
    bd_card_figure(card, "nutrient.K2O.per_litre", SAY("the same as K2O"), bd_exactly(11.25),
                   "g/L");
    bd_card_find(card, "mix.note", BD_NOTE, SAY("A note comes after what matters."), "");
    bd_card_find_limit(card, "limit.label", BD_STOP,
                       SAY("Stronger than the label of the product allows."), 25, 9.998, "g/L",
                       "label, as entered");
    bd_card_find(card, "mix.care", BD_CARE, SAY("The leaves are young."), "");
    bd_card_work(card, SAY("asked: 25 g/L x 10 L = 250 g"), "");
}

static void add_cans(bd_card *card)
{
    static const double grams[] = {27, 27, 27, 16}, litres[] = {10, 10, 10, 6};
    bd_table *t = bd_card_table(card, "measure.cans", SAY("Can by can"));

    bd_table_column(card, t, "can", "level.note", "");
    bd_table_column(card, t, "mass", "group.product", "g");
    bd_table_column(card, t, "volume", "group.spray", "L");
    bd_table_column(card, t, "note", "group.other", "");
    for (size_t i = 0; i < sizeof grams / sizeof grams[0]; i++) {
        bd_table_number(card, t, (double)(i + 1));
        bd_table_number(card, t, grams[i]);
        bd_table_number(card, t, litres[i]);
        if (i < 3)
            bd_table_empty(card, t);
        else
            bd_table_line(card, t,
                          SAY("the last can is not full: fill it with 6 L of water and no more, "
                              "and share it out over the bags that are left"));
    }
}

static void add_wide_table(bd_card *card)
{
    enum { WIDE = 12 };
    bd_table *t = bd_card_table(card, "wide", SAY("Too wide for a page"));

    for (int i = 0; i < WIDE; i++)
        bd_table_column(card, t, "column", "group.spray", "L/ha");
    for (int i = 0; i < 2 * WIDE; i++)
        bd_table_line(card, t, SAY("everlasting-word"));
}

static void fill_season(bd_card *card)
{
    bd_card_title(card, SAY("Potassium for 24 bags in three rounds"));
    bd_card_figure(card, "product.per_bag", SAY("potassium sulfate for each bag in a round"),
                   bd_exactly(4), "g");
    bd_card_figure(card, "product.total", SAY("potassium sulfate for all bags in a season"),
                   bd_exactly(2385.4), "g");
    add_cans(card);
    add_wide_table(card);
    bd_table_column(card, bd_card_table(card, "empty", SAY("No rows")), "a", "group.bag", "");
    (void)bd_card_table(card, "bare", SAY("No columns"));
}

static void fill_hostile(bd_card *card)
{
    bd_table *t;

    bd_card_title(card, SAY("=HYPERLINK(\"x\")\x1b[2J\r\n\xff\xe2\x80\xae\"quoted\", a\\b"));
    bd_card_figure(card, "product.per_bag", SAY("@SUM(A1)\ttab \xc3\xa9t\xc3\xa9"),
                   bd_exactly(-0.5), "g\x07");
    bd_card_find_limit(card, "limit.x", BD_CARE, SAY("-1+1 \xc0\xaf \xed\xa0\x80"), -3, -2, "=g",
                       "+source, \"x\"\x1b");
    bd_card_caution(card, "=C\x01", SAY("\xf0\x9f\x8c\xb1 seedling"), "\xe2\x82");
    bd_card_assume(card, "a\nb", SAY(""), NULL, NULL, NULL);
    t = bd_card_table(card, "t\r\n", SAY("\x7f"));
    bd_table_column(card, t, "c,d", "group.bag", "\x1b");
    bd_table_line(card, t, SAY("=1+1"));
    bd_card_work(card, SAY("\xc2\x9b"), "=");
}

static const struct {
    const char *name, *job;
    void (*fill)(bd_card *card);
} samples[BD_SAMPLE_COUNT] = {
    [BD_SAMPLE_EMPTY] = {"empty", "convert", NULL},
    [BD_SAMPLE_SPRAY] = {"spray", "spray", fill_spray},
    [BD_SAMPLE_CARE] = {"care", "feed", fill_care},
    [BD_SAMPLE_STOP] = {"stop", "spray", fill_stop},
    [BD_SAMPLE_SEASON] = {"season", "season", fill_season},
    [BD_SAMPLE_HOSTILE] = {"hostile", "sidedress", fill_hostile},
};

void bd_sample_card(bd_sample sample, bd_card *card)
{
    bd_card_init(card, samples[sample].job);
    if (samples[sample].fill != NULL)
        samples[sample].fill(card);
}

const char *bd_sample_name(bd_sample sample)
{
    return samples[sample].name;
}
