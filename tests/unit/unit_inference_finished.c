/* SPDX-License-Identifier: MIT */
/* Denials and aggregates: what is there, what may be there, and what a list may lack. */
#include "inference_world.h"

TestSuite(inference_finished, .timeout = 60);

/* What is surely there denies; what may be there opens; what is only like it does
 * nothing, and gives no reason. */
Test(inference_finished, a_denial_names_only_what_may_be_denied)
{
    struct world world = world_of(
        "rule: none, given: [block: {piece: $a}],"
        " unless: [link: {item: $a, grade: low, holes: 2}], conclude: [near: {item: "
        "$a}]\n",
        "  - {part: p0, kind: block, source: s, links: {q1: {holes: 1}, q2: {holes: "
        "2}}}\n"
        "  - {part: p1, kind: block, source: s, links: {q1: {holes: 1}, q2: {grade: "
        "mid}}}\n"
        "  - {part: p2, kind: block, source: s, links: {q1: {grade: low, holes: 2},"
        " q2: {}}}\n"
        "  - {part: p3, kind: block, source: s}\n");
    cr_expect_str_eq(world_rows(&world, "near"),
                     "near(p0) open, height 1 because of p0.q2.grade\n"
                     "near(p1) sure, height 1\n"
                     "near(p3) sure, height 1");
    world_close(&world);
}

/* A denied row that is open denies nothing surely: what hangs from it is open. A row that
 * is sure in the end denies, however it was found. */
Test(inference_finished, a_denied_row_that_is_open)
{
    struct world world = world_of(
        "rule: maybe, given: [link: {item: $a, to: $b, width: $w}], where: $w > 10 mm,"
        " conclude: [pair: {item: $a, to: $b}]\n"
        "rule: alone, given: [block: {piece: $a}], unless: [pair: {item: $a}],"
        " conclude: [near: {item: $a}]\n",
        "  - {part: p0, kind: block, source: s, links: {q: {width: 10 ±1 mm}}}\n"
        "  - {part: p1, kind: block, source: s, links: {q: {width: 12 ±1 mm},"
        " r: {width: 10 ±1 mm}}}\n"
        "  - {part: p2, kind: block, source: s, links: {q: {width: 8 ±1 mm}}}\n");
    cr_expect_str_eq(world_rows(&world, "near"),
                     "near(p0) open, height 1 because of p0.q.width\n"
                     "near(p2) sure, height 1");
    world_close(&world);
}

/* Numbers of different rows are different, though each is known as a range only; those of
 * the same rows are the same. */
Test(inference_finished, ranges_of_counts_cancel_only_with_themselves)
{
    struct world world = world_of(
        "rule: other, given: [block: {piece: $a}], count: {n: {link: {item: $a, grade: "
        "low}},"
        " m: {link: {item: $a, grade: mid}}}, check: {margin: $n - $m, weight: stops}\n"
        "rule: same, given: [block: {piece: $a}], count: {n: {link: {item: $a, grade: "
        "low}},"
        " m: {link: {item: $a, grade: low}}}, check: {margin: $n - $m, weight: stops}\n",
        "  - {part: p0, kind: block, source: s, links: {q: {}}}\n");
    cr_expect_str_eq(
        world_rows(&world, "other"),
        "other(p0) open, height 1 because of p0.q.grade, margin = 0 [-1, 1]"
        " +1*number of link(p0, *, grade: low) -1*number of link(p0, *, grade: mid),"
        " outcome = unknown");
    cr_expect_str_eq(world_rows(&world, "same"),
                     "same(p0) open, height 1 because of p0.q.grade, margin = 0,"
                     " outcome = holds");
    world_close(&world);
}

