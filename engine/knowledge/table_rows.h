/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TABLE_ROWS_H
#define WHYFIT_TABLE_ROWS_H

#include "knowledge.h"

/* Reads the rows of relations without an owner into the base:
 *
 *   table-rows:
 *     attacks: [{elastomer: NBR, fluid: glycol-brake-fluid}, …]
 *   source: …
 *
 * Every column that is not optional must be written. Faults are reported;
 * STATUS_INVALID then. */
MUST_USE status table_rows_read(struct arena *arena, struct knowledge *knowledge,
                                const struct node *document,
                                struct diagnostics *diagnostics);

#endif
