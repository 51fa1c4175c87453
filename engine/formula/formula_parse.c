/* SPDX-License-Identifier: MIT */
/*
 * Text → tree, by precedence: or, and, not, comparison, sum, product, sign, power. Each
 * level of nesting counts against a limit, so no text can exhaust the stack. A name or
 * number that nobody understands becomes a fault in the tree and reading goes on, so that
 * all of them are reported; where the grammar is left, reading ends.
 */
#include "formula_lex.h"

#include "array.h"
#include "limits.h"
#include "number_text.h"

const char *const builtin_names[BUILTIN_COUNT] = {
    "abs", "cos",     "greatest", "least", "matches", "max",
    "min", "nominal", "sin",      "sqrt",  "tan"};

static struct expression *parse_level(struct parser *parser, enum level level);

static struct expression *fail(struct parser *parser, const char *message,
                               const char *expected)
{
    return formula_fail(parser, CODE_FORMULA_SYNTAX, text_of(message), text_of(expected));
}

static struct expression *new_expression(struct parser *parser, enum operation operation,
                                         size_t from)
{
    struct expression *made = ARENA_NEW(parser->reader->arena, struct expression);
    if (made != NULL) {
        made->operation = operation;
        made->where = formula_span(parser->reader, from, parser->at);
    }
    return made;
}

/* A node over one operand or two (b may be NULL) that starts at `from` and ends here. */
static struct expression *join(struct parser *parser, enum operation operation,
                               size_t from, struct expression *a, struct expression *b)
{
    struct expression *made = new_expression(parser, operation, from);
    struct expression **operands =
        ARENA_MANY(parser->reader->arena, 2, struct expression *);
    if (made == NULL || operands == NULL || a == NULL) {
        return NULL;
    }
    operands[0] = a;
    operands[1] = b;
    made->operands = operands;
    made->count = b == NULL ? 1 : 2;
    return made;
}

/* A whole formula inside brackets, bars or an argument. */
static struct expression *parse_nested(struct parser *parser)
{
    if (!formula_enter(parser)) {
        return NULL;
    }
    struct expression *inside = parse_level(parser, LEVEL_OR);
    parser->depth--;
    return inside;
}

static struct expression *parse_quoted(struct parser *parser)
{
    const size_t from = parser->at;
    const size_t end = text_find(parser->reader->text, '"', from + 1);
    if (end >= parser->reader->text.length) {
        return fail(parser, "this quoted word has no end", "\"word\"");
    }
    parser->at = end + 1;
    struct expression *made = new_expression(parser, OPERATION_LITERAL, from);
    if (made != NULL) {
        const text word = text_slice(parser->reader->text, from + 1, end);
        made->written = word;
        made->type = (struct type){.kind = TYPE_WORD, .is_exact = true};
        made->literal = value_word(names_add(parser->reader->scope->names, word));
    }
    return made;
}

static void offer_variables(const struct scope *scope, struct nearest *near)
{
    for (uint32_t i = 0; near->wanted.length > 0 && i < scope->count; i++) {
        if (scope->is_hidden == NULL || !scope->is_hidden[i]) {
            nearest_offer(near, scope->variables[i].name);
        }
    }
}

/* The slot of a variable that is hidden or is not; scope->count when there is none. */
static uint32_t find_among(const struct scope *scope, text name, bool hidden)
{
    uint32_t i = 0;
    while (i < scope->count &&
           (name.length == 0 || !text_equal(scope->variables[i].name, name) ||
            (scope->is_hidden != NULL && scope->is_hidden[i]) != hidden)) {
        i++;
    }
    return i;
}

static uint32_t find_variable(const struct scope *scope, text name)
{
    return find_among(scope, name, false);
}

static void report_loose(struct parser *parser, text name, span where)
{
    const struct scope *scope = parser->reader->scope;
    struct nearest near = nearest_to(name);
    struct diagnostic *report =
        diagnostics_report(parser->reader->diagnostics, CODE_FORMULA_NAME, where,
                           "no condition binds $%.*s", TEXT_ARG(name));
    offer_variables(scope, &near);
    if (find_among(scope, name, true) < scope->count) {
        report->expected =
            TEXT("a variable of `given`: this one stands for nothing outside "
                 "its denial or aggregate");
    } else {
        report->nearest = near.best;
    }
}

