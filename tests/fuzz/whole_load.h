/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FUZZ_WHOLE_LOAD_H
#define WHYFIT_FUZZ_WHOLE_LOAD_H

#include "knowledge.h"

/*
 * One load, and one swap when it succeeds, with what must hold whatever was read:
 *
 * - a load that reports a fault gives no knowledge, and one that gives none reports one;
 * - every fault that names a file lies inside that file, and at least one of a refused
 *   load does;
 * - an answer can be written as text and as JSON; a refused question says why.
 */
struct asked {
    const char *unit;
    const char *place;
    const char *part;
};

/* NULL when all of that held; else what did not, made in the caller's `said`. `loaded`
 * (may be NULL) tells whether there was anything to ask. */
const char *whole_load(const struct knowledge_input *inputs, uint32_t count,
                       const struct asked *question, char *said, size_t said_size,
                       bool *loaded);

#endif
