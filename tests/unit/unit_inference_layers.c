/* SPDX-License-Identifier: MIT */
/* A question adds rows over the catalogue and changes none of it. */
#include "inference_world.h"

TestSuite(inference_layers, .timeout = 60);

/* The catalogue's rows are there, what is new is concluded, and what runs over the
 * catalogue has run: a question neither sees it run again nor feeds it. */
Test(inference_layers, rules_over_the_catalogue_run_at_load)
{
    struct world world = world_open(
        "rule: start, given: [twin: {item: $a, to: $b}],"
        " conclude: [chain: {item: $a, to: $b}]\n"
        "rule: on, given: [twin: {item: $a, to: $b}, chain: {item: $b, to: $c}],"
        " conclude: [chain: {item: $a, to: $c}]\n"
        "rule: back, over: catalogue, given: [chain: {item: $a, to: $b}],"
        " conclude: [chain: {item: $b, to: back}]\n",
        "  - {part: p0, kind: block, source: s, twins: {p1: {}}}\n");
    struct rule_bench *bench = &world.bench;
    cr_assert_eq(world_run(&world), STATUS_OK);
    struct names *names = names_open(bench->room.arena, bench->names);
    struct store *layer = rule_bench_store(bench, world.store);
    cr_assert_eq(rule_bench_parts(bench,
                                  TEXT("parts:\n  - {part: new, kind: block, source: s,"
                                       " twins: {p0: {}, q: {}}}\n"),
                                  names, layer),
                 STATUS_OK);
    cr_assert_eq(rule_bench_infer(bench, names, layer, NULL), STATUS_OK);
    world.store = layer;
    world.bench.names = names;
    cr_expect_str_eq(world_rows(&world, "chain"), "chain(back, back) sure, height 3\n"
                                                  "chain(new, back) sure, height 4\n"
                                                  "chain(new, p0) sure, height 1\n"
                                                  "chain(new, p1) sure, height 2\n"
                                                  "chain(new, q) sure, height 1\n"
                                                  "chain(p0, back) sure, height 3\n"
                                                  "chain(p0, p1) sure, height 1\n"
                                                  "chain(p1, back) sure, height 2");
    world_close(&world);
}

/* The catalogue may be empty of what a rule over it reads first. */
Test(inference_layers, rules_over_an_empty_catalogue_do_not_run_later)
{
    struct world world =
        world_open("rule: any, over: catalogue, given: [twin: {item: $a, to: $b},"
                   " block: {piece: $c}], conclude: [pair: {item: $a, to: $c}]\n",
                   "  - {part: p0, kind: block, source: s}\n");
    struct rule_bench *bench = &world.bench;
    cr_assert_eq(world_run(&world), STATUS_OK);
    world.store = rule_bench_store(bench, world.store);
    cr_assert_eq(rule_bench_parts(bench,
                                  TEXT("parts:\n  - {part: new, kind: block, source: s,"
                                       " twins: {p0: {}}}\n"),
                                  bench->names, world.store),
                 STATUS_OK);
    cr_assert_eq(world_run(&world), STATUS_OK);
    cr_expect_str_eq(world_rows(&world, "pair"), "");
    world_close(&world);
}
