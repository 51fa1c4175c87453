/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_OPENINGS_H
#define WHYFIT_TEST_OPENINGS_H

#include "random_program.h"

/*
 * What is left open in an exact program: fields that are missing or have a tolerance, and
 * lists that are partial. Each can be filled in a few ways; a completion fills all.
 */
enum {
    OPENINGS = 6,
    OPENING_WAYS = 2,
    COMPLETIONS = 1 << OPENINGS /* of one program, at most */
};

struct opening {
    char part[16];
    char feature[16]; /* the name it leads to; empty: a field of the part itself */
    enum part_list list;
    const char *field;      /* NULL: the list is partial */
    const char *toleranced; /* NULL: missing */
    const char *ways[OPENING_WAYS];
    char more[100]; /* a line of the partial list that may be missing */
};

struct openings {
    struct opening at[OPENINGS];
    uint32_t count;
};

/* Draws what to leave open of an exact program. */
void openings_draw(struct openings *out, const struct random_program *program,
                   uint64_t seed);
/* In how many ways the openings of a program can be filled. */
uint32_t openings_completions(const struct openings *openings);
/* The program with everything left open. */
void openings_open(const struct openings *openings, struct random_program *program);
/* The program filled in the n-th way. */
void openings_fill(const struct openings *openings, struct random_program *program,
                   uint32_t n);

#endif
