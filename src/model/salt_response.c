/*
 * Maas, E.V., Hoffman, G.J. (1977) Crop salt tolerance - current assessment.
 * J. Irrigation and Drainage Division, ASCE 103, 115-134.
 * Ayers, R.S., Westcot, D.W. (1985) Water quality for agriculture.  FAO
 * Irrigation and Drainage Paper 29 Rev. 1 (leaching requirement).
 */
#include "model/salt_response.h"

#include <math.h>
#include <stddef.h>

/* No crop falls from full yield to none within 1 dS/m. */
static const double steepest_slope = 1.0;
/* FAO 29: the drain of an ordinary irrigated profile stands near 5 ECe - ECw. */
static const double drain_factor = 5.0;

static bd_status want_from_zero(double x, const char *what, bd_error *err)
{
    if (x >= 0.0 && !isinf(x))
        return BD_OK;
    bd_fail(err, BD_RANGE, NULL, "%s '%g' is negative or not a number", what, x);
    bd_accepts(err, "a number of zero or more");
    return BD_RANGE;
}

static bd_status check_line(const bd_salt_line *line, bd_error *err)
{
    bd_status status = want_from_zero(line->threshold_ds_per_m, "the salt threshold", err);

    if (status != BD_OK)
        return status;
    if (line->slope_per_ds_per_m > 0.0 && line->slope_per_ds_per_m <= steepest_slope)
        return BD_OK;
    bd_fail(err, BD_RANGE, NULL, "a yield loss of '%g' per dS/m is not believable",
            line->slope_per_ds_per_m);
    bd_accepts(err, "a share above 0 and up to 1 per dS/m");
    return BD_RANGE;
}

bd_status bd_salt_line_between(double threshold_ds_per_m, double zero_ds_per_m, bd_salt_line *out,
                               bd_error *err)
{
    bd_salt_line line = {threshold_ds_per_m, 1.0 / (zero_ds_per_m - threshold_ds_per_m)};
    bd_status status = check_line(&line, err);

    if (status == BD_OK)
        *out = line;
    return status;
}

static double yield_at(const bd_salt_line *line, double ece)
{
    double loss = line->slope_per_ds_per_m * (ece - line->threshold_ds_per_m);

    return 1.0 - fmin(fmax(loss, 0.0), 1.0);
}

bd_status bd_salt_yield(const bd_salt_line *line, double ece_ds_per_m, double *yield, bd_error *err)
{
    bd_status status = check_line(line, err);

    if (status == BD_OK)
        status = want_from_zero(ece_ds_per_m, "the ECe", err);
    if (status == BD_OK)
        *yield = yield_at(line, ece_ds_per_m);
    return status;
}

bd_status bd_salt_yield_range(const bd_salt_line *line, bd_range ece_ds_per_m, bd_range *yield,
                              bd_error *err)
{
    bd_range y = {0.0, 0.0, 0.0};
    bd_status status = bd_salt_yield(line, ece_ds_per_m.high, &y.low, err);

    if (status == BD_OK)
        status = bd_salt_yield(line, ece_ds_per_m.typical, &y.typical, err);
    if (status == BD_OK)
        status = bd_salt_yield(line, ece_ds_per_m.low, &y.high, err);
    if (status == BD_OK)
        *yield = y;
    return status;
}

bd_status bd_salt_ece_at_yield(const bd_salt_line *line, double yield, double *ece_ds_per_m,
                               bd_error *err)
{
    bd_status status = check_line(line, err);

    if (status != BD_OK)
        return status;
    if (!(yield >= 0.0 && yield <= 1.0)) {
        bd_fail(err, BD_RANGE, NULL, "a relative yield of '%g' is not a share", yield);
        bd_accepts(err, "a share from 0 to 1");
        return BD_RANGE;
    }
    *ece_ds_per_m = line->threshold_ds_per_m + (1.0 - yield) / line->slope_per_ds_per_m;
    return BD_OK;
}

bd_status bd_leaching_requirement(double ecw_ds_per_m, double ece_ds_per_m, double *share,
                                  bd_error *err)
{
    bd_status status = want_from_zero(ecw_ds_per_m, "the water's conductivity", err);
    double drain = drain_factor * ece_ds_per_m - ecw_ds_per_m;

    if (status != BD_OK)
        return status;
    if (!(ece_ds_per_m > 0.0 && !isinf(ece_ds_per_m))) {
        bd_fail(err, BD_RANGE, NULL, "an ECe of '%g' dS/m cannot be held", ece_ds_per_m);
        bd_accepts(err, "a number above zero");
        return BD_RANGE;
    }
    if (!(ecw_ds_per_m < drain)) {
        bd_fail(err, BD_OUTSIDE, NULL, "water of '%g' dS/m is too salty to hold an ECe of %g dS/m",
                ecw_ds_per_m, ece_ds_per_m);
        bd_accepts(err, "water below %g dS/m", drain_factor / 2.0 * ece_ds_per_m);
        return BD_OUTSIDE;
    }
    *share = ecw_ds_per_m / drain;
    return BD_OK;
}

bd_status bd_leaching_applied(double use, double share, double *applied, bd_error *err)
{
    bd_status status = want_from_zero(use, "the crop's water use", err);

    if (status != BD_OK)
        return status;
    if (!(share >= 0.0 && share < 1.0)) {
        bd_fail(err, BD_RANGE, NULL, "a draining share of '%g' is not possible", share);
        bd_accepts(err, "a share from 0 to below 1");
        return BD_RANGE;
    }
    *applied = use / (1.0 - share);
    return BD_OK;
}

static bd_status scaled(double ec, bd_range factor, const char *what, bd_range *out, bd_error *err)
{
    bd_status status = want_from_zero(ec, "the conductivity", err);

    if (status != BD_OK)
        return status;
    if (!(factor.low >= 0.0 && factor.low <= factor.typical && factor.typical <= factor.high &&
          !isinf(factor.high))) {
        bd_fail(err, BD_RANGE, NULL, "%s '%g..%g..%g' is not a range", what, factor.low,
                factor.typical, factor.high);
        bd_accepts(err, "low, typical and high in rising order, none negative");
        return BD_RANGE;
    }
    *out = bd_range_scale(factor, ec);
    return BD_OK;
}

bd_status bd_salt_ece_under_water(double ecw_ds_per_m, bd_range factor, bd_range *ece_ds_per_m,
                                  bd_error *err)
{
    return scaled(ecw_ds_per_m, factor, "ECe over ECw of", ece_ds_per_m, err);
}

bd_status bd_salts_of_conductivity(double ec_ds_per_m, bd_range mg_per_l_per_ds, bd_range *mg_per_l,
                                   bd_error *err)
{
    return scaled(ec_ds_per_m, mg_per_l_per_ds, "salt per conductivity of", mg_per_l, err);
}
