/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORMULA_TREE_H
#define WHYFIT_FORMULA_TREE_H

#include "formula.h"
#include "pattern.h"

/* A formula as a tree; every node knows the bytes it came from and, once checked, its
 * type. */
enum operation {
    OPERATION_LITERAL,
    OPERATION_VARIABLE,
    OPERATION_MINUS,
    OPERATION_NOT,
    OPERATION_ADD,
    OPERATION_SUBTRACT,
    OPERATION_MULTIPLY,
    OPERATION_DIVIDE,
    OPERATION_POWER,
    OPERATION_EQUAL,
    OPERATION_UNEQUAL,
    OPERATION_LESS,
    OPERATION_LESS_EQUAL,
    OPERATION_GREATER,
    OPERATION_GREATER_EQUAL,
    OPERATION_AND,
    OPERATION_OR,
    OPERATION_BUILTIN,
    OPERATION_CALL,
    OPERATION_FAULT /* something that was reported: what holds it gets no complaint */
};

enum builtin {
    BUILTIN_ABS,
    BUILTIN_COS,
    BUILTIN_GREATEST,
    BUILTIN_LEAST,
    BUILTIN_MATCHES,
    BUILTIN_MAX,
    BUILTIN_MIN,
    BUILTIN_NOMINAL,
    BUILTIN_SIN,
    BUILTIN_SQRT,
    BUILTIN_TAN,
    BUILTIN_COUNT
};

extern const char *const builtin_names[BUILTIN_COUNT]; /* sorted, as the enum */

struct expression {
    enum operation operation;
    span where;
    struct type type;
    text written; /* a literal as it stands, a word without its quotes, a variable's name
                   */
    struct value literal;
    uint32_t variable; /* slot */
    int power;
    enum builtin builtin;
    const struct pattern *pattern; /* BUILTIN_MATCHES */
    const struct function_entry *function;
    struct expression *const *operands;
    uint32_t count;
};

struct formula {
    text text;
    span where;
    struct expression *root;
};

/* What reading shares. */
struct formula_reader {
    struct arena *arena;
    text text; /* in the arena */
    span where;
    const struct scope *scope;
    struct diagnostics *diagnostics;
    bool is_wrong;
};

/* The span of a stretch of the formula. */
span formula_span(const struct formula_reader *reader, size_t from, size_t end);

/* NULL when it could not be read; reported. */
struct expression *formula_parse(struct formula_reader *reader);

/* Fills in types; reports every fault. */
void formula_check(struct formula_reader *reader, struct expression *root);

/* A tree as a formula again, with no bracket that does not change its meaning: reading
 * what was written gives the same tree. */
text formula_write(struct arena *arena, const struct expression *root);

#endif
