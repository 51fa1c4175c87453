/* SPDX-License-Identifier: MIT */
/* Every fault of a formula: where it is, what is said, what would have been right. */
#include "formula_bench.h"

#include "failing_allocator.h"

TestSuite(formula_faults, .timeout = 60);

/* A row: the formula, then its faults as bench_faults writes them. */
static const char *const faults[][2] = {
    /* names */
    {"$depht + 1 mm", "1+6 formula-name: no condition binds $depht |  | depth"},
    {"$ + 1 mm", "1+1 formula-name: no condition binds $ |  | "},
    {"1 + sqr(4)", "5+3 formula-name: there is no function \"sqr\" | a function, a "
                   "$variable, a number with its unit or a \"word\" | sqrt"},
    {"depth < 1 mm", "1+5 formula-name: there is no function \"depth\" | a function, a "
                     "$variable, a number with its unit or a \"word\" | $depth"},
    {"$quill + sqr($yoke) < 3 mmm",
     "1+6 formula-name: no condition binds $quill |  | \n"
     "10+3 formula-name: there is no function \"sqr\" | a function, a $variable, a "
     "number "
     "with its unit or a \"word\" | sqrt\n"
     "14+5 formula-name: no condition binds $yoke |  | \n"
     "25+3 unit-unknown: nobody knows this unit | a number with its unit, such as 18 mm "
     "| mm"},
    /* numbers */
    {"18 mmm", "4+3 unit-unknown: nobody knows this unit | a number with its unit, such "
               "as 18 mm | mm"},
    {"$a < 3 barr and true", "8+4 unit-unknown: nobody knows this unit | a number with "
                             "its unit, such as 18 mm | bar"},
    {"40 q6", "1+5 class-unknown: the table has no such class | a class of ISO 286 such "
              "as H7 or k6, at most 500 mm | "},
    {"600 k6 < $kind", "1+6 class-unknown: the table has no such class | a class of ISO "
                       "286 such as H7 or k6, at most 500 mm | "},
    {"0,5 mm", "1+3 decimal-comma: a decimal comma stands where a decimal point is due | "
               "0.5 | "},
    {"max(1,5)", "5+3 decimal-comma: a decimal comma stands where a decimal point is due "
                 "| 1.5, or 1, 5 for two arguments | "},
    {"18.05..17.95 mm", "1+15 limits-crossed: the least value lies above the greatest | "
                        "LEAST..GREATEST | "},
    {"18 mm^2", "6+1 formula-syntax: this could be a power of the unit or of the whole | "
                "brackets: (18 mm)^2 | "},
    {"3/8 in", "3+1 formula-syntax: this can be read in two ways | brackets: (3/8) * 1 "
               "in, 3 / (8 in), a - (0.1..0.2 mm) | "},
    {"3/8\" + 1 mm", "3+1 formula-syntax: this can be read in two ways | brackets: (3/8) "
                     "* 1 in, 3 / (8 in), a - (0.1..0.2 mm) | "},
    {"$a * -3 / 8 in", "11+1 formula-syntax: this can be read in two ways | brackets: "
                       "(3/8) * 1 in, 3 / (8 in), a - (0.1..0.2 mm) | "},
    {"1 mm -0.05..0.05 mm", "7+1 formula-syntax: this can be read in two ways | "
                            "brackets: (3/8) * 1 in, 3 / (8 in), a - (0.1..0.2 mm) | "},
    /* grammar */
    {"", "1+1 formula-syntax: the formula ends too early | a number with its unit, a "
         "$variable or a function | "},
    {"3 mm +", "7+1 formula-syntax: the formula ends too early | a number with its unit, "
               "a $variable or a function | "},
    {"(3 mm", "6+1 formula-syntax: this bracket is not closed | ) | "},
    {"abs(3 mm  4 mm)", "11+1 formula-syntax: this bracket is not closed | ) | "},
    {"|3 mm", "6+1 formula-syntax: this bar is not closed | | | "},
    {"3 mm)",
     "5+1 formula-syntax: this stands where the formula should end | an operator "
     "between two values | "},
    {"$a $b",
     "4+1 formula-syntax: this stands where the formula should end | an operator "
     "between two values | "},
    {"$a == $b", "5+1 formula-syntax: this could not be read | a number with its unit, a "
                 "$variable or a function | "},
    {"1 < 2 < 3", "9+1 formula-syntax: comparisons do not chain | a < b and b < c | "},
    {"2^9", "3+1 formula-syntax: this power cannot be taken | a whole power from 1 to 8 "
            "| "},
    {"2^0.5",
     "3+1 formula-syntax: this power cannot be taken | a whole power from 1 to 8 "
     "| "},
    {"2^-1", "3+1 formula-syntax: this power cannot be taken | a whole power from 1 to 8 "
             "| "},
    {"2^$n", "3+1 formula-syntax: this power cannot be taken | a whole power from 1 to 8 "
             "| "},
    {"$kind = \"seal", "9+1 formula-syntax: this quoted word has no end | \"word\" | "},
    {"$a + @", "6+1 formula-syntax: this could not be read | a number with its unit, a "
               "$variable or a function | "},
    {"and true", "1+1 formula-syntax: a value is missing before this | a number with its "
                 "unit, a $variable or a function | "},
    {"$a < 1 mm = not true",
     "13+1 formula-syntax: comparisons do not chain | a < b and b "
     "< c | "},
    {"1 + not true", "5+1 formula-syntax: `not` needs brackets here | (not …) | "},
    {"abs + 1",
     "5+1 formula-syntax: a function needs its arguments in brackets | NAME(…) "
     "| "},
    /* types and dimensions */
    {"$a + 3", "1+6 formula-type: a length and a plain number do not go together | two "
               "quantities of one dimension | "},
    {"$a < 0", "1+6 formula-type: a length and a plain number do not go together | two "
               "quantities of one dimension | "},
    {"1 + ($a - $hard) * 2", "5+12 formula-type: a length and a hardness-hrc do not go "
                             "together | two quantities of one dimension | "},
    {"$a * $b < $a", "1+12 formula-type: a area and a length do not go together | two "
                     "quantities of one dimension | "},
    {"$a + $kind", "6+5 formula-type: this is a word | a quantity | "},
    {"$is-worn * $kind", "1+8 formula-type: this is yes or no | a quantity | \n"
                         "12+5 formula-type: this is a word | a quantity | "},
    {"-\"seal\"", "2+6 formula-type: this is a word | a quantity | "},
    {"$a = $b", "1+7 equals-toleranced: quantities with a tolerance are never surely "
                "equal | abs($a - $b) <= t | "},
    {"$a != $b - 1 mm and true", "1+15 equals-toleranced: quantities with a tolerance "
                                 "are never surely equal | abs($a "
                                 "- ($b - 1 mm)) > t | "},
    {"18 ±0.05 mm = 18 mm", "1+20 equals-toleranced: quantities with a tolerance are "
                            "never surely equal | abs(18 ±0.05 mm - 18 mm) <= t | "},
    {"$kind = 3", "1+9 formula-type: a word and a plain number cannot be compared | two "
                  "words or two exact numbers | "},
    {"$kind < \"seal\"", "1+14 formula-type: words have no order | = or != between two "
                         "words | "},
    {"$kind < 3", "1+5 formula-type: this is a word | a quantity | "},
    {"true = false",
     "1+12 formula-type: yes or no and yes or no cannot be compared | two "
     "words or two exact numbers | "},
    {"$a and true", "1+2 formula-type: this is a length | yes or no (a comparison) | "},
    {"$a or $kind", "1+2 formula-type: this is a length | yes or no (a comparison) | \n"
                    "7+5 formula-type: this is a word | yes or no (a comparison) | "},
    {"not $n", "5+2 formula-type: this is a plain number | yes or no (a comparison) | "},
    {"(($a^8)^4 * 1)", "2+8 formula-type: the unit of this has too high a power | a "
                       "quantity with a unit of common use | "},
    /* functions */
    {"sqrt($a)", "6+2 formula-type: a length has no square root | an area, or a plain "
                 "number | "},
    {"sin(0.5)", "5+3 formula-type: this is a plain number | an angle such as 30 deg | "},
    {"matches($kind)", "1+14 formula-type: this function takes 2 arguments, not 1 | "
                       "matches($word, \"pattern\") | "},
    {"matches($a, \"x\")", "9+2 formula-type: this is a length | a word | "},
    {"matches($kind, $made-for)", "16+9 formula-type: a pattern is written out where it "
                                  "is used | \"pattern\" in double quotes | "},
    {"matches($kind, 3)",
     "16+1 formula-type: a pattern is written out where it is used | "
     "\"pattern\" in double quotes | "},
    {"matches($kind, \"a(é\")", "19+2 pattern-wrong: a bracket is not closed | ) | "},
    {"matches($kind, ( \"*\" )) and $a < 1",
     "19+1 pattern-wrong: there is nothing to repeat before this | \\* or \\+ or \\? for "
     "the sign itself | \n29+6 formula-type: a length and a plain number do not go "
     "together "
     "| two quantities of one dimension | "},
    {"matches($kind, \"\")", "17+1 pattern-wrong: the empty text matches this pattern | "
                             "something that must be there | "},
    {"matches($kind, \"x\") + 1", "1+19 formula-type: this is yes or no | a quantity | "},
    {"abs($a, $b)", "1+11 formula-type: this function takes 1 argument, not 2 | abs(x) "
                    "| "},
    {"abs()", "1+5 formula-type: this function takes 1 argument, not 0 | abs(x) | "},
    {"min()", "1+5 formula-type: this function takes at least 1 argument | min(a, b, …) "
              "| "},
    {"max($a, 3)", "1+10 formula-type: a length and a plain number do not go together | "
                   "two quantities of one dimension | "},
    {"pick(\"x\")", "1+9 formula-type: this function takes 2 arguments, not 1 | "
                    "pick(piece, depth) | "},
    {"pick($a, 3)", "6+2 formula-type: this is a length | a word | \n"
                    "10+1 formula-type: depth is a plain number here | a length | "},
    {"total($a, 3)", "11+1 formula-type: two is a plain number here | a length | "},
    {"total($kind, 3)", "7+5 formula-type: this is a word | a quantity | "},
    {"name_of(\"x\") + 1 mm", "1+12 formula-type: this is a word | a quantity | "},
    /* a fault below keeps what holds it quiet, and its neighbours not */
    {"abs($a + 1) < $b and $n + 1 mm > 0 mm",
     "5+6 formula-type: a length and a plain number do not go together | two quantities "
     "of one dimension | \n"
     "22+9 formula-type: a plain number and a length do not go together | two quantities "
     "of one dimension | "},
    /* columns are code points */
    {"\"Öl\" = $kidn", "8+5 formula-name: no condition binds $kidn |  | kind"},
};

