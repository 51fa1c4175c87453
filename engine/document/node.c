/* SPDX-License-Identifier: MIT */
/* Looking into a document's tree, and saying what is wrong with it. */
#include "node.h"

#include "nearest.h"
#include "number_text.h"

#include <math.h>

const struct node_field *node_find(const struct node *map, text key)
{
    if (map == NULL || map->kind != NODE_MAP) {
        return NULL;
    }
    for (uint32_t i = 0; i < map->count; i++) {
        if (text_equal(map->fields[i].key, key)) {
            return &map->fields[i];
        }
    }
    return NULL;
}

const struct node *node_field_of(const struct node *map, const char *key)
{
    const struct node_field *field = node_find(map, text_of(key));
    return field == NULL ? NULL : field->value;
}

/* In a word that is not plain a quote comes first (see scalar_places.h). */
span node_text_span(const struct node *word, size_t from, size_t length)
{
    const size_t quote = word->is_plain ? 0 : 1;
    return (span){word->where.source, (uint32_t)(word->where.at + quote + from),
                  (uint32_t)length};
}

const char *node_kind_word(enum node_kind kind)
{
    static const char *const words[] = {"a word", "a list", "a map"};
    return words[kind];
}

bool node_expect(const struct node *node, enum node_kind kind, const char *what,
                 struct diagnostics *diagnostics)
{
    if (node->kind == kind) {
        return true;
    }
    struct diagnostic *report =
        diagnostics_report(diagnostics, CODE_SHAPE_WRONG, node->where, "%s is %s here",
                           what, node_kind_word(node->kind));
    report->expected = text_of(node_kind_word(kind));
    return false;
}

static bool in_list(const char *const *list, text word)
{
    for (; *list != NULL; list++) {
        if (text_is(word, *list)) {
            return true;
        }
    }
    return false;
}

static text join_words(struct arena *arena, const char *const *list)
{
    text all = {"", 0};
    for (uint32_t i = 0; list[i] != NULL; i++) {
        all = text_format(arena, "%.*s%s%s", TEXT_ARG(all), i == 0 ? "" : ", ", list[i]);
    }
    return all;
}

void node_refuse_others(const struct node *map, const char *const *known,
                        const char *what, struct diagnostics *diagnostics)
{
    for (uint32_t i = 0; i < map->count; i++) {
        const struct node_field *field = &map->fields[i];
        if (in_list(known, field->key)) {
            continue;
        }
        struct nearest near = nearest_to(field->key);
        for (uint32_t k = 0; known[k] != NULL; k++) {
            nearest_offer(&near, text_of(known[k]));
        }
        struct diagnostic *report =
            diagnostics_report(diagnostics, CODE_FIELD_UNKNOWN, field->key_where,
                               "%s has no field \"%.*s\"", what, TEXT_ARG(field->key));
        report->expected = join_words(diagnostics_arena(diagnostics), known);
        report->nearest = near.best;
    }
}

bool node_word(const struct node *map, const char *key, const char *what,
               struct diagnostics *diagnostics, const struct node **out)
{
    const struct node *word = node_field_of(map, key);
    if (word == NULL) {
        diagnostics_report(diagnostics, CODE_FIELD_MISSING, map->where, "%s needs `%s`",
                           what, key);
        return false;
    }
    *out = word;
    return node_expect(word, NODE_WORD, key, diagnostics);
}

bool node_flag(const struct node *word, struct diagnostics *diagnostics, bool *out)
{
    if (word->kind == NODE_WORD &&
        (text_is(word->word, "true") || text_is(word->word, "false"))) {
        *out = text_is(word->word, "true");
        return true;
    }
    diagnostics_report(diagnostics, CODE_FLAG_WRONG, word->where,
                       "this is neither true nor false")
        ->expected = TEXT("true or false (yes, no, on and off mean different things to "
                          "different readers)");
    return false;
}

bool node_count(const struct node *word, struct diagnostics *diagnostics, int64_t *out)
{
    double number = 0;
    if (word->kind == NODE_WORD && number_read(word->word, &number) && number >= 0 &&
        number <= 2147483647.0 && number == floor(number)) {
        *out = (int64_t)number;
        return true;
    }
    diagnostics_report(diagnostics, CODE_COUNT_WRONG, word->where,
                       "a whole number was expected")
        ->expected = TEXT("a whole number such as 21");
    return false;
}
