/* SPDX-License-Identifier: MIT */
/*
 * Two pieces feature by feature. Features are paired by list and name; a list that one
 * part marks as partial may hold more, so what is not in it is not known to be gone.
 */
#include "compare_private.h"

#include <math.h>
#include <stdlib.h>

typedef ARRAY_OF(struct compared_feature) feature_list;
typedef ARRAY_OF(struct compared_value) value_list;

status compare_side_open(struct compare_side *side, name_id piece)
{
    side->piece = piece;
    side->rows = NULL;
    side->row_count = 0;
    return piece == NAME_NONE
               ? STATUS_OK
               : store_rows_of(side->store, piece, &side->rows, &side->row_count);
}

/* ---- which rows are features */

static const char *const piece_columns[] = {"kind", "hand", "material", NULL};
static const char *const gap_columns[] = {"comes-to", "want-least", "want-greatest",
                                          NULL};

/* Which rows of an owner are set side by side, and which of their columns. */
struct chosen_rows {
    bool of_unit;
    name_id piece; /* the relation of pieces, whose title and number are no geometry */
    name_id gap;   /* the relation of gaps: computed, and of interest all the same */
};

static bool is_chosen(const struct comparing *comparing, const struct chosen_rows *chosen,
                      const struct row *row)
{
    const struct vocabulary *vocabulary = comparing->knowledge->vocabulary;
    if (row->relation >= vocabulary->shape_count) {
        return false; /* a finding: its relation is its rule's */
    }
    const name_id name = vocabulary->shapes[row->relation].name;
    bool is_found = chosen->of_unit ? name == chosen->gap : name == chosen->piece;
    for (uint32_t i = 0; !is_found && i < vocabulary->listing_count; i++) {
        is_found = vocabulary->listings[i].in_unit == chosen->of_unit &&
                   vocabulary->listings[i].relation == row->relation;
    }
    for (uint32_t i = 0; !is_found && !chosen->of_unit && i < vocabulary->kind_count;
         i++) {
        is_found = vocabulary->kinds[i].relation == row->relation;
    }
    return is_found;
}

static bool is_column_chosen(const struct comparing *comparing,
                             const struct chosen_rows *chosen, const struct row *row,
                             const struct column *column)
{
    const name_id relation = comparing->knowledge->vocabulary->shapes[row->relation].name;
    const char *const *only = relation == chosen->piece ? piece_columns
                              : relation == chosen->gap ? gap_columns
                                                        : NULL;
    const text name = names_text(comparing->knowledge->names, column->name);
    bool is_found = only == NULL;
    for (; !is_found && *only != NULL; only++) {
        is_found = text_is(name, *only);
    }
    return is_found;
}

static bool same_key(const struct compare_side *first, const struct row *one,
                     const struct compare_side *second, const struct row *other)
{
    const uint32_t count = store_shape(first->store, one->relation)->key_count;
    bool is_same = one->relation == other->relation;
    for (uint32_t c = 1; is_same && c < count; c++) {
        is_same = text_equal(names_text(first->names, one->key[c]),
                             names_text(second->names, other->key[c]));
    }
    return is_same;
}

static const struct row *same_row(const struct compare_side *first, const struct row *row,
                                  const struct compare_side *second)
{
    for (uint32_t i = 0; i < second->row_count; i++) {
        if (same_key(first, row, second, second->rows[i])) {
            return second->rows[i];
        }
    }
    return NULL;
}

/* Whether a part says that its list of such features is not complete. */
static bool is_partial(const struct compare_side *side, name_id relation)
{
    relation_id partial = 0;
    const name_id key[2] = {side->piece, relation};
    return store_find_relation(side->store, names_find(side->names, TEXT("partial")),
                               &partial) &&
           store_find(side->store, partial, key) != NULL;
}

/* ---- one feature */

static text axis_of_row(const struct compare_side *side, const struct row *row)
{
    const struct value axis = compare_cell(side, row, "axis");
    return axis.kind == VALUE_WORD ? names_text(side->names, axis.word) : TEXT("axis");
}

