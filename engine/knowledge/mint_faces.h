/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_FACES_H
#define WHYFIT_MINT_FACES_H

#include "mint_lines.h"

/* Which way a face looks as it lies in the unit: 1 out, -1 in, 0 not known. */
int face_way(const struct layer *layer, const struct fill *fill,
             const struct feature_ref *ref);

/* Puts the opposite face in place of one of a piece that the question turned round. */
void face_flip(const struct layer *layer, const struct fill *fill,
               struct feature_ref *ref);

#endif