Test(formula_faults, each_has_its_place_and_its_words)
{
    for (size_t i = 0; i < sizeof faults / sizeof *faults; i++) {
        struct bench *bench = bench_open();
        cr_expect_null(bench_read(bench, text_of(faults[i][0])), "%s", faults[i][0]);
        cr_expect_str_eq(bench_faults(bench), faults[i][1], "%s\n%s", faults[i][0],
                         bench_faults(bench));
        bench_close(bench);
    }
}

/* Faults lie where the formula lies, not at the start of its source. */
Test(formula_faults, a_span_counts_from_where_the_formula_is)
{
    struct bench *bench = bench_open();
    const text all = TEXT("margin: 3 mm + 2 bar");
    const span where = {room_text(&bench->room, "r", all).source, 8, 12};
    const struct formula *formula = NULL;
    cr_expect_eq(formula_read(bench->room.arena, text_slice(all, 8, all.length), where,
                              &bench->scope, bench->room.diagnostics, &formula),
                 STATUS_INVALID);
    const span at = diagnostics_at(bench->room.diagnostics, 0)->where;
    cr_expect_eq(at.at, 8);
    cr_expect_eq(at.length, 12);
    cr_expect_eq(at.source, where.source);
    bench_close(bench);
}

Test(formula_faults, without_tables_there_are_no_classes_and_no_functions)
{
    struct bench *bench = bench_open();
    bench->scope.limits = NULL;
    bench->scope.functions = NULL;
    cr_expect_null(bench_read(bench, TEXT("40 k6 + total(1, 2) ")));
    cr_expect_str_eq(bench_faults(bench),
                     "1+5 class-unknown: no table of limits was loaded | a class of ISO "
                     "286 such as H7 or k6, at most 500 mm | \n"
                     "9+5 formula-name: there is no function \"total\" | a function, a "
                     "$variable, a number with its unit or a \"word\" | ");
    bench_close(bench);
}

