/* Reading, refusing and converting quantities; every unit there and back. */
#include "support/cmocka_all.h"

#include <locale.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/nearest.h"
#include "quantity/quantity.h"
#include "support/close.h"

#define NONE   BD_MEASURES_NONE
#define US     BD_MEASURES_US
#define IMP    BD_MEASURES_IMPERIAL
#define METRIC BD_MEASURES_METRIC
#define AU     BD_MEASURES_AUSTRALIAN
#define EXACT  1e-14 /* of the value: a conversion rounds a few times, each by half of 2.2e-16 */

#define COUNT(a) (sizeof(a) / sizeof((a)[0]))

/* ---- what is read --------------------------------------------------------- */

static const struct read_row {
    const char *name, *text;
    bd_kind kind;
    bd_measures measures;
    double low, high, tolerance;
    const char *source;
} reads[] = {
    {"strength/plain", "2.5 g/L", BD_KIND_STRENGTH, NONE, 2.5, 2.5, 0, "SI"},
    {"strength/blanks_around_slash", " 2.5 g / L ", BD_KIND_STRENGTH, NONE, 2.5, 2.5, 0, "SI"},
    {"strength/number_below", "150 g/15L", BD_KIND_STRENGTH, NONE, 10, 10, 0, "150 / 15"},
    {"strength/half_a_spoon_of_grams", "1/2 g/L", BD_KIND_STRENGTH, NONE, 0.5, 0.5, 0, "1 / 2"},
    {"volume/one_and_a_half", "1 1/2 L", BD_KIND_VOLUME, NONE, 1.5, 1.5, 0, "1 + 1/2"},
    {"volume/three_quarters_joined", "3/4L", BD_KIND_VOLUME, NONE, 0.75, 0.75, 0, "3 / 4"},
    {"volume/range_of_fractions", "1/4..1 1/2 L", BD_KIND_VOLUME, NONE, 0.25, 1.5, 0, "ends"},
    {"strength/percent_is_w_v", "1.5 %", BD_KIND_STRENGTH, NONE, 15, 15, 0, "g per 100 mL"},
    {"strength/percent_w_v_said", "1.5 % w/v", BD_KIND_STRENGTH, NONE, 15, 15, 0, "g per 100 mL"},
    {"strength/ppm_is_mg_per_l", "200 ppm", BD_KIND_STRENGTH, NONE, 0.2, 0.2, 0, "mg/L"},
    {"strength/lb_per_100_us_gal", "30 lb/100USgal", BD_KIND_STRENGTH, NONE, 35.95, 35.95, 0.005,
     "header"},
    {"strength/prefix_with_blank", "30 lb / 100 US gallons", BD_KIND_STRENGTH, NONE, 35.95, 35.95,
     0.005, "header"},
    {"strength/gal_with_measures", "1 lb/gal", BD_KIND_STRENGTH, IMP, 99.776373, 99.776373, 5e-7,
     "453.59237 / 4.54609, by hand"},
    {"strength/oz_with_measures_is_weight", "1 oz/gal", BD_KIND_STRENGTH, US, 7.489152, 7.489152,
     5e-7, "28.349523125 / 3.785411784, by hand"},
    {"mass_fraction/percent_is_w_w", "1.5 %", BD_KIND_MASS_FRACTION, NONE, 0.015, 0.015, 0,
     "g per 100 g"},
    {"mass_fraction/ppm_is_mg_per_kg", "200 ppm", BD_KIND_MASS_FRACTION, NONE, 2e-4, 2e-4, 0,
     "mg/kg"},
    {"mass_fraction/g_per_kg", "8 g/kg", BD_KIND_MASS_FRACTION, NONE, 0.008, 0.008, 0, "SI"},
    {"mass_fraction/range", "0.3..0.8 %", BD_KIND_MASS_FRACTION, NONE, 0.003, 0.008, 0, "header"},
    {"mass_fraction/range_with_blanks", "0.3 .. 0.8%", BD_KIND_MASS_FRACTION, NONE, 0.003, 0.008, 0,
     "header"},
    {"mass_fraction/range_of_whole_numbers", "3..8 %", BD_KIND_MASS_FRACTION, NONE, 0.03, 0.08, 0,
     "header"},
    {"share/percent", "25 %", BD_KIND_SHARE, NONE, 0.25, 0.25, 0, "per hundred"},
    {"share/may_exceed_one", "125 %", BD_KIND_SHARE, NONE, 1.25, 1.25, 0, "per hundred"},
    {"humidity/percent", "55 %", BD_KIND_HUMIDITY, NONE, 0.55, 0.55, 0, "per hundred"},
    {"length/no_blank", "30cm", BD_KIND_LENGTH, NONE, 0.3, 0.3, 0, "SI"},
    {"length/inch", "12 in", BD_KIND_LENGTH, NONE, 0.3048, 0.3048, 0, "HB44: 2.54 cm"},
    {"length/exponent", "3e2 mm", BD_KIND_LENGTH, NONE, 0.3, 0.3, 0, "SI"},
    {"area/raised_two", "0.12 m\xC2\xB2", BD_KIND_AREA, NONE, 0.12, 0.12, 0, "SI"},
    {"area/hundred_sq_ft", "100 sq ft", BD_KIND_AREA, NONE, 9.290304, 9.290304, 5e-7, "0.3048^2"},
    {"mass/zero", "0 g", BD_KIND_MASS, NONE, 0, 0, 0, "header"},
    {"mass/no_whole_part", ".5 kg", BD_KIND_MASS, NONE, 500, 500, 0, "SI"},
    {"mass/oz_can_only_be_weight", "5 oz", BD_KIND_MASS, NONE, 141.747615625, 141.747615625, 1e-12,
     "453.59237 / 16 * 5, by hand"},
    {"mass/metric_ton", "1 ton", BD_KIND_MASS, METRIC, 1e6, 1e6, 0, "SI"},
    {"mass/us_ton", "1 ton", BD_KIND_MASS, US, 907184.74, 907184.74, 1e-9, "HB44: 2000 lb"},
    {"mass/imperial_ton", "1 ton", BD_KIND_MASS, IMP, 1016046.9088, 1016046.9088, 1e-9,
     "HB44: 2240 lb"},
    {"mass/australian_ton", "1 ton", BD_KIND_MASS, AU, 1e6, 1e6, 0, "tonne"},
    {"volume/us_gal", "1 gal", BD_KIND_VOLUME, US, 3.785411784, 3.785411784, 1e-15, "HB44"},
    {"volume/imperial_gal", "1 gallon", BD_KIND_VOLUME, IMP, 4.54609, 4.54609, 1e-15, "WMA85"},
    {"volume/metric_tbsp", "2 tablespoons", BD_KIND_VOLUME, METRIC, 0.03, 0.03, 1e-17, "15 mL"},
    {"volume/australian_tbsp", "2 tbsp", BD_KIND_VOLUME, AU, 0.04, 0.04, 1e-17, "NSWH: 20 mL"},
    {"volume/fluid_ounce_in_two_words", "1 fl oz", BD_KIND_VOLUME, IMP, 0.0284130625, 0.0284130625,
     1e-17, "WMA85"},
    {"volume/oz_with_measures", "1 oz", BD_KIND_VOLUME, US, 0.0295735295625, 0.0295735295625, 1e-16,
     "HB44"},
    {"volume/prefix_beats_measures", "1 USgal", BD_KIND_VOLUME, IMP, 3.785411784, 3.785411784,
     1e-15, "HB44"},
    {"mass_per_area/kg_per_ha", "120 kg/ha", BD_KIND_MASS_PER_AREA, NONE, 12, 12, 0, "SI"},
    {"mass_per_area/lb_per_1000_ft2", "3 lb/1000ft2", BD_KIND_MASS_PER_AREA, NONE, 14.6473, 14.6473,
     5e-5, "453.59237 * 3 / 92.90304, by hand"},
    {"mass_per_area/oz_per_100_ft2", "1 oz/100 ft2", BD_KIND_MASS_PER_AREA, NONE, 3.05152, 3.05152,
     5e-6, "28.349523 / 9.290304, by hand"},
    {"mass_per_length/g_per_m", "15 g/m", BD_KIND_MASS_PER_LENGTH, NONE, 15, 15, 0, "SI"},
    {"mass_per_plant", "0.5 g/plant", BD_KIND_MASS_PER_PLANT, NONE, 0.5, 0.5, 0, "counted"},
    {"mass_per_bag", "6 g/bag", BD_KIND_MASS_PER_BAG, NONE, 6, 6, 0, "counted"},
    {"volume_per_area", "60 mL/m2", BD_KIND_VOLUME_PER_AREA, NONE, 0.06, 0.06, 0, "SI"},
    {"volume_per_area/m3_per_ha", "50 m3/ha", BD_KIND_VOLUME_PER_AREA, NONE, 5, 5, 0, "SI"},
    {"volume_per_bag/pot_is_bag", "1.5 L/pot", BD_KIND_VOLUME_PER_BAG, NONE, 1.5, 1.5, 0,
     "counted"},
    {"volume_per_area/us_cups_as_labels_say_it", "2 UScup per 100 sq ft", BD_KIND_VOLUME_PER_AREA,
     NONE, 0.0509323, 0.0509323, 5e-8, "2 * 0.2365882365 / 9.290304, by hand"},
    {"volume_per_plant", "5 mL/plant", BD_KIND_VOLUME_PER_PLANT, NONE, 0.005, 0.005, 0, "SI"},
    {"volume_per_plant/tablespoon", "1 tbsp per plant", BD_KIND_VOLUME_PER_PLANT, AU, 0.02, 0.02, 0,
     "NSWH: 20 mL"},
    {"density/lb_per_us_gal", "10.69 lb/USgal", BD_KIND_DENSITY, NONE, 1.28094, 1.28094, 5e-6,
     "453.59237 * 10.69 / 3785.411784, by hand"},
    {"conductivity/ds_per_m", "1.3 dS/m", BD_KIND_CONDUCTIVITY, NONE, 1.3, 1.3, 0, "SI"},
    {"conductivity/ms_per_cm_is_the_same", "1.3 mS/cm", BD_KIND_CONDUCTIVITY, NONE, 1.3, 1.3, 3e-16,
     "SI"},
    {"conductivity/micro_sign", "1300 \xC2\xB5S/cm", BD_KIND_CONDUCTIVITY, NONE, 1.3, 1.3, 3e-16,
     "SI"},
    {"conductivity/greek_mu", "1300 \xCE\xBCS/cm", BD_KIND_CONDUCTIVITY, NONE, 1.3, 1.3, 3e-16,
     "SI"},
    {"conductivity/mmho_per_cm", "1.3 mmho/cm", BD_KIND_CONDUCTIVITY, NONE, 1.3, 1.3, 3e-16,
     "SP811"},
    {"temperature/fahrenheit", "77 F", BD_KIND_TEMPERATURE, NONE, 25, 25, 0, "(77 - 32) * 5 / 9"},
    {"temperature/celsius", "25 C", BD_KIND_TEMPERATURE, NONE, 25, 25, 0, "SI"},
    {"temperature/deg_c", "25 degC", BD_KIND_TEMPERATURE, NONE, 25, 25, 0, "SI"},
    {"temperature/degree_sign",
     "25 \xC2\xB0"
     "C",
     BD_KIND_TEMPERATURE, NONE, 25, 25, 0, "SI"},
    {"temperature/negative_is_fine", "-40 F", BD_KIND_TEMPERATURE, NONE, -40, -40, 0, "-40 F = C"},
    {"temperature/minus_sign",
     "\xE2\x88\x92"
     "5 C",
     BD_KIND_TEMPERATURE, NONE, -5, -5, 0, "header"},
    {"temperature/absolute_zero", "-459.67 F", BD_KIND_TEMPERATURE, NONE, -273.15, -273.15, 1e-12,
     "SI"},
    {"speed/km_per_h", "36 km/h", BD_KIND_SPEED, NONE, 10, 10, 0, "SI"},
    {"speed/mph", "10 mph", BD_KIND_SPEED, NONE, 4.4704, 4.4704, 1e-15, "1609.344 / 3600 * 10"},
    {"pressure/atmosphere_in_hpa", "1013.25 hPa", BD_KIND_PRESSURE, NONE, 101.325, 101.325, 2e-14,
     "SI"},
    {"flow/ml_per_s", "10 mL/s", BD_KIND_FLOW, NONE, 0.6, 0.6, 2e-16, "SI"},
    {"water_depth_rate", "5 mm/d", BD_KIND_WATER_DEPTH_RATE, NONE, 5, 5, 1e-15, "SI"},
    {"molarity", "2.5 mmol/L", BD_KIND_MOLARITY, NONE, 2.5, 2.5, 0, "SI"},
    {"time/two_weeks", "2 weeks", BD_KIND_TIME, NONE, 14, 14, 0, "7 days"},
};

