/* SPDX-License-Identifier: MIT */
/*
 * Holds rows that a worked case expects against those of an answer. Cells are read in
 * the terms of their column, so they can be only once there is a knowledge.
 */
#include "expected_rows.h"

#include "array.h"
#include "nearest.h"
#include "number_text.h"

#include <math.h>
#include <stdlib.h>

/* Of a number, relative to itself or to the unit it is shown in. */
#define EQUAL_WITHIN 1e-6

#define NOT_KNOWN "not known" /* a cell of which nobody recorded the value */

const char *expected_rows_word(uint32_t which)
{
    static const char *const words[] = {"rows", "open-rows", "no-rows"};
    return words[which];
}

/* ---- reading cells */

static const struct column *column_of(const struct relation_shape *shape,
                                      const struct names *names, text name,
                                      uint32_t *index)
{
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        if (text_equal(names_text(names, shape->columns[c].name), name)) {
            *index = c;
            return &shape->columns[c];
        }
    }
    return NULL;
}

static status read_quantity(const struct node *cell, struct dimension dim,
                            struct diagnostics *diagnostics, struct stated *out)
{
    const struct stated_options options = {.wanted = dim};
    return stated_read(cell->word, cell->where, &options, diagnostics, out);
}

static void check_cell(const struct relation_shape *shape, const struct names *names,
                       const struct node_field *field, struct diagnostics *diagnostics)
{
    uint32_t index = 0;
    const struct column *column = column_of(shape, names, field->key, &index);
    struct stated stated;
    int64_t count = 0;
    if (column == NULL) {
        struct nearest near = nearest_to(field->key);
        for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
            nearest_offer(&near, names_text(names, shape->columns[c].name));
        }
        struct diagnostic *report = diagnostics_report(
            diagnostics, CODE_COLUMN_UNKNOWN, field->key_where,
            "relation %.*s has no column \"%.*s\"",
            TEXT_ARG(names_text(names, shape->name)), TEXT_ARG(field->key));
        report->nearest = near.best;
    } else if (text_is(field->value->word, NOT_KNOWN)) {
        return;
    } else if (column->kind == COLUMN_QUANTITY) {
        (void)read_quantity(field->value, column->dim, diagnostics, &stated);
    } else if (column->kind == COLUMN_COUNT || column->kind == COLUMN_NUMBER) {
        (void)node_count(field->value, diagnostics, &count);
    }
}

/* The one relation of a row, and its cells; reports what has another shape. */
static const struct node_field *relation_of(const struct node *row,
                                            struct diagnostics *diagnostics)
{
    if (row->count != 1) {
        diagnostics_report(diagnostics, CODE_SHAPE_WRONG, row->where,
                           "a row is of one relation")
            ->expected = TEXT("RELATION: {COLUMN: VALUE}");
        return NULL;
    }
    const struct node *cells = row->fields[0].value;
    bool is_whole = node_expect(cells, NODE_MAP, "what a row holds", diagnostics);
    for (uint32_t i = 0; is_whole && i < cells->count; i++) {
        is_whole =
            node_expect(cells->fields[i].value, NODE_WORD, "this value", diagnostics);
    }
    return is_whole ? &row->fields[0] : NULL;
}

static void check_row(const struct node *row, const struct knowledge *knowledge,
                      struct diagnostics *diagnostics)
{
    const struct node_field *field = relation_of(row, diagnostics);
    const struct store *store = knowledge->base;
    relation_id relation = 0;
    if (field == NULL) {
        return;
    }
    if (!store_find_relation(store, names_find(knowledge->names, field->key),
                             &relation)) {
        struct nearest near = nearest_to(field->key);
        for (relation_id r = 0; r < store_shape_count(store); r++) {
            nearest_offer(&near,
                          names_text(knowledge->names, store_shape(store, r)->name));
        }
        diagnostics_report(diagnostics, CODE_RELATION_UNKNOWN, field->key_where,
                           "there is no relation \"%.*s\"", TEXT_ARG(field->key))
            ->nearest = near.best;
        return;
    }
    for (uint32_t i = 0; i < field->value->count; i++) {
        check_cell(store_shape(store, relation), knowledge->names,
                   &field->value->fields[i], diagnostics);
    }
}

void expected_rows_check(const struct node *rows, const struct knowledge *knowledge,
                         struct diagnostics *diagnostics)
{
    for (uint32_t i = 0; rows != NULL && i < rows->count; i++) {
        check_row(rows->items[i], knowledge, diagnostics);
    }
}

/* ---- comparing */

static bool is_count(const struct node *cell, int64_t got)
{
    double number = NAN;
    return number_read(cell->word, &number) && number == (double)got;
}

static bool is_quantity(const struct node *cell, const struct form *got,
                        struct diagnostics *scratch)
{
    struct stated stated;
    struct unit shown = {.scale = 1.0};
    double nominal = NAN;
    if (!form_nominal(got, &nominal)) {
        return text_is(cell->word, NOT_KNOWN);
    }
    (void)unit_shown(got->dim, &shown);
    return !text_is(cell->word, NOT_KNOWN) &&
           read_quantity(cell, got->dim, scratch, &stated) == STATUS_OK &&
           fabs(nominal - stated.nominal) <=
               EQUAL_WITHIN * fmax(shown.scale, fabs(nominal));
}

