/* SPDX-License-Identifier: MIT */
/*
 * Rows in blocks that never move, in insertion order, and the set of their keys for
 * de-duplication. row_index.c finds rows by some of their columns.
 */
#include "relation_private.h"

#include "hash.h"

#include <string.h>

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
    for (uint32_t r = 0;
         store->tables != NULL && parent != NULL && r < store->shape_count; r++) {
        store->tables[r].before = store_count(parent, r);
    }
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

/* ---- rows */

static uint32_t stride_of(const struct relation_shape *shape)
{
    const size_t size = sizeof(struct row) + shape->value_count * sizeof(struct value) +
                        shape->key_count * sizeof(name_id);
    const size_t unit = _Alignof(struct row);
    return (uint32_t)((size + unit - 1) / unit * unit);
}

struct row *table_add(struct table *table, struct arena *arena,
                      const struct relation_shape *shape)
{
    const uint32_t block = block_of(table->count);
    if (table->blocks.count == block) {
        const uint32_t rows = block_from(block + 1) - block_from(block);
        table->stride = stride_of(shape);
        char *fresh = arena_take_unset(arena, (size_t)rows * table->stride);
        if (fresh == NULL || !ARRAY_PUSH(arena, &table->blocks, fresh)) {
            return NULL;
        }
    }
    return table_row(table, table->count++);
}

/* ---- keys */

/* Keys are short: a loop is quicker than a call. */
static bool same_key(const struct relation_shape *shape, const name_id *a,
                     const name_id *b)
{
    uint32_t c = 0;
    while (c < shape->key_count && a[c] == b[c]) {
        c++;
    }
    return c == shape->key_count;
}

static uint32_t key_hash(const struct store *store, relation_id relation,
                         const name_id *key)
{
    return hash_words(key, store->shapes[relation].key_count);
}

bool table_number_keys(struct table *table, struct arena *arena)
{
    struct key_set *keys = &table->keys;
    if (keys->heights == NULL || keys->numbers != NULL) {
        return true;
    }
    if (!key_matrix_number(keys, arena)) {
        return false;
    }
    for (uint32_t i = 0; i < table->count; i++) {
        keys->numbers[key_matrix_cell(keys, table_row(table, i)->key)] = i + 1;
    }
    return true;
}

static struct row *find_in_matrix(const struct table *table, const name_id *key)
{
    const size_t cell = key_matrix_cell(&table->keys, key);
    if (cell == SIZE_MAX || table->keys.heights[cell] == HEIGHT_ABSENT) {
        return NULL;
    }
    uint32_t i = 0;
    if (table->keys.numbers != NULL) {
        i = table->keys.numbers[cell] - 1;
    } else { /* a store that was not frozen, and where no row has changed */
        while (memcmp(table_row(table, i)->key, key, 2 * sizeof *key) != 0) {
            i++;
        }
    }
    return table_row(table, i);
}

/* `hash` is the key's. */
static struct row *find_own(const struct store *store, relation_id relation,
                            const name_id *key, uint32_t hash)
{
    const struct relation_shape *shape = &store->shapes[relation];
    const struct table *table = &store->tables[relation];
    if (table->keys.heights != NULL) {
        return find_in_matrix(table, key);
    }
    uint32_t cursor = 0;
    uint32_t number = 0;
    while (key_set_next(&table->keys, hash, &cursor, &number)) {
        struct row *row = table_row(table, number);
        if (same_key(shape, row->key, key)) {
            return row;
        }
    }
    return NULL;
}

/* The same in a store that is still filled: a matrix is numbered first. false: out of
 * memory. */
static bool find_to_change(struct store *store, relation_id relation, const name_id *key,
                           uint32_t hash, struct row **out)
{
    struct table *table = &store->tables[relation];
    const size_t cell =
        table->keys.heights == NULL ? SIZE_MAX : key_matrix_cell(&table->keys, key);
    *out = NULL;
    if (table->keys.heights != NULL &&
        (cell == SIZE_MAX || table->keys.heights[cell] == HEIGHT_ABSENT)) {
        return true;
    }
    if (!table_number_keys(table, store->arena)) {
        return false;
    }
    *out = find_own(store, relation, key, hash);
    return true;
}

/* What is said beside the rows of how high they are and how they stand: of the first row,
 * or of one more, or of one that has changed. */
