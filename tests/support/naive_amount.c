/* SPDX-License-Identifier: MIT */
/*
 * Sums and ends of a column, worked out slowly. The rows that are surely there give a
 * form; each that may be there is asked by how much it could change that, and where it
 * can it leaves the result open.
 */
#include "naive_private.h"

#include <math.h>

/* A row under the aggregate. */
struct taken {
    const struct form *form;
    struct value there; /* yes, or open with its doubt */
};

typedef ARRAY_OF(struct taken) taken_array;

static taken_array take_rows(struct naive *naive, const struct attempt *attempt,
                             const struct tally *tally)
{
    const struct relation_shape *shape = naive_shape(naive, tally->of.relation);
    const struct column *column = &shape->columns[tally->column];
    const struct dimension dim =
        column->kind == COLUMN_QUANTITY ? column->dim : DIMENSION_RATIO;
    const naive_row_array *rows = &naive->tables[tally->of.relation];
    taken_array taken = {0};
    for (uint32_t i = 0; i < rows->count; i++) {
        struct attempt trial = *attempt;
        const struct row *row = &rows->at[i]->row;
        struct taken one = {.there =
                                naive_row_fits(naive, &trial, &tally->of, rows->at[i])};
        if (one.there.truth == TRUTH_NO) {
            continue;
        }
        one.form =
            tally->column < shape->key_count
                ? form_exact(naive->arena, DIMENSION_RATIO, row->key[tally->column])
                : value_form(naive->arena, row->values[tally->column - shape->key_count],
                             dim);
        (void)ARRAY_PUSH(naive->arena, &taken, one);
    }
    return taken;
}

static bool is_sure(const struct taken *one)
{
    return one->there.truth == TRUTH_YES;
}

/* What all rows come to for which `wanted` says yes, behind a first form if that is
 * given; NULL for none. */
static const struct form *come_to(struct naive *naive, enum tally_kind kind,
                                  const taken_array *taken, bool only_sure,
                                  const struct form *first)
{
    const struct form **forms =
        ARENA_MANY(naive->arena, (size_t)taken->count + 1, const struct form *);
    uint32_t count = 0;
    if (first != NULL) {
        forms[count++] = first;
    }
    for (uint32_t i = 0; i < taken->count; i++) {
        if (is_sure(&taken->at[i]) || !only_sure) {
            forms[count++] = taken->at[i].form;
        }
    }
    const struct form *sum = count == 0 ? NULL : forms[0];
    switch (kind) {
    case TALLY_LEAST:
        return count == 0 ? NULL : form_min_of(naive->arena, forms, count);
    case TALLY_GREATEST:
        return count == 0 ? NULL : form_max_of(naive->arena, forms, count);
    case TALLY_SUM:
        for (uint32_t i = 1; i < count; i++) {
            sum = form_add(naive->arena, sum, forms[i]);
        }
        return sum;
    case TALLY_COUNT:
    case TALLY_EVERY:
        break;
    }
    return NULL;
}

/* By how much a row that may be there could change what the others come to. */
static struct value_range {
    double low;
    double high;
} change_of(struct naive *naive, enum tally_kind kind, const struct form *sure,
            const struct form *possible)
{
    const struct form *moved =
        kind == TALLY_SUM ? possible : form_subtract(naive->arena, possible, sure);
    return (struct value_range){kind == TALLY_GREATEST ? 0.0 : fmin(moved->least, 0.0),
                                kind == TALLY_LEAST ? 0.0 : fmax(moved->greatest, 0.0)};
}

static void doubt_row(struct naive *naive, struct attempt *attempt,
                      const struct taken *one)
{
    naive_open_by(naive, attempt, truth_doubt(one->there));
    if (form_misses(one->form)) {
        naive_open_by(naive, attempt,
                      value_doubt(naive->arena, value_quantity(one->form)));
    }
}

static bool is_number(const struct taken *one)
{
    return one->form->undefined == NULL;
}

