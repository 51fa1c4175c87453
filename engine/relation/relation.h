/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_RELATION_H
#define WHYFIT_RELATION_H

#include "value.h"

/*
 * Relations and their rows. A row is its key: key columns hold names or exact counts and
 * are what joins bind; value columns are a function of the key. Rows are never changed in
 * place but where a second derivation says more: it may make an open row sure and give
 * it its values, it may lie lower, and to an open row it may add doubt or take a value on
 * which the two disagree.
 *
 * A store may lie over a frozen parent (the knowledge): it reads both and writes only its
 * own. Row order is insertion order; nothing that is shown may depend on it.
 */

enum filled_by {
    FILLED_BY_FACTS,
    FILLED_BY_RULES,
    FILLED_BY_COMPUTING
};

enum column_kind {
    COLUMN_NAME,     /* key: a name */
    COLUMN_NUMBER,   /* key: an exact count 0..2^31-1, held as such in the key cell */
    COLUMN_QUANTITY, /* value */
    COLUMN_COUNT,    /* value */
    COLUMN_WORD,     /* value: text, choice or flag (the words true and false) */
};

struct column {
    name_id name;
    enum column_kind kind;
    struct dimension dim;   /* COLUMN_QUANTITY */
    const name_id *choices; /* COLUMN_WORD with a closed list, else NULL */
    uint32_t choice_count;
    bool is_outcome; /* COLUMN_WORD behind a margin: choices are numbered as enum outcome,
                        and the margin is the column before */
    text got_by; /* how the field is got, for the missing dimension's deviation; may be
                    empty */
};

struct relation_shape {
    name_id name;
    enum filled_by filled;
    bool is_owned; /* its first key column is the owner; else it is a table */
    uint32_t key_count;
    uint32_t value_count;
    const struct column *columns; /* keys first, then values */
    text says;                    /* one sentence, for people */
    span where;
};

enum {
    LIMIT_SCAN_COLUMNS = 8
}; /* key columns of a relation: LIMIT_KEY_COLUMNS */

typedef uint32_t relation_id; /* index into the shapes */

enum standing {
    STANDING_SURE,
    STANDING_OPEN
};

/* Where a row came from. */
enum origin_kind {
    ORIGIN_FACT,
    ORIGIN_COMPUTED,
    ORIGIN_RULE
};

/* What few rows have. */
struct row_more {
    struct doubt doubt; /* why it is open */
    uint64_t contested; /* bit v: open derivations give value v otherwise, so it is not
                           known */
    /* ORIGIN_COMPUTED: the rows it rests on, in the order the computation names them, and
     * a word for the computation ("laid on", "gap"). Rules' rows hold none: they are
     * found when asked. */
    const struct row *const *rests_on;
    uint32_t rests_on_count;
    const char *computation;
};

struct row {
    relation_id relation;
    uint32_t height; /* 0: a fact; else one more than its highest premise, least over all
                        derivations */
    enum standing standing : 8;
    enum origin_kind origin : 8;
    span where;                  /* ORIGIN_FACT: the text that states it */
    const name_id *key;          /* key_count cells */
    const struct value *values;  /* value_count cells */
    const struct row_more *more; /* NULL: nothing of that */
};

static inline struct doubt row_doubt(const struct row *row)
{
    return row->more == NULL ? (struct doubt){NULL, 0} : row->more->doubt;
}

static inline bool row_is_contested(const struct row *row, uint32_t value)
{
    return row->more != NULL && (row->more->contested >> value & 1u) != 0;
}

/* The rows a computed row rests on; *count 0 and NULL for all others. */
static inline const struct row *const *row_rests_on(const struct row *row,
                                                    uint32_t *count)
{
    *count = row->more == NULL ? 0 : row->more->rests_on_count;
    return row->more == NULL ? NULL : row->more->rests_on;
}

struct store;

/* Shapes are kept. With a parent the shapes are the parent's and `shapes` is ignored. The
 * parent must not change while the store lives. NULL: no memory. */
MUST_USE struct store *store_open(struct arena *arena,
                                  const struct relation_shape *shapes,
                                  uint32_t shape_count, const struct store *parent);

/* Whether it lies over a parent. */
bool store_is_layer(const struct store *store);
const struct relation_shape *store_shape(const struct store *store, relation_id relation);
uint32_t store_shape_count(const struct store *store);
/* false when there is none of that name. */
bool store_find_relation(const struct store *store, name_id name, relation_id *out);

enum added {
    ADDED_NEW,      /* a new row */
    ADDED_CHANGED,  /* sure now, lower, more in doubt, or a value less: whoever reads it
                       must  read it again */
    ADDED_SAME,     /* nothing new */
    ADDED_CONFLICT, /* sure before and sure now, with other values: the row is left as it
                       was */
    ADDED_NO_MEMORY
};

/* Adds a row; key, values and `more` are copied, quantities, doubt and rests_on kept. The
 * same key again joins with what is there: sure beats open; of two open ones the doubts
 * are joined, and a value on which they disagree is contested from then on, a quantity
 * without a number or a missing word; of two equal ones the lower height stays. *row_out
 * (may be NULL): the row now there. A key that the frozen parent holds already is
 * ADDED_SAME or ADDED_CONFLICT, never changed. */
MUST_USE enum added store_add(struct store *store, const struct row *row,
                              const struct row **row_out);

/* Takes all values from an open row of the store's own, for this reason: ADDED_CHANGED,
 * ADDED_SAME (nothing new, or not such a row) or ADDED_NO_MEMORY. */
MUST_USE enum added store_contest(struct store *store, const struct row *row,
                                  struct doubt doubt);

/* Whether a row that has no values is there, here and sure, and no higher than this: a
 * quick look before a row is made that would say nothing new. */
