/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ROW_QUERY_H
#define WHYFIT_ROW_QUERY_H

#include "limits.h"
#include "mint.h"

/*
 * What `why` and `why-not` are asked of: a relation and some columns of its row, written
 * "RELATION: column=name, column=name". Key columns hold names or counts; of the value
 * columns those that hold a word or a count may be named too.
 */
struct row_query {
    relation_id relation;
    uint32_t asked; /* bit c: column c (keys first, then values) is given */
    name_id key[LIMIT_KEY_COLUMNS];
    uint64_t asked_values;                    /* bit v: value column v is given */
    struct value values[LIMIT_VALUE_COLUMNS]; /* a word or a count */
};

/* Reads `of`, which lies at `where`. STATUS_INVALID: reported, with the column of the
 * fault and the nearest word. */
MUST_USE status row_query_read(const struct layer *layer, text of, span where,
                               struct row_query *out);

/* How many of the columns that are given the row agrees with. */
uint32_t row_query_agrees(const struct row_query *query, const struct store *store,
                          const struct row *row);
uint32_t row_query_count(const struct row_query *query);

/* "relation: column=name, column=name", the columns in the relation's order. */
text row_query_write(struct arena *arena, const struct layer *layer,
                     const struct row_query *query);

#endif
