/* SPDX-License-Identifier: MIT */
/* One document laid over another. */
#include "node_merge.h"

#include "limits.h"

static const struct node *merge_maps(struct arena *arena, const struct node *base,
                                     const struct node *over, uint32_t depth)
{
    struct node *made = ARENA_NEW(arena, struct node);
    struct node_field *fields =
        ARENA_MANY(arena, (size_t)base->count + over->count, struct node_field);
    uint32_t count = 0;
    if (made == NULL || fields == NULL) {
        return NULL;
    }
    for (uint32_t i = 0; i < base->count; i++) {
        const struct node_field *more = node_find(over, base->fields[i].key);
        fields[count] = base->fields[i];
        if (more != NULL) {
            const bool are_maps = base->fields[i].value->kind == NODE_MAP &&
                                  more->value->kind == NODE_MAP && depth < LIMIT_DEPTH;
            fields[count].key_where = more->key_where;
            fields[count].value = are_maps ? merge_maps(arena, base->fields[i].value,
                                                        more->value, depth + 1)
                                           : more->value;
        }
        count++;
    }
    for (uint32_t i = 0; i < over->count; i++) {
        if (node_find(base, over->fields[i].key) == NULL) {
            fields[count++] = over->fields[i];
        }
    }
    *made = *over;
    made->fields = fields;
    made->count = count;
    return made;
}

const struct node *node_merge(struct arena *arena, const struct node *base,
                              const struct node *over)
{
    return merge_maps(arena, base, over, 0);
}

const struct node *node_with(struct arena *arena, const struct node *map, const char *key,
                             const struct node *value)
{
    struct node *made = ARENA_NEW(arena, struct node);
    struct node_field *fields =
        ARENA_MANY(arena, (size_t)map->count + 1, struct node_field);
    uint32_t count = 0;
    if (made == NULL || fields == NULL) {
        return NULL;
    }
    for (uint32_t i = 0; i < map->count; i++) {
        if (!text_is(map->fields[i].key, key)) {
            fields[count++] = map->fields[i];
        }
    }
    if (value != NULL) {
        fields[count++] =
            (struct node_field){text_copy(arena, text_of(key)), value->where, value};
    }
    *made = *map;
    made->fields = fields;
    made->count = count;
    return made;
}

const struct node *node_of_word(struct arena *arena, text word, span where)
{
    struct node *made = ARENA_NEW(arena, struct node);
    if (made != NULL) {
        *made = (struct node){.kind = NODE_WORD,
                              .is_plain = true,
                              .where = where,
                              .word = text_copy(arena, word)};
    }
    return made;
}