bool store_holds(const struct store *store, relation_id relation, const name_id *key,
                 uint32_t height);

/* Which keys of a relation are held, as far as that is told without looking at rows: a
 * matrix of heights, over cells that lie close together. Good until a row is added. */
struct held {
    const uint16_t *heights; /* NULL: it cannot be told */
    uint32_t low[2];
    uint32_t span[2];
};
void store_held(const struct store *store, relation_id relation, struct held *out);

/* store_holds where it can be told at once; false: ask that. */
static inline bool held_says(const struct held *held, const name_id *key, uint32_t height)
{
    const uint32_t row = key[0] - held->low[0];
    const uint32_t column = key[1] - held->low[1];
    if (held->heights == NULL || row >= held->span[0] || column >= held->span[1]) {
        return false;
    }
    /* 0 is absent, and less by one the greatest of all; the greatest asks to look. */
    const uint16_t there =
        (uint16_t)(held->heights[(size_t)row * held->span[1] + column] - 1u);
    return there <= height && there < UINT16_MAX - 1;
}

/* Whether a row here or in the parent is open, or once was. */
bool store_has_open(const struct store *store, relation_id relation);

/* The row of a key, here or in the parent; NULL when there is none. */
const struct row *store_find(const struct store *store, relation_id relation,
                             const name_id *key);

/* Rows here and in the parent, parent's first. */
uint32_t store_count(const struct store *store, relation_id relation);
/* The i-th row, in insertion order, parent's first. Borrowed; rows do not move. */
const struct row *store_row(const struct store *store, relation_id relation, uint32_t i);

/* The first of the store's own rows, as numbered by store_row: those before are the
 * parent's. */
uint32_t store_own_from(const struct store *store, relation_id relation);

/* Makes ready for stores over this one, and for threads that share it: its indexes, and
 * one by the owner for every owned relation, hold all rows. Without it scans of a store
 * over this one cost as much as this one is large. */
MUST_USE status store_freeze(struct store *store);

struct row_index;

/* A scan over rows whose key cells match where `bound` has a bit set (bit c: column c).
 * It uses an index over just those columns (made on first use) and never reads rows that
 * do not match, unless nothing is bound or a layer has very few; in a frozen parent it
 * may read other rows of the same owner. Rows added during a scan are not seen by it. */
struct scan {
    struct store *store;
    relation_id relation;
    uint32_t bound;
    bool is_even;         /* all rows of the relation are sure and of one height: */
    uint32_t height;      /* this; scan_next_sure: that of the row found last */
    const name_id *cells; /* the key of the row found last */
    name_id key[LIMIT_SCAN_COLUMNS]; /* what its bound columns must be */
    const struct row_index *top;     /* private from here on */
    const struct row_index *index;
    const struct row_index *next;
    uint32_t few_from;
    uint32_t few_end;
    uint32_t few;
    const uint32_t *links;
    uint32_t linked;
    uint32_t at;
    uint32_t end;
    const uint32_t *packed; /* the number of a row and its key, and so on */
    const uint32_t *packed_end;
    uint32_t width; /* of one of them */
    uint64_t *rows_read;
};

/* Only the cells of `key` that `bound` has a bit for are read. false when the arena has
 * failed. */
MUST_USE bool scan_open(struct scan *scan, struct store *store, relation_id relation,
                        uint32_t bound, const name_id *key);
const struct row *scan_next(struct scan *scan);

/* The same in two steps, for many keys over the same columns, which the caller writes
 * into scan->key: rows that are added after the first are not seen. */
MUST_USE bool scan_prepare(struct scan *scan, struct store *store, relation_id relation,
                           uint32_t bound);
void scan_start(struct scan *scan);
/* The next row that is sure, of which only cells and height are wanted: where all are of
 * one height the row itself is not touched. */
bool scan_next_sure(struct scan *scan);

/* scan_next_sure; where rows lie packed and are of one height, the loop is in the
 * caller, and nothing but the index is read. */
static inline bool scan_next_cells(struct scan *scan)
{
    while (scan->at == 0 && scan->is_even && scan->packed != scan->packed_end) {
        const name_id *cells = scan->packed + 1;
        bool is_other = false;
        for (uint32_t c = 0; scan->bound >> c != 0; c++) {
            is_other =
                is_other || ((scan->bound >> c & 1u) != 0 && cells[c] != scan->key[c]);
        }
        scan->packed += scan->width;
        if (!is_other) {
            scan->cells = cells;
            (*scan->rows_read)++;
            return true;
        }
    }
    return scan_next_sure(scan);
}

/* Rows of every owned relation whose owner is `owner`, sorted by relation, then
 * insertion. */
MUST_USE status store_rows_of(struct store *store, name_id owner,
                              const struct row *const **rows_out, uint32_t *count_out);

/* "relation(key, key)" for people and for sorting. */
text row_write(struct arena *arena, const struct store *store, const struct names *names,
               const struct row *row);
/* Sort order of rows that never depends on ids: relation name, then key texts (numbers as
 * numbers). */
int row_compare(const struct store *store, const struct names *names, const struct row *a,
                const struct row *b);

/* Rows looked at since opening: by scans, and those of the parent that had to be put into
 * an index here. */
uint64_t store_rows_read(const struct store *store);

/* Bytes by what they are for: heads of rows (height, standing, where they are stated),
 * key cells, values (not what they point to), the sets of keys, the indexes. */
struct store_size {
    uint64_t rows;
    uint64_t heads;
    uint64_t cells;
    uint64_t values;
    uint64_t keys;
    uint64_t indexes;
};
/* Adds what a relation takes here, without the parent. */
void store_measure(const struct store *store, relation_id relation,
                   struct store_size *out);

#endif
