/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MATCH_RULE_H
#define WHYFIT_MATCH_RULE_H

#include "inference.h"
#include "limits.h"
#include "match_plan.h"

/*
 * One rule matched against the store: its conditions joined by the slots they share, then
 * counted, computed and filtered. Whoever matches fills the first part, may bind slots
 * beforehand, and gets every match through `found`.
 */
struct match {
    const struct rule_base *rules;
    const struct rule *rule;
    struct store *store;
    struct arena *arena;
    struct arena *meanwhile; /* for what matching needs for itself; NULL: arena */
    const struct inference_options *options;
    struct diagnostics *diagnostics; /* for the frame; may be NULL */
    struct inference_counts *counts;
    bool only_sure;     /* leave out whatever is open */
    uint64_t next_look; /* so many rows tried: limits are asked again */
    bool met_open;      /* something open was left out because only_sure */
    bool keeps_rows; /* the rows an aggregate rests on are wanted too: frame.rests_on */
    uint32_t below;  /* only premises of a lower height; UINT32_MAX: any */
    bool (*found)(struct match *match); /* false stops the search */
    void *context;
    const struct plan *plan; /* of match_run's driver, nothing bound before; NULL: it is
                                made for each run */

    struct scan scans[LIMIT_CONDITIONS]; /* one a step of the plan; only those … */
    uint32_t ready;                      /* … with a bit here are ready for any key */

    /* the match so far */
    struct value slots[LIMIT_VARIABLES];
    name_id cells[LIMIT_VARIABLES]; /* of key variables, as key columns hold them */
    uint64_t bound;                 /* bit v: variable v has a value */
    const struct row *premises[LIMIT_CONDITIONS];
    uint32_t heights[LIMIT_CONDITIONS]; /* of the premises */
    bool is_open;
    struct doubt doubt;
    struct formula_frame frame;
    status result; /* why the search was stopped early */
};

static inline bool match_is_bound(const struct match *match, uint32_t variable)
{
    return (match->bound >> variable & 1u) != 0;
}

/* Binds a key variable to a cell. */
static inline void match_bind_key(struct match *match, uint32_t variable, name_id cell)
{
    match->bound |= UINT64_C(1) << variable;
    match->cells[variable] = cell;
    match->slots[variable] = match->rule->variables[variable].is_number_key
                                 ? value_count((int64_t)cell)
                                 : value_word(cell);
}

/* Searches all matches in which one of the rows numbered from..end-1 (as store_row
 * numbers them) stands for the plan's first condition. Rows that are added meanwhile may
 * not be seen by the other conditions. */
status match_run_rows(struct match *match, uint32_t from, uint32_t end);

/* Searches all matches, with `driver` (a condition's index, or UINT32_MAX) fixed to
 * `row`. */
status match_run(struct match *match, uint32_t driver, const struct row *row);

/* lacks.c: notes what may be missing from what the rules of a finished group conclude.
 * The match lends its store and its room. */
MUST_USE status match_lacks(struct match *match, const struct rule_group *group);

/* Why rows of a relation may be missing, of one owner or (NULL) of any; no doubt: none
 * may. */
struct doubt match_gaps_of(struct match *match, relation_id relation,
                           const name_id *owner);

/* The height of what the match concludes: one more than its highest premise. */
uint32_t match_height(const struct match *match);

/* The key and values of a conclusion. */
void match_conclusion(struct match *match, const struct conclusion *conclusion,
                      name_id *key, struct value *values);
/* The key and both values of the finding; false: out of memory, match->result says so. */
bool match_finding(struct match *match, name_id *key, struct value *values);

#endif
