/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_NUMBER_TEXT_H
#define WHYFIT_NUMBER_TEXT_H

#include "text.h"

/*
 * The only place where digits become numbers and numbers digits; the decimal sign is a
 * point whatever the locale.
 */

/* How many bytes of `a`, from its start, are a number: sign, digits, optional point and
 * digits, optional exponent. 0 when it does not start with one. */
size_t number_length(text a);

/* Reads `a`, which must be a number as a whole. false: not one, or not finite, or
 * underflowed. */
MUST_USE bool number_read(text a, double *out);

/* How many bytes of `a`, from its start, are digits with at most one point among them and
 * so few that the number needs no more than one division; then *out is the very number
 * that number_read gives. 0: ask number_length. */
size_t number_read_plain(text a, double *out);

/* Shortest digits that read back equal; inf, -inf, nan spelled so. */
text number_write(struct arena *arena, double value);

/* Rounded to `decimals` places (0..9), trailing zeros kept; never "-0". */
text number_write_fixed(struct arena *arena, double value, int decimals);

#endif