/* A list that is not complete: there may be more of it than anybody counted. */
Test(inference_finished, lists_that_are_not_complete)
{
    struct world world = world_of(
        "rule: most, given: [block: {piece: $a}], count: {n: {twin: {item: $a}}},"
        " check: {margin: 2 - $n, weight: stops}\n"
        "rule: least, given: [block: {piece: $a}], count: {n: {twin: {item: $a}}},"
        " check: {margin: $n - 1, weight: stops}\n"
        "rule: none, given: [block: {piece: $a}], unless: [twin: {item: $a, to: p9}],"
        " conclude: [near: {item: $a}]\n"
        "rule: all, given: [block: {piece: $a}],"
        " every: [{of: {twin: {item: $a, to: $b}}, is: $b != \"q\"}],"
        " conclude: [far: {item: $a}]\n",
        "  - {part: p0, kind: block, source: s, twins: {p1: {}}, partial: [twins]}\n"
        "  - {part: p1, kind: block, source: s, twins: {p1: {}}, partial: [links]}\n"
        "  - {part: p2, kind: block, source: s, twins: {q: {}}, partial: [twins]}\n");
    cr_expect_str_eq(
        world_rows(&world, "most"),
        "most(p0) open, height 1 because of p0: more of twin, margin = 1 [-inf, 1]"
        " -1*number of twin(p0, *), outcome = unknown\n"
        "most(p1) sure, height 1, margin = 1, outcome = holds\n"
        "most(p2) open, height 1 because of p2: more of twin, margin = 1 [-inf, 1]"
        " -1*number of twin(p2, *), outcome = unknown");
    cr_expect_str_eq(
        world_rows(&world, "least"),
        "least(p0) open, height 1 because of p0: more of twin, margin = 0 [0, inf]"
        " +1*number of twin(p0, *), outcome = holds\n"
        "least(p1) sure, height 1, margin = 0, outcome = holds\n"
        "least(p2) open, height 1 because of p2: more of twin, margin = 0 [0, inf]"
        " +1*number of twin(p2, *), outcome = holds");
    cr_expect_str_eq(world_rows(&world, "near"),
                     "near(p0) open, height 1 because of p0: more of twin\n"
                     "near(p1) sure, height 1\n"
                     "near(p2) open, height 1 because of p2: more of twin");
    cr_expect_str_eq(world_rows(&world, "far"),
                     "far(p0) open, height 1 because of p0: more of twin\n"
                     "far(p1) sure, height 1");
    world_close(&world);
}

/* A whole number is a count however it was come by; a range matches a number where it
 * may be that. */
Test(inference_finished, counts_match_numbers)
{
    struct world world = world_of(
        "rule: sum, given: [block: {piece: $a}], count: {n: {link: {item: $a, grade: "
        "low}}},"
        " let: {m: $n + 1}, conclude: [total: {item: $a, n: $m}]\n"
        "rule: again, given: [block: {piece: p0}], conclude: [total: {item: p0, n: 2}]\n"
        "rule: is-1, given: [total: {item: $a, n: 1}], conclude: [rung: {item: $a, "
        "level: 1}]\n"
        "rule: is-2, given: [total: {item: $a, n: 2}], conclude: [rung: {item: $a, "
        "level: 2}]\n"
        "rule: is-3, given: [total: {item: $a, n: 3}], conclude: [rung: {item: $a, "
        "level: 3}]\n",
        "  - {part: p0, kind: block, source: s, links: {q: {grade: low}}}\n"
        "  - {part: p1, kind: block, source: s, links: {q: {}}}\n");
    cr_expect_str_eq(world_rows(&world, "total"),
                     "total(p0) sure, height 1, n = #2\n"
                     "total(p1) open, height 1 because of p1.q.grade, n = 1 [1, 2]"
                     " +1*number of link(p1, *, grade: low)");
    cr_expect_str_eq(world_rows(&world, "rung"),
                     "rung(p0, 2) sure, height 2\n"
                     "rung(p1, 1) open, height 2 because of number of link(p1, *, grade:"
                     " low); p1.q.grade\n"
                     "rung(p1, 2) open, height 2 because of number of link(p1, *, grade:"
                     " low); p1.q.grade");
    world_close(&world);
}

/* A check that is left open is no check that failed, and none that held: what asks for
 * either is open, unless the margin says it. What is known may be asked too. */
