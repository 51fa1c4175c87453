/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TRIAL_H
#define WHYFIT_TRIAL_H

#include "worked_case.h"

/* Asking a worked case, and where its answer is not what was expected. */
enum difference_kind {
    DIFFERS,           /* `what` of the answer or of `finding` is `got` */
    FINDING_ABSENT,    /* `got`: the subjects that the rule did find, may be empty */
    FINDING_UNEXPECTED /* `got`: its outcome, margin and sentence */
};
const char *difference_word(enum difference_kind kind); /* "differs", "missing", … */

struct difference {
    enum difference_kind kind;
    text finding; /* "o-ring-has-a-land (seal spacer)"; empty: of the answer as a whole */
    text what;    /* "verdict", "margin", "work" */
    text expected;
    text got;
};

struct tried_case {
    const struct worked_case *of;
    const struct difference *differences; /* as the case has them, unexpected ones last */
    uint32_t difference_count;            /* 0: it came out */
};

/* How many files and cases there were, and what came of them. */
struct trial_counts {
    uint32_t files;
    uint32_t cases;
    uint32_t came_out;
    uint32_t differ;
    uint32_t files_at_fault; /* none of their cases was asked */
};

/* The answer (NULL where the question was refused) lives in `scratch`; what is found in
 * `arena`. */
MUST_USE status trial_case(struct arena *arena, struct arena *scratch,
                           const struct knowledge *knowledge,
                           const struct worked_case *worked,
                           const struct swap_limits *limits, const struct answer **answer,
                           struct tried_case *out);

#endif
