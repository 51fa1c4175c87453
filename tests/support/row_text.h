/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_ROW_TEXT_H
#define WHYFIT_TEST_ROW_TEXT_H

#include "relation.h"

/* Rows as text, for tests to compare: everything they say, and nothing that hangs on the
 * number of a name or a row. Lengths are in mm. */
struct row_writer {
    char *out;
    size_t room;
    size_t at; /* room and more: it was too much */
};

__attribute__((format(printf, 2, 3))) void row_put(struct row_writer *writer,
                                                   const char *format, ...);

/* " because of A; B", or nothing. */
void row_put_doubt(struct row_writer *writer, struct doubt doubt);
void row_put_value(struct row_writer *writer, const struct names *names,
                   struct value value);
/* "relation(key, key)" */
void row_put_key(struct row_writer *writer, const struct names *names,
                 const struct relation_shape *shape, const name_id *key);
/* "pair(a, b) open, height 2 because of a.size, length = 10 [9, 11]" */
void row_put_row(struct row_writer *writer, const struct names *names,
                 const struct relation_shape *shape, const struct row *row);

#endif
