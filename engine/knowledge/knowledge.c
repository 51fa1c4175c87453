/* SPDX-License-Identifier: MIT */
/*
 * Loads knowledge in stages. What a document is, its own fields say: `relations` or
 * `kinds` make it vocabulary, `rules` or `rule` rules, `table` a table, `table-rows` the
 * rows of relations without an owner, `family` a family of parts, and `part`, `parts`,
 * `unit`, `units` facts; a file of CSV holds the rows of one relation. Each stage reports
 * all of its faults before loading gives up, so a fault in the vocabulary does not hide
 * behind a hundred that follow from it.
 */
#include "loader.h"
#include "price_list.h"

#include "assembly.h"
#include "flat_rows.h"
#include "inference.h"
#include "knowledge_check.h"
#include "limits.h"
#include "mechanics_functions.h"
#include "needed_relations.h"
#include "own_machine.h"
#include "table_rows.h"
#include "unit_lists.h"

#include <stdlib.h>
#include <string.h>

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
            TRY(loader_keep(loader, read));
        }
    }
    return STATUS_OK;
}

static int compare_functions(const void *a, const void *b)
{
    return strcmp(((const struct function_entry *)a)->name,
                  ((const struct function_entry *)b)->name);
}

/* Copies a table's entries, where there is room for them; gives how many. */
static uint32_t put_functions(struct function_entry *out, const struct function_table *of)
{
    for (uint32_t i = 0; out != NULL && i < of->count; i++) {
        out[i] = *of->entries[i];
    }
    return of->count;
}

uint32_t knowledge_function_entries(struct function_entry *out)
{
    uint32_t subjects = 0;
    const struct function_table *const *mechanics = mechanics_functions(&subjects);
    uint32_t count = put_functions(out, assembly_functions());
    for (uint32_t i = 0; i < subjects; i++) {
        count += put_functions(out == NULL ? NULL : out + count, mechanics[i]);
    }
    if (out != NULL) {
        qsort(out, count, sizeof *out, compare_functions);
    }
    return count;
}

status knowledge_functions(struct arena *arena, struct function_table *out)
{
    const uint32_t count = knowledge_function_entries(NULL);
    struct function_entry *copies = ARENA_MANY(arena, count, struct function_entry);
    const struct function_entry **entries =
        ARENA_MANY(arena, count, const struct function_entry *);
    TRY(arena_status(arena));
    (void)knowledge_function_entries(copies);
    for (uint32_t i = 0; i < count; i++) {
        entries[i] = &copies[i];
    }
    *out = (struct function_table){entries, count};
    return STATUS_OK;
}

static struct part_surroundings surroundings_of(const struct loader *loader)
{
    struct knowledge *made = loader->made;
    return (struct part_surroundings){.arena = loader->arena,
                                      .names = made->names,
                                      .vocabulary = made->vocabulary,
                                      .tables = &made->tables,
                                      .diagnostics = loader->diagnostics};
}

static status build_parts(struct loader *loader)
{
    struct knowledge *made = loader->made;
    const struct part_surroundings around = surroundings_of(loader);
    for (uint32_t i = 0; i < made->part_count; i++) {
        const struct part *part = &made->parts[i];
        TRY(loader_keep(loader, part_build(&around, part, part->name, NAME_NONE, NULL, 0,
                                           made->base)));
    }
    return STATUS_OK;
}

/* What units state of themselves is built when a question mints them: here it is read for
 * its faults. */