/* A variable whose name, with or without $, ends where the parser stands. */
static struct expression *variable_since(struct parser *parser, size_t from, text name)
{
    const struct scope *scope = parser->reader->scope;
    struct expression *made = new_expression(parser, OPERATION_VARIABLE, from);
    if (made == NULL) {
        return NULL;
    }
    made->variable = find_variable(scope, name);
    made->written = name;
    const bool is_known = made->variable < scope->count;
    if (!is_known) {
        report_loose(parser, name, made->where);
    }
    if (!is_known || (scope->is_at_fault != NULL && scope->is_at_fault[made->variable])) {
        made->operation = OPERATION_FAULT;
        parser->reader->is_wrong = true;
    }
    return made;
}

static struct expression *parse_variable(struct parser *parser)
{
    const size_t from = parser->at++;
    const size_t length = formula_name_length(formula_rest(parser));
    const text name = text_slice(formula_rest(parser), 0, length);
    parser->at += length;
    return variable_since(parser, from, name);
}

/* ---- names */

/* What a name calls; a fault when nobody knows it. */
static void find_function(const struct parser *parser, text name, struct expression *made)
{
    const struct function_table *table = parser->reader->scope->functions;
    made->operation = OPERATION_FAULT;
    for (int i = 0; i < BUILTIN_COUNT; i++) {
        if (text_is(name, builtin_names[i])) {
            made->operation = OPERATION_BUILTIN;
            made->builtin = (enum builtin)i;
        }
    }
    for (uint32_t i = 0; table != NULL && i < table->count; i++) {
        if (made->operation == OPERATION_FAULT &&
            text_is(name, table->entries[i]->name)) {
            made->operation = OPERATION_CALL;
            made->function = table->entries[i];
        }
    }
}

static text nearest_function(const struct parser *parser, text name)
{
    const struct scope *scope = parser->reader->scope;
    const struct function_table *table = scope->functions;
    struct nearest near = nearest_to(name);
    for (int i = 0; i < BUILTIN_COUNT; i++) {
        nearest_offer(&near, text_of(builtin_names[i]));
    }
    for (uint32_t i = 0; table != NULL && i < table->count; i++) {
        nearest_offer(&near, text_of(table->entries[i]->name));
    }
    if (scope->bare_variables) {
        offer_variables(scope, &near);
    }
    return near.best;
}

/* The variable whose $ was forgotten, with it; empty for none. */
static text forgotten_variable(const struct parser *parser, text name)
{
    const struct scope *scope = parser->reader->scope;
    return scope->bare_variables || find_variable(scope, name) == scope->count
               ? (text){"", 0}
               : text_format(diagnostics_arena(parser->reader->diagnostics), "$%.*s",
                             TEXT_ARG(name));
}

static void report_name(struct parser *parser, text name, const struct expression *at)
{
    const text variable = forgotten_variable(parser, name);
    const bool is_bare = parser->reader->scope->bare_variables;
    struct diagnostic *report = diagnostics_report(
        parser->reader->diagnostics, CODE_FORMULA_NAME, at->where,
        "there is no %sfunction \"%.*s\"", is_bare ? "variable or " : "", TEXT_ARG(name));
    report->expected =
        is_bare ? TEXT("a variable, a function, a number with its unit or a \"word\"")
                : TEXT("a function, a $variable, a number with its unit or a \"word\"");
    report->nearest = variable.length > 0 ? variable : nearest_function(parser, name);
    parser->reader->is_wrong = true;
}

static bool parse_list(struct parser *parser, struct expression *call)
{
    ARRAY_OF(struct expression *) operands = {0};
    if (!formula_take_symbol(parser, ")")) {
        do {
            struct expression *one = parse_nested(parser);
            if (one == NULL || !ARRAY_PUSH(parser->reader->arena, &operands, one)) {
                return false;
            }
        } while (formula_take_symbol(parser, ","));
        if (!formula_take_symbol(parser, ")")) {
            fail(parser, "this bracket is not closed", ")");
            return false;
        }
    }
    call->operands = operands.at;
    call->count = operands.count;
    return true;
}

static struct expression *parse_call(struct parser *parser, text name)
{
    const size_t from = parser->at;
    parser->at += name.length;
    struct expression *call = new_expression(parser, OPERATION_CALL, from);
    if (call == NULL) {
        return NULL;
    }
    find_function(parser, name, call);
    if (call->operation == OPERATION_FAULT) {
        report_name(parser, name, call);
    }
    if (!formula_take_symbol(parser, "(")) {
        return call->operation == OPERATION_FAULT
                   ? call
                   : fail(parser, "a function needs its arguments in brackets",
                          "NAME(…)");
    }
    parser->arguments++;
    const bool is_read = parse_list(parser, call);
    parser->arguments--;
    call->where = formula_span(parser->reader, from, parser->at);
    return is_read ? call : NULL;
}

