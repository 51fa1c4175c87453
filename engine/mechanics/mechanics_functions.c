/* SPDX-License-Identifier: MIT */
/*
 * Published equations as functions for formulas: quantities in, one quantity out. Each
 * entry is one row of a table sorted by name, with the source of its equation; a domain
 * error (a section that may be zero) is a result without a number, never a fault.
 */
#include "mechanics_functions.h"

#include <math.h>

static const struct form *argument_form(const struct function_call *call, uint32_t i)
{
    return call->arguments[i].quantity;
}

static bool give(struct function_call *call, const struct form *form)
{
    call->result = value_quantity(form);
    return form != NULL;
}

/* 1 - gland depth / section: so written, each dimension enters its range once. */
static bool run_squeeze(struct function_call *call)
{
    const struct form *left =
        form_divide(call->arena, argument_form(call, 1), argument_form(call, 0));
    const struct form *whole = form_exact(call->arena, DIMENSION_RATIO, 1.0);
    return give(call, form_subtract(call->arena, whole, left));
}

/* groove diameter / inside diameter - 1, likewise. */
static bool run_stretch(struct function_call *call)
{
    const struct form *grown =
        form_divide(call->arena, argument_form(call, 0), argument_form(call, 1));
    const struct form *whole = form_exact(call->arena, DIMENSION_RATIO, 1.0);
    return give(call, form_subtract(call->arena, grown, whole));
}

/* pi · d · n: half the diameter times the turning speed in radians a second. */
static bool run_surface_speed(struct function_call *call)
{
    struct dimension speed = DIMENSION_RATIO;
    const struct form *product =
        form_multiply(call->arena, argument_form(call, 0), argument_form(call, 1));
    const struct form *half =
        product == NULL ? NULL : form_scale(call->arena, product, 0.5);
    struct form *made = half == NULL ? NULL : arena_copy(call->arena, half, sizeof *half);
    if (made != NULL && dimension_find(TEXT("speed"), &speed)) {
        made->dim = speed; /* a radian is a plain number here */
    }
    return give(call, made);
}

/* length · expansion · temperature difference */
static bool run_thermal_growth(struct function_call *call)
{
    const struct form *per_kelvin =
        form_multiply(call->arena, argument_form(call, 0), argument_form(call, 1));
    return give(call, form_multiply(call->arena, per_kelvin, argument_form(call, 2)));
}

/* The nearer way round between two angles of one circle: 0 to half a turn. */
static bool run_clock_apart(struct function_call *call)
{
    const double turn = 2.0 * acos(-1.0);
    const struct form *apart =
        form_subtract(call->arena, argument_form(call, 0), argument_form(call, 1));
    if (apart == NULL) {
        return false;
    }
    const double whole = form_misses(apart) ? 0.0 : round(apart->nominal / turn) * turn;
    const struct form *near =
        form_abs(call->arena, form_subtract(call->arena, apart,
                                            form_exact(call->arena, apart->dim, whole)));
    if (near == NULL || near->greatest <= turn / 2.0) {
        return give(call, near);
    }
    /* Past half a turn the other way round is nearer. */
    return give(
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
    .help = "How far two angles of one circle are apart, the nearer way round."};

static const struct function_entry ring_squeeze = {
    .name = "ring_squeeze",
    .arguments = {{ARGUMENT_QUANTITY, "length", "section"},
                  {ARGUMENT_QUANTITY, "length", "gland depth"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_squeeze,
    .source = "ISO 3601-2 (definition of the compression of the section)",
    .help = "How much of an O-ring's section its gland takes away."};

static const struct function_entry ring_stretch = {
    .name = "ring_stretch",
    .arguments = {{ARGUMENT_QUANTITY, "length", "groove diameter"},
                  {ARGUMENT_QUANTITY, "length", "inside diameter"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_stretch,
    .source = "ISO 3601-2 (definition of the stretch of the inside diameter)",
    .help = "How much longer an O-ring is on its groove than free."};

static const struct function_entry surface_speed = {
    .name = "surface_speed",
    .arguments = {{ARGUMENT_QUANTITY, "length", "diameter"},
                  {ARGUMENT_QUANTITY, "turning-speed", "speed"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "speed", ""},
    .run = run_surface_speed,
    .source = "geometry: v = pi d n",
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
    .help = "How much a length grows over a temperature difference."};

const struct function_table *mechanics_functions(void)
{
    static const struct function_entry *const entries[] = {
        &clock_apart, &ring_squeeze, &ring_stretch, &surface_speed, &thermal_growth};
    static const struct function_table table = {entries,
                                                sizeof entries / sizeof *entries};
    return &table;
}
