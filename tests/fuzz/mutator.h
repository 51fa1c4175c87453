/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FUZZ_MUTATOR_H
#define WHYFIT_FUZZ_MUTATOR_H

#include "dice.h"
#include "text.h"

/*
 * Spoils a YAML text the way people and disks do: bytes, lines, indentation, and keys,
 * values and words that belong somewhere else. `others` are the texts that foreign pieces
 * are taken from. The result lies in the arena; the same dice spoil the same way.
 */
text mutate(struct arena *arena, struct dice *dice, text original, const text *others,
            size_t other_count);

#endif
