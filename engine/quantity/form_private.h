/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORM_PRIVATE_H
#define WHYFIT_FORM_PRIVATE_H

#include "form.h"
#include "interval.h"

/* ca * a + cb * b (b may be NULL), terms merged, ranges not yet worked out. */
struct form *form_combine(struct arena *arena, const struct form *a, double ca,
                          const struct form *b, double cb);

/* Adds every dimension of `of` (terms and absorbed) to the absorbed ones of `form`. */
bool form_absorb(struct arena *arena, struct form *form, const struct form *of);

/* Works out the range from the form itself, and intersects it with `known`. */
const struct form *form_finish(struct form *form, struct interval known);

/* What the linear terms and the remainder can come to, without x0. */
struct interval form_swing(const struct form *a);

static inline struct interval form_range(const struct form *a)
{
    return (struct interval){a->least, a->greatest};
}

static inline struct interval interval_all(void)
{
    return (struct interval){-INFINITY, INFINITY};
}

/* Order of deviations by name; 0 for the same. */
int deviation_compare(const struct deviation *a, const struct deviation *b);

#endif
