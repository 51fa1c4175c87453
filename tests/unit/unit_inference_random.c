/* SPDX-License-Identifier: MIT */
/*
 * Random rule bases, worked out by the engine and by the naive evaluator: every row and
 * every reason must be the same; so must they be when facts and rules are shuffled, and
 * when a part of the facts lies in a layer over the rest.
 *
 * What is compared are lines of text, sorted, so that no number of a name or of a row can
 * help. WHYFIT_RANDOM_PROGRAMS asks for another number of programs, WHYFIT_RANDOM_SEED
 * for another first one.
 */
#include "inference_vocabulary.h"
#include "random_program.h"
#include "said.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

TestSuite(inference_random);

enum {
    TEXT_ROOM = 1 << 16 /* of a program */
};

/* Seen over all programs, so that nobody can mistake easy programs for a test. */
struct seen {
    unsigned programs;
    unsigned refused;
    unsigned conflicts;
    unsigned concluded;
    unsigned open;
    unsigned contested;
    unsigned deep;         /* rows of height 4 and more */
    unsigned findings;     /* rows that a check made */
    unsigned ranges;       /* counts known as a range */
    unsigned amounts;      /* rules that sum, or take a least or a greatest */
    unsigned open_amounts; /* values that hang on which rows are there */
    unsigned lacking;      /* relations that may lack rows of an owner */
};

/* A program, read. */
struct reading {
    struct rule_bench bench;
    struct store *facts; /* of the whole program */
    bool is_refused;
};

/* ---- a program, read */

static text program_text(struct rule_bench *bench, const struct random_program *program,
                         enum program_choice choice, bool is_rules)
{
    char *out = arena_take(bench->room.arena, TEXT_ROOM);
    const size_t length = is_rules ? program_rules_write(program, out, TEXT_ROOM)
                                   : program_parts_write(program, choice, out, TEXT_ROOM);
    cr_assert_gt(length, 0);
    return (text){out, length};
}

static struct store *read_parts(struct reading *reading,
                                const struct random_program *program,
                                enum program_choice choice, struct names *names,
                                const struct store *parent)
{
    struct store *store = rule_bench_store(&reading->bench, parent);
    cr_assert_not_null(store);
    cr_assert_eq(rule_bench_parts(&reading->bench,
                                  program_text(&reading->bench, program, choice, false),
                                  names, store),
                 STATUS_OK, "%s", rule_bench_faults(&reading->bench));
    return store;
}

static struct reading read_program(const struct random_program *program)
{
    struct reading reading = {.bench = rule_bench_open()};
    cr_assert_eq(rule_bench_vocabulary(&reading.bench, inference_vocabulary), STATUS_OK,
                 "%s", rule_bench_faults(&reading.bench));
    reading.is_refused =
        rule_bench_rules(&reading.bench, program_text(&reading.bench, program,
                                                      PROGRAM_ALL, true)) != STATUS_OK;
    if (!reading.is_refused) {
        reading.facts =
            read_parts(&reading, program, PROGRAM_ALL, reading.bench.names, NULL);
    }
    return reading;
}

static bool has_catalogue_rule(const struct rule_base *rules)
{
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        if (rules->rules[i].over_catalogue) {
            return true;
        }
    }
    return false;
}

/* ---- what was seen */

static void naive_facts(struct naive *naive, const struct store *store)
{
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        for (uint32_t i = store_own_from(store, r); i < store_count(store, r); i++) {
            const struct row *row = store_row(store, r, i);
            if (row->origin == ORIGIN_FACT) {
                naive_fact(naive, row);
            }
        }
    }
}

/* Whether a number has what rows may add to it, or take from it, among its terms. */
static bool hangs_on_rows(struct value value)
{
    bool hangs = false;
    for (uint32_t i = 0; value.kind == VALUE_QUANTITY && i < value.quantity->term_count;
         i++) {
        const struct deviation *of = value.quantity->terms[i].of;
        hangs = hangs || (of->kind == DEVIATION_COUNTED &&
                          !text_starts(of->name, TEXT("number of ")));
    }
    return hangs;
}

