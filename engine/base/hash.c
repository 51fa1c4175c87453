/* SPDX-License-Identifier: MIT */
/*
 * Buckets of linked entries in flat arrays; buckets double when there are as many
 * entries. Growing relinks from oldest to newest, so that entries of one hash stay newest
 * first.
 */
#include "hash.h"

#include "array.h"

#include <string.h>

uint32_t hash_bytes(const void *bytes, size_t length)
{
    const unsigned char *at = bytes;
    uint32_t hash = 2166136261u;
    for (size_t i = 0; i < length; i++) {
        hash = (hash ^ at[i]) * 16777619u;
    }
    return hash ^ (hash >> 15);
}

static bool grow_buckets(struct hash_map *map, struct arena *arena)
{
    const uint32_t wider = map->bucket_count == 0 ? 16 : map->bucket_count * 2;
    uint32_t *heads = ARENA_MANY(arena, wider, uint32_t);
    if (heads == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < map->count; i++) {
        uint32_t *head = &heads[map->hashes[i] & (wider - 1)];
        map->links[i] = *head;
        *head = i + 1;
    }
    map->heads = heads;
    map->bucket_count = wider;
    return true;
}

static bool grow_entries(struct hash_map *map, struct arena *arena)
{
    uint32_t room[3] = {map->room, map->room, map->room};
    if (!array_grow(arena, (void **)&map->links, map->count, &room[0],
                    sizeof(uint32_t)) ||
        !array_grow(arena, (void **)&map->hashes, map->count, &room[1],
                    sizeof(uint32_t)) ||
        !array_grow(arena, (void **)&map->numbers, map->count, &room[2],
                    sizeof(uint32_t))) {
        return false;
    }
    map->room = room[0];
    return true;
}

bool hash_map_add(struct hash_map *map, struct arena *arena, uint32_t hash,
                  uint32_t number)
{
    if (!grow_entries(map, arena) ||
        (map->count >= map->bucket_count && !grow_buckets(map, arena))) {
        return false;
    }
    uint32_t *head = &map->heads[hash & (map->bucket_count - 1)];
    map->hashes[map->count] = hash;
    map->numbers[map->count] = number;
    map->links[map->count] = *head;
    *head = ++map->count;
    return true;
}

bool hash_map_next(const struct hash_map *map, uint32_t hash, uint32_t *cursor,
                   uint32_t *number_out)
{
    if (map->bucket_count == 0) {
        return false;
    }
    uint32_t entry = *cursor == 0 ? map->heads[hash & (map->bucket_count - 1)]
                                  : map->links[*cursor - 1];
    while (entry != 0 && map->hashes[entry - 1] != hash) {
        entry = map->links[entry - 1];
    }
    if (entry == 0) {
        return false;
    }
    *cursor = entry;
    *number_out = map->numbers[entry - 1];
    return true;
}
