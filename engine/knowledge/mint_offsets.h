/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_OFFSETS_H
#define WHYFIT_MINT_OFFSETS_H

#include "mint_lines.h"

/* The offset of a stop as a form; adds the row `stroke` where it may be chosen. Its
 * deviation belongs to the pressing of this very piece to this depth. NULL: no memory, or
 * reported. */
const struct form *offset_form(struct layer *layer, name_id unit, const struct fill *fill,
                               const struct lines *lines, const struct contact_line *line,
                               const struct stop_line *stop);

#endif
