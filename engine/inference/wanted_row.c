/* SPDX-License-Identifier: MIT */
/* A row that is known by some of its columns, against rows that are there. */
#include "why_not.h"

static bool value_agrees(struct value wanted, struct value there)
{
    return wanted.kind == there.kind &&
           (wanted.kind == VALUE_WORD ? wanted.word == there.word
                                      : wanted.count == there.count);
}

static bool is_asked(const struct wanted_row *wanted, uint32_t v)
{
    return (wanted->asked_values >> v & 1u) != 0;
}

bool wanted_asks(const struct wanted_row *wanted, const struct relation_shape *shape,
                 uint32_t column)
{
    return column < shape->key_count ? (wanted->asked >> column & 1u) != 0
                                     : is_asked(wanted, column - shape->key_count);
}

bool wanted_agrees_in(const struct wanted_row *wanted, const struct relation_shape *shape,
                      const struct row *row, uint32_t column)
{
    const uint32_t v = column - shape->key_count;
    return column < shape->key_count ? wanted->key[column] == row->key[column]
                                     : value_agrees(wanted->values[v], row->values[v]);
}

uint32_t wanted_agrees(const struct wanted_row *wanted,
                       const struct relation_shape *shape, const struct row *row)
{
    uint32_t count = 0;
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        count += wanted_asks(wanted, shape, c) && wanted_agrees_in(wanted, shape, row, c)
                     ? 1
                     : 0;
    }
    return count;
}

uint32_t wanted_count(const struct wanted_row *wanted)
{
    uint32_t count = 0;
    for (uint32_t bits = wanted->asked; bits != 0; bits &= bits - 1) {
        count++;
    }
    for (uint64_t bits = wanted->asked_values; bits != 0; bits &= bits - 1) {
        count++;
    }
    return count;
}

bool wanted_equal(const struct wanted_row *a, const struct wanted_row *b,
                  const struct relation_shape *shape)
{
    bool is_same = a->relation == b->relation && a->asked == b->asked &&
                   a->asked_values == b->asked_values;
    for (uint32_t c = 0; is_same && c < shape->key_count; c++) {
        is_same = (a->asked >> c & 1u) == 0 || a->key[c] == b->key[c];
    }
    for (uint32_t v = 0; is_same && v < shape->value_count; v++) {
        is_same = !is_asked(a, v) || value_agrees(a->values[v], b->values[v]);
    }
    return is_same;
}
