/* SPDX-License-Identifier: MIT */
/*
 * For which pieces a given value speaks. A value that is given by part is taken by every
 * piece of the swap that is of that number, but for those whose place has a value of its
 * own; the answer says so, since nobody sees it otherwise.
 */
#include "given.h"

#include "array.h"

static size_t last_point(text a)
{
    size_t at = a.length;
    while (at > 0 && a.at[at - 1] != '.') {
        at--;
    }
    return at == 0 ? a.length : at - 1;
}

/* Whether some part is called so, or bears that number. */
static bool is_part(const struct knowledge *knowledge, text word)
{
    const name_id name = names_find(knowledge->names, word);
    bool is_found = name != NAME_NONE && knowledge_part(knowledge, name) != NULL;
    for (uint32_t i = 0; !is_found && i < knowledge->part_count; i++) {
        is_found = part_bears(&knowledge->parts[i], word);
    }
    return is_found;
}

bool given_read(const struct knowledge *knowledge, struct names *names, text word,
                struct given_value *out)
{
    const size_t last = last_point(word);
    const text owner = text_slice(word, 0, last);
    const text field = text_slice(word, last + 1, word.length);
    const size_t middle = last_point(owner);
    const text place = text_slice(owner, 0, middle);
    const text feature = text_slice(owner, middle + 1, owner.length);
    if (last == word.length || owner.length == 0 || field.length == 0) {
        return false;
    }
    out->field = names_add(names, field);
    if (middle == owner.length || is_part(knowledge, owner)) {
        out->place = names_add(names, owner);
        out->feature = NAME_NONE;
        return true;
    }
    out->place = names_add(names, place);
    out->feature = names_add(names, feature);
    return feature.length > 0 && place.length > 0 &&
           (text_find(place, '.', 0) == place.length || is_part(knowledge, place));
}

void given_find_parts(const struct layer *layer, const struct minted_place *places,
                      uint32_t place_count, struct given_value *given, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        bool is_place = false;
        for (uint32_t k = 0; k < place_count; k++) {
            is_place = is_place || places[k].place == given[i].place;
        }
        given[i].is_by_part =
            !is_place &&
            is_part(layer->knowledge, names_text(layer->names, given[i].place));
    }
}

static bool is_of(const struct names *names, const struct part *part,
                  const struct given_value *given)
{
    return part != NULL && (part->name == given->place || part->like == given->place ||
                            part_bears(part, names_text(names, given->place)));
}

struct given_value *given_of_piece(const struct names *names, struct given_value *given,
                                   uint32_t count, name_id piece, const struct part *part,
                                   name_id feature, name_id field)
{
    struct given_value *by_place = NULL;
    struct given_value *by_part = NULL;
    for (uint32_t i = 0; i < count; i++) {
        if (given[i].feature != feature || given[i].field != field) {
            continue;
        }
        if (!given[i].is_by_part && given[i].place == piece && by_place == NULL) {
            by_place = &given[i];
        } else if (given[i].is_by_part && is_of(names, part, &given[i]) &&
                   by_part == NULL) {
            by_part = &given[i];
        }
    }
    if (by_place != NULL) {
        by_place->is_used = true;
    }
    if (by_part != NULL) {
        by_part->is_used = true;
    }
    return by_place != NULL ? by_place : by_part;
}

text given_word(struct arena *arena, const struct names *names,
                const struct given_value *given)
{
    const text feature = names_text(names, given->feature);
    return text_format(arena, "%.*s%s%.*s.%.*s",
                       TEXT_ARG(names_text(names, given->place)),
                       feature.length > 0 ? "." : "", TEXT_ARG(feature),
                       TEXT_ARG(names_text(names, given->field)));
}

/* ---- what was taken for what */

static bool is_given_by_place(const struct given_value *given, uint32_t count,
                              name_id piece, const struct given_value *by_part)
{
    for (uint32_t i = 0; i < count; i++) {
        if (!given[i].is_by_part && given[i].place == piece &&
            given[i].feature == by_part->feature && given[i].field == by_part->field) {
            return true;
        }
    }
    return false;
}

/* The pieces of a part by name, those that a place's own value overrules apart. */
static void list_pieces(const struct layer *layer, const struct given_value *given,
                        uint32_t count, const struct given_value *one, text *taken,
                        text *overruled)
{
    relation_id relation = 0;
    ARRAY_OF(name_id) pieces = {0};
    const bool is_there = store_find_relation(
        layer->store, names_find(layer->names, TEXT("piece")), &relation);
    const struct relation_shape *shape =
        is_there ? store_shape(layer->store, relation) : NULL;
    const int column =
        is_there ? vocabulary_column(shape, names_find(layer->names, TEXT("part"))) : -1;
    for (uint32_t i = column < 0 ? 0 : store_own_from(layer->store, relation);
         column >= 0 && i < store_count(layer->store, relation); i++) {
        const struct row *row = store_row(layer->store, relation, i);
        const struct value part = row->values[(uint32_t)column - shape->key_count];
        if (part.kind != VALUE_WORD ||
            !is_of(layer->names, knowledge_part(layer->knowledge, part.word), one) ||
            !ARRAY_PUSH(layer->arena, &pieces, row->key[0])) {
            continue;
        }
        uint32_t at = pieces.count - 1;
        while (at > 0 &&
               names_compare(layer->names, row->key[0], pieces.at[at - 1]) < 0) {
            pieces.at[at] = pieces.at[at - 1];
            at--;
        }
        pieces.at[at] = row->key[0];
    }
    for (uint32_t i = 0; i < pieces.count; i++) {
        text *list =
            is_given_by_place(given, count, pieces.at[i], one) ? overruled : taken;
        *list = text_format(layer->arena, "%.*s%s%.*s", TEXT_ARG(*list),
                            list->length > 0 ? ", " : "",
                            TEXT_ARG(names_text(layer->names, pieces.at[i])));
    }
}

status given_say(const struct layer *layer, const struct given_value *given,
                 uint32_t count, struct minted_unit *out)
{
    ARRAY_OF(text) lines = {0};
    bool is_pushed = true;
    for (uint32_t i = 0; is_pushed && i < count; i++) {
        text taken = {"", 0};
        text overruled = {"", 0};
        if (!given[i].is_by_part || !given[i].is_used) {
            continue;
        }
        list_pieces(layer, given, count, &given[i], &taken, &overruled);
        const text word = given_word(layer->arena, layer->names, &given[i]);
        const text line =
            text_format(layer->arena, "%.*s for %.*s%s%.*s%s", TEXT_ARG(word),
                        TEXT_ARG(taken.length > 0 ? taken : TEXT("no place")),
                        overruled.length > 0 ? "; for " : "", TEXT_ARG(overruled),
                        overruled.length > 0 ? " what is given for the place holds" : "");
        uint32_t at = lines.count;
        is_pushed = ARRAY_PUSH(layer->arena, &lines, line);
        for (; is_pushed && at > 0 && text_compare(line, lines.at[at - 1]) < 0; at--) {
            lines.at[at] = lines.at[at - 1];
        }
        if (is_pushed) {
            lines.at[at] = line;
        }
    }
    out->taken = lines.at;
    out->taken_count = lines.count;
    return arena_status(layer->arena);
}
