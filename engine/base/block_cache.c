/* SPDX-License-Identifier: MIT */
#include "block_cache.h"

#include <stdint.h>

enum {
    MOST_KEPT = 24,
    LARGEST_KEPT = 256 * 1024
};

struct kept {
    void *at;
    size_t size;
};

struct block_cache {
    struct allocator from;
    struct kept kept[MOST_KEPT];
    uint32_t count;
};

struct block_cache *block_cache_open(struct allocator from)
{
    struct block_cache *cache = from.resize(from.context, NULL, 0, sizeof *cache);
    if (cache != NULL) {
        *cache = (struct block_cache){.from = from};
    }
    return cache;
}

void block_cache_close(struct block_cache *cache)
{
    if (cache == NULL) {
        return;
    }
    const struct allocator from = cache->from;
    for (uint32_t i = 0; i < cache->count; i++) {
        (void)from.resize(from.context, cache->kept[i].at, cache->kept[i].size, 0);
    }
    (void)from.resize(from.context, cache, sizeof *cache, 0);
}

/* A kept block of this size, which is no longer kept; NULL: there is none. */
static void *take_kept(struct block_cache *cache, size_t size)
{
    for (uint32_t i = cache->count; i > 0; i--) {
        if (cache->kept[i - 1].size == size) {
            void *at = cache->kept[i - 1].at;
            cache->kept[i - 1] = cache->kept[--cache->count];
            return at;
        }
    }
    return NULL;
}

static void give_back(struct block_cache *cache, void *old, size_t size)
{
    if (old == NULL) {
        return;
    }
    if (size <= LARGEST_KEPT && cache->count < MOST_KEPT) {
        cache->kept[cache->count++] = (struct kept){old, size};
        return;
    }
    (void)cache->from.resize(cache->from.context, old, size, 0);
}

static void *resize(void *context, void *old, size_t old_size, size_t new_size)
{
    struct block_cache *cache = context;
    if (new_size == 0) {
        give_back(cache, old, old_size);
        return NULL;
    }
    if (old != NULL) {
        return cache->from.resize(cache->from.context, old, old_size, new_size);
    }
    void *at = take_kept(cache, new_size);
    return at != NULL ? at : cache->from.resize(cache->from.context, NULL, 0, new_size);
}

struct allocator block_cache_allocator(struct block_cache *cache)
{
    return (struct allocator){resize, cache};
}
