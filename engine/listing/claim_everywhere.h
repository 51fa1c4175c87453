/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CLAIM_EVERYWHERE_H
#define WHYFIT_CLAIM_EVERYWHERE_H

#include "claim_years.h"

/*
 * Claims about every machine of a kind: one that it does not go on refutes "fits all" and
 * "replaces", one that it goes on "does not fit". *why: what refutes it, else one stretch
 * that tells.
 */

/* Whether it goes on no model of those in any year of the range. Without models all
 * count. */
MUST_USE status nowhere_agrees(struct lister *lister, struct sold sold,
                               struct year_range range, const struct named_models *models,
                               enum agreement *out, struct reason *why);

/* Whether it goes on all models of a family in all years of the range; "all": of every
 * family of which it goes on one. */
MUST_USE status everywhere_agrees(struct lister *lister, struct sold sold,
                                  struct year_range range, text family,
                                  enum agreement *out, struct reason *why);

/* Whether it goes wherever another part goes. */
MUST_USE status replaces_agrees(struct lister *lister, struct sold sold, uint32_t other,
                                enum agreement *out, struct reason *why);

#endif
