/* SPDX-License-Identifier: MIT */
/*
 * Press and shrink fits as functions for formulas: thick rings after Lamé, elastic, of
 * one material each, as long as each other, so that the pressure is even. Written as
 * operations on forms, so that a diameter which is in the interference and in the ring
 * is one diameter.
 */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

/* (1 + q²) / (1 - q²), q the bore of a ring over its outside: how a ring turns pressure
 * into hoop stress. Convex in q. */
static double ring_ratio(double q)
{
    return (1.0 + q * q) / (1.0 - q * q);
}

static double ring_ratio_slope(double q)
{
    const double wall = 1.0 - q * q;
    return 4.0 * q / (wall * wall);
}

static bool ring_ratio_range(double least, double greatest, double *least_out,
                             double *greatest_out)
{
    *least_out = ring_ratio(least);
    *greatest_out = ring_ratio(greatest);
    return least >= 0.0 && greatest < 1.0;
}

static const struct form *ring(struct arena *arena, const struct form *bore,
                               const struct form *outside)
{
    static const struct form_curve curve = {
        ring_ratio, ring_ratio_slope, ring_ratio_range, true,
        "a ring needs a wall between its bore and its outside"};
    return form_apply(arena, form_divide(arena, bore, outside), &curve, DIMENSION_RATIO);
}

static const struct form *nothing_like(struct arena *arena, const struct form *of)
{
    return of == NULL ? NULL : form_exact(arena, of->dim, 0.0);
}

/* What is pressed of an interference: nothing where the fit is loose. */
static const struct form *pressed(struct arena *arena, const struct form *interference)
{
    return form_max(arena, interference, nothing_like(arena, interference));
}

/* (ring ± ν) / E: how much of its diameter a ring gives for each unit of pressure. */
static const struct form *gives(struct arena *arena, const struct form *ring_form,
                                const struct form *poisson, double sign,
                                const struct form *elasticity)
{
    return form_divide(
        arena, form_add(arena, ring_form, form_scale(arena, poisson, sign)), elasticity);
}

static bool run_pressure(struct function_call *call)
{
    struct arena *arena = call->arena;
    const struct form *diameter = call_form(call, 1);
    const struct form *outer = gives(arena, ring(arena, diameter, call_form(call, 2)),
                                     call_form(call, 4), 1.0, call_form(call, 3));
    const struct form *inner = gives(arena, ring(arena, call_form(call, 5), diameter),
                                     call_form(call, 7), -1.0, call_form(call, 6));
    const struct form *both =
        form_multiply(arena, diameter, form_add(arena, outer, inner));
    return call_give(call, form_divide(arena, pressed(arena, call_form(call, 0)), both));
}

static bool run_hoop_outer(struct function_call *call)
{
    return call_give(
        call, form_multiply(call->arena, call_form(call, 0),
                            ring(call->arena, call_form(call, 1), call_form(call, 2))));
}

static bool run_hoop_inner(struct function_call *call)
{
    const struct form *around = ring(call->arena, call_form(call, 2), call_form(call, 1));
    return call_give(
        call, form_scale(call->arena,
                         form_multiply(call->arena, call_form(call, 0), around), -1.0));
}

/* At the bore of a hollow shaft, 2 / (1 - q²): one more than at the joint. */
static bool run_hoop_in_bore(struct function_call *call)
{
    if (call_refuses(call, call_form(call, 2), false, "a solid shaft has no bore")) {
        return true;
    }
    const struct form *around = ring(call->arena, call_form(call, 2), call_form(call, 1));
    const struct form *more =
        form_add(call->arena, around, form_exact(call->arena, DIMENSION_RATIO, 1.0));
    return call_give(
        call, form_scale(call->arena,
                         form_multiply(call->arena, call_form(call, 0), more), -1.0));
}

/* mu · p · pi · d · l */
static const struct form *grip(struct function_call *call)
{
    struct arena *arena = call->arena;
    const struct form *area =
        form_multiply(arena, call_form(call, 1), call_form(call, 2));
    const struct form *normal = form_multiply(arena, call_form(call, 0), area);
    return form_scale(arena, form_multiply(arena, normal, call_form(call, 3)),
                      acos(-1.0));
}

static bool run_force(struct function_call *call)
{
    return call_give(call, grip(call));
}

static bool run_torque(struct function_call *call)
{
    return call_give(
        call,
        form_scale(call->arena,
                   form_multiply(call->arena, grip(call), call_form(call, 1)), 0.5));
}

