/* SPDX-License-Identifier: MIT */
/* What an O-ring's gland does to it, as functions for formulas. */
#include "mechanics_call.h"
#include "mechanics_functions.h"

/* 1 - gland depth / section: so written, each dimension enters its range once. */
static bool run_squeeze(struct function_call *call)
{
    const struct form *left =
        form_divide(call->arena, call_form(call, 1), call_form(call, 0));
    const struct form *whole = form_exact(call->arena, DIMENSION_RATIO, 1.0);
    return call_give(call, form_subtract(call->arena, whole, left));
}

/* groove diameter / inside diameter - 1, likewise. */
static bool run_stretch(struct function_call *call)
{
    const struct form *grown =
        form_divide(call->arena, call_form(call, 0), call_form(call, 1));
    const struct form *whole = form_exact(call->arena, DIMENSION_RATIO, 1.0);
    return call_give(call, form_subtract(call->arena, grown, whole));
}

static const struct function_entry ring_squeeze = {
    .name = "ring_squeeze",
    .arguments = {{ARGUMENT_QUANTITY, "length", "section"},
                  {ARGUMENT_QUANTITY, "length", "gland depth"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_squeeze,
    .source = "ISO 3601-2 (definition of the compression of the section)",
    .range = "0 < section",
    .help = "How much of an O-ring's section its gland takes away."};

static const struct function_entry ring_stretch = {
    .name = "ring_stretch",
    .arguments = {{ARGUMENT_QUANTITY, "length", "groove diameter"},
                  {ARGUMENT_QUANTITY, "length", "inside diameter"}},
    .argument_count = 2,
    .result = {ARGUMENT_QUANTITY, "ratio", ""},
    .run = run_stretch,
    .source = "ISO 3601-2 (definition of the stretch of the inside diameter)",
    .range = "0 < inside diameter",
    .help = "How much longer an O-ring is on its groove than free."};

static const struct function_entry *const entries[] = {&ring_squeeze, &ring_stretch};

const struct function_table ring_functions = {entries, sizeof entries / sizeof *entries};