/* A position in the common frame, where there is one; any other quantity as it is. */
static const struct form *form_in(struct comparing *comparing,
                                  const struct compare_side *side, const struct row *laid,
                                  const struct form *origin,
                                  const struct compared_value *value,
                                  const struct value *cell)
{
    const struct form *form = cell->kind == VALUE_QUANTITY ? cell->quantity : NULL;
    return form == NULL || !value->is_position
               ? form
               : compare_position(comparing->arena, side, laid, origin, form);
}

static void set_forms(struct comparing *comparing, const struct compare_side *first,
                      const struct row *one, const struct compare_side *second,
                      const struct row *other, struct compared_value *value)
{
    const struct compare_side *side = one != NULL ? first : second;
    const text axis = axis_of_row(side, one != NULL ? one : other);
    const bool is_one_axis =
        one == NULL || other == NULL || text_equal(axis, axis_of_row(second, other));
    struct frame frame = {.first_laid = NULL};
    const bool is_there =
        !value->is_position ||
        (is_one_axis && compare_frame_open(comparing, first, second, axis, &frame));
    if (is_there) {
        value->first_form = form_in(comparing, first, frame.first_laid, frame.first,
                                    value, &value->first);
        value->second_form = form_in(comparing, second, frame.second_laid, frame.second,
                                     value, &value->second);
    }
}

/* What is written of a position itself, without what it hangs on. */
struct own_part {
    const struct deviation *own; /* NULL: it is exact */
    double offset;
};

static struct own_part own_part_of(struct comparing *comparing,
                                   const struct compare_side *side, const struct row *row,
                                   const struct compared_value *value,
                                   const struct value *cell)
{
    const struct form *form = cell->quantity;
    struct own_part part = {.own = own_deviation(comparing->arena, side->store,
                                                 side->names, row, value->field, cell),
                            .offset = form->nominal};
    for (uint32_t i = 0; i < form->term_count; i++) {
        if (form->terms[i].of != part.own) {
            part.offset -= form->terms[i].by * form->terms[i].of->nominal;
        }
    }
    return part;
}

static bool same_own_part(const struct own_part *first, const struct own_part *second)
{
    const bool is_exact = first->own == NULL && second->own == NULL;
    return dimension_round(DIMENSION_LENGTH, second->offset - first->offset) == 0.0 &&
           (is_exact || (first->own != NULL && second->own != NULL &&
                         first->own->low == second->own->low &&
                         first->own->high == second->own->high));
}

/* A dimension of a piece without the piece: "bearing-shoulder.at". */
static text within_piece(const struct compare_side *side, const struct deviation *of)
{
    const size_t owner = names_text(side->names, side->piece).length;
    return text_slice(of->name, owner < of->name.length ? owner + 1 : 0, of->name.length);
}

static bool same_dimension(const struct deviation *one, const struct deviation *other)
{
    return one->nominal == other->nominal && one->low == other->low &&
           one->high == other->high;
}

/* What two positions hang on that differs; empty: nothing of the piece. */
static text moved_anchors(struct comparing *comparing, const struct compare_side *first,
                          const struct compare_side *second,
                          const struct compared_value *value)
{
    const struct form *from = value->first.quantity;
    const struct form *to = value->second.quantity;
    text all = {"", 0};
    for (uint32_t i = 0; i < from->term_count; i++) {
        const text name = within_piece(first, from->terms[i].of);
        for (uint32_t k = 0; k < to->term_count; k++) {
            if (text_equal(name, within_piece(second, to->terms[k].of)) &&
                !same_dimension(from->terms[i].of, to->terms[k].of)) {
                all = text_format(comparing->arena, "%.*s%s%.*s", TEXT_ARG(all),
                                  all.length > 0 ? " and " : "", TEXT_ARG(name));
            }
        }
    }
    return all;
}

/* Whether a position moved, or has other limits, only because of what it hangs on: what
 * is written of it itself is the same of both. */
static void find_carrier(struct comparing *comparing, const struct compare_side *first,
                         const struct row *one, const struct compare_side *second,
                         const struct row *other, struct compared_value *value)
{
    if (!value->is_position ||
        (value->difference != CONTRAST_MOVED && value->difference != CONTRAST_LIMITS)) {
        return;
    }
    const struct own_part from = own_part_of(comparing, first, one, value, &value->first);
    const struct own_part to =
        own_part_of(comparing, second, other, value, &value->second);
    value->is_carried = same_own_part(&from, &to);
    value->with = value->is_carried ? moved_anchors(comparing, first, second, value)
                                    : (text){"", 0};
}

