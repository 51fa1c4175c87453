/* SPDX-License-Identifier: MIT */
/*
 * Blocks are cut from the top; those given back are kept as gaps, sorted by place and
 * never side by side, and the first that is large enough is used again. More pages are
 * asked for as the top rises, so nothing is reserved that is not used.
 */
#define _GNU_SOURCE
#include "region.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

enum {
    PIECE = 1 << 20, /* pages are asked for in pieces of this size */
    UNIT = 16,
    PAGE = 4096
};

struct gap {
    size_t at;
    size_t size;
};

struct region {
    size_t top;    /* blocks end below */
    size_t mapped; /* pages up to here are there */
    size_t live;   /* bytes in blocks */
    struct gap *gaps;
    size_t gap_count;
    size_t gap_room;
};

static char *place(size_t at)
{
    return (char *)(uintptr_t)REGION_ADDRESS + at; // NOLINT(performance-no-int-to-ptr)
}

/* Pages up to `end`; false when they cannot be had. */
static bool map_to(struct region *region, size_t end)
{
    if (end <= region->mapped) {
        return true;
    }
    const size_t more = (end - region->mapped + PIECE - 1) / PIECE * PIECE;
    char *wanted = place(region->mapped);
    void *given = mmap(wanted, more, PROT_READ | PROT_WRITE,
                       MAP_PRIVATE | MAP_ANONYMOUS | MAP_FIXED_NOREPLACE, -1, 0);
    if (given == MAP_FAILED) {
        return false;
    }
    if (given != wanted) { /* a kernel that takes the address for a wish */
        (void)munmap(given, more);
        return false;
    }
    region->mapped += more;
    return true;
}

struct region *region_open(void)
{
    struct region *region = calloc(1, sizeof *region);
    if (region != NULL && !map_to(region, PIECE)) {
        free(region);
        return NULL;
    }
    return region;
}

void region_close(struct region *region)
{
    if (region != NULL) {
        (void)munmap(place(0), region->mapped);
        free(region->gaps);
        free(region);
    }
}

const char *region_at(const struct region *region)
{
    (void)region;
    return place(0);
}

size_t region_size(const struct region *region)
{
    return region->top;
}

bool region_covers(struct region *region, size_t size)
{
    return map_to(region, size);
}

/* ---- gaps */

static void remove_gap(struct region *region, size_t i)
{
    region->gap_count--;
    memmove(&region->gaps[i], &region->gaps[i + 1],
            (region->gap_count - i) * sizeof *region->gaps);
}

static char *take_gap(struct region *region, size_t size)
{
    for (size_t i = 0; i < region->gap_count; i++) {
        struct gap *gap = &region->gaps[i];
        if (gap->size >= size) {
            char *given = place(gap->at);
            gap->at += size;
            gap->size -= size;
            if (gap->size == 0) {
                remove_gap(region, i);
            }
            return given;
        }
    }
    return NULL;
}

static void clear(size_t at, size_t size)
{
    const size_t first = (at + PAGE - 1) / PAGE * PAGE;
    const size_t last = (at + size) / PAGE * PAGE;
    const bool has_pages =
        first < last && madvise(place(first), last - first, MADV_DONTNEED) == 0;
    if (has_pages) {
        memset(place(at), 0, first - at);
        memset(place(last), 0, at + size - last);
    } else {
        memset(place(at), 0, size);
    }
}

/* Room for one gap more; without it what is given back is lost until the region closes.
 */
static bool more_gaps(struct region *region)
{
    if (region->gap_count < region->gap_room) {
        return true;
    }
    const size_t room = region->gap_room == 0 ? 64 : region->gap_room * 2;
    struct gap *grown = realloc(region->gaps, room * sizeof *grown);
    if (grown == NULL) {
        return false;
    }
    region->gaps = grown;
    region->gap_room = room;
    return true;
}

static void add_gap(struct region *region, size_t at, size_t size)
{
    size_t i = 0;
    while (i < region->gap_count && region->gaps[i].at < at) {
        i++;
    }
    struct gap *before = i == 0 ? NULL : &region->gaps[i - 1];
    struct gap *after = i == region->gap_count ? NULL : &region->gaps[i];
    const bool joins_before = before != NULL && before->at + before->size == at;
    const bool joins_after = after != NULL && at + size == after->at;
    if (joins_before) {
        before->size += size + (joins_after ? after->size : 0);
        if (joins_after) {
            remove_gap(region, i);
        }
    } else if (joins_after) {
        after->at = at;
        after->size += size;
    } else if (more_gaps(region)) {
        memmove(&region->gaps[i + 1], &region->gaps[i],
                (region->gap_count - i) * sizeof *region->gaps);
        region->gaps[i] = (struct gap){at, size};
        region->gap_count++;
    }
    const struct gap *last =
        region->gap_count == 0 ? NULL : &region->gaps[region->gap_count - 1];
    if (last != NULL && last->at + last->size == region->top) {
        region->top = last->at;
        region->gap_count--;
    }
}

/* ---- blocks */

static size_t round_up(size_t size)
{
    return (size + UNIT - 1) / UNIT * UNIT;
}

static void *take(struct region *region, size_t size)
{
    char *given = take_gap(region, size);
    if (given == NULL) {
        if (size > SIZE_MAX / 4 || !map_to(region, region->top + size)) {
            return NULL;
        }
        given = place(region->top);
        region->top += size;
    }
    region->live += size;
    return given;
}

static void give_back(struct region *region, char *block, size_t size)
{
    const size_t at = (size_t)(block - place(0));
    clear(at, size);
    add_gap(region, at, size);
    region->live -= size;
}

/* A block made longer or shorter where it is; false: it has to move. */
static bool resize_there(struct region *region, const char *block, size_t old_size,
                         size_t new_size)
{
    const size_t at = (size_t)(block - place(0));
    if (at + old_size != region->top || new_size < old_size ||
        !map_to(region, at + new_size)) {
        return old_size == new_size;
    }
    region->top = at + new_size;
    region->live += new_size - old_size;
    return true;
}

static void *resize(void *context, void *old, size_t old_size, size_t new_size)
{
    struct region *region = context;
    const size_t before = round_up(old_size);
    const size_t after = round_up(new_size);
    if (old != NULL && after > 0 && resize_there(region, old, before, after)) {
        return old;
    }
    void *given = after == 0 ? NULL : take(region, after);
    if (old != NULL && (after == 0 || given != NULL)) {
        if (given != NULL) {
            memcpy(given, old, before < after ? before : after);
        }
        give_back(region, old, before);
        if (region->live == 0) {
            region_close(region);
        }
    }
    return given;
}

struct allocator region_allocator(struct region *region)
{
    return (struct allocator){resize, region};
}