static void see_row(struct seen *seen, const struct rule_base *rules,
                    const struct row *row)
{
    const struct relation_shape *shape = &rules->shapes[row->relation];
    seen->concluded += row->origin == ORIGIN_RULE ? 1 : 0;
    seen->open += row->standing == STANDING_OPEN ? 1 : 0;
    seen->contested += row->more != NULL && row->more->contested != 0 ? 1 : 0;
    seen->lacking += row->relation == rules->lacking ? 1 : 0;
    seen->deep += row->height >= 4 ? 1 : 0;
    seen->findings += rule_find(rules, shape->name) != NULL ? 1 : 0;
    for (uint32_t v = 0; v < shape->value_count; v++) {
        seen->open_amounts += hangs_on_rows(row->values[v]) ? 1 : 0;
        seen->ranges += shape->columns[shape->key_count + v].kind == COLUMN_COUNT &&
                                row->values[v].kind == VALUE_QUANTITY
                            ? 1
                            : 0;
    }
}

static void see_rows(struct seen *seen, const struct rule_base *rules,
                     const struct store *store)
{
    for (uint32_t i = 0; i < rules->rule_count; i++) {
        for (uint32_t k = 0; k < rules->rules[i].tally_count; k++) {
            const enum tally_kind kind = rules->rules[i].tallies[k].kind;
            seen->amounts += kind != TALLY_COUNT && kind != TALLY_EVERY ? 1 : 0;
        }
    }
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        for (uint32_t i = 0; i < store_count(store, r); i++) {
            see_row(seen, rules, store_row(store, r, i));
        }
    }
}

/* ---- comparing: NULL when both say the same, else what is different */

struct outcome_of_program {
    bool is_conflict;
    const char *conflict; /* as it is reported */
    struct said lines;
};

static const char *reported(const struct rule_bench *bench)
{
    return diagnostics_kept(bench->room.diagnostics) == 0
               ? "nothing"
               : diagnostics_at(bench->room.diagnostics, 0)->message.at;
}

/* The engine against the naive evaluator, from scratch. */
static const char *compare_scratch(struct reading *reading, struct seen *seen,
                                   struct outcome_of_program *out)
{
    struct rule_bench *bench = &reading->bench;
    struct arena *arena = bench->room.arena;
    struct inference_conflict conflict = {0};
    struct naive *naive = naive_open(arena, bench->rules, bench->names);
    cr_assert_not_null(naive);
    naive_facts(naive, reading->facts);
    const enum naive_end end = naive_run(naive);
    const status run = rule_bench_infer(bench, bench->names, reading->facts, &conflict);
    out->is_conflict = end == NAIVE_CONFLICT;
    if (run != (end == NAIVE_CONFLICT ? STATUS_INVALID : STATUS_OK)) {
        return text_format(arena, "from scratch: status %d; conflict: %s; %s", (int)run,
                           end == NAIVE_CONFLICT ? "yes" : "no", rule_bench_faults(bench))
            .at;
    }
    out->conflict = reported(bench);
    if (end == NAIVE_CONFLICT) {
        const struct naive_row *first = NULL;
        const bool is_one = naive_conflicts(naive, &first) == 1;
        const bool is_same = conflict.there->relation == first->row.relation &&
                             memcmp(conflict.there->key, first->row.key,
                                    bench->rules->shapes[first->row.relation].key_count *
                                        sizeof *first->row.key) == 0;
        return is_one && !is_same ? "another conflict is reported" : NULL;
    }
    naive_explain(naive);
    const struct said wanted = said_by_naive(bench, bench->names, naive);
    out->lines = said_by_engine(bench, bench->names, reading->facts);
    see_rows(seen, bench->rules, reading->facts);
    return said_differ(arena, "from scratch", true, &wanted, &out->lines);
}

