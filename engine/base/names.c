/* SPDX-License-Identifier: MIT */
/*
 * Texts by id in an array; ids by hash in a table of slots, half of them empty at least,
 * where a look-up reads on from its own slot to the first empty one. A slot holds the
 * hash too, so that almost always only the text that is equal is compared. Ids of the
 * parent come first.
 */
#include "names.h"

#include "array.h"
#include "hash.h"

#include <string.h>

/* A text with its length before it, so that comparing reads one stretch of memory. */
struct kept_text {
    uint32_t length;
    char bytes[];
};

struct slot {
    uint32_t hash;
    uint32_t number; /* index of the text + 1; 0: empty */
    const struct kept_text *text;
};

struct names {
    struct arena *arena;
    const struct names *parent;
    name_id first; /* the id of texts.at[0] */
    ARRAY_OF(text) texts;
    struct slot *slots;
    uint32_t slot_count; /* a power of two, or 0 */
};

struct names *names_open(struct arena *arena, const struct names *parent)
{
    struct names *names = ARENA_NEW(arena, struct names);
    if (names != NULL) {
        names->arena = arena;
        names->parent = parent;
        names->first = parent == NULL ? 1 : names_last(parent) + 1;
    }
    return names;
}

static name_id find_own(const struct names *names, text word, uint32_t hash)
{
    const uint32_t mask = names->slot_count - 1;
    if (names->slot_count == 0) {
        return NAME_NONE;
    }
    for (uint32_t at = hash & mask; names->slots[at].number != 0; at = (at + 1) & mask) {
        const struct slot *slot = &names->slots[at];
        if (slot->hash == hash && slot->text->length == word.length &&
            memcmp(slot->text->bytes, word.at, word.length) == 0) {
            return names->first + slot->number - 1;
        }
    }
    return NAME_NONE;
}

static name_id find_hashed(const struct names *names, text word, uint32_t hash)
{
    name_id found = NAME_NONE;
    for (; names != NULL && found == NAME_NONE; names = names->parent) {
        found = find_own(names, word, hash);
    }
    return found;
}

static void fill_slot(struct slot *slots, uint32_t count, struct slot slot)
{
    uint32_t at = slot.hash & (count - 1);
    while (slots[at].number != 0) {
        at = (at + 1) & (count - 1);
    }
    slots[at] = slot;
}

/* Room for one more; false when the arena has failed. */
static bool grow_slots(struct names *names)
{
    if (names->texts.count < names->slot_count / 2) {
        return true;
    }
    if (names->slot_count > UINT32_MAX / 2) {
        return arena_take_many(names->arena, SIZE_MAX, 2) != NULL; /* fails the arena */
    }
    const uint32_t wider = names->slot_count == 0 ? 16 : names->slot_count * 2;
    struct slot *slots = ARENA_MANY(names->arena, wider, struct slot);
    if (slots == NULL) {
        return false;
    }
    for (uint32_t i = 0; i < names->slot_count; i++) {
        if (names->slots[i].number != 0) {
            fill_slot(slots, wider, names->slots[i]);
        }
    }
    arena_drop(names->arena, names->slots, names->slot_count * sizeof *slots);
    names->slots = slots;
    names->slot_count = wider;
    return true;
}

static struct kept_text *keep_text(struct arena *arena, text word)
{
    struct kept_text *kept = arena_take(
        arena, word.length < UINT32_MAX ? sizeof *kept + word.length + 1
                                        : SIZE_MAX); /* which fails the arena */
    if (kept != NULL) {
        kept->length = (uint32_t)word.length;
        memcpy(kept->bytes, word.at, word.length);
    }
    return kept;
}

name_id names_find(const struct names *names, text word)
{
    return find_hashed(names, word, hash_bytes(word.at, word.length));
}

name_id names_add(struct names *names, text word)
{
    const uint32_t hash = hash_bytes(word.at, word.length);
    const name_id known = find_hashed(names, word, hash);
    if (known != NAME_NONE) {
        return known;
    }
    struct kept_text *kept = keep_text(names->arena, word);
    if (kept == NULL || !grow_slots(names) ||
        !ARRAY_PUSH(names->arena, &names->texts, ((text){kept->bytes, word.length}))) {
        return NAME_NONE;
    }
    fill_slot(names->slots, names->slot_count,
              (struct slot){hash, names->texts.count, kept});
    return names->first + names->texts.count - 1;
}

text names_text(const struct names *names, name_id id)
{
    while (names != NULL && id < names->first) {
        names = names->parent;
    }
    if (names == NULL || id - names->first >= names->texts.count) {
        return (text){"", 0};
    }
    return names->texts.at[id - names->first];
}

name_id names_last(const struct names *names)
{
    return names->first + names->texts.count - 1;
}

int names_compare(const struct names *names, name_id a, name_id b)
{
    return a == b ? 0 : text_compare(names_text(names, a), names_text(names, b));
}
