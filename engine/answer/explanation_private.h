/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_EXPLANATION_PRIVATE_H
#define WHYFIT_EXPLANATION_PRIVATE_H

#include "explanation.h"
#include "swap_private.h"

/* explained_rows.c: reads question->of, and opens an explanation with its rows, or those
 * nearest. Nothing is said of them yet. */
MUST_USE status explanation_open(struct swap *swap, struct explanation **out);

/* The rows of `query`, best first: those that agree with all that was asked (*matches of
 * them), then those that agree with some of it. */
MUST_USE status explained_rows_find(struct swap *swap, const struct wanted_row *query,
                                    const struct row *const **rows, uint32_t *count,
                                    uint32_t *matches);

#endif
