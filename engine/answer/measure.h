/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MEASURE_H
#define WHYFIT_MEASURE_H

#include "question.h"

/*
 * What to measure, or look at, so that a question that is not known comes to be decided.
 * Where the verdict is open, each finding that keeps it open names dimensions; for each
 * of them the answer says which readings would decide the finding. That is worked out
 * from the margin where the dimension is linear in it, and found by asking the question
 * again with that value where it is not; either way it holds with all others as they are
 * recorded.
 */

/* A stretch of readings and what becomes of the finding in it. */
struct reading_stretch {
    double from; /* coherent; -INFINITY and INFINITY where it is open */
    double to;
    enum outcome outcome;
};

/* One word of a choice and what becomes of the finding. */
struct reading_choice {
    text word;
    enum outcome outcome;
};

/* A finding that a reading bears on. */
struct reading_use {
    const struct finding *finding;
    bool alone;                              /* nothing else is missing in it */
    const struct reading_stretch *stretches; /* by `from`; none where nothing is known */
    uint32_t stretch_count;
    const struct reading_choice *choices; /* of a word */
    uint32_t choice_count;
};

/* Where the piece is when it is measured. */
enum reach {
    REACH_IN_HAND, /* it is not in the machine yet */
    REACH_APART    /* it stays in the machine: that has to be opened */
};

/* What is wrong with the gauge that was found. */
enum gauge_state {
    GAUGE_FINE,
    GAUGE_COARSE, /* the finest there is, and not as fine as would do */
    GAUGE_NONE    /* none of those there are */
};

struct measurement {
    const struct deviation *of;
    text dimension; /* "shaft.ring-land.to" */
    text piece;
    text says;  /* what it is, from the vocabulary: "run ring-land, to" */
    text datum; /* of a position: the face it is counted from; else empty */
    enum reach reach;
    bool is_word; /* a choice to look at, no number */
    const struct reading_use *uses;
    uint32_t use_count;
    double good_enough; /* coherent: a reading known to this decides, if the piece is as
                           drawn; NAN: the finer the better */
    text gauges; /* the words by which the field is got, as the vocabulary has them */
    text gauge;  /* title of the coarsest that is fine enough */
    double uncertainty; /* of that one, coherent */
    enum gauge_state gauge_state;
};

struct measure {
    const struct measurement *measurements; /* what decides soonest first */
    uint32_t count;
    const struct finding *const *others; /* open findings that no reading decides */
    uint32_t other_count;
    uint64_t asked; /* how often the question was asked again */
};

/* Answers question->command "measure": the swap's answer, and with it answer->measure.
 * question->gauges (empty: all) are the gauges at hand. */
MUST_USE status measure_answer(struct arena *arena, const struct knowledge *knowledge,
                               const struct question *question,
                               const struct swap_limits *limits,
                               struct diagnostics *diagnostics, struct answer **out);

#endif
