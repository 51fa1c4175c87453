/* SPDX-License-Identifier: MIT */
/* Values, doubts and three-valued truth. */
#include "value.h"

#include <math.h>
#include <string.h>

const struct form *value_form(struct arena *arena, struct value value,
                              struct dimension dim)
{
    switch (value.kind) {
    case VALUE_QUANTITY:
        return value.quantity;
    case VALUE_COUNT:
        return form_exact(arena, DIMENSION_RATIO, (double)value.count);
    case VALUE_MISSING:
        if (value.missing != NULL) {
            return form_of(arena, value.missing);
        }
        break;
    case VALUE_NONE:
    case VALUE_WORD:
    case VALUE_TRUTH:
        break;
    }
    return form_undefined(arena, dim, "there is no such value");
}

static bool near(double a, double b, double grid)
{
    return a == b || fabs(a - b) <= grid;
}

/* Both have a number, or neither has for the same reason. */
static bool same_reason(const struct form *a, const struct form *b)
{
    return a->undefined == b->undefined ||
           (a->undefined != NULL && b->undefined != NULL &&
            strcmp(a->undefined, b->undefined) == 0);
}

static bool form_equal(const struct form *a, const struct form *b)
{
    if (a == b) {
        return true;
    }
    if (a == NULL || b == NULL || !dimension_equal(a->dim, b->dim) ||
        a->term_count != b->term_count || a->absorbed_count != b->absorbed_count ||
        !same_reason(a, b)) {
        return false;
    }
    const double grid = dimension_grid(a->dim);
    for (uint32_t i = 0; i < a->absorbed_count; i++) {
        if (!text_equal(a->absorbed[i]->name, b->absorbed[i]->name)) {
            return false;
        }
    }
    for (uint32_t i = 0; i < a->term_count; i++) {
        if (!text_equal(a->terms[i].of->name, b->terms[i].of->name) ||
            !near(a->terms[i].by, b->terms[i].by, 1e-9 * fabs(a->terms[i].by))) {
            return false;
        }
    }
    return near(a->nominal, b->nominal, grid) && near(a->least, b->least, grid) &&
           near(a->greatest, b->greatest, grid);
}

bool value_equal(struct value a, struct value b)
{
    if (a.kind != b.kind) {
        return false;
    }
    switch (a.kind) {
    case VALUE_NONE:
        return true;
    case VALUE_QUANTITY:
        return form_equal(a.quantity, b.quantity);
    case VALUE_COUNT:
        return a.count == b.count;
    case VALUE_WORD:
        return a.word == b.word;
    case VALUE_TRUTH:
        return a.truth == b.truth;
    case VALUE_MISSING:
        return a.missing == b.missing || (a.missing != NULL && b.missing != NULL &&
                                          text_equal(a.missing->name, b.missing->name));
    }
    return false;
}

struct doubt doubt_join(struct arena *arena, struct doubt a, struct doubt b)
{
    if (a.count == 0) {
        return b;
    }
    if (b.count == 0) {
        return a;
    }
    const struct deviation **of =
        ARENA_MANY(arena, (size_t)a.count + b.count, const struct deviation *);
    uint32_t count = 0;
    uint32_t i = 0;
    uint32_t k = 0;
    while (of != NULL && (i < a.count || k < b.count)) {
        const int order = i == a.count   ? 1
                          : k == b.count ? -1
                                         : text_compare(a.of[i]->name, b.of[k]->name);
        of[count++] = order <= 0 ? a.of[i] : b.of[k];
        i += order <= 0 ? 1 : 0;
        k += order >= 0 ? 1 : 0;
    }
    return (struct doubt){of, count};
}

bool doubt_misses(struct doubt a)
{
    for (uint32_t i = 0; i < a.count; i++) {
        if (a.of[i]->basis == BASIS_MISSING) {
            return true;
        }
    }
    return false;
}

/* The dimensions of a form: all of them, or only the missing. */
static struct doubt form_doubt(struct arena *arena, const struct form *a,
                               bool only_missing)
{
    const struct deviation **own =
        ARENA_MANY(arena, a->term_count, const struct deviation *);
    const struct deviation **absorbed =
        ARENA_MANY(arena, a->absorbed_count, const struct deviation *);
    uint32_t own_count = 0;
    uint32_t absorbed_count = 0;
    if (own == NULL || absorbed == NULL) {
        return (struct doubt){NULL, 0};
    }
    for (uint32_t i = 0; i < a->term_count; i++) {
        if (!only_missing || a->terms[i].of->basis == BASIS_MISSING) {
            own[own_count++] = a->terms[i].of;
        }
    }
    for (uint32_t i = 0; i < a->absorbed_count; i++) {
        if (!only_missing || a->absorbed[i]->basis == BASIS_MISSING) {
            absorbed[absorbed_count++] = a->absorbed[i];
        }
    }
    return doubt_join(arena, (struct doubt){own, own_count},
                      (struct doubt){absorbed, absorbed_count});
}

struct doubt value_doubt(struct arena *arena, struct value a)
{
    switch (a.kind) {
    case VALUE_QUANTITY: {
        if (a.quantity == NULL) {
            break;
        }
        const struct doubt missing = form_doubt(arena, a.quantity, true);
        return missing.count > 0 ? missing : form_doubt(arena, a.quantity, false);
    }
    case VALUE_MISSING: {
        const struct deviation **of = ARENA_NEW(arena, const struct deviation *);
        if (of == NULL || a.missing == NULL) {
            break;
        }
        of[0] = a.missing;
        return (struct doubt){of, 1};
    }
    case VALUE_TRUTH:
        return truth_doubt(a);
    case VALUE_NONE:
    case VALUE_COUNT:
    case VALUE_WORD:
        break;
    }
    return (struct doubt){NULL, 0};
}

enum truth truth_and(enum truth a, enum truth b)
{
    if (a == TRUTH_NO || b == TRUTH_NO) {
        return TRUTH_NO;
    }
    if (a == TRUTH_UNKNOWN || b == TRUTH_UNKNOWN) {
        return TRUTH_UNKNOWN;
    }
    return a == TRUTH_UNSURE || b == TRUTH_UNSURE ? TRUTH_UNSURE : TRUTH_YES;
}

enum truth truth_not(enum truth a)
{
    return a == TRUTH_YES ? TRUTH_NO : a == TRUTH_NO ? TRUTH_YES : a;
}

enum truth truth_or(enum truth a, enum truth b)
{
    return truth_not(truth_and(truth_not(a), truth_not(b)));
}