/* `count` times a piece between a head and a tail. */
static text repeated(struct bench *bench, const char *piece, unsigned count,
                     const char *middle, const char *tail)
{
    const size_t length = count * (strlen(piece) + strlen(tail)) + strlen(middle);
    char *made = arena_take(bench->room.arena, length + 1);
    cr_assert_not_null(made);
    for (unsigned i = 0; i < count; i++) {
        memcpy(made + i * strlen(piece), piece, strlen(piece));
    }
    memcpy(made + count * strlen(piece), middle, strlen(middle));
    for (unsigned i = 0; i < count; i++) {
        memcpy(made + count * strlen(piece) + strlen(middle) + i * strlen(tail), tail,
               strlen(tail));
    }
    return (text){made, length};
}

Test(formula_faults, nesting_ends_at_its_bound)
{
    static const char *const rows[][3] = {
        {"(", "1", ")"},     {"abs(", "1", ")"},
        {"- ", "1", ""},     {"not ", "true", ""},
        {"|", "1", "|"},     {"max(1, ", "2", ")"},
        {"1 + (", "2", ")"}, {"true and (", "true", ")"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct bench *bench = bench_open();
        cr_expect_not_null(
            bench_read(bench, repeated(bench, rows[i][0], 64, rows[i][1], rows[i][2])),
            "%s: %s", rows[i][0], bench_faults(bench));
        cr_expect_null(
            bench_read(bench, repeated(bench, rows[i][0], 65, rows[i][1], rows[i][2])),
            "%s", rows[i][0]);
        cr_expect(strstr(bench_faults(bench), "formula-limit: this formula is nested too "
                                              "deep | at most 64 levels | ") != NULL,
                  "%s", bench_faults(bench));
        bench_close(bench);
    }
}

Test(formula_faults, length_ends_at_its_bound)
{
    struct bench *bench = bench_open();
    const text longest = repeated(bench, "1+", 1023, "10", "");
    cr_assert_eq(longest.length, 2048);
    const struct formula *formula = bench_read(bench, longest);
    cr_assert_not_null(formula);
    cr_expect_eq(formula_run(formula, &bench->frame).quantity->least, 1033);
    cr_expect_null(bench_read(bench, repeated(bench, "1+", 1023, "100", "")));
    cr_expect_str_eq(
        bench_faults(bench),
        "1+1 formula-limit: this formula is too long | at most 2048 bytes | ");
    bench_close(bench);
}

/* Reads and runs in an arena whose allocator fails at some request. */
static status starve(struct failing_allocator *failing, const struct bench *bench, text a)
{
    struct arena *arena = arena_open((struct allocator){failing_resize, failing}, 0);
    if (arena == NULL) {
        return STATUS_NO_MEMORY;
    }
    struct diagnostics *diagnostics = diagnostics_open(bench->room.arena);
    struct scope scope = bench->scope;
    const struct formula *formula = NULL;
    scope.names = names_open(arena, bench->names);
    status read = scope.names == NULL
                      ? STATUS_NO_MEMORY
                      : formula_read(arena, a, SPAN_NONE, &scope, diagnostics, &formula);
    if (read == STATUS_OK) {
        struct formula_frame frame = {
            .slots = bench->slots, .arena = arena, .names = scope.names};
        const struct value value = formula_run(formula, &frame);
        cr_expect_eq(value.kind == VALUE_NONE, arena_status(arena) != STATUS_OK);
        read = arena_status(arena);
    }
    arena_close(arena);
    return read;
}

Test(formula_faults, out_of_memory_is_an_answer)
{
    struct bench *bench = bench_open();
    /* Long enough to need several chunks. */
    const text rows[] = {
        repeated(bench, "max($a, 40 k6) + pick(\"x\", $b)^2 / 1 mm + ", 40, "1 mm", ""),
        repeated(bench, "not ", 60, "($kind = \"a\" and |$a - $depth| < 18 ±0.05 mm)",
                 "")};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct failing_allocator whole = {0};
        cr_assert_eq(starve(&whole, bench, rows[i]), STATUS_OK);
        cr_expect_gt(whole.requests, 2);
        for (size_t at = 1; at <= whole.requests; at++) {
            struct failing_allocator failing = {.fails_at = at};
            cr_expect_eq(starve(&failing, bench, rows[i]), STATUS_NO_MEMORY, "%zu", at);
            cr_expect_eq(failing.open_blocks, 0);
        }
    }
    bench_close(bench);
}
