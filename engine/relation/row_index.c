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

#include <string.h>

enum {
    FEW_ROWS = 8,    /* so few of a layer are looked through, without an index */
    PACKED_ROWS = 16 /* fewer are not worth packing */
};

static uint32_t bound_hash(const struct row_index *index, const name_id *key)
{
    uint32_t hash = HASH_START;
    for (uint32_t i = 0; i < index->column_count; i++) {
        hash = hash_take(hash, key[index->columns[i]]);
    }
    return hash;
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
    for (uint8_t c = 0; c < LIMIT_SCAN_COLUMNS; c++) {
        if ((bound >> c & 1u) != 0) {
            fresh->columns[fresh->column_count++] = c;
        }
    }
    fresh->below = frozen_index(store->parent, relation, bound);
    fresh->from = fresh->below == NULL ? 0 : store_own_from(store, relation);
    fresh->linked = fresh->from;
    fresh->done = fresh->from;
    return fresh;
}

uint64_t index_bytes(const struct row_index *index, const struct relation_shape *shape)
{
    const uint64_t packed =
        (uint64_t)(index->linked - index->from) * (1 + shape->key_count);
    const uint64_t starts = index->packed_buckets == 0 ? 0 : index->packed_buckets + 1;
    return (packed + starts + index->bucket_count + index->link_room) * sizeof(uint32_t);
}

/* ---- packed rows */

/* Room for `count` rows in buckets: packed rows, and zeroed starts. */
static bool take_packed(struct store *store, struct row_index *index, uint32_t count,
                        uint32_t width, uint32_t **packed, uint32_t **starts)
{
    uint32_t buckets = 8;
    while (buckets < count) {
        buckets *= 2;
    }
    *packed = arena_take_unset(store->arena, (size_t)count * width * sizeof **packed);
    *starts = ARENA_MANY(store->arena, (size_t)buckets + 1, uint32_t);
    index->packed_buckets = buckets;
    return *packed != NULL && *starts != NULL;
}

/* Packs all rows. Scans that are under way go on in what was there before. */
static bool pack(struct store *store, relation_id relation, struct row_index *index,
                 uint32_t count)
{
    const struct relation_shape *shape = &store->shapes[relation];
    const uint32_t width = 1 + shape->key_count;
    uint32_t *packed = NULL;
    uint32_t *starts = NULL;
    if (!take_packed(store, index, count - index->from, width, &packed, &starts)) {
        return false;
    }
    const uint32_t mask = index->packed_buckets - 1;
    for (uint32_t i = index->from; i < count; i++) {
        const struct row *row = row_at(store, relation, i);
        starts[bound_hash(index, row->key) & mask] += width;
    }
    uint32_t total = 0;
    for (uint32_t i = 0; i <= mask; i++) {
        total += starts[i];
        starts[i] = total; /* the end of its bucket: filled from there downwards */
    }
    starts[mask + 1] = total;
    for (uint32_t i = index->from; i < count; i++) {
        const struct row *row = row_at(store, relation, i);
        uint32_t *start = &starts[bound_hash(index, row->key) & mask];
        *start -= width;
        packed[*start] = i;
        memcpy(&packed[*start + 1], row->key, shape->key_count * sizeof *packed);
    }
    index->packed = packed;
    index->starts = starts;
    index->linked = count;
    index->done = count;
    index->heads = NULL;
    index->bucket_count = 0;
    index->links = NULL;
    index->link_room = 0;
    return true;
}

/* ---- linked rows */

static void link_row(struct row_index *index, uint32_t hash, uint32_t number)
{
    uint32_t *head = &index->heads[hash & (index->bucket_count - 1)];
    index->links[number - index->linked] = *head;
    *head = number + 1;
}

/* More buckets: all linked rows are linked anew, from the oldest to the newest. */
static bool more_buckets(struct store *store, relation_id relation,
                         struct row_index *index, uint32_t wanted)
{
    uint32_t buckets = index->bucket_count == 0 ? 8 : index->bucket_count;
    while (buckets < wanted) {
        buckets *= 2;
    }
    if (buckets == index->bucket_count) {
        return true;
    }
    uint32_t *heads = ARENA_MANY(store->arena, buckets, uint32_t);
    if (heads == NULL) {
        return false;
    }
    index->heads = heads;
    index->bucket_count = buckets;
    for (uint32_t i = index->linked; i < index->done; i++) {
        const struct row *row = row_at(store, relation, i);
        link_row(index, bound_hash(index, row->key), i);
    }
    return true;
}