/* (interference + room) / (expansion · diameter) */
static bool run_heat(struct function_call *call)
{
    struct arena *arena = call->arena;
    const struct form *per_kelvin =
        form_multiply(arena, call_form(call, 3), call_form(call, 2));
    return call_give(call, form_divide(arena,
                                       form_add(arena, pressed(arena, call_form(call, 0)),
                                                call_form(call, 1)),
                                       per_kelvin));
}

#define LAME                                                                             \
    "Lamé's thick cylinders, elastic; as in Shigley, Mechanical Engineering "           \
    "Design, section 3-16, and DIN 7190-1"

static const struct function_entry heat_to_drop_on = {
    .name = "heat_to_drop_on",
    .arguments = {{ARGUMENT_QUANTITY, "length", "interference"},
                  {ARGUMENT_QUANTITY, "length", "room to go over"},
                  {ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "expansion", "expansion"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "temperature", ""},
    .run = run_heat,
    .source = "linear expansion; dimensions hold at 20 degC (ISO 1)",
    .range = "0 < diameter, 0 < expansion; a loose fit needs its room only",
    .help = "How much warmer than its shaft a ring must be to drop over it."};

static const struct function_entry press_force = {
    .name = "press_force",
    .arguments = {{ARGUMENT_QUANTITY, "pressure", "pressure"},
                  {ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "length", "length"},
                  {ARGUMENT_QUANTITY, "ratio", "friction"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "force", ""},
    .run = run_force,
    .source = "friction on a cylinder, mu p pi d l; NTN, Ball and Roller Bearings, "
              "equation 17.1",
    .range = "any",
    .help = "The force that presses one part onto another, or off it."};

static const struct function_entry press_hoop_in_bore = {
    .name = "press_hoop_in_bore",
    .arguments = {{ARGUMENT_QUANTITY, "pressure", "pressure"},
                  {ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "length", "bore of the shaft"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = run_hoop_in_bore,
    .source = LAME,
    .range = "0 < bore < diameter",
    .help = "The hoop stress in the bore of a hollow shaft under a press, negative."};

static const struct function_entry press_hoop_inner = {
    .name = "press_hoop_inner",
    .arguments = {{ARGUMENT_QUANTITY, "pressure", "pressure"},
                  {ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "length", "bore of the shaft"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = run_hoop_inner,
    .source = LAME,
    .range = "0 <= bore < diameter",
    .help = "The hoop stress in a shaft at its joint with a pressed ring, negative."};

static const struct function_entry press_hoop_outer = {
    .name = "press_hoop_outer",
    .arguments = {{ARGUMENT_QUANTITY, "pressure", "pressure"},
                  {ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "length", "outside of the hub"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = run_hoop_outer,
    .source = LAME,
    .range = "0 <= diameter < outside",
    .help = "The hoop stress in the bore of a pressed hub, its greatest."};

static const struct function_entry press_pressure = {
    .name = "press_pressure",
    .arguments = {{ARGUMENT_QUANTITY, "length", "interference"},
                  {ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "length", "outside of the hub"},
                  {ARGUMENT_QUANTITY, "pressure", "elasticity of the hub"},
                  {ARGUMENT_QUANTITY, "ratio", "Poisson's ratio of the hub"},
                  {ARGUMENT_QUANTITY, "length", "bore of the shaft"},
                  {ARGUMENT_QUANTITY, "pressure", "elasticity of the shaft"},
                  {ARGUMENT_QUANTITY, "ratio", "Poisson's ratio of the shaft"}},
    .argument_count = 8,
    .result = {ARGUMENT_QUANTITY, "pressure", ""},
    .run = run_pressure,
    .source = LAME,
    .range = "0 <= bore < diameter < outside; a loose fit has no pressure; below the "
             "yield of both",
    .help = "The pressure between a hub and the shaft it is pressed on."};

static const struct function_entry press_torque = {
    .name = "press_torque",
    .arguments = {{ARGUMENT_QUANTITY, "pressure", "pressure"},
                  {ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "length", "length"},
                  {ARGUMENT_QUANTITY, "ratio", "friction"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "torque", ""},
    .run = run_torque,
    .source = "friction on a cylinder, mu p pi d l at half the diameter; DIN 7190-1",
    .range = "any",
    .help = "The torque that a press fit holds by friction alone."};

static const struct function_entry *const entries[] = {
    &heat_to_drop_on,  &press_force,    &press_hoop_in_bore, &press_hoop_inner,
    &press_hoop_outer, &press_pressure, &press_torque};

const struct function_table press_functions = {entries, sizeof entries / sizeof *entries};
