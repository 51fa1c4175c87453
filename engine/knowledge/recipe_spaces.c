/* SPDX-License-Identifier: MIT */
/*
 * Reads the rooms of a unit and the ways between them:
 *
 *   spaces: {sump: {holds: oil, vent: cover.breather}, pocket: {}, outside: {holds:
 * weather}} paths:
 *     - {from: sump, to: pocket, through: seal.lip on shaft.land}
 *     - {from: pocket, to: outside, through: bearing}
 *
 * A path is called "FROM to OTHER by PLACE", or as its `name` says. It is never shut by
 * being written: rules say what shuts it.
 */
#include "recipe_reader.h"

/* A port that a space needs: `vent: cover.breather`. */
static bool read_port(struct recipe_reader *reader, const struct node *map,
                      const char *field, struct feature_ref *out)
{
    const struct node *word = node_field_of(map, field);
    size_t at = 0;
    return word != NULL && recipe_expect(reader, word, NODE_WORD, field) &&
           recipe_ref(reader, word, &at, false, out);
}

static void read_space(struct recipe_reader *reader, const struct node_field *field,
                       struct space_line *out)
{
    static const char *const known[] = {"holds", "vent", "drain", "wants", "says", NULL};
    const struct node *map = field->value;
    *out = (struct space_line){.name = names_add(reader->names, field->key),
                               .where = field->key_where};
    if (!recipe_expect(reader, map, NODE_MAP, "a space")) {
        return;
    }
    recipe_refuse_others(reader, map, known, "a space");
    const text holds = recipe_optional(reader, map, "holds");
    const text wants = recipe_optional(reader, map, "wants");
    out->holds = holds.length > 0 ? names_add(reader->names, holds) : NAME_NONE;
    out->wants = wants.length > 0 ? names_add(reader->names, wants) : NAME_NONE;
    if (holds.length > 0) {
        out->holds_where = node_field_of(map, "holds")->where;
    }
    if (wants.length > 0) {
        out->wants_where = node_field_of(map, "wants")->where;
    }
    out->has_vent = read_port(reader, map, "vent", &out->vent);
    out->has_drain = read_port(reader, map, "drain", &out->drain);
}

static void read_through(struct recipe_reader *reader, const struct node *word,
                         struct path_line *out)
{
    size_t at = 0;
    if (!recipe_ref(reader, word, &at, true, &out->through)) {
        return;
    }
    if (at >= word->word.length) {
        return;
    }
    out->is_in = recipe_word(word->word, &at, "in");
    if (out->through.feature == NAME_NONE ||
        (!out->is_in && !recipe_word(word->word, &at, "on"))) {
        recipe_fault(reader, node_text_span(word, at, word->word.length - at),
                     TEXT("a way leads through a whole piece, or between two runs"),
                     "PLACE, or PLACE.BAND on PLACE.RUN");
        return;
    }
    if (recipe_ref(reader, word, &at, true, &out->against) && at < word->word.length) {
        recipe_fault(reader, node_text_span(word, at, word->word.length - at),
                     TEXT("nothing may follow the second run"),
                     "PLACE.BAND on PLACE.RUN");
    }
}

static name_id required_name(struct recipe_reader *reader, const struct node *map,
                             const char *key, span *where)
{
    const struct node *word = NULL;
    if (!node_word(map, key, "a path", reader->diagnostics, &word)) {
        reader->result = STATUS_INVALID;
        return NAME_NONE;
    }
    *where = word->where;
    return names_add(reader->names, word->word);
}

static void read_path(struct recipe_reader *reader, const struct node *map,
                      struct path_line *out)
{
    static const char *const known[] = {"from", "to", "through", "name", "says", NULL};
    *out = (struct path_line){.where = map->where};
    if (!recipe_expect(reader, map, NODE_MAP, "a path")) {
        return;
    }
    recipe_refuse_others(reader, map, known, "a path");
    const struct node *through = NULL;
    out->from = required_name(reader, map, "from", &out->from_where);
    out->to = required_name(reader, map, "to", &out->to_where);
    if (!node_word(map, "through", "a path", reader->diagnostics, &through)) {
        reader->result = STATUS_INVALID;
        return;
    }
    read_through(reader, through, out);
    const text name = recipe_optional(reader, map, "name");
    out->name = names_add(
        reader->names,
        name.length > 0
            ? name
            : text_format(reader->arena, "%.*s to %.*s by %.*s",
                          TEXT_ARG(names_text(reader->names, out->from)),
                          TEXT_ARG(names_text(reader->names, out->to)),
                          TEXT_ARG(names_text(reader->names, out->through.place))));
}

static void refuse_doubled(struct recipe_reader *reader, const struct path_line *paths,
                           uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t k = 0; k < i; k++) {
            if (paths[i].name == paths[k].name) {
                recipe_fault(reader, paths[i].where,
                             TEXT("two ways between these spaces lead by this place"),
                             "a `name` for each of them");
            }
        }
    }
}

void recipe_spaces(struct recipe_reader *reader, const struct node *map,
                   struct lines *out)
{
    const struct node *spaces = node_field_of(map, "spaces");
    const struct node *paths = node_field_of(map, "paths");
    if (spaces != NULL && recipe_expect(reader, spaces, NODE_MAP, "`spaces`")) {
        struct space_line *at =
            ARENA_MANY(reader->arena, spaces->count, struct space_line);
        for (uint32_t i = 0; at != NULL && i < spaces->count; i++) {
            read_space(reader, &spaces->fields[i], &at[i]);
        }
        out->spaces = at;
        out->space_count = at == NULL ? 0 : spaces->count;
    }
    if (paths != NULL && recipe_expect(reader, paths, NODE_LIST, "`paths`")) {
        struct path_line *at = ARENA_MANY(reader->arena, paths->count, struct path_line);
        for (uint32_t i = 0; at != NULL && i < paths->count; i++) {
            read_path(reader, paths->items[i], &at[i]);
        }
        out->paths = at;
        out->path_count = at == NULL ? 0 : paths->count;
        refuse_doubled(reader, at, out->path_count);
    }
}
