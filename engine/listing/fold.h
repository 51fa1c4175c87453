/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_FOLD_H
#define WHYFIT_FOLD_H

#include "text.h"

/*
 * A seller's text as patterns read it: small letters without accents, digits of any
 * width, one kind of hyphen, quote and blank, no invisible characters; `@` for the sign
 * of a diameter, `_` for a letter of another script; a fraction of one character is
 * spelt out. Each byte knows where it came from.
 */
struct folded {
    text original;
    text plain;
    const uint32_t *at; /* of each byte of plain: the byte of the original */
};

/* STATUS_INVALID: it is not UTF-8, *wrong is the byte that is not. */
MUST_USE status fold(struct arena *arena, text original, struct folded *out,
                     size_t *wrong);

/* The stretch of the original that plain[from, end) came from; end > from. */
text fold_original(const struct folded *folded, size_t from, size_t end);

#endif
