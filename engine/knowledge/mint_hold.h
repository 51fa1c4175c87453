/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_HOLD_H
#define WHYFIT_MINT_HOLD_H

#include "array.h"
#include "mint_lines.h"

/* The lines of a unit while it is worked out which of them hold. Out of memory is read
 * off the layer's arena at the end. */
struct collector {
    struct layer *layer;
    const struct fill *fill;
    const struct recipe *recipe;
    ARRAY_OF(struct contact_line) contacts;
    ARRAY_OF(struct gap_line) gaps;
    ARRAY_OF(struct fit_line) fits;
    ARRAY_OF(struct space_line) spaces;
    ARRAY_OF(struct path_line) paths;
    ARRAY_OF(struct mesh_line) meshes;
    ARRAY_OF(struct fallen_line) fallen;
    ARRAY_OF(struct replaced_fit) replaced;
};

/* "place.feature", or the place alone. */
text ref_text(const struct collector *collector, const struct feature_ref *ref);

/* Notes that a brought line has taken the fit of two places elsewhere. */
void hold_replaced(struct collector *collector, name_id left, name_id right);

/* Sorts the collected lines and puts those that hold into *out; the others go to
 * `fallen`, or to `replaced` where a part says itself what its places fit. */
void hold_lines(struct collector *collector, struct lines *out);

#endif
