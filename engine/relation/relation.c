/* SPDX-License-Identifier: MIT */
/*
 * Rows in chunks that never move, with an array of pointers for each relation in
 * insertion order, a hash of whole keys for de-duplication, and one index for each set of
 * bound columns that a scan has asked for.
 *
 * The parent of a store is frozen and shared, so it may not grow an index. Where it has
 * one that serves, an index here holds only the rows here and goes on in the parent's;
 * else it holds the parent's rows too.
 */
#include "relation.h"

#include "array.h"
#include "hash.h"

#include <string.h>

/* Rows of one relation by the hash of some of its key columns. Those of the parent are in
 * `below`, if it is not NULL; that one never changes, so it does not matter that it may
 * be an older copy of what the parent has. */
struct row_index {
    uint32_t bound;
    uint32_t done; /* rows indexed so far, here and below */
    const struct row_index *below;
    struct hash_map rows;
};

struct table {
    ARRAY_OF(struct row *) rows;
    struct hash_map by_key;
    ARRAY_OF(struct row_index) indexes;
};

struct store {
    struct arena *arena;
    const struct store *parent;
    const struct relation_shape *shapes;
    uint32_t shape_count;
    struct table *tables;
    uint64_t rows_read;
};

struct store *store_open(struct arena *arena, const struct relation_shape *shapes,
                         uint32_t shape_count, const struct store *parent)
{
    struct store *store = ARENA_NEW(arena, struct store);
    if (store == NULL) {
        return NULL;
    }
    store->arena = arena;
    store->parent = parent;
    store->shapes = parent == NULL ? shapes : parent->shapes;
    store->shape_count = parent == NULL ? shape_count : parent->shape_count;
    store->tables = ARENA_MANY(arena, store->shape_count, struct table);
    return store->tables == NULL ? NULL : store;
}

bool store_is_layer(const struct store *store)
{
    return store->parent != NULL;
}

const struct relation_shape *store_shape(const struct store *store, relation_id relation)
{
    return &store->shapes[relation];
}

uint32_t store_shape_count(const struct store *store)
{
    return store->shape_count;
}

bool store_find_relation(const struct store *store, name_id name, relation_id *out)
{
    for (uint32_t i = 0; name != NAME_NONE && i < store->shape_count; i++) {
        if (store->shapes[i].name == name) {
            *out = i;
            return true;
        }
    }
    return false;
}

static bool same_key(const struct relation_shape *shape, const name_id *a,
                     const name_id *b)
{
    return memcmp(a, b, shape->key_count * sizeof *a) == 0;
}

static struct row *find_own(const struct store *store, relation_id relation,
                            const name_id *key)
{
    const struct relation_shape *shape = &store->shapes[relation];
    const struct table *table = &store->tables[relation];
    const uint32_t hash = hash_words(key, shape->key_count);
    uint32_t cursor = 0;
    uint32_t index = 0;
    while (hash_map_next(&table->by_key, hash, &cursor, &index)) {
        if (same_key(shape, table->rows.at[index]->key, key)) {
            return table->rows.at[index];
        }
    }
    return NULL;
}

const struct row *store_find(const struct store *store, relation_id relation,
                             const name_id *key)
{
    const struct row *found = NULL;
    for (; found == NULL && store != NULL; store = store->parent) {
        found = find_own(store, relation, key);
    }
    return found;
}

static bool same_values(const struct relation_shape *shape, const struct value *a,
                        const struct value *b)
{
    for (uint32_t i = 0; i < shape->value_count; i++) {
        if (!value_equal(a[i], b[i])) {
            return false;
        }
    }
    return true;
}

/* What a contested column holds. Its reasons are the row's own doubt. */
static struct value contested_value(struct arena *arena, const struct column *column)
{
    return column->kind == COLUMN_QUANTITY
               ? value_quantity(form_undefined(arena, column->dim,
                                               "what leads to it gives different values"))
               : value_missing(NULL);
}

/* Takes the values on which another open derivation disagrees. */
static enum added contest_values(struct store *store, struct row *there,
                                 const struct value *values)
{
    const struct relation_shape *shape = &store->shapes[there->relation];
    struct value *kept = NULL;
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const uint64_t bit = UINT64_C(1) << v;
        if ((there->contested & bit) != 0 || value_equal(there->values[v], values[v])) {
            continue;
        }
        if (kept == NULL) {
            kept = arena_copy(store->arena, there->values,
                              shape->value_count * sizeof(struct value));
        }
        if (kept == NULL) {
            return ADDED_NO_MEMORY;
        }
        kept[v] = contested_value(store->arena, &shape->columns[shape->key_count + v]);
        there->contested |= bit;
        there->values = kept;
    }
    return kept == NULL ? ADDED_SAME : ADDED_CHANGED;
}