/* The catalogue in a frozen store, the rest in one over it. Rules over the catalogue run
 * at load and never again; where there are none it is as from scratch. */
static const char *compare_layered(struct reading *reading,
                                   const struct random_program *program,
                                   const struct outcome_of_program *scratch,
                                   struct arena *said_in)
{
    struct rule_bench *bench = &reading->bench;
    struct arena *arena = bench->room.arena;
    const bool is_local = !has_catalogue_rule(bench->rules);
    struct store *base =
        read_parts(reading, program, PROGRAM_CATALOGUE, bench->names, NULL);
    struct naive *naive = naive_open(arena, bench->rules, bench->names);
    naive_facts(naive, base);
    const enum naive_end load = naive_run(naive);
    if (rule_bench_infer(bench, bench->names, base, NULL) !=
        (load == NAIVE_CONFLICT ? STATUS_INVALID : STATUS_OK)) {
        return "layered: the catalogue's conflict";
    }
    if (load == NAIVE_CONFLICT) {
        return NULL;
    }
    cr_assert_eq(store_freeze(base), STATUS_OK);
    struct names *names = names_open(arena, bench->names);
    struct store *layer = read_parts(reading, program, PROGRAM_NEW, names, base);
    naive_facts(naive, layer);
    const enum naive_end end = naive_run(naive);
    if (rule_bench_infer(bench, names, layer, NULL) !=
        (end == NAIVE_CONFLICT ? STATUS_INVALID : STATUS_OK)) {
        return "layered: the question's conflict";
    }
    if (end == NAIVE_CONFLICT) {
        return NULL;
    }
    const struct said got = said_by_engine(bench, names, layer);
    const struct said wanted = said_by_naive(bench, names, naive);
    const char *result = said_differ(said_in, "layered", false, &wanted, &got);
    return result != NULL || !is_local || scratch->is_conflict
               ? result
               : said_differ(said_in, "layered and from scratch", true, &scratch->lines,
                             &got);
}

/* The same program in another order, from scratch and layered. */
static const char *compare_shuffled(const struct random_program *program, uint64_t order,
                                    const struct outcome_of_program *scratch,
                                    struct arena *arena)
{
    struct random_program shuffled = *program;
    program_shuffle(&shuffled, order);
    struct reading reading = read_program(&shuffled);
    struct rule_bench *bench = &reading.bench;
    if (reading.is_refused) {
        const text why =
            text_format(arena, "shuffled: refused: %s", rule_bench_faults(bench));
        rule_bench_close(bench);
        return why.at;
    }
    const status run = rule_bench_infer(bench, bench->names, reading.facts, NULL);
    const char *result = run != (scratch->is_conflict ? STATUS_INVALID : STATUS_OK)
                             ? "shuffled: conflict or none"
                             : NULL;
    if (result == NULL && strcmp(reported(bench), scratch->conflict) != 0) {
        result = text_format(arena, "shuffled: %s, and before: %s", reported(bench),
                             scratch->conflict)
                     .at;
    }
    if (result == NULL && !scratch->is_conflict) {
        const struct said got = said_by_engine(bench, bench->names, reading.facts);
        result = said_differ(arena, "shuffled", true, &scratch->lines, &got);
    }
    if (result == NULL) {
        result = compare_layered(&reading, &shuffled, scratch, arena);
    }
    rule_bench_close(bench);
    return result;
}

static const char *compare_program(const struct random_program *program, uint64_t order,
                                   struct seen *seen, char *out, size_t room)
{
    struct reading reading = read_program(program);
    struct outcome_of_program scratch = {0};
    const char *result = NULL;
    seen->programs++;
    seen->refused += reading.is_refused ? 1 : 0;
    if (!reading.is_refused) {
        result = compare_scratch(&reading, seen, &scratch);
        seen->conflicts += scratch.is_conflict ? 1 : 0;
        if (result == NULL) {
            result = compare_shuffled(program, order, &scratch, reading.bench.room.arena);
        }
    }
    if (result != NULL) {
        (void)snprintf(out, room, "%s", result);
    }
    rule_bench_close(&reading.bench);
    return result != NULL ? out : NULL;
}

