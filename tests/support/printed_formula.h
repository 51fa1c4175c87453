/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_TEST_PRINTED_FORMULA_H
#define WHYFIT_TEST_PRINTED_FORMULA_H

#include "shipped.h"

#include <math.h>

/* A value as somebody printed it, and the formula that must come to it. */
struct printed_formula {
    const char *formula;
    double value;
    const char *unit;
    double within; /* of the value: what rounding in print leaves */
    const char *source;
};

static inline void expect_printed(const struct shipped *shipped,
                                  const struct printed_formula *row)
{
    struct value made = {0};
    struct unit unit;
    cr_assert_eq(reckon_formula(shipped->room.arena, shipped->knowledge,
                                text_of(row->formula), SPAN_NONE,
                                shipped->room.diagnostics, &made),
                 STATUS_OK, "%s", row->formula);
    cr_assert(unit_find(text_of(row->unit), &unit), "%s", row->unit);
    cr_assert_eq(made.kind, VALUE_QUANTITY, "%s", row->formula);
    cr_assert(dimension_equal(made.quantity->dim, unit.dim), "%s is in %s", row->formula,
              row->unit);
    cr_assert_null(made.quantity->undefined, "%s: %s", row->formula,
                   made.quantity->undefined);
    const double came_to = made.quantity->nominal / unit.scale;
    cr_expect(fabs(came_to - row->value) <= row->within * fabs(row->value) + 1e-12,
              "%s is %.7g %s, printed %.7g (%s)", row->formula, came_to, row->unit,
              row->value, row->source);
}

static inline void expect_all_printed(const struct printed_formula *rows, size_t count)
{
    struct shipped shipped = shipped_load();
    for (size_t i = 0; i < count; i++) {
        expect_printed(&shipped, &rows[i]);
    }
    shipped_close(&shipped);
}

/* A formula that must have no number, and why. */
static inline void expect_no_number(const struct shipped *shipped, const char *formula,
                                    const char *why)
{
    struct value made = {0};
    cr_assert_eq(reckon_formula(shipped->room.arena, shipped->knowledge, text_of(formula),
                                SPAN_NONE, shipped->room.diagnostics, &made),
                 STATUS_OK, "%s", formula);
    cr_assert_eq(made.kind, VALUE_QUANTITY, "%s", formula);
    cr_assert_not_null(made.quantity->undefined, "%s", formula);
    cr_expect_str_eq(made.quantity->undefined, why, "%s", formula);
}

#endif
