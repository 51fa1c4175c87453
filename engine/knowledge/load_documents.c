/* SPDX-License-Identifier: MIT */
/* From folders and texts to documents, sorted by what their own fields say they are. */
#include "loader.h"

#include "limits.h"
#include "read_file.h"

#include <stddef.h>

status loader_keep(struct loader *loader, status result)
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

static bool is_flat(text name)
{
    return text_ends(name, TEXT(".csv"));
}

size_t loader_largest(text name)
{
    return is_flat(name) ? LIMIT_FLAT_BYTES : LIMIT_FILE_BYTES;
}

static status push_text(struct loader *loader, text name, text content)
{
    const struct knowledge_input one = {name, content.at, content.length};
    const bool is_kept = is_flat(name) ? ARRAY_PUSH(loader->arena, &loader->flats, one)
                                       : ARRAY_PUSH(loader->arena, &loader->texts, one);
    return is_kept ? STATUS_OK : arena_status(loader->arena);
}

static status gather_file(struct loader *loader, text path)
{
    struct knowledge_file file = {.name = text_copy(loader->arena, path)};
    TRY(arena_status(loader->arena));
    const status read = file_read(loader->arena, file.name.at, loader_largest(path),
                                  &file.content, &file.stamp);
    if (read != STATUS_OK) {
        return unreadable(loader, path, read);
    }
    return ARRAY_PUSH(loader->arena, &loader->read, file)
               ? push_text(loader, file.name, file.content)
               : arena_status(loader->arena);
}

/* The text of a caller is his: of a flat one, which is not copied again, a copy is kept.
 */
static status gather_text(struct loader *loader, const struct knowledge_input *input)
{
    const text content = {input->content, input->content_length};
    return content.length > loader_largest(input->name)
               ? unreadable(loader, input->name, STATUS_LIMIT)
               : push_text(loader, input->name,
                           is_flat(input->name) ? text_copy(loader->arena, content)
                                                : content);
}

status knowledge_paths(struct arena *arena, text name, text **paths, uint32_t *count)
{
    static const char *const endings[] = {".yaml", ".csv", NULL};
    const text whole = text_copy(arena, name);
    TRY(arena_status(arena));
    if (!text_ends(name, TEXT(".yaml")) && !is_flat(name)) {
        return folder_list(arena, whole.at, endings, paths, count);
    }
    *paths = arena_copy(arena, &whole, sizeof whole);
    *count = 1;
    return arena_status(arena);
}

status loader_gather(struct loader *loader, const struct knowledge_input *input)
{
    text *paths = NULL;
    uint32_t count = 0;
    if (input->content != NULL) {
        return gather_text(loader, input);
    }
    const status listed = knowledge_paths(loader->arena, input->name, &paths, &count);
    if (listed != STATUS_OK) {
        return unreadable(loader, input->name, listed);
    }
    for (uint32_t i = 0; i < count && i < LIMIT_FILES; i++) {
        TRY(gather_file(loader, paths[i]));
    }
    return STATUS_OK;
}

int loader_compare_texts(const void *a, const void *b)
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
text loader_digest(struct loader *loader)
{
    uint64_t digest = 0;
    for (uint32_t i = 0; i < loader->texts.count; i++) {
        const struct knowledge_input *one = &loader->texts.at[i];
        digest += digest_bytes(UINT64_C(14695981039346656037), one->content,
                               one->content_length);
    }
    for (uint32_t i = 0; i < loader->flats.count; i++) {
        const struct knowledge_input *one = &loader->flats.at[i];
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
    {"sheet", offsetof(struct loader, sheets), false},
    {"table-rows", offsetof(struct loader, rows), false},
    {"prices", offsetof(struct loader, prices), false},
    {"claims", offsetof(struct loader, claims), false},
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
    if (node_field_of(document, "cases") != NULL) {
        return STATUS_OK; /* worked cases may lie beside the knowledge they are about */
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
            ->expected = TEXT("one of: relations, kinds, rules, rule, table, table-rows, "
                              "prices, claims, closing, sheet, "
                              "family, part, parts, unit, units");
        loader->is_wrong = true;
    }
    return STATUS_OK;
}

status loader_documents(struct loader *loader)
{
    for (uint32_t i = 0; i < loader->texts.count; i++) {
        const struct knowledge_input *one = &loader->texts.at[i];
        const uint32_t source = sources_add(loader->made->sources, one->name,
                                            (text){one->content, one->content_length});
        const struct node *document = NULL;
        const status read = yaml_read(loader->arena, loader->made->sources, source,
                                      loader->diagnostics, &document);
        TRY(loader_keep(loader, read));
        if (read == STATUS_OK) {
            TRY(sort_document(loader, document));
        }
    }
    return STATUS_OK;
}
