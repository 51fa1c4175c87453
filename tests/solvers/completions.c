/* SPDX-License-Identifier: MIT */
/*
 * What open means: a program with missing fields, tolerances and partial lists is run as
 * it is, and completed in every way over two values for each, and with and without one
 * row more in each list. What the open program is sure of must be so in all completions;
 * what is so in any must be sure or open there; and values must lie within what the open
 * program says of them. A completion that contradicts itself says nothing.
 *
 * WHYFIT_COMPLETION_PROGRAMS asks for another number of programs, WHYFIT_COMPLETION_SEED
 * for another first one.
 */
#include "inference_vocabulary.h"
#include "openings.h"
#include "row_text.h"
#include "rule_bench.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    TEXT_ROOM = 1 << 16,
    WHY_ROOM = 3000
};

struct puzzle {
    struct random_program exact;
    struct openings openings;
};

/* Seen over all programs, so that nobody can mistake easy programs for a test. */
struct seen {
    unsigned programs;
    unsigned refused;
    unsigned conflicts; /* of open programs */
    unsigned completions;
    unsigned contradictions; /* completions with a conflict */
    unsigned sure;           /* rows concluded */
    unsigned open;
    unsigned closed; /* rows concluded in completions that were open */
    unsigned more;   /* that were not there, and followed from rows of partial lists */
};

/* The open program, run. */
struct opened {
    struct rule_bench bench;
    struct store *store;
    char *why; /* room for what is wrong */
};

static struct store *run(struct opened *opened, const struct random_program *program,
                         status *result)
{
    struct rule_bench *bench = &opened->bench;
    struct store *store = rule_bench_store(bench, NULL);
    char *parts = arena_take(bench->room.arena, TEXT_ROOM);
    const size_t length = program_parts_write(program, PROGRAM_ALL, parts, TEXT_ROOM);
    if (rule_bench_parts(bench, (text){parts, length}, bench->names, store) !=
        STATUS_OK) {
        fprintf(stderr, "%s\n%s", rule_bench_faults(bench), parts);
        abort();
    }
    *result = rule_bench_infer(bench, bench->names, store, NULL);
    return store;
}

/* ---- what the open program admits */

static bool number_of(struct value value, double *least, double *greatest)
{
    if (value.kind == VALUE_COUNT) {
        *least = *greatest = (double)value.count;
        return true;
    }
    if (value.kind == VALUE_QUANTITY && value.quantity->undefined == NULL) {
        *least = value.quantity->least;
        *greatest = value.quantity->greatest;
        return true;
    }
    return false;
}

/* Whether a value that is open here may be this one there. */
static bool admits(struct value open, struct value closed)
{
    double least = 0.0;
    double greatest = 0.0;
    double low = 0.0;
    double high = 0.0;
    if (open.kind == VALUE_MISSING ||
        (open.kind == VALUE_QUANTITY && open.quantity->undefined != NULL)) {
        return closed.kind != VALUE_NONE;
    }
    if (open.kind == VALUE_WORD || open.kind == VALUE_NONE) {
        return open.kind == closed.kind && open.word == closed.word;
    }
    const double grid = 1e-6; /* lengths are in nm */
    return number_of(open, &least, &greatest) && number_of(closed, &low, &high) &&
           low >= least - grid && high <= greatest + grid;
}

/* An outcome that is not known or not sure may become any. */
static bool is_any_outcome(const struct opened *opened, const struct row *row, uint32_t v)
{
    const struct rule_base *rules = opened->bench.rules;
    const struct names *names = opened->bench.names;
    const name_id word = row->values[v].word;
    return rule_find(rules, rules->shapes[row->relation].name) != NULL &&
           v == FINDING_OUTCOME &&
           (word == names_find(names, TEXT("unsure")) ||
            word == names_find(names, TEXT("unknown")));
}

static const char *wrong(struct opened *opened, const char *what, const struct row *open,
                         const struct row *closed)
{
    const struct relation_shape *shapes = opened->bench.rules->shapes;
    struct row_writer out = {.out = opened->why, .room = WHY_ROOM};
    row_put(&out, "%s", what);
    if (open != NULL) {
        row_put(&out, "\n  open:   ");
        row_put_row(&out, opened->bench.names, &shapes[open->relation], open);
    }
    if (closed != NULL) {
        row_put(&out, "\n  closed: ");
        row_put_row(&out, opened->bench.names, &shapes[closed->relation], closed);
    }
    return opened->why;
}

static const char *check_values(struct opened *opened, const struct row *open,
                                const struct row *closed)
{
    const uint32_t count = opened->bench.rules->shapes[open->relation].value_count;
    for (uint32_t v = 0; v < count; v++) {
        if (!is_any_outcome(opened, open, v) &&
            !admits(open->values[v], closed->values[v])) {
            return wrong(opened, "a completion has a value that is ruled out", open,
                         closed);
        }
    }
    return NULL;
}

