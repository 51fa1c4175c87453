/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MATCH_PLAN_H
#define WHYFIT_MATCH_PLAN_H

#include "limits.h"
#include "rule_tree.h"

/*
 * The order in which a rule's conditions are met, and for each what a row must match and
 * what it binds: worked out once for a rule, the condition that it starts from and what
 * is bound before, so that matching only walks along.
 */
struct plan_step {
    uint32_t condition;
    uint32_t bound;   /* key columns that are known before: what an index is asked for */
    uint32_t repeats; /* key columns whose variable stands in a column before */
    uint32_t binds;   /* key columns that bind their variable */
    uint64_t variables; /* all that the step binds, of values too */
    bool has_values;    /* some value column must match or binds */
};

struct plan {
    uint32_t count;
    struct plan_step steps[LIMIT_CONDITIONS];
};

/* `driver`: the condition that comes first (UINT32_MAX: any); `bound`: variables known
 * before. Next is always the condition that is bound best: by all its key columns, else
 * by its owner, else by most of them; of several that of the fewest rows (of the store's
 * own where they are owned), then the first. */
void plan_make(struct plan *plan, const struct rule *rule, const struct store *store,
               uint32_t driver, uint64_t bound);

#endif
