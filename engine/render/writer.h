/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_WRITER_H
#define WHYFIT_WRITER_H

#include "text.h"

/* Output to whoever takes it; sticky: once the taker says no, nothing more is offered. */
struct writer {
    bool (*sink)(void *context, const char *bytes, size_t length);
    void *context;
    struct arena *arena; /* for what has to be put together first */
    bool is_stopped;
    bool in_colour;
    bool with_effort; /* JSON: what the answer cost */
    unsigned width;
};

void write_text(struct writer *writer, text a);
__attribute__((format(printf, 2, 3))) void write_format(struct writer *writer,
                                                        const char *format, ...);
/* A paragraph whose first line starts with `lead` and whose others are indented as far;
 * broken at blanks to the writer's width. */
void write_wrapped(struct writer *writer, text lead, text paragraph);

#endif
