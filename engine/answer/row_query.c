/* SPDX-License-Identifier: MIT */
/*
 * Reads what `why` is asked of. Names that nobody uses are faults: a misspelt one would
 * otherwise be answered as if the row were not there.
 */
#include "row_query.h"

#include "nearest.h"
#include "number_text.h"

struct query_reader {
    const struct layer *layer;
    span where; /* of the whole text */
    text all;
    const struct relation_shape *shape;
    struct wanted_row *query;
};

static span span_of(const struct query_reader *reader, text part)
{
    return (span){reader->where.source,
                  reader->where.at + (uint32_t)(part.at - reader->all.at),
                  (uint32_t)part.length};
}

static uint32_t column_count(const struct relation_shape *shape)
{
    return shape->key_count + shape->value_count;
}

static text column_name(const struct query_reader *reader, uint32_t column)
{
    return names_text(reader->layer->names, reader->shape->columns[column].name);
}

/* ---- faults */

static status form_fault(const struct query_reader *reader, text part)
{
    diagnostics_report(reader->layer->diagnostics, CODE_QUESTION_WRONG,
                       span_of(reader, part), "this row could not be read")
        ->expected = TEXT("RELATION: column=name, column=name");
    return STATUS_INVALID;
}

static status relation_fault(const struct query_reader *reader, text word)
{
    struct nearest near = nearest_to(word);
    const struct store *store = reader->layer->store;
    for (relation_id r = 0; r < store_shape_count(store); r++) {
        nearest_offer(&near,
                      names_text(reader->layer->names, store_shape(store, r)->name));
    }
    struct diagnostic *report = diagnostics_report(
        reader->layer->diagnostics, CODE_RELATION_UNKNOWN, span_of(reader, word),
        "there is no relation \"%.*s\"", TEXT_ARG(word));
    report->expected = TEXT("a relation of the vocabulary, or a rule that checks");
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* The columns that can be asked by: "unit, seal, outcome". */
static text columns_text(const struct query_reader *reader)
{
    text all = {"", 0};
    for (uint32_t c = 0; c < column_count(reader->shape); c++) {
        if (reader->shape->columns[c].kind != COLUMN_QUANTITY) {
            all =
                text_format(reader->layer->arena, "%.*s%s%.*s", TEXT_ARG(all),
                            all.length > 0 ? ", " : "", TEXT_ARG(column_name(reader, c)));
        }
    }
    return all;
}

static status column_fault(const struct query_reader *reader, text word)
{
    struct nearest near = nearest_to(word);
    for (uint32_t c = 0; c < column_count(reader->shape); c++) {
        nearest_offer(&near, column_name(reader, c));
    }
    struct diagnostic *report = diagnostics_report(
        reader->layer->diagnostics, CODE_COLUMN_UNKNOWN, span_of(reader, word),
        "relation %.*s has no column \"%.*s\"",
        TEXT_ARG(names_text(reader->layer->names, reader->shape->name)), TEXT_ARG(word));
    report->expected = columns_text(reader);
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* Offers the words that rows of the relation hold in a column. */
static void offer_words(const struct query_reader *reader, uint32_t c,
                        struct nearest *near)
{
    const struct store *store = reader->layer->store;
    const uint32_t keys = reader->shape->key_count;
    for (uint32_t i = 0; i < store_count(store, reader->query->relation); i++) {
        const struct row *row = store_row(store, reader->query->relation, i);
        const name_id word = c < keys ? row->key[c]
                             : row->values[c - keys].kind == VALUE_WORD
                                 ? row->values[c - keys].word
                                 : NAME_NONE;
        nearest_offer(near, names_text(reader->layer->names, word));
    }
}

static status name_fault(const struct query_reader *reader, uint32_t c, text word)
{
    struct nearest near = nearest_to(word);
    struct nearest anything = nearest_to(word); /* where no such row has a word like it */
    const struct column *column = &reader->shape->columns[c];
    offer_words(reader, c, &near);
    for (uint32_t i = 0; i < column->choice_count; i++) {
        nearest_offer(&near, names_text(reader->layer->names, column->choices[i]));
    }
    for (name_id name = 1;
         near.best.length == 0 && name <= names_last(reader->layer->names); name++) {
        nearest_offer(&anything, names_text(reader->layer->names, name));
    }
    near.best = near.best.length == 0 ? anything.best : near.best;
    struct diagnostic *report = diagnostics_report(
        reader->layer->diagnostics, CODE_NAME_UNKNOWN, span_of(reader, word),
        "nothing is called \"%.*s\"", TEXT_ARG(word));
    report->expected =
        text_format(reader->layer->arena, "what stands in column %.*s of a row",
                    TEXT_ARG(column_name(reader, c)));
    report->nearest = near.best;
    return STATUS_INVALID;
}

/* ---- reading */

static status read_count(const struct query_reader *reader, text word, int64_t *out)
{
    double number = 0;
    if (!number_read(word, &number) || number < 0 || number >= 2147483648.0 ||
        number != (double)(int64_t)number) {
        diagnostics_report(reader->layer->diagnostics, CODE_COUNT_WRONG,
                           span_of(reader, word), "this column holds a count")
            ->expected = TEXT("a whole number");
        return STATUS_INVALID;
    }
    *out = (int64_t)number;
    return STATUS_OK;
}

static status read_cell(const struct query_reader *reader, uint32_t c, text word)
{
    struct wanted_row *query = reader->query;
    const struct column *column = &reader->shape->columns[c];
    const bool is_key = c < reader->shape->key_count;
    int64_t count = 0;
    name_id name = NAME_NONE;
    if (column->kind == COLUMN_NUMBER || column->kind == COLUMN_COUNT) {
        TRY(read_count(reader, word, &count));
    } else {
        name = names_find(reader->layer->names, word);
        if (name == NAME_NONE) {
            return name_fault(reader, c, word);
        }
    }
    if (is_key) {
        query->asked |= 1u << c;
        query->key[c] = column->kind == COLUMN_NUMBER ? (name_id)count : name;
    } else {
        const uint32_t v = c - reader->shape->key_count;
        query->asked_values |= UINT64_C(1) << v;
        query->values[v] =
            column->kind == COLUMN_COUNT ? value_count(count) : value_word(name);
    }
    return STATUS_OK;
}

static bool is_given(const struct query_reader *reader, uint32_t c)
{
    const uint32_t keys = reader->shape->key_count;
    return c < keys ? (reader->query->asked >> c & 1u) != 0
                    : (reader->query->asked_values >> (c - keys) & 1u) != 0;
}

static status read_pair(const struct query_reader *reader, text pair)
{
    const size_t equals = text_find(pair, '=', 0);
    const text name = text_trim(text_slice(pair, 0, equals));
    const text word = text_trim(text_slice(pair, equals + 1, pair.length));
    if (equals == pair.length || name.length == 0 || word.length == 0) {
        return form_fault(reader, pair);
    }
    for (uint32_t c = 0; c < column_count(reader->shape); c++) {
        if (!text_equal(column_name(reader, c), name)) {
            continue;
        }
        if (is_given(reader, c)) {
            diagnostics_report(reader->layer->diagnostics, CODE_QUESTION_WRONG,
                               span_of(reader, name), "a column is given twice");
            return STATUS_INVALID;
        }
        if (reader->shape->columns[c].kind == COLUMN_QUANTITY) {
            diagnostics_report(reader->layer->diagnostics, CODE_QUESTION_WRONG,
                               span_of(reader, pair), "a row is not found by a quantity")
                ->expected = columns_text(reader);
            return STATUS_INVALID;
        }
        return read_cell(reader, c, word);
    }
    return column_fault(reader, name);
}

static status read_pairs(const struct query_reader *reader, text pairs)
{
    status result = STATUS_OK;
    for (size_t at = 0; at <= pairs.length;) {
        const size_t comma = text_find(pairs, ',', at);
        const status one = read_pair(reader, text_trim(text_slice(pairs, at, comma)));
        result = result == STATUS_OK ? one : result;
        at = comma + 1;
    }
    return result;
}

status row_query_read(const struct layer *layer, text of, span where,
                      struct wanted_row *out)
{
    struct query_reader reader = {
        .layer = layer, .where = where, .all = of, .query = out};
    const size_t colon = text_find(of, ':', 0);
    const text relation = text_trim(text_slice(of, 0, colon));
    const text pairs = text_trim(text_slice(of, colon + 1, of.length));
    *out = (struct wanted_row){0};
    if (relation.length == 0 || (colon < of.length && pairs.length == 0)) {
        return form_fault(&reader, of);
    }
    if (!store_find_relation(layer->store, names_find(layer->names, relation),
                             &out->relation)) {
        return relation_fault(&reader, relation);
    }
    reader.shape = store_shape(layer->store, out->relation);
    return pairs.length == 0 ? STATUS_OK : read_pairs(&reader, pairs);
}

/* ---- writing */

text row_query_write(struct arena *arena, const struct layer *layer,
                     const struct wanted_row *query)
{
    const struct relation_shape *shape = store_shape(layer->store, query->relation);
    const uint32_t keys = shape->key_count;
    text all = names_text(layer->names, shape->name);
    const char *between = ": ";
    for (uint32_t c = 0; c < column_count(shape); c++) {
        const bool is_key = c < keys;
        if (is_key ? (query->asked >> c & 1u) == 0
                   : (query->asked_values >> (c - keys) & 1u) == 0) {
            continue;
        }
        const bool is_count = shape->columns[c].kind == COLUMN_NUMBER ||
                              shape->columns[c].kind == COLUMN_COUNT;
        const int64_t count =
            is_key ? (int64_t)query->key[c] : query->values[c - keys].count;
        const name_id word = is_key ? query->key[c] : query->values[c - keys].word;
        const text cell = is_count ? text_format(arena, "%lld", (long long)count)
                                   : names_text(layer->names, word);
        all = text_format(arena, "%.*s%s%.*s=%.*s", TEXT_ARG(all), between,
                          TEXT_ARG(names_text(layer->names, shape->columns[c].name)),
                          TEXT_ARG(cell));
        between = ", ";
    }
    return all;
}
