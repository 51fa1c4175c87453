/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_UPGRADE_PRIVATE_H
#define WHYFIT_UPGRADE_PRIVATE_H

#include "swap_private.h"
#include "upgrade.h"

/* set_parts.c: what a swap takes off the shelf, by place; mends must have been tried. */
MUST_USE status swap_parts(struct swap *swap, const struct set_part **out,
                           uint32_t *count);

/* set_cost.c: marks what the user has, and adds up the rest. `host` is opened once. */
struct set_cost set_cost_of(const struct recipe *host, const struct set_part *parts,
                            uint32_t count);
bool cost_before(const struct set_cost *a, const struct set_cost *b, bool by_price,
                 bool *is_equal);

/* set_gains.c: margins and figures that changed, what grew first. */
MUST_USE status swap_gains(struct swap *swap, struct change_set_answer *out);

#endif
