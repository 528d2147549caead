#include "model/solution_water.h"

#include <math.h>

double bd_water_density_kg_per_l(double temperature_c)
{
    double t = temperature_c;
    double kg_per_m3 =
        (999.83952 +
         t * (16.945176 +
              t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))))) /
        (1.0 + 16.879850e-3 * t);

    return kg_per_m3 / 1000.0;
}

double bd_water_viscosity_mpa_s(double temperature_c)
{
    static const double at_20c_mpa_s = 1.002;
    double below = 20.0 - temperature_c;
    double log_ratio =
        below / (temperature_c + 96.0) * (1.2364 - 1.37e-3 * below + 5.7e-6 * below * below);

    return at_20c_mpa_s * pow(10.0, log_ratio);
}

double bd_water_permittivity(double temperature_c)
{
    double t = temperature_c;

    return 87.740 - 0.40008 * t + 9.398e-4 * t * t - 1.410e-6 * t * t * t;
}
