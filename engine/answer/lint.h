/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LINT_H
#define WHYFIT_LINT_H

#include "question.h"

/* What is not sound about a unit as it is written, a rule, a kind or a caution. */
struct lint_fault {
    text of;    /* "unit", "rule", "kind", "caution", "relation" */
    text name;  /* of that one */
    span where; /* of it, or of what is wrong with its text */
    text rule;  /* that found it, the word of a diagnostic's code, or of what is wrong */
    text sentence;
    const struct diagnostic *problem; /* why the unit cannot even be laid; else NULL */
};

struct lint {
    const struct lint_fault *faults; /* by what it is of, name, rule, sentence */
    uint32_t fault_count;
    uint32_t unit_count;
};

/* Asks every unit, as it is written, what the rules that answer lint find; a unit that
 * cannot even be laid is a fault too. Asks of the rules whether each can match and says
 * anything new, and of the kinds whether each danger has its caution. What makes
 * knowledge meaningless (a word, name or unit nobody knows, a rule without source, runs
 * that overlap or run backwards, a size below nothing) loading has refused before. */
MUST_USE status lint_answer(struct arena *arena, const struct knowledge *knowledge,
                            const struct swap_limits *limits, struct lint *out);

#endif
