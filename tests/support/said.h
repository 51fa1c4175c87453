/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_SAID_H
#define WHYFIT_TEST_SAID_H

#include "array.h"
#include "naive_evaluator.h"
#include "rule_bench.h"

/* What rules and facts come to, as sorted lines: one a row, and one a row with its
 * reason. Numbers of names and rows cannot be seen in them. */
struct said {
    ARRAY_OF(const char *) rows;
    ARRAY_OF(const char *) reasons;
};

/* All rows of a store, and of those it lies over. Everything lies in the bench's arena.
 */
struct said said_by_engine(struct rule_bench *bench, const struct names *names,
                           struct store *store);
struct said said_by_naive(struct rule_bench *bench, const struct names *names,
                          const struct naive *naive);

/* NULL when both say the same; else the first difference, headed by `what`. */
const char *said_differ(struct arena *arena, const char *what, bool with_reasons,
                        const struct said *wanted, const struct said *got);

#endif
