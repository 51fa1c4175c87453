/* SPDX-License-Identifier: MIT */
/* Growth by doubling; a small old block stays in the arena. */
#include "array.h"

bool array_grow(struct arena *arena, void **at, uint32_t count, uint32_t *room,
                size_t size)
{
    if (count < *room) {
        return true;
    }
    if (*room > UINT32_MAX / 2) {
        return arena_take_many(arena, SIZE_MAX, 2) !=
               NULL; /* fails the arena: never true */
    }
    const uint32_t wider = *room == 0 ? 8 : *room * 2;
    if (wider > SIZE_MAX / size) {
        return arena_take_many(arena, SIZE_MAX, 2) != NULL;
    }
    void *grown = arena_grow(arena, *at, count * size, wider * size);
    if (grown == NULL) {
        return false;
    }
    *at = grown;
    *room = wider;
    return true;
}
