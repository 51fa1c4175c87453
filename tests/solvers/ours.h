/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_OURS_H
#define WHYFIT_TEST_OURS_H

#include "array.h"
#include "plain.h"
#include "text.h"

typedef ARRAY_OF(const char *) line_array;

/* What the engine makes of a program: the n-th of a batch. */
struct ours {
    bool is_refused;
    const char *fault;    /* as reported; "" */
    const char *conflict; /* "tN_relation(key,key,": sure derivations disagree there */
    line_array lines;     /* "tN_relation(cell,cell)", as solvers say it */
};

/* Everything in it lives in the arena. */
struct ours ours_of(struct arena *arena, const struct random_program *program,
                    const struct plain_program *plain, uint32_t n);

#endif
