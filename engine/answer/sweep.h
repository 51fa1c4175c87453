/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SWEEP_H
#define WHYFIT_SWEEP_H

#include "question.h"

/*
 * How a swap's verdict and margins change while one dimension goes over a range. The
 * dimension keeps its width at every point. Where the verdict of one point is another
 * than that of the next, the value at which it turns is found exactly where some margin
 * is linear in the dimension there, and is asked on either side to make sure; else by
 * halving. What turns twice between two points is not seen: more steps see it.
 */
struct sweep_margin {
    text rule;
    text subject; /* "seal, shaft" */
    enum outcome outcome;
    bool counts;
    const struct form *margin; /* its terms are not kept */
    double holds_from;         /* of the dimension; NAN where the margin does not say */
    double fails_from;
};

struct sweep_point {
    double at; /* coherent */
    enum verdict verdict;
    text because;                       /* the first reason */
    const struct sweep_margin *margins; /* in the order of `changing` */
};

struct sweep_turn {
    enum verdict before;
    enum verdict after;
    bool is_exact;
    double low; /* the verdict is `before` up to here, and `after` from `high` on; the
                   same where it is exact */
    double high;
    text rule; /* whose margin turns there; empty where halving found it */
};

struct sweep {
    text of;    /* "shaft.hub-spline.from" */
    text range; /* as it was asked */
    struct dimension dim;
    double from;
    double to;
    uint32_t steps;
    bool has_width; /* of its limits, which every point keeps */
    double width_low;
    double width_high;
    const struct sweep_point *points; /* steps + 1 */
    uint32_t point_count;
    uint32_t margin_count; /* of each point: findings whose margin or outcome changes */
    const struct sweep_turn *turns;
    uint32_t turn_count;
};

enum {
    SWEEP_STEPS = 10, /* unless the question says otherwise */
    SWEEP_MOST_STEPS = 1000
};

/* Answers `swap` with question->sweep: answer->sweep holds it beside the swap without
 * it. */
MUST_USE status sweep_answer(struct arena *arena, const struct knowledge *knowledge,
                             const struct question *question,
                             const struct swap_limits *limits,
                             struct diagnostics *diagnostics, struct answer **out);

#endif
