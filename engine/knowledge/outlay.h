/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_OUTLAY_H
#define WHYFIT_OUTLAY_H

#include "diagnostic.h"
#include "node.h"
#include "unit.h"

/*
 * What a part or unit costs. Of a part: `price`, and `labour`, the time to put it in once
 * its unit is open. Of a unit: its price whole, and the time to open and close it. A
 * price is an amount of one currency; labour is a time. Both are plain numbers.
 */
struct stated_cost {
    bool is_stated;
    double amount; /* in the coherent unit of its dimension */
    struct dimension dim;
    span where;
};

struct outlay {
    struct stated_cost price;
    struct stated_cost labour;
};

/* Reads `price` and `labour` of a part's or unit's document, where they stand. false:
 * reported. */
bool outlay_read(const struct node *document, struct diagnostics *diagnostics,
                 struct outlay *out);

/* One price, as a list of prices has it. false: reported. */
bool price_read(const struct node *word, struct diagnostics *diagnostics,
                struct stated_cost *out);

#endif
