/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_UPGRADE_H
#define WHYFIT_UPGRADE_H

#include "candidates.h"
#include "swap_trial.h"

/*
 * What has to change together: the minimal change sets of a unit that hold what is
 * wanted, cheapest first; those of which it is not known whether they work, apart; and
 * what each smaller set was refused for. Toward another unit there is one search for each
 * place in which the two differ, and all of that unit as a set of its own.
 */

/* What a set costs. What the user has, and what comes with another part, costs nothing
 * more; opening the unit is counted once. */
struct set_cost {
    bool is_priced; /* every piece that has to be got has a price */
    double price;
    struct dimension currency;
    bool has_labour; /* some of the times are stated */
    double labour;
    uint32_t pieces; /* that have to be got */
};

/* A margin that is not what it was, by the difference of its forms; or a check that now
 * holds and did not, or the other way round. */
enum change_of_margin {
    MARGIN_HOLDS_NOW,
    MARGIN_GREW,
    MARGIN_SHRANK,
    MARGIN_FAILS_NOW
};
struct margin_change {
    enum change_of_margin kind;
    const struct finding *finding; /* with its host's */
    const struct form *by;
};

/* A figure that the vocabulary calls better when it is more, or less. */
struct figure_change {
    text of; /* "bearing-span of shaft: length" */
    bool is_better;
    const struct form *before;
    const struct form *now;
};

/* A smaller set, and what it is refused for. */
struct refused_set {
    const struct named_pair *changes;
    uint32_t change_count;
    enum verdict verdict;
    bool is_tried; /* else it holds a conflict of a set that was */
    text rule;
    text sentence;
    const struct named_pair
        *conflict; /* what it rests on: places, with what fills them */
    uint32_t conflict_count;
};

struct change_set_answer {
    const struct answer *swap; /* in full */
    const struct set_part *parts;
    uint32_t part_count;
    struct set_cost cost;
    const struct margin_change *margins;
    uint32_t margin_count;
    const struct figure_change *figures;
    uint32_t figure_count;
    const struct refused_set *refused; /* all smaller ones that hold what was wanted */
    uint32_t refused_count;
};

struct upgrade_search {
    const struct named_pair *goal;
    uint32_t goal_count;
    const struct change_set_answer *sets; /* that work, cheapest first */
    uint32_t set_count;
    uint32_t set_total; /* those not shown too */
    const struct change_set_answer *not_known;
    uint32_t not_known_count;
    uint32_t not_known_total;
    struct refused_set alone; /* what was wanted, without any other change */
    uint64_t tried;
    bool is_cut; /* a bound was reached: not all sets were tried */
};

struct place_candidates {
    text place;
    uint32_t count;
    uint32_t left_out;
};

struct upgrade {
    text toward; /* empty: parts are wanted */
    const struct named_pair *want;
    uint32_t want_count;
    const text *have;
    uint32_t have_count;
    uint32_t most;    /* sets shown for each search */
    uint64_t tries;   /* the bound on swaps tried */
    uint32_t largest; /* … and on the changes of a set; 0: none */
    const struct upgrade_search *searches;
    uint32_t search_count;
    const struct change_set_answer *whole; /* NULL: it is one place, or none was asked */
    const struct outlay *whole_outlay;     /* of the other unit as one thing */
    const text *no_place; /* places of the other unit that this one lacks */
    uint32_t no_place_count;
    const struct place_candidates *candidates; /* by place; those with any */
    uint32_t candidate_count;
    bool is_by_price; /* the order; else by pieces, as some price is not stated */
    uint64_t tried;
    bool is_cut;
};

enum {
    UPGRADE_SETS = 3,     /* shown unless the question asks for more or fewer */
    UPGRADE_TRIES = 2000, /* swaps tried unless it asks for more or fewer */
    UPGRADE_MOST_TRIES = 1000000
};

/* Answers `upgrade`: answer->upgrade holds it. The answer's verdict is `fits` where some
 * set works, `not known` where only such are found, else `does not fit`. */
MUST_USE status upgrade_answer(struct arena *arena, const struct knowledge *knowledge,
                               const struct question *question,
                               const struct swap_limits *limits,
                               struct diagnostics *diagnostics, struct answer **out);

#endif
