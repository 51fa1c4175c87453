/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_DICE_H
#define WHYFIT_TEST_DICE_H

#include <stddef.h>
#include <stdint.h>

/* Numbers that look random and are the same for the same seed everywhere (splitmix64 by
 * Sebastiano Vigna, public domain: its three constants). */
struct dice {
    uint64_t state;
};

static inline uint64_t dice_next(struct dice *dice)
{
    uint64_t mixed = dice->state += UINT64_C(0x9E3779B97F4A7C15);
    mixed = (mixed ^ (mixed >> 30)) * UINT64_C(0xBF58476D1CE4E5B9);
    mixed = (mixed ^ (mixed >> 27)) * UINT64_C(0x94D049BB133111EB);
    return mixed ^ (mixed >> 31);
}

/* 0 … count - 1; 0 when count is 0. */
static inline size_t dice_below(struct dice *dice, size_t count)
{
    return count == 0 ? 0 : (size_t)(dice_next(dice) % count);
}

#endif
