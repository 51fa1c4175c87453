/* SPDX-License-Identifier: MIT */
/*
 * Arithmetic without tolerance: where all that enters is exact, the form that form.h
 * would make is that of one number, so the number is worked out alone, and no form is
 * made on the way. The operations are those of forms on their nominals, in their order,
 * so every digit is the same; whatever is not plain is left to forms.
 */
#include "formula_exact.h"

#include <math.h>

static bool exact_of_value(struct value value, struct exact *out)
{
    if (value.kind == VALUE_COUNT) {
        *out = (struct exact){(double)value.count, &DIMENSION_RATIO};
        return true;
    }
    if (value.kind == VALUE_QUANTITY && value.quantity != NULL &&
        form_is_number(value.quantity)) {
        *out = (struct exact){value.quantity->nominal, &value.quantity->dim};
        return true;
    }
    return false;
}

/* Of equals the first is kept, as form_max and form_min do. */
static bool exact_choice(const struct expression *at, const struct formula_frame *frame,
                         struct exact *out)
{
    const double sign = at->builtin == BUILTIN_MAX ? 1.0 : -1.0;
    if (!formula_exact(at->operands[0], frame, out)) {
        return false;
    }
    for (uint32_t i = 1; i < at->count; i++) {
        struct exact next;
        if (!formula_exact(at->operands[i], frame, &next)) {
            return false;
        }
        if (sign * next.number > sign * out->number) {
            *out = next;
        }
    }
    return true;
}

static bool exact_builtin(const struct expression *at, const struct formula_frame *frame,
                          struct exact *out)
{
    if (at->builtin == BUILTIN_MAX || at->builtin == BUILTIN_MIN) {
        return exact_choice(at, frame, out);
    }
    if (at->builtin == BUILTIN_ABS && formula_exact(at->operands[0], frame, out)) {
        out->number = out->number >= 0.0 ? out->number : -out->number;
        return true;
    }
    return false;
}

static bool exact_linear(const struct expression *at, const struct formula_frame *frame,
                         struct exact *out)
{
    struct exact other;
    if (!formula_exact(at->operands[0], frame, out) ||
        !formula_exact(at->operands[1], frame, &other)) {
        return false;
    }
    out->number = at->operation == OPERATION_ADD ? out->number + other.number
                                                 : out->number - other.number;
    return isfinite(out->number); /* else forms say that it is too large */
}

bool formula_exact(const struct expression *at, const struct formula_frame *frame,
                   struct exact *out)
{
    switch ((int)at->operation) {
    case OPERATION_LITERAL:
        return exact_of_value(at->literal, out);
    case OPERATION_VARIABLE:
        return exact_of_value(frame->slots[at->variable], out);
    case OPERATION_MINUS:
        if (!formula_exact(at->operands[0], frame, out)) {
            return false;
        }
        out->number = 0.0 - out->number; /* no form is -0 */
        return true;
    case OPERATION_ADD:
    case OPERATION_SUBTRACT:
        return exact_linear(at, frame, out);
    case OPERATION_BUILTIN:
        return exact_builtin(at, frame, out);
    default:
        return false;
    }
}

/* As form_outcome has it: half a step of the grid rounds to nothing, and nothing holds.
 */
static bool holds(double margin, const struct dimension *dim)
{
    return margin >= 0.0 || margin >= -dimension_grid(*dim) / 2;
}

bool formula_exact_comparison(const struct expression *at,
                              const struct formula_frame *frame, bool *out)
{
    struct exact a;
    struct exact b;
    if (!formula_exact(at->operands[0], frame, &a) ||
        !formula_exact(at->operands[1], frame, &b) || !isfinite(a.number - b.number)) {
        return false;
    }
    switch ((int)at->operation) {
    case OPERATION_LESS_EQUAL:
        *out = holds(b.number - a.number, b.dim);
        return true;
    case OPERATION_GREATER_EQUAL:
        *out = holds(a.number - b.number, a.dim);
        return true;
    case OPERATION_LESS:
        *out = !holds(a.number - b.number, a.dim);
        return true;
    case OPERATION_GREATER:
        *out = !holds(b.number - a.number, b.dim);
        return true;
    case OPERATION_EQUAL:
        *out = holds(-fabs(a.number - b.number), a.dim);
        return true;
    case OPERATION_UNEQUAL:
        *out = !holds(-fabs(a.number - b.number), a.dim);
        return true;
    default:
        return false;
    }
}
