/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ROW_QUERY_H
#define WHYFIT_ROW_QUERY_H

#include "mint.h"
#include "why_not.h"

/*
 * What `why` and `why-not` are asked of, as people write it: a relation and some columns
 * of its row, "RELATION: column=name, column=name". Key columns hold names or counts; of
 * the value columns those that hold a word or a count may be named too.
 */

/* Reads `of`, which lies at `where`. STATUS_INVALID: reported, with the column of the
 * fault and the nearest word. */
MUST_USE status row_query_read(const struct layer *layer, text of, span where,
                               struct wanted_row *out);

/* "relation: column=name, column=name", the columns in the relation's order. */
text row_query_write(struct arena *arena, const struct layer *layer,
                     const struct wanted_row *query);

#endif
