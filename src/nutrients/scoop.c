#include <ctype.h>
#include <string.h>

#include "nutrients/store.h"

static const double most_scoops = 1000.0; /* more is a slip of the keyboard */

/* A heap is whatever the hand made of it. */
static void refuse_heaps(const bd_node *at, const char *name)
{
    static const char *const words[] = {"heap", "Heap", "rounded", "Rounded"};

    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (strstr(name, words[i]) != NULL)
            bd_node_refuse(at, "name", BD_CONFLICT,
                           "a level scoop, struck off with a straight edge",
                           "'%.40s': no two heaps are alike", name);
}

static void check_count(const bd_node *at, double count)
{
    if (!(count >= 1.0 && count <= most_scoops) || count > (double)(long)count)
        bd_node_refuse(at, "level_scoops", BD_RANGE, "a whole number from 1 to 1000",
                       "not a number of scoops");
}

/* A material of the catalogue, or a product known by its label alone. */
static void read_product(bd_node *at, bd_own_scoop *scoop)
{
    bool has_material = bd_node_has(at, "material"), has_analysis = bd_node_has(at, "analysis");

    scoop->material = bd_node_text_or(at, "material", "");
    scoop->analysis = bd_node_text_or(at, "analysis", "");
    if (has_material == has_analysis)
        bd_node_refuse(at, NULL, has_material ? BD_CONFLICT : BD_MISSING,
                       "\"material\" for one the program knows, \"analysis\" for another label",
                       has_material ? "'material' stands beside 'analysis'"
                                    : "neither 'material' nor 'analysis' is given");
}

void bd_own_scoop_read(bd_node *at, void *scoop)
{
    bd_own_scoop *s = scoop;
    bd_node weigh;

    s->place = bd_node_place(at);
    read_product(at, s);
    s->name = bd_node_text(at, "name");
    refuse_heaps(at, s->name);
    s->level_scoops = bd_node_number(at, "level_scoops");
    check_count(at, s->level_scoops);
    if (bd_node_need(at, "weigh", &weigh))
        s->total_g = bd_node_own_figure(at, "weigh", BD_KIND_MASS);
    s->volume_l = bd_node_own_figure(at, "volume", BD_KIND_VOLUME);
    (void)bd_node_text_or(at, "note", "");
}

/* "2:3:4 (30)" and "2:3:4(30)" are one label. */
static bool is_same_label(const char *a, const char *b)
{
    for (;;) {
        while (isspace((unsigned char)*a))
            a++;
        while (isspace((unsigned char)*b))
            b++;
        if (*a != *b)
            return false;
        if (*a == '\0')
            return true;
        a++;
        b++;
    }
}

static bool is_of_same_product(const bd_catalogue *c, const bd_own_scoop *a, const bd_own_scoop *b)
{
    const bd_material *of_a = NULL, *of_b = NULL;

    if (*a->material == '\0' || *b->material == '\0')
        return *a->material == *b->material && is_same_label(a->analysis, b->analysis);
    return bd_catalogue_material(c, a->material, &of_a, NULL) == BD_OK &&
           bd_catalogue_material(c, b->material, &of_b, NULL) == BD_OK && of_a == of_b;
}

void bd_own_scoop_check(const bd_node *at, const bd_catalogue *c, const void *scoop)
{
    const bd_own_scoop *s = scoop, *others = c->lists[BD_LIST_SCOOPS].items;
    const bd_material *material = NULL;
    bd_error e = {.status = BD_OK};

    if (*s->material != '\0' && bd_catalogue_material(c, s->material, &material, &e) != BD_OK)
        bd_node_refuse(at, "material", e.status, e.accepts, "%s", e.text);
    for (size_t i = 0; i < c->lists[BD_LIST_SCOOPS].count; i++)
        if (is_of_same_product(c, s, &others[i]))
            bd_node_refuse(at, NULL, BD_CONFLICT, "one scoop for a product",
                           "a second scoop of '%.60s'",
                           *s->material != '\0' ? s->material : s->analysis);
}
