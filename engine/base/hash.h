/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_HASH_H
#define WHYFIT_HASH_H

#include "arena.h"

#include <stdint.h>

/*
 * A multi-map from 32-bit hashes to 32-bit numbers (rows, names). The caller compares the
 * things behind the numbers: hashes only narrow the search. Entries of one hash come
 * newest first.
 */
struct hash_map {
    uint32_t *heads;   /* bucket → entry + 1 */
    uint32_t *links;   /* entry → next entry + 1 */
    uint32_t *hashes;  /* entry → its hash */
    uint32_t *numbers; /* entry → its number */
    uint32_t count;
    uint32_t room;
    uint32_t bucket_count; /* a power of two, or 0 */
};

uint32_t hash_bytes(const void *bytes, size_t length);

/* Word by word: from HASH_START on, each taken in. */
#define HASH_START 0x9e3779b9u
static inline uint32_t hash_take(uint32_t hash, uint32_t word)
{
    hash ^= word;
    hash *= 0x85ebca6bu;
    hash ^= hash >> 13;
    hash *= 0xc2b2ae35u;
    return hash ^ (hash >> 16);
}

static inline uint32_t hash_words(const uint32_t *words, size_t count)
{
    uint32_t hash = HASH_START;
    for (size_t i = 0; i < count; i++) {
        hash = hash_take(hash, words[i]);
    }
    return hash;
}

/* Adds an entry; false when the arena has failed. */
MUST_USE bool hash_map_add(struct hash_map *map, struct arena *arena, uint32_t hash,
                           uint32_t number);

/* Walks the entries of a hash: start with cursor 0; false when there are no more. */
bool hash_map_next(const struct hash_map *map, uint32_t hash, uint32_t *cursor,
                   uint32_t *number_out);

#endif
