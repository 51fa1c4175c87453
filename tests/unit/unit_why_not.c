/* SPDX-License-Identifier: MIT */
/* Why is a row not there? Of each rule the attempt that got furthest, and what ended it.
 */
#include "inference_world.h"
#include "tree_bench.h"
#include "why_not.h"

#include <stdio.h>

TestSuite(why_not, .timeout = 60);

static const char *const stop_words[] = {"given", "unless", "every",
                                         "where", "values", "load"};

/* A row known by one or two names; NULL: not known. */
static struct wanted_row wanted_of(const struct world *world, const char *relation,
                                   const char *first, const char *second)
{
    const char *const words[2] = {first, second};
    struct wanted_row wanted = {.relation = world_relation(world, relation)};
    for (uint32_t c = 0; c < 2; c++) {
        if (words[c] != NULL) {
            wanted.asked |= 1u << c;
            wanted.key[c] = names_find(world->bench.names, text_of(words[c]));
        }
    }
    return wanted;
}

static void put_row(struct world *world, struct row_writer *writer, const struct row *row)
{
    if (row == NULL) {
        row_put(writer, "nothing");
        return;
    }
    row_put_key(writer, world->bench.names, store_shape(world->store, row->relation),
                row->key);
}

static void put_attempt(struct world *world, struct row_writer *writer,
                        const struct why_not_attempt *attempt)
{
    row_put(writer, "%.*s %s %u",
            TEXT_ARG(names_text(world->bench.names, attempt->rule->name)),
            stop_words[attempt->stop], attempt->index);
    if (attempt->stop == WHY_NOT_FILTER) {
        row_put(writer, " %.*s", TEXT_ARG(attempt->shortfall.part));
        if (attempt->shortfall.by != NULL) {
            row_put(writer, " by ");
            row_put_value(writer, world->bench.names,
                          value_quantity(attempt->shortfall.by));
        }
    } else if (attempt->gives != NULL) {
        row_put(writer, " gives ");
        row_put_row(writer, world->bench.names,
                    store_shape(world->store, attempt->gives->relation), attempt->gives);
    } else {
        row_put(writer, " by ");
        put_row(world, writer, attempt->by);
    }
    row_put(writer, " after");
    for (uint32_t i = 0; i < attempt->premise_count; i++) {
        row_put(writer, " ");
        put_row(world, writer, attempt->premises[i]);
    }
    row_put(writer, " of %u", attempt->as_far);
}

/* "rule stop index … after premises of N", a line a rule. */
static const char *attempts_at(struct world *world, const struct wanted_row *wanted)
{
    char out[4000];
    struct row_writer writer = {.out = out, .room = sizeof out};
    const struct inference_options options = {.names = world->bench.names};
    const struct why_not_attempt *attempts = NULL;
    uint32_t count = 0;
    out[0] = '\0';
    cr_assert_eq(why_not_find(world->bench.rules, world->store, world->bench.room.arena,
                              &options, wanted, &attempts, &count),
                 STATUS_OK);
    for (uint32_t i = 0; i < count; i++) {
        row_put(&writer, "%s", i == 0 ? "" : "\n");
        put_attempt(world, &writer, &attempts[i]);
    }
    return text_copy(world->bench.room.arena, (text){out, writer.at}).at;
}

static const char *why_not(struct world *world, const char *relation, const char *first,
                           const char *second)
{
    const struct wanted_row wanted = wanted_of(world, relation, first, second);
    return attempts_at(world, &wanted);
}

/* The first condition, in the rule's own order, that no row matches; the nearest row is
 * one of the owner's. */
Test(why_not, a_condition_without_a_row)
{
    struct world world =
        world_of("rule: r, given: [link: {item: $a, to: $b}, twin: {item: $b, to: $c},"
                 " link: {item: $c, grade: high}], conclude: [near: {item: $a}]\n",
                 "  - {part: p0, kind: block, source: s, links: {p1: {}, p2: {}}}\n"
                 "  - {part: p1, kind: block, source: s, twins: {p3: {}, p4: {}}}\n"
                 "  - {part: p3, kind: block, source: s, links: {x: {grade: low}}}\n"
                 "  - {part: p4, kind: block, source: s}\n"
                 "  - {part: p5, kind: block, source: s, links: {p0: {}}}\n");
    cr_expect_str_eq(why_not(&world, "near", "p0", NULL),
                     "r given 2 by link(p3, x) after link(p0, p1) twin(p1, p3) of 2");
    cr_expect_str_eq(why_not(&world, "near", "p5", NULL),
                     "r given 1 by nothing after link(p5, p0) of 1");
    cr_expect_str_eq(why_not(&world, "near", "p4", NULL),
                     "r given 0 by nothing after of 1");
    world_close(&world);
}

