/* SPDX-License-Identifier: MIT */
/* Rows that no piece owns: what is so of materials and fluids wherever they meet. */
#include "table_rows.h"

#include "nearest.h"
#include "row_cells.h"

static void refuse_unknown_columns(struct row_cells *reader, const struct node *map)
{
    const struct names *names = reader->knowledge->names;
    for (uint32_t i = 0; i < map->count; i++) {
        const text key = map->fields[i].key;
        if (vocabulary_column(reader->shape, names_find(names, key)) < 0) {
            row_fault(reader, CODE_FIELD_UNKNOWN, map->fields[i].key_where,
                      TEXT("this relation has no such column"))
                ->nearest = row_nearest_column(reader, key);
        }
    }
}

static void refuse_missing_column(struct row_cells *reader, const struct node *map,
                                  uint32_t column)
{
    const struct relation_shape *shape = reader->shape;
    const bool is_optional =
        column >= shape->key_count &&
        reader->knowledge->vocabulary->manners[reader->relation][column].is_optional;
    if (!is_optional) {
        row_fault(reader, CODE_FIELD_MISSING, map->where,
                  text_format(reader->arena, "`%.*s` must be written",
                              TEXT_ARG(names_text(reader->knowledge->names,
                                                  shape->columns[column].name))));
    }
}

static status read_row(struct row_cells *reader, const struct node *map)
{
    const struct relation_shape *shape = reader->shape;
    if (!node_expect(map, NODE_MAP, "a row", reader->diagnostics)) {
        reader->is_wrong = true;
        return STATUS_OK;
    }
    refuse_unknown_columns(reader, map);
    for (uint32_t c = 0; c < LIMIT_VALUE_COLUMNS; c++) {
        reader->values[c] = (struct value){0};
    }
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const struct node_field *field =
            node_find(map, names_text(reader->knowledge->names, shape->columns[c].name));
        if (field == NULL) {
            refuse_missing_column(reader, map, c);
            continue;
        }
        if (!node_expect(field->value, NODE_WORD, "a column", reader->diagnostics)) {
            reader->is_wrong = true;
            continue;
        }
        const struct node *word = field->value;
        const struct row_word read = {.word = word->word,
                                      .where = word->where,
                                      .text_where =
                                          node_text_span(word, 0, word->word.length)};
        if (c < shape->key_count) {
            row_read_key(reader, c, &read);
        } else {
            row_read_value(reader, c, &read);
        }
    }
    return reader->is_wrong ? arena_status(reader->arena) : row_add(reader, map->where);
}

static status read_relation(struct row_cells *reader, const struct node_field *field)
{
    const struct vocabulary *vocabulary = reader->knowledge->vocabulary;
    const struct names *names = reader->knowledge->names;
    const name_id name = names_find(names, field->key);
    reader->shape = name == NAME_NONE
                        ? NULL
                        : vocabulary_relation(vocabulary, name, &reader->relation);
    if (reader->shape == NULL || reader->shape->is_owned ||
        reader->shape->filled != FILLED_BY_FACTS) {
        struct nearest near = nearest_to(field->key);
        for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
            if (!vocabulary->shapes[i].is_owned) {
                nearest_offer(&near, names_text(names, vocabulary->shapes[i].name));
            }
        }
        struct diagnostic *report = row_fault(
            reader, CODE_NAME_UNKNOWN, field->key_where,
            TEXT("no relation without an owner is filled by rows of this name"));
        report->expected = TEXT("a relation with `owner: none`, filled by facts");
        report->nearest = near.best;
        return STATUS_OK;
    }
    if (!node_expect(field->value, NODE_LIST, "rows", reader->diagnostics)) {
        reader->is_wrong = true;
        return STATUS_OK;
    }
    for (uint32_t i = 0; i < field->value->count; i++) {
        TRY(read_row(reader, field->value->items[i]));
    }
    return STATUS_OK;
}

status table_rows_read(struct arena *arena, struct knowledge *knowledge,
                       const struct node *document, struct diagnostics *diagnostics)
{
    static const char *const known[] = {"table-rows", "source", "says", NULL};
    struct row_cells reader = {
        .arena = arena, .knowledge = knowledge, .diagnostics = diagnostics};
    const struct node *rows = node_field_of(document, "table-rows");
    const struct node *source = NULL;
    const uint32_t before = diagnostics_count(diagnostics);
    node_refuse_others(document, known, "a file of rows", diagnostics);
    if (!node_expect(rows, NODE_MAP, "`table-rows`", diagnostics) ||
        !node_word(document, "source", "a file of rows", diagnostics, &source)) {
        return STATUS_INVALID;
    }
    for (uint32_t i = 0; i < rows->count; i++) {
        TRY(read_relation(&reader, &rows->fields[i]));
    }
    return reader.is_wrong || diagnostics_count(diagnostics) > before ? STATUS_INVALID
                                                                      : STATUS_OK;
}