static text word_of(const struct compare_side *side, struct value value)
{
    return value.kind == VALUE_WORD ? names_text(side->names, value.word) : (text){"", 0};
}

static struct value cell_at(const struct row *row, uint32_t v)
{
    return row == NULL ? (struct value){.kind = VALUE_NONE} : row->values[v];
}

/* The fields of a row of both, or of the one there is. */
static status compare_cells(struct comparing *comparing, const struct chosen_rows *chosen,
                            const struct compare_side *first, const struct row *one,
                            const struct compare_side *second, const struct row *other,
                            struct compared_feature *out)
{
    const struct vocabulary *vocabulary = comparing->knowledge->vocabulary;
    const struct row *any = one != NULL ? one : other;
    const struct relation_shape *shape = &vocabulary->shapes[any->relation];
    value_list values = {0};
    for (uint32_t v = 0; v < shape->value_count; v++) {
        const struct column *column = &shape->columns[shape->key_count + v];
        struct compared_value value = {
            .field = names_text(comparing->knowledge->names, column->name),
            .is_position =
                vocabulary->manners[any->relation][shape->key_count + v].is_position,
            .first = cell_at(one, v),
            .second = cell_at(other, v)};
        if (!is_column_chosen(comparing, chosen, any, column)) {
            continue;
        }
        value.first_word = word_of(first, value.first);
        value.second_word = word_of(second, value.second);
        set_forms(comparing, first, one, second, other, &value);
        if ((one == NULL || !is_recorded(&value.first)) &&
            (other == NULL || !is_recorded(&value.second))) {
            out->unrecorded++;
            continue;
        }
        values_compare(&value);
        if (one != NULL && other != NULL) {
            find_carrier(comparing, first, one, second, other, &value);
        }
        if ((value.first.kind != VALUE_NONE || value.second.kind != VALUE_NONE) &&
            !ARRAY_PUSH(comparing->arena, &values, value)) {
            return arena_status(comparing->arena);
        }
    }
    out->values = values.at;
    out->value_count = values.count;
    return arena_status(comparing->arena);
}

static int compare_by_field(const void *a, const void *b)
{
    const struct compared_value *left = a;
    const struct compared_value *right = b;
    return text_compare(left->field, right->field);
}

/* What the whole feature comes to. */
static enum contrast difference_of(const struct compared_feature *feature)
{
    bool has_unknown = false;
    for (uint32_t i = 0; i < feature->value_count; i++) {
        const enum contrast one =
            feature->values[i].is_carried ? CONTRAST_NONE : feature->values[i].difference;
        if (one != CONTRAST_NONE && one != CONTRAST_NOT_KNOWN) {
            return CONTRAST_OTHER;
        }
        has_unknown = has_unknown || one == CONTRAST_NOT_KNOWN;
    }
    return has_unknown ? CONTRAST_NOT_KNOWN : CONTRAST_NONE;
}

static status compare_feature(struct comparing *comparing,
                              const struct chosen_rows *chosen,
                              const struct compare_side *first, const struct row *one,
                              const struct compare_side *second, const struct row *other,
                              feature_list *list)
{
    const struct row *any = one != NULL ? one : other;
    const struct compare_side *side = one != NULL ? first : second;
    const struct relation_shape *shape = store_shape(side->store, any->relation);
    struct compared_feature made = {
        .relation = names_text(comparing->knowledge->names, shape->name)};
    for (uint32_t c = 1; c < shape->key_count; c++) {
        made.name =
            text_format(comparing->arena, "%.*s%s%.*s", TEXT_ARG(made.name),
                        c > 1 ? "." : "", TEXT_ARG(names_text(side->names, any->key[c])));
    }
    TRY(compare_cells(comparing, chosen, first, one, second, other, &made));
    const struct compare_side *lacking = one == NULL ? first : second;
    made.is_of_partial_list =
        (one == NULL || other == NULL) && is_partial(lacking, shape->name);
    made.difference = one != NULL && other != NULL ? difference_of(&made)
                      : made.is_of_partial_list    ? CONTRAST_NOT_KNOWN
                      : one == NULL                ? CONTRAST_ADDED
                                                   : CONTRAST_GONE;
    /* of a kind that has no field of its own there is nothing to say */
    if (made.value_count == 0 && shape->key_count == 1) {
        return STATUS_OK;
    }
    struct compared_value *sorted =
        arena_copy(comparing->arena, made.values, made.value_count * sizeof *sorted);
    TRY(arena_status(comparing->arena));
    if (made.value_count > 1) {
        qsort(sorted, made.value_count, sizeof *sorted, compare_by_field);
    }
    made.values = sorted;
    return ARRAY_PUSH(comparing->arena, list, made) ? STATUS_OK
                                                    : arena_status(comparing->arena);
}

