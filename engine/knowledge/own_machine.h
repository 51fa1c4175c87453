/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_OWN_MACHINE_H
#define WHYFIT_OWN_MACHINE_H

#include "knowledge.h"

/*
 * Somebody's own machine: a unit like another one, with what was read on its pieces.
 *
 *   unit: my-head
 *   like: kestrel-head-early
 *   source: measured by the owner
 *   pieces:
 *     shaft: {runs: {seal-land: {diameter: {measured: 44.95 mm, with: micrometer}}}}
 *
 * Each piece that was read becomes a part of its own ("my-head.shaft"): its number's
 * document with the readings in place of what is drawn. `another` puts in its number new.
 */

/* The unit's whole document and those of its pieces. `units` are all unit documents.
 * Faults are reported; STATUS_INVALID then. */
struct own_part {
    const struct node *document;
    const struct node *readings; /* what is written of the piece itself */
    const struct part *number;
    bool is_of_base; /* a piece of the machine that this one is like */
};
struct own_machine {
    const struct node *unit;
    const struct own_part *parts;
    uint32_t part_count;
};
MUST_USE status own_machine_read(struct arena *arena, const struct knowledge *knowledge,
                                 const struct node *const *units, uint32_t unit_count,
                                 const struct node *document,
                                 struct diagnostics *diagnostics,
                                 struct own_machine *out);

/* Fills part->odd: readings that lie outside what its number may be, and that nobody has
 * confirmed. Both parts' rows must be in the base. */
MUST_USE status own_readings(struct arena *arena, const struct knowledge *knowledge,
                             struct part *part);

#endif
