/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_STATED_PRIVATE_H
#define WHYFIT_STATED_PRIVATE_H

#include "stated.h"

/*
 * The pieces of a stated dimension. Each take_… reads its piece and moves on, or gives
 * false; false without a fault means that no such piece stands here, and nothing is
 * taken.
 */
struct piece {
    size_t at;
    size_t length;
};

struct cursor {
    text all;
    size_t at;
    const struct stated_options *options;
    struct piece unit;      /* where the last unit stands */
    struct piece tolerance; /* where the tolerance, range or class stands */
    bool has_fault;
    enum diagnostic_code code;
    struct piece fault;
    const char *message;
};

/* Keeps the first fault. */
void cursor_fault(struct cursor *cursor, enum diagnostic_code code, struct piece where,
                  const char *message);
text cursor_rest(const struct cursor *cursor);
void cursor_skip_blanks(struct cursor *cursor);
/* From `start` to where the cursor stands. */
struct piece cursor_since(const struct cursor *cursor, size_t start);

bool take_word(struct cursor *cursor, const char *word);
/* 1, -1, or 0 when there is no sign; the typographic minus counts. */
int take_sign(struct cursor *cursor);
/* Digits with an optional decimal sign and exponent; no sign before them. */
bool take_number(struct cursor *cursor, double *out, int *decimals);
bool take_unit(struct cursor *cursor, struct unit *out);
bool take_class(struct cursor *cursor, text *out);
/* ±0.05, +/-0.05 or +0.1/-0. */
bool take_tolerance(struct cursor *cursor, double *low, double *high);
/* "..18.05" */
bool take_range_end(struct cursor *cursor, double *out);

/* How long a word is that may be a unit or a class: up to a blank, comma or bracket. */
size_t word_length(text a);

#endif
