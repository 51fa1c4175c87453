/* SPDX-License-Identifier: MIT */
/*
 * Types and dimensions, found once from the leaves up. A node below which something is
 * wrong gets no complaint of its own: it is passed over. The parser has bounded how deep
 * a tree can be: by its length along a chain of operators, by its depth everywhere else.
 */
#include "formula_tree.h"

static text say_type(struct formula_reader *reader, struct type type)
{
    switch (type.kind) {
    case TYPE_WORD:
        return TEXT("a word");
    case TYPE_TRUTH:
        return TEXT("yes or no");
    case TYPE_QUANTITY:
        break;
    }
    return dimension_equal(type.dim, DIMENSION_RATIO)
               ? TEXT("a plain number")
               : text_format(reader->arena, "a %.*s",
                             TEXT_ARG(dimension_name(reader->arena, type.dim)));
}

static struct arena *words(const struct formula_reader *reader)
{
    return diagnostics_arena(reader->diagnostics);
}

static bool complain(struct formula_reader *reader, const struct expression *at,
                     enum diagnostic_code code, text message, text expected)
{
    diagnostics_add(reader->diagnostics, code, at->where, message)->expected = expected;
    reader->is_wrong = true;
    return false;
}

static bool expect_kind(struct formula_reader *reader, const struct expression *at,
                        enum type_kind kind)
{
    static const char *const wanted[] = {"a quantity", "a word",
                                         "yes or no (a comparison)"};
    if (at->type.kind == kind) {
        return true;
    }
    return complain(
        reader, at, CODE_FORMULA_TYPE,
        text_format(words(reader), "this is %.*s", TEXT_ARG(say_type(reader, at->type))),
        text_of(wanted[kind]));
}

static bool expect_quantities(struct formula_reader *reader, const struct expression *at)
{
    bool is_right = true;
    for (uint32_t i = 0; i < at->count; i++) {
        is_right = expect_kind(reader, at->operands[i], TYPE_QUANTITY) && is_right;
    }
    return is_right;
}

static bool expect_alike(struct formula_reader *reader, const struct expression *at)
{
    const struct type first = at->operands[0]->type;
    if (!expect_quantities(reader, at)) {
        return false;
    }
    for (uint32_t i = 1; i < at->count; i++) {
        if (!dimension_equal(first.dim, at->operands[i]->type.dim)) {
            return complain(
                reader, at, CODE_FORMULA_TYPE,
                text_format(words(reader), "%.*s and %.*s do not go together",
                            TEXT_ARG(say_type(reader, first)),
                            TEXT_ARG(say_type(reader, at->operands[i]->type))),
                TEXT("two quantities of one dimension"));
        }
    }
    return true;
}

static bool are_exact(const struct expression *at)
{
    bool is_exact = true;
    for (uint32_t i = 0; i < at->count; i++) {
        is_exact = is_exact && at->operands[i]->type.is_exact;
    }
    return is_exact;
}

/* A dimension is held in small whole numbers: far beyond what any quantity has, powers
 * are refused before they could overflow. */
static bool dimension_fits(struct dimension dim)
{
    enum {
        HIGHEST_POWER = 24
    };
    bool fits = true;
    for (int i = 0; i < BASE_COUNT; i++) {
        fits = fits && dim.power[i] >= -HIGHEST_POWER && dim.power[i] <= HIGHEST_POWER;
    }
    return fits;
}

static bool expect_dimension(struct formula_reader *reader, const struct expression *at)
{
    return dimension_fits(at->type.dim) ||
           complain(reader, at, CODE_FORMULA_TYPE,
                    TEXT("the unit of this has too high a power"),
                    TEXT("a quantity with a unit of common use"));
}

static bool check_sum(struct formula_reader *reader, struct expression *at)
{
    at->type = (struct type){TYPE_QUANTITY, are_exact(at), at->operands[0]->type.dim};
    return expect_alike(reader, at);
}

