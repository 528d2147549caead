/*
 * npk.h - nitrogen, phosphate and potash together, as labels and guides count them.
 *
 * May include: base/.  No stdio, no clock, no files.
 *
 * The three are N, P2O5 and K2O, always in this order; the unit is that of
 * whoever holds them, mostly g in one bag.
 */
#ifndef BD_MODEL_NPK_H
#define BD_MODEL_NPK_H

#include "base/range.h"

/* The order of bd_guide_rate.g_per_m2 and bd_removal.kg_per_t, too. */
enum { BD_NPK_N, BD_NPK_P2O5, BD_NPK_K2O, BD_NPK_COUNT };

typedef struct bd_npk {
    bd_range of[BD_NPK_COUNT];
} bd_npk;

/* "N", "P2O5", "K2O" */
static inline const char *bd_npk_name(int nutrient)
{
    static const char *const names[BD_NPK_COUNT] = {"N", "P2O5", "K2O"};

    return names[nutrient];
}

static inline bd_npk bd_npk_exactly(double n, double p2o5, double k2o)
{
    return (bd_npk){{bd_exactly(n), bd_exactly(p2o5), bd_exactly(k2o)}};
}

static inline bd_npk bd_npk_add(bd_npk a, bd_npk b)
{
    for (int i = 0; i < BD_NPK_COUNT; i++)
        a.of[i] = bd_range_add(a.of[i], b.of[i]);
    return a;
}

/* All three times a factor that is not negative. */
static inline bd_npk bd_npk_scale(bd_npk a, double by)
{
    for (int i = 0; i < BD_NPK_COUNT; i++)
        a.of[i] = bd_range_scale(a.of[i], by);
    return a;
}

#endif
