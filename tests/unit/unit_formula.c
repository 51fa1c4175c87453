/* SPDX-License-Identifier: MIT */
/* What formulas mean: precedence, literals, arithmetic, functions, three-valued truth. */
#include "formula_bench.h"

TestSuite(formula, .timeout = 60);

/* A tree with every bracket: "(+ $a (* 2 $b))". */
static text shape(struct arena *arena, const struct expression *at)
{
    static const char *const words[] = {
        "literal", "variable", "-",  "not", "+",  "-",   "*",  "/",  "^",    "=",
        "!=",      "<",        "<=", ">",   ">=", "and", "or", "fn", "call", "fault"};
    if (at->operation == OPERATION_LITERAL || at->operation == OPERATION_VARIABLE) {
        return at->written;
    }
    text made =
        text_format(arena, "(%s",
                    at->operation == OPERATION_BUILTIN ? builtin_names[at->builtin]
                    : at->operation == OPERATION_CALL  ? at->function->name
                                                       : words[at->operation]);
    for (uint32_t i = 0; i < at->count; i++) {
        made = text_format(arena, "%.*s %.*s", TEXT_ARG(made),
                           TEXT_ARG(shape(arena, at->operands[i])));
    }
    return text_format(arena, "%.*s)", TEXT_ARG(made));
}

Test(formula, precedence)
{
    static const char *const rows[][2] = {
        {"1 + 2 * 3", "(+ 1 (* 2 3))"},
        {"1 - 2 - 3", "(- (- 1 2) 3)"},
        {"1 - (2 - 3)", "(- 1 (- 2 3))"},
        {"8 / 4 / 2", "(/ (/ 8 4) 2)"},
        {"8 / 4 * 2", "(* (/ 8 4) 2)"},
        {"-2^2", "(- (^ 2))"},
        {"(-2)^2", "(^ (- 2))"},
        {"2 * -3", "(* 2 (- 3))"},
        {"2 - -3", "(- 2 (- 3))"},
        {"--2", "(- (- 2))"},
        {"−2 − 3", "(- (- 2) 3)"},
        {"$a-$b < 1 mm", "(< (- a b) 1 mm)"},
        {"$a -1 mm > $b", "(> (- a 1 mm) b)"},
        {"true or false and true", "(or true (and false true))"},
        {"(true or false) and true", "(and (or true false) true)"},
        {"not true and false", "(and (not true) false)"},
        {"not (true and false)", "(not (and true false))"},
        {"not not true", "(not (not true))"},
        {"not 1 = 2", "(not (= 1 2))"},
        {"1 < 2 and 3 <= 4 or 5 != 6", "(or (and (< 1 2) (<= 3 4)) (!= 5 6))"},
        {"|$a - $b| <= 3 mm", "(<= (abs (- a b)) 3 mm)"},
        {"||$a| - |$b||", "(abs (- (abs a) (abs b)))"},
        {"max($a, $b, 3 mm) + min($a)", "(+ (max a b 3 mm) (min a))"},
        {"max(1, 2)^3 * 2", "(* (^ (max 1 2)) 2)"},
        {"$is-worn and$is-worn", "(and is-worn is-worn)"},
        {"$kind = \"seal\"", "(= kind seal)"},
        {"5 and_", NULL},
        {"1 <= 2 <= 3", NULL},
        {"2^3^2", NULL},
        {"2 3", NULL},
        {"", NULL},
        {"  \n ", NULL}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        const struct formula *formula = bench_read(bench, text_of(rows[i][0]));
        if (rows[i][1] == NULL) {
            cr_expect_null(formula, "%s", rows[i][0]);
        } else {
            cr_assert_not_null(formula, "%s: %s", rows[i][0], bench_faults(bench));
            const text got = shape(bench->room.arena, formula->root);
            cr_expect_str_eq(text_copy(bench->room.arena, got).at, rows[i][1], "%s",
                             rows[i][0]);
        }
        bench_close(bench);
    }
}

