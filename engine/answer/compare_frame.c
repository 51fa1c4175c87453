/* SPDX-License-Identifier: MIT */
/*
 * What positions are counted from. Two parts alone: a face that both have, the datum of
 * one of them. Two pieces in their units: the datum of what they lie on in the end, the
 * piece at the root of the contacts, which cancels where nobody knows where that lies.
 * Which face is taken does not hang on which of the two is named first.
 */
#include "compare_private.h"

static const struct row *row_of(const struct compare_side *side, const char *relation,
                                const name_id *key)
{
    relation_id id = 0;
    return store_find_relation(side->store, names_find(side->names, text_of(relation)),
                               &id)
               ? store_find(side->store, id, key)
               : NULL;
}

struct value compare_cell(const struct compare_side *side, const struct row *row,
                          const char *column)
{
    const struct relation_shape *shape = store_shape(side->store, row->relation);
    const int at = vocabulary_column(shape, names_find(side->names, text_of(column)));
    return at < (int)shape->key_count ? (struct value){.kind = VALUE_NONE}
                                      : row->values[at - (int)shape->key_count];
}

const struct deviation *own_deviation(struct arena *arena, const struct store *store,
                                      const struct names *names, const struct row *row,
                                      text field, const struct value *value)
{
    const struct form *form = value->kind == VALUE_QUANTITY ? value->quantity : NULL;
    const struct relation_shape *shape = store_shape(store, row->relation);
    const text owner = names_text(names, row->key[0]);
    const text name =
        shape->key_count > 1
            ? text_format(arena, "%.*s.%.*s.%.*s", TEXT_ARG(owner),
                          TEXT_ARG(names_text(names, row->key[1])), TEXT_ARG(field))
            : text_format(arena, "%.*s.%.*s", TEXT_ARG(owner), TEXT_ARG(field));
    for (uint32_t i = 0; form != NULL && i < form->term_count; i++) {
        if (text_equal(form->terms[i].of->name, name)) {
            return form->terms[i].of;
        }
    }
    return NULL;
}

const struct part *compare_part(const struct comparing *comparing,
                                const struct compare_side *side, name_id piece)
{
    const struct row *row = row_of(side, "piece", &piece);
    const struct value part = row == NULL ? (struct value){.kind = VALUE_NONE}
                                          : compare_cell(side, row, "part");
    return part.kind == VALUE_WORD ? knowledge_part(comparing->knowledge, part.word)
                                   : NULL;
}

/* ---- the face that both have */

/* Where a part has a face or station of this name; *is_there false: it has none. */
static const struct form *plane_of(const struct compare_side *side, name_id piece,
                                   text name, bool *is_there)
{
    static const char *const relations[] = {"face", "station"};
    const name_id key[2] = {piece, names_find(side->names, name)};
    for (int i = 0; i < 2 && key[1] != NAME_NONE; i++) {
        const struct row *row = row_of(side, relations[i], key);
        if (row != NULL) {
            *is_there = true;
            return compare_cell(side, row, "at").quantity;
        }
    }
    *is_there = false;
    return NULL;
}

static text datum_of(const struct comparing *comparing, const struct compare_side *side,
                     name_id piece)
{
    const struct part *part = compare_part(comparing, side, piece);
    return part == NULL || part->datum == NAME_NONE
               ? (text){"", 0}
               : names_text(comparing->knowledge->names, part->datum);
}

/* A datum of one of the two that both have as a face; of two such the least as text. */
static bool common_plane(const struct comparing *comparing,
                         const struct compare_side *first, name_id first_piece,
                         const struct compare_side *second, name_id second_piece,
                         struct frame *out)
{
    const text names[2] = {datum_of(comparing, first, first_piece),
                           datum_of(comparing, second, second_piece)};
    bool is_found = false;
    for (int i = 0; i < 2; i++) {
        bool has_first = false;
        bool has_second = false;
        const struct form *one = plane_of(first, first_piece, names[i], &has_first);
        const struct form *other = plane_of(second, second_piece, names[i], &has_second);
        if (names[i].length > 0 && has_first && has_second &&
            (!is_found || text_compare(names[i], out->datum) < 0)) {
            out->datum = names[i];
            out->first = one;
            out->second = other;
            is_found = true;
        }
    }
    return is_found;
}

/* ---- along the axis of a unit */

static const struct row *laid_row(const struct compare_side *side, name_id piece,
                                  text axis)
{
    const name_id key[3] = {side->unit, piece, names_find(side->names, axis)};
    return side->unit == NAME_NONE || key[2] == NAME_NONE ? NULL
                                                          : row_of(side, "laid", key);
}

/* The row of the piece at the root of what this one lies on. */
static const struct row *root_row(const struct row *laid)
{
    for (uint32_t depth = 0; laid != NULL && depth < 64; depth++) {
        const struct row *below = NULL;
        uint32_t count = 0;
        const struct row *const *rests_on = row_rests_on(laid, &count);
        for (uint32_t i = 0; below == NULL && i < count; i++) {
            below = rests_on[i]->relation == laid->relation ? rests_on[i] : NULL;
        }
        if (below == NULL) {
            return laid;
        }
        laid = below;
    }
    return laid;
}

static bool is_turned_row(const struct compare_side *side, const struct row *laid)
{
    const struct value turned = compare_cell(side, laid, "turned");
    return turned.kind == VALUE_WORD &&
           text_is(names_text(side->names, turned.word), "true");
}

/* base ± p: where something of a laid piece lies. */
static const struct form *on_axis(struct arena *arena, const struct compare_side *side,
                                  const struct row *laid, const struct form *p)
{
    const struct form *at = compare_cell(side, laid, "at").quantity;
    return p == NULL                   ? at
           : is_turned_row(side, laid) ? form_subtract(arena, at, p)
                                       : form_add(arena, at, p);
}

bool compare_frame_open(struct comparing *comparing, const struct compare_side *first,
                        const struct compare_side *second, text axis, struct frame *out)
{
    *out = (struct frame){.first_laid = laid_row(first, first->piece, axis),
                          .second_laid = laid_row(second, second->piece, axis)};
    const bool is_laid = out->first_laid != NULL && out->second_laid != NULL;
    if (!is_laid) {
        out->first_laid = out->second_laid = NULL;
        return common_plane(comparing, first, first->piece, second, second->piece, out);
    }
    const struct row *first_root = root_row(out->first_laid);
    const struct row *second_root = root_row(out->second_laid);
    const text root = names_text(first->names, first_root->key[1]);
    if (!text_equal(root, names_text(second->names, second_root->key[1])) ||
        !common_plane(comparing, first, first_root->key[1], second, second_root->key[1],
                      out)) {
        return false;
    }
    out->datum = text_format(comparing->arena, "%.*s of %.*s", TEXT_ARG(out->datum),
                             TEXT_ARG(root));
    out->first = on_axis(comparing->arena, first, first_root, out->first);
    out->second = on_axis(comparing->arena, second, second_root, out->second);
    return true;
}

const struct form *compare_position(struct arena *arena, const struct compare_side *side,
                                    const struct row *laid, const struct form *origin,
                                    const struct form *p)
{
    const struct form *at = laid == NULL ? p : on_axis(arena, side, laid, p);
    return at == NULL || origin == NULL ? at : form_subtract(arena, at, origin);
}
