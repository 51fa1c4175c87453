/* SPDX-License-Identifier: MIT */
/* Sums, least and greatest over rows that are surely there, and over those that may be.
 */
#include "inference_world.h"

TestSuite(inference_amounts, .timeout = 60);

/* Forms keep their terms: what is added up and taken off again is gone, in a sum and in
 * the end that surely is the end. */
Test(inference_amounts, what_enters_twice_cancels)
{
    struct world world =
        world_of("rule: sum, given: [link: {item: $a, to: p1, width: $w}],"
                 " sum: {x: {of: {link: {item: $a, width: $v}}, value: $v}},"
                 " check: {margin: $x - $w, weight: stops}\n"
                 "rule: least, given: [link: {item: $a, to: p1, width: $w}],"
                 " least: {x: {of: {link: {item: $a, width: $v}}, value: $v}},"
                 " check: {margin: $w - $x, weight: stops}\n"
                 "rule: greatest, given: [link: {item: $a, to: p2, width: $w}],"
                 " greatest: {x: {of: {link: {item: $a, width: $v}}, value: $v}},"
                 " check: {margin: $x - $w, weight: stops}\n"
                 "rule: holes, given: [block: {piece: $a}],"
                 " sum: {x: {of: {link: {item: $a, holes: $v}}, value: $v}},"
                 " check: {margin: $x, weight: stops}\n",
                 "  - {part: p0, kind: block, source: s, links: {p1: {width: 4 ±0.1 mm, "
                 "holes: 2}, p2: {width: 10 ±1 mm, holes: 3}}}\n");
    cr_expect_str_eq(world_rows(&world, "sum"),
                     "sum(p0) sure, height 1, margin = 10 [9, 11] +1*p0.p2.width,"
                     " outcome = holds");
    cr_expect_str_eq(world_rows(&world, "least"),
                     "least(p0) sure, height 1, margin = 0, outcome = holds");
    cr_expect_str_eq(world_rows(&world, "greatest"),
                     "greatest(p0) sure, height 1, margin = 0, outcome = holds");
    cr_expect_str_eq(world_rows(&world, "holes"),
                     "holes(p0) sure, height 1, margin = 5, outcome = holds");
    world_close(&world);
}

/* Of no rows the sum is nothing; a least and a greatest there is not, and that is sure.
 */
Test(inference_amounts, of_no_rows)
{
    struct world world =
        world_of("rule: none, given: [block: {piece: $a}],"
                 " sum: {x: {of: {link: {item: $a, width: $v}}, value: $v}},"
                 " check: {margin: $x, weight: stops}\n"
                 "rule: first, given: [block: {piece: $a}],"
                 " least: {x: {of: {link: {item: $a, width: $v}}, value: $v}},"
                 " check: {margin: $x, weight: stops}\n"
                 "rule: last, given: [block: {piece: $a}],"
                 " greatest: {x: {of: {link: {item: $a, holes: $v}}, value: $v}},"
                 " check: {margin: $x, weight: stops}\n",
                 "  - {part: p0, kind: block, source: s}\n");
    cr_expect_str_eq(world_rows(&world, "none"),
                     "none(p0) sure, height 1, margin = 0, outcome = holds");
    cr_expect_str_eq(world_rows(&world, "first"),
                     "first(p0) sure, height 1, margin = no number, outcome = unknown");
    cr_expect_str_eq(world_rows(&world, "last"),
                     "last(p0) sure, height 1, margin = no number, outcome = unknown");
    const struct row *first = world_row(&world, "first", "p0", "");
    cr_expect_str_eq(first->values[FINDING_MARGIN].quantity->undefined,
                     "no row surely has the least value");
    world_close(&world);
}

/* A row that may be there adds its value or nothing to a sum, and is or is not the least;
 * where it could not be, nothing is open. */