static bool is_bare_variable(const struct parser *parser, text name)
{
    const struct scope *scope = parser->reader->scope;
    struct parser ahead = *parser;
    ahead.at += name.length;
    return scope->bare_variables && find_variable(scope, name) < scope->count &&
           !formula_take_symbol(&ahead, "(");
}

static struct expression *parse_name(struct parser *parser)
{
    const size_t from = parser->at;
    const text rest = formula_rest(parser);
    const text name = text_slice(rest, 0, formula_name_length(rest));
    if (text_is(name, "and") || text_is(name, "or")) {
        return fail(parser, "a value is missing before this",
                    "a number with its unit, a $variable or a function");
    }
    if (text_is(name, "not")) {
        return fail(parser, "`not` needs brackets here", "(not …)");
    }
    if (is_bare_variable(parser, name)) {
        parser->at += name.length;
        return variable_since(parser, from, name);
    }
    if (!text_is(name, "true") && !text_is(name, "false")) {
        return parse_call(parser, name);
    }
    parser->at += name.length;
    struct expression *flag = new_expression(parser, OPERATION_LITERAL, from);
    if (flag != NULL) {
        flag->written = name;
        flag->type = (struct type){.kind = TYPE_TRUTH, .is_exact = true};
        flag->literal = value_truth(text_is(name, "true") ? TRUTH_YES : TRUTH_NO,
                                    (struct doubt){NULL, 0});
    }
    return flag;
}

/* ---- from the tightest level to the loosest */

static struct expression *parse_bars(struct parser *parser)
{
    const size_t from = parser->at++;
    struct expression *inside = parse_nested(parser);
    if (inside != NULL && !formula_take_symbol(parser, "|")) {
        return fail(parser, "this bar is not closed", "|");
    }
    struct expression *made = join(parser, OPERATION_BUILTIN, from, inside, NULL);
    if (made != NULL) {
        made->builtin = BUILTIN_ABS;
    }
    return made;
}

static struct expression *parse_brackets(struct parser *parser)
{
    const size_t from = parser->at++;
    struct expression *inside = parse_nested(parser);
    if (inside != NULL && !formula_take_symbol(parser, ")")) {
        return fail(parser, "this bracket is not closed", ")");
    }
    if (inside != NULL) {
        inside->where = formula_span(parser->reader, from, parser->at);
    }
    return inside;
}

static struct expression *parse_atom(struct parser *parser)
{
    formula_skip_blanks(parser);
    const text rest = formula_rest(parser);
    if (rest.length == 0) {
        return fail(parser, "the formula ends too early",
                    "a number with its unit, a $variable or a function");
    }
    if (is_digit(rest.at[0])) {
        return formula_literal(parser);
    }
    switch (rest.at[0]) {
    case '"':
        return parse_quoted(parser);
    case '$':
        return parse_variable(parser);
    case '|':
        return parse_bars(parser);
    case '(':
        return parse_brackets(parser);
    default:
        return is_letter(rest.at[0])
                   ? parse_name(parser)
                   : fail(parser, "this could not be read",
                          "a number with its unit, a $variable or a function");
    }
}

static bool is_small_power(text rest)
{
    return rest.length > 0 && rest.at[0] >= '1' && rest.at[0] <= '8' &&
           (rest.length == 1 ||
            (!is_digit(rest.at[1]) && !is_letter(rest.at[1]) && rest.at[1] != '.'));
}

static struct expression *parse_power(struct parser *parser)
{
    formula_skip_blanks(parser);
    const size_t from = parser->at;
    const text start = formula_rest(parser);
    const bool is_number = start.length > 0 && is_digit(start.at[0]);
    struct expression *base = parse_atom(parser);
    if (base == NULL || !formula_take_symbol(parser, "^")) {
        return base;
    }
    if (is_number && base->operation == OPERATION_LITERAL &&
        (!base->type.is_exact || !dimension_equal(base->type.dim, DIMENSION_RATIO))) {
        parser->at--;
        return fail(parser, "this could be a power of the unit or of the whole",
                    "brackets: (18 mm)^2");
    }
    formula_skip_blanks(parser);
    const text rest = formula_rest(parser);
    if (!is_small_power(rest)) {
        return fail(parser, "this power cannot be taken", "a whole power from 1 to 8");
    }
    parser->at++;
    struct expression *made = join(parser, OPERATION_POWER, from, base, NULL);
    if (made != NULL) {
        made->power = rest.at[0] - '0';
    }
    return made;
}

