/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORM_PRIVATE_H
#define WHYFIT_FORM_PRIVATE_H

#include "form.h"
#include "interval.h"

/* ca * a + cb * b (b may be NULL), terms merged, ranges not yet worked out. */
struct form *form_combine(struct arena *arena, const struct form *a, double ca,
                          const struct form *b, double cb);

/* Adds every dimension of `of` (terms and absorbed) to the absorbed ones of `form`. Past
 * LIMIT_FORM_TERMS only the missing ones are kept. */
bool form_absorb(struct arena *arena, struct form *form, const struct form *of);

/* Works out the range from the form itself, and intersects it with `known`. Every
 * operation ends here, so here a form that is undefined, too long or beyond what a double
 * holds loses its number and keeps the names of what went in. */
const struct form *form_finish(struct arena *arena, struct form *form,
                               struct interval known);

/* No number, with the reason, and absorbed all that went in (b may be NULL). */
const struct form *form_no_number(struct arena *arena, struct dimension dim,
                                  const char *why, const struct form *a,
                                  const struct form *b);

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
