#include "model/solubility.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

static const double kelvin_at_0c = 273.15;

static double inverse_k(double temperature_c)
{
    return 1.0 / (temperature_c + kelvin_at_0c);
}

static const bd_solubility_point *last_point(const bd_solubility *curve)
{
    return &curve->points[curve->point_count - 1];
}

/* Share of the way from a to b, in 1/T. */
static double between(const bd_solubility_point *a, const bd_solubility_point *b, double x)
{
    return (inverse_k(x) - inverse_k(a->temperature_c)) /
           (inverse_k(b->temperature_c) - inverse_k(a->temperature_c));
}

static bool reaches(const bd_solubility *curve, double temperature_c)
{
    return curve->point_count > 0 && temperature_c >= curve->points[0].temperature_c &&
           temperature_c <= last_point(curve)->temperature_c;
}

static double on_curve(const bd_solubility *curve, double temperature_c)
{
    const bd_solubility_point *p = curve->points, *end = last_point(curve);
    double log_a, log_b;

    if (p == end)
        return p->g_per_100g_water;
    while (p + 1 < end && p[1].temperature_c < temperature_c)
        p++;
    log_a = log(p->g_per_100g_water);
    log_b = log(p[1].g_per_100g_water);
    return exp(log_a + (log_b - log_a) * between(p, p + 1, temperature_c));
}

static bd_status fail_outside(const bd_solubility *curve, double temperature_c, bd_error *err)
{
    (void)bd_fail(err, BD_OUTSIDE, NULL, "the solubility of '%.60s' is not known at %g degC",
                  curve->material, temperature_c);
    (void)bd_accepts(err, "%g to %g degC", curve->points[0].temperature_c,
                     last_point(curve)->temperature_c);
    return BD_OUTSIDE;
}

bd_status bd_solubility_at(const bd_solubility *curve, double temperature_c,
                           double *out_g_per_100g_water, bd_error *err)
{
    if (!isfinite(temperature_c))
        return bd_fail(err, BD_RANGE, NULL, "a temperature of %g", temperature_c);
    if (!reaches(curve, temperature_c))
        return fail_outside(curve, temperature_c, err);
    *out_g_per_100g_water = on_curve(curve, temperature_c);
    return BD_OK;
}

bd_status bd_solubility_strictest(const bd_solubility *curves, size_t count, const char *material,
                                  double temperature_c, double *out_g_per_100g_water,
                                  const bd_solubility **curve, bd_error *err)
{
    const bd_solubility *strictest = NULL, *any = NULL;

    for (size_t i = 0; i < count; i++) {
        if (strcmp(curves[i].material, material) != 0)
            continue;
        any = &curves[i];
        if (reaches(any, temperature_c) &&
            (strictest == NULL ||
             on_curve(any, temperature_c) < on_curve(strictest, temperature_c)))
            strictest = any;
    }
    if (any == NULL)
        return bd_fail(err, BD_MISSING, NULL, "no solubility is known of '%.60s'", material);
    if (strictest == NULL)
        return fail_outside(any, temperature_c, err);
    *out_g_per_100g_water = on_curve(strictest, temperature_c);
    if (curve != NULL)
        *curve = strictest;
    return BD_OK;
}

/* Temperature between two points at which the amount lies, when it lies between them. */
static double crossing(const bd_solubility_point *a, const bd_solubility_point *b, double amount)
{
    double share =
        log(amount / a->g_per_100g_water) / log(b->g_per_100g_water / a->g_per_100g_water);
    double inverse = inverse_k(a->temperature_c) +
                     share * (inverse_k(b->temperature_c) - inverse_k(a->temperature_c));

    return 1.0 / inverse - kelvin_at_0c;
}

bd_status bd_solubility_temperature_for(const bd_solubility *curve, double g_per_100g_water,
                                        double *out_temperature_c, bd_error *err)
{
    const bd_solubility_point *p = curve->points;

    if (!(g_per_100g_water > 0.0 && g_per_100g_water < HUGE_VAL))
        return bd_fail(err, BD_RANGE, NULL, "%g g in 100 g of water", g_per_100g_water);
    if (p->g_per_100g_water >= g_per_100g_water) {
        *out_temperature_c = p->temperature_c;
        return BD_OK;
    }
    for (size_t i = 1; i < curve->point_count; i++) {
        if (p[i].g_per_100g_water >= g_per_100g_water) {
            *out_temperature_c = crossing(&p[i - 1], &p[i], g_per_100g_water);
            return BD_OK;
        }
    }
    (void)bd_fail(err, BD_OUTSIDE, NULL,
                  "no water of up to %g degC dissolves %g g/100 g of '%.60s'",
                  last_point(curve)->temperature_c, g_per_100g_water, curve->material);
    (void)bd_accepts(err, "less of it, or more water");
    return BD_OUTSIDE;
}

double bd_solubility_g_per_100g(double g_per_l, double water_kg_per_l, double water_share)
{
    static const double g_per_kg = 1000.0, per_100g = 100.0;
    double poured_g_per_l = water_kg_per_l * g_per_kg - g_per_l * water_share;

    return poured_g_per_l > 0.0 ? per_100g * g_per_l / poured_g_per_l : HUGE_VAL;
}

double bd_solubility_in_mix(const double *mol_per_kg, const double *counts, size_t count,
                            double solubility_mol_per_kg)
{
    double log_share = 0.0, ions = 0.0;

    for (size_t i = 0; i < count; i++) {
        if (!(mol_per_kg[i] > 0.0))
            return 0.0;
        log_share += counts[i] * log(mol_per_kg[i] / (counts[i] * solubility_mol_per_kg));
        ions += counts[i];
    }
    return exp(log_share / ions);
}
