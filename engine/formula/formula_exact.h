/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORMULA_EXACT_H
#define WHYFIT_FORMULA_EXACT_H

#include "formula_tree.h"

/* A quantity without tolerance. */
struct exact {
    double number;
    const struct dimension *dim;
};

/* The number of a sum, difference, choice or magnitude of what is all exact, without
 * asking for memory; false: something is not, or it is another operation. */
bool formula_exact(const struct expression *at, const struct formula_frame *frame,
                   struct exact *out);

/* The same of a comparison, which then is true or not. */
bool formula_exact_comparison(const struct expression *at,
                              const struct formula_frame *frame, bool *out);

#endif
