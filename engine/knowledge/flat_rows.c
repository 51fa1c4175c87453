/* SPDX-License-Identifier: MIT */
/*
 * A heading, checked once, says what each cell of a row is. Millions of rows follow, so
 * what is common is read without a general parse and without asking for memory: a word
 * like the one above it, a number in the heading's unit or in the unit of the cell above.
 * All else goes through row_cells.h, which gives the same values.
 */
#include "flat_rows.h"

#include "csv_reader.h"
#include "fit_text.h"
#include "nearest.h"
#include "number_text.h"
#include "row_cells.h"

#include <string.h>

enum {
    MOST_COLUMNS = LIMIT_KEY_COLUMNS + LIMIT_VALUE_COLUMNS
};

/* A column of the file. */
struct flat_column {
    uint32_t column; /* of the shape */
    bool is_key;
    const struct column *of;
    span where;
    bool has_unit;
    struct unit unit; /* of the heading */
    text last;        /* the word that stood here last, in the text */
    name_id last_name;
    text last_unit; /* the unit a cell had last, as written; empty: none yet */
    struct unit last_as;
};

struct flat_reader {
    struct row_cells cells;
    struct csv csv;
    struct flat_column columns[MOST_COLUMNS];
    uint32_t column_count;
    char room[LIMIT_SCALAR_BYTES];
    bool is_wrong; /* the file; cells.is_wrong: the row */
};

static text column_name(const struct flat_reader *reader, uint32_t column)
{
    return names_text(reader->cells.knowledge->names,
                      reader->cells.shape->columns[column].name);
}

/* ---- the relation */

/* "facts/edge.north.csv" is called "edge". */
static text relation_word(text name)
{
    size_t start = name.length;
    while (start > 0 && name.at[start - 1] != '/') {
        start--;
    }
    return text_slice(name, start, text_find(name, '.', start));
}

/* Whether parts or units state such rows in documents of their own. */
static bool is_of_documents(const struct vocabulary *vocabulary, relation_id relation)
{
    bool is_theirs = false;
    for (uint32_t i = 0; i < vocabulary->listing_count; i++) {
        is_theirs = is_theirs || vocabulary->listings[i].relation == relation;
    }
    for (uint32_t i = 0; i < vocabulary->kind_count; i++) {
        is_theirs = is_theirs || vocabulary->kinds[i].relation == relation;
    }
    return is_theirs;
}

static bool is_filled_so(const struct vocabulary *vocabulary, relation_id relation)
{
    return vocabulary->shapes[relation].filled == FILLED_BY_FACTS &&
           !is_of_documents(vocabulary, relation);
}

static bool find_relation(struct flat_reader *reader, text name)
{
    const struct vocabulary *vocabulary = reader->cells.knowledge->vocabulary;
    const struct names *names = reader->cells.knowledge->names;
    const text word = relation_word(name);
    const name_id id = names_find(names, word);
    struct row_cells *cells = &reader->cells;
    cells->shape =
        id == NAME_NONE ? NULL : vocabulary_relation(vocabulary, id, &cells->relation);
    if (cells->shape != NULL && is_filled_so(vocabulary, cells->relation)) {
        return true;
    }
    struct nearest near = nearest_to(word);
    for (uint32_t i = 0; i < vocabulary->shape_count; i++) {
        if (is_filled_so(vocabulary, i)) {
            nearest_offer(&near, names_text(names, vocabulary->shapes[i].name));
        }
    }
    struct diagnostic *report = row_fault(
        cells, CODE_NAME_UNKNOWN, (span){reader->csv.source, 0, 0},
        cells->shape == NULL ? TEXT("there is no relation called like this file")
        : cells->shape->filled == FILLED_BY_FACTS
            ? TEXT("parts and units state the rows of this relation in their documents")
            : TEXT("the relation called like this file is not filled by facts"));
    report->expected = TEXT("RELATION.csv, of a relation that is `filled-by: facts`");
    report->nearest = near.best;
    return false;
}

/* ---- the heading */

