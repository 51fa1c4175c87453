/* SPDX-License-Identifier: MIT */
/*
 * The cursor over a formula's bytes. There is no list of tokens: what a stretch means
 * hangs on what is due (after a value `-` subtracts, before one it is a sign), so the
 * parser asks for what may stand here and the cursor moves only when it does.
 */
#include "formula_lex.h"

#include "limits.h"

/* Longer symbols first, so that <= is not read as <; of two spellings the first is
 * written. */
static const struct operator_word operators[] = {
    {"or", OPERATION_OR, LEVEL_OR, true},
    {"and", OPERATION_AND, LEVEL_AND, true},
    {"<=", OPERATION_LESS_EQUAL, LEVEL_COMPARE, false},
    {">=", OPERATION_GREATER_EQUAL, LEVEL_COMPARE, false},
    {"!=", OPERATION_UNEQUAL, LEVEL_COMPARE, false},
    {"<", OPERATION_LESS, LEVEL_COMPARE, false},
    {">", OPERATION_GREATER, LEVEL_COMPARE, false},
    {"=", OPERATION_EQUAL, LEVEL_COMPARE, false},
    {"+", OPERATION_ADD, LEVEL_SUM, false},
    {"-", OPERATION_SUBTRACT, LEVEL_SUM, false},
    {"−", OPERATION_SUBTRACT, LEVEL_SUM, false},
    {"*", OPERATION_MULTIPLY, LEVEL_PRODUCT, false},
    {"/", OPERATION_DIVIDE, LEVEL_PRODUCT, false},
};

enum {
    OPERATOR_COUNT = sizeof operators / sizeof *operators
};

const struct operator_word *formula_take_operator(struct parser *parser, enum level level)
{
    for (int i = 0; i < OPERATOR_COUNT; i++) {
        const struct operator_word *one = &operators[i];
        if (one->level == level &&
            (one->is_word ? formula_take_word(parser, one->symbol)
                          : formula_take_symbol(parser, one->symbol))) {
            return one;
        }
    }
    return NULL;
}

const struct operator_word *formula_operator(enum operation operation)
{
    for (int i = 0; i < OPERATOR_COUNT; i++) {
        if (operators[i].operation == operation) {
            return &operators[i];
        }
    }
    return NULL;
}

span formula_span(const struct formula_reader *reader, size_t from, size_t end)
{
    return (span){reader->where.source, reader->where.at + (uint32_t)from,
                  (uint32_t)(end > from ? end - from : 0)};
}

text formula_rest(const struct parser *parser)
{
    return text_slice(parser->reader->text, parser->at, parser->reader->text.length);
}

void formula_skip_blanks(struct parser *parser)
{
    const text all = parser->reader->text;
    while (parser->at < all.length &&
           (is_blank(all.at[parser->at]) || all.at[parser->at] == '\n')) {
        parser->at++;
    }
}

/* Letters, digits and _; a hyphen belongs to a name only before a letter, so that `$a-$b`
 * and `$a-1` subtract. */
size_t formula_name_length(text a)
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

bool formula_take_symbol(struct parser *parser, const char *symbol)
{
    const size_t start = parser->at;
    formula_skip_blanks(parser);
    if (!text_starts(formula_rest(parser), text_of(symbol))) {
        parser->at = start;
        return false;
    }
    parser->at += text_of(symbol).length;
    return true;
}

bool formula_take_word(struct parser *parser, const char *word)
{
    const size_t start = parser->at;
    formula_skip_blanks(parser);
    const text rest = formula_rest(parser);
    if (!text_equal(text_slice(rest, 0, formula_name_length(rest)), text_of(word))) {
        parser->at = start;
        return false;
    }
    parser->at += text_of(word).length;
    return true;
}

struct expression *formula_fail(struct parser *parser, enum diagnostic_code code,
                                text message, text expected)
{
    struct formula_reader *reader = parser->reader;
    formula_skip_blanks(parser);
    if (!parser->is_broken && arena_status(reader->arena) == STATUS_OK) {
        diagnostics_add(reader->diagnostics, code,
                        formula_span(reader, parser->at, parser->at + 1), message)
            ->expected = expected;
    }
    parser->is_broken = true;
    reader->is_wrong = true;
    return NULL;
}

bool formula_enter(struct parser *parser)
{
    if (parser->depth >= LIMIT_FORMULA_DEPTH) {
        formula_fail(parser, CODE_FORMULA_LIMIT, TEXT("this formula is nested too deep"),
                     text_format(diagnostics_arena(parser->reader->diagnostics),
                                 "at most %u levels", LIMIT_FORMULA_DEPTH));
        return false;
    }
    parser->depth++;
    return true;
}
