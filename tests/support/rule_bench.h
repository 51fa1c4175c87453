/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_RULE_BENCH_H
#define WHYFIT_TEST_RULE_BENCH_H

#include "inference.h"
#include "part.h"
#include "room.h"
#include "rule_read.h"

/*
 * Vocabulary, rules and parts out of texts, through the readers that knowledge is loaded
 * with, but stage by stage: a test chooses which parts go into which store and when rules
 * run.
 */
struct rule_bench {
    struct room room;
    struct names *names;
    const struct vocabulary *vocabulary;
    const struct rule_base *rules;
    struct tables tables; /* none: dimensions are written with their limits */
};

static inline struct rule_bench rule_bench_open(void)
{
    struct rule_bench bench = {.room = room_open()};
    bench.names = names_open(bench.room.arena, NULL);
    return bench;
}

static inline void rule_bench_close(struct rule_bench *bench)
{
    room_close(&bench->room);
}

static inline status rule_bench_document(struct rule_bench *bench, const char *name,
                                         text content, const struct node **out)
{
    const uint32_t source = sources_add(bench->room.sources, text_of(name), content);
    return yaml_read(bench->room.arena, bench->room.sources, source,
                     bench->room.diagnostics, out);
}

static inline status rule_bench_vocabulary(struct rule_bench *bench, const char *content)
{
    const struct node *document = NULL;
    TRY(rule_bench_document(bench, "vocabulary", text_of(content), &document));
    return vocabulary_read(bench->room.arena, bench->names, &document, 1,
                           bench->room.diagnostics, &bench->vocabulary);
}

static inline status rule_bench_rules(struct rule_bench *bench, text content)
{
    const struct rule_surroundings around = {.vocabulary = bench->vocabulary,
                                             .names = bench->names};
    const struct node *document = NULL;
    TRY(rule_bench_document(bench, "rules", content, &document));
    return rules_read(bench->room.arena, &around, &document, 1, bench->room.diagnostics,
                      &bench->rules);
}

static inline struct store *rule_bench_store(struct rule_bench *bench,
                                             const struct store *parent)
{
    return store_open(bench->room.arena, bench->rules->shapes, bench->rules->shape_count,
                      parent);
}

/* Builds the parts of a document `parts: [ … ]` into a store. */
static inline status rule_bench_parts(struct rule_bench *bench, text content,
                                      struct names *names, struct store *store)
{
    const struct part_surroundings around = {.arena = bench->room.arena,
                                             .names = names,
                                             .vocabulary = bench->vocabulary,
                                             .tables = &bench->tables,
                                             .diagnostics = bench->room.diagnostics};
    const struct node *document = NULL;
    TRY(rule_bench_document(bench, "parts", content, &document));
    const struct node *list = node_field_of(document, "parts");
    for (uint32_t i = 0; list != NULL && i < list->count; i++) {
        struct part part;
        TRY(part_read(bench->room.arena, names, bench->vocabulary, list->items[i],
                      bench->room.diagnostics, &part));
        TRY(part_build(&around, &part, part.name, NAME_NONE, NULL, 0, store));
    }
    return STATUS_OK;
}

static inline status rule_bench_infer(struct rule_bench *bench, const struct names *names,
                                      struct store *store,
                                      struct inference_conflict *conflict)
{
    const struct inference_options options = {.names = names};
    struct inference_counts counts = {0};
    return inference_run(bench->rules, store, bench->room.arena, &options,
                         bench->room.diagnostics, &counts, conflict);
}

/* All that was reported, for a failing test to show. */
static inline const char *rule_bench_faults(struct rule_bench *bench)
{
    struct arena *arena = bench->room.arena;
    text all = {"", 0};
    diagnostics_sort(bench->room.diagnostics, bench->room.sources);
    for (uint32_t i = 0; i < diagnostics_kept(bench->room.diagnostics); i++) {
        const text one = diagnostic_write(
            arena, diagnostics_at(bench->room.diagnostics, i), bench->room.sources);
        all = text_format(arena, "%.*s%.*s", TEXT_ARG(all), TEXT_ARG(one));
    }
    return all.at;
}

#endif
