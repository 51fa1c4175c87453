/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_CLAIM_YEARS_H
#define WHYFIT_CLAIM_YEARS_H

#include "claim_agrees.h"
#include "goes_on.h"

/* The models that a listing names, by index; those nobody knows are left out. */
struct named_models {
    const uint32_t *at;
    uint32_t count;
    bool any_unknown; /* one was named that nobody knows */
};

/* One stretch of years that tells, in words, and the question that shows its swap. */
struct reason {
    text why;
    text question;
};

/* Whether a part goes on a model in at least some year. *why: one stretch that tells. */
MUST_USE status model_agrees(struct lister *lister, uint32_t part, uint32_t model,
                             enum agreement *out, struct reason *why);

/* Whether the years claimed are years in which the part goes on a named model, and in
 * which no named model takes another; without named models, all that take the part
 * count. */
MUST_USE status years_agree(struct lister *lister, uint32_t part, text years,
                            const struct named_models *models, enum agreement *out,
                            struct reason *why);

#endif
