/* SPDX-License-Identifier: MIT */
/*
 * Loads knowledge in stages. What a document is, its own fields say: `relations` or
 * `kinds` make it vocabulary, `rules` or `rule` rules, `table` a table, `table-rows` the
 * rows of relations without an owner, `family` a family of parts, and `part`, `parts`,
 * `unit`, `units` facts. Each stage reports all of its faults before loading gives up, so
 * a fault in the vocabulary does not hide behind a hundred that follow from it.
 */
#include "knowledge.h"

#include "array.h"
#include "assembly.h"
#include "family.h"
#include "inference.h"
#include "knowledge_check.h"
#include "limits.h"
#include "mechanics_functions.h"
#include "node_merge.h"
#include "own_machine.h"
#include "read_file.h"
#include "table_rows.h"

#include <stdlib.h>
#include <string.h>

typedef ARRAY_OF(const struct node *) node_array;

struct loader {
    struct arena *arena;
    struct knowledge *made;
    struct diagnostics *diagnostics;
    node_array vocabularies;
    node_array rules;
    node_array tables;
    node_array parts;
    node_array units;
    node_array own_units; /* the same, those that are like another filled in */
    node_array closings;
    node_array rows;
    ARRAY_OF(struct knowledge_input) texts;
    bool is_wrong;
};

static status keep(struct loader *loader, status result)
{
    if (result == STATUS_INVALID) {
        loader->is_wrong = true;
        return STATUS_OK;
    }
    return result;
}

/* ---- texts */

static status unreadable(struct loader *loader, text name, status why)
{
    if (why == STATUS_NO_MEMORY) {
        return why;
    }
    const uint32_t source = sources_add(loader->made->sources, name, TEXT(""));
    diagnostics_report(loader->diagnostics,
                       why == STATUS_LIMIT ? CODE_FILE_TOO_LARGE : CODE_FILE_UNREADABLE,
                       (span){source, 0, 0},
                       why == STATUS_LIMIT ? "this file is larger than is allowed"
                                           : "this file or folder cannot be read");
    loader->is_wrong = true;
    return STATUS_OK;
}

static status gather_file(struct loader *loader, text name)
{
    text content = {"", 0};
    const status read = file_read(loader->arena, text_copy(loader->arena, name).at,
                                  LIMIT_FILE_BYTES, &content);
    if (read != STATUS_OK) {
        return unreadable(loader, name, read);
    }
    const struct knowledge_input one = {name, content.at, content.length};
    return ARRAY_PUSH(loader->arena, &loader->texts, one) ? STATUS_OK
                                                          : arena_status(loader->arena);
}

static status gather(struct loader *loader, const struct knowledge_input *input)
{
    if (input->content != NULL && input->content_length > LIMIT_FILE_BYTES) {
        return unreadable(loader, input->name, STATUS_LIMIT);
    }
    if (input->content != NULL) {
        return ARRAY_PUSH(loader->arena, &loader->texts, *input)
                   ? STATUS_OK
                   : arena_status(loader->arena);
    }
    if (text_ends(input->name, TEXT(".yaml"))) {
        return gather_file(loader, input->name);
    }
    text *paths = NULL;
    uint32_t count = 0;
    const status listed = folder_list(
        loader->arena, text_copy(loader->arena, input->name).at, ".yaml", &paths, &count);
    if (listed != STATUS_OK) {
        return unreadable(loader, input->name, listed);
    }
    for (uint32_t i = 0; i < count && i < LIMIT_FILES; i++) {
        TRY(gather_file(loader, paths[i]));
    }
    return STATUS_OK;
}

static int compare_texts(const void *a, const void *b)
{
    const struct knowledge_input *left = a;
    const struct knowledge_input *right = b;
    return text_compare(left->name, right->name);
}

/* A digest of names and contents: 64-bit FNV-1a, enough to tell two folders apart. */
static uint64_t digest_bytes(uint64_t digest, const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        digest = (digest ^ (unsigned char)bytes[i]) * UINT64_C(1099511628211);
    }
    return digest;
}

/* Over the contents alone, joined so that their order does not matter. */
static text digest_of(struct loader *loader)
{
    uint64_t digest = 0;
    for (uint32_t i = 0; i < loader->texts.count; i++) {
        const struct knowledge_input *one = &loader->texts.at[i];
        digest += digest_bytes(UINT64_C(14695981039346656037), one->content,
                               one->content_length);
    }
    return text_format(loader->arena, "%016llx", (unsigned long long)digest);
}

/* ---- documents */

struct document_kind {
    const char *key;
    size_t array; /* offset of the array in loader */
    bool is_list; /* the key holds a list of such documents */
};

