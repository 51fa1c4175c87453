/* SPDX-License-Identifier: MIT */
/*
 * A tree as text again. Brackets stand where an operand binds more loosely than its place
 * asks for, and nowhere else. Text is gathered in one growing buffer, so that a long
 * chain costs no more than it is long.
 */
#include "formula_lex.h"

#include "array.h"

struct writing {
    struct arena *arena;
    ARRAY_OF(char) out;
};

static void write_level(struct writing *writing, const struct expression *at,
                        enum level due);

static void put(struct writing *writing, text piece)
{
    for (size_t i = 0; i < piece.length; i++) {
        if (!ARRAY_PUSH(writing->arena, &writing->out, piece.at[i])) {
            return;
        }
    }
}

static void put_words(struct writing *writing, const char *words)
{
    put(writing, text_of(words));
}

static bool is_number(const struct expression *at)
{
    return at->operation == OPERATION_LITERAL && at->type.kind == TYPE_QUANTITY;
}

/* How tightly a tree binds as it is written. */
static enum level level_of(const struct expression *at)
{
    const struct operator_word *word = formula_operator(at->operation);
    if (word != NULL) {
        return word->level;
    }
    switch ((int)at->operation) {
    case OPERATION_NOT:
        return LEVEL_NOT;
    case OPERATION_MINUS:
        return LEVEL_SIGN;
    case OPERATION_POWER:
        return LEVEL_POWER;
    case OPERATION_LITERAL:
        if (!is_number(at)) {
            return LEVEL_ATOM;
        }
        if (!is_digit(at->written.at[0])) {
            return LEVEL_SIGN;
        }
        /* What has a unit or limits takes no power without brackets. */
        return at->type.is_exact && dimension_equal(at->type.dim, DIMENSION_RATIO)
                   ? LEVEL_ATOM
                   : LEVEL_POWER;
    default:
        return LEVEL_ATOM;
    }
}

/* What would be read in two ways: a number without unit over one with, as in 3/8 in. */
static bool is_fraction(const struct expression *at)
{
    const struct expression *over = at->operands[0];
    while (over->operation == OPERATION_MINUS || over->operation == OPERATION_MULTIPLY ||
           over->operation == OPERATION_DIVIDE) {
        over = over->operands[over->count - 1];
    }
    return at->operation == OPERATION_DIVIDE && is_number(over) &&
           level_of(over) == LEVEL_ATOM && is_number(at->operands[1]);
}

static void write_pair(struct writing *writing, const struct expression *at,
                       const struct operator_word *word)
{
    const bool is_compared = word->level == LEVEL_COMPARE;
    write_level(writing, at->operands[0], is_compared ? LEVEL_SUM : word->level);
    put_words(writing, " ");
    put_words(writing, word->symbol);
    put_words(writing, " ");
    write_level(writing, at->operands[1], is_fraction(at) ? LEVEL_ATOM : word->level + 1);
}

static void write_literal(struct writing *writing, const struct expression *at)
{
    const bool is_quoted = at->type.kind == TYPE_WORD;
    put_words(writing, is_quoted ? "\"" : "");
    put(writing, at->written);
    put_words(writing, is_quoted ? "\"" : "");
}

static void write_arguments(struct writing *writing, const struct expression *at)
{
    put_words(writing, "(");
    for (uint32_t i = 0; i < at->count; i++) {
        put_words(writing, i > 0 ? ", " : "");
        write_level(writing, at->operands[i], LEVEL_OR);
    }
    put_words(writing, ")");
}

static void write_bare(struct writing *writing, const struct expression *at)
{
    const struct operator_word *word = formula_operator(at->operation);
    if (word != NULL) {
        write_pair(writing, at, word);
        return;
    }
    switch ((int)at->operation) {
    case OPERATION_LITERAL:
        write_literal(writing, at);
        break;
    case OPERATION_VARIABLE:
        put_words(writing, "$");
        put(writing, at->written);
        break;
    case OPERATION_NOT:
        put_words(writing, "not ");
        write_level(writing, at->operands[0], LEVEL_NOT);
        break;
    case OPERATION_MINUS:
        /* A sign right before a number with limits would become its own. */
        put_words(writing, "-");
        write_level(writing, at->operands[0],
                    is_number(at->operands[0]) && !at->operands[0]->type.is_exact
                        ? LEVEL_ATOM + 1
                        : LEVEL_SIGN);
        break;
    case OPERATION_POWER:
        write_level(writing, at->operands[0], LEVEL_ATOM);
        put(writing, text_format(writing->arena, "^%d", at->power));
        break;
    default:
        put_words(writing, at->operation == OPERATION_BUILTIN ? builtin_names[at->builtin]
                                                              : at->function->name);
        write_arguments(writing, at);
    }
}

static void write_level(struct writing *writing, const struct expression *at,
                        enum level due)
{
    const bool is_bracketed = level_of(at) < due;
    put_words(writing, is_bracketed ? "(" : "");
    write_bare(writing, at);
    put_words(writing, is_bracketed ? ")" : "");
}

text formula_write(struct arena *arena, const struct expression *root)
{
    struct writing writing = {.arena = arena};
    write_level(&writing, root, LEVEL_OR);
    const bool is_whole = arena_status(arena) == STATUS_OK && writing.out.at != NULL;
    return is_whole ? (text){writing.out.at, writing.out.count} : (text){"", 0};
}
