/* SPDX-License-Identifier: MIT */
/* Rows that no piece owns: what is so of materials and fluids wherever they meet. */
#include "table_rows.h"

#include "limits.h"
#include "nearest.h"
#include "number_text.h"

#include <math.h>

struct table_reader {
    struct arena *arena;
    struct knowledge *knowledge;
    struct diagnostics *diagnostics;
    const struct relation_shape *shape;
    relation_id relation;
    bool is_wrong;
    name_id key[LIMIT_KEY_COLUMNS]; /* of the row being read */
};

static struct diagnostic *fault(struct table_reader *reader, enum diagnostic_code code,
                                span where, text message)
{
    reader->is_wrong = true;
    return diagnostics_add(reader->diagnostics, code, where, message);
}

/* "relation.key.key.column": a dimension of this row alone, whatever file it stands in.
 */
static text dimension_of(const struct table_reader *reader, const struct column *column)
{
    const struct names *names = reader->knowledge->names;
    text all = names_text(names, reader->shape->name);
    for (uint32_t c = 0; c < reader->shape->key_count; c++) {
        all = text_format(reader->arena, "%.*s.%.*s", TEXT_ARG(all),
                          TEXT_ARG(names_text(names, reader->key[c])));
    }
    return text_format(reader->arena, "%.*s.%.*s", TEXT_ARG(all),
                       TEXT_ARG(names_text(names, column->name)));
}

static struct value read_quantity(struct table_reader *reader,
                                  const struct column *column, const struct node *word)
{
    const span where = node_text_span(word, 0, word->word.length);
    const struct stated_options options = {.wanted = column->dim};
    const struct tolerance_rules rules = {{"", 0}, true};
    struct stated stated = {0};
    struct deviation *own = ARENA_NEW(reader->arena, struct deviation);
    if (own == NULL || stated_read(word->word, where, &options, reader->diagnostics,
                                   &stated) != STATUS_OK) {
        reader->is_wrong = true;
        return (struct value){0};
    }
    *own = (struct deviation){
        .name = dimension_of(reader, column), .dim = column->dim, .where = word->where};
    if (stated_resolve(&reader->knowledge->tables, &stated, &rules, reader->diagnostics,
                       own) != STATUS_OK) {
        reader->is_wrong = true;
        return (struct value){0};
    }
    return value_quantity(own->low == 0.0 && own->high == 0.0
                              ? form_exact(reader->arena, own->dim, own->nominal)
                              : form_of(reader->arena, own));
}

static struct value read_value(struct table_reader *reader, const struct column *column,
                               const struct node *word)
{
    struct names *names = reader->knowledge->names;
    double number = 0;
    if (column->kind == COLUMN_QUANTITY) {
        return read_quantity(reader, column, word);
    }
    if (column->kind == COLUMN_COUNT) {
        if (!number_read(word->word, &number) || number < 0 || number > 2147483647.0 ||
            number != floor(number)) {
            fault(reader, CODE_COUNT_WRONG, word->where, TEXT("this is no whole number"));
        }
        return value_count((int64_t)number);
    }
    const name_id id = names_add(names, word->word);
    struct nearest near = nearest_to(word->word);
    for (uint32_t i = 0; i < column->choice_count; i++) {
        if (column->choices[i] == id) {
            return value_word(id);
        }
        nearest_offer(&near, names_text(names, column->choices[i]));
    }
    if (column->choice_count > 0) {
        fault(reader, CODE_CHOICE_UNKNOWN, word->where,
              TEXT("this is no choice for its column"))
            ->nearest = near.best;
    }
    return value_word(id);
}

static void refuse_unknown_columns(struct table_reader *reader, const struct node *map)
{
    struct names *names = reader->knowledge->names;
    for (uint32_t i = 0; i < map->count; i++) {
        struct nearest near = nearest_to(map->fields[i].key);
        if (vocabulary_column(reader->shape, names_find(names, map->fields[i].key)) >=
            0) {
            continue;
        }
        for (uint32_t c = 0; c < reader->shape->key_count + reader->shape->value_count;
             c++) {
            nearest_offer(&near, names_text(names, reader->shape->columns[c].name));
        }
        fault(reader, CODE_FIELD_UNKNOWN, map->fields[i].key_where,
              TEXT("this relation has no such column"))
            ->nearest = near.best;
    }
}

static status read_row(struct table_reader *reader, const struct node *map)
{
    const struct relation_shape *shape = reader->shape;
    struct value values[LIMIT_VALUE_COLUMNS] = {0};
    if (!node_expect(map, NODE_MAP, "a row", reader->diagnostics)) {
        reader->is_wrong = true;
        return STATUS_OK;
    }
    refuse_unknown_columns(reader, map);
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        const text column = names_text(reader->knowledge->names, shape->columns[c].name);
        const struct node_field *field = node_find(map, column);
        const bool is_optional =
            c >= shape->key_count &&
            reader->knowledge->vocabulary->manners[reader->relation][c].is_optional;
        if (field == NULL) {
            if (!is_optional) {
                fault(reader, CODE_FIELD_MISSING, map->where,
                      text_format(reader->arena, "`%.*s` must be written",
                                  TEXT_ARG(column)));
            }
            continue;
        }
        if (!node_expect(field->value, NODE_WORD, "a column", reader->diagnostics)) {
            reader->is_wrong = true;
        } else if (c < shape->key_count) {
            reader->key[c] = names_add(reader->knowledge->names, field->value->word);
        } else {
            values[c - shape->key_count] =
                read_value(reader, &shape->columns[c], field->value);
        }
    }
    if (reader->is_wrong) {
        return arena_status(reader->arena);
    }
    const struct row row = {.relation = reader->relation,
                            .origin = ORIGIN_FACT,
                            .where = map->where,
                            .key = reader->key,
                            .values = values};
    const enum added added = store_add(reader->knowledge->base, &row, NULL);
    if (added == ADDED_CONFLICT) {
        fault(reader, CODE_NAME_DOUBLED, map->where,
              TEXT("another row says otherwise of the same key"));
    }
    return added == ADDED_NO_MEMORY ? STATUS_NO_MEMORY : arena_status(reader->arena);
}

static status read_relation(struct table_reader *reader, const struct node_field *field)
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
        struct diagnostic *report =
            fault(reader, CODE_NAME_UNKNOWN, field->key_where,
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
    struct table_reader reader = {
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
