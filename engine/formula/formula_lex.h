/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORMULA_LEX_H
#define WHYFIT_FORMULA_LEX_H

#include "formula_tree.h"

/* A cursor over a formula's bytes, and the words and symbols that stand there. */
struct parser {
    struct formula_reader *reader;
    size_t at;
    uint32_t depth;     /* of brackets, arguments, signs and `not` around the cursor */
    uint32_t arguments; /* of functions around the cursor: there a comma separates */
    bool is_broken;     /* the grammar was left: what follows is not looked at */
};

/* From loosest to tightest. */
enum level {
    LEVEL_OR,
    LEVEL_AND,
    LEVEL_NOT,
    LEVEL_COMPARE,
    LEVEL_SUM,
    LEVEL_PRODUCT,
    LEVEL_SIGN,
    LEVEL_POWER,
    LEVEL_ATOM
};

struct operator_word {
    const char *symbol;
    enum operation operation;
    enum level level;
    bool is_word;
};

/* Takes an operator of this level; NULL when none stands here. */
const struct operator_word *formula_take_operator(struct parser *parser,
                                                  enum level level);
/* How an operation of two is written; NULL for all others. */
const struct operator_word *formula_operator(enum operation operation);

text formula_rest(const struct parser *parser);
void formula_skip_blanks(struct parser *parser);
/* Blanks may go before; false, and nothing taken, when it does not stand here. */
bool formula_take_symbol(struct parser *parser, const char *symbol);
bool formula_take_word(struct parser *parser, const char *word);
/* The first fault of grammar is reported, where something stands next; gives NULL. */
struct expression *formula_fail(struct parser *parser, enum diagnostic_code code,
                                text message, text expected);
/* Goes one deeper; false (reported) when that is too deep. */
bool formula_enter(struct parser *parser);

/* formula_literal.c: the number with its unit or tolerance that starts here with a digit,
 * or with its sign; NULL when the grammar was left or the arena has failed. */
struct expression *formula_literal(struct parser *parser);
/* Whether a sign before the number at the start of `a` belongs to the number: that of
 * -0.05..0.05 mm and -1.85 +0/-0.14 mm does, as it does in facts. */
bool formula_literal_owns_sign(const struct formula_reader *reader, text a);

#endif
