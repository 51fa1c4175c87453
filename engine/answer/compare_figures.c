/* SPDX-License-Identifier: MIT */
/*
 * Figures by which two machines are set side by side: what rules conclude, or the
 * assembly computes, into columns that the vocabulary marks `figure` or says are better
 * when they are more or less.
 */
#include "compare_private.h"

#include <math.h>
#include <stdlib.h>

static bool same_shown_key(const struct figured_unit *one, const struct row *row,
                           const struct figured_unit *other, const struct row *second)
{
    const struct relation_shape *shape = store_shape(one->layer->store, row->relation);
    bool is_same = true;
    for (uint32_t c = 0; is_same && c < shape->key_count; c++) {
        is_same = shape->columns[c].kind == COLUMN_NUMBER ? row->key[c] == second->key[c]
                  : row->key[c] == one->unit->name
                      ? second->key[c] == other->unit->name
                      : text_equal(layer_shown(one->layer, row->key[c]),
                                   layer_shown(other->layer, second->key[c]));
    }
    return is_same;
}

static bool is_owned_row(const struct figured_unit *of, const struct row *row)
{
    return unit_owns(of->layer, of->unit, row->key[0]);
}

/* The row of the same key as it is shown; NULL: the other has none. */
static const struct row *row_like(const struct figured_unit *one, const struct row *row,
                                  const struct figured_unit *other)
{
    const struct store *store = other->layer->store;
    for (uint32_t i = store_own_from(store, row->relation);
         i < store_count(store, row->relation); i++) {
        const struct row *second = store_row(store, row->relation, i);
        if (is_owned_row(other, second) && same_shown_key(one, row, other, second)) {
            return second;
        }
    }
    return NULL;
}

/* "bearing-span of shaft, pump-bearing, drive-bearing, length": the unit is not named
 * again. */
static text figure_name(struct arena *arena, const struct figured_unit *of,
                        const struct row *row, text column)
{
    const struct relation_shape *shape = store_shape(of->layer->store, row->relation);
    text all = {"", 0};
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (row->key[c] != of->unit->name && shape->columns[c].kind == COLUMN_NAME) {
            all = text_format(arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length == 0 ? " of " : ", ",
                              TEXT_ARG(layer_shown(of->layer, row->key[c])));
        }
    }
    return text_format(arena, "%.*s%.*s, %.*s",
                       TEXT_ARG(names_text(of->layer->names, shape->name)), TEXT_ARG(all),
                       TEXT_ARG(column));
}

static const struct form *figure_form(const struct row *row, uint32_t value)
{
    return row != NULL && row->values[value].kind == VALUE_QUANTITY
               ? row->values[value].quantity
               : NULL;
}

/* By the nominals, as the figures of two machines are. */
static void judge_figure(struct compared_figure *figure)
{
    double first = 0;
    double second = 0;
    figure->by = NAN;
    figure->change = CHECK_OPEN;
    if (figure->first == NULL || figure->second == NULL ||
        !form_nominal(figure->first, &first) || !form_nominal(figure->second, &second)) {
        return;
    }
    figure->by = dimension_round(figure->first->dim, second - first);
    const bool is_more = figure->by > 0.0;
    figure->change = figure->by == 0.0                            ? CHECK_SAME
                     : figure->better == BETTER_NEITHER           ? CHECK_OPEN
                     : (figure->better == BETTER_MORE) == is_more ? CHECK_BETTER
                                                                  : CHECK_WORSE;
}

static bool add_figure(struct arena *arena, const struct figured_unit *of,
                       const struct row *any, uint32_t value,
                       struct compared_figure figure, figure_list *list)
{
    const struct relation_shape *shape = store_shape(of->layer->store, any->relation);
    const struct column *column = &shape->columns[shape->key_count + value];
    figure.of = figure_name(arena, of, any, names_text(of->layer->names, column->name));
    judge_figure(&figure);
    return (figure.first == NULL && figure.second == NULL) ||
           ARRAY_PUSH(arena, list, figure);
}

static bool compare_column(struct arena *arena, const struct figured_unit *first,
                           const struct figured_unit *second, relation_id relation,
                           uint32_t value, struct compared_figure figure,
                           figure_list *list)
{
    const struct figured_unit *sides[2] = {first, second};
    bool is_added = true;
    for (int s = 0; s < 2; s++) {
        const struct store *store = sides[s]->layer->store;
        for (uint32_t i = store_own_from(store, relation);
             is_added && i < store_count(store, relation); i++) {
            const struct row *row = store_row(store, relation, i);
            if (!is_owned_row(sides[s], row)) {
                continue;
            }
            const struct row *like = row_like(sides[s], row, sides[1 - s]);
            if (s == 1 && like != NULL) {
                continue; /* set beside it already */
            }
            figure.first = figure_form(s == 0 ? row : NULL, value);
            figure.second = figure_form(s == 0 ? like : row, value);
            is_added = add_figure(arena, sides[s], row, value, figure, list);
        }
    }
    return is_added;
}

static int compare_names(const void *a, const void *b)
{
    return text_compare(((const struct compared_figure *)a)->of,
                        ((const struct compared_figure *)b)->of);
}

status figures_between(struct arena *arena, const struct figured_unit *first,
                       const struct figured_unit *second, uint32_t seat,
                       figure_list *list)
{
    const struct vocabulary *vocabulary = first->layer->knowledge->vocabulary;
    const uint32_t from = list->count;
    bool is_added = true;
    for (relation_id r = 0; r < vocabulary->shape_count; r++) {
        const struct relation_shape *shape = &vocabulary->shapes[r];
        for (uint32_t v = 0; is_added && shape->is_owned && v < shape->value_count; v++) {
            const struct column_manner *manner =
                &vocabulary->manners[r][shape->key_count + v];
            const struct compared_figure figure = {.seat = seat,
                                                   .better = manner->better};
            is_added = !manner->is_figure ||
                       compare_column(arena, first, second, r, v, figure, list);
        }
    }
    if (list->count - from > 1) {
        qsort(list->at + from, list->count - from, sizeof *list->at, compare_names);
    }
    return arena_status(arena);
}
