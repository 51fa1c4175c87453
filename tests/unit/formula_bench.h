/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_FORMULA_BENCH_H
#define WHYFIT_TEST_FORMULA_BENCH_H

#include "formula_tree.h"
#include "room.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

/* Variables, functions and a class table for formulas under test. */
struct bench {
    struct room room;
    struct names *names;
    struct scope scope;
    struct formula_frame frame;
    struct value slots[9];
};

static const double bench_mm = 1e6;

enum {
    SLOT_A, /* 10 ±0.1 mm */
    SLOT_B, /* 20 ±0.2 mm */
    SLOT_M, /* a missing length */
    SLOT_N, /* the count 3 */
    SLOT_O, /* a count nobody recorded */
    SLOT_H, /* at least 55 HRC */
    SLOT_W, /* the word seal */
    SLOT_V, /* a word nobody recorded */
    SLOT_T, /* yes */
    SLOT_COUNT
};

/* 40 k6 is +0.018/+0.002 mm: ISO 286-2:2010, table 17 (30 to 50 mm). */
static status bench_resolve(const void *context, double size, text tolerance_class,
                            double *low, double *high, const char **why)
{
    (void)context;
    if (size <= 30e6 || size > 50e6 || !text_is(tolerance_class, "k6")) {
        *why = "the table has no such class";
        return STATUS_NOT_FOUND;
    }
    *low = 2000;
    *high = 18000;
    return STATUS_OK;
}

/* Gives its second argument back and rests on two rows. */
static bool bench_pick(struct function_call *call)
{
    static const struct row *const rows[] = {NULL, NULL};
    call->result = call->arguments[1];
    call->rests_on = rows;
    call->rests_on_count = 2;
    return true;
}

static bool bench_sum(struct function_call *call)
{
    call->result = value_quantity(
        form_add(call->arena, call->arguments[0].quantity, call->arguments[1].quantity));
    return true;
}

static bool bench_name(struct function_call *call)
{
    call->result = value_word(names_find(call->names, TEXT("seal")));
    return true;
}

static const struct function_entry bench_entries[] = {
    {.name = "name_of",
     .arguments = {{ARGUMENT_WORD, "", "piece"}},
     .argument_count = 1,
     .result = {ARGUMENT_WORD, "", ""},
     .run = bench_name},
    {.name = "pick",
     .arguments = {{ARGUMENT_WORD, "", "piece"}, {ARGUMENT_QUANTITY, "length", "depth"}},
     .argument_count = 2,
     .result = {ARGUMENT_QUANTITY, "length", ""},
     .run = bench_pick},
    {.name = "total",
     .arguments = {{ARGUMENT_QUANTITY, "any", "one"}, {ARGUMENT_QUANTITY, "same", "two"}},
     .argument_count = 2,
     .result = {ARGUMENT_QUANTITY, "same", ""},
     .run = bench_sum}};

static const struct function_entry *const bench_sorted[] = {
    &bench_entries[0], &bench_entries[1], &bench_entries[2]};

static const struct function_table bench_functions = {bench_sorted, 3};

static const struct limits_resolver bench_limits = {bench_resolve, NULL};

static inline const struct deviation *
bench_dimension(struct bench *bench, const char *name, const char *dimension,
                double nominal, double low, double high)
{
    struct deviation *made = ARENA_NEW(bench->room.arena, struct deviation);
    cr_assert_not_null(made);
    *made = (struct deviation){.name = text_of(name),
                               .nominal = nominal,
                               .low = low,
                               .high = high,
                               .basis = isnan(nominal) ? BASIS_MISSING : BASIS_LIMITS};
    cr_assert(dimension_find(text_of(dimension), &made->dim));
    return made;
}

static inline struct value bench_form(struct bench *bench, const char *name,
                                      const char *dimension, double nominal, double low,
                                      double high)
{
    return value_quantity(form_of(
        bench->room.arena, bench_dimension(bench, name, dimension, nominal, low, high)));
}

