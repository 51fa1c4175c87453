/* SPDX-License-Identifier: MIT */
/* Growth by doubling; the old block stays in the arena, at most as large again as the new
 * one. */
#include "array.h"

#include <string.h>

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
    void *grown = arena_take_many(arena, wider, size);
    if (grown == NULL) {
        return false;
    }
    if (count > 0) {
        memcpy(grown, *at, count * size);
    }
    *at = grown;
    *room = wider;
    return true;
}
