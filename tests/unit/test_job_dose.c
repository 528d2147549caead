/*
 * Doses by spray, side-dressing and feed, from the command's words to the card:
 * what a stop allows, labels in every unit, what rides along, what was worked.
 */
#include <stdlib.h>
#include <string.h>

#include "job/job.h"
#include "support/close.h"
#include "support/cmocka_all.h"

enum { MOST_WORDS = 32, MOST_CHECKS = 8 };

typedef enum look { END, FIGURE, NO_FIGURE, AT_MOST, FINDING, NO_FINDING, SAYS, WORKED } look;

typedef struct check {
    look look;
    const char *id; /* of a figure or finding; the key of a step */
    double value, tolerance;
    const char *key; /* of the finding's sentence */
} check;

#define FIG(id, value, tolerance)                                                                  \
    {                                                                                              \
        FIGURE, id, value, tolerance, NULL                                                         \
    }
#define GONE(id)                                                                                   \
    {                                                                                              \
        NO_FIGURE, id, 0, 0, NULL                                                                  \
    }
#define BELOW(id, most)                                                                            \
    {                                                                                              \
        AT_MOST, id, most, 0, NULL                                                                 \
    }
#define FOUND(id, level)                                                                           \
    {                                                                                              \
        FINDING, id, level, 0, NULL                                                                \
    }
#define QUIET(id)                                                                                  \
    {                                                                                              \
        NO_FINDING, id, 0, 0, NULL                                                                 \
    }
#define SAID(id, key)                                                                              \
    {                                                                                              \
        SAYS, id, 0, 0, key                                                                        \
    }
#define STEP(key)                                                                                  \
    {                                                                                              \
        WORKED, key, 0, 0, NULL                                                                    \
    }

typedef struct scenario {
    const char *name;
    const char *words[MOST_WORDS];
    bd_level verdict;
    check checks[MOST_CHECKS];
} scenario;

#define BAG "--bag-size", "round 40cm x 35cm"
#define URINE                                                                                      \
    "--material", "urine", "--mass", "2L", "--brew", "2L", "--preparation", "soak", "--per-bag",   \
        "0.5L", "--bags", "4", "--crop", "tomato", "--stored", "190d"

/* 20 L of garden mix, 9.4 L of water at saturation. */
#define SMALL_BAG "--bag-size", "20L x 30cm", "--days-left", "100"

static bd_knowledge know;

