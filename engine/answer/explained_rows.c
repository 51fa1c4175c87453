/* SPDX-License-Identifier: MIT */
/* Finds the rows that a question asks of, and where there are none those nearest. */
#include "explanation_private.h"

#include <stdlib.h>

struct found_row {
    const struct row *row;
    uint32_t agrees;
    bool is_own; /* of the swapped unit, its pieces, or a table */
    const struct layer *layer;
};

static int compare_found(const void *a, const void *b)
{
    const struct found_row *left = a;
    const struct found_row *right = b;
    if (left->agrees != right->agrees) {
        return left->agrees < right->agrees ? 1 : -1;
    }
    if (left->is_own != right->is_own) {
        return left->is_own ? -1 : 1;
    }
    return row_compare(left->layer->store, left->layer->names, left->row, right->row);
}

static bool is_own(const struct swap *swap, const struct row *row)
{
    return !store_shape(swap->layer.store, row->relation)->is_owned ||
           unit_owns(&swap->layer, &swap->swapped, row->key[0]);
}

status explained_rows_find(struct swap *swap, const struct wanted_row *query,
                           const struct row *const **rows, uint32_t *count,
                           uint32_t *matches)
{
    ARRAY_OF(struct found_row) found = {0};
    const struct store *store = swap->layer.store;
    const struct relation_shape *shape = store_shape(store, query->relation);
    const bool names_owner = (query->asked & 1u) != 0;
    const uint32_t wanted = wanted_count(query);
    *matches = 0;
    for (uint32_t i = 0; i < store_count(store, query->relation); i++) {
        const struct row *row = store_row(store, query->relation, i);
        const struct found_row one = {row, wanted_agrees(query, shape, row),
                                      is_own(swap, row), &swap->layer};
        const bool is_meant = names_owner || one.is_own;
        const bool is_match = one.agrees == wanted && is_meant;
        *matches += is_match ? 1 : 0;
        if ((is_match || (one.agrees > 0 && is_meant)) &&
            !ARRAY_PUSH(swap->arena, &found, one)) {
            return arena_status(swap->arena);
        }
    }
    if (found.count > 1) {
        qsort(found.at, found.count, sizeof *found.at, compare_found);
    }
    const struct row **sorted = ARENA_MANY(swap->arena, found.count, const struct row *);
    TRY(arena_status(swap->arena));
    for (uint32_t i = 0; i < found.count; i++) {
        sorted[i] = found.at[i].row;
    }
    *rows = sorted;
    *count = found.count;
    return STATUS_OK;
}

status explanation_open(struct swap *swap, struct explanation **out)
{
    const struct question *question = swap->question;
    struct explanation *made = ARENA_NEW(swap->arena, struct explanation);
    const struct row *const *rows = NULL;
    uint32_t count = 0;
    TRY(arena_status(swap->arena));
    TRY(row_query_read(&swap->layer, question->of, question->of_where, &made->query));
    made->asked = row_query_write(swap->arena, &swap->layer, &made->query);
    TRY(explained_rows_find(swap, &made->query, &rows, &count, &made->match_count));
    made->most = question->most > 0 ? question->most : EXPLAINED_ROWS;
    if (made->match_count == 0) {
        made->nearest = rows;
        made->nearest_count = count < NEAREST_ROWS ? count : NEAREST_ROWS;
    } else {
        made->row_count = made->match_count < made->most ? made->match_count : made->most;
    }
    struct explained_row *explained =
        ARENA_MANY(swap->arena, made->row_count, struct explained_row);
    TRY(arena_status(swap->arena));
    for (uint32_t i = 0; i < made->row_count; i++) {
        explained[i] = (struct explained_row){.row = rows[i]};
    }
    made->rows = explained;
    swap->answer->explanation = made;
    swap->answer->verdict = VERDICT_NOT_KNOWN; /* none is given */
    swap->answer->caution = swap->knowledge->closing.caution;
    *out = made;
    return STATUS_OK;
}
