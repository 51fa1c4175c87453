/* SPDX-License-Identifier: MIT */
/*
 * What a tree of reasons costs: why_trees [TREES]. Random programs are evaluated once
 * each; then every row that a rule concluded is explained on its own, as if asked alone,
 * and every third of them is asked `why-not` under another name. Prints JSON: the time of
 * a tree and of a why-not as a ratio to one evaluation of the program it belongs to. Not
 * a test.
 */
#include "tree_bench.h"

#include "steps.h"
#include "why_not.h"

#include <stdio.h>
#include <stdlib.h>
#include <time.h>

struct tally_of_times {
    double evaluating; /* seconds, each program's once for each tree of it */
    double explaining;
    double evaluating_absent;
    double refuting;
    unsigned long trees;
    unsigned long steps;
    unsigned long absent;
};

static double now(void)
{
    struct timespec time = {0};
    (void)clock_gettime(CLOCK_MONOTONIC, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

static void explain(struct tree_bench *trees, const struct row *row, double evaluation,
                    struct tally_of_times *times)
{
    const struct step *steps = NULL;
    uint32_t count = 0;
    uint32_t id = 0;
    const double start = now();
    tree_bench_forget(trees);
    const uint32_t root = chain_of(&trees->chain, row);
    if (trees->chain.result == STATUS_OK &&
        steps_of_trees(&trees->chain, &root, 1, &id, &steps, &count) == STATUS_OK) {
        times->explaining += now() - start;
        times->evaluating += evaluation;
        times->steps += count;
        times->trees++;
    }
}

/* The row's key with its last name changed for one that no row has. */
static void refute(struct tree_bench *trees, const struct row *row, double evaluation,
                   struct tally_of_times *times)
{
    struct wanted_row wanted = {.relation = row->relation};
    const struct relation_shape *shape = store_shape(trees->store, row->relation);
    const struct why_not_attempt *attempts = NULL;
    uint32_t count = 0;
    for (uint32_t c = 0; c < shape->key_count; c++) {
        wanted.asked |= 1u << c;
        wanted.key[c] = row->key[c];
    }
    wanted.key[shape->key_count - 1] = names_add(trees->bench.names, TEXT("nobody"));
    const double start = now();
    if (why_not_find(trees->bench.rules, trees->store, trees->bench.room.arena,
                     &trees->options, &wanted, &attempts, &count) == STATUS_OK) {
        times->refuting += now() - start;
        times->evaluating_absent += evaluation;
        times->absent++;
    }
}

static void run_program(struct tree_bench *trees, unsigned long most,
                        struct tally_of_times *times)
{
    const double start = now();
    if (!tree_bench_infer(trees)) {
        return;
    }
    const double evaluation = now() - start;
    for (relation_id r = 0; r < store_shape_count(trees->store); r++) {
        const uint32_t count = store_count(trees->store, r);
        for (uint32_t i = 0; i < count && times->trees < most; i++) {
            const struct row *row = store_row(trees->store, r, i);
            if (row->origin == ORIGIN_RULE) {
                explain(trees, row, evaluation, times);
                if (i % 3 == 0) {
                    refute(trees, row, evaluation, times);
                }
            }
        }
    }
}

int main(int argc, char **argv)
{
    static struct random_program program;
    const unsigned long most = argc > 1 ? strtoul(argv[1], NULL, 10) : 10000;
    struct tally_of_times times = {0};
    for (uint64_t seed = 1; times.trees < most; seed++) {
        struct tree_bench trees;
        program_make(&program, seed);
        if (tree_bench_open(&trees, &program)) {
            run_program(&trees, most, &times);
        }
        tree_bench_close(&trees);
    }
    const double trees = (double)times.trees;
    printf("{\"trees\": %lu, \"steps_a_tree\": %.1f, \"tree_us\": %.1f, "
           "\"evaluation_us\": %.1f, \"tree_ratio\": %.3f, \"why_nots\": %lu, "
           "\"why_not_us\": %.1f, \"why_not_ratio\": %.3f}\n",
           times.trees, (double)times.steps / trees, 1e6 * times.explaining / trees,
           1e6 * times.evaluating / trees, times.explaining / times.evaluating,
           times.absent, 1e6 * times.refuting / (double)times.absent,
           times.refuting / times.evaluating_absent);
    return 0;
}