static bool is_value(const struct answer *answer, const struct node *cell,
                     struct value got, struct diagnostics *scratch)
{
    switch (got.kind) {
    case VALUE_QUANTITY:
        return is_quantity(cell, got.quantity, scratch);
    case VALUE_COUNT:
        return is_count(cell, got.count);
    case VALUE_WORD:
        return text_equal(cell->word, names_text(answer->names, got.word));
    case VALUE_MISSING:
        return text_is(cell->word, NOT_KNOWN);
    case VALUE_NONE:
    case VALUE_TRUTH:
        break;
    }
    return false;
}

static bool has_cell(const struct answer *answer, const struct row *row,
                     const struct node_field *field, struct diagnostics *scratch)
{
    const struct relation_shape *shape = store_shape(answer->store, row->relation);
    uint32_t index = 0;
    const struct column *column = column_of(shape, answer->names, field->key, &index);
    if (column == NULL) {
        return false;
    }
    if (index < shape->key_count) {
        return column->kind == COLUMN_NUMBER
                   ? is_count(field->value, row->key[index])
                   : text_equal(field->value->word,
                                names_text(answer->names, row->key[index]));
    }
    return is_value(answer, field->value, row->values[index - shape->key_count], scratch);
}

static uint32_t agreement(const struct answer *answer, const struct row *row,
                          const struct node *cells, struct diagnostics *scratch)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < cells->count; i++) {
        count += has_cell(answer, row, &cells->fields[i], scratch) ? 1 : 0;
    }
    return count;
}

bool expected_row_is_so(const struct answer *answer, const struct node *row,
                        enum expected_rows which, struct diagnostics *scratch)
{
    const struct node_field *field = &row->fields[0];
    relation_id relation = 0;
    if (!store_find_relation(answer->store, names_find(answer->names, field->key),
                             &relation)) {
        return false;
    }
    for (uint32_t i = 0; i < store_count(answer->store, relation); i++) {
        const struct row *one = store_row(answer->store, relation, i);
        const bool is_of_standing =
            which == EXPECTED_NO_ROWS ||
            (one->standing == STANDING_OPEN) == (which == EXPECTED_OPEN_ROWS);
        if (is_of_standing &&
            agreement(answer, one, field->value, scratch) == field->value->count) {
            return which != EXPECTED_NO_ROWS;
        }
    }
    return which == EXPECTED_NO_ROWS;
}

/* ---- in words */

text expected_row_text(struct arena *arena, const struct node *row)
{
    const struct node *cells = row->fields[0].value;
    text all = row->fields[0].key;
    for (uint32_t i = 0; i < cells->count; i++) {
        all = text_format(arena, "%.*s%s%.*s %.*s", TEXT_ARG(all), i == 0 ? ": " : ", ",
                          TEXT_ARG(cells->fields[i].key),
                          TEXT_ARG(cells->fields[i].value->word));
    }
    return all;
}

static text cells_text(struct arena *arena, const struct answer *answer,
                       const struct row *row)
{
    const struct relation_shape *shape = store_shape(answer->store, row->relation);
    text all =
        text_format(arena, "%s%.*s", row->standing == STANDING_OPEN ? "open: " : "",
                    TEXT_ARG(row_write(arena, answer->store, answer->names, row)));
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct value value = row->values[v];
        const text cell = value.kind == VALUE_QUANTITY ? form_write(arena, value.quantity)
                          : value.kind == VALUE_COUNT
                              ? text_format(arena, "%lld", (long long)value.count)
                          : value.kind == VALUE_WORD
                              ? names_text(answer->names, value.word)
                          : value.kind == VALUE_MISSING ? TEXT(NOT_KNOWN)
                                                        : (text){"", 0};
        if (cell.length > 0) {
            const name_id column = shape->columns[shape->key_count + v].name;
            all =
                text_format(arena, "%.*s, %.*s %.*s", TEXT_ARG(all),
                            TEXT_ARG(names_text(answer->names, column)), TEXT_ARG(cell));
        }
    }
    return all;
}

static int compare_texts(const void *a, const void *b)
{
    return text_compare(*(const text *)a, *(const text *)b);
}

text expected_row_nearest(struct arena *arena, const struct answer *answer,
                          const struct node *row, struct diagnostics *scratch)
{
    const struct node_field *field = &row->fields[0];
    ARRAY_OF(text) found = {0};
    uint32_t most = 0;
    relation_id relation = 0;
    text all = {"", 0};
    (void)store_find_relation(answer->store, names_find(answer->names, field->key),
                              &relation);
    for (uint32_t i = 0; i < store_count(answer->store, relation); i++) {
        const struct row *one = store_row(answer->store, relation, i);
        const uint32_t agrees = agreement(answer, one, field->value, scratch);
        found.count = agrees > most ? 0 : found.count;
        most = agrees > most ? agrees : most;
        if (agrees == most &&
            !ARRAY_PUSH(arena, &found, cells_text(arena, answer, one))) {
            return all; /* the arena has failed, which the caller sees */
        }
    }
    if (found.count > 1) {
        qsort(found.at, found.count, sizeof *found.at, compare_texts);
    }
    for (uint32_t i = 0; i < found.count; i++) {
        all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all), i == 0 ? "" : "; ",
                          TEXT_ARG(found.at[i]));
    }
    return all.length == 0 ? TEXT("none") : all;
}
