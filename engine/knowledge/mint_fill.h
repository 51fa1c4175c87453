/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_FILL_H
#define WHYFIT_MINT_FILL_H

#include "mint_lines.h"

#define MINT_BEFORE " (before)" /* marks what the swap takes out */

/* By name, so that the order in the file does not show. */
void fill_sort(const struct layer *layer, struct fill *fill);
/* The places of a recipe as it stands; pieces are called `prefix` and their place. */
MUST_USE status fill_recipe(struct layer *layer, const struct recipe *recipe, text prefix,
                            struct fill *out);
/* Applies one change to one place; an unknown place or part is reported. */
MUST_USE status fill_change(struct layer *layer, const struct change *change,
                            name_id place_name, struct fill *swap);
/* Adds what comes with the new parts, where the question says nothing of its place. */
MUST_USE status fill_comes_with(struct layer *layer, const struct change *changes,
                                uint32_t change_count, struct fill *swap);
/* Adds what the maker says goes along with a part that takes another's place; notes of
 * such claims, and of own pieces that stay, go into *out. */
MUST_USE status fill_superseded(struct layer *layer, const struct change *changes,
                                uint32_t change_count, const struct fill *host,
                                struct fill *swap, struct minted_unit *out);
/* Names the swap's pieces like their places, and the host's replaced ones "(before)". */
void fill_name_pieces(struct layer *layer, const struct change *changes,
                      uint32_t change_count, struct fill *host, struct fill *swap);

#endif
