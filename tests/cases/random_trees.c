/* SPDX-License-Identifier: MIT */
/*
 * Writes the trees of random programs: random_trees FIRST COUNT >TREES.jsonl. A line is
 * {"seed": …, "rules": "…", "answer": {…}}: the rules as text, and the answer to `why` of
 * every row there is, so that a replay knows what is not there too.
 */
#include "tree_bench.h"

#include "explanation.h"
#include "render.h"
#include "steps.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>

/* All but ends of lines: within JSON they say nothing. */
static bool to_stream(void *stream, const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (bytes[i] != '\n' && fputc(bytes[i], stream) == EOF) {
            return false;
        }
    }
    return true;
}

/* Every row as a root, in an order that only their texts give. */
static status explain_all(struct tree_bench *trees, struct answer *answer,
                          struct explanation *explanation)
{
    ARRAY_OF(struct explained_row) rows = {0};
    ARRAY_OF(uint32_t) roots = {0};
    struct arena *arena = trees->bench.room.arena;
    for (relation_id r = 0; r < store_shape_count(trees->store); r++) {
        for (uint32_t i = 0; i < store_count(trees->store, r); i++) {
            const struct explained_row one = {.row = store_row(trees->store, r, i)};
            const uint32_t root = chain_of(&trees->chain, one.row);
            TRY(trees->chain.result);
            if (!ARRAY_PUSH(arena, &rows, one) || !ARRAY_PUSH(arena, &roots, root)) {
                return arena_status(arena);
            }
        }
    }
    uint32_t *ids = ARENA_MANY(arena, roots.count, uint32_t);
    TRY(arena_status(arena));
    TRY(steps_of_trees(&trees->chain, roots.at, roots.count, ids, &answer->steps,
                       &answer->step_count));
    for (uint32_t i = 0; i < rows.count; i++) {
        rows.at[i].step = ids[i];
    }
    explanation->rows = rows.at;
    explanation->row_count = rows.count;
    explanation->match_count = rows.count;
    return STATUS_OK;
}

static status write_line(struct tree_bench *trees, unsigned long seed)
{
    struct explanation explanation = {.asked = TEXT("everything")};
    struct answer answer = {.arena = trees->bench.room.arena,
                            .knowledge = &trees->knowledge,
                            .names = trees->bench.names,
                            .store = trees->store,
                            .command = TEXT("why"),
                            .unit =
                                text_format(trees->bench.room.arena, "program %lu", seed),
                            .explanation = &explanation};
    TRY(explain_all(trees, &answer, &explanation));
    json_t *rules = json_stringn(trees->rules.at, trees->rules.length);
    printf("{\"seed\": %lu, \"rules\": ", seed);
    if (rules == NULL || json_dumpf(rules, stdout, JSON_ENCODE_ANY) != 0) {
        return STATUS_NO_MEMORY;
    }
    json_decref(rules);
    printf(", \"answer\": ");
    struct writer writer = {
        .sink = to_stream, .context = stdout, .arena = trees->bench.room.arena};
    TRY(render_explanation_json(&writer, &answer));
    return STATUS_OK;
}

int main(int argc, char **argv)
{
    static struct random_program program;
    const unsigned long first = argc > 2 ? strtoul(argv[1], NULL, 10) : 1;
    const unsigned long count = argc > 2 ? strtoul(argv[2], NULL, 10) : 0;
    for (unsigned long seed = first; seed < first + count; seed++) {
        struct tree_bench trees;
        status result = STATUS_OK;
        program_make(&program, seed);
        if (tree_bench_open(&trees, &program) && tree_bench_infer(&trees)) {
            result = write_line(&trees, seed);
            puts("}");
        }
        tree_bench_close(&trees);
        if (result != STATUS_OK) {
            fprintf(stderr, "seed %lu: status %d\n", seed, (int)result);
            return 1;
        }
    }
    return 0;
}
