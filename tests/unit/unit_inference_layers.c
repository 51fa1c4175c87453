/* SPDX-License-Identifier: MIT */
/* A question adds rows over the catalogue and changes none of it. */
#include "inference_world.h"

#include <stdio.h>

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

/* What a question costs hangs from what it adds, not from the catalogue. */
Test(inference_layers, a_question_costs_what_is_new)
{
    static const unsigned sizes[] = {2, 100};
    uint64_t tried[2];
    uint64_t read[2];
    for (size_t s = 0; s < 2; s++) {
        struct world world = world_open(
            "rule: start, given: [twin: {item: $a, to: $b}],"
            " conclude: [chain: {item: $a, to: $b}]\n"
            "rule: on, given: [chain: {item: $a, to: $b},"
            " chain: {item: $b, to: $c}], conclude: [chain: {item: $a, to: $c}]\n"
            "rule: none, given: [block: {piece: $a}],"
            " unless: [chain: {item: $a}], conclude: [near: {item: $a}]\n",
            "  []\n");
        struct rule_bench *bench = &world.bench;
        text parts = TEXT("parts:\n");
        for (unsigned i = 0; i < sizes[s]; i++) {
            parts = text_format(bench->room.arena,
                                "%.*s  - {part: p%u, kind: block, source: s, twins:"
                                " {q%u: {}, r%u: {}}}\n",
                                TEXT_ARG(parts), i, i, i);
        }
        cr_assert_eq(rule_bench_parts(bench, parts, bench->names, world.store),
                     STATUS_OK);
        cr_assert_eq(world_run(&world), STATUS_OK);
        struct store *layer = rule_bench_store(bench, world.store);
        cr_assert_eq(
            rule_bench_parts(bench,
                             TEXT("parts:\n  - {part: new, kind: block, source: s,"
                                  " twins: {p0: {}, p1: {}}}\n"),
                             bench->names, layer),
            STATUS_OK);
        const struct inference_options options = {.names = bench->names};
        struct inference_counts counts = {0};
        cr_assert_eq(inference_run(bench->rules, layer, bench->room.arena, &options,
                                   bench->room.diagnostics, &counts, NULL),
                     STATUS_OK);
        cr_expect_eq(counts.rows_added, 6);
        tried[s] = counts.premises_tried;
        read[s] = store_rows_read(layer);
        world_close(&world);
    }
    cr_expect_eq(tried[0], tried[1]);
    cr_expect_eq(read[0], read[1]);
}

/* A join reads the rows that match and no others, by cells alone or with all that rules
 * can say: what else the relation holds adds one premise a row that a rule starts from.
 */
Test(inference_layers, a_join_never_reads_what_does_not_match)
{
    static const char *const rules[] = {
        "rule: two, given: [twin: {item: $a, to: $b}, twin: {item: $b, to: $c}],"
        " conclude: [chain: {item: $a, to: $c}]\n",
        "rule: two, given: [twin: {item: $a, to: $b}, twin: {item: $b, to: $c}],"
        " where: $a != $c, conclude: [chain: {item: $a, to: $c}]\n"};
    enum {
        FEW = 3,
        MANY = 300
    };
    for (size_t r = 0; r < 2; r++) {
        uint64_t tried[2];
        uint64_t read[2];
        for (size_t s = 0; s < 2; s++) {
            struct world world = world_open(rules[r], "  []\n");
            struct rule_bench *bench = &world.bench;
            text parts =
                TEXT("parts:\n"
                     "  - {part: one, kind: block, source: s, twins: {two: {}}}\n"
                     "  - {part: two, kind: block, source: s, twins: {six: {}}}\n");
            for (unsigned i = 0; i < (s == 0 ? FEW : MANY); i++) {
                parts = text_format(bench->room.arena,
                                    "%.*s  - {part: p%u, kind: block, source: s, twins:"
                                    " {q%u: {}}}\n",
                                    TEXT_ARG(parts), i, i);
            }
            cr_assert_eq(rule_bench_parts(bench, parts, bench->names, world.store),
                         STATUS_OK);
            const uint64_t before = store_rows_read(world.store);
            const struct inference_options options = {.names = bench->names};
            struct inference_counts counts = {0};
            cr_assert_eq(inference_run(bench->rules, world.store, bench->room.arena,
                                       &options, bench->room.diagnostics, &counts, NULL),
                         STATUS_OK);
            cr_expect_eq(counts.rows_added, 1);
            tried[s] = counts.premises_tried;
            read[s] = store_rows_read(world.store) - before;
            world_close(&world);
        }
        cr_expect_eq(read[0], read[1]);
        cr_expect_eq(tried[1] - tried[0], MANY - FEW);
    }
}

/* ---- what the reader refuses, so that a question can change nothing of the catalogue */

/* Each thing a rule concludes must be what all its conditions hang from. */
Test(inference_layers, everything_a_rule_concludes_is_local)
{
    static const struct {
        const char *rule;
        const char *fault; /* "": none */
    } rows[] = {
        {"conclude: [near: {item: $a}, far: {item: $a}]", ""},
        {"conclude: [near: {item: $a}, far: {item: $b}]", "rule-not-local 4:14"},
        {"conclude: [near: {item: $b}, far: {item: $a}]", "rule-not-local 4:14"},
        {"conclude: [near: {item: $a}, known: {to: $b}]", "rule-not-local 4:14"},
        {"over: catalogue, conclude: [near: {item: $a}, known: {to: $b}]", ""},
        {"check: {margin: 1, weight: stops}, because: '-',\n"
         "     conclude: [far: {item: $b}]",
         "rule-not-local 4:14"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct rule_bench bench = rule_bench_open();
        cr_assert_eq(rule_bench_vocabulary(&bench, inference_vocabulary), STATUS_OK);
        const status read = rule_bench_rules(
            &bench, text_format(bench.room.arena,
                                "pack: test\nrules:\n  - {rule: r, source: s,\n"
                                "     given: [link: {item: $a, to: $b}],\n     %s}\n",
                                rows[i].rule));
        cr_expect_eq(read, rows[i].fault[0] == '\0' ? STATUS_OK : STATUS_INVALID);
        cr_expect(text_is(room_fault(&bench.room), rows[i].fault), "row %zu: %s", i,
                  rule_bench_faults(&bench));
        rule_bench_close(&bench);
    }
}

/* Where no owner leads everywhere a finding's key is still told by names, and not by
 * which condition was written first. */
Test(inference_layers, the_key_of_a_finding_hangs_from_no_order)
{
    static const char *const orders[] = {
        "block: {piece: $x}, peg: {piece: $m}, near: {item: $b}",
        "near: {item: $b}, peg: {piece: $m}, block: {piece: $x}"};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        char rule[300];
        (void)snprintf(rule, sizeof rule,
                       "rule: r, over: catalogue, given: [%s],"
                       " check: {margin: 1, weight: stops}\n",
                       orders[i]);
        struct world world = world_open(rule, "  []\n");
        const struct relation_shape *shape =
            store_shape(world.store, world_relation(&world, "r"));
        cr_assert_eq(shape->key_count, 3);
        for (uint32_t c = 0; c < 3; c++) {
            static const char *const wanted[] = {"b", "m", "x"};
            cr_expect(text_is(names_text(world.bench.names, shape->columns[c].name),
                              wanted[c]));
        }
        world_close(&world);
    }
}