static bool more_links(struct store *store, struct row_index *index, uint32_t wanted)
{
    uint32_t room = index->link_room == 0 ? 8 : index->link_room;
    if (wanted <= index->link_room) {
        return true;
    }
    while (room < wanted) {
        room = room > UINT32_MAX / 2 ? wanted : room * 2;
    }
    uint32_t *links = ARENA_MANY(store->arena, room, uint32_t);
    if (links == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < index->done - index->linked; i++) {
        links[i] = index->links[i];
    }
    index->links = links;
    index->link_room = room;
    return true;
}

bool index_rows(struct store *store, relation_id relation, struct row_index *index)
{
    const uint32_t count = store_count(store, relation);
    const uint32_t packed = index->linked - index->from;
    if (index->done == count) {
        return true;
    }
    const uint32_t own = store_own_from(store, relation);
    store->rows_read += index->done < own ? own - index->done : 0;
    if (count - index->linked >= packed && count - index->from >= PACKED_ROWS) {
        return pack(store, relation, index, count);
    }
    if (!more_links(store, index, count - index->linked) ||
        !more_buckets(store, relation, index, count - index->linked)) {
        return false;
    }
    for (; index->done < count; index->done++) {
        const struct row *row = row_at(store, relation, index->done);
        link_row(index, bound_hash(index, row->key), index->done);
    }
    return true;
}

/* ---- scans */

/* Goes to where the rows of the key begin in the next index: linked ones, packed ones. */
static void enter_bucket(struct scan *scan)
{
    const struct row_index *index = scan->next;
    const uint32_t hash = bound_hash(index, scan->key);
    scan->index = index;
    scan->next = index->below;
    if (index->bucket_count > 0) {
        scan->at = index->heads[hash & (index->bucket_count - 1)];
        scan->links = index->links;
        scan->linked = index->linked;
    }
    if (index->packed_buckets > 0) {
        const uint32_t bucket = hash & (index->packed_buckets - 1);
        scan->width = 1 + scan->store->shapes[scan->relation].key_count;
        scan->packed = index->packed + index->starts[bucket];
        scan->packed_end = index->packed + index->starts[bucket + 1];
    }
}

/* The number of the next row of the bucket, and its cells; UINT32_MAX: there are no more.
 * Rows that are added meanwhile come before those that are still to be read, and what is
 * packed anew is read as it was. */
static inline uint32_t next_in_bucket(const struct store *store, struct scan *scan)
{
    uint32_t number = UINT32_MAX;
    if (scan->at != 0) {
        number = scan->at - 1;
        scan->at = scan->links[number - scan->linked];
        scan->cells = row_at(store, scan->relation, number)->key;
    } else if (scan->packed != scan->packed_end) {
        number = scan->packed[0];
        scan->cells = scan->packed + 1;
        scan->packed += scan->width;
    }
    return number;
}

/* Whether the row found last is of the key, in the columns of its index: others lie in
 * the same bucket. */
static inline bool is_of_index(const struct scan *scan)
{
    const struct row_index *index = scan->index;
    uint32_t i = 0;
    while (i < index->column_count &&
           scan->cells[index->columns[i]] == scan->key[index->columns[i]]) {
        i++;
    }
    return i == index->column_count;
}

/* The same in all columns that are bound, where the index is over fewer. */
static bool is_of_key(const struct scan *scan)
{
    for (uint32_t c = 0; scan->bound >> c != 0; c++) {
        if ((scan->bound >> c & 1u) != 0 && scan->cells[c] != scan->key[c]) {
            return false;
        }
    }
    return true;
}

/* Whether all rows, here and in the parent, are sure and of one height. */
static bool is_even(const struct store *store, relation_id relation, uint32_t *height)
{
    bool is_any = false;
    *height = 0;
    for (; store != NULL; store = store->parent) {
        const struct table *table = &store->tables[relation];
        if (table->count > 0 && (table->has_open || table->lowest != table->highest ||
                                 (is_any && table->lowest != *height))) {
            return false;
        }
        *height = table->count > 0 ? table->lowest : *height;
        is_any = is_any || table->count > 0;
    }
    return true;
}

