/* SPDX-License-Identifier: MIT */
/* What answers end with, and the sections of a set-up sheet. */
#include "loader.h"

#include "nearest.h"

#include <stdlib.h>

static int compare_cautions(const void *a, const void *b)
{
    const struct danger_caution *left = a;
    const struct danger_caution *right = b;
    return text_compare(left->word, right->word);
}

/* `cautions: {wheel: "…"}` of a closing. */
static status read_cautions(struct loader *loader, const struct node *map,
                            struct closing *closing)
{
    const uint32_t count = map == NULL ? 0 : map->count;
    struct danger_caution *cautions =
        ARENA_MANY(loader->arena, count, struct danger_caution);
    TRY(arena_status(loader->arena));
    for (uint32_t i = 0; i < count; i++) {
        const struct node_field *field = &map->fields[i];
        if (!node_expect(field->value, NODE_WORD, "a caution", loader->diagnostics)) {
            loader->is_wrong = true;
            continue;
        }
        cautions[i] =
            (struct danger_caution){names_add(loader->made->names, field->key),
                                    field->key, field->value->word, field->key_where};
    }
    if (count > 1) {
        qsort(cautions, count, sizeof *cautions, compare_cautions);
    }
    closing->cautions = cautions;
    closing->caution_count = count;
    return STATUS_OK;
}

/* {closing: {caution: …, cautions: {…}, not-looked-at: [ … ]}}; of several the last by
 * file name speaks. */
static status read_closing(struct loader *loader, const struct node *map)
{
    static const char *const known[] = {"caution", "cautions", "not-looked-at", NULL};
    const struct node *caution = NULL;
    const struct node *cautions = node_field_of(map, "cautions");
    const struct node *list = node_field_of(map, "not-looked-at");
    if (!node_expect(map, NODE_MAP, "`closing`", loader->diagnostics) ||
        !node_word(map, "caution", "`closing`", loader->diagnostics, &caution) ||
        (cautions != NULL &&
         !node_expect(cautions, NODE_MAP, "`cautions`", loader->diagnostics)) ||
        (list != NULL &&
         !node_expect(list, NODE_LIST, "`not-looked-at`", loader->diagnostics))) {
        loader->is_wrong = true;
        return STATUS_OK;
    }
    node_refuse_others(map, known, "`closing`", loader->diagnostics);
    text *lines = ARENA_MANY(loader->arena, list == NULL ? 0 : list->count, text);
    TRY(arena_status(loader->arena));
    for (uint32_t k = 0; list != NULL && k < list->count; k++) {
        lines[k] = list->items[k]->word;
    }
    loader->made->closing =
        (struct closing){.caution = caution->word,
                         .not_looked_at = lines,
                         .not_looked_at_count = list == NULL ? 0 : list->count};
    return read_cautions(loader, cautions, &loader->made->closing);
}

status loader_closings(struct loader *loader)
{
    for (uint32_t i = 0; i < loader->closings.count; i++) {
        TRY(read_closing(loader, node_field_of(loader->closings.at[i], "closing")));
    }
    return STATUS_OK;
}

/* {sheet: {fit: Put together, …}}; of several the last by file name speaks. */
status loader_sheets(struct loader *loader)
{
    for (uint32_t i = 0; i < loader->sheets.count; i++) {
        const struct node *map = node_field_of(loader->sheets.at[i], "sheet");
        if (!node_expect(map, NODE_MAP, "`sheet`", loader->diagnostics)) {
            loader->is_wrong = true;
            continue;
        }
        struct sheet_section *sections =
            ARENA_MANY(loader->arena, map->count, struct sheet_section);
        TRY(arena_status(loader->arena));
        for (uint32_t k = 0; k < map->count; k++) {
            const struct node *title = map->fields[k].value;
            if (!node_expect(title, NODE_WORD, "a title", loader->diagnostics)) {
                loader->is_wrong = true;
                continue;
            }
            sections[k] = (struct sheet_section){map->fields[k].key, title->word};
        }
        loader->made->sections = sections;
        loader->made->section_count = map->count;
    }
    return STATUS_OK;
}

/* Every line of a sheet stands in a section that there is. */
void loader_check_sections(struct loader *loader)
{
    const struct knowledge *made = loader->made;
    for (uint32_t r = 0; made->rules != NULL && r < made->rules->rule_count; r++) {
        const struct rule *rule = &made->rules->rules[r];
        struct nearest near = nearest_to(rule->section);
        bool is_there = !rule->answers_sheet;
        for (uint32_t i = 0; i < made->section_count; i++) {
            is_there = is_there || text_equal(made->sections[i].name, rule->section);
            nearest_offer(&near, made->sections[i].name);
        }
        if (!is_there) {
            struct diagnostic *report = diagnostics_report(
                loader->diagnostics, CODE_NAME_UNKNOWN, rule->section_where,
                "a sheet has no section of this name");
            report->expected = TEXT("a section of the document headed `sheet:`");
            report->nearest = near.best;
            loader->is_wrong = true;
        }
    }
}