static bool check_product(struct formula_reader *reader, struct expression *at)
{
    const struct dimension a = at->operands[0]->type.dim;
    const struct dimension b = at->operands[1]->type.dim;
    at->type =
        (struct type){TYPE_QUANTITY, are_exact(at),
                      at->operation == OPERATION_MULTIPLY ? dimension_product(a, b)
                                                          : dimension_quotient(a, b)};
    return expect_quantities(reader, at) && expect_dimension(reader, at);
}

static bool check_power(struct formula_reader *reader, struct expression *at)
{
    const struct dimension base = at->operands[0]->type.dim;
    at->type = at->operands[0]->type;
    for (int i = 1; i < at->power && dimension_fits(at->type.dim); i++) {
        at->type.dim = dimension_product(at->type.dim, base);
    }
    return expect_quantities(reader, at) && expect_dimension(reader, at);
}

/* What to write instead of a = b, with a and b as they stand. */
static text without_equals(const struct formula_reader *reader,
                           const struct expression *at)
{
    const struct expression apart = {
        .operation = OPERATION_SUBTRACT, .operands = at->operands, .count = 2};
    return text_format(words(reader), "abs(%.*s) %s t",
                       TEXT_ARG(formula_write(words(reader), &apart)),
                       at->operation == OPERATION_EQUAL ? "<=" : ">");
}

static bool check_equality(struct formula_reader *reader, struct expression *at)
{
    const struct type a = at->operands[0]->type;
    const struct type b = at->operands[1]->type;
    at->type = (struct type){.kind = TYPE_TRUTH};
    if (a.kind == TYPE_WORD && b.kind == TYPE_WORD) {
        return true;
    }
    if (a.kind != TYPE_QUANTITY || b.kind != TYPE_QUANTITY) {
        return complain(reader, at, CODE_FORMULA_TYPE,
                        text_format(words(reader), "%.*s and %.*s cannot be compared",
                                    TEXT_ARG(say_type(reader, a)),
                                    TEXT_ARG(say_type(reader, b))),
                        TEXT("two words or two exact numbers"));
    }
    if (!expect_alike(reader, at)) {
        return false;
    }
    return are_exact(at) ||
           complain(reader, at, CODE_EQUALS_TOLERANCED,
                    TEXT("quantities with a tolerance are never surely equal"),
                    without_equals(reader, at));
}

static bool check_order(struct formula_reader *reader, struct expression *at)
{
    at->type = (struct type){.kind = TYPE_TRUTH};
    if (at->operands[0]->type.kind == TYPE_WORD &&
        at->operands[1]->type.kind == TYPE_WORD) {
        return complain(reader, at, CODE_FORMULA_TYPE, TEXT("words have no order"),
                        TEXT("= or != between two words"));
    }
    return expect_alike(reader, at);
}

static bool check_logic(struct formula_reader *reader, struct expression *at)
{
    bool is_right = true;
    at->type = (struct type){.kind = TYPE_TRUTH};
    for (uint32_t i = 0; i < at->count; i++) {
        is_right = expect_kind(reader, at->operands[i], TYPE_TRUTH) && is_right;
    }
    return is_right;
}

/* ---- functions */

/* How a function is called: "covered(unit, seal, from, to)". */
static text call_form(const struct formula_reader *reader, const struct expression *at)
{
    if (at->operation == OPERATION_BUILTIN && at->builtin == BUILTIN_MATCHES) {
        return TEXT("matches($word, \"pattern\")");
    }
    if (at->operation == OPERATION_BUILTIN) {
        const bool is_choice = at->builtin == BUILTIN_MIN || at->builtin == BUILTIN_MAX;
        return text_format(words(reader), "%s(%s)", builtin_names[at->builtin],
                           is_choice ? "a, b, …" : "x");
    }
    text form = text_format(words(reader), "%s(", at->function->name);
    for (uint32_t i = 0; i < at->function->argument_count; i++) {
        form = text_format(words(reader), "%.*s%s%s", TEXT_ARG(form), i > 0 ? ", " : "",
                           at->function->arguments[i].name);
    }
    return text_format(words(reader), "%.*s)", TEXT_ARG(form));
}

