/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_IDENTIFY_H
#define WHYFIT_IDENTIFY_H

#include "question.h"

/*
 * What is this on the bench? From what was seen and measured to the parts or units that
 * are left, and the look that splits those best.
 *
 * A candidate falls out only where it surely cannot be what was seen: its record and the
 * reading, each with its uncertainty, lie apart. What nobody recorded, what a partial
 * list may hold and what the looker cannot tell exclude nothing; hints (years, serial
 * numbers, models, numbers) rank and never exclude.
 *
 * The next look. Every candidate left is taken as equally likely. Of one whose answer to
 * a look is recorded, the look leaves those that this answer (read as drawn, with the
 * gauge's uncertainty) does not exclude; of one whose answer nobody recorded it is taken
 * to leave all. The bits that a look brings are log2 of the candidates less the mean of
 * log2 of what it leaves, and the best look brings most bits a minute. The mean and not
 * the worst case: where one candidate lacks a record its answer excludes nothing, so the
 * worst case would call every such look worthless. A look for which a unit has to be
 * opened comes after all that need no opening. A field of a feature that some candidate
 * lacks is asked only where it tells more than whether the feature is there.
 */

enum hinted {
    HINTED_FOR, /* a hint names it */
    HINTED_NOT, /* no hint says anything of it */
    HINTED_AGAINST
};

struct candidate {
    text name;
    text title;
    text kind;
    text number;
    text superseded_by; /* the maker's claim; may be empty */
    bool is_unit;
    enum hinted hinted;
    const text *hints; /* what its lists say: "year 2002 to 2006" */
    uint32_t hint_count;
};

/* How a thing that was seen was taken. */
struct seen_echo {
    text name;
    text value; /* as it was said */
    text taken; /* "40 ±0.03 mm", "cannot be told"; empty: as it was said */
    bool is_hint;
};

enum look_kind {
    LOOK_PRESENCE, /* yes or no */
    LOOK_KIND,     /* a kind of part */
    LOOK_PART,     /* a part; nobody is asked for it */
    LOOK_WORD,
    LOOK_COUNT,
    LOOK_QUANTITY
};

const char *look_kind_word(enum look_kind kind); /* "presence", "kind", "part", … */

/* What a candidate is recorded to be, and what was seen instead. */
struct misfit {
    text field;
    enum look_kind kind;
    text is; /* "18"; empty: it surely has none */
    text seen;
    double gap; /* between the two, as a share of what was seen; 1 of what is no number */
};

struct fallen {
    struct candidate candidate;
    const struct misfit *misfits; /* by field; one at least */
    uint32_t misfit_count;
};

/* One answer to a look, and how many it leaves. */
struct look_answer {
    text value; /* "21", "30 ±0.1 mm"; "none" */
    uint32_t left;
};

struct look {
    text name; /* "hub-spline.teeth": what --seen is asked with */
    text says; /* "run hub-spline, teeth"; of a unit with its place */
    text like; /* of a feature: what it looks like on a candidate that has it */
    enum look_kind kind;
    struct dimension dim; /* of a quantity */
    text from;            /* of a position: the face it is counted from */
    text way;             /* "caliper", as the vocabulary has it */
    text way_title;
    double uncertainty; /* coherent; NAN: it is no reading */
    double minutes;     /* with opening the unit; NAN: nobody says */
    bool needs_opening;
    double bits;
    double mean_left;
    uint32_t most_left;
    const struct look_answer *answers; /* by value */
    uint32_t answer_count;
};

struct identification {
    text of; /* as it was asked */
    text gauges;
    uint32_t most;
    bool is_of_units;
    const struct seen_echo *seen; /* by name */
    uint32_t seen_count;
    uint32_t candidate_count;
    const struct candidate *left; /* by hints, then name; the first of left_count */
    uint32_t left_shown;
    uint32_t left_count;
    const struct fallen *fallen; /* fewest misfits first, then least gap, then name */
    uint32_t fallen_shown;
    uint32_t fallen_count;
    const struct look *looks; /* best first */
    uint32_t look_count;
    uint32_t look_total; /* all that would split them */
};

enum {
    IDENTIFY_SHOWN = 20, /* of either list, unless question->most says more */
    IDENTIFY_LOOKS = 3
};

struct typed_match;

/* What tells several parts or units apart: for each of them, in their order, what it
 * answers to the look that splits them best, "spacer.kind: seal-ring"; empty texts where
 * nothing that is recorded tells. */
MUST_USE status identify_apart(struct arena *arena, const struct knowledge *knowledge,
                               const struct typed_match *matches, uint32_t count,
                               struct diagnostics *diagnostics, const text **out);

/* Answers question->command "identify": question->of is a kind, `units`, a part or unit,
 * or a number; `seen` and `hints` are pairs. answer->identification holds it. */
MUST_USE status identify_answer(struct arena *arena, const struct knowledge *knowledge,
                                const struct question *question,
                                const struct swap_limits *limits,
                                struct diagnostics *diagnostics, struct answer **out);

#endif
