/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_LISTING_ADVICE_H
#define WHYFIT_LISTING_ADVICE_H

#include "goes_on.h"

/* What would make a listing right: what its part really goes on, and the one look or
 * measurement that tells its parts apart. Of `parts` (indices), those that are left;
 * `set` is all parts of the listing, sorted, where they go on together, else NULL. */
MUST_USE status advice_give(struct lister *lister, struct arena *arena,
                            const uint32_t *parts, uint32_t count, const uint32_t *set,
                            bool by_number, struct listing_answer *listing);

/* Whether all go on the same machines in the same years. */
MUST_USE status advice_same_machines(struct lister *lister, const uint32_t *parts,
                                     uint32_t count, bool *out);
/* Whether all are left, all right, or all of no hand. */
bool advice_one_hand(const struct lister *lister, const uint32_t *parts, uint32_t count);

#endif