Test(formula, quantities)
{
    static const struct {
        const char *formula;
        const char *dimension;
        double least;
        double greatest;
    } rows[] = {
        {"$a + $b", "length", 29.7e6, 30.3e6},
        {"$b - $a", "length", 9.7e6, 10.3e6},
        {"$a - $a", "length", 0, 0},
        {"$a + 1 mm - $a", "length", 1e6, 1e6},
        {"$depth + $a - $depth", "length", 9.9e6, 10.1e6},
        {"2 * $a", "length", 19.8e6, 20.2e6},
        {"$n * $a", "length", 29.7e6, 30.3e6},
        {"$n + 1", "ratio", 4, 4},
        {"-$a", "length", -10.1e6, -9.9e6},
        {"$b / $a", "ratio", 19.8 / 10.1, 20.2 / 9.9},
        {"1 mm / 4", "length", 250000, 250000},
        {"1 / (2 in)", NULL, 0, 0}, /* one over two inches: no named dimension */
        {"(1/2) * 1 in", "length", 12.7e6, 12.7e6},
        {"3 mm / 8 mm", "ratio", 0.375, 0.375},
        {"$n / 8 * 1 in", "length", 9.525e6, 9.525e6},
        {"1 mm - (0..0.5 mm)", "length", 0.5e6, 1e6},
        {"1 mm - 0..0.5 mm", "length", 0.5e6, 1e6},
        {"1 mm -0.25 mm", "length", 0.75e6, 0.75e6},
        {"$a * $b", "area", 9.9 * 19.8e12, 10.1 * 20.2e12},
        {"$a^2", "area", 98.01e12, 102.01e12},
        {"($a - 10 mm)^2", "area", 0, 0.01e12},
        {"($a - 10 mm)^3 * 1 mm / 1 mm", "volume", -0.001e18, 0.001e18},
        {"2^8", "ratio", 256, 256},
        {"(0 ±2)^4", "ratio", 0, 16},
        {"(-1..2)^3", "ratio", -1, 8},
        {"sqrt($a^2)", "length", 9.9e6, 10.1e6},
        {"sqrt(9)", "ratio", 3, 3},
        {"abs($a - $b)", "length", 9.7e6, 10.3e6},
        {"|$a - 10 mm|", "length", 0, 0.1e6},
        {"max($a, $b)", "length", 19.8e6, 20.2e6},
        {"min($a, $b, 3 mm)", "length", 3e6, 3e6},
        {"max($depth, 5 mm)", "length", 5e6, INFINITY},
        {"least($a)", "length", 9.9e6, 9.9e6},
        {"greatest($a)", "length", 10.1e6, 10.1e6},
        {"nominal($a)", "length", 10e6, 10e6},
        {"sin(30 deg)", "ratio", 0.5, 0.5},
        {"cos(60 deg)", "ratio", 0.5, 0.5},
        {"tan(45 deg)", "ratio", 1, 1},
        {"sin(80..100 deg)", "ratio", 0.984807753012208, 1},
        {"cos(-20..10 deg)", "ratio", 0.939692620785908, 1},
        {"pick(\"seal\", $a)", "length", 9.9e6, 10.1e6},
        {"total($a, $b)", "length", 29.7e6, 30.3e6},
        {"total(1, 2)", "ratio", 3, 3},
        {"$hard - 50 HRC", "hardness-hrc", 5, INFINITY},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        const struct value got = bench_run(bench, rows[i].formula);
        cr_assert_eq(got.kind, VALUE_QUANTITY, "%s", rows[i].formula);
        const struct form *form = got.quantity;
        struct dimension dim;
        cr_assert_null(form->undefined, "%s: %s", rows[i].formula, form->undefined);
        if (rows[i].dimension == NULL) {
            const text name = dimension_name(bench->room.arena, form->dim);
            cr_expect(!dimension_find(name, &dim), "%s", rows[i].formula);
            bench_close(bench);
            continue;
        }
        cr_assert(dimension_find(text_of(rows[i].dimension), &dim));
        const double near = fmax(1e-9, 1e-12 * fabs(rows[i].least));
        cr_expect(dimension_equal(form->dim, dim), "%s", rows[i].formula);
        cr_expect_float_eq(form->least, rows[i].least, near, "%s least %.17g",
                           rows[i].formula, form->least);
        cr_expect(form->greatest == rows[i].greatest ||
                      fabs(form->greatest - rows[i].greatest) <=
                          fmax(1e-9, 1e-12 * fabs(rows[i].greatest)),
                  "%s greatest %.17g", rows[i].formula, form->greatest);
        bench_close(bench);
    }
}

