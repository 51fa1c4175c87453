/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_ARENA_H
#define WHYFIT_ARENA_H

#include "status.h"

#include <stdbool.h>
#include <stddef.h>

/*
 * Memory with one lifetime. Three exist: knowledge (frozen after loading), question (one
 * layer) and answer. Nothing in a longer-lived arena points into a shorter-lived one.
 *
 * Failure is sticky: after the first request that could not be met every later one gives
 * NULL, so a builder may run on over NULL-tolerant helpers and ask arena_status once at
 * the end.
 */
struct arena;

/* Where chunks come from. `resize` gives a block of new_size bytes (old may be NULL),
 * frees when new_size is 0, and gives NULL when it cannot. The context is kept. */
struct allocator {
    void *(*resize)(void *context, void *old, size_t old_size, size_t new_size);
    void *context;
};

/* The C library's allocator. */
struct allocator allocator_standard(void);

/* An empty arena that may grow to `limit` bytes (0: no limit of its own). NULL: out of
 * memory. Owned: release with arena_close. */
MUST_USE struct arena *arena_open(struct allocator from, size_t limit);
/* Another one from the same allocator, without a limit, for what is needed only
 * meanwhile. NULL: out of memory. */
MUST_USE struct arena *arena_open_beside(const struct arena *arena);
/* Another one from the same allocator and with the same limit; NULL: out of memory. */
MUST_USE struct arena *arena_beside(const struct arena *arena);
void arena_close(struct arena *arena);

/* `size` zeroed bytes, aligned for any type; NULL once the arena has failed. Borrowed
 * from it. */
MUST_USE void *arena_take(struct arena *arena, size_t size);

/* The same not zeroed, for what is written before it is read: pages that are never
 * touched cost nothing. */
MUST_USE void *arena_take_unset(struct arena *arena, size_t size);

/* `count` zeroed elements of `size` bytes; an overflowing product fails the arena. */
MUST_USE void *arena_take_many(struct arena *arena, size_t count, size_t size);

/* A copy of `size` bytes at `from`. */
MUST_USE void *arena_copy(struct arena *arena, const void *from, size_t size);

/* The block at `old` (NULL: none) made longer; its content is kept, what is added is not
 * zeroed. The old address dies. A block that is large goes back to the allocator, a small
 * one stays in the arena. */
MUST_USE void *arena_grow(struct arena *arena, void *old, size_t old_size,
                          size_t new_size);
/* Gives a block back that is large and not needed any more; a small one stays. */
void arena_drop(struct arena *arena, void *old, size_t size);

/* Takes the allocator out, so that nothing in the arena points at it, and no memory is
 * given until it is put back. The arena must not have failed. */
MUST_USE struct allocator arena_seal(struct arena *arena);
void arena_unseal(struct arena *arena, struct allocator from);

/* STATUS_OK, STATUS_NO_MEMORY or STATUS_LIMIT, whichever was hit first. */
status arena_status(const struct arena *arena);

/* Where its limit was reached, as many bytes more, so that it can be said; else
 * nothing. */
void arena_extend(struct arena *arena, size_t more);

/* Bytes handed out so far. */
size_t arena_used(const struct arena *arena);

#define ARENA_NEW(arena, type) ((type *)arena_take((arena), sizeof(type)))
#define ARENA_MANY(arena, count, type)                                                   \
    ((type *)arena_take_many((arena), (count), sizeof(type)))

#endif
