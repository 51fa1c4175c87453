/* SPDX-License-Identifier: MIT */
/*
 * What a column adds up to over rows of a finished group, and its least and greatest.
 *
 * Rows that are surely there enter with their forms, so that what they share with the
 * rest of the rule cancels. What rows that may be there could change is one dimension,
 * named by the column and the rows: it is the same wherever the same rows are summed. A
 * row that could change nothing leaves nothing open.
 */
#include "array.h"
#include "match_private.h"

#include <math.h>
#include <stdlib.h>

/* One row's value. */
struct amount {
    const struct row *row;
    text key; /* the row as text, to sort by */
    const struct form *form;
    bool is_open; /* the row may or may not be there */
    struct doubt doubt;
};

struct amounts {
    ARRAY_OF(struct amount) rows; /* sorted by key */
    struct doubt holes;           /* lists that are not complete */
    bool is_open;                 /* the result hangs on something open */
    struct doubt doubt;           /* why */
};

static struct dimension dimension_of(const struct column *column)
{
    return column->kind == COLUMN_QUANTITY ? column->dim : DIMENSION_RATIO;
}

static const struct column *column_of(const struct match *match,
                                      const struct tally *tally)
{
    return &match_shape(match, &tally->of)->columns[tally->column];
}

/* The row's value, and why it is open. */
static void add_amount(struct match *match, const struct tally *tally,
                       const struct row *row, struct amounts *amounts)
{
    struct arena *meanwhile = match->meanwhile != NULL ? match->meanwhile : match->arena;
    const uint32_t key_count = match_shape(match, &tally->of)->key_count;
    const struct match_mark mark = match_mark(match);
    struct amount one = {.row = row};
    const enum truth there = match_there(match, &tally->of, row, &one.doubt);
    match_restore(match, &mark);
    if (there == TRUTH_NO) {
        return;
    }
    const struct value value = tally->column < key_count
                                   ? value_count((int64_t)row->key[tally->column])
                                   : row->values[tally->column - key_count];
    one.form = value_form(match->arena, value, dimension_of(column_of(match, tally)));
    one.key = row_write(meanwhile, match->store, match->options->names, row);
    one.is_open = there != TRUTH_YES;
    if (one.form == NULL || !ARRAY_PUSH(meanwhile, &amounts->rows, one)) {
        match->result = arena_status(one.form == NULL ? match->arena : meanwhile);
    }
}

static int compare_amounts(const void *a, const void *b)
{
    return text_compare(((const struct amount *)a)->key, ((const struct amount *)b)->key);
}

static bool find_amounts(struct match *match, const struct tally *tally,
                         struct amounts *amounts)
{
    struct scan scan;
    amounts->holes = match_holes(match, &tally->of);
    amounts->is_open = amounts->holes.count > 0;
    amounts->doubt = amounts->holes;
    if (!match_scan(match, &tally->of, &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan);
         row != NULL && match_step_allowed(match); row = scan_next(&scan)) {
        add_amount(match, tally, row, amounts);
    }
    if (amounts->rows.count > 1) {
        qsort(amounts->rows.at, amounts->rows.count, sizeof *amounts->rows.at,
              compare_amounts);
    }
    for (uint32_t i = 0; i < amounts->rows.count; i++) {
        formula_rests_on(&match->frame, amounts->rows.at[i].row);
    }
    return match->result == STATUS_OK;
}

/* The result hangs on whether this row is there, and on what nobody knows of its value.
 */
static void hang_on(struct match *match, struct amounts *amounts,
                    const struct amount *one)
{
    amounts->is_open = true;
    amounts->doubt = doubt_join(match->arena, amounts->doubt, one->doubt);
    if (form_misses(one->form)) {
        amounts->doubt = doubt_join(match->arena, amounts->doubt,
                                    value_doubt(match->arena, value_quantity(one->form)));
    }
}

