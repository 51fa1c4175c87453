/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_UNIT_LISTS_H
#define WHYFIT_UNIT_LISTS_H

#include "part.h"

/*
 * What a unit states of itself by the relations that the vocabulary lists in units, such
 * as how fast the shaft in a place turns:
 *
 *   turns: {shaft: {speed: 1450 rpm}}
 *
 * An entry is one row, keyed by unit and entry. Its dimensions are called
 * "ENTRY.LIST.FIELD" and are the same in host and swap: the duty does not change with a
 * part.
 */

/* Adds these rows under the owner `unit`. `given` values replace what is written. Faults
 * are reported; STATUS_INVALID then. */
MUST_USE status unit_lists_build(const struct part_surroundings *surroundings,
                                 const struct recipe *recipe, name_id unit, text prefix,
                                 struct given_value *given, uint32_t given_count,
                                 struct store *store);

/* Reads them once for their faults. `shapes` are those of the knowledge's relations. */
MUST_USE status unit_lists_check(const struct part_surroundings *surroundings,
                                 const struct recipe *recipe,
                                 const struct relation_shape *shapes,
                                 uint32_t shape_count);

#endif
