/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ARRAY_H
#define WHYFIT_ARRAY_H

#include "arena.h"

#include <stdint.h>

/*
 * Growable arrays inside an arena: ARRAY_OF(type) is a struct {type *at; count; room},
 * all zero when empty. Growth copies, so element pointers die at the next push; indices
 * live on.
 */
#define ARRAY_OF(type)                                                                   \
    struct {                                                                             \
        type *at;                                                                        \
        uint32_t count;                                                                  \
        uint32_t room;                                                                   \
    }

/* Makes room for one more element of `size` bytes; false when the arena has failed. */
MUST_USE bool array_grow(struct arena *arena, void **at, uint32_t count, uint32_t *room,
                         size_t size);

/* Appends `value`; gives false when the arena has failed. */
#define ARRAY_PUSH(arena, array, value)                                                  \
    (array_grow((arena), (void **)&(array)->at, (array)->count, &(array)->room,          \
                sizeof *(array)->at)                                                     \
         ? ((array)->at[(array)->count++] = (value), true)                               \
         : false)

#endif