static const scenario scenarios[] = {
    /* What a stop allows does not stop itself, and is never more than was asked. */
    {"permitted/what_falls_out_of_hard_water_is_not_allowed",
     {"spray", "--material", "monopotassium-phosphate", "--target", "product 10 g/L", "--water",
      "hard", "--crop", "tomato"},
     BD_STOP,
     {FOUND("tank.brushite", BD_STOP), BELOW("product.per_litre.permitted", 1.0)}},
    {"permitted/salt_that_costs_the_yield_bounds_a_dry_dose",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 100 g/bag", BAG,
      "--crop", "carrot"},
     BD_STOP,
     {FOUND("limit.soil.yield", BD_STOP),
      FIG("product.per_bag.usual", 2.513, 5e-4), /* 20 g/m2 on 0.1257 m2 */
      BELOW("product.per_bag.permitted", 60.0)}},
    {"permitted/salt_that_costs_the_yield_bounds_a_dissolved_dose",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 100 g/bag", BAG,
      "--crop", "carrot", "--per-bag", "2L"},
     BD_STOP,
     {BELOW("product.per_bag.permitted", 60.0)}},
    /* 0.21 g K/L for seedlings once a week stops; over 0.3818 of K: in a litre 0.55 g */
    {"permitted/a_nutrient_ceiling_bounds_the_product",
     {"sidedress", "--material", "potassium-nitrate", "--target", "K2O 8 g/m2", BAG, "--stage",
      "seedling", "--per-bag", "1L"},
     BD_STOP,
     {FOUND("limit.drench.K", BD_STOP), FIG("product.per_bag.permitted", 0.55, 5e-3)}},
    {"permitted/solubility_with_the_trade_s_ceiling_beside_it",
     {"spray", "--material", "potassium-sulfate", "--target", "product 130 g/L", "--crop",
      "carrot"},
     BD_STOP,
     {FIG("product.per_litre.usual", 20.0, 1e-6), FIG("product.per_litre.permitted", 105.0, 0.5)}},
    /* A mix is thinned as a whole: 30 + 30 g/L to the 20 g/L of all salts together. */
    {"permitted/a_mix_is_thinned_as_a_whole",
     {"spray", "--material", "potassium-nitrate", "--target", "product 30 g/L", "--material",
      "epsom-salt", "--target", "product 30 g/L", "--crop", "tomato"},
     BD_STOP,
     {FIG("product.potassium-nitrate.per_litre.usual", 10.0, 1e-3),
      FIG("product.potassium-nitrate.per_litre.permitted", 15.0, 1e-3),
      FOUND("limit.foliar", BD_STOP)}},
    /* An own label is the limit, over the trade's sum of salts too. */
    {"permitted/the_label_goes_over_the_usual",
     {"spray", "--material", "potassium-sulfate", "--target", "product 30 g/L", "--label-max",
      "25 g/L", "--crop", "pepper"},
     BD_STOP,
     {FIG("product.per_litre.permitted", 25.0, 1e-6)}},
    /* A label per bag lifts a ceiling per plant: both are named, and it does not stop. */
    {"label/in_another_unit_lifts_a_ceiling",
     {"sidedress", "--material", "ammonium-sulfate", "--target", "product 4 g/bag", "--bag-size",
      "round 40cm x 35cm", "--label-max", "5 g/bag", "--crop", "tomato"},
     BD_CARE,
     {SAID("limit.sidedress", "guard.over_ceiling_within_label"), FOUND("limit.label", BD_NOTE)}},
    /* A label by area says nothing of strength: 16 g/m2 is no leave for 200 g/L. */
    {"label/by_area_lifts_no_ceiling_of_strength",
     {"spray", "--material", "potassium-nitrate", "--target", "product 200 g/L", "--crop", "tomato",
      "--label-max", "16 g/m2"},
     BD_STOP,
     {FOUND("limit.foliar", BD_STOP), FOUND("limit.label", BD_NOTE),
      FIG("product.per_litre.permitted", 15.0, 1e-9)}},
    /* A spoon to the gallon is of the water that is poured: 4.93 mL in 3.785 L. */
    {"target/a_spoon_to_the_gallon_is_of_water",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 1 UStsp/USgal", BAG,
      "--per-bag", "1L", "--crop", "tomato"},
     BD_CARE,
     {FIG("product.per_litre", 1.43, 0.02)}},
    {"target/product_by_the_litre_of_a_feed_is_of_water",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 1 g/L", BAG, "--per-bag",
      "0.5L", "--crop", "tomato"},
     BD_CARE,
     {FIG("product.per_bag", 0.5, 1e-9)}},
    {"target/a_nutrient_by_the_litre_is_of_mix_and_said",
     {"sidedress", "--material", "potassium-nitrate", "--target", "K2O 0.05 g/L", BAG, "--per-bag",
      "2L", "--crop", "tomato"},
     BD_CARE,
     {FOUND("target.of_mix", BD_CARE)}},
    /* 30 g on 0.1 m2, the most that 20 L count as: 300 g/m2, and 5 x 25 stop. */
    {"stop/a_slip_per_bag_is_seen_by_the_bag",
     {"sidedress", "--material", "urea", "--target", "N 30 g/bag", "--bag-size", "20L x 30cm",
      "--crop", "leek"},
     BD_STOP,
     {FOUND("limit.target", BD_STOP), BELOW("product.per_bag.permitted", 28.0)}},
    {"seedlings/without_a_ceiling_to_borrow_are_cared_for",
     {"spray", "--material", "ammonium-sulfate", "--target", "product 1 g/L", "--stage", "seedling",
      "--crop", "leek"},
     BD_CARE,
     {SAID("limit.foliar", "guard.no_ceiling")}},
    {"stop/nothing_leaves_a_sprayer_of_weed_killer",
     {"spray", "--material", "potassium-nitrate", "--target", "product 4 g/L", "--crop", "beetroot",
      "--had-weed-killer"},
     BD_STOP,
     {FOUND("sprayer.weed_killer", BD_STOP), GONE("product.per_litre.permitted")}},
    {"permitted/liquids_by_volume_too",
     {"spray", "--analysis", "4-3-8", "--density", "1.15 kg/L", "--target", "K2O 0.5 g/L",
      "--label-max", "5 mL/L", "--tank", "5L"},
     BD_STOP,
     {FIG("product.per_litre.permitted", 5.75, 1e-9),
      FIG("product.volume_per_litre.permitted", 5.0, 1e-9),
      FIG("product.volume_per_tank.permitted", 25.0, 1e-9)}},
    /* No bag is named and no crop: a slip of the hand still stops, and no number is offered. */
    {"stop/too_much_for_any_bag",
     {"sidedress", "--material", "potassium-nitrate", "--target", "K2O 4000 g/bag"},
     BD_STOP,
     {FOUND("limit.target", BD_STOP), GONE("product.per_bag"), GONE("product.per_bag.permitted")}},
    {"stop/five_times_what_any_guide_gives",
     {"sidedress", "--material", "potassium-sulfate", "--target", "K2O 100 kg/m2", BAG},
     BD_STOP,
     {FOUND("limit.target", BD_STOP), GONE("product.per_bag")}},
    {"stop/urea_without_a_known_crop",
     {"sidedress", "--material", "urea", "--target", "N 40 g/bag", BAG, "--crop", "parsnip"},
     BD_STOP,
     {FOUND("limit.target", BD_STOP), FOUND("limit.soil.rise", BD_CARE)}},
    /* Boron: never on beans, dissolved or dry, with or without a size; an ash only brings it along.
     */
    {"stop/boron_on_beans_dissolved",
     {"sidedress", "--material", "borax", "--target", "product 1 g/bag", BAG, "--per-bag", "1L",
      "--crop", "bush-bean"},
     BD_STOP,
     {FOUND("limit.season.B", BD_STOP), GONE("product.per_bag")}},
    {"stop/boron_on_beans_without_a_size",
     {"sidedress", "--material", "borax", "--target", "product 1 g/bag", "--crop", "bush-bean"},
     BD_STOP,
     {FOUND("limit.season.B", BD_STOP), GONE("product.per_bag.permitted")}},
    {"care/ash_on_beans_brings_boron",
     {"sidedress", "--material", "wood-ash-hardwood", "--target", "product 2 g/bag", BAG, "--crop",
      "bush-bean"},
     BD_CARE,
     {FOUND("limit.season.B", BD_CARE)}},
    /* What is dissolved is held to the trade's rates by area too, and asks for care. */
    {"care/dissolved_over_the_rate_by_area",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 5 g/bag", BAG,
      "--per-bag", "5L", "--crop", "tomato"},
     BD_CARE,
     {FOUND("limit.sidedress.K2O", BD_CARE)}},
    /* 30 g on 0.1257 m2 is 239 g/m2; 98 x 0.1257 = 12.3 g */
    {"stop/ash_of_the_year",
     {"sidedress", "--material", "wood-ash-hardwood", "--target", "product 30 g/bag", BAG},
     BD_STOP,
     {FOUND("limit.ash.rate", BD_STOP), BELOW("product.per_bag.permitted", 12.32)}},
    /* The label holds however the dose is given; nothing of it is passed over in silence. */
    {"label/per_area_holds_when_dissolved",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 2 g/bag", BAG,
      "--label-max", "5 g/m2", "--per-bag", "1L"},
     BD_STOP,
     {FOUND("limit.label", BD_STOP), FIG("product.per_bag.permitted", 0.6283, 5e-5)}},
    {"label/per_plant_holds_when_dissolved",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 2 g/bag", BAG,
      "--label-max", "0.3 g/plant", "--plants-per-bag", "4", "--per-bag", "5L"},
     BD_STOP,
     {FOUND("limit.label", BD_STOP), FIG("product.per_bag.permitted", 1.2, 1e-9)}},
    {"label/a_strength_is_no_rate_of_a_dry_dose",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 1 g/bag", BAG,
      "--label-max", "1 g/L"},
     BD_CARE,
     {FOUND("label.not_judged", BD_CARE), QUIET("limit.label")}},
    {"label/per_area_needs_the_bag",
     {"sidedress", "--material", "potassium-nitrate", "--target", "product 1 g/bag", "--label-max",
      "5 g/m2"},
     BD_CARE,
     {FOUND("label.not_judged", BD_CARE)}},
    {"label/per_bag_of_a_spray_by_its_leaf_area", /* 0.1 g / (0.12 m2 x 60 mL/m2) = 13.9 g/L */
     {"spray", "--material", "potassium-nitrate", "--target", "product 14 g/L", "--canopy",
      "0.12m2", "--label-max", "0.1 g/bag", "--crop", "pepper"},
     BD_STOP,
     {FOUND("limit.label", BD_STOP), FIG("product.per_litre.permitted", 13.89, 0.005)}},
    {"label/per_bag_of_a_spray_without_a_leaf_area",
     {"spray", "--material", "potassium-nitrate", "--target", "product 2 g/L", "--label-max",
      "5 g/bag", "--crop", "pepper"},
     BD_CARE,
     {FOUND("label.not_judged", BD_CARE)}},
    /* What rides along. */
    {"riders/phosphate_above_every_guide", /* 10.3 g P2O5 on 0.1257 m2 = 82 g/m2, most 36 */
     {"sidedress", "--analysis", "2:3:2 (22)", "--target", "K 3 g/bag", BAG, "--crop", "beetroot"},
     BD_CARE,
     {FOUND("riders.P2O5", BD_CARE), FOUND("riders.K2O", BD_NOTE), QUIET("riders.N")}},
    {"riders/chloride_is_named",
     {"sidedress", "--material", "potassium-chloride", "--target", "product 1 g/bag", BAG, "--crop",
      "beetroot"},
     BD_NOTE,
     {FOUND("riders.chloride", BD_NOTE)}},
    {"riders/chloride_on_a_crop_that_minds_it",
     {"spray", "--material", "potassium-chloride", "--target", "product 5 g/L", "--crop",
      "bush-bean"},
     BD_CARE,
     {FOUND("riders.chloride", BD_CARE)}},
    {"riders/no_chloride_in_sulfate",
     {"sidedress", "--material", "potassium-sulfate", "--target", "product 1 g/bag", BAG, "--crop",
      "carrot"},
     BD_CARE, /* the salt is over what carrot bears for a while, and below it on average */
     {QUIET("riders.chloride"), SAID("limit.soil.ece", "soil.over_at_peak")}},
    /* Without a ceiling for the use a card is never ok. */
    {"feed/dry_leaf_has_no_ceiling",
     {"feed", "--material", "comfrey-leaf", "--mass", "100g", BAG, "--crop", "tomato"},
     BD_CARE,
     {FOUND("limit.sidedress", BD_CARE)}},
    {"feed/dry_leaf_is_held_to_the_ceilings_of_its_nutrients",
     {"feed", "--material", "comfrey-leaf", "--mass", "1kg", BAG, "--crop", "tomato"},
     BD_CARE,
     {FOUND("limit.sidedress.N", BD_CARE), FOUND("limit.sidedress.K2O", BD_CARE)}},
    {"feed/dry_leaf_does_not_ferment",
     {"feed", "--material", "comfrey-leaf", "--mass", "100g", BAG, "--crop", "tomato"},
     BD_CARE,
     {QUIET("feed.ferments")}},
    /* A stop card gives no instruction. */
    {"stop/how_much_to_mix_is_not_said",
     {"spray", "--material", "potassium-nitrate", "--target", "product 25 g/L", "--tank", "15L",
      "--bags", "10", "--canopy", "0.3m2", "--crop", "tomato"},
     BD_STOP,
     {SAID("spray.tank_over_need", "spray.tank_over_need_stopped"), GONE("product.for_need"),
      FIG("product.per_litre.permitted", 15.0, 1e-9)}},
    /* Ceilings of seedlings are named as such. */
    {"seedlings/over",
     {"spray", "--material", "potassium-nitrate", "--target", "product 3 g/L", "--stage",
      "seedling", "--crop", "tomato"},
     BD_STOP,
     {FOUND("limit.foliar", BD_STOP), FIG("product.per_litre.permitted", 2.5, 1e-9)}},
    /* Every step of the arithmetic. */
    {"work/spray",
     {"spray", "--material", "potassium-nitrate", "--analysis", "13-0-46", "--target", "K 2.5 g/L",
      "--tank", "5L", "--bags", "10", "--canopy", "0.3m2", "--crop", "tomato"},
     BD_CARE,
     {STEP("work.converted"), STEP("work.amount_from_target"), STEP("work.per_tank"),
      STEP("work.delivers"), STEP("work.as_oxide"), STEP("work.spray_need"), STEP("work.tank_over"),
      STEP("work.spray_on_bag")}},
    {"work/sidedress",
     {"sidedress", "--material", "potassium-sulfate", "--analysis", "0-0-50", "--target",
      "K2O 100 kg/ha", BAG, "--bags", "18", "--spacing", "10cm", "--rounds", "2", "--crop",
      "beetroot"},
     BD_NOTE,
     {STEP("work.bag_round"), STEP("work.bag_volume"), STEP("work.plants"), STEP("work.basis_area"),
      STEP("work.basis_volume"), STEP("work.rounds"), STEP("work.all_bags"),
      STEP("work.per_area")}},
    {"work/feed",
     {"feed", "--material", "comfrey-leaf", "--mass", "1kg", "--brew", "10L", "--dilute",
      "1 part + 10 parts water", "--per-bag", "1L", "--crop", "tomato"},
     BD_CARE,
     {STEP("work.feed_k"), STEP("work.feed_strength"), STEP("work.feed_on_bag"),
      STEP("work.as_oxide_range")}},
    {"work/convert",
     {"convert", "30 lb/100USgal", "g/L"},
     BD_NOTE,
     {STEP("work.converted"), STEP("work.factor"), STEP("work.factor_times")}},
    {"work/convert_a_temperature", {"convert", "77 F", "C"}, BD_NOTE, {STEP("work.affine")}},
    /* What sets the most of a feed on one bag, 0.1257 m2: N of 5 g/m2, 9 g in a litre of urine. */
    {"feed/nitrogen_sets_the_most",
     {"feed", "--material", "urine", "--mass", "5L", "--brew", "20L", "--per-bag", "0.5L", BAG,
      "--crop", "tomato", "--stored", "190d", "--days-left", "60d"},
     BD_CARE,
     {FIG("feed.per_bag.most", 0.2793, 5e-4), FOUND("limit.feed.per_bag", BD_CARE)}},
    /* 4 L/m2 of urine for a crop in ten feedings, a quarter of it urine: 0.2011 L */
    {"feed/litres_of_urine_set_the_most",
     {"feed", "--material", "urine", "--mass", "5L", "--brew", "20L", "--per-bag", "0.2L",
      "--rounds", "10", BAG, "--crop", "tomato", "--stored", "190d", "--days-left", "60d"},
     BD_CARE,
     {FIG("feed.per_bag.most", 0.2011, 5e-4), QUIET("limit.feed.per_bag")}},
    /* 44 L of garden mix hold 39 % of water */
    {"feed/the_bag_itself_sets_the_most",
     {"feed", "--material", "comfrey-leaf", "--mass", "100g", "--brew", "50L", "--per-bag", "20L",
      BAG, "--crop", "tomato"},
     BD_CARE,
     {FIG("feed.per_bag.most", 17.15, 0.05), FOUND("limit.feed.per_bag", BD_CARE)}},
    /* 0.5 L of 20 dS/m in 44 L raise the salt by 0.48 dS/m; the potassium alone would by 0.11 */
    {"feed/salt_of_urine_by_its_reading",
     {"feed", "--material", "urine", "--mass", "5L", "--brew", "20L", "--per-bag", "2L", BAG,
      "--crop", "tomato", "--stored", "190d", "--days-left", "60d"},
     BD_CARE,
     {FIG("soil.ece_peak", 1.28, 0.12)}},
    /* ammonium, sodium and potassium: 91 + 33 + 44 meq, of which the potassium is a quarter */
    {"feed/salt_of_litter_by_all_its_ions",
     {"feed", "--material", "poultry-litter", "--mass", "100g", "--preparation", "dry", BAG,
      "--crop", "tomato", "--days-left", "150d"},
     BD_CARE,
     {FOUND("limit.sidedress", BD_CARE), FIG("soil.ece_peak", 1.9, 0.35)}},
    /* What does not dissolve is no salt: lime water at its usual 0.21 dS/m on 0.8 and the 0.1 that
     * watering brings. */
    {"salt/of_lime_is_what_water_holds",
     {"sidedress", "--material", "lime", "--target", "product 50 g/bag", SMALL_BAG, "--crop",
      "tomato"},
     BD_CARE,
     {QUIET("limit.soil.yield"), FOUND("limit.soil.rise", BD_NOTE),
      FIG("soil.ece_peak", 1.11, 0.02)}},
    {"salt/of_dolomite_is_what_water_holds",
     {"sidedress", "--material", "dolomite", "--target", "product 20 g/bag", SMALL_BAG, "--crop",
      "carrot"},
     BD_CARE,
     {QUIET("limit.soil.yield"), FOUND("limit.soil.rise", BD_NOTE),
      FIG("soil.ece_peak", 1.11, 0.02)}},
    {"salt/of_gypsum_is_gypsum_water",
     {"sidedress", "--material", "gypsum", "--target", "product 50 g/bag", SMALL_BAG, "--crop",
      "tomato"},
     BD_CARE,
     {QUIET("limit.soil.yield"), FIG("soil.ece_peak", 3.1, 0.1)}},
    {"salt/of_compost_is_its_extract",
     {"sidedress", "--material", "garden-compost", "--target", "product 500 g/bag", SMALL_BAG,
      "--crop", "tomato"},
     BD_CARE,
     {QUIET("limit.soil.yield"), BELOW("soil.ece_peak", 2.5), FIG("soil.ece_peak", 1.19, 0.05)}},
    {"salt/of_compost_on_a_crop_that_minds_it",
     {"sidedress", "--material", "garden-compost", "--target", "product 500 g/bag", SMALL_BAG,
      "--crop", "carrot"},
     BD_CARE,
     {QUIET("limit.soil.yield")}},
    {"salt/of_bone_meal_is_its_nitrogen",
     {"sidedress", "--material", "bone-meal", "--target", "product 50 g/bag", SMALL_BAG, "--crop",
      "tomato"},
     BD_CARE,
     {QUIET("limit.soil.yield"), FIG("soil.ece_peak", 1.06, 0.05)}},
    /* Water is no salt: 42 meq K and 0 to 71 meq N in 25 g, not 39 dS/m * L. */
    {"salt/of_a_thin_liquid_label",
     {"sidedress", "--analysis", "4-3-8", "--convention", "oxide", "--target", "product 25 g/bag",
      SMALL_BAG, "--crop", "carrot"},
     BD_CARE,
     {QUIET("limit.soil.yield"), FIG("soil.ece_peak", 1.72, 0.1), BELOW("soil.ece_peak", 3.0)}},
    /* So much of it still stops. */
    {"salt/of_much_litter_stops",
     {"sidedress", "--material", "poultry-litter", "--target", "product 300 g/bag", SMALL_BAG,
      "--crop", "carrot"},
     BD_STOP,
     {FOUND("limit.soil.yield", BD_STOP)}},
    {"feed/lye_leaves_lime_in_the_sludge",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "100g", "--brew", "10L", "--dilute",
      "1 part + 4 parts water", "--per-bag", "1L", BAG, "--crop", "tomato"},
     BD_CARE,
     {FOUND("feed.lye", BD_NOTE), GONE("nutrient.Ca.per_litre"), GONE("nutrient.Mg.per_litre"),
      GONE("nutrient.P.per_litre"), FIG("feed.dilution.given", 5.0, 1e-9),
      FIG("feed.dilution.least", 4.16, 1e-9)}},
    {"feed/ash_given_dry_keeps_its_lime",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "4g", "--preparation", "dry", BAG,
      "--crop", "tomato"},
     BD_CARE,
     {QUIET("feed.lye"), FIG("nutrient.Ca.per_bag", 0.858, 5e-3), GONE("feed.dilution.given")}},
    /* 10 L made, 15 L needed; the strength asks for 5 times as much water */
    {"feed/enough_once_thinned",
     {"feed", "--material", "banana-peel-fresh", "--mass", "1kg", "--brew", "10L", "--per-bag",
      "0.5L", "--bags", "30", "--crop", "tomato"},
     BD_CARE,
     {SAID("feed.volume", "feed.enough_when_thinned"), FOUND("feed.volume", BD_NOTE),
      GONE("feed.dilution.given")}},
    /* A stop allows what the guard lets pass: 6.02 g/L of K against 0.21 for seedlings is 28.7
     * times as much in all, 500 g/L of leaf then 17.4, and a litre may still be poured. */
    {"permitted/seedlings_get_it_thinned",
     {"feed", "--material", "comfrey-leaf", "--mass", "5kg", "--brew", "10L", "--per-bag", "1L",
      "--bags", "5", BAG, "--crop", "tomato", "--stage", "seedling"},
     BD_STOP,
     {FOUND("limit.drench.K", BD_STOP), GONE("feed.per_bag.most"), GONE("product.per_brew"),
      FIG("feed.dilution.least", 28.7, 1e-9), FIG("feed.per_bag.permitted", 1.0, 1e-9),
      FIG("product.per_litre.permitted", 17.42, 5e-3)}},
    {"permitted/seedlings_thinned_so_far_pass",
     {"feed", "--material", "comfrey-leaf", "--mass", "5kg", "--brew", "10L", "--per-bag", "1L",
      "--bags", "5", BAG, "--crop", "tomato", "--stage", "seedling", "--dilute",
      "1 part + 27.7 parts water"},
     BD_CARE,
     {FOUND("limit.drench.K", BD_NOTE), FOUND("limit.drench", BD_CARE)}},
    {"permitted/seedlings_less_of_it_is_as_strong",
     {"feed", "--material", "comfrey-leaf", "--mass", "5kg", "--brew", "10L", "--per-bag", "97mL",
      "--bags", "5", BAG, "--crop", "tomato", "--stage", "seedling"},
     BD_STOP,
     {FIG("feed.dilution.least", 28.7, 1e-9), GONE("feed.per_bag.most")}},
    {"permitted/without_a_bag_the_strength_alone",
     {"feed", "--material", "comfrey-leaf", "--mass", "5kg", "--brew", "10L", "--crop", "tomato",
      "--stage", "seedling"},
     BD_STOP,
     {FIG("product.per_litre.permitted", 17.42, 5e-3), GONE("feed.per_bag.permitted")}},
    /* No water helps against germs, a waiting time, gas or leaves. */
    {"permitted/nothing_of_fresh_urine",
     {"feed", "--material", "urine", "--mass", "5L", "--brew", "20L", "--per-bag", "0.5L", BAG,
      "--crop", "tomato", "--stored", "1d", "--days-left", "60d"},
     BD_STOP,
     {FOUND("limit.urine.storage", BD_STOP), FIG("product.per_litre.permitted", 0.0, 1e-12),
      GONE("feed.per_bag.most"), GONE("feed.per_bag.permitted"), GONE("feed.dilution.least")}},
    {"permitted/nothing_of_manure_before_harvest",
     {"feed", "--material", "poultry-litter", "--mass", "1kg", "--brew", "20L", "--per-bag", "0.5L",
      BAG, "--crop", "beetroot", "--days-left", "40d"},
     BD_STOP,
     {FOUND("limit.manure.interval", BD_STOP), FIG("product.per_litre.permitted", 0.0, 1e-12),
      GONE("feed.per_bag.most"), GONE("feed.dilution.least")}},
    {"permitted/nothing_of_ash_in_urine",
     {"feed",        "--material", "wood-ash-hardwood",
      "--mass",      "100g",       "--material",
      "urine",       "--mass",     "1L",
      "--brew",      "10L",        "--per-bag",
      "0.5L",        BAG,          "--crop",
      "tomato",      "--stored",   "190d",
      "--days-left", "60d"},
     BD_STOP,
     {FOUND("mix.ammonia", BD_STOP),
      FIG("product.wood-ash-hardwood.per_litre.permitted", 0.0, 1e-12),
      FIG("product.urine.per_litre.permitted", 0.0, 1e-12), GONE("product.per_bag.permitted"),
      GONE("feed.per_bag.most"), GONE("feed.dilution.least")}},
    {"permitted/nothing_on_leaves",
     {"feed", "--material", "comfrey-leaf", "--mass", "1kg", "--brew", "10L", "--dilute",
      "1 part + 10 parts water", "--per-bag", "0.1L", BAG, "--crop", "tomato", "--on-leaves"},
     BD_STOP,
     {FOUND("limit.leaves.unclean", BD_STOP), FIG("product.per_litre.permitted", 0.0, 1e-12),
      GONE("feed.per_bag.most")}},
    {"permitted/nothing_dry_of_manure_before_harvest",
     {"feed", "--material", "poultry-litter", "--mass", "50g", "--preparation", "dry", BAG,
      "--crop", "beetroot", "--days-left", "40d"},
     BD_STOP,
     {FIG("product.per_bag.permitted", 0.0, 1e-12)}},
    /* 900 g in 10 L, a litre a bag: 98 g/m2 of ash on 0.1257 m2 is 12.3 g; 11.2 g/L of K against
     * 0.3 for every watering is 37.4 times as much in all, which is more than the rate asks for */
    {"permitted/ash_in_water_by_the_year_s_rate",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "900g", "--brew", "10L", "--per-bag",
      "1L", BAG, "--crop", "tomato"},
     BD_STOP,
     {FOUND("limit.ash.rate", BD_STOP), BELOW("product.per_litre.permitted", 12.32),
      FIG("feed.per_bag.permitted", 1.0, 1e-9), FIG("feed.dilution.least", 37.4, 1e-9)}},
    /* However far it is thinned, the least is what it was on the card that stopped. */
    {"permitted/ash_thinned_so_far_says_the_same",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "900g", "--brew", "10L", "--per-bag",
      "1L", BAG, "--crop", "tomato", "--dilute", "1 in 37.4"},
     BD_CARE,
     {FIG("feed.dilution.least", 37.4, 1e-9), GONE("feed.per_bag.permitted")}},
    {"permitted/ash_thinned_too_little_says_the_same",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "900g", "--brew", "10L", "--per-bag",
      "1L", BAG, "--crop", "tomato", "--dilute", "1 in 10"},
     BD_CARE,
     {FIG("feed.dilution.least", 37.4, 1e-9), GONE("feed.per_bag.permitted")}},
    {"permitted/ash_thinned_hardly_says_the_same",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "900g", "--brew", "10L", "--per-bag",
      "1L", BAG, "--crop", "tomato", "--dilute", "1 in 2"},
     BD_STOP,
     {FIG("feed.dilution.least", 37.4, 1e-9)}},
    /* 4.66 g/L of K at most in 10 dS/m, whatever goes in: only water helps */
    {"permitted/a_metered_brew_is_thinned_alone",
     {"feed", "--material", "comfrey-leaf", "--mass", "5kg", "--brew", "10L", "--per-bag", "1L",
      "--bags", "5", BAG, "--crop", "tomato", "--stage", "seedling", "--ec", "10 dS/m"},
     BD_STOP,
     {FOUND("limit.drench.K", BD_STOP), FIG("feed.dilution.least", 22.2, 0.1),
      GONE("product.per_litre.permitted"), GONE("product.per_litre.usual")}},
    /* A brew as the hands measure it: 2 L / 30 is 66.7 mL; half a mL of the syringe on it and half
     * a mark of the jug on 0.5 L are 11.4 %. */
    {"pour/all_bags_from_one_vessel",
     {"feed", URINE, "--dilute", "1 in 30"},
     BD_CARE,
     {FIG("measure.all_volume", 67.0, 1e-9), FIG("measure.pour", 0.5, 1e-9),
      FIG("measure.error", 11.4, 0.05), GONE("measure.can_volume"), GONE("measure.all"),
      FOUND("measure.error", BD_NOTE), FIG("product.per_brew", 2000.0, 1e-6)}},
    /* 1.5 L and 0.5 L of it: 50 mL and 16.7 mL */
    {"pour/can_by_can_and_a_last_one",
     {"feed", URINE, "--dilute", "1 in 30", "--can", "1.5L"},
     BD_CARE,
     {FIG("measure.can_volume", 50.0, 1e-9), FIG("measure.last_can_volume", 17.0, 1e-9),
      FIG("measure.pour", 0.5, 1e-9), GONE("measure.all_volume")}},
    /* a litre of a 2 L brew is 500 mL: a jug of 20 mL marks is within 2 % and needs no syringe */
    {"pour/by_the_jug_where_it_is_good_enough",
     {"feed", URINE, "--dilute", "1 in 2", "--jug-step", "0.02L", "--syringe-step", "0.3mL"},
     BD_CARE,
     {FIG("measure.all_volume", 1000.0, 1e-9), FIG("measure.error", 3.02, 0.02),
      QUIET("measure.error")}},
    {"pour/undiluted_as_it_is",
     {"feed", URINE},
     BD_CARE,
     {FIG("measure.pour", 0.5, 1e-9), FIG("measure.all", 2.0, 1e-9), FIG("measure.error", 10, 1e-6),
      GONE("measure.all_volume")}},
    {"pour/a_syringe_that_shows_too_little",
     {"feed", URINE, "--dilute", "1 in 3000", "--can", "1L"},
     BD_CARE,
     {FOUND("measure.cans", BD_CARE), GONE("measure.can_volume"), GONE("measure.pour")}},
    {"pour/nothing_of_a_stop",
     {"feed", "--material", "comfrey-leaf", "--mass", "5kg", "--brew", "10L", "--per-bag", "1L",
      "--bags", "5", BAG, "--crop", "tomato", "--stage", "seedling"},
     BD_STOP,
     {GONE("measure.pour"), GONE("measure.all"), GONE("measure.all_volume")}},
    /* Nothing is known of a leaf's strength in water; an ash or urine has a rate of its own. */
    {"feed/wet_leaf_has_no_ceiling",
     {"feed", "--material", "comfrey-leaf", "--mass", "1kg", "--brew", "10L", "--dilute",
      "1 part + 10 parts water", "--per-bag", "0.5L", BAG, "--crop", "tomato"},
     BD_CARE,
     {SAID("limit.drench", "guard.no_ceiling"), FOUND("limit.drench.K", BD_NOTE),
      SAID("limit.drench.N", "feed.nitrogen_by_area")}},
    {"feed/wet_leaf_without_a_size_leaves_nitrogen_unjudged",
     {"feed", "--material", "comfrey-leaf", "--mass", "1kg", "--brew", "10L", "--dilute",
      "1 part + 10 parts water", "--crop", "tomato"},
     BD_CARE,
     {FOUND("limit.drench.N", BD_CARE)}},
    {"feed/urine_has_a_rate_of_its_own",
     {"feed", "--material", "urine", "--mass", "1L", "--brew", "20L", "--per-bag", "0.5L", BAG,
      "--crop", "tomato", "--stored", "190d", "--days-left", "60d"},
     BD_NOTE,
     {QUIET("limit.drench"), FOUND("limit.urine.rate", BD_NOTE)}},
    /* Its own rate, and no "follow the product's label" beside it. */
    {"sidedress/ash_has_a_rate_of_its_own",
     {"sidedress", "--material", "wood-ash-hardwood", "--target", "product 4 g/bag", BAG, "--crop",
      "tomato", "--medium-ph", "6"},
     BD_CARE, /* by its salt */
     {QUIET("limit.sidedress"), QUIET("limit.ash.ph"), FOUND("limit.ash.rate", BD_NOTE)}},
    {"sidedress/ash_on_a_limy_mix",
     {"sidedress", "--material", "wood-ash-hardwood", "--target", "product 4 g/bag", BAG, "--crop",
      "tomato", "--medium-ph", "6.5"},
     BD_STOP,
     {FOUND("limit.ash.ph", BD_STOP), FIG("product.per_bag.permitted", 0.0, 1e-12)}},
    {"sidedress/urine_says_how_long_it_was_stored",
     {"sidedress", "--material", "urine", "--target", "product 20 g/bag", BAG, "--per-bag", "1L",
      "--crop", "tomato", "--stored", "190d", "--days-left", "60d"},
     BD_NOTE,
     {QUIET("limit.urine.storage"), QUIET("limit.drench"), FOUND("limit.urine.rate", BD_NOTE)}},
    {"sidedress/urine_too_fresh",
     {"sidedress", "--material", "urine", "--target", "product 20 g/bag", BAG, "--per-bag", "1L",
      "--crop", "tomato", "--stored", "1d", "--days-left", "60d"},
     BD_STOP,
     {FOUND("limit.urine.storage", BD_STOP)}},
    /* Over the year's rate within a label: both are named. */
    {"label/of_an_ash",
     {"sidedress", "--material", "wood-ash-hardwood", "--target", "product 150 g/m2", "--label-max",
      "200 g/m2", BAG, "--crop", "tomato"},
     BD_CARE,
     {SAID("limit.ash.rate", "guard.over_ceiling_within_label"), FOUND("limit.label", BD_NOTE)}},
    /* The same boron, however it is asked. */
    {"care/ash_on_beans_brings_boron_as_a_feed_too",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "2g", "--preparation", "dry", BAG,
      "--crop", "bush-bean"},
     BD_CARE,
     {SAID("limit.season.B", "sidedress.brings_boron")}},
    {"care/ash_on_beans_brings_boron_in_water",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "20g", "--brew", "10L", "--per-bag",
      "0.5L", BAG, "--crop", "bush-bean"},
     BD_CARE,
     {SAID("limit.season.B", "sidedress.brings_boron")}},
    {"stop/borax_in_a_brew_for_beans",
     {"feed", "--material", "borax", "--mass", "1g", "--brew", "10L", "--per-bag", "1L", BAG,
      "--crop", "bush-bean"},
     BD_STOP,
     {FOUND("limit.season.B", BD_STOP), FIG("product.per_litre.permitted", 0.0, 1e-12)}},
    /* 1 kg of peel holds 0.74 L of water at least; 100 g of ash lie in 0.17 L */
    {"feed/peel_in_too_little_water",
     {"feed", "--material", "banana-peel-fresh", "--mass", "1kg", "--brew", "0.7L", "--dilute",
      "1 in 1000", "--crop", "tomato"},
     BD_CARE,
     {FOUND("feed.uncovered", BD_CARE)}},
    {"feed/peel_in_enough_water",
     {"feed", "--material", "banana-peel-fresh", "--mass", "1kg", "--brew", "0.8L", "--dilute",
      "1 in 1000", "--crop", "tomato"},
     BD_CARE,
     {QUIET("feed.uncovered")}},
    {"feed/ash_in_too_little_water",
     {"feed", "--material", "wood-ash-hardwood", "--mass", "100g", "--brew", "0.16L", "--dilute",
      "1 in 1000", "--crop", "tomato"},
     BD_CARE,
     {FOUND("feed.uncovered", BD_CARE)}},
    {"feed/not_enough_however_thin",
     {"feed", "--material", "banana-peel-fresh", "--mass", "1kg", "--brew", "10L", "--per-bag",
      "2L", "--bags", "30", "--crop", "tomato"},
     BD_CARE,
     {SAID("feed.volume", "feed.not_enough"), FOUND("feed.volume", BD_CARE)}},
};

