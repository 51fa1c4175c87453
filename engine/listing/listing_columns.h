/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_COLUMNS_H
#define WHYFIT_LISTING_COLUMNS_H

#include "csv_reader.h"

/*
 * Which columns of a table hold the words of a listing, and which its name: as told, or
 * those that are called like it ("title", "Beschreibung").
 */
enum {
    MOST_COLUMNS = 8,
    MOST_CELLS = 256
};

struct listing_columns {
    text names[MOST_COLUMNS]; /* in the order in which their words are read */
    uint32_t cells[MOST_COLUMNS];
    uint32_t count;
    text id; /* empty: none */
    uint32_t id_cell;
    char separator; /* of CSV */
};

/* Finds the columns that are told in `out` (names and id), or guesses them where none is,
 * among the heads. Gives the first told name that is no head; empty: all were found, or
 * count is 0 because none could be guessed. */
text listing_columns_find(const text *heads, uint32_t count, struct listing_columns *out);

/* What stands between the heads of a table: a comma, a semicolon where there are more of
 * them, or a tab. */
char listing_separator(text head);

/* Cells of one row of CSV, unquoted, in the arena where that takes a copy.
 * STATUS_INVALID: it cannot be read. */
MUST_USE status listing_cells(struct arena *arena, text row, char separator, text *cells,
                              uint32_t *count);

/* The words of a listing: its columns, a line each. */
text listing_join(struct arena *arena, const text *words, uint32_t count);

#endif
