/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PART_RUNS_H
#define WHYFIT_PART_RUNS_H

#include "part_cells.h"

/* Refuses runs that surely end before they begin, and, of a part as it is defined, two on
 * one surface that surely overlap where neither says that it lies on the other. */
void refuse_crossed_runs(struct builder *builder);

#endif
