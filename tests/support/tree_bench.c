/* SPDX-License-Identifier: MIT */
#include "tree_bench.h"

#include "inference_vocabulary.h"

enum {
    TEXT_ROOM = 1 << 16
};

bool tree_bench_open(struct tree_bench *trees, const struct random_program *program)
{
    *trees = (struct tree_bench){.bench = rule_bench_open()};
    struct rule_bench *bench = &trees->bench;
    struct arena *arena = bench->room.arena;
    char *rules = arena_take(arena, TEXT_ROOM);
    char *parts = arena_take(arena, TEXT_ROOM);
    if (rules == NULL || parts == NULL) {
        return false;
    }
    trees->rules = (text){rules, program_rules_write(program, rules, TEXT_ROOM)};
    const text facts = {parts,
                        program_parts_write(program, PROGRAM_ALL, parts, TEXT_ROOM)};
    if (rule_bench_vocabulary(bench, inference_vocabulary) != STATUS_OK ||
        rule_bench_rules(bench, trees->rules) != STATUS_OK) {
        return false;
    }
    trees->store = rule_bench_store(bench, NULL);
    trees->knowledge = (struct knowledge){.arena = arena,
                                          .names = bench->names,
                                          .sources = bench->room.sources,
                                          .vocabulary = bench->vocabulary,
                                          .rules = bench->rules,
                                          .base = trees->store};
    trees->options = (struct inference_options){.names = bench->names};
    trees->layer = (struct layer){.knowledge = &trees->knowledge,
                                  .arena = arena,
                                  .names = bench->names,
                                  .store = trees->store,
                                  .diagnostics = bench->room.diagnostics};
    tree_bench_forget(trees);
    return trees->store != NULL &&
           rule_bench_parts(bench, facts, bench->names, trees->store) == STATUS_OK;
}

bool tree_bench_infer(struct tree_bench *trees)
{
    return rule_bench_infer(&trees->bench, trees->bench.names, trees->store, NULL) ==
           STATUS_OK;
}

void tree_bench_close(struct tree_bench *trees)
{
    rule_bench_close(&trees->bench);
}

void tree_bench_forget(struct tree_bench *trees)
{
    chain_open(&trees->chain, &trees->layer, &trees->options, &trees->nothing,
               &trees->nothing);
}
