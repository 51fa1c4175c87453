/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_PLAIN_H
#define WHYFIT_TEST_PLAIN_H

#include "random_program.h"

#include <stdio.h>

/*
 * A drawn program as relations, facts and rules, read from its lines by a small reader of
 * its own: nothing of the engine's readers, checks or formulas is used, so that what
 * other solvers are told cannot share a mistake with them. It reads only what
 * program_make_exact draws: whole numbers (lengths in mm), words and names.
 */
enum {
    PLAIN_WORD = 20,
    PLAIN_COLUMNS = 12,
    PLAIN_RELATIONS = 17 + PROGRAM_RULES,
    PLAIN_FACTS = PROGRAM_PARTS * (PROGRAM_FEATURES + 2),
    PLAIN_NODES = 1024
};

struct plain_relation {
    char name[PLAIN_WORD]; /* of a finding: its rule's */
    char columns[PLAIN_COLUMNS][PLAIN_WORD];
    uint32_t count;
    uint32_t keys;    /* the first so many are the key */
    bool is_optional; /* the last column may hold nothing, written as none */
};

enum plain_kind {
    PLAIN_ANY, /* the column is not mentioned */
    PLAIN_VARIABLE,
    PLAIN_CONSTANT
};

struct plain_term {
    enum plain_kind kind;
    char text[PLAIN_WORD]; /* without $ */
};

struct plain_condition {
    uint32_t relation;
    struct plain_term terms[PLAIN_COLUMNS];
};

enum plain_operation {
    PLAIN_NUMBER,
    PLAIN_TEXT,
    PLAIN_NAMED, /* a variable */
    PLAIN_ADD,
    PLAIN_SUBTRACT,
    PLAIN_MULTIPLY,
    PLAIN_MAX,
    PLAIN_MIN,
    PLAIN_ABS,
    PLAIN_LESS,
    PLAIN_LESS_EQUAL,
    PLAIN_GREATER,
    PLAIN_GREATER_EQUAL,
    PLAIN_EQUAL,
    PLAIN_UNEQUAL,
    PLAIN_AND,
    PLAIN_OR,
    PLAIN_NOT
};

struct plain_formula {
    enum plain_operation operation;
    const struct plain_formula *left;
    const struct plain_formula *right;
    char text[PLAIN_WORD];
};

struct plain_tally {
    char result[PLAIN_WORD]; /* of a count or sum */
    char value[PLAIN_WORD];  /* what a sum adds up; empty: how many there are */
    struct plain_condition of;
    const struct plain_formula *is; /* of an `every` */
};

struct plain_let {
    char variable[PLAIN_WORD];
    const struct plain_formula *is;
};

/* What a rule concludes: terms one a column; a finding's margin is a formula. */
struct plain_head {
    struct plain_condition row;
    const struct plain_formula *margin; /* NULL: no finding */
};

struct plain_rule {
    struct plain_condition given[SECTION_LINES];
    struct plain_condition unless[SECTION_LINES];
    struct plain_tally counts[2 * SECTION_LINES]; /* and sums */
    struct plain_tally every[SECTION_LINES];
    struct plain_let lets[SECTION_LINES];
    const struct plain_formula *filters[SECTION_LINES];
    struct plain_head heads[SECTION_LINES + 1];
    uint32_t given_count, unless_count, count_count, every_count, let_count, filter_count,
        head_count;
};

struct plain_fact {
    uint32_t relation;
    char cells[PLAIN_COLUMNS][PLAIN_WORD];
};

struct plain_program {
    struct plain_relation relations[PLAIN_RELATIONS];
    struct plain_fact facts[PLAIN_FACTS];
    struct plain_rule rules[PROGRAM_RULES];
    struct plain_formula nodes[PLAIN_NODES];
    uint32_t relation_count, fact_count, rule_count, node_count;
    bool reaches[PLAIN_RELATIONS][PLAIN_RELATIONS]; /* [a][b]: b may follow from a */
};

/* false: something is in it that this reader does not know; *at says where. */
bool plain_read(struct plain_program *out, const struct random_program *program,
                const char **at);

/* The relation of a name, or relation_count. */
uint32_t plain_find(const struct plain_program *program, const char *name);

/* Whether a head follows, in the end, from what it itself gives. */
bool plain_is_loop(const struct plain_program *program, const struct plain_rule *rule,
                   const struct plain_head *head);
/* Whether two relations are one, or each may follow from the other. */
bool plain_same_group(const struct plain_program *program, uint32_t a, uint32_t b);

/* ---- reading, shared by the two files */

/* Skips blanks; false, and nothing taken, where the symbol does not stand. */
bool plain_take(const char **at, const char *symbol);
/* A word of letters, digits, _ and -; false where there is none. */
bool plain_take_word(const char **at, char *word);
/* A formula up to what cannot go on with it; NULL where there is none. */
const struct plain_formula *plain_take_formula(struct plain_program *program,
                                               const char **at);

/* ---- writing */

/* What a solver is told of the n-th program of a batch: its relations are called tN_….
 * It answers with a line a row: tN_relation(cell,cell). */
void plain_write_name(FILE *out, uint32_t n, const struct plain_relation *relation);
void write_answer_set(FILE *out, const struct plain_program *program, uint32_t n);

/* false: it has a loop that goes more than once through itself in one rule, which WITH
 * RECURSIVE cannot say. */
bool sql_can_say(const struct plain_program *program);
void write_sql(FILE *out, const struct plain_program *program, uint32_t n);

/* Where values are computed inside a loop, both stop at this size: ours ends there with a
 * conflict, for one key has one value. */
enum {
    PLAIN_GREATEST = 300
};

#endif
