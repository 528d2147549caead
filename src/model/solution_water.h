/*
 * solution_water.h - what pure water is like: density, viscosity, permittivity.
 *
 * May include: nothing of the project.  Arguments 0..60 degC, else the fits go
 * astray without a warning.
 */
#ifndef BD_MODEL_SOLUTION_WATER_H
#define BD_MODEL_SOLUTION_WATER_H

/*
 * Density of air-free water [kg/L].
 * Source   Kell 1975, J. Chem. Eng. Data 20 97: 0..150 degC.
 * Example  25 -> 0.99705
 */
double bd_water_density_kg_per_l(double temperature_c);

/*
 * Viscosity [mPa s].
 * Source   Kestin, Sokolov and Wakeham 1978, J. Phys. Chem. Ref. Data 7 941: fit to
 *          -8..150 degC, 1.002 mPa s at 20 degC.
 * Example  25 -> 0.890
 */
double bd_water_viscosity_mpa_s(double temperature_c);

/*
 * Permittivity relative to empty space.
 * Source   Malmberg and Maryott 1956, J. Res. Natl. Bur. Stand. 56 1: 0..100 degC.
 * Example  25 -> 78.30
 */
double bd_water_permittivity(double temperature_c);

#endif
