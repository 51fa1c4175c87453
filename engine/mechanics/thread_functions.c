/* SPDX-License-Identifier: MIT */
/*
 * ISO metric threads: the diameters of the basic profile, the section that carries, and
 * what strips. Of a thread with tolerances the caller hands the forms; of one that is
 * known by its size only, the basic sizes.
 */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

static const double pi = 3.14159265358979323846;
static const char no_thread[] = "the pitch is too coarse for the diameter";

/* major - share · pitch, where that leaves anything. */
static bool give_below_major(struct function_call *call, double share)
{
    const struct form *pitch = call_form(call, 1);
    const struct form *left = form_subtract(call->arena, call_form(call, 0),
                                            form_scale(call->arena, pitch, share));
    if (left != NULL && !form_misses(left) &&
        (left->least <= 0.0 || pitch->least <= 0.0)) {
        left = form_undefined(call->arena, left->dim, no_thread);
    }
    return call_give(call, left);
}

/* H = sqrt(3)/2 · P: the flanks meet at 3/8 H, 5/8 H and 17/24 H below the major. */
static bool run_pitch_diameter(struct function_call *call)
{
    return give_below_major(call, 0.375 * sqrt(3.0));
}

static bool run_minor_diameter(struct function_call *call)
{
    return give_below_major(call, 0.625 * sqrt(3.0));
}

static bool run_core_diameter(struct function_call *call)
{
    return give_below_major(call, 17.0 / 24.0 * sqrt(3.0));
}

/* pi/4 · ((d2 + d3) / 2)^2 */
static double stress_area(const double *x)
{
    const double mean = x[0] - 13.0 / 24.0 * sqrt(3.0) * x[1];
    return x[1] > 0.0 && mean > 0.0 ? pi / 4.0 * mean * mean : NAN;
}

/* 2 · stress area / (pi d2 / 2) */
static double engagement(const double *x)
{
    const double pitch_diameter = x[0] - 0.375 * sqrt(3.0) * x[1];
    const bool has_core = x[0] > 17.0 / 24.0 * sqrt(3.0) * x[1];
    return has_core ? 4.0 * stress_area(x) / (pi * pitch_diameter) : NAN;
}

/* pi · length / pitch · across · (pitch/2 + overlap/sqrt(3)): what shears at a diameter.
 */
static double strip_area(double length, double pitch, double across, double overlap)
{
    const double thick = pitch / 2.0 + overlap / sqrt(3.0);
    return pitch > 0.0 && across > 0.0 && thick > 0.0
               ? pi * length / pitch * across * thick
               : NAN;
}

/* length, pitch, bolt's pitch diameter, nut's minor: at the nut's minor the bolt strips.
 */
static double bolt_strip_area(const double *x)
{
    return strip_area(x[0], x[1], x[3], x[2] - x[3]);
}

/* length, pitch, bolt's major, nut's pitch diameter: at the bolt's major the nut strips.
 */
static double nut_strip_area(const double *x)
{
    return strip_area(x[0], x[1], x[2], x[2] - x[3]);
}

static const struct form_law stress_area_law = {2, stress_area, no_thread};
static const struct form_law engagement_law = {2, engagement, no_thread};
static const struct form_law bolt_strip_area_law = {4, bolt_strip_area,
                                                    "the threads do not meet"};
static const struct form_law nut_strip_area_law = {4, nut_strip_area,
                                                   "the threads do not meet"};

