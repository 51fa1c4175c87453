/* SPDX-License-Identifier: MIT */
/* The pieces that the lines of a unit are written with: words, and PLACE.FEATURE. */
#include "recipe_reader.h"

void recipe_fault(struct recipe_reader *reader, span where, text message,
                  const char *expected)
{
    diagnostics_add(reader->diagnostics, CODE_SHAPE_WRONG, where, message)->expected =
        text_of(expected);
    reader->result = STATUS_INVALID;
}

static bool is_name_byte(char c)
{
    return is_letter(c) || is_digit(c) || c == '-' || c == '_' ||
           (unsigned char)c >= 0x80;
}

static size_t name_end(text line, size_t from)
{
    size_t at = from;
    while (at < line.length && is_name_byte(line.at[at])) {
        at++;
    }
    return at;
}

size_t recipe_skip(text line, size_t from)
{
    while (from < line.length && is_blank(line.at[from])) {
        from++;
    }
    return from;
}

bool recipe_ref(struct recipe_reader *reader, const struct node *word, size_t *at,
                bool whole_allowed, struct feature_ref *out)
{
    const text line = word->word;
    const size_t from = recipe_skip(line, *at);
    const size_t dot = name_end(line, from);
    size_t end = dot;
    *out = (struct feature_ref){0};
    if (dot > from && dot < line.length && line.at[dot] == '.') {
        end = name_end(line, dot + 1);
        out->feature = names_add(reader->names, text_slice(line, dot + 1, end));
    }
    const bool has_feature = end > dot + 1;
    if (dot == from || (!has_feature && !whole_allowed) || end == dot + 1) {
        recipe_fault(reader, node_text_span(word, from, end > from ? end - from : 1),
                     TEXT("a place and its face or run were expected"), "PLACE.FEATURE");
        return false;
    }
    out->place = names_add(reader->names, text_slice(line, from, dot));
    out->where = node_text_span(word, from, end - from);
    *at = recipe_skip(line, end);
    return true;
}

bool recipe_word(text line, size_t *at, const char *word)
{
    const text wanted = text_of(word);
    const size_t end = name_end(line, *at);
    if (!text_equal(text_slice(line, *at, end), wanted)) {
        return false;
    }
    *at = recipe_skip(line, end);
    return true;
}

bool want_is_field(text want, text *place, text *field)
{
    const size_t dot = name_end(want, 0);
    const bool is_field = dot < want.length && want.at[dot] == '.' &&
                          is_letter(want.at[0]) && dot + 1 < want.length &&
                          name_end(want, dot + 1) == want.length;
    *place = text_slice(want, 0, is_field ? dot : 0);
    *field = text_slice(want, is_field ? dot + 1 : want.length, want.length);
    return is_field;
}

text recipe_optional(struct recipe_reader *reader, const struct node *map,
                     const char *key)
{
    const struct node *word = node_field_of(map, key);
    if (word == NULL) {
        return map->word;
    }
    if (!node_expect(word, NODE_WORD, key, reader->diagnostics)) {
        reader->result = STATUS_INVALID;
        return map->word;
    }
    return word->word;
}

bool recipe_quantity(struct recipe_reader *reader, text word, span where,
                     const char *dimension, struct stated *out)
{
    struct stated_options options = {0};
    if (dimension_find(text_of(dimension), &options.wanted) &&
        stated_read(word, where, &options, reader->diagnostics, out) == STATUS_OK) {
        return true;
    }
    reader->result = STATUS_INVALID;
    return false;
}

bool recipe_expect(struct recipe_reader *reader, const struct node *node,
                   enum node_kind kind, const char *what)
{
    if (node_expect(node, kind, what, reader->diagnostics)) {
        return true;
    }
    reader->result = STATUS_INVALID;
    return false;
}

void recipe_refuse_others(struct recipe_reader *reader, const struct node *map,
                          const char *const *known, const char *what)
{
    const uint32_t before = diagnostics_count(reader->diagnostics);
    node_refuse_others(map, known, what, reader->diagnostics);
    if (diagnostics_count(reader->diagnostics) > before) {
        reader->result = STATUS_INVALID;
    }
}

const struct filling *recipe_place(const struct recipe *recipe, name_id place)
{
    for (uint32_t i = 0; i < recipe->place_count; i++) {
        if (recipe->places[i].place == place) {
            return &recipe->places[i];
        }
    }
    return NULL;
}

bool recipe_offers(const struct recipe *recipe, name_id name)
{
    for (uint32_t i = 0; i < recipe->offer_count; i++) {
        if (recipe->offers[i].name == name) {
            return true;
        }
    }
    return false;
}
