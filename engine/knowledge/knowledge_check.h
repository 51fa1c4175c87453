/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_KNOWLEDGE_CHECK_H
#define WHYFIT_KNOWLEDGE_CHECK_H

#include "knowledge.h"

/* Each reports all it finds; STATUS_INVALID then. */

/* Places are filled by parts or units that are there, paths lead between spaces. `parts`
 * are all that were written: one that is at fault is not missed as well. */
MUST_USE status knowledge_check_names(const struct knowledge *knowledge,
                                      const struct node *const *parts,
                                      uint32_t part_count,
                                      struct diagnostics *diagnostics);
/* What kinds ask for are rules that make findings. */
MUST_USE status knowledge_check_asks(const struct knowledge *knowledge,
                                     struct diagnostics *diagnostics);

#endif