static bool expect_count(struct formula_reader *reader, const struct expression *at,
                         uint32_t wanted)
{
    return at->count == wanted ||
           complain(reader, at, CODE_FORMULA_TYPE,
                    text_format(words(reader),
                                "this function takes %u argument%s, not %u", wanted,
                                wanted == 1 ? "" : "s", at->count),
                    call_form(reader, at));
}

static bool check_choice(struct formula_reader *reader, struct expression *at)
{
    if (at->count == 0) {
        return complain(reader, at, CODE_FORMULA_TYPE,
                        TEXT("this function takes at least 1 argument"),
                        call_form(reader, at));
    }
    return check_sum(reader, at);
}

static bool check_root(struct formula_reader *reader, struct expression *at)
{
    const struct expression *of = at->operands[0];
    return dimension_root(of->type.dim, &at->type.dim) ||
           complain(reader, of, CODE_FORMULA_TYPE,
                    text_format(words(reader), "%.*s has no square root",
                                TEXT_ARG(say_type(reader, of->type))),
                    TEXT("an area, or a plain number"));
}

static bool check_angle(struct formula_reader *reader, struct expression *at)
{
    const struct expression *of = at->operands[0];
    struct dimension angle;
    at->type.dim = DIMENSION_RATIO;
    return (dimension_find(TEXT("angle"), &angle) &&
            dimension_equal(of->type.dim, angle)) ||
           complain(reader, of, CODE_FORMULA_TYPE,
                    text_format(words(reader), "this is %.*s",
                                TEXT_ARG(say_type(reader, of->type))),
                    TEXT("an angle such as 30 deg"));
}

/* One letter of a pattern; the closing quote where the pattern is empty. */
static span pattern_span(const struct formula_reader *reader, text pattern, size_t at)
{
    const size_t start = (size_t)(pattern.at - reader->text.at);
    const size_t letter = at < pattern.length ? text_utf8_length(pattern, at) : 0;
    return formula_span(reader, start + at, start + at + (letter > 0 ? letter : 1));
}

static bool read_pattern(struct formula_reader *reader, struct expression *at)
{
    const text pattern = at->operands[1]->written;
    struct pattern_fault fault = {0};
    if (pattern_read(reader->arena, pattern, &fault, &at->pattern) != STATUS_INVALID) {
        return true; /* or out of memory, which the arena remembers */
    }
    diagnostics_add(reader->diagnostics, CODE_PATTERN_WRONG,
                    pattern_span(reader, pattern, fault.at), text_of(fault.message))
        ->expected = text_of(fault.expected);
    reader->is_wrong = true;
    return false;
}

/* matches(word, "pattern"): the pattern stands there, so that it is read once. */
static bool check_matches(struct formula_reader *reader, struct expression *at)
{
    at->type = (struct type){.kind = TYPE_TRUTH};
    if (!expect_count(reader, at, 2) ||
        !expect_kind(reader, at->operands[0], TYPE_WORD)) {
        return false;
    }
    const struct expression *pattern = at->operands[1];
    if (pattern->operation != OPERATION_LITERAL || pattern->type.kind != TYPE_WORD) {
        return complain(reader, pattern, CODE_FORMULA_TYPE,
                        TEXT("a pattern is written out where it is used"),
                        TEXT("\"pattern\" in double quotes"));
    }
    return read_pattern(reader, at);
}

static bool check_builtin(struct formula_reader *reader, struct expression *at)
{
    if (at->builtin == BUILTIN_MIN || at->builtin == BUILTIN_MAX) {
        return check_choice(reader, at);
    }
    if (at->builtin == BUILTIN_MATCHES) {
        return check_matches(reader, at);
    }
    if (!expect_count(reader, at, 1) || !expect_quantities(reader, at)) {
        return false;
    }
    at->type = at->operands[0]->type;
    switch (at->builtin) {
    case BUILTIN_LEAST:
    case BUILTIN_GREATEST:
    case BUILTIN_NOMINAL:
        at->type.is_exact = true;
        return true;
    case BUILTIN_SQRT:
        return check_root(reader, at);
    case BUILTIN_SIN:
    case BUILTIN_COS:
    case BUILTIN_TAN:
        return check_angle(reader, at);
    case BUILTIN_ABS:
    case BUILTIN_MATCHES:
    case BUILTIN_MIN:
    case BUILTIN_MAX:
    case BUILTIN_COUNT:
        break;
    }
    return true;
}

