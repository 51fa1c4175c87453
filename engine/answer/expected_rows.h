/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_EXPECTED_ROWS_H
#define WHYFIT_EXPECTED_ROWS_H

#include "answer.h"

#include "node.h"

/*
 * Rows that a worked case expects, as a rule writes what it concludes:
 *
 *   - shows-size: {piece: kestrel-shaft-late, what: spline, size: 40 mm}
 *
 * A column that is not named may hold anything. A quantity is compared by its nominal.
 */
enum expected_rows {
    EXPECTED_SURE_ROWS, /* there, without a doubt */
    EXPECTED_OPEN_ROWS, /* there, and open */
    EXPECTED_NO_ROWS,   /* not there, not even open */
    EXPECTED_ROWS
};
const char *expected_rows_word(uint32_t which); /* "rows", "open-rows", "no-rows" */

/* Whether relations and columns are those of the knowledge, and numbers of the kind that
 * their columns hold. Faults are reported. */
void expected_rows_check(const struct node *rows, const struct knowledge *knowledge,
                         struct diagnostics *diagnostics);

/* Whether the answer has (or has not) a row that was checked. */
bool expected_row_is_so(const struct answer *answer, const struct node *row,
                        enum expected_rows which, struct diagnostics *scratch);

/* "shows-size: piece kestrel-shaft-late, size 40 mm". */
text expected_row_text(struct arena *arena, const struct node *row);

/* The rows of its relation that agree with most of it, for who has to find out why it is
 * not so: "shows-size(kestrel-shaft-late, spline, hub-spline), size 38 mm; …". */
text expected_row_nearest(struct arena *arena, const struct answer *answer,
                          const struct node *row, struct diagnostics *scratch);

#endif
