/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_NAIVE_EVALUATOR_H
#define WHYFIT_TEST_NAIVE_EVALUATOR_H

#include "limits.h"
#include "rule_tree.h"

/*
 * What checked rules mean, worked out slowly: every rule over all rows, by nested loops
 * over plain arrays, again and again until nothing changes. It shares the rule tree,
 * formulas and values with the engine, and nothing of its inference or its indexes.
 *
 * The meaning, as DEVELOPERS.md and inference.h state it:
 *
 * Rules whose relations depend on each other are one group; a group reads finished ones.
 * In a group first what is sure: every condition yes, no row that may be one of the
 * denied. Then what is open: conditions yes or open, no row that surely is one of the
 * denied, at least one thing open. What is open never adds to or changes what is sure.
 *
 * An aggregate counts rows that surely match and those that may; a list that is marked
 * partial may hold any number more. `every` is: the row is not there, or it is as wanted.
 *
 * What follows from rows of a partial list may be more as well. A relation may lack rows
 * of an owner, to everyone who denies or counts them, where a rule's `given` conditions
 * can be met for that owner with at least one by a gap: by what a list that is partial,
 * or that relation, may lack. A gap tells its owner and nothing else; nothing but `given`
 * is asked then; a condition is left out just where nothing that is met tells the owner
 * that it asks about, be it rows and gaps or the owner of what is concluded. An open row
 * of an owner of whom its relation may lack rows could have any values: they are not
 * known.
 *
 * Where a finding is unsure or unknown, a condition that asks for `unsure` or `unknown`
 * is decided by that word; one that asks for `holds` or `fails` is decided by the margin,
 * or open, and a variable takes the outcome that the margin gives, or a missing word.
 *
 * Of several derivations of one row: sure beats open. Two sure ones must agree. Of open
 * ones the doubts are joined, and a value on which they disagree is not known. The height
 * is the least of those that make the row what it is.
 */
struct naive;

/* Why a row is there: of the derivations from lower rows that give what the row holds the
 * least, by premise heights from the highest down, then rule name, then the premises as
 * text, in the order of their conditions as text. */
struct naive_why {
    const struct rule *rule;                            /* NULL: a fact, or not found */
    const struct naive_row *premises[LIMIT_CONDITIONS]; /* one a `given` */
    struct value slots[LIMIT_VARIABLES]; /* VALUE_NONE: not bound in the end */
    struct doubt doubt;
};

struct naive_row {
    struct row row; /* origin ORIGIN_RULE: concluded by a rule */
    struct naive_why *why;
};

/* Everything lives in the arena. NULL: no memory. */
MUST_USE struct naive *naive_open(struct arena *arena, const struct rule_base *rules,
                                  const struct names *names);

/* Adds a fact; what it points at is borrowed. */
void naive_fact(struct naive *naive, const struct row *row);

enum naive_end {
    NAIVE_DONE,
    NAIVE_CONFLICT /* two sure derivations disagree */
};

/* Runs to the end. A second run, after facts were added, leaves out the rules that run
 * over the catalogue: those are done at load. */
MUST_USE enum naive_end naive_run(struct naive *naive);

/* The rows of a relation; borrowed until the next run. */
const struct naive_row *const *naive_rows(const struct naive *naive, relation_id relation,
                                          uint32_t *count_out);

/* After a conflict: how many keys have one, with whatever follows from a first value, and
 * the first such row. */
uint32_t naive_conflicts(const struct naive *naive, const struct naive_row **first_out);

/* Finds the reason of every concluded row. */
void naive_explain(struct naive *naive);

#endif