Test(inference_amounts, rows_that_may_be_there)
{
    struct world world = world_of(
        "rule: sum, given: [block: {piece: $a}],"
        " sum: {x: {of: {link: {item: $a, grade: low, width: $v}}, value: $v}},"
        " check: {margin: $x - 5 mm, weight: stops}\n"
        "rule: twice, given: [block: {piece: $a}],"
        " sum: {x: {of: {link: {item: $a, grade: low, width: $v}}, value: $v}, y: {of: "
        "{link: {item: $a, grade: low, width: $v}}, value: $v}},"
        " check: {margin: $x - $y, weight: stops}\n"
        "rule: least, given: [block: {piece: $a}],"
        " least: {x: {of: {link: {item: $a, grade: low, width: $v}}, value: $v}},"
        " check: {margin: $x - 9 mm, weight: stops}\n"
        "rule: greatest, given: [block: {piece: $a}],"
        " greatest: {x: {of: {link: {item: $a, grade: low, width: $v}}, value: $v}},"
        " check: {margin: 20 mm - $x, weight: stops}\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {width: 6 ±0.1 mm}, p2:"
        " {width: 10 ±1 mm, grade: low}, p3: {width: 3 mm, grade: mid}, p4: {width: 8"
        " ±0.5 mm}}}\n");
    static const char *const doubt = "p0.p1.grade; p0.p4.grade";
    struct arena *arena = world.bench.room.arena;
    cr_expect_str_eq(
        world_rows(&world, "sum"),
        text_format(arena,
                    "sum(p0) open, height 1 because of %s, margin = 5 [4, 20.6]"
                    " +1*p0.p2.width +1*sum of width of link(p0, *, grade: low), outcome"
                    " = holds",
                    doubt)
            .at);
    cr_expect_str_eq(world_rows(&world, "twice"),
                     text_format(arena,
                                 "twice(p0) open, height 1 because of %s, margin = 0,"
                                 " outcome = holds",
                                 doubt)
                         .at);
    cr_expect_str_eq(
        world_rows(&world, "least"),
        text_format(arena,
                    "least(p0) open, height 1 because of %s, margin = 1 [-3.1, 2]"
                    " +1*least width of link(p0, *, grade: low) +1*p0.p2.width,"
                    " outcome = unknown",
                    doubt)
            .at);
    cr_expect_str_eq(world_rows(&world, "greatest"),
                     "greatest(p0) sure, height 1, margin = 10 [9, 11] -1*p0.p2.width,"
                     " outcome = holds");
    world_close(&world);
}

/* Only rows that may be there: whether there is a least nobody knows, nor what it is. */
Test(inference_amounts, only_rows_that_may_be_there)
{
    struct world world = world_of(
        "rule: least, given: [block: {piece: $a}],"
        " least: {x: {of: {link: {item: $a, grade: low, width: $v}}, value: $v}},"
        " check: {margin: $x - 1 mm, weight: stops}\n"
        "rule: sum, given: [block: {piece: $a}],"
        " sum: {x: {of: {link: {item: $a, grade: low, width: $v}}, value: $v}},"
        " check: {margin: $x, weight: stops}\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {width: 6 ±0.1 mm}, p2:"
        " {}}}\n");
    cr_expect_str_eq(world_rows(&world, "least"),
                     "least(p0) open, height 1 because of p0.p1.grade; p0.p2.grade;"
                     " p0.p2.width, margin = no number ~p0.p1.width ~p0.p2.width,"
                     " outcome = unknown");
    cr_expect_str_eq(world_rows(&world, "sum"),
                     "sum(p0) open, height 1 because of p0.p1.grade; p0.p2.grade;"
                     " p0.p2.width, margin = 0 [-inf, inf] +1*sum of width of link(p0, *,"
                     " grade: low), outcome = unknown");
    world_close(&world);
}

/* A list that is not complete may hold any value more. */
Test(inference_amounts, lists_that_are_not_complete)
{
    struct world world =
        world_of("rule: sum, given: [block: {piece: $a}],"
                 " sum: {x: {of: {link: {item: $a, gauge: $v}}, value: $v}},"
                 " check: {margin: $x, weight: stops}\n"
                 "rule: least, given: [block: {piece: $a}],"
                 " least: {x: {of: {link: {item: $a, gauge: $v}}, value: $v}},"
                 " check: {margin: 4 mm - $x, weight: stops}\n"
                 "rule: greatest, given: [block: {piece: $a}],"
                 " greatest: {x: {of: {link: {item: $a, gauge: $v}}, value: $v}},"
                 " check: {margin: 4 mm - $x, weight: stops}\n",
                 "  - {part: p0, kind: block, source: s, partial: [links], links: {p1: "
                 "{gauge: 4 mm}}}\n");
    cr_expect_str_eq(world_rows(&world, "sum"),
                     "sum(p0) open, height 1 because of p0: more of link, margin = 4"
                     " [-inf, inf] +1*sum of gauge of link(p0, *), outcome = unknown");
    cr_expect_str_eq(world_rows(&world, "least"),
                     "least(p0) open, height 1 because of p0: more of link, margin = 0"
                     " [0, inf] -1*least gauge of link(p0, *), outcome = holds");
    cr_expect_str_eq(world_rows(&world, "greatest"),
                     "greatest(p0) open, height 1 because of p0: more of link, margin = 0"
                     " [-inf, 0] -1*greatest gauge of link(p0, *), outcome = unknown");
    world_close(&world);
}

