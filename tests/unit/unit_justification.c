/* SPDX-License-Identifier: MIT */
/* Why a row is there: of all reasons one, and the same whatever was written first. */
#include "inference_world.h"

#include <stdio.h>

TestSuite(justification, .timeout = 60);

/* "rule: premise, premise" in the order of the rule's conditions; "none" for a row that
 * no rule concluded. */
static const char *reason(struct world *world, const struct row *row)
{
    char out[1000];
    struct justification why = {0};
    struct row_writer writer = {.out = out, .room = sizeof out};
    const struct inference_options options = {.names = world->bench.names};
    cr_assert_not_null(row);
    const status found = justification_find(world->bench.rules, world->store,
                                            world->bench.room.arena, &options, row, &why);
    if (found == STATUS_NOT_FOUND) {
        return "none";
    }
    cr_assert_eq(found, STATUS_OK);
    row_put(&writer, "%.*s:", TEXT_ARG(names_text(world->bench.names, why.rule->name)));
    for (uint32_t i = 0; i < why.rule->given_count; i++) {
        const struct row *premise = why.premises[i];
        row_put(&writer, " ");
        row_put_key(&writer, world->bench.names,
                    store_shape(world->store, premise->relation), premise->key);
    }
    row_put_doubt(&writer, why.doubt);
    return text_copy(world->bench.room.arena, (text){out, writer.at}).at;
}

/* Lower premises first: the long way round is a reason too, but not the least. */
Test(justification, the_lowest_premises)
{
    struct world world = world_of(
        "rule: a-long, given: [chain: {item: $a, to: $b}, twin: {item: $b, to: $c}],"
        " conclude: [pair: {item: $a, to: $c}]\n"
        "rule: on, given: [chain: {item: $a, to: $b}, twin: {item: $b, to: $c}],"
        " conclude: [chain: {item: $a, to: $c}]\n"
        "rule: start, given: [twin: {item: $a, to: $b}],"
        " conclude: [chain: {item: $a, to: $b}]\n"
        "rule: z-short, given: [twin: {item: $a, to: $c}],"
        " conclude: [pair: {item: $a, to: $c}]\n",
        "  - {part: p0, kind: block, source: s, twins: {p1: {}, p2: {}}}\n"
        "  - {part: p1, kind: block, source: s, twins: {p2: {}}}\n"
        "  - {part: p2, kind: block, source: s, twins: {p3: {}}}\n");
    cr_expect_str_eq(reason(&world, world_row(&world, "pair", "p0", "p2")),
                     "z-short: twin(p0, p2)");
    cr_expect_str_eq(reason(&world, world_row(&world, "pair", "p0", "p3")),
                     "a-long: chain(p0, p2) twin(p2, p3)");
    cr_expect_str_eq(reason(&world, world_row(&world, "chain", "p0", "p3")),
                     "on: chain(p0, p2) twin(p2, p3)");
    cr_expect_str_eq(reason(&world, world_row(&world, "twin", "p0", "p1")), "none");
    world_close(&world);
}

/* At equal heights fewer premises, then the rule's name, then the premises as text. */
Test(justification, names_and_premises_as_text)
{
    struct world world = world_of(
        "rule: b-one, given: [link: {item: $a, to: $b}], conclude: [near: {item: $a}]\n"
        "rule: c-one, given: [twin: {item: $a, to: $b}], conclude: [near: {item: $a}]\n"
        "rule: a-two, given: [link: {item: $a, to: $b}, twin: {item: $a, to: $c}],"
        " conclude: [near: {item: $a}]\n",
        "  - {part: p0, kind: block, source: s, links: {q2: {}, q10: {}}, twins: {a: "
        "{}}}\n"
        "  - {part: p1, kind: block, source: s, twins: {z: {}, y: {}}}\n");
    cr_expect_str_eq(reason(&world, world_row(&world, "near", "p0", "")),
                     "b-one: link(p0, q10)");
    cr_expect_str_eq(reason(&world, world_row(&world, "near", "p1", "")),
                     "c-one: twin(p1, y)");
    world_close(&world);
}

