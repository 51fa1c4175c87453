/* SPDX-License-Identifier: MIT */
/*
 * Makes the documents of a family's members by copying the template with its blanks
 * filled. Spans stay those of the template, so a fault points at the line that states it;
 * the member's name in the message tells which row was meant.
 */
#include "family.h"

#include "limits.h"

struct filler {
    struct arena *arena;
    const struct node *row;
    const struct node *family;
    struct diagnostics *diagnostics;
    status result;
};

/* The text of a blank, or NULL when the row (and the family's own fields) leave it out.
 */
static const struct node *blank_value(const struct filler *filler, text blank)
{
    const struct node_field *field = node_find(filler->row, blank);
    if (field == NULL && text_is(blank, "source")) {
        field = node_find(filler->family, blank);
    }
    return field != NULL && field->value->kind == NODE_WORD ? field->value : NULL;
}

/* Fills the blanks of a word; false when one is left out. */
static bool fill_word(struct filler *filler, text word, text *out)
{
    text done = {"", 0};
    size_t at = 0;
    while (at < word.length) {
        const size_t open = text_find(word, '{', at);
        const text before = text_slice(word, at, open);
        const size_t close = text_find(word, '}', open);
        if (open >= word.length || close >= word.length) {
            done = text_format(filler->arena, "%.*s%.*s", TEXT_ARG(done),
                               TEXT_ARG(text_slice(word, at, word.length)));
            break;
        }
        const struct node *value = blank_value(filler, text_slice(word, open + 1, close));
        if (value == NULL) {
            return false;
        }
        done = text_format(filler->arena, "%.*s%.*s%.*s", TEXT_ARG(done),
                           TEXT_ARG(before), TEXT_ARG(value->word));
        at = close + 1;
    }
    *out = done.length > 0 ? done : word;
    return true;
}

static const struct node *fill_node(struct filler *filler, const struct node *from,
                                    uint32_t depth);

static const struct node *fill_map(struct filler *filler, const struct node *from,
                                   struct node *copy, uint32_t depth)
{
    struct node_field *fields = ARENA_MANY(filler->arena, from->count, struct node_field);
    copy->count = 0;
    for (uint32_t i = 0; fields != NULL && i < from->count; i++) {
        struct node_field field = from->fields[i];
        const bool is_keyed = fill_word(filler, field.key, &field.key);
        field.value = is_keyed ? fill_node(filler, field.value, depth + 1) : NULL;
        if (field.value != NULL) {
            fields[copy->count++] = field;
        }
    }
    copy->fields = fields;
    return copy;
}

static const struct node *fill_list(struct filler *filler, const struct node *from,
                                    struct node *copy, uint32_t depth)
{
    const struct node **items =
        ARENA_MANY(filler->arena, from->count, const struct node *);
    copy->count = 0;
    for (uint32_t i = 0; items != NULL && i < from->count; i++) {
        const struct node *item = fill_node(filler, from->items[i], depth + 1);
        if (item != NULL) {
            items[copy->count++] = item;
        }
    }
    copy->items = items;
    return copy;
}

/* NULL: it has a blank that is left out, and falls away. */
static const struct node *fill_node(struct filler *filler, const struct node *from,
                                    uint32_t depth)
{
    struct node *copy = ARENA_NEW(filler->arena, struct node);
    if (copy == NULL || depth > LIMIT_DEPTH) {
        return NULL;
    }
    *copy = *from;
    switch (from->kind) {
    case NODE_WORD:
        return fill_word(filler, from->word, &copy->word) ? copy : NULL;
    case NODE_LIST:
        return fill_list(filler, from, copy, depth);
    case NODE_MAP:
        return fill_map(filler, from, copy, depth);
    }
    return NULL;
}

uint32_t family_size(const struct node *family, struct diagnostics *diagnostics)
{
    const struct node *rows = node_field_of(family, "rows");
    if (rows == NULL) {
        diagnostics_report(diagnostics, CODE_FIELD_MISSING, family->where,
                           "a family has `rows`, one for each member");
        return 0;
    }
    return node_expect(rows, NODE_LIST, "`rows`", diagnostics) ? rows->count : 0;
}

status family_member(struct arena *arena, const struct node *family, uint32_t i,
                     struct diagnostics *diagnostics, const struct node **out)
{
    const struct node *template_map = node_field_of(family, "template");
    const struct node *row = node_field_of(family, "rows")->items[i];
    if (template_map == NULL ||
        !node_expect(template_map, NODE_MAP, "`template`", diagnostics) ||
        !node_expect(row, NODE_MAP, "a row of a family", diagnostics)) {
        return STATUS_INVALID;
    }
    struct filler filler = {arena, row, family, diagnostics, STATUS_OK};
    const struct node *member = fill_node(&filler, template_map, 0);
    TRY(arena_status(arena));
    if (member == NULL || node_field_of(member, "part") == NULL) {
        diagnostics_report(diagnostics, CODE_FIELD_MISSING, row->where,
                           "this row leaves out what the name of its part is made of");
        return STATUS_INVALID;
    }
    const struct node *source = node_field_of(family, "source");
    if (node_field_of(member, "source") == NULL && source != NULL) {
        struct node *with_source = ARENA_NEW(arena, struct node);
        struct node_field *fields =
            ARENA_MANY(arena, (size_t)member->count + 1, struct node_field);
        TRY(arena_status(arena));
        for (uint32_t k = 0; k < member->count; k++) {
            fields[k] = member->fields[k];
        }
        fields[member->count] = *node_find(family, TEXT("source"));
        *with_source = *member;
        with_source->fields = fields;
        with_source->count = member->count + 1;
        member = with_source;
    }
    *out = member;
    return STATUS_OK;
}