/* A sure derivation of an open row: what was open about it is forgotten. */
static enum added make_sure(struct store *store, struct row *there, const struct row *row)
{
    const uint32_t count = store->shapes[row->relation].value_count;
    const struct value *values =
        arena_copy(store->arena, row->values, count * sizeof(struct value));
    if (values == NULL) {
        return ADDED_NO_MEMORY;
    }
    there->standing = STANDING_SURE;
    there->values = values;
    there->contested = 0;
    there->doubt = (struct doubt){NULL, 0};
    there->height = row->height;
    return ADDED_CHANGED;
}

/* Joins what a second derivation says with the row that is there. */
static enum added join_row(struct store *store, struct row *there, const struct row *row)
{
    const struct relation_shape *shape = &store->shapes[row->relation];
    enum added result = ADDED_SAME;
    if (row->standing != there->standing) {
        return row->standing == STANDING_SURE ? make_sure(store, there, row) : ADDED_SAME;
    }
    if (row->standing == STANDING_OPEN) {
        const uint32_t before = there->doubt.count;
        there->doubt = doubt_join(store->arena, there->doubt, row->doubt);
        result = contest_values(store, there, row->values);
        result =
            result == ADDED_SAME && there->doubt.count > before ? ADDED_CHANGED : result;
    } else if (!same_values(shape, there->values, row->values)) {
        return ADDED_CONFLICT;
    }
    if (row->height < there->height) {
        there->height = row->height;
        result = result == ADDED_SAME ? ADDED_CHANGED : result;
    }
    return arena_status(store->arena) == STATUS_OK ? result : ADDED_NO_MEMORY;
}

static struct row *keep_row(struct store *store, const struct row *row)
{
    const struct relation_shape *shape = &store->shapes[row->relation];
    struct table *table = &store->tables[row->relation];
    struct row *made = arena_copy(store->arena, row, sizeof *row);
    const name_id *key =
        arena_copy(store->arena, row->key, shape->key_count * sizeof(name_id));
    const struct value *values =
        arena_copy(store->arena, row->values, shape->value_count * sizeof(struct value));
    if (made == NULL || key == NULL || values == NULL) {
        return NULL;
    }
    made->key = key;
    made->values = values;
    const uint32_t hash = hash_words(key, shape->key_count);
    if (!ARRAY_PUSH(store->arena, &table->rows, made) ||
        !hash_map_add(&table->by_key, store->arena, hash, table->rows.count - 1)) {
        return NULL;
    }
    return made;
}

enum added store_add(struct store *store, const struct row *row,
                     const struct row **row_out)
{
    const struct relation_shape *shape = &store->shapes[row->relation];
    const struct row *frozen =
        store->parent == NULL ? NULL : store_find(store->parent, row->relation, row->key);
    struct row *there = frozen != NULL ? NULL : find_own(store, row->relation, row->key);
    enum added result = ADDED_NEW;
    if (frozen != NULL) {
        result = same_values(shape, frozen->values, row->values) ||
                         row->standing == STANDING_OPEN
                     ? ADDED_SAME
                     : ADDED_CONFLICT;
    } else if (there != NULL) {
        result = join_row(store, there, row);
    } else {
        there = keep_row(store, row);
        result = there == NULL ? ADDED_NO_MEMORY : ADDED_NEW;
    }
    if (row_out != NULL) {
        *row_out = frozen != NULL ? frozen : there;
    }
    return result;
}

uint32_t store_count(const struct store *store, relation_id relation)
{
    uint32_t count = 0;
    for (; store != NULL; store = store->parent) {
        count += store->tables[relation].rows.count;
    }
    return count;
}

uint32_t store_own_from(const struct store *store, relation_id relation)
{
    return store->parent == NULL ? 0 : store_count(store->parent, relation);
}

const struct row *store_row(const struct store *store, relation_id relation, uint32_t i)
{
    const uint32_t before =
        store->parent == NULL ? 0 : store_count(store->parent, relation);
    return i < before ? store_row(store->parent, relation, i)
                      : store->tables[relation].rows.at[i - before];
}

/* ---- scans */

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
        const struct row_index *one = &table->indexes.at[i];
        const bool is_owners = store->shapes[relation].is_owned && one->bound == 1;
        if (one->done == store_count(store, relation) &&
            (one->bound == bound || (found == NULL && is_owners && (bound & 1u) != 0))) {
            found = one;
        }
    }
    return found;
}

static struct row_index *index_for(struct store *store, relation_id relation,
                                   uint32_t bound)
{
    struct table *table = &store->tables[relation];
    for (uint32_t i = 0; i < table->indexes.count; i++) {
        if (table->indexes.at[i].bound == bound) {
            return &table->indexes.at[i];
        }
    }
    struct row_index fresh = {.bound = bound,
                              .below = frozen_index(store->parent, relation, bound)};
    fresh.done = fresh.below == NULL ? 0 : store_own_from(store, relation);
    return ARRAY_PUSH(store->arena, &table->indexes, fresh)
               ? &table->indexes.at[table->indexes.count - 1]
               : NULL;
}

