/* SPDX-License-Identifier: MIT */
/* How far holes may stand off, and how a circle of holes is measured. */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

static const double half_turn = 3.14159265358979323846;

static const struct form *room_of(struct function_call *call)
{
    return form_subtract(call->arena, call_form(call, 0), call_form(call, 1));
}

/* A hole or a fastener of no size is none. */
static bool lacks_size(struct function_call *call)
{
    static const char why[] = "a hole and a fastener have a size";
    return call_refuses(call, call_form(call, 0), false, why) ||
           call_refuses(call, call_form(call, 1), false, why);
}

static bool run_floating(struct function_call *call)
{
    return lacks_size(call) || call_give(call, room_of(call));
}

static bool run_fixed(struct function_call *call)
{
    return lacks_size(call) ||
           call_give(call, form_scale(call->arena, room_of(call), 0.5));
}

/* chord, holes */
static double circle_of(const double *x)
{
    return x[0] > 0.0 && x[1] >= 2.0 ? x[0] / sin(half_turn / x[1]) : NAN;
}

static const char too_few[] = "a circle has two holes or more, a whole number of them";
static const struct form_law circle_law = {2, circle_of, too_few};

static bool run_circle(struct function_call *call)
{
    const struct form *holes = call_form(call, 1);
    const struct form *chord = call_form(call, 0);
    if (chord != NULL && holes != NULL && form_is_number(holes) &&
        holes->nominal != round(holes->nominal)) {
        return call_give(call, form_undefined(call->arena, chord->dim, too_few));
    }
    return call_give_law(call, &circle_law);
}

static const struct function_entry bolt_circle_of_chord = {
    .name = "bolt_circle_of_chord",
    .arguments = {{ARGUMENT_QUANTITY, "length", "middle to middle of neighbours"},
                  {ARGUMENT_QUANTITY, "ratio", "holes"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_circle,
    .source = "geometry: chord / sin(180 deg / holes)",
    .range = "2 or more holes, evenly spaced",
    .help = "A bolt circle's diameter from two neighbouring holes."};

static const struct function_entry fixed_fastener_tolerance = {
    .name = "fixed_fastener_tolerance",
    .arguments = {{ARGUMENT_QUANTITY, "length", "least clearance hole"},
                  {ARGUMENT_QUANTITY, "length", "greatest fastener"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_fixed,
    .source = "ASME Y14.5-2018, appendix B, fixed fasteners: T = (H - F) / 2",
    .range =
        "0 < hole, fastener; one part tapped or studded, with a projected tolerance zone",
    .help = "The position tolerance (a diameter) that each part may take."};

static const struct function_entry floating_fastener_tolerance = {
    .name = "floating_fastener_tolerance",
    .arguments = {{ARGUMENT_QUANTITY, "length", "least clearance hole"},
                  {ARGUMENT_QUANTITY, "length", "greatest fastener"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_floating,
    .source = "ASME Y14.5-2018, appendix B, floating fasteners: T = H - F",
    .range = "0 < hole, fastener; all parts with clearance holes, bolt and nut",
    .help = "The position tolerance (a diameter) that each part may take."};

static const struct function_entry *const entries[] = {
    &bolt_circle_of_chord, &fixed_fastener_tolerance, &floating_fastener_tolerance};

const struct function_table fastener_functions = {entries,
                                                  sizeof entries / sizeof *entries};