static const struct document_kind document_kinds[] = {
    {"relations", offsetof(struct loader, vocabularies), false},
    {"kinds", offsetof(struct loader, vocabularies), false},
    {"rules", offsetof(struct loader, rules), false},
    {"rule", offsetof(struct loader, rules), false},
    {"table", offsetof(struct loader, tables), false},
    {"closing", offsetof(struct loader, closings), false},
    {"table-rows", offsetof(struct loader, rows), false},
    {"family", offsetof(struct loader, parts), false},
    {"part", offsetof(struct loader, parts), false},
    {"unit", offsetof(struct loader, units), false},
    {"parts", offsetof(struct loader, parts), true},
    {"units", offsetof(struct loader, units), true},
};

static status push_node(struct loader *loader, size_t array, const struct node *node)
{
    node_array *list = (node_array *)(void *)((char *)loader + array);
    return ARRAY_PUSH(loader->arena, list, node) ? STATUS_OK
                                                 : arena_status(loader->arena);
}

static status push_list(struct loader *loader, const struct document_kind *kind,
                        const struct node *list)
{
    if (!node_expect(list, NODE_LIST, kind->key, loader->diagnostics)) {
        loader->is_wrong = true;
        return STATUS_OK;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        if (!node_expect(list->items[i], NODE_MAP, "an item of this list",
                         loader->diagnostics)) {
            loader->is_wrong = true;
            continue;
        }
        TRY(push_node(loader, kind->array, list->items[i]));
    }
    return STATUS_OK;
}

/* A file that lists parts and units holds nothing else. */
static void refuse_beside_lists(struct loader *loader, const struct node *document)
{
    static const char *const known[] = {"parts", "units", "says", "source", NULL};
    const uint32_t before = diagnostics_count(loader->diagnostics);
    node_refuse_others(document, known, "a file of parts and units", loader->diagnostics);
    loader->is_wrong =
        loader->is_wrong || diagnostics_count(loader->diagnostics) > before;
}

static status sort_document(struct loader *loader, const struct node *document)
{
    bool is_known = false;
    if (!node_expect(document, NODE_MAP, "a file of knowledge", loader->diagnostics)) {
        loader->is_wrong = true;
        return STATUS_OK;
    }
    for (size_t i = 0; i < sizeof document_kinds / sizeof *document_kinds; i++) {
        const struct document_kind *kind = &document_kinds[i];
        const struct node *value = node_field_of(document, kind->key);
        if (value == NULL) {
            continue;
        }
        if (!kind->is_list) {
            return push_node(loader, kind->array, document);
        }
        if (!is_known) {
            refuse_beside_lists(loader, document);
        }
        is_known = true;
        TRY(push_list(loader, kind, value));
    }
    if (!is_known) {
        diagnostics_report(
            loader->diagnostics, CODE_FIELD_MISSING, document->where,
            "this file is neither vocabulary, rules, a table, parts nor units")
            ->expected =
            TEXT("one of: relations, kinds, rules, rule, table, table-rows, closing, "
                 "family, part, parts, unit, units");
        loader->is_wrong = true;
    }
    return STATUS_OK;
}

static status read_documents(struct loader *loader)
{
    for (uint32_t i = 0; i < loader->texts.count; i++) {
        const struct knowledge_input *one = &loader->texts.at[i];
        const uint32_t source = sources_add(loader->made->sources, one->name,
                                            (text){one->content, one->content_length});
        const struct node *document = NULL;
        const status read = yaml_read(loader->arena, loader->made->sources, source,
                                      loader->diagnostics, &document);
        TRY(keep(loader, read));
        if (read == STATUS_OK) {
            TRY(sort_document(loader, document));
        }
    }
    return STATUS_OK;
}

/* ---- stages */

static status read_tables(struct loader *loader)
{
    for (uint32_t i = 0; i < loader->tables.count; i++) {
        const status read = table_read(loader->arena, loader->tables.at[i],
                                       loader->diagnostics, &loader->made->tables);
        if (read == STATUS_NOT_FOUND) {
            const struct node *name = node_field_of(loader->tables.at[i], "table");
            diagnostics_report(loader->diagnostics, CODE_NAME_UNKNOWN, name->where,
                               "there is no table of this name")
                ->expected = TEXT("limits, general-tolerances, gauges or expansion");
            loader->is_wrong = true;
        } else {
            TRY(keep(loader, read));
        }
    }
    return STATUS_OK;
}

/* {closing: {caution: …, not-looked-at: [ … ]}}; of several the last by file name speaks.
 */
