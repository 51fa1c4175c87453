/* SPDX-License-Identifier: MIT */
/* Turning, growing and angles, as functions for formulas. */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

/* pi · d · n: half the diameter times the turning speed in radians a second. */
static bool run_surface_speed(struct function_call *call)
{
    struct dimension speed = DIMENSION_RATIO;
    const struct form *product =
        form_multiply(call->arena, call_form(call, 0), call_form(call, 1));
    const struct form *half =
        product == NULL ? NULL : form_scale(call->arena, product, 0.5);
    struct form *made = half == NULL ? NULL : arena_copy(call->arena, half, sizeof *half);
    if (made != NULL && dimension_find(TEXT("speed"), &speed)) {
        made->dim = speed; /* a radian is a plain number here */
    }
    return call_give(call, made);
}

/* length · expansion · temperature difference */
static bool run_thermal_growth(struct function_call *call)
{
    const struct form *per_kelvin =
        form_multiply(call->arena, call_form(call, 0), call_form(call, 1));
    return call_give(call, form_multiply(call->arena, per_kelvin, call_form(call, 2)));
}

/* The nearer way round between two angles of one circle: 0 to half a turn. */
static bool run_clock_apart(struct function_call *call)
{
    const double turn = 2.0 * acos(-1.0);
    const struct form *apart =
        form_subtract(call->arena, call_form(call, 0), call_form(call, 1));
    if (apart == NULL) {
        return false;
    }
    const double whole = form_misses(apart) ? 0.0 : round(apart->nominal / turn) * turn;
    const struct form *near =
        form_abs(call->arena, form_subtract(call->arena, apart,
                                            form_exact(call->arena, apart->dim, whole)));
    if (near == NULL || near->greatest <= turn / 2.0) {
        return call_give(call, near);
    }
    /* Past half a turn the other way round is nearer. */
    return call_give(
        call, form_within(call->arena,
                          form_min(call->arena, near,
                                   form_subtract(
                                       call->arena,
                                       form_exact(call->arena, apart->dim, turn), near)),
                          0.0, turn / 2.0));
}

static const struct function_entry clock_apart = {
    .name = "clock_apart",
    .arguments = {{ARGUMENT_QUANTITY, "angle", "one"},
                  {ARGUMENT_QUANTITY, "angle", "other"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "angle", ""},
    .run = run_clock_apart,
    .source = "geometry",
    .range = "any",
    .help = "How far two angles of one circle are apart, the nearer way round."};

static const struct function_entry surface_speed = {
    .name = "surface_speed",
    .arguments = {{ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "turning-speed", "speed"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "speed", ""},
    .run = run_surface_speed,
    .source = "geometry: v = pi d n",
    .range = "any",
    .help = "How fast a shaft's surface runs under a lip."};

static const struct function_entry thermal_growth = {
    .name = "thermal_growth",
    .arguments = {{ARGUMENT_QUANTITY, "length", "length"},
                  {ARGUMENT_QUANTITY, "expansion", "expansion"},
                  {ARGUMENT_QUANTITY, "temperature", "temperature difference"}},
    .argument_count = 3,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_thermal_growth,
    .source = "linear expansion; dimensions hold at 20 degC (ISO 1)",
    .range = "any",
    .help = "How much a length grows over a temperature difference."};

static const struct function_entry *const entries[] = {&clock_apart, &surface_speed,
                                                       &thermal_growth};

const struct function_table motion_functions = {entries,
                                                sizeof entries / sizeof *entries};
