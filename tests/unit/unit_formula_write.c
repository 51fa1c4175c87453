/* SPDX-License-Identifier: MIT */
/* A formula that is written out and read again is the same formula. */
#include "formula_bench.h"

#include <stdio.h>

TestSuite(formula_write, .timeout = 120);

static bool same_tree(const struct expression *a, const struct expression *b)
{
    bool is_same =
        a->operation == b->operation && a->count == b->count && a->power == b->power &&
        a->builtin == b->builtin && a->function == b->function &&
        a->variable == b->variable && a->type.kind == b->type.kind &&
        dimension_equal(a->type.dim, b->type.dim) &&
        a->type.is_exact == b->type.is_exact && text_equal(a->written, b->written);
    for (uint32_t i = 0; is_same && i < a->count; i++) {
        is_same = same_tree(a->operands[i], b->operands[i]);
    }
    return is_same;
}

Test(formula_write, brackets_stand_where_they_are_needed_and_nowhere_else)
{
    static const char *const rows[][2] = {
        {"((1)+(2))*(3)", "(1 + 2) * 3"},
        {"(1*2)+3", "1 * 2 + 3"},
        {"1-(2-3)-(4*5)", "1 - (2 - 3) - 4 * 5"},
        {"(-2)^2 - (-(2^2))", "(-2)^2 - -2^2"},
        {"|$a|", "abs($a)"},
        {"matches( $kind,\"a b\" )", "matches($kind, \"a b\")"},
        {"not(true and(not false))", "not (true and not false)"},
        {"(not true) and (not (1 < 2))", "not true and not 1 < 2"},
        {"( 18 mm )^2", "(18 mm)^2"},
        {"- (18 ±0.05 mm)", "-(18 ±0.05 mm)"},
        {"-18 ±0.05 mm", "-18 ±0.05 mm"},
        {"2-(-18 ±0.05 mm)", NULL}, /* a plain number and a length */
        {"2 mm−(-18 ±0.05 mm)", "2 mm - -18 ±0.05 mm"},
        {"1/(2 in)", "1 / (2 in)"},
        {"2*(-3)/(8 mm)", "2 * -3 / (8 mm)"},
        {"(3)/(8)", "3 / 8"},
        {"(3 mm)/(8 mm)", "3 mm / 8 mm"},
        {"$kind=\"O-ring, large\"", "$kind = \"O-ring, large\""},
        {"pick( \"x\" ,total($a,$b) )", "pick(\"x\", total($a, $b))"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        const struct formula *formula = bench_read(bench, text_of(rows[i][0]));
        if (rows[i][1] == NULL) {
            cr_expect_null(formula, "%s", rows[i][0]);
        } else {
            cr_assert_not_null(formula, "%s: %s", rows[i][0], bench_faults(bench));
            const text got = formula_write(bench->room.arena, formula->root);
            cr_expect(text_is(got, rows[i][1]), "%s became %.*s", rows[i][0],
                      TEXT_ARG(got));
        }
        bench_close(bench);
    }
}

/* ---- random formulas of every type */

struct dice {
    struct arena *arena;
    uint32_t state;
};

static uint32_t throw(struct dice * dice, uint32_t sides)
{
    dice->state ^= dice->state << 13;
    dice->state ^= dice->state >> 17;
    dice->state ^= dice->state << 5;
    return dice->state % sides;
}

static const char *pick(struct dice *dice, const char *const *from, uint32_t count)
{
    return from[throw(dice, count)];
}

#define PICK(dice, from) pick((dice), (from), sizeof(from) / sizeof *(from))

/* Brackets and blanks that change nothing. */
/* (a); TEXT_ARG names its argument twice, so what is thrown needs a name. */
static text bracketed(struct dice *dice, text a)
{
    return text_format(dice->arena, "(%.*s)", TEXT_ARG(a));
}

/* Brackets and blanks that change nothing. */
static text dressed(struct dice *dice, text a)
{
    switch (throw(dice, 4)) {
    case 0:
        return bracketed(dice, a);
    case 1:
        return text_format(dice->arena, "( (%.*s ))", TEXT_ARG(a));
    default:
        return a;
    }
}

static text around(struct dice *dice, text a, const char *between, text b)
{
    return text_format(dice->arena, "%.*s%s%.*s", TEXT_ARG(a), between, TEXT_ARG(b));
}

static text call(struct dice *dice, const char *name, text a)
{
    return text_format(dice->arena, "%s(%.*s)", name, TEXT_ARG(a));
}

static text ratio(struct dice *dice, int depth);

static text length(struct dice *dice, int depth)
{
    static const char *const atoms[] = {"$a",
                                        "$b",
                                        "$depth",
                                        "18 mm",
                                        "0.591 in",
                                        "40 k6",
                                        "18 ±0.05 mm",
                                        "-1.85 +0/-0.14 mm",
                                        "17.95..18.05 mm",
                                        "0 mm",
                                        "3.5 µm",
                                        "−1..1 mm"};
    static const char *const calls[] = {"abs",     "least", "greatest",
                                        "nominal", "max",   "min"};
    static const char *const signs[] = {" + ", " - ", " − "};
    if (depth == 0) {
        return dressed(dice, text_of(PICK(dice, atoms)));
    }
    const text a = length(dice, depth - 1);
    const text b = length(dice, depth - 1);
    const text c = bracketed(dice, ratio(dice, depth - 1));
    switch (throw(dice, 9)) {
    case 0:
        return dressed(dice, around(dice, a, PICK(dice, signs), b));
    case 1:
        return dressed(dice, around(dice, bracketed(dice, a), " * ", c));
    case 2:
        return dressed(dice, around(dice, bracketed(dice, a), "/", c));
    case 3:
        return dressed(dice, call(dice, "- ", a));
    case 4:
        return call(dice, PICK(dice, calls), a);
    case 5:
        return text_format(dice->arena, "| %.*s|", TEXT_ARG(a));
    case 6:
        return call(dice, "max", around(dice, a, ",", around(dice, b, " ,  ", a)));
    case 7:
        return call(dice, "sqrt", around(dice, bracketed(dice, a), "^2", TEXT("")));
    default:
        return call(dice, "pick",
                    around(dice, TEXT(" \"x y\""), ",",
                           call(dice, "total", around(dice, a, ", ", b))));
    }
}

static text ratio(struct dice *dice, int depth)
{
    static const char *const atoms[] = {"1",    "$n",          "$o",  "0.5",
                                        "2 ±1", "sin(30 deg)", "1e3", "5 %"};
    static const char *const powers[] = {"^1", "^2", "^3", "^ 5", "^8"};
    if (depth == 0) {
        return dressed(dice, text_of(PICK(dice, atoms)));
    }
    const text a = bracketed(dice, ratio(dice, depth - 1));
    const text b = bracketed(dice, length(dice, depth - 1));
    const text c = bracketed(dice, length(dice, depth - 1));
    switch (throw(dice, 4)) {
    case 0:
        return dressed(dice, around(dice, a, PICK(dice, powers), TEXT("")));
    case 1:
        return dressed(dice, around(dice, b, " / ", c));
    case 2:
        return dressed(dice, around(dice, a, " - ", around(dice, a, " * -", a)));
    default:
        return a;
    }
}

static text truth(struct dice *dice, int depth)
{
    static const char *const atoms[] = {"true", "false", "$is-worn", "$kind = \"seal\"",
                                        "$made-for != name_of(\"lip\")"};
    static const char *const joints[] = {" and ", " or  "};
    static const char *const compared[] = {" < ", "<=", " > ", ">="};
    if (depth == 0) {
        return dressed(dice, text_of(PICK(dice, atoms)));
    }
    const text a = truth(dice, depth - 1);
    const text b = length(dice, depth - 1);
    const text c = length(dice, depth - 1);
    switch (throw(dice, 5)) {
    case 0:
    case 1:
        return dressed(dice, around(dice, a, PICK(dice, joints), truth(dice, depth - 1)));
    case 2:
        return dressed(dice, around(dice, TEXT("not"), " ", a));
    case 3:
        return around(dice, call(dice, "nominal", b), " = ", TEXT("1 mm"));
    default:
        return dressed(dice, around(dice, b, PICK(dice, compared), c));
    }
}

/* Literals with limits are named by their columns, which writing moves: what was computed
 * with them may differ in order. */
static bool has_own_dimension(const struct expression *at)
{
    bool has = at->operation == OPERATION_LITERAL && at->type.kind == TYPE_QUANTITY &&
               !at->type.is_exact;
    for (uint32_t i = 0; i < at->count; i++) {
        has = has || has_own_dimension(at->operands[i]);
    }
    return has;
}

static bool same_value(struct value a, struct value b)
{
    return a.kind == b.kind && a.truth == b.truth && a.doubt_count == b.doubt_count &&
           (a.kind != VALUE_QUANTITY || (a.quantity->least == b.quantity->least &&
                                         a.quantity->greatest == b.quantity->greatest &&
                                         a.quantity->nominal == b.quantity->nominal));
}

Test(formula_write, what_is_written_reads_as_the_same_formula)
{
    unsigned read_count = 0;
    for (uint32_t seed = 1; seed <= 3000; seed++) {
        struct bench *bench = bench_open();
        struct dice dice = {bench->room.arena, seed * 2654435761u};
        const int depth = 1 + (int) throw(&dice, 4);
        const text asked = seed % 3 == 0   ? truth(&dice, depth)
                           : seed % 3 == 1 ? length(&dice, depth)
                                           : ratio(&dice, depth);
        const struct formula *one = asked.length > 1000 ? NULL : bench_read(bench, asked);
        if (asked.length <= 1000) {
            cr_assert_not_null(one, "seed %u: %.*s\n%s", seed, TEXT_ARG(asked),
                               bench_faults(bench));
        }
        if (one != NULL) {
            const text written = formula_write(bench->room.arena, one->root);
            const struct formula *two = bench_read(bench, written);
            cr_assert_not_null(two, "seed %u: %.*s became %.*s\n%s", seed,
                               TEXT_ARG(asked), TEXT_ARG(written), bench_faults(bench));
            cr_expect(same_tree(one->root, two->root), "seed %u: %.*s became %.*s", seed,
                      TEXT_ARG(asked), TEXT_ARG(written));
            cr_expect(text_equal(formula_write(bench->room.arena, two->root), written),
                      "seed %u: writing again changes %.*s", seed, TEXT_ARG(written));
            cr_expect(written.length <= asked.length + 40);
            const struct value before = formula_run(one, &bench->frame);
            const struct value after = formula_run(two, &bench->frame);
            cr_expect_eq(before.kind, after.kind);
            cr_expect(has_own_dimension(one->root) || same_value(before, after),
                      "seed %u: %.*s", seed, TEXT_ARG(asked));
            read_count++;
        }
        bench_close(bench);
    }
    cr_expect_gt(read_count, 2000);
}