#define SALT_BAG "--bag-size", "20L x 30cm"
#define DRESS(...)                                                                                 \
    {                                                                                              \
        "sidedress", "--material", __VA_ARGS__, SALT_BAG, "--bags", "4", "--crop", "carrot"        \
    }
#define TWO(first, g, second, h)                                                                   \
    "spray", "--material", first, "--pure", "--target", "product " g, "--material", second,        \
        "--pure", "--target", "product " h, "--tank", "15L", "--crop", "tomato"

#define THREE(first, second, third)                                                                \
    "spray", "--material", "potassium-nitrate", "--analysis", "13-0-46", "--target",               \
        "product " first, "--material", "calcium-nitrate", "--target", "product " second,          \
        "--material", "epsom-salt", "--target", "product " third, "--tank", "5L", "--crop",        \
        "tomato"

/* The water that is said reaches the root zone, and its litres bring their salt. */
static const scenario waters[] = {
    /* 2 L into 20 L of mix, 80 days of watering. */
    {"water/none_is_said",
     DRESS("potassium-nitrate", "--target", "K2O 1 g/bag", "--days-left", "80", "--per-bag", "2L",
           "--ece", "0.9dS/m"),
     BD_CARE,
     {SAID("limit.soil.ece", "soil.over_threshold_little"), FIG("soil.ece_mean", 1.04, 0.01),
      SAID("soil.assumed", "soil.assumed"), FOUND("soil.assumed", BD_NOTE),
      FIG("yield.relative", 0.994, 0.001)}},
    {"water/rain_brings_nothing",
     DRESS("potassium-nitrate", "--target", "K2O 1 g/bag", "--days-left", "80", "--per-bag", "2L",
           "--ece", "0.9dS/m", "--water", "pure"),
     BD_CARE,
     {FIG("soil.ece_mean", 0.58, 0.01), SAID("soil.assumed", "soil.assumed_water_said")}},
    {"water/soft",
     DRESS("potassium-nitrate", "--target", "K2O 1 g/bag", "--days-left", "80", "--per-bag", "2L",
           "--ece", "0.9dS/m", "--water", "soft"),
     BD_CARE,
     {FIG("soil.ece_mean", 0.866, 0.01)}},
    {"water/hard",
     DRESS("potassium-nitrate", "--target", "K2O 1 g/bag", "--days-left", "80", "--per-bag", "2L",
           "--ece", "0.9dS/m", "--water", "hard"),
     BD_CARE,
     {FIG("soil.ece_mean", 1.70, 0.01), FIG("yield.relative", 0.902, 0.001),
      SAID("limit.soil.ece", "soil.over_threshold")}},
    /* A reading does the same in a feed; it is of the water, so brewed and poured alike. */
    {"water/read_by_a_meter",
     {"feed", "--material", "comfrey-leaf", "--mass", "100g", "--brew", "10L", "--per-bag", "1L",
      SALT_BAG, "--crop", "carrot", "--days-left", "60d", "--water-ec", "2dS/m"},
     BD_STOP,
     {SAID("limit.soil.yield", "soil.heavy_loss_unfed"), FOUND("limit.soil.yield", BD_STOP)}},
    /* The reading of a brew holds its own water already: half of 1.3 and half of 0.3 dS/m, 1 L into
     * 9.4 L. */
    {"water/is_not_counted_twice_in_a_reading",
     {"feed",         "--material",
      "comfrey-leaf", "--mass",
      "100g",         "--brew",
      "10L",          "--per-bag",
      "1L",           SALT_BAG,
      "--crop",       "tomato",
      "--days-left",  "7d",
      "--water-ec",   "0.3dS/m",
      "--ec",         "1.3dS/m",
      "--ece",        "0.5dS/m",
      "--dilute",     "1 part + 1 part water"},
     BD_CARE,
     {FIG("soil.ece_before", 0.5, 1e-9), FIG("soil.ece_peak", 0.5 + 0.8 / 9.4, 0.003)}},
    /* What lies far above saturation falls out, whatever the mineral; scale is no clear tank. */
    {"tank/struvite_by_lye_stops",
     {TWO("monoammonium-phosphate", "2 g/L", "magnesium-sulfate-heptahydrate", "3 g/L"), "--ph",
      "8.5"},
     BD_STOP,
     {FOUND("tank.struvite", BD_STOP), FOUND("tank.advice", BD_STOP),
      SAID("tank.advice", "tank.thinner"), FIG("solution.si.struvite", 2.38, 0.005),
      GONE("product.potassium-hydroxide.per_litre")}},
    {"tank/the_same_at_its_own_ph_goes_together",
     {TWO("monoammonium-phosphate", "2 g/L", "magnesium-sulfate-heptahydrate", "3 g/L")},
     BD_CARE,
     {QUIET("tank.struvite"), SAID("tank.advice", "tank.together")}},
    {"tank/struvite_of_diammonium_phosphate_stops",
     {TWO("diammonium-phosphate", "2 g/L", "magnesium-sulfate-heptahydrate", "3 g/L")},
     BD_STOP,
     {FOUND("tank.struvite", BD_STOP), QUIET("mix.ammonia")}},
    /* What falls out of a mix is permitted as thin as it stops no more, and typed in it does not.
     */
    {"thinned/gypsum",
     {THREE("10 g/L", "8 g/L", "12 g/L")},
     BD_STOP,
     {FOUND("tank.gypsum", BD_STOP),
      FIG("product.potassium-nitrate.per_litre.permitted", 4.36, 1e-6),
      FIG("product.calcium-nitrate.per_litre.permitted", 3.48, 1e-6),
      FIG("product.magnesium-sulfate-heptahydrate.per_litre.permitted", 5.23, 1e-6),
      FIG("product.calcium-nitrate.per_tank.permitted", 17.4, 1e-6)}},
    {"thinned/gypsum_typed_in",
     {THREE("4.36 g/L", "3.48 g/L", "5.23 g/L")},
     BD_CARE,
     {QUIET("tank.gypsum"), GONE("product.calcium-nitrate.per_litre.permitted")}},
    {"thinned/gypsum_a_little_more",
     {THREE("4.41 g/L", "3.53 g/L", "5.29 g/L")},
     BD_STOP,
     {FOUND("tank.gypsum", BD_STOP)}},
    {"thinned/struvite_by_lye",
     {TWO("monoammonium-phosphate", "2 g/L", "magnesium-sulfate-heptahydrate", "3 g/L"), "--ph",
      "8.5"},
     BD_STOP,
     {FIG("product.monoammonium-phosphate.per_litre.permitted", 0.43, 1e-6),
      FIG("product.magnesium-sulfate-heptahydrate.per_litre.permitted", 0.645, 1e-6)}},
    {"thinned/struvite_by_lye_typed_in",
     {TWO("monoammonium-phosphate", "0.43 g/L", "magnesium-sulfate-heptahydrate", "0.645 g/L"),
      "--ph", "8.5"},
     BD_CARE,
     {SAID("tank.struvite", "tank.may_scale")}},
    {"thinned/what_never_clears_is_kept_apart",
     {TWO("calcium-nitrate", "10 g/L", "dipotassium-phosphate", "10 g/L")},
     BD_STOP,
     {SAID("tank.advice", "tank.never"),
      FIG("product.calcium-nitrate.per_litre.permitted", 0, 1e-12),
      FIG("product.dipotassium-phosphate.per_litre.permitted", 0, 1e-12),
      GONE("product.calcium-nitrate.per_tank.permitted")}},
    {"thinned/what_the_water_brings_is_no_matter_of_days",
     {TWO("potassium-nitrate", "2 g/L", "monopotassium-phosphate", "4 g/L"), "--water", "hard"},
     BD_STOP,
     {SAID("tank.brushite", "tank.falls_out_with_water"),
      SAID("tank.advice", "tank.never_in_this_water"),
      FIG("product.potassium-nitrate.per_litre.permitted", 0, 1e-12)}},
    {"tank/calcite_stops",
     {TWO("calcium-chloride-dihydrate", "2 g/L", "potassium-bicarbonate", "2 g/L")},
     BD_STOP,
     {FOUND("tank.calcite", BD_STOP), SAID("tank.advice", "tank.thinner")}},
    {"tank/a_little_struvite_is_used_at_once",
     {TWO("diammonium-phosphate", "0.4 g/L", "magnesium-sulfate-heptahydrate", "0.6 g/L")},
     BD_CARE,
     {SAID("tank.struvite", "tank.may_scale"), SAID("tank.advice", "tank.only_at_once")}},
    {"tank/hard_water_alone_stops_nothing",
     {"spray", "--material", "potassium-nitrate", "--target", "product 2 g/L", "--water", "hard",
      "--water-temperature", "60C", "--crop", "tomato"},
     BD_CARE,
     {SAID("tank.calcite", "tank.may_scale"), FOUND("tank.calcite", BD_CARE)}},
    /* Gas needs an alkali beside the ammonium. */
    {"ammonia/diammonium_phosphate_in_water",
     DRESS("diammonium-phosphate", "--analysis", "21-53-0", "--target", "P2O5 0.5 g/bag",
           "--days-left", "60", "--per-bag", "2L"),
     BD_CARE,
     {QUIET("mix.ammonia"), QUIET("mix.free_ammonia"), FIG("solution.ph", 7.79, 0.01)}},
    {"ammonia/dipotassium_phosphate_beside_ammonium",
     {TWO("dipotassium-phosphate", "2 g/L", "ammonium-sulfate", "2 g/L")},
     BD_CARE,
     {QUIET("mix.ammonia"), QUIET("mix.free_ammonia")}},
    {"ammonia/carbonate_beside_ammonium",
     {TWO("potassium-carbonate", "2 g/L", "ammonium-sulfate", "2 g/L")},
     BD_STOP,
     {FOUND("mix.ammonia", BD_STOP), QUIET("tank.advice")}},
    {"ammonia/borax_sets_some_free",
     {TWO("borax", "2 g/L", "ammonium-sulfate", "0.2 g/L")},
     BD_CARE,
     {QUIET("mix.ammonia"), FOUND("mix.free_ammonia", BD_CARE)}},
    {"ammonia/lye_sets_it_free",
     {"spray", "--material", "monoammonium-phosphate", "--pure", "--target", "product 2 g/L",
      "--crop", "tomato", "--ph", "9.5"},
     BD_STOP,
     {FOUND("mix.free_ammonia", BD_STOP), SAID("mix.free_ammonia", "tank.ammonia_by_lye")}},
    /* No more to spare than the tank holds: 80 x 0.06 L are 4.8 L, and 5.28 are more than 5. */
    {"spare/no_more_than_the_tank_holds",
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--crop",
      "tomato", "--tank", "5L", "--bags", "80", "--canopy", "1m2"},
     BD_NOTE,
     {FIG("product.for_need", 50.0, 1e-6), FIG("product.per_tank", 50.0, 1e-6),
      STEP("work.spray_spare_cut")}},
    {"spare/nor_than_two_of_them_hold", /* 160 x 0.06 are 9.6 L */
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--crop",
      "tomato", "--tank", "5L", "--bags", "160", "--canopy", "1m2"},
     BD_NOTE,
     {FIG("product.for_need", 100.0, 1e-6)}},
    {"spare/where_it_fits_it_is_a_tenth", /* 20 x 0.06 are 1.2 L */
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--crop",
      "tomato", "--tank", "5L", "--bags", "20", "--canopy", "1m2"},
     BD_CARE,
     {FIG("product.for_need", 13.2, 1e-6), STEP("work.spray_spare")}},
    {"spare/a_tank_that_nobody_said_holds_what_it_must",
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--crop",
      "tomato", "--bags", "80", "--canopy", "1m2"},
     BD_NOTE,
     {FIG("product.for_need", 52.8, 1e-6)}},
    /* Lye and acid are weighed and count. */
    {"titrant/lye", /* 5 g/L KH2PO4 hold 1.437 g K; 1.121 g KOH 0.781; flakes of 87 % */
     {"spray", "--material", "monopotassium-phosphate", "--pure", "--target", "product 5 g/L",
      "--tank", "15L", "--crop", "tomato", "--ph", "7"},
     BD_CARE,
     {FIG("solution.koh", 1.121, 0.001), FIG("nutrient.K.per_litre", 1.437 + 0.781, 0.002),
      FIG("solution.salts", 6.121, 0.001),
      FIG("product.potassium-hydroxide.per_litre", 1.289, 0.002),
      FIG("product.potassium-hydroxide.per_tank", 19.33, 0.05),
      SAID("solution.titrant", "titrant.lye"), STEP("work.titrant"),
      FOUND("limit.salts", BD_NOTE)}},
    /* 110 mmol/L of phosphate; by hand pK2 is 6.8 at I 0.3, so 94 % of it is HPO4-- at pH 8. */
    {"titrant/lye_fills_up_what_all_salts_may_be",
     {"spray", "--material", "monopotassium-phosphate", "--pure", "--target", "product 15 g/L",
      "--crop", "tomato", "--ph", "8"},
     BD_CARE,
     {FOUND("limit.salts", BD_CARE), FIG("solution.salts", 15.0 + 0.94 * 6.18, 0.05)}},
    /* By hand, 15 degC: 21 umol/L of carbonic acid out of the air, I 0.1.  At pH 9 it takes 1.08
     * of lye each, at pH 10 1.45; OH- is 5.9 and 59 umol/L: 28 and 89 umol/L of KOH, 56.1 g/mol. */
    {"titrant/lye_of_what_the_fresh_mix_holds",
     {"spray", "--material", "potassium-nitrate", "--analysis", "13-0-46", "--target",
      "product 10 g/L", "--tank", "5L", "--crop", "tomato", "--ph", "9"},
     BD_CARE,
     {FIG("solution.koh", 0.0016, 1e-4), FIG("solution.ph", 9.0, 1e-6),
      FIG("solution.salts", 10.0, 0.01), FOUND("limit.spray.ph", BD_CARE)}},
    {"titrant/and_where_the_alkali_itself_begins_to_count",
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--crop",
      "tomato", "--ph", "10"},
     BD_CARE,
     {FIG("solution.koh", 0.0050, 1e-4), FOUND("limit.spray.ph", BD_CARE)}},
    {"titrant/a_ph_that_no_mix_of_the_air_has",
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--crop",
      "tomato", "--ph", "11"},
     BD_CARE,
     {FIG("solution.koh", 0.0346, 1e-3), FIG("solution.ph", 11.0, 1e-6)}},
    {"titrant/acid", /* 0.0799 g HNO3 hold 0.0178 g N; 13.3 % N is 59.8 % acid of 1.37 kg/L */
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--tank",
      "15L", "--crop", "tomato", "--ph", "3"},
     BD_CARE,
     {FIG("solution.hno3", 0.0799, 1e-4), FIG("nutrient.N.per_litre", 1.3854 + 0.0178, 2e-4),
      FIG("product.nitric-acid.per_tank", 2.004, 0.002),
      FIG("product.nitric-acid.volume_per_tank", 1.463, 0.002),
      SAID("solution.titrant", "titrant.acid")}},
    {"titrant/of_as_much_as_is_mixed", /* 20 x 0.06 L and a tenth: 1.32 L of the 15, at 1.289 g/L */
     {"spray", "--material", "monopotassium-phosphate", "--pure", "--target", "product 5 g/L",
      "--tank", "15L", "--bags", "20", "--canopy", "1m2", "--crop", "tomato", "--ph", "7"},
     BD_CARE,
     {FIG("product.potassium-hydroxide.for_need", 1.289 * 1.32, 0.003),
      GONE("product.potassium-hydroxide.per_tank"), SAID("solution.titrant", "titrant.lye")}},
    {"titrant/what_no_scale_shows_is_left", /* 0.13 L would take 0.17 g */
     {"spray", "--material", "monopotassium-phosphate", "--pure", "--target", "product 5 g/L",
      "--tank", "15L", "--bags", "20", "--canopy", "0.1m2", "--crop", "tomato", "--ph", "7"},
     BD_CARE,
     {GONE("product.potassium-hydroxide.for_need"), GONE("product.potassium-hydroxide.per_litre"),
      FIG("solution.koh", 1.121, 0.001), SAID("solution.titrant", "titrant.too_little")}},
    {"titrant/a_finer_scale_shows_it",
     {"spray", "--material", "monopotassium-phosphate", "--pure", "--target", "product 5 g/L",
      "--tank", "15L", "--bags", "20", "--canopy", "0.1m2", "--crop", "tomato", "--ph", "7",
      "--scale-step", "0.1g"},
     BD_CARE,
     {FIG("product.potassium-hydroxide.for_need", 0.1702, 0.001),
      SAID("solution.titrant", "titrant.lye")}},
    {"titrant/what_no_syringe_shows_is_left", /* 0.097 mL/L in 5 L */
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--tank",
      "5L", "--crop", "tomato", "--ph", "3"},
     BD_CARE,
     {GONE("product.nitric-acid.per_tank"), GONE("product.nitric-acid.volume_per_litre"),
      SAID("solution.titrant", "titrant.too_little")}},
    {"titrant/a_finer_syringe_shows_it",
     {"spray", "--material", "potassium-nitrate", "--pure", "--target", "product 10 g/L", "--tank",
      "5L", "--crop", "tomato", "--ph", "3", "--syringe-step", "0.1mL"},
     BD_CARE,
     {FIG("product.nitric-acid.volume_per_tank", 1.463 / 3.0, 0.001),
      SAID("solution.titrant", "titrant.acid")}},
    {"titrant/of_all_bags",
     DRESS("monopotassium-phosphate", "--pure", "--target", "product 2 g/bag", "--days-left", "60",
           "--per-bag", "2L", "--ph", "7"),
     BD_CARE,
     {FIG("product.potassium-hydroxide.total", 8 * 0.2179, 0.005),
      FIG("nutrient.K.per_litre", 0.4194, 0.001), FIG("nutrient.K.per_bag", 0.8388, 0.002),
      /* 0.29 without the lye, of at most 0.3; and 6.9 mmol of potassium salt in 9.4 L, 0.081 */
      FOUND("limit.drench.K", BD_CARE), FIG("soil.ece_peak", 1.029 + 0.081, 0.002)}},
    /* Beyond the model crystals count what the others bring: K2SO4 85 and KNO3 160 g/L. */
    {"crystals/two_salts_of_one_ion",
     {"stock", "--material", "potassium-sulfate", "--target", "product 0.85 g/L", "--material",
      "potassium-nitrate", "--target", "product 1.6 g/L", "--ratio", "1 in 100", "--coldest",
      "15C"},
     BD_STOP,
     {FOUND("limit.solubility", BD_STOP), SAID("limit.solubility", "solubility.over_beside"),
      FOUND("solubility.estimate", BD_NOTE)}},
    {"crystals/one_of_them_alone",
     {"stock", "--material", "potassium-sulfate", "--target", "product 0.85 g/L", "--ratio",
      "1 in 100", "--coldest", "15C"},
     BD_CARE,
     {SAID("limit.solubility", "solubility.within"), QUIET("solubility.estimate")}},
};

