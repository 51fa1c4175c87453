/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CLAIM_AGREES_H
#define WHYFIT_CLAIM_AGREES_H

#include "listing_private.h"

/* How a claim about a part itself goes with what is recorded of one. */
enum agreement {
    AGREES_NOT,
    AGREES,
    AGREES_UNKNOWN /* nothing is recorded */
};

/* A claim made ready to be held against many parts. */
enum {
    MOST_SIZES = 3
};
struct ready_claim {
    const struct claim *claim;
    name_id what[MOST_SIZES]; /* of each size; NAME_NONE: of anything */
    name_id value;            /* of features, sides, kinds and threads */
    int64_t count;
    double sizes[MOST_SIZES]; /* mm */
    double within[MOST_SIZES];
    uint32_t size_count; /* 0 of a dimension: it could not be read */
};

struct ready_claim claim_ready(const struct knowledge *knowledge,
                               const struct claim *claim);

/* *row: what it rests on, or NULL. */
enum agreement claim_agrees(const struct listing_bench *bench,
                            const struct ready_claim *ready, uint32_t part,
                            const struct shown **shown);

/* Whether it is about the part itself: a kind, pattern word, side, size or count. */
bool claim_narrows(enum claim_kind kind);

#endif
