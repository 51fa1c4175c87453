/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LINT_H
#define WHYFIT_LINT_H

#include "question.h"

/* What is not sound about a unit as it is written. */
struct lint_fault {
    text unit;
    span where; /* of the unit, or of what is wrong with its text */
    text rule;  /* or the word of a diagnostic's code */
    text sentence;
    const struct diagnostic *problem; /* why the unit cannot even be laid; else NULL */
};

struct lint {
    const struct lint_fault *faults; /* by unit, then rule, then sentence */
    uint32_t fault_count;
    uint32_t unit_count;
};

/* Asks every unit, as it is written, what the rules that answer lint find. A unit that
 * cannot even be laid is a fault too. */
MUST_USE status lint_answer(struct arena *arena, const struct knowledge *knowledge,
                            const struct swap_limits *limits, struct lint *out);

#endif
