/* SPDX-License-Identifier: MIT */
/*
 * Text → tree, by precedence: or, and, not, comparison, sum, product, sign, power. Each
 * level of nesting counts against a limit, so no text can exhaust the stack.
 */
#include "formula_tree.h"

#include "array.h"
#include "limits.h"

const char *const builtin_names[BUILTIN_COUNT] = {
    "abs", "cos", "greatest", "least", "max", "min", "nominal", "sin", "sqrt", "tan"};

struct parser {
    struct formula_reader *reader;
    size_t at;
    uint32_t depth;
};

static struct expression *parse_level(struct parser *parser, int level);

span formula_span(const struct formula_reader *reader, size_t from, size_t end)
{
    return (span){reader->where.source, reader->where.at + (uint32_t)from,
                  (uint32_t)(end > from ? end - from : 0)};
}

static text rest_of(const struct parser *parser)
{
    return text_slice(parser->reader->text, parser->at, parser->reader->text.length);
}

static void skip_blanks(struct parser *parser)
{
    const text all = parser->reader->text;
    while (parser->at < all.length &&
           (is_blank(all.at[parser->at]) || all.at[parser->at] == '\n')) {
        parser->at++;
    }
}

static struct expression *fail(struct parser *parser, enum diagnostic_code code,
                               const char *message, const char *expected)
{
    struct formula_reader *reader = parser->reader;
    if (!reader->is_wrong) {
        diagnostics_report(reader->diagnostics, code,
                           formula_span(reader, parser->at, parser->at + 1), "%s",
                           message)
            ->expected = text_of(expected);
    }
    reader->is_wrong = true;
    return NULL;
}

/* Letters, digits and _; a hyphen belongs to a name only before a letter, so that `$a-$b`
 * and
 * `$a-1` subtract. */
static size_t name_length(text a)
{
    size_t at = 0;
    while (at < a.length) {
        const bool is_hyphen =
            a.at[at] == '-' && at > 0 && at + 1 < a.length && is_letter(a.at[at + 1]);
        if (!is_letter(a.at[at]) && !is_digit(a.at[at]) && a.at[at] != '_' &&
            !is_hyphen) {
            break;
        }
        at++;
    }
    return at;
}

static bool take_symbol(struct parser *parser, const char *symbol)
{
    skip_blanks(parser);
    if (!text_starts(rest_of(parser), text_of(symbol))) {
        return false;
    }
    parser->at += text_of(symbol).length;
    return true;
}

static bool take_word(struct parser *parser, const char *word)
{
    skip_blanks(parser);
    const text rest = rest_of(parser);
    if (!text_equal(text_slice(rest, 0, name_length(rest)), text_of(word))) {
        return false;
    }
    parser->at += text_of(word).length;
    return true;
}

static struct expression *new_expression(struct parser *parser, enum operation operation,
                                         size_t from)
{
    struct expression *made = ARENA_NEW(parser->reader->arena, struct expression);
    if (made == NULL) {
        parser->reader->is_wrong = true;
        return NULL;
    }
    made->operation = operation;
    made->where = formula_span(parser->reader, from, parser->at);
    return made;
}

static struct expression *join(struct parser *parser, enum operation operation,
                               struct expression *a, struct expression *b)
{
    struct expression *made = new_expression(parser, operation, 0);
    struct expression **operands =
        ARENA_MANY(parser->reader->arena, 2, struct expression *);
    if (made == NULL || operands == NULL || a == NULL) {
        return NULL;
    }
    operands[0] = a;
    operands[1] = b;
    made->operands = operands;
    made->count = b == NULL ? 1 : 2;
    made->where = a->where;
    if (b != NULL) {
        made->where.length = b->where.at + b->where.length - a->where.at;
    }
    return made;
}

static struct expression *parse_literal(struct parser *parser, size_t length)
{
    const size_t from = parser->at;
    parser->at += length;
    struct expression *made = new_expression(parser, OPERATION_LITERAL, from);
    if (made != NULL) {
        made->written = text_slice(parser->reader->text, from, parser->at);
    }
    return made;
}

