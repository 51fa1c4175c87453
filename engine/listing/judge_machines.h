/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_JUDGE_MACHINES_H
#define WHYFIT_JUDGE_MACHINES_H

#include "claim_years.h"

enum {
    MOST_HELD = 64 /* parts left that models and years are held against */
};

/* What a listing tells of one of its parts. */
struct subject {
    struct lister *lister;
    struct arena *arena;
    struct listing_answer *listing;
    uint32_t part;  /* its number in the listing */
    uint32_t *left; /* the parts that it can be, by index */
    uint32_t left_count;
    bool by_number;
    bool is_narrowed; /* something recorded was told of it */
};

/* What is claimed of machines: models and years, and what the part replaces. */
bool claim_is_machine(enum claim_kind kind);
/* Whether somebody recorded the number of a claim, and of which part. */
bool number_is_known(const struct subject *subject, const struct claim *claim,
                     uint32_t *part);
void claim_judge(struct claim *claim, enum judgement judgement, text why);

/* Judges them against the parts that are left. With several parts it is enough that a
 * claim is true of one, or of all together; of a set it must be true of all together.
 * *set: all parts, sorted, where some claim of machines is decided by them together; else
 * NULL. */
MUST_USE status judge_machines(struct subject *subjects, struct listing_answer *listing,
                               const uint32_t **set);

#endif
