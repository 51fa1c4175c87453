/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_NAIVE_PRIVATE_H
#define WHYFIT_TEST_NAIVE_PRIVATE_H

#include "naive_evaluator.h"

#include "array.h"

/* One way to satisfy a rule so far. */
struct attempt {
    const struct rule *rule;
    struct value slots[LIMIT_VARIABLES];
    name_id cells[LIMIT_VARIABLES]; /* of key variables */
    bool bound[LIMIT_VARIABLES];
    const struct naive_row *premises[LIMIT_CONDITIONS];
    bool is_open;
    struct doubt doubt;
};

typedef ARRAY_OF(struct naive_row *) naive_row_array;

struct naive {
    struct arena *arena;
    const struct rule_base *rules;
    const struct names *names;
    naive_row_array *tables;
    /* What becomes of a row that an attempt concludes. */
    void (*take)(struct naive *naive, const struct attempt *attempt,
                 const struct row *row);
    ARRAY_OF(struct row) derived; /* of the round */
    naive_row_array conflicts;
    uint32_t runs;
    bool is_open_pass;
};

static inline const struct relation_shape *naive_shape(const struct naive *naive,
                                                       relation_id relation)
{
    return &naive->rules->shapes[relation];
}

/* ---- naive_match.c */

bool naive_bind_key(struct attempt *attempt, const struct term *term, name_id cell);

void naive_open_by(struct naive *naive, struct attempt *attempt, struct doubt doubt);

/* Whether the row is there and fits; binds. Its doubt says why that is open. */
struct value naive_row_fits(struct naive *naive, struct attempt *attempt,
                            const struct condition *condition,
                            const struct naive_row *row);

/* naive_lacks.c: what may be missing of what this condition looks into. */
struct doubt naive_holes(struct naive *naive, const struct attempt *attempt,
                         const struct condition *condition);

/* ---- naive_lacks.c: notes, once a group is finished, what its rules may have missed
 * because lists are partial; true: something that was not known. */
bool naive_lacks(struct naive *naive, const struct rule *rule);

/* Why a relation that rules fill may lack rows of an owner; no doubt: it lacks none. */
struct doubt naive_lacking(struct naive *naive, relation_id relation, name_id owner);

/* The engine's name for the rows under an aggregate, so that texts can be compared: what
 * is counted, with what is bound. */
text naive_rows_text(const struct naive *naive, const struct attempt *attempt,
                     const struct condition *of);

/* ---- naive_amount.c: binds a sum, a least or a greatest. */
void naive_amount(struct naive *naive, struct attempt *attempt,
                  const struct tally *tally);

/* Hands every row that the rule concludes, from the rows there are, to `take`. */
void naive_attempts(struct naive *naive, const struct rule *rule);

#endif
