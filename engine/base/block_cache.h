/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_BLOCK_CACHE_H
#define WHYFIT_BLOCK_CACHE_H

#include "arena.h"

/*
 * An allocator that keeps what is given back and hands it out again, for whoever opens
 * and closes one arena after the other: each asks for blocks of the same sizes. For one
 * thread. It keeps few blocks, and none that is large.
 */
struct block_cache;

/* NULL: no memory. Owned: block_cache_close, when no arena of it is open any more. */
MUST_USE struct block_cache *block_cache_open(struct allocator from);
void block_cache_close(struct block_cache *cache);
struct allocator block_cache_allocator(struct block_cache *cache);

#endif