static status read_closings(struct loader *loader)
{
    static const char *const known[] = {"caution", "not-looked-at", NULL};
    for (uint32_t i = 0; i < loader->closings.count; i++) {
        const struct node *map = node_field_of(loader->closings.at[i], "closing");
        const struct node *caution = NULL;
        const struct node *list = node_field_of(map, "not-looked-at");
        struct closing *closing = &loader->made->closing;
        if (!node_expect(map, NODE_MAP, "`closing`", loader->diagnostics) ||
            !node_word(map, "caution", "`closing`", loader->diagnostics, &caution) ||
            (list != NULL &&
             !node_expect(list, NODE_LIST, "`not-looked-at`", loader->diagnostics))) {
            loader->is_wrong = true;
            continue;
        }
        node_refuse_others(map, known, "`closing`", loader->diagnostics);
        text *lines = ARENA_MANY(loader->arena, list == NULL ? 0 : list->count, text);
        TRY(arena_status(loader->arena));
        for (uint32_t k = 0; list != NULL && k < list->count; k++) {
            lines[k] = list->items[k]->word;
        }
        *closing = (struct closing){caution->word, lines, list == NULL ? 0 : list->count};
    }
    return STATUS_OK;
}

static int compare_functions(const void *a, const void *b)
{
    const struct function_entry *const *left = a;
    const struct function_entry *const *right = b;
    return strcmp((*left)->name, (*right)->name);
}

status knowledge_functions(struct arena *arena, struct function_table *out)
{
    const struct function_table *tables[2] = {mechanics_functions(),
                                              assembly_functions()};
    const uint32_t count = tables[0]->count + tables[1]->count;
    const struct function_entry **entries =
        ARENA_MANY(arena, count, const struct function_entry *);
    TRY(arena_status(arena));
    uint32_t at = 0;
    for (size_t t = 0; t < 2; t++) {
        for (uint32_t i = 0; i < tables[t]->count; i++) {
            entries[at++] = tables[t]->entries[i];
        }
    }
    qsort(entries, count, sizeof *entries, compare_functions);
    *out = (struct function_table){entries, count};
    return STATUS_OK;
}

static status add_part(struct loader *loader, const struct node *document,
                       struct part *parts, uint32_t *count)
{
    const status read =
        part_read(loader->arena, loader->made->names, loader->made->vocabulary, document,
                  loader->diagnostics, &parts[*count]);
    if (read == STATUS_OK) {
        (*count)++;
    }
    return keep(loader, read);
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
        count += node_field_of(document, "family") == NULL
                     ? 1
                     : family_size(document, loader->diagnostics);
    }
    return count;
}

static status read_parts(struct loader *loader)
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
        const uint32_t members =
            node_field_of(document, "rows") == NULL ||
                    node_field_of(document, "rows")->kind != NODE_LIST
                ? 0
                : node_field_of(document, "rows")->count;
        for (uint32_t k = 0; k < members; k++) {
            const struct node *member = NULL;
            const status made =
                family_member(loader->arena, document, k, loader->diagnostics, &member);
            TRY(keep(loader, made));
            if (made == STATUS_OK) {
                TRY(add_part(loader, member, parts, &count));
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

static status sort_parts(struct loader *loader)
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

/* Units that are like another one, filled in, and the parts of their own pieces. */
static status own_units(struct loader *loader)
{
    struct knowledge *made = loader->made;
    ARRAY_OF(struct part) parts = {0};
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
        TRY(keep(loader, read));
        for (uint32_t k = 0; read == STATUS_OK && k < own.part_count; k++) {
            struct part part = {0};
            const status piece = part_read(loader->arena, made->names, made->vocabulary,
                                           own.parts[k], loader->diagnostics, &part);
            TRY(keep(loader, piece));
            part.like = own.likes[k];
            if (piece == STATUS_OK && !ARRAY_PUSH(loader->arena, &parts, part)) {
                return arena_status(loader->arena);
            }
        }
        if (read == STATUS_OK) {
            loader->own_units.at[i] = own.unit;
        }
    }
    made->parts = parts.at;
    made->part_count = parts.count;
    return sort_parts(loader);
}

static status read_units(struct loader *loader)
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
        const status read =
            recipe_read(loader->arena, loader->made->names, loader->own_units.at[i],
                        loader->diagnostics, &recipes[count]);
        if (read == STATUS_OK) {
            count++;
        }
        TRY(keep(loader, read));
    }
    loader->made->recipes = recipes;
    loader->made->recipe_count = count;
    return STATUS_OK;
}

static status sort_recipes(struct loader *loader)
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

static status build_parts(struct loader *loader)
{
    struct knowledge *made = loader->made;
    const struct part_surroundings around = {.arena = loader->arena,
                                             .names = made->names,
                                             .vocabulary = made->vocabulary,
                                             .tables = &made->tables,
                                             .diagnostics = loader->diagnostics};
    for (uint32_t i = 0; i < made->part_count; i++) {
        const struct part *part = &made->parts[i];
        TRY(keep(loader,
                 part_build(&around, part, part->name, NAME_NONE, NULL, 0, made->base)));
    }
    return STATUS_OK;
}

