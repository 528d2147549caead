#include <math.h>
#include <string.h>

#include "model/inputs.h"
#include "model/rounds.h"

/*
 * The linear programme of bd_shelf_choose.  Beside the products there is a column
 * for each nutrient that stands for what is not given of it.
 */
enum { SLACKS = BD_NPK_COUNT, COLUMNS_MAX = BD_SHELF_MAX + SLACKS, TIGHT_MAX = BD_NPK_COUNT };

/* Smaller than this, against the amounts at hand, counts as nothing. */
static const double nothing = 1e-9;

typedef enum bd_tight { IS_FREE, IS_LOW, IS_HIGH, TIGHT_WAYS } bd_tight;

typedef struct bd_problem {
    const bd_shelf_item *items;
    size_t count;
    double low[BD_NPK_COUNT], high[BD_NPK_COUNT];
    double scale; /* of the amounts, for what counts as nothing */
    bool has_found;
    bd_shelf_choice best;
    size_t best_products;
} bd_problem;

/* One corner to try: which bounds are tight, which columns are not zero. */
typedef struct bd_corner {
    bd_tight tight[BD_NPK_COUNT];
    size_t column[TIGHT_MAX];
    size_t size;
} bd_corner;

/* ---- a small system of equations ---- */

typedef struct bd_system {
    double a[TIGHT_MAX][TIGHT_MAX + 1]; /* the last column is the right-hand side */
    size_t size;
} bd_system;

static size_t pivot_row(const bd_system *s, size_t column)
{
    size_t best = column;

    for (size_t i = column + 1; i < s->size; i++)
        if (fabs(s->a[i][column]) > fabs(s->a[best][column]))
            best = i;
    return best;
}

static void swap_rows(bd_system *s, size_t i, size_t j)
{
    double row[TIGHT_MAX + 1];

    memcpy(row, s->a[i], sizeof row);
    memcpy(s->a[i], s->a[j], sizeof row);
    memcpy(s->a[j], row, sizeof row);
}

/* Gauss and Jordan with the largest pivot; false when the columns depend on one another. */
static bool solve(bd_system *s, double x[TIGHT_MAX])
{
    for (size_t c = 0; c < s->size; c++) {
        swap_rows(s, c, pivot_row(s, c));
        if (!(fabs(s->a[c][c]) > nothing))
            return false;
        for (size_t i = 0; i < s->size; i++) {
            double factor = s->a[i][c] / s->a[c][c];

            for (size_t j = c; i != c && j <= TIGHT_MAX; j++)
                s->a[i][j] -= factor * s->a[c][j];
        }
    }
    for (size_t c = 0; c < s->size; c++)
        x[c] = s->a[c][TIGHT_MAX] / s->a[c][c];
    return true;
}

/* ---- corners ---- */

/* What a column adds to the row of a nutrient; a shortfall fills its own lower bound only. */
static double entry(const bd_problem *p, const bd_corner *corner, int nutrient, size_t column)
{
    if (column < p->count)
        return p->items[column].share[nutrient];
    return (size_t)nutrient == column - p->count && corner->tight[nutrient] == IS_LOW ? 1.0 : 0.0;
}

static bd_system system_of(const bd_problem *p, const bd_corner *corner)
{
    bd_system s = {.size = 0};

    for (int n = 0; n < BD_NPK_COUNT; n++) {
        if (corner->tight[n] == IS_FREE)
            continue;
        for (size_t j = 0; j < corner->size; j++)
            s.a[s.size][j] = entry(p, corner, n, corner->column[j]);
        s.a[s.size][TIGHT_MAX] = corner->tight[n] == IS_LOW ? p->low[n] : p->high[n];
        s.size++;
    }
    return s;
}

static bd_shelf_choice choice_of(const bd_problem *p, const bd_corner *corner,
                                 const double x[TIGHT_MAX])
{
    bd_shelf_choice choice = {.price = 0.0};

    for (size_t j = 0; j < corner->size; j++) {
        size_t column = corner->column[j];
        double g = fmax(x[j], 0.0);

        if (column >= p->count) {
            choice.short_of[column - p->count] = g;
            continue;
        }
        choice.g[column] = g;
        choice.price += g * p->items[column].price_per_g;
        choice.load_ds_l_per_m += g * p->items[column].load_ds_l_per_m_per_g;
        for (int n = 0; n < BD_NPK_COUNT; n++)
            choice.gives[n] += g * p->items[column].share[n];
    }
    return choice;
}

static bool is_allowed(const bd_problem *p, const bd_corner *corner, const double x[TIGHT_MAX],
                       const bd_shelf_choice *choice)
{
    double slack = nothing * p->scale;

    for (size_t j = 0; j < corner->size; j++)
        if (!(x[j] >= -slack) || isinf(x[j]))
            return false;
    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (!(choice->gives[n] + choice->short_of[n] >= p->low[n] - slack &&
              choice->gives[n] <= p->high[n] + slack))
            return false;
    return true;
}

/* ---- which is better ---- */

static size_t products_in(const bd_problem *p, const bd_shelf_choice *choice)
{
    size_t n = 0;

    for (size_t i = 0; i < p->count; i++)
        n += choice->g[i] > nothing * p->scale ? 1U : 0U;
    return n;
}