static void read_unit(struct flat_reader *reader, struct flat_column *column, text symbol,
                      span where)
{
    struct diagnostic *report = NULL;
    const bool is_known = unit_find(symbol, &column->unit);
    column->has_unit = true;
    if (column->is_key || column->of->kind != COLUMN_QUANTITY) {
        row_fault(&reader->cells, CODE_SHAPE_WRONG, where,
                  TEXT("this column holds no quantity, so it has no unit"));
    } else if (!is_known) {
        struct nearest near = nearest_to(symbol);
        unit_offer(&near, &column->of->dim);
        row_fault(&reader->cells, CODE_UNIT_UNKNOWN, where,
                  TEXT("nobody knows this unit"))
            ->nearest = near.best;
    } else if (!dimension_equal(column->unit.dim, column->of->dim)) {
        report = row_fault(&reader->cells, CODE_UNIT_WRONG, where,
                           TEXT("this unit is one of another dimension"));
        report->expected =
            text_format(reader->cells.arena, "a unit of %.*s",
                        TEXT_ARG(dimension_name(reader->cells.arena, column->of->dim)));
    }
}

/* "length [mm]" without its unit; *unit_at is where that starts, or 0. */
static text without_unit(text heading, size_t *unit_at)
{
    const size_t open = text_find(heading, '[', 0);
    *unit_at = open < heading.length && text_ends(heading, TEXT("]")) ? open + 1 : 0;
    return *unit_at == 0 ? heading : text_trim(text_slice(heading, 0, open));
}

static void read_heading(struct flat_reader *reader, const struct csv_cell *cell)
{
    const struct relation_shape *shape = reader->cells.shape;
    const text heading = csv_cell_text(&reader->csv, cell, reader->room);
    const span where = csv_cell_span(&reader->csv, cell);
    size_t unit_at = 0;
    const text word = without_unit(heading, &unit_at);
    const int index =
        vocabulary_column(shape, names_find(reader->cells.knowledge->names, word));
    if (index < 0) {
        row_fault(&reader->cells, CODE_FIELD_UNKNOWN, where,
                  TEXT("this relation has no such column"))
            ->nearest = row_nearest_column(&reader->cells, word);
        return;
    }
    for (uint32_t i = 0; i < reader->column_count; i++) {
        if (reader->columns[i].column == (uint32_t)index) {
            diagnostic_note_add(row_fault(&reader->cells, CODE_KEY_DOUBLED, where,
                                          TEXT("this column is there twice")),
                                reader->columns[i].where, TEXT("the first is here"));
            return;
        }
    }
    struct flat_column *column = &reader->columns[reader->column_count++];
    *column = (struct flat_column){.column = (uint32_t)index,
                                   .is_key = (uint32_t)index < shape->key_count,
                                   .of = &shape->columns[index],
                                   .where = where};
    if (unit_at > 0) {
        const text symbol = text_trim(text_slice(heading, unit_at, heading.length - 1));
        read_unit(reader, column, symbol,
                  (span){where.source, where.at + (uint32_t)unit_at,
                         where.length - (uint32_t)unit_at - 1});
    }
}

static void refuse_missing_columns(struct flat_reader *reader)
{
    const struct relation_shape *shape = reader->cells.shape;
    const struct column_manner *manners =
        reader->cells.knowledge->vocabulary->manners[reader->cells.relation];
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        bool is_there = c >= shape->key_count && manners[c].is_optional;
        for (uint32_t i = 0; i < reader->column_count; i++) {
            is_there = is_there || reader->columns[i].column == c;
        }
        if (!is_there) {
            row_fault(&reader->cells, CODE_FIELD_MISSING, csv_row_span(&reader->csv),
                      text_format(reader->cells.arena, "the column `%.*s` must be there",
                                  TEXT_ARG(column_name(reader, c))));
        }
    }
}

static void read_first_line(struct flat_reader *reader)
{
    struct csv_cell cells[MOST_COLUMNS];
    uint32_t count = 0;
    const enum csv_result result = csv_next(&reader->csv, cells, MOST_COLUMNS, &count);
    if (result == CSV_END) {
        row_fault(&reader->cells, CODE_FIELD_MISSING, (span){reader->csv.source, 0, 0},
                  TEXT("this file has no line that names its columns"));
    }
    if (result != CSV_ROW) {
        reader->cells.is_wrong = true;
        return;
    }
    for (uint32_t i = 0; i < count && i < MOST_COLUMNS; i++) {
        read_heading(reader, &cells[i]);
    }
    if (count > MOST_COLUMNS) {
        row_fault(&reader->cells, CODE_FIELD_UNKNOWN, csv_row_span(&reader->csv),
                  TEXT("there are more columns than a relation can have"));
    }
    if (!reader->cells.is_wrong) {
        refuse_missing_columns(reader);
    }
}

/* ---- cells */

/* A number in the heading's unit, in that of the cell above, or of none: its coherent
 * value, the very one that stated_read gives. */
