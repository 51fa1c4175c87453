/* SPDX-License-Identifier: MIT */
/*
 * Chunks in a list, a bump pointer in the newest. Requests larger than a chunk get one of
 * their own. Under AddressSanitizer every request is a chunk of its own, so that an
 * overrun of one object is seen although its neighbour belongs to the same arena.
 */
#define _DEFAULT_SOURCE /* madvise */
#include "arena.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

#if defined(__SANITIZE_ADDRESS__)
#define EACH_REQUEST_ALONE 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define EACH_REQUEST_ALONE 1
#endif
#endif
#ifndef EACH_REQUEST_ALONE
#define EACH_REQUEST_ALONE 0
#endif

enum {
    FIRST_CHUNK = 4096,
    LARGE_PAGE = 2 << 20,
    LARGEST_CHUNK = 2 * LARGE_PAGE,
    ALONE = 1 << 20 /* what is as large as this gets a chunk of its own */
};

struct chunk {
    struct chunk *older;
    size_t size; /* of the whole block */
    size_t used; /* from the start of the block */
};

struct arena {
    struct allocator from;
    struct chunk *newest;
    size_t limit;
    size_t used;
    size_t next_chunk;
    status status;
};

/* A block that large pages can lie behind: rows are looked up all over it, and finding
 * small pages takes a fifth of the time of a catalogue of 100,000 parts. */
static void *take_large(size_t size)
{
    void *given = NULL;
    if (posix_memalign(&given, LARGE_PAGE, size) != 0) {
        return NULL;
    }
    (void)madvise(given, size, MADV_HUGEPAGE); /* a wish */
    return given;
}

static void *resize_standard(void *context, void *old, size_t old_size, size_t new_size)
{
    (void)context;
    (void)old_size;
    if (new_size == 0) {
        free(old);
        return NULL;
    }
    return old == NULL && new_size >= LARGEST_CHUNK ? take_large(new_size)
                                                    : realloc(old, new_size);
}

struct allocator allocator_standard(void)
{
    return (struct allocator){resize_standard, NULL};
}

struct arena *arena_open(struct allocator from, size_t limit)
{
    struct arena *arena = from.resize(from.context, NULL, 0, sizeof *arena);
    if (arena != NULL) {
        *arena = (struct arena){.from = from, .limit = limit, .next_chunk = FIRST_CHUNK};
    }
    return arena;
}

struct arena *arena_open_beside(const struct arena *arena)
{
    return arena_open(arena->from, 0);
}

struct arena *arena_beside(const struct arena *arena)
{
    return arena_open(arena->from, arena->limit);
}

void arena_close(struct arena *arena)
{
    if (arena == NULL) {
        return;
    }
    const struct allocator from = arena->from;
    for (struct chunk *at = arena->newest; at != NULL;) {
        struct chunk *older = at->older;
        from.resize(from.context, at, at->size, 0);
        at = older;
    }
    from.resize(from.context, arena, sizeof *arena, 0);
}

static size_t round_up(size_t size)
{
    const size_t unit = alignof(max_align_t);
    return (size + unit - 1) / unit * unit;
}

/* Gives the chunk that the request goes into. A large one gets a chunk of its own behind
 * the newest, whose room is still good. */
static struct chunk *add_chunk(struct arena *arena, size_t request)
{
    const size_t header = round_up(sizeof(struct chunk));
    const bool is_alone = request >= ALONE && arena->newest != NULL;
    size_t size = header + request;
    if (!EACH_REQUEST_ALONE && size < arena->next_chunk) {
        size = arena->next_chunk;
        arena->next_chunk *= arena->next_chunk < LARGEST_CHUNK ? 2 : 1;
    }
    struct chunk *made = arena->from.resize(arena->from.context, NULL, 0, size);
    if (made == NULL) {
        arena->status = STATUS_NO_MEMORY;
        return NULL;
    }
    struct chunk **link = is_alone ? &arena->newest->older : &arena->newest;
    *made = (struct chunk){*link, size, header};
    *link = made;
    return made;
}

