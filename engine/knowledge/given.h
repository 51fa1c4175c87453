/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_GIVEN_H
#define WHYFIT_GIVEN_H

#include "mint.h"

/*
 * Values that a question gives. PLACE.FEATURE.FIELD speaks for the piece in that place,
 * PART.FEATURE.FIELD for every piece of that number; for a piece of which both are given
 * the place's holds, whatever the order. A word that is a place is no part here.
 */

/* Splits "PLACE.FEATURE.FIELD", "PLACE.FIELD" or the same with a part in front, whose
 * name may hold points. false: it is none of these. */
bool given_read(const struct knowledge *knowledge, struct names *names, text word,
                struct given_value *out);

/* Marks those whose first word is a part's name or number, and no place of the unit. */
void given_find_parts(const struct layer *layer, const struct minted_place *places,
                      uint32_t place_count, struct given_value *given, uint32_t count);

/* The value that holds for a field of a piece (feature NAME_NONE: of the piece itself),
 * marked as used with those that it overrules; NULL: none is given. */
struct given_value *given_of_piece(const struct names *names, struct given_value *given,
                                   uint32_t count, name_id piece, const struct part *part,
                                   name_id feature, name_id field);

/* Fills out->taken: what each value given by part was taken for, and where it was
 * overruled; once all pieces of the swap are there. */
MUST_USE status given_say(const struct layer *layer, const struct given_value *given,
                          uint32_t count, struct minted_unit *out);

/* "shaft.hub-spline.from", for people. */
text given_word(struct arena *arena, const struct names *names,
                const struct given_value *given);

#endif
