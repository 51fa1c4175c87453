/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_UPGRADE_PRIVATE_H
#define WHYFIT_UPGRADE_PRIVATE_H

#include "change_search.h"
#include "swap_private.h"
#include "upgrade.h"

/* set_parts.c: what a swap takes off the shelf, by place; mends must have been tried. */
MUST_USE status swap_parts(struct swap *swap, const struct set_part **out,
                           uint32_t *count);

/* set_cost.c: marks what the user has, and adds up the rest. `host` is opened once. */
struct set_cost set_cost_of(const struct recipe *host, const struct set_part *parts,
                            uint32_t count);
bool cost_before(const struct set_cost *a, const struct set_cost *b, bool by_price,
                 bool *is_equal);

/* set_gains.c: margins and figures that changed, what grew first. */
MUST_USE status swap_gains(struct swap *swap, struct change_set_answer *out);

/* What answering `upgrade` shares. */
struct upgrading {
    struct arena *arena;
    const struct knowledge *knowledge;
    const struct question *question;
    const struct swap_limits *limits;
    struct diagnostics *diagnostics;
    const struct recipe *host;
    const struct recipe *toward;
    ARRAY_OF(struct wanted_fill) wanted; /* by place */
    struct candidates candidates;
    ARRAY_OF(struct change_search *) searches;
    struct upgrade *upgrade;
};

/* upgrade_read.c: the question's words: what is wanted, and what is at hand. */
MUST_USE status upgrade_read(struct upgrading *upgrading);

/* upgrade_sets.c: the sets of all searches, by what they cost, each in full. */
MUST_USE status upgrade_describe(struct upgrading *upgrading);
/* One set in full, whether it works or not; its parts as they were tried. */
MUST_USE status upgrade_describe_set(struct upgrading *upgrading,
                                     const struct change_search *search,
                                     const uint16_t *words,
                                     const struct swap_trial *trial,
                                     struct change_set_answer *out);

#endif