static void note_height(struct table *table, const struct row *row)
{
    const bool is_first = table->count == 1;
    table->has_open = table->has_open || row->standing == STANDING_OPEN;
    table->lowest = is_first || row->height < table->lowest ? row->height : table->lowest;
    table->highest =
        is_first || row->height > table->highest ? row->height : table->highest;
}

bool store_has_open(const struct store *store, relation_id relation)
{
    bool has_open = false;
    for (; store != NULL && !has_open; store = store->parent) {
        has_open = store->tables[relation].has_open;
    }
    return has_open;
}

static uint16_t height_cell(const struct row *row)
{
    return row->standing == STANDING_OPEN || row->height >= HEIGHT_LOOK - 1
               ? (uint16_t)HEIGHT_LOOK
               : (uint16_t)(row->height + 1);
}

void store_held(const struct store *store, relation_id relation, struct held *out)
{
    const struct key_set *keys = &store->tables[relation].keys;
    _Static_assert(HEIGHT_ABSENT == 0 && HEIGHT_LOOK == UINT16_MAX, "as held_says reads");
    *out = (struct held){
        keys->heights, {keys->low[0], keys->low[1]}, {keys->span[0], keys->span[1]}};
}

bool store_holds(const struct store *store, relation_id relation, const name_id *key,
                 uint32_t height)
{
    const struct table *table = &store->tables[relation];
    if (table->keys.heights != NULL) {
        struct held held;
        store_held(store, relation, &held);
        return held_says(&held, key, height);
    }
    const struct row *row = table->count == 0 ? NULL
                                              : find_own(store, relation, key,
                                                         key_hash(store, relation, key));
    return row != NULL && row->standing == STANDING_SURE && row->height <= height;
}

/* The row of a key in the parents. */
static const struct row *find_frozen(const struct store *store, relation_id relation,
                                     const name_id *key, uint32_t hash)
{
    const struct row *found = NULL;
    while (found == NULL && store->tables[relation].before > 0) {
        store = store->parent;
        found = find_own(store, relation, key, hash);
    }
    return found;
}

