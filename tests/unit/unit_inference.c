/* SPDX-License-Identifier: MIT */
/* What rules mean, on rows small enough to be worked out by hand. */
#include "inference_world.h"

#include <stdio.h>

TestSuite(inference, .timeout = 60);

/* ---- the cases the design ends with */

/* The grade is missing, so whether the denied row is there is not known: neither is what
 * hangs from it, whatever the margin says. */
Test(inference, a_denied_row_that_misses_a_value)
{
    struct world world = world_of(
        "rule: low, given: [link: {item: $a, to: $b, grade: low}],"
        " conclude: [pair: {item: $a, to: $b}]\n"
        "rule: wide, given: [link: {item: $a, to: $b, gauge: $w}],"
        " unless: [pair: {item: $a, to: $b}],"
        " check: {margin: $w - 10 mm, weight: stops}\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {gauge: 4 mm},"
        " p2: {gauge: 12 mm}, p3: {gauge: 4 mm, grade: mid}, p4: {grade: low}}}\n");
    cr_expect_str_eq(world_rows(&world, "pair"),
                     "pair(p0, p1) open, height 1 because of p0.p1.grade\n"
                     "pair(p0, p2) open, height 1 because of p0.p2.grade\n"
                     "pair(p0, p4) sure, height 1");
    cr_expect_str_eq(
        world_rows(&world, "wide"),
        "wide(p0, p1) open, height 1 because of p0.p1.grade, margin = -6, outcome = "
        "unknown\n"
        "wide(p0, p2) open, height 1 because of p0.p2.grade, margin = 2, outcome = "
        "holds\n"
        "wide(p0, p3) sure, height 1, margin = -6, outcome = fails");
    world_close(&world);
}

Test(inference, a_filter_that_straddles)
{
    struct world world = world_of(
        "rule: thick, given: [link: {item: $a, to: $b, width: $w}], where: $w > 10 mm,"
        " check: {margin: 5 mm - $w, weight: stops}\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {width: 10 ±1 mm},"
        " p2: {width: 12 ±1 mm}, p3: {width: 8 ±1 mm}, p4: {}}}\n");
    cr_expect_str_eq(
        world_rows(&world, "thick"),
        "thick(p0, p1) open, height 1 because of p0.p1.width, margin = -5 [-6, -4] "
        "-1*p0.p1.width, outcome = unsure\n"
        "thick(p0, p2) sure, height 1, margin = -7 [-8, -6] -1*p0.p2.width, outcome = "
        "fails\n"
        "thick(p0, p4) open, height 1 because of p0.p4.width, margin = 5 [-inf, inf] "
        "-1*p0.p4.width, outcome = unknown");
    world_close(&world);
}

/* What nobody measured is in both depths and cancels: one is 2 mm less, exactly. */
Test(inference, a_missing_depth_cancels)
{
    struct world world =
        world_of("rule: before, given: [link: {item: $a, to: $b, width: $w}],"
                 " let: {d: $w + 1 mm}, conclude: [dist: {item: $a, to: $b, length: $d, "
                 "mark: x}]\n"
                 "rule: less, given: [link: {item: $a, to: $b, width: $w},"
                 " dist: {item: $a, to: $b, length: $d}],"
                 " check: {margin: $w - 1 mm - $d, weight: stops}\n",
                 "  - {part: p0, kind: block, source: s, links: {p1: {}}}\n");
    cr_expect_str_eq(world_rows(&world, "less"),
                     "less(p0, p1) sure, height 2, margin = -2, outcome = fails");
    world_close(&world);
}

Test(inference, the_larger_of_something_missing_and_5_mm)
{
    struct world world =
        world_of("rule: deep, given: [link: {item: $a, to: $b, width: $w}],"
                 " check: {margin: 'max($w, 5 mm) - 3 mm', weight: stops}\n",
                 "  - {part: p0, kind: block, source: s, links: {p1: {}}}\n");
    const struct row *row = world_row(&world, "deep", "p0", "p1");
    cr_assert_not_null(row);
    cr_expect_eq(row->values[FINDING_MARGIN].quantity->least, 2e6);
    cr_expect(text_is(names_text(world.bench.names, row->values[FINDING_OUTCOME].word),
                      "holds"));
    world_close(&world);
}

