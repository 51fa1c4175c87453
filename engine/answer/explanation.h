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

/* What kept a row away, level by level. */
enum why_not_end {
    WHY_NOT_ATTEMPTS, /* rules were tried */
    WHY_NOT_FACT,     /* only facts give such rows */
    WHY_NOT_COMPUTED, /* it is computed from others */
    WHY_NOT_NO_RULE,  /* no rule gives such a row */
    WHY_NOT_DEPTH,    /* this is as deep as was asked */
    WHY_NOT_CIRCLE    /* it is asked for above */
};

struct why_not_tree {
    struct wanted_row wanted;
    text asked;
    enum why_not_end end;
    const struct why_not_attempt *attempts;
    const struct why_not_tree *const *below; /* one an attempt: of the row it misses; NULL
                                                where it misses none */
    uint32_t attempt_count;
};

struct explanation {
    struct wanted_row query;
    text asked;    /* the query as it was understood */
    uint32_t most; /* rows shown at most */
    const struct explained_row *rows;
    uint32_t row_count;
    uint32_t match_count; /* those not shown too */
    /* where no row matches: rows that agree with most of what was asked */
    const struct row *const *nearest;
    uint32_t nearest_count;
    uint32_t depth;                   /* why-not: levels to go down */
    const struct fallen_line *fallen; /* lines of the unit that say nothing any more */
    uint32_t fallen_count;
    const struct why_not_tree *why_not; /* NULL in `why`, and where a row is there */
};

/* Answers `why` of question->of: the chains of the rows as steps of the answer. */
MUST_USE status why_answer(struct arena *arena, const struct knowledge *knowledge,
                           const struct question *question,
                           const struct swap_limits *limits,
                           struct diagnostics *diagnostics, struct answer **out);

/* Answers `why-not` of question->of: what keeps such a row away. */
MUST_USE status why_not_answer(struct arena *arena, const struct knowledge *knowledge,
                               const struct question *question,
                               const struct swap_limits *limits,
                               struct diagnostics *diagnostics, struct answer **out);

#endif