/* What rows that may be there could change, from `low` to `high`; added to `to`. */
static const struct form *add_possible(struct match *match, const struct tally *tally,
                                       const struct form *to, double low, double high)
{
    static const char *const words[] = {
        [TALLY_SUM] = "sum of", [TALLY_LEAST] = "least", [TALLY_GREATEST] = "greatest"};
    struct deviation *possible = ARENA_NEW(match->arena, struct deviation);
    if (to == NULL || possible == NULL || (low == 0.0 && high == 0.0)) {
        return to;
    }
    const text column = names_text(match->options->names, column_of(match, tally)->name);
    *possible = (struct deviation){
        .name =
            text_format(match->arena, "%s %.*s of %.*s", words[tally->kind],
                        TEXT_ARG(column), TEXT_ARG(match_rows_text(match, &tally->of))),
        .kind = DEVIATION_COUNTED,
        .dim = to->dim,
        .low = low,
        .high = high};
    return form_add(match->arena, to, form_of(match->arena, possible));
}

/* A row that may be there adds its value or nothing. */
static const struct form *sum_of(struct match *match, const struct tally *tally,
                                 struct amounts *amounts)
{
    const bool has_holes = amounts->holes.count > 0;
    const struct form *sum =
        form_exact(match->arena, dimension_of(column_of(match, tally)), 0.0);
    double low = has_holes ? -INFINITY : 0.0;
    double high = has_holes ? INFINITY : 0.0;
    for (uint32_t i = 0; i < amounts->rows.count; i++) {
        const struct amount *one = &amounts->rows.at[i];
        if (!one->is_open || one->form->undefined != NULL) {
            sum = form_add(match->arena, sum, one->form);
        } else {
            low += fmin(0.0, one->form->least);
            high += fmax(0.0, one->form->greatest);
        }
        if (one->is_open && (one->form->least < 0.0 || one->form->greatest > 0.0)) {
            hang_on(match, amounts, one);
        }
    }
    return add_possible(match, tally, sum, low, high);
}

/* Whether the end can be told: some row is surely there, and every value is a number. */
static bool has_end(const struct amounts *amounts)
{
    bool is_any = false;
    for (uint32_t i = 0; i < amounts->rows.count; i++) {
        const struct amount *one = &amounts->rows.at[i];
        if (one->form->undefined != NULL) {
            return false;
        }
        is_any = is_any || !one->is_open;
    }
    return is_any;
}

/* The forms of the rows that are surely there; those of all behind a form without a
 * number where that is given. */
static const struct form *const *forms_of(struct match *match,
                                          const struct amounts *amounts,
                                          const struct form *none, uint32_t *count_out)
{
    const struct form **forms =
        ARENA_MANY(match->arena, (size_t)amounts->rows.count + 1, const struct form *);
    uint32_t count = 0;
    if (forms != NULL && none != NULL) {
        forms[count++] = none;
    }
    for (uint32_t i = 0; forms != NULL && i < amounts->rows.count; i++) {
        if (none != NULL || !amounts->rows.at[i].is_open) {
            forms[count++] = amounts->rows.at[i].form;
        }
    }
    *count_out = count;
    return forms;
}

static const struct form *best_of(struct match *match, const struct tally *tally,
                                  const struct form *const *forms, uint32_t count)
{
    return forms == NULL                ? NULL
           : tally->kind == TALLY_LEAST ? form_min_of(match->arena, forms, count)
                                        : form_max_of(match->arena, forms, count);
}

/* There is no such number, or nobody knows that there is one. */
static const struct form *no_end(struct match *match, const struct tally *tally,
                                 struct amounts *amounts)
{
    uint32_t count = 0;
    const struct form *none = form_undefined(
        match->arena, dimension_of(column_of(match, tally)),
        tally->kind == TALLY_LEAST ? "no row surely has the least value"
                                   : "no row surely has the greatest value");
    for (uint32_t i = 0; i < amounts->rows.count; i++) {
        if (amounts->rows.at[i].is_open) {
            hang_on(match, amounts, &amounts->rows.at[i]);
        }
    }
    const struct form *const *forms = forms_of(match, amounts, none, &count);
    return none == NULL ? NULL : best_of(match, tally, forms, count);
}

