/* SPDX-License-Identifier: MIT */
/*
 * Goes down a condition that is not as wanted to the part that decides alone: under `and`
 * the first operand that says no, under `not` what says yes. An `or` of which no operand
 * says yes is the part itself.
 */
#include "formula_shortfall.h"

#include "formula_tree.h"

static struct value run_part(struct expression *at, const struct formula *formula,
                             struct formula_frame *frame)
{
    const struct formula part = {formula->text, formula->where, at};
    return formula_run(&part, frame);
}

static bool is_comparison(const struct expression *at)
{
    return at->operation >= OPERATION_EQUAL && at->operation <= OPERATION_GREATER_EQUAL;
}

/* The first operand that alone makes `and` no, or `or` yes. NULL where it takes all of
 * them to make `or` no, or `and` yes. */
static struct expression *deciding(const struct expression *at,
                                   const struct formula *formula,
                                   struct formula_frame *frame, bool is_wanted)
{
    if ((at->operation == OPERATION_AND) != is_wanted) {
        return NULL;
    }
    for (uint32_t i = 0; i < at->count; i++) {
        const enum truth truth = run_part(at->operands[i], formula, frame).truth;
        if (truth == (is_wanted ? TRUTH_NO : TRUTH_YES)) {
            return at->operands[i];
        }
    }
    return NULL;
}

static const struct form *apart(struct arena *arena, struct value left,
                                struct value right)
{
    const struct value sides[2] = {left, right};
    const struct form *forms[2] = {NULL, NULL};
    for (int i = 0; i < 2; i++) {
        forms[i] = sides[i].kind == VALUE_QUANTITY ? sides[i].quantity
                   : sides[i].kind == VALUE_COUNT
                       ? form_exact(arena, DIMENSION_RATIO, (double)sides[i].count)
                       : NULL;
    }
    return forms[0] == NULL || forms[1] == NULL
               ? NULL
               : form_abs(arena, form_subtract(arena, forms[0], forms[1]));
}

struct formula_shortfall formula_shortfall(const struct formula *formula,
                                           struct formula_frame *frame)
{
    struct expression *at = formula->root;
    struct expression *next = at;
    bool is_wanted = true;
    while (next != NULL) {
        at = next;
        next = at->operation == OPERATION_NOT ? at->operands[0]
               : at->operation == OPERATION_AND || at->operation == OPERATION_OR
                   ? deciding(at, formula, frame, is_wanted)
                   : NULL;
        is_wanted = at->operation == OPERATION_NOT ? !is_wanted : is_wanted;
    }
    const text part = formula_write(frame->arena, at);
    struct formula_shortfall out = {
        .part =
            is_wanted ? part : text_format(frame->arena, "not (%.*s)", TEXT_ARG(part))};
    if (is_comparison(at)) {
        out.left = run_part(at->operands[0], formula, frame);
        out.right = run_part(at->operands[1], formula, frame);
        out.by = apart(frame->arena, out.left, out.right);
    }
    return out;
}
