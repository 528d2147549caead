#include <math.h>
#include <stdlib.h>

#include "model/solution_equations.h"

static const double ln_10 = 2.302585092994046;

/* One form of a component without partner: its amount is weight * a(component) * h^protons. */
typedef struct form {
    int component, charge, protons;
    double weight;
} form;

/* The forms of every component of the mix. */
typedef struct forms {
    form list[BD_SPECIES_MAX];
    int count;
} forms;

static forms list_forms(const bd_equations *s)
{
    forms f = {.count = 0};

    for (int i = 0; i < s->particle_count; i++) {
        const bd_particle *p = &s->particles[i];

        if (p->is_joined || p->terms[0].unknown == BD_HYDROGEN)
            continue;
        f.list[f.count++] = (form){p->terms[0].unknown, p->charge,
                                   p->term_count > 1 ? (int)lround(p->terms[1].count) : 0,
                                   exp(p->ln_k - s->ln_gamma[abs(p->charge)])};
    }
    return f;
}

static double power(double h, int n)
{
    double x = 1.0;

    for (int i = 0; i < abs(n); i++)
        x *= h;
    return n < 0 ? 1.0 / x : x;
}

/* How the amounts of a component's forms add up: per activity of the component. */
typedef struct shares {
    double amount[BD_COMPONENT_COUNT], charge[BD_COMPONENT_COUNT];
} shares;

static shares share_out(const forms *f, double h)
{
    shares sum = {.amount = {0.0}, .charge = {0.0}};

    for (int i = 0; i < f->count; i++) {
        double amount = f->list[i].weight * power(h, f->list[i].protons);

        sum.amount[f->list[i].component] += amount;
        sum.charge[f->list[i].component] += amount * f->list[i].charge;
    }
    return sum;
}

static double charge_at(const bd_equations *s, const forms *f, double h, double ion_product)
{
    shares sum = share_out(f, h);
    double charge = h - ion_product / h;

    for (int c = 0; c < BD_COMPONENT_COUNT; c++) {
        if (!s->is_present[c])
            continue;
        if (c == BD_COMPONENT_CO3 && s->is_open)
            charge += exp(s->x[c]) * sum.charge[c];
        else
            charge += s->total[c] * sum.charge[c] / sum.amount[c];
    }
    return charge;
}

/* ln of the activity of H+ at which the charges of the forms cancel, to a tenth of a pH. */
static double guess_hydrogen(const bd_equations *s, const forms *f)
{
    enum { HALVINGS = 7 };
    static const double rough_ion_product = 1e-14, highest_rough_ph = 14.0;
    double low = -ln_10 * highest_rough_ph, high = 0.0;

    for (int i = 0; i < HALVINGS; i++) {
        double middle = 0.5 * (low + high);

        if (charge_at(s, f, exp(middle), rough_ion_product) > 0.0)
            high = middle;
        else
            low = middle;
    }
    return 0.5 * (low + high);
}

/* As if ions of one or three charges stood with one (H2PO4-, HCO3-), and no pairs formed. */
static double guess_strength(const bd_equations *s)
{
    double sum = 0.0;

    for (int c = 0; c < BD_COMPONENT_COUNT; c++)
        sum += s->total[c] * (abs(bd_equations_master_charge(s, c)) == 2 ? 4.0 : 1.0);
    return 0.5 * sum;
}

void bd_equations_guess(bd_equations *s)
{
    forms f;
    shares sum;

    s->ionic_strength = guess_strength(s);
    bd_equations_update_gammas(s);
    f = list_forms(s);
    if (!s->has_ph)
        s->x[BD_HYDROGEN] = guess_hydrogen(s, &f);
    sum = share_out(&f, exp(s->x[BD_HYDROGEN]));
    for (int i = 0; i < s->solved_count; i++) {
        int c = s->solved[i];

        if (c != BD_HYDROGEN)
            s->x[c] = log(s->total[c] / sum.amount[c]);
    }
}
