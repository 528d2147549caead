/*
 * The unit table against other people's figures: the program GNU units (Debian
 * package "units"), the printed figures of the acts and handbooks that define
 * the units, and conversions worked in extension leaflets.
 *
 * Sources of the printed figures
 *     HB44    NIST Handbook 44, Appendix C, General tables of units of measurement
 *     NISTK   NIST, equivalents of the common capacity units used in the kitchen
 *     SP430   NIST SP 430, Household weights and measures, 2004: rounded for the household
 *     WMA85   Weights and Measures Act 1985 (UK), section 1 and Schedule 1
 *     NSWH    New South Wales Health, metric cup and spoon sizes
 *     PNW     Pacific Northwest extension, 3785 mL to the US gallon
 *     DEFRA   Defra archive, Nitrate Vulnerable Zone guidance, N max worksheet, step 1 (WE-075)
 *     NMSU    R. Flynn, New Mexico State University Cooperative Extension, "Determining
 *             Amounts of Fertilizer for Small Areas", table 1 (WE-076)
 *     PEACE   D. Leonard, Peace Corps, "Soils, Crops and Fertilizer Use", 1986, chapter 9
 *             (WE-077)
 */
#include "support/cmocka_all.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/quantity.h"
#include "support/close.h"

#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

enum { LINE_SIZE = 160, NAME_SIZE = 32 };

/* ---- GNU units ------------------------------------------------------------ */

static const char *const names_of_units[] = {
#define BD_UNIT(names, of, per, numerator, denominator, zero, source) names,
#define BD_BARE(names, what, us, imperial, metric, australian)
#include "quantity/unit.def"
#undef BD_UNIT
#undef BD_BARE
};

static const struct theirs {
    const char *ours, *theirs; /* the same unit in unit.def and in GNU units */
    const char *our_base, *their_base;
} same[] = {
    {"g", "gram", "g", "g"},
    {"kg", "kilogram", "g", "g"},
    {"mg", "milligram", "g", "g"},
    {"ug", "microgram", "g", "g"},
    {"t", "tonne", "g", "g"},
    {"lb", "pound", "g", "g"},
    {"ozwt", "ounce", "g", "g"},
    {"USton", "shortton", "g", "g"},
    {"impton", "longton", "g", "g"},
    {"L", "liter", "m3", "m^3"},
    {"mL", "milliliter", "m3", "m^3"},
    {"uL", "microliter", "m3", "m^3"},
    {"cL", "centiliter", "m3", "m^3"},
    {"dL", "deciliter", "m3", "m^3"},
    {"hL", "hectoliter", "m3", "m^3"},
    {"m3", "meter^3", "m3", "m^3"},
    {"in3", "inch^3", "m3", "m^3"},
    {"ft3", "foot^3", "m3", "m^3"},
    {"yd3", "yard^3", "m3", "m^3"},
    {"USgal", "usgallon", "m3", "m^3"},
    {"USqt", "usquart", "m3", "m^3"},
    {"USpt", "uspint", "m3", "m^3"},
    {"UScup", "uscup", "m3", "m^3"},
    {"USfloz", "usfluidounce", "m3", "m^3"},
    {"UStbsp", "ustablespoon", "m3", "m^3"},
    {"UStsp", "usteaspoon", "m3", "m^3"},
    {"impgal", "brgallon", "m3", "m^3"},
    {"impqt", "brquart", "m3", "m^3"},
    {"imppt", "brpint", "m3", "m^3"},
    {"impfloz", "brfluidounce", "m3", "m^3"},
    {"metriccup", "metriccup", "m3", "m^3"},
    {"metrictbsp", "brtablespoon", "m3", "m^3"},
    {"metrictsp", "brteaspoon", "m3", "m^3"},
    {"AUcup", "metriccup", "m3", "m^3"},
    {"AUtbsp", "australiatablespoon", "m3", "m^3"},
    {"AUtsp", "australiateaspoon", "m3", "m^3"},
    {"m", "meter", "m", "m"},
    {"cm", "centimeter", "m", "m"},
    {"mm", "millimeter", "m", "m"},
    {"km", "kilometer", "m", "m"},
    {"in", "inch", "m", "m"},
    {"ft", "foot", "m", "m"},
    {"yd", "yard", "m", "m"},
    {"mi", "mile", "m", "m"},
    {"m2", "meter^2", "m2", "m^2"},
    {"cm2", "centimeter^2", "m2", "m^2"},
    {"ha", "hectare", "m2", "m^2"},
    {"in2", "inch^2", "m2", "m^2"},
    {"ft2", "foot^2", "m2", "m^2"},
    {"yd2", "yard^2", "m2", "m^2"},
    {"acre", "acre", "m2", "m^2"},
    {"s", "second", "s", "s"},
    {"min", "minute", "s", "s"},
    {"h", "hour", "s", "s"},
    {"d", "day", "s", "s"},
    {"week", "week", "s", "s"},
    {"month", "month", "s", "s"},
    {"mph", "mph", "m/s", "m/s"},
    {"kn", "knot", "m/s", "m/s"},
    {"kPa", "kilopascal", "Pa", "Pa"},
    {"hPa", "hectopascal", "Pa", "Pa"},
    {"Pa", "pascal", "Pa", "Pa"},
    {"MPa", "megapascal", "Pa", "Pa"},
    {"bar", "bar", "Pa", "Pa"},
    {"mbar", "millibar", "Pa", "Pa"},
    {"psi", "psi", "Pa", "Pa"},
    {"mmHg", "mmHg", "Pa", "Pa"},
    {"inHg", "inHg", "Pa", "Pa"},
    {"mol", "mole", "mol", "mol"},
    {"mmol", "millimole", "mol", "mol"},
    {"umol", "micromole", "mol", "mol"},
    {"S", "siemens", "S", "S"},
    {"dS", "decisiemens", "S", "S"},
    {"mS", "millisiemens", "S", "S"},
    {"uS", "microsiemens", "S", "S"},
    {"mho", "mho", "S", "S"},
    {"mmho", "millimho", "S", "S"},
    {"umho", "micromho", "S", "S"},
};