static const bd_finding *finding(const bd_card *card, const char *id)
{
    for (size_t i = 0; i < card->finding_count; i++)
        if (strcmp(card->findings[i].id, id) == 0)
            return &card->findings[i];
    return NULL;
}

static bool has_step(const bd_card *card, const char *key)
{
    for (size_t i = 0; i < card->step_count; i++)
        if (strcmp(card->working[i].line.key, key) == 0)
            return true;
    return false;
}

static void run_check(const bd_card *card, const check *c)
{
    const bd_figure *f = c->look == END ? NULL : bd_card_get(card, c->id);
    const bd_finding *said = c->look == END ? NULL : finding(card, c->id);

    switch (c->look) {
    case END:
        return;
    case FIGURE:
    case AT_MOST:
        if (f == NULL)
            fail_msg("no figure '%s'", c->id);
        else if (c->look == FIGURE)
            assert_close(f->value.typical, c->value, c->tolerance);
        else
            assert_true(f->value.high > 0.0 && f->value.high <= c->value);
        return;
    case NO_FIGURE:
        assert_null(f);
        return;
    case FINDING:
        if (said == NULL)
            fail_msg("no finding '%s'", c->id);
        else
            assert_int_equal(said->level, (int)c->value);
        return;
    case NO_FINDING:
        assert_null(said);
        return;
    case SAYS:
        if (said == NULL)
            fail_msg("no finding '%s'", c->id);
        else
            assert_string_equal(said->line.key, c->key);
        return;
    case WORKED:
        if (!has_step(card, c->id))
            fail_msg("no step '%s'", c->id);
        return;
    }
}

