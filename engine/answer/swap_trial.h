/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_SWAP_TRIAL_H
#define WHYFIT_SWAP_TRIAL_H

#include "question.h"

/* A part that has to be at hand for a swap, and why. */
enum part_reason {
    PART_ASKED,
    PART_COMES_WITH, /* sold with another */
    PART_GOES_WITH,  /* fitted along, as its maker says */
    PART_RENEWED,    /* the same number new, as a mend */
    PART_BOUGHT      /* added, as a mend */
};
const char *part_reason_word(enum part_reason reason); /* "asked", "comes with", … */

struct set_part {
    text place;
    text part;
    enum part_reason reason;
    bool is_had;                 /* the user has it */
    const struct outlay *outlay; /* NULL: nothing is known of it */
};

/*
 * A swap tried by a search: its verdict, and of each finding that keeps it from working
 * the places that finding rests on. That is all a search needs, so no steps, leaks or
 * lists are made.
 *
 * A refusal `holds_elsewhere` where every other swap that fills those places, and every
 * place whose parts could bring or take away lines of the unit, just so has the same
 * finding: it was derived from rows that are there alone (no denial, no aggregate, none
 * open), it is new or the host's holds, and no mend is offered for it.
 */
struct refusal {
    text rule;
    text sentence;
    const struct named_pair *places; /* by name, each once, with what fills it */
    uint32_t place_count;
    bool is_failure; /* else it is not known */
    bool holds_elsewhere;
};

struct swap_trial {
    bool is_fault; /* it cannot be put together so; the only refusal says why */
    enum verdict verdict;
    const struct refusal *refusals; /* of a swap that does not fit its failures, of one
                                       that is not known what is open; in the order of an
                                       answer's findings */
    uint32_t refusal_count;
    const struct set_part *parts; /* unless it does not fit */
    uint32_t part_count;
    uint64_t used_given; /* bit i: a piece took given value i */
};

MUST_USE status swap_trial(struct arena *arena, const struct knowledge *knowledge,
                           const struct question *question,
                           const struct swap_limits *limits, struct swap_trial *out);

#endif