Test(formula, literals)
{
    static const struct {
        const char *formula;
        double nominal;
        double least;
        double greatest;
        const char *name; /* of its own dimension; NULL when exact */
    } rows[] = {
        {"18 mm", 18, 18, 18, NULL},
        {"0.591 in", 15.0114, 15.0114, 15.0114, NULL},
        {"18 ±0.05 mm", 18, 17.95, 18.05, "\"18 ±0.05 mm\" at column 1"},
        {"18 mm ±0.05", 18, 17.95, 18.05, "\"18 mm ±0.05\" at column 1"},
        {"18 +/-0.05 mm", 18, 17.95, 18.05, "\"18 +/-0.05 mm\" at column 1"},
        {"18 +0.1/-0 mm", 18, 18, 18.1, "\"18 +0.1/-0 mm\" at column 1"},
        {"17.95..18.05 mm", 18, 17.95, 18.05, "\"17.95..18.05 mm\" at column 1"},
        {"40 k6", 40, 40.002, 40.018, "\"40 k6\" at column 1"},
        {"40 mm k6", 40, 40.002, 40.018, "\"40 mm k6\" at column 1"},
        /* A sign belongs to a number with limits, as it does in facts. */
        {"-1.85 +0/-0.14 mm", -1.85, -1.99, -1.85, "\"-1.85 +0/-0.14 mm\" at column 1"},
        {"−0.05..0.15 mm", 0.05, -0.05, 0.15, "\"−0.05..0.15 mm\" at column 1"},
        {"-(1.85 +0/-0.14 mm)", -1.85, -1.85, -1.71, "\"1.85 +0/-0.14 mm\" at column 3"},
        {"0 mm*1 + 40 k6", 40, 40.002, 40.018, "\"40 k6\" at column 10"},
        /* Columns count what people see. */
        {"0 µm + 40 k6", 40, 40.002, 40.018, "\"40 k6\" at column 8"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        const struct value got = bench_run(bench, rows[i].formula);
        const struct form *form = got.quantity;
        double nominal = 0;
        cr_assert_not_null(form, "%s", rows[i].formula);
        cr_expect(form_nominal(form, &nominal), "%s", rows[i].formula);
        cr_expect_float_eq(nominal, rows[i].nominal * bench_mm, 1e-6, "%s",
                           rows[i].formula);
        cr_expect_float_eq(form->least, rows[i].least * bench_mm, 1e-6, "%s %.17g",
                           rows[i].formula, form->least);
        cr_expect_float_eq(form->greatest, rows[i].greatest * bench_mm, 1e-6, "%s %.17g",
                           rows[i].formula, form->greatest);
        cr_expect_eq(form->term_count, rows[i].name == NULL ? 0 : 1, "%s",
                     rows[i].formula);
        if (form->term_count == 1 && rows[i].name != NULL) {
            cr_expect_str_eq(form->terms[0].of->name.at, rows[i].name);
            cr_expect_eq(form->terms[0].of->kind, DEVIATION_MADE);
            cr_expect_eq(form->terms[0].of->basis, BASIS_LIMITS);
        }
        bench_close(bench);
    }
}

Test(formula, two_literals_are_two_dimensions)
{
    struct bench *bench = bench_open();
    const struct form *same = bench_run(bench, "18 ±0.05 mm - 18 ±0.05 mm").quantity;
    cr_expect_eq(same->least, -0.1 * bench_mm, "%.17g", same->least);
    const struct form *one = bench_run(bench, "5 ±1 mm").quantity;
    bench->scope.owner = TEXT("another");
    const struct form *two = bench_run(bench, "5 ±1 mm").quantity;
    cr_expect_str_eq(two->terms[0].of->name.at, "\"5 ±1 mm\" at column 1 of another");
    cr_expect_eq(form_subtract(bench->room.arena, one, two)->term_count, 2,
                 "literals of two owners do not cancel");
    bench_close(bench);
}

Test(formula, a_decimal_comma_is_understood_where_it_is_allowed)
{
    struct bench *bench = bench_open();
    bench->scope.decimal_comma = true;
    cr_expect_eq(bench_run(bench, "0,5 mm + 1,25 mm").quantity->least, 1.75 * bench_mm);
    cr_expect_eq(bench_run(bench, "max(1, 5)").quantity->least, 5);
    cr_expect_eq(bench_run(bench, "17,95..18,05 mm").quantity->least, 17.95 * bench_mm);
    bench_close(bench);
}

/* ---- truth */

static const char *const truth_words[] = {"no", "yes", "unsure", "unknown"};

static text doubt_text(struct bench *bench, struct doubt doubt)
{
    text all = {"", 0};
    for (uint32_t i = 0; i < doubt.count; i++) {
        all = text_format(bench->room.arena, "%.*s%s%.*s", TEXT_ARG(all),
                          i > 0 ? " " : "", TEXT_ARG(doubt.of[i]->name));
    }
    return all;
}

Test(formula, truth_has_four_answers_and_names_its_doubt)
{
    static const struct {
        const char *formula;
        const char *answer;
        const char *doubt;
    } rows[] = {
        {"$a < $b", "yes", ""},
        {"$a >= $b", "no", ""},
        {"$a < 10 mm", "unsure", "a"},
        {"$a <= 10.1 mm", "yes", ""},
        {"$a < 10.1 mm", "unsure", "a"}, /* 10.1 mm itself is not below it */
        {"$a < 10.2 mm", "yes", ""},
        {"$a > 10.1 mm", "no", ""},
        {"$a >= 10.1 mm", "unsure", "a"},
        {"$a > 9.9 mm", "unsure", "a"},
        {"$a >= 9.9 mm", "yes", ""},
        {"$a + $b > 30 mm", "unsure", "a b"},
        {"$a <= $a", "yes", ""},
        {"$a < $a", "no", ""},
        /* A nanometre is the grid of lengths: nearer than that is equal. */
        {"1 mm < 1.0000004 mm", "no", ""},
        {"1 mm >= 1.0000004 mm", "yes", ""},
        {"1 mm < 1.000002 mm", "yes", ""},
        {"$depth > 1 mm", "unknown", "depth"},
        {"$depth + $a > 1 mm", "unknown", "depth"},
        {"$depth >= $depth", "yes", ""},
        {"max($depth, 5 mm) >= 3 mm", "yes", ""},
        {"max($depth, 5 mm) >= 6 mm", "unknown", "depth"},
        {"$hard >= 50 HRC", "yes", ""},
        {"$hard >= 60 HRC", "unsure", "hard"},
        {"$n = 3", "yes", ""},
        {"$n != 3", "no", ""},
        {"$n + 1 = 4", "yes", ""},
        {"$n < 4", "yes", ""},
        {"$o = 3", "unknown", "o"},
        {"$o != 3", "unknown", "o"},
        {"nominal($a) = 10 mm", "yes", ""},
        {"least($b) = 1 mm", "no", ""},
        {"nominal($depth) = 1 mm", "unknown", "depth"},
        {"1 in = 25.4 mm", "yes", ""},
        {"$kind = \"seal\"", "yes", ""},
        {"$kind != \"seal\"", "no", ""},
        {"$kind = \"ring\"", "no", ""},
        {"$made-for = \"lip\"", "unknown", "made-for"},
        {"$made-for != \"lip\"", "unknown", "made-for"},
        {"$made-for = $made-for", "unknown", "made-for"},
        {"name_of($kind) = \"seal\"", "yes", ""},
        {"matches($kind, \"seal|ring\")", "yes", ""},
        {"matches($kind, \"sea\")", "no", ""},
        {"not matches($kind, \"s.*\") or matches(name_of($kind), \".eal\")", "yes", ""},
        {"matches($made-for, \"lip\")", "unknown", "made-for"},
        {"matches($made-for, \"lip\") and $a < 1 mm", "no", ""},
        {"name_of($made-for) = \"seal\"", "unknown", "made-for"},
        {"pick($made-for, $a) > 0 mm", "unknown", "made-for"},
        {"1 mm / ($a - 10 mm) > 0", "unknown", ""},
        {"true", "yes", ""},
        {"not $is-worn", "no", ""},
        {"not $a < 10 mm", "unsure", "a"},
        {"$a < 10 mm and $depth > 1 mm", "unknown", "a depth"},
        {"$a < 10 mm and $b < 20 mm", "unsure", "a b"},
        {"$a < 10 mm and true", "unsure", "a"},
        {"$depth > 1 mm and false", "no", ""},
        {"$depth > 1 mm or true", "yes", ""},
        {"$depth > 1 mm or false", "unknown", "depth"},
        {"$depth > 1 mm or $made-for = \"lip\"", "unknown", "depth made-for"},
        {"$a < 10 mm or $depth > 1 mm", "unknown", "a depth"},
        {"not ($a < 10 mm or $b < 20 mm)", "unsure", "a b"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        const struct value got = bench_run(bench, rows[i].formula);
        cr_assert_eq(got.kind, VALUE_TRUTH, "%s", rows[i].formula);
        cr_expect_str_eq(truth_words[got.truth], rows[i].answer, "%s", rows[i].formula);
        if (strstr(rows[i].formula, " / ") == NULL) {
            cr_expect_str_eq(
                text_copy(bench->room.arena, doubt_text(bench, truth_doubt(got))).at,
                rows[i].doubt, "%s", rows[i].formula);
        }
        bench_close(bench);
    }
}

/* Exact numbers are worked out without forms, and must come out as forms have it, to the
 * last bit. */
Test(formula, exact_numbers_come_out_as_forms_do)
{
    static const char *const sides[] = {
        "0 mm",        "1 mm",         "-1 mm",
        "0.1 mm",      "0.3 mm",       "(0.1 mm + 0.2 mm)",
        "0.000001 mm", "12.7 mm",      "-12.7 mm",
        "1 in",        "0.00000025 mm"};
    static const char *const orders[] = {"<=", ">=", "<", ">", "=", "!="};
    const size_t count = sizeof sides / sizeof *sides;
    for (size_t i = 0; i < count * count; i++) {
        struct bench *bench = bench_open();
        struct arena *arena = bench->room.arena;
        const char *const x = sides[i / count];
        const char *const y = sides[i % count];
        const struct form *a = bench_run(bench, x).quantity;
        const struct form *b = bench_run(bench, y).quantity;
        const struct form *apart = form_subtract(arena, a, b);
        const struct form *size = form_abs(arena, apart);
        const struct {
            const char *before;
            const char *between;
            const char *after;
            const struct form *as;
        } rows[] = {{"", " + ", "", form_add(arena, a, b)},
                    {"", " - ", "", apart},
                    {"-(", " + ", ")", form_scale(arena, form_add(arena, a, b), -1.0)},
                    {"min(", ", ", ")", form_min(arena, a, b)},
                    {"max(", ", ", ")", form_max(arena, a, b)},
                    {"|", " - ", "|", size}};
        for (size_t r = 0; r < sizeof rows / sizeof *rows; r++) {
            const char *const said = text_format(arena, "%s%s%s%s%s", rows[r].before, x,
                                                 rows[r].between, y, rows[r].after)
                                         .at;
            const struct form *got = bench_run(bench, said).quantity;
            cr_expect_eq(got->nominal, rows[r].as->nominal, "%s", said);
            cr_expect_eq(got->least, rows[r].as->least, "%s", said);
            cr_expect_eq(got->greatest, rows[r].as->greatest, "%s", said);
            cr_expect_eq(signbit(got->nominal), signbit(rows[r].as->nominal), "%s", said);
            cr_expect(form_is_exact(got), "%s", said);
        }
        const bool at_most = form_outcome(form_subtract(arena, b, a)) == OUTCOME_HOLDS;
        const bool at_least = form_outcome(apart) == OUTCOME_HOLDS;
        const bool equal = form_outcome(form_scale(arena, size, -1.0)) == OUTCOME_HOLDS;
        const bool answers[] = {at_most, at_least, !at_least, !at_most, equal, !equal};
        for (size_t r = 0; r < sizeof orders / sizeof *orders; r++) {
            const char *const said = text_format(arena, "%s %s %s", x, orders[r], y).at;
            cr_expect_eq(bench_run(bench, said).truth, answers[r] ? TRUTH_YES : TRUTH_NO,
                         "%s", said);
        }
        bench_close(bench);
    }
}

/* a < b is never anything but the denial of a >= b, whatever straddles. */
Test(formula, strict_is_the_denial_of_not_strict)
{
    static const char *const sides[] = {"$a",     "$b",     "10 mm",       "10.1 mm",
                                        "9.9 mm", "$depth", "max($a, $b)", "$a + $b"};
    enum {
        SIDES = sizeof sides / sizeof *sides
    };
    for (size_t i = 0; i < SIDES * (size_t)SIDES; i++) {
        struct bench *bench = bench_open();
        const char *a = sides[i / SIDES];
        const char *b = sides[i % SIDES];
        struct arena *arena = bench->room.arena;
        const enum truth less =
            bench_run(bench, text_format(arena, "%s < %s", a, b).at).truth;
        const enum truth at_least =
            bench_run(bench, text_format(arena, "%s >= %s", a, b).at).truth;
        const enum truth more =
            bench_run(bench, text_format(arena, "%s > %s", b, a).at).truth;
        cr_expect_eq(less, truth_not(at_least), "%s < %s", a, b);
        cr_expect_eq(less, more, "%s < %s", a, b);
        bench_close(bench);
    }
}

Test(formula, what_has_no_number_says_why)
{
    static const char *const rows[][2] = {
        {"1 mm / ($a - 10 mm)", "the divisor may be zero"},
        {"1 / 0", "the divisor may be zero"},
        {"sqrt($a * $a - $b * $b)", "the root may be of a negative number"},
        {"sqrt(-1)", "the root may be of a negative number"},
        {"tan(90 deg)", "the tangent has no value at a right angle"},
        {"tan(80..100 deg)", "the tangent has no value at a right angle"},
        {"nominal($depth)", "it has no nominal"},
        {"pick($made-for, $a)", "a word it needs is missing"},
        {"1 + 1 / 0", "the divisor may be zero"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        const struct value got = bench_run(bench, rows[i][0]);
        cr_assert_eq(got.kind, VALUE_QUANTITY, "%s", rows[i][0]);
        cr_assert_not_null(got.quantity->undefined, "%s", rows[i][0]);
        cr_expect_str_eq(got.quantity->undefined, rows[i][1], "%s", rows[i][0]);
        bench_close(bench);
    }
}

Test(formula, rows_that_functions_rest_on_are_gathered)
{
    struct bench *bench = bench_open();
    (void)bench_run(bench, "pick(\"seal\", $a) + pick(\"ring\", $b)");
    cr_expect_eq(bench->frame.rests_on_count, 4);
    bench_close(bench);
}

Test(formula, what_it_is_and_names)
{
    struct bench *bench = bench_open();
    bool used[SLOT_COUNT] = {false};
    char written[] = "$a + max($b, 1 mm) > 2 mm and $kind = \"x\"";
    const struct formula *formula = bench_read(bench, text_of(written));
    memset(written, '?', sizeof written - 1);
    cr_assert_not_null(formula);
    cr_expect_eq(formula_type(formula).kind, TYPE_TRUTH);
    cr_expect(
        text_is(formula_text(formula), "$a + max($b, 1 mm) > 2 mm and $kind = \"x\""),
        "it keeps its own text");
    cr_expect_eq(formula_where(formula).at, 0);
    formula_variables(formula, used);
    for (int i = 0; i < SLOT_COUNT; i++) {
        cr_expect_eq(used[i], i == SLOT_A || i == SLOT_B || i == SLOT_W, "slot %d", i);
    }
    static const struct {
        const char *formula;
        bool is_exact;
    } exact[] = {{"3 mm", true},
                 {"$n + 1", true},
                 {"$a", false},
                 {"$a * 0", false},
                 {"nominal($a)", true},
                 {"18 ±0.1 mm", false},
                 {"max(1 mm, $a)", false},
                 {"greatest($a) + 1 mm", true}};
    for (size_t i = 0; i < sizeof exact / sizeof *exact; i++) {
        formula = bench_read(bench, text_of(exact[i].formula));
        cr_assert_not_null(formula, "%s", exact[i].formula);
        cr_expect_eq(formula_type(formula).is_exact, exact[i].is_exact, "%s",
                     exact[i].formula);
    }
    bench_close(bench);
}

/* A pattern that takes too long is reported where it stands, once, and nothing is
 * computed with what it did not say. */
Test(formula, a_pattern_that_takes_too_long)
{
    struct bench *bench = bench_open();
    bench->slots[SLOT_W] = value_word(names_add(
        bench->names, TEXT("aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaxb")));
    const struct formula *formula = bench_read(
        bench, TEXT("true or matches($kind, \"(a+)+b\") or matches($kind, \"(a|a)+b\")"));
    cr_assert_not_null(formula, "%s", bench_faults(bench));
    bench->frame.diagnostics = bench->room.diagnostics;
    cr_expect_eq(formula_run(formula, &bench->frame).kind, VALUE_NONE);
    cr_expect(bench->frame.is_stopped);
    cr_expect_str_eq(bench_faults(bench),
                     "24+8 pattern-limit: this pattern takes too long on "
                     "\"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa…\" | a pattern that can "
                     "match in one way only: no repeat inside a repeat, as in (a+)+ | ");
    bench_close(bench);
}
