/* SPDX-License-Identifier: MIT */
/* Parts and units out of their documents: families, parts of the other hand, and units
 * that are like another one, written out. */
#include "loader.h"

#include "family.h"
#include "node_merge.h"
#include "own_machine.h"

#include <stdlib.h>

static status add_part(struct loader *loader, const struct node *document,
                       struct part *parts, uint32_t *count)
{
    const status read =
        part_read(loader->arena, loader->made->names, loader->made->vocabulary, document,
                  loader->diagnostics, &parts[*count]);
    if (read == STATUS_OK) {
        (*count)++;
    }
    return loader_keep(loader, read);
}

/* The document of a part of this name that is written out; NULL (reported). */
static const struct node *find_written(struct loader *loader, const struct node *name)
{
    struct nearest near = nearest_to(name->word);
    for (uint32_t i = 0; i < loader->parts.count; i++) {
        const struct node *part = node_field_of(loader->parts.at[i], "part");
        if (part == NULL || part->kind != NODE_WORD) {
            continue;
        }
        if (text_equal(part->word, name->word)) {
            return loader->parts.at[i];
        }
        nearest_offer(&near, part->word);
    }
    struct diagnostic *report =
        diagnostics_report(loader->diagnostics, CODE_NAME_UNKNOWN, name->where,
                           "no part of this name is written out to be mirrored");
    report->nearest = near.best;
    loader->is_wrong = true;
    return NULL;
}

/* A part of the other hand: the mirrored part's document with its own fields over it. */
static status add_mirrored(struct loader *loader, const struct node *own,
                           const struct node *mirrors, struct part *parts,
                           uint32_t *count)
{
    const struct node *base = find_written(loader, mirrors);
    const struct node *hand = base == NULL ? NULL : node_field_of(base, "hand");
    if (base == NULL) {
        return STATUS_OK;
    }
    if (node_field_of(base, "mirrors") != NULL) {
        diagnostics_report(loader->diagnostics, CODE_SHAPE_WRONG, mirrors->where,
                           "this part is itself the mirror of another");
        loader->is_wrong = true;
        return STATUS_OK;
    }
    const struct node *merged = node_merge(loader->arena, base, own);
    if (merged != NULL && hand != NULL && node_field_of(own, "hand") == NULL) {
        const bool is_left = hand->kind == NODE_WORD && text_is(hand->word, "left");
        merged =
            node_with(loader->arena, merged, "hand",
                      node_of_word(loader->arena, is_left ? TEXT("right") : TEXT("left"),
                                   mirrors->where));
    }
    TRY(arena_status(loader->arena));
    const uint32_t before = *count;
    TRY(add_part(loader, merged, parts, count));
    if (*count > before) {
        parts[before].own = own;
    }
    return STATUS_OK;
}

static status add_written(struct loader *loader, const struct node *document,
                          struct part *parts, uint32_t *count)
{
    const struct node *mirrors = node_field_of(document, "mirrors");
    if (mirrors == NULL ||
        !node_expect(mirrors, NODE_WORD, "`mirrors`", loader->diagnostics)) {
        return add_part(loader, document, parts, count);
    }
    return add_mirrored(loader, document, mirrors, parts, count);
}

static uint32_t parts_written(const struct loader *loader)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < loader->parts.count; i++) {
        const struct node *document = loader->parts.at[i];
        count += node_field_of(document, "family") == NULL ? 1 : family_size(document);
    }
    return count;
}

status loader_parts(struct loader *loader)
{
    struct part *parts = ARENA_MANY(loader->arena, parts_written(loader), struct part);
    uint32_t count = 0;
    TRY(arena_status(loader->arena));
    for (uint32_t i = 0; i < loader->parts.count; i++) {
        const struct node *document = loader->parts.at[i];
        if (node_field_of(document, "family") == NULL) {
            TRY(add_written(loader, document, parts, &count));
            continue;
        }
        family_check(document, loader->diagnostics);
        for (uint32_t k = 0; k < family_size(document); k++) {
            const struct node *member = NULL;
            const status made = family_member(loader->arena, loader->made->sources,
                                              document, k, loader->diagnostics, &member);
            TRY(loader_keep(loader, made));
            const uint32_t before = count;
            if (made == STATUS_OK) {
                TRY(add_part(loader, member, parts, &count));
            }
            if (count > before) {
                parts[before].is_of_family = true;
            }
        }
    }
    loader->made->parts = parts;
    loader->made->part_count = count;
    return STATUS_OK;
}

/* Insertion into an already sorted start would be quadratic for large catalogues, so
 * parts are sorted through an array of (text, index) pairs. */
struct sort_entry {
    text name;
    uint32_t index;
};

static int compare_entries(const void *a, const void *b)
{
    const struct sort_entry *left = a;
    const struct sort_entry *right = b;
    const int names = text_compare(left->name, right->name);
    return names != 0 ? names
                      : (left->index > right->index) - (left->index < right->index);
}

static void doubled(struct loader *loader, text name, span where, span first)
{
    struct diagnostic *report =
        diagnostics_report(loader->diagnostics, CODE_NAME_DOUBLED, where,
                           "\"%.*s\" is defined twice", TEXT_ARG(name));
    diagnostic_note_add(report, first, TEXT("the other definition is here"));
    loader->is_wrong = true;
}