const struct row *store_find(const struct store *store, relation_id relation,
                             const name_id *key)
{
    const uint32_t hash = key_hash(store, relation, key);
    const struct row *own = find_own(store, relation, key, hash);
    return own != NULL ? own : find_frozen(store, relation, key, hash);
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

/* What a row has more than its key and values, to be changed. */
static struct row_more *more_of(struct store *store, struct row *row)
{
    const struct row_more none = {0};
    struct row_more *own =
        arena_copy(store->arena, row->more == NULL ? &none : row->more, sizeof none);
    row->more = own == NULL ? row->more : own;
    return own;
}

/* Takes the values on which another open derivation disagrees; NULL: all. */
static enum added contest_values(struct store *store, struct row *there,
                                 struct row_more *more, const struct value *values)
{
    const struct relation_shape *shape = &store->shapes[there->relation];
    struct value *kept = NULL;
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const uint64_t bit = UINT64_C(1) << v;
        if ((more->contested & bit) != 0 ||
            (values != NULL && value_equal(there->values[v], values[v]))) {
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
        more->contested |= bit;
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
    struct row_more *more = more_of(store, there);
    if (values == NULL || more == NULL) {
        return ADDED_NO_MEMORY;
    }
    there->standing = STANDING_SURE;
    there->values = values;
    more->contested = 0;
    more->doubt = (struct doubt){NULL, 0};
    there->height = row->height;
    return ADDED_CHANGED;
}

static enum added join_open(struct store *store, struct row *there, const struct row *row)
{
    struct row_more *more = more_of(store, there);
    if (more == NULL) {
        return ADDED_NO_MEMORY;
    }
    const uint32_t before = more->doubt.count;
    more->doubt = doubt_join(store->arena, more->doubt, row_doubt(row));
    const enum added result = contest_values(store, there, more, row->values);
    return result == ADDED_SAME && more->doubt.count > before ? ADDED_CHANGED : result;
}

enum added store_contest(struct store *store, const struct row *row, struct doubt doubt)
{
    struct row *there = NULL;
    if (!find_to_change(store, row->relation, row->key,
                        key_hash(store, row->relation, row->key), &there)) {
        return ADDED_NO_MEMORY;
    }
    struct row_more *more =
        there == NULL || there->standing == STANDING_SURE ? NULL : more_of(store, there);
    if (more == NULL) {
        return arena_status(store->arena) == STATUS_OK ? ADDED_SAME : ADDED_NO_MEMORY;
    }
    const uint32_t before = more->doubt.count;
    more->doubt = doubt_join(store->arena, more->doubt, doubt);
    const enum added result = contest_values(store, there, more, NULL);
    return result == ADDED_SAME && more->doubt.count > before ? ADDED_CHANGED : result;
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
        result = join_open(store, there, row);
    } else if (!same_values(shape, there->values, row->values)) {
        return ADDED_CONFLICT;
    }
    if (row->height < there->height) {
        there->height = row->height;
        result = result == ADDED_SAME ? ADDED_CHANGED : result;
    }
    return arena_status(store->arena) == STATUS_OK ? result : ADDED_NO_MEMORY;
}

/* ---- the matrix of heights */

/* The cells of both key columns, of all rows and of one key more. Where there is a matrix
 * already, it is made wider by half where the key lies outside, so that a matrix is made
 * anew only as often as it doubles. */
static void key_spans(const struct table *table, const name_id *more, uint32_t low[2],
                      uint32_t spans[2])
{
    const struct key_set *keys = &table->keys;
    for (uint32_t c = 0; c < 2; c++) {
        uint32_t least = more[c];
        uint32_t most = more[c];
        for (uint32_t i = 0; keys->heights == NULL && i < table->count; i++) {
            const uint32_t cell = table_row(table, i)->key[c];
            least = cell < least ? cell : least;
            most = cell > most ? cell : most;
        }
        if (keys->heights != NULL) {
            const uint32_t end = keys->low[c] + (keys->span[c] - 1);
            const uint32_t half = keys->span[c] / 2;
            least = more[c] >= keys->low[c] ? keys->low[c]
                    : more[c] > half        ? more[c] - half
                                            : 0;
            most = more[c] <= end                ? end
                   : more[c] < UINT32_MAX - half ? more[c] + half
                                                 : UINT32_MAX - 1;
        }
        low[c] = least;
        spans[c] = most - least + 1;
    }
}

enum {
    DENSE_ROWS = 4096,         /* fewer rows need no matrix */
    DENSE_BYTES = 2 << 20,     /* a matrix of this size always pays … */
    DENSE_BYTES_FOR_A_ROW = 48 /* … a larger one while it is not larger than the rows */
};

/* Changes to a matrix where the cells lie close enough together. */
static bool try_matrix(struct store *store, relation_id relation, const name_id *more,
                       bool *is_matrix)
{
    const struct relation_shape *shape = &store->shapes[relation];
    struct table *table = &store->tables[relation];
    uint32_t low[2];
    uint32_t spans[2];
    *is_matrix = false;
    if (shape->key_count != 2 || shape->value_count != 0 || table->count < DENSE_ROWS) {
        return true;
    }
    key_spans(table, more, low, spans);
    const size_t size = key_matrix_size(spans);
    if (size > DENSE_BYTES && size / DENSE_BYTES_FOR_A_ROW > table->count) {
        return true;
    }
    if (!key_set_to_matrix(&table->keys, store->arena, low, spans)) {
        return false;
    }
    for (uint32_t i = 0; i < table->count; i++) {
        const struct row *row = table_row(table, i);
        table->keys.heights[key_matrix_cell(&table->keys, row->key)] = height_cell(row);
    }
    *is_matrix = true;
    return true;
}

static bool back_to_slots(struct store *store, relation_id relation)
{
    struct table *table = &store->tables[relation];
    key_set_to_slots(&table->keys, store->arena);
    for (uint32_t i = 0; i < table->count; i++) {
        const uint32_t hash = key_hash(store, relation, table_row(table, i)->key);
        if (!key_set_add(&table->keys, store->arena, hash, i)) {
            return false;
        }
    }
    return true;
}

/* Before one key more: the container that serves from here on. */
static bool choose_container(struct store *store, relation_id relation,
                             const name_id *key)
{
    struct table *table = &store->tables[relation];
    bool is_matrix = false;
    if (table->keys.heights != NULL && key_matrix_cell(&table->keys, key) != SIZE_MAX) {
        return true;
    }
    if (table->keys.heights == NULL && !key_set_is_full(&table->keys)) {
        return true;
    }
    const bool was_matrix = table->keys.heights != NULL;
    return try_matrix(store, relation, key, &is_matrix) &&
           (is_matrix || !was_matrix || back_to_slots(store, relation));
}

/* ---- adding */

/* Values and key cells lie behind the row, in this order. `hash` is the key's. */
static struct row *keep_row(struct store *store, const struct row *row, uint32_t hash)
{
    const struct relation_shape *shape = &store->shapes[row->relation];
    struct table *table = &store->tables[row->relation];
    if (!choose_container(store, row->relation, row->key)) {
        return NULL;
    }
    struct row *made = table_add(table, store->arena, shape);
    if (made == NULL) {
        return NULL;
    }
    struct value *values = (struct value *)(void *)(made + 1);
    name_id *key = (name_id *)(void *)(values + shape->value_count);
    note_height(table, row);
    *made = *row;
    made->values = values;
    made->key = key;
    memcpy(key, row->key, shape->key_count * sizeof *key);
    if (shape->value_count > 0) {
        memcpy(values, row->values, shape->value_count * sizeof *values);
    }
    if (row->more != NULL && more_of(store, made) == NULL) {
        return NULL;
    }
    if (table->keys.heights != NULL) {
        const size_t cell = key_matrix_cell(&table->keys, key);
        table->keys.heights[cell] = height_cell(made);
        if (table->keys.numbers != NULL) {
            table->keys.numbers[cell] = table->count;
        }
        return made;
    }
    return key_set_add(&table->keys, store->arena, hash, table->count - 1) ? made : NULL;
}

enum added store_add(struct store *store, const struct row *row,
                     const struct row **row_out)
{
    const struct relation_shape *shape = &store->shapes[row->relation];
    const uint32_t hash = key_hash(store, row->relation, row->key);
    const struct row *frozen = find_frozen(store, row->relation, row->key, hash);
    struct row *there = NULL;
    enum added result = ADDED_NEW;
    if (frozen == NULL && !find_to_change(store, row->relation, row->key, hash, &there)) {
        return ADDED_NO_MEMORY;
    }
    if (frozen != NULL) {
        result = same_values(shape, frozen->values, row->values) ||
                         row->standing == STANDING_OPEN
                     ? ADDED_SAME
                     : ADDED_CONFLICT;
    } else if (there != NULL) {
        struct key_set *keys = &store->tables[row->relation].keys;
        result = join_row(store, there, row);
        note_height(&store->tables[row->relation], there);
        if (keys->heights != NULL) {
            keys->heights[key_matrix_cell(keys, there->key)] = height_cell(there);
        }
    } else {
        there = keep_row(store, row, hash);
        result = there == NULL ? ADDED_NO_MEMORY : ADDED_NEW;
    }
    if (row_out != NULL) {
        *row_out = frozen != NULL ? frozen : there;
    }
    return result;
}

uint32_t store_count(const struct store *store, relation_id relation)
{
    const struct table *table = &store->tables[relation];
    return table->before + table->count;
}

void store_measure(const struct store *store, relation_id relation,
                   struct store_size *out)
{
    const struct table *table = &store->tables[relation];
    const struct relation_shape *shape = &store->shapes[relation];
    const struct key_set *keys = &table->keys;
    out->rows += table->count;
    out->cells += (uint64_t)table->count * shape->key_count * sizeof(name_id);
    out->values += (uint64_t)table->count * shape->value_count * sizeof(struct value);
    out->heads +=
        (uint64_t)table->count * (table->stride - shape->key_count * sizeof(name_id) -
                                  shape->value_count * sizeof(struct value));
    if (keys->heights != NULL) {
        out->keys += key_matrix_size(keys->span) * (keys->numbers == NULL ? 1 : 3);
    } else {
        out->keys += keys->slot_count * sizeof *keys->slots;
    }
    for (uint32_t i = 0; i < table->indexes.count; i++) {
        out->indexes += index_bytes(table->indexes.at[i], shape);
    }
}

uint32_t store_own_from(const struct store *store, relation_id relation)
{
    return store->tables[relation].before;
}

const struct row *store_row(const struct store *store, relation_id relation, uint32_t i)
{
    return row_at(store, relation, i);
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
