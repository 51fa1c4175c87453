/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_QUESTION_H
#define WHYFIT_QUESTION_H

#include "answer.h"

/* A swap question in the user's words. Each text may come with a span in a source such as
 * "argument 3", so that faults can point at it. */
struct worded_pair {
    text name; /* PLACE, A+B, or PLACE.FEATURE.FIELD */
    text value;
    span name_where;
    span where; /* of the value */
};

struct question {
    text command; /* "swap", "leaks", "lint", "why" or "why-not"; empty: swap */
    text unit;
    span unit_where;
    const struct worded_pair *changes;
    uint32_t change_count;
    const struct worded_pair *given;
    uint32_t given_count;
    bool allows_machining; /* mends that cut metal may be chosen */
    bool is_trial;         /* a mend being tried: it tries no others */
    text of;               /* why, why-not: "RELATION: column=name" */
    span of_where;
    uint32_t most;  /* why: rows shown; 0: EXPLAINED_ROWS */
    uint32_t depth; /* why-not: how many levels to go down */
};

struct swap_limits {
    uint64_t rows;
    uint64_t steps;
    bool (*go_on)(void *context);
    void *go_on_context;
    struct inference_plans *plans; /* kept by who asks many questions; may be NULL */
    struct effort *effort; /* is added to; NULL: nobody asks, and each swap that is tried
                              has the limits for itself */
};

/* Answers it. Faults in the question (or two sure derivations that contradict) are
 * reported and give STATUS_INVALID and no answer. The answer lives in `arena` and borrows
 * the knowledge. */
MUST_USE status swap_answer(struct arena *arena, const struct knowledge *knowledge,
                            const struct question *question,
                            const struct swap_limits *limits,
                            struct diagnostics *diagnostics, struct answer **out);

#endif
