/* SPDX-License-Identifier: MIT */
/*
 * Indexes and scans: one index for each set of bound columns that a scan has asked for.
 *
 * The parent of a store is frozen and shared, so it may not grow an index. Where it has
 * one that serves, an index here holds only the rows here and goes on in the parent's;
 * else it holds the parent's rows too.
 */
#include "hash.h"
#include "relation_private.h"

static uint32_t bound_hash(const struct relation_shape *shape, uint32_t bound,
                           const name_id *key)
{
    name_id cells[LIMIT_SCAN_COLUMNS];
    uint32_t count = 0;
    for (uint32_t c = 0; c < shape->key_count; c++) {
        if ((bound >> c & 1u) != 0) {
            cells[count++] = key[c];
        }
    }
    return hash_words(cells, count);
}

/* An index over all rows of a frozen store that narrows a scan down: over the same
 * columns, or else over the owner alone, of whom there are few rows. */
static const struct row_index *frozen_index(const struct store *store,
                                            relation_id relation, uint32_t bound)
{
    const struct row_index *found = NULL;
    const struct table *table = store == NULL ? NULL : &store->tables[relation];
    for (uint32_t i = 0; table != NULL && i < table->indexes.count; i++) {
        const struct row_index *one = table->indexes.at[i];
        const bool is_owners = store->shapes[relation].is_owned && one->bound == 1;
        if (one->done == store_count(store, relation) &&
            (one->bound == bound || (found == NULL && is_owners && (bound & 1u) != 0))) {
            found = one;
        }
    }
    return found;
}

const struct row_index *index_there(const struct table *table, uint32_t bound)
{
    for (uint32_t i = 0; i < table->indexes.count; i++) {
        if (table->indexes.at[i]->bound == bound) {
            return table->indexes.at[i];
        }
    }
    return NULL;
}

struct row_index *index_for(struct store *store, relation_id relation, uint32_t bound)
{
    struct table *table = &store->tables[relation];
    for (uint32_t i = 0; i < table->indexes.count; i++) {
        if (table->indexes.at[i]->bound == bound) {
            return table->indexes.at[i];
        }
    }
    struct row_index *fresh = ARENA_NEW(store->arena, struct row_index);
    if (fresh == NULL || !ARRAY_PUSH(store->arena, &table->indexes, fresh)) {
        return NULL;
    }
    fresh->bound = bound;
    fresh->below = frozen_index(store->parent, relation, bound);
    fresh->from = fresh->below == NULL ? 0 : store_own_from(store, relation);
    fresh->done = fresh->from;
    return fresh;
}

static void link_row(struct row_index *index, uint32_t hash, uint32_t number)
{
    uint32_t *head = &index->heads[hash & (index->bucket_count - 1)];
    index->links[number - index->from] = *head;
    *head = number + 1;
}

/* Room for all rows up to `count`. More buckets: all rows are linked anew from the oldest
 * to the newest. */
static bool widen(struct store *store, relation_id relation, struct row_index *index,
                  uint32_t count)
{
    const struct relation_shape *shape = &store->shapes[relation];
    const uint32_t wanted = count - index->from;
    uint32_t buckets = index->bucket_count == 0 ? 8 : index->bucket_count;
    if (wanted > index->link_room) {
        uint32_t room = index->link_room == 0 ? 8 : index->link_room;
        while (room < wanted) {
            room = room > UINT32_MAX / 2 ? wanted : room * 2;
        }
        uint32_t *links =
            arena_grow(store->arena, index->links, index->link_room * sizeof *links,
                       room * sizeof *links);
        if (links == NULL) {
            return false;
        }
        index->links = links;
        index->link_room = room;
    }
    while (buckets < wanted) {
        buckets *= 2;
    }
    if (buckets > index->bucket_count) {
        uint32_t *heads = ARENA_MANY(store->arena, buckets, uint32_t);
        if (heads == NULL) {
            return false;
        }
        arena_drop(store->arena, index->heads, index->bucket_count * sizeof *heads);
        index->heads = heads;
        index->bucket_count = buckets;
        for (uint32_t i = index->from; i < index->done; i++) {
            const struct row *row = store_row(store, relation, i);
            link_row(index, bound_hash(shape, index->bound, row->key), i);
        }
    }
    return true;
}

bool index_rows(struct store *store, relation_id relation, struct row_index *index)
{
    const uint32_t count = store_count(store, relation);
    const struct relation_shape *shape = &store->shapes[relation];
    if (index->done == count) {
        return true;
    }
    if (!widen(store, relation, index, count)) {
        return false;
    }
    for (; index->done < count; index->done++) {
        const struct row *row = store_row(store, relation, index->done);
        link_row(index, bound_hash(shape, index->bound, row->key), index->done);
    }
    return true;
}

/* ---- scans */

static uint32_t head_of(const struct row_index *index, const struct relation_shape *shape,
                        const name_id *key)
{
    return index->bucket_count == 0 ? 0
                                    : index->heads[bound_hash(shape, index->bound, key) &
                                                   (index->bucket_count - 1)];
}