static bool is_less(double a, double b)
{
    return a < b - nothing * (fabs(a) + fabs(b));
}

static double given_in_all(const bd_shelf_choice *c)
{
    double sum = 0.0;

    for (int n = 0; n < BD_NPK_COUNT; n++)
        sum += c->gives[n];
    return sum;
}

static bool is_better(const bd_problem *p, const bd_shelf_choice *a, const bd_shelf_choice *b)
{
    const double mine[] = {a->short_of[BD_NPK_K2O],  a->short_of[BD_NPK_N],
                           a->short_of[BD_NPK_P2O5], a->price,
                           a->load_ds_l_per_m,       given_in_all(a)};
    const double theirs[] = {b->short_of[BD_NPK_K2O],  b->short_of[BD_NPK_N],
                             b->short_of[BD_NPK_P2O5], b->price,
                             b->load_ds_l_per_m,       given_in_all(b)};

    for (size_t i = 0; i < sizeof mine / sizeof mine[0]; i++)
        if (is_less(mine[i], theirs[i]) || is_less(theirs[i], mine[i]))
            return mine[i] < theirs[i];
    return products_in(p, a) < p->best_products;
}

static void try_corner(bd_problem *p, const bd_corner *corner)
{
    bd_system s = system_of(p, corner);
    double x[TIGHT_MAX] = {0.0};
    bd_shelf_choice choice;

    if (!solve(&s, x))
        return;
    choice = choice_of(p, corner, x);
    if (!is_allowed(p, corner, x, &choice))
        return;
    if (p->has_found && !is_better(p, &choice, &p->best))
        return;
    p->has_found = true;
    p->best = choice;
    p->best_products = products_in(p, &choice);
}

/* Every set of `corner->size` columns from `from` on, the first `chosen` being settled. */
static void try_columns(bd_problem *p, bd_corner *corner, size_t chosen, size_t from)
{
    if (chosen == corner->size) {
        try_corner(p, corner);
        return;
    }
    for (size_t c = from; c < p->count + SLACKS; c++) {
        corner->column[chosen] = c;
        try_columns(p, corner, chosen + 1, c + 1);
    }
}

static bool can_be_tight(const bd_problem *p, int nutrient, bd_tight tight)
{
    return tight != IS_HIGH || !isinf(p->high[nutrient]);
}

/* Every way the bounds from `nutrient` on can be tight. */
static void try_bounds(bd_problem *p, bd_corner *corner, int nutrient)
{
    if (nutrient == BD_NPK_COUNT) {
        try_columns(p, corner, 0, 0);
        return;
    }
    for (int t = IS_FREE; t < TIGHT_WAYS; t++) {
        bool counts = t != IS_FREE;

        if (!can_be_tight(p, nutrient, (bd_tight)t))
            continue;
        corner->tight[nutrient] = (bd_tight)t;
        corner->size += counts ? 1U : 0U;
        try_bounds(p, corner, nutrient + 1);
        corner->size -= counts ? 1U : 0U;
    }
}

/* ---- the public face ---- */

static bool is_fine_item(const bd_shelf_item *item, bd_error *err)
{
    for (int n = 0; n < BD_NPK_COUNT; n++)
        if (!bd_input_is_between(item->share[n], 0.0, 1.0, "content of a product", "", err))
            return false;
    return bd_input_is_between(item->price_per_g, 0.0, BD_AMOUNT_MOST, "price", "", err) &&
           bd_input_is_between(item->load_ds_l_per_m_per_g, 0.0, BD_AMOUNT_MOST, "salt of a gram",
                               "dS/m * L", err);
}

static bool are_fine_bounds(const double to_give[BD_NPK_COUNT], const double most[BD_NPK_COUNT],
                            bd_error *err)
{
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        if (!bd_input_is_between(to_give[n], 0.0, BD_AMOUNT_MOST, "amount to give", "g", err))
            return false;
        if (!bd_input_is_between(most[n], to_give[n], HUGE_VAL, "most to give", "g", err))
            return false;
    }
    return true;
}

bd_status bd_shelf_choose(const bd_shelf_item *items, size_t count,
                          const double to_give[BD_NPK_COUNT], const double most[BD_NPK_COUNT],
                          bd_shelf_choice *out, bd_error *err)
{
    bd_problem p = {.items = items, .count = count, .scale = 0.0};
    bd_corner corner = {.size = 0};

    if (!bd_input_is_between((double)count, 1.0, BD_SHELF_MAX, "number of products", "", err) ||
        !are_fine_bounds(to_give, most, err))
        return BD_RANGE;
    for (size_t i = 0; i < count; i++)
        if (!is_fine_item(&items[i], err))
            return BD_RANGE;
    for (int n = 0; n < BD_NPK_COUNT; n++) {
        p.low[n] = to_give[n];
        p.high[n] = most[n];
        p.scale += to_give[n];
    }
    try_bounds(&p, &corner, 0);
    *out = p.best; /* giving nothing, all of it short, is always allowed */
    return BD_OK;
}