static const struct function_entry thread_bolt_strip_area = {
    .name = "thread_bolt_strip_area",
    .arguments = {{ARGUMENT_QUANTITY, "length", "engagement"},
                  {ARGUMENT_QUANTITY, "length", "pitch"},
                  {ARGUMENT_QUANTITY, "length", "pitch diameter of the bolt"},
                  {ARGUMENT_QUANTITY, "length", "minor diameter of the nut"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "area", ""},
    .run = call_own_law,
    .law = &bolt_strip_area_law,
    .source = "FED-STD-H28/2B (1991), shear area of the external thread",
    .range = "threads of 60 degrees that overlap",
    .help = "The area over which the thread of a bolt shears off in a nut."};

static const struct function_entry thread_core_diameter = {
    .name = "thread_core_diameter",
    .arguments = {{ARGUMENT_QUANTITY, "length", "major diameter"},
                  {ARGUMENT_QUANTITY, "length", "pitch"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_core_diameter,
    .source = "ISO 898-1 (d3 = d1 - H/6), ISO 724",
    .range = "0 < 1.23 pitch < major diameter",
    .help = "The diameter at the root of a metric bolt's thread."};

static const struct function_entry thread_engagement = {
    .name = "thread_engagement",
    .arguments = {{ARGUMENT_QUANTITY, "length", "major diameter"},
                  {ARGUMENT_QUANTITY, "length", "pitch"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = call_own_law,
    .law = &engagement_law,
    .source = "engineering guides: 2 At / (0.5 pi d2); FED-STD-H28 asks less where the "
              "tolerances are known",
    .range = "bolt and nut of one strength; 0 < 1.23 pitch < major diameter",
    .help = "How far a bolt must be screwed in to break before its thread strips."};

static const struct function_entry thread_minor_diameter = {
    .name = "thread_minor_diameter",
    .arguments = {{ARGUMENT_QUANTITY, "length", "major diameter"},
                  {ARGUMENT_QUANTITY, "length", "pitch"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_minor_diameter,
    .source = "ISO 724 (D1 = D - 5/4 H)",
    .range = "0 < 1.09 pitch < major diameter",
    .help = "The bore of a metric nut's thread."};

static const struct function_entry thread_nut_strip_area = {
    .name = "thread_nut_strip_area",
    .arguments = {{ARGUMENT_QUANTITY, "length", "engagement"},
                  {ARGUMENT_QUANTITY, "length", "pitch"},
                  {ARGUMENT_QUANTITY, "length", "major diameter of the bolt"},
                  {ARGUMENT_QUANTITY, "length", "pitch diameter of the nut"}},
    .argument_count = 4,
    .result = {ARGUMENT_QUANTITY, "area", ""},
    .run = call_own_law,
    .law = &nut_strip_area_law,
    .source = "FED-STD-H28/2B (1991), shear area of the internal thread",
    .range = "threads of 60 degrees that overlap",
    .help = "The area over which the thread of a nut or a tapped hole is torn out."};

static const struct function_entry thread_pitch_diameter = {
    .name = "thread_pitch_diameter",
    .arguments = {{ARGUMENT_QUANTITY, "length", "major diameter"},
                  {ARGUMENT_QUANTITY, "length", "pitch"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "length", ""},
    .run = run_pitch_diameter,
    .source = "ISO 724 (d2 = d - 3/4 H)",
    .range = "0 < 0.65 pitch < major diameter",
    .help = "Where the thread and the gap of a metric thread are equally wide."};

static const struct function_entry thread_stress_area = {
    .name = "thread_stress_area",
    .arguments = {{ARGUMENT_QUANTITY, "length", "major diameter"},
                  {ARGUMENT_QUANTITY, "length", "pitch"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "area", ""},
    .run = call_own_law,
    .law = &stress_area_law,
    .source = "ISO 898-1:2013, clause 9.1.6 (nominal stress area)",
    .range = "0 < 0.94 pitch < major diameter",
    .help = "The section of a metric bolt that carries; times a stress it is a force."};

static const struct function_entry *const entries[] = {
    &thread_bolt_strip_area, &thread_core_diameter,  &thread_engagement,
    &thread_minor_diameter,  &thread_nut_strip_area, &thread_pitch_diameter,
    &thread_stress_area};

const struct function_table thread_functions = {entries,
                                                sizeof entries / sizeof *entries};