static void check_read(void **state)
{
    const struct read_row *r = *state;
    bd_range got = {-1, -1, -1};
    bd_error err = {0};

    if (bd_quantity_read(r->text, r->kind, r->measures, &got, &err) != BD_OK)
        fail_msg("'%s' refused: %s (%s)", r->text, err.text, err.accepts);
    assert_int_equal(err.status, BD_OK);
    assert_close(got.low, r->low, r->tolerance);
    assert_close(got.high, r->high, r->tolerance);
    assert_close(got.typical, (r->low + r->high) / 2, r->tolerance + 1e-17);
}

/* ---- what is refused ------------------------------------------------------ */

static const struct refusal_row {
    const char *name, *text;
    bd_kind kind;
    bd_measures measures;
    bd_status status;
    const char *says, *accepts; /* parts of the message */
} refusals[] = {
    {"mass_for_length", "5 g", BD_KIND_LENGTH, NONE, BD_DIMENSION, "'5 g' is a mass, not a length",
     "a length, such as '30 cm'"},
    {"volume_per_area_for_length", "60 mL/m2", BD_KIND_LENGTH, NONE, BD_DIMENSION,
     "a volume per area", "30 cm"},
    {"length_for_volume_per_area", "5 mm", BD_KIND_VOLUME_PER_AREA, NONE, BD_DIMENSION, "a length",
     "60 mL/m2"},
    {"volume_per_plant_for_volume_per_bag", "5 mL/plant", BD_KIND_VOLUME_PER_BAG, NONE,
     BD_DIMENSION, "a volume per plant, not a volume per bag", "1.5 L/bag"},
    {"mass_per_plant_for_volume_per_plant", "5 g/plant", BD_KIND_VOLUME_PER_PLANT, NONE,
     BD_DIMENSION, "a mass per plant, not a volume per plant", "5 mL/plant"},
    {"per_and_nothing", "5 mL per", BD_KIND_VOLUME_PER_PLANT, NONE, BD_UNKNOWN, "'mL per'", ""},
    {"volume_per_volume_for_mass_fraction", "5 mL/L", BD_KIND_MASS_FRACTION, NONE, BD_DIMENSION,
     "a volume per volume", "0.8 %"},
    {"w_v_for_mass_fraction", "1 % w/v", BD_KIND_MASS_FRACTION, NONE, BD_DIMENSION, "a strength",
     "0.8 %"},
    {"w_w_for_strength", "1 % w/w", BD_KIND_STRENGTH, NONE, BD_DIMENSION, "a mass per mass",
     "2.5 g/L"},
    {"percent_for_density", "10 %", BD_KIND_DENSITY, NONE, BD_DIMENSION, "a share", "1.15 kg/L"},
    {"ppm_for_humidity", "5 ppm", BD_KIND_HUMIDITY, NONE, BD_DIMENSION, "parts per million",
     "55 %"},
    {"mass_per_plant_for_mass_per_bag", "5 g/plant", BD_KIND_MASS_PER_BAG, NONE, BD_DIMENSION,
     "a mass per plant, not a mass per bag", "g/bag"},
    {"decimal_comma", "2,5 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "','", "2.5"},
    {"thousands_comma", "1,500 g", BD_KIND_MASS, NONE, BD_SYNTAX, "','", "1500"},
    {"thousands_blank", "1 500 g", BD_KIND_MASS, NONE, BD_SYNTAX, "second number", "1500"},
    {"two_points", "1.500.000 g", BD_KIND_MASS, NONE, BD_SYNTAX, "second number", "1500"},
    {"fraction_of_no_spoon", "1/7 lb", BD_KIND_MASS, NONE, BD_SYNTAX, "fraction", "0.5"},
    {"fraction_over_one", "3/2 lb", BD_KIND_MASS, NONE, BD_SYNTAX, "fraction", "1 1/2"},
    {"fraction_of_a_hundred", "5/100 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "fraction", "0.5"},
    {"fraction_of_nothing", "0/2 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "fraction", "0.5"},
    {"fraction_below_zero", "-1/2 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "fraction", "0.5"},
    {"fraction_twice", "1/2/2 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "fraction", "0.5"},
    {"fraction_behind_a_decimal", "1.5 1/2 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "second number",
     "1500"},
    {"fraction_behind_a_comma", "1,5 1/2 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "','", "2.5"},
    {"fraction_with_a_comma", "1/2,5 L", BD_KIND_VOLUME, NONE, BD_SYNTAX, "fraction", "0.5"},
    {"dash_for_range", "5-6 g", BD_KIND_MASS, NONE, BD_SYNTAX, "dash", "0.3..0.8"},
    {"en_dash_for_range",
     "5\xE2\x80\x93"
     "6 g",
     BD_KIND_MASS, NONE, BD_SYNTAX, "dash", "0.3..0.8"},
    {"three_points", "0.3...0.8 g", BD_KIND_MASS, NONE, BD_SYNTAX, "three points", "0.3..0.8"},
    {"unit_twice", "5 g..6 g", BD_KIND_MASS, NONE, BD_SYNTAX, "'..'", "once"},
    {"range_downwards", "6..5 g", BD_KIND_MASS, NONE, BD_RANGE, "downwards", "smaller"},
    {"range_open", "5.. g", BD_KIND_MASS, NONE, BD_SYNTAX, "not a number", ""},
    {"no_unit", "5", BD_KIND_MASS, NONE, BD_SYNTAX, "no unit", "5 g"},
    {"no_number", "g", BD_KIND_MASS, NONE, BD_SYNTAX, "not a number", ""},
    {"empty", "", BD_KIND_MASS, NONE, BD_SYNTAX, "empty", "5 g"},
    {"blank", " \t ", BD_KIND_MASS, NONE, BD_SYNTAX, "empty", "5 g"},
    {"nan", "nan g", BD_KIND_MASS, NONE, BD_SYNTAX, "not a number", ""},
    {"infinity", "inf g", BD_KIND_MASS, NONE, BD_SYNTAX, "not a number", ""},
    {"hexadecimal", "0x10 g", BD_KIND_MASS, NONE, BD_UNKNOWN, "'x10 g'", "5 g"},
    {"negative", "-5 g", BD_KIND_MASS, NONE, BD_RANGE, "negative", "zero or more"},
    {"negative_low_end", "-1..5 g", BD_KIND_MASS, NONE, BD_RANGE, "negative", "zero or more"},
    {"overflow", "1e400 g", BD_KIND_MASS, NONE, BD_RANGE, "too large", ""},
    {"too_large", "1e16 g", BD_KIND_MASS, NONE, BD_RANGE, "too large", ""},
    {"too_large_once_converted", "1e14 kg", BD_KIND_MASS, NONE, BD_RANGE, "too large", ""},
    {"below_absolute_zero", "-300 C", BD_KIND_TEMPERATURE, NONE, BD_RANGE, "absolute zero", ""},
    {"humidity_over_whole", "155 %", BD_KIND_HUMIDITY, NONE, BD_RANGE, "more than the whole",
     "100 %"},
    {"mass_fraction_over_whole", "99..101 %", BD_KIND_MASS_FRACTION, NONE, BD_RANGE,
     "more than the whole", "100 %"},
    {"rubbish_behind", "5 g!", BD_KIND_MASS, NONE, BD_UNKNOWN, "'g!'", "g"},
    {"misspelt", "5 litrs", BD_KIND_VOLUME, NONE, BD_UNKNOWN, "'litrs'", "litre"},
    {"wrong_case", "5 KG", BD_KIND_MASS, NONE, BD_UNKNOWN, "'KG'", "kg"},
    {"nothing_near", "5 xyzzy", BD_KIND_MASS, NONE, BD_UNKNOWN, "'xyzzy'", "5 g"},
    {"blank_inside", "5 k g", BD_KIND_MASS, NONE, BD_UNKNOWN, "'k g'", ""},
    {"power_of_ten_is_not_a_digit", "10\xC2\xB3 g", BD_KIND_MASS, NONE, BD_UNKNOWN, "", ""},
    {"zero_below", "5 g/0L", BD_KIND_STRENGTH, NONE, BD_RANGE, "'/'", "2.5 g/L"},
    {"negative_below", "5 g/-1L", BD_KIND_STRENGTH, NONE, BD_RANGE, "'/'", "2.5 g/L"},
    {"nothing_below", "5 g/", BD_KIND_STRENGTH, NONE, BD_SYNTAX, "'g/'", "g/L"},
    {"number_only_below", "5 g/15", BD_KIND_STRENGTH, NONE, BD_SYNTAX, "'g/15'", "g/L"},
    {"two_slashes", "5 g/L/d", BD_KIND_STRENGTH, NONE, BD_SYNTAX, "'g/L/d'", "g/L"},
    {"per_degree", "5 g/C", BD_KIND_STRENGTH, NONE, BD_SYNTAX, "'g/C'", "g/L"},
    {"bare_gal", "1 gal", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "'gal'", "impgal (4546 mL)"},
    {"bare_gallon_below", "1 lb/100 gallons", BD_KIND_STRENGTH, NONE, BD_AMBIGUOUS, "'gallons'",
     "USgal (3785 mL)"},
    {"bare_quart", "1 quart", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "quart", "USqt"},
    {"bare_pint", "1 pint", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "pint", "imppt"},
    {"bare_cup", "1 cup", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "cup", "metriccup (250 mL)"},
    {"bare_tablespoon", "1 tablespoon", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "tablespoon",
     "AUtbsp (20 mL)"},
    {"bare_teaspoon", "1 tsp", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "'tsp'", "UStsp"},
    {"bare_fluid_ounce", "1 fl oz", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "'fl oz'", "USfloz"},
    {"bare_ton", "1 ton", BD_KIND_MASS, NONE, BD_AMBIGUOUS, "'ton'", "impton (1016 kg)"},
    {"bare_oz_of_volume", "1 oz", BD_KIND_VOLUME, NONE, BD_AMBIGUOUS, "'oz'", "USfloz"},
    {"bare_oz_in_solution", "1 oz/USgal", BD_KIND_STRENGTH, NONE, BD_AMBIGUOUS,
     "weight or a fluid ounce", "ozwt"},
    {"bare_oz_below", "1 g/oz", BD_KIND_STRENGTH, NONE, BD_AMBIGUOUS, "'oz'", "USfloz"},
    {"metric_oz_in_solution", "1 oz/USgal", BD_KIND_STRENGTH, METRIC, BD_AMBIGUOUS, "'oz'", "ozwt"},
    {"no_metric_gallon", "1 gal", BD_KIND_VOLUME, METRIC, BD_UNKNOWN, "no metric gallon", "USgal"},
    {"no_australian_gallon", "1 gal", BD_KIND_VOLUME, AU, BD_UNKNOWN, "no Australian gallon",
     "impgal"},
    {"no_imperial_tablespoon", "1 imptbsp", BD_KIND_VOLUME, NONE, BD_UNKNOWN,
     "no imperial tablespoon", "UStbsp"},
};

static void assert_says(const char *message, const char *part)
{
    if (strstr(message, part) == NULL)
        fail_msg("\"%s\" does not say \"%s\"", message, part);
}

static void check_refusal(void **state)
{
    const struct refusal_row *r = *state;
    bd_range got = {-1, -1, -1};
    bd_error err = {0};

    assert_int_equal(bd_quantity_read(r->text, r->kind, r->measures, &got, &err), r->status);
    assert_int_equal(err.status, r->status);
    assert_says(err.text, r->says);
    assert_says(err.accepts, r->accepts);
    assert_true(err.text[0] != '\0' && err.accepts[0] != '\0');
    assert_close(got.low, -1, 0);
    assert_int_equal(bd_quantity_read(r->text, r->kind, r->measures, &got, NULL), r->status);
}

static void over_long_text_is_refused(void **state)
{
    char text[4001];
    bd_range got;
    bd_error err = {0};

    (void)state;
    memset(text, '1', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    assert_int_equal(bd_quantity_read(text, BD_KIND_MASS, NONE, &got, &err), BD_SYNTAX);
    assert_says(err.text, "too long");
    memset(text, 'g', sizeof text - 1);
    text[0] = '1';
    text[100] = '\0';
    err = (bd_error){0};
    assert_int_equal(bd_quantity_read(text, BD_KIND_MASS, NONE, &got, &err), BD_UNKNOWN);
}

static void zero_is_refused_where_it_must_be_positive(void **state)
{
    static const char *const nothing[] = {"0 L", "-0 L", "0..5 L"};
    bd_range got = {-1, -1, -1};

    (void)state;
    for (size_t i = 0; i < COUNT(nothing); i++) {
        bd_error err = {0};

        assert_int_equal(bd_quantity_read_positive(nothing[i], BD_KIND_VOLUME, NONE, &got, &err),
                         BD_RANGE);
        assert_says(err.text, "not above zero");
        assert_close(got.low, -1, 0);
    }
    assert_int_equal(bd_quantity_read_positive("0.1 mL", BD_KIND_VOLUME, NONE, &got, NULL), BD_OK);
    assert_close(got.typical, 1e-4, 1e-19);
    assert_int_equal(bd_quantity_read_positive("1 g", BD_KIND_VOLUME, NONE, &got, NULL),
                     BD_DIMENSION);
}

static void the_first_error_is_kept(void **state)
{
    bd_error err = {0};
    bd_range got;

    (void)state;
    assert_int_equal(bd_quantity_read("5 g", BD_KIND_LENGTH, NONE, &got, &err), BD_DIMENSION);
    assert_int_equal(bd_quantity_read("5 gal", BD_KIND_VOLUME, NONE, &got, &err), BD_AMBIGUOUS);
    assert_int_equal(err.status, BD_DIMENSION);
    assert_says(err.text, "5 g");
}

/* ---- conversions ---------------------------------------------------------- */

static const struct convert_row {
    const char *name, *text, *unit;
    bd_measures measures;
    bd_status status;
    double want, tolerance;
} conversions[] = {
    {"lb_per_100_us_gal_to_g_per_l", "30 lb/100USgal", "g/L", NONE, BD_OK, 35.95, 0.005},
    {"number_in_the_wanted_unit", "35.947928 g/L", "lb/100 US gal", NONE, BD_OK, 30, 5e-7},
    {"fahrenheit_to_celsius", "77 F", "C", NONE, BD_OK, 25, 0},
    {"celsius_to_fahrenheit", "-40 C", "degF", NONE, BD_OK, -40, 0},
    {"celsius_to_kelvin", "0 C", "K", NONE, BD_OK, 273.15, 0},
    {"ppm_settled_by_solution", "200 ppm", "g/L", NONE, BD_OK, 0.2, 0},
    {"ppm_settled_by_solid", "200 ppm", "g/kg", NONE, BD_OK, 0.2, 0},
    {"percent_settled_by_solution", "1 %", "g/L", NONE, BD_OK, 10, 0},
    {"percent_wanted", "10 g/L", "%", NONE, BD_OK, 1, 0},
    {"percent_w_v_in_ppm", "1 % w/v", "ppm", NONE, BD_OK, 10000, 0},
    {"percent_unsettled", "1 %", "ppm", NONE, BD_AMBIGUOUS, 0, 0},
    {"percent_of_length", "1 %", "m", NONE, BD_DIMENSION, 0, 0},
    {"depth_is_volume_per_area", "5 mm", "L/m2", NONE, BD_OK, 5, 0},
    {"volume_per_area_is_depth", "50 m3/ha", "mm", NONE, BD_OK, 5, 0},
    {"length_is_no_area", "5 m", "m2", NONE, BD_DIMENSION, 0, 0},
    {"volume_per_volume_is_no_share_by_mass", "5 mL/L", "g/kg", NONE, BD_DIMENSION, 0, 0},
    {"mass_is_no_length", "5 g", "m", NONE, BD_DIMENSION, 0, 0},
    {"oz_settled_by_mass", "16 oz", "lb", NONE, BD_OK, 1, 0},
    {"oz_wanted_settled_by_mass", "1 lb", "oz", NONE, BD_OK, 16, 0},
    {"oz_of_volume", "1 oz", "mL", NONE, BD_AMBIGUOUS, 0, 0},
    {"oz_of_volume_with_measures", "1 oz", "mL", US, BD_OK, 29.5735295625, 1e-13},
    {"oz_wanted_of_volume_with_measures", "500 mL", "oz", US, BD_OK, 16.907011, 5e-7},
    {"oz_both", "1 oz", "oz", NONE, BD_AMBIGUOUS, 0, 0},
    {"bare_gal_wanted", "1 L", "gal", NONE, BD_AMBIGUOUS, 0, 0},
    {"range", "1..3 kg", "g", NONE, BD_OK, 2000, 0},
    {"negative_mass", "-1 kg", "g", NONE, BD_RANGE, 0, 0},
    {"unknown_unit", "1 kg", "stone", NONE, BD_UNKNOWN, 0, 0},
    {"empty_unit", "1 kg", "", NONE, BD_SYNTAX, 0, 0},
    {"unit_with_number", "1 kg", "2 g", NONE, BD_UNKNOWN, 0, 0},
    {"too_large_in_the_end", "1e10 t", "ug", NONE, BD_RANGE, 0, 0},
};

static void check_conversion(void **state)
{
    const struct convert_row *r = *state;
    bd_range got = {-1, -1, -1};
    bd_error err = {0};
    bd_status status = bd_quantity_convert(r->text, r->unit, r->measures, &got, &err);

    if (status != r->status)
        fail_msg("'%s' in '%s': status %d, wanted %d: %s", r->text, r->unit, (int)status,
                 (int)r->status, err.text);
    assert_int_equal(err.status, r->status);
    assert_close(got.typical, status == BD_OK ? r->want : -1, r->tolerance);
}

static const struct unit_names {
    const char *names, *base;
} all_units[] = {
#define BASE_MASS                                                     "g"
#define BASE_VOLUME                                                   "m3"
#define BASE_LENGTH                                                   "m"
#define BASE_AREA                                                     "m2"
#define BASE_TIME                                                     "s"
#define BASE_TEMPERATURE                                              "degC"
#define BASE_PRESSURE                                                 "Pa"
#define BASE_AMOUNT                                                   "mol"
#define BASE_CONDUCTANCE                                              "S"
#define BASE_PLANT                                                    "plant"
#define BASE_BAG                                                      "bag"
#define PER_NONE                                                      ""
#define PER_TIME                                                      "/s"
#define BD_UNIT(names, of, per, numerator, denominator, zero, source) {names, BASE_##of PER_##per},
#define BD_BARE(names, what, us, imperial, metric, australian)
#include "quantity/unit.def"
#undef BD_UNIT
#undef BD_BARE
};

enum { NAME_SIZE = 64 };

static double converted(double x, const char *from, const char *to)
{
    char text[2 * NAME_SIZE];
    bd_range got = {0, 0, 0};
    bd_error err = {0};

    (void)snprintf(text, sizeof text, "%.17g %s", x, from);
    if (bd_quantity_convert(text, to, NONE, &got, &err) != BD_OK)
        fail_msg("'%s' in '%s': %s", text, to, err.text);
    return got.typical;
}

/* Copies the next name of a list, with what an underscore stands for. */
static bool next_name(const char **list, char name[NAME_SIZE], char blank)
{
    size_t n = 0;

    *list += strspn(*list, " ");
    for (; **list != '\0' && **list != ' '; (*list)++)
        if (**list != '_' || blank != '\0')
            name[n++] = **list == '_' ? blank : **list;
    name[n] = '\0';
    return n > 0;
}

static void check_names(const struct unit_names *unit, const char *first, char blank)
{
    const char *list = unit->names;
    char name[NAME_SIZE];

    while (next_name(&list, name, blank)) {
        double want = converted(0.7, first, unit->base);

        assert_close(converted(0.7, name, unit->base), want, 0);
        assert_close(converted(want, unit->base, name), 0.7, 1e-12);
    }
}

static void every_unit_goes_there_and_back_under_all_its_names(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(all_units); i++) {
        const char *list = all_units[i].names;
        char first[NAME_SIZE];

        assert_true(next_name(&list, first, '\0'));
        check_names(&all_units[i], first, '\0');
        check_names(&all_units[i], first, ' ');
    }
}

static void no_name_is_used_twice(void **state)
{
    (void)state;
    for (size_t i = 0; i < COUNT(all_units); i++) {
        const char *list = all_units[i].names;
        char name[NAME_SIZE], padded[NAME_SIZE + 2], row[2 * NAME_SIZE + NAME_SIZE];

        while (next_name(&list, name, '_')) {
            (void)snprintf(padded, sizeof padded, " %s ", name);
            for (size_t j = 0; j < i; j++) {
                (void)snprintf(row, sizeof row, " %s ", all_units[j].names);
                if (strstr(row, padded) != NULL)
                    fail_msg("'%s' names two units", name);
            }
        }
    }
}

/* A small generator of our own: the same numbers on every machine. */
static double next_random(uint64_t *seed)
{
    *seed = *seed * 6364136223846793005U + 1442695040888963407U;
    return (double)(*seed >> 11) / 9007199254740992.0;
}

static void random_amounts_survive_a_round_trip(void **state)
{
    static const char *const pairs[][2] = {
        {"lb/1000ft2", "kg/ha"}, {"lb/100USgal", "g/L"}, {"lb/acre", "g/m2"}, {"impfloz", "mL"},
        {"USgal/min", "L/s"},    {"degF", "degC"},       {"psi", "hPa"},      {"mS/cm", "S/m"},
        {"ozwt/yd2", "t/ha"},    {"lb/ft3", "kg/m3"},    {"mph", "kn"},       {"in", "L/m2"},
        {"umol/mL", "mol/m3"},
    };
    uint64_t seed = 20240229;

    (void)state;
    for (int i = 0; i < 20000; i++) {
        const char *const *pair = pairs[i % (int)(COUNT(pairs))];
        double x = pow(10.0, 12.0 * next_random(&seed) - 6.0);
        double there = converted(x, pair[0], pair[1]);
        double twice = converted(2 * x, pair[0], pair[1]);

        assert_close(converted(there, pair[1], pair[0]), x, EXACT * (x + 500));
        assert_true(twice > there);
    }
}

/* ---- targets -------------------------------------------------------------- */

static const struct target_row {
    const char *name, *text;
    bd_measures measures;
    bd_status status;
    const char *form; /* "product" or a nutrient as it was named */
    bd_kind kind;
    double low, high;
} targets[] = {
    {"element", "K 2.5 g/L", NONE, BD_OK, "K", BD_KIND_STRENGTH, 2.5, 2.5},
    {"oxide", "K2O 120 kg/ha", NONE, BD_OK, "K2O", BD_KIND_MASS_PER_AREA, 12, 12},
    {"per_bag", "N 0.4 g/bag", NONE, BD_OK, "N", BD_KIND_MASS_PER_BAG, 0.4, 0.4},
    {"per_area", "K2O 8 g/m2", NONE, BD_OK, "K2O", BD_KIND_MASS_PER_AREA, 8, 8},
    {"per_plant", "K2O 0.5..0.8 g/plant", NONE, BD_OK, "K2O", BD_KIND_MASS_PER_PLANT, 0.5, 0.8},
    {"of_medium", "K2O 0.4 g/L", NONE, BD_OK, "K2O", BD_KIND_STRENGTH, 0.4, 0.4},
    {"lb_per_acre", "P2O5 30 lb/acre", NONE, BD_OK, "P2O5", BD_KIND_MASS_PER_AREA, 3.3625535,
     3.3625535},
    {"product", "product 10 g/L", NONE, BD_OK, "product", BD_KIND_STRENGTH, 10, 10},
    {"mass", "K2O 3 g", NONE, BD_OK, "K2O", BD_KIND_MASS, 3, 3},
    {"percent_of_solution", "product 1 %", NONE, BD_OK, "product", BD_KIND_STRENGTH, 10, 10},
    {"ppm_of_solution", "N 200 ppm", NONE, BD_OK, "N", BD_KIND_STRENGTH, 0.2, 0.2},
    {"no_blank_before_unit", "K 2.5g/L", NONE, BD_OK, "K", BD_KIND_STRENGTH, 2.5, 2.5},
    {"oz_of_nutrient", "N 1 oz/100ft2", NONE, BD_OK, "N", BD_KIND_MASS_PER_AREA, 3.0515173,
     3.0515173},
    {"oz_of_product", "product 1 oz/100ft2", NONE, BD_AMBIGUOUS, "", BD_KIND_MASS, 0, 0},
    {"oz_of_product_with_measures", "product 1 oz/bag", US, BD_OK, "product", BD_KIND_MASS_PER_BAG,
     28.349523, 28.349523},
    {"oz_in_solution", "N 1 oz/USgal", NONE, BD_AMBIGUOUS, "", BD_KIND_MASS, 0, 0},
    {"volume", "K 5 L", NONE, BD_DIMENSION, "", BD_KIND_MASS, 0, 0},
    {"volume_per_volume_of_product", "product 5 mL/L", NONE, BD_OK, "product",
     BD_KIND_VOLUME_PER_VOLUME, 5, 5},
    {"volume_per_bag_of_product", "product 30 mL/bag", NONE, BD_OK, "product",
     BD_KIND_VOLUME_PER_BAG, 0.03, 0.03},
    {"volume_per_area_of_product", "product 2 cups per 100 sq ft", US, BD_OK, "product",
     BD_KIND_VOLUME_PER_AREA, 0.0509323, 0.0509323},
    {"volume_per_plant_of_product", "product 1..2 UStbsp/plant", NONE, BD_OK, "product",
     BD_KIND_VOLUME_PER_PLANT, 0.0147868, 0.0295735},
    {"volume_of_product", "product 2 UScup", NONE, BD_OK, "product", BD_KIND_VOLUME, 0.4731765,
     0.4731765},
    {"cups_of_nobody", "product 2 cups/100ft2", NONE, BD_AMBIGUOUS, "", BD_KIND_MASS, 0, 0},
    {"volume_per_area_of_nutrient", "K2O 2 UScup/100ft2", NONE, BD_DIMENSION, "", BD_KIND_MASS, 0,
     0},
    {"volume_per_plant_of_nutrient", "N 5 mL/plant", NONE, BD_DIMENSION, "", BD_KIND_MASS, 0, 0},
    {"volume_per_row_of_product", "product 5 mL/m", NONE, BD_DIMENSION, "", BD_KIND_MASS, 0, 0},
    {"volume_per_volume_of_nutrient", "K 5 mL/L", NONE, BD_DIMENSION, "", BD_KIND_MASS, 0, 0},
    {"unknown_nutrient", "Xx 5 g/L", NONE, BD_UNKNOWN, "", BD_KIND_MASS, 0, 0},
    {"letter_case_counts", "k 5 g/L", NONE, BD_UNKNOWN, "", BD_KIND_MASS, 0, 0},
    {"no_name", "2.5 g/L", NONE, BD_SYNTAX, "", BD_KIND_MASS, 0, 0},
    {"no_amount", "K", NONE, BD_SYNTAX, "", BD_KIND_MASS, 0, 0},
    {"no_unit", "K 5", NONE, BD_SYNTAX, "", BD_KIND_MASS, 0, 0},
    {"negative", "K -5 g/L", NONE, BD_RANGE, "", BD_KIND_MASS, 0, 0},
    {"decimal_comma", "K 2,5 g/L", NONE, BD_SYNTAX, "", BD_KIND_MASS, 0, 0},
    {"bare_gallon", "K 1 lb/gal", NONE, BD_AMBIGUOUS, "", BD_KIND_MASS, 0, 0},
    {"empty", "", NONE, BD_SYNTAX, "", BD_KIND_MASS, 0, 0},
};

static void check_target(void **state)
{
    const struct target_row *r = *state;
    bd_target got = {.kind = BD_KIND_COUNT};
    bd_error err = {0};
    bd_status status = bd_target_read(r->text, r->measures, &got, &err);

    if (status != r->status)
        fail_msg("'%s': status %d, wanted %d: %s", r->text, (int)status, (int)r->status, err.text);
    assert_int_equal(err.status, r->status);
    if (status != BD_OK) {
        assert_int_equal(got.kind, BD_KIND_COUNT);
        assert_true(err.accepts[0] != '\0');
        return;
    }
    assert_string_equal(got.is_product ? "product" : bd_nutrient_form_name(got.form), r->form);
    assert_int_equal(got.kind, r->kind);
    assert_close(got.value.low, r->low, 5e-7);
    assert_close(got.value.high, r->high, 5e-7);
}

/* ---- the rest ------------------------------------------------------------- */

static void measures_are_read_by_name(void **state)
{
    bd_measures got = NONE;
    bd_error err = {0};

    (void)state;
    assert_int_equal(bd_measures_read("metric", &got, NULL), BD_OK);
    assert_int_equal(got, METRIC);
    assert_int_equal(bd_measures_read("us", &got, NULL), BD_OK);
    assert_int_equal(got, US);
    assert_int_equal(bd_measures_read("imperial", &got, NULL), BD_OK);
    assert_int_equal(got, IMP);
    assert_int_equal(bd_measures_read("australian", &got, NULL), BD_OK);
    assert_int_equal(got, AU);
    assert_int_equal(bd_measures_read("roman", &got, &err), BD_UNKNOWN);
    assert_int_equal(got, AU);
    assert_says(err.accepts, "imperial");
}

static void every_kind_reads_its_own_example(void **state)
{
    (void)state;
    for (int i = 0; i < BD_KIND_COUNT; i++) {
        bd_range got;

        if (bd_quantity_read(bd_kind_example((bd_kind)i), (bd_kind)i, NONE, &got, NULL) != BD_OK)
            fail_msg("'%s' is no %s", bd_kind_example((bd_kind)i), bd_kind_words((bd_kind)i));
        assert_true(bd_kind_unit((bd_kind)i)[0] != '\0');
    }
}

static void distance_counts_the_letters_that_differ(void **state)
{
    static const char longer_than_any[] = "a name that is much longer than any name of ours";

    (void)state;
    assert_int_equal(bd_nearest_distance("litr", 4, "Litre", 5), 1);
    assert_int_equal(bd_nearest_distance("", 0, "abc", 3), 3);
    assert_int_equal(bd_nearest_distance("kitten", 6, "sitting", 7), 3);
    assert_int_equal(bd_nearest_distance("KG", 2, "kg", 2), 0);
    assert_int_equal(bd_nearest_distance("g", 1, longer_than_any, strlen(longer_than_any)),
                     BD_NEAREST_FAR);
}

static bool set_comma_locale(void)
{
    static const char *const names[] = {"", "de_DE.UTF-8", "fr_FR.UTF-8", "nl_NL.UTF-8",
                                        "pt_BR.UTF-8"};

    for (size_t i = 0; i < COUNT(names); i++)
        if (setlocale(LC_ALL, names[i]) != NULL && strcmp(localeconv()->decimal_point, ",") == 0)
            return true;
    (void)setlocale(LC_ALL, "C");
    return false;
}

static void the_locale_changes_nothing(void **state)
{
    bd_error err = {0};
    bd_range got;

    (void)state;
    if (!set_comma_locale())
        skip();
    assert_int_equal(bd_quantity_read("2.5 g/L", BD_KIND_STRENGTH, NONE, &got, NULL), BD_OK);
    assert_close(got.typical, 2.5, 0);
    assert_int_equal(bd_quantity_read("2,5 g/L", BD_KIND_STRENGTH, NONE, &got, NULL), BD_SYNTAX);
    assert_int_equal(bd_quantity_read("1 tbsp", BD_KIND_VOLUME, NONE, &got, &err), BD_AMBIGUOUS);
    assert_says(err.accepts, "UStbsp (14.79 mL)");
    (void)setlocale(LC_ALL, "C");
}

#define ADD_ROWS(rows, function)                                                                   \
    for (size_t i = 0; i < COUNT(rows); i++)                                                       \
        tests[count++] = (struct CMUnitTest)                                                       \
        {                                                                                          \
            rows[i].name, function, NULL, NULL, (void *)&rows[i]                                   \
        }

int main(void)
{
    static const struct CMUnitTest others[] = {
        cmocka_unit_test(over_long_text_is_refused),
        cmocka_unit_test(zero_is_refused_where_it_must_be_positive),
        cmocka_unit_test(the_first_error_is_kept),
        cmocka_unit_test(every_unit_goes_there_and_back_under_all_its_names),
        cmocka_unit_test(no_name_is_used_twice),
        cmocka_unit_test(random_amounts_survive_a_round_trip),
        cmocka_unit_test(measures_are_read_by_name),
        cmocka_unit_test(every_kind_reads_its_own_example),
        cmocka_unit_test(distance_counts_the_letters_that_differ),
        cmocka_unit_test(the_locale_changes_nothing),
    };
    struct CMUnitTest
        tests[COUNT(reads) + COUNT(refusals) + COUNT(conversions) + COUNT(targets) + COUNT(others)];
    size_t count = 0;

    ADD_ROWS(reads, check_read);
    ADD_ROWS(refusals, check_refusal);
    ADD_ROWS(conversions, check_conversion);
    ADD_ROWS(targets, check_target);
    for (size_t i = 0; i < COUNT(others); i++)
        tests[count++] = others[i];
    return cmocka_run_group_tests_name("quantity", tests, NULL, NULL);
}
