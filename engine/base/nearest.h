/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_NEAREST_H
#define WHYFIT_NEAREST_H

#include "text.h"

/*
 * Finds the known word nearest to a misspelt one. Start from {0}, offer every candidate,
 * then take `best`: empty when none is near enough (about one slip in three letters).
 * Ties go to the word that sorts first, so the order of offers never shows.
 */
struct nearest {
    text wanted;
    text best;
    size_t distance;
};

struct nearest nearest_to(text wanted);
void nearest_offer(struct nearest *search, text candidate);

#endif
