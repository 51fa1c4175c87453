/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FLAT_ROWS_H
#define WHYFIT_FLAT_ROWS_H

#include "knowledge.h"

/*
 * Reads a file of comma-separated values into the base. It fills the relation that its
 * name says, up to the first dot: edge.csv and edge.north.csv fill `edge`. The relation
 * must be filled by facts; what parts and units list (`listed-as`, kinds) is theirs.
 *
 *   from,to,length [mm],lanes
 *   a,b,12.5 ±0.1,2
 *
 * The first line names the columns in any order, each that is not optional. A unit behind
 * a quantity's name holds where a cell has none. An empty cell is not known, or nothing
 * where the column is optional; a key is never empty. Faults are reported;
 * STATUS_INVALID then.
 */
MUST_USE status flat_rows_read(struct arena *arena, struct knowledge *knowledge,
                               text name, text content, uint32_t source,
                               struct diagnostics *diagnostics);

#endif