/* Whether a layer has so few rows of its own that an index over them is not worth making.
 * The knowledge below makes all of them, for its layers to go on in. */
static bool is_few(const struct store *store, relation_id relation)
{
    return store->parent != NULL && store->tables[relation].count <= FEW_ROWS;
}

bool scan_prepare(struct scan *scan, struct store *store, relation_id relation,
                  uint32_t bound)
{
    scan->store = store;
    scan->relation = relation;
    scan->bound = bound;
    scan->rows_read = &store->rows_read;
    scan->top = NULL;
    scan->is_even = is_even(store, relation, &scan->height);
    scan->end = store_count(store, relation);
    scan->few_end = 0;
    scan->few_from = 0;
    if (bound == 0) {
        return true;
    }
    if (is_few(store, relation)) {
        const uint32_t own = store->tables[relation].before;
        scan->top = frozen_index(store->parent, relation, bound);
        if (own == 0 || scan->top != NULL) {
            scan->few_from = own;
            scan->few_end = scan->end;
            return true;
        }
    }
    struct row_index *index = index_for(store, relation, bound);
    scan->top = index;
    return index != NULL && index_rows(store, relation, index);
}

void scan_start(struct scan *scan)
{
    scan->at = 0;
    scan->packed = NULL;
    scan->packed_end = NULL;
    scan->few = scan->few_end;
    scan->next = scan->top;
    if (scan->few == scan->few_from && scan->next != NULL) {
        enter_bucket(scan);
    }
}

bool scan_open(struct scan *scan, struct store *store, relation_id relation,
               uint32_t bound, const name_id *key)
{
    if (!scan_prepare(scan, store, relation, bound)) {
        return false;
    }
    for (uint32_t c = 0; bound >> c != 0; c++) {
        scan->key[c] = (bound >> c & 1u) != 0 ? key[c] : NAME_NONE;
    }
    scan_start(scan);
    return true;
}

/* The number of the next row that matches; UINT32_MAX: there are no more. */
static uint32_t next_number(struct scan *scan)
{
    struct store *store = scan->store;
    if (scan->bound == 0) {
        if (scan->at == scan->end) {
            return UINT32_MAX;
        }
        store->rows_read++;
        scan->cells = row_at(store, scan->relation, scan->at)->key;
        return scan->at++;
    }
    while (scan->few > scan->few_from) {
        scan->few--;
        scan->cells = row_at(store, scan->relation, scan->few)->key;
        if (is_of_key(scan)) {
            store->rows_read++;
            return scan->few;
        }
    }
    for (;;) {
        for (uint32_t number = next_in_bucket(store, scan); number != UINT32_MAX;
             number = next_in_bucket(store, scan)) {
            if (!is_of_index(scan)) {
                continue;
            }
            store->rows_read++;
            if (scan->index->bound == scan->bound || is_of_key(scan)) {
                return number;
            }
        }
        if (scan->next == NULL) {
            return UINT32_MAX;
        }
        enter_bucket(scan);
    }
}

const struct row *scan_next(struct scan *scan)
{
    const uint32_t number = next_number(scan);
    return number == UINT32_MAX ? NULL : row_at(scan->store, scan->relation, number);
}

bool scan_next_sure(struct scan *scan)
{
    for (uint32_t number = next_number(scan); number != UINT32_MAX;
         number = next_number(scan)) {
        if (scan->is_even) {
            return true;
        }
        const struct row *row = row_at(scan->store, scan->relation, number);
        scan->height = row->height;
        if (row->standing == STANDING_SURE) {
            return true;
        }
    }
    return false;
}

status store_freeze(struct store *store)
{
    for (relation_id r = 0; r < store->shape_count; r++) {
        struct table *table = &store->tables[r];
        if ((store->shapes[r].is_owned && index_for(store, r, 1) == NULL) ||
            !table_number_keys(table, store->arena)) {
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
        if (!store->shapes[r].is_owned || store_count(store, r) == 0) {
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
