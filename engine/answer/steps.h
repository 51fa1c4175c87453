/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_STEPS_H
#define WHYFIT_STEPS_H

#include "swap_private.h"

/* The chains of a swap's findings as numbered steps of its answer, behind the findings'
 * own numbers. */
MUST_USE status steps_number(struct swap *swap);

/* The chains below `roots` (nodes) as steps, numbered from 1 in the order in which one
 * who goes down each tree, its first branch first, comes upon them. Step i has the number
 * i + 1; those of the roots go into ids[root_count]. */
MUST_USE status steps_of_trees(struct chain *chain, const uint32_t *roots,
                               uint32_t root_count, uint32_t *ids,
                               const struct step **steps, uint32_t *step_count);

#endif
