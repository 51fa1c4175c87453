/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_FAILING_ALLOCATOR_H
#define WHYFIT_TEST_FAILING_ALLOCATOR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>

/* An allocator that fails one request, counted from 1, and every one after it; 0 fails
 * none. */
struct failing_allocator {
    size_t fails_at;
    size_t requests;
    size_t open_blocks;
};

static inline void *failing_resize(void *context, void *old, size_t old_size,
                                   size_t new_size)
{
    struct failing_allocator *self = context;
    (void)old_size;
    if (new_size == 0) {
        self->open_blocks -= old != NULL ? 1 : 0;
        free(old);
        return NULL;
    }
    self->requests++;
    if (self->fails_at != 0 && self->requests >= self->fails_at) {
        return NULL;
    }
    void *made = realloc(old, new_size);
    self->open_blocks += old == NULL && made != NULL ? 1 : 0;
    return made;
}

#endif
