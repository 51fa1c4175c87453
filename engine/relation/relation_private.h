/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RELATION_PRIVATE_H
#define WHYFIT_RELATION_PRIVATE_H

#include "array.h"
#include "key_set.h"
#include "relation.h"

/*
 * Rows of one relation by the hash of some of its key columns: buckets of rows linked
 * from the newest to the oldest. Those of the parent are in `below`, if it is not NULL.
 */
struct row_index {
    uint32_t bound;
    uint32_t from; /* the first row in it: the store's own first, or 0 */
    uint32_t done; /* rows with lower numbers are in it, or below */
    const struct row_index *below;
    uint32_t *heads; /* bucket → number of its newest row, + 1 */
    uint32_t bucket_count;
    uint32_t *links; /* row, from `from` on → number of the next older one, + 1 */
    uint32_t link_room;
};

/* Rows lie in blocks that never move. A row's values and key cells lie behind it. */
struct table {
    ARRAY_OF(char *) blocks;
    uint32_t count;
    uint32_t stride;
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

/* The i-th of a table's own rows. */
struct row *table_row(const struct table *table, uint32_t i);
/* Room for one row more, zeroed but for its pointers into itself; NULL: out of memory. */
struct row *table_add(struct table *table, struct arena *arena,
                      const struct relation_shape *shape);

/* ---- row_index.c */

/* The index of a store over these columns, made when there is none; NULL: out of memory.
 */
struct row_index *index_for(struct store *store, relation_id relation, uint32_t bound);
/* One that is there already; NULL: none. */
const struct row_index *index_there(const struct table *table, uint32_t bound);
/* Brings an index up to the rows there are. */
MUST_USE bool index_rows(struct store *store, relation_id relation,
                         struct row_index *index);
/* The row of a whole key in an index over all key columns. */
struct row *index_find(const struct store *store, relation_id relation,
                       const struct row_index *index, const name_id *key);

#endif
