#include "nutrients/chemistry_read.h"

#include <math.h>
#include <string.h>

bd_chemistry_figure bd_chemistry_read_figure(bd_node *at, const char *key, const char *unit)
{
    bd_chemistry_figure f = {0.0, "", BD_TRUST_PRACTICE};
    bd_node node;

    if (!bd_node_get(at, key, &node))
        return f;
    f.value = bd_node_number(&node, "value");
    f.trust = bd_node_trust(&node, "status");
    f.source = bd_node_source(&node, "source", f.trust == BD_TRUST_PRACTICE);
    if (bd_node_ok(&node) && strcmp(bd_node_text(&node, "unit"), unit) != 0)
        (void)bd_node_fail(&node, "unit", BD_DIMENSION, "the unit of this is '%s'", unit);
    (void)bd_node_text_or(&node, "condition", "");
    (void)bd_node_text_or(&node, "note", "");
    bd_node_end(&node);
    return f;
}

static void read_terms(bd_node *at, bd_log_k *k)
{
    bd_node list;

    if (!bd_node_get(at, "analytic", &list) || !bd_node_array(&list))
        return;
    if (bd_node_count(&list) != BD_ANALYTIC_TERMS)
        (void)bd_node_fail(&list, NULL, BD_SYNTAX, "not an array of %d numbers", BD_ANALYTIC_TERMS);
    for (size_t i = 0; i < BD_ANALYTIC_TERMS && i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);

        k->terms[i] = bd_node_as_number(&item);
    }
    k->has_terms = true;
}

bd_log_k bd_chemistry_read_log_k(bd_node *at)
{
    bd_chemistry_figure value = bd_chemistry_read_figure(at, "log_k", "log10");
    bd_log_k k = {.at_25c = value.value, .source = value.source, .trust = value.trust};

    if (!bd_node_has(at, "log_k"))
        (void)bd_node_fail(at, NULL, BD_MISSING, "'log_k' is missing");
    k.enthalpy_kj_per_mol = bd_chemistry_read_figure(at, "enthalpy", "kJ/mol").value;
    read_terms(at, &k);
    return k;
}

typedef struct parts_reader {
    bd_species_part *parts;
    size_t count, room;
} parts_reader;

static void read_part(bd_node *member, void *to)
{
    parts_reader *r = to;
    double count = bd_node_as_number(member);

    if (!(count > 0.0) || r->count == r->room) {
        (void)bd_node_fail(member, NULL, BD_RANGE, "a count above 0 of at most %zu components",
                           r->room);
        return;
    }
    for (int c = 0; c < BD_COMPONENT_COUNT; c++) {
        if (strcmp(bd_component_name((bd_component)c), member->key) == 0) {
            r->parts[r->count++] = (bd_species_part){(bd_component)c, count};
            return;
        }
    }
    (void)bd_node_fail(member, NULL, BD_UNKNOWN, "no component of this name");
}

size_t bd_chemistry_read_parts(bd_node *at, bd_species_part *parts, size_t room)
{
    parts_reader r = {parts, 0, room};
    bd_node made_of;

    if (bd_node_get(at, "made_of", &made_of))
        bd_node_each(&made_of, read_part, &r);
    return r.count;
}

size_t bd_chemistry_find_species(const bd_chemistry *chemistry, const char *name)
{
    size_t i = 0;

    while (i < chemistry->species_count && strcmp(chemistry->species[i].name, name) != 0)
        i++;
    return i;
}

size_t bd_chemistry_need_species(const bd_node *at, const bd_chemistry *chemistry, const char *name)
{
    size_t i = bd_chemistry_find_species(chemistry, name);

    if (i == chemistry->species_count)
        (void)bd_node_fail(at, NULL, BD_UNKNOWN, "no species '%.40s'", name);
    return i;
}

/* Charge of a species from what it is made of: what the solver's balance rests on. */
int bd_chemistry_charge_of_parts(const bd_chemistry *chemistry, const bd_species_part *parts,
                                 size_t count, double protons)
{
    double charge = protons;

    for (size_t i = 0; i < count; i++)
        charge += parts[i].count * chemistry->species[chemistry->master[parts[i].component]].charge;
    return (int)lround(charge);
}

/* The records of a list that need the chemistry to be read; NULL when it is empty or failed. */
void *bd_chemistry_read_list(bd_node *root, const char *key, bd_chemistry *chemistry, size_t size,
                             void (*read)(bd_node *at, void *to), size_t *count)
{
    bd_node list;
    unsigned char *records;

    *count = 0;
    if (!bd_node_get(root, key, &list) || !bd_node_array(&list) || bd_node_count(&list) == 0)
        return NULL;
    records = bd_pool_get(root->load->pool, bd_node_count(&list) * size);
    if (records == NULL) {
        (void)bd_node_fail(&list, NULL, BD_MEMORY, "no memory left for this list");
        return NULL;
    }
    for (size_t i = 0; i < bd_node_count(&list); i++) {
        bd_node item = bd_node_item(&list, i);
        bd_chemistry_reading r = {chemistry, records + i * size};

        bd_node_record(&item, read, &r);
        *count += bd_node_ok(root) ? 1 : 0;
    }
    return records;
}
