/* SPDX-License-Identifier: MIT */
/*
 * What a part of a kind usually has, under the names that rules and units go by, and what
 * the assembly reads to compute a column. Both name relations and columns, so they are
 * read when all of those are known.
 */
#include "vocabulary_reader.h"

#include <stdlib.h>

/* ---- `reads` of a computed column */

static void refuse_cell(struct vocabulary_reader *reader, const struct node *word)
{
    vocabulary_report(reader, CODE_VOCABULARY_WRONG, word->where,
                      "no relation has this column")
        ->expected = TEXT("RELATION.COLUMN, such as run.diameter");
}

static bool find_cell(const struct vocabulary_reader *reader,
                      const struct vocabulary *made, text word, struct read_cell *out)
{
    const size_t point = text_find(word, '.', 0);
    const name_id relation = names_find(reader->names, text_slice(word, 0, point));
    const name_id column =
        names_find(reader->names, text_slice(word, point + 1, word.length));
    const struct relation_shape *shape =
        relation == NAME_NONE || column == NAME_NONE
            ? NULL
            : vocabulary_relation(made, relation, &out->relation);
    const int at = shape == NULL ? -1 : vocabulary_column(shape, column);
    if (at < 0 || at < (int)shape->key_count) {
        return false;
    }
    out->column = (uint32_t)at;
    return true;
}

static void read_cells(struct vocabulary_reader *reader, const struct vocabulary *made,
                       struct column_manner *manner)
{
    const struct node *list = manner->reads_written;
    if (list == NULL || !vocabulary_expect(reader, list, NODE_LIST, "`reads`")) {
        return;
    }
    struct read_cell *cells = ARENA_MANY(reader->arena, list->count, struct read_cell);
    for (uint32_t i = 0; cells != NULL && i < list->count; i++) {
        if (vocabulary_expect(reader, list->items[i], NODE_WORD, "a column") &&
            !find_cell(reader, made, list->items[i]->word, &cells[i])) {
            refuse_cell(reader, list->items[i]);
        }
    }
    manner->reads = cells;
    manner->read_count = cells == NULL ? 0 : list->count;
}

/* ---- `usual` of a kind */

static const char *const feature_words[] = {"with", "open-to-view"};

static bool is_feature_word(text word)
{
    return text_is(word, feature_words[0]) || text_is(word, feature_words[1]);
}

static const name_id *read_with(struct vocabulary_reader *reader,
                                const struct vocabulary *made, const struct node *map,
                                uint32_t *count)
{
    const struct node *list = node_field_of(map, "with");
    *count = 0;
    if (list == NULL || !vocabulary_expect(reader, list, NODE_LIST, "`with`")) {
        return NULL;
    }
    name_id *kinds = ARENA_MANY(reader->arena, list->count, name_id);
    for (uint32_t i = 0; kinds != NULL && i < list->count; i++) {
        if (!vocabulary_expect(reader, list->items[i], NODE_WORD, "a kind")) {
            return NULL;
        }
        kinds[i] = names_find(reader->names, list->items[i]->word);
        if (kinds[i] == NAME_NONE || vocabulary_kind(made, kinds[i]) == NULL) {
            vocabulary_report(reader, CODE_NAME_UNKNOWN, list->items[i]->where,
                              "there is no such kind");
            return NULL;
        }
    }
    *count = kinds == NULL ? 0 : list->count;
    return kinds;
}

/* A word that is the same of every such feature: {kind: seat}. */
static bool read_word(struct vocabulary_reader *reader,
                      const struct relation_shape *shape, const struct node_field *field,
                      struct usual_word *out)
{
    const name_id name = names_find(reader->names, field->key);
    const int column = name == NAME_NONE ? -1 : vocabulary_column(shape, name);
    if (column < (int)shape->key_count || shape->columns[column].kind != COLUMN_WORD) {
        vocabulary_report(reader, CODE_VOCABULARY_WRONG, field->key_where,
                          "no word of such a feature is called like this")
            ->expected = TEXT("a word of its relation, `with` or `open-to-view`");
        return false;
    }
    if (!vocabulary_expect(reader, field->value, NODE_WORD, "a word")) {
        return false;
    }
    *out = (struct usual_word){(uint32_t)column,
                               names_add(reader->names, field->value->word)};
    return true;
}

static void read_feature(struct vocabulary_reader *reader, const struct vocabulary *made,
                         const struct listing *listing, const struct node_field *field,
                         struct usual_feature *out)
{
    const struct relation_shape *shape = &made->shapes[listing->relation];
    const struct node *map = field->value;
    *out = (struct usual_feature){.list = listing->field,
                                  .relation = listing->relation,
                                  .name = names_add(reader->names, field->key)};
    if (!vocabulary_expect(reader, map, NODE_MAP, "a usual feature")) {
        return;
    }
    struct usual_word *words = ARENA_MANY(reader->arena, map->count, struct usual_word);
    for (uint32_t i = 0; words != NULL && i < map->count; i++) {
        if (!is_feature_word(map->fields[i].key) &&
            read_word(reader, shape, &map->fields[i], &words[out->word_count])) {
            out->word_count++;
        }
    }
    out->words = words;
    out->with = read_with(reader, made, map, &out->with_count);
    out->is_open_to_view = vocabulary_flag(reader, map, "open-to-view");
}

static void read_usual(struct vocabulary_reader *reader, const struct vocabulary *made,
                       const struct node *map, struct kind *kind)
{
    uint32_t count = 0;
    if (!vocabulary_expect(reader, map, NODE_MAP, "`usual`")) {
        return;
    }
    for (uint32_t i = 0; i < map->count; i++) {
        count += map->fields[i].value->kind == NODE_MAP ? map->fields[i].value->count : 0;
    }
    struct usual_feature *features =
        ARENA_MANY(reader->arena, count, struct usual_feature);
    for (uint32_t i = 0; features != NULL && i < map->count; i++) {
        const struct node_field *list = &map->fields[i];
        if (text_is(list->key, "datum")) {
            if (vocabulary_expect(reader, list->value, NODE_WORD, "`datum`")) {
                kind->usual_datum = names_add(reader->names, list->value->word);
            }
            continue;
        }
        const name_id name = names_find(reader->names, list->key);
        const struct listing *listing =
            name == NAME_NONE ? NULL : vocabulary_listing(made, name, false);
        if (listing == NULL) {
            vocabulary_report(reader, CODE_VOCABULARY_WRONG, list->key_where,
                              "parts have no such list")
                ->expected = TEXT("datum, or a list of parts, such as runs");
        } else if (vocabulary_expect(reader, list->value, NODE_MAP, "usual features")) {
            for (uint32_t k = 0; k < list->value->count; k++) {
                read_feature(reader, made, listing, &list->value->fields[k],
                             &features[kind->usual_count++]);
            }
        }
    }
    kind->usual = features;
}

void vocabulary_usual(struct vocabulary_reader *reader, const struct vocabulary *made,
                      struct kind *kinds)
{
    for (uint32_t i = 0, k = 0; i < reader->drafts.count; i++) {
        const struct draft *draft = &reader->drafts.at[i];
        for (uint32_t c = 0; draft->manners != NULL &&
                             c < draft->shape.key_count + draft->shape.value_count;
             c++) {
            read_cells(reader, made, &draft->manners[c]);
        }
        if (draft->is_kind) {
            if (draft->usual != NULL) {
                read_usual(reader, made, draft->usual, &kinds[k]);
            }
            k++;
        }
    }
}
