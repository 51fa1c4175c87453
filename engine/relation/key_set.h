/* SPDX-License-Identifier: MIT */
#ifndef WHYFIT_KEY_SET_H
#define WHYFIT_KEY_SET_H

#include "arena.h"

#include <stdint.h>

/*
 * Which keys a relation holds, and by which row. Two containers: open addressing by hash
 * (8 bytes a slot, at most three quarters full), and for two key columns whose cells lie
 * close together a matrix of heights (2 bytes a cell), which says at once that a row
 * derived again would be nothing new.
 */
struct key_slot {
    uint32_t hash;
    uint32_t number; /* of the row, + 1; 0: free */
};

struct key_set {
    struct key_slot *slots; /* NULL: none yet, or the matrix is in use */
    uint32_t slot_count;    /* a power of two, or 0 */
    uint32_t count;
    uint16_t *heights; /* NULL: the slots are in use */
    uint32_t *numbers; /* the row + 1 of each cell of the matrix, once somebody has looked
                          for a row; else NULL */
    uint32_t low[2];   /* the least cell of each column … */
    uint32_t span[2];  /* … and how many there are from it on */
};

enum {
    HEIGHT_ABSENT = 0,
    HEIGHT_LOOK = UINT16_MAX /* the row is open, or too high to be told here */
};

/* Adds a key that is not there; false when the arena has failed. Only while the slots are
 * in use. */
MUST_USE bool key_set_add(struct key_set *set, struct arena *arena, uint32_t hash,
                          uint32_t number);
/* Whether the next key would make the slots grow. */
bool key_set_is_full(const struct key_set *set);
/* Walks the rows of a hash: start with *cursor 0; false when there are no more. */
static inline bool key_set_next(const struct key_set *set, uint32_t hash,
                                uint32_t *cursor, uint32_t *number_out)
{
    if (set->slot_count == 0) {
        return false;
    }
    const uint32_t mask = set->slot_count - 1;
    for (uint32_t at = (hash + *cursor) & mask; set->slots[at].number != 0;
         at = (at + 1) & mask) {
        (*cursor)++;
        if (set->slots[at].hash == hash) {
            *number_out = set->slots[at].number - 1;
            return true;
        }
    }
    return false;
}

/* Bytes of a matrix over these spans; SIZE_MAX where that is more than can be. */
size_t key_matrix_size(const uint32_t span[2]);
/* Changes over to an empty matrix, giving the slots back. */
MUST_USE bool key_set_to_matrix(struct key_set *set, struct arena *arena,
                                const uint32_t low[2], const uint32_t span[2]);
/* Changes back to empty slots. */
void key_set_to_slots(struct key_set *set, struct arena *arena);
/* The cell of a key in the matrix; SIZE_MAX: it lies outside. */
static inline size_t key_matrix_cell(const struct key_set *set, const uint32_t *key)
{
    const uint32_t row = key[0] - set->low[0];
    const uint32_t column = key[1] - set->low[1];
    return row < set->span[0] && column < set->span[1]
               ? (size_t)row * set->span[1] + column
               : SIZE_MAX;
}
/* Room for the numbers of rows, all 0; false when the arena has failed. */
MUST_USE bool key_matrix_number(struct key_set *set, struct arena *arena);

#endif