/* The result as a number that hangs on what may be there. */
static const struct form *add_range(struct naive *naive, const struct attempt *attempt,
                                    const struct tally *tally, const struct form *sure,
                                    struct value_range change)
{
    const struct relation_shape *shape = naive_shape(naive, tally->of.relation);
    const text column = names_text(naive->names, shape->columns[tally->column].name);
    struct deviation *may_be = ARENA_NEW(naive->arena, struct deviation);
    *may_be = (struct deviation){
        .name = text_format(naive->arena, "%s %.*s of %.*s",
                            tally->kind == TALLY_SUM     ? "sum of"
                            : tally->kind == TALLY_LEAST ? "least"
                                                         : "greatest",
                            TEXT_ARG(column),
                            TEXT_ARG(naive_rows_text(naive, attempt, &tally->of))),
        .dim = sure->dim,
        .low = change.low,
        .high = change.high};
    return form_add(naive->arena, sure, form_of(naive->arena, may_be));
}

static const struct form *no_number(struct naive *naive, struct attempt *attempt,
                                    const struct tally *tally, const taken_array *taken,
                                    struct dimension dim)
{
    for (uint32_t i = 0; i < taken->count; i++) {
        if (!is_sure(&taken->at[i])) {
            doubt_row(naive, attempt, &taken->at[i]);
        }
    }
    return come_to(naive, tally->kind, taken, false,
                   form_undefined(naive->arena, dim, "-"));
}

/* An end reaches no further than the furthest row. */
static const struct form *within_rows(struct naive *naive, enum tally_kind kind,
                                      const struct form *sure, const struct form *moved,
                                      const taken_array *taken, bool has_holes)
{
    double low = sure->least;
    double high = sure->greatest;
    for (uint32_t i = 0; i < taken->count; i++) {
        low = kind == TALLY_LEAST ? fmin(low, taken->at[i].form->least) : low;
        high = kind == TALLY_GREATEST ? fmax(high, taken->at[i].form->greatest) : high;
    }
    return form_within(naive->arena, moved,
                       has_holes && kind == TALLY_LEAST ? -INFINITY : low,
                       has_holes && kind == TALLY_GREATEST ? INFINITY : high);
}

void naive_amount(struct naive *naive, struct attempt *attempt, const struct tally *tally)
{
    const struct doubt holes = naive_holes(naive, attempt, &tally->of);
    const taken_array taken = take_rows(naive, attempt, tally);
    const bool is_sum = tally->kind == TALLY_SUM;
    const struct column *column =
        &naive_shape(naive, tally->of.relation)->columns[tally->column];
    const struct dimension dim =
        column->kind == COLUMN_QUANTITY ? column->dim : DIMENSION_RATIO;
    const struct form *sure = come_to(naive, tally->kind, &taken, true,
                                      is_sum ? form_exact(naive->arena, dim, 0.0) : NULL);
    struct value_range all = {0.0, 0.0};
    bool has_number = sure != NULL;
    if (holes.count > 0) {
        naive_open_by(naive, attempt, holes);
        all = (struct value_range){tally->kind == TALLY_GREATEST ? 0.0 : -INFINITY,
                                   tally->kind == TALLY_LEAST ? 0.0 : INFINITY};
    }
    for (uint32_t i = 0; i < taken.count; i++) {
        has_number = has_number && (is_sum || is_number(&taken.at[i]));
    }
    attempt->bound[tally->result] = true;
    if (!has_number) {
        attempt->slots[tally->result] =
            value_quantity(no_number(naive, attempt, tally, &taken, dim));
        return;
    }
    for (uint32_t i = 0; i < taken.count; i++) {
        const struct taken *one = &taken.at[i];
        const struct value_range change =
            is_sure(one) ? (struct value_range){0.0, 0.0}
                         : change_of(naive, tally->kind, sure, one->form);
        if (change.low == 0.0 && change.high == 0.0) {
            continue;
        }
        doubt_row(naive, attempt, one);
        if (!is_number(one)) {
            sure = form_add(naive->arena, sure, one->form);
        } else if (is_sum) {
            all = (struct value_range){all.low + change.low, all.high + change.high};
        } else {
            all = (struct value_range){fmin(all.low, change.low),
                                       fmax(all.high, change.high)};
        }
    }
    const bool is_moved = all.low != 0.0 || all.high != 0.0;
    const struct form *result =
        is_moved ? add_range(naive, attempt, tally, sure, all) : sure;
    if (is_moved && !is_sum) {
        result = within_rows(naive, tally->kind, sure, result, &taken, holes.count > 0);
    }
    attempt->slots[tally->result] = value_quantity(result);
}
