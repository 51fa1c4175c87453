/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FORMULA_SHORTFALL_H
#define WHYFIT_FORMULA_SHORTFALL_H

#include "formula.h"

/* The part of a condition that makes it no, and by how much. */
struct formula_shortfall {
    text part;         /* "$spare >= 0.5 mm", "not $wet" */
    struct value left; /* of a comparison; VALUE_NONE where it is none */
    struct value right;
    const struct form *by; /* how far left and right lie apart; NULL for words */
};

/* Of a formula that says no in this frame: the smallest part that decides it alone; of
 * several the first as written. */
struct formula_shortfall formula_shortfall(const struct formula *formula,
                                           struct formula_frame *frame);

#endif
