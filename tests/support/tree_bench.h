/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_TREE_BENCH_H
#define WHYFIT_TEST_TREE_BENCH_H

#include "chain.h"
#include "random_program.h"
#include "rule_bench.h"

/* A random program, its rows, and the chains below them, as if a question were asked
 * without a unit. The struct must not be moved while it is open. */
struct tree_bench {
    struct rule_bench bench;
    struct store *store;
    struct knowledge knowledge;
    struct layer layer;
    struct inference_options options;
    struct minted_unit nothing;
    struct chain chain;
    text rules;
};

/* Reads the program; nothing has been concluded. false: it is refused. Either way it is
 * to be closed. */
bool tree_bench_open(struct tree_bench *trees, const struct random_program *program);
/* false: its sure derivations disagree, so it has no rows to explain. */
bool tree_bench_infer(struct tree_bench *trees);
void tree_bench_close(struct tree_bench *trees);

/* Starts with chains that hold nothing yet. */
void tree_bench_forget(struct tree_bench *trees);

#endif
