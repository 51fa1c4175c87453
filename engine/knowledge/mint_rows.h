/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_MINT_ROWS_H
#define WHYFIT_MINT_ROWS_H

#include "mint_lines.h"

/* Adds the rows fills, contact, stop, gap-asked, setting and fit-asked of one unit. */
MUST_USE status unit_rows(struct layer *layer, name_id unit, const struct fill *fill,
                          const struct lines *lines);

/* Adds a row `changed` for each place that holds another piece than the host's. */
MUST_USE status changed_rows(struct layer *layer, name_id unit, const struct fill *swap,
                             const struct fill *host);

/* Adds a row `emptied` for each place that the host fills and the swap does not. */
MUST_USE status emptied_rows(struct layer *layer, name_id unit, const struct fill *swap,
                             name_id host_unit, const struct fill *host);

/* How far a unit gets warmer than 20 degC; no row where `over_20` is NULL. */
MUST_USE status warm_row(struct layer *layer, name_id unit,
                         const struct deviation *over_20);

/* Adds a face row for each face the unit offers, so that it can be laid in a larger one.
 */
MUST_USE status offer_rows(struct layer *layer, name_id unit, name_id piece,
                           const struct fill *fill, const struct recipe *recipe);

/* Adds the piece row of a unit that fills a place. */
MUST_USE status unit_piece_row(struct layer *layer, name_id piece,
                               const struct recipe *recipe);

#endif
