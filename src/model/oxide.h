/*
 * oxide.h - from what a label declares to the element a plant takes up, and back.
 *
 * May include: base/, quantity/, nutrients/.  No stdio, no JSON.
 */
#ifndef BD_MODEL_OXIDE_H
#define BD_MODEL_OXIDE_H

#include "quantity/nutrient.h"

/*
 * An amount counted in `form` as an amount of the element: K2O 0.46 -> K 0.3819.
 * Any unit, any sign.  An element form is given back as it is.
 *
 * Method   K = K2O * 2 A(K) / (2 A(K) + A(O)), unrounded.
 * Source   atomic weights of nutrients/element.def.
 */
double bd_as_element(bd_nutrient_form form, double amount);

/* The way back: K 0.3819 as K2O -> 0.46. */
double bd_as_form(bd_nutrient_form form, double element_amount);

#endif
