/*
 * titrant.h - the lye or acid that brings a solution to the pH asked for: how much of it, what it
 * brings along, and that it burns.
 *
 * Shared by the jobs that dissolve; not for the command.
 */
#ifndef BD_JOB_TITRANT_H
#define BD_JOB_TITRANT_H

#include "job/delivers.h"
#include "model/solution.h"
#include "request/request.h"

/* Potassium hydroxide or nitric acid; all 0 where neither is needed. */
typedef struct bd_titrant {
    const bd_material *material; /* NULL: none                             */
    bd_product product;          /* of the usual strength                  */
    bd_range strength;           /* of that, pure, by mass [share]         */
    double pure_g_per_l;         /* in a litre of solution                 */
    double mol_per_l;
    bd_range g_per_l; /* of the usual strength                  */
    double step;      /* of the tool: g of a scale for lye, mL of a syringe for acid */
} bd_titrant;

/*
 * What a solved solution was titrated with, and the step of the tool for it (--scale-step,
 * --syringe-step, else the usual one).  Returns BD_OK, or trouble with the material.
 */
bd_status bd_titrant_of(const bd_knowledge *know, const bd_request *request,
                        const bd_solution *solution, bd_titrant *out, bd_error *err) BD_MUST_CHECK;

/* Whether so many litres of solution take as much of it as one step of the tool. */
bool bd_titrant_can_be_measured(const bd_titrant *titrant, double litres);

/* A nutrient that it brings [g/L], at the high end. */
double bd_titrant_brings(const bd_titrant *titrant, bd_nutrient nutrient);

/* Adds what it brings in so many litres. */
void bd_titrant_deliver(const bd_titrant *titrant, double litres, bd_delivery *delivery);

/*
 * Figures solution.koh or solution.hno3, pure, and unless the card says stop what to weigh of the
 * usual strength, product.<material>.per_litre and .per_tank, .for_need or .total (an acid's by
 * volume too); the steps between in the working, and how to go about it.  What no tool measures is
 * not said in grams, but that the pH is best left.
 *
 *   litres  of all the solution
 *   whole   "per_tank", "for_need" or "total"
 */
void bd_titrant_show(const bd_titrant *titrant, double litres, const char *whole, bd_card *card);

/* Its hazards and cautions come on the card like those of a product. */
void bd_titrant_handling(const bd_titrant *titrant, bd_handling *handling);

#endif