/* Both chains: the row that is there, and the one that was refused with its rule. */
Test(inference, two_sources_for_one_width)
{
    struct world world = world_open(
        "rule: one, given: [link: {item: $a, gauge: $w}],"
        " conclude: [span: {item: $a, length: $w}]\n"
        "rule: two, given: [link: {item: $a, gauge: $w}],"
        " let: {v: $w + 1 mm}, conclude: [span: {item: $a, length: $v}]\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {gauge: 4 mm}}}\n");
    struct inference_conflict conflict = {0};
    cr_assert_eq(
        rule_bench_infer(&world.bench, world.bench.names, world.store, &conflict),
        STATUS_INVALID);
    cr_expect(text_is(names_text(world.bench.names, conflict.rule->name), "two"));
    cr_expect_eq(conflict.there->values[0].quantity->nominal, 4e6);
    cr_expect_eq(conflict.other[0].quantity->nominal, 5e6);
    const struct diagnostic *said = diagnostics_at(world.bench.room.diagnostics, 0);
    cr_expect_eq(said->code, CODE_VALUES_CONFLICT);
    cr_expect(
        text_is(said->message, "rule two gives span(p0) another value than rule one"));
    cr_expect_eq(said->note_count, 1);
    world_close(&world);
}

/* Of several conflicts one is reported, and the same whatever was written first. */
Test(inference, which_conflict_is_reported)
{
    static const struct {
        const char *rules;
        const char *links;
        const char *message;
    } rows[] = {
        {"rule: one, given: [link: {item: $a, gauge: $w}],"
         " conclude: [span: {item: $a, length: $w}]\n"
         "rule: two, given: [link: {item: $a, gauge: $w}], let: {v: $w + 1 mm},"
         " conclude: [span: {item: $a, length: $v}]\n",
         "p1: {gauge: 4 mm}", "rule two gives span(p0) another value than rule one"},
        {"rule: two, given: [link: {item: $a, gauge: $w}],"
         " conclude: [span: {item: $a, length: $w}]\n"
         "rule: one, given: [link: {item: $a, gauge: $w}], let: {v: $w + 1 mm},"
         " conclude: [span: {item: $a, length: $v}]\n",
         "p1: {gauge: 4 mm}", "rule two gives span(p0) another value than rule one"},
        {"rule: one, given: [link: {item: $a, to: $b, gauge: $w}, twin: {item: $a, to: "
         "$c}],"
         " let: {v: 2 * $w}, conclude: [dist: {item: $a, to: $c, length: $v, mark: x}]\n",
         "p2: {gauge: 4 mm}, p1: {gauge: 5 mm}",
         "rule one gives dist(p0, q1) two values"},
        {"rule: one, given: [link: {item: $a, to: $b, gauge: $w}, twin: {item: $a, to: "
         "$c}],"
         " let: {v: 2 * $w}, conclude: [dist: {item: $a, to: $c, length: $v, mark: x}]\n",
         "p1: {gauge: 5 mm}, p2: {gauge: 4 mm}",
         "rule one gives dist(p0, q1) two values"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char part[200];
        (void)snprintf(part, sizeof part,
                       "  - {part: p0, kind: block, source: s, links: {%s},"
                       " twins: {q%d: {}, q%d: {}}}\n",
                       rows[i].links, 2 - (int)(i % 2), 1 + (int)(i % 2));
        struct world world = world_open(rows[i].rules, part);
        cr_expect_eq(world_run(&world), STATUS_INVALID);
        cr_expect_eq(diagnostics_count(world.bench.room.diagnostics), 1);
        cr_expect(text_is(diagnostics_at(world.bench.room.diagnostics, 0)->message,
                          rows[i].message),
                  "row %zu: %s", i, rule_bench_faults(&world.bench));
        world_close(&world);
    }
}

/* A row that was there before any rule has no rule to name. */
Test(inference, a_rule_against_a_row_that_was_there)
{
    struct world world = world_open("rule: one, given: [block: {piece: $a}],"
                                    " conclude: [total: {item: $a, n: 3}]\n",
                                    "  - {part: p0, kind: block, source: s}\n");
    const name_id key[1] = {names_find(world.bench.names, TEXT("p0"))};
    const struct value values[1] = {value_count(2)};
    const struct row row = {
        .relation = world_relation(&world, "total"), .key = key, .values = values};
    cr_assert_eq(store_add(world.store, &row, NULL), ADDED_NEW);
    cr_expect_eq(world_run(&world), STATUS_INVALID);
    cr_expect(text_is(diagnostics_at(world.bench.room.diagnostics, 0)->message,
                      "rule one gives total(p0) another value than what is there"));
    world_close(&world);
}

/* Deviations belong to pieces: those of two bearings add, a shaft's own cancels. */
Test(inference, two_equal_bearings_and_one_shaft)
{
    struct world world = world_of(
        "rule: two, given: [link: {item: $a, to: $b, width: $v},"
        " link: {item: $a, to: $c, width: $w}], where: $b != $c,"
        " check: {margin: $v - $w, weight: stops}\n"
        "rule: same, given: [link: {item: $a, to: $b, width: $v},"
        " dist: {item: $a, to: $b, length: $w}], check: {margin: $v - $w, weight: "
        "stops}\n"
        "rule: copy, given: [link: {item: $a, to: $b, width: $v}],"
        " conclude: [dist: {item: $a, to: $b, length: $v, mark: x}]\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {width: 16 ±0.12 mm},"
        " p2: {width: 16 ±0.12 mm}}}\n");
    const relation_id two = world_relation(&world, "two");
    cr_assert_eq(store_count(world.store, two), 2);
    const struct form *margin =
        store_row(world.store, two, 0)->values[FINDING_MARGIN].quantity;
    const struct form *one =
        store_row(world.store, world_relation(&world, "dist"), 0)->values[0].quantity;
    const double ratio = form_spread(margin) / form_spread(one);
    cr_expect(ratio * ratio > 2 - 1e-9 && ratio * ratio < 2 + 1e-9);
    cr_expect_str_eq(world_rows(&world, "same"),
                     "same(p0, p1) sure, height 2, margin = 0, outcome = holds\n"
                     "same(p0, p2) sure, height 2, margin = 0, outcome = holds");
    world_close(&world);
}

/* ---- limits */

static const char *const all_pairs =
    "rule: start, given: [twin: {item: $a, to: $b}], conclude: [pair: {item: $a, to: "
    "$b}]\n"
    "rule: on, given: [pair: {item: $a, to: $b}, pair: {item: $b, to: $c}],"
    " conclude: [pair: {item: $a, to: $c}]\n";

static const char *const circle =
    "  - {part: p0, kind: block, source: s, twins: {p1: {}}}\n"
    "  - {part: p1, kind: block, source: s, twins: {p2: {}}}\n"
    "  - {part: p2, kind: block, source: s, twins: {p3: {}}}\n"
    "  - {part: p3, kind: block, source: s, twins: {p0: {}}}\n";

static bool stop_at_once(void *context)
{
    ++*(int *)context;
    return false;
}

Test(inference, limits_name_the_rule_that_grew)
{
    static const struct {
        struct inference_options options;
        status expected;
        const char *message; /* NULL: nothing is reported */
    } rows[] = {
        {{.row_limit = 16}, STATUS_OK, NULL},
        {{.row_limit = 15},
         STATUS_LIMIT,
         "rule on made 12 rows, where 15 are allowed in all"},
        {{.row_limit = 3},
         STATUS_LIMIT,
         "rule start made 4 rows, where 3 are allowed in all"},
        {{.step_limit = 30},
         STATUS_LIMIT,
         "rule on took 27 steps, where 30 are allowed in all"},
        {{.step_limit = 2},
         STATUS_LIMIT,
         "rule start took 3 steps, where 2 are allowed in all"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct world world = world_open(all_pairs, circle);
        struct inference_options options = rows[i].options;
        struct inference_counts counts = {0};
        options.names = world.bench.names;
        struct diagnostics *diagnostics = world.bench.room.diagnostics;
        cr_expect_eq(inference_run(world.bench.rules, world.store, world.bench.room.arena,
                                   &options, diagnostics, &counts, NULL),
                     rows[i].expected, "row %zu", i);
        cr_expect_eq(diagnostics_count(diagnostics), rows[i].message == NULL ? 0 : 1,
                     "row %zu", i);
        if (diagnostics_count(diagnostics) > 0) {
            cr_expect(text_is(diagnostics_at(diagnostics, 0)->message, rows[i].message),
                      "row %zu: %s", i, rule_bench_faults(&world.bench));
        }
        world_close(&world);
    }
}

/* Every name leads to every name: more than the 1024 steps after which go_on is asked. */
Test(inference, go_on_stops_and_nothing_is_reported)
{
    struct world world = world_open(all_pairs, "  []\n");
    struct names *names = world.bench.names;
    struct inference_counts counts = {0};
    int asked = 0;
    const struct inference_options options = {
        .names = names, .go_on = stop_at_once, .go_on_context = &asked};
    for (unsigned i = 0; i < 400; i++) {
        const text from = text_format(world.bench.room.arena, "n%u", i / 20);
        const text to = text_format(world.bench.room.arena, "n%u", i % 20);
        const name_id key[2] = {names_add(names, from), names_add(names, to)};
        const struct row row = {.relation = world_relation(&world, "twin"), .key = key};
        cr_assert_eq(store_add(world.store, &row, NULL), ADDED_NEW);
    }
    cr_expect_eq(inference_run(world.bench.rules, world.store, world.bench.room.arena,
                               &options, world.bench.room.diagnostics, &counts, NULL),
                 STATUS_STOPPED);
    cr_expect_eq(asked, 1);
    cr_expect_eq(counts.premises_tried, 1024);
    cr_expect_eq(diagnostics_count(world.bench.room.diagnostics), 0);
    world_close(&world);
}

/* ---- sure, open, and what a second derivation adds */

/* An open row that a rule then derives surely is sure for whoever reads it, in the same
 * group and behind it. */
Test(inference, what_was_open_and_is_sure_is_read_as_sure)
{
    struct world world = world_open(
        all_pairs, "  - {part: p0, kind: block, source: s, twins: {p1: {}}}\n"
                   "  - {part: p1, kind: block, source: s, twins: {p2: {}}}\n");
    struct names *names = world.bench.names;
    const struct deviation why = {.name = TEXT("nobody looked"), .basis = BASIS_MISSING};
    const struct deviation *of[] = {&why};
    const name_id key[2] = {names_find(names, TEXT("p0")), names_find(names, TEXT("p1"))};
    const struct row_more more = {.doubt = {of, 1}};
    const struct row open = {.relation = world_relation(&world, "pair"),
                             .standing = STANDING_OPEN,
                             .origin = ORIGIN_RULE,
                             .height = 7,
                             .key = key,
                             .more = &more};
    cr_assert_eq(store_add(world.store, &open, NULL), ADDED_NEW);
    cr_assert_eq(world_run(&world), STATUS_OK);
    cr_expect_str_eq(world_rows(&world, "pair"), "pair(p0, p1) sure, height 1\n"
                                                 "pair(p0, p2) sure, height 2\n"
                                                 "pair(p1, p2) sure, height 1");
    world_close(&world);
}

/* A sure derivation beats an open one, whatever the open one says. */
Test(inference, sure_beats_open)
{
    struct world world = world_of(
        "rule: maybe, given: [link: {item: $a, to: $b, width: $w}], where: $w > 10 mm,"
        " let: {l: 5 mm}, conclude: [span: {item: $a, length: $l}]\n"
        "rule: sure, given: [pair: {item: $a}], let: {l: 6 mm},"
        " conclude: [span: {item: $a, length: $l}]\n"
        "rule: pair, given: [link: {item: $a, to: $b}],"
        " conclude: [pair: {item: $a, to: $b}]\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {width: 10 ±1 mm}}}\n");
    cr_expect_str_eq(world_rows(&world, "span"), "span(p0) sure, height 2, length = 6");
    world_close(&world);
}

/* Two open derivations that disagree leave a value not known, whichever comes first; what
 * they agree on stays. */
Test(inference, open_derivations_that_disagree)
{
    static const char *const orders[] = {
        "p1: {width: 10 ±1 mm, gauge: 4 mm, grade: low},"
        " p2: {width: 10 ±1 mm, gauge: 4 mm, grade: mid}",
        "p2: {width: 10 ±1 mm, gauge: 4 mm, grade: mid},"
        " p1: {width: 10 ±1 mm, gauge: 4 mm, grade: low}"};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        char part[400];
        (void)snprintf(part, sizeof part,
                       "  - {part: p0, kind: block, source: s, links: {%s}}\n",
                       orders[i]);
        struct world world = world_of(
            "rule: maybe, given: [link: {item: $a, width: $w, gauge: $g, grade: $m}],"
            " where: $w > 10 mm, conclude: [dist: {item: $a, to: end, length: $g, mark: "
            "$m}]\n"
            "rule: reads, given: [dist: {item: $a, mark: low, length: $l}],"
            " check: {margin: 10 mm - $l, weight: stops}\n",
            part);
        cr_expect_str_eq(
            world_rows(&world, "dist"),
            "dist(p0, end) open, height 1 because of p0.p1.width; p0.p2.width,"
            " length = 4, mark = missing");
        cr_expect_str_eq(world_rows(&world, "reads"),
                         "reads(p0) open, height 2 because of p0.p1.width; p0.p2.width,"
                         " margin = 6, outcome = holds");
        world_close(&world);
    }
}

/* A number on which they disagree is no number, and a margin made of it not known: a
 * check that holds for either would be luck. */
Test(inference, open_derivations_that_give_two_lengths)
{
    struct world world =
        world_of("rule: maybe, given: [link: {item: $a, width: $w, gauge: $g}],"
                 " where: $w > 10 mm, conclude: [span: {item: $a, length: $g}]\n"
                 "rule: reads, given: [span: {item: $a, length: $l}],"
                 " check: {margin: 5 mm - $l, weight: stops}\n",
                 "  - {part: p0, kind: block, source: s, links: {p1: {width: 10 ±1 mm, "
                 "gauge: 4 mm},"
                 " p2: {width: 10 ±1 mm, gauge: 9 mm}}}\n");
    cr_expect_str_eq(world_rows(&world, "span"),
                     "span(p0) open, height 1 because of p0.p1.width; p0.p2.width,"
                     " length = no number");
    cr_expect_str_eq(world_rows(&world, "reads"),
                     "reads(p0) open, height 2 because of p0.p1.width; p0.p2.width,"
                     " margin = no number, outcome = unknown");
    struct justification why = {0};
    const struct inference_options options = {.names = world.bench.names};
    cr_expect_eq(justification_find(world.bench.rules, world.store,
                                    world.bench.room.arena, &options,
                                    world_row(&world, "span", "p0", ""), &why),
                 STATUS_OK);
    cr_expect_eq(why.premises[0], world_row(&world, "link", "p0", "p1"));
    world_close(&world);
}

/* A doubt that comes late is passed on to what was concluded before it. */
Test(inference, doubts_run_through_loops)
{
    static const char *const orders[] = {"p1: {width: 10 ±1 mm}, p2: {width: 10 ±1 mm}",
                                         "p2: {width: 10 ±1 mm}, p1: {width: 10 ±1 mm}"};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        char parts[600];
        (void)snprintf(parts, sizeof parts,
                       "  - {part: p0, kind: block, source: s, links: {%s}}\n"
                       "  - {part: p1, kind: block, source: s, twins: {p2: {}}}\n"
                       "  - {part: p2, kind: block, source: s, twins: {p3: {}}}\n"
                       "  - {part: p3, kind: block, source: s, twins: {p4: {}}}\n",
                       orders[i]);
        struct world world = world_of(
            "rule: start, given: [link: {item: $a, to: $b, width: $w}],"
            " where: $w > 10 mm, conclude: [pair: {item: $a, to: $b}]\n"
            "rule: on, given: [pair: {item: $a, to: $b}, twin: {item: $b, to: $c}],"
            " conclude: [pair: {item: $a, to: $c}]\n",
            parts);
        cr_expect_str_eq(
            world_rows(&world, "pair"),
            "pair(p0, p1) open, height 1 because of p0.p1.width\n"
            "pair(p0, p2) open, height 1 because of p0.p1.width; p0.p2.width\n"
            "pair(p0, p3) open, height 2 because of p0.p1.width; p0.p2.width\n"
            "pair(p0, p4) open, height 3 because of p0.p1.width; p0.p2.width");
        world_close(&world);
    }
}

