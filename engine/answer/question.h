/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_QUESTION_H
#define WHYFIT_QUESTION_H

#include "answer.h"

/* A swap question in the user's words. Each text may come with a span in a source such as
 * "argument 3", so that faults can point at it. */
struct worded_pair {
    text name; /* PLACE, A+B, PLACE.FEATURE.FIELD, or PART.FEATURE.FIELD */
    text value;
    span name_where;
    span where; /* of the value */
};

struct worded_text {
    text word;
    span where;
};

struct question {
    text command; /* "swap", "leaks", "lint", "why", "why-not", "upgrade", "measure",
                     "sheet" or "identify"; empty: swap */
    text unit;
    span unit_where;
    const struct worded_pair *changes;
    uint32_t change_count;
    const struct worded_pair *given;
    uint32_t given_count;
    bool allows_machining; /* mends that cut metal may be chosen */
    bool is_trial;         /* a mend being tried: it tries no others */
    bool forgives_given;   /* a given value that no piece takes is passed over */
    text of; /* why, why-not: "RELATION: column=name"; identify: a kind, number or name */
    span of_where;
    const struct worded_pair *seen; /* identify: FEATURE.FIELD and what was seen */
    uint32_t seen_count;
    const struct worded_pair *hints;
    uint32_t hint_count;
    text gauges; /* measure, identify: those at hand, with commas or blanks between;
                    empty: all */
    span gauges_where;
    uint32_t
        most; /* why: rows shown; 0: EXPLAINED_ROWS. upgrade: sets; 0: UPGRADE_SETS */
    uint32_t depth;           /* why-not: how many levels to go down */
    struct worded_pair sweep; /* swap: a dimension and a range; empty: none */
    /* upgrade */
    text toward; /* a unit; empty: `want` says what is wanted */
    span toward_where;
    const struct worded_pair *want;
    uint32_t want_count;
    const struct worded_text *have; /* parts that the user has */
    uint32_t have_count;
    uint64_t tries;   /* swaps tried at most; 0: UPGRADE_TRIES */
    uint32_t largest; /* changes in one set at most; 0: as many as there are places */
};

struct swap_limits {
    uint64_t rows;
    uint64_t steps;
    bool (*go_on)(void *context);
    void *go_on_context;
    /* What tries many swaps hands them out here: runs task(of, i) for every i below
     * count, on as many threads as it likes, and comes back when all are done. NULL: one
     * after the other. */
    void (*spread)(void *context, size_t count, void (*task)(void *of, size_t i),
                   void *of);
    void *spread_context;
    /* Told now and then how many swaps were tried. May be NULL. */
    void (*progress)(void *context, uint64_t tried, uint64_t waiting);
    void *progress_context;
    struct inference_plans *plans; /* kept by who asks many questions; may be NULL */
    struct effort *effort; /* of one swap with the mends that it tries, for which the
                              limits hold: is added to. NULL: nobody asks, and each mend
                              has the limits for itself */
};

/* Adds what was spent on one of several swaps to what was spent on all (NULL: nobody
 * asks). */
static inline void effort_add(struct effort *all, const struct effort *one)
{
    if (all != NULL) {
        all->counts.rows_added += one->counts.rows_added;
        all->counts.premises_tried += one->counts.premises_tried;
        all->rows_read += one->rows_read;
    }
}

/* Answers it. Faults in the question (or two sure derivations that contradict) are
 * reported and give STATUS_INVALID and no answer. The answer lives in `arena` and borrows
 * the knowledge. */
MUST_USE status swap_answer(struct arena *arena, const struct knowledge *knowledge,
                            const struct question *question,
                            const struct swap_limits *limits,
                            struct diagnostics *diagnostics, struct answer **out);

#endif
