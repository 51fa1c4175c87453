/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_PRICE_LIST_H
#define WHYFIT_PRICE_LIST_H

#include "knowledge.h"

/*
 * What parts and units cost, apart from what they are, for those that others describe:
 *
 *   source: invented for this demo
 *   prices: {lip-45x62x8: 9.80 EUR, ring-32x1.5: 0.45 EUR}
 *
 * A part that says its price itself, or stands in two lists, is reported.
 */
MUST_USE status price_list_read(const struct knowledge *knowledge,
                                const struct node *document, struct part *parts,
                                struct recipe *recipes, struct diagnostics *diagnostics);

#endif