static int compare_by_name(const void *a, const void *b)
{
    const struct compared_feature *left = a;
    const struct compared_feature *right = b;
    const int relation = text_compare(left->relation, right->relation);
    return relation != 0 ? relation : text_compare(left->name, right->name);
}

static status compare_rows(struct comparing *comparing, const struct chosen_rows *chosen,
                           const struct compare_side *first,
                           const struct compare_side *second,
                           struct compared_place *place)
{
    feature_list list = {0};
    for (uint32_t i = 0; i < first->row_count; i++) {
        const struct row *row = first->rows[i];
        if (is_chosen(comparing, chosen, row)) {
            TRY(compare_feature(comparing, chosen, first, row, second,
                                same_row(first, row, second), &list));
        }
    }
    for (uint32_t i = 0; i < second->row_count; i++) {
        const struct row *row = second->rows[i];
        if (is_chosen(comparing, chosen, row) && same_row(second, row, first) == NULL) {
            TRY(compare_feature(comparing, chosen, first, NULL, second, row, &list));
        }
    }
    if (list.count > 1) {
        qsort(list.at, list.count, sizeof *list.at, compare_by_name);
    }
    place->features = list.at;
    place->feature_count = list.count;
    return arena_status(comparing->arena);
}

/* ---- two pieces */

/* Where a piece lies as a whole: its datum. */
static void compare_seats(struct comparing *comparing, const struct compare_side *first,
                          const struct compare_side *second, struct compared_place *place)
{
    struct frame frame;
    const bool is_there =
        compare_frame_open(comparing, first, second, TEXT("axis"), &frame);
    place->moved = (struct compared_value){.difference = CONTRAST_NONE,
                                           .is_position = true,
                                           .by = NAN,
                                           .by_least = NAN,
                                           .by_greatest = NAN};
    if (is_there) {
        place->datum = frame.datum;
    }
    if (!is_there || frame.first_laid == NULL) {
        return;
    }
    struct compared_value *moved = &place->moved;
    moved->field = TEXT("at");
    moved->first_form =
        compare_position(comparing->arena, first, frame.first_laid, frame.first, NULL);
    moved->second_form =
        compare_position(comparing->arena, second, frame.second_laid, frame.second, NULL);
    moved->first = value_quantity(moved->first_form);
    moved->second = value_quantity(moved->second_form);
    values_compare(moved);
}

status features_compare(struct comparing *comparing, const struct compare_side *first,
                        const struct compare_side *second, bool is_same_part,
                        struct compared_place *place)
{
    const struct chosen_rows chosen = {
        .piece = names_find(comparing->knowledge->names, TEXT("piece")),
        .gap = names_find(comparing->knowledge->names, TEXT("gap"))};
    compare_seats(comparing, first, second, place);
    return is_same_part ? arena_status(comparing->arena)
                        : compare_rows(comparing, &chosen, first, second, place);
}

status units_say(struct comparing *comparing, const struct compare_side *first,
                 const struct compare_side *second, struct compared_place *place)
{
    const struct chosen_rows chosen = {
        .of_unit = true,
        .piece = names_find(comparing->knowledge->names, TEXT("piece")),
        .gap = names_find(comparing->knowledge->names, TEXT("gap"))};
    return compare_rows(comparing, &chosen, first, second, place);
}
