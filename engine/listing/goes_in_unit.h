/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_GOES_IN_UNIT_H
#define WHYFIT_GOES_IN_UNIT_H

#include "goes_on.h"

/* Whether parts go into a unit, all at once: by a swap, unless it has them. Fills in what
 * tells of it; the words are in the arena. */
MUST_USE status goes_in_unit(struct lister *lister, struct arena *arena,
                             const struct recipe *unit, const uint32_t *parts,
                             uint32_t count, struct stretch_of_years *out);

#endif