static const struct scope_variable bench_variables[SLOT_COUNT] = {
    {{"a", 1}, {TYPE_QUANTITY, false, {{1}}}},
    {{"b", 1}, {TYPE_QUANTITY, false, {{1}}}},
    {{"depth", 5}, {TYPE_QUANTITY, false, {{1}}}},
    {{"n", 1}, {TYPE_QUANTITY, true, {{0}}}},
    {{"o", 1}, {TYPE_QUANTITY, true, {{0}}}},
    {{"hard", 4}, {TYPE_QUANTITY, false, {{0, 0, 0, 0, 0, 1}}}},
    {{"kind", 4}, {.kind = TYPE_WORD}},
    {{"made-for", 8}, {.kind = TYPE_WORD}},
    {{"is-worn", 7}, {.kind = TYPE_TRUTH}}};

static inline struct bench *bench_open(void)
{
    struct room room = room_open();
    struct bench *bench = ARENA_NEW(room.arena, struct bench);
    cr_assert_not_null(bench);
    bench->room = room;
    bench->names = names_open(room.arena, NULL);
    bench->scope = (struct scope){.variables = bench_variables,
                                  .count = SLOT_COUNT,
                                  .functions = &bench_functions,
                                  .limits = &bench_limits,
                                  .names = bench->names};
    const struct value rows[SLOT_COUNT] = {
        bench_form(bench, "a", "length", 10 * bench_mm, -1e5, 1e5),
        bench_form(bench, "b", "length", 20 * bench_mm, -2e5, 2e5),
        bench_form(bench, "depth", "length", NAN, -INFINITY, INFINITY),
        value_count(3),
        value_missing(bench_dimension(bench, "o", "ratio", NAN, -INFINITY, INFINITY)),
        bench_form(bench, "hard", "hardness-hrc", 55, 0, INFINITY),
        value_word(names_add(bench->names, TEXT("seal"))),
        value_missing(
            bench_dimension(bench, "made-for", "ratio", NAN, -INFINITY, INFINITY)),
        value_truth(TRUTH_YES, (struct doubt){NULL, 0})};
    memcpy(bench->slots, rows, sizeof rows);
    bench->frame = (struct formula_frame){
        .slots = bench->slots, .arena = room.arena, .names = bench->names};
    return bench;
}

static inline void bench_close(struct bench *bench)
{
    struct room room = bench->room;
    room_close(&room);
}

/* NULL when the text is at fault. */
static inline const struct formula *bench_read(struct bench *bench, text a)
{
    const struct formula *formula = NULL;
    const span where = room_text(&bench->room, "formula", a);
    const status read = formula_read(bench->room.arena, a, where, &bench->scope,
                                     bench->room.diagnostics, &formula);
    return read == STATUS_OK ? formula : NULL;
}

/* All faults so far, a line each: "column+length code: message | expected | nearest". */
static inline const char *bench_faults(struct bench *bench)
{
    struct arena *arena = bench->room.arena;
    text all = {"", 0};
    diagnostics_sort(bench->room.diagnostics, bench->room.sources);
    for (uint32_t i = 0; i < diagnostics_kept(bench->room.diagnostics); i++) {
        const struct diagnostic *one = diagnostics_at(bench->room.diagnostics, i);
        all = text_format(
            arena, "%.*s%s%u+%u %s: %.*s | %.*s | %.*s", TEXT_ARG(all), i > 0 ? "\n" : "",
            sources_locate(bench->room.sources, one->where).column, one->where.length,
            diagnostic_code_word(one->code), TEXT_ARG(one->message),
            TEXT_ARG(one->expected), TEXT_ARG(one->nearest));
    }
    return all.at;
}

static inline struct value bench_run(struct bench *bench, const char *a)
{
    const struct formula *formula = bench_read(bench, text_of(a));
    cr_assert_not_null(formula, "%s: %s", a, bench_faults(bench));
    return formula_run(formula, &bench->frame);
}

#endif
