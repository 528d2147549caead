#include "model/oxide.h"

#include "nutrients/formula.h"

double bd_as_element(bd_nutrient_form form, double amount)
{
    return form.is_oxide ? amount * bd_oxide_element_share(form.nutrient) : amount;
}

double bd_as_form(bd_nutrient_form form, double element_amount)
{
    return form.is_oxide ? element_amount / bd_oxide_element_share(form.nutrient) : element_amount;
}