/* A row with two lengths has none, also for what is read in the same loop: no reader may
 * have seen the first of them, and gone on with its tolerance as a reason. */
Test(inference, no_order_shows_in_what_a_loop_reads)
{
    static const char *const orders[] = {"p1: {width: 10 ±1 mm}, p2: {width: 10 ±1 mm}",
                                         "p2: {width: 10 ±1 mm}, p1: {width: 10 ±1 mm}"};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        char parts[400];
        (void)snprintf(parts, sizeof parts,
                       "  - {part: p0, kind: block, source: s, links: {%s}}\n"
                       "  - {part: p1, kind: block, source: s, size: 5 ±1 mm}\n"
                       "  - {part: p2, kind: block, source: s, size: 5 ±2 mm}\n",
                       orders[i]);
        struct world world =
            world_of("rule: z-start, given: [link: {item: $a, to: $b, width: $w}],"
                     " where: $w > 10 mm, conclude: [pair: {item: $a, to: $b}]\n"
                     "rule: m-size, given: [pair: {item: $a, to: $b}, block: {piece: $b, "
                     "size: $l}],"
                     " conclude: [dist: {item: $a, to: end, length: $l, mark: x}]\n"
                     "rule: c-small, given: [pair: {item: $a, to: $b},"
                     " dist: {item: $a, length: $l}], where: $l < 5 mm,"
                     " conclude: [chain: {item: $a, to: $b}]\n"
                     "rule: d-back, given: [chain: {item: $a, to: $b}],"
                     " conclude: [pair: {item: $a, to: $b}]\n",
                     parts);
        cr_expect_str_eq(
            world_rows(&world, "chain"),
            "chain(p0, p1) open, height 3 because of p0.p1.width; p0.p2.width\n"
            "chain(p0, p2) open, height 3 because of p0.p1.width; p0.p2.width");
        world_close(&world);
    }
}
