/* SPDX-License-Identifier: MIT */
/* What a change set costs, and which of two is cheaper. */
#include "upgrade_private.h"

static void add_labour(struct set_cost *cost, const struct outlay *outlay)
{
    if (outlay != NULL && outlay->labour.is_stated) {
        cost->labour += outlay->labour.amount;
        cost->has_labour = true;
    }
}

struct set_cost set_cost_of(const struct recipe *host, const struct set_part *parts,
                            uint32_t count)
{
    struct set_cost cost = {.is_priced = true};
    add_labour(&cost, &host->outlay);
    for (uint32_t i = 0; i < count; i++) {
        const struct set_part *part = &parts[i];
        add_labour(&cost, part->outlay);
        if (part->is_had || part->reason == PART_COMES_WITH) {
            continue;
        }
        cost.pieces++;
        if (part->outlay == NULL || !part->outlay->price.is_stated) {
            cost.is_priced = false;
            continue;
        }
        cost.price += part->outlay->price.amount;
        cost.currency = part->outlay->price.dim;
    }
    return cost;
}

static bool is_less(double a, double b, bool *is_equal)
{
    const double grid = 1e-6; /* sums of hundredths in another order */
    *is_equal = a - b < grid && b - a < grid;
    return !*is_equal && a < b;
}

bool cost_before(const struct set_cost *a, const struct set_cost *b, bool by_price,
                 bool *is_equal)
{
    *is_equal = true;
    bool is_first = by_price && is_less(a->price, b->price, is_equal);
    if (by_price && *is_equal) {
        is_first = is_less(a->labour, b->labour, is_equal);
    }
    if (*is_equal) {
        is_first = is_less(a->pieces, b->pieces, is_equal);
    }
    if (*is_equal && !by_price) {
        is_first = is_less(a->labour, b->labour, is_equal);
    }
    return is_first;
}