/* Temperatures are compared below; plants and bags are counted. */
static const char *const apart[] = {"degC", "degF", "K", "plant", "bag"};

static bool is_compared(const char *name)
{
    for (size_t i = 0; i < COUNT(same); i++)
        if (strcmp(name, same[i].ours) == 0)
            return true;
    for (size_t i = 0; i < COUNT(apart); i++)
        if (strcmp(name, apart[i]) == 0)
            return true;
    return false;
}

static void every_unit_is_compared(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(names_of_units); i++) {
        char name[NAME_SIZE];

        (void)snprintf(name, sizeof name, "%.*s", (int)strcspn(names_of_units[i], " "),
                       names_of_units[i]);
        if (!is_compared(name))
            fail_msg("'%s' of unit.def is not compared with GNU units", name);
    }
}

static double by_gnu_units(const char *from, const char *to)
{
    char command[LINE_SIZE], line[LINE_SIZE] = "", *end = line;
    FILE *answer;
    double x;

    (void)snprintf(command, sizeof command,
                   "LC_ALL=C units --terse --one-line --digits 15 '%s' '%s' 2>&1", from, to);
    answer = popen(command, "r");
    assert_non_null(answer);
    (void)fgets(line, sizeof line, answer);
    if (pclose(answer) != 0)
        fail_msg("no answer from GNU units, of the package \"units\", to '%s' in '%s': %s", from,
                 to, line);
    x = strtod(line, &end);
    if (end == line)
        fail_msg("GNU units answers '%s' to '%s' in '%s'", line, from, to);
    return x;
}

static double by_us(const char *text, const char *unit)
{
    bd_range got = {0, 0, 0};
    bd_error err = {0};

    if (bd_quantity_convert(text, unit, BD_MEASURES_NONE, &got, &err) != BD_OK)
        fail_msg("'%s' in '%s': %s", text, unit, err.text);
    return got.typical;
}

static void factors_agree_with_gnu_units(void **state)
{
    const double relative = 1e-9;

    (void)state;
    for (size_t i = 0; i < COUNT(same); i++) {
        char ours[LINE_SIZE], theirs[LINE_SIZE];
        double want;

        (void)snprintf(ours, sizeof ours, "1 %s", same[i].ours);
        (void)snprintf(theirs, sizeof theirs, "1 %s", same[i].theirs);
        want = by_gnu_units(theirs, same[i].their_base);
        assert_close(by_us(ours, same[i].our_base), want, relative * want);
    }
}

static const struct pair {
    const char *ours_from, *ours_to, *theirs_from, *theirs_to;
} compounds[] = {
    {"30 lb/100USgal", "g/L", "30 lb/(100 usgallon)", "g/liter"},
    {"3 lb/1000ft2", "kg/ha", "3 lb/(1000 ft^2)", "kg/hectare"},
    {"120 kg/ha", "lb/acre", "120 kg/hectare", "lb/acre"},
    {"2 ozwt/yd2", "g/m2", "2 oz/yard^2", "g/m^2"},
    {"1 ozwt/impgal", "g/L", "1 oz/brgallon", "g/liter"},
    {"10.69 lb/USgal", "kg/L", "10.69 lb/usgallon", "kg/liter"},
    {"1.3 mmho/cm", "dS/m", "1.3 millimho/cm", "decisiemens/m"},
    {"20 USgal/acre", "L/ha", "20 usgallon/acre", "liter/hectare"},
    {"0.2 USgal/min", "mL/s", "0.2 usgallon/min", "ml/s"},
    {"8 km/h", "mph", "8 km/hour", "mph"},
    {"77 F", "C", "tempF(77)", "tempC"},
    {"77 F", "K", "tempF(77)", "tempK"},
    {"-10 C", "F", "tempC(-10)", "tempF"},
    {"300 K", "F", "tempK(300)", "tempF"},
};