/* ---- failing */

/* Whether a program fails, in any of a few orders: a smaller one is shuffled otherwise.
 */
static bool still_fails(const struct random_program *program, char *why, size_t room)
{
    struct seen none = {0};
    for (uint64_t order = 1; order <= 6; order++) {
        if (compare_program(program, order, &none, why, room) != NULL) {
            return true;
        }
    }
    return false;
}

/* Leaves out whatever the failure does not need. */
static void shrink(struct random_program *program, char *why, size_t room)
{
    bool is_smaller = true;
    while (is_smaller) {
        is_smaller = false;
        struct random_program trial = *program;
        for (uint32_t n = 0; program_leave_out(&trial, n);) {
            char reason[4096];
            if (still_fails(&trial, reason, sizeof reason)) {
                *program = trial;
                (void)snprintf(why, room, "%s", reason);
                is_smaller = true;
            } else {
                n++;
            }
            trial = *program;
        }
    }
}

static void show(const struct random_program *program, uint64_t seed, const char *why)
{
    static char written[TEXT_ROOM];
    (void)program_rules_write(program, written, sizeof written);
    fprintf(stderr, "seed %llu: %s\n\n%s", (unsigned long long)seed, why, written);
    (void)program_parts_write(program, PROGRAM_ALL, written, sizeof written);
    fprintf(stderr, "%s", written);
    fprintf(stderr, "# in the layer:");
    for (uint32_t i = 0; i < program->part_count; i++) {
        if (program->parts[i].is_new) {
            fprintf(stderr, " %s", program->parts[i].name);
        }
    }
    fprintf(stderr, "\n");
}

static unsigned long asked(const char *name, unsigned long otherwise)
{
    const char *word = getenv(name);
    return word != NULL ? strtoul(word, NULL, 10) : otherwise;
}

/* Refusals and conflicts are few, and of all that makes inference hard there is some. */
static void expect_hard_programs(const struct seen *seen)
{
    cr_log_info(
        "%u programs, %u refused, %u with a conflict; %u rows concluded: %u open, "
        "%u contested, %u of height 4 and more, %u findings, %u ranges of counts; "
        "%u sums and ends, %u numbers that hang on which rows are there; %u gaps that "
        "follow from partial lists",
        seen->programs, seen->refused, seen->conflicts, seen->concluded, seen->open,
        seen->contested, seen->deep, seen->findings, seen->ranges, seen->amounts,
        seen->open_amounts, seen->lacking);
    cr_expect_lt(seen->refused * 10, seen->programs);
    cr_expect_lt(seen->conflicts * 5, seen->programs);
    cr_expect_gt(seen->conflicts, 10);
    cr_expect_gt(seen->concluded, 10 * seen->programs);
    cr_expect_gt(seen->open, seen->programs);
    cr_expect_gt(seen->contested, seen->programs / 5);
    cr_expect_gt(seen->deep, seen->programs / 2);
    cr_expect_gt(seen->findings, seen->programs);
    cr_expect_gt(seen->ranges, 5);
    cr_expect_gt(seen->lacking, seen->programs);
}

Test(inference_random, engine_and_naive_evaluator_agree)
{
    const unsigned long count = asked("WHYFIT_RANDOM_PROGRAMS", 450);
    const unsigned long first = asked("WHYFIT_RANDOM_SEED", 1);
    static struct random_program program;
    struct seen seen = {0};
    for (unsigned long seed = first; seed < first + count; seed++) {
        char why[4096];
        program_make(&program, seed);
        if (compare_program(&program, seed, &seen, why, sizeof why) != NULL) {
            shrink(&program, why, sizeof why);
            show(&program, seed, why);
            cr_assert_fail("seed %lu: the engine and the naive evaluator disagree", seed);
        }
    }
    if (count >= 400) {
        expect_hard_programs(&seen);
    }
}
