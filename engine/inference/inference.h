/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_INFERENCE_H
#define WHYFIT_INFERENCE_H

#include "rule_tree.h"

/*
 * Forward chaining. Groups in order; in each two passes, first sure (every condition yes,
 * every denied row absent altogether), then open (conditions yes or open, no denied row
 * sure); each pass semi-naive. A row keeps only its height; its reasons are found
 * backwards when asked.
 *
 * Over a store with a parent only what is new can fire anything: a version of a rule
 * starts from each of the store's own rows.
 */
struct inference_counts {
    uint64_t rows_added;
    uint64_t premises_tried; /* the steps of joins, denials and aggregates */
    uint64_t rounds;
};

struct inference_plans;

/* Room for how rules are matched, kept from question to question over one frozen store;
 * one thread's. It fills as rules are met. NULL: no memory. */
MUST_USE struct inference_plans *inference_plans_open(struct arena *arena,
                                                      const struct rule_base *rules);

struct inference_options {
    const struct names *names;
    struct inference_plans *plans;   /* NULL: made anew for this run */
    void *world;                     /* handed to functions in formulas */
    uint64_t row_limit;              /* rows that may be added; 0: LIMIT_ROWS */
    uint64_t step_limit;             /* premises that may be tried; 0: none */
    struct inference_counts *counts; /* what searches for reasons cost is added here, and
                                        limits hold for all of it; NULL: each search is
                                        counted for itself */
    bool (*go_on)(void *context);    /* may be NULL */
    void *go_on_context;
};

/* Two sure derivations with different values for one key: of several such keys the least
 * as text. */
struct inference_conflict {
    const struct row *there;
    const struct value *other; /* the values that were refused */
    const struct rule *rule;   /* that gives them */
};

/* Runs the rules to their end. STATUS_INVALID: a values-conflict, reported and described
 * in *conflict (may be NULL), or a pattern that takes too long, reported. STATUS_LIMIT
 * names the rule that grew in a diagnostic. */
MUST_USE status inference_run(const struct rule_base *rules, struct store *store,
                              struct arena *arena,
                              const struct inference_options *options,
                              struct diagnostics *diagnostics,
                              struct inference_counts *counts,
                              struct inference_conflict *conflict);

/* Why a row concluded by a rule is there: the justification that is least by premise
 * heights (highest premise first), then rule name, then premise keys as text in the order
 * of their conditions as text. */
struct justification {
    const struct rule *rule;
    const struct value *slots;         /* the rule's variables as bound */
    const struct row *const *premises; /* one a `given`, in the rule's order */
    const struct row *const *extra;    /* rows that functions looked at */
    uint32_t extra_count;
    struct doubt doubt; /* joined over its open conditions */
};

/* STATUS_NOT_FOUND: the row is not one a rule concluded. */
MUST_USE status justification_find(const struct rule_base *rules, struct store *store,
                                   struct arena *arena,
                                   const struct inference_options *options,
                                   const struct row *row, struct justification *out);

/* The least sure derivation of the row's key that gives other values than the row has;
 * they are in *values. STATUS_NOT_FOUND: all agree. */
MUST_USE status justification_other(const struct rule_base *rules, struct store *store,
                                    struct arena *arena,
                                    const struct inference_options *options,
                                    const struct row *row, struct justification *out,
                                    const struct value **values);

#endif