/* The end of what is surely there; a row that may be there can lie beyond it. */
static const struct form *end_of(struct match *match, const struct tally *tally,
                                 struct amounts *amounts)
{
    const double sign = tally->kind == TALLY_LEAST ? -1.0 : 1.0;
    const bool has_holes = amounts->holes.count > 0;
    double most = has_holes ? INFINITY : 0.0;
    uint32_t count = 0;
    if (!has_end(amounts)) {
        return no_end(match, tally, amounts);
    }
    const struct form *const *forms = forms_of(match, amounts, NULL, &count);
    const struct form *end = best_of(match, tally, forms, count);
    double low = end == NULL || (has_holes && sign < 0) ? -INFINITY : end->least;
    double high = end == NULL || (has_holes && sign > 0) ? INFINITY : end->greatest;
    for (uint32_t i = 0; end != NULL && i < amounts->rows.count; i++) {
        const struct amount *one = &amounts->rows.at[i];
        const struct form *beyond =
            form_scale(match->arena, form_subtract(match->arena, one->form, end), sign);
        if (one->is_open && beyond != NULL && beyond->greatest > 0.0) {
            hang_on(match, amounts, one);
            most = fmax(most, beyond->greatest);
            low = sign < 0 ? fmin(low, one->form->least) : low;
            high = sign > 0 ? fmax(high, one->form->greatest) : high;
        }
    }
    const struct form *moved =
        add_possible(match, tally, end, sign < 0 ? -most : 0.0, sign > 0 ? most : 0.0);
    return moved == end ? end : form_within(match->arena, moved, low, high);
}

/* ---- numbers alone */

/* What the plain rows come to so far. */
struct total {
    double number;
    bool is_any;
};

/* A value that is one number throughout. */
static bool is_number(struct value value, double *out)
{
    const struct form *form = value.kind == VALUE_QUANTITY ? value.quantity : NULL;
    if (value.kind == VALUE_COUNT) {
        *out = (double)value.count;
        return true;
    }
    *out = form == NULL ? 0.0 : form->nominal;
    return form != NULL && form_is_number(form);
}

/* One row more; false: it is not there for sure, or what it gives is no plain number. A
 * sum must stay whole, so that the order of rows does not show in it. */
static bool add_number(struct match *match, const struct tally *tally,
                       const struct row *row, struct total *total)
{
    const uint32_t key_count = match_shape(match, &tally->of)->key_count;
    const struct match_mark mark = match_mark(match);
    struct doubt doubt = {NULL, 0};
    double number = 0;
    const enum truth there = match_there(match, &tally->of, row, &doubt);
    match_restore(match, &mark);
    if (there != TRUTH_YES || tally->column < key_count ||
        !is_number(row->values[tally->column - key_count], &number)) {
        return there == TRUTH_NO;
    }
    if (tally->kind == TALLY_SUM) {
        total->number += number;
        return number == floor(number) && fabs(total->number) < 0x1p53;
    }
    const bool is_better =
        tally->kind == TALLY_LEAST ? number < total->number : number > total->number;
    total->number = is_better || !total->is_any ? number : total->number;
    total->is_any = true;
    return true;
}

/* The same amount where all rows are sure and hold plain numbers, as most do, without a
 * form for each and without sorting them. false: it takes the long way. */
static bool amount_of_numbers(struct match *match, const struct tally *tally)
{
    struct scan scan;
    struct total total = {0.0, tally->kind == TALLY_SUM};
    if (match->keeps_rows || match_holes(match, &tally->of).count > 0 ||
        !match_scan(match, &tally->of, &scan)) {
        return false;
    }
    for (const struct row *row = scan_next(&scan); row != NULL; row = scan_next(&scan)) {
        if (!match_step_allowed(match) || !add_number(match, tally, row, &total)) {
            return false;
        }
    }
    match->slots[tally->result] = value_quantity(
        form_exact(match->arena, dimension_of(column_of(match, tally)), total.number));
    match->bound |= UINT64_C(1) << tally->result;
    return total.is_any;
}

bool match_amount(struct match *match, const struct tally *tally)
{
    if (amount_of_numbers(match, tally)) {
        return true;
    }
    struct amounts amounts = {.holes = {NULL, 0}};
    if (!find_amounts(match, tally, &amounts)) {
        return false;
    }
    const struct form *form = tally->kind == TALLY_SUM ? sum_of(match, tally, &amounts)
                                                       : end_of(match, tally, &amounts);
    if (form == NULL) {
        match->result = arena_status(match->arena);
        return false;
    }
    match->slots[tally->result] = value_quantity(form);
    match->bound |= UINT64_C(1) << tally->result;
    if (amounts.is_open) {
        match_open_by(match, amounts.doubt);
    }
    return true;
}