static bool plain_quantity(const struct flat_column *column, text word, double *out)
{
    static const struct unit ratio = {.scale = 1.0};
    const bool is_negative = word.length > 0 && word.at[0] == '-';
    double number = 0;
    size_t at = is_negative ? 1 : 0;
    const size_t digits = number_read_plain(text_slice(word, at, word.length), &number);
    const struct unit *unit = NULL;
    at += digits;
    if (digits == 0) {
        return false;
    }
    if (at == word.length) {
        unit = column->has_unit                                    ? &column->unit
               : dimension_equal(column->of->dim, DIMENSION_RATIO) ? &ratio
                                                                   : NULL;
    } else if (column->last_unit.length > 0 &&
               text_equal(text_slice(word, at, word.length), column->last_unit)) {
        unit = &column->last_as;
    }
    if (unit == NULL) {
        return false;
    }
    *out = unit_to_coherent(unit, is_negative ? -number : number);
    return true;
}

/* Keeps a unit written behind a plain number, blanks and all, for the cells below. */
static void keep_unit(struct flat_column *column, text word)
{
    double number = 0;
    const size_t sign = word.length > 0 && word.at[0] == '-' ? 1 : 0;
    const size_t digits = number_read_plain(text_slice(word, sign, word.length), &number);
    const text behind = text_slice(word, sign + digits, word.length);
    if (digits > 0 && unit_find(text_trim(behind), &column->last_as)) {
        column->last_unit = behind;
    }
}

static void read_general(struct flat_reader *reader, struct flat_column *column,
                         const struct csv_cell *cell, text word)
{
    struct row_cells *cells = &reader->cells;
    const span where = csv_cell_span(&reader->csv, cell);
    const struct row_word read = {.word = word,
                                  .where = where,
                                  .text_where = where,
                                  .assumed = column->has_unit ? &column->unit : NULL};
    if (column->is_key) {
        row_read_key(cells, column->column, &read);
    } else {
        row_read_value(cells, column->column, &read);
    }
}

static void read_quantity(struct flat_reader *reader, struct flat_column *column,
                          const struct csv_cell *cell, text word)
{
    struct row_cells *cells = &reader->cells;
    double number = 0;
    if (plain_quantity(column, word, &number)) {
        cells->values[column->column - cells->shape->key_count] =
            value_quantity(row_exact(cells, column->of->dim, number));
        return;
    }
    read_general(reader, column, cell, word);
    if (!cells->is_wrong && !cell->has_doubled) {
        keep_unit(column, word);
    }
}

/* What a new name is made of is looked at once: the others are equal to one that was. */
static void refuse_unfit(struct flat_reader *reader, const struct csv_cell *cell,
                         text word)
{
    struct unfit unfit = {0};
    if (!text_is_fit(word, 0, &unfit)) {
        row_fault(&reader->cells, unfit.code,
                  (span){reader->csv.source, cell->at + (uint32_t)unfit.at,
                         (uint32_t)unfit.length},
                  text_of(unfit.message))
            ->expected = text_of(unfit.expected);
    }
}

/* A name or a word of free choice: mostly one that is known, often that of the row above.
 */
static void read_name(struct flat_reader *reader, struct flat_column *column,
                      const struct csv_cell *cell, text word)
{
    struct row_cells *cells = &reader->cells;
    struct names *names = cells->knowledge->names;
    if (!text_equal(word, column->last) || column->last_name == NAME_NONE) {
        const name_id before = names_last(names);
        column->last_name = names_add(names, word);
        column->last = cell->has_doubled ? (text){"", 0} : word;
        if (column->last_name > before) {
            refuse_unfit(reader, cell, word);
        }
    }
    if (column->is_key) {
        cells->key[column->column] = column->last_name;
    } else {
        cells->values[column->column - cells->shape->key_count] =
            value_word(column->last_name);
    }
}

static void read_empty(struct flat_reader *reader, const struct flat_column *column,
                       const struct csv_cell *cell)
{
    if (column->is_key || reader->cells.knowledge->vocabulary
                              ->manners[reader->cells.relation][column->column]
                              .is_due) {
        row_fault(&reader->cells,
                  column->is_key ? CODE_VALUE_MISSING : CODE_FIELD_MISSING,
                  csv_cell_span(&reader->csv, cell),
                  text_format(reader->cells.arena, "`%.*s` must be written",
                              TEXT_ARG(column_name(reader, column->column))));
    }
}

