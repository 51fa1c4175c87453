/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ROW_CELLS_H
#define WHYFIT_ROW_CELLS_H

#include "knowledge.h"
#include "limits.h"

/*
 * The cells of stated rows (`table-rows`, CSV) and what they mean. Every dimension with a
 * tolerance is one of its own row: "relation.key.key.column". Numbers without one are
 * exact, and equal ones near each other share one form.
 */
struct row_cells {
    struct arena *arena;
    struct knowledge *knowledge;
    struct diagnostics *diagnostics;
    const struct relation_shape *shape;
    relation_id relation;
    bool is_wrong;
    name_id key[LIMIT_KEY_COLUMNS]; /* of the row being read */
    struct value values[LIMIT_VALUE_COLUMNS];
    struct shared_numbers *numbers; /* NULL: none are shared */
};

/* A word of a row. `where` is all of it as it is written, `text_where` what is read of
 * it. */
struct row_word {
    text word;
    span where;
    span text_where;
    const struct unit *assumed; /* see stated_options */
};

struct diagnostic *row_fault(struct row_cells *cells, enum diagnostic_code code,
                             span where, text message);
/* The nearest of the relation's columns to a word that is none of them. */
text row_nearest_column(const struct row_cells *cells, text word);

/* Read the word of column `column` of the shape into `key` or `values`. The key must be
 * read before the values. Faults are reported and mark the cells. */
void row_read_key(struct row_cells *cells, uint32_t column, const struct row_word *word);
void row_read_value(struct row_cells *cells, uint32_t column,
                    const struct row_word *word);

/* A value that nobody knows; none where the column is optional, the default where it has
 * one. */
void row_miss_value(struct row_cells *cells, uint32_t column);

/* An exact quantity in coherent units; NULL when the arena has failed. */
const struct form *row_exact(struct row_cells *cells, struct dimension dim,
                             double number);

/* Adds the row to the base; one that says otherwise of the same key is reported, with
 * that other one. */
MUST_USE status row_add(struct row_cells *cells, span where);

#endif