void *arena_take_unset(struct arena *arena, size_t size)
{
    if (arena->status != STATUS_OK) {
        return NULL;
    }
    if (size > SIZE_MAX / 2) {
        arena->status = STATUS_NO_MEMORY;
        return NULL;
    }
    /* A request for nothing still gets an address of its own, so that NULL always means
     * failure. */
    const size_t request =
        EACH_REQUEST_ALONE ? (size == 0 ? 1 : size) : round_up(size == 0 ? 1 : size);
    if (arena->limit != 0 && request > arena->limit - arena->used) {
        arena->status = STATUS_LIMIT;
        return NULL;
    }
    const bool is_room = !EACH_REQUEST_ALONE && arena->newest != NULL &&
                         arena->newest->size - arena->newest->used >= request;
    struct chunk *chunk = is_room ? arena->newest : add_chunk(arena, request);
    if (chunk == NULL) {
        return NULL;
    }
    char *given = (char *)chunk + chunk->used;
    chunk->used += request;
    arena->used += request;
    return given;
}

void *arena_take(struct arena *arena, size_t size)
{
    void *given = arena_take_unset(arena, size);
    return given == NULL ? NULL : memset(given, 0, size);
}

/* The link to the chunk that holds nothing but this block; NULL: it shares its chunk. */
static struct chunk **chunk_of(struct arena *arena, void *block, size_t size)
{
    const size_t header = round_up(sizeof(struct chunk));
    struct chunk **link = &arena->newest;
    if (EACH_REQUEST_ALONE || block == NULL || round_up(size) < ALONE) {
        return NULL;
    }
    while (*link != NULL && (char *)*link + header != (char *)block) {
        link = &(*link)->older;
    }
    return *link == NULL || (*link)->used != header + round_up(size) ? NULL : link;
}

void arena_drop(struct arena *arena, void *old, size_t size)
{
    struct chunk **link = chunk_of(arena, old, size);
    if (link != NULL) {
        struct chunk *chunk = *link;
        *link = chunk->older;
        arena->used -= round_up(size);
        arena->from.resize(arena->from.context, chunk, chunk->size, 0);
    }
}

/* The chunk of a large block made longer where it is, or moved. */
static void *grow_chunk(struct arena *arena, struct chunk **link, size_t old_size,
                        size_t new_size)
{
    const size_t header = round_up(sizeof(struct chunk));
    const size_t more = round_up(new_size) - round_up(old_size);
    if (arena->limit != 0 && more > arena->limit - arena->used) {
        arena->status = STATUS_LIMIT;
        return NULL;
    }
    const size_t size = header + round_up(new_size);
    struct chunk *moved =
        arena->from.resize(arena->from.context, *link, (*link)->size, size);
    if (moved == NULL) {
        arena->status = STATUS_NO_MEMORY;
        return NULL;
    }
    moved->size = size;
    moved->used = size;
    *link = moved;
    arena->used += more;
    return (char *)moved + header;
}

void *arena_grow(struct arena *arena, void *old, size_t old_size, size_t new_size)
{
    struct chunk **link = NULL;
    if (arena->status == STATUS_OK && new_size <= SIZE_MAX / 2) {
        link = chunk_of(arena, old, old_size);
    }
    if (link != NULL) {
        return grow_chunk(arena, link, old_size, new_size);
    }
    void *grown = arena_take(arena, new_size);
    if (grown != NULL && old_size > 0) {
        memcpy(grown, old, old_size);
    }
    return grown;
}

void *arena_take_many(struct arena *arena, size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / size) {
        if (arena->status == STATUS_OK) {
            arena->status = STATUS_NO_MEMORY;
        }
        return NULL;
    }
    return arena_take(arena, count * size);
}

void *arena_copy(struct arena *arena, const void *from, size_t size)
{
    void *copy = arena_take(arena, size);
    if (copy != NULL && size > 0) {
        memcpy(copy, from, size);
    }
    return copy;
}

struct allocator arena_seal(struct arena *arena)
{
    const struct allocator from = arena->from;
    arena->from = (struct allocator){NULL, NULL};
    arena->status = STATUS_LIMIT;
    return from;
}

void arena_unseal(struct arena *arena, struct allocator from)
{
    arena->from = from;
    arena->status = STATUS_OK;
}

status arena_status(const struct arena *arena)
{
    return arena->status;
}

void arena_extend(struct arena *arena, size_t more)
{
    if (arena->status == STATUS_LIMIT && arena->limit <= SIZE_MAX - more) {
        arena->limit += more;
        arena->status = STATUS_OK;
    }
}

size_t arena_used(const struct arena *arena)
{
    return arena->used;
}
