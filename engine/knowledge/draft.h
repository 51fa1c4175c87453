/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_DRAFT_H
#define WHYFIT_DRAFT_H

#include "mint.h"

#include "limits.h"

/* A row that is being filled. */
struct draft {
    struct layer *layer;
    const struct relation_shape *shape;
    struct row row;
    struct row_more more; /* of a computed row */
    name_id key[LIMIT_KEY_COLUMNS];
    struct value values[LIMIT_VALUE_COLUMNS];
    status result;
};

/* Begins a row of a relation; a vocabulary without it is reported by draft_add. */
void draft_open(struct draft *draft, struct layer *layer, const char *relation,
                span where);
void draft_key(struct draft *draft, uint32_t column, name_id key);
/* Columns are found by the names that rules/vocabulary.yaml gives them. */
void draft_value(struct draft *draft, const char *column, struct value value);
void draft_word(struct draft *draft, const char *column, name_id word); /* none: not */
void draft_flag(struct draft *draft, const char *column, bool flag);
MUST_USE status draft_add(struct draft *draft);

#endif
