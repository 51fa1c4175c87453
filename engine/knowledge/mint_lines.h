/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_LINES_H
#define WHYFIT_MINT_LINES_H

#include "mint.h"

/*
 * Which lines hold for a unit as its places are filled: the recipe's, joined by those
 * that parts bring, less those that name what is not there.
 */
struct fill {
    struct minted_place *places;
    uint32_t place_count;
    struct given_value *given; /* offsets may be given too */
    uint32_t given_count;
};

struct held_lines {
    struct lines lines;
    const struct fallen_line *fallen;
    uint32_t fallen_count;
    const struct replaced_fit *replaced;
    uint32_t replaced_count;
};

MUST_USE status lines_hold(struct layer *layer, const struct recipe *recipe,
                           const struct fill *fill, struct held_lines *out);

/* NULL when the unit has no such place. */
struct minted_place *fill_place(const struct fill *fill, name_id place);

#endif