/* Brings an index up to the rows there are. */
static bool index_rows(struct store *store, relation_id relation, struct row_index *index)
{
    const uint32_t count = store_count(store, relation);
    const struct relation_shape *shape = &store->shapes[relation];
    for (; index->done < count; index->done++) {
        const struct row *row = store_row(store, relation, index->done);
        if (!hash_map_add(&index->rows, store->arena,
                          bound_hash(shape, index->bound, row->key), index->done)) {
            return false;
        }
    }
    return true;
}

status store_freeze(struct store *store)
{
    for (relation_id r = 0; r < store->shape_count; r++) {
        struct table *table = &store->tables[r];
        if (store->shapes[r].is_owned && index_for(store, r, 1) == NULL) {
            return arena_status(store->arena);
        }
        for (uint32_t i = 0; i < table->indexes.count; i++) {
            if (!index_rows(store, r, &table->indexes.at[i])) {
                return arena_status(store->arena);
            }
        }
    }
    return STATUS_OK;
}

bool scan_open(struct scan *scan, struct store *store, relation_id relation,
               uint32_t bound, const name_id *key)
{
    const struct relation_shape *shape = &store->shapes[relation];
    *scan = (struct scan){.store = store, .relation = relation, .bound = bound};
    for (uint32_t c = 0; c < shape->key_count; c++) {
        scan->key[c] = (bound >> c & 1u) != 0 ? key[c] : NAME_NONE;
    }
    scan->end = store_count(store, relation);
    if (bound == 0) {
        return true;
    }
    struct row_index *index = index_for(store, relation, bound);
    if (index == NULL || !index_rows(store, relation, index)) {
        return false;
    }
    scan->hash = bound_hash(shape, bound, scan->key);
    return true;
}

static bool row_matches(const struct scan *scan, const struct row *row)
{
    const uint32_t key_count = store_shape(scan->store, scan->relation)->key_count;
    for (uint32_t c = 0; c < key_count; c++) {
        if ((scan->bound >> c & 1u) != 0 && row->key[c] != scan->key[c]) {
            return false;
        }
    }
    return true;
}

/* Goes on in the index over the parent's rows, which may be over fewer columns. */
static void go_below(struct scan *scan, const struct row_index *below)
{
    scan->below = below;
    scan->at = 0;
    scan->hash =
        bound_hash(store_shape(scan->store, scan->relation), below->bound, scan->key);
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
    /* The index may have been rebuilt or grown by other scans: it is found anew, its
     * entries stay. */
    const struct row_index *index =
        scan->below != NULL ? scan->below : index_for(store, scan->relation, scan->bound);
    while (index != NULL) {
        uint32_t number = 0;
        while (hash_map_next(&index->rows, scan->hash, &scan->at, &number)) {
            const struct row *row = store_row(store, scan->relation, number);
            store->rows_read++;
            if (number < scan->end && row_matches(scan, row)) {
                return row;
            }
        }
        index = index->below;
        if (index != NULL) {
            go_below(scan, index);
        }
    }
    return NULL;
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

/* ---- words */

static text cell_text(struct arena *arena, const struct names *names,
                      const struct column *column, name_id cell)
{
    return column->kind == COLUMN_NUMBER ? text_format(arena, "%u", cell)
                                         : names_text(names, cell);
}

text row_write(struct arena *arena, const struct store *store, const struct names *names,
               const struct row *row)
{
    const struct relation_shape *shape = store_shape(store, row->relation);
    text done = text_format(arena, "%.*s(", TEXT_ARG(names_text(names, shape->name)));
    for (uint32_t c = 0; c < shape->key_count; c++) {
        done = text_format(
            arena, "%.*s%s%.*s", TEXT_ARG(done), c == 0 ? "" : ", ",
            TEXT_ARG(cell_text(arena, names, &shape->columns[c], row->key[c])));
    }
    return text_format(arena, "%.*s)", TEXT_ARG(done));
}

int row_compare(const struct store *store, const struct names *names, const struct row *a,
                const struct row *b)
{
    const struct relation_shape *shape = store_shape(store, a->relation);
    int order = names_compare(names, shape->name, store_shape(store, b->relation)->name);
    for (uint32_t c = 0; order == 0 && c < shape->key_count; c++) {
        order = shape->columns[c].kind == COLUMN_NUMBER
                    ? (a->key[c] > b->key[c]) - (a->key[c] < b->key[c])
                    : names_compare(names, a->key[c], b->key[c]);
    }
    return order;
}

uint64_t store_rows_read(const struct store *store)
{
    return store->rows_read;
}