static const char *check_sure(struct opened *opened, const struct store *closed,
                              relation_id relation)
{
    for (uint32_t i = 0; i < store_count(opened->store, relation); i++) {
        const struct row *row = store_row(opened->store, relation, i);
        if (row->standing == STANDING_SURE &&
            store_find(closed, relation, row->key) == NULL) {
            return wrong(opened, "what is sure is not in a completion", row, NULL);
        }
    }
    return NULL;
}

/* Whether the open program says that its owner may have rows more than it has. */
static bool may_be_more(const struct opened *opened, const struct row *row)
{
    const struct rule_base *rules = opened->bench.rules;
    const struct relation_shape *shape = &rules->shapes[row->relation];
    const bool is_name = shape->columns[0].kind == COLUMN_NAME;
    const name_id own[2] = {row->key[0], shape->name};
    const name_id any[2] = {NAME_NONE, shape->name};
    return (is_name && (store_find(opened->store, rules->partial, own) != NULL ||
                        store_find(opened->store, rules->lacking, own) != NULL)) ||
           store_find(opened->store, rules->lacking, any) != NULL;
}

static const char *check_possible(struct opened *opened, const struct store *closed,
                                  relation_id relation, struct seen *seen)
{
    const char *why = NULL;
    for (uint32_t i = 0; i < store_count(closed, relation) && why == NULL; i++) {
        const struct row *row = store_row(closed, relation, i);
        const struct row *open = store_find(opened->store, relation, row->key);
        if (open != NULL) {
            why = check_values(opened, open, row);
        } else if (may_be_more(opened, row)) {
            seen->more += row->origin == ORIGIN_RULE ? 1 : 0;
        } else {
            why = wrong(opened, "a completion has what is ruled out", NULL, row);
        }
        seen->closed += open != NULL && open->standing == STANDING_OPEN;
    }
    return why;
}

static const char *check_completion(struct opened *opened, const struct store *closed,
                                    struct seen *seen)
{
    const char *why = NULL;
    for (relation_id r = 0; r < store_shape_count(closed) && why == NULL; r++) {
        why = r == opened->bench.rules->partial ? NULL : check_sure(opened, closed, r);
        why = why != NULL ? why : check_possible(opened, closed, r, seen);
    }
    return why;
}

/* ---- programs */

static void see_rows(struct seen *seen, const struct store *store)
{
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        for (uint32_t i = 0; i < store_count(store, r); i++) {
            const struct row *row = store_row(store, r, i);
            seen->sure += row->origin == ORIGIN_RULE && row->standing == STANDING_SURE;
            seen->open += row->standing == STANDING_OPEN;
        }
    }
}

static const char *check_completions(struct opened *opened, const struct puzzle *puzzle,
                                     struct seen *seen)
{
    static struct random_program program;
    const uint32_t count = openings_completions(&puzzle->openings);
    const char *why = NULL;
    see_rows(seen, opened->store);
    for (uint32_t n = 0; n < count && why == NULL; n++) {
        status result = STATUS_OK;
        program = puzzle->exact;
        openings_fill(&puzzle->openings, &program, n);
        const struct store *closed = run(opened, &program, &result);
        seen->completions++;
        seen->contradictions += result != STATUS_OK;
        why = result == STATUS_OK ? check_completion(opened, closed, seen) : NULL;
    }
    return why;
}

/* false: they are refused. */
static bool read_rules(struct opened *opened, const struct random_program *program)
{
    static const char *const vocabulary =
        INFERENCE_VOCABULARY("{quantity: length, exact: true}");
    struct rule_bench *bench = &opened->bench;
    char *rules = arena_take(bench->room.arena, TEXT_ROOM);
    const size_t length = program_rules_write(program, rules, TEXT_ROOM);
    if (rule_bench_vocabulary(bench, vocabulary) != STATUS_OK) {
        abort();
    }
    return rule_bench_rules(bench, (text){rules, length}) == STATUS_OK;
}

/* What is wrong with it, written to `why`; NULL: nothing. */
static const char *check_puzzle(const struct puzzle *puzzle, struct seen *seen, char *why)
{
    static struct random_program program;
    struct opened opened = {.bench = rule_bench_open(), .why = why};
    const char *result = NULL;
    status ended = STATUS_OK;
    seen->programs++;
    if (!read_rules(&opened, &puzzle->exact)) {
        seen->refused++;
    } else {
        program = puzzle->exact;
        openings_open(&puzzle->openings, &program);
        opened.store = run(&opened, &program, &ended);
        seen->conflicts += ended != STATUS_OK;
        result = ended == STATUS_OK ? check_completions(&opened, puzzle, seen) : NULL;
    }
    rule_bench_close(&opened.bench);
    return result;
}

