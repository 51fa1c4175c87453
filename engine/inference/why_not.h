/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_WHY_NOT_H
#define WHYFIT_WHY_NOT_H

#include "formula_shortfall.h"
#include "inference.h"
#include "limits.h"

/* A row as far as it is known: some of its key cells, some of its words and counts. */
struct wanted_row {
    relation_id relation;
    uint32_t asked; /* bit c: key column c is given */
    name_id key[LIMIT_KEY_COLUMNS];
    uint64_t asked_values;                    /* bit v: value column v is given */
    struct value values[LIMIT_VALUE_COLUMNS]; /* a word or a count */
};

/* Whether a column (keys first, then values) is given; whether a row agrees with it. */
bool wanted_asks(const struct wanted_row *wanted, const struct relation_shape *shape,
                 uint32_t column);
bool wanted_agrees_in(const struct wanted_row *wanted, const struct relation_shape *shape,
                      const struct row *row, uint32_t column);
/* How many of the columns that are given a row of the relation agrees with. */
uint32_t wanted_agrees(const struct wanted_row *wanted,
                       const struct relation_shape *shape, const struct row *row);
uint32_t wanted_count(const struct wanted_row *wanted);
bool wanted_equal(const struct wanted_row *a, const struct wanted_row *b,
                  const struct relation_shape *shape);

/* Where an attempt of a rule ended, in the order in which a rule is asked. */
enum why_not_stop {
    WHY_NOT_GIVEN,  /* no row matches given[index] with what was bound before it */
    WHY_NOT_DENIED, /* unless[index] meets the row `by` */
    WHY_NOT_EVERY, /* tallies[index] is not so: of the row `by`, where one is the cause */
    WHY_NOT_FILTER, /* filters[index] says no: `shortfall` */
    WHY_NOT_VALUES, /* nothing fails: the row it gives has other values, `gives` */
    WHY_NOT_AT_LOAD /* nothing fails, but the rule sees the catalogue only */
};

/* The attempt of one rule that got furthest; of several the one whose rows come first as
 * text. */
struct why_not_attempt {
    const struct rule *rule;
    enum why_not_stop stop;
    uint32_t index;
    const struct row *const *premises; /* found for the conditions before, in order */
    uint32_t premise_count;
    const struct value *slots; /* of the rule's variables; VALUE_NONE: not bound */
    const struct row
        *by; /* WHY_NOT_GIVEN: the row that agrees with most, NULL for none */
    struct formula_shortfall shortfall;
    const struct row *gives;   /* made up: it is in no store */
    struct wanted_row missing; /* WHY_NOT_GIVEN: the row that the condition wants */
    uint32_t as_far;           /* attempts that got as far, this one too */
};

/* One attempt for every rule that could conclude such a row, those that got furthest
 * first, then by rule name. In an attempt conditions are asked in the rule's own order:
 * `given`, `unless`, aggregates, `where`. */
MUST_USE status why_not_find(const struct rule_base *rules, struct store *store,
                             struct arena *arena, const struct inference_options *options,
                             const struct wanted_row *wanted,
                             const struct why_not_attempt **attempts, uint32_t *count);

#endif
