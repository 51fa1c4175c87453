/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CHANGE_SEARCH_H
#define WHYFIT_CHANGE_SEARCH_H

#include "array.h"
#include "candidates.h"
#include "hash.h"
#include "swap_trial.h"

/*
 * The search for change sets. A set says for each place of `candidates` which of its
 * words is asked for, or 0: nothing. All sets hold the goal. Sets are looked at by their
 * size, so that whatever works is minimal and prunes all that contain it; what is not
 * known is kept apart and prunes only other sets that are not known.
 *
 * A set that is refused is grown only in places of a conflict (Reiter's hitting sets): a
 * part of its assignment that every set which holds it shares the refusal with. Where a
 * refusal rests on a denial, an aggregate or the like, the whole set is its own conflict.
 * So no set is passed over that could work; a set that holds a known conflict is grown
 * without being tried.
 *
 * Sets are tried in chunks of a fixed number, whatever the number of threads, and what a
 * chunk taught is used from the next one on: so neither threads nor their order show.
 */
struct change_set {
    const uint16_t *words; /* by place: 0, or 1 + the index of its word */
    uint32_t size;         /* places that are asked for */
};

/* What came of a set. */
struct tried_set {
    struct change_set set;
    struct swap_trial trial; /* refusals are kept where it does not work */
    bool is_tried;           /* else it holds `conflict` of an earlier one */
    uint32_t conflict;       /* index, where it was not tried */
};

struct conflict {
    const uint16_t *words; /* what the set that taught it holds */
    const bool *in;        /* the places that matter */
    bool is_failure;       /* else: not known */
    uint32_t branches;     /* words in its places that are not yet asked for */
    const struct refusal *refusal;
};

struct change_search {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question; /* its given values, and what it allows */
    const struct swap_limits *limits;
    const struct candidates *candidates;
    const uint16_t *goal;
    uint32_t largest;                    /* changes in one set at most */
    uint64_t most;                       /* swaps that may be tried yet */
    const struct change_search *earlier; /* of the same question and candidates: what they
                                            tried is not tried again; may be NULL */
    uint64_t before; /* swaps tried by other searches: for the progress */
    /* what is found */
    ARRAY_OF(struct tried_set) sets; /* all that were looked at */
    ARRAY_OF(uint32_t) works; /* indices into sets, the smaller before the larger */
    ARRAY_OF(uint32_t) not_known;
    ARRAY_OF(struct conflict) conflicts;
    struct hash_map seen; /* of sets met, tried or waiting */
    ARRAY_OF(struct change_set) met;
    uint64_t tried;
    uint64_t used_given;
    bool is_cut; /* a bound was reached: not all sets were tried */
    status result;
};

/* Runs it; the fields above "what is found" are set, the others 0. */
MUST_USE status change_search_run(struct change_search *search);

/* The question of one set; `changes` has room for one a place. */
struct question change_question(const struct change_search *search,
                                const struct change_set *set,
                                struct worded_pair *changes);
/* Why a set is refused. */
struct set_refusal {
    enum verdict verdict;
    const struct refusal *refusal; /* the first of its own, or that of a conflict that it
                                      shares with a set that was tried */
    bool is_tried;
};

/* false: it works, or nothing was found out about it. */
bool change_search_refusal(const struct change_search *search, const uint16_t *words,
                           struct set_refusal *out);

#endif