/* The dimension that a function's argument or result is due. `any` is what the first
 * "any" got, NULL when none was yet; false: whatever is given will do. */
static bool dimension_due(const struct argument *of, const struct dimension *any,
                          struct dimension *out)
{
    const text word = text_of(of->dimension);
    if (text_is(word, "any") || text_is(word, "same")) {
        *out = any == NULL ? DIMENSION_RATIO : *any;
        return any != NULL && text_is(word, "same");
    }
    return dimension_find(word, out);
}

static bool check_argument(struct formula_reader *reader, const struct expression *given,
                           const struct argument *wanted, const struct dimension *any)
{
    struct dimension due;
    if (wanted->kind == ARGUMENT_WORD) {
        return expect_kind(reader, given, TYPE_WORD);
    }
    if (!expect_kind(reader, given, TYPE_QUANTITY)) {
        return false;
    }
    if (!dimension_due(wanted, any, &due) || dimension_equal(due, given->type.dim)) {
        return true;
    }
    return complain(reader, given, CODE_FORMULA_TYPE,
                    text_format(words(reader), "%s is %.*s here", wanted->name,
                                TEXT_ARG(say_type(reader, given->type))),
                    say_type(reader, (struct type){.kind = TYPE_QUANTITY, .dim = due}));
}

static bool check_call(struct formula_reader *reader, struct expression *at)
{
    const struct function_entry *function = at->function;
    const struct dimension *any = NULL;
    bool is_right = true;
    if (!expect_count(reader, at, function->argument_count)) {
        return false;
    }
    for (uint32_t i = 0; i < at->count; i++) {
        const struct argument *wanted = &function->arguments[i];
        const struct expression *given = at->operands[i];
        is_right = check_argument(reader, given, wanted, any) && is_right;
        if (any == NULL && wanted->kind == ARGUMENT_QUANTITY &&
            text_is(text_of(wanted->dimension), "any")) {
            any = &given->type.dim;
        }
    }
    if (function->result.kind == ARGUMENT_WORD) {
        at->type = (struct type){.kind = TYPE_WORD};
    } else {
        at->type = (struct type){.kind = TYPE_QUANTITY};
        (void)dimension_due(&function->result, any, &at->type.dim);
    }
    return is_right;
}

/* false: something here or below is wrong, and was reported. */
static bool check(struct formula_reader *reader, struct expression *at)
{
    bool is_right = true;
    for (uint32_t i = 0; i < at->count; i++) {
        is_right = check(reader, at->operands[i]) && is_right;
    }
    if (!is_right) {
        return false;
    }
    switch (at->operation) {
    case OPERATION_FAULT:
        return false;
    case OPERATION_LITERAL:
        return true;
    case OPERATION_VARIABLE:
        at->type = reader->scope->variables[at->variable].type;
        return true;
    case OPERATION_MINUS:
        at->type = at->operands[0]->type;
        return expect_quantities(reader, at);
    case OPERATION_ADD:
    case OPERATION_SUBTRACT:
        return check_sum(reader, at);
    case OPERATION_MULTIPLY:
    case OPERATION_DIVIDE:
        return check_product(reader, at);
    case OPERATION_POWER:
        return check_power(reader, at);
    case OPERATION_EQUAL:
    case OPERATION_UNEQUAL:
        return check_equality(reader, at);
    case OPERATION_LESS:
    case OPERATION_LESS_EQUAL:
    case OPERATION_GREATER:
    case OPERATION_GREATER_EQUAL:
        return check_order(reader, at);
    case OPERATION_NOT:
    case OPERATION_AND:
    case OPERATION_OR:
        return check_logic(reader, at);
    case OPERATION_BUILTIN:
        return check_builtin(reader, at);
    case OPERATION_CALL:
        return check_call(reader, at);
    }
    return false;
}

void formula_check(struct formula_reader *reader, struct expression *root)
{
    if (!check(reader, root)) {
        reader->is_wrong = true;
    }
}
