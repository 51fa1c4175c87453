/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RECKON_H
#define WHYFIT_RECKON_H

#include "knowledge.h"

/* A formula's value: a quantity, a truth or a word. */
MUST_USE status reckon_formula(struct arena *arena, const struct knowledge *knowledge,
                               text expression, span where,
                               struct diagnostics *diagnostics, struct value *out);

/* "40 H7/k6", or one class alone: what each side's limits are, and what lies between
 * them. */
struct reckoned_fit {
    text size;       /* "40" */
    text hole_class; /* empty when not asked */
    text shaft_class;
    const struct form *hole;
    const struct form *shaft;
    const struct form *clearance; /* bore minus shaft; NULL unless both are there */
};
MUST_USE status reckon_fit(struct arena *arena, const struct knowledge *knowledge,
                           text fit, span where, struct diagnostics *diagnostics,
                           struct reckoned_fit *out);

#endif
