/* SPDX-License-Identifier: MIT */
/*
 * Reads and runs a program as knowledge is loaded, and says its rows as other solvers do:
 * a column at the place where plain.h has it, lengths in whole mm. What they could not
 * say (an open row, a range) is said so that no line of theirs can be equal.
 */
#include "ours.h"

#include "inference_vocabulary.h"
#include "row_text.h"
#include "rule_bench.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum {
    TEXT_ROOM = 1 << 16,
    LINE_ROOM = 400
};

/* What saying needs. */
struct speaker {
    struct arena *arena;
    struct rule_bench *bench;
    const struct plain_program *plain;
    uint32_t n;
};

static text program_text(struct rule_bench *bench, const struct random_program *program,
                         bool is_rules)
{
    char *out = arena_take(bench->room.arena, TEXT_ROOM);
    const size_t length = is_rules
                              ? program_rules_write(program, out, TEXT_ROOM)
                              : program_parts_write(program, PROGRAM_ALL, out, TEXT_ROOM);
    return (text){out, length};
}

static void put_number(struct row_writer *out, const struct form *form)
{
    const double unit = dimension_equal(form->dim, DIMENSION_LENGTH) ? 1e6 : 1.0;
    double nominal = 0.0;
    if (!form_nominal(form, &nominal) || !form_is_exact(form)) {
        row_put(out, "no number");
        return;
    }
    row_put(out, "%.9g", nominal / unit + 0.0);
}

static void put_value(struct row_writer *out, const struct names *names,
                      struct value value)
{
    switch (value.kind) {
    case VALUE_NONE:
        row_put(out, "none");
        return;
    case VALUE_QUANTITY:
        put_number(out, value.quantity);
        return;
    case VALUE_COUNT:
        row_put(out, "%lld", (long long)value.count);
        return;
    case VALUE_WORD:
        row_put(out, "%.*s", TEXT_ARG(names_text(names, value.word)));
        return;
    case VALUE_TRUTH:
    case VALUE_MISSING:
        break;
    }
    row_put(out, "missing");
}

static uint32_t column_of(const struct speaker *speaker,
                          const struct relation_shape *shape, const char *name)
{
    uint32_t c = 0;
    while (c < shape->key_count + shape->value_count &&
           !text_is(names_text(speaker->bench->names, shape->columns[c].name), name)) {
        c++;
    }
    return c;
}

/* Up to the last of `count` cells of a row, each with what goes behind it. */
static void put_cells(struct row_writer *out, const struct speaker *speaker,
                      const struct row *row, uint32_t relation, uint32_t count)
{
    const struct relation_shape *shape = &speaker->bench->rules->shapes[row->relation];
    const struct names *names = speaker->bench->names;
    row_put(out, "t%u_", speaker->n);
    for (const char *at = speaker->plain->relations[relation].name; *at != '\0'; at++) {
        row_put(out, "%c", *at == '-' ? '_' : *at);
    }
    for (uint32_t i = 0; i < count; i++) {
        const uint32_t c =
            column_of(speaker, shape, speaker->plain->relations[relation].columns[i]);
        row_put(out, i == 0 ? "(" : ",");
        if (c >= shape->key_count + shape->value_count) {
            row_put(out, "no column");
        } else if (c >= shape->key_count) {
            put_value(out, names, row->values[c - shape->key_count]);
        } else if (shape->columns[c].kind == COLUMN_NUMBER) {
            row_put(out, "%u", row->key[c]);
        } else {
            row_put(out, "%.*s", TEXT_ARG(names_text(names, row->key[c])));
        }
    }
}

static void say_row(const struct speaker *speaker, struct ours *ours,
                    const struct row *row, uint32_t relation)
{
    char line[LINE_ROOM];
    struct row_writer out = {.out = line, .room = sizeof line};
    put_cells(&out, speaker, row, relation, speaker->plain->relations[relation].count);
    row_put(&out, row->standing == STANDING_SURE ? ")" : ") open");
    const char *kept = text_copy(speaker->arena, (text){line, out.at}).at;
    if (out.at >= out.room || !ARRAY_PUSH(speaker->arena, &ours->lines, kept)) {
        abort();
    }
}

static uint32_t relation_of(const struct speaker *speaker, relation_id relation)
{
    char name[LINE_ROOM];
    const text of =
        names_text(speaker->bench->names, speaker->bench->rules->shapes[relation].name);
    (void)snprintf(name, sizeof name, "%.*s", TEXT_ARG(of));
    return plain_find(speaker->plain, name);
}

static void say_rows(const struct speaker *speaker, struct ours *ours,
                     const struct store *store)
{
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        const uint32_t relation = relation_of(speaker, r);
        for (uint32_t i = 0;
             relation < speaker->plain->relation_count && i < store_count(store, r);
             i++) {
            say_row(speaker, ours, store_row(store, r, i), relation);
        }
    }
}

static void say_conflict(const struct speaker *speaker, struct ours *ours,
                         const struct row *row)
{
    char line[LINE_ROOM];
    struct row_writer out = {.out = line, .room = sizeof line};
    const uint32_t relation = relation_of(speaker, row->relation);
    put_cells(&out, speaker, row, relation, speaker->plain->relations[relation].keys);
    row_put(&out, ",");
    ours->conflict = text_copy(speaker->arena, (text){line, out.at}).at;
}

static void run(const struct speaker *speaker, struct ours *ours,
                const struct random_program *program)
{
    struct rule_bench *bench = speaker->bench;
    struct inference_conflict conflict = {0};
    static const char *const vocabulary =
        INFERENCE_VOCABULARY("{quantity: length, exact: true}");
    if (rule_bench_vocabulary(bench, vocabulary) != STATUS_OK) {
        abort();
    }
    ours->is_refused =
        rule_bench_rules(bench, program_text(bench, program, true)) != STATUS_OK;
    if (ours->is_refused) {
        return;
    }
    struct store *store = rule_bench_store(bench, NULL);
    if (rule_bench_parts(bench, program_text(bench, program, false), bench->names,
                         store) != STATUS_OK) {
        abort();
    }
    const status result = rule_bench_infer(bench, bench->names, store, &conflict);
    if (result == STATUS_OK) {
        say_rows(speaker, ours, store);
    } else if (conflict.there != NULL) {
        say_conflict(speaker, ours, conflict.there);
    } else {
        abort();
    }
}

struct ours ours_of(struct arena *arena, const struct random_program *program,
                    const struct plain_program *plain, uint32_t n)
{
    struct ours ours = {.fault = ""};
    struct rule_bench bench = rule_bench_open();
    const struct speaker speaker = {arena, &bench, plain, n};
    run(&speaker, &ours, program);
    ours.fault = text_copy(arena, text_of(rule_bench_faults(&bench))).at;
    rule_bench_close(&bench);
    return ours;
}
