/* SPDX-License-Identifier: MIT */
/* Prices and times as the facts state them. */
#include "outlay.h"

#include "stated.h"

/* A plain amount: no tolerance, nothing open, not below nothing. */
static bool is_plain(const struct stated *stated)
{
    return stated->basis == STATED_BARE && stated->anchor.length == 0 &&
           stated->nominal >= 0;
}

static bool cost_read(const struct node *word, const char *what, const char *expected,
                      bool (*is_due)(struct dimension dim),
                      struct diagnostics *diagnostics, struct stated_cost *out)
{
    const struct stated_options options = {.any_dimension = true};
    struct stated stated = {0};
    *out = (struct stated_cost){0};
    if (word == NULL) {
        return true;
    }
    if (!node_expect(word, NODE_WORD, what, diagnostics)) {
        return false;
    }
    const span where = node_text_span(word, 0, word->word.length);
    if (stated_read(word->word, where, &options, diagnostics, &stated) != STATUS_OK) {
        return false;
    }
    if (!is_due(stated.dim) || !is_plain(&stated)) {
        diagnostics_report(diagnostics, CODE_UNIT_WRONG, where, "this is no %s", what)
            ->expected = text_of(expected);
        return false;
    }
    *out = (struct stated_cost){true, stated.nominal, stated.dim, where};
    return true;
}

static bool is_time(struct dimension dim)
{
    struct dimension time = DIMENSION_RATIO;
    return dimension_find(TEXT("time"), &time) && dimension_equal(dim, time);
}

bool price_read(const struct node *word, struct diagnostics *diagnostics,
                struct stated_cost *out)
{
    return cost_read(word, "price", "an amount such as 45.50 EUR", dimension_is_money,
                     diagnostics, out);
}

bool outlay_read(const struct node *document, struct diagnostics *diagnostics,
                 struct outlay *out)
{
    const bool has_price =
        price_read(node_field_of(document, "price"), diagnostics, &out->price);
    const bool has_labour =
        cost_read(node_field_of(document, "labour"), "labour", "a time such as 1.5 h",
                  is_time, diagnostics, &out->labour);
    return has_price && has_labour;
}