static status find_odd_readings(struct loader *loader)
{
    struct knowledge *made = loader->made;
    struct part *parts =
        arena_copy(loader->arena, made->parts, made->part_count * sizeof(struct part));
    TRY(arena_status(loader->arena));
    for (uint32_t i = 0; i < made->part_count; i++) {
        if (parts[i].like != NAME_NONE) {
            TRY(own_readings(loader->arena, made, &parts[i]));
        }
    }
    made->parts = parts;
    return STATUS_OK;
}

static status build_rows(struct loader *loader)
{
    struct knowledge *made = loader->made;
    for (uint32_t i = 0; i < loader->rows.count; i++) {
        TRY(keep(loader, table_rows_read(loader->arena, made, loader->rows.at[i],
                                         loader->diagnostics)));
    }
    return STATUS_OK;
}

static status conclude(struct loader *loader)
{
    struct knowledge *made = loader->made;
    const struct inference_options options = {.names = made->names,
                                              .row_limit = LIMIT_ROWS};
    struct inference_counts counts = {0};
    return inference_run(made->rules, made->base, loader->arena, &options,
                         loader->diagnostics, &counts, NULL);
}

static status stop_if_wrong(const struct loader *loader)
{
    TRY(arena_status(loader->arena));
    return loader->is_wrong ? STATUS_INVALID : STATUS_OK;
}

static status load_stages(struct loader *loader)
{
    struct knowledge *made = loader->made;
    TRY(read_documents(loader));
    TRY(stop_if_wrong(loader));
    TRY(vocabulary_read(loader->arena, made->names, loader->vocabularies.at,
                        loader->vocabularies.count, loader->diagnostics,
                        &made->vocabulary));
    TRY(read_tables(loader));
    TRY(read_closings(loader));
    TRY(knowledge_functions(loader->arena, &made->functions));
    const struct rule_surroundings around = {made->vocabulary, &made->functions,
                                             &made->tables.resolver, made->names};
    TRY(keep(loader, rules_read(loader->arena, &around, loader->rules.at,
                                loader->rules.count, loader->diagnostics, &made->rules)));
    TRY(read_parts(loader));
    TRY(sort_parts(loader));
    TRY(read_units(loader));
    TRY(sort_recipes(loader));
    TRY(keep(loader, knowledge_check_names(made, loader->diagnostics)));
    TRY(stop_if_wrong(loader));
    TRY(keep(loader, knowledge_check_asks(made, loader->diagnostics)));
    made->base =
        store_open(loader->arena, made->rules->shapes, made->rules->shape_count, NULL);
    TRY(stop_if_wrong(loader));
    TRY(build_parts(loader));
    TRY(build_rows(loader));
    TRY(find_odd_readings(loader));
    TRY(stop_if_wrong(loader));
    return conclude(loader);
}

status knowledge_load(struct arena *arena, const struct knowledge_input *inputs,
                      uint32_t input_count, struct sources *sources,
                      struct diagnostics *diagnostics, const struct knowledge **out)
{
    struct knowledge *made = ARENA_NEW(arena, struct knowledge);
    struct loader loader = {.arena = arena, .made = made, .diagnostics = diagnostics};
    TRY(arena_status(arena));
    made->arena = arena;
    made->sources = sources;
    made->names = names_open(arena, NULL);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < input_count; i++) {
        TRY(gather(&loader, &inputs[i]));
    }
    if (loader.texts.count > 1) {
        qsort(loader.texts.at, loader.texts.count, sizeof *loader.texts.at,
              compare_texts);
    }
    made->file_count = loader.texts.count;
    made->digest = digest_of(&loader);
    TRY(load_stages(&loader));
    TRY(arena_status(arena));
    *out = made;
    return STATUS_OK;
}

/* Names are sorted by text, so the search compares texts. */
const struct part *knowledge_part(const struct knowledge *knowledge, name_id name)
{
    uint32_t low = 0;
    uint32_t high = knowledge->part_count;
    if (name > names_last(knowledge->names)) {
        return NULL;
    }
    const text wanted = names_text(knowledge->names, name);
    while (low < high) {
        const uint32_t middle = low + (high - low) / 2;
        const int order = text_compare(
            names_text(knowledge->names, knowledge->parts[middle].name), wanted);
        if (order == 0) {
            return &knowledge->parts[middle];
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return NULL;
}

const struct recipe *knowledge_recipe(const struct knowledge *knowledge, name_id name)
{
    for (uint32_t i = 0; i < knowledge->recipe_count; i++) {
        if (knowledge->recipes[i].name == name) {
            return &knowledge->recipes[i];
        }
    }
    return NULL;
}
