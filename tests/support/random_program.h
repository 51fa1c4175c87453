/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_RANDOM_PROGRAM_H
#define WHYFIT_TEST_RANDOM_PROGRAM_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/*
 * A random rule base with its facts, as text: what is drawn is which relations, columns
 * and formulas meet, over one invented vocabulary. Lines are kept apart, so that they can
 * be shuffled, and left out one by one while a program still fails.
 */
enum {
    PROGRAM_PARTS = 10,
    PROGRAM_RULES = 14,
    PROGRAM_FEATURES = 8, /* of one part */
    SECTION_LINES = 4,
    LINE_BYTES = 200
};

/* The lines of a rule, by what they stand under. */
enum section {
    SECTION_GIVEN,
    SECTION_UNLESS,
    SECTION_COUNT,
    SECTION_SUM,
    SECTION_LEAST,
    SECTION_GREATEST,
    SECTION_EVERY,
    SECTION_LET,
    SECTION_WHERE,
    SECTION_CONCLUDE,
    SECTION_CHECK, /* at most one */
    SECTIONS
};

struct program_lines {
    char at[SECTION_LINES][LINE_BYTES];
    uint32_t count;
};

struct program_rule {
    char name[16];
    bool over_catalogue;
    struct program_lines sections[SECTIONS];
};

/* The lists a part can have. */
enum part_list {
    LIST_LINKS,
    LIST_TWINS,
    LIST_CHARTS,
    PART_LISTS
};

struct program_part {
    char name[16];
    bool is_new; /* belongs to the question, not to the catalogue */
    char fields[LINE_BYTES];
    char partial[LINE_BYTES]; /* empty: no list is marked */
    char features[PROGRAM_FEATURES][LINE_BYTES];
    enum part_list lists[PROGRAM_FEATURES];
    uint32_t feature_count;
};

struct random_program {
    struct program_part parts[PROGRAM_PARTS];
    uint32_t part_count;
    struct program_rule rules[PROGRAM_RULES];
    uint32_t rule_count;
};

/* xorshift64*: the same numbers everywhere. */
struct dice {
    uint64_t state;
};

struct dice dice_of(uint64_t seed);
/* 0 to below - 1. */
uint32_t dice_below(struct dice *dice, uint32_t below);

void program_make(struct random_program *program, uint64_t seed);
/* The same without tolerances, missing fields and partial lists, and without asking what
 * is known (least, unsure, unknown): all it says is so or is not so. Lengths are whole
 * millimetres. */
void program_make_exact(struct random_program *program, uint64_t seed);
void program_shuffle(struct random_program *program, uint64_t seed);

/* Which parts a text of facts holds. */
enum program_choice {
    PROGRAM_ALL,
    PROGRAM_CATALOGUE,
    PROGRAM_NEW
};

/* Write YAML into `out`; the length, or 0 when there is no room. */
size_t program_rules_write(const struct random_program *program, char *out, size_t room);
size_t program_parts_write(const struct random_program *program,
                           enum program_choice choice, char *out, size_t room);

/* Leaves out the n-th thing: rules, parts, lines of rules, features, fields of parts.
 * false: there are not that many. */
bool program_leave_out(struct random_program *program, uint32_t n);

#endif
