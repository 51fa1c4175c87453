/* SPDX-License-Identifier: MIT */
/*
 * From what somebody typed to the parts and units it may mean. Names are tried before
 * forgiveness: what is typed exactly as one part is called means that part, whatever else
 * it may look like.
 */
#include "typed_name.h"

#include "array.h"

#include <stdlib.h>

typedef ARRAY_OF(struct typed_match) match_list;

text typed_folded(struct arena *arena, text name)
{
    char *made = arena_take(arena, name.length + 1);
    size_t length = 0;
    for (size_t i = 0; made != NULL && i < name.length; i++) {
        const char c = name.at[i];
        if (!is_blank(c) && c != '-') {
            made[length++] = c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
        }
    }
    return made == NULL ? (text){"", 0} : (text){made, length};
}

text typed_match_name(const struct knowledge *knowledge, const struct typed_match *match)
{
    return names_text(knowledge->names,
                      match->part != NULL ? match->part->name : match->recipe->name);
}

/* Whether a word is what was typed; `folded` (length 0: exactness is asked) forgives. */
static bool is_meant(struct arena *arena, text word, text typed, text folded)
{
    return folded.length == 0 ? text_equal(word, typed)
                              : word.length >= folded.length && word.length > 0 &&
                                    text_equal(typed_folded(arena, word), folded);
}

/* Somebody's own piece bears the number of what it is like: only its name means it. */
static bool part_is_meant(struct arena *arena, const struct knowledge *knowledge,
                          const struct part *part, text typed, text folded)
{
    bool is_it = folded.length > 0 &&
                 is_meant(arena, names_text(knowledge->names, part->name), typed, folded);
    if (part->like != NAME_NONE) {
        return is_it;
    }
    is_it = is_it || is_meant(arena, part->number, typed, folded);
    for (uint32_t i = 0; part->other_numbers != NULL && i < part->other_numbers->count;
         i++) {
        is_it =
            is_it || is_meant(arena, part->other_numbers->items[i]->word, typed, folded);
    }
    return is_it;
}

static bool gather(struct arena *arena, struct arena *scratch,
                   const struct knowledge *knowledge, text typed, text folded,
                   enum typed_wanted wanted, match_list *out)
{
    bool is_pushed = true;
    for (uint32_t i = 0; (wanted & TYPED_PART) != 0 && i < knowledge->part_count; i++) {
        const struct typed_match match = {.part = &knowledge->parts[i]};
        if (part_is_meant(scratch, knowledge, match.part, typed, folded)) {
            is_pushed = is_pushed && ARRAY_PUSH(arena, out, match);
        }
    }
    for (uint32_t i = 0;
         folded.length > 0 && (wanted & TYPED_UNIT) != 0 && i < knowledge->recipe_count;
         i++) {
        const struct typed_match match = {.recipe = &knowledge->recipes[i]};
        if (is_meant(scratch, names_text(knowledge->names, match.recipe->name), typed,
                     folded)) {
            is_pushed = is_pushed && ARRAY_PUSH(arena, out, match);
        }
    }
    return is_pushed;
}

static bool find_exactly(struct arena *arena, const struct knowledge *knowledge,
                         text typed, enum typed_wanted wanted, match_list *out)
{
    const name_id name = names_find(knowledge->names, typed);
    const struct typed_match match = {
        .part = name == NAME_NONE || (wanted & TYPED_PART) == 0
                    ? NULL
                    : knowledge_part(knowledge, name),
        .recipe = name == NAME_NONE || (wanted & TYPED_UNIT) == 0
                      ? NULL
                      : knowledge_recipe(knowledge, name)};
    return (match.part == NULL && match.recipe == NULL) || ARRAY_PUSH(arena, out, match);
}

status typed_find(struct arena *arena, const struct knowledge *knowledge, text typed,
                  enum typed_wanted wanted, const struct typed_match **out,
                  uint32_t *count)
{
    match_list found = {0};
    *out = NULL;
    *count = 0;
    if (!find_exactly(arena, knowledge, typed, wanted, &found)) {
        return arena_status(arena);
    }
    if (found.count == 0) {
        struct arena *scratch = arena_open_beside(arena);
        if (scratch == NULL) {
            return STATUS_NO_MEMORY;
        }
        const text folded = typed_folded(scratch, typed);
        (void)gather(arena, scratch, knowledge, typed, (text){"", 0}, wanted, &found);
        if (found.count == 0 && folded.length > 0) {
            (void)gather(arena, scratch, knowledge, typed, folded, wanted, &found);
        }
        const status result = arena_status(scratch);
        arena_close(scratch);
        TRY(result);
    }
    *out = found.at;
    *count = found.count;
    return arena_status(arena);
}

void typed_offer(const struct knowledge *knowledge, enum typed_wanted wanted,
                 struct nearest *near)
{
    for (uint32_t i = 0; (wanted & TYPED_PART) != 0 && i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        nearest_offer(near, names_text(knowledge->names, part->name));
        nearest_offer(near, part->number);
        for (uint32_t k = 0;
             part->other_numbers != NULL && k < part->other_numbers->count; k++) {
            nearest_offer(near, part->other_numbers->items[k]->word);
        }
    }
    for (uint32_t i = 0; (wanted & TYPED_UNIT) != 0 && i < knowledge->recipe_count; i++) {
        nearest_offer(near, names_text(knowledge->names, knowledge->recipes[i].name));
    }
}
