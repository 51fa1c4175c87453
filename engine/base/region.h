/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_REGION_H
#define WHYFIT_REGION_H

#include "arena.h"

/*
 * Memory at one address that is the same in every process: what arenas keep in it can be
 * written to a file and brought back with every pointer in it still right (image.h).
 * There is one such place in a process, so one region at a time.
 */
struct region;

/* NULL: the address is not free here, or out of memory. */
MUST_USE struct region *region_open(void);

/* Blocks of the region for an arena; their bytes are zero where nobody has written. The
 * region closes itself when its last block is given back. */
struct allocator region_allocator(struct region *region);
/* Closes a region that gave no block. */
void region_close(struct region *region);

/* From its address to the end of its last block; what is free in between is zero. */
const char *region_at(const struct region *region);
size_t region_size(const struct region *region);
/* Whether so many bytes from its address on may be read: those behind the last block are
 * zero. */
bool region_covers(struct region *region, size_t size);

/* Where regions lie: below what the kernel hands out by itself and above the program and
 * its heap, on every layout with 47 bits of address and under AddressSanitizer. */
#define REGION_ADDRESS UINT64_C(0x200000000000)

#endif
