/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_RANDOM_MAKER_H
#define WHYFIT_TEST_RANDOM_MAKER_H

#include "random_program.h"

/* What is shared while a program is drawn. */
enum sort {
    SORT_NAME,   /* a key column of names */
    SORT_NUMBER, /* a key column of counts */
    SORT_LENGTH,
    SORT_WORD,
    SORT_COUNT,
    SORT_RATIO
};

struct plan_column {
    char name[12];
    enum sort sort;
};

enum {
    PLAN_COLUMNS = 10,
    FACT_PLANS = 5,
    RULE_PLANS = 12,
    PLANS = FACT_PLANS + RULE_PLANS,
    LAYERS = 4
};

struct plan {
    char name[16];
    bool is_table;
    struct plan_column columns[PLAN_COLUMNS];
    uint32_t count;
    uint32_t layer; /* 0: facts */
    uint32_t rules; /* that fill it so far */
};

struct variable {
    char name[8];
    enum sort sort;
    bool is_reached;    /* through rows, from the owner */
    const char *column; /* that bound it first (static), or NULL */
};

enum {
    VARIABLES = 40
};

struct maker {
    struct dice dice;
    struct random_program *program;
    bool is_exact;                            /* every field is filled, with one value */
    struct plan plans[PLANS + PROGRAM_RULES]; /* findings behind the others */
    uint32_t plan_count;
    /* of the rule being drawn */
    struct program_rule *rule;
    uint32_t layer;
    struct variable variables[VARIABLES];
    uint32_t variable_count;
    uint32_t keys_named;
    uint32_t values_named;
    uint32_t name_keys; /* 0: any; else every key is bound, by at most so many names */
    bool keeps_keys;    /* every key column is named: a finding then has one margin */
};

bool dice_chance(struct dice *dice, uint32_t percent);
/* Draws one of the texts up to NULL. */
const char *maker_one_of(struct maker *maker, const char *const *texts);

bool sort_is_key(enum sort sort);
/* A variable of a sort that is bound already, or NULL. */
const struct variable *maker_variable(struct maker *maker, enum sort sort);
const struct variable *maker_variable_add(struct maker *maker, enum sort sort);

/* What a word of this column (NULL: any) may be compared with. */
const char *const *maker_words(const struct maker *maker, const char *column);

/* Words that several drawers use, up to NULL. */
extern const char *const maker_grades[];
extern const char *const maker_names[]; /* parts of the catalogue, and no part */

__attribute__((format(printf, 2, 3))) void maker_line(struct program_lines *lines,
                                                      const char *format, ...);

/* A length that filters compare with. */
const char *maker_limit(struct maker *maker);
/* A length: of variables where there are any. */
void maker_length(struct maker *maker, char *out, size_t room);
/* A condition on variables. */
void maker_filter(struct maker *maker, char *out, size_t room);

/* Draws one rule, or a few that close a relation over itself. */
void maker_rules(struct maker *maker, uint32_t layer);

#endif
