/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_EXPLANATION_H
#define WHYFIT_EXPLANATION_H

#include "question.h"
#include "row_query.h"

/*
 * What `why` and `why-not` add to an answer: the rows asked of. Where a query names no
 * owner, it means the swapped unit, its pieces, and tables. Rows are sorted by their
 * texts.
 */
enum {
    EXPLAINED_ROWS = 10, /* shown unless the question asks for more or fewer */
    NEAREST_ROWS = 3
};

/* A row that is there. */
struct explained_row {
    const struct row *row;
    uint32_t step; /* of the answer; 0 in `why-not` */
    text sentence; /* what its rule says of it; empty where no rule made it */
};

struct explanation {
    struct row_query query;
    text asked;    /* the query as it was understood */
    uint32_t most; /* rows shown at most */
    const struct explained_row *rows;
    uint32_t row_count;
    uint32_t match_count; /* those not shown too */
    /* where no row matches: rows that agree with most of what was asked */
    const struct row *const *nearest;
    uint32_t nearest_count;
};

/* Answers `why` of question->of: the chains of the rows as steps of the answer. */
MUST_USE status why_answer(struct arena *arena, const struct knowledge *knowledge,
                           const struct question *question,
                           const struct swap_limits *limits,
                           struct diagnostics *diagnostics, struct answer **out);

#endif
