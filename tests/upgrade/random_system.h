/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_RANDOM_SYSTEM_H
#define WHYFIT_TEST_RANDOM_SYSTEM_H

#include "dice.h"

#include <stdbool.h>
#include <stdio.h>

/*
 * A drawn machine for `upgrade`: places p0, p1, … each with several parts of a kind of
 * its own, and a small pack of rules over them: pairs that must go together, denials,
 * counts, sums, a gap along the axis, mends; fields that are missing or have wide limits;
 * parts that lack a face, bring a line or come with another. The host has part P-0 in
 * each place.
 */
enum {
    MOST_DRAWN_PLACES = 12,
    MOST_DRAWN_PARTS = 24,
    DRAWN_TEXT = 1 << 18
};

struct random_system {
    uint32_t place_count;
    uint32_t part_count[MOST_DRAWN_PLACES];
    bool is_brought[MOST_DRAWN_PLACES]; /* some part comes with one for this place */
    char vocabulary[DRAWN_TEXT / 8];
    char rules[DRAWN_TEXT / 8];
    char facts[DRAWN_TEXT];
};

/* Room for up to `places` places with up to `parts` parts, `total` in all. */
struct random_bounds {
    uint32_t places;
    uint32_t parts;
    bool is_exact; /* as many as that, not up to */
    bool is_plain; /* no denials, aggregates, brought lines or mends */
};

void random_system_draw(struct random_system *system, struct dice *dice,
                        struct random_bounds bounds);

#endif
