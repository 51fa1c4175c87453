/* SPDX-License-Identifier: MIT */
/* What a word means in a column of stated rows, whatever file it was read from. */
#include "row_cells.h"

#include "nearest.h"
#include "number_text.h"

#include <math.h>
#include <string.h>

struct diagnostic *row_fault(struct row_cells *cells, enum diagnostic_code code,
                             span where, text message)
{
    cells->is_wrong = true;
    return diagnostics_add(cells->diagnostics, code, where, message);
}

text row_nearest_column(const struct row_cells *cells, text word)
{
    const struct relation_shape *shape = cells->shape;
    struct nearest near = nearest_to(word);
    for (uint32_t c = 0; c < shape->key_count + shape->value_count; c++) {
        nearest_offer(&near, names_text(cells->knowledge->names, shape->columns[c].name));
    }
    return near.best;
}

/* ---- dimensions */

static text key_text(const struct row_cells *cells, uint32_t column)
{
    return cells->shape->columns[column].kind == COLUMN_NUMBER
               ? text_format(cells->arena, "%u", cells->key[column])
               : names_text(cells->knowledge->names, cells->key[column]);
}

/* "relation.key.key.column": a dimension of this row alone, whatever file it stands in.
 */
static text dimension_of(const struct row_cells *cells, const struct column *column)
{
    const struct names *names = cells->knowledge->names;
    text parts[2 * LIMIT_KEY_COLUMNS + 3];
    size_t count = 0;
    parts[count++] = names_text(names, cells->shape->name);
    for (uint32_t c = 0; c < cells->shape->key_count; c++) {
        parts[count++] = TEXT(".");
        parts[count++] = key_text(cells, c);
    }
    parts[count++] = TEXT(".");
    parts[count++] = names_text(names, column->name);
    return text_join(cells->arena, parts, count);
}

const struct form *row_exact(struct row_cells *cells, struct dimension dim, double number)
{
    return form_shared(cells->numbers, cells->arena, dim, number);
}

static struct value read_quantity(struct row_cells *cells, const struct column *column,
                                  const struct row_word *word)
{
    const struct stated_options options = {.wanted = column->dim,
                                           .assumed = word->assumed};
    const struct tolerance_rules rules = {.is_exact = true};
    struct stated stated = {0};
    struct deviation own = {.dim = column->dim, .where = word->where};
    if (stated_read(word->word, word->text_where, &options, cells->diagnostics,
                    &stated) != STATUS_OK ||
        stated_resolve(&cells->knowledge->tables, &stated, &rules, cells->diagnostics,
                       &own) != STATUS_OK) {
        cells->is_wrong = true;
        return (struct value){0};
    }
    if (own.low == 0.0 && own.high == 0.0) {
        return value_quantity(row_exact(cells, own.dim, own.nominal));
    }
    own.name = dimension_of(cells, column);
    const struct deviation *kept = arena_copy(cells->arena, &own, sizeof own);
    return value_quantity(kept == NULL ? NULL : form_of(cells->arena, kept));
}

/* ---- words and counts */

/* false (reported): it is none. */
static bool read_count(struct row_cells *cells, const struct row_word *word, double *out)
{
    if (number_read_plain(word->word, out) != word->word.length &&
        !number_read(word->word, out)) {
        *out = -1;
    }
    if (*out >= 0 && *out <= 2147483647.0 && *out == floor(*out)) {
        return true;
    }
    row_fault(cells, CODE_COUNT_WRONG, word->where, TEXT("this is no whole number"))
        ->expected = TEXT("a whole number such as 21");
    return false;
}

static struct value read_choice(struct row_cells *cells, const struct column *column,
                                const struct row_word *word)
{
    struct names *names = cells->knowledge->names;
    const name_id id = names_add(names, word->word);
    for (uint32_t i = 0; i < column->choice_count; i++) {
        if (column->choices[i] == id) {
            return value_word(id);
        }
    }
    if (column->choice_count > 0) {
        struct nearest near = nearest_to(word->word);
        for (uint32_t i = 0; i < column->choice_count; i++) {
            nearest_offer(&near, names_text(names, column->choices[i]));
        }
        row_fault(cells, CODE_CHOICE_UNKNOWN, word->where,
                  TEXT("this is no choice for its column"))
            ->nearest = near.best;
    }
    return value_word(id);
}

void row_read_key(struct row_cells *cells, uint32_t column, const struct row_word *word)
{
    double number = 0;
    if (cells->shape->columns[column].kind == COLUMN_NAME) {
        cells->key[column] = names_add(cells->knowledge->names, word->word);
    } else if (read_count(cells, word, &number)) {
        cells->key[column] = (name_id)number;
    }
}

void row_read_value(struct row_cells *cells, uint32_t column, const struct row_word *word)
{
    const struct column *of = &cells->shape->columns[column];
    struct value *value = &cells->values[column - cells->shape->key_count];
    double number = 0;
    if (of->kind == COLUMN_QUANTITY) {
        *value = read_quantity(cells, of, word);
    } else if (of->kind != COLUMN_COUNT) {
        *value = read_choice(cells, of, word);
    } else if (read_count(cells, word, &number)) {
        *value = value_count((int64_t)number);
    }
}

void row_miss_value(struct row_cells *cells, uint32_t column)
{
    const struct column_manner *manner =
        &cells->knowledge->vocabulary->manners[cells->relation][column];
    const struct column *of = &cells->shape->columns[column];
    struct value *value = &cells->values[column - cells->shape->key_count];
    *value =
        manner->standard != NAME_NONE ? value_word(manner->standard) : (struct value){0};
    if (manner->standard != NAME_NONE || manner->is_optional) {
        return;
    }
    struct deviation *missing = ARENA_NEW(cells->arena, struct deviation);
    if (missing == NULL) {
        return;
    }
    *missing = (struct deviation){.name = dimension_of(cells, of),
                                  .nominal = NAN,
                                  .low = -INFINITY,
                                  .high = INFINITY,
                                  .kind = DEVIATION_MADE,
                                  .basis = BASIS_MISSING,
                                  .dim = of->dim,
                                  .got_by = of->got_by};
    *value = of->kind == COLUMN_QUANTITY ? value_quantity(form_of(cells->arena, missing))
                                         : value_missing(missing);
}

status row_add(struct row_cells *cells, span where)
{
    const struct row *there = NULL;
    const struct row row = {.relation = cells->relation,
                            .origin = ORIGIN_FACT,
                            .where = where,
                            .key = cells->key,
                            .values = cells->values};
    TRY(arena_status(cells->arena)); /* a value may be lacking */
    const enum added added = store_add(cells->knowledge->base, &row, &there);
    if (added == ADDED_CONFLICT) {
        struct diagnostic *report =
            row_fault(cells, CODE_NAME_DOUBLED, where,
                      TEXT("another row says otherwise of the same key"));
        diagnostic_note_add(report, there->where, TEXT("the other row is here"));
    }
    return arena_status(cells->arena);
}
