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
struct plan_column {
    uint8_t column; /* among the key columns, or among the values */
    uint8_t variable;
};

struct plan_step {
    uint32_t condition;
    uint32_t bound; /* key columns that are known before: what an index is asked for */
    name_id key[LIMIT_KEY_COLUMNS]; /* what is written in them … */
    uint8_t known_count;
    uint8_t bind_count;
    uint8_t repeat_count;
    uint8_t value_count;
    struct plan_column known[LIMIT_KEY_COLUMNS];    /* … or was bound before */
    struct plan_column binds[LIMIT_KEY_COLUMNS];    /* bind their variable */
    struct plan_column repeats[LIMIT_KEY_COLUMNS];  /* stand in a column before as well */
    struct plan_column values[LIMIT_VALUE_COLUMNS]; /* do nothing but bind a variable */
    bool has_tests;     /* some value column does more: those in `values` are not all */
    uint64_t variables; /* all that the step binds, of values too */
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

/* What the step looks for, from the cells of what is bound. */
static inline void step_key(const struct plan_step *step, const name_id *cells,
                            name_id *key)
{
    for (uint32_t i = 0; i < step->known_count; i++) {
        key[step->known[i].column] = cells[step->known[i].variable];
    }
}

/* Whether a row that no index has chosen is what the step looks for. */
bool step_takes(const struct plan_step *step, const name_id *cells, const name_id *row);

/* Whether the columns of a row agree that hold one variable, which has been bound. */
static inline bool step_repeats(const struct plan_step *step, const name_id *cells,
                                const name_id *row)
{
    uint32_t i = 0;
    while (i < step->repeat_count &&
           row[step->repeats[i].column] == cells[step->repeats[i].variable]) {
        i++;
    }
    return i == step->repeat_count;
}

#endif
