/* SPDX-License-Identifier: MIT */
/* Formulas as the drawer writes them, by descent from `or` down to numbers. */
#include "plain.h"

#include <ctype.h>
#include <string.h>

static const struct plain_formula *read_or(struct plain_program *program,
                                           const char **at);

static const struct plain_formula *node(struct plain_program *program,
                                        enum plain_operation operation,
                                        const struct plain_formula *left,
                                        const struct plain_formula *right)
{
    if (program->node_count == PLAIN_NODES) {
        return NULL;
    }
    struct plain_formula *made = &program->nodes[program->node_count++];
    *made = (struct plain_formula){.operation = operation, .left = left, .right = right};
    return made;
}

static const struct plain_formula *leaf(struct plain_program *program,
                                        enum plain_operation operation, const char *text)
{
    struct plain_formula *made = &program->nodes[program->node_count];
    if (node(program, operation, NULL, NULL) == NULL) {
        return NULL;
    }
    memcpy(made->text, text, sizeof made->text);
    return made;
}

/* max(a, b), min(a, b), abs(a). */
static const struct plain_formula *read_call(struct plain_program *program,
                                             const char **at, const char *word)
{
    const struct plain_formula *left = plain_take(at, "(") ? read_or(program, at) : NULL;
    const struct plain_formula *right =
        left != NULL && plain_take(at, ",") ? read_or(program, at) : NULL;
    if (left == NULL || !plain_take(at, ")")) {
        return NULL;
    }
    if (strcmp(word, "abs") == 0) {
        return node(program, PLAIN_ABS, left, NULL);
    }
    return right == NULL              ? NULL
           : strcmp(word, "max") == 0 ? node(program, PLAIN_MAX, left, right)
           : strcmp(word, "min") == 0 ? node(program, PLAIN_MIN, left, right)
                                      : NULL;
}

static const struct plain_formula *read_atom(struct plain_program *program,
                                             const char **at)
{
    char word[PLAIN_WORD] = "";
    if (plain_take(at, "(")) {
        const struct plain_formula *inner = read_or(program, at);
        return plain_take(at, ")") ? inner : NULL;
    }
    if (plain_take(at, "\"")) {
        return plain_take_word(at, word) && plain_take(at, "\"")
                   ? leaf(program, PLAIN_TEXT, word)
                   : NULL;
    }
    if (plain_take(at, "$")) {
        return plain_take_word(at, word) ? leaf(program, PLAIN_NAMED, word) : NULL;
    }
    if (!plain_take_word(at, word)) {
        return NULL;
    }
    if (!isdigit((unsigned char)word[0])) {
        return read_call(program, at, word);
    }
    (void)plain_take(at, "mm");
    return leaf(program, PLAIN_NUMBER, word);
}

static const struct plain_formula *read_product(struct plain_program *program,
                                                const char **at)
{
    const struct plain_formula *left = read_atom(program, at);
    while (left != NULL && plain_take(at, "*")) {
        const struct plain_formula *right = read_atom(program, at);
        left = right == NULL ? NULL : node(program, PLAIN_MULTIPLY, left, right);
    }
    return left;
}

static const struct plain_formula *read_sum(struct plain_program *program,
                                            const char **at)
{
    const struct plain_formula *left = read_product(program, at);
    while (left != NULL) {
        const bool adds = plain_take(at, "+");
        if (!adds && !plain_take(at, "- ")) {
            break;
        }
        const struct plain_formula *right = read_product(program, at);
        left = right == NULL
                   ? NULL
                   : node(program, adds ? PLAIN_ADD : PLAIN_SUBTRACT, left, right);
    }
    return left;
}

static const struct plain_formula *read_comparison(struct plain_program *program,
                                                   const char **at)
{
    static const struct {
        const char *symbol;
        enum plain_operation operation;
    } signs[] = {{"<=", PLAIN_LESS_EQUAL}, {">=", PLAIN_GREATER_EQUAL},
                 {"!=", PLAIN_UNEQUAL},    {"<", PLAIN_LESS},
                 {">", PLAIN_GREATER},     {"=", PLAIN_EQUAL}};
    if (plain_take(at, "not ")) {
        const struct plain_formula *inner = read_comparison(program, at);
        return inner == NULL ? NULL : node(program, PLAIN_NOT, inner, NULL);
    }
    const struct plain_formula *left = read_sum(program, at);
    for (size_t i = 0; left != NULL && i < sizeof signs / sizeof *signs; i++) {
        if (plain_take(at, signs[i].symbol)) {
            const struct plain_formula *right = read_sum(program, at);
            return right == NULL ? NULL : node(program, signs[i].operation, left, right);
        }
    }
    return left;
}

static const struct plain_formula *read_and(struct plain_program *program,
                                            const char **at)
{
    const struct plain_formula *left = read_comparison(program, at);
    while (left != NULL && plain_take(at, "and ")) {
        const struct plain_formula *right = read_comparison(program, at);
        left = right == NULL ? NULL : node(program, PLAIN_AND, left, right);
    }
    return left;
}

static const struct plain_formula *read_or(struct plain_program *program, const char **at)
{
    const struct plain_formula *left = read_and(program, at);
    while (left != NULL && plain_take(at, "or ")) {
        const struct plain_formula *right = read_and(program, at);
        left = right == NULL ? NULL : node(program, PLAIN_OR, left, right);
    }
    return left;
}

const struct plain_formula *plain_take_formula(struct plain_program *program,
                                               const char **at)
{
    return read_or(program, at);
}
