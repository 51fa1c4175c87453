/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_GOES_ON_H
#define WHYFIT_GOES_ON_H

#include "listing_private.h"

/*
 * In which years parts go on the machines of a model: by a swap into every unit that was
 * built for it, or, where no unit is recorded, by the list of models the part is listed
 * for. What was judged is remembered.
 */
enum going {
    GOES_NOT,
    GOES,
    GOES_UNKNOWN
};

struct stretch_of_years {
    int from;
    int to;
    enum going going;
    text why; /* "kestrel-head-early has it as its cover", "does not fit kestrel-…" */
    text question; /* that shows the swap; empty: it needs none */
};

struct going_on {
    const struct stretch_of_years *at; /* sorted by from; years in none: not built */
    uint32_t count;
};

/* Whether it surely goes on it in a year. */
bool goes_in(const struct going_on *going, int year);
/* The first year behind `year` in which one of them may change; LAST_YEAR + 1: none. */
int going_next(const struct going_on *going, uint32_t count, int year);

struct goes_on_memory;
struct goes_on_memory *goes_on_memory_open(struct arena *arena);
void goes_on_memory_close(struct goes_on_memory *memory);

/* To be called before a listing is judged. */
MUST_USE status goes_on_start(struct lister *lister);
/* How parts go on a model, all of them at once where there are several (`parts` sorted).
 * Borrowed until the next start. */
MUST_USE status goes_on(struct lister *lister, const uint32_t *parts, uint32_t count,
                        uint32_t model, struct going_on *out);
/* Counts a swap that was tried. */
void goes_on_count(struct lister *lister);

#endif
