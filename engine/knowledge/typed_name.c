/* SPDX-License-Identifier: MIT */
/*
 * From what somebody typed to the parts and units it may mean. Names are tried before
 * forgiveness: what is typed exactly as one part is called means that part, whatever else
 * it may look like.
 */
#include "typed_name.h"

#include "array.h"
#include "nearest.h"
#include "number_text.h"
#include "typed_entry.h"

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

/* ---- models */

/* "wb55 2004": a model, and a number that its lists may go by. */
struct typed_model {
    text folded;
    double number;
    bool has_number;
};

/* Whether a model is meant: all of its name was typed, or its first words. */
static bool model_is_meant(struct arena *scratch, text name, text folded)
{
    for (size_t end = 1; end <= name.length; end++) {
        if ((end == name.length || is_blank(name.at[end]) || name.at[end] == '-') &&
            text_equal(typed_folded(scratch, text_slice(name, 0, end)), folded)) {
            return true;
        }
    }
    return false;
}

/* Whether any list of a document says that it is for the model. */
static bool is_for_model(struct arena *scratch, const struct knowledge *knowledge,
                         const struct node *document, bool in_unit,
                         const struct typed_model *model)
{
    struct typed_walk walk = {knowledge, document, in_unit, 0, 0};
    for (struct typed_entry entry; typed_walk_next(&walk, &entry);) {
        if (model_is_meant(scratch, entry.name, model->folded) &&
            !(model->has_number &&
              (model->number < entry.from || model->number > entry.to))) {
            return true;
        }
    }
    return false;
}

static bool gather_model(struct arena *arena, struct arena *scratch,
                         const struct knowledge *knowledge,
                         const struct typed_model *model, enum typed_wanted wanted,
                         match_list *out)
{
    bool is_pushed = true;
    for (uint32_t i = 0; (wanted & TYPED_PART) != 0 && i < knowledge->part_count; i++) {
        const struct typed_match match = {.part = &knowledge->parts[i]};
        if (match.part->like == NAME_NONE &&
            is_for_model(scratch, knowledge, match.part->document, false, model)) {
            is_pushed = is_pushed && ARRAY_PUSH(arena, out, match);
        }
    }
    for (uint32_t i = 0; (wanted & TYPED_UNIT) != 0 && i < knowledge->recipe_count; i++) {
        const struct typed_match match = {.recipe = &knowledge->recipes[i]};
        if (is_for_model(scratch, knowledge, match.recipe->document, true, model)) {
            is_pushed = is_pushed && ARRAY_PUSH(arena, out, match);
        }
    }
    return is_pushed;
}

/* The model as a whole, or with the number that stands after its last blank. */
static void find_model(struct arena *arena, struct arena *scratch,
                       const struct knowledge *knowledge, text typed,
                       enum typed_wanted wanted, match_list *out)
{
    const text trimmed = text_trim(typed);
    struct typed_model model = {.folded = typed_folded(scratch, trimmed)};
    size_t blank = trimmed.length;
    (void)gather_model(arena, scratch, knowledge, &model, wanted, out);
    while (blank > 0 && !is_blank(trimmed.at[blank - 1])) {
        blank--;
    }
    if (out->count > 0 || blank == 0 ||
        !number_read(text_slice(trimmed, blank, trimmed.length), &model.number)) {
        return;
    }
    model.has_number = true;
    model.folded = typed_folded(scratch, text_slice(trimmed, 0, blank));
    (void)gather_model(arena, scratch, knowledge, &model, wanted, out);
}

/* ---- sizes */

static bool starts_with_digit(text typed)
{
    return typed.length > 0 && typed.at[0] >= '0' && typed.at[0] <= '9';
}

/* Parts whose names end in the size that was typed: "45x62x8" means lip-45x62x8. */
static void find_size(struct arena *arena, struct arena *scratch,
                      const struct knowledge *knowledge, text folded, match_list *out)
{
    bool is_pushed = true;
    for (uint32_t i = 0; i < knowledge->part_count && is_pushed; i++) {
        const struct typed_match match = {.part = &knowledge->parts[i]};
        const text name = names_text(knowledge->names, match.part->name);
        bool is_meant = false;
        for (size_t at = 0; at < name.length && match.part->like == NAME_NONE; at++) {
            is_meant =
                is_meant ||
                (name.at[at] == '-' && name.length - at > folded.length &&
                 text_equal(typed_folded(scratch, text_slice(name, at, name.length)),
                            folded));
        }
        is_pushed = !is_meant || ARRAY_PUSH(arena, out, match);
    }
}

/* ---- all of them */

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
    if (typed.length == 0) {
        return STATUS_OK;
    }
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
        if (found.count == 0 && folded.length > 0) {
            find_model(arena, scratch, knowledge, typed, wanted, &found);
        }
        if (found.count == 0 && (wanted & TYPED_PART) != 0 && starts_with_digit(folded)) {
            find_size(arena, scratch, knowledge, folded, &found);
        }
        const status result = arena_status(scratch);
        arena_close(scratch);
        TRY(result);
    }
    *out = found.at;
    *count = found.count;
    return arena_status(arena);
}

/* ---- the nearest */

/* A search among folded words that keeps the word as it is written. */
struct folded_search {
    struct arena *arena;
    struct nearest near;
    text best;
};

static void offer(struct folded_search *search, text word)
{
    const text before = search->near.best;
    nearest_offer(&search->near, typed_folded(search->arena, word));
    if (search->near.best.at != before.at) {
        search->best = word;
    }
}

static void offer_all(struct folded_search *search, const struct knowledge *knowledge,
                      enum typed_wanted wanted)
{
    for (uint32_t i = 0; (wanted & TYPED_PART) != 0 && i < knowledge->part_count; i++) {
        const struct part *part = &knowledge->parts[i];
        offer(search, names_text(knowledge->names, part->name));
        offer(search, part->number);
        for (uint32_t k = 0;
             part->other_numbers != NULL && k < part->other_numbers->count; k++) {
            offer(search, part->other_numbers->items[k]->word);
        }
    }
    for (uint32_t i = 0; (wanted & TYPED_UNIT) != 0 && i < knowledge->recipe_count; i++) {
        offer(search, names_text(knowledge->names, knowledge->recipes[i].name));
    }
}

text typed_nearest(struct arena *arena, const struct knowledge *knowledge, text typed,
                   enum typed_wanted wanted)
{
    struct arena *scratch = arena_open_beside(arena);
    if (scratch == NULL) {
        return (text){"", 0};
    }
    struct folded_search search = {.arena = scratch,
                                   .near = nearest_to(typed_folded(scratch, typed)),
                                   .best = {"", 0}};
    offer_all(&search, knowledge, wanted);
    arena_close(scratch);
    return search.best;
}