static struct expression *parse_sign(struct parser *parser)
{
    formula_skip_blanks(parser);
    const size_t from = parser->at;
    if (!formula_take_symbol(parser, "-") && !formula_take_symbol(parser, "−")) {
        return parse_power(parser);
    }
    if (formula_literal_owns_sign(parser->reader, formula_rest(parser))) {
        parser->at = from;
        return formula_literal(parser);
    }
    if (!formula_enter(parser)) {
        return NULL;
    }
    struct expression *of = parse_sign(parser);
    parser->depth--;
    return of == NULL ? NULL : join(parser, OPERATION_MINUS, from, of, NULL);
}

static struct expression *parse_not(struct parser *parser)
{
    formula_skip_blanks(parser);
    const size_t from = parser->at;
    if (!formula_take_word(parser, "not")) {
        return parse_level(parser, LEVEL_COMPARE);
    }
    if (!formula_enter(parser)) {
        return NULL;
    }
    struct expression *of = parse_not(parser);
    parser->depth--;
    return of == NULL ? NULL : join(parser, OPERATION_NOT, from, of, NULL);
}

/* A number without unit or brackets, with or without a sign. */
static bool is_bare_number(const struct expression *at)
{
    while (at->operation == OPERATION_MINUS &&
           at->where.at + at->where.length ==
               at->operands[0]->where.at + at->operands[0]->where.length) {
        at = at->operands[0];
    }
    return at->operation == OPERATION_LITERAL && at->type.kind == TYPE_QUANTITY &&
           at->type.is_exact && dimension_equal(at->type.dim, DIMENSION_RATIO) &&
           at->where.length == at->written.length;
}

/* Whether the operator that was just taken, and what follows it, is commonly read in two
 * ways: 3/8 in is a size of its own, and -0.05..0.05 mm a number with its sign. Neither
 * is guessed. */
static bool has_two_readings(const struct parser *parser,
                             const struct operator_word *taken,
                             const struct expression *before)
{
    struct parser ahead = *parser;
    const size_t at = parser->at - text_of(taken->symbol).length;
    if (taken->operation == OPERATION_SUBTRACT) {
        return is_blank(parser->reader->text.at[at - 1]) &&
               formula_literal_owns_sign(parser->reader, formula_rest(parser));
    }
    if (taken->operation != OPERATION_DIVIDE || !is_bare_number(before)) {
        return false;
    }
    formula_skip_blanks(&ahead);
    const text number = formula_rest(&ahead);
    return stated_literal_length(number, parser->reader->scope->decimal_comma) >
           number_length(number);
}

/* Everything that binds at least as tightly as `level`. */
static struct expression *parse_level(struct parser *parser, enum level level)
{
    if (level == LEVEL_SIGN) {
        return parse_sign(parser);
    }
    if (level == LEVEL_NOT) {
        return parse_not(parser);
    }
    formula_skip_blanks(parser);
    const size_t from = parser->at;
    struct expression *left = parse_level(parser, level + 1);
    struct expression *right = left;
    bool is_compared = false;
    while (left != NULL) {
        const struct operator_word *found = formula_take_operator(parser, level);
        if (found == NULL) {
            break;
        }
        if (is_compared) {
            return fail(parser, "comparisons do not chain", "a < b and b < c");
        }
        if (has_two_readings(parser, found, right)) {
            return fail(parser, "this can be read in two ways",
                        "brackets: (3/8) * 1 in, 3 / (8 in), a - (0.1..0.2 mm)");
        }
        right = parse_level(parser, level + 1);
        left = right == NULL ? NULL : join(parser, found->operation, from, left, right);
        is_compared = level == LEVEL_COMPARE;
    }
    return left;
}

struct expression *formula_parse(struct formula_reader *reader)
{
    struct parser parser = {.reader = reader};
    if (reader->text.length > LIMIT_FORMULA_BYTES) {
        return formula_fail(&parser, CODE_FORMULA_LIMIT, TEXT("this formula is too long"),
                            text_format(diagnostics_arena(reader->diagnostics),
                                        "at most %u bytes", LIMIT_FORMULA_BYTES));
    }
    struct expression *root = parse_level(&parser, LEVEL_OR);
    formula_skip_blanks(&parser);
    if (root != NULL && parser.at < reader->text.length) {
        return fail(&parser, "this stands where the formula should end",
                    "an operator between two values");
    }
    return root;
}
