/* SPDX-License-Identifier: MIT */
/* Texts by id in an array, ids by hash; ids of the parent come first. */
#include "names.h"

#include "array.h"
#include "hash.h"

struct names {
    struct arena *arena;
    const struct names *parent;
    name_id first; /* the id of texts.at[0] */
    ARRAY_OF(text) texts;
    struct hash_map by_text;
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

static name_id find_hashed(const struct names *names, text word, uint32_t hash)
{
    for (; names != NULL; names = names->parent) {
        uint32_t cursor = 0;
        uint32_t index = 0;
        while (hash_map_next(&names->by_text, hash, &cursor, &index)) {
            if (text_equal(names->texts.at[index], word)) {
                return names->first + index;
            }
        }
    }
    return NAME_NONE;
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
    const text copy = text_copy(names->arena, word);
    if (arena_status(names->arena) != STATUS_OK ||
        !ARRAY_PUSH(names->arena, &names->texts, copy) ||
        !hash_map_add(&names->by_text, names->arena, hash, names->texts.count - 1)) {
        return NAME_NONE;
    }
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
