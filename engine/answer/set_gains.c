/* SPDX-License-Identifier: MIT */
/*
 * What a swap gains and gives up, from its findings and rows alone: margins that surely
 * grew or shrank against the host's, checks that hold now and did not, and figures that
 * the vocabulary says are better when they are more or less.
 */
#include "upgrade_private.h"

#include <stdlib.h>

typedef ARRAY_OF(struct margin_change) margin_array;

/* Beyond what can be told apart, whatever the parts come out as. */
static bool is_surely_more(const struct form *difference)
{
    return difference->undefined == NULL &&
           difference->least > dimension_grid(difference->dim) / 2;
}

static status add_margin(struct swap *swap, const struct finding *finding,
                         margin_array *list)
{
    struct margin_change made = {.finding = finding};
    const struct form *more =
        form_subtract(swap->arena, finding->margin, finding->host->margin);
    const struct form *less =
        form_subtract(swap->arena, finding->host->margin, finding->margin);
    TRY(arena_status(swap->arena));
    const bool holds = finding->outcome == OUTCOME_HOLDS;
    const bool held = finding->host->outcome == OUTCOME_HOLDS;
    if (holds != held) {
        made.kind = holds ? MARGIN_HOLDS_NOW : MARGIN_FAILS_NOW;
        made.by = more;
    } else if (is_surely_more(more)) {
        made.kind = MARGIN_GREW;
        made.by = more;
    } else if (is_surely_more(less)) {
        made.kind = MARGIN_SHRANK;
        made.by = less;
    } else {
        return STATUS_OK;
    }
    return ARRAY_PUSH(swap->arena, list, made) ? STATUS_OK : arena_status(swap->arena);
}

static int compare_margins(const void *a, const void *b)
{
    const struct margin_change *left = a;
    const struct margin_change *right = b;
    if (left->kind != right->kind) {
        return (int)left->kind - (int)right->kind;
    }
    int order = text_compare(left->finding->name, right->finding->name);
    for (uint32_t i = 0; order == 0 && i < left->finding->subject_count; i++) {
        order = text_compare(left->finding->subject[i].value,
                             right->finding->subject[i].value);
    }
    return order;
}

/* ---- figures */

typedef ARRAY_OF(struct figure_change) figure_array;

/* The host's row of the same key as it is shown; NULL: it has none. */
static const struct row *host_row(const struct swap *swap, const struct row *row)
{
    const struct store *store = swap->layer.store;
    const uint32_t key_count = store_shape(store, row->relation)->key_count;
    for (uint32_t i = store_own_from(store, row->relation);
         i < store_count(store, row->relation); i++) {
        const struct row *other = store_row(store, row->relation, i);
        bool is_same = unit_owns(&swap->layer, &swap->host, other->key[0]);
        for (uint32_t c = 0; is_same && c < key_count; c++) {
            is_same = text_equal(layer_shown(&swap->layer, row->key[c]),
                                 layer_shown(&swap->layer, other->key[c]));
        }
        if (is_same) {
            return other;
        }
    }
    return NULL;
}

/* "bearing-span of shaft, pump-bearing, drive-bearing": the unit is not named again. */
static text figure_name(struct swap *swap, const struct row *row, text column)
{
    const struct relation_shape *shape = store_shape(swap->layer.store, row->relation);
    text all = {"", 0};
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if (row->key[c] != swap->swapped.name && shape->columns[c].kind == COLUMN_NAME) {
            all = text_format(swap->arena, "%.*s%s%.*s", TEXT_ARG(all),
                              all.length == 0 ? " of " : ", ",
                              TEXT_ARG(layer_shown(&swap->layer, row->key[c])));
        }
    }
    return text_format(swap->arena, "%.*s%.*s, %.*s",
                       TEXT_ARG(names_text(swap->layer.names, shape->name)),
                       TEXT_ARG(all), TEXT_ARG(column));
}

static status compare_figure(struct swap *swap, const struct row *now,
                             const struct row *before, uint32_t value, enum better better,
                             figure_array *list)
{
    const struct relation_shape *shape = store_shape(swap->layer.store, now->relation);
    const struct column *column = &shape->columns[shape->key_count + value];
    const struct form *one = now->values[value].quantity;
    const struct form *other = before->values[value].quantity;
    if (now->values[value].kind != VALUE_QUANTITY ||
        before->values[value].kind != VALUE_QUANTITY || one == NULL || other == NULL) {
        return STATUS_OK;
    }
    const struct form *more = form_subtract(swap->arena, one, other);
    const struct form *less = form_subtract(swap->arena, other, one);
    TRY(arena_status(swap->arena));
    if (!is_surely_more(more) && !is_surely_more(less)) {
        return STATUS_OK;
    }
    const struct figure_change made = {
        .of = figure_name(swap, now, names_text(swap->layer.names, column->name)),
        .is_better = is_surely_more(better == BETTER_MORE ? more : less),
        .before = other,
        .now = one};
    return ARRAY_PUSH(swap->arena, list, made) ? STATUS_OK : arena_status(swap->arena);
}

static status compare_rows(struct swap *swap, relation_id relation, uint32_t value,
                           enum better better, figure_array *list)
{
    const struct store *store = swap->layer.store;
    for (uint32_t i = store_own_from(store, relation); i < store_count(store, relation);
         i++) {
        const struct row *now = store_row(store, relation, i);
        const struct row *before = unit_owns(&swap->layer, &swap->swapped, now->key[0])
                                       ? host_row(swap, now)
                                       : NULL;
        if (before != NULL && before != now) {
            TRY(compare_figure(swap, now, before, value, better, list));
        }
    }
    return STATUS_OK;
}

static int compare_figures(const void *a, const void *b)
{
    const struct figure_change *left = a;
    const struct figure_change *right = b;
    return text_compare(left->of, right->of);
}

static status gather_figures(struct swap *swap, struct change_set_answer *out)
{
    const struct vocabulary *vocabulary = swap->knowledge->vocabulary;
    figure_array figures = {0};
    for (relation_id r = 0; r < vocabulary->shape_count; r++) {
        const struct relation_shape *shape = &vocabulary->shapes[r];
        for (uint32_t v = 0; shape->is_owned && v < shape->value_count; v++) {
            const enum better better =
                vocabulary->manners[r][shape->key_count + v].better;
            if (better != BETTER_NEITHER) {
                TRY(compare_rows(swap, r, v, better, &figures));
            }
        }
    }
    if (figures.count > 1) {
        qsort(figures.at, figures.count, sizeof *figures.at, compare_figures);
    }
    out->figures = figures.at;
    out->figure_count = figures.count;
    return STATUS_OK;
}

status swap_gains(struct swap *swap, struct change_set_answer *out)
{
    margin_array margins = {0};
    TRY(gather_figures(swap, out));
    for (uint32_t i = 0; i < swap->findings.count; i++) {
        const struct finding *finding = &swap->findings.at[i];
        if (finding->kind == FINDING_BY_RULE && finding->host != NULL &&
            finding->mend.length == 0) {
            TRY(add_margin(swap, finding, &margins));
        }
    }
    if (margins.count > 1) {
        qsort(margins.at, margins.count, sizeof *margins.at, compare_margins);
    }
    out->margins = margins.at;
    out->margin_count = margins.count;
    return arena_status(swap->arena);
}