static struct expression *parse_quoted(struct parser *parser)
{
    const size_t from = parser->at;
    const size_t end = text_find(parser->reader->text, '"', from + 1);
    if (end >= parser->reader->text.length) {
        return fail(parser, CODE_FORMULA_SYNTAX, "this quoted word has no end",
                    "\"word\"");
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

static struct expression *parse_variable(struct parser *parser)
{
    const size_t from = parser->at++;
    const struct scope *scope = parser->reader->scope;
    const size_t length = name_length(rest_of(parser));
    const text name = text_slice(rest_of(parser), 0, length);
    parser->at += length;
    struct expression *made = new_expression(parser, OPERATION_VARIABLE, from);
    struct nearest near = nearest_to(name);
    for (uint32_t i = 0; i < scope->count; i++) {
        if (text_equal(scope->variables[i].name, name)) {
            if (made != NULL) {
                made->variable = i;
            }
            return made;
        }
        nearest_offer(&near, scope->variables[i].name);
    }
    struct diagnostic *report =
        diagnostics_report(parser->reader->diagnostics, CODE_FORMULA_NAME,
                           formula_span(parser->reader, from, parser->at),
                           "no condition binds $%.*s", TEXT_ARG(name));
    report->nearest = near.best;
    parser->reader->is_wrong = true;
    return NULL;
}

static bool find_function(struct parser *parser, text name, struct expression *made)
{
    const struct function_table *table = parser->reader->scope->functions;
    for (int i = 0; i < BUILTIN_COUNT; i++) {
        if (text_is(name, builtin_names[i])) {
            made->operation = OPERATION_BUILTIN;
            made->builtin = (enum builtin)i;
            return true;
        }
    }
    for (uint32_t i = 0; table != NULL && i < table->count; i++) {
        if (text_is(name, table->entries[i]->name)) {
            made->function = table->entries[i];
            return true;
        }
    }
    return false;
}

static void report_function(struct parser *parser, text name, size_t from)
{
    const struct function_table *table = parser->reader->scope->functions;
    struct nearest near = nearest_to(name);
    for (int i = 0; i < BUILTIN_COUNT; i++) {
        nearest_offer(&near, text_of(builtin_names[i]));
    }
    for (uint32_t i = 0; table != NULL && i < table->count; i++) {
        nearest_offer(&near, text_of(table->entries[i]->name));
    }
    struct diagnostic *report =
        diagnostics_report(parser->reader->diagnostics, CODE_FORMULA_NAME,
                           formula_span(parser->reader, from, from + name.length),
                           "there is no function \"%.*s\"", TEXT_ARG(name));
    report->expected =
        TEXT("a function, a $variable, a number with its unit or a \"word\"");
    report->nearest = near.best;
    parser->reader->is_wrong = true;
}

static bool parse_arguments(struct parser *parser, struct expression *call)
{
    ARRAY_OF(struct expression *) operands = {0};
    if (!take_symbol(parser, "(")) {
        fail(parser, CODE_FORMULA_SYNTAX, "a function needs its arguments in brackets",
             "NAME(…)");
        return false;
    }
    if (!take_symbol(parser, ")")) {
        do {
            struct expression *one = parse_level(parser, 0);
            if (one == NULL || !ARRAY_PUSH(parser->reader->arena, &operands, one)) {
                return false;
            }
        } while (take_symbol(parser, ","));
        if (!take_symbol(parser, ")")) {
            fail(parser, CODE_FORMULA_SYNTAX, "this bracket is not closed", ")");
            return false;
        }
    }
    call->operands = operands.at;
    call->count = operands.count;
    return true;
}

static struct expression *parse_name(struct parser *parser)
{
    const size_t from = parser->at;
    const text name = text_slice(rest_of(parser), 0, name_length(rest_of(parser)));
    if (text_is(name, "true") || text_is(name, "false")) {
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
    parser->at += name.length;
    struct expression *call = new_expression(parser, OPERATION_CALL, from);
    if (call == NULL) {
        return NULL;
    }
    if (!find_function(parser, name, call)) {
        report_function(parser, name, from);
        return NULL;
    }
    if (!parse_arguments(parser, call)) {
        return NULL;
    }
    call->where = formula_span(parser->reader, from, parser->at);
    return call;
}

static struct expression *parse_bars(struct parser *parser)
{
    const size_t from = parser->at++;
    struct expression *inside = parse_level(parser, 0);
    if (inside == NULL) {
        return NULL;
    }
    if (!take_symbol(parser, "|")) {
        return fail(parser, CODE_FORMULA_SYNTAX, "this bar is not closed", "|");
    }
    struct expression *made = join(parser, OPERATION_BUILTIN, inside, NULL);
    if (made != NULL) {
        made->builtin = BUILTIN_ABS;
        made->where = formula_span(parser->reader, from, parser->at);
    }
    return made;
}

static struct expression *parse_atom(struct parser *parser)
{
    skip_blanks(parser);
    const text rest = rest_of(parser);
    const size_t literal =
        stated_literal_length(rest, parser->reader->scope->decimal_comma);
    if (rest.length == 0) {
        return fail(parser, CODE_FORMULA_SYNTAX, "the formula ends too early",
                    "a number with its unit, a $variable or a function");
    }
    if (literal > 0) {
        return parse_literal(parser, literal);
    }
    if (rest.at[0] == '"') {
        return parse_quoted(parser);
    }
    if (rest.at[0] == '$') {
        return parse_variable(parser);
    }
    if (rest.at[0] == '|') {
        return parse_bars(parser);
    }
    if (is_letter(rest.at[0])) {
        return parse_name(parser);
    }
    if (!take_symbol(parser, "(")) {
        return fail(parser, CODE_FORMULA_SYNTAX, "this could not be read",
                    "a number with its unit, a $variable or a function");
    }
    struct expression *inside = parse_level(parser, 0);
    if (inside != NULL && !take_symbol(parser, ")")) {
        return fail(parser, CODE_FORMULA_SYNTAX, "this bracket is not closed", ")");
    }
    return inside;
}

static struct expression *parse_power(struct parser *parser)
{
    struct expression *base = parse_atom(parser);
    if (base == NULL || !take_symbol(parser, "^")) {
        return base;
    }
    skip_blanks(parser);
    const text rest = rest_of(parser);
    const bool is_digit_alone = rest.length > 0 && rest.at[0] >= '1' &&
                                rest.at[0] <= '8' &&
                                (rest.length == 1 || !is_digit(rest.at[1]));
    if (!is_digit_alone) {
        return fail(parser, CODE_FORMULA_SYNTAX, "this power cannot be taken",
                    "a whole power from 1 to 8");
    }
    parser->at++;
    struct expression *made = join(parser, OPERATION_POWER, base, NULL);
    if (made != NULL) {
        made->power = rest.at[0] - '0';
        made->where.length += 2;
    }
    return made;
}

static struct expression *parse_sign(struct parser *parser)
{
    skip_blanks(parser);
    const size_t from = parser->at;
    if (!take_symbol(parser, "-") && !take_symbol(parser, "−")) {
        return parse_power(parser);
    }
    if (++parser->depth > LIMIT_FORMULA_DEPTH) {
        return fail(parser, CODE_FORMULA_LIMIT, "this formula is nested too deep",
                    "at most 64 levels");
    }
    struct expression *made = join(parser, OPERATION_MINUS, parse_sign(parser), NULL);
    parser->depth--;
    if (made != NULL) {
        made->where = formula_span(parser->reader, from, parser->at);
    }
    return made;
}

struct operator_word {
    const char *symbol;
    enum operation operation;
    int level;
    bool is_word;
};

/* Longer symbols first, so that <= is not read as <. */
static const struct operator_word operators[] = {
    {"or", OPERATION_OR, 0, true},          {"and", OPERATION_AND, 1, true},
    {"<=", OPERATION_LESS_EQUAL, 3, false}, {">=", OPERATION_GREATER_EQUAL, 3, false},
    {"!=", OPERATION_UNEQUAL, 3, false},    {"<", OPERATION_LESS, 3, false},
    {">", OPERATION_GREATER, 3, false},     {"=", OPERATION_EQUAL, 3, false},
    {"+", OPERATION_ADD, 4, false},         {"-", OPERATION_SUBTRACT, 4, false},
    {"−", OPERATION_SUBTRACT, 4, false},    {"*", OPERATION_MULTIPLY, 5, false},
    {"/", OPERATION_DIVIDE, 5, false},
};

enum {
    LEVEL_NOT = 2,
    LEVEL_COMPARE = 3,
    LEVEL_SIGN = 6
};

static const struct operator_word *take_operator(struct parser *parser, int level)
{
    for (size_t i = 0; i < sizeof operators / sizeof *operators; i++) {
        const struct operator_word *one = &operators[i];
        if (one->level == level && (one->is_word ? take_word(parser, one->symbol)
                                                 : take_symbol(parser, one->symbol))) {
            return one;
        }
    }
    return NULL;
}

static struct expression *parse_not(struct parser *parser)
{
    skip_blanks(parser);
    const size_t from = parser->at;
    if (!take_word(parser, "not")) {
        return parse_level(parser, LEVEL_NOT + 1);
    }
    struct expression *made =
        join(parser, OPERATION_NOT, parse_level(parser, LEVEL_NOT), NULL);
    if (made != NULL) {
        made->where = formula_span(parser->reader, from, parser->at);
    }
    return made;
}

/* Everything that binds at least as tightly as `level`. */
static struct expression *parse_level(struct parser *parser, int level)
{
    if (level == LEVEL_SIGN) {
        return parse_sign(parser);
    }
    if (parser->depth >= LIMIT_FORMULA_DEPTH) {
        return fail(parser, CODE_FORMULA_LIMIT, "this formula is nested too deep",
                    "at most 64 levels");
    }
    parser->depth += level == 0 || level == LEVEL_NOT ? 1 : 0;
    struct expression *left =
        level == LEVEL_NOT ? parse_not(parser) : parse_level(parser, level + 1);
    bool is_compared = false;
    while (left != NULL && level != LEVEL_NOT) {
        const struct operator_word *found = take_operator(parser, level);
        if (found == NULL) {
            break;
        }
        if (is_compared) {
            return fail(parser, CODE_FORMULA_SYNTAX, "comparisons do not chain",
                        "a < b and b < c");
        }
        struct expression *right = parse_level(parser, level + 1);
        left = right == NULL ? NULL : join(parser, found->operation, left, right);
        is_compared = level == LEVEL_COMPARE;
    }
    parser->depth -= level == 0 || level == LEVEL_NOT ? 1 : 0;
    return left;
}

struct expression *formula_parse(struct formula_reader *reader)
{
    struct parser parser = {.reader = reader};
    if (reader->text.length > LIMIT_FORMULA_BYTES) {
        return fail(&parser, CODE_FORMULA_LIMIT, "this formula is too long",
                    "at most 2048 bytes");
    }
    struct expression *root = parse_level(&parser, 0);
    skip_blanks(&parser);
    if (root != NULL && parser.at < reader->text.length) {
        return fail(&parser, CODE_FORMULA_SYNTAX,
                    "this stands where the formula should end",
                    "an operator between two values");
    }
    return root;
}
