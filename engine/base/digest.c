/* SPDX-License-Identifier: MIT */
/*
 * Eight lanes of words, so that eight multiplications are under way at once. Each step is
 * one-to-one in the word for a given state and in the state for a given word, and so is
 * the joining of the lanes: a change of one word cannot be lost on the way.
 */
#include "digest.h"

#include <string.h>

enum {
    LANES = 8
};

static uint64_t step(uint64_t state, uint64_t word)
{
    const uint64_t mixed = (state ^ word) * UINT64_C(0x9e3779b97f4a7c15);
    return mixed << 29 | mixed >> 35;
}

static void take_line(uint64_t *lanes, const unsigned char *line)
{
    for (size_t i = 0; i < LANES; i++) {
        uint64_t word = 0;
        memcpy(&word, line + i * sizeof word, sizeof word);
        lanes[i] = step(lanes[i], word);
    }
}

uint64_t digest_of(const void *bytes, size_t length)
{
    enum {
        LINE = LANES * sizeof(uint64_t)
    };
    uint64_t lanes[LANES];
    unsigned char rest[LINE] = {0};
    const unsigned char *at = bytes;
    uint64_t joined = length;
    for (size_t i = 0; i < LANES; i++) {
        lanes[i] = i + 1;
    }
    for (size_t left = length / LINE; left > 0; left--, at += LINE) {
        take_line(lanes, at);
    }
    if (length % LINE > 0) {
        memcpy(rest, at, length % LINE);
        take_line(lanes, rest);
    }
    for (size_t i = 0; i < LANES; i++) {
        joined = step(joined, lanes[i]);
    }
    return joined ^ joined >> 32;
}
