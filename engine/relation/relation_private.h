/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RELATION_PRIVATE_H
#define WHYFIT_RELATION_PRIVATE_H

#include "array.h"
#include "key_set.h"
#include "relation.h"

/*
 * Rows of one relation by the hash of some of its key columns. The older ones are packed:
 * those of one bucket lie side by side, the newest first. The newer ones are linked from
 * the newest to the oldest, until there are as many of them as packed ones. Those of the
 * parent are in `below`, if it is not NULL.
 */
struct row_index {
    uint32_t bound;
    uint32_t column_count; /* the same as a list */
    uint8_t columns[LIMIT_SCAN_COLUMNS];
    uint32_t from;   /* the first row in it: the store's own first, or 0 */
    uint32_t linked; /* rows from here on are linked, those before packed */
    uint32_t done;   /* rows with lower numbers are in it, or below */
    const struct row_index *below;
    const uint32_t *packed; /* by bucket: the number of a row, then a copy of its key, so
                               that a scan need not touch the row itself */
    const uint32_t *starts; /* bucket → where in packed it begins; one more at the end */
    uint32_t packed_buckets; /* a power of two, or 0 */
    uint32_t *heads;         /* bucket → number of its newest linked row, + 1 */
    uint32_t bucket_count;
    uint32_t *links; /* row, from `linked` on → number of the next older one, + 1 */
    uint32_t link_room;
};

/* Rows lie in blocks that never move: up to the rows 8, 64, 512, 4096, and from there on
 * of as many each. A row's values and key cells lie behind it. */
struct table {
    ARRAY_OF(char *) blocks;
    uint32_t before; /* rows of the relation in the parent, which is frozen */
    uint32_t count;
    uint32_t stride;
    bool has_open;    /* some row is open, or once was */
    uint32_t lowest;  /* no row's height is below … */
    uint32_t highest; /* … or above */
    struct key_set keys;
    ARRAY_OF(struct row_index *) indexes;
};

struct store {
    struct arena *arena;
    const struct store *parent;
    const struct relation_shape *shapes;
    uint32_t shape_count;
    struct table *tables;
    uint64_t rows_read;
};

enum {
    BLOCK_ROWS = 4096
};

static inline uint32_t block_from(uint32_t block)
{
    return block == 0 ? 0 : block < 4 ? 1u << 3 * block : (block - 3) * BLOCK_ROWS;
}

/* Block of the i-th row. */
static inline uint32_t block_of(uint32_t i)
{
    return i >= BLOCK_ROWS ? 3 + i / BLOCK_ROWS : i >= 512 ? 3 : i >= 64 ? 2 : i >= 8;
}

/* The i-th of a table's own rows. */
static inline struct row *table_row(const struct table *table, uint32_t i)
{
    const uint32_t block = block_of(i);
    return (struct row *)(void *)(table->blocks.at[block] +
                                  (size_t)(i - block_from(block)) * table->stride);
}

/* store_row where it is asked for often. */
static inline const struct row *row_at(const struct store *store, relation_id relation,
                                       uint32_t i)
{
    while (i < store->tables[relation].before) {
        store = store->parent;
    }
    const struct table *table = &store->tables[relation];
    return table_row(table, i - table->before);
}

/* Room for one row more, to be written whole; NULL: out of memory. */
struct row *table_add(struct table *table, struct arena *arena,
                      const struct relation_shape *shape);

/* In a matrix of heights, the numbers of the rows too, so that a row is found by its key.
 */
MUST_USE bool table_number_keys(struct table *table, struct arena *arena);

/* ---- row_index.c */

/* The index of a store over these columns, made when there is none; NULL: out of memory.
 */
struct row_index *index_for(struct store *store, relation_id relation, uint32_t bound);
/* What an index takes. */
uint64_t index_bytes(const struct row_index *index, const struct relation_shape *shape);
/* Brings an index up to the rows there are. */
MUST_USE bool index_rows(struct store *store, relation_id relation,
                         struct row_index *index);

#endif