static bool row_matches(const name_id *key, uint32_t bound, const struct row *row)
{
    for (uint32_t c = 0; bound >> c != 0; c++) {
        if ((bound >> c & 1u) != 0 && row->key[c] != key[c]) {
            return false;
        }
    }
    return true;
}

struct row *index_find(const struct store *store, relation_id relation,
                       const struct row_index *index, const name_id *key)
{
    const struct table *table = &store->tables[relation];
    const uint32_t own = store_own_from(store, relation);
    for (uint32_t at = head_of(index, &store->shapes[relation], key); at != 0;
         at = index->links[at - 1 - index->from]) {
        struct row *row = at - 1 < own ? NULL : table_row(table, at - 1 - own);
        if (row != NULL && row_matches(key, index->bound, row)) {
            return row;
        }
    }
    return NULL;
}

bool scan_open(struct scan *scan, struct store *store, relation_id relation,
               uint32_t bound, const name_id *key)
{
    const struct relation_shape *shape = &store->shapes[relation];
    scan->store = store;
    scan->relation = relation;
    scan->bound = bound;
    scan->index = NULL;
    scan->at = 0;
    for (uint32_t c = 0; c < shape->key_count; c++) {
        scan->key[c] = (bound >> c & 1u) != 0 ? key[c] : NAME_NONE;
    }
    if (bound == 0) {
        scan->end = store_count(store, relation);
        return true;
    }
    struct row_index *index = index_for(store, relation, bound);
    if (index == NULL || !index_rows(store, relation, index)) {
        return false;
    }
    scan->index = index;
    scan->at = head_of(index, shape, scan->key);
    return true;
}

/* Goes on in the index over the parent's rows, which may be over fewer columns. */
static const struct row_index *go_below(struct scan *scan)
{
    scan->index = scan->index->below;
    if (scan->index != NULL) {
        scan->at =
            head_of(scan->index, store_shape(scan->store, scan->relation), scan->key);
    }
    return scan->index;
}

const struct row *scan_next(struct scan *scan)
{
    struct store *store = scan->store;
    if (scan->bound == 0) {
        if (scan->at >= scan->end) {
            return NULL;
        }
        store->rows_read++;
        return store_row(store, scan->relation, scan->at++);
    }
    if (scan->index == NULL) {
        return NULL;
    }
    /* Rows that are added meanwhile come before those that are still to be read. */
    do {
        while (scan->at != 0) {
            const uint32_t number = scan->at - 1;
            const struct row *row = store_row(store, scan->relation, number);
            scan->at = scan->index->links[number - scan->index->from];
            if (!row_matches(scan->key, scan->index->bound, row)) {
                continue; /* of another key in the same bucket */
            }
            store->rows_read++;
            if (scan->index->bound == scan->bound ||
                row_matches(scan->key, scan->bound, row)) {
                return row;
            }
        }
    } while (go_below(scan) != NULL);
    return NULL;
}

status store_freeze(struct store *store)
{
    for (relation_id r = 0; r < store->shape_count; r++) {
        struct table *table = &store->tables[r];
        if (store->shapes[r].is_owned && index_for(store, r, 1) == NULL) {
            return arena_status(store->arena);
        }
        const uint32_t whole = (1u << store->shapes[r].key_count) - 1;
        if (table->keys.heights != NULL && index_for(store, r, whole) == NULL) {
            return arena_status(store->arena);
        }
        for (uint32_t i = 0; i < table->indexes.count; i++) {
            if (!index_rows(store, r, table->indexes.at[i])) {
                return arena_status(store->arena);
            }
        }
    }
    return STATUS_OK;
}

/* An index gives the newest row first; people read in the order things were said. */
static void reverse_rows(const struct row **rows, uint32_t count)
{
    for (uint32_t i = 0; i < count / 2; i++) {
        const struct row *first = rows[i];
        rows[i] = rows[count - 1 - i];
        rows[count - 1 - i] = first;
    }
}

status store_rows_of(struct store *store, name_id owner,
                     const struct row *const **rows_out, uint32_t *count_out)
{
    ARRAY_OF(const struct row *) rows = {0};
    for (uint32_t r = 0; r < store->shape_count; r++) {
        struct scan scan;
        const uint32_t first = rows.count;
        if (!store->shapes[r].is_owned) {
            continue;
        }
        if (!scan_open(&scan, store, r, 1, &owner)) {
            return arena_status(store->arena);
        }
        for (const struct row *row = scan_next(&scan); row != NULL;
             row = scan_next(&scan)) {
            if (!ARRAY_PUSH(store->arena, &rows, row)) {
                return arena_status(store->arena);
            }
        }
        if (rows.count > first) {
            reverse_rows(rows.at + first, rows.count - first);
        }
    }
    *rows_out = rows.at;
    *count_out = rows.count;
    return STATUS_OK;
}

uint64_t store_rows_read(const struct store *store)
{
    return store->rows_read;
}
