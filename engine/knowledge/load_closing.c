/* SPDX-License-Identifier: MIT */
/* What answers end with, and the sections of a set-up sheet. */
#include "loader.h"

#include "nearest.h"

/* {closing: {caution: …, not-looked-at: [ … ]}}; of several the last by file name speaks.
 */
status loader_closings(struct loader *loader)
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