/* Two ways from p0 to p3, over p1 and over p2, by two relations: which is the least is
 * told by the conditions as text, not by which of them was written first. */
Test(justification, the_order_of_conditions_does_not_show)
{
    static const struct {
        const char *given;
        const char *expected;
    } orders[] = {{"link: {item: $a, to: $b}, twin: {item: $a, to: $c}",
                   "r: link(p0, p1) twin(p0, q2)"},
                  {"twin: {item: $a, to: $c}, link: {item: $a, to: $b}",
                   "r: twin(p0, q2) link(p0, p1)"}};
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        char rules[400];
        (void)snprintf(rules, sizeof rules,
                       "rule: r, given: [%s, chart: {item: $b, to: $c}],"
                       " conclude: [near: {item: $a}]\n",
                       orders[i].given);
        struct world world = world_of(
            rules, "  - {part: p0, kind: block, source: s, links: {p1: {}, p2: {}},"
                   " twins: {q1: {}, q2: {}}}\n"
                   "  - {part: p1, kind: block, source: s, charts: {q2: {}}}\n"
                   "  - {part: p2, kind: block, source: s, charts: {q1: {}}}\n");
        char expected[200];
        (void)snprintf(expected, sizeof expected, "%s chart(p1, q2)", orders[i].expected);
        cr_expect_str_eq(reason(&world, world_row(&world, "near", "p0", "")), expected);
        world_close(&world);
    }
}

/* An open row is explained by what is open, with the doubts of that reason; a sure one by
 * what is sure. */
Test(justification, standing)
{
    struct world world = world_of(
        "rule: maybe, given: [link: {item: $a, to: $b, width: $w}], where: $w > 10 mm,"
        " conclude: [pair: {item: $a, to: $b}]\n"
        "rule: some, given: [pair: {item: $a, to: $b}], conclude: [near: {item: $a}]\n",
        "  - {part: p0, kind: block, source: s, links: {q1: {width: 10 ±1 mm},"
        " q2: {width: 12 ±1 mm}}}\n"
        "  - {part: p1, kind: block, source: s, links: {q2: {width: 10 ±1 mm},"
        " q1: {width: 10 ±1 mm}}}\n");
    cr_expect_str_eq(reason(&world, world_row(&world, "near", "p0", "")),
                     "some: pair(p0, q2)");
    cr_expect_str_eq(reason(&world, world_row(&world, "near", "p1", "")),
                     "some: pair(p1, q1) because of p1.q1.width");
    world_close(&world);
}

/* In a loop every reason leads down: no row explains itself. */
Test(justification, loops_end)
{
    struct world world = world_of(
        "rule: start, given: [twin: {item: $a, to: $b}],"
        " conclude: [chain: {item: $a, to: $b}]\n"
        "rule: on, given: [chain: {item: $a, to: $b}, chain: {item: $b, to: $c}],"
        " conclude: [chain: {item: $a, to: $c}]\n",
        "  - {part: p0, kind: block, source: s, twins: {p1: {}}}\n"
        "  - {part: p1, kind: block, source: s, twins: {p2: {}}}\n"
        "  - {part: p2, kind: block, source: s, twins: {p0: {}}}\n");
    const relation_id chain = world_relation(&world, "chain");
    cr_expect_eq(store_count(world.store, chain), 9);
    for (uint32_t i = 0; i < store_count(world.store, chain); i++) {
        const struct row *row = store_row(world.store, chain, i);
        struct justification why = {0};
        const struct inference_options options = {.names = world.bench.names};
        cr_assert_eq(justification_find(world.bench.rules, world.store,
                                        world.bench.room.arena, &options, row, &why),
                     STATUS_OK);
        for (uint32_t k = 0; k < why.rule->given_count; k++) {
            cr_expect_lt(why.premises[k]->height, row->height);
        }
    }
    world_close(&world);
}
