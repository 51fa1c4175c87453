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

/* Parts that are judged together, sorted; nearly always one. */
struct sold {
    const uint32_t *parts;
    uint32_t count;
};

struct year_range {
    int from; /* FIRST_YEAR, LAST_YEAR: an open end */
    int to;
};
/* "2004..2012", "2013..", "..2012", "2011", "all". */
struct year_range year_range_of(text years);

/* Whether what is sold goes on a model in at least some year. *why: one stretch that
 * tells. */
MUST_USE status model_agrees(struct lister *lister, struct sold sold, uint32_t model,
                             enum agreement *out, struct reason *why);

/* Whether the years claimed are years in which it goes on a named model, and in which no
 * named model takes another; without named models, all that take it count. */
MUST_USE status years_agree(struct lister *lister, struct sold sold, text years,
                            const struct named_models *models, enum agreement *out,
                            struct reason *why);

#endif
