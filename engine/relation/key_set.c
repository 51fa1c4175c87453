/* SPDX-License-Identifier: MIT */
/* Open addressing with linear steps, and a matrix of heights. */
#include "key_set.h"

enum {
    FIRST_SLOTS = 8
};

bool key_set_is_full(const struct key_set *set)
{
    return set->count >= set->slot_count / 4 * 3;
}

static void put(struct key_slot *slots, uint32_t slot_count, struct key_slot one)
{
    uint32_t at = one.hash & (slot_count - 1);
    while (slots[at].number != 0) {
        at = (at + 1) & (slot_count - 1);
    }
    slots[at] = one;
}

static bool grow(struct key_set *set, struct arena *arena)
{
    const uint32_t wider = set->slot_count == 0 ? FIRST_SLOTS : set->slot_count * 2;
    struct key_slot *slots = ARENA_MANY(arena, wider, struct key_slot);
    if (slots == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < set->slot_count; i++) {
        if (set->slots[i].number != 0) {
            put(slots, wider, set->slots[i]);
        }
    }
    arena_drop(arena, set->slots, set->slot_count * sizeof *slots);
    set->slots = slots;
    set->slot_count = wider;
    return true;
}

bool key_set_add(struct key_set *set, struct arena *arena, uint32_t hash, uint32_t number)
{
    if (key_set_is_full(set) && !grow(set, arena)) {
        return false;
    }
    put(set->slots, set->slot_count, (struct key_slot){hash, number + 1});
    set->count++;
    return true;
}

size_t key_matrix_size(const uint32_t span[2])
{
    const uint64_t cells = (uint64_t)span[0] * span[1];
    return cells > UINT32_MAX ? SIZE_MAX : (size_t)cells * sizeof(uint16_t);
}

static void drop_containers(struct key_set *set, struct arena *arena)
{
    arena_drop(arena, set->slots, set->slot_count * sizeof *set->slots);
    arena_drop(arena, set->heights, key_matrix_size(set->span));
    arena_drop(arena, set->numbers, key_matrix_size(set->span) * 2);
}

bool key_set_to_matrix(struct key_set *set, struct arena *arena, const uint32_t low[2],
                       const uint32_t span[2])
{
    uint16_t *heights = arena_take(arena, key_matrix_size(span));
    if (heights == NULL) {
        return false;
    }
    drop_containers(set, arena);
    *set = (struct key_set){
        .heights = heights, .low = {low[0], low[1]}, .span = {span[0], span[1]}};
    return true;
}

void key_set_to_slots(struct key_set *set, struct arena *arena)
{
    drop_containers(set, arena);
    *set = (struct key_set){0};
}

bool key_matrix_number(struct key_set *set, struct arena *arena)
{
    _Static_assert(sizeof *set->numbers == 2 * sizeof *set->heights, "twice the size");
    set->numbers = arena_take(arena, key_matrix_size(set->span) * 2);
    return set->numbers != NULL;
}