Test(inference_finished, outcomes_that_are_not_known)
{
    struct world world = world_of(
        "rule: thick, given: [block: {piece: $a, size: $s}],"
        " check: {margin: $s - 9 mm, weight: stops}\n"
        "rule: good, given: [thick: {a: $a, outcome: holds}],"
        " conclude: [near: {item: $a}]\n"
        "rule: not-bad, given: [block: {piece: $a}],"
        " unless: [thick: {a: $a, outcome: fails}], conclude: [far: {item: $a}]\n"
        "rule: bad, given: [block: {piece: $a}],"
        " count: {k: {thick: {a: $a, outcome: fails}}},"
        " conclude: [total: {item: $a, n: $k}]\n"
        "rule: dark, given: [thick: {a: $a, outcome: unknown}],"
        " conclude: [pair: {item: $a, to: $a}]\n"
        "rule: word, given: [thick: {a: $a, outcome: $o}], where: [$o = \"holds\"],"
        " conclude: [tie: {item: $a, to: $a}]\n",
        "  - {part: p0, kind: block, source: s}\n"
        "  - {part: p1, kind: block, source: s, size: 9 ±1 mm}\n"
        "  - {part: p2, kind: block, source: s, size: 12 ±1 mm}\n"
        "  - {part: p3, kind: block, source: s, size: 5 ±1 mm}\n");
    cr_expect_str_eq(world_rows(&world, "near"),
                     "near(p0) open, height 2 because of p0.size\n"
                     "near(p1) open, height 2 because of p1.size\n"
                     "near(p2) sure, height 2");
    cr_expect_str_eq(world_rows(&world, "far"),
                     "far(p0) open, height 1 because of p0.size\n"
                     "far(p1) open, height 1 because of p1.size\n"
                     "far(p2) sure, height 1");
    cr_expect_str_eq(
        world_rows(&world, "total"),
        "total(p0) open, height 1 because of p0.size, n = 0 [0, 1]"
        " +1*number of thick(p0, outcome: fails)\n"
        "total(p1) open, height 1 because of p1.size, n = 0 [0, 1]"
        " +1*number of thick(p1, outcome: fails)\n"
        "total(p2) sure, height 1, n = #0\ntotal(p3) sure, height 1, n = #1");
    cr_expect_str_eq(world_rows(&world, "pair"), "pair(p0, p0) sure, height 2");
    cr_expect_str_eq(world_rows(&world, "tie"),
                     "tie(p0, p0) open, height 2 because of p0.size\n"
                     "tie(p1, p1) open, height 2 because of p1.size\n"
                     "tie(p2, p2) sure, height 2");
    world_close(&world);
}

/* A count that nobody recorded makes a finding that is not known, and hides no other. */
Test(inference_finished, a_margin_that_is_a_missing_count)
{
    struct world world = world_of(
        "rule: holes, given: [link: {item: $a, to: $b, holes: $n}],"
        " check: {margin: $n, weight: stops}\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {}, p2: {holes: 2}}}\n");
    cr_expect_str_eq(
        world_rows(&world, "holes"),
        "holes(p0, p1) sure, height 1, margin = 0 [-inf, inf] +1*p0.p1.holes,"
        " outcome = unknown\n"
        "holes(p0, p2) sure, height 1, margin = 2, outcome = holds");
    world_close(&world);
}

/* The second rule is denied, but only by the row that its search meets last: a search
 * that was stopped before must not take the denial for absent, and report that the two
 * rules disagree. */
Test(inference_finished, a_search_that_was_stopped_concludes_nothing)
{
    static const char *const rules =
        "rule: one, given: [block: {piece: $a}], let: {l: 4 mm},"
        " conclude: [span: {item: $a, length: $l}]\n"
        "rule: two, given: [block: {piece: $a}], let: {l: 5 mm},"
        " unless: [link: {item: $a, grade: low}],"
        " conclude: [span: {item: $a, length: $l}]\n";
    unsigned stopped = 0;
    for (uint64_t steps = 1; steps < 20; steps++) {
        struct world world =
            world_open(rules, "  - {part: p0, kind: block, source: s, links:"
                              " {p1: {grade: low}, p2: {grade: mid}, p3: {grade: mid},"
                              " p4: {grade: mid}, p5: {grade: mid}}}\n");
        const struct inference_options options = {.names = world.bench.names,
                                                  .step_limit = steps};
        struct inference_counts counts = {0};
        const status run =
            inference_run(world.bench.rules, world.store, world.bench.room.arena,
                          &options, world.bench.room.diagnostics, &counts, NULL);
        cr_expect(run == STATUS_OK || run == STATUS_LIMIT, "%u steps: %s",
                  (unsigned)steps, rule_bench_faults(&world.bench));
        stopped += run == STATUS_LIMIT ? 1 : 0;
        world_close(&world);
    }
    cr_expect_gt(stopped, 5);
    cr_expect_lt(stopped, 19);
}

