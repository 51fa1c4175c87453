/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_SPACES_H
#define WHYFIT_MINT_SPACES_H

#include "mint_lines.h"

/* Adds the rows of a unit's spaces and of the paths between them. */
MUST_USE status space_rows(struct layer *layer, name_id unit, const struct fill *fill,
                           const struct lines *lines);

#endif