/* How many rows are open, or 0 where the program does not run. */
static uint32_t count_open(const struct puzzle *puzzle)
{
    struct seen seen = {0};
    static struct random_program program;
    struct opened opened = {.bench = rule_bench_open()};
    status ended = STATUS_INVALID;
    if (read_rules(&opened, &puzzle->exact)) {
        program = puzzle->exact;
        openings_open(&puzzle->openings, &program);
        opened.store = run(&opened, &program, &ended);
        see_rows(&seen, opened.store);
    }
    rule_bench_close(&opened.bench);
    return ended == STATUS_OK ? seen.open : 0;
}

/* Of a few sets of openings that one of which most hangs. */
static void draw(struct puzzle *puzzle, uint64_t seed)
{
    enum {
        DRAWS = 10
    };
    struct openings best = {.count = 0};
    uint32_t most = 0;
    program_make_exact(&puzzle->exact, seed);
    for (uint64_t i = 0; i < DRAWS; i++) {
        openings_draw(&puzzle->openings, &puzzle->exact, seed * DRAWS + i);
        const uint32_t open = count_open(puzzle);
        if (i == 0 || open > most) {
            best = puzzle->openings;
            most = open;
        }
    }
    puzzle->openings = best;
}

/* ---- failing */

static bool leave_out(struct puzzle *puzzle, uint32_t n)
{
    if (n >= puzzle->openings.count) {
        return program_leave_out(&puzzle->exact, n - puzzle->openings.count);
    }
    puzzle->openings.count--;
    memmove(&puzzle->openings.at[n], &puzzle->openings.at[n + 1],
            (puzzle->openings.count - n) * sizeof *puzzle->openings.at);
    return true;
}

static void shrink(struct puzzle *puzzle, char *why)
{
    static struct puzzle smaller;
    char reason[WHY_ROOM];
    bool is_smaller = true;
    while (is_smaller) {
        is_smaller = false;
        smaller = *puzzle;
        for (uint32_t n = 0; leave_out(&smaller, n);) {
            struct seen none = {0};
            if (check_puzzle(&smaller, &none, reason) != NULL) {
                *puzzle = smaller;
                memcpy(why, reason, sizeof reason);
                is_smaller = true;
            } else {
                n++;
            }
            smaller = *puzzle;
        }
    }
}

static void show(struct puzzle *puzzle, uint64_t seed, const char *why)
{
    static char written[TEXT_ROOM];
    (void)program_rules_write(&puzzle->exact, written, sizeof written);
    fprintf(stderr, "seed %llu: %s\n\n%s", (unsigned long long)seed, why, written);
    openings_open(&puzzle->openings, &puzzle->exact);
    (void)program_parts_write(&puzzle->exact, PROGRAM_ALL, written, sizeof written);
    fprintf(stderr, "%s", written);
    for (uint32_t i = 0; i < puzzle->openings.count; i++) {
        const struct opening *opening = &puzzle->openings.at[i];
        fprintf(stderr, "# open: %s %s %s:", opening->part, opening->feature,
                opening->field != NULL ? opening->field : opening->more);
        for (uint32_t w = 0; w < OPENING_WAYS; w++) {
            fprintf(stderr, " [%s]", opening->ways[w]);
        }
        fprintf(stderr, "\n");
    }
}

static unsigned long asked(const char *name, unsigned long otherwise)
{
    const char *word = getenv(name);
    return word != NULL ? strtoul(word, NULL, 10) : otherwise;
}

static bool is_hard(const struct seen *seen)
{
    printf(
        "%u programs, %u refused, %u with a conflict; %u rows sure, %u open; %u "
        "completions, %u with a conflict, in them %u rows that were open, %u that were "
        "missing\n",
        seen->programs, seen->refused, seen->conflicts, seen->sure, seen->open,
        seen->completions, seen->contradictions, seen->closed, seen->more);
    return seen->programs < 100 ||
           (seen->refused * 10 < seen->programs && seen->conflicts * 4 < seen->programs &&
            seen->open > seen->programs && seen->sure > 5 * seen->programs &&
            seen->completions > 30 * seen->programs &&
            seen->closed > 10 * seen->programs && seen->more > seen->programs);
}

int main(void)
{
    static struct puzzle puzzle;
    const unsigned long count = asked("WHYFIT_COMPLETION_PROGRAMS", 100);
    const unsigned long first = asked("WHYFIT_COMPLETION_SEED", 1);
    struct seen seen = {0};
    for (unsigned long seed = first; seed < first + count; seed++) {
        char why[WHY_ROOM];
        draw(&puzzle, seed);
        if (check_puzzle(&puzzle, &seen, why) != NULL) {
            shrink(&puzzle, why);
            show(&puzzle, seed, why);
            return 1;
        }
    }
    if (!is_hard(&seen)) {
        fprintf(stderr, "these programs are too easy\n");
        return 1;
    }
    return 0;
}