/* What the failing condition wants of a row is handed on. */
Test(why_not, the_row_that_is_missing)
{
    struct world world =
        world_of("rule: r, given: [twin: {item: $a, to: $b}, pair: {item: $b, to: $a}],"
                 " conclude: [near: {item: $a}]\n"
                 "rule: s, given: [link: {item: $a, to: $b, grade: high}],"
                 " conclude: [pair: {item: $a, to: $b}]\n",
                 "  - {part: p0, kind: block, source: s, twins: {p1: {}}}\n"
                 "  - {part: p1, kind: block, source: s, links: {p0: {grade: low}}}\n");
    const struct inference_options options = {.names = world.bench.names};
    const struct wanted_row near = wanted_of(&world, "near", "p0", NULL);
    const struct wanted_row pair = wanted_of(&world, "pair", "p1", "p0");
    const struct why_not_attempt *attempts = NULL;
    uint32_t count = 0;
    cr_assert_eq(why_not_find(world.bench.rules, world.store, world.bench.room.arena,
                              &options, &near, &attempts, &count),
                 STATUS_OK);
    cr_assert_eq(count, 1);
    cr_expect(wanted_equal(&attempts[0].missing, &pair,
                           store_shape(world.store, pair.relation)));
    cr_expect_str_eq(attempts_at(&world, &attempts[0].missing),
                     "s given 0 by link(p1, p0) after of 1");
    world_close(&world);
}

Test(why_not, a_denial_and_every)
{
    struct world world = world_of(
        "rule: r, given: [block: {piece: $a}], unless: [twin: {item: $a},"
        " link: {item: $a, grade: high}], conclude: [near: {item: $a}]\n"
        "rule: s, given: [block: {piece: $a}], every: [{of: {link: {item: $a,"
        " width: $w}}, is: $w > 5 mm}], conclude: [far: {item: $a}]\n",
        "  - {part: p0, kind: block, source: s, links: {q2: {grade: high, width: 4 ±0.1 "
        "mm}, q1: {grade: high, width: 3 ±0.1 mm}, q0: {grade: low, width: 9 mm}}}\n"
        "  - {part: p1, kind: block, source: s, twins: {q0: {}}}\n");
    cr_expect_str_eq(why_not(&world, "near", "p0", NULL),
                     "r unless 1 by link(p0, q1) after block(p0) of 1");
    cr_expect_str_eq(why_not(&world, "near", "p1", NULL),
                     "r unless 0 by twin(p1, q0) after block(p1) of 1");
    cr_expect_str_eq(why_not(&world, "far", "p0", NULL),
                     "s every 0 by link(p0, q1) after block(p0) of 1");
    world_close(&world);
}

/* The part of a filter that decides, and how far its sides lie apart. */
Test(why_not, a_filter)
{
    static const struct {
        const char *filter;
        const char *expected;
    } rows[] = {
        {"$w >= 12 mm", "$w >= 12 mm by 2 [1, 3] -1*p0.q0.width"},
        {"$w > 1 mm and $w < 5 mm", "$w < 5 mm by 5 [4, 6] +1*p0.q0.width"},
        {"not ($w > 5 mm)", "not ($w > 5 mm) by 5 [4, 6] +1*p0.q0.width"},
        {"not ($w > 5 mm or $n = 2)", "not ($w > 5 mm) by 5 [4, 6] +1*p0.q0.width"},
        {"$w < 1 mm or $w > 20 mm", "$w < 1 mm or $w > 20 mm"},
        {"not ($w > 1 mm and $n = 2)", "not ($w > 1 mm and $n = 2)"},
        {"$n != 2", "$n != 2 by 0"},
        {"$q = \"high\"", "$q = \"high\""},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char rules[400];
        char expected[200];
        (void)snprintf(
            rules, sizeof rules,
            "rule: r, given: [link: {item: $a, width: $w, gauge: $g, holes: $n,"
            " grade: $q}], where: ['%s'], conclude: [near: {item: $a}]\n",
            rows[i].filter);
        struct world world = world_of(
            rules, "  - {part: p0, kind: block, source: s, links: {q0: {width: 10 "
                   "±1 mm, gauge: 9 mm, holes: 2, grade: low}}}\n");
        (void)snprintf(expected, sizeof expected, "r where 0 %s after link(p0, q0) of 1",
                       rows[i].expected);
        cr_expect_str_eq(why_not(&world, "near", "p0", NULL), expected);
        world_close(&world);
    }
}

