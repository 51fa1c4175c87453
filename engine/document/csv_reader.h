/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CSV_READER_H
#define WHYFIT_CSV_READER_H

#include "diagnostic.h"

/*
 * Rows of comma-separated values as RFC 4180 has them: lines end with \n or \r\n; a cell
 * between quotes may hold commas, line ends and, doubled, quotes. Beyond it: a byte order
 * mark before the first line is passed over, so are empty lines, and so are blanks around
 * a cell that has no quotes. Nothing is allocated: cells are places in the text.
 */
struct csv_cell {
    uint32_t at; /* of its text: inside the quotes, if there are any */
    uint32_t length;
    bool has_doubled; /* quotes in it are written doubled: see csv_cell_text */
};

struct csv {
    text content;
    uint32_t source;
    size_t at;     /* where the next row starts */
    size_t row_at; /* the row last read */
    size_t row_end;
    struct diagnostics *diagnostics;
    uint32_t longest;  /* cell; LIMIT_SCALAR_BYTES unless its reader says otherwise */
    char separator;    /* a comma, unless its reader says otherwise */
    bool keeps_quotes; /* in a cell without quotes one is part of it: 6" */
};

enum csv_result {
    CSV_ROW,
    CSV_END,
    CSV_WRONG /* reported; the next row can be read */
};

/* Begins at the start of source `source`; `content` is its text. */
struct csv csv_open(text content, uint32_t source, struct diagnostics *diagnostics);

/* The next row: its first `room` cells, and in *count how many it has. */
MUST_USE enum csv_result csv_next(struct csv *csv, struct csv_cell *cells, uint32_t room,
                                  uint32_t *count);

/* What a cell says: a part of the content, or, where quotes are doubled, a copy in `room`
 * (LIMIT_SCALAR_BYTES). */
text csv_cell_text(const struct csv *csv, const struct csv_cell *cell, char *room);
span csv_cell_span(const struct csv *csv, const struct csv_cell *cell);
/* The row last read, without its line end. */
span csv_row_span(const struct csv *csv);

#endif
