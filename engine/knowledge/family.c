/* SPDX-License-Identifier: MIT */
/*
 * Makes the documents of a family's members by copying the template with its blanks
 * filled. A filled word is a reading: what came from the row is shown in the row, the
 * rest in the template.
 */
#include "family.h"

#include "array.h"
#include "limits.h"
#include "nearest.h"

struct filler {
    struct arena *arena;
    struct sources *sources;
    const struct node *row;
    const struct node *variant; /* NULL: none */
    const struct node *family;
};

/* The word a map has for a blank; NULL when it leaves it out. */
static const struct node *word_for(const struct node *map, text blank)
{
    const struct node_field *field = map == NULL ? NULL : node_find(map, blank);
    return field != NULL && field->value->kind == NODE_WORD ? field->value : NULL;
}

/* A text while it is put together, and where its pieces were read from. */
struct filled {
    text done;
    ARRAY_OF(struct reading_piece) pieces;
};

static void put(struct filler *filler, struct filled *filled, text more, span from)
{
    const struct reading_piece piece = {(uint32_t)filled->done.length, from.source,
                                        from.at};
    const text parts[] = {filled->done, more};
    filled->done = text_join(filler->arena, parts, 2);
    if (more.length > 0) {
        (void)ARRAY_PUSH(filler->arena, &filled->pieces, piece);
    }
}

static bool put_filled(struct filler *filler, const struct node *from,
                       struct filled *out);

/* Puts what fills a blank: the variant's word, whose own blanks the row fills; else the
 * row's, else the family's source. False when all leave it out. */
static bool put_blank(struct filler *filler, text blank, struct filled *out)
{
    const struct node *varied = word_for(filler->variant, blank);
    if (varied != NULL) {
        struct filler of_row = *filler;
        of_row.variant = NULL;
        return put_filled(&of_row, varied, out);
    }
    const struct node *value = word_for(filler->row, blank);
    if (value == NULL && text_is(blank, "source")) {
        value = word_for(filler->family, blank);
    }
    if (value != NULL) {
        put(filler, out, value->word, node_text_span(value, 0, 0));
    }
    return value != NULL;
}

/* Puts a word's text with its blanks filled; false when one is left out. */
static bool put_filled(struct filler *filler, const struct node *from, struct filled *out)
{
    const text word = from->word;
    for (size_t at = 0; at < word.length;) {
        const size_t open = text_find(word, '{', at);
        const size_t close = text_find(word, '}', open);
        const bool is_blank = close < word.length;
        const size_t end = is_blank ? open : word.length;
        put(filler, out, text_slice(word, at, end), node_text_span(from, at, 0));
        at = end;
        if (is_blank) {
            if (!put_blank(filler, text_slice(word, open + 1, close), out)) {
                return false;
            }
            at = close + 1;
        }
    }
    return true;
}

/* A word filled, as a reading; NULL when a blank of it is left out. */
static const struct node *fill_word(struct filler *filler, const struct node *from,
                                    struct node *copy)
{
    struct filled filled = {.done = TEXT("")};
    const size_t quote = from->is_plain ? 0 : 1;
    const text mark = text_slice(TEXT("\""), 0, quote);
    if (text_find(from->word, '{', 0) == from->word.length) {
        return copy;
    }
    put(filler, &filled, mark, from->where);
    if (!put_filled(filler, from, &filled)) {
        return NULL;
    }
    put(filler, &filled, mark, node_text_span(from, from->word.length, 0));
    const uint32_t source = sources_add_reading(filler->sources, filled.done, from->where,
                                                filled.pieces.at, filled.pieces.count);
    copy->word = text_copy(filler->arena,
                           text_slice(filled.done, quote, filled.done.length - quote));
    copy->where = (span){source, 0, (uint32_t)filled.done.length};
    return copy;
}

/* A key filled; it is shown where the template writes it. False when a blank of it is
 * left out. */
