/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_ROWS_H
#define WHYFIT_LISTING_ROWS_H

#include "whyfit_listing.h"

#include <stdio.h>

/*
 * A file of listings, read a stretch at a time: the rows that are whole lie in the buffer
 * until the next stretch is read. A row of CSV may go over several lines; no row is
 * longer than the buffer.
 */
enum {
    ROWS_BUFFER = 1 << 20,
    ROWS_WINDOW = 2048
};

struct row_place {
    const char *at;
    size_t length;
    bool is_too_long; /* only its beginning is there */
};

struct rows_in {
    FILE *file;
    whyfit_rows rows;
    char *buffer;
    size_t length;   /* bytes in it */
    size_t used;     /* … of which so many were given */
    uint64_t offset; /* in the file, of what was not given yet */
    bool is_end;
    bool is_skipping; /* the rest of a row that was too long */
    struct row_place places[ROWS_WINDOW];
    size_t count;
};

/* false: no memory. */
bool rows_open(struct rows_in *in, FILE *file, whyfit_rows rows);
void rows_close(struct rows_in *in);
/* The next rows, up to `most`; count 0: there are no more. Empty lines are passed over.
 * false: the file cannot be read. */
bool rows_next(struct rows_in *in, size_t most);

#endif