static void read_cell(struct flat_reader *reader, struct flat_column *column,
                      const struct csv_cell *cell)
{
    if (cell->length == 0) {
        read_empty(reader, column, cell);
        return;
    }
    const text word = csv_cell_text(&reader->csv, cell, reader->room);
    switch (column->of->kind) {
    case COLUMN_QUANTITY:
        read_quantity(reader, column, cell, word);
        return;
    case COLUMN_NAME:
        read_name(reader, column, cell, word);
        return;
    case COLUMN_WORD:
        if (column->of->choice_count == 0) {
            read_name(reader, column, cell, word);
            return;
        }
        break;
    case COLUMN_NUMBER:
    case COLUMN_COUNT:
        break;
    }
    read_general(reader, column, cell, word);
}

/* ---- rows */

static void refuse_length(struct flat_reader *reader, uint32_t count)
{
    struct diagnostic *report =
        row_fault(&reader->cells, CODE_SHAPE_WRONG, csv_row_span(&reader->csv),
                  text_format(reader->cells.arena, "this row has %u cell%s", count,
                              count == 1 ? "" : "s"));
    report->expected = text_format(reader->cells.arena, "%u, as the first line has",
                                   reader->column_count);
}

/* What no cell says is not known. A missing dimension is named by the key, so it comes
 * after the cells. */
static void fill_missing(struct flat_reader *reader, const struct csv_cell *cells)
{
    const struct relation_shape *shape = reader->cells.shape;
    uint64_t written = 0;
    for (uint32_t i = 0; i < reader->column_count; i++) {
        if (cells[i].length > 0) {
            written |= UINT64_C(1) << reader->columns[i].column;
        }
    }
    for (uint32_t c = shape->key_count; c < shape->key_count + shape->value_count; c++) {
        if ((written >> c & 1u) == 0) {
            row_miss_value(&reader->cells, c);
        }
    }
}

/* Keys first: dimensions of the values are named by them. */
static status read_row(struct flat_reader *reader, const struct csv_cell *cells)
{
    for (int keys = 1; keys >= 0; keys--) {
        for (uint32_t i = 0; i < reader->column_count; i++) {
            if (reader->columns[i].is_key == (keys == 1)) {
                read_cell(reader, &reader->columns[i], &cells[i]);
            }
        }
    }
    if (!reader->cells.is_wrong) {
        fill_missing(reader, cells);
        TRY(row_add(&reader->cells, csv_row_span(&reader->csv)));
    }
    return arena_status(reader->cells.arena);
}

/* A file that is wrong throughout is not read to its end. */
static status read_rows(struct flat_reader *reader)
{
    struct csv_cell cells[MOST_COLUMNS];
    uint32_t count = 0;
    for (enum csv_result result = csv_next(&reader->csv, cells, MOST_COLUMNS, &count);
         result != CSV_END &&
         diagnostics_count(reader->cells.diagnostics) < LIMIT_DIAGNOSTICS;
         result = csv_next(&reader->csv, cells, MOST_COLUMNS, &count)) {
        reader->cells.is_wrong = result == CSV_WRONG;
        if (result == CSV_ROW && count != reader->column_count) {
            refuse_length(reader, count);
        } else if (result == CSV_ROW) {
            TRY(read_row(reader, cells));
        }
        reader->is_wrong = reader->is_wrong || reader->cells.is_wrong;
    }
    return STATUS_OK;
}

static status read_flat(struct flat_reader *reader, struct arena *arena,
                        struct knowledge *knowledge, text name, text content,
                        uint32_t source, struct diagnostics *diagnostics)
{
    reader->cells.arena = arena;
    reader->cells.knowledge = knowledge;
    reader->cells.diagnostics = diagnostics;
    reader->csv = csv_open(content, source, diagnostics);
    if (find_relation(reader, name)) {
        read_first_line(reader);
    }
    reader->is_wrong = reader->cells.is_wrong;
    if (!reader->is_wrong) {
        TRY(read_rows(reader));
    }
    return reader->is_wrong ? STATUS_INVALID : STATUS_OK;
}

/* The reader is large, and nothing of it is kept. */
status flat_rows_read(struct arena *arena, struct knowledge *knowledge, text name,
                      text content, uint32_t source, struct diagnostics *diagnostics)
{
    struct arena *meanwhile = arena_open_beside(arena);
    struct flat_reader *reader =
        meanwhile == NULL ? NULL : ARENA_NEW(meanwhile, struct flat_reader);
    status result = STATUS_NO_MEMORY;
    if (reader != NULL) {
        reader->cells.numbers = shared_numbers_open(meanwhile, content.length / 16);
        result = read_flat(reader, arena, knowledge, name, content, source, diagnostics);
    }
    arena_close(meanwhile);
    return result;
}