static bool fill_key(struct filler *filler, struct node_field *field)
{
    const struct node key = {.kind = NODE_WORD,
                             .is_plain = true,
                             .where = field->key_where,
                             .word = field->key};
    struct filled filled = {.done = TEXT("")};
    if (text_find(field->key, '{', 0) == field->key.length) {
        return true;
    }
    const bool is_filled = put_filled(filler, &key, &filled);
    field->key = filled.done;
    return is_filled;
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
        const bool is_keyed = fill_key(filler, &field);
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
        return fill_word(filler, from, copy);
    case NODE_LIST:
        return fill_list(filler, from, copy, depth);
    case NODE_MAP:
        return fill_map(filler, from, copy, depth);
    }
    return NULL;
}

/* ---- what a family as a whole gets wrong */

/* Called for each blank of a template, with the word or key it stands in. */
typedef void visit_blank(void *context, text blank, span where);

static void blanks_of_word(text word, span where, visit_blank *visit, void *context)
{
    for (size_t open = text_find(word, '{', 0); open < word.length;) {
        const size_t close = text_find(word, '}', open);
        if (close < word.length) {
            visit(context, text_slice(word, open + 1, close), where);
        }
        open = text_find(word, '{', close);
    }
}

static void blanks_of(const struct node *from, visit_blank *visit, void *context)
{
    if (from->kind == NODE_WORD) {
        blanks_of_word(from->word, from->where, visit, context);
    }
    for (uint32_t i = 0; i < from->count; i++) {
        if (from->kind == NODE_MAP) {
            blanks_of_word(from->fields[i].key, from->fields[i].key_where, visit,
                           context);
        }
        blanks_of(from->kind == NODE_MAP ? from->fields[i].value : from->items[i], visit,
                  context);
    }
}

/* A name looked for among the blanks, and the nearest of them. */
struct blank_search {
    text wanted;
    bool is_found;
    struct nearest near;
};

static void match_blank(void *context, text blank, span where)
{
    struct blank_search *search = context;
    (void)where;
    search->is_found = search->is_found || text_equal(blank, search->wanted);
}

static void offer_blank(void *context, text blank, span where)
{
    struct blank_search *search = context;
    (void)where;
    nearest_offer(&search->near, blank);
}

/* A field of a row or variant that fills no blank is misspelt: what it should have filled
 * would fall away unseen. Blanks stand in the template and, for rows, in the variants.
 * Rows of the same fields as the one above are looked at once. */
static void refuse_unused(const struct node *template_map, const struct node *variants,
                          const struct node *row, const struct node *above,
                          struct diagnostics *diagnostics)
{
    for (uint32_t i = 0; i < row->count; i++) {
        const struct node_field *field = &row->fields[i];
        struct blank_search search = {.wanted = field->key};
        if (above != NULL && above->kind == NODE_MAP && i < above->count &&
            text_equal(above->fields[i].key, field->key)) {
            continue;
        }
        blanks_of(template_map, match_blank, &search);
        if (variants != NULL) {
            blanks_of(variants, match_blank, &search);
        }
        if (search.is_found) {
            continue;
        }
        search.near = nearest_to(field->key);
        blanks_of(template_map, offer_blank, &search);
        struct diagnostic *report =
            diagnostics_report(diagnostics, CODE_FIELD_UNKNOWN, field->key_where,
                               "the template has no blank {%.*s}", TEXT_ARG(field->key));
        report->nearest = search.near.best;
    }
}

static void refuse_unused_of(const struct node *template_map, const struct node *variants,
                             const struct node *rows, struct diagnostics *diagnostics)
{
    for (uint32_t i = 0; i < rows->count; i++) {
        if (rows->items[i]->kind == NODE_MAP) {
            refuse_unused(template_map, variants, rows->items[i],
                          i == 0 ? NULL : rows->items[i - 1], diagnostics);
        }
    }
}