static status check_unit_lists(struct loader *loader)
{
    const struct knowledge *made = loader->made;
    const struct part_surroundings around = surroundings_of(loader);
    for (uint32_t i = 0; i < made->recipe_count; i++) {
        TRY(loader_keep(loader,
                        unit_lists_check(&around, &made->recipes[i], made->rules->shapes,
                                         made->rules->shape_count)));
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

/* What others describe, and somebody sells. */
static status read_prices(struct loader *loader)
{
    struct knowledge *made = loader->made;
    struct part *parts =
        arena_copy(loader->arena, made->parts, made->part_count * sizeof *parts);
    struct recipe *recipes =
        arena_copy(loader->arena, made->recipes, made->recipe_count * sizeof *recipes);
    TRY(arena_status(loader->arena));
    for (uint32_t i = 0; i < loader->prices.count; i++) {
        TRY(loader_keep(loader, price_list_read(made, loader->prices.at[i], parts,
                                                recipes, loader->diagnostics)));
    }
    made->parts = parts;
    made->recipes = recipes;
    return STATUS_OK;
}

static status build_rows(struct loader *loader)
{
    struct knowledge *made = loader->made;
    for (uint32_t i = 0; i < loader->rows.count; i++) {
        TRY(loader_keep(loader, table_rows_read(loader->arena, made, loader->rows.at[i],
                                                loader->diagnostics)));
    }
    for (uint32_t i = 0; i < loader->flats.count; i++) {
        const struct knowledge_input *one = &loader->flats.at[i];
        const text content = {one->content, one->content_length};
        const uint32_t source = sources_add_kept(made->sources, one->name, content);
        TRY(loader_keep(loader, flat_rows_read(loader->arena, made, one->name, content,
                                               source, loader->diagnostics)));
    }
    return STATUS_OK;
}

status knowledge_conclude(struct knowledge *knowledge,
                          const struct inference_options *bounds,
                          struct diagnostics *diagnostics)
{
    struct inference_options options = *bounds;
    options.names = knowledge->names;
    struct inference_counts counts = {0};
    TRY(inference_run(knowledge->rules, knowledge->base, knowledge->arena, &options,
                      diagnostics, &counts, NULL));
    TRY(store_freeze(knowledge->base));
    return arena_status(knowledge->arena);
}

/* Whatever was reported stops the load, whether or not its reporter also said so. */
static status stop_if_wrong(const struct loader *loader)
{
    TRY(arena_status(loader->arena));
    return loader->is_wrong || diagnostics_count(loader->diagnostics) > 0 ? STATUS_INVALID
                                                                          : STATUS_OK;
}

static status load_stages(struct loader *loader)
{
    struct knowledge *made = loader->made;
    TRY(loader_documents(loader));
    TRY(stop_if_wrong(loader));
    TRY(vocabulary_read(loader->arena, made->names, loader->vocabularies.at,
                        loader->vocabularies.count, loader->diagnostics,
                        &made->vocabulary));
    TRY(read_tables(loader));
    TRY(loader_closings(loader));
    TRY(loader_sheets(loader));
    TRY(knowledge_functions(loader->arena, &made->functions));
    const struct rule_surroundings around = {made->vocabulary, &made->functions,
                                             &made->tables.resolver, made->names};
    TRY(loader_keep(loader,
                    rules_read(loader->arena, &around, loader->rules.at,
                               loader->rules.count, loader->diagnostics, &made->rules)));
    loader_check_sections(loader);
    TRY(loader_keep(loader,
                    claim_patterns_read(loader->arena, made->names, made->vocabulary,
                                        loader->claims.at, loader->claims.count,
                                        loader->diagnostics, &made->claims)));
    TRY(loader_parts(loader));
    TRY(loader_sort_parts(loader));
    TRY(loader_units(loader));
    TRY(loader_sort_units(loader));
    TRY(loader_keep(loader, needed_relations_check(made, loader->diagnostics)));
    TRY(loader_keep(loader,
                    knowledge_check_names(made, loader->parts.at, loader->parts.count,
                                          loader->diagnostics)));
    TRY(stop_if_wrong(loader));
    TRY(loader_keep(loader, knowledge_check_asks(made, loader->diagnostics)));
    made->base =
        store_open(loader->arena, made->rules->shapes, made->rules->shape_count, NULL);
    TRY(stop_if_wrong(loader));
    TRY(build_parts(loader));
    TRY(check_unit_lists(loader));
    TRY(build_rows(loader));
    TRY(find_odd_readings(loader));
    TRY(read_prices(loader));
    return stop_if_wrong(loader);
}

static int compare_files(const void *a, const void *b)
{
    return text_compare(((const struct knowledge_file *)a)->name,
                        ((const struct knowledge_file *)b)->name);
}

static void sort_texts(struct loader *loader)
{
    if (loader->texts.count > 1) {
        qsort(loader->texts.at, loader->texts.count, sizeof *loader->texts.at,
              loader_compare_texts);
    }
    if (loader->flats.count > 1) {
        qsort(loader->flats.at, loader->flats.count, sizeof *loader->flats.at,
              loader_compare_texts);
    }
    if (loader->read.count > 1) {
        qsort(loader->read.at, loader->read.count, sizeof *loader->read.at,
              compare_files);
    }
}

status knowledge_read(struct arena *arena, const struct knowledge_input *inputs,
                      uint32_t input_count, struct sources *sources,
                      struct diagnostics *diagnostics, struct knowledge **out)
{
    struct knowledge *made = ARENA_NEW(arena, struct knowledge);
    struct loader loader = {.arena = arena, .made = made, .diagnostics = diagnostics};
    TRY(arena_status(arena));
    made->arena = arena;
    made->sources = sources;
    made->names = names_open(arena, NULL);
    TRY(arena_status(arena));
    for (uint32_t i = 0; i < input_count; i++) {
        TRY(loader_gather(&loader, &inputs[i]));
    }
    sort_texts(&loader);
    made->file_count = loader.texts.count + loader.flats.count;
    made->digest = loader_digest(&loader);
    made->read = loader.read.at;
    made->read_count = loader.read.count;
    TRY(load_stages(&loader));
    TRY(arena_status(arena));
    *out = made;
    return STATUS_OK;
}

status knowledge_load(struct arena *arena, const struct knowledge_input *inputs,
                      uint32_t input_count, struct sources *sources,
                      struct diagnostics *diagnostics, const struct knowledge **out)
{
    const struct inference_options bounds = {.row_limit = LIMIT_ROWS};
    struct knowledge *made = NULL;
    TRY(knowledge_read(arena, inputs, input_count, sources, diagnostics, &made));
    TRY(knowledge_conclude(made, &bounds, diagnostics));
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
