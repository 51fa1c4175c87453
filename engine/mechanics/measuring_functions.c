/* SPDX-License-Identifier: MIT */
/* How well something is measured, as functions for formulas: standard uncertainties from
 * what is known of an instrument, what they come to together, and how far from a limit a
 * reading must stay. Each takes lengths, angles, pressures alike. */
#include "mechanics_call.h"
#include "mechanics_functions.h"

#include <math.h>

static const char negative[] = "an uncertainty may be negative";

static bool give_scaled(struct function_call *call, double by)
{
    return call_refuses(call, call_form(call, 0), true, negative) ||
           call_give(call, form_scale(call->arena, call_form(call, 0), by));
}

static bool run_rectangular(struct function_call *call)
{
    return give_scaled(call, 1.0 / sqrt(3.0));
}

static bool run_triangular(struct function_call *call)
{
    return give_scaled(call, 1.0 / sqrt(6.0));
}

/* What is read to the nearest step lies anywhere within half a step of it. */
static bool run_resolution(struct function_call *call)
{
    return give_scaled(call, 1.0 / sqrt(12.0));
}

static bool run_standard(struct function_call *call)
{
    return call_give(call,
                     form_divide(call->arena, call_form(call, 0), call_form(call, 1)));
}

static bool run_mean(struct function_call *call)
{
    const struct form *root = form_root(call->arena, call_form(call, 1));
    return call_refuses(call, call_form(call, 0), true, negative) ||
           call_give(call, form_divide(call->arena, call_form(call, 0), root));
}

static double root_sum_square(const double *x)
{
    return x[0] < 0 || x[1] < 0 ? NAN : hypot(x[0], x[1]);
}

static bool run_combined(struct function_call *call)
{
    static const struct form_law law = {2, root_sum_square, negative};
    const struct form *const of[] = {call_form(call, 0), call_form(call, 1)};
    const struct dimension dim = of[0] == NULL ? DIMENSION_RATIO : of[0]->dim;
    return call_give(call, form_by_law(call->arena, &law, of, dim));
}

/* The factor of a one-sided limit that a normal deviate passes in one case of twenty. */
static bool run_guard_band(struct function_call *call)
{
    return give_scaled(call, 1.65);
}

static const struct function_entry combined_uncertainty = {
    .name = "combined_uncertainty",
    .arguments = {{ARGUMENT_QUANTITY, "any", "one"},
                  {ARGUMENT_QUANTITY, "same", "other"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = run_combined,
    .source = "JCGM 100:2008 (GUM), 5.1.2, equation 10",
    .range = "0 <= one, 0 <= other; independent of each other",
    .help =
        "What two standard uncertainties come to together: the root of their squares' "
        "sum; of three, the third with what two come to."};

static const struct function_entry guard_band = {
    .name = "guard_band",
    .arguments = {{ARGUMENT_QUANTITY, "any", "standard uncertainty"}},
    .argument_count = 1,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = run_guard_band,
    .source =
        "ISO 14253-1:2017, default rule (95 %), as two calibration procedures quote "
        "it; the edition of 1998 takes the expanded uncertainty instead",
    .range = "0 <= standard uncertainty, small beside the tolerance",
    .help =
        "How far inside a limit a reading must lie to prove conformity: 1.65 standard "
        "uncertainties."};

static const struct function_entry mean_uncertainty = {
    .name = "mean_uncertainty",
    .arguments = {{ARGUMENT_QUANTITY, "any", "spread"},
                  {ARGUMENT_QUANTITY, "ratio", "readings"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = run_mean,
    .source = "JCGM 100:2008 (GUM), 4.2.3, equation 5",
    .range = "0 <= spread; 1 <= readings",
    .help = "The standard uncertainty of the mean of several readings, from the standard "
            "deviation of one."};

static const struct function_entry rectangular_uncertainty = {
    .name = "rectangular_uncertainty",
    .arguments = {{ARGUMENT_QUANTITY, "any", "half width"}},
    .argument_count = 1,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = run_rectangular,
    .source = "JCGM 100:2008 (GUM), 4.3.7, equation 7",
    .range = "0 <= half width",
    .help = "The standard uncertainty of what lies anywhere within limits alike, such as "
            "an instrument's error limit."};

static const struct function_entry resolution_uncertainty = {
    .name = "resolution_uncertainty",
    .arguments = {{ARGUMENT_QUANTITY, "any", "step"}},
    .argument_count = 1,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = run_resolution,
    .source = "JCGM 100:2008 (GUM), F.2.2.1",
    .range = "0 <= step",
    .help = "The standard uncertainty of what is read to the nearest step: 0.29 of it."};

static const struct function_entry standard_uncertainty = {
    .name = "standard_uncertainty",
    .arguments = {{ARGUMENT_QUANTITY, "any", "expanded uncertainty"},
                  {ARGUMENT_QUANTITY, "ratio", "coverage factor"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = run_standard,
    .source = "JCGM 100:2008 (GUM), 4.3.3",
    .range = "0 < coverage factor",
    .help = "The standard uncertainty behind an expanded one that was stated with its "
            "coverage factor."};

static const struct function_entry triangular_uncertainty = {
    .name = "triangular_uncertainty",
    .arguments = {{ARGUMENT_QUANTITY, "any", "half width"}},
    .argument_count = 1,
    .result = {ARGUMENT_QUANTITY, "same", ""},
    .run = run_triangular,
    .source = "JCGM 100:2008 (GUM), 4.3.9, equation 9b",
    .range = "0 <= half width",
    .help = "The standard uncertainty of what lies within limits and mostly near their "
            "middle."};

static const struct function_entry *const entries[] = {
    &combined_uncertainty,   &guard_band,
    &mean_uncertainty,       &rectangular_uncertainty,
    &resolution_uncertainty, &standard_uncertainty,
    &triangular_uncertainty};

const struct function_table measuring_functions = {entries,
                                                   sizeof entries / sizeof *entries};