static void compound_units_agree_with_gnu_units(void **state)
{
    const double relative = 1e-9;

    (void)state;
    for (size_t i = 0; i < COUNT(compounds); i++) {
        const struct pair *p = &compounds[i];
        double want = by_gnu_units(p->theirs_from, p->theirs_to);

        assert_close(by_us(p->ours_from, p->ours_to), want, relative * fabs(want));
    }
}

/* ---- printed figures ------------------------------------------------------ */

/*
 * Tolerance: half the last digit printed, or for figures exact by definition
 * what double arithmetic loses.  `recomputed` differs from `printed` only where
 * the source errs by more than its own last digit, and the row says so.
 */
static const struct printed_row {
    const char *name, *text, *unit;
    double printed, recomputed, tolerance;
    const char *source;
} printed[] = {
    {"inch", "1 in3", "mL", 16.387064, 16.387064, 1e-13, "HB44, exact"},
    {"us_gallon", "1 USgal", "mL", 3785.411784, 3785.411784, 1e-11, "HB44, exact"},
    {"us_gallon/cubic_inches", "1 USgal", "in3", 231, 231, 1e-12, "HB44, exact"},
    {"us_gallon/rounded", "1 USgal", "mL", 3785, 3785, 0.5, "PNW"},
    {"us_quart", "1 USqt", "mL", 946.352946, 946.352946, 1e-11, "HB44, exact"},
    {"us_pint", "1 USpt", "mL", 473.176473, 473.176473, 1e-12, "HB44, exact"},
    {"us_cup", "1 UScup", "mL", 236.5882365, 236.5882365, 1e-12, "HB44, exact"},
    {"us_cup/rounded", "1 UScup", "mL", 237, 237, 0.5, "HB44"},
    {"us_fluid_ounce", "1 USfloz", "mL", 29.5735295625, 29.5735295625, 1e-13, "HB44, exact"},
    {"us_tablespoon", "1 UStbsp", "mL", 14.78676478125, 14.78676478125, 1e-13, "HB44, exact"},
    {"us_teaspoon", "1 UStsp", "mL", 4.92892159375, 4.92892159375, 1e-13, "HB44, exact"},
    {"us_gallon/fluid_ounces", "1 USgal", "USfloz", 128, 128, 1e-12, "HB44"},
    {"us_cup/fluid_ounces", "1 UScup", "USfloz", 8, 8, 1e-13, "HB44"},
    {"us_cup/tablespoons", "1 UScup", "UStbsp", 16, 16, 1e-13, "SP430"},
    {"us_fluid_ounce/tablespoons", "1 USfloz", "UStbsp", 2, 2, 1e-14, "SP430; NISTK"},
    {"us_fluid_ounce/teaspoons", "1 USfloz", "UStsp", 6, 6, 1e-14, "SP430; NISTK"},
    {"us_teaspoon/kitchen", "1 UStsp", "mL", 4.9, 4.9, 0.05, "NISTK"},
    {"us_tablespoon/kitchen", "1 UStbsp", "mL", 15, 15, 0.5, "NISTK"},
    {"us_fluid_ounce/kitchen", "1 USfloz", "mL", 30, 30, 0.5, "NISTK"},
    {"us_pint/kitchen", "1 USpt", "mL", 473, 473, 0.5, "NISTK"},
    {"us_quart/kitchen", "1 USqt", "mL", 946, 946, 0.5, "NISTK"},
    {"us_teaspoon/household", "1 UStsp", "mL", 5, 5, 0.5, "SP430, rounded to 1 mL"},
    {"us_tablespoon/household", "1 UStbsp", "mL", 15, 15, 0.5, "SP430, rounded to 1 mL"},
    {"us_fluid_ounce/household", "1 USfloz", "mL", 30, 30, 5, "SP430, rounded to 10 mL"},
    {"us_cup/household", "1 UScup", "mL", 240, 240, 5, "SP430, rounded to 10 mL"},
    {"us_pint/household", "1 USpt", "mL", 470, 470, 5, "SP430, rounded to 10 mL"},
    {"us_quart/household", "1 USqt", "mL", 950, 950, 5, "SP430, rounded to 10 mL"},
    {"imperial_fluid_ounce", "1 impfloz", "mL", 28.4130625, 28.4130625, 1e-13, "WMA85, exact"},
    {"imperial_pint", "1 imppt", "mL", 568.26125, 568.26125, 1e-12, "WMA85, exact"},
    {"imperial_pint/fluid_ounces", "1 imppt", "impfloz", 20, 20, 1e-13, "WMA85"},
    {"imperial_gallon", "1 impgal", "mL", 4546.09, 4546.09, 1e-11, "WMA85, exact"},
    {"imperial_gallon/fluid_ounces", "1 impgal", "impfloz", 160, 160, 1e-12, "WMA85"},
    {"imperial_gallon/us_gallons", "1 impgal", "USgal", 1.201, 1.201, 0.0005, "HB44 and WMA85"},
    {"pound", "1 lb", "g", 453.59237, 453.59237, 1e-12, "WMA85, exact"},
    {"australian_tablespoon", "1 AUtbsp", "mL", 20, 20, 1e-14, "NSWH"},
    {"australian_tablespoon/teaspoons", "1 AUtbsp", "AUtsp", 4, 4, 1e-14, "NSWH"},
    {"australian_teaspoon", "1 AUtsp", "mL", 5, 5, 1e-14, "NSWH"},
    {"australian_cup", "1 AUcup", "mL", 250, 250, 1e-13, "NSWH"},

    {"acres_to_hectares", "276 acre", "ha", 112, 112, 0.5, "DEFRA"},

    {"lb_per_acre/100_sq_ft/200", "200 lb/acre", "lb/100ft2", 0.46, 0.46, 0.005, "NMSU"},
    {"lb_per_acre/100_sq_ft/1000", "1000 lb/acre", "lb/100ft2", 2.3, 2.3, 0.05, "NMSU"},
    {"lb_per_acre/100_sq_ft/2000", "2000 lb/acre", "lb/100ft2", 4.59, 4.59, 0.005, "NMSU"},
    {"lb_per_acre/oz_100_sq_ft/200", "200 lb/acre", "oz/100ft2", 7, 7, 0.5, "NMSU"},
    {"lb_per_acre/oz_100_sq_ft/1000", "1000 lb/acre", "oz/100ft2", 37, 37, 0.5, "NMSU"},
    {"lb_per_acre/oz_100_sq_ft/2000", "2000 lb/acre", "oz/100ft2", 73, 73, 0.5, "NMSU"},
    {"lb_per_acre/1000_sq_ft/200", "200 lb/acre", "lb/1000ft2", 4.5625, 4.5625, 1.0 / 32,
     "NMSU, printed 4 lb 9 oz: half an ounce"},
    {"lb_per_acre/1000_sq_ft/1000", "1000 lb/acre", "lb/1000ft2", 22.9375, 22.9375, 1.0 / 32,
     "NMSU, printed 22 lb 15 oz: half an ounce"},
    {"lb_per_acre/1000_sq_ft/2000", "2000 lb/acre", "lb/1000ft2", 45.9375, 45.9375, 1.0 / 32,
     "NMSU, printed 45 lb 15 oz: half an ounce"},

    {"lb_per_acre/kg_per_ha", "1 lb/acre", "kg/ha", 1.12, 1.12, 0.005, "PEACE"},
    {"pound/rounded", "1 lb", "g", 454, 454, 0.5, "PEACE"},
    {"acre/printed_too_large", "1 acre", "m2", 4048, 4046.8564224, 5e-8,
     "PEACE prints 4,048 m2; 43560 square feet of 0.3048 m squared are 4,046.86"},
};

static void check_printed(void **state)
{
    const struct printed_row *r = *state;
    double got = by_us(r->text, r->unit);

    assert_close(got, r->recomputed, r->tolerance);
    if (fabs(r->printed - r->recomputed) > r->tolerance)
        print_message("%s: printed %g, recomputed %.6f\n", r->source, r->printed, got);
}

int main(void)
{
    struct CMUnitTest tests[COUNT(printed) + 3];
    size_t count = 0;

    tests[count++] = (struct CMUnitTest)cmocka_unit_test(every_unit_is_compared);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(factors_agree_with_gnu_units);
    tests[count++] = (struct CMUnitTest)cmocka_unit_test(compound_units_agree_with_gnu_units);
    for (size_t i = 0; i < COUNT(printed); i++)
        tests[count++] =
            (struct CMUnitTest){printed[i].name, check_printed, NULL, NULL, (void *)&printed[i]};
    return cmocka_run_group_tests_name("published units", tests, NULL, NULL);
}