static void run_scenario(void **state)
{
    const scenario *s = *state;
    bd_request *request = test_calloc(1, sizeof *request);
    bd_card card;
    bd_error err = {0};
    bd_job job = BD_JOB_SPRAY;
    int count = 0;

    while (count < MOST_WORDS && s->words[count] != NULL)
        count++;
    assert_int_equal(bd_job_find(s->words[0], &job, &err), BD_OK);
    if (bd_request_read(job, count - 1, (char *const *)(s->words + 1), request, &err) != BD_OK ||
        bd_job_run(&know, request, &card, &err) != BD_OK)
        fail_msg("%s: %s; %s", err.where, err.text, err.accepts);
    assert_int_equal(bd_card_verdict(&card), s->verdict);
    for (size_t i = 0; i < MOST_CHECKS; i++)
        run_check(&card, &s->checks[i]);
    bd_card_clear(&card);
    test_free(request);
}

static int load(void **state)
{
    bd_error err = {0};

    (void)state;
    return bd_knowledge_load(NULL, &know, &err) == BD_OK ? 0 : -1;
}

static int unload(void **state)
{
    (void)state;
    bd_knowledge_free(&know);
    return 0;
}

int main(void)
{
    enum {
        DOSES = sizeof scenarios / sizeof scenarios[0],
        WATERS = sizeof waters / sizeof waters[0]
    };
    struct CMUnitTest tests[DOSES + WATERS];

    for (size_t i = 0; i < DOSES + WATERS; i++) {
        const scenario *s = i < DOSES ? &scenarios[i] : &waters[i - DOSES];

        tests[i] = (struct CMUnitTest){s->name, run_scenario, NULL, NULL, (void *)s};
    }
    return cmocka_run_group_tests(tests, load, unload);
}
