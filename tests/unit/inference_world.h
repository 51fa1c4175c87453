/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_INFERENCE_WORLD_H
#define WHYFIT_TEST_INFERENCE_WORLD_H

#include "inference_vocabulary.h"
#include "row_text.h"
#include "rule_bench.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

/* Rules over inference_vocabulary, with parts and what follows from them. */
struct world {
    struct rule_bench bench;
    struct store *store;
};

/* Rules are written as a list, one a line; each has `says`, `source` and, where it checks
 * something, `because` added. Nothing has run yet. */
static inline struct world world_open(const char *rules, const char *parts)
{
    struct world world = {.bench = rule_bench_open()};
    struct rule_bench *bench = &world.bench;
    text all = TEXT("pack: test\nsays: Made for a test.\nrules:\n");
    while (*rules != '\0') {
        const char *end = strchr(rules, '\n');
        const int length = (int)(end - rules);
        const bool has_check =
            strstr(rules, "check:") != NULL && strstr(rules, "check:") < end;
        all = text_format(
            bench->room.arena, "%.*s  - {says: '-', source: invented, %s%.*s}\n",
            TEXT_ARG(all), has_check ? "because: '-', " : "", length, rules);
        rules = end + 1;
    }
    cr_assert_eq(rule_bench_vocabulary(bench, inference_vocabulary), STATUS_OK);
    cr_assert_eq(rule_bench_rules(bench, all), STATUS_OK, "%s", rule_bench_faults(bench));
    world.store = rule_bench_store(bench, NULL);
    cr_assert_eq(rule_bench_parts(bench,
                                  text_format(bench->room.arena, "parts:\n%s", parts),
                                  bench->names, world.store),
                 STATUS_OK, "%s", rule_bench_faults(bench));
    return world;
}

static inline status world_run(struct world *world)
{
    return rule_bench_infer(&world->bench, world->bench.names, world->store, NULL);
}

/* The same with everything concluded. */
static inline struct world world_of(const char *rules, const char *parts)
{
    struct world world = world_open(rules, parts);
    cr_assert_eq(world_run(&world), STATUS_OK, "%s", rule_bench_faults(&world.bench));
    return world;
}

static inline void world_close(struct world *world)
{
    rule_bench_close(&world->bench);
}

static inline int world_compare(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

static inline relation_id world_relation(const struct world *world, const char *name)
{
    relation_id relation = 0;
    cr_assert(store_find_relation(
                  world->store, names_find(world->bench.names, text_of(name)), &relation),
              "%s", name);
    return relation;
}

/* All rows of a relation as text, sorted, a line each. */
static inline const char *world_rows(struct world *world, const char *name)
{
    struct arena *arena = world->bench.room.arena;
    const relation_id relation = world_relation(world, name);
    const uint32_t count = store_count(world->store, relation);
    const char **lines = ARENA_MANY(arena, count, const char *);
    text all = {"", 0};
    for (uint32_t i = 0; i < count; i++) {
        char out[2000];
        struct row_writer writer = {.out = out, .room = sizeof out};
        row_put_row(&writer, world->bench.names, store_shape(world->store, relation),
                    store_row(world->store, relation, i));
        lines[i] = text_copy(arena, (text){out, writer.at}).at;
    }
    qsort(lines, count, sizeof *lines, world_compare);
    for (uint32_t i = 0; i < count; i++) {
        all = text_format(arena, "%.*s%s%s", TEXT_ARG(all), i == 0 ? "" : "\n", lines[i]);
    }
    return all.at;
}

/* The row of a relation with these words as its key. */
static inline const struct row *world_row(const struct world *world, const char *name,
                                          const char *first, const char *second)
{
    const struct names *names = world->bench.names;
    const name_id key[2] = {names_find(names, text_of(first)),
                            names_find(names, text_of(second))};
    return store_find(world->store, world_relation(world, name), key);
}

#endif
