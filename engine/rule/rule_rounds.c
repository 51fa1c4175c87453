/* SPDX-License-Identifier: MIT */
/*
 * In which order rules are read. What a check's findings look like is known once its rule
 * is read, so a rule is ready when every check it mentions is read. Checks that wait for
 * each other can never be: they are refused, with the loop spelled out.
 */
#include "rule_reader.h"

/* The check that a condition mentions and that is not read yet, or NULL. A relation of
 * the vocabulary is never waited for, even where a check was given its name. */
static const struct rule_draft *awaited_by_item(const struct rule_reader *reader,
                                                const struct node *item)
{
    if (item == NULL || item->kind != NODE_MAP || item->count != 1) {
        return NULL;
    }
    const name_id name = names_find(reader->around->names, item->fields[0].key);
    for (uint32_t i = 0; name != NAME_NONE && i < reader->draft_count; i++) {
        const struct rule_draft *other = &reader->drafts[i];
        if (other->rule.has_check && other->rule.name == name && !other->is_read &&
            vocabulary_relation(reader->around->vocabulary, name, NULL) == NULL) {
            return other;
        }
    }
    return NULL;
}

/* The first check by the order of the rule's text that it has to wait for; NULL when it
 * is ready. */
static const struct rule_draft *awaited_by(const struct rule_reader *reader,
                                           const struct rule_draft *draft)
{
    static const char *const lists[] = {"given", "unless", "every"};
    const struct rule_draft *awaited = NULL;
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        const struct node *list = node_field_of(draft->map, lists[i]);
        const uint32_t count = list != NULL && list->kind == NODE_LIST ? list->count : 0;
        for (uint32_t k = 0; awaited == NULL && k < count; k++) {
            const struct node *item = list->items[k];
            awaited = awaited_by_item(reader, i == 2 ? node_field_of(item, "of") : item);
        }
    }
    static const char *const maps[] = {"count", "sum", "least", "greatest"};
    for (size_t i = 0; i < sizeof maps / sizeof *maps; i++) {
        const struct node *map = node_field_of(draft->map, maps[i]);
        const uint32_t count = map != NULL && map->kind == NODE_MAP ? map->count : 0;
        for (uint32_t k = 0; awaited == NULL && k < count; k++) {
            const struct node *item = map->fields[k].value;
            awaited = awaited_by_item(reader, i > 0 ? node_field_of(item, "of") : item);
        }
    }
    return awaited;
}

static text name_of(const struct rule_reader *reader, const struct rule_draft *draft)
{
    return names_text(reader->around->names, draft->rule.name);
}

/* "a → b → a" when waiting leads from a draft back to it, else the empty text. */
static text spell_loop(struct rule_reader *reader, const struct rule_draft *draft)
{
    struct arena *arena = diagnostics_arena(reader->diagnostics);
    const struct rule_draft *at = draft;
    text way = name_of(reader, draft);
    for (uint32_t steps = 0; steps < reader->draft_count; steps++) {
        at = awaited_by(reader, at);
        if (at == NULL) {
            break;
        }
        way = text_format(arena, "%.*s → %.*s", TEXT_ARG(way),
                          TEXT_ARG(name_of(reader, at)));
        if (at == draft) {
            return way;
        }
    }
    return (text){"", 0};
}

static void refuse_loops(struct rule_reader *reader)
{
    for (uint32_t i = 0; i < reader->draft_count; i++) {
        const struct rule_draft *draft = &reader->drafts[i];
        const text way = draft->is_read ? (text){"", 0} : spell_loop(reader, draft);
        if (way.length > 0) {
            rule_report(reader, CODE_RULE_LOOP, draft->rule.where,
                        text_format(diagnostics_arena(reader->diagnostics),
                                    "this check waits for its own findings: %.*s",
                                    TEXT_ARG(way)))
                ->expected = TEXT(
                "checks that do not ask for each other's findings: let one of them read "
                "what the other's findings come from");
        }
    }
}

void rule_read_all(struct rule_reader *reader)
{
    bool is_new = true;
    while (is_new) {
        is_new = false;
        for (uint32_t i = 0; i < reader->draft_count; i++) {
            struct rule_draft *draft = &reader->drafts[i];
            if (!draft->is_read && awaited_by(reader, draft) == NULL) {
                rule_read_one(reader, draft);
                is_new = true;
            }
        }
    }
    refuse_loops(reader);
}
