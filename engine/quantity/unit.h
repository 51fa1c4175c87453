/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_UNIT_H
#define WHYFIT_UNIT_H

#include "nearest.h"
#include "text.h"

#include <stdint.h>

/*
 * Units and dimensions. Magnitudes are held in one coherent unit per dimension, with
 * lengths in nanometres, so that every whole and half micrometre and every 0.00001 in is
 * a whole number and adds up exactly in a double. Angles, hardness and money are
 * dimensions of their own: they may not be mixed with plain ratios.
 */
enum {
    BASE_LENGTH,      /* nm */
    BASE_MASS,        /* kg */
    BASE_TIME,        /* s */
    BASE_TEMPERATURE, /* K */
    BASE_ANGLE,       /* rad */
    BASE_HARDNESS_HRC,
    BASE_HARDNESS_SHORE,
    BASE_HARDNESS_HBW,
    BASE_MONEY, /* euros */
#define CURRENCY(code, decimals) BASE_##code,
#include "currencies.def"
    BASE_COUNT
};

struct dimension {
    int8_t power[BASE_COUNT];
};

extern const struct dimension DIMENSION_RATIO;  /* all powers 0 */
extern const struct dimension DIMENSION_LENGTH; /* nm */

bool dimension_equal(struct dimension a, struct dimension b);
struct dimension dimension_product(struct dimension a, struct dimension b);
struct dimension dimension_quotient(struct dimension a, struct dimension b);
/* Half of every power; false when one is odd. */
bool dimension_root(struct dimension a, struct dimension *out);
/* "length", "pressure"; for a nameless one a product of base words, in the arena. */
text dimension_name(struct arena *arena, struct dimension a);
/* Whether it is an amount of one currency. */
bool dimension_is_money(struct dimension a);
/* The dimension a vocabulary calls by this word ("length", "ratio", "hardness-hrc", …).
 */
bool dimension_find(text word, struct dimension *out);
void dimension_offer_all(struct nearest *search);

struct unit {
    const char *symbol; /* "mm" */
    struct dimension dim;
    double scale;  /* coherent = written * scale + offset */
    double offset; /* degC, degF only */
    int decimals;  /* sensible digits behind the point when shown */
};

/* false when nobody knows the symbol. Other spellings ("µm", "°", '"') are understood. */
bool unit_find(text symbol, struct unit *out);
/* The same as people type it: all in capitals or all in small letters, a name, one of it
 * or several ("MM", "Inches", "microns"). False also where that could be two units
 * ("NM").
 */
bool unit_find_typed(text word, struct unit *out);
/* How many bytes at the start of `a` are the longest symbol or spelling that stands
 * there. */
size_t unit_length(text a);
/* Offers every unit, or those of one dimension (not NULL). One that ends in the word, as
 * degC in C, is nearest. */
void unit_offer(struct nearest *search, const struct dimension *wanted);
/* The unit a dimension is shown in; false for a nameless one. */
bool unit_shown(struct dimension dim, struct unit *out);
/* The resolution at which results of this dimension are compared, in coherent units: two
 * numbers nearer than this are equal, and a margin within it is 0. From units.def. */
double dimension_grid(struct dimension dim);

double unit_to_coherent(const struct unit *unit, double written);
double unit_from_coherent(const struct unit *unit, double coherent);

#endif
