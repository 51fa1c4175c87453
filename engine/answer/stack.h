/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_STACK_H
#define WHYFIT_STACK_H

#include "answer.h"

/*
 * The loop of dimensions behind a gap: each goes along the axis or against it, and what
 * they leave is the gap. Dimensions with a tolerance (or missing) stand by name; what is
 * exact is one sum, so that the loop closes.
 */
struct stack_link {
    const struct deviation *of;
    double by;    /* +1: its whole length outboard, -1: inboard */
    double share; /* of the width of the gap's range */
};

struct stack {
    text gap;
    text from; /* "hub.out" */
    text to;
    const struct stack_link *links; /* by share, then name */
    uint32_t link_count;
    double exact;                  /* coherent: what dimensions without limits add */
    const struct form *size;       /* as it comes to with what is set */
    const struct form *before;     /* of the host; NULL: there is none, or no change */
    const struct form *want_least; /* NULL or missing: nothing is wanted */
    const struct form *want_greatest;
};

/* The gaps of the swapped unit, by name. */
uint32_t stack_gaps(struct arena *arena, const struct answer *answer, const text **out);
/* STATUS_NOT_FOUND: no gap is called so. */
MUST_USE status stack_answer(struct arena *arena, const struct answer *answer, text gap,
                             struct stack *out);

#endif