/* A rule that could not have made the row is not tried; one that would make another row
 * of that key says which. */
Test(why_not, other_values_and_other_heads)
{
    struct world world = world_of(
        "rule: a, given: [link: {item: $a, to: $b, width: $w}],"
        " conclude: [dist: {item: $a, to: $b, length: $w, mark: short}]\n"
        "rule: b, given: [link: {item: $a, to: $b, gauge: $v, grade: high}],"
        " conclude: [dist: {item: $a, to: $b, length: $v, mark: long}]\n"
        "rule: c, given: [link: {item: $a, gauge: $v}],"
        " conclude: [dist: {item: $a, to: q9, length: $v, mark: short}]\n",
        "  - {part: p0, kind: block, source: s, links: {q0: {width: 4 mm, grade: "
        "low}}}\n");
    struct wanted_row wanted = wanted_of(&world, "dist", "p0", "q0");
    wanted.asked_values = 2;
    wanted.values[1] = value_word(names_find(world.bench.names, TEXT("long")));
    cr_expect_str_eq(attempts_at(&world, &wanted),
                     "b given 0 by link(p0, q0) after of 1");
    wanted.values[1] = value_word(names_find(world.bench.names, TEXT("short")));
    cr_expect_str_eq(attempts_at(&world, &wanted),
                     "a values 0 gives dist(p0, q0) sure, height 1, length = 4 [-inf, "
                     "inf] +1*p0.q0.width, mark = short after link(p0, q0) of 1");
    world_close(&world);
}

/* What is there by a rule is never kept away by all of them, and what is not there is. */

struct verified {
    unsigned there;
    unsigned absent;
};

/* Whether some attempt ends without a failure. */
static bool is_made(struct tree_bench *trees, const struct wanted_row *wanted)
{
    const struct why_not_attempt *attempts = NULL;
    uint32_t count = 0;
    bool is_any = false;
    cr_assert_eq(why_not_find(trees->bench.rules, trees->store, trees->bench.room.arena,
                              &trees->options, wanted, &attempts, &count),
                 STATUS_OK);
    for (uint32_t i = 0; i < count; i++) {
        is_any = is_any || attempts[i].stop >= WHY_NOT_VALUES;
        cr_expect(attempts[i].stop != WHY_NOT_GIVEN ||
                  attempts[i].premise_count == attempts[i].index);
    }
    return is_any;
}

static void verify_key(struct tree_bench *trees, struct wanted_row *wanted,
                       struct verified *verified)
{
    const struct row *row = store_find(trees->store, wanted->relation, wanted->key);
    const bool made = is_made(trees, wanted);
    verified->there += row != NULL ? 1 : 0;
    verified->absent += row == NULL ? 1 : 0;
    cr_expect_eq(
        made, row != NULL, "%s",
        row_write(trees->bench.room.arena, trees->store, trees->bench.names,
                  &(struct row){.relation = wanted->relation, .key = wanted->key})
            .at);
}

static void verify_program(struct tree_bench *trees, const struct random_program *program,
                           struct verified *verified)
{
    for (relation_id r = 0; r < store_shape_count(trees->store); r++) {
        const struct relation_shape *shape = store_shape(trees->store, r);
        const bool is_short =
            shape->key_count == 1 ||
            (shape->key_count == 2 && shape->columns[1].kind == COLUMN_NAME);
        const bool is_concluded = shape->filled == FILLED_BY_RULES ||
                                  rule_find(trees->bench.rules, shape->name) != NULL;
        if (!is_short || !is_concluded || shape->columns[0].kind != COLUMN_NAME) {
            continue;
        }
        struct wanted_row wanted = {.relation = r, .asked = (1u << shape->key_count) - 1};
        const uint32_t others = shape->key_count == 1 ? 1 : program->part_count;
        for (uint32_t i = 0; i < program->part_count * others; i++) {
            for (uint32_t c = 0; c < shape->key_count; c++) {
                const uint32_t part = c == 0 ? i / others : i % others;
                wanted.key[c] =
                    names_find(trees->bench.names, text_of(program->parts[part].name));
            }
            verify_key(trees, &wanted, verified);
        }
    }
}

Test(why_not, random_programs)
{
    static struct random_program program;
    struct verified verified = {0};
    for (uint64_t seed = 1; seed <= 60; seed++) {
        struct tree_bench trees;
        program_make(&program, seed);
        if (tree_bench_open(&trees, &program) && tree_bench_infer(&trees)) {
            verify_program(&trees, &program, &verified);
        }
        tree_bench_close(&trees);
    }
    cr_expect_gt(verified.there, 500);
    cr_expect_gt(verified.absent, 5000);
}