status loader_sort_parts(struct loader *loader)
{
    const uint32_t count = loader->made->part_count;
    const struct part *parts = loader->made->parts;
    struct sort_entry *order = ARENA_MANY(loader->arena, count, struct sort_entry);
    struct part *sorted = ARENA_MANY(loader->arena, count, struct part);
    TRY(arena_status(loader->arena));
    for (uint32_t i = 0; i < count; i++) {
        order[i] = (struct sort_entry){names_text(loader->made->names, parts[i].name), i};
    }
    qsort(order, count, sizeof *order, compare_entries);
    for (uint32_t i = 0; i < count; i++) {
        sorted[i] = parts[order[i].index];
        if (i > 0 && sorted[i].name == sorted[i - 1].name) {
            doubled(loader, order[i].name, sorted[i].where, sorted[i - 1].where);
        }
    }
    loader->made->parts = sorted;
    return STATUS_OK;
}

typedef ARRAY_OF(struct part) part_array;

/* Reads the parts that a machine's own pieces are. Of a mirrored number what was read is
 * written of the piece itself, as what the number's own document says. */
static status add_own_parts(struct loader *loader, const struct own_machine *own,
                            part_array *parts)
{
    struct knowledge *made = loader->made;
    for (uint32_t k = 0; k < own->part_count; k++) {
        const struct own_part *piece = &own->parts[k];
        struct part part = {0};
        if (piece->is_of_base) {
            continue; /* read where that machine is */
        }
        const status read = part_read(loader->arena, made->names, made->vocabulary,
                                      piece->document, loader->diagnostics, &part);
        TRY(loader_keep(loader, read));
        part.like = piece->number->name;
        part.own = piece->number->own == NULL
                       ? NULL
                       : node_merge(loader->arena, piece->number->own, piece->readings);
        if (read == STATUS_OK && !ARRAY_PUSH(loader->arena, parts, part)) {
            return arena_status(loader->arena);
        }
    }
    return arena_status(loader->arena);
}

/* Units that are like another one, filled in, and the parts of their own pieces; NULL
 * where there is a fault. */
static status own_units(struct loader *loader)
{
    struct knowledge *made = loader->made;
    part_array parts = {0};
    for (uint32_t i = 0; i < made->part_count; i++) {
        if (!ARRAY_PUSH(loader->arena, &parts, made->parts[i])) {
            return arena_status(loader->arena);
        }
    }
    for (uint32_t i = 0; i < loader->units.count; i++) {
        struct own_machine own;
        if (node_field_of(loader->units.at[i], "like") == NULL) {
            continue;
        }
        const status read =
            own_machine_read(loader->arena, made, loader->units.at, loader->units.count,
                             loader->units.at[i], loader->diagnostics, &own);
        TRY(loader_keep(loader, read));
        loader->own_units.at[i] = read == STATUS_OK ? own.unit : NULL;
        if (read == STATUS_OK) {
            TRY(add_own_parts(loader, &own, &parts));
        }
    }
    made->parts = parts.at;
    made->part_count = parts.count;
    return loader_sort_parts(loader);
}

status loader_units(struct loader *loader)
{
    for (uint32_t i = 0; i < loader->units.count; i++) {
        if (!ARRAY_PUSH(loader->arena, &loader->own_units, loader->units.at[i])) {
            return arena_status(loader->arena);
        }
    }
    TRY(own_units(loader));
    struct recipe *recipes =
        ARENA_MANY(loader->arena, loader->units.count, struct recipe);
    uint32_t count = 0;
    TRY(arena_status(loader->arena));
    for (uint32_t i = 0; i < loader->units.count; i++) {
        if (loader->own_units.at[i] == NULL) {
            continue; /* what is wrong with it has been said */
        }
        const status read =
            recipe_read(loader->arena, loader->made->names, loader->made->vocabulary,
                        loader->own_units.at[i], loader->diagnostics, &recipes[count]);
        if (read == STATUS_OK) {
            count++;
        }
        TRY(loader_keep(loader, read));
    }
    loader->made->recipes = recipes;
    loader->made->recipe_count = count;
    return STATUS_OK;
}

status loader_sort_units(struct loader *loader)
{
    const uint32_t count = loader->made->recipe_count;
    const struct recipe *recipes = loader->made->recipes;
    struct sort_entry *order = ARENA_MANY(loader->arena, count, struct sort_entry);
    struct recipe *sorted = ARENA_MANY(loader->arena, count, struct recipe);
    TRY(arena_status(loader->arena));
    for (uint32_t i = 0; i < count; i++) {
        order[i] =
            (struct sort_entry){names_text(loader->made->names, recipes[i].name), i};
    }
    qsort(order, count, sizeof *order, compare_entries);
    for (uint32_t i = 0; i < count; i++) {
        sorted[i] = recipes[order[i].index];
        const struct part *same = knowledge_part(loader->made, sorted[i].name);
        if (i > 0 && sorted[i].name == sorted[i - 1].name) {
            doubled(loader, order[i].name, sorted[i].where, sorted[i - 1].where);
        } else if (same != NULL) {
            doubled(loader, order[i].name, sorted[i].where, same->where);
        }
    }
    loader->made->recipes = sorted;
    return STATUS_OK;
}
