/* SPDX-License-Identifier: MIT */
#include "said.h"

#include "row_text.h"

#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

enum {
    LINE_ROOM = 1 << 13
};

static int compare_texts(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Premises and variables in an order that rules cannot be seen in. */
static void put_sorted(struct row_writer *writer, const char **texts, uint32_t count)
{
    qsort(texts, count, sizeof *texts, compare_texts);
    for (uint32_t i = 0; i < count; i++) {
        row_put(writer, "%s%s", i == 0 ? "" : "; ", texts[i]);
    }
}

static struct row_writer open_writer(char *out)
{
    return (struct row_writer){.out = out, .room = LINE_ROOM};
}

static const char *keep(struct arena *arena, const struct row_writer *writer)
{
    cr_assert_lt(writer->at, writer->room);
    const char *copy = arena_copy(arena, writer->out, writer->at + 1);
    cr_assert_not_null(copy);
    return copy;
}

/* What a reason says: its rule, its premises' keys, its variables. */
struct reason {
    const struct rule *rule;
    const name_id *keys[LIMIT_CONDITIONS];
    const struct value *slots;
    struct doubt doubt;
};

static void put_reason(struct row_writer *writer, struct rule_bench *bench,
                       const struct names *names, const struct reason *reason)
{
    char out[LINE_ROOM];
    struct arena *arena = bench->room.arena;
    const struct relation_shape *shapes = bench->rules->shapes;
    const struct rule *rule = reason->rule;
    const char *texts[LIMIT_VARIABLES];
    uint32_t count = 0;
    row_put(writer, " by %.*s", TEXT_ARG(names_text(names, rule->name)));
    row_put_doubt(writer, reason->doubt);
    row_put(writer, " from ");
    for (uint32_t i = 0; i < rule->given_count; i++) {
        struct row_writer part = open_writer(out);
        row_put_key(&part, names, &shapes[rule->given[i].relation], reason->keys[i]);
        texts[count++] = keep(arena, &part);
    }
    put_sorted(writer, texts, count);
    row_put(writer, " with ");
    count = 0;
    for (uint32_t i = 0; i < rule->variable_count; i++) {
        struct row_writer part = open_writer(out);
        if (reason->slots[i].kind != VALUE_NONE) {
            row_put(&part, "%.*s: ", TEXT_ARG(rule->variables[i].name));
            row_put_value(&part, names, reason->slots[i]);
            texts[count++] = keep(arena, &part);
        }
    }
    put_sorted(writer, texts, count);
}

static void add_line(struct said *said, struct rule_bench *bench,
                     const struct names *names, const struct row *row,
                     const struct reason *reason)
{
    char out[LINE_ROOM];
    struct arena *arena = bench->room.arena;
    struct row_writer writer = open_writer(out);
    row_put_row(&writer, names, &bench->rules->shapes[row->relation], row);
    const char *line = keep(arena, &writer);
    cr_assert(ARRAY_PUSH(arena, &said->rows, line));
    if (reason->rule != NULL) {
        put_reason(&writer, bench, names, reason);
    } else if (row->origin == ORIGIN_RULE) {
        row_put(&writer, " for no reason");
    }
    line = keep(arena, &writer);
    cr_assert(ARRAY_PUSH(arena, &said->reasons, line));
}

static void sort_lines(struct said *said)
{
    if (said->rows.count > 1) {
        qsort(said->rows.at, said->rows.count, sizeof *said->rows.at, compare_texts);
        qsort(said->reasons.at, said->reasons.count, sizeof *said->reasons.at,
              compare_texts);
    }
}

/* ---- the two */

static struct reason engine_reason(struct rule_bench *bench, const struct names *names,
                                   struct store *store, const struct row *row)
{
    const struct inference_options options = {.names = names};
    struct justification why = {0};
    struct reason reason = {0};
    if (row->origin != ORIGIN_RULE ||
        justification_find(bench->rules, store, bench->room.arena, &options, row, &why) !=
            STATUS_OK) {
        return reason;
    }
    reason = (struct reason){.rule = why.rule, .slots = why.slots, .doubt = why.doubt};
    for (uint32_t i = 0; i < why.rule->given_count; i++) {
        reason.keys[i] = why.premises[i]->key;
    }
    return reason;
}

struct said said_by_engine(struct rule_bench *bench, const struct names *names,
                           struct store *store)
{
    struct said said = {0};
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        for (uint32_t i = 0; i < store_count(store, r); i++) {
            const struct row *row = store_row(store, r, i);
            const struct reason reason = engine_reason(bench, names, store, row);
            add_line(&said, bench, names, row, &reason);
        }
    }
    sort_lines(&said);
    return said;
}

static struct reason naive_reason(const struct naive_why *why)
{
    struct reason reason = {0};
    if (why == NULL) {
        return reason;
    }
    reason = (struct reason){.rule = why->rule, .slots = why->slots, .doubt = why->doubt};
    for (uint32_t i = 0; i < why->rule->given_count; i++) {
        reason.keys[i] = why->premises[i]->row.key;
    }
    return reason;
}

struct said said_by_naive(struct rule_bench *bench, const struct names *names,
                          const struct naive *naive)
{
    struct said said = {0};
    const struct rule_base *rules = bench->rules;
    for (relation_id r = 0; r < rules->shape_count; r++) {
        uint32_t count = 0;
        const struct naive_row *const *rows = naive_rows(naive, r, &count);
        for (uint32_t i = 0; i < count; i++) {
            const struct reason reason = naive_reason(rows[i]->why);
            add_line(&said, bench, names, &rows[i]->row, &reason);
        }
    }
    sort_lines(&said);
    return said;
}

static const char *differ(struct arena *arena, const char *what,
                          const char *const *wanted, uint32_t wanted_count,
                          const char *const *got, uint32_t got_count)
{
    for (uint32_t i = 0; i < wanted_count || i < got_count; i++) {
        const char *left = i < wanted_count ? wanted[i] : "(nothing)";
        const char *right = i < got_count ? got[i] : "(nothing)";
        if (strcmp(left, right) != 0) {
            return text_format(arena, "%s\n  wanted %s\n  got    %s", what, left, right)
                .at;
        }
    }
    return NULL;
}

const char *said_differ(struct arena *arena, const char *what, bool with_reasons,
                        const struct said *wanted, const struct said *got)
{
    const char *rows = differ(arena, what, wanted->rows.at, wanted->rows.count,
                              got->rows.at, got->rows.count);
    return rows != NULL || !with_reasons
               ? rows
               : differ(arena, what, wanted->reasons.at, wanted->reasons.count,
                        got->reasons.at, got->reasons.count);
}
