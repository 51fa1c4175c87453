/* SPDX-License-Identifier: MIT */
/* Edit distance over bytes, with a swap of neighbours counted as one slip; one row at a
 * time. */
#include "nearest.h"

enum {
    LONGEST = 64
};

struct nearest nearest_to(text wanted)
{
    return (struct nearest){wanted, {"", 0}, wanted.length / 3 + 1};
}

static size_t least_of(size_t a, size_t b)
{
    return a < b ? a : b;
}

static size_t distance_of(text a, text b)
{
    size_t rows[3][LONGEST + 1];
    for (size_t j = 0; j <= b.length; j++) {
        rows[0][j] = j;
    }
    for (size_t i = 1; i <= a.length; i++) {
        size_t *row = rows[i % 3];
        const size_t *above = rows[(i + 2) % 3];
        const size_t *second = rows[(i + 1) % 3];
        row[0] = i;
        for (size_t j = 1; j <= b.length; j++) {
            const bool same = a.at[i - 1] == b.at[j - 1];
            row[j] = least_of(above[j - 1] + (same ? 0 : 1),
                              least_of(above[j], row[j - 1]) + 1);
            if (i > 1 && j > 1 && a.at[i - 1] == b.at[j - 2] &&
                a.at[i - 2] == b.at[j - 1]) {
                row[j] = least_of(row[j], second[j - 2] + 1);
            }
        }
    }
    return rows[a.length % 3][b.length];
}

void nearest_offer(struct nearest *search, text candidate)
{
    if (search->wanted.length > LONGEST || candidate.length > LONGEST ||
        candidate.length == 0) {
        return;
    }
    const size_t distance = distance_of(search->wanted, candidate);
    const bool is_nearer = distance < search->distance ||
                           (distance == search->distance && search->best.length > 0 &&
                            text_compare(candidate, search->best) < 0);
    const bool is_first = distance == search->distance && search->best.length == 0;
    if (is_nearer || is_first) {
        search->best = candidate;
        search->distance = distance;
    }
}