/* What follows from rows of a partial list may be more too: of that owner, of one that
 * leads to it, and round a loop; of nobody else. */
Test(inference_finished, what_follows_from_partial_lists_may_be_more)
{
    struct world world = world_of(
        "rule: here, given: [link: {item: $a}], conclude: [near: {item: $a}]\n"
        "rule: there, given: [twin: {item: $a, to: $b}, link: {item: $b}],"
        " conclude: [pair: {item: $a, to: $b}]\n"
        "rule: first, given: [link: {item: $a, to: $b}], conclude: [chain: {item: $a, "
        "to: "
        "$b}]\n"
        "rule: next, given: [twin: {item: $a, to: $b}, chain: {item: $b, to: $c}],"
        " conclude: [chain: {item: $a, to: $c}]\n"
        "rule: none-here, given: [block: {piece: $a}], unless: [near: {item: $a}],"
        " conclude: [far: {item: $a}]\n"
        "rule: none-there, given: [block: {piece: $a}], unless: [pair: {item: $a}],"
        " conclude: [tie: {item: $a, to: $a}]\n"
        "rule: all-chained, given: [block: {piece: $a}], count: {n: {chain: {item: $a}}},"
        " conclude: [total: {item: $a, n: $n}]\n",
        "  - {part: p0, kind: block, source: s, partial: [links]}\n"
        "  - {part: p1, kind: block, source: s, twins: {p0: {}}}\n"
        "  - {part: p2, kind: block, source: s, twins: {p1: {}}}\n"
        "  - {part: p3, kind: block, source: s, partial: [twins]}\n"
        "  - {part: p4, kind: block, source: s, twins: {p4: {}}}\n");
    cr_expect_str_eq(world_rows(&world, "far"),
                     "far(p0) open, height 1 because of p0: more of link\n"
                     "far(p1) sure, height 1\nfar(p2) sure, height 1\n"
                     "far(p3) sure, height 1\nfar(p4) sure, height 1");
    cr_expect_str_eq(world_rows(&world, "tie"),
                     "tie(p0, p0) sure, height 1\n"
                     "tie(p1, p1) open, height 1 because of p0: more of link\n"
                     "tie(p2, p2) sure, height 1\n"
                     "tie(p3, p3) open, height 1 because of p3: more of twin\n"
                     "tie(p4, p4) sure, height 1");
    cr_expect_str_eq(world_rows(&world, "total"),
                     "total(p0) open, height 1 because of p0: more of link, n = 0 [0, "
                     "inf] +1*number of "
                     "chain(p0, *)\n"
                     "total(p1) open, height 1 because of p0: more of link, n = 0 [0, "
                     "inf] +1*number of "
                     "chain(p1, *)\n"
                     "total(p2) open, height 1 because of p0: more of link, n = 0 [0, "
                     "inf] +1*number of "
                     "chain(p2, *)\n"
                     "total(p3) open, height 1 because of p3: more of twin, n = 0 [0, "
                     "inf] +1*number of "
                     "chain(p3, *)\n"
                     "total(p4) sure, height 1, n = #0");
    world_close(&world);
}

/* A row that may be there could have other values, where more such rows may be. */
Test(inference_finished, an_open_row_beside_a_partial_list_has_no_known_values)
{
    struct world world =
        world_of("rule: long, given: [link: {item: $a, width: $w, gauge: $g}], where: "
                 "[$w > 10 mm],"
                 " conclude: [span: {item: $a, length: $g}]\n"
                 "rule: fine, given: [span: {item: $a, length: $g}],"
                 " check: {margin: 13 mm - $g, weight: stops}\n",
                 "  - {part: p0, kind: block, source: s, partial: [links],"
                 " links: {q: {width: 10 ±1 mm, gauge: 12 mm}}}\n"
                 "  - {part: p1, kind: block, source: s,"
                 " links: {q: {width: 10 ±1 mm, gauge: 12 mm}}}\n");
    const char *fine = world_rows(&world, "fine");
    cr_expect_not_null(strstr(fine, "margin = no number, outcome = missing"), "%s", fine);
    cr_expect_not_null(strstr(fine, "margin = 1, outcome = holds"), "%s", fine);
    world_close(&world);
}