struct fill_check {
    const struct node *rows;
    const struct node *variants; /* NULL: none, or their own words are being checked */
    struct diagnostics *diagnostics;
};

static bool any_has(const struct node *list, text blank)
{
    bool has = false;
    for (uint32_t i = 0; list != NULL && !has && i < list->count; i++) {
        has =
            list->items[i]->kind == NODE_MAP && node_find(list->items[i], blank) != NULL;
    }
    return has;
}

static void offer_fields(struct nearest *near, const struct node *list)
{
    const struct node *first = list == NULL || list->count == 0 ? NULL : list->items[0];
    for (uint32_t i = 0; first != NULL && first->kind == NODE_MAP && i < first->count;
         i++) {
        nearest_offer(near, first->fields[i].key);
    }
}

/* A blank that nothing fills is misspelt as well. */
static void refuse_unfilled(void *context, text blank, span where)
{
    const struct fill_check *check = context;
    struct nearest near = nearest_to(blank);
    if (text_is(blank, "source") || any_has(check->rows, blank) ||
        any_has(check->variants, blank)) {
        return;
    }
    offer_fields(&near, check->rows);
    offer_fields(&near, check->variants);
    diagnostics_report(check->diagnostics, CODE_NAME_UNKNOWN, where,
                       "no row fills the blank {%.*s}", TEXT_ARG(blank))
        ->nearest = near.best;
}

static uint32_t listed(const struct node *list)
{
    return list != NULL && list->kind == NODE_LIST ? list->count : 0;
}

uint32_t family_size(const struct node *family)
{
    const struct node *variants = node_field_of(family, "variants");
    return listed(node_field_of(family, "rows")) *
           (variants == NULL ? 1 : listed(variants));
}

void family_check(const struct node *family, struct diagnostics *diagnostics)
{
    static const char *const known[] = {"family",   "source", "says", "template",
                                        "variants", "rows",   NULL};
    const struct node *rows = node_field_of(family, "rows");
    const struct node *template_map = node_field_of(family, "template");
    const struct node *variants = node_field_of(family, "variants");
    node_refuse_others(family, known, "a family", diagnostics);
    if (rows == NULL || template_map == NULL) {
        diagnostics_report(diagnostics, CODE_FIELD_MISSING, family->where,
                           "a family has a `template`, and `rows` with a row a member");
        return;
    }
    if (!node_expect(template_map, NODE_MAP, "`template`", diagnostics) ||
        !node_expect(rows, NODE_LIST, "`rows`", diagnostics) ||
        (variants != NULL &&
         !node_expect(variants, NODE_LIST, "`variants`", diagnostics))) {
        return;
    }
    refuse_unused_of(template_map, variants, rows, diagnostics);
    struct fill_check check = {rows, variants, diagnostics};
    blanks_of(template_map, refuse_unfilled, &check);
    if (variants != NULL) {
        refuse_unused_of(template_map, NULL, variants, diagnostics);
        check.variants = NULL;
        blanks_of(variants, refuse_unfilled, &check);
    }
}

status family_member(struct arena *arena, struct sources *sources,
                     const struct node *family, uint32_t i,
                     struct diagnostics *diagnostics, const struct node **out)
{
    const struct node *template_map = node_field_of(family, "template");
    const struct node *variants = node_field_of(family, "variants");
    const uint32_t of_each = variants == NULL ? 1 : variants->count;
    const struct node *row = node_field_of(family, "rows")->items[i / of_each];
    const struct node *variant = variants == NULL ? NULL : variants->items[i % of_each];
    if (template_map == NULL || template_map->kind != NODE_MAP ||
        !node_expect(row, NODE_MAP, "a row of a family", diagnostics) ||
        (variant != NULL &&
         !node_expect(variant, NODE_MAP, "a variant of a family", diagnostics))) {
        return STATUS_INVALID; /* what is wrong with a template family_check has said */
    }
    struct filler filler = {arena, sources, row, variant, family};
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