/* A value that nobody recorded: the sum misses it, the least is at most the others. A
 * field that a row does not have at all takes no part. */
Test(inference_amounts, values_that_are_missing)
{
    struct world world =
        world_of("rule: sum, given: [block: {piece: $a}],"
                 " sum: {x: {of: {link: {item: $a, width: $v}}, value: $v}},"
                 " check: {margin: $x - 1 mm, weight: stops}\n"
                 "rule: least, given: [block: {piece: $a}],"
                 " least: {x: {of: {link: {item: $a, width: $v}}, value: $v}},"
                 " check: {margin: 7 mm - $x, weight: stops}\n"
                 "rule: bolts, given: [block: {piece: $a}],"
                 " sum: {x: {of: {link: {item: $a, holes: $v}}, value: $v}},"
                 " check: {margin: $x - 1, weight: stops}\n",
                 "  - {part: p0, kind: block, source: s, links: {p1: {width: 6 ±0.1 mm, "
                 "holes: 2},"
                 " p2: {}}}\n");
    cr_expect_str_eq(world_rows(&world, "sum"),
                     "sum(p0) sure, height 1, margin = 5 [-inf, inf] +1*p0.p1.width"
                     " +1*p0.p2.width, outcome = unknown");
    cr_expect_str_eq(world_rows(&world, "least"),
                     "least(p0) sure, height 1, margin = 1 [0.9, inf] -1*p0.p1.width"
                     " ~p0.p1.width ~p0.p2.width, outcome = holds");
    cr_expect_str_eq(world_rows(&world, "bolts"),
                     "bolts(p0) sure, height 1, margin = 1 [-inf, inf] +1*p0.p2.holes,"
                     " outcome = unknown");
    world_close(&world);
}

/* Numbers in keys can be summed as well, and a whole sum is a count. */
Test(inference_amounts, of_keys_and_counts)
{
    struct world world = world_of(
        "rule: one, given: [block: {piece: $a}], conclude: [rung: {item: $a, level: 2}]\n"
        "rule: two, given: [block: {piece: $a}], conclude: [rung: {item: $a, level: 5}]\n"
        "rule: all, given: [block: {piece: $a}], sum: {n: {of: {rung: {item: $a, level:"
        " $k}}, value: $k}}, conclude: [total: {item: $a, n: $n}]\n"
        "rule: top, given: [block: {piece: $a}], greatest: {n: {of: {rung: {item: $a,"
        " level: $k}}, value: $k}}, where: [$n = 5], conclude: [near: {item: $a}]\n",
        "  - {part: p0, kind: block, source: s}\n");
    cr_expect_str_eq(world_rows(&world, "total"), "total(p0) sure, height 1, n = #7");
    cr_expect_str_eq(world_rows(&world, "near"), "near(p0) sure, height 1");
    world_close(&world);
}

/* Why a row is there names the rows that were summed. */
Test(inference_amounts, a_reason_rests_on_the_rows)
{
    struct world world = world_of(
        "rule: sum, given: [block: {piece: $a}],"
        " sum: {x: {of: {link: {item: $a, grade: low, gauge: $v}}, value: $v}},"
        " check: {margin: $x, weight: stops}\n",
        "  - {part: p0, kind: block, source: s, links: {p1: {gauge: 6 mm, grade: low},"
        " p2: {gauge: 5 mm, grade: mid}, p3: {gauge: 4 mm, grade: low}}}\n");
    const struct inference_options options = {.names = world.bench.names};
    struct justification why = {0};
    cr_assert_eq(justification_find(world.bench.rules, world.store,
                                    world.bench.room.arena, &options,
                                    world_row(&world, "sum", "p0", ""), &why),
                 STATUS_OK);
    cr_assert_eq(why.extra_count, 2);
    cr_expect_eq(why.extra[0], world_row(&world, "link", "p0", "p1"));
    cr_expect_eq(why.extra[1], world_row(&world, "link", "p0", "p3"));
    world_close(&world);
}
